"""Label placer: where a label can stand without covering a curve or another label."""

from __future__ import annotations

import math

import numpy as np
from PySide6.QtCore import QPointF, QRectF

from pennyspeed.physics.car import FloatArray


class LabelPlacer:
    """A coarse grid over `area` that knows which cells are taken.

    Every position of a label is tried at once by a summed-area table (Crow, Summed-area tables for
    texture mapping, SIGGRAPH 1984).
    """

    def __init__(self, area: QRectF, cell: float = 4.0) -> None:
        self._area = area
        self._cell = cell
        rows = max(1, math.ceil(area.height() / cell))
        columns = max(1, math.ceil(area.width() / cell))
        self._taken = np.zeros((rows, columns), dtype=bool)

    def copy(self) -> LabelPlacer:
        """Return a placer of its own with the same cells taken."""
        other = LabelPlacer(self._area, self._cell)
        other._taken = self._taken.copy()
        return other

    def take_line(self, xs: FloatArray, ys: FloatArray) -> None:
        """Take every cell that a polyline in pixels passes through."""
        # Points every half cell of the longer way at most, so that no cell is jumped over.
        columns = (xs - self._area.left()) / self._cell
        rows = (ys - self._area.top()) / self._cell
        steps = np.maximum(np.abs(columns[1:] - columns[:-1]), np.abs(rows[1:] - rows[:-1]))
        parts = np.maximum(np.ceil(2 * steps), 1).astype(int)
        starts = np.repeat(np.arange(len(parts)), parts)
        share = (np.arange(len(starts)) - np.repeat(parts.cumsum() - parts, parts)) / parts[starts]
        column = (columns[starts] + share * (columns[starts + 1] - columns[starts])).astype(int)
        row = (rows[starts] + share * (rows[starts + 1] - rows[starts])).astype(int)
        high, wide = self._taken.shape
        inside = (row >= 0) & (row < high) & (column >= 0) & (column < wide)
        self._taken[row[inside], column[inside]] = True

    def take_rect(self, rect: QRectF) -> None:
        """Take every cell that a rectangle touches."""
        rows, columns = self._cells(rect)
        self._taken[rows, columns] = True

    def take_between(self, xs: FloatArray, low: FloatArray, high: FloatArray) -> None:
        """Take every cell between two curves over the same rising pixels `xs`."""
        rows, columns = self._taken.shape
        middles = self._area.left() + (np.arange(columns) + 0.5) * self._cell
        heights = self._area.top() + (np.arange(rows) + 0.5) * self._cell
        upper = np.interp(middles, xs, np.minimum(low, high), left=np.inf, right=np.inf)
        lower = np.interp(middles, xs, np.maximum(low, high), left=-np.inf, right=-np.inf)
        self._taken |= (heights[:, None] >= upper) & (heights[:, None] <= lower)

    def is_free(self, rect: QRectF) -> bool:
        """Tell whether a rectangle lies inside and covers nothing."""
        area = self._area.adjusted(-0.5, -0.5, 0.5, 0.5)
        rows, columns = self._cells(rect)
        return area.contains(rect) and not self._taken[rows, columns].any()

    def place(
        self, width: float, height: float, near: QPointF, clear: float = 0.0
    ) -> QRectF | None:
        """Take and return what :meth:`find` finds."""
        rect = self.find(width, height, near, clear)
        if rect is not None:
            self.take_rect(rect)
        return rect

    def find(self, width: float, height: float, near: QPointF, clear: float = 0.0) -> QRectF | None:
        """Return the free rectangle whose top left is nearest to `near`, or None.

        Where `near` itself is not free, `clear` pixels stay free left and right of it.
        """
        rect = QRectF(near.x(), near.y(), width, height)
        if self.is_free(rect):
            return rect
        found = self._nearest(width + 2 * clear, height, near - QPointF(clear, 0.0))
        return None if found is None else QRectF(found.x() + clear, found.y(), width, height)

    def _nearest(self, width: float, height: float, near: QPointF) -> QPointF | None:
        tall, wide = math.ceil(height / self._cell), math.ceil(width / self._cell)
        rows, columns = self._taken.shape
        if tall > rows or wide > columns:
            return None
        table = np.zeros((rows + 1, columns + 1), dtype=np.int32)
        table[1:, 1:] = self._taken.cumsum(axis=0, dtype=np.int32).cumsum(axis=1)
        covered = (
            table[tall:, wide:]
            - table[:-tall, wide:]
            - table[tall:, :-wide]
            + table[:-tall, :-wide]
        )
        x = self._area.left() + np.arange(covered.shape[1]) * self._cell
        y = self._area.top() + np.arange(covered.shape[0]) * self._cell
        away = (x - near.x()) ** 2 + (y[:, None] - near.y()) ** 2
        # The last row and column of cells may reach past the area.
        over = (x + width > self._area.right() + 0.5) | (
            y[:, None] + height > self._area.bottom() + 0.5
        )
        away = np.where((covered > 0) | over, np.inf, away)
        best = int(np.argmin(away))
        if not np.isfinite(away.flat[best]):
            return None
        row, column = divmod(best, covered.shape[1])
        return QPointF(float(x[column]), float(y[row]))

    def _cells(self, rect: QRectF) -> tuple[slice, slice]:
        def span(low: float, high: float, start: float) -> slice:
            first = math.floor((low - start) / self._cell + 1e-9)
            last = math.ceil((high - start) / self._cell - 1e-9)
            return slice(max(first, 0), max(last, 0))

        return (
            span(rect.top(), rect.bottom(), self._area.top()),
            span(rect.left(), rect.right(), self._area.left()),
        )
