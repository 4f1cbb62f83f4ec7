"""Sums on paper, checked with SciPy's quadrature and with solids of known volume."""

import math
import random

import pytest

from calculators import earthwork


def numeric_cut_fill(length, breadth, gradient, lowered):
    """Cut and fill by quadrature over the section, the kink given to the integrator."""
    integrate = pytest.importorskip("scipy.integrate")

    def over(x):
        return gradient * (length / 2 - x) + lowered

    kink = [length / 2 + lowered / gradient] if gradient else []
    kink = [x for x in kink if 0 < x < length]
    cut, _ = integrate.quad(lambda x: max(0.0, over(x)), 0, length, points=kink or None)
    fill, _ = integrate.quad(lambda x: max(0.0, -over(x)), 0, length, points=kink or None)
    return breadth * cut, breadth * fill


@pytest.mark.parametrize("lowered", [-2.0, -0.5, -0.5 + 1e-9, -0.3, 0.0, 0.2, 0.5 - 1e-9, 0.5, 0.7])
@pytest.mark.parametrize("gradient", [0.0, 0.04, 0.10])
def test_platform_against_quadrature(gradient, lowered):
    exact = earthwork.level_platform_cut_fill_m3(10.0, 6.0, gradient, lowered)
    assert exact == pytest.approx(numeric_cut_fill(10.0, 6.0, gradient, lowered), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_platform_forms_meet_where_it_leaves_the_ground(side):
    edge = side * 0.10 * 10.0 / 2.0
    below, at, above = (earthwork.level_platform_cut_fill_m3(10.0, 6.0, 0.10, edge + hair) for hair in (-1e-7, 0.0, 1e-7))
    assert below == pytest.approx(at, abs=1e-5) and above == pytest.approx(at, abs=1e-5)


def test_platform_cut_less_fill_is_area_times_depth():
    for lowered in (-0.4, 0.0, 0.15, 0.9):
        cut, fill = earthwork.level_platform_cut_fill_m3(8.0, 5.0, 0.12, lowered)
        assert cut - fill == pytest.approx(8.0 * 5.0 * lowered, abs=1e-12)


def test_simpson_and_trapezoid_against_scipy():
    integrate = pytest.importorskip("scipy.integrate")
    chance = random.Random(3)
    for count in (3, 5, 7, 21):
        depths = [chance.uniform(0.0, 2.0) for _ in range(count)]
        assert earthwork.simpson_area_m2(0.75, depths) == pytest.approx(integrate.simpson(depths, dx=0.75), rel=1e-12)
        assert earthwork.trapezoid_area_m2(0.75, depths) == pytest.approx(integrate.trapezoid(depths, dx=0.75), rel=1e-12)


def test_simpson_is_exact_for_a_cubic():
    depths = [x**3 - 2 * x + 5 for x in (0.0, 0.5, 1.0, 1.5, 2.0)]
    assert earthwork.simpson_area_m2(0.5, depths) == pytest.approx(2.0**4 / 4 - 2.0**2 + 10.0, rel=1e-12)


def test_prismoidal_is_exact_for_a_pyramid_and_end_areas_are_not():
    # Square pyramid, side 6 m, height 9 m: volume 108 m3, side 3 m at half height.
    assert earthwork.prismoidal_volume_m3(9.0, 36.0, 9.0, 0.0) == pytest.approx(108.0)
    assert earthwork.end_areas_volume_m3(4.5, [36.0, 9.0, 0.0]) == pytest.approx(121.5)


def test_prismoidal_for_a_frustum_of_a_cone():
    radius_a, radius_b, height = 2.0, 0.5, 3.0
    exact = math.pi * height / 3.0 * (radius_a**2 + radius_a * radius_b + radius_b**2)
    areas = [math.pi * radius**2 for radius in (radius_a, (radius_a + radius_b) / 2.0, radius_b)]
    assert earthwork.prismoidal_volume_m3(height, *areas) == pytest.approx(exact, rel=1e-12)


def test_grid_is_exact_for_a_plane():
    depths = [[0.5 + 0.1 * x + 0.05 * y for x in range(5)] for y in range(4)]
    middle = 0.5 + 0.1 * 2.0 + 0.05 * 1.5
    assert earthwork.grid_volume_m3(1.0, depths) == pytest.approx(4 * 3 * middle, rel=1e-12)


def test_grid_by_sums_of_corners_where_cells_are_missing():
    """V = cell / 4 (S1 + 2 S2 + 3 S3 + 4 S4), surveying textbooks: an L of three cells has one corner that belongs to three."""
    depths = [[1.0, 2.0, 3.0], [4.0, 5.0, 6.0], [7.0, 8.0, None]]
    s1, s2, s3 = 1.0 + 3.0 + 6.0 + 7.0 + 8.0, 2.0 + 4.0, 5.0
    assert earthwork.grid_volume_m3(9.0, depths) == pytest.approx(9.0 / 4.0 * (s1 + 2.0 * s2 + 3.0 * s3))


def test_level_book_proves_itself():
    chance = random.Random(11)
    for _ in range(50):
        setups = [[chance.uniform(0.2, 3.8) for _ in range(chance.randrange(2, 6))] for _ in range(chance.randrange(1, 5))]
        book = earthwork.reduce_level_book(setups, 50.0)
        change = book.levels_m[-1] - 50.0
        assert book.backsights_m - book.foresights_m == pytest.approx(change, abs=1e-12)
        assert book.rises_m - book.falls_m == pytest.approx(change, abs=1e-12)
        assert len(book.levels_m) == sum(len(readings) - 1 for readings in setups)


def test_a_closed_run_without_error_has_no_misclosure():
    assert earthwork.misclosure_m([[1.5, 0.5], [0.7, 1.7]], 20.0, 20.0) == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("call", [
    lambda: earthwork.level_platform_cut_fill_m3(0.0, 6.0, 0.1),
    lambda: earthwork.level_platform_cut_fill_m3(10.0, 6.0, -0.1),
    lambda: earthwork.level_platform_cut_fill_m3(10.0, 6.0, 1.1),
    lambda: earthwork.simpson_area_m2(1.0, [1.0, 2.0]),
    lambda: earthwork.simpson_area_m2(1.0, [1.0, 2.0, 3.0, 4.0]),
    lambda: earthwork.simpson_area_m2(0.0, [1.0, 2.0, 3.0]),
    lambda: earthwork.trapezoid_area_m2(1.0, [1.0]),
    lambda: earthwork.end_areas_volume_m3(1.0, [1.0, -1.0]),
    lambda: earthwork.prismoidal_volume_m3(1.0, 1.0, -1.0, 1.0),
    lambda: earthwork.grid_volume_m3(1.0, [[1.0, 1.0], [1.0]]),
    lambda: earthwork.grid_volume_m3(1.0, [[1.0, None], [1.0, 1.0]]),
    lambda: earthwork.pieces_volume_m3([(1.0, 1.0, -1.0)]),
    lambda: earthwork.diagonal_m(0.0, 1.0),
    lambda: earthwork.reduce_level_book([], 0.0),
    lambda: earthwork.reduce_level_book([[1.0]], 0.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
