"""Reader: which place of the curves is read, and where its crosshair stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QPainter

from pennyspeed.desktop.charts.label_placer import LabelPlacer
from pennyspeed.desktop.charts.layout import Layout
from pennyspeed.desktop.charts.strokes import AA, vertical
from pennyspeed.desktop.widgets.theme import Theme, px
from pennyspeed.services.charts.table import along


@dataclass(frozen=True, slots=True)
class Crosshair:
    """Where the crosshair stands: upright lines (x, top, bottom), dots, the card's frame.

    `left` is where the card begins; beside the first line where that is None.
    """

    lines: list[tuple[float, float, float]]
    dots: list[tuple[QPointF, str]]
    frame: QRectF
    placer: LabelPlacer | None = None
    left: float | None = None

    @property
    def box(self) -> QRectF:
        """What lines and dots cover."""
        boxes = [
            QRectF(x - px(8), top - px(8), px(16), bottom - top + px(16))
            for x, top, bottom in self.lines
        ]
        return reduce(QRectF.united, boxes)

    def paint(self, painter: QPainter, theme: Theme) -> None:
        painter.setRenderHint(AA, False)
        for x, top, bottom in self.lines:
            vertical(painter, x, top, bottom, theme.ink, px(1))
        painter.setRenderHint(AA)
        painter.setPen(Qt.PenStyle.NoPen)
        for at, colour in self.dots:
            painter.setBrush(getattr(theme, colour))
            painter.drawEllipse(at, 4.5 * px(1), 4.5 * px(1))


@dataclass(slots=True)
class Reader:
    """The place that is read, SI; the frame that the pointer was in last."""

    place: float | None = None
    frame: int = 0

    def at(self, layout: Layout) -> float | None:
        """Return the place on the curves that is read; None where nothing is."""
        return None if self.place is None or layout.end <= 0.0 else min(self.place, layout.end)

    def crosshair(self, layout: Layout) -> Crosshair | None:
        """Return where the crosshair stands; None where nothing is read."""
        place = self.at(layout)
        if place is None:
            return None
        x = place / layout.unit
        lines, dots = [], []
        for frame in layout.frames:
            scale = frame.scale
            lines.append((scale.x(x), scale.frame.top(), frame.axis))
            for xs, ys, colour in frame.read:
                value = float(along(np.array([x]), xs, ys)[0])
                if scale.y_min <= value <= scale.y_max:
                    dots.append((scale.point(x, value), colour))
        first = min(self.frame, len(lines) - 1)
        lines.insert(0, lines.pop(first))
        whole = QRectF(layout.frames[first].scale.frame)
        if len(lines) > 1:
            whole.setTop(layout.frames[0].scale.frame.top())
            whole.setBottom(layout.frames[-1].scale.frame.bottom())
            return Crosshair(lines, dots, whole)
        return Crosshair(lines, dots, whole, layout.frames[0].placer)

    def place_under(self, layout: Layout, point: QPointF) -> float | None:
        """Return the place under a pixel, and keep the frame that it is in."""
        for i, frame in enumerate(layout.frames):
            box = frame.scale.frame
            is_above = point.y() <= box.bottom() + px(28) or frame is layout.frames[-1]
            if is_above and box.left() - 1 <= point.x() <= box.right() + 1:
                self.frame = i
                place = frame.scale.value(point.x()) * layout.unit
                return min(max(place, 0.0), layout.end)
        return None

    def place_by(self, layout: Layout, event: QKeyEvent) -> float | None:
        """Return the place to which a key leads; the first arrow leads to the first stop."""
        stops, here, key = layout.stops or [layout.end], self.place, event.key()
        step = layout.step
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            step *= 10
        if key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            place = stops[0] if here is None else here + (-step if key == Qt.Key.Key_Left else step)
        elif key == Qt.Key.Key_Home:
            place = 0.0
        elif key == Qt.Key.Key_End:
            place = layout.end
        elif key == Qt.Key.Key_L:
            beyond = [] if here is None else [one for one in stops if one > here + 1e-9]
            place = (beyond or stops)[0]
        else:
            return None
        return min(max(place, 0.0), layout.end)
