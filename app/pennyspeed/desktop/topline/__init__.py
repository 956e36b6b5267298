"""The top line: the build's name, what it is for, and the menu."""

from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow, command

TOP = KeyMap(
    "In the top line",
    KeyRow((LEFT, RIGHT), "along"),
    KeyRow(("Enter",), "change"),
    KeyRow((UP, DOWN), "step"),
    command("rename", "rename the build"),
)
