"""Planes, straightedges, high and low spots; numpy and scipy judge them.

The published classes are rows of docs/evidence.
"""

import math
import random
from dataclasses import replace

import pytest

from calculators import flatness
from calculators.ground import Plane

numpy = pytest.importorskip("numpy", reason="the judge of planes and volumes is numpy")

FALL = Plane(0.004, -0.003, 0.02)


def wavy(count_x=6, count_y=5, step=0.9, seed=3, spread=0.006, plane=Plane(0.0, 0.0, 0.0)):
    """Levels on a grid, jogged off it, about a plane."""
    draw = random.Random(seed)
    return [(x := i * step + draw.uniform(-0.1, 0.1), y := j * step + draw.uniform(-0.1, 0.1), plane.z((x, y)) + draw.uniform(-spread, spread))
            for i in range(count_x) for j in range(count_y)]


def grid(heights, step=1.0):
    return [(i * step, j * step, z) for j, row in enumerate(heights) for i, z in enumerate(row)]


def test_best_plane_and_deviations_against_numpy():
    levels = wavy(plane=FALL)
    places = numpy.array([(x, y, 1.0) for x, y, _ in levels])
    heights = numpy.array([z for _, _, z in levels])
    wanted, *_ = numpy.linalg.lstsq(places, heights, rcond=None)
    plane = flatness.reference_plane(levels)
    assert (plane.east, plane.north, plane.at_origin) == pytest.approx(tuple(wanted), abs=1e-12)
    assert flatness.deviations_m(levels, plane) == pytest.approx(tuple(heights - places @ wanted), abs=1e-12)
    assert math.fsum(flatness.deviations_m(levels, plane)) == pytest.approx(0.0, abs=1e-12)


def test_level_plane_is_the_mean():
    levels = wavy(plane=FALL)
    plane = flatness.reference_plane(levels, level=True)
    assert (plane.east, plane.north) == (0.0, 0.0) and plane.at_origin == pytest.approx(numpy.mean([z for _, _, z in levels]))


# The straightedge.


def brute_gap(marks, length, step=0.002):
    """Straightedge slid in small steps; every pair of points that it may touch is tried."""
    places, levels = zip(*marks)
    length = min(length, places[-1] - places[0])
    greatest = 0.0
    for start in numpy.arange(places[0], places[-1] - length + step / 2.0, step):
        end = start + length
        at = numpy.array([start, *[p for p in places if start < p < end], end])
        z = numpy.interp(at, places, levels)
        outline = numpy.max([numpy.where((at >= at[i]) & (at <= at[j]), z[i] + (z[j] - z[i]) * (at - at[i]) / (at[j] - at[i]), -numpy.inf)
                             for i in range(len(at)) for j in range(i + 1, len(at))], axis=0)
        greatest = max(greatest, float(numpy.max(outline - z)))
    return greatest


@pytest.mark.parametrize("seed", range(12))
def test_gap_along_a_line_against_trying_everything(seed):
    draw = random.Random(seed)
    places = sorted(draw.uniform(0.0, 5.0) for _ in range(draw.choice((4, 7, 11))))
    marks = [(place, draw.uniform(-0.008, 0.008)) for place in places]
    found, tried = flatness.gap_along_m(marks, 2.0), brute_gap(marks, 2.0)
    # Small steps miss the top by little and never pass it.
    assert tried - 1e-12 <= found <= tried + 6e-5


def test_gap_of_a_hollow_between_two_slopes_is_found_between_marks():
    """Two falls of 1 and 3 in 1000 that meet: a straightedge of length L bridges L (a + b) / 4, half of it to each side (geometry)."""
    marks = [(0.0, 0.005), (5.0, 0.0), (10.0, 0.015)]
    assert flatness.gap_along_m(marks, 2.0) == pytest.approx(2.0 * 0.004 / 4.0, rel=1e-9)
    assert flatness.gap_along_m(marks, 3.0) == pytest.approx(3.0 * 0.004 / 4.0, rel=1e-9)


def test_a_hump_shows_no_gap_and_a_step_shows_its_height():
    assert flatness.gap_along_m([(0.0, 0.0), (2.0, 0.01), (4.0, 0.0)], 2.0) == 0.0
    assert flatness.gap_along_m([(0.0, 0.0), (1.0, 0.0), (1.0, 0.006), (2.0, 0.006)], 2.0) == pytest.approx(0.006)
    assert flatness.gap_along_m([(0.0, 0.0), (0.7, -0.002), (1.0, 0.0)], 2.0) == pytest.approx(0.002)


def test_plane_floor_has_no_gap_however_steep():
    floor = flatness.floor_of([(x, y, FALL.z((x, y))) for x in range(5) for y in range(4)])
    assert flatness.straightedge_gap_m(floor) == pytest.approx(0.0, abs=1e-8)


def test_gap_does_not_change_when_the_floor_is_tilted_moved_or_turned():
    levels = wavy(4, 4)
    gap = flatness.straightedge_gap_m(flatness.floor_of(levels))
    tilted = [(x, y, z + FALL.z((x, y))) for x, y, z in levels]
    moved = [(x + 40.0, y - 70.0, z + 12.0) for x, y, z in levels]
    turned = [(-y, x, z) for x, y, z in levels]
    for other in (tilted, moved, turned):
        assert flatness.straightedge_gap_m(flatness.floor_of(other)) == pytest.approx(gap, abs=1e-6)


def test_long_straightedge_shows_what_a_short_one_rides_over():
    row = [0.004, 0.001, 0.0, 0.001, 0.004]
    floor, marks = flatness.floor_of(grid([row] * 3)), list(enumerate(row))
    for length in (2.0, 3.0):
        # The same row over and over: the worst line runs along it.
        assert flatness.straightedge_gap_m(floor, length) == pytest.approx(brute_gap(marks, length), abs=2e-6)
    assert flatness.straightedge_gap_m(floor, 3.0) > 1.5 * flatness.straightedge_gap_m(floor, 2.0)


def test_gap_across_an_inside_corner_is_not_looked_for_over_thin_air():
    """An L: between the two arms there is no floor to lay a straightedge on."""
    levels = [(x, y, 0.0) for x in range(5) for y in range(5) if x <= 1 or y <= 1]
    outline = ((0, 0), (4, 0), (4, 1), (1, 1), (1, 4), (0, 4))
    floor = flatness.floor_of(levels, outline)
    assert floor.area_m2 == pytest.approx(7.0)
    assert flatness.floor_of(levels).area_m2 > 7.0
    assert flatness.straightedge_gap_m(floor) == pytest.approx(0.0, abs=1e-9)
    # What lies inside the outline and outside the string round the levels is not in the floor, and the other way round.
    assert flatness.floor_of(levels, ((-1, -1), (9, -1), (9, 1), (-1, 1))).area_m2 == pytest.approx(4.0)
    dented = [(x, y, -0.005 if (x, y) == (1, 0) else z) for x, y, z in levels]
    assert flatness.straightedge_gap_m(flatness.floor_of(dented, outline)) == pytest.approx(0.005, abs=1e-6)


@pytest.mark.parametrize("gap, name", [(0.0, "SR1"), (0.003, "SR1"), (0.0031, "SR2"), (0.005, "SR2"), (0.01, "SR3"), (0.0101, None)])
def test_class_on_both_sides_of_each_limit(gap, name):
    assert flatness.surface_class(gap) == name


# Volumes.


def test_high_and_low_spots_against_scipy():
    """Delaunay triangles of scipy, each divided finely, summed."""
    spatial = pytest.importorskip("scipy.spatial")
    levels = wavy(5, 4, seed=8)
    floor, plane = flatness.floor_of(levels), Plane(0.0005, 0.0, 0.001)
    high, low = flatness.high_spots(floor, plane), flatness.low_spots(floor, plane)
    points = numpy.array(levels)
    parts = 60
    weights = numpy.array([((i + share) / parts, (j + share) / parts) for i in range(parts) for j in range(parts - i) for share in ((1 / 3,) if i + j == parts - 1 else (1 / 3, 2 / 3))])
    above = below = area_above = 0.0
    for triangle in spatial.Delaunay(points[:, :2]).simplices:
        a, b, c = points[triangle]
        area = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0
        spots = a + weights[:, :1] * (b - a) + weights[:, 1:] * (c - a)
        over = spots[:, 2] - (plane.east * spots[:, 0] + plane.north * spots[:, 1] + plane.at_origin)
        above += area * numpy.mean(numpy.maximum(over, 0.0))
        below += area * numpy.mean(numpy.maximum(-over, 0.0))
        area_above += area * numpy.mean(over > 0.0)
    assert high.volume_m3 == pytest.approx(above, rel=0.01)
    assert low.volume_m3 == pytest.approx(below, rel=0.01)
    assert high.area_m2 == pytest.approx(area_above, rel=0.01)
    assert high.greatest_m == pytest.approx(max(flatness.deviations_m(levels, plane)), abs=1e-9)


def test_one_bump_by_hand():
    """A cone of four triangles would be a pyramid: a third of base times height, cut off half way an eighth of it (geometry)."""
    levels = [(0, 0, 0.0), (2, 0, 0.0), (2, 2, 0.0), (0, 2, 0.0), (1, 1, 0.012)]
    spots = flatness.high_spots(flatness.floor_of(levels), Plane(0.0, 0.0, 0.006))
    assert spots.volume_m3 == pytest.approx(4.0 * 0.012 / 3.0 / 8.0, rel=1e-9)
    assert spots.area_m2 == pytest.approx(1.0, rel=1e-9) and spots.greatest_m == pytest.approx(0.006)


def test_what_is_over_less_what_is_under_is_the_mean_height():
    floor = flatness.floor_of(wavy())
    plane = Plane(0.0, 0.0, 0.0005)
    lower = plane.raised(-0.05)
    over = flatness.high_spots(floor, plane).volume_m3 - flatness.low_spots(floor, plane).volume_m3
    assert over == pytest.approx(flatness.high_spots(floor, lower).volume_m3 - 0.05 * floor.area_m2, abs=1e-9)


# The whole floor.


def gap_of_row(row):
    """Gap under a straightedge over levels read at even distances: how far they lie under their upper outline."""
    touching = [0]
    for i in range(1, len(row)):
        while len(touching) > 1 and (row[touching[-1]] - row[touching[-2]]) * (i - touching[-2]) <= (row[i] - row[touching[-2]]) * (touching[-1] - touching[-2]):
            touching.pop()
        touching.append(i)
    return float(numpy.max(numpy.interp(range(len(row)), touching, row[touching]) - row))


def tried_anywhere(levels, length=2.0, count=4000, seed=1):
    """Straightedges laid down at random all over a floor, on scipy's surface, each read at 61 places."""
    interpolate = pytest.importorskip("scipy.interpolate")
    points = numpy.array(levels)
    surface, draw = interpolate.LinearNDInterpolator(points[:, :2], points[:, 2]), numpy.random.default_rng(seed)
    (west, south), (east, north) = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    turn, x, y = draw.uniform(0.0, math.pi, count), draw.uniform(west, east, count), draw.uniform(south, north, count)
    along = numpy.linspace(-length / 2.0, length / 2.0, 61)
    heights = surface(x[:, None] + numpy.cos(turn)[:, None] * along, y[:, None] + numpy.sin(turn)[:, None] * along)
    return max(map(gap_of_row, heights[~numpy.isnan(heights).any(axis=1)]))


@pytest.mark.parametrize("seed", range(6))
def test_gap_of_a_floor_against_straightedges_laid_anywhere(seed):
    """Lines through the levels find nearly all that straightedges laid anywhere find; and what they find is there, read off scipy's surface."""
    interpolate = pytest.importorskip("scipy.interpolate")
    levels = wavy(6, 5, 0.8, seed=seed, spread=0.004)
    gap, tried = flatness.straightedge_gap(flatness.floor_of(levels)), tried_anywhere(levels)
    assert gap.gap_m >= 0.94 * tried
    points = numpy.array(levels)
    # A hair inside the ends, which may lie on the very edge of the surface.
    share = numpy.linspace(1e-4, 1.0 - 1e-4, 1001)
    row = interpolate.LinearNDInterpolator(points[:, :2], points[:, 2])(numpy.outer(1.0 - share, gap.start) + numpy.outer(share, gap.end))
    assert gap_of_row(row) == pytest.approx(gap.gap_m, abs=5e-5)


def test_the_gap_is_where_it_is_said_to_be():
    levels = grid([[0.0, 0.0, 0.0, 0.0], [0.0, -0.006, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0]])
    gap = flatness.straightedge_gap(flatness.floor_of(levels))
    assert gap.at == (1.0, 1.0) and gap.gap_m == pytest.approx(0.006)
    assert math.dist(gap.start, gap.end) == pytest.approx(2.0)
    # The deepest place lies between the ends, on the straight line from one to the other.
    assert math.dist(gap.start, gap.at) + math.dist(gap.at, gap.end) == pytest.approx(2.0, abs=1e-4)


def test_a_floor_too_small_for_the_straightedge_is_measured_over_all_of_it():
    levels = [(x, y, -0.002 if x == 0.5 else 0.0) for x in (0.0, 0.5, 1.0) for y in (0.0, 1.0)]
    gap = flatness.straightedge_gap(flatness.floor_of(levels))
    assert gap.gap_m == pytest.approx(0.002) and math.dist(gap.start, gap.end) < 1.5


def test_levels_that_disagree_by_more_than_they_can_be_misread():
    assert flatness.levels_that_disagree([(0, 0, 0.0), (1, 0, 0.0), (0, 0, 0.002)]) is None
    assert flatness.levels_that_disagree([(0, 0, 0.0021), (1, 0, 0.0), (0, 0, 0.0)]) == ((0, 0, 0.0), (0, 0, 0.0021))
    with pytest.raises(ValueError, match="do not agree"):
        flatness.floor_of([*grid([[0.0, 0.0], [0.0, 0.0]]), (0, 0, 0.003)])


# Options.


@pytest.mark.parametrize("level", [False, True])
@pytest.mark.parametrize("seed", [1, 2])
def test_every_option_but_leaving_does_what_was_asked(level, seed):
    floor = flatness.floor_of(wavy(4, 4, seed=seed, plane=Plane(0.001, 0.0, 0.0)))
    options = flatness.options(floor, 0.003, flatness.COMPOUNDS["thin"], level)
    assert [option.name for option in options] == ["leave", "grind", "patch", "grind and patch", "compound over all"]
    leave, *rest = options
    assert not leave.enough and leave.gap_m == pytest.approx(flatness.straightedge_gap_m(floor), abs=1e-7) and leave.hours == 0.0 and leave.bags == 0
    assert all(option.enough and option.gap_m <= 0.003 + 2e-6 and option.hours > 0.0 for option in rest)
    assert rest[3].gap_m == pytest.approx(0.0, abs=1e-8)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_what_is_left_after_grinding_and_patching_against_straightedges_laid_anywhere(seed):
    """The same floors cut off and filled up level by level on a fine grid of scipy's, then tried all over."""
    interpolate = pytest.importorskip("scipy.interpolate")
    levels = wavy(4, 4, seed=seed)
    floor, points = flatness.floor_of(levels), numpy.array(levels)
    plane = flatness.reference_plane(floor.levels_m)
    surface = interpolate.LinearNDInterpolator(points[:, :2], points[:, 2])
    xs, ys = (numpy.arange(*span, 0.04) for span in ((points[:, 0].min(), points[:, 0].max()), (points[:, 1].min(), points[:, 1].max())))
    fine = numpy.array([(x, y, surface(x, y) - plane.z((x, y))) for x in xs for y in ys])
    fine = fine[~numpy.isnan(fine[:, 2])]
    lowest, highest = fine[:, 2].min(), fine[:, 2].max()
    for option in flatness.options(floor, 0.003, flatness.COMPOUNDS["thin"])[1:4]:
        high = highest - option.ground.greatest_m
        low = lowest + option.filled.greatest_m
        after = numpy.column_stack((fine[:, :2], numpy.clip(fine[:, 2], low, high)))
        assert tried_anywhere(after, count=800) <= 0.003 * 1.12


def test_no_more_is_done_than_has_to_be():
    """One hollow of 8 mm in a flat floor, tiles at 3 mm: about 5 mm goes into it, not 8, and nothing else is touched."""
    floor = flatness.floor_of(grid([[0.0] * 5, [0.0] * 5, [0.0, 0.0, -0.008, 0.0, 0.0], [0.0] * 5, [0.0] * 5]))
    plane = Plane(0.0, 0.0, 0.0)
    _, grind, patch, both, _ = flatness.options(floor, 0.003, flatness.COMPOUNDS["thin"])
    assert 0.0045 <= patch.filled.greatest_m <= 0.0055
    assert patch.filled.area_m2 < flatness.low_spots(floor, plane).area_m2
    # To grind the whole floor down to a hollow is the worst that can be done to it.
    assert grind.ground.area_m2 > 0.7 * floor.area_m2 and grind.hours > 2.0 * patch.hours
    assert both.ground.volume_m3 < grind.ground.volume_m3


def test_doing_half_of_each_takes_less_of_both():
    _, grind, patch, both, over = flatness.options(flatness.floor_of(wavy(4, 4)), 0.003, flatness.COMPOUNDS["thin"])
    assert both.ground.volume_m3 < grind.ground.volume_m3 and both.filled.volume_m3 < patch.filled.volume_m3 < over.filled.volume_m3
    assert grind.filled == patch.ground == over.ground == flatness.NOTHING


def test_compound_over_all_starts_at_the_least_the_product_takes():
    compound = flatness.COMPOUNDS["thick"]
    floor = flatness.floor_of(grid([[0.0, 0.0, 0.0], [0.0, 0.01, 0.0], [0.0, 0.0, 0.0]]))
    over = flatness.options(floor, 0.003, compound, level=True)[-1]
    assert over.filled.least_m == pytest.approx(0.005) and over.filled.greatest_m == pytest.approx(0.015)
    assert over.filled.area_m2 == pytest.approx(4.0) and over.coats == 1 and not over.too_thin and not over.too_deep
    # The bump's six triangles on a square grid, or eight: a third of base times height each.
    bump = flatness.high_spots(floor, Plane(0.0, 0.0, 0.0)).volume_m3
    assert over.filled.volume_m3 == pytest.approx(4.0 * 0.015 - bump, rel=1e-9)
    assert over.bags == math.ceil(over.filled.volume_m3 * 1800.0 / 25.0)


def test_volume_of_compound_over_all_by_numerical_integration():
    """scipy's surface read on a grid of 1 cm, summed, against exact prisms."""
    interpolate = pytest.importorskip("scipy.interpolate")
    levels = wavy(4, 4, seed=5)
    points = numpy.array(levels)
    over = flatness.options(flatness.floor_of(levels), 0.003, flatness.COMPOUNDS["thick"], level=True)[-1]
    at = numpy.arange(-0.2, 3.0, 0.01)
    surface = interpolate.LinearNDInterpolator(points[:, :2], points[:, 2])(*numpy.meshgrid(at, at))
    thickness = points[:, 2].max() + 0.005 - surface
    assert over.filled.volume_m3 == pytest.approx(numpy.nansum(thickness) * 0.01 ** 2, rel=0.005)
    assert over.filled.area_m2 == pytest.approx(numpy.count_nonzero(~numpy.isnan(thickness)) * 0.01 ** 2, rel=0.005)


def test_a_product_out_of_its_range_says_so():
    floor = flatness.floor_of(grid([[0.0, 0.0, 0.0], [0.0, -0.03, 0.0], [0.0, 0.0, 0.0]]))
    thin = flatness.options(floor, 0.003, flatness.COMPOUNDS["thin"], level=True)
    assert thin[2].too_deep and thin[2].coats == 3 and not thin[1].too_deep
    thick = flatness.options(floor, 0.003, flatness.COMPOUNDS["thick"], level=True)
    assert thick[2].too_thin and not thick[2].too_deep and thick[2].coats == 1
    feathers = replace(flatness.COMPOUNDS["thick"], feathers=True)
    assert not flatness.options(floor, 0.003, feathers, level=True)[2].too_thin


def test_a_floor_that_is_flat_enough_asks_for_nothing_but_can_be_covered():
    floor = flatness.floor_of(wavy(4, 4, spread=0.001))
    leave, grind, patch, both, over = flatness.options(floor, 0.005, flatness.COMPOUNDS["thin"])
    assert leave.enough and leave.gap_m <= 0.005
    assert grind.ground == both.ground == flatness.NOTHING and patch.bags == both.bags == 0 and over.bags > 0
    assert leave.hours == grind.hours == patch.hours == both.hours == 0.0


def test_a_perfect_floor():
    floor = flatness.floor_of(grid([[0.0] * 4] * 3))
    assert flatness.straightedge_gap_m(floor) == pytest.approx(0.0, abs=1e-9)
    leave, grind, patch, both, over = flatness.options(floor, 0.003, flatness.COMPOUNDS["thin"])
    assert leave.enough and grind.ground == patch.filled == flatness.NOTHING
    assert over.filled.volume_m3 == pytest.approx(6.0 * 0.003, rel=1e-6)


def test_cost_counts_bags_days_of_hire_and_hours():
    option = flatness.Option("grind and patch", flatness.Layer(10.0, 0.02, 0.0, 0.004), flatness.Layer(5.0, 0.01, 0.0, 0.003), 7, 1, 0.003, True)
    grinding = 1.0 + 0.02 * 250.0 + 10.0 * 0.05
    assert option.hours == pytest.approx(grinding + 1.0 + 5.0 * 0.06 + 7 * 0.12)
    assert flatness.option_cash(option, 1.0, 60.0, 20.0) == pytest.approx(7 * 20.0 + 60.0)
    # More than a working day of grinding is two days of hire.
    long = replace(option, ground=flatness.Layer(20.0, 0.03, 0.0, 0.004))
    assert flatness.option_cash(long, 1.0, 60.0, 20.0) == pytest.approx(7 * 20.0 + 120.0)


# Finishes.


def lacking(*given):
    return [lack.what for lack in flatness.finish_lacks(*given)]


def test_what_each_finish_asks():
    for name in flatness.FINISHES:
        assert lacking(name, 0.002, 0.70, 35.0, 60.0) == []
        assert len(lacking(name, 0.02, 0.95, 5.0, 1.0)) >= 2
    assert lacking("bare", 0.008, None, 25.0) == []
    assert lacking("boards", 0.003, 0.76, 25.0) == ["dryness"]
    assert lacking("painted or resin", 0.003, None, 25.0, 30.0) == ["dryness"]
    assert lacking("tiles", 0.003, None, None, 41.0) == ["strength", "age"]
    assert lacking("tiles", 0.0031, None, 19.9, 42.0) == ["flatness", "strength"]


@pytest.mark.parametrize("call", [
    lambda: flatness.floor_of([(0, 0, 0.0), (1, 0, 0.0), (0, 1, 0.0)]),
    lambda: flatness.floor_of([(0, 0, 0.0), (1, 0, 0.0), (2, 0, 0.0), (3, 0, 0.0)]),
    lambda: flatness.floor_of([(0, 0, 0.0), (1, 0, 0.0), (1, 1, 0.0), (0, 1, 0.0), (0, 0, 0.02)]),
    lambda: flatness.floor_of([(0, 0, 0.0), (1, 0, math.nan), (1, 1, 0.0), (0, 1, 0.0)]),
    lambda: flatness.floor_of(wavy(3, 3), ((0, 0), (0, 2), (2, 2), (2, 0))),
    lambda: flatness.floor_of(wavy(3, 3), ((10, 10), (12, 10), (12, 12), (10, 12))),
    lambda: flatness.floor_of(grid([[0.0, 0.0], [0.0, 0.0]], 0.15)),
    lambda: flatness.reference_plane([], level=True), lambda: flatness.reference_plane([(0, 0, 0.0)]),
    lambda: flatness.gap_along_m([(0.0, 0.0), (1.0, 0.0)], 0.0), lambda: flatness.gap_along_m([(0.0, 0.0)], 2.0),
    lambda: flatness.gap_along_m([(1.0, 0.0), (0.0, 0.0)], 2.0), lambda: flatness.straightedge_gap_m(flatness.floor_of(wavy(3, 3)), 21.0),
    lambda: flatness.surface_class(-0.001), lambda: flatness.allowed_gap_m("rough", 16.0), lambda: flatness.allowed_gap_m("shiny", 2.0),
    lambda: flatness.options(flatness.floor_of(wavy(3, 3)), 0.0, flatness.COMPOUNDS["thin"]),
    lambda: flatness.option_cash(flatness.Option("leave", flatness.NOTHING, flatness.NOTHING, 0, 0, 0.0, True), -1.0, 0.0, 20.0),
    lambda: flatness.finish_lacks("carpet", 0.003), lambda: flatness.finish_lacks("bare", 0.003, 1.2), lambda: flatness.finish_lacks("bare", 0.003, None, math.nan),
    lambda: flatness.compound_bags(-1.0, flatness.COMPOUNDS["thin"]),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
