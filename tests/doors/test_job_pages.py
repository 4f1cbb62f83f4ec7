"""The rest of the job on a scenario's page and beside it: every sheet is there, a reader's own figures change it, and the page tells the truth about the order.

The truth about an order is found again here with draws of NumPy's own
generator from triangles of the same three points, and with the cost of an
order against a volume as the definition has it.
"""

import json
import re
from functools import cache
from pathlib import Path

import pytest

from calculators.order_volume import order_cost, widened
from generator import order_page, pour_page, programme_page, setting_out_page
from generator.comparing import compared
from generator.comparison_json import comparison_json
from generator.icalendar import calendar_file
from generator.pages import scenario_page
from generator.shelf import Shelved, shelve

SCENARIOS = sorted(path for path in (Path(__file__).resolve().parents[2] / "docs/scenarios").glob("*.md") if path.name != "index.md")
PLOT = Path(__file__).resolve().parents[2] / "docs/scenarios/print-studio-below-the-orchard.md"
EVERY = pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)


@cache
def shelved(path) -> Shelved:
    return shelve(path)


@cache
def worked(*overrides):
    return compared(PLOT, overrides, draws=0)


def words(html):
    return " ".join(re.sub(r"<[^>]+>", " ", html).replace("\u00a0", " ").split())


@EVERY
def test_every_scheme_within_limits_has_its_sheets_and_its_calendar(path):
    made = shelved(path)
    _, comparison = made.load()
    wanted = {"comparison.json", "bill.csv"}
    for result in comparison.schemes:
        names = {
            setting_out_page.file_name(result, "html"), setting_out_page.file_name(result, "csv"), order_page.file_name(result, "html"),
            order_page.file_name(result, "csv"), pour_page.file_name(result, "html"), programme_page.file_name(result, "html"), programme_page.file_name(result, "ics")}
        if result.buildable:
            wanted |= names
        for name in names:
            assert (f'href="{name}"' in made.page.html) == result.buildable
    assert set(made.files) == wanted
    assert ('id="job"' in made.page.html) == bool(comparison.decision.order)


@EVERY
def test_sheets_link_to_a_place_that_is_on_the_page(path):
    made = shelved(path)
    for name, content in made.files.items():
        if name.endswith(".html"):
            for anchor in re.findall(r'href="\./#([^"]+)"', content.decode("utf-8")):
                assert f'id="{anchor}"' in made.page.html, (name, anchor)


@EVERY
def test_page_and_json_say_the_same_of_every_pour(path):
    made = shelved(path)
    document = json.loads(made.files["comparison.json"])
    reading, comparison = made.load()
    for scheme in document["schemes"]:
        job = comparison.jobs.get(scheme["id"])
        assert (scheme["pour"] is None) == (job is None) == (not scheme["buildable"])
        for pour, told in zip(job.pours if job else (), scheme["pour"] or ()):
            assert told["order"]["order_m3"] == pour.chosen.order_m3 and told["date"] == pour.date.isoformat()
            assert pour_page.ordered_words(comparison, pour).of(reading.scenario.units) in words(made.page.html)


@EVERY
def test_the_page_tells_the_truth_about_net_plus_a_tenth(path):
    numpy = pytest.importorskip("numpy")
    chance = numpy.random.default_rng(20270424)
    _, comparison = shelved(path).load()
    for job in comparison.jobs.values():
        for pour in job.pours:
            wide = widened(pour.volume, 1.5)
            volumes = wide.net_m3 + sum(
                part.m3_per_unit * (chance.triangular(part.points.low, part.points.likely, part.points.high, 4000) if part.points.high > part.points.low else part.points.likely)
                for part in wide.parts)
            chosen, habit = (
                numpy.array([order_cost(ordered.order_m3, float(volume), pour.terms) for volume in volumes])
                for ordered in (pour.against.chosen, pour.against.rule_of_thumb))
            saved = (habit - chosen).mean()
            unsure = 4.0 * (habit - chosen).std() / 4000**0.5
            told = pour_page.against_words(comparison, pour).of("metric")
            if pour.against.better == "same":
                assert "the same" in told and abs(saved) <= unsure + 1e-9
            elif abs(saved) > unsure:
                assert ("this order did better" in told) == (saved > 0.0)
                assert ("net plus 10 % did better" in told) == (saved < 0.0)
                assert pour.against.saves == pytest.approx(saved, abs=unsure + 1.0)


@pytest.mark.parametrize("override", [
    "pour.people=9", "pour.way=pump", "pour.first_time=no", "pour.first_lorry=10:30", "pour.air_temperature=27 C", "pour.wind=9 m/s", "programme.start=2027-09-04",
    "programme.days=every day"])
def test_what_a_reader_writes_changes_the_day_sheet(override):
    overrides = (override, "plot.access.pump=yes") if override == "pour.way=pump" else (override,)
    before, after = worked(), worked(*overrides)
    first = before[1].decision.order[0]
    sheets = [pour_page.pour_text(comparison, comparison.scheme(first), comparison.jobs[first]) for _, comparison in (before, after)]
    assert sheets[0] != sheets[1]
    assert scenario_page(*before).html != scenario_page(*after).html


def test_a_start_moves_every_date_of_the_calendar():
    _, early = worked("programme.start=2027-05-01")
    _, late = worked("programme.start=2027-06-05")
    for scheme, job in early.jobs.items():
        assert min(task.start for task in job.programme.dates.tasks) < min(task.start for task in late.jobs[scheme].programme.dates.tasks)
        events = [re.findall(r"DTSTART;VALUE=DATE:(\d+)", calendar_file(comparison, comparison.scheme(scheme), comparison.jobs[scheme])) for comparison in (early, late)]
        assert events[0] and min(events[0]) < "20270601" <= max(events[1])


def test_a_comparison_without_jobs_still_makes_a_page():
    from calculators.compare import compare

    reading, comparison = worked()
    bare = compare(reading.scenario)
    assert 'id="job"' not in scenario_page(reading, bare).html
    assert [scheme["programme"] for scheme in json.loads(comparison_json(reading, bare))["schemes"]] == [None, None, None]


def test_a_title_is_data_on_every_sheet():
    hostile = "<script>alert(1)</script> {{ 7*7 }}"
    _, comparison = worked(f"title={hostile}")
    first = comparison.decision.order[0]
    result, job = comparison.scheme(first), comparison.jobs[first]
    for made in (order_page.order_page, pour_page.pour_page, programme_page.programme_page):
        html = made(comparison, result, job)
        assert "<script" not in html and "{{ 7*7 }}" in html
