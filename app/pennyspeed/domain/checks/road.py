"""The car on the road: moving off, stopping, steering, and the road's length."""

from __future__ import annotations

import numpy as np

from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, under
from pennyspeed.domain.units import KMH, M
from pennyspeed.physics.car import REST_MARGIN, Floats

LEAST_FRONT_SHARE = 0.25
"""Front-axle load over its value at rest, below which steering goes light (own judgement)."""


class CannotMove(Check):
    """Stop where nothing is left at rest to push the car off, or after the first pass."""

    code = "cannot-move"
    worst = Level.STOP
    slots = ("motor", "pack", "tyres")
    broken = "does not move off"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        found = seen.readings
        return found.whole & (found.runs ^ True), found.whole

    def outcome(self, facts: Facts) -> Outcome:
        found = facts.prediction
        if found is None:
            return self.unknown(facts)
        level = self.level(facts)
        if level is Level.OK:
            value = KMH.from_si(found.balance_speed)
            return self.ends(level, value, 0.0, "The car moves off")
        if found.at_top is None:
            text = "The car cannot move: its push at rest does not overcome rolling, slope and wind"
            advice = (
                "More grip, a gentler slope, a higher current limit, or a driver who allows more"
            )
        else:
            text = "The car cannot move with what this run would leave in the pack and in the motor"
            advice = "A fuller or larger pack, a cooler motor, or a shorter run"
        return self.ends(level, 0.0, 0.0, text, advice)


class CannotStop(Limit):
    """Stop where braking from the lift speed falls below the margin anywhere."""

    code = "cannot-stop"
    worst = Level.STOP
    slots = ("tyres",)
    passed = staticmethod(under)
    broken = "cannot stop in time"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.least_deceleration, REST_MARGIN

    def text(self, facts: Facts, value: float, limit: float) -> str:
        shown = facts.measures.number(abs(value), 2)
        text = f"Braking slows it by {shown} m/s² at the least"
        if value < 0.0:
            text = f"Braking or not, somewhere it gains {shown} m/s²"
        return f"{text}: it cannot be relied upon to stop" if self.passed(value, limit) else text

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "More brake, more grip or a flatter road"


class FrontLoad(Limit):
    """Warn where the front axle at top speed keeps less than a quarter of its load at rest."""

    code = "front-load"
    worst = Level.WARN
    slots = ("chassis", "body")
    passed = staticmethod(under)
    broken = "front goes light"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.front_load_share, LEAST_FRONT_SHARE

    def text(self, facts: Facts, value: float, limit: float) -> str:
        shown, least = (facts.measures.number(100 * one) for one in (value, limit))
        return f"Front wheels keep {shown} % of their load at top speed, should keep {least} %"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "More weight or downforce at the front, or a lower centre of gravity"


class RoadShort(Check):
    """Warn where the target is within the car's top speed but not within the road."""

    code = "road-short"
    worst = Level.WARN
    broken = "road too short"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        found, target = seen.readings, seen.build.target_kmh
        if target is None:
            return False, False
        road, top = found.road_speed / KMH.factor, found.top_speed / KMH.factor
        return over(target, road) & (over(target, top) ^ True), found.runs

    def outcome(self, facts: Facts) -> Outcome:
        target, run, measures = facts.build.target_kmh, facts.run, facts.measures
        value = None if run is None else KMH.from_si(run.road_speed)
        level = self.level(facts)
        if target is None:
            return self.ends(level, value, None, "No target speed is set", "Set a target speed")
        if run is None or value is None:
            return self.unknown(facts, None, target)
        speed, top = (
            measures.speed_toward(one, target) for one in (value, KMH.from_si(run.top_speed))
        )
        if level is Level.OK:
            text = f"The road is long enough for {measures.target(target)}: it allows {speed}"
            if over(target, value):
                text = f"The road is not what holds it back: without an end it would allow {top}"
            return self.ends(level, value, target, text)
        text = (
            f"This road allows {speed} of the {measures.target(target)} wanted; "
            f"without an end it would allow {top}"
        )
        length = _road_for(facts, target)
        longer = (
            f"About {measures.with_unit(length, M)} of road would do" if length else "A longer road"
        )
        advice = f"{longer}, or a driver who allows more"
        return self.ends(level, value, target, text, advice)


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
