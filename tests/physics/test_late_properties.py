"""Properties of inductance, warm packs and late drivers, and that without them nothing changed."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from operator import attrgetter
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pennyspeed.physics.car import VOLTAGE, Car
from pennyspeed.physics.electrics import (
    electrics,
    full_throttle_current,
    full_throttle_emfs,
    full_throttle_pack_current,
)
from pennyspeed.physics.predict import books, late_lifts, predict
from physics.cars import CARS, make_car
from physics.test_properties import ANY_CAR, PLAUSIBLE, assert_sensible, figure

ANSWERS = Path(__file__).parents[1] / "data" / "answers_before_inductance.json"
FROZEN = json.loads(ANSWERS.read_text("utf-8"))
"""What was predicted before windings had inductance, packs a temperature and drivers a reaction."""

ROUNDING = 1e-9

INDUCTANCE = figure(1e-7, 3e-5)
STIFF = {"motor_resistance": figure(0.006, 0.03), "pack_resistance": figure(0.001, 0.006)}
plausible = st.builds(make_car, **PLAUSIBLE, inductance=INDUCTANCE)
stiff = st.builds(make_car, **(PLAUSIBLE | STIFF), inductance=INDUCTANCE)
late = st.builds(
    make_car, **PLAUSIBLE, inductance=INDUCTANCE, reaction=figure(0.0, 3.0),
    reserve=figure(0.0, 30.0), pack_temperature=figure(-30.0, 80.0),
)  # fmt: skip
any_late = st.builds(
    make_car, **ANY_CAR, inductance=figure(0.0, 1e-3), pole_pairs=st.integers(1, 20).map(float),
    reaction=figure(0.0, 5.0), reserve=figure(0.0, 300.0), pack_temperature=figure(-30.0, 80.0),
)  # fmt: skip


def held(car: Car) -> Car:
    """The car whose pack and motor no run changes, so that both passes hold the same state."""
    return replace(car, capacity=1e15, heat_capacity=1e15)


# --- neutral --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FROZEN)
def test_a_car_without_the_new_figures_answers_as_before(name: str) -> None:
    got = predict(CARS[name])
    for figure_name, value in FROZEN[name].items():
        # processors differ in the last digits of an exponential
        assert attrgetter(figure_name)(got) == pytest.approx(value, rel=1e-11), figure_name


@settings(max_examples=40)
@given(st.builds(make_car, **PLAUSIBLE))
def test_no_inductance_is_the_straight_line_to_the_last_bit(car: Car) -> None:
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    emf = np.linspace(0.0, 1.1 * state.voltage, 50)
    current = full_throttle_current(state, emf)
    line = np.maximum((state.voltage - emf) / state.whole, 0.0)
    assert (current == line).all()
    assert full_throttle_pack_current(state, emf, current) is current
    assert state.pack == car.pack_resistance


def test_a_batch_without_inductance_takes_the_straight_line() -> None:
    state = electrics(
        make_car(inductance=np.zeros(3), kv=np.array([200.0, 300.0, 400.0])), 1.0, 20.0
    )
    assert type(state.reactance) is float
    assert state.reactance == 0.0


@settings(max_examples=25)
@given(st.builds(make_car, **PLAUSIBLE))
def test_hardly_any_inductance_hardly_matters(car: Car) -> None:
    # the quadratic and the straight line are two ways to the same answer
    one, other = predict(car), predict(replace(car, inductance=1e-14))
    assert other.top_speed == pytest.approx(one.top_speed, rel=1e-6)
    assert other.road_speed == pytest.approx(one.road_speed, rel=1e-6)
    assert other.charge_used == pytest.approx(one.charge_used, rel=1e-5)


# --- inductance and the pack ----------------------------------------------------------------------


@settings(max_examples=60)
@given(plausible, figure(0.0, 1.2))
def test_full_throttle_spends_all_volts_and_no_watt_on_the_reactance(car: Car, part: float) -> None:
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    emf = part * state.voltage
    motor = full_throttle_current(state, emf)
    pack = full_throttle_pack_current(state, emf, motor)
    if emf >= state.voltage:
        assert motor == pack == 0.0
        return
    volts = state.voltage - state.pack * pack
    assert volts == pytest.approx(emf + (state.behind_pack + state.reactance * emf) * motor)
    assert volts * pack == pytest.approx((emf + state.behind_pack * motor) * motor)
    larger, smaller = full_throttle_emfs(state, motor)
    assert emf == pytest.approx(larger, abs=1e-9) or emf == pytest.approx(smaller, abs=1e-9)


@settings(max_examples=60)
@given(stiff, figure(1.0, 4.0))
def test_more_inductance_never_raises_the_speed(car: Car, more: float) -> None:
    # of a pack that is no weaker than what is behind it; a weak one it may relieve at low speed
    low, high = predict(held(car)), predict(held(replace(car, inductance=more * car.inductance)))
    assert high.top_speed <= low.top_speed * (1 + ROUNDING)
    assert high.road_speed <= low.road_speed * (1 + 1e-7)
    without = predict(held(replace(car, inductance=0.0)))
    assert low.top_speed <= without.top_speed * (1 + ROUNDING)
    if low.at_top is not None and low.at_top.limit == VOLTAGE:
        assert low.top_speed < without.top_speed


@settings(max_examples=40)
@given(plausible, figure(-30.0, 80.0), figure(-30.0, 80.0))
def test_a_warmer_pack_never_lowers_a_speed_that_voltage_limits(
    car: Car, one: float, other: float
) -> None:
    cold, warm = (
        predict(replace(car, pack_temperature=degrees)) for degrees in sorted((one, other))
    )
    assume(cold.at_top is not None and cold.at_top.limit == VOLTAGE)
    assert warm.top_speed >= cold.top_speed * (1 - ROUNDING)
    if abs(other - one) > 1.0:
        assert warm.top_speed > cold.top_speed


def test_a_pack_doubles_its_resistance_in_the_cold() -> None:
    # from memory, as lithium-polymer cells do from 20 to 0 °C
    assert electrics(make_car(pack_temperature=0.0), 1.0, 20.0).pack == pytest.approx(
        2.0 * make_car().pack_resistance, rel=0.01
    )


@settings(max_examples=60)
@given(late)
def test_the_books_balance_with_reactance(car: Car) -> None:
    got = predict(car)
    assume(got.curve is not None)
    assert got.curve is not None
    for speed in (got.curve.speed, 0.7 * got.balance_speed):
        found = books(car, speed, got.held_state_of_charge, got.held_motor_temperature)
        entries = asdict(found)
        source = entries.pop("source")
        np.testing.assert_allclose(
            sum(entries.values()), source, rtol=1e-9, atol=1e-9 * float(np.max(np.abs(source)))
        )


# --- the late driver ------------------------------------------------------------------------------


@settings(max_examples=40)
@given(late, figure(0.0, 40.0))
def test_more_reserve_never_raises_the_speed(car: Car, more: float) -> None:
    one, other = predict(held(car)), predict(held(replace(car, reserve=car.reserve + more)))
    assert other.road_speed <= one.road_speed * (1 + ROUNDING)
    assert other.top_speed == one.top_speed
    if more > 0.1 and one.lift_at > 0.0:
        assert other.lift_at < one.lift_at


@settings(max_examples=30)
@given(late)
def test_the_stop_leaves_the_reserve(car: Car) -> None:
    got = predict(car)
    assume(got.late is not None)
    used = got.lift_at + got.stop_distance + car.reserve
    assert used == pytest.approx(car.road_length, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(late, figure(0.0, 5.0))
def test_more_reaction_moves_only_the_marker(car: Car, more: float) -> None:
    one, other = predict(car), predict(replace(car, reaction=car.reaction + more))
    assert other.marker_at <= one.marker_at
    assert other.marker_speed <= one.marker_speed
    if more > 0.01 and one.marker_at > 0.0:
        assert other.marker_at < one.marker_at
    moved = {"marker_at", "marker_speed"}

    def rest(got: Any) -> str:
        return repr({name: value for name, value in asdict(got).items() if name not in moved})

    with np.printoptions(threshold=100_000, floatmode="unique"):
        assert rest(other) == rest(one)


@settings(max_examples=40)
@given(late)
def test_later_leaves_less_road_and_more_speed_at_its_end(car: Car) -> None:
    got = predict(car)
    assume(got.late is not None)
    late_by = late_lifts(car, got, (0.0, 0.2, 0.5, 1.0, 3.0, 20.0))
    left = [one.road_left for one in late_by]
    assert left == sorted(left, reverse=True)
    assert left[0] == pytest.approx(car.reserve, abs=1e-6 * car.road_length)
    ends = [one.end_speed for one in late_by]
    assert ends == sorted(ends)
    for one in late_by:
        assert (one.end_speed > 0.0) == (one.road_left < 0.0)
        assert one.end_speed <= one.lift_speed
    assert got.late is not None
    assert got.late.stop_at == late_by[2].stop_at
    assert got.late.end_speed == late_by[2].end_speed


@pytest.mark.parametrize(("road", "reserve"), [(0.0, 0.0), (30.0, 30.0), (30.0, 31.0)])
def test_where_no_road_is_left_nothing_is_driven(road: float, reserve: float) -> None:
    got = predict(make_car(road_length=road, reserve=reserve, reaction=0.7))
    assert got.road_speed == got.lift_at == got.stop_distance == got.marker_at == 0.0
    assert got.charge_used == got.motor_rise == got.first_pass_charge == 0.0
    assert got.late is None
    assert late_lifts(make_car(road_length=road), got, (0.5,)) == ()
    assert got.top_speed > 0.0


@settings(max_examples=150, deadline=None)
@given(any_late)
def test_any_car_gets_figures(car: Car) -> None:
    got = predict(car)
    assert_sensible(replace(car, road_length=max(car.road_length - car.reserve, 0.0)), got)
    if got.late is not None:
        assert 0.0 <= got.marker_at <= got.lift_at
        assert got.late.lift_at >= got.lift_at * (1 - ROUNDING)
