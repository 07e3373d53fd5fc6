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
from collections.abc import Mapping
from pathlib import Path
from random import Random

ROOT = Path(__file__).parent.parent.parent
SAMPLE = ROOT / "sample_fleet"
AS_OF = "2026-11-25"
# Of the sample fleet one of each kind of vehicle; a meter was changed on two, one is severe, one reads in miles.
VEHICLES = ("L01", "L14", "P06", "T04", "T07", "W01", "W02")
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


def small_fleet(target: Path) -> Path:
    """The sample fleet's folder with a few vehicles, whose rows of the last years stand in one file a table."""
    target.mkdir(parents=True)
    for path in sorted(SAMPLE.iterdir()):
        if path.name in ("fleet.toml", "items.csv", "packs.csv", "tasks.csv", "task_items.csv", "suppliers.csv"):
            shutil.copy(path, target)
        elif path.suffix == ".csv" or path.name in ("history", "readings"):
            files = sorted(path.glob("*.csv")) if path.is_dir() else [path]
            rows = [row for file in files for row in _rows(file) if row.get("vehicle_id", VEHICLES[0]) in VEHICLES]
            _write(target / f"{path.stem}.csv", [row for row in rows if (row.get("read_at") or "2026") >= "2025-10"])
    return target


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


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return [{k: v for k, v in row.items() if k} for row in csv.DictReader(file)]


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
        fleet = small_fleet(folder / "fleet")
        usual = week(fleet, folder / "usual", {"PYTHONHASHSEED": "0", "THREADS": "2", "LC_ALL": "C.UTF-8", "TZ": "UTC"})
        print(f"{len(usual)} files")
        for what, env in (
            ("again", {}),
            ("PYTHONHASHSEED=1", {"PYTHONHASHSEED": "1"}),
            ("one thread", {"THREADS": "1"}),
            ("eight threads", {"THREADS": "8"}),
            ("LC_ALL=C", {"LC_ALL": "C"}),
            ("LC_ALL=de_DE.UTF-8", {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"}),
            ("TZ=Pacific/Kiritimati", {"TZ": "Pacific/Kiritimati"}),
            ("TZ=Pacific/Pago_Pago", {"TZ": "Pacific/Pago_Pago"}),
        ):
            report(what, usual, week(fleet, folder / what.replace("/", "_"), env))
        for seed in (1, 2):
            other = shuffled(fleet, folder / f"rows{seed}" / "fleet", seed)
            report(f"rows in another order, {seed}", usual, week(other, folder / f"rows{seed}", {}))


def report(what: str, usual: dict[str, bytes], other: dict[str, bytes]) -> None:
    """One line of what differs."""
    differs = sorted(name for name in usual.keys() | other.keys() if usual.get(name) != other.get(name))
    print(f"{what}: {len(differs)} differ{': ' if differs else ''}{', '.join(differs[:12])}", flush=True)


if __name__ == "__main__":
    main()
