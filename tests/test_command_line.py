"""Manners of the command line: logs, exit codes, completion, plain text in pipes, narrow and wide terminals."""

import json
import os
import pty
import re
import shutil
import struct
import subprocess
import sys
import termios
from datetime import datetime
from fcntl import ioctl
from pathlib import Path

import pytest
from conftest import WriteFleet

from fleetreport import __version__
from fleetreport.alike import nearest_names
from fleetreport.checking.check_report import place_text
from fleetreport.checking.fleet_check import check_fleet
from fleetreport.cli import COMMANDS
from fleetreport.problem import Exit
from fleetreport.starting.guides import FOLDER, guides, text_of
from fleetreport.starting.new_folder import WRITTEN_FOR, make_folder

WEIGHT = "\x1b["
PROGRAM = [sys.executable, "-m", "fleetreport"]


def call(folder: Path, *arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("FLEETREPORT_", "NO_COLOR"))}
    return subprocess.run(
        [*PROGRAM, *arguments], cwd=folder, env={**kept, **environment}, capture_output=True, text=True, check=False
    )


def on_a_terminal(folder: Path, columns: int, *arguments: str, with_stderr: bool = False, **environment: str) -> str:
    """What a call writes to a terminal of so many columns, which shows everything at once."""
    ours, theirs = pty.openpty()
    ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 1000, columns, 0, 0))
    kept = {name: value for name, value in os.environ.items() if name not in ("COLUMNS", "NO_COLOR", "LINES")}
    pager = {"PAGER": "cat", "TERM": "xterm"}
    with subprocess.Popen(
        [*PROGRAM, *arguments], cwd=folder, env={**kept, **pager, **environment}, stdin=theirs, stdout=theirs,
        stderr=theirs if with_stderr else subprocess.DEVNULL, close_fds=True,
    ) as process:  # fmt: skip
        os.close(theirs)
        written = b""
        while True:
            try:
                if not (part := os.read(ours, 65536)):
                    break
            except OSError:  # the other end is closed
                break
            written += part
        process.wait()
    os.close(ours)
    return written.decode().replace("\r\n", "\n")


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A starter folder with one row that is refused, in a file with a long name."""
    folder = tmp_path_factory.mktemp("manners")
    make_folder(folder / "fleet", WRITTEN_FOR)
    more = folder / "fleet" / "readings"
    more.mkdir()
    shutil.move(folder / "fleet" / "readings.csv", more / "a.csv")
    (more / f"{'export-of-the-' * 5}tracker.csv").write_text("vehicle_id,read_at,reading,sourse\nVO1,2026-11-20,1,x\n")
    return folder


LONG_NAME = f"readings/{'export-of-the-' * 5}tracker.csv:2"
CHECK = ("check", "fleet", "--as-of", "2026-11-25")


def test_version(tmp_path: Path) -> None:
    assert call(tmp_path, "--version").stdout == f"fleetreport {__version__}\n"


# -- logs and exit codes ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("how", ["option", "variable"])
def test_json_lines(fleet: Path, how: str) -> None:
    """Begin, notes, counts and end; stdout is what a person gets. RFC 8259 (JSON), RFC 3339 (times)."""
    asked = call(fleet, *CHECK, "--log-json") if how == "option" else call(fleet, *CHECK, FLEETREPORT_LOG="json")
    said = [json.loads(line) for line in asked.stderr.splitlines()]
    assert [one["event"] for one in said] == ["begin", "counts", "end"]
    assert {one["command"] for one in said} == {"check"}
    assert all(datetime.fromisoformat(one["time"].replace("Z", "+00:00")).tzinfo for one in said)
    assert (said[1]["as_of"], said[1]["to_mend"], said[1]["to_look_at"]) == ("2026-11-25", 1, 1)
    assert (said[2]["exit_code"], said[2]["level"]) == (asked.returncode, "info")
    assert "VO1" in asked.stdout


@pytest.mark.parametrize(
    ("arguments", "code", "messages"),
    [
        (["loads", "nowhere"], 3, ["nowhere: found no such folder, expected a fleet folder"]),
        (["week", "--zzz"], 2, ["No such option: --zzz"]),
        (["check", "x", "--as-of", "soon"], 2, ['--as-of: found "soon", expected a date such as 2026-11-25']),
    ],
)
def test_errors_as_json(tmp_path: Path, arguments: list[str], code: int, messages: list[str]) -> None:
    done = call(tmp_path, *arguments, FLEETREPORT_LOG="json")
    said = [json.loads(line) for line in done.stderr.splitlines()]
    assert done.returncode == code
    assert [one["message"] for one in said if one["event"] == "error"] == messages
    assert (said[-1]["event"], said[-1]["exit_code"], said[-1]["level"]) == ("end", code, "error")
    assert done.stdout == ""


def test_a_wrong_log_setting_is_told(tmp_path: Path) -> None:
    done = call(tmp_path, "guide", FLEETREPORT_LOG="xml")
    assert (done.returncode, done.stderr) == (2, 'error: FLEETREPORT_LOG: found "xml", expected json or text\n')


def test_exit_codes_are_those_of_the_guide(fleet: Path, tmp_path: Path) -> None:
    """0 done, 1 rows to mend, 2 a wrong call, 3 what cannot be read; the guide lists them."""
    codes = [
        call(tmp_path, "guide").returncode,
        call(fleet, *CHECK).returncode,
        call(tmp_path, "guide", "nothing_like_it").returncode,
        call(tmp_path, "week", "nowhere").returncode,
    ]
    assert codes == [0, 1, 2, 3] == [code.value for code in Exit]
    listed = re.findall(r"^\| (\d+) \|", text_of("command_line"), re.MULTILINE)
    assert [int(code) for code in listed] == [*codes, 130]


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_tells_its_exit_codes_and_an_example(name: str, tmp_path: Path) -> None:
    shown = call(tmp_path, name, "--help").stdout
    assert "Exit codes: 0 " in " ".join(shown.split())
    assert re.search(rf"Examples?:\n\s+fleetreport {name}\b", shown)
    assert "--log-json" in shown


# -- completion -------------------------------------------------------------------------------------------------------


def test_completion_is_installed_and_completes(tmp_path: Path) -> None:
    """As bash would call it, with a home of its own."""
    home = tmp_path / "home"
    home.mkdir()
    there = {"HOME": str(home), "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    done = call(tmp_path, "--install-completion", "bash", **there)
    assert done.returncode == 0
    assert "bash completion installed in" in done.stdout
    assert [path for path in home.rglob("*") if path.is_file() and "fleetreport" in path.name]
    asked = {"_FLEETREPORT_COMPLETE": "complete_bash", "COMP_WORDS": "fleetreport w", "COMP_CWORD": "1"}
    assert set(call(tmp_path, **asked).stdout.split()) >= {"week", "why", "what-if"}
    asked |= {"COMP_WORDS": "fleetreport guide d", "COMP_CWORD": "2"}
    assert call(tmp_path, **asked).stdout.split() == ["due_dates", "daily_rate"]
    asked |= {"COMP_WORDS": "fleetreport describe a.csv --table r", "COMP_CWORD": "4"}
    assert call(tmp_path, **asked).stdout.split() == ["readings"]


# -- text for terminals and pipes -------------------------------------------------------------------------------------


def test_nothing_but_text_in_a_pipe(fleet: Path, tmp_path: Path) -> None:
    assert WEIGHT not in call(fleet, *CHECK).stdout
    assert call(tmp_path, "guide", "glossary").stdout == text_of("glossary")


@pytest.mark.parametrize("columns", [40, 200])
def test_lines_fit_the_terminal_and_paths_stay_whole(fleet: Path, columns: int) -> None:
    shown = on_a_terminal(fleet, columns, *CHECK, NO_COLOR="1")
    assert WEIGHT not in shown
    assert LONG_NAME in shown
    findings = shown.split("written: ")[0].splitlines()
    assert [line for line in findings if len(line) > columns and LONG_NAME[:-2] not in line] == []
    assert (len(max(findings, key=len)) > 60) is (columns == 200) or columns == 40


def test_weight_only_where_it_may_be(fleet: Path) -> None:
    assert WEIGHT in on_a_terminal(fleet, 80, *CHECK)
    assert WEIGHT not in on_a_terminal(fleet, 80, *CHECK, NO_COLOR="1")
    for asked in (CHECK, ("guide", "cautions")):
        shown = on_a_terminal(fleet, 80, *asked, with_stderr=True)
        codes = {code for some in re.findall(r"\x1b\[([\d;]+)m", shown) for code in some.split(";")}
        assert codes
        assert not codes & {str(code) for code in (*range(30, 48), *range(90, 108))}
    assert "%" in on_a_terminal(fleet, 80, *CHECK, with_stderr=True)


@pytest.mark.parametrize("columns", [40, 80, 200])
def test_a_guide_is_laid_out_for_the_terminal(tmp_path: Path, columns: int) -> None:
    shown = on_a_terminal(tmp_path, columns, "guide", "glossary", NO_COLOR="1")
    assert "Safety stock." in shown
    assert max(map(len, shown.splitlines())) <= min(columns, 110)
    listed = on_a_terminal(tmp_path, columns, "guide", NO_COLOR="1")
    assert max(map(len, listed.splitlines())) <= max(columns, 70)
    assert [one.topic for one in guides() if one.topic not in listed] == []


# -- guides as pages --------------------------------------------------------------------------------------------------


def test_guides_in_a_browser(tmp_path: Path) -> None:
    """Opened by the browser named in BROWSER, as Python's `webbrowser` has it; `echo` stands for one."""
    done = call(tmp_path, "guide", "due dates", "--browser", BROWSER="true", TMPDIR=str(tmp_path))
    assert done.returncode == 0, done.stderr
    page = Path(done.stdout.removeprefix("written: ").strip())
    text = page.read_text(encoding="utf-8")
    assert page.name == "due_dates.html"
    assert "<h1" in text
    assert "Due dates</h1>" in text
    assert "default-src 'none'" in text
    assert 'href="daily_rate.html#the-band"' in text
    assert not re.search(r"<(script|img|link)\b", text)
    assert sorted(path.stem for path in page.parent.glob("*.html")) == sorted(path.stem for path in FOLDER.glob("*.md"))


def test_html_in_a_guide_stays_text(tmp_path: Path) -> None:
    from fleetreport.starting.guide_pages import guide_page

    page = guide_page("# A <b>title</b>\n\n<script>alert(1)</script>\n", "a")
    assert "<script>" not in page
    assert "&lt;script&gt;" in page


# -- what was meant ---------------------------------------------------------------------------------------------------


def test_a_check_says_what_was_probably_meant(fleet: Path, tmp_path: Path) -> None:
    """A letter O for a nought, and a misspelt column."""
    found = check_fleet(fleet / "fleet", WRITTEN_FOR, tmp_path / "out").findings.listed
    told = [place_text(finding, place) for finding, places in found for place in places]
    assert told == [
        f"{LONG_NAME}: VO1: did you mean V01?",
        f"{LONG_NAME[:-1]}1: sourse: did you mean source for sourse?",
    ]
    assert "did you mean V01?" in (tmp_path / "out/data/check.csv").read_text()


def test_a_check_of_lines_that_stay_says_what_was_meant(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """A line of history that names nothing keeps its money, a plan its row; each is told with the nearest name."""
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\nV1,van,2025-01-01\n",
        tasks="class,task,every_months,after\nvan,engine_oil,12,\nvan,wheel_nuts,,wheel\nvan,wheels,12,\ncar,brakes,6,\n",
        history="vehicle_id,done_on,task,kind,other_cost\nV1,2026-01-05,engin_oil,scheduled,9\nV1,2026-01-06,brake,scheduled,9\n"
        "Vl,2026-01-07,wheels,scheduled,9\n",
    )
    found = check_fleet(fleet, WRITTEN_FOR, tmp_path / "out").findings.listed
    told = {place.value: place.note for _, places in found for place in places}
    assert told["engin_oil"] == "did you mean engine_oil?"
    assert told["Vl"] == "did you mean V1?"
    assert told["wheel"] == "did you mean wheels?"
    # A task of another class's plan alone is none that this vehicle could mean.
    assert told["brake"] is None


@pytest.mark.parametrize(
    ("name", "near"),
    [
        ("raed_at", ["read_at"]),
        ("READ-AT", ["read_at"]),
        ("Kennzeichen", []),
        ("vehicle", ["vehicle_id"]),
        ("VEHlCLE ID", ["vehicle_id"]),
    ],
)
def test_nearest_names(name: str, near: list[str]) -> None:
    assert nearest_names(name, ["read_at", "vehicle_id", "reading"], 0.8, 1) == near
