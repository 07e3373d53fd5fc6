"""What fuzzing begins with: small files of each kind, and settings."""

import gzip
import io
import zipfile
from pathlib import Path

import duckdb

TEXT = b'vehicle_id,read_at,meter,reading,unit\nV1,2026-01-05,,100,km\nV1,2026-02-05T10:30,odometer,"200",\n'
SHEET = b"""<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>
<row r="1"><c r="A1" t="inlineStr"><is><t>vehicle_id</t></is></c><c r="B1" t="inlineStr"><is><t>read_at</t></is></c>
<c r="C1" t="inlineStr"><is><t>reading</t></is></c></row>
<row r="2"><c r="A2" t="inlineStr"><is><t>V1</t></is></c><c r="B2"><v>46027</v></c><c r="C2"><v>1e3</v></c></row>
</sheetData></worksheet>"""
SETTINGS = b"""[fleet]
name = "A"
currency = "EUR"
time_zone = "Europe/Berlin"
records_from = 2024-01-01
[mail]
week = ["a@example.org"]
[workshop]
labour_rate = 60.5
[[wording]]
words = ["oil"]
pattern = "^oil.*"
task = "oil"
[[source]]
files = "fuel/*.csv"
table = "readings"
decimal = ","
dates = "dmy"
[source.columns]
vehicle_id = "Unit"
read_at = ["Day", "Time"]
reading = { header = "km", decimal = "." }
[source.leave_out]
Unit = "/^x/"
"""
JSON = b'{"vehicle_id": "V1", "read_at": "2026-01-05", "reading": 1e3}\n{"vehicle_id": "V1", "x": [{"a": null}]}\n'


def workbook_of(sheet: bytes) -> bytes:
    """A workbook of one sheet with this XML."""
    out = io.BytesIO()
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    with zipfile.ZipFile(out, "w") as parts:
        parts.writestr(
            "[Content_Types].xml",
            f"""<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Override PartName="/xl/workbook.xml" ContentType="{kind}.sheet.main+xml"/>
<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{kind}.worksheet+xml"/></Types>""",
        )
        office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
        rels = '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{}</Relationships>'
        parts.writestr(
            "_rels/.rels",
            rels.format(f'<Relationship Id="r1" Type="{office}/officeDocument" Target="xl/workbook.xml"/>'),
        )
        parts.writestr(
            "xl/_rels/workbook.xml.rels",
            rels.format(f'<Relationship Id="r1" Type="{office}/worksheet" Target="worksheets/sheet1.xml"/>'),
        )
        parts.writestr(
            "xl/workbook.xml",
            '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
            f'xmlns:r="{office}"><sheets><sheet name="S" sheetId="1" r:id="r1"/></sheets></workbook>',
        )
        parts.writestr("xl/worksheets/sheet1.xml", sheet)
    return out.getvalue()


def seeds(kind: str) -> list[bytes]:
    if kind == "settings":
        return [SETTINGS]
    if kind == "json lines":
        return [JSON]
    if kind == "gzip":
        return [TEXT, gzip.compress(TEXT, mtime=0)]
    if kind == "workbook":
        return [SHEET, workbook_of(SHEET)]
    if kind == "parquet":
        path = Path("seed.parquet")
        duckdb.execute(f"copy (select 'V1' as vehicle_id, '2026-01-05' as read_at, 1.5 as reading) to '{path}'")
        data = path.read_bytes()
        path.unlink()
        return [data]
    return [TEXT, TEXT.replace(b",", b";"), TEXT.replace(b",", b"\t"), TEXT.decode().encode("utf-16")]
