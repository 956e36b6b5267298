"""Layout of spending over time: axes, steps, lines from order to arrival, and their words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.charts.axes import upright_axis
from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import Frame, Label, Layout, RingStyle, Scale
from pennyspeed.desktop.charts.textures import HATCHED, Fill
from pennyspeed.desktop.widgets.theme import RIGHT, px, words
from pennyspeed.domain.money.days import MONTHS, say_day, say_days
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.timeline import Span, Steps
from pennyspeed.services.charts.axes import decimals, round_step, ticks
from pennyspeed.services.charts.chart import Stroke
from pennyspeed.services.charts.spending import Spending
from pennyspeed.services.charts.spending_steps import Step, steps_of

FEW_DAYS, FEW_TICKS = 45, 5
SIDE, LEFT_SIDE, HEAD, FOOT = 24, 64, 44, 24
TITLE, HELP = "Spent over time", "what counts; each line runs from its order to its arrival"
FARTHEST = 64
"""Pixels from its step beyond which a label says nothing any more."""
SPENT = Stroke(1.0, "accent", is_crisp=True)
TRIED = Stroke(1.25, is_crisp=True)
PLANNED = Stroke(1.5, "accent", is_crisp=True)
GONE = Stroke(3.0, "accent", is_crisp=True)
CAP, EVENT, TODAY = Stroke(2.0, is_crisp=True), Stroke(2.0), Stroke(1.0, "ink2")
TRIED_RING = RingStyle(3.5, 1.5, "ink")


@dataclass(frozen=True, slots=True)
class Way:
    """One line from its order to its arrival, at the height of its step."""

    span: Span
    start: QPointF
    end: QPointF
    days_late: int

    @property
    def is_planned(self) -> bool:
        """Whether there is no order yet."""
        return self.span.entry.line.status is Status.PLANNED


@dataclass(slots=True)
class SpendingLayout(Layout):
    """Where everything stands, in pixels."""

    month_marks: list[float] = field(default_factory=list)
    signs: list[QPointF] = field(default_factory=list)
    gone: list[QPointF] = field(default_factory=list)
    spent: list[QPointF] = field(default_factory=list)
    planned: list[QPointF] = field(default_factory=list)
    ghost: list[QPointF] = field(default_factory=list)
    points: list[tuple[QPointF, Step]] = field(default_factory=list)
    ways: list[Way] = field(default_factory=list)
    today: float = 0.0
    event: float | None = None
    cap: float | None = None


def lay_out(shown: Spending, size: QSizeF) -> SpendingLayout:
    """Return the layout in a widget of that size; empty where nothing was written down."""
    layout = SpendingLayout()
    if shown.steps.spans:
        _Maker(layout, shown, size)
    return layout


def _together(steps: Steps) -> list[tuple[date, int]]:
    """Return the days with all that counts up to each."""
    sums = zip(steps.spent, steps.promised, steps.planned, strict=True)
    return [(day, sum(parts)) for day, parts in zip(steps.days, sums, strict=True)]


class _Maker:
    """Lays out step by step: axes, curves, then words from the most to the least important."""

    def __init__(self, layout: SpendingLayout, shown: Spending, size: QSizeF) -> None:
        self.layout, self.shown, self.unit = layout, shown, shown.unit
        self.steps = steps_of(shown.steps)
        layout.end, layout.stops = shown.place(shown.last), shown.stops()
        self._frame(size)
        self.frame = layout.frames[0]
        self.scale, self.box = self.frame.scale, self.frame.scale.frame
        self.labels = FrameLabels(layout, self.frame)
        self._day_axis()
        self._curves()
        self._ways()
        self._title(size)
        self._lines()
        self._late()
        self._step_labels()

    def _frame(self, size: QSizeF) -> None:
        """Make the frame, with the axis of money and the cap on it."""
        layout, shown, cap = self.layout, self.shown, self.shown.book.cap
        sums = [
            0,
            *(sum_ for _, sum_ in _together(shown.steps)),
            *(one.level for one in self.steps),
        ]
        if cap is not None:
            sums.append(cap.minor)
        if shown.ghost is not None:
            sums.append(_together(shown.ghost)[-1][1])
        high, low = max(1.08 * max(sums) * self.unit, self.unit), min(sums) * self.unit
        step = round_step(high - low, FEW_TICKS)
        number = shown.measures.number
        wide = max(words(number(one, decimals(step))).width for one in ticks(low, high, step))
        cap_text = None
        if cap is not None:
            is_whole = cap.amount == int(cap.amount)
            text = number(cap.amount) if is_whole else shown.measures.money(cap, False)
            cap_text = words(text, "label_strong")
            wide = max(wide, cap_text.width)
        left = max(px(LEFT_SIDE), px(SIDE) + wide + px(8))
        box = QRectF(
            left, px(HEAD), size.width() - left - px(SIDE), size.height() - px(HEAD) - px(FOOT)
        )
        frame = Frame.over(Scale(box, max((shown.last - shown.first).days, 1), low, high), 4.0)
        frame.clip = box.adjusted(0, -px(8), px(8), px(2))
        layout.frames.append(frame)
        figures = upright_axis(frame, step, shown.measures)
        if cap is not None and cap_text is not None:
            layout.cap = frame.scale.y(cap.minor * self.unit)
            frame.levels.append((layout.cap, CAP))
            base = layout.cap + cap_text.ascent / 2 - px(2)
            figures = [one for one in figures if abs(one.baseline - base) >= px(16)]
            figures.append(Label(cap_text, box.left() - px(8), base, "ink", RIGHT))
        layout.labels += figures

    def _x(self, day: date) -> float:
        return self.scale.x(self.shown.place(day))

    def _day_axis(self) -> None:
        base, edge = self.box.bottom() + px(18), -1e9
        for day, is_long in _tick_days(self.shown):
            x = self._x(day)
            (self.layout.month_marks if is_long else self.frame.marks).append(x)
            if is_long:
                month = MONTHS[day.month - 1]
                text = words(month if day.day == 1 else f"{day.day} {month[:3]}")
                at = x + px(4) if day.day == 1 else x - text.width / 2
                if at > edge and at + text.width <= self.box.right():
                    self.layout.labels.append(Label(text, at, base, "ink3"))
                    edge = at + text.width + px(10)

    def _staircase(self, sums: Iterable[tuple[date, int]], until: date) -> list[QPointF]:
        """Return a line that is level but for its steps, from the first day to `until`."""
        level, line = 0.0, [QPointF(self.box.left(), self.scale.y(0.0))]
        for day, amount in sums:
            if day <= until:
                x, height = self._x(day), amount * self.unit
                line += [QPointF(x, self.scale.y(level)), QPointF(x, self.scale.y(height))]
                level = height
        line.append(QPointF(self._x(until), self.scale.y(level)))
        return line

    def _draw(self, line: list[QPointF], stroke: Stroke) -> None:
        self.frame.lines.append((QPolygonF(line), stroke))
        self.frame.placer.take_line(
            np.array([at.x() for at in line]), np.array([at.y() for at in line])
        )

    def _curves(self) -> None:
        layout, frame, shown, steps = self.layout, self.frame, self.shown, self.shown.steps
        sums = [a + b for a, b in zip(steps.spent, steps.promised, strict=True)]
        gone = list(zip(steps.days, sums, strict=True))
        changes = [day for (day, sum_), last in zip(gone, [0, *sums], strict=False) if sum_ != last]
        # Somebody may note today what is to be paid later.
        until = max([steps.today, *changes])
        layout.gone = self._staircase(gone, until)
        if any(steps.promised):
            layout.spent = self._staircase(zip(steps.days, steps.spent, strict=True), until)
            outline = QPolygonF([*layout.gone, *reversed(layout.spent)])
            frame.fills.append(Fill(outline, HATCHED))
            frame.lines.append((QPolygonF(layout.spent), SPENT))
        layout.today = self._x(steps.today)
        ahead = [pair for pair in _together(steps) if pair[0] >= steps.today]
        line = self._staircase(ahead, shown.last)
        # It begins today, at the height of today's sum.
        layout.planned = [QPointF(layout.today, line[2].y()), *line[3:]]
        self._draw(layout.gone, GONE)
        self._draw(layout.planned, PLANNED)
        if shown.ghost is not None:
            inside = [one for one in _together(shown.ghost) if one[0] >= shown.first]
            layout.ghost = self._staircase(inside, shown.last)
            frame.lines.append((QPolygonF(layout.ghost), TRIED))
            frame.rings.append((layout.ghost[-1], TRIED_RING))
        for one, colour in ((steps, "accent"), (shown.ghost, "ink")):
            if one is not None:
                frame.read.append((*shown.heights(one), colour))
        for step in self.steps:
            if step.amount:
                at = QPointF(self._x(step.day), self.scale.y(step.level * self.unit))
                layout.points.append((at, step))
                frame.placer.take_rect(QRectF(at.x() - px(7), at.y() - px(7), px(14), px(14)))

    def _ways(self) -> None:
        event = self.shown.event
        for step in self.steps:
            y = self.scale.y(step.level * self.unit)
            for span in step.spans:
                late, start = self.shown.days_late(span), span.start
                if span.entry.line.status is Status.PLANNED:
                    # There is no order yet; what is late is so from the event on.
                    start = event if late and event is not None else span.end
                x0, x1 = self._x(start), self._x(span.end)
                if span.end > start:
                    self.layout.ways.append(Way(span, QPointF(x0, y), QPointF(x1, y), late))
                    box = QRectF(x0, y - px(4), max(x1 - x0, 1.0), px(8))
                    self.frame.placer.take_rect(box)

    # Words -------------------------------------------------------------------------------

    def _title(self, size: QSizeF) -> None:
        title, help_text, base = words(TITLE, "heading"), words(HELP), px(26)
        self.layout.labels.append(Label(title, px(SIDE), base, "ink"))
        start = px(SIDE) + title.width + px(16)
        if start + help_text.width <= size.width() - px(SIDE):
            self.layout.labels.append(Label(help_text, start, base, "ink2"))

    def _lines(self) -> None:
        """Draw today and the event, and name them and the cap."""
        layout, shown, box, frame = self.layout, self.shown, self.box, self.frame
        if layout.cap is not None:
            frame.placer.take_rect(QRectF(box.left(), layout.cap - px(2), box.width(), px(4)))
        frame.uprights.append((layout.today, box.top() - px(4), box.bottom(), TODAY))
        frame.placer.take_rect(QRectF(layout.today - px(2), box.top(), px(4), box.height()))
        today = shown.steps.today
        if shown.event is not None:
            x = layout.event = self._x(shown.event)
            frame.uprights.append((x - px(1), box.top() - px(12), box.bottom(), EVENT))
            frame.placer.take_rect(QRectF(x - px(3), box.top(), px(6), box.height()))
            self._beside_line(f"speed day, {say_day(shown.event, today)}", x, "ink")
        self._beside_line(f"today, {say_day(today, today)}", layout.today, "ink2")
        if layout.cap is not None:
            near = QPointF(box.left() + px(8), layout.cap + px(4))
            self.labels.put_near(words("cap", "label_strong"), near, 0.0, "ink")

    def _beside_line(self, name: str, x: float, colour: str) -> None:
        """Name an upright line, before it where there is room and nothing else."""
        text = words(name, "label_strong")
        top = self.box.bottom() - px(8) - text.height
        corners = [(x - px(8) - text.width, top), (x + px(8), top)]
        if not self.labels.put(text, self.labels.first_free(text, corners), colour):
            self.labels.put_near(text, QPointF(*corners[0]), 0.0, colour)

    def _late(self) -> None:
        """Say of what is ordered how late it is."""
        late = [way for way in self.layout.ways if way.days_late and not way.is_planned]
        for days in sorted({way.days_late for way in late}):
            end = next(way.end for way in late if way.days_late == days)
            self._put_late(f"{say_days(days)} late", QPointF(end.x() - px(16), end.y() + px(6)))

    def _step_labels(self) -> None:
        """Name the steps, the largest first: where room is scarce, they are worth the most."""
        late_by = {id(way.span): way.days_late for way in self.layout.ways if way.days_late}
        for at, step in sorted(self.layout.points, key=lambda pair: -abs(pair[1].amount)):
            name = f"{step.name} {self.shown.money(step.amount)}"
            near = QPointF(at.x() + px(8), at.y() + px(6))
            own = [late_by[id(span)] for span in step.spans if id(span) in late_by]
            if own and step.spans[0].entry.line.status is Status.PLANNED:
                self._put_late(f"{name}, {say_days(max(own))} late", near)
                continue
            text = words(name)
            if near.x() + text.width > self.box.right():
                near = QPointF(at.x() - px(10) - text.width, at.y() - px(6) - text.height)
            spot = self.frame.placer.find(text.width, text.height, near)
            if spot is not None and (spot.topLeft() - near).manhattanLength() <= px(FARTHEST):
                self.labels.put(text, spot, "ink2")

    def _put_late(self, name: str, near: QPointF) -> None:
        """Place the sign of what is late and its words."""
        text = words(name, "label_strong")
        wide = text.width + px(20)
        near.setX(min(near.x(), self.box.right() - wide))
        spot = self.frame.placer.place(wide, text.height, near)
        if spot is not None:
            self.layout.signs.append(QPointF(spot.left(), spot.center().y()))
            self.labels.put(text, spot.adjusted(px(20), 0, 0, 0), "watch")


def _tick_days(shown: Spending) -> list[tuple[date, bool]]:
    """Return the days that have a mark, and whether it is a long one with a name."""
    count = (shown.last - shown.first).days
    days = [shown.first + timedelta(days=i) for i in range(count + 1)]
    if count <= FEW_DAYS:
        return [(day, True) for day in days if day.weekday() == 0]
    if count <= 250:
        return [(day, day.day == 1) for day in days if day.day == 1 or day.weekday() == 0]
    return [(day, True) for day in days if day.day == 1]
