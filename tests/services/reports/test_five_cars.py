"""Five cars of the tests' own, from their build file to the answer of `predict --json`.

Each is turned into SI by hand here and driven over its road in time (`physics/reference.py`, which
shares no formula with the program); every figure of the answer is within 0.1 % of that.
"""

from __future__ import annotations

import json
import math
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from builds import document
from pennyspeed.cli import commands
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.physics.car import Car
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.answer import answer
from physics import late_reference, reference_runs

CLOSE = 1e-3
RHO = 1.19931
"""At 20 °C, 1013.25 hPa and 50 % with 400 ppm of CO2 [kg/m^3] (CIPM-2007)."""

AIR = {
    "conditions__air_temperature_c": 20,
    "conditions__air_pressure_hpa": 1013.25,
    "conditions__relative_humidity": 0.5,
}
CARS: dict[str, dict[str, Any]] = {
    "as the first version had it": {"version": 1, "conditions__road_m": 180},
    "late on a cold day": {
        "parts__motor__inductance_uh": 4.6,
        "conditions__pack_temperature_c": -5,
        "conditions__reaction_s": 0.9,
        "conditions__reserve_m": 15,
        "conditions__road_m": 170,
    },
    "warm, uphill, front wheels": {
        "parts__chassis__driven": "front",
        "parts__motor__inductance_uh": 6.2,
        "conditions__pack_temperature_c": 45,
        "conditions__motor_temperature_c": 60,
        "conditions__slope_percent": 2.5,
        "conditions__head_wind_kmh": 9,
        "conditions__reaction_s": 0.5,
        "conditions__reserve_m": 12,
        "conditions__road_m": 90,
    },
    "light behind": {
        "parts__chassis__internal_ratio": 1.7,
        "parts__body__downforce_rear": -0.6,
        "parts__motor__inductance_uh": 2.4,
        "conditions__reaction_s": 0.7,
        "conditions__reserve_m": 10,
        "conditions__road_m": 320,
    },
    "eight poles and a weak pack": {
        "parts__motor__poles": 8,
        "parts__motor__inductance_uh": 9.5,
        "parts__chassis__driven": "all",
        "parts__pack__c_burst": 6,
        "parts__pack__cell_resistance_mohm": 9,
        "parts__controller__burst_current_a": 36,
        "conditions__driver_g": 0.9,
        "conditions__state_of_charge": 0.7,
        "conditions__reaction_s": 1.4,
        "conditions__reserve_m": 25,
        "conditions__road_m": 150,
    },
}


def file_of(name: str) -> dict[str, Any]:
    return document(**AIR, **({"version": 2} | CARS[name]))


def by_hand(name: str) -> Car:
    """Return the car in SI, from nothing but the figures in its file."""
    given = file_of(name)
    parts, road = given["parts"], given["conditions"]
    chassis, motor, pack = parts["chassis"], parts["motor"], parts["pack"]
    tyres, body, controller = parts["tyres"], parts["body"], parts["controller"]
    grams = [p["mass_g"] for p in (*(parts[s] for s in parts if s != "extras"), *parts["extras"])]
    diameter = tyres["diameter_mm"] / 1000
    return Car(
        mass=sum(grams) / 1000,
        wheelbase=chassis["wheelbase_mm"] / 1000,
        cg_height=chassis["cg_height_mm"] / 1000,
        front_share=chassis["front_share"],
        driven=("rear", "front", "all").index(chassis["driven"]),
        gear_ratio=parts["spur"]["teeth"] / parts["pinion"]["teeth"] * chassis["internal_ratio"],
        drivetrain_efficiency=chassis["drivetrain_efficiency"],
        kv=motor["kv_rpm_per_v"] * math.tau / 60,
        motor_resistance=motor["resistance_mohm"] / 1000,
        no_load_current=motor["no_load_current_a"],
        no_load_voltage=motor["no_load_voltage_v"],
        loss_speed_share=motor["loss_speed_share"],
        rotor_inertia=motor["rotor_inertia_gcm2"] * 1e-7,
        heat_capacity=0.45 * motor["mass_g"],
        controller_resistance=controller["resistance_mohm"] / 1000,
        current_limit=min(controller["burst_current_a"], motor["peak_current_a"]),
        cells_series=pack["cells_series"],
        pack_resistance=pack["cells_series"] * pack["cell_resistance_mohm"] / 1000,
        capacity=pack["capacity_mah"] * 3.6,
        pack_current_limit=pack["c_burst"] * pack["capacity_mah"] / 1000,
        tyre_diameter=diameter,
        growth=tyres["growth_fraction"],
        growth_speed=tyres["growth_at_kmh"] / 3.6,
        growth_max=tyres["growth_max_fraction"],
        grip=tyres["grip"],
        rolling=tyres["rolling_coefficient"],
        # half of the mass at the rim: 1.5 times that of a disc with half of it
        wheel_inertia=0.75 * tyres["mass_g"] / 1000 * (diameter / 2) ** 2,
        drag_coefficient=body["drag_coefficient"],
        frontal_area=body["frontal_area_cm2"] / 1e4,
        downforce_front=body["downforce_front"],
        downforce_rear=body["downforce_rear"],
        air_density=RHO,
        head_wind=road.get("head_wind_kmh", 0) / 3.6,
        slope=math.atan(road.get("slope_percent", 0) / 100),
        state_of_charge=road.get("state_of_charge", 1),
        motor_temperature=road.get("motor_temperature_c", 20),
        road_length=road["road_m"],
        brake_deceleration=road.get("brake_g", 0.5) * 9.80665,
        driver_acceleration=road["driver_g"] * 9.80665,
        pole_pairs=motor["poles"] / 2,
        inductance=motor.get("inductance_uh", 0) * 1e-6,
        pack_temperature=road.get("pack_temperature_c", 20),
        reaction=road.get("reaction_s", 0),
        reserve=road.get("reserve_m", 0),
    )


@cache
def answered(name: str) -> dict[str, Any]:
    return answer(forecast(build_from_document(file_of(name))))


@cache
def driven(name: str) -> reference_runs.Answer:
    return reference_runs.answer(by_hand(name))


@pytest.mark.parametrize("name", CARS)
def test_every_figure_is_that_of_the_run_in_time(name: str) -> None:
    found, run = answered(name), driven(name)
    car = by_hand(name)
    turns = run.top_motor_speed * 60 / math.tau
    free = car.kv * car.cells_series * _cell_volts(car.state_of_charge) / car.gear_ratio
    expected = {
        "top_speed_kmh": run.top_speed * 3.6,
        "road_speed_kmh": run.road_speed * 3.6,
        "lift_at_m": run.lift_at,
        "stop_m": run.stop_distance,
        "time_to_top_s": run.time_to_top,
        "motor_rpm_at_top": turns,
        "electrical_rpm_at_top": turns * car.pole_pairs,
        "final_drive_ratio": car.gear_ratio,
        "roll_out_mm": math.pi * car.tyre_diameter / car.gear_ratio * 1000,
        "current_at_top_a": run.top_current,
        "peak_current_a": run.peak_current,
        "standstill_current_a": run.standstill_current,
        "power_at_top_w": run.top_power,
        "charge_used_mah": run.charge_used / 3.6,
        "motor_rise_k": run.motor_rise,
        "front_load_share_at_top": run.top_front_load_share,
        "rear_load_share_at_top": run.top_rear_load_share,
        "free_spin_kmh": free * car.tyre_diameter / 2 * 3.6,
        "air_density_kg_m3": RHO,
        "mass_kg": car.mass,
    }
    assert {key: found[key] for key in expected} == pytest.approx(expected, rel=CLOSE)
    assert found["limit_at_top"] == ("voltage", "current", "pack", "grip", "driver")[run.top_limit]


@pytest.mark.parametrize("name", CARS)
def test_the_marker_and_a_late_lift_are_those_of_the_run_in_time(name: str) -> None:
    found, run = answered(name), driven(name).run
    assert run is not None
    at, _ = late_reference.marker(run)
    late = late_reference.late(run, 0.5)
    road = by_hand(name).road_length
    # 0.1 % of the road is what a lift may be off
    assert found["marker_m"] == pytest.approx(at, abs=CLOSE * road)
    left = found["road_left_half_a_second_late_m"]
    assert left == pytest.approx(road - late.stop_at, abs=CLOSE * road)


def test_the_five_are_five_sorts_of_car() -> None:
    # or the figures above would say the same five times
    limits = {limit for name in CARS for limit in answered(name)["curve"]["limit"]}
    assert limits >= {"voltage", "current", "pack", "grip", "driver"}
    assert answered("light behind")["rear_load_share_at_top"] < 0.7
    marked = [answered(name)["lift_at_m"] - answered(name)["marker_m"] for name in CARS]
    assert marked[0] == 0
    assert min(marked[1:]) > 5


def _cell_volts(state_of_charge: float) -> float:
    return {1: 4.2, 0.7: 3.95}[state_of_charge]


def test_the_command_line_says_the_same(tmp_path: Path) -> None:
    name = "late on a cold day"
    path = tmp_path / "late.build.json"
    path.write_text(json.dumps(file_of(name)), encoding="utf-8")
    result = CliRunner().invoke(commands, ["predict", str(path), "--json"])
    assert result.exit_code == 0, result.output
    said = json.loads(result.stdout)
    assert said == answered(name)
    assert (said["format"], said["version"]) == ("pennyspeed-answer", 2)
    assert said["name"] == "Allotment runner"
