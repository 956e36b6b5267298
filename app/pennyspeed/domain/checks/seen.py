"""What rules look at, and how they compare: for one car and for thousands alike.

A figure that is not known is NaN; a comparison with it is never broken and never fine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.outcome import Level
from pennyspeed.physics.car import Floats, IntArray
from pennyspeed.physics.elementwise import greater
from pennyspeed.physics.results import Prediction

Bools: TypeAlias = bool | NDArray[np.bool_]
Texts: TypeAlias = str | NDArray[np.str_]
Levels: TypeAlias = int | IntArray
"""Places in `LEVELS`."""

LEVELS = tuple(Level)
STOP, WARN, UNKNOWN, OK = range(len(LEVELS))

ROUNDING = 1e-9
"""Relative difference that is rounding and no difference."""


@dataclass(frozen=True, slots=True)
class Readings:
    """What the physics says that checks compare, SI; NaN where it cannot be said."""

    whole: Bools
    """There is a car: every slot is filled and something has a mass."""
    moves: Bools
    """It moves off in the starting state."""
    runs: Bools
    """It moves off in the state that the second pass holds."""
    flat: Bools
    """The first pass needs more charge than the pack holds."""
    top_speed: Floats
    current: Floats
    """Of the motor at top speed [A]."""
    pack_current: Floats
    front_load_share: Floats
    """At top speed, of the load at rest."""
    rear_load_share: Floats
    balance_speed: Floats
    """Top speed in the state that the second pass holds."""
    road_speed: Floats
    road_motor_speed: Floats
    """At the road speed [rad/s]."""
    least_front_share: Floats
    """Under full demand up to the lift point, of the load at rest."""
    late_margin: Floats
    """Road left when the throttle goes off half a second late; −∞ where none is to be driven."""
    least_deceleration: Floats
    motor_rise: Floats
    lowest_cell_voltage: Floats
    asked_motor_current: Floats
    asked_pack_current: Floats


NO_READINGS = Readings(False, False, False, False, *(math.nan,) * (len(fields(Readings)) - 4))
"""Of what is no car."""


def readings(found: Prediction | None) -> Readings:
    """Return what one prediction says."""
    if found is None:
        return NO_READINGS
    said = replace(NO_READINGS, whole=True, flat=found.pack_runs_flat)
    top = found.at_top
    if top is not None:
        said = replace(
            said,
            moves=True,
            top_speed=found.top_speed,
            current=top.current,
            pack_current=top.pack_current,
            front_load_share=top.front_load_share,
            rear_load_share=top.rear_load_share,
        )
    if found.balance_speed <= 0.0:
        return said
    return replace(
        said,
        runs=True,
        balance_speed=found.balance_speed,
        road_speed=found.road_speed,
        road_motor_speed=found.road_motor_speed,
        least_front_share=_or_nan(found.least_front_share),
        late_margin=-math.inf if found.late is None else found.late.road_left,
        least_deceleration=_or_nan(found.least_deceleration),
        motor_rise=found.motor_rise,
        lowest_cell_voltage=_or_nan(found.lowest_cell_voltage),
        asked_motor_current=_or_nan(found.asked_motor_current),
        asked_pack_current=_or_nan(found.asked_pack_current),
    )


class Seen(Protocol):
    """One build, or many that differ in a part: what the rules look at."""

    @property
    def build(self) -> Build:
        """What is the same in all of them: target, conditions, the day of the event."""

    @property
    def readings(self) -> Readings:
        """What the physics says."""

    @property
    def cap_left(self) -> Floats:
        """Of the cap, in minor units; NaN without one."""

    @property
    def unpriced(self) -> Bools:
        """Something that counts has no price."""

    @property
    def comes_late(self) -> Bools:
        """Something that is awaited comes after the event."""

    @property
    def undated(self) -> Bools:
        """For something that is awaited no day is known."""

    @property
    def unweighed(self) -> Bools:
        """Some part lacks its mass."""

    def figure(self, slot: str, key: str) -> Floats:
        """Return a figure that was given or counts as known by default."""

    def sides(self, slot: str, key: str) -> tuple[Floats, Floats, Floats]:
        """Return a size."""

    def plug(self, slot: str) -> Texts:
        """Return the name of its connector as it is compared; "" where it is not known."""


def over(value: Floats, limit: Floats) -> Bools:
    """Tell where a value lies over its limit by more than rounding.

    >>> over(1.1, 1.0), over(1.0 + 1e-12, 1.0), over(math.nan, 1.0)
    (True, False, False)
    """
    return value - limit > ROUNDING * _size(value, limit)


def under(value: Floats, limit: Floats) -> Bools:
    """Tell where a value lies under its limit by more than rounding."""
    return over(limit, value)


def apart(one: Floats, other: Floats, most: Floats) -> Bools:
    """Tell where two figures differ by more than `most`, and by more than rounding."""
    return over(greater(one - other, other - one), most)


def told(*values: Floats) -> Bools:
    """Tell where every value is known."""
    total: Floats = sum(values)
    return ~np.isnan(total) if isinstance(total, np.ndarray) else not math.isnan(total)


def verdict(worst: int, broken: Bools, known: Bools) -> Levels:
    """Return `worst` where broken, else `OK` where known, else `UNKNOWN`."""
    if isinstance(broken, np.ndarray) or isinstance(known, np.ndarray):
        return np.where(broken, worst, np.where(known, OK, UNKNOWN))
    return worst if broken else OK if known else UNKNOWN


def stopped(stops: Bools, levels: Levels) -> Levels:
    """Return `STOP` where a check stops the car, else its level."""
    if isinstance(stops, np.ndarray):
        return np.where(stops, STOP, levels)
    return STOP if stops else levels


def _size(one: Floats, other: Floats) -> Floats:
    """Return the larger of two magnitudes."""
    return greater(greater(one, -one), greater(other, -other))


def _or_nan(value: float | None) -> float:
    return math.nan if value is None else value
