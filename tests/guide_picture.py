"""The README's picture: the top of the sample fleet's week page, as a browser shows it.

`.venv/bin/python tests/guide_picture.py` makes it anew (it wants Chromium): the page of 2026-11-25 at 1280 pixels, with
few enough colours to stay small.
"""

import os
import subprocess
import tempfile
from datetime import date
from pathlib import Path

from PIL import Image

from fleetreport.week import make_week

ROOT = Path(__file__).parent.parent
PICTURE = ROOT / "fleetreport" / "guide" / "week.png"
WIDTH, HEIGHT, COLOURS = 1280, 860, 96


def make_picture(picture: Path) -> None:
    """Write the picture. Raises CalledProcessError where the browser fails."""
    with tempfile.TemporaryDirectory() as spare:
        folder = Path(spare)
        make_week(ROOT / "sample_fleet", date(2026, 11, 25), folder / "out", folder / "store.duckdb")
        as_root = ["--no-sandbox"] if os.geteuid() == 0 else []
        subprocess.run(
            ["chromium", "--headless", *as_root, "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
             f"--user-data-dir={folder / 'profile'}", f"--window-size={WIDTH},{HEIGHT}",
             f"--screenshot={folder / 'week.png'}", (folder / "out" / "week.html").as_uri()],
            check=True, capture_output=True,
        )  # fmt: skip
        seen = Image.open(folder / "week.png").convert("RGB")
        seen.quantize(COLOURS, dither=Image.Dither.NONE).save(picture, optimize=True)


if __name__ == "__main__":
    make_picture(PICTURE)
