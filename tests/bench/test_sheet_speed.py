"""How long a sheet takes: from a build to the bytes of its files. Prints; asserts no time."""

from __future__ import annotations

import statistics
from time import perf_counter

import pytest
from PySide6.QtWidgets import QApplication

from pennyspeed.desktop.buildsheet.paper.page_layout import lay_out
from pennyspeed.desktop.buildsheet.paper.pdf import pages_pdf
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.sheet.choices import PAPERS, Choices
from pennyspeed.services.sheet.html import sheet_html
from pennyspeed.services.sheet.making import build_sheet
from pennyspeed.services.sheet.text import sheet_text
from sheets import MADE, stored

ROUNDS, COUNTED = 9, 7

pytestmark = pytest.mark.bench


def test_a_sheet_from_build_to_file(qapp: QApplication) -> None:
    build, choices = stored(), Choices()
    parts: dict[str, list[float]] = {}

    def timed(name: str, start: float) -> float:
        now = perf_counter()
        parts.setdefault(name, []).append(1e3 * (now - start))
        return now

    first = 0.0
    for round in range(ROUNDS):
        begin = at = perf_counter()
        found = forecast(build)
        at = timed("prediction", at)
        sheet = build_sheet(found, choices, made=MADE)
        at = timed("document", at)
        pages = lay_out(sheet, *PAPERS[choices.paper])
        at = timed("pages", at)
        data = pages_pdf(pages, sheet, choices)
        at = timed("pdf", at)
        timed("build to pdf", begin)
        if round == 0:
            first = parts["build to pdf"][0]
        at = perf_counter()
        sheet_html(sheet)
        at = timed("html", at)
        sheet_text(sheet)
        timed("text", at)
    assert data.startswith(b"%PDF")
    print(f"\nsheet, ms: first {first:.0f} (400 asked for); then, median of {COUNTED}:")
    for name, times in parts.items():
        print(f"  {name:<14}{statistics.median(times[-COUNTED:]):7.1f}")
