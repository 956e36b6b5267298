"""Answer: what `predict --json` writes about one build, in the units that its keys name."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import free_spin_kmh
from pennyspeed.domain.units import KMH, MAH, MM, RPM
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.physics.pack import USABLE_SHARE
from pennyspeed.physics.results import Curve, Prediction
from pennyspeed.services.prediction.forecast import Forecast

FORMAT = "pennyspeed-answer"
VERSION = 2

_Found = TypeVar("_Found")


def answer(forecast: Forecast) -> dict[str, Any]:
    """Return the answer as plain JSON values.

    ``None`` stands for what cannot be said: everything about the run where a part is missing; of a
    car that cannot move everything but speeds, distances, charge and rise, which are 0.
    """
    found = forecast.prediction
    at_top = None if found is None else found.at_top
    turns = None if at_top is None else RPM.from_si(at_top.motor_speed)
    motor = forecast.build.part("motor")
    poles = None if motor is None else motor.number("poles")
    band, costs = forecast.band, forecast.costs
    roll_out = forecast.roll_out_m
    return {
        "format": FORMAT,
        "version": VERSION,
        "name": forecast.build.name,
        "top_speed_kmh": _of(found, lambda one: KMH.from_si(one.top_speed)),
        "road_speed_kmh": _of(found, lambda one: KMH.from_si(one.road_speed)),
        "lift_at_m": _of(found, lambda one: one.lift_at),
        "marker_m": _of(found, lambda one: one.marker_at),
        "stop_m": _of(found, lambda one: one.stop_distance),
        "time_to_top_s": _of(found, lambda one: one.time_to_top),
        "motor_rpm_at_top": turns,
        "electrical_rpm_at_top": None if turns is None or poles is None else turns * poles / 2,
        "final_drive_ratio": forecast.gear_ratio,
        "roll_out_mm": None if roll_out is None else MM.from_si(roll_out),
        "current_at_top_a": _of(at_top, lambda one: one.current),
        "peak_current_a": _of(found, lambda one: one.peak_current),
        "standstill_current_a": forecast.standstill_current,
        "power_at_top_w": _of(at_top, lambda one: one.power),
        "charge_used_mah": _of(found, lambda one: MAH.from_si(one.charge_used)),
        "motor_rise_k": _of(found, lambda one: motor_rise(forecast, one)),
        "front_load_share_at_top": _of(at_top, lambda one: one.front_load_share),
        "rear_load_share_at_top": _of(at_top, lambda one: one.rear_load_share),
        "free_spin_kmh": free_spin_kmh(forecast.build),
        "road_left_half_a_second_late_m": _of(
            found, lambda one: None if one.late is None else one.late.road_left
        ),
        "air_density_kg_m3": forecast.air_density,
        "mass_kg": forecast.mass_kg,
        "limit_at_top": None if at_top is None else LIMIT_NAMES[at_top.limit],
        "p10_kmh": None if band is None else KMH.from_si(band.p10),
        "p50_kmh": None if band is None else KMH.from_si(band.p50),
        "p90_kmh": None if band is None else KMH.from_si(band.p90),
        "chance_of_target": None if band is None else band.chance,
        "counted_cost": str(costs.counted),
        "cap_left": None if costs.left is None else str(costs.left),
        "lines_without_price": list(costs.unpriced),
        "checks": [
            {
                "code": check.code,
                "level": check.level.value,
                "value": check.value,
                "limit": check.limit,
                "text": check.text,
            }
            for check in forecast.checks
        ],
        "curve": None if found is None else _curve(found.curve),
    }


def motor_rise(forecast: Forecast, prediction: Prediction) -> float | None:
    """Return how much the run warms the motor [K].

    None where it moves and neither the motor's mass nor its heat capacity is known.
    """
    if prediction.balance_speed == 0.0:
        return 0.0
    motor = forecast.build.part("motor")
    if motor is None or not (motor.known("heat_capacity_j_per_k") or motor.known("mass_g")):
        return None
    return prediction.motor_rise


def runs_from_pack(forecast: Forecast) -> int | None:
    """Return how many runs the usable share of a full pack is good for, however full it is now."""
    pack, found = forecast.build.part("pack"), forecast.prediction
    capacity = None if pack is None else pack.number("capacity_mah")
    if found is None or capacity is None or found.charge_used <= 0.0:
        return None
    return math.floor(USABLE_SHARE * MAH.to_si(capacity) / found.charge_used)


def _of(found: _Found | None, figure: Callable[[_Found], float | None]) -> float | None:
    value = None if found is None else figure(found)
    return None if value is None else float(value)


_CURVE: dict[str, Callable[[Curve], NDArray[Any]]] = {
    "speed_kmh": lambda curve: curve.speed / KMH.factor,
    "time_s": lambda curve: curve.time,
    "distance_m": lambda curve: curve.distance,
    "current_a": lambda curve: curve.current,
    "motor_rpm": lambda curve: curve.motor_speed / RPM.factor,
    "force_n": lambda curve: curve.force,
    "resistance_n": lambda curve: curve.resistance,
    "limit": lambda curve: np.array(LIMIT_NAMES)[curve.limit],
}


def _curve(curve: Curve | None) -> dict[str, list[Any]]:
    return {key: [] if curve is None else of(curve).tolist() for key, of in _CURVE.items()}
