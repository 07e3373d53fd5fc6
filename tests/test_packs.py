"""Whole packs at the lowest price: worked needs, a second solver, and every plan tried where there are few."""

import itertools
import random
from decimal import Decimal

import duckdb
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fleetreport.items import packs
from fleetreport.items.offers import Offer, Wanted
from fleetreport.items.order_steps import PURCHASED
from fleetreport.items.packs import cheapest_packs, one_pack_size
from fleetreport.items.plain_packs import of_one_offer, plain_packs

# Packs of 1, 5, 20, 60 and 208 L and eight needs, on which a dynamic programme, SciPy's HiGHS, PuLP 3.3.2 with CBC and
# OR-Tools 9.15 CP-SAT gave the same cost (cents), run beforehand and frozen here.
OIL = tuple(
    Offer("S", f"{size} L", Decimal(size), Decimal(cents) / 100)
    for size, cents in ((1, 450), (5, 1890), (20, 6900), (60, 18900), (208, 59900))
)
WORKED = {4: 1800, 6: 2340, 23: 8250, 47: 16590, 61: 19350, 187: 59490, 205: 59900, 999: 293990}


def litres(amount: str | int, offers: tuple[Offer, ...] = OIL, room: str | None = None) -> Wanted:
    return Wanted("oil", Decimal(amount), offers, None if room is None else Decimal(room))


def counts(wanted: Wanted) -> dict[str, int]:
    return {one.offer.pack: one.packs for one in cheapest_packs([wanted]).bought}


def dynamic_programme(need: int, offers: tuple[Offer, ...]) -> int:
    """The least cents that buy at least `need` whole units, by trying each pack as the last one."""
    least = [0] + [0] * need
    for amount in range(1, need + 1):
        least[amount] = min(least[max(0, amount - int(o.size))] + int(o.price * 100) for o in offers)
    return least[need]


@settings(max_examples=40, deadline=None)
@given(
    st.integers(1, 400),
    st.lists(st.tuples(st.integers(1, 60), st.integers(1, 9000)), min_size=1, max_size=5, unique_by=lambda p: p[0]),
)
def test_a_second_solver_finds_the_same_cost(need: int, packs: list[tuple[int, int]]) -> None:
    offers = tuple(Offer("S", f"{size}", Decimal(size), Decimal(cents) / 100) for size, cents in packs)
    assert cheapest_packs([litres(need, offers)]).cost * 100 == dynamic_programme(need, offers)


def every_plan(wanted: Wanted) -> tuple[object, ...] | None:
    """The best of all plans by cost, surplus, packs and names, each tried; None where none covers the need."""
    offers = sorted(wanted.offers)
    most = [max(-(-int(wanted.amount) // int(o.size)), o.min_count) for o in offers]
    ranges = [range((m if o.available is None else min(m, o.available)) + 1) for m, o in zip(most, offers, strict=True)]
    best = None
    for plan in itertools.product(*ranges):
        bought = [(o, n) for o, n in zip(offers, plan, strict=True) if n]
        amount = sum(o.size * n for o, n in bought)
        names = [(o.supplier, o.pack) for o, _ in bought]
        if amount < wanted.amount or any(n < o.min_count for o, n in bought) or len(names) != len(set(names)):
            continue
        if wanted.room is not None and amount > wanted.room:
            continue
        if any(sum(p.size * n for p, n in bought if p.keeps is not None and p.keeps <= o.keeps) > o.keeps
               for o, _ in bought if o.keeps is not None):  # fmt: skip
            continue
        key = (sum(o.price * n for o, n in bought), amount, sum(plan), tuple(-n for n in plan))
        best = key if best is None or key < best else best
    return best


def found_plan(wanted: Wanted) -> tuple[object, ...] | None:
    found = cheapest_packs([wanted])
    if found.short or found.outlasted:
        return None
    plan = [next((b.packs for b in found.bought if b.offer == o), 0) for o in sorted(wanted.offers)]
    return found.cost, sum(b.amount for b in found.bought), sum(plan), tuple(-n for n in plan)


@pytest.mark.parametrize("seed", range(60))
def test_no_plan_is_better_with_limits_price_breaks_and_ties(seed: int) -> None:
    chance = random.Random(seed)
    offers = []
    for pack in range(chance.randint(1, 3)):
        size, price = chance.randint(1, 9), chance.randint(2, 12)
        for least, off in ((1, 0), (chance.randint(2, 4), 1))[: chance.randint(1, 2)]:
            keeps = chance.choice([None, None, Decimal(chance.randint(0, 30))])
            available = chance.choice([None, None, 1, 3])
            offers.append(
                Offer(chance.choice("AB"), f"p{pack}", Decimal(size), Decimal(price - off), least, available, keeps)
            )
    room = chance.choice([None, None, str(chance.randint(5, 30))])
    wanted = litres(chance.randint(1, 20), tuple({(o.supplier, o.pack, o.min_count): o for o in offers}.values()), room)
    assert found_plan(wanted) == every_plan(wanted)


def test_equal_prices_take_the_smaller_surplus_then_the_fewer_packs_then_the_first_name() -> None:
    def of(*packs: tuple[str, str, str]) -> tuple[Offer, ...]:
        return tuple(Offer("S", name, Decimal(size), Decimal(price)) for name, size, price in packs)

    assert counts(litres(5, of(("a", "8", "10"), ("b", "6", "10")))) == {"b": 1}
    assert counts(litres(6, of(("a", "2", "4"), ("b", "6", "12")))) == {"b": 1}
    assert counts(litres(6, of(("b", "6", "12"), ("a", "6", "12")))) == {"a": 1}


def test_a_price_break_may_make_more_packs_cheaper() -> None:
    breaks = (Offer("S", "can", Decimal(5), Decimal(20)), Offer("S", "can", Decimal(5), Decimal(14), 4))
    assert [(b.packs, b.offer.min_count) for b in cheapest_packs([litres(10, breaks)]).bought] == [(2, 1)]
    assert [(b.packs, b.offer.min_count) for b in cheapest_packs([litres(15, breaks)]).bought] == [(4, 4)]


def test_what_cannot_be_had_is_told_and_the_rest_is_bought() -> None:
    few = (Offer("S", "a", Decimal(4), Decimal(9), 1, 2), Offer("S", "b", Decimal(3), Decimal(9), 1, 1))
    found = cheapest_packs([litres("12.5", few)])
    assert found.short == {"oil": Decimal("1.5")}
    assert found.cost == 27
    assert cheapest_packs([litres(3, ())]).short == {"oil": 3}
    assert cheapest_packs([litres(30, OIL, room="25")]).short == {"oil": 5}


def test_a_drum_that_would_pass_its_shelf_life_is_not_bought_unless_nothing_else_covers() -> None:
    drum = Offer("S", "drum", Decimal(208), Decimal(100), keeps=Decimal(40))
    pail = Offer("S", "pail", Decimal(20), Decimal(90))
    assert counts(litres(30, (drum, pail))) == {"pail": 2}
    only = cheapest_packs([litres(30, (drum,))])
    assert [b.packs for b in only.bought] == [1]
    assert only.outlasted == {"oil"}


def test_a_least_order_is_met_or_the_supplier_is_left_out() -> None:
    """With 50 to spend at least, two items together at A are cheaper than at B; one alone is not."""
    here, there = Offer("A", "p", Decimal(1), Decimal(20)), Offer("B", "p", Decimal(1), Decimal(28))
    one, two = (Wanted(name, Decimal(1), (here, there)) for name in "xy")
    alone = cheapest_packs([one], {"A": Decimal(50)})
    assert [(b.offer.supplier, b.packs) for b in alone.bought] == [("B", 1)]
    three = Wanted("z", Decimal(1), (here, there))
    all_three = cheapest_packs([one, two, three], {"A": Decimal(50)})
    assert {b.offer.supplier for b in all_three.bought} == {"A"}
    assert all_three.cost == 60
    # Two would cost 40 at A: one pack more to reach 60 is dearer than 56 at B.
    assert cheapest_packs([one, two], {"A": Decimal(50)}).cost == 56


def test_one_pack_size_is_never_cheaper_and_numbers_too_far_apart_still_give_a_plan() -> None:
    for need in WORKED:
        single = one_pack_size(litres(need))
        assert single is not None
        assert single.cost >= cheapest_packs([litres(need)]).cost
    far = (Offer("S", "a", Decimal("0.0000001"), Decimal("0.0001")), Offer("S", "b", Decimal(999_999_999), Decimal(5)))
    found = cheapest_packs([litres(999_999_999, far)])
    assert found.unproven == {"oil"}
    assert found.cost == 5


def test_of_single_pack_sizes_the_cheapest_is_taken() -> None:
    """23 L: five of 5 L cost 94.50, two of 20 L 138.00, 23 of 1 L 103.50. 20 L: 69.00, in four of 5 L 75.60."""
    for need, pack, cost in ((23, "5 L", "94.50"), (20, "20 L", "69.00")):
        found = one_pack_size(litres(need))
        assert found is not None
        assert ({b.offer.pack for b in found.bought}, found.cost) == ({pack}, Decimal(cost))


def test_a_plan_that_is_not_proved_the_cheapest_keeps_before_it_is_cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    """11 L: two of 10 L cost 20, but only 12 L would be used in time; one of them and one of 1 L cost 25 and keep. What
    A delivers does not come to its least order, so that the items are tied together and y is bought of B.
    """
    monkeypatch.setattr(packs, "MOST_TOGETHER", 0)
    large = Offer("C", "large", Decimal(10), Decimal(10), keeps=Decimal(12))
    small = Offer("C", "small", Decimal(1), Decimal(15), available=5)
    wanted = [Wanted("x", Decimal(11), (large, small)), Wanted("y", Decimal(1), (at("A", 5), at("B", 6)))]
    found = cheapest_packs(wanted, {"A": Decimal(100), "C": Decimal(5)})
    assert (found.unproven, found.outlasted, found.short) == ({"x", "y"}, frozenset(), {})
    assert found.cost == 31


def test_what_cannot_be_had_goes_before_how_long_it_keeps() -> None:
    """30 L wanted, one drum of 20 L there, of which 10 L would be used in time: the drum, and 10 L are short."""
    drum = Offer("A", "drum", Decimal(20), Decimal(50), 1, 1, Decimal(10))
    found = cheapest_packs([litres(30, (drum,))])
    assert (found.short, found.outlasted, found.unproven) == ({"oil": 10}, {"oil"}, frozenset())
    assert cheapest_packs([litres("20.5", (drum,))]).short == {"oil": Decimal("0.5")}


def test_a_free_pack_counts_in_an_order_whose_least_it_does_not_raise() -> None:
    """x is free, y costs 20: two of y come to the least order of 30."""
    free, dear = Offer("A", "p", Decimal(1), Decimal(0)), Offer("A", "q", Decimal(1), Decimal(20))
    wanted = [Wanted("x", Decimal(2), (free,)), Wanted("y", Decimal(1), (dear,))]
    found = cheapest_packs(wanted, {"A": Decimal(30)})
    assert (found.cost, found.short, found.unproven) == (40, {}, frozenset())
    # By itself it makes no order that A takes: x comes from B.
    alone = cheapest_packs([Wanted("x", Decimal(1), (free, at("B", 5)))], {"A": Decimal(30)})
    assert [(b.offer.supplier, b.packs) for b in alone.bought] == [("B", 1)]


def test_a_mix_where_no_single_size_covers_is_no_plan_of_one_size() -> None:
    """10 L wanted: A and B have one pack of 5 L each, so only a mix covers it; where B has two, these do."""
    assert purchases_of(available=1) == {("order", "A", 1), ("order", "B", 1)}
    assert purchases_of(available=2) == {("order", "A", 1), ("order", "B", 1), ("one_size", "B", 2)}


def purchases_of(available: int) -> set[tuple[str, str, int]]:
    """Plan, supplier and packs for 10 L, with a cheaper pack of 5 L at A and so many at B."""
    db = duckdb.connect()
    db.execute(f"""
        create table run as select false as only_listed, []::varchar[] as only_listed_for;
        create table suppliers as select 'A' as supplier, 0::decimal(18, 4) as min_order;
        create table items_needed as select 'oil' as item, 10::decimal(18, 7) as to_order;
        create table offers as
            select 'oil' as item, supplier, '5 L' as pack, 5::decimal(18, 7) as size, price::decimal(18, 4) as price,
                1 as min_count, available, null::decimal(18, 7) as keeps, null::decimal(18, 7) as room,
                null as needs, null as meets, false as confirmed
            from (values ('A', 20, 1), ('B', 21, {available})) as one(supplier, price, available)""")
    PURCHASED.make(db)
    return set(db.execute("select plan, supplier, count from purchases where plan in ('order', 'one_size')").fetchall())


TINY, HUGE = Decimal("0.0001"), Decimal(999_999_999)
# Beside a price of a ten-thousandth, one of a thousand million is beyond what the solver tells apart.
TOO_FAR = Offer("S", "vast", HUGE, HUGE, available=0), Offer("S", "free", Decimal("0.0000001"), TINY, available=1)


def far(item: str, amount: int, *offers: Offer, room: int | None = None) -> Wanted:
    return Wanted(item, Decimal(amount), (*offers, *TOO_FAR), None if room is None else Decimal(room))


def test_a_plan_without_the_solver_keeps_to_the_price_breaks_counts_room_and_shelf_life() -> None:
    dear, bulk = Offer("S", "can", Decimal(5), Decimal(20)), Offer("S", "can", Decimal(5), Decimal(14), 4)
    for wanted, expected, short in (
        (far("x", 10, dear, bulk), [("can", 1, 2)], None),  # 40; four of 14 would be 56
        (far("x", 15, dear, bulk), [("can", 4, 4)], None),  # 56 instead of 60
        (far("x", 15, bulk, room=18), [("free", 1, 1)], Decimal("14.9999999")),  # three of four find room: none
        (far("x", 15, dear, room=12), [("can", 1, 2)], 5),
        (
            far("x", 6, dear._replace(keeps=Decimal(3)), Offer("S", "tin", Decimal(1), Decimal(30))),
            [("tin", 1, 6)],
            None,
        ),
    ):
        found = cheapest_packs([wanted])
        assert found.unproven == {"x"}
        assert [(b.offer.pack, b.offer.min_count, b.packs) for b in found.bought] == expected
        assert found.short.get("x") == short
        assert not found.outlasted


def test_a_plan_without_the_solver_meets_a_least_order_or_leaves_the_supplier_out() -> None:
    here, there = Offer("A", "p", Decimal(1), Decimal(20)), Offer("B", "p", Decimal(1), Decimal(28))

    def bought(least: int, *wanted: Wanted) -> list[tuple[str, str, int]]:
        found = cheapest_packs(wanted, {"A": Decimal(least), "C": Decimal(1)})
        assert found.unproven
        assert not found.short
        return [(b.item, b.offer.supplier, b.packs) for b in found.bought]

    assert bought(30, far("x", 1, here, there), far("y", 1, here, there)) == [("x", "A", 1), ("y", "A", 1)]
    assert bought(50, far("x", 1, here, there), far("y", 1, here, there)) == [("x", "B", 1), ("y", "B", 1)]
    assert bought(50, far("x", 1, here), far("y", 1, here, there)) == [("x", "A", 2), ("y", "A", 1)]
    # One pack is all there is: the least order cannot be met, so nothing is bought and it is told.
    only = cheapest_packs([far("x", 1, here._replace(available=1))], {"A": Decimal(50)})
    assert only.short["x"] == Decimal("0.9999999")


@pytest.mark.parametrize(
    ("need", "limits", "packs", "short", "outlasted"),
    [
        (10, {}, 3, 0, False),
        (12, {}, 3, 0, False),
        (10, {"available": 2}, 2, 2, False),
        (10, {"available": 0}, 0, 10, False),
        (10, {"min_count": 4}, 4, 0, False),
        (16, {"room": 13}, 3, 4, False),
        (10, {"room": 3}, 0, 10, False),
        (10, {"room": -1}, 0, 10, False),
        (10, {"min_count": 3, "room": 12}, 3, 0, False),
        (10, {"min_count": 4, "room": 12}, 0, 10, False),
        (16, {"available": 2, "room": 13}, 2, 8, False),
        (12, {"keeps": 12}, 3, 0, False),
        (12, {"keeps": 11}, 3, 0, True),
        (1, {}, 1, 0, False),
        (1000, {}, 250, 0, False),
        (Decimal("12.5"), {}, 4, 0, False),
    ],
)
def test_packs_of_4_by_hand(need: int, limits: dict[str, int], packs: int, short: int, outlasted: bool) -> None:
    keeps = Decimal(limits["keeps"]) if "keeps" in limits else None
    offer = Offer("S", "p", Decimal(4), Decimal(9), limits.get("min_count", 1), limits.get("available"), keeps)
    found = of_one_offer(litres(need, (offer,), limits.get("room")), offer)
    assert [b.packs for b in found.bought] == ([packs] if packs else [])
    assert found.short == ({"oil": short} if short else {})
    assert found.outlasted == (frozenset({"oil"}) if outlasted else frozenset())


def least_order_plan(
    wanted: list[Wanted], **least: int | Decimal
) -> tuple[list[tuple[str, str, int]], dict[str, Decimal]]:
    found = plain_packs(wanted, {supplier: Decimal(money) for supplier, money in least.items()})
    assert found.unproven == {one.item for one in wanted}
    return [(b.item, b.offer.supplier, b.packs) for b in found.bought], dict(found.short)


def at(supplier: str, price: int, available: int | None = None, size: int = 1) -> Offer:
    return Offer(supplier, "p", Decimal(size), Decimal(price), 1, available)


def test_least_orders_without_the_solver_by_hand() -> None:
    def want(item: str, *offers: Offer, amount: int = 1) -> Wanted:
        return Wanted(item, Decimal(amount), offers)

    # Just met, and one short of it: 40 at A, three packs of 20 where only A can deliver.
    assert least_order_plan([want("x", at("A", 20)), want("y", at("A", 20))], A=40)[0] == [("x", "A", 1), ("y", "A", 1)]
    assert least_order_plan([want("x", at("A", 20), at("B", 30)), want("y", at("A", 20))], A=41)[0] == [
        ("x", "A", 2), ("y", "A", 1),
    ]  # fmt: skip
    assert least_order_plan([want("x", at("A", 20))], A=60)[0] == [("x", "A", 3)]
    assert least_order_plan([want("x", at("A", 20))], A=61)[0] == [("x", "A", 4)]
    # Half of one short of it; packs at half of one, four for an order of two.
    assert least_order_plan([want("x", at("A", 20))], A=Decimal("20.5"))[0] == [("x", "A", 2)]
    assert least_order_plan([want("x", at("A", 1)._replace(price=Decimal("0.5")))], A=2)[0] == [("x", "A", 4)]
    # What of the first line there is, then the second; another supplier's line stays as it is.
    lines = [want("x", at("A", 20, 2)), want("y", at("A", 20, 5)), want("z", at("B", 7))]
    assert least_order_plan(lines, A=100)[0] == [("x", "A", 2), ("y", "A", 3), ("z", "B", 1)]
    # There is not enough to come to it, or it costs nothing: nothing is bought of it.
    assert least_order_plan([want("x", at("A", 20, 2))], A=50) == ([], {"x": 1})
    assert least_order_plan([want("x", at("A", 0))], A=1) == ([], {"x": 1})
    # One after the other is left out; whom another's leaving brings above its least order is not.
    dear = [want("x", at("A", 20), at("B", 28), at("C", 40))]
    assert least_order_plan(dear, A=50, B=50)[0] == [("x", "C", 1)]
    both = [want("x", at("A", 20), at("B", 28)), want("y", at("A", 30), at("B", 28))]
    assert least_order_plan(both, A=50, B=50)[0] == [("x", "B", 1), ("y", "B", 1)]


def test_the_plan_of_one_offer_is_the_least_short_then_the_one_that_keeps_then_the_cheapest() -> None:
    few, all_of_it = at("A", 1, available=1), at("B", 9)
    assert least_order_plan([Wanted("x", Decimal(2), (few, all_of_it))])[0] == [("x", "B", 2)]
    ages = all_of_it._replace(price=Decimal(1), keeps=Decimal(1), pack="q")
    assert least_order_plan([Wanted("x", Decimal(2), (ages, all_of_it))])[0] == [("x", "B", 2)]
    assert plain_packs([Wanted("x", Decimal(2), (ages, all_of_it))], {}).cost == 18
    assert plain_packs([Wanted("x", Decimal(2), (at("A", 5), at("C", 4)))], {}).cost == 8
    assert least_order_plan([Wanted("x", Decimal(2), ())]) == ([], {"x": 2})


def test_nothing_wanted_buys_nothing_and_less_than_a_pack_buys_one() -> None:
    assert cheapest_packs([litres(0)]) == cheapest_packs([])
    assert counts(litres("0.5", (Offer("S", "a", Decimal(4), Decimal(9)),))) == {"a": 1}
    # Nothing wanted of one of two items of a supplier with a least order: only the other is bought, up to it.
    two = [Wanted(name, Decimal(amount), (at("A", 20),)) for name, amount in (("x", 0), ("y", 1))]
    found = cheapest_packs(two, {"A": Decimal(60)})
    assert [(b.item, b.packs) for b in found.bought] == [("y", 3)]
    assert found.unproven == frozenset()
    # A least order of no money is none, nor is one of a supplier that offers nothing.
    assert [b.packs for b in cheapest_packs(two, {"A": Decimal(0), "B": Decimal(90)}).bought] == [1]


def test_the_largest_of_several_least_orders_is_met_too() -> None:
    """40 at A at least and 90 at B, each the only one to deliver its item at 10 a pack."""
    wanted = [Wanted("x", Decimal(1), (at("A", 10),)), Wanted("y", Decimal(1), (at("B", 10),))]
    found = cheapest_packs(wanted, {"A": Decimal(40), "B": Decimal(90)})
    assert [(b.item, b.packs) for b in found.bought] == [("x", 4), ("y", 9)]


def test_sizes_and_prices_with_decimals_are_exact() -> None:
    """0.75 L at 0.30 or 1.25 L at 0.45. Of 3 L two larger packs and one smaller are 3.25 L at 1.20, four smaller ones
    3 L at 1.20: the smaller surplus.
    """
    small, large = Offer("S", "a", Decimal("0.75"), Decimal("0.30")), Offer("S", "b", Decimal("1.25"), Decimal("0.45"))
    found = cheapest_packs([litres(3, (small, large))])
    assert [(b.offer.pack, b.packs) for b in found.bought] == [("a", 4)]
    assert found.cost == Decimal("1.20")


def test_packs_that_keep_a_short_time_count_together_with_those_that_keep_a_shorter_one() -> None:
    """At most 8 of what keeps no longer than "short", 12 of it and of "middle" together; the rest must keep."""
    short = Offer("S", "short", Decimal(4), Decimal(1), keeps=Decimal(8))
    middle = Offer("S", "middle", Decimal(4), Decimal(2), keeps=Decimal(12))
    lasting = Offer("S", "lasting", Decimal(4), Decimal(9))
    assert counts(litres(20, (short, middle, lasting))) == {"short": 2, "middle": 1, "lasting": 2}
    # Without any that keeps longer all is bought of the cheapest, and told.
    only = cheapest_packs([litres(20, (short, middle))])
    assert {b.offer.pack: b.packs for b in only.bought} == {"short": 5}
    assert only.outlasted == {"oil"}
    kept = cheapest_packs([litres(12, (short, middle))])
    assert {b.offer.pack: b.packs for b in kept.bought} == {"short": 2, "middle": 1}
    assert kept.outlasted == frozenset()


def some_items(seed: int) -> tuple[list[Wanted], dict[str, Decimal]]:
    """A few items of three suppliers, with least orders of which some are met anyhow and some are not."""
    chance = random.Random(seed)
    wanted = [
        Wanted(
            f"i{number}", Decimal(chance.randint(1, 30)),
            tuple(at(chance.choice("ABC"), chance.randint(2, 60), size=n) for n in chance.sample((1, 4, 5, 20), 3)),
        )
        for number in range(3)
    ]  # fmt: skip
    return wanted, {name: Decimal(chance.choice((0, 10, 40, 90, 200))) for name in "ABC"}


@pytest.mark.parametrize("seed", range(30))
def test_where_least_orders_are_met_anyhow_the_best_for_each_item_is_the_best_for_all(seed: int) -> None:
    """Against the programme of all items at once."""
    wanted, least = some_items(seed)
    found = cheapest_packs(wanted, least)
    together = packs._solve(sorted(wanted), {name: money for name, money in least.items() if money})
    assert (found.short, found.outlasted, found.unproven) == (together.short, together.outlasted, frozenset())
    assert sorted(found.bought) == sorted(together.bought)


@pytest.mark.parametrize("seed", range(30))
def test_too_many_items_to_be_weighed_together_keep_to_the_least_orders(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    wanted, least = some_items(seed)
    proved = cheapest_packs(wanted, least)
    monkeypatch.setattr(packs, "MOST_TOGETHER", 0)
    found = cheapest_packs(wanted, least)
    spent = {name: sum(b.cost for b in found.bought if b.offer.supplier == name) for name in least}
    assert all(money == 0 or money >= least[name] for name, money in spent.items())
    assert found.short or found.cost >= proved.cost
    assert bool(found.unproven) == (packs._each_by_itself(wanted).bought != found.bought)
