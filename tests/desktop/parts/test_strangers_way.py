"""A stranger's way: eight lines from shops, pasted one after another, become a whole car."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.widgets.form import Choice
from pennyspeed.desktop.window import Window
from pennyspeed.domain.assembly import drawn_figures
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.provenance import Provenance

Key = Qt.Key
LINES = {
    "Sorrel 257 on-road chassis, belt drive, wheelbase 257 mm, internal ratio 2.1, 89.00 EUR": (
        ("driven", "all"),
    ),
    "Siskin 3650 brushless motor, 3150KV, 36 x 50 mm, 4 poles, 29.90 EUR": (),
    "Feldspar 80 ESC, 80A continuous / 380A burst, 2-3S LiPo, 34.90 EUR": (),
    "Millet 4000 LiPo pack 3S 4000 mAh 60C, XT60 plug, 38.50 EUR": (),
    "Pinion 23T, module 0.8, bore 3.175 mm, steel, 6.13 EUR": (("name", "23 teeth"),),
    "Spur gear 46T, module 0.8, plastic, 7.29 EUR": (("name", "46 teeth"),),
    "Yarrow 66 belted rubber tyres, set of 4, diameter 66 mm, 37.70 EUR": (
        ("construction", "belted rubber"),
    ),
    "Tench 190 touring car body shell, painted, 95 g, 29.90 EUR": (
        ("shape", "touring or GT"),
        ("width_mm", "190"),
        ("height_mm", "118"),
    ),
}
"""Each with what a shop does not say and the person answers, in the order of the Tab key."""
KEYS_A_SECOND = 2.5
"""Of somebody who is no typist; common practice, no source."""
MOST_SECONDS = 180


class Hand:
    """Works whatever has the keyboard, and counts the keys."""

    def __init__(self, window: Window) -> None:
        self.window, self.keys = window, 0

    @property
    def focus(self) -> QWidget:
        found = QApplication.focusWidget()
        assert found is not None
        return found

    def press(self, key: Qt.Key) -> None:
        self.keys += 1
        QTest.keyClick(self.focus, key)
        QApplication.processEvents()

    def chord(self, keys: str) -> None:
        self.keys += 2
        QTest.keySequence(self.focus, keys)
        QApplication.processEvents()

    def type(self, text: str) -> None:
        for letter in text:
            self.keys += 1
            QTest.keyClicks(self.focus, letter)
        QApplication.processEvents()

    def go_to(self, wanted: QWidget) -> None:
        for _ in range(60):
            if self.focus is wanted:
                return
            self.press(Key.Key_Tab)
        raise AssertionError(f"{wanted.accessibleName()} is no stop of the Tab key")


def test_eight_shop_lines_become_a_whole_car_with_a_band_and_no_figure_is_0(
    window: Window, settle: Callable[[Window], None]
) -> None:
    hand, session = Hand(window), window.session
    own = {part.id for kind in KINDS for part in session.catalogue.parts(kind.key)}
    window.slots.view.setFocus()
    hand.chord("Ctrl+N")
    hand.press(Key.Key_Return)  # units and currency as the region has them
    hand.press(Key.Key_Return)
    assert session.bench.build is not None
    assert not session.bench.build.parts
    window.slots.view.setFocus()
    for line, answers in LINES.items():
        QApplication.clipboard().setText(line)
        hand.chord("Ctrl+V")
        form = window.pages.currentWidget()
        assert isinstance(form, PartForm), line
        for key, text in answers:
            hand.go_to(form.body.row(key).editor)
            hand.type(text[:3] if isinstance(form.body.row(key).editor, Choice) else text)
        hand.chord("Ctrl+S")
        assert form.trouble.text == "", line
        assert [row.complaint for row in form.body.rows if row.complaint] == [], line
        assert window.shelf.table.hasFocus(), line
        hand.press(Key.Key_Return)

    build, forecast = session.bench.build, session.bench.forecast
    assert build is not None
    assert not build.empty_slots
    assert {part.id for part in build.parts.values()}.isdisjoint(own)
    assert forecast is not None
    assert forecast.band is not None
    assert forecast.band.p10 < forecast.band.p50 < forecast.band.p90
    # What the air, the winding, the cells and the scales would say is never 0 without a word.
    drawn = {one.key: one for one in drawn_figures(build)}
    for slot, key in (
        ("motor", "resistance_mohm"),
        ("motor", "no_load_current_a"),
        ("motor", "inductance_uh"),
        ("controller", "resistance_mohm"),
        ("pack", "cell_resistance_mohm"),
        ("body", "drag_coefficient"),
        ("body", "frontal_area_cm2"),
        ("tyres", "growth_fraction"),
        ("tyres", "rolling_coefficient"),
        *((kind.key, "mass_g") for kind in KINDS if kind.needed and kind.key != "body"),
    ):
        part = build.parts[slot]
        assert (part.number(key) or 0.0) > 0.0, (slot, key)
        assert part.provenance_of(key) is Provenance.WORKED_OUT, (slot, key)
        assert drawn[slot, key].spread > 0.0, (slot, key)
    assert hand.keys / KEYS_A_SECOND < MOST_SECONDS
    settle(window)
