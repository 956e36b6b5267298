"""Taking a preview in, all of it or nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pennyspeed.domain.errors import UserError
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.importer import Imported
from pennyspeed.services.importers.tables.part_rows import PartEntry
from pennyspeed.services.importers.tables.preview import Preview, Stock
from pennyspeed.services.importers.tables.rows import OFTEN, Told, Verdict

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


def stock_of(work: Work) -> Stock:
    """Return the catalogue of an open transaction."""
    return Stock(
        lambda kind_key: work.parts.of_kind(kind_key, archived=True), work.parts.price_history
    )


def take(
    work: Work, preview: Preview, leave_out_refused: bool = False, told: Told | None = None
) -> Imported:
    """Store what a preview shows; the caller commits.

    Parameters
    ----------
    work : Work
    preview : Preview
    leave_out_refused : bool
        Take the others in although some rows are refused.
    told : callable, optional
        How far it is.

    Raises
    ------
    BadInput
        The first refusal, where rows are refused and not to be left out.
    UserError
        Where what the preview was made of is another now.
    """
    if preview.trouble is not None:
        raise preview.trouble.within(str(preview.path))
    refused = preview.refused
    if refused and not leave_out_refused:
        raise refused[0].refusals[0].error.within(str(preview.path))
    if preview.what == "lines":
        return _take_lines(work, preview)
    take_rows = _take_offers if preview.what == "offers" else _take_parts
    take_rows(work, preview, told)
    if told is not None:
        told(len(preview.rows), len(preview.rows))
    return Imported(_summary(preview, leave_out_refused))


def _take_parts(work: Work, preview: Preview, told: Told | None) -> None:
    stock = stock_of(work)
    new, changed = [], []
    prices: list[tuple[int, Price]] = []
    for was, entry, name in _rows(preview, told):
        _refuse_other(preview, stock.find(entry.part.kind_key, name), was and was.part)
        if was is None:
            new.append(entry.part)
        else:
            changed.append(entry.part)
            prices += _new_prices(work, was.part, entry)
    work.parts.add_many(new)
    work.parts.note(part.id for part in changed if part.id is not None)
    for part in changed:
        work.parts.save(part)
    for id, price in prices:
        work.parts.note_price(id, price)


def _rows(preview: Preview, told: Told | None = None) -> Iterator[tuple[Any, Any, str]]:
    """Yield what is there, or None, what is to be there, and its name, of rows that do anything."""
    for done, row in enumerate(preview.rows):
        if told is not None and done % OFTEN == 0:
            told(done, len(preview.rows))
        if row.verdict in (Verdict.NEW, Verdict.CHANGED):
            yield row.before, row.value, row.name


def _new_prices(work: Work, was: Part, entry: PartEntry) -> list[tuple[int, Price]]:
    """Return the prices of a row that the history of its part lacks."""
    price, id = entry.part.price, was.id
    assert id is not None
    came = [one for one in (entry.older, None if price == was.price else price) if one]
    known = work.parts.price_history(id) if came else ()
    return [(id, one) for one in came if one not in known]


def _take_offers(work: Work, preview: Preview, told: Told | None) -> None:
    stock = stock_of(work)
    prices: dict[int, list[Price]] = {}
    for _, entry, _ in _rows(preview, told):
        part, price = entry.part, entry.price
        _refuse_other(preview, stock.find(part.kind_key, part.name.strip()), part)
        prices.setdefault(part.id, []).append(price)
    work.parts.note(prices)
    for id, own in prices.items():
        for price in sorted(own, key=lambda price: price.on):
            work.offers.save(id, price)


def _take_lines(work: Work, preview: Preview) -> Imported:
    build = preview.build
    assert build is not None
    stored = build if build.id is None else work.builds.get(build.id)
    if stored.lines != build.lines or stored.currency != build.currency:
        raise _is_other(preview, build.name)
    lines = list(build.lines)
    for _, entry, _ in _rows(preview):
        if entry.index is None:
            lines.append(entry.line)
        else:
            lines[entry.index] = entry.line
    after = work.builds.save(replace(stored, lines=tuple(lines)))
    return Imported(_summary(preview, True), after, stored)


def _refuse_other(preview: Preview, now: Part | None, then: Part | None) -> None:
    if now is then:
        return
    if now is None or then is None or now.id != then.id or now != then:
        raise _is_other(preview, (now or then or Part("", "")).name)


def _is_other(preview: Preview, name: str) -> UserError:
    return UserError(
        f"{name} was changed since {preview.path.name} was looked at; nothing was taken in, "
        "look at it again."
    )


def _summary(preview: Preview, leave_out_refused: bool) -> str:
    counts = preview.counts
    text = f"{_counted(preview.what, counts[Verdict.NEW])} added, {counts[Verdict.CHANGED]} changed"
    refused = counts[Verdict.REFUSED]
    return f"{text}, {refused} left out." if leave_out_refused and refused else f"{text}."


def _counted(what: str, number: int) -> str:
    return f"{number:,} {what.removesuffix('s') if number == 1 else what}"
