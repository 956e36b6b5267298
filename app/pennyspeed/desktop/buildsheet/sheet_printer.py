"""The printer of the sheet, asked for in Qt's own dialogs; its parts are loaded once they are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.buildsheet.sheet_work import MadeSheet
from pennyspeed.services.sheet.choices import A4, LETTER

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter


class SheetPrinter:
    """Keeps the printer that a person chose, with its settings, until the window closes."""

    def __init__(self, parent: QWidget) -> None:
        self._parent = parent
        self._printer: QPrinter | None = None

    def _prepared(self, made: MadeSheet) -> QPrinter:
        from PySide6.QtPrintSupport import QPrinter

        from pennyspeed.desktop.buildsheet.paper.printing import prepared

        if self._printer is None:
            self._printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        assert made.sheet is not None
        prepared(self._printer, made.sheet, made.choices)
        return self._printer

    def ask_and_print(self, made: MadeSheet) -> bool | None:
        """Ask for a printer and print; return whether it took the pages, None for not asked to."""
        if made.pages is None:
            return None
        from PySide6.QtPrintSupport import QPrintDialog

        from pennyspeed.desktop.buildsheet.paper.printing import print_pages

        printer = self._prepared(made)
        if not QPrintDialog(printer, self._parent).exec():
            return None
        return print_pages(printer, made.pages, made.choices)

    def ask_page_set_up(self, made: MadeSheet) -> str | None:
        """Ask for the paper; return which it is, None for left as it was."""
        if made.sheet is None:
            return None
        from PySide6.QtGui import QPageSize
        from PySide6.QtPrintSupport import QPageSetupDialog

        printer = self._prepared(made)
        if not QPageSetupDialog(printer, self._parent).exec():
            return None
        is_letter = printer.pageLayout().pageSize().id() == QPageSize.PageSizeId.Letter
        return LETTER if is_letter else A4
