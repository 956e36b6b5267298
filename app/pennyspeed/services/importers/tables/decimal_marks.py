"""Decimal marks: which of point and comma a whole table uses, where one number alone cannot say.

"50.000" is fifty where decimals have a point and fifty thousand where they have a comma; its
neighbours "0,8" or "2.5" say which.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

MARKS = ".,"

_NUMBER = re.compile(r"[-+−]?([\d.,'\s]*\d)(?![\d.,])")
# Up to three digits that are not 0, a mark, three digits: a group of thousands or three decimals.
_TWO_WAYS = re.compile(r"[-+−]?[1-9]\d{0,2}([.,])\d{3}(?![\d.,eE]).*", re.DOTALL)


def ambiguous_mark(cell: str) -> str:
    """Return the mark of a number that reads two ways by itself; "" where it does not.

    >>> ambiguous_mark("50.000"), ambiguous_mark("1,250 g"), ambiguous_mark("0.125")
    ('.', ',', '')
    """
    match = _TWO_WAYS.fullmatch(cell)
    return match[1] if match else ""


def decimal_marks(cells: Iterable[str]) -> frozenset[str]:
    """Return the decimal marks of the numbers that read one way only.

    >>> sorted(decimal_marks(["0,8", "50.000", "12"])), sorted(decimal_marks(["0.125", "1.234,5"]))
    ([','], [',', '.'])
    """
    return frozenset(filter(None, map(_decimal_mark, cells)))


def _decimal_mark(cell: str) -> str:
    match = _NUMBER.match(cell)
    if match is None or ambiguous_mark(cell):
        return ""
    number = match[1]
    last = max(MARKS, key=number.rfind)
    if last not in number:
        return ""
    groups = number.count(last) > 1
    return _other(last) if groups else last


def settled(cell: str, marks: frozenset[str]) -> str:
    """Return a number without the group mark that its table shows it to have.

    >>> settled("50.000 rpm", frozenset(",")), settled("3.175", frozenset("."))
    ('50000 rpm', '3.175')
    """
    mark = ambiguous_mark(cell)
    return cell.replace(mark, "", 1) if mark and marks == {_other(mark)} else cell


def reads_two_ways(cell: str, marks: frozenset[str]) -> bool:
    """Tell whether a number stays unclear, since its table uses both marks for decimals.

    >>> reads_two_ways("3.175", frozenset(".,")), reads_two_ways("3.175", frozenset())
    (True, False)
    """
    return bool(ambiguous_mark(cell)) and len(marks) > 1


def both_readings(cell: str) -> str:
    """Return what a number that reads two ways may mean, to follow 'expected'.

    >>> both_readings("1,250")
    '1250 or 1.250'
    """
    mark = ambiguous_mark(cell)
    return f"{cell.replace(mark, '', 1)} or {cell.replace(mark, '.', 1)}"


def _other(mark: str) -> str:
    return MARKS.replace(mark, "")
