"""Cars to test with, invented for the purpose: each shows one corner of the physics."""

from __future__ import annotations

from dataclasses import fields
from math import atan, pi
from typing import Any

import numpy as np

from pennyspeed.physics.car import ALL, FRONT, NO_LIMIT, REAR, Car

RPM_PER_VOLT = 2 * pi / 60
KMH = 1 / 3.6
PERCENT = 0.01


def make_car(**changes: Any) -> Car:
    """A plausible 1:10 car on three cells, with `changes` to the figures of `Car`."""
    figures: dict[str, Any] = {
        "mass": 1.9, "wheelbase": 0.258, "cg_height": 0.03, "front_share": 0.5, "driven": ALL,
        "gear_ratio": 6.0, "drivetrain_efficiency": 0.9,
        "kv": 3200 * RPM_PER_VOLT, "motor_resistance": 0.011, "no_load_current": 3.0,
        "no_load_voltage": 8.4, "loss_speed_share": 0.5, "rotor_inertia": 2.5e-6,
        "heat_capacity": 80.0,
        "controller_resistance": 0.0005, "current_limit": NO_LIMIT,
        "cells_series": 3, "pack_resistance": 3 * 0.003, "capacity": 4.5 * 3600,
        "pack_current_limit": NO_LIMIT,
        "tyre_diameter": 0.064, "growth": 0.02, "growth_speed": 100 * KMH, "growth_max": 0.1,
        "grip": 0.9, "rolling": 0.02, "wheel_inertia": 1.2e-4,
        "drag_coefficient": 0.34, "frontal_area": 0.02, "downforce_front": 0.0,
        "downforce_rear": 0.0,
        "air_density": 1.2, "head_wind": 0.0, "slope": 0.0, "state_of_charge": 1.0,
        "motor_temperature": 20.0, "road_length": 250.0, "brake_deceleration": 0.5 * 9.80665,
        "driver_acceleration": 0.6 * 9.80665,
        "pole_pairs": 2.0, "inductance": 0.0, "pack_temperature": 20.0, "reaction": 0.0,
        "reserve": 0.0,
    }  # fmt: skip
    unknown = changes.keys() - figures.keys()
    assert not unknown, unknown
    return Car(**(figures | changes))


def stacked(cars: list[Car]) -> Car:
    """The same cars as one batch."""
    return Car(**{f.name: np.array([getattr(c, f.name) for c in cars]) for f in fields(Car)})


def _slope(percent: float) -> float:
    return atan(percent * PERCENT)


FREE_DRIVER = 50.0
"""An acceleration that no driver asks for: the driver then never limits [m/s^2]."""

CARS: dict[str, Car] = {
    "all wheels, plain": make_car(),
    "rear driven, slippery": make_car(driven=REAR, grip=0.45, driver_acceleration=FREE_DRIVER),
    "front driven, slippery": make_car(driven=FRONT, grip=0.6, driver_acceleration=FREE_DRIVER),
    "all wheels at the tyres' edge": make_car(
        grip=0.55, driver_acceleration=FREE_DRIVER, cells_series=4, pack_resistance=0.012
    ),
    "rear wing lifts, front presses": make_car(
        driven=REAR, grip=0.5, downforce_front=0.4, downforce_rear=-0.25,
        driver_acceleration=FREE_DRIVER, cells_series=4, pack_resistance=0.012,
    ),
    "downforce both ends": make_car(
        driven=REAR, grip=0.7, downforce_front=0.7, downforce_rear=1.1, driver_acceleration=9.0
    ),
    "a body that lifts": make_car(
        downforce_front=-0.6, downforce_rear=-0.5, cells_series=5, pack_resistance=0.014,
        driver_acceleration=7.0, gear_ratio=5.0,
    ),
    "voltage alone": make_car(
        driver_acceleration=FREE_DRIVER, grip=4.0, cg_height=0.0, growth=0.0,
        cells_series=2, pack_resistance=0.02, motor_resistance=0.03,
    ),
    "controller holds the current": make_car(current_limit=28.0),
    "pack holds the current": make_car(pack_current_limit=18.0),
    "motor first, then pack, then voltage": make_car(
        current_limit=45.0, pack_current_limit=27.0, driver_acceleration=8.0
    ),
    "current below the losses' reach": make_car(
        current_limit=12.0, gear_ratio=4.0, no_load_current=4.0, loss_speed_share=1.0
    ),
    "weak pack": make_car(
        pack_resistance=0.12, driver_acceleration=FREE_DRIVER, grip=2.5, cg_height=0.01,
        state_of_charge=0.9,
    ),
    "weak pack behind a current limit": make_car(
        pack_resistance=0.09, current_limit=60.0, driver_acceleration=FREE_DRIVER, grip=2.0,
        cg_height=0.012,
    ),
    "weak pack, pack bound": make_car(
        pack_resistance=0.06, pack_current_limit=45.0, driver_acceleration=12.0, grip=1.6,
        cg_height=0.015,
    ),
    "stiff pack, stiff motor": make_car(
        pack_resistance=0.0004, motor_resistance=0.0015, controller_resistance=0.0002
    ),
    "head wind": make_car(head_wind=9.0),
    "tail wind": make_car(head_wind=-7.0),
    "tail wind faster than the car": make_car(
        head_wind=-14.0, kv=1100 * RPM_PER_VOLT, gear_ratio=9.0, cells_series=2, rolling=0.03
    ),
    "uphill": make_car(slope=_slope(6.0)),
    "downhill past the free speed": make_car(
        slope=_slope(-9.0), kv=1500 * RPM_PER_VOLT, gear_ratio=9.0, brake_deceleration=6.0,
        no_load_current=0.3,
    ),
    "gently downhill with tail wind": make_car(slope=_slope(-2.0), head_wind=-3.0),
    "growth to its cap": make_car(growth=0.09, growth_speed=80 * KMH, growth_max=0.06),
    "growth in full": make_car(growth=0.05, growth_speed=90 * KMH, growth_max=0.3, cells_series=4),
    "no growth": make_car(growth=0.0, growth_max=0.0),
    "nearly flat pack": make_car(state_of_charge=0.06, capacity=1.2 * 3600, road_length=600.0),
    "runs flat": make_car(state_of_charge=0.01, capacity=1.0 * 3600, road_length=500.0),
    "hot motor": make_car(motor_temperature=115.0, heat_capacity=25.0),
    "motor of unknown heat": make_car(heat_capacity=float("inf")),
    "heavy rotor and wheels": make_car(rotor_inertia=2.4e-5, wheel_inertia=8e-4, mass=1.2),
    "tall and short: front wheels lift": make_car(
        driven=REAR, cg_height=0.11, wheelbase=0.19, front_share=0.4, grip=2.4,
        driver_acceleration=FREE_DRIVER,
    ),
    "grip formula without bound": make_car(
        driven=REAR, cg_height=0.12, wheelbase=0.2, front_share=0.62, grip=1.8,
        driver_acceleration=FREE_DRIVER,
    ),
    "all wheels, but the front lifts": make_car(
        cg_height=0.13, wheelbase=0.2, front_share=0.35, grip=1.9, driver_acceleration=FREE_DRIVER
    ),
    "short road": make_car(road_length=12.0),
    "very short road": make_car(road_length=0.8, driver_acceleration=3.0),
    "long road": make_car(road_length=1500.0),
    "no road": make_car(road_length=0.0),
    "cannot stop": make_car(
        grip=0.4, slope=_slope(-6.0), brake_deceleration=0.3, rolling=0.01, road_length=400.0
    ),
    "no brake at all": make_car(brake_deceleration=0.0, road_length=500.0),
    "brakes at the tyres' edge": make_car(
        brake_deceleration=12.0, grip=0.8, downforce_front=0.4, downforce_rear=0.6
    ),
    "lossless": make_car(
        no_load_current=0.0, drivetrain_efficiency=1.0, rolling=0.0, rotor_inertia=0.0,
        wheel_inertia=0.0, controller_resistance=0.0, pack_resistance=0.0, growth=0.0,
    ),
    "eight cells, long geared": make_car(
        cells_series=8, pack_resistance=8 * 0.0018, capacity=6 * 3600, mass=4.1, gear_ratio=3.4,
        kv=1700 * RPM_PER_VOLT, tyre_diameter=0.1, wheelbase=0.33, grip=1.1, road_length=900.0,
        frontal_area=0.035, driver_acceleration=5.0, current_limit=180.0, heat_capacity=190.0,
        downforce_front=0.1, downforce_rear=0.2,
    ),
    "cannot move: slope": make_car(slope=_slope(40.0), current_limit=15.0),
    "cannot move: current below no-load": make_car(current_limit=1.0),
    "moves once, not twice": make_car(
        slope=_slope(47.0), kv=2600 * RPM_PER_VOLT, gear_ratio=3.0, cells_series=1, grip=1.5,
        pack_resistance=0.08, motor_resistance=0.05, capacity=0.3 * 3600, heat_capacity=2.0,
        driver_acceleration=3.0, road_length=60.0,
    ),
}  # fmt: skip

WILD: dict[str, Car] = {
    "a driver who allows nothing, downhill": make_car(
        mass=21.6,
        wheelbase=0.959,
        cg_height=0.175,
        front_share=0.719,
        driven=1,
        gear_ratio=19.0,
        drivetrain_efficiency=0.795,
        kv=10.5,
        motor_resistance=0.574,
        no_load_current=20.0,
        no_load_voltage=42.5,
        loss_speed_share=0.871,
        rotor_inertia=3.74e-08,
        heat_capacity=2960.0,
        controller_resistance=0.000545,
        current_limit=355.0,
        cells_series=7.0,
        pack_resistance=0.745,
        capacity=14600.0,
        tyre_diameter=0.219,
        growth=0.308,
        growth_speed=100.0,
        growth_max=1.29e-06,
        grip=0.02,
        rolling=8.45e-05,
        wheel_inertia=1.16e-05,
        drag_coefficient=1.56,
        frontal_area=0.000501,
        downforce_front=0.438,
        downforce_rear=0.757,
        air_density=1.49,
        head_wind=2.45,
        slope=-0.322,
        state_of_charge=0.478,
        motor_temperature=91.3,
        road_length=2720.0,
        brake_deceleration=14.9,
        driver_acceleration=0.0,
    ),
    "fast before the wind, brakes on several branches": make_car(
        mass=11.6,
        wheelbase=0.05,
        cg_height=0.288,
        front_share=0.426,
        driven=2,
        gear_ratio=0.5,
        drivetrain_efficiency=0.772,
        kv=713.0,
        motor_resistance=0.0124,
        no_load_current=1.09,
        no_load_voltage=17.8,
        loss_speed_share=0.161,
        rotor_inertia=0.000376,
        heat_capacity=1.0,
        controller_resistance=0.0619,
        pack_resistance=0.0137,
        capacity=68000.0,
        tyre_diameter=0.15,
        growth=0.0,
        growth_speed=3.0,
        growth_max=0.178,
        grip=1.88,
        rolling=0.188,
        wheel_inertia=0.0201,
        drag_coefficient=0.02,
        frontal_area=0.146,
        downforce_front=-0.273,
        downforce_rear=-0.648,
        air_density=0.5,
        head_wind=-25.0,
        slope=-0.306,
        state_of_charge=0.232,
        motor_temperature=79.0,
        road_length=3000.0,
        brake_deceleration=13.3,
        driver_acceleration=50.5,
    ),
    "electrics that fall off at the top": make_car(
        mass=0.0507,
        wheelbase=0.0603,
        cg_height=0.166,
        front_share=0.382,
        driven=1,
        gear_ratio=40.0,
        drivetrain_efficiency=0.606,
        kv=10.5,
        motor_resistance=0.00132,
        no_load_current=18.2,
        no_load_voltage=1.0,
        loss_speed_share=0.709,
        rotor_inertia=1.33e-08,
        heat_capacity=5850.0,
        controller_resistance=0.0147,
        cells_series=5.0,
        pack_resistance=0.163,
        capacity=49700.0,
        tyre_diameter=0.314,
        growth=5.92e-05,
        growth_speed=12.1,
        growth_max=0.196,
        grip=2.97,
        rolling=0.25,
        wheel_inertia=0.0315,
        drag_coefficient=1.06,
        frontal_area=0.000523,
        downforce_front=1.74,
        downforce_rear=-1.5,
        air_density=0.625,
        head_wind=25.0,
        slope=-0.29,
        state_of_charge=0.822,
        motor_temperature=-20.0,
        road_length=1070.0,
        brake_deceleration=0.0,
        driver_acceleration=45.3,
    ),
}
"""Cars that nobody builds: their net force all but vanishes on the way, or ends in a jump."""
