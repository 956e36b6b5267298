"""Reasons below the verdict: what makes the likely range wide, and where the power goes."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush

from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.reports.figure_rows import power_rows

MARGIN = 24


def band_height(forecast: Forecast | None) -> int:
    """Return how high :func:`paint_band` paints, 0 where it has nothing to say."""
    shares = forecast.band.shares if forecast is not None and forecast.band is not None else ()
    return px(16) + px(32) + px(32) * len(shares) + px(8) if shares else 0


def power_height(forecast: Forecast | None, measures: Measures) -> int:
    """Return how high :func:`paint_power` paints, 0 where the car does not move."""
    if forecast is None or forecast.prediction is None or forecast.prediction.at_top is None:
        return 0
    rows = power_rows(forecast.prediction.at_top.books, measures)
    return px(16) + px(32) + px(24) + px(24) * len(rows) + px(8) if rows else 0


def rule(painter: Painter, y: float) -> None:
    """Draw the line above a piece of the verdict."""
    painter.fill(px(MARGIN), y, painter.width - 2 * px(MARGIN), 1, painter.theme.rule)


def paint_band(painter: Painter, forecast: Forecast, top: float) -> None:
    """Write which figures make the likely range wide, and how much."""
    assert forecast.band is not None
    colours = painter.theme
    left, right = px(MARGIN), painter.width - px(MARGIN)
    rule(painter, top)
    line = baseline(top + px(12), px(24), "heading")
    painter.text(left, line, "What makes the range wide", "heading", colours.ink)
    top += px(16) + px(28)
    for share in forecast.band.shares:
        line = baseline(top, px(22), "body")
        percent = f"{100 * share.share:.0f} %"
        figure = painter.text(right, line, percent, "figure", colours.ink, RIGHT)
        end = right - max(figure, px(40)) - px(8)
        width = painter.text(end, line, share.source, "label", colours.ink2, RIGHT)
        room = end - width - px(8) - left
        painter.text(left, line, share.label, "body", colours.ink, room=room)
        painter.fill(left, top + px(23), right - left, 1, colours.rule)
        painter.fill(left, top + px(22), share.share * (right - left), px(3), colours.ink2)
        top += px(32)


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
