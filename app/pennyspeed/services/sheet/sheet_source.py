"""The source: what the sections of a sheet are made from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from pathlib import Path

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.services.gears.gear_chart import GearChart, exact, gear_chart
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.look import Look

NOW = "the car now"
_PINIONS, _SPURS = 5, 3
_FITTING = ("module_mm", "bore_mm")


@dataclass(frozen=True)
class SheetSource:
    """Everything that a section may read.

    Attributes
    ----------
    made : date
        The day that the sheet carries.
    others : sequence of (str, Forecast)
        Builds beside this one, each with its name.
    pinions, spurs : sequence of Part
        Gears to choose from; where there are none the chart shows the next numbers of teeth.
    suppliers : sequence of Supplier
        What each adds to its goods.
    leads : Leads
        How long they take.
    folder : Path or None
        Of the data file, from which pictures of parts are named.
    """

    forecast: Forecast
    measures: Measures
    choices: Choices
    look: Look
    made: date
    others: Sequence[tuple[str, Forecast]] = ()
    pinions: Sequence[Part] = ()
    spurs: Sequence[Part] = ()
    suppliers: Sequence[Supplier] = ()
    leads: Leads = field(default_factory=Leads)
    folder: Path | None = field(default=None, compare=False)

    @property
    def build(self) -> Build:
        return self.forecast.build

    @property
    def named(self) -> list[tuple[str, Forecast]]:
        """This build and the others."""
        return [(NOW, self.forecast), *self.others]

    @cached_property
    def chart(self) -> GearChart | None:
        """Gears around the pair that is in, worked out exactly; None without a pair."""
        pinion, spur = self.build.part("pinion"), self.build.part("spur")
        if pinion is None or spur is None:
            return None
        found = gear_chart(
            self.build,
            _around(pinion, self.pinions, _PINIONS),
            _around(spur, self.spurs, _SPURS),
            with_left=False,
        )
        cells = [(i, j) for i in range(len(found.pinions)) for j in range(len(found.spurs))]
        return exact(found, cells)


def _around(own: Part, others: Sequence[Part], most: int) -> list[Part]:
    """Return a gear and the nearest others of its module and bore, one for each number of teeth."""
    teeth = own.number("teeth") or 0.0
    by_teeth = {teeth: own}
    for part in others:
        count = part.number("teeth")
        fits = all(part.figures.get(key) == own.figures.get(key) for key in _FITTING)
        if count is not None and fits and not is_same(part, own):
            by_teeth.setdefault(count, part)
    if len(by_teeth) == 1:
        for count in range(max(1, int(teeth) - most // 2), int(teeth) + most // 2 + 1):
            name = f"{count} teeth"
            figures = {**own.figures, "teeth": count}
            by_teeth.setdefault(float(count), replace(own, id=None, name=name, figures=figures))
    nearest = sorted(by_teeth, key=lambda count: (abs(count - teeth), count))[:most]
    return [by_teeth[count] for count in nearest]
