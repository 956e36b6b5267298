"""Gathering: everything that a sheet needs, from a build and the file in which it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.look import Look
from pennyspeed.services.sheet.making import build_sheet


def gathered(
    build: Build,
    choices: Choices,
    measures: Measures,
    made: date,
    *,
    others: Sequence[tuple[str, Build]] = (),
    gears: tuple[Sequence[Part], Sequence[Part]] = ((), ()),
    suppliers: Sequence[Supplier] = (),
    look: Look | None = None,
    folder: Path | None = None,
    found: Forecast | None = None,
) -> Sheet:
    """Return the sheet of a build.

    Parameters
    ----------
    others : sequence of (str, Build)
        Builds beside it, each with its name.
    gears : pair of sequences of Part
        Pinions and spurs to choose from.
    suppliers : sequence of Supplier
        What each adds to its goods.
    look : Look, optional
        The shipped one unless given.
    folder : Path, optional
        Of the data file: pictures of parts are looked for in it.
    found : Forecast, optional
        Of the build in the sheet's units, where it is known already.

    Raises
    ------
    BadInput
        An unknown section, too many builds.
    """
    shown = choices.measures(measures)
    if found is None or shown != measures:
        found = forecast(build, shown)
    return build_sheet(
        found,
        choices,
        measures,
        made=made,
        look=look,
        others=[(name, forecast(one, shown)) for name, one in others],
        pinions=gears[0],
        spurs=gears[1],
        suppliers=suppliers,
        folder=folder,
    )
