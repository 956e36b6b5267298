"""Gear cells: what stands in the gear chart, as words for people and keys for what is hatched.

Spurs are the rows and pinions the columns, each by module, bore and teeth, so that gears that do
not belong together stand in blocks of their own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.limits import MOST_MOTOR_CELSIUS
from pennyspeed.domain.checks.seen import STOP
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.domain.units import KMH, MM
from pennyspeed.services.gears.gear_chart import FITTING, GearChart, gear_chart, teeth_left
from pennyspeed.services.gears.gear_figures import exact
from pennyspeed.services.gears.gear_marks import borders, regions, steps
from pennyspeed.services.shelf.candidates import CODES

SPEED, RATIO, ROLL_OUT, TURNS = "speed", "ratio", "roll_out", "turns"
SHOWS = (SPEED, RATIO, ROLL_OUT, TURNS)
"""What the cells can show, in the order in which a key goes through them."""
NO_FIGURE = "–"
MOST_GEARS = 48
"""Of each kind; of more, those nearest to what is in are shown."""
MOST_EXACT = 400
SAME_SIZE = 1e-6

TARGET, RATED, HOT = "target", "rated", "hot"


def teeth(part: Part) -> int:
    """Return how many teeth a gear has."""
    return round(part.number("teeth") or 0)


def suited(build: Build, kind_key: str, parts: Sequence[Part]) -> list[Part]:
    """Return the gears that suit the chassis' module and the motor's shaft, and the one that is in.

    All of them where none does, or where nothing says which would.
    """
    chassis, motor = build.part("chassis"), build.part("motor")
    module = None if chassis is None else chassis.known_number("gear_module_mm")
    if module is None:
        present = build.part("spur") or build.part("pinion")
        module = None if present is None else present.number("module_mm")
    shaft = None if motor is None else motor.known_number("shaft_mm")
    wants = [("module_mm", module)] + ([("bore_mm", shaft)] if kind_key == "pinion" else [])
    own = build.part(kind_key)

    def suits(part: Part) -> bool:
        if own is not None and is_same(part, own):
            return True
        for key, wanted in wants:
            figure = part.known_number(key)
            if wanted is None or figure is None:
                continue
            if not math.isclose(figure, wanted, rel_tol=SAME_SIZE):
                return False
        return True

    found = [part for part in parts if suits(part)]
    return found or list(parts)


def nearest(build: Build, kind_key: str, parts: Sequence[Part]) -> list[Part]:
    """Return at most :data:`MOST_GEARS` gears, those whose teeth are nearest to what is in."""
    if len(parts) <= MOST_GEARS:
        return list(parts)
    own = build.part(kind_key)
    middle = float(np.median([teeth(part) for part in parts])) if own is None else teeth(own)
    return sorted(parts, key=lambda part: abs(teeth(part) - middle))[:MOST_GEARS]


@dataclass(frozen=True, slots=True)
class Asked:
    """What a chart was asked for.

    Attributes
    ----------
    left_out : int
        Gears of the shelf that do not suit and are not shown.
    """

    build: Build
    pinions: tuple[Part, ...]
    spurs: tuple[Part, ...]
    measures: Measures
    left_out: int = 0


def work_out(asked: Asked) -> GearCells:
    """Return the cells of a chart; some 0.2 ms a cell, so not for the thread of the window."""
    chart = gear_chart(asked.build, asked.pinions, asked.spurs)
    fitting = [(int(i), int(j)) for i, j in np.argwhere(chart.fits)[:MOST_EXACT]]
    return GearCells(exact(chart, fitting), asked)


class GearCells:
    """A chart in the order and the words in which it is shown; cells are (row, column).

    Attributes
    ----------
    chart : GearChart
    spurs, pinions : list of Part
        Rows and columns.
    reasons : array of str
        Why a pair is hatched, as one word for all of its kind; "" where it fits.
    now : tuple of int or None
        Cell of the pair that is in.
    regions, borders : list
        Of the hatched cells.
    limits : list of (str, str, array)
        Each limit that is known: its key, what holds beyond it, and where that does.
    steps : dict
        The lines of each limit, by its key.
    teeth_left_now : TeethLeft
        Of the spur that is in.
    """

    def __init__(self, chart: GearChart, asked: Asked) -> None:
        self.chart, self.build, self.measures = chart, asked.build, asked.measures
        self.left_out = asked.left_out
        rows = sorted(range(len(chart.spurs)), key=lambda j: _size(chart.spurs[j]))
        columns = sorted(range(len(chart.pinions)), key=lambda i: _size(chart.pinions[i]))
        self._rows, self._columns = rows, columns
        self.spurs = [chart.spurs[j] for j in rows]
        self.pinions = [chart.pinions[i] for i in columns]
        self.now = None
        if chart.now is not None:
            self.now = rows.index(chart.now[1]), columns.index(chart.now[0])
        self.fits = self._table(chart.fits)
        self._sentences: dict[str, str] = {}
        self.reasons = self._reasons()
        # All that follows from these is worked out here, where no window waits for it.
        self.regions = regions(self.reasons)
        self.borders = [
            edge
            for key in sorted({region.key for region in self.regions})
            for edge in borders(np.asarray(self.reasons == key))
        ]
        self.limits = self._limits()
        self.steps = {key: tuple(steps(holds, self.fits)) for key, _, holds in self.limits}
        self._longest = {show: self._longest_texts(show) for show in SHOWS}
        present = self.build.part("spur")
        self.teeth_left_now = (
            teeth_left(self.build)
            if present is None or self.now is None
            else chart.left[rows[self.now[0]]]
        )

    def _table(self, values: NDArray[np.bool_]) -> NDArray[np.bool_]:
        return values[np.ix_(self._columns, self._rows)].T

    def _at(self, row: int, column: int) -> tuple[int, int]:
        return self._columns[column], self._rows[row]

    # Figures --------------------------------------------------------------------------------

    def speed(self, row: int, column: int, unit: bool = False) -> str:
        """Return the speed in this road."""
        speed = KMH.from_si(float(self.chart.speed[self._at(row, column)]))
        if math.isnan(speed):
            return NO_FIGURE
        return self.measures.speed_toward(speed, self.build.target_kmh, unit)

    def ratio(self, row: int, column: int) -> str:
        """Return the final drive ratio."""
        return self._number(float(self.chart.ratio[self._at(row, column)]), 2)

    def roll_out(self, row: int, column: int, unit: bool = False) -> str:
        """Return how far the car rolls for one turn of the motor."""
        metres = float(self.chart.roll_out[self._at(row, column)])
        if math.isnan(metres):
            return NO_FIGURE
        text = self.measures.with_unit(MM.from_si(metres), MM, 1)
        return text if unit else text.rsplit(" ", 1)[0]

    def turns(self, row: int, column: int) -> str:
        """Return the motor's rpm at top speed."""
        return self._number(float(self.chart.motor_rpm[self._at(row, column)]))

    def celsius(self, row: int, column: int) -> str:
        """Return the motor's temperature at the lift point."""
        value = float(self.chart.motor_celsius[self._at(row, column)])
        return NO_FIGURE if math.isnan(value) else f"{self.measures.number(value)} °C"

    def _number(self, value: float, decimals: int = 0) -> str:
        return NO_FIGURE if math.isnan(value) else self.measures.number(value, decimals)

    def texts(self, show: str, row: int, column: int) -> tuple[str, str]:
        """Return the figure that is shown and the small one below it."""
        if show == RATIO:
            return self.ratio(row, column), self.speed(row, column)
        if show == ROLL_OUT:
            return self.roll_out(row, column), self.ratio(row, column)
        if show == TURNS:
            return self.turns(row, column), self.celsius(row, column)
        return self.speed(row, column), self.ratio(row, column)

    def longest(self, show: str) -> tuple[str, ...]:
        """Return the texts among which the widest figure of the chart is."""
        return self._longest[show]

    def _longest_texts(self, show: str) -> tuple[str, ...]:
        shown = {
            self.texts(show, int(row), int(column))[0] for row, column in np.argwhere(self.fits)
        }
        return tuple(sorted(shown, key=len, reverse=True)[:8])

    def what(self, show: str) -> str:
        """Say what the two figures of a cell are."""
        speed, length = self.measures.speed_unit.symbol, self.measures.length_unit.symbol
        return {
            SPEED: f"{speed}, final drive ratio below",
            RATIO: f"final drive ratio, {speed} below",
            ROLL_OUT: f"roll-out in {length}, ratio below",
            TURNS: "rpm at top speed, °C below",
        }[show]

    def price(self, part: Part) -> str:
        """Return what the shelf asks for a gear, in the build's currency; "–" where unknown."""
        price = part.price
        if price is None or price.amount.currency != self.build.currency:
            return NO_FIGURE
        return self.measures.money(price.amount, currency=False)

    def teeth_left(self, row: int) -> str:
        """Return how many more teeth the pinion may have on this spur."""
        left = self.chart.left[self._rows[row]].left
        pinion = self.build.part("pinion")
        module = None if pinion is None else pinion.number("module_mm")
        if left is None or module is None or module != self.spurs[row].number("module_mm"):
            return NO_FIGURE
        return "none" if left <= 0 else self.measures.number(left)

    def beside(self, parts: Sequence[Part], place: int) -> str:
        """Return what tells a gear from others of its size, such as "used"; "" for the first."""
        size = _size(parts[place])
        twins = [part for part in parts if _size(part) == size]
        if len(twins) < 2:
            return ""
        first = min((part.name for part in twins), key=len)
        name = parts[place].name
        return name.removeprefix(first).strip(" ,;·-") if name.startswith(first) else ""

    # Pairs ----------------------------------------------------------------------------------

    def name(self, row: int, column: int) -> str:
        """Return a pair as people call it: "28 on 54"."""
        return f"{teeth(self.pinions[column])} on {teeth(self.spurs[row])}"

    def bought(self, row: int, column: int) -> tuple[Part, ...]:
        """Return the parts of a pair that are not in the build."""
        pair = (self.pinions[column], self.spurs[row])
        present = [self.build.part(part.kind_key) for part in pair]
        return tuple(
            part
            for part, own in zip(pair, present, strict=True)
            if own is None or not is_same(part, own)
        )

    def cost(self, row: int, column: int) -> str:
        """Return what taking a pair changes in cost, with the currency."""
        at = self._at(row, column)
        if self.chart.unpriced[at] and self.bought(row, column):
            return "price not known"
        minor = int(self.chart.price[at])
        text = self.measures.money(self.chart.candidates.money(minor))
        return f"+{text}" if minor > 0 else text

    def why(self, row: int, column: int) -> str:
        """Say why a pair does not mesh or fit; "" where it does."""
        return self.chart.reason(*self._at(row, column), self.measures)

    def say(self, row: int, column: int) -> str:
        """Return a pair as a screen reader says it."""
        pair = f"{teeth(self.pinions[column])} teeth on {teeth(self.spurs[row])}"
        why = self.why(row, column)
        if why:
            return f"{pair}: {why[0].lower()}{why[1:]}"
        speed = self.speed(row, column, unit=True)
        said = f"{speed}, " if speed != NO_FIGURE else ""
        text = f"{pair}: {said}ratio {self.ratio(row, column)}"
        return f"{text}, in the car" if (row, column) == self.now else text

    def say_more(self, row: int, column: int) -> str:
        """Return the figures of a pair that :meth:`say` leaves out."""
        said = [f"roll-out {self.roll_out(row, column, unit=True)}"]
        if self.turns(row, column) != NO_FIGURE:
            said.append(f"motor {self.turns(row, column)} rpm at top speed")
        if self.celsius(row, column) != NO_FIGURE:
            said.append(f"{self.celsius(row, column)} at the lift")
        if self.bought(row, column):
            said.append(self.cost(row, column))
        return ", ".join(text for text in said if not text.endswith(NO_FIGURE))

    # What is hatched ------------------------------------------------------------------------

    def _reasons(self) -> NDArray[np.object_]:
        rows, columns = len(self.spurs), len(self.pinions)
        found = np.full((rows, columns), "", dtype=object)
        levels = self.chart.candidates.levels
        chassis = self.build.part("chassis")
        most = None if chassis is None else chassis.known_number("mesh_max_mm")
        for row, column in np.argwhere(~self.fits):
            at = self._at(int(row), int(column))
            place = self.chart.row(*at)
            code = next(one for one in FITTING if levels[CODES.index(one), place] == STOP)
            if code == "mesh-distance":
                is_far = most is not None and self.chart.centre_distance[at] > most
                key = "far" if is_far else "close"
            else:
                pinion, spur = self.pinions[column], self.spurs[row]
                sizes = [pinion.number("module_mm"), spur.number("module_mm")]
                key = f"{code} {sizes if code == 'gear-module' else pinion.number('bore_mm')}"
                if key not in self._sentences:
                    self._sentences[key] = self.why(int(row), int(column))
            found[row, column] = key
        return found

    def reason_words(self, key: str) -> tuple[str, ...]:
        """Return why cells are hatched, the fullest words first."""
        if key in ("far", "close"):
            chassis = self.build.part("chassis")
            is_far = key == "far"
            key = "mesh_max_mm" if is_far else "mesh_min_mm"
            end = None if chassis is None else chassis.known_number(key)
            size = "" if end is None else self.measures.with_unit(end, MM, 1)
            than = f"{'farther' if is_far else 'closer'} than {size}"
            short = "too far" if is_far else "too close"
            return f"do not mesh: shafts {than}", f"shafts {than}", short
        sentence = self._sentences[key]
        if key.startswith("gear-module"):
            return sentence, "other module", "module"
        return sentence, "other bore", "bore"

    # Limits ---------------------------------------------------------------------------------

    def _limits(self) -> list[tuple[str, str, NDArray[np.bool_]]]:
        found = []
        chart, build, measures = self.chart, self.build, self.measures
        if not np.isnan(chart.speed).all():
            if build.target_kmh is not None:
                words = f"{measures.target(build.target_kmh)} and more"
                found.append((TARGET, words, self._table(chart.reached)))
            motor = build.part("motor")
            rated = None if motor is None else motor.known_number("max_rpm")
            if rated is not None:
                words = f"motor past {measures.number(rated)} rpm"
                found.append((RATED, words, self._table(chart.over_rated)))
            if not np.isnan(chart.motor_celsius).all():
                words = f"motor past {measures.number(MOST_MOTOR_CELSIUS)} °C"
                found.append((HOT, words, self._table(chart.over_hot)))
        return found


def _size(part: Part) -> tuple[float, float, int]:
    bore = part.number("bore_mm") if part.kind_key == "pinion" else None
    return part.number("module_mm") or 0.0, bore or 0.0, teeth(part)
