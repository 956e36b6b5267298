"""Listings read: figures with their words, and nothing that does not stand there.

What stands in a listing was written down with it (tests/data/listings), before it was read.
"""

from __future__ import annotations

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from listing_scores import listings, scored
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.listings import State, claim_of, part_of, read_listing
from pennyspeed.services.listings.reading import LONGEST, MOST_NUMBERS

WRITTEN_FIRST = ("motors", "controllers_and_packs", "gears", "others")

WRITTEN_LATER = ("written_after", "written_last", "written_third")

SISKIN = """Selling my Siskin 3150 sensorless motor
62A cont., 36000rpm max
3150KV, 4mm bullets, ran twice
can 36 x 50 mm, gold end bell"""


def test_sixty_listings_are_read_without_a_wrong_figure() -> None:
    some = listings(*WRITTEN_FIRST)
    assert len(some) == 60
    assert sum("traps" in one or "conflicts" in one for one in some) >= 20
    score = scored(some)
    sys.stdout.write(f"\n{score}\n")
    assert not score.faults
    assert score.met >= 0.9 * score.stands


def test_listings_that_were_written_later_are_read_alike() -> None:
    some = listings(*WRITTEN_LATER)
    assert len(some) == 45
    score = scored(some)
    sys.stdout.write(f"\n{score}\n")
    assert not score.faults
    assert score.met >= 0.9 * score.stands


def test_each_figure_stands_beside_its_own_words() -> None:
    reading = read_listing(SISKIN)
    words = {key: [reading.words(one) for one in claims] for key, claims in reading.by_key.items()}
    assert words == {
        "name": ["Siskin 3150"],
        "kv_rpm_per_v": ["3150KV"],
        "can_mm": ["36 x 50 mm"],
        "length_mm": ["36 x 50 mm"],
        "max_rpm": ["36000rpm"],
        "continuous_current_a": ["62A"],
    }
    left = [SISKIN[start:end] for start, end in reading.not_understood]
    assert "4mm bullets, ran twice" in left
    assert "gold end bell" in left


def test_lines_are_the_text_itself_in_order() -> None:
    reading = read_listing(SISKIN)
    assert [SISKIN[line.start : line.end] for line in reading.lines] == SISKIN.split("\n")
    for line in reading.lines:
        pieces = "".join(SISKIN[start:end] for start, end, _ in line.pieces)
        assert pieces == SISKIN[line.start : line.end]


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ("motor 3.800 Kv", "kv_rpm_per_v", 3800),
        ("motor 3,800 Kv", "kv_rpm_per_v", 3800),
        ("Motor mit 3 800 Umdrehungen pro Volt", "kv_rpm_per_v", 3800),
        ("motor, shaft 3.175 mm", "shaft_mm", 3.175),
        ("motor, shaft 1/8 inch", "shaft_mm", 3.175),
        ('motor, shaft 1/8"', "shaft_mm", 3.175),
        ("motor, weight 1 lb", "mass_g", 453.59237),
        ("Akku 2S 5,2 Ah", "capacity_mah", 5200),
        ("LiPo pack 14.8V 3300mAh", "cells_series", 4),
        ("ESC 60A, 2S/3S", "max_cells", 3),
        ("Pinion 23T 48p", "module_mm", 25.4 / 48),
        ("Ritzel Modul 0,8", "module_mm", 0.8),
    ],
)
def test_numbers_are_read_as_both_languages_write_them(text: str, key: str, value: float) -> None:
    assert read_listing(text).given[key] == pytest.approx(value)


@pytest.mark.parametrize(
    "text",
    ["Akku 7,2 V, 6 Zellen, 3300 mAh, NiMH", "NiMH pack 6 cell 7.2V 3000mAh", "pack 2-3S LiPo"],
)
def test_cells_of_another_chemistry_or_a_range_are_no_cells_in_series(text: str) -> None:
    assert "cells_series" not in read_listing(text).given


def test_a_figure_in_two_units_is_one_figure() -> None:
    reading = read_listing("Motor, 182 g (6.4 oz), 36 mm diameter")
    assert reading.given == {"mass_g": 182, "can_mm": 36}


@pytest.mark.parametrize(
    "text",
    [
        "Motor Kv: 3000, 3500, 4000",
        "Motor Kv 3000 to 3500",
        "Motor Kv: 3000 or 3500",
        "motor 2200/2600/3100 Kv to choose from",
        "motor, instead of the 3900 Kv version",
        "motor, 3300 Kv? not sure",
        "motor, suits 3300 Kv",
        "Transformer 10 kV",
        "Ignition coil 25 KV, 36x50 mm",
    ],
)
def test_a_kv_that_is_not_said_plainly_is_left(text: str) -> None:
    assert "kv_rpm_per_v" not in read_listing(text).given


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("Pack 3S, was 59.90 € now 39.90 €", Money(3990, "EUR")),
        ("Pack 3S, 29,90 € statt 39,90 €", Money(2990, "EUR")),
        ("Pack 3S, ~~£39.00~~ £31.50", Money(3150, "GBP")),
        ("Pack 3S, <s>£39.00</s> £31.50", Money(3150, "GBP")),
        ("Pack 3S, 25 € zzgl. Versand", Money(2500, "EUR")),
        ("Pack 3S, 1.250,00 EUR", Money(125000, "EUR")),
        ("Pack 3S, Versand 4,95 €", None),
        ("Pack 3S, from 12 EUR", None),
        ("Pack 3S, 19.90-24.90€", None),
        ("3 for £30, pack 3S", None),
        ("Pack 3S, RRP £39.99", None),
        ("Pack 3S, £25 for both", None),
        ("Pack 3S, 89,- VB", None),
        ("Pack 3S, 89,- €", Money(8900, "EUR")),
    ],
)
def test_a_price_is_what_it_costs_now(text: str, price: Money | None) -> None:
    assert read_listing(text).given.get("price") == price


def test_a_bare_dollar_is_the_persons_own() -> None:
    assert read_listing("Pack 3S, $20", currency="CAD").given["price"] == Money(2000, "CAD")
    assert read_listing("Pack 3S, $20", currency="EUR").given["price"] == Money(2000, "USD")


def test_what_fits_two_kinds_or_none_says_so_and_gives_nothing() -> None:
    gear, none = read_listing("23T 48p gear, 6 USD"), read_listing("see you on Saturday")
    assert (gear.kind_key, gear.kinds, gear.given) == ("", ("pinion", "spur"), {})
    assert gear.note == "This fits pinion and spur: say which one it is; nothing is stored."
    assert (none.kind_key, none.kinds, none.given) == ("", (), {})
    assert "fits no kind" in none.note
    assert read_listing("23T 48p gear, 6 USD", "spur").given["teeth"] == 23
    odd = read_listing("LiPo pack 3S 4000 mAh", "motor")
    assert odd.note == "This reads like a pack, not like a motor."


def test_two_values_are_both_shown_and_none_is_taken() -> None:
    reading = read_listing("Motor Nuthatch 3150KV, the box says 3200KV, 9 mOhm")
    assert reading.state_of("kv_rpm_per_v") is State.CONFLICT
    assert [one.value for one in reading.conflicts["kv_rpm_per_v"]] == [3150, 3200]
    assert "kv_rpm_per_v" not in reading.given
    with pytest.raises(BadInput, match="says 3150KV and 3200KV"):
        part_of(reading)
    assert part_of(reading, chosen={"kv_rpm_per_v": 3200}).figures["kv_rpm_per_v"] == 3200


def test_what_is_typed_is_never_overwritten() -> None:
    typed = Part("motor", "Mine", {"kv_rpm_per_v": 3100.0, "resistance_mohm": 9.6})
    part = part_of(read_listing(SISKIN), typed=typed)
    assert (part.name, part.figures["kv_rpm_per_v"]) == ("Mine", 3100)
    assert part.figures["can_mm"] == 36


def test_a_part_says_which_figure_it_lacks() -> None:
    reading = read_listing(SISKIN)
    with pytest.raises(BadInput, match="winding resistance: nothing was given"):
        part_of(reading)
    assert "resistance_mohm" not in part_of(reading, may_lack=True).figures
    assert part_of(reading, chosen={"resistance_mohm": 9.6}).figures["resistance_mohm"] == 9.6
    with pytest.raises(BadInput, match="name"):
        part_of(read_listing("Pinion 23T 48p"))


def test_words_that_were_left_may_be_given_to_a_figure() -> None:
    reading = read_listing("Motor 3300 Kv, heavy at 240 g each, 20")
    start = reading.text.index("240")
    claim = claim_of(reading, "mass_g", start, start + 5, METRIC, "EUR")
    assert (claim.value, reading.words(claim)) == (240, "240 g")
    start = reading.text.rindex("20")
    assert claim_of(reading, "price", start, start + 2, METRIC, "EUR").value == Money(2000, "EUR")
    with pytest.raises(BadInput, match="poles"):
        claim_of(reading, "poles", 15, 20, METRIC, "EUR")


def test_too_long_a_text_is_refused_in_one_sentence() -> None:
    with pytest.raises(UserError, match="1,000,000 characters, expected at most 20,000"):
        read_listing("m" * 1_000_000)
    with pytest.raises(UserError, match=f"at most {MOST_NUMBERS}"):
        read_listing("5 g " * (MOST_NUMBERS + 1))
    with pytest.raises(BadInput):
        read_listing(" \n ")
    with pytest.raises(BadInput):
        read_listing("motor", "rocket")


HOSTILE = ("1" * LONGEST, "motor ~~" + "~~a" * 6000, "5A/" * 400, "x1" * 9000, "kv:" * 6000)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_read_or_refused(text: str) -> None:
    try:
        reading = read_listing(text)
    except UserError:
        return
    assert not reading.given


def test_control_characters_neither_break_nor_move_what_is_read() -> None:
    text = "motor \x00\x1b[31m \u202e3300KV\u200b, 5\xa0mm shaft"
    reading = read_listing(text)
    assert reading.given == {"kv_rpm_per_v": 3300, "shaft_mm": 5}
    assert [reading.words(one) for one in reading.claims] == ["3300KV", "5\xa0mm"]


_PIECES = st.sampled_from(
    ["motor ", "ESC ", "3300KV ", "3-4S ", "/", "1/8\" ", "€", "~~", "(", ")", ", ", ". ", "\n",
     "mm ", "36 x 50 ", "1.234,5 ", "A ", "bis ", "statt ", "Siskin ", "48p ", "7.4V ", "\u0336"]
)  # fmt: skip


@given(st.lists(_PIECES | st.text(max_size=5), max_size=30).map("".join))
def test_any_text_gives_figures_that_their_fields_take(text: str) -> None:
    for kind in KINDS:
        try:
            reading = read_listing(text, kind.key)
        except UserError:
            return
        for claim in reading.claims:
            assert 0 <= claim.start < claim.end <= len(text)
        for key, value in reading.given.items():
            if key not in ("name", "price"):
                assert kind.field(key).checked(value, key) == value
