"""A scenario becomes a comparison: the one way through, for every door.

Each scheme is laid out at its floor level, taken off, priced, brought to one
line with the others, and held against the rules.  What cannot be built inside
the limits stays in the comparison with its reasons, its quantities "for scale
only", and no price.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from calculators import carbon, damp, heat, permissions, stand, water, yearly_heat
from calculators.best_level import LevelPoint, LevelSearch, search
from calculators.either import Numbers
from calculators.futures import Later, later_of
from calculators.job import Job, job_of
from calculators.materials import INSULATIONS
from calculators.pricing import Priced, Spread, before_rounding, price, rate_named
from calculators.quantities import Earth, take_off
from calculators.ranges import Ranges, Sampler, ranges_of
from calculators.scenario import Scenario
from calculators.schemes import SCHEME_BY_ID
from calculators.schemes.common import LevelChoice
from calculators.schemes.wall_on_footing import THICK_ENOUGH_TO_STEP
from calculators.site import Site, site_of
from calculators.turning import Driver, Switch, difference, drivers_of, hour_worth_switch, slope_switch, turns
from calculators.works import Check, Works
from calculators.yardsticks import Standing, standing_of

# An own hour is worth this share of a labourer's until the reader says.
HOUR_WORTH_SHARE = 0.5

# Why a floor lies above the lowest level that the rules allow, as words after "because".
CHEAPEST_WORDS = "it costs least there"


@dataclass(frozen=True)
class Credit:
    """Money added to a scheme, or taken off when negative, to bring it to one line with the others; at which rate."""

    item: str
    sentence: str
    amount: Spread
    rate_key: str


@dataclass(frozen=True)
class SchemeResult:
    """One scheme on one plot.

    `cash`, `hired_cash` and `like_for_like` are None where the scheme cannot
    be built inside the limits; `priced` is then for scale only.  `levels` is
    the search for the best floor level, None where the reader fixed it.
    `works.checks` are all checks: the rules, strength, damp, water and warmth.
    `floor_heat` is None where nothing is heated.
    """

    id: str
    title: str
    buildable: bool
    reasons: tuple[Check, ...]
    works: Works
    levels: LevelSearch | None
    quantities: dict[str, float]
    earth: Earth
    priced: Priced
    credits: tuple[Credit, ...]
    cash: Spread | None
    hired_cash: Spread | None
    like_for_like: Spread | None
    with_hours: float | None
    u_value_w_per_m2k: float
    floor_heat: yearly_heat.YearlyHeat | None
    carbon: carbon.CarbonResult
    permissions: tuple[permissions.Permission, ...]


@dataclass(frozen=True)
class Decision:
    """Who comes out cheapest like for like, at likely prices and before any test of certainty.

    `order` lists the buildable schemes, cheapest first.  `margin` is money
    between the first two, None with fewer; `margin_share` is that over the
    first.  `least_hours`, `least_concrete` and `lowest_floor` name schemes.
    """

    order: tuple[str, ...]
    margin: float | None
    margin_share: float | None
    least_own_hours: str | None
    least_concrete: str | None
    lowest_low_side: str | None
    hour_worth: float


@dataclass(frozen=True)
class Certainty:
    """What decides it and how surely.

    `drivers` and `switches` are about the two cheapest at likely values and
    empty with fewer; `gap_before_rounding` is money between those two before
    rounding to units of sale, None with fewer; `rounding_decides` says that before rounding to units of
    sale the second of them is the cheaper, so that nothing is left to turn.
    """

    ranges: Ranges
    gap_before_rounding: float | None
    rounding_decides: bool
    drivers: tuple[Driver, ...]
    switches: tuple[Switch, ...]
    standing: Standing
    later: Later


@dataclass(frozen=True)
class Comparison:
    """Everything that a page, a file or a terminal shows about one scenario; `certainty` and `jobs` where they were asked for.

    `jobs` has the rest of the job of every scheme within limits, by its id.
    """

    scenario: Scenario
    site: Site
    schemes: tuple[SchemeResult, ...]
    decision: Decision
    certainty: Certainty | None = None
    jobs: dict[str, Job] = field(default_factory=dict)

    def scheme(self, scheme_id: str) -> SchemeResult:
        """The result of a scheme; raises KeyError for one that was not compared."""
        for result in self.schemes:
            if result.id == scheme_id:
                return result
        raise KeyError(scheme_id)


def compare(
    scenario: Scenario, draws: int = 0, vector: Callable[[list[float]], Numbers] | None = None, jobs: bool = False,
) -> Comparison:
    """Compare the scenario's schemes on its plot.

    scenario: SI numbers with defaults resolved.  draws: how often what nobody
    knows exactly is drawn; 0 leaves certainty out.  vector: makes an array of a list of
    draws, where there is a library for arrays.  jobs: yes works out orders, pours
    and programme too.  Returns a Comparison: m, m2,
    m3, t, kg by the suffix of each name, money in the schedule's currency.
    Raises ValueError for sizes that no scheme can make sense of (edges that
    meet in the middle) and for a calendar with no day to work on, MissingRate for a rate that is not in the schedule.
    """
    site = site_of(scenario)
    results = tuple(_result(site, scheme_id) for scheme_id in scenario.schemes)
    found = Comparison(scenario, site, results, decide(results, hour_worth_of(scenario)))
    if draws:
        found = replace(found, certainty=_certainty(found, draws, vector))
    if jobs:
        found = replace(found, jobs={result.id: job_of(site, result) for result in results if result.buildable})
    return found


def cost_before_rounding(scenario: Scenario) -> dict[str, float]:
    """Like-for-like cost, money, before rounding to units of sale of every scheme that can be built in a scenario, by id; each at its own best level."""
    return {
        result.id: result.priced.cash_before_rounding + math.fsum(credit.amount.likely for credit in result.credits)
        for result in compare(scenario).schemes if result.buildable}


def _certainty(found: Comparison, draws: int, vector: Callable[[list[float]], Numbers] | None) -> Certainty:
    """How surely, what would turn it, what else counts, and what may change later."""
    scenario, site, order = found.scenario, found.site, found.decision.order
    ranges = ranges_of(site, found.schemes, order, draws, vector)
    built = [found.scheme(scheme_id) for scheme_id in order]
    gap, rounding_decides, drivers, switches = None, False, (), ()
    if len(built) > 1:
        first, second = (Sampler(site, result.works, result.priced, result.credits) for result in built[:2])
        gap = difference(first, second, {})
        drivers = drivers_of(first, second, ranges.uncertain)
        rounding_decides = gap <= 0.0
        if not rounding_decides:
            hours = built[1].priced.own_hours - built[0].priced.own_hours
            solved = [hour_worth_switch(gap, hours, found.decision.hour_worth, f"{scenario.currency}/hour"), slope_switch(scenario, *order[:2], cost_before_rounding)]
            switches = turns(ranges.uncertain, first, second) + tuple(switch for switch in solved if switch is not None)
    return Certainty(
        ranges, gap, rounding_decides, drivers, switches, standing_of(site, built, scenario.weights), later_of(site, built, cost_before_rounding, scenario.own_futures))


def hour_worth_of(scenario: Scenario) -> float:
    """Money per own hour: the reader's, or half the schedule's labourer rate."""
    if scenario.hour_worth is not None:
        return scenario.hour_worth
    rate = rate_named(scenario, "labourer_hour")
    return HOUR_WORTH_SHARE * rate.likely / rate.sale_unit_in_si


def _result(site: Site, scheme_id: str) -> SchemeResult:
    """A scheme at its own best level, or at the reader's; laid out the cheapest way that is allowed."""
    scheme = SCHEME_BY_ID[scheme_id]
    lowest = scheme.lowest_level(site)
    worth = hour_worth_of(site.scenario)
    if lowest.fixed:
        return _evaluate(site, scheme, _cheapest(site, scheme, lowest, worth)[0], None)

    laid_out: dict[float, Works] = {}

    def at(level_m: float) -> LevelPoint:
        level = lowest if level_m == lowest.level_m else LevelChoice(level_m, CHEAPEST_WORDS)
        works, by_stage = _cheapest(site, scheme, level, worth)
        laid_out[level_m] = works
        broken = {check.name: math.inf if check.ratio is None else check.ratio for check in works.outside}
        return LevelPoint(level_m, sum(by_stage.values()), by_stage, broken)

    found = search(lowest.level_m, at, lowest.set_by, frozenset({THICK_ENOUGH_TO_STEP}))
    return _evaluate(site, scheme, laid_out[found.best.level_m], found)


# Works with their cost by stage, own hours at their worth.
Costed = tuple[Works, dict[str, float]]


def _cheapest(site: Site, scheme, level: LevelChoice, worth: float) -> tuple[Works, dict[str, float]]:
    """The way of laying out that breaks fewest rules, then costs least; with its cost by stage, own hours at their worth."""
    def costed(works: Works) -> Costed:
        amounts, _ = take_off(works, site.scenario)
        stages = before_rounding(works, amounts, site.scenario)
        return works, {stage: cost.cash + worth * cost.own_hours for stage, cost in stages.items()}

    def price(found: Costed) -> float:
        # Rounded, so that of two alike the first is taken whatever the last binary digit says.
        return round(sum(found[1].values()), 6)

    tried: list[Costed] = []
    # What costs more need not be checked once something cheaper holds; and what is sturdier costs more, one after the other.
    for ways in (sorted(map(costed, scheme.lay_outs(site, level)), key=price), map(costed, scheme.sturdier(site, level))):
        for works, by_stage in ways:
            checked = replace(works, checks=works.checks + stand.stand_checks(site, works))
            tried.append((checked, by_stage))
            if not checked.outside:
                return tried[-1]
    return min(tried, key=lambda found: (len(found[0].outside), price(found)))


def _evaluate(site: Site, scheme, works: Works, levels: LevelSearch | None) -> SchemeResult:
    scenario = site.scenario
    u_value = floor_u_value_w_per_m2k(site, works)
    beside = damp.damp_checks(site, works) + water.water_checks(site, works)
    works = replace(works, checks=works.checks + yearly_heat.warm_checks(site, works, u_value) + tuple(replace(check, stops=False) for check in beside))
    amounts, earth = take_off(works, scenario)
    priced = price(works, amounts, scenario)
    credits = credits_to_one_line(site, works, amounts)
    reasons = works.outside
    buildable = not reasons
    like_for_like = priced.cash
    for credit in credits:
        like_for_like = like_for_like + credit.amount
    return SchemeResult(
        id=scheme.ID,
        title=scheme.TITLE,
        buildable=buildable,
        reasons=reasons,
        works=works,
        levels=levels,
        quantities=amounts,
        earth=earth,
        priced=priced,
        credits=credits,
        cash=priced.cash if buildable else None,
        hired_cash=priced.hired_cash if buildable else None,
        like_for_like=like_for_like if buildable else None,
        with_hours=like_for_like.likely + hour_worth_of(scenario) * priced.own_hours if buildable else None,
        u_value_w_per_m2k=u_value,
        floor_heat=_floor_heat(site, works, u_value),
        carbon=carbon.carbon_of(
            amounts, works, scenario, carbon.with_own_factors(scenario.own_carbon.factors), scenario.own_carbon.distances_km),
        permissions=permissions.permissions_of(
            site, works, scenario.plot.neighbours, scenario.building.sleeping, scenario.building.non_combustible),
    )


def _floor_heat(site: Site, works: Works, u_w_per_m2k: float) -> yearly_heat.YearlyHeat | None:
    """A year's heat through the floor; None for a building that nobody heats."""
    if not site.scenario.building.heated:
        return None
    given = site.scenario.heat
    wall = works.sizes.get("block_thickness_m", 0.0)
    return yearly_heat.yearly_heat(
        u_w_per_m2k, site.plan.area_inset_m2(wall), given.pattern, given.degree_days, given.energy_price_per_kwh, given.efficiency)


def credits_to_one_line(site: Site, works: Works, amounts: dict[str, float]) -> tuple[Credit, ...]:
    """What brings a scheme to the line where all are compared.

    Masonry between floor and sole plate saves that much of the wall above it;
    a heated use asks a floor without insulation for a floating one.  Source:
    definition of the guide (like for like).
    """
    scenario, building = site.scenario, site.scenario.building
    credits = []
    masonry_m = works.sole_plate_m - works.floor_level_m
    if masonry_m > 0.0:
        key, words = ("block_wall", "block wall") if building.walls == "block" else ("frame_wall", "timber wall")
        area = site.plan.perimeter_m * masonry_m
        credits.append(Credit(
            f"{words.capitalize()} saved", f"The masonry between floor and sole plate stands in for {words} all round.",
            _at_rate(rate_named(scenario, key), -area), key))
    if building.heated and amounts["insulation_m3"] <= 0.0:
        credits.append(Credit(
            "Floating insulated floor", "A heated use asks this scheme for a warm floor, which it does not have. It takes up headroom and door height.",
            _at_rate(rate_named(scenario, "floating_floor"), amounts["floor_m2"]), "floating_floor"))
    return tuple(credits)


def _at_rate(rate, amount_si: float) -> Spread:
    return Spread(rate.low, rate.likely, rate.high).times(amount_si / rate.sale_unit_in_si)


def floor_u_value_w_per_m2k(site: Site, works: Works) -> float:
    """U-value, W/(m2 K), of the scheme's floor without a floating floor, its edge board counted; slab and stone neglected.

    Source: EN ISO 13370, slab on ground; edge insulation as `yearly_heat.scheme_u_w_per_m2k`.
    """
    wall = works.sizes.get("block_thickness_m", 0.0)
    thickness = works.sizes.get("insulation_thickness_m", 0.0)
    resistance = 0.0
    if thickness > 0.0:
        board = INSULATIONS[site.scenario.schemes[works.scheme].insulation]
        resistance = heat.layer_r_m2k_per_w(thickness, board.conductivity_w_per_mk.value)
    given = site.scenario.heat
    plain = heat.slab_on_ground_u_w_per_m2k(
        site.plan.area_inset_m2(wall), site.plan.inset_perimeter_m(wall), given.wall_thickness_m,
        given.ground_conductivity_w_per_mk, resistance)
    return yearly_heat.scheme_u_w_per_m2k(site, works, plain)


def decide(results: tuple[SchemeResult, ...], hour_worth: float) -> Decision:
    """Who is cheapest like for like at likely prices, by how much, and who wins what else."""
    buildable = [result for result in results if result.buildable]
    order = sorted(buildable, key=lambda result: result.like_for_like.likely)
    margin = share = None
    if len(order) > 1:
        margin = order[1].like_for_like.likely - order[0].like_for_like.likely
        first = order[0].like_for_like.likely
        share = margin / first if first > 0 else None

    def least(figure) -> str | None:
        return min(buildable, key=figure).id if buildable else None

    return Decision(
        order=tuple(result.id for result in order),
        margin=margin,
        margin_share=share,
        least_own_hours=least(lambda result: result.priced.own_hours),
        least_concrete=least(lambda result: result.quantities["concrete_m3"]),
        lowest_low_side=least(lambda result: result.works.low_side_height_m),
        hour_worth=hour_worth,
    )
