"""The strip below the road chart: what holds the car back, and what the driver does."""

from __future__ import annotations

from pennyspeed.desktop.charts.layout import Label, Scale
from pennyspeed.desktop.widgets.theme import px, words
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import (
    OF_THE_DRIVER,
    REACTION,
    RESERVE,
    Stretch,
    said,
    stretches,
)
from pennyspeed.services.prediction.margin import Distances

LEAST_WORD = 40
"""Pixels at 100 % that a piece of the driver's needs to be named; a shorter one has its figure."""


def strip_of(
    scale: Scale, forecast: Forecast, planned: Distances, baseline: float
) -> tuple[tuple[Stretch, ...], list[tuple[float, float, str]], list[Label]]:
    """Return the pieces of road, where each stands in pixels with its limit, and their labels.

    There has to be a prediction; labels stand on `baseline`.
    """
    found, measures, build = forecast.prediction, planned.measures, forecast.build
    assert found is not None
    pieces = stretches(found, build.condition("reserve_m"))
    places, labels = [], []
    factor, is_first = measures.road_unit.factor, True
    for i, piece in enumerate(pieces):
        x0, x1 = scale.x(piece.start / factor), scale.x(piece.end / factor)
        places.append((x0, x1, piece.limit))
        if piece.limit in (REACTION, RESERVE):
            own = piece_label(piece.limit, x0, x1, baseline, planned)
            labels += [] if own is None else [own]
            continue
        texts = said(build, piece.limit, measures)
        if is_first and piece.limit not in OF_THE_DRIVER:
            texts = (f"held back {texts[0]}", *texts)
        start = x0 if i == 0 else x0 + px(8)
        label = next((w for text in texts if start + (w := words(text)).width <= x1 - px(4)), None)
        if label is not None:
            labels.append(Label(label, round(start), baseline))
            is_first = False
    return pieces, places, labels


def piece_label(
    limit: str, x0: float, x1: float, baseline: float, planned: Distances
) -> Label | None:
    """Return what is written over the driver's reaction or the reserve; None without room."""
    length = planned.reaction if limit == REACTION else planned.reserve
    texts = (limit,) if x1 - x0 >= px(LEAST_WORD) else ()
    for text in (*texts, planned.measures.number(length)):
        written = words(text, "label_strong")
        if written.width <= x1 - x0 - px(4):
            colour = "accent" if limit == REACTION else "ink"
            return Label(written, round((x0 + x1 - written.width) / 2), baseline, colour)
    return None
