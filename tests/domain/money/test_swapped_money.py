"""Swaps and money: a plan makes way, and money spent does not come back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from books import random_build
from builds import a_build
from pennyspeed.domain.builds import Build, line_for
from pennyspeed.domain.checks import Level, checked
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import BOUGHT, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate, rate_of
from pennyspeed.domain.parts.parts import Part, Price

MAY = date(2027, 5, 1)


def a_part(name: str, price: str | None, slot: str = "motor") -> Part:
    part = replace(a_build().parts[slot], name=name)
    asked = None if price is None else Price(Money.of(price, "EUR"), MAY, "Quay shop")
    return replace(part, price=asked)


FIRST, SECOND = a_part("First", "50.00"), a_part("Second", "30.00")


def with_status(status: Status) -> Build:
    build = Build("b").with_part(FIRST)
    return build.with_line(0, replace(build.lines[0], status=status))


def test_a_planned_part_makes_way() -> None:
    swapped = with_status(Status.PLANNED).with_part(SECOND)
    assert [line.name for line in swapped.lines] == ["Second"]
    assert swapped.with_part(FIRST) == with_status(Status.PLANNED)


@pytest.mark.parametrize("status", BOUGHT)
def test_what_is_bought_goes_into_the_drawer_and_comes_out_again(status: Status) -> None:
    build = with_status(status)
    swapped = build.with_part(SECOND)
    assert [(line.name, line.fitted) for line in swapped.lines] == [
        ("Second", True),
        ("First", False),
    ]
    assert costs(swapped).counted == Money(8000, "EUR")
    back = swapped.with_part(FIRST)
    assert [(line.name, line.fitted) for line in back.lines] == [("First", True)]
    assert costs(back).counted == Money(5000, "EUR")


def test_two_that_are_bought_change_places_for_nothing() -> None:
    build = with_status(Status.RECEIVED).with_part(SECOND)
    both = build.with_line(0, replace(build.lines[0], status=Status.ORDERED))
    swapped = both.with_part(FIRST)
    assert costs(swapped).counted == costs(both).counted
    line = swapped.line("motor")
    assert line is not None
    assert (line.name, line.status) == ("First", Status.RECEIVED)
    assert swapped.with_part(SECOND) == both


@pytest.mark.parametrize("status", [Status.CANCELLED, Status.RETURNED])
def test_what_went_back_stays_in_the_books_and_is_bought_anew(status: Status) -> None:
    build = with_status(status).with_part(SECOND).with_part(FIRST)
    assert [(line.name, line.status, line.fitted) for line in build.lines] == [
        ("First", Status.PLANNED, True),
        ("First", status, False),
    ]


def test_an_empty_slot_keeps_what_was_bought_for_it() -> None:
    empty = with_status(Status.RECEIVED).without_part("motor")
    assert empty.part("motor") is None
    assert empty.line("motor") is None
    assert costs(empty).counted == Money(5000, "EUR")
    assert with_status(Status.PLANNED).without_part("motor").lines == ()


def test_an_extra_goes_into_the_drawer_and_comes_out_again() -> None:
    ballast = replace(a_build().extras[0], price=Price(Money(400, "EUR"), MAY))
    build = Build("b").with_part(ballast).with_part(ballast)
    build = build.with_line(1, replace(build.lines[1], status=Status.RECEIVED))
    one = build.without_extra(0)
    assert (len(one.extras), costs(one).counted.minor) == (1, 400)  # the planned one went
    none = one.without_extra(0)
    assert (none.extras, costs(none).counted.minor) == ((), 400)
    again = none.with_part(ballast)
    assert (len(again.extras), costs(again).counted.minor) == (1, 400)
    assert costs(again.with_part(ballast)).counted.minor == 800


def test_a_share_by_mass_stays_where_the_part_lies_in_the_drawer() -> None:
    build = with_status(Status.RECEIVED)
    order = Order("A", postage=Decimal(4))
    build = build.with_line(0, replace(build.lines[0], order="A")).with_order(order)
    out = build.with_part(SECOND)
    assert out.lines[1].mass_g == Decimal("185.0")  # as the part's own figure says


def test_nothing_in_the_drawer_is_awaited() -> None:
    build = replace(with_status(Status.ORDERED), event_date=MAY)
    late = build.with_line(0, replace(build.lines[0], arrives=date(2027, 5, 9)))
    assert level_of_late(late) is Level.WARN
    here = replace(line_for(SECOND, "EUR"), status=Status.OWNED)
    swapped = late.with_part(SECOND)
    assert level_of_late(swapped.with_line(0, here)) is Level.OK


@pytest.mark.parametrize("status", [Status.CANCELLED, Status.RETURNED])
def test_what_went_back_is_neither_awaited_nor_without_a_price(status: Status) -> None:
    build = replace(with_status(status), event_date=MAY)
    build = build.with_line(0, replace(build.lines[0], unit_price=None))
    assert level_of_late(build) is Level.OK
    assert costs(build).unpriced == ()


def test_an_order_gives_its_lines_their_day() -> None:
    build = replace(with_status(Status.ORDERED), event_date=MAY)
    build = build.with_line(0, replace(build.lines[0], order="A"))
    assert level_of_late(build) is Level.UNKNOWN
    assert level_of_late(build.with_order(Order("A", expected=MAY))) is Level.OK
    assert level_of_late(build.with_order(Order("A", expected=date(2027, 5, 2)))) is Level.WARN


def level_of_late(build: Build) -> Level:
    checks = checked(Facts(build, None, costs(build), 0.0))
    return next(check.level for check in checks if check.code == "late")


slots = st.sampled_from(("motor", "pinion"))
names = st.sampled_from(("thing", "other", "fresh"))


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 2**63), st.sampled_from(("EUR", "JPY")), slots, names)
def test_no_swap_gives_money_back_for_what_is_bought(
    seed: int, currency: str, slot: str, name: str
) -> None:
    build = random_build(seed, currency)
    part = a_part(name, None, slot)
    before, after = book(build), book(build.with_part(part))
    assert after.sums.counted.spent + after.sums.uncounted.spent >= spent_on_lines(build)
    bought = [line for line in build.lines if line.status in BOUGHT]
    kept = [line for line in build.with_part(part).lines if line.status in BOUGHT]
    assert [line.name for line in kept] == [line.name for line in bought]
    assert sum(e.total for e in after.entries if e.line.status in BOUGHT) >= sum(
        e.goods or 0 for e in before.entries if e.line.status in BOUGHT
    ) - 1 - discounts(build)


def spent_on_lines(build: Build) -> int:
    """What is spent without anything that an order adds or takes off, less a unit's rounding."""
    goods = sum(e.goods or 0 for e in book(build).entries if not e.promised and not e.planned)
    return goods - 2 * len(build.lines) - discounts(build)


def discounts(build: Build) -> int:
    lean = replace(build, lines=())
    return sum(max(0, -entry.total) for entry in book(lean).entries)


@settings(max_examples=300, deadline=None)
@given(st.integers(0, 2**63), st.sampled_from(("EUR", "KWD")), slots)
def test_there_and_back_leaves_the_money_where_nothing_was_bought(
    seed: int, currency: str, slot: str
) -> None:
    build = random_build(seed, currency)
    build = replace(build, lines=tuple(line for line in build.lines if line.part != slot))
    build = build.with_part(a_part("one", "12.34", slot))
    assert (
        build.with_part(a_part("two", "5.60", slot)).with_part(a_part("one", "12.34", slot))
        == build
    )


def test_an_order_and_its_lines_keep_together_under_a_new_reference() -> None:
    build = with_status(Status.ORDERED)
    build = build.with_line(0, replace(build.lines[0], order="A")).with_order(Order("A"))
    renamed = build.with_order(replace(build.orders[0], reference="B"), was="A")
    assert [order.reference for order in renamed.orders] == ["B"]
    assert renamed.order_of(renamed.lines[0]) == renamed.orders[0]
    loose = renamed.without_order("B")
    assert (loose.orders, loose.lines[0].order) == ((), "B")


def test_the_rate_of_a_day_is_the_latest_before_it() -> None:
    rates = tuple(Rate("USD", Decimal(i), date(2027, i, 1)) for i in (3, 1, 2))
    wanted = {None: 3, date(2027, 2, 20): 2, date(2027, 2, 1): 2, date(2026, 1, 1): 1}
    for day, rate in wanted.items():
        found = rate_of(rates, "USD", day)
        assert found is not None
        assert found.rate == rate
    assert rate_of(rates, "CHF") is None
