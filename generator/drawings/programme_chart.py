"""The programme as bars by the week: what is done, what hardens, who comes, what is ordered, and what may slip how far."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from calculators.programme import KINDS, ORDER, POURING, VISIT, WAIT, WORK, Dated, Programme
from generator.dates import date_words, short_date
from generator.display import quantity
from generator.drawings.on_plan import wrapped
from generator.drawings.sheet import LINE_UNITS, TEXT_UNITS, Sheet, path_of, render, text_width
from generator.icalendar import worked_runs

WIDTH_UNITS = 900.0
NAMES_UNITS = 272.0
"""Room for the names of the tasks, on the left."""
RIGHT_UNITS = 8.0
ROW_UNITS = 20.0
BAR_UNITS = 10.0
POUR_UNITS = 15.0
TIGHT_UNITS = 16.0
"""From one line of a long name to the next."""
IN_UNITS = 16.0
"""How far such a next line stands in."""
LEAST_BAR_UNITS = 3.0
IDLE_WEEKS = 4
"""More weeks than these in a row in which nothing begins or ends are drawn as a gap."""
GAP_UNITS = 26.0
BETWEEN_DATES_UNITS = 10.0
BOLD_SHARE = 1.12
"""Bold words are at most so many times as wide as plain ones."""

KEY_WORDS: dict[str, str] = {
    WORK: "work", POURING: "pour, on a day of its own", WAIT: "hardens", VISIT: "notice, then the inspector's visit", ORDER: "last day to order, then delivery",
    "slip": "may slip so far", "critical": "not a day to spare",
}


@dataclass(frozen=True)
class ProgrammeRow:
    """One row of the chart: its number from 1, the dated task, its first and last day as shown, and the numbers of those that it follows.

    An order is shown from its last day to the delivery, as the work is dated.
    """

    number: int
    dated: Dated
    first: datetime.date
    last: datetime.date
    follows: tuple[int, ...]


def programme_chart_table(programme: Programme) -> tuple[ProgrammeRow, ...]:
    """The numbers of the chart, in the order in which things are done."""
    shown = [(dated.order_by, dated.wanted, dated) if dated.task.kind == ORDER else (dated.start, dated.finish, dated) for dated in programme.dates.tasks]
    shown.sort(key=lambda row: row[0])
    numbers = {dated.task.key: number for number, (_, _, dated) in enumerate(shown, start=1)}
    return tuple(
        ProgrammeRow(numbers[dated.task.key], dated, first, last, tuple(sorted(numbers[key] for key in dated.task.after))) for first, last, dated in shown)


def programme_finding(programme: Programme) -> str:
    """What the chart says, in a sentence."""
    dates = programme.dates
    if not dates.tasks:
        return "There is nothing to do."
    worked = {worked.date for dated in dates.tasks for worked in dated.worked}
    whole = (dates.finish - dates.begins).days + 1
    return (f"Work is done on {len(worked)} of {quantity(whole, 'day').metric}; the others wait for days on which you work, for concrete and mortar to harden, "
            "for inspectors and for deliveries.")


def programme_chart_svg(programme: Programme, id_prefix: str) -> str:
    """The chart as markup, to stand in a figure with its finding as caption.

    id_prefix: unique on the page, a letter then letters, figures and hyphens
    (ValueError otherwise).
    """
    return render("drawing.svg.j2", sheet=programme_chart_sheet(programme, id_prefix), kind="programme")


class WeekAxis:
    """Weeks from left to right, each as wide as the next; a long stretch in which nothing happens is a narrow gap."""

    def __init__(self, days: Iterable[datetime.date], left: float, right: float):
        busy = sorted({_monday(day) for day in days})
        self.weeks: list[datetime.date] = []
        self.gaps: list[tuple[datetime.date, datetime.date]] = []
        for monday in busy:
            idle = (monday - self.weeks[-1]).days // 7 - 1 if self.weeks else 0
            if idle > IDLE_WEEKS:
                self.gaps.append((self.weeks[-1] + datetime.timedelta(days=7), monday))
            else:
                self.weeks += [monday - datetime.timedelta(days=7 * back) for back in range(idle, 0, -1)]
            self.weeks.append(monday)
        self.left, self.right = left, right
        self.week_units = (right - left - GAP_UNITS * len(self.gaps)) / max(1, len(self.weeks))

    def x(self, day: datetime.date) -> float:
        """Where a day begins, drawing units; a day before or after all weeks lies at their end."""
        x = self.left
        gaps = dict(self.gaps)
        for monday in self.weeks:
            if day < monday:
                return x
            after = (day - monday).days
            if after < 7:
                return x + self.week_units * after / 7.0
            x += self.week_units
            ends = gaps.get(monday + datetime.timedelta(days=7))
            if ends is not None:
                if day < ends:
                    return x + GAP_UNITS / 2.0
                x += GAP_UNITS
        return x

    def named(self) -> list[datetime.date]:
        """The weeks whose dates stand above the chart, far enough apart for them."""
        chosen: list[datetime.date] = []
        free = self.left
        for monday in self.weeks:
            if self.x(monday) >= free:
                chosen.append(monday)
                free = self.x(monday) + text_width(short_date(monday)) + BETWEEN_DATES_UNITS
        return [monday for monday in chosen if self.x(monday) + text_width(short_date(monday)) <= self.right + RIGHT_UNITS]


def _monday(day: datetime.date) -> datetime.date:
    return day - datetime.timedelta(days=day.weekday())


def _days_shown(rows: Iterable[ProgrammeRow]) -> Iterable[datetime.date]:
    for row in rows:
        yield from (row.first, row.last)
        for worked in row.dated.worked:
            yield worked.date


def programme_chart_sheet(programme: Programme, id_prefix: str) -> Sheet:
    """The chart, placed but not yet written as markup."""
    rows = programme_chart_table(programme)
    sheet = Sheet(id_prefix, programme_finding(programme))
    sheet.width = WIDTH_UNITS
    axis = WeekAxis([programme.dates.begins, *_days_shown(rows)], NAMES_UNITS, WIDTH_UNITS - RIGHT_UNITS)
    names = [wrapped(f"{row.number} {row.dated.task.name or row.dated.task.key}", (NAMES_UNITS - IN_UNITS - 8.0) / BOLD_SHARE) for row in rows]
    top = 2.0 * LINE_UNITS + 6.0
    tops, y = [], top + 4.0
    for lines in names:
        tops.append(y)
        y += ROW_UNITS + TIGHT_UNITS * (len(lines) - 1)
    _draw_weeks(sheet, axis, top, y)
    for row, lines, at in zip(rows, names, tops):
        for i, words in enumerate(lines):
            sheet.write("sp-label sp-curve-name" if row.dated.critical else "sp-label", 2.0 if i == 0 else IN_UNITS, at + TEXT_UNITS + TIGHT_UNITS * i, words)
        _draw_row(sheet, axis, row, at + ROW_UNITS / 2.0)
    sheet.height = _draw_key(sheet, rows, y + 8.0, bool(axis.gaps))
    sheet.description = " ".join([programme_finding(programme), *(
        f"{row.number}, {row.dated.task.name or row.dated.task.key}: {date_words(row.first)}{f' to {date_words(row.last)}' if row.last != row.first else ''}"
        f"{', not a day to spare' if row.dated.critical else ''}." for row in rows)])
    return sheet


def _draw_weeks(sheet: Sheet, axis: WeekAxis, top: float, bottom: float) -> None:
    """A line at every Monday, dates where there is room, and the year where it begins."""
    year = None
    named = axis.named()
    for monday in axis.weeks:
        sheet.line("sp-curve-grid", (axis.x(monday), top), (axis.x(monday), bottom))
        if monday in named:
            sheet.write("sp-figure", axis.x(monday), top - 5.0, short_date(monday))
            if monday.year != year:
                sheet.write("sp-note", axis.x(monday), top - 5.0 - LINE_UNITS, str(monday.year))
                year = monday.year
    sheet.line("sp-curve-grid", (axis.right, top), (axis.right, bottom))
    for begins, _ in axis.gaps:
        left = axis.x(begins - datetime.timedelta(days=1)) + axis.week_units / 7.0
        for x in (left + 6.0, left + GAP_UNITS - 6.0):
            sheet.line("sp-curve-limit", (x, top), (x, bottom))
    sheet.write("sp-note", 2.0, top - 5.0, "Weeks from Monday")


def _box(left: float, right: float, middle: float, height: float) -> str:
    right = max(right, left + LEAST_BAR_UNITS)
    return path_of([(left, middle - height / 2), (right, middle - height / 2), (right, middle + height / 2), (left, middle + height / 2)], closed=True)


def _draw_mark(sheet: Sheet, kind: str, left: float, right: float, middle: float) -> None:
    """One bar, or the mark of a visit or an order, from one place to another."""
    if kind == POURING:
        sheet.hatched("sp-body sp-concrete", "concrete", _box(left, max(right, left + 6.0), middle, POUR_UNITS))
    elif kind == WAIT:
        sheet.hatched("sp-driver-low", "forbidden", _box(left, right, middle, BAR_UNITS))
    elif kind == VISIT:
        sheet.line("sp-extension", (left, middle), (right - 5.0, middle))
        sheet.path("sp-bar", path_of([(right - 6.0, middle - 6.0), (right + 6.0, middle - 6.0), (right, middle + 5.0)], closed=True))
    elif kind == ORDER:
        sheet.line("sp-extension", (left, middle), (right, middle))
        sheet.line("sp-extension", (right - 5.0, middle - 4.0), (right, middle), (right - 5.0, middle + 4.0))
        sheet.path("sp-driver-low", path_of([(left, middle - 6.0), (left + 6.0, middle), (left, middle + 6.0), (left - 6.0, middle)], closed=True))
    else:
        sheet.path("sp-driver-high", _box(left, right, middle, BAR_UNITS))


def _after(day: datetime.date) -> datetime.date:
    return day + datetime.timedelta(days=1)


def _draw_row(sheet: Sheet, axis: WeekAxis, row: ProgrammeRow, middle: float) -> None:
    dated, kind = row.dated, row.dated.task.kind
    left, right = axis.x(row.first), axis.x(_after(row.last))
    if kind == VISIT:
        # The mark stands in the middle of the day of the visit.
        right = (axis.x(row.last) + right) / 2.0
    elif kind == ORDER:
        left, right = (axis.x(row.first) + axis.x(_after(row.first))) / 2.0, axis.x(row.last)
    if kind != ORDER and dated.late_finish > dated.finish:
        slips = axis.x(_after(dated.late_finish))
        sheet.line("sp-extension", (right, middle), (slips, middle))
        sheet.line("sp-extension", (slips, middle - 5.0), (slips, middle + 5.0))
    if dated.critical:
        below = middle + POUR_UNITS / 2.0 + 1.5
        sheet.line("sp-curve-total", (left, below), (max(right, left + LEAST_BAR_UNITS), below))
    if kind == WORK:
        runs = list(worked_runs(dated))
        if len(runs) > 1:
            sheet.line("sp-extension", (left, middle), (right, middle))
        for first, last in runs:
            _draw_mark(sheet, kind, axis.x(first), axis.x(_after(last)), middle)
    else:
        _draw_mark(sheet, kind, left, right, middle)


def _draw_key(sheet: Sheet, rows: Iterable[ProgrammeRow], y: float, gaps: bool) -> float:
    """What each mark stands for, as many as there are; returns where it ends."""
    there = {row.dated.task.kind for row in rows}
    kinds = [kind for kind in KINDS if kind in there]
    kinds += ["slip"] if any(row.dated.late_finish > row.dated.finish for row in rows if row.dated.task.kind != ORDER) else []
    kinds += ["critical"] if any(row.dated.critical for row in rows) else []
    x, middle = 2.0, y + ROW_UNITS / 2.0
    for kind in kinds:
        words = KEY_WORDS[kind]
        wide = 44.0 + text_width(words) + 22.0
        if x > 2.0 and x + wide > WIDTH_UNITS:
            x, middle = 2.0, middle + ROW_UNITS
        if kind == "slip":
            sheet.line("sp-extension", (x, middle), (x + 34.0, middle))
            sheet.line("sp-extension", (x + 34.0, middle - 5.0), (x + 34.0, middle + 5.0))
        elif kind == "critical":
            sheet.line("sp-curve-total", (x, middle), (x + 34.0, middle))
        else:
            _draw_mark(sheet, kind, x + 6.0, x + 30.0, middle)
        sheet.write("sp-label sp-curve-name" if kind == "critical" else "sp-note", x + 42.0, middle + 5.0, words)
        x += wide
    if gaps:
        middle += ROW_UNITS
        sheet.write("sp-note", 2.0, middle + 5.0, "Between dotted lines weeks are left out in which nothing begins or ends.")
    return middle + ROW_UNITS / 2.0 + 4.0
