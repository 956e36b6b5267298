"""Work on a sheet that is done beside the window: making it, and writing it to a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QImage

from pennyspeed.desktop.buildsheet.paper.page_layout import lay_out
from pennyspeed.desktop.buildsheet.paper.pdf import pages_pdf
from pennyspeed.desktop.buildsheet.paper.printing import pictures
from pennyspeed.domain.errors import UserError
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.files import PDF, rendered, suffix_of
from pennyspeed.services.sheet.paper.page_items import Pages
from pennyspeed.services.whole_files import write_whole


@dataclass(frozen=True)
class Made:
    """A sheet that was made, with its pages; `trouble` says why there is none."""

    sheet: Sheet | None
    pages: Pages | None
    choices: Choices
    images: tuple[QImage, ...] = ()
    trouble: str = ""


def make(gather: Callable[[], Sheet], choices: Choices, width: int) -> Made:
    """Make a sheet and its pictures, `width` pixels wide; what a person can mend is told."""
    try:
        sheet = gather()
    except UserError as error:
        return Made(None, None, choices, trouble=str(error))
    pages = lay_out(sheet, *PAPERS[choices.paper])
    return Made(sheet, pages, choices, tuple(pictures(pages, choices, width)))


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
