"""What keys do in a plot."""

from pennyspeed.desktop.widgets.keys import LEFT, RIGHT, KeyMap, KeyRow

PLOT = KeyMap(
    "In a plot",
    KeyRow((LEFT, RIGHT), "read along the curve"),
    KeyRow(("L",), "marked point"),
    KeyRow(("Ctrl C",), "copy"),
    KeyRow(("Ctrl S",), "save the plot"),
)
