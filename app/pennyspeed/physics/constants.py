"""Standard constants that more than one floor needs; without numpy, so that units load fast."""

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s^2] (CGPM 1901, exact)."""

STANDARD_PRESSURE_HPA = 1013.25
"""Pressure of the standard atmosphere at sea level [hPa] (CGPM 1954; ISO 2533)."""
