"""Curves of a sheet as data, in the units shown, so that any renderer can draw them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis of a plot; `ticks` are places and their figures."""

    title: str
    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve as data, in the axes' units.

    Attributes
    ----------
    style : str
        "now", "second", "third", "fourth", "edge" of a band, "late" of a lift that is, or "off" the
        road.
    label : str
        Written at its highest point; "" for none.
    """

    xs: tuple[float, ...]
    ys: tuple[float, ...]
    style: str = "now"
    label: str = ""


@dataclass(frozen=True, slots=True)
class Band:
    """What lies between two curves over the same places."""

    xs: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Level:
    """A labelled line across the plot."""

    y: float
    label: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A ring at a place, or a dot, with words."""

    x: float
    y: float
    label: str
    is_full: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of the axis with what holds there, from its fullest words to its shortest."""

    start: float
    end: float
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Plot:
    """Curves, described so that any renderer can draw them.

    Attributes
    ----------
    alternative : str
        The plot in sentences.
    height : float
        [mm]
    end : float or None
        Where the road ends, where the axis goes on.
    """

    alternative: str
    x: Axis
    y: Axis
    curves: tuple[Curve, ...]
    band: Band | None = None
    levels: tuple[Level, ...] = ()
    marks: tuple[Mark, ...] = ()
    stretches: tuple[Stretch, ...] = ()
    height: float = 60.0
    end: float | None = None
