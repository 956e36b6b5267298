"""Parts from tables, builds from files: what is understood, what is refused and in which words."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from as_given import as_given
from builds import a_build, document
from pennyspeed.domain.errors import BadInput, FileTrouble, UserError
from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.build_files import read_build, write_build
from pennyspeed.services.importers import IMPORTERS, importer_for
from pennyspeed.services.workshop import Workshop

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def write(text: str, name: str = "pinion.csv", encoding: str = "utf-8") -> Path:
        path = tmp_path / name
        path.write_bytes(text.encode(encoding))
        return path

    return write


def taken_in(workshop: Workshop, path: Path, kind: str = "pinion") -> list[Part]:
    """Import a file and return the parts of a kind that are new or changed."""
    before = workshop.catalogue.parts(kind)
    imported = workshop.import_file(path)
    new = [part for part in workshop.catalogue.parts(kind) if part not in before]
    assert imported.parts == len(new)
    return new


def test_a_table_of_keys(workshop: Workshop, write: Write) -> None:
    path = write(
        "name,teeth,module_mm,bore_mm,mass_g,price,currency,supplier,on,link,note,picture,"
        "provenance\n"
        '"19 teeth, blue",19,0.8,3.175,4.5,4.90,GBP,Seed box,2027-03-01,https://example.org,'
        "worn,p.png,mass_g=measured; bore_mm=estimated\n"
    )
    (part,) = taken_in(workshop, path)
    assert part == Part(
        "pinion",
        "19 teeth, blue",
        {"teeth": 19, "module_mm": 0.8, "bore_mm": 3.175, "mass_g": 4.5},
        {"mass_g": Provenance.MEASURED, "bore_mm": Provenance.ESTIMATED},
        price=Price(Money(490, "GBP"), date(2027, 3, 1), "Seed box", "https://example.org"),
        note="worn",
        picture="p.png",
    )


def test_a_table_of_labels_with_a_persons_units(workshop: Workshop, write: Write) -> None:
    path = write(
        "Name;Teeth;Module;Bore (in);Mass [oz];Price;Provenance\n"
        "nine;9;0,8;0,125;1;1.234,50;Mass=measured\n"
        "ten;10;0,8 mm;3,175 mm;28 g;;\n"
    )
    nine, ten = taken_in(workshop, path)
    # 1 in = 25.4 mm and 1 oz = 28.349523125 g, exactly (international yard and pound, 1959).
    assert nine.figures == pytest.approx(
        {"teeth": 9, "module_mm": 0.8, "bore_mm": 3.175, "mass_g": 28.349523125}
    )
    assert nine.provenance == {"mass_g": Provenance.MEASURED}
    assert nine.price is not None
    assert nine.price.amount == Money(123450, "EUR")
    assert nine.price.on == date.today()
    assert ten.figures == {"teeth": 10, "module_mm": 0.8, "bore_mm": 3.175, "mass_g": 28.0}
    assert ten.price is None


def test_commas_between_quotes_are_taken_where_they_say_what_they_are(
    workshop: Workshop, write: Write
) -> None:
    header = "kind,name,kv_rpm_per_v,resistance_mohm,max_rpm,shaft_mm\n"
    workshop.import_file(write(header + 'motor,tin,"2,5e3","0,125","1,234,567","3,17"\n', "a.csv"))
    (tin,) = (part for part in workshop.catalogue.parts("motor") if part.name == "tin")
    assert as_given(tin).figures == {
        "kv_rpm_per_v": 2500.0,
        "resistance_mohm": 0.125,
        "max_rpm": 1234567.0,
        "shaft_mm": 3.17,
    }


@pytest.mark.parametrize(
    ("bore", "rpm", "found"),
    [
        ("3,2", "50.000", (3.2, 50000.0)),  # a German table: the point groups thousands
        ("3.2", "50,000", (3.2, 50000.0)),  # an English one
        ("1,250.5", "50,000", (1250.5, 50000.0)),
        ("3,175", "1.250.000", (3.175, 1250000.0)),
        ("3.175", "50000", (3.175, 50000.0)),  # nothing says otherwise
        ("3", "50.000 rpm", (3.0, 50.0)),
    ],
)
def test_a_table_says_which_mark_groups_thousands(
    workshop: Workshop, write: Write, bore: str, rpm: str, found: tuple[float, float]
) -> None:
    table = "name;kv_rpm_per_v;resistance_mohm;length_mm;max_rpm\n" + f"tin;2500;1;{bore};{rpm}\n"
    (tin,) = taken_in(workshop, write(table, "motor.csv"), "motor")
    assert (tin.figures["length_mm"], tin.figures["max_rpm"]) == found


@pytest.mark.parametrize(
    ("cell", "currency", "found"),
    [
        ("€12.50", "", Money(1250, "EUR")),
        ("12,50 €", "EUR", Money(1250, "EUR")),
        ("£ 3", "", Money(300, "GBP")),
        ("$4", "CAD", Money(400, "CAD")),
        ("4.90 GBP", "GBP", Money(490, "GBP")),
        ("zł 5", "", Money(500, "PLN")),
    ],
)
def test_a_price_may_carry_its_sign(
    workshop: Workshop, write: Write, cell: str, currency: str, found: Money
) -> None:
    path = write(f"name;mass_g;price;currency\nlead;5;{cell};{currency}\n", "extras.csv")
    (lead,) = taken_in(workshop, path, "extras")
    assert lead.price is not None
    assert lead.price.amount == found


@pytest.mark.parametrize(
    "text",
    [
        "sep=;\r\nname;teeth;module_mm\r\nblue;19;0,8\r\n",
        "SEP=|\nname|teeth|module_mm\nblue|19|0.8\n",
        "sep=\t\nname\tteeth\tmodule_mm\nblue\t19\t0.8\n",
        '"name";"teeth";"module_mm"\n"blue";"19";"0,8"\n',
    ],
)
def test_a_table_that_names_or_quotes_its_way(workshop: Workshop, write: Write, text: str) -> None:
    (part,) = taken_in(workshop, write(text))
    assert as_given(part) == Part("pinion", "blue", {"teeth": 19, "module_mm": 0.8})


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "latin-1", "utf-16"])
def test_what_spreadsheets_save(
    workshop: Workshop, write: Write, delimiter: str, encoding: str
) -> None:
    text = "name,teeth,module_mm,note\r\nÄsche 12,12,0.6,für Räder\r\n,,,\r\n"
    (part,) = taken_in(workshop, write(text.replace(",", delimiter), encoding=encoding))
    assert (part.name, part.note, part.figure("teeth")) == ("Äsche 12", "für Räder", 12)


def test_a_rows_own_kind_counts_whatever_the_file_is_named_for(
    workshop: Workshop, write: Write
) -> None:
    path = write("kind,name,teeth,module_mm\nspur,large,60,0.6\n,small,12,0.6\n", "pinion.csv")
    workshop.import_file(path)
    assert "large" in {part.name for part in workshop.catalogue.parts("spur")}
    pinions = {part.name for part in workshop.catalogue.parts("pinion")}
    assert "small" in pinions
    assert "large" not in pinions


def test_a_column_names_the_kind(workshop: Workshop, write: Write) -> None:
    path = write(
        "kind,name,teeth,module_mm,mass_g\n"
        "Pinion,small,12,0.6,3\nspurs,large,60,0.6,14\nextra,ballast,,,50\n",
        "shopping list.csv",
    )
    imported = workshop.import_file(path)
    assert imported.parts == 3
    assert imported.summary == "3 parts added, 0 changed."
    found = {
        part.kind_key: part.figures
        for kind in KINDS
        for part in workshop.catalogue.parts(kind.key)
        if part.name in ("small", "large", "ballast")
    }
    assert found == {
        "pinion": {"teeth": 12, "module_mm": 0.6, "mass_g": 3.0},
        "spur": {"teeth": 60, "module_mm": 0.6, "mass_g": 14.0},
        "extras": {"mass_g": 50.0},
    }


@pytest.mark.parametrize(
    "name", ["extras.csv", "Extra.CSV", "my extras 2027.csv", "extras_from_the_club.tsv"]
)
def test_the_name_of_a_file_names_the_kind(workshop: Workshop, write: Write, name: str) -> None:
    (part,) = taken_in(workshop, write("name,mass_g\nballast,50\n", name), "extras")
    assert part.figures == {"mass_g": 50.0}


@pytest.mark.parametrize("kind", [kind.key for kind in KINDS])
def test_every_figure_of_every_kind_can_be_read(
    workshop: Workshop, write: Write, kind: str
) -> None:
    # From the demo's parts, written by label here and by key there.
    known = max(workshop.catalogue.parts(kind), key=lambda part: len(part.figures))
    fields = BY_KEY[kind].fields
    rows = [["name"], ["twin"]]
    for field in fields:
        symbol = f" ({field.unit.symbol})" if field.unit.symbol else ""
        rows[0].append(field.label + symbol)
        rows[1].append(field.text(known.figures.get(field.key)))
    path = write("\n".join("\t".join(row) for row in rows), f"{kind}.csv")
    (part,) = taken_in(workshop, path, kind)
    assert as_given(part) == Part(kind, "twin", known.figures)


def test_a_part_that_is_there_is_changed(workshop: Workshop, write: Write) -> None:
    build = workshop.builds.save(a_build())
    old = build.parts["pinion"]
    workshop.catalogue.save_part(replace(old, note="mine", price=price(500, 1)))
    path = write(f"name,mass_g,bore_mm,price,on\n{old.name},7.5,,4.80,2027-03-02\n")
    imported = workshop.import_file(path)
    assert imported.summary == "0 parts added, 1 changed."
    new = workshop.builds.get(build.id or 0).parts["pinion"]
    assert new.id == old.id
    # A blank figure becomes 'not known'; what has no column stays.
    assert new.figures == {"teeth": 33, "module_mm": 0.6, "mass_g": 7.5}
    assert new.note == "mine"
    assert new.price == price(480, 2)
    assert workshop.catalogue.price_history(new.id or 0) == [price(480, 2), price(500, 1)]


def price(minor: int, day: int) -> Price:
    return Price(Money(minor, "EUR"), date(2027, 3, day))


def test_an_older_price_joins_the_history_only(workshop: Workshop, write: Write) -> None:
    part = workshop.catalogue.save_part(
        Part("pinion", "19 teeth", {"teeth": 19, "module_mm": 0.8}, price=price(490, 9))
    )
    path = write("name,price,on\n19 teeth,5.20,2027-03-02\n")
    for _ in range(2):
        workshop.import_file(path)
        assert workshop.catalogue.part(part.id or 0).price == price(490, 9)
        assert workshop.catalogue.price_history(part.id or 0) == [price(490, 9), price(520, 2)]


def test_a_blank_price_leaves_the_price(workshop: Workshop, write: Write) -> None:
    part = workshop.catalogue.save_part(
        Part("pinion", "19 teeth", {"teeth": 19, "module_mm": 0.8}, price=price(490, 9))
    )
    workshop.import_file(write("name,price\n19 teeth,\n"))
    assert workshop.catalogue.part(part.id or 0).price == price(490, 9)


MODULE = BY_KEY["pinion"].field("module_mm")
GOOD = "name,teeth,module_mm\nfirst,12,0.6\n"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (GOOD + "second,many,0.6\n", ["row 3, column teeth", "'many'", "whole number from 1"]),
        (GOOD + "second,12.5,0.6\n", ["row 3, column teeth", "12.5", "whole number"]),
        (GOOD + "second,,0.6\n", ["row 3, column teeth", "nothing", "whole number"]),
        (GOOD + "second,12,nan\n", ["row 3, column module_mm", "'nan'", MODULE.expected]),
        (GOOD + "second,12,-1\n", ["row 3, column module_mm", "-1", MODULE.expected]),
        (GOOD + 'second,12,"1,250"\n', ["row 3, column module_mm", "'1,250'", "1250 or 1.250"]),
        (GOOD + 'second,"1,250",0.6\n', ["row 3, column teeth", "'1,250'", "1250 or 1.250"]),
        (GOOD + "second,12,0.6 g\n", ["row 3, column module_mm", "'0.6 g'", "mm"]),
        (GOOD + "\n,12,0.6\n", ["row 4, column name", "''", "1 to 200 characters"]),
        (GOOD + "first,13,0.6\n", ["row 3, column name", "'first'", "another name than in row 2"]),
        (GOOD + "second,12,0,6\n", ["row 3", "4 cells", "3, as in row 1"]),
        ("name,module_mm\nfirst,0.6\n", ["row 2, column teeth", "nothing", "whole number"]),
        ("name,tooth\nfirst,12\n", ["row 1", "'tooth'", "teeth", "provenance"]),
        ("name,teeth,Teeth\nfirst,1,1\n", ["row 1", "'Teeth'", "no second column for teeth"]),
        ("name,name\nfirst,first\n", ["row 1", "'name'", "no second column"]),
        ("name,teeth,\nfirst,1,1\n", ["row 1", "a name for every column"]),
        ("name,mass (mm)\nfirst,1\n", ["row 1", "'mass (mm)'", "a unit of mass"]),
        ("teeth,module_mm\n12,0.6\n", ["row 1", "column names, one of them name"]),
        ("", ["row 1", "nothing", "column names"]),
        ('name,teeth\n"first,12\n', ["row 2: '\"' was given", "a second one that closes it"]),
        ('name,teeth\nfirst,"1"2\n', ["row 2", "a quote only where its cell ends"]),
        ("name,teeth\n\n", ["row 2", "nothing", "a part below the column names"]),
        ("sep=;\nname,teeth\nfirst,12\n", ["row 1", "column names, one of them name"]),
        ("name;module_mm;teeth;bore_mm\na;1;9;3,2\nb;1;9;3.175\nc;1;9;3.2\n", ["row 3", "3175 or"]),
        ('name,mass_g,price\nfirst,1,"1,250"\n', ["column price", "1250 or 1.250"]),
        ("name,mass_g,price\nfirst,1,$4\n", ["row 2", "column price", "'$4'", "an amount in EUR"]),
        ("name,price,currency\nfirst,4 €,GBP\n", ["column price", "'4 €'", "an amount in GBP"]),
        ("name,mass_g,price\nfirst,1,€4 GBP\n", ["column price", "'€4 GBP'", "an amount in EUR"]),
        ("name,mass_g,price\nfirst,1,dear\n", ["row 2", "column price", "'dear'", "2 decimals"]),
        ("name,mass_g,price\nfirst,1,4.999\n", ["row 2", "column price", "'4.999'"]),
        ("name,mass_g,price\nfirst,1,-4\n", ["row 2", "column price", "0 or more"]),
        ("name,mass_g,price\nfirst,1,nan\n", ["row 2", "column price", "'nan'"]),
        ("name,price,currency\nfirst,1,euro\n", ["column currency", "'euro'", "three capital"]),
        ("name,price,currency\nfirst,1.5,JPY\n", ["column price", "'1.5'", "at most 0 decimals"]),
        ("name,price,on\nfirst,1,soon\n", ["row 2", "column on", "'soon'", "2027-04-10"]),
        ("name,price,on\nfirst,1,2027-02-30\n", ["column on", "'2027-02-30'"]),
        ("name,provenance\nfirst,mass_g\n", ["column provenance", "'mass_g'", "mass_g=measured"]),
        ("name,provenance\nfirst,kv=maker\n", ["column provenance", "'kv=maker'"]),
        ("name,provenance\nfirst,mass_g=heard\n", ["column provenance", "'heard'", "measured"]),
    ],
)
def test_what_is_refused_says_where_and_stores_nothing(
    workshop: Workshop, write: Write, text: str, words: list[str]
) -> None:
    about_gears = any(word in text for word in ("teeth", "tooth", "module"))
    path = write(text, "pinion.csv" if about_gears else "extras.csv")
    before = [workshop.catalogue.parts(kind.key) for kind in KINDS]
    with pytest.raises(BadInput) as caught:
        workshop.import_file(path)
    said = str(caught.value)
    for word in (str(path), *words):
        assert word in said
    assert "\n" not in said
    assert [workshop.catalogue.parts(kind.key) for kind in KINDS] == before


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("name,mass_g\nx,1\n", ["row 1", "a column kind", "motor"]),
        ("name,kind\nx,wing\n", ["row 2, column kind", "'wing'", "chassis, motor"]),
        ("name,kind\nx,\n", ["row 2, column kind", "nothing"]),
        ("name,kind,teeth\nx,extra,9\n", ["row 2, column teeth", "'9'", "no such figure"]),
    ],
)
def test_a_table_of_no_clear_kind_is_refused(
    workshop: Workshop, write: Write, text: str, words: list[str]
) -> None:
    with pytest.raises(BadInput) as caught:
        workshop.import_file(write(text, "motors and pinions.csv"))
    for word in words:
        assert word in str(caught.value)


def test_a_file_of_offers_adds_to_what_the_parts_cost(workshop: Workshop, write: Write) -> None:
    part = workshop.catalogue.save_part(
        Part("pinion", "19 teeth", {"teeth": 19, "module_mm": 0.8}, price=price(490, 9))
    )
    before = workshop.catalogue.price_history(part.id or 0)
    path = write("kind,name,price,supplier,lead_days\npinion,19 teeth,5.20,Shed,4\n", "o.csv")
    imported = workshop.import_file(path)
    assert {one.supplier for one in workshop.catalogue.price_history(part.id or 0)} == {"Shed", ""}
    assert workshop.catalogue.part(part.id or 0).price == price(490, 9)
    workshop.catalogue.turn_back(imported.changes)
    assert workshop.catalogue.price_history(part.id or 0) == before


def test_files_that_cannot_be_read(workshop: Workshop, tmp_path: Path, write: Write) -> None:
    (tmp_path / "motor.csv").mkdir()
    for name in ("motor.csv", "absent.csv"):
        with pytest.raises(FileTrouble, match=name):
            workshop.import_file(tmp_path / name)
    with pytest.raises(BadInput, match=r"'parts\.xyz'.*\.csv.*\.build\.json"):
        workshop.import_file(write("", "parts.xyz"))


def test_every_importer_is_found_by_its_suffixes() -> None:
    for importer in IMPORTERS:
        for suffix in importer.suffixes:
            assert importer_for(Path(f"SOME{suffix.upper()}")) is importer


def test_a_build_file_comes_with_its_parts_and_their_prices(
    workshop: Workshop, tmp_path: Path
) -> None:
    path = tmp_path / "car.build.json"
    path.write_text(json.dumps(document()))
    imported = workshop.import_file(path)
    assert imported.build is not None
    assert imported.parts == 10
    assert imported.summary == f"{a_build().name} added, with 10 parts new."
    stored = workshop.builds.named(a_build().name)
    motor = stored.parts["motor"]
    assert motor.price is not None
    assert motor.price.amount == Money(6450, "EUR")
    # Away and back again, and the line still knows what the motor costs.
    other = next(part for part in workshop.catalogue.parts("motor") if part != motor)
    back = stored.with_part(other).with_part(motor).line("motor")
    assert back is not None
    assert str(back.unit_price) == "64.50"


def test_a_build_file_leaves_as_it_came(workshop: Workshop, tmp_path: Path) -> None:
    first, second = tmp_path / "first.build.json", tmp_path / "second.build.json"
    data = document()
    data["workbench"] = {"shelf": 3}
    data["parts"]["motor"]["colour"] = "green"
    data["money"]["lines"][0]["parcel"] = [1, None]
    first.write_text(json.dumps(data))
    build = workshop.import_file(first).build
    assert build is not None
    write_build(workshop.builds.get(build.id or 0), second)
    write_build(read_build(first), first)
    assert json.loads(second.read_text()) == json.loads(first.read_text())
    assert json.loads(second.read_text())["parts"]["motor"]["colour"] == "green"


def test_a_second_import_is_a_second_build_of_the_same_parts(
    workshop: Workshop, tmp_path: Path
) -> None:
    path = tmp_path / "car.build.json"
    path.write_text(json.dumps(document()))
    first, second = workshop.import_file(path).build, workshop.import_file(path).build
    assert first is not None
    assert second is not None
    assert second.name == f"{first.name} (2)"
    assert second.parts == first.parts
    assert {p.id for p in second.parts.values()} == {p.id for p in first.parts.values()}


def test_a_line_that_gives_money_back_is_no_price(workshop: Workshop, tmp_path: Path) -> None:
    given = document(parts__motor__name="Rowan 1")
    given["money"]["lines"][0] |= {"name": "Rowan 1", "unit_price": "-3.00"}
    path = tmp_path / "car.build.json"
    path.write_text(json.dumps(given))
    build = workshop.import_file(path).build
    assert build is not None
    assert build.parts["motor"].price is None
    assert build.lines[0].unit_price == Decimal("-3.00")


def test_a_bad_build_file_stores_nothing(workshop: Workshop, tmp_path: Path) -> None:
    path = tmp_path / "car.build.json"
    path.write_text(json.dumps(document(parts__spur__teeth=66.5)))
    before = workshop.builds.entries(), workshop.catalogue.parts("motor")
    with pytest.raises(UserError, match=r"car\.build\.json.*parts\.spur\.teeth.*66\.5"):
        workshop.import_file(path)
    assert (workshop.builds.entries(), workshop.catalogue.parts("motor")) == before
