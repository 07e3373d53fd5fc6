"""Keep the store that the present version makes of tests/stores/fleet, for later versions to open.

`python tests/stores/make_store.py` writes tests/stores/schema_<version>.duckdb.gz. Run it once for each schema version,
when it is released, and never again for that one: test_old_stores.py opens every store that was kept.
"""

import gzip
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
for folder in (HERE.parent.parent, HERE.parent):
    if str(folder) not in sys.path:
        sys.path.insert(0, str(folder))

from test_incremental_load import load  # noqa: E402

from fleetreport.storing.store import SCHEMA_VERSION  # noqa: E402

FLEET = HERE / "fleet"


def main() -> None:
    """Load the folder into a new store and compress it."""
    kept = HERE / f"schema_{SCHEMA_VERSION}.duckdb.gz"
    if kept.exists():
        raise SystemExit(f"{kept}: kept already, as the version of then made it")
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store.duckdb"
        load(FLEET, store)
        kept.write_bytes(gzip.compress(store.read_bytes(), mtime=0))


if __name__ == "__main__":
    main()
