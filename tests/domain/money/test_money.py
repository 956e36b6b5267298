"""Money: whole minor units, exact sums, digits by currency."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from babel.numbers import get_currency_precision, list_currencies

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import Money, checked_currency, decimal_text, digits

# CLDR (which babel carries) gives the digits that people use; ISO 4217 list one (2024-06-25, these
# rows from memory) gives the currency's own, with which accounts are kept.
ISO_BEYOND_CLDR = dict.fromkeys(
    ["AFN", "ALL", "IRR", "KPW", "LAK", "LBP", "MGA", "MMK", "RSD", "SOS", "SYP", "YER"], 2
) | {"IQD": 3}

CURRENT = re.findall(
    "[A-Z]{3}",
    """
AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF
CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ
GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP
LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR
PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SOS SRD SSP STN SVC SYP
SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYI UYU UZS VES VND VUV WST XAF XCD XOF XPF YER
ZAR ZMW
""",
)


@pytest.mark.parametrize("code", CURRENT)
def test_digits_are_those_of_iso_4217(code: str) -> None:
    assert code in list_currencies(), "a code that exists"
    assert digits(code) == ISO_BEYOND_CLDR.get(code, get_currency_precision(code))


def test_a_tenth_and_two_tenths_are_three_tenths() -> None:
    assert Money.of("0.10", "EUR") + Money.of("0.20", "EUR") == Money.of("0.30", "EUR")
    assert sum(Money.of("0.1", "EUR").minor for _ in range(1000)) == 10_000


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("59.9", "EUR", "59.90"),
        ("0.005", "EUR", "0.01"),
        ("0.0049", "EUR", "0.00"),
        ("-0.005", "EUR", "-0.01"),
        ("1499.5", "JPY", "1500"),
        ("1.2345", "KWD", "1.235"),
        ("999999999999999", "EUR", "999999999999999.00"),
    ],
)
def test_amounts_are_rounded_half_up_to_their_currency(
    amount: str, currency: str, text: str
) -> None:
    money = Money.of(amount, currency)
    assert str(money) == text
    assert money.amount == Decimal(text)


def test_currencies_do_not_mix() -> None:
    with pytest.raises(ValueError, match="EUR and USD"):
        Money(1, "EUR") + Money(1, "USD")
    with pytest.raises(ValueError, match="EUR and USD"):
        Money(1, "EUR") - Money(1, "USD")


@pytest.mark.parametrize("text", ["59,90", "1e3", "", " 5", "٥", "5.", ".5", "+5", "NaN", 5, None])
def test_what_is_no_decimal_text_is_refused(text: object) -> None:
    with pytest.raises(BadInput, match="decimal text"):
        decimal_text(text, "price")


@pytest.mark.parametrize("code", ["eur", "EURO", "E1R", "", None, 978])
def test_what_is_no_currency_is_refused(code: object) -> None:
    with pytest.raises(BadInput, match="currency"):
        checked_currency(code, "currency")
