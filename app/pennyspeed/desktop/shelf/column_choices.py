"""Columns: which of the shelf's are shown and which one sorts, kept from one start to the next."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.desktop.shelf.shelf import ShelfPanel

_SORT, _FALLS, _HIDDEN = "sort", "falls", "hidden"


class ColumnChoices(QObject):
    """Carries the choices about the shelf's columns between the shelf and the settings.

    Parameters
    ----------
    shelf : ShelfPanel
    preferences : Preferences

    Signals
    -------
    menu_wanted()
        The menu in which they are chosen is to open.
    """

    menu_wanted = Signal()

    def __init__(self, shelf: ShelfPanel, preferences: Preferences) -> None:
        super().__init__(shelf)
        self._preferences = preferences
        self._table, self._rows = shelf.table, shelf.model.rows
        for key, choice in preferences.settings.columns.items():
            column = choice.get(_SORT)
            if isinstance(column, str):
                self._rows.sorting[key] = column, bool(choice.get(_FALLS))
        self._table.sorted_anew.connect(self._sorted)
        self._table.shelf.modelReset.connect(self._renew)
        self._renew()

    def can_hide(self, column: int) -> bool:
        """Tell whether a column may be left out; names stay."""
        return column >= self._rows.stock.names

    def hides(self, key: str) -> bool:
        """Tell whether the column of that key is left out on this shelf."""
        return key in self._hidden()

    def turn(self, key: str) -> None:
        """Leave a column out on this shelf, or show it again."""
        hidden = self._hidden() ^ {key}
        self._keep(**{_HIDDEN: sorted(hidden)})
        self._renew()

    def show_all(self) -> None:
        """Show every column of this shelf again."""
        self._keep(**{_HIDDEN: []})
        self._renew()

    def _hidden(self) -> frozenset[str]:
        choice = self._preferences.settings.columns.get(self._rows.shelf_key, {})
        hidden = choice.get(_HIDDEN)
        good = hidden if isinstance(hidden, list) else []
        return frozenset(one for one in good if isinstance(one, str))

    def _renew(self) -> None:
        self._table.hide_columns(self._hidden())

    def _sorted(self) -> None:
        self._keep(**{_SORT: self._rows.sorting_key, _FALLS: self._rows.sorted_by[1]})

    def _keep(self, **choices: object) -> None:
        key, columns = self._rows.shelf_key, self._preferences.settings.columns
        choice = {**columns.get(key, {}), **choices}
        self._preferences.keep(columns={**columns, key: choice})
