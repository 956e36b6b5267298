"""How the columns of the money table share its width."""

from __future__ import annotations

from pennyspeed.desktop.money.money_model import MoneyModel
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import px

GAP, SIGN = 14, 18
LEAST_NAME, MOST_NAME, MOST_FROM, LATE = 120, 192, 104, 22
SPARED = ("so_far", "ordered", "part", "from", "lines", "price", "planned", "promised", "spent")
"""Columns that stay out first where there is no room for all; a row's tooltip tells them."""


def shared(model: MoneyModel, room: int) -> dict[int, int]:
    """Return the columns that have room and their widths, without what is between them.

    The name has what is left; where that is too little, others stay out one after the other.
    """
    columns = model.columns
    widths = [_natural(model, place) for place in range(len(columns))]
    shown = set(range(len(columns)))
    name = model.column_of("name")
    if name < 0:
        return {}
    least = min(max(_name_width(model), px(LEAST_NAME)), px(MOST_NAME))

    def needed() -> int:
        gaps = px(GAP) * (len(shown) - 1)
        return sum(widths[i] for i in shown if i != name) + gaps + least

    for key in SPARED:
        if needed() <= room:
            break
        shown.discard(model.column_of(key))
    widths[name] = max(px(LEAST_NAME), room - needed() + least)
    place = model.column_of("from")
    if place in shown:
        # What the name has too much goes to where things are from, as far as that is cut.
        wanted = max(_widest(model, "from", "body") - widths[place], 0)
        spare = min(max(widths[name] - _name_width(model), 0), wanted)
        widths[name] -= spare
        widths[place] += spare
    return {i: widths[i] for i in sorted(shown)}


def _widest(model: MoneyModel, key: str, role: str) -> int:
    advance = theme.metrics(role).horizontalAdvance
    texts = {row.cells[key] for row in model.rows}
    return round(max((advance(text) for text in texts), default=0.0)) + 2


def _natural(model: MoneyModel, place: int) -> int:
    column = model.columns[place]
    role = "name_chosen" if column.key in ("amount", "arrives") else "body"
    wide = _widest(model, column.key, role)
    if column.key == "status":
        wide += px(SIGN)
    if column.key == "arrives" and any(row.is_late for row in model.rows):
        wide += px(LATE)
    if column.key == "from":
        wide = min(wide, px(MOST_FROM))
    title = theme.metrics("label").horizontalAdvance(column.title)
    return max(wide, round(title) + 2)


def _name_width(model: MoneyModel) -> int:
    """Return what the widest name takes together with its notes."""
    own = theme.metrics("name_chosen").horizontalAdvance
    noted = theme.metrics("label").horizontalAdvance
    wide = 0.0
    for row in model.rows:
        notes = noted(", ".join(row.notes))
        wide = max(wide, own(row.cells["name"]) + (px(8) + notes if notes else 0))
    return round(wide) + 2
