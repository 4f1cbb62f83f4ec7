"""Outlines, mitred bands and clipping, against shapely's polygons and its mitred buffers."""

import math
import random

import pytest

from calculators.plan import Plan, clip, polygon_area_m2, polygon_centroid

RECTANGLE = Plan(((0.0, 0.0), (6.6, 0.0), (6.6, 4.2), (0.0, 4.2)))
TURNED = Plan(tuple((x * math.cos(0.4) - y * math.sin(0.4) + 300.0, x * math.sin(0.4) + y * math.cos(0.4) - 200.0) for x, y in RECTANGLE.corners))
KITE = Plan(((0.0, 0.0), (5.0, -1.0), (7.0, 3.0), (1.0, 4.5)))
PLANS = {"rectangle": RECTANGLE, "turned and far away": TURNED, "kite": KITE}


@pytest.fixture
def shapely():
    return pytest.importorskip("shapely", reason="shapely is missing: pip install shapely")


@pytest.fixture(params=PLANS)
def plan(request):
    return PLANS[request.param]


def test_area_perimeter_and_centre(plan, shapely):
    """Source: shapely's polygon area, length, centroid."""
    outline = shapely.Polygon(plan.corners)
    assert plan.area_m2 == pytest.approx(outline.area, rel=1e-9)
    assert plan.perimeter_m == pytest.approx(outline.length, rel=1e-12)
    assert polygon_centroid(plan.corners) == pytest.approx((outline.centroid.x, outline.centroid.y), rel=1e-9)


@pytest.mark.parametrize("inward", (-3.0, -0.5, 0.0, 0.14, 0.77, 1.2))
def test_offset_is_mitred(plan, shapely, inward):
    """Source: shapely's buffer with mitred joins."""
    expected = shapely.Polygon(plan.corners).buffer(-inward, join_style="mitre", mitre_limit=20.0)
    made = shapely.Polygon(plan.inset(inward))
    assert made.symmetric_difference(expected).area < 1e-7
    assert polygon_area_m2(plan.inset(inward)) == pytest.approx(expected.area, rel=1e-8)
    assert plan.inset_perimeter_m(inward) == pytest.approx(expected.length, rel=1e-8)


@pytest.mark.parametrize("near, far", [(0.0, 0.45), (-0.5, 0.0), (-2.0, -0.5), (-0.155, 0.295), (0.3, 1.1)])
def test_bands_cover_a_ring_once(plan, shapely, near, far):
    """The sides' bands together are the ring between two offsets; no two overlap."""
    bands = [shapely.Polygon(side.band(near, far)) for side in plan.sides]
    ring = shapely.Polygon(plan.inset(near)).difference(shapely.Polygon(plan.inset(far)))
    assert sum(band.area for band in bands) == pytest.approx(ring.area, rel=1e-9)
    assert shapely.union_all(bands).symmetric_difference(ring).area < 1e-7
    for i, band in enumerate(bands):
        for other in bands[i + 1:]:
            assert band.intersection(other).area < 1e-9


def test_a_stretch_of_a_band(shapely):
    """A band cut square to its side at two chainages is that part of it."""
    south = RECTANGLE.side("south")
    made = shapely.Polygon(south.band(0.0, 0.5, 0.2, 5.0))
    expected = shapely.Polygon(((0.0, 0.0), (6.6, 0.0), (6.1, 0.5), (0.5, 0.5))).intersection(shapely.box(0.2, -1, 5.0, 1))
    assert made.symmetric_difference(expected).area < 1e-12


def test_clip_against_shapely(shapely):
    chance = random.Random(3)
    for _ in range(200):
        points = [(chance.uniform(-5, 5), chance.uniform(-5, 5)) for _ in range(8)]
        hull = shapely.MultiPoint(points).convex_hull
        polygon = tuple(shapely.geometry.polygon.orient(hull).exterior.coords)[:-1]
        angle, c = chance.uniform(0, 2 * math.pi), chance.uniform(-4, 4)
        a, b = math.cos(angle), math.sin(angle)
        # The half-plane as a great square on the kept side of the line.
        x, y = -a * c, -b * c
        half = shapely.Polygon([(x - b * 50, y + a * 50), (x + b * 50, y - a * 50), (x + b * 50 + a * 100, y - a * 50 + b * 100), (x - b * 50 + a * 100, y + a * 50 + b * 100)])
        assert polygon_area_m2(clip(polygon, a, b, c)) == pytest.approx(hull.intersection(half).area, abs=1e-9)


def test_sides_of_a_rectangle_have_each_name_once(plan):
    assert sorted(side.name for side in plan.sides) == ["east", "north", "south", "west"]
    with pytest.raises(KeyError):
        plan.side("up")


@pytest.mark.parametrize("degrees", range(0, 360, 15))
def test_names_turn_with_the_plan(degrees):
    """Turned by any angle, even 45 degrees, each name comes once and in order round the plan."""
    turn = math.radians(degrees)
    turned = Plan(tuple((x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)) for x, y in RECTANGLE.corners))
    names = [side.name for side in turned.sides]
    south = names.index("south")
    assert names[south:] + names[:south] == ["south", "east", "north", "west"]
    outward = tuple(-part for part in turned.side("south").inward)
    assert outward[1] <= -math.cos(math.radians(45.0)) + 1e-9


def test_size_is_longer_first():
    assert Plan(((0, 0), (4.2, 0), (4.2, 6.6), (0, 6.6))).size_m() == pytest.approx((6.6, 4.2))


def test_nothing_left():
    with pytest.raises(ValueError, match="too short for what reaches"):
        RECTANGLE.inset(2.2)
    with pytest.raises(ValueError, match="building too narrow"):
        RECTANGLE.side("east").band(0.0, 2.5)
