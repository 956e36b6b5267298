"""Costs: what a build's lines add up to, against its cap."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext

from pennyspeed.domain.builds import Build, Status
from pennyspeed.domain.money import Money

COMMITTED = (Status.RECEIVED, Status.OWNED, Status.MADE)
"""What is already here."""


@dataclass(frozen=True)
class Costs:
    """Sums over a build's lines, in its currency.

    Attributes
    ----------
    counted : Money
        Every line that counts, whatever its status.
    uncounted : Money
    received, ordered, planned : Money
        The counted sum by status; owned and made things are received.
    left : Money or None
        Of the cap; None without one.
    unpriced : tuple of str
        Counted lines without a price, by name.
    """

    counted: Money
    uncounted: Money
    received: Money
    ordered: Money
    planned: Money
    cap: Money | None
    left: Money | None
    unpriced: tuple[str, ...]


_PRECISION = 80
"""Digits in which sums are exact: price times quantity has at most 41."""


def costs(build: Build) -> Costs:
    """Return the sums over a build's lines: exact first, then rounded once each."""
    sums = dict.fromkeys(("uncounted", "received", "ordered", "planned"), Decimal(0))
    unpriced = []
    with localcontext(prec=_PRECISION):
        for line in build.lines:
            if line.unit_price is None:
                if line.counts:
                    unpriced.append(line.called)
                continue
            if not line.counts:
                key = "uncounted"
            elif line.status in COMMITTED:
                key = "received"
            else:
                key = "ordered" if line.status is Status.ORDERED else "planned"
            sums[key] += line.quantity * line.unit_price
        counted = sums["received"] + sums["ordered"] + sums["planned"]
        total = Money.of(counted, build.currency)
        money = {key: Money.of(amount, build.currency) for key, amount in sums.items()}
    left = None if build.cap is None else build.cap - total
    return Costs(total, cap=build.cap, left=left, unpriced=tuple(unpriced), **money)
