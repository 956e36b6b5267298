"""Formulas: text that a spreadsheet would run, kept as text on its way out and back in.

A cell of delimited text that begins with ``=``, ``+``, ``-``, ``@``, a tab or a line end may be run
as a formula by the program that opens it, whatever quotes stand around it; an apostrophe before it
makes it text (OWASP, "CSV Injection").
"""

from __future__ import annotations

import re

# The wide forms are what Japanese keyboards type, and are run alike.
_STARTS = r"[\s\x00]*[=+\-@＝＋－＠\x00]|[\t\r\n]"
_RUNS = re.compile(rf"'*(?:{_STARTS})")
_GUARDED = re.compile(rf"'+(?:{_STARTS})")


def guarded(text: str) -> str:
    r"""Return text as a cell of delimited text that no spreadsheet runs.

    >>> guarded("=1+1"), guarded("'-x"), guarded("a-b")
    ("'=1+1", "''-x", 'a-b')
    """
    return f"'{text}" if _RUNS.match(text) else text


def typed(text: str) -> str:
    """Return text as a cell that its file marks as text: only what looks guarded is guarded again.

    >>> typed("=1+1"), typed("'-x")
    ('=1+1', "''-x")
    """
    return f"'{text}" if _GUARDED.match(text) else text


def unguarded(cell: str) -> str:
    """Return the text that :func:`guarded` or :func:`typed` made a cell of.

    >>> unguarded("'=1+1"), unguarded("''-x"), unguarded("'t")
    ('=1+1', "'-x", "'t")
    """
    return cell[1:] if _GUARDED.match(cell) else cell
