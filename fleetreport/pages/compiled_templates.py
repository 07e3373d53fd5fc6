"""Templates compiled once: kept for the process, and ours from one run to the next.

Compiling takes longer than filling most of them, and each page has an environment of its own. What is kept follows from
the template's text, from how Jinja compiles for such an environment and from Jinja's version alone: no filter of ours
is worked out while compiling (see `frame`). Between runs it lies where Jinja keeps such things, in a folder that is the
person's alone; where there can be none, each run compiles for itself.
"""

from contextlib import suppress
from functools import cache
from importlib.metadata import version
from types import CodeType

from jinja2 import BytecodeCache, FileSystemBytecodeCache
from jinja2.bccache import Bucket


class CompiledTemplates(BytecodeCache):
    """The compiled templates of one kind of environment, in memory and, where there is a folder, in files too."""

    def __init__(self, files: FileSystemBytecodeCache | None) -> None:
        self.files = files
        self.known: dict[tuple[str, str], CodeType] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket with the code of its template, if it is known for the very text."""
        bucket.code = self.known.get((bucket.key, bucket.checksum))
        if bucket.code is None and self.files:
            # What cannot be read, or is not what was written, is compiled again.
            with suppress(OSError, ValueError, EOFError, TypeError):
                self.files.load_bytecode(bucket)
            self._remember(bucket)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep the code of a template just compiled."""
        self._remember(bucket)
        if self.files:
            # A full disk is for the reports to tell.
            with suppress(OSError):
                self.files.dump_bytecode(bucket)

    def _remember(self, bucket: Bucket) -> None:
        if bucket.code is not None:
            self.known[bucket.key, bucket.checksum] = bucket.code


@cache
def compiled_for(kind: str, between_runs: bool) -> CompiledTemplates:
    """The compiled templates of environments of one `kind`, which must name all that changes what Jinja makes of a
    template; kept `between_runs` too, or for this process alone.
    """
    files = None
    if between_runs:
        with suppress(OSError, RuntimeError):
            files = FileSystemBytecodeCache(pattern=f"__fleetreport_{version('jinja2')}_{kind}_%s.cache")
    return CompiledTemplates(files)
