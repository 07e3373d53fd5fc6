"""How many small faults in the due, meter and order arithmetic the tests notice: mutation testing of SQL and Python.

`python tests/mutation/run.py [--share 0.2] [--most 50] [--seed 1] [FILE[:LINE] …]` puts one fault at a time into the
queries of meters/, rates/, tasks/ and items/, into the macros they use, and into the Python that reckons beside them,
and runs those tests that are quick. A fault is killed when a test fails, stops with an error, or takes too long.
Nothing is written into the tree: a faulty query replaces the good one in memory, a faulty module has its code exchanged
in a process of its own.

What runs for SQL: the worked examples of tests/cases for the table (for a macro: of all that use it), for rates the
tests of tests/second_implementation/test_rates.py, then the second implementation on `--fleets` random fleets.
Databases are made once: of each, a fault has only those tables made again that it reaches.
For Python: the tests named in `TESTS_OF`, collected by pytest once; each fault has them in a process forked from there.
The first test that fails ends it, and is tried first on the next fault. Survivors are printed. `--without` leaves out
the slow tests, which some hundred faults would run in vain: what is killed without them is killed.
"""

import argparse
import inspect
import io
import math
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
from functools import cache, partial
from pathlib import Path
from typing import Any, NoReturn

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
MOST_BYTES = 8 << 30
# What the second implementation works out too.
COMPARED = ("due", "occurrences", "on_time", "refused_readings", "daily_rate")
# Of macros.sql, what the four folders use.
MACROS = ("to_km", "from_km", "runs_in_warranty", "units", "from_units", "ceil_div", "days_until", "day_after",
          "add_months", "nearest_step", "step_at", "nearest_month_step", "year_day", "next_year_day", "year_day_after",
          "within_tolerance", "meter_date", "band_distance", "band_days", "read_off", "chance_by", "litres",
          "is_measured")  # fmt: skip
TESTS_OF = {
    "meters/believed.py": ["test_meters.py"],
    "meters/diagnose.py": ["test_diagnose.py", "test_diagnose_restarts.py", "test_diagnosis_steps.py"],
    "meters/restarts.py": [
        "test_restarts.py",
        "test_diagnose.py",
        "test_diagnose_restarts.py",
        "test_diagnosis_steps.py",
    ],
    "meters/slips.py": ["test_slips.py", "test_diagnose.py", "test_diagnose_restarts.py", "test_diagnosis_steps.py"],
    "items/demand.py": ["test_demand.py", "published/test_published.py"],
    "items/packs.py": ["test_packs.py", "published/test_published.py"],
    "items/plain_packs.py": ["test_packs.py", "published/test_published.py"],
    "items/whole_numbers.py": ["test_whole_numbers.py", "test_packs.py", "published/test_published.py"],
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

    def __init__(self, folder: Path, fleets: int) -> None:
        """Read the queries and the tests; databases are made in `folder` when a fault first asks for them."""
        import duckdb
        import plain_due
        import test_calendar_and_units
        import test_cases
        import test_due_list
        import test_rates
        import worked_cases

        import fleetreport.query as query
        from fleetreport.week import PARTS, STEPS

        self.cases, self.due_list, self.rates, self.calendar = (
            test_cases, test_due_list, test_rates, test_calendar_and_units,
        )  # fmt: skip
        self.plain, self.query, self.worked = plain_due, query, worked_cases
        self.macros = (ROOT / "queries" / "macros.sql").read_text(encoding="utf-8")
        self.made = query.in_order([*query.load_queries(ROOT / "queries", PARTS), *STEPS])
        self.folder = folder
        self.running: Any = None
        self.connect = duckdb.connect
        self.cases_made: dict[Path, tuple[Any, Any]] = {}
        self.macros_of_case: str | None = None
        test_cases.run_case = self.run_case
        self.needed = query.in_order(query.needed_for(COMPARED, self.made))
        self.words = {one.table: set(re.findall(r"\w+", source_of(one))) for one in self.needed}
        self.worked_out: dict[int, Any] = {}
        self.rates_made: dict[object, Any] = {}
        self.begun: list[Any] = []
        self.rates.rates_of, self.make_rates = self.rates_with_the_fault, test_rates.rates_of
        self.rates.random_readings = cache(test_rates.random_readings)
        self.rates.plain_rates.estimate = remembered(test_rates.plain_rates.estimate)
        self.checks_of_rates = [
            (test.__name__, arguments) for test, calls in calls_of(test_rates) for arguments in calls
        ]
        self.order_of_fleets = list(range(fleets))
        self.fault: tuple[str, str, bool] | None = None
        self.fleet = cache(self.made_fleet)

    def made_fleet(self, seed: int) -> tuple[Path, Any, Any]:
        """A random fleet worked out: its folder, its as-of date and its database."""
        from random_fleets import write_random_fleet

        from fleetreport.reading.rows import find_files
        from fleetreport.settings.fleet_toml import read_settings
        from fleetreport.storing.store import open_store
        from fleetreport.week import work_out

        fleet = self.folder / str(seed) / "fleet"
        as_of = write_random_fleet(fleet, seed)
        settings = read_settings(fleet)
        db = open_store(self.folder / str(seed) / "store.duckdb", settings)
        # One with every table: from it the worked examples take the types of columns.
        work_out(db, find_files(fleet)[0], settings, as_of, "fleet", made=self.needed if seed else self.made)
        db.execute("set threads = 1")
        db.execute("set memory_limit = '1GB'")
        return fleet, as_of, db

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
        if is_macro and (found := self.calendar_fails(text, closure)):
            return found
        for path in paths:
            if fails(lambda path=path: self.case(path, None if is_macro else text, text if is_macro else None)):
                return f"cases/{path.parent.name}/{path.name}"
        if "/rates/" in name or (is_macro and closure & {"band_distance", "band_days"}):
            for check in list(self.checks_of_rates):
                if self.rate_check_fails(check, (table, text, is_macro)):
                    first(self.checks_of_rates, check)
                    return f"test_rates: {check[0]}"
        for at in list(self.order_of_fleets):
            if found := self.fleet_fails(at, table, text, is_macro):
                first(self.order_of_fleets, at)
                return found
        return None

    def case(self, path: Path, sql: str | None, macros: str | None) -> None:
        """One worked example with a query's or the macros' text exchanged."""
        good = self.cases.BY_TABLE[path.parent.name]
        if sql is not None:
            self.cases.BY_TABLE[path.parent.name] = good._replace(sql=sql)
        self.macros_of_case = macros
        try:
            self.cases.test_case(path, lambda query: self.fleet(0)[2])
        finally:
            self.cases.BY_TABLE[path.parent.name] = good
            if macros is not None:
                self.running.execute(self.macros)

    def run_case(self, path: Path, query: Any, full_run: Any) -> tuple[Any, Any]:
        """What the test of worked examples calls `run_case`: the tables given are made once."""
        if path not in self.cases_made:
            given, expected = self.worked.read_case(path)
            db = self.connect(config={"threads": 1})
            db.execute(self.macros)
            for table in query.reads:
                self.worked.make_table(db, full_run, table, given.get(table, self.worked.Rows([], [])))
            self.cases_made[path] = db, expected
        db, expected = self.cases_made[path]
        self.running = db
        db.execute("drop table if exists hoped")
        if self.macros_of_case is not None:
            db.execute(self.macros_of_case)
        self.query.run_all(db, [query])
        return db, expected

    def calendar_fails(self, text: str, touched: set[str]) -> str | None:
        """The tests of months, units and division that name one of the macros touched."""
        db = self.calendar.DB
        self.running = db
        try:
            db.execute(text)
            for test, calls in sorted(calls_of(self.calendar), key=lambda one: hasattr(one[0], "hypothesis")):
                if not touched & set(re.findall(r"\w+", inspect.getsource(test))):
                    continue
                for arguments in calls:
                    if fails(lambda test=test, arguments=arguments: test(**arguments)):
                        return f"test_calendar_and_units: {test.__name__}"
        except Exception as error:
            return f"error: {error}".splitlines()[0]
        finally:
            db.execute(self.macros)
        return None

    def rate_check_fails(self, check: tuple[str, dict[str, object]], fault: tuple[str, str, bool]) -> bool:
        """Whether one test of rates fails with a query's or the macros' text exchanged."""
        self.fault = fault
        try:
            return fails(lambda: getattr(self.rates, check[0])(**check[1]))
        finally:
            self.fault = None
            for db in self.begun:
                db.execute("rollback")
                if fault[2]:
                    db.execute(self.macros)
            self.begun.clear()

    def rates_with_the_fault(self, readings: Any, classes: Any, threads: int = 2) -> Any:
        """What the tests of rates call `rates_of`: a database made once, what the fault reaches made again."""
        key = repr((readings, classes, threads))
        if key not in self.rates_made:
            self.rates_made[key] = self.make_rates(readings, classes, threads)
        db = self.running = self.rates_made[key]
        if self.fault:
            table, text, is_macro = self.fault
            queries = [one for one in self.made if getattr(one, "folder", "") == "rates" and one.table != "meter_now"]
            db.execute("begin")
            self.begun.append(db)
            self.remake(db, queries, table, text, is_macro)
        return db

    def remake(self, db: Any, queries: Any, table: str, text: str, is_macro: bool) -> set[str]:
        """Make again what a fault reaches, in the order of `queries`; the tables that have other rows then."""
        closure = self.macros_touched(text) if is_macro else set()
        moved: set[str] = set()
        if is_macro:
            db.execute(text)
        for one in queries:
            is_faulty = one.table == table and not is_macro
            if is_faulty or moved & set(one.reads) or closure & self.words[one.table]:
                db.execute(f'create or replace temp table as_it_was as from "{one.table}"')
                self.query.run_all(db, [one._replace(sql=text) if is_faulty else one])
                moved |= {one.table} if self.differs(db, one.table) else set()
        return moved

    def fleet_fails(self, at: int, table: str, text: str, is_macro: bool) -> str | None:
        """One random fleet's due list beside the second implementation's, made again as far as the fault reaches."""
        fleet, as_of, db = self.fleet(at)
        self.running = db
        db.execute("begin")
        try:
            moved = self.remake(db, self.needed, table, text, is_macro)
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


def first(some: list[Any], one: Any) -> None:
    """Put one of a list at its head: what failed last is likely to fail next."""
    some.remove(one)
    some.insert(0, one)


def remembered(function: Callable[..., Any]) -> Callable[..., Any]:
    """A function that reckons once for the same arguments, which need not be hashable."""
    known: dict[str, Any] = {}

    def call(*arguments: Any) -> Any:
        key = repr(arguments)
        if key not in known:
            known[key] = function(*arguments)
        return known[key]

    return call


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


def tests_of(name: str, without: str) -> list[str]:
    """What pytest is called with for a module: its tests, and of the published values those of `OF_STOCK`."""
    tests = [str(TESTS / one) for one in TESTS_OF[name.removeprefix("fleetreport/")]]
    kept = " or ".join(["not published", *OF_STOCK])
    for word in without.split():
        kept = f"({kept}) and not {word}"
    return ["-n", "0", "-x", "-q", "-p", "no:cacheprovider", "-k", kept, *tests]


def exchange(module: types.ModuleType, text: str) -> None:
    """Give a module that others hold functions of another text: its names anew, and the old functions the new code."""
    before = dict(vars(module))
    exec(compile(text, str(module.__file__), "exec"), vars(module))  # noqa: S102 our own text with one fault
    for name, old in before.items():
        if getattr(old, "__module__", None) == module.__name__:
            _take_over(old, vars(module).get(name))
            for inner, attribute in list(vars(old).items()) if isinstance(old, type) else []:
                _take_over(attribute, vars(vars(module)[name]).get(inner))
    # A figure that another module has imported by its name.
    figures = {
        name: old for name, old in before.items()
        if not name.startswith("__") and not isinstance(old, types.FunctionType | types.ModuleType | type)
    }  # fmt: skip
    for other in list(sys.modules.values()):
        for name in figures.keys() & vars(other).keys() if isinstance(other, types.ModuleType) else ():
            if vars(other)[name] is figures[name]:
                setattr(other, name, vars(module)[name])


def _take_over(old: Any, new: Any) -> None:
    old, new = getattr(old, "__wrapped__", old), getattr(new, "__wrapped__", new)
    if isinstance(old, types.FunctionType) and isinstance(new, types.FunctionType) and old is not new:
        old.__code__, old.__defaults__, old.__kwdefaults__ = new.__code__, new.__defaults__, new.__kwdefaults__


class Judge:
    """A plugin of pytest: instead of running what was collected once, runs it for each fault in a forked process."""

    def __init__(self, name: str, faults: list[Mutant], told: Callable[[Mutant], None]) -> None:
        """Take a module's faults; `told` is called with each that survives."""
        self.module, self.faults, self.told = name.removesuffix(".py").replace("/", "."), faults, told
        self.good = (ROOT / name).read_text(encoding="utf-8")
        self.killed = 0
        # What each test takes of the processor's time without a fault.
        self.seconds: dict[str, float] = {}

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run the tests without a fault, then with each, until one fails."""
        items = list(session.items)
        assert items, f"{self.module}: no test was found"
        seconds: list[float] = []
        failed = self.first_failure(session, items, self.good, seconds)
        assert failed is None, f"{self.module}: the tests fail without a fault: {failed}"
        self.seconds = {item.nodeid: taken for item, taken in zip(items, seconds, strict=True)}
        items.sort(key=lambda item: self.seconds[item.nodeid])
        for one in self.faults:
            by = self.first_failure(session, items, one.text, [])
            self.killed += by is not None
            if by is None:
                self.told(one)
            else:
                first(items, by)
        return True

    def first_failure(
        self, session: pytest.Session, items: list[pytest.Item], text: str, seconds: list[float]
    ) -> pytest.Item | None:
        """The first test that fails with this text or does not come to its end; None: all hold."""
        told, tells = os.pipe()
        child = os.fork()
        if not child:
            self.run(session, items, text, tells)
        os.close(tells)
        with os.fdopen(told) as lines:
            said = lines.read().split()
        _, status = os.waitpid(child, 0)
        seconds += [float(word) for word in said]
        return items[min(len(said), len(items) - 1)] if status else None

    def run(self, session: pytest.Session, items: list[pytest.Item], text: str, tells: int) -> NoReturn:
        """In the forked process: the tests one by one, until one fails; tells how long each of the others took."""
        code = 1
        try:
            resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
            quiet = os.open(os.devnull, os.O_WRONLY)
            os.dup2(quiet, 1)
            os.dup2(quiet, 2)
            exchange(sys.modules[self.module], text)
            for at, item in enumerate(items):
                begun = time.process_time()
                # A fault is not waited for much longer than a test takes without it.
                taken = self.seconds.get(item.nodeid, MOST_SECONDS)
                most = math.ceil(begun + min(MOST_SECONDS, 3 + 5 * taken))
                resource.setrlimit(resource.RLIMIT_CPU, (most, resource.RLIM_INFINITY))
                following = items[at + 1] if at + 1 < len(items) else None
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
                if session.testsfailed:
                    os._exit(1)
                os.write(tells, f"{time.process_time() - begun}\n".encode())
            code = 0
        finally:
            os._exit(code)


def judge_python(name: str, faults: list[Mutant], told: Callable[[Mutant], None], without: str) -> int:
    """How many faults of a module its tests kill, those left out whose names hold a word of `without`."""
    judge = Judge(name, faults, told)
    # pytest's own words are of no use here.
    with redirect_stdout(io.StringIO()) as words:
        code = pytest.main(tests_of(name, without), plugins=[judge])
    assert code == 0, f"{name}: {words.getvalue()}"
    return judge.killed


def main() -> None:
    """Put the faults in, one at a time, and print what was killed and what was not."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--most", type=int, help="so many of all faults of the files, the first of a shuffled list")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--without", default="", help="leave out the tests of Python whose names hold one of these words"
    )
    parser.add_argument("--fleets", type=int, default=FLEETS, help="so many random fleets for SQL")
    parser.add_argument("files", nargs="*")
    called = parser.parse_args()
    begun = time.monotonic()
    sums = {}
    sql: Sql | None = None
    # A fault need not be made small to be seen.
    settings.register_profile(
        "mutation", derandomize=True, database=None, phases=[Phase.explicit, Phase.generate], deadline=None
    )
    os.environ["HYPOTHESIS_PROFILE"] = "mutation"
    faults = chosen(called.files or targets(), called.share, called.most, called.seed)
    every = {name: len(mutants_of(name)) for name in dict.fromkeys(name for name, _ in faults)}
    for name in sorted(every, key=lambda one: not one.endswith(".py")):
        some = sorted(one for of, one in faults if of == name)
        shown = partial(show_survivor, name)
        if name.endswith(".py"):
            killed = judge_python(name, some, shown, called.without)
        else:
            sql = sql or Sql(Path(tempfile.mkdtemp(prefix="mutation-")), called.fleets)
            good = sql.killed_by(name, (ROOT / name).read_text(encoding="utf-8"))
            assert good is None, f"{name}: the tests fail without a fault: {good}"
            survivors = [one for one in some if sql.killed_by(name, one.text) is None]
            killed = len(some) - len(survivors)
            for one in survivors:
                shown(one)
        sums[name] = (killed, len(some), every[name])
        seconds = time.monotonic() - begun
        print(f"{name}: {killed} of {len(some)} killed ({every[name]} in all), {seconds:.0f} s", flush=True)
    killed, tried, every_one = (sum(column) for column in zip(*sums.values(), strict=True))
    print(f"{killed} of {tried} killed, {100 * killed / tried:.1f} %; {every_one} faults in all")


def chosen(files: list[str], share: float, most: int | None, seed: int) -> list[tuple[str, Mutant]]:
    """The faults to try, each with its file: a share of each file's, or the first `most` of all shuffled."""
    chance = random.Random(seed)
    found = []
    for file in dict.fromkeys(files):
        name, _, line = file.partition(":")
        every = [(name, one) for one in mutants_of(name) if not line or one.line == int(line)]
        found += every if most else chance.sample(every, round(share * len(every)))
    if most:
        chance.shuffle(found)
    return found[:most]


def show_survivor(name: str, one: Mutant) -> None:
    """Print a fault that no test noticed."""
    print(f"survived {name}:{one.line}: {one.was} -> {one.now}", file=sys.__stdout__, flush=True)


if __name__ == "__main__":
    main()
