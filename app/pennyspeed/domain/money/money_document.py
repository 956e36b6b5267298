"""The build file's part about money: lines, orders and exchange rates as JSON values, and back.

::

    "lines":  [{"part", "name", "quantity", "unit_price", "status", "counts", "supplier", "order",
                "arrives", and what differs from its default of: "currency", "rate", "rate_on",
                "ordered", "arrived", "came", "refund", "mass_g", "fitted"}]
    "orders": [{"reference", "supplier", and what differs: "currency", "rate", "rate_on", "postage",
                "duty", "discount", "share_by", "ordered", "expected", "arrived", "note"}]
    "rates":  [{"currency", "rate", "on", "source"}]

Amounts and rates are decimal text, dates ISO 8601. Orders and rates are left out where there are
none, so that a file that needs neither is the same as it always was.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from decimal import Decimal
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.document_values import (
    amount,
    amount_not_negative,
    choice,
    currency_of,
    day_of,
    decimal_number,
    differing,
    exact_number,
    flag,
    list_of,
    number,
    object_of,
    or_none,
    rate,
    text_of,
    unknown,
)
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.lines import MASS, QUANTITY, Line, Status
from pennyspeed.domain.money.orders import Order, Rate, ShareBy

_LINE_KEYS, _ORDER_KEYS = (
    tuple(field.name for field in fields(of) if field.name != "unknown_keys")
    for of in (Line, Order)
)


def lines_from_document(money: Mapping[str, Any]) -> tuple[Line, ...]:
    """Return the lines of a document's money, or raise BadInput."""
    place = "money.lines"
    return tuple(
        _line(line, f"{place}[{i}]") for i, line in enumerate(list_of(money.get("lines"), place))
    )


def orders_from_document(money: Mapping[str, Any]) -> tuple[Order, ...]:
    """Return the orders of a document's money, or raise BadInput."""
    place, found = "money.orders", list[Order]()
    for i, data in enumerate(list_of(money.get("orders"), place)):
        order = _order(data, f"{place}[{i}]")
        if any(one.reference == order.reference for one in found):
            raise BadInput(
                f"{place}[{i}].reference", order.reference, "a reference that no other order has"
            )
        found.append(order)
    return tuple(found)


def rates_from_document(money: Mapping[str, Any]) -> tuple[Rate, ...]:
    """Return the exchange rates of a document's money, or raise BadInput."""
    place, found = "money.rates", list[Rate]()
    for i, data in enumerate(list_of(money.get("rates"), place)):
        one = _rate(data, f"{place}[{i}]")
        if any((one.currency, one.on) == (other.currency, other.on) for other in found):
            raise BadInput(f"{place}[{i}].on", one.on.isoformat(), "one rate a day and currency")
        found.append(one)
    return tuple(found)


def money_document(build: Build) -> dict[str, Any]:
    """Return lines, orders and rates as JSON values."""
    document: dict[str, Any] = {"lines": [_line_document(line) for line in build.lines]}
    if build.orders:
        document["orders"] = [_order_document(order) for order in build.orders]
    if build.rates:
        document["rates"] = [_rate_document(one) for one in build.rates]
    return document


def _line(data: object, place: str) -> Line:
    line = object_of(data, place, "an object with one line of money")
    given = number(QUANTITY.checked(line.get("quantity"), f"{place}.quantity"))
    quantity = Decimal(1) if given is None else exact_number(given)
    came = None
    if line.get("came") is not None:
        came = number(QUANTITY.checked(line["came"], f"{place}.came"))
        if came is not None and exact_number(came) > quantity:
            raise BadInput(f"{place}.came", line["came"], f"at most the quantity, {quantity}")
    mass = number(MASS.checked(line.get("mass_g"), f"{place}.mass_g"))
    return Line(
        part=text_of(line.get("part"), f"{place}.part"),
        name=text_of(line.get("name"), f"{place}.name"),
        quantity=quantity,
        unit_price=amount(line.get("unit_price"), f"{place}.unit_price"),
        status=choice(line.get("status"), f"{place}.status", Status.PLANNED),
        counts=flag(line.get("counts"), f"{place}.counts", True),
        supplier=text_of(line.get("supplier"), f"{place}.supplier"),
        order=text_of(line.get("order"), f"{place}.order"),
        arrives=day_of(line.get("arrives"), f"{place}.arrives"),
        unknown_keys=unknown(line, _LINE_KEYS),
        currency=currency_of(line.get("currency"), f"{place}.currency"),
        rate=rate(line.get("rate"), f"{place}.rate"),
        rate_on=day_of(line.get("rate_on"), f"{place}.rate_on"),
        ordered=day_of(line.get("ordered"), f"{place}.ordered"),
        arrived=day_of(line.get("arrived"), f"{place}.arrived"),
        came=None if came is None else exact_number(came),
        refund=amount_not_negative(line.get("refund"), f"{place}.refund"),
        mass_g=None if mass is None else exact_number(mass),
        fitted=flag(line.get("fitted"), f"{place}.fitted", True),
    )


def _line_document(line: Line) -> dict[str, Any]:
    document: dict[str, Any] = {
        "part": line.part,
        "name": line.name,
        "quantity": decimal_number(line.quantity),
        "unit_price": _text(line.unit_price),
        "status": line.status.value,
        "counts": line.counts,
        "supplier": line.supplier,
        "order": line.order,
        "arrives": _day(line.arrives),
    }
    document |= differing(
        {
            "currency": line.currency,
            "rate": _text(line.rate),
            "rate_on": _day(line.rate_on),
            "ordered": _day(line.ordered),
            "arrived": _day(line.arrived),
            "came": or_none(decimal_number, line.came),
            "refund": _text(line.refund),
            "mass_g": or_none(decimal_number, line.mass_g),
            "fitted": line.fitted,
        },
        {"currency": "", "fitted": True},
    )
    return document | dict(line.unknown_keys)


def _order(data: object, place: str) -> Order:
    order = object_of(data, place, "an object with one order")
    reference = text_of(order.get("reference"), f"{place}.reference")
    if not reference:
        raise BadInput(f"{place}.reference", order.get("reference"), "the order's reference")

    def cost(key: str) -> Decimal:
        return amount_not_negative(order.get(key), f"{place}.{key}") or Decimal(0)

    return Order(
        reference,
        supplier=text_of(order.get("supplier"), f"{place}.supplier"),
        currency=currency_of(order.get("currency"), f"{place}.currency"),
        rate=rate(order.get("rate"), f"{place}.rate"),
        rate_on=day_of(order.get("rate_on"), f"{place}.rate_on"),
        postage=cost("postage"),
        duty=cost("duty"),
        discount=cost("discount"),
        share_by=choice(order.get("share_by"), f"{place}.share_by", ShareBy.VALUE),
        ordered=day_of(order.get("ordered"), f"{place}.ordered"),
        expected=day_of(order.get("expected"), f"{place}.expected"),
        arrived=day_of(order.get("arrived"), f"{place}.arrived"),
        note=text_of(order.get("note"), f"{place}.note"),
        unknown_keys=unknown(order, _ORDER_KEYS),
    )


def _order_document(order: Order) -> dict[str, Any]:
    document = {"reference": order.reference, "supplier": order.supplier}
    document |= differing(
        {
            "currency": order.currency,
            "rate": _text(order.rate),
            "rate_on": _day(order.rate_on),
            "postage": _text(order.postage or None),
            "duty": _text(order.duty or None),
            "discount": _text(order.discount or None),
            "share_by": order.share_by.value,
            "ordered": _day(order.ordered),
            "expected": _day(order.expected),
            "arrived": _day(order.arrived),
            "note": order.note,
        },
        {"currency": "", "share_by": ShareBy.VALUE.value, "note": ""},
    )
    return document | dict(order.unknown_keys)


def _rate(data: object, place: str) -> Rate:
    given = object_of(data, place, "an object with one exchange rate")
    currency = currency_of(given.get("currency"), f"{place}.currency")
    worth = rate(given.get("rate"), f"{place}.rate")
    on = day_of(given.get("on"), f"{place}.on")
    if not currency:
        raise BadInput(f"{place}.currency", given.get("currency"), "a currency's code such as USD")
    if worth is None:
        raise BadInput(f"{place}.rate", None, 'a rate as decimal text such as "0.92"')
    if on is None:
        raise BadInput(f"{place}.on", None, "a date such as 2027-04-10")
    return Rate(currency, worth, on, text_of(given.get("source"), f"{place}.source"))


def _rate_document(one: Rate) -> dict[str, Any]:
    document = {"currency": one.currency, "rate": _text(one.rate), "on": one.on.isoformat()}
    return document | ({"source": one.source} if one.source else {})


def _text(amount: Decimal | None) -> str | None:
    return None if amount is None else f"{amount:f}"


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
