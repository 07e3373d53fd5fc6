"""The backtest as a whole: worked out by hand, no look ahead, the same bytes twice, its band held to a known truth."""

import csv
import math
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import duckdb
import pytest
from simulated_fleet import LAST_DAY, LOOKS, SHAPE, simulated_fleet
from test_page import Tree

from fleetreport.pages import charts
from fleetreport.trials.backtest import PUBLISHED, Backtest, Looks, make_backtest
from fleetreport.trials.backtest_page import MARKS

Scores = dict[tuple[str, str, str, str], dict[str, str]]


def scores_of(out: Path) -> Scores:
    with (out / "data/backtest.csv").open(encoding="utf-8", newline="") as file:
        return {(r["meter"], r["class"], r["horizon"], r["estimator"]): r for r in csv.DictReader(file)}


def two_vehicles(fleet: Path) -> Path:
    """V1 runs 100 km every day of two years; V2 does for one year, then 200 km. Both are read each Monday."""
    readings = ["vehicle_id,read_at,reading"]
    first, change = date(2024, 1, 1), date(2025, 1, 6)
    for day in (first + timedelta(7 * week) for week in range(105)):
        days, since = (day - first).days, max(0, (day - change).days)
        readings += [f"V1,{day},{100 * days}", f"V2,{day},{100 * days + 100 * since}"]
    fleet.mkdir()
    (fleet / "readings.csv").write_text("\n".join(readings) + "\n", encoding="utf-8")
    (fleet / "vehicles.csv").write_text("vehicle_id,class,in_service_on\nV1,van,2024-01-01\nV2,bus,2024-01-01\n")
    (fleet / "tasks.csv").write_text("class,task,every_distance\n*,oil,1000\n")
    return fleet


@pytest.fixture(scope="module")
def by_hand(tmp_path_factory: pytest.TempPathFactory) -> Scores:
    """One look at each, on 6 January 2025: every estimator says 100 km a day."""
    folder = tmp_path_factory.mktemp("by_hand")
    looks = Looks(every_days=371, history_months=12)
    done = make_backtest(two_vehicles(folder / "fleet"), date(2025, 12, 31), folder / "out", looks=looks)
    assert (done.days, done.first_day, done.last_day) == (1, date(2025, 1, 6), date(2025, 1, 6))
    return scores_of(folder / "out")


@pytest.mark.parametrize("estimator", MARKS)
def test_errors_worked_out_by_hand(by_hand: Scores, estimator: str) -> None:
    """In 28 days V1 runs 2,800 km as projected and V2 5,600 km instead: 2,800 of 8,400 km off, all of it too little."""
    fleet = by_hand["odometer", "*", "28 days", estimator]
    assert (fleet["projections"], fleet["vehicles"]) == ("2", "2")
    assert float(fleet["error_ratio"]) == pytest.approx(2800 / 8400, abs=5e-5)
    assert float(fleet["bias"]) == pytest.approx(-2800 / 8400, abs=5e-5)
    # A pinball loss of the median is half the absolute error: 1,400 km and none, on average 700.
    assert float(fleet["pinball_50"]) == 700
    assert float(by_hand["odometer", "van", "28 days", estimator]["error_ratio"]) == 0
    assert float(by_hand["odometer", "bus", "91 days", estimator]["error_ratio"]) == 0.5


def test_band_and_due_weeks_worked_out_by_hand(by_hand: Scores) -> None:
    """From 37,100 km V1 reaches the next 1,000, 38,000, after 9 days as projected; V2 after 5, in the week before."""
    steady = by_hand["odometer", "van", "28 days", "daily_rate"]
    assert (steady["in_band_pct"], steady["due_points"], steady["due_week_pct"]) == ("100.0", "1", "100.0")
    faster = by_hand["odometer", "bus", "7 days", "daily_rate"]
    assert (faster["due_points"], faster["due_week_pct"], faster["due_week_or_next_pct"]) == ("1", "0.0", "100.0")
    assert by_hand["odometer", "van", "7 days", "daily_rate"]["due_points"] == "0"
    assert by_hand["odometer", "van", "28 days", "lifetime"]["in_band_pct"] == ""


def test_band_holds_what_it_promises_of_a_known_truth(full_backtest: duckdb.DuckDBPyConnection) -> None:
    """Use independent of its past: 80 % inside the 80 % band and 10 % on either side; four standard errors allowed."""
    found = full_backtest.execute(
        "select horizon, projections, in_band_pct, below_band_pct, above_band_pct from backtest "
        "where class = '*' and estimator = 'daily_rate' and meter = 'odometer' and horizon in ('7 days', '28 days')"
    ).fetchall()
    assert len(found) == 2
    for horizon, projections, inside, below, above in found:
        assert projections >= 280, horizon
        assert inside == pytest.approx(80, abs=400 * math.sqrt(0.8 * 0.2 / projections)), horizon
        assert below == pytest.approx(10, abs=400 * math.sqrt(0.1 * 0.9 / projections)), horizon
        assert above == pytest.approx(10, abs=400 * math.sqrt(0.1 * 0.9 / projections)), horizon


@pytest.mark.parametrize(("horizon", "weeks"), [("7 days", 1), ("28 days", 4)])
def test_error_comes_near_the_least_that_is_possible(
    full_backtest: duckdb.DuckDBPyConnection, horizon: str, weeks: int
) -> None:
    """The mean absolute deviation of a gamma distribution of shape k is 2 k^k e^-k / gamma(k) of its scale, its mean k
    (Johnson, Kotz & Balakrishnan 1994, 17.6; from memory): that far off is who knows the true mean.
    """
    k = SHAPE * weeks
    least = 2 * k**k * math.exp(-k) / math.gamma(k) / k
    row = full_backtest.execute(
        "select error_ratio from backtest where class = '*' and estimator = 'daily_rate' and meter = 'odometer' "
        "and horizon = ?",
        [horizon],
    ).fetchone()
    assert row is not None
    assert 0.9 * least < row[0] < 1.2 * least


@pytest.fixture
def looks_of(tmp_path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """Two backtests side by side, `plain` and `changed`: in the second all use after 29 December 2024 is another.

    That is a day replayed, and a Sunday before a reading, so a look ahead of a single day would be seen.
    """
    last_known = date(2024, 12, 29)

    def change(day: date, moved: float) -> float:
        return moved if day <= last_known else 9 * moved + 400

    for name, changed in (("plain", None), ("changed", change)):
        fleet = simulated_fleet(tmp_path / name / "fleet", 8, changed)
        if changed:
            # Higher than any reading before it and believed today: what was believed then must not change.
            with (fleet / "readings.csv").open("a", encoding="utf-8") as file:
                file.write(f"V03,{last_known + timedelta(1)},odometer,{10**6}\n")
        make_backtest(fleet, LAST_DAY, tmp_path / name / "out", tmp_path / f"{name}.duckdb", Looks(every_days=60))
    db = duckdb.connect()
    for name in ("plain", "changed"):
        db.execute(f"attach '{tmp_path}/{name}.duckdb' as {name} (read_only)")
    yield db
    db.close()


def test_no_replayed_day_sees_what_came_after_it(looks_of: duckdb.DuckDBPyConnection) -> None:
    """Other readings from a day on: to the bit the same projections and bands up to that day, and others after it."""
    then = "where as_of <= date '2024-12-29' order by all"
    before = looks_of.execute(f"from plain.looks {then}").fetchall()
    assert len(before) >= 40
    assert max(row[0] for row in before) == date(2024, 12, 29)
    assert looks_of.execute(f"from changed.looks {then}").fetchall() == before
    later = "where as_of > date '2025-03-01' order by all"
    assert (
        looks_of.execute(f"from plain.looks {later}").fetchall()
        != looks_of.execute(f"from changed.looks {later}").fetchall()
    )


def test_the_same_call_twice_writes_the_same_bytes(tmp_path: Path) -> None:
    fleet = simulated_fleet(tmp_path / "fleet", 8)
    files = []
    for name in ("one", "other"):
        call = [sys.executable, "-m", "fleetreport", "backtest", fleet, "--as-of", str(LAST_DAY), "--every", "6"]
        done = subprocess.run([*call, "--out", name], cwd=tmp_path, capture_output=True, text=True, check=True)
        assert done.stderr == ""
        files.append({p.relative_to(tmp_path / name): p.read_bytes() for p in (tmp_path / name).rglob("*.*")})
    assert sorted(str(path) for path in files[0]) == ["backtest.html", *(f"data/{table}.csv" for table in PUBLISHED)]
    assert files[0] == files[1]
    assert not (fleet / ".fleetreport/store.duckdb").exists()


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Backtest, Path]:
    folder = tmp_path_factory.mktemp("made")
    return make_backtest(simulated_fleet(folder / "fleet"), LAST_DAY, folder / "out", looks=LOOKS), folder / "out"


def test_page_shows_the_figures_of_the_table(made: tuple[Backtest, Path]) -> None:
    _, out = made
    page = (out / "backtest.html").read_text(encoding="utf-8")
    words = Tree(page).words()
    for (_, name, _, estimator), row in scores_of(out).items():
        if name == "*" and row["error_ratio"]:
            assert f"{float(row['error_ratio']):.4f}" in words
        if estimator == "daily_rate" and row["in_band_pct"]:
            assert f"{float(row['in_band_pct']):.1f}" in words
    assert "Not due does not mean safe" in words


def test_charts_can_be_read_aloud_and_ask_for_nothing(made: tuple[Backtest, Path]) -> None:
    """Role, title and description (WAI-ARIA 1.2, SVG 2); no inline style, which the page's policy would refuse."""
    page = (made[1] / "backtest.html").read_text(encoding="utf-8")
    charts = re.findall(r"<svg [^>]*role=\"img\".*?</svg>", page, re.DOTALL)
    assert len(charts) == 2
    for chart in charts:
        labels = re.search(r'aria-labelledby="(\S+) (\S+)"', chart)
        assert labels
        assert re.search(rf'<title id="{labels[1]}">Projections of the (odometer|hour meter)', chart)
        assert re.search(rf'<desc id="{labels[2]}">7 days ahead: error ratio 0\.\d+;', chart)
    assert not re.search(r'\sstyle="', page)
    assert page.count("<style") == 1
    ids = re.findall(r'\sid="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(ids)
    assert not re.findall(r"(?:src|href)=\"(?!#)", page)
    colours = set(re.findall(r'(?:fill|stroke)="([^"]+)"', "".join(charts)))
    assert colours <= {"none", "var(--ink)", "var(--soft)", "var(--rule)", "var(--due)"}


def test_summary_names_the_best_simple_estimator(made: tuple[Backtest, Path]) -> None:
    done, out = made
    table = scores_of(out)
    for score in done.scores:
        naive = {
            row["estimator"]: float(row["error_ratio"])
            for (meter, name, horizon, estimator), row in table.items()
            if (meter, name, horizon) == (score.meter, "*", score.horizon) and estimator != "daily_rate"
        }
        assert score.best_naive_ratio == min(naive.values()) == naive[score.best_naive]
    assert done.lines()[0].split()[:4] == ["meter", "ahead", "projections", "error"]


def test_a_weekly_run_does_not_wait_for_matplotlib() -> None:
    """Only what draws imports it."""
    modules = "fleetreport.cli, fleetreport.week, fleetreport.trials.backtest"
    said = f"import sys, {modules}; print('matplotlib' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", said], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


@pytest.mark.parametrize(("font", "size"), [("9px 'DejaVu Sans'", "9"), ("italic 700 10.5px serif", "10.5")])
def test_size_of_a_font(font: str, size: str) -> None:
    """Matplotlib before 3.11 writes the shorthand of CSS Fonts 3, 3.7."""
    assert charts._font_size(font) == size


def test_a_font_in_another_form_is_refused() -> None:
    with pytest.raises(ValueError, match="larger serif"):
        charts._font_size("larger serif")
