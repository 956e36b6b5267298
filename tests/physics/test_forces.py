"""The formulas at one speed: each against what it was derived from."""

from __future__ import annotations

from dataclasses import fields, replace
from math import cos, sin
from typing import Any

import numpy as np
import pytest

from pennyspeed.physics import electrics, forces, road
from pennyspeed.physics.car import (
    ALL,
    CURRENT,
    DRIVER,
    FRONT,
    GRIP,
    NO_LIMIT,
    PACK,
    REAR,
    VOLTAGE,
    Car,
)
from pennyspeed.physics.constants import GRAVITY
from pennyspeed.physics.predict import predict
from physics.cars import CARS, make_car, stacked

SPEEDS = (0.0, 3.0, 17.0, 45.0)


def state(car: Car) -> electrics.Electrics:
    return electrics.electrics(car, car.state_of_charge, car.motor_temperature)


def at(car: Car, speed: float) -> forces.Forces:
    return forces.forces_at(car, state(car), speed)


# --- motor and pack -------------------------------------------------------------------------------


@pytest.mark.parametrize("current", [0.0, 1.0, 3.0, 60.0])
def test_force_and_current_are_inverse(current: float) -> None:
    car = make_car()
    here = at(car, 12.0)
    force = electrics.wheel_force(car, current, here.no_load, here.gear)
    assert electrics.motor_current(car, force, here.no_load, here.gear) == pytest.approx(current)


def test_gears_lose_power_in_both_directions() -> None:
    car = make_car(drivetrain_efficiency=0.8, no_load_current=5.0)
    here = at(car, 20.0)
    for current, efficiency in ((40.0, 0.8), (0.0, 1 / 0.8)):
        shaft = (current - here.no_load) * here.emf
        at_road = electrics.wheel_force(car, current, here.no_load, here.gear) * 20.0
        assert at_road == pytest.approx(shaft * efficiency)


def test_current_never_flows_backwards() -> None:
    car = make_car()
    assert at(car, 200.0).voltage_current == 0.0
    assert at(car, 200.0).electric < 0.0


@pytest.mark.parametrize("motor", [2.0, 25.0, 60.0])
def test_pack_current_closes_the_power_balance(motor: float) -> None:
    car = make_car(pack_resistance=0.05)
    now = state(car)
    emf = 4.0
    drawn = electrics.pack_current(now, emf, motor)
    given = now.voltage * drawn - now.pack * drawn**2
    assert given == pytest.approx(emf * motor + now.behind_pack * motor**2)
    assert 0 < drawn <= motor  # stepped down, the pack carries less than the motor
    assert drawn < now.voltage / (2 * now.pack)  # the smaller root


def test_pack_bound_is_the_current_that_draws_the_burst() -> None:
    car = make_car(pack_current_limit=20.0, current_limit=100.0)
    now = state(car)
    bound = electrics.pack_bound_current(now, 5.0)
    assert electrics.pack_current(now, 5.0, bound) == pytest.approx(20.0)


@pytest.mark.parametrize(
    "changes",
    [
        {"pack_current_limit": NO_LIMIT},
        {"pack_current_limit": 100.0, "pack_resistance": 0.08},  # past the pack's greatest power
        {"pack_current_limit": 60.0, "current_limit": 50.0},  # the motor's limit comes first
    ],
)
def test_pack_that_does_not_bound(changes: dict[str, Any]) -> None:
    car = make_car(**changes)
    free = replace(car, pack_current_limit=NO_LIMIT)
    for speed in SPEEDS:
        assert at(car, speed).electric == at(free, speed).electric


def test_no_load_current_at_the_speed_it_was_measured() -> None:
    car = make_car(no_load_current=4.0, no_load_voltage=7.4, loss_speed_share=0.3)
    assert electrics.no_load_current(car, 7.4) == pytest.approx(4.0)
    assert electrics.no_load_current(car, 0.0) == pytest.approx(0.7 * 4.0)


# --- road -----------------------------------------------------------------------------------------


def test_drag_turns_with_the_wind_and_downforce_ends() -> None:
    car = make_car(head_wind=-20.0, downforce_front=0.5, downforce_rear=0.7)
    slow, fast = road.air_forces(car, 15.0), road.air_forces(car, 25.0)
    assert slow.drag == pytest.approx(-fast.drag) != 0.0
    assert slow.front == slow.rear == 0.0 < fast.front < fast.rear


def test_grade_and_weight() -> None:
    car = make_car(mass=2.0, slope=0.1)
    assert road.grade_force(car) == pytest.approx(2.0 * GRAVITY * sin(0.1))
    assert road.weight_on_road(car) == pytest.approx(2.0 * GRAVITY * cos(0.1))


def test_a_body_that_lifts_the_car_rolls_free() -> None:
    car = make_car(downforce_front=-3.0, downforce_rear=-3.0)
    assert at(car, 100.0).rolling == 0.0


@pytest.mark.parametrize("driven", [REAR, FRONT, ALL])
@pytest.mark.parametrize("speed", SPEEDS)
def test_tyres_at_their_limit_carry_mu_n(driven: int, speed: float) -> None:
    # Gillespie ch. 2: at the limit the force equals μ times the load that this very force makes.
    car = make_car(driven=driven, grip=0.6, downforce_front=0.3, downforce_rear=0.6, slope=0.03)
    weight = road.weight_on_road(car)
    air = road.air_forces(car, speed)
    rolling = road.rolling_force(car, weight, air.front + air.rear)
    limit = road.tyre_road_force(car, weight, air, rolling)
    front = road.front_axle_load(car, weight, air, rolling, limit)
    rear = weight + air.front + air.rear - front
    carried = {REAR: rear, FRONT: front, ALL: front + rear}[driven]
    assert limit == pytest.approx(0.6 * carried)


def test_front_wheels_leave_the_ground_without_load() -> None:
    car = make_car(cg_height=0.1)
    weight = road.weight_on_road(car)
    air = road.air_forces(car, 10.0)
    rolling = road.rolling_force(car, weight, air.front + air.rear)
    limit = road.lift_road_force(car, weight, air, rolling)
    assert road.front_axle_load(car, weight, air, rolling, limit) == pytest.approx(0, abs=1e-9)


def test_rear_grip_without_bound_leaves_the_lift() -> None:
    tall = make_car(driven=REAR, grip=3.0, cg_height=0.1, wheelbase=0.25)
    weight, air = road.weight_on_road(tall), road.air_forces(tall, 0.0)
    rolling = road.rolling_force(tall, weight, 0.0)
    assert road.tyre_road_force(tall, weight, air, rolling) == road.UNBOUNDED_FORCE
    lift = road.lift_road_force(tall, weight, air, rolling)
    assert road.grip_road_force(tall, weight, air, rolling) == lift


def test_grip_never_pulls_backwards() -> None:
    flying = make_car(downforce_front=-3.0, downforce_rear=-3.0)
    weight, air = road.weight_on_road(flying), road.air_forces(flying, 90.0)
    assert road.tyre_road_force(flying, weight, air, 0.0) < 0.0
    assert road.grip_road_force(flying, weight, air, 0.0) == 0.0


@pytest.mark.parametrize("speed", SPEEDS)
def test_road_force_spins_up_the_wheels_on_its_way(speed: float) -> None:
    # F_x is what accelerates the mass m alone and beats the resistances (Newton).
    car = make_car(grip=0.4, wheel_inertia=5e-4, rotor_inertia=1e-5)
    here = at(car, speed)
    acceleration = (here.grip - here.resistance) / here.effective_mass
    weight = road.weight_on_road(car)
    push = road.grip_road_force(car, weight, here.air, here.rolling)
    assert push == pytest.approx(car.mass * acceleration + here.resistance)


def test_effective_mass() -> None:
    # A hoop rolling without slip counts twice: J = m r².
    car = make_car(mass=2.0, growth=0.0, tyre_diameter=0.1, wheel_inertia=2.0 * 0.05**2,
                   rotor_inertia=0.0)  # fmt: skip
    assert at(car, 5.0).effective_mass == pytest.approx(4.0)


def test_driver_lets_a_pushed_car_freewheel() -> None:
    car = make_car(slope=-0.5, driver_acceleration=0.1)
    here = at(car, 1.0)
    assert here.driver == electrics.wheel_force(car, 0.0, here.no_load, here.gear)


# --- which limit wins -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "speed", "code"),
    [
        ({"driver_acceleration": 50.0, "grip": 5.0, "cg_height": 0.0}, 20.0, VOLTAGE),
        ({"driver_acceleration": 50.0, "current_limit": 12.0}, 5.0, CURRENT),
        ({"driver_acceleration": 50.0, "pack_current_limit": 15.0}, 18.0, PACK),
        ({"driver_acceleration": 50.0, "grip": 0.2}, 5.0, GRIP),
        ({"driver_acceleration": 1.0}, 5.0, DRIVER),
    ],
)
def test_smallest_force_wins(changes: dict[str, Any], speed: float, code: int) -> None:
    car = make_car(**changes)
    here = at(car, speed)
    assert forces.limit_codes(car, state(car), here) == code
    many = forces.forces_at(car, state(car), np.array([speed, speed]))
    assert forces.limit_codes(car, state(car), many).tolist() == [code, code]


def test_ties_go_to_the_first() -> None:
    car = make_car(driver_acceleration=50.0, grip=5.0, cg_height=0.0)
    here = at(car, 20.0)
    tied = here._replace(grip=here.electric, driver=here.electric)
    assert forces.limit_codes(car, state(car), tied) == VOLTAGE
    tied = here._replace(grip=here.electric - 1, driver=here.electric - 1)
    assert forces.limit_codes(car, state(car), tied) == GRIP


def test_where_current_and_pack_bound_alike_it_is_the_current() -> None:
    car = make_car(pack_current_limit=20.0, current_limit=100.0, driver_acceleration=50.0, grip=5.0)
    bound = electrics.pack_bound_current(state(car), at(car, 5.0).emf)
    tied = replace(car, current_limit=bound)
    assert forces.limit_codes(tied, state(tied), at(tied, 5.0)) == CURRENT
    many = forces.forces_at(tied, state(tied), np.array([5.0, 4.9, 5.1]))
    assert forces.limit_codes(tied, state(tied), many).tolist() == [CURRENT, CURRENT, PACK]


# --- plain numbers and arrays ---------------------------------------------------------------------


def flat(got: forces.Forces) -> dict[str, Any]:
    named = got._asdict()
    air = named.pop("air")
    return named | {f"air_{key}": value for key, value in air._asdict().items()}


def test_floats_and_arrays_agree() -> None:
    cars = list(CARS.values())
    many = stacked(cars)
    speeds = np.array(SPEEDS)[:, None]
    together = flat(forces.forces_at(many, state(many), speeds))
    codes = forces.limit_codes(many, state(many), forces.forces_at(many, state(many), speeds))
    for place, car in enumerate(cars):
        for row, speed in enumerate(SPEEDS):
            alone = at(car, speed)
            for key, value in flat(alone).items():
                got = np.broadcast_to(together[key], (len(SPEEDS), len(cars)))[row, place]
                assert got == pytest.approx(value, rel=1e-12, abs=1e-12), (key, speed)
            assert codes[row, place] == forces.limit_codes(car, state(car), alone)


def test_a_float_stays_one() -> None:
    for value in flat(at(make_car(downforce_front=0.2), 7.0)).values():
        assert type(value) is float


NOT_AT_A_SPEED = {
    "capacity", "heat_capacity", "road_length", "brake_deceleration", "reaction",
    "reserve",  # of the run alone
    "state_of_charge", "motor_temperature",  # through the state
    "current_limit", "pack_current_limit", "driven", "growth_max",  # their own tests above
}  # fmt: skip


@pytest.mark.parametrize("name", [f.name for f in fields(Car) if f.name not in NOT_AT_A_SPEED])
def test_every_figure_counts(name: str) -> None:
    car = make_car(
        head_wind=2.0, slope=0.02, downforce_front=0.2, downforce_rear=0.3, driven=REAR, grip=0.6,
        inductance=6e-6,
    )  # fmt: skip
    changed = replace(car, **{name: getattr(car, name) * 1.01})
    assert flat(at(changed, 10.0)) != flat(at(car, 10.0))


@pytest.mark.parametrize("name", ["reaction", "reserve"])
def test_figures_of_the_driver_count_in_the_run_alone(name: str) -> None:
    car = make_car()
    changed = replace(car, **{name: 1.0})
    assert flat(at(changed, 10.0)) == flat(at(car, 10.0))
    one, other = predict(car), predict(changed)
    assert (one.marker_at, one.road_speed) != (other.marker_at, other.road_speed)


def test_growth_stops_at_its_most() -> None:
    car = make_car(growth=0.04, growth_speed=20.0, growth_max=0.05)
    assert forces.tyre_growth(car, 10.0) == pytest.approx(0.01)
    assert forces.tyre_growth(car, 40.0) == 0.05
