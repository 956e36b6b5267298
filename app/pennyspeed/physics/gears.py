"""Spur gears: what a pinion and a spur make of motor turns, and whether they mesh.

::

        pinion z_p      spur z_s
          ( o )      (     O     )
            |<--- a --->|             a = m (z_p + z_s)/2

Sources: ISO 21771 (geometry of cylindrical involute gears) for centre distance, contact ratio and
undercut; ISO 54 and JIS B 1701-2 for the preferred modules. Lengths keep the unit of the module.
"""

from __future__ import annotations

import math

from pennyspeed.physics.car import Floats

PRESSURE_ANGLE = math.radians(20.0)
"""Of the standard basic rack (ISO 53) [rad]."""

PREFERRED_MODULES_MM = (
    0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0,
    12.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0,
)  # fmt: skip
"""Series I of the preferred modules [mm] (JIS B 1701-2; ISO 54 from 1 mm up)."""

SECOND_MODULES_MM = (
    0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.7, 0.75, 0.9, 1.125, 1.375, 1.75, 2.25, 2.75, 3.5, 4.5,
    5.5, 7.0, 9.0, 11.0, 14.0, 18.0, 22.0, 28.0, 36.0, 45.0,
)  # fmt: skip
"""Series II [mm], used where series I does not serve."""

_MM_PER_INCH = 25.4


def final_drive_ratio(pinion_teeth: int, spur_teeth: int, internal_ratio: float) -> float:
    """Motor turns for one turn of the wheel, z_s/z_p · i_int.

    Examples
    --------
    >>> round(final_drive_ratio(20, 54, 2.6), 3)
    7.02
    """
    return spur_teeth / pinion_teeth * internal_ratio


def roll_out(tyre_diameter: float, ratio: float) -> float:
    """Distance per motor turn with the tyre at rest, π D_0/G, in the unit of the diameter.

    Examples
    --------
    >>> round(roll_out(0.066, 5.2), 6)
    0.039874
    """
    return math.pi * tyre_diameter / ratio


def centre_distance(module: Floats, pinion_teeth: Floats, spur_teeth: Floats) -> Floats:
    """Reference centre distance a = m (z_p + z_s)/2 (ISO 21771).

    Examples
    --------
    >>> round(centre_distance(0.8, 13, 54), 3)
    26.8
    """
    return 0.5 * module * (pinion_teeth + spur_teeth)


def contact_ratio(
    pinion_teeth: int, spur_teeth: int, pressure_angle: float = PRESSURE_ANGLE
) -> float:
    """Transverse contact ratio of a standard pair without profile shift (ISO 21771).

    Tip height one module, reference centre distance; free of the module. Teeth that are undercut
    are not taken into account.

    Examples
    --------
    >>> round(contact_ratio(13, 54), 4)
    1.6051
    """
    cosine, sine = math.cos(pressure_angle), math.sin(pressure_angle)

    def tip(teeth: int) -> float:
        return math.sqrt((0.5 * teeth + 1.0) ** 2 - (0.5 * teeth * cosine) ** 2)

    path = tip(pinion_teeth) + tip(spur_teeth) - 0.5 * (pinion_teeth + spur_teeth) * sine
    return path / (math.pi * cosine)


def least_teeth_without_undercut(pressure_angle: float = PRESSURE_ANGLE) -> float:
    """2/sin²α, the number of teeth below which a rack cuts into the flank (ISO 21771).

    Examples
    --------
    >>> round(least_teeth_without_undercut(), 3)
    17.097
    """
    return 2.0 / math.sin(pressure_angle) ** 2


def is_preferred_module(module_mm: float) -> bool:
    """Whether a module [mm] stands in series I or II; inch pitches do not.

    Examples
    --------
    >>> is_preferred_module(0.8), is_preferred_module(module_of_pitch(48))
    (True, False)
    """
    return any(
        math.isclose(module_mm, one, rel_tol=1e-9)
        for one in PREFERRED_MODULES_MM + SECOND_MODULES_MM
    )


def module_of_pitch(teeth_per_inch: float) -> float:
    """Module [mm] of a diametral pitch [1/in], 25.4/DP.

    Examples
    --------
    >>> round(module_of_pitch(48), 6)
    0.529167
    """
    return _MM_PER_INCH / teeth_per_inch
