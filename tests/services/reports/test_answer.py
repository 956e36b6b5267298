"""The JSON of `predict`: keys, units, and what stands for nothing."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.assembly import assemble
from pennyspeed.physics.predict import predict
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.answer import answer, runs_from_pack

KEYS = [
    "format",
    "version",
    "name",
    "top_speed_kmh",
    "road_speed_kmh",
    "lift_at_m",
    "marker_m",
    "stop_m",
    "time_to_top_s",
    "motor_rpm_at_top",
    "electrical_rpm_at_top",
    "final_drive_ratio",
    "roll_out_mm",
    "current_at_top_a",
    "peak_current_a",
    "standstill_current_a",
    "power_at_top_w",
    "charge_used_mah",
    "motor_rise_k",
    "front_load_share_at_top",
    "rear_load_share_at_top",
    "free_spin_kmh",
    "road_left_half_a_second_late_m",
    "air_density_kg_m3",
    "mass_kg",
    "limit_at_top",
    "p10_kmh",
    "p50_kmh",
    "p90_kmh",
    "chance_of_target",
    "counted_cost",
    "cap_left",
    "lines_without_price",
    "checks",
    "curve",
]
CURVE = [
    "speed_kmh",
    "time_s",
    "distance_m",
    "current_a",
    "motor_rpm",
    "force_n",
    "resistance_n",
    "limit",
]
RUN = ("road_speed_kmh", "lift_at_m", "stop_m", "charge_used_mah", "motor_rise_k")


def answered(**changes: Any) -> dict[str, Any]:
    found = answer(forecast(a_build(**changes)))
    text = json.dumps(found, allow_nan=False)
    assert json.loads(text) == found, "plain JSON values throughout"
    return found


def test_keys_stand_in_their_order() -> None:
    found = answered()
    assert list(found) == KEYS
    assert list(found["curve"]) == CURVE
    for check in found["checks"]:
        assert list(check) == ["code", "level", "value", "limit", "text"]


def test_figures_are_in_the_units_that_their_keys_name() -> None:
    found = answered()
    car = assemble(a_build())
    assert car is not None
    physics = predict(car)
    assert physics.at_top is not None
    assert found["top_speed_kmh"] == pytest.approx(physics.top_speed * 3.6)
    assert found["road_speed_kmh"] == pytest.approx(physics.road_speed * 3.6)
    assert found["lift_at_m"] + found["stop_m"] == pytest.approx(240.0, rel=1e-6)
    assert found["motor_rpm_at_top"] == pytest.approx(physics.at_top.motor_speed * 30 / math.pi)
    assert found["electrical_rpm_at_top"] == pytest.approx(2 * found["motor_rpm_at_top"])
    assert found["charge_used_mah"] == pytest.approx(physics.charge_used / 3.6)
    assert found["final_drive_ratio"] == pytest.approx(5.0)
    assert found["roll_out_mm"] == pytest.approx(math.pi * 65 / 5.0)
    assert found["mass_kg"] == pytest.approx(1.77)
    assert found["limit_at_top"] == "voltage"
    assert found["p10_kmh"] < found["p50_kmh"] < found["p90_kmh"]
    # 3 x 4.2 V over 11 + 0.7 + 3 x 3.4 milliohm, winding at 20 °C
    assert found["standstill_current_a"] == pytest.approx(12.6 / 0.0219, rel=1e-6)
    assert found["counted_cost"] == "89.20"
    assert found["cap_left"] == "160.80"


def test_the_curve_is_long_and_ends_just_below_the_balance() -> None:
    found = answered()
    curve = found["curve"]
    assert len({len(column) for column in curve.values()}) == 1
    assert len(curve["speed_kmh"]) >= 200
    car = assemble(a_build())
    assert car is not None
    balance = predict(car).balance_speed * 3.6
    assert curve["speed_kmh"][0] == 0.0
    assert curve["speed_kmh"][-1] == pytest.approx(0.99 * balance, rel=1e-9)
    assert curve["time_s"][-1] == pytest.approx(found["time_to_top_s"], rel=1e-9)
    assert np.all(np.diff(curve["speed_kmh"]) > 0)
    assert set(curve["limit"]) <= {"voltage", "current", "pack", "grip", "driver"}
    # work over distance is what the speed shows: the curve's own books, by the trapezoid rule
    v = np.array(curve["speed_kmh"]) / 3.6
    t = np.array(curve["time_s"])
    assert np.trapezoid(v, t) == pytest.approx(curve["distance_m"][-1], rel=1e-3)


def test_a_part_that_is_missing_leaves_null() -> None:
    found = answered(parts__motor=None)
    nothing = {key for key, value in found.items() if value is None}
    assert nothing == set(KEYS) - {
        "format",
        "version",
        "name",
        "final_drive_ratio",
        "roll_out_mm",
        "air_density_kg_m3",
        "mass_kg",
        "counted_cost",
        "cap_left",
        "lines_without_price",
        "checks",
    }


def test_nothing_that_has_a_mass_is_no_car() -> None:
    weightless = {f"parts__{slot}__mass_g": None for slot in a_build().parts}
    found = answered(**weightless, parts__extras=[])
    assert found["mass_kg"] == 0.0
    assert found["top_speed_kmh"] is None
    assert found["curve"] is None
    levels = {check["code"]: check["level"] for check in found["checks"]}
    assert levels["masses"] == "unknown"
    assert levels["cannot-move"] == "unknown"


def test_a_car_that_cannot_move_answers_nought() -> None:
    found = answered(parts__motor__peak_current_a=1)
    for key in ("top_speed_kmh", *RUN):
        assert found[key] == 0, key
    for key in KEYS:
        if key.endswith("_at_top") or key in ("current_at_top_a", "power_at_top_w"):
            assert found[key] is None, key
    assert found["time_to_top_s"] is None
    assert found["peak_current_a"] is None
    assert found["curve"] == {key: [] for key in CURVE}
    assert found["standstill_current_a"] > 0
    assert found["p10_kmh"] is not None
    levels = {check["code"]: check["level"] for check in found["checks"]}
    assert levels["cannot-move"] == "stop"


def test_a_car_that_only_the_second_pass_stops_keeps_its_top() -> None:
    # Up a steep ramp: full it climbs, and what the climb leaves of a tiny pack cannot start again.
    found = answered(
        parts__chassis__driven="all",
        parts__pack__capacity_mah=12,
        parts__pack__c_burst=None,
        parts__pack__cell_resistance_mohm=150,
        parts__tyres__grip=2,
        parts__pinion__teeth=33,
        conditions__slope_percent=56,
        conditions__driver_g=5,
        conditions__road_m=1500,
    )
    assert found["top_speed_kmh"] > 10
    for key in ("motor_rpm_at_top", "current_at_top_a", "power_at_top_w", "limit_at_top"):
        assert found[key] is not None, key
    for key in RUN:
        assert found[key] == 0, key
    assert found["time_to_top_s"] is None
    assert found["peak_current_a"] is None
    assert found["curve"] == {key: [] for key in CURVE}
    levels = {check["code"]: check["level"] for check in found["checks"]}
    assert levels["cannot-move"] == "stop"
    assert levels["pack-flat"] == "warn"
    assert levels["pack-voltage"] == "unknown"
    assert levels["motor-rpm"] == "unknown", "compared with what this road lets happen"


def test_the_rise_is_open_where_neither_mass_nor_heat_capacity_is_known() -> None:
    assert answered(parts__motor__mass_g=None)["motor_rise_k"] is None
    given = answered(parts__motor__mass_g=None, parts__motor__heat_capacity_j_per_k=83.25)
    assert given["motor_rise_k"] == pytest.approx(answered()["motor_rise_k"], rel=0.05)


def test_without_target_or_cap_there_is_no_chance_and_nothing_left() -> None:
    found = answered(target_kmh=None, money__cap=None)
    assert found["chance_of_target"] is None
    assert found["cap_left"] is None
    assert answered(money=None)["counted_cost"] == "0.00"
    yen = {"currency": "JPY", "cap": "9000", "lines": [{"unit_price": "1500", "quantity": 3}]}
    found = answered(money=yen)
    assert (found["counted_cost"], found["cap_left"]) == ("4500", "4500")


def test_runs_from_a_pack_leave_a_fifth_of_it_however_full_it_is_now() -> None:
    """Four fifths of the charge, common practice, no source."""
    for charge in (1.0, 0.6):
        found = forecast(a_build(conditions__state_of_charge=charge))
        used = float(answer(found)["charge_used_mah"])
        assert runs_from_pack(found) == math.floor(0.8 * 3800 / used) > 0
    assert runs_from_pack(forecast(a_build(parts__pack=None))) is None
    assert runs_from_pack(forecast(a_build(conditions__slope_percent=60))) is None
