"""The sheet as one HTML file that needs nothing beside it."""

from __future__ import annotations

import base64

from pennyspeed import __version__
from pennyspeed.resources import path as resource_path
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.curves import Plot
from pennyspeed.services.sheet.document import Code, Picture, Sheet
from pennyspeed.services.sheet.drawing import COLOURS, MONO, draw_code, draw_plot
from pennyspeed.services.sheet.svg import svg

_FONTS = ((400, "Barlow-Regular"), (600, "Barlow-SemiBold"))
_CODE_MM = 24.0


def sheet_html(sheet: Sheet, choices: Choices | None = None) -> str:
    """Return the page; its template is ``resources/sheet/sheet.html``."""
    import jinja2
    from markupsafe import Markup

    chosen = choices or Choices()
    width, height = PAPERS[chosen.paper]
    room = width - 2 * sheet.sizes.margin_mm
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(str(resource_path("sheet"))),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )

    def plot(block: Plot) -> Markup:
        return Markup(svg(draw_plot(block, room), room, block.height, block.alternative))

    def code(found: Code) -> Markup:
        said = f"Code that reads {found.content}"
        return Markup(svg((draw_code(found, _CODE_MM),), _CODE_MM, _CODE_MM, said))

    def data(found: Picture) -> str:
        return f"data:{found.kind};base64,{base64.b64encode(found.data).decode()}"

    return environment.get_template("sheet.html").render(
        sheet=sheet,
        groups=sheet.groups(),
        kind_of=lambda block: type(block).__name__,
        plot=plot,
        code=code,
        data=data,
        paper=f"{width:g}mm {height:g}mm",
        colours=MONO if chosen.mono else COLOURS,
        fonts=[(weight, _font(name)) for weight, name in _FONTS],
        generator=f"Pennyspeed {__version__}",
    )


def _font(name: str) -> str:
    data = resource_path(f"fonts/{name}.ttf").read_bytes()
    return f"data:font/ttf;base64,{base64.b64encode(data).decode()}"
