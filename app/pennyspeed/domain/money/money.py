"""Money: whole minor units and a currency, never a float."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation

from pennyspeed.domain.errors import BadInput

# ISO 4217, the currencies whose minor unit is not a hundredth (list one, 2024-06-25).
_WHOLE_ONLY = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_THOUSANDTHS = "BHD IQD JOD KWD LYD OMR TND"
_DIGITS = dict.fromkeys(_WHOLE_ONLY.split(), 0) | dict.fromkeys(_THOUSANDTHS.split(), 3)

DEFAULT_CURRENCY = "EUR"
_CODE = re.compile(r"[A-Z]{3}")
# Signs as banks and shops write them (common practice, no source).
_SIGNS = {
    "€": ("EUR",),
    "£": ("GBP",),
    "$": ("USD", "AUD", "CAD", "HKD", "NZD", "SGD"),
    "¥": ("JPY", "CNY"),
    "₩": ("KRW",),
    "₹": ("INR",),
    "zł": ("PLN",),
    "Kč": ("CZK",),
    "kr": ("DKK", "ISK", "NOK", "SEK"),
    "Fr.": ("CHF",),
}
_WITH_CURRENCY = re.compile(
    r"(?P<before>[^\d\s.,'+−-][^\d\s'+−-]*)?\s*"
    r"(?P<amount>[-+−]?[.,]?\d.*?)\s*"
    r"(?P<behind>[^\d\s.,'][^\d\s]*)?"
)
_AMOUNT = re.compile(r"-?\d{1,15}(\.\d{1,9})?", re.ASCII)


def digits(currency: str) -> int:
    """Return how many digits the currency's minor unit has (ISO 4217).

    >>> digits("EUR"), digits("JPY"), digits("KWD")
    (2, 0, 3)
    """
    return _DIGITS.get(currency, 2)


def checked_currency(code: object, place: str) -> str:
    """Return a currency code, or raise BadInput."""
    if not isinstance(code, str) or not _CODE.fullmatch(code):
        raise BadInput(place, code, "a currency code of three capital letters such as EUR")
    return code


def split_currency(text: str, declared: str = "") -> tuple[str, str]:
    """Return the amount that a person wrote and its currency, a sign or code before or behind it.

    A sign of several currencies is read as the `declared` one's. What does not go with `declared`,
    or stands for no single currency, stays with the amount, which then is no number.

    >>> split_currency("12.50 €"), split_currency("$4", "CAD"), split_currency("GBP 3")
    (('12.50', 'EUR'), ('4', 'CAD'), ('3', 'GBP'))
    >>> split_currency("$4"), split_currency("£4", "EUR"), split_currency("7.5", "EUR")
    (('$4', ''), ('£4', 'EUR'), ('7.5', 'EUR'))
    """
    match = _WITH_CURRENCY.fullmatch(text)
    if match is None or (match["before"] and match["behind"]):
        return text, declared
    sign = match["before"] or match["behind"] or ""
    could_be = _SIGNS.get(sign, (sign,) if _CODE.fullmatch(sign) else ())
    if declared in could_be:
        return match["amount"], declared
    if len(could_be) == 1 and not declared:
        return match["amount"], could_be[0]
    return text, declared


def decimal_text(text: object, place: str) -> Decimal:
    """Return the amount that decimal text such as "59.90" holds, or raise BadInput."""
    if not isinstance(text, str) or not _AMOUNT.fullmatch(text):
        raise BadInput(place, text, 'an amount as decimal text such as "59.90"')
    return Decimal(text)


@dataclass(frozen=True, slots=True, order=True)
class Money:
    """An amount in the smallest unit of its currency.

    >>> Money(5990, "EUR") + Money(10, "EUR")
    Money(minor=6000, currency='EUR')
    >>> str(Money(5990, "EUR")), str(Money(1500, "JPY")), str(Money(-1234, "KWD"))
    ('59.90', '1500', '-1.234')
    """

    minor: int
    currency: str

    @classmethod
    def of(cls, amount: Decimal | str | int, currency: str) -> Money:
        """Return `amount` rounded half up to the currency's minor unit.

        >>> Money.of("0.335", "EUR")
        Money(minor=34, currency='EUR')
        """
        try:
            exact = Decimal(amount).scaleb(digits(currency))
        except InvalidOperation:
            raise BadInput("amount", amount, "a decimal number") from None
        return cls(int(exact.quantize(Decimal(1), ROUND_HALF_UP)), currency)

    @property
    def amount(self) -> Decimal:
        """The amount in whole units, exact."""
        return Decimal(self.minor).scaleb(-digits(self.currency))

    def __str__(self) -> str:
        return f"{self.amount:.{digits(self.currency)}f}"

    def _same(self, other: Money) -> None:
        if other.currency != self.currency:
            raise ValueError(f"{self.currency} and {other.currency} do not add up")

    def __add__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor + other.minor, self.currency)

    def __sub__(self, other: Money) -> Money:
        self._same(other)
        return Money(self.minor - other.minor, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)
