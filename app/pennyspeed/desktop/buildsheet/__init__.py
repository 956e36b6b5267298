"""The sheet: a build on paper."""

from pennyspeed.desktop.navigator import PageDeclaration, StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

SHEET = KeyMap(
    "At the sheet",
    KeyRow((LEFT, RIGHT), "choose"),
    KeyRow(("Space",), "tick a section"),
    KeyRow(("Ctrl", UP, DOWN), "move it"),
    KeyRow(("Esc",), "back"),
)


def _make(session: Session) -> StackPage:
    from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel

    found = SheetPanel(session, session.comparison)
    found.said.connect(session.messages.noted)
    return StackPage(found, found.closed)


PAGE = PageDeclaration("sheet", "Sheet", "A build on paper", _make)
