"""The setting-out sheet: against hand calculations, Pythagoras, barycentric interpolation by scipy, and the works themselves."""

import math
from dataclasses import replace

import pytest

from calculators import setting_out as so
from calculators import survey
from calculators import works as w
from calculators.benches import Ring, risers
from calculators.compare import compare
from calculators.schemes import wall_on_footing
from calculators.setting_out import set_out, square_parts_m, staff_reading_m
from calculators.survey import farthest_outside_m

L_SHAPE = ((0.0, 0.0), (7.2, 0.0), (7.2, 3.6), (4.2, 3.6), (4.2, 6.0), (0.0, 6.0))
CUT_CORNER = ((0.0, 0.0), (7.0, 0.0), (7.0, 3.0), (5.0, 5.0), (0.0, 5.0))
SCHEMES = ("thickened-raft", "strip-and-block", "insulated-slab")


def hillside(x, y):
    """Ground that no plane fits: a fall to the south-east with a hollow in it."""
    return 20.0 - 0.03 * x + 0.05 * y - 0.2 * math.exp(-((x - 3) ** 2 + (y - 2) ** 2) / 6.0)


def surveyed(make_scenario, corners=L_SHAPE, **changes):
    """A plan on a survey of odd points round and over it."""
    levels = survey.settled_levels(
        [(1.7 * i - 1.3 + 0.31 * (j % 3), 1.5 * j - 1.2 + 0.23 * (i % 2), 0.0) for i in range(7) for j in range(7)])
    levels = tuple((x, y, hillside(x, y)) for x, y, _ in levels)
    beyond = survey.beyond_survey(levels)
    plot = dict(corners_m=corners, gradient=0.0, falls_to_deg=None, levels_m=levels, beyond_m=beyond, triangles=survey.triangles_through(levels, beyond))
    return make_scenario(plot=plot, **changes)


def sheets(comparison, step=so.TAPE_STEP_M):
    return [(result, set_out(comparison.site, result.works, step)) for result in comparison.schemes]


# Lengths.


def test_diagonals_by_pythagoras(compared):
    # 5.000 x 8.000: diagonal 9.434; 4 x 6: 7.211.  Pythagoras.
    for size, diagonal in (((8.0, 5.0), 9.434), ((6.0, 4.0), 7.211)):
        comparison = compared(size_m=size)
        sheet = set_out(comparison.site, comparison.schemes[0].works)
        assert [round(line.length_m, 3) for line in sheet.diagonals] == [diagonal, diagonal]
        assert [(line.first + line.second, line.length_m) for line in sheet.sides] == [("AB", size[0]), ("BC", size[1]), ("CD", size[0]), ("DA", size[1])]


@pytest.mark.parametrize("corners", [L_SHAPE, CUT_CORNER])
def test_coordinates_sides_and_diagonals_are_one_figure(make_scenario, corners):
    comparison = compare(surveyed(make_scenario, corners))
    sheet = set_out(comparison.site, comparison.schemes[1].works)
    place = {spot.name: (spot.along_m, spot.square_m) for spot in sheet.corners}
    assert place["A"] == (0.0, 0.0) and place["B"] == pytest.approx((max(line.length_m for line in sheet.sides), 0.0))
    assert len(sheet.distances) == math.comb(len(corners), 2)
    for line in sheet.distances:
        assert math.dist(place[line.first], place[line.second]) == pytest.approx(line.length_m, abs=1e-12)
    # The angles of a polygon add up to so many straight angles.
    assert sum(sheet.angles_deg) == pytest.approx(180.0 * (len(corners) - 2))


def test_a_plan_of_many_corners_lists_what_fixes_each(make_scenario):
    steps = ((0, 0), (9, 0), (9, 3), (7, 3), (7, 5), (5, 5), (5, 7), (0, 7))
    comparison = compare(surveyed(make_scenario, tuple((float(x), float(y)) for x, y in steps)))
    sheet = set_out(comparison.site, comparison.schemes[1].works)
    for name in (spot.name for spot in sheet.corners[2:]):
        pairs = {frozenset((line.first, line.second)) for line in sheet.distances}
        assert {frozenset(("A", name)), frozenset(("B", name))} <= pairs


@pytest.mark.parametrize(
    ("base", "other", "parts"), [(6.6, 4.2, (5.6, 4.2, 7.0)), (4.0, 3.0, (4.0, 3.0, 5.0)), (5.0, 4.9, (4.8, 3.6, 6.0)), (3.0, 4.0, (3.0, 4.0, 5.0))])
def test_three_four_five(base, other, parts):
    found = square_parts_m(base, other, 0.1)
    assert found == parts and found[0] <= base and found[1] <= other
    assert found[0] ** 2 + found[1] ** 2 == pytest.approx(found[2] ** 2)


def test_sides_too_short_for_a_triangle_are_refused():
    assert square_parts_m(0.4, 0.3, 0.1) == (0.4, 0.3, 0.5)
    with pytest.raises(ValueError, match="too short"):
        square_parts_m(0.39, 0.29, 0.1)


def test_the_triangle_stands_at_a_square_end_of_the_base_line_or_nowhere(make_scenario):
    # A leaning outline: square neither at A nor at B.
    leaning = compare(surveyed(make_scenario, ((0.0, 0.0), (7.0, 0.0), (7.4, 4.0), (0.6, 4.0))))
    assert set_out(leaning.site, leaning.schemes[1].works).triangle is None
    at_end = compare(surveyed(make_scenario, ((0.0, 0.0), (7.0, 0.0), (7.0, 4.0), (0.6, 4.0))))
    triangle = set_out(at_end.site, at_end.schemes[1].works).triangle
    assert (triangle.corner, triangle.towards, triangle.other) == ("B", "A", "C")


# Levels and depths.


def test_corners_and_pegs_on_a_plane_by_hand(compared):
    # Ground falling 1 in 20 to the south from level 0 along the north side, plan 6.6 x 4.2 m, topsoil 0.15; slab top
    # fixed at +0.05: slab 0.125, blinding 0.05, bed 0.15, so the floor's formation lies at 0.05 - 0.325 = -0.275 and the
    # edge's, 0.3 deep on sand, at 0.05 - 0.3 - 0.05 - 0.15 = -0.45.
    comparison = compared(gradient=1 / 20, raft=dict(floor_level_m=0.05, low_side="batter"), schemes=("thickened-raft",))
    sheet = set_out(comparison.site, comparison.schemes[0].works)
    for spot in sheet.corners:
        ground = -(4.2 - spot.square_m) / 20
        assert spot.ground_m == pytest.approx(ground, abs=1e-9)
        assert spot.dig_to_m == pytest.approx(-0.45, abs=1e-5)
        assert spot.dig_m == pytest.approx(ground + 0.45, abs=1e-5)
        assert spot.stone_m == pytest.approx(0.15, abs=1e-5) and spot.fill_m == pytest.approx(0.0, abs=1e-9)
    assert sheet.pegs
    for peg in sheet.pegs:
        stripped = -(4.2 - peg.square_m) / 20 - 0.15
        assert peg.dig_to_m == pytest.approx(min(stripped, -0.275), abs=1e-9)
        assert peg.stone_m == pytest.approx(-0.125 - min(stripped, -0.275), abs=1e-9)
        assert peg.fill_m == pytest.approx(max(0.0, -0.275 - stripped), abs=1e-9)
    levels = {mark.name: mark.level_m for mark in sheet.marks}
    assert list(levels.values()) == pytest.approx([-0.275, -0.125, -0.075, 0.05, 0.275])
    assert all(mark.level_m + mark.traveller_m == pytest.approx(sheet.sight_m) for mark in sheet.marks)
    assert sheet.high_corner in ("C", "D")


def test_levels_are_those_of_the_survey(make_scenario):
    interpolate = pytest.importorskip("scipy.interpolate")
    scenario = surveyed(make_scenario)
    comparison = compare(scenario)
    plot = scenario.plot
    linear = interpolate.LinearNDInterpolator([p[:2] for p in plot.levels_m], [p[2] for p in plot.levels_m])
    for _, sheet in sheets(comparison):
        # Level 0 is the highest ground; one corner ties the two datums together.
        datum = float(linear(*sheet.corners[0].point)) - sheet.corners[0].ground_m
        for spot in (*sheet.corners, *sheet.pegs):
            assert float(linear(*spot.point)) - datum == pytest.approx(spot.ground_m, abs=1e-9)
        assert max(spot.ground_m for spot in (*sheet.corners, *sheet.pegs)) <= 1e-9
        high = sheet.base.at(*sheet.high_point)
        assert float(linear(*high)) - datum == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("scheme", SCHEMES)
def test_what_is_dug_at_a_peg_is_topsoil_and_the_digs_below_it(make_scenario, scheme):
    spot_m = (((1.0, 1.0), (2.6, 1.0), (2.6, 2.6), (1.0, 2.6)), 0.4)
    scenario = surveyed(make_scenario, schemes=(scheme,))
    scenario = replace(scenario, plot=replace(scenario.plot, soft_spots_m=(spot_m,)))
    comparison = compare(scenario)
    works = comparison.schemes[0].works
    sheet = set_out(comparison.site, works)

    def thickness(parts, point):
        """Height of the prisms of some parts over a point, found without the sheet's own reading."""
        x, y = point
        total = 0.0
        for solid in works.solids:
            if solid.part in parts:
                for piece in solid.pieces:
                    corners = piece.polygon
                    if all((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]) >= 0 for a, b in zip(corners, corners[1:] + corners[:1])):
                        total += piece.top.minus(piece.bottom).z(point)
        return total

    for peg in sheet.pegs:
        # A hair aside, off the edges that two prisms share.
        point = (peg.point[0] + 1.3e-6, peg.point[1] + 0.7e-6)
        assert thickness(w.DIGS, point) == pytest.approx(peg.dig_m, abs=1e-6)
        assert thickness((w.SUB_BASE, w.SOFT_SPOT_STONE), point) == pytest.approx(peg.stone_m, abs=1e-6)


def test_pegs_stand_on_the_floor_on_whole_marks_and_are_not_too_many(make_scenario, compared):
    big = compared(size_m=(12.0, 9.0))
    for comparison in (compare(surveyed(make_scenario)), big):
        for result, sheet in sheets(comparison, 0.05):
            assert 4 <= len(sheet.pegs) <= so.MOST_PEGS
            for peg in sheet.pegs:
                assert farthest_outside_m(peg.point, peg.point, comparison.site.plan.inset(sheet.ring_m[1])) == 0.0
                for place in (peg.along_m, peg.square_m):
                    assert place / 0.05 == pytest.approx(round(place / 0.05), abs=1e-6)


# Bottoms along the walls.


@pytest.mark.parametrize("scheme", ("strip-and-block", "insulated-slab"))
def test_trench_bottoms_are_the_benches_of_the_footing(compared, ground, scheme):
    comparison = compared(**ground, schemes=(scheme,))
    works = comparison.schemes[0].works
    sheet = set_out(comparison.site, works)
    footings = [solid for solid in works.solids if solid.part == w.FOOTING]
    underside = min(piece.bottom.at_origin for solid in footings for piece in solid.pieces)
    assert min(bottom.formation_m for bottom in sheet.bottoms) == pytest.approx(works.founding_level_m) == pytest.approx(underside)
    stepped = [(bottom.side, bottom.to_m, bottom.step_m, bottom.overlap_m) for bottom in sheet.bottoms if bottom.step_m > 0.0]
    assert sorted((side, round(at, 6)) for side, at, _, _ in stepped) == sorted((step.wall, round(step.chainage_m, 6)) for step in works.steps)
    assert {(step, overlap) for _, _, step, overlap in stepped} == {(step.height_m, step.overlap_m) for step in works.steps}
    for side in comparison.site.plan.sides:
        own = [bottom for bottom in sheet.bottoms if bottom.side == side.name]
        assert own[0].from_m == 0.0 and own[-1].to_m == pytest.approx(side.length_m)
        for here, following in zip(own, own[1:]):
            assert here.to_m == pytest.approx(following.from_m)
            assert abs(here.formation_m - following.formation_m) == pytest.approx(here.step_m)
    assert all(bottom.concrete_top_m - bottom.concrete_m == pytest.approx(works.sizes["footing_thickness_m"]) for bottom in sheet.bottoms)


def test_trench_bottoms_are_the_benches_that_were_laid(compared, monkeypatch):
    laid = []
    monkeypatch.setattr(wall_on_footing, "lay_benches", lambda *given, make=wall_on_footing.lay_benches: laid.append(made := make(*given)) or made)
    comparison = compared(gradient=0.12, falls_to_deg=135.0, strip=dict(floor_level_m=0.0), schemes=("strip-and-block",))
    works = comparison.schemes[0].works
    benches = laid[-1]
    ring = Ring(comparison.site.plan, works.sizes["block_thickness_m"] / 2, works.sizes["footing_width_m"])
    sheet = set_out(comparison.site, works)
    assert len(risers(benches, 0.225)) > 2
    for side in comparison.site.plan.sides:
        for share in (0.013, 0.27, 0.51, 0.77, 0.991):
            along = share * side.length_m
            chainage = ring.starts_m()[side.index] + min(max(along - side.span(ring.centre_m)[0], 0.0), side.length_m)
            bench = next(b for b in benches if any(b.from_m - 1e-9 <= chainage + lap < b.to_m for lap in (0.0, ring.length_m)))
            from_start = next(reach.first for reach in sheet.reaches if reach.side == side.name)
            found = next(
                bottom for bottom in sheet.bottoms if bottom.side == side.name
                and bottom.from_m <= (along if bottom.from_corner == from_start else side.length_m - along) <= bottom.to_m)
            assert found.formation_m == pytest.approx(bench.underside_m)


def test_depths_of_a_trench_by_hand(compared):
    # 1 in 10 to the south over 4.2 m: along the east wall the ground runs from 0 to -0.42; the bottom is level between steps.
    comparison = compared(gradient=0.1, schemes=("strip-and-block",))
    sheet = set_out(comparison.site, comparison.schemes[0].works)
    east = [bottom for bottom in sheet.bottoms if bottom.side == "east"]
    assert east[0].from_corner == "C" and east[-1].to_corner == "B"
    for bottom in east:
        assert bottom.most_dig_m == pytest.approx(-0.1 * bottom.from_m - bottom.formation_m)
        assert bottom.least_dig_m == pytest.approx(-0.1 * bottom.to_m - bottom.formation_m)


# Profiles.


def test_profiles_stand_clear_of_the_dig_and_the_stone_in_line_with_their_side(compared, ground):
    comparison = compared(**ground)
    for result, sheet in sheets(comparison):
        for board in sheet.boards:
            assert comparison.site.plan.side(board.side).inside(board.point) == pytest.approx(0.0, abs=1e-9)
            assert board.height_m + board.ground_m == pytest.approx(sheet.sight_m)
            assert board.height_m >= so.SIGHT_ABOVE_M.value - 1e-9
        points = [
            point for solid in result.works.solids if solid.part in (*so.EARTH_DIGS, w.BATTER) for piece in solid.pieces for point in piece.polygon]
        for board in sheet.boards:
            assert min(math.dist(board.point, point) for point in points) >= so.PROFILE_CLEAR_M.value - 1e-6


def test_the_distance_back_by_hand(compared):
    # Flat ground: nothing goes further out than the 0.3 m of the topsoil strip, so profiles stand 1.3 m back.
    comparison = compared(schemes=("strip-and-block",))
    sheet = set_out(comparison.site, comparison.schemes[0].works)
    assert [board.back_m for board in sheet.boards] == pytest.approx([1.3] * 8)
    assert {(round(board.point[0], 9), round(board.point[1], 9)) for board in sheet.boards} == {
        (-1.3, 0.0), (7.9, 0.0), (6.6, -1.3), (6.6, 5.5), (7.9, 4.2), (-1.3, 4.2), (0.0, -1.3), (0.0, 5.5)}


def test_at_an_inner_corner_the_string_runs_on_across_the_building(make_scenario):
    comparison = compare(surveyed(make_scenario, schemes=("strip-and-block",)))
    sheet = set_out(comparison.site, comparison.schemes[0].works)
    inner = {board.side: board for board in sheet.boards if board.corner == "D"}
    assert [spot.point for spot in sheet.corners if spot.name == "D"] == [(4.2, 3.6)]
    # From D the north side of the short arm runs on west over 4.2 m, the east side of the long arm south over 3.6 m.
    assert inner["north 2"].back_m == pytest.approx(4.2 + 1.3) and inner["east 2"].back_m == pytest.approx(3.6 + 1.3)


def test_a_profile_over_the_boundary_is_marked(compared):
    comparison = compared(plot=dict(boundary_m={"north": 1.2}), schemes=("strip-and-block",))
    over = {(board.side, board.corner) for board in set_out(comparison.site, comparison.schemes[0].works).boards if board.over_boundary}
    assert over == {("east", "C"), ("west", "D")}


# The staff, and what must not matter.


def test_a_lower_place_reads_more_on_the_staff():
    # Height of instrument = level of the mark + reading on it; any surveying textbook.
    assert staff_reading_m(-0.785, 1.245) == pytest.approx(2.030)
    assert staff_reading_m(0.0, 1.245) == 1.245


def test_turning_the_plot_turns_nothing_on_the_sheet(make_scenario):
    def turned(point, turn=math.radians(31.0)):
        x, y = point
        return (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))

    flat = surveyed(make_scenario, schemes=("strip-and-block",))
    plot = flat.plot
    round_about = replace(flat, plot=replace(
        plot, corners_m=tuple(map(turned, plot.corners_m)),
        levels_m=tuple((*turned(p[:2]), p[2]) for p in plot.levels_m), beyond_m=tuple((*turned(p[:2]), p[2]) for p in plot.beyond_m)))
    figures = []
    for scenario in (flat, round_about):
        comparison = compare(scenario)
        sheet = set_out(comparison.site, comparison.schemes[0].works)
        figures.append([
            *(value for spot in (*sheet.corners, *sheet.pegs) for value in (spot.along_m, spot.square_m, spot.ground_m, spot.dig_to_m, spot.stone_m)),
            *(line.length_m for line in sheet.distances), *(board.back_m for board in sheet.boards),
            *(bottom.formation_m for bottom in sheet.bottoms), *(bottom.to_m for bottom in sheet.bottoms), sheet.sight_m])
    assert figures[0] == pytest.approx(figures[1], abs=1e-5)
