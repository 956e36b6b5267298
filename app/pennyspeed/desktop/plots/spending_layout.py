"""Where everything of the spending plot stands: axes, steps, lines from order to arrival."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.placed import Placed
from pennyspeed.desktop.plots.spending_labels import SIDE, put_labels, put_words
from pennyspeed.desktop.plots.spending_placed import (
    Point,
    SpendingLayout,
    SpendingShown,
    Way,
    points_of,
)
from pennyspeed.desktop.widgets.theme import RIGHT, Words, px, words
from pennyspeed.domain.money.days import MONTHS
from pennyspeed.domain.money.lines import OPEN as OPEN_STATUS
from pennyspeed.domain.money.lines import Status
from pennyspeed.services.axes import decimals, round_step, ticks

FEW_DAYS, FEW_TICKS = 45, 5
AXIS, HEAD = 24, 44


def lay_out(shown: SpendingShown, size: QSizeF) -> SpendingLayout:
    """Lay the plot out in `size`."""
    steps, book = shown.steps, shown.book
    sums = [
        0,
        *(a + b + c for a, b, c in zip(steps.spent, steps.promised, steps.planned, strict=True)),
    ]
    points = points_of(steps)
    sums += [point.level for point in points]
    if book.cap is not None:
        sums.append(book.cap.minor)
    if shown.ghost is not None:
        sums.append(shown.ghost.spent[-1] + shown.ghost.promised[-1] + shown.ghost.planned[-1])
    unit = float(book.money(1).amount)
    high, low = max(1.08 * max(sums) * unit, unit), min(sums) * unit
    step = round_step(high - low, FEW_TICKS)
    figures = ticks(low, high, step)
    texts = [words(shown.measures.number(v, decimals(step))) for v in figures]
    wide = max([text.width for text in texts] + [0.0])
    cap_text = None
    if book.cap is not None:
        whole = book.cap.amount == int(book.cap.amount)
        figure = (
            shown.measures.number(book.cap.amount)
            if whole
            else shown.measures.money(book.cap, False)
        )
        cap_text = words(figure, "label_strong")
        wide = max(wide, cap_text.width)
    left = max(px(64), px(SIDE) + wide + px(8))
    frame = QRectF(
        left, px(HEAD), size.width() - left - px(SIDE), size.height() - px(HEAD) - px(AXIS)
    )
    scale = Scale(frame, max((shown.last - shown.first).days, 1), low, high)
    found = SpendingLayout(scale)
    found.board = Board(frame)
    _put_axes(found, shown, figures, texts, unit, cap_text)
    _put_curves(found, shown, points, unit)
    _put_ways(found, shown, points, unit)
    put_words(found, shown, size)
    put_labels(found, shown, points)
    return found


def _put_axes(
    found: SpendingLayout,
    shown: SpendingShown,
    figures: list[float],
    texts: list[Words],
    unit: float,
    cap_text: Words | None,
) -> None:
    scale, frame = found.scale, found.scale.frame
    half = texts[0].ascent / 2 - px(2) if texts else 0.0
    end = frame.left() - px(8)
    if cap_text is not None and shown.book.cap is not None:
        found.cap = scale.y(shown.book.cap.minor * unit)
        found.labels.append(Placed(cap_text, end, found.cap + half, "ink", RIGHT))
    for value, text in zip(figures, texts, strict=True):
        y = scale.y(value)
        found.grid.append(y)
        if found.cap is None or abs(y - found.cap) >= px(16):
            found.labels.append(Placed(text, end, y + half, "ink3", RIGHT))
    base = frame.bottom() + px(18)
    edge = -1e9
    for day, is_month in _tick_days(shown):
        x = scale.x(shown.place(day))
        (found.long_marks if is_month else found.marks).append(x)
        if is_month:
            text = words(MONTHS[day.month - 1] if day.day == 1 else _day_month(day))
            at = x + px(4) if day.day == 1 else x - text.width / 2
            if at > edge and at + text.width <= frame.right():
                found.labels.append(Placed(text, at, base, "ink3"))
                edge = at + text.width + px(10)


def _day_month(day: date) -> str:
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def _tick_days(shown: SpendingShown) -> list[tuple[date, bool]]:
    """Return the days that have a mark, and whether it is a long one with a name."""
    count = (shown.last - shown.first).days
    days = [shown.first + timedelta(days=i) for i in range(count + 1)]
    if count <= FEW_DAYS:
        return [(day, True) for day in days if day.weekday() == 0]
    if count <= 250:
        return [(day, day.day == 1) for day in days if day.day == 1 or day.weekday() == 0]
    return [(day, True) for day in days if day.day == 1]


def _staircase(
    scale: Scale, shown: SpendingShown, steps: Iterable[tuple[date, float]], start: float, end: date
) -> list[QPointF]:
    """Return a line that is level but for its steps, from the first day to `end`."""
    level, line = start, [QPointF(scale.frame.left(), scale.y(start))]
    for day, height in steps:
        x = scale.x(shown.place(day))
        line += [QPointF(x, scale.y(level)), QPointF(x, scale.y(height))]
        level = height
    line.append(QPointF(scale.x(shown.place(end)), scale.y(level)))
    return line


def _put_curves(
    found: SpendingLayout, shown: SpendingShown, points: list[Point], unit: float
) -> None:
    scale, steps = found.scale, shown.steps
    found.today = scale.x(shown.place(steps.today))
    gone = [
        (day, (spent + promised) * unit)
        for day, spent, promised in zip(steps.days, steps.spent, steps.promised, strict=True)
    ]
    spent = [(day, amount * unit) for day, amount in zip(steps.days, steps.spent, strict=True)]
    changes = [one[0] for before, one in zip([(None, 0.0), *gone], gone, strict=False)
               if one[1] != before[1]]  # fmt: skip
    # Somebody may note today what is to be paid later.
    until = max([steps.today, *changes])
    gone = [one for one in gone if one[0] <= until]
    spent = [one for one in spent if one[0] <= until]
    found.gone = _staircase(scale, shown, gone, 0.0, until)
    if any(steps.promised):
        found.spent = _staircase(scale, shown, spent, 0.0, until)
    ahead = [
        (day, (a + b + c) * unit)
        for day, a, b, c in zip(steps.days, steps.spent, steps.promised, steps.planned, strict=True)
        if day >= steps.today
    ]
    line = _staircase(scale, shown, ahead, ahead[0][1], shown.last)
    line[0] = QPointF(found.today, line[0].y())
    found.planned = line
    if shown.ghost is not None:
        ghost = shown.ghost
        heights = [
            (day, (a + b + c) * unit)
            for day, a, b, c in zip(
                ghost.days, ghost.spent, ghost.promised, ghost.planned, strict=True
            )
            if shown.first <= day <= shown.last
        ]
        found.ghost = _staircase(scale, shown, heights, 0.0, shown.last)
    assert found.board is not None
    for line in (found.gone, found.planned):
        found.board.take_line(np.array([p.x() for p in line]), np.array([p.y() for p in line]))
    for point in points:
        at = QPointF(scale.x(shown.place(point.day)), scale.y(point.level * unit))
        if point.amount:
            found.points.append((at, point))
            found.board.take_rect(QRectF(at.x() - px(7), at.y() - px(7), px(14), px(14)))


def _put_ways(
    found: SpendingLayout, shown: SpendingShown, points: list[Point], unit: float
) -> None:
    scale, event = found.scale, shown.event
    assert found.board is not None
    for point in points:
        y = scale.y(point.level * unit)
        for span in point.spans:
            status = span.entry.line.status
            is_open = status in OPEN_STATUS
            late = 0 if event is None or not is_open else max((span.end - event).days, 0)
            start = span.start
            if status is Status.PLANNED:
                # There is no order yet; what is late is so from the event on.
                start = event if late and event is not None else span.end
            x0, x1 = (scale.x(shown.place(day)) for day in (start, span.end))
            if span.end > start:
                found.ways.append(Way(span, QPointF(x0, y), QPointF(x1, y), late))
                found.board.take_rect(QRectF(x0, y - px(4), max(x1 - x0, 1.0), px(8)))
