"""Days and spans of days, as sentences say them."""

from __future__ import annotations

from datetime import date

from pennyspeed.domain.money.days import say_day, say_days


def test_every_month_has_its_name_whatever_language_the_window_speaks() -> None:
    # the Gregorian calendar's months in English
    names = "January February March April May June July August September October November December"
    for month, name in enumerate(names.split(), start=1):
        assert say_day(date(2027, month, 9)) == f"9 {name} 2027"


def test_the_year_is_left_out_only_where_it_is_this_one() -> None:
    day = date(2027, 7, 1)
    assert say_day(day, today=date(2027, 12, 31)) == "1 July"
    assert say_day(day, today=date(2026, 12, 31)) == "1 July 2027"


def test_one_day_is_a_day() -> None:
    assert [say_days(count) for count in (0, 1, 2)] == ["0 days", "a day", "2 days"]
