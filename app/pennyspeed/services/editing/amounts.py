"""Amounts as a person types them: decimals from the first digit to the last, never a float."""

from __future__ import annotations

from decimal import Decimal

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import (
    Money,
    checked_currency,
    decimal_text,
    digits,
    split_currency,
)
from pennyspeed.domain.parts.fields import plain_number
from pennyspeed.services.editing.figures import ungrouped


def read_amount(
    text: str, place: str, measures: Measures, least: Decimal | None = None, expected: str = ""
) -> Decimal:
    """Return the amount that typed text names, in the person's own marks.

    `expected` says what is expected of a text that is no amount; "" gives an example. More digits
    than an amount keeps are BadInput too: nothing is rounded.

    >>> read_amount("1.234,50", "price", Measures(decimal=",", group="."))
    Decimal('1234.50')
    """
    plain = plain_number(ungrouped(text.strip(), measures)) or ""
    try:
        amount = decimal_text(f"0{plain}" if plain.startswith(".") else plain, place)
    except BadInput:
        example = f"an amount such as {measures.number(34.9, 2)}"
        raise BadInput(place, text, expected or example) from None
    if least is not None and amount < least:
        raise BadInput(place, text, f"an amount of {measures.number(least)} or more")
    return amount


def read_price(
    text: str, currency: str, place: str, measures: Measures, expected: str = ""
) -> tuple[Decimal, str]:
    """Return amount and currency that typed text names; the given currency where it names none."""
    bare, named = split_currency(text.strip())
    if not named:
        bare, named = split_currency(text.strip().upper())
    words = text.split()
    if not named and len(words) > 1 and words[-1].isalpha():
        checked_currency(words[-1].upper(), place)
    try:
        return read_amount(bare, place, measures, expected=expected), named or currency
    except BadInput as error:
        raise BadInput(place, text, error.expected) from None


def read_money(
    text: str, currency: str, place: str, measures: Measures, expected: str = ""
) -> Money:
    """Return the money that typed text names; what its minor unit cannot hold is refused.

    >>> read_money("34.90", "EUR", "price", Measures())
    Money(minor=3490, currency='EUR')
    """
    amount, code = read_price(text, currency, place, measures, expected)
    money = Money.of(amount, code)
    if amount < 0 or amount != money.amount:
        most = f"at most {digits(code)} decimals"
        raise BadInput(place, text, f"an amount in {code} of 0 or more with {most}")
    return money


def read_rate(text: str, place: str, measures: Measures, expected: str = "more than 0") -> Decimal:
    """Return the exchange rate that typed text names; BadInput also where it is not over 0."""
    rate = read_amount(text, place, measures)
    if rate <= 0:
        raise BadInput(place, text, expected)
    return rate


def read_currency(text: str, home: str, place: str) -> str:
    """Return a currency's code, "" for the one at `home`."""
    code = text.strip().upper()
    code = code and checked_currency(code, place)
    return "" if code == home else code
