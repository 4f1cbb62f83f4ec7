"""What decides it and how surely, as a page, a terminal and a forum text show it: words and rows, no sums."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from calculators.compare import Comparison, SchemeResult
from calculators.futures import NOW, Future
from calculators.maps import HIRED, OWN, Map
from calculators.ranges import Range, Uncertain
from calculators.yardsticks import YARDSTICK_BY_KEY, Measured
from generator import display
from generator.display import Shown, money, same
from generator.drawings.area_map import MapRow, area_map_svg, area_map_table, frontier_sentences, map_area
from generator.drawings.drivers_chart import DriverRow, drivers_chart_svg, drivers_chart_table, likely_difference
from generator.drawings.ranges_chart import ranges_chart_svg
from generator.odds import odds_words
from generator.phrases import in_sentence, joined, sentence
from generator.problems import listed
from generator.scheme_views import drawn
from generator.uncertain_words import MOST_TIMES, Turn, turn_of, turning, turns_note, value_words

YES, NO = "yes", "no"
HARDLY = 0.005
"""Nearer to never or to always than this, a chance is not counted in times."""


@dataclass(frozen=True)
class Answer:
    """One of the questions a builder asks first, its answer in short, and where on the page the whole of it stands."""

    question: str
    words: Shown
    place: str


@dataclass(frozen=True)
class YardstickRow:
    """One yardstick over the schemes that can be built: a cell for each, who has least, and by how much."""

    label: str
    cells: tuple[Shown, ...]
    least: tuple[bool, ...]
    winner: str
    lead: Shown | None


@dataclass(frozen=True)
class FutureRow:
    """One later wish: what it is taken to mean, what it costs and what would be regretted under each scheme, and when it matters."""

    name: str
    words: str
    costs: tuple[str, ...]
    regrets: tuple[str, ...]
    matters: str


@dataclass(frozen=True)
class CertaintyView:
    """Everything of the section, in the order of the page; `schemes` are the titles of its columns."""

    answers: tuple[Answer, ...]
    schemes: tuple[str, ...]
    ranges_chart: Markup
    drivers_chart: Markup
    range_rows: tuple[tuple[str, tuple[str, ...]], ...]
    wins_rows: tuple[tuple[str, tuple[str, ...]], ...]
    drivers: tuple[DriverRow, ...]
    turns: tuple[Turn, ...]
    turns_note: str
    turns_basis: str
    yardsticks: tuple[YardstickRow, ...]
    dominated: tuple[str, ...]
    weighed: tuple[str, ...]
    futures: tuple[FutureRow, ...]
    now_regrets: tuple[str, ...]
    greatest_regrets: tuple[str, ...]
    careful: str
    uncertain: tuple[tuple[str, Shown, Shown, Shown, str], ...]


def certainty_view(comparison: Comparison, in_page_order: list[SchemeResult]) -> CertaintyView | None:
    """The view of a comparison's certainty; None where none was asked for, or nothing can be built."""
    certainty = comparison.certainty
    built = [result for result in in_page_order if result.buildable]
    if certainty is None or not built:
        return None
    currency = comparison.scenario.currency
    ranges = [certainty.ranges.scheme(result.id) for result in built]

    def range_row(label: str, pick, show) -> tuple[str, tuple[str, ...]]:
        return label, tuple(range_words(pick(found), show) for found in ranges)

    def wins_row(label: str, pick) -> tuple[str, tuple[str, ...]]:
        return label, tuple(odds_words(pick(found)) for found in ranges)

    several = len(built) > 1
    later = certainty.later
    return CertaintyView(
        answers=answers_of(comparison, in_page_order),
        schemes=tuple(result.title for result in built),
        ranges_chart=drawn(lambda units, prefix: ranges_chart_svg(comparison, units, prefix), "ranges"),
        drivers_chart=drawn(lambda units, prefix: drivers_chart_svg(comparison, units, prefix), "drivers"),
        range_rows=(
            range_row("Money, like for like", lambda r: r.cash, lambda v: money(v, currency)),
            range_row("Your own hours", lambda r: r.own_hours, lambda v: display.number(v)),
            range_row("Helpers' hours", lambda r: r.helper_hours, lambda v: display.number(v)),
            range_row("Concrete, m³", lambda r: r.concrete_m3, lambda v: display.number(v, 1)),
            range_row("Stone, t", lambda r: r.stone_t, lambda v: display.number(v, 1)),
        ),
        wins_rows=(
            wins_row("Is cheapest", lambda r: r.cheapest), wins_row("Takes least of your time", lambda r: r.least_own_hours),
            wins_row("Uses least concrete", lambda r: r.least_concrete)) if several else (),
        drivers=drivers_chart_table(comparison),
        turns=tuple(turn_of(comparison, switch) for switch in turning(comparison)),
        turns_note=turns_note(comparison),
        turns_basis=_turns_basis(comparison) if several and not certainty.rounding_decides else "",
        yardsticks=tuple(_yardstick_row(comparison, measured, built) for measured in certainty.standing.measured),
        dominated=tuple(
            f"The {in_sentence(comparison.scheme(other).title)} beats or equals the {in_sentence(comparison.scheme(beaten).title)} on every yardstick here."
            for beaten, other in certainty.standing.dominated_by.items()),
        weighed=_weighed_sentences(comparison),
        futures=tuple(_future_row(comparison, future, built) for future in later.futures),
        now_regrets=tuple(money(later.regret.by_future[NOW][result.id], currency) for result in built),
        greatest_regrets=tuple(money(later.regret.greatest[result.id], currency) for result in built),
        careful=_careful(comparison) if several else "",
        uncertain=tuple(_uncertain_row(thing, currency) for thing in certainty.ranges.uncertain if thing.kind != "rate"),
    )


def _turns_basis(comparison: Comparison) -> str:
    """Which gap is to be closed: before rounding it is not that of the bills."""
    currency = comparison.scenario.currency
    return (f"Values are for costs before rounding to whole loads, sheets and rolls, part loads left out: there {money(likely_difference(comparison), currency)} lie between the two, "
            f"as ordered {money(comparison.decision.margin, currency)}.")


def range_words(found: Range, show) -> str:
    """A range as its three figures.

    >>> range_words(Range(1.0, 2.0, 4.0), lambda v: f"{v:.0f}")
    '1 – 2 – 4'
    """
    return " – ".join(show(value) for value in (found.p10, found.p50, found.p90))


# Ten questions.


def answers_of(comparison: Comparison, in_page_order: list[SchemeResult]) -> tuple[Answer, ...]:
    """The ten questions a first-time builder asks, each with its answer in short and where the whole of it stands."""
    certainty, currency = comparison.certainty, comparison.scenario.currency
    built = [result for result in in_page_order if result.buildable]
    first = built[0]
    name = in_sentence(first.title)
    ranges, standing = certainty.ranges.scheme(first.id), {measured.key: measured for measured in certainty.standing.measured}
    several = len(built) > 1
    turns = turning(comparison)

    def each(key: str) -> Shown:
        return joined((_value(standing[key], result).with_words(f"{in_sentence(result.title)}: ") for result in built), "; ")

    cheapest = f"The {name}, at {money(first.like_for_like.likely, currency)} like for like." if several else f"Only the {name} is within limits: {money(first.like_for_like.likely, currency)} like for like."
    margin = f"{money(comparison.decision.margin, currency)} less than the {in_sentence(built[1].title)}." if several else "There is nothing within limits to compare it with."
    surely = f"{sentence(odds_words(ranges.cheapest))} it is the cheapest." if several else f"{sentence(odds_words(MOST_TIMES))} it costs between {money(ranges.cash.p10, currency)} and {money(ranges.cash.p90, currency)}."
    later = certainty.later
    change = _careful(comparison) if several else "What later wishes cost is listed."
    defaults = "Prices, waste, hours and more: each is listed, with what was assumed of it."
    return (
        Answer("Who is cheapest?", same(cheapest), "verdict"),
        Answer("By how much?", same(margin), "like-for-like"),
        Answer("How surely?", same(surely), "how-surely"),
        Answer("What would turn it?", turn_of(comparison, turns[0]).words if turns else same(turns_note(comparison)), "what-turns-it"),
        Answer("How many days of mine?", each("own_days").with_words("Days of seven hours, ", "."), "yardsticks"),
        Answer("How many hands at once?", each("people").with_words("On the day of the largest pour, yours with them, ", "."), "yardsticks"),
        Answer("How high on the low side?", each("low_side").with_words("Above the lowest ground, ", "."), "yardsticks"),
        Answer("Warm or cold?", each("u_value").with_words("U-value (less is warmer), ", "."), "warmth"),
        Answer("Can I change my mind?", same(change if later.futures else "What later wishes cost is not worked out for this plot."), "changing-your-mind"),
        Answer("What was guessed?", same(defaults), "what-is-uncertain"),
    )


# Yardsticks, weights.


def _value(measured: Measured, result: SchemeResult) -> Shown:
    return yardstick_words(measured.unit, measured.values[result.id])


def yardstick_words(unit: str, value: float, currency: str = "") -> Shown:
    """A value of a yardstick in words."""
    if unit == "yes":
        return same(YES if value > 0.5 else NO)
    if unit == "money":
        return same(money(value, currency))
    if unit == "people":
        return same(f"{value:.0f}")
    if unit == "day":
        return same(f"{display.number(value, 1)} days")
    return display.quantity(value, unit)


def _yardstick_row(comparison: Comparison, measured: Measured, built: list[SchemeResult]) -> YardstickRow:
    currency = comparison.scenario.currency
    titles = [in_sentence(comparison.scheme(scheme).title) for scheme in measured.least]
    alike = len(measured.least) == len(built)
    return YardstickRow(
        measured.label, tuple(yardstick_words(measured.unit, measured.values[result.id], currency) for result in built),
        tuple(result.id in measured.least and not alike for result in built),
        "all alike" if alike else listed(titles, "and"),
        None if alike or measured.unit == "yes" else yardstick_words(measured.unit, measured.lead, currency))


def _weighed_sentences(comparison: Comparison) -> tuple[str, ...]:
    weighed = comparison.certainty.standing.weighed
    if weighed is None:
        return ()
    excess = {measured.key: measured.excess for measured in comparison.certainty.standing.measured}
    sums = "; ".join(f"{in_sentence(comparison.scheme(scheme).title)} {weighed.sums[scheme]:.2f}" for scheme in weighed.order)
    found = [f"By your weights ({'; '.join(f'{in_sentence(YARDSTICK_BY_KEY[key].label)}: {weight:g}' for key, weight in weighed.weights.items())}) the sums are: {sums}. The smallest comes first."]
    for turn in weighed.turns:
        label = YARDSTICK_BY_KEY[turn.key].label
        if turn.turns_at is None:
            found.append(f"{label}: no weight from 0 up changes that.")
        else:
            # Where both sums are alike already, the weight itself does not say which way.
            more = excess[turn.key][weighed.order[0]] > excess[turn.key][turn.to]
            found.append(f"{label}: the {in_sentence(comparison.scheme(turn.to).title)} comes first once its weight is {'more' if more else 'less'} than {turn.turns_at:.2f}.")
    return tuple(found)


# Later.


def _future_row(comparison: Comparison, future: Future, built: list[SchemeResult]) -> FutureRow:
    currency, later = comparison.scenario.currency, comparison.certainty.later
    matters = next(found for found in later.matters if found.future == future.key)
    if matters.chance is None:
        words = "Does not change which comes first." if len(built) > 1 else ""
    else:
        words = _once_likely(matters.chance, f"the {in_sentence(comparison.scheme(matters.to).title)}")
    if future.likelihood is not None and len(built) > 1:
        words += f" You think it {display.percent(future.likelihood)} likely."
    return FutureRow(
        future.name, future.words, tuple(money(future.costs[result.id], currency) for result in built),
        tuple(money(later.regret.by_future[future.key][result.id], currency) for result in built), words.strip())


def _once_likely(chance: float, other: str) -> str:
    """From which chance on another scheme is the better choice; next to never and to always has words of its own."""
    if chance < HARDLY:
        return f"Once it is at all likely, {other} is the better choice on average."
    if chance > 1.0 - HARDLY:
        return f"Once it is all but certain, {other} is the better choice on average."
    return f"Once it is more likely than {odds_words(chance)}, {other} is the better choice on average."


def _careful(comparison: Comparison) -> str:
    regret, currency = comparison.certainty.later.regret, comparison.scenario.currency
    title = in_sentence(comparison.scheme(regret.smallest).title)
    return f"Least to regret, whichever wish comes true: the {title}, by {money(regret.greatest[regret.smallest], currency)} at the most."


def _uncertain_row(thing: Uncertain, currency: str) -> tuple[str, Shown, Shown, Shown, str]:
    points = thing.points
    return (thing.label, *(value_words(thing, value, currency) for value in (points.low, points.likely, points.high)), thing.source)


# Maps.


@dataclass(frozen=True)
class MapView:
    """One map: whose labour, its drawing, its borders in sentences, and its rows in figures."""

    heading: str
    drawing: Markup
    sentences: tuple[Shown, ...]
    table: tuple[MapRow, ...]
    areas: tuple[Shown, ...]
    names: dict[str, str]


MAP_HEADINGS = {OWN: "Your own labour", HIRED: "All of it hired"}


def map_views(comparison: Comparison, maps: dict[str, Map] | None) -> tuple[MapView, ...]:
    """The maps of a plot as the page shows them; empty where there are none."""
    names = {result.id: result.title for result in comparison.schemes}
    return maps_shown(maps or {}, names, comparison.site.plan.area_m2, "map")


def maps_shown(maps: dict[str, Map], names: dict[str, str], area_m2: float, prefix: str) -> tuple[MapView, ...]:
    """Maps with their sentences at an area, m2.  names: titles by scheme; prefix: unique on the page."""
    return tuple(
        MapView(
            MAP_HEADINGS[whose],
            drawn(lambda units, inside, found=found, whose=whose: area_map_svg(found, names, units, inside, MAP_HEADINGS[whose], before_rounding=whose == OWN), f"{prefix}-{'own' if whose == OWN else 'hired'}"),
            frontier_sentences(found, names, area_m2), area_map_table(found), tuple(map(map_area, found.areas_m2)), names)
        for whose, found in maps.items())
