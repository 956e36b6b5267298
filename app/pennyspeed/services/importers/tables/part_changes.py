"""What differs between a part as it is and as a row would leave it."""

from __future__ import annotations

import math

from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.parts.fields import Value
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import WORDS
from pennyspeed.services.importers.tables.prices import PRICE_TARGETS
from pennyspeed.services.importers.tables.rows import Change

_BESIDE_AMOUNT = tuple(
    (target, target.key) for target in PRICE_TARGETS if target.key not in ("price", "currency")
)

_SAME_TO = 1e-9
"""Relative; what a unit's conversion there and back may change. Exports write ten digits."""


def changes_of(old: Part, new: Part, measures: Measures) -> tuple[Change, ...]:
    """Return what differs between a part as it was and as it would be."""
    found: list[Change] = []
    if (old.figures, old.provenance, old.spread) != (new.figures, new.provenance, new.spread):
        for declared in new.kind.fields:
            key = declared.key
            was, now = old.figures.get(key), new.figures.get(key)
            if was != now:
                texts = (measures.figure(declared, value) for value in (was, now))
                found.append(Change(declared.label, *texts))
            elif old.provenance.get(key) != new.provenance.get(key):
                sources = (f"({WORDS[one.provenance_of(key)]})" for one in (old, new))
                found.append(Change(declared.label, *sources))
            elif old.spread.get(key) != new.spread.get(key):
                spreads = (f"(± {100 * one.spread_of(key):.3g} %)" for one in (old, new))
                found.append(Change(declared.label, *spreads))
    if old.price != new.price:
        found += price_changes(old.price, new.price, measures)
    for what, was_text, now_text in (
        ("note", old.note, new.note),
        ("picture", old.picture, new.picture),
    ):
        if was_text != now_text:
            found.append(Change(what, was_text, now_text))
    return tuple(found)


def price_changes(old: Price | None, new: Price | None, measures: Measures) -> list[Change]:
    """Return what differs between two prices."""
    found: list[Change] = []
    was, now = (None if one is None else one.amount for one in (old, new))
    if was != now:
        texts = (NOT_KNOWN if one is None else measures.money(one) for one in (was, now))
        found.append(Change("price", *texts))
    if old is not None and new is not None:
        for target, attribute in _BESIDE_AMOUNT:
            before, after = getattr(old, attribute), getattr(new, attribute)
            if before != after:
                words = ("" if one is None else str(one) for one in (before, after))
                found.append(Change(target.label, *words))
    return found


def is_same(old: Value, new: Value) -> bool:
    """Tell whether a figure is the one that is there, but for a unit's conversion and back."""
    if old == new:
        return True
    if isinstance(old, str) or isinstance(new, str):
        return isinstance(old, str) and old.strip() == new
    olds, news = (value if isinstance(value, tuple) else (value,) for value in (old, new))
    return len(olds) == len(news) and all(
        math.isclose(one, other, rel_tol=_SAME_TO) for one, other in zip(olds, news, strict=True)
    )
