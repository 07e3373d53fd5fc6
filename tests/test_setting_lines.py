"""A fault in fleet.toml names the line of its key, however the key is written; what is in quotes is no key."""

import re
from pathlib import Path

import pytest

from fleetreport.problem import WrongCall
from fleetreport.settings.fleet_toml import read_settings
from fleetreport.settings.lines import Places


@pytest.mark.parametrize(
    ("text", "loc", "line"),
    [
        ("[week]\ndue_days = 7\nx = 1", ("week", "x"), 3),
        ("week.due_days = 7\nweek . 'x' = 1", ("week", "x"), 2),
        ('#\nweek = { due_days = 7, "x" = 1 }', ("week", "x"), 2),
        ("[fleet]\nx = 1\n[week]\nx = 2 # x = 3", ("week", "x"), 4),
        ('[fleet]\nname = """\n[week]\nx = 1\n"""\n[week]\nx = 2', ("week", "x"), 7),
        ("[[a]]\nx = 1\n[[a]]\n[[a]]\nx = 2", ("a", 2, "x"), 5),
        ("[[a]]\nx = 1\n[[a]]\n[[a]]\nx = 2", ("a", 1), 3),
        ("[[a.b]]\nx = 1\n[[a.b]]\ny = 2", ("a", "b", 1, "y"), 4),
        ("a = [\n 1,\n 2,\n]", ("a", 1), 1),
        ("[[a]]\n[[a]]\nb.c = 1", ("a", 1, "missing"), 2),
        ("[a]\nb = 1", ("a", "missing", "deeper"), 1),
        ("b = 1", ("a", "missing"), 0),
        ('"ab c" = 1\nab = 2', ("ab",), 2),
        ("[[a]]\nb = 1\n[a.c]\nx = 1\n[[a]]\n[a.c]\ny = 2", ("a", 0), 1),
        ("[[a]]\nb = 1\n[a.c]\nx = 1\n[[a]]\n[a.c]\ny = 2", ("a", 1, "c", "y"), 7),
        ("[[a]]\n[[a.b]]\n[[a.b]]\n[[a]]\n[[a.b]]\nx = 1", ("a", 1, "b", 0, "x"), 6),
        ("[[a]]\nx = 1\n" * 200, ("a", 150), 301),
        ("[[a]]\nx = 1\n" * 200, ("a", 150, "x"), 302),
        ("#x = 1\n" * 9_000 + "x = 1", ("x",), 9_001),
        ('a = [\n { b = ["x",\n  "b = 1"] },\n { "b" = 1, c = { d = 2 } },\n]\nb = 1', ("a", 1, "b"), 4),
        ('a = [\n { b = ["x",\n  "b = 1"] },\n { "b" = 1, c = { d = 2 } },\n]\nb = 1', ("a", 1, "c", "d"), 4),
        ('a = [\n { b = ["x",\n  "b = 1"] },\n { "b" = 1, c = { d = 2 } },\n]\nb = 1', ("a", 0, "b", 1), 2),
        ('a = [\n { b = ["x",\n  "b = 1"] },\n { "b" = 1, c = { d = 2 } },\n]\nb = 1', ("b",), 6),
        ('a = [\r\n  # ]\r\n  1,\r\n]\r\n[b]\r\nx = """\r\n]\r\n"""\r\ny = 1\r\n', ("b", "y"), 9),
        ("a = [\n" + "[],\n" * 3_000 + "]\nx = 1", ("x",), 0),
    ],
)
def test_the_line_of_a_key(text: str, loc: tuple[int | str, ...], line: int) -> None:
    assert Places(text).line_of(loc) == line


def test_a_letter_that_nobody_writes_is_a_fault_with_the_nearest_report(tmp_path: Path) -> None:
    (tmp_path / "fleet.toml").write_text('[mail]\nweek = ["a@example.org"]\nforcast = ["b@example.org"]\n')
    with pytest.raises(WrongCall) as stop:
        read_settings(tmp_path)
    assert stop.value.messages == (
        f"{tmp_path}/fleet.toml:3: mail.forcast: found a key that means nothing here, "
        "expected one of week, order, forecast (did you mean forecast?)",
    )


def test_a_key_of_hostile_letters_is_told_in_one_line_each(tmp_path: Path) -> None:
    keys = "\n".join(f'"{name}" = 1' for name in (r"a\nb", r"\u202e", "]", "=", ".", "a.b", r"\u0000"))
    (tmp_path / "fleet.toml").write_text(f"[mail]\n{keys}\n")
    with pytest.raises(WrongCall) as stop:
        read_settings(tmp_path)
    assert len(stop.value.messages) == 7
    lines = [re.search(r"fleet\.toml:(\d+): ", said) for said in stop.value.messages]
    assert [int(line[1]) if line else 0 for line in lines] == [2, 3, 4, 5, 6, 7, 8]
