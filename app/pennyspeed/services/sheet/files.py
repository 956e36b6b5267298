"""Files: which kinds of file a sheet can be, and those that need no paper."""

from __future__ import annotations

from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.sheet.choices import Choices
from pennyspeed.services.sheet.document import Sheet

PDF, HTML, TEXT = ".pdf", ".html", ".txt"
SUFFIXES = (PDF, HTML, TEXT)


def suffix_of(path: Path) -> str:
    """Return the suffix that says what a file is to be; BadInput where it is none of ours."""
    suffix = path.suffix.casefold()
    if suffix not in SUFFIXES:
        expected = "a name that ends in " + ", ".join(SUFFIXES[:-1]) + f" or {SUFFIXES[-1]}"
        raise BadInput("file", str(path), expected)
    return suffix


def rendered(sheet: Sheet, choices: Choices, suffix: str) -> bytes:
    """Return a sheet as the bytes of an HTML or a text file."""
    if suffix == HTML:
        from pennyspeed.services.sheet.html import sheet_html

        return sheet_html(sheet, choices).encode()
    from pennyspeed.services.sheet.text import sheet_text

    return sheet_text(sheet).encode()
