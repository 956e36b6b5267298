"""Lists as text: parts, previews, a build's money and its dates, for the command line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.money.book import Book, Entry, Sum, book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Field, Value
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.money.money_words import notes_of, price_text
from pennyspeed.services.reports.report import printable, says_cost
from pennyspeed.services.shelf.stock import ABOUT, title_of

if TYPE_CHECKING:
    from pennyspeed.domain.money.calendar import Item
    from pennyspeed.services.importers.tables.preview import Preview
    from pennyspeed.services.money.baskets import Basket


_NOBODY = "nobody named"
_STAGES = ("spent", "promised", "planned", "in all")


def aligned(rows: Sequence[Sequence[str]], left: Iterable[int] = (0,)) -> str:
    """Return rows as lines of aligned columns; those named stand to the left, others to the right.

    >>> aligned([("name", "g"), ("foam", "12")])
    'name   g\\nfoam  12\\n'
    """
    to_the_left = set(left)
    texts = [[printable(text) for text in row] for row in rows]
    widths = [max(len(row[i]) for row in texts) for i in range(len(texts[0]))] if texts else []
    return "".join(
        "  ".join(
            text.ljust(width) if i in to_the_left else text.rjust(width)
            for i, (text, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        + "\n"
        for row in texts
    )


def parts_list(found: Sequence[Part], measures: Measures) -> str:
    """Return parts as aligned columns: name, the kind's own columns, price."""
    if not found:
        return ""
    kind = found[0].kind
    fields = kind.shelf_fields
    rows = [["name", *(title_of(field, measures) for field in fields), "price"]]
    for part in found:
        price = "" if part.price is None else measures.money(part.price.amount)
        figures = [
            "" if value is None else _figure(part, field, value, measures)
            for field, value in ((field, part.figure(field.key)) for field in fields)
        ]
        rows.append([part.name, *figures, price])
    return aligned(rows)


def _figure(part: Part, field: Field, value: Value, measures: Measures) -> str:
    """Return a figure without its unit, with a sign before one that was worked out."""
    text = measures.figure(field, value, unit=False)
    return f"{ABOUT} {text}" if part.provenance.get(field.key) is Provenance.WORKED_OUT else text


def preview_list(preview: Preview) -> str:
    """Return a preview as lines: what each row would do that does anything, and the sum."""
    texts = []
    for row in preview.rows:
        changes = [
            f"{one.what} {one.old or 'nothing'} → {one.new or 'nothing'}" for one in row.changes
        ]
        reasons = "; ".join((*changes, *map(str, row.refusals)))
        if row.verdict != "same":
            text = f"row {row.number}: {row.verdict} {row.name}"
            texts.append(printable(f"{text}: {reasons}" if reasons else text))
    return "\n".join((*texts, preview.summary)) + "\n"


def money_list(build: Build, measures: Measures, today: date) -> str:
    """Return every line of a build's money, and what they add up to."""
    found = book(build)
    lines: list[tuple[str, ...]] = [("", "", build.currency, "")]
    lines += [_money_row(build, entry, measures, today) for entry in found.entries]
    sums: list[tuple[str, ...]] = [("", *_STAGES)]
    for what, one in (("counts", found.sums.counted), ("does not count", found.sums.uncounted)):
        sums.append(_sum_row(what, one, found, measures))
    shops: list[tuple[str, ...]] = [("from", *_STAGES)]
    for supplier, both in found.by_supplier().items():
        shops.append(_sum_row(supplier or _NOBODY, both.whole, found, measures))
    blocks = [printable(build.name) + "\n"]
    if found.entries:
        blocks += [aligned(lines, (0, 1, 3)), aligned(sums), aligned(shops)]
    blocks.append(f"Cap: {says_cost(costs(build), measures)}\n")
    if found.unpriced:
        blocks[-1] += f"Without a price: {printable(', '.join(found.unpriced))}\n"
    return "\n".join(blocks)


def _money_row(build: Build, entry: Entry, measures: Measures, today: date) -> tuple[str, ...]:
    line = entry.line
    remarks = (price_text(build, entry, measures), *notes_of(build, entry, measures, today))
    amount = "" if entry.why else measures.money(Money(entry.total, build.currency), currency=False)
    return line.status.value, line.called, amount, "; ".join(filter(None, remarks))


def _sum_row(what: str, one: Sum, found: Book, measures: Measures) -> tuple[str, ...]:
    amounts = (one.spent, one.promised, one.planned, one.total)
    return what, *(measures.money(found.money(minor), currency=False) for minor in amounts)


def agenda_list(items: Sequence[Item]) -> str:
    """Return what is open, overdue or missing, a line each."""
    rows = [("" if item.day is None else item.day.isoformat(), item.text) for item in items]
    return aligned(rows, (0, 1)) or "Nothing is open.\n"


def basket_list(build: Build, found: Basket, measures: Measures) -> str:
    """Return what to buy where, what each parcel costs, and what that saves."""
    if not found.choices:
        return "Nothing is left to buy.\n"
    buys: list[tuple[str, ...]] = [("buy", "from", found.currency)]
    for choice in found.choices:
        index, price, goods = choice.want.index, choice.price, choice.goods
        what = "" if index is None else build.lines[index].called
        if price is None or goods is None:
            buys.append((what, choice.why, ""))
            continue
        shop = f"{price.supplier or _NOBODY}{', an old price' if choice.is_stale else ''}"
        buys.append((what, shop, measures.money(goods, currency=False)))
    parcels: list[tuple[str, ...]] = [("parcel", "goods", "duty", "postage", "in all")]
    for parcel in found.parcels:
        sums = (parcel.goods, parcel.duty, parcel.postage, parcel.total)
        texts = [measures.money(one, currency=False) for one in sums]
        if not parcel.is_known:
            texts[2] = NOT_KNOWN
        parcels.append((parcel.supplier or _NOBODY, *texts))
    text = f"In all {measures.money(found.total)}"
    saved = found.saving_now
    if saved is not None and saved.minor > 0:
        text += f", {measures.money(saved)} less than from the shops named now"
    return "\n".join((aligned(buys, (0, 1)), aligned(parcels), text + "\n"))
