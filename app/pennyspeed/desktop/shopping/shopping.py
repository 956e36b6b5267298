"""Shopping: offers and suppliers as the window shows and changes them, each change undone alone."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.background import Worker
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.undoing import Step
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.money.calendar import Arrival, Leads, arrivals_of
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part, Price


class Shopping(QObject):
    """What is known of shops beside the build.

    Parameters
    ----------
    session : Session

    Attributes
    ----------
    arrivals : list of Arrival
        What came in every build; [] until it was read in the background.

    Signals
    -------
    changed()
        A supplier or an offer is another, or `arrivals` was read.
    """

    changed = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self._session = session
        self.arrivals: list[Arrival] = []
        self._worker = Worker(self)
        self._worker.done.connect(self._learned)
        self._came: list[Arrival] = []
        session.build_changed.connect(self._build_changed)
        session.parts_changed.connect(lambda _: self.changed.emit())
        self.changed.connect(lambda: session.take_leads(self.leads()))
        session.closed.connect(self._worker.wait)
        self.learn()

    @property
    def today(self) -> date:
        """The day that it is."""
        return date.today()

    @property
    def is_learning(self) -> bool:
        """Whether past orders are being read."""
        return self._worker.is_busy

    def _build_changed(self) -> None:
        # The file serves one at a time: a swap must not wait for all builds to be read.
        build = self._session.build
        came = [] if build is None else arrivals_of(build)
        if came != self._came:
            self._came = came
            self.learn()

    def learn(self) -> None:
        """Read past orders again, in the background: there may be many builds."""
        if self._session.is_open:
            workshop = self._session.workshop

            def work() -> object:
                try:
                    return workshop.arrivals()
                except UserError as error:
                    return error

            self._worker.ask("arrivals", work)

    def _learned(self, _: object, found: object) -> None:
        if isinstance(found, list) and found != self.arrivals:
            self.arrivals = found
            self.changed.emit()

    # Reading --------------------------------------------------------------------------------

    def suppliers(self) -> list[Supplier]:
        """Return the suppliers that somebody described, by name."""
        return self._session.workshop.suppliers() if self._session.is_open else []

    def leads(self) -> Leads:
        """Return how long suppliers take, learned and said."""
        return Leads.of(self.arrivals, self.suppliers())

    def offers(self, part: Part) -> tuple[Price, ...]:
        """Return what suppliers ask for a part of the catalogue."""
        if part.id is None or not self._session.is_open:
            return ()
        return self._session.workshop.offers([part.id]).get(part.id, ())

    # Changing -------------------------------------------------------------------------------

    def change_offer(self, part: Part, before: Price | None, after: Price | None) -> None:
        """Put an offer in place of another; UserError where that is refused."""
        assert part.id is not None
        change = self._session.workshop.change_offer(part.id, before, after)
        shop = (after or before or Price).supplier or "nobody"
        if before is None:
            did, undid = f"noted an offer of {shop}", f"removed the offer of {shop}"
        elif after is None:
            did, undid = f"removed the offer of {shop}", f"brought back the offer of {shop}"
        else:
            did, undid = f"changed the offer of {shop}", f"put the offer of {shop} back"
        self._session.note_change(change, f"{did} for {part.name}", f"{undid} for {part.name}")

    def change_supplier(self, before: Supplier | None, after: Supplier | None) -> None:
        """Put a supplier in place of another; UserError where that is refused."""
        if before == after:
            return
        self.store_supplier(before, after)
        name = (after or before or Supplier("")).name
        if before is None:
            did, undid = f"noted the shop {name}", f"removed the shop {name}"
        elif after is None:
            did, undid = f"removed the shop {name}", f"brought back the shop {name}"
        else:
            did, undid = f"changed the shop {name}", f"put the shop {before.name} back"
        self._session.undo_stack.push(ChangeSupplier(self, before, after, did, undid))
        self._session.said.emit(did)

    def store_supplier(self, before: Supplier | None, after: Supplier | None) -> None:
        """Store that change and tell everybody."""
        workshop = self._session.workshop
        if after is not None:
            workshop.save_supplier(after, None if before is None else before.name)
        elif before is not None:
            workshop.delete_supplier(before.name)
        self.changed.emit()

    def take_back(
        self, before: Supplier | None, after: Supplier | None, words: str, step: Step
    ) -> None:
        """Store a change that is undone or done again, and say so."""
        try:
            self.store_supplier(before, after)
        except UserError as error:
            self._session.troubled.emit(str(error))
            self._session.undo_stack.refuse(step)
        else:
            self._session.said.emit(words)


class ChangeSupplier(Step):
    """One supplier in place of another; None stands for one that is not there."""

    def __init__(
        self,
        shopping: Shopping,
        before: Supplier | None,
        after: Supplier | None,
        did: str,
        undid: str,
    ) -> None:
        super().__init__(did, undid)
        self._shopping, self._before, self._after = shopping, before, after

    def again(self) -> None:
        """Make the change once more."""
        self._shopping.take_back(self._before, self._after, self.did, self)

    def back(self) -> None:
        """Take the change back."""
        self._shopping.take_back(self._after, self._before, self.undid, self)
