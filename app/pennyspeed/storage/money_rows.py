"""Rows of money <-> domain objects: lines, orders, exchange rates, suppliers.

Amounts, rates and quantities are decimal text, so that a sum of them is what it was when it was
typed.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order, Rate, ShareBy

EMPTY = "{}"


_Readers: TypeAlias = Mapping[str, Callable[[Any], Any] | None]
"""How the value of an attribute comes out of its column; None is as it stands there."""

_day = date.fromisoformat
_STORED: Mapping[type, Callable[[Any], Any]] = {
    Decimal: str,
    date: date.isoformat,
    bool: int,
    Status: str,
    ShareBy: str,
}
"""How a value goes into its column, by its type; the others go as they are."""

_LINE: _Readers = {
    "part": None,
    "name": None,
    "quantity": Decimal,
    "unit_price": Decimal,
    "status": Status,
    "counts": bool,
    "supplier": None,
    "order": None,
    "arrives": _day,
    "currency": None,
    "rate": Decimal,
    "rate_on": _day,
    "ordered": _day,
    "arrived": _day,
    "came": Decimal,
    "refund": Decimal,
    "mass_g": Decimal,
    "fitted": bool,
}
_ORDER: _Readers = {
    "reference": None,
    "supplier": None,
    "currency": None,
    "rate": Decimal,
    "rate_on": _day,
    "postage": Decimal,
    "duty": Decimal,
    "discount": Decimal,
    "share_by": ShareBy,
    "ordered": _day,
    "expected": _day,
    "arrived": _day,
    "note": None,
}
_SUPPLIER: _Readers = {
    "name": None,
    "currency": None,
    "postage": Decimal,
    "free_from": Decimal,
    "lead_days": None,
    "duty_percent": Decimal,
    "note": None,
}

# "order" is a word of SQL.
LINE_COLUMNS = (*("order_number" if key == "order" else key for key in _LINE), "unknown_keys")
ORDER_COLUMNS = (*_ORDER, "unknown_keys")
RATE_COLUMNS = ("currency", "rate", "on_date", "source")
SUPPLIER_COLUMNS = tuple(_SUPPLIER)


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
    *values, unknown = row
    return Line(**_read(_LINE, values), unknown_keys=_unknown_keys(unknown))


def line_values(line: Line) -> tuple[Any, ...]:
    """Return the line's columns, in the order of `LINE_COLUMNS`."""
    unknown = json_text(line.unknown_keys, f"further keys of {line.name}")
    return (*_stored(_LINE, line), unknown)


def order_of(row: Sequence[Any]) -> Order:
    """Return the order in a row of `ORDER_COLUMNS`."""
    *values, unknown = row
    return Order(**_read(_ORDER, values), unknown_keys=_unknown_keys(unknown))


def order_values(order: Order) -> tuple[Any, ...]:
    """Return the order's columns, in the order of `ORDER_COLUMNS`."""
    unknown = json_text(order.unknown_keys, f"further keys of order {order.reference}")
    return (*_stored(_ORDER, order), unknown)


def rate_of(row: Sequence[Any]) -> Rate:
    """Return the exchange rate in a row of `RATE_COLUMNS`."""
    currency, rate, on, source = row
    return Rate(currency, Decimal(rate), date.fromisoformat(on), source)


def rate_values(rate: Rate) -> tuple[Any, ...]:
    """Return the rate's columns, in the order of `RATE_COLUMNS`."""
    return rate.currency, str(rate.rate), rate.on.isoformat(), rate.source


def supplier_of(row: Sequence[Any]) -> Supplier:
    """Return the supplier in a row of `SUPPLIER_COLUMNS`."""
    return Supplier(**_read(_SUPPLIER, row))


def supplier_values(supplier: Supplier) -> dict[str, Any]:
    """Return the supplier's columns."""
    return dict(zip(_SUPPLIER, _stored(_SUPPLIER, supplier), strict=True))


def _read(readers: _Readers, row: Sequence[Any]) -> dict[str, Any]:
    return {
        key: value if value is None or read is None else read(value)
        for (key, read), value in zip(readers.items(), row, strict=True)
    }


def _stored(keys: Iterable[str], held: object) -> list[Any]:
    values = []
    for key in keys:
        value = getattr(held, key)
        stored = _STORED.get(type(value))
        values.append(value if stored is None else stored(value))
    return values


def _unknown_keys(text: str) -> dict[str, Any]:
    return {} if text == EMPTY else json.loads(text)
