"""The command `sheet`: what a person asks for, with what they chose before, written to a file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.sheet.choices import BESIDE, KINDS, MOST_BESIDE, PAPERS, Choices, from_text
from pennyspeed.services.sheet.document import Sheet
from pennyspeed.services.sheet.files import PDF, rendered, suffix_of
from pennyspeed.services.sheet.look import look_beside
from pennyspeed.services.sheet.making import gathered
from pennyspeed.services.whole_files import write_whole


@dataclass(frozen=True)
class Wanted:
    """What stands on the command line; None for what was left out."""

    build: str
    beside: tuple[str, ...] = ()
    kind: str | None = None
    sections: str | None = None
    paper: str | None = None
    mono: bool | None = None
    made: str | None = None


@dataclass(frozen=True)
class _Kept:
    """What the data file knows of a build's sheet."""

    choices: Choices = field(default_factory=Choices)
    others: Sequence[tuple[str, Build]] = ()
    pinions: Sequence[Part] = ()
    spurs: Sequence[Part] = ()
    suppliers: Sequence[Supplier] = ()
    leads: Leads | None = None
    folder: Path | None = None


def write_sheet(
    out: Path,
    wanted: Wanted,
    build_of: Callable[[str], Build],
    data: Path | None,
    measures: Measures,
) -> None:
    """Write a sheet to a file, all of it or nothing.

    Parameters
    ----------
    out : Path
        Its suffix says what it is.
    build_of : callable
        Finds a build by its name, its code or its file.
    data : Path or None
        The data file; None for the usual one.

    Raises
    ------
    UserError
        Whatever a person can mend; nothing was written.
    """
    suffix = suffix_of(out)
    day = _day(wanted.made)
    build = build_of(wanted.build)
    named = [(one.name, one) for one in map(build_of, wanted.beside)]
    kept = _kept(build, data) if build.code else _Kept(folder=Path(wanted.build).parent)
    choices = _chosen(kept.choices, wanted)
    others = named or (kept.others[: MOST_BESIDE - 1] if choices.kind == BESIDE else ())
    document = gathered(
        build,
        choices,
        measures,
        day,
        others=others,
        pinions=kept.pinions,
        spurs=kept.spurs,
        suppliers=kept.suppliers,
        leads=kept.leads,
        look=look_beside(kept.folder),
        folder=kept.folder,
    )
    write_whole(out, _content(document, choices, suffix))


def _content(document: Sheet, choices: Choices, suffix: str) -> bytes:
    if suffix != PDF:
        return rendered(document, choices, suffix)
    from pennyspeed.desktop.buildsheet.paper.pdf import sheet_pdf, without_display

    application = without_display()  # noqa: F841 – Qt paints only while there is one
    return sheet_pdf(document, choices)


def _kept(build: Build, data: Path | None) -> _Kept:
    from pennyspeed.services.workshop import Workshop

    with Workshop.open(data) as workshop:
        return _Kept(
            from_text(workshop.settings.sheet_choices(build)),
            workshop.settings.held(),
            workshop.catalogue.parts("pinion"),
            workshop.catalogue.parts("spur"),
            workshop.suppliers.all(),
            workshop.suppliers.leads(),
            workshop.path.parent,
        )


def _chosen(choices: Choices, wanted: Wanted) -> Choices:
    """Return choices with what the command line says instead."""
    if wanted.paper is not None:
        wanted = replace(wanted, paper=wanted.paper.casefold())
    for place, value, known in (
        ("--kind", wanted.kind, KINDS),
        ("--paper", wanted.paper, tuple(PAPERS)),
    ):
        if value is not None and value not in known:
            raise BadInput(place, value, "one of " + ", ".join(known))
    if wanted.kind is not None and wanted.kind != choices.kind:
        choices = replace(choices, kind=wanted.kind, sections=())
    if wanted.sections is not None:
        keys = tuple(key.strip() for key in wanted.sections.split(",") if key.strip())
        choices = replace(choices, sections=keys)
    if wanted.paper is not None:
        choices = replace(choices, paper=wanted.paper)
    return choices if wanted.mono is None else replace(choices, mono=wanted.mono)


def _day(text: str | None) -> date:
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadInput("--date", text, "a day such as 2027-04-10") from None
