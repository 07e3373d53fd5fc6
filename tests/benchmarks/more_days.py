"""Add a week of readings to a benchmark's fleet: `python -m tests.benchmarks.more_days FLEET VEHICLES DAYS FORM`."""

import sys
from pathlib import Path

from tests.benchmarks.fleet import Size, add_days

if __name__ == "__main__":
    print(add_days(Path(sys.argv[1]), Size(int(sys.argv[2]), int(sys.argv[3]), form=sys.argv[4])))
