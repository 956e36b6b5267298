"""Figures as a person types them: with a unit or without, in the person's own marks."""

from __future__ import annotations

import re

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.fields import Field, Value
from pennyspeed.domain.units import MODULE

_ENDS_BARE = re.compile(r"[\d.,]$")


def ungrouped(text: str, measures: Measures) -> str:
    """Return typed text without the person's own group marks, where they stand as such.

    >>> ungrouped("1,200 EUR", Measures()), ungrouped("2,5", Measures())
    ('1200 EUR', '2,5')
    """
    mark = re.escape(measures.group)
    groups = re.compile(rf"(?<![\d.,])\d{{1,3}}(?:{mark}\d{{3}})+(?!\d)")
    return groups.sub(lambda found: found[0].replace(measures.group, ""), text)


def read_figure(field: Field, text: str, measures: Measures) -> Value | None:
    """Return what typed `text` says in the key's unit, or raise BadInput.

    A bare number is in the person's unit.
    """
    text = ungrouped(text.strip(), measures)
    if not text:
        return field.read("", field.label)
    symbol = measures.unit_for(field.unit).symbol
    # A gear's size is a module where no pitch is named, whatever the person's lengths are in.
    is_own = field.unit.quantity in ("share", MODULE.quantity)
    bare = _ENDS_BARE.search(text) and symbol and not is_own
    return field.read(f"{text} {symbol}" if bare else text, field.label)


def shown_value(field: Field, value: Value | None, measures: Measures) -> str:
    """Return a figure as it is edited, with its unit, so that it reads back the same."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    target = measures.unit_for(field.unit)
    sides = value if isinstance(value, tuple) else (value,)
    # Ten digits carry a converted figure there and back within what any caliper shows.
    texts = [f"{measures.shown(side, field.unit):.10g}" for side in sides]
    texts = [text.replace(".", measures.decimal) if "e" not in text else text for text in texts]
    return " x ".join(texts) + (f" {target.symbol}" if target.symbol else "")
