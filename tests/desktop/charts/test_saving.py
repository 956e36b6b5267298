"""Saved plots: a drawing with real text, a finer picture, and figures that no spreadsheet runs."""

from __future__ import annotations

import csv
import io
import os
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from builds import a_build
from pennyspeed.desktop.charts import CHARTS, Canvas, saving
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.domain.errors import UnwritableFile
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, MPH
from pennyspeed.services.charts.table import Table
from pennyspeed.services.formulas import guarded
from pennyspeed.services.prediction.forecast import forecast

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")

METRIC, IMPERIAL = Measures(), Measures(speed_unit=MPH, length_unit=IN, decimal=",", group=".")
KEYS = [view.key for view in CHARTS]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def plot_of(plot_of: Callable[..., Canvas]) -> Callable[..., Canvas]:
    """Makes a view in sight that shows a car."""

    def make(key: str, measures: Measures = METRIC, ghost_name: str = "") -> Canvas:
        made = plot_of(key)
        other = forecast(a_build(parts__motor__kv_rpm_per_v=3600)) if ghost_name else None
        made.show_forecast(forecast(a_build()), measures, other, ghost_name)
        return made

    return make


def rows(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("key", KEYS)
def test_a_drawing_holds_its_words_as_text(
    key: str, plot_of: Callable[..., Canvas], tmp_path: Path
) -> None:
    plot = plot_of(key, ghost_name="Nuts & <bolts>")
    path = saving.save(plot, tmp_path / "plot.svg")
    root = ElementTree.fromstring(path.read_bytes())
    said = {"".join(text.itertext()).strip() for text in root.iter(f"{SVG}text")}
    wanted = {label.words.text for label in plot.layout_shown.labels}
    assert wanted <= said
    assert any("Nuts & <bolts>" in text for text in said)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert title.text.startswith("Allotment runner, ")
    assert description is not None
    assert description.text == plot.summary
    fonts = {text.get("font-family") for text in root.iter(f"{SVG}text")}
    assert fonts == {themes.FAMILY}
    # Curves are lines, not a picture.
    assert not list(root.iter(f"{SVG}image"))
    assert list(root.iter(f"{SVG}polyline")) or list(root.iter(f"{SVG}path"))


@pytest.mark.parametrize("key", KEYS)
def test_a_picture_is_twice_as_fine(
    key: str, plot_of: Callable[..., Canvas], tmp_path: Path, qtbot: QtBot
) -> None:
    plot = plot_of(key)
    plot.activateWindow()
    plot.setFocus()
    qtbot.waitUntil(plot.hasFocus)
    path = saving.save(plot, tmp_path / "plot.png")
    image = QImage(str(path))
    assert image.size() == 2 * QSize(822, 328)
    assert image.pixelColor(5, 5) == themes.LIGHT.ground
    # The frame that says where the keyboard is stays on the screen.
    assert image.pixelColor(800, 0) == themes.LIGHT.ground
    accent = sum(
        image.pixelColor(x, y) == themes.LIGHT.accent
        for x in range(100, 1600, 3)
        for y in range(60, 640, 3)
    )
    assert accent > 50
    assert image.text("Description") == plot.summary


@pytest.mark.parametrize("key", KEYS)
def test_figures_are_those_of_the_plot(
    key: str, plot_of: Callable[..., Canvas], tmp_path: Path
) -> None:
    plot = plot_of(key)
    path = saving.save(plot, tmp_path / "plot.csv")
    head, *body = rows(path.read_bytes())
    table = plot.table()
    assert table is not None
    assert tuple(head) == table.heads
    assert all(column.endswith("]") for column in head)
    assert len(body) == len(table.columns[0]) > 50
    for place, column in enumerate(table.columns):
        found = np.array([float(row[place] or "nan") for row in body])
        np.testing.assert_allclose(found, column, rtol=1e-5, atol=1e-9)


def test_the_road_in_figures_is_the_forecast(plot_of: Callable[..., Canvas]) -> None:
    head, *body = rows(saving.csv(plot_of("road", IMPERIAL)))
    assert head[:3] == ["distance [ft]", "time [s]", "speed [mph]"]
    found = forecast(a_build()).prediction
    assert found is not None
    # 1 mph = 0.44704 m/s and 1 ft = 0.3048 m exactly (1959 agreement); the point stays a point
    # where the person's decimal mark is a comma.
    # Past its stop the car has no speed, where a lift that is late has one.
    body = [row for row in body if row[2]]
    speeds = [float(row[2]) for row in body]
    assert max(speeds) == pytest.approx(found.road_speed / 0.44704, rel=1e-5)
    feet = [float(row[0]) for row in body]
    assert np.interp(found.lift_at / 0.3048, feet, speeds) == pytest.approx(max(speeds), rel=1e-5)
    assert feet[-1] == pytest.approx((found.lift_at + found.stop_distance) / 0.3048, rel=1e-5)


def test_the_road_in_figures_has_the_likely_range(plot_of: Callable[..., Canvas]) -> None:
    head, *body = rows(saving.csv(plot_of("road")))
    band = forecast(a_build()).band
    assert band is not None
    metres = [float(row[0]) for row in body]
    for name, speeds in (("likely from [km/h]", band.low), ("likely to [km/h]", band.high)):
        found = [float(row[head.index(name)] or "nan") for row in body]
        expected = 3.6 * np.interp(60.0, band.distance, speeds)
        assert np.interp(60.0, metres, found) == pytest.approx(expected, rel=0.01)


def test_no_cell_is_a_formula(plot_of: Callable[..., Canvas]) -> None:
    for key in KEYS:
        for row in rows(saving.csv(plot_of(key, ghost_name='=HYPERLINK("x")'))):
            for cell in row:
                try:
                    float(cell or "0")
                except ValueError:
                    assert cell[0] not in "=+-@\t\r", cell
    # Which signs start a formula: OWASP, CSV Injection.
    for sign in "=+-@\t\r":
        assert guarded(f"{sign}1").startswith("'")
    table = Table(("=a", "b"), (np.array([1.0]), np.array([np.nan])))
    assert table.csv() == "'=a,b\r\n1,\r\n"


def test_an_unwritable_place_is_told_and_nothing_is_left(
    plot_of: Callable[..., Canvas], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plot = plot_of("forces")
    with pytest.raises(UnwritableFile, match="no such"):
        saving.save(plot, tmp_path / "missing" / "plot.svg")
    path = tmp_path / "plot.csv"
    path.write_text("before")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(UnwritableFile, match="no space left"):
        saving.save(plot, path)
    assert path.read_text() == "before"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("typed", "kind", "written"),
    [
        ("mine.csv", "Drawing (*.svg)", "mine.csv"),
        ("mine", "Picture (*.png)", "mine.png"),
        ("mine.v2", "", "mine.v2.svg"),
    ],
)
def test_the_shortcut_asks_and_saves(
    typed: str,
    kind: str,
    written: str,
    plot_of: Callable[..., Canvas],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[str] = []

    def answer(_: object, __: str, start: str, kinds: str) -> tuple[str, str]:
        asked.extend((start, kinds))
        return str(tmp_path / typed), kind

    monkeypatch.setattr(QFileDialog, "getSaveFileName", answer)
    plot = plot_of("motor")
    told: list[str] = []
    plot.saved.connect(told.append)
    QTest.keyClick(plot, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert (tmp_path / written).is_file()
    assert told == [f"plot written to {written}"]
    assert "Allotment runner, the motor over" in asked[0]
    assert all(f"*{end}" in asked[1] for end in saving.FORMATS)


def test_troubles_are_told_in_the_window(
    plot_of: Callable[..., Canvas], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = str(tmp_path / "missing" / "plot.svg")
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (gone, ""))
    plot = plot_of("road")
    told: list[str] = []
    plot.troubled.connect(told.append)
    assert saving.ask_and_save(plot) is None
    assert "cannot be written" in told[0]


def test_the_menu_offers_every_format_and_the_figures(plot_of: Callable[..., Canvas]) -> None:
    plot = plot_of("heat")
    made = saving.menu(plot)
    said = [action.text() for action in made.actions()]
    for end in saving.FORMATS:
        assert any(end[1:].upper() in text for text in said)
    next(one for one in made.actions() if one.text() == "Copy all figures").trigger()
    table = plot.table()
    assert table is not None
    # the clipboard of the screen may write line ends its own way
    assert QGuiApplication.clipboard().text().split() == table.csv().split()
    plot.show_forecast(forecast(a_build().without_part("pack")), METRIC)
    assert not any(one.isEnabled() for one in saving.menu(plot).actions() if one.text())


def test_a_name_fits_any_file_system(plot_of: Callable[..., Canvas]) -> None:
    from dataclasses import replace

    plot = plot_of("road")
    shown = forecast(replace(a_build(), name='a/b\\c:d*e?"<f>|\n.'))
    plot.show_forecast(shown, METRIC)
    name = saving.proposed(plot, ".svg")
    assert not set(name) & set('/\\:*?"<>|\n')
    assert name.endswith(", speed over the road.svg")
