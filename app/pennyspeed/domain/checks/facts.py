"""What the checks look at, and the phrases that they share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from pennyspeed.domain.assembly import assemble, slots_of
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.seen import Readings, readings
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.parts.fields import Field, Value
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction

_LENGTH = BY_KEY["chassis"].field("motor_can_mm")

Key: TypeAlias = tuple[str, str]
"""Slot and key of a figure."""


@dataclass(frozen=True, slots=True)
class Facts:
    """One build and what was worked out about it."""

    build: Build
    prediction: Prediction | None
    """None where a slot is empty or nothing has a mass."""
    costs: Costs
    mass_kg: float
    measures: Measures = METRIC
    """How the sentences write figures."""
    leads: Leads | None = None
    readings: Readings = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "readings", readings(self.prediction))

    @property
    def cap_left(self) -> float:
        """Of the cap, in minor units; NaN without one."""
        return math.nan if self.costs.left is None else float(self.costs.left.minor)

    @property
    def unpriced(self) -> bool:
        """Something that counts has no price."""
        return bool(self.costs.unpriced)

    @property
    def comes_late(self) -> bool:
        """Something that is awaited comes after the event."""
        build = self.build
        return any(build.comes_late(line) for line in build.lines if line.is_awaited)

    @property
    def undated(self) -> bool:
        """For something that is awaited no day is known."""
        build = self.build
        return any(build.awaited_on(line) is None for line in build.lines if line.is_awaited)

    @property
    def unweighed(self) -> bool:
        """Some part lacks its mass."""
        return any(part.known("mass_g") is None for part in slots_of(self.build).values())

    def figure(self, slot: str, key: str) -> float:
        """Return :meth:`known` where it is a number, else NaN."""
        part = self.build.part(slot)
        found = None if part is None else part.known_number(key)
        return math.nan if found is None else found

    def sides(self, slot: str, key: str) -> tuple[float, float, float]:
        """Return a size, NaN where it is not known."""
        found = self.known(slot, key)
        return found if isinstance(found, tuple) else (math.nan,) * 3

    def plug(self, slot: str) -> str:
        """Return the name of a connector as it is compared: case and outer blanks aside."""
        return plug_name(self.known(slot, "connector"))

    @property
    def run(self) -> Prediction | None:
        """The prediction where the run itself moves, second pass; else None."""
        found = self.prediction
        return found if found is not None and found.balance_speed > 0.0 else None

    def known(self, slot: str, key: str) -> Value | None:
        """Return a figure that was given, or that counts as known by default."""
        part = self.build.part(slot)
        return None if part is None else part.known(key)

    def with_figure(self, slot: str, key: str, value: float) -> Facts:
        """Return the facts of the same build with one figure of a part changed, forecast anew."""
        part = self.build.parts[slot]
        changed = replace(part, figures={**part.figures, key: value})
        return self.of(replace(self.build, parts={**self.build.parts, slot: changed}))

    def with_condition(self, key: str, value: float) -> Facts:
        """Return the facts of the same build under another condition, forecast anew."""
        return self.of(self.build.with_condition(key, value))

    def of(self, build: Build) -> Facts:
        """Return the facts of a build that differs in its figures alone, forecast anew."""
        car = assemble(build)
        return replace(self, build=build, prediction=None if car is None else predict(car))

    def length(self, value: float) -> str:
        """Return a part's length given in mm."""
        return length(value, self.measures)

    def missing(self, needs: Sequence[Key]) -> tuple[str, str]:
        """Say what is missing of the figures that a check needs, and what would help.

        Where every figure is there, it is the run that is missing.
        """
        gone = dict.fromkeys(slot for slot, _ in needs if self.build.part(slot) is None)
        if gone:
            return f"Still missing: {labels(tuple(gone))}", ""
        names: dict[str, list[str]] = {}
        for slot, key in needs:
            if not _said(self.known(slot, key)):
                names.setdefault(slot, []).append(field_of(slot, key).label)
        if not names:
            return self.no_run, ""
        text = ", ".join(
            f"{together(some)} of the {BY_KEY[slot].label}" for slot, some in names.items()
        )
        return f"Not known: {text}", "Enter it to have this checked"

    @property
    def no_run(self) -> str:
        """Why nothing can be said about the run."""
        if self.build.empty_slots:
            missing = labels(self.build.empty_slots)
            return f"Cannot be said before the car is whole: {missing} missing"
        if self.prediction is None:
            return "Cannot be said before something has a mass"
        if self.run is not None:
            return "Cannot be said from what is known"
        return "Cannot be said of a car that does not move"


def field_of(slot: str, key: str) -> Field:
    """Return the declaration of a slot's figure."""
    return BY_KEY[slot].field(key)


def length(value: float, measures: Measures, unit: bool = True) -> str:
    """Return a part's length given in mm."""
    return measures.figure(_LENGTH, value, unit)


def labels(slots: Sequence[str]) -> str:
    """Return slots as a sentence lists them.

    >>> labels(["pack"]), labels(["motor", "pack", "body"])
    ('pack', 'motor, pack and body')
    """
    names = [BY_KEY[slot].label for slot in slots]
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]


def together(names: Sequence[str]) -> str:
    """Return names of figures as one phrase, the words that they end with said once.

    >>> together(["burst current", "continuous current"]), together(["length"])
    ('burst and continuous current', 'length')
    >>> together(["poles", "length"])
    'poles and length'
    """
    words = [name.split() for name in names]
    shared = 0
    while len(names) > 1 and all(len(one) > shared + 1 for one in words):
        if len({one[-1 - shared] for one in words}) > 1:
            break
        shared += 1
    *tops, last = (" ".join(one[: len(one) - shared]) for one in words)
    listed = f"{', '.join(tops)} and {last}" if tops else last
    return " ".join((listed, *words[-1][len(words[-1]) - shared :]))


def plug_name(value: Value | None) -> str:
    """Return the name of a connector as it is compared; "" where it is not known."""
    return str(value or "").strip().casefold()


def _said(value: Value | None) -> bool:
    """Tell whether something was given; a text of blanks says nothing."""
    return bool(value.strip()) if isinstance(value, str) else value is not None


def ratio(value: float, limit: float) -> float:
    """Return value over limit, by which the worst of several is found."""
    if limit > 0.0:
        return value / limit
    return math.inf if value > 0.0 else 1.0


def amperes(value: float, limit: float, measures: Measures) -> tuple[str, str]:
    """Return a current and its rating, each with a decimal below 10 A and where they look alike.

    >>> amperes(35.2, 2.4, METRIC), amperes(120.4, 120.0, METRIC), amperes(150.0, 120.0, METRIC)
    (('35', '2.4'), ('120.4', '120.0'), ('150', '120'))
    """
    alike = value != limit and round(value) == round(limit)
    one, other = (
        measures.number(side, 1 if alike or (side < 10.0 and side != int(side)) else 0)
        for side in (value, limit)
    )
    return one, other


def three_figures(value: float) -> float:
    """Return `value` rounded to three figures; whole below a thousand.

    >>> three_figures(58171.4), three_figures(845.6)
    (58200.0, 846.0)
    """
    if abs(value) < 1000:
        return float(round(value))
    return round(value, 2 - math.floor(math.log10(abs(value))))


def next_rating(value: float) -> float:
    """Return the next figure up that a rating is likely to have."""
    step = 5.0 if value < 200 else 10.0
    return math.ceil(value / step) * step
