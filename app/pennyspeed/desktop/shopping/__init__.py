"""Shopping: offers, suppliers, what is cheapest together, and when it all arrives."""

from pennyspeed.desktop.widgets.keys import DOWN, LAST, LEFT, RIGHT, UP, KeyMap, KeyRow

BACK = KeyRow(("Esc",), "go back")
DAYS = KeyMap(
    "Among the days",
    KeyRow((UP, DOWN), "day"),
    KeyRow(("Enter",), "to its line"),
    KeyRow(("W",), "write a calendar file", "write"),
    BACK,
)
SHOPS = KeyMap(
    "Among offers and shops",
    KeyRow((LEFT, UP, RIGHT, DOWN), "cell"),
    KeyRow(("Enter",), "edit"),
    KeyRow(("N",), "new"),
    KeyRow(("Del",), "remove"),
    KeyRow(("B",), "cheapest together", "basket"),
    KeyRow(("L",), "what is left buys", "left"),
    BACK,
)
CURRENCY = KeyMap(
    "In the currency of a build",
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, nothing is kept"),
    last=LAST[:1],
)
BASKET = KeyMap(
    "In the cheapest basket",
    KeyRow(("Enter",), "take it into the build"),
    BACK,
)
LEFT_TO_BUY = KeyMap(
    "Among what could still be bought",
    KeyRow((UP, DOWN), "part"),
    KeyRow(("Enter",), "put it in"),
    BACK,
)
