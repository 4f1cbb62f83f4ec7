"""The programme of a scheme to print, the same as lines on a terminal, and as JSON.

Both show the same tables.  Dates and hours are alike in every unit system; the
few lengths are in the scenario's.  Nothing is worked out here.
"""

from __future__ import annotations

import datetime
import textwrap
import typing
from collections.abc import Callable

from markupsafe import Markup

from calculators.compare import Comparison, SchemeResult
from calculators.programme import (
    KINDS, MOST_HANDS, ORDER, POURING, STAND_LENGTHS_M, VISIT, WAIT, WAITS, Dated, Programme, Standing, Week, frost_months, hands_wanted,
)
from calculators.scenario import WORKING_DAYS
from calculators.sources import COMMON_PRACTICE
from generator.dates import MONTHS, date_words, narrow_date
from generator.display import exactly, hours, in_ascii, length, number, quantity
from generator.drawings.programme_chart import ProgrammeRow, programme_chart_svg, programme_chart_table, programme_finding
from generator.phrases import in_sentence, sentence
from generator.problems import listed
from generator.schema_pieces import boolean, enum, list_of, number as a_number, object_of, or_null, text
from generator.sheet_tables import Table, table_lines
from generator.templating import TO_ROOT, fill
from generator.text_table import LAST_WORDS, WIDTH

if typing.TYPE_CHECKING:
    from calculators.job import Job

NONE = "–"
SAME_DAY = "same day"
USUAL = "usual"
FEW = 4
"""So many tasks are named in a sentence; of more the rest are counted."""
NARROW = 26
"""Letters of a task's name on a terminal before it goes on in the next line."""
LONG_FROST_DAYS = 28
"""What lies open for so long in months of frost is said to stand over the winter."""
LITTLE_H = 1.0
"""A week with no more work than this is worth working longer the time before."""
HOURS_BAR_UNITS = 150.0

AT_WORK: dict[str, str] = dict(zip(WORKING_DAYS, ("at weekends", "on weekdays", "on every day of the week"), strict=True))



def file_name(result: SchemeResult, kind: str) -> str:
    """The name of a file beside the scenario's page; kind: html for the sheet, ics for the calendar."""
    return f"programme-{result.id}.{kind}"


def programme_page(comparison: Comparison, result: SchemeResult, job: Job) -> str:
    """The whole HTML document of the programme of a scheme within limits."""
    programme, scenario = job.programme, comparison.scenario
    tables = {table.id: table for table in tables_of(comparison, job)}
    return fill(
        "programme_sheet", sheet_title="Programme", unit_words="days and hours", to_root=TO_ROOT, scenario=scenario, result=result,
        summary=summary_words(comparison, programme), path=path_words(programme), mind=mind_words(comparison, programme),
        chart=Markup(programme_chart_svg(programme, "programme")), finding=programme_finding(programme), tables=tables,
        weeks=[(row, _hours_bar(programme, week)) for row, week in zip(tables["weeks"].rows, programme.dates.weeks)],
        open_work=[(standing, _in_units(standing.harm, scenario.units), _in_units(standing.protect, scenario.units)) for standing in programme.standings],
        with_words=[row for row in programme_chart_table(programme) if row.dated.task.is_work and row.dated.task.words],
        calendar=calendar_words(comparison), ics=file_name(result, "ics"), change=CHANGE,
    )


def programme_text(comparison: Comparison, result: SchemeResult, job: Job, ascii_only: bool = False) -> str:
    """The programme as lines for a terminal.  `ascii_only` keeps to plain letters."""
    plain = in_ascii if ascii_only else str
    programme, units = job.programme, comparison.scenario.units
    lines = [*textwrap.wrap(f"{comparison.scenario.title}. Programme of the {in_sentence(result.title)}.", WIDTH), ""]
    lines += textwrap.wrap(summary_words(comparison, programme), WIDTH)
    lines += ["", *(line for words in mind_words(comparison, programme) for line in textwrap.wrap(words, WIDTH, initial_indent="- ", subsequent_indent="  "))]
    for table in tables_of(comparison, job, narrow_date):
        lines += ["", *table_lines(_narrow(table))]
        if table.id == "tasks":
            lines += ["", *textwrap.wrap(path_words(programme), WIDTH)]
        if table.id == "open":
            for standing in programme.standings:
                lines += textwrap.wrap(f"{standing.name}: {_in_units(standing.harm, units)} {_in_units(standing.protect, units)}", WIDTH, subsequent_indent="  ")
    lines += ["", *(line for words in calendar_words(comparison) for line in textwrap.wrap(words, WIDTH)), "", LAST_WORDS]
    return plain("\n".join(lines) + "\n")


def _narrow(table: Table) -> Table:
    """The table with long names of rows going on in rows of their own."""
    rows = []
    for first, *others in table.rows:
        head, *rest = textwrap.wrap(first, NARROW, subsequent_indent="   ") or [""]
        rows += [(head, *others), *((words, *("" for _ in others)) for words in rest)]
    return Table(table.id, table.title, table.columns, tuple(rows), table.note)


# Sentences.


def _named(names: list[str], where: str) -> str:
    named = names if len(names) <= FEW else [*names[:FEW - 1], f"and {len(names) - FEW + 1} more, marked in the {where}"]
    return "; ".join(named)


def summary_words(comparison: Comparison, programme: Programme) -> str:
    """When it begins and ends, how much work is in it, and what decides the end."""
    dates, weekends = programme.dates, comparison.scenario.programme.days == "weekends"
    if not dates.tasks:
        return f"There is nothing to do from {date_words(dates.start)} on."
    count = len(dates.weeks)
    spans = f"{number(count)} {'weekend' if weekends else 'week'}{'' if count == 1 else 's'}"
    own, helpers = (sum(getattr(week, key) for week in dates.weeks) for key in ("own_hours", "helper_hours"))
    tight = [in_sentence(row.dated.task.name) for row in programme_chart_table(programme) if row.dated.critical]
    decides = f"; what decides the end, with not a day to spare: {_named(tight, 'chart and the table')}" if tight else ""
    return (f"Work begins on {date_words(dates.begins)} and ends on {date_words(dates.finish)}, with work on {spans}, {hours(own)} of yours and {hours(helpers)} of helpers{decides}.")


def path_words(programme: Programme) -> str:
    """What waits for what, with every day alike."""
    chain = programme.longest_chain
    steps = [f"{in_sentence(task.name)} ({hours(task.hours) if task.is_work else quantity(task.days, 'day').metric})" for task in chain]
    least, taken = programme.least_days, (programme.dates.finish - programme.dates.begins).days + 1
    return (f"If every day were a working day and there were hands for everything at once, the longest chain of what must wait for what would take {_weeks_words(least)}: "
            f"{'; '.join(steps)}. One pair of hands on the days of your calendar takes {_weeks_words(float(taken))}.")


def _weeks_words(days: float) -> str:
    """Days, with the weeks that they make."""
    whole = quantity(round(days, 1), "day").metric
    return f"{whole}, {number(days / 7.0, 1)} weeks" if days >= 14.0 else whole


def mind_words(comparison: Comparison, programme: Programme) -> tuple[str, ...]:
    """What does not go by itself: hands, days of lorries and inspectors, frost, work that lies open too long, holidays."""
    scenario, given = comparison.scenario, comparison.scenario.programme
    pours = [dated for dated in programme.dates.tasks if dated.task.kind == POURING]
    frost = frost_months(scenario.region, scenario.pour.latitude_deg)
    found = [words for dated in pours for words in _hands_words(dated, given.hours_a_day)]
    if pours:
        on_saturday = listed([f"{in_sentence(dated.task.name)} on {date_words(dated.start)}" for dated in pours if dated.start.weekday() == 5], "and")
        found.append("Concrete is never put on a Sunday, nor on a holiday that is in the file: lorries do not come." + (
            f" On a Saturday they often come until noon only, and at a charge; ask when you order ({on_saturday})." if on_saturday else ""))
    visits = [dated for dated in programme.dates.tasks if dated.task.kind == VISIT and dated.task.days > 0.0]
    if visits and given.days == "weekends":
        found.append(f"Inspectors come on weekdays, and you work at weekends: somebody has to be there, or the gate left open and a way agreed, on or about "
                     f"{listed([date_words(dated.finish) for dated in visits], 'and')}. Agree it with your building control when you give notice.")
    for dated in pours:
        if dated.start.month in frost:
            found.append(f"{dated.task.name}: {date_words(dated.start)} is in a month in which nights usually freeze. Nothing is poured on frozen ground, and what is poured is kept "
                         "from frost until it is hard; read the day sheet, or move the start to a milder month.")
    for standing in programme.standings:
        found += _open_words(standing, scenario.units)
    for week in programme.dates.weeks:
        if 0.0 < week.own_hours <= LITTLE_H < week.available_hours:
            found.append(f"In the week from {date_words(week.monday)} there is as little as {hours(week.own_hours)} of work: stay that much longer the time before, and the week may fall away.")
    if not given.holidays:
        found.append("No holidays are in the file: see whether one falls on a day of a pour, a delivery or an inspection.")
    return tuple(found)


def _hands_words(dated: Dated, hours_a_day: float) -> list[str]:
    """A sentence where the owner's share of a pour is more than a day has."""
    task = dated.task
    if exactly(task.own_hours) <= exactly(hours_a_day):
        return []
    hands, all_hours = hands_wanted(task, hours_a_day), task.own_hours + task.helper_hours
    start = f"{task.name} wants more hands: your share as counted is {hours(task.own_hours)}, and a day has {hours(hours_a_day)}."
    if hands > MOST_HANDS.value:
        return [f"{start} There are {hours(all_hours)} of work in it for all; even {number(MOST_HANDS.value)} people do not make it fit, and more are in each other's way. "
                "Give that day more hours, or have it poured."]
    return [f"{start} {sentence(number(hands))} people in all make it fit, {hours(all_hours / hands)} each. The day sheet says who does what."]


def _open_words(standing: Standing, units: str) -> list[str]:
    """Sentences on work that lies open for too long, or in frost."""
    if standing.covered is None or not standing.days:
        return []
    spell = f"{standing.name}: {quantity(standing.days, 'day').metric}, from {date_words(standing.opened)} to {date_words(standing.covered)}"
    if standing.too_long:
        frost = " Nights freeze in that time." if standing.frost else ""
        return [f"{spell}, and {quantity(standing.may_stand_days, 'day').metric} is as long as it should lie open.{frost} {_in_units(standing.remedy, units)}"]
    if standing.frost and standing.days >= LONG_FROST_DAYS:
        return [f"{spell}, over months in which nights freeze. {_in_units(standing.protect, units)}"]
    return []


def _in_units(words: str, units: str) -> str:
    """Words whose lengths stand in braces, with the lengths."""
    return words.format(**{name: length(metres).of(units) for name, metres in STAND_LENGTHS_M.items()})


def calendar_words(comparison: Comparison) -> tuple[str, ...]:
    """What the dates rest on, and under which keys of the file it can be changed."""
    given = comparison.scenario.programme
    start = "The first day is yours (programme.start)." if given.start is not None else (
        "The first day is a stand-in, the first Saturday of the April after the date of the prices: give your own as programme.start.")
    off = listed([MONTHS[month - 1] for month in sorted(given.months_off)], "and")
    holidays = f"{number(len(given.holidays))} {'day' if len(given.holidays) == 1 else 'days'} off {'is' if len(given.holidays) == 1 else 'are'} in the file" if given.holidays else "No days off are in the file"
    return (
        start,
        f"Work is done {AT_WORK[given.days]} (programme.days), {hours(given.hours_a_day)} a day (programme.hours_a_day), one task after another. "
        "A pour has its day to itself; other work stops for it and goes on afterwards.",
        f"{holidays} (programme.holidays). {f'Nothing is done in {off}' if off else 'No month is left out'} (programme.months_off).",
    )


CHANGE: tuple[str, ...] = (
    "programme:", "  start: 2027-05-01", "  days: weekdays", "  hours_a_day: 6 h", "  holidays: [2027-05-29, 2027-08-28]",
    "  months_off: [December, January]", "  waits: {order plant: 10 days}",
)
"""The keys as a reader types them."""


# The tables.


def tables_of(comparison: Comparison, job: Job, day: Callable[[datetime.date], str] = date_words) -> tuple[Table, ...]:
    """Every table of the sheet, in order; `day` writes a date."""
    programme = job.programme
    rows = programme_chart_table(programme)
    weekends = comparison.scenario.programme.days == "weekends"
    return (
        Table("tasks", "Tasks", ("Task", "From", "To", "Your h", "Help h", "Slip", "Follows"), tuple(_task_row(row, day) for row in rows),
              "An order runs from the last day to give it to the delivery, an inspection from the notice to the visit. "
              "A slip is counted from the first day to the last on which the task can begin without moving the end, the work staying in this order."),
        Table("weeks", f"Hours by the {'weekend' if weekends else 'week'}", ("Weekend of" if weekends else "Week from", "Your h", "Help h", "Hours there are", "Over"),
              tuple(_week_row(week, weekends, day) for week in programme.dates.weeks)),
        Table("open", "How long the work lies open", ("", "From", "Covered", "Days", "At most", ""), tuple(_open_row(standing, day) for standing in programme.standings),
              "How long is common practice, no source: the weather decides."),
        Table("waits", "What is waited for", ("", "Days", "Whose", "Under programme.waits"), tuple(_waits_rows(comparison, programme)),
              f"Usual: {COMMON_PRACTICE}. Ask your suppliers and your building control, and write down what they say."),
    )


def _h(value: float) -> str:
    return hours(value).partition(" ")[0] if value > 0.0 else NONE


def _task_row(row: ProgrammeRow, day: Callable[[datetime.date], str]) -> tuple[str, ...]:
    task = row.dated.task
    slip = NONE if task.kind == ORDER else "no" if row.dated.critical else quantity(row.dated.float_days, "day").metric
    return (f"{row.number} {task.name or task.key}", day(row.first), day(row.last) if row.last != row.first else SAME_DAY, _h(task.own_hours), _h(task.helper_hours),
            slip, ", ".join(map(str, row.follows)) or NONE)


def _week_row(week: Week, weekends: bool, day: Callable[[datetime.date], str]) -> tuple[str, ...]:
    first = week.monday + datetime.timedelta(days=5 if weekends else 0)
    over = exactly(week.own_hours) - exactly(week.available_hours)
    return day(first), _h(week.own_hours), _h(week.helper_hours), _h(week.available_hours), f"over by {hours(float(over))}" if over > 0 else ""


def _open_row(standing: Standing, day: Callable[[datetime.date], str]) -> tuple[str, ...]:
    verdict = "too long" if standing.too_long else "in frost" if standing.frost else ""
    at_most = "years" if standing.may_stand_days is None else number(standing.may_stand_days)
    return (standing.name, day(standing.opened), day(standing.covered) if standing.covered is not None else "not here",
            number(standing.days) if standing.days is not None else NONE, at_most, verdict)


def _waits_rows(comparison: Comparison, programme: Programme):
    given = comparison.scenario.programme.waits
    for row in programme_chart_table(programme):
        task = row.dated.task
        if task.kind not in (WAIT, ORDER):
            continue
        usual = WAITS[task.key]
        whose = "yours" if task.key in given else USUAL if task.days == usual.value else "by the weather"
        yield task.name, number(task.days), whose, task.key
    visits = [dated.task.days for dated in programme.dates.tasks if dated.task.kind == VISIT]
    if visits:
        yield "Inspector, from the notice, weekdays", number(visits[0]), "yours" if "inspection" in given else USUAL, "inspection"


def _hours_bar(programme: Programme, week: Week) -> Markup:
    """A bar of a week's hours, with a mark at those that there are."""
    most = max(max(other.own_hours, other.available_hours) for other in programme.dates.weeks) or 1.0
    done, there = (round(HOURS_BAR_UNITS * value / most, 1) for value in (week.own_hours, week.available_hours))
    return Markup(
        '<svg class="sp-hours-bar" xmlns="http://www.w3.org/2000/svg" viewBox="-2 0 {} 14" width="{}" height="14" aria-hidden="true">'
        '<path class="sp-range-bar" d="M0 2H{}V12H0Z"/><path class="sp-range-middle" d="M{} 0V14"/></svg>').format(
            HOURS_BAR_UNITS + 4.0, HOURS_BAR_UNITS + 4.0, done, there)


# JSON.


def programme_json(job: Job) -> dict:
    """The programme as dictionaries, lists, text, finite numbers, and dates as text of ISO 8601."""
    programme = job.programme
    dates = programme.dates
    return {
        "start": dates.start.isoformat(),
        "finish": dates.finish.isoformat(),
        "least_days": programme.least_days,
        "tasks": [
            {
                "key": dated.task.key, "name": dated.task.name, "kind": dated.task.kind, "stage": dated.task.stage, "after": list(dated.task.after),
                "days": dated.task.days, "own_hours": dated.task.own_hours, "helper_hours": dated.task.helper_hours,
                "start": dated.start.isoformat(), "finish": dated.finish.isoformat(), "late_start": dated.late_start.isoformat(), "late_finish": dated.late_finish.isoformat(),
                "float_days": dated.float_days, "critical": dated.critical, "order_by": _iso(dated.order_by), "wanted": _iso(dated.wanted),
                "worked": [{"date": worked.date.isoformat(), "own_hours": worked.own_hours, "helper_hours": worked.helper_hours} for worked in dated.worked],
            } for dated in dates.tasks],
        "weeks": [
            {"monday": week.monday.isoformat(), "own_hours": week.own_hours, "helper_hours": week.helper_hours, "available_hours": week.available_hours} for week in dates.weeks],
        "standings": [
            {
                "name": standing.name, "opened": standing.opened.isoformat(), "covered": _iso(standing.covered), "days": standing.days,
                "may_stand_days": standing.may_stand_days, "too_long": standing.too_long, "frost": standing.frost,
            } for standing in programme.standings],
    }


def _iso(day: datetime.date | None) -> str | None:
    return None if day is None else day.isoformat()


def _day(description: str) -> dict:
    return {**text(description), "format": "date"}


def _whole(description: str) -> dict:
    return {"type": "integer", "minimum": 0, "description": description}


PROGRAMME_SCHEMA: dict = object_of("The programme: one pair of hands, on the days of the owner's calendar", {
    "start": _day("The day on which the first thing may be done"),
    "finish": _day("The last day"),
    "least_days": a_number("The longest chain of what must wait for what, every day alike and hands for all, days"),
    "tasks": list_of(object_of("A task", {
        "key": text("Its key"), "name": text("What is done"), "kind": enum(tuple(KINDS), "Work, a pour, a wait, a visit or an order"),
        "stage": text("Stage of the bill"), "after": list_of({"type": "string"}, "Keys of the tasks that it follows"),
        "days": a_number("Its length where it waits, days; of a visit weekdays"), "own_hours": a_number("The owner's hours, h"), "helper_hours": a_number("Helpers' hours, h"),
        "start": _day("First day"), "finish": _day("Last day"), "late_start": _day("Last day on which it can begin without moving the end"),
        "late_finish": _day("Last day on which it can end without moving the end"), "float_days": _whole("From the first day to the last on which it can begin, days"),
        "critical": boolean("Whether there is not a day of that"),
        "order_by": or_null(_day("Last day to order it for the work as dated"), "for what is no order"),
        "wanted": or_null(_day("Day of its delivery for the work as dated"), "for what is no order"),
        "worked": list_of(object_of("A day of work", {"date": _day("Which"), "own_hours": a_number("The owner's hours, h"), "helper_hours": a_number("Helpers' hours, h")}),
                          "The days on which it is worked on; none where it waits"),
    }), "The tasks, the earliest first"),
    "weeks": list_of(object_of("A week from Monday", {
        "monday": _day("Its Monday"), "own_hours": a_number("The owner's hours, h"), "helper_hours": a_number("Helpers' hours, h"),
        "available_hours": a_number("Hours that the calendar has in it, h")}), "The weeks that have work in them"),
    "standings": list_of(object_of("Work that lies open", {
        "name": text("What"), "opened": _day("From this day"), "covered": or_null(_day("Until this day"), "for what waits at the end"),
        "days": or_null(_whole("Days between"), "for what waits at the end"), "may_stand_days": or_null(a_number("Days that it may"), "where it may for years"),
        "too_long": boolean("Whether it lies open for longer"), "frost": boolean("Whether nights usually freeze meanwhile"),
    }), "How long the work lies open"),
})
"""The JSON Schema of `programme_json`."""
