"""What if: sliders for what no part decides, and what a tenth more of each thing does."""

from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow

WHAT_IF = KeyMap(
    "At the sliders",
    KeyRow((UP, DOWN), "thing"),
    KeyRow((LEFT, RIGHT), "slide"),
    KeyRow(("Enter",), "keep", "keep"),
    KeyRow(("Esc",), "drop, then to the shelf", "drop"),
)
