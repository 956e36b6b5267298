"""A part's form: every figure of its kind, where it comes from, and what the part costs."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.form import MARGIN, Choice, FormBody, FormRow
from pennyspeed.desktop.panels.verdict import PROVENANCE_WORDS
from pennyspeed.desktop.pieces import LineField, Push, SlimBar, Wording
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.theme import px
from pennyspeed.desktop.typed import read_figure, ungrouped
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.fields import Draw, Field, Shape, Value, parsed_number
from pennyspeed.domain.glossary import field_help
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money import Money, checked_currency
from pennyspeed.domain.parts import Part, Price, checked_name
from pennyspeed.domain.provenance import Provenance

HEAD = 48
PRICE_PLACE = "price"


def shown_value(field: Field, value: Value | None, measures: Measures) -> str:
    """Return a figure as the form shows it, with its unit, so that it reads back the same."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    target = measures.unit_for(field.unit)
    sides = value if isinstance(value, tuple) else (value,)
    # Ten digits carry a converted figure there and back within what any caliper shows.
    texts = [f"{measures.shown(side, field.unit):.10g}" for side in sides]
    texts = [text.replace(".", measures.decimal) if "e" not in text else text for text in texts]
    return " x ".join(texts) + (f" {target.symbol}" if target.symbol else "")


def read_price(
    text: str, old: Price | None, currency: str, measures: Measures, today: date
) -> Price | None:
    """Return the price that typed text names: the old one where the amount is the same.

    Raises
    ------
    BadInput
    """
    words = text.replace("\u00a0", " ").split()
    if not words:
        return None
    if len(words) > 1 and words[-1].isalpha():
        currency = checked_currency(words[-1].upper(), PRICE_PLACE)
        words = words[:-1]
    amount = parsed_number(ungrouped(" ".join(words), measures))
    if amount is None or not 0 <= amount < 1e12:
        raise BadInput(PRICE_PLACE, text, f"an amount such as 34.90 {currency}")
    money = Money.of(Decimal(repr(amount)), currency)
    if old is not None and old.amount == money:
        return old
    return Price(money, today)


class PartForm(QWidget):
    """The form, in place of plot and shelf while a part is written down or changed.

    Parameters
    ----------
    session : Session

    Signals
    -------
    closed()
        Saved, deleted, or left; what was typed and not saved is kept for the next time.
    """

    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._kind: Kind = BY_KEY["motor"]
        self._part: Part | None = None
        self._drafts: dict[tuple[str, int | None], dict[str, str]] = {}
        self._fresh: dict[str, str] = {}
        self.title = Wording("heading", self)
        self.trouble = Wording("label_strong", self)
        self.body = FormBody()
        self._area = QScrollArea(self)
        self._area.setFrameShape(QFrame.Shape.NoFrame)
        self._area.setVerticalScrollBar(SlimBar("ground", self._area))
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setWidgetResizable(True)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._area.setWidget(self.body)
        self.save_push = Push("save", self)
        self.close_push = Push("close", self)
        self.archive_push = Push("archive", self)
        self.delete_push = Push("delete", self)
        self._head = QHBoxLayout()
        self._head.addWidget(self.title, 1)
        self._head.addWidget(self.close_push)
        self._foot = QHBoxLayout()
        for one in (self.save_push, self.archive_push, self.delete_push):
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
        self.restyle()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._foot.setContentsMargins(px(MARGIN) - px(4), 0, px(MARGIN), 0)
        self._foot.setSpacing(px(16))
        self.title.setFixedHeight(px(HEAD))
        self.trouble.setFixedHeight(px(HEAD))
        pushes = (self.save_push, self.close_push, self.archive_push, self.delete_push)
        for one in (self.title, self.trouble, *pushes):
            one.restyle()
        self.body.restyle()

    # Opening --------------------------------------------------------------------------------

    def edit(self, part: Part, figure: str = "") -> None:
        """Show a part of the catalogue, with the keyboard on the figure of that key."""
        self._show(part.kind, part)
        row = next((row for row in self.body.rows if row.key == figure), None)
        if row is not None:
            row.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            if isinstance(row.editor, LineField):
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
        self.body.take(self._rows(kind, part))
        self._fresh = self._typed()
        draft = self._drafts.get(self._key)
        if draft:
            for row in self.body.rows:
                row.put(draft.get(row.key, row.text))
            self.trouble.say("What you typed last time is back.")
        self.archive_push.setVisible(part is not None)
        self.archive_push.say("fetch back" if part is not None and part.archived else "archive")
        self.delete_push.setVisible(part is not None)
        self.body.rows[0].editor.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def _key(self) -> tuple[str, int | None]:
        return self._kind.key, None if self._part is None else self._part.id

    def _rows(self, kind: Kind, part: Part | None) -> list[FormRow]:
        measures = self._session.measures
        rows = [self._line("name", "name", "What it is called.", part.name if part else "")]
        for field in kind.fields:
            value = None if part is None else part.figures.get(field.key)
            rows.append(self._row_for(field, value, part, measures))
        price = part.price if part is not None else None
        currency = self._currency
        amount = measures.money(price.amount) if price is not None else ""
        help = f"What it costs now, in {currency} unless you say; older prices are kept."
        rows.append(self._line("price", "price", help, amount))
        help = "Who asks that price."
        rows.append(self._line("supplier", "supplier", help, price.supplier if price else ""))
        link = price.link if price else ""
        rows.append(self._line("link", "link", "Where it is offered.", link))
        note = part.note if part else ""
        rows.append(self._line("note", "note", "Whatever you want to remember.", note))
        return rows

    @property
    def _currency(self) -> str:
        build = self._session.build
        if self._part is not None and self._part.price is not None:
            return self._part.price.amount.currency
        return build.currency if build is not None else "EUR"

    def _line(self, key: str, label: str, help: str, text: str, hint: str = "") -> FormRow:
        editor = LineField(hint, self.body)
        editor.setText(text)
        editor.setCursorPosition(0)
        return FormRow(key, label, help, editor)

    def _row_for(
        self, field: Field, value: Value | None, part: Part | None, measures: Measures
    ) -> FormRow:
        if field.shape is Shape.CHOICE:
            words = [(word, word) for word in field.choices]
            if not field.required:
                words.insert(0, ("not known", ""))
            choice = Choice(words, self.body)
            choice.setCurrentIndex(max(choice.findData(value), 0))
            editor: LineField | Choice = choice
        else:
            line = LineField(self._hint(field, measures), self.body)
            line.setText(shown_value(field, value, measures))
            line.setCursorPosition(0)
            editor = line
        source = None
        if field.draw is not Draw.EXACT:
            sources = [(PROVENANCE_WORDS[one.value], one.value) for one in Provenance]
            source = Choice(sources, self.body)
            known = part.provenance_of(field.key) if part and value is not None else field.sure
            source.setCurrentIndex(source.findData(known.value))
        return FormRow(field.key, field.label, field_help(self._kind.key, field), editor, source)

    @staticmethod
    def _hint(field: Field, measures: Measures) -> str:
        unit = measures.unit_for(field.unit).symbol
        if field.shape is Shape.SIZE:
            return f"length x width x height {unit}"
        if field.required:
            return f"needed, {unit}" if unit else "needed"
        if field.default is not None:
            return f"{measures.figure(field, field.default)} unless given"
        return f"not known, {unit}" if unit else "not known"

    # Taking ---------------------------------------------------------------------------------

    def _typed(self) -> dict[str, str]:
        typed = {row.key: row.text for row in self.body.rows}
        sources = [row for row in self.body.rows if row.source is not None]
        return typed | {f"{row.key}/source": row.source.currentData() for row in sources}  # type: ignore[union-attr]

    def _part_typed(self) -> Part:
        """Return the part as typed; BadInput names the first figure that is none."""
        measures = self._session.measures
        base = self._part or Part(self._kind.key, "?")
        fault: BadInput | None = None
        part = base
        for row in self.body.rows:
            row.complaint = ""
            try:
                part = self._with_row(part, row, measures)
            except BadInput as error:
                row.complaint = str(error)
                fault = fault or error
        self.body.lay_out()
        if fault is not None:
            raise fault
        return part

    def _with_row(self, part: Part, row: FormRow, measures: Measures) -> Part:
        match row.key:
            case "name":
                return replace(part, name=checked_name(row.text, "name"))
            case "note":
                return replace(part, note=row.text.strip())
            case "price":
                price = read_price(row.text, part.price, self._currency, measures, date.today())
                return replace(part, price=price)
            case "supplier" | "link":
                price = part.price
                if price is None:
                    return part
                is_link = row.key == "link"
                supplier = price.supplier if is_link else row.text.strip()
                link = row.text.strip() if is_link else price.link
                return replace(part, price=replace(price, supplier=supplier, link=link))
        field = self._kind.field(row.key)
        value: Value | None
        before = part.figures.get(row.key)
        if row.text == shown_value(field, before, measures) and before is not None:
            value = before  # untouched: no rounding by the way through another unit
        elif field.shape in (Shape.TEXT, Shape.CHOICE):
            value = field.read(row.text, field.label)
        else:
            value = read_figure(field, row.text, measures)
        source = None
        if row.source is not None and value is not None:
            chosen = Provenance(row.source.currentData())
            said = part.provenance.get(row.key)
            source = chosen if said is not None or chosen is not field.sure else None
        return part.with_figure(row.key, value, source)

    def save(self) -> None:
        """Store the part and close; bad figures are named beside them, and nothing is stored."""
        try:
            part = self._part_typed()
            self._session.save_part(part)
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

    def _archive(self) -> None:
        if self._part is not None:
            self._do(lambda part: self._session.archive_part(part, not part.archived))

    def _delete(self) -> None:
        self._do(self._session.delete_part)

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

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(event.rect(), theme.current().ground)
        painter.end()
