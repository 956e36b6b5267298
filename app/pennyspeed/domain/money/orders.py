"""Orders: what several lines share, and the exchange rates of a build."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any


class ShareBy(StrEnum):
    """By what the costs of an order are shared over its lines."""

    VALUE = "value"
    MASS = "mass"


@dataclass(frozen=True)
class Order:
    """One order from one supplier; its lines name its reference.

    Postage, duty and discount are of the whole order, each 0 or more. Its days hold for each line
    that has none of its own.
    """

    reference: str
    """No other order of the build has it."""
    supplier: str = ""
    currency: str = ""
    """Of its costs; "" is the build's."""
    rate: Decimal | None = None
    """As a line's."""
    rate_on: date | None = None
    postage: Decimal = Decimal(0)
    duty: Decimal = Decimal(0)
    discount: Decimal = Decimal(0)
    share_by: ShareBy = ShareBy.VALUE
    ordered: date | None = None
    expected: date | None = None
    arrived: date | None = None
    note: str = ""
    unknown_keys: Mapping[str, Any] = field(default_factory=dict)

    @property
    def costs(self) -> Decimal:
        """What comes on top of its lines, in its currency; below 0 where the discount is more."""
        return self.postage + self.duty - self.discount


@dataclass(frozen=True)
class Rate:
    """What one unit of a currency was worth on a day, in the build's currency."""

    currency: str
    rate: Decimal
    on: date
    source: str = ""


def rate_of(rates: Sequence[Rate], currency: str, on: date | None = None) -> Rate | None:
    """Return the latest rate on or before a day, else the earliest; without a day the latest."""
    own = [rate for rate in rates if rate.currency == currency]
    before = own if on is None else [rate for rate in own if rate.on <= on]
    if before:
        return max(before, key=lambda rate: rate.on)
    return min(own, key=lambda rate: rate.on, default=None)
