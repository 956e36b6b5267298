"""Parts as values: how sure a figure is, and what becomes of that when the figure changes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import WORDS, Provenance

HEATH = Part("motor", "Heath 36", {"kv_rpm_per_v": 3300.0, "resistance_mohm": 9.6, "poles": 4})


def test_what_was_worked_out_is_as_wide_as_a_guess_unless_its_spread_stands_with_it() -> None:
    worked_out = HEATH.with_figure("resistance_mohm", 9.6, Provenance.WORKED_OUT)
    assert worked_out.spread_of("resistance_mohm") == 0.30
    own = HEATH.with_figure("resistance_mohm", 9.6, Provenance.WORKED_OUT, 0.28)
    assert own.spread_of("resistance_mohm") == 0.28
    assert WORDS[own.provenance_of("resistance_mohm")] == "worked out"


def test_a_spread_of_its_own_goes_before_that_of_any_source() -> None:
    measured = HEATH.with_figure("kv_rpm_per_v", 3290.0, Provenance.MEASURED, 0.004)
    assert measured.spread_of("kv_rpm_per_v") == 0.004
    assert measured.spread_of("resistance_mohm") == 0.05, "the maker's, as before"


def test_a_figure_that_is_typed_drops_the_old_spread() -> None:
    own = HEATH.with_figure("resistance_mohm", 9.6, Provenance.WORKED_OUT, 0.28)
    typed = own.with_figure("resistance_mohm", 11.0)
    assert typed.spread_of("resistance_mohm") == 0.05
    assert typed == HEATH.with_figure("resistance_mohm", 11.0)
    weighed = HEATH.with_figure("mass_g", 180.0, None, 0.1)
    assert weighed.with_figure("mass_g", None).spread == {}
    assert own.with_figure("poles", 2).spread == {"resistance_mohm": 0.28}


def test_a_spread_is_idle_on_an_exact_or_absent_figure() -> None:
    part = replace(HEATH, spread={"poles": 0.5, "no_load_current_a": 0.01})
    assert part.spread_of("poles") == 0.0
    assert part.spread_of("no_load_current_a") == 0.30, "filled in, so guessed"


@pytest.mark.parametrize("spread", [0.0, -0.1, 2.01, float("nan"), float("inf"), True])
def test_a_spread_is_above_0_and_at_most_2(spread: float) -> None:
    with pytest.raises(BadInput, match=r"spread of winding resistance.*above 0 to 2"):
        HEATH.with_figure("resistance_mohm", 9.6, None, spread)
    assert HEATH.with_figure("resistance_mohm", 9.6, None, 2).spread == {"resistance_mohm": 2.0}


def test_another_spread_is_another_article() -> None:
    own = HEATH.with_figure("resistance_mohm", 9.6, Provenance.WORKED_OUT, 0.28)
    other = HEATH.with_figure("resistance_mohm", 9.6, Provenance.WORKED_OUT, 0.2)
    assert own.same_article(replace(own, id=3))
    assert not own.same_article(other)
