"""The car on the road: moving off, stopping, steering, and the road's length."""

from __future__ import annotations

import math

from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, under
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH, M
from pennyspeed.physics.car import REST_MARGIN, Floats
from pennyspeed.physics.elementwise import lesser

LEAST_LOAD_SHARE = 0.25
"""Load of an axle over its value at rest, below which the car goes light (own judgement)."""

LIFTED = 0.01
"""Load of an axle over its value at rest, up to which its wheels are as good as in the air."""

_LATE = "half a second late"
_NO_TARGET = "No target speed is set", "Set a target speed"
_MOST_TRIES = 8
_LONGEST_ROAD = 1e4
"""Longer ones are not worth naming [m]."""


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


class _AxleLoad(Limit):
    """Warn where an axle keeps little of its load at top speed, stop where nothing is left."""

    worst = Level.WARN
    slots = ("chassis", "body")
    passed = staticmethod(under)
    end: str

    def text(self, facts: Facts, value: float, limit: float) -> str:
        shown, least = (facts.measures.number(100 * one) for one in (value, limit))
        keep = f"{self.end.capitalize()} wheels keep {shown} % of their load at top speed"
        if self.stops(facts):
            keep = f"{self.end.capitalize()} wheels leave the road before top speed"
        return f"{keep}, should keep {least} %"

    def stops(self, seen: Seen) -> Bools:
        return _lifted(self.compared(seen)[0])

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return f"More weight or downforce at the {self.end}, or a lower centre of gravity"


class FrontLoad(_AxleLoad):
    """The front axle, with which the car steers."""

    code = "front-load"
    broken = "front goes light"
    end = "front"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.front_load_share, LEAST_LOAD_SHARE


class RearLoad(_AxleLoad):
    """The rear axle, which keeps the car straight."""

    code = "rear-load"
    broken = "rear goes light"
    end = "rear"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.rear_load_share, LEAST_LOAD_SHARE

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "More weight or downforce at the rear, or less lift there"


class Wheelie(Limit):
    """Warn where the front wheels leave the road under full demand before the driver lifts."""

    code = "wheelie"
    worst = Level.WARN
    slots = ("chassis", "motor")
    broken = "front wheels lift"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.least_front_share, LIFTED

    @staticmethod
    def passed(value: Floats, limit: Floats, /) -> Bools:
        return _lifted(value)

    def text(self, facts: Facts, value: float, limit: float) -> str:
        if self.passed(value, limit):
            return "Front wheels leave the road under full throttle"
        shown = facts.measures.number(100 * value)
        return f"Front wheels keep at least {shown} % of their load under full throttle"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "A gentler thumb, a longer wheelbase or more weight at the front keeps them down"


class RoadShort(Check):
    """Warn where the car has the target in it but not on this road."""

    code = "road-short"
    worst = Level.WARN
    broken = "road too short"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        found, target = seen.readings, seen.build.target_kmh
        if target is None:
            return False, False
        road = found.road_speed / KMH.factor
        return over(target, road) & (over(target, _reach(seen)) ^ True), found.runs

    def outcome(self, facts: Facts) -> Outcome:
        target, run, measures = facts.build.target_kmh, facts.run, facts.measures
        value = None if run is None else KMH.from_si(run.road_speed)
        level = self.level(facts)
        if target is None:
            return self.ends(level, value, None, *_NO_TARGET)
        if run is None or value is None:
            return self.unknown(facts, None, target)
        speed, top = (measures.speed_toward(one, target) for one in (value, float(_reach(facts))))
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
        longer = f"{measures.with_unit(length, M)} of road would do" if length else "A longer road"
        advice = f"{longer}, or a driver who allows more"
        return self.ends(level, value, target, text, advice)


class Target(Limit):
    """Warn where the target is beyond the car, however long the road."""

    code = "target"
    worst = Level.WARN
    slots = ("motor", "pack", "pinion", "spur", "body")
    passed = staticmethod(under)
    broken = "below the target"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        target = seen.build.target_kmh
        return _reach(seen), math.nan if target is None else target

    def text(self, facts: Facts, value: float, limit: float) -> str:
        top, wanted = facts.measures.speed_toward(value, limit), facts.measures.target(limit)
        if self.passed(value, limit):
            return f"The car has {top} in it, {wanted} is wanted"
        return f"The car has {top} in it, enough for {wanted}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "More volts or Kv, a larger pinion or less drag; the shelf shows what each brings"

    def unknown(
        self, facts: Facts, value: float | str | None = None, limit: float | str | None = None
    ) -> Outcome:
        if facts.build.target_kmh is None:
            return self.ends(Level.UNKNOWN, None, None, *_NO_TARGET)
        return super().unknown(facts, value, limit)

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{measures.speed_toward(value, limit)} at most"


class Margin(Check):
    """Warn where a throttle that goes off late leaves no road to stop in."""

    code = "margin"
    worst = Level.WARN
    broken = "late lift leaves the road"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        return seen.readings.late_margin < 0.0, seen.readings.runs

    def outcome(self, facts: Facts) -> Outcome:
        run = facts.run
        if run is None:
            return self.unknown(facts, None, 0.0)
        level = self.level(facts)
        if run.late is None:
            text = "No road is left to drive: the reserve takes all of it"
            return self.ends(level, None, 0.0, text, "A longer road, or less reserve")
        value = run.late.road_left
        if level is Level.OK:
            left = facts.measures.with_unit(value, M)
            return self.ends(level, value, 0.0, f"A lift {_LATE} still leaves {left} of road")
        text = f"A lift {_LATE} leaves the road by {_past(value, facts.measures)}"
        return self.ends(level, value, 0.0, text, _reserve_for(facts))

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"{_past(value, measures)} off, lifting late"


def _past(left: float, measures: Measures) -> str:
    """Return how far past the road's end the car stops, which is never 0."""
    return measures.with_unit(max(-left, measures.stored(1.0, M)), M)


def _lifted(share: Floats) -> Bools:
    """Tell where an axle is as good as in the air."""
    return over(share, LIFTED) ^ (share == share)


def _reach(seen: Seen) -> Floats:
    """Return what the car has in it on an endless road, after the first pass too [km/h]."""
    return lesser(seen.readings.top_speed, seen.readings.balance_speed) / KMH.factor


def _reserve_for(facts: Facts) -> str:
    """Say what reserve covers a lift half a second late, and what it costs in speed."""
    measures, run = facts.measures, facts.run
    assert run is not None
    reserve, speed, late = facts.build.condition("reserve_m"), run.road_speed, run.late
    for _ in range(_MOST_TRIES):
        if late is None:
            break
        # a whole number of the person's own unit: what is said is what is typed
        reserve = measures.stored(math.ceil(measures.shown(reserve - late.road_left, M)), M)
        if reserve >= facts.build.condition("road_m"):
            break
        after = facts.with_condition("reserve_m", reserve).run
        late = None if after is None else after.late
        if after is not None and late is not None and late.road_left >= 0.0:
            lost = measures.shown(KMH.from_si(speed - after.road_speed), KMH)
            symbol = measures.speed_unit.symbol
            cost = f"a cost of {measures.number(lost, 1)} {symbol}"
            if lost < 0.05:
                cost = "no cost in speed"
            return f"A reserve of {measures.with_unit(reserve, M)} covers it, at {cost}"
    return "A longer road, or a slower car"


def _road_for(facts: Facts, target_kmh: float) -> float | None:
    """Return a road that is enough for the target, to the next five of the person's unit [m]."""
    run, measures = facts.run, facts.measures
    target, road = KMH.to_si(target_kmh), facts.build.condition("road_m")
    for _ in range(_MOST_TRIES):
        if run is None or run.road_speed <= 0.0:
            return None
        # run-up and stop both go as the square of speed, or steeper
        length = road * (target / run.road_speed) ** 2
        if not length <= _LONGEST_ROAD:
            return None
        road = measures.stored(5.0 * math.ceil(measures.shown(length, M) / 5.0), M)
        run = facts.with_condition("road_m", road).run
        if run is not None and run.road_speed >= target:
            return road
    return None
