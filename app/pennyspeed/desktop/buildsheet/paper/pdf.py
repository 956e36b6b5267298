"""PDF: the sheet as the bytes of a tagged file, the same for the same sheet.

Needs no display: :func:`without_display` makes what Qt needs where no window is open.
"""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime, time
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from pennyspeed import __version__
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.drawing import COLOURS, MONO

if TYPE_CHECKING:
    from PySide6.QtGui import QGuiApplication

    from pennyspeed.services.sheet.paper.page_items import PageItem, Pages

CREATOR = f"Pennyspeed {__version__}"


def without_display() -> QGuiApplication:
    """Return the application that there is, or one that needs no display."""
    if sys.platform.startswith(("linux", "freebsd", "openbsd", "netbsd")):
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    found = QGuiApplication.instance()
    made = found if isinstance(found, QGuiApplication) else QGuiApplication(["pennyspeed"])
    made.setApplicationName("pennyspeed")
    return made


def sheet_pdf(sheet: Sheet, choices: Choices | None = None) -> bytes:
    """Return the sheet as a PDF; a QGuiApplication has to be there.

    Text is text in embedded fonts, drawings are vectors, and the structure (headings, paragraphs,
    lists, tables, figures with what they show) is tagged in reading order.
    """
    from pennyspeed.desktop.buildsheet.paper.page_layout import lay_out

    chosen = choices or Choices()
    return pages_pdf(lay_out(sheet, *PAPERS[chosen.paper]), sheet, chosen)


def pages_pdf(pages: Pages, sheet: Sheet, choices: Choices) -> bytes:
    """Return laid out pages as a PDF."""
    from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QRectF, QSizeF, Qt, QUuid
    from PySide6.QtGui import QPageSize, QPainter, QPdfWriter

    from pennyspeed.desktop.buildsheet.paper.fonts import DOTS_PER_INCH
    from pennyspeed.desktop.buildsheet.paper.painting import paint
    from pennyspeed.desktop.widgets.theme import FAMILY
    from pennyspeed.services.sheet.paper import pdf_tags

    identity = uuid5(NAMESPACE_URL, f"pennyspeed:{sheet.title}")
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DOTS_PER_INCH)
    size = QSizeF(pages.width, pages.height)
    writer.setPageSize(QPageSize(size, QPageSize.Unit.Millimeter))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(sheet.title)
    writer.setAuthor(sheet.author)
    writer.setCreator(CREATOR)
    writer.setDocumentId(QUuid(str(identity)))
    if choices.mono:
        writer.setColorModel(QPdfWriter.ColorModel.Grayscale)
    marks = pdf_tags.Marks()
    painter = QPainter(writer)

    def mark(item: PageItem) -> None:
        square = marks.square_before(item)
        if square is not None:
            painter.fillRect(QRectF(*square), Qt.GlobalColor.black)

    try:
        for number, page in enumerate(pages.pages):
            if number:
                writer.newPage()
            marks.begin_page()
            colours = MONO if choices.mono else COLOURS
            paint(painter, page, colours, choices.mono, mark)
    finally:
        painter.end()
    made = datetime.combine(sheet.made, time(12), UTC)
    return pdf_tags.tagged(bytes(buffer.data().data()), pages.root, marks, sheet, made, FAMILY)
