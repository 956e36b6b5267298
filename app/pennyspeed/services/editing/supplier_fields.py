"""What is typed about a supplier, read back into it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import checked_currency
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import checked_name
from pennyspeed.services.editing.amounts import read_amount, read_price


def read_count(text: str, place: str) -> int | None:
    """Return the whole number of days that typed text names, or raise BadInput; None for nothing.

    >>> read_count("6 days", "takes"), read_count("", "takes"), read_count("Not known", "takes")
    (6, None, None)
    """
    word = text.strip().casefold().removesuffix("days").removesuffix("day").strip()
    if word in ("", "not known"):
        return None
    if not word.isdecimal():
        raise BadInput(place, text, "a whole number of days such as 6")
    return int(word)


def with_typed(one: Supplier, key: str, text: str, measures: Measures) -> Supplier:
    """Return a supplier with one thing typed anew; BadInput where that is none."""
    text = text.strip()
    match key:
        case "name":
            after = replace(one, name=checked_name(text, "shop"))
        case "lead_days":
            after = replace(one, lead_days=read_count(text, "says days"))
        case "postage":
            amount, currency = read_price(text or "0", one.currency, "postage", measures)
            after = replace(one, postage=amount, currency=currency)
        case "free_from":
            is_never = text.casefold() in ("", "never")
            free = None if is_never else read_amount(text, "free from", measures, Decimal(0))
            after = replace(one, free_from=free)
        case "duty":
            bare = text.removesuffix("%").strip() or "0"
            after = replace(one, duty_percent=read_amount(bare, "duty", measures, Decimal(0)))
        case "currency":
            after = replace(one, currency=checked_currency(text.upper(), "currency"))
        case _:
            after = replace(one, note=text)
    return after.checked()
