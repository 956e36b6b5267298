"""Drawings of plots as things on paper."""

from __future__ import annotations

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.services.sheet.curves import Plot
from pennyspeed.services.sheet.document import CENTRE, END
from pennyspeed.services.sheet.drawing import Area, Line, Ring, Shape, draw_plot
from pennyspeed.services.sheet.paper.page_items import (
    Chunk,
    Circle,
    Element,
    Fill,
    PageItem,
    Run,
    Stroke,
    Type,
    box,
)


def drawing(plot: Plot, room: float, element: Element) -> Chunk:
    """Return a plot as one figure of an element."""
    figure = element.add("Figure", alternative=plot.alternative)
    things: list[PageItem] = []
    for shape in draw_plot(plot, room):
        things += _placed(shape, figure)
    return Chunk(plot.height, tuple(things))


def _placed(shape: Shape, element: Element) -> list[PageItem]:
    """Return a shape of a drawing as things of an element."""
    if isinstance(shape, Line):
        return [Stroke(shape.points, shape.colour, shape.width, shape.dash, element)]
    if isinstance(shape, Area):
        return [Fill(shape.rings, shape.colour, element)]
    if isinstance(shape, Ring):
        return [Circle(shape.x, shape.y, shape.radius, shape.colour, shape.width, element)]
    type = Type(shape.size_pt, shape.strong)
    wide = fonts.width(shape.text, type)
    x = shape.x - (wide if shape.align == END else 0.5 * wide if shape.align == CENTRE else 0.0)
    found: list[PageItem] = []
    if shape.plate:
        high = fonts.line_height(type)
        plate = box(x - 0.4, shape.y - 0.68 * high, wide + 0.8, 0.9 * high)
        found.append(Fill((plate,), "paper", element))
    found.append(Run(x, shape.y, shape.text, type, shape.colour, element))
    return found
