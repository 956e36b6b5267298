"""Density of moist air, CIPM-2007.

Source: Picard, Davis, Gläser, Fujii, *Revised formula for the density of moist air (CIPM-2007)*,
Metrologia 45 (2008) 149-155, equations 1, 4 and A1.1 to A1.4, with 400 ppm of carbon dioxide.
"""

from __future__ import annotations

import math

from pennyspeed.physics.constants import GRAVITY, STANDARD_PRESSURE_HPA

_MOLAR_GAS = 8.314472
_MOLAR_DRY = 28.96546e-3
_MOLAR_WATER = 18.01528e-3
_KELVIN = 273.15


def air_density(temperature_c: float, pressure_hpa: float, relative_humidity: float) -> float:
    """Density of moist air [kg/m³].

    Parameters
    ----------
    temperature_c : float
        [°C]. The formula is stated for 15 to 27 °C and used outside it all the same (under 0.01 %
        between 0 and 35 °C).
    pressure_hpa : float
        [hPa], stated for 600 to 1100.
    relative_humidity : float
        In [0, 1].

    >>> round(air_density(20.0, 1013.25, 0.5), 6)
    1.199314
    """
    celsius = temperature_c
    kelvin = celsius + _KELVIN
    pressure = 100.0 * pressure_hpa

    saturation = math.exp(
        1.2378847e-5 * kelvin * kelvin - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin
    )
    enhancement = 1.00062 + 3.14e-8 * pressure + 5.6e-7 * celsius * celsius
    vapour = relative_humidity * enhancement * saturation / pressure

    ratio = pressure / kelvin
    compressibility = (
        1.0
        - ratio
        * (
            1.58123e-6
            - 2.9331e-8 * celsius
            + 1.1043e-10 * celsius * celsius
            + (5.707e-6 - 2.051e-8 * celsius) * vapour
            + (1.9898e-4 - 2.376e-6 * celsius) * vapour * vapour
        )
        + ratio * ratio * (1.83e-11 - 0.765e-8 * vapour * vapour)
    )
    dry = pressure * _MOLAR_DRY / (compressibility * _MOLAR_GAS * kelvin)
    return dry * (1.0 - vapour * (1.0 - _MOLAR_WATER / _MOLAR_DRY))


# International Standard Atmosphere below 11 km (ISO 2533:1975): sea level, lapse rate, and the
# exponent g M / (R L) that goes with them.
_SEA_LEVEL_KELVIN = 288.15
_LAPSE = 0.0065
_EXPONENT = GRAVITY / (287.05287 * _LAPSE)


def standard_pressure(altitude_m: float) -> float:
    """Pressure of the standard atmosphere [hPa] at an altitude [m], up to 11,000 m.

    Source: ISO 2533:1975, Standard atmosphere, equation for a layer with a constant lapse rate.

    >>> round(standard_pressure(2000.0), 2)
    794.95
    """
    return STANDARD_PRESSURE_HPA * float(
        (1.0 - _LAPSE * altitude_m / _SEA_LEVEL_KELVIN) ** _EXPONENT
    )


def standard_altitude(pressure_hpa: float) -> float:
    """Altitude [m] at which the standard atmosphere has a pressure [hPa]."""
    share = float((pressure_hpa / STANDARD_PRESSURE_HPA) ** (1.0 / _EXPONENT))
    return (1.0 - share) * _SEA_LEVEL_KELVIN / _LAPSE
