"""Rows of the cheapest basket: which shop for which line, and what comes in which parcel."""

from __future__ import annotations

from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.services.money.baskets import Basket, Choice, Parcel
from pennyspeed.services.money.money_words import plain
from pennyspeed.services.shopping.offer_rows import say_age
from pennyspeed.services.table_rows import Cell, ColumnHead, TableRow

CHOICES = (
    ColumnHead("thing", "What is still to buy.", grows=True),
    ColumnHead("from now", "The shop that the line names now.", grows=True),
    ColumnHead("cheapest from", "The shop that is cheapest for all together.", grows=True),
    ColumnHead("each", "Its price, in its currency.", True),
    ColumnHead("goods", "In the build's currency, for all of them.", True),
    ColumnHead("days", "From order to arrival.", True),
    ColumnHead("", "Whether its price is old, or why no offer will do."),
)
PARCELS = (
    ColumnHead("parcel from", "One parcel from each shop.", grows=True),
    ColumnHead("goods", "What is in it.", True),
    ColumnHead("duty", "Duty and tax.", True),
    ColumnHead("postage", "For the parcel.", True),
    ColumnHead("together", "Goods, duty and postage.", True),
    ColumnHead("", "Whether what the shop takes for sending is known."),
)
NOBODY = "not chosen"


def choice_rows(build: Build, basket: Basket, measures: Measures, today: date) -> list[TableRow]:
    """Return a row for each line that is still to buy."""
    return [
        TableRow(choice.want.index, _choice_cells(build, choice, measures, today))
        for choice in basket.choices
    ]


def _choice_cells(
    build: Build, choice: Choice, measures: Measures, today: date
) -> tuple[Cell, ...]:
    want, price = choice.want, choice.price
    name = build.lines[want.index].called if want.index is not None else ""
    many = "" if want.quantity == 1 else f"{plain(want.quantity, measures)} × "
    first = (
        Cell(many + name, tone="strong"),
        Cell(want.now or NOBODY, tone="" if want.now else "quiet"),
    )
    if price is None or choice.goods is None:
        blank = Cell("–", tone="quiet")
        return (*first, blank, blank, blank, blank, Cell(choice.why, Level.UNKNOWN))
    is_other = price.supplier != want.now
    days = "–" if choice.lead_days is None else str(choice.lead_days)
    return (
        *first,
        Cell(price.supplier or NOBODY, tone="strong" if is_other else "quiet"),
        Cell(measures.money(price.amount)),
        Cell(measures.money(choice.goods, False)),
        Cell(days, tone="quiet" if choice.lead_days is None else ""),
        Cell(say_age(price, today), Level.WARN) if choice.is_stale else Cell(),
    )


def parcel_rows(basket: Basket, measures: Measures) -> list[TableRow]:
    return [TableRow(one.supplier, _parcel_cells(one, measures)) for one in basket.parcels]


def _parcel_cells(parcel: Parcel, measures: Measures) -> tuple[Cell, ...]:
    return (
        Cell(parcel.supplier or NOBODY, tone="strong"),
        Cell(measures.money(parcel.goods, False)),
        Cell(measures.money(parcel.duty, False)),
        Cell(measures.money(parcel.postage, False)),
        Cell(measures.money(parcel.total, False), tone="strong"),
        Cell() if parcel.is_known else Cell("postage not known", Level.UNKNOWN),
    )


def totals(basket: Basket, measures: Measures) -> list[str]:
    """Return what all comes to, then goods, postage and duty."""
    parcels = len(basket.parcels)
    count = "1 parcel" if parcels == 1 else f"{parcels} parcels"
    texts = [f"{measures.money(basket.total)} for all in {count}"]
    texts.append(f"goods {measures.money(basket.goods, False)}")
    texts.append(f"postage {measures.money(basket.postage, False)}")
    if basket.duty.minor:
        texts.append(f"duty {measures.money(basket.duty, False)}")
    return texts


def saving_note(basket: Basket, measures: Measures) -> str:
    """Return what the basket saves, and how much of it has no offer."""
    texts = []
    for saving, against in (
        (basket.saving_now, "from the shops named now"),
        (basket.saving, "each where it alone is cheapest"),
    ):
        if saving is not None and saving.minor > 0:
            texts.append(f"{measures.money(saving)} less than {against}")
            break
    unmet = len(basket.unmet)
    if unmet:
        texts.append("1 thing has no offer" if unmet == 1 else f"{unmet} things have no offer")
    is_best = basket.choices and not texts
    return "; ".join(texts) or ("as cheap as it is now" if is_best else "")


def taken_words(basket: Basket, measures: Measures) -> str:
    """Return what was done where the basket was taken."""
    saved = basket.saving_now
    if saved is None or saved.minor <= 0:
        return "took the cheapest shops"
    return f"took the cheapest shops, {measures.money(saved)} less"
