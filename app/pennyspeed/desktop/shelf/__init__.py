"""The shelf: the parts that could go into the chosen slot, and what each would do."""

from pennyspeed.desktop.widgets.keys import DOWN, LEFT, RIGHT, UP, KeyMap, KeyRow, command

FIELD = KeyMap(
    "While narrowing",
    KeyRow(("Enter",), "to the rows"),
    KeyRow(("Esc",), "show all"),
)
SHELF = KeyMap(
    "On the shelf",
    KeyRow((UP, DOWN), "try"),
    KeyRow(("Enter",), "put it in", "put_in"),
    KeyRow(("Space",), "hold beside", "hold"),
    command("edit_figure", "edit a figure"),
    command("paste", "paste a listing"),
    command("narrow", "narrow"),
    command("fitting", "only what fits"),
    command("pairing", "try pairs"),
    KeyRow(("F2",), "edit all", "edit"),
    KeyRow(("Ctrl", LEFT, RIGHT), "sort"),
    KeyRow((LEFT,), "to the slots"),
)
FIGURE = KeyMap(
    "In a figure on the shelf",
    KeyRow(("Enter",), "keep"),
    KeyRow(("Esc",), "leave as it was"),
    KeyRow(("Tab",), "to its source, then the next"),
    KeyRow((UP, DOWN), "next part"),
    KeyRow(("Alt", LEFT, RIGHT), "next figure"),
    KeyRow(("F2",), "all figures"),
    last=(),
)
