"""The navigator: which page stands in the window's middle, and the way back from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any

from PySide6.QtCore import QObject, Qt, Signal, SignalInstance
from PySide6.QtWidgets import QStackedWidget, QWidget

from pennyspeed.desktop.session import Session


@dataclass(frozen=True, slots=True)
class StackPage:
    """What the navigator knows of a page.

    Attributes
    ----------
    closed : SignalInstance or None
        The person leaves it; None where it stays until it is taken away.
    enter : callable, optional
        Puts the keyboard where work begins; it is the widget's own place without.
    stand_on : callable, optional
        Goes to the one of its rows that is named.
    """

    widget: QWidget
    closed: SignalInstance | None = None
    enter: Callable[[], object] | None = None
    stand_on: Callable[..., Any] = lambda _: None

    def take_focus(self) -> None:
        """Put the keyboard where work begins."""
        if self.enter is not None:
            self.enter()
        else:
            self.widget.setFocus(Qt.FocusReason.OtherFocusReason)


@dataclass(frozen=True, slots=True)
class PageDeclaration:
    """A page that is made when it is first shown, and kept; each room declares its own.

    Attributes
    ----------
    key, title, help : str
        As of :class:`pennyspeed.desktop.charts.View`.
    panel : str
        Its module and class, which is imported when the page is first shown. The panel is made of
        a session, and has a page as :meth:`page`.
    """

    key: str
    title: str
    help: str
    panel: str

    def make(self, session: Session) -> StackPage:
        module, _, name = self.panel.partition(":")
        page = getattr(import_module(module), name)(session, session.comparison).page()
        assert isinstance(page, StackPage)
        return page


class Navigator(QObject):
    """Shows one page at a time.

    Parameters
    ----------
    home : StackPage
        A plot with the shelf below it, which stands on a view by its key, and returns the key.
    views : sequence of PageDeclaration
        Views that take the shelf's place too.
    pages : sequence of PageDeclaration
        What takes the place of a view for a while.

    Signals
    -------
    view_shown(str)
        A view was chosen, by its key.
    view_left()
        The person leaves a larger view for what stands beside it.
    """

    view_shown = Signal(str)
    view_left = Signal()

    def __init__(
        self,
        stack: QStackedWidget,
        home: StackPage,
        views: Sequence[PageDeclaration],
        pages: Sequence[PageDeclaration],
        session: Session,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._stack, self._home, self._session = stack, home, session
        self._views = {view.key: view for view in views}
        self._pages = {page.key: page for page in pages}
        self._made: dict[str, StackPage] = {}
        self._passing: StackPage | None = None
        self._key = self._home_key = ""
        self._came_from: QWidget | None = None
        stack.addWidget(home.widget)

    @property
    def current(self) -> QWidget:
        """The page that shows."""
        found = self._stack.currentWidget()
        assert found is not None
        return found

    @property
    def is_home(self) -> bool:
        """Whether the plot and what is below it show."""
        return self.current is self._home.widget

    # Views ----------------------------------------------------------------------------------

    def turn_to_view(self, key: str) -> None:
        """Show a view, and leave the keyboard where it is unless that goes out of sight."""
        self.choose_view(key, keeps_focus=True)

    def choose_view(self, key: str, place: object = None, *, keeps_focus: bool = False) -> None:
        """Show a view, at one of its rows where that is named, and put the keyboard there."""
        focus = self._stack.window().focusWidget()
        is_outside = focus is not None and not self._stack.isAncestorOf(focus)
        if key in self._views:
            page = self._page(self._views[key], self.view_left.emit)
            self._stack.setCurrentWidget(page.widget)
            if not (keeps_focus and is_outside):
                page.take_focus()
            if place is not None:
                page.stand_on(place)
        else:
            key = self._home_key = self._home.stand_on(key)
            self._stack.setCurrentWidget(self._home.widget)
        self._key = key
        self.view_shown.emit(key)

    def _page(self, declared: PageDeclaration, leave: Callable[[], object]) -> StackPage:
        page = self._made.get(declared.key)
        if page is None:
            page = self._made[declared.key] = declared.make(self._session)
            if page.closed is not None:
                page.closed.connect(leave)
            self._stack.addWidget(page.widget)
        return page

    def go_home(self) -> None:
        """Show the plot and what is below it."""
        if not self.is_home:
            self.choose_view(self._home_key)

    # Pages over them ------------------------------------------------------------------------

    def turn(self, key: str) -> None:
        """Show a declared page, or go back from there."""
        declared = self._pages[key]
        made = self._made.get(key)
        if made is not None and self.current is made.widget:
            self.go_back()
        else:
            self.show(self._page(declared, self.go_back))

    def show_passing(self, page: StackPage) -> None:
        """Show a page until it is left, in place of the last one of that sort."""
        if self._passing is not None:
            self.take_away(self._passing.widget)
        self._passing = page
        if page.closed is not None:
            page.closed.connect(lambda: self.take_away(page.widget))
        self.show(page)

    def take_away(self, widget: QWidget) -> None:
        """Take a passing page away, and go back to where the keyboard was if it shows."""
        if self._passing is None or self._passing.widget is not widget:
            return
        self._passing = None
        if self.current is widget:
            self.go_back()
        self._stack.removeWidget(widget)
        widget.deleteLater()

    def show(self, page: StackPage, returns: bool = True) -> None:
        """Show a page; where it returns, the keyboard will be where it was once it is left."""
        self._came_from = self._stack.window().focusWidget() if returns else None
        if self._stack.indexOf(page.widget) < 0:
            self._stack.addWidget(page.widget)
        self._stack.setCurrentWidget(page.widget)
        page.take_focus()

    def go_back(self) -> None:
        """Show the view that was chosen last, with the keyboard where it was."""
        came_from, self._came_from = self._came_from, None
        view = self._made.get(self._key)
        if view is not None and self.current is not view.widget:
            self._stack.setCurrentWidget(view.widget)
            view.take_focus()
        elif view is None and not self.is_home:
            self._stack.setCurrentWidget(self._home.widget)
            self._home.take_focus()
        if came_from is not None and came_from.isVisible():
            came_from.setFocus(Qt.FocusReason.OtherFocusReason)
