"""Results for a fleet beside those for the same fleet changed; metamorphic.py holds many fleets to that."""

import pytest
from conftest import WriteFleet
from trust.metamorphic import Verdict, by_task, date, relations, work

# Every basis, both units, covers, follow-ups, yearly days, expiries and a refused reading are in it.
SEEDS = (6,)
RELATIONS = (
    "row order and file split", "miles as km", "km as metres, hours as h:mm", "400 years later",
    "everything done now", "one task done now", "longer intervals", "a reading within the band",
)  # fmt: skip


@pytest.fixture(scope="module", params=SEEDS)
def verdicts(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Verdict]:
    return dict(relations(tmp_path_factory.mktemp("metamorphic"), request.param))


@pytest.mark.parametrize("relation", RELATIONS)
def test_no_row_breaks_a_relation(verdicts: dict[str, Verdict], relation: str) -> None:
    assert verdicts.keys() == set(RELATIONS)
    assert verdicts[relation].looked_at >= 4
    assert verdicts[relation].broken == []


def test_where_the_contract_itself_asks_for_the_nearer_date(write_fleet: WriteFleet) -> None:
    """By hand from the contract's three bases, with every vehicle 100 km a day.

    A longer interval: fixed every 10,000 km, done at 15,000, is half-way between two steps and counts for the later,
    20,000: due at 30,000; every 11,000 it counts for 11,000: due at 22,000. Anchored every 9,900 km, done at 10,900, is
    1,000 km late, more than a tenth: due at 20,800; every 10,000 it is 900 late, counts at 10,000: due at 20,000.

    A service now: one due at 10,000 and done at 9,200 counts at 10,000, next 20,000; done again at 9,300 it is not
    within 1,000 km of 20,000, so next 19,300, a whole interval from now. A first interval of 30,000 km ends with the
    first service: done now at 9,300, due at 19,300.
    """
    names = ("f10", "f11", "a9", "a10", "early", "again", "new", "first")
    fleet = write_fleet(
        vehicles="vehicle_id,class,in_service_on\n" + "\n".join(f"{name},{name},2025-01-01" for name in names),
        tasks="""\
        class,task,every_distance,first_distance,basis
        f10,t,10000,,fixed
        f11,t,11000,,fixed
        a9,t,9900,,anchored
        a10,t,10000,,anchored
        early,t,10000,,anchored
        again,t,10000,,anchored
        new,t,10000,30000,last_done
        first,t,10000,30000,last_done""",
        history="""\
        vehicle_id,done_on,task,odometer
        f10,2025-05-31,t,15000
        f11,2025-05-31,t,15000
        a9,2025-04-20,t,10900
        a10,2025-04-20,t,10900
        early,2025-04-03,t,9200
        again,2025-04-03,t,9200
        again,2025-04-04,t,9300
        first,2025-04-04,t,9300""",
        readings="vehicle_id,read_at,reading\n" + "\n".join(f"{name},2025-06-30,18000" for name in names),
        settings="",
    )
    due = {key[0]: row["due_odometer"] for key, row in by_task(work(fleet, date(2025, 6, 30))).items()}
    assert due == {
        "f10": 30_000, "f11": 22_000, "a9": 20_800, "a10": 20_000,
        "early": 20_000, "again": 19_300, "new": 30_000, "first": 19_300,
    }  # fmt: skip
