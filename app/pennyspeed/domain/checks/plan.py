"""Scales, purse and calendar: masses that are missing, the cap, and what comes too late."""

from __future__ import annotations

from datetime import date

from pennyspeed.domain.assembly import slots_of
from pennyspeed.domain.checks import rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Facts, labels
from pennyspeed.domain.costs import COMMITTED
from pennyspeed.domain.units import KG

# The calendar module's names change with the locale that Qt sets; these sentences are English.
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def masses(facts: Facts) -> Check:
    """Tell whether every part in the build has its mass; one that has none counts as zero."""
    code = "masses"
    build = facts.build
    value = facts.mass_kg * 1000
    unweighed = {
        slot: part for slot, part in slots_of(build).items() if part.known("mass_g") is None
    }
    slots = tuple(dict.fromkeys(part.kind_key for part in unweighed.values()))
    if unweighed:
        names = ", ".join(part.name for part in unweighed.values())
        text = f"Without a mass, counted as nothing: {names}"
        advice = "Weigh it and enter the mass; a lighter car than the real one looks too quick"
        return Check(code, Level.UNKNOWN, value, None, text, advice, slots)
    if build.empty_slots:
        text = f"Not the whole car yet: {labels(build.empty_slots)} missing"
        return Check(code, Level.UNKNOWN, value, None, text, slots=build.empty_slots)
    if facts.mass_kg <= 0.0:
        return Check(code, Level.UNKNOWN, value, None, "Everything is said to weigh nothing")
    text = f"Every part has its mass: {facts.measures.number(facts.mass_kg, 2)} {KG.symbol} in all"
    return Check(code, Level.OK, value, None, text)


def cap(facts: Facts) -> Check:
    """Warn where what counts costs more than the cap."""
    code, costs, money = "cap", facts.costs, facts.measures.money
    value = str(costs.counted)
    if costs.cap is None or costs.left is None:
        text = f"{money(costs.counted)} so far; no cap is set"
        return Check(code, Level.UNKNOWN, value, None, text, "Set the most that you will spend")
    limit = str(costs.cap)
    of_cap = f"{money(costs.counted, currency=False)} of {money(costs.cap)}"
    level = facts.level(rules.cap)
    if level is Level.WARN:
        text = f"{of_cap}: {money(-costs.left)} over the cap"
        return Check(code, Level.WARN, value, limit, text, _dearest(facts))
    if level is Level.UNKNOWN:
        text = f"{of_cap}, without a price yet: {', '.join(costs.unpriced)}"
        return Check(code, Level.UNKNOWN, value, limit, text, "Enter what it costs")
    return Check(code, Level.OK, value, limit, f"{of_cap}: {money(costs.left)} left")


def late(facts: Facts) -> Check:
    """Warn where something that is not here yet comes after the event."""
    code, event = "late", facts.build.event_date
    awaited = [line for line in facts.build.lines if line.status not in COMMITTED]
    dated = [(line.arrives, line) for line in awaited if line.arrives is not None]
    last = max((day for day, _ in dated), default=None)
    value = None if last is None else last.isoformat()
    if event is None:
        return Check(code, Level.UNKNOWN, value, None, "No day is set for the event")
    limit = event.isoformat()
    after = [(day, line) for day, line in dated if day > event]
    if facts.level(rules.late) is Level.WARN:
        after.sort(key=lambda one: one[0], reverse=True)
        (day, line), *others = after
        late_by = (day - event).days
        days = "a day" if late_by == 1 else f"{late_by} days"
        text = f"{line.called} comes {_day(day)}, {days} after the event"
        if others:
            text += f"; too late as well: {', '.join(other.called for _, other in others)}"
        advice = "Another supplier, or a part that is here in time"
        slots = tuple(dict.fromkeys(line.part for _, line in after if line.part))
        return Check(code, Level.WARN, value, limit, text, advice, slots)
    undated = [line.called for line in awaited if line.arrives is None]
    if undated:
        text = f"Not here yet, and no day known: {', '.join(undated)}"
        return Check(code, Level.UNKNOWN, value, limit, text, "Ask when it comes")
    return Check(code, Level.OK, value, limit, f"Everything is here by the event on {_day(event)}")


def _day(day: date) -> str:
    """Write a day as a sentence does: 16 April 2027."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def _dearest(facts: Facts) -> str:
    """Name the dearest thing that is not bought yet."""
    currency = facts.build.currency
    open_lines = [
        (cost, line)
        for line in facts.build.lines
        if line.counts and line.status not in COMMITTED and (cost := line.cost(currency))
    ]
    if not open_lines:
        return "All of it is bought"
    cost, line = max(open_lines, key=lambda one: one[0].minor)
    return f"Dearest still to buy: {line.called}, {facts.measures.money(cost)}"
