"""The currency of a build in the window: asked once, changed later, one step each."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desktop.money_story import with_story
from pennyspeed.desktop.session.settings import of_region
from pennyspeed.desktop.shopping.currency_page import CurrencyPage
from pennyspeed.desktop.shopping.first_build_page import FirstBuildPage
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]


def build_of(window: Window) -> Build:
    assert window.session.bench.build is not None
    return window.session.bench.build


def told(window: Window) -> Build:
    """Give the window a build with prices, orders and rates."""
    build = with_story(build_of(window))
    window.session.builds.change(build, "wrote the story", "took the story back")
    return build_of(window)


def currency_page(window: Window) -> CurrencyPage:
    page = window.pages.currentWidget()
    assert isinstance(page, CurrencyPage)
    return page


def save() -> None:
    QTest.keyClick(QApplication.focusWidget(), Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    QApplication.processEvents()


# Units and currency as Qt's table of CLDR has them for these regions.
@pytest.mark.parametrize(
    ("name", "units", "code"),
    [
        ("en_GB", ("mph", "mm", "g"), "GBP"),
        ("en_US", ("mph", "in", "oz"), "USD"),
        ("de_CH", ("km/h", "mm", "g"), "CHF"),
    ],
)
def test_a_region_has_its_units_and_currency(name: str, units: tuple[str], code: str) -> None:
    found, currency = of_region(QLocale(name))
    assert (tuple(found.values()), currency) == (units, code)


def test_the_first_build_is_asked_for_units_and_currency_and_no_other(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    shortcut("Ctrl+N")
    page = window.pages.currentWidget()
    assert isinstance(page, FirstBuildPage)
    speeds = page.body.row("speed_unit")
    speeds.editor.setCurrentIndex(speeds.editor.findData("mph"))
    page.body.row("currency").focus()
    page.body.row("currency").put("gbp")
    save()
    press("rain car", Key.Key_Return)
    assert (build_of(window).name, build_of(window).currency) == ("rain car", "GBP")
    assert window.session.bench.measures.speed_unit.symbol == "mph"
    shortcut("Ctrl+N")
    press("second", Key.Key_Return)
    assert (build_of(window).name, build_of(window).currency) == ("second", "GBP")


def test_a_file_with_builds_of_ones_own_is_not_asked(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    window.session.builds.create("mine of old")
    shortcut("Ctrl+N")
    press("another", Key.Key_Return)
    assert build_of(window).name == "another"


def test_leaving_the_first_question_makes_nothing_and_asks_again(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    before = window.session.builds.entries()
    shortcut("Ctrl+N")
    press(Key.Key_Escape)
    assert window.session.builds.entries() == before
    shortcut("Ctrl+N")
    assert isinstance(window.pages.currentWidget(), FirstBuildPage)


def test_a_cap_typed_in_pounds_asks_for_the_rate_and_is_one_step(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    before = told(window)
    window.top.field("cap").edit()
    press("400 GBP", Key.Key_Return)
    QApplication.processEvents()
    page = currency_page(window)
    assert QApplication.focusWidget() is page.body.row("rate").editor
    save()  # without the rate nothing is changed
    assert build_of(window) == before
    assert "1 EUR is" in page.body.row("rate").complaint
    press("0.80")
    save()
    after = build_of(window)
    assert (after.currency, after.cap) == ("GBP", Money(40000, "GBP"))
    assert [one.unit_price for one in after.lines] == [one.unit_price for one in before.lines]
    # the story's 174.44 EUR, worked out there by hand, at 0.80; its cents are rounded anew
    assert abs(costs(after).counted.minor - 17444 * Decimal("0.80")) <= 1
    assert window.top.field("cap").value == "400 GBP"
    shortcut("Ctrl+Z")
    assert build_of(window) == before


def test_find_and_the_money_page_lead_to_the_currency(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    told(window)
    shortcut("Ctrl+K")
    press("currency", Key.Key_Return)
    currency_page(window)
    press(Key.Key_Escape)
    QTest.keyClick(window.row, Key.Key_9)
    panel = window.pages.currentWidget()
    panel.focus_table()
    press("u")
    page = currency_page(window)
    assert QApplication.focusWidget() is page.body.row("currency").editor


def test_a_cap_in_another_currency_is_taken_at_once_where_nothing_has_a_price(
    window: Window, press: Press
) -> None:
    window.session.builds.create("bare")
    window.top.field("cap").edit()
    press("400 GBP", Key.Key_Return)
    assert build_of(window).cap == Money(40000, "GBP")
