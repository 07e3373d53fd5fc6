"""A fleet folder to start from: settings with comments, and small files with a header and invented rows to replace.

The files stand in `folder/` beside this module, valid as they are and written as of `WRITTEN_FOR`. Each date in
the tables is moved by the days since, so that the first report of a new folder looks like one of this week. Nothing
here knows what the rows mean.
"""

import os
import re
import tempfile
from datetime import date, timedelta
from pathlib import Path

from fleetreport.problem import CannotReadOrWrite, WrongCall

FILES = Path(__file__).parent / "folder"
WRITTEN_FOR = date(2026, 11, 25)
DATE = re.compile(r"(?<![\w-])\d{4}-\d\d-\d\d(?![\w-])")
THIS_FOLDER = "THIS_FOLDER"


def make_folder(folder: Path, today: date) -> list[str]:
    """Write the starter files into `folder`, made where there is none, and give their names.

    Raises WrongCall where it holds anything already, CannotReadOrWrite where it cannot be written. No file that
    is there is ever written over, even if it appears in between.
    """
    _must_be_empty(folder)
    texts = starter_texts(folder, today)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # Written aside, so that a half-written file never bears its name; a link fails where there is one.
        with tempfile.TemporaryDirectory(prefix=".new-", dir=folder) as aside:
            for name, text in texts.items():
                written = Path(aside) / name
                written.write_text(text, encoding="utf-8", newline="\n")
                _put(written, folder / name)
    except FileExistsError as error:
        raise WrongCall(f"{error.filename2 or error.filename}: found this file, expected an empty folder") from None
    except OSError as error:
        raise CannotReadOrWrite(f"{folder}: the files cannot be written here: {error.strerror or error}") from None
    return list(texts)


def starter_texts(folder: Path, today: date) -> dict[str, str]:
    """The text of each starter file by name, its dates moved to `today`, its commands naming `folder`."""
    texts = {}
    for path in sorted(FILES.iterdir()):
        text = path.read_text(encoding="utf-8")
        texts[path.name] = _moved(text, today - WRITTEN_FOR) if path.suffix == ".csv" else text
    texts["README.md"] = texts["README.md"].replace(THIS_FOLDER, as_argument(folder))
    return texts


def as_argument(path: Path) -> str:
    """A path as a person types it on a command line: in quotes where it holds more than plain characters."""
    text = str(path)
    if re.fullmatch(r"[\w@%+=:,./\\-]+", text):
        return text
    return f'"{text}"' if os.name == "nt" else "'" + text.replace("'", "'\"'\"'") + "'"


def _must_be_empty(folder: Path) -> None:
    try:
        if folder.exists() and not folder.is_dir():
            raise WrongCall(f"{folder}: found a file, expected the name of a new or empty folder")
        there = sorted(path.name for path in folder.iterdir()) if folder.exists() else []
    except OSError as error:
        raise CannotReadOrWrite(f"{folder}: {error.strerror or error}") from None
    if there:
        listed = ", ".join(there[:3]) + (f" and {len(there) - 3} more" if len(there) > 3 else "")
        raise WrongCall(
            f"{folder}: found a folder that holds {listed}, expected an empty one or a new name",
            help="nothing was written; name a new folder, such as: fleetreport new my_fleet",
        )


def _put(written: Path, place: Path) -> None:
    try:
        os.link(written, place)
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        with place.open("x", encoding="utf-8", newline="\n") as file:
            file.write(written.read_text(encoding="utf-8"))


def _moved(text: str, by: timedelta) -> str:
    return DATE.sub(lambda found: (date.fromisoformat(found[0]) + by).isoformat(), text)
