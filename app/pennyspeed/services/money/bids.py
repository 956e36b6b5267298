"""Bids: every offer for something that is wanted, weighed in one currency, or why it is refused."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from pennyspeed.domain.money.book import no_rate
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Rate, rate_of
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.cheapest import Assignment, Limit, Shop

NO_OFFER = "no offer"
SOLD_OUT = "not enough in stock"
TOO_LATE = "not here in time"


@dataclass(frozen=True, slots=True)
class Want:
    """So many of one thing.

    Attributes
    ----------
    key : hashable
        What the offers are listed by. Two wants of one key share what is in stock.
    quantity : Decimal
        Above 0.
    now : str or None
        The supplier it is to come from as things stand.
    index : int or None
        Of its line in the build.
    """

    key: Hashable
    quantity: Decimal = Decimal(1)
    now: str | None = None
    index: int | None = None


@dataclass(frozen=True, slots=True)
class Bid:
    """One offer for one want that can be taken, in whole minor units of the basket's currency."""

    want: int
    supplier: str
    price: Price
    goods: int
    duty: int
    worth: int
    lead: int | None

    @property
    def cost(self) -> int:
        return self.goods + self.duty


@dataclass(frozen=True)
class Market:
    """What every offer is weighed by."""

    suppliers: Mapping[str, Supplier]
    rates: Sequence[Rate]
    currency: str
    today: date
    arrive_by: date | None
    leads: Leads

    def rate(self, currency: str) -> Decimal | None:
        if currency == self.currency:
            return Decimal(1)
        found = rate_of(self.rates, currency, self.today)
        return None if found is None else found.rate

    def seller(self, price: Price) -> Supplier:
        """Return who asks the price; somebody unknown sends for nothing."""
        held = self.suppliers.get(price.supplier)
        return held or Supplier(price.supplier, price.amount.currency)

    def bid(self, place: int, want: Want, price: Price) -> Bid | str:
        """Return the offer in this currency, or why it cannot be taken."""
        seller = self.seller(price)
        rate, own = self.rate(price.amount.currency), self.rate(seller.currency)
        if rate is None or own is None:
            return no_rate(price.amount.currency if rate is None else seller.currency)
        if price.in_stock is not None and price.in_stock < want.quantity:
            return SOLD_OUT
        lead = self.leads.days(price.supplier, price)
        comes = self.today if lead is None else self.today + timedelta(days=lead)
        if self.arrive_by is not None and comes > self.arrive_by:
            return TOO_LATE
        exact = want.quantity * price.amount.amount
        goods = Money.of(exact * rate, self.currency)
        duty = Money.of(goods.amount * seller.duty_percent / 100, self.currency)
        if price.amount.currency != seller.currency:
            exact = exact * rate / own
        worth = Money.of(exact, seller.currency).minor
        return Bid(place, price.supplier, price, goods.minor, duty.minor, worth, lead)

    def shop(self, name: str, bid: Bid) -> Shop:
        seller = self.seller(bid.price)
        rate = self.rate(seller.currency)
        assert rate is not None  # its bids were refused without
        free = None
        if seller.free_from is not None:
            free = Money.of(seller.free_from, seller.currency).minor
        return Shop(Money.of(seller.postage * rate, self.currency).minor, free)


def limits_of(wanted: Sequence[Want], bids: Sequence[Bid]) -> list[Limit]:
    """Return a limit for every stock that several wants draw on, in whole numbers."""
    drawn: dict[tuple[Hashable, str], list[int]] = {}
    for i, bid in enumerate(bids):
        if bid.price.in_stock is not None:
            drawn.setdefault((wanted[bid.want].key, bid.supplier), []).append(i)
    limits = []
    for places in drawn.values():
        if len(places) < 2:
            continue
        amounts = [wanted[bids[i].want].quantity for i in places]
        scale = max(0, *(-int(amount.normalize().as_tuple().exponent) for amount in amounts))
        whole = [int(amount.scaleb(scale)) for amount in amounts]
        stock = bids[places[0]].price.in_stock or 0
        limits.append(Limit(tuple(zip(places, whole, strict=True)), stock * 10**scale))
    return limits


def alone(chosen: Assignment, bids: Sequence[Bid], limits: Sequence[Limit]) -> Assignment | None:
    """Return every want from where it alone is cheapest."""
    picked = [
        None
        if i is None
        else min((j for j, bid in enumerate(bids) if bid.want == place), key=lambda j: bids[j].cost)
        for place, i in enumerate(chosen)
    ]
    return _within(tuple(picked), limits)


def as_named(
    wanted: Sequence[Want], chosen: Assignment, bids: Sequence[Bid], limits: Sequence[Limit]
) -> Assignment | None:
    """Return every want from the supplier that it names; None where one names nobody."""
    by_name = {(bid.want, bid.supplier): j for j, bid in enumerate(bids)}
    picked = [
        None if i is None or want.now is None else by_name.get((place, want.now))
        for place, (want, i) in enumerate(zip(wanted, chosen, strict=True))
    ]
    return _within(tuple(picked), limits)


def _within(picked: Assignment, limits: Sequence[Limit]) -> Assignment | None:
    taken = set(picked)
    fits = all(
        sum(amount for i, amount in limit.amounts if i in taken) <= limit.most for limit in limits
    )
    return picked if fits else None
