"""Shopping: offers and suppliers as the window shows and changes them, each change undone alone."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.undo_stack import UndoStep
from pennyspeed.domain.money.calendar import Arrival, Leads, arrivals_of
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.shopping.change_words import offer_words, supplier_words


class Shopping(QObject):
    """What is known of shops beside the build.

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
        self._jobs = JobQueue(self, newest_only=True)
        self._came: list[Arrival] = []
        session.bench.build_changed.connect(self._build_changed)
        session.catalogue.parts_changed.connect(lambda _: self.changed.emit())
        self.changed.connect(lambda: session.bench.set_lead_times(self.leads()))
        session.file.closed.connect(self._jobs.wait)
        session.file.replaced.connect(self._forget)
        self.learn()

    @property
    def is_learning(self) -> bool:
        """Whether past orders are being read."""
        return self._jobs.is_busy

    def _build_changed(self) -> None:
        # The file serves one at a time: a swap must not wait for all builds to be read.
        build = self._session.bench.build
        came = [] if build is None else arrivals_of(build)
        if came != self._came:
            self._came = came
            self.learn()

    def learn(self) -> None:
        """Read past orders again, in the background: there may be many builds."""
        if self._session.file.is_open:
            # What cannot be read now is not learned from, and hinders nobody.
            self._jobs.submit(
                self._session.file.workshop.suppliers.arrivals, self._learned, lambda _: None
            )

    def _learned(self, arrivals: list[Arrival]) -> None:
        if arrivals != self.arrivals or self._session.bench.lead_times is None:
            self.arrivals = arrivals
            self.changed.emit()

    def _forget(self) -> None:
        self.arrivals = []

    # Reading --------------------------------------------------------------------------------

    def suppliers(self) -> list[Supplier]:
        """Return the suppliers that somebody described, by name."""
        return self._session.file.workshop.suppliers.all() if self._session.file.is_open else []

    def leads(self) -> Leads:
        """Return how long suppliers take, learned and said."""
        if not self._session.file.is_open:
            return Leads()
        return self._session.file.workshop.suppliers.leads(self.arrivals)

    def offers(self, part: Part) -> tuple[Price, ...]:
        """Return what suppliers ask for a part of the catalogue."""
        if part.id is None or not self._session.file.is_open:
            return ()
        return self._session.file.workshop.offers.of([part.id]).get(part.id, ())

    # Changing -------------------------------------------------------------------------------

    def change_offer(self, part: Part, before: Price | None, after: Price | None) -> None:
        """Put an offer in place of another; UserError where that is refused."""
        assert part.id is not None
        change = self._session.file.workshop.offers.change(part.id, before, after)
        did, undid = offer_words(part, before, after)
        self._session.catalogue.record((change,), did, undid)
        self._session.messages.said.emit(did)

    def change_supplier(self, before: Supplier | None, after: Supplier | None) -> None:
        """Put a supplier in place of another; UserError where that is refused."""
        if before == after:
            return
        self.store_supplier(before, after)
        step = ChangeSupplier(self, before, after)
        self._session.undo_stack.push(step)
        self._session.messages.said.emit(step.did)

    def store_supplier(self, before: Supplier | None, after: Supplier | None) -> None:
        """Store that change and tell everybody."""
        workshop = self._session.file.workshop
        if after is not None:
            workshop.suppliers.save(after, None if before is None else before.name)
        elif before is not None:
            workshop.suppliers.delete(before.name)
        self.changed.emit()

    def revert(
        self, before: Supplier | None, after: Supplier | None, words: str, step: UndoStep
    ) -> None:
        """Store a change that is undone or done again, and say so."""
        with self._session.messages.reporting() as report:
            self.store_supplier(before, after)
            self._session.messages.said.emit(words)
        if not report.succeeded:
            self._session.undo_stack.refuse(step)


class ChangeSupplier(UndoStep):
    """One supplier in place of another; None stands for one that is not there."""

    def __init__(self, shopping: Shopping, before: Supplier | None, after: Supplier | None) -> None:
        super().__init__(*supplier_words(before, after))
        self._shopping, self._before, self._after = shopping, before, after

    def apply(self) -> None:
        """Make the change once more."""
        self._shopping.revert(self._before, self._after, self.did, self)

    def revert(self) -> None:
        """Take the change back."""
        self._shopping.revert(self._after, self._before, self.undid, self)
