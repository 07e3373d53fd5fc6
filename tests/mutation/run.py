"""How many small faults in the due, meter and order arithmetic the tests notice: mutation testing of SQL and Python.

`python tests/mutation/run.py [--share 0.2] [--seed 1] [FILE …]` puts one fault at a time into the queries of meters/,
rates/, tasks/ and items/, into the macros they use, and into the Python that reckons beside them, and runs those
tests that are quick. A fault is killed when a test fails, stops with an error, or takes too long. Nothing is written
into the tree: a faulty query replaces the good one in memory, a faulty module has its code exchanged in a process of
its own.

What runs for SQL: the worked examples of tests/cases for the table (for a macro: of all that use it), the second
implementation on `FLEETS` random fleets with all tables between the fault and the due list made again, for rates the
tests of tests/second_implementation/test_rates.py.
For Python: the tests named in `TESTS_OF`. Survivors are printed.
"""

import argparse
import inspect
import io
import multiprocessing
import os
import random
import re
import resource
import signal
import sys
import tempfile
import threading
import time
import types
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout
from pathlib import Path
from typing import Any

TESTS = Path(__file__).parent.parent
ROOT = TESTS.parent
for folder in (ROOT, TESTS, TESTS / "second_implementation", Path(__file__).parent):
    sys.path.insert(0, str(folder))

import pytest  # noqa: E402
from hypothesis import Phase, settings  # noqa: E402
from python_mutants import python_mutants  # noqa: E402
from sql_mutants import Mutant, sql_mutants  # noqa: E402

FOLDERS = ("meters", "rates", "tasks", "items")
FLEETS = 8
# Of the processor's time, so that a busy machine kills no mutant.
MOST_SECONDS = 60
# What the second implementation works out too.
COMPARED = ("due", "occurrences", "on_time", "refused_readings", "daily_rate")
# Of macros.sql, what the four folders use.
MACROS = ("to_km", "from_km", "runs_in_warranty", "units", "from_units", "ceil_div", "days_until", "day_after",
          "add_months", "nearest_step", "step_at", "nearest_month_step", "year_day", "next_year_day", "year_day_after",
          "within_tolerance", "meter_date", "band_distance", "band_days", "read_off", "chance_by", "litres",
          "is_measured")  # fmt: skip
TESTS_OF = {
    "meters/believed.py": ["test_meters.py"],
    "meters/diagnose.py": ["test_diagnose.py", "test_diagnosis_steps.py"],
    "meters/restarts.py": ["test_diagnose.py", "test_diagnosis_steps.py"],
    "meters/slips.py": ["test_diagnose.py", "test_diagnosis_steps.py"],
    "items/demand.py": ["test_demand.py", "published/test_published.py"],
    "items/packs.py": ["test_packs.py", "published/test_published.py"],
    "items/plain_packs.py": ["test_packs.py", "published/test_published.py"],
    "items/whole_numbers.py": ["test_packs.py", "published/test_published.py"],
    "items/specification.py": ["test_specification.py", "published/test_published.py"],
}
# Of the published values, those of these sources: no worked example among them, so that no week has to be made.
OF_STOCK = ("Snyder", "Syntetos", "productC", "newsvendor", "Poisson", "Encyclopaedia", "statsforecast", "stockpyl",
            "exponential", "HiGHS", "SAE", "API")  # fmt: skip


def targets() -> list[str]:
    """Every file that faults are put into, as a path below the project."""
    queries = [path for folder in FOLDERS for path in sorted((ROOT / "queries" / folder).glob("*.sql"))]
    modules = [ROOT / "fleetreport" / name for name in TESTS_OF]
    return [str(path.relative_to(ROOT)) for path in [*queries, ROOT / "queries" / "macros.sql", *modules]]


def mutants_of(name: str) -> list[Mutant]:
    """The faults of one file; of macros.sql those of `MACROS`."""
    text = (ROOT / name).read_text(encoding="utf-8")
    if name.endswith(".py"):
        return python_mutants(text)
    found = sql_mutants(text)
    if name.endswith("macros.sql"):
        macro_at = {}
        macro = ""
        for number, line in enumerate(text.splitlines(), 1):
            begun = re.match(r"create or replace temp macro (\w+)", line)
            macro = begun[1] if begun else macro
            macro_at[number] = macro
        found = [one for one in found if macro_at[one.line] in MACROS]
    return found


class TookTooLong(Exception):
    """A faulty query or module that does not end."""


@contextmanager
def within(seconds: float, interrupt: Callable[[], None]) -> Iterator[None]:
    """Stop what the block does after so much of the processor's time: `interrupt` stops a query, a signal Python."""

    def stop(number: int, frame: object) -> None:
        raise TookTooLong

    def watch() -> None:
        begun = time.process_time()
        while not done.wait(1):
            if time.process_time() - begun > seconds:
                interrupt()
                os.kill(os.getpid(), signal.SIGALRM)
                return

    done = threading.Event()
    before = signal.signal(signal.SIGALRM, stop)
    watcher = threading.Thread(target=watch)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()
        signal.signal(signal.SIGALRM, before)


class Sql:
    """The tests of SQL, run again and again on databases that are made once."""

    def __init__(self, folder: Path) -> None:
        """Make the random fleets' databases, and one from which the worked examples take the types of columns."""
        import conftest
        import duckdb
        import plain_due
        import test_calendar_and_units
        import test_cases
        import test_due_list
        import test_rates
        import worked_cases
        from random_fleets import write_random_fleet

        import fleetreport.query as query
        from fleetreport.reading.rows import find_files
        from fleetreport.settings.fleet_toml import read_settings
        from fleetreport.storing.store import open_store
        from fleetreport.week import PARTS, STEPS, make_week, work_out

        self.cases, self.due_list, self.rates, self.calendar = (
            test_cases, test_due_list, test_rates, test_calendar_and_units,
        )  # fmt: skip
        self.plain, self.query, self.worked = plain_due, query, worked_cases
        self.macros = (ROOT / "queries" / "macros.sql").read_text(encoding="utf-8")
        self.made = query.in_order([*query.load_queries(ROOT / "queries", PARTS), *STEPS])
        self.fleets = []
        self.running: duckdb.DuckDBPyConnection | None = None
        self.needed = query.in_order(query.needed_for(COMPARED, self.made))
        self.words = {one.table: set(re.findall(r"\w+", source_of(one))) for one in self.needed}
        self.worked_out: dict[int, Any] = {}
        for seed in range(FLEETS):
            fleet = folder / str(seed) / "fleet"
            as_of = write_random_fleet(fleet, seed)
            settings = read_settings(fleet)
            db = open_store(folder / str(seed) / "store.duckdb", settings)
            work_out(db, find_files(fleet)[0], settings, as_of, "fleet", made=self.needed)
            db.execute("set threads = 1")
            db.execute("set memory_limit = '1GB'")
            self.fleets.append((fleet, as_of, db))
        sample = folder / "sample"
        make_week(conftest.SAMPLE_FLEET, conftest.date(2026, 11, 25), sample / "out", sample / "store.duckdb")
        self.types = duckdb.connect(sample / "store.duckdb", read_only=True)
        self.order_types = {one.table: one for one in self.made}

    def interrupt(self) -> None:
        """Stop the query that runs."""
        if self.running is not None:
            self.running.interrupt()

    def killed_by(self, name: str, text: str) -> str | None:
        """The first check that fails with this text in the file's place; None: all hold."""
        try:
            with within(MOST_SECONDS, self.interrupt):
                return self._killed_by(name, text)
        except TookTooLong:
            return "time"

    def _killed_by(self, name: str, text: str) -> str | None:
        is_macro = name.endswith("macros.sql")
        table = Path(name).stem
        if is_macro:
            users = {one.table for one in self.made if not isinstance(one, self.query.Step)}
            paths = [p for p in sorted(self.worked.CASES.rglob("*.txt")) if p.parent.name in users]
            closure = self.macros_touched(text)
            paths = [p for p in paths if closure & set(re.findall(r"\w+", self.cases.BY_TABLE[p.parent.name].sql))]
        else:
            paths = sorted((self.worked.CASES / table).glob("*.txt"))
        for path in paths:
            if fails(lambda path=path: self.case(path, None if is_macro else text, text if is_macro else None)):
                return f"cases/{path.parent.name}/{path.name}"
        if is_macro and (found := self.calendar_fails(text)):
            return found
        if "/rates/" in name or (is_macro and closure & {"band_distance", "band_days"}):
            for check in self.rate_checks():
                if fails(lambda check=check: self.rate_check(check, table, text, is_macro)):
                    return f"test_rates: {check[0]}"
        for at in range(FLEETS):
            if found := self.fleet_fails(at, table, text, is_macro):
                return found
        return None

    def case(self, path: Path, sql: str | None, macros: str | None) -> None:
        """One worked example with a query's or the macros' text exchanged."""
        good = self.cases.BY_TABLE[path.parent.name]
        if sql is not None:
            self.cases.BY_TABLE[path.parent.name] = good._replace(sql=sql)
        if macros is not None:
            self.worked.load_macros = lambda db, folder: db.execute(macros)
        try:
            self.cases.test_case(path, lambda query: self.types)
        finally:
            self.cases.BY_TABLE[path.parent.name] = good
            self.worked.load_macros = self.query.load_macros

    def calendar_fails(self, text: str) -> str | None:
        """The tests of months, units and division with other macros."""
        db = self.calendar.DB
        self.running = db
        try:
            db.execute(text)
            for test, calls in calls_of(self.calendar):
                for arguments in calls:
                    if fails(lambda test=test, arguments=arguments: test(**arguments)):
                        return f"test_calendar_and_units: {test.__name__}"
        except Exception as error:
            return f"error: {error}".splitlines()[0]
        finally:
            db.execute(self.macros)
        return None

    def rate_checks(self) -> list[tuple[str, dict[str, object]]]:
        """The tests of rates: name and arguments."""
        return [(test.__name__, arguments) for test, calls in calls_of(self.rates) for arguments in calls]

    def rate_check(self, check: tuple[str, dict[str, object]], table: str, text: str, is_macro: bool) -> None:
        """One test of rates with a query's or the macros' text exchanged."""
        load, macros = self.rates.load_queries, self.rates.load_macros
        if is_macro:
            self.rates.load_macros = lambda db, folder: db.execute(text)
        else:
            self.rates.load_queries = lambda folder: [
                one._replace(sql=text) if one.table == table else one for one in load(folder)
            ]
        try:
            getattr(self.rates, check[0])(**check[1])
        finally:
            self.rates.load_queries, self.rates.load_macros = load, macros

    def fleet_fails(self, at: int, table: str, text: str, is_macro: bool) -> str | None:
        """One random fleet's due list beside the second implementation's, made again as far as the fault reaches."""
        fleet, as_of, db = self.fleets[at]
        self.running = db
        closure = self.macros_touched(text) if is_macro else set()
        moved: set[str] = set()
        db.execute("begin")
        try:
            if is_macro:
                db.execute(text)
            for one in self.needed:
                is_faulty = one.table == table and not is_macro
                if is_faulty or moved & set(one.reads) or closure & self.words[one.table]:
                    db.execute(f'create or replace temp table as_it_was as from "{one.table}"')
                    self.query.run_all(db, [one._replace(sql=text) if is_faulty else one])
                    moved |= {one.table} if self.differs(db, one.table) else set()
            if not moved & set(COMPARED):
                return None
            rates = {
                (v, m): rate for v, m, rate in db.execute("select vehicle_id, meter, rate from daily_rate").fetchall()
            }
            if "daily_rate" in moved or at not in self.worked_out:
                worked_out = self.plain.work_out(fleet, as_of, rates)
            else:
                worked_out = self.worked_out[at]
            if "daily_rate" not in moved:
                self.worked_out[at] = worked_out
            case = (db, worked_out)
            for test in (
                self.due_list.test_every_row_of_the_due_list, self.due_list.test_every_occurrence,
                self.due_list.test_every_month_on_time,
                self.due_list.test_every_refused_reading_and_nothing_else_set_aside,
                self.due_list.test_a_vehicle_driven_the_same_every_day_has_that_rate_exactly,
            ):  # fmt: skip
                if fails(lambda test=test: test(case)):
                    return f"fleet {at}: {test.__name__}"
        except TookTooLong:
            raise
        except Exception as error:
            return f"fleet {at}: error: {error}".splitlines()[0]
        finally:
            db.execute("rollback")
            if is_macro:
                db.execute(self.macros)
        return None

    def macros_touched(self, text: str) -> set[str]:
        """The macros of another text that are not as they were, and all that use them."""
        changed = {m for m in MACROS if macro_text(self.macros, m) != macro_text(text, m)}
        return widened(self.macros, changed)

    @staticmethod
    def differs(db: Any, table: str) -> bool:
        """Whether a table has other rows than before."""
        row = db.execute(
            f"""select exists (from (from as_it_was except all from "{table}"))
                or exists (from (from "{table}" except all from as_it_was))"""
        ).fetchone()
        return bool(row and row[0])


def macro_text(text: str, name: str) -> str:
    """The text of one macro."""
    found = re.search(rf"temp macro {name}\(.*?;\n", text, re.DOTALL)
    return found[0] if found else ""


def source_of(one: Any) -> str:
    """What makes a table: a query's text, or that of the module of a step."""
    return str(one.sql) if hasattr(one, "sql") else inspect.getsource(sys.modules[one.make.__module__])


def widened(text: str, names: set[str]) -> set[str]:
    """Macros and those that use them, however far."""
    found = set(names)
    while True:
        more = {
            name for name in re.findall(r"temp macro (\w+)\(", text)
            if found & set(re.findall(r"\w+", macro_text(text, name))[3:])
        }  # fmt: skip
        if more <= found:
            return found
        found |= more


def calls_of(module: object) -> list[tuple[Callable[..., None], list[dict[str, object]]]]:
    """A module's tests, each with the arguments that its marks give it (one set at a time)."""
    found = []
    for name, test in vars(module).items():
        if not name.startswith("test_"):
            continue
        calls: list[dict[str, object]] = [{}]
        for mark in getattr(test, "pytestmark", []):
            names, values = mark.args[0], list(mark.args[1])
            listed = [n.strip() for n in names.split(",")] if isinstance(names, str) else list(names)
            calls = [
                {**call, **dict(zip(listed, value if len(listed) > 1 else (value,), strict=True))}
                for call in calls for value in values
            ]  # fmt: skip
        found.append((test, calls))
    return found


def fails(test: Callable[[], None]) -> bool:
    """Whether a test fails or stops with an error."""
    try:
        test()
    except TookTooLong:
        raise
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        return True
    return False


def tests_of(name: str) -> list[str]:
    """What pytest is called with for a module: its tests, and of the published values those of `OF_STOCK`."""
    tests = [str(TESTS / one) for one in TESTS_OF[name.removeprefix("fleetreport/")]]
    return ["-n", "0", "-x", "-q", "-p", "no:cacheprovider", "-k", " or ".join(["not published", *OF_STOCK]), *tests]


def exchange(module: types.ModuleType, text: str) -> None:
    """Give a module that others hold functions of another text: its names anew, and the old functions the new code."""
    before = dict(vars(module))
    exec(compile(text, str(module.__file__), "exec"), vars(module))  # noqa: S102 our own text with one fault
    for name, old in before.items():
        if getattr(old, "__module__", None) == module.__name__:
            _take_over(old, vars(module).get(name))
            for inner, attribute in list(vars(old).items()) if isinstance(old, type) else []:
                _take_over(attribute, vars(vars(module)[name]).get(inner))


def _take_over(old: Any, new: Any) -> None:
    old, new = getattr(old, "__wrapped__", old), getattr(new, "__wrapped__", new)
    if isinstance(old, types.FunctionType) and isinstance(new, types.FunctionType) and old is not new:
        old.__code__, old.__defaults__, old.__kwdefaults__ = new.__code__, new.__defaults__, new.__kwdefaults__


def run_tests(name: str, text: str) -> None:
    """In a process of its own: the tests of a module with a faulty text; the exit code says whether they held."""
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    try:
        exchange(sys.modules[name.removesuffix(".py").replace("/", ".")], text)
        code = int(pytest.main(tests_of(name)))
    except BaseException:
        code = 1
    os._exit(code)


def python_killed(name: str, text: str) -> str | None:
    """What ended the tests of a faulty module: a test or the time; None: nothing."""
    process = multiprocessing.get_context("fork").Process(target=run_tests, args=(name, text))
    process.start()
    process.join()
    return "tests" if process.exitcode else None


def main() -> None:
    """Put the faults in, one at a time, and print what was killed and what was not."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("files", nargs="*")
    called = parser.parse_args()
    names = called.files or targets()
    chance = random.Random(called.seed)
    begun = time.monotonic()
    sums = {}
    # A fault need not be made small to be seen.
    settings.register_profile(
        "mutation", derandomize=True, database=None, phases=[Phase.explicit, Phase.generate], deadline=None
    )
    os.environ["HYPOTHESIS_PROFILE"] = "mutation"
    # Tests are imported once; the processes of the faults are forked from here.
    if modules := [name for name in names if name.endswith(".py")]:
        with redirect_stdout(io.StringIO()):
            pytest.main([*dict.fromkeys(one for name in modules for one in tests_of(name)), "--collect-only"])
    for name in sorted(names, key=lambda one: not one.endswith(".py")):
        every = mutants_of(name)
        some = chance.sample(every, max(1, round(called.share * len(every)))) if every else []
        if name.endswith(".sql") and "sql" not in globals():
            globals()["sql"] = Sql(Path(tempfile.mkdtemp(prefix="mutation-")))
        good = (ROOT / name).read_text(encoding="utf-8")
        judge = python_killed if name.endswith(".py") else globals()["sql"].killed_by
        assert judge(name, good) is None, f"{name}: the tests fail without a fault: {judge(name, good)}"
        killed = 0
        for one in sorted(some):
            by = judge(name, one.text)
            killed += by is not None
            if by is None:
                print(f"survived {name}:{one.line}: {one.was} -> {one.now}", flush=True)
        sums[name] = (killed, len(some), len(every))
        seconds = time.monotonic() - begun
        print(f"{name}: {killed} of {len(some)} killed ({len(every)} in all), {seconds:.0f} s", flush=True)
    killed, tried, every_one = (sum(column) for column in zip(*sums.values(), strict=True))
    print(f"{killed} of {tried} killed, {100 * killed / tried:.1f} %; {every_one} faults in all")


if __name__ == "__main__":
    main()
