"""The gears: every pinion with every spur."""

from pennyspeed.desktop.navigator import PageDeclaration
from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

GEARS = KeyMap(
    "Gears",
    KeyRow((LEFT, UP, RIGHT, DOWN), "try a pair"),
    KeyRow(("Enter",), "put both in", "put_in"),
    KeyRow(("Space",), "hold beside", "hold"),
    KeyRow(("S",), "show", "show"),
    KeyRow(("A",), "all gears", "all_gears"),
)
VIEW = PageDeclaration(
    "gears",
    "Gears",
    "Every pinion with every spur",
    "pennyspeed.desktop.gears.gears_view:GearsView",
)
