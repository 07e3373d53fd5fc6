"""Write the sample fleet: `python sample_fleet/generate.py [FOLDER]` (default: the folder this file stands in).

Standard library only; the same bytes every time. The CSV files and README.md go into FOLDER, the list of planted
faults that the tests hold the program to into tests/planted_faults.csv beside it. fleet.toml is kept by hand.
"""

import sys
from pathlib import Path

from generator.assemble import CONTRACT_COLUMNS, faultless_sheets
from generator.faults import PLANTED_COLUMNS, plant
from generator.readme import readme
from generator.sheets import Row, Sheet, repeats

HERE = Path(__file__).resolve().parent


def write_fleet(folder: Path) -> None:
    """Write every table, the README and the list of planted faults."""
    sheets = faultless_sheets()
    planted = [fault.cells() for fault in plant(sheets)]
    for sheet in sheets:
        sheet.write(folder)
    tests = folder.parent / "tests"
    tests.mkdir(exist_ok=True)
    Sheet("planted_faults.csv", PLANTED_COLUMNS, [Row(cells) for cells in planted]).write(tests)
    text = readme(sheets, planted, repeats(sheets, CONTRACT_COLUMNS))
    (folder / "README.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_fleet(Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else HERE)
