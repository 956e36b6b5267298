"""Trying a part: the curve and the money at once, the chance when the hand rests."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.bench import REST_MS
from pennyspeed.desktop.window import Window
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.measures import say_chance
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.verdict_rows import NO_FIGURE

Key = Qt.Key
Press = Callable[..., None]

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")


@pytest.fixture
def shelf(window: Window, settle: Callable[[Window], None]) -> Window:
    """A window with the keyboard on the row of the motor that is in."""
    settle(window)
    window.shelf.focus_table()
    assert window.session.bench.tried_parts == ()
    return window


def ring(window: Window) -> str:
    """Return what the verdict says of what is tried, "" where nothing is."""
    return next((row.figure for row in window.verdict.rows if row.ring), "")


def step(window: Window, key: Key = Key.Key_Down) -> None:
    """Press a key without letting any event go by."""
    QTest.keyClick(window.shelf.table, key)


def chance_in_words(session: Session) -> str:
    """Return the chance that a forecast made apart gives what is tried."""
    assert session.bench.trial is not None
    band = forecast(session.bench.trial.build, session.bench.measures).band
    assert band is not None
    assert band.chance is not None
    return say_chance(band.chance)


def settled(window: Window) -> bool:
    trial = window.session.bench.trial
    return trial is not None and trial.band is not None


# An arrow -------------------------------------------------------------------------------------


def test_curve_cost_and_checks_come_at_once_and_the_chance_follows(shelf: Window, qtbot) -> None:
    session = shelf.session
    step(shelf)
    trial = session.bench.trial
    assert trial is not None
    whole = forecast(trial.build, session.bench.measures, session.bench.lead_times)
    assert whole.prediction is not None
    assert shelf.home.stack.road.layout_shown.ghost is not None
    assert (trial.costs, trial.checks) == (whole.costs, whole.checks)
    assert "with the part tried" in shelf.verdict.bar.accessibleDescription()
    speed = ring(shelf)
    assert speed == f"{3.6 * whole.prediction.road_speed:.0f}"
    qtbot.waitUntil(lambda: settled(shelf))
    assert ring(shelf) == f"{speed}, {chance_in_words(session)}"
    assert chance_in_words(session) in shelf.verdict.accessibleDescription()


def test_moving_on_never_shows_the_chance_of_another_row(shelf: Window, qtbot) -> None:
    session = shelf.session
    came: list[tuple[str, str]] = []
    session.bench.trial_settled.connect(
        lambda: came.append((session.bench.tried_name, ring(shelf)))
    )
    for key in [Key.Key_Down] * 5 + [Key.Key_Up] * 2 + [Key.Key_Down]:
        step(shelf, key)
        assert "," not in ring(shelf)
        assert session.bench.trial is None or session.bench.trial.band is None
    last = session.bench.tried_name
    with qtbot.waitSignal(session.bench.trial_settled):
        pass
    with qtbot.assertNotEmitted(session.bench.trial_settled, wait=2 * REST_MS):
        pass
    assert came == [(last, ring(shelf))]
    assert ring(shelf).endswith(chance_in_words(session))


def test_escape_before_the_chance_leaves_nothing_behind(shelf: Window, qtbot) -> None:
    with qtbot.assertNotEmitted(shelf.session.bench.trial_settled, wait=2 * REST_MS):
        step(shelf)
        step(shelf, Key.Key_Escape)
    assert ring(shelf) == ""
    assert shelf.session.bench.trial is None


def test_what_was_tried_and_left_is_not_what_another_change_shows(
    shelf: Window, press: Press
) -> None:
    step(shelf)
    step(shelf, Key.Key_Escape)
    shelf.slots.view.setFocus()
    press(Key.Key_Delete)
    assert shelf.session.bench.build.part("motor") is None
    assert shelf.verdict.speed == NO_FIGURE


def test_what_is_tried_is_told_in_the_units_chosen_last(shelf: Window) -> None:
    session = shelf.session
    step(shelf)
    assert session.bench.trial is not None
    before = session.bench.trial.checks
    shelf.preferences.choose(speed_unit="mph", length_unit="in", mass_unit="oz")
    assert session.bench.trial is not None
    assert session.bench.trial.checks != before
    bench = session.bench
    whole = forecast(session.bench.trial.build, bench.measures, bench.lead_times)
    assert session.bench.trial.checks == whole.checks


def test_enter_right_away_shows_the_full_figures(shelf: Window, qtbot) -> None:
    session = shelf.session
    step(shelf)
    name = session.bench.tried_name
    step(shelf, Key.Key_Return)
    assert session.bench.build.part("motor").name == name
    expected = forecast(session.bench.build, session.bench.measures).band
    assert session.bench.forecast.band.p10 == expected.p10
    assert session.bench.forecast.band.chance == expected.chance
    chance = next(row for row in shelf.verdict.rows if row.label.startswith("chance of"))
    assert chance.figure == say_chance(expected.chance)
    assert shelf.home.stack.road.layout_shown.band is not None
    with qtbot.assertNotEmitted(session.bench.trial_settled, wait=2 * REST_MS):
        pass


def test_what_was_drawn_while_the_hand_rested_is_what_enter_shows(shelf: Window, qtbot) -> None:
    """Nothing is drawn a second time."""
    session = shelf.session
    step(shelf)
    qtbot.waitUntil(lambda: settled(shelf))
    band = session.bench.trial.band
    step(shelf, Key.Key_Return)
    assert session.bench.forecast.band is band


def test_what_is_held_right_away_has_its_chance(shelf: Window, press: Press) -> None:
    step(shelf)
    trial = shelf.session.bench.trial
    press(Key.Key_Space)
    (entry,) = shelf.session.comparison.entries[-1:]
    known = shelf.session.comparison.known(entry)
    assert known is not None
    assert entry.build == trial.build
    assert known.band is not None


def test_closing_before_the_chance_is_quiet(open_window: Callable[..., Window], qtbot) -> None:
    window = open_window()
    window.shelf.focus_table()
    step(window)
    with qtbot.assertNotEmitted(window.session.bench.trial_settled, wait=2 * REST_MS):
        window.close()


# What is painted ------------------------------------------------------------------------------


class Paints(QObject):
    """Counts the paint events of every widget of a window, and what they covered."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.painted: list[tuple[QWidget, int]] = []
        for widget in window.findChildren(QWidget):
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint and isinstance(watched, QWidget):
            covered = sum(box.width() * box.height() for box in event.region())
            self.painted.append((watched, covered))
        return False


def test_an_arrow_paints_what_changed_and_nothing_else(shelf: Window, qtbot) -> None:
    """The rest of the window stands still: the column titles, the checks, the slots.

    What the desktop asks for besides, it asks for once; what an arrow asks for comes every time.
    """
    step(shelf)
    qtbot.waitUntil(lambda: settled(shelf))
    paints = Paints(shelf)
    steps = []
    for key in (Key.Key_Down, Key.Key_Up) * 3:
        paints.painted.clear()
        step(shelf, key)
        QApplication.processEvents()
        steps.append(dict(paints.painted))
    always = set.intersection(*(set(painted) for painted in steps))
    verdict, table = shelf.verdict, shelf.shelf.table
    assert {shelf.home.stack.road.viewport(), table.viewport(), verdict.gauge, verdict} <= always
    titles, checks = table.horizontalHeader().viewport(), verdict.checks.viewport()
    assert not always & {titles, checks, verdict.next, shelf.slots, shelf.top, shelf.hints}
    least = min(painted[verdict] for painted in steps)
    assert least < 0.4 * verdict.width() * verdict.height()


# A slider -------------------------------------------------------------------------------------


def test_the_verdict_tells_of_a_slider_as_a_trial(window: Window, qtbot) -> None:
    window.home.ask_what_if()
    QApplication.processEvents()
    session, verdict = window.session, window.verdict
    row = next(one for one in window.home.what_if.sliders if one.condition.key == "road_m")
    build, before, rows = session.bench.build, verdict.speed, verdict.rows
    row.slider.setValue(12)
    qtbot.waitUntil(lambda: len(verdict.rows) > len(rows))
    expected = forecast(build.with_condition("road_m", 60.0), session.bench.measures)
    assert verdict.speed == before
    assert verdict.rows[:-1] == rows
    assert verdict.rows[-1].label == "with road 60 m"
    speed = f"{3.6 * expected.prediction.road_speed:.0f}"
    assert verdict.rows[-1].figure.startswith(speed)
    # The chance comes with the band, once the hand rests.
    chance = say_chance(expected.band.chance)
    qtbot.waitUntil(lambda: verdict.rows[-1].figure == f"{speed}, {chance}")
    window.home.what_if.keep()
    assert session.bench.build.condition("road_m") == 60.0
    assert verdict.speed == speed
    assert verdict.rows[1].figure == chance


def test_a_slider_dragged_back_leaves_the_verdict_as_it_was(window: Window, qtbot) -> None:
    window.home.ask_what_if()
    QApplication.processEvents()
    verdict = window.verdict
    row = next(one for one in window.home.what_if.sliders if one.condition.key == "road_m")
    said, start = verdict.accessibleDescription(), row.slider.value()
    row.slider.setSliderDown(True)
    row.slider.setValue(start + 8)
    qtbot.waitUntil(lambda: verdict.accessibleDescription() != said)
    row.slider.setValue(start)
    row.slider.setSliderDown(False)
    QApplication.processEvents()
    assert verdict.accessibleDescription() == said
    assert window.session.undo_stack.count() == 0


def test_a_value_that_cannot_be_stored_stays_a_trial(window: Window, monkeypatch) -> None:
    def refuse(_: object) -> None:
        raise UserError("the file is full")

    window.home.ask_what_if()
    QApplication.processEvents()
    verdict = window.verdict
    row = next(one for one in window.home.what_if.sliders if one.condition.key == "road_m")
    said, start = verdict.accessibleDescription(), row.slider.value()
    monkeypatch.setattr(window.session.file.workshop.builds, "save", refuse)
    row.slider.setValue(start + 8)
    window.home.what_if.follow()
    assert verdict.accessibleDescription() != said
    window.home.what_if.keep()
    assert window.hints.trouble == "the file is full"
    assert row.slider.value() == start + 8
    window.home.what_if.drop()
    assert verdict.accessibleDescription() == said
    assert row.slider.value() == start
