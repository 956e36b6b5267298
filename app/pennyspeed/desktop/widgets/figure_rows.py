"""Figure rows: a label and its figure, line by line."""

from __future__ import annotations

from collections.abc import Sequence

from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, fitted
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.reports.figure_rows import FigureRow

FIGURE_ROW = 24


def paint_rows(
    painter: Painter, rows: Sequence[FigureRow], left: float, top: float, right: float
) -> float:
    """Paint rows of label and figure; return where they end."""
    high = px(FIGURE_ROW)
    for row in rows:
        line = baseline(top, high, "body")
        figure = fitted(row.figure, "figure", right - left)
        painter.text(right, line, row.figure, "figure", painter.theme.ink, RIGHT, right - left)
        room = right - left - figure.width - px(8)
        painter.text(left, line, row.label, "body", painter.theme.ink2, room=room)
        top += high
    return top
