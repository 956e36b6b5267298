"""Costs: what a build's lines add up to, against its cap."""

from __future__ import annotations

from dataclasses import dataclass

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


def costs(build: Build) -> Costs:
    """Return the sums over a build's lines."""
    sums = dict.fromkeys(("uncounted", "received", "ordered", "planned"), 0)
    unpriced = []
    for line in build.lines:
        cost = line.cost(build.currency)
        if cost is None:
            if line.counts:
                unpriced.append(line.name)
            continue
        if not line.counts:
            key = "uncounted"
        elif line.status in COMMITTED:
            key = "received"
        else:
            key = "ordered" if line.status is Status.ORDERED else "planned"
        sums[key] += cost.minor
    money = {key: Money(minor, build.currency) for key, minor in sums.items()}
    counted = money["received"] + money["ordered"] + money["planned"]
    left = None if build.cap is None else build.cap - counted
    return Costs(counted, cap=build.cap, left=left, unpriced=tuple(unpriced), **money)
