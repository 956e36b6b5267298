"""Rules: what each check compares, written once for one car and for thousands.

A rule takes what is seen of a car and gives a place in
:data:`~pennyspeed.domain.checks.seen.LEVELS`, or an array of places where some figure is an array:
one for each candidate. The sentences of `fit`, `limits`, `road` and `plan` take their level from
here and decide nothing themselves.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from pennyspeed.domain.checks.seen import (
    OK,
    STOP,
    UNKNOWN,
    WARN,
    Bools,
    Levels,
    Seen,
    over,
    told,
    unlike,
    verdict,
)
from pennyspeed.domain.units import KMH, RPM
from pennyspeed.physics.car import REST_MARGIN, Floats
from pennyspeed.physics.gears import centre_distance

LEAST_CELL_VOLTS = 3.2
"""Under load; below it a lithium cell ages fast (common practice, no source) [V]."""

MOST_MOTOR_CELSIUS = 100.0
"""Above it magnets and windings suffer (common practice, no source) [°C]."""

LEAST_FRONT_SHARE = 0.25
"""Front-axle load over its value at rest, below which steering goes light (own judgement)."""


Rule: TypeAlias = Callable[[Seen], Levels]


def _within(worst: int, value: Floats, limit: Floats) -> Levels:
    return verdict(worst, over(value, limit), told(value, limit))


# Does it fit -------------------------------------------------------------------------------------


def cells_over_controller(seen: Seen) -> Levels:
    """Stop where the pack has more cells in series than the controller takes."""
    return _within(
        STOP, seen.figure("pack", "cells_series"), seen.figure("controller", "max_cells")
    )


def gear_module(seen: Seen) -> Levels:
    """Stop where pinion, spur and chassis are not all of one module."""
    pinion, spur = seen.figure("pinion", "module_mm"), seen.figure("spur", "module_mm")
    chassis = seen.figure("chassis", "gear_module_mm")
    broken = unlike(pinion, chassis) | unlike(spur, chassis) | unlike(pinion, spur)
    return verdict(STOP, broken, told(pinion, spur, chassis))


def pinion_bore(seen: Seen) -> Levels:
    """Stop where the pinion's bore is not the motor's shaft."""
    bore, shaft = seen.figure("pinion", "bore_mm"), seen.figure("motor", "shaft_mm")
    return verdict(STOP, unlike(bore, shaft), told(bore, shaft))


def mesh_centre_distance(seen: Seen) -> Floats:
    """Return the distance at which pinion and spur mesh [mm] (ISO 21771).

    Gears of two modules do not mesh at all, which is said elsewhere; here each brings its radius.
    """
    pinion = centre_distance(
        seen.figure("pinion", "module_mm"), seen.figure("pinion", "teeth"), 0.0
    )
    return pinion + centre_distance(
        seen.figure("spur", "module_mm"), 0.0, seen.figure("spur", "teeth")
    )


def mesh_distance(seen: Seen) -> Levels:
    """Stop where the chassis cannot bring pinion and spur together."""
    distance = mesh_centre_distance(seen)
    least = seen.figure("chassis", "mesh_min_mm")
    most = seen.figure("chassis", "mesh_max_mm")
    return verdict(STOP, over(distance, most) | over(least, distance), told(distance, least, most))


def motor_can(seen: Seen) -> Levels:
    """Stop where the motor is thicker than the chassis takes."""
    return _within(STOP, seen.figure("motor", "can_mm"), seen.figure("chassis", "motor_can_mm"))


def motor_length(seen: Seen) -> Levels:
    """Stop where the motor is longer than the chassis takes."""
    room = seen.figure("chassis", "motor_length_max_mm")
    return _within(STOP, seen.figure("motor", "length_mm"), room)


def pack_bay(seen: Seen) -> Levels:
    """Stop where a side of the pack is over the bay's, sides in their order, not turned."""
    size, bay = seen.sides("pack", "size_mm"), seen.sides("chassis", "pack_bay_mm")
    broken = over(size[0], bay[0]) | over(size[1], bay[1]) | over(size[2], bay[2])
    return verdict(STOP, broken, told(*size, *bay))


def connector(seen: Seen) -> Levels:
    """Stop where pack and controller have different plugs, case and outer blanks aside."""
    pack, controller = seen.plug("pack"), seen.plug("controller")
    known = (pack != "") & (controller != "")
    return verdict(STOP, known & (pack != controller), known)


# Ratings -----------------------------------------------------------------------------------------


def electrical_rpm(seen: Seen) -> Levels:
    """Stop where the motor's electrical rpm at top speed is over the controller's."""
    turns = seen.readings.motor_speed / RPM.factor * (seen.figure("motor", "poles") * 0.5)
    return _within(STOP, turns, seen.figure("controller", "max_electrical_rpm"))


def motor_rpm(seen: Seen) -> Levels:
    """Warn where the motor turns faster at top speed than it is rated."""
    turns = seen.readings.motor_speed / RPM.factor
    return _within(WARN, turns, seen.figure("motor", "max_rpm"))


def tyre_speed(seen: Seen) -> Levels:
    """Warn where the car's top speed is over the tyres' rating."""
    speed = seen.readings.top_speed / KMH.factor
    return _within(WARN, speed, seen.figure("tyres", "rated_kmh"))


def current_controller(seen: Seen) -> Levels:
    """Warn where the run asks for more than the controller's burst or continuous rating."""
    return _currents(
        seen.readings.asked_motor_current,
        seen.readings.current,
        seen.figure("controller", "burst_current_a"),
        seen.figure("controller", "continuous_current_a"),
    )


def current_motor(seen: Seen) -> Levels:
    """Warn where the run asks for more than the motor's peak or continuous rating."""
    return _currents(
        seen.readings.asked_motor_current,
        seen.readings.current,
        seen.figure("motor", "peak_current_a"),
        seen.figure("motor", "continuous_current_a"),
    )


def current_pack(seen: Seen) -> Levels:
    """Warn where the run asks the pack for more than its C ratings times its capacity."""
    ampere_hours = seen.figure("pack", "capacity_mah") * 1e-3
    return _currents(
        seen.readings.asked_pack_current,
        seen.readings.pack_current,
        seen.figure("pack", "c_burst") * ampere_hours,
        seen.figure("pack", "c_continuous") * ampere_hours,
    )


def _currents(asked: Floats, steady: Floats, burst: Floats, continuous: Floats) -> Levels:
    broken = over(asked, burst) | over(steady, continuous)
    return verdict(WARN, broken, told(asked, steady, burst, continuous))


def pack_voltage(seen: Seen) -> Levels:
    """Warn where a cell falls below its least voltage under load in the run."""
    return _within(WARN, LEAST_CELL_VOLTS, seen.readings.lowest_cell_voltage)


def heat_is_known(seen: Seen) -> Bools:
    """Tell where the motor's heat capacity is given, or follows from its mass."""
    given = told(seen.figure("motor", "heat_capacity_j_per_k"))
    return given | (seen.figure("motor", "mass_g") > 0.0)


def motor_temperature(seen: Seen) -> Levels:
    """Warn where one run heats the motor over its limit."""
    value = seen.build.condition("motor_temperature_c") + seen.readings.motor_rise
    known = heat_is_known(seen)
    return verdict(WARN, known & over(value, MOST_MOTOR_CELSIUS), known & told(value))


def pack_flat(seen: Seen) -> Levels:
    """Warn where the run, at its starting state, needs more charge than the pack holds."""
    found = seen.readings
    return verdict(WARN, found.moves & found.flat, found.moves)


# On the road -------------------------------------------------------------------------------------


def cannot_move(seen: Seen) -> Levels:
    """Stop where nothing is left at rest to push the car off, or after the first pass."""
    found = seen.readings
    return verdict(STOP, found.whole & (found.runs ^ True), found.whole)


def cannot_stop(seen: Seen) -> Levels:
    """Stop where braking from the lift speed falls below the margin anywhere."""
    return _within(STOP, REST_MARGIN, seen.readings.least_deceleration)


def front_load(seen: Seen) -> Levels:
    """Warn where the front axle at top speed keeps less than a quarter of its load at rest."""
    return _within(WARN, LEAST_FRONT_SHARE, seen.readings.front_load_share)


def road_short(seen: Seen) -> Levels:
    """Warn where the target is within the car's top speed but not within the road."""
    found, target = seen.readings, seen.build.target_kmh
    if target is None:
        return UNKNOWN
    road, top = found.road_speed / KMH.factor, found.top_speed / KMH.factor
    return verdict(WARN, over(target, road) & (over(target, top) ^ True), found.runs)


# Scales, purse and calendar ----------------------------------------------------------------------


def masses(seen: Seen) -> Levels:
    """Unknown unless every part has its mass."""
    return verdict(OK, False, seen.readings.whole & (seen.unweighed ^ True))


def cap(seen: Seen) -> Levels:
    """Warn where what counts costs more than the cap."""
    left = seen.cap_left
    return verdict(WARN, left < 0.0, told(left) & (seen.unpriced ^ True))


def late(seen: Seen) -> Levels:
    """Warn where something that is not here yet comes after the event."""
    if seen.build.event_date is None:
        return UNKNOWN
    return verdict(WARN, seen.comes_late, seen.undated ^ True)
