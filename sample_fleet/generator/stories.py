"""The dates of the sample and the events set by hand, so that each of the three weeks has its stories."""

from datetime import date

RECORDS_FROM = date(2023, 12, 1)
READINGS_FROM = date(2023, 11, 27)
# as-of day and ISO week of the three deliveries; each one reaches back to `since`
WEEKS = (
    ("2026-W46", date(2026, 10, 29), date(2026, 11, 11)),
    ("2026-W47", date(2026, 11, 5), date(2026, 11, 18)),
    ("2026-W48", date(2026, 11, 12), date(2026, 11, 25)),
)
WEEK_ENDS = tuple(end for _, _, end in WEEKS)
BASE_UNTIL = date(2026, 11, 1)

# vehicle, from, until: could not come in
HOLDS = (
    ("L08", "2026-10-05", "2027-06-01"),
    ("L13", "2026-06-01", "2027-06-01"),
    ("T07", "2026-09-14", "2027-06-01"),
    ("P06", "2026-09-28", "2026-12-01"),
    ("V04", "2026-10-12", "2026-12-01"),
    ("T02", "2026-10-12", "2026-11-24"),
    ("W01", "2026-10-12", "2026-11-17"),
)
# vehicle, day, tasks: brought in out of turn
VISITS = (
    ("T05", "2026-11-13", ("wheels_off",)),
    (
        "L05",
        "2026-11-09",
        (
            "front_axle_oil",
            "rear_axle_oil",
            "transfer_oil",
            "engine_oil",
            "service_c",
            "air_filter",
            "fuel_filter",
            "cabin_filter",
        ),
    ),
    ("L01", "2026-11-17", ("tyre_rotation",)),
    ("V03", "2025-06-04", ("brake_fluid",)),
    ("L04", "2025-02-19", ("gearbox_oil",)),
    ("L10", "2026-03-11", ("coolant", "brake_fluid")),
    ("D02", "2026-04-22", ("hydraulic_oil",)),
    ("T06", "2025-09-17", ("service_c",)),
)
# vehicle, follow-up, day of the work before it: the day it was done, "" being left to chance, None never
FOLLOW_UPS: dict[tuple[str, str, str], str | None] = {
    ("T05", "wheel_nuts", "2026-11-13"): "2026-11-19",
    ("L05", "front_axle_recheck", "2026-11-09"): None,
    ("L05", "rear_axle_recheck", "2026-11-09"): "2026-11-19",
    ("L01", "wheel_nuts", "2026-11-17"): None,
}
