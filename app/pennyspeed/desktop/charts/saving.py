"""Saving: a chart as a drawing, as a picture and as figures, and the menu that offers it."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QIODevice, QPoint, QRectF, QStandardPaths
from PySide6.QtGui import QGuiApplication, QImage, QPainter
from PySide6.QtWidgets import QFileDialog, QMenu

from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.errors import UserError
from pennyspeed.services.whole_files import write_whole

if TYPE_CHECKING:
    from pennyspeed.desktop.charts.canvas import Canvas

PICTURE_SCALE = 2
"""Pixels of a saved picture for one of the screen."""


def svg(chart: Canvas) -> bytes:
    """Return the chart as a drawing with real text."""
    from PySide6.QtSvg import QSvgGenerator

    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    page = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    page.setOutputDevice(buffer)
    page.setSize(chart.size())
    page.setViewBox(QRectF(QPoint(), chart.size()))
    # One pixel of the screen is one of the drawing, not one point.
    page.setResolution(96)
    page.setTitle(_title(chart))
    page.setDescription(chart.summary)
    painter = QPainter(page)
    chart.paint_picture(painter)
    painter.end()
    return bytes(buffer.data().data())


def png(chart: Canvas) -> bytes:
    """Return the chart as a picture, twice as fine as on the screen."""
    image = QImage(chart.size() * PICTURE_SCALE, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(PICTURE_SCALE)
    image.setText("Title", _title(chart))
    image.setText("Description", chart.summary)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    chart.paint_picture(painter)
    painter.end()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # Qt takes text, its stub bytes
    return bytes(buffer.data().data())


def csv(chart: Canvas) -> bytes:
    """Return the curves as figures, with a mark at the front by which spreadsheets know UTF-8."""
    table = chart.table()
    return ("" if table is None else table.csv()).encode("utf-8-sig")


FORMATS: dict[str, tuple[str, Callable[[Canvas], bytes]]] = {
    ".svg": ("Drawing", svg),
    ".png": ("Picture", png),
    ".csv": ("Figures", csv),
}
"""What a chart can be saved as, by the end of the file's name."""


def save(chart: Canvas, path: Path) -> Path:
    """Write the chart in the format that the name ends in; return where it went.

    A name with another end gets that of the first format. UserError where it cannot be written.
    """
    if path.suffix.lower() not in FORMATS:
        path = path.with_name(path.name + next(iter(FORMATS)))
    write_whole(path, FORMATS[path.suffix.lower()][1](chart))
    return path


def proposed(chart: Canvas, suffix: str) -> str:
    """Return a file name from the build's name and what the chart shows."""
    plain = re.sub(r'[\x00-\x1f<>:"/\\|?*]+', "-", _title(chart)).strip(". ")
    return f"{plain[:120] or 'plot'}{suffix}"


def ask_and_save(chart: Canvas, suffix: str = "") -> Path | None:
    """Ask for a place and save there; tell the chart's `saved` or `troubled`."""
    ends = [suffix] if suffix else list(FORMATS)
    kinds = ";;".join(f"{FORMATS[one][0]} (*{one})" for one in ends)
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    start = str(Path(folder) / proposed(chart, ends[0]))
    name, kind = QFileDialog.getSaveFileName(chart.window(), "Save the plot", start, kinds)
    if not name:
        return None
    path = Path(name)
    if path.suffix.lower() not in FORMATS:
        chosen = next((one for one in ends if f"*{one})" in kind), ends[0])
        path = path.with_name(path.name + chosen)
    try:
        saved = save(chart, path)
    except UserError as error:
        chart.troubled.emit(str(error))
        return None
    chart.saved.emit(f"plot written to {saved.name}")
    return saved


def menu(chart: Canvas) -> QMenu:
    """Return the chart's own menu."""
    made = QMenu(chart.window())
    made.setFont(theme.font("body"))
    can = chart.has_curve
    copy = made.addAction("Copy what is read")
    copy.setShortcut("Ctrl+C")
    copy.triggered.connect(lambda: chart.copy_values())
    figures = made.addAction("Copy all figures")
    figures.triggered.connect(lambda: _copy_figures(chart))
    made.addSeparator()
    for suffix, (word, _) in FORMATS.items():
        action = made.addAction(f"Save as {suffix[1:].upper()} ({word.lower()})…")
        action.triggered.connect(lambda _=False, suffix=suffix: ask_and_save(chart, suffix))
        action.setEnabled(can)
    for action in (copy, figures):
        action.setEnabled(can)
    return made


def open_menu(chart: Canvas, at: QPoint) -> None:
    made = menu(chart)
    made.aboutToHide.connect(made.deleteLater)
    made.popup(at)


def _copy_figures(chart: Canvas) -> None:
    table = chart.table()
    if table is not None:
        QGuiApplication.clipboard().setText(table.csv())


def _title(chart: Canvas) -> str:
    name = chart.shown.forecast.build.name if chart.shown is not None else ""
    return f"{name}, {chart.NAME[:1].lower()}{chart.NAME[1:]}" if name else chart.NAME
