"""Labels of plots: what holds for them whatever the plot, and the units that they are read in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QRectF

from pennyspeed.desktop.charts.layout import Label
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH

METRIC, IMPERIAL = Measures(), Measures(speed_unit=MPH, length_unit=IN)

Drawn = tuple[NDArray[np.floating], NDArray[np.floating]]
"""A curve in pixels, from left to right."""


def texts(labels: Iterable[Label]) -> list[str]:
    """Return what stands in a plot."""
    return [label.words.text for label in labels]


def check_apart(labels: Sequence[Label], whole: QRectF, slack: int, case: str) -> None:
    """Hold labels to standing inside the plot, none on another by more than `slack` pixels."""
    boxes = [(label.words.text, label.box) for label in labels]
    assert len(boxes) > 5, case
    for text, box in boxes:
        assert whole.contains(box), f"{text} leaves the plot, {case}"
    for (one, a), (two, b) in combinations(boxes, 2):
        touching = a.adjusted(1, slack, -1, -slack).intersects(b.adjusted(1, slack, -1, -slack))
        assert not touching, f"{one} covers {two}, {case}"


def check_free(curves: Iterable[Drawn], boxes: Iterable[tuple[str, QRectF]], case: str) -> None:
    """Hold named boxes to covering no curve."""
    boxes = list(boxes)
    for xs, ys in curves:
        across = np.linspace(xs[0], xs[-1], 2000)
        down = np.interp(across, xs, ys)
        for text, box in boxes:
            inside = (across > box.left()) & (across < box.right())
            inside &= (down > box.top()) & (down < box.bottom())
            assert not inside.any(), f"{text} covers a curve, {case}"


def plates(labels: Iterable[Label], wide: int, high: int) -> list[tuple[str, QRectF]]:
    """Return the labels on plates with the boxes of their letters, less their margins."""
    return [
        (label.words.text, label.box.adjusted(wide, high, -wide, -high))
        for label in labels
        if label.plate
    ]
