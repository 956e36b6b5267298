"""Labels of a chart: levels, marked points, curves and layers, each named where it is.

Each looks for a free place near where it is best read; what finds none is left out.
"""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.chart import Chart, Limit, Series
from pennyspeed.desktop.plots.chart_placed import ChartLayout, Laid
from pennyspeed.desktop.plots.labels import toward
from pennyspeed.desktop.plots.placed import Curve, Placed
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import RIGHT, Words, px, words
from pennyspeed.domain.measures import Measures

STACK_COLUMN = 176
"""Width of the names beside a stack."""


class ChartLabels:
    """Places the labels of one frame after the other, from the most to the least important.

    Parameters
    ----------
    pieces : dict
        What is in sight of each series, in pixels, by its identity.
    """

    def __init__(
        self,
        chart: Chart,
        layout: ChartLayout,
        ghost_name: str,
        measures: Measures,
        pieces: dict[int, list[Curve]],
    ) -> None:
        self.chart, self.ghost, self.layout = chart, layout.ghost, layout
        self.ghost_name, self.measures, self.pieces = ghost_name, measures, pieces

    def place(self, place: int) -> None:
        """Place those of one frame."""
        laid = self.layout.panels[place]
        self._levels(laid)
        self._mark_labels(laid)
        self._names(place, laid)
        self._stack_names(laid)

    def _put(self, board: Board, text: Words, spot: QRectF, colour: str) -> None:
        baseline = spot.top() + text.ascent
        self.layout.labels.append(Placed(text, spot.left(), baseline, colour, plate=True))
        # Names side by side would be read as one.
        board.take_rect(spot.adjusted(-px(8), 0, px(8), 0))

    def _levels(self, laid: Laid) -> None:
        scale, frame, board = laid.scale, laid.scale.frame, laid.board
        for one in laid.panel.limits:
            is_out = not scale.y_min <= one.value <= scale.y_max
            text = self._level_words(one, is_out, scale, frame.width() - px(16))
            colour = one.stroke.colour
            if is_out:
                y = frame.top() + px(2) if one.value > scale.y_max else frame.bottom() - px(22)
                spot = board.place(text.width, text.height, QPointF(frame.left() + px(8), y), px(4))
            else:
                y = scale.y(one.value)
                laid.levels.append((y, one.stroke))
                spot = self._beside_level(board, frame, y, text)
                board.take_line(np.array([frame.left(), frame.right()]), np.array([y, y]))
            if spot is not None:
                self._put(board, text, spot, colour)

    def _level_words(self, one: Limit, is_out: bool, scale: Scale, room: float) -> Words:
        if is_out:
            where = "above" if one.value > scale.y_max else "below"
            return fitted(f"{one.text}, {where} this scale", "label_strong", room)
        return fitted(one.text, "label_strong", room)

    @staticmethod
    def _beside_level(board: Board, frame: QRectF, y: float, text: Words) -> QRectF | None:
        for x in range(round(frame.left()) + px(8), round(frame.right() - text.width), px(12)):
            for top in (y - text.height, y + px(3)):
                spot = QRectF(x, top, text.width, text.height)
                if board.is_free(spot):
                    board.take_rect(spot)
                    return spot
        return board.place(text.width, text.height, QPointF(frame.left() + px(8), y - text.height))

    def _mark_labels(self, laid: Laid) -> None:
        scale, board = laid.scale, laid.board
        for mark in laid.panel.marks:
            at = QPointF(scale.x(mark.x), scale.y(mark.y))
            if not any(ring == at for ring, _ in laid.rings):
                continue
            text = fitted(mark.text, "label_strong", scale.frame.width() * 0.6)
            spot = self._beside_ring(board, scale.frame, at, text)
            if spot is not None:
                self._put(board, text, spot, "ink")
                self._lead(board, at, spot, px(7))

    @staticmethod
    def _beside_ring(board: Board, frame: QRectF, at: QPointF, text: Words) -> QRectF | None:
        right = min(at.x() + px(9), frame.right() - text.width)
        left = at.x() - px(9) - text.width
        above, below = at.y() - px(5) - text.height, at.y() + px(6)
        for corner in ((right, above), (left, above), (right, below), (left, below)):
            spot = QRectF(*corner, text.width, text.height)
            if board.is_free(spot):
                board.take_rect(spot)
                return spot
        return board.place(text.width, text.height, QPointF(right, above), px(2))

    def _lead(self, board: Board, at: QPointF, spot: QRectF, start: float) -> None:
        """Draw a leader from a point to its label, where they do not touch."""
        end = QPointF(
            min(max(at.x(), spot.left() - px(4)), spot.right() + px(4)),
            min(max(at.y(), spot.top() + px(2)), spot.bottom() - px(2)),
        )
        way = end - at
        if np.hypot(way.x(), way.y()) > start + px(4):
            self.layout.leaders.append((toward(at, end, start), end))
            board.take_line(np.array([at.x(), end.x()]), np.array([at.y(), end.y()]))

    def _names(self, place: int, laid: Laid) -> None:
        named = [(one, one.label, one.stroke.colour) for one in laid.panel.series]
        ghosts = self.layout.ghosts(place)
        if place == 0 and ghosts and self.ghost is not None:
            first = ghosts[0].name
            named = [
                (one, one.label or ("the car now" if one.name == first else ""), colour)
                for one, _, colour in named
            ]
            text = f"with {self.ghost_name}" if self.ghost_name else "tried"
            named.insert(0, (ghosts[0], text, "ink"))
        for one, label, colour in named:
            if label:
                self._name(laid, one, label, "ink2" if colour == "line" else colour)

    def _name(self, laid: Laid, one: Series, label: str, colour: str) -> None:
        """Write a curve's name beside it, without a leader where there is a place for that."""
        frame, board = laid.scale.frame, laid.board
        pieces = self.pieces[id(one)]
        if not pieces:
            return
        x, y = max(pieces, key=lambda piece: float(piece[0][-1] - piece[0][0]))
        role = "label_strong" if one.stroke.width >= 2 else "label"
        text = fitted(label, role, 0.5 * frame.width())
        for share in (0.92, 0.8, 0.66, 0.5, 0.36, 0.22, 0.1):
            left = x[0] + share * (x[-1] - x[0]) - text.width / 2
            left = min(max(left, frame.left() + px(6)), frame.right() - text.width)
            first, last = np.searchsorted(x, (left - px(4), left + text.width + px(4)))
            under = y[max(first - 1, 0) : last + 1]
            tops = (float(under.min()) - text.height - px(1), float(under.max()) + px(3))
            for top in tops:
                spot = QRectF(left, top, text.width, text.height)
                if board.is_free(spot):
                    self._put(board, text, spot, colour)
                    return
        for share in (0.75, 0.45, 0.2):
            middle = int(share * (len(x) - 1))
            at = QPointF(float(x[middle]), float(y[middle]))
            near = at + QPointF(px(8), -px(24))
            free = board.find(text.width, text.height, near, px(2))
            if free is not None and self._is_clear(at, free):
                self._put(board, text, free, colour)
                self._lead(board, at, free, px(1))
                return

    def _is_clear(self, at: QPointF, spot: QRectF) -> bool:
        """Tell whether a leader to a spot runs through no other label."""
        way = spot.center() - at
        steps = [at + way * (i / 24) for i in range(25)]
        boxes = [label.box for label in self.layout.labels if label.plate]
        return not any(box.contains(step) for box in boxes for step in steps)

    def _stack_names(self, laid: Laid) -> None:
        """Name the layers in a column right of the frame, those that end there; others inside."""
        if not laid.panel.stack:
            return
        scale, frame, board = laid.scale, laid.scale.frame, laid.board
        low = np.zeros(len(self.chart.xs))
        rows: list[tuple[QPointF, Words, Words]] = []
        edge = float(scale.x(float(self.chart.xs[-1])))
        for one in laid.panel.stack:
            values = np.maximum(one.values, 0.0)
            most = int(np.argmax(values))
            middle = scale.ys(low + 0.5 * values)
            low = low + values
            if float(values[-1]) * scale.y_pixels < 0.5 and values[most] * scale.y_pixels > px(22):
                text = words(one.label, "label_strong")
                at = QPointF(float(scale.x(float(self.chart.xs[most]))), float(middle[most]))
                near = at - QPointF(text.width / 2, text.height / 2)
                spot = board.place(text.width, text.height, near, px(2))
                if spot is not None:
                    self._put(board, text, spot, "ink")
                continue
            value = self.measures.number(float(one.values[-1]), one.decimals)
            figure = words(f"{value} {laid.panel.unit}", "label_strong")
            room = px(STACK_COLUMN) - px(24) - figure.width
            rows.append(
                (QPointF(edge, float(middle[-1])), fitted(one.label, "label", room), figure)
            )
        self._stack_column(rows[::-1], frame)

    def _stack_column(self, rows: list[tuple[QPointF, Words, Words]], frame: QRectF) -> None:
        pitch = px(18)
        heights: list[float] = []
        for at, _, _ in rows:
            heights.append(max(at.y(), heights[-1] + pitch if heights else frame.top() + px(6)))
        bottom = frame.bottom() - px(6)
        for i in range(len(heights) - 1, -1, -1):
            heights[i] = min(heights[i], bottom)
            bottom = heights[i] - pitch
        left, right = frame.right() + px(22), frame.right() + px(STACK_COLUMN)
        for (at, name, figure), y in zip(rows, heights, strict=True):
            baseline = round(y) + px(5)
            self.layout.labels += [
                Placed(name, left, baseline, "ink2"),
                Placed(figure, right, baseline, "ink", RIGHT),
            ]
            start, end = QPointF(at.x() + px(1), at.y()), QPointF(left - px(4), round(y))
            self.layout.leaders.append((start, end))
