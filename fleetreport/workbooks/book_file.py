"""Put the rows of its sheets into a finished workbook, and give the file the same bytes every time.

Nothing here knows what a cell is.
"""

import re
import shutil
import zipfile
from datetime import date
from typing import IO, TypeAlias

# The rows of sheets below their headings, as XML, by the sheet's number in the workbook.
Bodies: TypeAlias = dict[int, IO[bytes]]
END_OF_ROWS = b"</sheetData>"


def finish_book(source: IO[bytes], target: IO[bytes], when: date, bodies: Bodies) -> None:
    """Copy a workbook's zip with the rows of its sheets, which are then closed.

    Equal content has equal bytes: fixed times, `when` as its date.
    """
    of_sheet = {f"xl/worksheets/sheet{number}.xml": body for number, body in bodies.items()}
    stamp = when.strftime("%Y-%m-%dT00:00:00Z").encode()
    with (
        zipfile.ZipFile(source) as old,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as new,
    ):
        for name in old.namelist():
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.compress_type, entry.create_system, entry.external_attr = (
                zipfile.ZIP_DEFLATED,
                3,
                0o600 << 16,
            )
            if name == "docProps/core.xml":
                core = re.sub(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*", rb"\g<1>" + stamp, old.read(name))
                new.writestr(entry, core)
                continue
            if name in of_sheet:
                body = of_sheet[name]
                above, below = old.read(name).split(END_OF_ROWS)
                entry.file_size = len(above) + body.tell() + len(below)
                body.seek(0)
                with new.open(entry, "w") as write:
                    write.write(above)
                    shutil.copyfileobj(body, write, 1 << 20)
                    write.write(END_OF_ROWS + below)
                body.close()
                continue
            entry.file_size = old.getinfo(name).file_size  # settles whether it needs the format for large files
            with old.open(name) as read, new.open(entry, "w") as write:
                shutil.copyfileobj(read, write, 1 << 20)
