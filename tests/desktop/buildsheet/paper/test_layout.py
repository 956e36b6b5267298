"""Pages: nothing is lost, nothing sticks out, no heading is left alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.desktop.buildsheet.paper.page_layout import arranged, lay_out
from pennyspeed.domain.builds import Build
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.document import (
    Sizes,
)
from pennyspeed.services.sheet.look import shipped
from pennyspeed.services.sheet.paper.page_items import Element, Fill, Page, Pages, Run, Stroke, Type
from sheets import a_sheet, in_other_letters, stored, with_long_names, with_many_extras

pytestmark = pytest.mark.usefixtures("qapp")

FIGURES = "figures, notes"

BUILDS: dict[str, Build] = {
    "plain": stored(),
    "sixty": with_many_extras(stored(), 60),
    "long": with_long_names(with_many_extras(stored(), 3)),
    "letters": in_other_letters(stored()),
    "empty": a_build(parts={}),
}


def runs(page: Page) -> list[Run]:
    return [one for one in page.items if isinstance(one, Run)]


def is_plate(run: Run) -> bool:
    """Tell whether a line is the name of one of the many extras, in its cell."""
    in_cell = run.element is not None and run.element.kind == "TD"
    return in_cell and run.text.startswith("Ballast plate")


def laid(build: Build, paper: str = "a4", kind: str = "bench", **options: object) -> Pages:
    sheet = a_sheet(build, choices=Choices(kind=kind, paper=paper), **options)
    return lay_out(sheet, *PAPERS[paper])


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BUILDS)
def test_everything_lies_between_the_margins(name: str, paper: str) -> None:
    pages = laid(BUILDS[name], paper, "run-day")
    margin = shipped().sizes.margin_mm
    for page in pages.pages:
        for thing in page.items:
            if isinstance(thing, Run):
                assert thing.x >= margin - 0.01
                right = thing.x + fonts.width(thing.text, thing.type)
                assert right <= pages.width - margin + 0.3, thing.text
                assert margin < thing.y <= pages.height - margin + 0.01
            elif isinstance(thing, Stroke):
                assert all(x <= pages.width - margin + 0.3 for x, _ in thing.points)
            elif isinstance(thing, Fill) and thing.colour != "ink":
                assert all(x <= pages.width - margin + 1.0 for ring in thing.rings for x, _ in ring)


@pytest.mark.parametrize("name", BUILDS)
def test_no_line_of_text_is_written_over_another(name: str) -> None:
    for page in laid(BUILDS[name]).pages:
        boxes = []
        for one in runs(page):
            if one.element is not None and one.element.kind == "Figure":
                continue
            high = 0.7 * one.type.size * 25.4 / 72
            wide = fonts.width(one.text, one.type)
            boxes.append((one.x, one.y - high, one.x + wide, one.y, one.text))
        boxes.sort(key=lambda box: box[1])
        for i, first in enumerate(boxes):
            for second in boxes[i + 1 :]:
                if second[1] >= first[3]:
                    break
                assert second[0] >= first[2] - 0.05 or first[0] >= second[2] - 0.05, (
                    first[4],
                    second[4],
                )


@pytest.mark.parametrize("kind", ["bench", "run-day", "beside", "shopping"])
@pytest.mark.parametrize("name", BUILDS)
def test_no_heading_is_the_last_of_its_page(name: str, kind: str) -> None:
    for page in laid(BUILDS[name], "letter", kind).pages:
        body = [one for one in runs(page) if one.element is not None]
        heads = [i for i, one in enumerate(body) if one.element.kind == "H2"]  # type: ignore[union-attr]
        assert all(i < len(body) - 1 for i in heads)


def test_a_table_that_runs_over_repeats_its_head() -> None:
    pages = laid(BUILDS["sixty"])
    over = [page for page in pages.pages if any(map(is_plate, runs(page)))]
    assert len(over) >= 2
    for page in over:
        assert [one.text for one in runs(page)].count(FIGURES) == 1
    tagged = [one.element is not None for page in over for one in runs(page) if one.text == FIGURES]
    assert tagged.count(True) == 1


@pytest.mark.parametrize("paper", PAPERS)
def test_the_plain_sheet_takes_two_pages(paper: str) -> None:
    assert len(laid(stored(), paper).pages) == 2


def test_drawings_give_way_only_where_that_saves_a_page() -> None:
    tall = {paper: _plot_height(laid(stored(), paper)) for paper in PAPERS}
    assert (
        tall["letter"] < tall["a4"] == pytest.approx(_plot_height(laid(stored(), "a4", "beside")))
    )


def test_the_log_of_a_run_day_keeps_nearly_all_its_rows() -> None:
    rows = shipped().run_day_rows
    for paper in PAPERS:
        for extras in range(0, 12, 2):
            pages = laid(with_many_extras(stored(), extras), paper, "run-day")
            assert _written_rows(pages) >= rows - 3, (paper, extras)


def _written_rows(pages: Pages) -> int:
    """Return how many rows the table to fill in has, by the table's elements."""
    (log,) = (
        one
        for one in _elements(pages.root)
        if one.kind == "Table" and one.alternative.startswith("Run log")
    )
    return sum(one.kind == "TR" for one in _elements(log)) - 1


def _elements(element: Element) -> Iterator[Element]:
    yield element
    for child in element.children:
        yield from _elements(child)


def _plot_height(pages: Pages) -> float:
    """Return how high the drawing of the road is, from its lowest stroke to its highest [mm]."""
    heights = [
        y
        for page in pages.pages
        for one in page.items
        if isinstance(one, Stroke) and one.element is not None and one.element.kind == "Figure"
        for _, y in one.points
    ]
    return max(heights) - min(heights)


def test_letters_and_room_follow_the_look() -> None:
    look = replace(shipped(), sizes=Sizes(text_pt=14.0, margin_mm=30.0))
    pages = laid(stored(), look=look)
    sizes = {one.type.size for page in pages.pages for one in runs(page)}
    assert 14.0 in sizes
    assert min(one.x for page in pages.pages for one in runs(page)) >= 29.9


@given(st.text(st.sampled_from("ab 1·×km/h"), max_size=80), st.floats(3.0, 60.0))
def test_lines_lose_no_letter_and_are_no_wider_than_their_room(text: str, room: float) -> None:
    type = Type(9.0)
    found = fonts.lines(text, type, room)
    assert "".join("".join(found).split()) == "".join(text.split())
    for line in found:
        assert fonts.width(line, type) <= room or len(line.strip()) <= 1


def test_a_figure_keeps_its_unit_on_its_line() -> None:
    text = "goes 120 km/h and 35.8 mm on 240 m of road for 64.50 EUR, 99 % of its 139 × 43 × 26 mm"
    for room in range(24, 90, 3):
        for line in fonts.lines(text, Type(9.0), float(room)):
            assert not line.startswith(("km/h", "mm", "m ", "EUR", "%", "×"))
            assert not line.endswith(("120", "35.8", "240", "64.50", "99", "×"))


@given(st.lists(st.floats(5.0, 80.0), min_size=1, max_size=7))
def test_halves_stand_in_two_columns_in_their_order(heights: list[float]) -> None:
    groups = arranged(heights, 4.0)
    order = [place for left, right in groups for place in (*left, *right)]
    assert order == list(range(len(heights)))
    if len(heights) > 1:
        assert all(left and right for left, right in groups)

    def high(column: tuple[int, ...]) -> float:
        return sum(heights[i] for i in column) + 4.0 * (len(column) - 1)

    for left, right in groups:
        whole = (*left, *right)
        for cut in range(1, len(whole)):
            other = max(high(whole[:cut]), high(whole[cut:]))
            assert max(high(left), high(right) if right else 0.0) <= other + 1e-9


def test_pages_go_on_in_reading_order() -> None:
    pages = laid(BUILDS["sixty"])
    plates = [one.text for page in pages.pages for one in runs(page) if is_plate(one)]
    assert plates == [f"Ballast plate {i}" for i in range(1, 61)]
