"""Figure rows: a label and its figure, line by line."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QHelpEvent, QPainter, QPen
from PySide6.QtWidgets import QToolTip, QWidget

from pennyspeed.desktop.widgets import theme
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
        start = left
        if row.ring:
            _ring(painter, left + px(5), line - theme.metrics("body").capHeight() / 2)
            start += px(16)
        room = right - figure.width - px(8) - start
        painter.text(start, line, row.label, "body", painter.theme.ink2, room=room)
        top += high
    return top


def _ring(painter: Painter, x: float, y: float) -> None:
    qt_painter = painter.qt_painter
    qt_painter.save()
    qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    qt_painter.setPen(QPen(painter.theme.ink, 1.5 * px(100) / 100))
    qt_painter.setBrush(Qt.BrushStyle.NoBrush)
    qt_painter.drawEllipse(QPointF(painter.left(x), y), px(4), px(4))
    qt_painter.restore()


def show_help(event: QEvent, rows: Sequence[FigureRow], top: float, widget: QWidget) -> bool:
    """Show the help of the row that a tool tip is asked for; tell whether there is one."""
    assert isinstance(event, QHelpEvent)
    place = round(event.pos().y() - top) // px(FIGURE_ROW)
    if not 0 <= place < len(rows):
        return False
    QToolTip.showText(event.globalPos(), rows[place].help, widget)
    return True
