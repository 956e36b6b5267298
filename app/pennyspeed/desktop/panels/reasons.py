"""Reasons below the verdict: what makes the likely range wide, and where the power goes."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QBrush

from pennyspeed.desktop.sheet import RIGHT, Sheet, baseline
from pennyspeed.desktop.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.provenance import WORDS, Provenance
from pennyspeed.domain.units import KMH
from pennyspeed.physics.results import PowerBooks
from pennyspeed.services.forecast import Forecast

MARGIN = 24


def power_rows(books: PowerBooks, measures: Measures) -> list[tuple[str, str, float]]:
    """Return where the power at top speed goes: label, figure and share, largest first."""
    watts = {
        "air": float(books.drag),
        "motor": float(books.winding) + float(books.no_load),
        "gears": float(books.gears),
        "rolling": float(books.rolling),
        "pack and controller": float(books.pack) + float(books.controller),
        "slope": float(books.grade),
    }
    whole = sum(value for value in watts.values() if value > 0) or 1.0
    found = [(name, value) for name, value in watts.items() if value > 0.005 * whole]
    found.sort(key=lambda pair: -pair[1])
    return [(name, f"{measures.number(value)} W", value / whole) for name, value in found]


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


def rule(sheet: Sheet, y: float) -> None:
    """Draw the line above a piece of the verdict."""
    sheet.fill(px(MARGIN), y, sheet.width - 2 * px(MARGIN), 1, sheet.theme.rule)


def paint_band(sheet: Sheet, forecast: Forecast, top: float) -> None:
    """Write which figures make the likely range wide, and how much."""
    assert forecast.band is not None
    colours = sheet.theme
    left, right = px(MARGIN), sheet.width - px(MARGIN)
    rule(sheet, top)
    line = baseline(top + px(12), px(24), "heading")
    sheet.text(left, line, "What makes the range wide", "heading", colours.ink)
    top += px(16) + px(28)
    for share in forecast.band.shares:
        line = baseline(top, px(22), "body")
        percent = f"{100 * share.share:.0f} %"
        figure = sheet.text(right, line, percent, "figure", colours.ink, RIGHT)
        source = WORDS[Provenance(share.provenance)]
        end = right - max(figure, px(40)) - px(8)
        width = sheet.text(end, line, source, "label", colours.ink2, RIGHT)
        room = end - width - px(8) - left
        sheet.text(left, line, share.label, "body", colours.ink, room=room)
        sheet.fill(left, top + px(23), right - left, 1, colours.rule)
        sheet.fill(left, top + px(22), share.share * (right - left), px(3), colours.ink2)
        top += px(32)


def paint_power(sheet: Sheet, forecast: Forecast, measures: Measures, top: float) -> None:
    """Write where the power at top speed goes."""
    prediction = forecast.prediction
    assert prediction is not None
    assert prediction.at_top is not None
    colours = sheet.theme
    left, right = px(MARGIN), sheet.width - px(MARGIN)
    rule(sheet, top)
    rows = power_rows(prediction.at_top.books, measures)
    watts = measures.number(float(prediction.at_top.books.source))
    title = f"Where {watts} W go at {measures.speed(KMH.from_si(prediction.top_speed))}"
    line = baseline(top + px(12), px(24), "heading")
    sheet.text(left, line, title, "heading", colours.ink, room=right - left)
    top += px(16) + px(28)
    x = float(left)
    for i, (_, _, share) in enumerate(rows):
        width = max(round(share * (right - left)) - 1, 1)
        _piece(sheet, QRectF(x, top, width, px(14)), i)
        x += width + 1
    top += px(22)
    for i, (label, figure, _) in enumerate(rows):
        line = baseline(top, px(24), "body")
        _piece(sheet, QRectF(left, top + px(7), px(14), px(10)), i)
        sheet.text(left + px(24), line, label, "body", colours.ink2)
        sheet.text(right, line, figure, "figure", colours.ink, RIGHT)
        top += px(24)


def _piece(sheet: Sheet, box: QRectF, which: int) -> None:
    """Fill a piece so that neighbours differ without colour."""
    patterns = (
        Qt.BrushStyle.SolidPattern,
        Qt.BrushStyle.BDiagPattern,
        Qt.BrushStyle.Dense6Pattern,
        Qt.BrushStyle.NoBrush,
        Qt.BrushStyle.HorPattern,
        Qt.BrushStyle.FDiagPattern,
    )
    box.moveLeft(sheet.left(box.left(), box.width()))
    painter = sheet.painter
    painter.save()
    painter.setPen(sheet.theme.ink2)
    painter.setBrush(QBrush(sheet.theme.ink2, patterns[which % len(patterns)]))
    painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
    painter.restore()
