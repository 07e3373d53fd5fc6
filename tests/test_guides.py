"""The user guides tell the truth: commands are run, sums are done again, lists are what there is."""

import csv
import doctest
import json
import re
import subprocess
import sys
import tomllib
from datetime import date, timedelta
from pathlib import Path
from zipfile import ZipFile

import pytest
import typer.main
from dateutil.relativedelta import relativedelta
from guide_blocks import ALL_BLOCKS, COMMAND, GUIDE, PAGES, Block, blocks_of, fits, ready_folder, run, write_file
from guide_reference import PAGES as MADE_PAGES
from guide_reference import columns_told, output_page, read_meanings

from fleetreport.cli import app
from fleetreport.settings.fleet_toml import Settings
from fleetreport.starting.guides import guides
from fleetreport.tables import TABLES

KINDS = {
    "console",
    "csv",
    "toml",
    "sum",
    "sh",
    "crontab",
    "systemd",
    "bat",
    "dockerfile",
    "python",
    "sql",
    "html",
    "text",
    "message",
}


def named(block: Block) -> str:
    return f"{block.page.name}:{block.line}"


def of_kind(*kinds: str) -> list[Block]:
    return [block for block in ALL_BLOCKS if block.kind in kinds]


def each(*kinds: str) -> pytest.MarkDecorator:
    """A test for each block of these kinds."""
    return pytest.mark.parametrize("block", of_kind(*kinds), ids=named)


@pytest.fixture(scope="module")
def pocket_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The reports of the fleet for a pocket calculator, with the guide's own report among them."""
    folder = tmp_path_factory.mktemp("pocket")
    environment = ready_folder(folder)
    for block in blocks_of(GUIDE / "own_reports.md"):
        write_file(block, folder / "pocket")
    assert run("fleetreport week pocket --as-of 2026-06-01", folder, environment)
    return folder / "out"


def rows_of(table: str, out: Path) -> list[dict[str, str]]:
    with (out / "data" / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# -- what is printed ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "page",
    [page for page in PAGES if any(block.kind == "console" for block in blocks_of(page))],
    ids=lambda page: page.stem,
)
def test_commands_print_what_the_page_shows(page: Path, tmp_path: Path, pocket_out: Path) -> None:
    """One after the other in one folder, with the files that the page shows in between."""
    environment = ready_folder(tmp_path, pocket_out)
    for block in blocks_of(page):
        if block.file:
            write_file(block, tmp_path)
        for found in COMMAND.finditer(block.text) if block.kind == "console" else ():
            printed = run(found["command"], tmp_path, environment)
            assert fits(found["output"], printed), f"{named(block)}: $ {found['command']}\n{printed}"


def test_what_is_left_out_fits_and_what_differs_does_not() -> None:
    assert fits("a\n…\nd\n", "a\nb\nc\nd\n")
    assert not fits("a\n…\nd\n", "a\nb\nc\n")
    assert not fits("a\n", "a\nb\n")


def test_every_block_is_of_a_kind_that_is_looked_at() -> None:
    assert {block.kind for block in ALL_BLOCKS} == KINDS


def test_examples_in_python(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run in one go, as a notebook would be."""
    ready_folder(tmp_path)
    monkeypatch.chdir(tmp_path)
    text = "\n".join(block.text for block in blocks_of(GUIDE / "python.md") if block.kind == "python")
    examples = doctest.DocTestParser().get_doctest(text, {}, "python.md", None, 0)
    result = doctest.DocTestRunner(optionflags=doctest.IGNORE_EXCEPTION_DETAIL).run(examples)
    assert result.attempted >= 10
    assert result.failed == 0


def test_the_report_of_ones_own_is_made(pocket_out: Path) -> None:
    page = (pocket_out / "long_standing.html").read_text(encoding="utf-8")
    assert "<h1>Not read for a month</h1>" in page
    assert [row["vehicle_id"] for row in rows_of("long_standing", pocket_out)] == ["G1", "K1", "K2"]


# -- sums -------------------------------------------------------------------------------------------------------------


def sums_of(page: str) -> list[tuple[str, str]]:
    """Left and right of each line of the sums of a page."""
    lines = [line for block in blocks_of(GUIDE / page) if block.kind == "sum" for line in block.text.splitlines()]
    return [tuple(line.split(" = ")) for line in lines]  # type: ignore[misc]


WORKED = ("due_dates.md", "daily_rate.md", "orders.md", "forecasts.md")
SUMS = [(page, left, right) for page in WORKED for left, right in sums_of(page)]


def worked_out(left: str) -> date | float:
    """What a sum comes to: of a date and days or months, or of figures, whatever their units are."""
    if re.match(r"\d{4}-", left):
        start, *steps = re.findall(r"\d{4}-\d\d-\d\d|[+-] \d+ (?:days|months)", left)
        day = date.fromisoformat(start)
        for step in steps:
            sign, number, unit = step.split()
            count = int(f"{sign}{number}")
            day += timedelta(count) if unit == "days" else relativedelta(months=count)
        return day
    figures = re.sub(r"[A-Za-z]+", "", left.replace(",", "")).replace("×", "*").replace("÷", "/").replace("^", "**")
    assert re.fullmatch(r"[\d.+\-*/() ]+", figures), left
    return float(eval(figures))  # noqa: S307 figures and signs only


def figure(text: str) -> tuple[float, float]:
    """A figure as it is shown, and half a unit of its last decimal."""
    found = re.match(r"-?[\d,]+(\.\d+)?", text)
    assert found, text
    return float(found[0].replace(",", "")), 0.5 * 10 ** -len((found[1] or ".")[1:])


@pytest.mark.parametrize(("page", "left", "right"), SUMS, ids=[f"{page}: {left}" for page, left, _ in SUMS])
def test_a_sum_is_right(page: str, left: str, right: str) -> None:
    """Done again by Python, to the decimals that are shown."""
    result = worked_out(left)
    if isinstance(result, date):
        assert result.isoformat() == right
    else:
        value, off = figure(right)
        assert result == pytest.approx(value, abs=off * 1.0001)


def results_of(*pages: str) -> set[str | float]:
    """What the sums of pages come to, as they show it."""
    return {right if re.match(r"\d{4}-", right) else figure(right)[0] for page in pages for _, right in sums_of(page)}


def test_the_program_comes_to_the_same_due_dates(pocket_out: Path) -> None:
    """Every task whose sums are shown: the day, the due point, what is left, the meter now."""
    shown = results_of("due_dates.md", "daily_rate.md")
    text = (GUIDE / "due_dates.md").read_text(encoding="utf-8")
    rows = {(row["vehicle_id"], row["task"]): row for row in rows_of("due", pocket_out)}
    for task in ("engine_oil", "brakes", "service", "wheel_nuts"):
        row = rows["K1", task]
        assert {row["due_on"], float(row["due_odometer"]), float(row["distance_left"]), 36500.0} <= shown
        assert row["odometer_now"] == "36500.0"
    assert {rows["K2", "engine_oil"]["due_on"], 969.0, 27181.0} <= shown
    rates = (GUIDE / "daily_rate.md").read_text(encoding="utf-8")
    for vehicle in ("K1", "K2"):
        assert f"{float(rows[vehicle, 'engine_oil']['rate_per_day']):.4g} km a day" in rates
    assert (rows["K2", "engine_oil"]["distance_left"], rows["K2", "engine_oil"]["odometer_now"]) == ("969.0", "27181.0")
    generator = rows["G1", "engine_oil"]
    assert {generator["due_on"], float(generator["due_hours"]), float(generator["hours_left"])} <= shown
    assert rows["K1", "coolant"]["due_on"] in shown
    assert rows["K1", "winter_check"]["due_on"] in text
    assert rows["K1", "inspection"]["due_on"] in text
    assert f"`late_by_pct` is {float(rows['K1', 'wheel_nuts']['late_by_pct']):.0f}" in text


def test_the_program_comes_to_the_same_order(pocket_out: Path) -> None:
    shown = results_of("orders.md")
    for row in rows_of("items_needed", pocket_out):
        assert {float(row["needed"]), float(row["to_order"]), row["until"]} <= shown
    assert [float(row["safety"]) for row in rows_of("items_needed", pocket_out)] == [0, 1]
    assert float(rows_of("order", pocket_out)[0]["cost"]) == min(84.00, 68.00, 66.00, 80.00)
    assert {84.00, 68.00, 66.00, 80.00} <= shown


def test_the_program_comes_to_the_same_forecast(pocket_out: Path) -> None:
    shown = results_of("forecasts.md")
    cells = {(row["month"], row["cost_centre"], row["category"]): row for row in rows_of("forecast", pocket_out)}
    june = cells["2026-06", "road", "cooling"]
    assert {float(june[name]) for name in ("scheduled", "total", "tax", "p10", "p90")} <= shown
    assert float(cells["2027-06", "site", "cooling"]["total"]) in shown
    assert float(cells["2026-06", "road", "repairs"]["unscheduled"]) in shown
    accrued = {(row["vehicle_id"], row["task"]): row for row in rows_of("accrual", pocket_out)}
    for task in ("coolant", "brakes"):
        assert {float(accrued["K1", task][name]) for name in ("cost", "accrued")} <= shown


# -- what cannot be run -----------------------------------------------------------------------------------------------

GROUP = typer.main.get_command(app)
CALL = re.compile(r"(?:^|[\s\"'/\\`])fleetreport(?:\.exe)? (?P<arguments>[^|>;&#`\n\"]*)")


def wrong_in_a_call(arguments: str) -> list[str]:
    """What a call says that the command line does not have."""
    words = arguments.split()
    commands = GROUP.commands  # type: ignore[attr-defined]
    name = words[0] if words else "--help"
    if name.startswith("--"):
        return [] if name in {opt for param in GROUP.params for opt in param.opts} | {"--help"} else [name]
    if name not in commands:
        return [name]
    known = {opt for param in commands[name].params for opt in param.opts} | {"--help"}
    return [word for word in words[1:] if word.startswith("--") and word.split("=")[0] not in known]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_calls_name_commands_and_options_that_there_are(page: Path) -> None:
    """In blocks, and in the running text between backticks."""
    text = page.read_text(encoding="utf-8")
    spans = [
        f"`{span}" for span in re.findall(r"`(fleetreport [^`]+)`", re.sub(r"```.*?```", "", text, flags=re.DOTALL))
    ]
    blocks = [
        block.text for block in blocks_of(page) if block.kind not in ("csv", "sql", "html", "sum", "python", "message")
    ]
    calls = [found["arguments"] for part in [*spans, *blocks] for found in CALL.finditer(part)]
    calls = [call for call in calls if not re.match(r"COMMAND|folder|guide\b$", call) and re.match(r"[a-z-]", call)]
    if page.stem in ("README", "weekly_run", "command_line"):
        assert len(calls) >= 3
    prose = {"is", "does", "made", "cannot", "reads"}
    assert [(call, wrong) for call in calls if call.split()[0] not in prose and (wrong := wrong_in_a_call(call))] == []


@pytest.mark.parametrize(
    ("arguments", "wrong"),
    [
        ("week f --out o", []),
        ("wek f", ["wek"]),
        ("week f --outt o", ["--outt"]),
        ("--version", []),
        ("--nope", ["--nope"]),
    ],
)
def test_a_wrong_call_would_be_seen(arguments: str, wrong: list[str]) -> None:
    assert wrong_in_a_call(arguments) == wrong


@each("toml")
def test_settings_are_settings(block: Block) -> None:
    Settings.model_validate(tomllib.loads(block.text))


@each("sh")
def test_a_shell_can_read_it(block: Block) -> None:
    done = subprocess.run(["bash", "-n", "-c", block.text], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@each("crontab")
def test_lines_of_a_crontab(block: Block) -> None:
    """Five fields and a command (POSIX, crontab), or a variable."""
    field = r"(\*|\d{1,2}(-\d{1,2})?)(/\d+)?(,\d{1,2}(-\d{1,2})?)*"
    line = re.compile(rf"[A-Z]+=\S+|{field}( {field}){{4}} /\S+ .+")
    assert [text for text in block.text.splitlines() if not line.fullmatch(text)] == []


UNIT_KEYS = {
    "Unit": {"Description", "After", "Wants"},
    "Service": {"Type", "User", "Environment", "ExecStart", "NoNewPrivileges", "ProtectSystem", "ProtectHome",
                "PrivateTmp", "ReadWritePaths"},
    "Timer": {"OnCalendar", "Persistent"},
    "Install": {"WantedBy"},
}  # fmt: skip


@each("systemd")
def test_keys_of_a_unit(block: Block) -> None:
    """Sections and keys of systemd.unit(5), systemd.service(5), systemd.exec(5) and systemd.timer(5)."""
    section = ""
    for line in filter(None, block.text.splitlines()):
        if head := re.fullmatch(r"\[(\w+)\]", line):
            section = head[1]
        else:
            key, value = line.split("=", 1)
            assert key in UNIT_KEYS[section]
            assert value
            assert key != "ExecStart" or value.startswith("/")


@each("dockerfile")
def test_instructions_of_a_container_file(block: Block) -> None:
    """Instructions of the Containerfile(5) format, FROM first; lists of words are JSON."""
    lines = [line.split(" ", 1) for line in block.text.splitlines()]
    assert lines[0][0] == "FROM"
    assert {name for name, _ in lines} <= {"FROM", "COPY", "RUN", "USER", "ENV", "ENTRYPOINT", "CMD"}
    words = {name: json.loads(rest) for name, rest in lines if name in ("ENTRYPOINT", "CMD")}
    assert wrong_in_a_call(" ".join(words["CMD"])) == []
    assert words["ENTRYPOINT"] == ["fleetreport"]


@each("bat")
def test_lines_of_a_batch_file(block: Block) -> None:
    known = (
        r"@echo off|set \w+=\w+|exit /b %\w+%|[A-Z]:\\\S+\.exe .+|schtasks /Create( /(TN|TR|SC|D|ST) (\"[^\"]+\"|\S+))+"
    )
    assert [line for line in block.text.splitlines() if not re.fullmatch(known, line)] == []


# -- the package ------------------------------------------------------------------------------------------------------


def test_the_contents_list_every_guide() -> None:
    assert sorted(guide.topic for guide in guides()) == sorted(
        page.stem for page in GUIDE.glob("*.md") if page.stem != "contents"
    )


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_links_lead_somewhere(page: Path) -> None:
    """Files beside the page, and headings in them."""
    for target, place in re.findall(r"\]\((?!https?:)([\w./-]*)(?:#([\w-]+))?\)", page.read_text(encoding="utf-8")):
        file = page.parent / target if target else page
        assert file.exists(), f"{page.name}: {target}"
        if place:
            heads = re.findall(r"^#+ (.+)$", file.read_text(encoding="utf-8"), re.MULTILINE)
            assert place in {re.sub(r"[^\w]+", "-", head.lower()).strip("-") for head in heads}, (
                f"{page.name}: {target}#{place}"
            )


@pytest.mark.parametrize("name", MADE_PAGES)
def test_the_reference_is_what_the_program_declares(name: str) -> None:
    """If this fails: `python tests/guide_reference.py` writes the pages anew, look at what changed."""
    assert (GUIDE / f"{name}.md").read_text(encoding="utf-8") == MADE_PAGES[name]()


def test_every_meaning_is_of_a_column() -> None:
    columns = {column.name for table in TABLES for column in table.columns}
    full = {f"{table.name}.{column.name}" for table in TABLES for column in table.columns}
    known = read_meanings()
    assert set(known.tables) == {table.name for table in TABLES}
    assert set(known.columns) <= columns | full


def test_the_output_tables_have_the_columns_told(pocket_out: Path) -> None:
    """Against the files themselves: the same tables, the same columns in the same order."""
    told = columns_told(output_page())
    files = {path.stem for path in (pocket_out / "data").glob("*.csv")} - {"long_standing"}
    assert set(told) == files
    for name, columns in told.items():
        header = (pocket_out / "data" / f"{name}.csv").read_text(encoding="utf-8").splitlines()[0]
        assert columns == header.split(","), name


def test_a_wheel_carries_the_guides_and_the_starter_folder(tmp_path: Path) -> None:
    root = GUIDE.parent.parent
    call = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(call, cwd=root, capture_output=True, check=True)
    inside = set(ZipFile(next(tmp_path.glob("*.whl"))).namelist())
    wanted = {path for name in ("guide", "starting/folder") for path in (GUIDE.parent / name).iterdir()}
    assert {path.relative_to(root).as_posix() for path in wanted} | {"fleetreport/py.typed"} <= inside
