"""What a layout of the road plot consists of."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.board import Board
from pennyspeed.desktop.widgets.theme import LEFT, Words
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import Stretch

Curve = tuple[FloatArray, FloatArray]


@dataclass(frozen=True, slots=True)
class Placed:
    """A text that has its place.

    Attributes
    ----------
    colour : str
        A role of the theme.
    plate : bool
        It stands on a plate of ground that breaks what runs behind.
    reach : float
        By how much the plate goes on to the right, to the figure that belongs to a name.
    """

    words: Words
    x: float
    baseline: float
    colour: str = "ink2"
    align: float = LEFT
    plate: bool = False
    reach: float = 0.0

    @property
    def box(self) -> QRectF:
        """What it covers."""
        return self.words.box(self.x, self.baseline, self.align)


@dataclass(frozen=True, slots=True)
class Shown:
    """What the plot is asked to show.

    Attributes
    ----------
    ghost_name : str
        The part that is tried; its label reads 'with …'.
    close_up : bool
        The speed axis starts above 0.
    """

    forecast: Forecast
    measures: Measures
    ghost: Forecast | None = None
    ghost_name: str = ""
    close_up: bool = False


@dataclass(slots=True)
class RoadLayout:
    """Where everything stands, in pixels but for the curves, which are in the units shown."""

    scale: Scale
    grid: list[float] = field(default_factory=list)
    marks: list[float] = field(default_factory=list)
    labels: list[Placed] = field(default_factory=list)
    leaders: list[tuple[QPointF, QPointF]] = field(default_factory=list)
    now: Curve | None = None
    ghost: Curve | None = None
    band: QPolygonF | None = None
    band_edges: tuple[QPolygonF, ...] = ()
    target: float | None = None
    ring: QPointF | None = None
    ghost_ring: QPointF | None = None
    pieces: tuple[Stretch, ...] = ()
    strip: list[tuple[float, float, str]] = field(default_factory=list)
    strip_axis: float = 0.0
    board: Board | None = None
    ground: Ground | None = None


@dataclass(frozen=True, slots=True)
class Ground:
    """What hangs on the car and the axes alone, and so stays while parts are tried.

    Attributes
    ----------
    step : float
        Between two ticks of the upright axis.
    layout : RoadLayout
        Without what is tried and without the labels inside the frame.
    edges : tuple of Curve
        Lower and upper edge of the band in pixels, or nothing.
    """

    forecast: Forecast
    measures: Measures
    scale: Scale
    step: float
    layout: RoadLayout
    edges: tuple[Curve, ...]

    def is_for(self, shown: Shown, scale: Scale, step: float) -> bool:
        """Tell whether it is what that car needs on these axes."""
        return (
            self.forecast is shown.forecast
            and self.measures == shown.measures
            and self.scale == scale
            and self.step == step
        )
