"""Volume against level, tabulated once for each patch of plan and read from there.

Most digs and fills are bounded by the ground on one side and by a flat or
sloping surface that rises and falls with the floor on the other.  The volume
between the two is a sum over triangles, each with a closed form in the level,
so a search for the best floor level need not cut a polygon again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import lru_cache

from calculators.ground import (
    Flat,
    HigherOf,
    LowerOf,
    Plane,
    Surface,
    between,
    unraised,
)
from calculators.plan import Polygon, Stretch, polygon_area_m2

# Heights nearer than this are the same height.
SAME_M = 1e-12


def triangle_fill_m3(level_m: float, area_m2: float, low_m: float, middle_m: float, high_m: float) -> float:
    """Volume between a flat triangle of ground and a level above it, m3; nothing where the ground stands higher.

    level_m: the level; area_m2: plan area of the triangle, m2, 0 or more;
    low_m, middle_m, high_m: ground at its corners, m, rising.  Raises
    ValueError where they do not rise.  Source: integral of a linear function
    over the part of a triangle that lies under a level (geometry).

    >>> triangle_fill_m3(1.0, 3.0, 0.0, 0.0, 0.0)
    3.0
    >>> abs(triangle_fill_m3(0.5, 1.0, 0.0, 0.0, 1.0) - (1 / 6 + 1 / 24)) < 1e-15
    True
    >>> triangle_fill_m3(0.0, 1.0, 0.0, 0.5, 1.0)
    0.0
    """
    if not low_m <= middle_m <= high_m:
        raise ValueError(f"The ground at the corners must rise: {low_m}, {middle_m}, {high_m} m.")
    if level_m <= low_m:
        return 0.0
    whole = area_m2 * (level_m - (low_m + middle_m + high_m) / 3.0)
    if level_m >= high_m:
        return whole
    if level_m <= middle_m:
        return area_m2 * (level_m - low_m) ** 3 / (3.0 * (middle_m - low_m) * (high_m - low_m))
    return whole + area_m2 * (high_m - level_m) ** 3 / (3.0 * (high_m - low_m) * (high_m - middle_m))


# Plan area, m2, and the ground's three corners above a surface at height 0, rising, m.
Triangle = tuple[float, float, float, float]
# A flat part of the ground in plan, its plane, and its triangles.
Part = tuple[Polygon, Plane, list[Triangle]]
# Volume, m3, over a polygon in plan, m.
OverPolygon = Callable[[Polygon], float]


def _triangles(part: Polygon, east: float, north: float, at_origin: float) -> list[Triangle]:
    """A convex part (m) as triangles, its heights given by a plane over the surface."""
    (x0, y0), *others = part
    first, *heights = [east * x + north * y + at_origin for x, y in part]
    found = []
    for (xa, ya), (xb, yb), second, third in zip(others, others[1:], heights, heights[1:]):
        area = ((xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)) / 2.0
        found.append((area, *sorted((first, second, third))))
    return found


class FillTable:
    """Volume under a surface of one slope over one patch of plan, by how high that surface stands.

    Kept as the triangles of ground under the patch, their corners measured
    from the surface at height 0; equal heights asked again are read, not summed.
    """

    def __init__(self, area_m2: float, parts: list[Part]):
        self.area_m2 = area_m2
        self.parts = parts
        self.triangles = [triangle for _, _, triangles in parts for triangle in triangles]
        self.lowest_m = min((triangle[1] for triangle in self.triangles), default=0.0)
        self.highest_m = max((triangle[3] for triangle in self.triangles), default=0.0)
        self.ground_m3 = math.fsum(area * (low + middle + high) for area, low, middle, high in self.triangles) / 3.0
        self._filled: dict[float, float] = {}

    @classmethod
    def under(cls, polygon: Polygon, ground: Surface, east: float, north: float) -> FillTable:
        """The table of a convex polygon (m) for surfaces that rise so much to the east and north."""
        return cls(polygon_area_m2(polygon), [
            (part, plane, _triangles(part, plane.east - east, plane.north - north, plane.at_origin)) for part, plane in ground.over(polygon)])

    def of(self, stretch: Stretch, east: float, north: float) -> FillTable:
        """The table of a stretch of this table's polygon: only what its limits cross is reckoned anew."""
        parts = []
        for whole, plane, triangles in self.parts:
            part = stretch.of(whole)
            if part is whole:
                parts.append((whole, plane, triangles))
            elif part:
                parts.append((part, plane, _triangles(part, plane.east - east, plane.north - north, plane.at_origin)))
        return FillTable(polygon_area_m2(stretch), parts)

    def fill_m3(self, height_m: float) -> float:
        """Volume between the ground and the surface where the surface is above it, m3."""
        if height_m <= self.lowest_m:
            return 0.0
        if height_m >= self.highest_m:
            return self.area_m2 * height_m - self.ground_m3
        if height_m not in self._filled:
            self._filled[height_m] = math.fsum(triangle_fill_m3(height_m, *triangle) for triangle in self.triangles)
        return self._filled[height_m]

    def dig_m3(self, height_m: float) -> float:
        """Volume between the surface and the ground where the ground is above it, m3."""
        return self.fill_m3(height_m) + self.ground_m3 - self.area_m2 * height_m


class FillTables:
    """The tables of one plot: volumes between surfaces, by table where the ground bounds them and by exact prisms elsewhere."""

    def __init__(self, ground: Surface):
        self.ground = ground
        self._table = lru_cache(maxsize=20_000)(self._tabulated)

    def _tabulated(self, polygon: Polygon, east: float, north: float) -> FillTable:
        if isinstance(polygon, Stretch):
            return self._table(polygon.whole, east, north).of(polygon, east, north)
        return FillTable.under(polygon, self.ground, east, north)

    def volume_m3(self, polygons: Iterable[Polygon], bottom: Surface, top: Surface) -> float:
        """Volume over convex polygons (m) above `bottom` and under `top`, m3; the same as of the prisms of `between`."""
        over = self._by_table(bottom, top)
        if over is None:
            return math.fsum(piece.volume_m3 for piece in between(polygons, bottom, top))
        return math.fsum(over(polygon) for polygon in polygons if polygon)

    def _by_table(self, bottom: Surface, top: Surface) -> OverPolygon | None:
        """How the volume between two surfaces follows from a polygon (m); None where only prisms tell."""
        low, high = self._flat(bottom), self._flat(top)
        ground_low, ground_high = self._above_ground(bottom), self._above_ground(top)
        if ground_low is not None and ground_high is not None:
            depth = max(0.0, ground_high - ground_low)
            return lambda polygon: polygon_area_m2(polygon) * depth
        if low is not None and ground_high is not None:
            return lambda polygon: self._at(polygon, low).dig_m3(low.at_origin - ground_high)
        if ground_low is not None and high is not None:
            return lambda polygon: self._at(polygon, high).fill_m3(high.at_origin - ground_low)
        if low is not None and high is not None and _parallel(low, high):
            thickness = max(0.0, high.at_origin - low.at_origin)
            return lambda polygon: polygon_area_m2(polygon) * thickness
        if isinstance(top, LowerOf) and low is not None:
            return self._dug_inside(low, top)
        if high is not None:
            return self._filled_from(bottom, high)
        return None

    def _dug_inside(self, low: Plane, top: LowerOf) -> OverPolygon | None:
        """Above a plane, under the lower of a parallel plane and the ground."""
        formation, above = self._plane_and_ground(top)
        if formation is None or not _parallel(formation, low) or low.at_origin > formation.at_origin:
            return None

        def over(polygon: Polygon) -> float:
            table = self._at(polygon, low)
            return (table.area_m2 * (formation.at_origin - low.at_origin)
                    - table.fill_m3(formation.at_origin - above) + table.fill_m3(low.at_origin - above))

        return over

    def _filled_from(self, bottom: Surface, high: Plane) -> OverPolygon | None:
        """Under a plane, above the lower of a parallel plane and the ground, and above a third one where there is one."""
        floor = None
        if isinstance(bottom, HigherOf):
            floor = self._flat(bottom.first)
            if floor is None or not _parallel(floor, high):
                return None
            bottom = bottom.second
        if not isinstance(bottom, LowerOf):
            return None
        formation, above = self._plane_and_ground(bottom)
        if formation is None or not _parallel(formation, high) or formation.at_origin > high.at_origin:
            return None

        def over(polygon: Polygon) -> float:
            table = self._at(polygon, high)
            if floor is not None and floor.at_origin >= formation.at_origin:
                return table.area_m2 * max(0.0, high.at_origin - floor.at_origin)
            filled = table.area_m2 * (high.at_origin - formation.at_origin) + table.fill_m3(formation.at_origin - above)
            return filled if floor is None else filled - table.fill_m3(floor.at_origin - above)

        return over

    def _at(self, polygon: Polygon, plane: Plane) -> FillTable:
        return self._table(polygon, plane.east, plane.north)

    def _above_ground(self, surface: Surface) -> float | None:
        """How far a surface lies above the tables' ground everywhere, m; None where it does not follow it."""
        base, by_m = unraised(surface)
        return by_m if base is self.ground else None

    def _flat(self, surface: Surface) -> Plane | None:
        """The plane that a surface is everywhere; None for another, and for the ground itself."""
        base, by_m = unraised(surface)
        if not isinstance(base, Flat) or base is self.ground:
            return None
        return base.plane.raised(by_m) if by_m else base.plane

    def _plane_and_ground(self, surface: LowerOf) -> tuple[Plane | None, float]:
        """The plane and the height above ground of the lower of the two; no plane where it is something else."""
        for first, second in ((surface.first, surface.second), (surface.second, surface.first)):
            plane, above = self._flat(first), self._above_ground(second)
            if plane is not None and above is not None:
                return plane, above
        return None, 0.0


def _parallel(first: Plane, second: Plane) -> bool:
    return abs(first.east - second.east) < SAME_M and abs(first.north - second.north) < SAME_M
