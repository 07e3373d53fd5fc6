"""Turn rows of text into typed rows, and say what is wrong with those that are not what the contract asks.

A rule is an SQL expression over a whole column, made from the table's declaration: the text is trimmed, a blank cell
takes its default, and a value that its kind does not accept becomes a problem. A problem makes the row `refused`
where the column is needed (or its default would change what the row says); otherwise only the cell is left blank.
Nothing here reads a file or keeps a row.
"""

from collections.abc import Sequence
from typing import NamedTuple

from fleetreport.kinds import TIME
from fleetreport.problem import CannotReadOrWrite
from fleetreport.sql import identifier, literal
from fleetreport.tables import Column, RowRule, Table

# Blanks that people and spreadsheets leave around a value: space, tab, no-break space, line breaks.
BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160)"


def missing_columns(table: Table, columns: Sequence[str], name: str) -> list[str]:
    """A message for each needed column that a file of this name lacks."""
    return [
        f"{name}:1: {column.name}: found no column of this name, expected it in a {table.name} table"
        for column in table.columns
        if column.needed and column.default is None and column.name not in columns
    ]


def ignored_columns(table: Table, columns: Sequence[str]) -> list[str]:
    """The columns of a file that the table has no use for."""
    known = {column.name for column in table.columns}
    return [name for name in columns if name not in known]


def typed_columns(table: Table) -> dict[str, str]:
    """The columns of the typed table with their SQL types, in order: those declared, and whether a moment had a time
    of day.
    """
    shape = {}
    for column in table.columns:
        shape[column.name] = column.kind.sql_type
        if column.kind is TIME:
            shape[f"{column.name}_has_time"] = "BOOLEAN"
    return shape


def typed_select(table: Table, columns: Sequence[str], rows: str, name: str) -> str:
    """SQL that makes typed rows of `rows`, text rows of a file called `name` with these `columns`.

    Gives file, line, the typed columns, `refused`, and `problems`: NULL or a list of structs of column, value
    and reason. Raises CannotReadOrWrite where a needed column is missing.
    """
    missing = missing_columns(table, columns, name)
    if missing:
        raise CannotReadOrWrite(*missing)
    here = [column for column in table.columns if column.name in columns]
    trimmed = ", ".join(f"{_trimmed(column)} as {identifier(column.name)}" for column in here)
    # Each text is parsed once; what follows looks at the outcome.
    parsed = ", ".join(f'{c.kind.parse.format(x=identifier(c.name))} as "{_parsed(c)}"' for c in here)
    typed = ", ".join(_typed(column, column in here) for column in table.columns)
    faults = [*map(_fault, here), *(_broken(rule) for rule in table.rules if set(rule.uses) <= set(columns))]
    refusing = " or ".join(f"({fault.test})" for fault in faults if fault.refuses)
    # What refuses the row comes first in its list.
    listed = ", ".join(
        f"case when {fault.test} then {{'column': {literal(fault.column)}, 'value': coalesce(\"{fault.column}\", ''), "
        f"'reason': {literal(fault.reason)}}} end"
        for fault in sorted(faults, key=lambda fault: not fault.refuses)
    )
    any_wrong = " or ".join(f"({fault.test})" for fault in faults)
    return (
        f"select {literal(name)} as file, line, {typed}, coalesce({refusing}, false) as refused, "
        f"case when {any_wrong} then list_filter([{listed}], lambda p: p is not null) end as problems "
        f"from (select *, {parsed} from (select line, {trimmed} from ({rows})))"
    )


def _trimmed(column: Column) -> str:
    """The text without blanks around it, NULL where nothing is left.

    DuckDB's trim takes off every space of Unicode but no control character; naming those is many times slower, so it is
    done only where one stands in the text.
    """
    name = identifier(column.name)
    has_control = " or ".join(f"contains({name}, chr({code}))" for code in (9, 10, 13))
    return f"nullif(case when {has_control} then trim({name}, {BLANKS}) else trim({name}) end, '')"


def _parsed(column: Column) -> str:
    return f"{column.name} parsed"


def _typed(column: Column, is_here: bool) -> str:
    kind = column.kind
    value = f'"{_parsed(column)}"' if is_here else f"null::{kind.sql_type}"
    if column.default is not None:
        value = f"coalesce({value}, {literal(column.default)}::{kind.sql_type})"
    typed = f"({value})::{kind.sql_type} as {identifier(column.name)}"
    if kind is TIME:
        has_time = f"length({identifier(column.name)}) > 10" if is_here else "false"
        typed += f', {has_time} as "{column.name}_has_time"'
    return typed


class _Fault(NamedTuple):
    """Something that can be wrong with a row: of which column, when (SQL over the text), why, and whether it costs
    the row.
    """

    column: str
    test: str
    reason: str
    refuses: bool


def _fault(column: Column) -> _Fault:
    must_stand = column.needed and column.default is None
    is_blank, is_unread = f"{identifier(column.name)} is null", f'"{_parsed(column)}" is null'
    test = is_unread if must_stand else f"{is_unread} and not {is_blank}"
    reason = f"expected {column.kind.expected}" + (", not blank" if must_stand else "")
    return _Fault(column.name, test, reason, column.needed or column.refuses)


def _broken(rule: RowRule) -> _Fault:
    return _Fault(rule.column, f"coalesce({rule.is_broken}, false)", f"expected {rule.expected}", True)
