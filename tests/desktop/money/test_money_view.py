"""The view of money, worked as a person would: what it shows is what the book holds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QTableView
from pytestqt.modeltest import ModelTester

from desktop.money_story import CHASSIS, CONTROLLER, FEE, FOAM, MOTOR, TYRES, day, with_story
from pennyspeed.desktop.commands.key_hints import hints_of
from pennyspeed.desktop.money import MONEY, MONEY_CELL, MONEY_FORM
from pennyspeed.desktop.money.money_panel import MoneyPanel
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import rate_of
from pennyspeed.services.money.bar_segments import segments
from pennyspeed.services.money.money_rows import ARRANGEMENTS, BY_KIND, BY_SUPPLIER
from pennyspeed.services.reports.verdict_rows import cost_rows

Press = Callable[..., None]


@pytest.fixture
def panel(window: Window) -> MoneyPanel:
    return opened(window)


def opened(window: Window) -> MoneyPanel:
    build = window.session.bench.build
    assert build is not None
    window.session.builds.change(with_story(build), "wrote the story", "took the story back")
    QTest.keyClick(window.row, Qt.Key.Key_9)
    panel = window.pages.currentWidget()
    assert isinstance(panel, MoneyPanel)
    panel.focus_table()
    assert panel.table.hasFocus()
    return panel


def build_of(window: Window) -> Build:
    assert window.session.bench.build is not None
    return window.session.bench.build


def go_to(panel: MoneyPanel, index: int, column: str = "name") -> None:
    panel.table.stand_on(panel.model.row_of(f"line {index}"), panel.model.column_of(column))


def typed(text: str, *keys: Qt.Key) -> None:
    field = QApplication.focusWidget()
    assert isinstance(field, QLineEdit)
    field.selectAll()
    if text:
        QTest.keyClicks(field, text)
    else:
        QTest.keyClick(field, Qt.Key.Key_Delete)
    for key in keys:
        QTest.keyClick(QApplication.focusWidget(), key)
    QApplication.processEvents()


def cell(panel: MoneyPanel, index: int, key: str) -> str:
    return panel.model.text(panel.model.row_of(f"line {index}"), panel.model.column_of(key))


# What it shows ------------------------------------------------------------------------------


def test_every_figure_is_the_books(window: Window, panel: MoneyPanel) -> None:
    found = book(build_of(window))
    # by hand, see the story
    assert [amount for _, _, amount in panel.bar.captions] == ["79.57", "59.97", "34.90"]
    assert [amount for _, _, amount in panel.foot.sums] == ["79.57", "59.97", "34.90", "15.00"]
    assert [label for _, label, _ in panel.bar.captions] == ["spent", "promised", "planned"]
    forecast = window.session.bench.forecast
    assert forecast is not None
    # The verdict says the same in the same words, to the eye and to the ear.
    assert cost_rows(forecast.costs, Measures())[:3] == panel.bar.captions
    window.verdict.refresh()
    said = window.verdict.bar.accessibleDescription()
    assert said.startswith("spent 79.57; promised 59.97; planned 34.90; together 174.44 EUR")
    assert panel.foot.together == "174.44" == str(found.counted)
    assert panel.bar.left == "85.56 left"
    assert panel.bar.apart == "not counted 15.00 EUR: planned 15.00"
    assert window.verdict.money == "174.44"
    assert cell(panel, CONTROLLER, "amount") == "49.44"
    assert cell(panel, TYRES, "amount") == "21.06"
    assert cell(panel, FOAM, "price") == "12.00 USD"
    assert cell(panel, FOAM, "amount") == "11.04"
    assert "with 3.44 postage" in panel.model.sentence(panel.model.row_of(f"line {CONTROLLER}"))
    rows = panel.model.rows
    assert sum(Decimal(row.cells["amount"]) for row in rows) == Decimal("189.44")
    assert [row.cells["so_far"] for row in rows if row.counts][-1] == "174.44"


def test_sums_by_kind_and_by_supplier_are_the_books(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    found = book(build_of(window))
    press(Qt.Key.Key_S, Qt.Key.Key_S)
    assert panel.arranged.key == BY_KIND
    shown = {row.key.removeprefix("kind "): row.cells for row in panel.model.rows}
    for kind, sums in found.by_kind().items():
        assert shown[kind]["amount"] == str(found.money(sums.counted.total))
        assert shown[kind]["uncounted"] == str(found.money(sums.uncounted.total))
    press(Qt.Key.Key_S)
    assert panel.arranged.key == BY_SUPPLIER
    shown = {row.cells["name"]: row.cells for row in panel.model.rows}
    assert shown["Mill counter"]["spent"] == "10.53"
    assert shown["Mill counter"]["promised"] == "59.97"
    assert shown["not chosen"]["uncounted"] == "15.00"
    before = build_of(window)
    press(Qt.Key.Key_O, Qt.Key.Key_Delete, Qt.Key.Key_Space, Qt.Key.Key_E, Qt.Key.Key_G)
    assert build_of(window) == before  # sums are not lines


def test_the_bar_has_a_piece_for_every_line_and_ends_at_the_sum(window: Window) -> None:
    found = book(with_story(build_of(window)))
    pieces = segments(found)
    assert [piece.label for piece in pieces] == [
        "chassis", "tyres", "Foam", "controller", "tyres", "motor",
    ]  # fmt: skip
    assert all(one.end == pytest.approx(other.start) for one, other in pairwise(pieces))
    assert pieces[-1].end == pytest.approx(found.counted.minor)
    assert [round(piece.end - piece.start) for piece in pieces] == [
        5800, 1053, 1104, 4944, 1053, 3490,
    ]  # fmt: skip


def test_spent_promised_planned_and_over_differ_without_colour(
    window: Window, panel: MoneyPanel
) -> None:
    build = replace(build_of(window), cap=Money(16000, "EUR"))
    window.session.builds.change(build, "cap", "cap back")
    assert panel.bar.left == "14.44 over the cap"
    grey = panel.bar.grab().toImage()
    grey = grey.convertToFormat(grey.Format.Format_Grayscale8)
    whole = 1.045 * 174.44
    wide = panel.bar.width() - 48

    def inked(start: float, end: float) -> tuple[float, set[int]]:
        x0, x1 = (round(24 + amount * wide / whole) + step for amount, step in
                  ((start, 3), (end, -3)))  # fmt: skip
        tones = [grey.pixelColor(x, y).lightness() for x in range(x0, x1) for y in range(32, 56)]
        ground = grey.pixelColor(2, 2).lightness()
        return sum(abs(tone - ground) > 40 for tone in tones) / len(tones), set(tones)

    spent, promised = inked(1, 57)[0], inked(85, 128)[0]
    planned, over = inked(141, 158)[0], inked(162, 173)[0]
    assert spent == 1.0
    assert planned == 0.0
    assert 0.15 < promised < 0.7
    assert over > 1.2 * promised  # crossed both ways


def test_what_is_tried_is_said_with_its_sums(window: Window, panel: MoneyPanel) -> None:
    session = window.session
    motor = next(
        part for part in session.catalogue.parts("motor")
        if part.price is not None and part.name != build_of(window).parts["motor"].name
    )  # fmt: skip
    session.bench.try_part(motor)
    tried = book(build_of(window).with_part(motor))
    assert tried.left is not None
    words = f"{tried.left} left" if tried.left.minor >= 0 else f"{-tried.left} over"
    assert panel.bar.would_be == f"with {motor.name} {tried.counted}, {words}"
    assert panel.bar.would_be in panel.bar.accessibleDescription()
    session.bench.try_part(None)
    assert panel.bar.would_be == ""
    window.session.comparison.hold(build_of(window).with_part(motor), "other motor")
    assert panel.bar.would_be == f"B other motor {tried.counted}, {words}"


def test_late_lines_say_so(panel: MoneyPanel) -> None:
    row = panel.model.row_of(f"line {MOTOR}")
    assert panel.model.rows[row].is_late
    assert "10 days late" in panel.model.sentence(row)
    index = panel.model.index(row, panel.model.column_of("name"))
    assert "10 days late" in index.data(Qt.ItemDataRole.AccessibleTextRole)


def test_the_models_are_sound(panel: MoneyPanel, qtmodeltester: ModelTester, press: Press) -> None:
    qtmodeltester.check(panel.model)
    for _ in ARRANGEMENTS:
        press(Qt.Key.Key_S)
        qtmodeltester.check(panel.model)


# Keys ---------------------------------------------------------------------------------------


STATUS_KEYS = {
    Qt.Key.Key_P: Status.PLANNED,
    Qt.Key.Key_O: Status.ORDERED,
    Qt.Key.Key_R: Status.RECEIVED,
    Qt.Key.Key_W: Status.OWNED,
    Qt.Key.Key_M: Status.MADE,
    Qt.Key.Key_C: Status.CANCELLED,
    Qt.Key.Key_T: Status.RETURNED,
}


@pytest.mark.parametrize(("key", "status"), list(STATUS_KEYS.items()))
def test_a_letter_puts_a_line_elsewhere_and_undo_brings_it_back(
    window: Window, panel: MoneyPanel, press: Press, key: Qt.Key, status: Status
) -> None:
    before = build_of(window)
    index = CONTROLLER if status is not Status.ORDERED else MOTOR
    go_to(panel, index)
    press(key)
    line = build_of(window).lines[index]
    assert line.status is status
    assert cell(panel, index, "status") == status.value
    found = book(build_of(window))
    assert panel.foot.together == str(found.counted)
    stack = window.session.undo_stack
    name, was = before.lines[index].called, before.lines[index].status.value
    assert stack.command(stack.count() - 1).undid == f"put back {name}: {was}"
    stack.undo()
    assert build_of(window).lines == before.lines
    assert panel.foot.together == "174.44"


def test_money_is_changed_without_driving_the_car_again(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    session = window.session
    before = session.bench.forecast
    assert before is not None
    go_to(panel, MOTOR)

    def is_kept() -> bool:
        now = session.bench.forecast
        assert now is not None
        assert now.build is session.bench.build
        assert now.costs == costs(now.build)
        return now.prediction is before.prediction and now.band is before.band

    press(Qt.Key.Key_R)
    assert build_of(window).lines[MOTOR].status is Status.RECEIVED
    assert is_kept()
    session.undo_stack.undo()
    assert build_of(window).lines[MOTOR].status is Status.PLANNED
    assert is_kept()
    session.undo_stack.redo()
    assert is_kept()
    session.builds.change(build_of(window).with_condition("road_m", 77.0), "road", "road")
    assert not is_kept()


def test_what_is_ordered_today_is_noted_with_its_day(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, MOTOR)
    press(Qt.Key.Key_O)
    assert build_of(window).lines[MOTOR].ordered == date.today()
    press(Qt.Key.Key_R)
    line = build_of(window).lines[MOTOR]
    assert (line.status, line.arrived) == (Status.RECEIVED, date.today())
    press(Qt.Key.Key_P)
    assert build_of(window).lines[MOTOR] == Line(
        "motor", line.name, unit_price=Decimal("34.90"), arrives=day(80)
    )


def test_k_takes_a_line_off_the_cap_and_back(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, FEE)
    press(Qt.Key.Key_K)
    assert panel.foot.together == "189.44"
    assert build_of(window).lines[FEE].counts
    press(Qt.Key.Key_K)
    assert panel.foot.together == "174.44"
    assert "not counted" in panel.model.rows[panel.model.row_of(f"line {FEE}")].notes


def test_a_new_line_is_named_where_it_stands_in_one_step(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    before, steps = build_of(window), window.session.undo_stack.count()
    press(Qt.Key.Key_N)
    assert panel.edit.item is not None
    typed("Screws", Qt.Key.Key_Tab)
    assert build_of(window).lines[-1].name == "Screws"
    assert window.session.undo_stack.count() == steps + 1
    typed("3", Qt.Key.Key_Tab)
    typed("1.20", Qt.Key.Key_Return)
    assert panel.table.hasFocus()
    assert cell(panel, 6, "price") == "3 × 1.20"
    assert cell(panel, 6, "amount") == "3.60"
    assert panel.foot.together == "178.04"
    for _ in range(3):
        window.session.undo_stack.undo()
    assert build_of(window).lines == before.lines


def test_escape_takes_an_unnamed_line_away_again(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    before = build_of(window).lines
    press(Qt.Key.Key_N)
    assert len(build_of(window).lines) == len(before) + 1
    press(Qt.Key.Key_Escape)
    assert build_of(window).lines == before
    assert panel.table.hasFocus()


def test_del_removes_the_line_and_leaves_the_part(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, MOTOR)
    press(Qt.Key.Key_Delete)
    build = build_of(window)
    assert len(build.lines) == 5
    assert "motor" in build.parts
    assert panel.foot.together == "139.54"
    window.session.undo_stack.undo()
    assert panel.foot.together == "174.44"


def test_del_on_an_order_without_lines_removes_it(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    build = build_of(window)
    loose = replace(build, lines=tuple(line for line in build.lines if line.order != "P-1"))
    window.session.builds.change(loose, "took lines out", "put lines back")
    panel.table.stand_on(panel.model.row_of("order P-1"))
    press(Qt.Key.Key_Delete)
    assert build_of(window).orders == ()
    window.session.undo_stack.undo()
    assert build_of(window).orders == build.orders


def test_marked_lines_move_together(window: Window, panel: MoneyPanel, press: Press) -> None:
    go_to(panel, MOTOR)
    press(Qt.Key.Key_Space)
    go_to(panel, FEE)
    press(Qt.Key.Key_Space)
    assert panel.lines.places == sorted(
        panel.lines.places, key=lambda i: panel.model.row_of(f"line {i}")
    )
    go_to(panel, CHASSIS)
    press(Qt.Key.Key_C)
    statuses = [line.status for line in build_of(window).lines]
    assert statuses[MOTOR] is statuses[FEE] is Status.CANCELLED
    assert statuses[CHASSIS] is Status.RECEIVED
    assert not panel.model.marked
    stack = window.session.undo_stack
    assert stack.command(stack.count() - 1).undid == "put 2 lines back as they were"


# Typing -------------------------------------------------------------------------------------


def test_a_price_is_typed_in_the_persons_own_mark_and_in_any_currency(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    window.session.bench.choose_measures(Measures(decimal=",", group="."))
    go_to(panel, MOTOR, "amount")
    press(Qt.Key.Key_E)
    editor = panel.edit.editor
    assert editor.text() == "34,90"
    assert editor.accessibleName() == f"price of {build_of(window).lines[MOTOR].name}"
    typed("1.039,50", Qt.Key.Key_Return)
    assert build_of(window).lines[MOTOR].unit_price == Decimal("1039.50")
    assert cell(panel, MOTOR, "amount") == "1.039,50"
    press(Qt.Key.Key_Return)
    typed("50 USD", Qt.Key.Key_Return)
    line = build_of(window).lines[MOTOR]
    assert (line.unit_price, line.currency) == (Decimal(50), "USD")
    assert cell(panel, MOTOR, "price") == "50,00 USD"
    assert cell(panel, MOTOR, "amount") == "46,00"
    stack = window.session.undo_stack
    undid = stack.command(stack.count() - 1).undid
    assert undid == f"put back {line.name}: price 1.039,50"


def test_what_is_no_price_keeps_the_text_and_says_why(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    before = build_of(window)
    go_to(panel, MOTOR, "amount")
    press(Qt.Key.Key_F2)
    typed("cheap", Qt.Key.Key_Return)
    assert panel.edit.complaint == ("price: 'cheap' was given, expected an amount such as 34.90.")
    assert panel.edit.editor.text() == "cheap"
    assert build_of(window) == before
    press(Qt.Key.Key_Escape)
    assert panel.edit.item is None
    assert panel.table.hasFocus()


def test_a_part_of_an_order_comes(window: Window, panel: MoneyPanel, press: Press) -> None:
    go_to(panel, TYRES)
    press(Qt.Key.Key_A)
    assert panel.edit.editor.text() == "1"
    typed("", Qt.Key.Key_Return)
    assert panel.foot.sums[0][2] == "69.04"
    press(Qt.Key.Key_A)
    typed("2", Qt.Key.Key_Return)
    assert build_of(window).lines[TYRES].status is Status.RECEIVED
    assert panel.foot.sums[0][2] == "90.10"


def test_money_comes_back_for_what_went_back(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, CHASSIS)
    press(Qt.Key.Key_B)
    typed("50", Qt.Key.Key_Return)
    assert "only for what is cancelled or returned" in panel.edit.complaint
    press(Qt.Key.Key_Escape, Qt.Key.Key_T, Qt.Key.Key_B)
    typed("50", Qt.Key.Key_Return)
    assert cell(panel, CHASSIS, "amount") == "8.00"
    assert panel.foot.together == "124.44"


def test_up_and_down_go_on_with_the_same_field(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    first = panel.model.rows[0].index
    second = panel.model.rows[1].index
    assert first is not None
    assert second is not None
    panel.table.stand_on(0, panel.model.column_of("from"))
    press(Qt.Key.Key_E)
    typed("Corner shop", Qt.Key.Key_Down)
    assert build_of(window).lines[first].supplier == "Corner shop"
    assert panel.edit.item is not None
    assert (panel.edit.item.index, panel.edit.item.key) == (second, "from")


def test_a_click_and_a_double_click_do_what_keys_do(panel: MoneyPanel) -> None:
    row = panel.model.row_of(f"line {MOTOR}")
    view = panel.table
    where = view.visualRect(panel.model.index(row, panel.model.column_of("amount"))).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert view.currentIndex().row() == row
    QTest.mouseDClick(view.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert panel.edit.item is not None
    assert (panel.edit.item.index, panel.edit.item.key) == (MOTOR, "price")


# Orders and rates ---------------------------------------------------------------------------


def fill(panel: MoneyPanel, **texts: str) -> None:
    """Type into rows of the form that shows."""
    form = panel.forms.currentWidget()
    for key, text in texts.items():
        editor = form.body.row(key).editor  # type: ignore[attr-defined]
        editor.setFocus()
        editor.selectAll()
        QTest.keyClicks(editor, text)


def test_marked_lines_are_gathered_into_an_order_in_one_step(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    before, steps = build_of(window), window.session.undo_stack.count()
    go_to(panel, MOTOR)
    press(Qt.Key.Key_Space)
    go_to(panel, FEE)
    press(Qt.Key.Key_Space, Qt.Key.Key_G)
    form = panel.forms.order_form
    assert panel.forms.currentWidget() is form
    assert form.body.row("reference").editor.hasFocus()
    fill(
        panel, reference="P-2", supplier="Corner shop", postage="5.01", ordered=day(-1).isoformat()
    )
    press(Qt.Key.Key_Return, to=form.save_button)
    build, found = build_of(window), book(build_of(window))
    assert panel.table.hasFocus()
    for index in (MOTOR, FEE):
        line = build.lines[index]
        assert (line.order, line.supplier, line.status) == ("P-2", "Corner shop", Status.ORDERED)
    # 5.01 over 34.90 and 15.00: 3.5040 and 1.5060, so 3.50 and 1.51 by largest remainder.
    assert [found.entries[i].order_share for i in (MOTOR, FEE)] == [350, 151]
    assert cell(panel, MOTOR, "amount") == "38.40"
    assert window.session.undo_stack.count() == steps + 1
    window.session.undo_stack.undo()
    assert (build_of(window).lines, build_of(window).orders) == (before.lines, before.orders)


def test_an_order_is_changed_where_it_stands(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, TYRES)
    press(Qt.Key.Key_G)
    form = panel.forms.order_form
    assert form.title.text == "Order P-1"
    assert form.area.width() == form.width()
    fill(panel, reference="M-9", postage="6.00", discount="1.00")
    QTest.keySequence(QApplication.focusWidget(), "Ctrl+S")
    build = build_of(window)
    assert [order.reference for order in build.orders] == ["M-9"]
    assert [build.lines[i].order for i in (CONTROLLER, TYRES)] == ["M-9", "M-9"]
    assert panel.foot.together == "174.54"


def test_bad_input_in_an_order_is_named_in_its_row_and_loses_nothing(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    before = build_of(window)
    go_to(panel, MOTOR)
    press(Qt.Key.Key_G)
    form = panel.forms.order_form
    fill(panel, reference="P-1", postage="5")
    form.save()
    assert "no other order" in form.body.row("reference").complaint
    fill(panel, reference="P-7", postage="-5")
    form.save()
    assert form.body.row("reference").complaint == ""
    assert "0 or more" in form.body.row("postage").complaint
    assert form.body.row("postage").text == "-5"
    press(Qt.Key.Key_Escape, to=form.body.row("note").editor)
    assert panel.table.hasFocus()
    assert build_of(window) == before


def test_a_rate_makes_an_unknown_amount_known(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    go_to(panel, MOTOR, "amount")
    press(Qt.Key.Key_E)
    typed("5000 JPY", Qt.Key.Key_Return)
    assert cell(panel, MOTOR, "amount") == "?"
    assert "no rate for JPY" in panel.model.rows[panel.model.row_of(f"line {MOTOR}")].notes
    assert panel.foot.remark == "and 1 line without a rate"
    press(Qt.Key.Key_X)
    form = panel.forms.rates_form
    assert form.body.row("currency").text == "JPY"
    fill(panel, rate="0.0061", source="bank")
    form.save()
    assert cell(panel, MOTOR, "amount") == "30.50"
    assert cell(panel, MOTOR, "price") == "5,000 JPY"
    rate = rate_of(build_of(window).rates, "JPY")
    assert rate is not None
    assert (rate.rate, rate.on, rate.source) == (Decimal("0.0061"), date.today(), "bank")
    window.session.undo_stack.undo()
    assert cell(panel, MOTOR, "amount") == "?"


def test_an_emptied_rate_is_taken_away(window: Window, panel: MoneyPanel, press: Press) -> None:
    press(Qt.Key.Key_X)
    fill(panel, **{"rate 0": "0.5"})
    panel.forms.rates_form.save()
    assert cell(panel, FOAM, "amount") == "6.00"
    press(Qt.Key.Key_X)
    editor = panel.forms.rates_form.body.row("rate 0").editor
    assert isinstance(editor, QLineEdit)
    editor.clear()
    panel.forms.rates_form.save()
    assert build_of(window).rates == ()
    assert cell(panel, FOAM, "amount") == "?"


# Room and words -----------------------------------------------------------------------------


def test_every_key_of_the_view_stands_in_the_hints() -> None:
    said = {key for keys, _ in hints_of(MONEY.rows) for key in keys}
    letters = {key.name[4:] for key in STATUS_KEYS} | set("KNEABGXS")
    for name in (*letters, "Del", "Space"):
        assert name in said, name


def test_hints_follow_into_cells_and_forms(window: Window, panel: MoneyPanel, press: Press) -> None:
    assert window.hints.hints[:1] == list(hints_of(MONEY.rows)[:1])
    go_to(panel, MOTOR, "amount")
    press(Qt.Key.Key_E)
    assert window.hints.hints[0] == hints_of(MONEY_CELL.rows)[0]
    press(Qt.Key.Key_Escape, Qt.Key.Key_X)
    assert window.hints.hints[0] == hints_of(MONEY_FORM.rows)[0]


@pytest.mark.parametrize(("wide", "high", "percent"), [(1366, 768, 100), (1024, 640, 100),
                                                       (1366, 768, 200)])  # fmt: skip
@pytest.mark.parametrize("colours", [theme.BRIGHT, theme.DARKNESS])
def test_nothing_is_cut_off(
    open_window: Callable[..., Window], wide: int, high: int, percent: int, colours: str
) -> None:
    window = open_window(Settings(theme=colours, text_percent=percent))
    window.resize(wide, high)
    panel = opened(window)
    QApplication.processEvents()
    table = panel.table
    shown = [i for i in range(len(panel.model.columns)) if not table.isColumnHidden(i)]
    assert sum(table.columnWidth(i) for i in shown) == table.viewport().width()
    keys = {panel.model.columns[i].key for i in shown}
    assert {"status", "name", "arrives", "amount"} <= keys
    for i in shown:
        left, right = table.edges(i)
        title = panel.model.columns[i].title
        assert theme.metrics("label").horizontalAdvance(title) <= right - left, title
        if panel.model.columns[i].key in ("amount", "arrives", "so_far", "price"):
            for row in panel.model.rows:
                text = row.cells[panel.model.columns[i].key]
                assert theme.metrics("name").horizontalAdvance(text) <= right - left, text
    assert panel.arranged.width() >= panel.arranged.sizeHint().width()
    ends = [one.geometry().right() for one in panel.buttons if one.isVisible()]
    assert ends
    assert max(ends) < panel.width()
    assert panel.new_button.x() > panel.arranged.geometry().right()
    bottom = panel.foot.mapTo(panel, QPoint(0, panel.foot.height())).y()
    assert bottom <= panel.height()
    assert table.viewport().height() >= 3 * table.rowHeight(0)
    image = panel.grab().toImage()
    assert not image.isNull()


def test_everything_says_what_it_is(panel: MoneyPanel) -> None:
    for one in (panel.bar, panel.plot, panel.table, panel.foot, panel.arranged, *panel.buttons):
        assert one.accessibleName()
    assert "cap 260.00 EUR" in panel.bar.accessibleDescription()
    assert "together 174.44 EUR" in panel.plot.accessibleDescription()
    for row in range(panel.model.rowCount()):
        for column in range(panel.model.columnCount()):
            assert panel.model.index(row, column).data(Qt.ItemDataRole.AccessibleTextRole)


def test_another_place_can_send_the_keyboard_to_a_line(panel: MoneyPanel, press: Press) -> None:
    press(Qt.Key.Key_S, Qt.Key.Key_S)
    panel.lines.stand_on(MOTOR)
    assert panel.model.rows[panel.table.currentIndex().row()].index == MOTOR
    assert panel.table.hasFocus()


def test_enter_edits_the_day_that_its_cell_shows(
    window: Window, panel: MoneyPanel, press: Press
) -> None:
    for index, label, was in (
        (FOAM, "arrived", day(-12)),  # it is here
        (MOTOR, "arrives", day(80)),  # it is not
    ):
        go_to(panel, index, "arrives")
        press(Qt.Key.Key_Return)
        item = panel.edit.item
        assert item is not None
        assert item.key == label
        assert panel.edit.editor.text() == was.isoformat()
        # It stands over the day, not elsewhere.
        cell = panel.table.visualRect(panel.table.currentIndex())
        assert panel.edit.geometry().intersects(cell.translated(panel.table.viewport().pos()))
        typed(day(1).isoformat(), Qt.Key.Key_Return)
    lines = build_of(window).lines
    assert (lines[FOAM].arrived, lines[FOAM].arrives) == (day(1), None)
    assert (lines[MOTOR].arrived, lines[MOTOR].arrives) == (None, day(1))


# From right to left ---------------------------------------------------------------------------


def ends(table: QTableView, column: int) -> set[int]:
    """Where the texts of a column end on the right, rows without the keyboard only."""
    image = table.viewport().grab().toImage()
    ground = theme.current().ground
    found = set()
    for row in range(1, table.model().rowCount()):
        cell = table.visualRect(table.model().index(row, column))
        inked = [
            x
            for x in range(cell.left(), cell.right())
            if any(image.pixelColor(x, y) != ground for y in range(cell.top() + 2, cell.bottom()))
        ]
        found.add(max(inked))
    return found


def test_last_digits_stand_under_one_another_in_any_language(
    window: Window, panel: MoneyPanel
) -> None:
    window.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    panel.arranged.choose(BY_KIND)
    panel.table.stand_on(0)
    rows = panel.model.rows[1:]
    keys = ("spent", "promised", "planned", "amount", "uncounted")
    # Amounts of one length prove nothing.
    keys = tuple(key for key in keys if len({len(row.cells[key]) for row in rows}) > 1)
    assert len(keys) > 1
    for key in keys:
        # Digits of one width end alike, but for what a round one keeps free beside it.
        places = ends(panel.table, panel.model.column_of(key))
        assert max(places) - min(places) <= 2, key


def test_a_field_stands_over_its_cell_from_right_to_left(window: Window, panel: MoneyPanel) -> None:
    window.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    QApplication.processEvents()
    for key in ("status", "part", "name"):
        go_to(panel, MOTOR, key)
        panel.edit.edit(MOTOR, key)
        cell = panel.table.visualRect(panel.table.currentIndex())
        start = panel.edit.geometry().right() - panel.table.viewport().x()
        # It begins at the cell's right edge, there where the cell's own text begins.
        assert abs(cell.right() - start) <= 2 * theme.px(12), key
        panel.edit.close_up()


def test_another_currency_is_never_the_builds_own(window: Window, panel: MoneyPanel) -> None:
    for code, other in (("EUR", "USD"), ("USD", "EUR")):
        build = replace(build_of(window), currency=code, cap=None, rates=())
        window.session.builds.change(build, "currency", "currency")
        panel.lines.open_rates()
        field = next(
            row for row in panel.forms.rates_form.body.rows if row.key == "currency"
        ).editor
        assert field.placeholderText() == f"such as {other}"
        panel.forms.close_form()
