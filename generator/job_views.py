"""What a scenario's page says of the rest of the job: schemes side by side, and each scheme's sheets.

The sheets themselves are made by `order_page`, `pour_page`, `programme_page`
and `setting_out_page`.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.compare import Comparison, SchemeResult
from calculators.job import Job
from generator import order_page, pour_page, programme_page, setting_out_page
from generator.dates import date_words
from generator.pour_page import PourSummary, pour_summary


@dataclass(frozen=True)
class SheetLink:
    """A file beside the page: its name, what it is called, what it is for, and the same as a table for a spreadsheet where there is one."""

    file: str
    title: str
    words: str
    table: str = ""


@dataclass(frozen=True)
class JobView:
    """The rest of the job of one scheme."""

    id: str
    title: str
    first_order: str
    begins: str
    ends: str
    weeks: int
    busiest_h: float
    deliveries: int
    loads: int
    pours: tuple[PourSummary, ...]
    open_too_long: tuple[str, ...]
    sheets: tuple[SheetLink, ...]


def job_views(comparison: Comparison, results: list[SchemeResult]) -> tuple[JobView, ...]:
    """The jobs of the schemes within limits, in the order of the results."""
    return tuple(_job_view(comparison, result, comparison.jobs[result.id]) for result in results if result.id in comparison.jobs)


def _job_view(comparison: Comparison, result: SchemeResult, job: Job) -> JobView:
    dates = job.programme.dates
    return JobView(
        id=result.id,
        title=result.title,
        first_order=date_words(min((delivery.order_by for delivery in job.deliveries), default=dates.start)),
        begins=date_words(dates.begins),
        ends=date_words(dates.finish),
        weeks=len(dates.weeks),
        busiest_h=max((week.own_hours for week in dates.weeks), default=0.0),
        deliveries=len(job.deliveries),
        loads=sum(delivery.loads for delivery in job.deliveries),
        pours=pour_summary(comparison, job),
        open_too_long=tuple(standing.name for standing in job.programme.standings if standing.too_long),
        sheets=_sheets(result),
    )


def _sheets(result: SchemeResult) -> tuple[SheetLink, ...]:
    return (
        SheetLink(order_page.file_name(result, "html"), "Order list", "what, from whom, in which words, by when, where to put it",
                  order_page.file_name(result, "csv")),
        SheetLink(setting_out_page.file_name(result, "html"), "Setting-out sheet", "to peg it out with a tape and a laser level",
                  setting_out_page.file_name(result, "csv")),
        SheetLink(pour_page.file_name(result, "html"), "Day sheet of each pour", "order, crew, clock, checklist, afterwards"),
        SheetLink(programme_page.file_name(result, "html"), "Programme", "what waits for what, and your hours by the week"),
        SheetLink(programme_page.file_name(result, "ics"), "Calendar file", "the programme for the calendar of your telephone"),
    )
