"""Rows of money: whatever the book holds, every way of showing it adds up to the same."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from books import TODAY, random_build
from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.measures import MINUS, Measures
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.services.editing.amounts import read_amount, read_price
from pennyspeed.services.editing.line_fields import LineItem, items_of
from pennyspeed.services.money import line_changes as deeds
from pennyspeed.services.money.money_rows import (
    BY_KIND,
    BY_SUPPLIER,
    MoneyRows,
    day_short,
    line_rows,
    sum_rows,
)

COMMA = Measures(decimal=",", group=".")


def amount(text: str) -> Decimal:
    """Return what a cell says; a cost that is not known counts as nothing."""
    return Decimal(0) if text == "?" else Decimal(text.replace(",", "").replace(MINUS, "-"))


def added(found: MoneyRows, *keys: str) -> Decimal:
    return sum((amount(row.cells[key]) for row in found.rows for key in keys), Decimal(0))


@pytest.mark.parametrize("currency", ["JPY", "EUR", "KWD"])
def test_every_way_of_showing_a_book_adds_up_to_the_same(currency: str) -> None:
    for seed in range(120):
        build = random_build(seed, currency)
        found = book(build)
        whole = (found.counted + found.uncounted).amount
        for by_date in (True, False):
            rows = line_rows(build, found, Measures(), TODAY, by_date)
            assert added(rows, "amount") == whole
            counted = [row for row in rows.rows if row.counts]
            if counted:
                assert amount(counted[-1].cells["so_far"]) == found.counted.amount
            assert not any(row.cells["so_far"] for row in rows.rows if not row.counts)
        for by in (BY_KIND, BY_SUPPLIER):
            rows = sum_rows(found, Measures(), by)
            assert added(rows, "amount", "uncounted") == whole
            assert added(rows, "spent", "promised", "planned") == found.counted.amount


def test_by_date_puts_what_goes_first_first() -> None:
    build = Build(
        "dates",
        lines=(
            Line("", "later", unit_price=Decimal(1), arrives=date(2027, 3, 1)),
            Line("", "gone", unit_price=Decimal(2), status=Status.RECEIVED,
                 ordered=date(2026, 12, 1)),
            Line("", "sent off", unit_price=Decimal(4), status=Status.ORDERED,
                 ordered=date(2027, 1, 5)),
        ),
    )  # fmt: skip
    rows = line_rows(build, book(build), Measures(), TODAY).rows
    assert [row.cells["name"] for row in rows] == ["gone", "sent off", "later"]
    assert [row.cells["so_far"] for row in rows] == ["2.00", "6.00", "7.00"]
    rows = line_rows(build, book(build), Measures(), TODAY, by_date=False).rows
    assert [row.index for row in rows] == [0, 1, 2]


def test_a_row_says_in_words_what_its_signs_say() -> None:
    build = Build(
        "words",
        lines=(
            Line("", "wing", unit_price=Decimal(14), status=Status.RETURNED, refund=Decimal(10)),
            Line("", "nuts", Decimal(3), Decimal("1.20"), counts=False),
            Line("", "blade", status=Status.ORDERED, arrives=date(2027, 1, 20)),
            Line("", "rod", Decimal(4), Decimal(2), Status.ORDERED, came=Decimal(1),
                 arrives=date(2027, 4, 13)),
            Line("", "glue", unit_price=Decimal(3), currency="USD"),
        ),
        event_date=date(2027, 4, 10),
    )  # fmt: skip
    rows = line_rows(build, book(build), Measures(), TODAY, by_date=False).rows
    wing, nuts, blade, rod, glue = rows
    assert wing.notes == ("10.00 EUR given back",)
    assert wing.cells["amount"] == "4.00"
    assert nuts.notes == ("not counted",)
    assert (nuts.cells["price"], nuts.cells["amount"]) == ("3 × 1.20", "3.60")
    assert blade.notes == ("no price", "12 days overdue")
    assert blade.is_late
    assert blade.cells["amount"] == "?"
    assert rod.notes == ("3 days late", "1 of 4 came")
    assert rod.is_late
    assert glue.notes == ("no rate for USD",)
    assert (glue.cells["price"], glue.cells["amount"]) == ("3.00 USD", "?")
    assert len({row.sign for row in rows}) == 3  # crossed, open and half


@pytest.mark.parametrize(
    ("typed", "measures", "expected"),
    [
        ("12.50", Measures(), "12.50"),
        ("12,50", COMMA, "12.50"),
        ("1.234,5", COMMA, "1234.5"),
        ("1.234", COMMA, "1234"),  # the person's own group mark
        ("1,234", Measures(), "1234"),
        (".5", Measures(), "0.5"),
    ],
)
def test_amounts_are_read_in_the_persons_own_marks(
    typed: str, measures: Measures, expected: str
) -> None:
    assert read_amount(typed, "price", measures) == Decimal(expected)


@pytest.mark.parametrize("typed", ["", "twelve", "1.2.3", "1e400", "NaN", "٣"])
def test_what_is_no_amount_is_refused_with_its_place(typed: str) -> None:
    with pytest.raises(BadInput, match=r"^price: "):
        read_amount(typed, "price", Measures())


def test_a_price_may_name_its_currency() -> None:
    assert read_price("12.50 USD", "EUR", "price", Measures()) == (Decimal("12.50"), "USD")
    assert read_price("£3", "EUR", "price", Measures()) == (Decimal(3), "GBP")
    assert read_price("7.5", "EUR", "price", Measures()) == (Decimal("7.5"), "EUR")


@pytest.mark.parametrize("measures", [Measures(), COMMA])
def test_every_field_takes_back_what_it_shows(measures: Measures) -> None:
    for seed in range(60):
        build = random_build(seed, "EUR")
        for index, line in enumerate(build.lines):
            for item in items_of(index):
                text = item.text(build, measures)
                if item.key in ("came", "refund", "rate") and not text:
                    continue
                if item.key == "name" and not text:
                    continue
                try:
                    after = item.take(build, text, measures)
                except UserError:
                    # A figure from a file that does not go with the line's status.
                    assert item.key in ("came", "refund", "rate")
                    continue
                again = LineItem(item.key, index=index).text(after, measures)
                if item.key == "came" and after.lines[index].status is Status.RECEIVED:
                    assert line.came == line.quantity
                else:
                    assert again == text, item.key


def test_a_line_of_what_is_in_the_car_keeps_name_and_slot() -> None:
    build = a_build()
    build = build.with_part(build.parts["motor"])
    index = build.lines.index(build.line("motor"))
    items = {item.key: item for item in items_of(index)}
    for key, text in (("name", "Other"), ("part", "pack")):
        with pytest.raises(UserError, match="is in the car"):
            items[key].take(build, text, Measures())


def test_all_of_a_partial_delivery_is_received() -> None:
    build = Build("p", lines=(Line("", "rod", Decimal(4), Decimal(2), Status.ORDERED),))
    came = next(item for item in items_of(0) if item.key == "came")
    part = came.take(build, "1", Measures())
    assert (part.lines[0].status, part.lines[0].came) == (Status.ORDERED, 1)
    assert (book(part).spent, book(part).promised) == (Money(200, "EUR"), Money(600, "EUR"))
    whole = came.take(part, "4", Measures())
    assert (whole.lines[0].status, whole.lines[0].came) == (Status.RECEIVED, None)
    with pytest.raises(BadInput, match="at most 4"):
        came.take(build, "5", Measures())


def test_several_lines_move_in_one_step_and_say_so() -> None:
    build = Build("s", lines=(Line("", "a"), Line("", "b", status=Status.ORDERED), Line("", "c")))
    deed = deeds.with_status(build, [0, 1, 2], Status.ORDERED, TODAY)
    assert deed is not None
    assert [line.status for line in deed.after.lines] == [Status.ORDERED] * 3
    assert [line.ordered for line in deed.after.lines] == [TODAY, None, TODAY]
    assert (deed.did, deed.undid) == ("ordered 2 lines", "put 2 lines back as they were")
    assert deeds.with_status(deed.after, [0], Status.ORDERED, TODAY) is None


def test_a_far_day_says_its_year() -> None:
    assert day_short(date(2027, 1, 2), date(2026, 12, 30)) == "2 Jan"
    assert day_short(date(2026, 1, 2), date(2026, 12, 30)) == "2 Jan 2026"
