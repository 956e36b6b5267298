"""The one pane before a person's first build: units and currency."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import QLocale, Qt, Signal
from PySide6.QtGui import QKeyEvent

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.desktop.session.settings import Settings, of_region
from pennyspeed.desktop.shopping import CURRENCY
from pennyspeed.desktop.widgets.form_page import FormPage
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import LENGTH_UNITS, MASS_UNITS, SPEED_UNITS
from pennyspeed.domain.money.money import checked_currency
from pennyspeed.domain.units import Unit
from pennyspeed.services.editing.form_fields import FormField

UNITS = {
    "speed_unit": ("speeds in", SPEED_UNITS),
    "length_unit": ("lengths in", LENGTH_UNITS),
    "mass_unit": ("weights in", MASS_UNITS),
}


class FirstBuildPage(FormPage):
    """Asks once, as the system's region has it, and makes the build.

    Signals
    -------
    made()
        The build is there, to be named.
    """

    keys = CURRENCY
    closes_below = True
    made = Signal()

    def __init__(
        self, session: Session, preferences: Preferences, region: QLocale | None = None
    ) -> None:
        super().__init__()
        self._session, self._preferences = session, preferences
        units, code = of_region(region or QLocale.system())
        self.save_button.setText("make the build")
        self.add(self.area, 1)
        self.add_foot(self.save_button, self.close_button)
        self.note.say("asked once; all of it can be changed later, under Units and Money")
        chosen = preferences.settings
        fresh = Settings()
        fields = []
        for key, (label, choices) in UNITS.items():
            now = getattr(chosen, key)
            text = units[key] if now == getattr(fresh, key) else now
            fields.append(FormField(key, label, "", text, choices=_choices(choices)))
        fields.append(FormField("currency", "money in", "Three letters such as GBP.", code))
        self.show_fields("Your first build", fields)
        self.setFocusProxy(self.body.row("speed_unit").editor)

    def read(self) -> Mapping[str, BadInput]:
        try:
            checked_currency(self._code, "money in")
        except BadInput as error:
            return self.fault_of(error)
        return {}

    def store(self) -> bool:
        builds, texts = self._session.builds, self.body.texts
        self._session.file.workshop.settings.note_currency(self._code)
        self._preferences.choose(**{key: texts[key] for key in UNITS})
        builds.create(builds.free_name("New build"))
        return True

    @property
    def _code(self) -> str:
        return self.body.texts["currency"].strip().upper()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.save()
        else:
            super().keyPressEvent(event)

    def close_done(self) -> None:
        super().close_done()
        self.made.emit()


def _choices(units: Sequence[Unit]) -> tuple[tuple[str, str], ...]:
    return tuple((unit.symbol, unit.symbol) for unit in units)
