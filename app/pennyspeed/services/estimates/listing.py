"""What can be worked out, as a list for the command line and as JSON values."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from pennyspeed.domain.estimates.estimate_words import about, likely, origin
from pennyspeed.domain.estimates.work_out import Estimate, Estimator
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.estimates.missing import MissingFigures
from pennyspeed.services.reports.listing import aligned

Found = Sequence[tuple[Part, Estimate]]


def found_of(
    estimator_of: Callable[[str], Estimator], parts: Iterable[Part], anew: bool = False
) -> Found:
    """Return every figure that can be worked out, with its part."""
    estimators: dict[str, Estimator] = {}
    found = []
    for part in parts:
        if part.kind_key not in estimators:
            estimators[part.kind_key] = estimator_of(part.kind_key)
        found += [(part, one) for one in estimators[part.kind_key].estimates(part, anew).values()]
    return found


def found_list(found: Found, missing: MissingFigures, measures: Measures) -> str:
    """Return the figures as aligned columns, and below them the builds whose speed changes."""
    if not found:
        return "Nothing is missing that can be worked out.\n"
    rows = [("part", "figure", "", "likely, 8 in 10", "worked out from")]
    for part, one in found:
        field = part.kind.field(one.key)
        value, spread = one.value, one.spread
        rows.append(
            (
                part.name,
                field.label,
                about(field, value, spread, measures),
                likely(field, value, spread, measures),
                origin(part.kind, one),
            )
        )
    text = aligned(rows, left=range(len(rows[0])))
    builds = [
        (one.name, measures.speed(one.before_kmh, 1), measures.speed(one.after_kmh, 1))
        for one in missing.builds
    ]
    return f"{text}\n{aligned([('build', 'before', 'after'), *builds])}" if builds else text


def found_document(found: Found, missing: MissingFigures) -> dict[str, Any]:
    """Return the same as JSON values; figures stand in the units of their keys."""
    return {
        "figures": [
            {
                "kind": part.kind_key,
                "part": part.name,
                "key": one.key,
                "value": one.value,
                "spread": one.spread,
                "low": one.low,
                "high": one.high,
                "from": list(one.features),
                "peers": one.peers,
                "source": one.source,
            }
            for part, one in found
        ],
        "builds": [
            {"name": one.name, "before_kmh": one.before_kmh, "after_kmh": one.after_kmh}
            for one in missing.builds
        ],
    }
