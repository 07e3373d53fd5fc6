"""The pages of a fleet's own reports: `reports/NAME.html` in the fleet folder, or a plain table where there is none.

A template of the fleet's own, a page or one that stands for one of ours, runs in Jinja's sandbox: it reaches the values
it is given and nothing of Python, the files or a network. Templates stand in the folder `reports`, or are ours, named
`ours/week.html` and the like. A page of its own is given `rows` (the table of its name, a mapping a row), `tables` (all
own tables by name) and `week`; all text is escaped.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from traceback import extract_tb
from typing import Any

import duckdb
from jinja2 import TemplateNotFound, TemplateSyntaxError

from fleetreport.languages.catalogues import CATALOGUES, ENGLISH, Catalogue
from fleetreport.own.queries import FOLDER, NAME, OwnQuery
from fleetreport.pages.frame import TEMPLATES, Edition, inside, page_environment
from fleetreport.problem import WrongCall
from fleetreport.report.cautions import cautions
from fleetreport.report.report_rows import read_week

OURS = {path.stem for path in TEMPLATES.glob("[a-z]*.html")}
# Of what a number may be shown as, by its Python type.
NUMBERS = (int, float, Decimal)


def edition_of(fleet: Path, language: str) -> Edition:
    """The words of the fleet's language, and its folder of templates where it has any."""
    folder = fleet / FOLDER
    return Edition(CATALOGUES[language], folder if any(folder.glob("*.html")) else None)


def own_pages(db: duckdb.DuckDBPyConnection, own: Sequence[OwnQuery], words: Catalogue = ENGLISH) -> dict[str, str]:
    """Each own page's HTML by its name: one for each template, and one for each table without a template.

    What stands in the place of a query or a template of ours has no page of its own, since ours shows it. Raises
    WrongCall for a name that cannot be taken; see `told_of_own_templates` for what a template can raise.
    """
    folder = words.templates if isinstance(words, Edition) else None
    added = [query for query in own if not query.must_give]
    templates = sorted(path.stem for path in folder.glob("[!_]*.html") if path.stem not in OURS) if folder else []
    wrong = [f"{FOLDER}/{name}.html: found {name!r} as a name, expected a-z, 0-9 and _, a letter first"
             for name in templates if not NAME.fullmatch(name)]  # fmt: skip
    wrong += [f"{query.file}: found the name of a page of the program's, expected another name"
              for query in added if query.table in OURS]  # fmt: skip
    if wrong:
        raise WrongCall(*wrong)
    if not added and not templates:
        return {}
    environment = page_environment(words)
    environment.tests["a_number"] = lambda value: isinstance(value, NUMBERS) and not isinstance(value, bool)
    tables = {query.table: _rows(db, query.table) for query in added}
    given = {"week": read_week(db), "tables": tables, "cautions": cautions(words, "week"), **inside("_style.css")}
    titles = {query.table: title_of(query) for query in added}
    pages = {}
    for name in sorted({*tables, *templates}):
        template = f"{name}.html" if name in templates else "_own_table.html"
        more = {"rows": tables.get(name, []), "name": name, "title": titles.get(name, name.replace("_", " "))}
        pages[name] = environment.get_template(template).render(**given, **more)
    return pages


@contextmanager
def told_of_own_templates(fleet: Path) -> Iterator[None]:
    """Turn what goes wrong in a template of the fleet's own into WrongCall with its file and line.

    What a template does with the values is its writer's, so that any error of Python's own may come of it. A fault of
    ours goes on as it is.
    """
    try:
        yield
    except TemplateSyntaxError as error:
        if error.filename is None or not Path(error.filename).is_relative_to(fleet / FOLDER):
            raise
        raise WrongCall(f"{FOLDER}/{error.name}:{error.lineno}: {error.message}") from None
    except Exception as error:
        place = next((f"{FOLDER}/{Path(frame.filename).name}:{frame.lineno}"
                      for frame in reversed(extract_tb(error.__traceback__))
                      if Path(frame.filename).is_relative_to(fleet / FOLDER)), None)  # fmt: skip
        if place is None or isinstance(error, WrongCall):
            raise
        said = f"found no template {error.name!r}" if isinstance(error, TemplateNotFound) else str(error)
        raise WrongCall(f"{place}: {said}", help="each value is as its table has it") from None


def title_of(query: OwnQuery) -> str:
    """The first line of comment at the top of a query, else its name in words."""
    first = query.sql.lstrip().splitlines()[0] if query.sql.strip() else ""
    said = first.removeprefix("--").strip() if first.startswith("--") else ""
    return said.rstrip(".") or query.table.replace("_", " ")


def _rows(db: duckdb.DuckDBPyConnection, table: str) -> list[dict[str, Any]]:
    found = db.execute(f'from "{table}"')
    names = [column[0] for column in found.description]
    return [dict(zip(names, row, strict=True)) for row in found.fetchall()]
