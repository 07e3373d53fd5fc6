"""README and DEVELOPERS agree on how to begin. (`test_guides.py` runs what README prints.)"""

import re

from conftest import ROOT
from PIL import Image

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_set_up_commands_end_in_the_commands_shown() -> None:
    main_job, tests = re.findall(r"```sh\n(python3 -m venv .+?)\n```", README)
    shown = re.findall(r"^\$ (.+)$", README, re.MULTILINE)
    assert any(main_job.endswith(command) for command in shown)
    assert tests.endswith(".venv/bin/pytest")
    assert tests in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_the_picture_is_small_and_of_the_page() -> None:
    """`tests/guide_picture.py` makes it."""
    picture = ROOT / "fleetreport" / "guide" / "week.png"
    assert f"]({picture.relative_to(ROOT).as_posix()})" in README
    assert picture.stat().st_size < 150_000
    with Image.open(picture) as seen:
        assert seen.size == (1280, 860)
