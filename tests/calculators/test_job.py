"""The rest of the job of a scheme: a reader's crew, weather and dates change the day; nothing is lost between the bill, the orders and the programme.

Dates are those of the Gregorian calendar, worked out beside each test; sums
of the bill are the judge of what is ordered.
"""

from dataclasses import replace
from datetime import date

import pytest

from calculators.compare import compare
from calculators.curing import stage_wait_days
from calculators.job import calendar_of, hardening_waits, start_of
from calculators.programme import SLAB_CURE_DAYS
from calculators.scenario import PourDayGiven, ProgrammeGiven

SCHEMES = ("thickened-raft", "strip-and-block", "insulated-slab")


@pytest.fixture(scope="module")
def plot(make_scenario):
    return make_scenario(gradient=1 / 14)


def job(scenario, scheme="thickened-raft"):
    return compare(replace(scenario, schemes={scheme: scenario.schemes[scheme]}), jobs=True).jobs[scheme]


def with_pour(scenario, **given):
    return replace(scenario, pour=replace(scenario.pour, **given))


def with_programme(scenario, **given):
    return replace(scenario, programme=replace(scenario.programme, **given))


def test_every_scheme_within_limits_has_its_job_and_no_other(make_scenario, plot):
    found = compare(plot, jobs=True)
    assert tuple(found.jobs) == SCHEMES
    peat = compare(make_scenario(plot=dict(soil="peat")), jobs=True)
    assert peat.jobs == {}
    assert compare(plot).jobs == {}


@pytest.mark.parametrize("dated,start", [
    ("2026-01", date(2026, 4, 4)),   # 1 April 2026 is a Wednesday.
    ("2026-03-30", date(2026, 4, 4)),
    ("2026-04", date(2027, 4, 3)),   # 1 April 2027 is a Thursday.
    ("2026-11", date(2027, 4, 3)),
    ("2028-02", date(2028, 4, 1)),   # 1 April 2028 is a Saturday.
])
def test_a_job_that_nobody_dated_begins_on_a_saturday_in_april(plot, dated, start):
    assert start_of(replace(plot, schedule=replace(plot.schedule, dated=dated))) == start
    assert start_of(with_programme(plot, start=date(2030, 1, 2))) == date(2030, 1, 2)


def test_the_days_worked_are_the_readers():
    calendar = calendar_of(ProgrammeGiven(days="weekdays", hours_a_day=5.0, holidays=(date(2027, 5, 3),), months_off=(12, 1)))
    assert calendar.weekdays == {0, 1, 2, 3, 4} and calendar.hours_a_day == 5.0
    assert calendar.holidays == {date(2027, 5, 3)} and calendar.months_off == {12, 1}


@pytest.mark.parametrize("scheme", SCHEMES)
def test_pours_fall_on_their_days_in_the_programme(plot, scheme):
    found = job(plot, scheme)
    assert [pour.key for pour in found.pours] == (["slab pour"] if scheme == "thickened-raft" else ["footing pour", "slab pour"])
    for pour in found.pours:
        assert pour.date == found.programme.dates.task(pour.key).start
        assert any(delivery.arrives == pour.date and sum(line.order for line in delivery.lines) > 0.0 for delivery in found.deliveries)


def test_more_people_are_quicker(plot):
    few, many = (job(with_pour(plot, people=people, barrows=barrows, way="barrow")).pours[0] for people, barrows in ((4, 2), (10, 5)))
    assert many.day.rate_m3_per_h > few.day.rate_m3_per_h
    assert many.day.finished_h < few.day.finished_h
    assert many.chosen == few.chosen


def test_people_who_have_done_it_before_are_quicker(plot):
    new, used = (job(with_pour(plot, first_time=first)).pours[0] for first in (True, False))
    assert used.day.loads[0].empty_h < new.day.loads[0].empty_h


def test_a_later_lorry_makes_a_later_day(plot):
    early, late = (job(with_pour(plot, first_lorry_h=hour)).pours[0] for hour in (8.0, 10.5))
    assert late.day.finished_h - early.day.finished_h == pytest.approx(2.5)


def test_weather_that_was_typed_is_taken_and_cold_floats_later(plot):
    cool, warm = (job(with_pour(plot, air_c=air, concrete_c=air + 2.0)).pours[0] for air in (8.0, 26.0))
    assert (cool.weather.air_c, warm.weather.air_c) == (8.0, 26.0)
    assert cool.day.power_float_h > warm.day.power_float_h
    assert cool.waits_days["build"][1] > warm.waits_days["build"][1]


def test_a_date_in_winter_brings_its_weather(plot):
    summer, winter = (job(with_programme(plot, start=date(2027, month, 2))).pours[0] for month in (6, 12))
    assert summer.date.month in (6, 7) and winter.date.month in (12, 1, 2)
    assert winter.weather.air_c < summer.weather.air_c
    assert winter.dusk_h - winter.sunrise_h < summer.dusk_h - summer.sunrise_h


def test_the_programme_waits_as_long_as_the_weather_makes_it(plot):
    cold = job(with_pour(plot, air_c=6.0, concrete_c=8.0))
    cure = cold.programme.dates.task("slab cure").task.days
    shortest, longest = cold.pours[0].waits_days["build"]
    assert cure == max(SLAB_CURE_DAYS.value, longest)
    assert hardening_waits(cold.pours[0]) == {"slab cure": cure}
    assert (shortest, longest) == pytest.approx(stage_wait_days("build", 25.0, 6.0), rel=0.5)
    # What the reader says goes before what is worked out.
    told = job(with_programme(with_pour(plot, air_c=6.0, concrete_c=8.0), waits={"slab cure": 30.0}))
    assert told.programme.dates.task("slab cure").task.days == 30.0


def test_frost_holds_no_times_and_still_has_a_sheet(plot):
    frozen = job(with_pour(plot, air_c=-4.0, concrete_c=6.0)).pours[0]
    assert frozen.day is None
    assert any(check.verdict == "outside" for check in frozen.checks)


def test_holidays_and_days_move_the_end(plot):
    weekends, daily = (job(with_programme(plot, start=date(2027, 5, 1), days=days)) for days in ("weekends", "every day"))
    assert daily.programme.dates.finish < weekends.programme.dates.finish
    away = job(with_programme(plot, start=date(2027, 5, 1), holidays=tuple(date(2027, 5, day) for day in (1, 2, 8, 9))))
    assert away.programme.dates.tasks[0].finish >= date(2027, 5, 1)
    assert away.programme.dates.finish >= weekends.programme.dates.finish


@pytest.mark.parametrize("scheme", SCHEMES)
def test_all_hours_of_the_bill_are_in_the_programme(plot, scheme):
    found = compare(plot, jobs=True)
    dates, priced = found.jobs[scheme].programme.dates, found.scheme(scheme).priced
    assert sum(task.task.own_hours for task in dates.tasks) == pytest.approx(priced.own_hours)
    assert sum(week.helper_hours for week in dates.weeks) == pytest.approx(priced.helper_hours)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_nothing_is_ordered_after_it_is_wanted(plot, scheme):
    found = job(plot, scheme)
    assert found.deliveries
    for delivery in found.deliveries:
        assert delivery.order_by <= delivery.arrives
        assert (delivery.arrives - delivery.order_by).days >= delivery.lead_days
    arrivals = [delivery.arrives for delivery in found.deliveries]
    assert arrivals == sorted(arrivals)


def test_a_crew_of_nonsense_is_refused(plot):
    with pytest.raises(ValueError, match="people"):
        job(replace(plot, pour=PourDayGiven(people=0)))
