"""Help: the find line, the sheet of all keys, and the cautions."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QMenu, QWidget

from pennyspeed.desktop.home_page import HomePage
from pennyspeed.desktop.navigator import Navigator, StackPage
from pennyspeed.desktop.session import Session

if TYPE_CHECKING:
    from pennyspeed.desktop.commands.find_line import FindLine


class HelpPages(QObject):
    """Opens what helps a person to find the way.

    Parameters
    ----------
    go_to_field : callable
        Goes to what is typed about the build, by its key.
    main : QMenu
        The menu with everything.
    over : QWidget
        What the find line opens over.
    """

    def __init__(
        self,
        session: Session,
        navigator: Navigator,
        home: HomePage,
        go_to_field: Callable[[str], object],
        main: QMenu,
        over: QWidget,
    ) -> None:
        super().__init__(over)
        self._session, self._navigator, self._home = session, navigator, home
        self._go_to_field, self._main, self._over = go_to_field, main, over

    @cached_property
    def find_line(self) -> FindLine:
        """The line that finds parts, builds and actions."""
        from pennyspeed.desktop.commands.find_line import FindLine
        from pennyspeed.desktop.commands.search_index import SearchIndex

        index = SearchIndex(self._session, self._home, self._go_to_field, self._main, self)
        made = FindLine(index.gather, self._over)
        index.fetched.connect(made.renew)
        return made

    def find_anything(self) -> None:
        """Open the find line."""
        self.find_line.open(self._over.window().focusWidget())

    def turn_keys(self) -> None:
        """Show all keys in place of plot and shelf, or go back from there."""
        from pennyspeed.desktop.commands.key_sheet import KeysPage, key_groups

        now = self._navigator.current
        if isinstance(now, KeysPage):
            self._navigator.take_away(now)
            return
        page = KeysPage(key_groups(self._main))
        self._navigator.show_passing(StackPage(page, page.closed))

    def show_cautions(self) -> None:
        """Show the cautions in place of plot and shelf."""
        from pennyspeed.desktop.commands.cautions import Cautions

        page = Cautions()
        self._navigator.show_passing(StackPage(page, page.closed))
