"""The money reports: tables for other programs, the page, the workbook.

Tables are CSV (and Parquet) with every amount in the currency's minor unit.

By convention an amount of money is DECIMAL(18,4) in the database, already rounded to the minor unit, and a price a unit
of use is DECIMAL(18,6). So an amount prints with as many decimals as its currency has (ISO 4217), and a price with six.
"""

from pathlib import Path

import duckdb

from fleetreport.languages.catalogues import ENGLISH, Catalogue
from fleetreport.pages.drawing import drawn_plainly
from fleetreport.published_tables import PUBLISHED_MONEY
from fleetreport.sql import identifier, literal

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


def write_forecast(db: duckdb.DuckDBPyConnection, folder: Path, words: Catalogue = ENGLISH) -> None:
    """Write forecast.html and forecast.xlsx into `folder`."""
    # Each imports much: only what writes them pays for it.
    from fleetreport.pages.forecast_page import forecast_page
    from fleetreport.workbooks.forecast_book import write_forecast_book

    text = drawn_plainly(lambda: forecast_page(db, words))
    (folder / "forecast.html").write_text(text, encoding="utf-8", newline="\n")
    write_forecast_book(db, folder / "forecast.xlsx", words=words)
