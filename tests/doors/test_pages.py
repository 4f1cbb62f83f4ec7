"""Pages: what a reader must find on them, for every reader, and what a stranger's text must not do to them."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markupsafe import Markup

from calculators import best_level, permissions, pricing
from calculators.compare import compare
from calculators.quantities import QUANTITIES
from calculators.rules import RULES
from calculators.schemes import SCHEMES
from calculators.schemes.common import RAMP_RISE_M
from calculators.stand import stand_assumptions
from calculators.works import Check
from generator import check_words, display, guide_parts, input_rows, markdown_body, page_tables, pages, wording
from generator.inputs import INPUTS
from generator.problems import Problem
from generator.scenario import read_scenario_file, read_scenario_text

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
SCENARIOS = sorted(path for path in (DOCS / "scenarios").glob("*.md") if path.name != "index.md")

# The addresses that people keep: they never change.
ANCHORS = (
    "verdict", "whom-to-ask", "story", "sections", "side-by-side", "like-for-like", "warmth", "carbon", "permissions", "cautions", "inputs",
    "taken-for-granted", "take-away",
)
SCHEME_ANCHORS = (
    "", "-level", "-drawing", "-checks", "-checks-rules", "-checks-strength", "-checks-damp", "-checks-water", "-checks-heat", "-bill",
)

VOID = {"br", "img", "input", "hr", "meta", "link"}

PLAIN = """---
title: {title}
plot:
  footprint: 6.6 m x 4.2 m
  slope: "1:14"
  falls_to: south
  soil: medium sand
---

{story}
"""


@cache
def example(path: Path):
    reading = read_scenario_file(path)
    comparison = compare(reading.scenario)
    return reading, comparison, pages.scenario_page(reading, comparison)


def written(title="A plot", story="Sand.", overrides=()):
    reading = read_scenario_text(PLAIN.format(title=title, story=story), "a-plot.md", "a-plot", overrides)
    return pages.scenario_page(reading, compare(reading.scenario))


def site_data() -> guide_parts.SiteData:
    entries = tuple(guide_parts.Entry(f"scenarios/{path.name}", path.stem, pages.card_of(*example(path)[:2]), lambda path=path: example(path)[:2]) for path in SCENARIOS)
    return guide_parts.SiteData(entries, lambda source: "/" + source.removesuffix(".md") + "/")


class Outline(HTMLParser):
    """Elements with their attributes in order, headings with their levels, and text; fails on tags that do not match."""

    def __init__(self, html: str):
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict]] = []
        self.open: list[str] = []
        self.levels: list[int] = []
        self.words: list[str] = []
        self.feed(html)
        self.close()
        assert not self.open, f"not closed: {self.open}"

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if re.fullmatch("h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open and self.open[-1] == tag, f"</{tag}> closes <{self.open[-1:]}>"
        self.open.pop()
        if tag in ("td", "th", "dt", "dd", "p", "li", "h2", "h3"):
            self.words.append(" ")

    def handle_data(self, data):
        self.words.append(data)

    def all(self, tag: str) -> list[dict]:
        return [attrs for name, attrs in self.elements if name == tag]

    @property
    def ids(self) -> list[str]:
        return [attrs["id"] for _, attrs in self.elements if "id" in attrs]

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())


def words_of(part: str) -> str:
    """The words of a piece cut out of a page, tags or no tags."""
    return " ".join(Markup(re.sub(r"</(td|th|dt|dd|p|li|h2|h3)>", " ", part)).striptags().split())


def parts() -> list[tuple[str, str]]:
    """Every generated part that a page of the guide asks for: (where, html)."""
    found, site = [], site_data()
    for path in sorted(DOCS.rglob("*.md")):
        for name, argument in re.findall(r"<!--\s*soleplate:([a-z-]+)\s*(.*?)\s*-->", path.read_text(encoding="utf-8")):
            found.append((f"{path.relative_to(DOCS)} {name} {argument}", guide_parts.marker(name, argument, site)))
    return found


EVERY_PAGE = pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)


# What is on the page of a scenario.


@EVERY_PAGE
def test_anchors_are_there_and_never_twice(path):
    _, comparison, page = example(path)
    outline = Outline(page.html)
    assert set(ANCHORS) <= set(outline.ids)
    assert {scheme + end for scheme in comparison.scenario.schemes for end in SCHEME_ANCHORS} <= set(outline.ids)
    assert len(outline.ids) == len(set(outline.ids))


@EVERY_PAGE
def test_headings_go_down_one_level_at_a_time(path):
    outline = Outline(example(path)[2].html)
    assert outline.levels[0] == 1
    assert all(after <= before + 1 for before, after in zip(outline.levels, outline.levels[1:]))


@EVERY_PAGE
def test_table_of_contents_names_the_headings(path):
    page = example(path)[2]
    outline = Outline(page.html)
    assert [heading.id for heading in page.headings] == [name for name in outline.ids if f'id="{name}"' in " ".join(re.findall(r"<h[23] [^>]*>", page.html))]
    assert all(heading.text and "¶" not in heading.text and "<" not in heading.text for heading in page.headings)


@EVERY_PAGE
def test_nothing_that_a_strict_policy_refuses(path):
    outline = Outline(example(path)[2].html)
    for tag, attrs in outline.elements:
        assert tag not in ("script", "style", "iframe", "object", "embed", "img", "link", "form")
        assert "style" not in attrs and not [name for name in attrs if name.startswith("on")]
        for address in (attrs.get("href", ""), attrs.get("src", "")):
            assert not re.match(r"[a-z]+:|//", address), f"{address} leaves the guide"


@EVERY_PAGE
def test_links_inside_the_page_arrive(path):
    outline = Outline(example(path)[2].html)
    wanted = {attrs["href"][1:] for attrs in outline.all("a") if attrs.get("href", "").startswith("#")}
    wanted |= {name for _, attrs in outline.elements for key in ("aria-labelledby", "for") for name in attrs.get(key, "").split()}
    assert wanted <= set(outline.ids)


def slug(heading: str) -> str:
    """The id that MkDocs gives to a heading."""
    return re.sub(r"[-\s]+", "-", re.sub(r"[^\w\s-]", "", heading).strip().lower())


def test_links_to_other_pages_arrive():
    outline = Outline(example(SCENARIOS[0])[2].html)
    addresses = {attrs["href"] for attrs in outline.all("a") if attrs["href"].startswith("../")}
    assert addresses
    for address in addresses:
        page, _, anchor = address.removeprefix(pages.TO_ROOT).partition("#")
        name = page.rstrip("/")
        source = next(path for path in (DOCS / f"{name}.md", DOCS / name / "index.md") if path.is_file())
        anchors = {slug(heading) for heading in re.findall(r"^#+ (.*)$", source.read_text(encoding="utf-8"), re.M)}
        assert not anchor or anchor in anchors, f"{address} has no such heading"


@EVERY_PAGE
def test_tables_say_what_they_are(path):
    html = example(path)[2].html
    tables = re.findall(r"<table.*?</table>", html, re.DOTALL)
    assert tables
    for table in tables:
        assert "<caption" in table and "<thead>" in table
        assert all('scope="' in heading for heading in re.findall(r"<th[ >][^>]*>", table))
    regions = [attrs for attrs in Outline(html).all("div") if attrs.get("class") == "sp-scroll"]
    assert len(regions) == len(tables)
    assert all(attrs["role"] == "region" and attrs["tabindex"] == "0" and attrs["aria-label"] for attrs in regions)


@EVERY_PAGE
def test_every_number_with_a_unit_is_there_in_both_systems(path):
    reading, _, page = example(path)
    metric, imperial = page.html.count('class="q-metric"'), page.html.count('class="q-imperial"')
    assert metric == imperial > 200
    assert f"sp-shows-{reading.scenario.units}" in page.html
    radios = {attrs["id"]: "checked" in attrs for attrs in Outline(page.html).all("input")}
    assert radios == {"sp-metric": reading.scenario.units == "metric", "sp-imperial": reading.scenario.units == "imperial"}


@EVERY_PAGE
def test_first_screen_says_how_far_it_can_be_trusted(path):
    _, comparison, page = example(path)
    first = words_of(page.html.split('<h2 id="story"')[0])
    assert "it is not a design" in first
    if comparison.decision.order:
        assert "prices are invented" in first and "Not yet tested for certainty" in first
        assert "quotes that would tell most" in first
    else:
        assert "None of the three schemes is within limits" in first and "Ask a ground engineer" in first


def section(page: pages.Page, scheme: str) -> str:
    """The part of a page about one scheme."""
    return next(part for part in page.html.split('<section class="sp-scheme') if f'<h2 id="{scheme}"' in part).partition("</section>")[0]


@EVERY_PAGE
def test_a_scheme_outside_the_limits_says_why_and_has_no_price(path):
    _, comparison, page = example(path)
    sign = {"GBP": "£", "USD": "$"}[comparison.scenario.currency]
    for result in comparison.schemes:
        part = section(page, result.id)
        heading = part[: part.index("</h2>")]
        assert ("outside the limits" in heading and "<s>" in heading) is not result.buildable
        assert (sign in part) is result.buildable
        if not result.buildable:
            text = words_of(part.partition(">")[2])
            assert "for scale only" in text
            for check in result.reasons:
                assert check.sentence in text and f"Ask {check.ask}." in text


@EVERY_PAGE
def test_the_floor_level_says_what_set_it_and_what_others_would_cost(path):
    _, comparison, page = example(path)
    for result in comparison.schemes:
        part = section(page, result.id).partition(f'<h3 id="{result.id}-level">')[2].partition("<h3")[0]
        text = words_of(part)
        levels = result.levels
        if levels.clash:
            assert "No level keeps every rule." in text and "<table" not in part and "<svg" not in part
            for name in (*levels.clash.up, *levels.clash.down, *levels.clash.neither):
                assert wording.in_sentence(name) in text.lower() or name in text
            continue
        assert levels.lowest_set_by in text
        alone = levels.as_good_m[0] == levels.as_good_m[1]
        assert ("No level next to it" in text) is alone and ("Anywhere from" in text) is not alone
        assert part.count("<tr") == len(levels.points) + 1 and part.count('class="sp-total"') == 1
        assert part.count("<svg") == 2 and display.money(levels.best.cost, comparison.scenario.currency) in text
        assert ("lower adds" in text) is (levels.nudge_down is not None) and ("higher adds" in text) is (levels.nudge_up is not None)
        for name in levels.broken_up:
            assert wording.in_sentence(name) in text


def test_a_floor_that_the_reader_fixed_says_so():
    page = written(overrides=["schemes.thickened-raft.floor_level=0.2 m"])
    part = section(page, "thickened-raft")
    assert "where you fixed it" in part and "thickened-raft-level" in part and "sp-levels" not in part


def test_rules_that_pull_both_ways_are_named_as_such():
    # A step-free side holds the floor down, the damp-proof course holds it up: no level serves both.
    page = written(overrides=["building.step_free=south", "plot.slope=1:8"])
    text = words_of(section(page, "thickened-raft").partition(">")[2])
    assert "The rules clash" in text and "rise to the step-free south door" in text and "water must run away from the floor" in text


@EVERY_PAGE
def test_every_check_and_every_line_of_the_bill_is_shown(path):
    _, comparison, page = example(path)
    for result in comparison.schemes:
        part = section(page, result.id)
        assert part.count('class="sp-word"') == len(result.works.checks)
        text = words_of(part.partition(">")[2])
        for check in result.works.checks:
            assert check.name in text and (check.source or check.mark) in text
        for line in result.priced.lines:
            assert line.item in text
        for sentence in result.works.assumptions:
            assert sentence in text
        if result.buildable:
            assert "They are invented" in text


# The checks, by the question that they answer.


def check_groups(part: str) -> dict[str, str]:
    """The pieces of a scheme's part that answer one question each, by method."""
    pieces = re.split(r'<h4 id="[a-z-]+-checks-([a-z]+)">', part.partition('-checks">Checks')[2].split("<h3")[0])
    return dict(zip(pieces[1::2], pieces[2::2]))


@EVERY_PAGE
def test_every_check_carries_its_meaning_working_and_source_under_its_question(path):
    _, comparison, page = example(path)
    for result in comparison.schemes:
        groups = check_groups(section(page, result.id))
        assert list(groups) == [method for method in check_words.QUESTIONS if any(check.method == method for check in result.works.checks)]
        for method, html in groups.items():
            checks = [check for check in result.works.checks if check.method == method]
            text = words_of(html)
            assert check_words.QUESTIONS[method] in text and f'href="../../methods/{method}/"' in html
            assert html.count('class="sp-check"') == html.count("Source:") == len(checks)
            rows = [words_of(row) for row in re.findall(r'<details class="sp-check">.*?</details>', html, re.DOTALL)]
            for check in checks:
                row = next(row for row in rows if row.startswith(check.name) and " ".join(check.sentence.split()) in row)
                assert check_words.verdict_words(check) in row and (check.source or check.mark) in row
                if check.working:
                    assert "Working, in SI units" in row and words_of(check_words.formula(check.working)) in row
                elif check.provided is not None and check.required is not None:
                    assert "Working, in SI units" in row


@EVERY_PAGE
def test_what_is_outside_or_close_is_in_view_and_the_rest_one_click_away(path):
    _, comparison, page = example(path)
    for result in comparison.schemes:
        for method, html in check_groups(section(page, result.id)).items():
            in_view = re.sub(r'<details class="sp-fold">.*', "", html, flags=re.DOTALL)
            checks = [check for check in result.works.checks if check.method == method]
            wanted = [check for check in checks if check.verdict in ("outside", "close")]
            assert in_view.count('class="sp-check"') == len(wanted)
            for check in wanted:
                assert check.name in words_of(in_view)
            assert 'sp-check" open' not in html and 'sp-fold" open' not in html


@EVERY_PAGE
def test_verdicts_are_the_four_words(path):
    page = example(path)[2]
    verdicts = set(re.findall(r'<span class="sp-word">([^<]*)</span>', page.html))
    assert verdicts and all(words in ("within", "close", "not worked out") or words.startswith("outside: ask ") for words in verdicts)
    assert not re.search(r"\b(red|amber|green|gauge|traffic light)\b", Outline(page.html).text.partition("What went in")[0].split("The plot, in")[0], re.I)


def test_a_drain_to_be_put_right_strikes_nothing_out():
    page = written(overrides=["drainage.gradient=1:400", "schemes=[strip-and-block]"])
    part = section(page, "strip-and-block")
    text = words_of(part.partition(">")[2])
    assert "outside the limits" not in words_of(part.partition(">")[2].split("</h2>")[0]) and "£" in part
    assert "1 outside (to be put right)" in text and "outside: ask a drainage designer" in text
    assert "It is to be put right, and does not strike the scheme out." in text
    asked = words_of(page.html.split('<h2 id="whom-to-ask">')[1].split("</ul>")[0])
    assert "A drainage designer: fall of the drain (to be put right)." in asked


def test_a_wall_that_the_fill_would_tip_says_whom_to_ask_and_shows_the_sum():
    page = written(overrides=["plot.slope=1:7", "schemes.insulated-slab.block_thickness=140 mm", "schemes.insulated-slab.footing_width=450 mm"])
    part = section(page, "insulated-slab")
    text = words_of(part.partition(">")[2])
    assert "outside the limits" in words_of(part.partition(">")[2].split("</h2>")[0]) and "£" not in part
    assert "Wall holding back the fill: overturning" in text and "outside: ask a structural engineer" in text
    strength = words_of(check_groups(part)["strength"])
    assert "holds" in strength and "kN m/m, over 2" in strength
    asked = words_of(page.html.split('<h2 id="whom-to-ask">')[1].split("</ul>")[0])
    assert "A structural engineer: " in asked and "wall holding back the fill: " in asked and "overturning" in asked


@EVERY_PAGE
def test_who_to_ask_names_everybody_once_and_what_about(path):
    _, comparison, page = example(path)
    part = page.html.split('<h2 id="whom-to-ask">')[1].split("</section>")[0]
    lines = [words_of(line) for line in re.findall(r"<li>(.*?)</li>", part, re.DOTALL)]
    whom = [line.partition(":")[0] for line in lines]
    assert len(whom) == len(set(whom)) <= 9
    text = " ".join(lines)
    for result in comparison.schemes:
        for check in result.works.checks:
            if check.verdict == "outside":
                assert check.ask.lower() in text.lower()
        for permission in result.permissions:
            asks = permission.verdict != permissions.BELOW
            subject = wording.in_sentence(permission.what.partition(": ")[2] or permission.what)
            assert not asks or subject in text
    assert page.html.index('id="whom-to-ask"') < page.html.index('id="sections"')


def test_a_sign_on_the_plot_is_said_in_full_near_the_top():
    page = written(overrides=["plot.soil=peat"])
    asked = words_of(page.html.split('<h2 id="whom-to-ask">')[1].split("</ul>")[0])
    assert "A ground engineer: the ground is peat: nothing in this guide may be built on it as it is" in asked


# Warmth, carbon, permissions, region.


def part_of(page: pages.Page, anchor: str) -> str:
    return page.html.split(f'<h2 id="{anchor}">')[1].split("</section>")[0]


@EVERY_PAGE
def test_warmth_is_shown_where_the_building_is_heated_and_one_line_says_so_where_it_is_not(path):
    _, comparison, page = example(path)
    part = part_of(page, "warmth")
    text = words_of(part)
    if not comparison.scenario.building.heated:
        assert "The building is not heated" in text and "<table" not in part
        return
    for result in comparison.schemes:
        assert display.quantity(result.floor_heat.kwh, "kWh").metric in text.replace("\u00a0", " ")
        assert display.money(result.floor_heat.cost, comparison.scenario.currency) in text
        assert words_of(check_words.formula(result.floor_heat.working)) in text
    for sentence in comparison.schemes[0].floor_heat.assumptions:
        assert sentence in text
    floating = [result for result in comparison.schemes if any(credit.rate_key == "floating_floor" for credit in result.credits)]
    assert text.count(" bare floor ") >= len(floating) and ("for the bare floor without it" in text) is bool(floating)


def test_a_price_of_energy_is_invented_until_one_is_given():
    heated = ["building.heated=yes"]
    assert "invented" in words_of(part_of(written(overrides=heated), "warmth"))
    given = words_of(part_of(written(overrides=[*heated, "heat.energy_price=0.31 GBP/kWh"]), "warmth"))
    assert "invented" not in given and "0.31" in given


@EVERY_PAGE
def test_carbon_is_shown_line_by_line_with_its_factors(path):
    _, comparison, page = example(path)
    text = words_of(part_of(page, "carbon")).replace("\u00a0", " ")
    first = comparison.schemes[0].carbon
    assert first.factor_set in text and first.dated in text
    for sentence in first.assumptions + first.left_out:
        assert sentence in text
    side_by_side = words_of(part_of(page, "side-by-side")).replace("\u00a0", " ")
    for result in comparison.schemes:
        total = display.quantity(result.carbon.total_kgco2e, "kgCO2e").metric
        assert total in text and total in side_by_side
        for group, amount in result.carbon.by_group_kgco2e.items():
            assert amount == 0.0 or display.quantity(amount, "kgCO2e").metric in side_by_side
        for line in result.carbon.lines:
            assert f"{line.item} {display.quantity(line.amount, line.unit).metric}" in text
            assert display.quantity(line.factor.value, line.factor.unit).metric in text


def test_a_factor_of_the_readers_own_is_said_to_be_theirs():
    plain, own = (words_of(part_of(written(overrides=given), "carbon")) for given in ([], ["carbon.factors={concrete: 95 kgCO2e/t}"]))
    assert "with your own for concrete" in own and "yours" in own and "95" in own
    assert "your own" not in plain and " yours" not in plain


@EVERY_PAGE
def test_permissions_show_figure_limit_answer_and_source_for_each_scheme(path):
    _, comparison, page = example(path)
    text = words_of(part_of(page, "permissions")).replace("\u00a0", " ")
    assert "check locally" in text and comparison.site.rules.title in text
    for result in comparison.schemes:
        for permission in result.permissions:
            for words in (permission.what, permission.of_whom, permission.sentence, permission.source, permission.verdict):
                assert words in text
            for value in (permission.figure, permission.limit):
                assert value is None or display.quantity(value, permission.unit).metric in text


def test_another_region_has_other_rules_and_the_page_says_whose():
    texts = {}
    for region, rules in RULES.items():
        page = written(overrides=[f"region={region}", "plot.frost_depth=0.5 m"])
        assert f"The rules on this page are those of {rules.title}" in words_of(page.html.split('id="whom-to-ask"')[1].split("</section>")[0])
        assert "The sums of strength are those of the Eurocodes in every region" in Outline(page.html).text
        texts[region] = words_of(section(page, "strip-and-block").partition(">")[2])
    assert len(set(texts.values())) == len(RULES)
    assert "International Residential Code, R403.1.4" in texts["us"] and "International Residential Code, R403.1.4" not in texts["england"]
    # IRC R105.2 asks for a permit from 200 square feet; England's regulations from 15 m2, or 30.
    permits = {region: words_of(part_of(written(overrides=[f"region={region}", "plot.frost_depth=0.5 m"]), "permissions")) for region in RULES}
    assert "Building permit: floor area" in permits["us"] and "Building regulations: floor area" in permits["england"]


def test_what_regions_change_is_tabled_beside_the_rules():
    html = guide_parts.marker("rules-table", "", site_data())
    table = html.split('aria-label="What each region changes"')[1].split("</table>")[0]
    rows = {words_of(row).partition(" 1")[0] for row in table.split("<tr>")[2:]}
    assert any(row.startswith("Snow on the ground") for row in rows)
    # A figure that is the same everywhere changes nothing.
    for label, figures in guide_parts._what_regions_change():
        assert len({figure.value if figure else None for figure in figures}) > 1, label
        assert label in words_of(table)
    assert "Laps of the membrane" not in words_of(table) and "Height near the boundary" in words_of(table)


@EVERY_PAGE
def test_what_the_sums_take_for_granted_is_said_once(path):
    _, comparison, page = example(path)
    text = Outline(page.html).text
    for sentence in stand_assumptions(comparison.site):
        assert text.count(" ".join(sentence.split())) == 1


# Words of checks.


def a_check(**changes) -> Check:
    return replace(Check("Fill under the slab", 0.4, 0.6, "m", 0.4 / 0.6, "within", "It settles.", "", "read"), **changes)


def test_whether_a_limit_is_the_most_or_the_least_is_told_by_the_figures():
    assert check_words.figures(a_check()).metric == "400 mm; at most 600 mm"
    assert check_words.figures(a_check(provided=0.9, ratio=0.6 / 0.9)).metric == "900 mm; at least 600 mm"
    assert check_words.figures(a_check(provided=0.9, ratio=1.5, verdict="outside")).metric == "900 mm; at most 600 mm"
    assert check_words.figures(a_check(provided=0.4, ratio=1.5, verdict="outside")).metric == "400 mm; at least 600 mm"
    # More than the limit and still accepted, on a condition.
    assert check_words.figures(a_check(provided=0.9, ratio=1.5, verdict="close")).metric == "900 mm; at most 600 mm"
    assert check_words.figures(a_check(provided=0.6, ratio=1.0)).metric == "600 mm; limit 600 mm"
    assert check_words.figures(a_check(provided=-0.05, required=0.05, unit="gradient", ratio=None, verdict="close")).metric == "1 in 20 the wrong way; limit 1 in 20"
    assert check_words.figures(a_check(provided=None, required=None, ratio=None, verdict="outside")).metric == "seen on the plot"
    assert check_words.figures(a_check(provided=None, ratio=None, verdict="not worked out")).metric == "limit 600 mm"


def test_a_comparison_without_a_formula_shows_its_division():
    assert check_words.working(a_check()) == "400 mm / 600 mm = 0.67"
    assert check_words.working(a_check(provided=0.8, ratio=0.75)) == "600 mm / 800 mm = 0.75"
    assert check_words.working(a_check(working="q = 2 x 3 kN/m2")) == "q = 2 × 3 kN/m²"
    assert check_words.working(a_check(required=None, ratio=None)) == ""


def test_tallies_count_what_is_to_be_put_right_apart():
    outside = a_check(verdict="outside")
    assert check_words.tally([a_check(), a_check()]) == "All 2 checks are within their limits."
    assert check_words.tally([a_check(), outside, a_check(verdict="close")]) == "Of 3 checks: 1 within, 1 close and 1 outside."
    assert check_words.tally([outside, replace(outside, stops=False)]) == "Of 2 checks: 2 outside (1 to be put right)."
    assert check_words.tally([a_check(verdict="not worked out")]) == "The one check here: 1 not worked out."


def test_the_check_used_most_is_the_worst_of_those_that_say_something():
    chosen = a_check(name="Slab", provided=0.1, required=0.1, ratio=1.0)
    used, close = a_check(name="Used", ratio=0.8), a_check(name="Close", ratio=0.95, verdict="close")
    on_condition = a_check(name="Joint", provided=0.9, ratio=1.5, verdict="close")
    assert check_words.most_used([chosen, used]).name == "Used"
    assert check_words.most_used([chosen, used, close, on_condition]).name == "Close"
    assert check_words.most_used([close, a_check(name="Out", ratio=1.2, verdict="outside"), a_check(name="Drain", ratio=9.0, verdict="outside", stops=False)]).name == "Out"
    assert check_words.most_used([chosen]) is None


@EVERY_PAGE
def test_every_quantity_is_in_the_table_or_named_as_not_taken(path):
    _, comparison, page = example(path)
    part = words_of(page.html.split('<h2 id="side-by-side">')[1].split("</section>")[0])
    for quantity in QUANTITIES:
        assert quantity.label.removeprefix("of which ").lower() in part.lower(), quantity.key


@EVERY_PAGE
def test_every_input_is_shown_as_given_or_as_filled_in(path):
    reading, _, page = example(path)
    text = words_of(page.html.split('<h2 id="inputs">')[1].split("</section>")[0])
    for key, typed in reading.given.items():
        assert f" {key} " in text and " ".join(typed.split()) in text
    for used in reading.defaults:
        assert f" {used.key} " in text and used.reason in text


PROMISES = re.compile(r"\b(safe|safely|compliant|complies|guaranteed?|certified)\b", re.I)


@EVERY_PAGE
def test_no_promise_is_made(path):
    text = Outline(example(path)[2].html).text
    assert not PROMISES.search(text) and "safety" not in text.lower()


def test_no_promise_is_made_by_the_guide_itself():
    for where, html in parts():
        assert not PROMISES.search(Outline(html).text), where
    for path in DOCS.rglob("*.md"):
        assert not PROMISES.search(path.read_text(encoding="utf-8")), path.name


@EVERY_PAGE
def test_the_same_comparison_gives_the_same_page(path):
    reading, comparison, page = example(path)
    assert pages.scenario_page(reading, comparison) == page


def test_the_cheapest_comes_first_and_those_outside_last():
    for path in SCENARIOS:
        _, comparison, page = example(path)
        shown = [heading.id for heading in page.headings if heading.id in comparison.scenario.schemes]
        outside = [result.id for result in comparison.schemes if not result.buildable]
        assert shown == [*comparison.decision.order, *outside]


def test_one_scheme_alone_makes_a_page():
    page = written(overrides=["schemes=[strip-and-block]"])
    outline = Outline(page.html)
    assert "strip-and-block-bill" in outline.ids and "thickened-raft" not in outline.ids
    assert "Schemes to compare" in outline.text


def test_without_a_story_there_is_no_heading_for_it():
    page = written(story="")
    assert "story" not in Outline(page.html).ids
    assert page.search_text.endswith(".")


def test_pages_need_no_site_builder():
    code = "import sys; sys.modules['mkdocs'] = None; import generator.pages, generator.markdown_body"
    subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True)


# How inputs are understood.


@pytest.mark.parametrize("typed", ["1:8", "1 in 8", "12.5 %"])
def test_one_slope_is_understood_alike_however_it_is_typed(typed):
    page = written(overrides=[f"plot.slope={typed}"])
    assert f"<td>{typed}</td><td>1 in 8</td>" in page.html.replace("\u00a0", " ")


def test_every_input_can_be_put_into_words():
    for path in SCENARIOS:
        reading, _, _ = example(path)
        for item in INPUTS:
            if item.key.startswith("schemes.") and item.key.split(".")[1] not in reading.scenario.schemes:
                continue
            shown = input_rows.understood(item, reading.scenario)
            # Levels stand in for a slope, so a plot may have none of them.
            assert shown.metric or item.key == "plot.levels"


def test_words_cover_the_lists_they_belong_to():
    keys = [key for group in page_tables.QUANTITY_GROUPS.values() for key in group]
    assert sorted(keys) == sorted(quantity.key for quantity in QUANTITIES)
    for rules in RULES.values():
        assert all(label for label, _ in guide_parts._rule_rows(rules))
    inside = compare(read_scenario_text(PLAIN.format(title="A plot", story=""), "a-plot.md", "a-plot", WALL_INSIDE).scenario)
    sizes = {name for comparison in (inside, *(example(path)[1] for path in SCENARIOS)) for result in comparison.schemes for name in result.works.sizes}
    assert sizes == set(wording.SIZE_LABELS)


WALL_INSIDE = ["building.internal_walls=[[[3.3 m, 0 m], [3.3 m, 4.2 m]]]"]


def test_a_wall_inside_is_on_the_page():
    text = Outline(written(overrides=WALL_INSIDE).html).text
    assert "Pressure on the ground under the footing of a wall inside" in text and wording.SIZE_LABELS["inside_wall_m"] in text


# A stranger's text.


HOSTILE = (
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "[x](javascript:alert(1))", "[x](java\tscript:alert(1))",
    "[x](&#106;avascript:alert(1))", "[x](&amp;#106;avascript:alert(1))", "[x](javascript&colon;alert(1))", "[x](data:text/html,x)",
    "[x]\n\n[x]: JaVaScRiPt:alert(1) 'x'", "![x](http://example.org/x.png)", "<javascript:alert(1)>", "[x](`javascript:alert(1)`)",
    "<div onclick=x>\n\n# A\n\n</div>", "<style>body{display:none}</style>", "<a href='javascript:x'>x</a>", "<svg/onload=alert(1)>",
)


@pytest.mark.parametrize("text", HOSTILE)
def test_a_story_can_do_no_harm(text):
    html = markdown_body.render(text)
    outline = Outline(html)
    assert {tag for tag, _ in outline.elements} <= {"p", "a", "span", "code", "h3", "em"}
    for _, attrs in outline.elements:
        assert set(attrs) <= {"href", "rel"}
        assert not re.match(r"(javascript|data|vbscript)", attrs.get("href", ""), re.I)


def test_a_story_keeps_what_it_may_have():
    html = markdown_body.render("# Soil\n\nSand, *dry*. See [the map](https://example.org/a?b=1&c=2), [here](../x/) or [write](mailto:a@example.org).\n\n- one\n- {{ two }}")
    assert "<h3>Soil</h3>" in html and "<em>dry</em>" in html and "<li>{{ two }}</li>" in html
    assert [attrs["href"] for attrs in Outline(html).all("a")] == ["https://example.org/a?b=1&c=2", "../x/", "mailto:a@example.org"]


@pytest.mark.parametrize("text", ["[" * 30_000, "[a](" * 8_000, "*a " * 10_000, "> " * 10_000, "![" * 15_000, "`" * 30_000])
def test_a_story_of_nothing_but_signs_is_read_all_the_same(text):
    assert markdown_body.CUT in markdown_body.render(text + "\n\nend")


def test_a_hostile_title_and_story_stay_words():
    page = written(title='"</h1><script>alert(1)</script> {{ 7 * 7 }}"', story="<script>alert(2)</script> {{ 7 * 7 }} {% raw %}")
    outline = Outline(page.html)
    assert "script" not in {tag for tag, _ in outline.elements}
    assert "{{ 7 * 7 }}" in outline.text and "{% raw %}" in outline.text
    assert page.title == "</h1><script>alert(1)</script> {{ 7 * 7 }}"


def test_a_page_of_problems_shows_each_of_them_once_as_words_and_once_as_printed():
    problems = [
        Problem("scenarios/shed.md", 3, "plot.topsoil", '"6" has no unit', "write a length with its unit", "150 mm"),
        Problem("scenarios/shed.md", "--set", "<b>", '"<script>"', "did you mean soil?"),
    ]
    page = pages.problem_page("scenarios/shed.md", problems)
    outline = Outline(page.html)
    assert "There are 2 problems in scenarios/shed.md" in outline.text
    assert 'Line 3, plot.topsoil: "6" has no unit. Write a length with its unit, like 150 mm.' in outline.text
    for problem in problems:
        assert problem.sentence() in outline.text
    assert not {"script", "b"} & {tag for tag, _ in outline.elements}
    assert page.headings[0].id == "problems"


# Parts of other pages.


def test_every_part_that_the_documents_ask_for_is_made():
    made = parts()
    assert len(made) > 20
    for where, html in made:
        outline = Outline(html)
        assert outline.text, where
        assert all("style" not in attrs for _, attrs in outline.elements), where
        assert len(outline.ids) == len(set(outline.ids)), where


def test_the_index_shows_every_scenario_with_its_verdict():
    site = site_data()
    outline = Outline(guide_parts.marker("scenario-index", "", site))
    links = [attrs["href"] for attrs in outline.all("a")]
    assert links == [f"/scenarios/{path.stem}/" for path in SCENARIOS]
    for entry in site.entries:
        assert entry.comparison.scenario.title in outline.text


def test_an_index_of_nothing_says_so():
    assert "No scenario" in guide_parts.scenario_index([])


def test_an_example_runs_the_function_and_shows_its_answer():
    html = guide_parts.marker("example", 'calculators.rules.footing_step_overlap_m {"step_m": 0.225, "thickness_m": 0.225}', site_data())
    text = Outline(html).text.replace("\u00a0", " ")
    # NHBC Standards 4.3.8: twice the step, 450 mm.
    assert "0.45 m" in text and "step 0.225 m" in text


@pytest.mark.parametrize("argument", [
    "os.system {}", 'builtins.eval {"source": "1"}', "calculators.rules._borrowed {}", "calculators.rules.math.sqrt {}", "calculators.rules.replace {}",
    "calculators.rules.RuleSet {}", "calculators.schemes.common.doors {}", "calculators.rules.clay_depth_m", "calculators.rules.clay_depth_m {1}",
    'calculators.rules.rules_for {"region": "england"}', 'calculators.rules.clay_depth_m {"shrinkage": "much"}', 'calculators.rules.clay_depth_m {"nothing": 1}', "calculators.rules.clay_depth_m [1]",
])
def test_an_example_runs_nothing_else(argument):
    with pytest.raises(guide_parts.UnknownMarker):
        guide_parts.marker("example", argument, site_data())


@pytest.mark.parametrize("name, argument", [("nothing", ""), ("scheme-drawing", "straw"), ("home-example", "nowhere"), ("method-evidence", "nothing")])
def test_a_part_that_does_not_exist_is_refused(name, argument):
    with pytest.raises(guide_parts.UnknownMarker):
        guide_parts.marker(name, argument, site_data())


def test_the_page_of_evidence_shows_every_row():
    site = site_data()
    results = site.evidence()
    html = guide_parts.marker("evidence-table", "", site)
    assert html.count('class="sp-word"') == len(results)
    assert f"{sum(result.holds for result in results)} of {len(results)} rows hold" in Outline(html).text


def test_schemes_are_listed_with_their_pages():
    links = [attrs["href"] for attrs in Outline(guide_parts.marker("scheme-list", "", site_data())).all("a")]
    assert links[: len(SCHEMES)] == [f"/schemes/{scheme.ID}/" for scheme in SCHEMES]


# Style.


def test_no_template_has_an_inline_style_or_a_colour_of_its_own():
    for path in (ROOT / "generator" / "templates").rglob("*.j2"):
        assert "style=" not in path.read_text(encoding="utf-8"), path.name
    css = (DOCS / "assets" / "scenario.css").read_text(encoding="utf-8")
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgba?\(", re.sub(r"#sp-\w+", "", css))
    assert "url(" not in css and "@import" not in css


# The guide's own words.


def ground_snippets():
    """Ways of giving the ground that the page about levels shows, each as the text of a scenario."""
    found = re.findall(r"```yaml\n(.*?)```", (DOCS / "find-out.md").read_text(encoding="utf-8"), re.DOTALL)
    return [f"---\nplot:\n  footprint: 6.6 m x 4.2 m\n  {snippet.strip().replace(chr(10), chr(10) + '  ')}\n---\n" for snippet in found]


def test_what_the_page_about_levels_shows_can_be_read():
    snippets = ground_snippets()
    assert len(snippets) == 3
    for text in snippets:
        assert len(read_scenario_text(text, "a-plot.md", "a-plot").scenario.plot.levels_m) >= 4


def test_the_page_about_the_floor_level_has_the_figures_of_the_search():
    text = " ".join((DOCS / "methods/floor-level.md").read_text(encoding="utf-8").split())
    for words in (
        f"tried every {best_level.GRID_M * best_level.COARSE_STEPS * 1000:g} mm, to {best_level.REACH_M:g} m",
        f"{best_level.HOPELESS_SHARE:.0%}".replace("%", " %") + " above the least", f"every {best_level.GRID_M * 1000:g} mm is tried",
        f"strides of {best_level.GRID_M * best_level.LONG_STEPS * 1000:g} mm",
        f"within {best_level.TRUST_SHARE:.1%}".replace("%", " %"),
        f"{best_level.NUDGE_M * 1000:g} mm higher", f"within {best_level.AS_GOOD_SHARE:.0%}".replace("%", " %") + " of the least",
        f"at most {RAMP_RISE_M.value * 1000:g} mm above the ground at its door",
    ):
        assert words in text, words


def test_hours_and_allowances_are_those_of_the_bill():
    site = site_data()
    hours = Outline(guide_parts.marker("hours-table", "", site)).text
    for figure in (pricing.DIG_H_PER_M3, pricing.BLOCK_H_EACH, pricing.SETTING_OUT_H, pricing.RAMP_H_PER_M2):
        assert f"{figure.note.rstrip('.')} {figure.value:g} " in hours
    assert pricing.DAY_H.note.rstrip(".") not in hours
    other = Outline(guide_parts.marker("pricing-table", "", site)).text
    assert f"{pricing.HIRED_PACE.note.rstrip('.')} {pricing.HIRED_PACE.value:g}" in other
    allowances = Outline(guide_parts.marker("allowances-table", "", site)).text.replace("\u00a0", " ")
    for rule in pricing.BILL:
        assert (f"{rule.item} {rule.allowance_percent:g} %" in allowances) is (rule.allowance_percent > 0.0)
