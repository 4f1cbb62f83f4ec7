"""Pages from records: one scenario's page, the index of scenarios, and the parts that other pages ask for.

Knows nothing of MkDocs and writes no file.  Templates in `templates` hold the
words and the order; this module finds, groups and labels what they show.  No
figure is worked out here.  Every number with a unit reaches the page in both
unit systems, and the page shows one of them.
"""

from __future__ import annotations

import importlib
import inspect
import json
import math
import pkgutil
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

import calculators
from calculators.compare import Comparison, SchemeResult, hour_worth_of
from calculators.materials import block_kg
from calculators.pricing import Spread
from calculators.quantities import QUANTITIES, QUANTITY_BY_KEY
from calculators.rules import RULES
from calculators.scenario import Scenario
from calculators.schemes import SCHEME_BY_ID, SCHEMES
from calculators.sources import DOCUMENTS, Sourced
from calculators.works import Check
from generator import display, markdown_body, wording
from generator.display import Shown, same
from generator.drawings import Frame, drawing_key_svg, plan_svg, section_frame, section_svg
from generator.evidence import OUTSIDE, UNIT_BY_SUFFIX, EvidenceResult, evidence_results, unit_of
from generator.inputs import BY_KEY, GROUPS, INPUTS, WORKED_OUT, Input
from generator.problems import Problem, listed, plain_text
from generator.scenario import Reading
from generator.schedules import YOURS

TEMPLATES = Path(__file__).resolve().parent / "templates"

HOME_EXAMPLE = "print-studio-below-the-orchard"
"""The scenario shown on the home page and drawn on the pages of schemes, where it is there."""

TO_ROOT = "../../"
"""From the address of a scenario's page to that of the home page."""


@dataclass(frozen=True)
class Heading:
    """A heading of a page, for its table of contents."""

    id: str
    level: int
    text: str


@dataclass(frozen=True)
class Page:
    """The HTML below a page's title, its title, a short text to search, its headings."""

    html: str
    title: str
    search_text: str
    headings: tuple[Heading, ...]


@dataclass(frozen=True)
class Entry:
    """One scenario of the site: the path of its file under the documents, and what came of it."""

    source: str
    reading: Reading
    comparison: Comparison

    @property
    def slug(self) -> str:
        """The scenario's name in addresses."""
        return self.comparison.scenario.slug


@dataclass(frozen=True)
class SiteData:
    """What a generated part may show: every good scenario, and links from the page it stands on.

    `url_of` turns the path of a file under the documents into an address.
    `evidence` gives the published checks, worked out; it is called only where they are shown.
    """

    entries: tuple[Entry, ...]
    url_of: Callable[[str], str]
    evidence: Callable[[], list[EvidenceResult]] = evidence_results


# Templates.


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, keep_trailing_newline=False,
    )
    environment.filters |= {
        "q": in_both_units, "in_sentence": wording.in_sentence, "listed": listed,
        "money": display.money, "money_exact": display.money_exact, "money_range": display.money_range,
        "hours": lambda value: kept_together(display.hours(value)), "hours_figure": _hours_figure, "things": display.count,
        "metres": display.length, "level": display.level, "volume": display.volume, "area": display.area,
        "quantity": display.quantity, "order": display.order, "percent": display.percent, "gradient": display.gradient,
        "rate_line": _rate_words, "month": _month,
    }
    environment.globals |= {"wording": wording, "WORKED_OUT": WORKED_OUT, "verdict_words": verdict_words, "kept_together": kept_together}
    return environment


def _fill(template: str, **data) -> str:
    return _environment().get_template(f"{template}.html.j2").render(**data)


_BEFORE_UNIT = re.compile(r"(?<=\d) (?=[^\s(])")


def kept_together(words: str) -> str:
    """Words in which a figure and its unit stay on one line.

    >>> kept_together("13 ft 9 3/8 in above it").replace("\\u00a0", "~")
    '13~ft 9~3/8~in above it'
    """
    return _BEFORE_UNIT.sub("\u00a0", words)


@lru_cache(maxsize=4096)
def in_both_units(shown: Shown) -> Markup:
    """An amount as HTML that carries both unit systems; plain text where they say the same.

    >>> in_both_units(Shown("1 m", "39 3/8 in"))
    Markup('<span class="q"><span class="q-metric">1\\xa0m</span><span class="q-imperial">39\\xa03/8\\xa0in</span></span>')
    """
    if shown.alike:
        return escape(kept_together(shown.metric))
    return Markup('<span class="q"><span class="q-metric">{}</span><span class="q-imperial">{}</span></span>').format(
        kept_together(shown.metric), kept_together(shown.imperial))


def verdict_words(check: Check) -> str:
    """The verdict of a check, in words."""
    return f"outside: ask {check.ask or 'an engineer'}" if check.verdict == "outside" else check.verdict


def _hours_figure(value: float) -> str:
    """Hours as a figure alone, for a column that says hours; a dash for none."""
    return display.hours(value).partition(" ")[0] if value > 0.0 else "–"


def _rate_words(line, currency: str) -> Shown:
    return display.rate(line.rate, currency, line.rate_unit.partition("/")[2])


_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


def _month(dated: str) -> str:
    """The month of a date.

    >>> _month("2026-11")
    'November 2026'
    """
    year, month = dated.split("-")[:2]
    return f"{_MONTHS[int(month) - 1]} {year}"


def _drawn(draw: Callable[[str, str], str], prefix: str) -> Markup:
    """A drawing made once for each unit system; the page shows one of them."""
    pair = [Markup('<div class="q-{}">{}</div>').format(units, Markup(draw(units, f"{prefix}-{units}"))) for units in ("metric", "imperial")]
    return Markup("").join(pair)


def _section(comparison: Comparison, result: SchemeResult, prefix: str, frame: Frame | None = None) -> Markup:
    return _drawn(lambda units, names: section_svg(comparison, result, units, names, frame), prefix)


def _section_names(scheme_id: str) -> str:
    """What the names inside the section of a scheme start with."""
    return f"{scheme_id}-section"


def _plan(comparison: Comparison, result: SchemeResult, prefix: str) -> Markup:
    return _drawn(lambda units, names: plan_svg(comparison, result, units, names), prefix)


# The page of a scenario.


def scenario_page(reading: Reading, comparison: Comparison) -> Page:
    """The page of one scenario, from its verdict to what to take along."""
    scenario = comparison.scenario
    frame = section_frame(comparison)
    views = tuple(_scheme_view(reading, comparison, result, frame) for result in _in_order(comparison))
    first = views[0]
    html = _fill(
        "scenario",
        reading=reading, comparison=comparison, scenario=scenario, site=comparison.site, schedule=scenario.schedule,
        decision=comparison.decision, currency=scenario.currency, views=views, first=first,
        sentences=wording.verdict_sentences(comparison), story=Markup(markdown_body.render(reading.body)),
        # The same drawing twice: only the names inside it have to differ.
        opening=Markup(first.section.replace(_section_names(first.id), "opening")),
        side_by_side=_side_by_side(comparison, views), unused=_unused(views), like_for_like=_credit_rows(views),
        given=_given_rows(reading, scenario), defaults=_default_rows(reading, scenario),
        key=Markup(drawing_key_svg()), forum=wording.forum_text(reading, comparison), block_kg=_block_weights(scenario, views),
        yours=YOURS, to_root=TO_ROOT,
    )
    return Page(_with_links(html), scenario.title, _search_text(reading, comparison), _headings(html))


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


def _in_order(comparison: Comparison) -> list[SchemeResult]:
    """Schemes within limits from the cheapest up, then the others in the guide's own order."""
    within = [comparison.scheme(scheme) for scheme in comparison.decision.order]
    return within + [result for result in comparison.schemes if not result.buildable]


@dataclass(frozen=True)
class SizeRow:
    """One size of a scheme: label, amount, where it comes from."""

    label: str
    shown: Shown
    reason: str


@dataclass(frozen=True)
class Stage:
    """One stage of the work with its lines of the bill."""

    title: str
    lines: tuple


@dataclass(frozen=True)
class SchemeView:
    """One scheme as a page shows it."""

    result: SchemeResult
    place: int
    sizes: tuple[SizeRow, ...]
    checks: tuple[Check, ...]
    tally: str
    stages: tuple[Stage, ...]
    section: Markup
    plan: Markup
    given_up: tuple[Shown, ...]
    variant: str

    @property
    def id(self) -> str:
        """The scheme's id, which is also its anchor."""
        return self.result.id

    @property
    def title(self) -> str:
        """The scheme's title."""
        return self.result.title


_WORST_FIRST = ("outside", "close", "not worked out", "within")


def _scheme_view(reading: Reading, comparison: Comparison, result: SchemeResult, frame: Frame) -> SchemeView:
    order = comparison.decision.order
    checks = sorted(result.works.checks, key=lambda check: _WORST_FIRST.index(check.verdict))
    counts = [(sum(check.verdict == word for check in checks), word) for word in reversed(_WORST_FIRST)]
    stages: dict[str, list] = {}
    for line in result.priced.lines:
        stages.setdefault(line.stage, []).append(line)
    return SchemeView(
        result=result,
        place=order.index(result.id) + 1 if result.id in order else 0,
        sizes=_sizes(reading, result),
        checks=tuple(checks),
        tally=listed([f"{number} {word}" for number, word in counts if number], "and"),
        stages=tuple(Stage(title, tuple(lines)) for title, lines in stages.items()),
        section=_section(comparison, result, _section_names(result.id), frame),
        plan=_plan(comparison, result, f"{result.id}-plan"),
        given_up=tuple(item.words for item in wording.given_up_by(comparison, result.id)),
        variant=getattr(SCHEME_BY_ID[result.id], "VARIANT_TITLES", {}).get(result.works.variant, ""),
    )


SIZE_LABELS: dict[str, str] = {
    "slab_thickness_m": "Slab",
    "edge_width_m": "Edge, width at its base",
    "edge_depth_m": "Edge, below the top of the slab",
    "deepest_edge_m": "Edge, where it is deepest",
    "upstand_m": "Upstand",
    "shoulder_m": "Shoulder of stone outside the edge",
    "block_thickness_m": "Block wall",
    "footing_width_m": "Footing, width",
    "footing_thickness_m": "Footing, thickness",
    "wall_above_floor_m": "Block wall above the floor",
    "insulation_thickness_m": "Insulation",
}
"""Words for the sizes that schemes choose."""

# A size and the input that fixes it are not always called alike.
_INPUTS_OF_SIZE = {"wall_above_floor_m": ("knee_height", "upstand"), "insulation_thickness_m": ("insulation_thickness", "insulation_r", "target_u")}


def _sizes(reading: Reading, result: SchemeResult) -> tuple[SizeRow, ...]:
    """The sizes of a scheme that are not nothing, each with who chose it and why."""
    reasons = {used.key: used.reason for used in reading.defaults}
    rows = []
    for name, metres in result.works.sizes.items():
        if metres <= 0.0:
            continue
        keys = [f"schemes.{result.id}.{key}" for key in _INPUTS_OF_SIZE.get(name, (name.removesuffix("_m"),))]
        yours = [key for key in keys if key in reading.given and key not in reasons]
        reason = "as you gave it" if yours else next((reasons[key] for key in keys if key in reasons), "")
        rows.append(SizeRow(SIZE_LABELS[name], display.length(metres), reason))
    return tuple(rows)


# Side by side.

QUANTITY_GROUPS: dict[str, tuple[str, ...]] = {
    "Earth": ("topsoil_strip_m3", "reduce_dig_m3", "trench_dig_m3", "trim_m2", "backfill_m3", "spoil_loose_m3"),
    "Drains": ("drain_dig_m3", "drain_stone_m3", "land_drain_m", "channel_drain_m"),
    "Stone and membrane": (
        "sub_base_m3", "sub_base_t", "batter_stone_m3", "trench_stone_m3", "geotextile_m2", "blinding_m3", "membrane_m2", "membrane_rolls",
    ),
    "Concrete, forms and steel": (
        "concrete_m3", "slab_concrete_m3", "footing_concrete_m3", "formwork_m2", "lost_form_m2", "fabric_m2", "fabric_sheets", "bar_kg",
        "edge_cage_m", "sheet_m2",
    ),
    "Walls and damp": ("blockwork_m2", "blocks", "mortar_m3", "dpc_m", "wall_straps", "render_m2"),
    "Warmth and floor": ("insulation_m3", "edge_board_m2", "isolation_strip_m", "floor_m2"),
    "At the doors": ("door_steps", "guard_m"),
}
"""Every quantity once, by the part of the work it belongs to."""


@dataclass(frozen=True)
class Row:
    """One line of a table: label, and a cell for each scheme; None is a dash."""

    label: str
    cells: tuple[Shown | None, ...]
    note: str = ""


def _side_by_side(comparison: Comparison, views: tuple[SchemeView, ...]) -> dict[str, tuple[Row, ...]]:
    """The table of everything measured, by group; lines that are nothing for every scheme are left out."""
    scenario, currency = comparison.scenario, comparison.scenario.currency

    def row(label: str, cell: Callable[[SchemeResult], Shown | str | None], note: str = "") -> Row:
        found = [cell(view.result) for view in views]
        return Row(label, tuple(same(each) if isinstance(each, str) else each for each in found), note)

    def priced(words: Callable[[SchemeResult], str]) -> Callable[[SchemeResult], str]:
        return lambda result: words(result) if result.buildable else "no price"

    worth = display.money_exact(comparison.decision.hour_worth, currency)
    groups = {
        "Money, at likely prices": (
            row("Like for like", priced(lambda r: display.money(r.like_for_like.likely, currency)), "The figure the verdict uses."),
            row("Cash, as the bill has it", priced(lambda r: display.money(r.cash.likely, currency))),
            row("Cash with every rate low, every rate high", priced(lambda r: display.money_range(r.cash, currency))),
            row("Cash if all the work is hired out", priced(lambda r: display.money(r.hired_cash.likely, currency))),
            row(f"Like for like, with your own hours at {worth}", priced(lambda r: display.money(r.with_hours, currency))),
        ),
        "Hours": (
            row("Your own", lambda r: display.hours(r.priced.own_hours)),
            row("Your helpers'", lambda r: display.hours(r.priced.helper_hours)),
        ),
        "Levels and depths": (
            row("Floor, against the highest ground", lambda r: display.level(r.works.floor_level_m, "it")),
            row("Floor, against the lowest ground", lambda r: display.level(r.works.low_side_height_m, "it")),
            row("Underside of the timber, against the highest ground", lambda r: display.level(r.works.sole_plate_m, "it")),
            row("Lowest concrete, against the highest ground", lambda r: display.level(r.works.founding_level_m, "it")),
            row("Deepest fill under the floor", lambda r: display.length(r.works.fill_depth_m) if r.works.fill_depth_m > 0.0 else None),
            row("Steps in the underside", lambda r: str(len(r.works.steps)) if r.works.steps else None),
            row("Heat lost through the floor (U-value)", lambda r: display.u_value(r.u_value_w_per_m2k)),
        ),
    }
    for title, keys in QUANTITY_GROUPS.items():
        rows = tuple(_quantity_row(key, views) for key in keys if any(view.result.quantities[key] > 0.0 for view in views))
        if rows:
            groups[title] = rows
    return groups


def _quantity_row(key: str, views: tuple[SchemeView, ...]) -> Row:
    quantity = QUANTITY_BY_KEY[key]
    amounts = [view.result.quantities[key] for view in views]
    return Row(quantity.label, tuple(display.quantity(amount, quantity.unit) if amount > 0.0 else None for amount in amounts))


def _unused(views: tuple[SchemeView, ...]) -> tuple[str, ...]:
    """Labels of the quantities that no scheme has any of."""
    return tuple(
        wording.in_sentence(quantity.label.removeprefix("of which ")) for quantity in QUANTITIES
        if all(view.result.quantities[quantity.key] <= 0.0 for view in views)
    )


# Like for like.


@dataclass(frozen=True)
class CreditRow:
    """One credit or addition over all priced schemes: None where a scheme has none."""

    item: str
    sentence: str
    schemes: tuple[str, ...]
    amounts: tuple[Spread | None, ...]

    @property
    def by_scheme(self) -> list[tuple[str, Spread]]:
        """Title and amount of the schemes that have it."""
        return [(scheme, amount) for scheme, amount in zip(self.schemes, self.amounts) if amount is not None]


def _credit_rows(views: tuple[SchemeView, ...]) -> tuple[CreditRow, ...]:
    priced = [view.result for view in views if view.result.buildable]
    titles = tuple(result.title for result in priced)
    sentences = {credit.item: credit.sentence for result in priced for credit in result.credits}
    return tuple(
        CreditRow(item, sentence, titles, tuple(next((c.amount for c in result.credits if c.item == item), None) for result in priced))
        for item, sentence in sentences.items()
    )


def _block_weights(scenario: Scenario, views: tuple[SchemeView, ...]) -> dict[str, float]:
    """Mass in kg of one block, for each scheme that lays blocks of a thickness it names."""
    products = scenario.schedule.products
    return {
        view.id: block_kg(products.block_length_m, products.block_height_m, view.result.works.sizes["block_thickness_m"])
        for view in views if view.result.quantities["blocks"] > 0.0 and view.result.works.sizes.get("block_thickness_m", 0.0) > 0.0
    }


# What went in.


@dataclass(frozen=True)
class InputRow:
    """One input on the page: its key and label, what was typed, how it was understood, why (of a default)."""

    key: str
    label: str
    group: str
    typed: str
    understood: Shown
    reason: str = ""


def _group_title(key: str) -> str:
    return GROUPS.get(key.rpartition(".")[0], "The whole")


def _given_rows(reading: Reading, scenario: Scenario) -> dict[str, list[InputRow]]:
    """What somebody typed, by group, in the order of the list of inputs."""
    rows: dict[str, list[InputRow]] = {}
    for item in INPUTS:
        if item.key in reading.given and item.key not in {used.key for used in reading.defaults}:
            row = InputRow(item.key, item.label, _group_title(item.key), reading.given[item.key], understood(item, scenario))
            rows.setdefault(row.group, []).append(row)
    chosen = [key for key in reading.given if key not in BY_KEY]
    for key in chosen:
        titles = [scheme.TITLE for scheme in SCHEMES if scheme.ID in scenario.schemes]
        rows.setdefault(GROUPS["schemes"], []).append(
            InputRow(key, "Schemes to compare", GROUPS["schemes"], reading.given[key], same(listed(titles, "and"))))
    return rows


def _default_rows(reading: Reading, scenario: Scenario) -> dict[str, list[InputRow]]:
    """What was filled in for somebody, by group, with its reason."""
    rows: dict[str, list[InputRow]] = {}
    for used in reading.defaults:
        group = _group_title(used.key)
        rows.setdefault(group, []).append(
            InputRow(used.key, used.label, group, used.value_text, understood(BY_KEY[used.key], scenario), used.reason))
    return rows


_SUFFIXES = ("", "_m", "_m3", "_m2k_per_w", "_w_per_m2k", "_w_per_mk")


def _value(item: Input, scenario: Scenario) -> object:
    """The value of an input in the record that the calculators read."""
    *path, name = item.key.split(".")
    record: object = scenario
    if path[:1] == ["schemes"]:
        record = scenario.schemes[path[1]]
    else:
        for part in path:
            record = getattr(record, part)
    names = {field.name for field in fields(record)}
    return getattr(record, next(name + suffix for suffix in _SUFFIXES if name + suffix in names))


def understood(item: Input, scenario: Scenario) -> Shown:
    """How an input was understood, in both unit systems."""
    if item.key in _UNDERSTOOD:
        words = _UNDERSTOOD[item.key](scenario)
        return same(words) if isinstance(words, str) else words
    value = _value(item, scenario)
    if value is None:
        return same(WORKED_OUT)
    words = _BY_KIND[item.kind](value)
    return same(words) if isinstance(words, str) else words


def _sides_with_lengths(lengths: dict[str, float]) -> Shown:
    if not lengths:
        return same("none near")
    return wording.joined((display.length(metres).with_words(f"{side} ") for side, metres in lengths.items()), ", ")


_BY_KIND: dict[str, Callable[[object], Shown | str]] = {
    "length": display.length,
    "block thickness": display.length,
    "volume": display.volume,
    "resistance": lambda value: display.quantity(value, "m2 K/W"),
    "transmittance": lambda value: display.quantity(value, "W/(m2 K)"),
    "conductivity": lambda value: display.quantity(value, "W/(m K)"),
    "choice": str,
    "yes or no": lambda value: "yes" if value else "no",
    "sides": lambda sides: listed(sides, "and") if sides else "none",
    "side lengths": _sides_with_lengths,
    "title": str,
}


def _points(points: Iterable[tuple[float, ...]]) -> Shown:
    return wording.joined((
        wording.joined(map(display.length, point), ", ").with_words("(", ")") for point in points), " ")


def _size(scenario: Scenario) -> Shown:
    south_west, south_east, north_east = scenario.plot.corners_m[:3]
    return display.footprint(math.dist(south_west, south_east), math.dist(south_east, north_east))


def _quotes(scenario: Scenario) -> Shown:
    quoted = [rate for rate in scenario.schedule.rates.values() if rate.rate_from == YOURS]
    if not quoted:
        return same("none")
    return wording.joined((
        display.rate(rate.likely, scenario.currency, rate.sale_unit).with_words(f"{wording.RATE_LABELS[rate.key]}: ") for rate in quoted), "; ")


def _falls_to(scenario: Scenario) -> str:
    bearing = scenario.plot.falls_to_deg
    if bearing is None:
        return "not needed"
    point = wording.compass_point(math.sin(math.radians(bearing)), math.cos(math.radians(bearing)))
    return f"{point} ({display.number(bearing)}°)"


_UNDERSTOOD: dict[str, Callable[[Scenario], Shown | str]] = {
    "currency": lambda s: s.currency,
    "rates": lambda s: f"{s.schedule.title}, {_month(s.schedule.dated)}",
    "quotes": _quotes,
    "hour_worth": lambda s: f"{display.money_exact(hour_worth_of(s), s.currency)} an hour",
    "region": lambda s: RULES[s.region].title,
    "plot.footprint": _size,
    "plot.corners": lambda s: _points(s.plot.corners_m),
    "plot.slope": lambda s: display.gradient(s.plot.gradient),
    "plot.falls_to": _falls_to,
    "plot.levels": lambda s: _points(s.plot.levels_m),
    "building.roof": lambda s: f"{s.building.roof_shape}, {s.building.roof_covering}",
}
"""Inputs whose words are not those of their kind."""


# A scenario that cannot be read.


def problem_page(file_name: str, problems: Iterable[Problem]) -> Page:
    """A page that says what is wrong with a scenario's file, in place of its comparison."""
    problems = tuple(problems)
    title = f"{plain_text(file_name)} cannot be read yet"
    html = _fill("problems", file_name=plain_text(file_name), problems=problems, to_root=TO_ROOT)
    return Page(html, title, title, _headings(html))


# Parts that other pages ask for.


def scenario_index(entries: Iterable[Entry], url_of: Callable[[str], str] = lambda source: source) -> str:
    """Cards of all scenarios."""
    return _fill("scenario_index", cards=[_card(entry, url_of) for entry in entries])


def _card(entry: Entry, url_of: Callable[[str], str]) -> dict:
    comparison = entry.comparison
    scenario = comparison.scenario
    return {
        "url": url_of(entry.source), "scenario": scenario, "size": _size(scenario), "ground": wording.ground_words(comparison.site),
        "region": RULES[scenario.region].title, "verdict": wording.verdict_sentences(comparison)[0],
        "story": markdown_body.first_words(entry.reading.body), "results": comparison.schemes,
    }


class UnknownMarker(ValueError):
    """A page asks for a part that does not exist."""


def marker(name: str, argument: str, site: SiteData) -> str:
    """The HTML of a generated part.

    `name` is what stands after `soleplate:` in a page, `argument` what
    follows it.  Raises UnknownMarker for a name, scheme or example that is
    not there.
    """
    if name not in _MARKERS:
        raise UnknownMarker(f"No generated part is called {name!r}; there are {listed(sorted(_MARKERS), 'and')}.")
    return _MARKERS[name](argument, site)


def _example_entry(site: SiteData, slug: str = "") -> Entry | None:
    """The scenario that stands for all of them: the one asked for, the usual one, or the first."""
    by_slug = {entry.slug: entry for entry in site.entries}
    if slug and slug not in by_slug:
        raise UnknownMarker(f"There is no scenario {slug!r} to show.")
    return by_slug.get(slug or HOME_EXAMPLE) or next(iter(site.entries), None)


def _home_example(argument: str, site: SiteData) -> str:
    entry = _example_entry(site, argument)
    if entry is None:
        return ""
    comparison = entry.comparison
    results = _in_order(comparison)
    return _fill(
        "home_example", entry=entry, url=site.url_of(entry.source), comparison=comparison, scenario=comparison.scenario,
        currency=comparison.scenario.currency, results=results, drawing=_section(comparison, results[0], "home"),
        sentence=wording.verdict_sentences(comparison)[0], size=_size(comparison.scenario),
    )


def _scheme_drawing(argument: str, site: SiteData) -> str:
    if argument not in {scheme.ID for scheme in SCHEMES}:
        raise UnknownMarker(f"There is no scheme {argument!r} to draw.")
    entry = _example_entry(site)
    if entry is None or argument not in entry.comparison.scenario.schemes:
        return ""
    result = entry.comparison.scheme(argument)
    return _fill(
        "scheme_drawing", result=result, scenario=entry.comparison.scenario, url=site.url_of(entry.source),
        drawing=_section(entry.comparison, result, "scheme"), key=Markup(drawing_key_svg()),
    )


def _scheme_list(argument: str, site: SiteData) -> str:
    entry = _example_entry(site)
    items = []
    for scheme in SCHEMES:
        drawn = entry is not None and scheme.ID in entry.comparison.scenario.schemes
        drawing = _section(entry.comparison, entry.comparison.scheme(scheme.ID), f"list-{scheme.ID}") if drawn else Markup("")
        items.append({"title": scheme.TITLE, "url": site.url_of(f"schemes/{scheme.ID}.md"), "drawing": drawing})
    return _fill("scheme_list", items=items, entry=entry, url=site.url_of(entry.source) if entry else "")


def _evidence_by_document(results: Iterable[EvidenceResult]) -> dict[str, list[EvidenceResult]]:
    found: dict[str, list[EvidenceResult]] = {}
    for result in results:
        found.setdefault(result.document, []).append(result)
    return {document: found[document] for document in DOCUMENTS if document in found}


def _evidence_table(argument: str, site: SiteData) -> str:
    results = site.evidence()
    return _fill("evidence_table", groups=_evidence_by_document(results), total=len(results), documents=DOCUMENTS,
                 holding=sum(result.holds for result in results), value=_evidence_value, difference=_evidence_difference,
                 where=lambda row: row.source.removeprefix(DOCUMENTS[row.document].title).removeprefix(", ") or "no clause recorded")


def _method_evidence(argument: str, site: SiteData) -> str:
    modules = tuple(f"calculators.{module}." for module in argument.split())
    results = [result for result in site.evidence() if result.function.startswith(modules)]
    if not results:
        raise UnknownMarker(f"No published value checks the module {argument!r}.")
    return _fill("method_evidence", results=results, holding=sum(result.holds for result in results),
                 value=_evidence_value, difference=_evidence_difference, where=lambda row: row.source, evidence_url=site.url_of("evidence/index.md"))


def _evidence_value(value: object, unit: str) -> str:
    """A published or computed value with the unit in which it was computed."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        # A refusal explains itself at length; the word is enough in a table.
        return OUTSIDE if value.startswith(f"{OUTSIDE}:") else value
    many = value if isinstance(value, tuple) else (value,)
    words = ", ".join(each if isinstance(each, str) else _figures(each) for each in many)
    return kept_together(f"{words} {_unit_words(unit)}".strip())


def _unit_words(unit: str) -> str:
    return "" if unit == "gradient" else unit.replace("m2", "m²").replace("m3", "m³")


def _figures(value: float) -> str:
    """A plain figure to six significant figures, as a check of arithmetic is read."""
    return f"{value:.6g}".replace("-", display.MINUS)


def _evidence_difference(result: EvidenceResult) -> str:
    """How far a computed value is from the published one."""
    if result.difference is None:
        return ""
    # Below this a difference is the noise of the machine.
    return "none" if result.difference < 1e-9 else f"{result.difference:.2g} {_unit_words(result.unit)}".strip()


def _sources_table(argument: str, site: SiteData) -> str:
    return _fill("sources_table", documents=DOCUMENTS)


RULE_LABELS: dict[str, str] = {
    "dpc_above_ground_m": "Damp-proof course above the ground",
    "floor_above_highest_ground_m": "Floor above the highest ground, raft and insulated slab",
    "floor_above_ground_at_door_m": "Floor above the ground at a door",
    "floor_above_ground_at_channel_m": "Floor above the ground at a door with a channel drain",
    "floor_above_lowest_ground_m": "Floor above the lowest ground",
    "membrane_thickness_m": "Thickness of the membrane",
    "membrane_lap_m": "Laps of the membrane",
    "dpc_lap_m": "Laps of the damp-proof course",
    "least_sub_base_m": "Least sub-base",
    "greatest_fill_m": "Deepest fill under a floor that rests on the ground",
    "greatest_formation_gradient": "Steepest formation without benches",
    "edge_bed_m": "Bed of stone under a raft's edge",
    "edge_stone_within_m": "Stone under an edge beyond its bed: within, up to",
    "edge_stone_close_m": "Stone under an edge beyond its bed: close, up to",
    "least_shoulder_m": "Least shoulder of stone outside an edge",
    "batter_run_per_rise": "Batter: metres out for each metre up",
    "stone_lift_m": "One layer of stone under a hired plate",
    "greatest_fill_layer_m": "Thickest layer that any plant may compact",
    "least_founding_depth_m": "Least founding depth of a footing, any soil",
    "frost_depth_m": "Founding depth against frost",
    "clay_depths_m": "Founding depth in shrinkable clay",
    "least_slab_m": "Least thickness of a slab",
    "least_footing_width_m": "Least width of a footing",
    "least_footing_thickness_m": "Least thickness of a footing",
    "footing_widths": "Footing width by soil and load",
    "greatest_wall_load_kn_per_m": "Greatest wall load in the table of widths",
    "least_step_overlap_m": "Least overlap at a step in a footing",
    "fabric_lap_m": "Laps of steel fabric",
    "fabric_cover_m": "Concrete over the steel",
    "greatest_raft_side_m": "Longest side of a raft without a joint",
    "retained_height_per_thickness": "Ground held back, in thicknesses of the wall",
    "guard_from_m": "Drop at a door from which a guard is priced",
    "greatest_clay_gradient": "Steepest clay before an engineer is asked",
    "greatest_gradient": "Steepest ground before an engineer is asked",
    "near_boundary_m": "Height: near the boundary means within",
    "low_m": "Height near the boundary",
    "dual_pitch_m": "Height elsewhere, roof with two slopes",
    "other_roof_m": "Height elsewhere, any other roof",
    "eaves_m": "Height of the eaves",
}
"""Words for the rules of a region."""

_NOT_FIGURES = ("region", "title", "building_authority", "planning_authority", "footing_widths", "height")


def _rule_rows(rules) -> list[tuple[str, Sourced | None]]:
    """Every figure of a region with its words, in the order of the record; None where the region holds none."""
    rows: list[tuple[str, Sourced | None]] = []
    for field in fields(rules):
        value = getattr(rules, field.name)
        if field.name in _NOT_FIGURES:
            continue
        if field.name == "clay_depths_m":
            rows += [(f"{RULE_LABELS[field.name]} of {shrinkage} shrinkage", depth) for shrinkage, depth in value.items()]
        else:
            rows.append((RULE_LABELS[field.name], value))
    if rules.height is not None:
        rows += [(RULE_LABELS[field.name], getattr(rules.height, field.name)) for field in fields(rules.height)]
    return rows


def _rules_table(argument: str, site: SiteData) -> str:
    return _fill("rules_table", regions=[(rules, _rule_rows(rules)) for rules in RULES.values()])


def _quantities_list(argument: str, site: SiteData) -> str:
    return _fill("quantities_list", groups={title: [QUANTITY_BY_KEY[key] for key in keys] for title, keys in QUANTITY_GROUPS.items()},
                 unit_words=_unit_words)


def _inputs_table(argument: str, site: SiteData) -> str:
    groups: dict[str, list[Input]] = {}
    for item in INPUTS:
        groups.setdefault(_group_title(item.key), []).append(item)
    return _fill("inputs_table", groups=groups)


# Worked examples.


@lru_cache(maxsize=256)
def _public_function(dotted: str) -> Callable:
    """A public function defined in a module of `calculators`; nothing else can be run from a page."""
    package, _, rest = dotted.partition(".")
    module_name, _, name = rest.partition(".")
    known = {module.name for module in pkgutil.iter_modules(calculators.__path__) if not module.ispkg}
    if package == "calculators" and module_name in known and name.isidentifier() and not name.startswith("_"):
        found = getattr(importlib.import_module(f"calculators.{module_name}"), name, None)
        if inspect.isfunction(found) and found.__module__ == f"calculators.{module_name}":
            return found
    raise UnknownMarker(f"{dotted!r} is not a public function in a module of calculators.")


def _example(argument: str, site: SiteData) -> str:
    """A call of a function of `calculators` with its answer, run now."""
    dotted, _, given = argument.partition(" ")
    function = _public_function(dotted)
    try:
        inputs = json.loads(given)
        answer = function(**inputs)
    except (TypeError, ValueError) as error:
        raise UnknownMarker(f"The example {argument!r} cannot be run: {error}") from error
    return _fill(
        "example", name=dotted.rpartition(".")[2], module=dotted.removeprefix("calculators.").rpartition(".")[0],
        purpose=(inspect.getdoc(function) or "").split("\n\n")[0].replace("\n", " "),
        inputs=[(_input_words(name), _evidence_value(value, unit_of(name))) for name, value in inputs.items()],
        answer=_evidence_value(answer, unit_of(dotted)),
    )


def _input_words(name: str) -> str:
    """The name of an input without its unit.

    >>> _input_words("wall_thickness_m"), _input_words("soil"), _input_words("perimeter_over_area_per_m")
    ('wall thickness', 'soil', 'perimeter over area')
    """
    suffix = next((end for end in sorted(UNIT_BY_SUFFIX, key=len, reverse=True) if name.endswith(end)), "")
    return name.removesuffix(suffix).replace("_", " ")


_MARKERS: dict[str, Callable[[str, SiteData], str]] = {
    "home-example": _home_example,
    "scenario-index": lambda argument, site: scenario_index(site.entries, site.url_of),
    "scheme-drawing": _scheme_drawing,
    "scheme-list": _scheme_list,
    "evidence-table": _evidence_table,
    "method-evidence": _method_evidence,
    "sources-table": _sources_table,
    "rules-table": _rules_table,
    "quantities-list": _quantities_list,
    "inputs-table": _inputs_table,
    "example": _example,
}
