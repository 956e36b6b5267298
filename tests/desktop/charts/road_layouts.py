"""Road charts laid out at many sizes, in both units, with and without a ghost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QRectF, QSizeF

from labels import IMPERIAL, METRIC, check_apart
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.views.road_layout import RoadLayout, lay_out
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.services.prediction.forecast import Forecast


def checked_layouts(
    found: Forecast,
    ghost: Forecast,
    sizes: Sequence[tuple[int, int, int]],
    keeper: themes.ThemeKeeper,
) -> Iterator[tuple[RoadLayout, str]]:
    """Yield each layout, whose labels neither collide nor leave the plot, and what it is."""
    for width, height, percent in sizes:
        keeper.choose_text(percent)
        for measures in (METRIC, IMPERIAL):
            for other in (None, ghost):
                shown = ChartInput(found, measures, other, "Potting bench 3600")
                layout = lay_out(shown, QSizeF(width, height))
                case = f"{width}×{height} at {percent} %, {measures.speed_unit.symbol}"
                check_apart(layout.labels, QRectF(0, 0, width, height), 1, case)
                yield layout, case
