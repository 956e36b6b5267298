"""Builds beside each other over the road: each a line of its own style, named at its end.

::

    speed, km/h, axis from 60
    140 ──────────────────────────────────────────
        target 130 ─ ─ ─ ─ ─ ─ ─   B  used motor  133
    120 ────────────────────────── A  the car now 118
     60 ──────────────────────────────────────────
        0    20    40    60    80   …         220 m
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from PySide6.QtCore import QMarginsF, QPointF, QRectF, QSizeF

from pennyspeed.desktop.charts.axes import upright_axis
from pennyspeed.desktop.charts.canvas import Canvas
from pennyspeed.desktop.charts.card import Card
from pennyspeed.desktop.charts.chart_input import ChartInput
from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import NOW_RING, Curve, Label, Layout, RingStyle
from pennyspeed.desktop.charts.over_road import (
    add_run,
    name_target,
    road_axis,
    road_of,
    speed_frame,
    target_of,
)
from pennyspeed.desktop.charts.reader import Crosshair
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import CENTRE, LEFT, RIGHT, metrics, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.results import LateLift
from pennyspeed.services.charts.beside import Line, beside_summary, beside_table
from pennyspeed.services.charts.chart import Stroke
from pennyspeed.services.charts.road_curves import speed_curve
from pennyspeed.services.charts.table import Table
from pennyspeed.services.prediction.forecast import Forecast

TITLE = "Beside"

STYLES: tuple[tuple[float, tuple[float, ...]], ...] = (
    (3.0, ()),
    (1.5, ()),
    (1.5, (12, 4, 2, 4)),
    (2.0, (2, 3)),
    (1.5, (5, 3)),
    (1.5, (14, 3, 2, 3, 2, 3)),
    (2.5, (1.5, 6)),
)
"""Width and dashes in pixels of each letter's line; no two are alike, nor like the target's."""

POINTS = 160
CLOSE_UP_FROM = 0.5
"""Where the speed axis starts when the person looks closer, as a share of the slowest."""
NAME_ROOM = 200
"""Of a build's name on the card of a reading."""
SIDE, HEAD, FOOT = 24, 30, 32
PITCH, LETTER = 22, 22
ROOM = 0.45
"""Of the frame's width that the labels may take."""
ASIDE, GAP = 0.35, 28
"""Of its width that they may take beside it, and how far away they stand there."""
OTHER_RING = RingStyle(3.5, 1.5, "ink")


def stroke_of(letter: str) -> Stroke:
    width, dashes = STYLES[ord(letter) - ord("A")]
    return Stroke(width, "accent" if letter == "A" else "ink", dashes)


@dataclass(frozen=True, slots=True)
class BesideInput(ChartInput):
    """What the chart is asked to show: `forecast` is the first of the lines'."""

    lines: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class End:
    """A line's label: place of the line, height, and its speed."""

    place: int
    baseline: float
    figure: str


@dataclass(slots=True)
class BesideLayout(Layout):
    """Where everything stands, in pixels but for the curves, which are in the units shown.

    Attributes
    ----------
    rings : list of QPointF or None
        Where each line's driver lifts, if that is in sight.
    ends : list of End
        The block of labels, from the fastest down.
    block : QRectF
        Where they stand.
    """

    curves: list[Curve | None] = field(default_factory=list)
    rings: list[QPointF | None] = field(default_factory=list)
    ends: list[End] = field(default_factory=list)
    block: QRectF = field(default_factory=QRectF)


def lay_out(shown: BesideInput, size: QSizeF) -> BesideLayout:
    """Return the layout of what is shown in a widget of that size."""
    made = _Maker(shown, size)
    if made.crowded:
        made = _Maker(shown, size, made.crowded)
    if not made.layout.end:
        # What is said in place of the curves stands alone.
        made.layout.labels.clear()
    return made.layout


class _Maker:
    """Lays out step by step; with `aside` pixels to the right of the frame for the labels.

    Afterwards `crowded` says how many pixels they want there, 0 where they have room inside.
    """

    def __init__(self, shown: BesideInput, size: QSizeF, aside: float = 0.0) -> None:
        self.aside, self.crowded = aside, 0.0
        self.lines, self.measures = shown.lines, shown.measures
        layout = self.layout = BesideLayout()
        layout.curves = [speed_curve(line.forecast, shown.measures) for line in shown.lines]
        peaks = [float(curve[1].max()) for curve in layout.curves if curve is not None]
        ends = [float(curve[0][-1]) for curve in layout.curves if curve is not None]
        road = max(road_of(line.forecast.build, self.measures) for line in shown.lines)
        target = target_of(shown.lines[0].forecast.build, self.measures)
        self.frame, span = speed_frame(
            self.measures,
            size,
            QMarginsF(px(SIDE), px(HEAD), px(SIDE) + aside, px(FOOT)),
            max([road, *ends]),
            CLOSE_UP_FROM * min(peaks) if shown.close_up and peaks else 0.0,
            peaks,
            target,
        )
        layout.frames.append(self.frame)
        self.box = self.frame.scale.frame
        layout.labels += upright_axis(self.frame, span.step, self.measures)
        title = words(span.title("speed", self.measures.speed_unit.symbol, self.measures))
        layout.labels.append(Label(title, px(SIDE), px(16), "ink3"))
        layout.labels += road_axis(self.frame, road, self.measures)
        self._runs()
        if target is not None and span.low <= target <= span.high:
            name_target(FrameLabels(layout, self.frame), target, self.measures, "above")
        self._names()

    def _runs(self) -> None:
        """Draw every build's curve with its ring; that of the car now comes last, on top."""
        layout, unit = self.layout, self.measures.road_unit.factor
        layout.unit = layout.step = unit
        layout.end = max(line.end for line in self.lines)
        lifts = set()
        for line, curve in zip(self.lines, layout.curves, strict=True):
            found, ring = line.forecast.prediction, None
            if found is not None:
                lifts.add(found.lift_at)
            if curve is not None and found is not None:
                style = NOW_RING if line.letter == "A" else OTHER_RING
                ring = add_run(
                    self.frame, curve, found, self.measures, stroke_of(line.letter), style, POINTS
                )
            is_seen = ring is not None and ring.y() <= self.box.bottom() + 1
            layout.rings.append(ring if is_seen else None)
        layout.stops = sorted(lifts)
        self.frame.rings.reverse()
        self.frame.read.reverse()

    def _names(self) -> None:
        """Place the labels under each other, the fastest on top, beside the braking curves."""
        layout, box, placer = self.layout, self.box, self.frame.placer
        rows: list[tuple[float, int, str]] = []
        for i, line in enumerate(self.lines):
            found = line.forecast.prediction
            if found is None:
                rows.append((-1.0, i, "–"))
            else:
                kmh, goal = KMH.from_si(found.road_speed), line.forecast.build.target_kmh
                figure = self.measures.speed_toward(kmh, goal, unit=False)
                rows.append((found.road_speed, i, figure))
        rows.sort(key=lambda row: (-row[0], row[1]))
        most = ROOM * box.width() - px(90)
        name = max(fitted(line.name, "name_chosen", most).width for line in self.lines)
        figures = max(words(text, "figure").width for *_, text in rows)
        wide = px(LETTER) + name + px(20) + figures
        pitch = px(PITCH)
        near = QPointF(box.right() - wide, box.top() + px(4))
        spot: QRectF | None
        if self.aside:
            pitch = min(pitch, int(box.height() / len(rows)))
            beside = QPointF(box.right() + px(GAP), near.y())
            spot = QRectF(beside, QSizeF(self.aside - px(GAP), pitch * len(rows)))
        else:
            spot = placer.place(wide, pitch * len(rows), near, px(6))
        while spot is None and pitch > metrics("label").height():
            pitch -= 1
            spot = placer.place(wide, pitch * len(rows), near, px(6))
        if spot is None:
            self.crowded = min(wide, ASIDE * box.width()) + px(GAP)
            spot = QRectF(near.x(), near.y(), wide, pitch * len(rows))
        layout.block = spot
        for row, (_, i, text) in enumerate(rows):
            baseline = spot.top() + row * pitch + words("A", "name").ascent
            layout.ends.append(End(i, baseline, text))
            letter = words(self.lines[i].letter, "figure")
            reach = spot.width() - letter.width
            # Every plate comes before every name, as rows may stand close.
            layout.labels.append(
                Label(letter, spot.left(), baseline, self._colour(i), LEFT, True, reach)
            )
        # Where two builds lift at one point, the earlier letter stands on top.
        for end in sorted(layout.ends, key=lambda end: -end.place):
            self._name(end, spot)

    def _colour(self, place: int) -> str:
        return stroke_of(self.lines[place].letter).colour

    def _name(self, end: End, block: QRectF) -> None:
        layout, line, ring = self.layout, self.lines[end.place], self.layout.rings[end.place]
        colour, figure = self._colour(end.place), words(end.figure, "figure")
        room = block.width() - px(LETTER) - px(8) - figure.width
        name = fitted(line.name, "name_chosen" if line.letter == "A" else "body", room)
        layout.labels += [
            Label(name, block.left() + px(LETTER), end.baseline, colour),
            Label(figure, block.right(), end.baseline, colour, RIGHT),
        ]
        if ring is None:
            return
        left, right = block.left() - px(6), block.right() + px(6)
        if left < ring.x() < right:
            # A leader down to its label would cross the others: its letter stands here.
            at = words(line.letter, "label_strong")
            layout.labels.append(Label(at, ring.x(), ring.y() - px(9), colour, CENTRE, True))
            return
        middle = end.baseline - words("A", "name").ascent / 2 + px(2)
        layout.leaders.append((ring, QPointF(left if ring.x() <= left else right, middle)))


class BesideChart(Canvas):
    """The chart; :meth:`show_lines` is all it needs, and Z looks closer at the fast end."""

    NAME = "Builds beside each other, speed over the road"
    HEIGHT, LEAST_HEIGHT = 288, 150
    HAS_CLOSE_UP = True

    def show_lines(self, lines: Sequence[Line], measures: Measures) -> None:
        """Show builds; the first is the car now."""
        close_up = True if self.shown is None else self.shown.close_up
        first = lines[0].forecast
        self._show(BesideInput(first, measures, close_up=close_up, lines=tuple(lines)))

    def show_forecast(
        self,
        forecast: Forecast,
        measures: Measures,
        ghost: Forecast | None = None,
        ghost_name: str = "",
        late: LateLift | None = None,
    ) -> None:
        """Show another car now, beside what is held; what is tried stands in other views."""
        first, *held = self.lines or (Line("A", "the car now", forecast),)
        self.show_lines([replace(first, forecast=forecast), *held], measures)

    @property
    def lines(self) -> tuple[Line, ...]:
        """The builds that are shown; the first is the car now."""
        return self.shown.lines if isinstance(self.shown, BesideInput) else ()

    def _lay_out(self, shown: ChartInput, size: QSizeF) -> BesideLayout:
        assert isinstance(shown, BesideInput)
        return lay_out(shown, size)

    @property
    def card(self) -> Card | None:
        shown, place = self.shown, self._read
        if shown is None or place is None:
            return None
        rows: list[tuple[str, ...]] = []
        for line in self.lines:
            name = fitted(line.name, "label", px(NAME_ROOM)).text
            rows.append((f"{line.letter}  {name}", line.speed_at(place, shown.measures)))
        return Card(f"at {shown.measures.road(place)}", rows)

    @property
    def summary(self) -> str:
        return "" if self.shown is None else beside_summary(self.lines, self.shown.measures)

    def table(self) -> Table | None:
        return None if self.shown is None else beside_table(self.lines, self.shown.measures)

    def crosshair(self) -> Crosshair | None:
        """Return where the crosshair stands; its card covers no curve."""
        cross, layout = super().crosshair(), self._layout
        if cross is None or not isinstance(layout, BesideLayout):
            return None
        if layout.block.left() >= cross.frame.right():
            # It takes the place of the labels beside the frame, which say the same of the lifts.
            cross.frame.setRight(layout.block.right() + px(16))
            cross = replace(cross, placer=None, left=layout.block.left() - px(12))
        return cross
