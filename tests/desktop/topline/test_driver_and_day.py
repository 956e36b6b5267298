"""The driver and the day in the top line's sheet: typed, said in words, and undone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt

from pennyspeed.desktop.window import Window

Key = Qt.Key
Press = Callable[..., None]


def type_in_sheet(window: Window, press: Press, key: str, text: str) -> str:
    """Type over a value of the sheet; return what then stands there."""
    if window.top.sheet is None:
        window.top.open_more()
    field = next(one for one in window.top.sheet.fields if one.item.key == key)
    field.setFocus()
    press(Key.Key_Return, text, Key.Key_Return)
    return field.value


def test_reaction_reserve_and_pack_are_typed_with_their_units(window: Window, press: Press) -> None:
    assert type_in_sheet(window, press, "reaction_s", "0.85 s") == "0.85 s"
    assert type_in_sheet(window, press, "reserve_m", "20 ft") == "6.1 m"
    assert type_in_sheet(window, press, "pack_temperature_c", "14 °F") == "−10 °C"
    build = window.session.bench.build
    assert build.condition("reaction_s") == 0.85
    assert build.condition("reserve_m") == pytest.approx(20 * 0.3048)  # the foot of 1959
    window.session.undo_stack.undo()
    assert window.session.bench.build.condition("pack_temperature_c") == 20


def test_what_varies_is_said_in_percent_and_the_wind_as_a_speed(
    window: Window, press: Press
) -> None:
    assert type_in_sheet(window, press, "spread.driver_g", "12.5 %") == "12.5 %"
    assert type_in_sheet(window, press, "spread.brake_g", "20") == "20 %"
    assert type_in_sheet(window, press, "spread.head_wind_kmh", "5 mph") == "8 km/h"
    build = window.session.bench.build
    assert build.condition("spread.driver_g") == 0.125
    assert build.condition("spread.brake_g") == 0.2
    assert build.condition("spread.head_wind_kmh") == pytest.approx(8.04672)  # the mile of 1959


def test_what_is_past_its_range_is_refused_in_a_sentence(window: Window, press: Press) -> None:
    before = window.session.bench.build
    type_in_sheet(window, press, "reaction_s", "6")
    field = next(one for one in window.top.sheet.fields if one.item.key == "reaction_s")
    assert "expected a number from 0 to 5 s" in field.remark
    assert window.session.bench.build == before


def test_the_sheet_stays_inside_the_window(window: Window) -> None:
    for height in (900, 560):
        window.resize(1100, height)
        window.top.open_more()
        sheet = window.top.sheet
        assert sheet.geometry().bottom() < sheet.parentWidget().height()
        boxes = [one.geometry() for one in sheet.fields]
        assert all(sheet.rect().contains(box) for box in boxes)
        assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i])
        window.top.close_more()


def test_a_new_build_starts_with_a_careful_driver_on_a_day_that_varies(window: Window) -> None:
    window.session.builds.create("New one")
    given = dict(window.session.bench.build.conditions)
    assert given == {
        "reaction_s": 0.7,
        "reserve_m": 10,
        "spread.driver_g": 0.15,
        "spread.brake_g": 0.15,
        "spread.head_wind_kmh": 5,
    }


def test_an_older_build_takes_reaction_and_reserve_as_one_step(window: Window) -> None:
    session = window.session
    build = session.bench.build.with_condition("reaction_s", None).with_condition("reserve_m", None)
    session.builds.change(build, "older", "newer")
    older = session.bench.build
    assert session.builds.take_care()
    assert session.bench.build.condition("reaction_s") == 0.7
    assert session.bench.build.condition("reserve_m") == 10
    session.undo_stack.undo()
    assert session.bench.build.conditions == older.conditions
    own = older.with_condition("reaction_s", 1.1)
    assert own.with_careful_driver().condition("reaction_s") == 1.1, "a person's own stays"
