"""The sample fleet's README: the scenario, the stories, what was planted and what overlaps."""

from collections.abc import Sequence

from generator.readme_text import OPENING, STORIES
from generator.sheets import Sheet


def _table(header: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """A table in Markdown; a bar inside a cell is escaped."""
    lines = ["| " + " | ".join(header) + " |", "|" + " --- |" * len(header)]
    lines += ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in rows]
    return "\n".join(lines) + "\n"


def readme(sheets: list[Sheet], planted: list[dict[str, str]], repeated: dict[str, int]) -> str:
    """The whole text."""
    refused = {sheet.path: 0 for sheet in sheets}
    for fault in planted:
        refused[fault["file"]] += fault["scope"] == "row"
    files = [
        (f"`{s.path}`", str(len(s.rows)), str(repeated[s.path]), str(refused[s.path]))
        for s in sorted(sheets, key=lambda s: s.path)
    ]
    faults = [
        tuple(
            f"`{f[name]}`" if name == "value" and f[name] else f[name]
            for name in ("file", "line", "column", "value", "scope", "as_of_from", "what")
        )
        for f in planted
    ]
    return "\n".join(
        (
            OPENING,
            "## Files, rows, repeats\n",
            (
                "A repeat says the same as an earlier row of its table (files in name order): overlapping"
                " weeks, and a few rows written twice. Refused are rows of scope `row`.\n"
            ),
            _table(("file", "rows", "repeated", "refused"), files),
            STORIES,
            "## Every planted fault\n",
            (
                f"{len(planted)} faults, the same list as `tests/planted_faults.csv`. Line 1 is the header."
                " A `reading` fault shows from the day in `as_of_from` on; a blank means always.\n"
            ),
            _table(("file", "line", "column", "value", "scope", "as_of_from", "what"), faults),
        )
    )
