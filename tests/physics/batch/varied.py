"""Cars all over the range of the hobby, and how far two answers lie apart."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np

from pennyspeed.physics.car import ALL, FRONT, NO_LIMIT, REAR, Car
from pennyspeed.physics.results import BatchPrediction
from physics.cars import RPM_PER_VOLT

FIGURES = tuple(f.name for f in fields(BatchPrediction) if f.name != "general_path")


def varied_cars(count: int, seed: int, **changes: Any) -> Car:
    """Cars all over the range of the hobby: every layout, every limit, wind, slope, growth, sag."""
    rng = np.random.default_rng(seed)

    def even(low: float, high: float) -> Any:
        return rng.uniform(low, high, count)

    def spread(low: float, high: float) -> Any:
        return np.exp(rng.uniform(np.log(low), np.log(high), count))

    def some(share: float, values: Any, otherwise: float) -> Any:
        return np.where(rng.random(count) < share, values, otherwise)

    cells = rng.integers(2, 7, count).astype(float)
    capacity = spread(2000.0, 8000.0) * 3.6
    figures: dict[str, Any] = {
        "mass": even(1.2, 4.0), "wheelbase": even(0.22, 0.33), "cg_height": even(0.02, 0.06),
        "front_share": even(0.4, 0.6), "driven": rng.choice([REAR, FRONT, ALL], count),
        "gear_ratio": even(2.5, 8.0), "drivetrain_efficiency": even(0.8, 0.95),
        "kv": even(1200.0, 4500.0) * RPM_PER_VOLT, "motor_resistance": spread(0.003, 0.03),
        "no_load_current": even(0.0, 6.0), "no_load_voltage": 8.4,
        "loss_speed_share": even(0.0, 1.0), "rotor_inertia": spread(5e-7, 8e-6),
        "heat_capacity": even(60.0, 200.0), "controller_resistance": spread(3e-4, 1e-3),
        "current_limit": some(0.4, even(40.0, 200.0), NO_LIMIT), "cells_series": cells,
        "pack_resistance": cells * spread(0.0015, 0.006), "capacity": capacity,
        "pack_current_limit": some(0.5, even(20.0, 100.0) * capacity / 3600.0, NO_LIMIT),
        "tyre_diameter": even(0.055, 0.11), "growth": some(0.6, even(0.0, 0.08), 0.0),
        "growth_speed": even(20.0, 35.0), "growth_max": even(0.02, 0.12),
        "grip": even(0.4, 1.6), "rolling": even(0.01, 0.04), "wheel_inertia": spread(5e-5, 6e-4),
        "drag_coefficient": even(0.2, 0.6), "frontal_area": even(0.012, 0.035),
        "downforce_front": some(0.5, even(-0.1, 0.5), 0.0),
        "downforce_rear": some(0.5, even(-0.1, 0.8), 0.0), "air_density": even(1.0, 1.3),
        "head_wind": some(0.5, even(-3.0, 4.0), 0.0), "slope": some(0.5, even(-0.03, 0.03), 0.0),
        "state_of_charge": even(0.2, 1.0), "motor_temperature": even(10.0, 60.0),
        "road_length": spread(20.0, 600.0), "brake_deceleration": even(2.0, 8.0),
        "driver_acceleration": some(0.8, even(2.0, 12.0), 98.0),
    }  # fmt: skip
    return Car(**(figures | changes))


def one_of(cars: Car, index: int) -> Car:
    """The car at one place of a batch, in plain numbers."""
    picked = {f.name: getattr(cars, f.name) for f in fields(Car)}
    return Car(
        **{k: v[index].item() if isinstance(v, np.ndarray) else v for k, v in picked.items()}
    )


def deviation(found: Any, expected: Any) -> Any:
    """Relative, absolute below a thousandth."""
    expected = np.asarray(expected)
    return np.abs(found - expected) / np.maximum(np.abs(expected), 1e-3)
