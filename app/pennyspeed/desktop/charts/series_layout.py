"""Layout of a chart of series: its frames, their curves, then labels by their importance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSizeF

from pennyspeed.desktop.charts.axes import Span, level_axis, round_span, upright_axis
from pennyspeed.desktop.charts.labels import FrameLabels
from pennyspeed.desktop.charts.layout import (
    GHOST_RING,
    NOW_RING,
    Curve,
    Frame,
    Label,
    Layout,
    Scale,
    polygon,
)
from pennyspeed.desktop.charts.textures import filled
from pennyspeed.desktop.widgets.painter import fitted
from pennyspeed.desktop.widgets.theme import RIGHT, Words, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.services.charts.axes import round_step
from pennyspeed.services.charts.chart import GHOST, Chart, Panel, Series

LIMIT_IN_SIGHT = 1.6
"""A level above this many times the highest curve would flatten it; it is named, not drawn."""
HEAD, LOWER_HEAD, FOOT, MARGIN, GUTTER = 31, 40, 28, 24, 24
"""Above a frame of the first row, of another; below the lowest; at the sides; between columns."""
STACK_COLUMN = 176
"""Width of the names beside a stack."""
STEPS = 120
"""Arrow keys from one end of the axis to the other, at most."""


@dataclass(slots=True)
class SeriesLayout(Layout):
    """The layout of a chart, and of what is tried beside it; one frame for each panel."""

    chart: Chart | None = None
    ghost: Chart | None = None

    def ghosts(self, place: int) -> list[Series]:
        """Return the curves of a panel that are drawn for what is tried."""
        if self.ghost is None:
            return []
        return [one for one in self.ghost.panels[place].series if one.has_ghost]


def lay_out_chart(
    chart: Chart, ghost: Chart | None, ghost_name: str, measures: Measures, size: QSizeF
) -> SeriesLayout:
    """Return the layout of a chart, and of what is tried beside it, in a widget of that size."""
    layout = SeriesLayout(chart=chart, ghost=ghost, unit=chart.x_unit.factor, stops=chart.stops())
    layout.end = float(chart.xs[-1]) * layout.unit
    layout.step = round_step(float(chart.xs[-1]), STEPS) * layout.unit
    with_name = f"with {ghost_name}" if ghost_name else "tried"
    spans = _frames(layout, chart, measures, size)
    for place, (panel, frame) in enumerate(zip(chart.panels, layout.frames, strict=True)):
        if panel.stack:
            _stack(frame, panel, chart)
        pieces = _curves(layout, chart, place)
        _axes(layout, chart, place, spans[place], measures)
        labels = FrameLabels(layout, frame)
        for limit in panel.limits:
            labels.level(limit.value, limit.text, limit.stroke)
        for mark in panel.marks:
            at = frame.scale.point(mark.x, mark.y)
            if any(ring == at for ring, _ in frame.rings):
                labels.mark(at, mark.text)
        for one, name, colour in _names(layout, panel, place, with_name):
            role = "label_strong" if one.stroke.width >= 2 else "label"
            labels.curve(pieces[id(one)], name, role, colour)
        if panel.stack:
            _name_stack(layout, labels, panel, chart, measures)
    return layout


# Frames --------------------------------------------------------------------------------------


def _frames(layout: SeriesLayout, chart: Chart, measures: Measures, size: QSizeF) -> list[Span]:
    """Give each panel its frame in rows and columns; return the spans of their axes."""
    columns = chart.columns
    rows = -(-len(chart.panels) // columns)
    heads = px(HEAD) + (rows - 1) * px(LOWER_HEAD)
    tall = (size.height() - px(FOOT) - heads) / rows
    spans = [_span(layout, place, panel, tall) for place, panel in enumerate(chart.panels)]
    figures = [
        max(span.width(measures) for span in spans[column::columns]) for column in range(columns)
    ]
    stacked = any(panel.stack for panel in chart.panels)
    right = px(MARGIN) + (px(STACK_COLUMN) if stacked else 0)
    taken = sum(figures) + columns * px(8) + (columns - 1) * px(GUTTER)
    wide = max((size.width() - px(MARGIN) - right - taken) / columns, 10.0)
    x_max = max(float(one.xs[-1]) for one in (chart, layout.ghost) if one is not None) or 1.0
    for place, span in enumerate(spans):
        row, column = divmod(place, columns)
        left = px(MARGIN) + sum(figures[: column + 1]) + (column + 1) * px(8)
        left += column * (wide + px(GUTTER))
        top = row * (tall + px(LOWER_HEAD)) + px(HEAD)
        box = QRectF(round(left), round(top), round(wide), round(max(tall, 10.0)))
        layout.frames.append(Frame.over(Scale(box, x_max, span.low, span.high), px(5)))
    return spans


def _span(layout: SeriesLayout, place: int, panel: Panel, tall: float) -> Span:
    """Return what a panel's axis spans in a frame of that height."""
    curves = [one.values for one in (*panel.series, *layout.ghosts(place))]
    if panel.stack:
        curves.append(np.sum([np.maximum(one.values, 0.0) for one in panel.stack], axis=0))
    every = np.concatenate(curves)
    every = every[np.isfinite(every)]
    top = float(every.max()) if len(every) else 1.0
    low = float(every.min()) if len(every) else 0.0
    if panel.from_zero:
        low = min(low, 0.0)
    both = [panel] if layout.ghost is None else [panel, layout.ghost.panels[place]]
    low = min((one.bottom for one in both if one.bottom is not None), default=low)
    room = 1.06 if panel.top is None else 1.0
    top = max((one.top for one in both if one.top is not None), default=top)
    sight = low + LIMIT_IN_SIGHT * (top - low)
    top = max([top, *(one.value for one in panel.limits if one.value <= sight)])
    reach = max(top - low, 1e-6 * max(abs(top), 1.0))
    return round_span(low, low + reach * room, tall)


def _axes(layout: SeriesLayout, chart: Chart, place: int, span: Span, measures: Measures) -> None:
    frame, panel = layout.frames[place], chart.panels[place]
    box = frame.scale.frame
    layout.labels += upright_axis(frame, span.step, measures)
    title = fitted(span.title(panel.title, panel.unit, measures), "label", box.right() - px(MARGIN))
    left = px(MARGIN) if place % chart.columns == 0 else box.left()
    layout.labels.append(Label(title, left, box.top() - px(13), "ink3"))
    baseline = box.bottom() + px(20)
    name = words(f"{chart.x_name}, {chart.x_unit.symbol}")
    named = [Label(name, box.right(), baseline, "ink3", RIGHT)]
    if name.width >= 0.6 * box.width():
        named = []
    taken = [one.box for one in named]
    figures = level_axis(frame, baseline, chart.x_unit.symbol, measures, taken)
    if place + chart.columns >= len(chart.panels):
        layout.labels += named + figures


# Curves --------------------------------------------------------------------------------------


def _curves(layout: SeriesLayout, chart: Chart, place: int) -> dict[int, list[Curve]]:
    """Draw a panel's curves and rings; return what is in sight of each series, by its identity."""
    frame, panel, ghost = layout.frames[place], chart.panels[place], layout.ghost
    scale, pieces = frame.scale, {}
    if ghost is not None:
        for one in layout.ghosts(place):
            pieces[id(one)] = frame.add_line(scale.x(ghost.xs), scale.y(one.values), GHOST)
    for one in sorted(panel.series, key=lambda one: one.stroke.width):
        pieces[id(one)] = frame.add_line(scale.x(chart.xs), scale.y(one.values), one.stroke)
    frame.read += [(chart.xs, one.values, one.stroke.colour) for one in panel.series]
    if ghost is not None:
        frame.read += [(ghost.xs, one.values, "ink") for one in layout.ghosts(place)]
        for mark in ghost.panels[place].marks[-1:]:
            frame.add_ring(scale.point(mark.x, mark.y), GHOST_RING)
    for mark in panel.marks:
        frame.add_ring(scale.point(mark.x, mark.y), NOW_RING)
    return pieces


def _names(
    layout: SeriesLayout, panel: Panel, place: int, with_name: str
) -> list[tuple[Series, str, str]]:
    """Return the curves that have a name, with name and colour; what is tried comes first."""
    ghosts = layout.ghosts(place) if place == 0 else []
    named = [(one, with_name, "ink") for one in ghosts[:1]]
    for one in panel.series:
        is_first = bool(ghosts) and one.name == ghosts[0].name
        name = one.label or ("the car now" if is_first else "")
        if name:
            named.append((one, name, "ink2" if one.stroke.colour == "line" else one.stroke.colour))
    return named


# Stacks --------------------------------------------------------------------------------------


def _stack(frame: Frame, panel: Panel, chart: Chart) -> None:
    scale = frame.scale
    xs = scale.x(chart.xs)
    low = np.zeros(len(xs))
    for one in panel.stack:
        high = low + np.maximum(one.values, 0.0)
        fill = filled(one.texture, xs, scale.y(low), scale.y(high))
        fill.edges = (polygon(xs, scale.y(high)),)
        frame.fills.append(fill)
        frame.placer.take_line(xs, scale.y(high))
        low = high


def _name_stack(
    layout: SeriesLayout, labels: FrameLabels, panel: Panel, chart: Chart, measures: Measures
) -> None:
    """Name the layers in a column right of the frame, those that end there; others inside."""
    scale = labels.frame.scale
    low = np.zeros(len(chart.xs))
    rows: list[tuple[QPointF, Words, Words]] = []
    edge = scale.x(float(chart.xs[-1]))
    for one in panel.stack:
        values = np.maximum(one.values, 0.0)
        most = int(np.argmax(values))
        middle = scale.y(low + 0.5 * values)
        low = low + values
        if float(values[-1]) * scale.y_pixels < 0.5 and values[most] * scale.y_pixels > px(22):
            text = words(one.label, "label_strong")
            at = QPointF(scale.x(float(chart.xs[most])), float(middle[most]))
            labels.put_near(text, at - QPointF(text.width / 2, text.height / 2), px(2), "ink")
            continue
        value = measures.number(float(one.values[-1]), one.decimals)
        figure = words(f"{value} {panel.unit}", "label_strong")
        name = fitted(one.label, "label", px(STACK_COLUMN) - px(24) - figure.width)
        rows.append((QPointF(edge, float(middle[-1])), name, figure))
    _stack_column(layout, rows[::-1], scale.frame)


def _stack_column(
    layout: SeriesLayout, rows: list[tuple[QPointF, Words, Words]], box: QRectF
) -> None:
    pitch = px(18)
    heights: list[float] = []
    for at, _, _ in rows:
        heights.append(max(at.y(), heights[-1] + pitch if heights else box.top() + px(6)))
    bottom = box.bottom() - px(6)
    for i in range(len(heights) - 1, -1, -1):
        heights[i] = min(heights[i], bottom)
        bottom = heights[i] - pitch
    left, right = box.right() + px(22), box.right() + px(STACK_COLUMN)
    for (at, name, figure), y in zip(rows, heights, strict=True):
        baseline = round(y) + px(5)
        layout.labels += [
            Label(name, left, baseline, "ink2"),
            Label(figure, right, baseline, "ink", RIGHT),
        ]
        start, end = QPointF(at.x() + px(1), at.y()), QPointF(left - px(4), round(y))
        layout.leaders.append((start, end))
