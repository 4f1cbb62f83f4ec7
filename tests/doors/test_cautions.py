"""Cautions on a page and for a sheet: told once, with the plot's figures in both unit systems, in words that promise nothing."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from markupsafe import Markup

from calculators import plot_cautions as pc
from calculators.compare import compare
from generator import pages, setting_out_page
from generator.caution_words import CautionView, FoundView, caution_sentence, caution_views, cautions_at, with_figures
from generator.display import length, quantity, same
from generator.scenario import read_scenario_file
from generator.templating import fill

ROOT = Path(__file__).resolve().parents[2]
SCENARIOS = sorted(path for path in (ROOT / "docs/scenarios").glob("*.md") if path.name != "index.md")
EVERY_PAGE = pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
PROMISES = re.compile(r"\b(safe|safely|safety|compliant|complies|guaranteed?|certified)\b", re.I)


@cache
def read(path: Path):
    reading = read_scenario_file(path)
    return reading, compare(reading.scenario)


@cache
def section(path: Path) -> str:
    return fill("parts/cautions", cautions=caution_views(read(path)[1]), to_root=pages.TO_ROOT)


def words_of(html: str) -> str:
    return " ".join(Markup(re.sub(r"</(li|p|h2)>", " ", html)).striptags().split())


# On a page.


@EVERY_PAGE
def test_the_page_carries_the_section_as_it_is(path):
    reading, comparison = read(path)
    html = pages.scenario_page(reading, comparison).html
    assert " ".join(re.sub(r'<a class="headerlink".*?</a>', "", html).split()).count(" ".join(section(path).split())) == 1
    assert html.count('id="cautions"') == 1


@EVERY_PAGE
def test_each_caution_is_told_once_those_of_the_plot_first(path):
    _, comparison = read(path)
    views, html = caution_views(comparison), section(path)
    assert len({view.key for view in views}) == len(views) == html.count("<strong>")
    text = words_of(html).replace("\u00a0", " ")
    for view in views:
        assert html.count(f"<strong>{Markup.escape(view.title)}.</strong>") == 1
        for shown in (view.advice, *(found.words for found in view.found)):
            assert shown.metric in text and shown.imperial in text
    of_plot = {caution.key for caution in pc.plot_cautions(comparison.site)}
    of_schemes = {caution.key for result in comparison.schemes if result.buildable for caution in pc.cautions_of(comparison.site, result)}
    assert {view.key for view in views} == of_plot | of_schemes
    first_named = next((place for place, view in enumerate(views) if any(found.schemes for found in view.found)), len(views))
    assert {view.key for view in views[:first_named]} <= of_plot
    for part in (views[:first_named], views[first_named:]):
        assert [view.key for view in part] == sorted((view.key for view in part), key=pc.KEYS.index)


@EVERY_PAGE
def test_every_scheme_within_limits_finds_its_figures_and_no_other_does(path):
    _, comparison = read(path)
    text = words_of(section(path)).replace("\u00a0", " ")
    for result in comparison.schemes:
        if not result.buildable:
            assert result.title.lower() not in text.lower()
            continue
        for caution in pc.cautions_of(comparison.site, result):
            for name, amount in caution.figures.items():
                shown = quantity(amount.value, amount.unit)
                assert shown.metric in text and shown.imperial in text, (caution.key, name)


@EVERY_PAGE
def test_figures_are_there_in_both_unit_systems(path):
    html = section(path)
    assert html.count('class="q-metric"') == html.count('class="q-imperial"') > 0
    assert "{" not in html and "}" not in html


def test_schemes_that_say_the_same_share_a_line():
    _, comparison = read(ROOT / "docs/scenarios/print-studio-below-the-orchard.md")
    views = {view.key: view for view in caution_views(comparison)}
    titles = {result.id: result.title for result in comparison.schemes}
    for key in ("trenches", "lifting", "wet concrete"):
        told = [title for found in views[key].found for title in found.schemes]
        assert sorted(told) == sorted(titles.values()) and len({found.words for found in views[key].found}) == len(views[key].found)
    # Both stand on the same footing.
    assert (titles["strip-and-block"], titles["insulated-slab"]) in [found.schemes for found in views["trenches"].found]
    assert "Strip footing, block and slab; insulated floor slab: " in words_of(section(ROOT / "docs/scenarios/print-studio-below-the-orchard.md"))


def test_what_holds_for_every_scheme_without_a_figure_names_none():
    views = {view.key: view for view in caution_views(read(ROOT / "docs/scenarios/print-studio-below-the-orchard.md")[1])}
    assert views["steel"].found == () and views["services"].found == ()


def test_a_plot_without_a_scheme_within_limits_keeps_its_own_cautions():
    _, comparison = read(ROOT / "docs/scenarios/studio-on-the-steep-slope.md")
    assert not comparison.decision.order
    views = caution_views(comparison)
    assert [view.key for view in views] == [caution.key for caution in pc.plot_cautions(comparison.site)]
    assert "1 in 4" in words_of(section(ROOT / "docs/scenarios/studio-on-the-steep-slope.md")).replace("\u00a0", " ")


def test_one_scheme_alone_is_named_beside_its_figures():
    path = ROOT / "docs/scenarios/garden-store-on-the-flat.md"
    comparison = compare(read_scenario_file(path, ("schemes=[thickened-raft]",)).scenario)
    views = {view.key: view for view in caution_views(comparison)}
    assert "trenches" not in views
    assert [found.schemes for found in views["cut"].found] == [("Thickened raft",)]


def test_the_job_adds_what_it_knows():
    reading, _ = read(ROOT / "docs/scenarios/garden-store-on-the-flat.md")
    with_jobs = compare(reading.scenario, jobs=True)
    wet = next(view for view in caution_views(with_jobs) if view.key == "wet concrete")
    assert wet.found and all("people stand in it" in found.words.metric for found in wet.found)
    for job in with_jobs.jobs.values():
        assert cautions_at(job.cautions, "pour")


def test_a_hostile_title_stays_words():
    title = '<script>alert(1)</script> & "pit"'
    view = CautionView("services", title, (FoundView((title,), same(title)),), same(title))
    html = fill("parts/cautions", cautions=(view,), to_root=pages.TO_ROOT)
    assert "<script" not in html and html.count("&lt;script&gt;") == 4
    path = SCENARIOS[0]
    reading = read_scenario_file(path, ("title=<script>alert(1)</script> {depth}",))
    assert "<script" not in fill("parts/cautions", cautions=caution_views(compare(reading.scenario)), to_root=pages.TO_ROOT)


# For a sheet.


@EVERY_PAGE
def test_a_sheet_gets_the_cautions_of_its_place(path):
    _, comparison = read(path)
    for result in comparison.schemes:
        if not result.buildable:
            continue
        cautions = pc.cautions_of(comparison.site, result)
        told = {place: cautions_at(cautions, place) for place in pc.PLACES}
        assert sum(map(len, told.values())) == len(cautions)
        titles = {place: [title for title, _ in sentences] for place, sentences in told.items()}
        assert titles["dig"][0] == "Buried services" and "Wet concrete and mortar" in titles["pour"] and titles["order"][0] == "Lorries"
        for sentences in told.values():
            for _, sentence in sentences:
                assert "{" not in sentence.metric + sentence.imperial and sentence.metric.endswith(".")


def test_a_sheet_says_what_the_figures_are_and_then_what_to_do():
    caution = pc.Caution("cut", "dig", "The sides of the dig", "Keep {back} away.", "It goes {depth} down.", {"depth": pc.Amount(1.2, "m"), "back": pc.Amount(0.9144, "m")})
    assert caution_sentence(caution).metric == "It goes 1.20 m down. Keep 914 mm away."
    # 1.2 m is 47 1/4 inches; 0.9144 m is a yard.
    assert caution_sentence(caution).imperial == "It goes 3 ft 11 1/4 in down. Keep 3 ft away."


def test_a_place_or_a_figure_that_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="everywhere, order, dig, pour, after"):
        cautions_at((), "roof")
    with pytest.raises(KeyError):
        with_figures("It goes {depth} down.", {})


@EVERY_PAGE
def test_the_setting_out_sheet_tells_the_deepest_dig(path):
    _, comparison = read(path)
    for result in comparison.schemes:
        if result.buildable:
            deepest = next(caution for caution in pc.cautions_of(comparison.site, result) if caution.key == "holes").figures["depth"].value
            words = words_of(setting_out_page.setting_out_page(comparison, result)).replace("\u00a0", " ")
            assert f"the deepest dig here goes {length(deepest).of(comparison.scenario.units)} below the ground" in words


# Words.


def test_words_are_short_and_promise_nothing():
    for _, title, sentence in pc._ADVICE.values():
        assert not PROMISES.search(title + sentence)
        assert title[:1].isupper() and len(title) <= 40 and not title.endswith(".")
        for part in re.split(r"(?<=[.;:]) ", sentence):
            assert part[-1] in ".;:" and len(part.split()) <= 30, part


def test_the_full_list_has_every_caution_of_a_page():
    full = " ".join((ROOT / "docs/cautions.md").read_text(encoding="utf-8").lower().split())
    for _, title, _ in pc._ADVICE.values():
        assert title.lower() in full, title
