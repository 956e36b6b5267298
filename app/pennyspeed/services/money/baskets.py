"""Baskets: which supplier for which part, so that the parts cost least where they are needed.

Landed cost is goods, duty and postage. A line is not split over suppliers: it has one supplier and
one order in the book, and two lines of one thing may come from two. Goods are rounded for each
line, as a bill does, and duty on them for each line too.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import localcontext

from pennyspeed.domain.money.book import PRECISION
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier, newest, stale
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.bids import (
    NO_OFFER,
    SOLD_OUT,
    Bid,
    Market,
    Want,
    alone,
    as_named,
    limits_of,
)
from pennyspeed.services.money.cheapest import Assignment, Deal, Shop, cheapest, landed, postage


@dataclass(frozen=True, slots=True)
class Choice:
    """What a want is met by.

    Attributes
    ----------
    price : Price or None
        The offer; None where there is none.
    goods, duty : Money or None
        In the basket's currency, for the whole quantity.
    why : str
        Why it is not met: no offer, no rate, not enough in stock, not here in time.
    lead_days : int or None
        None where nobody knows.
    """

    want: Want
    price: Price | None = None
    goods: Money | None = None
    duty: Money | None = None
    why: str = ""
    is_stale: bool = False
    lead_days: int | None = None


@dataclass(frozen=True, slots=True)
class Parcel:
    """What comes from one supplier.

    Attributes
    ----------
    is_known : bool
        False where nobody said what the supplier takes for sending; it then counts as nothing.
    """

    supplier: str
    goods: Money
    duty: Money
    postage: Money
    is_known: bool

    @property
    def total(self) -> Money:
        """Goods, duty and postage."""
        return self.goods + self.duty + self.postage


@dataclass(frozen=True)
class Basket:
    """The cheapest way to have everything that is wanted, as far as there are offers.

    Attributes
    ----------
    choices : tuple of Choice
        In the order of the wants.
    parcels : tuple of Parcel
        By the supplier's name.
    each_cheapest : Money or None
        What it costs to take every part where that part alone is cheapest, postage forgotten until
        the bill; None where the stock does not carry that.
    as_now : Money or None
        What it costs from the suppliers that the lines name now; None where one has no offer.
    """

    currency: str
    choices: tuple[Choice, ...]
    parcels: tuple[Parcel, ...]
    goods: Money
    duty: Money
    postage: Money
    total: Money
    each_cheapest: Money | None
    as_now: Money | None

    @property
    def unmet(self) -> tuple[Choice, ...]:
        """Wants that no offer meets, with the reason."""
        return tuple(choice for choice in self.choices if choice.price is None)

    @property
    def saving(self) -> Money | None:
        """Against taking every part where it alone is cheapest."""
        return None if self.each_cheapest is None else self.each_cheapest - self.total

    @property
    def saving_now(self) -> Money | None:
        """Against the suppliers that the lines name now."""
        return None if self.as_now is None else self.as_now - self.total


def basket(
    wanted: Sequence[Want],
    offers: Mapping[Hashable, Sequence[Price]],
    suppliers: Iterable[Supplier],
    rates: Sequence[Rate],
    currency: str,
    today: date,
    arrive_by: date | None = None,
    leads: Leads | None = None,
) -> Basket:
    """Return the cheapest basket: exact, with postage shared by what comes from one supplier.

    Parameters
    ----------
    offers : mapping
        Prices of each key; of one supplier the newest holds.
    rates : sequence of Rate
        Into `currency`.
    arrive_by : date or None
        Leaves out what is known to be here too late; what takes nobody knows how long stays.

    Raises
    ------
    Defect
        Where the programme is not solved, which is our mistake.
    """
    held = tuple(suppliers)
    names = {supplier.name: supplier for supplier in held}
    market = Market(
        names, rates, currency, today, arrive_by, Leads.of((), held) if leads is None else leads
    )
    bids: list[Bid] = []
    reasons: list[str] = []
    with localcontext(prec=PRECISION):
        for place, want in enumerate(wanted):
            found = [market.bid(place, want, price) for price in newest(offers.get(want.key, ()))]
            bids += [bid for bid in found if isinstance(bid, Bid)]
            refused = dict.fromkeys(why for why in found if isinstance(why, str))
            # what is left without an offer that could be taken: others had all there was
            reasons.append("; ".join(refused) or (SOLD_OUT if found else NO_OFFER))
        places = {name: i for i, name in enumerate(sorted({bid.supplier for bid in bids}))}
        sample = {bid.supplier: bid for bid in bids}
        shops = [market.shop(name, sample[name]) for name in places]
        limits = limits_of(wanted, bids)
    deals = [Deal(bid.want, places[bid.supplier], bid.cost, bid.worth) for bid in bids]
    chosen = cheapest(len(wanted), deals, shops, limits)
    choices = [
        Choice(want, why=why) if i is None else _choice(want, bids[i], market)
        for want, i, why in zip(wanted, chosen, reasons, strict=True)
    ]
    parcels = _parcels(chosen, bids, shops, places, market)
    zero = Money(0, currency)
    return Basket(
        currency,
        tuple(choices),
        parcels,
        sum((parcel.goods for parcel in parcels), zero),
        sum((parcel.duty for parcel in parcels), zero),
        sum((parcel.postage for parcel in parcels), zero),
        Money(landed(deals, shops, chosen), currency),
        _cost(alone(chosen, bids, limits), chosen, deals, shops, currency),
        _cost(as_named(wanted, chosen, bids, limits), chosen, deals, shops, currency),
    )


def _choice(want: Want, bid: Bid, market: Market) -> Choice:
    return Choice(
        want,
        bid.price,
        Money(bid.goods, market.currency),
        Money(bid.duty, market.currency),
        is_stale=stale(bid.price, market.today),
        lead_days=bid.lead,
    )


def _parcels(
    chosen: Assignment,
    bids: Sequence[Bid],
    shops: Sequence[Shop],
    places: Mapping[str, int],
    market: Market,
) -> tuple[Parcel, ...]:
    taken = [bids[i] for i in chosen if i is not None]
    found = []
    for name, place in places.items():
        own = [bid for bid in taken if bid.supplier == name]
        if own:
            sent = postage(shops[place], sum(bid.worth for bid in own))
            amounts = (sum(bid.goods for bid in own), sum(bid.duty for bid in own), sent)
            goods, duty, sending = (Money(amount, market.currency) for amount in amounts)
            found.append(Parcel(name, goods, duty, sending, name in market.suppliers))
    return tuple(found)


def _cost(
    other: Assignment | None,
    chosen: Assignment,
    deals: Sequence[Deal],
    shops: Sequence[Shop],
    currency: str,
) -> Money | None:
    """Return what another assignment of the same wants costs; None where it leaves one out."""
    if other is None or any(
        (mine is None) != (its is None) for mine, its in zip(chosen, other, strict=True)
    ):
        return None
    return Money(landed(deals, shops, other), currency)
