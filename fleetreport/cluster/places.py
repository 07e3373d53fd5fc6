"""Where shards lie: a folder that all machines see, or a URL of object storage that fsspec knows.

A `Place` gives bytes and files by names relative to it. DuckDB reads a folder's files itself, and others through the
fsspec filesystem that `let_read` registers with a connection. A file in object storage is there whole or not at all;
in a folder it is written beside its place and moved there. Nothing here knows what is in the files.
"""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import unquote, urlsplit
from uuid import uuid4

import duckdb

from fleetreport.problem import CannotReadOrWrite, WrongCall

if TYPE_CHECKING:
    import fsspec

EXTRA = "pip install 'fleetreport[cluster]', and what fsspec names for this kind of URL, such as s3fs"


class Place(NamedTuple):
    """A folder (an absolute path), or a URL without a slash at its end."""

    url: str

    @property
    def is_folder(self) -> bool:
        """Whether it is in a file system of the machine."""
        return "://" not in self.url

    def full(self, name: str) -> str:
        """How DuckDB and fsspec call a file of this place."""
        return f"{self.url}/{name}"

    def read(self, name: str) -> bytes:
        """The bytes of a file. Raises FileNotFoundError, and CannotReadOrWrite for any other reason."""
        with self._told(name):
            if self.is_folder:
                return Path(self.full(name)).read_bytes()
            found: bytes = self._storage().cat_file(self.full(name))
            return found

    def write(self, name: str, content: bytes) -> None:
        """Write a file, whole or not at all. Raises CannotReadOrWrite."""
        with tempfile.TemporaryDirectory(prefix="fleetreport-") as spare:
            (aside := Path(spare) / "file").write_bytes(content)
            self.put(aside, name)

    def put(self, path: Path, name: str) -> None:
        """Move a file of this machine here, whole or not at all. Raises CannotReadOrWrite."""
        with self._told(name):
            if self.is_folder:
                there = Path(self.full(name))
                there.parent.mkdir(parents=True, exist_ok=True)
                aside = there.with_name(f".{uuid4().hex}")
                try:
                    shutil.move(path, aside)
                    aside.replace(there)
                finally:
                    aside.unlink(missing_ok=True)
            else:
                self._storage().put_file(str(path), self.full(name))

    def clear(self, name: str) -> None:
        """Remove a folder of this place with all that is in it, if it is there."""
        with self._told(name):
            if self.is_folder:
                shutil.rmtree(self.full(name), ignore_errors=True)
            elif self._storage().exists(self.full(name)):
                self._storage().rm(self.full(name), recursive=True)

    def let_read(self, db: duckdb.DuckDBPyConnection) -> None:
        """Let a connection read the files of this place."""
        if not self.is_folder:
            db.register_filesystem(self._storage())

    def folders(self) -> list[str]:
        """How a connection that is shut off from all else is told of this place."""
        if self.is_folder:
            return [self.url]
        storage = self._storage()
        # DuckDB asks by the name that fsspec gives a file back, which may be another way to write the URL.
        return [self.url, storage.unstrip_protocol(storage._strip_protocol(self.url))]

    def _storage(self) -> "fsspec.AbstractFileSystem":
        try:
            from fsspec.core import url_to_fs

            # Of some protocols the URL names the host to ask, which the name of the protocol alone would lose.
            storage: fsspec.AbstractFileSystem = url_to_fs(self.url)[0]
            return storage
        except ImportError as error:
            raise WrongCall(f"{self.url}: cannot be reached: {error}", help=EXTRA) from None
        except ValueError as error:
            raise WrongCall(f"{self.url}: {error}") from None
        except OSError as error:
            raise CannotReadOrWrite(f"{self.url}: {error.strerror or error}") from None

    @contextmanager
    def _told(self, name: str) -> Iterator[None]:
        try:
            yield
        except (FileNotFoundError, WrongCall):
            raise
        # Storage libraries raise errors of their own kinds.
        except Exception as error:
            said: Any = getattr(error, "strerror", None) or str(error).splitlines()[0:1] or type(error).__name__
            raise CannotReadOrWrite(f"{self.full(name)}: {said if isinstance(said, str) else said[0]}") from None


def place_at(text: str) -> Place:
    """The place that a person names: a folder, or a URL such as s3://bucket/fleet; file:// is a folder."""
    if text.startswith("file://"):
        text = unquote(urlsplit(text).path)
    return Place(text.rstrip("/") if "://" in text else str(Path(text).resolve()))
