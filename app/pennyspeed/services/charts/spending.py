"""Spending over time: sums by day, what happens on a day, table and summary."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book, book
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import OPEN, Status
from pennyspeed.domain.money.timeline import Span, Steps, timeline
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.table import DayTable, head

NOTHING = "Nothing of this build has been written down as money yet."
MOST_TOLD = 3
"""Lines of a day that are named; more are counted."""


@dataclass(frozen=True)
class Spending:
    """A build's money by day; the ghost is the same car with a part tried."""

    build: Build
    book: Book
    steps: Steps
    measures: Measures
    ghost: Steps | None = None
    ghost_name: str = ""

    @property
    def event(self) -> date | None:
        return self.build.event_date

    @property
    def unit(self) -> float:
        """What one minor unit is of the currency."""
        return float(self.book.money(1).amount)

    @cached_property
    def first(self) -> date:
        """The day on which the chart begins."""
        days = [*self.steps.days, *(span.start for span in self.steps.spans)]
        return min(days) - timedelta(days=2)

    @cached_property
    def last(self) -> date:
        """The day on which it ends."""
        days = [*self.steps.days, *(span.end for span in self.steps.spans), self.steps.today]
        if self.event is not None:
            days.append(self.event)
        return max(max(days) + timedelta(days=3), self.first + timedelta(days=14))

    def place(self, day: date) -> float:
        """Return how many days after the first a day is."""
        return float((day - self.first).days)

    def day(self, place: float) -> date:
        return self.first + timedelta(days=round(place))

    def stops(self) -> list[float]:
        """Return the places of the days on which something happens, rising."""
        days = {*self.steps.days, *(span.end for span in self.steps.spans)}
        if self.event is not None:
            days.add(self.event)
        return sorted(self.place(day) for day in days)

    def heights(self, steps: Steps) -> tuple[FloatArray, FloatArray]:
        """Return every day's place with the sum of all that counts up to it, in the currency."""
        places = np.arange(self.place(self.last) + 1)
        sums = [sum(sums_at(steps, self.day(place))) * self.unit for place in places]
        return places, np.array(sums)

    def days_late(self, span: Span) -> int:
        """Return how many days after the event something comes that is not here yet."""
        is_open = span.entry.line.status in OPEN
        return max((span.end - self.event).days, 0) if is_open and self.event is not None else 0

    def money(self, minor: int) -> str:
        """Return an amount in minor units without its currency."""
        return self.measures.money(self.book.money(minor), False)

    def rows(self, day: date) -> list[tuple[str, ...]]:
        """Return the sums up to a day, and what happens on it."""
        now = sums_at(self.steps, day)
        rows: list[tuple[str, ...]] = [
            (label, self.money(amount))
            for label, amount in zip(("spent", "promised", "planned"), now, strict=True)
        ]
        together = ("together", self.money(sum(now)))
        tried = () if self.ghost is None else (self.money(sum(sums_at(self.ghost, day))),)
        rows.append((*together, *tried))
        if self.book.cap is not None:
            rows.append(("left of the cap", self.money(self.book.cap.minor - sum(now))))
        return rows + self._happens(day)

    def _happens(self, day: date) -> list[tuple[str, ...]]:
        """Return what is ordered or comes on a day."""
        told: list[tuple[str, ...]] = []
        for span in self.steps.spans:
            line, amount = span.entry.line, self.money(span.entry.total)
            if span.start == day and span.end > day and line.status is not Status.PLANNED:
                told.append(("ordered", f"{line.called} {amount}"))
            elif span.end == day:
                verb = "comes" if line.status in OPEN else line.status.value
                told.append((verb, f"{line.called} {amount}"))
        if len(told) > MOST_TOLD:
            rest = f"{len(told) - MOST_TOLD + 1} more lines"
            return [*told[: MOST_TOLD - 1], ("and", rest)]
        return told

    def summary(self) -> str:
        """Return the whole chart in sentences."""
        found, steps, event = self.book, self.steps, self.event
        if not steps.spans:
            return NOTHING
        texts = [
            f"today, {say_day(steps.today, steps.today)}: spent {self.money(found.spent.minor)}",
            f"promised {self.money(found.promised.minor)}",
            f"planned {self.money(found.planned.minor)}",
            f"together {self.measures.money(found.counted)} {found.left_out}".rstrip(),
        ]
        if found.cap is not None:
            texts.append(f"cap {self.measures.money(found.cap)}")
        if event is not None:
            texts.append(f"speed day, {say_day(event, steps.today)}")
        texts += [
            f"{span.entry.line.called} {say_days(late)} late"
            for span in steps.spans
            if (late := self.days_late(span))
        ]
        if self.ghost is not None:
            tried = sums_at(self.ghost, date.max)
            texts.append(f"with {self.ghost_name} {self.money(sum(tried))}")
        return "; ".join(texts) + "."

    def table(self) -> DayTable | None:
        """Return the sums by day; None where nothing was written down."""
        steps, currency = self.steps, self.book.currency
        if not steps.spans:
            return None
        sums = [np.array(one) for one in (steps.spent, steps.promised, steps.planned)]
        names = ("spent", "promised", "planned", "together")
        return DayTable(
            ("day", *(head(name, currency) for name in names)),
            (*sums, sums[0] + sums[1] + sums[2]),
            steps.days,
            -int(self.book.money(1).amount.as_tuple().exponent),
        )


def spending(
    build: Build, measures: Measures, today: date, tried: Build | None, tried_name: str
) -> Spending:
    """Return what a build costs by day, and what it would with a part tried."""
    found = book(build)
    ghost = None if tried is None else timeline(tried, book(tried), today)
    return Spending(build, found, timeline(build, found, today), measures, ghost, tried_name)


def sums_at(steps: Steps, day: date) -> tuple[int, int, int]:
    """Return what is spent, promised and planned up to and including a day, in minor units."""
    place = sum(one <= day for one in steps.days) - 1
    if place < 0:
        return 0, 0, 0
    return steps.spent[place], steps.promised[place], steps.planned[place]
