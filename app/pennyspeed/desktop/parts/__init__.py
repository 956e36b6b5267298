"""Parts: the form of one, and what one is made of."""

from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow, command
from pennyspeed.domain.kinds import EXTRAS

MADE_KINDS = ("body", "chassis", EXTRAS.key)
"""Kinds of parts that people make themselves."""

FORM = KeyMap(
    "In a part’s form",
    KeyRow(("Tab",), "next figure"),
    KeyRow(("Ctrl V",), "paste a listing"),
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, the draft is kept"),
    command("keys", "keys"),
    last=(),
)
ESTIMATE = KeyMap(
    "On a figure that was worked out",
    KeyRow(("Tab",), "next figure"),
    KeyRow(("Ctrl V",), "paste a listing"),
    KeyRow(("W",), "work out again", "anew"),
    KeyRow(("M",), "I measured it", "measured"),
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close"),
    command("keys", "keys"),
    last=(),
)
LISTING = KeyMap(
    "In a pasted listing",
    KeyRow((UP, DOWN, LEFT, RIGHT), "next word"),
    KeyRow(("Enter",), "say which figure it is"),
    KeyRow(("Tab",), "to the fields"),
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close"),
    last=(),
)
MISSING = KeyMap(
    "At the notice of missing figures",
    KeyRow(("Enter",), "do it"),
    KeyRow(("Esc",), "leave them"),
)
RECIPE = KeyMap(
    "In a recipe",
    KeyRow(("Enter",), "to its figures"),
    KeyRow(("N",), "add"),
    KeyRow(("Del",), "remove"),
    KeyRow(("Ctrl S",), "save"),
    KeyRow(("Esc",), "close, the draft is kept"),
)
