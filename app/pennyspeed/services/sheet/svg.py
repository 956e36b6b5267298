"""Shapes as SVG, to stand inside a page."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from pennyspeed.services.sheet.document import CENTRE, END, START
from pennyspeed.services.sheet.drawing import MM_PER_PT, Area, Line, Ring, Shape, Words, width_of

_ANCHORS = {START: "start", CENTRE: "middle", END: "end"}


def svg(shapes: Sequence[Shape], width: float, height: float, alternative: str) -> str:
    """Return a drawing of `width` × `height` mm; colours come from the page's own variables."""
    inside = "".join(_shape(one) for one in shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" role="img"'
        f' aria-label="{escape(alternative, {chr(34): "&quot;"})}">{inside}</svg>'
    )


def _points(points: Sequence[tuple[float, float]]) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in points)


def _shape(shape: Shape) -> str:
    if isinstance(shape, Line):
        dash = " ".join(f"{one * shape.width:g}" for one in shape.dash)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return (
            f'<polyline points="{_points(shape.points)}" fill="none" stroke-width="{shape.width:g}"'
            f' stroke="var(--{shape.colour})" stroke-linejoin="round"{dashed}/>'
        )
    if isinstance(shape, Area):
        path = "".join(f"M{_points(ring)}Z" for ring in shape.rings)
        return f'<path d="{path}" fill="var(--{shape.colour})"/>'
    if isinstance(shape, Ring):
        return (
            f'<circle cx="{shape.x:g}" cy="{shape.y:g}" r="{shape.radius:g}" fill="var(--paper)"'
            f' stroke="var(--{shape.colour})" stroke-width="{shape.width:g}"/>'
        )
    return _words(shape)


def _words(shape: Words) -> str:
    size = shape.size_pt * MM_PER_PT
    weight = ' font-weight="600"' if shape.strong else ""
    plate = ""
    if shape.plate:
        wide = width_of(shape.text, shape.size_pt)
        start = {START: 0.0, CENTRE: 0.5, END: 1.0}[shape.align]
        plate = (
            f'<rect x="{shape.x - start * wide - 0.4:g}" y="{shape.y - 0.8 * size:g}"'
            f' width="{wide + 0.8:g}" height="{size:g}" fill="var(--paper)"/>'
        )
    return (
        f'{plate}<text x="{shape.x:g}" y="{shape.y:g}" font-size="{size:.4g}"{weight}'
        f' fill="var(--{shape.colour})" text-anchor="{_ANCHORS[shape.align]}">'
        f"{escape(shape.text)}</text>"
    )
