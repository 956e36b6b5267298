"""Reasons below the verdict: what makes the likely range wide, and where the power goes."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush

from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline
from pennyspeed.desktop.widgets.theme import px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.unknowns import SHOWN
from pennyspeed.services.reports.figure_rows import power_rows

MARGIN, UNKNOWN_ROW = 24, 26
LOOKING = "working it out …"


def unknowns_height(forecast: Forecast | None) -> int:
    """Return how high :func:`paint_unknowns` paints, 0 where it has nothing to say.

    What is still being worked out keeps its room, or all below would jump.
    """
    if forecast is None or forecast.band is None:
        return 0
    rows = SHOWN + 1 if forecast.unknowns is None else len(forecast.unknowns.rows())
    return px(16) + px(32) + px(UNKNOWN_ROW) * rows + px(8) if rows else 0


def power_height(forecast: Forecast | None, measures: Measures) -> int:
    """Return how high :func:`paint_power` paints, 0 where the car does not move."""
    if forecast is None or forecast.prediction is None or forecast.prediction.at_top is None:
        return 0
    rows = power_rows(forecast.prediction.at_top.books, measures)
    return px(16) + px(32) + px(24) + px(24) * len(rows) + px(8) if rows else 0


def rule(painter: Painter, y: float) -> None:
    """Draw the line above a piece of the verdict."""
    painter.fill(px(MARGIN), y, painter.width - 2 * px(MARGIN), 1, painter.theme.rule)


def paint_unknowns(painter: Painter, forecast: Forecast, top: float) -> None:
    """Write which figures make the likely range wide, and how much."""
    colours = painter.theme
    left, right = px(MARGIN), painter.width - px(MARGIN)
    rule(painter, top)
    line = baseline(top + px(12), px(24), "heading")
    painter.text(left, line, "Biggest unknowns", "heading", colours.ink)
    painter.text(right, line, "of the range", "label", colours.ink2, RIGHT)
    top += px(16) + px(28)
    if forecast.unknowns is None:
        line = baseline(top, px(UNKNOWN_ROW), "label")
        painter.text(left, line, LOOKING, "label", colours.ink2)
        return
    rows = forecast.unknowns.rows()
    start, wide = right - px(96), px(56)
    largest = max(row.percent for row in rows)
    for i, row in enumerate(rows):
        line = baseline(top, px(UNKNOWN_ROW), "body")
        first = i == 0
        role = "name_chosen" if first else "body"
        if words(row.short, role).width > start - left - px(8):
            role = "small_strong" if first else "small"
        painter.text(left, line, row.short, role, colours.ink, room=start - left - px(8))
        colour = colours.accent if first else colours.ink2
        length = max(round(wide * row.percent / max(largest, 1)), 1)
        painter.fill(start, top + px(8), length, px(10), colour)
        painter.text(
            right, line, f"{row.percent} %", "figure" if first else "body", colours.ink, RIGHT
        )
        top += px(UNKNOWN_ROW)


def paint_power(painter: Painter, forecast: Forecast, measures: Measures, top: float) -> None:
    """Write where the power at top speed goes."""
    prediction = forecast.prediction
    assert prediction is not None
    assert prediction.at_top is not None
    colours = painter.theme
    left, right = px(MARGIN), painter.width - px(MARGIN)
    rule(painter, top)
    rows = power_rows(prediction.at_top.books, measures)
    watts = measures.number(float(prediction.at_top.books.source))
    title = f"Where {watts} W go at {measures.speed(KMH.from_si(prediction.top_speed))}"
    line = baseline(top + px(12), px(24), "heading")
    painter.text(left, line, title, "heading", colours.ink, room=right - left)
    top += px(16) + px(28)
    x = float(left)
    for i, (_, _, share) in enumerate(rows):
        width = max(round(share * (right - left)) - 1, 1)
        _piece(painter, QRectF(x, top, width, px(14)), i)
        x += width + 1
    top += px(22)
    for i, (label, figure, _) in enumerate(rows):
        line = baseline(top, px(24), "body")
        _piece(painter, QRectF(left, top + px(7), px(14), px(10)), i)
        painter.text(left + px(24), line, label, "body", colours.ink2)
        painter.text(right, line, figure, "figure", colours.ink, RIGHT)
        top += px(24)


def _piece(painter: Painter, box: QRectF, which: int) -> None:
    """Fill a piece so that neighbours differ without colour."""
    patterns = (
        Qt.BrushStyle.SolidPattern,
        Qt.BrushStyle.BDiagPattern,
        Qt.BrushStyle.Dense6Pattern,
        Qt.BrushStyle.NoBrush,
        Qt.BrushStyle.HorPattern,
        Qt.BrushStyle.FDiagPattern,
    )
    box.moveLeft(painter.left(box.left(), box.width()))
    qt_painter = painter.qt_painter
    qt_painter.save()
    qt_painter.setPen(painter.theme.ink2)
    qt_painter.setBrush(QBrush(painter.theme.ink2, patterns[which % len(patterns)]))
    qt_painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
    qt_painter.restore()
