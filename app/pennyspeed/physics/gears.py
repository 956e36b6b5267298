"""Spur gears: what a pinion and a spur make of motor turns, and how far apart they mesh.

::

        pinion z_p      spur z_s
          ( o )      (     O     )
            |<--- a --->|             a = m (z_p + z_s)/2

Source: ISO 21771 (geometry of cylindrical involute gears). Lengths keep the unit of the module.
"""

from __future__ import annotations

import math

from pennyspeed.physics.car import Floats


def roll_out(tyre_diameter: float, ratio: float) -> float:
    """Distance per motor turn with the tyre at rest, π D_0/G, in the unit of the diameter.

    >>> round(roll_out(0.066, 5.2), 6)
    0.039874
    """
    return math.pi * tyre_diameter / ratio


def centre_distance(module: Floats, pinion_teeth: Floats, spur_teeth: Floats) -> Floats:
    """Reference centre distance a = m (z_p + z_s)/2 (ISO 21771).

    >>> round(centre_distance(0.8, 13, 54), 3)
    26.8
    """
    return 0.5 * module * (pinion_teeth + spur_teeth)
