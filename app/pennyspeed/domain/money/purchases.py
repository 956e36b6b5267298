"""Purchases: what a build holds of money, and what each line, order and rate says together.

A line is asked through its build: its order may know the supplier and the days, the part in its
slot the price and the mass.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, Self

from pennyspeed.domain.kinds import BY_KEY, EXTRAS
from pennyspeed.domain.money.lines import BOUGHT, HERE, Line, Status
from pennyspeed.domain.money.orders import Order, Rate, rate_of
from pennyspeed.domain.parts.parts import Part


class Purchases:
    """The money of a :class:`~pennyspeed.domain.builds.Build`, which has these attributes."""

    parts: Mapping[str, Part]
    extras: tuple[Part, ...]
    currency: str
    lines: tuple[Line, ...]
    orders: tuple[Order, ...]
    rates: tuple[Rate, ...]
    event_date: date | None
    counted_kinds: Mapping[str, bool]

    def _with(self, **changes: Any) -> Self:
        return replace(self, **changes)  # type: ignore[type-var]

    def counts(self, kind_key: str) -> bool:
        """Tell whether a new part of that kind counts toward the cap."""
        return self.counted_kinds.get(kind_key, BY_KEY[kind_key].counts)

    # what a line says -------------------------------------------------------------------------

    def line(self, slot: str) -> Line | None:
        """Return the first line of money of what is in a slot, or None."""
        place = self.fitted_line(slot)
        return None if place is None else self.lines[place]

    def fitted_line(self, slot: str) -> int | None:
        """Return the place of the first line of what is in a slot, or None."""
        return next(
            (i for i, line in enumerate(self.lines) if line.part == slot and line.fitted), None
        )

    def line_of_extra(self, index: int) -> int | None:
        """Return the place of the line that goes with one extra, or None.

        Extras of one name have the lines of that name in their order. Where these are fewer, a line
        pays for several and stays as long as one of them does.
        """
        name = self.extras[index].name
        alike = [i for i, one in enumerate(self.extras) if one.name == name]
        lines = [
            i
            for i, line in enumerate(self.lines)
            if line.part == EXTRAS.key and line.fitted and line.name == name
        ]
        return lines[alike.index(index)] if len(lines) >= len(alike) else None

    def bought_before(self, part: Part) -> int | None:
        """Return the place of the line that paid for such a part already, or None.

        That is one in the drawer, or the one of the part in the slot where only figures differ.
        """
        return next(
            (
                i
                for i, line in enumerate(self.lines)
                if line.part == part.kind_key
                and line.name == part.name
                and line.status in BOUGHT
                and not (line.fitted and (part.kind.many or i != self.fitted_line(line.part)))
            ),
            None,
        )

    def part_of_line(self, line: Line) -> Part | None:
        """Return the part in the build that a line pays for, or None.

        That of a slot has the slot's first fitted line, whatever it is called; extras of one name
        have the lines of that name in their order.
        """
        if not line.fitted:
            return None
        if line.part == EXTRAS.key:
            alike = [one for one in self.extras if one.name == line.name]
            lines = [
                one
                for one in self.lines
                if one.part == line.part and one.fitted and one.name == line.name
            ]
            # Two that are equal are told apart by what they are.
            place = next((i for i, one in enumerate(lines) if one is line), len(alike))
            return alike[place] if place < len(alike) else None
        part = self.parts.get(line.part)
        return part if part is not None and self.line(line.part) == line else None

    def unit_price(self, line: Line) -> tuple[Decimal | None, str]:
        """Return what one costs, and the currency of that; None where it is not known.

        A part with a recipe costs what that comes to now, unless its line says otherwise.
        """
        if line.unit_price is None:
            part = self.part_of_line(line)
            if part is not None and part.recipe is not None:
                cost = part.recipe.cost(self.currency)
                return None if cost is None else cost.amount, self.currency
        return line.unit_price, line.currency or self.currency

    def mass_of(self, line: Line) -> Decimal | None:
        """Return the mass of one [g], the part's where the line states none; None if not known."""
        if line.mass_g is not None:
            return line.mass_g
        part = self.part_of_line(line)
        return None if part is None else _mass_of(part)

    def order_of(self, line: Line) -> Order | None:
        """Return the order that a line belongs to, or None."""
        return next((order for order in self.orders if order.reference == line.order), None)

    def supplier_of(self, line: Line) -> str:
        """Return who sells it: the order's supplier where the line names nobody."""
        order = self.order_of(line)
        return line.supplier or ("" if order is None else order.supplier)

    def ordered_on(self, line: Line) -> date | None:
        """Return the day it was ordered; None where that is not known."""
        order = self.order_of(line)
        return line.ordered or (None if order is None else order.ordered)

    def awaited_on(self, line: Line) -> date | None:
        """Return the day it is to come; None where that is not known."""
        order = self.order_of(line)
        return line.arrives or (None if order is None else order.expected)

    def comes_late(self, line: Line) -> bool:
        """Tell whether it comes after the event, as far as both days are known."""
        day = self.awaited_on(line)
        return day is not None and self.event_date is not None and day > self.event_date

    def arrived_on(self, line: Line) -> date | None:
        """Return the day it did come; None where it did not, or nobody knows."""
        order = self.order_of(line)
        came = line.arrived or (None if order is None else order.arrived)
        return came or (line.arrives if line.status in HERE else None)

    def rate_of_line(self, line: Line, order: Order | None) -> Decimal | None:
        """Return the rate for a line's currency: its own, its order's, else the build's."""
        if line.rate is not None:
            return line.rate
        if order is not None and order.rate is not None and order.currency == line.currency:
            return order.rate
        day = line.ordered or (None if order is None else order.ordered)
        found = rate_of(self.rates, line.currency, day)
        return None if found is None else found.rate

    def rate_of_order(self, order: Order) -> Decimal | None:
        """Return the rate for an order's currency: its own, else the build's."""
        if order.rate is not None:
            return order.rate
        found = rate_of(self.rates, order.currency, order.ordered)
        return None if found is None else found.rate

    # changes ----------------------------------------------------------------------------------

    def with_line(self, index: int, line: Line) -> Self:
        """Return the build with one line changed; what is bought keeps the rate of its day."""
        lines = list(self.lines)
        lines[index] = self._with_its_rate(line)
        return self._with(lines=tuple(lines))

    def with_new_line(self, line: Line) -> Self:
        """Return the build with one line more, at the end."""
        return self._with(lines=(*self.lines, self._with_its_rate(line)))

    def without_line(self, index: int) -> Self:
        """Return the build without one line; the part it paid for stays."""
        return self._with(lines=self.lines[:index] + self.lines[index + 1 :])

    def with_order(self, order: Order, was: str | None = None) -> Self:
        """Return the build with an order new or changed; `was` is the reference it had before.

        Its lines go along with a new reference. Once it is ordered it keeps the rate of its day.
        """
        was = order.reference if was is None else was
        if order.currency not in ("", self.currency) and order.ordered and order.rate is None:
            rate = rate_of(self.rates, order.currency, order.ordered)
            if rate is not None:
                order = replace(order, rate=rate.rate, rate_on=rate.on)
        orders = [one for one in self.orders if one.reference not in (was, order.reference)]
        places = [i for i, one in enumerate(self.orders) if one.reference == was]
        orders.insert(places[0] if places else len(orders), order)
        lines = tuple(
            replace(line, order=order.reference) if was and line.order == was else line
            for line in self.lines
        )
        return self._with(orders=tuple(orders), lines=lines)

    def without_order(self, reference: str) -> Self:
        """Return the build without an order; its lines keep the reference as a note."""
        return self._with(orders=tuple(one for one in self.orders if one.reference != reference))

    def with_rate(self, rate: Rate) -> Self:
        """Return the build with a rate, in place of one of that currency and day."""
        others = [one for one in self.rates if (one.currency, one.on) != (rate.currency, rate.on)]
        rates = sorted([*others, rate], key=lambda one: (one.currency, one.on))
        return self._with(rates=tuple(rates))

    def without_rate(self, currency: str, on: date) -> Self:
        """Return the build without the rate of a currency and a day."""
        kept = tuple(one for one in self.rates if (one.currency, one.on) != (currency, on))
        return self._with(rates=kept)

    def _with_its_rate(self, line: Line) -> Line:
        foreign = line.currency not in ("", self.currency)
        if not foreign or line.rate is not None or line.status is Status.PLANNED:
            return line
        order = self.order_of(line)
        if order is not None and order.rate is not None and order.currency == line.currency:
            return replace(line, rate=order.rate, rate_on=order.rate_on)
        rate = rate_of(self.rates, line.currency, self.ordered_on(line))
        return line if rate is None else replace(line, rate=rate.rate, rate_on=rate.on)

    def put_aside(self, line: Line) -> list[Line]:
        """Return what is left of a line when its part goes out: nothing where it was a plan."""
        if line.status is Status.PLANNED:
            return []
        # What the part in the slot says of the line holds no longer once it is out.
        price, currency = self.unit_price(line)
        code = "" if currency == self.currency else currency
        mass = self.mass_of(line)
        return [replace(line, unit_price=price, currency=code, mass_g=mass, fitted=False)]


def line_for(part: Part, currency: str, counts: bool = True) -> Line:
    """Return the line of money that a part brings into a build; `currency` is the build's.

    One that is made costs what its recipe comes to, now and later.
    """
    price = part.price
    if part.recipe is not None:
        return Line(part.kind_key, part.name, counts=counts)
    own = price is None or price.amount.currency == currency
    return Line(
        part.kind_key,
        part.name,
        unit_price=None if price is None else price.amount.amount,
        counts=counts,
        supplier="" if price is None else price.supplier,
        currency="" if own or price is None else price.amount.currency,
    )


def taken_back(line: Line, part: Part, currency: str) -> Line:
    """Return the line of a part that comes out of the drawer.

    It follows the part's recipe and mass again where they are still what was noted.
    """
    cost = None if part.recipe is None else part.recipe.cost(currency)
    follows = cost is not None and cost.amount == line.unit_price and not line.currency
    same_mass = line.mass_g is not None and line.mass_g == _mass_of(part)
    return replace(
        line,
        unit_price=None if follows else line.unit_price,
        mass_g=None if same_mass else line.mass_g,
        fitted=True,
    )


def _mass_of(part: Part) -> Decimal | None:
    mass = part.known_number("mass_g")
    # the shortest text that stands for the number, so that 0.1 is a tenth
    return None if mass is None else Decimal(repr(mass))
