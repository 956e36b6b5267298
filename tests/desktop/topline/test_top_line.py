"""The top line: what the build is for, typed in place."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from itertools import combinations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import BY_KEY
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import read_day, say_day
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.units import MPH
from pennyspeed.services.editing.build_fields import Condition, SpeedDay, items

Key = Qt.Key
Press = Callable[..., None]


def write(window: Window, press: Press, key: str, text: str) -> None:
    """Open a field with Enter, type over what stands there, and press Enter."""
    field = window.top.field(key)
    field.setFocus()
    press(Key.Key_Return)
    assert field.editor is not None
    press(text, Key.Key_Return)


def test_target_typed_in_place_changes_the_chance(window: Window, press: Press) -> None:
    before = [row for row in window.verdict.rows if row.label.startswith("chance")]
    write(window, press, "target", "80")
    assert window.top.field("target").value == "80 km/h"
    assert window.session.bench.build.target_kmh == 80
    after = [row for row in window.verdict.rows if row.label.startswith("chance")]
    assert after[0].label == "chance of 80"
    assert after != before
    assert "target 80" in window.home.stack.road.accessibleDescription()


def test_a_unit_may_be_typed(window: Window, press: Press) -> None:
    write(window, press, "target", "60 mph")
    assert window.session.bench.build.target_kmh == pytest.approx(96.56064)
    write(window, press, "road_m", "300 ft")
    assert window.session.bench.build.condition("road_m") == pytest.approx(91.44)


def test_a_shorter_road_makes_the_car_slower(window: Window, press: Press) -> None:
    before = float(window.verdict.speed)
    write(window, press, "road_m", "60")
    assert window.top.field("road_m").value == "60 m"
    assert float(window.verdict.speed) < before
    assert "road of 60 m" in window.home.stack.road.accessibleDescription()


def test_cap_typed_in_place(window: Window, press: Press) -> None:
    write(window, press, "cap", "199,50")
    assert window.session.bench.build.cap == Money(19950, "EUR")
    write(window, press, "cap", "none")
    assert window.session.bench.build.cap is None
    assert window.top.field("cap").value == "none"


@pytest.mark.parametrize(
    ("key", "typed", "expected"),
    [
        ("road_m", "very long", "a number from 0 to 100,000 m"),
        ("target", "-5", "a number above 0 to 10,000 km/h"),
        ("cap", "lots", "an amount in EUR"),
        ("air_temperature_c", "200", "a number from -80 to 70 °C"),
        ("event_date", "someday", "a day such as 10 April"),
    ],
)
def test_bad_input_says_one_sentence_and_keeps_the_text(
    window: Window, press: Press, key: str, typed: str, expected: str
) -> None:
    before = window.session.bench.build
    field = window.top.field(key)
    field.setFocus()
    press(Key.Key_F2, typed, Key.Key_Return)
    assert expected in field.remark
    assert typed in field.remark
    assert field.remark.count(".") >= 1
    assert field.editor is not None
    assert field.editor.text() == typed
    assert window.session.bench.build == before
    press(Key.Key_Escape)
    assert field.editor is None
    assert field.remark == ""
    assert field.hasFocus()
    assert window.session.bench.build == before


def test_escape_goes_back(window: Window, press: Press) -> None:
    field = window.top.field("target")
    before = field.value
    field.setFocus()
    press(Key.Key_Return, "77", Key.Key_Escape)
    assert field.value == before
    assert not window.session.undo_stack.canUndo()


def test_stepping_is_one_undo_step(window: Window, press: Press) -> None:
    before = window.session.bench.build.condition("road_m")
    window.top.field("road_m").setFocus()
    press(Key.Key_Up, Key.Key_Up, Key.Key_Up)
    assert window.session.bench.build.condition("road_m") == before + 30
    assert window.session.undo_stack.count() == 1
    window.session.undo_stack.undo()
    assert window.session.bench.build.condition("road_m") == before


def test_a_click_opens_the_field(window: Window, press: Press) -> None:
    field = window.top.field("road_m")
    QTest.mouseClick(field, Qt.MouseButton.LeftButton)
    assert field.editor is not None
    assert QApplication.focusWidget() is field.editor
    press("175", Key.Key_Tab)
    assert window.session.bench.build.condition("road_m") == 175
    assert field.editor is None


def test_leaving_the_field_keeps_what_was_typed(window: Window, press: Press) -> None:
    field = window.top.field("road_m")
    field.setFocus()
    press(Key.Key_Return, "140")
    window.slots.view.setFocus()
    QApplication.processEvents()
    assert window.session.bench.build.condition("road_m") == 140


def test_wind_is_said_in_words(window: Window, press: Press) -> None:
    write(window, press, "head_wind_kmh", "still")
    assert window.top.field("head_wind_kmh").value == "still air"
    before = float(window.verdict.speed)
    write(window, press, "head_wind_kmh", "tail 12")
    assert window.session.bench.build.condition("head_wind_kmh") == -12
    assert window.top.field("head_wind_kmh").value == "12 km/h"
    assert float(window.verdict.speed) > before


def test_charge_is_said_in_percent(window: Window, press: Press) -> None:
    write(window, press, "state_of_charge", "80")
    assert window.session.bench.build.condition("state_of_charge") == pytest.approx(0.8)
    assert window.top.field("state_of_charge").value == "80 %"
    write(window, press, "state_of_charge", "full")
    assert window.session.bench.build.condition("state_of_charge") == 1.0


def test_more_lists_every_condition(window: Window, press: Press) -> None:
    window.top.open_more()
    sheet = window.top.sheet
    assert {one.item.key for one in sheet.fields} >= set(BY_KEY)
    field = next(one for one in sheet.fields if one.item.key == "slope_percent")
    field.setFocus()
    before = float(window.verdict.speed)
    press(Key.Key_Return, "20", Key.Key_Return)
    assert window.session.bench.build.condition("slope_percent") == 20
    assert float(window.verdict.speed) < before
    assert field.value == "20 %"
    press(Key.Key_Escape)
    assert window.top.sheet is None


def test_up_and_down_go_on_to_the_next_row_of_the_sheet(window: Window, press: Press) -> None:
    window.top.open_more()
    fields = window.top.sheet.fields
    place = next(i for i, one in enumerate(fields) if one.item.key == "road_m")
    fields[place].setFocus()
    press(Key.Key_Return, "180", Key.Key_Down)
    assert window.session.bench.build.condition("road_m") == 180
    assert fields[place + 1].hasFocus()
    press(Key.Key_Return, Key.Key_Up)
    assert fields[place].hasFocus()


def test_what_cannot_be_stored_stays_typed(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    own = window.session.bench.build.name
    other = next(name for _, name in window.session.builds.entries() if name != own)
    shortcut("F2")
    press(other, Key.Key_Return)
    assert window.top.name.editor is not None
    assert window.top.name.editor.text() == other
    press(Key.Key_Escape)
    assert window.top.name.value == own


def test_a_bare_number_is_in_the_persons_unit(window: Window, press: Press) -> None:
    window.preferences.choose(speed_unit="mph")
    write(window, press, "target", "70")
    assert window.session.bench.build.target_kmh == pytest.approx(112.65408)
    assert window.top.field("target").value == "70 mph"


def test_the_persons_own_group_marks_are_no_decimal_marks(window: Window, press: Press) -> None:
    write(window, press, "cap", "1,200")
    assert window.session.bench.build.cap == Money.of("1200", "EUR")
    assert window.top.field("cap").value == "1,200 EUR"
    write(window, press, "road_m", "1,000")
    assert window.session.bench.build.condition("road_m") == 1000
    german = Measures(decimal=",", group=".")
    cap = next(item for item in items() if item.key == "cap")
    assert cap.take(Build("one"), "1.200,50", german).cap == Money.of("1200.50", "EUR")
    assert cap.take(Build("one"), "1,5", german).cap == Money.of("1.50", "EUR")


def test_days_are_read_as_people_write_them() -> None:
    today = date(2027, 1, 15)
    for text in ("10 April", "10 Apr", "April 10", "2027-04-10", "10 April 2027"):
        assert read_day(text, "speed day", today) == date(2027, 4, 10)
    assert read_day("3 January", "speed day", today) == date(2028, 1, 3)
    assert read_day("", "speed day", today) is None
    assert read_day(say_day(date(2027, 4, 10), today), "speed day", today) == date(2027, 4, 10)


@pytest.mark.parametrize("item", items(), ids=lambda item: item.key)
@pytest.mark.parametrize("measures", [Measures(), Measures(speed_unit=MPH, decimal=",", group=".")])
def test_what_is_shown_reads_back_the_same(item: object, measures: Measures) -> None:
    build = Build(
        "one",
        target_kmh=130.0,
        cap=Money.of("260.50", "EUR"),
        conditions={"air_pressure_hpa": 1009.0, "head_wind_kmh": 0.0, "driver_g": 0.45},
        event_date=date(2027, 4, 10),
    )
    again = item.take(build, item.text(build, measures), measures)
    assert item.show(again, measures) == item.show(build, measures)


def test_an_impossible_condition_is_refused() -> None:
    humidity = Condition(BY_KEY["relative_humidity"])
    with pytest.raises(BadInput):
        humidity.take(Build("one"), "130 %", Measures())
    with pytest.raises(BadInput):
        SpeedDay().take(Build("one"), "32 April", Measures())


def stand_in_the_line(window: Window) -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    assert window.top.isAncestorOf(found)
    return found


def test_held_builds_stand_in_the_line_and_lead_to_the_view_of_them(
    window: Window, press: Press, shortcut: Callable[[str], None], qtbot: QtBot
) -> None:
    session = window.session
    assert window.top.held == []
    for part in session.catalogue.parts("motor")[:2]:
        window.session.comparison.hold(session.bench.build.with_part(part), f"with {part.name}")
    assert [one.letter for one in window.top.held] == ["B", "C"]
    names = [one.name for one in window.session.comparison.entries]
    said = [one.accessibleName() for one in window.top.held]
    assert said == [f"B, {names[0]}, held beside", f"C, {names[1]}, held beside"]
    window.top.take_focus()
    press(*[Key.Key_Right] * 30)
    assert stand_in_the_line(window) is window.top.menu
    press(Key.Key_Left)
    assert stand_in_the_line(window) is window.top.held[1]
    press(Key.Key_Return)
    page = window.pages.currentWidget()
    qtbot.waitUntil(lambda: not page.is_busy, timeout=10_000)
    QApplication.processEvents()
    assert page.table.hasFocus()
    assert page.table.letter_here == "C"
    shortcut("Ctrl+Z")
    assert [one.letter for one in window.top.held] == ["B"]


def test_a_click_on_a_held_build_leads_there_too(window: Window, qtbot: QtBot) -> None:
    window.session.comparison.hold_present()
    (word,) = window.top.held
    QTest.mouseClick(word, Qt.MouseButton.LeftButton)
    page = window.pages.currentWidget()
    qtbot.waitUntil(lambda: not page.is_busy, timeout=10_000)
    QApplication.processEvents()
    assert page.table.letter_here == "B"


def test_held_builds_are_listed_when_the_file_is_opened_next(
    open_window: Callable[..., Window],
) -> None:
    window = open_window()
    window.session.comparison.hold_present()
    window.close()
    again = open_window()
    assert [one.name for one in again.top.held] == ["as it was"]


@pytest.mark.parametrize("width", [1024, 1366, 1920])
@pytest.mark.parametrize("direction", list(Qt.LayoutDirection)[:2])
def test_nothing_in_the_line_covers_another(
    width: int, direction: Qt.LayoutDirection, window: Window
) -> None:
    session = window.session
    for part in session.catalogue.parts("motor")[:6]:
        window.session.comparison.hold(session.bench.build.with_part(part), f"with {part.name}")
    window.setLayoutDirection(direction)
    window.resize(width, 768)
    QApplication.processEvents()
    top = window.top
    shown = [
        one for one in (top.name, *top.fields, top.more, *top.held, top.menu) if one.isVisible()
    ]
    assert len(top.held) == 6
    for one, two in combinations(shown, 2):
        assert not one.geometry().intersects(two.geometry()), (one, two)
    assert all(top.rect().contains(one.geometry()) for one in shown)
