"""The money: what is spent, promised and planned, line by line."""

from pennyspeed.desktop.navigator import PageDeclaration
from pennyspeed.desktop.widgets.keys import DOWN, LAST, LEFT, RIGHT, UP, KeyMap, KeyRow

MONEY = KeyMap(
    "Among the lines of money",
    KeyRow((UP, DOWN), "line"),
    KeyRow(("O",), "ordered", "ordered"),
    KeyRow(("R",), "received", "received"),
    KeyRow(("E",), "edit", "edit", also=("Enter", "F2")),
    KeyRow(("N",), "new line", "new"),
    KeyRow(("K",), "counts or not", "counts"),
    KeyRow(("Space",), "mark", "mark"),
    KeyRow(("G",), "gather into an order", "order"),
    KeyRow(("P",), "planned", "planned"),
    KeyRow(("W",), "owned", "owned"),
    KeyRow(("M",), "made", "made"),
    KeyRow(("A",), "some came", "came"),
    KeyRow(("C",), "cancelled", "cancelled"),
    KeyRow(("T",), "returned", "returned"),
    KeyRow(("B",), "money given back", "refund"),
    KeyRow(("Del",), "remove the line", "remove"),
    KeyRow(("X",), "exchange rates", "rates"),
    KeyRow(("U",), "currency", "currency"),
    KeyRow(("S",), "show by date, kind, supplier", "show"),
)
MONEY_CELL = KeyMap(
    "In a figure of a line",
    KeyRow(("Enter",), "keep"),
    KeyRow(("Esc",), "leave as it was"),
    KeyRow(("Tab",), "next of this line"),
    KeyRow((UP, DOWN), "next line"),
    last=(),
)
MONEY_FORM = KeyMap(
    "In an order or the rates",
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, nothing is kept"),
    last=LAST[:1],
)
QUESTION = KeyMap(
    "At a question about money",
    KeyRow((LEFT, RIGHT), "other answer"),
    KeyRow(("Enter",), "answer"),
    KeyRow(("Esc",), "leave it open"),
)
VIEW = PageDeclaration(
    "money",
    "Money",
    "What is spent, promised and planned, and by when",
    "pennyspeed.desktop.money.money_panel:MoneyPanel",
)
