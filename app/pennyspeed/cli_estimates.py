"""The command that works out what shops do not say."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pennyspeed.cli_base import DONE, in_units, measures_of

if TYPE_CHECKING:
    from pennyspeed.domain.parts.parts import Part
    from pennyspeed.services.workshop import Workshop


@click.command("work-out")
@click.argument("names", nargs=-1, metavar="[PART…]")
@click.option("--again", is_flag=True, help="Also what was worked out before.")
@click.option("--look", is_flag=True, help="Only say what would be worked out.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of a list.")
@in_units
@click.pass_obj
def work_out(
    data: Path | None,
    names: tuple[str, ...],
    again: bool,
    look: bool,
    as_json: bool,
    units: str,
    speed: str | None,
) -> int:
    """Work out figures that parts lack, such as winding resistance, from those that they have.

    Of all parts, or of each PART by its name. What a person or a maker says stays as it is.
    """
    from pennyspeed.services.estimates.listing import found_document, found_list, found_of
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        parts = _named(workshop, names)
        ids = [part.id for part in parts if part.id is not None]
        found = found_of(workshop.catalogue.estimator, parts, again)
        missing = workshop.catalogue.missing_figures(ids, again)
        if not look:
            workshop.catalogue.work_out(ids, again)
    if as_json:
        click.echo(json.dumps(found_document(found, missing), allow_nan=False))
    else:
        click.echo(found_list(found, missing, measures_of(units, speed)), nl=False)
    return DONE


def _named(workshop: Workshop, names: Sequence[str]) -> list[Part]:
    """Return the parts of those names, all where none is named; NotFound where one is not there."""
    from pennyspeed.domain.errors import NotFound
    from pennyspeed.domain.kinds import KINDS

    parts = [part for kind in KINDS for part in workshop.catalogue.parts(kind.key, archived=True)]
    for name in names:
        if not any(part.name == name for part in parts):
            raise NotFound(f"No part is called {name!r}; pennyspeed parts lists those of a kind.")
    return [part for part in parts if not names or part.name in names]
