"""Speed axis: a short axis around one car's speed, and what stands on it in words."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.units import KMH
from pennyspeed.services.charts.axes import round_step
from pennyspeed.services.prediction.forecast import Forecast

LEAST_SPAN = 0.25
"""The axis spans at least this share of the speed, so that a narrow band looks narrow."""
FAR_TARGET = 0.8
"""A target this share above or below the speed stands at the axis' end, with an arrow."""


@dataclass(frozen=True)
class SpeedAxis:
    """What stands on the axis, in the person's unit of speed.

    Attributes
    ----------
    now, ghost : float or None
        The speed on this road, and with the part that is tried.
    band : tuple of float or None
        The likely range.
    target_kmh : float or None
        As the build holds it.
    """

    measures: Measures = METRIC
    now: float | None = None
    ghost: float | None = None
    band: tuple[float, float] | None = None
    target_kmh: float | None = None

    @classmethod
    def of(cls, forecast: Forecast, measures: Measures, ghost: Forecast | None) -> SpeedAxis:
        """Return the axis of a forecast, and of the same car with a part tried."""
        now, band, unit = _speed(forecast, measures), forecast.band, measures.speed_unit
        is_drawn = band is not None and now is not None
        likely = (unit.from_si(band.p10), unit.from_si(band.p90)) if band and is_drawn else None
        return cls(measures, now, _speed(ghost, measures), likely, forecast.build.target_kmh)

    @property
    def target(self) -> float | None:
        """The target in the person's unit."""
        return None if self.target_kmh is None else self.measures.shown(self.target_kmh, KMH)

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands on it."""
        return self.now is None and self.target is None and self.ghost is None

    @property
    def is_target_far(self) -> bool:
        """Whether the target is too far from the speed to share its axis."""
        if self.target is None or self.now is None:
            return False
        return abs(self.target - self.now) > FAR_TARGET * self.now

    def span(self) -> tuple[float, float, float]:
        """Return where the axis begins and ends, and its step: round, with all that is near."""
        near = [v for v in (self.now, self.ghost, *(self.band or ())) if v is not None]
        if not near:
            low, high = 0.0, 2 * (self.target or 50.0)
        else:
            if self.target is not None and not self.is_target_far:
                near.append(self.target)
            low, high = min(near), max(near)
            least = LEAST_SPAN * high
            if high - low < least:
                middle = (high + low) / 2
                low, high = middle - least / 2, middle + least / 2
            low = max(low, 0.0)
        step = round_step((high - low) * 1.1, 4)
        return step * int(low / step), step * -int(-(high + 0.25 * step) // step), step

    def sentence(self) -> str:
        """Return all that stands on it."""
        measures, unit = self.measures, self.measures.speed_unit.symbol
        if self.now is None:
            return "No speed yet."
        texts = [self._said(self.now)]
        if self.band is not None:
            low, high = (measures.number(v) for v in self.band)
            texts.append(f"likely range, 8 in 10, {low} to {high} {unit}")
        if self.target_kmh is not None:
            texts.append(f"target {measures.target(self.target_kmh)}")
        if self.ghost is not None:
            texts.append(f"tried {self._said(self.ghost)}")
        return "; ".join(texts) + "."

    def _said(self, speed: float) -> str:
        return self.measures.speed_toward(self.measures.stored(speed, KMH), self.target_kmh)


def _speed(forecast: Forecast | None, measures: Measures) -> float | None:
    prediction = forecast.prediction if forecast is not None else None
    if prediction is None or prediction.road_speed <= 0.0:
        return None
    return measures.speed_unit.from_si(prediction.road_speed)
