"""Figures that are left out of what a person enters: forms, single figures, tables, build files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builds import a_build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.estimates.work_out import work_out
from pennyspeed.domain.kinds import BODY, MOTOR, PINION
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.build_files import write_build
from pennyspeed.services.editing.part_fields import form_field, form_fields, read_part, with_typed
from pennyspeed.services.estimates.peers import is_own
from pennyspeed.services.importers.tables.rows import Verdict
from pennyspeed.services.workshop import Workshop

SHOP = {"kv_rpm_per_v": 3900.0, "can_mm": 36.0, "length_mm": 50.0, "max_rpm": 50000.0}
FILLED = {
    "resistance_mohm", "no_load_current_a", "mass_g", "inductance_uh", "rotor_inertia_gcm2",
}  # fmt: skip
MEASURED, WORKED_OUT = Provenance.MEASURED, Provenance.WORKED_OUT


def shop_motor(name: str = "Shed 3900") -> Part:
    return Part("motor", name, dict(SHOP))


def own_motors(count: int = 10, factor: float = 2.0) -> list[Part]:
    """Return measured motors whose resistance is a multiple of what the rule alone says."""
    alone = work_out(shop_motor())["resistance_mohm"].value
    return [
        shop_motor(f"Own {i}").with_figure("resistance_mohm", factor * alone, MEASURED)
        for i in range(count)
    ]


# One part -----------------------------------------------------------------------------------


def test_a_new_part_has_what_was_left_out_of_it_and_undoing_takes_all_of_it(workshop: Workshop):
    before = len(workshop.catalogue.parts("motor"))
    change = workshop.catalogue.change_part(shop_motor())
    part = change.after.part
    assert part is not None
    assert part.figures.keys() - SHOP.keys() == FILLED
    assert {key: part.provenance_of(key) for key in FILLED} == dict.fromkeys(FILLED, WORKED_OUT)
    expected = work_out(shop_motor())
    for key in FILLED:
        # none of the demo's motors, whose figures are invented, has taught anything
        assert part.figures[key] == pytest.approx(expected[key].value)
        assert part.spread_of(key) == pytest.approx(expected[key].spread)
    assert workshop.catalogue.part(part.id or 0) == part
    workshop.catalogue.turn_back([change])
    assert len(workshop.catalogue.parts("motor")) == before


def test_an_old_part_keeps_its_gaps_when_something_else_is_changed(workshop: Workshop):
    build = workshop.builds.save(a_build())
    old = build.parts["motor"].with_figure("no_load_current_a", None)
    assert old.id is not None
    workshop.catalogue.save_part(old)
    stored = workshop.catalogue.part(old.id)
    assert stored.provenance_of("no_load_current_a") is WORKED_OUT, "taken out: worked out"
    assert "inductance_uh" not in stored.figures, "never said: as it was"
    assert workshop.catalogue.save_part(replace(stored, note="dusty")).figures == stored.figures


def test_what_a_person_types_replaces_it_at_once_and_drops_its_spread(workshop: Workshop):
    part = workshop.catalogue.save_part(shop_motor())
    typed = with_typed(part, "resistance_mohm", "7.4", "measured", "EUR", METRIC)
    stored = workshop.catalogue.save_part(typed)
    assert stored.figures["resistance_mohm"] == 7.4
    assert (stored.provenance_of("resistance_mohm"), stored.spread_of("resistance_mohm")) == (
        MEASURED,
        0.01,
    )
    assert "resistance_mohm" not in stored.spread
    # what followed from it stays until somebody asks
    assert stored.figures["inductance_uh"] == part.figures["inductance_uh"]
    same = str(part.figures["resistance_mohm"])
    assert with_typed(
        part, "resistance_mohm", same, "maker", "EUR", METRIC
    ).provenance_of("resistance_mohm") is Provenance.MAKER  # fmt: skip


def test_a_form_leaves_room_for_what_was_worked_out_and_says_what_it_is(workshop: Workshop):
    part = workshop.catalogue.save_part(shop_motor())
    field = form_field("resistance_mohm", MOTOR, part, "EUR", METRIC)
    assert field.text == ""
    # 110·(V/50)^-1.67/3.9² = 7.0 mΩ, ± 56 %: 3.4 to 14
    assert field.hint == "about 7 mΩ, likely 3 to 14"
    assert field.source == Provenance.MAKER.value
    assert WORKED_OUT.value not in [key for _, key in field.sources]
    fields = form_fields(MOTOR, part, "EUR", METRIC)
    read, faults = read_part(
        part,
        {one.key: one.text for one in fields},
        {one.key: one.source for one in fields},
        "EUR",
        METRIC,
    )
    assert (read, faults) == (part, {}), "an untouched form changes nothing"


def test_a_form_may_leave_out_what_can_be_worked_out_and_nothing_else(workshop: Workshop):
    texts = {one.key: one.text for one in form_fields(MOTOR, None, "EUR", METRIC)}
    texts |= {"name": "Shed 3900", "kv_rpm_per_v": "3900", "can_mm": "36", "length_mm": "50"}
    part, faults = read_part(Part("motor", "?"), texts, {}, "EUR", METRIC)
    assert faults == {}
    assert "resistance_mohm" not in part.figures
    stored = workshop.catalogue.save_part(part)
    assert stored.provenance_of("resistance_mohm") is WORKED_OUT
    _, faults = read_part(Part("motor", "?"), texts | {"can_mm": ""}, {}, "EUR", METRIC)
    assert str(faults["resistance_mohm"]) == (
        "winding resistance: nothing was given, expected a number from 0.001 to 1,000,000 mΩ, or "
        "can diameter to work it out from."
    )


def test_a_figure_that_no_part_can_do_without_is_refused_where_nothing_sensible_follows(
    workshop: Workshop,
):
    # a motor of a tenth of a turn per volt would have ten thousand ohms
    slow = Part("motor", "Slow", {**SHOP, "kv_rpm_per_v": 0.1})
    with pytest.raises(BadInput, match="winding resistance: nothing was given"):
        workshop.catalogue.save_part(slow)


# Who teaches --------------------------------------------------------------------------------


def test_parts_of_the_demo_never_count_nor_copies_of_them(workshop: Workshop):
    demo = workshop.catalogue.parts("motor")
    assert len(demo) > 20
    assert not any(map(is_own, demo))
    peers = workshop.catalogue.estimates(shop_motor())["resistance_mohm"].peers
    assert peers == 0
    workshop.catalogue.save_part(replace(demo[0], id=None, name="Copied", price=None))
    assert workshop.catalogue.estimates(shop_motor())["resistance_mohm"].peers == 0
    # measured by somebody it is still a motor that nobody made
    told = demo[1].with_figure("resistance_mohm", 12.0, MEASURED)
    workshop.catalogue.save_part(told)
    assert workshop.catalogue.estimates(shop_motor())["resistance_mohm"].peers == 0
    for part in own_motors():
        workshop.catalogue.save_part(part)
    assert workshop.catalogue.estimates(shop_motor())["resistance_mohm"].peers == 10


def test_own_motors_move_what_is_worked_out_put_away_or_not(workshop: Workshop):
    alone = workshop.catalogue.estimates(shop_motor())["resistance_mohm"].value
    for part in own_motors():
        workshop.catalogue.archive_part(workshop.catalogue.save_part(part).id or 0)
    taught = workshop.catalogue.save_part(shop_motor())
    assert float(taught.figures["resistance_mohm"]) == pytest.approx(2 * alone, rel=0.05)  # type: ignore[arg-type]


# Tables -------------------------------------------------------------------------------------

TABLE = "name,kv_rpm_per_v,can_mm,length_mm,resistance_mohm\n"


def taken(workshop: Workshop, path: Path, text: str) -> dict[str, Part]:
    path.write_text(text, encoding="utf-8")
    changes = workshop.import_file(path).changes
    parts = [change.after.part for change in changes]
    return {part.name: part for part in parts if part is not None}


def test_a_table_may_leave_out_what_can_be_worked_out(workshop: Workshop, tmp_path: Path):
    path = tmp_path / "motor.csv"
    found = taken(workshop, path, TABLE + "tin,3900,36,50,\nzinc,3900,36,50,9\n")
    # the row that says it teaches the one that does not
    level = work_out(shop_motor())["resistance_mohm"]
    assert found["zinc"].figures["resistance_mohm"] == 9.0
    assert found["tin"].provenance_of("resistance_mohm") is WORKED_OUT
    assert level.value < float(found["tin"].figures["resistance_mohm"]) < 9.0  # type: ignore[arg-type]
    assert found["zinc"].provenance_of("inductance_uh") is WORKED_OUT
    # without a column for it as well
    bare = taken(workshop, path, "name,kv_rpm_per_v,can_mm,length_mm\nlead,3900,36,50\n")
    assert bare["lead"].provenance_of("resistance_mohm") is WORKED_OUT
    path.write_text("name,kv_rpm_per_v,can_mm\nair,3900,36\n")
    with pytest.raises(BadInput, match="or length to work it out from"):
        workshop.import_file(path)


def test_a_table_that_still_does_not_say_leaves_what_was_worked_out(
    workshop: Workshop, tmp_path: Path
):
    path = tmp_path / "motor.csv"
    text = TABLE + "tin,3900,36,50,\n"
    before = taken(workshop, path, text)["tin"]
    for part in own_motors():
        workshop.catalogue.save_part(part)
    again = workshop.tables.preview(path)
    assert [row.verdict for row in again.rows] == [Verdict.SAME]
    said = TABLE.replace("\n", ",note\n") + "tin,3900,36,50,,new\n"
    after = taken(workshop, path, said)["tin"]
    assert (after.figures, after.spread) == (before.figures, before.spread)
    assert after.provenance == before.provenance


def test_a_table_with_sources_of_its_own_says_nothing_of_what_it_has_no_column_for(
    workshop: Workshop, tmp_path: Path
):
    path = tmp_path / "motor.csv"
    before = taken(workshop, path, TABLE + "tin,3900,36,50,\n")["tin"]
    said = TABLE.replace("\n", ",provenance\n") + "tin,3900,36,50,7.1,resistance_mohm=measured\n"
    after = taken(workshop, path, said)["tin"]
    assert after.provenance_of("resistance_mohm") is MEASURED
    for key in FILLED - {"resistance_mohm"}:
        assert after.provenance_of(key) is WORKED_OUT
        assert (after.figures[key], after.spread[key]) == (before.figures[key], before.spread[key])


def test_a_blank_cell_has_a_given_figure_worked_out_and_the_look_says_so(
    workshop: Workshop, tmp_path: Path
):
    path = tmp_path / "motor.csv"
    taken(workshop, path, TABLE + "tin,3900,36,50,8.5\n")
    path.write_text(TABLE + "tin,3900,36,50,\n")
    (row,) = workshop.tables.preview(path).rows
    assert row.verdict is Verdict.CHANGED
    (change,) = [one for one in row.changes if one.what == "winding resistance"]
    assert (change.old, change.new) == ("8.5 mΩ", "7 mΩ")
    workshop.import_file(path)
    (tin,) = (part for part in workshop.catalogue.parts("motor") if part.name == "tin")
    assert tin.provenance_of("resistance_mohm") is WORKED_OUT


def test_a_row_is_refused_where_nothing_sensible_follows(workshop: Workshop, tmp_path: Path):
    path = tmp_path / "motor.csv"
    path.write_text(TABLE + "slow,0.1,36,50,\ntin,3900,36,50,\n")
    slow, tin = workshop.tables.preview(path).rows
    assert (slow.verdict, tin.verdict) == (Verdict.REFUSED, Verdict.NEW)
    (refusal,) = slow.refusals
    assert str(refusal) == (
        "resistance_mohm: nothing was given, expected a number from 0.001 to 1,000,000 mΩ."
    )
    assert (slow.name, slow.value) == ("slow", None)


def test_a_choice_is_read_however_it_is_spelled(workshop: Workshop, tmp_path: Path):
    header = "name,shape,width_mm,height_mm\n"
    found = taken(workshop, tmp_path / "body.csv", header + "tin,TOURING or gt,190,120\n")
    assert found["tin"].figures["shape"] == "touring or GT"
    assert found["tin"].figures["drag_coefficient"] == pytest.approx(0.38)
    (tmp_path / "body.csv").write_text(header + "tin,saloon,190,120\n")
    with pytest.raises(BadInput, match="expected one of streamliner, low coupe, touring or GT"):
        workshop.import_file(tmp_path / "body.csv")


def test_a_form_says_what_a_choice_counts_as_while_nothing_is_chosen():
    field = form_field("material", PINION, None, "EUR", METRIC)
    assert field.choices[0] == ("steel unless given", "")
    assert form_field("shape", BODY, None, "EUR", METRIC).choices[0] == ("not known", "")


# Build files --------------------------------------------------------------------------------


def test_a_build_file_is_filled_in_only_when_asked(workshop: Workshop, tmp_path: Path):
    bare = a_build()
    for slot, part in bare.parts.items():
        bare = bare.with_part(replace(part, name=f"{slot} from afar", note=""))
    path = tmp_path / "afar.build.json"
    write_build(replace(bare, lines=()), path)
    plain = workshop.import_file(path).build
    assert plain is not None
    assert not any(part.spread for part in plain.parts.values())
    imported = workshop.import_file(path, work_out=True)
    assert imported.build is not None
    motor = imported.build.parts["motor"]
    # L = 0.45 µH/mΩ at 11 mΩ
    assert motor.figures["inductance_uh"] == pytest.approx(0.45 * 11)
    assert motor.provenance_of("inductance_uh") is WORKED_OUT
    workshop.builds.delete(imported.build.id or 0)
    workshop.catalogue.turn_back(imported.changes)
    assert "inductance_uh" not in workshop.catalogue.part(motor.id or 0).figures
