"""Lithium-polymer pack: open-circuit voltage of a cell over its state of charge.

::

    volts per cell
    4.2 |                      .*     full: little left above 4.1 V
    3.8 |      .--*--*--*--*'         flat middle
    3.7 |   *'
    3.3 |*'                           empty: falls off
        +------------------------
         0        0.5        1.0      state of charge
"""

from __future__ import annotations

from typing import overload

import numpy as np

from pennyspeed.physics.car import FloatArray, Floats

OPEN_CIRCUIT_V = (3.27, 3.69, 3.73, 3.77, 3.79, 3.82, 3.87, 3.95, 4.03, 4.10, 4.20)
"""Volts of one rested cell at states of charge 0, 0.1, ... 1 (common practice, from memory; lies
between published pouch cells of 2015 and 2019, see the tests)."""

USABLE_SHARE = 0.8
"""Share of a full pack's charge that runs take before it is charged again; the last fifth is left
in, since a lithium cell that is emptied ages fast (common practice, no source)."""

_STEPS = len(OPEN_CIRCUIT_V) - 1
_TABLE = np.asarray(OPEN_CIRCUIT_V)
_STATES = np.linspace(0.0, 1.0, _STEPS + 1)


@overload
def open_circuit_voltage(state_of_charge: float) -> float: ...
@overload
def open_circuit_voltage(state_of_charge: FloatArray) -> FloatArray: ...
def open_circuit_voltage(state_of_charge: Floats) -> Floats:
    """Voltage of one rested cell [V], linear between the points of `OPEN_CIRCUIT_V`.

    The state of charge is held at 0 and 1 outside that range. Arrays keep their precision.

    >>> round(open_circuit_voltage(0.95), 3)
    4.15
    >>> open_circuit_voltage(-1.0)
    3.27
    """
    if isinstance(state_of_charge, np.ndarray):
        volts: FloatArray = np.interp(state_of_charge, _STATES, _TABLE)
        return volts.astype(state_of_charge.dtype, copy=False)
    place = min(max(state_of_charge, 0.0), 1.0) * _STEPS
    step = min(int(place), _STEPS - 1)
    low = OPEN_CIRCUIT_V[step]
    return low + (place - step) * (OPEN_CIRCUIT_V[step + 1] - low)
