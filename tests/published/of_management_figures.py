"""Figures worked out by hand beside the sources of their rules."""

from published.checks import READ, Source, in_case

ACCRUAL = Source("Filed accounts of a carrier: overhauls accrued by use", READ, "example worked by hand")


@ACCRUAL.says("by use", "900 for 30,000 km, 12,500 km run; overdue never above the cost", "375.00, 900.00")
def by_use() -> list[object]:
    case = "accrual/a_share_of_the_interval_never_above_the_cost"
    return [in_case(case, "accrued", vehicle_id=vehicle) for vehicle in ("V1", "V2")]
