"""Templates hold no words of their own: all stand in the catalogue that another language translates."""

import re
import string

import pytest

from fleetreport.languages.catalogues import ENGLISH
from fleetreport.pages.frame import TEMPLATES

NAMES = sorted(path.name for path in TEMPLATES.iterdir() if path.suffix in (".html", ".txt"))
JINJA = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
STYLE = re.compile(r"<style>.*?</style>", re.DOTALL)
TAG = re.compile(r"<[^>]*>")
LETTERS = re.compile(r"[A-Za-z]+")
READ_OUT = re.compile(r"""\b(?:aria-label|aria-description|title|alt|placeholder|data-label)="([^"]*)\"""")
FILE_NAMES = {"fleet.toml"}  # the same in every language


def without_code(name: str) -> str:
    """What a template prints whatever it is filled in with."""
    return JINJA.sub("", STYLE.sub("", (TEMPLATES / name).read_text(encoding="utf-8")))


@pytest.mark.parametrize("name", NAMES)
def test_between_its_tags_a_template_has_no_letters(name: str) -> None:
    text = TAG.sub(" ", without_code(name)).replace("&nbsp;", " ")
    assert LETTERS.findall(text) == []


@pytest.mark.parametrize("name", NAMES)
def test_what_is_read_out_of_a_tag_is_in_the_catalogue_too(name: str) -> None:
    said = {text for text in READ_OUT.findall(without_code(name)) if LETTERS.search(text)}
    assert said - FILE_NAMES == set()


@pytest.mark.parametrize("name", NAMES)
def test_no_sentence_is_written_inside_an_expression(name: str) -> None:
    """A text in quotes with a space between words is a key of the catalogue, or said to readers without being one."""
    code = " ".join(JINJA.findall(re.sub(r"\{#.*?#\}", "", (TEMPLATES / name).read_text(encoding="utf-8"), flags=re.S)))
    quoted = {text for text in re.findall(r'"([^"]*)"', code) if re.search(r"[A-Za-z]{2} [A-Za-z]{2}", text)}
    assert (
        quoted - set(ENGLISH) - {"oil change"} == set()
    )  # an example of a wording rule: what a fleet may have written


@pytest.mark.parametrize("name", NAMES)
def test_every_word_that_a_template_names_whole_is_in_the_catalogue(name: str) -> None:
    text = (TEMPLATES / name).read_text(encoding="utf-8")
    named = set(re.findall(r"""(?:words\[|say\()"([a-z_.]+)"(?:\]|,|\)| if)""", text))
    assert named - set(ENGLISH) == set()


@pytest.mark.parametrize("key", sorted(ENGLISH))
def test_an_entry_can_be_filled_in(key: str) -> None:
    fields = {name for _, name, *_ in string.Formatter().parse(ENGLISH[key]) if name}
    assert "{" not in ENGLISH[key].format(**dict.fromkeys(fields, "x"))


@pytest.mark.parametrize("name", [name for name in NAMES if name.endswith(".html")])
def test_no_turn_of_a_loop_writes_an_empty_line(name: str) -> None:
    assert not re.search(r"\n\s*\n\{% endfor", (TEMPLATES / name).read_text(encoding="utf-8"))
