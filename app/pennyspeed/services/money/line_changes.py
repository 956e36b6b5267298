"""What can be done to lines of money, each as a build after it and the words that tell it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import OPEN, Line, Status
from pennyspeed.domain.money.orders import Order

DID = {
    Status.PLANNED: "planned {}",
    Status.ORDERED: "ordered {}",
    Status.RECEIVED: "received {}",
    Status.OWNED: "noted {} as owned",
    Status.MADE: "noted {} as made",
    Status.CANCELLED: "cancelled {}",
    Status.RETURNED: "returned {}",
}
NEW_NAME = "something"
"""What a new line is called until it has a name."""


@dataclass(frozen=True, slots=True)
class LineChange:
    """A change of a build's money.

    Attributes
    ----------
    did, undid : str
        "ordered Marl 80" and "put back Marl 80: planned".
    """

    after: Build
    did: str
    undid: str


def line_with_status(build: Build, line: Line, status: Status, today: date) -> Line:
    """Return a line that stands elsewhere; days that nobody has noted yet are today's."""
    if status is Status.PLANNED:
        # A plan follows the rates again.
        line = replace(line, ordered=None, arrived=None, came=None, refund=None)
        if line.rate_on is not None:
            line = replace(line, rate=None, rate_on=None)
    elif status is Status.ORDERED:
        ordered = line.ordered if build.ordered_on(line) is not None else today
        line = replace(line, ordered=ordered, arrived=None, came=None, refund=None)
    elif status is Status.RECEIVED:
        order = build.order_of(line)
        known = line.arrived or (None if order is None else order.arrived)
        is_new = line.status in OPEN and known is None
        line = replace(line, arrived=today if is_new else line.arrived, came=None, refund=None)
    elif status in (Status.OWNED, Status.MADE):
        line = replace(line, came=None, refund=None)
    else:
        line = replace(line, came=None)
    return replace(line, status=status)


def with_status(
    build: Build, places: Sequence[int], status: Status, today: date
) -> LineChange | None:
    """Return what puts lines elsewhere; None where all of them stand there already."""
    moved = [i for i in places if build.lines[i].status is not status]
    if not moved:
        return None
    after = build
    for i in moved:
        after = after.with_line(i, line_with_status(build, build.lines[i], status, today))
    did = DID[status].format(_called(build, moved))
    if len(moved) > 1:
        return LineChange(after, did, f"put {_called(build, moved)} back as they were")
    line = build.lines[moved[0]]
    return LineChange(after, did, f"put back {line.called}: {line.status.value}")


def with_counts_turned(build: Build, places: Sequence[int]) -> LineChange | None:
    """Return what makes lines count toward the cap, or count no more where the first one does."""
    if not places:
        return None
    counts = not build.lines[places[0]].counts
    after = build
    for i in places:
        after = after.with_line(i, replace(build.lines[i], counts=counts))
    names, one = _called(build, places), len(places) == 1
    verb = "counts" if one else "count"
    not_verb = "does not count" if one else "do not count"
    now, before = (verb, not_verb) if counts else (not_verb, verb)
    return LineChange(after, f"{names} {now}", f"{names} {before} again")


def without_lines(build: Build, places: Sequence[int]) -> LineChange | None:
    """Return what removes lines; the parts they paid for stay in the car."""
    if not places:
        return None
    after = build
    for i in sorted(places, reverse=True):
        after = after.without_line(i)
    names = _called(build, places)
    whose = f"the line of {names}" if len(places) == 1 else names
    return LineChange(after, f"removed {whose}", f"put back {whose}")


def with_something(build: Build) -> LineChange:
    """Return what adds a line that is to be named."""
    return LineChange(
        build.with_new_line(Line("", NEW_NAME)), "added a line", "removed the new line"
    )


def edited(build: Build, after: Build, place: int, label: str, was: str, now: str) -> LineChange:
    """Return one figure of a line that was typed anew."""
    name = build.lines[place].called
    return LineChange(
        after,
        f"{label} of {name}: {now or 'none'}",
        f"put back {name}: {label} {was or 'none'}",
    )


def with_order(
    build: Build, order: Order, was: str | None, places: Sequence[int], today: date
) -> LineChange:
    """Return an order new or changed, with the lines that it gathers.

    A gathered line takes the order's supplier; where the order has been sent, what was only planned
    is ordered from then on.
    """
    after = build.with_order(order, was)
    for i in places:
        line = replace(after.lines[i], order=order.reference)
        if order.supplier:
            line = replace(line, supplier=order.supplier)
        if order.ordered is not None and line.status is Status.PLANNED:
            line = line_with_status(after, line, Status.ORDERED, today)
        after = after.with_line(i, line)
    if was is None:
        return LineChange(
            after, f"made order {order.reference}", f"took order {order.reference} apart"
        )
    return LineChange(after, f"changed order {order.reference}", f"put order {was} back as it was")


def without_order(build: Build, reference: str) -> LineChange:
    """Return what removes an order; its lines keep the reference as a note."""
    return LineChange(
        build.without_order(reference),
        f"removed order {reference}",
        f"put back order {reference}",
    )


def _called(build: Build, places: Sequence[int]) -> str:
    if len(places) == 1:
        return build.lines[places[0]].called
    return f"{len(places)} lines"
