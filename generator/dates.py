"""Calendar dates as a reader writes them; nothing here asks the machine for its language or its clock."""

from __future__ import annotations

import datetime

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


def date_words(day: datetime.date) -> str:
    """A date with its weekday and year.

    >>> date_words(datetime.date(2027, 4, 24))
    'Sat 24 April 2027'
    """
    return f"{WEEKDAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]} {day.year}"


def short_date(day: datetime.date) -> str:
    """A date for a narrow place: no weekday, no year.

    >>> short_date(datetime.date(2027, 4, 24))
    '24 Apr'
    """
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def narrow_date(day: datetime.date) -> str:
    """A date with its weekday and year, its month cut to three letters.

    >>> narrow_date(datetime.date(2027, 9, 4))
    'Sat 4 Sep 2027'
    """
    return f"{WEEKDAYS[day.weekday()]} {short_date(day)} {day.year}"
