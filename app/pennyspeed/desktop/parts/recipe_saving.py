"""Making: a recipe kept in its part, and the line of the build that pays for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from pennyspeed.desktop.session import Session
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.domain.parts.recipes import Recipe, with_recipe
from pennyspeed.services.money.line_changes import line_with_status


def keep_recipe(session: Session, part: Part, recipe: Recipe, currency: str, today: date) -> None:
    """Store a part as it is made by a recipe, and have the build pay for that; one undo step.

    A line of the build shown that only plans to buy the part makes it from then on, at what the
    recipe comes to. Without an ingredient the part is made no more.

    Raises
    ------
    UserError
        Where it cannot be stored; then nothing has changed.
    """
    if recipe.ingredients:
        after = with_recipe(part, recipe, currency, today)
        did, undid = f"noted how {part.name} is made", f"put back how {part.name} was"
    else:
        after = replace(part, recipe=None)
        did, undid = f"{part.name} is made no more", f"put back how {part.name} is made"
    before = session.bench.build
    change = session.file.workshop.change_part(after)
    if change.before == change.after:
        return
    if before is None or before.id is None or not _places(before, part):
        session.catalogue.record((change,), did, undid)
        session.messages.said.emit(did)
        return
    fresh = session.file.workshop.build(before.id)
    for place in _places(fresh, part) if recipe.ingredients else ():
        line = replace(fresh.lines[place], unit_price=None, currency="", supplier="", order="")
        fresh = fresh.with_line(place, line_with_status(fresh, line, Status.MADE, today))
    stored = session.file.workshop.save(fresh)
    session.builds.record(before, stored, did, undid, (change,))
    session.catalogue.follow((change,))
    session.messages.said.emit(did)


def _places(build: Build, part: Part) -> list[int]:
    """Return the places of the lines that pay for a part, and only plan to or make it."""
    found = []
    for place, line in enumerate(build.lines):
        own = build.part_of_line(line)
        is_open = line.status in (Status.PLANNED, Status.MADE)
        if own is not None and is_same(own, part) and is_open:
            found.append(place)
    return found
