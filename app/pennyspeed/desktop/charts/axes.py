"""Axes: round spans, and ticks with their figures along both edges of a frame."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from PySide6.QtCore import QRectF

from pennyspeed.desktop.charts.layout import Frame, Label
from pennyspeed.desktop.widgets.theme import CENTRE, RIGHT, metrics, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.services.charts.axes import decimals, round_step, ticks

MOST_UPRIGHT, MOST_LEVEL = 8, 14
"""Ticks on each axis; more would be read as a wall of lines."""
GAP = 10


class Span(NamedTuple):
    """Lowest and highest figure of an upright axis, and the step of its ticks."""

    low: float
    high: float
    step: float

    def width(self, measures: Measures) -> float:
        """Return how wide its figures are at most."""
        ends = (self.low, self.high)
        return max(words(measures.number(end, decimals(self.step))).width for end in ends)

    def title(self, name: str, unit: str, measures: Measures) -> str:
        """Return the axis' title, which says where the axis starts if that is not 0."""
        start = measures.number(self.low, decimals(self.step))
        return f"{name}, {unit}" + (f", axis from {start}" if self.low else "")


def round_span(low: float, high: float, height: float) -> Span:
    """Return the span from one round figure to another that holds both; `height` in pixels."""
    most = min(max(2, int(height / (1.9 * metrics("label").height()))), MOST_UPRIGHT)
    step = round_step(high - low, most)
    return Span(
        float(step * np.floor(low / step + 1e-9)), float(step * np.ceil(high / step - 1e-9)), step
    )


def upright_axis(frame: Frame, step: float, measures: Measures) -> list[Label]:
    """Give a frame its grid, without the lowest line; return the figures left of it."""
    scale, labels = frame.scale, []
    down = round(metrics("label").capHeight() / 2)
    for value in ticks(scale.y_min, scale.y_max, step):
        y = round(scale.y(value))
        if value > scale.y_min + 1e-9 * step:
            frame.grid.append(float(y))
        text = words(measures.number(value, decimals(step)))
        labels.append(Label(text, scale.frame.left() - px(8), y + down, "ink3", RIGHT))
    return labels


def level_axis(
    frame: Frame, baseline: float, symbol: str, measures: Measures, taken: Sequence[QRectF] = ()
) -> list[Label]:
    """Give a frame its marks; return those figures that stand clear of each other and of `taken`.

    The figure at 0 has the unit behind it.
    """
    scale, labels, boxes = frame.scale, [], list(taken)
    widest = words(measures.number(scale.x_max)).width
    most = min(max(2, int(scale.frame.width() / (widest + px(28)))), MOST_LEVEL)
    step = round_step(scale.x_max, most)
    for value in ticks(0.0, scale.x_max, step):
        x = round(scale.x(value))
        frame.marks.append(float(x))
        figure = measures.number(value, decimals(step))
        text = words(f"{figure} {symbol}" if value == 0 else figure)
        label = Label(text, x, baseline, "ink3", CENTRE)
        wide = label.box.adjusted(-px(GAP), 0, px(GAP), 0)
        if not any(wide.intersects(other) for other in boxes):
            labels.append(label)
            boxes.append(label.box)
    return labels
