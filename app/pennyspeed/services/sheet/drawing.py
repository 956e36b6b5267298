"""Drawing: a plot or a code as lines, areas and words in millimetres, for any renderer.

The origin is the upper left corner; y grows downward.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pennyspeed.services.sheet.curves import Mark, Plot
from pennyspeed.services.sheet.document import CENTRE, END, START, Code

MM_PER_PT = 25.4 / 72.0

COLOURS = {
    "ink": "#14181B",
    "ink2": "#465057",
    "ink3": "#5B646A",
    "line": "#727B81",
    "rule": "#CDD2CF",
    "accent": "#0067A5",
    "band": "#D3E3EC",
    "band_edge": "#587C93",
    "stop": "#A93B00",
    "watch": "#7A5400",
    "paper": "#FFFFFF",
}
"""Colours by role on white paper; those of the light window, so that both look alike."""

_WHITE = {"paper", "band"}
MONO = {role: "#FFFFFF" if role in _WHITE else "#000000" for role in COLOURS}
"""Black and white only: a band is told by its edges, what is marked by frame and weight."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line through points; `dash` in widths, empty for a solid one."""

    points: tuple[tuple[float, float], ...]
    colour: str
    width: float
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Area:
    """A filled outline; several rings are one shape."""

    rings: tuple[tuple[tuple[float, float], ...], ...]
    colour: str


@dataclass(frozen=True, slots=True)
class Ring:
    """An open ring on paper's colour."""

    x: float
    y: float
    radius: float
    colour: str
    width: float


@dataclass(frozen=True, slots=True)
class Words:
    """Words whose baseline is at y; `plate` puts paper's colour behind them."""

    x: float
    y: float
    text: str
    size_pt: float
    colour: str = "ink2"
    align: str = START
    strong: bool = False
    plate: bool = False


Shape: TypeAlias = Line | Area | Ring | Words

_SMALL_PT, _LABEL_PT = 7.5, 8.5
_LEFT, _RIGHT, _TOP, _STRIP, _BELOW = 10.0, 5.0, 5.0, 5.0, 9.0
_NAME_BELOW = 5.5
_CLOSE = 0.01
_LETTER = 0.52
"""Width of a letter over the size of its type, on average, to tell what has room."""

_STYLES: dict[str, tuple[str, float, tuple[float, ...]]] = {
    "now": ("accent", 0.7, ()),
    "second": ("ink", 0.4, ()),
    "third": ("ink", 0.4, (8.0, 3.0, 1.5, 3.0)),
    "fourth": ("ink", 0.45, (1.5, 2.5)),
    "edge": ("band_edge", 0.2, (1.5, 2.5)),
    "late": ("ink", 0.4, (5.0, 3.0)),
    "off": ("stop", 0.6, ()),
}


def width_of(text: str, size_pt: float) -> float:
    """Return roughly how wide words are [mm]."""
    return len(text) * _LETTER * size_pt * MM_PER_PT


def draw_plot(plot: Plot, width: float) -> tuple[Shape, ...]:
    """Return a plot as shapes, `width` wide and `plot.height` high [mm]."""
    return tuple(_Plotter(plot, width).shapes())


class _Plotter:
    def __init__(self, plot: Plot, width: float) -> None:
        self.plot = plot
        self.left, self.right = _LEFT, width - _RIGHT
        self.top = _TOP
        self.strip = _STRIP if plot.stretches else 0.0
        self.bottom = plot.height - _BELOW - self.strip

    def x(self, value: float) -> float:
        axis = self.plot.x
        share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
        return round(self.left + share * (self.right - self.left), 3)

    def y(self, value: float) -> float:
        axis = self.plot.y
        share = (value - axis.low) / ((axis.high - axis.low) or 1.0)
        return round(self.bottom - share * (self.bottom - self.top), 3)

    def shapes(self) -> Iterator[Shape]:
        yield from self._grid()
        yield from self._band()
        for level in self.plot.levels:
            at = self.y(level.y)
            yield Line(((self.left, at), (self.right, at)), "ink", 0.25, (7.0, 5.0))
        for curve in self.plot.curves:
            colour, wide, dash = _STYLES[curve.style]
            yield Line(self._path(curve.xs, curve.ys), colour, wide, dash)
        yield from self._end()
        yield from self._stretches()
        yield from self._labels()
        for mark in self.plot.marks:
            yield from self._mark(mark)

    def _grid(self) -> Iterator[Shape]:
        levels = self.plot.levels
        for value, text in self.plot.y.ticks:
            at = self.y(value)
            if value == self.plot.y.low:
                yield Line(((self.left, at), (self.right, at)), "line", 0.15)
            elif all(abs(level.y - value) > _CLOSE * self.plot.y.high for level in levels):
                # dotted, so that black on white it is still no line that means something
                yield Line(((self.left, at), (self.right, at)), "rule", 0.15, (1.0, 5.0))
            yield Words(self.left - 1.5, at + 0.9, text, _SMALL_PT, "ink3", END)
        yield Words(0.0, self.top - 2.2, self.plot.y.title, _SMALL_PT, "ink3")
        base = self.bottom + self.strip
        if self.strip:
            yield Line(((self.left, base), (self.right, base)), "line", 0.15)
        for value, text in self.plot.x.ticks:
            at = self.x(value)
            yield Line(((at, base), (at, base + 1.0)), "line", 0.15)
            yield Words(at, base + 4.0, text, _SMALL_PT, "ink3", CENTRE)
        yield Words(self.right, base + 7.6, self.plot.x.title, _SMALL_PT, "ink3", END)

    def _band(self) -> Iterator[Shape]:
        band = self.plot.band
        if band is None:
            return
        low, high = self._path(band.xs, band.low), self._path(band.xs, band.high)
        yield Area(((*high, *reversed(low)),), "band")
        colour, wide, dash = _STYLES["edge"]
        yield Line(low, colour, wide, dash)
        yield Line(high, colour, wide, dash)

    def _path(self, xs: Sequence[float], ys: Sequence[float]) -> tuple[tuple[float, float], ...]:
        return tuple((self.x(x), self.y(y)) for x, y in zip(xs, ys, strict=True))

    def _end(self) -> Iterator[Shape]:
        """The end of the road, where the axis goes on."""
        if self.plot.end is not None:
            x, base = self.x(self.plot.end), self.bottom + self.strip
            yield Line(((x, self.top), (x, base)), "ink", 0.7)
            room = self.right - x - 1.5 > width_of("road ends", _SMALL_PT)
            at, align = (x + 1.5, START) if room else (x - 1.5, END)
            yield Words(at, self.top + 2.6, "road ends", _SMALL_PT, "ink", align, plate=True)

    def _stretches(self) -> Iterator[Shape]:
        base = self.bottom + self.strip
        for stretch in self.plot.stretches:
            start, end = self.x(stretch.start), self.x(min(stretch.end, self.plot.x.high))
            if stretch.start > self.plot.x.low:
                yield Line(((start, self.bottom), (start, base)), "line", 0.15)
            for text in stretch.words:
                if width_of(text, _SMALL_PT) < end - start - 1.0:
                    yield Words(0.5 * (start + end), base - 1.6, text, _SMALL_PT, "ink2", CENTRE)
                    break

    def _labels(self) -> Iterator[Shape]:
        for level in self.plot.levels:
            at = self.y(level.y)
            yield Words(self.left + 1.5, at - 0.9, level.label, _LABEL_PT, "ink", plate=True)
        named = [curve for curve in self.plot.curves if curve.label]
        for place, curve in enumerate(named):
            # spread along the curves, so that names of curves that nearly coincide part
            at = round((0.2 + 0.17 * place) * (len(curve.xs) - 1))
            x, y = self.x(curve.xs[at]), self.y(curve.ys[at])
            down = min(y + _NAME_BELOW, self.bottom - 1.5)
            yield Line(((x, y), (x + 1.2, down - 1.0)), "line", 0.15)
            yield Words(x + 1.5, down, curve.label, _LABEL_PT, "ink", strong=True, plate=True)

    def _mark(self, mark: Mark) -> Iterator[Shape]:
        x, y = self.x(mark.x), self.y(mark.y)
        yield Line(((x, y), (x, self.bottom)), "ink", 0.2)
        # a ring half as large and as wide as it is large is a dot of the same size
        yield Ring(x, y, 0.65, "accent", 1.3) if mark.is_full else Ring(x, y, 1.1, "accent", 0.5)
        # a dot comes behind a ring, whose words stand before it and higher
        down = y + (0.55 if mark.is_full else 0.35) * (self.bottom - y)
        room = not mark.is_full and x - self.left > width_of(mark.label, _LABEL_PT) + 4.0
        yield Words(
            x - 1.5 if room else x + 1.5,
            down,
            mark.label,
            _LABEL_PT,
            "ink",
            END if room else START,
            strong=True,
            plate=not mark.is_full,
        )


def draw_code(code: Code, side: float) -> Area:
    """Return the dark modules of a code as one area, `side` wide with its quiet zone [mm].

    The quiet zone is four modules on every side (ISO/IEC 18004).
    """
    count = len(code.modules)
    module = side / (count + 8)
    rings = []
    for row, modules in enumerate(code.modules):
        start = None
        for column, dark in enumerate((*modules, False)):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                left, right = (round((4 + place) * module, 4) for place in (start, column))
                top, bottom = (round((4 + place) * module, 4) for place in (row, row + 1))
                rings.append(((left, top), (right, top), (right, bottom), (left, bottom)))
                start = None
    return Area(tuple(rings), "ink")
