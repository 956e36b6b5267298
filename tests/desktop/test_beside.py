"""Builds held beside the car, worked by the keyboard alone."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.panels.beside import BesidePanel
from pennyspeed.desktop.plots.beside import STYLES
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.window import Window
from pennyspeed.domain.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.comparison import MOST_HELD
from pennyspeed.services.forecast import forecast

ACCESSIBLE = Qt.ItemDataRole.AccessibleTextRole


@pytest.fixture
def beside(window: Window, qtbot: QtBot) -> BesidePanel:
    window.choose_view("beside")
    panel = window.pages.currentWidget()
    assert isinstance(panel, BesidePanel)
    panel.focus_table()
    settled(panel, qtbot)
    return panel


def settled(panel: BesidePanel, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not panel.is_busy, timeout=10_000)
    QApplication.processEvents()


def other(session: Session, slot: str, place: int = 0) -> Part:
    """Return a part of the shelf that is not in the build."""
    assert session.build is not None
    own = session.build.parts[slot].name
    return [part for part in session.parts(slot) if part.name != own][place]


def hold(window: Window, slot: str, place: int = 0) -> Part:
    session = window.session
    assert session.build is not None
    part = other(session, slot, place)
    window.held.hold(session.build.with_part(part), f"with {part.name}")
    return part


def test_the_empty_view_says_what_to_do_and_space_does_it(
    window: Window, beside: BesidePanel, press: Callable[..., None]
) -> None:
    assert beside.hold_present.hasFocus()
    press(Qt.Key.Key_Space)
    (entry,) = window.held.entries
    assert (entry.letter, entry.name) == ("B", "as it was")
    assert entry.build == window.session.build
    assert beside.table.isVisible()
    assert "Nothing differs" in beside.alike.text


def test_a_held_car_reads_as_its_forecast_does(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    hold(window, "motor")
    settled(beside, qtbot)
    comparison = beside.comparison
    assert comparison is not None
    found = forecast(window.held.entries[0].build, window.session.measures)
    assert found.prediction is not None
    assert comparison.speeds[1] == f"{KMH.from_si(found.prediction.road_speed):.0f}"
    labels = {row.key: row for row in beside.model.rows}
    assert labels["cost"].cells[1].text == f"{found.costs.counted.amount:.2f}"
    place = beside.model.rows.index(labels["motor"])
    said = beside.model.index(place, 1).data(ACCESSIBLE)
    assert said == f"B, motor: {window.held.entries[0].build.parts['motor'].name}, differs"


def test_the_curves_are_those_of_the_forecasts(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    hold(window, "pinion")
    settled(beside, qtbot)
    beside.plot.look_closer(False)
    layout = beside.plot.layout_shown
    assert layout is not None
    builds = [window.session.build, window.held.entries[0].build]
    for curve, build in zip(layout.curves, builds, strict=True):
        assert curve is not None
        assert build is not None
        trace = forecast(build).prediction.trace  # type: ignore[union-attr]
        assert trace is not None
        speeds = KMH.from_si(np.interp(curve[0], trace.distance, trace.speed))
        inner = (curve[0] > 1.0) & (curve[0] < trace.distance[-1] - 1.0)
        np.testing.assert_allclose(curve[1][inner], speeds[inner], atol=0.5)
    letters = [beside.plot._shown.lines[one.place].letter for one in layout.labels]  # type: ignore[union-attr]
    assert sorted(letters) == ["A", "B"]


def test_arrow_keys_read_all_curves_at_one_place(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    hold(window, "pinion")
    settled(beside, qtbot)
    beside.plot.setFocus()
    press(Qt.Key.Key_Home, *[Qt.Key.Key_Right] * 40, to=beside.plot)
    assert beside.plot.read_at == pytest.approx(40.0)
    layout = beside.plot.layout_shown
    assert layout is not None
    for label in layout.labels:
        build = [window.session.build, window.held.entries[0].build][label.place]
        assert build is not None
        trace = forecast(build).prediction.trace  # type: ignore[union-attr]
        assert trace is not None
        speed = float(np.interp(40.0, trace.distance, trace.speed))
        assert label.figure == f"{KMH.from_si(speed):.0f}"
    assert beside.plot.accessibleDescription().startswith("at 40 m: A, the car now")
    press(Qt.Key.Key_Escape, to=beside.plot)
    assert beside.plot.read_at is None


def test_a_letter_puts_the_car_back_and_undo_takes_that_back(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    session = window.session
    before = session.build
    assert before is not None
    part = hold(window, "motor")
    settled(beside, qtbot)
    beside.focus_table()
    steps = session.undo_stack.index()
    press("b", to=beside.table)
    assert session.build is not None
    assert session.build.parts["motor"].name == part.name
    assert (session.build.id, session.build.name) == (before.id, before.name)
    assert session.undo_stack.index() == steps + 1
    settled(beside, qtbot)
    assert "Nothing differs" in beside.alike.text
    session.undo_stack.undo()
    assert session.build == before
    assert window.held.entries[0].build.parts["motor"].name == part.name


def test_delete_takes_a_held_car_away_and_undo_brings_it_back(
    window: Window,
    beside: BesidePanel,
    press: Callable[..., None],
    shortcut: Callable[[str], None],
    qtbot: QtBot,
) -> None:
    hold(window, "motor")
    hold(window, "pack")
    settled(beside, qtbot)
    beside.focus_table()
    press(Qt.Key.Key_Delete, to=beside.table)
    assert [one.letter for one in window.held.entries] == ["B", "C"], "the car itself stays"
    press(Qt.Key.Key_Right, Qt.Key.Key_Delete, to=beside.table)
    assert [one.letter for one in window.held.entries] == ["C"]
    shortcut("Ctrl+Z")
    assert [one.letter for one in window.held.entries] == ["B", "C"]
    press(Qt.Key.Key_Space, to=beside.table)
    assert [one.letter for one in window.held.entries] == ["B", "C", "D"]


def test_an_equals_sign_shows_all_rows_or_only_those_that_differ(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    hold(window, "tyres")
    settled(beside, qtbot)
    comparison = beside.comparison
    assert comparison is not None
    assert beside.model.rowCount() == len(comparison.differing)
    assert "chassis" in beside.alike.text
    press("=", to=beside.table)
    assert beside.model.rowCount() == len(comparison.rows) > len(comparison.differing)
    place = [row.key for row in beside.model.rows].index("chassis")
    assert beside.model.index(place, 1).data() == "the same"
    press("=", to=beside.table)
    assert beside.model.rowCount() == len(comparison.differing)


def test_six_are_held_and_a_seventh_is_refused_in_words(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    troubles: list[str] = []
    window.session.troubled.connect(troubles.append)
    for place in range(MOST_HELD + 1):
        hold(window, "motor", place)
    assert [one.letter for one in window.held.entries] == list("BCDEFG")
    assert len(troubles) == 1
    assert "take one away" in troubles[0]
    settled(beside, qtbot)
    assert beside.model.columnCount() == 7
    window.grab()


def test_what_is_held_already_is_not_held_twice(window: Window, beside: BesidePanel) -> None:
    assert window.held.hold_present() == "B"
    assert window.held.hold_present() == "B"
    assert len(window.held.entries) == 1


def test_held_cars_are_there_again_when_the_file_is_opened_next(
    open_window: Callable[..., Window],
) -> None:
    window = open_window()
    part = hold(window, "motor")
    window.held.hold_present()
    window.close()
    again = open_window()
    assert [(one.letter, one.name) for one in again.held.entries] == [
        ("B", f"with {part.name}"),
        ("C", "as it was"),
    ]
    assert again.held.entries[1].build.parts.keys() == window.held.entries[1].build.parts.keys()
    one = forecast(again.held.entries[0].build).prediction
    two = forecast(window.held.entries[0].build).prediction
    assert one is not None
    assert two is not None
    assert one.road_speed == pytest.approx(two.road_speed, rel=1e-12)


def test_another_build_of_the_file_can_be_held(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    session = window.session
    assert session.build is not None
    build_id, name = next(one for one in session.builds() if one[0] != session.build.id)
    beside.builds.aboutToShow.emit()
    actions = {action.text(): action for action in beside.builds.actions()}
    assert session.build.name not in actions
    actions[name].trigger()
    assert window.held.entries[0].name == name
    assert window.held.entries[0].build == session.workshop.build(build_id)


def test_the_car_now_follows_every_change(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    window.held.hold_present()
    window.session.put_in(other(window.session, "motor"))
    settled(beside, qtbot)
    comparison = beside.comparison
    assert comparison is not None
    assert comparison.forecasts[0] is window.session.forecast
    assert any(row.key == "motor" for row in comparison.differing)


def test_no_two_lines_look_alike() -> None:
    assert len(STYLES) == MOST_HELD + 1
    for one, two in combinations(STYLES, 2):
        assert one != two
    target = (7.0, 5.0)
    assert all(tuple(dashes) != target for _, dashes in STYLES)


def test_escape_goes_back(window: Window, beside: BesidePanel, press: Callable[..., None]) -> None:
    window.held.hold_present()
    beside.focus_table()
    press(Qt.Key.Key_Escape, to=beside.table)
    assert window.slots.view.hasFocus()


def test_a_shortcut_holds_what_is_tried_from_anywhere(
    window: Window, shortcut: Callable[[str], None]
) -> None:
    session = window.session
    window.slots.view.setFocus()
    part = other(session, "motor")
    session.try_parts((part,))
    shortcut("Ctrl+Shift+H")
    (entry,) = window.held.entries
    assert entry.build.parts["motor"].name == part.name
    assert entry.name == part.name
    session.try_parts(())
    shortcut("Ctrl+Shift+H")
    assert window.held.entries[1].build == session.build
