"""Steps of spending: what makes each, and the circle that says how far it is."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from pennyspeed.domain.money.timeline import Span, Steps
from pennyspeed.services.money.money_words import slot_label, step_day
from pennyspeed.services.money.status_circles import CROSSED, FULL, HALF, OPEN, sign_of

CIRCLES = (FULL, CROSSED, HALF, OPEN)
"""Of one day, in the order of their steps."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the day, the sum after it in minor units, and the lines that make it."""

    day: date
    level: int
    amount: int
    sign: str
    spans: tuple[Span, ...]

    @property
    def name(self) -> str:
        """What makes it: two things by name, more by their number."""
        names = [slot_label(span.entry.line) or span.entry.line.called for span in self.spans]
        return " and ".join(names) if len(names) <= 2 else f"{len(names)} lines"


def steps_of(steps: Steps) -> list[Step]:
    """Return the steps in their order: of one day what is spent, then promised, then planned."""
    groups: dict[tuple[date, int], list[Span]] = {}
    for span in steps.spans:
        key = step_day(span), CIRCLES.index(sign_of(span.entry.line.status))
        groups.setdefault(key, []).append(span)
    found, level = [], 0
    for (day, place), spans in sorted(groups.items(), key=lambda pair: pair[0]):
        amount = sum(span.entry.total for span in spans)
        level += amount
        found.append(Step(day, level, amount, CIRCLES[place], tuple(spans)))
    return found
