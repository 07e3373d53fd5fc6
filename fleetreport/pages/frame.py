"""What every page is made in: Jinja with our templates and filters, the style and script a page carries, its names.

All output is escaped and an unknown name is an error. A fleet may have templates of its own, which stand before ours
and run in Jinja's sandbox (see `Edition`).
"""

import base64
import hashlib
import re
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from jinja2 import ChoiceLoader, Environment, FileSystemLoader, PrefixLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup, escape

from fleetreport.characters import ACTS, as_replaced, stopping, toml_text
from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.marks import marks_of
from fleetreport.pages.compiled_templates import compiled_for
from fleetreport.query import beside_the_package
from fleetreport.report import amounts, sentences
from fleetreport.report.changes_said import changes_in_a_line, what_changed
from fleetreport.report.depot_parts import file_stem, part_path
from fleetreport.report.sheet_rows import SheetTask
from fleetreport.report.told import told

TEMPLATES = beside_the_package("templates")
# Calls of a macro that are remembered, and how long a text may be: those that come again are short.
REMEMBERED, LONGEST_REMEMBERED = 1_000, 200
# What acts on other text has no place in HTML, but for its own white space. Marks of direction and what shapes words
# (soft hyphens, joiners) are text there, each name being isolated by an element of its own.
showable = stopping(ACTS, as_replaced, but="\t\n\r")


class Edition(dict[str, str]):
    """A catalogue for the reports of one fleet, with the folder of its own templates (None: it has none)."""

    def __init__(self, words: Catalogue, templates: Path | None = None) -> None:
        super().__init__(words)
        self.templates = templates


def page_environment(words: Catalogue = ENGLISH) -> Environment:
    """Jinja with our templates and filters: all output escaped, an unknown name an error."""
    own = words.templates if isinstance(words, Edition) else None
    ours = FileSystemLoader(TEMPLATES)
    # A template of the fleet's own that stands for one of ours can still build on it, as `ours/week.html`.
    loader = ChoiceLoader([PrefixLoader({"ours": ours}), FileSystemLoader(own), ours]) if own else ours
    environment = (SandboxedEnvironment if own else Environment)(
        loader=loader, autoescape=True, undefined=StrictUndefined, finalize=_showable, trim_blocks=True,
        lstrip_blocks=True, keep_trailing_newline=True,
        # A fleet's own templates are nobody else's to find.
        bytecode_cache=compiled_for("sandboxed" if own else "pages", between_runs=own is None),
    )  # fmt: skip
    written: dict[str, Callable[..., str]] = {
        "day": sentences.day, "day_with_weekday": sentences.day_with_weekday, "number": sentences.number,
        "per_cent": sentences.per_cent, "amount": amounts.amount, "money": amounts.money,
        "quantity": sentences.quantity, "why": sentences.why_due, "short_reason": sentences.short_reason,
        "on_average": amounts.on_average, "due_at": sentences.due_at, "gap": sentences.gap,
        "due_day": sentences.due_day, "named_days": sentences.named_days, "counted": _counted,
        "due_range": _due_range, "what_changed": what_changed, "changes_in_a_line": changes_in_a_line,
        "told": told, "unit": amounts.unit_word, "condition": _condition,
    }  # fmt: skip
    for name, write in written.items():
        environment.filters[name] = _in_the_words_of(write, words)
    environment.filters["toml"] = left_for_filling(toml_text)
    environment.filters["vehicle_page"] = left_for_filling(vehicle_page_path)
    environment.filters["part_path"] = left_for_filling(part_path)
    # Of a large fleet not every vehicle has a page; a page in a folder leads up first.
    environment.globals["without_page"] = frozenset()
    environment.globals["up"] = ""
    environment.globals["words"] = words
    environment.globals["thousands"] = marks_of(words["locale"]).thousands
    environment.globals["say"] = _sayer(words)
    environment.globals["remembered"] = _remembered
    return environment


def plain_environment(words: Catalogue = ENGLISH) -> Environment:
    """The same for texts that are no HTML: nothing in them is escaped."""
    pages = page_environment(words)
    sandboxed = isinstance(pages, SandboxedEnvironment)
    compiled = compiled_for("sandboxed_texts" if sandboxed else "texts", between_runs=not sandboxed)
    environment = pages.overlay(autoescape=False, bytecode_cache=compiled)
    environment.globals = {**environment.globals, "say": lambda key, **filled: words[key].format(**filled)}
    return environment


def styled(*style_sheets: str) -> dict[str, str]:
    """What a page carries inside it: `style` (these files, one after the other) and its hash."""
    style = "\n".join((TEMPLATES / name).read_text(encoding="utf-8").strip() for name in style_sheets)
    return {"style": Markup(style), "style_hash": csp_hash(style)}  # noqa: S704 our own files


def inside(*style_sheets: str) -> dict[str, str]:
    """`styled`, and the `script` that sorts and filters, with its hash."""
    script = (TEMPLATES / "_page.js").read_text(encoding="utf-8").strip()
    return {**styled(*style_sheets), "script": Markup(script), "script_hash": csp_hash(script)}  # noqa: S704 our own file


def csp_hash(style: str) -> str:
    """A style sheet's or script's source expression (CSP Level 3, 2.3.1): base64 of the SHA-256 of its text."""
    return "sha256-" + base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()


def _sayer(words: Catalogue) -> Callable[..., Markup]:
    """`say(key, name=…)`: a text of the catalogue, which may hold tags of ours, with what is filled in escaped."""

    def say(key: str, **filled: object) -> Markup:
        # Parts of a text are bare names, so that str.format does, which is several times quicker than Markup.format.
        return Markup(words[key].format(**{name: escape(_showable(value)) for name, value in filled.items()}))  # noqa: S704

    return say


def _remembered(lay_out: Callable[[object], str]) -> Callable[[object], str]:
    """A macro of one text, called again and again with the same; calling it takes longer than what it lays out.

    Only of texts, since numbers would be mistaken for each other: 1.0 equals 1.00. Markup is told from what it says.
    """
    once = lru_cache(REMEMBERED, typed=True)(lay_out)

    def laid_out(text: object) -> str:
        return once(text) if isinstance(text, str) and len(text) <= LONGEST_REMEMBERED else lay_out(text)

    return laid_out


def _condition(condition: str, words: Catalogue) -> str:
    """A finding's word; one of other words, as people wrote it."""
    return words.get(f"condition.{condition.lower()}", condition)


def _counted(count: int, noun: str, words: Catalogue) -> str:
    return sentences.counted(noun, count, words)


def _due_range(row: SheetTask, words: Catalogue) -> str:
    """`27 Nov to 2 Dec 2026`; both days are known."""
    if row.due_on_early is None or row.due_on_late is None:
        raise ValueError(f"{row.vehicle_id} {row.task}: no range")
    return sentences.day_range(row.due_on_early, row.due_on_late, words)


def _in_the_words_of(write: Callable[..., str], words: Catalogue) -> Callable[..., str]:
    """A filter like `left_for_filling` that writes in these words."""

    @pass_context
    def written(context: Context, value: object, *more: object, **options: object) -> str:
        return write(value, *more, words=words, **options)

    return written


def left_for_filling(write: Callable[..., str]) -> Callable[..., str]:
    """A filter that Jinja leaves for the filling: what it gives follows from the language and from our code, which a
    compiled template must not.
    """

    @pass_context
    def written(context: Context, value: object, *more: object, **options: object) -> str:
        return write(value, *more, **options)

    return written


def _showable(value: object) -> object:
    """What a template prints, without the characters a page cannot show."""
    return showable(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def natural_order(text: str) -> tuple[object, ...]:
    """A sort key that puts `V-2` before `V-10`; the text itself settles what is otherwise equal."""
    parts = re.split(r"([0-9]+)", text)
    # By length and then by digits is by number, however long the number is.
    key = ((len(part.lstrip("0")), part.lstrip("0")) if at % 2 else part.casefold() for at, part in enumerate(parts))
    return tuple(key), text


def depot_order(depot: str) -> tuple[object, ...]:
    """A sort key: by name, vehicles without a depot last."""
    return depot == "", natural_order(depot)


def anchor(kind: str, name: str) -> str:
    """A fragment name for a vehicle or depot: the same every week, whatever characters its name has."""
    return f"{kind}-{hashlib.sha256(name.encode()).hexdigest()[:12]}"


def vehicle_page_path(vehicle_id: str) -> str:
    """`vehicles/v-104_1f2e3d4c5b6a.html`: where a vehicle's own page is, from the week's folder."""
    return f"vehicles/{file_stem(vehicle_id, 'vehicle')}.html"
