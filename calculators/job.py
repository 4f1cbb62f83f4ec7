"""The rest of the job of one scheme: programme, pours, orders, cautions; worked out once the schemes have been compared."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from calculators.order_list import Delivery, deliveries_of
from calculators.plot_cautions import Caution, cautions_of
from calculators.pours import Pour, pours_of
from calculators.programme import CALENDAR_BY_NAME, WAITS, Calendar, Programme, programme_of
from calculators.scenario import ProgrammeGiven, Scenario
from calculators.site import Site

SATURDAY = 5


@dataclass(frozen=True)
class Job:
    """What carries one scheme from the decision to a floor: its programme, its pours in their order, its deliveries by date, its cautions."""

    scheme: str
    programme: Programme
    pours: tuple[Pour, ...]
    deliveries: tuple[Delivery, ...]
    cautions: tuple[Caution, ...]


def start_of(scenario: Scenario) -> date:
    """The date on which the job begins.

    scenario: its programme's start, or None for the first Saturday of the April after the date of its prices.
    Returns a date, no unit.  Source: definition of the guide.
    """
    if scenario.programme.start is not None:
        return scenario.programme.start
    year, month = (int(part) for part in scenario.schedule.dated.split("-")[:2])
    first = date(year + (month >= 4), 4, 1)
    return first + timedelta(days=(SATURDAY - first.weekday()) % 7)


def calendar_of(given: ProgrammeGiven) -> Calendar:
    """The days on which the owner works.

    given: the reader's days, hours a day (h), holidays and months off.
    Returns a Calendar, with hours a day.
    Raises ValueError for hours a day of other than 0.5 to 16 and for a year without a month to work in.
    Source: definition of the guide.
    """
    return replace(
        CALENDAR_BY_NAME[given.days], hours_a_day=given.hours_a_day, holidays=frozenset(given.holidays), months_off=frozenset(given.months_off))


def job_of(site: Site, result) -> Job:
    """The job of one scheme that can be built.

    site; result: of the comparison.  The programme is dated twice: what is
    waited for after a pour depends on the weather of its month, which the
    first dates tell.
    Returns a Job: dates, hours, days, m3, money.
    Raises ValueError for a scheme that is outside the limits, and for a calendar with no day to work on for 400 days.
    Source: `programme_of`, `pours_of`, `deliveries_of` and `cautions_of`.
    """
    given = site.scenario.programme
    start, calendar = start_of(site.scenario), calendar_of(given)
    first = programme_of(site, result, start, calendar, given.waits)
    waits = {wait: days for pour in pours_of(site, result, first.dates) for wait, days in hardening_waits(pour).items()}
    programme = programme_of(site, result, start, calendar, waits | dict(given.waits))
    pours = pours_of(site, result, programme.dates)
    deliveries = deliveries_of(site, result, pours, programme.dates)
    return Job(result.id, programme, pours, deliveries, cautions_of(site, result, pours, deliveries))


def hardening_waits(pour: Pour) -> dict[str, float]:
    """How long the programme waits for a pour to harden, until walls may stand on it.

    pour: with its waits, days.  Returns days (24 hours each) by the key of the wait, no less than common practice has it; nothing where it is too cold to say.
    Source: the longer of `Pour.waits_days` and `programme.WAITS`.
    """
    wait = pour.key.replace("pour", "cure")
    if pour.waits_days is None or wait not in WAITS:
        return {}
    return {wait: max(WAITS[wait].value, pour.waits_days["build"][1])}
