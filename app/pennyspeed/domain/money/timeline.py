"""The timeline: what a build has cost by when, spent, promised and planned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import Book, Entry
from pennyspeed.domain.money.lines import OPEN, Status


@dataclass(frozen=True, slots=True)
class Span:
    """One entry from the day its money goes, or its order, to its arrival."""

    entry: Entry
    start: date
    end: date


@dataclass(frozen=True)
class Steps:
    """Sums at the end of each day on which one changes, in minor units of the build's currency.

    The last ones are the book's own sums.
    """

    today: date
    days: tuple[date, ...]
    """Rising; `today` is one of them."""
    spent: tuple[int, ...]
    promised: tuple[int, ...]
    planned: tuple[int, ...]
    spans: tuple[Span, ...]
    """In the order of the book's entries."""


def timeline(build: Build, found: Book, today: date, counts: bool = True) -> Steps:
    """Return the steps of what counts toward the cap, or of what does not.

    Money is spent and promised on the day of the order. Where that is not known, spent money goes
    with the arrival, or on the first day of all (an owned thing was there from the start), and
    promised money today. Planned money goes when the thing is to be here; without a day on that of
    the event, and never before today.
    """
    entries = [entry for entry in found.entries if entry.counts is counts]
    known = [day for entry in entries for day in (_went(build, entry),) if day is not None]
    first = min([today, *known])
    spans = tuple(_span(build, entry, first, today) for entry in entries)
    days = tuple(sorted({today, *(_step(span) for span in spans)}))
    place = {day: i for i, day in enumerate(days)}

    def summed(amounts: Sequence[int]) -> tuple[int, ...]:
        steps = [0] * len(days)
        for span, amount in zip(spans, amounts, strict=True):
            steps[place[_step(span)]] += amount
        return tuple(accumulate(steps))

    return Steps(
        today,
        days,
        summed([entry.spent for entry in entries]),
        summed([entry.promised for entry in entries]),
        summed([entry.planned for entry in entries]),
        spans,
    )


def _went(build: Build, entry: Entry) -> date | None:
    """Return the day on which an entry's money went; None where it did not, or nobody knows."""
    line, order = entry.line, entry.order
    if line.status is Status.PLANNED:
        return None
    ordered = line.ordered or (None if order is None else order.ordered)
    return ordered or (None if line.status in OPEN else build.arrived_on(line))


def _span(build: Build, entry: Entry, first: date, today: date) -> Span:
    line, order = entry.line, entry.order
    comes = line.arrives or (None if order is None else order.expected)
    if line.status is Status.PLANNED:
        end = max(comes or build.event_date or today, today)
        return Span(entry, today, end)
    open_ = line.status in OPEN
    start = _went(build, entry) or (today if open_ else first)
    end = (comes if open_ else build.arrived_on(line) or comes) or start
    return Span(entry, start, max(start, end))


def _step(span: Span) -> date:
    """Return the day on which an entry's money is added."""
    return span.end if span.entry.line.status is Status.PLANNED else span.start
