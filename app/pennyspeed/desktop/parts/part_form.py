"""A part's form: every figure of its kind, where it comes from, and what the part costs."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.money.money_pages import MADE_KINDS
from pennyspeed.desktop.parts.part_rows import currency_of, rows_of, with_row
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form import MARGIN, FormBody
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.panel import Panel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.scrolling import ScrollArea
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.parts.parts import Part

HEAD = 48


class PartForm(Scaled, Panel):
    """The form, in place of plot and shelf while a part is written down or changed.

    Parameters
    ----------
    session : Session

    Signals
    -------
    closed()
        Saved, deleted, or left; what was typed and not saved is kept for the next time.
    recipe_wanted(Part)
        Left for what the part is made of.
    """

    closed = Signal()
    recipe_wanted = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._kind: Kind = BY_KEY["motor"]
        self._part: Part | None = None
        self._drafts: dict[tuple[str, int | None], dict[str, str]] = {}
        self._fresh: dict[str, str] = {}
        self.title = Label("heading", self)
        self.trouble = Label("label_strong", self)
        self.body = FormBody()
        self._area = ScrollArea(self.body, self)
        self.save_push = Button("save", self)
        self.close_push = Button("close", self)
        self.archive_push = Button("archive", self)
        self.delete_push = Button("delete", self)
        self.recipe_push = Button("how it is made", self)
        self._head = QHBoxLayout()
        self._head.addWidget(self.title, 1)
        self._head.addWidget(self.close_push)
        self._foot = QHBoxLayout()
        for one in (self.save_push, self.archive_push, self.delete_push, self.recipe_push):
            self._foot.addWidget(one)
        self._foot.addWidget(self.trouble, 1)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.addLayout(self._head)
        self._column.addWidget(self._area, 1)
        self._column.addLayout(self._foot)
        self.save_push.clicked.connect(self.save)
        self.close_push.clicked.connect(self.leave)
        self.archive_push.clicked.connect(self._archive)
        self.delete_push.clicked.connect(self._delete)
        self.recipe_push.clicked.connect(self._to_recipe)
        self.rescale()

    def rescale(self) -> None:
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._foot.setContentsMargins(px(MARGIN) - px(4), 0, px(MARGIN), 0)
        self._foot.setSpacing(px(16))
        self.title.setFixedHeight(px(HEAD))
        self.trouble.setFixedHeight(px(HEAD))

    # Opening --------------------------------------------------------------------------------

    def edit(self, part: Part, figure: str = "") -> None:
        """Show a part of the catalogue, with the keyboard on the figure of that key."""
        self._show(part.kind, part)
        row = next((row for row in self.body.rows if row.key == figure), None)
        if row is not None:
            row.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            if isinstance(row.editor, LineEdit):
                row.editor.selectAll()

    def write_new(self, kind_key: str) -> None:
        """Show a form for a new part."""
        self._show(BY_KEY[kind_key], None)

    def _show(self, kind: Kind, part: Part | None) -> None:
        self._kind, self._part = kind, part
        title = f"A new {kind.label}" if part is None else f"{kind.label}: {part.name}"
        self.title.say(title[0].upper() + title[1:])
        self.setAccessibleName(title)
        self.trouble.say("")
        measures = self._session.bench.measures
        self.body.take(rows_of(kind, part, self._currency, measures, self.body))
        self._fresh = self._typed()
        draft = self._drafts.get(self._key)
        if draft:
            for row in self.body.rows:
                row.put(draft.get(row.key, row.text))
            self.trouble.say("What you typed last time is back.")
        self.archive_push.setVisible(part is not None)
        self.archive_push.say("fetch back" if part is not None and part.archived else "archive")
        self.delete_push.setVisible(part is not None)
        self.recipe_push.setVisible(part is not None and kind.key in MADE_KINDS)
        self.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def _key(self) -> tuple[str, int | None]:
        return self._kind.key, None if self._part is None else self._part.id

    @property
    def _currency(self) -> str:
        return currency_of(self._part, self._session.bench.build)

    # Taking ---------------------------------------------------------------------------------

    def _typed(self) -> dict[str, str]:
        typed = {row.key: row.text for row in self.body.rows}
        sources = [row for row in self.body.rows if row.source is not None]
        return typed | {f"{row.key}/source": row.source.currentData() for row in sources}  # type: ignore[union-attr]

    def _part_typed(self) -> Part:
        """Return the part as typed; BadInput names the first figure that is none."""
        measures = self._session.bench.measures
        base = self._part or Part(self._kind.key, "?")
        fault: BadInput | None = None
        part = base
        for row in self.body.rows:
            row.complaint = ""
            try:
                part = with_row(part, row, self._currency, measures)
            except BadInput as error:
                row.complaint = str(error)
                fault = fault or error
        self.body.lay_out()
        if fault is not None:
            raise fault
        return part

    def save(self) -> None:
        """Store the part and close; bad figures are named beside them, and nothing is stored."""
        try:
            part = self._part_typed()
            self._session.catalogue.save_part(part)
        except BadInput as error:
            self.trouble.say("" if any(r.complaint for r in self.body.rows) else str(error))
            faulty = next((row for row in self.body.rows if row.complaint), None)
            if faulty is not None:
                faulty.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        except UserError as error:
            self.trouble.say(str(error))
            return
        self._drafts.pop(self._key, None)
        self.closed.emit()

    def leave(self) -> None:
        """Close; what was typed and not saved is kept as a draft."""
        typed = self._typed()
        if typed == self._fresh:
            self._drafts.pop(self._key, None)
        else:
            self._drafts[self._key] = typed
        self.closed.emit()

    def _to_recipe(self) -> None:
        part = self._part
        self.leave()
        self.recipe_wanted.emit(part)

    def _archive(self) -> None:
        if self._part is not None:
            self._do(lambda part: self._session.catalogue.archive_part(part, not part.archived))

    def _delete(self) -> None:
        self._do(self._session.catalogue.delete_part)

    def _do(self, act: object) -> None:
        assert self._part is not None
        try:
            act(self._part)  # type: ignore[operator]
        except UserError as error:
            self.trouble.say(str(error))
            return
        self._drafts.pop(self._key, None)
        self.closed.emit()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() == Qt.Key.Key_Escape:
            self.leave()
        elif control and event.key() in (Qt.Key.Key_S, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.save()
        else:
            super().keyPressEvent(event)
