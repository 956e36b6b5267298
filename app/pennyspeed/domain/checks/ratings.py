"""Ratings: how fast motor and tyres may turn.

How fast they turn is what this road lets happen. Advice that names a figure was followed before it
is given: the build was forecast again with that figure.
"""

from __future__ import annotations

import math

from pennyspeed.domain.assembly import free_speed_kmh
from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts, next_rating, ratio, three_figures
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, told
from pennyspeed.domain.kinds.motor import MOTOR
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH, RPM, RPM_PER_V
from pennyspeed.physics.car import Floats
from pennyspeed.physics.pack import open_circuit_voltage

TYRES_STOP = 1.25
"""Times their rating beyond which tyres stop the car (own judgement)."""

_ON_ROAD = "on this road"
_MOST_TRIES = 8
_NEAR = 0.98
_LEAST_KV = 10.0 * MOTOR.field("kv_rpm_per_v").low


class ElectricalRpm(Limit):
    """Stop where the motor's electrical rpm at the road speed is over the controller's."""

    code = "electrical-rpm"
    worst = Level.STOP
    slots = ("motor", "controller", "pack")
    needs = (("controller", "max_electrical_rpm"),)
    broken = "electrical rpm too high"
    lacking = "electrical limit"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        turns = _turns(seen) * (seen.figure("motor", "poles") * 0.5)
        return turns, seen.figure("controller", "max_electrical_rpm")

    def text(self, facts: Facts, value: float, limit: float) -> str:
        turns, most = (_rounded(one, facts.measures) for one in (value, limit))
        return f"Motor makes {turns} electrical rpm {_ON_ROAD}, controller takes {most}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"{_slower_motor(self, facts)}, or one with fewer poles, would keep it under"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{_rounded(value, measures)} electrical rpm"


class MotorRpm(Limit):
    """Warn where the motor turns faster at the road speed than it is rated."""

    code = "motor-rpm"
    worst = Level.WARN
    slots = ("motor", "pack", "pinion")
    needs = (("motor", "max_rpm"),)
    broken = "past rated rpm"
    lacking = "rated speed"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return _turns(seen), seen.figure("motor", "max_rpm")

    def text(self, facts: Facts, value: float, limit: float) -> str:
        turns, rated = (_rounded(one, facts.measures) for one in (value, limit))
        return f"Motor turns {turns} {RPM.symbol} {_ON_ROAD}, rated {rated}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        cells = _fewer_cells(self, facts, limit / value)
        fewer = f", or {cells} cells" if cells > 1 else ", or one cell" if cells else ""
        return f"{_slower_motor(self, facts)}{fewer}, would keep it under"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{_rounded(value - limit, measures)} rpm past rating"


class TyreSpeed(Limit):
    """Warn where the road speed is over the tyres' rating, stop where it is far over."""

    code = "tyre-speed"
    worst = Level.WARN
    slots = ("tyres",)
    needs = (("tyres", "rated_kmh"),)
    broken = "past tyres’ rating"
    lacking = "tyres’ rating"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.road_speed / KMH.factor, seen.figure("tyres", "rated_kmh")

    def stops(self, seen: Seen) -> Bools:
        speed, rated = self.compared(seen)
        return over(speed, TYRES_STOP * rated)

    def text(self, facts: Facts, value: float, limit: float) -> str:
        speed, rated = (facts.measures.speed(one) for one in (value, limit))
        return f"Tyres run {speed} {_ON_ROAD}, rated {rated}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        rated = facts.measures.speed(next_rating(value))
        return f"Tyres rated {rated} or more; they may burst beyond it"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"tyres rated {measures.speed(limit)}"


class FreeSpin(Check):
    """Warn where wheels in the air at full throttle pass a rating of tyres or controller."""

    code = "free-spin"
    worst = Level.WARN
    slots = ("motor", "pack", "tyres", "controller")
    needs = (("tyres", "rated_kmh"), ("controller", "max_electrical_rpm"))
    broken = "too fast in the air"
    lacking = "a rating"

    def compared(self, seen: Seen) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """Return road speed of the wheels at rest diameter [km/h] and electrical rpm, with limits.

        The motor turns Kv times what the rested pack gives.
        """
        cell = open_circuit_voltage(seen.build.condition("state_of_charge"))
        turns = seen.figure("motor", "kv_rpm_per_v") * seen.figure("pack", "cells_series") * cell
        ratio = seen.figure("spur", "teeth") / seen.figure("pinion", "teeth")
        ratio = ratio * seen.figure("chassis", "internal_ratio")
        speed = free_speed_kmh(turns, seen.figure("tyres", "diameter_mm"), ratio)
        tyres, controller = (seen.figure(*key) for key in self.needs)
        return (
            (speed, tyres),
            (turns * (seen.figure("motor", "poles") * 0.5), controller),
        )

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        (speed, tyres), (turns, controller) = self.compared(seen)
        return over(speed, tyres) | over(turns, controller), told(speed, tyres, turns, controller)

    def outcome(self, facts: Facts) -> Outcome:
        level, pairs = self.level(facts), self.compared(facts)
        known = [
            (ratio(float(value), float(limit)), float(value), float(limit), which)
            for which, (value, limit) in enumerate(pairs)
            if told(value, limit)
        ]
        if not known:
            return self.unknown(facts)
        _, value, limit, is_controller = max(known)
        if level is Level.UNKNOWN:
            return self.unknown(facts, value, limit)
        if is_controller:
            turns, most = (_rounded(one, facts.measures) for one in (value, limit))
            text = f"In the air at full throttle the motor makes {turns} electrical rpm"
            text = f"{text}, controller takes {most}"
        else:
            speed, rated = (facts.measures.speed(one) for one in (value, limit))
            text = f"In the air at full throttle the tyres run {speed}, rated {rated}"
        if level is Level.OK:
            return self.ends(level, value, limit, text)
        advice = "With the wheels off the ground keep the throttle low, and stand clear of them"
        return self.ends(level, value, limit, text, advice)


def _turns(seen: Seen) -> Floats:
    """Return the motor's speed at the road speed [rpm]."""
    return seen.readings.road_motor_speed / RPM.factor


def _rounded(value: float, measures: Measures) -> str:
    """Return a number to three figures."""
    return measures.number(three_figures(value))


def _slower_motor(check: Limit, facts: Facts) -> str:
    """Say how slow a motor keeps the check, all its other figures left as they are.

    What is said holds, rounding included, and is within a few per cent of the most that does.
    """
    high = facts.figure("motor", "kv_rpm_per_v")
    at_high, limit = (float(one) for one in check.compared(facts))
    low = at_low = 0.0
    trial = high * limit / at_high
    for _ in range(_MOST_TRIES):
        if not trial >= _LEAST_KV:
            break
        shown = _floored(trial)
        found = float(check.compared(facts.with_figure("motor", "kv_rpm_per_v", shown))[0])
        if math.isnan(found):  # too slow a motor to move the car
            break
        if found <= limit:
            low, at_low = shown, found
            if found >= _NEAR * limit:
                break
        else:
            high, at_high = shown, found
        if low == 0.0:
            trial = shown * min(limit / found, _NEAR)
            continue
        share = (0.5 * (1.0 + _NEAR) * limit - at_low) / (at_high - at_low)
        trial = low + (high - low) * min(max(share, 0.1), 0.9)
    if low == 0.0:
        return "A slower motor"
    return f"A motor of about {facts.measures.number(low)} {RPM_PER_V.symbol} or less"


def _fewer_cells(check: Limit, facts: Facts, share: float) -> int:
    """Return how many cells keep the check; 0 where none do."""
    cells = math.floor(facts.figure("pack", "cells_series") * share)
    while cells > 0:
        value, limit = check.compared(facts.with_figure("pack", "cells_series", cells))
        if value <= limit:
            return cells
        cells -= 1
    return 0


def _floored(value: float) -> float:
    """Return a figure rounded down to three figures."""
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return math.floor(value / step) * step
