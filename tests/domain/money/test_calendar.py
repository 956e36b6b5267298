"""The calendar: lead times from what came before, order-by days, and what is late or missing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.domain.builds import Build, Line
from pennyspeed.domain.money.calendar import (
    MARGIN_DAYS,
    Item,
    ItemKind,
    Leads,
    agenda,
    expected_on,
    order_by,
)
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order
from pennyspeed.domain.parts.ingredients import Flat
from pennyspeed.domain.parts.parts import Price
from pennyspeed.domain.parts.recipes import Recipe, with_recipe

D = Decimal
TODAY = date(2027, 3, 10)
EVENT = date(2027, 4, 10)
SEED_TAKES_6 = Leads(said={"seed box": 6})


def with_lines(*lines: Line, event: date | None = EVENT, orders: tuple[Order, ...] = ()) -> Build:
    return replace(a_build(), lines=lines, event_date=event, orders=orders)


def a_line(status: Status = Status.PLANNED, **more: object) -> Line:
    return Line("motor", "Greenhouse 3100", D(1), D(64), status, supplier="Seed box", **more)  # type: ignore[arg-type]


def the_item(build: Build, leads: Leads = SEED_TAKES_6, today: date = TODAY) -> Item:
    (item,) = (one for one in agenda(build, leads, today) if one.kind is not ItemKind.EVENT)
    return item


@pytest.mark.parametrize(
    ("taken", "median"),
    # the middle one; of an even number the longer of the two in the middle
    [([5], 5), ([9, 3, 4], 4), ([3, 4, 9, 30], 9), ([0], 0)],
)
def test_a_supplier_takes_what_it_took_in_the_middle(taken: list[int], median: int) -> None:
    came = [("Seed box", TODAY, TODAY + timedelta(days=days)) for days in taken]
    assert Leads.of(came).days("Seed box") == median


@given(st.lists(st.integers(0, 400), min_size=1, max_size=30))
def test_half_of_all_arrivals_took_no_longer_and_half_no_less(taken: list[int]) -> None:
    came = [("Shed", TODAY, TODAY + timedelta(days=days)) for days in taken]
    median = Leads.of(came).days("shed ")
    assert median is not None
    assert 2 * sum(days <= median for days in taken) >= len(taken)
    assert 2 * sum(days >= median for days in taken) >= len(taken)


def test_what_was_learned_goes_before_what_was_said() -> None:
    shed = Supplier("Shed", lead_days=3)
    came = [("Shed", TODAY, TODAY + timedelta(days=9))]
    assert Leads.of((), [shed]).days("Shed") == 3
    assert Leads.of(came, [shed]).days("Shed") == 9
    assert Leads.of(came, [shed]).days("Attic") is None


def test_an_arrival_before_its_order_and_one_from_nobody_teach_nothing() -> None:
    slips = [("Shed", TODAY, TODAY - timedelta(days=1)), (" ", TODAY, TODAY + timedelta(days=4))]
    assert Leads.of(slips).days("Shed") is None
    assert Leads.of(slips).days("") is None


def test_a_price_may_say_longer_and_not_shorter() -> None:
    for said, days in ((20, 20), (2, 6), (None, 6)):
        price = Price(Money(6400, "EUR"), TODAY, "Seed box", lead_days=said)
        assert SEED_TAKES_6.days("Seed box", price) == days


def test_order_by_leaves_the_lead_time_and_a_margin() -> None:
    # ordered on the last day it is here the margin before the event
    last = order_by(EVENT, 6)
    assert last + timedelta(days=6) == EVENT - timedelta(days=MARGIN_DAYS)


def test_something_planned_is_to_be_ordered_in_time() -> None:
    item = the_item(with_lines(a_line()))
    assert (item.kind, item.day, item.index) == (ItemKind.ORDER_BY, date(2027, 4, 3), 0)
    assert item.text == "Order Greenhouse 3100 by 3 April 2027 to have it; it takes 6 days"


@pytest.mark.parametrize(
    ("left", "kind"),
    [(8, ItemKind.ORDER_BY), (7, ItemKind.ORDER_BY), (6, ItemKind.OVERDUE), (5, ItemKind.LATE)],
)
def test_from_in_time_over_only_today_to_too_late(left: int, kind: ItemKind) -> None:
    item = the_item(with_lines(a_line()), today=EVENT - timedelta(days=left))
    assert item.kind is kind
    if kind is ItemKind.LATE:
        assert "a day too late, on 11 April 2027" in item.text


def test_something_ordered_comes_is_late_or_overdue() -> None:
    def kind(day: date) -> ItemKind:
        return the_item(with_lines(a_line(Status.ORDERED, arrives=day))).kind

    assert kind(EVENT) is ItemKind.ARRIVES
    assert kind(EVENT + timedelta(days=1)) is ItemKind.LATE
    assert kind(TODAY) is ItemKind.ARRIVES
    assert kind(TODAY - timedelta(days=1)) is ItemKind.OVERDUE


def test_what_is_overdue_says_since_when() -> None:
    item = the_item(with_lines(a_line(Status.ORDERED, arrives=date(2027, 3, 7))))
    assert item.text == "Greenhouse 3100 was to come on 7 March 2027, 3 days ago; ask where it is"


def test_an_order_gives_its_lines_its_days() -> None:
    order = Order("A-17", "Seed box", ordered=date(2027, 3, 8))
    line = replace(a_line(Status.ORDERED, order="A-17"), supplier="")
    build = with_lines(line, orders=(order,))
    # ordered on the 8th and six days on the way
    assert expected_on(build, SEED_TAKES_6, TODAY, line) == date(2027, 3, 14)
    item = the_item(build)
    assert (item.kind, item.day, item.order) == (ItemKind.ARRIVES, date(2027, 3, 14), "A-17")
    expected = with_lines(line, orders=(replace(order, expected=date(2027, 3, 20)),))
    assert the_item(expected).day == date(2027, 3, 20)


def test_without_a_lead_time_a_day_is_missing() -> None:
    planned = the_item(with_lines(a_line()), Leads())
    assert (planned.kind, planned.day) == (ItemKind.NO_DAY, None)
    assert planned.text.endswith("nobody knows how long it takes from Seed box")
    ordered = the_item(with_lines(a_line(Status.ORDERED)), Leads())
    assert (ordered.kind, ordered.day) == (ItemKind.NO_DAY, None)


def test_the_day_that_a_person_planned_stands_in_for_a_lead_time() -> None:
    day = date(2027, 3, 30)
    item = the_item(with_lines(a_line(arrives=day)), Leads())
    assert (item.kind, item.day) == (ItemKind.ARRIVES, day)
    late = the_item(with_lines(a_line(arrives=EVENT + timedelta(days=2))), Leads())
    assert late.kind is ItemKind.LATE


def test_a_price_out_of_stock_moves_order_by_forward() -> None:
    price = Price(Money(6400, "EUR"), TODAY, "Seed box", lead_days=20)
    build = with_lines(a_line())
    motor = replace(build.parts["motor"], price=price)
    build = replace(build, parts={**build.parts, "motor": motor})
    assert the_item(build).day == order_by(EVENT, 20)
    other = replace(build, lines=(replace(build.lines[0], supplier="Shed"),))
    assert the_item(other, Leads(said={"shed": 6})).day == order_by(EVENT, 6)


def test_what_is_here_gone_or_in_the_drawer_asks_for_nothing() -> None:
    quiet = [Status.RECEIVED, Status.OWNED, Status.MADE, Status.CANCELLED, Status.RETURNED]
    lines = [a_line(status) for status in quiet] + [a_line(fitted=False)]
    assert agenda(with_lines(*lines, event=None), SEED_TAKES_6, TODAY) == ()
    spare = the_item(with_lines(a_line(Status.ORDERED, arrives=EVENT + timedelta(9), fitted=False)))
    assert spare.kind is ItemKind.ARRIVES  # it comes, and the car does not wait for it


def test_a_plan_for_a_part_in_the_drawer_is_not_to_be_ordered() -> None:
    for leads in (SEED_TAKES_6, Leads()):
        found = agenda(with_lines(a_line(fitted=False)), leads, TODAY)
        assert [one.kind for one in found] == [ItemKind.EVENT]


def test_what_is_made_is_not_ordered() -> None:
    build = with_lines(Line("body", "Long tail", supplier="Seed box"))
    recipe = Recipe((Flat("cloth", price_each=D(9)),))
    body = with_recipe(build.parts["body"], recipe, "EUR", TODAY)
    build = replace(build, parts={**build.parts, "body": body})
    assert [one.kind for one in agenda(build, SEED_TAKES_6, TODAY)] == [ItemKind.EVENT]


def test_a_missing_price_or_rate_is_an_item() -> None:
    here = a_line(Status.OWNED)
    no_price = the_item(with_lines(replace(here, unit_price=None)))
    assert (no_price.kind, no_price.day) == (ItemKind.NO_PRICE, None)
    assert no_price.text == "Greenhouse 3100 counts as nothing so far: no price"
    assert "no rate for USD" in the_item(with_lines(replace(here, currency="USD"))).text


def test_the_soonest_stands_first_and_what_has_no_day_last() -> None:
    build = with_lines(
        replace(a_line(Status.OWNED), unit_price=None),
        a_line(Status.ORDERED),
        a_line(),
        a_line(Status.ORDERED, arrives=date(2027, 3, 20)),
        a_line(Status.ORDERED, arrives=date(2027, 3, 1)),
    )
    build = replace(
        build, lines=(*build.lines[:1], replace(build.lines[1], supplier="?"), *build.lines[2:])
    )
    found = agenda(build, SEED_TAKES_6, TODAY)
    assert [(item.kind, item.index) for item in found] == [
        (ItemKind.OVERDUE, 4),
        (ItemKind.ARRIVES, 3),
        (ItemKind.ORDER_BY, 2),
        (ItemKind.EVENT, None),
        (ItemKind.NO_DAY, 1),
        (ItemKind.NO_PRICE, 0),
    ]


def test_without_an_event_nothing_is_to_be_ordered_by_a_day() -> None:
    assert agenda(with_lines(a_line(), event=None), SEED_TAKES_6, TODAY) == ()
