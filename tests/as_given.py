"""Parts without what the program worked out for them: what somebody gave."""

from __future__ import annotations

from dataclasses import replace

from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance


def as_given(part: Part) -> Part:
    gone = {key for key, source in part.provenance.items() if source is Provenance.WORKED_OUT}
    figures, sources, spreads = (
        {key: value for key, value in held.items() if key not in gone}
        for held in (part.figures, part.provenance, part.spread)
    )
    return replace(part, figures=figures, provenance=sources, spread=spreads)
