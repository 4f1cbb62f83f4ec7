"""Pours of a scheme: the order against SciPy and against every other order, the day against hand sums, and what a reader's word changes."""

import math
import random
from dataclasses import replace
from datetime import date

import pytest

from calculators import crews
from calculators import order_volume as o
from calculators import pours as p
from calculators.compare import compare
from calculators.curing import stage_wait_days
from calculators.pour import Crew, pour_rate, power_float_wait_h
from calculators.pours import pours_of
from calculators.programme import CALENDAR_BY_NAME, programme_of
from calculators.scenario import SURFACES, Access, PlaceForSurplus
from calculators.slab_on_ground import panels

RAFT, STRIP, INSULATED = "thickened-raft", "strip-and-block", "insulated-slab"
SCHEMES = (RAFT, STRIP, INSULATED)
APRIL = date(2027, 4, 3)


@pytest.fixture(scope="module")
def plot(make_scenario):
    return make_scenario(gradient=1 / 14)


def pours(scenario, scheme=RAFT, start=APRIL):
    found = compare(replace(scenario, schemes={scheme: scenario.schemes[scheme]}))
    result = found.scheme(scheme)
    return found, result, pours_of(found.site, result, programme_of(found.site, result, start, CALENDAR_BY_NAME["weekends"]).dates)


def one(scenario, scheme=RAFT, start=APRIL, **given):
    return pours(replace(scenario, pour=replace(scenario.pour, **given)), scheme, start)[2][-1]


# What is poured.


@pytest.mark.parametrize("scheme", SCHEMES)
def test_net_volumes_are_those_of_the_bill(plot, scheme):
    _, result, found = pours(plot, scheme)
    lines = {line.key: line.net for line in result.priced.lines}
    wanted = {"footing pour": "footing concrete", "slab pour": "slab concrete"}
    assert {pour.key: pour.net_m3 for pour in found} == pytest.approx({key: lines[line] for key, line in wanted.items() if line in lines})
    assert sum(pour.net_m3 for pour in found) == pytest.approx(result.quantities["concrete_m3"])
    assert all(pour.volume.net_m3 == pour.net_m3 for pour in found)


def test_a_raft_is_one_pour_and_a_scheme_with_footings_two(plot):
    assert [[pour.key for pour in pours(plot, scheme)[2]] for scheme in SCHEMES] == [["slab pour"], ["footing pour", "slab pour"], ["footing pour", "slab pour"]]


def test_unknowns_of_a_raft_by_hand(make_scenario):
    """6.6 x 4.2 m, edge 450 wide and 300 deep, slab 125: ring on its centre line 2 (6.15 + 3.75) = 19.8 m, so 8.91 m2 under the edge and 18.81 inside; 175 mm below the slab."""
    found = one(make_scenario(raft=dict(floor_level_m=0.05)))
    per_unit = {part.key: part.m3_per_unit for part in found.volume.parts}
    assert found.net_m3 == pytest.approx(5.293, abs=0.001)
    assert per_unit["bed"] == pytest.approx(18.81) and per_unit["edge bed"] == pytest.approx(8.91)
    assert per_unit["edge line"] == pytest.approx(19.8 * 0.175 / 2) and per_unit["form line"] == pytest.approx(21.6 * 0.3)
    assert per_unit["form top"] == pytest.approx(27.72) and per_unit["lost"] == found.net_m3


def test_unknowns_of_footings_by_hand(plot):
    """A trench whose width and depth are off by so much takes its plan times the depth, and its sides times the width."""
    _, result, found = pours(plot, STRIP)
    footing, sizes = found[0], result.works.sizes
    per_unit = {part.key: part.m3_per_unit for part in footing.volume.parts}
    assert per_unit["trench bed"] * sizes["footing_thickness_m"] == pytest.approx(footing.net_m3)
    assert per_unit["trench line"] * sizes["footing_width_m"] == pytest.approx(footing.net_m3)
    assert footing.area_m2 == pytest.approx(per_unit["trench bed"]) and footing.strips == 1


# What is ordered.


@pytest.mark.parametrize("scheme", SCHEMES)
def test_no_order_on_the_step_costs_less(plot, scheme):
    """Every order from one step to twice the net volume, each weighed draw by draw with the public cost of one order."""
    for pour in pours(plot, scheme)[2]:
        drawn, step = o.volume_draws_m3(pour.volume), pour.terms.step_m3
        for steps in range(1, math.ceil(2 * pour.net_m3 / step) + 1):
            cost = math.fsum(o.order_cost(steps * step, poured, pour.terms) for poured in drawn) / len(drawn)
            assert cost >= pour.chosen.expected_cost - 1e-6
            if steps * step == pytest.approx(pour.chosen.order_m3):
                assert cost == pytest.approx(pour.chosen.expected_cost, abs=1e-6)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_the_chance_of_running_short_is_that_of_the_distribution(plot, scheme):
    """SciPy's triangular densities folded on a grid of a litre: what lies above the order."""
    numpy, stats = pytest.importorskip("numpy"), pytest.importorskip("scipy.stats")
    grid = 0.001
    for pour in pours(plot, scheme)[2]:
        density, start = numpy.array([1.0]), pour.net_m3
        for part in pour.volume.parts:
            low, likely, high = (part.m3_per_unit * at for at in (part.points.low, part.points.likely, part.points.high))
            cells = numpy.arange(math.floor(low / grid), math.ceil(high / grid) + 1)
            shape = stats.triang((likely - low) / (high - low), low, high - low)
            density = numpy.convolve(density, shape.cdf((cells + 0.5) * grid) - shape.cdf((cells - 0.5) * grid))
            start += cells[0] * grid
        volumes = start + grid * numpy.arange(len(density))
        assert density.sum() == pytest.approx(1.0, abs=1e-6) and (density * volumes).sum() == pytest.approx(pour.volume.mean_m3, abs=2e-3)
        for weighed in pour.orders:
            assert weighed.chance_short == pytest.approx(float(density[volumes > weighed.order_m3].sum()), abs=0.012), weighed.order_m3


def test_sums_over_straight_lines_are_the_sums_over_every_draw():
    """Random terms and volumes, on the steps and off them: the mean cost is that of `order_cost` and `used_cost`, draw by draw."""
    chance = random.Random(20270403)
    for _ in range(400):
        step, lorry = chance.choice([0.1, 0.25, 0.5, 1.0, 0.191]), chance.uniform(1.0, 8.0)
        places = tuple(o.SecondPlace(str(i), chance.uniform(0.05, 0.6), chance.uniform(0.0, 110.0)) for i in range(chance.randint(0, 3)))
        terms = o.OrderTerms(step, chance.choice([0.0, 1.0, chance.uniform(0.0, lorry)]), lorry, chance.uniform(0.0, lorry), 120.0,
                             chance.choice([0.0, 50.0]), chance.uniform(0.0, 800.0), chance.uniform(0.0, 80.0), places)
        drawn = [chance.choice([chance.uniform(0.0, 9.0), chance.randint(0, 180) / 20, chance.randint(1, 40) * step]) for _ in range(chance.randint(1, 40))]
        order = chance.randint(0, 40) * step
        cost = math.fsum(o.order_cost(order, poured, terms) for poured in drawn) / len(drawn)
        assert o.weigh_order(order, drawn, terms).expected_cost == pytest.approx(cost, abs=1e-6)
        paid = o.PaidByUse("lorry", 150.0, chance.uniform(0.0, 3.0), 60.0, chance.uniform(0.5, 8.0))
        assert o.expected_used_cost(drawn, paid) == pytest.approx(math.fsum(o.used_cost(poured, paid) for poured in drawn) / len(drawn), abs=1e-6)


def test_against_net_plus_a_tenth_is_told_on_other_and_wider_draws(plot):
    pour = one(plot)
    against = pour.against
    assert against.chosen.order_m3 == pour.chosen.order_m3 and against.spread == 1.5
    drawn = o.volume_draws_m3(o.widened(pour.volume, 1.5), seed=2)
    for weighed in (against.chosen, against.rule_of_thumb):
        assert weighed.expected_cost == pytest.approx(math.fsum(o.order_cost(weighed.order_m3, poured, pour.terms) for poured in drawn) / len(drawn))
    assert against.rule_of_thumb.order_m3 == pytest.approx(math.ceil(pour.net_m3 * 1.1 / 0.25 - 1e-9) * 0.25)
    assert against.saves == pytest.approx(against.rule_of_thumb.expected_cost - against.chosen.expected_cost)


def test_terms_come_from_the_schedule(plot):
    rates, terms = plot.schedule.rates, one(plot).terms
    assert terms.price_per_m3 == rates["ready_mixed_concrete"].likely and terms.part_load_per_m3 == rates["part_load_charge"].likely
    assert (terms.step_m3, terms.lorry_m3, terms.full_from_m3) == (0.25, 6.0, 4.0)
    # A m3 of concrete is 1.5 of loose rubble; 0.3 m3 of stone at 2.1 t/m3 would lie in the path bay instead.
    assert terms.away_per_m3 == pytest.approx(1.5 * rates["rubble_away"].likely)
    assert [(place.room_m3, place.worth_per_m3) for place in terms.places] == [(0.3, pytest.approx(min(terms.price_per_m3, 2.1 * rates["sub_base_stone"].likely)))]


def test_prices_by_the_cubic_yard_are_prices_by_the_cubic_metre(plot):
    """0.764554857984 m3 in a cubic yard, by definition."""
    yard = 0.764554857984
    rates = dict(plot.schedule.rates)
    rates["ready_mixed_concrete"] = replace(rates["ready_mixed_concrete"], sale_unit="yd^3", sale_unit_in_si=yard)
    pour = one(replace(plot, schedule=replace(plot.schedule, rates=rates)))
    assert pour.terms.step_m3 == pytest.approx(0.25 * yard) and pour.terms.price_per_m3 == pytest.approx(rates["ready_mixed_concrete"].likely / yard)
    assert pour.chosen.order_m3 / (0.25 * yard) == pytest.approx(round(pour.chosen.order_m3 / (0.25 * yard)))
    assert pour.terms.least_m3 >= 1.0


def test_what_running_short_costs_is_shown_or_the_readers(plot):
    rates, pour = plot.schedule.rates, one(plot, people=6)
    assert pour.terms.cold_joint == pour.cold_joint.cost == pytest.approx(6 * 4.0 * rates["labourer_hour"].likely + 6.0 * rates["tradesman_hour"].likely)
    told = one(plot, cold_joint_cost=123.0)
    assert told.terms.cold_joint == 123.0 and told.cold_joint is None


def test_the_readers_places_take_the_place_of_the_stand_in(plot):
    assumed, told = one(plot), one(plot, places=(PlaceForSurplus("bin base", 0.5), PlaceForSurplus("bay", 0.2, 5.0), PlaceForSurplus("gold", 0.1, 1e6)))
    assert assumed.place_assumed and not told.place_assumed
    assert [place.name for place in told.terms.places] == ["bin base", "bay", "gold"] and told.terms.places[1].worth_per_m3 == 5.0
    # Never worth more than its price, or it would be bought for its own sake.
    assert told.terms.places[2].worth_per_m3 == told.terms.price_per_m3
    assert told.chosen.order_m3 >= assumed.chosen.order_m3


def test_bags_are_weighed_only_where_a_day_at_the_mixer_is_thinkable(make_scenario):
    small = pours(make_scenario(size_m=(3.0, 2.4)), STRIP)[2]
    large = pours(make_scenario(size_m=(9.0, 6.0)), STRIP)[2]
    assert {len(pour.alternatives) for pour in large} == {1}
    assert any(len(pour.alternatives) == 2 for pour in small)
    for pour in (*small, *large):
        assert (len(pour.alternatives) == 2) == (pour.net_m3 <= p.BAGS_MOST_M3.value)
        rates = make_scenario().schedule.rates
        lorry = pour.alternatives[0]
        drawn = o.volume_draws_m3(pour.volume)
        by_hand = rates["volumetric_visit"].likely + rates["volumetric_concrete"].likely * math.fsum(max(1.0, poured) for poured in drawn) / len(drawn)
        if lorry.chance_of_second == 0.0:
            assert lorry.expected_cost == pytest.approx(by_hand)


# The day.


def test_the_crew_nobody_told_is_shared_out_best(plot):
    pour = one(plot, people=7)
    assert pour.people == 7
    for barrows in range(1, 7):
        assert pour_rate(Crew(barrows, 7 - barrows), pour.route)[0] <= pour.rate_m3_per_h + 1e-12


def test_four_people_at_the_least_until_the_reader_says(plot):
    assert one(plot).people >= 4 and one(plot, people=3).people == 3
    assert one(plot, people=5, barrows=2).crew == Crew(2, 3)
    # Nobody can wheel and place at once.
    assert one(plot, people=1).crew == Crew(1, 1)
    assert one(plot, people=1, way="pump").crew == Crew(0, 1)
    for nonsense in (0, -3):
        with pytest.raises(ValueError, match="people"):
            one(plot, people=nonsense)


@pytest.mark.parametrize("run_m,pump,way,wanted", [
    (18.0, False, None, ("barrow", crews.USUAL)), (2.0, False, None, ("chute", crews.IN_REACH)), (18.0, True, None, ("pump", crews.PUMP_THERE)),
    (60.0, False, None, ("barrow", crews.USUAL)), (60.5, False, None, ("pump", crews.TOO_FAR)), (90.0, False, "barrow", ("pump", crews.TOO_FAR)),
    (18.0, True, "barrow", ("barrow", crews.GIVEN)), (18.0, False, "chute", ("barrow", crews.OUT_OF_REACH)), (90.0, False, "chute", ("pump", crews.TOO_FAR))])
def test_the_way_from_the_lorry(make_scenario, run_m, pump, way, wanted):
    pour = one(make_scenario(plot=dict(access=Access(run_m, 2.6, pump))), way=way)
    assert (pour.route.way, pour.way_from) == wanted and pour.run_m == run_m
    assert (pour.trips > 0) == (pour.crew.barrows > 0) == (wanted[0] == "barrow")


def test_a_run_of_the_readers_goes_before_the_plots(plot):
    assert one(plot, run_m=30.0).route.length_m == 30.0
    assert one(plot, run_m=30.0, run_slope=0.1).rate_m3_per_h <= one(plot, run_m=30.0).rate_m3_per_h


def test_barrow_loads_by_hand(plot):
    """0.045 m3 in a first-timer's barrow, 0.0566 in a paid gang's."""
    new, used = one(plot), one(plot, first_time=False)
    assert new.trips == math.ceil(new.chosen.order_m3 / 0.045 - 1e-9) and used.trips == math.ceil(used.chosen.order_m3 / 0.0566 - 1e-9)


def test_the_largest_load_in_time_is_just_in_time(plot):
    """Two hours from loading (BS 8500-2, 14.2, read), half an hour of it on the road."""
    pour = one(plot)
    assert pour.in_time_m3 == pytest.approx(1.5 * pour.rate_m3_per_h)
    assert one(plot, travel_h=2.0).in_time_m3 == 0.0 and one(plot, travel_h=2.0).crew_in_time is None
    quick = one(plot, way="pump")
    if quick.crew_in_time is not None:
        again = one(plot, way="pump", people=quick.crew_in_time.placers)
        assert all(again.too_old_h(load) >= load.empty_h - 1e-9 for load in again.day.loads)


def test_waiting_is_charged_at_the_schedules_rate(plot):
    pour = one(plot, allowance_h=1.0)
    waited = sum(max(0.0, load.empty_h - load.arrives_h - 1.0) for load in pour.day.loads)
    assert pour.day.waiting_charge == pytest.approx(waited * plot.schedule.rates["lorry_waiting_hour"].likely)
    assert pour.free_until_h(pour.day.loads[0]) == pour.day.loads[0].arrives_h + 1.0


def test_a_lorry_at_the_latest_hour_is_finished_at_dusk(plot):
    pour = one(plot)
    late = one(plot, first_lorry_h=pour.latest_first_h)
    assert late.day.finished_h == pytest.approx(late.dusk_h)


def test_a_footing_is_done_when_the_last_of_it_is_down(plot):
    footing, slab = pours(plot, STRIP)[2]
    assert footing.strikes_only and footing.day.finished_h == footing.day.loads[-1].empty_h
    assert not slab.strikes_only and slab.day.finished_h > slab.day.loads[-1].empty_h


def test_surface_by_use_and_by_size(make_scenario):
    def surface(use, size_m=(6.6, 4.2), **given):
        return one(make_scenario(size_m=size_m, building=dict(use=use)), **given).surface
    assert [surface(use) for use in ("garage", "storage", "workshop", "studio")] == ["brushed", "floated", "power floated", "power floated"]
    assert surface("studio", (3.6, 3.0)) == "trowelled" and surface("garage", surface="trowelled") == "trowelled"
    assert all(one(make_scenario(), surface=name).day.finished_h > 0.0 for name in SURFACES)


# Weather and dates.


def test_weather_is_the_months_until_typed(plot):
    usual = one(plot)
    assert "assumption" in usual.weather_from
    typed = one(plot, air_c=18.0, humidity=0.4, wind_m_per_s=6.0, concrete_c=21.0)
    assert typed.weather_from == "what you typed in" and typed.weather.concrete_c == 21.0
    assert "for the rest" in one(plot, air_c=18.0).weather_from
    # A day warmer than usual hardens it faster.
    assert typed.mean_c > usual.mean_c and typed.waits_days["build"][1] < usual.waits_days["build"][1]


def test_dates_change_weather_light_and_waits(plot):
    summer, winter = one(plot, start=date(2027, 7, 3)), one(plot, start=date(2027, 12, 18))
    assert winter.weather.air_c < summer.weather.air_c and winter.night_c < summer.night_c
    assert winter.dusk_h - winter.sunrise_h < summer.dusk_h - summer.sunrise_h
    assert winter.waits_days["build"][0] > summer.waits_days["build"][0]
    assert winter.chosen == summer.chosen


def test_south_of_the_equator_july_is_winter(plot):
    assert one(plot, start=date(2027, 7, 3), latitude_deg=-37.0).weather.air_c < one(plot, start=date(2027, 7, 3)).weather.air_c


def test_waits_are_those_of_the_concrete_that_is_poured(plot):
    """RC28/35 in a raft, RC25/30 in a floor, C16/20 in a footing: the strengths that the checks of strength take."""
    raft = one(plot)
    footing, slab = pours(plot, STRIP)[2]
    for pour, fck in ((raft, 28.0), (slab, 25.0), (footing, 16.0)):
        assert pour.fck_mpa == fck
        for stage, wait in pour.waits_days.items():
            assert wait == stage_wait_days(stage, fck, pour.mean_c)


@pytest.mark.parametrize("air_c,hardens,cured", [(-12.0, False, False), (4.0, True, False), (20.0, True, True), (38.0, True, True)])
def test_cold_and_heat_hold_no_times_but_leave_a_pour(plot, air_c, hardens, cured):
    pour = one(plot, air_c=air_c)
    assert (pour.day is not None) == (5.0 <= air_c <= 33.0)
    assert (pour.waits_days is not None) == (pour.frost_days is not None) == hardens and (pour.covered_days is not None) == cured
    assert pour.checks and (pour.day is not None or any(check.verdict == "outside" for check in pour.checks))
    assert pour.latest_first_h is None or pour.day is not None


# Joints.


def test_joints_are_sawn_in_long_floors_and_never_in_a_raft(make_scenario):
    long, short = make_scenario(size_m=(9.0, 4.2)), make_scenario(size_m=(4.8, 3.6))
    assert one(long, RAFT).saw_h is None and one(long, RAFT).panels is None
    sawn = one(long, STRIP)
    assert sawn.panels == panels(9.0 - 2 * 0.14, 4.2 - 2 * 0.14, 6.0) and sawn.panels.along > 1
    wait = power_float_wait_h(sawn.weather.air_c)
    assert sawn.saw_h[0] == pytest.approx(sawn.day.loads[-1].empty_h + 2.5 * wait) and sawn.saw_h[1] >= sawn.saw_h[0]
    assert one(short, STRIP).saw_h is None and one(short, STRIP).panels.along == 1
    assert one(long, STRIP, air_c=0.0).saw_h is None


def test_sawing_begins_four_hours_on_in_heat_and_twelve_in_the_cool(make_scenario):
    """Common practice: 4 to 12 hours after finishing in hot weather, 12 to 24 in cold."""
    long = make_scenario(size_m=(9.0, 4.2))
    for air_c, early, late in ((32.0, 4.0, 12.0), (10.0, 10.0, 27.0)):
        found = one(long, STRIP, air_c=air_c)
        assert early <= found.saw_h[0] - found.day.loads[-1].empty_h and found.saw_h[1] - found.day.loads[0].starts_h <= late
