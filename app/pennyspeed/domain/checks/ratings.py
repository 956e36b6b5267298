"""Ratings: how fast motor and tyres may turn, and what current each part takes."""

from __future__ import annotations

import math

from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts, amperes, ratio, three_figures
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, told
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH, RPM, RPM_PER_V
from pennyspeed.physics.car import Floats

_AT_TOP = "at top speed"


class ElectricalRpm(Limit):
    """Stop where the motor's electrical rpm at top speed is over the controller's."""

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
        return f"Motor makes {turns} electrical rpm {_AT_TOP}, controller takes {most}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        slower = _slower_motor(facts, limit / value)
        return f"{slower}, or one with fewer poles, would keep it under"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{_rounded(value, measures)} electrical rpm"


class MotorRpm(Limit):
    """Warn where the motor turns faster at top speed than it is rated."""

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
        return f"Motor turns {turns} {RPM.symbol} {_AT_TOP}, rated {rated}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"{_slower_motor(facts, limit / value)}, or fewer cells, would keep it under"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{_rounded(value - limit, measures)} rpm past rating"


class TyreSpeed(Limit):
    """Warn where the car's top speed is over the tyres' rating."""

    code = "tyre-speed"
    worst = Level.WARN
    slots = ("tyres",)
    needs = (("tyres", "rated_kmh"),)
    broken = "past tyres’ rating"
    lacking = "tyres’ rating"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.top_speed / KMH.factor, seen.figure("tyres", "rated_kmh")

    def text(self, facts: Facts, value: float, limit: float) -> str:
        speed, rated = (facts.measures.speed(one) for one in (value, limit))
        return f"Tyres run {speed} {_AT_TOP}, rated {rated}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"Tyres rated {facts.measures.speed(_up(value))} or more; they may burst beyond it"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"tyres rated {measures.speed(limit)}"


class _Current(Check):
    """The worse of burst rating against asked and continuous rating against at top speed."""

    worst = Level.WARN

    def currents(self, seen: Seen) -> tuple[Floats, Floats]:
        """Return what the run asks for at its most, and what top speed takes [A]."""
        return seen.readings.asked_motor_current, seen.readings.current

    def ratings(self, seen: Seen) -> tuple[Floats, Floats]:
        """Return what may flow in bursts, and all the time [A]."""
        burst, continuous = (seen.figure(*key) for key in self.needs)
        return burst, continuous

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        (asked, steady), (burst, continuous) = self.currents(seen), self.ratings(seen)
        broken = over(asked, burst) | over(steady, continuous)
        return broken, told(asked, steady, burst, continuous)

    def outcome(self, facts: Facts) -> Outcome:
        slot = self.slots[0]
        values = [float(one) for one in self.currents(facts)]
        limits = [float(one) for one in self.ratings(facts)]
        pairs = [
            (value, limit, is_burst)
            for value, limit, is_burst in zip(values, limits, (True, False), strict=True)
            if told(value, limit)
        ]
        if not pairs:
            return self.unknown(facts, values[0], limits[0])
        value, limit, in_bursts = max(pairs, key=lambda pair: ratio(pair[0], pair[1]))
        level = self.level(facts)
        if level is Level.UNKNOWN:
            return self.unknown(facts, value, limit)
        amps = amperes(value, limit, facts.measures)
        takes = "Run asks for {} A at its most" if in_bursts else "Top speed takes {} A"
        kind = "in bursts" if in_bursts else "continuous"
        text = f"{takes.format(amps[0])}, {slot} rated {amps[1]} A {kind}"
        if level is Level.OK:
            return self.ends(level, value, limit, text)
        teeth = _smaller_pinion(facts, value, limit, in_bursts)
        pinion = f"a pinion of about {teeth} teeth" if teeth else "a smaller pinion"
        advice = f"A {slot} rated {facts.measures.number(_up(value))} A {kind}, or {pinion}"
        return self.ends(level, value, limit, text, advice)

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return "{} {} A, rated {}".format(self.slots[0], *amperes(value, limit, measures))


class CurrentController(_Current):
    """Warn where the run asks for more than the controller's burst or continuous rating."""

    code = "current-controller"
    slots = ("controller", "pinion")
    needs = (("controller", "burst_current_a"), ("controller", "continuous_current_a"))
    broken = "past controller’s rating"
    lacking = "controller amps"


class CurrentMotor(_Current):
    """Warn where the run asks for more than the motor's peak or continuous rating."""

    code = "current-motor"
    slots = ("motor", "pinion")
    needs = (("motor", "peak_current_a"), ("motor", "continuous_current_a"))
    broken = "past motor’s rating"
    lacking = "motor amps"


class CurrentPack(_Current):
    """Warn where the run asks the pack for more than its C ratings times its capacity."""

    code = "current-pack"
    slots = ("pack", "pinion")
    needs = (("pack", "c_burst"), ("pack", "c_continuous"))
    broken = "past pack’s rating"
    lacking = "pack amps"

    def currents(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.asked_pack_current, seen.readings.pack_current

    def ratings(self, seen: Seen) -> tuple[Floats, Floats]:
        capacity = seen.figure("pack", "capacity_mah")
        burst, continuous = super().ratings(seen)
        return burst * capacity * 1e-3, continuous * capacity * 1e-3


def _turns(seen: Seen) -> Floats:
    """Return the motor's speed at top speed [rpm]."""
    return seen.readings.motor_speed / RPM.factor


def _rounded(value: float, measures: Measures) -> str:
    """Return a number to three figures."""
    return measures.number(three_figures(value))


def _smaller_pinion(facts: Facts, value: float, limit: float, in_bursts: bool) -> int | None:
    """Return about how many teeth bring the current down to its limit, None where none would.

    Current beyond the no-load current goes with torque at the motor. With the push on the wheel
    held by grip or driver that is as 1/G; at top speed, drag falling with speed squared, as 1/G³.
    """
    pinion, motor = facts.build.part("pinion"), facts.build.part("motor")
    if pinion is None or motor is None:
        return None
    idle = motor.number("no_load_current_a") or 0.0
    teeth = pinion.number("teeth") or 0.0
    if limit <= idle or value <= idle:
        return None
    share = (limit - idle) / (value - idle)
    fewer = math.floor(teeth * (share if in_bursts else share ** (1 / 3)))
    return fewer if 8 <= fewer < teeth else None


def _slower_motor(facts: Facts, share: float) -> str:
    kv = facts.figure("motor", "kv_rpm_per_v")
    most = _rounded(math.floor(kv * share * 0.99), facts.measures)
    return f"A motor of about {most} {RPM_PER_V.symbol} or less"


def _up(value: float) -> float:
    """Return the next figure up that a rating is likely to have."""
    step = 5.0 if value < 200 else 10.0
    return math.ceil(value / step) * step
