"""Plots: the views above the shelf.

To add one: write a module beside :mod:`~pennyspeed.desktop.plots.forces` with a widget derived from
:class:`~pennyspeed.desktop.plots.plot.Plot`, and name it in :data:`PLOTS`. Its digit key is its
place there; it is imported when it is first chosen.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module

from pennyspeed.desktop.plots.plot import Plot
from pennyspeed.desktop.plots.road import RoadPlot


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
    place : str
        Module and class of its widget.
    """

    key: str
    title: str
    help: str
    place: str

    def make(self) -> Plot:
        """Return a new widget of this view."""
        module, name = self.place.split(":")
        found = getattr(import_module(f"{__name__}.{module}"), name)()
        assert isinstance(found, Plot)
        return found


PLOTS: tuple[View, ...] = (
    View("road", "Road", "Speed over the road, and where to lift", "road:RoadPlot"),
    View("time", "Time", "Speed and distance over time", "run_time:TimePlot"),
    View("forces", "Forces", "What pushes the car, against what holds it", "forces:ForcesPlot"),
    View("motor", "Motor", "The motor over the speed of the car", "motor:MotorPlot"),
    View("power", "Power", "Where the power of the pack goes", "power:PowerPlot"),
    View("heat", "Heat", "Charge and motor temperature over the run", "heat:HeatPlot"),
)
"""The views in the order of their digit keys."""

BY_KEY: dict[str, View] = {view.key: view for view in PLOTS}

__all__ = ["BY_KEY", "PLOTS", "Plot", "RoadPlot", "View"]
