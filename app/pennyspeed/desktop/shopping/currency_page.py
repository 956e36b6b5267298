"""The currency of the build, and the exchange rates that a change of it needs."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping import CURRENCY
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import Money
from pennyspeed.services.editing import currency_fields
from pennyspeed.services.money.line_changes import LineChange


class CurrencyPage(FormPage):
    """Asks for the currency, a rate where amounts need one, and the cap; one undo step."""

    keys = CURRENCY
    closes_below = True

    def __init__(self, session: Session, build: Build, cap: Money | None) -> None:
        super().__init__()
        self._session, self._build = session, build
        self._change: LineChange | None = None
        self.add(self.area, 1)
        self.add_foot(self.save_button, self.close_button)
        self.note.say("every line keeps its own amount and currency; only the sums change")
        fields = currency_fields.form_fields(build, session.bench.measures, date.today(), cap)
        self.show_fields(f"Currency of {build.name}", fields)
        at = fields[0] if cap is None else fields[1]
        self.setFocusProxy(self.body.row(at.key).editor)
        session.bench.build_changed.connect(self._outdated)

    def _outdated(self) -> None:
        """Close where the build is another one by now."""
        if self._session.bench.build != self._build:
            self.closed.emit()

    def read(self) -> Mapping[str, BadInput]:
        texts = {key: text.strip() for key, text in self.body.texts.items()}
        measures = self._session.bench.measures
        try:
            self._change = currency_fields.currency_typed(texts, self._build, measures)
        except BadInput as error:
            return self.fault_of(error)
        return {}

    def store(self) -> bool:
        change = self._change
        assert change is not None
        if change.after == self._build:
            return True
        self._build = change.after
        return self._session.builds.change(change.after, change.did, change.undid)
