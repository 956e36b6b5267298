"""Gathering: the forecasts that a sheet needs, made where they are not known."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.making import build_sheet


def gathered(
    build: Build,
    choices: Choices,
    measures: Measures,
    made: date,
    *,
    others: Sequence[tuple[str, Build]] = (),
    found: Forecast | None = None,
    **more: Any,
) -> Sheet:
    """Return the sheet of a build.

    Parameters
    ----------
    others : sequence of (str, Build)
        Builds beside it, each with its name.
    found : Forecast, optional
        Of the build in the sheet's units, where it is known already.
    **more
        As :func:`~pennyspeed.services.sheet.making.build_sheet` takes it.

    Raises
    ------
    BadInput
        An unknown section, too many builds.
    """
    shown = choices.measures(measures)
    if found is None or shown != measures:
        found = forecast(build, shown)
    named = [(name, forecast(one, shown)) for name, one in others]
    return build_sheet(found, choices, measures, made=made, others=named, **more)
