"""Terms of the trade: each found by its name, each formula that of the physics.

The figures are arithmetic on the definitions of the trade (common practice, no source).
"""

from __future__ import annotations

from math import pi

import pytest

from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.parts.glossary import TERMS, explain, field_help, term
from pennyspeed.physics.gears import centre_distance, roll_out
from pennyspeed.physics.pack import USABLE_SHARE


def formula(name: str) -> str:
    found = term(name)
    assert found is not None, name
    return found.formula


def worked_out(name: str, **words: float) -> float:
    """Return what a formula of the glossary gives, its words replaced by figures."""
    text = formula(name).partition(";")[0].rpartition(" = ")[2]
    for word, value in words.items():
        assert word.replace("_", " ") in text, (word, text)
        text = text.replace(word.replace("_", " "), repr(value))
    text = text.replace("×", "*").replace("²", "**2").replace("π", repr(pi)).replace("½", "0.5")
    return float(eval(text, {"__builtins__": {}}))


def test_names_are_found_in_whatever_case_and_once() -> None:
    names = [one.name.casefold() for one in TERMS]
    assert len(set(names)) == len(names)
    for one in TERMS:
        assert term(one.name.upper()) is one
        assert explain(one.name) == one.sentence
    assert term("flux") is None
    with pytest.raises(KeyError):
        explain("flux")


def test_sentences_are_sentences() -> None:
    for one in TERMS:
        assert one.sentence.endswith(".")
        assert not one.sentence.endswith("..")
        assert one.sentence[0].isupper()
        assert (": " in one.sentence) == bool(one.formula)


def test_the_fields_of_a_term_are_there_and_their_help_ends_with_its_formula() -> None:
    helped = {place: one for one in TERMS for place in one.fields}
    assert helped
    for kind in KINDS:
        for field in kind.fields:
            said, one = field_help(kind.key, field), helped.pop(f"{kind.key}.{field.key}", None)
            assert said.startswith(field.help)
            assert said.endswith(f": {one.formula}." if one else field.help)
    assert not helped, "these fields do not exist"


def test_formulas_give_what_the_physics_gives() -> None:
    ratio = worked_out("final drive ratio", spur_teeth=66, pinion_teeth=33, internal_ratio=2.5)
    assert ratio == 5.0
    turn = worked_out("roll-out", tyre_diameter=65.0, final_drive_ratio=ratio)
    assert turn == pytest.approx(roll_out(65.0, ratio))
    apart = worked_out("mesh centre distance", module=0.6, pinion_teeth=33, spur_teeth=66)
    assert apart == pytest.approx(centre_distance(0.6, 33, 66))
    assert worked_out("electrical rpm", motor_rpm=30000, magnet_poles=4) == 60000
    assert worked_out("C rating", C_rating=60, capacity_in_Ah=3.8) == pytest.approx(228.0)
    assert worked_out("winding resistance", current=20.0, resistance=0.05) == pytest.approx(20.0)
    # 4 poles, 3,000 rad/s, 5 µH and 40 A, from the overlapping commutation of a three-phase bridge
    # (Mohan, Undeland and Robbins, Power Electronics, from memory)
    lost = worked_out(
        "winding inductance",
        magnet_poles=4,
        motor_speed=3000.0,
        inductance=5e-6,
        current=40.0,
    )
    assert lost == pytest.approx(3 / pi * 2 * 3000 * 2.5e-6 * 40)
    sag = worked_out(
        "voltage sag", current=50.0, cell_resistance=0.004, cells_in_series=3, cells_in_parallel=2
    )
    assert sag == pytest.approx(0.3)


def test_runs_from_one_pack_leave_a_fifth_in_it() -> None:
    said = explain("runs from one pack")
    assert formula("runs from one pack") == (
        "four fifths of the capacity / charge that one run takes, rounded down"
    )
    assert USABLE_SHARE == 4 / 5
    assert "with a fifth left in it" in said
    assert BY_KEY["pack"].field("capacity_mah")
