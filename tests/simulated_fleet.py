"""A fleet whose use is known: each week's distance is drawn from a gamma distribution, alike for ever.

Odometers of 40 vehicles are read each Monday for three years; two machines have hour meters too. What is to come is
independent of what was, so a projection cannot be better than by the true mean, and how far that is off is known.
"""

import random
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

from fleetreport.trials.backtest import Looks

FIRST_DAY = date(2023, 1, 2)
WEEKS = 156
LAST_DAY = FIRST_DAY + timedelta(7 * WEEKS)
SHAPE = 4  # of the gamma distribution of a week's distance
# Every look falls on a reading, as do 7, 28 and 91 days later.
LOOKS = Looks(every_days=91, history_months=12)


def simulated_fleet(fleet: Path, vehicles: int = 40, change: Callable[[date, float], float] | None = None) -> Path:
    """Write the fleet folder; `change` may give another distance for the week that ends on a day."""
    chance = random.Random(20261125)
    fleet.mkdir(parents=True, exist_ok=True)
    registered = ["vehicle_id,class,in_service_on,in_service_odometer"]
    read = ["vehicle_id,read_at,meter,reading"]
    for number in range(vehicles):
        name, mean = f"V{number:02}", chance.lognormvariate(6, 0.4)
        registered.append(f"{name},{'van' if number % 3 else 'truck'},{FIRST_DAY},1000")
        odometer, hours = 1000.0, 0.0
        for week in range(1, WEEKS + 1):
            day = FIRST_DAY + timedelta(7 * week)
            moved = chance.gammavariate(SHAPE, mean / SHAPE)
            odometer += change(day, moved) if change else moved
            hours += moved / 40
            read.append(f"{name},{day},odometer,{odometer:.3f}")
            if number < 2:
                read.append(f"{name},{day},hours,{hours:.3f}")
    (fleet / "vehicles.csv").write_text("\n".join(registered) + "\n", encoding="utf-8")
    (fleet / "readings.csv").write_text("\n".join(read) + "\n", encoding="utf-8")
    (fleet / "tasks.csv").write_text(
        "class,task,every_distance,every_hours\n*,oil,10000,\n*,tyres,2500,\n*,filter,,100\n", encoding="utf-8"
    )
    return fleet
