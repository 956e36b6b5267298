"""What is missing in a file, what working it out does, and how it is taken back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from as_given import as_given
from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import NotFound
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.estimates.missing import words_of
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.workshop import Workshop

WORKED_OUT = Provenance.WORKED_OUT
GAPS = ("no_load_current_a", "rotor_inertia_gcm2")


def everything(workshop: Workshop) -> list[Part]:
    return [part for kind in KINDS for part in workshop.catalogue.parts(kind.key, archived=True)]


@pytest.fixture
def bare(workshop: Workshop) -> tuple[Workshop, Build]:
    """A file of its own parts only, the motor of its build without two figures that count as 0."""
    for entry in workshop.builds.entries():
        workshop.builds.delete(entry.id)
    for part in everything(workshop):
        workshop.catalogue.delete_part(part.id or 0)
    build = a_build()
    motor = build.parts["motor"]
    for key in GAPS:
        motor = motor.with_figure(key, None)
    return workshop, workshop.builds.save(build.with_part(motor))


@pytest.fixture
def older(workshop: Workshop) -> Workshop:
    """A file of the demo from before motors had an inductance."""
    with workshop.begin() as work:
        for motor in work.parts.of_kind("motor"):
            work.parts.save(as_given(motor).with_figure("inductance_uh", None))
        work.commit()
    return workshop


def kmh(build: Build) -> float:
    found = forecast(build).prediction
    assert found is not None
    return found.road_speed * 3.6


def test_the_notice_counts_what_can_be_worked_out_and_says_what_it_does(
    bare: tuple[Workshop, Build],
):
    workshop, build = bare
    found = workshop.catalogue.missing_figures()
    # the two gaps, and an inductance that nobody gave
    assert (found.figures, found.parts) == (3, 1)
    assert found.sentence == "3 figures are missing or count as 0; work them out."
    (change,) = found.builds
    assert (change.id, change.name) == (build.id, build.name)
    assert change.before_kmh == pytest.approx(kmh(build))
    changes = workshop.catalogue.work_out()
    after = workshop.builds.get(build.id or 0)
    assert change.after_kmh == pytest.approx(kmh(after))
    assert change.after_kmh < change.before_kmh, "what counts as 0 flatters the car"
    assert change.words(METRIC).startswith(f"{build.name}: {change.before_kmh:.0f} km/h, with")
    assert {key: after.parts["motor"].provenance_of(key) for key in GAPS} == dict.fromkeys(
        GAPS, WORKED_OUT
    )
    assert workshop.catalogue.missing_figures().sentence == ""
    assert words_of(changes) == (
        "worked out 3 figures of Greenhouse 3100",
        "took 3 figures of Greenhouse 3100 back",
    )
    workshop.catalogue.turn_back(changes)
    assert workshop.builds.get(build.id or 0).parts == build.parts


def test_looking_changes_nothing(bare: tuple[Workshop, Build]):
    workshop, _ = bare
    before = everything(workshop)
    workshop.catalogue.missing_figures()
    assert everything(workshop) == before


def test_one_part_can_be_worked_out_alone_and_again(bare: tuple[Workshop, Build]):
    workshop, build = bare
    motor, spur = build.parts["motor"], build.parts["spur"]
    assert workshop.catalogue.work_out([spur.id or 0]) == ()
    (change,) = workshop.catalogue.work_out([motor.id or 0])
    full = change.after.part
    assert full is not None
    assert workshop.catalogue.work_out([motor.id or 0]) == ()
    assert workshop.catalogue.work_out([motor.id or 0], anew=True) == (), "nothing has taught since"
    for i in range(10):
        given = as_given(replace(motor, id=None, name=f"Own {i}"))
        workshop.catalogue.save_part(
            given.with_figure("no_load_current_a", 6.0, Provenance.MEASURED)
        )
    assert workshop.catalogue.part(motor.id or 0) == full, "it never moves by itself"
    moved = workshop.catalogue.missing_figures([motor.id or 0], anew=True)
    assert moved.figures == 1
    (again,) = workshop.catalogue.work_out([motor.id or 0], anew=True)
    assert again.after.part is not None
    assert float(again.after.part.figures["no_load_current_a"]) == pytest.approx(6.0, rel=0.1)  # type: ignore[arg-type]
    workshop.catalogue.turn_back([again])
    assert workshop.catalogue.part(motor.id or 0) == full
    with pytest.raises(NotFound):
        workshop.catalogue.work_out([999_999])


def test_working_out_is_one_deed_all_of_it_or_nothing(
    older: Workshop, monkeypatch: pytest.MonkeyPatch
):
    from pennyspeed.storage.parts import Parts

    before, saved = everything(older), []
    save = Parts.save

    def break_off(self: Parts, part: Part) -> Part:
        saved.append(part)
        if len(saved) == 3:
            raise OSError("cut short")
        return save(self, part)

    monkeypatch.setattr(Parts, "save", break_off)
    with pytest.raises(OSError, match="cut short"):
        older.catalogue.work_out()
    assert everything(older) == before


def test_ratings_stay_not_known(workshop: Workshop):
    part = Part("motor", "bare", {"kv_rpm_per_v": 3900.0, "can_mm": 36.0, "length_mm": 50.0})
    stored = workshop.catalogue.save_part(part)
    for key in ("max_rpm", "continuous_current_a", "peak_current_a"):
        assert stored.known(key) is None


def test_a_file_of_an_older_demo_says_what_is_missing_there_too(older: Workshop):
    motors = [part for part in everything(older) if part.kind_key == "motor"]
    assert older.catalogue.missing_figures().figures >= len(motors)


def test_nothing_of_todays_demo_counts_as_0(workshop: Workshop):
    assert workshop.catalogue.missing_figures().figures == 0
    controllers = {part.name: part for part in workshop.catalogue.parts("controller")}
    nameless = controllers["Pumice 90"]
    # 60 mΩ·A over 90 A (prior of the rule; the demo teaches nothing)
    assert nameless.figures["resistance_mohm"] == pytest.approx(60 / 90)
    assert nameless.provenance_of("resistance_mohm") is WORKED_OUT
