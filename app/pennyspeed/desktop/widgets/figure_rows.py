"""Figure rows: a label and its figure, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, fitted
from pennyspeed.desktop.widgets.theme import px

FIGURE_ROW = 24


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A label, its figure, and one line that explains the term."""

    label: str
    figure: str
    help: str = ""


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
