"""The biggest unknowns and what would narrow them, beside a part's form."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.conftest import wait_until
from pennyspeed.desktop.verdict.unknowns import UnknownsPanel
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level
from pennyspeed.services.estimates.unknown_rows import OTHERS, unknown_rows

Key = Qt.Key
Role = Qt.ItemDataRole


def shown(window: Window) -> UnknownsPanel:
    window.parts.edit_slot()
    panel = window.verdict.unknowns
    assert panel.isVisible()
    wait_until(lambda: panel.narrowings.is_current)
    return panel


def test_they_stand_beside_the_form_and_money_and_checks_fold_to_a_line(window: Window) -> None:
    panel = shown(window)
    assert not window.verdict.checks.isVisible()
    assert window.verdict.money in panel.folded
    assert "watch" in panel.folded
    window.parts.form.leave()
    assert not panel.isVisible()
    assert window.verdict.checks.isVisible()


def test_what_stops_the_car_is_never_folded_away(window: Window) -> None:
    panel = shown(window)
    checks = window.session.bench.forecast.checks
    assert panel.stops == []
    assert not any(one.level is Level.STOP for one in checks)
    module = window.session.bench.build.part("spur").number("module_mm")
    pinions = window.session.catalogue.parts("pinion")
    other = next(one for one in pinions if one.number("module_mm") != module)
    window.session.builds.put_in(other)
    assert any(one.level is Level.STOP for one in window.session.bench.forecast.checks)
    assert panel.stops


def test_the_shares_add_up_to_100_with_all_others_last(window: Window) -> None:
    rows = unknown_rows(window.session.bench.forecast.band)
    assert sum(row.percent for row in rows) == 100
    assert rows[-1].label == OTHERS
    assert rows[0].percent == max(row.percent for row in rows)
    assert unknown_rows(None) == []


def test_each_measurement_says_minutes_range_then_how_and_what_to_mind(window: Window) -> None:
    panel = shown(window)
    view, model = panel.view, panel.view.rows_model
    assert model.rowCount() > 3
    assert view.currentIndex().row() == 0
    first = model.rows[0]
    band = window.session.bench.forecast.band
    assert first.low > band.p10 * 3.6
    assert first.high < band.p90 * 3.6
    said = model.data(model.index(0), Role.AccessibleTextRole)
    assert first.minutes in said
    assert first.range in said
    assert first.how in said
    assert any(row.range.endswith("no help") for row in model.rows)
    opened = view.sizeHintForRow(0)
    view.setFocus()
    QTest.keyClick(view, Key.Key_Down)
    assert view.currentIndex().row() == 1
    assert view.sizeHintForRow(0) < opened


def test_the_next_step_makes_room_and_comes_back(window: Window) -> None:
    wait_until(lambda: window.verdict.next.isVisible())
    shown(window)
    assert not window.verdict.next.isVisible()
    window.verdict.next.refresh()
    window.verdict.next.changed.emit()
    assert not window.verdict.next.isVisible()
    window.parts.form.leave()
    assert window.verdict.next.isVisible()
