"""Scales, purse and calendar: masses that are missing, the cap, and what comes too late."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pennyspeed.domain.assembly import slots_of
from pennyspeed.domain.checks import rules
from pennyspeed.domain.checks.check import Check, Level
from pennyspeed.domain.checks.facts import Facts, labels
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.calendar import Leads, arrivals_of, lead_of, order_by
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import OPEN, Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import KG


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
    build = facts.build
    awaited = [(build.awaited_on(line), line) for line in build.lines if line.is_awaited]
    dated = [(day, line) for day, line in awaited if day is not None]
    last = max((day for day, _ in dated), default=None)
    value = None if last is None else last.isoformat()
    if event is None:
        return Check(code, Level.UNKNOWN, value, None, "No day is set for the event")
    limit = event.isoformat()
    after = [(day, line) for day, line in dated if day > event]
    if facts.level(rules.late) is Level.WARN:
        after.sort(key=lambda one: one[0], reverse=True)
        (day, line), *others = after
        late_by = say_days((day - event).days)
        text = f"{line.called} comes {say_day(day)}, {late_by} after the event"
        if others:
            text += f"; too late as well: {', '.join(other.called for _, other in others)}"
        advice = "Another supplier, or a part that is here in time"
        in_time = [line for day, line in awaited if day is None or day <= event]
        advice = ". ".join(filter(None, (advice, _order_by(facts, event, in_time))))
        slots = tuple(dict.fromkeys(line.part for _, line in after if line.part))
        return Check(code, Level.WARN, value, limit, text, advice, slots)
    undated = [line for day, line in awaited if day is None]
    to_order = _order_by(facts, event, [line for _, line in awaited])
    if undated:
        names = [line.called for line in undated]
        text = f"Not here yet, and no day known: {', '.join(names)}"
        return Check(code, Level.UNKNOWN, value, limit, text, to_order or "Ask when it comes")
    text = f"Everything is here by the event on {say_day(event)}"
    return Check(code, Level.OK, value, limit, text, to_order)


def _order_by(facts: Facts, event: date, lines: Sequence[Line]) -> str:
    """Say what is to be ordered first and by when; "" where nobody knows how long it takes."""
    build = facts.build
    leads = Leads.of(arrivals_of(build)) if facts.leads is None else facts.leads
    planned = [line for line in lines if line.status is Status.PLANNED]
    known = [(lead_of(build, leads, line), line.called) for line in planned]
    days = [(order_by(event, lead), name) for lead, name in known if lead is not None]
    if not days:
        return ""
    first = min(day for day, _ in days)
    names = ", ".join(name for day, name in days if day == first)
    return f"Order by {say_day(first)}: {names}"


def _dearest(facts: Facts) -> str:
    """Name the dearest thing that is not bought yet."""
    entries = [
        entry
        for entry in book(facts.build).entries
        if entry.counts and entry.line.status in OPEN and entry.goods is not None
    ]
    if not entries:
        return "All of it is bought"
    dearest = max(entries, key=lambda entry: entry.total)
    cost = facts.measures.money(Money(dearest.total, facts.build.currency))
    return f"Dearest still to buy: {dearest.line.called}, {cost}"
