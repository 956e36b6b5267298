"""Builds held beside the car, worked by the keyboard alone."""

from __future__ import annotations

import csv
import io
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable, Sequence
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QObject, QRectF, QSizeF, Qt
from PySide6.QtGui import QGuiApplication, QImage, QRegion
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.beside.beside import BesidePanel
from pennyspeed.desktop.beside.beside_table import BesideTable
from pennyspeed.desktop.charts import saving
from pennyspeed.desktop.charts.views.beside import STYLES, BesideInput, lay_out
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.charts.beside import Line
from pennyspeed.services.prediction.comparison import MOST_HELD
from pennyspeed.services.prediction.forecast import forecast

ACCESSIBLE = Qt.ItemDataRole.AccessibleTextRole


@pytest.fixture
def beside(window: Window, qtbot: QtBot) -> BesidePanel:
    window.navigator.choose_view("beside")
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
    assert session.bench.build is not None
    own = session.bench.build.parts[slot].name
    return [part for part in session.catalogue.parts(slot) if part.name != own][place]


def hold(window: Window, slot: str, place: int = 0) -> Part:
    session = window.session
    assert session.bench.build is not None
    part = other(session, slot, place)
    window.session.comparison.hold(session.bench.build.with_part(part), f"with {part.name}")
    return part


def test_the_empty_view_says_what_to_do_and_space_does_it(
    window: Window, beside: BesidePanel, press: Callable[..., None]
) -> None:
    assert beside.hold_present.hasFocus()
    press(Qt.Key.Key_Space)
    (entry,) = window.session.comparison.entries
    assert (entry.letter, entry.name) == ("B", "as it was")
    assert entry.build == window.session.bench.build
    assert beside.table.isVisible()
    assert "Nothing differs" in beside.alike.text


def test_a_held_car_reads_as_its_forecast_does(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    hold(window, "motor")
    settled(beside, qtbot)
    comparison = beside.comparison
    assert comparison is not None
    found = forecast(window.session.comparison.entries[0].build, window.session.bench.measures)
    assert found.prediction is not None
    assert comparison.speeds[1] == f"{KMH.from_si(found.prediction.road_speed):.0f}"
    labels = {row.key: row for row in beside.model.rows}
    assert labels["cost"].cells[1].text == f"{found.costs.counted.amount:.2f}"
    place = beside.model.rows.index(labels["motor"])
    said = beside.model.index(place, 1).data(ACCESSIBLE)
    assert (
        said
        == f"B, motor: {window.session.comparison.entries[0].build.parts['motor'].name}, differs"
    )


def test_the_curves_are_those_of_the_forecasts(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    hold(window, "pinion")
    settled(beside, qtbot)
    beside.plot.look_closer(False)
    layout = beside.plot.layout_shown
    assert layout is not None
    builds = [window.session.bench.build, window.session.comparison.entries[0].build]
    for curve, build in zip(layout.curves, builds, strict=True):
        assert curve is not None
        assert build is not None
        trace = forecast(build).prediction.trace  # type: ignore[union-attr]
        assert trace is not None
        speeds = KMH.from_si(np.interp(curve[0], trace.distance, trace.speed))
        inner = (curve[0] > 1.0) & (curve[0] < trace.distance[-1] - 1.0)
        np.testing.assert_allclose(curve[1][inner], speeds[inner], atol=0.5)
    letters = [beside.plot.lines[one.place].letter for one in layout.ends]
    assert sorted(letters) == ["A", "B"]


@pytest.fixture
def three(window: Window, beside: BesidePanel, qtbot: QtBot) -> list[Build]:
    """The car now and two held beside it, with the keyboard on their plot."""
    hold(window, "pinion")
    hold(window, "motor")
    settled(beside, qtbot)
    beside.plot.setFocus()
    assert window.session.bench.build is not None
    return [
        window.session.bench.build,
        *(entry.build for entry in window.session.comparison.entries),
    ]


def speeds_of(build: Build, distances: Sequence[float] | np.ndarray) -> np.ndarray:
    """Return a build's speeds at places of its road [km/h]."""
    trace = forecast(build).prediction.trace  # type: ignore[union-attr]
    assert trace is not None
    return np.asarray(KMH.from_si(np.interp(distances, trace.distance, trace.speed)))


def test_arrow_keys_read_all_curves_at_one_place(
    three: list[Build], beside: BesidePanel, press: Callable[..., None]
) -> None:
    plot = beside.plot
    press(Qt.Key.Key_Home, *[Qt.Key.Key_Right] * 40)
    card = plot.card
    assert card is not None
    assert card.heading == "at 40 m"
    assert [row[0].split()[0] for row in card.rows] == ["A", "B", "C"]
    assert [row[1] for row in card.rows] == [
        f"{speeds_of(one, [40.0])[0]:.0f} km/h" for one in three
    ]
    assert plot.accessibleDescription().startswith("at 40 m: A  the car now ")
    press(Qt.Key.Key_Escape)
    assert plot.card is None
    assert plot.accessibleDescription().startswith("A, the car now: ")


def test_the_first_arrow_and_l_go_from_lift_to_lift(
    three: list[Build], beside: BesidePanel, press: Callable[..., None]
) -> None:
    lifts = sorted({forecast(one).prediction.lift_at for one in three})  # type: ignore[union-attr]
    assert len(lifts) == 3
    press(Qt.Key.Key_Right)
    for lift in lifts:
        assert beside.plot.card is not None
        assert beside.plot.card.heading == f"at {lift:.0f} m"
        press(Qt.Key.Key_L)


def test_what_is_read_is_copied(
    window: Window, three: list[Build], beside: BesidePanel, shortcut: Callable[[str], None]
) -> None:
    QTest.keySequence(beside.plot, "Ctrl+C")
    assert QGuiApplication.clipboard().text() == beside.plot.summary
    QTest.keyClick(beside.plot, Qt.Key.Key_Home)
    QTest.keySequence(beside.plot, "Ctrl+C")
    first, *rows = QGuiApplication.clipboard().text().splitlines()
    assert first == "at 0 m"
    names = ["the car now", *(entry.name for entry in window.session.comparison.entries)]
    for row, letter, name in zip(rows, "ABC", names, strict=True):
        assert row == f"{letter}  {name}\t0 km/h"


@pytest.fixture
def save_as(
    beside: BesidePanel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Callable[[str], Path]:
    """Saves the plot that has the keyboard, as Ctrl+S does, under a name."""

    def save_as(name: str) -> Path:
        path = tmp_path / name
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
        QTest.keySequence(beside.plot, "Ctrl+S")
        QApplication.processEvents()
        return path

    return save_as


def test_figures_have_a_speed_and_a_time_for_every_build(
    window: Window, three: list[Build], save_as: Callable[[str], Path]
) -> None:
    path = save_as("beside.csv")
    head, *body = csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"), newline=""))
    names = [
        "A the car now",
        *(f"{one.letter} {one.name}" for one in window.session.comparison.entries),
    ]
    assert head == [
        "distance [m]",
        *(f"{name}, {what}" for name in names for what in ("speed [km/h]", "time [s]")),
    ]
    figures = np.array([[float(cell or "nan") for cell in row] for row in body])
    assert len(figures) > 50
    for place, build in enumerate(three):
        speeds, times = figures[:, 1 + 2 * place], figures[:, 2 + 2 * place]
        known = ~np.isnan(speeds)
        expected = speeds_of(build, figures[known, 0])
        np.testing.assert_allclose(speeds[known], expected, rtol=1e-4, atol=0.2)
        found = forecast(build).prediction
        assert found is not None
        assert figures[known, 0][-1] == pytest.approx(found.lift_at + found.stop_distance, rel=1e-4)
        # Distance is speed summed over time, so both columns belong to one run.
        mean = 0.5 * (speeds[known][1:] + speeds[known][:-1]) / 3.6
        gone = np.sum(mean * np.diff(times[known]))
        assert gone == pytest.approx(figures[known, 0][-1], rel=0.01)
    assert window.top.accessibleDescription() == "plot written to beside.csv"


def test_a_drawing_has_every_label_as_text(
    window: Window, three: list[Build], beside: BesidePanel, save_as: Callable[[str], Path]
) -> None:
    root = ElementTree.fromstring(save_as("beside.svg").read_bytes())
    space = "{http://www.w3.org/2000/svg}"
    said = {"".join(text.itertext()).strip() for text in root.iter(f"{space}text")}
    layout = beside.plot.layout_shown
    assert layout is not None
    assert {label.words.text for label in layout.labels} <= said
    assert {"A", "B", "C", "the car now"} <= said
    assert {entry.name for entry in window.session.comparison.entries} <= said
    assert {one.figure for one in layout.ends} <= said
    assert not list(root.iter(f"{space}image"))
    description = root.find(f"{space}desc")
    assert description is not None
    assert description.text == beside.plot.summary


def test_a_picture_is_saved_and_the_menu_offers_all_three(
    three: list[Build], beside: BesidePanel, save_as: Callable[[str], Path]
) -> None:
    image = QImage(str(save_as("beside.png")))
    assert image.size() == 2 * beside.plot.size()
    said = " ".join(one.text() for one in saving.menu(beside.plot).actions() if one.isEnabled())
    assert all(end in said for end in ("SVG", "PNG", "CSV", "Copy all figures"))


def test_z_starts_the_speed_axis_at_nothing(
    three: list[Build], beside: BesidePanel, press: Callable[..., None]
) -> None:
    layout = beside.plot.layout_shown
    assert layout is not None
    assert layout.scale.y_min > 0
    press(Qt.Key.Key_Z)
    layout = beside.plot.layout_shown
    assert layout is not None
    assert layout.scale.y_min == 0
    beside.refresh()
    layout = beside.plot.layout_shown
    assert layout is not None
    assert layout.scale.y_min == 0, "a choice stays when something else changes"


def test_a_car_that_is_not_whole_says_so_where_its_curve_would_be(
    window: Window, beside: BesidePanel
) -> None:
    window.session.builds.take_out("motor")
    assert not beside.plot.has_curve
    assert beside.plot.table() is None
    assert beside.plot.summary == "A, the car now: no speed"
    assert not any(one.isEnabled() for one in saving.menu(beside.plot).actions() if one.text())
    beside.plot.grab()


def test_a_letter_puts_the_car_back_and_undo_takes_that_back(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    session = window.session
    before = session.bench.build
    assert before is not None
    part = hold(window, "motor")
    settled(beside, qtbot)
    beside.focus_table()
    steps = session.undo_stack.index()
    press("b", to=beside.table)
    assert session.bench.build is not None
    assert session.bench.build.parts["motor"].name == part.name
    assert (session.bench.build.id, session.bench.build.name) == (before.id, before.name)
    assert session.undo_stack.index() == steps + 1
    settled(beside, qtbot)
    assert "Nothing differs" in beside.alike.text
    session.undo_stack.undo()
    assert session.bench.build == before
    assert window.session.comparison.entries[0].build.parts["motor"].name == part.name


def test_a_car_put_back_to_another_build_keeps_its_own_name(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    session = window.session
    assert session.bench.build is not None
    name, was = session.bench.build.name, session.bench.build
    build_id, other_name = next(one for one in session.builds.entries() if one[1] != name)
    window.session.comparison.hold_saved(build_id)
    settled(beside, qtbot)
    press("b", to=beside.table)
    assert session.bench.build != was
    assert session.bench.build.name == window.top.name.value == name
    assert other_name in [one for _, one in session.builds.entries()]


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
    assert [one.letter for one in window.session.comparison.entries] == ["B", "C"], (
        "the car itself stays"
    )
    press(Qt.Key.Key_Right, Qt.Key.Key_Delete, to=beside.table)
    assert [one.letter for one in window.session.comparison.entries] == ["C"]
    shortcut("Ctrl+Z")
    assert [one.letter for one in window.session.comparison.entries] == ["B", "C"]
    press(Qt.Key.Key_Space, to=beside.table)
    assert [one.letter for one in window.session.comparison.entries] == ["B", "C", "D"]


def test_a_held_car_that_is_the_same_can_be_taken_away_by_keyboard(
    window: Window, beside: BesidePanel, press: Callable[..., None]
) -> None:
    press(Qt.Key.Key_Space)
    assert "Nothing differs" in beside.alike.text
    press(Qt.Key.Key_Right, Qt.Key.Key_Delete, to=beside.table)
    assert window.session.comparison.entries == ()
    assert beside.hold_present.hasFocus()


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


def test_the_keyboard_stays_on_the_last_row_where_rows_go(
    window: Window, beside: BesidePanel, press: Callable[..., None], qtbot: QtBot
) -> None:
    hold(window, "motor")
    settled(beside, qtbot)
    beside.focus_table()
    table, model = beside.table, beside.model
    press("=", to=table)
    every = model.rowCount()
    table.setCurrentIndex(model.index(every - 1, 0))
    press("=", to=table)
    settled(beside, qtbot)
    assert model.rowCount() < every
    assert table.currentIndex().row() == model.rowCount() - 1


def test_six_are_held_and_a_seventh_is_refused_in_words(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    troubles: list[str] = []
    window.session.messages.troubled.connect(troubles.append)
    for place in range(MOST_HELD + 1):
        hold(window, "motor", place)
    assert [one.letter for one in window.session.comparison.entries] == list("BCDEFG")
    assert len(troubles) == 1
    assert "take one away" in troubles[0]
    settled(beside, qtbot)
    assert beside.model.columnCount() == 7
    window.grab()


@pytest.fixture
def crowded(window: Window, beside: BesidePanel, qtbot: QtBot) -> BesideTable:
    """Six builds held beside the car, more than there is room for, and the keyboard on them."""
    window.resize(1366, 768)
    for place in range(MOST_HELD):
        hold(window, "motor", place)
    settled(beside, qtbot)
    beside.focus_table()
    assert beside.table.horizontalScrollBar().maximum() > 0
    return beside.table


def column_in_sight(table: BesideTable, column: int) -> bool:
    rect = table.visualRect(table.beside.index(0, column))
    return (
        table.viewport().rect().contains(rect) and table.indexAt(rect.center()).column() == column
    )


@pytest.mark.parametrize("direction", list(Qt.LayoutDirection)[:2])
def test_the_car_now_stays_in_sight_however_many_are_beside_it(
    direction: Qt.LayoutDirection, crowded: BesideTable, press: Callable[..., None]
) -> None:
    table = crowded
    table.window().setLayoutDirection(direction)
    onward, back = Qt.Key.Key_Right, Qt.Key.Key_Left
    if direction == Qt.LayoutDirection.RightToLeft:
        onward, back = back, onward
    for column in range(1, MOST_HELD + 1):
        press(onward)
        assert table.currentIndex().column() == column
        assert column_in_sight(table, column), "the keyboard never stands under the kept column"
        assert column_in_sight(table, 0)
    assert table.frozen.covers
    # What is painted there is the column that stays, not what lies under it.
    kept = table.frozen.rect(table.viewport().height())
    scrolled = table.viewport().grab(kept).toImage()
    header = table.horizontalHeader().viewport()
    over = table.frozen.rect(header.height())
    titled = header.grab(over).toImage()
    edge = table.frozen.edge(1).left() - kept.left()
    for column in reversed(range(MOST_HELD)):
        press(back)
        assert table.currentIndex().column() == column
        assert column_in_sight(table, column)
    assert not table.frozen.covers
    press(onward)
    for before, now in (
        (scrolled, table.viewport().grab(kept).toImage()),
        (titled, header.grab(over).toImage()),
    ):
        same = [
            before.pixel(x, y) == now.pixel(x, y)
            for x in range(before.width())
            for y in range(0, before.height(), 3)
            if x != edge
        ]
        assert all(same)


def test_the_column_that_stays_is_painted_anew_when_the_others_scroll(crowded: BesideTable) -> None:
    view, head = crowded.viewport(), crowded.horizontalHeader().viewport()
    painted: dict[QObject, QRegion] = {view: QRegion(), head: QRegion()}

    class Paints(QObject):
        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            if event.type() == QEvent.Type.Paint:
                painted[watched] |= event.region()
            return False

    QApplication.processEvents()
    paints = Paints()
    view.installEventFilter(paints)
    head.installEventFilter(paints)
    crowded.horizontalScrollBar().setValue(2)
    QApplication.processEvents()
    for one in (view, head):
        kept = QRegion(crowded.frozen.rect(one.height()))
        assert kept.subtracted(painted[one]).isEmpty()


def test_what_is_held_already_is_not_held_twice(window: Window, beside: BesidePanel) -> None:
    assert window.session.comparison.hold_present() == "B"
    assert window.session.comparison.hold_present() == "B"
    assert len(window.session.comparison.entries) == 1


def test_held_cars_are_there_again_when_the_file_is_opened_next(
    open_window: Callable[..., Window],
) -> None:
    window = open_window()
    part = hold(window, "motor")
    window.session.comparison.hold_present()
    window.close()
    again = open_window()
    assert [(one.letter, one.name) for one in again.session.comparison.entries] == [
        ("B", f"with {part.name}"),
        ("C", "as it was"),
    ]
    assert (
        again.session.comparison.entries[1].build.parts.keys()
        == window.session.comparison.entries[1].build.parts.keys()
    )
    one = forecast(again.session.comparison.entries[0].build).prediction
    two = forecast(window.session.comparison.entries[0].build).prediction
    assert one is not None
    assert two is not None
    assert one.road_speed == pytest.approx(two.road_speed, rel=1e-12)


def test_another_build_of_the_file_can_be_held(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    session = window.session
    assert session.bench.build is not None
    build_id, name = next(
        one for one in session.builds.entries() if one[0] != session.bench.build.id
    )
    beside.builds.aboutToShow.emit()
    actions = {action.text(): action for action in beside.builds.actions()}
    assert session.bench.build.name not in actions
    actions[name].trigger()
    assert window.session.comparison.entries[0].name == name
    assert window.session.comparison.entries[0].build == session.file.workshop.builds.get(build_id)


def test_the_car_now_follows_every_change(
    window: Window, beside: BesidePanel, qtbot: QtBot
) -> None:
    window.session.comparison.hold_present()
    window.session.builds.put_in(other(window.session, "motor"))
    settled(beside, qtbot)
    comparison = beside.comparison
    assert comparison is not None
    assert comparison.forecasts[0] is window.session.bench.forecast
    assert any(row.key == "motor" for row in comparison.differing)


def test_no_two_lines_look_alike() -> None:
    assert len(STYLES) == MOST_HELD + 1
    for one, two in combinations(STYLES, 2):
        assert one != two
    target = (7.0, 5.0)
    assert all(tuple(dashes) != target for _, dashes in STYLES)


def test_escape_goes_back(window: Window, beside: BesidePanel, press: Callable[..., None]) -> None:
    window.session.comparison.hold_present()
    beside.focus_table()
    press(Qt.Key.Key_Escape, to=beside.table)
    assert window.slots.view.hasFocus()


def test_a_shortcut_holds_what_is_tried_from_anywhere(
    window: Window, shortcut: Callable[[str], None]
) -> None:
    session = window.session
    window.slots.view.setFocus()
    part = other(session, "motor")
    session.bench.try_parts((part,))
    shortcut("Ctrl+Shift+H")
    (entry,) = window.session.comparison.entries
    assert entry.build.parts["motor"].name == part.name
    assert entry.name == part.name
    session.bench.try_parts(())
    shortcut("Ctrl+Shift+H")
    assert window.session.comparison.entries[1].build == session.bench.build


@pytest.mark.parametrize("count", [1, 3, MOST_HELD])
def test_no_label_covers_a_curve(window: Window, beside: BesidePanel, count: int) -> None:
    for place in range(count):
        hold(window, "motor", place)
    now = window.session.bench.forecast
    assert now is not None
    lines = [Line("A", "the car now", now)]
    lines += [
        Line(one.letter, one.name, forecast(one.build, window.session.bench.measures))
        for one in window.session.comparison.entries
    ]
    for width, height in ((820, 288), (820, 200), (520, 240), (1300, 288)):
        layout = lay_out(
            BesideInput(now, window.session.bench.measures, lines=tuple(lines)),
            QSizeF(width, height),
        )
        start, figures = layout.block.left(), layout.block.right()
        block = QRectF(start, layout.ends[0].baseline - 14, figures - start, 1.0)
        block.setBottom(layout.ends[-1].baseline + 3)
        assert QRectF(0, 0, width, height).contains(block)
        assert len({one.baseline for one in layout.ends}) == count + 1
        for curve in layout.curves:
            assert curve is not None
            xs, ys = layout.scale.x(curve[0]), layout.scale.y(curve[1])
            for x in np.linspace(xs[0], xs[-1], 400):
                assert not block.contains(x, float(np.interp(x, xs, ys))), (width, height)
