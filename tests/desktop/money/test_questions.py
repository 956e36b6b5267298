"""What is asked about money, and that each answer does what it says, as one step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desktop.money_story import FOAM, MOTOR, with_story
from pennyspeed.desktop.money.money_panel import MoneyPanel
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]


def build_of(window: Window) -> Build:
    assert window.session.bench.build is not None
    return window.session.bench.build


@pytest.fixture
def panel(window: Window) -> MoneyPanel:
    build = with_story(build_of(window))
    window.session.builds.change(build, "wrote the story", "took the story back")
    QTest.keyClick(window.row, Key.Key_9)
    panel = window.pages.currentWidget()
    assert isinstance(panel, MoneyPanel)
    panel.focus_table()
    return panel


def stand_on(panel: MoneyPanel, index: int) -> None:
    panel.table.stand_on(panel.model.row_of(f"line {index}"))


def click(window: Window, verb: str) -> None:
    button = next(one for one in window.question.buttons if one.text() == verb)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    QApplication.processEvents()


# Owned ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("keys", "counted"), [((), True), ((Key.Key_Right,), False)])
def test_owned_asks_whether_it_was_paid_in_this_build(
    window: Window,
    panel: MoneyPanel,
    press: Press,
    shortcut: Shortcut,
    keys: tuple[Qt.Key, ...],
    counted: bool,
) -> None:
    before = costs(build_of(window))
    stand_on(panel, MOTOR)
    press("w")
    assert window.question.isVisible()
    assert "paid in this build?" in window.question.sentence.text
    assert build_of(window).lines[MOTOR].status is Status.PLANNED  # nothing before the answer
    press(*keys, Key.Key_Return)
    assert window.question.isHidden()
    line, after = build_of(window).lines[MOTOR], costs(build_of(window))
    assert (line.status, line.counts) == (Status.OWNED, counted)
    # the story's motor costs 34.90
    spent = before.spent.minor + (3490 if counted else 0)
    assert (after.spent.minor, after.planned.minor) == (spent, 0)
    assert panel.table.hasFocus()
    shortcut("Ctrl+Z")
    assert costs(build_of(window)) == before


def test_what_was_received_is_owned_without_a_question(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    stand_on(panel, FOAM)
    press("w")
    assert window.question.isHidden()
    assert build_of(window).lines[FOAM].status is Status.OWNED


def test_escape_leaves_the_line_as_it_was(window: Window, panel: MoneyPanel, press: Press) -> None:
    stand_on(panel, MOTOR)
    press("w", Key.Key_Escape)
    assert window.question.isHidden()
    assert build_of(window).lines[MOTOR].status is Status.PLANNED
    assert panel.table.hasFocus()


# A price that came later ---------------------------------------------------------------------


def plan_without_price(window: Window) -> Part:
    """Put a part of one's own into the car, of which nobody knows what it costs."""
    session = window.session
    motor = build_of(window).parts["motor"]
    part = replace(motor, id=None, name="My own motor", price=None)
    stored = session.file.workshop.catalogue.save_part(part)
    session.builds.put_in(stored)
    return stored


def test_a_price_of_a_part_is_offered_to_its_planned_line(
    window: Window, shortcut: Shortcut
) -> None:
    part = plan_without_price(window)
    assert window.question.isHidden()
    before = costs(build_of(window))
    assert "My own motor" in before.unpriced
    price = Price(Money(4250, "EUR"), date.today(), "Quay shop")
    window.session.catalogue.save_part(replace(part, price=price))
    assert window.question.isVisible()
    assert window.question.sentence.text.startswith("My own motor has a price now, 42.50 EUR")
    assert costs(build_of(window)) == before  # nothing before the answer
    click(window, "take it")
    after = costs(build_of(window))
    assert "My own motor" not in after.unpriced
    assert after.counted.minor == before.counted.minor + 4250
    line = build_of(window).line("motor")
    assert line is not None
    assert line.supplier == "Quay shop"
    shortcut("Ctrl+Z")
    assert costs(build_of(window)) == before


def test_a_price_that_is_left_is_not_offered_again(window: Window) -> None:
    part = plan_without_price(window)
    price = Price(Money(4250, "EUR"), date.today())
    window.session.catalogue.save_part(replace(part, price=price))
    click(window, "leave it")
    assert window.question.isHidden()
    window.session.builds.rename("another name")
    assert window.question.isHidden()


# What counts ---------------------------------------------------------------------------------


def packs(window: Window) -> list[Part]:
    return window.session.file.workshop.catalogue.parts("pack")


def another_pack(window: Window) -> Part:
    now = build_of(window).parts["pack"].name
    return next(one for one in packs(window) if one.name != now and one.price is not None)


def test_a_pack_says_beside_its_price_that_it_does_not_count(window: Window) -> None:
    window.session.builds.put_in(another_pack(window))
    row = next(one for one in window.slots.model.rows if one.kind.key == "pack")
    assert row.price.endswith(", not counted")
    window.session.bench.choose_slot("pack")
    QApplication.processEvents()
    assert window.shelf.head._title.text.endswith("not counted")


def test_whether_packs_count_is_asked_once_and_holds_for_the_file(
    window: Window, shortcut: Shortcut
) -> None:
    first = another_pack(window)
    window.session.builds.put_in(first)
    assert window.question.sentence.text == "Do packs count toward the cap?"
    before = costs(build_of(window))
    entries = book(build_of(window)).entries
    of_packs = sum(one.total for one in entries if one.line.part == "pack")
    assert of_packs
    click(window, "they count")
    after, line = costs(build_of(window)), build_of(window).line("pack")
    assert line is not None
    assert line.counts
    assert after.counted.minor == before.counted.minor + of_packs
    second = another_pack(window)
    window.session.builds.put_in(second)
    assert window.question.isHidden()
    taken = build_of(window).line("pack")
    assert taken is not None
    assert taken.counts
    shortcut("Ctrl+Z")
    shortcut("Ctrl+Z")
    assert costs(build_of(window)) == before
    window.session.builds.create("bare")
    window.session.builds.put_in(second)
    found = build_of(window).line("pack")
    assert found is not None
    assert not found.counts  # undone, so that it is open again
    assert window.question.isVisible()


def test_the_shelf_reckons_with_the_choice_as_putting_in_does(window: Window) -> None:
    from pennyspeed.services.shelf.candidates import candidates

    window.session.builds.put_in(another_pack(window))
    click(window, "they count")
    build = build_of(window)
    parts = packs(window)
    found = candidates(build, parts)
    for row, part in enumerate(parts):
        assert int(found.cost_change[row]) == (
            costs(build.with_part(part)).counted.minor - costs(build).counted.minor
        ), part.name


def test_nothing_is_asked_of_a_build_that_is_only_opened(window: Window) -> None:
    for id, _ in window.session.builds.entries():
        window.session.builds.choose(id)
        assert window.question.isHidden()
