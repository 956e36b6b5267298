"""Beside each other: builds that are held, and the car now."""

from pennyspeed.desktop.navigator import PageDeclaration
from pennyspeed.desktop.widgets.keys import KeyMap, KeyRow

BESIDE = KeyMap(
    "Beside",
    KeyRow(("B", "–", "G"), "put the car back to it"),
    KeyRow(("Space",), "hold as it is", "hold"),
    KeyRow(("Del",), "take away", "remove"),
    KeyRow(("=",), "only what differs"),
)
VIEW = PageDeclaration(
    "beside", "Beside", "Builds beside each other", "pennyspeed.desktop.beside.beside:BesidePanel"
)
