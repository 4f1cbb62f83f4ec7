"""The level that costs least, against every level of the grid tried one by one."""

import dataclasses
import itertools

import pytest

from calculators.best_level import GRID_M, NUDGE_M, LevelPoint, search
from calculators.compare import _cheapest, compare, hour_worth_of
from calculators.schemes import SCHEME_BY_ID
from calculators.schemes.common import LevelChoice
from calculators.site import site_of

# One in a thousand: what a level elsewhere on the grid may be cheaper by.
PROMISE = 1.001

PLOTS = {
    "flat": dict(),
    "gentle": dict(gradient=1 / 14),
    "askew": dict(gradient=0.09, falls_to_deg=200.0),
    "twisted": dict(corner_levels_m=(10.0, 9.72, 10.12, 10.16)),
    "own hours worth nothing": dict(gradient=0.06),
    "clay": dict(gradient=0.05, plot=dict(soil="firm clay", shrinkage="low"), strip=dict(accept_clay_movement=True), insulated=dict(accept_clay_movement=True)),
}


def every_level(scenario, scheme_id):
    """Cost at each allowed level of the grid up to a metre above the lowest: {level m: money}."""
    site, scheme = site_of(scenario), SCHEME_BY_ID[scheme_id]
    lowest = scheme.lowest_level(site).level_m
    found = {}
    for step in range(round(1.0 / GRID_M) + 1):
        works, by_stage = _cheapest(site, scheme, LevelChoice(lowest + step * GRID_M, ""), hour_worth_of(scenario))
        if works.outside:
            if found:
                break
            continue
        found[lowest + step * GRID_M] = sum(by_stage.values())
    return found


@pytest.mark.parametrize("name", PLOTS)
def test_no_level_of_the_grid_is_cheaper_by_one_in_a_thousand(make_scenario, name):
    scenario = dataclasses.replace(make_scenario(**PLOTS[name]), **(dict(hour_worth=0.0) if "nothing" in name else {}))
    for result in compare(scenario).schemes:
        if not result.buildable:
            continue
        costs = every_level(scenario, result.id)
        best = result.levels.best
        assert best.allowed and not result.works.outside
        assert best.cost <= min(costs.values()) * PROMISE, result.id
        assert best.cost == pytest.approx(next(cost for level, cost in costs.items() if abs(level - best.level_m) < 1e-9))
        assert result.works.floor_level_m == pytest.approx(best.level_m)
        low, high = result.levels.as_good_m
        assert low - 1e-9 <= best.level_m <= high + 1e-9
        up = next((cost for level, cost in costs.items() if abs(level - best.level_m - NUDGE_M) < 1e-9), None)
        assert result.levels.nudge_up == (None if up is None else pytest.approx(up - best.cost, abs=1e-6))


def test_a_level_fixed_by_the_reader_is_kept(make_scenario):
    result = compare(make_scenario(gradient=0.05, raft=dict(floor_level_m=0.2))).scheme("thickened-raft")
    assert (result.works.floor_level_m, result.levels) == (0.2, None)


def test_dear_carting_never_lowers_the_floor_and_dear_stone_never_raises_it(make_scenario):
    """With the footing level and its steps out of the way: on the flat, where nothing steps."""
    base = make_scenario()

    def level(key, factor):
        rate = base.schedule.rates[key]
        dearer = dataclasses.replace(rate, low=rate.low * factor, likely=rate.likely * factor, high=rate.high * factor)
        schedule = dataclasses.replace(base.schedule, rates=base.schedule.rates | {key: dearer})
        return [result.works.floor_level_m for result in compare(dataclasses.replace(base, schedule=schedule)).schemes]

    for here, dearer in itertools.pairwise([level("spoil_away", factor) for factor in (0.5, 1.0, 3.0)]):
        assert all(two >= one - 1e-9 for one, two in zip(here, dearer))
    for here, dearer in itertools.pairwise([level("sub_base_stone", factor) for factor in (0.5, 1.0, 3.0)]):
        assert all(two <= one + 1e-9 for one, two in zip(here, dearer))


def points(costs, broken=()):
    """A made-up plot: a cost for each step of the grid from level 0, and the steps that break a rule."""
    def at(level_m):
        step = round(level_m / GRID_M)
        return LevelPoint(level_m, costs(step), {"Dig": costs(step)}, {"Fill under the slab": 1.0 + step / 100} if step in broken else {})
    return at


def test_search_on_curves_whose_least_is_known():
    assert search(0.0, points(lambda step: 1000.0 + (step - 23) ** 2)).best.level_m == pytest.approx(23 * GRID_M)
    assert search(0.0, points(lambda step: 1000.0 + 5 * step)).at_lowest
    capped = search(0.0, points(lambda step: 1000.0 - step, broken=range(17, 400)))
    assert capped.best.level_m == pytest.approx(16 * GRID_M) and capped.nudge_up is None


def test_where_every_level_breaks_a_rule_the_lowest_is_shown_as_broken():
    found = search(0.0, points(lambda step: 1000.0, broken=range(0, 400)))
    assert not found.best.allowed and found.best.level_m == 0.0
