"""A part read from a listing on the command line."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from cli_runs import Captured, ran_on
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.workshop import Workshop

PINION = 'Pinion 23T 48p, 1/8" bore, hardened steel, was £6.50 now £5.20'


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "parts.sqlite"


def ran(capsys: Captured, data: Path, *arguments: str) -> tuple[int, str, str]:
    return ran_on(capsys, data, "part", *arguments)


def pinions(data: Path) -> list[Part]:
    with Workshop.open(data) as workshop:
        return workshop.catalogue.parts("pinion")


def test_figures_stand_beside_their_words_and_nothing_is_stored(
    capsys: Captured, data: Path
) -> None:
    code, out, err = ran(capsys, data, PINION)
    assert (code, err) == (0, "")
    assert out.splitlines() == [
        "pinion",
        "teeth   23        “23T”",
        "module  0.53 mm   “48p”",
        'bore    3.175 mm  “1/8"”',
        "price   5.20 GBP  “£5.20”",
        "not understood: Pinion · bore, hardened steel, was £6.50 now",
    ]
    assert not data.exists()
    assert "48 pitch" in ran(capsys, data, PINION, "--units", "imperial")[1]


def test_a_part_is_added_when_that_is_asked(capsys: Captured, data: Path) -> None:
    code, _, err = ran(capsys, data, PINION, "--add", "--name", "Steel 23")
    assert (code, err) == (0, "Added Steel 23 to the pinions; worked out: mass\n")
    (part,) = [one for one in pinions(data) if one.name == "Steel 23"]
    figures = dict(part.figures)
    assert part.provenance_of("mass_g") is Provenance.WORKED_OUT
    assert figures.pop("mass_g") > 0.0
    assert figures == pytest.approx({"teeth": 23, "module_mm": 25.4 / 48, "bore_mm": 3.175})
    assert part.price is not None
    assert part.price.amount == Money(520, "GBP")
    code, _, err = ran(capsys, data, PINION, "--add", "--name", "Steel 23")
    assert code == 2
    assert "a name that no pinion has yet" in err


def test_what_lacks_or_contends_is_said_and_may_be_set(capsys: Captured, data: Path) -> None:
    motor = "Motor Nuthatch 3150KV, the box says 3200KV"
    code, out, err = ran(capsys, data, motor, "--add")
    assert "Kv: says 3,150 rpm/V and 3,200 rpm/V; not taken before you choose" in out
    assert code == 2
    assert "says 3150KV and 3200KV" in err
    code, _, err = ran(capsys, data, motor, "--add", "--set", "kv_rpm_per_v=3200")
    assert code == 2
    assert err.startswith("winding resistance: nothing was given")
    settled = ("--set", "Kv=3200", "--set", "winding resistance=0.0096 Ω")
    assert ran(capsys, data, motor, "--add", *settled)[0] == 0
    with Workshop.open(data) as workshop:
        (part,) = [one for one in workshop.catalogue.parts("motor") if one.name == "Nuthatch"]
    assert part.figures["resistance_mohm"] == pytest.approx(9.6)


def test_a_text_of_two_kinds_asks_which(capsys: Captured, data: Path) -> None:
    code, out, err = ran(capsys, data, "23T 48p gear")
    assert (code, out) == (2, "")
    assert err == "--kind: This fits pinion and spur: say which one it is; nothing is stored.\n"
    assert "spur" in ran(capsys, data, "23T 48p gear", "--kind", "spur")[1]
    assert ran(capsys, data, "23T 48p gear", "--kind", "rocket")[0] == 2
    assert ran(capsys, data, "")[0] == 2
    assert ran(capsys, data, PINION, "--set", "colour=blue")[0] == 2


def test_json_tells_places_and_what_was_not_understood(capsys: Captured, data: Path) -> None:
    code, out, _ = ran(capsys, data, PINION, "--json")
    found = json.loads(out)
    assert code == 0
    assert found["kind"] == "pinion"
    assert found["figures"]["teeth"] == 23
    assert found["figures"]["price"] == {"amount": "5.20", "currency": "GBP"}
    for claim in found["claims"]:
        assert PINION[claim["start"] : claim["end"]] == claim["words"]
    assert found["not_understood"][0]["words"] == "Pinion"


def test_standard_input_may_hold_the_text(
    capsys: Captured, data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO(PINION))
    assert "“23T”" in ran(capsys, data, "-")[1]
    monkeypatch.setattr("sys.stdin", io.StringIO("m" * 50_000))
    assert ran(capsys, data, "-")[0] == 2
