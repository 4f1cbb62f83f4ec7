"""Ranges: against exact sums, against plots whose ground really is other, with arrays and without."""

import dataclasses
import math
import random
import sys
from pathlib import Path

import pytest

from calculators.compare import compare
from calculators.draws import ThreePoint, quantile, shares
from calculators.pricing import contingency_share
from calculators.quantities import take_off
from calculators.ranges import OUTCOMES, Sampler, draw_values, on_other_ground, ranges_of, what_is_uncertain

sys.path.insert(0, str(Path(__file__).resolve().parent))
from test_schemes import a_random_plot  # noqa: E402

numpy = pytest.importorskip("numpy")

RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"
# Unheated and heated, so that walls saved and floating floors are both in it.
PLOTS = {
    "sand": dict(gradient=1 / 14),
    "clay": dict(gradient=0.05, plot=dict(soil="firm clay"), raft=dict(accept_clay_movement=True), strip=dict(accept_clay_movement=True),
                 insulated=dict(accept_clay_movement=True), building=dict(heated=True, door_threshold="channel drain")),
    "twisted": dict(corner_levels_m=(10.0, 9.72, 10.12, 10.16), plot=dict(spoil_spread_m3=3.0)),
}


def samplers(result):
    return {scheme.id: Sampler(result.site, scheme.works, scheme.priced, scheme.credits) for scheme in result.schemes if scheme.buildable}


def figures(outcome):
    return [getattr(outcome, name) for name in OUTCOMES]


@pytest.fixture(scope="module", params=PLOTS)
def plot(request, make_scenario):
    return compare(make_scenario(**PLOTS[request.param]))


# At likely values


def test_likely_values_give_the_bills_own_figures(plot):
    found = samplers(plot)
    assert found
    for scheme_id, sampler in found.items():
        scheme = plot.scheme(scheme_id)
        outcome = sampler.outcome({})
        assert outcome.cash == pytest.approx(scheme.like_for_like.likely, rel=1e-12)
        assert outcome.own_hours == pytest.approx(scheme.priced.own_hours, rel=1e-9)
        assert outcome.helper_hours == pytest.approx(scheme.priced.helper_hours, rel=1e-9)
        assert outcome.concrete_m3 == pytest.approx(scheme.quantities["concrete_m3"], rel=1e-12)
        assert sampler.outcome_before_rounding({}).cash == pytest.approx(
            scheme.priced.cash_before_rounding + sum(credit.amount.likely for credit in scheme.credits), rel=1e-9)
        amounts = sampler.amounts({})
        assert amounts.keys() == scheme.quantities.keys()
        for key, value in scheme.quantities.items():
            assert amounts[key] == pytest.approx(value, rel=1e-9, abs=1e-9), key
        # Every thing at its likely value, said aloud, is the same.
        uncertain = what_is_uncertain(plot.site, [plot.scheme(scheme_id)])
        assert figures(sampler.outcome({thing.key: thing.points.likely for thing in uncertain})) == pytest.approx(figures(outcome), rel=1e-12)


# Sums of independent costs


def test_with_prices_alone_uncertain_cash_is_a_sum_of_independent_costs(plot, capsys):
    """Mean and variance over 10 000 draws against sum of amount x mean price, and of amount squared x variance.

    Source: mean and variance of a sum of independent quantities; closed forms of the triangular distribution.
    """
    for scheme_id, sampler in samplers(plot).items():
        scheme, scenario = plot.scheme(scheme_id), plot.scenario
        prices = [thing for thing in what_is_uncertain(plot.site, [scheme]) if thing.kind == "rate"]
        bought = dict.fromkeys((thing.key for thing in prices), 0.0)
        whole = {"membrane": 4.0 * 25.0, "fabric": 4.8 * 2.4}
        for line in scheme.priced.lines:
            if line.rate_key and line.key != "part load":
                # Whole rolls and sheets are counted by what they cover; the rest by net amount with its allowance.
                net = scheme.quantities[f"{line.key}_m2"] / whole[line.key] if line.key in whole else line.net
                bought[line.rate_key] += net * (1.0 + line.allowance_percent / 100.0) * (1.0 + contingency_share(scenario))
        for credit in scheme.credits:
            bought[credit.rate_key] += credit.amount.likely / scenario.schedule.rates[credit.rate_key].likely
        mean = sum(bought[thing.key] * thing.points.mean for thing in prices)
        variance = sum(bought[thing.key] ** 2 * thing.points.variance for thing in prices)
        cash = sampler.outcome_before_rounding(draw_values(prices, 10_000, numpy.array)).cash
        assert float(cash.mean()) == pytest.approx(mean, rel=2e-4)
        # Latin hypercubes of 250 leave the variance of a sum with a sampling error of some 2 %.
        assert float(cash.var()) == pytest.approx(variance, rel=0.06)
        with capsys.disabled():
            print(f"\n{scheme_id}: mean {cash.mean():.2f} against {mean:.2f}, variance {cash.var():.1f} against {variance:.1f}")


def test_one_uncertain_price_has_the_quantiles_of_its_three_points(make_scenario):
    """Cash is amount x price, so its P10 and P90 are those of the price.  Source: inverse of the triangular distribution."""
    scenario = make_scenario(schemes=(STRIP,), building=dict(walls="block"))
    result = compare(scenario)
    (scheme,) = result.schemes
    sampler = samplers(result)[STRIP]
    (thing,) = (thing for thing in what_is_uncertain(result.site, [scheme]) if thing.key == "render")
    drawn = [sampler.outcome({"render": thing.points.at(share)}).cash for share in shares(["render"], 2_500)["render"]]
    (line,) = (line for line in scheme.priced.lines if line.key == "render")
    for share in (0.1, 0.5, 0.9):
        away = line.net * 1.10 * 1.10 * (thing.points.at(share) - thing.points.likely)
        assert quantile(sorted(drawn), share) - scheme.like_for_like.likely == pytest.approx(away, abs=0.01 * line.cash)


def test_what_each_uncertain_thing_does_by_hand(make_scenario):
    """On the flat, raft 6.6 x 4.2 m: what changes, from the definitions."""
    result = compare(make_scenario(raft=dict(floor_level_m=0.05, low_side="batter")))
    scheme, area = result.scheme(RAFT), 6.6 * 4.2
    sampler = samplers(result)[RAFT]
    q = scheme.quantities
    low_bed = sampler.amounts({"bed": 0.010})
    assert low_bed["concrete_m3"] - q["concrete_m3"] == pytest.approx(area * 0.010)
    assert low_bed["sub_base_m3"] - q["sub_base_m3"] == pytest.approx(-area * 0.010)
    assert low_bed["sub_base_t"] == pytest.approx(2.1 * low_bed["sub_base_m3"])
    soft = sampler.amounts({"soft": 0.020})
    assert soft["soft_spot_m3"] - q["soft_spot_m3"] == pytest.approx(area * 0.020)
    # Medium sand bulks to 1.11 (US Army FM 5-434, from memory), and a tenth more where bulking is 1.1 times that.
    assert soft["spoil_loose_m3"] - q["spoil_loose_m3"] == pytest.approx(area * 0.020 * 1.11)
    assert sampler.amounts({"bulking": 1.1})["spoil_loose_m3"] == pytest.approx(1.1 * q["spoil_loose_m3"])
    # Stone packs 10 % tighter: a tenth more tonnes and that line of the bill dearer by a tenth, nothing else.
    stone_line = q["sub_base_m3"] * 2.1 * 1.05 * result.scenario.schedule.rates["sub_base_stone"].likely * 1.10
    tight = sampler.outcome({"density": 1.1})
    assert tight.cash - scheme.like_for_like.likely == pytest.approx(0.1 * stone_line)
    assert tight.stone_t == pytest.approx(1.1 * 2.1 * q["sub_base_m3"]) and tight.own_hours == pytest.approx(scheme.priced.own_hours)
    # No allowance at all is wasted: the bill without its percentages.
    without = sum(line.net * line.rate for line in scheme.priced.lines if line.rate_key and line.key not in ("membrane", "fabric", "part load"))
    without += q["membrane_m2"] / 100.0 * result.scenario.schedule.rates["membrane"].likely + q["fabric_m2"] / 11.52 * result.scenario.schedule.rates["fabric_sheet"].likely
    saved = sum(credit.amount.likely for credit in scheme.credits)
    assert sampler.outcome_before_rounding({"waste": 0.0}).cash == pytest.approx(1.10 * without + saved)
    # Concrete work half as fast again: only that trade's hours, and no money.
    slow = sampler.outcome({"pace concrete": 1.5})
    concrete = [line for line in scheme.priced.lines if line.trade == "concrete"]
    assert slow.own_hours - scheme.priced.own_hours == pytest.approx(0.5 * sum(line.own_hours for line in concrete))
    assert slow.helper_hours - scheme.priced.helper_hours == pytest.approx(0.5 * sum(line.helper_hours for line in concrete))
    assert slow.cash == pytest.approx(scheme.like_for_like.likely)


def test_a_price_likely_nothing_but_perhaps_something_is_drawn(make_scenario):
    """A wall that a friend may build for nothing: what it saves follows the drawn price, not 0 over 0."""
    scenario = make_scenario()
    rate = dataclasses.replace(scenario.schedule.rates["frame_wall"], low=0.0, likely=0.0, high=90.0)
    free = dataclasses.replace(scenario, schedule=dataclasses.replace(scenario.schedule, rates=scenario.schedule.rates | {rate.key: rate}))
    result = compare(free)
    sampler = samplers(result)[STRIP]
    # 450 mm of knee wall all round 6.6 x 4.2 m.
    assert sampler.outcome({"frame_wall": 50.0}).cash - sampler.outcome({}).cash == pytest.approx(-50.0 * 2 * (6.6 + 4.2) * 0.45)


# Ground that is not where it was taken to be


def on_plot(make_scenario, ground, higher=0.0, deeper=0.0, low_side="deepened", old_slab=False):
    """One plot, or the same with its ground higher or its topsoil deeper, m, with everything built at the same absolute level.

    Levels count from the highest ground: where that is higher, a floor that stays has a lower figure and a footing that stays a deeper one.
    """
    slab = ((((1.0, 1.0), (3.0, 1.0), (3.0, 2.5), (1.0, 2.5)), 0.1),) if old_slab else ()
    wall = dict(floor_level_m=0.1 - higher, founding_depth_m=0.6 + higher, footing_width_m=0.6, block_thickness_m=0.215, footing_thickness_m=0.225)
    return compare(make_scenario(
        **ground, region="us", building=dict(heated=True), raft=dict(floor_level_m=0.1 - higher, low_side=low_side, edge_depth_m=0.45), strip=wall, insulated=wall,
        plot=dict(soil="silt", topsoil_m=0.15 + deeper, frost_depth_m=0.5 + higher, existing_slabs_m=slab)))


def raft_laid_out_alike(one, other):
    """Whether the same was built, and the same faces cut back or not: what a layout decides, draws do not."""
    bodies = [[len(solid.bodies) for solid in scheme.works.solids if solid.part == "reduce dig"] for scheme in (one, other)]
    return bodies[0] == bodies[1] and one.quantities["concrete_m3"] == pytest.approx(other.quantities["concrete_m3"], rel=1e-9)


@pytest.mark.parametrize("higher, deeper", [(0.05, 0.0), (-0.05, 0.0), (0.03, 0.0), (0.0, 0.05), (0.0, -0.05), (-0.02, 0.03)])
def test_ground_higher_or_topsoil_deeper_against_a_plot_that_really_is_so(make_scenario, ground, higher, deeper):
    """Every volume against the same works taken off on the other plot, laid out from the start there.  Source: conservation."""
    here, there = on_plot(make_scenario, ground), on_plot(make_scenario, ground, higher, deeper)
    compared = 0
    for scheme in here.schemes:
        other = there.scheme(scheme.id)
        if scheme.id == RAFT and not raft_laid_out_alike(scheme, other):
            continue
        compared += 1
        amounts = Sampler(here.site, scheme.works, scheme.priced, scheme.credits).amounts(dict(level=higher, topsoil=deeper))
        for key, value in other.quantities.items():
            if key.endswith("_m3"):
                # Between two tried heights a bend is cut short, by a litre to the square metre at most;
                # and a face that is cut back reaches as far as it was laid out.
                near = 1e-9 if abs(higher - deeper) == 0.05 else 0.03
                share = 0.01 if scheme.id == RAFT else 1e-9
                assert amounts[key] == pytest.approx(value, rel=share, abs=near), (scheme.id, key)
    assert compared >= 2


@pytest.mark.parametrize("by_m", (-0.1, 0.05))
def test_the_same_works_on_other_ground(make_scenario, ground, by_m):
    """What is built keeps its volume; dug less filled changes with the ground over what is dug."""
    here = on_plot(make_scenario, ground)
    for scheme in here.schemes:
        before, earth = take_off(scheme.works, here.scenario)
        after, other = take_off(on_other_ground(scheme.works, here.site.tables.ground, by_m), here.scenario)
        for key in ("concrete_m3", "blinding_m3", "insulation_m3", "topsoil_strip_m3", "break_out_m3"):
            assert after[key] == before[key]
        assert (after["reduce_dig_m3"] - before["reduce_dig_m3"]) * by_m >= 0.0
        assert (after["sub_base_m3"] - before["sub_base_m3"]) * by_m <= 0.0
        assert (other.dug_bank_m3 - earth.dug_bank_m3) * by_m > 0.0


def test_stone_of_a_batter_on_lower_ground_is_short_of_the_batter_that_would_be_built(make_scenario):
    """The batter's plan stays as it was laid out, so on lower ground its toe is missing: less than a tenth of it for 50 mm."""
    falling = dict(gradient=0.12, falls_to_deg=135.0)
    here, there = (on_plot(make_scenario, falling, higher, low_side="batter") for higher in (0.0, -0.05))
    scheme = here.scheme(RAFT)
    frozen = Sampler(here.site, scheme.works, scheme.priced, scheme.credits).amounts(dict(level=-0.05))["batter_stone_m3"]
    built = there.scheme(RAFT).quantities["batter_stone_m3"]
    assert scheme.quantities["batter_stone_m3"] < frozen < built < 1.10 * frozen


@pytest.mark.parametrize("deeper", (-0.05, 0.05))
def test_old_concrete_is_as_much_as_ever_and_has_no_topsoil_under_it(make_scenario, deeper):
    """Broken out: 2 x 1.5 m, 100 mm thick.  Topsoil: the rest of the stripped plan, as deep as it is."""
    here, there = (on_plot(make_scenario, {}, deeper=d, old_slab=True) for d in (0.0, deeper))
    for scheme in here.schemes:
        other = there.scheme(scheme.id).quantities
        sampler = Sampler(here.site, scheme.works, scheme.priced, scheme.credits)
        amounts = sampler.amounts({"topsoil": deeper})
        assert amounts["break_out_m3"] == pytest.approx(2.0 * 1.5 * 0.1) and sampler.amounts({"level": 0.1})["break_out_m3"] == pytest.approx(0.3)
        assert amounts["topsoil_strip_m3"] == pytest.approx(other["topsoil_strip_m3"])
        if scheme.id != RAFT:
            assert amounts["reduce_dig_m3"] == pytest.approx(other["reduce_dig_m3"], abs=0.1)


# The ranges


def test_arrays_or_none_give_the_same_figures(plot):
    """Each of 250 draws worked by itself, and all at once in NumPy arrays."""
    order = plot.decision.order
    alone, together = ranges_of(plot.site, plot.schemes, order, 250), ranges_of(plot.site, plot.schemes, order, 250, numpy.array)
    assert alone.uncertain == together.uncertain and alone.draws == together.draws == 250
    for one, two in zip(alone.schemes, together.schemes):
        assert (one.id, one.cheapest, one.least_own_hours, one.least_concrete) == (two.id, two.cheapest, two.least_own_hours, two.least_concrete)
        for name in OUTCOMES:
            assert dataclasses.astuple(getattr(one, name)) == pytest.approx(dataclasses.astuple(getattr(two, name)), rel=1e-11)
    assert dataclasses.astuple(alone.second_dearer) == pytest.approx(dataclasses.astuple(together.second_dearer), rel=1e-9)
    assert alone.first_stays_cheaper == together.first_stays_cheaper


def test_ranges_are_quantiles_and_shares_of_the_draws(plot):
    """Worked out once more from single outcomes.  Source: NumPy, numpy.quantile."""
    order = plot.decision.order
    found = ranges_of(plot.site, plot.schemes, order, 500, numpy.array)
    values = draw_values(found.uncertain, 500, numpy.array)
    outcomes = {scheme_id: sampler.outcome(values) for scheme_id, sampler in samplers(plot).items()}
    for scheme in found.schemes:
        for name in OUTCOMES:
            drawn = numpy.broadcast_to(getattr(outcomes[scheme.id], name), 500)
            assert dataclasses.astuple(getattr(scheme, name)) == pytest.approx(numpy.quantile(drawn, [0.1, 0.5, 0.9]).tolist())
        others = [outcome.cash for scheme_id, outcome in outcomes.items() if scheme_id != scheme.id]
        assert scheme.cheapest == pytest.approx(float(numpy.all([outcomes[scheme.id].cash < cash for cash in others], axis=0).mean()))
    for name in ("cheapest", "least_own_hours", "least_concrete"):
        assert sum(getattr(scheme, name) for scheme in found.schemes) == pytest.approx(1.0)
    gap = outcomes[found.second].cash - outcomes[found.first].cash
    assert dataclasses.astuple(found.second_dearer) == pytest.approx(numpy.quantile(gap, [0.1, 0.5, 0.9]).tolist())
    assert found.first_stays_cheaper == float((gap > 0.0).mean())
    assert (found.first, found.second) == order[:2]
    assert found.scheme(RAFT).id == RAFT and found.scheme("no such scheme") is None


def test_shared_draws_leave_less_noise_in_the_difference_than_separate_ones(plot, capsys):
    """Both schemes drawn with the same values, and each with its own: spread of the difference of the two cheapest."""
    order = plot.decision.order[:2]
    built = [plot.scheme(scheme_id) for scheme_id in order]
    uncertain = what_is_uncertain(plot.site, built)
    first, second = (samplers(plot)[scheme_id] for scheme_id in order)
    names = [thing.key for thing in uncertain]

    def values(seed):
        return {thing.key: thing.points.at(numpy.array(column)) for thing, column in zip(uncertain, shares(names, 10_000, seed).values())}

    shared = second.outcome(values(1)).cash - first.outcome(values(1)).cash
    separate = second.outcome(values(2)).cash - first.outcome(values(1)).cash
    ratio = float(shared.std() / separate.std())
    with capsys.disabled():
        print(f"\nspread of the difference of {order[1]} and {order[0]}: shared {shared.std():.0f}, separate {separate.std():.0f}, ratio {ratio:.2f}")
    assert ratio < 0.95
    # Only the spread is less, not the difference.
    assert float(shared.mean()) == pytest.approx(float(separate.mean()), abs=0.02 * float(separate.std()))


def test_what_is_uncertain_is_complete_and_says_where_it_comes_from(plot):
    built = [scheme for scheme in plot.schemes if scheme.buildable]
    found = what_is_uncertain(plot.site, built)
    keys = [thing.key for thing in found]
    assert len(set(keys)) == len(keys) and {thing.kind for thing in found} == {"amount", "pace", "rate"}
    used = {line.rate_key for scheme in built for line in scheme.priced.lines if line.rate_key} | {credit.rate_key for scheme in built for credit in scheme.credits}
    assert {thing.key for thing in found if thing.kind == "rate"} == used
    assert all(thing.source == ("invented" if thing.kind == "rate" else "assumed") and thing.label for thing in found)
    by_key = {thing.key: thing for thing in found}
    rate = plot.scenario.schedule.rates["sub_base_stone"]
    assert by_key["sub_base_stone"].points == ThreePoint(rate.low, rate.likely, rate.high)
    # Topsoil no thinner than none; levels surveyed are surer than a slope typed.
    assert plot.scenario.plot.topsoil_m + by_key["topsoil"].points.low >= 0.0
    assert by_key["level"].points.high == (0.015 if plot.scenario.plot.levels_m else 0.050)


def test_a_quote_is_no_longer_uncertain(make_scenario):
    scenario = make_scenario()
    rate = scenario.schedule.rates["ready_mixed_concrete"]
    quoted = dataclasses.replace(rate, low=rate.likely, high=rate.likely, rate_from="yours")
    result = compare(dataclasses.replace(scenario, schedule=dataclasses.replace(scenario.schedule, rates=scenario.schedule.rates | {rate.key: quoted})))
    (thing,) = (thing for thing in what_is_uncertain(result.site, result.schemes) if thing.key == rate.key)
    assert thing.points.variance == 0.0 and thing.source == "yours"


def test_more_draws_settle_the_figures(plot):
    """Medians of 250 and of 10 000 draws lie within a tenth of the spread."""
    few, many = (ranges_of(plot.site, plot.schemes, plot.decision.order, count, numpy.array) for count in (250, 10_000))
    for one, two in zip(few.schemes, many.schemes):
        assert one.cash.p50 == pytest.approx(two.cash.p50, abs=0.1 * (two.cash.p90 - two.cash.p10))
        assert two.cash.p10 < two.cash.p50 < two.cash.p90


def test_one_scheme_or_none_has_no_difference(make_scenario):
    one = compare(make_scenario(schemes=(STRIP,)), draws=50).certainty
    assert (one.ranges.first, one.ranges.second, one.ranges.second_dearer, one.ranges.first_stays_cheaper) == (STRIP, None, None, None)
    assert one.ranges.scheme(STRIP).cheapest == 1.0 and one.switches == one.drivers == ()
    none = compare(make_scenario(plot=dict(soil="peat")), draws=50).certainty
    assert none.ranges.schemes == () and none.ranges.first is None and none.later.futures == () and none.standing.measured == ()


@pytest.mark.parametrize("count", (0, -5, 100_001))
def test_a_count_of_draws_out_of_range_is_refused(plot, count):
    with pytest.raises(ValueError, match="draws"):
        ranges_of(plot.site, plot.schemes, plot.decision.order, count)


# Thrown at random


def numbers_in(found, where=""):
    """Every float anywhere in some records, with where it is."""
    if dataclasses.is_dataclass(found):
        for field in dataclasses.fields(found):
            yield from numbers_in(getattr(found, field.name), f"{where}.{field.name}")
    elif isinstance(found, dict):
        for key, value in found.items():
            yield from numbers_in(value, f"{where}[{key}]")
    elif isinstance(found, (tuple, list)):
        for i, value in enumerate(found):
            yield from numbers_in(value, f"{where}[{i}]")
    elif isinstance(found, float):
        yield where, found


@pytest.mark.parametrize("seed", range(6))
def test_thrown_at_random(make_scenario, seed):
    """Whatever the list of inputs allows: never an exception, every figure finite, every share a share."""
    chance = random.Random(1000 + seed)
    for _ in range(12):
        case = a_random_plot(chance)
        result = compare(make_scenario(**case), draws=50)
        certainty = result.certainty
        for where, value in numbers_in(certainty):
            # The worth of an hour is looked for without end.
            assert math.isfinite(value) or (where.endswith("reach[1]") and value == math.inf), (where, case)
        assert [scheme.id for scheme in certainty.ranges.schemes] == list(result.decision.order)
        for scheme in certainty.ranges.schemes:
            for name in OUTCOMES:
                found = getattr(scheme, name)
                assert found.p10 <= found.p50 <= found.p90, (name, case)
                # A wall saved may be worth more than the scheme costs.
                assert found.p10 >= 0.0 or name == "cash", (name, case)
        for sampler in samplers(result).values():
            values = {thing.key: [thing.points.low, thing.points.high] for thing in certainty.ranges.uncertain}
            for end in (0, 1):
                amounts = sampler.amounts({key: ends[end] for key, ends in values.items()})
                assert all(value >= -1e-6 for value in amounts.values()), (amounts, case)
