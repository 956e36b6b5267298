"""Work on a sheet that is done beside the window: making it, and writing it to a file."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtGui import QImage

from pennyspeed.desktop.buildsheet.paper.layout import lay_out
from pennyspeed.desktop.buildsheet.paper.pdf import pages_pdf
from pennyspeed.desktop.buildsheet.paper.placed import Pages
from pennyspeed.desktop.buildsheet.paper.printing import pictures
from pennyspeed.domain.errors import UserError
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.files import PDF, rendered, suffix_of
from pennyspeed.services.whole_files import write_whole


@dataclass(frozen=True)
class Made:
    """A sheet that was made, with its pages; `trouble` says why there is none."""

    sheet: Sheet | None
    pages: Pages | None
    choices: Choices
    images: tuple[QImage, ...] = ()
    trouble: str = ""


@dataclass(frozen=True)
class Recipe:
    """How a sheet is made, to be followed in another thread."""

    make: partial[Sheet]
    choices: Choices


def make(recipe: Recipe, width: int) -> Made:
    """Make a sheet and its pictures, `width` pixels wide; what a person can mend is told."""
    try:
        sheet = recipe.make()
    except UserError as error:
        return Made(None, None, recipe.choices, trouble=str(error))
    pages = lay_out(sheet, *PAPERS[recipe.choices.paper])
    images = tuple(pictures(pages, recipe.choices, width))
    return Made(sheet, pages, recipe.choices, images)


def write(made: Made, path: Path) -> str:
    """Write a sheet as what the name ends in; return what to say of it, or raise UserError."""
    assert made.sheet is not None
    assert made.pages is not None
    suffix = suffix_of(path)
    if suffix == PDF:
        content = pages_pdf(made.pages, made.sheet, made.choices)
    else:
        content = rendered(made.sheet, made.choices, suffix)
    write_whole(path, content)
    return f"written to {path.name}"
