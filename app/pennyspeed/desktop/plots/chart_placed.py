"""What a layout of a chart consists of, in pixels."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.plots.chart import Chart, Panel, Series, Stroke
from pennyspeed.desktop.plots.placed import Placed
from pennyspeed.desktop.plots.textures import Fill


@dataclass(slots=True)
class Laid:
    """One panel in pixels."""

    panel: Panel
    scale: Scale
    board: Board
    grid: list[float] = field(default_factory=list)
    marks: list[float] = field(default_factory=list)
    fills: list[Fill] = field(default_factory=list)
    edges: list[QPolygonF] = field(default_factory=list)
    levels: list[tuple[float, Stroke]] = field(default_factory=list)
    lines: list[tuple[QPolygonF, Stroke]] = field(default_factory=list)
    rings: list[tuple[QPointF, bool]] = field(default_factory=list)
    """Points, and whether they are those of what is tried."""


@dataclass(slots=True)
class ChartLayout:
    """Where everything stands."""

    chart: Chart | None
    ghost: Chart | None
    panels: list[Laid] = field(default_factory=list)
    labels: list[Placed] = field(default_factory=list)
    leaders: list[tuple[QPointF, QPointF]] = field(default_factory=list)

    def ghosts(self, place: int) -> list[Series]:
        """Return the curves of a panel that are drawn for what is tried."""
        if self.ghost is None:
            return []
        return [one for one in self.ghost.panels[place].series if one.has_ghost]
