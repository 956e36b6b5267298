"""Spending: what is gone, promised and planned by date, against the cap and the event."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.plots.card import Card, Cross
from pennyspeed.desktop.plots.placed import Shown
from pennyspeed.desktop.plots.plot import Plot
from pennyspeed.desktop.plots.spending_layers import paint_back, paint_front
from pennyspeed.desktop.plots.spending_layout import lay_out
from pennyspeed.desktop.plots.spending_placed import SpendingLayout, SpendingShown, sums_at
from pennyspeed.desktop.plots.tables import Table, harmless, head
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import CENTRE, Theme, px, words
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import OPEN, Status
from pennyspeed.domain.money.timeline import Steps, timeline

MOST_TOLD = 3
"""Lines of a day that the card names; more are counted."""


@dataclass(frozen=True, slots=True)
class DayTable(Table):
    """Sums by day, written to the last digit of the currency."""

    days: tuple[date, ...] = ()
    digits: int = 2

    def csv(self) -> str:
        """Return the table as comma-separated values (RFC 4180), days as ISO 8601 writes them."""
        sink = io.StringIO()
        writer = csv.writer(sink)
        writer.writerow(["day", *(harmless(one) for one in self.heads)])
        for day, *amounts in zip(self.days, *self.columns, strict=True):
            whole = [Decimal(int(amount)).scaleb(-self.digits) for amount in amounts]
            writer.writerow([day.isoformat(), *(f"{one:.{self.digits}f}" for one in whole)])
        return sink.getvalue()


class SpendingPlot(Plot):
    """The plot; arrow keys go from day to day, Shift ten days, L to the next marked one."""

    NAME = "Spending over time"

    def __init__(self, parent: QWidget | None = None) -> None:
        self._layout: SpendingLayout | None = None
        self._spending: SpendingShown | None = None
        super().__init__(parent)

    def sizeHint(self) -> QSize:
        return QSize(px(822), px(260))

    @staticmethod
    def today() -> date:
        """Return the day it is."""
        return date.today()

    @property
    def spending(self) -> SpendingShown | None:
        """What is drawn."""
        return self._spending

    @property
    def layout_shown(self) -> SpendingLayout | None:
        """Where everything stands."""
        return self._layout

    def _arrange(self, shown: Shown, size: QSizeF) -> None:
        build = shown.forecast.build
        today = self.today()
        found = book(build)
        ghost = None if shown.ghost is None else _steps(shown.ghost.build, today)
        self._spending = SpendingShown(
            build,
            found,
            timeline(build, found, today),
            shown.measures,
            ghost,
            shown.ghost_name,
        )
        self._layout = lay_out(self._spending, size) if self.has_curve else None

    @property
    def has_curve(self) -> bool:
        return self._spending is not None and bool(self._spending.steps.spans)

    # Reading --------------------------------------------------------------------------------

    @property
    def _day(self) -> date | None:
        spending = self._spending
        if spending is None or self._place is None or not self.has_curve:
            return None
        return spending.day(min(self._place, self._end()))

    @property
    def card(self) -> Card | None:
        spending, day = self._spending, self._day
        if spending is None or day is None:
            return None
        now, tried = sums_at(spending.steps, day), None
        if spending.ghost is not None:
            tried = sum(sums_at(spending.ghost, day))
        rows: list[tuple[str, ...]] = [
            (label, self._money(amount))
            for label, amount in zip(("spent", "promised", "planned"), now, strict=True)
        ]
        together = ("together", self._money(sum(now)))
        rows.append(together if tried is None else (*together, self._money(tried)))
        cap = spending.book.cap
        if cap is not None:
            rows.append(("left of the cap", self._money(cap.minor - sum(now))))
        rows += self._happens(spending, day)
        return Card(say_day(day, spending.steps.today), rows)

    def _happens(self, spending: SpendingShown, day: date) -> list[tuple[str, ...]]:
        """Return what is ordered or comes on a day."""
        told: list[tuple[str, ...]] = []
        for span in spending.steps.spans:
            line, amount = span.entry.line, self._money(span.entry.total)
            if span.start == day and span.end > day and line.status is not Status.PLANNED:
                told.append(("ordered", f"{line.called} {amount}"))
            elif span.end == day:
                verb = "comes" if line.status in OPEN else line.status.value
                told.append((verb, f"{line.called} {amount}"))
        if len(told) > MOST_TOLD:
            rest = f"{len(told) - MOST_TOLD + 1} more lines"
            return [*told[: MOST_TOLD - 1], ("and", rest)]
        return told

    def _money(self, minor: int) -> str:
        assert self._spending is not None
        return self._spending.measures.money(self._spending.book.money(minor), False)

    @property
    def summary(self) -> str:
        spending = self._spending
        if spending is None or not self.has_curve:
            return "Nothing of this build has been written down as money yet."
        found, steps, event = spending.book, spending.steps, spending.event
        texts = [
            f"today, {say_day(steps.today, steps.today)}: spent {self._money(found.spent.minor)}",
            f"promised {self._money(found.promised.minor)}",
            f"planned {self._money(found.planned.minor)}",
            f"together {spending.measures.money(found.counted)}",
        ]
        if found.cap is not None:
            texts.append(f"cap {spending.measures.money(found.cap)}")
        if event is not None:
            texts.append(f"speed day, {say_day(event, steps.today)}")
        for span in steps.spans:
            if span.entry.line.status in OPEN and event is not None and span.end > event:
                late = say_days((span.end - event).days)
                texts.append(f"{span.entry.line.called} {late} late")
        if spending.ghost is not None:
            tried = sums_at(spending.ghost, date.max)
            texts.append(f"with {spending.ghost_name} {self._money(sum(tried))}")
        return "; ".join(texts) + "."

    def table(self) -> Table | None:
        spending = self._spending
        if spending is None or not self.has_curve:
            return None
        steps, currency = spending.steps, spending.book.currency
        sums = [np.array(one) for one in (steps.spent, steps.promised, steps.planned)]
        names = ("spent", "promised", "planned", "together")
        return DayTable(
            tuple(head(name, currency) for name in names),
            (*sums, sums[0] + sums[1] + sums[2]),
            steps.days,
            -int(spending.book.money(1).amount.as_tuple().exponent),
        )

    def _crossing(self) -> Cross | None:
        layout, spending, day = self._layout, self._spending, self._day
        if layout is None or spending is None or day is None:
            return None
        scale = layout.scale
        unit = float(spending.book.money(1).amount)
        x = scale.x(spending.place(day))
        dots = [(QPointF(x, scale.y(sum(sums_at(spending.steps, day)) * unit)), "accent")]
        if spending.ghost is not None:
            dots.append((QPointF(x, scale.y(sum(sums_at(spending.ghost, day)) * unit)), "ink"))
        upright = [(x, scale.frame.top(), scale.frame.bottom())]
        return Cross(upright, dots, scale.frame, layout.board)

    def _place_under(self, point: QPointF) -> float | None:
        layout = self._layout
        if layout is None:
            return None
        frame = layout.scale.frame
        if not frame.left() - px(8) <= point.x() <= frame.right() + px(8):
            return None
        place = round(layout.scale.distance(point.x()))
        return float(min(max(place, 0), self._end()))

    def _end(self) -> float:
        spending = self._spending
        return 0.0 if spending is None else spending.place(spending.last)

    def _step(self) -> float:
        return 1.0

    def _stops(self) -> list[float]:
        spending = self._spending
        if spending is None:
            return []
        days = {*spending.steps.days, *(span.end for span in spending.steps.spans)}
        if spending.event is not None:
            days.add(spending.event)
        return sorted(spending.place(day) for day in days)

    # Painting -------------------------------------------------------------------------------

    def _empty_frame(self) -> QRectF:
        return QRectF(self.rect())

    def _paint_empty(self, painter: QPainter, frame: QRectF) -> None:
        theme = themes.current()
        texts = (
            ("No money yet", "heading"),
            ("Put parts into the car, or write a line down below: N.", "body"),
        )
        y = frame.center().y() - px(12)
        for text, role in texts:
            row = words(text, role)
            row.draw(painter, frame.center().x(), y, theme.ink, CENTRE)
            y += px(24)

    def _paint_back(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            paint_back(painter, self._layout, theme)

    def _paint_front(self, painter: QPainter, theme: Theme) -> None:
        if self._layout is not None:
            paint_front(painter, self._layout, theme)


def _steps(build: Build, today: date) -> Steps:
    return timeline(build, book(build), today)
