"""The programme as a calendar file that any calendar reads (RFC 5545): all-day events, nothing else.

The name of the whole is of RFC 7986.

Nothing here reads a clock: the stamp is given, so that the same programme
gives the same file.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Iterator

from calculators.programme import ORDER, POURING, VISIT, WAIT, Dated, Programme

LINE_OCTETS = 75
PRODUCT = "-//soleplate//programme//EN"
# Control characters have no place in text (RFC 5545, 3.3.11); a tab is one that does.
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_CATEGORY = {WAIT: "wait", VISIT: "inspection", ORDER: "order", POURING: "pour"}


def calendar_text(programme: Programme, title: str, slug: str, stamp: datetime.datetime) -> str:
    """The dated tasks as one iCalendar text, its lines ended by CR LF.

    `title` is the scenario's; `slug` tells its events from those of another
    plot.  `stamp`, with its time zone, says when the file was made.  Work has
    one event for every run of days on which it goes on, an order the last
    day on which it can be given, a wait all its days, an inspection its last day.
    Raises ValueError for a stamp without a time zone.
    """
    if stamp.utcoffset() is None:
        raise ValueError("the stamp of a calendar needs a time zone, like 2026-04-25T08:00:00+00:00")
    made = stamp.astimezone(datetime.timezone.utc).strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN", "METHOD:PUBLISH", f"NAME:{escaped(title)}"]
    for dated in programme.dates.tasks:
        for number, (first, last) in enumerate(_runs(dated), start=1):
            lines += _event(programme, dated, slug, number, first, last, made)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    r"""Text as a value: backslash, semicolon, comma and line ends escaped, control characters left out.

    >>> escaped("Stone, 8 t; sand\nfrom the yard")
    'Stone\\, 8 t\\; sand\\nfrom the yard'
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = _CONTROL.sub("", text)
    for character in ("\\", ";", ","):
        text = text.replace(character, "\\" + character)
    # A text that was cut in the middle of a character cannot be written.
    return text.replace("\n", "\\n").encode("utf-8", "replace").decode("utf-8")


def folded(line: str) -> str:
    r"""A line cut into lines of at most 75 octets, each after the first begun by a space; no character is cut in two.

    >>> [len(part) for part in folded("x" * 160).split("\r\n")]
    [75, 75, 12]
    """
    parts, part, room = [], "", LINE_OCTETS
    for character in line:
        octets = len(character.encode("utf-8"))
        if octets > room:
            parts.append(part)
            part, room = "", LINE_OCTETS - 1
        part, room = part + character, room - octets
    return "\r\n ".join([*parts, part])


def _runs(dated: Dated) -> Iterator[tuple[datetime.date, datetime.date]]:
    """First and last day of each event."""
    kind = dated.task.kind
    if kind == ORDER:
        yield dated.late_start, dated.late_start
    elif kind == VISIT:
        yield dated.finish, dated.finish
    elif not dated.worked:
        yield dated.start, dated.finish
    else:
        first = last = dated.worked[0].date
        for worked in dated.worked[1:]:
            if worked.date.toordinal() != last.toordinal() + 1:
                yield first, last
                first = worked.date
            last = worked.date
        yield first, last


def _event(
    programme: Programme, dated: Dated, slug: str, number: int, first: datetime.date, last: datetime.date, made: str,
) -> Iterable[str]:
    task = dated.task
    yield "BEGIN:VEVENT"
    # Made of names that stay when dates move, so that a calendar read again puts the event on its new day.
    yield f"UID:{escaped('-'.join((slug, programme.scheme, *task.key.split(), str(number))))}@soleplate.invalid"
    yield f"DTSTAMP:{made}"
    yield f"DTSTART;VALUE=DATE:{_date(first)}"
    # The end is the first day that is no longer part of it.
    yield f"DTEND;VALUE=DATE:{_date(last + datetime.timedelta(days=1))}"
    yield f"SUMMARY:{escaped(task.name or task.key)}"
    words = [task.words] if task.words else []
    if task.kind == ORDER:
        words.insert(0, "The last day to order without making the end later.")
    elif dated.critical:
        words.append("If this slips, the end slips.")
    else:
        words.append(f"May slip until {dated.late_start.isoformat()} without making the end later.")
    yield f"DESCRIPTION:{escaped(' '.join(words))}"
    yield f"CATEGORIES:{_CATEGORY.get(task.kind, 'work')}"
    yield f"TRANSP:{'OPAQUE' if task.is_work else 'TRANSPARENT'}"
    yield "END:VEVENT"


def _date(day: datetime.date) -> str:
    return f"{day.year:04d}{day.month:02d}{day.day:02d}"
