"""Biggest unknowns: which figures make the band wide, and by how much of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.assembly import Drawn, assemble, draw, drawn_figures, slots_of
from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import BY_KEY as CONDITION
from pennyspeed.domain.hypercube import standard_draws
from pennyspeed.domain.money.apportion import apportion
from pennyspeed.domain.parts.provenance import WORDS, Provenance
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray

SHOWN = 3
DRAWS = 4096
BINS = 64
"""Of equal chance, into which the draws of a figure are parted."""

LEAST_WIDTH = 1e-6
"""From P10 to P90 [m/s]; a narrower band is none, whatever a rare draw does."""

FROM_RUN_TO_RUN = "from run to run"
TOGETHER = "together with others"

_PARTS = 1_000_000


@dataclass(frozen=True, slots=True)
class Share:
    """A figure's part in how wide the band is."""

    slot: str
    label: str
    short: str
    provenance: str
    """"" for a condition that varies from run to run."""
    share: float
    """First-order share of the variance, 0 to 1."""

    @property
    def source(self) -> str:
        """Where the figure comes from, in words."""
        return WORDS[Provenance(self.provenance)] if self.provenance else FROM_RUN_TO_RUN


@dataclass(frozen=True, slots=True)
class UnknownRow:
    """One figure, or all others, and its part in how wide the range is.

    Attributes
    ----------
    label, short : str
        The same of a part's figure; of a condition `short` also says where it comes from.
    source : str
        Where the figure comes from, in words; "" for all others.
    """

    label: str
    short: str
    source: str
    percent: int


@dataclass(frozen=True, slots=True)
class Unknowns:
    """The figures that matter most, largest first; none where the speed is sure."""

    shares: tuple[Share, ...] = ()

    def rows(self) -> list[UnknownRow]:
        """Return these figures and then all others, in per cent that add up to 100."""
        if not self.shares:
            return []
        rest = max(1.0 - sum(one.share for one in self.shares), 0.0)
        parts = [*(one.share for one in self.shares), rest]
        percents = apportion(100, [round(_PARTS * part) for part in parts])
        named = [(one.label, one.short, one.source) for one in self.shares]
        named.append((TOGETHER, TOGETHER, ""))
        rows = [UnknownRow(*name, part) for name, part in zip(named, percents, strict=True)]
        return [row for row in rows if row.percent]


def unknowns(build: Build) -> Unknowns:
    """Return the biggest unknowns of a build."""
    parts, found = slots_of(build), []
    for one, share in first_order_shares(build)[:SHOWN]:
        slot, key = one.key
        if slot in parts:
            source, short = parts[slot].provenance_of(key).value, one.label
        else:
            source, short = "", f"{CONDITION[key].short}, {FROM_RUN_TO_RUN}"
        found.append(Share(slot, one.label, short, source, share))
    return Unknowns(tuple(found))


def first_order_shares(build: Build) -> list[tuple[Drawn, float]]:
    """Return every figure that is not exact with its share of the speed's variance, largest first.

    The share is Var(E[v | x])/Var(v) (Saltelli et al., *Global Sensitivity Analysis*, 2008, ch. 1),
    from the mean speeds of bins of x. What a bin's mean owes to chance, its inner variance over the
    draws in it, is taken off again.
    """
    drawn = drawn_figures(build)
    car = assemble(build, draw(drawn, DRAWS)) if drawn else None
    if car is None:
        return []
    speeds = np.broadcast_to(predict_many(car).road_speed, (DRAWS,))
    if np.ptp(np.percentile(speeds, (10, 90))) <= LEAST_WIDTH:
        return []
    whole = float(speeds.var())
    found = [(one, _between(speeds, standard_draws(one.key, DRAWS)) / whole) for one in drawn]
    return sorted(found, key=lambda pair: -pair[1])


def _between(speeds: FloatArray, axis: FloatArray) -> float:
    """Return the variance of the mean speed over bins of one figure, not below 0."""
    binned = speeds[np.argsort(axis)].reshape(BINS, -1)
    by_chance = binned.var(axis=1, ddof=1).mean() / binned.shape[1]
    between = binned.mean(axis=1).var() - by_chance * (BINS - 1) / BINS
    return max(float(between), 0.0)
