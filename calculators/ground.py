"""Surfaces over the plot and what lies between them.

The ground is flat in patches: one plane, the four triangles between four
corner levels and their mean centre, each carried on outward beyond the
building, or the triangles of a survey.  Formations, undersides and batters are flat in patches too, so every
volume here is a sum of exact prisms: no grid, no sampling.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Protocol

from calculators.plan import (
    SLIVER_M2,
    Point,
    Polygon,
    Stretch,
    all_without,
    clip,
    common,
    polygon_area_m2,
    polygon_centroid,
)


@dataclass(frozen=True)
class Plane:
    """z = east x + north y + at_origin, all m: a flat surface."""

    east: float
    north: float
    at_origin: float

    def z(self, point: Point) -> float:
        """Level, m, over a point (x, y) in m.

        >>> Plane(0.1, 0.0, 2.0).z((5.0, 3.0))
        2.5
        """
        return self.east * point[0] + self.north * point[1] + self.at_origin

    def raised(self, by_m: float) -> Plane:
        """The same plane so many m higher."""
        return Plane(self.east, self.north, self.at_origin + by_m)

    def minus(self, other: Plane) -> Plane:
        """Height of this plane over another, as a plane."""
        return Plane(self.east - other.east, self.north - other.north, self.at_origin - other.at_origin)


Patch = tuple[Polygon, Plane]


class Surface(Protocol):
    """Anything that can say which planes it is made of over a convex polygon."""

    def over(self, polygon: Polygon) -> list[Patch]:
        """The polygon cut into parts (m), each with its plane."""


@dataclass(frozen=True)
class Flat:
    """One plane everywhere; `Flat.at(z)` is level."""

    plane: Plane

    @classmethod
    def at(cls, level_m: float) -> Flat:
        """A level surface, m."""
        return cls(Plane(0.0, 0.0, level_m))

    def over(self, polygon: Polygon) -> list[Patch]:
        """The whole polygon with the one plane."""
        return [(polygon, self.plane)]


class _CutOnce:
    """A surface that remembers how it was cut."""

    def over(self, polygon: Polygon) -> list[Patch]:
        """The polygon cut along the edges of the surface's patches (m); asked again, the same parts are read, not cut."""
        return self._kept(polygon)

    @cached_property
    def _kept(self) -> Callable[[Polygon], list[Patch]]:
        return lru_cache(maxsize=20_000)(self._cut)


# Equal only to itself: to compare a survey patch by patch, each time something known of it is looked up, is slow.
@dataclass(frozen=True, eq=False)
class Patchwork(_CutOnce):
    """A surface of patches, each a plane inside some half-planes a x + b y + c >= 0.

    `boxes` holds for each patch the least and greatest x and y it reaches, so
    that patches far from a polygon need not be cut; it is empty for patches
    that go on for ever.
    """

    patches: tuple[tuple[tuple[tuple[float, float, float], ...], Plane], ...]
    boxes: tuple[tuple[float, float, float, float], ...] = ()

    def _cut(self, polygon: Polygon) -> list[Patch]:
        if isinstance(polygon, Stretch):
            return [(part, plane) for whole, plane in self.over(polygon.whole) if (part := polygon.of(whole))]
        parts = []
        for half_planes, plane in self._near(polygon):
            part = polygon
            for half_plane in half_planes:
                part = clip(part, *half_plane)
                if not part:
                    break
            if part:
                parts.append((part, plane))
        return parts

    def _near(self, polygon: Polygon):
        if not self.boxes or not polygon:
            return self.patches
        xs, ys = [x for x, _ in polygon], [y for _, y in polygon]
        west, east, south, north = min(xs), max(xs), min(ys), max(ys)
        return [
            patch for (from_x, to_x, from_y, to_y), patch in zip(self.boxes, self.patches)
            if from_x < east and to_x > west and from_y < north and to_y > south
        ]


@dataclass(frozen=True)
class Raised:
    """Another surface, so many m higher (lower when negative)."""

    surface: Surface
    by_m: float

    def over(self, polygon: Polygon) -> list[Patch]:
        """The other surface's parts, raised."""
        surface, by_m = unraised(self)
        return [(part, plane.raised(by_m)) for part, plane in surface.over(polygon)]


def unraised(surface: Surface) -> tuple[Surface, float]:
    """The surface under any raising and lowering, and how much that comes to, m."""
    by_m = 0.0
    while isinstance(surface, Raised):
        surface, by_m = surface.surface, by_m + surface.by_m
    return surface, by_m


# As of a patchwork, equal only to itself.
@dataclass(frozen=True, eq=False)
class Dented(_CutOnce):
    """Another surface, lower by a depth (m; higher when negative) within each of some convex polygons (m) that do not overlap.

    At the edge of a dent the surface falls plumb.
    """

    surface: Surface
    dents: tuple[tuple[Polygon, float], ...]

    def _cut(self, polygon: Polygon) -> list[Patch]:
        parts: list[Patch] = []
        for dent, depth in self.dents:
            if inside := common(polygon, dent):
                parts += [(part, plane.raised(-depth)) for part, plane in self.surface.over(inside)]
        if not parts:
            return self.surface.over(polygon)
        return parts + [patch for rest in all_without([polygon], [dent for dent, _ in self.dents]) for patch in self.surface.over(rest)]


@dataclass(frozen=True)
class LowerOf:
    """Whichever of two surfaces is lower."""

    first: Surface
    second: Surface

    def over(self, polygon: Polygon) -> list[Patch]:
        """The polygon cut along the line where the two cross."""
        return _whichever(polygon, self.first, self.second, 1.0)


@dataclass(frozen=True)
class HigherOf:
    """Whichever of two surfaces is higher."""

    first: Surface
    second: Surface

    def over(self, polygon: Polygon) -> list[Patch]:
        """The polygon cut along the line where the two cross."""
        return _whichever(polygon, self.first, self.second, -1.0)


def _whichever(polygon: Polygon, first: Surface, second: Surface, sign: float) -> list[Patch]:
    parts = []
    for outer, plane_a in first.over(polygon):
        for part, plane_b in second.over(outer):
            gap = plane_b.minus(plane_a)
            steep = (sign * gap.east, sign * gap.north, sign * gap.at_origin)
            keep_a = clip(part, *steep)
            if keep_a:
                parts.append((keep_a, plane_a))
            if len(keep_a) != len(part) or keep_a != part:
                keep_b = clip(part, *(-value for value in steep))
                if keep_b:
                    parts.append((keep_b, plane_b))
    return parts


@dataclass(frozen=True)
class Piece:
    """A prism over a convex polygon (m) between two planes, `top` nowhere under `bottom`."""

    polygon: Polygon
    bottom: Plane
    top: Plane

    @property
    def area_m2(self) -> float:
        """Plan area, m2."""
        return polygon_area_m2(self.polygon)

    @property
    def volume_m3(self) -> float:
        """Volume, m3: plan area times the height at its centre of area, exact for planes."""
        return self.area_m2 * self.top.minus(self.bottom).z(polygon_centroid(self.polygon))


def between(polygons: Iterable[Polygon], bottom: Surface, top: Surface) -> tuple[Piece, ...]:
    """What lies over convex polygons (m), above `bottom` and under `top`, as exact prisms.

    Where `top` runs under `bottom` there is nothing.  Source: volume under a
    plane = area x height at the centroid (geometry).

    >>> whole = ((0, 0), (10, 0), (10, 6), (0, 6))
    >>> slope = Flat(Plane(0.1, 0.0, -0.5))
    >>> round(sum(p.volume_m3 for p in between([whole], Flat.at(0.0), slope)), 12)
    7.5
    """
    pieces = []
    for polygon in polygons:
        if not polygon:
            continue
        for outer, low in bottom.over(polygon):
            for part, high in top.over(outer):
                gap = high.minus(low)
                part = clip(part, gap.east, gap.north, gap.at_origin)
                # Two surfaces that coincide leave a prism of no height: not a piece.
                if part and any(gap.z(corner) > 1e-9 for corner in part):
                    pieces.append(Piece(part, low, high))
    return tuple(pieces)


def highest_m(surface: Surface, polygons: Iterable[Polygon]) -> float:
    """Highest level, m, of a surface over convex polygons (m); raises ValueError without any."""
    base, by_m = unraised(surface)
    return by_m + max(_range_m(base, polygon)[1] for polygon in polygons)


def lowest_m(surface: Surface, polygons: Iterable[Polygon]) -> float:
    """Lowest level, m, of a surface over convex polygons (m); raises ValueError without any."""
    base, by_m = unraised(surface)
    return by_m + min(_range_m(base, polygon)[0] for polygon in polygons)


@lru_cache(maxsize=4_096)
def _range_m(surface: Surface, polygon: Polygon) -> tuple[float, float]:
    """Lowest and highest level, m, of a surface over a convex polygon (m)."""
    levels = [plane.z(p) for part, plane in surface.over(polygon) for p in part]
    return min(levels), max(levels)


def profile(surface: Surface, start: Point, end: Point) -> list[tuple[float, float]]:
    """Levels of a surface along a straight line: [(distance m, level m), ...] at every bend, twice where it falls plumb.

    start, end: points (x, y), m, at least 1 mm apart (ValueError otherwise).
    """
    base, by_m = unraised(surface)
    return [(at, level + by_m) for at, level in _profile(base, start, end)]


@lru_cache(maxsize=4_096)
def _profile(surface: Surface, start: Point, end: Point) -> list[tuple[float, float]]:
    length = math.hypot(end[0] - start[0], end[1] - start[1])
    if length < 0.001:
        raise ValueError("A profile needs two points at least 1 mm apart.")
    dx, dy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    # A ribbon this thin has an area well over a sliver's and levels equal to the line's at 1e-9.
    half = 1e-7
    ribbon = (
        (start[0] + half * dy, start[1] - half * dx),
        (end[0] + half * dy, end[1] - half * dx),
        (end[0] - half * dy, end[1] + half * dx),
        (start[0] - half * dy, start[1] + half * dx),
    )
    stretches = []
    for part, plane in surface.over(ribbon):
        chainages = [min(max((x - start[0]) * dx + (y - start[1]) * dy, 0.0), length) for x, y in part]
        stretches.append((min(chainages), max(chainages), plane))
    marks: list[tuple[float, float]] = []
    for from_m, to_m, plane in sorted(stretches, key=lambda stretch: stretch[:2]):
        for at in (from_m, to_m):
            key, level = round(at, 6), plane.z((start[0] + at * dx, start[1] + at * dy))
            # Patches side by side along the ribbon tell the same twice; a patch that crosses it at a point tells nothing new.
            if not any(abs(key - there) < 2e-6 and abs(level - z) < 1e-6 for there, z in marks):
                marks.append((key, level))
    # Sorted by chainage alone, so that where the surface falls plumb the level that comes first stays first.
    return sorted(marks, key=lambda mark: mark[0])


def falling_plane(gradient: float, falls_to_deg: float) -> Flat:
    """A plane through level 0 at the origin, falling towards a bearing.

    gradient: fall over run, 0 to 1; falls_to_deg: bearing of downhill,
    degrees clockwise from north.  Raises ValueError outside that range.

    >>> round(falling_plane(0.1, 180.0).plane.z((0.0, 10.0)), 9)
    1.0
    """
    if not 0.0 <= gradient <= 1.0:
        raise ValueError(f"A gradient of {gradient} is outside 0 to 1.")
    bearing = math.radians(falls_to_deg)
    east, north = -gradient * math.sin(bearing), -gradient * math.cos(bearing)
    # Straight south must have no east-west fall at all, not one of 1e-17.
    return Flat(Plane(0.0 if abs(east) < 1e-15 else east, 0.0 if abs(north) < 1e-15 else north, 0.0))


def four_triangles(levels_m: tuple[tuple[float, float, float], ...]) -> Patchwork:
    """The ground between four corner levels: four triangles about their mean centre.

    levels_m: four points (x, y, z), m, in order round the plan, anticlockwise.
    Each triangle's plane carries on outward between the rays from the centre
    through its two corners.  Raises ValueError for any other number of points.
    """
    if len(levels_m) != 4:
        raise ValueError(f"Four corner levels are wanted, not {len(levels_m)}.")
    centre = tuple(sum(point[i] for point in levels_m) / 4.0 for i in range(3))
    patches = []
    for i in range(4):
        a, b = levels_m[i], levels_m[(i + 1) % 4]
        half_planes = (_left_of(centre, a), tuple(-value for value in _left_of(centre, b)))
        patches.append((half_planes, _plane_through(centre, a, b)))
    return Patchwork(tuple(patches))


def _left_of(start, end) -> tuple[float, float, float]:
    """Half-plane to the left of the line from one point to another."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    a, b = -dy / length, dx / length
    return (a, b, -(a * start[0] + b * start[1]))


def _plane_through(p, q, r) -> Plane:
    ux, uy, uz = (q[i] - p[i] for i in range(3))
    vx, vy, vz = (r[i] - p[i] for i in range(3))
    across = ux * vy - uy * vx
    east = (uz * vy - uy * vz) / across
    north = (ux * vz - uz * vx) / across
    return Plane(east, north, p[2] - east * p[0] - north * p[1])


def triangulated(levels_m: Sequence[tuple[float, float, float]], triangles: Sequence[tuple[int, int, int]]) -> Patchwork:
    """The ground through spot levels, flat over each triangle between three of them.

    levels_m: points (x, y, z), m; triangles: three indexes into them each,
    anticlockwise, no two triangles overlapping.  There is no ground outside
    the triangles.  Raises ValueError for no triangle, or one that is clockwise or has no
    area, and IndexError for a point that is not there.

    >>> ground = triangulated(((0, 0, 1.0), (2, 0, 1.0), (2, 2, 2.0), (0, 2, 1.0)), ((0, 1, 2), (0, 2, 3)))
    >>> [round(plane.z((1.5, 0.5)), 9) for _, plane in ground.over(((1.4, 0.4), (1.6, 0.4), (1.5, 0.6)))]
    [1.25]
    """
    if not triangles:
        raise ValueError("Ground through spot levels needs one triangle or more.")
    patches, boxes = [], []
    for triangle in triangles:
        a, b, c = (levels_m[i] for i in triangle)
        if polygon_area_m2((a[:2], b[:2], c[:2])) < SLIVER_M2:
            raise ValueError(f"The triangle of points {triangle} is clockwise or has no area.")
        patches.append(((_left_of(a, b), _left_of(b, c), _left_of(c, a)), _plane_through(a, b, c)))
        xs, ys = (a[0], b[0], c[0]), (a[1], b[1], c[1])
        boxes.append((min(xs), max(xs), min(ys), max(ys)))
    return Patchwork(tuple(patches), tuple(boxes))
