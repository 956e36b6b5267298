"""Trials: one build with other parts in a slot or two, thousands of times, as arrays.

::

    parts of a slot --> Columns --(index of each trial)--> figures --> assemble --> a batch of cars
    build           --> what is the same in all of them    money   --> cost of each

A trial is what taking its parts makes of the build; taking a part that is in already changes
nothing, its line of money included, and one that lies in the drawer costs nothing more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import Key, assemble, slots_of
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.facts import plug_name
from pennyspeed.domain.checks.seen import NO_READINGS, Bools, Readings, Texts
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.parts.columns import Columns
from pennyspeed.domain.parts.parts import Part
from pennyspeed.physics.car import Car, Floats, IntArray
from pennyspeed.physics.loads import BatchLoads, loads
from pennyspeed.physics.results import BatchPrediction
from pennyspeed.services.shelf.trial_money import TrialMoney

CACHED = 24
"""Lists of parts whose columns are kept."""

_columns: dict[tuple[int, ...], Columns] = {}
_lock = Lock()


def columns_of(parts: Sequence[Part]) -> Columns:
    """Return the columns of a list of parts, those of the lists used last without reading again.

    Lists are told apart by the parts themselves, which the columns keep alive.
    """
    key = tuple(map(id, parts))
    with _lock:
        found = _columns.pop(key, None) or Columns(parts)
        while len(_columns) >= CACHED:
            del _columns[next(iter(_columns))]
        _columns[key] = found
    return found


class Trials(TrialMoney):
    """Trials of one build; what the rules of the checks look at, for all of them at once.

    Attributes
    ----------
    original, build : Build
        As it is; with the first part of every slot in.
    columns : mapping of str to Columns
        The slots that are tried, and the parts for each.
    index : mapping of str to array (n,)
        Which of a slot's parts each trial takes.
    """

    def __init__(
        self, build: Build, columns: Mapping[str, Columns], index: Mapping[str, IntArray]
    ) -> None:
        super().__init__(build, columns, index)
        self.build = build.with_parts(found.parts[0] for found in columns.values())
        self.readings = NO_READINGS

    def taking(self, rows: IntArray) -> Trials:
        """Return some of the trials, by row."""
        return Trials(
            self.original, self.columns, {slot: index[rows] for slot, index in self.index.items()}
        )

    # cars ---------------------------------------------------------------------------------------

    def slot_of_figures(self, slot: str) -> str:
        """Return the name by which figures call a slot: a tried extra comes after the others."""
        return f"{slot}.{len(self.original.extras)}" if slot == EXTRAS.key else slot

    def cars(self) -> tuple[Car | None, Bools]:
        """Return all trials as a batch of cars, and which of them are cars: have a mass."""
        figures: dict[Key, Floats] = {}
        for slot, rows in self.index.items():
            own = self.columns[slot].figures(self.slot_of_figures(slot))
            figures |= {key: _at(column, rows) for key, column in own.items()}
        car = assemble(self.build, figures)
        if car is None or not isinstance(car.mass, np.ndarray):
            return car, car is not None
        heavy = car.mass > 0.0
        return replace(car, mass=np.where(heavy, car.mass, 1.0)), heavy

    def answered(self, car: Car, heavy: Bools, found: BatchPrediction) -> None:
        """Take in what the physics says, for the rules to read."""
        asked = loads(car, found)
        self.readings = _readings(len(self), heavy, car.road_length, found, asked)

    # what the rules see -------------------------------------------------------------------------

    def figure(self, slot: str, key: str) -> Floats:
        """Return a figure that was given or counts as known by default, NaN elsewhere."""
        if slot in self.index:
            return _at(self.columns[slot].known(key), self.index[slot])
        part = self.build.part(slot)
        found = None if part is None else part.known_number(key)
        return math.nan if found is None else found

    def sides(self, slot: str, key: str) -> tuple[Floats, Floats, Floats]:
        """Return a size, NaN where it is not given."""
        if slot in self.index:
            one, two, three = (
                _at(column, self.index[slot]) for column in self.columns[slot].sides(key)
            )
            return one, two, three
        part = self.build.part(slot)
        found = None if part is None else part.known(key)
        return found if isinstance(found, tuple) else (math.nan,) * 3

    def plug(self, slot: str) -> Texts:
        """Return the name of a connector as it is compared, "" where it is not known."""
        if slot in self.index:
            names = [plug_name(text) for text in self.columns[slot].texts("connector")]
            if len(set(names)) == 1:
                return names[0]
            return np.array(names)[self.index[slot]]
        part = self.build.part(slot)
        return plug_name(None if part is None else part.known("connector"))

    @property
    def unweighed(self) -> Bools:
        """Some part lacks its mass."""
        tried = {self.slot_of_figures(slot) for slot in self.index}
        others = [part for slot, part in slots_of(self.build).items() if slot not in tried]
        if any(part.known("mass_g") is None for part in others):
            return True
        lacking: Bools = False
        for slot in self.index:
            mass = self.figure(slot, "mass_g")
            lacking = lacking | (
                np.isnan(mass) if isinstance(mass, np.ndarray) else math.isnan(mass)
            )
        return lacking


def single(build: Build, parts: Sequence[Part]) -> Trials:
    """Return trials of one part each, all of one kind."""
    columns = columns_of(parts)
    return Trials(build, {columns.kind.key: columns}, {columns.kind.key: np.arange(len(parts))})


def paired(build: Build, ones: Sequence[Part], others: Sequence[Part]) -> Trials:
    """Return trials of every one with every other; the others run fastest."""
    one, other = columns_of(ones), columns_of(others)
    first, second = np.divmod(np.arange(len(ones) * len(others)), len(others))
    slots = one.kind.key, other.kind.key
    columns = dict(zip(slots, (one, other), strict=True))
    return Trials(build, columns, dict(zip(slots, (first, second), strict=True)))


def _readings(
    count: int, heavy: Bools, road: Floats, found: BatchPrediction, asked: BatchLoads
) -> Readings:
    def of(values: NDArray[np.generic], valid: Bools) -> Floats:
        return np.where(valid, np.broadcast_to(values, (count,)), math.nan)

    moves = heavy & np.broadcast_to(found.top_speed > 0.0, (count,))
    runs = moves & np.broadcast_to(found.balance_speed > 0.0, (count,))
    # the state held is cut off at 0: nothing is left where the first pass needs more than there is
    flat = (found.held_state_of_charge <= 0.0) & (road > 0.0)
    return Readings(
        whole=np.broadcast_to(heavy, (count,)),
        moves=moves,
        runs=runs,
        flat=np.broadcast_to(flat, (count,)),
        top_speed=of(found.top_speed, moves),
        current=of(asked.current, moves),
        pack_current=of(asked.pack_current, moves),
        front_load_share=of(asked.front_load_share, moves),
        rear_load_share=of(asked.rear_load_share, moves),
        balance_speed=of(found.balance_speed, runs),
        road_speed=of(found.road_speed, runs),
        road_motor_speed=of(asked.road_motor_speed, runs),
        least_front_share=of(asked.least_front_share, runs),
        late_margin=of(asked.late_margin, runs),
        least_deceleration=of(asked.least_deceleration, runs),
        motor_rise=of(found.motor_rise, runs),
        lowest_cell_voltage=of(asked.lowest_cell_voltage, runs),
        asked_motor_current=of(asked.asked_motor_current, runs),
        asked_pack_current=of(asked.asked_pack_current, runs),
    )


def _at(column: Floats, rows: IntArray) -> Floats:
    return column[rows] if isinstance(column, np.ndarray) else column
