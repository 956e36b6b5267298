"""The sheet in the window: its pages, what is chosen about it, and the way to printer and file.

It is made in a thread of its own, from the build as it is now, and made again whenever build,
units, what is held beside or a choice changes.
"""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

from PySide6.QtCore import QStandardPaths, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QFileDialog, QGridLayout, QHBoxLayout, QVBoxLayout

from pennyspeed.desktop.buildsheet import SHEET
from pennyspeed.desktop.buildsheet.sheet_choices import SheetChoices
from pennyspeed.desktop.buildsheet.sheet_pages import SheetPages
from pennyspeed.desktop.buildsheet.sheet_printer import SheetPrinter
from pennyspeed.desktop.buildsheet.sheet_work import MadeSheet, make, write
from pennyspeed.desktop.navigator import StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.layouts import fill
from pennyspeed.desktop.widgets.panel import ClosablePanel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.sheet.choices import BESIDE, MOST_BESIDE, Choices, from_text, text_of
from pennyspeed.services.sheet.files import PDF, SUFFIXES
from pennyspeed.services.sheet.look import Look, look_beside, shipped
from pennyspeed.services.sheet.making import gathered

SIDE, LEAST_SIDE, MARGIN = 328, 224, 24
_SIDE_SHARE = 0.45
"""Of the panel's width, where that is less than the choices would take."""
_NOT_IN_NAMES = str.maketrans(dict.fromkeys('<>:"/\\|?*', "-"))
_NO_PRINTER = "The printer takes nothing: see whether it is on and has paper."
_FILTERS = "PDF (*.pdf);;Web page (*.html);;Text (*.txt)"


class SheetPanel(Scaled, ClosablePanel):
    """A page in place of plot and shelf; Escape closes it.

    Signals
    -------
    said(str)
        Something went well, in words.
    """

    keys = SHEET
    said = Signal(str)

    def __init__(self, session: Session, held: ComparedBuilds) -> None:
        super().__init__()
        self.setAccessibleName("Sheet")
        self._session, self._held = session, held
        self.made: MadeSheet | None = None
        self._look = shipped()
        self.pages = SheetPages()
        self.choices = SheetChoices()
        self.status = Label("label", quiet=True)
        self.print_button = Button("Print…")
        self.setup_button = Button("Page set-up…")
        self.save_button = Button("Save…")
        self.back_button = Button("Back")
        self.buttons = (self.print_button, self.setup_button, self.save_button, self.back_button)
        self._making = JobQueue(self, newest_only=True)
        self._saving = JobQueue(self, newest_only=True)
        self.printer = SheetPrinter(self)
        self._lay_out()
        self._connect()
        self.setFocusProxy(self.choices.kind)

    def _lay_out(self) -> None:
        self._row = QHBoxLayout(self)
        self._side = QVBoxLayout()
        self._buttons = QGridLayout()
        self._buttons.setColumnStretch(len(self.buttons), 1)
        self._buttons.setVerticalSpacing(0)
        fill(self._side, (self.choices, 1), self.status, self._buttons)
        fill(self._row, (self.pages, 1), self._side)
        self.rescale()

    def _connect(self) -> None:
        self.choices.changed.connect(self._chosen)
        self.pages.resized.connect(self.make)
        self.print_button.clicked.connect(self.ask_and_print)
        self.setup_button.clicked.connect(self.ask_page_set_up)
        self.save_button.clicked.connect(self.ask_and_save)
        self.back_button.clicked.connect(self.closed)
        self.said.connect(self._session.messages.noted)
        self._session.bench.build_changed.connect(self._show_build)
        self._session.bench.measures_changed.connect(self.make)
        self._session.file.closed.connect(self.wait)
        self._held.changed.connect(self.make)

    def page(self) -> StackPage:
        """Return how the navigator knows it."""
        return StackPage(self, self.closed)

    @property
    def is_busy(self) -> bool:
        """Whether a sheet is being made or written."""
        return self._making.is_busy or self._saving.is_busy

    def wait(self) -> None:
        """Wait for what is being made."""
        self._making.wait()
        self._saving.wait()

    def rescale(self) -> None:
        self._share_out()
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(px(MARGIN))
        self._side.setContentsMargins(0, px(16), px(MARGIN), px(16))

    def _share_out(self) -> None:
        """Give the choices their width; where the panel is narrow the pages come first."""
        room = max(px(LEAST_SIDE), min(px(SIDE), round(_SIDE_SHARE * self.width())))
        self.choices.set_width(room)
        per_row = len(self.buttons) if room == px(SIDE) else 2
        for place, one in enumerate(self.buttons):
            self._buttons.addWidget(one, place // per_row, place % per_row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._share_out()

    # Making ---------------------------------------------------------------------------------

    def _read_look(self) -> Look:
        """Return the look; a bad one of one's own is told of, and the shipped one holds."""
        with self._session.messages.reporting():
            return look_beside(self._folder)
        return shipped()

    @property
    def _folder(self) -> Path | None:
        return self._session.file.workshop.path.parent if self._session.file.is_open else None

    def _show_build(self) -> None:
        build = self._session.bench.build
        if build is None or not self.isVisible():
            return
        file = self._session.file
        kept = file.workshop.settings.sheet_choices(build) if file.is_open else None
        choices = from_text(kept)
        if choices != self.choices.choices or self.choices.sections.count() == 0:
            self.choices.show_choices(choices, self._look)
        self.make()

    def _chosen(self, choices: Choices) -> None:
        build = self._session.bench.build
        if build is not None and self._session.file.is_open:
            with self._session.messages.reporting():
                self._session.file.workshop.settings.note_sheet_choices(build, text_of(choices))
        self.make()

    def make(self) -> None:
        """Make the sheet anew, in the background."""
        session = self._session
        if session.bench.build is None or not self.isVisible():
            return
        self.status.say("Making the sheet …")
        choices = self.choices.choices
        entries = self._held.entries if choices.kind == BESIDE else ()
        gather = partial(
            gathered,
            session.bench.build,
            choices,
            session.bench.measures,
            date.today(),
            others=[(one.name, one.build) for one in entries[: MOST_BESIDE - 1]],
            pinions=session.catalogue.parts("pinion"),
            spurs=session.catalogue.parts("spur"),
            suppliers=session.file.workshop.suppliers.all() if session.file.is_open else (),
            look=self._look,
            folder=self._folder,
            found=session.bench.forecast,
            leads=session.bench.lead_times,
        )
        work = partial(make, gather, choices, self.pages.page_pixels)
        self._making.submit(work, self._show_made)

    def _show_made(self, made: MadeSheet) -> None:
        self.made = made
        if made.sheet is None or made.pages is None:
            self.status.say(made.trouble)
            self._session.messages.troubled.emit(made.trouble)
            return
        count = len(made.pages.pages)
        self.status.say(f"{count} page" + ("" if count == 1 else "s"))
        from pennyspeed.services.sheet.text import sheet_text

        self.pages.show_pages(made.images, sheet_text(made.sheet))

    # Printer and file -----------------------------------------------------------------------

    def ask_and_print(self) -> None:
        if self.made is None:
            return
        printed = self.printer.ask_and_print(self.made)
        if printed:
            self.said.emit("sent to the printer")
        elif printed is not None:
            self._session.messages.troubled.emit(_NO_PRINTER)

    def ask_page_set_up(self) -> None:
        """Ask for the paper in Qt's own dialog; a size that we know is taken over."""
        paper = None if self.made is None else self.printer.ask_page_set_up(self.made)
        if paper is not None:
            self.choices.paper.choose(paper)

    def ask_and_save(self) -> None:
        """Ask for a place and write the sheet there."""
        if self.made is None or self.made.sheet is None:
            return
        folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.DocumentsLocation)
        name = self.made.sheet.masthead.title.translate(_NOT_IN_NAMES)
        path, chosen = QFileDialog.getSaveFileName(
            self, "Save the sheet", str(Path(folder) / f"{name}.pdf"), _FILTERS
        )
        if path:
            self.save(Path(path), chosen)

    def save(self, path: Path, chosen: str = "") -> None:
        """Write the sheet in the background; the name's end says as what."""
        made = self.made
        if made is None or made.sheet is None or made.pages is None:
            return
        if path.suffix.casefold() not in SUFFIXES:
            end = next((one for one in SUFFIXES if one in chosen), PDF)
            path = path.with_name(path.name + end)
        self._saving.submit(
            partial(write, made, path), self.said.emit, self._session.messages.report
        )

    # In sight ------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Take up what changed while it was out of sight."""
        super().showEvent(event)
        self._look = self._read_look()
        self.rescale()
        self._show_build()
