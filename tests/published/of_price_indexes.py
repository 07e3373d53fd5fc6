"""US Bureau of Labor Statistics: escalation by an index."""

from published.checks import READ, Source, in_case

BLS = Source("US Bureau of Labor Statistics, Using the CPI for Escalation", READ)
ALASKA = Source("Alaska Department of Labor, calculating a change of the index", READ)


@BLS.says("January 1989, p. 5: 4.7 / 113.8 = 0.041", "118.5 in place of 113.8: factor", "1.041")
def early() -> object:
    return in_case("price_factors/bls_escalation_by_an_index", "factor", kind="tyre", on_day="2026-12-31")


@BLS.says("later edition: 6.1 / 129.9", "136.0 in place of 129.9: factor", "1.047")
def later() -> object:
    return in_case("price_factors/bls_escalation_in_later_editions", "factor", kind="tyre", on_day="2026-12-31")


@ALASKA.says("4.489 / 201.427", "205.916 in place of 201.427: factor", "1.022")
def alaska() -> object:
    return in_case("price_factors/bls_escalation_in_later_editions", "factor", kind="oil", on_day="2026-12-31")
