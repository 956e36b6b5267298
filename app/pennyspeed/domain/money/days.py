"""Days as sentences write them."""

from __future__ import annotations

from datetime import date

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
