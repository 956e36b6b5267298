"""Check: what one check compares and all that is said of it, in one place."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Any

from pennyspeed.domain.checks.facts import Facts, Key
from pennyspeed.domain.checks.outcome import Level, Outcome
from pennyspeed.domain.checks.seen import LEVELS, Bools, Levels, Seen, over, stopped, told, verdict
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.physics.car import Floats

FINE = "fine"


class Check(ABC):
    """One check: its rule, its sentence and advice, and the few words that a row has room for."""

    code: str
    """What files and the command line call it."""
    worst: Level
    """How it ends where it is broken, unless it `stops`."""
    slots: tuple[str, ...] = ()
    """The slots it concerns."""
    every_choice = False
    """It concerns whatever part is chosen, in any slot."""
    needs: tuple[Key, ...] = ()
    """The figures without which it cannot be said."""
    broken: str
    """A broken check in about twenty letters."""
    lacking = ""
    """What a row says is not known; "" where no single figure is to blame."""

    @abstractmethod
    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        """Tell where it is broken, and where that is known: for one car or for thousands."""

    @abstractmethod
    def outcome(self, facts: Facts) -> Outcome:
        """Return how it ends for one build: a sentence that says by how much, and what helps."""

    def stops(self, seen: Seen) -> Bools:
        """Tell where a check that warns is broken so far that it stops the car."""
        return False

    def by_how_much(self, value: Any, limit: Any, measures: Measures) -> str:
        """Say in a row's few words by how much an outcome's value breaks its limit, or ""."""
        return ""

    def levels(self, seen: Seen) -> Levels:
        """Return the place of its level in `LEVELS`, or an array of places for many cars."""
        return stopped(self.stops(seen), verdict(LEVELS.index(self.worst), *self.rule(seen)))

    def level(self, facts: Facts) -> Level:
        """Return its level for one build."""
        return LEVELS[int(self.levels(facts))]

    def brief(self, outcome: Outcome, measures: Measures = METRIC) -> str:
        """Say its outcome in about twenty letters, by how much where that has room."""
        level, value, limit = outcome.level, outcome.value, outcome.limit
        if level in (Level.STOP, Level.WARN) and value is not None and limit is not None:
            return self.by_how_much(value, limit, measures) or self.broken
        return self.in_general(level)

    def in_general(self, level: Level) -> str:
        """Say an outcome of which only the level is known."""
        if level is Level.OK:
            return FINE
        if level is Level.UNKNOWN:
            return f"{self.lacking} not known" if self.lacking else "cannot be said yet"
        return self.broken

    def ends(
        self,
        level: Level,
        value: float | str | None,
        limit: float | str | None,
        text: str,
        advice: str = "",
        slots: tuple[str, ...] | None = None,
    ) -> Outcome:
        """Return an outcome of this check; it concerns other slots where some are given."""
        slots = self.slots if slots is None else slots
        return Outcome(self.code, level, value, limit, text, advice, slots)

    def unknown(
        self, facts: Facts, value: float | str | None = None, limit: float | str | None = None
    ) -> Outcome:
        """Return the outcome that cannot be said, with what is missing for it.

        A value or a limit that is NaN is not known.
        """
        value, limit = (None if one != one else one for one in (value, limit))
        return self.ends(Level.UNKNOWN, value, limit, *facts.missing(self.needs))


class Limit(Check):
    """A check that holds one value against one limit."""

    def compared(self, seen: Seen) -> tuple[Floats, Floats]:
        """Return value and limit, NaN where not known: the two figures it needs."""
        value, limit = (seen.figure(slot, key) for slot, key in self.needs)
        return value, limit

    @staticmethod
    def passed(value: Floats, limit: Floats, /) -> Bools:
        """Tell where the limit is passed: `over` it, unless a check says `under` or `unlike`."""
        return over(value, limit)

    @abstractmethod
    def text(self, facts: Facts, value: float, limit: float) -> str:
        """Say both, whether the limit is passed or not."""

    @abstractmethod
    def advice(self, facts: Facts, value: float, limit: float) -> str:
        """Say what would help where it is passed."""

    def rule(self, seen: Seen) -> tuple[Bools, Bools]:
        value, limit = self.compared(seen)
        return self.passed(value, limit), told(value, limit)

    def outcome(self, facts: Facts) -> Outcome:
        value, limit = (float(one) for one in self.compared(facts))
        if not told(value, limit):
            return self.unknown(facts, value, limit)
        text = self.text(facts, value, limit)
        if not self.passed(value, limit):
            return self.ends(Level.OK, value, limit, text)
        advice = self.advice(facts, value, limit)
        return self.ends(self.level(facts), value, limit, text, advice)
