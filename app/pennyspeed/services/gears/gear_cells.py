"""Gear cells: what stands in the gear chart, as words for people and keys for what is hatched.

Spurs are the rows and pinions the columns, each by module, bore and teeth, so that gears that do
not belong together stand in blocks of their own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.seen import STOP
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH, MM
from pennyspeed.services.gears.gear_chart import FITTING, GearChart, exact, gear_chart, teeth_left
from pennyspeed.services.gears.gear_limits import limits_of, notes_of, paths_of
from pennyspeed.services.gears.gear_marks import borders, regions
from pennyspeed.services.gears.suited_gears import Asked, teeth
from pennyspeed.services.shelf.candidates import CODES
from pennyspeed.services.shelf.swaps import Swap, bought

SPEED, RATIO, ROLL_OUT, TURNS = "speed", "ratio", "roll_out", "turns"
SHOWS = (SPEED, RATIO, ROLL_OUT, TURNS)
"""What the cells can show, in the order in which a key goes through them."""
NO_FIGURE = "–"
MOST_EXACT = 400


def work_out(asked: Asked) -> GearCells:
    """Return the cells of a chart; some 0.2 ms a cell, so not for the thread of the window."""
    chart = gear_chart(asked.build, asked.pinions, asked.spurs)
    fitting = [(int(i), int(j)) for i, j in np.argwhere(chart.fits)[:MOST_EXACT]]
    return GearCells(exact(chart, fitting), asked)


class GearCells:
    """A chart in the order and the words in which it is shown; cells are (row, column).

    Attributes
    ----------
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
    paths : tuple of Path
        The lines of each limit.
    longest : dict
        By what is shown the texts among which the widest figure of the chart is.
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
        known = limits_of(chart, self.build, self.measures)
        self.limits = [(key, words, self._table(holds)) for key, words, holds in known]
        self.paths = paths_of(self.limits, self.fits)
        self.longest = {show: self._longest_texts(show) for show in SHOWS}
        self.teeth_left_now = (
            teeth_left(self.build) if chart.now is None else chart.left[chart.now[1]]
        )

    def _table(self, values: NDArray[np.bool_]) -> NDArray[np.bool_]:
        return values[np.ix_(self._columns, self._rows)].T

    def _at(self, row: int, column: int) -> tuple[int, int]:
        return self._columns[column], self._rows[row]

    # Figures --------------------------------------------------------------------------------

    def speed(self, row: int, column: int, unit: bool = False) -> str:
        """Return the speed on this road."""
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
        """Return the motor's rpm at the speed on this road."""
        return self._number(float(self.chart.motor_rpm[self._at(row, column)]))

    def celsius(self, row: int, column: int) -> str:
        """Return the motor's temperature at the lift point."""
        value = float(self.chart.motor_celsius[self._at(row, column)])
        return NO_FIGURE if math.isnan(value) else f"{self.measures.number(value)} °C"

    @property
    def has_modules(self) -> bool:
        """Whether gears of several modules stand in it."""
        return len({part.number("module_mm") for part in (*self.pinions, *self.spurs)}) > 1

    def module_of(self, part: Part) -> str:
        """Return the module of a gear in words."""
        return self.measures.gear_size(part.number("module_mm") or 0.0)

    def module_begins(self, parts: Sequence[Part], place: int) -> bool:
        """Tell whether a gear is the first of its module."""
        modules = [part.number("module_mm") for part in parts]
        return not place or modules[place - 1] != modules[place]

    def _number(self, value: float, decimals: int = 0) -> str:
        return NO_FIGURE if math.isnan(value) else self.measures.number(value, decimals)

    def texts(self, show: str, row: int, column: int) -> tuple[str, str]:
        """Return the figure that is shown and the small one below it."""
        main, below = {
            SPEED: (self.speed, self.ratio),
            RATIO: (self.ratio, self.speed),
            ROLL_OUT: (self.roll_out, self.ratio),
            TURNS: (self.turns, self.celsius),
        }[show]
        return main(row, column), below(row, column)

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
            TURNS: "rpm on this road, °C below",
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

    def pair(self, row: int, column: int) -> tuple[Part, Part]:
        """Return the gears of a cell, the pinion first."""
        return self.pinions[column], self.spurs[row]

    def bought(self, row: int, column: int) -> tuple[Part, ...]:
        """Return the parts of a pair that are not in the build."""
        return bought(self.build, self.pair(row, column))

    def swap(self, build: Build, row: int, column: int) -> Swap | None:
        """Return the step that puts a pair into a build; None where both are in."""
        parts = bought(build, self.pair(row, column))
        if not parts:
            return None
        old = [build.part(part.kind_key) for part in self.pair(row, column)]
        teeth_in = [str(teeth(part)) for part in old if part is not None]
        is_whole = len(teeth_in) == 2
        undone = f"put back {' on '.join(teeth_in)}" if is_whole else "took the gears out again"
        return Swap(build.with_parts(parts), f"put in {self.name(row, column)}", undone)

    def place_of(self, names: tuple[str, str] | None) -> tuple[int, int]:
        """Return where to stand: on the pair of these names, the one in, or one that fits."""
        spurs, pinions = ([part.name for part in parts] for parts in (self.spurs, self.pinions))
        if names is not None and names[0] in pinions and names[1] in spurs:
            return spurs.index(names[1]), pinions.index(names[0])
        if self.now is not None:
            return self.now
        fitting = np.argwhere(self.fits)
        row, column = fitting[len(fitting) // 2] if len(fitting) else (0, 0)
        return int(row), int(column)

    def reached(self, row: int, column: int) -> bool:
        """Tell whether a pair reaches the target."""
        return bool(self.chart.reached[self._at(row, column)])

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
            said.append(f"motor {self.turns(row, column)} rpm on this road")
        if self.celsius(row, column) != NO_FIGURE:
            said.append(f"{self.celsius(row, column)} at the lift")
        if self.bought(row, column):
            said.append(self.cost(row, column))
        return ", ".join(text for text in said if not text.endswith(NO_FIGURE))

    def line(self, row: int, column: int) -> str:
        """Return the line about the pair that the keyboard stands on."""
        name, why = self.name(row, column), self.why(row, column)
        if why:
            return f"{name}: {why}"
        said = ["in the car"] if (row, column) == self.now else []
        speed = self.speed(row, column, unit=True)
        said += [speed] if speed != NO_FIGURE else ["no speed: the car is not whole"]
        said += [f"ratio {self.ratio(row, column)}", self.say_more(row, column)]
        return f"{name}: {', '.join(text for text in said if text)}"

    def notes(self, unnamed: Sequence[str], mirrored: bool) -> str:
        """Say what the chart does not show; see :func:`~.gear_limits.notes_of`."""
        said = notes_of(self.paths, unnamed, mirrored) if self.fits.any() else []
        if self.left_out:
            said.append(f"{self.left_out} gears of other module or bore are left out")
        text = " · ".join(said)
        return text[:1].upper() + text[1:]

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


def _size(part: Part) -> tuple[float, float, int]:
    bore = part.number("bore_mm") if part.kind_key == "pinion" else None
    return part.number("module_mm") or 0.0, bore or 0.0, teeth(part)
