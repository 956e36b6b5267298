"""What a person types: amounts keep every digit, days are read in any of the ways people write."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import read_day
from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.names import free_name
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.editing import offer_fields, order_fields, rate_fields
from pennyspeed.services.editing.amounts import read_amount, read_money, read_price
from pennyspeed.services.editing.build_fields import Cap
from pennyspeed.services.editing.line_fields import LineItem
from pennyspeed.services.editing.part_fields import form_fields, read_part, with_typed

TODAY = date(2027, 1, 15)
TOO_FINE = ("0.30000000000000004", "9007199254740993.01", "0.1234567890123")
"""What a float would round, and an amount has no room for."""
PLAIN = Measures()


def typed_in_cap(text: str) -> object:
    return Cap().take(Build("one"), text, PLAIN).cap


def typed_in_line(key: str) -> Callable[[str], object]:
    def take(text: str) -> object:
        line = Line("", "screws", unit_price=Decimal(1), currency="USD")
        return LineItem(key, 0).take(Build("one", lines=(line,)), text, PLAIN).lines[0]

    return take


def typed_in_part(text: str) -> object:
    return with_typed(Part("motor", "one"), "price", text, "", "EUR", PLAIN).price


def typed_in_offer(text: str) -> object:
    price = Price(Money(100, "EUR"), TODAY)
    return offer_fields.with_typed(price, "price", text, "EUR", PLAIN, TODAY)


def typed_in_rate(text: str) -> object:
    texts = {"rate": text, "currency": "USD", "on": "", "source": ""}
    return rate_fields.rates_typed(texts, (), Build("one"), PLAIN).after.rates


EVERYWHERE = {
    "cap": typed_in_cap,
    "price": typed_in_line("price"),
    "quantity": typed_in_line("quantity"),
    "rate of a line": typed_in_line("rate"),
    "price of a part": typed_in_part,
    "offer": typed_in_offer,
    "rate": typed_in_rate,
}


@pytest.mark.parametrize("text", TOO_FINE)
@pytest.mark.parametrize("place", EVERYWHERE)
def test_what_an_amount_has_no_room_for_is_refused_not_rounded(place: str, text: str) -> None:
    with pytest.raises(BadInput, match=text):
        EVERYWHERE[place](text)


@pytest.mark.parametrize("place", ["rate of a line", "rate"])
def test_a_rate_is_more_than_nothing(place: str) -> None:
    with pytest.raises(BadInput, match="more than 0"):
        EVERYWHERE[place]("0")


@pytest.mark.parametrize("place", ["cap", "price of a part", "offer"])
def test_money_finer_than_its_minor_unit_is_refused(place: str) -> None:
    with pytest.raises(BadInput, match="at most 2 decimals"):
        EVERYWHERE[place]("12.345")


def test_large_and_fine_amounts_keep_every_digit() -> None:
    # 2**53 + 1 is the first whole number that a float has not (IEEE 754).
    text = "900719925474099.31"
    assert typed_in_cap(text) == Money(90071992547409931, "EUR")
    assert read_amount("0.123456789", "price", PLAIN) == Decimal("0.123456789")
    line = typed_in_line("price")("0.3000001")
    assert isinstance(line, Line)
    assert line.unit_price == Decimal("0.3000001")


def test_a_quantity_has_a_limit() -> None:
    with pytest.raises(BadInput, match="'1000001' was given, expected a number from 0 to"):
        typed_in_line("quantity")("1000001")
    line = typed_in_line("quantity")("1000000")
    assert isinstance(line, Line)
    assert line.quantity == 1_000_000


@pytest.mark.parametrize("text", ["12.50 usd", "12.50USD", "12.50usd", "USD 12.50"])
def test_a_currency_may_stand_anywhere_in_any_case(text: str) -> None:
    assert read_price(text, "EUR", "price", PLAIN) == (Decimal("12.50"), "USD")


def test_an_unknown_currency_and_a_bad_amount_are_named_as_typed() -> None:
    with pytest.raises(BadInput, match="'DOLLARS' was given, expected a currency code"):
        read_price("12 dollars", "EUR", "price", PLAIN)
    with pytest.raises(BadInput, match="'1x USD' was given"):
        read_price("1x USD", "EUR", "price", PLAIN)
    with pytest.raises(BadInput, match="of 0 or more"):
        read_money("-1", "EUR", "price", PLAIN)


def test_a_cap_is_in_the_builds_currency() -> None:
    priced = Build("one", lines=(Line("", "screws", unit_price=Decimal(1)),))
    with pytest.raises(BadInput, match="an amount in EUR"):
        Cap().take(priced, "200 USD", PLAIN)
    assert typed_in_cap("200 eur") == Money(20000, "EUR")
    assert typed_in_cap("None") is None


@pytest.mark.parametrize(
    "text", ["10 Apr", "10 april 2027", "Apr 10, 2027", "10.4.27", "10/04/2027", "2027-04-10"]
)
def test_a_day_is_read_as_it_is_written_where_the_day_comes_first(text: str) -> None:
    assert read_day(text, "day", TODAY, "dmy") == date(2027, 4, 10)


def test_days_in_figures_follow_the_persons_order() -> None:
    assert read_day("4/10/27", "day", TODAY, "mdy") == date(2027, 4, 10)
    assert read_day("27/4/10", "day", TODAY, "ymd") == date(2027, 4, 10)
    with pytest.raises(BadInput):
        read_day("4/10/27", "day", TODAY)


@pytest.mark.parametrize(
    "text", ["10", "Ma 10", "32 April", "30 February", "April", "10 2027 April", "10 April 27"]
)
def test_what_names_no_single_day_is_refused(text: str) -> None:
    with pytest.raises(BadInput, match="a day such as 10 April"):
        read_day(text, "day", TODAY, "dmy")


def test_a_free_name_counts_on() -> None:
    assert free_name("shop", []) == "shop"
    assert free_name("shop", ["shop", "shop 2", "shop 3"]) == "shop 4"
    assert free_name("shop", ["shop"], "{} ({})") == "shop (2)"


@pytest.mark.parametrize("kind", BY_KEY)
def test_a_part_reads_back_as_its_fields_show_it(kind: str) -> None:
    part = a_build().parts.get(kind) or Part(kind, "one")
    fields = form_fields(part.kind, part, "EUR", PLAIN)
    texts = {field.key: field.text for field in fields}
    sources = {field.key: field.source if field.sources else "" for field in fields}
    again, faults = read_part(part, texts, sources, "EUR", PLAIN)
    needed = {field.key for field in part.kind.fields if field.required} - set(part.figures)
    assert set(faults) == needed
    assert again == part


def test_every_bad_figure_of_a_part_is_named_and_the_others_are_taken() -> None:
    motor = Part("motor", "one")
    fields = form_fields(motor.kind, motor, "EUR", PLAIN)
    texts = {field.key: field.text for field in fields}
    texts |= {"mass_g": "heavy", "price": "cheap", "name": " two "}
    part, faults = read_part(motor, texts, {}, "EUR", PLAIN)
    assert {"mass_g", "price"} <= set(faults)
    assert (part.name, part.price) == ("two", None)


def test_an_order_says_which_field_is_no_good() -> None:
    build = Build("one", lines=(Line("", "rod"), Line("", "nut", order="P-1")))
    order = order_fields.order_gathering(build, [0])
    texts = {field.key: field.text for field in order_fields.form_fields(order, build, PLAIN)}
    for changed, place in (
        ({}, "reference"),
        ({"reference": "P-1", "postage": "-1"}, "postage"),
        ({"reference": "P-1", "rate": "1.1"}, "rate"),
        ({"reference": "P-1", "expected": "soon"}, "expected on"),
    ):
        with pytest.raises(BadInput) as told:
            order_fields.order_typed(texts | changed, None, [0], build, PLAIN)
        assert told.value.place == place
    made = order_fields.order_typed(texts | {"reference": "P-1"}, None, [0], build, PLAIN)
    assert [line.order for line in made.after.lines] == ["P-1", "P-1"]
    assert order_fields.lines_said(made.after, made.after.orders[0], []) == "of rod, nut"
