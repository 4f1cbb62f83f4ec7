"""Results into sentences: the verdict, what is given up, reasons, questions to settle, a text for a forum.

Every sentence is plain text, the same for all doors.  Sentences with sizes
are `Shown`, in both unit systems.  What decides is looked up in the results;
nothing is worked out again here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from calculators.best_level import AS_GOOD_SHARE, NUDGE_M
from calculators.carbon import MACHINES, MATERIALS, SPOIL, TRANSPORT
from calculators.compare import Comparison, SchemeResult
from calculators.plan import Plan, polygon_centroid
from calculators.schedule import RATE_ITEMS
from calculators.site import LEVEL_GROUND_GRADIENT, Site
from generator.check_words import reasons_in_short, whom_to_ask
from generator.display import (
    Shown, footprint, gradient, hours, length, level, money, money_range, percent, quantity, same, u_value, volume,
)
from generator.inputs import WORKED_OUT
from generator.phrases import in_sentence, joined, sentence
from generator.problems import listed, plain_text
from generator.scenario import Reading
from generator.schedules import YOURS
from generator.uncertain_words import certainty_sentences

TOO_CLOSE_SHARE = 0.05
"""A margin under this share of the cheapest decides nothing: quotes for one thing differ by more."""

# Differences smaller than these are not worth a word.
LEAST_HOURS = 2.0
LEAST_VOLUME_M3 = 0.25
LEAST_HEIGHT_M = 0.025
LEAST_U_W_PER_M2K = 0.25

MOST_QUESTIONS = 3

RATE_LABELS: dict[str, str] = {item.key: item.label for item in RATE_ITEMS}

CARBON_GROUPS: dict[str, str] = {
    MATERIALS: "Making the materials", TRANSPORT: "Lorries that bring them", SPOIL: "Spoil, carted and tipped", MACHINES: "The digger",
}
"""What each group of carbon lines is called."""

_COUNT_WORDS = {2: "two", 3: "three", 4: "four", 5: "five"}


# The ground.

_POINTS = (
    "north", "north-north-east", "north-east", "east-north-east", "east", "east-south-east", "south-east", "south-south-east",
    "south", "south-south-west", "south-west", "west-south-west", "west", "west-north-west", "north-west", "north-north-west",
)


def compass_point(east: float, north: float, points: int = 16) -> str:
    """The compass point nearest to a direction, of 8 or 16.

    >>> compass_point(0.0, -1.0), compass_point(1.0, 1.0), compass_point(0.3, -1.0, 8)
    ('south', 'north-east', 'south')
    """
    bearing = math.degrees(math.atan2(east, north)) % 360.0
    # Rounded so that a direction midway between two points goes the same way on every machine.
    return _POINTS[int(round(bearing, 6) / (360.0 / points) + 0.5) % points * (16 // points)]


def corner_name(plan: Plan, corner: int) -> str:
    """The corner of a plan as a person on the plot would call it."""
    names = {plan.sides[corner - 1].name, plan.sides[corner].name}
    across, along = names & {"north", "south"}, names & {"east", "west"}
    if len(across) == len(along) == 1:
        return f"{across.pop()}-{along.pop()}"
    # A plan turned by about 45 degrees points its corners at the compass.
    (cx, cy), (x, y) = polygon_centroid(plan.corners), plan.corners[corner]
    return compass_point(x - cx, y - cy, 8)


def ground_words(site: Site) -> Shown:
    """What the ground does across the building, as the end of a sentence that starts "the ground"."""
    fall = -site.lowest_ground_m
    if site.gradient < 1e-9 and fall < 0.0005:
        return same("is level")
    across = length(fall).with_words("", " across the building")
    if site.gradient < LEVEL_GROUND_GRADIENT:
        return across.with_words("is nearly level, with a fall of ")
    return across.with_words(f"falls {gradient(site.gradient)} to the {compass_point(*site.downhill)}, ")


# Schemes.


def low_side_words(result: SchemeResult) -> Shown:
    """How high the floor ends up on the low side, as words after "the floor is"."""
    height = result.works.low_side_height_m
    return length(abs(height)).with_words("", " above the lowest ground" if height >= 0 else " below the lowest ground")


def level_reason(result: SchemeResult) -> str:
    """Why a scheme's floor lies where it does, as words after "because", or after "set by"."""
    clash = result.levels.clash if result.levels else None
    return "no level keeps every rule" if clash else result.works.level_set_by


def level_set_by(result: SchemeResult) -> Shown:
    """At which level a scheme's floor lies, and what set it."""
    if result.levels is None:
        after = ", where you fixed it."
    elif result.levels.clash:
        after = f". No level keeps every rule: this is the lowest, because {result.works.level_set_by}."
    else:
        after = f", because {result.works.level_set_by}."
    return level(result.works.floor_level_m).with_words("Top of slab ", after)


def level_sentences(result: SchemeResult, currency: str) -> tuple[Shown, ...]:
    """Where a scheme's floor lies and what set it; what 50 mm more or less costs; the band that is as good; or which rules clash."""
    levels = result.levels
    if levels is None:
        return (level_set_by(result), same("Take floor_level out of the file, and the guide looks for the level that costs least."))
    if levels.clash:
        return _clash_sentences(result)
    lies = level(levels.best.level_m)
    if levels.at_lowest:
        first = lies.with_words("The floor lies ", f". It may go no lower, because {levels.lowest_set_by}, and no higher level that was tried costs less.")
    else:
        first = joined((
            lies.with_words("The floor lies ", ", because it costs least there."),
            level(levels.lowest_m, "it").with_words("The rules would let it go down to ", f", and no lower, because {levels.lowest_set_by}."),
        ))
    return (first, *_nudge_sentences(result, currency), _band_sentence(levels))


def _nudge_sentences(result: SchemeResult, currency: str) -> tuple[Shown, ...]:
    levels, step = result.levels, length(NUDGE_M)
    if levels.nudge_up is not None:
        up = step.with_words("", f" higher adds {_small_money(levels.nudge_up, currency)}.")
    else:
        named = listed([in_sentence(name) for name in levels.broken_up], "and")
        up = step.with_words("", f" higher is not allowed: it would break the rule for {named}.")
    if levels.nudge_down is not None:
        return up, step.with_words("", f" lower adds {_small_money(levels.nudge_down, currency)}.")
    return up, step.with_words("", " lower is not allowed.")


def _small_money(amount: float, currency: str) -> str:
    return f"less than {money(1.0, currency)}" if amount < 0.5 else money(amount, currency)


def _band_sentence(levels) -> Shown:
    start, end = levels.as_good_m
    share = percent(AS_GOOD_SHARE)
    if start == end:
        return same(f"No level next to it that was tried costs within {share} of that.")
    return joined((level(start), level(end, "it")), " to ").with_words("Anywhere from ", f" costs within {share} of the least.")


def _clash_sentences(result: SchemeResult) -> tuple[Shown, ...]:
    """Why no level will do: which rules ask for a higher floor, which for a lower one, which for neither."""
    clash, levels = result.levels.clash, result.levels
    up, down, neither = (listed([in_sentence(name) for name in names], "and") for names in (clash.up, clash.down, clash.neither))
    found = [same("No level keeps every rule.")]
    if up and down:
        found.append(same(sentence(f"{up} {_asks(clash.up)} for a higher floor, {down} for a lower one, and no level between them serves both.")))
    elif up:
        found.append(same(sentence(f"{up} {_asks(clash.up)} for a higher floor than any that was tried.")))
    elif down:
        found.append(level(levels.lowest_m).with_words(
            "The rules clash: the floor may go no lower than ", f", because {levels.lowest_set_by}; but {down} {_asks(clash.down)} for a lower one."))
    if neither:
        found.append(same(f"Broken at every level that was tried: {neither}."))
    found.append(level(levels.lowest_m).with_words("The amounts here are for a floor ", ", the lowest of all."))
    return tuple(found)


def _asks(names: tuple[str, ...]) -> str:
    return "asks" if len(names) == 1 else "ask"


# What is given up.


@dataclass(frozen=True)
class GivenUp:
    """One thing that a scheme costs beyond another, besides money; `what` is a key, `words` a piece of a sentence."""

    what: str
    words: Shown


def given_up(result: SchemeResult, against: SchemeResult) -> tuple[GivenUp, ...]:
    """What somebody gives up who takes one scheme instead of another, besides money; empty when nothing counted here."""
    more = result.quantities
    than = against.quantities
    found: list[GivenUp] = []

    def add(what: str, words: Shown | str) -> None:
        found.append(GivenUp(what, same(words) if isinstance(words, str) else words))

    own = result.priced.own_hours - against.priced.own_hours
    if own >= LEAST_HOURS:
        add("own hours", f"{hours(own)} more of your own")
    helpers = result.priced.helper_hours - against.priced.helper_hours
    if helpers >= LEAST_HOURS:
        add("helper hours", f"{hours(helpers)} more of helpers")
    concrete = more["concrete_m3"] - than["concrete_m3"]
    if concrete >= LEAST_VOLUME_M3:
        add("concrete", volume(concrete).with_words(after=" more concrete"))
    spoil = more["spoil_loose_m3"] - than["spoil_loose_m3"]
    if spoil >= LEAST_VOLUME_M3:
        add("spoil", volume(spoil).with_words(after=" more spoil to cart"))
    low = result.works.low_side_height_m - against.works.low_side_height_m
    if low >= LEAST_HEIGHT_M:
        add("low side", length(low).with_words("a floor ", " higher on the low side"))
    heated = any(credit.rate_key == "floating_floor" for credit in result.credits)
    if heated and not any(credit.rate_key == "floating_floor" for credit in against.credits):
        add("warm floor", "a warm floor only as an addition on top, which takes headroom")
    elif not heated and result.u_value_w_per_m2k - against.u_value_w_per_m2k >= LEAST_U_W_PER_M2K:
        here, there = u_value(result.u_value_w_per_m2k), u_value(against.u_value_w_per_m2k)
        add("warm floor", Shown(*(f"a colder floor (U-value {a} against {b})" for a, b in ((here.metric, there.metric), (here.imperial, there.imperial)))))
    # Walls that stand on a footing of their own are where they are.
    if more["footing_concrete_m3"] > 0.0 and than["footing_concrete_m3"] <= 0.0:
        add("walls", "wall positions that are fixed now")
    return tuple(found)


def given_up_by(comparison: Comparison, scheme_id: str) -> tuple[GivenUp, ...]:
    """What a scheme within limits gives up: the cheapest against the next, any other against the cheapest."""
    order = comparison.decision.order
    if scheme_id not in order or len(order) < 2:
        return ()
    other = order[1] if scheme_id == order[0] else order[0]
    return given_up(comparison.scheme(scheme_id), comparison.scheme(other))


# Prices and the verdict.


def _rate_keys(comparison: Comparison) -> set[str]:
    """Every rate that a like-for-like figure leans on."""
    keys = {line.rate_key for result in comparison.schemes for line in result.priced.lines if line.rate_key}
    return keys | {credit.rate_key for result in comparison.schemes for credit in result.credits}


def prices_words(comparison: Comparison) -> str:
    """What kind of prices the figures rest on, as words after "at"."""
    schedule = comparison.scenario.schedule
    yours = [schedule.rates[key].rate_from == YOURS for key in _rate_keys(comparison)]
    if yours and all(yours):
        return "your own quotes"
    if not schedule.invented:
        return "likely prices (some of them your own quotes)" if any(yours) else "likely prices"
    return "likely prices (invented, but for your own quotes)" if any(yours) else "invented likely prices"


def prices_note(comparison: Comparison) -> str:
    """Which schedule of rates was used, of what date, whether invented, and tax."""
    schedule = comparison.scenario.schedule
    tax = f"tax of {percent(schedule.tax_percent / 100.0)} {'included' if schedule.tax_included else 'not included'}"
    return sentence(f"{prices_words(comparison)}: schedule {schedule.name}, {schedule.dated}, {schedule.currency}, {tax}.")


NOT_TESTED = "Not yet tested for certainty: only likely prices were compared."


def verdict_sentences(comparison: Comparison) -> tuple[Shown, ...]:
    """The verdict, sentence by sentence; the first one says who is cheapest, or that nothing fits."""
    order = comparison.decision.order
    if not order:
        return _nothing_fits(comparison)
    if len(order) == 1:
        return _only_one(comparison)
    return _cheapest(comparison)


def verdict(comparison: Comparison, units: str | None = None) -> str:
    """The verdict in plain text, in the given unit system or the scenario's own."""
    return joined(verdict_sentences(comparison)).of(units or comparison.scenario.units)


def _cheapest(comparison: Comparison) -> tuple[Shown, ...]:
    decision, currency = comparison.decision, comparison.scenario.currency
    first, second = (comparison.scheme(scheme) for scheme in decision.order[:2])
    share = "" if decision.margin_share is None else f" ({percent(decision.margin_share)})"
    sentences = [
        same(f"At {prices_words(comparison)} the {in_sentence(first.title)} is the cheapest like for like, at {money(first.like_for_like.likely, currency)}."),
        same(f"The {in_sentence(second.title)} costs {money(decision.margin, currency)} more{share}."),
    ]
    lost = [item.words for item in given_up(first, second)]
    if lost:
        sentences.append(joined(lost, "; ").with_words(f"Against it the {in_sentence(first.title)} asks for: ", "."))
    else:
        sentences.append(same("On what is counted here you give up nothing against it."))
    if comparison.certainty is None and (decision.margin_share is None or decision.margin_share < TOO_CLOSE_SHARE):
        sentences.append(same("That margin is too close to call on price: let the rest decide."))
    by_hours = min((comparison.scheme(scheme) for scheme in decision.order), key=lambda result: result.with_hours)
    if by_hours.id != first.id:
        sentences.append(same(f"With your own hours at {money(decision.hour_worth, currency)} each, the {in_sentence(by_hours.title)} comes first."))
    out = [result for result in comparison.schemes if not result.buildable]
    sentences += [_out(result) for result in out]
    return (*sentences, *_how_surely(comparison))


def _out(result: SchemeResult) -> Shown:
    return reasons_in_short(result).with_words(f"The {in_sentence(result.title)} is outside the limits: ", ".")


def _only_one(comparison: Comparison) -> tuple[Shown, ...]:
    only = comparison.scheme(comparison.decision.order[0])
    price = money(only.like_for_like.likely, comparison.scenario.currency)
    if len(comparison.schemes) == 1:
        return (
            same(f"The {in_sentence(only.title)}, the only scheme compared, is within limits, and costs {price} like for like at {prices_words(comparison)}."),
            *_how_surely(comparison),
        )
    return (
        same(f"Only the {in_sentence(only.title)} is within limits: {price} like for like at {prices_words(comparison)}."),
        *(_out(result) for result in comparison.schemes if not result.buildable),
        *_how_surely(comparison),
    )


def _how_surely(comparison: Comparison) -> tuple[Shown, ...]:
    return certainty_sentences(comparison) or (same(NOT_TESTED),)


def _nothing_fits(comparison: Comparison) -> tuple[Shown, ...]:
    schemes = comparison.schemes
    if len(schemes) == 1:
        sentences = [same(f"The {in_sentence(schemes[0].title)}, the only scheme compared, is not within limits on this plot, so it has no price.")]
    else:
        sentences = [same(f"None of the {_COUNT_WORDS.get(len(schemes), str(len(schemes)))} schemes is within limits on this plot, so none has a price.")]
    names = [dict.fromkeys(check.name for check in result.reasons) for result in schemes]
    shared = [name for name in names[0] if all(name in others for others in names[1:])]
    if len(schemes) == 1:
        sentences.append(reasons_in_short(schemes[0]).with_words("What stops it: ", "."))
    elif shared:
        sentences.append(same(f"What stops every one of them: {listed([in_sentence(name) for name in shared], 'and')}."))
    else:
        sentences += [_out(result) for result in schemes]
    ask = whom_to_ask(comparison)
    if ask:
        sentences.append(same(f"Ask {listed(ask, 'and')} before you go further."))
    return tuple(sentences)


# Which quotes would settle it.


@dataclass(frozen=True)
class Question:
    """A rate whose quote would narrow the comparison, with the money that its range moves.

    `swing` is how far the gap between the two cheapest schemes moves from the
    low rate to the high one; with one scheme within limits, how far its own
    figure moves.
    """

    rate_key: str
    label: str
    swing: float


def questions_to_settle(comparison: Comparison) -> tuple[Question, ...]:
    """The rates, three at most, whose range moves the decision most; empty when nothing is within limits."""
    order = comparison.decision.order
    if not order:
        return ()
    swings = _swing_by_rate(comparison.scheme(order[0]))
    if len(order) > 1:
        for key, swing in _swing_by_rate(comparison.scheme(order[1])).items():
            swings[key] = swings.get(key, 0.0) - swing
    # A line shows no swing under half a unit of money.
    ranked = sorted(((abs(swing), key) for key, swing in swings.items() if abs(swing) >= 0.5), key=lambda pair: (-round(pair[0], 6), pair[1]))
    return tuple(Question(key, RATE_LABELS[key], swing) for swing, key in ranked[:MOST_QUESTIONS])


def _swing_by_rate(result: SchemeResult) -> dict[str, float]:
    """Money between the high and the low rate, by rate, over all lines and credits of a scheme; contingency comes on top of lines."""
    priced = result.priced
    spent = priced.cash.likely - priced.contingency.likely
    on_top = priced.cash.likely / spent if spent > 0.0 else 1.0
    swings: dict[str, float] = {}
    for line in priced.lines:
        if line.rate_key:
            swings[line.rate_key] = swings.get(line.rate_key, 0.0) + on_top * (line.cash_range.high - line.cash_range.low)
    for credit in result.credits:
        swings[credit.rate_key] = swings.get(credit.rate_key, 0.0) + credit.amount.high - credit.amount.low
    return swings


def questions_words(comparison: Comparison) -> str:
    """Which quotes would settle it, in one sentence; empty when there is nothing to ask."""
    questions = questions_to_settle(comparison)
    if not questions:
        return ""
    currency = comparison.scenario.currency
    moved = "the gap" if len(comparison.decision.order) > 1 else "the figure"
    named = [f"{in_sentence(question.label)} (moves {moved} by {money(question.swing, currency)})" for question in questions]
    start = "The quote that would tell most" if len(named) == 1 else f"The {_COUNT_WORDS[len(named)]} quotes that would tell most"
    return f"{start}: {'; '.join(named)}."


# A text for a forum.


def forum_text(reading: Reading, comparison: Comparison) -> str:
    """A block of plain text with inputs, guesses, results and the verdict, to ask other people about.

    Numbers are in the scenario's unit system.  What the reader typed is shown as typed.
    """
    scenario, units = comparison.scenario, comparison.scenario.units
    size = plan_size(scenario.plot.corners_m).of(units)
    lines = [
        plain_text(scenario.title),
        f"A question about foundations: {scenario.building.use}, {size}; the ground {ground_words(comparison.site).of(units)}.",
        "",
        "What I gave:",
        *(f"  {key}: {plain_text(typed)}" for key, typed in reading.given.items()),
    ]
    guessed = [used for used in reading.defaults if used.value_text not in (WORKED_OUT, "none")]
    if guessed:
        lines += ["", "What was assumed for me:", *(f"  {used.key}: {plain_text(used.value_text)}" for used in guessed)]
    lines += ["", prices_note(comparison), ""]
    for result in comparison.schemes:
        lines += [*_forum_lines(result, scenario.currency, units), ""]
    lines += [verdict(comparison)]
    questions = questions_words(comparison)
    if questions:
        lines.append(questions)
    lines += ["", "Worked out by a guide, not designed by an engineer. What have I missed?"]
    return "\n".join(lines) + "\n"


def _forum_lines(result: SchemeResult, currency: str, units: str) -> list[str]:
    quantities = result.quantities
    amounts = (
        f"  Concrete {volume(quantities['concrete_m3']).of(units)}, stone under the floor {quantity(quantities['sub_base_t'], 't').of(units)}, "
        f"spoil {volume(quantities['spoil_loose_m3']).of(units)} loose. "
        f"Floor {level(result.works.floor_level_m).of(units)}, {low_side_words(result).of(units)}."
    )
    if not result.buildable:
        return [f"{result.title}: outside the limits, no price; amounts for scale only", amounts, f"  Outside: {reasons_in_short(result).of(units)}."]
    return [
        f"{result.title}: {money(result.like_for_like.likely, currency)} like for like ({money_range(result.like_for_like, currency)})",
        f"  Cash {money(result.cash.likely, currency)}, {hours(result.priced.own_hours)} of my own, {hours(result.priced.helper_hours)} of helpers; "
        f"all hired {money(result.hired_cash.likely, currency)}.",
        amounts,
    ]


def plan_size(corners: tuple[tuple[float, float], ...]) -> Shown:
    """The size of a building by its corners, m: the sides of a rectangle, or what any other plan measures over all.

    >>> plan_size(((0, 0), (7.2, 0), (7.2, 3.6), (4.2, 3.6), (4.2, 6.0), (0, 6.0))).metric
    '7.20 m × 6.00 m over all, with 6 corners'
    """
    plan = Plan(corners)
    sides = math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2])
    if len(corners) == 4 and math.isclose(sides[0] * sides[1], plan.area_m2, rel_tol=1e-6):
        return footprint(*sides)
    return footprint(*plan.size_m()).with_words("", f" over all, with {len(corners)} corners")


# Sizes that a scheme is built to.

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
    "inside_wall_m": "Block wall inside, under a wall that carries load",
}
"""What each size of `Works.sizes` is called."""
