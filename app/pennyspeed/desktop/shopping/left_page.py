"""What could still be bought for what is left: slot by slot the part that brings most speed."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY, EXTRAS, KINDS
from pennyspeed.domain.measures import say_chance
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.next_change import Change

EMPTY = "Nothing in the catalogue makes the car quicker for what is left."


class LeftPage(Page):
    """Each slot's best part within what is left of the cap; Enter puts it in.

    Parameters
    ----------
    session : Session
    """

    place = "left"

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("What could I still buy", parent)
        self._session = session
        self.changes: tuple[Change, ...] = ()
        self.table = EditableTable("what could still be bought", self._heads(), "")
        self.put_push = Button("put it in", self)
        self.add(self.table, 1)
        self.add_foot(self.put_push)
        self.setFocusProxy(self.table)
        self.order_tab(self.table, self.put_push)
        self._jobs = JobQueue(self, newest_only=True)
        self.put_push.clicked.connect(lambda: self._put_in(self.table.currentIndex().row()))
        self.table.acted.connect(self._put_in)
        self.table.left_behind.connect(self.closed)
        session.bench.build_changed.connect(self.refresh)
        session.catalogue.parts_changed.connect(self._parts_changed)
        session.bench.measures_changed.connect(self._show)
        session.file.closed.connect(self._jobs.wait)
        self.refresh()

    def _heads(self) -> tuple[ColumnHead, ...]:
        speed = self._session.bench.measures.speed_unit.symbol
        build = self._session.bench.build
        currency = "" if build is None else build.currency
        return (
            ColumnHead("slot", "Where it goes in."),
            ColumnHead("part", "The part that brings most there.", grows=True),
            ColumnHead(f"more {speed}", "Against the car as it is, in this road.", True),
            ColumnHead(speed, "In this road, with it.", True),
            ColumnHead(
                f"more {currency}",
                "Against the build as it is; (in brackets) what does not count.",
                True,
            ),
            ColumnHead("then left", "Of the cap, with it.", True),
            ColumnHead("chance", "Of the target, with it.", True),
        )

    @property
    def is_at_rest(self) -> bool:
        """Whether what stands there is worked out."""
        return not self._jobs.is_busy

    def _parts_changed(self, _: str) -> None:
        # A method, which Qt lets go with the page; the session would keep a lambda.
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
                kind.key: workshop.parts(kind.key)
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

        self.note.say("trying every part …")
        self._jobs.submit(work, then, lambda error: self.trouble.say(str(error)))

    def _show(self) -> None:
        build = self._session.bench.build
        if build is None:
            return
        entries = [
            TableRow(change.parts[0].kind_key, self._cells(build, change))
            for change in self.changes
        ]
        self.table.show_entries(entries, self._heads())
        self.put_push.setEnabled(bool(entries))
        left = costs(build).left
        measures = self._session.bench.measures
        if left is None:
            self.note.say("no cap is set, so that every price is within it")
        elif left.minor < 0:
            self.note.say(
                f"{measures.money(-left)} over the cap: only what saves that much will do"
            )
        else:
            self.note.say(f"{measures.money(left)} left of the cap; each stands for itself")

    def _cells(self, build: Build, change: Change) -> tuple[Cell, ...]:
        measures, part = self._session.bench.measures, change.parts[0]
        left = costs(change.build).left
        shown = measures.shown(KMH.from_si(change.gain), KMH)
        texts = [measures.money(change.cost, False)] if change.cost.minor else []
        if change.beside_cap.minor:
            # As the slots write what does not count toward the cap.
            texts.append(f"({measures.money(change.beside_cap, False)})")
        chance = "–" if change.chance is None else say_chance(change.chance)
        return (
            Cell(BY_KEY[part.kind_key].label),
            Cell(part.name, tone="strong"),
            Cell(measures.signed(shown, 1), tone="strong"),
            Cell(measures.number(measures.shown(KMH.from_si(change.speed), KMH), 0)),
            Cell(" ".join(texts) or measures.money(change.cost, False)),
            Cell("–" if left is None else measures.money(left, False)),
            Cell(chance),
        )

    def _put_in(self, row: int) -> None:
        if self.is_at_rest and 0 <= row < len(self.changes):
            part: Part = self.changes[row].parts[0]
            self._session.builds.put_in(part)
