"""Limits of the run itself: cells under load, heat, and the charge in the pack."""

from __future__ import annotations

import math

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.check import Check, Limit
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, over, told, under
from pennyspeed.domain.conditions import BY_KEY as CONDITION
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import CELSIUS, MAH, VOLT
from pennyspeed.physics.car import Floats
from pennyspeed.physics.cooling import pause_until
from pennyspeed.physics.elementwise import choose
from pennyspeed.physics.predict import predict

LEAST_CELL_VOLTS = 3.2
"""Under load; below it a lithium cell ages fast (common practice, no source) [V]."""

MOST_MOTOR_CELSIUS = 100.0
"""Above it magnets and windings suffer (common practice, no source) [°C]."""


MOST_INSULATION_CELSIUS = 180.0
"""Where winding insulation of the best usual class ends (class H, IEC 60085) [°C]."""

_MOST_TRIES = 12

_CLOSE_K = 0.1
"""How closely the start of the next run is found [K]."""


class PackVoltage(Limit):
    """Warn where a cell falls below its least voltage under load in the run."""

    code = "pack-voltage"
    worst = Level.WARN
    slots = ("pack",)
    passed = staticmethod(under)
    broken = "cells sag too far"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return seen.readings.lowest_cell_voltage, LEAST_CELL_VOLTS

    def text(self, facts: Facts, value: float, limit: float) -> str:
        falls, least = (
            facts.measures.with_unit(one, VOLT, places) for one, places in ((value, 2), (limit, 1))
        )
        return f"Each cell falls to {falls} under load, should keep {least}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        return "A pack with less resistance, a fuller one, or a smaller pinion sags less"

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"cells down to {measures.number(value, 2)} V"


class MotorTemperature(Limit):
    """Warn where one run heats the motor over its limit, stop where insulation fails."""

    code = "motor-temperature"
    worst = Level.WARN
    slots = ("motor", "pinion")
    broken = "motor too hot"
    lacking = "motor’s mass"

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        return motor_celsius(seen), MOST_MOTOR_CELSIUS

    def stops(self, seen: Seen) -> Bools:
        return over(motor_celsius(seen), MOST_INSULATION_CELSIUS)

    def text(self, facts: Facts, value: float, limit: float) -> str:
        hot, most = (facts.measures.with_unit(one, CELSIUS) for one in (value, limit))
        return f"Motor gets {hot} hot in one run, should stay under {most}"

    def advice(self, facts: Facts, value: float, limit: float) -> str:
        measures, rise = facts.measures, float(facts.readings.motor_rise)
        rest = rest_minutes(facts.build, rise)
        smaller = "a smaller pinion or a shorter run warms it less"
        if rest is None:
            warms = f"one run warms it by {measures.number(rise)} K"
            return f"No rest between runs is enough, as {warms}; {smaller}"
        most = measures.with_unit(limit, CELSIUS)
        return f"After {rest} min of rest the next run keeps it under {most}; {smaller}"

    def unknown(
        self, facts: Facts, value: float | str | None = None, limit: float | str | None = None
    ) -> Outcome:
        needs = () if _heat_is_known(facts) else (("motor", "mass_g"),)
        return self.ends(Level.UNKNOWN, None, limit, *facts.missing(needs))

    def by_how_much(self, value: float, limit: float, measures: Measures) -> str:
        return f"motor {measures.number(value)} °C hot"


class PackFlat(Check):
    """Warn where the run, at its starting state, needs more charge than the pack holds."""

    code = "pack-flat"
    worst = Level.WARN
    slots = ("pack",)
    needs = (("pack", "capacity_mah"),)
    broken = "pack runs flat"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        found = seen.readings
        return found.moves & found.flat, found.moves

    def outcome(self, facts: Facts) -> Outcome:
        found = facts.prediction
        charge = facts.build.condition("state_of_charge")
        limit = charge * facts.figure("pack", "capacity_mah")
        if found is None or found.at_top is None or not told(limit):
            return self.unknown(facts, None, limit)
        value = MAH.from_si(found.first_pass_charge)
        takes, holds = (facts.measures.with_unit(one, MAH) for one in (value, limit))
        text = f"Run takes {takes} from the {holds} in the pack"
        level = self.level(facts)
        if level is Level.OK:
            return self.ends(level, value, limit, text)
        return self.ends(level, value, limit, text, "A fuller or a larger pack, or a shorter run")


def motor_celsius(seen: Seen) -> Floats:
    """Return how hot the motor is at the end of the run [°C]."""
    end = seen.build.condition("motor_temperature_c") + seen.readings.motor_rise
    return choose(_heat_is_known(seen), end, math.nan)


def _heat_is_known(seen: Seen) -> Bools:
    """Tell where the motor's heat capacity is given, or follows from its mass."""
    given = told(seen.figure("motor", "heat_capacity_j_per_k"))
    return given | (seen.figure("motor", "mass_g") > 0.0)


def rest_minutes(build: Build, rise: float) -> int | None:
    """Return how long the motor rests after this run for the next to end within its limit [min].

    This run warms it by `rise` [K]; the next, begun warmer, was forecast. None where no rest is
    enough, since a motor no warmer than the air would get too hot as well.
    """
    air, end = build.condition("air_temperature_c"), build.condition("motor_temperature_c") + rise
    if end + _rise_from(build, end) <= MOST_MOTOR_CELSIUS:
        return 0
    start = max(MOST_MOTOR_CELSIUS - rise, air)
    for _ in range(_MOST_TRIES):
        found = MOST_MOTOR_CELSIUS - _rise_from(build, start)
        if max(found, start) <= air:
            return None
        if abs(found - start) < _CLOSE_K:
            pause = pause_until(min(found, start) - _CLOSE_K, end, air)
            return math.ceil(pause / 60) if math.isfinite(pause) else None
        start = max(found, air)
    return None


def _rise_from(build: Build, celsius: float) -> float:
    """Return by how much a run that starts with so warm a motor warms it [K]; inf if none can."""
    if celsius > CONDITION["motor_temperature_c"].high:
        return math.inf
    car = assemble(build.with_condition("motor_temperature_c", celsius))
    return math.inf if car is None else predict(car).motor_rise
