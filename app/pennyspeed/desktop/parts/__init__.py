"""Parts: the form of one, and what one is made of."""

from pennyspeed.desktop.widgets.keys import KeyMap, KeyRow
from pennyspeed.domain.kinds import EXTRAS

MADE_KINDS = ("body", "chassis", EXTRAS.key)
"""Kinds of parts that people make themselves."""

FORM = KeyMap(
    "In a part’s form",
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, the draft is kept"),
    KeyRow(("Tab",), "next figure"),
    last=(),
)
RECIPE = KeyMap(
    "In a recipe",
    KeyRow(("Enter",), "to its figures"),
    KeyRow(("N",), "add"),
    KeyRow(("Del",), "remove"),
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, the draft is kept"),
)
