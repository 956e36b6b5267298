"""The calendar of a build: what has to be ordered by when, what comes, what is overdue or missing.

How long a supplier takes is learned from what came before, else it is what was said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import StrEnum

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import ALONE, book
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.lines import GONE, HERE, OPEN, Line, Status
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price

MARGIN_DAYS = 1
"""Days that a thing is to be here before the event (own judgement)."""

CAME = (*HERE, Status.RETURNED)
"""What did come, if it was ordered."""

Arrival = tuple[str, date, date]
"""Supplier, the day of an order, and the day on which it came."""


class ItemKind(StrEnum):
    """What an item asks for; those of one day stand in this order."""

    OVERDUE = "overdue"
    LATE = "late"
    ORDER_BY = "order by"
    ARRIVES = "arrives"
    EVENT = "event"
    NO_DAY = "no day"
    NO_PRICE = "no price"


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of the agenda."""

    kind: ItemKind
    day: date | None
    """When something is to be done or comes; None where that is not known."""
    what: str
    """The thing's name."""
    text: str
    """One sentence, without its full stop."""
    index: int | None = None
    """Of the line in the build; None for the event and for an order without lines."""
    order: str = ""
    """Reference of its order; "" without one."""


@dataclass(frozen=True)
class Leads:
    """How many days suppliers take from order to arrival; names are compared without case."""

    learned: Mapping[str, int] = field(default_factory=dict)
    """Supplier to days, from what came before."""
    said: Mapping[str, int] = field(default_factory=dict)
    """The same, as the supplier says."""

    @classmethod
    def of(cls, arrivals: Iterable[Arrival] = (), suppliers: Iterable[Supplier] = ()) -> Leads:
        """Return what past arrivals and the suppliers' own words say.

        Learned is the median, of an even number the longer of the two in the middle. An arrival
        before its order is a slip and left out.

        >>> day = date(2027, 3, 1)
        >>> came = [("Seed box", day, day + timedelta(n)) for n in (4, 30, 6, 5)]
        >>> Leads.of(came).days("seed box")
        6
        """
        taken: dict[str, list[int]] = {}
        for name, ordered, arrived in arrivals:
            if _plain(name) and arrived >= ordered:
                taken.setdefault(_plain(name), []).append((arrived - ordered).days)
        return cls(
            {name: sorted(days)[len(days) // 2] for name, days in taken.items()},
            {
                _plain(supplier.name): supplier.lead_days
                for supplier in suppliers
                if supplier.lead_days is not None
            },
        )

    def days(self, supplier: str, price: Price | None = None) -> int | None:
        """Return the days from order to arrival; None where nobody knows.

        What was said with a price stands where it is longer: a thing out of stock is not hurried by
        what came quickly before.
        """
        name = _plain(supplier)
        usual = self.learned.get(name, self.said.get(name))
        special = None if price is None else price.lead_days
        known = [days for days in (usual, special) if days is not None]
        return max(known, default=None)


def arrivals_of(*builds: Build) -> list[Arrival]:
    """Return supplier, day of order and day of arrival of what came of some builds.

    Several lines of one order that came on one day are one arrival.
    """
    found = {}
    for build in builds:
        for line in build.lines:
            ordered, arrived = build.ordered_on(line), build.arrived_on(line)
            supplier = build.supplier_of(line)
            if line.status in CAME and supplier and ordered is not None and arrived is not None:
                found[supplier, line.order, ordered, arrived] = (supplier, ordered, arrived)
    return list(found.values())


def lead_of(build: Build, leads: Leads, line: Line) -> int | None:
    """Return the days that a line takes to come; None where nobody knows, or it is made."""
    part = build.part_of_line(line)
    if part is not None and part.recipe is not None:
        return None
    return leads.days(build.supplier_of(line), _price_of(build, line))


def _plain(name: str) -> str:
    return name.strip().casefold()


def order_by(event: date, lead_days: int) -> date:
    """Return the last day to order on for a thing to be here in time.

    >>> order_by(date(2027, 4, 10), 8)
    datetime.date(2027, 4, 1)
    """
    return event - timedelta(days=lead_days + MARGIN_DAYS)


def agenda(build: Build, leads: Leads, today: date) -> tuple[Item, ...]:
    """Return what is open, overdue or missing, soonest first; what has no day stands last."""
    items = []
    for index, line in enumerate(build.lines):
        # what is in the drawer and only planned is nobody's business any more
        if line.status is Status.ORDERED or line.is_awaited:
            planned = line.status is Status.PLANNED
            item = _to_order if planned else _to_come
            items += item(build, leads, today, index, line)
    for entry in book(build).entries:
        open_or_here = entry.line.status not in GONE and (
            entry.line.fitted or entry.line.status not in OPEN
        )
        if entry.why and open_or_here:
            what = entry.line.called
            place = None if entry.index == ALONE else entry.index
            text = f"{what} counts as nothing so far: {entry.why}"
            items.append(Item(ItemKind.NO_PRICE, None, what, text, place, entry.line.order))
    if build.event_date is not None:
        text = f"The event, with {build.name}"
        items.append(Item(ItemKind.EVENT, build.event_date, build.name, text))
    rank = list(ItemKind)
    return tuple(
        sorted(
            items,
            key=lambda item: (
                item.day is None,
                item.day or date.max,
                rank.index(item.kind),
                -1 if item.index is None else item.index,
            ),
        )
    )


def expected_on(build: Build, leads: Leads, today: date, line: Line) -> date | None:
    """Return the day a line that is open comes: the known one, else by its supplier's lead time.

    A planned one is taken to be ordered today.
    """
    day = build.awaited_on(line)
    if day is not None:
        return day
    start = today if line.status is Status.PLANNED else build.ordered_on(line)
    lead = lead_of(build, leads, line)
    return None if start is None or lead is None else start + timedelta(days=lead)


def _price_of(build: Build, line: Line) -> Price | None:
    """Return the price of the part that a line pays for, if the line's supplier asked it."""
    part = build.part_of_line(line)
    if part is None or part.price is None:
        return None
    return part.price if _plain(part.price.supplier) == _plain(build.supplier_of(line)) else None


def _to_come(build: Build, leads: Leads, today: date, index: int, line: Line) -> list[Item]:
    """Return the item of something that is ordered."""
    what = line.called
    day = expected_on(build, leads, today, line)
    if day is None:
        text = f"{what} is ordered, and no day is known; ask when it comes"
        return [Item(ItemKind.NO_DAY, None, what, text, index, line.order)]
    if day < today:
        late = say_days((today - day).days)
        text = f"{what} was to come on {say_day(day)}, {late} ago; ask where it is"
        return [Item(ItemKind.OVERDUE, day, what, text, index, line.order)]
    return [_coming(build, index, line, day)]


def _coming(build: Build, index: int, line: Line, day: date) -> Item:
    what, event = line.called, build.event_date
    if event is not None and day > event and line.fitted:
        text = f"{what} comes on {say_day(day)}, {say_days((day - event).days)} after the event"
        return Item(ItemKind.LATE, day, what, text, index, line.order)
    text = f"{what} comes on {say_day(day)}"
    return Item(ItemKind.ARRIVES, day, what, text, index, line.order)


def _to_order(build: Build, leads: Leads, today: date, index: int, line: Line) -> list[Item]:
    """Return the item of something that is still to be ordered, if there is one."""
    event, what, supplier = build.event_date, line.called, build.supplier_of(line)
    part = build.part_of_line(line)
    if part is not None and part.recipe is not None:
        return []  # it is made, not ordered
    lead = lead_of(build, leads, line)
    known = build.awaited_on(line)
    if lead is None or event is None:
        if known is not None:
            return [_coming(build, index, line, known)]
        if event is None:
            return []
        whose = f" from {supplier}" if supplier else ""
        text = f"{what} is not ordered, and nobody knows how long it takes{whose}"
        return [Item(ItemKind.NO_DAY, None, what, text, index, line.order)]
    last, comes = order_by(event, lead), max(known or today, today + timedelta(days=lead))
    if comes > event:
        after = say_days((comes - event).days)
        text = f"{what} comes {after} too late, on {say_day(comes)}, even if it is ordered today"
        return [Item(ItemKind.LATE, max(today, last), what, text, index, line.order)]
    if last < today:
        text = f"Order {what} today to have it by the event; it takes {say_days(lead)}"
        return [Item(ItemKind.OVERDUE, last, what, text, index, line.order)]
    text = f"Order {what} by {say_day(last)} to have it; it takes {say_days(lead)}"
    return [Item(ItemKind.ORDER_BY, last, what, text, index, line.order)]
