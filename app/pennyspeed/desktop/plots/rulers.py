"""Rulers: ticks and their figures along both edges of a frame."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF

from pennyspeed.desktop.plots.axes import Scale
from pennyspeed.desktop.plots.placed import Placed
from pennyspeed.desktop.widgets.theme import CENTRE, RIGHT, metrics, px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.services.axes import decimals, round_step, ticks

MOST_UPRIGHT, MOST_LEVEL = 8, 14
"""Ticks on each axis; more would be read as a wall of lines."""
GAP = 10


def upright_most(height: float) -> int:
    """Return how many steps a frame of that height has room for."""
    return min(max(2, int(height / (1.9 * metrics("label").height()))), MOST_UPRIGHT)


def upright_width(low: float, high: float, step: float, measures: Measures) -> float:
    """Return how wide the figures of :func:`upright` are at most."""
    return max(words(measures.number(end, decimals(step))).width for end in (low, high))


def upright(scale: Scale, step: float, measures: Measures) -> tuple[list[float], list[Placed]]:
    """Return the grid's heights, without the lowest, and the figures left of the frame."""
    grid, labels = [], []
    down = round(metrics("label").capHeight() / 2)
    for value in ticks(scale.y_min, scale.y_max, step):
        y = round(scale.y(value))
        if value > scale.y_min + 1e-9 * step:
            grid.append(float(y))
        text = words(measures.number(value, decimals(step)))
        labels.append(Placed(text, scale.frame.left() - px(8), y + down, "ink3", RIGHT))
    return grid, labels


def level(
    scale: Scale, baseline: float, symbol: str, measures: Measures, taken: Sequence[QRectF] = ()
) -> tuple[list[float], list[Placed]]:
    """Return the marks and those of their figures that stand clear of each other and of `taken`.

    The figure at 0 has the unit behind it.
    """
    marks, labels, boxes = [], [], list(taken)
    widest = words(measures.number(scale.x_max)).width
    most = min(max(2, int(scale.frame.width() / (widest + px(28)))), MOST_LEVEL)
    step = round_step(scale.x_max, most)
    places = decimals(step)
    for value in ticks(0.0, scale.x_max, step):
        x = round(scale.x(value))
        marks.append(float(x))
        text = measures.number(value, places)
        label = words(f"{text} {symbol}" if value == 0 else text)
        box = label.box(x, baseline, CENTRE)
        wide = box.adjusted(-px(GAP), 0, px(GAP), 0)
        if not any(wide.intersects(other) for other in boxes):
            labels.append(Placed(label, x, baseline, "ink3", CENTRE))
            boxes.append(box)
    return marks, labels
