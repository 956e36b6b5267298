"""Quantities: the numbers of a text, each with its unit and where it stands.

Whatever is no quantity of a part is passed over: days, telephone and part numbers, scales.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pennyspeed.services.listings.words import MEANINGS

# Of the same length for each character, so that places stay what they are.
_ALIKE = str.maketrans(
    {
        "µ": "μ", "Ω": "Ω", "×": "x", "✕": "x", "∗": "*", "″": '"', "”": '"', "“": '"', "„": '"',
        "–": "-", "—": "-", "‐": "-", "‑": "-", "−": "-", "’": "'", "′": "'", "⌀": "ø", "∅": "ø",
        "\t": " ", "\xa0": " ", "\u2007": " ", "\u2009": " ", "\u202f": " ", "＋": "+",
    }
    | {chr(0xFF10 + i): str(i) for i in range(10)}
)  # fmt: skip
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]")

_OUTSIDE = re.compile(r"\bo\.d\.", re.IGNORECASE)
_STRUCK = re.compile(r"~~[^~\n]{1,60}~~|<(?:s|del|strike)>[^<\n]{1,60}</|(?:[^\s]\u0336){2,60}")
_NUMBER = re.compile(
    r"""(?P<day>[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{2,4}(?![0-9])
        |[0-9]{1,2}/(?:19|20)[0-9]{2}(?![0-9]))
    |(?P<telephone>\+[0-9][0-9 ()/-]{6,24}[0-9]|0[0-9]{2,5}[ /-][0-9][0-9 /-]{3,20}[0-9])
    |(?P<clock>[0-9]{1,2}:[0-9]{1,2}(?:[.,][0-9]{1,2})?(?![0-9]))
    |(?P<fraction>[0-9]{1,2}/[0-9]{1,2}(?![0-9])(?=\s?(?:"|''|inch|in\b|zoll)))
    |(?P<scale>1/[0-9]{1,2}(?![0-9a-z]))
    |(?P<number>[0-9]{1,3}(?:[ '][0-9]{3}){1,3}(?![0-9])(?:[.,][0-9]{1,4}(?![0-9]))?
        |[0-9]{1,12}(?:[.,][0-9]{1,12}){0,4}|[0-9]{13,40})
    """,
    re.VERBOSE | re.IGNORECASE,
)

# The first that fits is meant, so longer spellings stand before shorter ones.
_UNITS = (
    ("kv", r"rpm ?/ ?v(?:olt)?|rpm per volt|u/min/v|u/v|1/min/v|"
           r"umdrehungen (?:pro|je) volt|u/min (?:pro|je) volt|kv"),
    ("erpm", r"e-?rpm|erpm"),
    ("rpm", r"r\.?p\.?m|u/min|upm|1/min|min-1|umdrehungen(?: pro minute)?|umin"),
    ("mah", r"mah"),
    ("ah", r"ah"),
    ("mohm", r"m ?[ΩΩω]|m-?ohms?|milli-?ohms?"),
    ("ohm", r"[ΩΩω]|ohms?"),
    ("uh", r"[μu]h(?:enry)?|mikrohenry|microhenry"),
    ("mm2", r"mm²|mm2|mm\^2"),
    ("cm2", r"cm²|cm2|cm\^2|qcm"),
    ("mm", r"-?mm|millimet(?:er|re)s?"),
    ("cm", r"cm"),
    ("in", r"\"|''|inch(?:es)?|zoll|in"),
    ("kmh", r"km/h|kmh|kph"),
    ("mph", r"mph"),
    ("kg", r"kg|kilo"),
    ("g", r"gramm?e?s?|gr|g"),
    ("oz", r"oz|ounces?|unzen"),
    ("lb", r"lbs?|pounds? weight"),
    ("month", r"-?(?:months?|monate?n?|weeks?|wochen|days?|tage|years?|jahre)"),
    ("teeth", r"-?(?:tooth|teeth|zähnen?|zaehnen?|t|z)"),
    ("poles", r"-?(?:poles?|polig(?:er|e)?|pol)"),
    ("pitch", r"-?(?:pitch|dp|p)"),
    ("module", r"-?(?:modul(?:e|us)?|mod)"),
    ("sp", r"s ?(?P<parallel>[0-9]{1,2}) ?p"),
    ("s", r"s"),
    ("cells", r"-?(?:cells?|zellen|zellig(?:er|e)?)"),
    ("c", r"c"),
    ("percent", r"%|percent|prozent"),
    ("w", r"watts?|kw|w"),
    ("a", r"amperes?|amps?|a"),
    ("v", r"volts?|v"),
    ("price", r"€|eur|euros?|£|gbp|\$|usd|chf|us\$|aud|cad|,-(?: ?(?:€|eur|euro))?"),
    ("count", r"x(?! ?[0-9])|-?(?:pcs|pieces|stk|stück|off)"),
)  # fmt: skip
_UNIT = re.compile(
    "(?:" + "|".join(f"(?P<u_{name}>{spelled})" for name, spelled in _UNITS) + r")(?![^\W_])",
    re.IGNORECASE,
)
# A single letter is a unit where it stands close, or is the capital that the trade writes.
_CLOSE = frozenset(("a", "v", "s", "c", "p", "t", "z", "in"))
_MONEY = re.compile(r"(€|£|us\$|\$|eur|gbp|usd|chf|aud|cad) {0,2}\Z", re.IGNORECASE)
_PREFIXES = {"m": "module", "mod": "module", "modul": "module", "kv": "kv", "ø": "", "x": "",
             "io": "", "max": "", "ca": "", "approx": "", "dia": ""}  # fmt: skip
_PREFIX = re.compile(r"[^\s,;:=()\[\]~\"|@]{1,30}\Z")
# A unit that stands before its number, as a label.
_UNIT_OF_LABEL = {
    "kv": "kv", "kv-wert": "kv", "kv-rating": "kv", "rpm/v": "kv", "rpm": "rpm", "u/min": "rpm",
    "erpm": "erpm", "mah": "mah", "g": "g", "mm": "mm", "teeth": "teeth", "zähne": "teeth",
    "zähnezahl": "teeth", "zaehne": "teeth", "zähneanzahl": "teeth", "poles": "poles",
    "pole": "poles", "polzahl": "poles", "pole count": "poles", "module": "module",
    "modul": "module", "mod": "module", "pitch": "pitch", "dp": "pitch", "cells": "cells",
    "zellen": "cells", "zellenzahl": "cells", "cd": "drag", "c_d": "drag", "cw": "drag",
    "cw-wert": "drag", "coefficient": "drag", "ratio": "ratio", "übersetzung": "ratio",
    "getriebeübersetzung": "ratio",
}  # fmt: skip
_LABEL = re.compile(
    r"([^\W\d_]+(?:[-/_][^\W\d_]+)*)[)\]]?\.?"
    r"(?: {1,2}(?:max|maximum|wert|value|is|ist|of|von)\.?)? {0,3}[:=]? {0,3}\Z",
    re.IGNORECASE,
)
_IS_LABEL = re.compile(" ?[:=]")  # of the next figure, as in "module: 0.8 teeth: 46"
_QUOTE = re.compile(r'(?<![0-9])"')
_RANGE = re.compile(r" {0,2}(?:-|bis|to|\.{2,3}|…|~) {0,2}", re.IGNORECASE)
_SLASH = re.compile(" ?/ ?")
_OR = re.compile(r" {1,2}(?:or|oder|and|und|&) {1,2}", re.IGNORECASE)
_SPACE = re.compile(" {0,2}")
_BY = re.compile(r" {0,2}(?:x|\*|by) {0,2}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its unit, or several that belong together.

    Attributes
    ----------
    numbers : tuple of str
        As they are written: one; two of a range; two or three of a size.
    unit : str
        Key of `_UNITS`; "" where none is written.
    start, end : int
        Its place in the text, unit included.
    shape : str
        "one", "range", "pair" (with a slash), "choice", "size", or "fraction".
    money : str
        Sign or code of a currency, "" where it is no price.
    """

    numbers: tuple[str, ...]
    unit: str
    start: int
    end: int
    shape: str = "one"
    money: str = ""
    parallel: str = ""
    is_labelled: bool = False
    """The unit stands before the number."""
    is_struck: bool = False
    is_doubted: bool = False


def plain_text(text: str) -> str:
    """Return a text of the same length with one spelling for signs that look alike."""
    plain = _CONTROL.sub(" ", text.translate(_ALIKE))
    return _OUTSIDE.sub("od  ", plain)


def quantities_of(text: str) -> list[Quantity]:
    """Return the quantities of a :func:`plain_text`, in order."""
    struck = [match.span() for match in _STRUCK.finditer(text)]
    found: list[Quantity] = []
    place = 0
    while match := _NUMBER.search(text, place):
        place = match.end()
        one = _quantity(text, match, found[-1].end if found else 0)
        if one is not None:
            if any(start <= one.start < end for start, end in struck):
                one = replace(one, is_struck=True)
            found.append(one)
            place = max(place, one.end)
    return _joined(text, found)


def _quantity(text: str, match: re.Match[str], after: int) -> Quantity | None:
    sort, start = match.lastgroup, match.start()
    if sort not in ("number", "fraction") or len(match[0]) > 16:
        return None
    unit = ""
    prefix = _PREFIX.search(text, max(after, start - 30), start)
    if prefix is not None and any(letter.isalpha() for letter in prefix[0]):
        money = _MONEY.search(prefix[0])
        bare = prefix[0].strip(".-/").casefold()
        is_joined = after == prefix.start() and bare in ("x", "-", "bis", "to")
        if bare in _PREFIXES:
            unit = _PREFIXES[bare]
        elif not money and bare not in MEANINGS and not is_joined:
            return None
    end = match.end()
    parallel = ""
    behind = _SPACE.match(text, end)
    at = end if behind is None else behind.end()
    named = _UNIT.match(text, at)
    if named is not None and not unit:
        sort_of_unit = next(name for name, _ in _UNITS if named[f"u_{name}"] is not None)
        if _is_unit(named[0], at == end, sort_of_unit) and not (
            _closes_quote(text, named) or (at != end and _IS_LABEL.match(text, named.end()))
        ):
            unit, end = sort_of_unit, named.end()
            parallel = named["parallel"] or ""
    elif unit == "module" and named is not None and named[0].casefold() == "mm":
        end = named.end()
    before = _MONEY.search(text, max(after, start - 6), start)
    money_sign = ""
    if unit == "price":
        money_sign = text[at:end]
    elif before is not None and not unit:
        money_sign, start, unit = before[1], before.start(), "price"
        if text.startswith(",-", end):
            end += 2
    if unit == "module" and prefix is not None:
        start = prefix.start()
    label = None if unit else _LABEL.search(text, max(start - 30, after), start)
    if label is not None:
        unit = _UNIT_OF_LABEL.get(label[1].casefold(), "")
    shape = "fraction" if sort == "fraction" else "one"
    doubted = text[end : end + 3].lstrip().startswith("?")
    return Quantity(
        (match["number"] or match["fraction"],),
        unit,
        start,
        end,
        shape,
        money_sign,
        parallel,
        is_labelled=label is not None and bool(unit),
        is_doubted=doubted,
    )


def _closes_quote(text: str, named: re.Match[str]) -> bool:
    """Tell whether an inch sign ends a quotation: one stands open before it in its line."""
    line = text.rfind("\n", max(named.start() - 120, 0), named.start()) + 1
    begin = max(line, named.start() - 120)
    return named[0] == '"' and len(_QUOTE.findall(text, begin, named.start())) % 2 == 1


def _is_unit(spelled: str, is_close: bool, unit: str) -> bool:
    """Tell whether a word behind a number is its unit and not a word of the sentence."""
    if spelled.casefold() not in _CLOSE:
        return True
    if unit in ("s", "sp", "in"):
        return is_close  # with a space they are seconds, and the word in
    return is_close or spelled.isupper()


def _joined(text: str, found: Sequence[Quantity]) -> list[Quantity]:
    """Put the ends of a range, the sides of a size, and ratings with a slash together."""
    joined: list[Quantity] = []
    for one in found:
        last = joined[-1] if joined else None
        if last is not None and one.shape == "one":
            between = text[last.end : one.start]
            is_open = last.is_labelled or last.unit in _LENGTHS
            alike = last.unit in ("", one.unit) or (one.unit == "" and is_open)
            alike |= last.is_labelled and (last.unit, one.unit) == ("cells", "s")
            if alike and last.shape != "range" and len(last.numbers) < 3 and _BY.fullmatch(between):
                unit = one.unit or last.unit
                joined[-1] = replace(
                    last, numbers=(*last.numbers, *one.numbers), unit=unit, end=one.end,
                    shape="size",
                )  # fmt: skip
                continue
            shape = _two_of(text[last.end : one.start], last, one) if alike else ""
            if shape:
                joined[-1] = replace(
                    one,
                    numbers=(*last.numbers, *one.numbers),
                    unit=one.unit or last.unit,
                    start=last.start,
                    shape=shape,
                )
                continue
        joined.append(one)
    return joined


_LENGTHS = frozenset(("mm", "cm", "in"))


def _two_of(between: str, last: Quantity, one: Quantity) -> str:
    """Return what two quantities are together, "" where each stands for itself."""
    if last.shape in ("pair", "choice"):
        goes_on = _SLASH.fullmatch(between) or _OR.fullmatch(between)
        return "choice" if one.unit and goes_on else ""
    if last.shape != "one":
        return ""
    if last.money or one.money:
        return "range" if one.money and _RANGE.fullmatch(between) else ""
    if _SLASH.fullmatch(between):
        return "pair" if one.unit else ""
    if _OR.fullmatch(between):
        return "choice"
    rises = _rises(last.numbers[0], one.numbers[0])
    return "range" if rises and _RANGE.fullmatch(between) else ""


def _rises(low: str, high: str) -> bool:
    """Tell whether two numbers can be the ends of a range, whichever way they are read."""
    ends = [re.sub(r"[ ']", "", one).replace(",", ".") for one in (low, high)]
    try:
        return float(ends[0]) < float(ends[1])
    except ValueError:
        return True
