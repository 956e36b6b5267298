"""Where the rows of a part's form stand, and what is written between them.

Beside a pasted listing the fields that it fills; then what is given, what was worked out, and what
the person typed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts import estimate_row
from pennyspeed.desktop.parts.listing_pane import PITCH, Join, ListingPane
from pennyspeed.desktop.parts.part_row import PartRow
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form import MARGIN, SENTENCE, WIDE, FormBody, FormRow
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import place
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.pasted_listing import Origin
from pennyspeed.services.listings import Reading

ROW, HEAD, COLUMNS = 36, 30, 24
LABEL, SOURCE, GAP = 138, 118, 8
"""Of a field in two columns."""
FIELD, FIELD_VALUE, FROM = 380, 512, 660
"""Where a field beside the listing begins, its figure, and where it comes from."""
NARROW = 720
"""Pages below that width have fields in one column, and the listing above them."""
EMPTY = "Paste a listing (Ctrl V), or type what you know; the rest is worked out."
GREY = "Grey is not understood: click a word to say which figure it is."


@dataclass(frozen=True, slots=True)
class Said:
    """Words of the page itself."""

    x: float
    top: int
    height: int
    text: str
    role: str = "label"
    colour: str = "ink2"
    align: float = 0.0


class PartSections(FormBody):
    """The sections of a part's form.

    Attributes
    ----------
    reading : Reading or None
        Of the listing beside the fields.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[PartRow] = []  # type: ignore[assignment]
        self.reading: Reading | None = None
        self._listed: list[str] = []
        self._typed: list[str] = []
        self._origins: Mapping[str, Origin] = {}
        self._said: list[Said] = []
        self._rules: list[int] = []
        self.pane = ListingPane(self)
        self.listing_field = LineEdit(EMPTY, self)
        self.again_button = Button("work out again", self)
        self.kind_buttons: list[Button] = []

    def _is_open(self, row: PartRow) -> bool:
        """Tell whether a row stands among what is worked out."""
        return row.estimate is not None and row.key not in self._listed and not row.was_given

    # Layout ---------------------------------------------------------------------------------

    @property
    def _is_narrow(self) -> bool:
        return self.width() < px(NARROW)

    @property
    def _end(self) -> int:
        """Where lines end, whether a bar to scroll by takes its room or not."""
        viewport = self.parentWidget()
        area = viewport.parentWidget() if viewport is not None else None
        whole = self.width() if area is None else area.width()
        return min(max(whole, self.width()) - px(MARGIN), self.width() - px(8))

    def rescale(self) -> None:
        """Place everything."""
        self._said, self._rules, self._places = [], [], [(0, 0)] * len(self.rows)
        for row in self.rows:
            row.show_pieces()
        has_listing, has_rows = self.reading is not None, bool(self.rows)
        self.listing_field.setVisible(not has_listing and has_rows)
        top = self._place_listing() if has_listing else self._place_field(px(4))
        if not has_rows:
            top = self._place_kinds(top)
        listed = [row for row in self.rows if row.key in self._listed]
        given = [
            row
            for row in self.rows
            if row not in listed and not self._is_open(row) and row.key not in self._typed
        ]
        worked = [row for row in self.rows if self._is_open(row)]
        typed = [row for row in self.rows if row.key in self._typed]
        if given and not has_listing:
            top = self._place_fields(given, top)
        elif given:
            typed = [row for row in self.rows if row in given or row in typed]
        self.again_button.setVisible(any(row.is_worked_out for row in worked))
        if worked:
            top = self._place_worked(worked, top + px(8))
        if typed:
            title = (
                ("Typed by you", "measured or read off, kept as typed")
                if has_listing or given
                else ("", "")
            )
            top = self._heading(top + px(4), *title)
            top = self._place_fields(typed, top)
        for row in worked:
            assert row.estimate is not None
            row.estimate.end = self._end
        self.setMinimumHeight(top + px(8))
        self._show_joins()
        self.update()

    def _heading(self, top: int, title: str, words: str) -> int:
        self._said.append(Said(px(MARGIN), top, px(HEAD), title, "heading", "ink"))
        wide = theme.words(title, "heading").width
        self._said.append(Said(px(MARGIN) + wide + px(20), top, px(HEAD), words))
        return top + px(HEAD)

    def _place_field(self, top: int) -> int:
        if not self.rows:
            return top
        width = self._end - px(MARGIN)
        place(self.listing_field, QRect(px(MARGIN), top, width, px(28)))
        top += px(36)
        if any(not self._is_open(row) and row.key not in self._typed for row in self.rows):
            self._said.append(Said(px(MARGIN), top, px(COLUMNS), "what the maker gives"))
            top += px(COLUMNS)
        return top

    def _place_listing(self) -> int:
        head, narrow = px(26), self._is_narrow
        pane, rows = self.pane, [row for row in self.rows if row.key in self._listed]
        width = self._end - px(MARGIN) if narrow else px(FIELD - MARGIN)
        self._said.append(Said(px(MARGIN), 0, head, "pasted listing"))
        left, value, origin = (px(one) for one in (FIELD, FIELD_VALUE, FROM))
        top = head
        if narrow:
            left, value, origin = px(MARGIN), px(MARGIN + 150), px(MARGIN + 270)
            top = head + pane.needed_height + px(54)
        if rows:
            self._said.append(Said(left, top - head, head, "what the maker gives"))
            self._said.append(Said(origin, top - head, head, "from"))
        wide = (origin - value) - px(16)
        for row in rows:
            self._places[self.rows.index(row)] = (left, top)
            place(row.editor, QRect(value, top, wide, px(PITCH) - px(2)))
            top += px(PITCH) + px(SENTENCE) * len(self._lines(row, self._end - left))
        bottom = max(top, 0 if narrow else head + pane.needed_height)
        high = pane.needed_height if narrow else bottom - head
        place(pane, QRect(px(MARGIN), head, width, high + px(4)))
        grey = head + pane.needed_height if narrow else bottom
        if self.reading is not None and not self.rows:
            note = self.reading.note
            self._said.append(Said(px(MARGIN), grey + px(4), px(26), note, "body", "ink"))
            bottom = max(bottom, grey) + px(30)
        elif self.reading is not None and self.reading.not_understood:
            self._said.append(Said(px(MARGIN), grey + px(4), px(22), GREY))
            bottom = max(bottom, grey if narrow else grey + px(26))
        self._rules.append(bottom + px(6))
        return bottom + px(12)

    def _place_kinds(self, top: int) -> int:
        x = px(MARGIN) - px(4)
        for one in self.kind_buttons:
            size = one.sizeHint()
            if x + size.width() > self._end:
                x, top = px(MARGIN) - px(4), top + px(32)
            place(one, QRect(x, top, size.width(), size.height()))
            x += size.width() + px(16)
        return top + px(40)

    def _place_fields(self, rows: Sequence[PartRow], top: int) -> int:
        """Place fields in two columns, or one; return where they end."""
        columns = 1 if self._is_narrow else 2
        block = (self._end - columns * px(MARGIN)) // columns
        per_column, bottom = -(-len(rows) // columns), top
        for i, row in enumerate(rows):
            if i % per_column == 0:
                y = top
            x = px(MARGIN) + (i // per_column) * (block + px(MARGIN))
            self._places[self.rows.index(row)] = (x, y)
            self._place_row(row, x, y, block)
            y += px(ROW) + px(SENTENCE) * len(self._lines(row, block))
            bottom = max(bottom, y)
        return bottom

    def _place_row(self, row: PartRow, x: int, y: int, block: int) -> None:
        at, source = x + px(LABEL + GAP), px(SOURCE)
        value = block - px(LABEL + 2 * GAP) - source
        if row.source is None or row.key in WIDE:
            value = block - px(LABEL + GAP)
        place(row.editor, QRect(at, y + px(4), value, px(28)))
        if row.source is not None:
            place(row.source, QRect(at + value + px(GAP), y + px(4), source, px(28)))

    def _place_worked(self, rows: Sequence[PartRow], top: int) -> int:
        """Place what was worked out as a table; what is typed there stands in its line."""
        button = self.again_button.sizeHint()
        end = self._end
        place(
            self.again_button,
            QRect(end - button.width() + px(4), top, button.width(), button.height()),
        )
        top = self._heading(top, "Worked out", "what no listing says; used until you know better")
        self._say_columns(top, end)
        top += px(COLUMNS)
        self._rules.append(-top)
        for row in rows:
            assert row.estimate is not None
            high = px(estimate_row.ROW)
            self._places[self.rows.index(row)] = (px(MARGIN), top)
            place(row.estimate, QRect(0, top + 1, self.width(), high))
            start = px(estimate_row.LABEL + LABEL)
            place(row.editor, QRect(start, top + px(3), px(110), px(28)))
            if row.source is not None:
                place(row.source, QRect(start + px(118), top + px(3), px(SOURCE + 8), px(28)))
            top += high + px(SENTENCE) * len(self._lines(row, self.width() - 2 * px(MARGIN)))
        return top

    def _say_columns(self, top: int, end: int) -> None:
        high, narrow = px(COLUMNS), self._is_narrow
        columns = estimate_row.places(narrow)
        heads = [
            (px(estimate_row.LABEL), "figure", 0.0),
            (px(estimate_row.ABOUT), "about", RIGHT),
            (px(columns.likely), "likely, 8 in 10", 0.0),
            (end, "widens speed by", RIGHT),
        ]
        if not narrow:
            rail, wide = px(columns.rail), px(estimate_row.RAIL_WIDTH)
            heads += [(rail, "½", 0.0), (rail + wide, "2×", RIGHT)]
            heads += [(px(columns.origin), "worked out from", 0.0)]
        self._said += [Said(x, top, high, text, "label", "ink3", at) for x, text, at in heads]

    def _lines(self, row: FormRow, room: int) -> list[str]:
        return wrapped(row.complaint, "label_strong", room) if row.complaint else []

    def _show_joins(self) -> None:
        if self.reading is None:
            return
        joins = {}
        chosen = ""
        for row, (_, top) in zip(self.rows, self._places, strict=True):
            if row.key in self._listed:
                origin = self._origins.get(row.key)
                middle = top + px(PITCH) // 2 - self.pane.y()
                joins[row.key] = Join(middle, origin is not None and origin.is_open, row.label)
                if row.editor.hasFocus():
                    chosen = row.key
        self.pane.show_joins(joins, chosen, self._is_narrow)

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for one in self._said:
                line, colour = baseline(one.top, one.height, one.role), getattr(colours, one.colour)
                room = self._end - one.x if one.align == 0.0 else None
                painter.text(one.x, line, one.text, one.role, colour, one.align, room)
            for top in self._rules:
                if top < 0:
                    painter.fill(px(MARGIN), -top, self._end - px(MARGIN), 1, colours.line)
                else:
                    painter.fill(0, top, self.width(), 1, colours.rule)
            for row, (x, top) in zip(self.rows, self._places, strict=True):
                if row.key in self._listed:
                    self._paint_listed(painter, row, x, top)
                elif self._is_open(row):
                    self._paint_open(painter, row, top)
                else:
                    self._paint_field(painter, row, x, top)

    def _paint_listed(self, painter: Painter, row: PartRow, x: int, top: int) -> None:
        colours, narrow = painter.theme, self._is_narrow
        line = baseline(top, px(PITCH), "body")
        value = px(MARGIN + 150) if narrow else px(FIELD_VALUE)
        painter.text(x, line, row.label, "body", colours.ink, room=value - x - px(4))
        origin = self._origins.get(row.key)
        if origin is not None:
            start = px(MARGIN + 270) if narrow else px(FROM)
            end = self._end
            colour = colours.watch if origin.is_open else colours.ink2
            role = "label_strong" if origin.is_open else "label"
            painter.text(start, line, origin.words, role, colour, room=end - start)
        self._complain(painter, row, x, top + px(PITCH), self._end - x)

    def _paint_open(self, painter: Painter, row: PartRow, top: int) -> None:
        high = px(estimate_row.ROW)
        if not row.is_worked_out:
            colours, line = painter.theme, baseline(top, high, "body")
            room = px(LABEL) - px(GAP)
            painter.text(px(MARGIN), line, row.label, "body", colours.ink, room=room)
            assert row.estimate is not None
            said = row.estimate.row
            if not row.text.strip() and not said.number:
                start = px(estimate_row.places(self._is_narrow).origin or estimate_row.ORIGIN)
                room = self._end - start
                painter.text(start, line, said.origin, "label", colours.ink2, room=room)
        self._complain(painter, row, px(MARGIN), top + high, self.width() - 2 * px(MARGIN))

    def _paint_field(self, painter: Painter, row: PartRow, x: int, top: int) -> None:
        colours = painter.theme
        lines = wrapped(row.label, "label", px(LABEL))
        if len(lines) == 1:
            line = baseline(top, px(ROW), "body")
            painter.text(x, line, row.label, "body", colours.ink2, room=px(LABEL))
        else:
            shown = [lines[0], " ".join(lines[1:])]
            painter.lines(x, top + px(2), px(16), shown, "label", colours.ink2, px(LABEL))
        columns = 1 if self._is_narrow else 2
        block = (self._end - columns * px(MARGIN)) // columns
        self._complain(painter, row, x, top + px(ROW), block)

    def _complain(self, painter: Painter, row: FormRow, x: int, top: int, room: int) -> None:
        lines = self._lines(row, room)
        painter.lines(x, top, px(SENTENCE), lines, "label_strong", painter.theme.stop)
