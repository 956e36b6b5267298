"""Entries of a build's book, and sums of them, in minor units of the build's currency."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pennyspeed.domain.money.lines import Line
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order

ALONE = -1
"""Index of an entry of an order that none of the lines bears."""


# Not frozen, which would take longer than everything else that is done for a line.
@dataclass(slots=True)
class Entry:
    """One line as the book has it; amounts in minor units of the build's currency."""

    line: Line
    index: int
    """Of the line in the build; `ALONE` for the costs of an order without lines."""
    counts: bool
    """Toward the cap."""
    order: Order | None
    goods: int | None
    """Without its share of an order; None without a price or a rate."""
    order_share: int
    total: int
    """Of what is known; always spent + promised + planned."""
    spent: int
    promised: int
    planned: int
    why: str
    """Why something is not known: "no price", "no rate for USD"; "" where all is."""

    @property
    def supplier(self) -> str:
        """Who sells it; the order's where the line names nobody."""
        return self.line.supplier or ("" if self.order is None else self.order.supplier)


@dataclass(slots=True)
class Sum:
    """Minor units by how sure it is that they go."""

    spent: int = 0
    promised: int = 0
    planned: int = 0

    @property
    def total(self) -> int:
        """All of it."""
        return self.spent + self.promised + self.planned

    def add(self, entry: Entry) -> None:
        self.spent += entry.spent
        self.promised += entry.promised
        self.planned += entry.planned


@dataclass(frozen=True, slots=True)
class Sums:
    """What counts toward the cap, and what does not."""

    counted: Sum
    uncounted: Sum

    @property
    def whole(self) -> Sum:
        """Both together."""
        one, other = self.counted, self.uncounted
        return Sum(
            one.spent + other.spent, one.promised + other.promised, one.planned + other.planned
        )

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Sums:
        found = cls(Sum(), Sum())
        for entry in entries:
            (found.counted if entry.counts else found.uncounted).add(entry)
        return found

    @property
    def total(self) -> int:
        """Everything."""
        return self.counted.total + self.uncounted.total


def left_out_words(unpriced: int, unrated: int) -> str:
    """Return what a sum leaves out: so many lines without a price, so many without a rate.

    >>> left_out_words(2, 1), left_out_words(0, 1), left_out_words(0, 0)
    ('and 2 lines without a price, 1 without a rate', 'and 1 line without a rate', '')
    """
    told: list[str] = []
    for count, what in ((unpriced, "price"), (unrated, "rate")):
        if count:
            line = "" if told else " line" if count == 1 else " lines"
            told.append(f"{count}{line} without a {what}")
    return f"and {', '.join(told)}" if told else ""


@dataclass(frozen=True)
class Costs:
    """Sums over a build's lines, in its currency."""

    counted: Money
    """Every line that counts toward the cap, whatever its status."""
    uncounted: Money
    spent: Money
    """Of what counts: here, or paid for and gone."""
    promised: Money
    """Of what counts: ordered and not here."""
    planned: Money
    """Of what counts: not ordered yet."""
    cap: Money | None
    left: Money | None
    """Of the cap; None without one."""
    unpriced: tuple[str, ...]
    """Counted lines whose cost is not known, by name."""
    unrated: int
    """How many of these have a price, and no rate for its currency."""

    @property
    def left_out(self) -> str:
        """What the sums leave out, to follow them: "and 1 line without a price"; "" for nothing."""
        return left_out_words(len(self.unpriced) - self.unrated, self.unrated)
