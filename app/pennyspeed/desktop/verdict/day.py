"""On the day, in the verdict: where to stand the marker, and when the car gets there."""

from __future__ import annotations

from pennyspeed.desktop.verdict.reasons import MARGIN, rule
from pennyspeed.desktop.widgets.figure_rows import FIGURE_ROW, paint_rows
from pennyspeed.desktop.widgets.painter import Painter, baseline, wrapped
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.reports.on_the_day import day_rows, day_sentence

HEAD, LINE = 44, 18


def day_height(forecast: Forecast | None, measures: Measures, width: float) -> int:
    """Return how high :func:`paint_day` paints, 0 where the car does not move."""
    rows = day_rows(forecast, measures)
    if not rows or forecast is None:
        return 0
    lines = _lines(forecast, measures, width)
    return px(HEAD) + px(FIGURE_ROW) * len(rows) + px(4) + px(LINE) * len(lines) + px(16)


def paint_day(painter: Painter, forecast: Forecast, measures: Measures, top: float) -> None:
    """Write where the driver lifts, in figures and in a sentence."""
    left, right = px(MARGIN), painter.width - px(MARGIN)
    rule(painter, top)
    line = baseline(top + px(12), px(24), "heading")
    painter.text(left, line, "On the day", "heading", painter.theme.ink)
    top = paint_rows(painter, day_rows(forecast, measures), left, top + px(HEAD), right)
    lines = _lines(forecast, measures, painter.width)
    painter.lines(left, top + px(4), px(LINE), lines, "label", painter.theme.ink2)


def _lines(forecast: Forecast, measures: Measures, width: float) -> list[str]:
    return wrapped(day_sentence(forecast, measures), "label", width - 2 * px(MARGIN))
