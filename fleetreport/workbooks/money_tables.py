"""The money reports: tables for other programs, the page, the workbook.

Tables are CSV (and Parquet) with every amount in the currency's minor unit.

By convention an amount of money is DECIMAL(18,4) in the database, already rounded to the minor unit, and a price a unit
of use is DECIMAL(18,6). So an amount prints with as many decimals as its currency has (ISO 4217), and a price with six.
"""

import logging
from pathlib import Path

import duckdb

from fleetreport.sql import identifier, literal

PUBLISHED_MONEY = (
    "forecast", "forecast_totals", "budget", "accrual", "cost_per_use", "class_cost_months", "warranty_work",
    "replacement",
)  # fmt: skip
AMOUNT = "DECIMAL(18,4)"


def write_money_table(db: duckdb.DuckDBPyConnection, table: str, path: Path, how: str, digits: int) -> None:
    """Write a table's rows, in the order its query gives them, amounts with so many decimals; `how` as for COPY."""
    described = db.execute(f"describe {identifier(table)}").fetchall()
    columns = ", ".join(
        f"{identifier(name)}::decimal(18, {digits}) as {identifier(name)}" if kind == AMOUNT else identifier(name)
        for name, kind, *_ in described
    )
    db.execute(f"copy (select {columns} from {identifier(table)}) to {literal(str(path))} ({how})")


def write_money_tables(db: duckdb.DuckDBPyConnection, folder: Path, parquet: bool) -> None:
    """Write all money tables into `folder` as CSV, and as Parquet where asked for."""
    row = db.execute("select money_digits from run").fetchone()
    if row is None:
        raise LookupError("run")
    for table in PUBLISHED_MONEY:
        write_money_table(db, table, folder / f"{table}.csv", "format csv, header", row[0])
        if parquet:
            write_money_table(db, table, folder / f"{table}.parquet", "format parquet", row[0])


def write_forecast(db: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Write forecast.html and forecast.xlsx into `folder`."""
    # What Matplotlib says of its font cache on its first run is not for the user. It takes long to import, too.
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    from matplotlib import rc_context, rcParamsDefault

    from fleetreport.pages.forecast_page import forecast_page
    from fleetreport.workbooks.forecast_book import write_forecast_book

    # A person's own Matplotlib settings must not change the bytes; the backend is not theirs to set here either.
    with rc_context({key: value for key, value in rcParamsDefault.items() if "backend" not in key}):
        (folder / "forecast.html").write_text(forecast_page(db), encoding="utf-8", newline="\n")
    write_forecast_book(db, folder / "forecast.xlsx")
