"""Cautions of a plot: depths worked out again by hand from the slope, weights from their sizes, and which caution stands where.

Depths: plane geometry of the plot's own slope.  Weights: size times density.
The push on a form: hydrostatics, summed up in thin layers.  Advice is common
practice, no source, and is not tested but for its words.
"""

import re
from dataclasses import replace

import pytest

from calculators import plot_cautions as pc
from calculators import works as w
from calculators.compare import compare
from calculators.pricing import Job
from calculators.scenario import Access, FloorSurvey, Neighbour
from calculators.site import site_of

GRADIENT = 1 / 14
GROUNDS = (dict(), dict(gradient=1 / 14), dict(gradient=0.09, falls_to_deg=200.0), dict(gradient=0.12, falls_to_deg=135.0),
           dict(corner_levels_m=(10.0, 9.72, 10.12, 10.16)), dict(corner_levels_m=(0.0, 0.5, 0.05, 0.45)))


def of(comparison, scheme, **others):
    """The cautions of one scheme by key."""
    return {caution.key: caution for caution in pc.cautions_of(comparison.site, comparison.scheme(scheme), **others)}


def of_plot(scenario):
    return {caution.key: caution for caution in pc.plot_cautions(site_of(scenario))}


# Depths.


@pytest.mark.parametrize("gradient", [1 / 30, 1 / 14, 1 / 8, 1 / 6])
@pytest.mark.parametrize("scheme", ["strip-and-block", "insulated-slab"])
def test_the_deepest_trench_on_a_slope_is_the_one_that_its_steps_give(compared, gradient, scheme):
    comparison = compared(gradient=gradient)
    works = comparison.scheme(scheme).works
    past_the_face = (works.sizes["footing_width_m"] - works.sizes["block_thickness_m"]) / 2.0
    steps = sorted((step.chainage_m, step.height_m) for step in works.steps if step.wall == "east")
    underside = works.founding_level_m + sum(height for _, height in steps)
    # Uphill the ground goes on rising as far as the outer side of the trench; below each step the trench begins anew.
    depths = [past_the_face * gradient - underside]
    for chainage, height in steps:
        underside -= height
        depths.append(-chainage * gradient - underside)
    assert pc.deepest_dig_m(comparison.site, works, (w.TRENCH_DIG,)) == pytest.approx(max(depths), abs=1e-9)
    assert of(comparison, scheme)["trenches"].figures["walls"].value == pytest.approx(max(depths), abs=1e-9)
    if gradient > 1 / 10:
        assert steps


def test_a_trench_never_is_shallower_than_the_founding_depth(make_scenario, compared):
    for ground in GROUNDS:
        comparison = compared(**ground)
        for scheme in ("strip-and-block", "insulated-slab"):
            depth = pc.deepest_dig_m(comparison.site, comparison.scheme(scheme).works)
            assert depth >= comparison.site.founding_depth_m - 1e-9
    shallow, deep = (pc.deepest_dig_m(found.site, found.scheme("strip-and-block").works)
                     for found in (compared(strip=dict(founding_depth_m=depth)) for depth in (0.6, 1.2)))
    assert deep - shallow == pytest.approx(0.6, abs=0.225)


def test_the_drain_trench_is_topsoil_and_its_own_depth(compared):
    # 150 mm of topsoil and 300 mm below the stripped surface, on any plane.
    figures = of(compared(gradient=GRADIENT), "thickened-raft")["trenches"].figures
    assert set(figures) == {"drains"} and figures["drains"].value == pytest.approx(0.45, abs=1e-9)


def test_the_dig_of_a_raft_by_hand(compared):
    # Slab 50 mm up, edge 300 mm, sand 50 and stone 150 below: 450 mm down; 500 mm of margin reach uphill.
    flat, falling = (of(compared(gradient=gradient), "thickened-raft")["cut"] for gradient in (0.0, GRADIENT))
    assert flat.figures["depth"].value == pytest.approx(0.45, abs=1e-9)
    assert falling.figures["depth"].value == pytest.approx(0.45 + 0.5 * GRADIENT, abs=1e-9)
    assert "highest side" in falling.found and "highest side" not in flat.found


def test_a_flat_plot_without_trenches_has_none_to_fall_in(compared):
    found = of(compared(), "thickened-raft")
    assert "trenches" not in found and found["holes"].figures["depth"].value == pytest.approx(0.45, abs=1e-9)
    assert pc.deepest_dig_m(compared().site, compared().scheme("thickened-raft").works) == 0.0


def test_a_soft_spot_is_a_hole_too(compared):
    spot = (((2.0, 1.0), (3.0, 1.0), (3.0, 2.0), (2.0, 2.0)), 0.9)
    found = of(compared(plot=dict(soft_spots_m=(spot,))), "thickened-raft")
    # 900 mm below the stripped surface, under 150 mm of topsoil.
    assert found["cut"].figures["depth"].value == pytest.approx(1.05, abs=1e-9)
    assert found["holes"].figures["depth"].value == pytest.approx(1.05, abs=1e-9)


def test_no_hole_is_deeper_than_the_deepest(compared):
    for ground in GROUNDS:
        comparison = compared(**ground)
        for result in comparison.schemes:
            found = of(comparison, result.id)
            depths = [amount.value for key in ("trenches", "cut") if key in found for amount in found[key].figures.values()]
            assert max(depths) == pytest.approx(found["holes"].figures["depth"].value, abs=1e-9)


# A neighbour's foundation.


def test_the_line_of_45_degrees():
    # One metre across is one metre down.
    assert pc.below_45_degrees_m(1.0, 0.0, 1.0) == 0.0
    assert pc.below_45_degrees_m(1.0, 0.0, 0.999) > 0.0 > pc.below_45_degrees_m(1.0, 0.0, 1.001)
    assert pc.below_45_degrees_m(2.0, 1.0, 0.5) == 0.5
    for wrong in ((-0.1, 0.0, 0.0), (0.0, -0.1, 0.0), (0.0, 0.0, -0.1), (float("nan"), 0.0, 0.0)):
        with pytest.raises(ValueError, match="0 m or more"):
            pc.below_45_degrees_m(*wrong)


@pytest.mark.parametrize("neighbour,words", [
    (Neighbour(0.3, 0.1), "The dig cuts"),
    (Neighbour(3.0, 0.1), "stays above the line"),
    (Neighbour(0.3, 2.0), "no deeper"),
    (Neighbour(0.1, None), "nobody has seen"),
])
def test_what_is_said_of_a_neighbours_foundation(compared, neighbour, words):
    caution = of(compared(plot=dict(neighbours=(neighbour,))), "strip-and-block")["undermined"]
    assert words in caution.found
    assert caution.figures["distance"].value == neighbour.distance_m
    if "past" in caution.figures:
        founded = neighbour.foundation_depth_m or 0.0
        assert caution.figures["past"].value == pytest.approx(caution.figures["depth"].value - founded - neighbour.distance_m)


def test_of_several_neighbours_the_worst_is_told(compared):
    near, far = Neighbour(0.2, 0.1), Neighbour(4.0, 0.1)
    caution = of(compared(plot=dict(neighbours=(far, near))), "strip-and-block")["undermined"]
    assert caution.figures["distance"].value == 0.2
    every = of(compared(plot=dict(neighbours=(far, near))), "strip-and-block")["neighbours"]
    assert {every.figures[name].value for name in ("building1", "building2")} == {0.2, 4.0}


def test_neighbours_are_asked_after_until_somebody_has_looked(make_scenario):
    by_boundary = of_plot(make_scenario(plot=dict(boundary_m={"south": 4.5})))["neighbours"]
    assert "have not said" in by_boundary.found and by_boundary.figures["boundary1"].value == 4.5
    assert "have not said" not in of_plot(make_scenario(plot=dict(boundary_m={"south": 4.5}, neighbours=())))["neighbours"].found
    assert "neighbours" not in of_plot(make_scenario(plot=dict(neighbours=()))) and "neighbours" not in of_plot(make_scenario())
    notice = of_plot(make_scenario(plot=dict(boundary_m={"south": 4.5}), region="us"))["neighbours"]
    assert "Notice" in by_boundary.found and "Notice" not in notice.found


# Weights.


def test_weights_are_size_times_density(compared):
    comparison = compared()
    found = of(comparison, "insulated-slab")
    figures = found["lifting"].figures
    # 440 x 215 x 140 mm of 2000 kg/m3; 4.8 x 2.4 m of 3.02 kg/m2; 4 x 25 m of 0.3 mm polythene of 940 kg/m3; 2.88 m2 of 100 mm of 20 kg/m3.
    assert figures["block"].value == pytest.approx(0.44 * 0.215 * 0.14 * 2000.0)
    assert figures["sheet"].value == pytest.approx(34.79, abs=0.01)
    assert figures["roll"].value == pytest.approx(28.2)
    assert figures["board"].value == pytest.approx(5.76)
    # 45 litres of wet concrete of 2400 kg/m3.
    assert found["barrows"].figures["barrow"].value == pytest.approx(108.0)


@pytest.mark.parametrize("scheme", ["thickened-raft", "strip-and-block", "insulated-slab"])
def test_what_is_lifted_is_what_the_bill_orders(compared, scheme):
    comparison = compared(gradient=GRADIENT)
    result = comparison.scheme(scheme)
    bill = {line.key: line for line in result.priced.lines}
    found = of(comparison, scheme)
    lifting = found["lifting"].figures
    assert lifting["blocks"].value == bill["blocks"].order
    assert lifting["all"].value == pytest.approx(bill["blocks"].order * lifting["block"].value / 1000.0)
    assert found["heaps"].figures["blocks"] == lifting["all"]
    assert found["heaps"].figures["stone"].value == pytest.approx(bill["stone"].net)
    assert lifting["sheets"].value == bill["fabric"].order and lifting["rolls"].value == bill["membrane"].order
    assert found["vibration"].figures["plate"].value == pytest.approx(bill["plate"].net * 7.0)
    assert found["wet concrete"].figures["volume"].value == pytest.approx(result.quantities["concrete_m3"])


def test_a_raft_without_an_upstand_has_no_blocks_to_carry(compared):
    found = of(compared(raft=dict(upstand_m=0.0)), "thickened-raft")
    assert "blocks" not in found["lifting"].figures and "blocks" not in found["heaps"].figures and found["dust"].found == ""
    assert found["dust"] in pc.plot_cautions(compared().site)


def test_thicker_blocks_are_heavier(compared):
    thin, thick = (of(compared(strip=dict(block_thickness_m=thickness)), "strip-and-block")["lifting"].figures["block"].value for thickness in (0.140, 0.215))
    assert thick / thin == pytest.approx(0.215 / 0.140)


# Forms.


def test_the_push_on_a_form_is_that_of_a_liquid():
    layers = 100_000
    for height in (0.4, 0.9, 3.0):
        thin = height / layers
        summed = sum(25.0 * (i + 0.5) * thin * thin for i in range(layers))
        assert pc.push_on_form_kn_per_m(height) == pytest.approx(summed, rel=1e-9)
    assert pc.push_on_form_kn_per_m(0.0) == 0.0
    for wrong in (-0.01, 3.01, float("nan")):
        with pytest.raises(ValueError, match="0 to 3 m"):
            pc.push_on_form_kn_per_m(wrong)


def test_forms_are_spoken_of_above_400_mm(compared):
    for depth, there in ((0.3, False), (0.4, False), (0.425, True), (0.6, True)):
        found = of(compared(raft=dict(edge_depth_m=depth)), "thickened-raft")
        assert ("forms" in found) is there, depth
    forms = found["forms"].figures
    assert forms["height"].value == pytest.approx(0.6)
    # 25 x 0.6^2 / 2 = 4.5 kN/m, the weight of 459 kg.
    assert forms["push"].value == pytest.approx(458.7, abs=0.1) and forms["push"].unit == "kg/m"
    assert "forms" not in of(compared(), "strip-and-block")


# How concrete gets there, and the job.


def test_barrow_pump_or_chute(make_scenario):
    def keys(access=Access(18.0, 2.6, False), **pour):
        scenario = make_scenario(plot=dict(access=access))
        comparison = compare(replace(scenario, pour=replace(scenario.pour, **pour)))
        return of(comparison, "thickened-raft")

    assert "barrows" in keys() and "pump" not in keys()
    assert "pump" in keys(Access(18.0, 2.6, True)) and "barrows" not in keys(Access(18.0, 2.6, True))
    assert not {"pump", "barrows"} & set(keys(Access(2.7, 2.6, False)))
    assert "barrows" in keys(Access(2.71, 2.6, False))
    assert "pump" in keys(way="pump") and "barrows" in keys(Access(18.0, 2.6, True), way="barrow")
    assert keys(run_slope=-0.1)["barrows"].figures["slope"].value == 0.1 and "slope" not in keys()["barrows"].figures


def test_trips_hold_the_concrete_that_is_ordered(compared):
    comparison = compared()
    for result in comparison.schemes:
        ordered = sum(Job(result.quantities, result.works, comparison.scenario).deliveries())
        trips = of(comparison, result.id)["barrows"].figures["trips"].value
        assert ordered / 0.045 <= trips < ordered / 0.045 + 2.0


def test_the_job_knows_more_than_the_plot(make_scenario):
    scenario = make_scenario(gradient=GRADIENT)
    comparison = compare(scenario, jobs=True)
    for scheme, job in comparison.jobs.items():
        told = {caution.key: caution for caution in job.cautions}
        assert told["barrows"].figures["trips"].value == sum(pour.day.trips for pour in job.pours)
        hours = [pour.day.loads[-1].empty_h - pour.day.loads[0].starts_h for pour in job.pours]
        assert told["wet concrete"].figures["hours"].value == pytest.approx(max(hours))
        assert ("at a time" in told["wet concrete"].found) is (len(hours) > 1)
        assert ("sawn" in told["dust"].found) is any(pour.saw_h is not None for pour in job.pours)
        with_lorries = of(comparison, scheme, pours=job.pours, deliveries=job.deliveries)
        assert with_lorries["loads"].figures["loads"].value == sum(delivery.loads for delivery in job.deliveries)
        assert "loads" not in of(comparison, scheme, pours=job.pours)


def test_frost_is_spoken_of_where_nights_may_freeze(make_scenario):
    scenario = make_scenario(schemes=("thickened-raft",))

    def told(air_c):
        given = replace(scenario, pour=replace(scenario.pour, air_c=air_c, humidity=0.7, wind_m_per_s=2.0, concrete_c=12.0))
        comparison = compare(given, jobs=True)
        return of(comparison, "thickened-raft", pours=comparison.jobs["thickened-raft"].pours)

    assert "frost" not in told(15.0) and "frost" not in told(10.1)
    assert told(8.0)["frost"].figures["days"].unit == "day"
    comparison = compare(scenario, jobs=True)
    pour = comparison.jobs["thickened-raft"].pours[0]
    cold = replace(pour, weather=replace(pour.weather, air_c=6.0), frost_days=(1.2, 2.4))
    # Two days and a part are three nights under a cover.
    assert of(comparison, "thickened-raft", pours=(cold,))["frost"].figures["days"].value == 3.0
    assert of(comparison, "thickened-raft", pours=(replace(cold, frost_days=None),))["frost"].figures == {}
    assert "frost" in of(compare(scenario), "thickened-raft"), "without a date nobody knows"


def test_dust_of_what_is_sawn_broken_and_ground(make_scenario):
    slab = (((1.0, 1.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)), 0.1)
    scenario = make_scenario(plot=dict(existing_slabs_m=(slab,)))
    found = of(compare(scenario), "thickened-raft")
    assert found["dust"].figures["old"].value == pytest.approx(0.1) and "ground" not in found["dust"].found
    # 0.1 m3 at 6 hours a cubic metre.
    assert found["vibration"].figures["breaker"].value == pytest.approx(0.6)
    surveyed = replace(scenario, floor=FloorSurvey(levels_m=((0.0, 0.0, 0.0), (1.0, 0.0, 0.003), (0.0, 1.0, 0.002))))
    assert "may be ground" in of(compare(surveyed), "thickened-raft")["dust"].found


# A drop at a door, and fill behind a wall.


def test_a_drop_is_spoken_of_where_the_bill_has_a_guard(compared):
    seen = set()
    for ground in (*GROUNDS, dict(gradient=0.16)):
        for level in (0.1, 0.3, 0.7):
            comparison = compared(**ground, raft=dict(floor_level_m=level))
            for result in comparison.schemes:
                drop = of(comparison, result.id).get("drop")
                assert (drop is not None) is (result.quantities["guard_m"] > 0.0)
                seen.add(drop is not None)
    assert seen == {True, False}
    # South door of a plot that falls south: 4.2 m at 0.16 is 672 mm down, and the floor stands 700 mm up.
    assert of(comparison, "thickened-raft")["drop"].figures["rise1"].value == pytest.approx(0.7 + 4.2 * 0.16)


def test_fresh_walls_are_those_with_fill_inside(compared):
    found = compared(gradient=GRADIENT)
    assert "fresh walls" not in of(found, "thickened-raft")
    assert of(found, "strip-and-block")["fresh walls"].figures["fill"].value == found.scheme("strip-and-block").works.fill_depth_m


# What the reader wrote of the plot.


def test_a_plain_plot_has_the_cautions_of_any_plot(make_scenario):
    assert list(of_plot(make_scenario())) == ["services", "lorry", "digger", "holes", "dust", "noise", "alone"]


@pytest.mark.parametrize("plot,key,words", [
    (dict(soil="made ground"), "foul ground", "made ground"),
    (dict(soil="unknown"), "foul ground", "not said"),
    (dict(soil="unknown"), "clay", "may be clay"),
    (dict(soil="firm clay", shrinkage="high"), "clay", "high"),
    (dict(soil="firm clay", shrinkage="unknown"), "clay", "not known"),
    (dict(trees="near"), "trees", "stand near"),
    (dict(trees="removed"), "trees", "taken out"),
    (dict(water="seasonal"), "water", "seasonal"),
    (dict(water="high"), "water", "high"),
    (dict(outfall=False), "outfall", "no outfall"),
])
def test_what_was_written_is_told_back(make_scenario, plot, key, words):
    assert key not in of_plot(make_scenario(gradient=GRADIENT))
    assert words in of_plot(make_scenario(gradient=GRADIENT, plot=plot))[key].found


def test_frost_that_nobody_gave_names_whom_to_ask(make_scenario):
    assert "building department" in of_plot(make_scenario(region="us", building=dict(heated=True)))["frost depth"].found.lower()
    assert "frost depth" not in of_plot(make_scenario(region="us", building=dict(heated=True), plot=dict(frost_depth_m=0.9)))


def test_level_ground_needs_no_outfall_and_no_manual_for_slopes(make_scenario):
    assert "outfall" not in of_plot(make_scenario(plot=dict(outfall=False)))
    assert "slope" not in of_plot(make_scenario(gradient=0.019)) and "slope" in of_plot(make_scenario(gradient=0.02))
    assert of_plot(make_scenario(gradient=0.1))["slope"].figures["slope"].value == pytest.approx(0.1)
    # A saddle is level on the whole and steep everywhere.
    assert "slope" in of_plot(make_scenario(corner_levels_m=(0.0, 0.5, 0.0, 0.5)))


def test_where_no_digger_passes_people_dig(make_scenario):
    for gate, by_hand in ((0.8, True), (0.899, True), (0.9, False)):
        found = of_plot(make_scenario(gradient=0.1, plot=dict(access=Access(18.0, gate, False))))
        assert ("hand digging" in found) is by_hand and ("digger" in found) is not by_hand and ("slope" in found) is not by_hand


def test_a_lorry_needs_three_metres_of_gate(make_scenario):
    for gate, outside in ((2.99, True), (3.0, False)):
        lorry = of_plot(make_scenario(plot=dict(access=Access(18.0, gate, False))))["lorry"]
        assert ("stays outside" in lorry.found) is outside and lorry.figures["gate"].value == gate
    assert "slope" not in lorry.figures and of_plot(make_scenario(gradient=0.1))["lorry"].figures["slope"].value == pytest.approx(0.1)


# The list itself.


def every_caution(make_scenario, compared):
    for ground in GROUNDS:
        for plot in (dict(), dict(soil="firm clay", trees="near", water="seasonal", boundary_m={"south": 2.0}, neighbours=(Neighbour(1.0), Neighbour(2.0, 0.5)))):
            comparison = compared(**ground, plot=plot)
            for result in comparison.schemes:
                yield pc.cautions_of(comparison.site, result)
    yield pc.plot_cautions(site_of(make_scenario(plot=dict(soil="made ground", outfall=False, access=Access(40.0, 0.7, True)))))


def test_every_figure_is_named_and_every_name_has_its_figure(make_scenario, compared):
    for cautions in every_caution(make_scenario, compared):
        for caution in cautions:
            assert set(re.findall(r"\{(\w+)\}", caution.found + caution.sentence)) == set(caution.figures), caution.key
            assert all(amount.value >= 0.0 for amount in caution.figures.values())


def test_cautions_come_once_each_in_the_order_of_the_work(make_scenario, compared):
    for cautions in every_caution(make_scenario, compared):
        places = [pc.KEYS.index(caution.key) for caution in cautions]
        assert places == sorted(set(places)) and all(caution.where in pc.PLACES for caution in cautions)
        assert cautions[0].key == "services"


def test_the_cautions_of_a_scheme_hold_those_of_the_plot(make_scenario, compared):
    for ground in GROUNDS:
        comparison = compared(**ground)
        of_site = {caution.key for caution in pc.plot_cautions(comparison.site)}
        for result in comparison.schemes:
            assert of_site <= set(of(comparison, result.id))
