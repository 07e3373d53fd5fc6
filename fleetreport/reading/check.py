"""Turn rows of text into typed rows, and say what is wrong with those that are not what the contract asks.

A rule is an SQL expression over a whole column, made from the table's declaration: the text is trimmed, a blank cell
takes its default, and a value that its kind does not accept becomes a problem. A problem makes the row `refused`
where the column is needed (or its default would change what the row says); otherwise only the cell is left blank.
Nothing here reads a file or keeps a row.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fleetreport.alike import nearest_names
from fleetreport.kinds import TIME
from fleetreport.problem import CannotReadOrWrite
from fleetreport.settings.formats import CellRule
from fleetreport.sql import identifier, literal
from fleetreport.tables import Column, RowRule, Table

# Blanks that people and spreadsheets leave around a value: space, tab, no-break space, line breaks.
BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160)"


LIKE_A_COLUMN = 0.8  # a header is more often another's word than a slip


def missing_columns(table: Table, columns: Sequence[str], name: str, others: Sequence[str] = ()) -> list[str]:
    """A message for each needed column that a file of this name lacks; `others` are headers that are not known."""
    near = {column.name: nearest_names(column.name, others, LIKE_A_COLUMN, 1) for column in table.columns}
    return [
        f"{name}:1: {column.name}: found no column of this name, expected it in a {table.name} table"
        + "".join(f' (did you mean it by "{other}"?)' for other in near[column.name])
        for column in table.columns
        if column.needed and column.default is None and column.name not in columns
    ]


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


def typed_select(
    table: Table,
    columns: Sequence[str],
    rows: str,
    name: str,
    rules: Mapping[str, CellRule] | None = None,
    pieced: bool = False,
    others: Sequence[str] = (),
) -> str:
    """SQL that makes typed rows of `rows`, text rows of a file called `name` with these `columns`.

    `rules` say of a column how its cells are written, where it is not the contract's way; with `pieced`, the rows have
    a column of that name, and a row for which it holds is refused for any fault. Gives file, line, the typed columns,
    `refused`, and `problems`: NULL or a list of structs of column, value and reason. Raises CannotReadOrWrite where a
    needed column is missing, naming the one of `others` (headers that are not known) that is nearly it.
    """
    rules = rules or {}
    missing = missing_columns(table, columns, name, others)
    if missing:
        raise CannotReadOrWrite(
            *missing,
            help=f"fleetreport describe {name.split(' [')[0]} prints a [[source]] section for such a file",
        )
    here = [column for column in table.columns if column.name in columns]
    texts = [f"{_trimmed(column, rules.get(column.name))} as {identifier(column.name)}" for column in here]
    # To a rule between cells a column that the file lacks is blank.
    absent = {name for rule in table.rules for name in rule.uses} - set(columns)
    texts += [f"null::varchar as {identifier(name)}" for name in sorted(absent)]
    said, text_rows = _as_said(rules, f"select line{', pieced' if pieced else ''}, {', '.join(texts)} from ({rows})")
    # Each text is parsed once; what follows looks at the outcome.
    parsed = ", ".join(f'{c.kind.parse.format(x=said.get(c.name, identifier(c.name)))} as "{_parsed(c)}"' for c in here)
    typed = ", ".join(_typed(column, column in here, said) for column in table.columns)
    faults = [
        *(_fault(column, rules.get(column.name)) for column in here),
        *(_broken(rule) for rule in table.rules),
    ]
    refusing = " or ".join(f"({fault.test})" for fault in faults if fault.refuses)
    # What refuses the row comes first in its list.
    listed = ", ".join(
        f"case when {fault.test} then {{'column': {literal(fault.column)}, 'value': coalesce(\"{fault.column}\", ''), "
        f"'reason': {fault.reason}}} end"
        for fault in sorted(faults, key=lambda fault: not fault.refuses)
    )
    any_wrong = " or ".join(f"({fault.test})" for fault in faults)
    refused = f"coalesce({refusing}, false)" + (f" or pieced and ({any_wrong})" if pieced else "")
    return (
        f"select {literal(name)} as file, line, {typed}, {refused} as refused, "
        f"case when {any_wrong} then list_filter([{listed}], lambda p: p is not null) end as problems "
        f"from (select *, {parsed} from ({text_rows}))"
    )


def _as_said(rules: Mapping[str, CellRule], rows: str) -> tuple[dict[str, str], str]:
    """The rows with what each cell says in the contract's form beside it, and the name of that for each column.

    The steps of a rule are taken one after the other, so that each looks at a text that is there already.
    """
    said = {name: identifier(f"{name} said 0") for name, rule in rules.items() if rule.steps}
    before = {name: identifier(name) for name in said}
    for turn in range(max((len(rules[name].steps) for name in said), default=0)):
        steps = []
        for name in said:
            if turn < len(rules[name].steps):
                after = identifier(f"{name} said {turn}")
                steps.append(f"{rules[name].steps[turn].format(x=before[name])} as {after}")
                before[name] = said[name] = after
        rows = f"select *, {', '.join(steps)} from ({rows})"
    return said, rows


def _trimmed(column: Column, rule: CellRule | None = None) -> str:
    """The text without blanks around it, NULL where nothing is left or where the text is one that means nothing.

    DuckDB's trim takes off every space of Unicode but no control character; naming those is many times slower, so it is
    done only where one stands in the text. Most texts begin and end with a visible character of ASCII and need neither.
    """
    name = identifier(column.name)
    has_control = " or ".join(f"contains({name}, chr({code}))" for code in (9, 10, 13))
    is_plain = f"{name} between '!' and '~' and {name}[-1] between '!' and '~'"
    trimmed = f"nullif(case when {has_control} then trim({name}, {BLANKS}) else trim({name}) end, '')"
    text = f"case when {is_plain} then {name} else {trimmed} end"
    for nothing in rule.blank if rule else ():
        text = f"nullif({text}, {literal(nothing)})"
    return text


def _parsed(column: Column) -> str:
    return f"{column.name} parsed"


def _typed(column: Column, is_here: bool, said: Mapping[str, str]) -> str:
    kind = column.kind
    value = f'"{_parsed(column)}"' if is_here else f"null::{kind.sql_type}"
    if column.default is not None:
        value = f"coalesce({value}, {literal(column.default)}::{kind.sql_type})"
    typed = f"({value})::{kind.sql_type} as {identifier(column.name)}"
    if kind is TIME:
        has_time = f"length({said.get(column.name, identifier(column.name))}) > 10" if is_here else "false"
        typed += f', {has_time} as "{column.name}_has_time"'
    return typed


class _Fault(NamedTuple):
    """Something that can be wrong with a row: of which column, when and why (SQL over the text), and whether it costs
    the row.
    """

    column: str
    test: str
    reason: str
    refuses: bool


def _fault(column: Column, rule: CellRule | None) -> _Fault:
    must_stand = column.needed and column.default is None
    is_blank, is_unread = f"{identifier(column.name)} is null", f'"{_parsed(column)}" is null'
    test = is_unread if must_stand else f"{is_unread} and not {is_blank}"
    expected = rule.expected if rule and rule.steps else column.kind.expected
    reason = literal(f"expected {expected}" + (", not blank" if must_stand else ""))
    if rule and rule.hint:
        when = rule.hint_when.format(x=identifier(column.name))
        reason += f" || case when {when} then {literal(rule.hint)} else '' end"
    return _Fault(column.name, test, reason, column.needed or column.refuses)


def _broken(rule: RowRule) -> _Fault:
    return _Fault(rule.column, f"coalesce({rule.is_broken}, false)", literal(f"expected {rule.expected}"), True)
