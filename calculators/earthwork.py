"""Sums for digging and levelling that a person can do on paper.

They stand apart from the exact solids of the works: they check them, and they
are what a methods page shows.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


def level_platform_cut_fill_m3(length_m: float, breadth_m: float, gradient: float, lowered_m: float = 0.0) -> tuple[float, float]:
    """Cut and fill for a level platform in ground that is one plane.

    length_m: down the slope, m, above 0.  breadth_m: across it, m, above 0.
    gradient: fall over run, 0 to 1.  lowered_m: platform below the ground at
    mid-length, m (negative: above it).
    Returns (cut, fill), m3, faces vertical.
    Raises ValueError outside those ranges.
    Source: geometry; a wedge B s x^2 / 2 with x from the uphill edge to where the
    platform meets the ground, or a prism where it meets none.

    >>> level_platform_cut_fill_m3(10.0, 6.0, 0.10)
    (7.5, 7.5)
    >>> cut, fill = level_platform_cut_fill_m3(10.0, 6.0, 0.10, 0.2)
    >>> round(cut, 9), round(fill, 9)
    (14.7, 2.7)
    """
    if not (length_m > 0.0 and breadth_m > 0.0):
        raise ValueError(f"a platform needs a length and breadth above 0, not {length_m} x {breadth_m} m")
    if not 0.0 <= gradient <= 1.0:
        raise ValueError(f"a gradient must be 0 to 1, not {gradient}")
    return (
        breadth_m * _wedge_m2(length_m, gradient, lowered_m),
        breadth_m * _wedge_m2(length_m, gradient, -lowered_m),
    )


def _wedge_m2(length_m: float, gradient: float, over_m: float) -> float:
    """Area of what stands over the platform, in a section down the slope."""
    end_m = gradient * length_m / 2.0
    if over_m >= end_m:
        return length_m * over_m
    if over_m <= -end_m:
        return 0.0
    reach_m = length_m / 2.0 + over_m / gradient
    return gradient * reach_m**2 / 2.0


def simpson_area_m2(spacing_m: float, depths_m: Sequence[float]) -> float:
    """Area of a section from depths at equal spacing, by Simpson's rule.

    spacing_m: m, above 0.  depths_m: an odd number of depths, m, three or more.
    Returns area, m2.
    Raises ValueError for an even number of depths, fewer than three, or a spacing of 0 or less.
    Source: Simpson's rule, any surveying textbook.

    >>> round(simpson_area_m2(5.0, [0.450, 0.300, 0.230, 0.235, 0.224, 0.180, 0.330]), 3)
    7.58
    """
    if not spacing_m > 0.0:
        raise ValueError(f"a spacing must be above 0 m, not {spacing_m} m")
    if len(depths_m) < 3 or len(depths_m) % 2 == 0:
        raise ValueError(f"Simpson's rule takes an odd number of depths, three or more, not {len(depths_m)}")
    return spacing_m / 3.0 * (depths_m[0] + depths_m[-1] + 4.0 * math.fsum(depths_m[1:-1:2]) + 2.0 * math.fsum(depths_m[2:-1:2]))


def trapezoid_area_m2(spacing_m: float, depths_m: Sequence[float]) -> float:
    """Area of a section from depths at equal spacing, straight from one to the next.

    spacing_m: m, above 0.  depths_m: two depths or more, m.
    Returns area, m2.
    Raises ValueError for fewer than two depths or a spacing of 0 or less.
    Source: trapezoidal rule, any surveying textbook.

    >>> round(trapezoid_area_m2(5.0, [0.450, 0.300, 0.230, 0.235, 0.224, 0.180, 0.330]), 3)
    7.795
    """
    if not spacing_m > 0.0:
        raise ValueError(f"a spacing must be above 0 m, not {spacing_m} m")
    if len(depths_m) < 2:
        raise ValueError(f"an area takes two depths or more, not {len(depths_m)}")
    return spacing_m * (math.fsum(depths_m) - (depths_m[0] + depths_m[-1]) / 2.0)


def end_areas_volume_m3(spacing_m: float, areas_m2: Sequence[float]) -> float:
    """Volume between cross-sections at equal spacing, from the mean of each pair.

    spacing_m: m, above 0.  areas_m2: two areas or more, m2, each 0 or more.
    Returns volume, m3; more than the truth where the ground tapers to a point.
    Raises ValueError outside those ranges.
    Source: G. L. Vose, Handbook of Railroad Construction (1857), article 108.

    >>> end_areas_volume_m3(10.0, [0.0, 6.0, 4.0])
    80.0
    """
    if any(not area >= 0.0 for area in areas_m2):
        raise ValueError("an area of a section must be 0 m2 or more")
    return trapezoid_area_m2(spacing_m, areas_m2)


def prismoidal_volume_m3(length_m: float, first_m2: float, middle_m2: float, last_m2: float) -> float:
    """Volume of a prismoid from its two ends and the section half-way.

    length_m: m, above 0.  first_m2, middle_m2, last_m2: areas, m2, 0 or more.
    Returns volume, m3.
    Raises ValueError outside those ranges.
    Source: prismoidal formula, any surveying textbook; exact for wedges, pyramids and frustums.

    >>> round(prismoidal_volume_m3(3.0, 4.0, 1.0, 0.0), 9)
    4.0
    """
    if not length_m > 0.0:
        raise ValueError(f"a length must be above 0 m, not {length_m} m")
    if any(not area >= 0.0 for area in (first_m2, middle_m2, last_m2)):
        raise ValueError("an area of a section must be 0 m2 or more")
    return length_m / 6.0 * (first_m2 + 4.0 * middle_m2 + last_m2)


def grid_volume_m3(cell_m2: float, depths_m: Sequence[Sequence[float | None]]) -> float:
    """Volume of a dig from depths at the corners of a grid of equal cells.

    cell_m2: area of a cell, m2, above 0.  depths_m: rows of depths, m, all rows equally
    long, None where the dig does not reach.
    Returns volume, m3: each cell at the mean of its four corners, which is a quarter
    cell times (S1 + 2 S2 + 3 S3 + 4 S4) with S1 the corners that belong to one cell, and so on.
    Raises ValueError for uneven rows, no whole cell, or a cell of 0 or less.
    Source: spot-level method, as given in surveying textbooks.

    >>> grid_volume_m3(4.0, [[1.0, 1.0, 1.0], [1.0, 2.0, 1.0]])
    10.0
    """
    if not cell_m2 > 0.0:
        raise ValueError(f"a cell must be above 0 m2, not {cell_m2} m2")
    if len({len(row) for row in depths_m}) != 1:
        raise ValueError("every row of the grid must have as many depths as the others")
    means = []
    for upper, lower in zip(depths_m, depths_m[1:]):
        for corners in zip(upper, upper[1:], lower, lower[1:]):
            if None not in corners:
                means.append(math.fsum(corners) / 4.0)
    if not means:
        raise ValueError("the grid has no cell with a depth at all four corners")
    return cell_m2 * math.fsum(means)


def pieces_volume_m3(pieces_m: Sequence[tuple[float, float, float]]) -> float:
    """Volume of square-cornered pieces added up, as on a take-off sheet.

    pieces_m: (length, breadth, depth) of each, m, each 0 or more.
    Returns volume, m3.
    Raises ValueError for a negative size.
    Source: geometry.

    >>> pieces_volume_m3([(2.0, 0.5, 0.25), (1.0, 1.0, 1.0)])
    1.25
    """
    for piece in pieces_m:
        if any(not size >= 0.0 for size in piece):
            raise ValueError(f"a piece's sizes must be 0 m or more, not {piece}")
    return math.fsum(length * breadth * depth for length, breadth, depth in pieces_m)


def diagonal_m(length_m: float, breadth_m: float) -> float:
    """Diagonal that proves a rectangle square when it is set out.

    length_m, breadth_m: sides, m, above 0.  Returns m.
    Raises ValueError for a side of 0 or less.
    Source: Pythagoras.

    >>> round(diagonal_m(5.0, 8.0), 3)
    9.434
    """
    if not (length_m > 0.0 and breadth_m > 0.0):
        raise ValueError(f"sides must be above 0 m, not {length_m} x {breadth_m} m")
    return math.hypot(length_m, breadth_m)


@dataclass(frozen=True)
class LevelBook:
    """A level book reduced: levels of every point after the first, m, and the sums that prove it."""

    levels_m: tuple[float, ...]
    backsights_m: float
    foresights_m: float
    rises_m: float
    falls_m: float


def reduce_level_book(setups_m: Sequence[Sequence[float]], first_level_m: float) -> LevelBook:
    """Levels from staff readings by rise and fall.

    setups_m: the readings of each set-up of the level, m, first to last; the last
    point of one set-up is the first of the next.  first_level_m: level of the first point, m.
    Returns a LevelBook, all m.  Sum of backsights less foresights, rises less falls, and
    last level less first must agree; they check the sums, not the readings.
    Raises ValueError for no set-up, or one with fewer than two readings.
    Source: rise and fall method, any surveying textbook.

    >>> book = reduce_level_book([[2.200, 1.620, 0.980], [2.250, 2.840, 1.280]], 100.0)
    >>> [round(level, 3) for level in book.levels_m]
    [100.58, 101.22, 100.63, 102.19]
    >>> round(book.backsights_m - book.foresights_m, 3) == round(book.rises_m - book.falls_m, 3) == 2.19
    True
    """
    if not setups_m:
        raise ValueError("a level book needs one set-up or more")
    levels, rises, falls = [first_level_m], [0.0], [0.0]
    for readings in setups_m:
        if len(readings) < 2:
            raise ValueError(f"a set-up needs two readings or more, not {len(readings)}")
        for before, after in zip(readings, readings[1:]):
            change = before - after
            (rises if change > 0.0 else falls).append(abs(change))
            levels.append(levels[-1] + change)
    return LevelBook(
        levels_m=tuple(levels[1:]),
        backsights_m=math.fsum(readings[0] for readings in setups_m),
        foresights_m=math.fsum(readings[-1] for readings in setups_m),
        rises_m=math.fsum(rises),
        falls_m=math.fsum(falls),
    )


def level_book_levels_m(setups_m: Sequence[Sequence[float]], first_level_m: float) -> tuple[float, ...]:
    """The levels of `reduce_level_book` alone.

    setups_m, first_level_m: m, as there.  Returns levels after the first point, m.
    Raises ValueError as there.
    Source: rise and fall method, any surveying textbook.

    >>> [round(level, 3) for level in level_book_levels_m([[1.5, 1.0]], 10.0)]
    [10.5]
    """
    return reduce_level_book(setups_m, first_level_m).levels_m


def level_book_sums_m(setups_m: Sequence[Sequence[float]]) -> tuple[float, float]:
    """Sums of backsights and of foresights.

    setups_m: m, as in `reduce_level_book`.  Returns (backsights, foresights), m.
    Raises ValueError as there.
    Source: rise and fall method, any surveying textbook.

    >>> level_book_sums_m([[1.5, 1.0], [2.0, 1.25]])
    (3.5, 2.25)
    """
    book = reduce_level_book(setups_m, 0.0)
    return (book.backsights_m, book.foresights_m)


def misclosure_m(setups_m: Sequence[Sequence[float]], first_level_m: float, known_last_m: float) -> float:
    """How far a run of levels misses a point whose level is known.

    setups_m, first_level_m: m, as in `reduce_level_book`.
    known_last_m: level of the last point, m (the first again, for a closed run).
    Returns last level from the book less the known one, m.
    Raises ValueError as `reduce_level_book` does.
    Source: definition, any surveying textbook.

    >>> round(misclosure_m([[1.500, 1.200], [1.300, 1.596]], 10.0, 10.0), 3)
    0.004
    """
    return reduce_level_book(setups_m, first_level_m).levels_m[-1] - known_last_m
