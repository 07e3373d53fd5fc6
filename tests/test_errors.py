"""Every error a user can meet, provoked: a folder in errors/ holds the fleet that goes wrong and what must be printed.

`command.txt` names another command than `week`, `call.txt` adds to the call (default: --as-of 2026-11-25 --out out),
`fleet.txt` names another fleet folder (for `why`: the vehicle), `message.txt` holds the exit code and then what stands
on stderr.
"""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ERRORS = Path(__file__).parent / "errors"


def call(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "fleetreport", *arguments],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("name", sorted(path.name for path in ERRORS.iterdir()))
def test_error(name: str, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(ERRORS / name, tmp_path / name))
    extra = (folder / "call.txt").read_text().split() if (folder / "call.txt").exists() else []
    fleet = (folder / "fleet.txt").read_text().strip() if (folder / "fleet.txt").exists() else "."
    command = (folder / "command.txt").read_text().strip() if (folder / "command.txt").exists() else "week"
    usual = [] if "--as-of" in extra or command in ("loads", "guide", "new", "shard") else ["--as-of", "2026-11-25"]
    done = call(folder, command, fleet, *usual, *extra)
    assert f"exit {done.returncode}\n{done.stderr}" == (folder / "message.txt").read_text(encoding="utf-8")
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
