"""Checks of levels that depend on how far a limit is passed, and advice that holds when followed.

Limits: own judgement but where a source is named. What is compared was worked out by hand.
"""

from __future__ import annotations

import math
import re
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Facts, Level, Outcome, checked
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.units import IN, MPH
from pennyspeed.physics.predict import predict


def outcomes(build: Build, measures: Measures = METRIC) -> dict[str, Outcome]:
    car = assemble(build)
    prediction = None if car is None else predict(car)
    facts = Facts(build, prediction, costs(build), mass_kg(build), measures)
    return {check.code: check for check in checked(facts)}


def outcome(code: str, **changes: Any) -> Outcome:
    return outcomes(a_build(**changes))[code]


@pytest.mark.parametrize(
    ("code", "warned", "stopped", "limit"),
    [
        # the tests' own car runs 95 km/h: 95/80 = 1.19, 95/70 = 1.36
        ("tyre-speed", {"parts__tyres__rated_kmh": 80}, {"parts__tyres__rated_kmh": 70}, None),
        # 180 °C: thermal class 180 (H) of IEC 60085
        (
            "motor-temperature",
            {"conditions__motor_temperature_c": 170},
            {"conditions__motor_temperature_c": 179.9},
            100.0,
        ),
        # it asks for some 28 A: over 3.8 Ah times 7, over 1.5 times that at 4.5
        ("current-pack", {"parts__pack__c_burst": 7}, {"parts__pack__c_burst": 4.5}, None),
        (
            "front-load",
            {"parts__body__downforce_front": -0.78},
            {"parts__body__downforce_front": -1.6},
            0.25,
        ),
        (
            "rear-load",
            {"parts__body__downforce_rear": -1.6},
            {"parts__body__downforce_rear": -1.6, "parts__chassis__driven": "front"},
            0.25,
        ),
    ],
)
def test_what_is_watched_stops_the_car_once_it_is_far_enough(
    code: str, warned: Any, stopped: Any, limit: float | None
) -> None:
    watch, stop = outcome(code, **warned), outcome(code, **stopped)
    assert (watch.level, stop.level) == (Level.WARN, Level.STOP), (watch, stop)
    for check in (watch, stop):
        assert check.advice
        if limit is not None:
            assert check.limit == limit
    if limit is None:
        # the rating itself, whichever level it gave
        assert watch.limit in warned.values() or watch.limit == pytest.approx(3.8 * 7)
        assert stop.limit in stopped.values() or stop.limit == pytest.approx(3.8 * 4.5)


def test_tyres_stop_the_car_from_a_quarter_over_their_rating() -> None:
    speed = float(outcome("tyre-speed").value or 0)
    for share, level in ((1.2499, Level.WARN), (1.2501, Level.STOP)):
        assert outcome("tyre-speed", parts__tyres__rated_kmh=speed / share).level is level


def test_wheels_in_the_air_turn_with_kv_times_volts() -> None:
    # 3100 · 3 · 4.2 = 39,060 rpm; G = 2.5 · 66/33 = 5; π · 65 mm a turn: by hand
    build = a_build()
    turns, diameter = 39_060.0, float(build.parts["tyres"].number("diameter_mm") or 0)
    speed = turns / 5.0 * math.pi * diameter * 1e-6 * 60
    tyres = outcome("free-spin", parts__tyres__rated_kmh=speed * 0.99)
    assert tyres.level is Level.WARN
    assert tyres.value == pytest.approx(speed)
    assert tyres.limit == pytest.approx(speed * 0.99)
    motor = outcome("free-spin", parts__controller__max_electrical_rpm=70_000)
    assert motor.level is Level.WARN
    assert (motor.value, motor.limit) == (pytest.approx(2 * turns), 70_000)
    assert outcome("free-spin", parts__tyres__rated_kmh=None).level is Level.UNKNOWN
    exceeded = {"parts__tyres__rated_kmh": None, "parts__controller__max_electrical_rpm": 70_000}
    assert outcome("free-spin", **exceeded).level is Level.WARN


def test_wheels_in_the_air_need_no_run() -> None:
    cannot = outcomes(a_build(conditions__slope_percent=80))
    assert cannot["cannot-move"].level is Level.STOP
    assert cannot["free-spin"].level is Level.OK


def test_front_wheels_that_leave_the_road_are_said() -> None:
    tall = {"parts__chassis__cg_height_mm": 120, "conditions__driver_g": 3.0}
    assert outcome("wheelie").level is Level.OK
    check = outcome("wheelie", **tall, parts__tyres__grip=1.4)
    assert check.level is Level.WARN
    assert float(check.value or 0) <= 0.01
    assert check.limit == 0.01


@pytest.mark.parametrize(
    ("road", "target", "levels"),
    [
        # the car has 95 km/h in it, and 72 on 100 m of road
        (240, 80, (Level.OK, Level.OK)),
        (100, 80, (Level.OK, Level.WARN)),
        (240, 120, (Level.WARN, Level.OK)),
        (100, 120, (Level.WARN, Level.OK)),
        (240, None, (Level.UNKNOWN, Level.UNKNOWN)),
    ],
)
def test_either_the_car_or_the_road_falls_short_of_the_target(
    road: float, target: float | None, levels: tuple[Level, Level]
) -> None:
    found = outcomes(a_build(conditions__road_m=road, target_kmh=target))
    assert (found["target"].level, found["road-short"].level) == levels


def test_no_road_to_drive_is_said() -> None:
    check = outcome("margin", conditions__reserve_m=240)
    assert (check.level, check.value, check.limit) == (Level.WARN, None, 0.0)
    assert "reserve" in check.text


def test_a_car_that_leaves_the_road_leaves_it_by_more_than_nothing() -> None:
    check = outcome("margin", conditions__reserve_m=13.1)
    assert -0.5 < float(check.value or 0) < 0.0
    assert check.text == "A lift half a second late leaves the road by 1 m"


@pytest.mark.parametrize("road", [60, 120, 240])
@pytest.mark.parametrize("measures", [METRIC, Measures(MPH, IN)])
def test_the_reserve_that_is_advised_covers_half_a_second(road: float, measures: Measures) -> None:
    build = a_build(conditions__road_m=road)
    check = outcomes(build, measures)["margin"]
    assert check.level is Level.WARN
    said = re.match(r"A reserve of (\d+) (m|ft) covers it", check.advice)
    assert said, check.advice
    metres = float(said[1]) * (0.3048 if said[2] == "ft" else 1.0)
    after = outcomes(build.with_condition("reserve_m", metres), measures)["margin"]
    assert after.level is Level.OK
    little_less = outcomes(build.with_condition("reserve_m", 0.8 * metres), measures)["margin"]
    assert little_less.level is Level.WARN


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    kv=st.integers(1800, 6000),
    cells=st.integers(1, 6),
    teeth=st.integers(14, 40),
    inductance=st.sampled_from([0.0, 4.0]),
    road=st.integers(60, 500),
    rated=st.integers(12_000, 60_000),
)
def test_advice_that_names_a_motor_or_cells_holds_when_followed(
    kv: int, cells: int, teeth: int, inductance: float, road: int, rated: int
) -> None:
    changes = {
        "parts__motor__kv_rpm_per_v": kv,
        "parts__motor__inductance_uh": inductance,
        "parts__motor__max_rpm": rated,
        "parts__controller__max_electrical_rpm": 1.8 * rated,
        "parts__pack__cells_series": cells,
        "parts__pinion__teeth": teeth,
        "conditions__road_m": road,
    }
    for code in ("motor-rpm", "electrical-rpm"):
        check = outcome(code, **changes)
        if check.level is Level.OK:
            continue
        slower = re.search(r"about ([\d,]+) rpm/V", check.advice)
        if slower:
            followed = changes | {"parts__motor__kv_rpm_per_v": float(slower[1].replace(",", ""))}
            assert outcome(code, **followed).level is Level.OK
        fewer = re.search(r"or (\d+|one) cells?", check.advice)
        if fewer:
            count = 1 if fewer[1] == "one" else int(fewer[1])
            assert outcome(code, **changes | {"parts__pack__cells_series": count}).level is Level.OK


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    share=st.floats(0.3, 0.95),
    code=st.sampled_from(["current-controller", "current-motor", "current-pack"]),
    in_bursts=st.booleans(),
    driver=st.floats(0.3, 1.5),
    teeth=st.integers(14, 45),
)
def test_advice_that_names_a_rating_or_a_pinion_holds_when_followed(
    share: float, code: str, in_bursts: bool, driver: float, teeth: int
) -> None:
    slot = code.removeprefix("current-")
    keys = {
        "controller": ("burst_current_a", "continuous_current_a"),
        "motor": ("peak_current_a", "continuous_current_a"),
        "pack": ("c_burst", "c_continuous"),
    }[slot]
    key = f"parts__{slot}__{keys[0] if in_bursts else keys[1]}"
    changes: dict[str, Any] = {"conditions__driver_g": driver, "parts__pinion__teeth": teeth}
    car = assemble(a_build(**changes))
    assert car is not None
    run = predict(car)
    assert run.at_top is not None
    asked = (run.asked_motor_current if in_bursts else run.at_top.current) or 0.0
    changes[key] = max(share * asked / (3.8 if slot == "pack" else 1.0), 0.5)
    check = outcome(code, **changes)
    if check.level is Level.OK:
        return
    rating = re.search(r"rated ([\d,]+) A (in bursts|continuous)", check.advice)
    assert rating
    amps = float(rating[1].replace(",", "")) / (3.8 if slot == "pack" else 1.0)
    again = f"parts__{slot}__{keys[0] if rating[2] == 'in bursts' else keys[1]}"
    followed = outcome(code, **changes | {again: amps})
    assert (followed.level is Level.OK) or followed.limit != pytest.approx(amps)
    pinion = re.search(r"a pinion of (\d+) teeth", check.advice)
    if pinion:
        fewer = outcomes(a_build(**changes | {"parts__pinion__teeth": int(pinion[1])}))
        assert fewer[code].level is Level.OK
        assert fewer["mesh-distance"].level is Level.OK


@pytest.mark.parametrize(
    ("one", "other", "level"),
    [
        # 32 pitch is 25.4/32 = 0.79375 mm: within 1 % of 0.8 (common practice, no source)
        (0.8, 25.4 / 32, Level.OK),
        (0.8, 0.7919, Level.STOP),
        (0.5, 25.4 / 48, Level.STOP),
    ],
)
def test_modules_mate_within_a_hundredth(one: float, other: float, level: Level) -> None:
    changes = {"parts__pinion__module_mm": one, "parts__spur__module_mm": other}
    check = outcome("gear-module", **changes, parts__chassis__gear_module_mm=one)
    assert check.level is level
    assert "mate" in check.text or level is Level.STOP


@pytest.mark.parametrize(
    ("bore", "level"), [(3.17, Level.OK), (3.195, Level.OK), (3.2, Level.STOP), (3.15, Level.STOP)]
)
def test_a_bore_fits_a_shaft_within_two_hundredths(bore: float, level: Level) -> None:
    assert outcome("pinion-bore", parts__pinion__bore_mm=bore).level is level
