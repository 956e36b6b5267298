"""The currency of a build: only the sums change, and by nothing but the rate."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from books import CURRENCIES, random_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money, digits
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.services.editing.build_fields import Cap
from pennyspeed.services.editing.currency_fields import currency_typed, form_fields
from pennyspeed.services.money.currency import OtherCurrency, with_currency
from pennyspeed.services.workshop import Workshop

TODAY = date(2027, 3, 1)
PLAIN = Measures()
# By hand: 34.90 EUR and 12.00 USD at 0.90 EUR, with 4.00 EUR postage.
CAR = Build(
    "car",
    currency="EUR",
    cap=Money(26000, "EUR"),
    lines=(
        Line("motor", "Lark 36", unit_price=Decimal("34.90"), order="P-1", status=Status.ORDERED),
        Line("", "foam", unit_price=Decimal("12.00"), currency="USD"),
        Line("", "tape"),
    ),
    orders=(Order("P-1", "Mill counter", postage=Decimal("4.00"), ordered=TODAY),),
    rates=(Rate("USD", Decimal("0.90"), TODAY),),
)


def typed(build: Build, **texts: str) -> Build:
    rows = {one.key: one.text for one in form_fields(build, PLAIN, TODAY)}
    return currency_typed({**rows, **texts}, build, PLAIN).after


def test_lines_keep_their_amounts_and_the_sums_follow_the_rate() -> None:
    after = typed(CAR, currency="gbp", rate="0.80")
    assert [(one.unit_price, one.currency) for one in after.lines] == [
        (Decimal("34.90"), "EUR"),
        (Decimal("12.00"), "USD"),
        (None, ""),
    ]
    assert (after.orders[0].postage, after.orders[0].currency) == (Decimal("4.00"), "EUR")
    # (34.90 + 4.00 + 12.00 × 0.90) EUR × 0.80 = 27.92 + 3.20 + 8.64
    assert costs(after).counted == Money(3976, "GBP")
    assert after.cap == Money(20800, "GBP")  # 260 × 0.80


@pytest.mark.parametrize("home", CURRENCIES)
@pytest.mark.parametrize("worth", [1, 2])
def test_of_hundreds_of_books_nothing_but_the_rate_changes_the_sums(home: str, worth: int) -> None:
    for seed in range(200):
        before = random_build(seed, home)
        rate = Rate(home, Decimal(worth), TODAY)
        after = with_currency(before, "SEK", rate)
        assert [before.unit_price(one)[0] for one in before.lines] == [
            after.unit_price(one)[0] for one in after.lines
        ]
        old, new = book(before), book(after)
        assert new.unpriced == old.unpriced
        exact_before, exact_after = (one.exact.scaleb(-digits(one.currency)) for one in (old, new))
        assert exact_after == worth * exact_before, seed


def test_what_was_in_the_new_currency_needs_no_rate_any_more() -> None:
    after = typed(CAR, currency="USD", rate="1.25")
    assert (after.lines[1].currency, after.lines[1].unit_price) == ("", Decimal("12.00"))
    assert {rate.currency for rate in after.rates} == {"EUR"}
    # (34.90 + 4.00) × 1.25 = 43.625 + 5.00 and 12.00
    assert costs(after).counted == Money(6063, "USD")


def test_the_rate_that_the_build_knows_is_offered() -> None:
    fields = {one.key: one.text for one in form_fields(CAR, PLAIN, TODAY, Money(40000, "USD"))}
    assert fields["rate"] == "1.111111111"  # 1 / 0.90
    assert (fields["currency"], fields["cap"]) == ("USD", "400.00")


def test_a_currency_without_a_rate_is_asked_for_too() -> None:
    lines = (*CAR.lines, Line("", "stickers", unit_price=Decimal(3), currency="CHF"))
    build = replace(CAR, lines=lines)
    after = typed(build, currency="GBP", rate="0.80", **{"rate CHF": "0.85"})
    assert costs(after).unpriced == ("tape",)
    assert costs(after).counted == Money(3976 + 255, "GBP")


def test_amounts_without_a_rate_are_refused_in_one_sentence() -> None:
    with pytest.raises(BadInput, match="1 EUR is"):
        typed(CAR, currency="GBP")
    with pytest.raises(BadInput, match="three capital letters"):
        typed(CAR, currency="pounds", rate="0.80")


def test_a_cap_in_another_currency_changes_an_empty_build_and_else_asks() -> None:
    after = Cap().take(Build("one", cap=Money(1, "EUR")), "400 GBP", PLAIN)
    assert (after.cap, after.currency) == (Money(40000, "GBP"), "GBP")
    with pytest.raises(OtherCurrency, match="an amount in EUR") as refused:
        Cap().take(CAR, "400 GBP", PLAIN)
    assert refused.value.cap == Money(40000, "GBP")


def test_a_new_build_counts_as_was_chosen_for_the_file(workshop: Workshop) -> None:
    assert workshop.builds.create("as before").currency == "EUR"
    workshop.settings.note_currency("GBP")
    assert workshop.builds.create("as chosen").currency == "GBP"


def test_a_changed_currency_comes_back_from_the_file(workshop: Workshop) -> None:
    stored = workshop.builds.save(typed(CAR, currency="GBP", rate="0.80"))
    assert workshop.builds.get(stored.id or 0) == stored
