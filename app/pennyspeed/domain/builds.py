"""A build: parts in slots, the road it is for, its target and its money, as one value."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from pennyspeed.domain import conditions
from pennyspeed.domain.kinds import NEEDED
from pennyspeed.domain.money.lines import QUANTITY as QUANTITY
from pennyspeed.domain.money.lines import Line as Line
from pennyspeed.domain.money.lines import Status as Status
from pennyspeed.domain.money.money import DEFAULT_CURRENCY, Money
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.domain.money.purchases import Purchases, line_for, taken_back
from pennyspeed.domain.parts.fields import Field
from pennyspeed.domain.parts.parts import Part
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


@dataclass(frozen=True)
class Build(Purchases):
    """One build as a value: every change returns a new one."""

    name: str
    target_kmh: float | None = None
    parts: Mapping[str, Part] = field(default_factory=dict)
    """Slot to part; an empty slot is absent."""
    extras: tuple[Part, ...] = ()
    conditions: Mapping[str, float] = field(default_factory=dict)
    """Only what is given; see :mod:`pennyspeed.domain.conditions`."""
    currency: str = DEFAULT_CURRENCY
    cap: Money | None = None
    """In `currency`."""
    lines: tuple[Line, ...] = ()
    event_date: date | None = None
    unknown_keys: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    """Key path of the enclosing object ("" for the top) to what it held beside our keys."""
    orders: tuple[Order, ...] = ()
    """No two of one reference."""
    rates: tuple[Rate, ...] = ()
    """Of other currencies, into `currency`."""
    id: int | None = field(default=None, compare=False)
    code: str = field(default="", compare=False)
    """Short id that a printed sheet carries and that reopens the build; "" before it is stored."""
    revision: int = field(default=0, compare=False)
    """Rises with every stored change."""
    counted_kinds: Mapping[str, bool] = field(default_factory=dict, compare=False)
    """Which kinds of parts count toward the cap, as chosen in its file; others as they declare."""

    def part(self, slot: str) -> Part | None:
        """Return the part in a slot, or None."""
        return self.parts.get(slot)

    def condition(self, key: str) -> float:
        """Return a condition, its default where none is given."""
        return conditions.value(self.conditions, key)

    @property
    def empty_slots(self) -> tuple[str, ...]:
        """Slots that hold nothing and that the car is not whole without, in order."""
        return tuple(slot for slot in NEEDED if slot not in self.parts)

    def with_part(self, part: Part) -> Build:
        """Return the build with `part` in its slot, and the slot's line of money renewed.

        A line that is only planned makes way; what is bought goes into the drawer, and money spent
        stays spent. A part that lies in the drawer comes back with its own line. An extra is added
        beside the others.
        """
        slot, lines = part.kind_key, list(self.lines)
        back = self.bought_before(part)
        old = None if part.kind.many else self.fitted_line(slot)
        if back is not None:
            lines[back] = taken_back(lines[back], part, self.currency)
            if old is not None and old != back:
                lines[old : old + 1] = self.put_aside(lines[old])
        else:
            place = len(lines) if old is None else old
            kept = [] if old is None else self.put_aside(lines[old])
            lines[place : place + 1] = [line_for(part, self.currency, self.counts(slot)), *kept]
        if part.kind.many:
            return replace(self, extras=(*self.extras, part), lines=tuple(lines))
        return replace(self, parts={**self.parts, slot: part}, lines=tuple(lines))

    def with_parts(self, parts: Iterable[Part]) -> Build:
        """Return the build with parts put in, one after the other."""
        build = self
        for part in parts:
            build = build.with_part(part)
        return build

    def without_part(self, slot: str) -> Build:
        """Return the build with that slot empty, and what was bought for it in the drawer."""
        lines: list[Line] = []
        for line in self.lines:
            lines += self.put_aside(line) if line.part == slot and line.fitted else [line]
        return replace(
            self,
            parts={key: part for key, part in self.parts.items() if key != slot},
            lines=tuple(lines),
        )

    def without_extra(self, index: int) -> Build:
        """Return the build without one extra; what was bought is in the drawer."""
        lines = list(self.lines)
        place = self.line_of_extra(index)
        if place is not None:
            lines[place : place + 1] = self.put_aside(lines[place])
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

    def with_careful_driver(self) -> Build:
        """Return the build with what a new one reckons with where nothing was given.

        Reaction time, reserve, and how much a day varies.
        """
        return replace(self, conditions={**conditions.OF_A_NEW_BUILD, **self.conditions})
