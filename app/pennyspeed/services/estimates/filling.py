"""Filling in: the one way by which figures that were left out get worked out.

A new part gets all that can be worked out. Of one that is there already only what is taken out of
it: old parts stay as they are until somebody asks for more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.estimates.rules import lacking, rules_of
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.estimates.peers import Estimators


@dataclass(frozen=True, slots=True)
class Entered:
    """A part as it was entered."""

    part: Part
    before: Part | None = None
    """What it changes; None where it is new."""


def left_out(entered: Entered) -> frozenset[str]:
    """Return the keys of the figures that are to be worked out."""
    part, before = entered.part, entered.before
    return frozenset(
        rule.key
        for rule in rules_of(part.kind_key)
        if part.figures.get(rule.key) is None
        and (before is None or before.figures.get(rule.key) is not None)
    )


def fill_in(entered: Sequence[Entered], estimators: Estimators) -> list[Part]:
    """Return the parts with what was left out of them worked out, as far as that can be.

    Raises
    ------
    BadInput
        Where what follows for a figure that a part cannot do without is out of its range.
    """
    parts = [one.part for one in entered]
    wanted: dict[str, dict[int, frozenset[str]]] = {}
    for row, one in enumerate(entered):
        keys = left_out(one)
        if keys:
            wanted.setdefault(one.part.kind_key, {})[row] = keys
    for kind_key, keys_of in wanted.items():
        rows = list(keys_of)
        filled = estimators.of(kind_key).filled(
            [parts[row] for row in rows], only=list(keys_of.values())
        )
        needed = [field for field in BY_KEY[kind_key].fields if field.required]
        for row, part in zip(rows, filled, strict=True):
            parts[row] = part
            for field in needed:
                is_left = field.key in keys_of[row] and part.figures.get(field.key) is None
                if is_left and not lacking(kind_key, part.figures, field.key):
                    raise BadInput(field.label, None, field.expected)
    return parts
