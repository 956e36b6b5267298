"""Cars to test with whose windings have inductance, drivers that are late, packs warm and cold."""

from __future__ import annotations

from math import atan

from pennyspeed.physics.car import FRONT, REAR, Car
from physics.cars import FREE_DRIVER, RPM_PER_VOLT, make_car

MICROHENRY = 1e-6

CARS: dict[str, Car] = {
    "driver, then voltage; late": make_car(
        inductance=5.2 * MICROHENRY, reaction=0.7, reserve=12.0, pack_temperature=6.0
    ),
    "voltage alone": make_car(
        inductance=12 * MICROHENRY, driver_acceleration=FREE_DRIVER, grip=4.0, cg_height=0.0,
        growth=0.0, cells_series=2, pack_resistance=0.02, motor_resistance=0.03, reaction=0.4,
    ),
    "controller holds the current": make_car(
        inductance=8 * MICROHENRY, current_limit=28.0, reaction=1.2, reserve=5.0
    ),
    "pack holds the current": make_car(
        inductance=8 * MICROHENRY, pack_current_limit=18.0, pack_temperature=45.0, reserve=30.0
    ),
    "motor, then pack, then voltage": make_car(
        inductance=5 * MICROHENRY, current_limit=45.0, pack_current_limit=22.0,
        driver_acceleration=8.0, pack_temperature=-5.0, reaction=0.7,
    ),
    "rear driven, slippery, cold": make_car(
        inductance=6 * MICROHENRY, driven=REAR, grip=0.45, driver_acceleration=FREE_DRIVER,
        pack_temperature=-15.0, reserve=10.0, reaction=0.9,
    ),
    "front driven, wing": make_car(
        inductance=9 * MICROHENRY, driven=FRONT, grip=0.6, driver_acceleration=FREE_DRIVER,
        downforce_front=0.7, downforce_rear=0.4, cells_series=4, pack_resistance=0.012,
        reaction=0.5,
    ),
    "weak pack": make_car(
        inductance=4 * MICROHENRY, pack_resistance=0.12, driver_acceleration=FREE_DRIVER, grip=2.5,
        cg_height=0.01, state_of_charge=0.9, reserve=20.0,
    ),
    "weak pack that inductance relieves": make_car(
        inductance=25 * MICROHENRY, pack_resistance=0.09, driver_acceleration=FREE_DRIVER, grip=3.0,
        cg_height=0.008, pack_temperature=0.0, reaction=0.7,
    ),
    "weak pack, pack bound": make_car(
        inductance=6 * MICROHENRY, pack_resistance=0.05, pack_current_limit=45.0,
        driver_acceleration=12.0, grip=1.6, cg_height=0.015, pack_temperature=10.0,
    ),
    "weak pack behind a current limit": make_car(
        inductance=10 * MICROHENRY, pack_resistance=0.09, current_limit=60.0,
        driver_acceleration=FREE_DRIVER, grip=2.0, cg_height=0.012, pack_temperature=35.0,
    ),
    "many poles": make_car(
        inductance=30 * MICROHENRY, pole_pairs=7.0, kv=1100 * RPM_PER_VOLT, gear_ratio=2.4,
        motor_resistance=0.03, cells_series=4, pack_resistance=0.014, reserve=8.0, reaction=0.7,
    ),
    "rear axle nearly flies": make_car(
        inductance=5 * MICROHENRY, driven=FRONT, downforce_rear=-0.75, cells_series=5,
        pack_resistance=0.015, road_length=400.0, reaction=0.7,
    ),
    "front axle nearly flies": make_car(
        inductance=5 * MICROHENRY, driven=REAR, downforce_front=-0.62, cells_series=5,
        pack_resistance=0.015, road_length=400.0, reaction=0.7, reserve=15.0,
    ),
    "wheelie all the way": make_car(
        inductance=3 * MICROHENRY, driven=REAR, cg_height=0.12, wheelbase=0.2, front_share=0.4,
        grip=2.4, driver_acceleration=FREE_DRIVER, road_length=60.0, reaction=0.3,
    ),
    "uphill into the wind": make_car(
        inductance=7 * MICROHENRY, slope=atan(0.04), head_wind=6.0, reaction=0.7, reserve=10.0
    ),
    "downhill before the wind": make_car(
        inductance=7 * MICROHENRY, slope=atan(-0.02), head_wind=-4.0, reaction=0.7, reserve=10.0
    ),
    "late beyond the road": make_car(
        inductance=6 * MICROHENRY, cells_series=4, pack_resistance=0.012, road_length=90.0,
        brake_deceleration=18.0, grip=2.2, reaction=2.5,
    ),
    "reaction longer than the run": make_car(
        inductance=6 * MICROHENRY, road_length=6.0, reaction=3.0, reserve=1.0
    ),
    "growing tyres": make_car(
        inductance=6 * MICROHENRY, growth=0.05, growth_speed=25.0, growth_max=0.2, cells_series=4,
        pack_resistance=0.012, reserve=25.0, reaction=1.0,
    ),
    "nearly flat and warm": make_car(
        inductance=6 * MICROHENRY, state_of_charge=0.06, capacity=1.2 * 3600, road_length=600.0,
        pack_temperature=55.0, reaction=0.7,
    ),
    "inductance alone differs": make_car(inductance=6 * MICROHENRY),
    "cold alone differs": make_car(pack_temperature=-10.0),
    "late alone differs": make_car(reaction=0.7, reserve=10.0),
}  # fmt: skip
"""Among them they meet every limit, and full throttle under most."""
