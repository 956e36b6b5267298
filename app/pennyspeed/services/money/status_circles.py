"""Circles of money: open, half, full or crossed, by how far a purchase is."""

from __future__ import annotations

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.money.lines import GONE, HERE, Status

FULL, HALF, OPEN, CROSSED = "full", "half", "open", "crossed"
WORDS = {FULL: "spent", HALF: "promised", OPEN: "planned"}
"""What each circle stands for in a sum."""


def sign_of(status: Status) -> str:
    """Return the circle of a status.

    >>> sign_of(Status.PLANNED), sign_of(Status.MADE), sign_of(Status.RETURNED)
    ('open', 'full', 'crossed')
    """
    if status in HERE:
        return FULL
    if status in GONE:
        return CROSSED
    return OPEN if status is Status.PLANNED else HALF


def sums_by_circle(found: Costs, measures: Measures) -> list[tuple[str, str, str]]:
    """Return circle, word and amount of what counts: spent, promised and planned."""
    sums = {FULL: found.spent, HALF: found.promised, OPEN: found.planned}
    return [(sign, WORDS[sign], measures.money(amount, False)) for sign, amount in sums.items()]
