"""Section that stands builds beside each other."""

from __future__ import annotations

from pennyspeed.services.prediction.comparison import LETTERS, SAME, compare
from pennyspeed.services.sheet.document import (
    DIFFERS,
    NOTE,
    Cell,
    Column,
    Paragraph,
    Section,
    Table,
)
from pennyspeed.services.sheet.sheet_source import SheetSource


def beside(matter: SheetSource, title: str) -> Section:
    """Return the comparison, row by row; what differs from the first build is set bold."""
    measures = matter.measures
    found = compare(matter.named, measures)
    columns = [Column("")]
    columns += [
        Column(f"{letter}  {name}", share=1.0)
        for letter, name in zip(LETTERS, found.names, strict=False)
    ]
    unit = measures.speed_unit.symbol
    road = f"speed on the road, {unit}"
    first, *others = found.speeds
    marked = [Cell(one, "" if one == first else DIFFERS) for one in others]
    rows = [(Cell(road), Cell(first), *marked)]
    for row in found.rows:
        texts = [Cell(row.label), Cell(row.cells[0].text)]
        texts += [Cell(SAME) if cell.same else Cell(cell.text, DIFFERS) for cell in row.cells[1:]]
        rows.append(tuple(texts))
    table = Table("Builds beside each other", tuple(columns), tuple(rows))
    if len(found.names) == 1:
        note = "No other build is held beside this one."
    else:
        note = f"Bold: differs from A, {found.names[0]}."
    return Section("beside", title, (table, Paragraph(note, NOTE)))
