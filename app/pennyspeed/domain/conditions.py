"""Conditions: road, weather, and the state in which the car starts."""

from __future__ import annotations

from collections.abc import Mapping

from pennyspeed.domain.parts.fields import Field
from pennyspeed.domain.units import CELSIUS, GEE, HPA, KMH, PERCENT, M
from pennyspeed.physics.constants import STANDARD_PRESSURE_HPA

CONDITIONS: tuple[Field, ...] = (
    Field(
        "road_m",
        "road",
        "road",
        "Length to speed up and to stop in.",
        M,
        default=200.0,
        high=1e5,
    ),
    Field(
        "air_temperature_c",
        "air temperature",
        "air",
        "Warm air is thinner and drags less.",
        CELSIUS,
        default=20.0,
        low=-80,
        high=70,
    ),
    Field(
        "head_wind_kmh",
        "head wind",
        "wind",
        "Against the car; below 0 it pushes.",
        KMH,
        default=0.0,
        low=-500,
        high=500,
    ),
    Field(
        "slope_percent",
        "slope",
        "slope",
        "Rise over length; above 0 is uphill.",
        PERCENT,
        default=0.0,
        low=-100,
        high=100,
        decimals=1,
    ),
    Field(
        "state_of_charge",
        "charge at the start",
        "pack",
        "How full the pack is.",
        default=1.0,
        high=1,
        decimals=2,
    ),
    Field(
        "air_pressure_hpa",
        "air pressure",
        "pressure",
        "At the road, not reduced to sea level.",
        HPA,
        default=STANDARD_PRESSURE_HPA,
        low=100,
        high=1500,
    ),
    Field(
        "relative_humidity",
        "relative humidity",
        "humidity",
        "Damp air is a little thinner.",
        default=0.5,
        high=1,
        decimals=2,
    ),
    Field(
        "surface_grip_factor",
        "grip of the surface",
        "surface grip",
        "Multiplies the tyres' grip: 1 is what it was measured on.",
        default=1.0,
        high=100,
        decimals=2,
    ),
    Field(
        "surface_rolling_factor",
        "rolling of the surface",
        "surface rolling",
        "Multiplies the rolling resistance: rough asphalt is above 1.",
        default=1.0,
        high=100,
        decimals=2,
    ),
    Field(
        "motor_temperature_c",
        "motor temperature at the start",
        "motor",
        "A warm motor has more resistance.",
        CELSIUS,
        default=20.0,
        low=-80,
        high=400,
    ),
    Field(
        "driver_g",
        "acceleration the driver allows",
        "driver",
        "How hard the trigger is pulled, in g.",
        GEE,
        default=0.6,
        high=50,
        decimals=2,
    ),
    Field(
        "brake_g",
        "braking the driver uses",
        "brake",
        "How hard the driver brakes, in g.",
        GEE,
        default=0.5,
        high=50,
        decimals=2,
    ),
)

BY_KEY: dict[str, Field] = {field.key: field for field in CONDITIONS}


def value(given: Mapping[str, float], key: str) -> float:
    """Return the condition that is given, or its default."""
    found = given.get(key)
    default = BY_KEY[key].default if found is None else found
    assert isinstance(default, int | float)
    return float(default)
