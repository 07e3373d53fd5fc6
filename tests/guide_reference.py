"""The guide pages `input`, `output` and `errors`, made from what the program declares, so that they cannot differ.

`python tests/guide_reference.py` writes them; `test_guides.py` compares them. Input comes from `fleetreport/tables.py`
and `column_meanings.txt`, output from the headers of the queries whose tables are published, errors from the folders
of `tests/errors`, whose messages `test_errors.py` provokes.
"""

import re
from pathlib import Path
from typing import NamedTuple

from fleetreport.cli import COMMANDS
from fleetreport.kinds import CODES, MONEY, TEXT
from fleetreport.published_tables import PUBLISHED, PUBLISHED_MONEY
from fleetreport.query import Query, beside_the_package, load_queries
from fleetreport.tables import TABLES, Column, Table

HERE = Path(__file__).parent
GUIDE = HERE.parent / "fleetreport" / "guide"
MADE = "<!-- Made by tests/guide_reference.py; not to be changed by hand. -->"

INPUT = """# Input tables

{made}

A fleet folder holds one file (CSV or TSV in any dialect, XLSX, Parquet, JSON Lines, the texts also as `.gz`), or a
folder of such files of the same name, for each table, and [`fleet.toml`](settings.md). Only `vehicles` and `tasks`
must be there. A file with other columns gets a [`[[source]]` section](sources.md).

Dates are `2026-11-25`, times `2026-11-25T14:30`, numbers `84120.5`. A column that is missing or blank takes its
default. Columns that are not known are counted and ignored. A row is refused where a column marked *needed* is
blank, and a cell is left blank where it cannot be read; both are listed with file and line, and nothing else is
lost.
"""

OUTPUT = """# Output tables

{made}

In `out/data`, as CSV in UTF-8 with a header, ISO dates and a point before decimals; with `--parquet` also as
Parquet. The same folder, day and version give the same bytes. Columns may be added at the right end of what stands
here, so take them by their names.

Blank is written as nothing. Distances are in the unit said, hours in h, money in the currency of `fleet.toml`
without tax.

Texts stand here as they were typed, so that they match the folder's: a spreadsheet that opens such a file takes one
that begins with `=`, `+`, `-` or `@` for a formula. For people there are the workbooks, the lists in `orders/` and
`jobcards.csv`, in which no text begins so.
"""

ERRORS = """# Errors

{made}

What stops a run, as it stands on stderr; each is provoked by the tests. A message names the file, the line and the
column or the key, says what was found and what was expected, and where it can what to do. The
[exit code](command_line.md#exit-codes) tells a scheduler whether trying again can help. What is wrong with single rows
and cells stops nothing: `fleetreport check` lists it.
"""

# What one row is, of tables that Python makes.
OF_STEPS = {
    "interval_advice": (
        "What findings say of each interval: keep it, lengthen or shorten it; never beyond the maker's.",
        "scope, name, duty, task",
        {
            "scope, name": "class or vehicle, and which",
            "duty, task": "",
            "soiled_low, soiled_high": "interval estimate (95 %) of the share found soiled or worse",
            "bad_low, bad_high": "the same of the share found contaminated or failed",
            "advice": "in words",
            "proposed_distance, proposed_hours, proposed_months": "the fleet's unit, h, months; null: no change",
        },
    )
}


class Meanings(NamedTuple):
    """What tables are, and what columns mean by name or by `table.name`."""

    tables: dict[str, str]
    columns: dict[str, str]


def read_meanings() -> Meanings:
    """The file `column_meanings.txt`."""
    found = Meanings({}, {})
    for line in (HERE / "column_meanings.txt").read_text(encoding="utf-8").splitlines():
        if table := re.fullmatch(r"\[(\w+)\] (.+)", line):
            found.tables[table[1]] = table[2]
        elif line and not line.startswith("#"):
            name, meaning = line.split(": ", 1)
            found.columns[name] = meaning
    return found


def meaning(table: Table, column: Column, known: Meanings) -> str:
    """What a column means. Raises KeyError where nobody wrote it down."""
    return known.columns.get(f"{table.name}.{column.name}") or known.columns[column.name]


def input_page() -> str:
    """The page on the input tables."""
    known = read_meanings()
    parts = [INPUT.format(made=MADE)]
    for table in TABLES:
        rows = [f"| `{c.name}` | {_holds(c)} | {meaning(table, c, known)} |" for c in table.columns]
        key = f" One row for each {', '.join(f'`{name}`' for name in table.key)}." if table.key else ""
        parts.append(f"## {table.name}\n\n{known.tables[table.name]}{key}\n")
        parts.append("\n".join(["| column | holds | meaning |", "|---|---|---|", *rows]) + "\n")
    return "\n".join(parts)


def _holds(column: Column) -> str:
    """What a cell holds, whether it is needed, and its default."""
    words = {TEXT: "text", CODES: "codes with blanks between", MONEY: "money"}.get(column.kind, column.kind.expected)
    words = words.replace("a number such as 84120.5", "number").replace("a whole number", "whole number")
    words = re.sub(r"^a (date|time|day of the year|date or a time) such as .*", r"\1", words)
    listed = re.fullmatch(r"\w+( or \w+)+", words) if column.kind not in (TEXT, CODES) else None
    if listed and " or a time" not in words:
        words = ", ".join(f"`{word}`" for word in words.split(" or "))
    extra = [f"default `{column.default}`"] if column.default else []
    return "; ".join(["**needed**"] * column.needed + [words, *extra])


def output_page() -> str:
    """The page on the tables in out/data."""
    queries = {query.table: query for query in load_queries(beside_the_package("queries"))}
    parts = [OUTPUT.format(made=MADE)]
    for name in (*PUBLISHED, *PUBLISHED_MONEY):
        about, one_row, given = _of_query(queries[name]) if name in queries else OF_STEPS[name]
        rows = [
            f"| {', '.join(f'`{c}`' for c in names.split(', '))} | {_cell(said)} |" for names, said in given.items()
        ]
        parts.append(f"## {name}.csv\n\n{about} One row for each {one_row}.\n")
        parts.append("\n".join(["| column | meaning |", "|---|---|", *rows]) + "\n")
    return "\n".join(parts)


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _of_query(query: Query) -> tuple[str, str, dict[str, str]]:
    """What a query's header says: its first paragraph, what one row is, and its columns with their meanings."""
    head = [line.removeprefix("--").strip() for line in query.sql.split("\n\n")[0].splitlines()]
    about = " ".join(head[: head.index("")])
    given: dict[str, str] = {}
    for line in query.sql.split("-- gives:", 1)[1].splitlines():
        if not line.startswith((" ", "--  ")):
            break
        text = line.removeprefix("--").strip()
        found = re.match(r"(\w+(?:, \w+)*)(?:\s+(.*))?$", text)
        if found and (set(found[1].split(", ")) <= set(query.gives)):
            given[found[1]] = found[2] or ""
        elif given:
            last = next(reversed(given))
            given[last] += f" {text}"
    return about.rstrip(".") + ".", ", ".join(query.one_row), given


def columns_told(page: str) -> dict[str, list[str]]:
    """The columns of each table of a page, in order."""
    told: dict[str, list[str]] = {}
    for part in page.split("\n## ")[1:]:
        name = part.split("\n", 1)[0].removesuffix(".csv")
        told[name] = [
            c for row in re.findall(r"^\| (`.+?) \|", part, re.MULTILINE) for c in re.findall(r"`(\w+)`", row)
        ]
    return told


def errors_page() -> str:
    """The page on errors: each that the tests provoke, by command, as it is printed."""
    by_command: dict[str, list[str]] = {}
    for folder in sorted((HERE / "errors").iterdir()):
        asked = folder / "command.txt"
        command = asked.read_text(encoding="utf-8").strip() if asked.exists() else "week"
        code, text = (folder / "message.txt").read_text(encoding="utf-8").split("\n", 1)
        title = folder.name.replace("_", " ").removeprefix(f"{command.replace('-', ' ')} ")
        heading = title[0].upper() + title[1:]
        shown = f"### {heading}\n\nExit code {code.removeprefix('exit ')}.\n\n```message\n{text}```\n"
        by_command.setdefault(command if command in COMMANDS else "Any command", []).append(shown)
    parts = [ERRORS.format(made=MADE)]
    for command in sorted(by_command):
        parts += [f"## {command}\n", *by_command[command]]
    return "\n".join(parts)


PAGES = {"input": input_page, "output": output_page, "errors": errors_page}

if __name__ == "__main__":
    for name, page in PAGES.items():
        (GUIDE / f"{name}.md").write_text(page(), encoding="utf-8")
