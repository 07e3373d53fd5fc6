"""Faults and least power: cut-short moves, full disks, changing files, what may be reached, read and printed."""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import duckdb
import pytest
from conftest import WriteFleet
from test_incremental_load import READINGS, load, small_fleet, tables_of
from typer.testing import CliRunner

import fleetreport
from fleetreport.cli import app
from fleetreport.cluster import on_a_shard
from fleetreport.cluster.on_a_shard import Job
from fleetreport.cluster.places import place_at
from fleetreport.commands.plain import shown, shown_in_json, shown_lines
from fleetreport.problem import CannotReadOrWrite
from fleetreport.storing import loading, store

sys.path.insert(0, str(Path(__file__).parent))
from hostile_fleet import unseen

HERE = Path(__file__).parent
FLEET = {
    "vehicles": "vehicle_id,class,in_service_on\nV1,van,2020-01-01\n",
    "tasks": "class,task,every_months\nvan,oil,12\n",
    "readings": "vehicle_id,read_at,reading\nV1,2026-01-05,100\nV1,2026-02-05,900\n",
    "history": "vehicle_id,done_on,task\nV1,2025-01-10,oil\n",
}


def test_moves_cut_short_before_any_step_end_as_one_week() -> None:
    done = subprocess.run([sys.executable, HERE / "kill_moves.py"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    kills, mixed, full = map(int, re.findall(r"(\d+) (?:kills|of them|full disks)", done.stdout))
    assert kills > mixed >= 5
    assert full >= 20


@pytest.mark.skipif(sys.platform == "win32", reason="runs are forked")
def test_a_load_killed_at_any_moment_ends_as_an_undisturbed_one_when_it_is_run_again() -> None:
    done = subprocess.run(
        [sys.executable, HERE / "kill_runs.py", "6", "7", "load"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert re.match(r"6 runs killed .*\n0 failures$", done.stdout), done.stdout


@pytest.mark.skipif(sys.platform == "win32", reason="POSIX limits")
@pytest.mark.parametrize("kib", [30, 1000])
def test_a_disk_that_fills_up_is_told_and_a_run_after_it_ends_as_if_undisturbed(tmp_path: Path, kib: int) -> None:
    """A limit on the size of files stands for the full disk: the system refuses to write in the same way."""
    fleet, file = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "s.duckdb"
    code = (
        "import resource, signal, sys; from fleetreport.cli import main\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        f"resource.setrlimit(resource.RLIMIT_FSIZE, ({kib << 10},) * 2)\n"
        f"sys.argv += ['week', {str(fleet)!r}, '--as-of', '2026-11-25', '--out', {str(tmp_path / 'out')!r},"
        f" '--store', {str(file)!r}]; main()"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    assert "unforeseen" not in done.stderr
    if kib < 1000:
        assert (done.returncode, done.stderr.splitlines()[0]) == (
            3, f"error: {file}: the database cannot be written: File too large",
        )  # fmt: skip
    load(fleet, file)
    load(fleet, tmp_path / "undisturbed.duckdb")
    assert tables_of(file) == tables_of(tmp_path / "undisturbed.duckdb")


def changing(monkeypatch: pytest.MonkeyPatch, change: Callable[[int], None]) -> None:
    """Do something to the folder each time between a file's fingerprint and its reading."""
    read, turn = loading._stage_file, iter(range(100))

    def staged(*given: Any) -> None:
        change(next(turn))
        read(*given)

    monkeypatch.setattr(loading, "_stage_file", staged)


def test_a_file_that_grows_while_it_is_read_is_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fleet = small_fleet(tmp_path / "fleet", readings=READINGS)

    def grow(turn: int) -> None:
        if turn == 0:
            with (fleet / "readings.csv").open("a") as file:
                file.write("V1,2026-02-07,300\n")

    changing(monkeypatch, grow)
    load(fleet, tmp_path / "grown.duckdb")
    monkeypatch.undo()
    load(fleet, tmp_path / "undisturbed.duckdb")
    assert tables_of(tmp_path / "grown.duckdb") == tables_of(tmp_path / "undisturbed.duckdb")


@pytest.mark.parametrize(("change", "told"), [
    (lambda file, turn: file.open("a").write("V1,2026-02-07,300\n"), "found a file that changes while it is read"),
    (lambda file, turn: file.unlink(missing_ok=True), "readings.csv: "),
])  # fmt: skip
def test_a_file_that_goes_on_changing_or_vanishes_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: Callable[[Path, int], None], told: str
) -> None:
    fleet, file = small_fleet(tmp_path / "fleet", readings=READINGS), tmp_path / "s.duckdb"
    load(fleet, file)
    before = tables_of(file)
    (fleet / "readings.csv").write_text((fleet / "readings.csv").read_text() + "V1,2026-02-06,200\n")
    changing(monkeypatch, lambda turn: change(fleet / "readings.csv", turn))
    with pytest.raises(CannotReadOrWrite) as stopped:
        load(fleet, file)
    assert told in stopped.value.messages[0]
    assert tables_of(file) == before


HOW_OPEN = "select current_setting('enable_external_access'), current_setting('lock_configuration')"
COMMANDS = {
    "check": ["check", "{fleet}", "--out", "{out}"],
    "week": ["week", "{fleet}", "--out", "{out}"],
    "why": ["why", "V1", "oil", "--fleet", "{fleet}"],
    "what-if": ["what-if", "{fleet}", "--labour-rate", "72", "--out", "{out}"],
    "backtest": ["backtest", "{fleet}", "--out", "{out}", "--history", "1"],
    "backtest-money": ["backtest-money", "{fleet}", "--out", "{out}"],
    "shard": ["shard", "{fleet}", "--out", "{out}", "--shards", "2"],
}


@pytest.mark.parametrize("command", [*COMMANDS, "python"])
def test_every_command_shuts_its_database_off_asks_no_network_and_tells_no_secret(
    write_fleet: WriteFleet, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    """DuckDB's own settings are asked after the command, on the same database; `loads` reads what `week` left."""
    secret = "planted-51234"  # noqa: S105 the planted one
    (tmp_path / "password").write_text(secret)
    fleet, out = write_fleet(**FLEET), tmp_path / "out"
    (fleet / "fleet.toml").write_text(
        f"[mail]\nweek = ['a@example.org']\n[smtp]\nhost = 'localhost'\npassword_file = '{tmp_path}/password'\n"
    )
    monkeypatch.setenv("FLEETREPORT_SMTP_PASSWORD", secret)
    asked: list[object] = []
    monkeypatch.setattr("socket.getaddrinfo", lambda *values, **named: asked.append(values))
    monkeypatch.setattr("socket.socket.connect", lambda self, address: asked.append(address))
    found: list[tuple[object, ...] | None] = []
    really = store.open_store

    class Watched:
        """A connection that is asked how open it is when it is closed."""

        def __init__(self, db: duckdb.DuckDBPyConnection) -> None:
            self._db = db

        def __getattr__(self, name: str) -> Any:
            return getattr(self._db, name)

        def close(self) -> None:
            found.append(self._db.execute(HOW_OPEN).fetchone())
            self._db.close()

    monkeypatch.setattr(store, "open_store", lambda *given, **named: Watched(really(*given, **named)))
    said = ""
    if command == "python":
        fleetreport.load_fleet(fleet, "2026-11-25").close()
    else:
        call = [part.format(fleet=fleet, out=out) for part in COMMANDS[command]]
        call += ["--as-of", "2026-11-25"] if command != "shard" else []
        for one in [call, ["loads", str(fleet)]] if command == "week" else [call]:
            done = CliRunner().invoke(app, one)
            said += done.output + str(done.exception)
    assert found
    assert set(found) == {(False, True)}
    assert asked == []
    assert secret not in said
    for path in [*out.rglob("*"), *(fleet / ".fleetreport").rglob("*")]:
        assert not path.is_file() or secret.encode() not in path.read_bytes()
        assert path.stat().st_mode & 0o077 == 0, path


def test_a_worker_shuts_its_database_off(tmp_path: Path) -> None:
    job = Job(place_at(str(tmp_path)), "", 0, "UTC", (), (), "work", {}, {}, {})
    with on_a_shard._connected(job, tmp_path / "spare") as db:
        assert db.execute(HOW_OPEN).fetchone() == (False, True)
        with pytest.raises(duckdb.PermissionException):
            db.execute("from read_csv('/etc/passwd')")


def test_the_reports_are_for_others_only_where_the_settings_say_so(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet, out = write_fleet(**FLEET, settings='[outputs]\nreadable_by = "group"\n'), tmp_path / "out"
    assert CliRunner().invoke(app, ["check", str(fleet), "--out", str(out), "--as-of", "2026-11-25"]).exit_code == 0
    rights = {path.is_dir(): set[int]() for path in out.rglob("*")}
    for path in out.rglob("*"):
        rights[path.is_dir()].add(path.stat().st_mode & 0o777)
    assert rights == {False: {0o640}, True: {0o750}}


def test_nothing_that_is_printed_steers_a_terminal(write_fleet: WriteFleet, tmp_path: Path) -> None:
    nasty = "\x1b]0;owned\x07\x9b2J\u202e\u061c\u200b\u2060\ufeff\U000e0041gnp.exe"
    fleet = write_fleet(
        vehicles=f"vehicle_id,class,in_service_on\nV1,van,2020-01-01\n{nasty},van,{nasty}\n",
        tasks=f"class,task,every_months,{nasty}\nvan,oil,{nasty},1\n",
        settings="",
    )
    with suppress(OSError):
        (fleet / f"notes{nasty.replace('/', '')}.csv").write_text("x\n")
    calls = (
        ["check", fleet, "--out", tmp_path / "out"], ["why", nasty, "--fleet", fleet],
        ["describe", fleet / "tasks.csv"],
        ["week", fleet / nasty], [nasty], ["week", fleet, f"--{nasty}"], ["week", fleet / nasty, "--log-json"],
    )  # fmt: skip
    for call in calls:
        done = subprocess.run(
            [sys.executable, "-m", "fleetreport", *map(str, call)], capture_output=True, check=False,
            env={**os.environ, "PYTHONUTF8": "1"},
        )  # fmt: skip
        told = done.stderr.decode() + ("" if call[0] == "describe" else done.stdout.decode())
        assert told + done.stdout.decode()
        assert unseen(told) == set(), (call[0], told)
        assert "Traceback" not in told


def test_what_would_steer_is_written_out() -> None:
    assert shown("a\x1b[31m\n\u202eb") == r"a\x1b[31m\n\u202eb"
    assert shown_lines("a\n\tb\x9b") == "a\n\tb" + r"\x9b"
    assert shown_in_json('"\x9b"') == r'"\u009b"'
