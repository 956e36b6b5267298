"""A build: parts in slots, the road it is for, its target and its money, as one value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pennyspeed.domain import conditions
from pennyspeed.domain.fields import Field
from pennyspeed.domain.kinds import BY_KEY, EXTRAS, SLOTS
from pennyspeed.domain.money import DEFAULT_CURRENCY, Money
from pennyspeed.domain.parts import Part
from pennyspeed.domain.units import KMH

TARGET = Field(
    "target_kmh",
    "target",
    "target",
    "The speed that the car is to reach.",
    KMH,
    low_open=True,
    high=1e4,
)

QUANTITY = Field(
    "quantity",
    "quantity",
    "quantity",
    "How many are bought.",
    default=1,
    high=1e6,
    decimals=2,
)


class Status(StrEnum):
    """Where a line stands."""

    PLANNED = "planned"
    ORDERED = "ordered"
    RECEIVED = "received"
    OWNED = "owned"
    MADE = "made"


@dataclass(frozen=True)
class Line:
    """One line of a build's money.

    Attributes
    ----------
    part : str
        Slot it belongs to, "extras", or "" for a thing that is in no slot.
    unit_price : Decimal or None
        In the build's currency; None is not known.
    counts : bool
        Toward the cap.
    arrives : date or None
        When it comes, or came.
    """

    part: str
    name: str
    quantity: Decimal = Decimal(1)
    unit_price: Decimal | None = None
    status: Status = Status.PLANNED
    counts: bool = True
    supplier: str = ""
    order: str = ""
    arrives: date | None = None
    unknown_keys: Mapping[str, Any] = field(default_factory=dict)

    @property
    def called(self) -> str:
        """What a sentence calls it: its name, else its slot."""
        return self.name or self.part or "Something without a name"

    def cost(self, currency: str) -> Money | None:
        """Return quantity × unit price, rounded half up; None where the price is not known."""
        if self.unit_price is None:
            return None
        return Money.of(self.quantity * self.unit_price, currency)


@dataclass(frozen=True)
class Build:
    """One build as a value: every change returns a new one.

    Attributes
    ----------
    parts : mapping
        Slot to part; an empty slot is absent.
    extras : tuple of Part
    conditions : mapping
        Only what is given; see :mod:`pennyspeed.domain.conditions`.
    cap : Money or None
        In `currency`.
    code : str
        Short id that a printed sheet carries and that reopens the build; "" before it is stored.
    revision : int
        Rises with every stored change.
    unknown_keys : mapping
        Key path of the enclosing object ("" for the top) to what it held beside our keys.
    """

    name: str
    target_kmh: float | None = None
    parts: Mapping[str, Part] = field(default_factory=dict)
    extras: tuple[Part, ...] = ()
    conditions: Mapping[str, float] = field(default_factory=dict)
    currency: str = DEFAULT_CURRENCY
    cap: Money | None = None
    lines: tuple[Line, ...] = ()
    event_date: date | None = None
    unknown_keys: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    id: int | None = field(default=None, compare=False)
    code: str = field(default="", compare=False)
    revision: int = field(default=0, compare=False)

    def part(self, slot: str) -> Part | None:
        """Return the part in a slot, or None."""
        return self.parts.get(slot)

    def condition(self, key: str) -> float:
        """Return a condition, its default where none is given."""
        return conditions.value(self.conditions, key)

    @property
    def empty_slots(self) -> tuple[str, ...]:
        """Slots that hold nothing, in order."""
        return tuple(slot for slot in SLOTS if slot not in self.parts)

    def line(self, slot: str) -> Line | None:
        """Return the first money line of a slot, or None."""
        return next((line for line in self.lines if line.part == slot), None)

    def with_part(self, part: Part) -> Build:
        """Return the build with `part` in its slot, and the slot's line of money renewed.

        An extra is added beside the others.
        """
        line = line_for(part, self.currency)
        if part.kind.many:
            return replace(self, extras=(*self.extras, part), lines=(*self.lines, line))
        lines = list(self.lines)
        for i, old in enumerate(lines):
            if old.part == part.kind_key:
                lines[i] = line
                break
        else:
            lines.append(line)
        return replace(self, parts={**self.parts, part.kind_key: part}, lines=tuple(lines))

    def without_part(self, slot: str) -> Build:
        """Return the build with that slot and its line of money empty."""
        return replace(
            self,
            parts={key: part for key, part in self.parts.items() if key != slot},
            lines=tuple(line for line in self.lines if line.part != slot),
        )

    def without_extra(self, index: int) -> Build:
        """Return the build without one extra and its line of money."""
        gone = self.extras[index]
        lines = list(self.lines)
        for i, line in enumerate(lines):
            if line.part == EXTRAS.key and line.name == gone.name:
                del lines[i]
                break
        return replace(
            self, extras=self.extras[:index] + self.extras[index + 1 :], lines=tuple(lines)
        )

    def with_condition(self, key: str, value: float | None) -> Build:
        """Return the build with one condition changed; None goes back to its default."""
        checked = conditions.BY_KEY[key].checked(value, conditions.BY_KEY[key].label)
        given = {k: v for k, v in self.conditions.items() if k != key}
        if checked is not None:
            assert isinstance(checked, int | float)
            given[key] = checked
        return replace(self, conditions=given)


def line_for(part: Part, currency: str) -> Line:
    """Return the line of money that a part brings into a build."""
    price = part.price
    known = price is not None and price.amount.currency == currency
    return Line(
        part.kind_key,
        part.name,
        unit_price=price.amount.amount if price is not None and known else None,
        counts=BY_KEY[part.kind_key].counts,
        supplier=price.supplier if price is not None else "",
    )
