"""What a listing asks for the part: the one price that holds, or several that contend."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal, InvalidOperation

from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.parts.fields import plain_number
from pennyspeed.services.listings.claims import Claim
from pennyspeed.services.listings.phrases import Said

_CODES = {
    "€": "EUR", "eur": "EUR", "euro": "EUR", "euros": "EUR", "£": "GBP",
    "gbp": "GBP", "us$": "USD", "usd": "USD", "chf": "CHF", "aud": "AUD", "cad": "CAD",
}  # fmt: skip
_DASHED = ("EUR", "CHF")
"""Of the person's own currencies those that a bare "89,-" may be in."""
_DOLLARS = ("USD", "AUD", "CAD", "HKD", "NZD", "SGD")
_POSTAGE = re.compile(
    r" {0,2}(?:for |für )?(?:versand|porto|postage|post\b|shipping|p&p|delivery|fracht)",
    re.IGNORECASE,
)
_FOR_ALL = re.compile(
    r" {0,2}(?:for|für) (?:all|both|the (?:pair|lot)|alle|beide)\b", re.IGNORECASE
)
_SEVERAL = re.compile(
    r"\b[2-9][0-9]?(?: (?:for|für)|(?:x| ?stück| ?stk\.?| ?pcs| ?pieces)[ ,:]{0,2}"
    r"(?:for|für|zu|zusammen)?) {0,2}\Z",
    re.IGNORECASE,
)
_LARGEST = Decimal(100_000)


def price_claims(text: str, said: Sequence[Said], currency: str = "") -> list[Claim]:
    """Return what the part costs now: old prices, postage and prices of several are left alone.

    `currency` is the person's own; a bare $ is one of its dollars, or the American one.
    """
    found, now = [], []
    for one in said:
        claim = _claim(text, one, currency)
        if claim is not None:
            found.append(claim)
            if "now" in one.before | one.after:
                now.append(claim)
    return now or found


def _claim(text: str, one: Said, currency: str) -> Claim | None:
    quantity = one.quantity
    if not quantity.money or quantity.shape != "one" or quantity.is_struck or quantity.is_doubted:
        return None
    near = one.before or (one.means if not one.after else frozenset())
    if near & {"old price", "from", "many", "package", "not", "charger", "extra", "wanted"}:
        return None
    if "sold" in one.phrase.means or "wanted" in one.phrase.means:
        return None
    if "postage" in near or _POSTAGE.match(text, quantity.end):
        return None
    if _FOR_ALL.match(text, quantity.end):
        return None
    if _SEVERAL.search(text, max(quantity.start - 20, 0), quantity.start):
        return None
    code = _code(quantity.money.casefold(), currency)
    amount = _amount(quantity.numbers[0])
    if not code or amount is None or not 0 < amount <= _LARGEST:
        return None
    money = Money.of(amount, code)
    if money.amount != amount:
        return None
    return Claim("price", money, quantity.start, quantity.end)


def _code(sign: str, currency: str) -> str:
    if sign == "$":
        return currency if currency in _DOLLARS else "USD"
    if sign.startswith(",-"):
        sign = sign.removeprefix(",-").strip() or currency
        return sign if sign in _DASHED else _CODES.get(sign, "")
    return _CODES.get(sign, "")


def _amount(number: str) -> Decimal | None:
    """Return an amount; three digits behind one mark are thousands, as no price has three.

    >>> _amount("1.250"), _amount("59,90")
    (Decimal('1250'), Decimal('59.90'))
    """
    plain = plain_number(number)
    if plain is None:
        return None
    if len(plain.partition(".")[2]) == 3 and digits("EUR") == 2:
        plain = plain.replace(".", "")
    try:
        return Decimal(plain)
    except InvalidOperation:
        return None
