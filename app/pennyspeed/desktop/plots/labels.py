"""Labels inside the frame of the road plot: target, both curves, the likely range.

Each looks for a free place near where it is best read; what finds none is left out.
"""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, Qt

from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.placed import Curve, Placed, RoadLayout, Shown
from pennyspeed.desktop.widgets.theme import LEFT, RIGHT, Words, metrics, px, words
from pennyspeed.domain.units import KMH

_Row = tuple[float, Words, Words, QPointF, str]
"""Height of the ring, name, speed, ring and colour of one curve's label."""


class FrameLabels:
    """Places the labels from the most to the least important."""

    def __init__(
        self,
        layout: RoadLayout,
        shown: Shown,
        board: Board,
        target: float | None,
        edges: tuple[Curve, ...],
    ) -> None:
        self.layout, self.shown, self.board = layout, shown, board
        self.measures, self.frame = shown.measures, layout.scale.frame
        self.target = target
        self.edges = edges
        """Lower and upper edge of the band in pixels, or nothing."""

    def place(self) -> None:
        """Place them all."""
        self._target_label()
        self._speed_labels()
        self._band_label()

    def _target_label(self) -> None:
        layout, frame = self.layout, self.frame
        if self.target is None:
            return
        goal = self.shown.forecast.build.target_kmh
        assert goal is not None
        figure = self.measures.target(goal, unit=False)
        if layout.target is None:
            beyond = self.target > layout.scale.y_max
            where = "far above this scale" if beyond else "below this scale"
            y = frame.top() + px(4) if beyond else frame.bottom() - px(24)
            text = words(f"target {figure}, {where}", "label_strong")
            self._put(text, QPointF(frame.left() + px(8), y), "ink")
            return
        text = words(f"target {figure}", "label_strong")
        y = layout.target
        above, below = y - text.height, y + px(3)
        spots = (
            QRectF(x, top, text.width, text.height)
            for top in (above, below)
            for x in range(round(frame.left()) + px(8), round(frame.right() - text.width), px(12))
        )
        spot = next((one for one in spots if self.board.is_free(one)), None)
        if spot is not None:
            self.board.take_rect(spot)
            self._add(text, spot.topLeft(), "ink")
        line = np.array([frame.left(), frame.right()])
        self.board.take_line(line, np.array([y, y]))
        if spot is None:
            self._put(text, QPointF(frame.left() + px(8), above), "ink")

    def _speed_labels(self) -> None:
        """The curves' names and speeds, in a corner that is free, with a leader from each ring."""
        layout, frame = self.layout, self.frame
        rows: list[_Row] = []
        for which, ring, name, roles, colour in (
            (
                self.shown.ghost,
                layout.ghost_ring,
                f"with {self.shown.ghost_name}" if self.shown.ghost_name else "tried",
                ("body", "figure"),
                "ink",
            ),
            (
                self.shown.forecast,
                layout.ring,
                "the car now",
                ("name_chosen", "figure"),
                "accent",
            ),
        ):
            if which is None or ring is None or which.prediction is None:
                continue
            text, most = words(name, roles[0]), 0.45 * frame.width()
            if text.width > most:
                side = Qt.TextElideMode.ElideRight
                text = words(metrics(roles[0]).elidedText(name, side, most), roles[0])
            speed = KMH.from_si(which.prediction.road_speed)
            goal = which.build.target_kmh
            figure = words(self.measures.speed_toward(speed, goal, unit=False), roles[1])
            rows.append((ring.y(), text, figure, ring, colour))
        if not rows:
            return
        rows.sort(key=lambda row: row[0])
        if not self._speed_block(rows) and len(rows) > 1:
            for row in sorted(rows, key=lambda row: row[3] is not layout.ring):
                self._speed_block([row])

    def _speed_block(self, rows: list[_Row]) -> bool:
        """Place names and speeds under each other; False where there is no room."""
        layout, frame = self.layout, self.frame
        gap, pitch = px(20), px(24)
        wide = max(r[1].width for r in rows) + gap + max(r[2].width for r in rows)
        tall = pitch * (len(rows) - 1) + rows[0][1].height
        top = (layout.target or frame.top()) + px(5)
        near = QPointF(frame.right() - wide, max(top, frame.top() + px(4)))
        spot = self.board.place(wide, tall, near, px(5))
        if spot is None:
            return False
        for i, (_, name, figure, ring, colour) in enumerate(rows):
            baseline = spot.top() + i * pitch + name.ascent
            reach = spot.width() - name.width
            layout.labels += [
                Placed(name, spot.left(), baseline, colour, LEFT, True, reach),
                Placed(figure, spot.right(), baseline, colour, RIGHT),
            ]
            middle = round(baseline - name.ascent / 2 + px(2))
            if ring.x() < spot.left():
                end = QPointF(round(spot.left()) - px(5), middle)
            elif ring.x() > spot.right():
                end = QPointF(round(spot.right()) + px(5), middle)
            else:
                # From straight above or below, a leader may reach only the row next to the ring.
                above = ring.y() < spot.top()
                if i != (0 if above else len(rows) - 1):
                    continue
                end = QPointF(round(ring.x()), spot.top() if above else spot.bottom())
            layout.leaders.append((toward(ring, end, px(7)), end))
            self.board.take_line(np.array([ring.x(), end.x()]), np.array([ring.y(), end.y()]))
        return True

    def _band_label(self) -> None:
        """Name the band below its lower edge, before the lift point."""
        layout, frame = self.layout, self.frame
        if layout.band is None or layout.ring is None:
            return
        text = words("likely range, 8 in 10")
        low_x, low_y = self.edges[0]
        high_y = np.interp(low_x, *self.edges[1])
        before = low_x <= layout.ring.x()
        if not before.any():
            return
        wide = np.where(before, low_y - high_y, 0.0)
        if wide.max() < px(4):
            return
        # Where the band is first two thirds as wide as it gets, the label is clear of the ring.
        anchor = int(np.argmax(wide >= wide.max() * 0.67))
        x, y = float(low_x[anchor]), float(low_y[anchor])
        near = QPointF(max(x - text.width / 2, frame.left() + px(8)), y + px(20))
        spot = self.board.place(text.width, text.height, near, px(4))
        if spot is None:
            return
        self._add(text, spot.topLeft(), "ink2")
        at = min(max(x, spot.left() + px(4)), spot.right() - px(4))
        edge = float(np.interp(at, low_x, low_y))
        if spot.top() > edge:
            layout.leaders.append(
                (QPointF(round(at), edge + px(2)), QPointF(round(at), spot.top()))
            )

    def _put(self, text: Words, near: QPointF, colour: str) -> None:
        spot = self.board.place(text.width, text.height, near, px(4))
        if spot is not None:
            self._add(text, spot.topLeft(), colour)

    def _add(self, text: Words, corner: QPointF, colour: str) -> None:
        baseline = corner.y() + text.ascent
        self.layout.labels.append(Placed(text, corner.x(), baseline, colour, plate=True))


def toward(start: QPointF, end: QPointF, by: float) -> QPointF:
    """Return the point `by` pixels from `start` on the way to `end`."""
    way = end - start
    length = float(np.hypot(way.x(), way.y())) or 1.0
    return start + way * min(by / length, 1.0)
