"""Plots: the views above the shelf.

To add one: write a module beside :mod:`~pennyspeed.desktop.plots.forces` with a widget derived from
:class:`~pennyspeed.desktop.plots.plot.Plot`, and name it in :data:`PLOTS`. Its digit key is its
place there; it is imported when it is first chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from PySide6.QtWidgets import QWidget

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
    make : callable
        Returns a new widget of this view; what only it needs is imported there.
    """

    key: str
    title: str
    help: str
    make: Callable[[], QWidget]


def _plot(key: str, title: str, help: str, module: str, name: str) -> View:
    def make() -> QWidget:
        found = getattr(import_module(f"{__name__}.{module}"), name)()
        assert isinstance(found, Plot)
        return found

    return View(key, title, help, make)


PLOTS: tuple[View, ...] = (
    _plot("road", "Road", "Speed over the road, and where to lift", "road", "RoadPlot"),
    _plot("time", "Time", "Speed and distance over time", "run_time", "TimePlot"),
    _plot("forces", "Forces", "What pushes the car, against what holds it", "forces", "ForcesPlot"),
    _plot("motor", "Motor", "The motor over the speed of the car", "motor", "MotorPlot"),
    _plot("power", "Power", "Where the power of the pack goes", "power", "PowerPlot"),
    _plot("heat", "Heat", "Charge and motor temperature over the run", "heat", "HeatPlot"),
)
"""The views in the order of their digit keys."""

BY_KEY: dict[str, View] = {view.key: view for view in PLOTS}

__all__ = ["BY_KEY", "PLOTS", "Plot", "RoadPlot", "View"]
