"""Spot levels, level books and outlines, against shapely, scipy, solids by manifold3d and a published level book."""

import math
import random
from dataclasses import replace

import pytest

from calculators import survey
from calculators.ground import Flat, Patchwork, between, four_triangles, profile, triangulated
from calculators.plan import convex_parts, polygon_area_m2
from calculators.scenario import LevelRun
from calculators.survey import StaffReading

L_SHAPE = ((0.0, 0.0), (7.2, 0.0), (7.2, 3.6), (4.2, 3.6), (4.2, 6.0), (0.0, 6.0))


def hillside(x, y):
    """Ground that no plane fits: a fall to the south-east with a hollow in it."""
    return 20.0 - 0.08 * x + 0.11 * y - 0.4 * math.exp(-((x - 3) ** 2 + (y - 2) ** 2) / 6.0)


def scattered(count, seed, size=(12.0, 11.0)):
    chance = random.Random(seed)
    found = []
    while len(found) < count:
        x, y = round(chance.uniform(-2, size[0]), 2), round(chance.uniform(-2, size[1]), 2)
        if all(math.dist((x, y), p[:2]) > 0.1 for p in found):
            found.append((x, y, round(hillside(x, y), 3)))
    return survey.settled_levels(found)


def meshed(levels):
    beyond = survey.beyond_survey(levels)
    return levels + beyond, survey.triangles_through(levels, beyond)


def volume(pieces):
    return math.fsum(piece.volume_m3 for piece in pieces)


def corners_of(points, triangles):
    return {frozenset(points[i][:2] for i in triangle) for triangle in triangles}


# Triangles.


@pytest.mark.parametrize("count, seed", [(3, 1), (4, 2), (7, 3), (40, 4), (100, 5)])
def test_triangles_are_those_of_two_libraries(count, seed):
    """Source: GEOS through shapely, Qhull through scipy.  No four of these points lie on one circle."""
    shapely = pytest.importorskip("shapely")
    spatial = pytest.importorskip("scipy.spatial")
    points, triangles = meshed(scattered(count, seed))
    made = corners_of(points, triangles)
    by_geos = shapely.delaunay_triangles(shapely.MultiPoint([p[:2] for p in points])).geoms
    by_qhull = spatial.Delaunay([p[:2] for p in points]).simplices
    assert made == {frozenset(g.exterior.coords[:3]) for g in by_geos} == corners_of(points, by_qhull)


@pytest.mark.parametrize("across, up", [(2, 2), (4, 3), (10, 10)])
def test_a_square_grid_has_one_answer(across, up):
    """Every square is divided from its south-west corner, whatever order the points came in and wherever the origin is."""
    answers = set()
    for seed, shift in ((1, 0.0), (2, 0.1), (3, 1 / 3), (4, 217.3)):
        grid = [(2.5 * i + shift, 2.5 * j - shift, 0.1 * i) for i in range(across) for j in range(up)]
        random.Random(seed).shuffle(grid)
        levels = survey.settled_levels(grid)
        _, triangles = meshed(levels)
        answers.add(triangles)
    (triangles,) = answers
    inside = [t for t in triangles if max(t) < across * up]
    assert len(inside) == 2 * (across - 1) * (up - 1)
    for triangle in inside:
        # Numbered from west to east and then from south to north, the south-west corner is the least and the north-east the greatest.
        assert max(triangle) - min(triangle) == up + 1


def test_points_on_a_circle_are_divided_from_the_first():
    levels = survey.settled_levels([(5 * math.cos(a), 5 * math.sin(a), 0.0) for a in (0.3 + 2 * math.pi * i / 9 for i in range(9))])
    _, triangles = meshed(levels)
    inside = [t for t in triangles if max(t) < 9]
    assert len(inside) == 7 and all(0 in t for t in inside)


@pytest.mark.parametrize("seed", range(4))
def test_triangles_cover_everything_once(seed):
    points, triangles = meshed(scattered(60, seed))
    area = math.fsum(polygon_area_m2(tuple(points[i][:2] for i in triangle)) for triangle in triangles)
    assert area == pytest.approx(polygon_area_m2(tuple(p[:2] for p in points[60:])), rel=1e-12)
    assert all(polygon_area_m2(tuple(points[i][:2] for i in triangle)) > 0 for triangle in triangles)


def test_points_in_a_row_among_others():
    """A line of levels along a fence, typed to the millimetre, leaves no triangle without area."""
    levels = survey.settled_levels([(0.7 * i, 0.1 * 0.7 * i, 0.0) for i in range(12)] + [(0, 9, 1.0), (8, 9, 1.0)])
    points, triangles = meshed(levels)
    assert all(polygon_area_m2(tuple(points[i][:2] for i in triangle)) > 1e-6 for triangle in triangles)


# The surface.


def test_levels_on_the_surface_against_scipy():
    """Source: scipy's piecewise linear interpolation, on Qhull's own triangles."""
    interpolate = pytest.importorskip("scipy.interpolate")
    points, triangles = meshed(scattered(50, 8))
    ground, chance = triangulated(points, triangles), random.Random(2)
    by_scipy = interpolate.LinearNDInterpolator([p[:2] for p in points], [p[2] for p in points])
    for _ in range(300):
        x, y = chance.uniform(-20, 30), chance.uniform(-20, 30)
        d = 1e-5
        parts = ground.over(((x, y), (x + d, y), (x + d, y + d), (x, y + d)))
        assert min(abs(plane.z((x, y)) - float(by_scipy(x, y))) for _, plane in parts) < 1e-8


def test_surface_passes_through_every_level_and_has_no_cracks():
    points, triangles = meshed(scattered(30, 9))
    ground = triangulated(points, triangles)
    for x, y, z in points[:30]:
        d = 1e-4
        for _, plane in ground.over(((x - d, y - d), (x + d, y - d), (x + d, y + d), (x - d, y + d))):
            assert plane.z((x, y)) == pytest.approx(z, abs=1e-9)
    # Along any line the parts join end to end.
    line = profile(ground, (-30.0, -11.0), (37.0, 29.0))
    assert line[0][0] == 0.0 and line[-1][0] == pytest.approx(math.dist((-30, -11), (37, 29)))
    assert all(after[0] > before[0] for before, after in zip(line, line[1:]))


def test_cut_over_an_l_shape_on_surveyed_ground_against_solids():
    """Source: boolean solids by manifold3d, within 0.1 %."""
    manifold = pytest.importorskip("manifold3d")
    shapely = pytest.importorskip("shapely")
    points, triangles = meshed(scattered(100, 10))
    ground = triangulated(points, triangles)
    level, deep = 19.9, 10.0
    made = volume(between(convex_parts(L_SHAPE), Flat.at(level), ground))
    prism = manifold.CrossSection([list(L_SHAPE)]).extrude(60.0).translate((0.0, 0.0, level))
    earth = manifold.Manifold()
    for triangle in triangles:
        corners = [points[i] for i in triangle]
        if shapely.Polygon([c[:2] for c in corners]).distance(shapely.Polygon(L_SHAPE)) < 1.0:
            column = manifold.Manifold.hull_points([(x, y, h) for x, y, z in corners for h in (z, deep)])
            made_here = (column ^ prism).volume()
            earth = made_here if isinstance(earth, manifold.Manifold) else earth + made_here
    assert made == pytest.approx(earth, rel=1e-3)
    assert made > 1.0


def test_a_quick_look_at_boxes_leaves_out_nothing():
    points, triangles = meshed(scattered(100, 11))
    quick = triangulated(points, triangles)
    slow = Patchwork(quick.patches)
    chance = random.Random(3)
    for _ in range(100):
        x, y, size = chance.uniform(-60, 60), chance.uniform(-60, 60), 10 ** chance.uniform(-2, 2)
        square = ((x, y), (x + size, y), (x + size, y + size), (x, y + size))
        assert quick.over(square) == slow.over(square)


def test_one_plane_stays_one_plane_beyond_its_survey():
    plane = [(x, y, 3.0 + 0.05 * x - 0.02 * y) for x, y, _ in scattered(20, 12)]
    points, triangles = meshed(survey.settled_levels(plane))
    ground = triangulated(points, triangles)
    for x, y in ((-40.0, 30.0), (45.0, -35.0), (5.0, 5.0)):
        for _, found in ground.over(((x, y), (x + 1, y), (x, y + 1))):
            assert found.z((x, y)) == pytest.approx(3.0 + 0.05 * x - 0.02 * y, abs=1e-9)


def test_ground_carries_on_far_enough_beyond_any_survey():
    for seed in range(5):
        levels = scattered(5, seed)
        outline = tuple(p[:2] for p in survey.beyond_survey(levels))
        sides = list(zip(outline, outline[1:] + outline[:1]))
        for x, y, _ in levels:
            assert min(survey.distance_to_line_m((x, y), *side) for side in sides) >= survey.BEYOND_M - 1e-9


def test_best_plane_against_numpy():
    """Source: numpy's least squares."""
    numpy = pytest.importorskip("numpy")
    levels = scattered(40, 13)
    by_numpy = numpy.linalg.lstsq(numpy.array([(x, y, 1.0) for x, y, _ in levels]), numpy.array([z for _, _, z in levels]), rcond=None)[0]
    plane = survey.best_plane(levels)
    assert (plane.east, plane.north, plane.at_origin) == pytest.approx(tuple(by_numpy), rel=1e-9)


@pytest.mark.parametrize("call, words", [
    (lambda: triangulated(((0, 0, 0), (1, 0, 0), (0, 1, 0)), ()), "one triangle or more"),
    (lambda: triangulated(((0, 0, 0), (1, 0, 0), (0, 1, 0)), ((0, 2, 1),)), "clockwise"),
    (lambda: triangulated(((0, 0, 0), (1, 0, 0), (2, 0, 0)), ((0, 1, 2),)), "no area"),
    (lambda: survey.best_plane([(0, 0, 0), (1, 1, 0), (2, 2, 0)]), "one line"),
    (lambda: survey.best_plane([(0, 0, 0), (1, 1, 0)]), "three levels"),
    (lambda: survey.triangles_through([(5, 5, 0.0)], [(1, 0, 0.0), (0, 1, 0.0), (-1, -1, 0.0)]), "outside"),
    (lambda: survey.steepest([(0, 0, 0), (1, 0, 0)], []), "no two"),
    (lambda: survey.allowed_misclosure_m(0), "one set-up"),
])
def test_out_of_range_is_refused(call, words):
    with pytest.raises(ValueError, match=words):
        call()


def test_ground_of_a_plot(make_scenario):
    plot = make_scenario(gradient=0.1).plot
    assert isinstance(survey.ground_of(plot), Flat)
    corners = ((0.0, 0.0, 0.0), (6.6, 0.0, 0.1), (6.6, 4.2, 0.4), (0.0, 4.2, 0.2))
    assert survey.ground_of(replace(plot, levels_m=corners)).patches == four_triangles(corners).patches
    beyond = survey.beyond_survey(corners)
    surveyed = replace(plot, levels_m=corners, beyond_m=beyond, triangles=survey.triangles_through(corners, beyond))
    assert len(survey.ground_of(surveyed).patches) == len(surveyed.triangles)


def test_a_small_polygon_is_cut_against_the_triangles_near_it_alone(monkeypatch):
    """A survey of 100 levels has some 200 triangles; a small polygon meets a few."""
    from calculators import ground as ground_module

    cuts = []
    monkeypatch.setattr(ground_module, "clip", lambda *given, clip=ground_module.clip: cuts.append(given) or clip(*given))
    ground = triangulated(*meshed(scattered(100, 14)))
    found = ground.over(((2.0, 1.0), (2.1, 1.0), (2.1, 1.1), (2.0, 1.1)))
    assert len(ground.patches) > 150
    assert 0 < len(found) < 10 and len(cuts) < 60


# Slips in a survey.


def test_settled_levels_do_not_depend_on_their_order():
    levels = list(scattered(40, 15))
    for seed in range(5):
        random.Random(seed).shuffle(levels)
        assert survey.settled_levels(levels) == scattered(40, 15)


@pytest.mark.parametrize("count, seed", [(5, 1), (6, 2), (12, 3), (40, 4), (100, 5), (100, 6)])
@pytest.mark.parametrize("slip", (1.0, -1.0, 0.7))
def test_one_wild_level_is_found_wherever_it_is(count, seed, slip):
    """A metre misread on the staff is the usual slip (common practice, no source)."""
    levels = [(x, y, 20 - 0.08 * x + 0.11 * y) for x, y, _ in scattered(count, seed)]
    for wild in range(0, count, max(1, count // 12)):
        spoilt = list(levels)
        x, y, z = spoilt[wild]
        spoilt[wild] = (x, y, z + slip)
        others = [p[:2] for i, p in enumerate(levels) if i != wild]
        found = survey.wild_level(spoilt)
        if survey.breadth_m(others) > 1.0:
            assert found and found[0] == wild, (wild, found)
            assert found[1] == pytest.approx(slip, abs=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_honest_ground_has_no_wild_level(seed):
    assert survey.wild_level(scattered(60, seed)) is None


def test_rough_ground_allows_rougher_levels():
    """Where levels usually differ by 0.3 m from their neighbours, one that differs by 0.6 m is none to wonder at."""
    chance = random.Random(21)
    rough = [(2.0 * i, 2.0 * j, chance.choice((-0.3, 0.3))) for i in range(6) for j in range(6)]
    rough[14] = (*rough[14][:2], 0.65)
    assert survey.wild_level(rough) is None


def test_four_levels_cannot_say_which_is_wild():
    assert survey.wild_level([(0, 0, 0.0), (5, 0, 0.0), (5, 5, 0.0), (0, 5, 2.0)]) is None


def test_a_kerb_is_not_a_slope():
    levels = [(0.0, 0.0, 0.0), (0.1, 0.0, 0.15), (4.0, 0.0, 0.15), (0.0, 4.0, 0.0)]
    gradient, i, j = survey.steepest(levels, [(0, 1, 3), (1, 2, 3)])
    assert (gradient, i, j) == (pytest.approx(0.3), 0, 1)


# The level book.


def published_book():
    """Set-ups [2.200 1.620 0.980] [2.250 2.840 1.280] [0.600 1.960 1.450] from 100.000, as one list of lines."""
    return [
        StaffReading((0.0, 0.0), "", back_m=2.200, level_m=100.0), StaffReading((1.0, 0.0), "", inter_m=1.620),
        StaffReading((2.0, 0.0), "", fore_m=0.980, back_m=2.250), StaffReading((3.0, 0.0), "", inter_m=2.840),
        StaffReading((4.0, 0.0), "", fore_m=1.280, back_m=0.600), StaffReading((5.0, 0.0), "", inter_m=1.960),
        StaffReading((6.0, 0.0), "", fore_m=1.450),
    ]


def test_published_level_book():
    """Source: a solved exercise in levelling by rise and fall, recomputed (read): 0.5 mm."""
    book = survey.reduce_readings(published_book())
    printed = [100.000, 100.580, 101.220, 100.630, 102.190, 100.830, 101.340]
    assert [z for _, _, z in book.levels_m] == pytest.approx(printed, abs=0.0005)
    assert book.run == LevelRun(3, pytest.approx(5.050), pytest.approx(3.710), None)


def test_a_printed_answer_known_to_be_wrong_is_not_given():
    """Source: a solved exercise (read) prints 100.415 for the last level; its own readings give 101.305."""
    book = survey.reduce_readings([
        StaffReading((0.0, 0.0), "", back_m=1.855, level_m=100.0), StaffReading((1.0, 0.0), "", inter_m=2.410), StaffReading((2.0, 0.0), "", inter_m=1.280),
        StaffReading((3.0, 0.0), "", fore_m=0.995, back_m=2.165), StaffReading((4.0, 0.0), "", fore_m=1.720),
    ])
    assert book.levels_m[-1][2] == pytest.approx(101.305, abs=0.0005)
    assert book.levels_m[-1][2] != pytest.approx(100.415, abs=0.1)


def test_sums_of_sights_prove_any_book():
    """Sum of backsights less foresights = last level less first.  Source: any surveying textbook."""
    chance = random.Random(4)
    for _ in range(30):
        lines = [StaffReading((0.0, 0.0), "", back_m=chance.uniform(0, 4), level_m=50.0)]
        for i in range(chance.randrange(1, 12)):
            if chance.random() < 0.3:
                lines.append(StaffReading((i + 1.0, 0.0), "", fore_m=chance.uniform(0, 4), back_m=chance.uniform(0, 4)))
            else:
                lines.append(StaffReading((i + 1.0, 1.0), "", inter_m=chance.uniform(0, 4)))
        lines.append(StaffReading((99.0, 0.0), "", fore_m=chance.uniform(0, 4)))
        book = survey.reduce_readings(lines)
        assert book.run.backsights_m - book.run.foresights_m == pytest.approx(book.levels_m[-1][2] - 50.0, abs=1e-12)
        assert len(book.levels_m) == len(lines)


@pytest.mark.parametrize("first, last", [
    (StaffReading(None, "peg", back_m=1.5, level_m=10.0), StaffReading(None, "peg", fore_m=1.496)),
    (StaffReading((0.0, 9.0), "", back_m=1.5, level_m=10.0), StaffReading((0.0, 9.002), "", fore_m=1.496)),
    (StaffReading(None, "peg", back_m=1.5, level_m=10.0), StaffReading(None, "sill", fore_m=1.496, level_m=10.0)),
])
def test_a_run_that_closes(first, last):
    book = survey.reduce_readings([first, StaffReading((1.0, 1.0), "", inter_m=1.0), last])
    assert book.run.misclosure_m == pytest.approx(0.004)
    # Closing on the mark of the beginning gives it no second level.
    assert sum(1 for x, _, _ in book.levels_m if x == 0.0) == (1 if first.place else 0)


@pytest.mark.parametrize("lines", [
    published_book()[:1], published_book()[1:], published_book()[:-1] + [StaffReading((6.0, 0.0), "", inter_m=1.0)],
    published_book()[:2] + [StaffReading((2.0, 0.0), "", fore_m=0.98)] + published_book()[3:],
    published_book()[:2] + [StaffReading((2.0, 0.0), "")] + published_book()[3:],
])
def test_lines_that_do_not_follow_each_other(lines):
    with pytest.raises(ValueError):
        survey.reduce_readings(lines)


@pytest.mark.parametrize("missed, words", [(None, "nothing checks the readings"), (0.02, "up to 20 mm is usual"), (-0.021, "read it again")])
def test_how_a_run_closed_is_said(make_scenario, missed, words):
    plot = replace(make_scenario().plot, level_run=LevelRun(1, 3.0, 2.0, missed))
    (said,) = survey.survey_assumptions(plot)
    assert words in said and "+1.000 m" in said


def test_nothing_is_said_of_a_slope(make_scenario):
    assert survey.survey_assumptions(make_scenario(gradient=0.1).plot) == ()


def test_a_checked_wild_level_is_said(make_scenario):
    levels = list(scattered(30, 17))
    levels[4] = (*levels[4][:2], levels[4][2] + 1.4)
    beyond = survey.beyond_survey(levels)
    plot = replace(make_scenario().plot, levels_m=tuple(levels), beyond_m=beyond, triangles=survey.triangles_through(levels, beyond))
    assert survey.survey_assumptions(plot) == (survey.BEYOND_SURVEY,)
    said = survey.survey_assumptions(replace(plot, levels_checked=True))
    assert len(said) == 2 and f"({levels[4][0]:.4g} m, {levels[4][1]:.4g} m)" in said[1]


# Outlines.


def random_outline(chance, count):
    """A star-shaped outline: corners at growing bearings from its middle."""
    turns = [2 * math.pi * (i + chance.uniform(-0.4, 0.4)) / count for i in range(count)]
    return tuple((5 + r * math.cos(t), 4 + r * math.sin(t)) for t in turns for r in [chance.uniform(1, 5)])


@pytest.mark.parametrize("seed", range(20))
def test_outlines_against_shapely(seed):
    """Source: GEOS through shapely, for hull, distance, overlap and gap."""
    shapely = pytest.importorskip("shapely")
    chance = random.Random(seed)
    first, second = random_outline(chance, 7), random_outline(chance, 6)
    apart = chance.choice((0.0, 3.0, 12.0))
    second = tuple((x + apart, y) for x, y in second)
    a, b = shapely.Polygon(first), shapely.Polygon(second)
    assert a.is_valid and b.is_valid
    assert survey.sides_that_meet(first) is None
    assert survey.overlap_m2(first, second) == pytest.approx(a.intersection(b).area, abs=1e-9)
    assert survey.gap_m(first, second) == pytest.approx(a.distance(b), abs=1e-9)
    assert abs(polygon_area_m2(survey.hull(first))) == pytest.approx(a.convex_hull.area, rel=1e-12)
    for _ in range(20):
        point = (chance.uniform(-3, 15), chance.uniform(-3, 12))
        assert survey.distance_outside_m(point, first) == pytest.approx(a.distance(shapely.Point(point)), abs=1e-9)
    for _ in range(20):
        ends = [(chance.uniform(-1, 11), chance.uniform(-1, 9)) for _ in range(2)]
        outside = survey.farthest_outside_m(*ends, first) > 0.0
        assert outside == (not a.buffer(1e-9).covers(shapely.LineString(ends)))


@pytest.mark.parametrize("seed", range(20))
def test_crossing_sides_against_shapely(seed):
    """Source: GEOS's own test of a valid polygon."""
    shapely = pytest.importorskip("shapely")
    chance = random.Random(100 + seed)
    corners = tuple((chance.uniform(0, 10), chance.uniform(0, 10)) for _ in range(6))
    assert (survey.sides_that_meet(corners) is None) == shapely.Polygon(corners).is_valid


@pytest.mark.parametrize("corners", [L_SHAPE, ((0, 0), (6, 0), (7, 4), (1, 4)), ((0, 0), (5, 0), (6, 1), (6, 5), (0, 5))])
def test_interior_angles_add_up(corners):
    """(n - 2) x 180 degrees.  Source: geometry."""
    for turned in (corners, corners[::-1]):
        assert sum(survey.interior_angles_deg(turned)) == pytest.approx(180.0 * (len(corners) - 2))


@pytest.mark.parametrize("start", range(6))
def test_an_outline_begins_in_the_south_west(start):
    turned = L_SHAPE[start:] + L_SHAPE[:start]
    assert survey.from_south_west(turned) == survey.from_south_west(turned[::-1]) == L_SHAPE


def test_breadth_is_that_of_the_narrowest_strip():
    """Source: brute force over a thousand directions."""
    points = [p[:2] for p in scattered(30, 18)]
    widths = []
    for i in range(5000):
        c, s = math.cos(math.pi * i / 5000), math.sin(math.pi * i / 5000)
        across = [x * c + y * s for x, y in points]
        widths.append(max(across) - min(across))
    assert survey.breadth_m(points) == pytest.approx(min(widths), rel=1e-3)
    assert survey.breadth_m(points) <= min(widths) + 1e-12
    assert survey.breadth_m([(0, 0), (1, 1), (2, 2)]) == 0.0


def test_a_hummock_is_no_slip():
    levels = list(scattered(60, 19))
    x, y, z = levels[20]
    assert survey.wild_level(levels[:20] + [(x, y, z + 0.3)] + levels[21:]) is None
    assert survey.wild_level(levels[:20] + [(x, y, z + 0.9)] + levels[21:]) is not None
