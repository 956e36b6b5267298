"""What would narrow the range of speeds, as rows for a person."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.services.estimates.narrowing import Narrowing


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
