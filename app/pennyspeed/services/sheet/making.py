"""Making: from a forecast and a person's choices to the sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.calendar import Leads, arrivals_of
from pennyspeed.domain.money.days import say_day
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.sheet.choices import MOST_BESIDE, SHOPPING, Choices
from pennyspeed.services.sheet.document import Code, Masthead, Picture, Section, Sheet
from pennyspeed.services.sheet.look import Look, picture, shipped
from pennyspeed.services.sheet.sections import bench, money, road, watch
from pennyspeed.services.sheet.sections.beside import beside
from pennyspeed.services.sheet.sheet_source import SheetSource
from pennyspeed.services.short_ids import code_text

_Maker = Callable[[SheetSource, str], Section]

SECTIONS: dict[str, _Maker] = {
    "speed": road.speed,
    "road": road.road,
    "parts": bench.parts,
    "money": money.section,
    "gears": bench.gears,
    "pack": bench.pack,
    "watch": watch.watch,
    "figures": watch.figures,
    "before": road.before,
    "runs": road.runs,
    "cautions": watch.cautions,
    "beside": beside,
    "shopping": money.shopping,
}
"""What makes each section, by its key."""

_PICTURED = ("body", "chassis")


def gathered(
    build: Build,
    choices: Choices,
    measures: Measures,
    made: date,
    *,
    others: Sequence[tuple[str, Build]] = (),
    found: Forecast | None = None,
    leads: Leads | None = None,
    **more: Any,
) -> Sheet:
    """Do :func:`build_sheet` for builds, working out what is predicted of them.

    `found` is what is predicted of `build` in the sheet's units, where that is known already; the
    rest is as :func:`build_sheet` takes it.
    """
    shown = choices.measures(measures)
    if found is None or shown != measures:
        found = forecast(build, shown, leads)
    named = [(name, forecast(one, shown, leads)) for name, one in others]
    return build_sheet(found, choices, measures, made=made, others=named, leads=leads, **more)


def build_sheet(
    found: Forecast,
    choices: Choices | None = None,
    measures: Measures = METRIC,
    *,
    made: date,
    look: Look | None = None,
    others: Sequence[tuple[str, Forecast]] = (),
    pinions: Sequence[Part] = (),
    spurs: Sequence[Part] = (),
    suppliers: Sequence[Supplier] = (),
    leads: Leads | None = None,
    folder: Path | None = None,
) -> Sheet:
    """Return the sheet of a build, from what a :class:`~.sheet_source.SheetSource` holds.

    Figures are written as `measures` says where the choices do not say otherwise; the look is the
    shipped one unless given. BadInput says that there are too many builds, or no such section.
    """
    chosen = choices or Choices()
    if len(others) >= MOST_BESIDE:
        expected = f"at most {MOST_BESIDE} builds beside each other"
        raise BadInput("beside", 1 + len(others), expected)
    matter = SheetSource(
        forecast=found,
        measures=chosen.measures(measures),
        choices=chosen,
        look=look or shipped(),
        others=others,
        pinions=pinions,
        spurs=spurs,
        suppliers=suppliers,
        leads=leads or Leads.of(arrivals_of(found.build), suppliers),
        made=made,
        folder=folder,
    )
    build = found.build
    return Sheet(
        title=f"Build sheet: {build.name}",
        author=matter.look.author or "Pennyspeed",
        made=made,
        masthead=_masthead(matter, made),
        sections=tuple(SECTIONS[key](matter, matter.look.titles[key]) for key in _keys(matter)),
        running=" · ".join(
            text for text in (build.name, matter.look.author, matter.look.running) if text
        ),
        sizes=matter.look.sizes,
    )


def _keys(matter: SheetSource) -> list[str]:
    """Return the sections; the cautions go along wherever something is charged or driven."""
    choices = matter.choices
    keys = list(choices.sections or matter.look.sections[choices.kind])
    for key in keys:
        if key not in SECTIONS:
            raise BadInput("sections", key, "one of " + ", ".join(SECTIONS))
    if "cautions" not in keys and choices.kind != SHOPPING:
        keys.append("cautions")
    return keys


def _masthead(matter: SheetSource, made: date) -> Masthead:
    build, measures = matter.build, matter.measures
    wishes = [f"Road {measures.road(build.condition('road_m'))}"]
    if build.target_kmh is not None:
        wishes.insert(0, f"Target {measures.target(build.target_kmh)}")
    if build.event_date is not None:
        wishes.append(f"event on {say_day(build.event_date)}")
    state = [f"Sheet of {say_day(made)}"]
    if build.code:
        state += [f"build {build.code}", f"revision {build.revision}"]
    return Masthead(
        title=build.name,
        lines=(", ".join(wishes), ", ".join(state)),
        picture=matter.look.badge or _picture_of(build, matter.folder),
        code=_code_of(build),
        code_caption=f"Opens {build.code}" if build.code else "",
    )


def _picture_of(build: Build, folder: Path | None) -> Picture | None:
    """Return the picture of the body or the chassis; one that is not there any more is left out."""
    for slot in _PICTURED:
        part = build.part(slot)
        if part is None or not part.picture:
            continue
        try:
            return picture((folder or Path()) / part.picture, part.name, slot)
        except BadInput:
            continue
    return None


def _code_of(build: Build) -> Code | None:
    """Return the square from which a camera reads a stored build's id; None before it is stored."""
    text = code_text(build)
    if not text:
        return None
    import segno

    # level M: a fold or a drop of rain may cost 15 % of the modules (ISO/IEC 18004)
    square = segno.make(text, error="m", micro=False, boost_error=False)
    return Code(text, tuple(tuple(bool(module) for module in row) for row in square.matrix))
