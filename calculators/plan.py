"""The building seen from above: sides, mitred bands, offsets.

A plan is a polygon of corners, anticlockwise, x east and y north, metres.
Distances from a side are measured square to it; where two sides meet, what
lies between them is shared along the line that halves the corner (a mitre),
so a band round the building is covered once and only once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

from calculators.scenario import SIDES

Point = tuple[float, float]
Polygon = tuple[Point, ...]

# Pieces smaller than this are what rounding leaves along a shared edge.
SLIVER_M2 = 1e-12


def polygon_area_m2(polygon: Polygon) -> float:
    """Area of a polygon, m2; positive when its corners (m) run anticlockwise.

    Source: shoelace formula, any surveying textbook.

    >>> polygon_area_m2(((0, 0), (6.6, 0), (6.6, 4.2), (0, 4.2)))
    27.72
    """
    if not polygon:
        return 0.0
    # Measured from the first corner: far from the origin the products would swamp the area.
    x0, y0 = polygon[0]
    double = 0.0
    for (xa, ya), (xb, yb) in zip(polygon[1:], polygon[2:]):
        double += (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)
    return double / 2.0


def polygon_centroid(polygon: Polygon) -> Point:
    """Centre of area (x, y), m, of a polygon with corners in m.

    Source: shoelace formula, any mechanics textbook.  Raises ZeroDivisionError
    for a polygon without area.

    >>> polygon_centroid(((0, 0), (3, 0), (0, 3)))
    (1.0, 1.0)
    """
    x0, y0 = polygon[0]
    double = mx = my = 0.0
    for (xa, ya), (xb, yb) in zip(polygon[1:], polygon[2:]):
        cross = (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)
        double += cross
        mx += cross * (xa + xb - 2 * x0)
        my += cross * (ya + yb - 2 * y0)
    return (x0 + mx / (3.0 * double), y0 + my / (3.0 * double))


def clip(polygon: Polygon, a: float, b: float, c: float) -> Polygon:
    """The part of a convex polygon (m) where a x + b y + c >= 0; empty if none.

    Source: Sutherland and Hodgman's re-entrant clipping, one half-plane.

    >>> clip(((0, 0), (2, 0), (2, 1), (0, 1)), -1, 0, 1)
    ((0, 0), (1.0, 0.0), (1.0, 1.0), (0, 1))
    """
    values = [a * x + b * y + c for x, y in polygon]
    # Most polygons lie wholly on one side: nothing to cut.
    if not values or (lowest := min(values)) >= 0.0:
        return polygon
    if max(values) <= 0.0 > lowest:
        return ()
    kept: list[Point] = []
    last, there = polygon[-1], values[-1]
    for point, here in zip(polygon, values):
        if (here > 0.0 > there) or (here < 0.0 < there):
            share = there / (there - here)
            kept.append((last[0] + share * (point[0] - last[0]), last[1] + share * (point[1] - last[1])))
        if here >= 0.0:
            kept.append(point)
        last, there = point, here
    if len(kept) < 3 or abs(polygon_area_m2(tuple(kept))) < SLIVER_M2:
        return ()
    return tuple(kept)


def common(first: Polygon, second: Polygon) -> Polygon:
    """Where two convex polygons (m, anticlockwise) overlap; empty where they do not.

    >>> polygon_area_m2(common(((0, 0), (2, 0), (2, 2), (0, 2)), ((1, 1), (3, 1), (3, 3), (1, 3))))
    1.0
    """
    part = first
    for (xa, ya), (xb, yb) in zip(second, second[1:] + second[:1]):
        if not part:
            return ()
        a, b = -(yb - ya), xb - xa
        length = math.hypot(a, b)
        if length > 1e-9:
            part = clip(part, a / length, b / length, -(a * xa + b * ya) / length)
    return part


def without(polygon: Polygon, hole: Polygon) -> list[Polygon]:
    """What a convex polygon (m) has outside another (m, anticlockwise), as convex parts that do not overlap.

    >>> [polygon_area_m2(part) for part in without(((0, 0), (3, 0), (3, 3), (0, 3)), ((1, 1), (2, 1), (2, 2), (1, 2)))]
    [3.0, 2.0, 2.0, 1.0]
    >>> without(((0, 0), (1, 0), (1, 1), (0, 1)), ((5, 5), (6, 5), (6, 6), (5, 6)))
    [((0, 0), (1, 0), (1, 1), (0, 1))]
    """
    if not common(polygon, hole):
        return [polygon]
    parts, rest = [], polygon
    for (xa, ya), (xb, yb) in zip(hole, hole[1:] + hole[:1]):
        length = math.hypot(xb - xa, yb - ya)
        if length > 1e-9 and rest:
            a, b = -(yb - ya) / length, (xb - xa) / length
            c = -(a * xa + b * ya)
            if outside := clip(rest, -a, -b, -c):
                parts.append(outside)
            rest = clip(rest, a, b, c)
    return parts


def all_without(polygons: Iterable[Polygon], holes: Iterable[Polygon]) -> list[Polygon]:
    """What convex polygons (m) have outside every one of some convex holes (m), as convex parts.

    >>> all_without([((0, 0), (1, 0), (1, 1), (0, 1))], [((-1, -1), (2, -1), (2, 2), (-1, 2))])
    []
    """
    left = [polygon for polygon in polygons if polygon]
    for hole in holes:
        left = [part for polygon in left for part in without(polygon, hole)]
    return left


def is_convex(polygon: Polygon) -> bool:
    """Whether an anticlockwise polygon (m) has no corner that points inward.

    >>> is_convex(((0, 0), (2, 0), (2, 1), (0, 1)))
    True
    >>> is_convex(((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)))
    False
    """
    return all(_turn(a, b, c) >= -SLIVER_M2 for a, b, c in zip(polygon, polygon[1:] + polygon[:1], polygon[2:] + polygon[:2]))


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, m2: positive when it turns left at `b`."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


@lru_cache(maxsize=4_096)
def convex_parts(polygon: Polygon) -> tuple[Polygon, ...]:
    """A simple anticlockwise polygon (m) cut into convex ones along lines between its corners.

    Raises ValueError for an outline that crosses itself.  Source: ear
    clipping, then joining what stays convex (Hertel and Mehlhorn 1983).

    >>> parts = convex_parts(((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)))
    >>> len(parts), sum(polygon_area_m2(part) for part in parts), all(is_convex(part) for part in parts)
    (2, 5.0, True)
    """
    if is_convex(polygon):
        return (polygon,)
    left, parts = list(polygon), []
    while len(left) > 3:
        for i in range(len(left)):
            a, b, c = left[i - 1], left[i], left[(i + 1) % len(left)]
            others = [p for p in left if p not in (a, b, c)]
            if _turn(a, b, c) > SLIVER_M2 and not any(_turn(a, b, p) >= 0 and _turn(b, c, p) >= 0 and _turn(c, a, p) >= 0 for p in others):
                parts.append((a, b, c))
                left.pop(i)
                break
        else:
            raise ValueError("This outline crosses itself.")
    parts.append(tuple(left))
    return _joined_while_convex(parts)


def _joined_while_convex(parts: list[Polygon]) -> tuple[Polygon, ...]:
    """Neighbours joined across the line they share, as long as that leaves no corner pointing inward."""
    for i, first in enumerate(parts):
        for j in range(i + 1, len(parts)):
            second = parts[j]
            for k, (a, b) in enumerate(zip(first, first[1:] + first[:1])):
                if a in second and b in second and second[(second.index(b) + 1) % len(second)] == a:
                    at = second.index(a)
                    whole = first[: k + 1] + (second[at + 1:] + second[:at])[: len(second) - 2] + first[k + 1:]
                    if is_convex(whole):
                        return _joined_while_convex([*parts[:i], whole, *parts[i + 1:j], *parts[j + 1:]])
    return tuple(parts)


class Stretch(tuple):
    """A polygon that is part of a greater one; equal to the same polygon that stands alone.

    `whole` is the greater one; `limits` are the half-planes a x + b y + c >= 0 that
    cut it down.  The ground under the greater one is cut once for all its parts.
    """

    whole: Polygon
    limits: tuple[tuple[float, float, float], ...]

    @classmethod
    def cut(cls, whole: Polygon, limits: tuple[tuple[float, float, float], ...]) -> Polygon:
        """What limits leave of a convex polygon (m); empty if nothing."""
        corners = whole
        for limit in limits:
            corners = clip(corners, *limit)
        stretch = cls(corners)
        stretch.whole, stretch.limits = whole, limits
        return stretch if polygon_area_m2(stretch) >= SLIVER_M2 else ()

    def of(self, part: Polygon) -> Polygon:
        """What the limits leave of a part (m) of the whole; empty if nothing."""
        for limit in self.limits:
            part = clip(part, *limit)
        return part


class ClosesUp(ValueError):
    """A side, a recess or a cut is too short for what goes along it at a distance; says which."""


@dataclass(frozen=True)
class Side:
    """One side of the plan: `direction` runs along it, `inward` points into the building.

    `faces` is the compass point that it looks to and `name` its name, which is
    the same for the outermost and has a number for others ("south 2").
    `start_turn` and `end_turn` are tan(half the turn) at its two corners: how
    far a mitred band grows along the side for each metre it goes outward.
    """

    index: int
    name: str
    faces: str
    start: Point
    length_m: float
    direction: Point
    inward: Point
    start_turn: float
    end_turn: float

    def at(self, along_m: float, inward_m: float) -> Point:
        """Point (x, y), m, so far along the side from its start and so far inside it."""
        return (
            self.start[0] + along_m * self.direction[0] + inward_m * self.inward[0],
            self.start[1] + along_m * self.direction[1] + inward_m * self.inward[1],
        )

    def along(self, point: Point) -> float:
        """Distance along the side, m, of a point (x, y) in m."""
        return (point[0] - self.start[0]) * self.direction[0] + (point[1] - self.start[1]) * self.direction[1]

    def inside(self, point: Point) -> float:
        """Distance inside the line of the side, m (negative outside), of a point (x, y) in m."""
        return (point[0] - self.start[0]) * self.inward[0] + (point[1] - self.start[1]) * self.inward[1]

    def span(self, inward_m: float) -> tuple[float, float]:
        """From where to where, m along the side, the line `inward_m` inside it runs between mitres."""
        return (inward_m * self.start_turn, self.length_m - inward_m * self.end_turn)

    @property
    def closes_in_m(self) -> float:
        """How far inside it the side has shrunk to a point between its mitres, m; infinite where it does not."""
        shrinking = self.start_turn + self.end_turn
        return self.length_m / shrinking if shrinking > 1e-12 else math.inf

    @property
    def closes_out_m(self) -> float:
        """The same outside it: half the width of a recess of which it is the bottom."""
        growing = self.start_turn + self.end_turn
        return -self.length_m / growing if growing < -1e-12 else math.inf

    def band(self, inner_m: float, outer_m: float, from_m: float = -math.inf, to_m: float = math.inf) -> Polygon:
        """Mitred band of the side between two distances inside it (negative: outside).

        inner_m, outer_m: distances inside the side, m, in either order;
        from_m, to_m: limits along the side, m.  Returns a convex polygon,
        anticlockwise, empty where nothing is left.  Raises ValueError when
        the band is wider than the building, or a recess of it, lets it be.
        """
        asked = (inner_m, outer_m, from_m, to_m)
        if asked not in self._bands:
            self._bands[asked] = self._band(*asked)
        return self._bands[asked]

    @cached_property
    def _bands(self) -> dict[tuple[float, float, float, float], Polygon]:
        """The bands that have been asked for, by what was asked: a search for a level asks for the same ones over and over."""
        return {}

    def _band(self, inner_m: float, outer_m: float, from_m: float, to_m: float) -> Polygon:
        near, far = sorted((inner_m, outer_m))
        (near_from, near_to), (far_from, far_to) = self.span(near), self.span(far)
        if near_to < near_from - 1e-9:
            raise ClosesUp(f"The recess at the {self.name} side is too narrow for what reaches {-near:.2f} m out from its faces")
        if far_to < far_from - 1e-9:
            raise ClosesUp(f"The {self.name} side is too short, or the building too narrow there, for what reaches {far:.2f} m in from the outer face")
        limits = []
        if from_m > min(near_from, far_from):
            limits.append(self._limit(from_m, 1.0))
        if to_m < max(near_to, far_to):
            limits.append(self._limit(to_m, -1.0))
        if limits:
            return Stretch.cut(self.band(inner_m, outer_m), tuple(limits))
        corners = (self.at(near_from, near), self.at(near_to, near), self.at(far_to, far), self.at(far_from, far))
        return corners if polygon_area_m2(corners) >= SLIVER_M2 else ()

    def out_past(self, inward_m: float) -> tuple[float, float, float]:
        """The half-plane a x + b y + c >= 0 further out than the line so many m inside the side."""
        east, north = self.inward
        return (-east, -north, east * self.start[0] + north * self.start[1] + inward_m)

    def in_past(self, inward_m: float) -> tuple[float, float, float]:
        """The half-plane a x + b y + c >= 0 further in than the line so many m inside the side."""
        a, b, c = self.out_past(inward_m)
        return (-a, -b, -c)

    def _limit(self, along_m: float, sign: float) -> tuple[float, float, float]:
        dx, dy = self.direction
        return (sign * dx, sign * dy, -sign * (dx * self.start[0] + dy * self.start[1] + along_m))


def _unit(dx: float, dy: float) -> Point:
    length = math.hypot(dx, dy)
    return (dx / length, dy / length)


def _side_names(directions: list[Point]) -> list[str]:
    """Compass names of the sides that run in these directions, anticlockwise round the plan.

    Four sides are named in turn from the one that faces south most, so that a
    plan turned by 45 degrees has each name once; other plans by the nearest point.

    >>> _side_names([(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)])
    ['east', 'north', 'west', 'south']
    """
    if len(directions) == 4:
        # Rounded so that a plan turned by 45 degrees is named the same on every machine.
        southmost = max(range(4), key=lambda i: (round(directions[i][0], 6), round(directions[i][1], 6)))
        return [SIDES[(i - southmost) % 4] for i in range(4)]
    names = []
    for dx, dy in directions:
        scores = {"south": dx, "east": dy, "north": -dx, "west": -dy}
        names.append(max(scores, key=lambda name: round(scores[name], 9)))
    return names


def _told_apart(sides: list[Side]) -> tuple[Side, ...]:
    """Sides that look the same way given numbers, the outermost keeping the plain name."""
    named = {}
    for faces in {side.faces for side in sides}:
        alike = [side for side in sides if side.faces == faces]

        def outermost_first(side: Side) -> tuple[float, float, float]:
            east, north = side.at(side.length_m / 2.0, 0.0)
            return (round(east * side.inward[0] + north * side.inward[1], 6), round(east, 6), round(north, 6))

        for count, side in enumerate(sorted(alike, key=outermost_first), start=1):
            named[side.index] = replace(side, name=faces if count == 1 else f"{faces} {count}")
    return tuple(named[side.index] for side in sides)


@dataclass(frozen=True)
class Plan:
    """A building's outline: corners in m, anticlockwise, any simple polygon."""

    corners: Polygon

    @cached_property
    def area_m2(self) -> float:
        """Area inside the outline, m2."""
        return polygon_area_m2(self.corners)

    @cached_property
    def perimeter_m(self) -> float:
        """Length of the outline, m."""
        return sum(side.length_m for side in self.sides)

    @cached_property
    def sides(self) -> tuple[Side, ...]:
        """The sides in order round the plan, anticlockwise."""
        count = len(self.corners)
        directions = []
        for i, (x, y) in enumerate(self.corners):
            nx, ny = self.corners[(i + 1) % count]
            directions.append(_unit(nx - x, ny - y))
        names = _side_names(directions)
        sides = []
        for i, corner in enumerate(self.corners):
            before, here, after = directions[i - 1], directions[i], directions[(i + 1) % count]
            following = self.corners[(i + 1) % count]
            sides.append(
                Side(
                    index=i,
                    name=names[i],
                    faces=names[i],
                    start=corner,
                    length_m=math.hypot(following[0] - corner[0], following[1] - corner[1]),
                    direction=here,
                    inward=(-here[1], here[0]),
                    start_turn=_half_turn(before, here),
                    end_turn=_half_turn(here, after),
                )
            )
        return _told_apart(sides)

    @cached_property
    def closes_out_m(self) -> float:
        """How far outside the outline its narrowest recess has closed up: half its width, m; infinite where there is none."""
        return min(side.closes_out_m for side in self.sides)

    def side(self, name: str) -> Side:
        """The side of a name; raises KeyError when there is none."""
        for side in self.sides:
            if side.name == name:
                return side
        raise KeyError(f"This plan has no {name} side.")

    def inset(self, inward_m: float) -> Polygon:
        """Outline moved inward by so many m (outward when negative), corners mitred.

        Raises ValueError when nothing would be left.
        """
        return _inset(self, inward_m)

    def region(self, inward_m: float) -> tuple[Polygon, ...]:
        """The inside of the outline moved inward by so many m (outward when negative), as convex polygons.

        Raises ValueError when nothing would be left.
        """
        return convex_parts(self.inset(inward_m))

    def area_inset_m2(self, inward_m: float) -> float:
        """Area, m2, inside the outline moved inward by so many m (outward when negative)."""
        return polygon_area_m2(self.inset(inward_m))

    def inset_perimeter_m(self, inward_m: float) -> float:
        """Length, m, of the outline moved inward by so many m (outward when negative)."""
        return sum(end - start for start, end in (side.span(inward_m) for side in self.sides))

    def rectangles(self, inward_m: float) -> tuple[tuple[float, float], ...]:
        """Rectangles, (along, across) in m, that cover the outline moved inward, for laying whole sheets.

        A plan of right angles is sliced across its longest side at every
        corner; any other is covered by one rectangle along its longest side.
        """
        longest = max(self.sides, key=lambda side: round(side.length_m, 9))
        points = [(longest.along(p), longest.inside(p)) for p in self.inset(inward_m)]
        edges = list(zip(points, points[1:] + points[:1]))
        if any(abs(a[0] - b[0]) > 1e-6 and abs(a[1] - b[1]) > 1e-6 for a, b in edges):
            cuts = [min(p[0] for p in points), max(p[0] for p in points)]
            spans = [[(min(p[1] for p in points), max(p[1] for p in points))]]
        else:
            cuts = sorted({round(p[0], 6) for p in points})
            spans = [_crossed(edges, (a + b) / 2.0) for a, b in zip(cuts, cuts[1:])]
        found = []
        for (a, b), crossed in zip(zip(cuts, cuts[1:]), spans):
            found += [(b - a, high - low) for low, high in crossed]
        return tuple(found)

    def size_m(self) -> tuple[float, float]:
        """Longest side and the plan's breadth square to it, m: longer first."""
        longest = max(self.sides, key=lambda side: round(side.length_m, 9))
        along = [longest.along(corner) for corner in self.corners]
        inside = [longest.inside(corner) for corner in self.corners]
        length, breadth = max(along) - min(along), max(inside) - min(inside)
        return (max(length, breadth), min(length, breadth))


@lru_cache(maxsize=4_096)
def _inset(plan: Plan, inward_m: float) -> Polygon:
    points = tuple(side.at(side.span(inward_m)[0], inward_m) for side in plan.sides)
    for side in plan.sides:
        start, end = side.span(inward_m)
        if end - start <= 0.0:
            where = f"{inward_m:.2f} m in from" if inward_m > 0.0 else f"{-inward_m:.2f} m out from"
            raise ClosesUp(f"The {side.name} side, or a recess or a cut beside it, is too short for what reaches {where} the outer face")
    return points


def _crossed(edges: list[tuple[Point, Point]], at: float) -> list[Point]:
    """Where a line square to the first axis at `at` runs inside an outline: [(from, to), ...]."""
    found = sorted((a[1] + b[1]) / 2.0 for a, b in edges if min(a[0], b[0]) < at < max(a[0], b[0]))
    return list(zip(found[::2], found[1::2]))


def _half_turn(before: Point, after: Point) -> float:
    cross = before[0] * after[1] - before[1] * after[0]
    dot = before[0] * after[0] + before[1] * after[1]
    return cross / (1.0 + dot)
