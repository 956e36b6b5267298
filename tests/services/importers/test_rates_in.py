"""Exchange rates from a table."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.orders import Rate
from pennyspeed.services.importers.tables.rates import read_rates, said


def table(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "rates.csv"
    path.write_bytes(text.encode("utf-8-sig"))
    return path


def test_rates_are_read_with_their_days_and_exactly(tmp_path: Path) -> None:
    path = table(
        tmp_path, "currency;rate;day;source\nusd;0,9217;2027-03-01;bank\nGBP;1,17;2.3.2027;\n"
    )
    rates = read_rates(path, "EUR")
    assert rates == (
        Rate("USD", Decimal("0.9217"), date(2027, 3, 1), "bank"),
        Rate("GBP", Decimal("1.17"), date(2027, 3, 2)),
    )
    assert said(rates) == "2 rates of GBP, USD"


@pytest.mark.parametrize(
    ("text", "place", "expected"),
    [
        ("currency,rate\nUSD,0.92\n", "row 1", "the columns currency, rate and day"),
        ("currency,rate,day\nUSD,0,2027-03-01\n", "row 2, column rate", "above 0"),
        ("currency,rate,day\nUSD,0.9,\n", "row 2, column day", "a date"),
        ("currency,rate,day\nEUR,1,2027-03-01\n", "row 2, column currency", "than EUR"),
        ("currency,rate,day\nDollar,1,2027-03-01\n", "row 2, column currency", "capital letters"),
        ("currency,rate,day\n", "row 2", "a rate below"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(
    tmp_path: Path, text: str, place: str, expected: str
) -> None:
    with pytest.raises(BadInput) as caught:
        read_rates(table(tmp_path, text), "EUR")
    assert place in str(caught.value)
    assert expected in str(caught.value)
