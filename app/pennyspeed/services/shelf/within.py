"""Within what is left: slot by slot the part that brings most speed and can still be paid."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import EXTRAS, KINDS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.candidates import Candidates, outcomes, speed_now
from pennyspeed.services.shelf.next_change import (
    LEAST_GAIN,
    Change,
    best_of,
    change_of,
    extra_cost,
    possible,
)
from pennyspeed.services.shelf.trials import single


def within(build: Build, catalogue: Mapping[str, Sequence[Part]]) -> tuple[Change, ...]:
    """Return for each slot its best change, the one that gains most first.

    Only what stays inside the cap, has a price, and stops at nothing is taken; of changes that are
    as quick the one that costs less. Each stands for itself: together they may cost too much. A
    build that is not whole has no speed to gain; archived parts are passed over.
    """
    now = speed_now(build)
    if math.isnan(now):
        return ()
    target = math.inf if build.target_kmh is None else KMH.to_si(build.target_kmh)
    found = []
    for kind in KINDS:
        parts = [part for part in catalogue.get(kind.key, ()) if not part.archived]
        if kind.key == EXTRAS.key or not parts:
            continue
        best = _best(build, parts, now)
        if best is not None:
            candidates, row, speed = best
            found.append(change_of(candidates, row, speed, now, speed >= target))
    return tuple(sorted(found, key=lambda change: -change.gain))


def _best(build: Build, parts: Sequence[Part], now: float) -> tuple[Candidates, int, float] | None:
    chosen: tuple[Candidates, int, float] | None = None
    order: tuple[float, float] = (0.0, 0.0)
    for trials in possible(single(build, parts)):
        found = outcomes(trials, now)
        # No speed is out of reach of all of them, so the quickest come.
        for row, speed, _ in best_of(found, math.inf):
            rank = (-speed, float(extra_cost(found)[row]))
            if speed - now > LEAST_GAIN * now and (chosen is None or rank < order):
                chosen, order = (found, row, speed), rank
    return chosen
