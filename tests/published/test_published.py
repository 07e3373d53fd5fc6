"""Every published value is what the program comes to, and the guide page says so."""

import pytest
from conftest import RunOf
from published.checks import Check, full_run_of, shown
from published.page import PAGE, all_checks, page

CHECKS = all_checks()
GOT: dict[int, str] = {}


@pytest.fixture(autouse=True)
def types(run_of: RunOf) -> None:
    """The worked examples take the types of their columns from the runs that the other tests make too."""
    full_run_of[:] = [run_of]


def got(check: Check) -> str:
    return GOT.setdefault(id(check.work), check.got())


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.source.name}, {check.clause}: {check.what}")
def test_the_program_comes_to_the_published_value(check: Check) -> None:
    assert got(check) == check.expected


def test_the_page_is_what_the_checks_give() -> None:
    """Written by tests/published/page.py."""
    assert PAGE.read_text(encoding="utf-8") == page((check, got(check)) for check in CHECKS)


def test_there_are_as_many_as_were_declared() -> None:
    """A file that no longer declares its values would be missed by nothing else."""
    assert len(CHECKS) >= 180
    assert len({check.source.name for check in CHECKS}) >= 30
    assert all(check.expected and check.clause and check.what for check in CHECKS)


@pytest.mark.parametrize(
    ("value", "expected", "text"),
    [(1.0449, "1.04", "1.04"), (1.045, "1.04", "1.05"), (True, "yes", "yes"), (None, "none", "none"),
     ([1, None], "1.0, 2", "1.0, none"), (3, "3.5", "3.0")],
)  # fmt: skip
def test_what_is_got_is_written_as_the_source_writes_it(value: object, expected: str, text: str) -> None:
    assert shown(value, expected) == text
