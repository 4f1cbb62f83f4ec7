"""The day sheet of each pour through its doors: page and text; and on paper, two sides of A4 a pour."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from generator import pour_page as sheets
from generator.display import clock, duration, money, temperature
from generator.drawings.pour_timeline import (
    pour_timeline_sheet,
    pour_timeline_svg,
    pour_timeline_table,
)
from generator.templating import TO_ROOT

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

STUDIO, GARAGE, CABIN = (ROOT / "docs/scenarios" / f"{name}.md" for name in ("print-studio-below-the-orchard", "garage-on-a-twisted-corner", "cabin-in-deep-frost"))



@EVERY_SCENARIO
def test_the_page_is_whole_plain_and_stays_on_its_site(path):
    for comparison, result, job in jobs(path):
        html = sheets.pour_page(comparison, result, job)
        document = Document(html)
        assert html.startswith("<!doctype html>") and sum(tag == "h1" for tag, _ in document.elements) == 1
        ids = [attrs["id"] for _, attrs in document.elements if "id" in attrs]
        assert len(ids) == len(set(ids))
        assert sum(tag == "svg" for tag, _ in document.elements) == sum(pour.day is not None for pour in job.pours)
        assert html.count("<title") == html.count("<desc") + 1
        for tag, attrs in document.elements:
            assert tag not in ("script", "style", "iframe", "img", "form")
            assert "style" not in attrs and not [name for name in attrs if name.startswith("on")]
            for address in (attrs.get("href", ""), attrs.get("src", "")):
                assert not re.match(r"[a-z]+:|//", address)
                if address.startswith(TO_ROOT):
                    assert (ROOT / "docs" / address.removeprefix(TO_ROOT)).is_file(), address
        assert html.count("<table") == html.count("<caption")


@EVERY_SCENARIO
def test_page_and_text_say_the_same(path):
    for comparison, result, job in jobs(path):
        html, text = words_of(sheets.pour_page(comparison, result, job).replace("&#39;", "'")), " ".join(sheets.pour_text(comparison, result, job).split())
        for sheet in sheets.sheets_of(comparison, result, job):
            for part in sheet.parts:
                for words in (*part.words, *part.steps, *part.ticks, *(then for _, then in part.pairs), *(cell for table in part.tables for row in table.rows for cell in row)):
                    assert words in html and words in text, words
            for title, words in sheet.cautions:
                assert words in html and f"{title}: {words}" in text


@EVERY_SCENARIO
def test_the_sheet_says_what_to_order_how_surely_and_the_truth(path):
    for comparison, result, job in jobs(path):
        currency, text = comparison.scenario.currency, sheets.pour_text(comparison, result, job)
        for pour, sheet in zip(job.pours, sheets.sheets_of(comparison, result, job)):
            said = " ".join(sheet.parts[0].words)
            assert f"Order {sheets.ordered_words(comparison, pour).of(comparison.scenario.units)}, " in said
            assert sheets.short_words(pour.chosen.chance_short) in said and "invented" in said
            truth = sheets.against_words(comparison, pour).of(comparison.scenario.units)
            assert truth in said
            against = pour.against
            if against.chosen.order_m3 == against.rule_of_thumb.order_m3:
                assert "the same" in truth
            elif against.chosen.expected_cost < against.rule_of_thumb.expected_cost:
                assert "this order did better" in truth and money(against.rule_of_thumb.expected_cost - against.chosen.expected_cost, currency) in truth
            else:
                assert "net plus 10 % did better" in truth and money(against.chosen.expected_cost - against.rule_of_thumb.expected_cost, currency) in truth
        assert "invented" in text


def test_one_time_in_so_many():
    """By definition: 0.002 is 1 in 500."""
    assert sheets.short_words(0.002) == "1 time in 500" and sheets.short_words(0.0085) == "about 1 time in 118"
    assert "not once" in sheets.short_words(0.0) and sheets.short_words(0.1) == "1 time in 10"
    assert sheets.short_words(1.0) == "every time" and sheets.short_words(0.6) == "6 times in 10"


@EVERY_SCENARIO
def test_cautions_stand_on_every_sheet_and_nothing_is_promised(path):
    for comparison, result, job in jobs(path):
        html = words_of(sheets.pour_page(comparison, result, job))
        assert not re.search(r"\b(safe|safely|compliant|guaranteed|certified)\b", html, re.I)
        assert html.count("Wet cement burns") == len(job.pours) and html.count("reverses") >= len(job.pours)
        assert html.count("eye protection") >= len(job.pours) and "licensed engineer" in html
        for telephone in sheets.TELEPHONES:
            assert html.count(telephone) >= len(job.pours)
        # Trenches are cautioned where people stand beside them.
        titles = [[title for title, _ in sheet.cautions] for sheet in sheets.sheets_of(comparison, result, job)]
        assert [("Trenches" in found) for found in titles] == [pour.strikes_only for pour in job.pours]


@EVERY_SCENARIO
def test_hours_of_the_sheet_are_those_of_the_day(path):
    for comparison, result, job in jobs(path):
        for pour, sheet in zip(job.pours, sheets.sheets_of(comparison, result, job)):
            rows = dict((row[1], row[0]) for part in sheet.parts for table in part.tables if table.id == "clock" for row in table.rows)
            for hour in (pour.sunrise_h, pour.dusk_h, pour.day.loads[0].arrives_h, pour.day.loads[-1].empty_h):
                assert clock(hour) in rows
            listed = [row[1] for part in sheet.parts for table in part.tables if table.id == "clock" for row in table.rows if "next day" not in row[1]]
            assert listed == sorted(listed)
            outside = {check.name for check in pour.checks if check.verdict == "outside"}
            # Waiting costs money, and nothing else.
            assert ("does not work" in sheet.verdict) == bool(outside - {sheets.IN_ALLOWANCE})
            assert (f"Waiting is charged, about {money(pour.day.waiting_charge, comparison.scenario.currency)}" in sheet.verdict) == (sheets.IN_ALLOWANCE in outside)
            assert (sheets.IN_ALLOWANCE in outside) == (pour.day.waiting_charge > 0.0)


def test_what_a_reader_changes_changes_the_sheet():
    usual = sheets.pour_text(*jobs(STUDIO)[0])
    for change in ("pour.people=12", "pour.first_lorry=10:30", "pour.air_temperature=24 C", "programme.start=2027-10-02", "pour.surface=brushed",
                   "pour.second_places=[{name: bin base, room: 0.5 m^3}]", "pour.cold_joint_cost=2000 GBP", "plot.access.pump=yes", "pour.first_time=no"):
        assert sheets.pour_text(*jobs(STUDIO, change)[0]) != usual, change


def test_a_crew_that_suffices_is_told_so():
    comparison, result, job = next(found for found in jobs(GARAGE, "plot.access.pump=yes", "pour.people=12", "pour.first_time=no", "pour.allowance=60 min") if found[1].id == "thickened-raft")
    assert all(check.verdict != "outside" for check in job.pours[0].checks)
    text = " ".join(sheets.pour_text(comparison, result, job).split())
    assert "That is enough hands" in text and "does not work" not in text and "send it away" not in text.split("When it goes wrong")[0]


def test_a_crew_that_does_not_is_told_what_would():
    comparison, result, job = next(found for found in jobs(STUDIO, "pour.people=4") if found[1].id == "strip-and-block")
    footing = job.pours[0]
    text = " ".join(sheets.pour_text(comparison, result, job).split())
    assert f"{footing.crew_in_time.barrows} with barrows and {footing.crew_in_time.placers} to place" in text
    assert f"What is still in it is too old; send it away {clock(footing.too_old_h(footing.day.loads[0]))}".lower() in text.lower()


@pytest.mark.parametrize("change", ["pour.air_temperature=-6 C", "pour.air_temperature=38 C"])
def test_weather_without_times_still_has_its_sheet(change):
    for comparison, result, job in jobs(STUDIO, change):
        html, text = sheets.pour_page(comparison, result, job), sheets.pour_text(comparison, result, job)
        Document(html)
        assert "<svg" not in html and "choose another day" in text and "By the clock" not in text
        assert ("does not harden at all" in text) == ("-6" in change)
        assert all(pour_timeline_svg(pour, "metric", "day") == "" and pour_timeline_table(pour, "metric") == () for pour in job.pours)
        with pytest.raises(ValueError):
            pour_timeline_sheet(job.pours[0], "metric", "day")


def test_one_person_is_told_that_two_are_taken():
    text = " ".join(sheets.pour_text(*jobs(STUDIO, "pour.people=1")[0]).split())
    assert "You wrote one person" in text and "two are taken" in text


def test_a_raft_is_never_cut_and_a_long_floor_is():
    for comparison, result, job in jobs(GARAGE):
        text = " ".join(sheets.pour_text(comparison, result, job).split())
        if result.id == "thickened-raft":
            assert "no joint may be cut through it" in text and "Saw the joints" not in text
    sawn = [(pour, " ".join(sheets.pour_text(comparison, result, job).split())) for path in SCENARIOS for comparison, result, job in jobs(path) for pour in job.pours if pour.saw_h]
    assert sawn
    for pour, text in sawn:
        assert f"between {clock(pour.saw_h[0])} and {clock(pour.saw_h[1])}" in text and "silica dust" in text


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_a_sheet_is_in_one_unit_system(units):
    comparison, result, job = jobs(CABIN, f"units={units}")[0]
    html = sheets.pour_page(comparison, result, job)
    words = words_of(html)
    air = temperature(job.pours[0].weather.air_c)
    assert f"Air {air.of(units)}" in words and "q-metric" not in html
    assert ("°F" in words) == (units == "imperial") and ("°C" in words) == (units == "metric")


def test_a_hostile_name_stays_words():
    comparison, result, job = jobs(STUDIO, "title=<script>alert(1)</script> & \"barn\"", "pour.second_places=[{name: <b onclick=x>bay</b>, room: 0.5 m^3}]")[0]
    html = sheets.pour_page(comparison, result, job)
    Document(html)
    assert "<script" not in html and "<b onclick" not in html and "&lt;script&gt;" in html


def test_a_plain_terminal_gets_plain_letters():
    for path in (STUDIO, CABIN):
        assert sheets.pour_text(*jobs(path)[0], ascii_only=True).isascii()


def test_the_summary_has_every_pour_and_what_does_not_fit():
    for path in SCENARIOS:
        for comparison, result, job in jobs(path):
            found = sheets.pour_summary(comparison, job)
            assert [each.name for each in found] == [pour.name for pour in job.pours]
            for each, pour in zip(found, job.pours):
                # A lorry that waits costs money, and is told with the day; it spoils nothing.
                assert each.outside == tuple(check for check in pour.checks if check.verdict == "outside" and "in the time allowed" not in check.name)
                assert ("Waiting is charged" in each.day) == (pour.day is not None and pour.day.waiting_h > 0.0)
                assert str(pour.people) in each.day and each.short == sheets.short_words(pour.chosen.chance_short)


# The drawing.


@EVERY_SCENARIO
def test_words_and_bars_of_the_timeline_stay_on_it(path):
    for comparison, result, job in jobs(path):
        for pour in job.pours:
            drawing = pour_timeline_sheet(pour, comparison.scenario.units, "day")
            for text in drawing.texts:
                left, top, right, bottom = text.box
                assert left >= -1 and top >= -1 and right <= drawing.width + 1 and bottom <= drawing.height + 1, text.words
            for row in pour_timeline_table(pour, comparison.scenario.units):
                assert row.until_h > row.from_h
                assert f"{row.label}: {clock(row.from_h)} to {clock(row.until_h)}, {duration(row.until_h - row.from_h)}" in drawing.description


def test_the_timeline_runs_past_midnight_on_a_cold_long_day():
    comparison, result, job = jobs(STUDIO, "pour.first_lorry=14:00", "pour.air_temperature=6 C")[0]
    pour = job.pours[-1]
    assert pour.day.finished_h > 24.0
    drawing = pour_timeline_sheet(pour, "metric", "day")
    assert all(text.box[2] <= drawing.width + 1 for text in drawing.texts) and "the next day" in drawing.description


# On paper.


@pytest.mark.browser
@pytest.mark.parametrize("changes", [(), ("units=metric",), ("units=imperial",), ("programme.start=2027-12-18",)], ids=str)
def test_every_pour_prints_on_two_sides_of_a4(tmp_path, changes):
    page, wrong = desk(tmp_path), []
    for path in SCENARIOS if not changes else (CABIN,):
        for comparison, result, job in jobs(path, *changes):
            sides = sides_of_a4(sheets.pour_page(comparison, result, job), page)
            if sides != 2 * len(job.pours):
                wrong.append((path.stem, result.id, sides))
    assert not wrong


def test_dates_follow_the_pour():
    comparison, result, job = jobs(STUDIO)[0]
    moved = replace(job, pours=tuple(replace(pour, date=date(2028, 2, 28)) for pour in job.pours))
    text = sheets.pour_text(comparison, result, moved)
    assert "Mon 28 February 2028" in text
    covered = job.pours[-1].covered_days.value
    # 2028 is a leap year: 28 February and 7 days is 6 March.
    assert covered == 7.0 and "to 6 Mar" in text
