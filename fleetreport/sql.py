"""Text put into SQL safely: as a literal, as a name, as a path that a reader does not take for a pattern."""

import re
from pathlib import Path

GLOB = re.compile(r"([*?\[])")
# A file of another kind must not make DuckDB fetch what would read it.
NO_EXTENSIONS: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
}


def literal(text: str) -> str:
    """Text as an SQL string."""
    return "'" + text.replace("'", "''") + "'"


def identifier(name: str) -> str:
    """A table's or column's name: `table`, `column` and `class` are names of ours and words of SQL."""
    return '"' + name.replace('"', '""') + '"'


def one_path(path: Path | str) -> str:
    """The path of one file as an SQL string: DuckDB's readers take *, ? and [ for a pattern."""
    return literal(GLOB.sub(r"[\1]", str(path)))
