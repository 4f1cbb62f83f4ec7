"""Pages from records: one scenario's page, a page of problems, and the card of a scenario in the index.

Knows nothing of MkDocs and writes no file.  Templates in `templates` hold the
words and the order; `scheme_views`, `page_tables`, `check_words` and
`input_rows` find, group and label what they show.  No figure is worked out
here.  Every number with a unit reaches the page in both unit systems, and the
page shows one of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup, escape

from calculators.compare import Comparison, SchemeResult
from calculators.maps import Map
from calculators.rules import RULES
from calculators.stand import stand_assumptions
from generator import check_words, markdown_body, page_tables, wording
from generator.caution_words import caution_views
from generator.certainty_views import certainty_view, map_views
from generator.display import Shown
from generator.drawings import drawing_key_svg, section_frame
from generator.flatness_page import floor_view
from generator.input_rows import default_rows, given_rows, plan_size
from generator.job_views import job_views
from generator.problems import Problem, plain_text
from generator.scenario import Reading
from generator.schedules import YOURS
from generator.scheme_views import scheme_view, section_names
from generator.templating import TO_ROOT, fill
from generator.uncertain_words import certainty_sentences

@dataclass(frozen=True)
class Heading:
    """A heading of a page, for its table of contents."""

    id: str
    level: int
    text: str


@dataclass(frozen=True)
class Page:
    """The HTML of a page with its title on top, that title, a short text to search, its headings."""

    html: str
    title: str
    search_text: str
    headings: tuple[Heading, ...]


# The page of a scenario.


def scenario_page(reading: Reading, comparison: Comparison, maps: dict[str, Map] | None = None) -> Page:
    """The page of one scenario, from its verdict to what to take along; with its maps where they were worked out."""
    scenario, site = comparison.scenario, comparison.site
    frame = section_frame(comparison)
    views = tuple(scheme_view(reading, comparison, result, frame) for result in in_order(comparison))
    first = views[0]
    html = fill(
        "scenario",
        reading=reading, comparison=comparison, scenario=scenario, site=site, schedule=scenario.schedule,
        decision=comparison.decision, currency=scenario.currency, views=views, first=first, tables=page_tables,
        sentences=wording.verdict_sentences(comparison), story=Markup(markdown_body.render(reading.body)),
        # The same drawing twice: only the names inside it have to differ.
        opening=Markup(first.section.replace(section_names(first.id), "opening")),
        certainty=certainty_view(comparison, in_order(comparison)), maps=map_views(comparison, maps), sure=certainty_sentences(comparison),
        asking=check_words.who_to_ask(comparison), permissions=page_tables.permission_rows(comparison),
        side_by_side=page_tables.side_by_side(comparison, views), unused=page_tables.unused(views), like_for_like=page_tables.credit_rows(views),
        floating_floor=page_tables.gets_floating_floor(views), stand_assumptions=stand_assumptions(site),
        given=given_rows(reading, scenario), defaults=default_rows(reading, scenario),
        key=Markup(drawing_key_svg()), forum=wording.forum_text(reading, comparison), cautions=caution_views(comparison),
        jobs=job_views(comparison, in_order(comparison)), floor=floor_view(comparison),
        yours=YOURS, to_root=TO_ROOT,
    )
    return Page(_titled(scenario.title, _with_links(html)), scenario.title, _search_text(reading, comparison), _headings(html))


def _titled(title: str, html: str) -> str:
    return f"<h1>{escape(title)}</h1>\n{html}"


def _search_text(reading: Reading, comparison: Comparison) -> str:
    return f"{wording.verdict(comparison)} {markdown_body.first_words(reading.body, 60)}".strip()


_HEADING = re.compile(r'<h([23]) id="([^"]+)"[^>]*>(.*?)</h\1>', re.DOTALL)


def _headings(html: str) -> tuple[Heading, ...]:
    """The headings of our own HTML that have an id; the story's have none."""
    return tuple(
        Heading(found[2], int(found[1]), " ".join(Markup(found[3]).striptags().split())) for found in _HEADING.finditer(html)
    )


def _with_links(html: str) -> str:
    """The same with a link to itself in every heading that has an id."""
    return _HEADING.sub(
        lambda found: f'{found[0][:-len("</h2>")]}<a class="headerlink" href="#{found[2]}" title="Link to this heading">¶</a></h{found[1]}>', html)


def in_order(comparison: Comparison) -> list[SchemeResult]:
    """Schemes within limits from the cheapest up, then the others in the guide's own order."""
    within = [comparison.scheme(scheme) for scheme in comparison.decision.order]
    return within + [result for result in comparison.schemes if not result.buildable]


# A scenario that cannot be read.


def problem_page(file_name: str, problems: Iterable[Problem]) -> Page:
    """A page that says what is wrong with a scenario's file, in place of its comparison."""
    problems = tuple(problems)
    title = f"{plain_text(file_name)} cannot be read yet"
    html = fill("problems", file_name=plain_text(file_name), problems=problems, to_root=TO_ROOT)
    return Page(_titled(title, html), title, title, _headings(html))


@dataclass(frozen=True)
class Card:
    """What the index of scenarios says of one of them."""

    title: str
    units: str
    size: Shown
    ground: Shown
    soil: str
    region: str
    verdict: Shown
    story: str


def card_of(reading: Reading, comparison: Comparison) -> Card:
    """The index's card of a scenario."""
    scenario = comparison.scenario
    return Card(
        title=scenario.title, units=scenario.units, size=plan_size(scenario), ground=wording.ground_words(comparison.site),
        soil=scenario.plot.soil, region=RULES[scenario.region].title, verdict=wording.verdict_sentences(comparison)[0],
        story=markdown_body.first_sentence(reading.body),
    )
