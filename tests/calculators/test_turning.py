"""What would turn the order: against SciPy's roots, closed forms, and both schemes priced afresh on either side."""

import dataclasses
import functools
import math
from pathlib import Path

import pytest

from calculators.compare import compare, cost_before_rounding, credits_to_one_line
from calculators.draws import ThreePoint
from calculators.pricing import before_rounding
from calculators.ranges import Sampler, Uncertain, what_is_uncertain
from calculators.turning import (
    HOUR_WORTH,
    REACH,
    SLOPE,
    difference,
    drivers_of,
    hour_worth_switch,
    slope_switch,
    switch_of,
    turns,
)
from generator.scenario import read_scenario_file

optimize = pytest.importorskip("scipy.optimize")

SCENARIOS = sorted(path for path in (Path(__file__).parents[2] / "docs/scenarios").glob("*.md") if path.stem != "index")
RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"


@functools.cache
def worked(path):
    """The comparison of a worked scenario, certainty in it."""
    return compare(read_scenario_file(path).scenario, draws=50)


class Pair:
    """The two cheapest schemes of a plot, their samplers and what is uncertain; `first` the cheaper before rounding."""

    def __init__(self, result):
        self.result, self.scenario = result, result.scenario
        built = [result.scheme(scheme_id) for scheme_id in result.decision.order[:2]]
        costs = {scheme.id: scheme.priced.cash_before_rounding + sum(credit.amount.likely for credit in scheme.credits) for scheme in built}
        self.schemes = sorted(built, key=lambda scheme: costs[scheme.id])
        self.first, self.second = (Sampler(result.site, scheme.works, scheme.priced, scheme.credits) for scheme in self.schemes)
        self.uncertain = what_is_uncertain(result.site, built)

    def gap(self, key, value):
        return difference(self.first, self.second, {key: value})

    def gap_at_price(self, key, value):
        """The same from the bill itself: a schedule with another price, the works as they are."""
        rates = self.scenario.schedule.rates
        schedule = dataclasses.replace(self.scenario.schedule, rates=rates | {key: dataclasses.replace(rates[key], likely=value)})
        scenario = dataclasses.replace(self.scenario, schedule=schedule)
        site = dataclasses.replace(self.result.site, scenario=scenario)
        first, second = (
            math.fsum(stage.cash for stage in before_rounding(scheme.works, scheme.quantities, scenario).values())
            + math.fsum(credit.amount.likely for credit in credits_to_one_line(site, scheme.works, scheme.quantities)) for scheme in self.schemes)
        return second - first


# Plots where the two cheapest lie close.
@pytest.fixture(scope="module", params=("cabin-in-deep-frost", "garage-on-a-twisted-corner", "print-studio-below-the-orchard"))
def pair(request):
    (path,) = (path for path in SCENARIOS if path.stem == request.param)
    return Pair(worked(path))


# Solved values


def test_switching_values_against_scipy(pair):
    """Source: SciPy, scipy.optimize.brentq between the likely value and the end of the reach."""
    solved = 0
    for thing in pair.uncertain:
        if thing.kind == "pace":
            continue
        found, likely = switch_of(thing, pair.first, pair.second), thing.points.likely
        roots = []
        for end in found.reach:
            # Prices and factors go straight, so ends of one sign have no root between them; depths are walked.
            places = [likely + (end - likely) * i / 40 for i in range(41)]
            for one, two in zip(places, places[1:]):
                if pair.gap(thing.key, one) * pair.gap(thing.key, two) < 0.0:
                    roots.append(optimize.brentq(lambda value, key=thing.key: pair.gap(key, value), one, two, xtol=1e-14, rtol=1e-14))
                    break
        if found.value is None:
            assert roots == [], thing.key
            continue
        solved += 1
        nearest = min(roots, key=lambda root: abs(root - likely))
        assert found.value == pytest.approx(nearest, rel=1e-9, abs=1e-12)
        assert found.above == (nearest > likely)
    assert solved >= 1


def test_a_price_turns_where_its_straight_line_says(pair):
    """Cost goes straight with a price: turn = likely - gap / slope.  Source: definition."""
    for thing in pair.uncertain:
        if thing.kind == "rate" and thing.points.likely > 0.0:
            likely = thing.points.likely
            gap = pair.gap_at_price(thing.key, likely)
            slope = (pair.gap_at_price(thing.key, 2.0 * likely) - gap) / likely
            turn = likely - gap / slope if abs(slope) > 1e-9 else math.inf
            found = switch_of(thing, pair.first, pair.second)
            assert found.reach == (likely / 2.0, likely * 2.0)
            if likely / 2.0 < turn < likely * 2.0:
                assert found.value == pytest.approx(turn, rel=1e-9)
            else:
                assert found.value is None


def test_depths_are_looked_at_on_the_way(pair):
    """Topsoil cannot be thinner than none; what bends is not judged by the ends of its reach alone."""
    (topsoil,) = (thing for thing in pair.uncertain if thing.key == "topsoil")
    found = switch_of(topsoil, pair.first, pair.second)
    assert found.reach == (-pair.scenario.plot.topsoil_m, REACH["topsoil"][1])


class Made:
    """A made-up scheme whose cost follows one thing by a rule."""

    def __init__(self, cost):
        self.cost = cost

    def outcome_before_rounding(self, values):
        class Found:
            cash = self.cost(values.get("level", 0.0))
        return Found


def test_a_dip_between_the_ends_is_found():
    """The second is cheaper only from 0.1 to 0.2 m: the ends of the reach say nothing of it."""
    level = Uncertain("level", "Level", "amount", "m", ThreePoint(-0.05, 0.0, 0.05), "assumed")
    found = switch_of(level, Made(lambda x: 1000.0), Made(lambda x: 1000.0 + 5000.0 * (x - 0.1) * (x - 0.2) + 1e-9))
    assert found.value == pytest.approx(0.1, abs=1e-6) and found.above
    assert switch_of(level, Made(lambda x: 1000.0), Made(lambda x: 1100.0 + x)).value is None
    # Where the second is the cheaper already there is nothing to turn.
    assert switch_of(level, Made(lambda x: 1000.0), Made(lambda x: 900.0 + x)).value is None


def test_those_that_turn_come_first_and_the_nearest_of_them(pair):
    switches = turns(pair.uncertain, pair.first, pair.second)
    assert {switch.key for switch in switches} == {thing.key for thing in pair.uncertain if thing.kind != "pace"}
    turned = [switch.value is not None for switch in switches]
    assert turned == sorted(turned, reverse=True)
    by_key = {thing.key: thing.points for thing in pair.uncertain}

    def spreads(switch):
        points = by_key[switch.key]
        return (switch.value - points.likely) / ((points.high if switch.value > points.likely else points.low) - points.likely or 1e-300)

    away = [spreads(switch) for switch in switches if switch.value is not None]
    assert all(one <= two + 1e-9 for one, two in zip(away, away[1:])) and min(away, default=1.0) > 0.0


# What drives it


def test_drivers_against_the_bill_itself(pair):
    """A price at its P10 and its P90, both schemes priced afresh.  Source: inverse of the triangular distribution."""
    drivers = drivers_of(pair.first, pair.second, pair.uncertain)
    swings = [abs(driver.swing) for driver in drivers]
    assert swings == sorted(swings, reverse=True) and swings[-1] > 0.0
    assert not any(driver.thing.kind == "pace" for driver in drivers)
    for driver in drivers:
        assert driver.thing.points.low <= driver.low < driver.high <= driver.thing.points.high
        if driver.thing.kind == "rate":
            assert driver.difference_at_low == pytest.approx(pair.gap_at_price(driver.thing.key, driver.low), abs=1e-6)
            assert driver.difference_at_high == pytest.approx(pair.gap_at_price(driver.thing.key, driver.high), abs=1e-6)
    left_out = {thing.key for thing in pair.uncertain} - {driver.thing.key for driver in drivers}
    for thing in pair.uncertain:
        if thing.key in left_out:
            assert pair.gap(thing.key, thing.points.low) == pytest.approx(pair.gap(thing.key, thing.points.high), abs=1e-6)


# Hours


@pytest.mark.parametrize("gap, hours, value", [(300.0, -20.0, 15.0), (300.0, 20.0, None), (300.0, 0.0, None), (0.0, -20.0, None), (-5.0, -20.0, None)])
def test_worth_of_an_hour_by_hand(gap, hours, value):
    assert hour_worth_switch(gap, hours, 12.0, "GBP/hour").value == value


# Every worked scenario


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_the_order_differs_on_either_side_of_every_switching_value(path):
    """Level and layout fixed, cost before rounding: at the value x 0.999 the one scheme is cheaper, at x 1.001 the other.

    For the slope both are laid out anew, at the value less and more one in a hundred.
    """
    result = worked(path)
    scenario, certainty = result.scenario, result.certainty
    if len(result.decision.order) < 2:
        assert certainty.switches == () and certainty.drivers == ()
        return
    pair = Pair(result)
    if certainty.rounding_decides:
        assert pair.schemes[0].id == result.decision.order[1] and certainty.switches == ()
        return
    assert [scheme.id for scheme in pair.schemes] == list(result.decision.order[:2])
    kinds = {thing.key: thing.kind for thing in certainty.ranges.uncertain}
    both = {scheme.id: scenario.schemes[scheme.id] for scheme in pair.schemes}
    first, second = (scheme.id for scheme in pair.schemes)

    def gap_at_slope(gradient):
        costs = cost_before_rounding(dataclasses.replace(
            scenario, schemes=both, plot=dataclasses.replace(scenario.plot, gradient=gradient, falls_to_deg=scenario.plot.falls_to_deg or 180.0)))
        # What cannot be built is dearer than anything.
        return costs.get(second, math.inf) - costs.get(first, math.inf)

    def gap_with_hours(worth):
        return pair.gap("", 0.0) + worth * (pair.schemes[1].priced.own_hours - pair.schemes[0].priced.own_hours)

    for switch in certainty.switches:
        if switch.value is None:
            if kinds.get(switch.key) == "rate":
                assert min(pair.gap_at_price(switch.key, price) for price in switch.reach) > 0.0
            continue
        assert switch.reach[0] <= switch.value <= switch.reach[1]
        near = 0.01 if switch.key == SLOPE else 0.001
        gap = {SLOPE: gap_at_slope, HOUR_WORTH: gap_with_hours}.get(
            switch.key, (lambda price, key=switch.key: pair.gap_at_price(key, price)) if kinds.get(switch.key) == "rate" else (lambda value, key=switch.key: pair.gap(key, value)))
        # An hour of the reader's may be worth more than the value already; the order by cash is that at 0.
        taken = 0.0 if switch.key == HOUR_WORTH else switch.likely
        nearer, further = sorted((switch.value * (1.0 - near), switch.value * (1.0 + near)), key=lambda value: abs(value - taken))
        assert (further > nearer) == switch.above
        assert gap(nearer) > 0.0 > gap(further), switch


def test_the_worked_scenarios_show_turns_of_every_kind():
    """Prices, depths, hours and slopes: none of the checks above is empty."""
    kinds = set()
    for path in SCENARIOS:
        result = worked(path)
        by_key = {thing.key: thing.kind for thing in result.certainty.ranges.uncertain}
        kinds |= {by_key.get(switch.key, switch.key) for switch in result.certainty.switches if switch.value is not None}
    assert {"rate", "amount", HOUR_WORTH, SLOPE} <= kinds


# The slope, on costs whose turn is known


def found_on(make_scenario, costs, gradient=0.05):
    scenario = make_scenario(gradient=gradient)
    return slope_switch(scenario, RAFT, STRIP, lambda changed: costs(changed.plot.gradient))


def test_slopes_solved_against_scipy(make_scenario):
    """Source: SciPy, scipy.optimize.brentq, of a made-up cost that bends; to one in a hundred as promised."""
    def gap(gradient):
        return 400.0 - 30_000.0 * gradient**1.7

    root = optimize.brentq(gap, 0.0, 0.2)
    found = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1000.0 + gap(gradient)})
    assert found.value == pytest.approx(root, rel=0.01) and found.above


def test_the_nearer_of_two_slopes_is_taken(make_scenario):
    both = lambda gradient: {RAFT: 1000.0, STRIP: 1000.0 + 100.0 * (0.03 <= gradient <= 0.15) - 50.0}  # noqa: E731
    found = found_on(make_scenario, both)
    assert found.value == pytest.approx(0.03, rel=0.01) and not found.above
    found = found_on(make_scenario, both, gradient=0.14)
    assert found.value == pytest.approx(0.15, rel=0.01) and found.above


def test_what_cannot_be_built_turns_the_order_only_to_what_can(make_scenario):
    first_ends = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1500.0} if gradient <= 0.1 else {STRIP: 1500.0})
    assert first_ends.value == pytest.approx(0.1, rel=0.01) and first_ends.above
    both_end = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1500.0} if gradient <= 0.17 else {})
    assert both_end.value is None
    first_ends_before_second = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1500.0} if gradient <= 0.06 else {STRIP: 1500.0} if gradient <= 0.07 else {})
    assert first_ends_before_second.value == pytest.approx(0.06, rel=0.01) and first_ends_before_second.above
    second_ends = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1500.0} if gradient <= 0.1 else {RAFT: 2000.0})
    assert second_ends.value is None


def test_a_turn_next_to_level_ground_ends_the_search(make_scenario):
    """Halving towards 0 would go on for ever by shares."""
    found = found_on(make_scenario, lambda gradient: {RAFT: 1000.0, STRIP: 1500.0 if gradient > 1e-7 else 900.0})
    assert 0.0 <= found.value < 1e-3 and not found.above


def test_surveyed_ground_has_no_slope_to_turn(make_scenario):
    scenario = make_scenario(corner_levels_m=(10.0, 9.72, 10.12, 10.16))
    assert slope_switch(scenario, RAFT, STRIP, cost_before_rounding) is None


def test_level_ground_turns_upward_only(make_scenario):
    asked = []

    def costs(gradient):
        asked.append(gradient)
        return {RAFT: 1000.0, STRIP: 1200.0 - 2_000.0 * gradient}

    found = found_on(make_scenario, costs, gradient=0.0)
    assert found.value == pytest.approx(0.1, rel=0.01) and min(asked) > 0.0
