"""Scales, purse and calendar: masses that are missing, the cap, and what comes too late."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from pennyspeed.domain.assembly import slots_of
from pennyspeed.domain.checks.check import Check
from pennyspeed.domain.checks.facts import Facts, labels
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import Bools, Seen, told
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.calendar import Leads, arrivals_of, lead_of, order_by
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import OPEN, Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import KG


class Masses(Check):
    """Tell whether every part in the build has its mass; one that has none counts as zero."""

    code = "masses"
    worst = Level.UNKNOWN
    broken = "a mass is missing"
    lacking = "a mass"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        return False, seen.readings.whole & (seen.unweighed ^ True)

    def outcome(self, facts: Facts) -> Outcome:
        build, value = facts.build, facts.mass_kg * 1000
        unweighed = [part for part in slots_of(build).values() if part.known("mass_g") is None]
        if unweighed:
            slots = tuple(dict.fromkeys(part.kind_key for part in unweighed))
            names = ", ".join(part.name for part in unweighed)
            text = f"Without a mass, counted as nothing: {names}"
            advice = "Weigh it and enter the mass; a lighter car than the real one looks too quick"
            return self.ends(Level.UNKNOWN, value, None, text, advice, slots)
        if build.empty_slots:
            text = f"Not the whole car yet: {labels(build.empty_slots)} missing"
            return self.ends(Level.UNKNOWN, value, None, text, slots=build.empty_slots)
        if facts.mass_kg <= 0.0:
            return self.ends(Level.UNKNOWN, value, None, "Everything is said to weigh nothing")
        mass = facts.measures.number(facts.mass_kg, 2)
        text = f"Every part has its mass: {mass} {KG.symbol} in all"
        return self.ends(Level.OK, value, None, text)


class Cap(Check):
    """Warn where what counts costs more than the cap."""

    code = "cap"
    worst = Level.WARN
    every_choice = True
    broken = "over the cap"
    lacking = "price"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        left = seen.cap_left
        return left < 0.0, told(left) & (seen.unpriced ^ True)

    def outcome(self, facts: Facts) -> Outcome:
        costs, money, level = facts.costs, facts.measures.money, self.level(facts)
        value = str(costs.counted)
        if costs.cap is None or costs.left is None:
            text = f"{money(costs.counted)} {costs.left_out}".rstrip() + " so far; no cap is set"
            return self.ends(level, value, None, text, "Set the most that you will spend")
        limit = str(costs.cap)
        of_cap = f"{money(costs.counted, currency=False)} of {money(costs.cap)}"
        if level is Level.WARN:
            text = f"{of_cap}: {money(-costs.left)} over the cap {costs.left_out}".rstrip()
            return self.ends(level, value, limit, text, _dearest(facts))
        if level is Level.UNKNOWN:
            text = f"{of_cap}, without a price yet: {', '.join(costs.unpriced)}"
            return self.ends(level, value, limit, text, "Enter what it costs")
        return self.ends(level, value, limit, f"{of_cap}: {money(costs.left)} left")

    def by_how_much(self, value: str, limit: str, measures: Measures) -> str:
        places = len(limit.partition(".")[2])
        more = measures.number(float(Decimal(value) - Decimal(limit)), places)
        return f"{more} over the cap"


class Late(Check):
    """Warn where something that is not here yet comes after the event."""

    code = "late"
    worst = Level.WARN
    broken = "comes too late"
    lacking = "arrival"

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        if seen.build.event_date is None:
            return False, False
        return seen.comes_late, seen.undated ^ True

    def outcome(self, facts: Facts) -> Outcome:
        build, event, level = facts.build, facts.build.event_date, self.level(facts)
        awaited = [(build.awaited_on(line), line) for line in build.lines if line.is_awaited]
        dated = [(day, line) for day, line in awaited if day is not None]
        last = max((day for day, _ in dated), default=None)
        value = None if last is None else last.isoformat()
        if event is None:
            return self.ends(level, value, None, "No day is set for the event")
        limit = event.isoformat()
        if level is Level.WARN:
            after = [(day, line) for day, line in dated if day > event]
            after.sort(key=lambda one: one[0], reverse=True)
            (day, line), *others = after
            late_by = say_days((day - event).days)
            text = f"{line.called} comes {say_day(day)}, {late_by} after the event"
            if others:
                text += f"; too late as well: {', '.join(other.called for _, other in others)}"
            in_time = [line for day, line in awaited if day is None or day <= event]
            advice = "Another supplier, or a part that is here in time"
            advice = ". ".join(filter(None, (advice, _order_by(facts, event, in_time))))
            slots = tuple(dict.fromkeys(line.part for _, line in after if line.part))
            return self.ends(level, value, limit, text, advice, slots)
        to_order = _order_by(facts, event, [line for _, line in awaited])
        if level is Level.UNKNOWN:
            names = [line.called for day, line in awaited if day is None]
            text = f"Not here yet, and no day known: {', '.join(names)}"
            return self.ends(level, value, limit, text, to_order or "Ask when it comes")
        text = f"Everything is here by the event on {say_day(event)}"
        return self.ends(level, value, limit, text, to_order)


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
