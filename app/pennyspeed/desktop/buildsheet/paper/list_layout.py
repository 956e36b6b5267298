"""Lists on paper: points, things to tick, lines to write on."""

from __future__ import annotations

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.desktop.buildsheet.paper.fonts import small
from pennyspeed.services.sheet.document import Blanks, Item, Items, Sizes
from pennyspeed.services.sheet.paper.page_items import (
    GUTTER,
    Chunk,
    Element,
    PageItem,
    Run,
    Stroke,
    Type,
    box,
    moved,
    stacked,
)

_BOX = 2.6
_LABEL_GAP = 2.0
_LEAST_TWO = 110.0
"""Width below which a list keeps to one column [mm]."""


def items(block: Items, room: float, sizes: Sizes, element: Element) -> list[Chunk]:
    """Return a list, its boxes or leading words in a column of their own."""
    whole = element.add("L")
    indent = _indent(block, sizes)
    columns = block.columns if len(block.items) > 1 and room > _LEAST_TWO else 1
    if columns == 1:
        return [_item(one, block.boxes, indent, room, sizes, whole) for one in block.items]
    width = (room - GUTTER * (columns - 1)) / columns
    length = -(-len(block.items) // columns)
    things: list[PageItem] = []
    height = 0.0
    for place in range(columns):
        part = block.items[place * length : (place + 1) * length]
        if part:
            side = stacked([_item(one, block.boxes, indent, width, sizes, whole) for one in part])
            things += moved(side.items, place * (width + GUTTER), 0.0)
            height = max(height, side.height)
    return [Chunk(height, tuple(things))]


def _indent(block: Items, sizes: Sizes) -> float:
    """Return where the texts of a list begin: behind its widest word, or its boxes."""
    if block.boxes:
        return _BOX + _LABEL_GAP
    strong = Type(sizes.text_pt, strong=True)
    widest = max((fonts.width(item.lead, strong) for item in block.items), default=0.0)
    return widest + _LABEL_GAP if widest else 2.6


def _item(
    item: Item, boxes: bool, indent: float, room: float, sizes: Sizes, parent: Element
) -> Chunk:
    plain, strong = Type(sizes.text_pt), Type(sizes.text_pt, strong=True)
    element = parent.add("LI")
    base = fonts.baseline(plain)
    label = element.add("Lbl", alternative="to tick" if boxes else "")
    things: list[PageItem] = []
    if boxes:
        things.append(Stroke(box(0.2, base - _BOX + 0.3, _BOX, _BOX), "ink", 0.25, (), label))
    else:
        things.append(Run(0.0, base, item.lead or "·", strong, "ink", label))
    body = element.add("LBody")
    y = 0.0
    for text, type, colour in ((item.text, plain, "ink"), (item.note, small(sizes), "ink2")):
        for line in fonts.lines(text, type, room - indent) if text else ():
            things.append(Run(indent, y + fonts.baseline(type), line, type, colour, body))
            y += fonts.line_height(type)
    return Chunk(max(y, fonts.line_height(plain)) + 0.6, tuple(things))


def blanks(block: Blanks, room: float, sizes: Sizes, element: Element) -> list[Chunk]:
    """Return labels with lines to write on, four to a row."""
    type = small(sizes)
    across = 4
    width = (room - GUTTER * (across - 1)) / across
    found = []
    for start in range(0, len(block.labels), across):
        things: list[PageItem] = []
        for place, label in enumerate(block.labels[start : start + across]):
            x = place * (width + GUTTER)
            y = sizes.writing_mm - 1.2
            things.append(Run(x, y, label, type, "ink2", element.add("P")))
            begin = x + fonts.width(label, type) + 1.5
            things.append(Stroke(((begin, y + 0.4), (x + width, y + 0.4)), "ink", 0.15))
        found.append(Chunk(sizes.writing_mm, tuple(things), keep=True))
    return found
