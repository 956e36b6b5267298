"""What would narrow a build's speed most: the range then, and what is of no help."""

from __future__ import annotations

import math

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import MPH
from pennyspeed.services.estimates.narrowing import Narrowing, narrowings, widenings
from pennyspeed.services.prediction.forecast import band, forecast


def unsure() -> Build:
    """A build whose Kv is known to a sixth only, which hides all else."""
    build = a_build()
    motor = build.parts["motor"].with_figure("kv_rpm_per_v", 3100.0, Provenance.ESTIMATED)
    return build.with_part(motor)


def of(found: tuple[Narrowing, ...], title: str) -> Narrowing:
    (one,) = (one for one in found if one.measurement.title == title)
    return one


def test_the_range_then_is_that_of_a_build_whose_figure_was_measured():
    build = unsure()
    motor = build.parts["motor"]
    known = build.with_part(motor.with_figure("kv_rpm_per_v", 3100.0, Provenance.MEASURED))
    one = of(narrowings(build), "Measure Kv")
    then, now = band(known), band(build)
    assert one.low_kmh == pytest.approx(then.p10 * 3.6, rel=1e-6)
    assert one.high_kmh == pytest.approx(then.p90 * 3.6, rel=1e-6)
    assert one.high_kmh - one.low_kmh < 0.95 * 3.6 * (now.p90 - now.p10)
    assert one.helps
    assert one.figures == (("motor", "kv_rpm_per_v"),)


def test_the_narrowest_comes_first_and_what_would_not_narrow_is_no_help():
    found = narrowings(unsure())
    widths = [one.high_kmh - one.low_kmh for one in found]
    assert widths == sorted(widths)
    scale = of(found, "Weigh the car")
    assert not scale.helps
    assert scale.range_words(METRIC) == f"{scale.low_kmh:.0f} to {scale.high_kmh:.0f}, no help"
    assert {slot for slot, _ in scale.figures} >= {"chassis", "motor", "extras.0", "extras.1"}
    best = found[0]
    mph = best.range_words(Measures(speed_unit=MPH))
    assert mph == f"{best.low_kmh / 1.609344:.0f} to {best.high_kmh / 1.609344:.0f}"


def test_what_is_measured_already_is_not_offered_again():
    build = unsure()
    motor = build.parts["motor"].with_figure("kv_rpm_per_v", 3100.0, Provenance.MEASURED)
    titles = {one.measurement.title for one in narrowings(build.with_part(motor))}
    assert "Measure Kv" not in titles
    # of the coast-down's three the area is measured; the others are worth it
    coast = of(narrowings(build), "Coast down from 60 km/h")
    assert coast.figures == (("tyres", "rolling_coefficient"), ("body", "drag_coefficient"))


def test_it_can_be_asked_about_the_figures_with_the_largest_shares():
    found = narrowings(unsure(), (("motor", "resistance_mohm"), ("pack", "capacity_mah")))
    assert {one.measurement.title for one in found} == {
        "Measure winding resistance",
        "Measure capacity",
    }
    assert narrowings(unsure(), (("motor", "max_rpm"),)) == ()


def test_a_figure_widens_the_speed_by_what_its_own_likely_range_does():
    build = unsure()
    motor, wide = build.parts["motor"], widenings(build)
    # 15 % for an estimate; 1.2816 is the standard normal quantile of 0.9
    ends = []
    for sign in (-1, 1):
        kv = 3100.0 * math.exp(sign * 1.2816 * 0.15)
        found = forecast(build.with_part(motor.with_figure("kv_rpm_per_v", kv))).prediction
        assert found is not None
        ends.append(found.road_speed * 3.6)
    assert wide["motor", "kv_rpm_per_v"] == pytest.approx(0.5 * (ends[1] - ends[0]), rel=0.03)
    assert max(wide, key=wide.__getitem__) == ("motor", "kv_rpm_per_v")
    assert 0 <= wide["motor", "mass_g"] < 0.2


def test_a_car_that_is_not_whole_has_nothing_to_narrow():
    build = a_build()
    bare = build.without_part("pack")
    assert (narrowings(bare), widenings(bare)) == ((), {})
