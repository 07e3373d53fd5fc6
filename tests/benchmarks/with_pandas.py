"""The weekly due list as a practitioner's script in pandas: `python -m tests.benchmarks.with_pandas FLEET AS_OF OUT`.

A yardstick, so written as such scripts are: one function a vehicle for its readings, merges for the rest. It knows only
what the benchmark's fleets hold: one meter in km, tasks of every class, work counted from when it was last done.
"""

import sys
from pathlib import Path

import numpy as np
import pandas as pd


def read_readings(fleet: Path) -> pd.DataFrame:
    """All readings that can be read, each once, in order."""
    files = sorted((fleet / "readings").iterdir())
    parts = [pd.read_parquet(path) if path.suffix == ".parquet" else pd.read_csv(path) for path in files]
    readings = pd.concat(parts, ignore_index=True)
    readings["read_at"] = pd.to_datetime(readings["read_at"])
    readings["reading"] = pd.to_numeric(readings["reading"], errors="coerce")
    return readings.dropna(subset=["reading"]).drop_duplicates().sort_values(["vehicle_id", "read_at"])


def meter_of(readings: pd.DataFrame) -> pd.Series:
    """What a vehicle's odometer shows last, and what it gained a day over the last 90 days."""
    gained, days = readings["reading"].diff(), readings["read_at"].diff().dt.days.clip(lower=1)
    is_wrong = (gained < 0) | (gained > 1500 * days)
    # What follows a reading that is too high looks as if it fell.
    is_too_high = (gained > 1500 * days) & (gained.shift(-1) < 0)
    good = readings[~is_wrong | (is_wrong & is_too_high.shift(1, fill_value=False))]
    last = good.iloc[-1]
    recent = good[good["read_at"] >= last["read_at"] - pd.Timedelta(days=90)]
    first = recent.iloc[0]
    rate = (last["reading"] - first["reading"]) / max(1, (last["read_at"] - first["read_at"]).days)
    return pd.Series({"now": last["reading"], "rate": rate})


def due_list(fleet: Path, as_of: pd.Timestamp) -> pd.DataFrame:
    """A row for each vehicle and task: status, governed_by, due_on, distance_left."""
    vehicles = pd.read_csv(fleet / "vehicles.csv", parse_dates=["in_service_on"])
    readings = read_readings(fleet)
    readings = readings[(readings["read_at"] <= as_of) & readings["vehicle_id"].isin(vehicles["vehicle_id"])]
    meters = readings.groupby("vehicle_id")[["read_at", "reading"]].apply(meter_of).reset_index()
    history = pd.concat([pd.read_csv(path, parse_dates=["done_on"]) for path in sorted((fleet / "history").iterdir())])
    done = history[history["task"].notna() & (history["done_on"] <= as_of)].sort_values(["done_on", "odometer"])
    last = done.groupby(["vehicle_id", "task"])[["done_on", "odometer"]].last().reset_index()
    tasks = pd.read_csv(fleet / "tasks.csv")
    due = vehicles.merge(tasks.drop(columns="class"), how="cross").merge(meters, how="left", on="vehicle_id")
    due = due.merge(last, how="left", on=["vehicle_id", "task"])
    done_on = due["done_on"].fillna(due["in_service_on"])
    done_at = due["odometer"].fillna(due["in_service_odometer"])
    due["distance_left"] = done_at + due["every_distance"] - due["now"]
    days_left = np.ceil(due["distance_left"] / due["rate"])
    by_distance = as_of + pd.to_timedelta(days_left, unit="D")
    by_time = pd.Series(
        [day + pd.DateOffset(months=int(months)) if months == months else pd.NaT
         for day, months in zip(done_on, due["every_months"], strict=True)], index=due.index,
    )  # fmt: skip
    due["due_on"] = pd.concat([by_distance, by_time], axis=1).min(axis=1)
    due["governed_by"] = np.where(by_distance == due["due_on"], "distance", "time")
    is_past = (due["distance_left"] < 0) | (by_time < as_of)
    ahead = (due["due_on"] - as_of).dt.days
    due["status"] = np.select([is_past, ahead <= 7, ahead <= 56], ["overdue", "due", "upcoming"], "later")
    return due[["vehicle_id", "task", "status", "governed_by", "due_on", "distance_left"]]


if __name__ == "__main__":
    due_list(Path(sys.argv[1]), pd.Timestamp(sys.argv[2])).to_csv(sys.argv[3], index=False)
