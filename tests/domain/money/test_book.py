"""The book: every view of a build's money adds up to the same, to the minor unit."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from books import CURRENCIES, TODAY, random_build
from builds import a_build
from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import ALONE, Book, Sums, book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import GONE, Line, Status
from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.money.orders import Order, Rate, ShareBy
from pennyspeed.domain.money.timeline import timeline
from pennyspeed.domain.parts.ingredients import Printed
from pennyspeed.domain.parts.recipes import Recipe, with_recipe

MAY, JUNE = date(2027, 5, 1), date(2027, 6, 1)


def half_up(exact: Fraction) -> int:
    return floor(exact + Fraction(1, 2))


def exact_goods(build: Build, line: Line) -> Fraction | None:
    """What a line costs in minor units, worked out with fractions and without the book."""
    if line.unit_price is None:
        return Fraction(0) if line.status in GONE else None
    amount = Fraction(line.quantity) * Fraction(line.unit_price)
    if line.status is Status.CANCELLED:
        amount = Fraction(0) if line.refund is None else amount - Fraction(line.refund)
    if line.status is Status.RETURNED:
        amount -= Fraction(line.refund or 0)
    return in_minor_units(build, amount, line.currency, rates_of(build, line))


def rates_of(build: Build, line: Line) -> list[Decimal | None]:
    own = [order for order in build.orders if order.reference == line.order]
    at_order = [order.rate for order in own if order.currency == line.currency]
    ordered = line.ordered or (own[0].ordered if own else None)
    return [line.rate, *at_order, listed_rate(build, line.currency, ordered)]


def listed_rate(build: Build, currency: str, day: date | None) -> Decimal | None:
    rates = sorted((r for r in build.rates if r.currency == currency), key=lambda r: r.on)
    before = [rate for rate in rates if day is None or rate.on <= day]
    return (before or [*rates[:1]] or [None])[-1] and (before or rates[:1])[-1].rate


def in_minor_units(
    build: Build, amount: Fraction, currency: str, rates: Iterable[Decimal | None]
) -> Fraction | None:
    if currency not in ("", build.currency):
        rate = next((rate for rate in rates if rate is not None), None)
        if rate is None:
            return Fraction(0) if amount == 0 else None
        amount *= Fraction(rate)
    return amount * 10 ** digits(build.currency)


def order_costs(build: Build) -> int:
    """What all orders cost beside their goods, each rounded once."""
    total = 0
    for order in build.orders:
        amount = Fraction(order.postage) + Fraction(order.duty) - Fraction(order.discount)
        rates = [order.rate, listed_rate(build, order.currency, order.ordered)]
        total += half_up(in_minor_units(build, amount, order.currency, rates) or Fraction(0))
    return total


def total_of(groups: Iterable[Sums]) -> tuple[int, int, int, int]:
    found = list(groups)
    return (
        sum(group.counted.total for group in found),
        sum(group.uncounted.total for group in found),
        sum(group.counted.spent for group in found),
        sum(group.uncounted.promised for group in found),
    )


def sums_of(found: Book) -> tuple[int, int, int, int]:
    return total_of([found.sums])


@pytest.mark.parametrize("currency", CURRENCIES)
@settings(max_examples=340, deadline=None, suppress_health_check=list(HealthCheck))
@given(seed=st.integers(0, 2**63))
def test_every_view_of_any_book_adds_up_to_the_minor_unit(currency: str, seed: int) -> None:
    # 3 currencies × 340 × 10: more than ten thousand books.
    for number in range(10):
        check_every_view(random_build(seed + number, currency))


def check_every_view(build: Build) -> None:
    found = book(build)
    for counts in (True, False):
        lines = [line for line in build.lines if line.counts is counts]
        goods = [exact_goods(build, line) for line in lines]
        entries = [entry for entry in found.entries if entry.counts is counts]
        # Goods: the exact sum, rounded once.
        exact = sum((one for one in goods if one is not None), Fraction(0))
        assert sum(entry.goods or 0 for entry in entries) == half_up(exact)
        for entry, one in zip(entries, goods, strict=False):
            assert (entry.goods is None) == (one is None)
            assert one is None or abs((entry.goods or 0) - one) < 1
    # The table: line by line, whatever an order costs included.
    table = found.entries
    assert [entry.line for entry in table[: len(build.lines)]] == list(build.lines)
    for entry in table:
        assert entry.total == (entry.goods or 0) + entry.order_share
        assert entry.total == entry.spent + entry.promised + entry.planned
    assert sum(entry.order_share for entry in table) == order_costs(build)
    # The views.
    wanted = sums_of(found)
    assert wanted[:2] == (
        sum(entry.total for entry in table if entry.counts),
        sum(entry.total for entry in table if not entry.counts),
    )
    for groups in (found.by_kind(), found.by_supplier()):
        assert total_of(groups.values()) == wanted
    assert (found.counted.minor, found.uncounted.minor) == wanted[:2]
    for counts, total in ((True, wanted[0]), (False, wanted[1])):
        steps = timeline(build, found, TODAY, counts)
        assert steps.spent[-1] + steps.promised[-1] + steps.planned[-1] == total
        assert TODAY in steps.days
        assert list(steps.days) == sorted(set(steps.days))
    sums = costs(build)
    assert sums.counted == sums.spent + sums.promised + sums.planned == found.counted
    assert sums.uncounted == found.uncounted
    assert sums.left == (None if build.cap is None else build.cap - found.counted)
    # The file, read back.
    again = build_from_document(json.loads(json.dumps(document_from_build(build))))
    assert again == build
    assert book(again) == found


def a_line(price: str | None, **more: object) -> Line:
    found = Line("", "thing", unit_price=None if price is None else Decimal(price))
    return replace(found, **more)  # type: ignore[arg-type]


def minors(*lines: Line, **more: object) -> list[int]:
    build = replace(Build("b", lines=lines), **more)  # type: ignore[arg-type]
    return [entry.total for entry in book(build).entries]


def test_postage_is_shared_by_value_to_the_last_cent() -> None:
    # 4.99 over 19.99, 29.99 and 4.50, by hand: 1.83, 2.75, 0.41.
    order = Order("A", "Quay shop", postage=Decimal("4.99"))
    lines = [a_line(price, order="A") for price in ("19.99", "29.99", "4.50")]
    assert minors(*lines, orders=(order,)) == [1999 + 183, 2999 + 275, 450 + 41]


def test_postage_is_shared_by_mass_of_the_line_or_of_the_part_in_the_slot() -> None:
    build = a_build()  # its motor weighs 185 g
    order = Order("A", postage=Decimal("4.00"), share_by=ShareBy.MASS)
    motor = Line("motor", "Greenhouse 3100", unit_price=Decimal(60), order="A")
    screws = a_line("1.00", order="A", quantity=Decimal(3), mass_g=Decimal(5))
    found = book(replace(build, lines=(motor, screws), orders=(order,)))
    assert [entry.order_share for entry in found.entries] == [370, 30]  # 185 g to 15 g


def test_duty_adds_and_a_discount_takes_away() -> None:
    order = Order("A", postage=Decimal(5), duty=Decimal("2.50"), discount=Decimal(10))
    lines = [a_line(price, order="A") for price in ("30.00", "20.00")]
    assert minors(*lines, orders=(order,)) == [3000 - 150, 2000 - 100]


def test_a_cancelled_line_bears_nothing_of_its_order_and_a_returned_one_does() -> None:
    order = Order("A", postage=Decimal(6))
    stays = a_line("10.00", order="A", status=Status.RECEIVED)
    cancelled = a_line("10.00", order="A", status=Status.CANCELLED)
    returned = a_line("10.00", order="A", status=Status.RETURNED, refund=Decimal(10))
    assert minors(stays, cancelled, returned, orders=(order,)) == [1300, 0, 300]


def test_a_voucher_typed_as_a_line_bears_nothing_of_its_order() -> None:
    order = Order("A", postage=Decimal(6))
    goods = [a_line(price, order="A") for price in ("20.00", "10.00", "-5.00")]
    assert minors(*goods, orders=(order,)) == [2400, 1200, -500]


def test_refunds_come_off_and_none_means_all_of_it_only_where_it_was_cancelled() -> None:
    for status, refund, left in (
        (Status.CANCELLED, None, 0),
        (Status.CANCELLED, Decimal("7.50"), 250),
        (Status.RETURNED, None, 1000),
        (Status.RETURNED, Decimal("7.50"), 250),
    ):
        assert minors(a_line("10.00", status=status, refund=refund)) == [left]


def test_postage_of_an_order_whose_lines_are_all_cancelled_is_not_lost() -> None:
    order = Order("A", "Quay shop", postage=Decimal(6))
    gone = a_line("10.00", order="A", status=Status.CANCELLED)
    found = book(Build("b", lines=(gone,), orders=(order,)))
    assert found.counted == Money(600, "EUR")
    assert (found.entries[-1].index, found.entries[-1].spent) == (ALONE, 600)
    assert found.by_supplier()["Quay shop"].counted.spent == 600


def test_a_partial_delivery_is_spent_as_far_as_it_came() -> None:
    line = a_line("1.00", quantity=Decimal(3), status=Status.ORDERED, came=Decimal(2))
    (entry,) = book(Build("b", lines=(line,))).entries
    assert (entry.spent, entry.promised, entry.planned) == (200, 100, 0)


def test_a_line_keeps_its_currency_and_its_rate() -> None:
    rates = (Rate("USD", Decimal("0.90"), MAY), Rate("USD", Decimal("0.80"), JUNE))
    build = Build("b", rates=rates)
    planned = build.with_new_line(a_line("10.00", currency="USD"))
    assert planned.lines[0].rate is None
    assert book(planned).counted == Money(800, "EUR")  # the latest
    ordered = replace(planned.lines[0], status=Status.ORDERED, ordered=date(2027, 5, 20))
    bought = planned.with_line(0, ordered)
    assert (bought.lines[0].rate, bought.lines[0].rate_on) == (Decimal("0.90"), MAY)
    later = bought.with_rate(Rate("USD", Decimal("0.50"), MAY))
    assert book(later).counted == Money(900, "EUR")


def test_a_currency_without_a_rate_is_told_and_not_added() -> None:
    found = book(Build("b", lines=(a_line("10.00", currency="USD"), a_line("2.00"))))
    assert found.counted == Money(200, "EUR")
    assert found.entries[0].why == "no rate for USD"
    assert found.unpriced == ("thing",)


@pytest.mark.parametrize(
    ("currency", "price", "rate", "minor"),
    [
        # ISO 4217: no, two and three digits behind the point; worked by hand, halves upwards.
        ("JPY", "10.00", "155.25", 1553),
        ("EUR", "10.00", "0.92345", 923),
        ("EUR", "10.00", "0.92350", 924),
        ("KWD", "10.00", "0.30775", 3078),
    ],
)
def test_an_exchanged_amount_is_rounded_to_the_currencys_minor_unit(
    currency: str, price: str, rate: str, minor: int
) -> None:
    line = a_line(price, currency="USD", rate=Decimal(rate))
    assert book(Build("b", currency=currency, lines=(line,))).counted == Money(minor, currency)


def test_a_made_part_costs_what_its_recipe_comes_to() -> None:
    recipe = Recipe((Printed("shell", mass_g=Decimal(120), price_per_kg=Decimal(25)),))
    body = with_recipe(a_build().parts["body"], recipe, "EUR", MAY)
    build = Build("b").with_part(body)
    assert book(build).counted == Money(300, "EUR")
    dearer = Recipe((Printed("shell", mass_g=Decimal(120), price_per_kg=Decimal(30)),))
    again = replace(build, parts={"body": with_recipe(body, dearer, "EUR", JUNE)})
    assert book(again).counted == Money(360, "EUR")


def test_the_timeline_steps_at_the_order_and_ends_at_the_arrival() -> None:
    order = Order("A", postage=Decimal(1), ordered=MAY, expected=JUNE)
    lines = (
        a_line("10.00", order="A", status=Status.ORDERED),
        a_line("5.00", status=Status.OWNED),
        a_line("7.00", arrives=date(2027, 6, 10)),
        a_line("3.00"),
    )
    build = Build("b", lines=lines, orders=(order,), event_date=date(2027, 6, 20))
    steps = timeline(build, book(build), date(2027, 5, 15))
    assert steps.days == (MAY, date(2027, 5, 15), date(2027, 6, 10), date(2027, 6, 20))
    assert steps.spent == (500, 500, 500, 500)
    assert steps.promised == (1100, 1100, 1100, 1100)
    assert steps.planned == (0, 0, 700, 1000)
    assert (steps.spans[0].start, steps.spans[0].end) == (MAY, JUNE)
