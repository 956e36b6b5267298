"""Charts: the views above the shelf.

To add one: write a module beside :mod:`~pennyspeed.desktop.charts.views.forces` with a widget
derived from :class:`~pennyspeed.desktop.charts.series_chart.SeriesChart` (or from
:class:`~pennyspeed.desktop.charts.canvas.Canvas`, if it is laid out in a way of its own), and name
it in :data:`CHARTS`. Its digit key is its place there; it is imported when it is first chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.canvas import Canvas
from pennyspeed.desktop.charts.views.road import RoadChart


@dataclass(frozen=True, slots=True)
class View:
    """A view that can be chosen.

    Attributes
    ----------
    key : str
        How settings call it.
    title : str
        Its word in the row of views.
    help : str
        What it shows, in one line.
    make : callable
        Returns a new widget of this view; what only it needs is imported there.
    """

    key: str
    title: str
    help: str
    make: Callable[[], QWidget]


def _chart(key: str, title: str, help: str, module: str, name: str) -> View:
    def make() -> QWidget:
        found = getattr(import_module(f"{__name__}.views.{module}"), name)()
        assert isinstance(found, Canvas)
        return found

    return View(key, title, help, make)


CHARTS: tuple[View, ...] = (
    _chart("road", "Road", "Speed over the road, and where to lift", "road", "RoadChart"),
    _chart("time", "Time", "Speed and distance over time", "run_time", "RunTimeChart"),
    _chart(
        "forces", "Forces", "What pushes the car, against what holds it", "forces", "ForcesChart"
    ),
    _chart("motor", "Motor", "The motor over the speed of the car", "motor", "MotorChart"),
    _chart("power", "Power", "Where the power of the pack goes", "power", "PowerChart"),
    _chart("heat", "Heat", "Charge and motor temperature over the run", "heat", "HeatChart"),
)
"""The views in the order of their digit keys."""

BY_KEY: dict[str, View] = {view.key: view for view in CHARTS}

__all__ = ["BY_KEY", "CHARTS", "Canvas", "RoadChart", "View"]
