"""Outlines of any shape moved inward and outward, and the bands of their sides, against shapely's mitred buffers."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent))
from plots import PLANS, turned  # noqa: E402

from calculators.plan import ClosesUp, Plan, is_convex, polygon_area_m2  # noqa: E402

shapely = pytest.importorskip("shapely", reason="shapely is missing: pip install shapely")

# More than is built elsewhere: a bay and a cross of four wings.
OUTLINES = {name: corners for name, (corners, _) in PLANS.items()} | {
    "bay": ((0.0, 0.0), (2.6, 0.0), (3.6, -1.1), (5.4, -1.1), (6.4, 0.0), (9.0, 0.0), (9.0, 5.0), (0.0, 5.0)),
    "cross": turned(((2.6, 0.0), (5.4, 0.0), (5.4, 2.4), (8.2, 2.4), (8.2, 5.2), (5.4, 5.2), (5.4, 7.8), (2.6, 7.8), (2.6, 5.2), (0.0, 5.2), (0.0, 2.4), (2.6, 2.4)), 33.0, -7.0, 90.0),
}
# From far outside, as a batter may reach, to as far in as the toe of a haunch.
INWARD = (-1.8, -0.95, -0.5, -0.155, 0.0, 0.14, 0.225, 0.45, 0.775, 1.1)


@pytest.mark.parametrize("name", OUTLINES)
def test_offsets_in_a_table(name):
    """Source: shapely's buffer with mitred joins."""
    plan, outline = Plan(OUTLINES[name]), shapely.Polygon(OUTLINES[name])
    for inward in INWARD:
        expected = outline.buffer(-inward, join_style="mitre", mitre_limit=20.0)
        parts = [shapely.Polygon(part) for part in plan.region(inward)]
        assert shapely.Polygon(plan.inset(inward)).symmetric_difference(expected).area < 1e-7, inward
        assert plan.area_inset_m2(inward) == pytest.approx(expected.area, rel=1e-8), inward
        assert plan.inset_perimeter_m(inward) == pytest.approx(expected.length, rel=1e-8), inward
        assert all(is_convex(part) for part in plan.region(inward))
        assert sum(part.area for part in parts) == pytest.approx(expected.area, rel=1e-8), inward
        assert shapely.union_all(parts).symmetric_difference(expected).area < 1e-7, inward


@pytest.mark.parametrize("near, far", [(0.0, -0.5), (-0.5, -1.8), (0.0, 0.45), (0.45, 0.775), (-0.155, 0.295)])
@pytest.mark.parametrize("name", OUTLINES)
def test_bands_cover_a_ring_once(name, near, far):
    """Source: shapely's buffer with mitred joins, one taken from the other."""
    plan, outline = Plan(OUTLINES[name]), shapely.Polygon(OUTLINES[name])
    ring = outline.buffer(-min(near, far), join_style="mitre", mitre_limit=20.0) - outline.buffer(-max(near, far), join_style="mitre", mitre_limit=20.0)
    bands = [shapely.Polygon(side.band(near, far)) for side in plan.sides]
    assert sum(band.area for band in bands) == pytest.approx(ring.area, rel=1e-8)
    assert shapely.union_all(bands).symmetric_difference(ring).area < 1e-7
    assert sum(polygon_area_m2(side.band(near, far)) for side in plan.sides) == pytest.approx(ring.area, rel=1e-8)


@pytest.mark.parametrize("corners, inward", [
    (PLANS["porch"][0], -2.5), (((0.0, 0.0), (6.6, 0.0), (6.6, 4.1), (6.2, 4.5), (0.0, 4.5)), 0.775)], ids=("porch", "small cut corner"))
def test_a_side_too_short_for_an_offset_is_named(corners, inward):
    """Further out than half its width a porch closes up; further in than its cut a corner is square again: not worked out, and said so.

    Source: shapely's buffer with mitred joins has fewer corners there.
    """
    outline = shapely.Polygon(corners)
    expected = outline.buffer(-inward, join_style="mitre", mitre_limit=20.0)
    assert len(expected.exterior.coords) < len(outline.exterior.coords)
    with pytest.raises(ClosesUp, match="too short"):
        Plan(corners).region(inward)


def test_a_band_past_the_middle_of_a_porch_is_refused():
    plan = Plan(PLANS["porch"][0])
    bottom = next(side for side in plan.sides if side.closes_out_m < 2.0)
    assert bottom.closes_out_m == pytest.approx(1.9)
    assert bottom.band(-0.5, -1.9)
    with pytest.raises(ClosesUp, match="recess"):
        bottom.band(-0.5, -2.0)
