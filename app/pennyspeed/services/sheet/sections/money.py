"""Money on the sheet: what is spent against the cap, what is not counted, what is still to buy.

Every amount is one of the book's, or a sum of such.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.measures import NOT_KNOWN
from pennyspeed.domain.money.book import ALONE, book, left_out_of
from pennyspeed.domain.money.calendar import ItemKind, agenda
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.domain.money.entries import Entry
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.money.money_words import (
    amount_text,
    notes_of,
    plain,
    price_text,
    what_costs,
)
from pennyspeed.services.reports.report import says_cost
from pennyspeed.services.sheet.document import (
    END,
    HALF,
    NOTE,
    STRONG,
    Block,
    Cell,
    Column,
    Item,
    Items,
    Paragraph,
    Section,
    Table,
    cells,
)
from pennyspeed.services.sheet.sheet_source import SheetSource

ASKS_TO_ORDER = (ItemKind.ORDER_BY, ItemKind.OVERDUE, ItemKind.LATE)
NO_SUPPLIER = "no supplier noted"
_MOST_NAMED = 8


def entries(matter: SheetSource) -> list[Entry]:
    """Return what a build's money consists of, in its order; the last are orders on their own."""
    return list(book(matter.build).entries)


def entry_of(part: Part, left: list[Entry]) -> Entry | None:
    """Return the entry that a part has, taken out of those left; None where it has none.

    Two extras of one name have an entry each.
    """
    for place, entry in enumerate(left):
        line = entry.line
        same_name = part.kind_key != EXTRAS.key or line.called == part.name
        is_own = line.fitted and entry.index != ALONE and line.part == part.kind_key
        if is_own and same_name:
            return left.pop(place)
    return None


def state_and_price(entry: Entry | None, matter: SheetSource) -> tuple[str, str]:
    """Return where an entry stands and what it costs, as text; "" where there is nothing."""
    if entry is None:
        return "", ""
    cost = _cost(entry, matter)
    price = "" if cost is None else matter.measures.money(cost, currency=False)
    return entry.line.status.value, price


def notes(entry: Entry | None, matter: SheetSource) -> list[str]:
    """Return how its price comes about where that is not plain, and what else is to be said."""
    if entry is None:
        return []
    price = price_text(matter.build, entry, matter.measures)
    said = notes_of(matter.build, entry, matter.measures, matter.made, with_share=False)
    return [price, *said] if price else said


def _cost(entry: Entry, matter: SheetSource) -> Money | None:
    """Return what is known of its cost, its share of the order included."""
    is_known = entry.goods is not None or entry.total
    return Money(entry.total, matter.build.currency) if is_known else None


def section(matter: SheetSource, title: str) -> Section:
    """Return the money of a build: sums by state, against the cap, and what is not counted."""
    build, measures = matter.build, matter.measures
    found = costs(build)
    sums = [
        ("spent", found.spent),
        ("promised", found.promised),
        ("planned", found.planned),
        (f"counted, {build.currency}", found.counted),
    ]
    if found.cap is not None and found.left is not None:
        over = found.left.minor < 0
        sums.append(("cap", found.cap))
        sums.append(("over the cap", -found.left) if over else ("left", found.left))
    table = Table(
        "Money by state, against the cap",
        tuple(Column(label, END, share=1.0) for label, _ in sums),
        (cells(*(measures.money(amount, currency=False) for _, amount in sums)),),
        row_heads=False,
    )
    blocks: list[Block] = [Paragraph(f"{says_cost(found, measures)}."), table]
    all_of_it = entries(matter)
    uncounted = [entry for entry in all_of_it if not entry.counts]
    if uncounted:
        listed = "; ".join(_says_cost_of(entry, matter) for entry in uncounted)
        blocks.append(
            Paragraph(f"Not counted, {measures.money(found.uncounted)} together: {listed}.")
        )
    unknown = [entry for entry in all_of_it if entry.counts and entry.why]
    if unknown:
        named = unknown[:_MOST_NAMED]
        listed = ", ".join(f"{entry.line.called} ({entry.why})" for entry in named)
        more = len(unknown) - len(named)
        listed += f" and {more} more" if more else ""
        blocks.append(Paragraph(f"Not in these sums yet: {listed}."))
    return Section("money", title, tuple(blocks), HALF)


def _says_cost_of(entry: Entry, matter: SheetSource) -> str:
    cost = _cost(entry, matter)
    text = NOT_KNOWN if cost is None else matter.measures.money(cost)
    return f"{entry.line.called} {text}"


def shopping(matter: SheetSource, title: str) -> Section:
    """Return what is still to buy, by supplier, what to make, and what is on its way."""
    blocks: list[Block] = []
    planned: dict[str, list[Entry]] = defaultdict(list)
    to_make: list[Entry] = []
    everything = entries(matter)
    for entry in everything:
        if entry.line.status is Status.PLANNED:
            own = to_make if _is_made(entry, matter) else planned[entry.supplier]
            own.append(entry)
    terms = {one.name: one for one in matter.suppliers}
    to_order = _to_order(matter)
    for supplier in sorted(planned, key=lambda name: (not name, name.casefold())):
        name = supplier or NO_SUPPLIER
        blocks.append(Paragraph(name[:1].upper() + name[1:], STRONG))
        blocks.append(_to_buy(f"To buy: {name}", planned[supplier], matter))
        if supplier in terms and any(one.order is None for one in planned[supplier]):
            blocks += _says_terms(terms[supplier], matter)
        blocks += [Paragraph(text, NOTE) for text in to_order.get(supplier, ())]
    if to_make:
        blocks.append(Paragraph("To make", STRONG))
        blocks.append(_to_buy("To make", to_make, matter))
    if not blocks:
        blocks.append(Paragraph("Nothing is left to buy."))
    coming = [entry for entry in everything if entry.line.status is Status.ORDERED]
    if coming:
        blocks.append(Paragraph("On the way", STRONG))
        items = tuple(Item(_says_coming(one, matter)) for one in coming)
        blocks.append(Items(items, boxes=True))
    return Section("shopping", title, tuple(blocks))


def _is_made(entry: Entry, matter: SheetSource) -> bool:
    part = matter.build.part_of_line(entry.line)
    return part is not None and part.recipe is not None


def _to_buy(summary: str, bought: Sequence[Entry], matter: SheetSource) -> Table:
    """Return goods, then the share that they bear of each order, then all of it."""
    build, measures = matter.build, matter.measures
    rows: list[tuple[Cell, ...]] = []
    shares: dict[str, tuple[str, int]] = {}
    for one in bought:
        if one.index != ALONE:
            price, currency = build.unit_price(one.line)
            each = amount_text(price, currency, measures)
            if each and currency != build.currency:
                each = f"{each} {currency}"
            known = one.goods is not None
            cost = measures.money(Money(one.goods or 0, build.currency), False)
            pieces = plain(one.line.quantity, measures)
            rows.append(cells(one.line.called, pieces, each, cost if known else NOT_KNOWN))
        if one.order is not None and one.order_share:
            reference = one.order.reference
            _, before = shares.get(reference, ("", 0))
            shares[reference] = (what_costs(one), before + one.order_share)
    for reference, (what, share) in shares.items():
        cost = measures.money(Money(share, build.currency), False)
        rows.append(cells(f"{what} of order {reference}", "", "", cost))
    total = Money(sum(one.total for one in bought), build.currency)
    together = f"together {left_out_of(one.why for one in bought)}".rstrip()
    rows.append(cells(together, "", "", measures.money(total, currency=False)))
    return Table(
        summary,
        (
            Column("what", share=1.0),
            Column("pieces", END),
            Column("each", END),
            Column(build.currency, END),
        ),
        tuple(rows),
        last_rows=1,
    )


def _to_order(matter: SheetSource) -> dict[str, list[str]]:
    """Return by supplier when what is planned has to be ordered, as the days of the build say."""
    said: dict[str, list[str]] = defaultdict(list)
    for item in agenda(matter.build, matter.leads, matter.made):
        if item.index is not None and item.kind in ASKS_TO_ORDER:
            line = matter.build.lines[item.index]
            if line.status is Status.PLANNED:
                said[matter.build.supplier_of(line)].append(f"{item.text}.")
    return said


def _says_terms(supplier: Supplier, matter: SheetSource) -> list[Block]:
    """Return what a supplier adds to goods that are in no order yet; nothing where nothing is."""
    texts, currency, measures = [], supplier.currency, matter.measures
    if supplier.postage:
        text = f"postage {amount_text(supplier.postage, currency, measures)} {currency} a parcel"
        if supplier.free_from is not None:
            text += f", none from {amount_text(supplier.free_from, currency, measures)} {currency}"
        texts.append(text)
    if supplier.duty_percent:
        texts.append(f"duty {plain(supplier.duty_percent, measures)} %")
    if not texts:
        return []
    said = "; ".join(texts)
    days = matter.leads.days(supplier.name)
    comes = "" if days is None else f" Comes in {say_days(days)}."
    return [
        Paragraph(
            f"{said[:1].upper()}{said[1:]}: not in this sum until there is an order.{comes}", NOTE
        )
    ]


def _says_coming(entry: Entry, matter: SheetSource) -> str:
    line, measures = entry.line, matter.measures
    texts = [line.called]
    if entry.index != ALONE and line.quantity != 1:
        texts.append(f"{plain(line.quantity, measures)} pieces")
    if entry.supplier:
        texts.append(f"from {entry.supplier}")
    if line.order and entry.index != ALONE:
        texts.append(f"order {line.order}")
    due = matter.build.awaited_on(line)
    if due is not None:
        texts.append(f"due {say_day(due)}")
    cost = _cost(entry, matter)
    if cost is not None:
        texts.append(measures.money(cost))
    return ", ".join([*texts, *notes_of(matter.build, entry, measures, matter.made)])
