"""A club's own look: what it may say, and what a bad one is told."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import pytest

from pennyspeed.domain.errors import BadInput
from pennyspeed.resources import path as resource_path
from pennyspeed.services.sheet.look import OWN_NAME, look_beside, shipped
from pennyspeed.services.sheet.making import SECTIONS
from sheets import a_sheet


def a_png(width: int = 3, height: int = 2) -> bytes:
    """A white PNG as ISO/IEC 15948 lays it out."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    rows = (b"\0" + b"\xff" * width) * height
    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


def write(folder: Path, text: str) -> Path:
    path = folder / OWN_NAME
    path.write_text(text, encoding="utf-8")
    return path


def test_without_one_of_its_own_the_shipped_look_holds(tmp_path: Path) -> None:
    assert look_beside(tmp_path) == shipped() == look_beside(None)
    assert set(shipped().titles) == set(SECTIONS)


def test_a_copy_wins_line_by_line(tmp_path: Path) -> None:
    write(
        tmp_path,
        'author = "Pond Street makers"\nbadge = "badge.png"\n[sizes]\ntext_pt = 10.5\n'
        '[titles]\nbefore = "Before you drive"\n[texts]\nbefore = ["Flag up"]\n'
        '[sections]\nbench = ["before", "speed"]\n',
    )
    (tmp_path / "badge.png").write_bytes(a_png())
    look = look_beside(tmp_path)
    assert (look.author, look.sizes.text_pt, look.before) == (
        "Pond Street makers",
        10.5,
        ("Flag up",),
    )
    assert look.sizes.margin_mm == shipped().sizes.margin_mm
    assert look.cautions == shipped().cautions
    assert look.badge is not None
    assert look.badge.size == (3, 2)
    sheet = a_sheet(look=look)
    assert [one.key for one in sheet.sections] == ["before", "speed", "cautions"]
    assert sheet.sections[0].title == "Before you drive"
    assert sheet.author == "Pond Street makers"
    assert sheet.masthead.picture == look.badge


def test_a_whole_copy_says_what_the_shipped_one_says(tmp_path: Path) -> None:
    write(tmp_path, resource_path("sheet/look.toml").read_text(encoding="utf-8"))
    assert look_beside(tmp_path) == shipped()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            '[sizes]\ntext_pt = "big"',
            "sizes.text_pt: 'big' was given, expected a number from 7 to 16",
        ),
        ("[sizes]\ntext_pt = 900", "sizes.text_pt: 900 was given, expected a number from 7 to 16"),
        ("[sizes]\ntext_pt = nan", "sizes.text_pt: nan was given"),
        ("[sizes]\ntext_pt = true", "sizes.text_pt: true was given"),
        ("[log]\nrows = 2.5", "log.rows: 2.5 was given, expected a whole number from 1 to 60"),
        ('colour = "red"', "colour: 'red' was given, expected one of author"),
        ("[sizes]\nfont = 3", "sizes.font: 3 was given, expected one of text_pt"),
        ("sizes = 3", "sizes: 3 was given, expected a part that begins with [sizes]"),
        ('[sections]\nbench = ["speed", "soup"]', "sections.bench, entry 2: 'soup' was given"),
        ('[sections]\nbench = ["speed", "speed"]', "expected each once"),
        ("[sections]\nbench = []", "sections.bench: [] was given"),
        ('[texts]\nbefore = ["", "b"]', "texts.before, entry 1: '' was given"),
        ("[texts]\ncautions = []", "texts.cautions: [] was given"),
        ('[titles]\nspeed = ""', "titles.speed: '' was given"),
        ("author = 3", "author: 3 was given"),
        ('badge = "nowhere.png"', "badge: 'nowhere.png' was given, expected the name of a PNG"),
        (f'badge = "{OWN_NAME}"', "expected the name of a PNG or JPEG"),
        ("text_pt == 3", "at line 1"),
    ],
)
def test_a_bad_one_is_told_place_value_and_what_was_expected(
    tmp_path: Path, text: str, said: str
) -> None:
    path = write(tmp_path, text)
    with pytest.raises(BadInput) as error:
        look_beside(tmp_path)
    message = str(error.value)
    assert message.startswith(str(path))
    assert said in message
    assert "expected" in message
    assert message.count("\n") == 0
    assert path.read_text(encoding="utf-8") == text


def test_bytes_that_are_no_text_are_told_so(tmp_path: Path) -> None:
    (tmp_path / OWN_NAME).write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadInput, match="UTF-8"):
        look_beside(tmp_path)
