"""Labels inside a frame: levels, marked points and curves, each named where it is.

Each looks for a free place near where it is best read; what finds none is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from pennyspeed.desktop.charts.layout import Curve, Frame, Label, Layout
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import Words, px
from pennyspeed.services.charts.chart import Stroke


class FrameLabels:
    """Places the labels of one frame; the caller goes from the most to the least important."""

    def __init__(self, layout: Layout, frame: Frame) -> None:
        self.layout, self.frame = layout, frame
        self.box, self.placer = frame.scale.frame, frame.placer

    def put(self, text: Words, spot: QRectF | None, colour: str) -> bool:
        """Write a text in a place of its own; False where there is none."""
        if spot is None:
            return False
        baseline = spot.top() + text.ascent
        self.layout.labels.append(Label(text, spot.left(), baseline, colour, plate=True))
        # Names side by side would be read as one.
        self.placer.take_rect(spot.adjusted(-px(8), 0, px(8), 0))
        return True

    def put_near(self, text: Words, near: QPointF, clear: float, colour: str) -> QRectF | None:
        """Write a text in the free place nearest to a corner, and return that place."""
        spot = self.placer.find(text.width, text.height, near, clear)
        self.put(text, spot, colour)
        return spot

    def first_free(self, text: Words, corners: Iterable[tuple[float, float]]) -> QRectF | None:
        spots = (QRectF(*corner, text.width, text.height) for corner in corners)
        return next((spot for spot in spots if self.placer.is_free(spot)), None)

    def level(self, value: float, name: str, stroke: Stroke, above: str = "above") -> None:
        """Draw a level line and name it; out of the scale it is only named."""
        scale, box = self.frame.scale, self.box
        left = box.left() + px(8)
        if not scale.y_min <= value <= scale.y_max:
            is_above = value > scale.y_max
            where = above if is_above else "below"
            text = fitted(f"{name}, {where} this scale", "label_strong", box.width() - px(16))
            near = QPointF(left, box.top() + px(2) if is_above else box.bottom() - px(22))
            self.put_near(text, near, px(4), stroke.colour)
            return
        y = scale.y(value)
        self.frame.levels.append((y, stroke))
        text = fitted(name, "label_strong", box.width() - px(16))
        across = range(round(box.left()) + px(8), round(box.right() - text.width), px(12))
        down = (y - text.height, y + px(3))
        spot = self.first_free(text, ((x, top) for x in across for top in down))
        if not self.put(text, spot, stroke.colour):
            self.put_near(text, QPointF(left, down[0]), 0.0, stroke.colour)
        self.placer.take_line(np.array([box.left(), box.right()]), np.array([y, y]))

    def mark(self, at: QPointF, name: str) -> None:
        text = fitted(name, "label_strong", self.box.width() * 0.6)
        right = min(at.x() + px(9), self.box.right() - text.width)
        left = at.x() - px(9) - text.width
        above, below = at.y() - px(5) - text.height, at.y() + px(6)
        spot = self.first_free(
            text, ((right, above), (left, above), (right, below), (left, below))
        ) or self.placer.find(text.width, text.height, QPointF(right, above), px(2))
        if spot is not None and self.put(text, spot, "ink"):
            self._lead(at, spot, px(7))

    def curve(self, pieces: Sequence[Curve], name: str, role: str, colour: str) -> None:
        """Write a curve's name beside it, without a leader where there is a place for that."""
        if not pieces:
            return
        x, y = max(pieces, key=lambda piece: float(piece[0][-1] - piece[0][0]))
        text = fitted(name, role, 0.5 * self.box.width())
        if self.put(text, self.first_free(text, self._along(x, y, text)), colour):
            return
        for share in (0.75, 0.45, 0.2):
            middle = int(share * (len(x) - 1))
            at = QPointF(float(x[middle]), float(y[middle]))
            near = at + QPointF(px(8), -px(24))
            free = self.placer.find(text.width, text.height, near, px(2))
            if free is not None and self._is_clear(at, free):
                self.put(text, free, colour)
                self._lead(at, free, px(1))
                return

    def _along(self, x: np.ndarray, y: np.ndarray, text: Words) -> Iterable[tuple[float, float]]:
        """Yield corners from which a text touches a curve, from its end to its beginning."""
        for share in (0.92, 0.8, 0.66, 0.5, 0.36, 0.22, 0.1):
            left = x[0] + share * (x[-1] - x[0]) - text.width / 2
            left = min(max(left, self.box.left() + px(6)), self.box.right() - text.width)
            first, last = np.searchsorted(x, (left - px(4), left + text.width + px(4)))
            under = y[max(first - 1, 0) : last + 1]
            yield left, float(under.min()) - text.height - px(1)
            yield left, float(under.max()) + px(3)

    def _is_clear(self, at: QPointF, spot: QRectF) -> bool:
        """Tell whether a leader to a spot runs through no other label."""
        way = spot.center() - at
        steps = [at + way * (i / 24) for i in range(25)]
        boxes = [label.box for label in self.layout.labels if label.plate]
        return not any(box.contains(step) for box in boxes for step in steps)

    def _lead(self, at: QPointF, spot: QRectF, start: float) -> None:
        """Draw a leader from a point to its label, where they do not touch."""
        end = QPointF(
            min(max(at.x(), spot.left() - px(4)), spot.right() + px(4)),
            min(max(at.y(), spot.top() + px(2)), spot.bottom() - px(2)),
        )
        way = end - at
        if np.hypot(way.x(), way.y()) > start + px(4):
            self.lead(at, end, start)

    def lead(self, at: QPointF, end: QPointF, start: float) -> None:
        """Draw a leader to `end` that begins `start` pixels from a point."""
        self.layout.leaders.append((toward(at, end, start), end))
        self.placer.take_line(np.array([at.x(), end.x()]), np.array([at.y(), end.y()]))


def toward(start: QPointF, end: QPointF, by: float) -> QPointF:
    """Return the point `by` pixels from `start` on the way to `end`."""
    way = end - start
    length = float(np.hypot(way.x(), way.y())) or 1.0
    return start + way * min(by / length, 1.0)
