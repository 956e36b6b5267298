"""The car from above: to scale, and what does not fit shows."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainterPath
from PySide6.QtTest import QTest

from builds import a_build
from pennyspeed.desktop.car.car_shape import path_of
from pennyspeed.desktop.car.plan import PlanView
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level, Outcome
from pennyspeed.domain.kinds import SLOTS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN
from pennyspeed.services.reports.car_outlines import Look, outlines
from pennyspeed.services.reports.part_room import excesses

LONG_PACK = {"parts__pack__size_mm": [147, 46, 26]}
"""5 mm longer than the bay of `a_build`."""


@pytest.fixture
def view(qapp: object, qtbot) -> Iterator[PlanView]:
    keeper = themes.keeper()
    keeper.choose(themes.BRIGHT)
    keeper.choose_text(100)
    made = PlanView()
    qtbot.addWidget(made)
    made.resize(600, 320)
    yield made
    keeper.choose(themes.SYSTEM)


def found(build: Build, slot: str, look: Look) -> list[QPainterPath]:
    drawn = [one for one in outlines(build) if one.slot == slot and one.look is look]
    return [path_of(one.shapes) for one in drawn]


def width(path: QPainterPath) -> float:
    return path.boundingRect().width()


def height(path: QPainterPath) -> float:
    return path.boundingRect().height()


@pytest.mark.parametrize("wheelbase", [258.0, 325.0])
def test_it_is_drawn_to_scale(wheelbase: float) -> None:
    build = a_build(parts__chassis__wheelbase_mm=wheelbase, parts__tyres__diameter_mm=90)
    front, rear = found(build, "chassis", Look.AXLE)
    apart = rear.boundingRect().center().x() - front.boundingRect().center().x()
    assert apart == pytest.approx(wheelbase)
    (tyres,) = found(build, "tyres", Look.SOLID)
    assert width(tyres) == pytest.approx(wheelbase + 90.0)
    (pack,) = found(build, "pack", Look.PACK)
    assert (width(pack), height(pack)) == pytest.approx((138.0, 46.0))
    (bay,) = found(build, "chassis", Look.BAY)
    assert (width(bay), height(bay)) == pytest.approx((142.0, 49.0))
    (motor,) = found(build, "motor", Look.SOLID)
    assert (width(motor), height(motor)) == pytest.approx((53.0, 35.8))


def test_gears_touch_at_their_pitch_circles() -> None:
    # Centre distance a = m (z1 + z2) / 2 and pitch diameter d = m z: ISO 21771, ISO 54.
    build = a_build(parts__pinion__teeth=22, parts__spur__teeth=70)
    (pinion,), (spur,) = (found(build, slot, Look.BOX) for slot in ("pinion", "spur"))
    assert width(pinion) == pytest.approx(0.6 * 22)
    assert width(spur) == pytest.approx(0.6 * 70)
    centres = [one.boundingRect().center() for one in (pinion, spur)]
    assert abs(centres[0].x() - centres[1].x()) == pytest.approx(0.6 * (22 + 70) / 2)
    assert centres[0].y() == pytest.approx(centres[1].y())


def test_parts_inside_do_not_lie_on_each_other() -> None:
    build = a_build(parts__chassis__wheelbase_mm=325, parts__motor__length_mm=74)
    inside = {
        "pack": found(build, "pack", Look.PACK)[0],
        "motor": found(build, "motor", Look.SOLID)[0],
        "controller": found(build, "controller", Look.BOX)[0],
        "extra": found(build, "extras", Look.BOX)[0],
    }
    boxes = {name: one.boundingRect() for name, one in inside.items()}
    for one, box in boxes.items():
        for two, other in boxes.items():
            assert one == two or not box.intersects(other), f"{one} lies on {two}"
    assert len(found(build, "extras", Look.BOX)) == 2


def test_what_is_too_long_sticks_out_by_as_much() -> None:
    assert not found(a_build(), "pack", Look.EXCESS)
    build = a_build(**LONG_PACK)
    (excess,) = found(build, "pack", Look.EXCESS)
    assert width(excess) == pytest.approx(5.0)
    (bay,) = found(build, "chassis", Look.BAY)
    assert excess.boundingRect().left() == pytest.approx(bay.boundingRect().right())
    assert excesses(build) == [("pack", "too long for its bay", 5.0)]


def test_every_side_and_the_motor_are_compared() -> None:
    build = a_build(
        parts__pack__size_mm=[140, 50, 30],
        parts__motor__can_mm=40,
        parts__motor__length_mm=60,
    )
    assert excesses(build) == [
        ("pack", "too wide for its bay", 1.0),
        ("pack", "too high for its bay", 1.0),
        ("motor", "too thick for the chassis", 3.0),
        ("motor", "too long for the chassis", 4.0),
    ]
    assert len(found(build, "motor", Look.EXCESS)) == 3
    assert excesses(a_build(parts__chassis__pack_bay_mm=None, **LONG_PACK)) == []


def test_it_says_so(view: PlanView) -> None:
    view.show_build(a_build(**LONG_PACK).without_part("tyres"))
    said = view.accessibleDescription()
    assert "pack: Three by 3800, 5 mm too long for its bay" in said
    assert "No tyres yet" in said
    assert "motor: Greenhouse 3100" in said
    # 5 mm are 0.197 in: 1 in = 25.4 mm exactly (1959 agreement).
    view.show_build(a_build(**LONG_PACK), measures=Measures(length_unit=IN))
    assert "0.20 in too long for its bay" in view.accessibleDescription()


def inked(view: PlanView, colour: QColor) -> int:
    """Count the pixels of exactly that colour."""
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.array(image.constBits(), np.uint8).view(np.uint32) & 0xFFFFFF
    return int((pixels == (colour.rgb() & 0xFFFFFF)).sum())


def test_what_sticks_out_is_marked(view: PlanView) -> None:
    view.show_build(a_build())
    assert inked(view, themes.LIGHT.stop) == 0
    view.show_build(a_build(**LONG_PACK))
    assert inked(view, themes.LIGHT.stop) > 40


def test_a_stop_carries_its_sign(view: PlanView) -> None:
    check = Outcome("connector", Level.STOP, "a", "b", "The plugs differ.", "", ("pack",))
    view.show_build(a_build(), "motor", (check,))
    assert inked(view, themes.LIGHT.stop) > 40
    view.show_build(a_build(), "motor", (Outcome("x", Level.WARN, 1, 2, "", "", ("pack",)),))
    assert inked(view, themes.LIGHT.stop) == 0


@pytest.mark.parametrize("slot", [*SLOTS, "extras"])
def test_the_chosen_slot_stands_out(slot: str, view: PlanView) -> None:
    build = a_build()
    view.show_build(build, "")
    assert inked(view, themes.LIGHT.accent) == 0
    view.show_build(build, slot)
    assert inked(view, themes.LIGHT.accent) > 20


@pytest.mark.parametrize("slot", SLOTS)
def test_an_empty_slot_is_only_outlined(slot: str, view: PlanView) -> None:
    build = a_build().without_part(slot)
    assert all(not one.there for one in outlines(build) if one.slot == slot)
    assert all(one.there for one in outlines(build) if one.slot != slot)
    view.show_build(a_build(), slot)
    whole = inked(view, themes.LIGHT.accent)
    view.show_build(build, slot)
    missing = inked(view, themes.LIGHT.accent)
    assert missing > 0 or slot == "body"
    assert missing != whole


def test_a_click_asks_for_the_slot(view: PlanView, qtbot) -> None:
    view.show_build(a_build())
    view.show()
    for slot in (*SLOTS, "extras"):
        place = next(
            QPointF(x, y)
            for x in range(0, view.width(), 5)
            for y in range(0, view.height(), 5)
            if view.slot_at(QPointF(x, y)) == slot
        )
        with qtbot.waitSignal(view.slot_clicked) as told:
            QTest.mouseClick(view, Qt.MouseButton.LeftButton, pos=place.toPoint())
        assert told.args == [slot]
    assert view.slot_at(QPointF(1, 1)) is None


def test_it_follows_the_theme_at_once(view: PlanView) -> None:
    view.show_build(a_build(), "motor")
    themes.keeper().choose(themes.DARKNESS)
    assert inked(view, themes.DARK.accent) > 20
    assert inked(view, themes.LIGHT.accent) == 0
