"""What could still be bought for what is left: slot by slot the part that brings most speed."""

from __future__ import annotations

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping import LEFT_TO_BUY
from pennyspeed.desktop.shopping.background_page import BackgroundPage
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.kinds import EXTRAS, KINDS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.next_change import Change
from pennyspeed.services.shopping.affordable_rows import EMPTY, affordable_rows, cap_note, heads
from pennyspeed.services.table_rows import ColumnHead


class AffordablePage(BackgroundPage):
    """Each slot's best part within what is left of the cap; Enter puts it in."""

    keys = LEFT_TO_BUY

    def __init__(self, session: Session) -> None:
        super().__init__("What could I still buy", session)
        self.changes: tuple[Change, ...] = ()
        self.table = EditableTable("what could still be bought", self._heads())
        self.put_button = Button("put it in", self)
        self.add_table(self.table, 1)
        self.add_foot(self.put_button)
        self.setFocusProxy(self.table)
        self.order_tab(self.table, self.put_button)
        self.put_button.clicked.connect(lambda: self._put_in(self.table.currentIndex().row()))
        self.table.acted.connect(self._put_in)
        session.bench.build_changed.connect(self.refresh)
        session.catalogue.parts_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self._show)
        self.refresh()

    def refresh(self) -> None:
        """Work it out anew, beside the window."""
        session = self._session
        build = session.bench.build
        if build is None or not session.file.is_open:
            return
        workshop, at_hand = session.file.workshop, session.catalogue.loaded_parts()
        version = session.catalogue.version

        def work() -> tuple[dict[str, list[Part]], tuple[Change, ...]]:
            from pennyspeed.services.shelf.within import within

            read = {
                kind.key: workshop.catalogue.parts(kind.key)
                for kind in KINDS
                if kind.key not in at_hand and kind.key != EXTRAS.key
            }
            return read, within(build, {**at_hand, **read})

        def then(found: tuple[dict[str, list[Part]], tuple[Change, ...]]) -> None:
            read, changes = found
            session.catalogue.add_loaded(version, read)
            if build == session.bench.build:
                self.changes = changes
                self.trouble.say("" if changes else EMPTY)
                self._show()

        self.work_out("trying every part …", work, then)

    def _heads(self) -> tuple[ColumnHead, ...]:
        return heads(self._session.bench.build, self._session.bench.measures)

    def _show(self) -> None:
        build, measures = self._session.bench.build, self._session.bench.measures
        if build is not None:
            self.table.show_entries(affordable_rows(self.changes, measures), self._heads())
            self.put_button.setEnabled(bool(self.changes))
            self.note.say(cap_note(build, measures))

    def _put_in(self, row: int) -> None:
        if self.is_at_rest and 0 <= row < len(self.changes):
            part: Part = self.changes[row].parts[0]
            self._session.builds.put_in(part)
