"""What makes the range of speeds wide, and what would narrow it, as rows for a person."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.apportion import apportion
from pennyspeed.domain.units import KMH
from pennyspeed.services.estimates.narrowing import Narrowing
from pennyspeed.services.prediction.forecast import Band

OTHERS = "together with others"


@dataclass(frozen=True, slots=True)
class UnknownRow:
    """One figure, and its part in how wide the range is."""

    label: str
    percent: int


def unknown_rows(band: Band | None) -> list[UnknownRow]:
    """Return the figures that widen a band most and then all others; together they are 100."""
    if band is None or not band.shares:
        return []
    shares = [max(one.share, 0.0) for one in band.shares]
    rest = max(1.0 - sum(shares), 0.0)
    parts = apportion(100, [round(1e6 * one) for one in (*shares, rest)])
    rows = [UnknownRow(one.label, part) for one, part in zip(band.shares, parts[:-1], strict=True)]
    return [*rows, UnknownRow(OTHERS, parts[-1])] if parts[-1] else rows


@dataclass(frozen=True, slots=True)
class NarrowingRow:
    """One thing that a person could measure.

    Attributes
    ----------
    minutes, range : str
        "2 minutes" and "114 to 126", with "no help" where the range stays as it is.
    low, high : float
        The range then, as shown.
    """

    title: str
    minutes: str
    range: str
    how: str
    caution: str
    low: float
    high: float

    @property
    def spoken(self) -> str:
        """All of it, for a screen reader."""
        said = f"{self.title}, {self.minutes}, range then {self.range}. {self.how} {self.caution}"
        return said.rstrip()


def narrowing_row(one: Narrowing, measures: Measures) -> NarrowingRow:
    """Return a row of what a measurement would do."""
    count = one.measurement.minutes
    return NarrowingRow(
        one.measurement.title,
        f"{count} minute{'s' * (count != 1)}",
        one.range_words(measures),
        one.measurement.how,
        one.measurement.caution,
        measures.shown(one.low_kmh, KMH),
        measures.shown(one.high_kmh, KMH),
    )
