"""Pieces of the bar of money: a line each, and what the sums would be with other parts."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.money.book import Book
from pennyspeed.services.money.money_words import slot_label
from pennyspeed.services.money.status_circles import FULL, HALF, OPEN


@dataclass(frozen=True, slots=True)
class Segment:
    """One line's piece of the bar, in minor units from its start.

    Attributes
    ----------
    sign : str
        Full, half or open: spent, promised or planned.
    """

    label: str
    sign: str
    start: float
    end: float


def segments(found: Book) -> list[Segment]:
    """Return the pieces of what counts: all that is spent, then promised, then planned.

    What lowers a sum has no piece; the pieces of its sum are that much narrower.
    """
    pieces, edge = [], 0.0
    for sign, key in ((FULL, "spent"), (HALF, "promised"), (OPEN, "planned")):
        parts = [
            (slot_label(entry.line) or entry.line.called, getattr(entry, key))
            for entry in found.entries
            if entry.counts and getattr(entry, key) > 0
        ]
        whole = sum(amount for _, amount in parts)
        total = max(getattr(found.sums.counted, key), 0)
        start = edge
        for label, amount in parts:
            end = edge + amount * total / whole
            pieces.append(Segment(label, sign, edge, end))
            edge = end
        edge = start + total
    return pieces


@dataclass(frozen=True, slots=True)
class WouldBe:
    """What the sums would be with other parts.

    Attributes
    ----------
    name : str
        "with Larch 36-3300", or a held build's letter and name.
    """

    name: str
    book: Book
