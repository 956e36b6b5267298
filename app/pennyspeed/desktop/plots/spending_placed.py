"""What the spending plot shows, and what a layout of it consists of."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import cached_property

from PySide6.QtCore import QPointF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.placed import Placed
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book
from pennyspeed.domain.money.timeline import Span, Steps
from pennyspeed.services.money.money_rows import slot_label, step_day
from pennyspeed.services.money.status_circles import CROSSED, FULL, HALF, OPEN, sign_of


@dataclass(frozen=True)
class SpendingShown:
    """What the plot is asked to show; the ghost is the same car with a part tried."""

    build: Build
    book: Book
    steps: Steps
    measures: Measures
    ghost: Steps | None = None
    ghost_name: str = ""

    @property
    def event(self) -> date | None:
        """The day of the event."""
        return self.build.event_date

    @cached_property
    def first(self) -> date:
        """The day on which the plot begins."""
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
        """Return the day of a place."""
        return self.first + timedelta(days=round(place))


@dataclass(frozen=True, slots=True)
class Point:
    """One step: the day, the sum after it, and the lines that make it."""

    day: date
    level: int
    amount: int
    sign: str
    spans: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """One line from its order to its arrival, at the height of its step."""

    span: Span
    start: QPointF
    end: QPointF
    days_late: int


@dataclass(slots=True)
class SpendingLayout:
    """Where everything stands, in pixels."""

    scale: Scale
    grid: list[float] = field(default_factory=list)
    marks: list[float] = field(default_factory=list)
    long_marks: list[float] = field(default_factory=list)
    labels: list[Placed] = field(default_factory=list)
    signs: list[QPointF] = field(default_factory=list)
    gone: list[QPointF] = field(default_factory=list)
    spent: list[QPointF] = field(default_factory=list)
    planned: list[QPointF] = field(default_factory=list)
    ghost: list[QPointF] = field(default_factory=list)
    points: list[tuple[QPointF, Point]] = field(default_factory=list)
    ways: list[Way] = field(default_factory=list)
    today: float = 0.0
    event: float | None = None
    cap: float | None = None
    board: Board | None = None


def points_of(steps: Steps) -> list[Point]:
    """Return the steps in their order: of one day what is spent, then promised, then planned."""
    rank = [FULL, CROSSED, HALF, OPEN]
    groups: dict[tuple[date, int], list[Span]] = {}
    for span in steps.spans:
        key = step_day(span), rank.index(sign_of(span.entry.line.status))
        groups.setdefault(key, []).append(span)
    points, level = [], 0
    for (day, place), spans in sorted(groups.items(), key=lambda pair: pair[0]):
        amount = sum(span.entry.total for span in spans)
        level += amount
        points.append(Point(day, level, amount, rank[place], tuple(spans)))
    return points


def names_of(point: Point) -> str:
    """Return what makes a step, in words: two things by name, more by their number."""
    names = [slot_label(span.entry.line) or span.entry.line.called for span in point.spans]
    if len(names) <= 2:
        return " and ".join(names)
    return f"{len(names)} lines"


def sums_at(steps: Steps, day: date) -> tuple[int, int, int]:
    """Return what is spent, promised and planned up to and including a day, in minor units."""
    place = sum(one <= day for one in steps.days) - 1
    if place < 0:
        return 0, 0, 0
    return steps.spent[place], steps.promised[place], steps.planned[place]
