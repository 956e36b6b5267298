"""The margin on this road: what a late lift does, and what being careful costs."""

from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

MARGIN = KeyMap(
    "At the margin",
    KeyRow((LEFT, RIGHT), "read along the curve"),
    KeyRow(("[", "]"), "reaction 0.1 s"),
    KeyRow(("{", "}"), "reserve by 1"),
    KeyRow(("L",), "late by"),
    KeyRow(("Esc",), "to the shelf"),
    KeyRow(("Enter",), "change"),
    KeyRow((UP, DOWN), "along"),
)
