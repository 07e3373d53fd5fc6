"""Carry the tables of meters' readings on from where they end, instead of making them anew of all readings.

What `readings_in_order` says of a meter up to a day hangs on nothing but the meter's dated readings up to that day, its
exchanges and the most it can take in a day; so do the days of `meter_days`, but for the last one's next. Of each meter
`carried_meters` remembers a digest of all this up to its last day. (A sum: DuckDB's hash of a row joins its last field
by XOR, so that a XOR of these does not see two rows that exchange it.) Where it is the same now, the rows stand, and
only what comes after is added; any other meter is made anew. Both by the tables' own queries, which see fewer readings
for the time: a temporary table of a name hides the one that stays.

So a run that finds a week more takes the time of that week, and of a digest of the rest. It ends with the same rows.
"""

import duckdb

from fleetreport.sql import identifier, literal

STATE = "carried_meters"
# Where more of the readings than this come anew, all are made at once.
MOST_ANEW = 0.3


class MeterTables:
    """The tables that are carried on, by name, in one run on one database: `readings_in_order`, then `meter_days`."""

    tables = ("readings_in_order", "meter_days")
    by_our_queries = frozenset({"dated_readings", "meter_spans", "kept_readings", *tables})

    def __init__(self) -> None:
        self._is_compared = self._is_carried = False

    def carry_on(self, db: duckdb.DuckDBPyConnection, table: str, sql: str, key: str) -> bool:
        """Bring `table`, which `sql` makes, up to date; False where it must be made anew. `key` is the one under which
        its tables were remembered. Belongs into the transaction in which the readings were written.
        """
        if table == "readings_in_order":
            self._is_carried = self._carry_readings(db, sql, key)
            return self._is_carried
        if self._is_carried:
            _carry_days(db, sql)
        return self._is_carried

    def remember(self, db: duckdb.DuckDBPyConnection, key: str) -> None:
        """Take down what the tables were made of, when both are up to date."""
        if not self._is_compared:
            _compare(db, "")
        db.execute(
            f"""create or replace table {STATE} as
                select vehicle_id, meter, last_on, readings, digest, spans, most, {literal(key)} as key
                from meters_now"""
        )
        for name in ("meters_now", "meters_then", "meters_to_go", "carried_rows"):
            db.execute(f"drop table if exists temp.{name}")
        self._is_compared = self._is_carried = False

    def _carry_readings(self, db: duckdb.DuckDBPyConnection, sql: str, key: str) -> bool:
        _compare(db, key)
        self._is_compared = True
        held, anew = db.execute(
            """select coalesce(sum(readings), 0),
                    coalesce(sum(readings - case when is_same then read_then else 0 end), 0)
                from meters_now"""
        ).fetchall()[0]
        if anew > MOST_ANEW * held:
            return False
        _hide(db, "dated_readings", "n.carried_to is null or t.read_on >= n.carried_to")
        db.execute(f"create or replace temp table carried_rows as\n{sql}")
        _show(db, "dated_readings")
        db.execute(
            """delete from readings_in_order r using meters_to_go g
                where r.vehicle_id = g.vehicle_id and r.meter = g.meter"""
        )
        # The last day comes once more, so that what follows it knows what it follows.
        db.execute(
            """insert into readings_in_order by name
                with again as (
                    select vehicle_id, meter, n.carried_to,
                        n.read_then - count(*) filter (t.read_on <= n.carried_to) as before
                    from carried_rows t join meters_now n using (vehicle_id, meter)
                    group by vehicle_id, meter, n.carried_to, n.read_then
                )
                select t.* replace (case when a.carried_to is null then t.seq else t.seq + a.before end as seq)
                from carried_rows t join again a using (vehicle_id, meter)
                where a.carried_to is null or t.read_on > a.carried_to"""
        )
        return True


def _compare(db: duckdb.DuckDBPyConnection, key: str) -> None:
    """Make `meters_now`: of each meter what its rows are made of, and up to which day they stand (null: nowhere);
    and `meters_to_go`, whose rows do not.
    """
    db.execute(
        f"""create table if not exists {STATE} (vehicle_id varchar, meter varchar, last_on date, readings bigint,
            digest hugeint, spans hugeint, most decimal(18, 7), key varchar)"""
    )
    db.execute(f"create or replace temp table meters_then as from {STATE} where key = {literal(key)}")
    db.execute(
        """create or replace temp table meters_now as
            with found as (
                select d.vehicle_id, d.meter, max(d.read_on) as last_on,
                    count(*) as readings, sum(hash(d)::hugeint) as digest,
                    count(*) filter (d.read_on <= s.last_on) as read_then,
                    sum(hash(d)::hugeint) filter (d.read_on <= s.last_on) as digest_then
                from dated_readings d
                left join meters_then s on s.vehicle_id = d.vehicle_id and s.meter = d.meter
                group by d.vehicle_id, d.meter
            ),
            exchanges as (
                select vehicle_id, meter, sum(hash(m)::hugeint) as spans from meter_spans m group by all
            )
            select f.vehicle_id, f.meter, f.last_on, f.readings, f.digest, f.read_then, coalesce(e.spans, 0) as spans,
                case f.meter when 'odometer' then most_km_per_day else most_h_per_day end as most,
                coalesce(s.readings = f.read_then and s.digest = f.digest_then and s.spans = coalesce(e.spans, 0)
                    and s.most = case f.meter when 'odometer' then most_km_per_day else most_h_per_day end, false)
                    as is_same,
                case when is_same then s.last_on end as carried_to
            from found f
            left join exchanges e on e.vehicle_id = f.vehicle_id and e.meter = f.meter
            left join meters_then s on s.vehicle_id = f.vehicle_id and s.meter = f.meter, run"""
    )
    db.execute(
        """create or replace temp table meters_to_go as
            select s.vehicle_id, s.meter from meters_then s
            anti join (from meters_now where is_same) n on s.vehicle_id = n.vehicle_id and s.meter = n.meter"""
    )


def _carry_days(db: duckdb.DuckDBPyConnection, sql: str) -> None:
    """Of a meter that all is believed of, its last day comes anew, with the next one, and what follows it.

    Where all is believed now, all of what stands was then: two readings that contradict each other still do.
    """
    db.execute(
        """update meters_now set carried_to = null
            where (vehicle_id, meter) in (select (vehicle_id, meter) from not_believed)"""
    )
    _hide(db, "kept_readings", "n.carried_to is null or t.read_on >= n.carried_to")
    db.execute(f"create or replace temp table carried_rows as\n{sql}")
    _show(db, "kept_readings")
    db.execute("delete from meter_days d using meters_to_go g where d.vehicle_id = g.vehicle_id and d.meter = g.meter")
    db.execute(
        """delete from meter_days d using meters_now n
            where d.vehicle_id = n.vehicle_id and d.meter = n.meter
                and (n.carried_to is null or d.read_on >= n.carried_to)"""
    )
    db.execute("insert into meter_days by name from carried_rows")


def _hide(db: duckdb.DuckDBPyConnection, table: str, which: str) -> None:
    """Let a table's name mean only those of its rows `t`, beside their meter `n`, for which `which` holds."""
    (name,) = db.execute("select current_database()").fetchall()[0]
    db.execute(
        f"""create or replace temp table {table} as
            select t.* from {identifier(name)}.main.{table} t
            join meters_now n on n.vehicle_id = t.vehicle_id and n.meter = t.meter where {which}"""
    )


def _show(db: duckdb.DuckDBPyConnection, table: str) -> None:
    db.execute(f"drop table temp.{table}")
