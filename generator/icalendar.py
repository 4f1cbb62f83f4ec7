"""The programme as a calendar file that any calendar reads (RFC 5545): all-day events, nothing else.

The name of the whole is of RFC 7986.

Nothing here reads a clock: the stamp is given, so that the same programme
gives the same file.
"""

from __future__ import annotations

import datetime
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from calculators.order_list import Delivery
from calculators.programme import ORDER, POURING, VISIT, WAIT, Dated, Programme
from generator.dates import date_words
from generator.problems import plain_text

LINE_OCTETS = 75
PRODUCT = "-//soleplate//programme//EN"
# Control characters have no place in text (RFC 5545, 3.3.11); a tab is one that does.
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
# What some readers take for the end of a line.
_LINE_ENDS = re.compile("\r\n|[\r\u0085\u2028\u2029]")
_CATEGORY = {WAIT: "wait", VISIT: "inspection", ORDER: "order", POURING: "pour"}


def calendar_file(comparison, result, job) -> str:
    """The calendar file of a scheme's programme.

    comparison; result, of a scheme within limits; job, its `Job`.  Nothing
    dates a build, so the file is stamped with the day of the prices: the first
    of its month where they have no day.
    """
    scenario = comparison.scenario
    dated = [int(part) for part in scenario.schedule.dated.split("-")]
    stamp = datetime.datetime(dated[0], dated[1], dated[2] if len(dated) > 2 else 1, tzinfo=datetime.timezone.utc)
    return calendar_text(job.programme, f"{plain_text(scenario.title)}: {result.title}", scenario.slug, stamp, job.deliveries)


def calendar_text(programme: Programme, title: str, slug: str, stamp: datetime.datetime, deliveries: Sequence[Delivery] = ()) -> str:
    """The dated tasks, and the deliveries, as one iCalendar text, its lines ended by CR LF.

    `title` is the scenario's; `slug` tells its events from those of another
    plot.  `stamp`, with its time zone, says when the file was made.  Work has
    one event for every run of days on which it goes on, an order the last
    day that brings it in time, a wait all its days, an inspection its last day.
    Raises ValueError for a stamp without a time zone.
    """
    if stamp.utcoffset() is None:
        raise ValueError("the stamp of a calendar needs a time zone, like 2026-04-25T08:00:00+00:00")
    made = stamp.astimezone(datetime.timezone.utc).strftime("%Y%m%dT%H%M%SZ")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{PRODUCT}", "CALSCALE:GREGORIAN", f"NAME:{escaped(title)}"]
    for dated in programme.dates.tasks:
        for number, (first, last) in enumerate(event_days(dated), start=1):
            lines += _event(programme, dated, slug, number, first, last, made)
    numbers: Counter[str] = Counter()
    for delivery in deliveries:
        if not delivery.loads:
            # A notice, a fee: nothing comes.
            continue
        numbers[delivery.for_task] += 1
        lines += _framed(
            programme, slug, ("delivery", delivery.for_task, str(numbers[delivery.for_task])), delivery.arrives, delivery.arrives, made,
            f"Lorry: {delivery.supplier}", "; ".join(line.what for line in delivery.lines), "delivery", False)
    lines.append("END:VCALENDAR")
    return "".join(f"{folded(line)}\r\n" for line in lines)


def escaped(text: str) -> str:
    r"""Text as a value: backslash, semicolon, comma and line ends escaped, control characters left out.

    >>> escaped("Stone, 8 t; sand\nfrom the yard")
    'Stone\\, 8 t\\; sand\\nfrom the yard'
    """
    text = _CONTROL.sub("", _LINE_ENDS.sub("\n", text))
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


def event_days(dated: Dated) -> Iterator[tuple[datetime.date, datetime.date]]:
    """First and last day of each event of a task."""
    if dated.task.kind == ORDER:
        yield dated.order_by, dated.order_by
    elif dated.task.kind == VISIT:
        yield dated.finish, dated.finish
    else:
        yield from worked_runs(dated)


def worked_runs(dated: Dated) -> Iterator[tuple[datetime.date, datetime.date]]:
    """First and last day of each run of days on which a task goes on without a break; all its days where it waits."""
    if not dated.worked:
        yield dated.start, dated.finish
        return
    first = last = dated.worked[0].date
    for worked in dated.worked[1:]:
        if worked.date.toordinal() > last.toordinal() + 1:
            yield first, last
            first = worked.date
        last = worked.date
    yield first, last


def _event(programme: Programme, dated: Dated, slug: str, number: int, first: datetime.date, last: datetime.date, made: str) -> Iterable[str]:
    task = dated.task
    words = [task.words] if task.words else []
    if task.kind == ORDER:
        words.insert(0, f"The last day to order it for {date_words(dated.wanted)}, when it is wanted.")
    elif dated.critical:
        words.append("If this slips by a day, the end slips.")
    else:
        words.append(f"May begin as late as {date_words(dated.late_start)} without making the end later.")
    return _framed(
        programme, slug, (task.key, str(number)), first, last, made, task.name or task.key, " ".join(words), _CATEGORY.get(task.kind, "work"), task.is_work)


def _framed(
    programme: Programme, slug: str, names: tuple[str, ...], first: datetime.date, last: datetime.date, made: str,
    summary: str, description: str, category: str, busy: bool,
) -> Iterable[str]:
    """The lines of one event."""
    yield "BEGIN:VEVENT"
    # Made of names that stay when dates move, so that a calendar read again puts the event on its new day.
    yield f"UID:{escaped('-'.join((slug, programme.scheme, *' '.join(names).split())))}@soleplate.invalid"
    yield f"DTSTAMP:{made}"
    yield f"DTSTART;VALUE=DATE:{_date(first)}"
    # The end is the first day that is no longer part of it.
    yield f"DTEND;VALUE=DATE:{_date(last + datetime.timedelta(days=1))}"
    yield f"SUMMARY:{escaped(summary)}"
    yield f"DESCRIPTION:{escaped(description)}"
    yield f"CATEGORIES:{category}"
    yield f"TRANSP:{'OPAQUE' if busy else 'TRANSPARENT'}"
    yield "END:VEVENT"


def _date(day: datetime.date) -> str:
    return f"{day.year:04d}{day.month:02d}{day.day:02d}"
