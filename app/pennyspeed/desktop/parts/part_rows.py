"""What is typed about a part: a row for its name, each figure and its price, read back into it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.topline.build_fields import read_figure, ungrouped
from pennyspeed.desktop.widgets.form import Choice, FormRow
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money, checked_currency
from pennyspeed.domain.parts.fields import Draw, Field, Shape, Value, parsed_number
from pennyspeed.domain.parts.glossary import field_help
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.domain.parts.provenance import WORDS, Provenance

PRICE_PLACE = "price"


def shown_value(field: Field, value: Value | None, measures: Measures) -> str:
    """Return a figure as the form shows it, with its unit, so that it reads back the same."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    target = measures.unit_for(field.unit)
    sides = value if isinstance(value, tuple) else (value,)
    # Ten digits carry a converted figure there and back within what any caliper shows.
    texts = [f"{measures.shown(side, field.unit):.10g}" for side in sides]
    texts = [text.replace(".", measures.decimal) if "e" not in text else text for text in texts]
    return " x ".join(texts) + (f" {target.symbol}" if target.symbol else "")


def read_price(
    text: str, old: Price | None, currency: str, measures: Measures, today: date
) -> Price | None:
    """Return the price that typed text names: the old one where the amount is the same.

    Raises
    ------
    BadInput
    """
    words = text.replace("\u00a0", " ").split()
    if not words:
        return None
    if len(words) > 1 and words[-1].isalpha():
        currency = checked_currency(words[-1].upper(), PRICE_PLACE)
        words = words[:-1]
    amount = parsed_number(ungrouped(" ".join(words), measures))
    if amount is None or not 0 <= amount < 1e12:
        raise BadInput(PRICE_PLACE, text, f"an amount such as 34.90 {currency}")
    money = Money.of(Decimal(repr(amount)), currency)
    if old is not None and old.amount == money:
        return old
    return Price(money, today)


def currency_of(part: Part | None, build: Build | None) -> str:
    """Return the currency that a price without one is in."""
    if part is not None and part.price is not None:
        return part.price.amount.currency
    return build.currency if build is not None else "EUR"


def keys_of(kind: Kind) -> list[str]:
    """Return the key of everything that can be said about a part, its name first."""
    return ["name", *(field.key for field in kind.fields), "price", "supplier", "link", "note"]


def rows_of(
    kind: Kind, part: Part | None, currency: str, measures: Measures, home: QWidget
) -> list[FormRow]:
    """Return a row for everything that can be said about a part, None for a new one."""
    return [row_of(key, kind, part, currency, measures, home) for key in keys_of(kind)]


def row_of(
    key: str, kind: Kind, part: Part | None, currency: str, measures: Measures, home: QWidget
) -> FormRow:
    """Return the row of one key, with what the part says there."""
    price = part.price if part is not None else None
    match key:
        case "name":
            return _line(key, "What it is called.", part.name if part else "", home)
        case "price":
            help = f"What it costs now, in {currency} unless you say; older prices are kept."
            return _line(key, help, measures.money(price.amount) if price else "", home)
        case "supplier":
            return _line(key, "Who asks that price.", price.supplier if price else "", home)
        case "link":
            return _line(key, "Where it is offered.", price.link if price else "", home)
        case "note":
            return _line(key, "Whatever you want to remember.", part.note if part else "", home)
    field = kind.field(key)
    value = None if part is None else part.figures.get(key)
    if field.shape is Shape.CHOICE:
        words = [(word, word) for word in field.choices]
        if not field.required:
            words.insert(0, ("not known", ""))
        choice = Choice(words, home)
        choice.setCurrentIndex(max(choice.findData(value), 0))
        editor: LineEdit | Choice = choice
    else:
        line = LineEdit(_hint(field, measures), home)
        line.setText(shown_value(field, value, measures))
        line.setCursorPosition(0)
        editor = line
    source = None
    if field.draw is not Draw.EXACT:
        sources = [(WORDS[one], one.value) for one in Provenance]
        source = Choice(sources, home)
        known = part.provenance_of(key) if part and value is not None else field.sure
        source.setCurrentIndex(source.findData(known.value))
    return FormRow(key, field.label, field_help(kind.key, field), editor, source)


def _line(key: str, help: str, text: str, home: QWidget) -> FormRow:
    editor = LineEdit("", home)
    editor.setText(text)
    editor.setCursorPosition(0)
    return FormRow(key, key, help, editor)


def _hint(field: Field, measures: Measures) -> str:
    unit = measures.unit_for(field.unit).symbol
    if field.shape is Shape.SIZE:
        return f"length x width x height {unit}"
    if field.required:
        return f"needed, {unit}" if unit else "needed"
    if field.default is not None:
        return f"{measures.figure(field, field.default)} unless given"
    return f"not known, {unit}" if unit else "not known"


def with_row(part: Part, row: FormRow, currency: str, measures: Measures) -> Part:
    """Return the part with what is typed in a row; BadInput where that is none."""
    match row.key:
        case "name":
            return replace(part, name=checked_name(row.text, "name"))
        case "note":
            return replace(part, note=row.text.strip())
        case "price":
            price = read_price(row.text, part.price, currency, measures, date.today())
            return replace(part, price=price)
        case "supplier" | "link":
            price = part.price
            if price is None:
                return part
            is_link = row.key == "link"
            supplier = price.supplier if is_link else row.text.strip()
            link = row.text.strip() if is_link else price.link
            return replace(part, price=replace(price, supplier=supplier, link=link))
    field = part.kind.field(row.key)
    value: Value | None
    before = part.figures.get(row.key)
    if row.text == shown_value(field, before, measures) and before is not None:
        value = before  # untouched: no rounding by the way through another unit
    elif field.shape in (Shape.TEXT, Shape.CHOICE):
        value = field.read(row.text, field.label)
    else:
        value = read_figure(field, row.text, measures)
    source = None
    if row.source is not None and value is not None:
        chosen = Provenance(row.source.currentData())
        said = part.provenance.get(row.key)
        source = chosen if said is not None or chosen is not field.sure else None
    return part.with_figure(row.key, value, source)
