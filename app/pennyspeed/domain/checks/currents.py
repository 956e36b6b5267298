"""Currents: what the run asks of controller, motor and pack, against their ratings."""

from __future__ import annotations

from pennyspeed.domain.checks.check import Check
from pennyspeed.domain.checks.facts import Facts, amperes, next_rating, ratio
from pennyspeed.domain.checks.fit import teeth_that_mesh
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, told
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import Floats

PACK_STOPS = 1.5
"""Times its burst rating beyond which what is asked of a pack stops the car (own judgement)."""

LEAST_PINION = 8
"""Teeth below which no pinion is advised."""

_MOST_TRIES = 8


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
        rating = self._rating(facts, value, in_bursts)
        advice = f"A {slot} rated {facts.measures.number(rating)} A {kind}"
        teeth = _smaller_pinion(self, facts)
        if teeth:
            advice += f", or a pinion of {teeth} teeth"
        return self.ends(level, value, limit, text, advice)

    def rated(self, facts: Facts, amps: float, in_bursts: bool) -> Facts:
        """Return the facts with the part rated so many amperes."""
        (slot, burst), (_, continuous) = self.needs
        return facts.with_figure(slot, burst if in_bursts else continuous, amps)

    def _rating(self, facts: Facts, value: float, in_bursts: bool) -> float:
        """Return a rating that is enough; with more in bursts the run may ask for more."""
        for _ in range(_MOST_TRIES):
            rating = next_rating(value)
            asked, steady = self.currents(self.rated(facts, rating, in_bursts))
            value = float(asked if in_bursts else steady)
            if not over(value, rating):
                break
        return rating

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
    """Warn where the run asks the pack for more than its C ratings times its capacity.

    It stops where far more than the bursts is asked for.
    """

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

    def rated(self, facts: Facts, amps: float, in_bursts: bool) -> Facts:
        return super().rated(facts, amps / (facts.figure("pack", "capacity_mah") * 1e-3), in_bursts)

    def stops(self, seen: Seen) -> Bools:
        return over(self.currents(seen)[0], PACK_STOPS * self.ratings(seen)[0])


def _smaller_pinion(check: _Current, facts: Facts) -> int | None:
    """Return the most teeth with which the check holds, None where no pinion that meshes does."""

    def holds(teeth: int) -> bool:
        level = check.level(facts.with_figure("pinion", "teeth", teeth))
        return level in (Level.OK, Level.UNKNOWN)

    low, high = LEAST_PINION, int(facts.figure("pinion", "teeth"))
    if low >= high or not holds(low):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    least, most = teeth_that_mesh(facts)
    teeth = min(low, most)
    return int(teeth) if teeth >= max(least, LEAST_PINION) else None
