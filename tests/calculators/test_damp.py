"""Membrane and damp-proof course from the ground to the timber: paths by hand, and every check past its limit once.

Limits come from NHBC Standards 5.1.19 and 5.1.20 (read): 150 mm above the ground, laps of 100 and 300 mm; they are
rows of docs/evidence.  What is marked common practice has no source.
"""

import math
from dataclasses import replace

import pytest

from calculators import damp
from calculators.compare import compare
from calculators.damp import Segment
from calculators.scenario import REGIONS, EdgeDetails
from calculators.schemes import common

RAFT, STRIP, INSULATED = "thickened-raft", "strip-and-block", "insulated-slab"

JOINED, CLEAR, STRIP_LAP, HEAD_LAP = (
    "Membrane and damp-proof course meet", "Damp-proof course above the ground, {} side", "Lap of the edge strip on the membrane",
    "Lap of the membrane under the damp-proof course")
SHEET_LAP, COURSE_LAP, PATCH = "Laps of the membrane", "Laps of the damp-proof course", "Patch on a torn membrane"
CLADDING, PAST, RENDER = "Lower edge of the cladding above the ground", "Cladding past the face below it", "Render over the damp-proof course"
PAVING, PAVING_FALL, INSULATION = "Paving, stone or soil below the damp-proof course", "Fall of paving away from the wall", "Insulation carried down outside the edge"
EDGE_BOARD, ABOVE, FACE, DOOR = "Edge board on the damp side of the membrane", "Ground outside above the floor", "Outer face of the wall in the ground", "Damp-proofing at the {} door"


def _checks(comparison, scheme, details=EdgeDetails()):
    return {check.name: check for check in damp.damp_checks(comparison.site, comparison.scheme(scheme).works, details)}


def _path(comparison, scheme, side, along_m=None):
    return damp.damp_path(comparison.site, comparison.scheme(scheme).works, comparison.site.plan.side(side), along_m)



# Paths, worked out by hand.


def test_path_through_a_raft_by_hand(compared):
    """Floor 0.05 above the ground; slab 125, edge 450 wide and 300 deep, haunch 45 degrees, block of 225; trimmed 20 below the top."""
    path = _path(compared(), RAFT, "south")
    by_hand = {
        "membrane under the slab": ((0.625 + 0.6, -0.075), (0.625, -0.075)),
        "membrane under the edge": ((0.625, -0.075), (0.45, -0.25), (0.0, -0.25)),
        "membrane turned up": ((0.0, -0.25), (0.0, 0.03)),
        "strip over the slab edge": ((0.0, 0.03 - 0.15), (0.0, 0.275), (0.1, 0.275)),
        "damp-proof course": ((0.0, 0.275), (0.14, 0.275)),
        "sole plate": ((0.0, 0.275), (0.14, 0.275)),
    }
    assert {segment.what: list(segment.points) for segment in path.floor} == {what: [pytest.approx(p, abs=1e-6) for p in points] for what, points in by_hand.items()}
    assert [segment.what for segment in path.floor] == list(by_hand)
    assert path.face == () and [segment.what for segment in path.floor if segment.added] == ["strip over the slab edge"]


def test_path_through_a_knee_wall_by_hand(compared):
    """On level ground the door asks for a floor at +0.05: slab 100, so the sheet lies at -0.05 and goes up to the course at 0.05 + 0.45."""
    path = _path(compared(), STRIP, "south")
    found = {segment.what: list(segment.points) for segment in path.floor}
    assert found["membrane under the slab"] == [pytest.approx((0.14 + 0.6, -0.05)), pytest.approx((0.14, -0.05))]
    assert found["membrane turned up"] == [pytest.approx((0.14, -0.05)), pytest.approx((0.14, 0.5)), pytest.approx((0.04, 0.5))]
    assert found["damp-proof course"] == [pytest.approx((0.0, 0.5)), pytest.approx((0.14, 0.5))]
    (face,) = path.face
    # From the top of the footing up to splash height: footing 150 thick, its top a whole number of courses below the course.
    assert face.points[1] == pytest.approx((0.0, 0.15))
    courses = (0.5 - face.points[0][1]) / 0.225
    assert courses == pytest.approx(round(courses)) and face.points[0][1] < -0.3 + 0.225


def test_sheet_of_an_insulated_slab_goes_round_its_edge_board(compared):
    """Floor +0.05, slab 100, board 100: the sheet at -0.15, up between slab and edge board of 50, over it and up the block."""
    path = _path(compared(), INSULATED, "west")
    found = {segment.what: list(segment.points) for segment in path.floor}
    assert found["membrane turned up"] == [
        pytest.approx(p) for p in ((0.19, -0.15), (0.19, 0.05), (0.14, 0.05), (0.14, 0.275), (0.04, 0.275))]


def test_membrane_follows_a_deepened_edge_down(compared):
    comparison = compared(gradient=1 / 8, raft=dict(low_side="deepened"))
    works = comparison.scheme(RAFT).works
    assert works.sizes["deepest_edge_m"] > works.sizes["edge_depth_m"] + 0.2
    high, low = _path(comparison, RAFT, "north"), _path(comparison, RAFT, "south")
    deep = {segment.what: segment.points for segment in low.floor}["membrane under the edge"]
    assert min(z for _, z in deep) == pytest.approx(works.founding_level_m) and len(deep) == 4
    assert deep[1][0] == deep[2][0] == pytest.approx(0.45)
    # The ground falls 56 mm under the edge on the high side: one step of 225 mm below its 300.
    assert min(z for segment in high.floor for _, z in segment.points) == pytest.approx(0.05 - 0.3 - 0.225)


def test_every_path_is_without_a_gap_and_lies_inside_the_works(compared, ground):
    comparison = compared(**ground)
    for result in comparison.schemes:
        paths = damp.damp_paths(comparison.site, result.works)
        assert [path.side.name for path in paths] == [side.name for side in comparison.site.plan.sides]
        for path in paths:
            assert damp.gap_m(path.floor) == 0.0
            assert path.floor[-2].what == "damp-proof course" and path.floor[-2].points[0][1] == result.works.sole_plate_m
            assert path.lowest_m - 1e-9 <= path.ground_m <= path.highest_m + 1e-9 <= 1e-6 + max(0.0, path.highest_m)
            levels = [z for segment in path.floor + path.face for _, z in segment.points]
            assert min(levels) >= result.works.founding_level_m - 1e-9 and max(levels) == pytest.approx(result.works.sole_plate_m)
        for door in comparison.site.doors:
            path = damp.door_path(comparison.site, result.works, door)
            assert damp.gap_m(path.floor) == 0.0
            assert max(z for segment in path.floor + path.face for _, z in segment.points) <= result.works.floor_level_m + 1e-9


def test_ground_at_a_side_by_hand(compared):
    """4.2 m at 1 in 14 falls 0.3 m: the south side is level 0.3 below the north one, and the east side has both."""
    sides = {path.side.name: path for path in damp.damp_paths(*_at(compared(gradient=1 / 14), STRIP))}
    assert (sides["north"].highest_m, sides["north"].lowest_m) == pytest.approx((0.0, 0.0), abs=1e-9)
    assert (sides["south"].highest_m, sides["south"].lowest_m) == pytest.approx((-0.3, -0.3))
    assert (sides["east"].highest_m, sides["east"].lowest_m) == pytest.approx((0.0, -0.3), abs=1e-9)


def _at(comparison, scheme):
    return comparison.site, comparison.scheme(scheme).works


def test_stone_outside_a_raft_counts_as_its_ground(compared):
    """Edge 300 deep under a floor at +0.05: stone at -0.25 lies over ground at -0.3."""
    comparison = compared(gradient=1 / 14, raft=dict(low_side="batter"))
    assert _path(comparison, RAFT, "south").highest_m == pytest.approx(-0.25)
    assert _path(comparison, STRIP, "south").highest_m == pytest.approx(-0.3)


def test_cross_sections_keep_clear_of_corners(compared):
    side = compared().site.plan.side("south")
    assert damp.clear_of_corners_m(side, 0.0) == 1.0 and damp.clear_of_corners_m(side, 6.6) == pytest.approx(5.6)
    short = replace(side, length_m=1.5)
    assert damp.clear_of_corners_m(short, 0.1) == pytest.approx(0.75)


def test_a_scheme_without_a_floor_on_the_ground_is_refused(compared):
    comparison = compared()
    works = replace(comparison.scheme(RAFT).works, scheme="pads", sizes={})
    with pytest.raises(ValueError, match="no path of damp-proofing is held for pads"):
        damp.damp_checks(comparison.site, works)


# Formulas beyond their examples.


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_levels_that_are_no_numbers_are_refused(bad):
    for formula in (lambda: damp.least_dpc_level_m(bad), lambda: damp.greatest_paving_level_m(bad), lambda: damp.face_top_m(0.0, bad),
                    lambda: damp.cladding_foot_m(0.0, bad), lambda: damp.patch_side_m(bad, 0.3), lambda: common.strip_width_m(0.1, 0.02, bad, 0.1)):
        with pytest.raises(ValueError):
            formula()


def test_patches_and_strips_take_no_negative_lengths():
    for formula in (lambda: damp.patch_side_m(-0.01, 0.3), lambda: damp.patch_side_m(0.1, 0.0), lambda: common.strip_width_m(0.1, -0.02, 0.2, 0.1)):
        with pytest.raises(ValueError):
            formula()


def test_cladding_hangs_where_there_is_room_on_both_sides_of_the_limit():
    assert damp.cladding_foot_m(0.0, 0.175) == pytest.approx(0.15) and damp.cladding_foot_m(0.0, 0.1749) == pytest.approx(0.1749)


def test_face_is_covered_to_splash_height_on_both_sides_of_the_limit():
    assert damp.face_top_m(0.0, 0.16) == pytest.approx(0.15) and damp.face_top_m(0.0, 0.14) == pytest.approx(0.14)


def test_a_gap_is_found_and_a_strip_closes_it():
    sheet, course = Segment("sheet", ((0.0, -0.3), (0.0, 0.03)), "a"), Segment("course", ((0.0, 0.275), (0.14, 0.275)), "b")
    assert damp.gap_m((sheet, course)) == pytest.approx(0.245)
    too_short = Segment("strip", ((0.0, -0.1), (0.0, 0.2)), "c")
    assert damp.gap_m((sheet, too_short, course)) == pytest.approx(0.075)
    with pytest.raises(ValueError, match="two segments"):
        damp.gap_m((sheet,))


# Checks: as laid out at the lowest level that the rules allow.


def test_every_check_has_its_working_and_its_page(compared, ground):
    comparison = compared(**ground)
    for result in comparison.schemes:
        checks = damp.damp_checks(comparison.site, result.works)
        assert len({check.name for check in checks}) == len(checks)
        for check in checks:
            assert check.method == "damp" and check.working and check.sentence and check.mark
            assert check.verdict in ("within", "close", "outside", "not worked out")
            assert (check.verdict == "outside") == bool(check.ask)
            assert (check.verdict == "not worked out") == (check.provided is None and check.verdict != "close")
            assert not {"safe", "compliant"} & set(check.sentence.lower().split())
            # Only the clearance is what a scheme is struck out for; its whole-building check is there already.
            assert check.stops == check.name.startswith("Damp-proof course above the ground")


def test_what_nobody_can_know_is_an_instruction(compared):
    for scheme in (RAFT, STRIP, INSULATED):
        checks = _checks(compared(), scheme)
        for name in (SHEET_LAP, COURSE_LAP, PATCH, PAST, PAVING, PAVING_FALL, INSULATION):
            assert checks[name].verdict == "not worked out" and checks[name].provided is None, name
    assert checks[SHEET_LAP].required == 0.3 and checks[COURSE_LAP].required == 0.1 and checks[PAVING].required == 0.15


def test_raft_joins_only_by_its_strip(compared):
    check = _checks(compared(), RAFT)[JOINED]
    # 20 mm of slab and a course of 225 mm are bare.
    assert check.verdict == "close" and check.provided == pytest.approx(0.245)
    assert "strip" in check.sentence and "in the quantities" in check.sentence
    assert _checks(compared(), STRIP)[JOINED].verdict == _checks(compared(), INSULATED)[JOINED].verdict == "within"


def test_raft_is_outside_where_its_bare_edge_lies_in_the_ground(make_scenario):
    """Floor 20 mm above the ground: the sheet ends level with it. With 10 mm more it is clear."""
    verdicts = []
    for level in (0.02, 0.03):
        comparison = compare(make_scenario(raft=dict(floor_level_m=level), schemes=(RAFT,)))
        verdicts.append(_checks(comparison, RAFT)[JOINED].verdict)
    assert verdicts == ["outside", "close"]


@pytest.mark.parametrize("level, verdict", [(-0.0751, "outside"), (-0.075, "within")])
def test_clearance_of_each_side_on_both_sides_of_its_limit(make_scenario, level, verdict):
    """A course of 225 mm on a floor 75 mm below the ground is 150 mm above it; only the side at the top of the slope is near."""
    comparison = compare(make_scenario(gradient=1 / 14, raft=dict(floor_level_m=level), schemes=(RAFT,)))
    checks = _checks(comparison, RAFT)
    assert checks[CLEAR.format("north")].verdict == verdict
    assert checks[CLEAR.format("south")].verdict == "within"
    assert checks[CLEAR.format("north")].provided == pytest.approx(level + 0.225)


def test_limit_of_clearance_is_that_of_the_region(compared):
    for region in REGIONS:
        comparison = compared(region=region, plot=dict(frost_depth_m=0.3))
        check = _checks(comparison, STRIP)[CLEAR.format("north")]
        assert check.required == comparison.site.rules.dpc_above_ground_m.value and check.source == comparison.site.rules.dpc_above_ground_m.citation


def test_strip_needs_an_upturn_to_hold_to(compared):
    """An edge 150 deep turns up 130 mm of sheet, less than the 150 mm that the strip laps (common practice); 170 is enough."""
    assert _checks(compared(raft=dict(edge_depth_m=0.15)), RAFT)[STRIP_LAP].verdict == "outside"
    check = _checks(compared(raft=dict(edge_depth_m=0.17)), RAFT)[STRIP_LAP]
    assert check.verdict == "within" and "0.150 + 0.020 + 0.225 + 0.100 = 0.495 m" in check.working


def test_thin_wall_leaves_no_lap_at_its_head(compared):
    assert _checks(compared(strip=dict(block_thickness_m=0.09)), STRIP)[HEAD_LAP].verdict == "outside"
    assert _checks(compared(strip=dict(block_thickness_m=0.1)), STRIP)[HEAD_LAP].verdict == "within"


@pytest.mark.parametrize("name, field, short, enough", [
    (SHEET_LAP, "membrane_lap_m", 0.299, 0.3), (COURSE_LAP, "dpc_lap_m", 0.099, 0.1), (PATCH, "patch_lap_m", 0.2, 0.3),
    (PAST, "cladding_past_face_m", 0.02, 0.025), (PAVING, "paving_below_dpc_m", 0.149, 0.15), (PAVING_FALL, "paving_fall", 0.0, 0.025),
])
@pytest.mark.parametrize("scheme", [RAFT, STRIP, INSULATED])
def test_what_is_measured_is_held_against_its_limit(compared, scheme, name, field, short, enough):
    comparison = compared()
    assert _checks(comparison, scheme, EdgeDetails(**{field: short}))[name].verdict == "outside"
    check = _checks(comparison, scheme, EdgeDetails(**{field: enough}))[name]
    assert check.verdict == "within" and check.provided == enough


def test_cladding_must_pass_insulation_outside_the_edge(compared):
    """50 mm of board and 25 mm to the drip: 75 mm past the face."""
    comparison = compared()
    assert _checks(comparison, RAFT, EdgeDetails(cladding_past_face_m=0.074, outside_insulation_m=0.05))[PAST].verdict == "outside"
    assert _checks(comparison, RAFT, EdgeDetails(cladding_past_face_m=0.075, outside_insulation_m=0.05))[PAST].verdict == "within"


def test_cladding_near_the_ground(make_scenario):
    """Course 160 above the ground: the plate is clear and boards hanging 25 below it are not. At 140 the plate is not either."""
    verdicts = []
    for level in (0.175 - 0.225, 0.16 - 0.225, 0.14 - 0.225):
        comparison = compare(make_scenario(raft=dict(floor_level_m=level), schemes=(RAFT,)))
        verdicts.append(_checks(comparison, RAFT)[CLADDING].verdict)
    assert verdicts == ["within", "close", "outside"]


def test_longer_boards_hang_nearer_to_the_ground(compared):
    comparison = compared()
    # A course 275 above the ground leaves 125 for boards to hang.
    assert _checks(comparison, RAFT, EdgeDetails(cladding_below_dpc_m=0.125))[CLADDING].verdict == "within"
    assert _checks(comparison, RAFT, EdgeDetails(cladding_below_dpc_m=0.126))[CLADDING].verdict == "close"


def test_block_walls_have_render_in_place_of_cladding(compared):
    checks = _checks(compared(building=dict(walls="block")), STRIP)
    assert CLADDING not in checks and PAST not in checks and checks[RENDER].verdict == "not worked out"


def test_pir_does_not_belong_on_the_damp_side(compared):
    assert EDGE_BOARD not in _checks(compared(), INSULATED)
    assert _checks(compared(insulated=dict(insulation="PIR")), INSULATED)[EDGE_BOARD].verdict == "close"


@pytest.mark.parametrize("level, outfall, verdict", [
    (-0.1, True, "within"), (-0.149, False, "close"), (-0.151, True, "close"), (-0.151, False, "outside"),
])
def test_floor_below_the_ground_outside(make_scenario, level, outfall, verdict):
    """A step of more than 150 mm needs waterproofing (NHBC Standards 5.1.19, read); a drain with an outfall makes it a condition."""
    comparison = compare(make_scenario(gradient=1 / 10, strip=dict(floor_level_m=level), schemes=(STRIP,), plot=dict(outfall=outfall)))
    assert _checks(comparison, STRIP)[ABOVE].verdict == verdict


def test_buried_face_by_hand(compared):
    """The deepest part of the face goes from the footing's top to 150 above the ground there."""
    comparison = compared(gradient=1 / 14)
    check = _checks(comparison, STRIP)[FACE]
    paths = damp.damp_paths(comparison.site, comparison.scheme(STRIP).works)
    deepest = max(path.ground_m - path.face[0].points[0][1] for path in paths)
    assert f"= {deepest + 0.15:.3f} m, of which {deepest:.3f} m in the ground" in check.working


@pytest.mark.parametrize("level, threshold, verdict", [
    (0.15, "raised", "within"), (0.149, "raised", "close"), (0.05, "raised", "close"), (0.049, "raised", "outside"),
    (0.0, "channel drain", "close"), (-0.001, "channel drain", "outside"),
])
def test_door_on_both_sides_of_each_limit(make_scenario, level, threshold, verdict):
    comparison = compare(make_scenario(strip=dict(floor_level_m=level), schemes=(STRIP,), building=dict(door_threshold=threshold)))
    check = _checks(comparison, STRIP)[DOOR.format("south")]
    assert check.verdict == verdict and check.provided == pytest.approx(level)
    assert ("channel" in check.sentence) == (verdict == "close" and threshold == "channel drain")


def test_steps_at_a_high_door_stand_clear(compared):
    check = _checks(compared(gradient=1 / 14), RAFT)[DOOR.format("south")]
    assert check.verdict == "within" and "Steps stand clear" in check.sentence


def test_raising_the_floor_never_makes_it_damper(make_scenario):
    order = ("within", "close", "outside")
    before = None
    for level in (-0.2, -0.1, 0.0, 0.1, 0.2):
        comparison = compare(make_scenario(gradient=1 / 14, raft=dict(floor_level_m=level), schemes=(RAFT,)))
        found = {name: order.index(check.verdict) for name, check in _checks(comparison, RAFT).items() if check.verdict in order}
        if before:
            assert all(found[name] <= before[name] for name in before if name in found)
        before = found


def test_assumptions_say_when_the_cladding_is_the_readers_own(compared):
    (usual,) = damp.damp_assumptions(*_at(compared(), RAFT))
    (own,) = damp.damp_assumptions(*_at(compared(edge=EdgeDetails(cladding_below_dpc_m=0.05)), RAFT))
    assert "45 mm out" in usual and "what you gave" not in usual and "what you gave" in own
    assert damp.damp_assumptions(*_at(compared(building=dict(walls="block")), RAFT)) == ()


def test_details_are_those_of_the_scenario_unless_others_are_given(compared):
    comparison = compared(edge=EdgeDetails(membrane_lap_m=0.2, paving_fall=0.05))
    own = {check.name: check for check in damp.damp_checks(*_at(comparison, STRIP))}
    assert own[SHEET_LAP].verdict == "outside" and own[PAVING_FALL].verdict == "within" and own[COURSE_LAP].verdict == "not worked out"
    told = {check.name: check.verdict for check in comparison.scheme(STRIP).works.checks if check.method == "damp"}
    assert told == {name: check.verdict for name, check in own.items()}
    assert _checks(comparison, STRIP, EdgeDetails(membrane_lap_m=0.3))[SHEET_LAP].verdict == "within"


def test_insulation_outside_the_edge_is_named_in_its_working(compared):
    assert _checks(compared(edge=EdgeDetails(outside_insulation_m=0.06)), RAFT, None)[INSULATION].working.startswith("0.060 m given")


# Strips in the quantities.


def test_strips_of_a_raft_by_hand(compared):
    """6.6 x 4.2 m with a door of 1.2: 20.4 m of edge by 150 + 20 + 225 + 100; at the door 1.2 + 2 x 0.1 by 140 + 150 + 20 + 100."""
    q = compared().scheme(RAFT).quantities
    assert q["edge_strip_m2"] == pytest.approx(20.4 * 0.495) and q["sill_strip_m2"] == pytest.approx(1.4 * 0.41)


def test_strips_of_a_wall_by_hand(compared):
    """Two doors, each 1.2 + 2 x 0.1, by a wall of 140 and 150 down its face."""
    q = compared(building=dict(doors=("south", "east"))).scheme(STRIP).quantities
    assert q["sill_strip_m2"] == pytest.approx(2 * 1.4 * 0.29) and q["edge_strip_m2"] == 0.0


def test_a_shallow_edge_has_a_narrower_strip(compared):
    """An edge 150 deep turns up 130 of membrane: 130 + 20 + 225 + 100."""
    assert compared(raft=dict(edge_depth_m=0.15)).scheme(RAFT).quantities["edge_strip_m2"] == pytest.approx(20.4 * 0.475)


def test_without_doors_no_sill(compared):
    for result in compared(building=dict(doors=())).schemes:
        assert result.quantities["sill_strip_m2"] == 0.0
        assert result.quantities["edge_strip_m2"] == pytest.approx(21.6 * 0.495 if result.id == RAFT else 0.0)


def _drawn_m(path):
    """How wide the strips of a path are, drawn out flat."""
    return sum(math.dist(a, b) for segment in path.floor if "strip" in segment.what for a, b in zip(segment.points, segment.points[1:]))


def test_strips_are_measured_as_wide_as_drawn(compared, ground):
    comparison = compared(**ground)
    for result in comparison.schemes:
        sides = [_drawn_m(path) for path in damp.damp_paths(comparison.site, result.works)]
        assert result.quantities["edge_strip_m2"] == pytest.approx(max(sides) * (21.6 - 1.2)) and max(sides) == pytest.approx(min(sides))
        at_doors = [_drawn_m(damp.door_path(comparison.site, result.works, door)) for door in comparison.site.doors]
        assert result.quantities["sill_strip_m2"] == pytest.approx(1.4 * sum(at_doors))
