"""Offers and suppliers: which price holds, when it is old, and what a supplier may ask."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import MOST_LEAD_DAYS, STALE_AFTER_DAYS, Supplier, newest, stale
from pennyspeed.domain.parts.parts import Price

DAY = date(2027, 3, 1)


def a_price(minor: int, supplier: str, days: int = 0) -> Price:
    return Price(Money(minor, "EUR"), DAY + timedelta(days=days), supplier)


def test_the_newest_price_of_every_supplier_is_its_offer() -> None:
    prices = [
        a_price(1, "Shed"),
        a_price(2, "Shed", 5),
        a_price(3, "Shed", 2),
        a_price(4, "Attic", -9),
        a_price(5, "Shed", 5),
    ]
    assert [price.amount.minor for price in newest(prices)] == [4, 5]


def test_a_price_is_stale_after_its_days_and_not_on_the_last() -> None:
    price = a_price(1, "Shed")
    assert not stale(price, DAY + timedelta(days=STALE_AFTER_DAYS))
    assert stale(price, DAY + timedelta(days=STALE_AFTER_DAYS + 1))


@pytest.mark.parametrize(
    ("place", "changed"),
    [
        ("supplier", {"name": "  "}),
        ("currency", {"currency": "euro"}),
        ("postage", {"postage": Decimal("NaN")}),
        ("free from", {"free_from": Decimal(-1)}),
        ("duty", {"duty_percent": Decimal("1000.1")}),
        ("lead time", {"lead_days": -1}),
        ("lead time", {"lead_days": MOST_LEAD_DAYS + 1}),
    ],
)
def test_what_a_supplier_cannot_be_is_named(place: str, changed: dict[str, Any]) -> None:
    good = Supplier("Shed")
    assert good.checked() is good
    with pytest.raises(BadInput) as caught:
        replace(good, **changed).checked()
    assert caught.value.place == place
