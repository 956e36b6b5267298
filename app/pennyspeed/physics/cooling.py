"""Cooling between runs: a body that falls towards the air around it.

Source: Newton's law of cooling; the first-order model with one thermal time constant by which motor
makers' data sheets give winding and housing temperatures.

::

    T |*  end of the run
      |  *
      |     *   T_air + (T - T_air) exp(-t / tau)
      |          *      *
      |...................*......*  air
      +--------------------------- t
"""

from __future__ import annotations

import math

TIME_CONSTANT_S = 600.0
"""Of a motor of this size standing in the car [s] (common practice, no source)."""


def pause_until(target_c: float, temperature_c: float, air_c: float) -> float:
    """Pause after which a motor has cooled to a temperature [s].

    0 where it is no warmer than that already, infinite where the air is too warm for it.

    >>> round(pause_until(60.0, 100.0, 20.0), 1)
    415.9
    >>> pause_until(20.0, 100.0, 20.0)
    inf
    """
    if temperature_c <= target_c:
        return 0.0
    if target_c <= air_c:
        return math.inf
    return TIME_CONSTANT_S * math.log((temperature_c - air_c) / (target_c - air_c))
