"""Marks of the gear chart: where a limit runs through the table, and what does not mesh.

Cells are (row, column); corners are (row, column) too, corner (r, c) being the leading top one of
cell (r, c).
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Bools = NDArray[np.bool_]
Corner = tuple[int, int]
Cell = tuple[int, int]
Edge = tuple[Corner, Corner]

RIGHT, LEFT, ABOVE, BELOW = "right", "left", "above", "below"


@dataclass(frozen=True, slots=True)
class Step:
    """A line of steps through the table.

    Attributes
    ----------
    corners : tuple of Corner
        From its upper end to its lower one.
    sides : tuple of str
        On which side of the first and of the last piece the condition holds.
    """

    corners: tuple[Corner, ...]
    sides: tuple[str, str]

    @property
    def edges(self) -> set[Edge]:
        """Its pieces, each from its smaller corner to its larger one."""
        pairs = zip(self.corners, self.corners[1:], strict=False)
        return {(min(pair), max(pair)) for pair in pairs}


@dataclass(frozen=True, slots=True)
class Region:
    """Cells beside each other that are left out for one reason."""

    key: str
    cells: frozenset[Cell]

    def widest(self, inside: tuple[range, range] | None = None) -> tuple[int, int, int, int]:
        """Return the largest rectangle of its cells: row, column, rows, columns.

        It is confined to the rows and columns `inside`, where these are given.
        """
        cells = self.cells
        if inside is not None:
            rows, columns = inside
            cells = frozenset((r, c) for r, c in cells if r in rows and c in columns)
        best, area = (0, 0, 0, 0), 0
        for row, column in sorted(cells):
            wide, high = 10_000, 0
            while (row + high, column) in cells:
                run = 0
                while run < wide and (row + high, column + run) in cells:
                    run += 1
                wide, high = run, high + 1
                # Words are wide: two columns and more come before many rows.
                if min(wide, 4) * min(high, 2) * 100 + wide * high > area:
                    area = min(wide, 4) * min(high, 2) * 100 + wide * high
                    best = (row, column, high, wide)
        return best


def steps(holds: Bools, shown: Bools) -> list[Step]:
    """Return the lines that part the shown cells where `holds` from those where it does not."""
    sides: dict[Edge, str] = {}
    both = shown[:, :-1] & shown[:, 1:] & (holds[:, :-1] != holds[:, 1:])
    for r, c in np.argwhere(both):
        row, column = int(r), int(c) + 1
        edge = (row, column), (row + 1, column)
        sides[edge] = RIGHT if holds[row, column] else LEFT
    both = shown[:-1] & shown[1:] & (holds[:-1] != holds[1:])
    for r, c in np.argwhere(both):
        row, column = int(r) + 1, int(c)
        edge = (row, column), (row, column + 1)
        sides[edge] = BELOW if holds[row, column] else ABOVE
    return [_step(chain, sides) for chain in _chains(set(sides))]


def _step(chain: list[Corner], sides: dict[Edge, str]) -> Step:
    if chain[0] > chain[-1]:
        chain = chain[::-1]
    first, last = (chain[0], chain[1]), (chain[-2], chain[-1])
    return Step(tuple(chain), (sides[min(first), max(first)], sides[min(last), max(last)]))


def _chains(edges: set[Edge]) -> list[list[Corner]]:
    """Return edges joined end to end, the longest way first."""
    ways: dict[Corner, list[Corner]] = defaultdict(list)
    for one, other in edges:
        ways[one].append(other)
        ways[other].append(one)
    left = set(edges)
    found = []
    # Open ends first; what is left then are loops.
    starts = [*sorted(c for c, others in ways.items() if len(others) % 2), *sorted(ways)]
    for start in starts:
        chain = _walk(start, ways, left)
        while len(chain) > 1:
            found.append(chain)
            chain = _walk(start, ways, left)
    return sorted(found, key=len, reverse=True)


def _walk(start: Corner, ways: dict[Corner, list[Corner]], left: set[Edge]) -> list[Corner]:
    chain = [start]
    while True:
        here = chain[-1]
        onward = [to for to in sorted(ways[here]) if (min(here, to), max(here, to)) in left]
        if not onward:
            return chain
        # Straight on where two lines meet, so that each keeps its own way.
        straight = None
        if len(chain) > 1:
            before = chain[-2]
            straight = (2 * here[0] - before[0], 2 * here[1] - before[1])
        to = straight if straight in onward and len(ways[here]) > 2 else onward[0]
        assert to is not None
        left.discard((min(here, to), max(here, to)))
        chain.append(to)


def regions(keys: NDArray[np.object_]) -> list[Region]:
    """Return cells of one key beside each other; "" belongs to none."""
    rows, columns = keys.shape
    seen: set[Cell] = set()
    found = []
    for start in np.ndindex(rows, columns):
        key = keys[start]
        if not key or start in seen:
            continue
        cells, open_ends = {start}, [start]
        while open_ends:
            r, c = open_ends.pop()
            for beside in ((r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1)):
                is_inside = 0 <= beside[0] < rows and 0 <= beside[1] < columns
                if is_inside and beside not in cells and keys[beside] == key:
                    cells.add(beside)
                    open_ends.append(beside)
        seen |= cells
        found.append(Region(str(key), frozenset(cells)))
    return found


def borders(cells: Bools) -> list[Edge]:
    """Return the edges between cells that are in and those that are not, straight ones joined."""
    padded = np.pad(cells, 1)
    edges = []
    upright = padded[1:-1, :-1] != padded[1:-1, 1:]
    for column in range(upright.shape[1]):
        edges += [((first, column), (last, column)) for first, last in _runs(upright[:, column])]
    level = padded[:-1, 1:-1] != padded[1:, 1:-1]
    for row in range(level.shape[0]):
        edges += [((row, first), (row, last)) for first, last in _runs(level[row])]
    return edges


def _runs(flags: Bools) -> list[tuple[int, int]]:
    change = np.flatnonzero(np.diff(np.concatenate(([0], flags.astype(np.int8), [0]))))
    return [(int(a), int(b)) for a, b in zip(change[::2], change[1::2], strict=True)]
