"""Comparison: builds beside each other, line by line, and what differs between them.

::

                      A  the car now     B  used motor     C  tall gears
    ≠ chance of 130   2 of 100           77 of 100         22 of 100
    ≠ motor           Larch 36-3300      Marl 36-3900      the same
      body            Dunlin low shell   the same          the same

The first build is what the others are held against. Two cells are alike where a person reads the
same in both; parts are alike where they are one article.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from pennyspeed.domain.checks import Level
from pennyspeed.domain.conditions import CONDITIONS
from pennyspeed.domain.kinds import BY_KEY, EXTRAS, SLOTS
from pennyspeed.domain.measures import METRIC, Measures, say_chance
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.domain.units import KMH, MM, RPM, G
from pennyspeed.physics.results import Prediction
from pennyspeed.services.editing.build_fields import condition_text
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.reports.answer import motor_rise
from pennyspeed.services.reports.report import says_range

LETTERS = "ABCDEFG"
"""A is the car now; the others are held beside it."""
MOST_HELD = len(LETTERS) - 1

ANSWERS, PARTS, FIGURES, ROAD = "answers", "parts", "figures", "road"
"""Groups of rows, in the order in which they stand."""
NOTHING = "–"
EMPTY = "empty"
SAME = "the same"


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in one row for one build.

    Attributes
    ----------
    same : bool
        A person reads the same as of the first build.
    levels : tuple of (Level, str)
        Of a row of checks: the level and its words, worst first.
    """

    text: str
    same: bool
    levels: tuple[tuple[Level, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table.

    Attributes
    ----------
    group : str
        One of the groups above.
    help : str
        One sentence that explains the term.
    cells : tuple of Cell
        One for each build.
    """

    key: str
    label: str
    group: str
    cells: tuple[Cell, ...]
    help: str = ""

    @property
    def differs(self) -> bool:
        """Whether any build reads otherwise than the first."""
        return not all(cell.same for cell in self.cells)


@dataclass(frozen=True)
class Comparison:
    """Builds beside each other.

    Attributes
    ----------
    speeds : tuple of str
        On this road, in the person's unit, without it.
    """

    names: tuple[str, ...]
    forecasts: tuple[Forecast, ...]
    speeds: tuple[str, ...]
    rows: tuple[Row, ...]

    @property
    def differing(self) -> tuple[Row, ...]:
        """The rows in which something differs."""
        return tuple(row for row in self.rows if row.differs)

    @property
    def alike(self) -> tuple[str, ...]:
        """Labels of the rows in which nothing differs."""
        return tuple(row.label for row in self.rows if not row.differs)


def compare(named: Sequence[tuple[str, Forecast]], measures: Measures = METRIC) -> Comparison:
    """Return named builds beside each other; the first is what the others are held against."""
    forecasts = tuple(forecast for _, forecast in named)
    return Comparison(
        names=tuple(name for name, _ in named),
        forecasts=forecasts,
        speeds=tuple(_speed(one, measures) for one in forecasts),
        rows=tuple(_rows(forecasts, measures)),
    )


def _rows(forecasts: tuple[Forecast, ...], measures: Measures) -> Iterator[Row]:
    first = forecasts[0].build
    likely = [
        NOTHING if one.band is None else says_range(one.band, measures, unit=False)
        for one in forecasts
    ]
    help = "Eight cars of ten built from such figures end up in here."
    yield _row("likely", "likely, 8 in 10", ANSWERS, likely, help)
    goal = "target" if first.target_kmh is None else measures.target(first.target_kmh, unit=False)
    help = "How many of 100 cars built from such figures reach the target."
    yield _row("chance", f"chance of {goal}", ANSWERS, [_chance(one) for one in forecasts], help)
    is_mixed = len({one.build.currency for one in forecasts}) > 1
    cap = "" if first.cap is None else f" of {measures.money(first.cap, currency=False)}"
    amounts = [
        f"{measures.money(one.costs.counted, currency=is_mixed)} {one.costs.left_out}".rstrip()
        for one in forecasts
    ]
    yield _row("cost", first.currency + cap, ANSWERS, amounts, "What counts toward the cap.")
    yield _checks_row(forecasts)
    for slot in SLOTS:
        yield _slot_row(slot, forecasts)
    yield _extras_row(forecasts)
    for key, label, text, help in _FIGURES:
        yield _row(key, label, FIGURES, [text(one, measures) for one in forecasts], help)
    yield from _road_rows(forecasts, measures)


def _row(key: str, label: str, group: str, texts: Sequence[str], help: str = "") -> Row:
    cells = tuple(Cell(text, text == texts[0]) for text in texts)
    return Row(key, label, group, cells, help)


# Answers ------------------------------------------------------------------------------------


def _speed(one: Forecast, measures: Measures) -> str:
    if one.prediction is None:
        return NOTHING
    speed = KMH.from_si(one.prediction.road_speed)
    return measures.speed_toward(speed, one.build.target_kmh, unit=False)


def _chance(one: Forecast) -> str:
    chance = None if one.band is None else one.band.chance
    return NOTHING if chance is None else say_chance(chance)


def _checks_row(forecasts: tuple[Forecast, ...]) -> Row:
    said = [_levels(one) for one in forecasts]
    texts = [", ".join(words for _, words in one) for one in said]
    # As many stops may still be other stops.
    worst = [
        {check.code for check in one.checks if check.level in (Level.STOP, Level.WARN)}
        for one in forecasts
    ]
    cells = tuple(
        Cell(text, text == texts[0] and codes == worst[0], levels)
        for text, codes, levels in zip(texts, worst, said, strict=True)
    )
    return Row("checks", "checks", ANSWERS, cells, "What stops the car, and what to watch.")


def _levels(one: Forecast) -> tuple[tuple[Level, str], ...]:
    stops = sum(check.level is Level.STOP for check in one.checks)
    watches = sum(check.level is Level.WARN for check in one.checks)
    first = (Level.STOP, f"{stops} stop") if stops else (Level.OK, "no stop")
    return (first, (Level.WARN, f"{watches} watch")) if watches else (first,)


# Parts --------------------------------------------------------------------------------------


def _slot_row(slot: str, forecasts: Sequence[Forecast]) -> Row:
    parts = [one.build.part(slot) for one in forecasts]
    cells = tuple(Cell(_name(part, parts[0]), _alike(part, parts[0])) for part in parts)
    return Row(slot, BY_KEY[slot].label, PARTS, cells)


def _name(part: Part | None, first: Part | None) -> str:
    if part is None:
        return EMPTY
    is_edited = first is not None and part.name == first.name and not _alike(part, first)
    return f"{part.name}, other figures" if is_edited else part.name


def _alike(part: Part | None, first: Part | None) -> bool:
    if part is None or first is None:
        return part is first
    # A part that was edited since keeps its place in the catalogue, but is another one here.
    return is_same(part, first) and part.same_article(first)


def _extras_row(forecasts: Sequence[Forecast]) -> Row:
    names = [sorted(part.name for part in one.build.extras) for one in forecasts]
    texts = [", ".join(some) or EMPTY for some in names]
    return _row(EXTRAS.key, EXTRAS.plural, PARTS, texts)


# Figures ------------------------------------------------------------------------------------


_Text = Callable[[Forecast, Measures], str]


def _of_run(text: Callable[[Prediction, Measures], str]) -> _Text:
    def say(one: Forecast, measures: Measures) -> str:
        found = one.prediction
        return NOTHING if found is None or found.road_speed <= 0.0 else text(found, measures)

    return say


def _number(value: float | None, unit: str, measures: Measures, decimals: int = 0) -> str:
    return NOTHING if value is None else f"{measures.number(value, decimals)} {unit}"


def _motor_heat(one: Forecast, measures: Measures) -> str:
    rise = None if one.prediction is None else motor_rise(one, one.prediction)
    if rise is None:
        return NOTHING
    return _number(one.build.condition("motor_temperature_c") + rise, "°C", measures)


_FIGURES: tuple[tuple[str, str, _Text, str], ...] = (
    ("mass", "mass", lambda one, m: m.with_unit(one.mass_kg * 1e3, G), "Of the whole car."),
    (
        "ratio",
        "final drive ratio",
        lambda one, m: NOTHING if one.gear_ratio is None else m.number(one.gear_ratio, 2),
        "Turns of the motor for one turn of the wheels.",
    ),
    (
        "roll_out",
        "roll-out",
        lambda one, m: (
            NOTHING if one.roll_out_m is None else m.with_unit(MM.from_si(one.roll_out_m), MM, 1)
        ),
        "How far the car rolls for one turn of the motor.",
    ),
    (
        "lift",
        "lift at",
        _of_run(lambda run, m: m.road(run.lift_at)),
        "Where the driver must lift to stop before the road ends.",
    ),
    (
        "top",
        "on an endless road",
        _of_run(lambda run, m: m.speed(KMH.from_si(run.top_speed))),
        "The speed at which what drives the car and what holds it back are equal.",
    ),
    (
        "rpm",
        "motor on this road",
        _of_run(lambda run, m: f"{m.number(RPM.from_si(run.road_motor_speed))} rpm"),
        "How fast the motor turns at the speed on this road.",
    ),
    (
        "peak",
        "peak motor current",
        _of_run(lambda run, m: _number(run.peak_current, "A", m)),
        "The largest up to the lift point.",
    ),
    ("heat", "motor at the lift", _motor_heat, "How warm the motor is at the lift point."),
    (
        "cell",
        "lowest cell voltage",
        _of_run(lambda run, m: _number(run.lowest_cell_voltage, "V", m, 2)),
        "Under load, up to the lift point.",
    ),
)


def _road_rows(forecasts: Sequence[Forecast], measures: Measures) -> Iterator[Row]:
    """Yield target and conditions, but only those in which something differs."""
    first, *others = (one.build for one in forecasts)
    if any(build.target_kmh != first.target_kmh for build in others):
        texts = [
            NOTHING if one.build.target_kmh is None else measures.target(one.build.target_kmh)
            for one in forecasts
        ]
        yield _row("target", "target", ROAD, texts)
    for condition in CONDITIONS:
        values = [one.build.condition(condition.key) for one in forecasts]
        if any(value != values[0] for value in values):
            texts = [condition_text(condition, value, measures) for value in values]
            yield _row(condition.key, condition.label, ROAD, texts, condition.help)
