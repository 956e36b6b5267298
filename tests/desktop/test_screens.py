"""Screens: the first window fits them with its frame, and curves are as thick as designed."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QImage, QPainter

import pennyspeed
from builds import a_build
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import forecast

FIRST_WINDOW = """
import sys
from itertools import pairwise
from pathlib import Path
from PySide6.QtWidgets import QApplication
from pennyspeed.desktop.app import launch
app, window = launch(Path(sys.argv[1]), Path(sys.argv[2]))
app.processEvents()
screen, frame = window.screen().availableGeometry(), window.frameGeometry()
print(*screen.getCoords(), *frame.getCoords(), *window.geometry().getCoords())
window.close()
"""
TITLE_BAR = 40
"""At 100 % the title bars of common systems are 28 to 40 pixels high (from memory)."""


@pytest.mark.parametrize(
    ("size", "scale"), [((1366, 768), 1), ((2560, 1440), 2), ((2560, 1440), 1), ((1920, 1080), 1)]
)
def test_the_first_window_fits_the_screen_with_its_frame(
    size: tuple[int, int], scale: int, tmp_path: Path
) -> None:
    screen = {"name": "only", "x": 0, "y": 0, "width": size[0], "height": size[1], "dpr": 1}
    screen |= {"logicalDpi": 96, "logicalBaseDpi": 96}
    made_of = tmp_path / "screens.json"
    made_of.write_text(json.dumps({"screens": [screen]}))
    ran = subprocess.run(
        [sys.executable, "-c", FIRST_WINDOW, str(tmp_path / "f.sqlite3"), str(tmp_path / "s.json")],
        env={
            **os.environ,
            "PYTHONPATH": str(Path(pennyspeed.__file__).parents[1]),
            "QT_QPA_PLATFORM": f"offscreen:configfile={made_of}",
            "QT_SCALE_FACTOR": str(scale),
        },
        capture_output=True,
        encoding="utf-8",
    )
    assert ran.returncode == 0, ran.stderr
    places = [int(text) for text in ran.stdout.split()]
    room, frame, inside = places[:4], places[4:8], places[8:]
    assert room[2:] == [size[0] // scale - 1, size[1] // scale - 1]
    for i in (0, 1):
        assert room[i] <= frame[i]
        assert frame[i + 2] <= room[i + 2]
    assert inside[3] - inside[1] + 1 + TITLE_BAR <= size[1] // scale


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0, 3.0])
@pytest.mark.parametrize("percent", [100, 200])
def test_the_curve_is_as_thick_as_designed(
    plot_of, keeper: themes.ThemeKeeper, scale: float, percent: int
) -> None:
    """Three pixels at 100 % (the design's table of lines), measured where the curve is level."""
    keeper.choose_text(percent)
    plot = plot_of("road", 1200, 600)
    plot.show_forecast(forecast(a_build(road_m=400.0)), Measures())
    polygon = max(plot.layout_shown.frames[0].lines, key=lambda line: line[1].width)[0]
    points = [polygon.at(i) for i in range(polygon.size())]
    pairs = [pair for pair in pairwise(points) if pair[1].x() > pair[0].x()]
    one, other = min(pairs, key=lambda pair: abs(pair[1].y() - pair[0].y()))
    at = QPoint(round(scale * (one.x() + other.x()) / 2), round(scale * one.y()))
    picture = QImage(plot.size() * scale, QImage.Format.Format_RGB32)
    picture.setDevicePixelRatio(scale)
    painter = QPainter(picture)
    plot.paint_picture(painter)
    painter.end()
    reach = round(6 * scale * percent / 100)
    accent, beside = themes.current().accent, picture.pixelColor(at.x(), at.y() - reach)
    assert beside != accent

    def share(colour: QColor) -> float:
        return (beside.red() - colour.red()) / (beside.red() - accent.red())

    rows = range(at.y() - reach, at.y() + reach + 1)
    thick = sum(share(picture.pixelColor(at.x(), y)) for y in rows)
    assert thick == pytest.approx(3.0 * scale * percent / 100, abs=0.4)
