"""A car, or many, multiplied out: :mod:`pennyspeed.physics.batch.folded` from a `Car`."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.car import ALL, REAR, Car, Floats
from pennyspeed.physics.electrics import UNBOUNDED_POWER, Electrics, electrics
from pennyspeed.physics.elementwise import choose, greater
from pennyspeed.physics.road import UNBOUNDED_FORCE, grade_force, weight_on_road


def in_state(folded: Folded, car: Car, state_of_charge: Floats, temperature: Floats) -> Folded:
    """The same cars in another state of charge and at another winding temperature [°C]."""
    state = electrics(car, state_of_charge, temperature)
    return replace(
        folded,
        voltage=state.voltage,
        winding=state.winding,
        behind_pack=state.behind_pack,
        whole=state.whole,
        bound_power=state.bound_power,
        weak_pack=_any_weak(state),
        pack_bounds=_any_bound(state),
    )


def _any_bound(state: Electrics) -> bool:
    return bool(np.any(state.bound_power < UNBOUNDED_POWER))


def _any_weak(state: Electrics) -> bool:
    return bool(np.any(2.0 * state.pack > state.whole))


def fold(car: Car) -> Folded:
    """The coefficients of a car, or of many, in the state at the start."""
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    radius = 0.5 * car.tyre_diameter
    gear = car.gear_ratio / radius
    weight = weight_on_road(car)
    grade = grade_force(car)
    pressure_area = 0.5 * car.air_density * car.frontal_area
    down_front = pressure_area * car.downforce_front
    down_rear = pressure_area * car.downforce_rear
    share = car.loss_speed_share

    height = greater(car.cg_height, 1.0e-9)
    arm = car.wheelbase / height
    tyre0, tyre1, tyre2 = _tyre_bound(car, weight, down_front, down_rear)
    drag = pressure_area * car.drag_coefficient
    at_rest = drag * car.head_wind * np.abs(car.head_wind) + car.rolling * weight + grade
    return Folded(
        mass=car.mass,
        spin=(car.wheel_inertia + car.rotor_inertia * car.gear_ratio * car.gear_ratio)
        / (radius * radius),
        lever=gear / car.kv,
        growth2=car.growth / (car.growth_speed * car.growth_speed),
        growth_max=car.growth_max,
        efficiency=car.drivetrain_efficiency,
        voltage=state.voltage,
        winding=state.winding,
        behind_pack=state.behind_pack,
        pack=state.pack,
        whole=state.whole,
        current_limit=car.current_limit,
        pack_limit=car.pack_current_limit,
        bound_power=state.bound_power,
        reactance=state.reactance,
        pack_bounds=_any_bound(state),
        weak_pack=_any_weak(state),
        loss=car.no_load_current * (1.0 - share),
        loss_per_volt=car.no_load_current * share / car.no_load_voltage,
        weight=weight,
        grade=grade,
        rolling=car.rolling,
        drag=drag,
        down=down_front + down_rear,
        wind=car.head_wind,
        tyre0=tyre0,
        tyre1=tyre1,
        tyre2=tyre2,
        lift0=car.front_share * weight * arm,
        lift1=down_front * arm,
        driver=car.driver_acceleration,
        never_pushed=bool(np.all(np.greater_equal(car.head_wind, 0.0))),
        coasts=bool(np.any(at_rest < 0.0)),
        brake=car.brake_deceleration,
        grip=car.grip,
    )


def _tyre_bound(
    car: Car, weight: Floats, down_front: Floats, down_rear: Floats
) -> tuple[Floats, Floats, Floats]:
    """Coefficients of the force that the driven tyres let pass, by layout."""
    if not isinstance(car.driven, np.ndarray):
        return _tyre_bound_of(int(car.driven), car, weight, down_front, down_rear)
    chosen: tuple[Floats, ...] = _tyre_bound_of(ALL, car, weight, down_front, down_rear)
    for layout in np.unique(car.driven):
        if layout != ALL:
            here = _tyre_bound_of(int(layout), car, weight, down_front, down_rear)
            chosen = tuple(
                choose(car.driven == layout, one, other)
                for one, other in zip(here, chosen, strict=True)
            )
    return chosen[0], chosen[1], chosen[2]


def _tyre_bound_of(
    layout: int, car: Car, weight: Floats, down_front: Floats, down_rear: Floats
) -> tuple[Floats, Floats, Floats]:
    if layout == ALL:
        return car.grip * weight, car.grip * (down_front + down_rear), 0.0
    leverage = car.grip * car.cg_height / car.wheelbase
    if layout == REAR:
        bounded = leverage < 1.0
        factor = car.grip / choose(bounded, 1.0 - leverage, 1.0)
        return (
            choose(bounded, factor * (1.0 - car.front_share) * weight, UNBOUNDED_FORCE),
            choose(bounded, factor * down_rear, 0.0),
            choose(bounded, factor * car.cg_height / car.wheelbase, 0.0),
        )
    factor = car.grip / (1.0 + leverage)
    return (
        factor * car.front_share * weight,
        factor * down_front,
        -factor * car.cg_height / car.wheelbase,
    )
