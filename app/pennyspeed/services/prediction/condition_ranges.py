"""Condition ranges: how far each condition of a run is slid, and how its value is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import CELSIUS, PERCENT
from pennyspeed.physics.air import standard_altitude, standard_pressure


@dataclass(frozen=True, slots=True)
class ConditionRange:
    """A figure that a slider moves.

    Attributes
    ----------
    low, high, step : float
        Of the slider; it reaches further where the build's own figure does.
    value : callable
        Of a build.
    put : callable
        Returns a build with another value.
    said : callable
        How a value is written.
    """

    key: str
    label: str
    help: str
    low: float
    high: float
    step: float
    value: Callable[[Build], float]
    put: Callable[[Build, float], Build]
    said: Callable[[float, Measures], str]


def _of(key: str) -> tuple[Callable[[Build], float], Callable[[Build, float], Build]]:
    return (lambda build: build.condition(key)), (lambda build, v: build.with_condition(key, v))


def _altitude(build: Build) -> float:
    return standard_altitude(build.condition("air_pressure_hpa"))


def _at_altitude(build: Build, altitude: float) -> Build:
    return build.with_condition("air_pressure_hpa", round(standard_pressure(altitude), 2))


CONDITION_RANGES: tuple[ConditionRange, ...] = (
    ConditionRange("road_m", "road", BY_KEY["road_m"].help, 20, 500, 5, *_of("road_m"),
                   lambda v, m: m.road(v)),
    ConditionRange("air_temperature_c", "air", BY_KEY["air_temperature_c"].help, -10, 45, 1,
                   *_of("air_temperature_c"), lambda v, m: m.with_unit(v, CELSIUS)),
    ConditionRange("altitude", "altitude",
                   "Sets the air pressure to that of the standard atmosphere.",
                   -100, 3000, 10, _altitude, _at_altitude,
                   lambda v, m: f"{m.road(v)}, {m.number(standard_pressure(v))} hPa"),
    ConditionRange("head_wind_kmh", "head wind", BY_KEY["head_wind_kmh"].help, -30, 30, 1,
                   *_of("head_wind_kmh"), lambda v, m: m.speed(v)),
    ConditionRange("slope_percent", "slope", BY_KEY["slope_percent"].help, -5, 5, 0.1,
                   *_of("slope_percent"), lambda v, m: m.with_unit(v, PERCENT, 1)),
    ConditionRange("reserve_m", "reserve", BY_KEY["reserve_m"].help, 0, 60, 1, *_of("reserve_m"),
                   lambda v, m: m.road(v)),
    ConditionRange("pack_temperature_c", "pack", BY_KEY["pack_temperature_c"].help, -10, 60, 1,
                   *_of("pack_temperature_c"), lambda v, m: m.with_unit(v, CELSIUS)),
)  # fmt: skip
