"""R's documented examples of statistics that need no data file."""

from published.checks import MEMORY, Source

from fleetreport.record.findings import share_interval

R = Source("R, stats, example of binom.test", MEMORY, "Conover (1971), p. 97, Mendel's plants")


@R.says("binom.test(682, 925)", "interval of the share, 95 %", "0.7076683, 0.7654066")
def share() -> tuple[float, float]:
    return share_interval(682, 925, 0.95)
