"""Fields: what a person types, what is refused, and that text comes back as it went."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.parts.fields import Field, Shape, parsed_number

WHEELBASE = BY_KEY["chassis"].field("wheelbase_mm")
SIZE = BY_KEY["pack"].field("size_mm")
MASS = BY_KEY["motor"].field("mass_g")
TEETH = BY_KEY["pinion"].field("teeth")
DRIVEN = BY_KEY["chassis"].field("driven")


# How people write numbers: common practice, no source.
@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("258", 258.0),
        ("2.5", 2.5),
        ("2,5", 2.5),
        ("1.234,5", 1234.5),
        ("1,234.5", 1234.5),
        ("1,234,567", 1234567.0),
        ("1 234", 1234.0),
        ("1'234", 1234.0),
        ("1e3", 1000.0),
        ("−4", -4.0),
        ("1.2.3", None),
        ("1,23,4.5.6", None),
        ("", None),
        ("two", None),
    ],
)
def test_numbers_are_read_as_people_write_them(text: str, number: float | None) -> None:
    assert parsed_number(text) == number


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        (WHEELBASE, "258", 258.0),
        (WHEELBASE, " 25.8 cm ", 258.0),
        (WHEELBASE, "10 in", 254.0),
        (WHEELBASE, '10"', 254.0),
        (MASS, "1 lb", 453.59237),
        (MASS, "6,5 oz", 184.2719003125),
        (MASS, "", None),
        (TEETH, "22", 22),
        (DRIVEN, "rear", "rear"),
        (SIZE, "138 x 46 x 25", (138.0, 46.0, 25.0)),
        (SIZE, "138×46×25 mm", (138.0, 46.0, 25.0)),
        (SIZE, "5 x 2 x 1 in", (127.0, 50.8, 25.4)),
    ],
)
def test_typed_text_is_read_in_the_keys_unit(field: Field, text: str, value: object) -> None:
    found = field.read(text, "here")
    if value is None or isinstance(value, str):
        assert found == value
    else:
        assert found == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("field", "text"),
    [
        (WHEELBASE, ""),
        (WHEELBASE, "-3"),
        (WHEELBASE, "258 kg"),
        (WHEELBASE, "wide"),
        (WHEELBASE, "nan"),
        (WHEELBASE, "inf"),
        (TEETH, "22.5"),
        (TEETH, "0"),
        (DRIVEN, "both"),
        (SIZE, "138 x 46"),
        (SIZE, "138 x 46 x wide"),
    ],
)
def test_what_cannot_be_is_refused_with_what_was_expected(field: Field, text: str) -> None:
    with pytest.raises(BadInput) as caught:
        field.read(text, "row 3")
    assert caught.value.place == "row 3"
    assert caught.value.expected == field.expected


@pytest.mark.parametrize("text", ["-5 in", "0", "1e400", "4000 ft"])
def test_what_is_out_of_range_is_refused_as_it_was_typed(text: str) -> None:
    with pytest.raises(BadInput) as caught:
        WHEELBASE.read(text, "row 3")
    assert caught.value.value == text
    assert caught.value.expected == WHEELBASE.expected


@given(st.floats(1, 1e4))
def test_text_comes_back_as_it_went(value: float) -> None:
    assert WHEELBASE.read(WHEELBASE.text(value), "here") == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_declarations_hold_together(kind: object) -> None:
    for field in kind.fields:  # type: ignore[attr-defined]
        assert field.label
        assert field.help.endswith((".", ";", ")")), field.key
        if field.default is not None:
            assert field.checked(field.default, field.key) == field.default
        if field.shape is Shape.CHOICE:
            assert field.choices
        assert not (field.required and field.default is not None), field.key


def test_a_truth_value_is_no_number() -> None:
    with pytest.raises(BadInput):
        TEETH.checked(True, "here")
