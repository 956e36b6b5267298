"""A part's form: what is known of it and from where, what is worked out, and what it costs."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from functools import partial

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QMenu, QWidget

from pennyspeed.desktop.parts import FORM, MADE_KINDS
from pennyspeed.desktop.parts.estimating import Estimating
from pennyspeed.desktop.parts.part_body import PartBody
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.desktop.widgets.menu_style import dress
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.editing.entered_part import EnteredPart, can_be_worked_out
from pennyspeed.services.editing.part_fields import currency_of, form_fields
from pennyspeed.services.editing.part_summary import is_default, kinds_to_ask, summary, typed_keys
from pennyspeed.services.editing.pasted_listing import (
    Word,
    is_listing_text,
    offers_of,
    origins,
    texts_of,
)
from pennyspeed.services.listings import Reading, read_listing

Draft = tuple[Mapping[str, str], Mapping[str, str], str, frozenset[str]]


class PartForm(FormPage):
    """The form, in place of plot and shelf while a part is written down or changed.

    Signals
    -------
    recipe_wanted(Part)
        Left for what the part is made of.
    listing_saved(Part)
        A part that came from a listing is on the shelf now.
    """

    keys = FORM
    body: PartBody
    recipe_wanted = Signal(object)
    listing_saved = Signal(object)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._kind: Kind = BY_KEY["motor"]
        self._part: Part | None = None
        self._entered: EnteredPart | None = None
        self._taken: dict[str, str] = {}
        self._anew: frozenset[str] = frozenset()
        self._saved: Part | None = None
        self._estimating = Estimating(session, self)
        self.archive_button = Button("archive", self)
        self.delete_button = Button("delete", self)
        self.recipe_button = Button("how it is made", self)
        self.paste_button = Button("paste a listing", self)
        self.add_to_head(self.paste_button)
        self.add(self.area, 1)
        self.add_foot(self.save_button, self.archive_button, self.delete_button, self.recipe_button)
        self.archive_button.clicked.connect(self._archive)
        self.delete_button.clicked.connect(self._delete)
        self.recipe_button.clicked.connect(self._to_recipe)
        self.paste_button.clicked.connect(self.paste_copied)
        self.body.changed.connect(self._typed)
        self.body.pasted.connect(self.paste)
        self.body.anew_wanted.connect(self.work_out_again)
        self.body.pane.word_chosen.connect(self._ask_of_word)
        self._estimating.changed.connect(self._show_estimates)

    def make_body(self) -> PartBody:
        body = PartBody(self._is_listing_copied)
        body.tab_changed.connect(self._order_tab)
        return body

    # Opening --------------------------------------------------------------------------------

    def edit(self, part: Part, figure: str = "") -> None:
        """Show a part of the catalogue, with the keyboard on the figure of that key."""
        self._show(part.kind, part)
        for row in [row for row in self.body.rows if row.key == figure]:
            row.focus()

    def write_new(self, kind_key: str) -> None:
        """Show a form for a new part."""
        self._show(BY_KEY[kind_key], None)

    def read_copied(self, text: str) -> Reading:
        """Return what a text says of a part of any kind; UserError where it cannot be read."""
        return read_listing(text, "", self._currency)

    def write_listing(self, reading: Reading) -> None:
        """Show a form for a new part, with what a listing says of it."""
        if not reading.kind_key:
            self._ask_kind(reading)
            return
        self._show(BY_KEY[reading.kind_key], None, with_draft=False)
        self._take(reading)
        self.trouble.say(reading.note)

    def _show(self, kind: Kind, part: Part | None, with_draft: bool = True) -> None:
        self._kind, self._part = kind, part
        self._taken, self._anew, self._saved = {}, frozenset(), None
        self.body.kind_key = kind.key
        self.body.ask_kind(())
        self.body.show_listing(None)
        self.paste_button.say("paste a listing")
        self._estimating.begin(kind.key)
        new = f"new {kind.label}" if kind.label == kind.plural else f"a new {kind.label}"
        title = new if part is None else f"{kind.label}: {part.name}"
        self.show_fields(
            title, form_fields(kind, part, self._currency, self._session.bench.measures)
        )
        self._arrange()
        draft = self.found_draft() if with_draft else None
        if isinstance(draft, tuple):
            texts, sources, listing, self._anew = draft
            self.body.put(texts, sources)
            if listing:
                self._join(read_listing(listing, kind.key, self._currency))
        self._typed()
        self._fresh = self._fresh if draft is not None else self.draft()
        self.archive_button.setVisible(part is not None)
        self.archive_button.say("fetch back" if part is not None and part.archived else "archive")
        self.delete_button.setVisible(part is not None)
        self.recipe_button.setVisible(part is not None and kind.key in MADE_KINDS)
        self.save_button.setVisible(True)
        self.body.focus_first()
        self._scroll_up()

    def _scroll_up(self) -> None:
        """Show the page from its head on: rows were placed before it had its height."""
        self.area.verticalScrollBar().setValue(0)

    def _arrange(self) -> None:
        self.body.arrange(typed_keys(self._kind, self._part))
        self._order_tab()

    def _order_tab(self) -> None:
        stops = [one for row in self.body.rows for one in row.stops]
        first = [self.body.listing_field, self.body.pane]
        verbs = (self.body.again_button, *self._verbs)
        self.order_tab(*first, *stops, *verbs, self.close_button, self.paste_button)

    @property
    def draft_key(self) -> Hashable:
        return self._kind.key, None if self._part is None else self._part.id

    def draft(self) -> Draft | None:
        reading = self.body.reading
        if not self.body.rows:
            return None
        listing = "" if reading is None else reading.text
        return self.body.texts, self.body.sources, listing, self._anew

    @property
    def _currency(self) -> str:
        return currency_of(self._part, self._session.bench.build)

    # A listing ------------------------------------------------------------------------------

    def paste_copied(self) -> None:
        """Take what was copied as a listing."""
        self.paste(QGuiApplication.clipboard().text())

    def paste(self, text: str) -> None:
        """Fill in what a listing says; what was typed stays, and nothing is stored."""
        self.trouble.say("")
        try:
            reading = self.read_copied(text)
            if not self.body.rows or self._is_untouched:
                self.write_listing(reading)
                return
            if reading.kinds and self._kind.key not in reading.kinds:
                self.trouble.say(read_listing(text, self._kind.key, self._currency).note)
                return
            self._take(read_listing(text, self._kind.key, self._currency))
        except UserError as error:
            self.trouble.say(str(error))

    @property
    def _is_untouched(self) -> bool:
        """Whether it is a new part of which nothing is said yet."""
        return self._part is None and not any(
            self.body.row(key).text.strip() for key in ("name", *self._estimating.plain_keys)
        )

    def _is_listing_copied(self, watched: QWidget) -> bool:
        text = QGuiApplication.clipboard().text()
        is_for_it = watched is self.body.listing_field
        return is_for_it or is_listing_text(text, self._kind.key, self._currency)

    def _ask_kind(self, reading: Reading) -> None:
        """Have the person say which kind a listing is about."""
        self._part = None
        self.title.say("Which kind of part is it?")
        self.setAccessibleName("which kind of part")
        self.show_rows(())
        self.body.show_listing(reading)
        self.note.say("")
        self.trouble.say("")
        for one in self._verbs:
            one.setVisible(False)
        kinds = kinds_to_ask(reading)
        buttons = self.body.ask_kind(kinds)
        for button, (_, key) in zip(buttons, kinds, strict=True):
            again = partial(read_listing, reading.text, key, self._currency)
            button.clicked.connect(lambda _=False, again=again: self.write_listing(again()))
        self.order_tab(*buttons, self.body.pane)
        buttons[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _take(self, reading: Reading) -> None:
        """Fill in what is plain, where nothing is typed."""
        measures = self._session.bench.measures
        for key, text in texts_of(reading, self._kind, measures).items():
            row = self.body.row(key)
            now, is_new = row.text.strip(), self._part is None
            if now in ("", self._taken.get(key)) or (is_new and is_default(self._kind, key, now)):
                row.put(text)
                self._taken[key] = row.text.strip()
                if row.source is not None:
                    row.source.setCurrentIndex(row.source.findData("maker"))
        self._join(reading)
        self.body.row("name").focus()
        self._scroll_up()

    def _join(self, reading: Reading) -> None:
        self.body.show_listing(reading)
        self.paste_button.say("paste another listing")
        self._arrange()
        self._typed()

    def _ask_of_word(self, word: Word) -> None:
        """Have the person say which figure a word is, or go to the one that it is."""
        reading = self.body.reading
        if reading is None or not self.body.rows:
            return
        empty = [(row.label, row.key) for row in self.body.rows if not row.text.strip()]
        measures = self._session.bench.measures
        offers = offers_of(word, reading, self._kind, empty, measures)
        if not offers:
            self.body.row(word.keys[0]).focus()
            return
        menu = QMenu(f"{word.text} is", self)
        dress(menu)
        for label, key, text in offers:
            menu.addAction(label, partial(self._put, key, text))
        pane = self.body.pane
        at = pane.place_of(word.text) or (0, 0)
        menu.popup(pane.mapToGlobal(QPoint(*at)))
        self.menu = menu

    def _put(self, key: str, text: str) -> None:
        row = self.body.row(key)
        row.begin("")
        row.put(text)
        if row.source is not None:
            row.source.setCurrentIndex(row.source.findData("maker"))
        if self.body.reading is not None and self.body.reading.state_of(key) is not None:
            self._taken[key] = row.text.strip()
        self._typed()
        row.focus()

    # What is worked out ---------------------------------------------------------------------

    def work_out_again(self, key: str = "") -> None:
        """Work a figure out again, or all that nobody gives."""
        keys = [key] if key else can_be_worked_out(self._kind)
        self._anew |= frozenset(one for one in keys if not self.body.row(one).text.strip())
        self._typed()

    def _typed(self) -> None:
        """Read what is typed, and have what follows from it shown."""
        if not self.body.rows:
            return
        base, measures = self._part or Part(self._kind.key, "?"), self._session.bench.measures
        texts, sources = self.body.texts, self.body.sources
        self._entered = EnteredPart.read(base, texts, sources, self._anew, self._currency, measures)
        if self.body.reading is not None:
            taken = [key for key, text in self._taken.items() if texts[key].strip() == text]
            self.body.show_origins(origins(self.body.reading, self._kind, texts, taken, measures))
        self._estimating.ask(self._entered)
        self._show_estimates()

    def _show_estimates(self) -> None:
        if self._entered is None or not self.body.rows:
            return
        rows = self._entered.rows(self._estimating.estimator, self._session.bench.measures)
        self.body.show_estimates(rows, self._estimating.widens)
        self.note.say(*summary(self._kind, self.body.texts, self._taken, rows))

    # Taking ---------------------------------------------------------------------------------

    def save(self) -> None:
        if self.body.rows:
            super().save()

    def read(self) -> Mapping[str, BadInput]:
        self._typed()
        assert self._entered is not None
        return self._entered.faults

    def store(self) -> bool:
        assert self._entered is not None
        catalogue = self._session.file.workshop.catalogue
        estimator = self._estimating.estimator or catalogue.estimator(self._kind.key)
        self._saved = self._session.catalogue.save_part(self._entered.filled(estimator))
        return True

    def close_done(self) -> None:
        saved, is_new = self._saved, self.body.reading is not None and self._part is None
        super().close_done()
        if saved is not None and is_new:
            self.listing_saved.emit(saved)

    def leave(self) -> None:
        if self.body.rows:
            super().leave()
        else:
            self.closed.emit()

    def _to_recipe(self) -> None:
        part = self._part
        self.leave()
        self.recipe_wanted.emit(part)

    def _archive(self) -> None:
        self._do(lambda part: self._session.catalogue.archive_part(part, not part.archived))

    def _delete(self) -> None:
        self._do(self._session.catalogue.delete_part)

    def _do(self, act: Callable[[Part], None]) -> None:
        assert self._part is not None
        try:
            act(self._part)
        except UserError as error:
            self.trouble.say(str(error))
        else:
            self.close_done()
