"""Sensitivity: what a tenth more or less of one thing would bring in speed, all else as it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import Car, FloatArray

STEP = 0.10
"""Share by which each thing is changed."""

Scaled: TypeAlias = Callable[[Car, FloatArray], Car]

FIGURES: tuple[tuple[str, Scaled], ...] = (
    ("mass", lambda car, by: replace(car, mass=car.mass * by)),
    ("drag", lambda car, by: replace(car, drag_coefficient=car.drag_coefficient * by)),
    ("grip", lambda car, by: replace(car, grip=car.grip * by)),
    ("Kv", lambda car, by: replace(car, kv=car.kv * by)),
    ("final drive ratio", lambda car, by: replace(car, gear_ratio=car.gear_ratio * by)),
    ("voltage", lambda car, by: replace(car, cells_series=car.cells_series * by)),
    (
        "resistance",
        lambda car, by: replace(
            car,
            motor_resistance=car.motor_resistance * by,
            controller_resistance=car.controller_resistance * by,
            pack_resistance=car.pack_resistance * by,
        ),
    ),
    ("rolling", lambda car, by: replace(car, rolling=car.rolling * by)),
    ("air density", lambda car, by: replace(car, air_density=car.air_density * by)),
    ("road length", lambda car, by: replace(car, road_length=car.road_length * by)),
    ("driver", lambda car, by: replace(car, driver_acceleration=car.driver_acceleration * by)),
    ("brake", lambda car, by: replace(car, brake_deceleration=car.brake_deceleration * by)),
)
"""What is changed, and how a car takes it; voltage is that of the pack at the same resistance."""


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """What a change of one thing brings.

    Attributes
    ----------
    up, down : float
        Change of the speed in this road with a tenth more, and with a tenth less, of it [m/s].
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
    for place, (_, scaled) in enumerate(FIGURES):
        by = np.ones(count)
        by[2 * place], by[2 * place + 1] = 1.0 + STEP, 1.0 - STEP
        car = scaled(car, by)
    speeds = predict_many(car).road_speed
    changes = speeds[:-1] - speeds[-1]
    return tuple(
        Sensitivity(label, float(changes[2 * place]), float(changes[2 * place + 1]))
        for place, (label, _) in enumerate(FIGURES)
    )
