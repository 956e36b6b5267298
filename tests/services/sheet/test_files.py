"""The sheet as HTML and as text, what is remembered of it, and the code that it carries."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import numpy as np
import pytest
import zxingcpp

from builds import a_build
from pennyspeed.domain.checks import Level
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.sheet.choices import Choices, from_text, text_of
from pennyspeed.services.sheet.curves import (
    Plot,
)
from pennyspeed.services.sheet.document import (
    Paragraph,
    Table,
)
from pennyspeed.services.sheet.html import sheet_html
from pennyspeed.services.sheet.text import WIDTH, sheet_text
from pennyspeed.services.short_ids import code_text, id_in
from pennyspeed.services.workshop import Workshop
from sheets import a_sheet, in_other_letters, stored, with_long_names, with_many_extras


class Page(HTMLParser):
    """Reads a page as a browser would: tags in order, text, and what it would fetch."""

    VOID = frozenset({"meta", "br", "img", "link", "input", "rect", "polyline", "path", "circle"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not {"style", "title"} & set(self.open):
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def test_the_page_says_what_the_document_says_and_needs_nothing_beside_it() -> None:
    sheet = a_sheet()
    html = sheet_html(sheet)
    page = Page(html)
    assert page.open == []
    for block in sheet.blocks():
        if isinstance(block, Paragraph):
            assert " ".join(block.text.split()) in page.text
        if isinstance(block, Table):
            for row in block.rows:
                assert all(" ".join(cell.text.split()) in page.text for cell in row)
    heads = [tag for tag, _ in page.tags if re.fullmatch(r"h\d", tag)]
    assert heads == ["h1"] + ["h2"] * len(sheet.sections)
    for _, attributes in page.tags:
        for name in ("src", "href"):
            assert (attributes.get(name) or "data:").startswith("data:")
    assert not re.search(r"url\(\"(?!data:)", html)
    assert "@page { size: 210mm 297mm" in html
    assert dict(page.tags)["html"]["lang"] == "en"


def test_tables_have_scopes_and_drawings_have_words() -> None:
    page = Page(sheet_html(a_sheet()))
    scopes = {attributes.get("scope") for tag, attributes in page.tags if tag == "th"}
    assert scopes == {"col", "row"}
    labels = [str(attributes["aria-label"]) for tag, attributes in page.tags if tag == "svg"]
    assert any("K7QX2M@14" in label for label in labels)
    plot = next(one for one in a_sheet().blocks() if isinstance(one, Plot))
    assert plot.alternative in labels


def test_a_name_cannot_become_markup() -> None:
    html = sheet_html(a_sheet(stored(a_build(name='<script>alert(1)</script> & "co"'))))
    assert "<script>" not in html
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp;" in html


def test_black_and_white_has_no_other_colour() -> None:
    html = sheet_html(a_sheet(), Choices(mono=True, paper="letter"))
    assert set(re.findall(r"#[0-9A-Fa-f]{6}\b", html)) == {"#000000", "#FFFFFF"}
    assert "215.9mm 279.4mm" in html


@pytest.mark.parametrize(
    "build",
    [
        stored(),
        stored(with_long_names(a_build())),
        stored(in_other_letters(a_build())),
        with_many_extras(stored(), 60),
    ],
    ids=["plain", "long", "letters", "sixty"],
)
def test_text_keeps_its_width(build) -> None:  # type: ignore[no-untyped-def]
    lines = sheet_text(a_sheet(build)).splitlines()
    assert max(map(len, lines)) <= max(WIDTH, len(build.name))
    assert not any(line != line.rstrip() for line in lines)


def test_text_marks_the_pair_that_is_in_and_leaves_room_to_write() -> None:
    text = sheet_text(a_sheet())
    assert len(re.findall(r"\[\d+(?: [!*])*\]", text)) == 1
    assert "____" in text
    assert "pennyspeed:K7QX2M@14" in text
    assert "[ ] Brake tried at walking pace." in text


def test_text_says_what_to_do_about_what_is_to_be_watched() -> None:
    build = stored(a_build(parts__motor__max_rpm=20000, conditions__reserve_m=20))
    (check,) = (one for one in forecast(build).checks if one.level is Level.WARN)
    text = " ".join(sheet_text(a_sheet(build)).split())
    assert f"- Watch: {check.text} {check.advice}" in text


def test_a_name_cannot_steer_the_terminal() -> None:
    build = replace(stored(), name="Allotment\x1b[2J\nrunner")
    text = sheet_text(a_sheet(build))
    assert text.startswith("Allotment�[2J�runner\n=====")
    assert "\x1b" not in text


def test_a_camera_reads_the_code_under_a_drop_of_rain() -> None:
    """A drop five modules wide, off the three corners that a camera finds it by.

    Read by ZXing's decoder, which did not make the code.
    """
    code = a_sheet().masthead.code
    assert code is not None
    square = np.array(code.modules)
    last = len(square) - 5
    for y, x in ((9, 14), (10, 11), (10, 15), (10, last), (last, 9), (last, last)):
        wet = square.copy()
        wet[y : y + 5, x : x + 5] = False
        paper = np.pad(np.where(wet, 0, 255).astype(np.uint8), 4, constant_values=255)
        found = zxingcpp.read_barcodes(np.kron(paper, np.ones((6, 6), np.uint8)))
        assert [one.text for one in found] == ["pennyspeed:K7QX2M@14"], (y, x)


def test_a_build_from_a_file_has_no_code_to_carry() -> None:
    sheet = a_sheet(a_build())
    assert sheet.masthead.code is None
    assert "pennyspeed:" not in sheet_text(sheet)


def test_the_code_opens_its_build_again(workshop: Workshop) -> None:
    build = workshop.builds.save(a_build())
    text = code_text(build)
    assert text == f"pennyspeed:{build.code}@{build.revision}"
    assert workshop.builds.named(text).id == build.id
    assert workshop.builds.named(text.upper()).id == build.id
    assert id_in("Allotment runner") == "Allotment runner"


def test_choices_are_remembered_for_each_build(workshop: Workshop) -> None:
    first, second = workshop.builds.save(a_build()), workshop.builds.save(a_build(name="Other"))
    chosen = Choices("run-day", ("runs", "before"), "imperial", "letter", True, ("Flag up",))
    workshop.settings.note_sheet_choices(first, text_of(chosen))
    assert from_text(workshop.settings.sheet_choices(first)) == chosen
    assert from_text(workshop.settings.sheet_choices(second)) == Choices()


@pytest.mark.parametrize(
    "text",
    [
        None,
        "",
        "{",
        "[]",
        '{"kind": "soup", "paper": 3, "mono": "yes", "sections": [1]}',
        '{"x": 1}',
    ],
)
def test_damaged_choices_take_their_defaults(text: str | None) -> None:
    assert from_text(text) == Choices()
