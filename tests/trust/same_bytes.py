"""A week of a small fleet made under other circumstances: what is written must be the same, byte for byte.

Circumstances are the order of rows within files, the number of threads, the seed of Python's hashes, the locale, the
time zone of the machine, the folder worked in and an old store left there. `python tests/trust/same_bytes.py` makes
one week for each circumstance by itself and prints how many files differ; test_same_bytes.py makes one of all at once.
"""

import csv
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from random import Random

ROOT = Path(__file__).parent.parent.parent
SAMPLE = ROOT / "sample_fleet"
# Of the sample fleet one of each kind of vehicle; a meter was changed on two, one is severe, one reads in miles.
VEHICLES = ("L01", "L14", "P06", "T04", "T07", "W01", "W02")
USUAL = {"PYTHONHASHSEED": "0", "THREADS": "2", "LC_ALL": "C.UTF-8", "TZ": "UTC"}
RUN = """
import os, sys
from datetime import date
from pathlib import Path
from fleetreport.storing import store
ready, threads = store.make_ready, os.environ.get("THREADS")
def make_ready(db, time_zone):
    ready(db, time_zone)
    if threads:
        db.execute(f"set threads = {threads}")
store.make_ready = make_ready
from fleetreport.week import make_week
fleet, out, file = map(Path, sys.argv[1:])
make_week(fleet, date.fromisoformat("2026-11-25"), out, file, parquet=True)
"""


def small_fleet(target: Path, sample_out: Path) -> Path:
    """The sample fleet's folder with a few vehicles, their rows in one file a table, without its planted faults.

    What is set aside, words that no rule knows and findings would make reports name the lines of files, which move
    with the rows. `sample_out` is where the sample fleet's own week is.
    """
    target.mkdir(parents=True)
    faults = {(row["file"], row["line"]): row for row in _rows(sample_out / "data" / "quarantine.csv")}
    unknown = {row["description"] for row in _rows(sample_out / "data" / "unmatched.csv")}
    for path in sorted(SAMPLE.iterdir()):
        if path.name == "fleet.toml":
            shutil.copy(path, target)
        elif path.suffix == ".csv" or path.name in ("history", "readings"):
            rows = []
            for file in sorted(path.glob("*.csv")) if path.is_dir() else [path]:
                name = file.relative_to(SAMPLE).as_posix()
                for line, row in _rows_and_lines(file):
                    fault = faults.get((name, str(line)))
                    if fault and (path.is_dir() or fault["scope"] != "value" or not fault["value"]):
                        continue
                    if row.get("vehicle_id", VEHICLES[0]) in VEHICLES and not _is_unknown(row, unknown):
                        emptied = {fault["column"]: ""} if fault else {}
                        rows.append({**row, **emptied, **({"condition": ""} if "condition" in row else {})})
            _write(target / f"{path.stem}.csv", rows)
    return target


def _is_unknown(row: dict[str, str], unknown: set[str]) -> bool:
    return "description" in row and not row.get("task") and row["description"] in unknown


def shuffled(fleet: Path, target: Path, seed: int) -> Path:
    """The same files with their rows in another order."""
    target.mkdir(parents=True)
    chance = Random(seed)
    for path in sorted(fleet.iterdir()):
        if path.suffix == ".csv":
            rows = _rows(path)
            chance.shuffle(rows)
            _write(target / path.name, rows)
        elif path.is_file():
            shutil.copy(path, target)
    return target


def _rows_and_lines(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    """Rows with the line that each begins on."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        reader = csv.DictReader(file)
        begins = reader.reader.line_num + 1 if reader.fieldnames else 0
        for row in reader:
            yield begins, {name: cell for name, cell in row.items() if name}
            begins = reader.line_num + 1


def _rows(path: Path) -> list[dict[str, str]]:
    return [row for _, row in _rows_and_lines(path)]


def _write(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(dict.fromkeys(name for row in rows for name in row)), restval="")
        writer.writeheader()
        writer.writerows(rows)


def week(fleet: Path, folder: Path, circumstances: Mapping[str, str]) -> dict[str, bytes]:
    """The files of a week made by a process of its own, by their names."""
    folder.mkdir(parents=True, exist_ok=True)
    env = {**os.environ, "PYTHONPATH": str(ROOT), **circumstances}
    subprocess.run(
        [sys.executable, "-c", RUN, fleet, folder / "out", folder / "store.duckdb"], env=env, cwd=folder, check=True
    )
    return {
        path.relative_to(folder / "out").as_posix(): path.read_bytes()
        for path in sorted((folder / "out").rglob("*"))
        if path.is_file()
    }


def main() -> None:
    """One week for each circumstance by itself beside the usual one."""
    with tempfile.TemporaryDirectory(prefix="same-bytes-") as name:
        folder = Path(name)
        week(SAMPLE, folder / "sample", {})
        fleet = small_fleet(folder / "fleet", folder / "sample" / "out")
        usual = week(fleet, folder / "usual", USUAL)
        print(f"{len(usual)} files")
        for what, env in (
            ("again", USUAL),
            ("PYTHONHASHSEED=1", {"PYTHONHASHSEED": "1"}),
            ("one thread", {"THREADS": "1"}),
            ("eight threads", {"THREADS": "8"}),
            ("LC_ALL=C", {"LC_ALL": "C"}),
            (f"LC_ALL={another_locale()}", {"LC_ALL": another_locale()}),
            ("TZ=Pacific/Kiritimati", {"TZ": "Pacific/Kiritimati"}),
            ("TZ=Pacific/Pago_Pago", {"TZ": "Pacific/Pago_Pago"}),
        ):
            report(what, usual, week(fleet, folder / what.replace("/", "_"), {**USUAL, **env}))
        for seed in (1, 2, 3):
            other = shuffled(fleet, folder / f"rows{seed}" / "fleet", seed)
            report(f"rows in another order, {seed}", usual, week(other, folder / f"rows{seed}", USUAL))


def another_locale() -> str:
    """A locale that writes numbers and sorts words unlike C, where the machine has one."""
    there = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout.split()
    own = [name for name in there if not name.startswith(("C", "POSIX"))]
    given = Path(os.environ.get("LOCPATH", "/nowhere"))
    own += sorted(path.name for path in given.glob("*_*"))
    return next((name for name in own if name.startswith("de_DE")), next(iter(own), "C"))


def report(what: str, usual: dict[str, bytes], other: dict[str, bytes]) -> None:
    """One line of what differs."""
    differs = sorted(name for name in usual.keys() | other.keys() if usual.get(name) != other.get(name))
    print(f"{what}: {len(differs)} differ{': ' if differs else ''}{', '.join(differs[:12])}", flush=True)


if __name__ == "__main__":
    main()
