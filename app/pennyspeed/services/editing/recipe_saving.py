"""A recipe kept in its part, and the line of the build that pays for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.domain.parts.recipes import Recipe, with_recipe
from pennyspeed.services.money.line_changes import line_with_status

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange
    from pennyspeed.services.workshop import Workshop


@dataclass(frozen=True, slots=True)
class KeptRecipe:
    """What keeping a recipe changed.

    Attributes
    ----------
    build : Build or None
        As it is stored now; None where no line of it was changed.
    """

    change: PartChange
    build: Build | None
    did: str
    undid: str


def keep_recipe(
    workshop: Workshop, build: Build | None, part: Part, recipe: Recipe, currency: str, today: date
) -> KeptRecipe | None:
    """Store a part as it is made by a recipe, and have a build pay for that; None changes nothing.

    A line of the build that only plans to buy the part makes it from then on, at what the recipe
    comes to. Without an ingredient the part is made no more. After a UserError nothing has changed.
    """
    if recipe.ingredients:
        after = with_recipe(part, recipe, currency, today)
        did, undid = f"noted how {part.name} is made", f"put back how {part.name} was"
    else:
        after = replace(part, recipe=None)
        did, undid = f"{part.name} is made no more", f"put back how {part.name} is made"
    change = workshop.catalogue.change_part(after)
    if change.before == change.after:
        return None
    if build is None or build.id is None or not _places(build, part):
        return KeptRecipe(change, None, did, undid)
    fresh = workshop.builds.get(build.id)
    for place in _places(fresh, part) if recipe.ingredients else ():
        line = replace(fresh.lines[place], unit_price=None, currency="", supplier="", order="")
        fresh = fresh.with_line(place, line_with_status(fresh, line, Status.MADE, today))
    return KeptRecipe(change, workshop.builds.save(fresh), did, undid)


def _places(build: Build, part: Part) -> list[int]:
    """Return the places of the lines that pay for a part, and only plan to or make it."""
    found = []
    for place, line in enumerate(build.lines):
        own = build.part_of_line(line)
        is_open = line.status in (Status.PLANNED, Status.MADE)
        if own is not None and is_same(own, part) and is_open:
            found.append(place)
    return found
