"""Split a fleet folder into shards: its input tables as Parquet, each vehicle's rows in the shard its id falls to.

The folder is loaded into its store as a week loads it, so that rows are checked, and compared across vehicles, once and
in one place. Then every row that was read is written, refused ones too, with its file, line and fate: the tables whose
rows are a vehicle's by a hash of vehicle_id that no version of DuckDB may change (MD5), the others whole. What lies
there:

    shards.json             what there is, and the settings and own reports of the fleet; written last
    data-<token>/readings/shard=3/data_0.parquet
    data-<token>/items/data_0.parquet

A new split is written beside an old one, which goes when `shards.json` tells of the new: what `shards.json` names is
always there as a whole. A week that is being made from the old one loses its files, and has to be run again. Knows
nothing of Dask.
"""

import json
import re
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Annotated, Any, NamedTuple
from uuid import uuid4

import duckdb
from pydantic import BaseModel, ConfigDict, InstanceOf, StringConstraints, ValidationError

from fleetreport.cluster.places import Place, place_at
from fleetreport.cluster.rounds import OF_VEHICLES
from fleetreport.own.queries import FOLDER
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.reading.rows import find_files
from fleetreport.remaking import program
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.sql import identifier, literal, one_path
from fleetreport.storing.loading import keep, stage
from fleetreport.storing.store import one_number, one_transaction, open_only_to, opened_store, store_of
from fleetreport.tables import TABLES

MANIFEST, FORMAT = "shards.json", 1
# What became of the rows, and of which files: whole, beside the tables.
ACCOUNTS = ("problems", "file_counts")
MOST_SHARDS = 10_000
# The digits are the lower half of the MD5 sum of the id's UTF-8 bytes, as a little-endian number.
SHARD_OF = "(md5_number_lower(coalesce(vehicle_id, '')) % {shards})::integer"


# What `shards.json` names is read, written and cleared away, and others can write there: no name may lead elsewhere.
DATA = "data-[0-9a-f]{32}"
DataFolder = Annotated[str, StringConstraints(pattern=rf"^{DATA}$")]
DataFile = Annotated[str, StringConstraints(pattern=rf"^{DATA}/[a-z_]+(/shard=[0-9]+)?/[A-Za-z0-9_]+\.parquet$")]
OwnFile = Annotated[str, StringConstraints(pattern=rf"^(fleet\.toml|{FOLDER}/\.?[^./\\\x00][^/\\\x00]*)$")]


class Accounts(NamedTuple):
    """What became of the rows of all files."""

    read: int
    loaded: int
    repeated: int
    set_aside: int


class Shards(NamedTuple):
    """Shards as `shards.json` tells of them.

    `files` are those of each table, by the number of their shard (0 for a table that is whole in every shard).
    `own` are the settings and reports of the fleet, as text by their name in its folder.
    """

    place: Place
    fleet_name: str
    number: int
    program: str
    accounts: Accounts
    rows: Mapping[str, int]
    files: Mapping[str, Mapping[int, Sequence[str]]]
    own: Mapping[str, str]
    remarks: Sequence[str]

    def of(self, shard: int) -> dict[str, Sequence[str]]:
        """The files of each input table that one shard reads."""
        return {table: some.get(shard if table in OF_VEHICLES else 0, []) for table, some in self.files.items()}

    def of_all(self) -> dict[str, Sequence[str]]:
        """The files of each input table, of all shards."""
        return {table: [file for _, files in sorted(some.items()) for file in files]
                for table, some in self.files.items()}  # fmt: skip

    def put_settings(self, folder: Path) -> None:
        """Write the settings and own reports of the fleet into a folder, as in the fleet folder."""
        for name, text in self.own.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8", errors="surrogateescape", newline="")


class _Manifest(BaseModel):
    """What stands in `shards.json`."""

    model_config = ConfigDict(extra="forbid", strict=True)

    format: int
    shards: int
    of: str
    data: DataFolder
    # Text of files and folders may hold what is no Unicode, which a plain `str` here would refuse.
    fleet_name: InstanceOf[str]
    program: str
    accounts: dict[str, int]
    rows: dict[str, int]
    files: dict[str, dict[Annotated[str, StringConstraints(pattern="^[0-9]+$")], list[DataFile]]]
    own: dict[OwnFile, InstanceOf[str]]
    remarks: list[InstanceOf[str]]


def write_shards(
    fleet: Path,
    out: str,
    shards: int,
    store: Path | None = None,
    tell: Callable[[str, float], None] = lambda what, share: None,
) -> tuple[Shards, list[str]]:
    """Split the fleet folder into so many shards at `out`, a folder or a URL; gives them, and notes on files gone.

    Raises WrongCall and CannotReadOrWrite, the latter also where not every row that was read could be found again.
    """
    if not 1 <= shards <= MOST_SHARDS:
        raise WrongCall(f"--shards: found {shards}, expected a whole number from 1 to {MOST_SHARDS:,}")
    place = place_at(out)
    if place.is_folder and _would_be_read(Path(place.url), fleet.resolve()):
        raise WrongCall(f"--out: found {out}, a folder of the fleet folder, expected one beside it")
    settings = read_settings(fleet)
    files, remarks = find_files(fleet, settings.source)
    before = _read_manifest(place)
    with (
        opened_store(store or store_of(fleet), settings) as db,
        tempfile.TemporaryDirectory(prefix=".fleetreport-", dir=_beside(place)) as spare,
    ):
        changes = stage(db, files, settings, lambda name: tell(name, 0.0))
        open_only_to(db, Path(spare))
        with one_transaction(db):
            notes = keep(db, changes)
        data = f"data-{uuid4().hex}"
        try:
            rows, parts = {}, {}
            for at, table in enumerate((*(table.name for table in TABLES), *ACCOUNTS)):
                tell(table, at / (len(TABLES) + len(ACCOUNTS)))
                rows[table], parts[table] = _write_table(db, place, table, data, shards, Path(spare))
            name, own = fleet.resolve().name, _own_files(fleet)
            made = Shards(place, name, shards, program(), _accounts(db), rows, parts, own, remarks)
            place.write(MANIFEST, _as_json(made, data))
        except BaseException:
            place.clear(data)
            raise
    if before:
        place.clear(before["data"])
    return made, notes


def read_shards(text: str) -> Shards:
    """The shards at a folder or URL. Raises CannotReadOrWrite where there are none that this version can read."""
    place = place_at(text)
    found = _read_manifest(place)
    if found is None:
        raise CannotReadOrWrite(f"{text}: found no {MANIFEST}, expected shards as fleetreport shard writes them")
    if found["format"] != FORMAT or found.get("program") != program():
        raise CannotReadOrWrite(
            f"{text}: found shards that another version of fleetreport wrote", help="run fleetreport shard again"
        )
    try:
        told = _Manifest.model_validate(found)
        accounts = Accounts(**told.accounts)
    except (ValidationError, TypeError):
        raise _not_ours(place) from None
    files = {table: {int(shard): names for shard, names in some.items()} for table, some in told.files.items()}
    return Shards(place, told.fleet_name, told.shards, told.program, accounts, told.rows, files, told.own, told.remarks)


def are_shards(text: str) -> bool:
    """Whether a call names shards, not a fleet folder: a URL, or a folder with `shards.json`."""
    return not place_at(text).is_folder or (Path(place_at(text).url) / MANIFEST).is_file()


def _would_be_read(out: Path, fleet: Path) -> bool:
    inside = out.relative_to(fleet).parts if out.is_relative_to(fleet) else ("..",)
    return not inside or not inside[0].startswith(".")


def _read_manifest(place: Place) -> dict[str, Any] | None:
    try:
        found = json.loads(place.read(MANIFEST))
    except FileNotFoundError:
        return None
    except (ValueError, RecursionError):
        raise _not_ours(place) from None
    # Its data are cleared away when others stand in their place.
    if not isinstance(found, dict) or "format" not in found or not re.fullmatch(DATA, str(found.get("data"))):
        raise _not_ours(place)
    return found


def _not_ours(place: Place) -> CannotReadOrWrite:
    return CannotReadOrWrite(f"{place.full(MANIFEST)}: found a file that fleetreport did not write")


def _as_json(made: Shards, data: str) -> bytes:
    told = {"format": FORMAT, "shards": made.number, "of": SHARD_OF.format(shards=made.number), "data": data,
            "fleet_name": made.fleet_name, "program": made.program, "accounts": made.accounts._asdict(),
            "rows": made.rows, "files": made.files, "own": made.own, "remarks": made.remarks}  # fmt: skip
    return json.dumps(told, indent=1).encode()


def _accounts(db: duckdb.DuckDBPyConnection) -> Accounts:
    sums = ", ".join(f"coalesce(sum(rows_{name}), 0)::bigint" for name in ("read", "loaded", "repeated", "quarantined"))
    return Accounts(*db.execute(f"select {sums} from file_counts").fetchall()[0])


def _own_files(fleet: Path) -> dict[str, str]:
    """The settings and own reports of a fleet folder, as text."""
    paths = [path for path in (fleet / "fleet.toml", *sorted((fleet / FOLDER).glob("*"))) if path.is_file()]
    return {path.relative_to(fleet).as_posix(): path.read_bytes().decode("utf-8", "surrogateescape") for path in paths}


def _write_table(
    db: duckdb.DuckDBPyConnection, place: Place, table: str, data: str, shards: int, spare: Path
) -> tuple[int, dict[int, list[str]]]:
    """Write every row of a table; gives how many there are, and the files by shard."""
    source = table if table in ACCOUNTS else f"input_{table}"
    rows = one_number(db, f"select count(*) from {identifier(source)}")
    found: dict[int, list[str]] = {}
    written = 0
    if not rows and table in OF_VEHICLES:
        return 0, {}
    folder = spare / table
    how = "format parquet, compression zstd"
    if table in OF_VEHICLES:
        shard = SHARD_OF.format(shards=shards)
        db.execute(f"copy (select *, {shard} as shard from {source}) to {literal(str(folder))} "
                   f"({how}, partition_by (shard))")  # fmt: skip
    else:
        folder.mkdir()
        db.execute(f"copy {identifier(source)} to {literal(str(folder / 'data_0.parquet'))} ({how})")
    for path in sorted(folder.rglob("*.parquet")):
        written += one_number(db, f"select sum(num_rows) from parquet_file_metadata({one_path(path)})")
        number = int(path.parent.name.removeprefix("shard=")) if path.parent != folder else 0
        name = f"{data}/{path.relative_to(spare).as_posix()}"
        place.put(path, name)
        found.setdefault(number, []).append(name)
    if written != rows:
        raise CannotReadOrWrite(f"{table}: read {rows} rows but found {written} in the shards")
    return rows, found


def _beside(place: Place) -> Path | None:
    """Where files stand until they are complete: on the same disk as a folder, else wherever this machine has room."""
    if not place.is_folder:
        return None
    try:
        Path(place.url).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CannotReadOrWrite(f"{place.url}: {error.strerror}") from None
    return Path(place.url)
