"""The pages of a fleet's own reports: `reports/NAME.html` in the fleet folder, or a plain table where there is none.

A template of the fleet's own runs in Jinja's sandbox: it reaches the values it is given and nothing of Python, the
files or a network; templates stand in the folder `reports`, or are ours, named `ours/week.html` and the like. It is
given `rows` (the table of its name, a mapping a row), `tables` (all own tables by name) and `week`; all text is
escaped.
"""

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

import duckdb
from jinja2 import ChoiceLoader, FileSystemLoader, PrefixLoader, TemplateError, TemplateNotFound, TemplateSyntaxError
from jinja2.sandbox import SandboxedEnvironment
from markupsafe import Markup

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.own.queries import FOLDER, NAME, OwnQuery
from fleetreport.pages.page import TEMPLATES, csp_hash, page_environment
from fleetreport.problem import WrongCall
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import read_week

OURS = {path.stem for path in TEMPLATES.glob("[a-z]*.html")}
# Of what a number may be shown as, by its Python type.
NUMBERS = (int, float, Decimal)


def own_pages(
    db: duckdb.DuckDBPyConnection, fleet: Path, own: Sequence[OwnQuery], words: Catalogue = ENGLISH
) -> dict[str, str]:
    """Each own page's HTML by its name: one for each template, and one for each table without a template.

    A query that stands in the place of ours has no page of its own, since ours shows it. Raises WrongCall with file
    and line for a template that cannot be used.
    """
    added = [query for query in own if not query.must_give]
    templates = sorted(path.stem for path in (fleet / FOLDER).glob("[a-z]*.html"))
    wrong = [f"{FOLDER}/{name}.html: found {name!r} as a name, expected a-z, 0-9 and _, a letter first"
             for name in templates if not NAME.fullmatch(name)]  # fmt: skip
    wrong += [f"{FOLDER}/{name}: found the name of a page of the program's, expected another name"
              for name in sorted(OURS & {*templates, *(query.table for query in added)})]  # fmt: skip
    if wrong:
        raise WrongCall(*wrong)
    if not added and not templates:
        return {}
    environment = own_environment(fleet / FOLDER, words)
    tables = {query.table: _rows(db, query.table) for query in added}
    style = Markup((TEMPLATES / "_style.css").read_text(encoding="utf-8").strip())  # noqa: S704 our own file
    given = {
        "week": read_week(db),
        "tables": tables,
        "style": style,
        "style_hash": csp_hash(style),
        "cautions": cautions(words, "week"),
    }
    titles = {query.table: title_of(query) for query in added}
    pages = {}
    for name in sorted({*tables, *templates}):
        template = f"{name}.html" if name in templates else "ours/_own_table.html"
        more = {"rows": tables.get(name, []), "name": name, "title": titles.get(name, name.replace("_", " "))}
        try:
            pages[name] = environment.get_template(template).render(**given, **more)
        except TemplateSyntaxError as error:
            raise WrongCall(f"{FOLDER}/{error.name}:{error.lineno}: {error.message}") from None
        except TemplateNotFound as error:
            raise WrongCall(f"{FOLDER}/{template}: found no template {error.name!r}") from None
        # What a template does with the values is its writer's: any error of Python's own may come of it.
        except (TemplateError, ArithmeticError, LookupError, TypeError, ValueError, AttributeError) as error:
            raise WrongCall(
                f"{FOLDER}/{template}: {error}", help="each value is as in the table; try it there"
            ) from None
    return pages


def own_environment(folder: Path, words: Catalogue = ENGLISH) -> SandboxedEnvironment:
    """Our templates' surroundings in Jinja's sandbox; a template is looked for in `folder`, then among ours."""
    ours = page_environment(words)
    sandbox = SandboxedEnvironment(
        loader=ChoiceLoader([PrefixLoader({"ours": FileSystemLoader(TEMPLATES)}), FileSystemLoader(folder),
                             FileSystemLoader(TEMPLATES)]),
        autoescape=True, undefined=ours.undefined, finalize=ours.finalize, trim_blocks=True, lstrip_blocks=True,
        keep_trailing_newline=True,
    )  # fmt: skip
    sandbox.filters |= ours.filters
    # Not over the sandbox's own, whose `range` has a bound.
    sandbox.globals |= {name: value for name, value in ours.globals.items() if name not in sandbox.globals}
    sandbox.tests["a_number"] = lambda value: isinstance(value, NUMBERS) and not isinstance(value, bool)
    return sandbox


def title_of(query: OwnQuery) -> str:
    """The first line of comment at the top of a query, else its name in words."""
    first = query.sql.lstrip().splitlines()[0] if query.sql.strip() else ""
    said = first.removeprefix("--").strip() if first.startswith("--") else ""
    return said.rstrip(".") or query.table.replace("_", " ")


def _rows(db: duckdb.DuckDBPyConnection, table: str) -> list[dict[str, Any]]:
    found = db.execute(f'from "{table}"')
    names = [column[0] for column in found.description]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]
