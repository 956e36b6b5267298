"""The car on the road: moving off, stopping, steering, and the road's length."""

from __future__ import annotations

import numpy as np

from pennyspeed.domain.checks import rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.checks.rules import LEAST_FRONT_SHARE
from pennyspeed.domain.checks.seen import over
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import REST_MARGIN


def cannot_move(facts: Facts) -> Check:
    """Stop where nothing is left at rest to push the car off, or after the first pass."""
    code = "cannot-move"
    slots = ("motor", "pack", "tyres")
    found = facts.prediction
    if found is None:
        return facts.unknown(code, (), slots)
    if facts.level(rules.cannot_move) is Level.OK:
        value = KMH.from_si(found.balance_speed)
        return Check(code, Level.OK, value, 0.0, "The car moves off", slots=slots)
    if found.at_top is None:
        text = "The car cannot move: its push at rest does not overcome rolling, slope and wind"
        advice = "More grip, a gentler slope, a higher current limit, or a driver who allows more"
    else:
        text = "The car cannot move with what this run would leave in the pack and in the motor"
        advice = "A fuller or larger pack, a cooler motor, or a shorter run"
    return Check(code, Level.STOP, 0.0, 0.0, text, advice, slots)


def cannot_stop(facts: Facts) -> Check:
    """Stop where braking from the lift speed falls below 0.05 m/s² anywhere."""
    code, slots = "cannot-stop", ("tyres",)
    run = facts.run
    value = None if run is None else run.least_deceleration
    if value is None:
        return facts.unknown(code, (), slots, None, REST_MARGIN)
    text = f"Braking slows it by {facts.measures.number(value, 2)} m/s² at the least"
    if value < 0.0:
        text = f"Braking or not, somewhere it gains {facts.measures.number(-value, 2)} m/s²"
    if facts.level(rules.cannot_stop) is Level.OK:
        return Check(code, Level.OK, value, REST_MARGIN, text, slots=slots)
    advice = "More brake, more grip or a flatter road"
    text += ": it cannot be relied upon to stop"
    return Check(code, Level.STOP, value, REST_MARGIN, text, advice, slots)


def front_load(facts: Facts) -> Check:
    """Warn where the front axle at top speed keeps less than a quarter of its load at rest."""
    code, slots = "front-load", ("chassis", "body")
    found = facts.prediction
    at_top = None if found is None else found.at_top
    if at_top is None:
        return facts.unknown(code, (), slots, None, LEAST_FRONT_SHARE)
    value = at_top.front_load_share
    shown = facts.measures.number(100 * value)
    least = facts.measures.number(100 * LEAST_FRONT_SHARE)
    text = f"Front wheels keep {shown} % of their load at top speed, should keep {least} %"
    if facts.level(rules.front_load) is Level.OK:
        return Check(code, Level.OK, value, LEAST_FRONT_SHARE, text, slots=slots)
    advice = "More weight or downforce at the front, or a lower centre of gravity"
    return Check(code, Level.WARN, value, LEAST_FRONT_SHARE, text, advice, slots)


def road_short(facts: Facts) -> Check:
    """Warn where the target is within the car's top speed but not within the road."""
    code = "road-short"
    target, run = facts.build.target_kmh, facts.run
    value = None if run is None else KMH.from_si(run.road_speed)
    if target is None:
        text = "No target speed is set"
        return Check(code, Level.UNKNOWN, value, None, text, "Set a target speed")
    if run is None or value is None:
        return facts.unknown(code, (), (), None, target)
    measures = facts.measures
    speed, top = (measures.speed_toward(one, target) for one in (value, KMH.from_si(run.top_speed)))
    level = facts.level(rules.road_short)
    if level is Level.OK and not over(target, value):
        text = f"The road is long enough for {measures.target(target)}: it allows {speed}"
        return Check(code, Level.OK, value, target, text)
    if level is Level.OK:
        text = f"The road is not what holds it back: without an end it would allow {top}"
        return Check(code, Level.OK, value, target, text)
    text = (
        f"This road allows {speed} of the {measures.target(target)} wanted; "
        f"without an end it would allow {top}"
    )
    length = _road_for(facts, target)
    advice = f"About {facts.road(length)} of road would do" if length else "A longer road"
    advice += ", or a driver who allows more"
    return Check(code, Level.WARN, value, target, text, advice)


def _road_for(facts: Facts, target_kmh: float) -> float | None:
    """Return about how much road the target takes [m]: run-up from the curve, stop as speed²."""
    run = facts.run
    if run is None or run.curve is None or run.road_speed <= 0.0:
        return None
    target = KMH.to_si(target_kmh)
    if target > run.curve.speed[-1]:
        return None
    run_up = float(np.interp(target, run.curve.speed, run.curve.distance))
    metres = run_up + run.stop_distance * (target / run.road_speed) ** 2
    return float(-(-metres // 5) * 5)
