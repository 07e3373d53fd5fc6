"""describe → paste → load, as a newcomer does it, on small files with the shapes of real logs."""

import json
from datetime import date, datetime, timedelta
from pathlib import Path

import openpyxl
import pytest
from conftest import WriteFleet
from test_load import TASKS, Loaded

from fleetreport.describing import profile
from fleetreport.describing.describe import describe
from fleetreport.describing.look import look_at
from fleetreport.describing.profile import profile_columns
from fleetreport.problem import CannotReadOrWrite, WrongCall
from fleetreport.settings.fleet_toml import read_settings

VEHICLES = "vehicle_id,class,in_service_on\nV1,van,2012-01-01\n007,van,2012-01-01\ncar,van,2012-01-01\n"
DAYS = [date(2025, 1, 3) + timedelta(days=9 * n) for n in range(40)]


def pasted(write_fleet: WriteFleet, name: str, data: bytes) -> tuple[str, Loaded]:
    """The section for a file, and the fleet with it pasted."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    (fleet / name).write_bytes(data)
    text = describe(fleet / name)
    (fleet / "fleet.toml").write_text(text, encoding="utf-8")
    return text, Loaded(fleet)


def test_a_daily_log_in_metres_without_a_vehicle(write_fleet: WriteFleet) -> None:
    rows = "".join(f"{day}T00:36:40Z,{198_041 + n * 170_000 if n != 7 else ''}\n" for n, day in enumerate(DAYS))
    text, loaded = pasted(write_fleet, "car.csv", f"date,odometer\n{rows}".encode())
    assert 'unit = "m"  # it gains 18,889 a day, which no vehicle does in km' in text
    assert loaded.counts("car.csv") == (40, 39, 0, 1)
    assert loaded.rows("select vehicle_id, reading::varchar, unit from readings order by line limit 1") == [
        ("car", "198.0410000", "km")
    ]


def test_a_fuel_log_with_blanks_before_its_headers(write_fleet: WriteFleet) -> None:
    rows = "".join(f'"V1","x",16.3,{60000 + n * 300}.0,300,20.7,3.66,{day}\n' for n, day in enumerate(reversed(DAYS)))
    text, loaded = pasted(
        write_fleet,
        "fuel.csv",
        f"vehicle, kind, distance per gallon, odometer, miles, gallons, price, filled on date\n{rows}".encode(),
    )
    assert 'unit = "mi"' in text
    assert loaded.counts("fuel.csv") == (40, 40, 0, 0)


def test_a_log_kept_as_free_text(write_fleet: WriteFleet) -> None:
    text = ("date, mileage, cost, category, parts, notes\n"
            "2016-02-25, 102113mi, $35.07, oil change, filter $10.60, oil $25.47, note\n"
            "2017-07-12, 115,413 mi, 12.73+22.88 = $35.61, oil change, filter, oil\n"
            "2017-07-26, 115690, 0, tyre rotation, shop,\n"
            "2017-12-16, ???, $??, tyre rotation, shop, note\n")  # fmt: skip
    section, loaded = pasted(write_fleet, "car.csv", text.encode())
    assert "ragged = true" in section
    assert loaded.rows("select line, odometer::int, unit from history order by line") == [
        (2, 102113, "mi"),
        (4, 115690, "mi"),
        (5, None, "mi"),
    ]
    assert [problem[1:] for problem in loaded.problems] == [
        (3, "other_cost", "413 mi", "row"), (5, "odometer", "???", "value"), (5, "other_cost", "$??", "value"),
    ]  # fmt: skip


def test_invoices_in_another_language(write_fleet: WriteFleet) -> None:
    rows = "".join(
        f"V1\t{day.day} août {day.year}\t{80 + n}\u202f185\tVidange\t81,50\u00a0€\t1\u202f{100 + n},50 €\n"
        for n, day in enumerate(DAYS)
    )
    head = "Immatriculation\tDate facture\tKilométrage\tDésignation\tMain d'œuvre\tTotal HT\n"
    _, loaded = pasted(write_fleet, "factures.txt", (head + rows).encode("utf-16"))
    assert loaded.counts("factures.txt")[1:] == (40, 0, 0)
    found = loaded.rows(
        "select done_on, odometer::int, labour_cost::varchar, other_cost::varchar from history order by line limit 1"
    )
    assert found == [(date(2025, 8, 3), 80185, "81.5000", "1100.5000")]


def test_dates_that_a_spreadsheet_damaged(write_fleet: WriteFleet, tmp_path: Path) -> None:
    """Real dates with day and month swapped, text dates, day numbers, numbers as text, a title, ids with zeros."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["Werkstatt"], [], ["Fahrzeug", "Datum", "km-Stand", "Arbeiten"]):
        sheet.append(row)
    for n, day in enumerate(DAYS):
        told = datetime(day.year, day.day, day.month) if day.day <= 12 else day.strftime("%d/%m/%Y")
        sheet.append(["007", told, str(50000 + n * 900) if n % 2 else 50000 + n * 900, "Bremsen"])
    book.save(tmp_path / "x.xlsx")
    text, loaded = pasted(write_fleet, "werkstatt.xlsx", (tmp_path / "x.xlsx").read_bytes())
    assert 'dates = ["dmy", "swapped"]' in text
    assert [day for (day,) in loaded.rows("select done_on from history order by line")] == DAYS
    assert loaded.rows("select count(*) from quarantine") == [(0,)]


def test_what_cannot_be_decided_is_left_to_the_reader(write_fleet: WriteFleet) -> None:
    rows = "".join(f"V1;{m:02}/{d:02}/2025;{10 + m}.{100 + d * 30}\n" for m in range(1, 13) for d in (1, 5, 9))
    text, loaded = pasted(write_fleet, "x.csv", f"unit no;date;odometer\n{rows}".encode())
    for line in (
        '# decimal = "."  # 11.130 is 11.130',
        '# thousands = "."  # 11.130 is 11130',
        '# dates = "dmy"',
        '# dates = "mdy"',
        '# unit = "km"',
    ):
        assert f"\n{line}" in text
    assert loaded.counts("x.csv") == (36, 0, 0, 36)


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("a.dat", "veh|datum|odo\n" + "".join(f"V1|{day:%y%m%d}|{1000 + 200 * n}\n" for n, day in enumerate(DAYS))),
        ("b.csv", "".join(f"V1,{day},{9000 + 150 * n}\n" for n, day in enumerate(DAYS))),
        (
            "c.jsonl",
            "".join(
                json.dumps({"vehicleId": "V1", "ts": 1735700000000 + 864 * 10**5 * n, "odometerKm": 50000.123 + n})
                + "\n"
                for n in range(40)
            ),
        ),
        (
            "d.csv",
            "Plate,Reading Date,Odometer\n"
            + "".join(f'V1,{day:%m/%d/%y},"{1000 + 200 * n:,}.5"\n' for n, day in enumerate(DAYS)),
        ),
    ],
)
def test_strange_files_load_whole_with_what_describe_prints(write_fleet: WriteFleet, name: str, data: str) -> None:
    _, loaded = pasted(write_fleet, name, data.encode())
    assert loaded.counts(name) == (40, 40, 0, 0)
    assert loaded.rows("select distinct vehicle_id from readings") == [("V1",)]


def test_faults_of_the_call(tmp_path: Path) -> None:
    (tmp_path / "empty.csv").write_bytes(b"")
    with pytest.raises(WrongCall, match="--table: found cars, expected one of vehicles, tasks"):
        describe(tmp_path / "empty.csv", table="cars")
    with pytest.raises(WrongCall, match="--sheet: found x, expected it for a workbook only"):
        describe(tmp_path / "empty.csv", sheet="x")
    with pytest.raises(CannotReadOrWrite, match="found no rows"):
        describe(tmp_path / "empty.csv")
    with pytest.raises(CannotReadOrWrite, match="found no such file"):
        describe(tmp_path / "nowhere.csv")
    with pytest.raises(CannotReadOrWrite, match="found a folder"):
        describe(tmp_path)


def test_fuel_by_the_litre_says_nothing_of_the_odometers_unit(tmp_path: Path) -> None:
    """Litres are sold where miles are driven, and gallons where kilometres are."""
    for fuel in ("Litres", "Gallons"):
        rows = "".join(f"{day},V1,{60000 + n * 300},{40 + n % 9}.5\n" for n, day in enumerate(DAYS))
        (tmp_path / "fuel.csv").write_text(f"Date,Plate,Odometer,{fuel}\n{rows}", encoding="utf-8")
        text = describe(tmp_path / "fuel.csv")
        assert 'reading = "Odometer"' in text
        assert "UNDECIDED: nothing says the odometer's unit" in text


def test_a_column_of_litres_is_no_odometer_though_it_goes_up(tmp_path: Path) -> None:
    rows = "".join(f"{day},V1,{45000 + n * 300}\n" for n, day in enumerate(DAYS))
    (tmp_path / "tank.csv").write_text(f"Date,Plate,Litres\n{rows}", encoding="utf-8")
    assert '"Litres"' not in describe(tmp_path / "tank.csv", "readings")
    assert 'quantity = "Litres"' in describe(tmp_path / "tank.csv")


def test_each_row_may_say_its_own_unit(write_fleet: WriteFleet) -> None:
    rows = "".join(f"{day};V1;{60000 + n * 300};{'mi' if n % 2 else 'KM'}\n" for n, day in enumerate(DAYS[:6]))
    text, loaded = pasted(write_fleet, "cards.csv", f"when;unit no;odo;measured in\n{rows}".encode())
    assert 'unit = "measured in"' in text
    assert "UNDECIDED" not in text
    assert loaded.rows("select unit, count(*) from input_readings group by all order by all") == [("km", 3), ("mi", 3)]


def test_columns_are_profiled_together_as_they_are_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """And no rule is tried once for each column: a line of commas would take minutes."""
    columns = {
        "day": ["03/04/2026", "2026-01-05", ""], "km": ["12.345 km", "1 200 km", "x"], "cost": ["€ 1.200,50", "3", "4"],
        "serial": ["46351", "46352", "46352"], "iso": ["2026-01-05", "2026-02-05", "2026-03-05"], "blank": ["", "", ""],
    }  # fmt: skip
    rows = list(zip(*columns.values(), strict=True))
    alone = [profile_columns([name], [[cell] for cell in cells])[0] for name, cells in columns.items()]
    assert profile_columns(list(columns), rows) == alone
    tried: list[object] = []
    really = profile._fits
    monkeypatch.setattr(profile, "_fits", lambda *given: tried.append(given) or really(*given))
    profile_columns(list(columns), rows)
    of_few = len(tried)
    profile_columns(list(columns) * 50, [list(row) * 50 for row in rows])
    assert len(tried) == 2 * of_few


def test_a_picture_that_is_called_otherwise_is_no_table(tmp_path: Path) -> None:
    """Its bytes could be taken for letters of Windows; NUL bytes are in no text."""
    path = tmp_path / "photo.csv"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 30 + b"\x00\x00" * 40)
    with pytest.raises(CannotReadOrWrite, match=r"photo.csv: found 110 NUL bytes in the first 7768, expected a text"):
        look_at(path)
    path.write_bytes(b"vehicle_id,read_at,reading\n" + b"V1,2026-01-05,1\x002\n" + b"V1,2026-01-06,14\n" * 60)
    assert look_at(path).names == ["vehicle_id", "read_at", "reading"]


TRACKED = "".join(f"{who},{day},{60_000 + n * 300}\n" for n, day in enumerate(DAYS) for who in ("v1", "007", "other"))


@pytest.mark.parametrize("head", ["Gerät", "Unit", "Fahrer"])
def test_the_vehicles_of_the_fleet_tell_their_column_under_any_header(write_fleet: WriteFleet, head: str) -> None:
    """Ids differ in case here: what is proposed finds the column, and the run says what is wrong with the rows."""
    text, loaded = pasted(write_fleet, "tracker.csv", f"{head},When,Meter\n{TRACKED}".encode())
    assert f'vehicle_id = "{head}"' in text
    assert "120 filled, 3 different, 40 of 120 stand in vehicles: " in text
    assert loaded.counts("tracker.csv") == (120, 40, 0, 80)


def test_figures_that_are_ids_by_chance_are_no_column_of_vehicles(write_fleet: WriteFleet) -> None:
    fleet = write_fleet(vehicles="vehicle_id,class,in_service_on\n7,van,2012-01-01\n8,van,2012-01-01\n", tasks=TASKS)
    rows = "".join(f"{day},{60_000 + n * 300},{7 + n % 3}\n" for n, day in enumerate(DAYS))
    (fleet / "pump.csv").write_text(f"date,odometer,nozzle\n{rows}", encoding="utf-8")
    assert "\nvehicle_id = " not in describe(fleet / "pump.csv")


def test_the_fleet_may_be_elsewhere(write_fleet: WriteFleet, tmp_path: Path) -> None:
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    downloads = tmp_path / "downloads"
    downloads.mkdir()
    (downloads / "tracker.csv").write_text(f"Gerät,When,Meter\n{TRACKED}", encoding="utf-8")
    assert 'vehicle_id = "Gerät"' not in describe(downloads / "tracker.csv")
    text = describe(downloads / "tracker.csv", fleet=fleet)
    assert 'vehicle_id = "Gerät"' in text
    assert "# This file stands outside the fleet folder: copy it there, or nothing is read." in text


def test_settings_and_vehicles_with_faults_do_not_keep_a_file_from_being_described(write_fleet: WriteFleet) -> None:
    fleet = write_fleet(vehicles="vehicle_id,vehicle_id\nV1,V2\n", toml="[fleet\n")
    (fleet / "tracker.csv").write_text(f"Vehicle,When,Meter\n{TRACKED}", encoding="utf-8")
    assert 'vehicle_id = "Vehicle"' in describe(fleet / "tracker.csv")


def test_a_vehicle_that_only_the_files_name_could_tell_is_asked_for(write_fleet: WriteFleet) -> None:
    """In force only where the fleet has a vehicle of that name; else the choice is left, and a run asks for it."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    rows = "".join(f"{day},{60_000 + n * 300}\n" for n, day in enumerate(DAYS))
    for name, proposed in (("export-w48", "export-w48"), ("v1", "V1")):
        (fleet / f"{name}.csv").write_text(f"date,odometer\n{rows}", encoding="utf-8")
        text = describe(fleet / f"{name}.csv")
        assert f'\n# vehicle_id = "{proposed}"\n' in text
        (fleet / "fleet.toml").write_text(text, encoding="utf-8")
        with pytest.raises(WrongCall, match="found no vehicle_id, expected it here or in constants"):
            read_settings(fleet)
        (fleet / "fleet.toml").unlink()
    text, loaded = pasted(write_fleet, "V1.csv", f"date,odometer\n{rows}".encode())
    assert '\nvehicle_id = "V1"  # no column names the vehicle; the file is called like one of the fleet\n' in text
    assert loaded.counts("V1.csv") == (40, 40, 0, 0)


def test_no_constant_stands_in_for_a_column_that_was_not_found(write_fleet: WriteFleet) -> None:
    """A class that was called "?" would be loaded as one."""
    fleet = write_fleet(vehicles=VEHICLES, tasks=TASKS)
    (fleet / "new.csv").write_text("plate,in service on\nV9,2012-01-01\n", encoding="utf-8")
    text = describe(fleet / "new.csv", "vehicles")
    assert '\n# class = "?"\n' in text
    assert "no column was found for class" in text
