"""Days as sentences write them, and as people type them."""

from __future__ import annotations

import re
from datetime import date

from pennyspeed.domain.errors import BadInput

# The calendar module's names change with the locale that Qt sets; these sentences are English.
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def say_day(day: date, today: date | None = None) -> str:
    """Return a day as a sentence says it; without the year where that is `today`'s.

    >>> say_day(date(2027, 4, 16)), say_day(date(2027, 4, 16), today=date(2027, 1, 2))
    ('16 April 2027', '16 April')
    """
    text = f"{day.day} {MONTHS[day.month - 1]}"
    return text if today is not None and today.year == day.year else f"{text} {day.year}"


def say_days(count: int) -> str:
    """Return a number of days in words.

    >>> say_days(1), say_days(12)
    ('a day', '12 days')
    """
    return "a day" if count == 1 else f"{count} days"


def iso(day: date | None) -> str:
    """Return a day as it is edited; "" for none."""
    return "" if day is None else day.isoformat()


_IN_FIGURES = re.compile(r"(\d{1,4})\D(\d{1,2})\D(\d{1,4})", re.ASCII)


def read_day(text: str, place: str, today: date | None = None, day_order: str = "") -> date | None:
    """Return the day that typed `text` names, or raise BadInput; None for "" and "none".

    Without a year it is the next such day. Days in figures are read as ISO 8601 has them, else in
    the person's `day_order`, such as "dmy"; then two figures are a year of this century.

    >>> read_day("10 April", "speed day", date(2027, 5, 1))
    datetime.date(2028, 4, 10)
    >>> read_day("10.4.27", "speed day", day_order="dmy")
    datetime.date(2027, 4, 10)
    """
    words = " ".join(text.replace(",", " ").split()).rstrip(".").casefold()
    if words in ("", "none"):
        return None
    found = _iso_day(words) or _month_day(words, today or date.today())
    found = found or _figures_day(words, day_order)
    if found is None:
        raise BadInput(place, text, "a day such as 10 April or 2027-04-10")
    return found


def _iso_day(words: str) -> date | None:
    try:
        return date.fromisoformat(words)
    except ValueError:
        return None


def _month_day(words: str, today: date) -> date | None:
    """Return the day of "10 april" or "april 10", either with a year behind it or without."""
    parts = words.split()
    figures = [part for part in parts if part.isdecimal()]
    name = next((part for part in parts[:2] if len(part) >= 3 and part.isalpha()), "-")
    months = [i for i, month in enumerate(MONTHS, 1) if month.casefold().startswith(name)]
    if len(months) != 1 or len(parts) != len(figures) + 1 or len(figures) not in (1, 2):
        return None
    if len(figures) == 2:
        return _day(int(figures[1]), months[0], int(figures[0])) if len(figures[1]) == 4 else None
    found = (_day(year, months[0], int(figures[0])) for year in (today.year, today.year + 1))
    return next((day for day in found if day is not None and day >= today), None)


def _figures_day(words: str, day_order: str) -> date | None:
    match = _IN_FIGURES.fullmatch(words)
    if match is None or not day_order:
        return None
    said = dict(zip(day_order, match.groups(), strict=True))
    year = int(said["y"]) + (2000 if len(said["y"]) <= 2 else 0)
    return _day(year, int(said["m"]), int(said["d"]))


def _day(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
