"""Pages from records: one scenario's page, the index of scenarios, and the parts that other pages ask for.

Knows nothing of MkDocs and writes no file.  Templates in `templates` hold the
words and the order; this module finds, groups and labels what they show.  No
figure is worked out here.  Every number with a unit reaches the page in both
unit systems, and the page shows one of them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from functools import cache, lru_cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from calculators.compaction import Layers, layers
from calculators.compare import Comparison, SchemeResult, hour_worth_of
from calculators.materials import block_kg
from calculators.pricing import Spread
from calculators.quantities import QUANTITIES, QUANTITY_BY_KEY
from calculators.rules import RULES
from calculators.scenario import Scenario
from calculators.schemes import SCHEME_BY_ID, SCHEMES
from calculators.works import BATTER, Check
from generator import display, markdown_body, wording
from generator.display import Shown, same
from generator.drawings import (
    Frame, LevelRow, cut_fill_svg, drawing_key_svg, level_curve_svg, level_curve_table, plan_svg, section_frame, section_svg,
)
from generator.drawings.level_curve import PARTS, TOTAL
from generator.inputs import BY_KEY, GROUPS, INPUTS, WORKED_OUT, Input
from generator.problems import Problem, listed, plain_text
from generator.scenario import Reading
from generator.schedules import YOURS

TEMPLATES = Path(__file__).resolve().parent / "templates"

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
        "metres": display.length, "level": display.level, "level_mark": display.level_mark, "volume": display.volume, "area": display.area,
        "quantity": display.quantity, "order": display.order, "percent": display.percent, "gradient": display.gradient,
        "rate_line": _rate_words, "month": _month,
    }
    environment.globals |= {"wording": wording, "WORKED_OUT": WORKED_OUT, "verdict_words": verdict_words, "kept_together": kept_together, "LEVEL_PARTS": PARTS, "LEVEL_TOTAL": TOTAL}
    return environment


def fill(template: str, **data) -> str:
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


def section_drawing(comparison: Comparison, result: SchemeResult, prefix: str, frame: Frame | None = None) -> Markup:
    return _drawn(lambda units, names: section_svg(comparison, result, units, names, frame), prefix)


def _section_names(scheme_id: str) -> str:
    """What the names inside the section of a scheme start with."""
    return f"{scheme_id}-section"


# The page of a scenario.


def scenario_page(reading: Reading, comparison: Comparison) -> Page:
    """The page of one scenario, from its verdict to what to take along."""
    scenario = comparison.scenario
    frame = section_frame(comparison)
    views = tuple(_scheme_view(reading, comparison, result, frame) for result in in_order(comparison))
    first = views[0]
    html = fill(
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


def in_order(comparison: Comparison) -> list[SchemeResult]:
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
class LevelView:
    """Where the floor of a scheme lies, and what other levels would cost; no curve and no rows where there is nothing to compare."""

    sentences: tuple[Shown, ...]
    curve: Markup
    rows: tuple[LevelRow, ...]


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
    cut_fill: Markup
    layers: tuple[Layers, ...]
    given_up: tuple[Shown, ...]
    variant: str
    levels: LevelView

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
        section=section_drawing(comparison, result, _section_names(result.id), frame),
        plan=Markup(plan_svg(comparison, result, comparison.scenario.units, f"{result.id}-plan")),
        layers=layers(result.works, comparison.scenario.region),
        cut_fill=Markup(cut_fill_svg(comparison, result, comparison.scenario.units, f"{result.id}-cut-fill")),
        given_up=tuple(item.words for item in wording.given_up_by(comparison, result.id)),
        variant=_variant_words(result),
        levels=_level_view(comparison, result),
    )


def _level_view(comparison: Comparison, result: SchemeResult) -> LevelView:
    sentences = wording.level_sentences(result, comparison.scenario.currency)
    rows = level_curve_table(result)
    curve = _drawn(lambda units, names: level_curve_svg(comparison, result, units, names), f"{result.id}-levels") if rows else Markup("")
    return LevelView(sentences, curve, rows)


# A size and the input that fixes it are not always called alike.
_INPUTS_OF_SIZE = {"wall_above_floor_m": ("knee_height", "upstand"), "insulation_thickness_m": ("insulation_thickness", "insulation_r", "target_u")}


def _variant_words(result: SchemeResult) -> str:
    """How the low side was made; nothing where the ground asks for neither stone nor steps there."""
    works = result.works
    if not works.steps and not works.volume_m3(BATTER):
        return ""
    return getattr(SCHEME_BY_ID[result.id], "VARIANT_TITLES", {}).get(works.variant, "")


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
        rows.append(SizeRow(wording.SIZE_LABELS[name], display.length(metres), reason))
    return tuple(rows)


# Side by side.

QUANTITY_GROUPS: dict[str, tuple[str, ...]] = {
    "Earth": ("topsoil_strip_m3", "reduce_dig_m3", "trench_dig_m3", "soft_spot_m3", "trim_m2", "backfill_m3", "spoil_loose_m3"),
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
    "At the doors": ("door_steps", "door_ramp_m2", "guard_m"),
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
    currency = comparison.scenario.currency

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


def group_title(key: str) -> str:
    return GROUPS.get(key.rpartition(".")[0], "The whole")


def _given_rows(reading: Reading, scenario: Scenario) -> dict[str, list[InputRow]]:
    """What somebody typed, by group, in the order of the list of inputs."""
    rows: dict[str, list[InputRow]] = {}
    for item in INPUTS:
        if item.key in reading.given and item.key not in {used.key for used in reading.defaults}:
            row = InputRow(item.key, item.label, group_title(item.key), reading.given[item.key], understood(item, scenario))
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
        group = group_title(used.key)
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
    "side lengths": _sides_with_lengths,
    "title": str,
}


def _points(points: Iterable[tuple[float, ...]]) -> Shown:
    return wording.joined((
        wording.joined(map(display.length, point), ", ").with_words("(", ")") for point in points), " ")


def _levels(scenario: Scenario) -> Shown:
    return _points(scenario.plot.levels_m) if scenario.plot.levels_m else same("none")


def _doors(scenario: Scenario) -> Shown:
    if not scenario.building.doors:
        return same("none")
    return wording.joined((
        same(side) if at is None else display.length(at).with_words(f"{side}, ", " from its left end")
        for side, at in scenario.building.placed_doors), "; ")


def _soft_spots(scenario: Scenario) -> Shown:
    if not scenario.plot.soft_spots_m:
        return same("none")
    return wording.joined((
        wording.joined((_points(outline), display.length(depth).with_words("", " deep")), ", ") for outline, depth in scenario.plot.soft_spots_m), "; ")


def _walls_inside(scenario: Scenario) -> Shown:
    return wording.joined(map(_points, scenario.building.internal_walls_m), "; ") if scenario.building.internal_walls_m else same("none")


def plan_size(scenario: Scenario) -> Shown:
    return wording.plan_size(scenario.plot.corners_m)


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
    "plot.footprint": plan_size,
    "plot.corners": lambda s: _points(s.plot.corners_m),
    "plot.slope": lambda s: display.gradient(s.plot.gradient),
    "plot.falls_to": _falls_to,
    "plot.levels": _levels,
    "plot.level_book": _levels,
    "plot.corner_drops": _levels,
    "plot.soft_spots": _soft_spots,
    "building.doors": _doors,
    "building.step_free": lambda s: s.building.step_free or "none",
    "building.internal_walls": _walls_inside,
    "building.roof": lambda s: f"{s.building.roof_shape}, {s.building.roof_covering}",
}
"""Inputs whose words are not those of their kind."""


# A scenario that cannot be read.


def problem_page(file_name: str, problems: Iterable[Problem]) -> Page:
    """A page that says what is wrong with a scenario's file, in place of its comparison."""
    problems = tuple(problems)
    title = f"{plain_text(file_name)} cannot be read yet"
    html = fill("problems", file_name=plain_text(file_name), problems=problems, to_root=TO_ROOT)
    return Page(html, title, title, _headings(html))


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
