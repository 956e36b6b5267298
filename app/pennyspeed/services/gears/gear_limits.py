"""Limits in the gear chart: where the target, the rated speed and the heat run through it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.limits import MOST_MOTOR_CELSIUS
from pennyspeed.domain.measures import Measures
from pennyspeed.services.gears.gear_chart import GearChart
from pennyspeed.services.gears.gear_marks import LEFT, RIGHT, Bools, Edge, Step, steps

TARGET, RATED, HOT = "target", "rated", "hot"
LINES = {TARGET: "dashes", RATED: "solid line", HOT: "dots"}

Limit = tuple[str, str, Bools]
"""Its key, what holds beyond it, and the pairs with which that does."""


@dataclass(frozen=True, slots=True)
class Path:
    """One limit's lines; none where it holds for all pairs or for none.

    Attributes
    ----------
    lane : int
        Where two limits run along one edge they are drawn beside each other, −1 to 1.
    """

    key: str
    words: str
    steps: tuple[Step, ...]
    lane: int
    holds_all: bool


def limits_of(chart: GearChart, build: Build, measures: Measures) -> list[Limit]:
    """Return the limits that are known, as arrays of the chart's shape."""
    found: list[Limit] = []
    if np.isnan(chart.speed).all():
        return found
    if build.target_kmh is not None:
        found.append((TARGET, f"{measures.target(build.target_kmh)} and more", chart.reached))
    motor = build.part("motor")
    rated = None if motor is None else motor.known_number("max_rpm")
    if rated is not None:
        found.append((RATED, f"motor past {measures.number(rated)} rpm", chart.over_rated))
    if not np.isnan(chart.motor_celsius).all():
        words = f"motor past {measures.number(MOST_MOTOR_CELSIUS)} °C"
        found.append((HOT, words, chart.over_hot))
    return found


def paths_of(limits: Sequence[Limit], fits: Bools) -> tuple[Path, ...]:
    """Return where limits run through a table of which the pairs in `fits` show."""
    paths: list[Path] = []
    taken: set[Edge] = set()
    for key, words, holds in limits:
        found = tuple(steps(holds, fits))
        edges = set().union(*(step.edges for step in found)) if found else set()
        lane = 0 if not edges & taken else (1 if key == RATED else -1)
        taken |= edges
        paths.append(Path(key, words, found, lane, bool(holds[fits].all())))
    return tuple(paths)


def notes_of(paths: Sequence[Path], unnamed: Sequence[str], mirrored: bool) -> list[str]:
    """Say which limits run nowhere, as all pairs are on one side, and what lines have no name.

    `unnamed` are the keys of limits without room for their words; a `mirrored` table runs from
    right to left.
    """
    found = []
    for path in paths:
        which = "every" if path.holds_all else "no"
        if path.steps:
            if path.key in unnamed:
                side = side_of(path.steps[0].sides[1], mirrored)
                found.append(f"{LINES[path.key]}, {side}: {path.words}")
        elif path.key == TARGET:
            found.append(f"{which} pair reaches {path.words.removesuffix(' and more')}")
        else:
            found.append(f"{path.words} with {which} pair")
    return found


def side_of(side: str, mirrored: bool) -> str:
    """Return a side of a line as it is seen."""
    if mirrored and side in (LEFT, RIGHT):
        return LEFT if side == RIGHT else RIGHT
    return side
