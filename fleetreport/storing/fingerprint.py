"""Tell whether a file would be read as it was read before: what it holds, and how it is read.

A store that remembers the same fingerprint need not read the file again. Nothing here knows what a store is.
"""

import hashlib
from pathlib import Path
from typing import NamedTuple

import duckdb

from fleetreport.problem import CannotReadOrWrite
from fleetreport.reading.rows import InputFile
from fleetreport.settings.fleet_toml import Settings

PACKAGE = Path(__file__).parents[1]


class Fingerprint(NamedTuple):
    """Digests of a file's bytes and of all else that its rows depend on."""

    content: str
    read_as: str


def fingerprint(file: InputFile, rules: str, settings: Settings) -> Fingerprint:
    """The fingerprint of a file under `reading_rules` and the settings. Raises CannotReadOrWrite."""
    try:
        with file.path.open("rb") as opened:
            content = hashlib.file_digest(opened, "sha256").hexdigest()
    except OSError as error:
        raise CannotReadOrWrite(f"{file.name}: {error.strerror}") from None
    # All that is known of the file but where the fleet folder stands; moments are read in the fleet's time zone.
    how = (rules, settings.fleet.time_zone, file._replace(path=Path(file.path.suffix.lower())))
    return Fingerprint(content, hashlib.sha256(repr(how).encode()).hexdigest())


def reading_rules() -> str:
    """A digest of the code that reads and checks.

    It covers the whole package and the version of DuckDB, whose casts and hashes are used: read once too often after an
    update is safe, and there is no number to forget to raise.
    """
    digest = hashlib.sha256(duckdb.__version__.encode())
    for path in sorted(PACKAGE.rglob("*.py")):
        digest.update(path.name.encode() + path.read_bytes())
    return digest.hexdigest()
