"""A figure that was worked out, in words: as exactly as it is known, and what it came from."""

from __future__ import annotations

import math

from pennyspeed.domain.estimates.work_out import TENTH, Estimate
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.fields import Field
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance

_SHORT = {
    "can_mm": "can",
    "length_mm": "can",
    "resistance_mohm": "resistance",
    "capacity_mah": "capacity",
    "cells_series": "cells",
    "cells_parallel": "",
    "c_continuous": "C rating",
    "continuous_current_a": "current",
    "module_mm": "module",
    "diameter_mm": "diameter",
    "growth_at_kmh": "",
}
"""What a figure is called among others; its label where it is not here."""
_MOST_DECIMALS = 6


def about(field: Field, value: float, spread: float, measures: Measures) -> str:
    """Return a figure to the digit that its spread leaves any sense: "about 9.6 mΩ"."""
    shown = measures.shown(value, field.unit)
    text = measures.number(shown, _decimals(shown * spread / 3.0, shown))
    symbol = measures.unit_for(field.unit).symbol
    return f"about {text} {symbol}" if symbol else f"about {text}"


def likely(field: Field, value: float, spread: float, measures: Measures) -> str:
    """Return the range that holds it 8 times in 10: "7 to 14"."""
    shown, reach = measures.shown(value, field.unit), math.exp(TENTH * spread)
    low, high = shown / reach, shown * reach
    decimals = _decimals((high - low) / 5.0, low)
    return f"{measures.number(low, decimals)} to {measures.number(high, decimals)}"


def _decimals(step: float, least: float) -> int:
    """Return the decimals that show steps of that size, and a first digit of `least`."""
    finest = min(step, least)
    return 0 if finest <= 0.0 else min(max(0, -math.floor(math.log10(finest))), _MOST_DECIMALS)


def origin(kind: Kind, estimate: Estimate) -> str:
    """Return what it came from: "can, Kv and 11 motors like it"."""
    words = [_SHORT.get(key, kind.field(key).label) for key in estimate.features]
    if estimate.peers:
        parts = f"1 {kind.label}" if estimate.peers == 1 else f"{estimate.peers} {kind.plural}"
        words.append(f"{parts} like it")
    else:
        words.append("a rule")
    *most, last = dict.fromkeys(filter(None, words))
    return f"{', '.join(most)} and {last}" if most else last


def sentence(kind: Kind, estimate: Estimate, measures: Measures) -> str:
    """Return all of it: "about 9.6 mΩ, likely 7 to 14, worked out from can, Kv and a rule"."""
    known = _known(kind.field(estimate.key), estimate.value, estimate.spread, measures)
    return f"{known}, worked out from {origin(kind, estimate)}"


def stored_words(part: Part, key: str, measures: Measures) -> str:
    """Return what a part's figure is if it was worked out, without what it came from; else ""."""
    value = part.number(key)
    if value is None or part.provenance.get(key) is not Provenance.WORKED_OUT:
        return ""
    return _known(BY_KEY[part.kind_key].field(key), value, part.spread_of(key), measures)


def _known(field: Field, value: float, spread: float, measures: Measures) -> str:
    return (
        f"{about(field, value, spread, measures)}, likely {likely(field, value, spread, measures)}"
    )
