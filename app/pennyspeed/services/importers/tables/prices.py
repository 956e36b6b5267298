"""Names and prices in tables: what parts, offers and lines have in common."""

from __future__ import annotations

import re
from datetime import date

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, KINDS, Kind
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.tables.cells import Cells, day, money, whole
from pennyspeed.services.importers.tables.columns import Target

KIND = Target("kind", "kind", ("type", "slot", "category", "art", "typ"))
NAME = Target("name", "name", ("part name", "article", "item", "title", "bezeichnung", "artikel"))
PRICE_TARGETS = (
    Target("price", "price", ("unit price", "cost", "preis"), is_numeric=True, is_money=True),
    Target("currency", "currency", ("währung",)),
    Target("supplier", "supplier", ("shop", "vendor", "seller", "store", "lieferant", "händler")),
    Target("on", "date of the price", ("date", "price date", "as of", "datum")),
    Target("link", "link", ("url", "web", "web page")),
    Target("in_stock", "in stock", ("stock", "available", "lager"), is_numeric=True),
    Target(
        "lead_days",
        "lead time in days",
        ("lead time", "delivery days", "delivery time", "lieferzeit"),
        is_numeric=True,
    ),
)


def kind_named(text: str) -> Kind | None:
    """Return the kind of that key, label or plural, or None."""
    return _KINDS_BY_NAME.get(text.strip().casefold())


_KINDS_BY_NAME = {
    name: kind
    for kind in reversed(KINDS)
    for name in (kind.key, kind.label.casefold(), kind.plural.casefold())
}


def kind_of_file(stem: str) -> Kind | None:
    """Return the kind that a file is named for: motor, "my motors 2027"."""
    exact = kind_named(stem)
    if exact is not None:
        return exact
    words = re.split(r"[\W\d_]+", stem.casefold())
    named = {kind.key: kind for kind in map(kind_named, words) if kind}
    return next(iter(named.values())) if len(named) == 1 else None


def kind_of_row(cells: Cells, kind: Kind | None) -> Kind:
    """Return the kind that a row names, else `kind`; BadInput where there is neither."""
    cell = cells["kind"]
    found = kind_named(cell) if cell else kind
    if found is None:
        raise BadInput(cells.place("kind"), cell or None, "one of " + ", ".join(BY_KEY))
    return found


def price_of(cells: Cells, old: Part | None, today: date) -> Price | None:
    """Return the price that a row states; None where it states none.

    It is the part's own where the row says nothing that this does not.
    """
    amount = money(cells, "price")
    if amount is None:
        return None
    price = Price(
        amount,
        day(cells["on"], cells.place("on")) or today,
        cells["supplier"],
        cells["link"],
        whole(cells["in_stock"], cells.place("in_stock")),
        whole(cells["lead_days"], cells.place("lead_days")),
    )
    current = old.price if old is not None else None
    return current if current is not None and says(cells, price, current) else price


def says(cells: Cells, price: Price, known: Price) -> bool:
    """Tell whether a row's `price` says nothing that a known price does not."""
    if price.amount != known.amount or (cells["on"] and price.on != known.on):
        return False
    return all(
        _bare(getattr(price, attribute)) == _bare(getattr(known, attribute))
        for attribute in ("supplier", "link", "in_stock", "lead_days")
        if attribute in cells
    )


def _bare(value: object) -> object:
    return value.strip() if isinstance(value, str) else value
