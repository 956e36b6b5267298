"""Layout: the document's blocks as chunks, and the chunks on pages.

A heading never stands last on its page; a table that runs over repeats its head; two half sections
stand side by side where they fit on one page, else one under the other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.desktop.buildsheet.paper.fonts import fine_print, small
from pennyspeed.desktop.buildsheet.paper.list_layout import blanks, items
from pennyspeed.desktop.buildsheet.paper.masthead_layout import masthead
from pennyspeed.desktop.buildsheet.paper.plot_layout import drawing
from pennyspeed.desktop.buildsheet.paper.table_layout import TableLayout
from pennyspeed.services.sheet.curves import Plot
from pennyspeed.services.sheet.document import (
    BIG,
    NOTE,
    STRONG,
    Blanks,
    Block,
    Items,
    Paragraph,
    Section,
    Sheet,
    Sizes,
    Table,
)
from pennyspeed.services.sheet.paper.compaction import closer, gives_way
from pennyspeed.services.sheet.paper.page_items import (
    GUTTER,
    Chunk,
    Element,
    Page,
    PageItem,
    Pages,
    Run,
    Type,
    moved,
    stacked,
    untagged,
)

_SECTION, _HEAD, _BLOCK, _PARAGRAPH = 4.2, 2.4, 1.2, 0.4
_FOOT = 5.0
_SPLIT_GAIN = 8.0
"""Height that may be given up to part one group into two [mm]."""
_TALL = 0.45
"""Of a page's height: a half section that is higher takes the whole width instead."""
_LEAST_LINES = 2
"""Lines of a paragraph that stay together at either end of a page."""


def lay_out(sheet: Sheet, width: float, height: float) -> Pages:
    """Return a sheet on pages of `width` × `height` mm.

    Where that saves a page, halves stand closer, drawings and rows to write in are a little lower,
    and where that is not enough there are fewer of these rows.
    """
    pages, left = _laid(sheet, width, height)
    for one in closer(sheet):
        if gives_way(sheet) - gives_way(one) + _SPLIT_GAIN < left:
            continue  # not even where everything moved up would there be a page less
        found, _ = _laid(one, width, height, gain=0.0)
        if len(found.pages) < len(pages.pages):
            return found
    return pages


def _laid(
    sheet: Sheet, width: float, height: float, gain: float = _SPLIT_GAIN
) -> tuple[Pages, float]:
    """Return the pages, and what has no room on those before the last if all of it moved up [mm].

    The latter is infinite where there is one page.
    """
    root = Element("Document")
    margin = sheet.sizes.margin_mm
    room = width - 2 * margin
    tall = height - 2 * margin - _FOOT
    chunks = list(masthead(sheet, room, root))
    for group in sheet.groups():
        chunks += _group(group, room, tall, sheet.sizes, root, gain)
    pages, used = _paginated(chunks, tall)
    placed = []
    for number, things in enumerate(pages, 1):
        foot = _foot(sheet, number, len(pages), room, tall + _FOOT)
        placed.append(Page(tuple(moved([*things, *foot], margin, margin))))
    left = sum(used) - tall * (len(used) - 1) if len(used) > 1 else math.inf
    return Pages(width, height, tuple(placed), root), left


# Pages --------------------------------------------------------------------------------------


def _paginated(chunks: Sequence[Chunk], tall: float) -> tuple[list[list[PageItem]], list[float]]:
    """Return what stands on each page, and how much of each is used."""
    pages: list[list[PageItem]] = [[]]
    used: list[float] = []
    y = 0.0
    place = 0
    while place < len(chunks):
        end = place
        while chunks[end].keep and end < len(chunks) - 1:
            end += 1
        together = chunks[place : end + 1]
        need = sum(chunk.height + chunk.before for chunk in together)
        if y > 0.0 and y + need > tall + 1e-6:
            pages.append([])
            used.append(y)
            y = 0.0
        for chunk in together:
            if y > 0.0 and y + chunk.before + chunk.height > tall + 1e-6:
                # what has to stay together is taller than a page
                pages.append([])
                used.append(y)
                y = 0.0
            if y > 0.0:
                y += chunk.before
            elif chunk.head is not None:
                pages[-1] += untagged(chunk.head.items)
                y += chunk.head.height
            pages[-1] += moved(chunk.items, 0.0, y)
            y += chunk.height
        place = end + 1
    return pages, [*used, y]


def _foot(sheet: Sheet, number: int, count: int, room: float, bottom: float) -> list[PageItem]:
    """Return the line at the foot of a page; it belongs to no element, as it is repeated."""
    print_ = fine_print(sheet.sizes)
    page = f"page {number} of {count}"
    end = fonts.width(page, print_)
    running = fonts.lines(sheet.running or " ", print_, room - end - GUTTER)[0]
    return [
        Run(0.0, bottom, running, print_, "ink3"),
        Run(room - end, bottom, page, print_, "ink3"),
    ]


# Sections -----------------------------------------------------------------------------------


def _group(
    group: Sequence[Section],
    room: float,
    tall: float,
    sizes: Sizes,
    root: Element,
    gain: float,
) -> list[Chunk]:
    if len(group) == 1:
        return _section(group[0], room, sizes, root.add("Sect"))
    half = 0.5 * (room - GUTTER)
    elements = [Element("Sect") for _ in group]
    sides = [
        stacked(_section(section, half, sizes, element))
        for section, element in zip(group, elements, strict=True)
    ]
    found: list[Chunk] = []
    for run in _runs([side.height > _TALL * tall for side in sides]):
        for left, right in arranged([sides[place].height for place in run], _SECTION, gain):
            places = [run[i] for i in (*left, *right)]
            if len(places) == 1:
                # one that is alone, or tall, may go on over the page in the whole width
                (place,) = places
                found += _section(group[place], room, sizes, root.add("Sect"))
                continue
            root.children += [elements[place] for place in places]
            both = [stacked([sides[run[i]] for i in column]) for column in (left, right)]
            things = [*both[0].items, *moved(both[1].items, half + GUTTER, 0.0)]
            height = max(chunk.height for chunk in both)
            found.append(Chunk(height, tuple(things), before=_SECTION))
    return found


def _runs(are_tall: Sequence[bool]) -> list[list[int]]:
    """Return places in runs: those that are tall alone, the others together."""
    found: list[list[int]] = []
    for place, is_tall in enumerate(are_tall):
        if found and not is_tall and not are_tall[place - 1]:
            found[-1].append(place)
        else:
            found.append([place])
    return found


def arranged(
    heights: Sequence[float], gap: float, gain: float = _SPLIT_GAIN
) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Return how halves are set in two columns, group under group, with the least height.

    Each group is read down its left column, then its right one. Of arrangements that are at
    most `gain` higher than another the one with more groups is taken: less has to stay together.
    """
    count = len(heights)
    best: list[tuple[float, list[tuple[tuple[int, ...], tuple[int, ...]]]]] = [(0.0, [])]
    for end in range(1, count + 1):
        choices = []
        for start in range(end):
            if end - start == 1 and count > 1:
                continue
            group = _split(range(start, end), heights, gap)
            height = max(_high(column, heights, gap) for column in group)
            before, earlier = best[start]
            choices.append((before + height + gap - gain, [*earlier, group]))
        best.append(min(choices, key=lambda one: one[0], default=(math.inf, [])))
    return best[count][1]


def _split(
    places: range, heights: Sequence[float], gap: float
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    cuts = range(1, len(places)) if len(places) > 1 else range(1, 2)
    options = [(tuple(places[:cut]), tuple(places[cut:])) for cut in cuts]
    return min(options, key=lambda pair: max(_high(side, heights, gap) for side in pair))


def _high(column: Sequence[int], heights: Sequence[float], gap: float) -> float:
    return sum(heights[place] for place in column) + gap * max(len(column) - 1, 0)


def _section(section: Section, room: float, sizes: Sizes, element: Element) -> list[Chunk]:
    type = Type(sizes.heading_pt, strong=True)
    heading = _text(section.title, type, room, element.add("H2"), "ink", _SECTION)
    found = [stacked(heading)]
    found[0] = replace(found[0], keep=True)
    before = 0.6
    for block in section.blocks:
        chunks = _block(block, room, sizes, element)
        if chunks:
            is_head = isinstance(block, Paragraph) and block.role == STRONG and len(found) > 1
            chunks[0] = replace(chunks[0], before=_HEAD if is_head else before)
        found += chunks
        before = _PARAGRAPH if isinstance(block, Paragraph) else _BLOCK
        before = 2.0 if isinstance(block, Blanks) else before
    return found


def _block(block: Block, room: float, sizes: Sizes, element: Element) -> list[Chunk]:
    if isinstance(block, Paragraph):
        return _paragraph(block, room, sizes, element)
    if isinstance(block, Items):
        return items(block, room, sizes, element)
    if isinstance(block, Table):
        return TableLayout(block, room, sizes, element).chunks()
    if isinstance(block, Plot):
        return [drawing(block, room, element)]
    return blanks(block, room, sizes, element)


def _paragraph(block: Paragraph, room: float, sizes: Sizes, element: Element) -> list[Chunk]:
    roles = {
        BIG: (Type(sizes.speed_pt, strong=True), "ink"),
        STRONG: (Type(sizes.text_pt, strong=True), "ink"),
        NOTE: (small(sizes), "ink2"),
    }
    type, colour = roles.get(block.role, (Type(sizes.text_pt), "ink"))
    chunks = _text(block.text, type, room, element.add("P"), colour)
    if block.role in (BIG, STRONG):
        chunks = [replace(one, keep=True) for one in chunks]
    return chunks


def _text(
    text: str, type: Type, room: float, element: Element, colour: str, before: float = 0.0
) -> list[Chunk]:
    """Return lines as chunks, none of them alone at the end or the head of a page."""
    height, base = fonts.line_height(type), fonts.baseline(type)
    broken = fonts.lines(text, type, room)
    return [
        Chunk(
            height,
            (Run(0.0, base, line, type, colour, element),) if line else (),
            before if place == 0 else 0.0,
            keep=place < _LEAST_LINES - 1 < len(broken) - 1 or place == len(broken) - _LEAST_LINES,
        )
        for place, line in enumerate(broken)
    ]
