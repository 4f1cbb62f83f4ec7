"""Walls inside the building that carry load: where they lie, and how the concrete under them is cut out of the rest."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from calculators.ground import Flat, LowerOf, Plane, Surface
from calculators.numbers import steps_up
from calculators.plan import Point, Polygon, all_without, common, polygon_area_m2
from calculators.schemes.common import STRAP_SPACING_M
from calculators.site import Site
from calculators.works import WallLine


@dataclass(frozen=True)
class Line:
    """The centre line of a wall, m, with its unit direction and the unit normal to its left."""

    start: Point
    end: Point
    along: Point
    left: Point

    @property
    def length_m(self) -> float:
        """Length, m."""
        return math.dist(self.start, self.end)

    def strip(self, from_left_m: float, to_left_m: float, beyond_m: float = 0.0) -> Polygon:
        """The strip between two distances to the left (m, negative to the right), so much longer at both ends, m."""
        near, far = sorted((from_left_m, to_left_m))
        (ux, uy), (nx, ny) = self.along, self.left
        ends = ((self.start, -beyond_m), (self.end, beyond_m))
        (a, b), (c, d) = (
            tuple((x + ux * past + nx * away, y + uy * past + ny * away) for (x, y), past in ends) for away in (near, far))
        return (a, b, d, c)

    def rising(self, at_left_m: float, level_m: float, rise_per_m: float) -> Flat:
        """A plane that has a level (m) so far to the left of the line (m) and rises so much per metre further left."""
        nx, ny = self.left
        base = nx * self.start[0] + ny * self.start[1] + at_left_m
        return Flat(Plane(rise_per_m * nx, rise_per_m * ny, level_m - rise_per_m * base))


def lines_of(site: Site) -> tuple[Line, ...]:
    """The centre lines of the scenario's internal walls, m."""
    found = []
    for start, end in site.scenario.building.internal_walls_m:
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        found.append(Line(start, end, (ux, uy), (-uy, ux)))
    return tuple(found)


def apart(lines: Iterable[Line], half_width_m: float, beyond_m: float, region: Iterable[Polygon]) -> list[list[Polygon]]:
    """Each line's strip inside a region of convex polygons (m), less those of the lines before it, as convex parts.

    half_width_m: to each side of a line, m; beyond_m: how much longer at both ends, m.
    """
    region, taken, found = list(region), [], []
    for line in lines:
        strip = line.strip(-half_width_m, half_width_m, beyond_m)
        found.append(all_without((common(strip, whole) for whole in region), taken))
        taken.append(strip)
    return found


def thickened(underside: list[tuple[Polygon, Surface]], line: Line, width_m: float, top_m: float, slab_m: float, depth_m: float) -> list[tuple[Polygon, Surface]]:
    """A slab's underside with a thickening under a wall: flat under the wall, rising at 45 degrees to the slab on both sides.

    underside: convex polygons (m), each with the surface of the concrete above
    it; width_m: of the flat part; top_m: level of the slab's top; slab_m,
    depth_m: thickness of the slab, and of slab and thickening, m.  Where the
    concrete goes deeper already it stays so.
    """
    half, haunch = width_m / 2.0, depth_m - slab_m
    zones = [(line.strip(-half, half, half), Flat.at(top_m - depth_m))]
    if haunch > 0.0:
        zones += [
            (line.strip(half, half + haunch, half), line.rising(half, top_m - depth_m, 1.0)),
            (line.strip(-half, -half - haunch, half), line.rising(-half, top_m - depth_m, -1.0)),
        ]
    found = []
    for polygon, surface in underside:
        for zone, bottom in zones:
            if part := common(polygon, zone):
                found.append((part, LowerOf(surface, bottom)))
        found += [(rest, surface) for rest in all_without([polygon], [zone for zone, _ in zones])]
    return found


def area_m2(parts: Iterable[Iterable[Polygon]]) -> float:
    """Area, m2, of the parts of all lines."""
    return math.fsum(polygon_area_m2(polygon) for own in parts for polygon in own)


def straps(lines: Iterable[Line]) -> float:
    """Holding-down straps: one at each end and no further apart than their spacing."""
    return float(sum(steps_up(line.length_m, STRAP_SPACING_M.value) + 1 for line in lines))


def plan_lines(lines: Iterable[Line], half_width_m: float, kind: str, within: Iterable[Polygon]) -> list[WallLine]:
    """The two long edges of each strip for the plan, as far as they lie within convex polygons (m)."""
    found, within = [], list(within)
    for line in lines:
        for away in (-half_width_m, half_width_m):
            start, end = line.strip(away, away + 1.0)[:2]
            for polygon in within:
                cut = _inside(start, end, polygon)
                if cut is not None:
                    found.append(WallLine(kind, *cut))
    return found


def _inside(start: Point, end: Point, polygon: Polygon) -> tuple[Point, Point] | None:
    """The part of a straight line inside a convex polygon, m."""
    low, high = 0.0, 1.0
    for (xa, ya), (xb, yb) in zip(polygon, polygon[1:] + polygon[:1]):
        a, b = -(yb - ya), xb - xa
        here, there = a * (start[0] - xa) + b * (start[1] - ya), a * (end[0] - xa) + b * (end[1] - ya)
        if here < 0.0 and there < 0.0:
            return None
        if (here < 0.0) != (there < 0.0):
            cross = here / (here - there)
            low, high = (max(low, cross), high) if here < 0.0 else (low, min(high, cross))
    if high - low < 1e-9:
        return None
    return tuple((start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])) for share in (low, high))
