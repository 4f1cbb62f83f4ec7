"""Surfaces and the earth between them, against closed forms, numerical integration and scipy."""

import math
import random

import pytest

from calculators.ground import (
    Flat, HigherOf, LowerOf, Plane, Raised, between, falling_plane, four_triangles, highest_m, lowest_m, profile,
)

PLATFORM = ((0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0))
CORNERS = ((0.0, 0.0, 10.0), (6.6, 0.0, 9.72), (6.6, 4.2, 10.12), (0.0, 4.2, 10.16))


def volume(pieces):
    return sum(piece.volume_m3 for piece in pieces)


def test_level_platform_at_mid_height():
    """Cut = fill = B s L2 / 8; lowered by t: cut = B s x2 / 2 with x = L/2 + t/s.  Source: geometry (derived)."""
    slope = Flat(Plane(0.10, 0.0, -0.5))
    assert volume(between([PLATFORM], Flat.at(0.0), slope)) == pytest.approx(7.5, rel=1e-12)
    assert volume(between([PLATFORM], slope, Flat.at(0.0))) == pytest.approx(7.5, rel=1e-12)
    lowered, s, breadth = 0.08, 0.10, 6.0
    x = 10.0 / 2 + lowered / s
    assert volume(between([PLATFORM], Flat.at(-lowered), slope)) == pytest.approx(breadth * s * x**2 / 2, rel=1e-12)


def test_cut_less_fill_is_the_area_times_the_mean_height():
    """Whatever the ground, cut - fill = area x (mean ground - level).  Source: geometry."""
    ground = four_triangles(CORNERS)
    outline = tuple((x, y) for x, y, _ in CORNERS)
    mean = sum(z for _, _, z in CORNERS) / 4
    for level in (9.7, 9.9, 10.0, 10.1):
        cut = volume(between([outline], Flat.at(level), ground))
        fill = volume(between([outline], ground, Flat.at(level)))
        assert cut - fill == pytest.approx(6.6 * 4.2 * (mean - level), abs=1e-9)
        assert cut >= 0 and fill >= 0


def test_triangles_against_a_linear_interpolator():
    """Source: scipy's piecewise linear interpolation over the same four triangles."""
    interpolate = pytest.importorskip("scipy.interpolate", reason="scipy is missing: pip install scipy numpy")
    centre = tuple(sum(point[i] for point in CORNERS) / 4 for i in range(3))
    points = [*CORNERS, centre]
    by_scipy = interpolate.LinearNDInterpolator([(x, y) for x, y, _ in points], [z for _, _, z in points])
    ground, chance = four_triangles(CORNERS), random.Random(5)
    for _ in range(300):
        x, y = chance.uniform(0.01, 6.59), chance.uniform(0.01, 4.19)
        d = 5e-5
        _, plane = ground.over(((x, y), (x + d, y), (x + d, y + d), (x, y + d)))[0]
        assert plane.z((x, y)) == pytest.approx(float(by_scipy(x, y)), abs=1e-4)


def test_volume_over_triangles_against_numerical_integration():
    """Source: scipy's double quadrature of the cut over the same ground."""
    integrate = pytest.importorskip("scipy.integrate", reason="scipy is missing: pip install scipy numpy")
    ground, level = four_triangles(CORNERS), 9.95
    (cx, cy, cz) = (sum(point[i] for point in CORNERS) / 4 for i in range(3))

    def z(x, y):
        for (ax, ay, az), (bx, by, bz) in zip(CORNERS, CORNERS[1:] + CORNERS[:1]):
            # Barycentric, by Cramer's rule.
            area = (ax - cx) * (by - cy) - (bx - cx) * (ay - cy)
            u = ((x - cx) * (by - cy) - (bx - cx) * (y - cy)) / area
            v = ((ax - cx) * (y - cy) - (x - cx) * (ay - cy)) / area
            if u >= -1e-12 and v >= -1e-12:
                return cz + u * (az - cz) + v * (bz - cz)
        raise AssertionError

    steps = 400
    cells = ((i + 0.5, j + 0.5) for i in range(steps) for j in range(steps))
    by_cells = sum(max(0.0, z(6.6 * i / steps, 4.2 * j / steps) - level) for i, j in cells) * 6.6 * 4.2 / steps**2
    made = volume(between([tuple((x, y) for x, y, _ in CORNERS)], Flat.at(level), ground))
    assert made == pytest.approx(by_cells, rel=1e-4)
    # One row by adaptive quadrature, exact to rounding.
    row = integrate.quad(lambda x: max(0.0, z(x, 1.3) - level), 0.0, 6.6, limit=400)[0]
    strip = ((0.0, 1.3 - 1e-4), (6.6, 1.3 - 1e-4), (6.6, 1.3 + 1e-4), (0.0, 1.3 + 1e-4))
    assert volume(between([strip], Flat.at(level), ground)) / 2e-4 == pytest.approx(row, rel=1e-6)


@pytest.mark.parametrize("bearing, downhill", [(180.0, (0.0, -1.0)), (90.0, (1.0, 0.0)), (0.0, (0.0, 1.0)), (225.0, (-math.sqrt(0.5), -math.sqrt(0.5)))])
def test_a_plane_falls_the_way_it_is_told(bearing, downhill):
    plane = falling_plane(0.1, bearing).plane
    assert plane.z(downhill) == pytest.approx(-0.1)
    assert plane.z((-downhill[1], downhill[0])) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("gradient", (-0.1, 1.1, math.nan))
def test_no_such_slope(gradient):
    with pytest.raises(ValueError, match="outside 0 to 1"):
        falling_plane(gradient, 0.0)


def test_lower_and_higher_share_out_the_ground():
    """min + max = sum, and each is on its own side."""
    first, second = Flat(Plane(0.1, 0.02, -0.3)), four_triangles(((0, 0, 0.0), (10, 0, 0.6), (10, 6, -0.2), (0, 6, 0.3)))
    base = Flat.at(-5.0)
    low, high = (volume(between([PLATFORM], base, which(first, second))) for which in (LowerOf, HigherOf))
    assert low + high == pytest.approx(volume(between([PLATFORM], base, first)) + volume(between([PLATFORM], base, second)), rel=1e-12)
    assert volume(between([PLATFORM], first, LowerOf(first, second))) == pytest.approx(0.0, abs=1e-12)
    assert volume(between([PLATFORM], HigherOf(first, second), second)) == pytest.approx(0.0, abs=1e-12)


def test_surfaces_that_coincide_leave_nothing():
    ground = four_triangles(CORNERS)
    assert between([PLATFORM], ground, ground) == ()
    assert between([PLATFORM], Raised(ground, -0.15), Raised(ground, -0.15)) == ()


def test_a_layer_of_even_depth():
    """150 mm measured plumb off any ground is its area times 150 mm."""
    ground = four_triangles(CORNERS)
    assert volume(between([PLATFORM], Raised(ground, -0.15), ground)) == pytest.approx(60.0 * 0.15, rel=1e-12)


def test_highest_and_lowest_are_at_corners():
    ground = four_triangles(CORNERS)
    outline = tuple((x, y) for x, y, _ in CORNERS)
    assert highest_m(ground, [outline]) == pytest.approx(10.16)
    assert lowest_m(ground, [outline]) == pytest.approx(9.72)
    with pytest.raises(ValueError):
        highest_m(ground, [])


def test_profile_bends_where_the_ground_does():
    ground = four_triangles(CORNERS)
    line = profile(ground, (0.0, 0.0), (6.6, 4.2))
    middle = math.hypot(6.6, 4.2) / 2
    assert line[0] == pytest.approx((0.0, 10.0), abs=1e-6)
    assert line[-1] == pytest.approx((2 * middle, 10.12), abs=1e-6)
    bends = [level for at, level in line if at == pytest.approx(middle, abs=1e-5)]
    assert bends == pytest.approx([10.0] * len(bends), abs=1e-6) and bends
    with pytest.raises(ValueError, match="1 mm"):
        profile(ground, (1.0, 1.0), (1.0, 1.0))


@pytest.mark.parametrize("count", (3, 5))
def test_four_levels_are_wanted(count):
    with pytest.raises(ValueError, match="Four corner levels"):
        four_triangles(CORNERS[:3] if count == 3 else (*CORNERS, CORNERS[0]))
