"""Marks of the gear chart: lines part what they should, regions hold together."""

from __future__ import annotations

import numpy as np

from pennyspeed.services.gears.gear_marks import ABOVE, BELOW, LEFT, RIGHT, borders, regions, steps

ALL = np.ones((3, 4), dtype=bool)


def test_a_line_steps_down_between_what_holds_and_what_does_not() -> None:
    holds = np.array([[0, 0, 1, 1], [0, 0, 0, 1], [0, 0, 0, 0]], dtype=bool)
    (line,) = steps(holds, ALL)
    assert line.corners == ((0, 2), (1, 2), (1, 3), (2, 3), (2, 4))
    assert line.sides == (RIGHT, ABOVE)


def test_sides_say_where_the_condition_holds() -> None:
    (line,) = steps(np.array([[1, 1, 0, 0]], dtype=bool), ALL[:1])
    assert line.corners == ((0, 2), (1, 2))
    assert line.sides == (LEFT, LEFT)
    (line,) = steps(np.array([[0], [1]], dtype=bool), np.ones((2, 1), dtype=bool))
    assert line.sides == (BELOW, BELOW)


def test_no_line_runs_where_all_pairs_are_alike_or_none_is_shown() -> None:
    holds = np.array([[0, 0, 1, 1]] * 3, dtype=bool)
    assert steps(np.zeros((3, 4), dtype=bool), ALL) == []
    assert steps(ALL, ALL) == []
    hidden = ALL.copy()
    hidden[:, 2] = False
    assert steps(holds, hidden) == []


def test_every_edge_between_unlike_neighbours_is_drawn_once() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        holds = rng.random((6, 7)) < 0.5
        shown = rng.random((6, 7)) < 0.8
        found = [edge for line in steps(holds, shown) for edge in line.edges]
        upright = shown[:, 1:] & shown[:, :-1] & (holds[:, 1:] != holds[:, :-1])
        level = shown[1:] & shown[:-1] & (holds[1:] != holds[:-1])
        assert len(found) == len(set(found)) == upright.sum() + level.sum()


def test_regions_are_cells_of_one_reason_beside_each_other() -> None:
    keys = np.array([["a", "a", "", "b"], ["", "a", "", "b"], ["a", "", "b", "b"]], dtype=object)
    found = regions(keys)
    assert sorted((one.key, len(one.cells)) for one in found) == [("a", 1), ("a", 3), ("b", 4)]
    b = next(one for one in found if one.key == "b")
    row, column, high, wide = b.widest()
    inside = {(row + r, column + c) for r in range(high) for c in range(wide)}
    assert inside <= b.cells
    assert len(inside) == 3 or wide == 2


def test_borders_close_around_a_region() -> None:
    cells = np.zeros((4, 5), dtype=bool)
    cells[1:3, 1:4] = True
    found = {(min(edge), max(edge)) for edge in borders(cells)}
    assert found == {
        ((1, 1), (3, 1)),
        ((1, 4), (3, 4)),
        ((1, 1), (1, 4)),
        ((3, 1), (3, 4)),
    }
