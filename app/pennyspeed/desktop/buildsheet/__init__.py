"""The sheet: a build on paper."""

from pennyspeed.desktop.navigator import PageDeclaration
from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

SHEET = KeyMap(
    "At the sheet",
    KeyRow((LEFT, RIGHT), "choose"),
    KeyRow(("Space",), "tick a section"),
    KeyRow(("Ctrl", UP, DOWN), "move it"),
    KeyRow(("Esc",), "back"),
)
PAGE = PageDeclaration(
    "sheet", "Sheet", "A build on paper", "pennyspeed.desktop.buildsheet.sheet_panel:SheetPanel"
)
