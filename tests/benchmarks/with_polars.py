"""The weekly due list as a practitioner's script in Polars: `python -m tests.benchmarks.with_polars FLEET AS_OF OUT`.

The same rules as with_pandas, written as one does there: lazy, in expressions over each vehicle.
"""

import sys
from datetime import date
from pathlib import Path

import polars as pl
from polars import col


def read_readings(fleet: Path) -> pl.LazyFrame:
    """All readings that can be read, each once."""
    folder = fleet / "readings"
    if any(folder.glob("*.parquet")):
        found = pl.scan_parquet(folder / "*.parquet").with_columns(col("reading").cast(pl.Float64))
    else:
        found = pl.scan_csv(folder / "*.csv", schema_overrides={"reading": pl.String}).with_columns(
            col("read_at").str.to_date(), col("reading").cast(pl.Float64, strict=False)
        )
    return found.drop_nulls("reading").select("vehicle_id", "read_at", "reading").unique()


def meters(readings: pl.LazyFrame) -> pl.LazyFrame:
    """What each vehicle's odometer shows last, and what it gained a day over the last 90 days."""
    gained = col("reading").diff().over("vehicle_id")
    too_much = 1500 * col("read_at").diff().over("vehicle_id").dt.total_days().clip(1)
    steps = readings.sort("vehicle_id", "read_at").with_columns(
        is_wrong=((gained < 0) | (gained > too_much)).fill_null(False), jumped=(gained > too_much).fill_null(False)
    )
    # What follows a reading that is too high looks as if it fell.
    good = steps.filter(
        ~col("is_wrong") | (~col("jumped") & col("jumped").shift(1).over("vehicle_id").fill_null(False))
    )
    last = col("read_at").max()
    recent = col("read_at") >= last.over("vehicle_id") - pl.duration(days=90)
    return (
        good.filter(recent)
        .group_by("vehicle_id")
        .agg(
            now=col("reading").last(),
            rate=(col("reading").last() - col("reading").first())
            / (last - col("read_at").min()).dt.total_days().clip(1),
        )
    )


def due_list(fleet: Path, as_of: date) -> pl.DataFrame:
    """A row for each vehicle and task: status, governed_by, due_on, distance_left."""
    vehicles = pl.scan_csv(fleet / "vehicles.csv", try_parse_dates=True)
    readings = read_readings(fleet).filter(col("read_at") <= as_of).join(vehicles, on="vehicle_id", how="semi")
    history = pl.concat(
        [pl.scan_csv(path, schema_overrides={"odometer": pl.Float64, "task": pl.String, "item": pl.String,
                                             "quantity": pl.Float64, "parts_cost": pl.Float64},
                     try_parse_dates=True)
         for path in sorted((fleet / "history").iterdir())], how="vertical_relaxed",
    )  # fmt: skip
    last = (
        history.filter(col("task").is_not_null(), col("done_on") <= as_of)
        .sort("done_on", "odometer")
        .group_by("vehicle_id", "task")
        .agg(col("done_on", "odometer").last())
    )
    tasks = pl.scan_csv(fleet / "tasks.csv").drop("class")
    due = (
        vehicles.join(tasks, how="cross")
        .join(meters(readings), on="vehicle_id", how="left")
        .join(last, on=["vehicle_id", "task"], how="left")
        .with_columns(
            distance_left=pl.coalesce("odometer", "in_service_odometer") + col("every_distance") - col("now"),
            by_time=pl.coalesce("done_on", "in_service_on").dt.offset_by(
                pl.format("{}mo", col("every_months").cast(pl.Int64))
            ),
        )
        .with_columns(
            by_distance=pl.lit(as_of) + pl.duration(days=(col("distance_left") / col("rate")).ceil().cast(pl.Int64))
        )
        .with_columns(due_on=pl.min_horizontal("by_distance", "by_time"))
    )
    ahead = (col("due_on") - as_of).dt.total_days()
    is_past = (col("distance_left") < 0).fill_null(False) | (col("by_time") < as_of).fill_null(False)
    status = (
        pl.when(is_past).then(pl.lit("overdue")).when(ahead <= 7).then(pl.lit("due"))
        .when(ahead <= 56).then(pl.lit("upcoming")).otherwise(pl.lit("later"))
    )  # fmt: skip
    governed = pl.when(col("by_distance") == col("due_on")).then(pl.lit("distance")).otherwise(pl.lit("time"))
    return due.select(
        "vehicle_id", "task", status.alias("status"), governed.alias("governed_by"), "due_on", "distance_left"
    ).collect()


if __name__ == "__main__":
    due_list(Path(sys.argv[1]), date.fromisoformat(sys.argv[2])).write_csv(sys.argv[3])
