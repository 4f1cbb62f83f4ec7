"""Changing your mind later: what later wishes cost under each scheme, and what would be regretted.

Priced with the same rates as the bill, at likely values, before rounding to
units of sale.  What later work needs is taken plainly: each future says what
it counts.  A reader may add futures of his own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from calculators import works as w
from calculators.materials import RUBBLE_BULKING
from calculators.pricing import (
    BLOCK_H_EACH,
    BREAK_OUT_H_PER_M3,
    FINISH_H_PER_M2,
    FOOTING_H_PER_M3,
    HAND_DIG_H_PER_M3,
    SETTING_OUT_H,
    SLAB_H_PER_M3,
    contingency_share,
    rate_named,
)
from calculators.scenario import OwnFuture, Scenario
from calculators.site import Site
from calculators.sources import common_practice

LONGER_M = common_practice(2.0, "m", "How much longer the building gets.")
PAD_M = common_practice(1.5, "m", "Side of the square under a heavy machine.")
PAD_THICKNESS_M = common_practice(0.300, "m", "Thickness of a machine's own foundation.")
PAD_CARRIED_SLAB_M = common_practice(0.150, "m", "A slab on stone this thick carries the machine as it is.")
WAIT_COVER_TIMES = common_practice(4.0, "", "Covers renewed over years of waiting, times the area.")
WAIT_CAP_H_PER_M = common_practice(0.25, "h/m", "Wall heads capped and straps greased, and looked after, for each metre.")
# Work on blocks that are taken off and laid again, times the laying.
TAKEN_OFF_AND_LAID = 2.0
RAFT = "thickened-raft"
NOTHING = 1e-9


@dataclass(frozen=True)
class Future:
    """One later wish: its key and name, what it is taken to mean, and what it costs under each scheme that can be built, money.

    `likelihood` is the reader's own, 0 to 1, or None.  `own` says that the reader added it.
    """

    key: str
    name: str
    words: str
    costs: dict[str, float]
    likelihood: float | None = None
    own: bool = False


@dataclass(frozen=True)
class Regret:
    """The regret table: money by which each scheme costs more than the best choice would have, if a future comes true.

    `now` is the future in which nothing changes.  `by_future` has regrets by
    future and scheme, money; `greatest` the greatest of each scheme; `smallest`
    the scheme whose greatest regret is least.
    """

    by_future: dict[str, dict[str, float]]
    greatest: dict[str, float]
    smallest: str | None


@dataclass(frozen=True)
class Matters:
    """How likely a future must be before it changes the choice: the chance, 0 to 1, or None where it never does; and the scheme to which it turns."""

    future: str
    chance: float | None
    to: str | None


@dataclass(frozen=True)
class Later:
    """Futures, regrets, and how likely each must be before it matters."""

    futures: tuple[Future, ...]
    regret: Regret
    matters: tuple[Matters, ...]


NOW = "nothing changes"


def later_of(site: Site, results: Sequence, cost_of: Callable[[Scenario], dict[str, float]], own: Sequence[OwnFuture] = ()) -> Later:
    """What later wishes cost under each scheme that can be built, and what would be regretted.

    site; results: those schemes, of the comparison; cost_of: the like-for-like
    cost before rounding of each scheme in a scenario; own: the reader's futures.
    Returns money in the schedule's currency.  Raises MissingRate.
    Source: definition of the guide (later wishes).
    """
    if not results:
        return Later((), Regret({}, {}, None), ())
    futures = tuple(
        Future(key, name, words, {result.id: cost(site, result) for result in results}) for key, name, words, cost in PRICED)
    longer = _longer(site, results, cost_of)
    futures += (longer,) if longer else ()
    futures += tuple(Future(f"own {i}", each.name, "As you priced it.", {result.id: each.costs.get(result.id, 0.0) for result in results}, each.likelihood, True)
                     for i, each in enumerate(own, start=1))
    today = {result.id: result.like_for_like.likely for result in results}
    return Later(futures, regret_of(today, {future.key: future.costs for future in futures}), tuple(_matters(today, future) for future in futures))


def regret_of(today: Mapping[str, float], costs: Mapping[str, Mapping[str, float]]) -> Regret:
    """The regret table of some choices under some futures.

    today: cost of each choice, money; costs: what each future adds, by choice.
    Returns money.  Raises ValueError for no choice.
    Source: Savage (1951), minimax regret, from memory.

    >>> found = regret_of({"a": 100.0, "b": 130.0}, {"wish": {"a": 80.0, "b": 10.0}})
    >>> found.by_future, found.smallest
    ({'nothing changes': {'a': 0.0, 'b': 30.0}, 'wish': {'a': 40.0, 'b': 0.0}}, 'b')
    """
    if not today:
        raise ValueError("regret needs one choice or more")
    totals = [[today[choice], *(today[choice] + added[choice] for added in costs.values())] for choice in today]
    by_future = zip(*_regrets(totals))
    table = {future: dict(zip(today, row)) for future, row in zip((NOW, *costs), by_future)}
    greatest = dict(zip(today, greatest_regrets(totals)))
    return Regret(table, greatest, min(greatest, key=lambda choice: (round(greatest[choice], 6), list(today).index(choice))))


def greatest_regrets(costs: Sequence[Sequence[float]]) -> tuple[float, ...]:
    """The greatest regret of each choice.

    costs: for each choice its cost in each future, money, all in the same
    order of futures; what is earned is less than 0.  Returns money, one for each choice.
    Source: Savage (1951), minimax regret, from memory.

    >>> greatest_regrets([[100.0, 180.0], [130.0, 140.0]])
    (40.0, 30.0)
    """
    return tuple(max(row) for row in _regrets(costs))


def _regrets(costs: Sequence[Sequence[float]]) -> list[list[float]]:
    """By choice and future: what it costs more than the choice that is best in that future."""
    best = [min(column) for column in zip(*costs)]
    return [[cost - least for cost, least in zip(row, best)] for row in costs]


def chance_that_matters(cheaper_now: float, dearer_later: float) -> float | None:
    """How likely a future must be before a scheme that is cheaper now is no longer so on average.

    cheaper_now: money by which it is cheaper, 0 or more; dearer_later: money
    by which the future costs more under it.  Returns a chance, 0 to 1, or None where even certainty does not.
    Source: expected cost, cheaper_now = chance x dearer_later.

    >>> chance_that_matters(300.0, 1200.0), chance_that_matters(300.0, 200.0)
    (0.25, None)
    """
    if dearer_later <= NOTHING or cheaper_now > dearer_later:
        return None
    return max(0.0, cheaper_now) / dearer_later


def _matters(today: Mapping[str, float], future: Future) -> Matters:
    first = min(today, key=lambda scheme: today[scheme])
    found = [(chance, scheme) for scheme in today if scheme != first
             and (chance := chance_that_matters(today[scheme] - today[first], future.costs[first] - future.costs[scheme])) is not None]
    chance, to = min(found, default=(None, None))
    return Matters(future.key, chance, to)


# What each costs.


def _rate(site: Site, key: str) -> float:
    """Likely money for one SI unit."""
    rate = rate_named(site.scenario, key)
    return rate.likely / rate.sale_unit_in_si


def _labour(site: Site, hours: float) -> float:
    return hours * _rate(site, "labourer_hour")


def _with_contingency(site: Site, cash: float) -> float:
    return cash * (1.0 + contingency_share(site.scenario))


def _broken_out(site: Site, volume_m3: float) -> float:
    """Breaking out concrete and carting it, money."""
    return _labour(site, volume_m3 * BREAK_OUT_H_PER_M3.value) + volume_m3 * RUBBLE_BULKING.value * _rate(site, "rubble_away")


def _wall_moved(site: Site, result) -> float:
    """One of the shorter walls is moved before the frame goes up."""
    length, works, amounts = site.plan.size_m()[1], result.works, result.quantities
    share = length / site.plan.perimeter_m
    bought = sum(line.net * _rate(site, line.rate_key) for line in result.priced.lines if line.key == "blocks")
    blocks, lay = bought * share, amounts["blocks"] * share * BLOCK_H_EACH.value
    if result.id == RAFT:
        # The course is taken off and laid again elsewhere on the slab.
        return _with_contingency(site, blocks + _labour(site, TAKEN_OFF_AND_LAID * lay))
    # A new footing with its wall, and the floor made good over the strip that is let in.
    concrete_m3 = amounts["footing_concrete_m3"] * share
    cut_m3 = length * works.sizes["footing_width_m"] * works.slab_thickness_m
    hours = amounts["trench_dig_m3"] * share * HAND_DIG_H_PER_M3.value + concrete_m3 * FOOTING_H_PER_M3.value + TAKEN_OFF_AND_LAID * lay + cut_m3 * SLAB_H_PER_M3.value
    return _with_contingency(site, (concrete_m3 + cut_m3) * _rate(site, "ready_mixed_concrete") + blocks + _labour(site, hours) + _broken_out(site, cut_m3))


def _warm_later(site: Site, result) -> float:
    """A warm floor is wanted where there is none."""
    if result.quantities["insulation_m3"] > 0.0 or site.scenario.building.heated:
        return 0.0
    return result.quantities["floor_m2"] * _rate(site, "floating_floor")


def _machine(site: Site, result) -> float:
    """A heavy machine wants a foundation of its own where the slab does not carry it."""
    thickness, insulated = result.works.slab_thickness_m, result.quantities["insulation_m3"] > 0.0
    if thickness >= PAD_CARRIED_SLAB_M.value - NOTHING and not insulated:
        return 0.0
    area = PAD_M.value**2
    pad = area * PAD_THICKNESS_M.value
    dug = area * max(0.0, PAD_THICKNESS_M.value - thickness)
    return _with_contingency(
        site, _broken_out(site, area * thickness) + pad * _rate(site, "ready_mixed_concrete") + _labour(site, dug * HAND_DIG_H_PER_M3.value + pad * SLAB_H_PER_M3.value + area * FINISH_H_PER_M2.value))


def _years(site: Site, result) -> float:
    """It stands for years before anything is built on it."""
    cover = result.quantities["sheet_m2"] * WAIT_COVER_TIMES.value * _rate(site, "curing_sheet")
    heads = result.quantities["dpc_m"] if result.works.sole_plate_m > result.works.floor_level_m else 0.0
    # What has a wall of several courses open to frost on both sides has its head capped; a slab edge needs none.
    hours = heads * WAIT_CAP_H_PER_M.value * (1.0 if result.id == RAFT else 2.0)
    return _with_contingency(site, cover + _labour(site, hours))


def _taken_up(site: Site, result) -> float:
    """All of it is broken out and carted away again."""
    return _with_contingency(site, _broken_out(site, result.quantities["concrete_m3"] + result.works.volume_m3(w.BLOCKWORK)))


PRICED: tuple[tuple[str, str, str, Callable[[Site, object], float]], ...] = (
    ("wall moved", "A wall is moved", "One of the shorter walls stands elsewhere, decided after the floor is poured and before the frame goes up.", _wall_moved),
    ("warm floor", "A warm floor is wanted", "A floating floor of boards on insulation, which raises the floor and takes headroom and door height with it. Nothing for a floor that has insulation, or whose warm floor is counted like for like already.", _warm_later),
    ("machine", "A heavy machine comes", "A foundation of its own, 1.5 m square and 300 mm thick, let into the floor; nothing for a bare slab of 150 mm or more.", _machine),
    ("waiting", "Years go by before you build", "Covers renewed, wall heads and straps looked after.", _years),
    ("taken up", "It has to go again", "Concrete and blocks broken out and carted away.", _taken_up),
)


def _longer(site: Site, results: Sequence, cost_of: Callable[[Scenario], dict[str, float]]) -> Future | None:
    """The building gets longer: what the longer one would have cost more, and coming back to build it."""
    corners = site.scenario.plot.corners_m
    if len(corners) != 4 or site.scenario.plot.levels_m or site.scenario.plot.triangles:
        return None
    east, north = (max(p[i] for p in corners) for i in (0, 1))
    along_east = east >= north
    grown = tuple((x + LONGER_M.value if along_east and x > east / 2.0 else x, y + LONGER_M.value if not along_east and y > north / 2.0 else y) for x, y in corners)
    scenario = site.scenario
    building = replace(scenario.building, door_positions_m=(), internal_walls_m=())
    base = cost_of(replace(scenario, building=building))
    longer = cost_of(replace(scenario, building=building, plot=replace(scenario.plot, corners_m=grown)))
    again = sum(_rate(site, key) for key in ("setting_out_sundries", "inspection_fee", "plant_delivery")) + _labour(site, SETTING_OUT_H.value)
    costs = {}
    for result in results:
        if result.id not in base or result.id not in longer:
            return None
        costs[result.id] = longer[result.id] - base[result.id] + again
    return Future("longer", "The building gets longer", "Two metres are added to its longer side: what they would have cost at once, and setting out, fees and plant a second time. A joint stays where the old part ends.", costs)
