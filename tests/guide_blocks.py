"""The fenced blocks of README and the user guides: found, and those that are commands run and compared.

A block is opened by three backticks and a word for its kind; a file of a fleet folder also says where it goes
(`csv pocket/vehicles.csv`). Blocks of kind `console` hold commands after `$ ` and below each what it prints, stdout as
a whole; `…` there stands for what is left out. `python tests/guide_blocks.py PAGE …` writes anew what they print.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "fleetreport" / "guide"
PAGES = [ROOT / "README.md", *sorted(GUIDE.glob("*.md"))]
BLOCK = re.compile(r"^```(?P<kind>\w+)(?: (?P<file>\S+))?\n(?P<text>.*?)^```$", re.DOTALL | re.MULTILINE)
COMMAND = re.compile(r"^\$ (?P<command>.+)\n(?P<output>(?:(?!\$ ).*\n)*)", re.MULTILINE)
LEFT_OUT = "…"
# The day a page was written on, for the commands that go by today's.
WRITTEN_ON = "2026-11-25"


class Block(NamedTuple):
    """One block: its page, its kind, the file it is (for files), its text and the line it begins on."""

    page: Path
    kind: str
    file: str
    text: str
    line: int


def blocks_of(page: Path) -> list[Block]:
    """The blocks of a page in order. Raises AssertionError where a fence has no pair."""
    text = page.read_text(encoding="utf-8")
    found = [
        Block(page, part["kind"], part["file"] or "", part["text"], text.count("\n", 0, part.start()) + 2)
        for part in BLOCK.finditer(text)
    ]
    assert text.count("```") == 2 * len(found), f"{page.name}: a block without a kind or an end"
    return found


ALL_BLOCKS = [block for page in PAGES for block in blocks_of(page)]


def write_files(page: Path, folder: Path) -> None:
    """Write the files of a fleet folder that a page shows."""
    for block in blocks_of(page):
        if block.file:
            write_file(block, folder)


def write_file(block: Block, folder: Path) -> None:
    """Write the file that a block is."""
    place = folder / block.file
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(block.text, encoding="utf-8")


def ready_folder(folder: Path, pocket_out: Path | None = None) -> dict[str, str]:
    """Lay out what the commands of a page expect: the sample fleet, the pocket fleet, `fleetreport` on the path.

    `pocket_out` are the reports of the pocket fleet. Gives the environment to run them in.
    """
    (folder / "sample_fleet").symlink_to(ROOT / "sample_fleet")
    write_files(GUIDE / "worked_example.md", folder)
    if pocket_out:
        shutil.copytree(pocket_out, folder / "out")
    programs = folder / ".venv" / "bin"
    programs.mkdir(parents=True)
    program = programs / "fleetreport"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m fleetreport "$@"\n')
    program.chmod(0o755)
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("FLEETREPORT_", "NO_COLOR"))}
    return {**kept, "PATH": f"{programs}{os.pathsep}{kept.get('PATH', '')}", "PYTHONPATH": str(ROOT)}


def run(command: str, folder: Path, environment: dict[str, str]) -> str:
    """What a command prints, stdout only. A store is named for the sample fleet, so that it is not written to."""
    if re.search(r"fleetreport week sample_fleet", command):
        command += " --store store.duckdb"
    done = subprocess.run(
        ["bash", "-c", command], cwd=folder, env=environment, capture_output=True, text=True, check=False
    )
    assert "Traceback" not in done.stderr, done.stderr
    return done.stdout.replace(date.today().isoformat(), WRITTEN_ON)


def fits(shown: str, printed: str) -> bool:
    """Whether what is printed is what a page shows, `…` standing for anything that is left out."""
    parts = [re.escape(part) for part in shown.split(LEFT_OUT)]
    return re.fullmatch(".*?".join(parts), printed, re.DOTALL) is not None


def written_anew(page: Path, folder: Path, environment: dict[str, str]) -> str:
    """The page's text with what its commands print now; where something is left out and it still fits, as it is."""

    def with_output(block: re.Match[str]) -> str:
        if block["file"]:
            write_file(Block(page, block["kind"], block["file"], block["text"], 0), folder)
        if block["kind"] != "console":
            return block[0]
        said = ""
        for one in COMMAND.finditer(block["text"]):
            printed = run(one["command"], folder, environment)
            said += f"$ {one['command']}\n{one['output'] if fits(one['output'], printed) else printed}"
        return f"```console\n{said}```"

    return BLOCK.sub(with_output, page.read_text(encoding="utf-8"))


if __name__ == "__main__":
    for name in sys.argv[1:]:
        with tempfile.TemporaryDirectory() as spare:
            env = ready_folder(Path(spare))
            run("fleetreport week pocket --as-of 2026-06-01", Path(spare), env)
            Path(name).write_text(written_anew(Path(name), Path(spare), env), encoding="utf-8")
