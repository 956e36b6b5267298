"""Rows of money <-> domain objects: lines, orders, exchange rates, suppliers.

Amounts, rates and quantities are decimal text, so that a sum of them is what it was when it was
typed.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order, Rate, ShareBy

LINE_COLUMNS = (
    "part",
    "name",
    "quantity",
    "unit_price",
    "status",
    "counts",
    "supplier",
    "order_number",
    "arrives",
    "unknown_keys",
    "currency",
    "rate",
    "rate_on",
    "ordered",
    "arrived",
    "came",
    "refund",
    "mass_g",
    "fitted",
)
ORDER_COLUMNS = (
    "reference",
    "supplier",
    "currency",
    "rate",
    "rate_on",
    "postage",
    "duty",
    "discount",
    "share_by",
    "ordered",
    "expected",
    "arrived",
    "note",
    "unknown_keys",
)
RATE_COLUMNS = ("currency", "rate", "on_date", "source")
SUPPLIER_COLUMNS = (
    "name",
    "currency",
    "postage",
    "free_from",
    "lead_days",
    "duty_percent",
    "note",
)
EMPTY = "{}"


def json_text(value: Any, place: str) -> str:
    """Return `value` as the JSON that is stored; BadInput where it cannot be JSON."""
    if not value:
        return EMPTY
    try:
        return json.dumps(value, separators=(",", ":"), allow_nan=False, default=dict)
    except (TypeError, ValueError, RecursionError):
        raise BadInput(place, value, "what JSON can hold") from None


def line_of(row: Sequence[Any]) -> Line:
    """Return the line of money in a row of `LINE_COLUMNS`."""
    (part, name, quantity, price, status, counts, supplier, order, arrives, unknown, *more) = row
    (currency, rate, rate_on, ordered, arrived, came, refund, mass, fitted) = more
    return Line(
        part=part,
        name=name,
        quantity=Decimal(quantity),
        unit_price=_amount(price),
        status=Status(status),
        counts=counts == 1,
        supplier=supplier,
        order=order,
        arrives=_day(arrives),
        unknown_keys={} if unknown == EMPTY else json.loads(unknown),
        currency=currency,
        rate=_amount(rate),
        rate_on=_day(rate_on),
        ordered=_day(ordered),
        arrived=_day(arrived),
        came=_amount(came),
        refund=_amount(refund),
        mass_g=_amount(mass),
        fitted=fitted == 1,
    )


def line_values(line: Line) -> tuple[Any, ...]:
    """Return the line's columns, in the order of `LINE_COLUMNS`."""
    return (
        line.part,
        line.name,
        str(line.quantity),
        _text(line.unit_price),
        line.status.value,
        int(line.counts),
        line.supplier,
        line.order,
        _iso(line.arrives),
        json_text(line.unknown_keys, f"further keys of {line.name}"),
        line.currency,
        _text(line.rate),
        _iso(line.rate_on),
        _iso(line.ordered),
        _iso(line.arrived),
        _text(line.came),
        _text(line.refund),
        _text(line.mass_g),
        int(line.fitted),
    )


def order_of(row: Sequence[Any]) -> Order:
    """Return the order in a row of `ORDER_COLUMNS`."""
    (reference, supplier, currency, rate, rate_on, postage, duty, discount, share_by, *more) = row
    ordered, expected, arrived, note, unknown = more
    return Order(
        reference,
        supplier,
        currency,
        _amount(rate),
        _day(rate_on),
        Decimal(postage),
        Decimal(duty),
        Decimal(discount),
        ShareBy(share_by),
        _day(ordered),
        _day(expected),
        _day(arrived),
        note,
        {} if unknown == EMPTY else json.loads(unknown),
    )


def order_values(order: Order) -> tuple[Any, ...]:
    """Return the order's columns, in the order of `ORDER_COLUMNS`."""
    return (
        order.reference,
        order.supplier,
        order.currency,
        _text(order.rate),
        _iso(order.rate_on),
        str(order.postage),
        str(order.duty),
        str(order.discount),
        order.share_by.value,
        _iso(order.ordered),
        _iso(order.expected),
        _iso(order.arrived),
        order.note,
        json_text(order.unknown_keys, f"further keys of order {order.reference}"),
    )


def rate_of(row: Sequence[Any]) -> Rate:
    """Return the exchange rate in a row of `RATE_COLUMNS`."""
    currency, rate, on, source = row
    return Rate(currency, Decimal(rate), date.fromisoformat(on), source)


def rate_values(rate: Rate) -> tuple[Any, ...]:
    """Return the rate's columns, in the order of `RATE_COLUMNS`."""
    return rate.currency, str(rate.rate), rate.on.isoformat(), rate.source


def supplier_of(row: Sequence[Any]) -> Supplier:
    """Return the supplier in a row of `SUPPLIER_COLUMNS`."""
    name, currency, postage, free_from, lead_days, duty, note = row
    return Supplier(
        name, currency, Decimal(postage), _amount(free_from), lead_days, Decimal(duty), note
    )


def supplier_values(supplier: Supplier) -> dict[str, Any]:
    """Return the supplier's columns."""
    return {
        "name": supplier.name,
        "currency": supplier.currency,
        "postage": str(supplier.postage),
        "free_from": _text(supplier.free_from),
        "lead_days": supplier.lead_days,
        "duty_percent": str(supplier.duty_percent),
        "note": supplier.note,
    }


def _amount(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


def _text(amount: Decimal | None) -> str | None:
    return None if amount is None else str(amount)


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
