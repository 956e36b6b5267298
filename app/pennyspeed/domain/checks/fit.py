"""Does it fit: cells, gears, room and plugs. None of these needs the run."""

from __future__ import annotations

import math
from collections.abc import Callable

from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts, field_of, length, ratio
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import ROUNDING, Bools, Seen, apart, over, told
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import MM
from pennyspeed.physics.car import Floats
from pennyspeed.physics.elementwise import greater
from pennyspeed.physics.gears import centre_distance

MATING_MODULES = 0.01
"""Share of the larger up to which two modules mate: 32 pitch and 0.8 (common practice, no source).
"""

BORE_PLAY_MM = 0.02
"""Difference up to which a bore fits a shaft, 1/8 in and 3.17 mm (common practice, no source)."""

_BORE, _SHAFT = field_of("pinion", "bore_mm"), field_of("motor", "shaft_mm")
_SIDES = ("long", "wide", "high")


class CellsOverController(Limit):
    """Stop where the pack has more cells in series than the controller takes."""

    code = "cells-over-controller"
    worst = Level.STOP
    slots = ("pack", "controller")
    needs = (("pack", "cells_series"), ("controller", "max_cells"))
    broken = "too many cells"
    lacking = "cell limit"

    def text(self, facts: Facts, value: float, limit: float) -> str:
        return f"Pack has {value:.0f} cells in series, controller takes {limit:.0f}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"A pack of at most {limit:.0f} cells, or a controller for {value:.0f}"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{value:.0f} cells, takes {limit:.0f}"


class GearModule(Check):
    """Stop where pinion, spur and chassis are not all of one module."""

    code = "gear-module"
    worst = Level.STOP
    slots = ("pinion", "spur", "chassis")
    needs = (("pinion", "module_mm"), ("spur", "module_mm"), ("chassis", "gear_module_mm"))
    broken = "other module"
    lacking = "module"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        pinion, spur, chassis = (seen.figure(*key) for key in self.needs)
        pairs = (pinion, chassis), (spur, chassis), (pinion, spur)
        one, two, three = (other_module(*pair) for pair in pairs)
        return one | two | three, told(pinion, spur, chassis)

    def outcome(self, facts: Facts) -> Outcome:
        pinion, spur, chassis = (facts.figure(*key) for key in self.needs)
        level = self.level(facts)
        if level is Level.STOP:
            pairs = (
                ("Pinion", pinion, "chassis", chassis),
                ("Spur", spur, "chassis", chassis),
                ("Pinion", pinion, "spur", spur),
            )
            name, one, other_name, other = max(
                (pair for pair in pairs if told(pair[1], pair[3])),
                key=lambda pair: abs(math.log(pair[1] / pair[3])),
            )
            sizes = [facts.measures.gear_size(side) for side in (one, other)]
            text = f"{name} has {sizes[0]}, {other_name} {_bare(sizes[1])}"
            advice = "Pinion, spur and chassis must have one module"
            return self.ends(level, one, other, text, advice)
        if level is Level.UNKNOWN:
            return self.unknown(facts, spur if told(spur) else pinion, chassis)
        sizes = [facts.measures.gear_size(side) for side in (pinion, spur, chassis)]
        text = f"Pinion, spur and chassis all have {sizes[0]}"
        if len(set(sizes)) > 1:
            bare = [_bare(size) for size in sizes[1:]]
            text = f"Pinion has {sizes[0]}, spur {bare[0]}, chassis {bare[1]}: near enough to mate"
        return self.ends(level, pinion, chassis, text)

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{measures.gear_size(value)} to {_bare(measures.gear_size(limit))}"


class PinionBore(Limit):
    """Stop where the pinion's bore is not the motor's shaft."""

    code = "pinion-bore"
    worst = Level.STOP
    slots = ("pinion", "motor")
    needs = (("pinion", "bore_mm"), ("motor", "shaft_mm"))
    broken = "bore is not the shaft"
    lacking = "bore or shaft"

    @staticmethod
    def passed(value: Floats, limit: Floats, /) -> Bools:
        return other_bore(value, limit)

    def text(self, facts: Facts, value: float, limit: float) -> str:
        bore = facts.measures.figure(_BORE, value)
        return f"Pinion bore is {bore}, motor shaft {facts.measures.figure(_SHAFT, limit)}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"A pinion with a bore of {facts.measures.figure(_SHAFT, limit)} fits"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        bore = measures.figure(_BORE, value, unit=False)
        return f"bore {bore}, shaft {measures.figure(_SHAFT, limit)}"


class MeshDistance(Check):
    """Stop where the chassis cannot bring pinion and spur together (ISO 21771)."""

    code = "mesh-distance"
    worst = Level.STOP
    slots = ("pinion", "spur", "chassis")
    needs = (
        ("pinion", "teeth"),
        ("spur", "teeth"),
        ("chassis", "mesh_min_mm"),
        ("chassis", "mesh_max_mm"),
    )
    broken = "gears do not mesh"
    lacking = "gear room"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        distance = mesh_centre_distance(seen)
        least, most = (seen.figure(*key) for key in self.needs[2:])
        return over(distance, most) | over(least, distance), told(distance, least, most)

    def outcome(self, facts: Facts) -> Outcome:
        distance = float(mesh_centre_distance(facts))
        if not told(distance):
            return self.unknown(facts)
        least, most = (facts.figure(*key) for key in self.needs[2:])
        text = f"Pinion and spur mesh at {facts.length(distance)}, the chassis allows "
        level = self.level(facts)
        if level is Level.STOP:
            is_far = over(distance, most)
            limit, word = (most, "at most") if is_far else (least, "no less than")
            text += f"{word} {facts.length(limit)}"
            return self.ends(level, distance, limit, text, _pinions_that_mesh(facts))
        if level is Level.UNKNOWN:
            return self.unknown(facts, distance, least if told(least) else most)
        nearer = most if ratio(distance, most) >= ratio(least, distance) else least
        text += f"{facts.length(least)} to {facts.length(most)}"
        return self.ends(level, distance, nearer, text)

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        way = "wide" if value > limit else "tight"
        return f"mesh {measures.with_unit(abs(value - limit), MM, 1)} too {way}"


class _MotorRoom(Limit):
    """Stop where the motor is larger one way than the chassis takes."""

    worst = Level.STOP
    slots = ("motor", "chassis")
    across: str
    room: str

    def text(self, facts: Facts, value: float, limit: float) -> str:
        room = facts.length(limit)
        return f"Motor is {facts.length(value)} {self.across}, the chassis takes {room}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"A motor up to {facts.length(limit)} {self.across} fits"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{length(value, measures)} {self.room} {length(limit, measures, unit=False)}"


class MotorCan(_MotorRoom):
    """Stop where the motor is thicker than the chassis takes."""

    code = "motor-can"
    needs = (("motor", "can_mm"), ("chassis", "motor_can_mm"))
    broken = "can too thick"
    lacking = "can or its room"
    across = "thick"
    room = "can, room for"


class MotorLength(_MotorRoom):
    """Stop where the motor is longer than the chassis takes."""

    code = "motor-length"
    needs = (("motor", "length_mm"), ("chassis", "motor_length_max_mm"))
    broken = "motor too long"
    lacking = "length or room"
    across = "long"
    room = "long, room"


class PackBay(Check):
    """Stop where a side of the pack is over the bay's, sides in their order, not turned."""

    code = "pack-bay"
    worst = Level.STOP
    slots = ("pack", "chassis")
    needs = (("pack", "size_mm"), ("chassis", "pack_bay_mm"))
    broken = "pack too large"
    lacking = "size or bay"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        size, bay = (seen.sides(*key) for key in self.needs)
        broken = over(size[0], bay[0]) | over(size[1], bay[1]) | over(size[2], bay[2])
        return broken, told(*size, *bay)

    def outcome(self, facts: Facts) -> Outcome:
        level = self.level(facts)
        if level is Level.UNKNOWN:
            return self.unknown(facts)
        sides = list(zip(_SIDES, *(facts.sides(*key) for key in self.needs), strict=True))
        word, side, room = max(sides, key=lambda one: ratio(one[1], one[2]))
        text = f"Pack is {facts.length(side)} {word}, the bay takes {facts.length(room)}"
        tight = [f"{facts.length(room)} {word}" for word, side, room in sides if over(side, room)]
        advice = f"A pack up to {' and '.join(tight)} fits" if tight else ""
        return self.ends(level, side, room, text, advice)

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{length(value, measures)}, bay {length(limit, measures, unit=False)}"


class Connector(Check):
    """Stop where pack and controller have different plugs, case and outer blanks aside."""

    code = "connector"
    worst = Level.STOP
    slots = ("pack", "controller")
    needs = (("pack", "connector"), ("controller", "connector"))
    broken = "other plug"
    lacking = "plug"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        pack, controller = seen.plug("pack"), seen.plug("controller")
        known = (pack != "") & (controller != "")
        return known & (pack != controller), known

    def outcome(self, facts: Facts) -> Outcome:
        pack, controller = (str(facts.known(*key) or "").strip() for key in self.needs)
        level = self.level(facts)
        if level is Level.UNKNOWN:
            return self.unknown(facts, pack or None, controller or None)
        if level is Level.OK:
            text = f"Pack and controller both have the plug {pack}"
            return self.ends(level, pack, controller, text)
        text = f"Pack has the plug {pack}, controller {controller}"
        return self.ends(level, pack, controller, text, "Change one of the plugs")

    def by_how_much(self, value: str, limit: str, measures: Measures) -> str:
        return f"plugs {value} and {limit}"


def other_module(one: Floats, other: Floats) -> Bools:
    """Tell where two modules do not mate."""
    return apart(one, other, MATING_MODULES * greater(one, other))


def other_bore(bore: Floats, shaft: Floats) -> Bools:
    """Tell where a bore does not fit a shaft, both in mm."""
    return apart(bore, shaft, BORE_PLAY_MM)


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


def _bare(size: str) -> str:
    """Return the size of a gear's teeth where the word module has been said."""
    return size.removeprefix("module ")


def teeth_that_mesh(facts: Facts) -> tuple[float, float]:
    """Return the fewest and the most teeth of a pinion that meshes with this spur.

    At least one tooth, and endless where the chassis does not say.
    """
    module, spur = facts.figure("pinion", "module_mm"), facts.figure("spur", "teeth")
    least, most = facts.figure("chassis", "mesh_min_mm"), facts.figure("chassis", "mesh_max_mm")
    low = max(_whole(math.ceil, 2 * least / module - spur, -ROUNDING), 1.0) if told(least) else 1.0
    high = _whole(math.floor, 2 * most / module - spur, ROUNDING) if told(most) else math.inf
    return low, high


def _pinions_that_mesh(facts: Facts) -> str:
    """Say which pinions mesh with this spur."""
    low, high = teeth_that_mesh(facts)
    if high < low:
        return "No pinion meshes with this spur; try another spur"
    if high == math.inf:
        return f"With this spur, a pinion of {low:.0f} teeth or more meshes"
    if low == high:
        return f"With this spur, only a pinion of {low:.0f} teeth meshes"
    if low == 1:
        return f"With this spur, a pinion of {high:.0f} teeth or fewer meshes"
    return f"With this spur, pinions of {low:.0f} to {high:.0f} teeth mesh"


def _whole(rounded: Callable[[float], int], teeth: float, slack: float) -> float:
    """Return a number of teeth rounded, give or take a rounding error; infinity stays."""
    return float(rounded(teeth + slack)) if math.isfinite(teeth) else teeth
