"""Random books of money: builds with lines of every status, orders, currencies and refunds.

Made from a seed rather than drawn one by one, so that thousands take seconds.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import EXTRAS, SLOTS
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate, ShareBy

CURRENCIES = ("JPY", "EUR", "KWD")
UNRATED = "CHF"
TODAY = date(2027, 2, 1)
_PARTS = {slot: part for slot, part in a_build().parts.items() if slot == "pinion"}
_SUPPLIERS = ("", "Quay shop", "Mill counter", "Seed box")
_QUANTITIES = ("0", "0.25", "1", "1", "1", "1.5", "2", "3", "7", "12.34")


def random_build(seed: int, currency: str) -> Build:
    """Return a build whose money is like nobody's."""
    random = Random(seed)
    others = [code for code in (*CURRENCIES, "USD") if code != currency]
    orders = tuple(_order(random, f"O-{i}", others) for i in range(random.randrange(4)))
    references = ["", "by phone", *(order.reference for order in orders)]
    return Build(
        "book",
        parts=_PARTS,
        currency=currency,
        cap=random.choice((None, Money(random.randrange(10**7), currency))),
        lines=tuple(_line(random, references, others) for _ in range(random.randrange(9))),
        orders=orders,
        rates=tuple(
            Rate(code, _amount(random, 6, 9) + Decimal("0.001"), day)
            for code in others
            for day in sorted({_day(random) for _ in range(random.randrange(1, 3))})
        )
        if random.random() < 0.9
        else (),
        event_date=random.choice((None, date(2027, 4, 10))),
    )


def _amount(random: Random, digits: int, places: int) -> Decimal:
    return Decimal(random.randrange(10**digits)).scaleb(-random.randrange(places + 1))


def _day(random: Random) -> date:
    return date(2026, 11, 1) + timedelta(days=random.randrange(200))


def _day_or_none(random: Random) -> date | None:
    return _day(random) if random.random() < 0.4 else None


def _rate(random: Random) -> Decimal | None:
    return _amount(random, 5, 9) + Decimal("0.001") if random.random() < 0.2 else None


def _line(random: Random, references: list[str], others: list[str]) -> Line:
    quantity, status = Decimal(random.choice(_QUANTITIES)), random.choice(tuple(Status))
    line = Line(
        part=random.choice((*SLOTS, EXTRAS.key, "")),
        name=random.choice(("", "thing", "other")),
        quantity=quantity,
        unit_price=None if random.random() < 0.1 else _amount(random, 6, 5),
        status=status,
        counts=random.random() < 0.7,
        supplier=random.choice(_SUPPLIERS),
        order=random.choice(references),
        arrives=_day_or_none(random),
        currency=random.choice(("", "", "", *others, UNRATED)),
        rate=_rate(random),
        ordered=_day_or_none(random),
        arrived=_day_or_none(random),
        mass_g=_amount(random, 4, 1) if random.random() < 0.3 else None,
        fitted=random.random() < 0.8,
    )
    if status is Status.ORDERED and random.random() < 0.5:
        line = replace(line, came=(quantity * random.randrange(5) / 4).quantize(Decimal("0.01")))
        line = replace(line, came=min(line.came or Decimal(0), quantity))
    if status in (Status.CANCELLED, Status.RETURNED) and random.random() < 0.6:
        line = replace(line, refund=_amount(random, 5, 3))
    return line


def _order(random: Random, reference: str, others: list[str]) -> Order:
    return Order(
        reference,
        random.choice(_SUPPLIERS),
        currency=random.choice(("", "", *others, UNRATED)),
        rate=_rate(random),
        postage=_amount(random, 4, 3),
        duty=_amount(random, 3, 2) if random.random() < 0.3 else Decimal(0),
        discount=_amount(random, 4, 2) if random.random() < 0.3 else Decimal(0),
        share_by=random.choice(tuple(ShareBy)),
        ordered=_day_or_none(random),
        expected=_day_or_none(random),
        arrived=_day_or_none(random),
    )
