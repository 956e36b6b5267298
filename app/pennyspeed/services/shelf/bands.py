"""Bands of candidates: how sure each one's speed is, first those in sight, then the rest.

The draws of a figure hang on its name alone, so a part that is tried meets the same draws of all
other figures as the build does: bands of two rows differ by the parts, not by chance.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.assembly import (
    Key,
    assemble,
    draw,
    drawn_figures,
    heat_capacity_of,
)
from pennyspeed.domain.hypercube import DRAWS, standard_draws
from pennyspeed.domain.parts.columns import Columns
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray, Floats, IntArray
from pennyspeed.services.prediction.forecast import percentiles
from pennyspeed.services.shelf.candidates import Candidates
from pennyspeed.services.shelf.trials import Trials

DRAWS_BEHIND = 64
"""Draws of a row that is not in sight: enough to sort by; when looked at it is drawn in full."""

CHUNK = 80
"""Rows worked out at once behind those in sight: as many cars as the physics takes at once."""


@dataclass(frozen=True)
class Bands:
    """How sure the speeds on this road are; NaN where there is no whole car.

    Attributes
    ----------
    rows : array of int, shape (m,)
    p10, p50, p90 : array
        [m/s]
    chance : array
        Of reaching the target, 0 to 1; NaN without one.
    """

    rows: IntArray
    p10: FloatArray
    p50: FloatArray
    p90: FloatArray
    chance: FloatArray


def bands(found: Candidates, rows: Iterable[int]) -> Bands:
    """Return the bands of rows in sight, as one batch: what their builds' forecasts say.

    The figures are those of the forecast but for the seventh digit, in which a car of a batch may
    differ with what else is in it.
    """
    wanted = np.fromiter(rows, dtype=np.intp)
    return _Draws(found.trials).bands(wanted)


def bands_behind(
    found: Candidates, rows: Sequence[int] | IntArray | None = None, chunk: int = CHUNK
) -> Iterator[Bands]:
    """Yield the bands of many rows, some at a time; stop asking, and no more work is done.

    They rest on `DRAWS_BEHIND` draws, those of :func:`bands` on all. They come in the order of
    `rows`, all unless given, `chunk` of them in each answer.
    """
    wanted = np.arange(len(found)) if rows is None else np.asarray(rows, dtype=np.intp)
    draws = _Draws(found.trials, DRAWS_BEHIND)
    for start in range(0, wanted.size, chunk):
        yield draws.bands(wanted[start : start + chunk])


class _Draws:
    """What does not change from chunk to chunk: the draws of the figures that are not tried."""

    def __init__(self, trials: Trials, draws: int = DRAWS) -> None:
        self.trials, self.draws = trials, draws
        tried = {trials.slot_of_figures(slot) for slot in trials.index}
        others = [one for one in drawn_figures(trials.build) if one.key[0] not in tried]
        self.others = draw(others, draws)

    def bands(self, rows: IntArray) -> Bands:
        if not rows.size:
            return Bands(rows, *np.empty((4, 0)))
        return Bands(rows, *percentiles(self.speeds(rows), self.trials.original.target_kmh))

    def speeds(self, rows: IntArray) -> FloatArray:
        """Return the speeds of every draw of these rows, shape (draws, rows)."""
        trials, draws, count = self.trials, self.draws, rows.size
        figures: dict[Key, Floats] = {
            key: np.repeat(np.asarray(values), count) for key, values in self.others.items()
        }
        for slot, index in trials.index.items():
            columns = Columns([trials.columns[slot].parts[int(row)] for row in index[rows]])
            figures |= _drawn(columns, trials.slot_of_figures(slot), count, draws)
        car = assemble(trials.build, figures)
        if car is None:
            return np.full((draws, count), math.nan)
        speeds = np.broadcast_to(predict_many(car).road_speed, (draws * count,))
        masses = np.broadcast_to(car.mass, (draws * count,))
        return np.where(masses > 0.0, speeds, math.nan).reshape(draws, count)


def _drawn(columns: Columns, slot: str, count: int, draws: int) -> dict[Key, Floats]:
    """Return the figures of tried parts, drawn and exact, for every draw of every part."""
    found: dict[Key, Floats] = {}
    for key, column in columns.figures(slot).items():
        values = np.broadcast_to(column, (count,))
        if key[1] in columns.drawn:
            standard = standard_draws(key, draws)[:, None]
            found[key] = (values * np.exp(columns.spreads(key[1]) * standard)).ravel()
        elif isinstance(column, np.ndarray):
            found[key] = np.tile(values, draws)
        else:
            found[key] = column
    capacity = slot, "heat_capacity_j_per_k"
    if capacity in found:
        # what is not given follows from the mass that was drawn
        given = np.tile(np.broadcast_to(columns.given(capacity[1]), (count,)), draws)
        follows = heat_capacity_of(np.asarray(found[slot, "mass_g"]))
        found[capacity] = np.where(np.isnan(given), follows, given)
    return found
