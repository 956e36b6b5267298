"""The one scale on which the bands of all rows stand, as wide as the rows in sight need."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pennyspeed.services.charts.axes import round_step, ticks

REACH = 2.0
"""Target and car are on the scale where they lie within so many spans of the rows."""

LEAST_SPAN = 0.1
"""Of the highest speed: less than that is not spread over the whole strip."""

LOOSE = 0.4
"""A scale that is in use stays while the rows fill at least so much of it."""


@dataclass(frozen=True)
class Scale:
    """Speeds as shown, from the leading end of the strip to the other."""

    low: float
    high: float
    step: float

    def part(self, speed: float) -> float:
        """Return where a speed stands, 0 to 1 on the scale."""
        return (speed - self.low) / (self.high - self.low)

    def has(self, speed: float) -> bool:
        """Tell whether a speed stands on the scale."""
        return self.low <= speed <= self.high

    @property
    def ticks(self) -> list[float]:
        """The round speeds on it."""
        return ticks(self.low, self.high, self.step)


def scale_of(
    speeds: Sequence[float], marks: Sequence[float | None], old: Scale | None = None
) -> Scale | None:
    """Return a scale for the rows in sight, None where no row has a speed.

    `speeds` are those of rows and the ends of their bands, NaN where there is none; `marks`, the
    target and the car's own speed, are on the scale where they are near; `old` is the one in use.

    >>> scale_of([111.0, 126.0], [130.0])
    Scale(low=110.0, high=130.0, step=5.0)
    """
    known = [speed for speed in speeds if math.isfinite(speed)]
    if not known:
        return None
    low, high = min(known), max(known)
    span = max(high - low, LEAST_SPAN * high)
    for mark in marks:
        if mark is not None and low - REACH * span <= mark <= high + REACH * span:
            low, high = min(low, mark), max(high, mark)
    least = LEAST_SPAN * high
    if high - low < least:
        low, high = (low + high - least) / 2, (low + high + least) / 2
    if (
        old is not None
        and old.has(low)
        and old.has(high)
        and high - low >= LOOSE * (old.high - old.low)
    ):
        return old
    step = round_step(high - low, 4)
    half = step / 2
    low, high = half * math.floor(low / half), half * math.ceil(high / half)
    return Scale(low, max(high, low + step), step)
