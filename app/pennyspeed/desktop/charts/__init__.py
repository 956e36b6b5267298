"""Charts: the views above the shelf.

To add one: write a module beside :mod:`~pennyspeed.desktop.charts.views.forces` with a widget
derived from :class:`~pennyspeed.desktop.charts.series_chart.SeriesChart` (or from
:class:`~pennyspeed.desktop.charts.canvas.Canvas`, if it is laid out in a way of its own), and name
it in :data:`CHARTS`. Its digit key is its place there; it is imported when it is first chosen.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from pennyspeed.desktop.charts.canvas import Canvas


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
    module, name : str
        Where its widget's class is: a module of :mod:`~pennyspeed.desktop.charts.views`.
    """

    key: str
    title: str
    help: str
    module: str
    name: str

    def make(self) -> Canvas:
        """Return a new widget of this view, whose module is imported only now."""
        made = getattr(import_module(f"{__name__}.views.{self.module}"), self.name)()
        assert isinstance(made, Canvas)
        return made


CHARTS: tuple[View, ...] = (
    View("road", "Road", "Speed over the road, and where to lift", "road", "RoadChart"),
    View("time", "Time", "Speed and distance over time", "run_time", "RunTimeChart"),
    View("forces", "Forces", "What pushes the car, against what holds it", "forces", "ForcesChart"),
    View("motor", "Motor", "The motor over the speed of the car", "motor", "MotorChart"),
    View("power", "Power", "Where the power of the pack goes", "power", "PowerChart"),
    View("heat", "Heat", "Charge and motor temperature over the run", "heat", "HeatChart"),
)
"""The views in the order of their digit keys."""

BY_KEY: dict[str, View] = {view.key: view for view in CHARTS}

__all__ = ["BY_KEY", "CHARTS", "Canvas", "View"]
