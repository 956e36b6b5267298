"""Air density against a second way of working it out; published rows are in
`test_check_values.py`."""

from __future__ import annotations

import csv
from math import exp
from pathlib import Path

import pytest

from pennyspeed.physics.air import air_density, standard_altitude, standard_pressure

DATA = Path(__file__).parents[1] / "data"


def ideal_mixture(celsius: float, hectopascal: float, humidity: float) -> float:
    """Two ideal gases, R 287.05 and 461.5 J/(kg K); Magnus formula (WMO No. 8, from memory)."""
    vapour = humidity * 6.112 * exp(17.62 * celsius / (243.12 + celsius))
    kelvin = celsius + 273.15
    return 100 * ((hectopascal - vapour) / 287.05 + vapour / 461.5) / kelvin


@pytest.mark.parametrize("celsius", [-10.0, 0.0, 9.0, 20.0, 35.0])
@pytest.mark.parametrize("hectopascal", [750.0, 1013.25])
@pytest.mark.parametrize("humidity", [0.0, 0.5, 1.0])
def test_near_a_mixture_of_ideal_gases(celsius: float, hectopascal: float, humidity: float) -> None:
    got = air_density(celsius, hectopascal, humidity)
    assert got == pytest.approx(ideal_mixture(celsius, hectopascal, humidity), rel=1e-3)


def test_reference_point() -> None:  # CIPM-2007 evaluated: 20 °C, 1013.25 hPa, 50 %, 400 ppm
    assert air_density(20.0, 1013.25, 0.5) == pytest.approx(1.199314, abs=1e-6)


def test_damp_and_warm_air_is_lighter() -> None:
    assert air_density(20, 1013, 1.0) < air_density(20, 1013, 0.0)
    assert air_density(30, 1013, 0.5) < air_density(10, 1013, 0.5)


def test_thinner_with_less_pressure() -> None:
    assert air_density(20, 900, 0.0) == pytest.approx(0.9 * air_density(20, 1000, 0.0), rel=1e-4)


def test_pressure_at_altitude_is_that_of_the_published_atmosphere() -> None:
    """ICAO Doc 7488 (ISO 2533): 795.01 hPa at 2,000 m. Its heights are geometric, the formula's
    geopotential: 0.02 % apart at 3,000 m."""
    with (DATA / "standard_atmosphere.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            altitude, pascal = float(row["height_m"]), float(row["pressure_pa"])
            assert standard_pressure(altitude) == pytest.approx(pascal / 100, rel=2e-4)
            assert standard_altitude(pascal / 100) == pytest.approx(altitude, abs=2.0)
