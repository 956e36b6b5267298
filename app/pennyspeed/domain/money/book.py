"""The book: what every line of a build costs, in whole minor units of the build's currency.

Every view of a build's money adds up entries of the book and multiplies nothing itself, so all of
them agree to the minor unit. Goods of the lines that count are added exactly, rounded once, and the
rounding is shared over these lines by largest remainder; the same for those that do not count. The
costs of an order are rounded once and shared over its lines.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext
from typing import NamedTuple

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.apportion import apportion, rounded, rounded_together
from pennyspeed.domain.money.entries import ALONE as ALONE
from pennyspeed.domain.money.entries import Costs, left_out_words
from pennyspeed.domain.money.entries import Entry as Entry
from pennyspeed.domain.money.entries import Sum as Sum
from pennyspeed.domain.money.entries import Sums as Sums
from pennyspeed.domain.money.lines import GONE, HERE, Line, Status
from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.money.orders import Order, ShareBy

PRECISION = 200
"""Digits in which sums are exact: an amount has 24, a quantity 25, a rate 24, and a mass 25."""

NO_PRICE = "no price"


def left_out_of(whys: Iterable[str]) -> str:
    """Return in words what a sum leaves out, by why each entry has no cost; "" has one."""
    lacking = [why for why in whys if why]
    unpriced = lacking.count(NO_PRICE)
    return left_out_words(unpriced, len(lacking) - unpriced)


@dataclass(frozen=True)
class Book(Costs):
    """The entries of a build, in the order of its lines, and what they add up to."""

    currency: str
    entries: tuple[Entry, ...]
    sums: Sums
    exact: Decimal
    """Counted goods in minor units before they are rounded."""

    def money(self, minor: int) -> Money:
        """Return an amount of an entry or a sum."""
        return Money(minor, self.currency)

    def by_kind(self) -> dict[str, Sums]:
        """Return the sums by slot; "" is what is in none."""
        return self._by(lambda entry: entry.line.part)

    def by_supplier(self) -> dict[str, Sums]:
        """Return the sums by supplier; "" is nobody named."""
        return self._by(lambda entry: entry.supplier)

    def _by(self, key: Callable[[Entry], str]) -> dict[str, Sums]:
        groups: dict[str, list[Entry]] = {}
        for entry in self.entries:
            groups.setdefault(key(entry), []).append(entry)
        return {name: Sums.of(entries) for name, entries in groups.items()}


class _Goods(NamedTuple):
    """What a line costs before anything is rounded, in minor units of the build's currency."""

    cost: Decimal | None
    value: Decimal
    why: str


_ZERO = Decimal(0)
_NOTHING = _Goods(_ZERO, _ZERO, "")
_UNPRICED = _Goods(None, _ZERO, NO_PRICE)


def book(build: Build) -> Book:
    """Return the book of a build."""
    with localcontext(prec=PRECISION):
        return _book(build)


def _book(build: Build) -> Book:
    orders = {order.reference: order for order in build.orders}
    of_lines = [orders.get(line.order) for line in build.lines]
    goods = [_goods(build, line, order) for line, order in zip(build.lines, of_lines, strict=True)]
    whole: list[int | None] = [None] * len(goods)
    exact = Decimal(0)
    for counts in (True, False):
        places = [
            i
            for i, (line, own) in enumerate(zip(build.lines, goods, strict=True))
            if line.counts is counts and own.cost is not None
        ]
        costs = [goods[i].cost or _ZERO for i in places]
        for i, minor in zip(places, rounded_together(costs), strict=True):
            whole[i] = minor
        if counts:
            exact = sum(costs, exact)
    shares = [0] * len(goods)
    whys = [own.why for own in goods]
    alone = []
    for order in build.orders:
        if order.costs:
            minor, why = _order_costs(build, order)
            bearing = [
                i
                for i, line in enumerate(build.lines)
                if line.order == order.reference and line.status is not Status.CANCELLED
            ]
            if not bearing:
                alone.append(_entry_of_order(build, order, minor, why))
                continue
            weights = _weights(build, order, bearing, goods)
            for i, share in zip(bearing, apportion(minor, weights), strict=True):
                shares[i] += share
                whys[i] = whys[i] or why
    entries = [
        _entry(line, i, order, whole[i], shares[i], whys[i])
        for i, (line, order) in enumerate(zip(build.lines, of_lines, strict=True))
    ]
    entries += alone
    sums = Sums.of(entries)
    counted, uncounted, spent, promised, planned = (
        Money(minor, build.currency)
        for minor in (
            sums.counted.total,
            sums.uncounted.total,
            sums.counted.spent,
            sums.counted.promised,
            sums.counted.planned,
        )
    )
    return Book(
        counted,
        uncounted,
        spent,
        promised,
        planned,
        build.cap,
        None if build.cap is None else build.cap - counted,
        tuple(entry.line.called for entry in entries if entry.why and entry.counts),
        sum(entry.counts and entry.why not in ("", NO_PRICE) for entry in entries),
        build.currency,
        tuple(entries),
        sums,
        exact,
    )


def _goods(build: Build, line: Line, order: Order | None) -> _Goods:
    price, currency = build.unit_price(line)
    status = line.status
    if price is None:
        return _NOTHING if status in GONE else _UNPRICED
    places = digits(build.currency)
    value = line.quantity * price
    if status in GONE:
        all_back = status is Status.CANCELLED and line.refund is None
        cost = _ZERO if all_back else value - (line.refund or 0)
    else:
        cost = value
    if currency != build.currency:
        rate = build.rate_of_line(line, order)
        if rate is None:
            # Nothing is nothing in every currency.
            return _Goods(None, _ZERO, no_rate(currency)) if cost else _NOTHING
        cost, value = cost * rate, value * rate
    return _Goods(cost.scaleb(places), value.scaleb(places), "")


def no_rate(currency: str) -> str:
    """Return why an amount in another currency is not known."""
    return f"no rate for {currency}"


def _order_costs(build: Build, order: Order) -> tuple[int, str]:
    """Return what an order costs in all beside its goods, and why not where that is not known."""
    currency = order.currency or build.currency
    amount = order.costs
    if currency != build.currency:
        rate = build.rate_of_order(order)
        if rate is None:
            return 0, no_rate(currency)
        amount *= rate
    return rounded(amount.scaleb(digits(build.currency))), ""


def _weights(
    build: Build, order: Order, bearing: Sequence[int], goods: Sequence[_Goods]
) -> list[Decimal]:
    if order.share_by is ShareBy.VALUE:
        # What lowers a sum, such as a voucher typed as a line, bears nothing.
        return [max(goods[i].value, _ZERO) for i in bearing]
    lines = [build.lines[i] for i in bearing]
    return [line.quantity * (build.mass_of(line) or _ZERO) for line in lines]


def _entry(
    line: Line, index: int, order: Order | None, goods: int | None, share: int, why: str
) -> Entry:
    total = (goods or 0) + share
    spent = promised = planned = 0
    if line.status in HERE or line.status in GONE:
        spent = total
    elif line.status is Status.PLANNED:
        planned = total
    elif line.came and line.quantity:
        came = min(line.came, line.quantity)
        spent, promised = apportion(total, (came, line.quantity - came))
    else:
        promised = total
    return Entry(
        line, index, line.counts, order, goods, share, total, spent, promised, planned, why
    )


def _entry_of_order(build: Build, order: Order, minor: int, why: str) -> Entry:
    """Return the entry of an order all of whose lines are cancelled, or that has none yet."""
    own = [line for line in build.lines if line.order == order.reference]
    status = Status.PLANNED
    if order.arrived is not None or own:
        status = Status.RECEIVED
    elif order.ordered is not None:
        status = Status.ORDERED
    line = Line(
        "",
        f"Order {order.reference}",
        status=status,
        counts=not own or any(line.counts for line in own),
        supplier=order.supplier,
        order=order.reference,
    )
    return _entry(line, ALONE, order, 0, minor, why)
