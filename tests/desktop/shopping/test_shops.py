"""Offers and shops, the cheapest basket, and what is left buys, worked by the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.shopping.affordable_page import AffordablePage
from pennyspeed.desktop.shopping.basket_page import BasketPage
from pennyspeed.desktop.shopping.shops import ShopsPage
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.days import say_day
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import STALE_AFTER_DAYS, Supplier
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.units import MPH

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]
TODAY = date.today()


def texts(table: EditableTable) -> list[list[str]]:
    model = table.entries_model
    columns = range(model.columnCount())
    return [[model.cell(row, column).text for column in columns] for row in range(model.rowCount())]


def price(minor: int, shop: str, days_ago: int = 0) -> Price:
    return Price(Money(minor, "EUR"), TODAY - timedelta(days=days_ago), shop)


@pytest.fixture
def part(window: Window) -> Part:
    """The motor in the car, with one offer of its own that is as old as may be."""
    session = window.session
    session.bench.choose_slot("motor")
    assert session.bench.build is not None
    motor = session.bench.build.parts["motor"]
    own = price(3000, "Seed box", STALE_AFTER_DAYS)
    session.catalogue.save_part(replace(motor, price=own))
    for old in session.file.workshop.catalogue.price_history(motor.id or 0):
        if old != own:
            session.file.workshop.offers.delete(motor.id or 0, old)
    return session.bench.build.parts["motor"]


@pytest.fixture
def page(window: Window, part: Part, shortcut: Shortcut, qtbot: QtBot) -> ShopsPage:
    shortcut("Ctrl+Alt+O")
    found = window.pages.currentWidget()
    assert isinstance(found, ShopsPage)
    qtbot.waitUntil(lambda: not window.money_pages.shopping.is_learning)
    return found


def offers(window: Window, part: Part) -> dict[str, Price]:
    assert part.id is not None
    return {one.supplier: one for one in window.session.file.workshop.offers.of([part.id])[part.id]}


def test_an_offer_is_written_down_by_keys_alone_and_undone(
    page: ShopsPage, window: Window, part: Part, press: Press, shortcut: Shortcut
) -> None:
    assert QApplication.focusWidget() is page.offers
    press("n")
    press("Post counter", Key.Key_Tab, "27.50", Key.Key_Tab, "4", Key.Key_Tab, "6", Key.Key_Return)
    wanted = replace(price(2750, "Post counter"), in_stock=4, lead_days=6)
    assert offers(window, part)["Post counter"] == wanted
    assert [row[0] for row in texts(page.offers)] == ["Post counter", "Seed box"]
    assert "Post counter" in [row[0] for row in texts(page.suppliers)]
    for _ in range(3):
        shortcut("Ctrl+Z")
    assert set(offers(window, part)) == {"Seed box"}
    assert [row[0] for row in texts(page.offers)] == ["Seed box"]
    shortcut("Ctrl+Shift+Z")
    assert offers(window, part)["Post counter"] == price(2750, "Post counter")


def test_a_new_price_keeps_the_old_one_in_the_history_and_the_build_follows_the_part(
    page: ShopsPage, window: Window, part: Part, press: Press
) -> None:
    page.offers.stand_on(0, 1)
    press(Key.Key_Return, to=page.offers)
    press("28.40", Key.Key_Return)
    assert window.session.file.workshop.catalogue.price_history(part.id or 0) == [
        price(2840, "Seed box"),
        price(3000, "Seed box", STALE_AFTER_DAYS),
    ]
    assert window.session.bench.build is not None
    assert window.session.bench.build.parts["motor"].price == price(2840, "Seed box")


def test_a_price_is_marked_once_it_is_older_than_it_may_be(
    page: ShopsPage, window: Window, part: Part
) -> None:
    model = page.offers.entries_model
    assert model.cell(0, 5).level is None
    old = price(3000, "Old barn", STALE_AFTER_DAYS + 1)
    window.money_pages.shopping.change_offer(part, None, old)
    marks = {row[0]: model.cell(i, 5) for i, row in enumerate(texts(page.offers))}
    assert marks["Old barn"].level is Level.WARN
    assert marks["Old barn"].text == f"{STALE_AFTER_DAYS + 1} days old"
    assert marks["Seed box"].level is None


@pytest.mark.parametrize(
    ("column", "typed", "sentence"),
    [
        (1, "cheap", "price: 'cheap' was given"),
        (1, "1.005", "at most 2 decimals"),
        (2, "few", "in stock: 'few' was given"),
        (4, "2999-01-01", "a day that has been"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_lost(
    page: ShopsPage, window: Window, part: Part, press: Press, column: int, typed: str,
    sentence: str,
) -> None:  # fmt: skip
    before = offers(window, part)
    page.offers.stand_on(0, column)
    press(Key.Key_Return, to=page.offers)
    press(typed, Key.Key_Return)
    assert sentence in page.offers.editor.complaint
    assert page.offers.editor.text() == typed
    assert offers(window, part) == before
    press(Key.Key_Escape)
    assert not page.offers.editor.is_open
    assert QApplication.focusWidget() is page.offers


def test_an_offer_is_removed_and_comes_back(
    page: ShopsPage, window: Window, part: Part, press: Press, shortcut: Shortcut
) -> None:
    press(Key.Key_Delete, to=page.offers)
    assert offers(window, part) == {}
    assert window.session.bench.build is not None
    assert window.session.bench.build.parts["motor"].price is None
    shortcut("Ctrl+Z")
    assert set(offers(window, part)) == {"Seed box"}
    assert window.session.bench.build.parts["motor"].price == price(
        3000, "Seed box", STALE_AFTER_DAYS
    )


def test_the_page_follows_the_slot_and_says_when_it_is_empty(
    page: ShopsPage, window: Window
) -> None:
    window.session.bench.choose_slot("pack")
    assert window.session.bench.build is not None
    assert page.title.text == f"Offers for {window.session.bench.build.parts['pack'].name}"
    window.session.builds.take_out(window.session.bench.slot)
    assert "slot is empty" in page.note.text
    assert not page.new_button.isEnabled()


def test_a_shop_is_written_down_described_and_undone(
    page: ShopsPage, window: Window, press: Press, shortcut: Shortcut
) -> None:
    page.suppliers.setFocus()
    press("n")
    press("Barn door", Key.Key_Tab, "5", Key.Key_Tab, "4.90", Key.Key_Tab, "60", Key.Key_Return)
    stored = {one.name: one for one in window.session.file.workshop.suppliers.all()}["Barn door"]
    wanted = Supplier("Barn door", "EUR", Decimal("4.90"), Decimal(60), 5)
    assert stored == wanted
    for _ in range(5):
        shortcut("Ctrl+Z")
    assert "Barn door" not in [one.name for one in window.session.file.workshop.suppliers.all()]


def test_the_duty_of_a_shop_is_typed_in_percent(
    page: ShopsPage, window: Window, press: Press
) -> None:
    assert page.suppliers.stand_on_key("Seed box", 5)
    press(Key.Key_Return, to=page.suppliers)
    press("19.5 %", Key.Key_Return)
    assert {row[0]: row[5] for row in texts(page.suppliers)}["Seed box"] == "19.5"
    stored = {one.name: one for one in window.session.file.workshop.suppliers.all()}["Seed box"]
    assert stored.duty_percent == Decimal("19.5")


# The cheapest basket --------------------------------------------------------------------------


@pytest.fixture
def basket(window: Window, part: Part, shortcut: Shortcut, qtbot: QtBot) -> BasketPage:
    """Two things to buy; the dearer shop for each alone is the cheaper one for both together."""
    session = window.session
    assert session.bench.build is not None
    build = replace(session.bench.build, orders=(), event_date=None)
    for place, line in enumerate(build.lines):
        status = Status.PLANNED if line.part in ("motor", "pack") else Status.OWNED
        bare = replace(line, order="", status=status, arrives=None, arrived=None, ordered=None,
                       came=None, supplier="Seed box", quantity=Decimal(1))  # fmt: skip
        if status is Status.PLANNED:
            bare = replace(bare, unit_price=Decimal(30), currency="", rate=None, rate_on=None)
        build = build.with_line(place, bare)
    for slot in ("motor", "pack"):
        one = build.parts[slot]
        for old in session.file.workshop.catalogue.price_history(one.id or 0):
            session.file.workshop.offers.delete(one.id or 0, old)
        session.file.workshop.offers.save(one.id or 0, price(3000, "Seed box"))
        session.file.workshop.offers.save(one.id or 0, price(3100, "Post counter"))
    workshop = session.file.workshop
    for shop in workshop.suppliers.all():
        workshop.suppliers.delete(shop.name)
    workshop.suppliers.save(Supplier("Seed box", "EUR", Decimal(8)))
    workshop.suppliers.save(Supplier("Post counter", "EUR", Decimal(4), Decimal(62)))
    fresh = workshop.builds.get(build.id or 0)
    lines = replace(fresh, lines=build.lines, orders=(), event_date=None)
    assert session.builds.change(lines, "set lines", "put lines back")
    shortcut("Ctrl+Alt+B")
    page = window.pages.currentWidget()
    assert isinstance(page, BasketPage)
    qtbot.waitUntil(lambda: page.is_at_rest and page.basket is not None)
    return page


def test_postage_decides_what_is_cheapest_together(basket: BasketPage) -> None:
    """By hand: 2 × 30 and 8 for postage are 68 at one shop; 2 × 31, sent free, 62 at the other."""
    rows = texts(basket.choices)
    assert [row[2] for row in rows] == ["Post counter", "Post counter"]
    assert [row[1] for row in rows] == ["Seed box", "Seed box"]
    assert "62.00 EUR for all in 1 parcel" in basket.sum.text
    assert basket.note.text == "6.00 EUR less than from the shops named now"
    assert texts(basket.parcels) == [["Post counter", "62.00", "0.00", "0.00", "62.00", ""]]


def test_enter_takes_it_into_the_build_as_one_step(
    basket: BasketPage, window: Window, press: Press, shortcut: Shortcut, qtbot: QtBot
) -> None:
    session = window.session
    before, steps = session.bench.build, session.undo_stack.count()
    press(Key.Key_Return, to=basket.choices)
    assert session.bench.build is not None
    bought = [one for one in session.bench.build.lines if one.status is Status.PLANNED]
    assert [(one.supplier, one.unit_price) for one in bought] == [("Post counter", Decimal(31))] * 2
    assert session.undo_stack.count() == steps + 1
    qtbot.waitUntil(lambda: basket.is_at_rest)
    assert not basket.take_button.isEnabled()
    shortcut("Ctrl+Z")
    assert session.bench.build == before


def test_a_thing_that_nobody_offers_says_so(
    basket: BasketPage, window: Window, qtbot: QtBot
) -> None:
    assert window.session.bench.build is not None
    pack = window.session.bench.build.parts["pack"]
    for one in list(window.money_pages.shopping.offers(pack)):
        window.money_pages.shopping.change_offer(pack, one, None)
    build = window.session.bench.build
    place = next(i for i, one in enumerate(build.lines) if one.part == "pack")
    bare = replace(build.lines[place], unit_price=None, supplier="")
    window.session.builds.change(build.with_line(place, bare), "took the price", "put it back")
    qtbot.waitUntil(lambda: basket.is_at_rest)
    marks = [basket.choices.entries_model.cell(row, 6) for row in range(2)]
    assert [mark.level for mark in marks] == [None, Level.UNKNOWN]
    assert "1 thing has no offer" in basket.note.text


# What is left buys ----------------------------------------------------------------------------


def test_what_is_left_buys_the_quickest_part_of_a_slot_and_enter_puts_it_in(
    window: Window, press: Press, shortcut: Shortcut, qtbot: QtBot
) -> None:
    shortcut("Ctrl+Alt+L")
    page = window.pages.currentWidget()
    assert isinstance(page, AffordablePage)
    qtbot.waitUntil(lambda: page.is_at_rest, timeout=30_000)
    assert page.changes
    first, before = page.changes[0], window.session.bench.build
    assert before is not None
    assert before.cap is not None
    assert texts(page.table)[0][1] == first.parts[0].name
    press(Key.Key_Return, to=page.table)
    after = window.session.bench.build
    assert after is not None
    assert after.parts[first.parts[0].kind_key] == first.parts[0]
    left = costs(after).left
    assert left is not None
    assert left.minor >= 0
    assert window.session.bench.forecast is not None
    assert window.session.bench.forecast.prediction is not None
    assert window.session.bench.forecast.prediction.road_speed == pytest.approx(first.speed)
    shortcut("Ctrl+Z")
    assert window.session.bench.build == before
    qtbot.waitUntil(lambda: page.is_at_rest, timeout=30_000)


@pytest.mark.parametrize("keys", ["Ctrl+Alt+D", "Ctrl+Alt+O", "Ctrl+Alt+B", "Ctrl+Alt+L"])
def test_a_page_that_was_left_hears_of_nothing_any_more(
    window: Window, press: Press, shortcut: Shortcut, keys: str
) -> None:
    """What it did once it was gone would be an error here, as every one in a slot is."""
    shortcut(keys)
    press(Key.Key_Escape)
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    session = window.session
    session.bench.choose_slot("pack")
    assert session.bench.build is not None
    pack = session.bench.build.parts["pack"]
    session.catalogue.save_part(replace(pack, note="seen"))
    window.preferences.choose(speed_unit="mph")
    window.money_pages.shopping.change_supplier(None, Supplier("Barn door"))
    assert window.pages.currentWidget() is window.home.widget


def test_how_long_a_shop_takes_says_by_when_to_order(
    page: ShopsPage, window: Window, part: Part, shortcut: Shortcut
) -> None:
    session = window.session
    assert session.bench.build is not None
    event = TODAY + timedelta(days=30)
    line = Line("motor", part.name, unit_price=Decimal(30), supplier="Seed box")
    session.builds.change(
        replace(session.bench.build, lines=(line,), event_date=event), "did", "undid"
    )

    def advice() -> str:
        assert session.bench.forecast is not None
        return next(one.advice for one in session.bench.forecast.checks if one.code == "late")

    before = advice()
    window.money_pages.shopping.change_supplier(None, Supplier("Seed box", "EUR", lead_days=6))
    # Six days on the way and one of margin.
    assert advice() == f"Order by {say_day(event - timedelta(days=7))}: {part.name}"
    shortcut("Ctrl+Z")
    assert advice() == before


def test_what_is_left_is_told_in_the_units_chosen_last(
    window: Window, shortcut: Shortcut, qtbot: QtBot
) -> None:
    shortcut("Ctrl+Alt+L")
    page = window.pages.currentWidget()
    assert isinstance(page, AffordablePage)
    qtbot.waitUntil(lambda: page.is_at_rest and bool(page.changes), timeout=30_000)
    before = texts(page.table)
    window.session.bench.choose_measures(Measures(speed_unit=MPH))
    assert texts(page.table) != before
