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

from collections.abc import Callable, Mapping
from dataclasses import fields
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.document_values import (
    amount,
    amount_not_negative,
    choice,
    currency_of,
    day_of,
    decimal_number,
    exact_number,
    flag,
    list_of,
    number,
    object_of,
    rate,
    text_of,
    unknown,
)
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.lines import MASS, QUANTITY, Line, Status
from pennyspeed.domain.money.orders import Order, Rate, ShareBy
from pennyspeed.domain.parts.fields import Field

_LINE: Mapping[str, Callable[[object, str], Any]] = {
    "part": text_of,
    "name": text_of,
    "unit_price": amount,
    "status": partial(choice, default=Status.PLANNED),
    "counts": partial(flag, default=True),
    "supplier": text_of,
    "order": text_of,
    "arrives": day_of,
    "currency": currency_of,
    "rate": rate,
    "rate_on": day_of,
    "ordered": day_of,
    "arrived": day_of,
    "refund": amount_not_negative,
    "fitted": partial(flag, default=True),
}
_NUMBERS = ("quantity", "came", "mass_g")
"""Of a line, plain numbers where other amounts are text."""

_ORDER: Mapping[str, Callable[[object, str], Any]] = {
    "supplier": text_of,
    "currency": currency_of,
    "rate": rate,
    "rate_on": day_of,
    "postage": amount_not_negative,
    "duty": amount_not_negative,
    "discount": amount_not_negative,
    "share_by": partial(choice, default=ShareBy.VALUE),
    "ordered": day_of,
    "expected": day_of,
    "arrived": day_of,
    "note": text_of,
}
_ALWAYS = {
    *("part", "name", "quantity", "unit_price", "status", "counts", "supplier", "order", "arrives"),
    "reference",
}
"""Keys that are written even at their default."""


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
    document: dict[str, Any] = {"lines": [_document(line) for line in build.lines]}
    if build.orders:
        document["orders"] = [_document(order) for order in build.orders]
    if build.rates:
        document["rates"] = [_rate_document(one) for one in build.rates]
    return document


def _line(data: object, place: str) -> Line:
    line = object_of(data, place, "an object with one line of money")
    quantity = _quantity(QUANTITY, line, "quantity", place)
    if quantity is None:
        quantity = Decimal(1)
    came = _quantity(QUANTITY, line, "came", place)
    if came is not None and came > quantity:
        raise BadInput(f"{place}.came", line["came"], f"at most the quantity, {quantity}")
    return Line(
        quantity=quantity,
        came=came,
        mass_g=_quantity(MASS, line, "mass_g", place),
        **_read(_LINE, line, place),
        unknown_keys=unknown(line, (*_LINE, *_NUMBERS)),
    )


def _order(data: object, place: str) -> Order:
    order = object_of(data, place, "an object with one order")
    reference = text_of(order.get("reference"), f"{place}.reference")
    if not reference:
        raise BadInput(f"{place}.reference", order.get("reference"), "the order's reference")
    given = _read(_ORDER, order, place)
    for key in ("postage", "duty", "discount"):
        given[key] = given[key] or Decimal(0)
    return Order(reference, **given, unknown_keys=unknown(order, ("reference", *_ORDER)))


def _quantity(field: Field, data: Mapping[str, Any], key: str, place: str) -> Decimal | None:
    given = number(field.checked(data.get(key), f"{place}.{key}"))
    return None if given is None else exact_number(given)


def _read(
    readers: Mapping[str, Callable[[object, str], Any]], data: Mapping[str, Any], place: str
) -> dict[str, Any]:
    return {key: read(data.get(key), f"{place}.{key}") for key, read in readers.items()}


def _document(held: Line | Order) -> dict[str, Any]:
    """Return a line or an order as JSON values, what is at its default left out."""
    document = {}
    for field in fields(held):
        key, value = field.name, getattr(held, field.name)
        if key != "unknown_keys" and (key in _ALWAYS or value != field.default):
            document[key] = _written(key, value)
    return document | dict(held.unknown_keys)


def _written(key: str, value: object) -> object:
    if isinstance(value, Decimal):
        return decimal_number(value) if key in _NUMBERS else f"{value:f}"
    if isinstance(value, StrEnum):
        return value.value
    return value.isoformat() if isinstance(value, date) else value


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
    document = {"currency": one.currency, "rate": f"{one.rate:f}", "on": one.on.isoformat()}
    return document | ({"source": one.source} if one.source else {})
