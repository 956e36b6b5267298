"""Form page: rows to type in, verbs below them, and what is said about bad input."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, MutableMapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form import FormBody
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.desktop.widgets.scrolling import ScrollArea
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.services.editing.form_fields import FormField

CONTROL = Qt.KeyboardModifier.ControlModifier
SAVES = (Qt.Key.Key_S, Qt.Key.Key_Return, Qt.Key.Key_Enter)


class FormPage(Page):
    """A page that is a form: Ctrl+S saves, Escape closes; bad input is named at its row.

    Parameters
    ----------
    drafts : mutable mapping, optional
        What was typed and not saved, by what it is about; kept over closing.
    """

    def __init__(
        self,
        title: str = "",
        drafts: MutableMapping[Hashable, object] | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(title, parent)
        # A click beside the rows leaves the keyboard where it is.
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._verbs: tuple[Button, ...] = ()
        self.body = self.make_body()
        self.area = ScrollArea(self.body, self)
        self.save_button = Button("save", self)
        self.save_button.clicked.connect(self.save)
        self._drafts = {} if drafts is None else drafts
        self._fresh: object = None

    def make_body(self) -> FormBody:
        """Return what the rows stand on."""
        return FormBody()

    # For a form to say ----------------------------------------------------------------------

    def read(self) -> Mapping[str, BadInput]:
        """Take what is typed; return what is no good, by the rows' keys."""
        raise NotImplementedError

    def store(self) -> bool:
        """Store what was read; tell whether that is done, or UserError where it is refused."""
        raise NotImplementedError

    @property
    def draft_key(self) -> Hashable:
        """What the form is about."""
        return None

    def draft(self) -> object:
        """Return what is kept for the next time where it is not saved; None keeps nothing."""
        return None

    def add_foot(self, *verbs: Button) -> None:
        super().add_foot(*verbs)
        self._verbs = verbs

    # Showing and storing --------------------------------------------------------------------

    def show_fields(self, title: str, fields: Sequence[FormField]) -> None:
        """Show other rows, as they are to be typed anew."""
        self.title.say(title[:1].upper() + title[1:])
        self.setAccessibleName(title)
        self.trouble.say("")
        self.show_rows(fields)
        self._fresh = self.draft()

    def show_rows(self, fields: Sequence[FormField], *before: QWidget) -> None:
        """Show other rows; what comes `before` them is the Tab key's first."""
        self.body.show_fields(fields)
        stops = [one for row in self.body.rows for one in row.stops]
        self.order_tab(*before, *stops, *self._verbs)

    def found_draft(self) -> object:
        """Return what was typed last time, and say so; None where there is none."""
        found = self._drafts.get(self.draft_key)
        if found is not None:
            self.trouble.say("What you typed last time is back.")
        return found

    def fault_of(self, error: BadInput) -> Mapping[str, BadInput]:
        """Return an error as the fault of the row that it names by its label, or raise it."""
        for row in self.body.rows:
            if row.label == error.place:
                return {row.key: error}
        raise error

    def save(self) -> None:
        """Store what is typed and close; what is no good is named, and nothing is stored."""
        self.trouble.say("")
        self.body.complain({})
        try:
            faults = self.read()
            self.body.complain(faults)
            faulty = next((row for row in self.body.rows if row.key in faults), None)
            if faulty is not None:
                faulty.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            elif self.store():
                self.close_done()
        except UserError as error:
            self.trouble.say(str(error))

    def close_done(self) -> None:
        """Close; what was typed is stored, or of no use any more."""
        self._drafts.pop(self.draft_key, None)
        self.closed.emit()

    def leave(self) -> None:
        """Close; what was typed and not saved is kept as a draft."""
        draft = self.draft()
        if draft == self._fresh:
            self._drafts.pop(self.draft_key, None)
        else:
            self._drafts[self.draft_key] = draft
        self.closed.emit()

    # Hands ----------------------------------------------------------------------------------

    def is_own(self, event: QKeyEvent) -> bool:
        saves = event.key() == Qt.Key.Key_S and event.modifiers() == CONTROL
        return saves or super().is_own(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.modifiers() & CONTROL and event.key() in SAVES:
            self.save()
        else:
            super().keyPressEvent(event)
