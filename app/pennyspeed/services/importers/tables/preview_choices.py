"""What a person can choose about a table that is looked at, where it was not guessed right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from pennyspeed.domain.kinds import KINDS
from pennyspeed.services.importers.tables.columns import LEFT_OUT
from pennyspeed.services.importers.tables.preview import Preview
from pennyspeed.services.importers.tables.table_subjects import SUBJECTS

WHAT, KIND, SHEET = "what", "kind", "sheet"


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing that can be chosen.

    Attributes
    ----------
    key : int or str
        A column's place, or a word for what concerns the whole table.
    label : str
        The header, as the file has it.
    options : sequence of (str, str)
        What a person reads, and what it stands for.
    chosen : str
    sample : str
        What stands in the column.
    is_strange : bool
        Nobody knows what the column holds, so that it is left out.
    """

    key: int | str
    label: str
    options: Sequence[tuple[str, str]]
    chosen: str
    sample: str = ""
    is_strange: bool = False


@dataclass
class PreviewChoices:
    """What was chosen; "" is to be guessed.

    Attributes
    ----------
    what, kind, sheet : str
        As :func:`~pennyspeed.services.importers.tables.preview.preview` takes them.
    mapping : dict
        Column's place to what it is to be read as.
    """

    what: str = ""
    kind: str = ""
    sheet: str = ""
    mapping: dict[int, str] = field(default_factory=dict)

    def choose(self, key: int | str, value: str) -> None:
        """Take a choice; of another sheet or subject no column has been chosen yet."""
        if isinstance(key, int):
            self.mapping[key] = value
            return
        setattr(self, key, value)
        if key != KIND:
            self.mapping.clear()

    def asked(self, preview: Preview) -> list[Asked]:
        """Return all that can be chosen about a preview, with what it goes by."""
        subjects = [(one.label, one.key) for one in SUBJECTS]
        asked = [Asked(WHAT, "the rows are", subjects, preview.what)]
        if len(preview.sheets) > 1:
            sheets = [("the first with columns", ""), *((name, name) for name in preview.sheets)]
            asked.append(Asked(SHEET, "sheet", sheets, self.sheet))
        if preview.what != "lines":
            kinds = [("as each row says", ""), *((kind.label, kind.key) for kind in KINDS)]
            asked.append(Asked(KIND, "kind of part", kinds, preview.kind))
        options = [("left out", LEFT_OUT), *((label, key) for key, label in preview.choices)]
        for place, column in enumerate(preview.columns):
            sample = ", ".join(column.samples)
            is_strange = column.trouble is not None
            label = column.header or f"column {place + 1}"
            # What was chosen stays, though it is left out: arrow keys go on from there.
            chosen = self.mapping.get(place, column.target)
            asked.append(Asked(place, label, options, chosen, sample, is_strange))
        return asked
