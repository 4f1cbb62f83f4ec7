"""Pages: what a reader must find on them, for every reader, and what a stranger's text must not do to them."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from markupsafe import Markup

from calculators import best_level, pricing
from calculators.compare import compare
from calculators.quantities import QUANTITIES
from calculators.rules import RULES
from calculators.schemes import SCHEMES
from calculators.schemes.common import RAMP_RISE_M
from generator import display, guide_parts, markdown_body, pages, wording
from generator.inputs import INPUTS
from generator.problems import Problem
from generator.scenario import read_scenario_file, read_scenario_text

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
SCENARIOS = sorted(path for path in (DOCS / "scenarios").glob("*.md") if path.name != "index.md")

# The addresses that people keep: they never change.
ANCHORS = ("verdict", "story", "sections", "side-by-side", "like-for-like", "cautions", "inputs", "take-away")
SCHEME_ANCHORS = ("", "-level", "-drawing", "-checks", "-bill")

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
    assert outline.levels[0] == 2
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


@EVERY_PAGE
def test_no_promise_is_made(path):
    text = Outline(example(path)[2].html).text.lower()
    assert not re.search(r"\b(safe|safely|safety|compliant|complies|guaranteed?)\b", text)


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
            shown = pages.understood(item, reading.scenario)
            # Levels stand in for a slope, so a plot may have none of them.
            assert shown.metric or item.key == "plot.levels"


def test_words_cover_the_lists_they_belong_to():
    keys = [key for group in pages.QUANTITY_GROUPS.values() for key in group]
    assert sorted(keys) == sorted(quantity.key for quantity in QUANTITIES)
    for rules in RULES.values():
        assert all(label for label, _ in guide_parts._rule_rows(rules))
    sizes = {name for path in SCENARIOS for result in example(path)[1].schemes for name in result.works.sizes}
    assert sizes == set(wording.SIZE_LABELS)


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
    'calculators.rules.clay_depth_m {"shrinkage": "much"}', 'calculators.rules.clay_depth_m {"nothing": 1}', "calculators.rules.clay_depth_m [1]",
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
    text = (DOCS / "methods/floor-level.md").read_text(encoding="utf-8")
    for words in (
        f"tried every {best_level.GRID_M * best_level.COARSE_STEPS * 1000:g} mm, to {best_level.REACH_M:g} m",
        f"{best_level.GIVE_UP_SHARE:.0%}".replace("%", " %") + " above the least", f"every {best_level.GRID_M * 1000:g} mm is tried",
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
