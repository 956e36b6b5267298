"""Ratings at top speed and in the run: turns, tyres, currents, volts and heat."""

from __future__ import annotations

import math

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Facts, Key, amperes, ratio, three_figures
from pennyspeed.domain.checks.rules import LEAST_CELL_VOLTS, MOST_MOTOR_CELSIUS, Rule
from pennyspeed.domain.units import CELSIUS, KMH, MAH, RPM, RPM_PER_V, VOLT
from pennyspeed.physics.cooling import pause_until

_AT_TOP = "at top speed"


def electrical_rpm(facts: Facts) -> Check:
    """Stop where the motor's electrical rpm at top speed is over the controller's."""
    code, slots = "electrical-rpm", ("motor", "controller", "pack")
    limit = facts.number("controller", "max_electrical_rpm")
    poles = facts.number("motor", "poles")
    turns = motor_turns(facts)
    value = None if turns is None or poles is None else turns * poles / 2
    if value is None or limit is None:
        return facts.unknown(code, (("controller", "max_electrical_rpm"),), slots, value, limit)
    text = (
        f"Motor makes {facts.turns(value, unit=False)} electrical rpm {_AT_TOP}, "
        f"controller takes {facts.turns(limit, unit=False)}"
    )
    if facts.level(rules.electrical_rpm) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    advice = f"{_slower_motor(facts, limit / value)}, or one with fewer poles, would keep it under"
    return Check(code, Level.STOP, value, limit, text, advice, slots)


def motor_rpm(facts: Facts) -> Check:
    """Warn where the motor turns faster at top speed than it is rated."""
    code, slots = "motor-rpm", ("motor", "pack", "pinion")
    limit, value = facts.number("motor", "max_rpm"), motor_turns(facts)
    if value is None or limit is None:
        return facts.unknown(code, (("motor", "max_rpm"),), slots, value, limit)
    text = f"Motor turns {facts.turns(value)} {_AT_TOP}, rated {facts.turns(limit, unit=False)}"
    if facts.level(rules.motor_rpm) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    advice = f"{_slower_motor(facts, limit / value)}, or fewer cells, would keep it under"
    return Check(code, Level.WARN, value, limit, text, advice, slots)


def tyre_speed(facts: Facts) -> Check:
    """Warn where the car's top speed is over the tyres' rating."""
    code, slots = "tyre-speed", ("tyres",)
    limit = facts.number("tyres", "rated_kmh")
    found = facts.prediction
    value = KMH.from_si(found.top_speed) if found is not None and found.at_top else None
    if value is None or limit is None:
        return facts.unknown(code, (("tyres", "rated_kmh"),), slots, value, limit)
    text = f"Tyres run {facts.measures.speed(value)} {_AT_TOP}, rated {facts.measures.speed(limit)}"
    if facts.level(rules.tyre_speed) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    advice = f"Tyres rated {facts.measures.speed(_up(value))} or more; they may burst beyond it"
    return Check(code, Level.WARN, value, limit, text, advice, slots)


def current_controller(facts: Facts) -> Check:
    """Warn where the run asks for more than the controller's burst or continuous rating."""
    needs = (("controller", "burst_current_a"), ("controller", "continuous_current_a"))
    burst, continuous = (facts.number(*key) for key in needs)
    return _current(facts, rules.current_controller, "controller", needs, burst, continuous)


def current_motor(facts: Facts) -> Check:
    """Warn where the run asks for more than the motor's peak or continuous rating."""
    needs = (("motor", "peak_current_a"), ("motor", "continuous_current_a"))
    burst, continuous = (facts.number(*key) for key in needs)
    return _current(facts, rules.current_motor, "motor", needs, burst, continuous)


def current_pack(facts: Facts) -> Check:
    """Warn where the run asks the pack for more than its C ratings times its capacity."""
    needs = (("pack", "c_burst"), ("pack", "c_continuous"))
    capacity = facts.number("pack", "capacity_mah") or 0.0
    burst, continuous = (
        None if rating is None else rating * capacity * 1e-3
        for rating in (facts.number(*key) for key in needs)
    )
    return _current(facts, rules.current_pack, "pack", needs, burst, continuous)


def pack_voltage(facts: Facts) -> Check:
    """Warn where a cell falls below 3.2 V under load in the run."""
    code, slots, limit = "pack-voltage", ("pack",), LEAST_CELL_VOLTS
    run = facts.run
    value = None if run is None else run.lowest_cell_voltage
    if value is None:
        return facts.unknown(code, (), slots, None, limit)
    text = (
        f"Each cell falls to {facts.measures.with_unit(value, VOLT, 2)} under load, "
        f"should keep {facts.measures.with_unit(limit, VOLT, 1)}"
    )
    if facts.level(rules.pack_voltage) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    advice = "A pack with less resistance, a fuller one, or a smaller pinion sags less"
    return Check(code, Level.WARN, value, limit, text, advice, slots)


def motor_temperature(facts: Facts) -> Check:
    """Warn where one run heats the motor over 100 °C."""
    code, slots, limit = "motor-temperature", ("motor", "pinion"), MOST_MOTOR_CELSIUS
    if facts.run is None or not heat_is_known(facts):
        needs = () if heat_is_known(facts) else (("motor", "mass_g"),)
        return facts.unknown(code, needs, slots, None, limit)
    start = facts.build.condition("motor_temperature_c")
    value = start + facts.run.motor_rise
    hot, most = (facts.measures.with_unit(one, CELSIUS) for one in (value, limit))
    text = f"Motor gets {hot} hot in one run, should stay under {most}"
    if facts.level(rules.motor_temperature) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    rise, rest = facts.run.motor_rise, rest_minutes(facts.build, facts.run.motor_rise)
    if rest is None:
        advice = (
            f"No rest between runs is enough, as one run warms it by {facts.measures.number(rise)} "
            "K; a smaller pinion or a shorter run warms it less"
        )
    else:
        cooled = facts.measures.with_unit(math.floor(limit - rise), CELSIUS)
        advice = (
            f"After {rest} min of rest it has cooled to {cooled}, from which a run keeps it under "
            f"{most}; a smaller pinion or a shorter run warms it less"
        )
    return Check(code, Level.WARN, value, limit, text, advice, slots)


def pack_flat(facts: Facts) -> Check:
    """Warn where the run, at its starting state, needs more charge than the pack holds."""
    code, slots = "pack-flat", ("pack",)
    found = facts.prediction
    capacity = facts.number("pack", "capacity_mah")
    limit = None if capacity is None else facts.build.condition("state_of_charge") * capacity
    if found is None or found.at_top is None or limit is None:
        return facts.unknown(code, (("pack", "capacity_mah"),), slots, None, limit)
    value = MAH.from_si(found.first_pass_charge)
    say = facts.measures.with_unit
    text = f"Run takes {say(value, MAH)} from the {say(limit, MAH)} in the pack"
    if facts.level(rules.pack_flat) is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    advice = "A fuller or a larger pack, or a shorter run"
    return Check(code, Level.WARN, value, limit, text, advice, slots)


def motor_turns(facts: Facts) -> float | None:
    """Return the motor's speed at top speed [rpm]; None where the car does not move."""
    found = facts.prediction
    at_top = None if found is None else found.at_top
    return None if at_top is None else RPM.from_si(at_top.motor_speed)


def heat_is_known(facts: Facts) -> bool:
    """Tell whether the motor's heat capacity is given, or follows from its mass."""
    return bool(rules.heat_is_known(facts))


def rest_minutes(build: Build, rise: float) -> int | None:
    """Return how long the motor rests after this run for the next to end within its limit [min].

    The next run is taken to warm it by as much, `rise` in kelvin. None where no rest is enough,
    since a motor no warmer than the air would get too hot as well.
    """
    # A whole degree below what is just enough: the sentence shows whole degrees.
    start = math.floor(MOST_MOTOR_CELSIUS - rise)
    end = build.condition("motor_temperature_c") + rise
    if end + rise <= MOST_MOTOR_CELSIUS:
        return 0
    pause = pause_until(start, end, build.condition("air_temperature_c"))
    return math.ceil(pause / 60) if math.isfinite(pause) else None


def _current(
    facts: Facts,
    rule: Rule,
    slot: str,
    needs: tuple[Key, ...],
    burst: float | None,
    continuous: float | None,
) -> Check:
    """Return the worse of burst against asked and continuous against at top."""
    code, slots = f"current-{slot}", (slot, "pinion")
    found = facts.prediction
    at_top = None if found is None else found.at_top
    pack = slot == "pack"
    asked = steady = None
    if found is not None:
        asked = found.asked_pack_current if pack else found.asked_motor_current
    if at_top is not None:
        steady = at_top.pack_current if pack else at_top.current
    pairs = [
        (value, limit, words)
        for value, limit, words in ((asked, burst, "bursts"), (steady, continuous, _AT_TOP))
        if value is not None and limit is not None
    ]
    if not pairs:
        return facts.unknown(code, needs, slots, asked, burst)
    value, limit, words = max(pairs, key=lambda pair: ratio(pair[0], pair[1]))
    level = facts.level(rule)
    if level is Level.UNKNOWN:
        return facts.unknown(code, needs, slots, value, limit)
    amps = amperes(value, limit, facts.measures)
    in_bursts = words == "bursts"
    text = (
        f"Run asks for {amps[0]} A at its most, {slot} rated {amps[1]} A in bursts"
        if in_bursts
        else f"Top speed takes {amps[0]} A, {slot} rated {amps[1]} A continuous"
    )
    if level is Level.OK:
        return Check(code, Level.OK, value, limit, text, slots=slots)
    kind = "in bursts" if in_bursts else "continuous"
    advice = f"A {slot} rated {facts.measures.number(_up(value))} A {kind}"
    teeth = _smaller_pinion(facts, value, limit, in_bursts)
    advice += f", or a pinion of about {teeth} teeth" if teeth else ", or a smaller pinion"
    return Check(code, Level.WARN, value, limit, text, advice, slots)


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
    kv = facts.number("motor", "kv_rpm_per_v") or 0.0
    most = facts.measures.number(three_figures(math.floor(kv * share * 0.99)))
    return f"A motor of about {most} {RPM_PER_V.symbol} or less"


def _up(value: float) -> float:
    """Return the next figure up that a rating is likely to have."""
    step = 5.0 if value < 200 else 10.0
    return math.ceil(value / step) * step
