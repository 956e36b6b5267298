"""A build's money of the tests' own: every status, an order, another currency, something late."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate

CHASSIS, CONTROLLER, TYRES, MOTOR, FEE, FOAM = range(6)
DAYS_LATE = 10


def day(ahead: int) -> date:
    """Return a day so many days from today."""
    return date.today() + timedelta(days=ahead)


def with_story(build: Build) -> Build:
    """Return a car with money of which every sum is worked out by hand below.

    Spent: 58.00 for the chassis, 12.00 USD at 0.92 = 11.04 for foam, and half of the tyres.
    Order P-1 adds 4.90 postage to 46.00 and 19.60 of goods: 3.44 and 1.46 by largest remainder.
    Tyres are 21.06, one of two here: 10.53 spent, 10.53 promised. Controller 49.44 promised.
    """
    lines = (
        Line("chassis", build.parts["chassis"].name, unit_price=Decimal("58.00"),
             status=Status.RECEIVED, ordered=day(-40), arrived=day(-38), supplier="club swap"),
        Line("controller", build.parts["controller"].name, unit_price=Decimal("46.00"),
             status=Status.ORDERED, order="P-1"),
        Line("tyres", build.parts["tyres"].name, quantity=Decimal(2), unit_price=Decimal("9.80"),
             status=Status.ORDERED, order="P-1", came=Decimal(1)),
        Line("motor", build.parts["motor"].name, unit_price=Decimal("34.90"), arrives=day(80)),
        Line("", "Entry fee", unit_price=Decimal("15.00"), counts=False, arrives=day(20)),
        Line("", "Foam", unit_price=Decimal("12.00"), currency="USD", status=Status.RECEIVED,
             ordered=day(-20), arrived=day(-12), supplier="Seed box"),
    )  # fmt: skip
    return replace(
        build,
        currency="EUR",
        cap=Money(26000, "EUR"),
        lines=lines,
        orders=(
            Order("P-1", "Mill counter", postage=Decimal("4.90"), ordered=day(-10),
                  expected=day(5)),
        ),
        rates=(Rate("USD", Decimal("0.92"), day(-30)),),
        event_date=day(80 - DAYS_LATE),
    )  # fmt: skip
