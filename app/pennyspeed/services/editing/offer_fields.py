"""What is typed about an offer, read back into it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import read_day
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.editing.amounts import read_money
from pennyspeed.services.editing.supplier_fields import read_count


def with_typed(
    price: Price, key: str, text: str, currency: str, measures: Measures, today: date
) -> Price:
    """Return an offer with one thing typed anew; BadInput where that is none."""
    text = text.strip()
    match key:
        case "supplier":
            return replace(price, supplier=text)
        case "price":
            money = read_money(text, currency, "price", measures)
            return price if money == price.amount else replace(price, amount=money, on=today)
        case "in_stock":
            return replace(price, in_stock=read_count(text, "in stock"))
        case "lead_days":
            return replace(price, lead_days=read_count(text, "days"))
        case "on":
            # A price was seen on a day gone by: without a year the last such day is meant.
            a_year_ago = today - timedelta(days=364)
            day = read_day(text, "seen on", a_year_ago, measures.day_order)
            if day is None or day > today:
                raise BadInput("seen on", text, "a day that has been, such as 2027-03-01")
            return replace(price, on=day)
        case _:
            return replace(price, link=text)
