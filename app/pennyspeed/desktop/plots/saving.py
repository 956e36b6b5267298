"""Saving: a plot as a drawing, as a picture and as figures, and the menu that offers it."""

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
    from pennyspeed.desktop.plots.plot import Plot

PICTURE_SCALE = 2
"""Pixels of a saved picture for one of the screen."""


def svg(plot: Plot) -> bytes:
    """Return the plot as a drawing with real text."""
    from PySide6.QtSvg import QSvgGenerator

    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    page = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    page.setOutputDevice(buffer)
    page.setSize(plot.size())
    page.setViewBox(QRectF(plot.rect()))
    # One pixel of the screen is one of the drawing, not one point.
    page.setResolution(96)
    page.setTitle(_title(plot))
    page.setDescription(plot.summary)
    painter = QPainter(page)
    plot.paint_picture(painter)
    painter.end()
    return bytes(buffer.data().data())


def png(plot: Plot) -> bytes:
    """Return the plot as a picture, twice as fine as on the screen."""
    image = QImage(plot.size() * PICTURE_SCALE, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(PICTURE_SCALE)
    image.setText("Title", _title(plot))
    image.setText("Description", plot.summary)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    plot.paint_picture(painter)
    painter.end()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # Qt takes text, its stub bytes
    return bytes(buffer.data().data())


def csv(plot: Plot) -> bytes:
    """Return the curves as figures, with a mark at the front by which spreadsheets know UTF-8."""
    table = plot.table()
    return ("" if table is None else table.csv()).encode("utf-8-sig")


FORMATS: dict[str, tuple[str, Callable[[Plot], bytes]]] = {
    ".svg": ("Drawing", svg),
    ".png": ("Picture", png),
    ".csv": ("Figures", csv),
}
"""What a plot can be saved as, by the end of the file's name."""


def save(plot: Plot, path: Path) -> Path:
    """Write the plot in the format that the name ends in; return where it went.

    A name with another end gets that of the first format. UserError where it cannot be written.
    """
    if path.suffix.lower() not in FORMATS:
        path = path.with_name(path.name + next(iter(FORMATS)))
    write_whole(path, FORMATS[path.suffix.lower()][1](plot))
    return path


def proposed(plot: Plot, suffix: str) -> str:
    """Return a file name from the build's name and what the plot shows."""
    plain = re.sub(r'[\x00-\x1f<>:"/\\|?*]+', "-", _title(plot)).strip(". ")
    return f"{plain[:120] or 'plot'}{suffix}"


def ask_and_save(plot: Plot, suffix: str = "") -> Path | None:
    """Ask for a place and save there; tell the plot's `saved` or `troubled`."""
    ends = [suffix] if suffix else list(FORMATS)
    kinds = ";;".join(f"{FORMATS[one][0]} (*{one})" for one in ends)
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
    start = str(Path(folder) / proposed(plot, ends[0]))
    name, kind = QFileDialog.getSaveFileName(plot, "Save the plot", start, kinds)
    if not name:
        return None
    path = Path(name)
    if path.suffix.lower() not in FORMATS:
        chosen = next((one for one in ends if f"*{one})" in kind), ends[0])
        path = path.with_name(path.name + chosen)
    try:
        saved = save(plot, path)
    except UserError as error:
        plot.troubled.emit(str(error))
        return None
    plot.saved.emit(f"plot written to {saved.name}")
    return saved


def menu(plot: Plot) -> QMenu:
    """Return the plot's own menu."""
    made = QMenu(plot)
    made.setFont(theme.font("body"))
    can = plot.has_curve
    copy = made.addAction("Copy what is read")
    copy.setShortcut("Ctrl+C")
    copy.triggered.connect(lambda: plot.copy_values())
    figures = made.addAction("Copy all figures")
    figures.triggered.connect(lambda: _copy_figures(plot))
    made.addSeparator()
    for suffix, (word, _) in FORMATS.items():
        action = made.addAction(f"Save as {suffix[1:].upper()} ({word.lower()})…")
        action.triggered.connect(lambda _=False, suffix=suffix: ask_and_save(plot, suffix))
        action.setEnabled(can)
    for action in (copy, figures):
        action.setEnabled(can)
    return made


def open_menu(plot: Plot, at: QPoint) -> None:
    """Open the plot's menu."""
    made = menu(plot)
    made.aboutToHide.connect(made.deleteLater)
    made.popup(at)


def _copy_figures(plot: Plot) -> None:
    table = plot.table()
    if table is not None:
        QGuiApplication.clipboard().setText(table.csv())


def _title(plot: Plot) -> str:
    name = plot.shown.forecast.build.name if plot.shown is not None else ""
    return f"{name}, {plot.NAME[:1].lower()}{plot.NAME[1:]}" if name else plot.NAME
