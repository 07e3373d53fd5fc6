"""The tree shows the flow: a module imports only from those before it, and files can be taken in."""

import ast
import re
from pathlib import Path

import pytest
from conftest import QUERIES, ROOT

PACKAGE = ROOT / "fleetreport"
# read -> check -> store -> query -> report, and what each leans on. "": the package's own folder.
FLOW = (
    ("", "problem", "sql", "characters", "alike", "kinds", "tables", "months", "cells", "marks", "published_tables"),
    ("settings", "section", "lines", "formats", "wording", "sources", "faults", "workshop", "fleet_toml"),
    ("reading", "records", "number_text", "parquet", "workbook_rows", "spreadsheet", "shapes", "files", "mapping",
     "rows", "check"),
    ("storing", "damage", "past_weeks", "store", "fingerprint", "fates", "loading", "load_log"),
    ("", "query", "placing", "remaking"),
    ("own", "queries"),
    ("meters", "carrying_on", "believed", "slips", "restarts", "diagnose", "diagnosis_steps"),
    ("tasks", "wording_steps"),
    ("items", "demand", "demand_steps", "specification", "whole_numbers", "offers", "plain_packs", "packs",
     "order_steps", "fewer_products"),
    ("visits", "workshop", "search", "solver", "steps"),
    ("money", "repairs", "repair_steps", "season", "simulate", "forecast_steps"),
    ("record", "findings", "alike_vehicles", "unknown_settings"),
    ("languages.english", "base", "books", "cautions", "letters", "lists", "money", "orders", "pages", "sheets",
     "told", "trials", "workshop"),
    ("languages.german", "base", "books", "cautions", "letters", "lists", "money", "orders", "pages", "sheets",
     "told", "trials", "workshop"),
    ("languages", "catalogues"),
    ("report", "report_rows", "order_rows", "visit_rows", "money_rows", "since_rows", "sheet_rows", "depot_parts",
     "cautions", "sentences", "amounts", "changes_said", "moved", "told"),
    ("pages", "compiled_templates", "frame", "page", "charts", "drawing", "order_chart", "strip_chart", "order_page",
     "record_page", "job_cards", "forecast_charts", "forecast_page", "own_reports", "meter_chart", "vehicle_pages",
     "index_page"),
    ("workbooks", "book_file", "sheet_cells", "sheets", "texts", "quick_sheet", "cover", "due_sheets", "order_sheets",
     "workshop_sheets", "week_charts", "all_tasks_sheet", "workbook", "forecast_sheets", "what_if_sheet",
     "forecast_book", "money_tables"),
    ("letters", "order_letters", "pictures", "mail", "order_mail", "forecast_mail", "visit_calendar", "send"),
    ("", "kept_weeks", "publishing", "standing", "week"),
    ("cluster", "places", "parts", "rounds", "shards", "on_a_shard", "workers", "week_in_shards"),
    ("trials", "changes", "side_by_side", "what_if_page", "what_if_book", "what_if", "money_looks",
     "money_backtest_page", "money_backtest", "backtest_page", "backtest"),
    ("checking", "check_report", "nearest", "fleet_check"),
    ("why", "sums", "explain", "why"),
    ("describing", "header_words", "profile", "look", "guess", "known_vehicles", "describe"),
    ("", "api"),
    ("starting", "new_folder", "guides", "guide_pages"),
    ("commands", "plain", "log", "terminal", "reports", "input", "money", "first_steps"),
    ("", "cli"),
)  # fmt: skip
ORDER = [f"{folder}.{module}".lstrip(".") for folder, *modules in FLOW for module in modules]
PATHS = {
    ".".join(path.relative_to(PACKAGE).with_suffix("").parts): path
    for path in PACKAGE.rglob("*.py")
    if path.name not in ("__init__.py", "__main__.py")
}
MODULES = sorted(PATHS)


def imports_of(path: Path) -> set[str]:
    """The modules of the package that a module imports, at its top or inside a function."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "fleetreport":
            inside = (node.module or "").removeprefix("fleetreport").lstrip(".")
            below = {f"{inside}.{name.name}".lstrip(".") for name in node.names} & set(MODULES)
            found |= below or ({inside} if inside else set())
    return found


def test_every_module_has_its_place() -> None:
    assert sorted(ORDER) == MODULES


@pytest.mark.parametrize("module", MODULES)
def test_a_module_imports_only_from_those_before_it(module: str) -> None:
    before = set(ORDER[: ORDER.index(module)])
    assert imports_of(PATHS[module]) <= before


@pytest.mark.parametrize("module", MODULES)
def test_only_the_command_line_prints_or_exits(module: str) -> None:
    calls = {
        node.func.id
        for node in ast.walk(ast.parse(PATHS[module].read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert module == "cli" or module.startswith("commands.") or not calls & {"print", "exit"}


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.stem)
def test_modules_and_functions_can_be_taken_in(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert text.count("\n") <= 330
    functions = [n for n in ast.walk(ast.parse(text)) if isinstance(n, ast.FunctionDef)]
    assert [f.name for f in functions if (f.end_lineno or 0) - f.lineno > 55] == []


def test_the_contributors_guide_names_every_folder_and_module() -> None:
    """Of languages the folders: their modules are parts of one catalogue."""
    told = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    modules = [path for name, path in PATHS.items() if not re.match(r"languages\.\w+\.", name)]
    assert [path.name for path in modules if path.name not in told] == []
    holders = [*PACKAGE.glob("*/"), *QUERIES.glob("*/"), *(ROOT / "tests").glob("*/"), *ROOT.glob("[a-z]*/")]
    folders = {folder.name for folder in holders if any(folder.glob("*.*")) and folder.name != "__pycache__"}
    assert [name for name in sorted(folders) if f"{name}/" not in told] == []


def test_queries_can_be_taken_in() -> None:
    lengths = {path.name: path.read_text(encoding="utf-8").count("\n") for path in QUERIES.glob("*/*.sql")}
    assert {name: length for name, length in lengths.items() if length > 130} == {}
