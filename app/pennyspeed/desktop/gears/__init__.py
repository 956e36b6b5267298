"""The gears: every pinion with every spur."""

from pennyspeed.desktop.navigator import PageDeclaration, StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

GEARS = KeyMap(
    "Gears",
    KeyRow((LEFT, UP, RIGHT, DOWN), "try a pair"),
    KeyRow(("Enter",), "put both in", "put_in"),
    KeyRow(("Space",), "hold beside", "hold"),
    KeyRow(("S",), "show", "show"),
    KeyRow(("A",), "all gears", "all_gears"),
)


def _make(session: Session) -> StackPage:
    from pennyspeed.desktop.gears.gears_view import GearsView

    found = GearsView(session, session.comparison)
    found.plot.saved.connect(session.messages.noted)
    found.plot.troubled.connect(session.messages.troubled)
    return StackPage(found, found.left_behind, found.focus_table)


VIEW = PageDeclaration("gears", "Gears", "Every pinion with every spur", _make)
