"""Chart input: what a chart is asked to show."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.measures import Measures
from pennyspeed.physics.results import LateLift
from pennyspeed.services.prediction.forecast import Forecast


@dataclass(frozen=True, slots=True)
class ChartInput:
    """What a chart is asked to show.

    Attributes
    ----------
    ghost_name : str
        The part that is tried; its label reads 'with …'.
    close_up : bool
        The speed axis starts above 0.
    late : LateLift or None
        The late lift that is asked for, in place of the one that is worth saying.
    """

    forecast: Forecast
    measures: Measures
    ghost: Forecast | None = None
    ghost_name: str = ""
    close_up: bool = False
    late: LateLift | None = None
