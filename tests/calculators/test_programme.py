"""The programme: the path against a published network and a library of networks, dates by hand, and the tasks of every scheme."""

import random
import re
from datetime import date, datetime, timedelta

import pytest

from calculators.compare import compare
from calculators.pricing import BILL
from calculators.programme import (
    _AFTER_RAFT, _AFTER_WALLS, _WORKS, CALENDAR_BY_NAME, MONDAY_TO_FRIDAY, ORDER, POUR_LINES, POURING, STAND_LENGTHS_M, STANDS_RAFT, STANDS_WALLS, VISIT, WAIT,
    WAITS, WORK, Calendar, Task, critical_path, frost_months, hands_wanted, last_lorry_day, least_time_days, programme_of, schedule, slack_days, standings_of,
    tasks_of, weekday,
)
from calculators.weather import PLACES
from calculators.yardsticks import INSPECTIONS

WEEKENDS, WEEKDAYS, EVERY_DAY = (CALENDAR_BY_NAME[name] for name in ("weekends", "weekdays", "every day"))
SATURDAY = date(2026, 5, 2)
RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"

# Solved homework, read; the printed solution worked out again: 20 days along A, D, G.
PUBLISHED = [("A", 8, ""), ("B", 4, ""), ("C", 3, ""), ("D", 5, "A"), ("E", 1, "A"), ("F", 2, "C"), ("G", 7, "D"), ("H", 6, "C"), ("I", 9, "BEF"), ("J", 6, "H")]


def network(rows):
    return [Task(key, days=float(days), after=tuple(after)) for key, days, after in rows]


# The path


def test_the_published_network():
    path = critical_path(network(PUBLISHED))
    assert max(timing.late_finish for timing in path.values()) == 20.0
    assert [key for key, timing in path.items() if timing.critical] == ["A", "D", "G"]
    assert {key: timing.float_days for key, timing in path.items()} == dict(A=0, B=7, C=5, D=0, E=2, F=6, G=0, H=5, I=2, J=5)
    # By hand: I follows E (9), B (4) and F (5), and the end is 20.
    assert (path["I"].early_start, path["I"].early_finish, path["I"].late_start, path["I"].late_finish) == (9.0, 18.0, 11.0, 20.0)


@pytest.mark.parametrize("seed", range(25))
def test_against_a_library_of_networks(seed):
    """Longest paths by networkx: the whole, early starts, and by the network turned round late finishes."""
    nx = pytest.importorskip("networkx")
    chance = random.Random(seed)
    tasks = [Task(f"t{i}", days=float(chance.randint(0, 9)), after=tuple(f"t{j}" for j in range(i) if chance.random() < 0.25)) for i in range(14)]
    graph = nx.DiGraph()
    for task in tasks:
        graph.add_edge("start", task.key, weight=0.0)
        graph.add_edge(task.key, "end", weight=task.days)
        for key in task.after:
            graph.add_edge(key, task.key, weight=next(each.days for each in tasks if each.key == key))
    whole = nx.dag_longest_path_length(graph)
    chance.shuffle(tasks)
    path = critical_path(tasks)
    assert max(timing.early_finish for timing in path.values()) == whole

    def longest(source, target):
        between = (nx.descendants(graph, source) | {source}) & (nx.ancestors(graph, target) | {target})
        return nx.dag_longest_path_length(graph.subgraph(between))

    for task in tasks:
        assert path[task.key].early_start == longest("start", task.key)
        assert path[task.key].late_start == whole - longest(task.key, "end")
        assert path[task.key].float_days == path[task.key].late_start - path[task.key].early_start


def test_hours_are_turned_into_days():
    path = critical_path([Task("dig", own_hours=14.0), Task("cure", days=3.0, kind=WAIT, after=("dig",))], hours_a_day=7.0)
    assert path["cure"].early_start == 2.0 and path["cure"].early_finish == 5.0


def test_no_task_and_one_task():
    assert critical_path([]) == {} and least_time_days((), (), ()) == 0.0 and slack_days((), (), ()) == ()
    assert critical_path([Task("A", days=3.0)])["A"].late_finish == 3.0
    empty = schedule([], SATURDAY, WEEKENDS)
    assert empty.tasks == () and empty.weeks == () and empty.start == empty.finish == SATURDAY


@pytest.mark.parametrize("rows, words", [
    ([("A", 1, "A")], "A after A"),
    ([("A", 1, "C"), ("B", 1, "A"), ("C", 1, "B")], "A after C after B after A"),
    ([("X", 1, ""), ("A", 1, "XB"), ("B", 1, "A"), ("Z", 1, "B")], "A after B after A"),
    ([("Z", 1, "B"), ("A", 1, "B"), ("B", 1, "A")], "B after A after B"),
])
def test_a_circle_is_refused_and_named(rows, words):
    for way in (critical_path, lambda tasks: schedule(tasks, SATURDAY, WEEKENDS)):
        with pytest.raises(ValueError, match=f"circle: {words}$"):
            way(network(rows))


@pytest.mark.parametrize("make, words", [
    (lambda: critical_path(network([("A", 1, ""), ("A", 2, "")])), "two tasks are called A"),
    (lambda: critical_path(network([("A", 1, "Q")])), "A follows Q, which is not a task"),
    (lambda: slack_days(("A",), (1.0, 2.0), ("-",)), "not 1, 2 and 1"),
    (lambda: Task("A", days=-1.0), "days must be from 0"),
    (lambda: Task("A", days=1000.5), "to 1000"),
    (lambda: Task("A", own_hours=float("nan")), "hours must be from 0"),
    (lambda: Task("A", kind="rest"), "kind of a task"),
    (lambda: critical_path([], hours_a_day=0.49), "from 0.5 to 16"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, 16.01), "from 0.5 to 16"),
    (lambda: Calendar(frozenset()), "days worked"),
    (lambda: Calendar(frozenset({7})), "days worked"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, months_off=frozenset(range(1, 13))), "months off"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, months_off=frozenset({0})), "months off"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, holidays=frozenset({"2026-05-02"})), "a holiday must be a date"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, lorry_weekdays=frozenset()), "days on which lorries come"),
    (lambda: Calendar(MONDAY_TO_FRIDAY, lorry_weekdays=frozenset({9})), "days on which lorries come"),
    (lambda: schedule([], date(1899, 12, 31), WEEKENDS), "years 1900 to 2200"),
    (lambda: schedule([], date(2201, 1, 1), WEEKENDS), "years 1900 to 2200"),
    (lambda: schedule([Task("A", kind=POURING, own_hours=1.0)], SATURDAY, Calendar(frozenset({6}))), "no day to pour on: lorries .* no Sunday"),
    (lambda: schedule([Task("A", kind=POURING, own_hours=1.0)], SATURDAY, Calendar(frozenset({5, 6}), holidays=frozenset(SATURDAY + timedelta(days=7 * i) for i in range(60)))),
     "no day to pour on"),
    (lambda: schedule([Task("A", own_hours=600.0)], SATURDAY, Calendar(frozenset({6}), 0.5)), "would go on past 2046-05-02; it needs more hours a day"),
    (lambda: hands_wanted(Task("A", kind=POURING, own_hours=5.0), 0.0), "from 0.5 to 16"),
    (lambda: frost_months("atlantis"), "no weather is held for 'atlantis'"),
    (lambda: frost_months("england", 91.0), "-90 to 90"),
    (lambda: last_lorry_day("2026-05-03"), "a day must be a date"),
    (lambda: schedule([], "2026-05-02", WEEKENDS), "a start must be a date"),
    (lambda: schedule([], datetime(2026, 5, 2, 8), WEEKENDS), "without a time"),
    (lambda: schedule([Task("A", own_hours=1.0)], SATURDAY, Calendar(frozenset({5}), holidays=frozenset(SATURDAY + timedelta(days=7 * i) for i in range(60)))),
     "no day to work on"),
])
def test_what_is_refused(make, words):
    with pytest.raises(ValueError, match=words):
        make()


def test_limits_that_are_allowed():
    Task("A", days=1000.0, own_hours=10000.0)
    Calendar(MONDAY_TO_FRIDAY, 16.0)
    assert Calendar(MONDAY_TO_FRIDAY, 0.5).hours_a_day == 0.5


# Dates


def test_weekday_is_the_calendars():
    for day in (date(1, 1, 1), date(2000, 2, 29), SATURDAY):
        assert weekday(day.toordinal()) == day.weekday()


def dates_of(dates):
    return {each.task.key: (each.start, each.finish) for each in dates.tasks}


def test_work_goes_over_to_the_next_working_day():
    """17 h at 7 h a day: Saturday, Sunday, and 3 h of the next Saturday; the next task goes on there."""
    dates = schedule([Task("dig", own_hours=17.0, helper_hours=8.5), Task("trim", own_hours=4.0, after=("dig",))], SATURDAY, WEEKENDS)
    dig = dates.task("dig")
    assert [(each.date.day, each.own_hours, each.helper_hours) for each in dig.worked] == [(2, 7.0, 3.5), (3, 7.0, 3.5), (9, pytest.approx(3.0), pytest.approx(1.5))]
    assert dates_of(dates)["trim"] == (date(2026, 5, 9), date(2026, 5, 9))
    assert [(week.monday, week.own_hours) for week in dates.weeks] == [(date(2026, 4, 27), 14.0), (date(2026, 5, 4), pytest.approx(7.0))]


def test_a_start_in_the_week_waits_for_the_weekend():
    assert schedule([Task("A", own_hours=1.0)], date(2026, 5, 4), WEEKENDS).task("A").start == date(2026, 5, 9)


def test_holidays_and_months_off():
    holiday = Calendar(frozenset({5, 6}), holidays=frozenset({date(2026, 5, 3)}))
    assert schedule([Task("A", own_hours=8.0)], SATURDAY, holiday).task("A").finish == date(2026, 5, 9)
    winter = Calendar(frozenset({5, 6}), months_off=frozenset({12, 1, 2}))
    dates = schedule([Task("A", own_hours=14.0)], date(2026, 11, 29), winter)
    assert dates_of(dates)["A"] == (date(2026, 11, 29), date(2027, 3, 6))


@pytest.mark.parametrize("calendar, cured", [(WEEKENDS, date(2026, 5, 9)), (WEEKDAYS, date(2026, 5, 11)), (EVERY_DAY, date(2026, 5, 9))])
def test_concrete_hardens_on_days_off(calendar, cured):
    """Poured on the first working day from Saturday the 2nd; seven days are over on the 9th, or poured on Monday the 4th on Monday the 11th."""
    dates = schedule([Task("pour", kind=POURING, own_hours=5.0), Task("cure", kind=WAIT, days=7.0, after=("pour",)), Task("build", own_hours=1.0, after=("cure",))], SATURDAY, calendar)
    assert dates.task("build").start == cured
    assert dates.task("cure").finish == cured - timedelta(days=1)


@pytest.mark.parametrize("day, ready", [(2, 6), (3, 6), (4, 7), (7, 12), (8, 13)])
def test_inspectors_come_on_weekdays(day, ready):
    """Two weekdays after the work: after the Saturday or Sunday Monday and Tuesday; after Thursday the 7th Friday and Monday; after Friday Monday and Tuesday."""
    tasks = [Task("dig", own_hours=3.0), Task("visit", kind=VISIT, days=2.0, after=("dig",)), Task("fill", own_hours=1.0, after=("visit",))]
    dates = schedule(tasks, date(2026, 5, day), EVERY_DAY)
    assert dates.task("fill").start == date(2026, 5, ready)
    assert dates.task("visit").finish == date(2026, 5, ready - 1)


def test_no_inspector_on_a_holiday():
    tasks = [Task("dig", own_hours=3.0), Task("visit", kind=VISIT, days=1.0, after=("dig",))]
    assert schedule(tasks, SATURDAY, Calendar(frozenset(range(7)), holidays=frozenset({date(2026, 5, 4)}))).task("visit").finish == date(2026, 5, 5)


def test_a_pour_has_a_day_to_itself_and_never_a_sunday():
    """The forms take two hours of Saturday the 2nd; the 3rd is a Sunday, so the pour is on the 9th, and what is after it on the 10th."""
    tasks = [Task("forms", own_hours=2.0), Task("pour", kind=POURING, own_hours=9.0, after=("forms",)), Task("strike", own_hours=1.0, after=("pour",))]
    dates = schedule(tasks, SATURDAY, WEEKENDS)
    assert dates_of(dates)["pour"] == (date(2026, 5, 9), date(2026, 5, 9)) and dates.task("strike").start == date(2026, 5, 10)
    # Nine hours stay nine hours, though the day has seven; and the day after has one more.
    assert [week.own_hours for week in dates.weeks] == [pytest.approx(2.0), pytest.approx(10.0)]
    # Every day of the week, and the same: Sunday the 3rd is left out, Monday is not.
    assert dates_of(schedule(tasks, SATURDAY, EVERY_DAY))["pour"] == (date(2026, 5, 4), date(2026, 5, 4))


def test_no_pour_on_a_holiday():
    pour = [Task("pour", kind=POURING, own_hours=5.0)]
    assert schedule(pour, SATURDAY, Calendar(frozenset({5, 6}), holidays=frozenset({SATURDAY}))).finish == date(2026, 5, 9)


def test_work_stops_for_a_pour_and_goes_on_afterwards():
    """Steel on the 2nd lets the visit be on Monday and Tuesday the 5th; drains begin on the 2nd, the pour takes Saturday the 9th, the drains end on Sunday the 10th."""
    tasks = [
        Task("steel", own_hours=3.0), Task("visit", kind=VISIT, days=2.0, after=("steel",)), Task("pour", kind=POURING, own_hours=5.0, after=("visit",)),
        Task("drains", own_hours=14.0), Task("tidy", own_hours=1.0, after=("pour", "drains")),
    ]
    dates = schedule(tasks, SATURDAY, WEEKENDS)
    assert [(worked.date.day, worked.own_hours) for worked in dates.task("drains").worked] == [(2, pytest.approx(4.0)), (3, 7.0), (10, pytest.approx(3.0))]
    assert dates.task("pour").start == date(2026, 5, 9) and dates.task("tidy").finish == dates.finish == date(2026, 5, 10)
    assert dates.task("drains").late_finish == date(2026, 5, 10)


def test_float_of_an_order_and_of_work():
    """Work takes both days; the pour is on the 9th, so concrete ordered seven days before is ordered on Friday the 1st, and blocks three days before the 16th on the 13th."""
    tasks = [
        Task("dig", own_hours=14.0), Task("concrete", kind=ORDER, days=7.0), Task("pour", kind=POURING, own_hours=5.0, after=("dig", "concrete")),
        Task("cure", kind=WAIT, days=3.0, after=("pour",)), Task("blocks", kind=ORDER, days=3.0), Task("lay", own_hours=14.0, after=("cure", "blocks")),
    ]
    dates = schedule(tasks, SATURDAY, WEEKENDS)
    # The 10th is still curing (9 + 3 = 12), so blocks are laid on the 16th and 17th.
    assert dates_of(dates)["lay"] == (date(2026, 5, 16), date(2026, 5, 17)) and dates.finish == date(2026, 5, 17)
    blocks, concrete = dates.task("blocks"), dates.task("concrete")
    assert (blocks.start, blocks.late_start, blocks.float_days) == (SATURDAY, date(2026, 5, 13), 11)
    assert (blocks.order_by, blocks.wanted) == (date(2026, 5, 13), date(2026, 5, 16))
    # A day later is a Sunday, so neither the pour nor its concrete has a day to spare; the 2nd is a Saturday, when nobody takes an order.
    assert dates.task("pour").critical and dates.task("dig").critical and concrete.critical
    assert (concrete.order_by, concrete.wanted) == (date(2026, 5, 1), date(2026, 5, 9))
    # Curing is over on the 12th and wanted on the 16th: four days.
    assert dates.task("cure").float_days == 4 and dates.task("cure").late_start == date(2026, 5, 13)
    assert dates.task("lay").critical and dates.task("lay").float_days == 0
    assert dates.task("dig").order_by is None and dates.task("cure").wanted is None


def test_nothing_is_delivered_on_a_sunday_or_a_holiday():
    """Ordered on Sunday the 3rd, seven days on is a Sunday, so it comes on Monday the 11th; on a holiday Monday, on the 12th."""
    order = [Task("stone", kind=ORDER, days=7.0), Task("lay", own_hours=1.0, after=("stone",))]
    assert schedule(order, date(2026, 5, 3), EVERY_DAY).task("lay").start == date(2026, 5, 11)
    holiday = Calendar(frozenset(range(7)), holidays=frozenset({date(2026, 5, 11)}))
    assert schedule(order, date(2026, 5, 3), holiday).task("lay").start == date(2026, 5, 12)
    # What is laid on a Sunday is there on the Saturday.
    late = schedule([Task("stone", kind=ORDER, days=3.0), Task("dig", own_hours=7.0), Task("lay", own_hours=1.0, after=("stone", "dig"))], date(2026, 5, 9), WEEKENDS).task("stone")
    assert (late.wanted, late.order_by) == (date(2026, 5, 16), date(2026, 5, 13))


def test_the_last_day_of_lorries():
    assert last_lorry_day(SATURDAY) == SATURDAY and last_lorry_day(date(2026, 5, 3)) == SATURDAY
    assert last_lorry_day(date(2026, 5, 3), [SATURDAY, date(2026, 5, 1)]) == date(2026, 4, 30)


@pytest.mark.parametrize("start, finish", [
    (date(2028, 2, 29), date(2028, 3, 6)),   # Tuesday; seven days with the 29th.
    (date(2027, 2, 26), date(2027, 3, 4)),   # No 29th.
    (date(2028, 2, 25), date(2028, 3, 2)),
    (date(2026, 12, 29), date(2027, 1, 4)),
    (date(2027, 3, 25), date(2027, 3, 31)),  # Clocks go forward in Europe on the 28th,
    (date(2026, 10, 23), date(2026, 10, 29)),  # and back on the 25th.
    (date(2100, 2, 26), date(2100, 3, 4)),   # No leap year.
])
def test_seven_days_are_seven_days_at_any_time_of_any_year(start, finish):
    """From the day before the pour the first day on which it can be; counted on a calendar by hand."""
    dates = schedule([Task("pour", kind=POURING, own_hours=5.0), Task("cure", kind=WAIT, days=7.0, after=("pour",))], start, EVERY_DAY)
    assert dates.task("pour").start == start and dates.finish == finish


def test_one_month_a_year_is_enough_to_get_on_with():
    """20 h in Mays alone, at 0.5 h on each day of a weekend: 40 days.  May 2026 has ten of them, 2027 ten, 2028 eight, 2029 eight; the last four are in 2030."""
    may = Calendar(frozenset({5, 6}), 0.5, months_off=frozenset(range(1, 13)) - {5})
    dates = schedule([Task("A", own_hours=20.0)], date(2026, 1, 1), may)
    assert dates.task("A").start == SATURDAY and dates.finish == date(2030, 5, 12)
    assert {worked.date.month for worked in dates.task("A").worked} == {5}
    assert [sum(worked.date.year == year for worked in dates.task("A").worked) for year in range(2026, 2031)] == [10, 10, 8, 8, 4]


@pytest.mark.parametrize("seed", range(20))
def test_a_chain_walked_day_by_day(seed):
    """One task after another on any calendar, against a walk with a finger along the days."""
    chance = random.Random(seed)
    calendar = Calendar(frozenset(chance.sample(range(6), 3)), chance.choice((3.0, 5.5, 8.0)), frozenset(SATURDAY + timedelta(days=chance.randint(0, 90)) for _ in range(12)),
                        frozenset(chance.sample(range(1, 13), 3)))
    tasks = [Task("t0", own_hours=1.0)]
    for i in range(1, 9):
        kind = chance.choice((WORK, POURING, WAIT, VISIT))
        tasks.append(Task(f"t{i}", kind=kind, days=float(chance.randint(1, 9)) if kind in (WAIT, VISIT) else 0.0,
                          own_hours=chance.choice((0.5, 4.0, 9.5)) if kind in (WORK, POURING) else 0.0, after=(f"t{i - 1}",)))
    dates = schedule(tasks, SATURDAY, calendar)

    day, left = SATURDAY, calendar.hours_a_day

    def works(day):
        return day.weekday() in calendar.weekdays and day not in calendar.holidays and day.month not in calendar.months_off

    for task in tasks:
        if task.kind == WORK:
            todo, first = task.own_hours, None
            while todo > 1e-9:
                if not works(day) or left < 1e-9:
                    day, left = day + timedelta(days=1), calendar.hours_a_day
                    continue
                first = first or day
                done = min(todo, left)
                todo, left = todo - done, left - done
            assert dates_of(dates)[task.key] == (first, day)
        elif task.kind == POURING:
            while not works(day) or left < calendar.hours_a_day - 1e-9:
                day, left = day + timedelta(days=1), calendar.hours_a_day
            assert dates_of(dates)[task.key] == (day, day)
            left = 0.0
        else:
            # A morning has its own day before it; an evening has not.
            counted = day if left == calendar.hours_a_day and task.kind == VISIT else None
            gone = 0
            end = day - timedelta(days=1) if counted else day
            while gone < task.days:
                end += timedelta(days=1)
                gone += task.kind == WAIT or (end.weekday() < 5 and end not in calendar.holidays)
            day, left = end + timedelta(days=1 if task.kind == VISIT else 0), calendar.hours_a_day
            assert dates.task(task.key).finish == day - timedelta(days=1)


def test_hands_that_make_a_pour_fit():
    def hands(own, helper, day):
        return hands_wanted(Task("pour", kind=POURING, own_hours=own, helper_hours=helper), day)

    # 20 h in all: 7 h each for three people, 4 h each for five; 21 h at 7 h is three and no more.
    assert (hands(7.8, 12.2, 7.0), hands(7.8, 12.2, 4.0), hands(8.0, 13.0, 7.0)) == (3, 5, 3)
    # Nobody pours alone.
    assert hands(1.0, 0.0, 7.0) == hands(0.0, 0.0, 16.0) == 2


def test_months_of_frost():
    for region in PLACES:
        north, south = frost_months(region), frost_months(region, -40.0)
        assert {12, 1, 2} & north and not {6, 7, 8} & north
        # Half a year on in the south.
        assert south == {(month + 5) % 12 + 1 for month in north}
    assert frost_months("england") < frost_months("us")


def test_one_pair_of_hands():
    """Two tasks that do not depend on each other are done one after the other, though the network would have both at once."""
    tasks = [Task("A", own_hours=7.0), Task("B", own_hours=7.0)]
    assert max(timing.late_finish for timing in critical_path(tasks).values()) == 1.0
    dates = schedule(tasks, SATURDAY, WEEKENDS)
    assert dates.finish == date(2026, 5, 3) and all(each.critical for each in dates.tasks)


@pytest.mark.parametrize("seed", range(40))
def test_laws_of_any_schedule(seed):
    """No task before those it follows, none late before early, one task at a time, no hour lost, and the late dates hold the end."""
    chance = random.Random(seed)
    tasks = []
    for i in range(15):
        kind = chance.choice((WORK, WORK, WORK, POURING, WAIT, VISIT, ORDER))
        work = kind in (WORK, POURING)
        tasks.append(Task(f"t{i}", kind=kind, days=0.0 if work else float(chance.randint(0, 8)), own_hours=chance.choice((0.0, 0.5, 3.0, 6.9, 11.0)) if work else 0.0,
                          after=tuple(f"t{j}" for j in range(i) if chance.random() < 0.2)))
    calendar = chance.choice((WEEKENDS, WEEKDAYS, EVERY_DAY, Calendar(frozenset({1, 4, 6}), 3.5, frozenset({date(2026, 5, 8)}))))
    dates = schedule(tasks, SATURDAY, calendar)
    assert {each.task.key for each in dates.tasks} == {task.key for task in tasks}
    for each in dates.tasks:
        # The late dates are a programme too: nothing begins before what it follows has ended.
        assert all(dates.task(key).late_start <= each.late_start for key in each.task.after)
        if each.task.kind == POURING:
            assert each.start.weekday() != 6 and each.late_start.weekday() != 6 and each.start not in calendar.holidays
        if each.task.kind == ORDER:
            assert each.wanted.weekday() != 6 and each.wanted not in calendar.holidays and each.order_by.weekday() < 5
            assert (each.wanted - each.order_by).days >= each.task.days
            assert all(each.wanted <= other.start for other in dates.tasks if each.task.key in other.task.after)
        assert each.critical == (each.float_days == 0)
    hours_of_day: dict = {}
    for each in dates.tasks:
        assert each.start <= each.finish and each.start <= each.late_start and each.finish <= each.late_finish
        assert each.late_finish <= dates.finish or not each.task.is_work
        assert all(dates.task(key).finish <= each.start or not each.task.is_work or not dates.task(key).task.is_work for key in each.task.after)
        assert all(dates.task(key).start <= each.start for key in each.task.after)
        assert sum(worked.own_hours for worked in each.worked) == pytest.approx(each.task.own_hours)
        for worked in each.worked:
            assert worked.date.weekday() in calendar.weekdays and worked.date not in calendar.holidays
            hours_of_day.setdefault(worked.date, []).append((each.task.kind, worked.own_hours))
    for done in hours_of_day.values():
        if any(kind == POURING for kind, _ in done):
            assert sum(1 for _, hours in done if hours > 0.0) <= 1
        else:
            assert sum(hours for _, hours in done) <= calendar.hours_a_day + 1e-6
    assert sum(week.own_hours for week in dates.weeks) == pytest.approx(sum(task.own_hours for task in tasks))
    for week in dates.weeks:
        days = [week.monday + timedelta(days=i) for i in range(7)]
        assert week.available_hours == pytest.approx(calendar.hours_a_day * sum(day.weekday() in calendar.weekdays and day not in calendar.holidays for day in days))
    last = [each for each in dates.tasks if each.finish == dates.finish]
    if len(last) == 1 and last[0].task.is_work:
        # What is still worked on when everything else is done decides the end.
        assert last[0].critical


def test_a_longer_wait_never_makes_it_earlier():
    def end(days):
        return schedule([Task("A", own_hours=4.0), Task("w", kind=WAIT, days=days, after=("A",)), Task("B", own_hours=4.0, after=("w",))], SATURDAY, WEEKENDS).finish
    ends = [end(float(days)) for days in range(20)]
    assert ends == sorted(ends) and ends[0] == date(2026, 5, 3) and ends[-1] > ends[0]


# A scheme


@pytest.fixture(scope="module")
def built(make_scenario):
    return compare(make_scenario(gradient=1 / 14))


def test_every_line_of_the_bill_is_in_one_task():
    used = [key for rule in _WORKS for key in rule.lines] + list(POUR_LINES)
    assert sorted(used) == sorted(line.key for line in BILL)


@pytest.mark.parametrize("network", [_AFTER_RAFT, _AFTER_WALLS])
def test_networks_name_what_there_is(network):
    known = {rule.key for rule in _WORKS} | set(WAITS) | {f"inspect {n}" for n in range(1, 5)}
    assert set(network) <= known and {key for after in network.values() for key in after} <= known


def test_inspections_are_those_of_the_yardsticks():
    for scheme, network, stands in ((RAFT, _AFTER_RAFT, STANDS_RAFT), (STRIP, _AFTER_WALLS, STANDS_WALLS), (WARM, _AFTER_WALLS, STANDS_WALLS)):
        assert sum(key.startswith("inspect ") for key in network) == len(INSPECTIONS[scheme])
        assert {stand.after for stand in stands} <= {rule.key for rule in _WORKS} | set(WAITS)


@pytest.mark.parametrize("scheme", [RAFT, STRIP, WARM])
@pytest.mark.parametrize("calendar", CALENDAR_BY_NAME)
def test_programme_of_every_scheme(built, scheme, calendar):
    result = built.scheme(scheme)
    programme = programme_of(built.site, result, SATURDAY, CALENDAR_BY_NAME[calendar])
    tasks = [each.task for each in programme.dates.tasks]
    # No hour of the bill is lost, and none made.
    assert sum(task.own_hours for task in tasks) == pytest.approx(result.priced.own_hours)
    assert sum(task.helper_hours for task in tasks) == pytest.approx(result.priced.helper_hours)
    assert sum(week.own_hours for week in programme.dates.weeks) == pytest.approx(result.priced.own_hours)
    dates = programme.dates
    assert dates.task("tidy").finish == dates.finish
    assert dates.task("set out").start <= dates.task("dig").start
    for each in dates.tasks:
        if each.task.kind == POURING:
            assert each.start == each.finish and each.start.weekday() != 6
    # Nothing is covered before it has been seen: the visits come before what covers.
    for visit, cover in {RAFT: ((1, "stone"), (2, "slab pour"))}.get(scheme, ((1, "footing pour"), (2, "walls"), (3, "stone"), (4, "slab pour"))):
        assert dates.task(f"inspect {visit}").finish < dates.task(cover).start
    assert dates.task("order plant").late_finish <= dates.task("dig").late_start
    cure = dates.task("slab cure")
    assert (cure.finish - dates.task("slab pour").finish).days == 6


def test_order_of_work(built):
    starts = {scheme: {each.task.key: each.start for each in programme_of(built.site, built.scheme(scheme), SATURDAY, WEEKENDS).dates.tasks} for scheme in (RAFT, STRIP)}
    # A raft has its blocks on the slab; a strip has its slab between the walls.
    assert starts[RAFT]["slab pour"] < starts[RAFT]["walls"] and starts[STRIP]["walls"] < starts[STRIP]["slab pour"]
    assert "footing pour" not in starts[RAFT] and starts[STRIP]["footing pour"] < starts[STRIP]["walls"]


def test_what_a_plot_does_not_have_drops_out_and_leaves_no_gap(make_scenario):
    flat = compare(make_scenario(building=dict(doors=())))
    tasks = {task.key: task for task in tasks_of(flat.scheme(RAFT))}
    assert "doors" not in tasks and "break out" not in tasks
    assert "set out" in tasks["dig"].after
    critical_path(list(tasks.values()))


@pytest.mark.parametrize("scheme", [RAFT, STRIP, WARM])
@pytest.mark.parametrize("changes", [
    dict(gradient=0.0, building=dict(doors=())),
    dict(gradient=1 / 20, plot=dict(topsoil_m=0.1)),
    dict(gradient=1 / 14, building=dict(internal_walls_m=(((3.3, 0.0), (3.3, 4.2)),))),
    dict(gradient=1 / 14, plot=dict(existing_slabs_m=((((1.0, 1.0), (3.0, 1.0), (3.0, 2.5), (1.0, 2.5)), 0.1),))),
])
def test_programme_of_any_plot(make_scenario, scheme, changes):
    """Topsoil alone and no drains, walls inside, old concrete: every line of the bill has its day, and nothing follows what is not there."""
    found = compare(make_scenario(**changes))
    result = found.scheme(scheme)
    programme = programme_of(found.site, result, SATURDAY, WEEKENDS)
    keys = {each.task.key for each in programme.dates.tasks}
    used = {key for rule in _WORKS if rule.key in keys for key in rule.lines}
    assert {line.key for line in result.priced.lines} - set(POUR_LINES) <= used
    assert sum(week.own_hours for week in programme.dates.weeks) == pytest.approx(result.priced.own_hours)
    assert all(standing.days is None or standing.days >= 0 for standing in programme.standings)
    assert ("break out" in keys) == ("existing_slabs_m" in changes.get("plot", {}))


def test_the_longest_chain_is_the_longest_path_of_a_library(built):
    nx = pytest.importorskip("networkx")
    for scheme in (RAFT, STRIP, WARM):
        programme = programme_of(built.site, built.scheme(scheme), SATURDAY, WEEKENDS)
        graph = nx.DiGraph()
        for each in programme.dates.tasks:
            lasts = each.task.days + each.task.hours / WEEKENDS.hours_a_day
            graph.add_edge((each.task.key, 0), (each.task.key, 1), weight=lasts)
            for key in each.task.after:
                graph.add_edge((key, 1), (each.task.key, 0), weight=0.0)
        assert programme.least_days == pytest.approx(nx.dag_longest_path_length(graph))
        chain = programme.longest_chain
        assert sum(task.days + task.hours / WEEKENDS.hours_a_day for task in chain) == pytest.approx(programme.least_days)
        assert not chain[0].after and all(before.key in task.after for before, task in zip(chain, chain[1:]))


def test_dates_move_when_the_calendar_does(built):
    result = built.scheme(STRIP)

    def finish(start=SATURDAY, calendar=WEEKENDS, waits=None):
        return programme_of(built.site, result, start, calendar, waits).dates.finish

    usual = finish()
    assert finish(date(2026, 5, 9)) == usual + timedelta(days=7)
    assert finish(calendar=WEEKDAYS) < usual
    assert finish(calendar=Calendar(frozenset({5, 6}), 3.0)) > usual
    # A weekend away costs a weekend: on the first of them nothing can be caught up.
    assert finish(calendar=Calendar(frozenset({5, 6}), holidays=frozenset({SATURDAY, date(2026, 5, 3)}))) >= usual
    assert finish(calendar=Calendar(frozenset({5, 6}), months_off=frozenset({6, 7, 8}))) > date(2026, 9, 1)
    assert finish(waits={"mortar": 28.0}) > usual and finish(waits={"mortar": 5.2}) == finish(waits={"mortar": 6.0})


def test_waits_can_be_given(built):
    result = built.scheme(STRIP)
    usual, cold = (programme_of(built.site, result, SATURDAY, EVERY_DAY, waits) for waits in (None, {"footing cure": 28.0}))
    assert cold.dates.finish > usual.dates.finish
    assert {task.key: task.days for task in tasks_of(result, {"inspection": 5.0})}["inspect 3"] == 5.0
    with pytest.raises(ValueError, match="no wait is called 'frost'"):
        tasks_of(result, {"frost": 3.0})
    with pytest.raises(ValueError, match="footing cure: a task's days"):
        tasks_of(result, {"footing cure": -3.0})


def test_weekends_take_longer_than_every_day(built):
    for scheme in (RAFT, STRIP, WARM):
        by_calendar = {name: programme_of(built.site, built.scheme(scheme), SATURDAY, calendar).dates.finish for name, calendar in CALENDAR_BY_NAME.items()}
        assert by_calendar["every day"] < by_calendar["weekdays"] < by_calendar["weekends"]


def test_how_long_it_stands(built):
    """Weekends: dug by a Sunday and seen by the Tuesday, a trench is concreted on the next Saturday at the soonest: 6 days, within 7 on sand, past 3 on clay."""
    dates = programme_of(built.site, built.scheme(STRIP), SATURDAY, WEEKENDS).dates
    on_sand, on_clay = (standings_of(STRIP, soil, dates)[0] for soil in ("medium sand", "firm clay"))
    assert on_sand.opened == dates.task("dig").finish and on_sand.covered == dates.task("footing pour").start
    assert on_sand.days == (on_sand.covered - on_sand.opened).days >= 6
    assert (on_sand.may_stand_days, on_clay.may_stand_days) == (7.0, 3.0)
    assert on_clay.too_long and on_sand.too_long == (on_sand.days > 7) and on_clay.remedy
    # Inside the walls the ground dug at the beginning lies open until the stone comes.
    inside = next(standing for standing in standings_of(STRIP, "medium sand", dates) if "inside" in standing.name)
    assert inside.covered == dates.task("stone").start and inside.too_long == (inside.days > 14)
    last = standings_of(RAFT, "medium sand", programme_of(built.site, built.scheme(RAFT), SATURDAY, WEEKENDS).dates)[-1]
    assert last.covered is None and last.may_stand_days is None and not last.too_long
    for stand in STANDS_RAFT + STANDS_WALLS:
        assert stand.harm and stand.protect and (stand.remedy or not stand.until)
        for words in (stand.harm, stand.protect, stand.remedy):
            # Lengths stand in braces, so that each reader gets them in his units.
            assert not re.search(r"\d", words) and "{" not in words.format(**dict.fromkeys(STAND_LENGTHS_M, ""))


def test_work_that_stands_in_frost_is_told(built):
    def frosty(start, calendar=WEEKENDS):
        return {standing.name: standing.frost for standing in programme_of(built.site, built.scheme(STRIP), start, calendar).standings}

    assert not any(frosty(date(2026, 5, 2)).values())
    winter = frosty(date(2026, 11, 14), Calendar(frozenset({5, 6}), months_off=frozenset({12, 1, 2})))
    assert winter["Footings in the open"] and winter["Open formation inside the walls"]


def test_a_scheme_outside_its_limits_has_no_programme(make_scenario):
    steep = compare(make_scenario(gradient=0.6))
    outside = [result for result in steep.schemes if not result.buildable]
    assert outside
    with pytest.raises(ValueError, match="cannot be built inside the limits"):
        programme_of(steep.site, outside[0], SATURDAY, WEEKENDS)
