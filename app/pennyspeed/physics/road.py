"""What air, road and tyres do to the car: resistances, axle loads, grip, braking.

::

          D_f |              | D_r        drag and weight act at the height of the centre of
              v    (cg) <--- v drag       gravity, rolling at the ground
           .--o----- h -----o--.
        N_f^  |<--- L_w --->|  ^N_r       F_x: what the tyres pass to the road

Source: Gillespie, *Fundamentals of Vehicle Dynamics*, ch. 1 and 2.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy import ndarray

from pennyspeed.physics.car import ALL, FRONT, REAR, Car, Floats, Ints
from pennyspeed.physics.constants import GRAVITY
from pennyspeed.physics.elementwise import choose, greater, is_zero, lesser

UNBOUNDED_FORCE = 1.0e9
"""Stands for a grip that does not bound the force [N]: finite, as `NO_LIMIT` is."""

_LEAST_LENGTH = 1.0e-9
"""A car without any length has this much [m]: huge load transfer rather than a division by 0."""


class Air(NamedTuple):
    """What the air does at one speed [N]."""

    drag: Floats
    front: Floats
    """Downforce on the front axle."""
    rear: Floats
    """Downforce on the rear axle."""


def air_forces(car: Car, speed: Floats) -> Air:
    """Drag ½ρ C_d A (v+w)|v+w|, downforce ½ρ A C_z (v+w)², none where the wind blows from behind.

    >>> from types import SimpleNamespace
    >>> skydiver = SimpleNamespace(air_density=1.21, frontal_area=0.18, drag_coefficient=0.70,
    ...     downforce_front=0.0, downforce_rear=0.0, head_wind=0.0)
    >>> round(air_forces(skydiver, 98.193).drag / 9.80, 2)  # 75 kg at terminal speed (OpenStax)
    75.0
    """
    wind = car.head_wind
    relative = speed if is_zero(wind) else speed + wind
    pressure_area = 0.5 * car.air_density * car.frontal_area
    drag_area = pressure_area * car.drag_coefficient
    if isinstance(wind, ndarray) or wind < 0.0:
        ahead = greater(relative, 0.0)
        pressing = ahead * ahead
        drag = drag_area * (relative * greater(relative, -relative))
    else:
        pressing = relative * relative
        drag = drag_area * pressing
    front, rear = car.downforce_front, car.downforce_rear
    return Air(
        drag,
        0.0 if is_zero(front) else (pressure_area * front) * pressing,
        0.0 if is_zero(rear) else (pressure_area * rear) * pressing,
    )


def usable_road(car: Car) -> Floats:
    """Road that run and stop may take, X less the reserve [m], ≥ 0."""
    return greater(car.road_length - car.reserve, 0.0)


def weight_on_road(car: Car) -> Floats:
    """m g cosθ [N]."""
    slope = car.slope
    cosine = np.cos(slope) if isinstance(slope, ndarray) else math.cos(slope)
    return car.mass * GRAVITY * cosine


def grade_force(car: Car) -> Floats:
    """m g sinθ [N], + uphill."""
    slope = car.slope
    sine = np.sin(slope) if isinstance(slope, ndarray) else math.sin(slope)
    return car.mass * GRAVITY * sine


def rolling_force(car: Car, weight: Floats, downforce: Floats) -> Floats:
    """F_r = C_rr max(m g cosθ + D, 0) [N]."""
    return car.rolling * greater(weight + downforce, 0.0)


def resistances(car: Car, weight: Floats, speed: Floats) -> tuple[Air, Floats, Floats]:
    """What the air does, the rolling resistance F_r, and all that resists, F_res [N]."""
    air = air_forces(car, speed)
    rolling = rolling_force(car, weight, air.front + air.rear)
    return air, rolling, air.drag + (rolling + grade_force(car))


def grip_road_force(car: Car, weight: Floats, air: Air, rolling: Floats) -> Floats:
    """Largest force F_x that tyres and balance let pass to the road [N], never below zero.

    The smaller of the tyres' grip on the driven axles, from F_x ≤ μ N with the load transfer of F_x
    itself (Gillespie ch. 2), and the force at which the front wheels leave the ground.
    """
    return greater(
        lesser(
            tyre_road_force(car, weight, air, rolling), lift_road_force(car, weight, air, rolling)
        ),
        0.0,
    )


def tyre_road_force(car: Car, weight: Floats, air: Air, rolling: Floats) -> Floats:
    """F_x at which the driven tyres let go [N]; `UNBOUNDED_FORCE` where 1 - μ h/L_w ≤ 0 (rear)."""
    driven: Ints = car.driven
    if not isinstance(driven, ndarray):
        if driven == REAR:
            return _rear_grip(car, weight, air, rolling)
        if driven == FRONT:
            return _front_grip(car, weight, air, rolling)
        return car.grip * (weight + (air.front + air.rear))
    every = car.grip * (weight + (air.front + air.rear))
    one = choose(
        driven == REAR,
        _rear_grip(car, weight, air, rolling),
        _front_grip(car, weight, air, rolling),
    )
    return choose(driven == ALL, every, one)


def _rear_grip(car: Car, weight: Floats, air: Air, rolling: Floats) -> Floats:
    reach = car.wheelbase - car.grip * car.cg_height
    bounded = reach > 0.0
    grip = car.grip / choose(bounded, reach, 1.0)
    load = ((1.0 - car.front_share) * weight + air.rear) * (car.wheelbase * grip)
    return choose(bounded, load - rolling * (car.cg_height * grip), UNBOUNDED_FORCE)


def _front_grip(car: Car, weight: Floats, air: Air, rolling: Floats) -> Floats:
    grip = car.grip / greater(car.wheelbase + car.grip * car.cg_height, _LEAST_LENGTH)
    load = (car.front_share * weight + air.front) * (car.wheelbase * grip)
    return load + rolling * (car.cg_height * grip)


def lift_road_force(car: Car, weight: Floats, air: Air, rolling: Floats) -> Floats:
    """F_x at which the front wheels leave the ground, (φ m g cosθ + D_f) L_w/h + F_r [N]."""
    height = car.cg_height
    bounded = height > 0.0
    arm = choose(bounded, car.wheelbase / choose(bounded, height, 1.0), UNBOUNDED_FORCE)
    return (car.front_share * weight + air.front) * arm + rolling


def front_axle_load(
    car: Car, weight: Floats, air: Air, rolling: Floats, road_force: Floats
) -> Floats:
    """N_f = φ m g cosθ + D_f - (F_x - F_r) h/L_w [N]."""
    transfer = (road_force - rolling) * car.cg_height / greater(car.wheelbase, _LEAST_LENGTH)
    return car.front_share * weight + air.front - transfer


def rear_axle_load(
    car: Car, weight: Floats, air: Air, rolling: Floats, road_force: Floats
) -> Floats:
    """N_r = (1-φ) m g cosθ + D_r + (F_x - F_r) h/L_w [N]."""
    transfer = (road_force - rolling) * car.cg_height / greater(car.wheelbase, _LEAST_LENGTH)
    return (1.0 - car.front_share) * weight + air.rear + transfer


def braking_deceleration(car: Car, weight: Floats, downforce: Floats, resistance: Floats) -> Floats:
    """min(a_b, μ max(m g cosθ + D, 0)/m) + F_res/m [m/s²], all four wheels, throttle closed."""
    tyres = car.grip * greater(weight + downforce, 0.0) / car.mass
    return lesser(tyres, car.brake_deceleration) + resistance / car.mass
