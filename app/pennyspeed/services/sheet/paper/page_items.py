"""Items of a page: what stands where, and which element of the document it belongs to.

Lengths are in millimetres from the upper left corner of the page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

GUTTER = 8.0
"""Between two columns [mm]."""

Points: TypeAlias = tuple[tuple[float, float], ...]


@dataclass(eq=False)
class Element:
    """One element of the document's structure, as tagged PDF names them (ISO 32000-1, 14.8.4).

    Attributes
    ----------
    kind : str
        "H1", "P", "TD" …
    alternative : str
        What a figure shows, or what a table is.
    scope : str
        Of a "TH": "Column" or "Row".
    """

    kind: str
    children: list[Element] = field(default_factory=list)
    alternative: str = ""
    scope: str = ""

    def add(self, kind: str, alternative: str = "", scope: str = "") -> Element:
        """Return a new element at the end of this one's."""
        child = Element(kind, alternative=alternative, scope=scope)
        self.children.append(child)
        return child


@dataclass(frozen=True, slots=True)
class Type:
    """How letters look: size in points, and whether semibold."""

    size: float
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """One line of text; `x` is its left end, `y` its baseline."""

    x: float
    y: float
    text: str
    type: Type
    colour: str = "ink"
    element: Element | None = None


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; `dash` in widths."""

    points: Points
    colour: str
    width: float
    dash: tuple[float, ...] = ()
    element: Element | None = None


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled outline of one or more rings."""

    rings: tuple[Points, ...]
    colour: str
    element: Element | None = None


@dataclass(frozen=True, slots=True)
class Circle:
    """An open circle, filled with the paper's colour."""

    x: float
    y: float
    radius: float
    colour: str
    width: float
    element: Element | None = None


@dataclass(frozen=True, slots=True)
class Image:
    """A picture in a rectangle."""

    x: float
    y: float
    width: float
    height: float
    data: bytes
    element: Element | None = None


PageItem: TypeAlias = Run | Stroke | Fill | Circle | Image


@dataclass(frozen=True, slots=True)
class Chunk:
    """What stays together on one page, placed from (0, 0).

    Attributes
    ----------
    before : float
        Space above it, left out at the head of a page.
    keep : bool
        It must not be the last on its page.
    head : Chunk or None
        What is put above it again where it begins a page: the head of its table.
    """

    height: float
    items: tuple[PageItem, ...] = ()
    before: float = 0.0
    keep: bool = False
    head: Chunk | None = None


@dataclass(frozen=True, slots=True)
class Page:
    """One page's things, in reading order."""

    items: tuple[PageItem, ...]


@dataclass(frozen=True, slots=True)
class Pages:
    """A laid out sheet; width and height in mm."""

    width: float
    height: float
    pages: tuple[Page, ...]
    root: Element


def moved(things: Iterable[PageItem], dx: float, dy: float) -> list[PageItem]:
    """Return things moved."""
    return [_moved(one, dx, dy) for one in things]


def _moved(thing: PageItem, dx: float, dy: float) -> PageItem:
    if isinstance(thing, Run):  # most things are: built by hand, several times as fast
        return Run(thing.x + dx, thing.y + dy, thing.text, thing.type, thing.colour, thing.element)
    if isinstance(thing, Stroke):
        return replace(thing, points=_shifted(thing.points, dx, dy))
    if isinstance(thing, Fill):
        return replace(thing, rings=tuple(_shifted(ring, dx, dy) for ring in thing.rings))
    return replace(thing, x=thing.x + dx, y=thing.y + dy)


def _shifted(points: Sequence[tuple[float, float]], dx: float, dy: float) -> Points:
    return tuple((x + dx, y + dy) for x, y in points)


def untagged(things: Iterable[PageItem]) -> list[PageItem]:
    """Return things that belong to no element: what is repeated is told once."""
    return [replace(one, element=None) for one in things]


def box(x: float, y: float, width: float, height: float) -> Points:
    """Return the corners of a rectangle, the first one again at the end."""
    return ((x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y))


def stacked(chunks: Sequence[Chunk]) -> Chunk:
    """Return chunks as one, the space above the first left out."""
    y = 0.0
    things: list[PageItem] = []
    for place, chunk in enumerate(chunks):
        y += chunk.before if place else 0.0
        things += moved(chunk.items, 0.0, y)
        y += chunk.height
    return Chunk(y, tuple(things), before=chunks[0].before)
