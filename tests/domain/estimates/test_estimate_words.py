"""A figure that was worked out, as a person reads it."""

from __future__ import annotations

import pytest

from pennyspeed.domain.estimates.estimate_words import about, likely, origin, sentence, stored_words
from pennyspeed.domain.estimates.measuring import MEASUREMENTS, measurement_of
from pennyspeed.domain.estimates.work_out import Estimate
from pennyspeed.domain.kinds import BY_KEY, MOTOR
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import IN, MPH, OZ

IMPERIAL = Measures(MPH, IN, OZ, decimal=",", group=".")


def estimate(peers: int, features: tuple[str, ...] = ("can_mm", "length_mm", "kv_rpm_per_v")):
    return Estimate("resistance_mohm", 9.6, 0.25, 7.0, 13.2, features, peers, "")


def test_the_whole_of_it_in_one_sentence():
    assert sentence(MOTOR, estimate(11), METRIC) == (
        "about 9.6 mΩ, likely 7 to 13, worked out from can, Kv and 11 motors like it"
    )
    assert origin(MOTOR, estimate(1)) == "can, Kv and 1 motor like it"
    assert origin(MOTOR, estimate(0, ("resistance_mohm",))) == "resistance and a rule"
    assert origin(MOTOR, estimate(0, ())) == "a rule"


@pytest.mark.parametrize(
    ("key", "value", "spread", "measures", "texts"),
    [
        ("no_load_current_a", 2.412, 0.31, METRIC, ("about 2.4 A", "1.6 to 3.6")),
        ("inductance_uh", 4.306, 0.39, METRIC, ("about 4.3 µH", "2.6 to 7.1")),
        ("mass_g", 183.04, 0.115, METRIC, ("about 183 g", "158 to 212")),
        ("mass_g", 183.04, 0.115, IMPERIAL, ("about 6,5 oz", "5,6 to 7,5")),
        ("resistance_mohm", 9.6, 0.01, METRIC, ("about 9.60 mΩ", "9.48 to 9.72")),
        ("mass_g", 1820.0, 0.3, METRIC, ("about 1,820 g", "1,239 to 2,673")),
    ],
)
def test_digits_end_where_the_spread_leaves_them_no_sense(
    key: str, value: float, spread: float, measures: Measures, texts: tuple[str, str]
):
    field = MOTOR.field(key)
    assert (about(field, value, spread, measures), likely(field, value, spread, measures)) == texts


def test_a_range_never_starts_at_a_0_that_is_none():
    field = BY_KEY["tyres"].field("growth_fraction")
    assert likely(field, 0.0122, 1.35, METRIC) == "0.002 to 0.069"


def test_a_stored_figure_says_that_it_was_worked_out_and_no_other_does():
    part = Part("motor", "m", {"resistance_mohm": 9.6}, {"resistance_mohm": Provenance.WORKED_OUT})
    # without a spread of its own 30 %
    assert stored_words(part, "resistance_mohm", METRIC) == "about 9.6 mΩ, likely 7 to 14"
    typed = part.with_figure("resistance_mohm", 9.6)
    assert stored_words(typed, "resistance_mohm", METRIC) == ""
    assert stored_words(typed, "mass_g", METRIC) == ""


def test_every_how_to_is_short_and_what_can_hurt_has_its_caution():
    for one in MEASUREMENTS:
        assert 1 <= one.minutes <= 60
        for text in (one.how, one.caution):
            assert len(text) <= 100
            assert not text or (text.endswith(".") and text.count(". ") == 0)
        for kind_key, key in one.figures:
            assert BY_KEY[kind_key].field(key).draw is not None
        risky = {"motor", "pack"} & {kind for kind, key in one.figures if key != "mass_g"}
        assert one.caution or not risky, one.title
    found = measurement_of("motor", "resistance_mohm")
    assert found is not None
    assert "5 A through two leads" in found.how
    assert measurement_of("motor", "max_rpm") is None
