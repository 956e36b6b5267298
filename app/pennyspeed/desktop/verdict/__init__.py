"""The verdict: what the car does, what it costs, and what is wrong with it."""

from pennyspeed.desktop.widgets.keys import DOWN, UP, KeyMap, KeyRow

CHECKS = KeyMap(
    "Among the checks",
    KeyRow((UP, DOWN), "check"),
    KeyRow(("Enter",), "to its slot, or the margin"),
)
NARROWING = KeyMap(
    "Among what would narrow the range",
    KeyRow((UP, DOWN), "what to measure, and how"),
)
