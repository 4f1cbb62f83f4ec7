"""How surely: what nobody knows exactly, drawn many times, and what becomes of each scheme.

The layout is frozen as a builder must freeze it, at likely values.  Draws move
only amounts: how high the ground really is, how deep the topsoil, how level
the bed, how much is wasted, what things cost and how long they take.  The same
draws serve every scheme, so that a difference between two is not noise.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from calculators import works as w
from calculators.draws import BLOCK, ThreePoint, quantile, shares
from calculators.either import Numbers, at_least, bends, bent, hinges
from calculators.ground import HigherOf, LowerOf, Raised, Surface, unraised
from calculators.materials import (
    STONE_COMPACTED_LEAST_T_PER_M3,
    STONE_COMPACTED_MOST_T_PER_M3,
    STONE_COMPACTED_T_PER_M3,
)
from calculators.plan import polygon_area_m2
from calculators.pricing import TRADE_RATE, Job, contingency_share, line_costs
from calculators.quantities import take_off
from calculators.schedule import RATE_ITEMS
from calculators.site import Site
from calculators.soils import loose_m3
from calculators.sources import common_practice
from calculators.works import Solid, Works

USUAL_DRAWS = 10_000
# One time in ten below, as often above as below, one time in ten above.
TENTH, HALF, NINE_TENTHS = 0.1, 0.5, 0.9
# How far the ground is tried above and below where it is taken to be, m; between these volumes go on straight lines.
# Close together as far as draws reach, and on to as far as anybody looks for what would turn the order.
OFFSETS_M = (-0.500, -0.400, -0.300, -0.200, -0.150, -0.125, -0.100, -0.075, -0.050, -0.025, 0.0, 0.025, 0.050, 0.075, 0.100, 0.150, 0.200, 0.300)

TOPSOIL_M = (common_practice(-0.050, "m", "Topsoil thinner than taken."), common_practice(0.100, "m", "Topsoil deeper than taken: pits show two places only."))
LEVEL_TYPED_M = common_practice(0.050, "m", "Ground given as one slope is this much higher or lower on the whole.")
LEVEL_SURVEYED_M = common_practice(0.015, "m", "Ground from spot levels is this much higher or lower on the whole.")
BED_M = (common_practice(-0.005, "m", "Bed of stone and sand left high, so that the slab is thinner."), common_practice(0.015, "m", "Bed left low, so that the slab is thicker."))
WASTE = (common_practice(0.4, "", "A careful job wastes this share of the allowances."), common_practice(2.0, "", "A careless one."))
STONE_DENSITY = (
    common_practice(STONE_COMPACTED_LEAST_T_PER_M3.value / STONE_COMPACTED_T_PER_M3.value, "", "Stone that packs loosely, over the usual density."),
    common_practice(STONE_COMPACTED_MOST_T_PER_M3.value / STONE_COMPACTED_T_PER_M3.value, "", "Stone that packs tight."),
)
BULKING = (common_practice(0.9, "", "Spoil that bulks little, over the usual."), common_practice(1.2, "", "Spoil that bulks much."))
SOFT_M = common_practice(0.040, "m", "Soft ground found and dug out, spread over the footprint; most often none.")
PACE = (common_practice(0.8, "", "Work that goes well, over the hours taken."), common_practice(1.7, "", "Work that goes badly: first-timers often need much more than they think."))

ASSUMED = "assumed"
# Volumes, m3, that differ by no more are the same.
NOTHING = 1e-9
LIES_ON_THE_GROUND = (w.TOPSOIL_STRIP, w.BREAK_OUT)
TRADE_WORDS = {"groundwork": "digging, drains and stone", "concrete": "steel, forms and concrete", "blocklaying": "blocks and render"}


@dataclass(frozen=True)
class Uncertain:
    """One thing that nobody knows exactly: its three points in `unit`, and where they come from.

    `kind` is amount, pace or rate; `source` says assumed, or whose schedule.
    """

    key: str
    label: str
    kind: str
    unit: str
    points: ThreePoint
    source: str


@dataclass(frozen=True)
class Outcome:
    """What one scheme takes: money like for like, own and helpers' hours, concrete m3, stone t; numbers, or arrays of draws."""

    cash: Numbers
    own_hours: Numbers
    helper_hours: Numbers
    concrete_m3: Numbers
    stone_t: Numbers


@dataclass(frozen=True)
class Range:
    """One time in ten it is below `p10`, as often above `p50` as below, one time in ten above `p90`."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True)
class SchemeRanges:
    """The ranges of one scheme, and the share of draws in which it wins, 0 to 1."""

    id: str
    cash: Range
    own_hours: Range
    helper_hours: Range
    concrete_m3: Range
    stone_t: Range
    cheapest: float
    least_own_hours: float
    least_concrete: float


@dataclass(frozen=True)
class Ranges:
    """How surely: each scheme that can be built, and the difference between the two that are cheapest at likely values.

    `second_dearer` is money by which the second costs more than the first,
    and `first_stays_cheaper` the share of draws in which it does; both None with fewer than two.
    """

    draws: int
    uncertain: tuple[Uncertain, ...]
    schemes: tuple[SchemeRanges, ...]
    first: str | None
    second: str | None
    second_dearer: Range | None
    first_stays_cheaper: float | None

    def scheme(self, scheme_id: str) -> SchemeRanges | None:
        """The ranges of a scheme; None for one that cannot be built inside the limits."""
        return next((found for found in self.schemes if found.id == scheme_id), None)


def _moved(surface: Surface, ground: Surface, by_m: float) -> Surface:
    """A surface, with the ground in it so many m higher."""
    base, above = unraised(surface)
    if base is ground:
        return Raised(ground, above + by_m)
    if isinstance(base, (LowerOf, HigherOf)):
        first, second = _moved(base.first, ground, by_m), _moved(base.second, ground, by_m)
        if first is base.first and second is base.second:
            return surface
        moved = type(base)(first, second)
        return Raised(moved, above) if above else moved
    return surface


def _solid_moved(solid: Solid, ground: Surface, by_m: float) -> Solid:
    """A solid with the ground so many m higher; itself, its volume known, where it has nothing to do with the ground."""
    if solid.part in LIES_ON_THE_GROUND:
        return solid
    ends = [(_moved(body.bottom, ground, by_m), _moved(body.top, ground, by_m)) for body in solid.bodies]
    if all(bottom is body.bottom and top is body.top for body, (bottom, top) in zip(solid.bodies, ends)):
        return solid
    return replace(solid, bodies=tuple(replace(body, bottom=bottom, top=top) for body, (bottom, top) in zip(solid.bodies, ends)))


def on_other_ground(works: Works, ground: Surface, by_m: float) -> Works:
    """The same works where all the ground lies so many m higher than was thought.

    works; ground: the surface that the plot's tables follow; by_m: m, less
    than 0 for lower.  What is built stays where it is; what is dug and filled
    follows the ground; topsoil and old concrete lie on it, as much as ever.
    Raises nothing.  Source: definition of the guide.
    """
    return replace(works, solids=tuple(_solid_moved(solid, ground, by_m) for solid in works.solids))


class Sampler:
    """One scheme, its layout frozen, ready to be costed for any values of what is uncertain.

    site: the plot; works: the scheme laid out; priced, credits: its bill and
    what brings it to one line, at likely values, m, m2, m3, money.
    """

    def __init__(self, site: Site, works: Works, priced, credits):
        self.site, self.works, self.priced, self.credits = site, works, priced, credits
        self._likely = self.outcome_before_rounding({})

    @cached_property
    def _tables(self) -> dict[str, tuple[float, tuple[float, ...]]]:
        """Each quantity against how high the ground lies: what it is where that is lowest, and the bends from there; none where it does not matter."""
        scenario, ground = self.site.scenario, self.site.tables.ground
        takes = [take_off(on_other_ground(self.works, ground, offset) if offset else self.works, scenario)[0] for offset in OFFSETS_M]
        found: dict[str, tuple[float, tuple[float, ...]]] = {}
        for key in takes[0]:
            values = tuple(amounts[key] for amounts in takes)
            found[key] = (values[0], bends(OFFSETS_M, values)) if max(values) - min(values) > NOTHING else (values[OFFSETS_M.index(0.0)], ())
        return found

    @cached_property
    def _stripped_m2(self) -> tuple[float, float]:
        """Plan areas, m2, from which topsoil is stripped and old concrete broken out."""
        topsoil, slab = (
            math.fsum(polygon_area_m2(polygon) for solid in self.works.solids if solid.part == part for body in solid.bodies for polygon in body.polygons)
            for part in LIES_ON_THE_GROUND)
        return topsoil, slab

    def amounts(self, values: Mapping[str, Numbers]) -> dict[str, Numbers]:
        """Net quantities by key for values of what is uncertain; what is not given is likely.

        values: by key of `Uncertain`, m or no unit.  Returns m, m2, m3, t, kg or counts.
        """
        plot = self.site.scenario.plot
        deeper, higher = values.get("topsoil", 0.0), values.get("level", 0.0)
        # Where topsoil is deeper, what is left when it is stripped lies lower; under an old slab there is none.
        topsoil_m2, slab_m2 = self._stripped_m2
        offset = hinges(higher - deeper * (topsoil_m2 / (topsoil_m2 + slab_m2) if slab_m2 else 1.0), OFFSETS_M)
        amounts: dict[str, Numbers] = {key: bent(lowest, table_bends, offset) for key, (lowest, table_bends) in self._tables.items()}
        # Topsoil lies on the ground: however high that is, there is as much of it as it is deep.
        amounts["topsoil_strip_m3"] = topsoil_m2 * at_least(plot.topsoil_m + deeper, 0.0)
        bed = amounts["floor_m2"] * values.get("bed", 0.0)
        soft = self.site.plan.area_m2 * values.get("soft", 0.0)
        for key in ("concrete_m3", "slab_concrete_m3"):
            amounts[key] = amounts[key] + bed
        amounts["sub_base_m3"] = amounts["sub_base_m3"] - bed
        amounts["sub_base_t"] = amounts["sub_base_m3"] * STONE_COMPACTED_T_PER_M3.value * values.get("density", 1.0)
        amounts["soft_spot_m3"] = amounts["soft_spot_m3"] + soft
        amounts["spoil_loose_m3"] = (amounts["spoil_loose_m3"] + soft * loose_m3(plot.soil, 1.0)) * values.get("bulking", 1.0)
        return amounts

    def outcome_before_rounding(self, values: Mapping[str, Numbers]) -> Outcome:
        """The same as `outcome` without what rounding to units of sale adds."""
        scenario = self.site.scenario
        job = Job(self.amounts(values), self.works, scenario)
        density = values.get("density", 1.0)
        costs = line_costs(job, values, values.get("waste", 1.0), {trade: values.get(f"pace {trade}", 1.0) for trade in TRADE_RATE})
        cash, own, helper = 0.0, 0.0, 0.0
        for line in costs:
            # Stone is bought by the tonne and measured by the cube.
            cash = cash + (line.cash * density if line.rule.key == "stone" else line.cash)
            own, helper = own + line.own_hours, helper + line.helper_hours
        cash = cash * (1.0 + contingency_share(scenario))
        for credit in self.credits:
            rate = scenario.schedule.rates[credit.rate_key]
            # The highest of three prices is 0 only where all are.
            cash = cash + (credit.amount.high / rate.high * values.get(rate.key, rate.likely) if rate.high else 0.0)
        return Outcome(cash, own, helper, job["concrete_m3"], job.stone_t * density)

    def outcome(self, values: Mapping[str, Numbers]) -> Outcome:
        """What the scheme takes for values of what is uncertain; likely values give the bill's own figures.

        values: by key of `Uncertain`; rates as money per unit of sale.  What
        rounding to units of sale adds is kept as it is at likely values.
        """
        found = self.outcome_before_rounding(values)
        like_for_like = self.priced.cash.likely + math.fsum(credit.amount.likely for credit in self.credits)
        return replace(found, cash=found.cash + (like_for_like - self._likely.cash))


def what_is_uncertain(site: Site, results: Sequence) -> tuple[Uncertain, ...]:
    """Everything that is drawn for some schemes of one plot.

    site; results: the schemes that can be built.  Rates that none of them
    uses are left out.  Returns records that each name their own unit (m, money by unit of sale, none) and source.
    """
    scenario = site.scenario
    level = LEVEL_SURVEYED_M if scenario.plot.levels_m else LEVEL_TYPED_M
    thin, deep = (limit.value for limit in TOPSOIL_M)
    found = [
        Uncertain("topsoil", "Depth of the topsoil, more or less than taken", "amount", "m", ThreePoint(max(thin, -scenario.plot.topsoil_m), 0.0, deep), ASSUMED),
        Uncertain("level", "Height of the ground, above or below what was taken", "amount", "m", ThreePoint(-level.value, 0.0, level.value), ASSUMED),
        Uncertain("bed", "Level of the bed under the slab, lower than meant", "amount", "m", ThreePoint(BED_M[0].value, 0.0, BED_M[1].value), ASSUMED),
        Uncertain("waste", "Waste, times the allowances", "amount", "", ThreePoint(WASTE[0].value, 1.0, WASTE[1].value), ASSUMED),
        Uncertain("density", "Density of the compacted stone, times the usual", "amount", "", ThreePoint(STONE_DENSITY[0].value, 1.0, STONE_DENSITY[1].value), ASSUMED),
        Uncertain("bulking", "Bulking of the spoil, times the usual", "amount", "", ThreePoint(BULKING[0].value, 1.0, BULKING[1].value), ASSUMED),
        Uncertain("soft", "Soft ground found, as a depth over the whole footprint", "amount", "m", ThreePoint(0.0, 0.0, SOFT_M.value), ASSUMED),
    ]
    found += [Uncertain(f"pace {trade}", f"Hours for {TRADE_WORDS[trade]}, times those taken", "pace", "", ThreePoint(PACE[0].value, 1.0, PACE[1].value), ASSUMED) for trade in TRADE_RATE]
    used = {line.rate_key for result in results for line in result.priced.lines} | {credit.rate_key for result in results for credit in result.credits}
    for item in RATE_ITEMS:
        if item.key in used:
            rate = scenario.schedule.rates[item.key]
            found.append(Uncertain(
                item.key, item.label, "rate", f"{scenario.schedule.currency}/{rate.sale_unit}", ThreePoint(rate.low, rate.likely, rate.high), rate.rate_from))
    return tuple(found)


def draw_values(uncertain: Sequence[Uncertain], count: int, vector: Callable[[list[float]], Numbers]) -> dict[str, Numbers]:
    """The drawn values of everything uncertain, by key.

    count: how many draws; vector: makes an array of a list.  Returns the unit of
    each record (m, money by unit of sale, none).  Raises ValueError for a count out of range.
    Source: `shares` and `ThreePoint`.
    """
    return {thing.key: thing.points.at(vector(drawn)) for thing, drawn in zip(uncertain, shares([thing.key for thing in uncertain], count).values())}


def ranges_of(site: Site, results: Sequence, order: Sequence[str], count: int = BLOCK, vector: Callable[[list[float]], Numbers] | None = None) -> Ranges:
    """How surely: ranges of each scheme that can be built, and of the difference between the two cheapest.

    site; results: of the comparison; order: ids of what can be built, cheapest
    at likely values first.  count: how many draws, 1 to 100000; vector: makes an array of a list
    of draws, one that knows `tolist`; without it each draw is worked by itself, with the same figures.
    Returns money, hours, m3, t and shares from 0 to 1.
    Raises ValueError for a count out of range.
    Source: definition of the guide (ranges).
    """
    built = [next(result for result in results if result.id == scheme_id) for scheme_id in order]
    uncertain = what_is_uncertain(site, built)
    samplers = {result.id: Sampler(site, result.works, result.priced, result.credits) for result in built}
    if vector is None:
        drawn = {thing.key: [thing.points.at(share) for share in column] for thing, column in zip(uncertain, shares([thing.key for thing in uncertain], count).values())}
        each = [{key: column[i] for key, column in drawn.items()} for i in range(count)]
        outcomes = {scheme_id: [sampler.outcome(values) for values in each] for scheme_id, sampler in samplers.items()}
        columns = {scheme_id: {name: [getattr(outcome, name) for outcome in found] for name in OUTCOMES} for scheme_id, found in outcomes.items()}
    else:
        values, nothing = draw_values(uncertain, count, vector), vector([0.0] * count)
        columns = {}
        for scheme_id, sampler in samplers.items():
            outcome = sampler.outcome(values)
            # What no draw moves comes back as one number.
            columns[scheme_id] = {name: (getattr(outcome, name) + nothing).tolist() for name in OUTCOMES}
    difference = stays = None
    if len(order) > 1:
        gaps = sorted(b - a for a, b in zip(columns[order[0]]["cash"], columns[order[1]]["cash"]))
        difference, stays = _range(gaps), sum(gap > 0.0 for gap in gaps) / count
    wins = {name: _wins(columns, name, count) for name in ("cash", "own_hours", "concrete_m3")}
    return Ranges(
        draws=count, uncertain=uncertain,
        schemes=tuple(SchemeRanges(
            id=scheme_id, **{name: _range(sorted(columns[scheme_id][name])) for name in OUTCOMES}, cheapest=wins["cash"][scheme_id],
            least_own_hours=wins["own_hours"][scheme_id], least_concrete=wins["concrete_m3"][scheme_id]) for scheme_id in order),
        first=order[0] if order else None, second=order[1] if len(order) > 1 else None, second_dearer=difference, first_stays_cheaper=stays)


OUTCOMES = ("cash", "own_hours", "helper_hours", "concrete_m3", "stone_t")


def _range(rising: list[float]) -> Range:
    return Range(*(quantile(rising, share) for share in (TENTH, HALF, NINE_TENTHS)))


def _wins(columns: dict[str, dict[str, list[float]]], name: str, count: int) -> dict[str, float]:
    """The share of draws in which each scheme has least of something; the first of two alike has it."""
    ids = list(columns)
    won = dict.fromkeys(ids, 0)
    for row in zip(*(columns[scheme_id][name] for scheme_id in ids)):
        won[ids[row.index(min(row))]] += 1
    return {scheme_id: wins / count for scheme_id, wins in won.items()}
