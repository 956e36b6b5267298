"""Conditions: road, weather, driver, and the state in which the car starts.

A key with a dot, such as ``spread.driver_g``, stands in a build file in an object of its own. Every
condition is neutral where it is not given, so that an older build answers as it did.
"""

from __future__ import annotations

from collections.abc import Mapping

from pennyspeed.domain.parts.fields import Field
from pennyspeed.domain.units import CELSIUS, GEE, HPA, KMH, PERCENT, SECOND, M
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
        "pack_temperature_c",
        "pack temperature at the start",
        "pack temperature",
        "A cold pack has more resistance: twice as much at 0 °C as at 20 °C.",
        CELSIUS,
        default=20.0,
        low=-30,
        high=80,
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
    Field(
        "reaction_s",
        "reaction time of the driver",
        "reaction",
        "How late the throttle is let go after the driver decides to.",
        SECOND,
        default=0.0,
        high=5,
        decimals=2,
    ),
    Field(
        "reserve_m",
        "road kept in reserve",
        "reserve",
        "Road behind the stop that is not to be used.",
        M,
        default=0.0,
        high=1e5,
    ),
    Field(
        "spread.driver_g",
        "acceleration varies by",
        "acceleration ±",
        "From run to run; two runs of three lie within it.",
        default=0.0,
        high=2,
        decimals=2,
    ),
    Field(
        "spread.brake_g",
        "braking varies by",
        "braking ±",
        "From run to run; two runs of three lie within it.",
        default=0.0,
        high=2,
        decimals=2,
    ),
    Field(
        "spread.head_wind_kmh",
        "head wind varies by",
        "wind ±",
        "From run to run; two runs of three lie within it.",
        KMH,
        default=0.0,
        high=100,
    ),
)

BY_KEY: dict[str, Field] = {field.key: field for field in CONDITIONS}

SPREAD = "spread"
"""Object of the conditions that vary from run to run: one standard deviation of each."""

WIND = "head_wind_kmh"
VARYING = ("driver_g", "brake_g", WIND)
"""What varies from run to run, the wind alone by so many km/h instead of by a share."""

CONDITIONS_SLOT = "conditions"
"""Stands for the slot in the keys of conditions."""

OF_A_NEW_BUILD: Mapping[str, float] = {
    "reaction_s": 0.7,
    "reserve_m": 10.0,
    "spread.driver_g": 0.15,
    "spread.brake_g": 0.15,
    "spread.head_wind_kmh": 5.0,
}
"""What a careful driver reckons with (thinking time 0.67 s: The Highway Code, rule 126)."""


def value(given: Mapping[str, float], key: str) -> float:
    """Return the condition that is given, or its default."""
    found = given.get(key)
    default = BY_KEY[key].default if found is None else found
    assert isinstance(default, int | float)
    return float(default)
