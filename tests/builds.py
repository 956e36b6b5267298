"""Cars of the tests' own: invented parts, figures as a 1:10 car might have them."""

from __future__ import annotations

import copy
from typing import Any

from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build

_DOCUMENT: dict[str, Any] = {
    "format": "pennyspeed-build",
    "version": 1,
    "name": "Allotment runner",
    "target_kmh": 80.0,
    "parts": {
        "chassis": {
            "name": "Plywood two-by-four",
            "mass_g": 890,
            "driven": "rear",
            "wheelbase_mm": 258,
            "cg_height_mm": 31,
            "front_share": 0.47,
            "internal_ratio": 2.5,
            "drivetrain_efficiency": 0.91,
            "gear_module_mm": 0.6,
            "mesh_min_mm": 24,
            "mesh_max_mm": 36,
            "motor_can_mm": 37,
            "motor_length_max_mm": 56,
            "pack_bay_mm": [142, 49, 29],
        },
        "motor": {
            "name": "Greenhouse 3100",
            "kv_rpm_per_v": 3100,
            "resistance_mohm": 11,
            "no_load_current_a": 2.6,
            "no_load_voltage_v": 7.4,
            "loss_speed_share": 0.45,
            "poles": 4,
            "max_rpm": 52000,
            "continuous_current_a": 55,
            "peak_current_a": 150,
            "shaft_mm": 3.175,
            "can_mm": 35.8,
            "length_mm": 53,
            "mass_g": 185,
            "rotor_inertia_gcm2": 26,
        },
        "controller": {
            "name": "Shed 120",
            "max_cells": 3,
            "continuous_current_a": 60,
            "burst_current_a": 120,
            "resistance_mohm": 0.7,
            "max_electrical_rpm": 210000,
            "mass_g": 68,
            "connector": "ring 5",
        },
        "pack": {
            "name": "Three by 3800",
            "cells_series": 3,
            "cells_parallel": 1,
            "capacity_mah": 3800,
            "c_continuous": 30,
            "c_burst": 60,
            "cell_resistance_mohm": 3.4,
            "mass_g": 255,
            "size_mm": [138, 46, 26],
            "connector": "Ring 5 ",
        },
        "pinion": {
            "name": "33 teeth",
            "teeth": 33,
            "module_mm": 0.6,
            "bore_mm": 3.175,
            "mass_g": 8,
        },
        "spur": {"name": "66 teeth", "teeth": 66, "module_mm": 0.6, "mass_g": 14},
        "tyres": {
            "name": "Foam 65",
            "diameter_mm": 65,
            "growth_fraction": 0.01,
            "growth_at_kmh": 100,
            "growth_max_fraction": 0.04,
            "rated_kmh": 130,
            "grip": 0.85,
            "rolling_coefficient": 0.021,
            "mass_g": 150,
            "provenance": {"grip": "estimated"},
        },
        "body": {
            "name": "Long tail",
            "drag_coefficient": 0.31,
            "frontal_area_cm2": 185,
            "downforce_front": 0.05,
            "downforce_rear": 0.2,
            "mass_g": 140,
            "provenance": {"drag_coefficient": "guessed", "frontal_area_cm2": "measured"},
        },
        "extras": [{"name": "Receiver", "mass_g": 12}, {"name": "Servo", "mass_g": 48}],
    },
    "conditions": {
        "air_temperature_c": 17,
        "air_pressure_hpa": 1002,
        "relative_humidity": 0.6,
        "road_m": 240,
        "driver_g": 0.45,
    },
    "money": {
        "currency": "EUR",
        "cap": "250.00",
        "lines": [
            {
                "part": "motor",
                "name": "Greenhouse 3100",
                "quantity": 1,
                "unit_price": "64.50",
                "status": "ordered",
                "supplier": "Seed box",
                "order": "A-17",
                "arrives": "2027-05-02",
            },
            {
                "part": "body",
                "name": "Long tail",
                "quantity": 2,
                "unit_price": "12.35",
                "status": "made",
                "counts": True,
            },
            {
                "part": "pack",
                "name": "Three by 3800",
                "unit_price": "41.00",
                "status": "owned",
                "counts": False,
            },
        ],
    },
    "event_date": "2027-05-20",
}


def document(**changes: Any) -> dict[str, Any]:
    """Return the document of a car that passes every check, with keys changed by their path.

    ``document(parts__motor__max_rpm=None)`` takes a figure away, ``parts__pack=None`` a part.
    """
    found = copy.deepcopy(_DOCUMENT)
    for path, value in changes.items():
        *outer, last = path.split("__")
        place = found
        for key in outer:
            place = place[key]
        place[last] = value
    return found


def a_build(**changes: Any) -> Build:
    """Return :func:`document` as a build."""
    return build_from_document(document(**changes))
