"""Views: what is drawn adds up, and agrees with the prediction."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.physics.car import LIMIT_NAMES, Car
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction
from pennyspeed.services.charts.views import (
    STACKED,
    car_of,
    forces_over_speed,
    motor_over_speed,
    over_time,
    power_over_speed,
    state_over_run,
)
from pennyspeed.services.prediction.sensitivity import FIGURES, STEP, sensitivity
from services.swaps import demo_builds

BUILDS = range(4)


def the_car(place: int) -> tuple[Build, Car, Prediction]:
    build = demo_builds()[place]
    car = assemble(build)
    assert car is not None
    return build, car, predict(car)


@pytest.mark.parametrize("place", BUILDS)
def test_time_runs_as_the_curve_does_up_to_the_lift_point_and_then_as_braking_does(
    place: int,
) -> None:
    _, car, found = the_car(place)
    run = over_time(found)
    assert found.curve is not None
    assert run.distance[run.lift] == found.lift_at
    assert run.speed[run.lift] == pytest.approx(found.road_speed)
    assert run.distance[-1] == pytest.approx(float(car.road_length - car.reserve))
    assert (np.diff(run.time) > 0.0).all()
    known = run.speed[1 : run.lift] < found.curve.speed[-1]
    theirs = np.interp(run.speed[1 : run.lift][known], found.curve.speed, found.curve.time)
    np.testing.assert_allclose(run.time[1 : run.lift][known], theirs, rtol=2e-3)
    # braking is a little harder than the brake alone: drag helps
    braking = run.time[-1] - run.time[run.lift]
    assert 0.3 * found.road_speed / float(car.brake_deceleration) < braking
    assert braking < found.road_speed / float(car.brake_deceleration)


@pytest.mark.parametrize("place", BUILDS)
def test_the_least_limit_pushes_and_meets_the_resistances_at_the_balance(place: int) -> None:
    _, car, found = the_car(place)
    view = forces_over_speed(car, found)
    limits = np.stack([view.voltage, view.current, view.pack, view.grip, view.driver])
    np.testing.assert_allclose(np.nanmin(limits, axis=0), view.force, rtol=1e-12)
    np.testing.assert_allclose(
        view.drag + view.rolling + view.grade, view.resistance, rtol=1e-9, atol=1e-12
    )
    last = view.crossings[-1]
    assert last.speed == found.balance_speed
    assert last.force == pytest.approx(float(np.interp(last.speed, view.speed, view.resistance)),
                                       rel=1e-3)  # fmt: skip
    under = view.speed < found.balance_speed * 0.999
    assert (view.force[under] > view.resistance[under]).all()
    # the limits named are those of the curve, in its order
    assert found.curve is not None
    codes = found.curve.limit
    changes = [int(codes[0]), *(int(b) for a, b in pairwise(codes) if a != b)]
    names = [LIMIT_NAMES[code] for code in changes]
    said = [one.text.split(" hands over to ")[0] for one in view.crossings[:-1]]
    for name, following, crossing in zip(names, names[1:], view.crossings, strict=False):
        assert crossing.text == f"{name} hands over to {following}"
    assert said[: len(names) - 1] == names[:-1]


@pytest.mark.parametrize("place", BUILDS)
def test_losses_stack_up_to_what_the_cells_give(place: int) -> None:
    _, car, found = the_car(place)
    view = power_over_speed(car, found)
    assert tuple(name for name, _ in view.shares) == STACKED
    total = np.sum([watts for _, watts in view.shares], axis=0)
    np.testing.assert_allclose(total, view.source, rtol=1e-9, atol=1e-9 * view.source.max())
    left = dict(view.shares)["acceleration"]
    assert abs(left[-1]) < 1e-6 * view.source.max()
    assert left[len(left) // 2] > 0.0


@pytest.mark.parametrize("place", BUILDS)
def test_the_motor_view_is_that_of_the_curve(place: int) -> None:
    build, car, found = the_car(place)
    view = motor_over_speed(build, car, found)
    curve = found.curve
    assert curve is not None
    assert found.at_top is not None
    inner = view.speed <= curve.speed[-1]
    rpm = np.interp(view.speed[inner], curve.speed, curve.motor_speed) * 60 / (2 * np.pi)
    np.testing.assert_allclose(view.rpm[inner], rpm, rtol=1e-3, atol=1.0)
    amps = np.interp(view.speed[inner], curve.speed, curve.current)
    np.testing.assert_allclose(view.current[inner], amps, rtol=1e-2, atol=0.3)
    assert (view.efficiency >= 0.0).all()
    assert (view.efficiency < 1.0).all()
    assert (view.shaft_power <= view.electric_power + 1e-9).all()
    assert view.rated_rpm == build.parts["motor"].known_number("max_rpm")


@pytest.mark.parametrize("place", BUILDS)
def test_charge_and_warmth_end_where_the_prediction_does(place: int) -> None:
    _, car, found = the_car(place)
    view = state_over_run(car, found)
    assert view.state_of_charge[0] == car.state_of_charge
    used = float(car.state_of_charge) - view.state_of_charge[-1]
    assert used * float(car.capacity) == pytest.approx(found.charge_used, rel=1e-9)
    rise = view.motor_celsius[-1] - float(car.motor_temperature)
    assert rise == pytest.approx(found.motor_rise, rel=1e-9)
    assert (np.diff(view.state_of_charge) <= 0.0).all()
    assert (np.diff(view.motor_celsius) >= 0.0).all()
    assert view.distance[-1] == found.lift_at


def test_a_share_of_charge_is_where_an_independent_sum_puts_it() -> None:
    # constant steps in time by interpolation of the curve: no integral of the view's own
    _, car, found = the_car(0)
    view, curve = state_over_run(car, found), found.curve
    assert curve is not None
    place = 0.6 * min(float(curve.distance[-1]), found.lift_at)
    half = float(np.interp(place, view.distance, view.state_of_charge))
    until = float(np.interp(place, curve.distance, curve.time))
    steps = np.linspace(0.0, until, 20_001)
    amps = np.interp(steps, curve.time, curve.pack_current)
    used = float(np.trapezoid(amps, steps)) / float(car.capacity)
    assert float(car.state_of_charge) - half == pytest.approx(used, rel=5e-3)


def test_no_car_to_draw_where_it_is_not_whole_or_does_not_move() -> None:
    build = a_build()
    car = assemble(build)
    assert car is not None
    assert car_of(build, predict(car)) == car
    assert car_of(build.without_part("body"), None) is None
    stuck = a_build(conditions={"slope_percent": 90})
    still = assemble(stuck)
    assert still is not None
    assert car_of(stuck, predict(still)) is None
    assert sensitivity(build.without_part("body")) == ()


@pytest.mark.parametrize("place", BUILDS)
def test_sensitivity_is_the_difference_of_two_predictions(place: int) -> None:
    build, car, found = the_car(place)
    bars = sensitivity(build)
    assert [bar.label for bar in bars] == list(FIGURES)
    for bar, keys in zip(bars, FIGURES.values(), strict=True):
        for change, by in ((bar.up, 1.0 + STEP), (bar.down, 1.0 - STEP)):
            scaled = replace(car, **{key: getattr(car, key) * by for key in keys})
            other = predict(scaled).road_speed - found.road_speed
            assert change == pytest.approx(other, abs=2e-4 * found.road_speed), bar.label


def test_resistance_is_that_of_motor_controller_and_pack() -> None:
    build = a_build(conditions={"driver_g": 5.0, "road_m": 240})
    more = build
    for slot, key in (
        ("motor", "resistance_mohm"),
        ("controller", "resistance_mohm"),
        ("pack", "cell_resistance_mohm"),
    ):
        part = more.parts[slot]
        more = more.with_part(part.with_figure(key, 1.1 * (part.number(key) or 0.0)))
    speeds = []
    for one in (build, more):
        car = assemble(one)
        assert car is not None
        speeds.append(predict(car).road_speed)
    bar = next(bar for bar in sensitivity(build) if bar.label == "resistance")
    assert bar.up == pytest.approx(speeds[1] - speeds[0], rel=0.05)


def test_a_longer_road_and_less_mass_never_slow_it() -> None:
    bars = {bar.label: bar for bar in sensitivity(a_build(conditions={"road_m": 60}))}
    assert bars["road length"].up > 0.05 > -0.05 > bars["road length"].down
    assert bars["mass"].down >= 0.0 >= bars["mass"].up
    assert bars["drag"].down > 0.0 > bars["drag"].up
    for label in ("grip", "brake"):
        assert bars[label].up > 0.0 > bars[label].down
