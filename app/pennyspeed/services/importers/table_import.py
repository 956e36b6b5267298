"""Taking a preview in, all of it or nothing, and taking it back out again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.importers.part_rows import PartEntry
from pennyspeed.services.importers.preview import Preview, Stock
from pennyspeed.services.importers.rows import OFTEN, Told, Verdict
from pennyspeed.storage.changes import Kept, PartChange

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


@dataclass(frozen=True)
class ImportedTable:
    """What was taken in, and what was there before.

    Attributes
    ----------
    name : str
        Of the file.
    summary : str
        One sentence for a person.
    before, after : tuple of Part
        The changed parts as they were; all parts, the new ones too, as they are now.
    new_ids : tuple of int
        Of the parts that were not there.
    new_prices : tuple of (int, Price)
        Part's number and a price that its history did not have.
    build_before, build_after : Build or None
        Where lines were taken in.
    """

    name: str
    summary: str
    before: tuple[Part, ...] = ()
    after: tuple[Part, ...] = ()
    new_ids: tuple[int, ...] = ()
    new_prices: tuple[tuple[int, Price], ...] = ()
    build_before: Build | None = None
    build_after: Build | None = None

    @property
    def changes(self) -> tuple[PartChange, ...]:
        """What became of each part, for lists to follow; what it once cost stays out."""
        before = {part.id: part for part in self.before}
        return tuple(
            PartChange(Kept(part.id, before.get(part.id)), Kept(part.id, part))
            for part in self.after
            if part.id is not None
        )


def stock_of(work: Work) -> Stock:
    """Return the catalogue of an open transaction."""
    return Stock(
        lambda kind_key: work.parts.of_kind(kind_key, archived=True), work.parts.price_history
    )


def take(
    work: Work, preview: Preview, leave_out_refused: bool = False, told: Told | None = None
) -> ImportedTable:
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
    taken = take_rows(work, preview, told)
    if told is not None:
        told(len(preview.rows), len(preview.rows))
    return replace(taken, summary=_summary(preview, leave_out_refused))


def undo_import(work: Work, taken: ImportedTable) -> None:
    """Put back what was there before; the caller commits.

    Raises
    ------
    InUse
        Where a build uses a part that came with the file; the error names them.
    """
    if taken.build_before is not None:
        work.builds.save(taken.build_before)
    work.parts.delete_many(taken.new_ids)
    for part in taken.before:
        work.parts.save(part)
    gone = set(taken.new_ids)
    for id, price in taken.new_prices:
        if id not in gone:
            work.parts.forget_price(id, price)


def redo_import(work: Work, taken: ImportedTable) -> None:
    """Store once more what :func:`undo_import` put back, under the same numbers."""
    if taken.build_after is not None:
        work.builds.save(taken.build_after)
    for part in taken.after:
        work.parts.save(part)
    _note_prices(work, taken.new_prices)


def _take_parts(work: Work, preview: Preview, told: Told | None) -> ImportedTable:
    stock = stock_of(work)
    new, before, changed = [], [], []
    prices: list[tuple[int, Price]] = []
    for was, entry, name in _rows(preview, told):
        _refuse_other(preview, stock.find(entry.part.kind_key, name), was and was.part)
        if was is None:
            new.append(entry.part)
        else:
            before.append(was.part)
            changed.append(entry.part)
            prices += _new_prices(work, was.part, entry)
    added = work.parts.add_many(new)
    work.parts.note(part.id for part in changed if part.id is not None)
    after = (*map(work.parts.save, changed), *added)
    _note_prices(work, prices)
    new_ids = tuple(part.id for part in added if part.id is not None)
    return ImportedTable(preview.path.name, "", tuple(before), after, new_ids, tuple(prices))


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


def _note_prices(work: Work, prices: Iterable[tuple[int, Price]]) -> None:
    for id, price in prices:
        work.parts.note_price(id, price)


def _take_offers(work: Work, preview: Preview, told: Told | None) -> ImportedTable:
    stock = stock_of(work)
    parts: dict[int, Part] = {}
    prices: dict[int, list[Price]] = {}
    for _, entry, _ in _rows(preview, told):
        part, price = entry.part, entry.price
        _refuse_other(preview, stock.find(part.kind_key, part.name.strip()), part)
        parts.setdefault(part.id, part)
        prices.setdefault(part.id, []).append(price)
    for id, own in prices.items():
        for price in sorted(own, key=lambda price: price.on):
            work.offers.save(id, price)
    after = tuple(map(work.parts.get, parts))
    came = tuple((id, price) for id, own in prices.items() for price in own)
    return ImportedTable(preview.path.name, "", tuple(parts.values()), after, new_prices=came)


def _take_lines(work: Work, preview: Preview) -> ImportedTable:
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
    return ImportedTable(
        preview.path.name,
        _summary(preview, True),
        build_before=stored,
        build_after=after,
    )


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
