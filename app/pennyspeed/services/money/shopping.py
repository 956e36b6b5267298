"""Shopping for a build: what is still to buy, where that is cheapest, and the lines after it."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from decimal import localcontext

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import PRECISION
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.baskets import Basket, basket
from pennyspeed.services.money.bids import Want


def wants_of(
    build: Build, today: date, offers: Mapping[int, Sequence[Price]]
) -> tuple[tuple[Want, ...], dict[Hashable, Sequence[Price]]]:
    """Return what a build has still to buy, and the offers for it.

    That is every line which is planned and not made. The price that a line states stands in where
    the catalogue has none of that supplier. A thing that is not in the catalogue is wanted once, at
    the price of all of it.

    Parameters
    ----------
    offers : mapping
        Id of a part to its prices.
    """
    wants: list[Want] = []
    found: dict[Hashable, tuple[Price, ...]] = {}
    for index, line in enumerate(build.lines):
        part = build.part_of_line(line)
        made = part is not None and part.recipe is not None
        if line.status is not Status.PLANNED or not line.fitted or made or line.quantity <= 0:
            continue
        supplier = build.supplier_of(line)
        amount, currency = build.unit_price(line)
        if part is None or part.id is None:
            key: Hashable = ("line", index)
            known: tuple[Price, ...] = ()
            if amount is not None:
                with localcontext(prec=PRECISION):
                    whole = Money.of(line.quantity * amount, currency)
                known = (Price(whole, today, supplier),)
            wants.append(Want(key, now=supplier, index=index))
        else:
            key, known = part.id, found.get(part.id, tuple(offers.get(part.id, ())))
            told = any(price.supplier == supplier for price in known)
            if amount is not None and not told and (supplier or not known):
                known = (*known, Price(Money.of(amount, currency), today, supplier))
            wants.append(Want(key, line.quantity, supplier, index))
        found[key] = known
    return tuple(wants), dict(found)


def basket_of(
    build: Build,
    offers: Mapping[int, Sequence[Price]],
    suppliers: Iterable[Supplier],
    today: date,
    leads: Leads | None = None,
) -> Basket:
    """Return the cheapest basket of what a build has still to buy, here by its event.

    See :func:`wants_of` for what that is, and :func:`basket` for the rest.
    """
    wants, found = wants_of(build, today, offers)
    day = build.event_date
    return basket(wants, found, suppliers, build.rates, build.currency, today, day, leads)


def with_basket(build: Build, found: Basket) -> Build:
    """Return the build with every line at the supplier and the price that its basket chose.

    A line goes out of an order that is another supplier's.
    """
    for choice in found.choices:
        index, price = choice.want.index, choice.price
        if index is None or price is None or choice.want.now == price.supplier:
            continue
        line = build.lines[index]
        currency = price.amount.currency
        line = replace(
            line,
            supplier=price.supplier,
            unit_price=price.amount.amount,
            currency="" if currency == build.currency else currency,
            rate=None,
            rate_on=None,
            order="" if build.order_of(line) is not None else line.order,
        )
        build = build.with_line(index, line)
    return build
