"""Volumes read from tables against the same volumes as exact prisms, and against numbers of our own."""

import random

import pytest

from calculators.fill import FillTables, triangle_fill_m3
from calculators.ground import Flat, HigherOf, LowerOf, Plane, Raised, between, falling_plane, four_triangles

SQUARE = ((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0))
GROUNDS = {
    "plane": falling_plane(0.12, 200.0),
    "twisted": four_triangles(((0.0, 0.0, 0.0), (3.0, 0.0, -0.3), (3.0, 2.0, -0.1), (0.0, 2.0, -0.5))),
}


def prisms_m3(polygon, bottom, top):
    return sum(piece.volume_m3 for piece in between([polygon], bottom, top))


def surfaces(rng, ground):
    """Pairs that schemes use: a level or a slope that rises with the floor against the ground, and the lower or higher of such."""
    slope = Plane(rng.choice((0.0, 0.667, -1.0)), rng.choice((0.0, 0.5)), rng.uniform(-1.0, 0.5))
    level, stripped = Flat(slope), Raised(ground, -rng.uniform(0.0, 0.3))
    lower = Raised(level, -rng.uniform(0.0, 0.6))
    between_them = Raised(level, rng.uniform(-0.8, 0.3))
    yield level, stripped
    yield stripped, level
    yield stripped, ground
    yield lower, level
    yield LowerOf(level, stripped), Raised(level, rng.uniform(0.0, 0.3))
    yield LowerOf(stripped, level), Raised(level, rng.uniform(0.0, 0.3))
    yield lower, LowerOf(stripped, level)
    yield HigherOf(between_them, LowerOf(stripped, level)), Raised(level, rng.uniform(0.0, 0.3))


@pytest.mark.parametrize("name", GROUNDS)
def test_tables_give_what_prisms_give(name):
    ground, rng = GROUNDS[name], random.Random(name)
    tables = FillTables(ground)
    for _ in range(200):
        for bottom, top in surfaces(rng, ground):
            assert tables.volume_m3([SQUARE], bottom, top) == pytest.approx(prisms_m3(SQUARE, bottom, top), abs=1e-9)


def test_fill_of_a_triangle_against_a_fine_grid():
    # Midpoint rule over 200 x 200 small triangles: an outside reckoning of the same integral.
    corners, n = (0.0, 0.4, 1.0), 200
    for level in (0.2, 0.5, 0.8, 1.2):
        heights = []
        for i in range(n):
            for j in range(n - i):
                heights.append((i + 1 / 3, j + 1 / 3))
                if i + j < n - 1:
                    heights.append((i + 2 / 3, j + 2 / 3))
        total = sum(max(0.0, level - (corners[0] + 0.4 * u / n + 1.0 * v / n)) for u, v in heights) / len(heights)
        assert triangle_fill_m3(level, 1.0, *corners) == pytest.approx(total, rel=1e-4)


def test_fill_grows_with_level_and_its_pieces_meet():
    for level in (0.4, 1.0):
        below = triangle_fill_m3(level - 1e-9, 2.0, 0.0, 0.4, 1.0)
        above = triangle_fill_m3(level + 1e-9, 2.0, 0.0, 0.4, 1.0)
        assert 0.0 < above - below < 1e-8


def test_ground_out_of_order_is_refused():
    with pytest.raises(ValueError, match="must rise"):
        triangle_fill_m3(0.0, 1.0, 0.5, 0.0, 1.0)
