"""Money on the sheet: every amount is the book's, whatever became of what was bought.

The amounts of the build below are worked out by hand beside each line.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.domain.parts.ingredients import Printed
from pennyspeed.domain.parts.recipes import Recipe
from pennyspeed.services.sheet.choices import SHOPPING, Choices
from pennyspeed.services.sheet.document import Items, Paragraph, Section, Sheet, Table
from sheets import a_sheet, stored

D = Decimal


def a_tangled_build() -> Build:
    """Return a build in whose money everything happens that can."""
    build = stored()
    recipe = Recipe((Printed("shell", mass_g=D(120), price_per_kg=D(25)),))
    parts = dict(build.parts)
    parts["body"] = replace(parts["body"], recipe=recipe)
    lines = (
        # 60.00 of 80.00 of goods: 6.00 of the 8.00 that order A-1 costs
        Line("motor", "Greenhouse 3100", unit_price=D(60), status=Status.ORDERED, order="A-1"),
        # 2 × 10.00, with 2.00 of A-1; one of two is here
        Line("tyres", "Foam 65", D(2), D(10), status=Status.ORDERED, order="A-1", came=D(1)),
        # 10.00 USD at 0.90
        Line("pack", "Three by 3800", unit_price=D(10), currency="USD", status=Status.RECEIVED),
        # nobody knows what a crown is worth
        Line("pinion", "33 teeth", unit_price=D(90), currency="SEK"),
        # 120 g at 25 a kilogram
        Line("body", "Long tail"),
        Line("spur", "Old spur", unit_price=D(4), status=Status.RECEIVED, fitted=False),
        Line("", "Wing", unit_price=D(7), status=Status.CANCELLED),
        # 12.00 less 9.50 given back
        Line("", "Jack", unit_price=D(12), status=Status.RETURNED, refund=D("9.50")),
        Line("", "Screws", D(4), D("0.25"), order="B-2"),
        Line("", "Tape", supplier="Corner shop"),
        Line("", "Glue", unit_price=D(3), supplier="Corner shop", counts=False),
    )
    orders = (
        Order("A-1", "Seed box", postage=D(6), duty=D(2), ordered=date(2027, 2, 1),
              expected=date(2027, 3, 1)),
        Order("B-2", "Mill counter", postage=D("2.50")),
        Order("C-3", "Bench lane", postage=D("1.75")),
    )  # fmt: skip
    return replace(
        build,
        parts=parts,
        lines=lines,
        orders=orders,
        rates=(Rate("USD", D("0.90"), date(2027, 1, 1)),),
        cap=Money(10000, "EUR"),
    )


def section(sheet: Sheet, key: str) -> Section:
    return next(one for one in sheet.sections if one.key == key)


def rows(sheet: Sheet) -> dict[str, list[str]]:
    (table,) = (one for one in section(sheet, "parts").blocks if isinstance(one, Table))
    return {row[1].text: [cell.text for cell in row] for row in table.rows}


def paragraphs(found: Section) -> list[str]:
    return [one.text for one in found.blocks if isinstance(one, Paragraph)]


@pytest.mark.parametrize(
    ("name", "stands", "price", "note"),
    [
        ("Greenhouse 3100", "ordered", "66.00", "3 days overdue"),
        ("Foam 65", "ordered", "22.00", "2 × 10.00, 3 days overdue, 1 of 2 came"),
        ("Three by 3800", "received", "9.00", "10.00 USD"),
        ("33 teeth", "planned", "", "90.00 SEK, no rate for SEK"),
        ("Long tail", "planned", "3.00", ""),
        ("Old spur", "received", "4.00", "in the drawer"),
        ("Jack", "returned", "2.50", "9.50 EUR given back"),
        ("Screws", "planned", "3.50", "4 × 0.25"),
        ("Tape", "planned", "", "no price"),
        ("Glue", "planned", "3.00", "not counted"),
        ("Order C-3", "planned", "1.75", ""),
    ],
)
def test_every_line_stands_with_what_became_of_it(
    name: str, stands: str, price: str, note: str
) -> None:
    row = rows(a_sheet(a_tangled_build()))[name]
    assert row[3:] == [stands, price]
    assert note in row[2]


def test_the_old_part_is_not_taken_for_the_one_in_the_car() -> None:
    found = rows(a_sheet(a_tangled_build()))
    assert found["66 teeth"][3:] == ["", ""]
    assert found["Old spur"][0] == "not in the car"


def test_what_was_cancelled_and_costs_nothing_takes_no_row() -> None:
    assert "Wing" not in rows(a_sheet(a_tangled_build()))


def test_what_was_cancelled_and_not_all_given_back_keeps_its_row() -> None:
    wing = Line("", "Wing", unit_price=D(7), status=Status.CANCELLED, refund=D(5))
    row = rows(a_sheet(replace(stored(), lines=(wing,))))["Wing"]
    assert row[3:] == ["cancelled", "2.00"]
    assert "5.00 EUR given back" in row[2]


def test_a_price_with_a_share_of_its_order_says_so() -> None:
    words = "Prices with each one's share of what its order costs beside the goods."
    assert any(words in one for one in paragraphs(section(a_sheet(a_tangled_build()), "parts")))
    assert not any(words in one for one in paragraphs(section(a_sheet(), "parts")))


def test_sums_and_prices_are_the_books_to_the_minor_unit() -> None:
    build = a_tangled_build()
    sheet = a_sheet(build)
    found = book(build)
    shown = sum(D(row[4]) for row in rows(sheet).values() if row[4])
    assert shown == (found.counted + found.uncounted).amount
    (table,) = (one for one in section(sheet, "money").blocks if isinstance(one, Table))
    # spent 11.00 of the tyres, 9.00, 4.00 and 2.50; promised 66.00 and 11.00; planned 3.00, 3.50
    # and 1.75
    assert [cell.text for cell in table.rows[0]] == [
        "26.50", "77.00", "8.25", "111.75", "100.00", "11.75",
    ]  # fmt: skip
    assert (
        "111.75 of 100.00 EUR, 11.75 EUR over the cap and 1 line without a price, 1 without a rate."
        in paragraphs(section(sheet, "money"))
    )


def test_what_cannot_be_added_up_is_named_with_its_reason() -> None:
    said = paragraphs(section(a_sheet(a_tangled_build()), "money"))
    assert "Not in these sums yet: 33 teeth (no rate for SEK), Tape (no price)." in said
    assert "Not counted, 3.00 EUR together: Glue 3.00 EUR." in said


def shopping(suppliers: tuple[Supplier, ...] = ()) -> Section:
    sheet = a_sheet(a_tangled_build(), choices=Choices(kind=SHOPPING), suppliers=suppliers)
    return section(sheet, "shopping")


def lists(found: Section) -> dict[str, list[str]]:
    return {
        one.summary: ["|".join(cell.text for cell in row) for row in one.rows]
        for one in found.blocks
        if isinstance(one, Table)
    }


def test_the_shopping_list_has_each_order_and_adds_up_line_by_line() -> None:
    found = lists(shopping())
    assert found["To buy: Mill counter"] == [
        "Screws|4|0.25|1.00", "postage of order B-2|||2.50", "together|||3.50",
    ]  # fmt: skip
    assert found["To buy: Bench lane"] == ["postage of order C-3|||1.75", "together|||1.75"]
    assert found["To buy: Corner shop"] == [
        "Tape|1||not known", "Glue|1|3.00|3.00",
        "together and 1 line without a price|||3.00",
    ]  # fmt: skip
    assert found["To buy: no supplier noted"] == [
        "33 teeth|1|90.00 SEK|not known", "together and 1 line without a rate|||0.00",
    ]  # fmt: skip


def test_what_is_made_is_not_bought() -> None:
    found = lists(shopping())
    assert found.pop("To make") == ["Long tail|1|3.00|3.00", "together|||3.00"]
    assert not any("Long tail" in row for rows in found.values() for row in rows)


def test_what_is_on_its_way_says_what_came_and_what_is_overdue() -> None:
    (found,) = (one for one in shopping().blocks if isinstance(one, Items))
    texts = [item.text for item in found.items]
    assert len(texts) == 2
    assert texts[1].startswith(
        "Foam 65, 2 pieces, from Seed box, order A-1, due 1 March 2027, 22.00 EUR, 3 days overdue, "
        "1 of 2 came"
    )


def test_what_a_supplier_adds_is_said_where_there_is_no_order_yet() -> None:
    shops = (
        Supplier("Corner shop", postage=D("4.90"), free_from=D(50), lead_days=5,
                 duty_percent=D("3.5")),
        Supplier("Mill counter", postage=D("2.50")),
    )  # fmt: skip
    said = paragraphs(shopping(shops))
    assert (
        "Postage 4.90 EUR a parcel, none from 50.00 EUR; duty 3.5 %: not in this sum until there "
        "is an order. Comes in 5 days." in said
    )
    assert len([one for one in said if "a parcel" in one]) == 1
