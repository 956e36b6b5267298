"""Look: a club's sections, sizes, texts and badge, read from one file that a person can edit.

What stands in ``resources/sheet/look.toml`` holds unless a ``sheet-look.toml`` beside the data file
says otherwise, line by line.
"""

from __future__ import annotations

import struct
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from pathlib import Path
from typing import Any

from pennyspeed.domain.errors import BadInput
from pennyspeed.resources import path as resource_path
from pennyspeed.services.sheet.choices import KINDS
from pennyspeed.services.sheet.document import Picture, Sizes

OWN_NAME = "sheet-look.toml"
"""The name of a copy of one's own, beside the data file."""

_RANGES = {
    "text_pt": (7.0, 16.0),
    "heading_pt": (8.0, 24.0),
    "title_pt": (12.0, 48.0),
    "speed_pt": (14.0, 72.0),
    "margin_mm": (5.0, 40.0),
    "plot_mm": (30.0, 150.0),
    "writing_mm": (5.0, 20.0),
}
_ROWS = (1, 60)
_LONGEST_TEXT = 2000
_MOST_TEXTS = 60
_LARGEST_PICTURE = 4_000_000


@dataclass(frozen=True)
class Look:
    """How sheets look.

    Attributes
    ----------
    sections : mapping
        Kind of sheet to the keys of its sections.
    titles : mapping
        Key of every section to its heading.
    """

    author: str
    running: str
    badge: Picture | None
    sizes: Sizes
    log_rows: int
    run_day_rows: int
    log_columns: tuple[str, ...]
    sections: Mapping[str, tuple[str, ...]]
    titles: Mapping[str, str]
    before: tuple[str, ...]
    cautions: tuple[str, ...]


@cache
def shipped() -> Look:
    """Return the look that came with the program."""
    return _look(resource_path("sheet/look.toml"), {})


def look_beside(folder: Path | None) -> Look:
    """Return the look for a data file in that folder: its own where there is one.

    Raises
    ------
    BadInput
        Where the own file cannot be understood; the sentence names file, place, value and what was
        expected. Nothing is changed.
    """
    if folder is None or not (folder / OWN_NAME).is_file():
        return shipped()
    return _look(folder / OWN_NAME, _read(resource_path("sheet/look.toml")))


def _read(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise BadInput(str(path), error.strerror, "a file that can be read") from None
    except UnicodeDecodeError:
        raise BadInput(str(path), "bytes that are no text", "text in UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise BadInput(str(path), str(error), "lines such as: text_pt = 9.0") from None


def _look(path: Path, under: Mapping[str, Any]) -> Look:
    own = _read(path)
    try:
        _no_strangers(own, under or own)
        data = {key: _over(under.get(key), own.get(key)) for key in {**under, **own}}
        return Look(
            author=_text(data, "author"),
            running=_text(data, "running"),
            badge=_badge(data, path.parent),
            sizes=Sizes(
                **{f.name: _number(data, "sizes", f.name, *_RANGES[f.name]) for f in fields(Sizes)}
            ),
            log_rows=int(_number(data, "log", "rows", *_ROWS, whole=True)),
            run_day_rows=int(_number(data, "log", "run_day_rows", *_ROWS, whole=True)),
            log_columns=_texts(data["log"], "log", "columns", least=1, most=9),
            sections={kind: _sections(data, kind) for kind in KINDS},
            titles={key: _text(data["titles"], key, "titles", least=1) for key in data["titles"]},
            before=_texts(data["texts"], "texts", "before"),
            cautions=_texts(data["texts"], "texts", "cautions", least=1),
        )
    except BadInput as error:
        raise error.within(str(path)) from None


def _over(under: Any, own: Any) -> Any:
    if isinstance(under, Mapping) and isinstance(own, Mapping):
        return {**under, **own}
    return under if own is None else own


def _no_strangers(own: Mapping[str, Any], known: Mapping[str, Any]) -> None:
    """Refuse a key that means nothing: most likely it is misspelt and would silently not hold."""
    for key, value in own.items():
        if key not in known:
            raise BadInput(key, value, "one of " + ", ".join(known))
        inner = known[key]
        if isinstance(inner, Mapping):
            if not isinstance(value, Mapping):
                raise BadInput(key, value, f"a part that begins with [{key}]")
            for one in value:
                if one not in inner:
                    raise BadInput(f"{key}.{one}", value[one], "one of " + ", ".join(inner))


def _text(data: Mapping[str, Any], key: str, outer: str = "", least: int = 0) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not least <= len(value.strip()) <= _LONGEST_TEXT:
        place = f"{outer}.{key}" if outer else key
        raise BadInput(place, value, f"text of {least} to {_LONGEST_TEXT} characters in quotes")
    return " ".join(value.split())


def _texts(
    data: Mapping[str, Any], outer: str, key: str, least: int = 0, most: int = _MOST_TEXTS
) -> tuple[str, ...]:
    value = data.get(key)
    expected = f"a list of {least} to {most} texts, each in quotes"
    if not isinstance(value, list) or not least <= len(value) <= most:
        raise BadInput(f"{outer}.{key}", value, expected)
    for place, one in enumerate(value, 1):
        if not isinstance(one, str) or not one.strip() or len(one) > _LONGEST_TEXT:
            raise BadInput(f"{outer}.{key}, entry {place}", one, "text in quotes")
    return tuple(" ".join(one.split()) for one in value)


def _number(
    data: Mapping[str, Any], outer: str, key: str, low: float, high: float, whole: bool = False
) -> float:
    value = data[outer].get(key)
    good = isinstance(value, int) if whole else isinstance(value, int | float)
    if not good or isinstance(value, bool) or not low <= value <= high:
        kind = "a whole number" if whole else "a number"
        raise BadInput(f"{outer}.{key}", value, f"{kind} from {low:g} to {high:g}")
    return float(value)


def _sections(data: Mapping[str, Any], kind: str) -> tuple[str, ...]:
    known = data["titles"]
    keys = _texts(data["sections"], "sections", kind, least=1, most=len(known))
    for place, key in enumerate(keys, 1):
        if key not in known or key in keys[: place - 1]:
            expected = "each once, of " + ", ".join(known)
            raise BadInput(f"sections.{kind}, entry {place}", key, expected)
    return keys


def _badge(data: Mapping[str, Any], folder: Path) -> Picture | None:
    name = _text(data, "badge")
    return picture(folder / name, _text(data, "badge_words"), "badge") if name else None


def picture(path: Path, alternative: str, place: str) -> Picture:
    """Return a picture file, or raise BadInput where it is no PNG or JPEG that can be read."""
    expected = "the name of a PNG or JPEG file of at most 4 MB in the same folder"
    try:
        if path.stat().st_size > _LARGEST_PICTURE:
            raise BadInput(place, path.name, expected)
        data = path.read_bytes()
    except OSError:
        raise BadInput(place, path.name, expected) from None
    found = _measured(data)
    if found is None:
        raise BadInput(place, path.name, expected)
    kind, width, height = found
    return Picture(data, kind, (width, height), alternative)


def _measured(data: bytes) -> tuple[str, int, int] | None:
    """Return kind, width and height of a PNG (ISO/IEC 15948) or JPEG (ITU-T T.81) file."""
    if data[:8] == b"\x89PNG\r\n\x1a\n" and data[12:16] == b"IHDR":
        width, height = struct.unpack(">II", data[16:24])
        return ("image/png", width, height) if width and height else None
    if data[:3] != b"\xff\xd8\xff":
        return None
    at = 2
    while at + 9 < len(data) and data[at] == 0xFF:
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            height, width = struct.unpack(">HH", data[at + 5 : at + 9])
            return ("image/jpeg", width, height) if width and height else None
        at += 2 + length
    return None
