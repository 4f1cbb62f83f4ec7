"""The programme through its doors: page, chart, text, JSON, calendar file; and on paper, A4."""

from __future__ import annotations

import datetime
import re
import sys
from pathlib import Path
from types import SimpleNamespace
from xml.etree import ElementTree

import pytest

from calculators.programme import (
    CALENDAR_BY_NAME,
    ORDER,
    POURING,
    VISIT,
    WAITS,
    Programme,
    Task,
    critical_path,
    schedule,
)
from generator import programme_page as sheets
from generator.dates import date_words, narrow_date, short_date
from generator.drawings.programme_chart import (
    WeekAxis,
    programme_chart_sheet,
    programme_chart_svg,
    programme_chart_table,
    programme_finding,
)
from generator.drawings.sheet import text_width
from generator.icalendar import calendar_file
from generator.text_table import WIDTH

sys.path.insert(0, str(Path(__file__).parent))
from paper import (  # noqa: E402
    EVERY_SCENARIO,
    ROOT,
    SCENARIOS,
    Document,
    desk,
    jobs,
    sides_of_a4,
    words_of,
)

SVG = "{http://www.w3.org/2000/svg}"
SATURDAY = datetime.date(2026, 5, 2)
PLOT = ROOT / "docs/scenarios/print-studio-below-the-orchard.md"
ON_CLAY = ROOT / "docs/scenarios/pottery-on-shrinking-clay.md"
ONE_MAY = "[January, February, March, April, June, July, August, September, October, November, December]"



def job_of(path: Path, scheme: str, *overrides: str):
    return next(each for each in jobs(path, *overrides) if each[1].id == scheme)


def a_programme(tasks, start=SATURDAY, calendar=CALENDAR_BY_NAME["weekends"]):
    return Programme("thickened-raft", schedule(tasks, start, calendar), critical_path(tasks, calendar.hours_a_day), ())


# The page.


@EVERY_SCENARIO
def test_the_page_is_whole_plain_and_stays_on_its_site(path):
    for comparison, result, job in jobs(path):
        html = sheets.programme_page(comparison, result, job)
        document = Document(html)
        assert html.lstrip().startswith("<!doctype html>") and ("html", {"lang": "en"}) in document.elements
        assert sum(tag == "h1" for tag, _ in document.elements) == 1
        ids = [attrs["id"] for _, attrs in document.elements if "id" in attrs]
        assert len(ids) == len(set(ids))
        for tag, attrs in document.elements:
            assert tag not in ("script", "style", "iframe", "img", "form")
            assert "style" not in attrs and not [name for name in attrs if name.startswith("on")]
            for address in (attrs.get("href", ""), attrs.get("src", "")):
                assert not re.match(r"[a-z]+:|//", address)
                if address.startswith(sheets.TO_ROOT + "methods/"):
                    assert (ROOT / "docs" / f"{address.removeprefix(sheets.TO_ROOT).rstrip('/')}.md").is_file(), address
                elif address.startswith(sheets.TO_ROOT):
                    assert (ROOT / "docs" / address.removeprefix(sheets.TO_ROOT)).is_file(), address
            if tag == "th":
                assert attrs.get("scope") in ("row", "col")
        assert html.count("<table") == html.count("<caption")
        assert f'href="{sheets.file_name(result, "ics")}"' in html
        assert calendar_file(comparison, result, job).startswith("BEGIN:VCALENDAR\r\n")


@EVERY_SCENARIO
def test_every_cell_of_the_tables_is_on_the_page_and_in_the_text(path):
    for comparison, result, job in jobs(path):
        html, text = sheets.programme_page(comparison, result, job), sheets.programme_text(comparison, result, job)
        assert all(len(line) <= WIDTH for line in text.splitlines()), max(text.splitlines(), key=len)
        for table in sheets.tables_of(comparison, job):
            assert table.rows and table.title in text
            for row in table.rows:
                for cell in row:
                    assert f">{cell}<".replace("'", "&#39;") in html.replace("’", "&#39;"), (table.id, cell)
        for table in sheets.tables_of(comparison, job, narrow_date):
            for row in table.rows:
                head = row[0][:14]
                assert any(line.startswith(head) and all(cell in line for cell in row[1:]) for line in text.splitlines()), row
        assert sheets.summary_words(comparison, job.programme) in words_of(html)
        assert " ".join(sheets.summary_words(comparison, job.programme).split()) in " ".join(text.split())


@EVERY_SCENARIO
def test_the_sheet_promises_nothing_and_says_what_can_hurt(path):
    for comparison, result, job in jobs(path):
        words = words_of(sheets.programme_page(comparison, result, job))
        assert not re.search(r"\b(safe|safely|compliant|complies|guaranteed?|certified|None|nan|inf)\b", words)
        assert "Trace buried services first" in words and "licensed engineer" in words and "{" not in words.replace("waits: {", "")
        for standing in job.programme.standings:
            assert standing.name in words


def test_own_units(path=PLOT):
    for units, ours, theirs in (("metric", "75 mm", "3 in"), ("imperial", "3 in", "75 mm")):
        comparison, result, job = job_of(path, "strip-and-block", f"units={units}")
        for words in (words_of(sheets.programme_page(comparison, result, job)).replace("\u00a0", " "), sheets.programme_text(comparison, result, job)):
            words = " ".join(words.split())
            assert f"last {ours}" in words and f"last {theirs}" not in words


def test_a_hostile_title_stays_words():
    comparison, result, job = job_of(PLOT, "thickened-raft", 'title=<script>alert(1)</script> & "barn"')
    html = sheets.programme_page(comparison, result, job)
    assert "<script" not in html and "&lt;script&gt;" in html


def test_a_plain_terminal_gets_plain_letters():
    assert sheets.programme_text(*job_of(PLOT, "strip-and-block"), ascii_only=True).isascii()


# What it says.


def test_dates_are_written_alike_everywhere():
    day = datetime.date(2028, 2, 29)
    assert (date_words(day), short_date(day), narrow_date(day)) == ("Tue 29 February 2028", "29 Feb", "Tue 29 Feb 2028")
    for step in range(800):
        day = datetime.date(2027, 12, 1) + datetime.timedelta(days=step)
        # The standard library in its own, English, words.
        assert date_words(day) == f"{day:%a} {day.day} {day:%B} {day.year}" and short_date(day) == f"{day.day} {day:%b}"


def test_the_summary_counts_weekends_and_hours():
    comparison, result, job = job_of(PLOT, "thickened-raft", "programme.start=2027-05-01")
    words = sheets.summary_words(comparison, job.programme)
    dates = job.programme.dates
    worked = {worked.date for dated in dates.tasks for worked in dated.worked}
    weekends = {day - datetime.timedelta(days=day.weekday()) for day in worked}
    assert words.startswith(f"Work begins on Sat 1 May 2027 and ends on {date_words(dates.finish)}, with work on {len(weekends)} weekends")
    assert "not a day to spare" in words and f"on {len(worked)} of {(dates.finish - dates.begins).days + 1} days" in programme_finding(job.programme)


def mind(path, scheme, *overrides):
    comparison, result, job = job_of(path, scheme, *overrides)
    return " ".join(sheets.mind_words(comparison, job.programme)), job


def test_weekend_builders_are_told_of_saturdays_and_of_inspectors():
    words, job = mind(PLOT, "strip-and-block")
    assert "never put on a Sunday" in words and "On a Saturday" in words and "Inspectors come on weekdays" in words
    for dated in job.programme.dates.tasks:
        if dated.task.kind in (POURING, VISIT):
            assert date_words(dated.finish) in words
    words, job = mind(PLOT, "strip-and-block", "programme.days=weekdays")
    assert "On a Saturday" not in words and "Inspectors come" not in words
    assert all(dated.start.weekday() < 5 for dated in job.programme.dates.tasks if dated.task.kind == POURING)


def test_a_pour_with_more_hours_than_a_day_wants_more_hands():
    """The raft takes 7.8 h of the owner's and 12.2 h of helpers' on this plot: at 7 h a day three people do 20 h, at 2 h a day nobody could."""
    comparison, result, job = job_of(PLOT, "thickened-raft")
    pour = job.programme.dates.task("slab pour").task
    assert pour.own_hours > 7.0
    people = -(-(pour.own_hours + pour.helper_hours) // 7.0)
    words, _ = mind(PLOT, "thickened-raft")
    assert "Pour and finish the slab wants more hands" in words and f"{people:.0f} people in all make it fit" in words
    words, _ = mind(PLOT, "thickened-raft", "programme.hours_a_day=2 h")
    assert "even 8 people do not make it fit" in words
    words, _ = mind(PLOT, "thickened-raft", "programme.hours_a_day=10 h")
    assert "wants more hands" not in words
    over = [row for row in dict((table.id, table) for table in sheets.tables_of(*job_of(PLOT, "thickened-raft", "programme.hours_a_day=2 h")[::2]))["weeks"].rows if row[-1]]
    assert len(over) == 1 and over[0][-1].startswith("over by")


def test_frost_is_told_and_mild_months_are_not():
    words, job = mind(PLOT, "strip-and-block", "programme.start=2027-11-20")
    poured = job.programme.dates.task("footing pour").start
    assert poured.month == 12 and "nights usually freeze" in words and f"Pour the footings: {date_words(poured)}" in words
    assert "freeze" not in mind(PLOT, "strip-and-block", "programme.start=2027-05-01")[0]
    # The same dates where it is summer.
    assert "freeze" not in mind(PLOT, "strip-and-block", "programme.start=2027-11-20", "pour.latitude=38 S")[0]


def test_work_that_stands_over_the_winter_is_told():
    words, job = mind(PLOT, "strip-and-block", "programme.start=2027-11-13", "programme.months_off=[December, January, February]")
    footing = next(standing for standing in job.programme.standings if standing.name == "Footings in the open")
    assert footing.days > 60 and footing.frost and f"Footings in the open: {footing.days} days" in words


def test_work_open_too_long_comes_with_what_to_do():
    words, job = mind(ON_CLAY, "strip-and-block")
    trench = job.programme.standings[0]
    # Clay: 3 days, common practice, no source; dug on a Sunday it waits for the Saturday.
    assert trench.too_long and trench.days == 6 and "Open trenches: 6 days" in words and "3 days is as long as it should lie open" in words and "take a weekday off" in words
    assert "take a weekday off" not in mind(PLOT, "strip-and-block")[0]


def test_what_was_assumed_says_whose_it_is():
    comparison, result, job = job_of(PLOT, "strip-and-block", "programme.waits={inspection: 4 days, order stone: 10 days}")
    rows = {row[3]: row for row in sheets.tables_of(comparison, job)[-1].rows}
    assert (rows["inspection"][1:3], rows["order stone"][1:3], rows["order plant"][1:3]) == (("4", "yours"), ("10", "yours"), ("7", sheets.USUAL))
    # Concrete hardens more slowly in April than common practice has it.
    assert rows["footing cure"][2] == "by the weather" and float(rows["footing cure"][1]) > WAITS["footing cure"].value
    assert set(rows) == {dated.task.key for dated in job.programme.dates.tasks if dated.task.key in WAITS} | {"inspection"}


@pytest.mark.parametrize("changes", [
    ("programme.start=2027-05-01",), ("programme.days=weekdays",), ("programme.days=every day",), ("programme.hours_a_day=4 h",),
    ("programme.months_off=[May]",), ("programme.waits={slab cure: 28 days}",), ("programme.holidays=[2027-04-17 to 2027-05-02]",),
    ("programme.start=2028-02-29",), (f"programme.months_off={ONE_MAY}",),
], ids=" ".join)
def test_the_sheet_and_the_calendar_move_with_the_file(changes):
    usual, other = job_of(PLOT, "strip-and-block"), job_of(PLOT, "strip-and-block", *changes)
    assert other[2].programme.dates.finish != usual[2].programme.dates.finish
    html = words_of(sheets.programme_page(*other))
    assert date_words(other[2].programme.dates.finish) in html and html != words_of(sheets.programme_page(*usual))
    assert calendar_file(*other) != calendar_file(*usual)
    given = other[0].scenario.programme
    for dated in other[2].programme.dates.tasks:
        for worked in dated.worked:
            assert worked.date not in given.holidays and worked.date.month not in given.months_off
        assert dated.start >= (given.start or datetime.date(2027, 4, 3))


# The chart.


def svg_of(programme):
    return ElementTree.fromstring(programme_chart_svg(programme, "chart")).find(f".//{SVG}svg")


@EVERY_SCENARIO
def test_words_of_the_chart_stay_on_it_and_in_their_column(path):
    for _, result, job in jobs(path):
        sheet = programme_chart_sheet(job.programme, "chart")
        for text in sheet.texts:
            left, top, right, bottom = text.box
            assert left >= 0 and top >= 0 and right <= sheet.width and bottom <= sheet.height, text.words
        names = [text for text in sheet.texts if "sp-label" in text.css and text.x < 100 and text.y < sheet.height - 60]
        assert all(text.x + text_width(text.words) <= 272 for text in names)
        svg_of(job.programme)


def numbers(data):
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", data)]


def test_bars_lie_where_their_days_are():
    """Two weeks from Monday the 27th of April over 620 units from 272: Saturday the 2nd is 5/14 along, its bar of two days 2/14 long."""
    programme = a_programme([Task("dig", "Dig", own_hours=14.0), Task("cure", "Harden", "wait", days=3.0, after=("dig",)), Task("build", "Build", own_hours=1.0, after=("cure",))])
    svg = svg_of(programme)
    bars = [numbers(path.get("d")) for path in svg.iter(f"{SVG}path") if path.get("class") == "sp-driver-high"]
    axis = 900.0 - 8.0 - 272.0
    # The key has a bar of its own; Build is on Saturday the 9th.
    dig, build = sorted(bars, key=lambda bar: bar[0])[-2:]
    assert (dig[0], dig[2]) == (pytest.approx(272 + axis * 5 / 14, abs=0.1), pytest.approx(272 + axis * 7 / 14, abs=0.1))
    assert (build[0], build[2]) == (pytest.approx(272 + axis * 12 / 14, abs=0.1), pytest.approx(272 + axis * 13 / 14, abs=0.1))
    # Neither kind is told by its colour alone: what hardens is hatched.
    assert any("forbidden" in (path.get("fill") or "") for path in svg.iter(f"{SVG}path"))


def test_rows_are_numbered_so_that_nothing_follows_what_comes_later():
    for path in SCENARIOS:
        for _, _, job in jobs(path):
            rows = programme_chart_table(job.programme)
            assert [row.number for row in rows] == list(range(1, len(rows) + 1))
            assert {row.dated.task.key for row in rows} == {dated.task.key for dated in job.programme.dates.tasks}
            for row in rows:
                assert all(number < row.number for number in row.follows) and row.first <= row.last
                if row.dated.task.kind == ORDER:
                    assert all(row.last <= other.first for other in rows if row.number in other.follows)


def test_a_long_programme_leaves_empty_weeks_out():
    comparison, result, job = job_of(PLOT, "strip-and-block", f"programme.months_off={ONE_MAY}")
    dates = job.programme.dates
    assert (dates.finish - dates.start).days > 400 and dates.begins == datetime.date(2027, 5, 1)
    sheet = programme_chart_sheet(job.programme, "chart")
    assert any("left out" in text.words for text in sheet.texts)
    worked = [worked.date for dated in dates.tasks for worked in dated.worked]
    axis = WeekAxis(worked, 272.0, 892.0)
    assert axis.gaps and len(axis.weeks) < 60
    for text in sheet.texts:
        left, top, right, bottom = text.box
        assert left >= 0 and right <= sheet.width


def test_the_axis_of_weeks():
    day = datetime.date
    axis = WeekAxis([day(2027, 1, 4), day(2027, 1, 13), day(2027, 12, 29)], 0.0, 226.0)
    # Two weeks, then a gap of 26 units, then a third: (226 - 26) / 3 each.
    assert axis.weeks == [day(2027, 1, 4), day(2027, 1, 11), day(2027, 12, 27)] and axis.week_units == pytest.approx(200 / 3)
    places = [axis.x(day(2027, 1, 1) + datetime.timedelta(days=i)) for i in range(400)]
    assert places == sorted(places) and places[0] == 0.0 and places[-1] == pytest.approx(226.0)
    assert axis.x(day(2027, 6, 1)) == pytest.approx(400 / 3 + 13.0) and axis.x(day(2027, 12, 27)) == pytest.approx(400 / 3 + 26.0)


def test_nothing_to_do_draws_nothing():
    empty = a_programme([])
    assert "nothing to do" in programme_finding(empty) and svg_of(empty) is not None
    comparison, result, _ = job_of(PLOT, "thickened-raft")
    job = SimpleNamespace(programme=empty, deliveries=(), pours=())
    assert "nothing to do" in sheets.programme_text(comparison, result, job) and "nothing to do" in sheets.programme_page(comparison, result, job)


def test_a_task_with_a_stranger_s_name_stays_words():
    programme = a_programme([Task("dig", '<b onload="x">& dig', own_hours=3.0)])
    assert "<b" not in programme_chart_svg(programme, "chart")
    with pytest.raises(ValueError, match="prefix"):
        programme_chart_svg(programme, "1 chart")


# JSON.


@EVERY_SCENARIO
def test_json_is_what_its_schema_says(path):
    validator = pytest.importorskip("jsonschema").Draft202012Validator
    validator.check_schema(sheets.PROGRAMME_SCHEMA)
    for _, _, job in jobs(path):
        told = sheets.programme_json(job)
        validator(sheets.PROGRAMME_SCHEMA).validate(told)
        dates = job.programme.dates
        assert datetime.date.fromisoformat(told["finish"]) == dates.finish and len(told["tasks"]) == len(dates.tasks)
        assert sum(task["own_hours"] for task in told["tasks"]) == pytest.approx(sum(week["own_hours"] for week in told["weeks"]))
        for task in told["tasks"]:
            days = [datetime.date.fromisoformat(task[key]) for key in ("start", "late_start")]
            assert (days[1] - days[0]).days == task["float_days"] and task["critical"] == (task["float_days"] == 0)
            assert (task["order_by"] is None) == (task["kind"] != "order")
        assert sheets.programme_json(job) == told


def test_the_schema_refuses_what_is_not_a_programme():
    validator = pytest.importorskip("jsonschema").Draft202012Validator(sheets.PROGRAMME_SCHEMA)
    told = sheets.programme_json(job_of(PLOT, "thickened-raft")[2])
    for change in ({"least_days": "34"}, {"colour": "red"}, {"tasks": [{"key": "dig"}]}):
        assert not validator.is_valid(told | change)


# The page of the method.


def test_the_method_page_has_the_waits_that_are_taken():
    page = (ROOT / "docs/methods/programme.md").read_text(encoding="utf-8")
    rows = re.findall(r"\| (\d+) \| `([a-z ]+)` \|", page)
    assert {key: float(days) for days, key in rows} == {key: figure.value for key, figure in WAITS.items()}


# On paper.


@pytest.mark.browser
def test_every_programme_prints_on_four_sides_of_a4_at_most(tmp_path):
    page, wrong = desk(tmp_path), []
    found = [each for path in SCENARIOS for each in jobs(path)]
    found.append(job_of(ON_CLAY, "strip-and-block", "programme.start=2027-10-23", "programme.months_off=[December, January, February]"))
    for comparison, result, job in found:
        sides = sides_of_a4(sheets.programme_page(comparison, result, job), page)
        if not 2 <= sides <= 4:
            wrong.append((comparison.scenario.slug, result.id, sides))
    assert not wrong
