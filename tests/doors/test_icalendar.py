"""The calendar file: lines by RFC 5545 (read), and what an independent reader makes of it."""

import re
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from types import SimpleNamespace

import pytest

from calculators.compare import compare
from calculators.order_list import Delivery
from calculators.programme import CALENDAR_BY_NAME, POURING, VISIT, WAIT, Programme, Task, programme_of, schedule
from generator.icalendar import calendar_file, calendar_text, escaped, folded

STAMP = datetime(2026, 4, 25, 8, 30, tzinfo=timezone.utc)
SATURDAY = date(2026, 5, 2)
# RFC 5545, 3.1: a name of letters, digits and hyphens, parameters, a colon, a value.
CONTENT_LINE = re.compile(r"[A-Z0-9-]+(;[A-Z-]+=[A-Z0-9-]+)*:[^\x00-\x08\x0a-\x1f\x7f]*")
SCHEMES = ("thickened-raft", "strip-and-block", "insulated-slab")


@pytest.fixture(scope="module")
def built(make_scenario):
    return compare(make_scenario(gradient=1 / 14))


def programme(tasks, calendar="weekends"):
    return Programme("thickened-raft", schedule(tasks, SATURDAY, CALENDAR_BY_NAME[calendar]), {}, ())


def lines_of(text):
    """The unfolded lines of a file, each rule of lines checked on the way."""
    assert text.endswith("\r\n") and "\n" not in text.replace("\r\n", "") and "\r" not in text.replace("\r\n", "")
    physical = text[:-2].split("\r\n")
    assert all(0 < len(line.encode("utf-8")) <= 75 for line in physical)
    lines = re.sub("\r\n ", "", text[:-2]).split("\r\n")
    assert all(CONTENT_LINE.fullmatch(line) for line in lines), [line for line in lines if not CONTENT_LINE.fullmatch(line)]
    return lines


def events_of(text):
    lines = lines_of(text)
    assert lines[0] == "BEGIN:VCALENDAR" and lines[-1] == "END:VCALENDAR"
    assert lines.count("VERSION:2.0") == 1 and sum(line.startswith("PRODID:") for line in lines) == 1
    events, event = [], None
    for line in lines[1:-1]:
        if line == "BEGIN:VEVENT":
            assert event is None
            event = {}
        elif line == "END:VEVENT":
            # What 3.6.1 requires of an event, each once.
            assert {"UID", "DTSTAMP", "DTSTART;VALUE=DATE"} <= set(event)
            events.append(event)
            event = None
        elif event is not None:
            name, value = line.split(":", 1)
            assert name not in event
            event[name] = value
    assert event is None
    uids = [each["UID"] for each in events]
    assert len(set(uids)) == len(uids)
    return events


@pytest.mark.parametrize("calendar", CALENDAR_BY_NAME)
@pytest.mark.parametrize("scheme", SCHEMES)
def test_every_programme_keeps_the_rules_of_lines(built, scheme, calendar):
    made = programme_of(built.site, built.scheme(scheme), SATURDAY, CALENDAR_BY_NAME[calendar])
    events = events_of(calendar_text(made, "Invented plot", "invented-plot", STAMP))
    assert len(events) >= len(made.dates.tasks)
    assert all(event["DTSTAMP"] == "20260425T083000Z" for event in events)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_an_independent_reader_finds_the_same_dates(built, scheme):
    reader = pytest.importorskip("icalendar")
    made = programme_of(built.site, built.scheme(scheme), SATURDAY, CALENDAR_BY_NAME["weekends"])
    title = "Ours; a plot, with \\ and\na second line \u00e9\u4e16\U0001f9f1 " * 3
    read = reader.Calendar.from_ical(calendar_text(made, title, "invented-plot", STAMP))
    found = {}
    for event in read.walk("VEVENT"):
        assert not event.errors
        assert type(event.decoded("dtstart")) is date and event.decoded("dtend") > event.decoded("dtstart")
        assert event.decoded("dtstamp") == STAMP
        days = found.setdefault(str(event["summary"]), set())
        days |= {event.decoded("dtstart") + timedelta(days=i) for i in range((event.decoded("dtend") - event.decoded("dtstart")).days)}
    for dated in made.dates.tasks:
        if dated.task.is_work:
            assert found[dated.task.name] == {worked.date for worked in dated.worked}
        elif dated.task.kind == WAIT:
            assert (min(found[dated.task.name]), max(found[dated.task.name])) == (dated.start, dated.finish)
        else:
            # An order is given on the last day that brings it in time, an inspection is the visit.
            assert found[dated.task.name] == {dated.order_by or dated.finish}


def test_work_over_two_weekends_is_two_events_with_the_end_left_out():
    dig = events_of(calendar_text(programme([Task("dig", "Dig", own_hours=17.0)]), "Plot", "plot", STAMP))
    assert [(event["DTSTART;VALUE=DATE"], event["DTEND;VALUE=DATE"]) for event in dig] == [("20260502", "20260504"), ("20260509", "20260510")]
    assert [event["UID"] for event in dig] == ["plot-thickened-raft-dig-1@soleplate.invalid", "plot-thickened-raft-dig-2@soleplate.invalid"]


def test_names_stay_when_dates_move():
    tasks = [Task("pour", "Pour", POURING, own_hours=5.0), Task("cure", "Cure", WAIT, days=7.0, after=("pour",))]
    later = Programme("thickened-raft", schedule(tasks, SATURDAY + timedelta(days=30), CALENDAR_BY_NAME["weekends"]), {}, ())
    first, second = (events_of(calendar_text(each, "Plot", "plot", STAMP)) for each in (programme(tasks), later))
    assert [event["UID"] for event in first] == [event["UID"] for event in second]
    assert [event["DTSTART;VALUE=DATE"] for event in first] != [event["DTSTART;VALUE=DATE"] for event in second]


def test_the_same_programme_gives_the_same_file_and_the_stamp_is_in_universal_time():
    made = programme([Task("dig", "Dig", own_hours=3.0)])
    there = STAMP.astimezone(timezone(timedelta(hours=5, minutes=30)))
    assert calendar_text(made, "Plot", "plot", STAMP) == calendar_text(made, "Plot", "plot", there)
    with pytest.raises(ValueError, match="needs a time zone"):
        calendar_text(made, "Plot", "plot", STAMP.replace(tzinfo=None))


def test_nothing_is_sent_round_as_an_invitation(built):
    """A method would need an organiser (RFC 5546, 3.2.1, from memory); a file to be read in has neither."""
    text = calendar_text(programme([Task("dig", "Dig", own_hours=3.0)]), "Plot", "plot", STAMP)
    assert not re.search("^(METHOD|ORGANIZER|ATTENDEE)", text, re.M)


@pytest.mark.parametrize("dated, stamp", [("2026-11", "20261101T000000Z"), ("2026-11-17", "20261117T000000Z"), ("2028-02-29", "20280229T000000Z")])
def test_the_file_of_a_scheme_is_stamped_with_the_prices(make_scenario, make_schedule, dated, stamp):
    scenario = make_scenario(schedule=replace(make_schedule(), dated=dated))
    comparison = SimpleNamespace(scenario=replace(scenario, title="Ours;\u202e the \x1bplot, behind"))
    job = SimpleNamespace(programme=programme([Task("dig", "Dig", own_hours=3.0)]), deliveries=())
    text = calendar_file(comparison, SimpleNamespace(title="Thickened raft"), job)
    assert text == calendar_file(comparison, SimpleNamespace(title="Thickened raft"), job)
    (event,) = events_of(text)
    assert event["DTSTAMP"] == stamp and event["UID"].startswith("invented-plot-thickened-raft-dig-1@")
    assert "NAME:Ours\\; the plot\\, behind: Thickened raft" in lines_of(text)


def test_lorries_are_in_it_and_what_brings_nothing_is_not():
    def delivery(supplier, task, loads, *things):
        return Delivery(supplier, task, date(2026, 5, 1), date(2026, 5, 9), 7.0, loads, "", "", tuple(SimpleNamespace(what=what) for what in things))

    deliveries = (delivery("Quarry, the", "stone", 2, "Stone; washed", "Sand"), delivery("Merchant", "stone", 1, "Cloth"), delivery("Notices", "set out", 0, "Fee"))
    events = events_of(calendar_text(programme([]), "Plot", "plot", STAMP, deliveries))
    assert [(event["SUMMARY"], event["DTSTART;VALUE=DATE"]) for event in events] == [("Lorry: Quarry\\, the", "20260509"), ("Lorry: Merchant", "20260509")]
    assert events[0]["DESCRIPTION"] == "Stone\\; washed\\; Sand" and events[0]["TRANSP"] == "TRANSPARENT"


def test_work_round_a_pour_is_an_event_on_either_side():
    tasks = [Task("visit", "Visit", VISIT, days=2.0), Task("pour", "Pour", POURING, own_hours=5.0, after=("visit",)), Task("drains", "Drains", own_hours=21.0)]
    events = events_of(calendar_text(programme(tasks), "Plot", "plot", STAMP))
    assert [(event["SUMMARY"], event["DTSTART;VALUE=DATE"], event["DTEND;VALUE=DATE"]) for event in events if event["SUMMARY"] != "Visit"] == [
        ("Drains", "20260502", "20260504"), ("Drains", "20260510", "20260511"), ("Pour", "20260509", "20260510")]


def test_no_task_no_event():
    assert events_of(calendar_text(programme([]), "Plot", "plot", STAMP)) == []


@pytest.mark.parametrize("text, value", [
    ("a, b; c", "a\\, b\\; c"),
    ("back\\slash", "back\\\\slash"),
    ("one\r\ntwo\rthree\nfour", "one\\ntwo\\nthree\\nfour"),
    ("bell\x07 and \x00null", "bell and null"),
    ("next\x85line\u2028and\u2029paragraph\x9b", "next\\nline\\nand\\nparagraph"),
    ("END:VEVENT\r\nBEGIN:VEVENT", "END:VEVENT\\nBEGIN:VEVENT"),
    ("half \ud800 a pair", "half ? a pair"),
])
def test_strangers_text(text, value):
    assert escaped(text) == value
    assert len(events_of(calendar_text(programme([Task("dig", text, own_hours=1.0)]), text, "plot", STAMP))) == 1


@pytest.mark.parametrize("character", ["x", "\u00e9", "\u4e16", "\U0001f9f1"])
@pytest.mark.parametrize("count", [0, 1, 18, 24, 25, 37, 74, 75, 76, 149, 150, 200])
def test_folding_cuts_no_character_and_comes_undone(character, count):
    line = "SUMMARY:" + character * count
    parts = folded(line).split("\r\n")
    assert all(len(part.encode("utf-8")) <= 75 for part in parts)
    assert parts[0] + "".join(part[1:] for part in parts[1:]) == line and all(part[0] == " " for part in parts[1:])
    # No line more than are needed.
    assert len(parts) == 1 if len(line.encode("utf-8")) <= 75 else len(parts) > 1
