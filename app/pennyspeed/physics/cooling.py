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


def cooled(
    temperature_c: float, air_c: float, pause_s: float, time_constant_s: float = TIME_CONSTANT_S
) -> float:
    """Temperature of a body after a pause.

    Parameters
    ----------
    temperature_c : float
        At the start of the pause [°C].
    air_c : float
        Of what surrounds it, which it comes to in the end [°C]; where that is warmer, it warms.
    pause_s : float
        [s], >= 0.
    time_constant_s : float
        After it 1/e, 37 %, of the difference is left [s], > 0.

    Returns
    -------
    float
        [°C]

    Examples
    --------
    >>> round(cooled(100.0, 20.0, 600.0), 2)
    49.43
    """
    return air_c + (temperature_c - air_c) * math.exp(-pause_s / time_constant_s)


def pause_until(
    target_c: float, temperature_c: float, air_c: float, time_constant_s: float = TIME_CONSTANT_S
) -> float:
    """Pause after which a body has cooled to a temperature, the inverse of :func:`cooled`.

    Parameters
    ----------
    target_c, temperature_c, air_c : float
        To be reached, at the start of the pause, and of the air [°C].
    time_constant_s : float
        [s], > 0.

    Returns
    -------
    float
        [s]; 0 where it is no warmer than that already, infinite where the air is too warm for it.

    Examples
    --------
    >>> round(pause_until(60.0, 100.0, 20.0), 1)
    415.9
    >>> pause_until(20.0, 100.0, 20.0)
    inf
    """
    if temperature_c <= target_c:
        return 0.0
    if target_c <= air_c:
        return math.inf
    return time_constant_s * math.log((temperature_c - air_c) / (target_c - air_c))
