"""Preview: what a table would do, row by row, before anything of it is taken in."""

from __future__ import annotations

from copy import deepcopy
from functools import partial
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QKeyEvent

from pennyspeed.desktop.imports import PREVIEW
from pennyspeed.desktop.imports.preview_columns import ColumnMapping
from pennyspeed.desktop.imports.preview_rows import HEADS, PreviewRows, say_row
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page, Paragraph
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.errors import UserError
from pennyspeed.services.importers.importer import Imported
from pennyspeed.services.importers.tables.preview import Preview
from pennyspeed.services.importers.tables.preview_choices import PreviewChoices
from pennyspeed.services.importers.tables.rows import Progress, Stopped, Verdict

TICK_MS = 100


class PreviewPage(Page):
    """The columns above, what each row would do below; nothing is written before it is taken in."""

    keys = PREVIEW

    def __init__(self, session: Session, path: Path) -> None:
        super().__init__(path.name)
        self._session, self._path = session, path
        self._choices = PreviewChoices()
        self.preview: Preview | None = None
        self.leaves_out = self.only_refused = False
        self._progress = Progress()
        self._is_taking = self._is_gone = False
        self.columns = ColumnMapping()
        self.table = EditableTable("rows of the table", HEADS, "")
        self.take_button = Button("take in", self)
        self.leave_button = Button("leave it", self)
        self.skip_button = Button("leave out what is refused", self)
        self.filter_button = Button("show only what is refused", self)
        self.add(self.columns)
        self.whole = Paragraph(2, self)
        self.add(self.table, 1)
        self.add(self.whole)
        self.add_foot(self.take_button, self.skip_button, self.filter_button, self.leave_button)
        self.setFocusProxy(self.table)
        self._jobs = JobQueue(self, newest_only=True)
        self._tick = QTimer(self, interval=TICK_MS)
        self._tick.timeout.connect(self._say_progress)
        self.columns.chosen.connect(self._choose)
        self.take_button.clicked.connect(self.take)
        self.table.moved.connect(self._say_whole)
        self.skip_button.clicked.connect(self.turn_refused_out)
        self.filter_button.clicked.connect(self.turn_only_refused)
        self.leave_button.clicked.connect(self.leave)
        self.table.left_behind.connect(self.leave)
        self._keys = KeyHandler(
            PREVIEW,
            take=self.take,
            leave_out=self.turn_refused_out,
            only_refused=self.turn_only_refused,
        )
        session.file.closed.connect(self._close)
        self.look()

    @property
    def is_at_rest(self) -> bool:
        """Whether nothing is read or taken in."""
        return not self._jobs.is_busy and not self._is_taking

    # Looking --------------------------------------------------------------------------------

    def look(self) -> None:
        """Read the file anew with what was chosen, beside the window."""
        self._progress.is_stopped = True
        progress = self._progress = Progress()
        session, path, choices = self._session, self._path, deepcopy(self._choices)
        workshop = session.file.workshop
        build, measures = session.bench.build, session.bench.measures

        def work() -> Preview | None:
            try:
                return workshop.tables.preview(
                    path,
                    choices.what or None,
                    choices.mapping,
                    build,
                    choices.kind,
                    choices.sheet,
                    measures,
                    progress,
                )
            except Stopped:
                return None

        self.take_button.setEnabled(False)
        self._tick.start()
        self._say_progress()
        then = partial(self._looked, progress)
        self._jobs.submit(work, then, then)

    def _looked(self, progress: Progress, found: Preview | UserError | None) -> None:
        if progress is not self._progress or self._is_gone:
            return
        self._tick.stop()
        if isinstance(found, UserError):
            self.note.say("")
            self.trouble.say(str(found))
            self._say_whole()
        elif found is not None:
            self.preview = found
            self.columns.take(self._choices.asked(found))
            verbs = (self.take_button, self.skip_button, self.filter_button, self.leave_button)
            self.order_tab(*self.columns.fields, self.table, *verbs)
            self._show_rows()

    def _say_progress(self) -> None:
        now, doing = self._progress, "taking in" if self._is_taking else "reading"
        if now.total:
            self.note.say(f"{doing} {now.done:,} of {now.total:,} rows … Escape stops")
        else:
            self.note.say(f"{doing} {self._path.name} … Escape stops")

    def _show_rows(self) -> None:
        preview = self.preview
        if preview is None:
            return
        rows = preview.refused if self.only_refused else preview.rows
        self.table.show_entries(PreviewRows(rows))
        refused = len(preview.refused)
        is_due = preview.counts[Verdict.NEW] + preview.counts[Verdict.CHANGED] > 0
        self.note.say(preview.summary if preview.trouble is None else "")
        self.trouble.say("" if preview.trouble is None else str(preview.trouble))
        if preview.trouble is None and refused and not self.leaves_out:
            self.trouble.say("Nothing comes in while a row is refused, unless it is left out.")
        self._say_whole()
        is_fine = preview.trouble is None and is_due and (not refused or self.leaves_out)
        self.take_button.setEnabled(is_fine)
        for button in (self.skip_button, self.filter_button):
            button.setVisible(bool(refused))
        skip_text = "keep to all or nothing" if self.leaves_out else "leave out the refused"
        self.skip_button.say(skip_text)
        self.filter_button.say("show all rows" if self.only_refused else "show only the refused")

    def _say_whole(self) -> None:
        row, shown = self.table.currentIndex().row(), self.table.entries_model.entries
        one = shown.rows[row] if isinstance(shown, PreviewRows) and 0 <= row < len(shown) else None
        # What is wrong with the table as a whole may be longer than the line that says it.
        self.whole.say(self.trouble.text if one is None else say_row(one))

    def _choose(self, key: int | str, value: str) -> None:
        self._choices.choose(key, value)
        self.look()

    def turn_refused_out(self) -> None:
        """Leave out what is refused, or keep to all or nothing."""
        if self.skip_button.isVisible():
            self.leaves_out = not self.leaves_out
            self._show_rows()

    def turn_only_refused(self) -> None:
        """Show only what is refused, or everything again."""
        if self.filter_button.isVisible():
            self.only_refused = not self.only_refused
            self._show_rows()

    # Taking in ------------------------------------------------------------------------------

    def take(self) -> None:
        """Take the table in, all of it or nothing, beside the window; then close."""
        preview = self.preview
        if preview is None or not self.is_at_rest or not self.take_button.isEnabled():
            return
        session, progress, leaves_out = self._session, Progress(), self.leaves_out
        workshop = session.file.workshop
        self._progress, self._is_taking = progress, True
        self.take_button.setEnabled(False)
        self._tick.start()
        self._say_progress()

        def work() -> Imported | None:
            try:
                return workshop.tables.take(preview, leaves_out, progress)
            except Stopped:
                return None

        session.jobs.submit(work, self._imported, self._refused)

    def _imported(self, taken: Imported | None) -> None:
        # What is in the file by now is shown and can be undone, though the page may be gone.
        if taken is not None and self._session.file.is_open:
            name = self._path.name
            self._session.imports.record(taken, f"took in {name}", f"took {name} out again")
            self._session.messages.said.emit(taken.summary.rstrip("."))
        if self._is_gone:
            return
        if taken is None:
            self._stay("stopped, nothing was taken in", self.note)
            return
        self._stop()
        self._is_taking = False
        self.closed.emit()

    def _refused(self, error: UserError) -> None:
        if not self._is_gone:
            self._stay(str(error), self.trouble)

    def _stay(self, words: str, wording: Label) -> None:
        """Show the rows again, as nothing was taken in, and say why."""
        self._is_taking = False
        self._tick.stop()
        self._show_rows()
        wording.say(words)

    def leave(self) -> None:
        """Stop what is going on, or close where nothing is."""
        if self._is_taking:
            self._progress.is_stopped = True
            return
        self._stop()
        self.closed.emit()

    def _stop(self) -> None:
        self._progress.is_stopped = True
        self._is_gone = True
        self._tick.stop()

    def _close(self) -> None:
        self._stop()
        self._jobs.wait()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if not self._keys.act(event):
            super().keyPressEvent(event)
