"""Imports: files opened and brought in, and a table looked at before it is."""

from pennyspeed.desktop.widgets.keys import DOWN, UP, KeyMap, KeyRow

PREVIEW = KeyMap(
    "Looking at a table",
    KeyRow((UP, DOWN), "row"),
    KeyRow(("T",), "take in", "take"),
    KeyRow(("L",), "leave out what is refused", "leave_out"),
    KeyRow(("R",), "only what is refused", "only_refused"),
    KeyRow(("Esc",), "leave it"),
)
