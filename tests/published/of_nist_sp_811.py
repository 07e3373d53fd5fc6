"""NIST Special Publication 811, appendix B: exact factors between units."""

from published.checks import READ, Source, in_case, sql

SP_811 = Source("NIST SP 811, Guide for the Use of the International System of Units", READ)


@SP_811.says_each(
    "B.8",
    "{0} mi in km",
    [(1, "1.609344"), (10_000, "16093.44"), ("0.1", "0.1609344")],
)
def miles(number: object) -> object:
    return sql("to_km(?, 'mi')", number)


@SP_811.says("B.8", "15,000 km in mi", "9320.5679")
def kilometres() -> object:
    return sql("from_km(15000, 'mi')")


@SP_811.says("B.8", "1 mi to km and back, in mi", "1.000000000")
def round_trip() -> object:
    return sql("from_km(to_km(1, 'mi'), 'mi')")


@SP_811.says_each(
    "B.8",
    "{0} {1} in litres, to the seven decimals that are held",
    [
        (1, "gal", "3.7854118"), (1, "qt", "0.9463529"), (1, "pt", "0.4731765"), (5, "qt", "4.7317647"),
        (1, "imp gal", "4.5460900"), (1, "imp qt", "1.1365225"), (1, "imp pt", "0.5682613"), (55, "gal", "208.198"),
        (42, "gal", "158.987"),
    ],
)  # fmt: skip
def volumes(number: int, unit: str) -> object:
    return sql("litres(?, ?)", number, unit)


@SP_811.says("B.8", "10 qt and 100 qt of oil poured in two weeks, in litres", "9.5, 94.6")
def poured() -> object:
    return in_case("bulk_weeks/quarts_and_gallons_are_litres", "litres", item="oil")


@SP_811.says("B.8", "a dial in miles: 96,560.64 km due, in mi", "60000.0")
def dial() -> object:
    return in_case("due_list/in_the_unit_of_the_vehicles_own_odometer", "due_odometer", vehicle_id="P1")
