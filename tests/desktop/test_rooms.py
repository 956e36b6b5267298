"""Imports of the desktop go one way, from module to module and from room to room."""

from __future__ import annotations

from graphlib import TopologicalSorter

import grimp
import pytest

DESKTOP = "pennyspeed.desktop"


@pytest.fixture(scope="module")
def imports() -> set[tuple[str, str]]:
    """Which module imports which at run time, as names below the desktop."""
    graph = grimp.build_graph("pennyspeed", exclude_type_checking_imports=True, cache_dir=None)
    modules = graph.find_descendants(DESKTOP)
    start = len(DESKTOP) + 1
    return {
        (one[start:], other[start:])
        for one in modules
        for other in graph.find_modules_directly_imported_by(one)
        if other in modules
    }


def rooms(imports: set[tuple[str, str]]) -> set[tuple[str, str]]:
    pairs = {(one.split(".")[0], other.split(".")[0]) for one, other in imports}
    return {(one, other) for one, other in pairs if one != other}


def assert_one_way(imports: set[tuple[str, str]]) -> None:
    sorter: TopologicalSorter[str] = TopologicalSorter()
    for one, other in imports:
        sorter.add(one, other)
    sorter.prepare()  # raises CycleError, which names the circle


def test_no_modules_import_each_other_in_a_circle(imports: set[tuple[str, str]]) -> None:
    assert len(imports) > 300
    assert_one_way(imports)


def test_no_rooms_import_each_other_in_a_circle(imports: set[tuple[str, str]]) -> None:
    assert_one_way(rooms(imports))
