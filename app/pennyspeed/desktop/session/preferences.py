"""Preferences: the settings as they are now, kept as soon as one is chosen."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.settings import Settings, save
from pennyspeed.desktop.widgets.theme import TEXT_PERCENTS


class Preferences(QObject):
    """What a person chose.

    Parameters
    ----------
    path : Path or None
        Where choices are kept; None keeps none.

    Signals
    -------
    chosen(dict)
        Some choices, by their key, are to be shown.
    """

    chosen = Signal(object)

    def __init__(
        self, settings: Settings, path: Path | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.settings = settings
        self._path = path

    def keep(self, **choices: object) -> None:
        """Keep choices that show already."""
        settings = self.settings.with_choice(**choices)
        if settings != self.settings:
            self.settings = settings
            if self._path is not None:
                save(settings, self._path)

    def choose(self, **choices: object) -> None:
        """Take choices of :class:`Settings`, show and keep them."""
        self.keep(**choices)
        self.chosen.emit(choices)

    def size_text(self, step: int) -> None:
        """Make all text larger or smaller."""
        place = TEXT_PERCENTS.index(self.settings.text_percent) + step
        self.choose(text_percent=TEXT_PERCENTS[min(max(place, 0), len(TEXT_PERCENTS) - 1)])
