"""Offers: what suppliers ask for a part, and what they add for sending it.

An offer is a :class:`~pennyspeed.domain.parts.parts.Price`: the newest that a supplier asked
for a part.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import DEFAULT_CURRENCY, checked_currency
from pennyspeed.domain.parts.parts import Price, checked_name

STALE_AFTER_DAYS = 60
"""Days after which a price has to be asked for again (own judgement)."""

MOST_LEAD_DAYS = 3650
MOST_DUTY_PERCENT = Decimal(1000)


@dataclass(frozen=True)
class Supplier:
    """What somebody who sells parts adds to a price."""

    name: str
    """As prices and lines write it."""
    currency: str = DEFAULT_CURRENCY
    """Of `postage` and `free_from`."""
    postage: Decimal = Decimal(0)
    """For one parcel, however many parts are in it."""
    free_from: Decimal | None = None
    """Goods of this much and more are sent free; None where nothing is."""
    lead_days: int | None = None
    """From order to arrival, as the supplier says; None where nothing is said."""
    duty_percent: Decimal = Decimal(0)
    """Duty and tax on what the goods cost, in percent."""
    note: str = ""

    def checked(self) -> Supplier:
        """Return the supplier, or raise BadInput for what cannot be.

        >>> Supplier("Seed box", postage=Decimal("-1")).checked()
        Traceback (most recent call last):
        pennyspeed.domain.errors.BadInput: postage: '-1' was given, expected an amount of 0 or more.
        """
        checked_name(self.name, "supplier")
        checked_currency(self.currency, "currency")
        for place, amount in (("postage", self.postage), ("free from", self.free_from)):
            if amount is not None and not (amount.is_finite() and amount >= 0):
                raise BadInput(place, str(amount), "an amount of 0 or more")
        duty = self.duty_percent
        if not (duty.is_finite() and 0 <= duty <= MOST_DUTY_PERCENT):
            raise BadInput("duty", str(duty), f"a percentage from 0 to {MOST_DUTY_PERCENT}")
        if self.lead_days is not None and not 0 <= self.lead_days <= MOST_LEAD_DAYS:
            raise BadInput("lead time", self.lead_days, f"0 to {MOST_LEAD_DAYS} days")
        return self


def stale(price: Price, today: date) -> bool:
    """Tell whether a price is too old to be relied on."""
    return (today - price.on).days > STALE_AFTER_DAYS


def newest(prices: Iterable[Price]) -> tuple[Price, ...]:
    """Return the offers among prices: the newest of every supplier, by the supplier's name.

    Of two on one day the later in order stands.
    """
    latest: dict[str, Price] = {}
    for price in prices:
        held = latest.get(price.supplier)
        if held is None or price.on >= held.on:
            latest[price.supplier] = price
    return tuple(latest[name] for name in sorted(latest))
