"""Keys: one that is said is one that acts, in every place that says any."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QWidget

from desktop.conftest import wait_until
from desktop.money_story import with_story
from pennyspeed.desktop.commands.actions import COMMANDS, is_plain
from pennyspeed.desktop.commands.places import PLACES
from pennyspeed.desktop.gears.gears_view import GearsView
from pennyspeed.desktop.imports.preview import PreviewPage
from pennyspeed.desktop.money.money_panel import MoneyPanel
from pennyspeed.desktop.topline import TOP
from pennyspeed.desktop.topline.name_field import NameField
from pennyspeed.desktop.widgets.keys import KeyHandler, KeyMap, KeyRow, presses
from pennyspeed.desktop.window import Window
from pennyspeed.domain.money.lines import Line
from pennyspeed.services.estimates.missing import MissingFigures

Press = Callable[..., None]
Go = Callable[[], None]


class Presses(QObject):
    """Hears which of the window's actions a key triggers, and keeps them from doing it."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.heard: list[QObject] = []
        self.actions: dict[str, QAction] = window.menus.actions
        for action in self.actions.values():
            action.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Shortcut:
            self.heard.append(watched)
            return True
        return False


def press_code(code: int, to: QWidget) -> bool:
    """Press a key on a widget and tell whether it, or what it stands in, took it."""
    key, held = Qt.Key(code & 0x01FFFFFF), Qt.KeyboardModifier(code & 0xFE000000)
    text = chr(key).lower() if 32 <= key < 127 and held == Qt.KeyboardModifier.NoModifier else ""
    event = QKeyEvent(QEvent.Type.KeyPress, key, held, text)
    QApplication.sendEvent(to, event)
    QApplication.processEvents()
    return event.isAccepted()


@pytest.fixture
def places(window: Window, press: Press, tmp_path: Path) -> dict[str, Go]:
    """How the keyboard comes to each place."""
    session, table = window.session, tmp_path / "offered.csv"
    table.write_text("kind,name,teeth,module_mm\npinion,31 from the club,31,0.8\npinion,,5,x\n")

    def filled() -> None:
        build = session.bench.build
        assert build is not None
        session.builds.change(with_story(build), "wrote the story", "took it back")

    def money() -> None:
        filled()
        window.navigator.choose_view("money")
        panel = window.pages.currentWidget()
        assert isinstance(panel, MoneyPanel)
        panel.forms.close_form()
        panel.focus_table()

    def gears() -> None:
        window.navigator.choose_view("gears")
        view = window.pages.currentWidget()
        assert isinstance(view, GearsView)
        wait_until(lambda: view.chart.cells is not None and not view.chart.is_busy)

    def beside() -> None:
        session.comparison.hold_present()
        window.navigator.choose_view("beside")

    def preview() -> None:
        window.money_pages.look_at(table)
        page = window.pages.currentWidget()
        assert isinstance(page, PreviewPage)
        wait_until(lambda: page.is_at_rest)
        page.table.setFocus()

    def shopping(show: Callable[[], object]) -> Go:
        def go() -> None:
            filled()
            show()
            wait_until(lambda: not window.money_pages.shopping.is_learning)

        return go

    def field() -> None:
        window.home.go_to_field()
        press("a")

    def then(go: Go, *keys: Qt.Key) -> Go:
        def both() -> None:
            go()
            press(*keys)

        return both

    def sliders() -> None:
        window.home.go_to_shelf()
        window.home.ask_what_if()

    def recipe() -> None:
        session.bench.choose_slot("body")
        window.parts.edit_recipe()

    def estimate() -> None:
        motors = {part.name: part for part in session.catalogue.parts("motor")}
        window.parts.edit_part(motors["Dunlin 3400"])
        form = window.parts.form
        wait_until(lambda: form.body.row("rotor_inertia_gcm2").is_worked_out)
        form.body.row("rotor_inertia_gcm2").focus()

    def listing() -> None:
        window.parts.new_part("motor")
        window.parts.form.paste("3150KV motor\n36 x 50 mm")
        window.parts.form.body.pane.setFocus()
        press(Qt.Key.Key_Left)

    def question() -> None:
        build = window.session.bench.build
        assert build is not None
        line = Line("", "tape", unit_price=Decimal(1))
        window.session.builds.change(build.with_new_line(line), "added it", "removed it")
        window.session.questions.note_owned([len(build.lines)])

    def notice() -> None:
        missing = session.missing_figures
        missing.missing = MissingFigures(1, 1, ())
        missing.changed.emit()
        window.notice.work_button.setFocus()

    def narrowing() -> None:
        window.parts.edit_slot()
        panel = window.verdict.unknowns
        wait_until(lambda: panel.narrowings.is_current)
        panel.view.setFocus()

    return {
        "In the top line": lambda: window.top.field("target").setFocus(),
        "name": lambda: window.top.name.setFocus(),
        "In the car": lambda: window.slots.view.setFocus(),
        "While narrowing": field,
        "On the shelf": window.home.go_to_shelf,
        "In a figure on the shelf": then(window.home.go_to_shelf, Qt.Key.Key_F3),
        "In a plot": lambda: window.home.stack.view.setFocus(),
        "In the row of views": lambda: window.row.setFocus(),
        "At the sliders": sliders,
        "At the margin": window.home.show_margin,
        "Gears": gears,
        "Beside": beside,
        "Among the lines of money": money,
        "In a figure of a line": then(money, Qt.Key.Key_E),
        "In an order or the rates": then(money, Qt.Key.Key_X),
        "Among the checks": lambda: window.verdict.checks.setFocus(),
        "At the sheet": lambda: window.navigator.turn("sheet"),
        "Among the days": shopping(window.money_pages.show_days),
        "Among offers and shops": shopping(window.money_pages.show_shops),
        "In the cheapest basket": shopping(window.money_pages.show_basket),
        "Among what could still be bought": shopping(window.money_pages.show_left),
        "In a recipe": recipe,
        "Looking at a table": preview,
        "In a part’s form": lambda: window.parts.new_part("motor"),
        "On a figure that was worked out": estimate,
        "In a pasted listing": listing,
        "At the notice of missing figures": notice,
        "At a question about money": question,
        "In the currency of a build": window.money_pages.show_currency,
        "Among what would narrow the range": narrowing,
    }


@pytest.mark.parametrize("place", PLACES, ids=lambda place: place.title)
def test_every_key_that_is_said_acts(
    window: Window, places: dict[str, Go], place: KeyMap, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **__: ("", ""))
    done: list[str] = []
    real = KeyHandler.act

    def act(handler: KeyHandler, event: QKeyEvent) -> bool:
        before = handler._names.get(int(event.modifiers().value) | int(event.key()))
        is_done = real(handler, event)
        if is_done and before:
            done.append(before)
        return is_done

    monkeypatch.setattr(KeyHandler, "act", act)
    heard = Presses(window)
    window.session.builds.put_in(window.session.catalogue.parts("motor")[0])
    for row in place.rows:
        if row.command:
            places[place.title if place is not TOP else "name"]()
            acts_as_command(window, heard, row)
            continue
        for code in presses(row.keys):
            places[place.title]()
            now = QApplication.focusWidget()
            assert now is not None, place.title
            done.clear()
            stops = [now, *(one for one in beside_it(window, now) if one is not now)]
            assert any(acts(one, code, row, done, heard) for one in stops), (place.title, row)
            window.navigator.go_home()


def beside_it(window: Window, now: QWidget) -> list[QWidget]:
    """The other stops of the page in which the keyboard is."""
    page = window.navigator.current
    if not page.isAncestorOf(now):
        return []
    stops = page.findChildren(QWidget)
    return [one for one in stops if one.isVisible() and one.focusPolicy() & Qt.FocusPolicy.TabFocus]


def acts(to: QWidget, code: int, row: KeyRow, done: list[str], heard: Presses) -> bool:
    if press_code(code, to):
        return not row.action or done == [row.action]
    heard.heard.clear()
    held = Qt.KeyboardModifier(code & 0xFE000000)
    QTest.keyClick(to, Qt.Key(code & 0x01FFFFFF), held)
    return bool(heard.heard)


def acts_as_command(window: Window, heard: Presses, row: KeyRow) -> None:
    action = heard.actions[row.command]
    action.setEnabled(True)
    keys = next(filter(is_plain, action.shortcuts()))
    now = QApplication.focusWidget()
    assert now is not None
    heard.heard.clear()
    QTest.keySequence(now, keys)
    QApplication.processEvents()
    # A field in which something was typed undoes that first, and the name opens itself.
    typed = isinstance(now, QLineEdit) and now.isRedoAvailable()
    opened = isinstance(now, NameField) and QApplication.focusWidget() is not now
    assert heard.heard == [action] or typed or opened, (row, now)


def test_every_place_names_commands_that_there_are() -> None:
    for place in PLACES:
        for row in place.rows:
            assert row.words
            assert bool(row.keys) != bool(row.command)
            assert not row.command or any(map(is_plain, key_sequences(row.command))), row


def key_sequences(command: str) -> list[object]:
    from pennyspeed.desktop.commands.actions import sequences

    return list(sequences(COMMANDS[command].shortcuts))


def test_a_widget_that_leaves_out_a_row_is_not_made() -> None:
    keys = KeyMap("Here", KeyRow(("K",), "keep", "keep"), KeyRow(("Z",), "weigh", "weigh"))
    with pytest.raises(AssertionError, match="weigh"):
        KeyHandler(keys, keep=lambda: None)
    with pytest.raises(AssertionError, match="sing"):
        KeyHandler(keys, keep=lambda: None, weigh=lambda: None, sing=lambda: None)


def test_what_is_held_down_makes_another_key() -> None:
    kept: list[str] = []
    keys = KeyMap("Here", KeyRow(("Enter",), "keep", "keep", also=("F2",)))
    handler = KeyHandler(keys, keep=lambda: kept.append("kept"))

    def pressed(key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> bool:
        return handler.act(QKeyEvent(QEvent.Type.KeyPress, key, held))

    assert pressed(Qt.Key.Key_Return)
    assert pressed(Qt.Key.Key_Enter, Qt.KeyboardModifier.KeypadModifier)
    assert pressed(Qt.Key.Key_F2)
    assert not pressed(Qt.Key.Key_F2, Qt.KeyboardModifier.ControlModifier)
    assert len(kept) == 3
