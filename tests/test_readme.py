"""README and DEVELOPERS tell the truth: the commands they print are run, and what they list is what there is."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import ROOT

from fleetreport.tables import TABLES

README = (ROOT / "README.md").read_text(encoding="utf-8")
CONSOLE = re.findall(r"```console\n\$ (.+?)\n(.*?)```", README, re.DOTALL)


@pytest.mark.parametrize(("command", "output"), CONSOLE, ids=[command for command, _ in CONSOLE])
def test_a_command_prints_what_the_readme_shows(command: str, output: str, tmp_path: Path) -> None:
    """Run from a folder with a link to the sample fleet, so that the checkout is not written to."""
    (tmp_path / "sample_fleet").symlink_to(ROOT / "sample_fleet")
    program, *arguments = command.split()
    store = ["--store", tmp_path / "store.duckdb"] if arguments[0] == "week" else []
    assert program == ".venv/bin/fleetreport"
    done = subprocess.run(
        [sys.executable, "-m", "fleetreport", *arguments, *store],
        cwd=tmp_path, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout == output


def test_the_readme_shows_a_command() -> None:
    assert len(CONSOLE) >= 1


def test_the_set_up_commands_end_in_the_commands_shown() -> None:
    main_job, tests = re.findall(r"```sh\n(python3 -m venv .+?)\n```", README)
    assert main_job.endswith(CONSOLE[0][0])
    assert tests.endswith(".venv/bin/pytest")
    assert tests in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_table_is_in_the_readme() -> None:
    listed = re.findall(r"^\| (`\w+`(?:, `\w+`)*) \|", README, re.MULTILINE)
    names = {name for cell in listed for name in re.findall(r"`(\w+)`", cell)}
    assert {table.name for table in TABLES} <= names
