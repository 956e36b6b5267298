"""What would narrow a build's speed most, and how to measure that."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pennyspeed.domain.assembly import Drawn, Figures, Key, assemble, draw, drawn_figures
from pennyspeed.domain.builds import Build
from pennyspeed.domain.estimates.measuring import MEASUREMENTS, Measurement
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.provenance import SPREAD, Provenance
from pennyspeed.domain.units import KMH
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray, Floats

MEASURED = SPREAD[Provenance.MEASURED]
NO_HELP = 0.95
"""A range that stays wider than this share of itself was not worth the trouble."""


@dataclass(frozen=True, slots=True)
class Narrowing:
    """One thing that a person could measure, and the range of speeds on the road then.

    Attributes
    ----------
    figures : tuple of (str, str)
        Slot and key of what it tells about this build.
    low_kmh, high_kmh : float
        Below which, and above which, the speed then lies with a chance of 1 in 10 each.
    helps : bool
        False where the range stays as it is.
    """

    measurement: Measurement
    figures: tuple[Key, ...]
    low_kmh: float
    high_kmh: float
    helps: bool

    def range_words(self, measures: Measures) -> str:
        """Return the range then: "114 to 126", with "no help" behind it where it is none."""
        low, high = (measures.shown(kmh, KMH) for kmh in (self.low_kmh, self.high_kmh))
        text = f"{measures.number(low)} to {measures.number(high)}"
        return text if self.helps else f"{text}, no help"


def narrowings(build: Build, figures: tuple[Key, ...] = ()) -> tuple[Narrowing, ...]:
    """Return what could be measured, the narrowest range first; () without a whole car.

    The draws are those of today's range, with the figures that would be measured drawn as if known
    to 1 %. `figures`, by slot and key, restricts it to what tells one of them, such as those with
    the largest shares.
    """
    drawn = drawn_figures(build)
    offered = [(one, told) for one in MEASUREMENTS if (told := _told(one, drawn, figures))]
    if not offered or assemble(build) is None:
        return ()
    cases = [draw(drawn)]
    for _, told in offered:
        known = [replace(one, spread=MEASURED) if one.key in told else one for one in drawn]
        cases.append(draw(known))
    together: dict[Key, Floats] = {
        key: np.concatenate([np.asarray(case[key]) for case in cases]) for key in cases[0]
    }
    lows, highs = _ranges(build, together, len(cases))
    widths = highs - lows
    found = [
        Narrowing(one, told, float(low), float(high), bool(width < NO_HELP * widths[0]))
        for (one, told), low, high, width in zip(
            offered, lows[1:], highs[1:], widths[1:], strict=True
        )
    ]
    return tuple(sorted(found, key=lambda one: one.high_kmh - one.low_kmh))


def widenings(build: Build) -> dict[Key, float]:
    """Return by how much each figure widens the speed on the road [km/h], by slot and key.

    Half of the range that holds it 8 times in 10, were all other figures exact; {} without a whole
    car.
    """
    drawn = drawn_figures(build)
    if not drawn or assemble(build) is None:
        return {}
    draws = draw(drawn)
    size = np.asarray(draws[drawn[0].key]).size
    together: dict[Key, Floats] = {}
    for place, one in enumerate(drawn):
        column = np.full((len(drawn), size), one.nominal)
        column[place] = draws[one.key]
        together[one.key] = column.reshape(-1)
    lows, highs = _ranges(build, together, len(drawn))
    return {one.key: float(half) for one, half in zip(drawn, 0.5 * (highs - lows), strict=True)}


def _ranges(build: Build, together: Figures, cases: int) -> FloatArray:
    """Return P10 and P90 of the speed on the road [km/h], for each case of as many draws."""
    car = assemble(build, together)
    assert car is not None
    speeds = predict_many(car).road_speed.reshape(cases, -1) / KMH.factor
    return np.asarray(np.percentile(speeds, (10, 90), axis=1))


def _told(one: Measurement, drawn: list[Drawn], figures: tuple[Key, ...]) -> tuple[Key, ...]:
    """Return the keys of what a measurement tells of a build and is not known so well already."""
    if figures and not any((_kind(slot), key) in one.figures for slot, key in figures):
        return ()
    return tuple(
        each.key
        for each in drawn
        if (_kind(each.key[0]), each.key[1]) in one.figures and each.spread > MEASURED
    )


def _kind(slot: str) -> str:
    """Return the kind in a slot: extras stand as "extras.0", "extras.1" …"""
    return slot.partition(".")[0]
