"""Does it fit: cells, gears, room and plugs. None of these needs the run."""

from __future__ import annotations

import math
from collections.abc import Callable

from pennyspeed.domain.checks import rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Facts, ratio
from pennyspeed.domain.checks.seen import ROUNDING, over

_SIDES = ("long", "wide", "high")


def cells_over_controller(facts: Facts) -> Check:
    """Stop where the pack has more cells in series than the controller takes."""
    code, slots = "cells-over-controller", ("pack", "controller")
    cells = facts.number("pack", "cells_series")
    most = facts.number("controller", "max_cells")
    if cells is None or most is None:
        needs = (("pack", "cells_series"), ("controller", "max_cells"))
        return facts.unknown(code, needs, slots, cells, most)
    text = f"Pack has {cells:.0f} cells in series, controller takes {most:.0f}"
    if facts.level(rules.cells_over_controller) is Level.OK:
        return Check(code, Level.OK, cells, most, text, slots=slots)
    advice = f"A pack of at most {most:.0f} cells, or a controller for {cells:.0f}"
    return Check(code, Level.STOP, cells, most, text, advice, slots)


def gear_module(facts: Facts) -> Check:
    """Stop where pinion, spur and chassis are not all of one module."""
    code, slots = "gear-module", ("pinion", "spur", "chassis")
    pinion = facts.number("pinion", "module_mm")
    spur = facts.number("spur", "module_mm")
    chassis = facts.number("chassis", "gear_module_mm")
    pairs = [
        (name, one, other_name, other)
        for name, one, other_name, other in (
            ("Pinion", pinion, "chassis", chassis),
            ("Spur", spur, "chassis", chassis),
            ("Pinion", pinion, "spur", spur),
        )
        if one is not None and other is not None
    ]
    if pairs:
        name, one, other_name, other = max(pairs, key=lambda pair: abs(math.log(pair[1] / pair[3])))
        if facts.level(rules.gear_module) is Level.STOP:
            text = f"{name} has module {_module(facts, one)}, {other_name} {_module(facts, other)}"
            advice = "Pinion, spur and chassis must have one module"
            return Check(code, Level.STOP, one, other, text, advice, slots)
    if pinion is None or spur is None or chassis is None:
        needs = (("pinion", "module_mm"), ("spur", "module_mm"), ("chassis", "gear_module_mm"))
        return facts.unknown(code, needs, slots, pinion if spur is None else spur, chassis)
    text = f"Pinion, spur and chassis all have module {_module(facts, pinion)}"
    return Check(code, Level.OK, pinion, chassis, text, slots=slots)


def pinion_bore(facts: Facts) -> Check:
    """Stop where the pinion's bore is not the motor's shaft."""
    code, slots = "pinion-bore", ("pinion", "motor")
    bore, shaft = facts.number("pinion", "bore_mm"), facts.number("motor", "shaft_mm")
    if bore is None or shaft is None:
        needs = (("pinion", "bore_mm"), ("motor", "shaft_mm"))
        return facts.unknown(code, needs, slots, bore, shaft)
    text = (
        f"Pinion bore is {facts.say('pinion', 'bore_mm')}, "
        f"motor shaft {facts.say('motor', 'shaft_mm')}"
    )
    if facts.level(rules.pinion_bore) is Level.OK:
        return Check(code, Level.OK, bore, shaft, text, slots=slots)
    advice = f"A pinion with a bore of {facts.say('motor', 'shaft_mm')} fits"
    return Check(code, Level.STOP, bore, shaft, text, advice, slots)


def mesh_distance(facts: Facts) -> Check:
    """Stop where the chassis cannot bring pinion and spur together (ISO 21771)."""
    code, slots = "mesh-distance", ("pinion", "spur", "chassis")
    least = facts.number("chassis", "mesh_min_mm")
    most = facts.number("chassis", "mesh_max_mm")
    driver, driven = facts.number("pinion", "teeth"), facts.number("spur", "teeth")
    module = facts.number("pinion", "module_mm")
    spur_module = facts.number("spur", "module_mm")
    needs = (
        ("pinion", "teeth"),
        ("spur", "teeth"),
        ("chassis", "mesh_min_mm"),
        ("chassis", "mesh_max_mm"),
    )
    if driver is None or driven is None or module is None or spur_module is None:
        return facts.unknown(code, needs, slots)
    distance = float(rules.mesh_centre_distance(facts))
    text = f"Pinion and spur mesh at {facts.length(distance)}, the chassis allows "
    if most is not None and over(distance, most):
        text += f"at most {facts.length(most)}"
        advice = _teeth_that_mesh(module, driven, least, most)
        return Check(code, Level.STOP, distance, most, text, advice, slots)
    if least is not None and over(least, distance):
        text += f"no less than {facts.length(least)}"
        advice = _teeth_that_mesh(module, driven, least, most)
        return Check(code, Level.STOP, distance, least, text, advice, slots)
    if least is None or most is None:
        return facts.unknown(code, needs, slots, distance, most if least is None else least)
    nearer = most if ratio(distance, most) >= ratio(least, distance) else least
    text += f"{facts.length(least)} to {facts.length(most)}"
    return Check(code, Level.OK, distance, nearer, text, slots=slots)


def motor_can(facts: Facts) -> Check:
    """Stop where the motor is thicker than the chassis takes."""
    return _room(facts, rules.motor_can, "motor-can", "can_mm", "motor_can_mm", "thick")


def motor_length(facts: Facts) -> Check:
    """Stop where the motor is longer than the chassis takes."""
    return _room(
        facts, rules.motor_length, "motor-length", "length_mm", "motor_length_max_mm", "long"
    )


def pack_bay(facts: Facts) -> Check:
    """Stop where a side of the pack is over the bay's, sides in their order, not turned."""
    code, slots = "pack-bay", ("pack", "chassis")
    size, bay = facts.known("pack", "size_mm"), facts.known("chassis", "pack_bay_mm")
    if not isinstance(size, tuple) or not isinstance(bay, tuple):
        return facts.unknown(code, (("pack", "size_mm"), ("chassis", "pack_bay_mm")), slots)
    sides = list(zip(_SIDES, size, bay, strict=True))
    word, side, room = max(sides, key=lambda one: ratio(one[1], one[2]))
    text = f"Pack is {facts.length(side)} {word}, the bay takes {facts.length(room)}"
    if facts.level(rules.pack_bay) is Level.OK:
        return Check(code, Level.OK, side, room, text, slots=slots)
    tight = [f"{facts.length(room)} {word}" for word, side, room in sides if over(side, room)]
    advice = "A pack up to " + " and ".join(tight) + " fits"
    return Check(code, Level.STOP, side, room, text, advice, slots)


def connector(facts: Facts) -> Check:
    """Stop where pack and controller have different plugs."""
    code, slots = "connector", ("pack", "controller")
    pack = _plug(facts, "pack")
    controller = _plug(facts, "controller")
    if not pack or not controller:
        needs = (("pack", "connector"), ("controller", "connector"))
        return facts.unknown(code, needs, slots, pack or None, controller or None)
    if facts.level(rules.connector) is Level.OK:
        text = f"Pack and controller both have the plug {pack}"
        return Check(code, Level.OK, pack, controller, text, slots=slots)
    text = f"Pack has the plug {pack}, controller {controller}"
    return Check(code, Level.STOP, pack, controller, text, "Change one of the plugs", slots)


def _room(facts: Facts, rule: rules.Rule, code: str, key: str, room_key: str, word: str) -> Check:
    slots = ("motor", "chassis")
    value, room = facts.number("motor", key), facts.number("chassis", room_key)
    if value is None or room is None:
        return facts.unknown(code, (("motor", key), ("chassis", room_key)), slots, value, room)
    text = f"Motor is {facts.length(value)} {word}, the chassis takes {facts.length(room)}"
    if facts.level(rule) is Level.OK:
        return Check(code, Level.OK, value, room, text, slots=slots)
    advice = f"A motor up to {facts.length(room)} {word} fits"
    return Check(code, Level.STOP, value, room, text, advice, slots)


def _plug(facts: Facts, slot: str) -> str:
    return str(facts.known(slot, "connector") or "").strip()


def _module(facts: Facts, value: float) -> str:
    """Return a module, which is millimetres everywhere."""
    return f"{value:.4g}".replace(".", facts.measures.decimal)


def _teeth_that_mesh(module: float, spur: float, least: float | None, most: float | None) -> str:
    """Say which pinions mesh with this spur."""
    low = (
        1.0 if least is None else max(_whole(math.ceil, 2 * least / module - spur, -ROUNDING), 1.0)
    )
    high = math.inf if most is None else _whole(math.floor, 2 * most / module - spur, ROUNDING)
    if high < low:
        return "No pinion meshes with this spur; try another spur"
    if most is None:
        return f"With this spur, a pinion of {low:.0f} teeth or more meshes"
    if low == high:
        return f"With this spur, only a pinion of {low:.0f} teeth meshes"
    if least is None or low == 1:
        return f"With this spur, a pinion of {high:.0f} teeth or fewer meshes"
    return f"With this spur, pinions of {low:.0f} to {high:.0f} teeth mesh"


def _whole(rounded: Callable[[float], int], teeth: float, slack: float) -> float:
    """Return a number of teeth rounded, give or take a rounding error; infinity stays."""
    return float(rounded(teeth + slack)) if math.isfinite(teeth) else teeth
