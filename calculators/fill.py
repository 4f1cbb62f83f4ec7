"""Volume against level, tabulated once for each patch of plan and read from there.

Most digs and fills are bounded by the ground on one side and by a flat or
sloping surface that rises and falls with the floor on the other.  The volume
between the two is a sum over triangles, each with a closed form in the level,
so a search for the best floor level need not cut a polygon again.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache

from calculators.ground import Flat, HigherOf, LowerOf, Plane, Raised, Surface, between
from calculators.plan import Polygon, polygon_area_m2

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


class FillTable:
    """Volume under a surface of one slope over one patch of plan, by how high that surface stands.

    Kept as the triangles of ground under the patch, their corners measured
    from the surface at height 0; equal heights asked again are read, not summed.
    """

    def __init__(self, polygon: Polygon, ground: Surface, east: float, north: float):
        self.area_m2 = polygon_area_m2(polygon)
        self.triangles: list[tuple[float, float, float, float]] = []
        mean_height = 0.0
        for part, plane in ground.over(polygon):
            heights = [plane.z((x, y)) - east * x - north * y for x, y in part]
            for i in range(1, len(part) - 1):
                area = polygon_area_m2((part[0], part[i], part[i + 1]))
                corners = sorted((heights[0], heights[i], heights[i + 1]))
                self.triangles.append((area, *corners))
                mean_height += area * math.fsum(corners) / 3.0
        self.ground_m3 = mean_height
        self.fill_m3 = cache(self._fill_m3)

    def _fill_m3(self, height_m: float) -> float:
        """Volume between the ground and the surface where the surface is above it, m3."""
        return math.fsum(triangle_fill_m3(height_m, *triangle) for triangle in self.triangles)

    def dig_m3(self, height_m: float) -> float:
        """Volume between the surface and the ground where the ground is above it, m3."""
        return self.fill_m3(height_m) + self.ground_m3 - self.area_m2 * height_m


class FillTables:
    """The tables of one plot: volumes between surfaces, by table where the ground bounds them and by exact prisms elsewhere."""

    def __init__(self, ground: Surface):
        self.ground = ground
        self._table = lru_cache(maxsize=20_000)(lambda polygon, east, north: FillTable(polygon, ground, east, north))

    def volume_m3(self, polygon: Polygon, bottom: Surface, top: Surface) -> float:
        """Volume over a convex polygon (m) above `bottom` and under `top`, m3; the same as of the prisms of `between`."""
        found = self._by_table(polygon, bottom, top) if polygon else 0.0
        if found is None:
            return math.fsum(piece.volume_m3 for piece in between([polygon], bottom, top))
        return found

    def _by_table(self, polygon: Polygon, bottom: Surface, top: Surface) -> float | None:
        low, high = self._flat(bottom), self._flat(top)
        ground_low, ground_high = self._above_ground(bottom), self._above_ground(top)
        if ground_low is not None and ground_high is not None:
            return polygon_area_m2(polygon) * max(0.0, ground_high - ground_low)
        if low is not None and ground_high is not None:
            return self._at(polygon, low).dig_m3(low.at_origin - ground_high)
        if ground_low is not None and high is not None:
            return self._at(polygon, high).fill_m3(high.at_origin - ground_low)
        if low is not None and high is not None and _parallel(low, high):
            return polygon_area_m2(polygon) * max(0.0, high.at_origin - low.at_origin)
        if isinstance(top, LowerOf) and low is not None:
            return self._dug_inside(polygon, low, top)
        if high is not None:
            return self._filled_from(polygon, bottom, high)
        return None

    def _dug_inside(self, polygon: Polygon, low: Plane, top: LowerOf) -> float | None:
        """Above a plane, under the lower of a parallel plane and the ground."""
        formation, above = self._plane_and_ground(top)
        if formation is None or not _parallel(formation, low) or low.at_origin > formation.at_origin:
            return None
        table = self._at(polygon, low)
        return (table.area_m2 * (formation.at_origin - low.at_origin)
                - table.fill_m3(formation.at_origin - above) + table.fill_m3(low.at_origin - above))

    def _filled_from(self, polygon: Polygon, bottom: Surface, high: Plane) -> float | None:
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
        table = self._at(polygon, high)
        if floor is not None and floor.at_origin >= formation.at_origin:
            return table.area_m2 * max(0.0, high.at_origin - floor.at_origin)
        filled = table.area_m2 * (high.at_origin - formation.at_origin) + table.fill_m3(formation.at_origin - above)
        return filled if floor is None else filled - table.fill_m3(floor.at_origin - above)

    def _at(self, polygon: Polygon, plane: Plane) -> FillTable:
        return self._table(polygon, plane.east, plane.north)

    def _above_ground(self, surface: Surface) -> float | None:
        """How far a surface lies above the tables' ground everywhere, m; None where it does not follow it."""
        by_m = 0.0
        while isinstance(surface, Raised):
            by_m += surface.by_m
            surface = surface.surface
        return by_m if surface is self.ground else None

    def _flat(self, surface: Surface) -> Plane | None:
        """The plane that a surface is everywhere; None for another, and for the ground itself."""
        by_m = 0.0
        while isinstance(surface, Raised):
            by_m += surface.by_m
            surface = surface.surface
        return surface.plane.raised(by_m) if isinstance(surface, Flat) and surface is not self.ground else None

    def _plane_and_ground(self, surface: LowerOf) -> tuple[Plane | None, float]:
        """The plane and the height above ground of the lower of the two; no plane where it is something else."""
        for first, second in ((surface.first, surface.second), (surface.second, surface.first)):
            plane, above = self._flat(first), self._above_ground(second)
            if plane is not None and above is not None:
                return plane, above
        return None, 0.0


def _parallel(first: Plane, second: Plane) -> bool:
    return abs(first.east - second.east) < SAME_M and abs(first.north - second.north) < SAME_M
