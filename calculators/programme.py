"""The programme: what follows what, what must wait, and on which days one pair of hands gets it done.

Two answers are kept apart.  The path through the network takes every day
alike and any number of hands: it says what depends on what.  The dated
programme has the owner do one task at a time, on the days of his calendar;
concrete hardens, and inspectors come, on days when he does not work.  Lorries
come on fewer days than he works: nothing is poured or delivered on a Sunday.

Dates come in and go out as the calendar dates of the standard library; nothing
here asks what day it is.  A day is held as its ordinal number.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from calculators.pricing import (
    DAY_H, DIG, DRAIN, FINISH, POUR, POURS, PREPARE, STEEL, STONE, WALLS, BillLine,
)
from calculators.site import Site
from calculators.soils import SOILS
from calculators.sources import COMMON_PRACTICE, Sourced, common_practice
from calculators.weather import FROST_NIGHT_C, place_of, season_month, usual_month
from calculators.yardsticks import INSPECTIONS, RAFT

INSPECTION_WEEKDAYS = common_practice(2.0, "day", "From the notice to the inspector's visit, on weekdays; ask your building control body.")
FOOTING_CURE_DAYS = common_practice(3.0, "day", "Footing concrete, before blocks are laid on it; twice as long near freezing.")
SLAB_CURE_DAYS = common_practice(7.0, "day", "Slab concrete kept covered and damp, before anything is built on it; twice as long near freezing.")
MORTAR_DAYS = common_practice(7.0, "day", "Mortar of a wall, before anything is compacted against it; twice as long near freezing.")
PLANT_LEAD_DAYS = common_practice(7.0, "day", "From the order of a digger to its coming.")
STONE_LEAD_DAYS = common_practice(3.0, "day", "From the order of stone to its coming.")
SHEET_LEAD_DAYS = common_practice(7.0, "day", "From the order of steel, membrane and boards to their coming.")
CONCRETE_LEAD_DAYS = common_practice(7.0, "day", "From the order of concrete to the pour; confirmed again the day before.")
BLOCK_LEAD_DAYS = common_practice(7.0, "day", "From the order of blocks to their coming.")

LEAST_HOURS_A_DAY, MOST_HOURS_A_DAY, MOST_WAIT_DAYS, MOST_TASK_H = 0.5, 16.0, 1000.0, 10000.0
# A calendar with nothing to work on for so long is taken for a mistake, and so is a job that goes on for so long.
LONGEST_BREAK_DAYS = 400
LONGEST_JOB_DAYS = 7305
FIRST_YEAR, LAST_YEAR = 1900, 2200
NOTHING = 1e-9

LEAST_HANDS = common_practice(2.0, "people", "Nobody pours alone.")
MOST_HANDS = common_practice(8.0, "people", "More get in each other's way round a small slab.")

WORK, POURING, WAIT, VISIT, ORDER = "work", "pour", "wait", "visit", "order"
KINDS: dict[str, str] = {
    WORK: "The owner's hours, begun one day and gone on with the next working day.",
    POURING: "The owner's hours, all on one day that has nothing else in it, no Sunday and no holiday; other work stops for it and goes on afterwards.",
    WAIT: "Days of the calendar, whole ones; seven from a Saturday end on the next Saturday morning.",
    VISIT: "Weekdays that are no holiday, after the day on which the work before it ends; the last of them is the visit.",
    ORDER: "Days of the calendar, whole ones, from the order to the delivery, which comes on no Sunday and no holiday. The last day to order is a weekday.",
}


class Date(Protocol):
    """What a calendar date must be able to do: the standard library's can."""

    year: int
    month: int

    def toordinal(self) -> int:
        """Days since the beginning of the calendar."""


@dataclass(frozen=True)
class Task:
    """One task: `days` is its length where it waits, `own_hours` and `helper_hours` where it is work; `after` names the tasks that must be finished.

    A helper works beside the owner, so work lasts as long as the owner's
    hours, or the helpers' where the owner has none.
    """

    key: str
    name: str = ""
    kind: str = WORK
    stage: str = ""
    days: float = 0.0
    own_hours: float = 0.0
    helper_hours: float = 0.0
    after: tuple[str, ...] = ()
    words: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"the kind of a task must be {', '.join(KINDS)}, not {self.kind!r}")
        if not 0.0 <= self.days <= MOST_WAIT_DAYS:
            raise ValueError(f"{self.key}: a task's days must be from 0 to {MOST_WAIT_DAYS:g}, not {self.days}")
        for hours in (self.own_hours, self.helper_hours):
            if not 0.0 <= hours <= MOST_TASK_H:
                raise ValueError(f"{self.key}: a task's hours must be from 0 to {MOST_TASK_H:g}, not {hours}")

    @property
    def hours(self) -> float:
        """Hours that the work lasts."""
        return self.own_hours or self.helper_hours

    @property
    def is_work(self) -> bool:
        """Whether hands are wanted."""
        return self.kind in (WORK, POURING)


# The path through the network.


@dataclass(frozen=True)
class Timing:
    """When a task can start and finish, and when it must, days after the start of the whole; `float_days` is what it may slip."""

    early_start: float
    early_finish: float
    late_start: float
    late_finish: float
    float_days: float

    @property
    def critical(self) -> bool:
        """Whether any slip makes the whole later."""
        return self.float_days <= NOTHING * max(1.0, self.late_finish)


def critical_path(tasks: Sequence[Task], hours_a_day: float = DAY_H.value) -> dict[str, Timing]:
    """Early and late start and finish of every task, every day alike and hands for all.

    tasks: in any order, none at all allowed; hours_a_day: h, 0.5 to 16.
     A task lasts its days and its hours at so many a day.  Returns days
    after the start of the whole, by key, in the order given.
    Raises ValueError for a key given twice, a task after one that is not
    there, a circle (its keys named), and hours a day outside the range.
    Source: Kelley and Walker (1959), critical path planning, from memory.

    >>> path = critical_path([Task("dig", days=2.0), Task("order", days=5.0), Task("pour", days=1.0, after=("dig", "order"))])
    >>> path["dig"].float_days, path["pour"].early_start, [key for key, timing in path.items() if timing.critical]
    (3.0, 5.0, ['order', 'pour'])
    """
    _check_hours_a_day(hours_a_day)
    order = _in_order(tasks)
    lasts = {task.key: task.days + task.hours / hours_a_day for task in tasks}
    early: dict[str, float] = {}
    for task in order:
        early[task.key] = max((early[key] + lasts[key] for key in task.after), default=0.0)
    end = max((early[key] + lasts[key] for key in early), default=0.0)
    late_finish = {task.key: end for task in tasks}
    for task in reversed(order):
        for key in task.after:
            late_finish[key] = min(late_finish[key], late_finish[task.key] - lasts[task.key])
    return {
        task.key: Timing(early[task.key], early[task.key] + lasts[task.key], late_finish[task.key] - lasts[task.key], late_finish[task.key],
                         max(0.0, late_finish[task.key] - lasts[task.key] - early[task.key]))
        for task in tasks}


def slack_days(names: Sequence[str], durations_days: Sequence[float], after: Sequence[str]) -> tuple[float, ...]:
    """Float of each activity of a network.

    names; durations_days: one each, days, 0 or more; after: for each, the
    names before it with spaces between, or `-` for none (words, no unit).
    Returns days, in the order of the names.
    Raises ValueError as `critical_path`, and for lists of different lengths.
    Source: Kelley and Walker (1959), critical path planning, from memory.

    >>> slack_days(("A", "B", "C"), (2.0, 5.0, 1.0), ("-", "-", "A B"))
    (3.0, 0.0, 0.0)
    """
    return tuple(timing.float_days for timing in critical_path(_network(names, durations_days, after)).values())


def least_time_days(names: Sequence[str], durations_days: Sequence[float], after: Sequence[str]) -> float:
    """The least time in which a network is done.

    names (no unit); durations_days (days); after: as for `slack_days`.  Returns days.
    Raises ValueError as `slack_days`.
    Source: Kelley and Walker (1959), critical path planning, from memory.

    >>> least_time_days(("A", "B", "C"), (2.0, 5.0, 1.0), ("-", "-", "A B"))
    6.0
    """
    return max((timing.early_finish for timing in critical_path(_network(names, durations_days, after)).values()), default=0.0)


def _network(names: Sequence[str], durations_days: Sequence[float], after: Sequence[str]) -> list[Task]:
    if not len(names) == len(durations_days) == len(after):
        raise ValueError(f"each activity needs a name, a duration and what it follows, not {len(names)}, {len(durations_days)} and {len(after)}")
    return [Task(name, days=days, after=() if before == "-" else tuple(before.split())) for name, days, before in zip(names, durations_days, after)]


def _in_order(tasks: Sequence[Task]) -> list[Task]:
    """The tasks with each after those it follows, else as given."""
    by_key: dict[str, Task] = {}
    for task in tasks:
        if task.key in by_key:
            raise ValueError(f"two tasks are called {task.key}")
        by_key[task.key] = task
    for task in tasks:
        for key in task.after:
            if key not in by_key:
                raise ValueError(f"{task.key} follows {key}, which is not a task")
    order: list[Task] = []
    placed: set[str] = set()
    waiting = list(tasks)
    while waiting:
        ready = [task for task in waiting if placed.issuperset(task.after)]
        if not ready:
            raise ValueError(f"these tasks follow one another in a circle: {' after '.join(_circle(waiting, placed))}")
        order += ready
        placed.update(task.key for task in ready)
        waiting = [task for task in waiting if task.key not in placed]
    return order


def _circle(waiting: Sequence[Task], placed: set[str]) -> list[str]:
    """One circle among tasks of which each follows another of them; the first is named again at the end."""
    by_key = {task.key: task for task in waiting}
    walked = [waiting[0].key]
    while walked[-1] not in walked[:-1]:
        walked.append(next(key for key in by_key[walked[-1]].after if key not in placed))
    return walked[walked.index(walked[-1]):]


# Dates.


def _check_hours_a_day(hours: float) -> None:
    if not LEAST_HOURS_A_DAY <= hours <= MOST_HOURS_A_DAY:
        raise ValueError(f"hours a day must be from {LEAST_HOURS_A_DAY:g} to {MOST_HOURS_A_DAY:g}, not {hours}")


def _check_date(what: str, day: object) -> None:
    # A time of day would be dropped without a word.
    if not hasattr(day, "toordinal") or hasattr(day, "hour"):
        raise ValueError(f"{what} must be a date without a time, like 2026-04-25, not {day!r}")


MONDAY_TO_FRIDAY, MONDAY_TO_SATURDAY = frozenset(range(5)), frozenset(range(6))


@dataclass(frozen=True)
class Calendar:
    """The days on which the owner works: `weekdays` (Monday is 0), `hours_a_day` (h), holidays as dates, months (1 to 12) in which nothing is done.

    `lorry_weekdays` are those on which suppliers bring concrete and everything else.
    """

    weekdays: frozenset[int]
    hours_a_day: float = DAY_H.value
    holidays: frozenset[Date] = field(default_factory=frozenset)
    months_off: frozenset[int] = frozenset()
    lorry_weekdays: frozenset[int] = MONDAY_TO_SATURDAY

    def __post_init__(self) -> None:
        _check_hours_a_day(self.hours_a_day)
        if not self.weekdays or not self.weekdays <= set(range(7)):
            raise ValueError(f"the days worked must be some of 0 (Monday) to 6 (Sunday), not {sorted(self.weekdays)}")
        if not self.lorry_weekdays or not self.lorry_weekdays <= set(range(7)):
            raise ValueError(f"the days on which lorries come must be some of 0 (Monday) to 6 (Sunday), not {sorted(self.lorry_weekdays)}")
        if not self.months_off < set(range(1, 13)):
            raise ValueError(f"months off must be some of 1 to 12 but not all, not {sorted(self.months_off)}")
        for day in self.holidays:
            _check_date("a holiday", day)


# By the words in which a reader says when he works.
CALENDAR_BY_NAME: dict[str, Calendar] = {
    "weekends": Calendar(frozenset({5, 6})),
    "weekdays": Calendar(MONDAY_TO_FRIDAY),
    "every day": Calendar(frozenset(range(7))),
}


@dataclass(frozen=True)
class WorkedDay:
    """Hours that one task takes of one day."""

    date: Date
    own_hours: float
    helper_hours: float


@dataclass(frozen=True)
class Dated:
    """A task with its dates, first and last day included.

    `start` and `finish` are the earliest; `late_start` and `late_finish` the
    latest that leave the end of the whole where it is.  `float_days` are days
    of the calendar from `start` to `late_start`; without any the task is
    `critical`, though hours of its day may be left.  `worked` has the days with
    their hours, empty where it waits.  An order can be given on any day from
    its `start`; `order_by` is the last weekday that brings it by `wanted`, the
    last day of lorries before the work that it is for, as that is dated: where
    the whole starts on a Saturday, that may be the day before.
    Both are None for what is no order.
    """

    task: Task
    start: Date
    finish: Date
    late_start: Date
    late_finish: Date
    float_days: int
    critical: bool
    worked: tuple[WorkedDay, ...]
    order_by: Date | None = None
    wanted: Date | None = None


@dataclass(frozen=True)
class Week:
    """Hours of the seven days from a Monday: of a weekend builder, one weekend; `available_hours` are those that the calendar has in it."""

    monday: Date
    own_hours: float
    helper_hours: float
    available_hours: float


@dataclass(frozen=True)
class Dates:
    """The dated tasks in the order in which they start, when the whole ends, and the hours of every week that has some."""

    tasks: tuple[Dated, ...]
    start: Date
    finish: Date
    weeks: tuple[Week, ...]

    @property
    def begins(self) -> Date:
        """The first day on which anything is worked on; the start where nothing is."""
        return min((worked.date for dated in self.tasks for worked in dated.worked), key=lambda day: day.toordinal(), default=self.start)

    def task(self, key: str) -> Dated:
        """The dated task of a key; raises KeyError."""
        for dated in self.tasks:
            if dated.task.key == key:
                return dated
        raise KeyError(key)


# A point in working time: the day, and the hours of it that are gone.
Moment = tuple[int, float]
# What is worked on one task on one day: the day, and the hours of it that are gone before and after.
_Piece = tuple[int, float, float]


class _Days:
    """A calendar in ordinals; goes forwards and backwards in working time.  A day that a pour has `taken` is no longer worked."""

    def __init__(self, calendar: Calendar, start: Date):
        self.hours_a_day = calendar.hours_a_day
        self.weekdays, self.months_off, self.lorry_weekdays = calendar.weekdays, calendar.months_off, calendar.lorry_weekdays
        self.holidays = {day.toordinal() for day in calendar.holidays}
        self.date = type(start).fromordinal
        self.last = start.toordinal() + LONGEST_JOB_DAYS
        self.taken: set[int] = set()

    def works(self, day: int) -> bool:
        return weekday(day) in self.weekdays and day not in self.holidays and day not in self.taken and self.date(day).month not in self.months_off

    def delivers(self, day: int) -> bool:
        return weekday(day) in self.lorry_weekdays and day not in self.holidays

    def pours(self, day: int) -> bool:
        return self.works(day) and self.delivers(day)

    def answers(self, day: int) -> bool:
        """Whether an inspector or a supplier is at work."""
        return weekday(day) in MONDAY_TO_FRIDAY and day not in self.holidays

    def nearest(self, day: int, fits, step: int) -> int:
        """The first day from this one on, or back, that fits."""
        for _ in range(LONGEST_BREAK_DAYS):
            if day > self.last:
                raise ValueError(f"with so little time in the calendar the work would go on past {self.date(self.last)}; it needs more hours a day, more days or fewer months off")
            if fits(day):
                return day
            day += step
        what = "work on" if fits == self.works else "pour on: lorries with concrete come on no Sunday and no holiday" if fits == self.pours else "be had from others"
        raise ValueError(f"the calendar has no day to {what} for {LONGEST_BREAK_DAYS} days up to {self.date(day)}")

    def open(self, at: Moment, whole_day: bool = False) -> Moment:
        """The first moment from this one on at which work can begin, or on a whole day a pour."""
        day, gone = at
        if gone >= self.hours_a_day - NOTHING or (whole_day and gone > NOTHING):
            day, gone = day + 1, 0.0
        worked = self.nearest(day, self.pours if whole_day else self.works, 1)
        return (worked, gone if worked == day else 0.0)

    def shut(self, at: Moment, whole_day: bool = False) -> Moment:
        """The last moment up to this one at which work can end, or on a whole day a pour."""
        day, gone = at
        if gone <= NOTHING or (whole_day and gone < self.hours_a_day - NOTHING):
            day, gone = day - 1, self.hours_a_day
        worked = self.nearest(day, self.pours if whole_day else self.works, -1)
        return (worked, gone if worked == day else self.hours_a_day)

    def pieces(self, hours: float, at: Moment) -> list[_Piece]:
        """What is worked on each day, of work that begins at a moment."""
        day, gone = self.open(at)
        left, found = hours, []
        while True:
            take = min(left, self.hours_a_day - gone)
            found.append((day, gone, gone + take))
            left -= take
            if left <= NOTHING:
                return found
            day, gone = self.open((day, self.hours_a_day))

    def begun(self, task: Task, end: Moment) -> Moment:
        """The latest moment at which work can begin that must end by another."""
        day, gone = self.shut(end, task.kind == POURING)
        if task.kind == POURING:
            return (day, 0.0)
        left = task.hours
        while left > gone + NOTHING:
            left -= gone
            day, gone = self.shut((day, 0.0))
        return (day, max(0.0, gone - left))

    def waited(self, task: Task, at: Moment) -> Moment:
        """The morning on which a wait that begins at a moment is over."""
        count = math.ceil(task.days - NOTHING)
        if count == 0:
            return at
        if task.kind == ORDER:
            return (self.nearest(at[0] + count, self.delivers, 1), 0.0)
        if task.kind != VISIT:
            return (at[0] + count, 0.0)
        # A morning has its own day still before it.
        day = at[0] if at[1] > NOTHING else at[0] - 1
        for _ in range(count):
            day = self.nearest(day + 1, self.answers, 1)
        return (day + 1, 0.0)

    def wait_begun(self, task: Task, by: Moment) -> Moment:
        """The latest moment at which a wait can begin that must be over by another."""
        count, day = math.ceil(task.days - NOTHING), by[0]
        if count == 0:
            return by
        if task.kind == ORDER:
            return (self.nearest(day, self.delivers, -1) - count, self.hours_a_day)
        if task.kind != VISIT:
            return (day - count, self.hours_a_day)
        for _ in range(count):
            day = self.nearest(day - 1, self.answers, -1)
        return (day - 1, self.hours_a_day)


def weekday(day: int) -> int:
    """Weekday of a day by its ordinal in the calendar.

    day: ordinal, no unit, 1 for the first of January of the year 1, a Monday.
    Returns 0 (Monday) to 6 (Sunday), no unit.  Source: Gregorian calendar, by definition.

    >>> weekday(1), weekday(739346)
    (0, 5)
    """
    return (day - 1) % 7


def schedule(tasks: Sequence[Task], start_date: Date, calendar: Calendar) -> Dates:
    """The dates of tasks that one person does one after another, with waits between.

    tasks: as for `critical_path`, none at all allowed; start_date: a date of the
    years 1900 to 2200, the first on which anything is done; calendar: hours a
    day, h.  A pour goes first: as soon as what it follows is dated it takes the
    next day on which lorries come and nothing has been begun, and other work
    goes on round it.  It may take more hours than the day has: then it wants
    more hands.  Of the other tasks that can be begun, the one that can be begun
    first goes first, and of those the one with least slack.  Work goes over
    into the next working day.
    Returns dates, hours (h) and float (days).  The late dates hold with the
    work in that order.
    Raises ValueError as `critical_path`, for a start that is no date or outside
    those years, for a calendar in which for 400 days there is no day to work or
    to pour on, and for work that goes on for more than 20 years.
    Source: definition of the guide; the early and late dates as in `critical_path`.

    >>> from datetime import date
    >>> tasks = [Task("pour", kind=POURING, own_hours=5.0), Task("cure", kind=WAIT, days=7.0, after=("pour",)), Task("build", own_hours=10.0, after=("cure",))]
    >>> dates = schedule(tasks, date(2025, 5, 1), CALENDAR_BY_NAME["weekends"])
    >>> [(each.task.key, str(each.start), str(each.finish)) for each in dates.tasks]
    [('pour', '2025-05-03', '2025-05-03'), ('cure', '2025-05-03', '2025-05-09'), ('build', '2025-05-10', '2025-05-11')]
    """
    _check_date("a start", start_date)
    if not FIRST_YEAR <= start_date.year <= LAST_YEAR:
        raise ValueError(f"a start must be of the years {FIRST_YEAR} to {LAST_YEAR}, not {start_date}")
    days, path, by_key = _Days(calendar, start_date), critical_path(tasks, calendar.hours_a_day), {task.key: task for task in tasks}
    began: Moment = (start_date.toordinal(), 0.0)
    first: dict[str, Moment] = {}
    ended: dict[str, Moment] = {}
    pieces: dict[str, list[_Piece]] = {}
    free = began
    left = [task.key for task in tasks]
    while left:
        ready = [key for key in left if all(before in ended for before in by_key[key].after)]
        reached = {key: max((ended[before] for before in by_key[key].after), default=began) for key in ready}
        # Whatever is dated may let in work that comes before what was ready till now: waits and pours are dated one round before work.
        others = [key for key in ready if by_key[key].kind != WORK]
        for key in others:
            if by_key[key].kind == POURING:
                first[key] = days.open(max(free, reached[key]), whole_day=True)
                ended[key] = (first[key][0], calendar.hours_a_day)
                pieces[key] = [(first[key][0], 0.0, calendar.hours_a_day)]
                days.taken.add(first[key][0])
            else:
                first[key], ended[key] = reached[key], days.waited(by_key[key], reached[key])
            left.remove(key)
        if others:
            continue
        opens = {key: days.open(max(free, reached[key])) for key in ready}
        key = min(ready, key=lambda key: (opens[key], path[key].float_days, left.index(key)))
        pieces[key] = days.pieces(by_key[key].hours, opens[key])
        first[key], ended[key] = pieces[key][0][:2], (pieces[key][-1][0], pieces[key][-1][2])
        free = ended[key]
        left.remove(key)
    finish = max(ended.values(), default=began)
    late = _late(tasks, first, pieces, _Days(calendar, start_date), finish)
    dated = [_dated(by_key[key], days.date, first[key], ended[key], late[key], pieces.get(key, [])) for key in by_key]
    dated = [_ordered(each, days, [first[other.key] for other in tasks if each.task.key in other.after]) if each.task.kind == ORDER else each for each in dated]
    dated.sort(key=lambda each: (first[each.task.key], ended[each.task.key]))
    last = max((each.finish.toordinal() for each in dated), default=began[0])
    return Dates(tuple(dated), start_date, days.date(last), _weeks(dated, _Days(calendar, start_date)))


def _stretches(tasks: Sequence[Task], pieces: Mapping[str, Sequence[_Piece]]) -> tuple[list[Task], dict[str, list[str]]]:
    """The tasks with work that a pour interrupts cut into stretches, each after what the same hands do before it; and the keys that each task became."""
    by_key = {task.key: task for task in tasks}
    # Work of no hours stands at the moment at which the next begins; pieces keep the order in which they were given out.
    worked = sorted(((day, gone, place, to, key) for place, (key, own) in enumerate(pieces.items()) for day, gone, to in own), key=lambda each: each[:3])
    hours: list[tuple[str, float]] = []
    for _, gone, _, to, key in worked:
        if hours and hours[-1][0] == key:
            hours[-1] = (key, hours[-1][1] + to - gone)
        else:
            hours.append((key, to - gone))
    names: dict[str, list[str]] = {task.key: [] if task.is_work else [task.key] for task in tasks}
    order = []
    for key, _ in hours:
        names[key].append(f"{key}\0{len(names[key])}")
        order.append(names[key][-1])
    cut = []
    for place, (name, (key, lasts)) in enumerate(zip(order, hours)):
        before = order[place - 1:place] if place else []
        # Of what a task follows, the last stretch; its own later stretches follow in the chain of hands.
        after = [names[other][-1] for other in by_key[key].after] if name == names[key][0] else []
        cut.append(replace(by_key[key], key=name, own_hours=lasts, helper_hours=0.0, after=tuple(dict.fromkeys((*after, *before)))))
    waits = [replace(task, after=tuple(names[other][-1] for other in task.after)) for task in tasks if not task.is_work]
    return cut + waits, names


def _late(
    tasks: Sequence[Task], first: Mapping[str, Moment], pieces: Mapping[str, Sequence[_Piece]], days: _Days, finish: Moment,
) -> dict[str, tuple[Moment, Moment]]:
    """Latest start and end of each task, the work in the order in which it was given out; `first` are the earliest starts."""
    cut, names = _stretches(tasks, pieces)
    end = {task.key: finish for task in cut}
    found: dict[str, tuple[Moment, Moment]] = {}
    for task in reversed(_in_order(cut)):
        by = end[task.key]
        if task.is_work:
            takes_time = task.hours > 0.0 or task.kind == POURING
            by = days.shut(by, task.kind == POURING) if takes_time else by
            begin = days.begun(task, by) if takes_time else by
        else:
            begin = days.wait_begun(task, by)
            by = days.waited(task, begin)
            if task.kind == ORDER:
                # Nobody takes an order at the weekend.
                begin = max(first[task.key], (days.nearest(begin[0], days.answers, -1), begin[1]))
        found[task.key] = (begin, by)
        for key in task.after:
            end[key] = min(end[key], begin)
    return {task.key: (found[names[task.key][0]][0], found[names[task.key][-1]][1]) for task in tasks}


def _dated(task: Task, date, first: Moment, ended: Moment, late: tuple[Moment, Moment], pieces: Sequence[_Piece]) -> Dated:
    # A day that ends at its morning is not one of the task's; a delivery comes on that morning.
    over = 1 if task.kind in (WAIT, VISIT) and task.days > NOTHING else 0
    # Nor has what takes no time a day of its own that has only begun.
    takes_time = task.kind == POURING or (task.hours if task.is_work else task.days) > NOTHING
    late_over = 0 if takes_time or late[1][1] > NOTHING else 1
    start, finish = first[0], ended[0] - over
    last_start = max(start, late[0][0] - late_over)
    last_finish = max(finish, late[1][0] - over - late_over)
    lasts = math.fsum(to - gone for _, gone, to in pieces)
    worked = tuple(
        WorkedDay(date(day), task.own_hours * share, task.helper_hours * share)
        for day, gone, to in pieces for share in [(to - gone) / lasts if lasts > 0.0 else 0.0])
    return Dated(task, date(start), date(finish), date(last_start), date(last_finish), last_start - start, last_start == start, worked)


def _ordered(dated: Dated, days: _Days, wanted_at: Sequence[Moment]) -> Dated:
    """An order with the days that suit the work as dated."""
    wanted = days.nearest(min(wanted_at, default=(dated.finish.toordinal(), 0.0))[0], days.delivers, -1)
    last = days.nearest(wanted - math.ceil(dated.task.days - NOTHING), days.answers, -1)
    return replace(dated, order_by=days.date(last), wanted=days.date(wanted))


def _weeks(dated: Iterable[Dated], days: _Days) -> tuple[Week, ...]:
    hours: dict[int, tuple[float, float]] = {}
    for each in dated:
        for worked in each.worked:
            day = worked.date.toordinal()
            own, helper = hours.get(day - weekday(day), (0.0, 0.0))
            hours[day - weekday(day)] = (own + worked.own_hours, helper + worked.helper_hours)
    return tuple(
        Week(days.date(monday), *hours[monday], days.hours_a_day * sum(map(days.works, range(monday, monday + 7))))
        for monday in sorted(hours) if any(hours[monday]))


def hands_wanted(task: Task, hours_a_day: float) -> int:
    """How many people get a pour done in one day, the owner among them.

    task: its hours, h, the owner's and the helpers' together; hours_a_day: h,
    0.5 to 16.  Returns a whole number of people, no unit, 2 or more.
    Raises ValueError for hours a day outside the range.
    Source: the hours of all over the hours of one, by definition; never one alone, common practice, no source.

    >>> hands_wanted(Task("pour", kind=POURING, own_hours=7.8, helper_hours=12.2), 7.0), hands_wanted(Task("pour", kind=POURING, own_hours=1.0), 7.0)
    (3, 2)
    """
    _check_hours_a_day(hours_a_day)
    return max(int(LEAST_HANDS.value), math.ceil((task.own_hours + task.helper_hours) / hours_a_day - NOTHING))


def last_lorry_day(day: Date, holidays: Collection[Date] = ()) -> Date:
    """The last day up to another on which lorries come.

    day; holidays: dates.  Returns a date, no unit: no Sunday and no holiday.
    Raises ValueError for what is no date, and where there is no such day in 400 days.
    Source: suppliers' usual days, common practice, no source.

    >>> from datetime import date
    >>> str(last_lorry_day(date(2027, 4, 18))), str(last_lorry_day(date(2027, 4, 18), [date(2027, 4, 17)]))
    ('2027-04-17', '2027-04-16')
    """
    _check_date("a day", day)
    days = _Days(Calendar(frozenset(range(7)), holidays=frozenset(holidays)), day)
    return days.date(days.nearest(day.toordinal(), days.delivers, -1))


def frost_months(region: str, latitude_deg: float | None = None) -> frozenset[int]:
    """The months in which some nights usually freeze.

    region: england, ireland, us or eurocode; latitude_deg: -90 to 90, north
    above 0, None for the region's.  Returns months, 1 to 12, no unit.  Frost
    comes in other months too, and in hollows: the forecast decides.
    Raises ValueError for another region or latitude.
    Source: `weather.PLACES` and `weather.FROST_NIGHT_C`.

    >>> sorted(frost_months("eurocode")), sorted(frost_months("eurocode", -37.0))
    ([1, 2, 3, 12], [6, 7, 8, 9])
    """
    latitude = place_of(region).latitude_deg if latitude_deg is None else latitude_deg
    return frozenset(month for month in range(1, 13) if usual_month(region, season_month(month, latitude)).low_c <= FROST_NIGHT_C.value)


# The tasks of a scheme.


@dataclass(frozen=True)
class _Rule:
    """How lines of the bill become one task."""

    key: str
    name: str
    stage: str
    lines: tuple[str, ...]
    kind: str = WORK
    words: str = ""


_WORKS: tuple[_Rule, ...] = (
    _Rule("set out", "Set out", PREPARE, ("setting out", "fee", "ground mats")),
    _Rule("break out", "Break out old concrete", DIG, ("breaker", "break out", "rubble"), words="Trace buried services before anything is broken or dug."),
    _Rule("dig", "Dig and trim", DIG, ("digger", "plate", "plant delivery", "topsoil", "reduce dig", "trench dig", "soft spots", "trim", "spoil"),
          words="Trace buried services first. Nobody goes into a trench that could fall in, however shallow."),
    _Rule("footing pour", "Pour the footings", POUR, ("footing concrete",), POURING, "Wet concrete burns skin: boots, gloves, long sleeves."),
    _Rule("walls", "Lay blocks and damp-proof course", WALLS, ("blocks", "mortar", "damp-proof course", "straps")),
    _Rule("damp", "Render and damp-proof", WALLS, ("damp strip", "render")),
    _Rule("drains", "Lay drains", DRAIN, ("drain dig", "land drain", "drain stone")),
    _Rule("backfill", "Backfill", DIG, ("backfill",)),
    _Rule("stone", "Lay and compact stone", STONE, ("geotextile", "stone")),
    _Rule("forms", "Set forms", STEEL, ("forms",), words="Hours of striking them are in here."),
    _Rule("membrane", "Lay blinding, membrane and insulation", STONE, ("blinding", "membrane", "insulation", "slip sheet", "edge board", "isolation strip")),
    _Rule("steel", "Fix steel", STEEL, ("fabric", "spacers", "bars")),
    _Rule("slab pour", "Pour and finish the slab", POUR, ("slab concrete", "finish", "curing"), POURING, "Wet concrete burns skin: boots, gloves, long sleeves. Cover it the same day."),
    _Rule("doors", "Steps, ramps and drains at doors", FINISH, ("channel drain", "door steps", "door ramp", "guard")),
    _Rule("tidy", "Tidy up", FINISH, ("tidy",)),
)
# Belongs to every pour; shared out by the concrete.
POUR_LINES = ("part load", "pump", "barrowing")

# What each follows.  What a plot does not have drops out, and what came after it follows what came before.
_AFTER_RAFT: dict[str, tuple[str, ...]] = {
    "break out": ("set out",), "dig": ("break out", "order plant"), "inspect 1": ("dig",), "drains": ("inspect 1", "order stone"),
    "stone": ("drains", "order stone"), "forms": ("stone", "order sheets"), "membrane": ("forms", "order sheets"), "steel": ("membrane",),
    "inspect 2": ("steel",), "slab pour": ("inspect 2", "order slab concrete"), "slab cure": ("slab pour",), "walls": ("slab cure", "order blocks"),
    "mortar": ("walls",), "damp": ("mortar",), "backfill": ("slab cure",), "doors": ("slab cure", "damp"),
    "tidy": ("damp", "backfill", "doors"),
}
_AFTER_WALLS: dict[str, tuple[str, ...]] = {
    "break out": ("set out",), "dig": ("break out", "order plant"), "inspect 1": ("dig",), "footing pour": ("inspect 1", "order footing concrete"),
    "inspect 2": ("footing pour",), "footing cure": ("footing pour",), "walls": ("inspect 2", "footing cure", "order blocks"), "inspect 3": ("walls",),
    "mortar": ("walls",), "damp": ("mortar", "inspect 3"), "drains": ("damp", "order stone"), "backfill": ("damp", "drains"),
    "stone": ("mortar", "inspect 3", "order stone"), "forms": ("stone", "order sheets"), "membrane": ("forms", "order sheets"), "steel": ("membrane",),
    "inspect 4": ("steel",), "slab pour": ("inspect 4", "order slab concrete"), "slab cure": ("slab pour",), "doors": ("slab cure",),
    "tidy": ("backfill", "damp", "doors"),
}
# Wait, its kind, its name, its figure, and the task that makes it necessary.
_WAITS: tuple[tuple[str, str, str, Sourced, str], ...] = (
    ("footing cure", WAIT, "Footings harden", FOOTING_CURE_DAYS, "footing pour"),
    ("mortar", WAIT, "Mortar hardens", MORTAR_DAYS, "walls"),
    ("slab cure", WAIT, "Slab hardens under its cover", SLAB_CURE_DAYS, "slab pour"),
    ("order plant", ORDER, "Order digger and plate", PLANT_LEAD_DAYS, "dig"),
    ("order stone", ORDER, "Order stone", STONE_LEAD_DAYS, "stone"),
    ("order sheets", ORDER, "Order timber, steel, membrane and boards", SHEET_LEAD_DAYS, "membrane"),
    ("order blocks", ORDER, "Order blocks, sand and cement", BLOCK_LEAD_DAYS, "walls"),
    ("order footing concrete", ORDER, "Order concrete for the footings", CONCRETE_LEAD_DAYS, "footing pour"),
    ("order slab concrete", ORDER, "Order concrete for the slab", CONCRETE_LEAD_DAYS, "slab pour"),
)
WAITS: dict[str, Sourced] = {key: figure for key, _, _, figure, _ in _WAITS} | {"inspection": INSPECTION_WEEKDAYS}


def tasks_of(result, waits: Mapping[str, float] | None = None) -> tuple[Task, ...]:
    """The tasks of a scheme, from its bill.

    result: a scheme's result of the comparison; waits: days by key of `WAITS`,
    0 to 1000, rounded up to whole ones, instead of common practice, for weather
    or a supplier that is known.
    Returns tasks with hours (h) and days; together they have all hours of the bill.
    Raises ValueError for a wait that is not known or out of range.
    Source: order of work, common practice, no source; inspections, `yardsticks.INSPECTIONS`.
    """
    given = dict(waits or {})
    for key in given:
        if key not in WAITS:
            raise ValueError(f"no wait is called {key!r}; there are {', '.join(WAITS)}")
    # Nobody waits for a part of a day.
    lasts = {key: float(math.ceil(given.get(key, figure.value) - NOTHING)) for key, figure in WAITS.items()}
    lines = {line.key: line for line in result.priced.lines}
    network = _AFTER_RAFT if result.id == RAFT else _AFTER_WALLS
    tasks = []
    for rule in _WORKS:
        mine = [lines[key] for key in rule.lines if key in lines]
        if mine:
            own, helper = _hours(mine)
            if rule.kind == POURING:
                share = _share_of_concrete(lines, rule.lines)
                shared_own, shared_helper = _hours([lines[key] for key in POUR_LINES if key in lines])
                own, helper = own + share * shared_own, helper + share * shared_helper
            tasks.append(Task(rule.key, rule.name, rule.kind, rule.stage, 0.0, own, helper, (), rule.words))
    there = {task.key: task for task in tasks}
    for key, kind, name, figure, because in _WAITS:
        if because in there:
            tasks.append(Task(key, name, kind, there[because].stage, lasts[key], words=figure.note))
    for number, words in enumerate(INSPECTIONS[result.id], start=1):
        key = f"inspect {number}"
        seen = network[key][0]
        tasks.append(Task(key, f"Inspection: {words}", VISIT, there[seen].stage if seen in there else PREPARE, lasts["inspection"],
                          words="Give notice, and cover nothing until it has been seen; local rules say what is inspected."))
    kept = {task.key for task in tasks}
    return tuple(replace(task, after=_before(task.key, network, kept)) for task in tasks)


def _hours(lines: Iterable[BillLine]) -> tuple[float, float]:
    lines = list(lines)
    return math.fsum(line.own_hours for line in lines), math.fsum(line.helper_hours for line in lines)


def _share_of_concrete(lines: Mapping[str, BillLine], keys: Sequence[str]) -> float:
    ordered = {key: lines[key].net * (1.0 + lines[key].allowance_percent / 100.0) for key in POURS if key in lines}
    return math.fsum(ordered[key] for key in keys if key in ordered) / math.fsum(ordered.values())


def _before(key: str, network: Mapping[str, tuple[str, ...]], kept: set[str]) -> tuple[str, ...]:
    """What a task follows, past what the plot does not have."""
    found: dict[str, None] = {}
    for each in network.get(key, ()):
        found.update(dict.fromkeys((each,) if each in kept else _before(each, network, kept)))
    return tuple(found)


# How long it may stand.


@dataclass(frozen=True)
class Stand:
    """How long work may lie open between one task and the next that covers it; without `days` for years, if it is looked after.

    `harm` is what happens to it, `protect` what to do meanwhile, `remedy` what
    to change where it would lie open for longer; a length in them stands in
    braces, by its name in `STAND_LENGTHS_M`.
    """

    after: str
    until: tuple[str, ...]
    name: str
    days: Sourced | None
    harm: str
    protect: str
    remedy: str = ""


TRENCH_STANDS_DAYS = common_practice(7.0, "day", "One wet week loses an open trench.")
CLAY_STANDS_DAYS = common_practice(3.0, "day", "Clay and silt soften or crack within days; so may ground that nobody knows.")
FORMATION_STANDS_DAYS = common_practice(14.0, "day", "Sand or gravel, trimmed and kept from traffic and water.")
MEMBRANE_STANDS_DAYS = common_practice(14.0, "day", "Feet, wind and sun hurt sheet and boards.")
STEEL_STANDS_DAYS = common_practice(28.0, "day", "Light rust does no harm; flaking rust and dirt do.")
STONE_STANDS_DAYS = common_practice(60.0, "day", "Kept from traffic, and rolled again before it is covered.")
FOOTING_STANDS_DAYS = common_practice(180.0, "day", "Not through a winter unfilled.")
WALL_STANDS_DAYS = common_practice(90.0, "day", "A low wall with nothing behind it, its head covered.")
WALLED_FLOOR_STANDS_DAYS = common_practice(180.0, "day", "A floor between walls, with no roof: to the next winter at the most.")

LAST_TRIM_M = common_practice(0.075, "m", "What is left undug until the last day takes the rain, the frost and the feet.")
BLINDING_M = common_practice(0.050, "m", "Weak concrete over a bottom that has been seen.")
SPOIL_BACK_M = common_practice(1.0, "m", "Nothing is stacked nearer to the edge of a trench.")
# What stands in the words below in braces, m.
STAND_LENGTHS_M: dict[str, float] = {"trim": LAST_TRIM_M.value, "blinding": BLINDING_M.value, "back": SPOIL_BACK_M.value}

_TRENCH = Stand(
    "dig", ("footing pour",), "Open trenches", TRENCH_STANDS_DAYS, "Sides fall in, and water softens the bottom.",
    "Leave the last {trim} to dig on the day before the pour. Fence and cover it; keep spoil {back} back and water out. Clean the bottom by machine or from outside.",
    "Dig the last {trim} only when the inspector is due, and cover what he has seen with {blinding} of weak concrete; or take a weekday off, so that the pour follows his visit. "
    "A bottom that went soft comes out before the pour, and is seen again.")
_FORMATION = Stand(
    "dig", ("drains", "stone"), "Open formation", FORMATION_STANDS_DAYS, "Rain softens it, sun cracks it, frost lifts it.",
    "Leave the last {trim} undug, or cover it with sheet the same day; lead water away; keep wheels off.",
    "Dig the last {trim} only when the inspector is due, and spread the first layer of stone as soon as he has seen it. What went soft comes out, and stone takes its place.")
_INSIDE = Stand(
    "dig", ("stone",), "Open formation inside the walls", FORMATION_STANDS_DAYS, _FORMATION.harm, _FORMATION.protect,
    "Leave the last {trim} inside the walls undug until the mortar is hard and the stone has a date.")
_STONE = Stand(
    "stone", ("forms", "membrane", "steel", "slab pour"), "Stone in the open", STONE_STANDS_DAYS, "Wheels rut it, rain washes the fine part down.",
    "Keep wheels off, and compact the top again before it is covered.", "Lay the top layer only when what covers it has a date; measure its levels again.")
_MEMBRANE = Stand(
    "membrane", ("steel", "slab pour"), "Membrane and boards in the open", MEMBRANE_STANDS_DAYS, "Holes are trodden in; wind lifts it; boards float in rain.",
    "Weigh it down, walk on boards, keep it covered from the sun, mop water off, and patch every hole before the pour.", "Lay it only when the pour has a date.")
_STEEL = Stand(
    "steel", ("slab pour",), "Steel waiting for concrete", STEEL_STANDS_DAYS, "Mud and flaking rust loosen the bond; bar ends wound people.",
    "Cap every bar end. Sheet it over, keep it off the ground on its spacers, brush it clean before the pour.",
    "Fix it only when the pour has a date. Look at every tie and spacer again, and have it seen again.")
STANDS_RAFT: tuple[Stand, ...] = (
    _FORMATION, _STONE, _MEMBRANE, _STEEL,
    Stand("slab cure", (), "Slab waiting for its building", None, "Water that stands or runs under the edge; frost on green concrete; soil heaped against it.",
          "Lead water away from every side, cover bar and strap ends, keep the heads of blocks covered, and look at it after every winter."),
)
STANDS_WALLS: tuple[Stand, ...] = (
    _TRENCH, _INSIDE,
    Stand("footing pour", ("walls",), "Footings in the open", FOOTING_STANDS_DAYS, "Frost gets under a footing that has no ground over it; trench sides fall on it.",
          "Cover it with boards or straw under sheet in frost, keep water from standing in the trench, and clean it before blocks are laid.",
          "Build the wall, or fill the trench, before winter. After a frost look for cracks and for a footing that has lifted, and ask an engineer before you build on it."),
    Stand("walls", ("stone", "backfill"), "Low walls with nothing behind them", WALL_STANDS_DAYS, "Rain runs into the open heads, and frost splits the joints; a wall filled on one side leans.",
          "Cover the heads with sheet weighed down on both sides. Fill nothing against it before its mortar is hard; prop it where the fill is on one side.",
          "Bring the stone as soon as the mortar is hard. Rake out and point joints that frost has split."),
    _STONE, _MEMBRANE, _STEEL,
    Stand("slab cure", (), "Floor and walls waiting for their building", WALLED_FLOOR_STANDS_DAYS, "Rain fills the floor like a tray; frost works on wall heads open from both sides.",
          "Cap the wall heads, grease the straps, give water a way out, and get the frame and roof on before winter."),
)
STAND_SOURCE = COMMON_PRACTICE


@dataclass(frozen=True)
class Standing:
    """Work that lies open: from and until which day (None at the end), days open, days that it may, and whether that is too long; words to go with it.

    `frost` is whether frost is likely while it lies open; of what waits at the
    end, in the month in which it begins to wait.
    """

    name: str
    opened: Date
    covered: Date | None
    days: int | None
    may_stand_days: float | None
    too_long: bool
    harm: str
    protect: str
    remedy: str = ""
    frost: bool = False
    source: str = STAND_SOURCE


def standings_of(scheme_id: str, soil: str, dates: Dates, frost: Collection[int] = ()) -> tuple[Standing, ...]:
    """How long the work of a scheme lies open at each stage, and how long it may.

    scheme_id; soil: a name of `SOILS`; dates: of `schedule`; frost: months, 1
    to 12, no unit, as `frost_months` gives them.  Returns days of the calendar from the
    last day of one task to the first of the one that covers it.
    Raises KeyError for a soil that is not known.
    Source: common practice, no source.
    """
    wet_hurts = SOILS[soil].kind in ("clay", "silt", "unknown")
    by_key = {each.task.key: each for each in dates.tasks}
    found = []
    for stand in STANDS_RAFT if scheme_id == RAFT else STANDS_WALLS:
        if stand.after not in by_key:
            continue
        opened = by_key[stand.after].finish
        covers = [by_key[key].start for key in stand.until if key in by_key]
        covered = min(covers, key=lambda day: day.toordinal()) if covers else None
        days = covered.toordinal() - opened.toordinal() if covered is not None else None
        may = stand.days.value if stand.days is not None else None
        if stand.after == "dig" and wet_hurts:
            may = min(may, CLAY_STANDS_DAYS.value)
        found.append(Standing(
            stand.name, opened, covered, days, may, days is not None and may is not None and days > may, stand.harm, stand.protect, stand.remedy,
            bool(_months(opened, covered or opened) & set(frost))))
    return tuple(found)


def _months(first: Date, last: Date) -> set[int]:
    """The months of all days from one to another."""
    date = type(first).fromordinal
    return {date(day).month for day in range(first.toordinal(), last.toordinal() + 1)}


@dataclass(frozen=True)
class Programme:
    """The programme of one scheme: its dates, its path with every day alike (days), and how long the work lies open."""

    scheme: str
    dates: Dates
    path: dict[str, Timing]
    standings: tuple[Standing, ...]

    @property
    def least_days(self) -> float:
        """Days of the path: the least in which it is done with every day alike and hands for all."""
        return max((timing.early_finish for timing in self.path.values()), default=0.0)

    @property
    def longest_chain(self) -> tuple[Task, ...]:
        """The tasks of which each follows the one before without a gap, from the first to the end of the path."""
        tasks = {dated.task.key: dated.task for dated in self.dates.tasks}
        chain = [max(self.path, key=lambda key: self.path[key].early_finish)] if self.path else []
        while chain and tasks[chain[-1]].after:
            chain.append(max(tasks[chain[-1]].after, key=lambda key: self.path[key].early_finish))
        return tuple(tasks[key] for key in reversed(chain))


def programme_of(site: Site, result, start: Date, calendar: Calendar, waits: Mapping[str, float] | None = None) -> Programme:
    """The programme of one scheme that can be built.

    site; result: of the comparison; start: the date on which the first thing is
    done; calendar: hours a day, h; waits: as for `tasks_of`, days.
    Returns a Programme with dates, hours (h) and days.
    Raises ValueError for a scheme that cannot be built inside the limits, and as `tasks_of` and `schedule`.
    Source: order of work and waits, common practice, no source.
    """
    if not result.buildable:
        raise ValueError(f"{result.title} cannot be built inside the limits on this plot, so it has no programme")
    tasks = tasks_of(result, waits)
    dates = schedule(tasks, start, calendar)
    scenario = site.scenario
    frost = frost_months(scenario.region, scenario.pour.latitude_deg)
    return Programme(result.id, dates, critical_path(tasks, calendar.hours_a_day), standings_of(result.id, scenario.plot.soil, dates, frost))
