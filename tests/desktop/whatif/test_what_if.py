"""What if: bars that say what was worked out, sliders that the curve follows."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from builds import a_build
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.whatif.sliders import SliderRow
from pennyspeed.desktop.whatif.what_if import WhatIfPanel
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.window import Window
from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH
from pennyspeed.physics.air import standard_altitude, standard_pressure
from pennyspeed.physics.predict import predict
from pennyspeed.services.prediction.condition_ranges import CONDITION_RANGES
from pennyspeed.services.prediction.sensitivity import (
    Sensitivity,
    sensitivity,
    sentence,
    sorted_by_size,
)
from pennyspeed.services.workshop import Workshop

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")


@pytest.fixture
def session(qapp: object, tmp_path: Path) -> Iterator[Session]:
    found = Session(lambda: Workshop.open(tmp_path / "file.sqlite3"))
    found.file.open()
    yield found
    found.close()


@pytest.fixture
def panel(session: Session, qtbot) -> Iterator[WhatIfPanel]:
    themes.keeper().choose(themes.BRIGHT)
    made = WhatIfPanel(session)
    qtbot.addWidget(made)
    made.resize(822, 320)
    made.show()
    qtbot.waitExposed(made)
    yield made
    themes.keeper().choose(themes.SYSTEM)


def row_of(panel: WhatIfPanel, key: str) -> SliderRow:
    return next(row for row in panel.sliders if row.condition.key == key)


# The strip ----------------------------------------------------------------------------------


def test_bars_are_those_worked_out_largest_first(panel: WhatIfPanel, session: Session) -> None:
    assert session.bench.build is not None
    found = {one.label: one for one in sensitivity(session.bench.build)}
    shown = panel.strip.rows
    assert {one.label for one in shown} == set(found)
    sizes = [max(abs(one.up), abs(one.down)) for one in shown]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0.5
    for one in shown:
        assert one == found[one.label]
        more, less = panel.strip.figures(one)
        assert float(more.replace("−", "-")) == pytest.approx(3.6 * one.up, abs=0.0501)
        assert float(less.replace("−", "-")) == pytest.approx(3.6 * one.down, abs=0.0501)


def test_a_bar_says_what_the_whole_car_would_do(panel: WhatIfPanel, session: Session) -> None:
    """The figure for the road is that of a forecast with another road."""
    build = session.bench.build
    assert build is not None
    short = build.with_condition("road_m", 60.0)
    one = next(s for s in sensitivity(short) if s.label == "road length")
    here, there = (
        predict(assemble(short.with_condition("road_m", metres))).road_speed  # type: ignore[arg-type]
        for metres in (60.0, 66.0)
    )
    # The batch that the bars come from is within 0.1 % of the single car.
    assert one.up == pytest.approx(there - here, abs=2e-3 * here)
    assert one.up > 0.2


def test_words_have_signs_and_verbs() -> None:
    one = Sensitivity("drag", -1.0, 0.5)
    assert sentence(one, Measures()) == (
        "drag: 10 % more costs 3.6 km/h, 10 % less brings 1.8 km/h"
    )
    # 1 m/s is 2.237 mph (1 mph = 0.44704 m/s exactly, 1959 agreement).
    assert "costs 2.2 mph" in sentence(one, Measures(speed_unit=MPH))
    assert "10 % more changes nothing" in sentence(Sensitivity("grip", 0.001, 0.0), Measures())
    order = sorted_by_size((Sensitivity("a", 0.1, 0), one, Sensitivity("b", 0.2, -3)))
    assert [s.label for s in order] == ["b", "drag", "a"]


def test_keys_read_the_bars(panel: WhatIfPanel, session: Session) -> None:
    strip = panel.strip
    strip.setFocus()
    first = strip.accessibleDescription()
    assert first == sentence(strip.rows[0], session.bench.measures)
    QTest.keyClick(strip, Qt.Key.Key_Down)
    assert strip.accessibleDescription() == sentence(strip.rows[1], session.bench.measures)
    QTest.keyClick(strip, Qt.Key.Key_End)
    assert strip.accessibleDescription() == sentence(strip.rows[-1], session.bench.measures)
    panel.resize(822, 160)
    QTest.keyClick(strip, Qt.Key.Key_Home)
    QTest.keyClick(strip, Qt.Key.Key_Up)
    assert strip.accessibleDescription() == first


def test_more_and_less_differ_without_colour(panel: WhatIfPanel, qapp) -> None:
    strip = panel.strip
    rows = [Sensitivity("one", 2.0, 0.0), Sensitivity("two", 0.0, 2.0)]
    strip.show_rows(rows, Measures())
    qapp.processEvents()
    image = strip.grab().toImage()

    def inks(row: int) -> set[str]:
        top = 20 * (row + 1)
        middle = range(image.width() // 2 - 40, image.width() // 2)
        return {image.pixelColor(x, y).name() for x in middle for y in range(top + 2, top + 18)}

    assert themes.LIGHT.accent.name() in inks(0)
    assert themes.LIGHT.accent.name() not in inks(1)
    # A hatched bar is ground and ink by turns.
    assert len(inks(1)) > 4


def test_without_a_car_it_says_so(panel: WhatIfPanel, session: Session) -> None:
    session.builds.take_out("motor")
    assert panel.strip.rows == []
    assert "No whole car" in panel.strip.accessibleDescription()
    session.undo_stack.undo()
    assert panel.strip.rows


# The sliders --------------------------------------------------------------------------------


@pytest.mark.parametrize("handle", CONDITION_RANGES, ids=lambda handle: handle.key)
def test_a_slider_changes_what_it_says(
    handle: object, panel: WhatIfPanel, session: Session, qapp
) -> None:
    row = row_of(panel, handle.key)
    before = session.bench.build
    ticks = round(0.5 * (handle.low + handle.high) / handle.step) + 7
    wanted = ticks * handle.step
    row.slider.setValue(ticks)
    qapp.processEvents()
    assert session.bench.build is before
    assert session.bench.trial is not None
    expected = predict(assemble(handle.put(before, wanted)))
    assert session.bench.trial.prediction.road_speed == pytest.approx(expected.road_speed)
    panel.keep()
    assert handle.value(session.bench.build) == pytest.approx(wanted, abs=0.06 * handle.step + 0.05)
    assert session.bench.forecast.prediction.road_speed == pytest.approx(expected.road_speed)
    assert row.slider.accessibleDescription() == handle.said(wanted, session.bench.measures)


def test_dragging_saves_nothing_however_long_it_rests(
    panel: WhatIfPanel, session: Session, qtbot
) -> None:
    before, steps = session.bench.build, session.undo_stack.count()
    row = row_of(panel, "slope_percent")
    row.slider.setSliderDown(True)
    row.slider.setValue(12)
    row.slider.setSliderDown(False)
    qtbot.wait(600)
    assert session.bench.build is before
    assert session.file.workshop.builds.get(before.id) == before
    assert session.undo_stack.count() == steps
    assert session.bench.tried_name == "slope 1.2 %"
    assert panel.remark.text == "trying slope 1.2 %: not saved yet"


def test_keep_saves_all_sliders_as_one_step(panel: WhatIfPanel, session: Session, qtbot) -> None:
    before, steps = session.bench.build, session.undo_stack.count()
    row_of(panel, "road_m").slider.setValue(340 // 5)
    row_of(panel, "air_temperature_c").slider.setValue(31)
    assert panel.keep_button.isVisible()
    qtbot.mouseClick(panel.keep_button, Qt.MouseButton.LeftButton)
    assert session.bench.build.condition("road_m") == 340
    assert session.bench.build.condition("air_temperature_c") == 31
    assert session.undo_stack.count() == steps + 1
    assert session.undo_stack.undid.startswith("road back to ")
    assert not panel.keep_button.isVisible()
    assert session.bench.trial is None
    session.undo_stack.undo()
    assert session.bench.build.conditions == before.conditions
    assert row_of(panel, "road_m").slider.value() == round(before.condition("road_m") / 5)


def test_drop_goes_back(panel: WhatIfPanel, session: Session, qtbot) -> None:
    before, row = session.bench.build, row_of(panel, "road_m")
    here = row.slider.value()
    row.slider.setValue(here + 9)
    qtbot.waitUntil(lambda: session.bench.trial is not None)
    qtbot.mouseClick(panel.drop_button, Qt.MouseButton.LeftButton)
    assert row.slider.value() == here
    assert session.bench.trial is None
    assert session.bench.build is before
    assert not panel.drop_button.isVisible()


def test_enter_keeps_and_escape_drops_before_it_leaves(
    panel: WhatIfPanel, session: Session, qtbot
) -> None:
    slider = row_of(panel, "road_m").slider
    here, left = slider.value(), []
    panel.left_behind.connect(lambda: left.append(True))
    slider.setFocus()
    QTest.keyClick(slider, Qt.Key.Key_PageUp)
    QTest.keyClick(slider, Qt.Key.Key_Escape)
    assert slider.value() == here
    assert not left
    QTest.keyClick(slider, Qt.Key.Key_Right)
    QTest.keyClick(slider, Qt.Key.Key_Return)
    assert session.bench.build.condition("road_m") == 5 * (here + 1)
    QTest.keyClick(slider, Qt.Key.Key_Escape)
    assert left


@pytest.mark.parametrize("key", ["road_m", "altitude"])
def test_going_back_to_where_it_was_tries_nothing(
    key: str, panel: WhatIfPanel, session: Session, qapp
) -> None:
    row = row_of(panel, key)
    here = row.slider.value()
    row.slider.setValue(here + 5)
    qapp.processEvents()
    assert session.bench.trial is not None
    row.slider.setValue(here)
    qapp.processEvents()
    assert session.bench.trial is None
    assert not panel.keep_button.isVisible()


def test_hiding_drops_what_was_tried(panel: WhatIfPanel, session: Session, qapp) -> None:
    before = session.bench.build
    row_of(panel, "road_m").slider.setValue(60)
    qapp.processEvents()
    panel.hide()
    assert session.bench.build is before
    assert session.bench.trial is None


def test_another_trial_takes_the_sliders_back(panel: WhatIfPanel, session: Session, qapp) -> None:
    row = row_of(panel, "road_m")
    here = row.slider.value()
    row.slider.setValue(here + 5)
    qapp.processEvents()
    session.bench.try_part(session.catalogue.parts("motor")[0])
    assert row.slider.value() == here
    assert session.bench.tried_parts


def test_what_the_sliders_try_is_held_beside(panel: WhatIfPanel, session: Session, qapp) -> None:
    row_of(panel, "road_m").slider.setValue(60)
    qapp.processEvents()
    session.comparison.hold_tried()
    held = session.comparison.entries[-1]
    assert held.build.condition("road_m") == 300
    assert held.name == "road 300 m"


def test_the_altitude_is_that_of_the_standard_atmosphere(
    panel: WhatIfPanel, session: Session
) -> None:
    row_of(panel, "altitude").slider.setValue(200)
    panel.keep()
    # 2,000 m: 795.01 hPa (ICAO Doc 7488, standard atmosphere, by geometric height).
    assert session.bench.build.condition("air_pressure_hpa") == pytest.approx(795.01, rel=1e-3)
    for altitude in (-100.0, 0.0, 750.0, 3000.0):
        assert standard_altitude(standard_pressure(altitude)) == pytest.approx(altitude, abs=1e-6)
    assert standard_pressure(0.0) == 1013.25


def test_a_figure_beyond_the_slider_keeps_its_place(panel: WhatIfPanel, session: Session) -> None:
    session.builds.change(session.bench.build.with_condition("road_m", 900.0), "a", "b")
    row = row_of(panel, "road_m")
    assert row.slider.maximum() == 180
    assert row.slider.value() == 180
    assert session.bench.build.condition("road_m") == 900.0


def test_figures_are_in_the_persons_units(panel: WhatIfPanel, session: Session) -> None:
    session.bench.choose_measures(Measures(speed_unit=MPH, length_unit=IN))
    metres = session.bench.build.condition("road_m")
    said = row_of(panel, "road_m").slider.accessibleDescription()
    # 1 ft = 0.3048 m exactly (1959 agreement).
    assert said == f"{metres / 0.3048:,.0f} ft"
    assert "mph" in row_of(panel, "head_wind_kmh").slider.accessibleDescription()
    assert "mph" in panel.strip.accessibleDescription()


def test_bars_wait_until_they_are_seen(session: Session, qtbot, monkeypatch) -> None:
    asked: list[object] = []
    monkeypatch.setattr(
        "pennyspeed.desktop.whatif.what_if.sensitivity", lambda build: asked.append(build) or ()
    )
    hidden = WhatIfPanel(session)
    qtbot.addWidget(hidden)
    session.builds.change(a_build(), "a", "b")
    assert not asked
    hidden.show()
    assert len(asked) == 1


# The window ---------------------------------------------------------------------------------


def test_the_curve_follows_in_the_window(window: Window, shortcut, press, qapp) -> None:
    shortcut("F4")
    assert window.home.what_if is not None
    assert window.home.what_if.isVisible()
    assert not window.shelf.isVisible()
    before = window.session.bench.build
    assert before is not None
    row = row_of(window.home.what_if, "road_m")
    assert row.slider.hasFocus()
    press(Qt.Key.Key_PageUp)
    qapp.processEvents()
    shown = window.home.stack.road.shown
    assert shown is not None
    moved = row.slider.value() * 5.0
    assert moved > before.condition("road_m")
    assert shown.ghost.build.condition("road_m") == moved
    assert shown.forecast.build is before
    assert window.session.bench.build is before
    window.home.what_if.keep()
    assert window.session.bench.build.condition("road_m") == moved
    assert window.home.stack.road.shown.forecast is window.session.bench.forecast
    assert f"{moved:.0f} m" in window.top.accessibleDescription()
    shortcut("Ctrl+Z")
    assert window.session.bench.build.condition("road_m") == before.condition("road_m")
    press(Qt.Key.Key_Escape)
    assert window.shelf.isVisible()
    assert window.shelf.table.hasFocus()
