"""Beside each other: builds that are held, and the car now."""

from pennyspeed.desktop.navigator import PageDeclaration, StackPage
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.keys import KeyMap, KeyRow

BESIDE = KeyMap(
    "Beside",
    KeyRow(("B", "–", "G"), "put the car back to it"),
    KeyRow(("Space",), "hold as it is", "hold"),
    KeyRow(("Del",), "take away", "remove"),
    KeyRow(("=",), "only what differs"),
)


def _make(session: Session) -> StackPage:
    from pennyspeed.desktop.beside.beside import BesidePanel

    found = BesidePanel(session, session.comparison)
    found.plot.saved.connect(session.messages.noted)
    found.plot.troubled.connect(session.messages.troubled)
    return StackPage(found, found.left_behind, found.focus_table, found.stand_on)


VIEW = PageDeclaration("beside", "Beside", "Builds beside each other", _make)
