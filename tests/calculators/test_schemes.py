"""Layouts against the definitions by hand, odd but allowed inputs, and a few hundred plots thrown at random."""

import dataclasses
import math
import random

import pytest

from calculators import works as w
from calculators.compare import compare
from calculators.scenario import REGIONS, SHRINKAGES, SIDES, SOILS

RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"


def verdicts(scheme, name):
    return [check.verdict for check in scheme.works.checks if check.name == name]


# The raft


def ring_by_simpson(perimeter, low, high, count=200):
    """Integral of the mitred ring P w - 4 w2 from low to high, by Simpson's rule (exact for it)."""
    ring = lambda width: perimeter * width - 4 * width**2
    step = (high - low) / count
    return step / 3 * sum((1 if i in (0, count) else 4 if i % 2 else 2) * ring(low + i * step) for i in range(count + 1))


@pytest.mark.parametrize("depth, expected", [(0.300, 5.293), (0.450, 7.266)])
def test_edge_thickening_is_a_frustum(compared, depth, expected):
    """6.6 x 4.2 m, slab 125, edge 450: V = A t + integral of the ring over w from b to b + (D - t).  Source: geometry (derived)."""
    scheme = compared(raft=dict(edge_depth_m=depth)).scheme(RAFT)
    t, b = 0.125, 0.45
    by_integral = 6.6 * 4.2 * t + ring_by_simpson(2 * (6.6 + 4.2), b, b + depth - t)
    assert scheme.quantities["concrete_m3"] == pytest.approx(by_integral, rel=1e-9)
    assert scheme.quantities["concrete_m3"] == pytest.approx(expected, abs=5e-4)


def test_raft_on_the_flat_by_hand(compared):
    scheme = compared(raft=dict(low_side="batter")).scheme(RAFT)
    q, area = scheme.quantities, 6.6 * 4.2
    assert scheme.works.floor_level_m == pytest.approx(0.05)
    assert q["formwork_m2"] == pytest.approx(2 * (6.6 + 4.2) * 0.3)
    assert q["lost_form_m2"] == 0.0
    assert q["blinding_m3"] == pytest.approx(area * 0.05)
    assert q["batter_stone_m3"] == 0.0 and q["land_drain_m"] == 0.0
    # Dug to 150 + 50 under the concrete all over, topsoil (150) apart; the margin to the depth of the edge.
    stripped_to_top = 0.05 + 0.15
    formation_volume = q["concrete_m3"] + area * 0.2 - area * stripped_to_top
    margin = (7.6 * 5.2 - area) * (0.3 + 0.2 - stripped_to_top)
    # The haunch rises through formation's depth only below the stripped surface: the slab's formation is 125 + 200 down.
    assert q["reduce_dig_m3"] == pytest.approx(formation_volume + margin, rel=1e-9)
    assert q["sub_base_m3"] == pytest.approx(area * 0.15, rel=1e-9)
    assert q["blockwork_m2"] == pytest.approx((2 * (6.6 + 4.2) - 4 * 0.14 - 1.2) * 0.225)
    assert q["blocks"] == pytest.approx(9.877 * q["blockwork_m2"], rel=1e-4)


@pytest.mark.parametrize("upstand, level", [(None, 0.05), (0.225, 0.05), (0.0, 0.15), (0.45, 0.05)])
@pytest.mark.parametrize("scheme_id, key", [(RAFT, "raft"), (WARM, "insulated")])
def test_floor_above_the_highest_ground(compared, ground, scheme_id, key, upstand, level):
    """z >= highest ground + max(50 mm, 150 mm - upstand)."""
    scheme = compared(**ground, **{key: dict(upstand_m=upstand)}).scheme(scheme_id)
    assert scheme.works.floor_level_m == pytest.approx(level)
    assert scheme.works.sole_plate_m >= 0.15 - 1e-9
    assert verdicts(scheme, "Damp-proof course above the highest ground") == ["within"]


def test_deepened_edge_goes_into_firm_ground_everywhere(compared, ground):
    """Underside 100 mm below the stripped surface, or as deep as frost asks, under the whole edge."""
    for soil, below in (("medium sand", 0.25), ("silt", 0.45)):
        result = compared(**ground, plot=dict(soil=soil), raft=dict(low_side="deepened"))
        works = result.scheme(RAFT).works
        edge = works.sizes["edge_width_m"]
        for piece in (p for solid in works.solids if solid.part == w.SLAB for p in solid.pieces):
            centre = tuple(sum(c[i] for c in piece.polygon) / len(piece.polygon) for i in (0, 1))
            inside = min(centre[0], 6.6 - centre[0], centre[1], 4.2 - centre[1])
            if inside < edge - 1e-6:
                for part, plane in result.site.ground.over(piece.polygon):
                    assert all(plane.z(p) - below >= piece.bottom.z(p) - 1e-9 for p in part)


def test_shoulder_and_reach(compared):
    """Shoulder at least 500 mm and the fill's height; then 1 up to 1.5 out (common practice, no source)."""
    scheme = compared(gradient=0.1, falls_to_deg=180.0, raft=dict(low_side="batter"), plot=dict(boundary_m={"south": 0.9, "north": 0.1})).scheme(RAFT)
    top_of_stone = 0.05 - 0.3
    fill = top_of_stone - (-0.42 - 0.15)
    assert scheme.works.sizes["shoulder_m"] == pytest.approx(max(0.5, fill))
    # Falling ground meets the batter where the fill and the fall together are used up.
    reach = 0.5 + (fill + 0.1 * 0.5) / (1 / 1.5 - 0.1)
    (check,) = [check for check in scheme.works.checks if check.name.startswith("Batter's reach")]
    assert check.provided == pytest.approx(reach) and "south" in check.name and check.verdict == "outside"
    assert not scheme.buildable


def test_stone_at_the_boundary_itself_is_outside_without_a_ratio(compared):
    scheme = compared(gradient=0.1, raft=dict(low_side="batter"), plot=dict(boundary_m={"south": 0.0})).scheme(RAFT)
    (check,) = [check for check in scheme.works.checks if check.name.startswith("Batter's reach")]
    assert (check.verdict, check.ratio) == ("outside", None)


def test_frost_by_concrete_or_by_drained_stone(compared):
    """450 mm of concrete below the lower ground is within; 450 mm of drained stone is close.  Source: NHBC Standards 4.3.3, 4.4.3 (read)."""
    name = "Depth of the edge against frost"
    flat = compared(plot=dict(soil="silt")).scheme(RAFT)
    assert verdicts(flat, name) == ["within"]
    sloping = compared(gradient=0.04, plot=dict(soil="silt"), raft=dict(low_side="batter")).scheme(RAFT)
    # Low corner: 282 mm of concrete, and the bed goes down to 482.
    assert verdicts(sloping, name) == ["close"]
    deepened = compared(gradient=0.04, plot=dict(soil="silt"), raft=dict(low_side="deepened")).scheme(RAFT)
    assert verdicts(deepened, name) == ["within"]
    assert verdicts(compared(gradient=0.04, plot=dict(soil="gravel")).scheme(RAFT), name) == []
    shallow = compared(plot=dict(soil="silt"), raft=dict(edge_depth_m=0.2, low_side="batter")).scheme(RAFT)
    assert verdicts(shallow, name) == ["outside"]


# The wall on its footing


def test_strip_on_the_flat_by_hand(compared):
    """Footing P - 4 x wall by its width; wall from footing top on the course grid to the damp-proof course."""
    scheme = compared().scheme(STRIP)
    q, works = scheme.quantities, scheme.works
    assert works.floor_level_m == pytest.approx(0.05)  # 50 mm above the ground at the door
    dpc, wall = 0.05 + 0.45, 0.14
    width, thickness = works.sizes["footing_width_m"], works.sizes["footing_thickness_m"]
    assert width == pytest.approx(max(0.14 + 0.3, 0.45)) and thickness == pytest.approx(0.175)  # the projection, 155, in steps of 25
    courses = math.ceil((dpc - (-0.45 + thickness)) / 0.225 - 1e-9)
    footing_top = dpc - courses * 0.225
    length = 2 * (6.6 + 4.2) - 4 * wall
    assert q["footing_concrete_m3"] == pytest.approx(length * width * thickness)
    assert q["blockwork_m2"] == pytest.approx(length * courses * 0.225 - 1.2 * 0.45)
    assert works.founding_level_m == pytest.approx(footing_top - thickness)
    assert q["mortar_m3"] == pytest.approx(0.010 * q["blockwork_m2"])
    assert q["dpc_m"] == pytest.approx(length - 1.2)


@pytest.mark.parametrize("door, threshold, expected", [("south", "raised", 0.05), ("north", "raised", 0.05), ("north", "channel drain", 0.0)])
def test_strip_floor_level(compared, door, threshold, expected):
    """z >= highest + 150 - knee; >= ground at each door + 50 mm (0 behind a channel); >= lowest + 50 mm."""
    scheme = compared(gradient=0.1, falls_to_deg=180.0, building=dict(doors=(door,), door_threshold=threshold)).scheme(STRIP)
    at_door = -0.42 if door == "south" else 0.0
    asked = max(0.15 - 0.45, at_door + expected, -0.42 + 0.05)
    assert scheme.works.floor_level_m == pytest.approx(asked)


def test_steps_add_their_overlap(compared):
    """Each step adds w L S, L = max(2S, T, 300 mm).  Source: NHBC Standards 4.3.8 (read); the volume is geometry."""
    scheme = compared(size_m=(4.0, 9.0), gradient=0.05, strip=dict(block_thickness_m=0.14, footing_width_m=0.45)).scheme(STRIP)
    works, q = scheme.works, scheme.quantities
    assert works.steps and all(step.height_m == pytest.approx(0.225) for step in works.steps)
    thickness = works.sizes["footing_thickness_m"]
    assert thickness == pytest.approx(0.225)
    assert all(step.overlap_m == pytest.approx(0.45) for step in works.steps)
    plain = (2 * 13.0 - 4 * 0.14) * 0.45 * thickness
    assert q["footing_concrete_m3"] == pytest.approx(plain + len(works.steps) * 0.45 * 0.45 * 0.225)
    # Down a straight slope the two side walls step alike.
    assert [step.wall for step in works.steps].count("east") == [step.wall for step in works.steps].count("west")


def test_deep_blocks_get_room_for_a_person(compared):
    """600 mm where blocks are laid more than 0.6 m down (common practice, no source)."""
    shallow = compared(strip=dict(founding_depth_m=0.45)).scheme(STRIP).works.sizes["footing_width_m"]
    deep = compared(strip=dict(founding_depth_m=1.1)).scheme(STRIP).works.sizes["footing_width_m"]
    assert (shallow, deep) == (pytest.approx(0.45), pytest.approx(0.60))


def test_footing_never_stands_in_the_floor(compared, ground):
    """Its top lies under the blinding, whatever thickness and level the reader asks for."""
    for thickness in (None, 0.15, 0.4, 1.0):
        for level in (-0.6, -0.2, 0.1):
            choice = dict(footing_thickness_m=thickness, floor_level_m=level)
            for scheme in compared(**ground, strip=choice, insulated=choice, schemes=(STRIP, WARM)).schemes:
                works = scheme.works
                build = works.slab_thickness_m + works.sizes["insulation_thickness_m"] + 0.05
                highest = max(piece.top.z(piece.polygon[0]) for solid in works.solids if solid.part == w.FOOTING for piece in solid.pieces)
                assert highest <= level - build + 1e-9
                assert scheme.quantities["blockwork_m2"] > 0.0


@pytest.mark.parametrize("topsoil", (0.15, 0.4, 0.6, 1.0))
def test_footing_stands_in_firm_ground_below_deep_topsoil(compared, ground, topsoil):
    """Underside at least 100 mm below the stripped surface under the whole width, whatever frost asks."""
    result = compared(**ground, plot=dict(topsoil_m=topsoil), strip=dict(founding_depth_m=0.2), schemes=(STRIP, WARM))
    for scheme in result.schemes:
        for piece in (p for solid in scheme.works.solids if solid.part == w.TRENCH_DIG for p in solid.pieces):
            for part, plane in result.site.ground.over(piece.polygon):
                assert all(plane.z(p) - topsoil - 0.1 >= piece.bottom.z(p) - 1e-9 for p in part)
        assert scheme.quantities["trench_dig_m3"] > 0.0


def test_a_face_of_just_600_mm_stands_plumb(compared):
    """At the uphill margin the stripped surface is 100 - 150 mm, formation 650 mm down: 600 mm, which is not over 600 mm."""
    scheme = compared(size_m=(12.0, 9.6), gradient=0.2, falls_to_deg=270.0, raft=dict(low_side="batter", floor_level_m=0.05, edge_depth_m=0.5)).scheme(RAFT)
    for solid in scheme.works.solids:
        if solid.part == w.REDUCE_DIG:
            assert max(x for piece in solid.pieces for x, _ in piece.polygon) <= 12.5 + 1e-9


@pytest.mark.parametrize("low, high", [(0.30, 0.14), (0.55, 0.215)])
def test_block_by_what_it_holds_back(compared, low, high):
    """215 mm where more than 450 mm is held back (common practice, no source); four thicknesses at most (NHBC 5.1.4, read)."""
    works = compared(strip=dict(floor_level_m=low)).scheme(STRIP).works
    assert works.sizes["block_thickness_m"] == high
    (check,) = [check for check in works.checks if check.name == "Ground held back by the wall"]
    assert check.provided == pytest.approx(low) and check.required == pytest.approx(4 * high)


def test_fill_is_measured_under_slab_or_insulation(compared):
    """Largest over the area inside the haunch's toe or the wall; outside over 600 mm (NHBC 5.1.4, read)."""
    result = compared(gradient=0.15, raft=dict(low_side="batter"), insulated=dict(block_thickness_m=0.14))
    inset = 0.45 + 0.3 - 0.125
    assert result.scheme(RAFT).works.fill_depth_m == pytest.approx(0.05 - 0.125 + 0.15 + 0.15 * (4.2 - inset))
    assert result.scheme(WARM).works.fill_depth_m == pytest.approx(0.05 - 0.2 + 0.15 + 0.15 * (4.2 - 0.14))
    for scheme_id in (RAFT, WARM):
        scheme = result.scheme(scheme_id)
        assert verdicts(scheme, "Fill under the slab") == ["outside" if scheme.works.fill_depth_m > 0.6 else "close"]


@pytest.mark.parametrize("target", (0.30, 0.22, 0.18, 0.12))
@pytest.mark.parametrize("insulation", ("EPS", "PIR"))
def test_target_u_value_is_reached(compared, target, insulation):
    choice = dict(insulation=insulation, insulation_thickness_m=None, target_u_w_per_m2k=target)
    scheme = compared(insulated=choice, building=dict(walls="block")).scheme(WARM)
    assert scheme.u_value_w_per_m2k <= target + 1e-9
    thinner = compared(insulated=choice | dict(target_u_w_per_m2k=None, insulation_thickness_m=scheme.works.sizes["insulation_thickness_m"] - 0.005),
                       building=dict(walls="block")).scheme(WARM)
    assert thinner.u_value_w_per_m2k > target - 0.01


# Odd, but a reader may ask for it: never an exception, always a reason


@pytest.mark.parametrize("choice, reason", [
    (dict(insulation_thickness_m=None, insulation_r_m2k_per_w=15.0), "Insulation thickness"),
    (dict(insulation_thickness_m=None, target_u_w_per_m2k=0.02), "Insulation thickness"),
    (dict(footing_width_m=0.2, block_thickness_m=0.215), "Footing as wide as its wall"),
    (dict(footing_thickness_m=0.1), "Footing thickness"),
    (dict(founding_depth_m=0.2, floor_level_m=0.3), "Depth of the footing"),
    (dict(floor_level_m=-0.5), "Damp-proof course above the highest ground"),
    (dict(floor_level_m=3.0), "Fill under the slab"),
    (dict(slab_thickness_m=0.05), "Slab thickness"),
])
def test_outside_with_its_reason(compared, choice, reason):
    scheme = compared(insulated=choice).scheme(WARM)
    assert not scheme.buildable and scheme.cash is None
    assert reason in {check.name for check in scheme.reasons}
    (check,) = [check for check in scheme.reasons if check.name == reason]
    assert check.sentence and check.ask and scheme.quantities["concrete_m3"] > 0.0


@pytest.mark.parametrize("choice", [dict(edge_depth_m=1.5), dict(edge_width_m=0.99), dict(edge_width_m=0.9, slab_thickness_m=0.3)])
def test_edges_that_would_meet_have_their_haunch_cut_short(compared, choice):
    scheme = compared(size_m=(2.0, 5.4), plot=dict(soil="firm clay"), raft=choice).scheme(RAFT)
    assert any("would meet" in words for words in scheme.works.assumptions) == (scheme.works.sizes["edge_depth_m"] - scheme.works.slab_thickness_m > 0.9 * (1.0 - scheme.works.sizes["edge_width_m"]))
    solid = 2.0 * 5.4 * scheme.works.sizes["deepest_edge_m"]
    assert 0.5 * solid < scheme.quantities["concrete_m3"] < solid
    assert scheme.quantities["lost_form_m2"] > 0.0


def test_a_region_without_a_frost_depth_says_so(compared):
    for scheme in compared(region="us", building=dict(heated=True), plot=dict(soil="silt")).schemes:
        assert "not worked out" in verdicts(scheme, "Depth against frost")
    for scheme in compared(region="us", building=dict(heated=True), plot=dict(soil="silt", frost_depth_m=1.0668)).schemes:
        assert scheme.works.founding_level_m <= -1.0668 + 1e-9 or scheme.reasons
        assert not verdicts(scheme, "Depth against frost")


def test_ground_without_a_presumed_bearing_says_so(compared):
    scheme = compared(region="us", plot=dict(soil="loose sand", frost_depth_m=0.5)).scheme(STRIP)
    assert verdicts(scheme, "Footing width for the load worked out") == ["not worked out"]


@pytest.mark.parametrize("bearing, uphill, downhill", [
    (180.0, {"north"}, {"south"}), (200.0, {"north"}, {"south"}), (225.0, {"north", "east"}, {"south", "west"}), (270.0, {"east"}, {"west"})])
def test_which_side_faces_uphill(compared, bearing, uphill, downhill):
    """Within 70 degrees of square to the fall, not at it."""
    site = compared(gradient=0.08, falls_to_deg=bearing, schemes=(RAFT,)).site
    facing = {side.name: site.facing(side) for side in site.plan.sides}
    assert {name for name in facing if facing[name] == "uphill"} == uphill
    assert {name for name in facing if facing[name] == "downhill"} == downhill


@pytest.mark.parametrize("gradient", (0.0, 0.019))
def test_level_ground_has_no_uphill(compared, gradient):
    for scheme in compared(gradient=gradient).schemes:
        assert scheme.quantities["land_drain_m"] == 0.0 and scheme.quantities["drain_dig_m3"] == 0.0


def test_reader_may_fix_the_level(compared):
    for scheme in compared(raft=dict(floor_level_m=0.2), strip=dict(floor_level_m=0.2), insulated=dict(floor_level_m=0.2)).schemes:
        assert (scheme.works.floor_level_m, scheme.works.level_set_by) == (0.2, "fixed by you")


# Thrown at random


def a_random_plot(chance):
    """Anything the list of inputs allows, odd things often."""
    def some(**choices):
        return {key: chance.choice(values) for key, values in choices.items() if chance.random() < 0.25}

    size = (chance.choice((2.0, 2.4, 3.6, 4.8, 6.6, 8.4, 12.0, 20.0)), chance.choice((2.0, 2.5, 3.0, 4.2, 5.4, 9.6)))
    if chance.random() < 0.3:
        fall = chance.uniform(0.0, 0.25) * min(size)
        case = dict(corner_levels_m=tuple(chance.choice((0.0, fall, fall / 2, chance.uniform(0.0, fall))) for _ in SIDES))
    else:
        case = dict(gradient=chance.choice((0.0, 0.01, 0.02, 1 / 14, 0.1, 0.2, chance.uniform(0, 0.2), chance.uniform(0, 0.5))),
                    falls_to_deg=chance.choice((0.0, 90.0, 180.0, 270.0, 45.0, 200.0, chance.uniform(0, 360))))
    wall = some(block_thickness_m=(0.1, 0.14, 0.215), footing_width_m=(0.25, 0.45, 1.5), footing_thickness_m=(0.15, 0.225, 0.5, 1.0),
                founding_depth_m=(0.2, 0.9, 2.5), slab_thickness_m=(0.1, 0.3), floor_level_m=(-3.0, -1.0, -0.3, 0.0, 0.3, 1.0, 3.0))
    insulation = chance.choice((dict(insulation_thickness_m=0.025), dict(insulation_thickness_m=0.3),
                                dict(insulation_thickness_m=None, insulation_r_m2k_per_w=chance.choice((0.5, 5.0, 15.0))),
                                dict(insulation_thickness_m=None, target_u_w_per_m2k=chance.choice((0.05, 0.15, 0.3, 1.0)))))
    return case | dict(
        size_m=size, region=chance.choice(REGIONS),
        plot=dict(soil=chance.choice(SOILS), shrinkage=chance.choice(SHRINKAGES), topsoil_m=chance.choice((0.0, 0.15, 0.3, 1.0)),
                  trees=chance.choice(("none", "near")), outfall=chance.random() < 0.5, frost_depth_m=chance.choice((None, None, 0.0, 0.6, 1.0668, 2.5)),
                  boundary_m=chance.choice(({}, {"south": 0.0}, {"east": 1.0, "north": 0.3})), spoil_spread_m3=chance.choice((0.0, 4.0, 500.0))),
        building=dict(walls=chance.choice(("timber frame", "block")), heated=chance.random() < 0.5, door_width_m=0.9,
                      doors=tuple(chance.choices(SIDES, k=chance.choice((0, 1, 2)))), door_threshold=chance.choice(("raised", "channel drain"))),
        raft=some(slab_thickness_m=(0.1, 0.15, 0.3), edge_width_m=(0.3, 0.6, min(1.0, min(size) / 2 - 0.01)), edge_depth_m=(0.31, 0.45, 0.6, 1.5),
                  upstand_m=(0.0, 0.225, 0.675), low_side=("batter", "deepened"), edge_bars=(False,), accept_clay_movement=(True,),
                  floor_level_m=(-3.0, -1.0, -0.3, 0.0, 0.3, 1.0, 3.0)),
        strip=wall | some(knee_height_m=(0.0, 0.225, 1.35)), insulated=wall | insulation | some(insulation=("EPS", "XPS", "PIR"), upstand_m=(0.0, 0.225, 0.675)))


@pytest.mark.parametrize("seed", range(12))
def test_thrown_at_random(make_scenario, seed):
    chance = random.Random(seed)
    for _ in range(25):
        case = a_random_plot(chance)
        result = compare(make_scenario(**case))
        for scheme in result.schemes:
            works, told = scheme.works, (case, scheme.id)
            assert all(math.isfinite(value) and value >= 0.0 for value in scheme.quantities.values()), told
            assert scheme.buildable == (not any(check.verdict == "outside" and check.stops for check in works.checks)), told
            assert (scheme.cash is None) == (not scheme.buildable), told
            assert all(check.ratio is None or math.isfinite(check.ratio) for check in works.checks), told
            assert all(check.sentence and (check.ask or check.verdict != "outside") for check in works.checks), told
            assert all(piece.volume_m3 >= -1e-9 for solid in works.solids for piece in solid.pieces), told
            assert works.founding_level_m <= works.floor_level_m
            assert all(0.0 <= step.chainage_m <= 20.0 and step.height_m == pytest.approx(0.225) for step in works.steps), told
            choice = {RAFT: case["raft"], STRIP: case["strip"], WARM: case["insulated"]}[scheme.id]
            outside = {check.name for check in scheme.reasons}
            # What the layout itself chooses must pass the checks of it.
            if "floor_level_m" not in choice:
                assert not outside & {"Damp-proof course above the highest ground", "Floor above the highest ground", "Floor above the lowest ground"}, told
                assert not any(name.startswith("Floor above the ground at") for name in outside), told
            if scheme.id != RAFT:
                if "founding_depth_m" not in choice and case["plot"]["shrinkage"] != "unknown":
                    assert not any(name.startswith("Depth of the footing") for name in outside), told
                # A wall heavier than any table holds is laid out for scale, and its footing with it.
                heavy = any(check.name == "Footing width for the load worked out" and check.required is None for check in scheme.reasons) \
                    or "Load of the heaviest wall" in outside
                if "footing_thickness_m" not in choice and not heavy:
                    assert not any(name.startswith("Footing thickness") for name in outside), told
                if "footing_width_m" not in choice and not heavy:
                    assert "Footing width for the load worked out" not in outside and "Footing as wide as its wall" not in outside, told
        order = result.decision.order
        costs = [result.scheme(scheme_id).like_for_like.likely for scheme_id in order]
        assert costs == sorted(costs) and set(order) == {scheme.id for scheme in result.schemes if scheme.buildable}


def test_random_plots_in_a_mirror(make_scenario):
    """East for west: every quantity the same."""
    chance, names = random.Random(99), {"north": "north", "south": "south", "east": "west", "west": "east"}
    for _ in range(60):
        case = a_random_plot(chance)
        scenario = make_scenario(**case)
        mirrored = dict(case, building=case["building"] | dict(doors=tuple(names[door] for door in case["building"]["doors"])),
                        plot=case["plot"] | dict(boundary_m={names[side]: far for side, far in case["plot"]["boundary_m"].items()}))
        if "corner_levels_m" in case:
            south_west, south_east, north_east, north_west = case["corner_levels_m"]
            mirrored["corner_levels_m"] = (south_east, south_west, north_west, north_east)
        else:
            mirrored["falls_to_deg"] = (360.0 - case["falls_to_deg"]) % 360.0
        for one, two in zip(compare(scenario).schemes, compare(make_scenario(**mirrored)).schemes):
            assert two.works.variant == one.works.variant, case
            for key, value in one.quantities.items():
                assert two.quantities[key] == pytest.approx(value, rel=1e-9, abs=1e-9), (key, case)
            assert len(two.works.steps) == len(one.works.steps)
            assert dataclasses.astuple(two.earth) == pytest.approx(dataclasses.astuple(one.earth), rel=1e-9, abs=1e-9)
