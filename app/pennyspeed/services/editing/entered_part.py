"""A part as it stands in its form: what is typed, what a listing says, what is worked out.

A figure that nobody typed is worked out at once where the part is new. Of a part that is there
already it stays as it was until it is worked out again.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.estimates.estimate_words import about, likely, origin
from pennyspeed.domain.estimates.rules import lacking, rule_of
from pennyspeed.domain.estimates.work_out import TENTH, Estimate, Estimator
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.editing.part_fields import keys_of, read_part

SAME = 0.005
"""Relative; a figure that would move by less is as it was."""


@dataclass(frozen=True, slots=True)
class EstimateRow:
    """One figure that was worked out, or could be.

    Attributes
    ----------
    number, unit : str
        "9.6" and "mΩ"; "" where it cannot be worked out.
    low, high : float
        Of its likely range over the figure itself.
    likely, origin : str
        "7 to 13" and "can, Kv and 11 motors like it"; without a figure what it waits for.
    is_used : bool
        Whether the car is worked out with it; else it is only offered.
    offer : str
        What 'work out again' would change; "" where nothing.
    """

    key: str
    label: str
    number: str = ""
    unit: str = ""
    low: float = 1.0
    high: float = 1.0
    likely: str = ""
    origin: str = ""
    is_used: bool = True
    offer: str = ""

    @property
    def spoken(self) -> str:
        """All of it, for a screen reader."""
        if not self.number:
            return f"{self.label}: {self.origin}"
        figure = f"about {self.number} {self.unit}".rstrip()
        said = f"{self.label}: {figure}, likely {self.likely}, worked out from {self.origin}"
        return f"{said}; {self.offer}" if self.offer else said


def can_be_worked_out(kind: Kind) -> list[str]:
    """Return the keys of the figures that have a rule, in the order of the kind's fields."""
    return [key for key in keys_of(kind) if rule_of(kind.key, key) is not None]


@dataclass(frozen=True)
class EnteredPart:
    """What a form holds, read as far as it is any good.

    Attributes
    ----------
    base : Part
        What the form was opened with.
    part : Part
        With what is typed.
    open : frozenset of str
        Keys that nobody gives: they are worked out, or could be.
    anew : frozenset of str
        Those of them that are to be worked out whatever they were before.
    """

    base: Part
    part: Part
    faults: Mapping[str, BadInput]
    open: frozenset[str]
    anew: frozenset[str]

    @classmethod
    def read(
        cls,
        base: Part,
        texts: Mapping[str, str],
        sources: Mapping[str, str],
        anew: Collection[str],
        currency: str,
        measures: Measures,
    ) -> EnteredPart:
        """Return what texts say, by the keys of :func:`keys_of`."""
        part, faults = read_part(base, texts, sources, currency, measures)
        kept = [key for key in can_be_worked_out(base.kind) if not texts[key].strip()]
        was_given = {
            key
            for key in kept
            if key in base.figures and base.provenance.get(key) is not Provenance.WORKED_OUT
        }
        fresh = kept if base.id is None else [key for key in kept if key in {*anew, *was_given}]
        without = {key: value for key, value in part.figures.items() if key not in fresh}
        return cls(base, replace(part, figures=without), faults, frozenset(kept), frozenset(fresh))

    def filled(self, estimator: Estimator) -> Part:
        """Return the part with what is to be worked out in it, as far as that can be."""
        if not self.anew:
            return self.part
        return estimator.filled((self.part,), only=(self.anew,))[0]

    def rows(self, estimator: Estimator | None, measures: Measures) -> dict[str, EstimateRow]:
        """Return what there is to say of each open figure; nothing new without the rules."""
        found = {} if estimator is None else estimator.estimates(self.part, anew=True)
        return {key: self._row(key, found.get(key), measures) for key in self.open}

    def _row(self, key: str, now: Estimate | None, measures: Measures) -> EstimateRow:
        kind = self.base.kind
        field = kind.field(key)
        stored = self.part.number(key) if key in self.part.figures else None
        value = spread = None
        if stored is not None:
            value, spread = stored, self.part.spread_of(key)
        elif now is not None:
            value, spread = now.value, now.spread
        if value is None or spread is None:
            waits = [kind.field(one).label for one in lacking(kind.key, self.part.figures, key)]
            *most, last = waits or ["more than is known"]
            needed = f"{', '.join(most)} and {last}" if most else last
            return EstimateRow(key, field.label, origin=f"needs {needed}")
        unit = measures.unit_for(field.unit).symbol
        text = about(field, value, spread, measures).removeprefix("about ")
        reach = math.exp(TENTH * spread)
        is_used = stored is not None or key in self.anew
        offer = ""
        if stored is not None and now is not None and abs(now.value / stored - 1.0) > SAME:
            offer = f"{about(field, now.value, now.spread, measures)} by now; W works it out again"
        elif not is_used:
            counts = "counts as 0" if field.default == 0 else "not known"
            offer = f"{counts} so far; W works it out"
        return EstimateRow(
            key,
            field.label,
            text.removesuffix(unit).strip() if unit else text,
            unit,
            1.0 / reach,
            reach,
            likely(field, value, spread, measures),
            origin(kind, now) if now is not None else "what was known then",
            is_used,
            offer,
        )
