"""What is asked about money: a price that came later, what counts, and what was owned before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.purchases import line_for
from pennyspeed.services.money.line_changes import LineChange, with_status


def priced_later(build: Build) -> tuple[int, ...]:
    """Return the places of planned lines without a price whose part has one by now.

    A line that names another shop than the price is left alone.
    """
    found = []
    for place, line in enumerate(build.lines):
        part = build.part_of_line(line)
        if line.status is Status.PLANNED and line.unit_price is None and part is not None:
            is_known = part.recipe is None and part.price is not None
            if is_known and build.supplier_of(line) in ("", line_for(part, "").supplier):
                found.append(place)
    return tuple(found)


def price_sentence(build: Build, places: Sequence[int], measures: Measures) -> str:
    """Return what is offered: "Lark 36 has a price now, 34.90 EUR, and is planned without one." """
    line = build.lines[places[0]]
    if len(places) > 1:
        return f"{len(places)} parts have a price now, and are planned without one."
    part = build.part_of_line(line)
    assert part is not None
    assert part.price is not None
    amount = measures.money(part.price.amount)
    return f"{line.called} has a price now, {amount}, and is planned without one."


def with_prices(build: Build, places: Sequence[int]) -> LineChange:
    """Return what gives planned lines the price that their part has."""
    after = build
    for place in places:
        line = build.lines[place]
        part = build.part_of_line(line)
        assert part is not None
        new = line_for(part, build.currency)
        supplier = line.supplier or ("" if line.order else new.supplier)
        taken = replace(line, unit_price=new.unit_price, currency=new.currency, supplier=supplier)
        after = after.with_line(place, taken)
    one = len(places) == 1
    names = build.lines[places[0]].called if one else f"{len(places)} lines"
    return LineChange(after, f"priced {names}", f"took the price of {names} away again")


def undecided_kind(before: Build | None, after: Build) -> str:
    """Return a kind that does not count by itself, of which `after` has a new line; "" for none.

    Nothing is asked of a build that was only opened, and of no kind twice.
    """
    if before is None or before.id != after.id:
        return ""
    old = {(line.part, line.name) for line in before.lines}
    new = {line.part for line in after.lines if (line.part, line.name) not in old}
    for kind in KINDS:
        if kind.key in new and not kind.counts and kind.key not in after.counted_kinds:
            return kind.key
    return ""


def with_kind_counted(build: Build, kind_key: str, counts: bool) -> LineChange:
    """Return what has the parts of a kind count toward the cap or not, those in the build too."""
    lines = tuple(
        replace(line, counts=counts) if line.part == kind_key else line for line in build.lines
    )
    plural = BY_KEY[kind_key].plural
    verb, before = ("count", "do not count") if counts else ("do not count", "count")
    told = plural[:1].upper() + plural[1:]
    return LineChange(replace(build, lines=lines), f"{told} {verb}", f"{told} {before} again")


def paid_before_is_asked(build: Build, places: Sequence[int]) -> bool:
    """Tell whether it is to be asked where lines that become owned were paid.

    What was ordered or received was paid in the build; what does not count, or has no price, makes
    no difference.
    """
    return any(
        build.lines[place].status is Status.PLANNED
        and build.lines[place].counts
        and build.unit_price(build.lines[place])[0] is not None
        for place in places
    )


def with_owned(
    build: Build, places: Sequence[int], paid_here: bool, today: date
) -> LineChange | None:
    """Return what notes lines as owned; what was paid before this build does not count in it."""
    made = with_status(build, places, Status.OWNED, today)
    if made is None or paid_here:
        return made
    after = made.after
    for place in places:
        after = after.with_line(place, replace(after.lines[place], counts=False))
    return replace(made, after=after, did=f"{made.did}, paid before")
