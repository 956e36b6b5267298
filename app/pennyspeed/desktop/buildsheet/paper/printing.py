"""Printing: laid out pages through Qt's own print support, and as pictures for the screen."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from pennyspeed.desktop.buildsheet.paper.fonts import DOTS_PER_INCH
from pennyspeed.desktop.buildsheet.paper.painting import paint
from pennyspeed.desktop.buildsheet.paper.pdf import CREATOR
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.drawing import COLOURS, MONO
from pennyspeed.services.sheet.paper.page_items import Pages

_MM_PER_INCH = 25.4


def colours_of(choices: Choices) -> Mapping[str, str]:
    """Return the colours that a sheet is painted in."""
    return MONO if choices.mono else COLOURS


def prepared(printer: QPrinter, sheet: Sheet, choices: Choices) -> None:
    """Give a printer the sheet's name and the paper that was chosen."""
    printer.setDocName(sheet.title)
    printer.setCreator(CREATOR)
    printer.setFullPage(True)
    size = QPageSize(QSizeF(*PAPERS[choices.paper]), QPageSize.Unit.Millimeter)
    printer.setPageLayout(
        QPageLayout(size, QPageLayout.Orientation.Portrait, QMarginsF(0, 0, 0, 0))
    )
    mode = QPrinter.ColorMode.GrayScale if choices.mono else QPrinter.ColorMode.Color
    printer.setColorMode(mode)


def print_pages(printer: QPrinter, pages: Pages, choices: Choices) -> bool:
    """Print pages on a prepared printer; tell whether it took them."""
    painter = QPainter()
    if not painter.begin(printer):
        return False
    first, last = printer.fromPage() or 1, printer.toPage() or len(pages.pages)
    wanted = pages.pages[first - 1 : last]
    try:
        for number, page in enumerate(wanted):
            if number and not printer.newPage():
                return False
            painter.save()
            scale = printer.resolution() / DOTS_PER_INCH
            painter.scale(scale, scale)
            paint(painter, page, colours_of(choices), choices.mono)
            painter.restore()
    finally:
        painter.end()
    return True


def pictures(pages: Pages, choices: Choices, width: int) -> list[QImage]:
    """Return pages as pictures of `width` pixels, as they look on paper."""
    found = []
    dpi = width * _MM_PER_INCH / pages.width
    height = round(pages.height * dpi / _MM_PER_INCH)
    for page in pages.pages:
        image = QImage(width, height, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFFFF)
        painter = QPainter(image)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing
        )
        painter.scale(dpi / DOTS_PER_INCH, dpi / DOTS_PER_INCH)
        paint(painter, page, colours_of(choices), choices.mono)
        painter.end()
        found.append(image)
    return found
