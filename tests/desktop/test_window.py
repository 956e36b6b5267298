"""The main job in the window: a part swapped, the figures that follow, and undo."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.car.slots import SlotsPanel
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.verdict_rows import cost_rows
from pennyspeed.services.workshop import Workshop

Key = Qt.Key
Press = Callable[..., None]


def slot_row(panel: SlotsPanel, slot: str) -> int:
    return next(i for i, row in enumerate(panel.model.rows) if row.kind.key == slot)


def name_in(window: Window, slot: str) -> str:
    return window.slots.model.rows[slot_row(window.slots, slot)].name


def another_row(window: Window) -> int:
    """Return a row whose part is not in the slot and costs something else."""
    model = window.shelf.model
    now = model.rows.row_now
    price = model.rows.columns.index(next(c for c in model.rows.columns if c.key == "price"))
    return next(
        row
        for row in range(model.rowCount())
        if row != now and model.rows.text(row, price) != model.rows.text(now, price)
    )


def painted(widget: QWidget, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return the texts that a widget paints, in the order in which it does."""
    said: list[str] = []
    with monkeypatch.context() as patch:
        patch.setattr(theme.Words, "draw", lambda self, *_, **__: said.append(self.text))
        widget.grab()
    return said


def speed_of(window: Window) -> str:
    """Return the speed as the physics has it, for the build that is shown."""
    build = window.session.bench.build
    assert build is not None
    prediction = forecast(build).prediction
    assert prediction is not None
    return f"{KMH.from_si(prediction.road_speed):.0f}"


def test_the_first_look_shows_car_road_shelf_and_verdict(window: Window) -> None:
    build = window.session.bench.build
    assert build is not None
    assert window.windowTitle().startswith(build.name)
    assert window.top.name.value == build.name
    assert [row.kind.key for row in window.slots.model.rows][-1] == "extras"
    for slot, part in build.parts.items():
        assert name_in(window, slot) == part.name
    assert window.verdict.speed == speed_of(window)
    assert window.home.stack.road.layout_shown is not None
    assert window.shelf.model.rowCount() == len(window.session.catalogue.parts("motor"))
    counted = window.session.bench.forecast.costs.counted
    assert window.verdict.money == str(counted)


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1920, 1080), (2560, 1440)])
def test_every_slot_is_in_sight_and_no_row_is_cut(window: Window, width: int, height: int) -> None:
    window.resize(width, height)
    for _ in range(3):
        QApplication.processEvents()
    view = window.slots.view
    last = window.slots.model.index(len(window.slots.model.rows) - 1)
    assert view.verticalScrollBar().maximum() == 0
    assert view.viewport().rect().contains(view.visualRect(last))
    assert window.slots.width() == (296 if width >= 1720 else 240)
    assert window.verdict.width() == (352 if width >= 1720 else 304)
    assert window.shelf.table.viewport().height() % 32 == 0
    assert window.verdict.geometry().right() == window.body.width() - 1


def test_enter_on_a_row_swaps_and_saves(window: Window, file: Path, press: Press) -> None:
    window.shelf.focus_table()
    row = another_row(window)
    window.shelf.table.stand_on(row)
    part = window.shelf.rows.part(row)
    before = (
        window.verdict.speed,
        window.verdict.money,
        window.home.stack.road.accessibleDescription(),
    )
    press(Key.Key_Return)
    assert name_in(window, "motor") == part.name
    assert window.shelf.rows.text(row, 0) == part.name
    assert window.shelf.rows.row_now == row
    assert window.verdict.speed == speed_of(window)
    after = (
        window.verdict.speed,
        window.verdict.money,
        window.home.stack.road.accessibleDescription(),
    )
    assert all(old != new for old, new in zip(before, after, strict=True))
    with Workshop.open(file) as other:
        stored = other.builds.get(window.session.bench.build.id)
    assert stored.part("motor").name == part.name


def test_double_click_swaps(window: Window) -> None:
    row = another_row(window)
    table = window.shelf.table
    table.stand_on(row)
    part = window.shelf.rows.part(row)
    place = table.visualRect(window.shelf.model.index(row, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    QTest.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.session.bench.build.part("motor").name == part.name


def test_arrow_keys_try_and_enter_puts_in(window: Window, press: Press) -> None:
    window.slots.view.setFocus()
    press(Key.Key_Down, Key.Key_Down)
    assert window.session.bench.slot == "pack"
    press(Key.Key_Up)
    assert window.session.bench.slot == "controller"
    press(Key.Key_Return)
    table = window.shelf.table
    assert table.hasFocus()
    now = window.shelf.rows.row_now
    assert table.currentIndex().row() == now
    press(Key.Key_Down if now + 1 < window.shelf.model.rowCount() else Key.Key_Up)
    tried = window.shelf.part_here()
    assert window.session.bench.tried_parts == (tried,)
    assert tried.name in window.home.stack.road.accessibleDescription()
    assert any(row.ring and tried.name in row.label for row in window.verdict.rows)
    press(Key.Key_Return)
    assert name_in(window, "controller") == tried.name
    assert window.session.bench.tried_parts == ()
    assert not any(row.ring for row in window.verdict.rows)


def test_undo_and_redo_say_what_they_do(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    old = window.session.bench.build.part("motor").name
    money, speed = window.verdict.money, window.verdict.speed
    window.shelf.focus_table()
    window.shelf.table.stand_on(another_row(window))
    press(Key.Key_Return)
    new = window.session.bench.build.part("motor").name
    assert window.menus.actions["undo"].text() == f"Undo: put back {old}"
    shortcut("Ctrl+Z")
    assert (name_in(window, "motor"), window.verdict.money, window.verdict.speed) == (
        old,
        money,
        speed,
    )
    assert window.top.accessibleDescription() == f"put back {old} · saved"
    assert window.menus.actions["redo"].text() == f"Redo: put in {new}"
    shortcut("Ctrl+Shift+Z")
    assert name_in(window, "motor") == new


def test_undo_names_what_it_takes_out_or_puts_back(
    window: Window,
    press: Press,
    shortcut: Callable[[str], None],
    settle: Callable[[Window], None],
) -> None:
    session, undo = window.session, window.menus.actions["undo"]
    extra, name = session.catalogue.parts("extras")[0], session.bench.build.name
    session.builds.put_in(extra)
    assert undo.text() == f"Undo: took {extra.name} out again"
    session.builds.rename("another name")
    assert undo.text() == f"Undo: named it {name}"
    session.bench.choose_slot("pinion")
    shortcut("Ctrl+T")
    settle(window)
    model = window.shelf.model
    slots = ("pinion", "spur")

    def put_in_a_new_pair() -> str:
        row = next(
            row
            for row in range(model.rowCount())
            if all(
                part != session.bench.build.part(part.kind_key) for part in model.rows.parts(row)
            )
        )
        window.shelf.focus_table()
        window.shelf.table.stand_on(row)
        press(Key.Key_Return)
        return " with ".join(session.bench.build.part(slot).name for slot in slots)

    old = " with ".join(session.bench.build.part(slot).name for slot in slots)
    put_in_a_new_pair()
    assert undo.text() == f"Undo: put back {old}"
    session.builds.take_out("pinion")
    new = put_in_a_new_pair()
    assert undo.text() == f"Undo: took {new} out again"


def test_change_and_left_are_what_the_swap_brings(
    window: Window, press: Press, settle: Callable[[Window], None]
) -> None:
    model = window.shelf.model
    row = another_row(window)
    keys = [column.key for column in model.rows.columns]
    change = model.rows.text(row, keys.index("change"))
    left = model.rows.text(row, keys.index("left"))
    before = window.session.bench.forecast.costs
    window.shelf.focus_table()
    window.shelf.table.stand_on(row)
    press(Key.Key_Return)
    settle(window)
    after = window.session.bench.forecast.costs
    assert change == Measures().signed(float((after.counted - before.counted).amount), 2)
    assert left == Measures().money(after.left, currency=False)
    assert model.rows.text(row, keys.index("change")) == "now"


def test_delete_takes_out_and_the_empty_slot_says_so(window: Window, press: Press) -> None:
    old = window.session.bench.build.part("motor").name
    window.slots.view.setFocus()
    press(Key.Key_Delete)
    row = window.slots.model.rows[slot_row(window.slots, "motor")]
    assert row.is_empty
    assert row.name == "no motor yet"
    assert "Enter" in row.hint
    assert window.verdict.speed == "–"
    assert "No motor yet" in window.home.stack.road.accessibleDescription()
    press(Key.Key_Return)
    assert window.shelf.table.hasFocus()
    window.session.undo_stack.undo()
    assert name_in(window, "motor") == old


def test_a_stop_marks_its_slot(window: Window) -> None:
    """A pack of more cells than the controller bears stops the build (check by our own rule)."""
    session = window.session
    most = session.bench.build.part("controller").known_number("max_cells")
    pack = next(p for p in session.catalogue.parts("pack") if p.number("cells_series") > most)
    session.builds.put_in(pack)
    rows = window.slots.model.rows
    assert rows[slot_row(window.slots, "pack")].level is Level.STOP
    assert rows[slot_row(window.slots, "controller")].level is Level.STOP
    shown = window.verdict.model.shown
    assert shown[0].level is Level.STOP
    index = window.slots.model.index(slot_row(window.slots, "pack"))
    spoken = window.slots.model.data(index, Qt.ItemDataRole.AccessibleTextRole)
    assert spoken.endswith("stop")


def test_enter_on_a_check_goes_to_its_slot(window: Window, press: Press) -> None:
    session = window.session
    most = session.bench.build.part("controller").known_number("max_cells")
    session.builds.put_in(
        next(p for p in session.catalogue.parts("pack") if p.number("cells_series") > most)
    )
    window.verdict.checks.setFocus()
    window.verdict.checks.setCurrentIndex(window.verdict.model.index(0))
    press(Key.Key_Return)
    assert session.bench.slot in window.verdict.model.shown[0].slots


def test_checks_stand_from_stop_to_watch_to_not_known(window: Window) -> None:
    session = window.session
    most = session.bench.build.part("controller").known_number("max_cells")
    pack = next(p for p in session.catalogue.parts("pack") if p.number("cells_series") > most)
    bare = session.bench.build.part("motor").with_figure("max_rpm", None)
    session.builds.change(session.bench.build.with_part(bare).with_part(pack), "did", "undid")
    model = window.verdict.checks.model()
    role = Qt.ItemDataRole.AccessibleTextRole
    said = [model.data(model.index(row, 0), role) for row in range(model.rowCount())]
    levels = [text.split(":")[0] for text in said if text]
    assert list(dict.fromkeys(levels)) == ["stop", "watch", "not known"]
    assert levels == sorted(levels, key=["stop", "watch", "not known"].index)


def test_a_check_says_what_would_help(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    session = window.session
    most = session.bench.build.part("controller").known_number("max_cells")
    session.builds.put_in(
        next(p for p in session.catalogue.parts("pack") if p.number("cells_series") > most)
    )
    (first, *_) = session.bench.forecast.checks
    assert first.level is Level.STOP
    assert first.advice.rstrip(".") in " ".join(painted(window.verdict.checks, monkeypatch))


def test_extras_are_added_and_taken_out(window: Window, press: Press) -> None:
    session = window.session
    session.bench.choose_slot("extras")
    count = len(session.bench.build.extras)
    mass = window.slots._figures[0].figure
    window.shelf.focus_table()
    model = window.shelf.model
    heavy = next(
        row
        for row in range(model.rowCount())
        if not model.rows.count_in(row) and (model.rows.part(row).number("mass_g") or 0) > 1
    )
    window.shelf.table.stand_on(heavy)
    press(Key.Key_Return)
    assert len(session.bench.build.extras) == count + 1
    assert model.rows.count_in(heavy) == 1
    assert window.slots._figures[0].figure != mass
    press(Key.Key_Delete)
    assert len(session.bench.build.extras) == count
    assert window.slots._figures[0].figure == mass


def test_a_click_on_a_slot_shows_its_shelf(window: Window) -> None:
    view = window.slots.view
    place = view.visualRect(window.slots.model.index(slot_row(window.slots, "tyres"))).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(place))
    assert window.session.bench.slot == "tyres"
    assert window.shelf.rows.stock.kind.key == "tyres"


def test_reopening_shows_what_was_saved(
    window: Window, open_window: Callable[..., Window], press: Press
) -> None:
    window.shelf.focus_table()
    window.shelf.table.stand_on(another_row(window))
    press(Key.Key_Return)
    name = window.session.bench.build.part("motor").name
    speed, money = window.verdict.speed, window.verdict.money
    window.close()
    again = open_window()
    assert name_in(again, "motor") == name
    assert (again.verdict.speed, again.verdict.money) == (speed, money)


def test_a_swap_that_cannot_be_stored_changes_nothing(
    window: Window, press: Press, monkeypatch: object
) -> None:
    from pennyspeed.domain.errors import UnwritableFile

    def full(build: object) -> None:
        raise UnwritableFile("The disk is full; nothing was changed.")

    window.session.file.workshop.builds.save = full
    before = (name_in(window, "motor"), window.verdict.speed)
    window.shelf.focus_table()
    window.shelf.table.stand_on(another_row(window))
    press(Key.Key_Return)
    assert window.hints.trouble == "The disk is full; nothing was changed."
    assert (name_in(window, "motor"), window.verdict.speed) == before
    assert not window.session.undo_stack.canUndo()


def test_swaps_repaint_every_panel_once(window: Window, settle: Callable[[Window], None]) -> None:
    from PySide6.QtCore import QEvent, QObject

    class Paints(QObject):
        seen: list[str] = []  # noqa: RUF012

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            if event.type() == QEvent.Type.Paint:
                self.seen.append(watched.objectName())
            return False

    paints = Paints()
    viewports = {
        "plot": window.home.stack.road.viewport(),
        "shelf": window.shelf.table.viewport(),
        "slots": window.slots.view.viewport(),
        "verdict": window.verdict,
    }
    window.shelf.focus_table()
    window.shelf.table.stand_on(another_row(window))
    settle(window)
    for name, viewport in viewports.items():
        viewport.setObjectName(name)
        viewport.installEventFilter(paints)
    paints.seen.clear()
    late: list[bool] = []
    window.shelf.answer_queue.went_late.connect(lambda: late.append(True))
    QTest.keyClick(window.shelf.table, Key.Key_Return)
    QApplication.processEvents()
    assert sorted(paints.seen) == sorted(viewports)
    # What the rows answer then comes in by one repaint of the shelf alone.
    paints.seen.clear()
    settle(window)
    assert paints.seen == ["shelf"] * (1 + len(late))


def test_money_follows_the_cap(window: Window, settle: Callable[[Window], None]) -> None:
    session = window.session
    session.builds.change(replace(session.bench.build, cap=Money.of("1.00", "EUR")), "cap", "cap")
    settle(window)
    model = window.shelf.model
    left = next(i for i, column in enumerate(model.rows.columns) if column.key == "left")
    assert model.rows.is_over(model.rows.row_now, left)
    session.builds.change(replace(session.bench.build, cap=None), "cap", "cap")
    assert "left" not in [column.key for column in model.rows.columns]


def test_what_passes_the_cap_is_told_as_over(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = window.session
    counted = session.bench.forecast.costs.counted
    for cap, word in (
        (counted + Money.of("5.00", "EUR"), "left"),
        (Money.of("1.00", "EUR"), "over"),
    ):
        session.builds.change(replace(session.bench.build, cap=cap), "cap", "cap")
        said = painted(window.verdict, monkeypatch)
        amount = session.bench.measures.money(max(cap, counted) - min(cap, counted), False)
        assert {"left", "over"} & set(said) == {word}
        assert amount in said


@pytest.mark.parametrize(
    "direction", [Qt.LayoutDirection.LeftToRight, Qt.LayoutDirection.RightToLeft]
)
def test_amounts_stand_with_their_decimals_below_each_other(
    direction: Qt.LayoutDirection,
    window: Window,
    qapp: QApplication,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Digits read from left to right in any language: the last ones end on one line."""
    drawn: list[tuple[str, float]] = []
    draw = theme.Words.draw

    def note(self, painter, x, baseline, colour, align=0.0) -> None:
        drawn.append((self.text, round(x + self.width * (1.0 - align), 3)))
        draw(self, painter, x, baseline, colour, align)

    def ends(widget: QWidget) -> dict[str, float]:
        drawn.clear()
        widget.grab()
        return {text: end for text, end in drawn if re.fullmatch(r"[\d,]+\.\d\d", text)}

    qapp.setLayoutDirection(direction)
    monkeypatch.setattr(theme.Words, "draw", note)
    try:
        prices = ends(window.slots.view)
        assert len({len(text) for text in prices}) > 1, "all are as wide as each other"
        assert len(set(prices.values())) == 1
        measures = window.session.bench.measures
        found = ends(window.verdict)
        rows = [amount for *_, amount in cost_rows(window.session.bench.forecast.costs, measures)]
        assert len({len(text) for text in rows}) > 1
        for column in (rows[:2], rows[2:]):
            assert len({found[text] for text in column}) == 1
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
