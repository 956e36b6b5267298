"""What the commands of the command line share: exit codes, builds by name or file, units."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from pennyspeed.domain.builds import Build
    from pennyspeed.domain.measures import Measures
    from pennyspeed.domain.money.calendar import Leads

DONE, FAILED, REFUSED = 0, 1, 2

_Command = TypeVar("_Command", bound=Callable[..., Any])


def in_units(command: _Command) -> _Command:
    """Add the options by which a person chooses units."""
    command = click.option(
        "--speed",
        type=click.Choice(["kmh", "mph"]),
        help="Speeds in km/h or mph, whatever the other units.",
    )(command)
    return click.option(
        "--units",
        type=click.Choice(["metric", "imperial"]),
        default="metric",
        show_default=True,
        help="km/h, mm and g, or mph, in and oz.",
    )(command)


def build_of(data: Path | None, text: str) -> Build:
    """Return the build that a file holds, or the stored one of that name or code."""
    if _is_file(text):
        from pennyspeed.services.build_files import read_build

        return read_build(Path(text))
    from pennyspeed.services.workshop import Workshop

    workshop = Workshop.open(data)
    try:
        return workshop.builds.named(text)
    finally:
        workshop.close()


def leads_of(data: Path | None, text: str) -> Leads | None:
    """Return how long suppliers take, where the build is a stored one; None for a file's."""
    if _is_file(text):
        return None
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        return workshop.suppliers.leads()


def _is_file(text: str) -> bool:
    return text.casefold().endswith(".json") or Path(text).is_file()


def measures_of(units: str, speed: str | None) -> Measures:
    """Return the units that the options name."""
    from pennyspeed.domain.measures import Measures
    from pennyspeed.domain.units import IN, KMH, MM, MPH, OZ, G

    imperial = units == "imperial"
    miles = imperial if speed is None else speed == "mph"
    return Measures(
        speed_unit=MPH if miles else KMH,
        length_unit=IN if imperial else MM,
        mass_unit=OZ if imperial else G,
    )


def say(message: str) -> None:
    """Write one line to standard error."""
    click.echo(" ".join(message.split()), err=True)
