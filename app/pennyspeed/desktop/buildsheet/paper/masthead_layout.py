"""Masthead on paper: picture, title and lines, and the code at the right."""

from __future__ import annotations

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.drawing import draw_code
from pennyspeed.services.sheet.paper.page_items import (
    Chunk,
    Element,
    Fill,
    Image,
    PageItem,
    Run,
    Stroke,
    Type,
)

CODE_MM = 24.0
_PICTURE_HIGH, _PICTURE_WIDE = 20.0, 40.0
_GAP = 5.0
_MOST_LINES, _LEAST_PT = 2, 11.0


def masthead(sheet: Sheet, room: float, root: Element) -> list[Chunk]:
    """Return the head of the first page, as one chunk."""
    head, sizes = sheet.masthead, sheet.sizes
    things: list[PageItem] = []
    left, right, height = 0.0, room, 0.0
    plain = Type(sizes.text_pt)
    heading = root.add("H1")
    if head.picture is not None:
        across, down = head.picture.size
        scale = min(_PICTURE_HIGH / down, _PICTURE_WIDE / across)
        figure = root.add("Figure", alternative=head.picture.alternative)
        wide, high = across * scale, down * scale
        things.append(Image(0.0, 0.0, wide, high, head.picture.data, figure))
        left = wide + _GAP
        height = high
    if head.code is not None:
        right = room - CODE_MM - _GAP
    y = 0.0
    words: list[PageItem] = []
    title, broken = _title(head.title, sizes.title_pt, right - left)
    for line in broken:
        words.append(Run(left, y + fonts.baseline(title), line, title, "ink", heading))
        y += 0.9 * fonts.line_height(title)
    y += 0.6
    for text in head.lines:
        element = root.add("P")
        for line in fonts.lines(text, plain, right - left):
            words.append(Run(left, y + fonts.baseline(plain), line, plain, "ink2", element))
            y += fonts.line_height(plain)
    things = words + things
    height = max(height, y)
    if head.code is not None:
        small = fonts.fine_print(sizes)
        figure = root.add("Figure", alternative=f"Code that reads {head.code.content}")
        x = room - CODE_MM
        area = draw_code(head.code, CODE_MM)
        # the quiet zone may lie in the margin, so that the modules end where the text does
        rings = tuple(tuple((x + dx + 2.0, dy - 2.4) for dx, dy in ring) for ring in area.rings)
        things.append(Fill(rings, "ink", figure))
        caption = root.add("P")
        bottom = CODE_MM - 2.4
        wide = fonts.width(head.code_caption, small)
        at = room - 0.5 * CODE_MM + 2.0 - 0.5 * wide
        things.append(Run(at, bottom + 0.4, head.code_caption, small, "ink2", caption))
        height = max(height, bottom + 1.4)
    height += 1.6
    things.append(Stroke(((0.0, height), (room, height)), "ink", 0.4))
    return [Chunk(height + 0.4, tuple(things), keep=True)]


def _title(text: str, size: float, room: float) -> tuple[Type, list[str]]:
    """Return a title in lines, smaller where it would take too many."""
    while True:
        type = Type(size, strong=True)
        broken = fonts.lines(text, type, room)
        if len(broken) <= _MOST_LINES or size <= _LEAST_PT:
            return type, broken
        size = max(0.85 * size, _LEAST_PT)
