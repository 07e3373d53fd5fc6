"""RFC 4180 records, day numbers of spreadsheets (ECMA-376), contrast (WCAG 2.2), MD5 sums (RFC 1321)."""

import tempfile
from pathlib import Path

import duckdb
from published.checks import QUOTED, RUN, Source
from test_palette import contrast

from fleetreport.reading.rows import InputFile, ways_to_read
from fleetreport.settings.formats import Format, cell_rule
from fleetreport.tables import HISTORY

RFC_4180 = Source("RFC 4180, section 2", QUOTED)
ECMA_376 = Source("ECMA-376 part 1, 18.17.4.1", QUOTED, "later days computed")
RFC_1321 = Source("RFC 1321, A.5 (MD5 test suite)", QUOTED)
WCAG = Source("WCAG 2.2, contrast ratio", RUN, "by an independent calculation")


@RFC_4180.says_each(
    "rules 4 to 7",
    "the record {0}",
    [
        ("aaa,bbb,ccc", "['aaa', 'bbb', 'ccc']"),
        ('"aaa","bbb","ccc"', "['aaa', 'bbb', 'ccc']"),
        ('"aaa","b\r\nbb","ccc"', "['aaa', 'b\\r\\nbb', 'ccc']"),
        ('"aaa","b""bb","ccc"', "['aaa', 'b\"bb', 'ccc']"),
    ],
)
def record(text: str) -> str:
    with tempfile.TemporaryDirectory(prefix="published-") as folder:
        path = Path(folder) / "in.csv"
        path.write_bytes(f"vehicle_id,source,unit\r\n{text}\r\nx,y,z\r\n".encode())
        found = list(ways_to_read(InputFile("readings", path, path.name), path.parent))[-1]
        (line, *cells), (after, *_) = duckdb.connect().execute(found.sql).fetchall()
    assert (line, after, found.refused) == (2, 3 + text.count("\n"), found.refused[:0])
    return repr(cells)


@ECMA_376.says_each(
    "serial dates",
    "serial {0}",
    [
        ("1", "1900-01-01"), ("59", "1900-02-28"), ("60", "none"), ("61", "1900-03-01"), ("25569", "1970-01-01"),
        ("36526", "2000-01-01"), ("45351", "2024-02-29"), ("46387", "2026-12-31"), ("45351.5", "2024-02-29"),
        ("0", "none"), ("-5", "none"), ("123456", "none"),
    ],
)  # fmt: skip
def serial(text: str) -> object:
    rule = cell_rule(HISTORY.column("done_on"), Format(dates=("dmy", "serial")))
    assert rule is not None
    said = "select ? as said"
    for step in rule.steps:
        said = f"select {step.format(x='said')} as said from ({said})"
    parsed = HISTORY.column("done_on").kind.parse.format(x="said")
    row = duckdb.connect().execute(f"select {parsed} from ({said})", [text]).fetchone()
    assert row is not None
    return row[0]


@WCAG.says_each(
    "relative luminance",
    "{0} on {1}",
    [
        ("#000000", "#ffffff", "21.0000"), ("#767676", "#ffffff", "4.5422"), ("#777777", "#ffffff", "4.4781"),
        ("#949494", "#ffffff", "3.0335"), ("#959595", "#ffffff", "2.9953"), ("#ff0000", "#ffffff", "3.9985"),
        ("#c00000", "#ffffff", "6.4789"), ("#008000", "#ffffff", "5.1374"), ("#ffa500", "#ffffff", "1.9748"),
        ("#000000", "#ffff00", "19.556"),
    ],
)  # fmt: skip
def ratio(one: str, other: str) -> object:
    return contrast(one, other)


@RFC_1321.says_each(
    "A.5",
    'the second half of the sum of "{0}", by which vehicles go to shards',
    [("", "e9800998ecf8427e"), ("abc", "d6963f7d28e17f72"), ("message digest", "525a2f31aaf161d0")],
)
def sum_of(text: str) -> str:
    row = duckdb.connect().execute("select md5_number_lower(?)", [text]).fetchone()
    assert row is not None
    return int(row[0]).to_bytes(8, "little").hex()
