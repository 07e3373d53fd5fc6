"""The guide page on published values: what each source says, and what the program comes to.

`python tests/published/page.py` writes fleetreport/guide/published.md; test_published.py holds the page to the checks.
"""

import importlib
import sys
import tempfile
from collections.abc import Iterable
from datetime import date
from pathlib import Path

HERE = Path(__file__).parent
for folder in (HERE.parent.parent, HERE.parent, HERE.parent / "second_implementation"):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from published.checks import Check, Source, full_run_of  # noqa: E402

PAGE = HERE.parent.parent / "fleetreport" / "guide" / "published.md"
HEAD = """# Published values

<!-- Made by tests/published/page.py; not to be changed by hand. -->

What the arithmetic is held to from outside: standards, handbooks, books with worked examples, open data, and other people's
libraries. Each row is worked out anew by the tests of a checkout, and *got* is printed with as many decimals as the source gives.
How a value was come by stands below its source: *read there* (or a summary of it, where that is said), *read where it is quoted* (in
another public text), *from memory* (not looked up again), or *run beforehand and frozen* (by the library named). A rule of law is told as
an arithmetic check, not as advice: read the text in force.

{count} values of {sources} sources.
"""
NOT_RECKONED = """## Not reckoned by the program

Known values of methods that no report uses, so that there is nothing to hold to them: Weibull fits and probability plots (e-Handbook
8.4.1), EWMA charts (6.3.2.4), double smoothing (6.4.3.4), percentiles by p(N + 1) (7.2.6.2), generalised ESD (1.3.5.17.3), least-squares
lines (NIST StRD), planned backlog (SMRP 5.4.8), EN 15341 indicators, the capped grace of SMRP 5.4.14, provisions and carrying amounts
(IAS 16, IAS 37), allowance lists for spares, and limits of oil consumption other than those you enter yourself.
"""


def sources() -> list[Source]:
    """Every source of this folder, in order of the files."""
    found = []
    for path in sorted(HERE.glob("of_*.py")):
        module = importlib.import_module(f"published.{path.stem}")
        found += [one for one in vars(module).values() if isinstance(one, Source)]
    return found


def all_checks() -> list[Check]:
    """Every published value."""
    return [check for source in sources() for check in source.checks]


def page(checks: Iterable[tuple[Check, str]]) -> str:
    """The text of the page from the checks and what was got."""
    listed = list(checks)
    by_source: dict[str, list[tuple[Check, str]]] = {}
    for check, got in listed:
        by_source.setdefault(check.source.name, []).append((check, got))
    parts = [HEAD.format(count=len(listed), sources=len(by_source))]
    for name in sorted(by_source, key=str.lower):
        rows = by_source[name]
        ways = dict.fromkeys(
            f"{check.source.come_by}{f'; {check.source.remark}' if check.source.remark else ''}" for check, _ in rows
        )
        parts.append(f"## {name}\n\nValues: {' / '.join(ways)}.\n")
        lines = [
            f"| {_cell(check.clause)} | {_cell(check.what)} | {_cell(check.expected)} | {_cell(got)} |"
            for check, got in rows
        ]
        parts.append("\n".join(["| clause | value | expected | got |", "|---|---|---|---|", *lines]) + "\n")
    return "\n".join([*parts, NOT_RECKONED])


def _cell(text: str) -> str:
    shown = text.replace("\r\n", "\u240d\u240a").replace("|", "\\|").replace("*", "\\*").replace("<", "\\<")
    return shown.replace("\u00a0", "\u2423").replace("\u2011", "-")


def main() -> None:
    """Work everything out and write the page."""
    import duckdb
    from conftest import REPLAYED, SAMPLE_FLEET
    from simulated_fleet import LAST_DAY, LOOKS, simulated_fleet

    from fleetreport.trials.backtest import make_backtest
    from fleetreport.week import make_week

    with tempfile.TemporaryDirectory(prefix="published-") as name:
        folder = Path(name)
        make_week(SAMPLE_FLEET, date(2026, 11, 25), folder / "out", folder / "week.duckdb")
        make_backtest(simulated_fleet(folder / "fleet"), LAST_DAY, folder / "back", folder / "back.duckdb", LOOKS)
        week, back = (duckdb.connect(folder / file, read_only=True) for file in ("week.duckdb", "back.duckdb"))
        full_run_of[:] = [lambda query: back if query.folder in REPLAYED else week]
        PAGE.write_text(page((check, check.got()) for check in all_checks()), encoding="utf-8")
        week.close()
        back.close()


if __name__ == "__main__":
    main()
