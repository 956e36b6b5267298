"""The margin on this road: opened, typed in, stepped by keys, and drawn along the road."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from desktop.conftest import wait_until
from pennyspeed.desktop.commands.key_sheet import KeysPage
from pennyspeed.desktop.margin.late_list import LateList
from pennyspeed.desktop.margin.margin_panel import MarginPanel, SettingField
from pennyspeed.desktop.verdict.checks import OFFER
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.desktop.window import Window
from pennyspeed.domain.units import IN
from pennyspeed.services.prediction.margin import LATE_BY

Key = Qt.Key
Press = Callable[..., None]


def with_conditions(window: Window, **values: float | None) -> None:
    build = window.session.bench.build
    assert build is not None
    for key, value in values.items():
        build = build.with_condition(key, value)
    window.session.builds.change(build, "set it up", "took it back")


@pytest.fixture
def panel(window: Window) -> MarginPanel:
    with_conditions(window, reaction_s=0.7, reserve_m=10.0, road_m=250.0)
    window.home.show_margin()
    QApplication.processEvents()
    assert window.home.margin is not None
    return window.home.margin


def conditions(window: Window) -> tuple[float, float]:
    build = window.session.bench.build
    assert build is not None
    return build.condition("reaction_s"), build.condition("reserve_m")


def test_the_command_opens_it_in_the_shelf_s_place_and_puts_the_shelf_back(
    window: Window, shortcut: Callable[[str], None], press: Press
) -> None:
    window.navigator.choose_view("money")
    shortcut("F6")
    assert window.navigator.is_home
    assert window.home.stack.key == "road"
    assert window.home.margin is not None
    assert window.home.margin.isVisible()
    assert not window.shelf.isVisible()
    press(Key.Key_Escape)
    assert window.shelf.isVisible()
    shortcut("F6")
    assert window.home.margin.isVisible()
    shortcut("F6")
    assert window.shelf.isVisible()


def test_brackets_step_the_reaction_and_braces_the_reserve(
    window: Window, panel: MarginPanel, press: Press
) -> None:
    for text, expected in (("]", (0.8, 10.0)), ("[", (0.7, 10.0)), ("}", (0.7, 11.0))):
        press(text)
        assert conditions(window) == pytest.approx(expected)
    press("{", "{")
    assert conditions(window) == pytest.approx((0.7, 9.0))
    assert panel.fields[1].value == "9 m"
    assert panel.remarks[1].text == "kept free before the end"


def test_in_feet_the_reserve_steps_to_whole_feet(window: Window, press: Press) -> None:
    with_conditions(window, reaction_s=0.7, reserve_m=10.0)
    window.preferences.choose(length_unit=IN.symbol)
    window.home.show_margin()
    press("}")
    # 10 m are 32.8 ft, and 34 ft are 34 × 0.3048 m (the foot of 1959)
    assert conditions(window)[1] == pytest.approx(34 * 0.3048)


def test_a_value_is_typed_where_it_stands(window: Window, panel: MarginPanel, press: Press) -> None:
    panel.fields[2].setFocus()
    press(Key.Key_Return, "0.6 g", Key.Key_Return)
    assert window.session.bench.build.condition("brake_g") == 0.6
    panel.fields[0].setFocus()
    press(Key.Key_Return, "6", Key.Key_Return)
    assert "from 0 to 5 s" in panel.fields[0].remark
    assert conditions(window)[0] == 0.7


def test_l_goes_on_to_the_next_late_lift_and_the_dashed_run_follows(
    window: Window, panel: MarginPanel, press: Press
) -> None:
    road = window.home.stack.road
    assert road.layout_shown.late.row.late.seconds == 0.5
    seen = []
    for _ in LATE_BY:
        press("l")
        late = road.layout_shown.late
        seen.append(0.0 if late is None else late.row.late.seconds)
    assert seen == [0.7, 1.0, 0.0, 0.1, 0.2, 0.4, 0.5]
    press("l")
    assert "0.7 s late" in road.accessibleDescription()
    window.home.go_to_shelf()
    assert road.layout_shown.late.row.late.seconds == 0.5


def test_a_click_on_a_row_draws_it(window: Window, panel: MarginPanel) -> None:
    row = panel.lifts.visualRect(panel.model.index(1)).center()
    QTest.mouseClick(panel.lifts.viewport(), Qt.MouseButton.LeftButton, pos=row)
    assert window.home.stack.road.layout_shown.late.row.late.seconds == 0.1
    row = panel.lifts.visualRect(panel.model.index(0)).center()
    QTest.mouseClick(panel.lifts.viewport(), Qt.MouseButton.LeftButton, pos=row)
    assert window.home.stack.road.layout_shown.late is None


def test_arrows_read_along_the_curve(window: Window, panel: MarginPanel, press: Press) -> None:
    found = window.session.bench.forecast.prediction
    press(Key.Key_Right)
    road = window.home.stack.road
    assert road.reading.distance == pytest.approx(found.marker_at)
    press(Key.Key_Right)
    assert "driver reaction" in road.accessibleDescription()
    press(Key.Key_Escape)
    assert road.reading is None


def test_tab_goes_through_the_values_to_the_late_lifts(panel: MarginPanel, press: Press) -> None:
    stops = []
    for _ in range(5):
        stops.append(QApplication.focusWidget())
        press(Key.Key_Tab)
    assert stops == [*panel.fields, panel.lifts]


class Paints(QObject):
    """Counts repaints."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.count += event.type() == QEvent.Type.Paint
        return False


def test_one_step_is_one_repaint_of_the_road(
    window: Window, panel: MarginPanel, press: Press
) -> None:
    paints = Paints()
    window.home.stack.road.viewport().installEventFilter(paints)
    for count, key in enumerate(("]", "}", "l"), start=1):
        press(key)
        QApplication.processEvents()
        assert paints.count == count, key


# What is not known yet ----------------------------------------------------------------------


@pytest.fixture
def old(window: Window) -> Window:
    given = {key: None for key in window.session.bench.build.conditions if key != "road_m"}
    build = window.session.bench.build
    for key in given:
        build = build.with_condition(key, None)
    window.session.builds.change(build, "older", "newer")
    window.session.undo_stack.clear()
    return window


def test_a_reaction_that_nobody_gave_is_not_known_and_offered(old: Window, press: Press) -> None:
    old.home.show_margin()
    panel = old.home.margin
    assert panel.fields[0].value == "not known"
    assert panel.offer.text() == "set 0.7 s and 10 m"
    assert panel.offer.hasFocus()
    press(Key.Key_Return)
    assert conditions(old) == (0.7, 10.0)
    assert old.session.bench.build.condition("spread.brake_g") == 0.15
    assert not panel.offer.isVisible()
    old.session.undo_stack.undo()
    assert panel.fields[0].value == "not known"
    assert not old.session.undo_stack.canUndo()


def test_a_step_of_an_unknown_reaction_takes_what_is_offered(old: Window, press: Press) -> None:
    old.home.show_margin()
    press("]")
    assert conditions(old) == (0.7, 10.0)


def margin_row(window: Window) -> int:
    codes = [check.code for check in window.verdict.model.shown]
    return codes.index("margin")


def test_the_check_s_row_leads_to_the_margin(old: Window, press: Press) -> None:
    checks = old.verdict.checks
    checks.setFocus()
    checks.setCurrentIndex(old.verdict.model.index(margin_row(old)))
    press(Key.Key_Return)
    assert old.home.margin.isVisible()
    press(Key.Key_Return)
    assert conditions(old) == (0.7, 10.0)


def test_the_check_s_row_sets_what_it_offers_with_one_click(old: Window) -> None:
    checks, model = old.verdict.checks, old.verdict.model
    index = model.index(margin_row(old))
    assert model.data(index, Qt.ItemDataRole.AccessibleTextRole).endswith("set 0.7 s and 10 m")
    checks.scrollTo(index)
    box = checks.visualRect(index)
    at = QPoint(px(60), box.bottom() - px(OFFER) // 2)
    QTest.mouseClick(checks.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert conditions(old) == (0.7, 10.0)
    assert old.home.margin is None
    assert model.usual == ""


# Around it ----------------------------------------------------------------------------------


def test_the_verdict_tells_of_the_day_and_folds_the_money(
    window: Window, panel: MarginPanel
) -> None:
    window.resize(1366, 768)
    QApplication.processEvents()
    verdict = window.verdict
    said = verdict.accessibleDescription()
    planned = panel.rows(window.session.bench.forecast)[0].distances
    assert f"lift marker {planned.marker} m" in said
    assert f"before the road’s end {250 - planned.marker} m" in said
    assert not verdict.bar.isVisible()
    assert verdict.model.shown[0].code == "margin"
    window.home.go_to_shelf()
    assert verdict.bar.isVisible()


def test_a_stop_stands_above_everything_in_the_folded_verdict(window: Window) -> None:
    with_conditions(window, reaction_s=0.7, reserve_m=10.0, brake_g=0.05, slope_percent=-8.0)
    window.resize(1366, 768)
    window.home.show_margin()
    QApplication.processEvents()
    verdict = window.verdict
    assert verdict.model.shown[0].level == "stop"
    first = verdict.checks.visualRect(verdict.model.index(0))
    assert verdict.checks.viewport().rect().contains(first)


def test_what_it_costs_is_worked_out_beside_the_window(window: Window, panel: MarginPanel) -> None:
    wait_until(lambda: panel.costs.is_current)
    said = panel.costs.accessibleDescription()
    teeth = window.session.bench.build.part("pinion").number("teeth")
    assert f"{teeth:.0f} teeth, now: " in said


def test_keys_stand_in_the_hints_and_on_the_sheet_of_keys(
    window: Window, panel: MarginPanel
) -> None:
    said = window.hints.accessibleDescription()
    for hint in ("reaction 0.1 s", "reserve by 1", "late by", "to the shelf"):
        assert hint in said
    window.help.turn_keys()
    page = window.pages.currentWidget()
    assert isinstance(page, KeysPage)


def test_rows_are_sentences_for_a_screen_reader(panel: MarginPanel) -> None:
    assert isinstance(panel.lifts, LateList)
    model = panel.model
    texts = [
        model.data(model.index(i), Qt.ItemDataRole.AccessibleTextRole)
        for i in range(model.rowCount())
    ]
    assert texts[0].startswith("on time: stops at 240 m, 10 m of road left")
    assert texts[4].startswith("half a second late: ")
    assert all(isinstance(field, SettingField) for field in panel.fields)


@pytest.mark.parametrize("size", [(1024, 768), (1366, 768), (2000, 1100)])
def test_no_figure_is_cut(window: Window, panel: MarginPanel, size: tuple[int, int]) -> None:
    window.resize(*size)
    QApplication.processEvents()
    for field in panel.fields:
        assert field.sizeHint().width() <= field.width() + px(8) or field.is_spread
        assert panel.rect().contains(field.geometry())
    assert panel.rect().contains(panel.lifts.geometry())
    assert panel.lifts.needed_height() <= panel.lifts.height()
