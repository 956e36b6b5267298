"""The biggest unknowns and what would narrow them, beside a part's form."""

from __future__ import annotations

import threading
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from desktop.conftest import wait_until
from pennyspeed.desktop.verdict.reasons import unknowns_height
from pennyspeed.desktop.verdict.unknowns import UnknownsPanel
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.services.prediction import forecast
from pennyspeed.services.prediction.unknowns import TOGETHER, Unknowns, unknowns

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
    bench = window.session.bench
    wait_until(lambda: bench.forecast.unknowns is not None)
    rows = bench.forecast.unknowns.rows()
    assert sum(row.percent for row in rows) == 100
    assert rows[-1].label == TOGETHER
    assert rows[0].percent == max(row.percent for row in rows)


def test_the_band_is_there_before_the_unknowns_and_nothing_jumps_when_they_come(
    window: Window,
) -> None:
    bench, verdict = window.session.bench, window.verdict
    wait_until(lambda: bench.forecast.unknowns is not None)
    other = next(one for one in window.session.catalogue.parts("tyres") if one != bench.slot_part)
    window.session.builds.put_in(other)
    assert bench.forecast.band is not None
    assert bench.forecast.unknowns is None
    before = verdict.checks.geometry()
    with_names = unknowns_height(bench.forecast)
    wait_until(lambda: bench.forecast.unknowns is not None)
    assert len(bench.forecast.unknowns.rows()) == 4
    assert verdict.checks.geometry() == before
    assert unknowns_height(bench.forecast) == with_names
    labels = [row.label for row in bench.forecast.unknowns.rows()]
    assert labels == [row.label for row in unknowns(bench.build).rows()]


def test_the_window_does_not_wait_for_the_unknowns(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, threads = window.session.bench, []
    wait_until(lambda: bench.forecast.unknowns is not None)

    def noted(build: Build) -> Unknowns:
        threads.append(threading.get_ident())
        return unknowns(build)

    monkeypatch.setattr(forecast, "unknowns", noted)
    other = next(one for one in window.session.catalogue.parts("tyres") if one != bench.slot_part)
    window.session.builds.put_in(other)
    wait_until(lambda: bench.forecast.unknowns is not None)
    assert threads
    assert threading.get_ident() not in threads


def test_a_change_of_money_alone_keeps_the_unknowns(window: Window) -> None:
    bench = window.session.bench
    wait_until(lambda: bench.forecast.unknowns is not None)
    before = bench.forecast.unknowns
    window.session.builds.change(replace(bench.build, cap=None), "a", "b")
    assert bench.forecast.unknowns is before


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
