"""Templates compiled once: what is kept gives the same pages in every language and kind of environment."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from jinja2 import DictLoader, FileSystemBytecodeCache

from fleetreport.languages.catalogues import ENGLISH, GERMAN
from fleetreport.pages import compiled_templates
from fleetreport.pages.frame import Edition, page_environment, plain_environment

# Filters with constant arguments are what Jinja works out while it compiles, where it may.
TEXT = "{{ 12345.5|number(places=1) }} {{ name }} {{ 'a b'|toml }}"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Where compiled templates are kept in this test, and nothing known before it."""
    kept = tmp_path / "kept"
    kept.mkdir()
    monkeypatch.setattr(
        compiled_templates,
        "FileSystemBytecodeCache",
        lambda pattern: FileSystemBytecodeCache(str(kept), pattern),
    )
    compiled_templates.compiled_for.cache_clear()
    yield kept
    compiled_templates.compiled_for.cache_clear()


def filled(words: dict[str, str], *, plain: bool = False) -> str:
    environment = (plain_environment if plain else page_environment)(words)
    environment.loader = DictLoader({"one": TEXT})
    return environment.get_template("one").render(name="<b>")


def forget() -> None:
    """As a new process begins."""
    compiled_templates.compiled_for.cache_clear()


@pytest.mark.usefixtures("folder")
def test_a_kept_template_speaks_the_language_it_is_filled_in() -> None:
    assert filled(ENGLISH) == "12,345.5 &lt;b&gt; &#34;a b&#34;"
    forget()
    assert filled(GERMAN) == "12.345,5 &lt;b&gt; &#34;a b&#34;"


@pytest.mark.usefixtures("folder")
def test_a_text_is_not_filled_by_the_template_of_a_page() -> None:
    assert filled(ENGLISH) == "12,345.5 &lt;b&gt; &#34;a b&#34;"
    assert filled(ENGLISH, plain=True) == '12,345.5 <b> "a b"'


def test_it_is_compiled_once_for_all_runs(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = filled(ENGLISH)
    assert [path.name.startswith("__fleetreport_") for path in folder.iterdir()] == [True]
    forget()
    environment = page_environment(ENGLISH)
    environment.loader = DictLoader({"one": TEXT})
    monkeypatch.setattr(environment, "compile", lambda *_, **__: pytest.fail("compiled again"))
    assert environment.get_template("one").render(name="<b>") == before


@pytest.mark.parametrize("damage", [b"", b"not code", None])
def test_what_cannot_be_read_is_compiled_again(folder: Path, damage: bytes | None) -> None:
    before = filled(ENGLISH)
    (kept,) = folder.iterdir()
    # A file cut in the middle of the code it holds.
    kept.write_bytes(kept.read_bytes()[:-40] if damage is None else damage)
    forget()
    assert filled(ENGLISH) == before


def test_a_changed_template_is_compiled_again(folder: Path) -> None:
    filled(ENGLISH)
    forget()
    environment = page_environment(ENGLISH)
    environment.loader = DictLoader({"one": "changed"})
    assert environment.get_template("one").render() == "changed"
    assert len(list(folder.iterdir())) == 1


def test_where_nothing_can_be_kept_each_run_compiles(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(pattern: str) -> FileSystemBytecodeCache:
        raise RuntimeError(f"no folder for {pattern}")

    monkeypatch.setattr(compiled_templates, "FileSystemBytecodeCache", refuse)
    assert filled(ENGLISH).startswith("12,345.5")
    assert list(folder.iterdir()) == []


def test_a_fleets_own_templates_are_not_left_for_others(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "week.html").write_text("{{ day }}", encoding="utf-8")
    template = page_environment(Edition(ENGLISH, own)).get_template("week.html")
    assert template.render(day=date(2026, 11, 25)) == "2026-11-25"
    assert list(folder.iterdir()) == []
