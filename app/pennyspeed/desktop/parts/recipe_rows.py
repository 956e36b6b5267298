"""What is typed about an ingredient: a row for each of its figures, read back into it."""

from __future__ import annotations

from dataclasses import fields as fields_of
from decimal import Decimal
from typing import Any

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money.money_fields import plain, read_amount
from pennyspeed.desktop.widgets.form import Choice, FormRow
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.ingredients import KINDS, Figure, Ingredient, Volume
from pennyspeed.domain.parts.materials import MATERIALS
from pennyspeed.domain.parts.recipes import TIME, checked_amount

KIND, NAME, MATERIAL = "kind", "name", "material"
UNSAID = "not known"


class RecipeRows:
    """Makes the rows of an ingredient and of the hours.

    Parameters
    ----------
    home : QWidget
        Whose children the editors are.
    currency : str
        Of every price.
    measures : Measures
    """

    def __init__(self, home: QWidget, currency: str, measures: Measures) -> None:
        self._home, self._currency, self._measures = home, currency, measures

    def of_ingredient(self, one: Ingredient) -> list[FormRow]:
        """Return its kind, its name and its figures, each in a row."""
        kinds = [(kind.LABEL, key) for key, kind in KINDS.items()]
        rows = [
            self._choice(KIND, "how", "How cost and mass follow.", kinds, one.KIND),
            self._line(NAME, "what it is", "A name, for you.", one.name, ""),
        ]
        if isinstance(one, Volume):
            words = [(f"{each.name}, {each.density:f} g/cm³", each.key) for each in MATERIALS]
            help = "Whose published density holds where none is given below."
            choices = [("another, as given", ""), *words]
            rows.append(self._choice(MATERIAL, "material", help, choices, one.material))
        rows += [self.of_figure(figure, getattr(one, figure.key)) for figure in one.FIGURES]
        return rows

    def of_figure(self, figure: Figure, value: Decimal | None) -> FormRow:
        """Return the row of one figure; None is not known."""
        unit = self._currency if figure.unit == "price" else figure.unit
        hint = UNSAID if figure.default is None else plain(figure.default, self._measures)
        if figure is TIME[1]:
            hint = "not counted"
        label = f"{figure.label}, {unit}" if unit else figure.label
        text = "" if value == figure.default else plain(value, self._measures)
        return self._line(figure.key, label, label, text, hint)

    def _line(self, key: str, label: str, help: str, text: str, hint: str) -> FormRow:
        editor = LineEdit(hint, self._home)
        editor.setText(text)
        return FormRow(key, label, help, editor)

    def _choice(
        self, key: str, label: str, help: str, words: list[tuple[str, str]], value: str
    ) -> FormRow:
        editor = Choice(words, self._home)
        editor.setCurrentIndex(max(editor.findData(value), 0))
        return FormRow(key, label, help, editor)


def as_kind(one: Ingredient, key: str, kept: dict[str, object] | None = None) -> Ingredient:
    """Return an ingredient of another kind, with the figures that this has too.

    `kept` holds what the kinds before had, and takes this one's: who goes through the kinds and
    back finds everything again.
    """
    kind = KINDS[key]
    held: dict[str, Any] = {} if kept is None else kept
    held |= {each.name: getattr(one, each.name) for each in fields_of(one)}
    return kind(**{each.name: held[each.name] for each in fields_of(kind) if each.name in held})


def read_into(
    values: dict[str, object], row: FormRow, figure: Figure, measures: Measures, complain: bool
) -> bool:
    """Read a row's figure into `values`; tell whether it was any good."""
    text = row.text.strip()
    row.complaint = ""
    try:
        typed = None if not text else f"{read_amount(text, row.label, measures):f}"
        values[figure.key] = checked_amount(figure, typed, row.label)
    except BadInput as error:
        if complain:
            row.complaint = str(error)
        return False
    return True
