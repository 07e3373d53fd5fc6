"""Folders that cannot be written, full disks, and a run while another is at work: told, and nothing is harmed."""

import hashlib
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import pytest
from test_incremental_load import READINGS, small_fleet, tables_of

sys.path.insert(0, str(Path(__file__).parent))
from hostile_folders import AS_OF, take

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="POSIX rights and mounts")
DAY = ("--as-of", AS_OF)


@contextmanager
def mounted(*call: str, at: Path) -> Iterator[None]:
    """Something mounted there; skips the test where that is not allowed."""
    if subprocess.run(["mount", *call, at], capture_output=True, check=False).returncode:
        pytest.skip("mounting is not allowed here")
    try:
        yield
    finally:
        subprocess.run(["umount", "--lazy", at], check=True)


@contextmanager
def read_only(folder: Path) -> Iterator[None]:
    """The folder as one that nobody may write to; who may do everything needs a mount for that."""
    if os.geteuid():
        folder.chmod(0o555)
        yield
        folder.chmod(0o755)
        return
    with mounted("--bind", str(folder), at=folder):
        subprocess.run(["mount", "-o", "remount,ro,bind", folder], check=True)
        yield


def seen_in(folder: Path) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
            for path in sorted(folder.rglob("*")) if path.is_file()}  # fmt: skip


@pytest.fixture
def fleet(tmp_path: Path) -> Path:
    return small_fleet(tmp_path / "fleet", readings=READINGS)


def test_a_folder_for_reports_that_cannot_be_written_is_told_and_left_as_it_is(fleet: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "check.html").write_text("of before")
    with read_only(out):
        code, said, told = take(["check", str(fleet), *DAY, "--out", str(out)])
    assert code == 3
    assert told.startswith(f"error: {out}: the reports cannot be written here: ")
    assert "written:" not in said
    assert seen_in(out) == {"check.html": hashlib.sha256(b"of before").hexdigest()}


def test_a_fleet_folder_that_cannot_be_written_needs_its_store_elsewhere(fleet: Path, tmp_path: Path) -> None:
    with read_only(fleet):
        code, _, told = take(["shard", str(fleet), "--out", f"{tmp_path}/shards", "--shards", "2"])
        assert code == 3
        assert told.startswith(f"error: {fleet}")
        assert "--store" in told
        code, said, _ = take(["shard", str(fleet), "--out", f"{tmp_path}/shards", "--shards", "2",
                              "--store", f"{tmp_path}/s.duckdb"])  # fmt: skip
        assert code == 0, said


@pytest.mark.parametrize("kib", [8, 20])
def test_a_disk_too_small_for_the_reports_is_told_and_shows_none(fleet: Path, tmp_path: Path, kib: int) -> None:
    out = tmp_path / "out"
    out.mkdir()
    with mounted("-t", "tmpfs", "-o", f"size={kib}k", "tmpfs", at=out):
        code, said, told = take(["check", str(fleet), *DAY, "--out", str(out)])
        assert code == 3
        assert f"error: {out}: the reports cannot be written here: No space left on device" in told
        assert "written:" not in said
        assert seen_in(out) == {}


def test_a_disk_too_small_for_the_store_is_told_and_the_next_run_ends_as_if_undisturbed(
    fleet: Path, tmp_path: Path
) -> None:
    small, call = tmp_path / "small", ["shard", str(fleet), "--out", f"{tmp_path}/shards", "--shards", "2", "--store"]
    small.mkdir()
    with mounted("-t", "tmpfs", "-o", "size=32k", "tmpfs", at=small):
        code, _, told = take([*call, f"{small}/s.duckdb"])
        assert code == 3
        assert "the database cannot be written: No space left on device" in told
        subprocess.run(["mount", "-o", "remount,size=50m", small], check=True)
        assert take([*call, f"{small}/s.duckdb"])[0] == 0
        found = tables_of(small / "s.duckdb")
    assert take([*call, f"{tmp_path}/undisturbed.duckdb"])[0] == 0
    assert found == tables_of(tmp_path / "undisturbed.duckdb")


@pytest.mark.parametrize("device", ["--out", "--store"])
def test_a_device_in_the_place_of_a_folder_or_file_is_told(fleet: Path, tmp_path: Path, device: str) -> None:
    places = {"--out": f"{tmp_path}/out", "--store": f"{tmp_path}/s.duckdb", device: "/dev/full"}
    code, _, told = take(["week", str(fleet), *DAY, *(part for pair in places.items() for part in pair)])
    assert code == 3
    assert "/dev/full: " in told
    assert Path("/dev/full").is_char_device()


CALLS = {
    "week": ["week", "{fleet}", *DAY, "--out", "{out}"],
    "week --cluster": ["week", "{fleet}", *DAY, "--out", "{out}", "--cluster", "local:1"],
    "shard": ["shard", "{fleet}", "--out", "{out}/shards", "--shards", "2"],
}
HOLDS = """import duckdb, sys
db = duckdb.connect(sys.argv[1])
db.execute("begin; create table half_way as select 1 as x")
print("at work", flush=True)
sys.stdin.readline()
db.execute("commit")
db.close()"""


def test_a_second_run_says_so_in_one_line_and_leaves_the_first_alone(fleet: Path, tmp_path: Path) -> None:
    """A process that is in the middle of its transaction stands for the first run."""
    out = tmp_path / "out"
    out.mkdir()
    (out / "week.html").write_text("of the first")
    store = fleet / ".fleetreport" / "store.duckdb"
    assert take(["shard", str(fleet), "--out", f"{tmp_path}/shards", "--shards", "1"])[0] == 0
    before = tables_of(store)
    first = subprocess.Popen([sys.executable, "-c", HOLDS, store], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert first.stdin is not None
    assert first.stdout is not None
    assert first.stdout.readline() == b"at work\n"
    try:
        for name, call in CALLS.items():
            code, said, told = take([part.format(fleet=fleet, out=out) for part in call])
            assert code == 3, name
            assert said == "", name
            errors = [line for line in told.splitlines() if line.startswith("error:")]
            assert errors == [f"error: {store}: another run is using it (process {first.pid})"], (name, told)
            assert [path for path in seen_in(out) if not path.startswith("shards/")] == ["week.html"], name
            assert (out / "week.html").read_text() == "of the first"
            assert not list(out.rglob("shards.json"))
    finally:
        first.communicate(b"go on\n")
    assert first.returncode == 0
    with duckdb.connect(store) as db:
        assert db.execute("from half_way").fetchall() == [(1,)]
        db.execute("drop table half_way")
    assert tables_of(store) == before
