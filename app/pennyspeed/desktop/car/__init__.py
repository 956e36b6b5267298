"""The car: its slots, its plan and its figures."""

from pennyspeed.desktop.widgets.keys import DOWN, UP, KeyMap, KeyRow, command

SLOTS = KeyMap(
    "In the car",
    KeyRow((UP, DOWN), "slot"),
    KeyRow(("Enter",), "to the shelf", "enter"),
    KeyRow(("Del",), "take out", "take_out"),
    KeyRow(("F2",), "edit the part", "edit"),
    command("narrow", "narrow"),
)
