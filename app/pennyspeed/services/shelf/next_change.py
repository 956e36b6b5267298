"""The next change: the cheapest one that reaches the target, or the one that brings most.

Every single part of the catalogue is tried in its slot, and every pinion with every spur. Only what
stays inside the cap, has a price, and stops at nothing is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE
from pennyspeed.domain.checks.seen import STOP
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import IntArray
from pennyspeed.services.gears.gear_chart import FITTING
from pennyspeed.services.shelf.bands import bands
from pennyspeed.services.shelf.candidates import Candidates, outcomes, speed_now
from pennyspeed.services.shelf.swaps import bought
from pennyspeed.services.shelf.trials import Trials, paired, single

PAIRS = (("pinion", "spur"),)
"""Slots whose parts are changed together as well as alone."""

PAIRS_AT_ONCE = 100_000
"""Pairs that are looked at together, before those that do not mesh are dropped."""

NEAR = 2e-3
"""Relative: a speed from the batch that is so near the target is worked out before it counts."""

ALIKE = 2e-4
"""Relative: speeds from the batch that are so near the highest are worked out to find it."""

MOST_ALIKE = 40

LEAST_GAIN = 1e-3
"""Relative gain in speed below which a change is not worth naming."""


@dataclass(frozen=True)
class Change:
    """One change to a build.

    Attributes
    ----------
    parts : tuple of Part
        What goes in.
    build : Build
        What taking them makes.
    cost : Money
        More than now of what counts toward the cap; below 0 where it becomes cheaper.
    beside_cap : Money
        What goes in and does not count toward the cap.
    speed : float
        On this road [m/s].
    gain : float
        Against now [m/s].
    chance : float or None
        Of the target; None without one.
    reaches : bool
        The target is reached; else this is what brings most for what is left.
    """

    parts: tuple[Part, ...]
    build: Build
    cost: Money
    beside_cap: Money
    speed: float
    gain: float
    chance: float | None
    reaches: bool


def cheapest_next_change(build: Build, catalogue: Mapping[str, Sequence[Part]]) -> Change | None:
    """Return the change that reaches the target for the least extra money, counted or not.

    Of several as cheap the quickest; where none reaches the target, or none is set, the one that
    brings most speed for what is left of the cap. None where the build is not whole or reaches its
    target already, or nothing makes it quicker. Archived parts of the catalogue are passed over.
    """
    now = speed_now(build)
    target = math.inf if build.target_kmh is None else KMH.to_si(build.target_kmh)
    if math.isnan(now) or now >= target:
        return None
    best: tuple[float, ...] = ()
    chosen: tuple[Candidates, int, float, bool] | None = None
    for trials in _trials(build, catalogue):
        found = outcomes(trials, now)
        for row, speed, reaches in best_of(found, target):
            if speed - now <= LEAST_GAIN * now:
                continue
            extra = float(extra_cost(found)[row])
            order = (0.0, extra, -speed) if reaches else (1.0, -speed, extra)
            rank = (*order, float(len(found.trials.index)))
            if not best or rank < best:
                best, chosen = rank, (found, row, speed, reaches)
    if chosen is None:
        return None
    found, row, speed, reaches = chosen
    return change_of(found, row, speed, now, reaches)


def change_of(found: Candidates, row: int, speed: float, now: float, reaches: bool) -> Change:
    """Return the change that a row of candidates makes; speeds in m/s."""
    build = found.trials.original
    return Change(
        parts=bought(build, found.parts(row)),
        build=found.build(row),
        cost=found.money(int(found.cost_change[row])),
        beside_cap=found.money(int(found.trials.beside_cap[0][row])),
        speed=speed,
        gain=speed - now,
        chance=None if build.target_kmh is None else float(bands(found, (row,)).chance[0]),
        reaches=reaches,
    )


def _trials(build: Build, catalogue: Mapping[str, Sequence[Part]]) -> Iterator[Trials]:
    """Yield everything that fits and can be paid, as far as that is known without a run."""
    alive = {
        kind: [part for part in parts if not part.archived]
        for kind, parts in catalogue.items()
        if kind != EXTRAS.key
    }
    for parts in alive.values():
        if parts:
            yield from possible(single(build, parts))
    for one, other in PAIRS:
        ones, others = alive.get(one, []), alive.get(other, [])
        step = max(PAIRS_AT_ONCE // max(len(others), 1), 1)
        for start in range(0, len(ones) if others else 0, step):
            yield from possible(paired(build, ones[start : start + step], others))


def possible(trials: Trials) -> Iterator[Trials]:
    """Yield the rows that fit and can be paid, as far as that is known without a run."""
    fine = ~(np.asarray(trials.unpriced) | trials.beside_cap[1])
    fine &= np.greater_equal(trials.cap_left, 0.0) | np.isnan(trials.cap_left)
    with np.errstate(invalid="ignore"):
        for code in FITTING:
            fine &= np.not_equal(BY_CODE[code].levels(trials), STOP)
    rows = np.flatnonzero(fine)
    if rows.size:
        yield trials.taking(rows)


def best_of(found: Candidates, target: float) -> list[tuple[int, float, bool]]:
    """Return the best row that reaches the target, or the quickest, with their exact speeds."""
    rows = np.flatnonzero(found.fits & ~np.isnan(found.speed))
    speeds, extra = found.speed[rows], extra_cost(found)[rows]
    best: list[tuple[int, float, bool]] = []
    for place in np.lexsort((-speeds, extra)):
        if speeds[place] >= target * (1.0 - NEAR):
            speed = _exact(found, rows[place])
            if speed >= target:
                best.append((int(rows[place]), speed, True))
                break
    if rows.size and not best:
        alike = rows[speeds >= (1.0 - ALIKE) * speeds.max()][:MOST_ALIKE]
        best += [(int(row), _exact(found, row), False) for row in alike]
    return best


def extra_cost(found: Candidates) -> IntArray:
    """Return what each row costs more than now, what does not count included, in minor units."""
    return found.cost_change + found.trials.beside_cap[0]


def _exact(found: Candidates, row: int | IntArray) -> float:
    speed = found.shown((int(row),))[0].speed
    return 0.0 if speed is None else speed
