"""Compaction: what of a sheet gives way a little where that saves a page."""

from __future__ import annotations

from dataclasses import replace

from pennyspeed.services.sheet.curves import Plot
from pennyspeed.services.sheet.document import Block, Sheet, Table

_LOWER = 0.84
"""How much lower drawings and rows to write in become."""
_LEAST_BLANKS, _MOST_ROWS = 2, 3
"""Blank rows that stay, and rows that may go."""


def closer(sheet: Sheet) -> tuple[Sheet, Sheet]:
    """Return the sheet with lower drawings and rows to write in, then with fewer such rows too."""
    lower = _lower(sheet)
    return lower, _shorter(lower)


def gives_way(sheet: Sheet) -> float:
    """Return the height of everything that can give way [mm]."""
    plots = sum(block.height for block in sheet.blocks() if isinstance(block, Plot))
    tables = [block for block in sheet.blocks() if isinstance(block, Table) and block.writing]
    return plots + sheet.sizes.writing_mm * sum(len(table.rows) for table in tables)


def _lower(sheet: Sheet) -> Sheet:
    sizes = replace(sheet.sizes, writing_mm=_LOWER * sheet.sizes.writing_mm)
    sections = tuple(
        replace(
            section,
            blocks=tuple(
                replace(block, height=_LOWER * block.height) if isinstance(block, Plot) else block
                for block in section.blocks
            ),
        )
        for section in sheet.sections
    )
    return replace(sheet, sizes=sizes, sections=sections)


def _shorter(sheet: Sheet) -> Sheet:
    """Return the sheet with a few blank rows less at the end of what is filled in by hand."""
    return replace(
        sheet,
        sections=tuple(
            replace(section, blocks=tuple(map(_with_few_blanks, section.blocks)))
            for section in sheet.sections
        ),
    )


def _with_few_blanks(block: Block) -> Block:
    if not isinstance(block, Table) or not block.writing:
        return block
    said = [place for place, row in enumerate(block.rows, 1) if any(cell.text for cell in row)]
    least = max(said, default=0) + _LEAST_BLANKS
    return replace(block, rows=block.rows[: max(least, len(block.rows) - _MOST_ROWS)])
