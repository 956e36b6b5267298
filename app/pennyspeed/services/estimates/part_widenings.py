"""By how much each figure of one part widens the speed of the build that it is in, or would be."""

from __future__ import annotations

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.estimates.narrowing import widenings

LEAST = 0.05
"""Less is said as less than a tenth."""


def part_widenings(build: Build | None, part: Part, measures: Measures) -> dict[str, str]:
    """Return it in words by the keys of the figures: "±5.1 km/h", "<0.1 km/h".

    {} where the part or the build with it in is not whole.
    """
    if build is None or any(
        one.required and one.key not in part.figures for one in part.kind.fields
    ):
        return {}
    unit = measures.speed_unit.symbol
    found = {
        key: abs(measures.shown(half, KMH))
        for (slot, key), half in widenings(build.with_part(part)).items()
        if slot.partition(".")[0] == part.kind_key
    }
    return {
        key: f"±{measures.number(half, 1)} {unit}"
        if half >= LEAST
        else f"<{measures.number(0.1, 1)} {unit}"
        for key, half in found.items()
    }
