"""The workshop's templates hold no words of their own: all stand in the catalogue that another language translates."""

import re
import string

import pytest

from fleetreport.languages.catalogues import ENGLISH
from fleetreport.languages.english.workshop import WORDS as WORKSHOP
from fleetreport.pages.frame import TEMPLATES

WORDLESS = ("_visits.html", "_on_time.html", "jobcards.html", "records.html")
JINJA = re.compile(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
TAG = re.compile(r"<[^>]*>")
LETTERS = re.compile(r"[A-Za-z]+")


@pytest.mark.parametrize("name", WORDLESS)
def test_between_its_tags_a_template_has_no_letters(name: str) -> None:
    text = TAG.sub(" ", JINJA.sub("", (TEMPLATES / name).read_text(encoding="utf-8"))).replace("&nbsp;", " ")
    assert LETTERS.findall(text) == []


@pytest.mark.parametrize("name", WORDLESS)
def test_every_word_that_a_template_names_whole_is_in_the_catalogue(name: str) -> None:
    text = (TEMPLATES / name).read_text(encoding="utf-8")
    named = set(re.findall(r"""(?:words\[|say\()"([a-z_.]+)"(?:\]|,|\)| if)""", text))
    assert named
    assert named - set(ENGLISH) == set()


@pytest.mark.parametrize("key", sorted(WORKSHOP))
def test_an_entry_can_be_filled_in(key: str) -> None:
    fields = {name for _, name, *_ in string.Formatter().parse(ENGLISH[key]) if name}
    assert "{" not in ENGLISH[key].format(**dict.fromkeys(fields, "x"))
