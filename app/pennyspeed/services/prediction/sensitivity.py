"""Sensitivity: what a tenth more or less of one thing would bring in speed, all else as it is."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.batch.runs import predict_many

STEP = 0.10
"""Share by which each thing is changed."""
LEAST_M_PER_S = 0.05 / 3.6
"""Changes smaller than this are written as 0."""

FIGURES: dict[str, tuple[str, ...]] = {
    "mass": ("mass",),
    "drag": ("drag_coefficient",),
    "grip": ("grip",),
    "Kv": ("kv",),
    "final drive ratio": ("gear_ratio",),
    "voltage": ("cells_series",),
    "resistance": ("motor_resistance", "controller_resistance", "pack_resistance"),
    "rolling": ("rolling",),
    "air density": ("air_density",),
    "road length": ("road_length",),
    "driver": ("driver_acceleration",),
    "brake": ("brake_deceleration",),
}
"""What is changed, and which of a car's figures that is; voltage is that of the pack at the same
resistance."""


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What a change of one thing brings.

    Attributes
    ----------
    up, down : float
        Change of the speed on this road with a tenth more, and with a tenth less, of it [m/s].
    """

    label: str
    up: float
    down: float


def sensitivity(build: Build) -> tuple[Sensitivity, ...]:
    """Return what a tenth of each of `FIGURES` brings, in their order; () without a whole car."""
    car = assemble(build)
    if car is None:
        return ()
    # the car as it is comes last, in the same batch, so that what errors are common cancel
    count = 2 * len(FIGURES) + 1
    for place, keys in enumerate(FIGURES.values()):
        by = np.ones(count)
        by[2 * place], by[2 * place + 1] = 1.0 + STEP, 1.0 - STEP
        changed: dict[str, Any] = {key: getattr(car, key) * by for key in keys}
        car = replace(car, **changed)
    speeds = predict_many(car).road_speed
    changes = speeds[:-1] - speeds[-1]
    return tuple(
        Sensitivity(label, float(changes[2 * place]), float(changes[2 * place + 1]))
        for place, label in enumerate(FIGURES)
    )


def sorted_by_size(found: tuple[Sensitivity, ...]) -> list[Sensitivity]:
    """Return what matters most first."""
    return sorted(found, key=lambda one: -max(abs(one.up), abs(one.down)))


def sentence(one: Sensitivity, measures: Measures) -> str:
    """Return what a tenth of one thing would bring, in words."""
    share = f"{STEP:.0%}".replace("%", " %")
    said = []
    for word, change in (("more", one.up), ("less", one.down)):
        if abs(change) < LEAST_M_PER_S:
            said.append(f"{share} {word} changes nothing")
        else:
            verb = "brings" if change > 0 else "costs"
            said.append(f"{share} {word} {verb} {measures.speed(KMH.from_si(abs(change)), 1)}")
    return f"{one.label}: {said[0]}, {said[1]}"
