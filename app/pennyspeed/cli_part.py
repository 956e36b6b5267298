"""The command that reads a part from a listing."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pennyspeed.cli_base import DONE, in_units, measures_of, say

if TYPE_CHECKING:
    from pennyspeed.domain.measures import Measures
    from pennyspeed.services.listings import Reading
    from pennyspeed.services.listings.claims import Claimed


@click.command("part")
@click.argument("text")
@click.option("--kind", default="", help="Which kind it is, where the text does not tell.")
@click.option("--name", help="What the part is called, instead of what the text says.")
@click.option(
    "--set",
    "settled",
    multiple=True,
    metavar="KEY=VALUE",
    help="A figure that the text lacks, or says twice; may be given several times.",
)
@click.option("--add", is_flag=True, help="Add the part to the catalogue; else nothing is stored.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of lines.")
@in_units
@click.pass_obj
def read_part(
    data: Path | None,
    text: str,
    kind: str,
    name: str | None,
    settled: tuple[str, ...],
    add: bool,
    as_json: bool,
    units: str,
    speed: str | None,
) -> int:
    """Read a part from TEXT: a line or a block from a shop's page or a seller's message.

    Says what was recognised, beside the words it came from, and what was not. "-" reads standard
    input.
    """
    from pennyspeed.domain.errors import BadInput, UserError
    from pennyspeed.services.listings import part_of, read_listing
    from pennyspeed.services.listings.reading_text import reading_document, reading_text

    measures = measures_of(units, speed)
    reading = read_listing(_input() if text == "-" else text, kind.strip().casefold())
    if not reading.kind_key:
        raise UserError(f"--kind: {reading.note}")
    chosen = _chosen(reading, settled, measures)
    if name is not None:
        chosen["name"] = name
    if as_json:
        click.echo(json.dumps(reading_document(reading), ensure_ascii=False, allow_nan=False))
    else:
        click.echo(reading_text(reading, measures), nl=False)
    if not add:
        return DONE
    part = part_of(reading, chosen=chosen)
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        known = workshop.catalogue.parts(part.kind_key, archived=True)
        if any(one.name == part.name for one in known):
            raise BadInput("--name", part.name, f"a name that no {part.kind.label} has yet")
        stored = workshop.catalogue.save_part(part)
    labels = [
        one.label for one in part.kind.fields if one.key in stored.figures.keys() - part.figures
    ]
    worked_out = f"; worked out: {', '.join(labels)}" if labels else ""
    say(f"Added {part.name} to the {part.kind.plural}{worked_out}")
    return DONE


def _input() -> str:
    """Return standard input, up to what is surely too long to be a listing."""
    from pennyspeed.services.listings.reading import LONGEST

    return sys.stdin.read(LONGEST + 1)


def _chosen(
    reading: Reading, settled: tuple[str, ...], measures: Measures
) -> dict[str, Claimed | None]:
    from pennyspeed.domain.errors import BadInput
    from pennyspeed.domain.kinds import BY_KEY
    from pennyspeed.domain.parts.fields import Shape
    from pennyspeed.services.editing.amounts import read_money
    from pennyspeed.services.editing.figures import read_figure

    kind = BY_KEY[reading.kind_key]
    chosen: dict[str, Claimed | None] = {}
    for item in settled:
        key, equals, text = (word.strip() for word in item.partition("="))
        fields = [one for one in kind.fields if key.casefold() in (one.key, one.label.casefold())]
        if equals and key == "price":
            chosen[key] = read_money(text, "EUR", "price", measures)
        elif equals and fields:
            field = fields[0]
            is_text = field.shape in (Shape.TEXT, Shape.CHOICE)
            chosen[field.key] = (
                field.read(text, field.label) if is_text else read_figure(field, text, measures)
            )
        else:
            keys = ", ".join(one.key for one in kind.fields)
            raise BadInput("--set", item, f"KEY=VALUE with price or one of {keys}")
    return chosen
