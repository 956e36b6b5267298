"""Costs: what a build's lines add up to, against its cap."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.money import Money


@dataclass(frozen=True)
class Costs:
    """Sums over a build's lines, in its currency."""

    counted: Money
    """Every line that counts, whatever its status."""
    uncounted: Money
    spent: Money
    """Of what counts: here, or paid for and gone."""
    promised: Money
    """Ordered and not here."""
    planned: Money
    """Not ordered yet."""
    cap: Money | None
    left: Money | None
    """Of the cap; None without one."""
    unpriced: tuple[str, ...]
    """Counted lines whose cost is not known, by name."""


def costs(build: Build) -> Costs:
    """Return the sums over the build's :mod:`~pennyspeed.domain.money.book`."""
    found = book(build)
    return Costs(
        found.counted,
        found.uncounted,
        found.spent,
        found.promised,
        found.planned,
        found.cap,
        found.left,
        found.unpriced,
    )
