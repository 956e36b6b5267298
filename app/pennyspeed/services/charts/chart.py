"""Chart: what a view of curves consists of, in the units shown, before it has a size."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import Unit
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.table import Table, along, head

SECOND = Unit("s", "time", 1.0)
TOO_FAST = "past its top speed"
"""Of curves over road speed, beyond what the car reaches."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """How a line is drawn: width and dashes in pixels at 100 %, colour a role of the theme.

    Attributes
    ----------
    is_crisp : bool
        Its edges are whole pixels: for lines that are level or upright.
    """

    width: float
    colour: str = "ink"
    dash: tuple[float, ...] = ()
    is_crisp: bool = False


NOW = Stroke(3.0, "accent")
GHOST = Stroke(1.25)
OTHER = Stroke(2.0, "ink2")
TARGET = Stroke(1.0, dash=(7, 5))
RATING = Stroke(1.0, "watch", (12, 3))


@dataclass(frozen=True, slots=True)
class Series:
    """One quantity along the chart.

    Attributes
    ----------
    name : str
        In the card and in the table.
    values : array
        In the panel's unit; NaN where there is none.
    label : str
        What is written at its curve, "" for nothing.
    decimals, nearest
        How it is read off: so many decimals, to the nearest such step.
    has_ghost : bool
        Whether it is drawn for what is tried, too.
    texture : str
        Of its layer, where it is part of a stack.
    """

    name: str
    values: FloatArray
    stroke: Stroke = NOW
    label: str = ""
    decimals: int = 0
    nearest: float = 0.0
    has_ghost: bool = True
    texture: str = ""

    def said(self, at: float, xs: FloatArray, unit: str, measures: Measures) -> str:
        """Return its value at a place with its unit; "" where there is none."""
        value = float(along(np.array([at]), xs, self.values)[0])
        if not np.isfinite(value):
            return ""
        if self.nearest:
            value = round(value / self.nearest) * self.nearest
        return f"{measures.number(value, self.decimals)} {unit}"


@dataclass(frozen=True, slots=True)
class Limit:
    """A level line with its name."""

    value: float
    text: str
    stroke: Stroke = RATING


@dataclass(frozen=True, slots=True)
class Mark:
    """A ringed point of a curve with its name."""

    x: float
    y: float
    text: str


@dataclass(frozen=True, slots=True)
class Panel:
    """One frame: a quantity with its curves.

    Attributes
    ----------
    stack : tuple of Series
        Layers on top of each other, from the lowest.
    bottom, top : float or None
        Where the axis begins and ends, where that is not where the curves do.
    from_zero : bool
        Whether the axis starts at 0 however little the curves move.
    """

    title: str
    unit: str
    series: tuple[Series, ...] = ()
    limits: tuple[Limit, ...] = ()
    marks: tuple[Mark, ...] = ()
    stack: tuple[Series, ...] = ()
    bottom: float | None = None
    top: float | None = None
    from_zero: bool = True


@dataclass(frozen=True, slots=True)
class Chart:
    """Panels over one quantity.

    Attributes
    ----------
    xs : array
        Rising from 0, in `x_unit`.
    at : str
        How a place is said: "at {}", "after {}".
    absent : str
        What is said of a curve that is not there.
    beyond : str
        What is said of curves past their end, where that is not the same.
    """

    xs: FloatArray
    x_name: str
    x_unit: Unit
    at: str
    panels: tuple[Panel, ...]
    summary: str
    columns: int = 1
    x_decimals: int = 0
    absent: str = "none"
    beyond: str = ""

    def every(self) -> Iterator[tuple[Panel, Series]]:
        """Yield every series with its panel, a stack from the top as it is seen."""
        for panel in self.panels:
            for one in (*panel.series, *panel.stack[::-1]):
                yield panel, one

    def stops(self) -> list[float]:
        """Return the places of its marks, rising, in SI."""
        places = {mark.x * self.x_unit.factor for panel in self.panels for mark in panel.marks}
        return sorted(places)

    def heading(self, at: float, measures: Measures) -> str:
        """Return how a place [SI] is said."""
        figure = measures.number(at / self.x_unit.factor, self.x_decimals)
        return self.at.format(f"{figure} {self.x_unit.symbol}")

    def unsaid(self, x: float) -> str:
        """Return what is said where a curve has no value, at a place in `x_unit`."""
        return self.beyond if self.beyond and x > self.xs[-1] else self.absent

    def rows(
        self, at: float, measures: Measures, ghost: Chart | None = None, ghost_name: str = ""
    ) -> list[tuple[str, ...]]:
        """Return what every curve says at a place [SI]: name, value, and what is tried."""
        x = at / self.x_unit.factor
        now = self._said(x, measures)
        if ghost is None:
            return list(now.items())
        tried = ghost._said(x, measures)
        return [
            ("", "the car now", ghost_name or "tried"),
            *((name, value, tried.get(name, "")) for name, value in now.items()),
        ]

    def _said(self, x: float, measures: Measures) -> dict[str, str]:
        return {
            one.name: one.said(x, self.xs, panel.unit, measures) or self.unsaid(x)
            for panel, one in self.every()
        }

    def table(self, ghost: Chart | None = None, ghost_name: str = "") -> Table:
        """Return every curve as a column, those of what is tried behind them."""
        places = self.xs if ghost is None else np.union1d(self.xs, ghost.xs)
        heads, columns = [head(self.x_name, self.x_unit.symbol)], [places]
        named = [(self, "")]
        if ghost is not None:
            named.append((ghost, f" with {ghost_name or 'what is tried'}"))
        for chart, behind in named:
            for panel, one in chart.every():
                heads.append(head(one.name + behind, panel.unit))
                columns.append(along(places, chart.xs, one.values))
        return Table(tuple(heads), tuple(columns))
