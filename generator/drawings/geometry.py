"""Where a vertical cut meets the works, contours of the ground, and the outline of parts that touch.

Coordinates only: everything here is placed, nothing is sized.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators.ground import Piece, Surface
from calculators.plan import Plan, Point, Polygon, Side
from calculators.site import LEVEL_GROUND_GRADIENT, Site, centre_of

NOTHING_M = 1e-6
"""Shorter than this is what rounding leaves, not a length."""

ASIDE_M = 1e-5
"""The cut is moved this far to one side, so that where it would run along a shared edge it meets one part and not both."""


CLEAR_OF_WALL_M = 1.0
"""A cut that runs along a wall keeps this far from it where it can, or it would show a wall or an edge lengthwise."""


@dataclass(frozen=True)
class Cut:
    """A vertical cut: distances along it are metres from `origin`, growing in the direction `along`."""

    origin: Point
    along: Point

    def at(self, distance_m: float) -> Point:
        """Point (x, y), m, so far along the cut."""
        return (self.origin[0] + distance_m * self.along[0], self.origin[1] + distance_m * self.along[1])

    def moved(self, left_m: float) -> Cut:
        """The same cut moved to its left, m."""
        return Cut((self.origin[0] - left_m * self.along[1], self.origin[1] + left_m * self.along[0]), self.along)

    def chord(self, polygon: Polygon) -> tuple[float, float] | None:
        """From where to where, m, the cut runs inside a convex anticlockwise polygon (m); None where it misses."""
        near, far = -math.inf, math.inf
        (ox, oy), (dx, dy) = self.origin, self.along
        for (xa, ya), (xb, yb) in zip(polygon, polygon[1:] + polygon[:1]):
            ex, ey = xb - xa, yb - ya
            inside = ex * (oy - ya) - ey * (ox - xa)
            growing = ex * dy - ey * dx
            if abs(growing) < 1e-12:
                if inside < 0.0:
                    return None
            elif growing > 0.0:
                near = max(near, -inside / growing)
            else:
                far = min(far, -inside / growing)
        return (near, far) if far - near > NOTHING_M else None

    def runs(self, polygon: Polygon) -> list[tuple[float, float]]:
        """From where to where, m, the cut runs inside any simple polygon (m), in order along it.

        >>> bracket = ((0, 0), (6, 0), (6, 4), (4, 4), (4, 2), (2, 2), (2, 4), (0, 4))
        >>> Cut((-1.0, 3.0), (1.0, 0.0)).runs(bracket)
        [(1.0, 3.0), (5.0, 7.0)]
        """
        aside = [self.left_of(p) for p in polygon]
        crossed = []
        for i, (x, y) in enumerate(polygon):
            here, there = aside[i - 1], aside[i]
            if (here < 0.0) != (there < 0.0):
                xa, ya = polygon[i - 1]
                share = here / (here - there)
                crossed.append(self.along_to((xa + share * (x - xa), ya + share * (y - ya))))
        crossed.sort()
        return [(a, b) for a, b in zip(crossed[::2], crossed[1::2]) if b - a > NOTHING_M]

    def left_of(self, point: Point) -> float:
        """How far a point (m) lies to the left of the cut, m; negative on its right."""
        return (point[1] - self.origin[1]) * self.along[0] - (point[0] - self.origin[0]) * self.along[1]

    def along_to(self, point: Point) -> float:
        """Distance along the cut, m, of a point (m) beside it."""
        return (point[0] - self.origin[0]) * self.along[0] + (point[1] - self.origin[1]) * self.along[1]

    def through(self, pieces: Iterable[Piece], from_m: float, to_m: float) -> list[Polygon]:
        """What the cut shows of prisms between two distances (m): polygons of (distance, level), anticlockwise."""
        shown = []
        for piece in pieces:
            chord = self.chord(piece.polygon)
            if chord is None:
                continue
            a, b = max(chord[0], from_m), min(chord[1], to_m)
            if b - a <= NOTHING_M:
                continue
            start, end = self.at(a), self.at(b)
            bottom = (piece.bottom.z(start), piece.bottom.z(end))
            top = (piece.top.z(start), piece.top.z(end))
            if max(top[0] - bottom[0], top[1] - bottom[1]) > NOTHING_M:
                shown.append(((a, bottom[0]), (b, bottom[1]), (b, top[1]), (a, top[0])))
        return shown


def steepest_cut(site: Site) -> Cut:
    """The cut that runs downhill, or square to the longest side on level ground.

    It goes through the plan's centre; where the centre lies outside the
    building, or the cut would run along a wall, through the widest part that
    is clear of walls.
    """
    if site.gradient < LEVEL_GROUND_GRADIENT:
        longest = max(site.plan.sides, key=lambda side: round(side.length_m, 9))
        along = (-longest.inward[0], -longest.inward[1])
    else:
        along = site.downhill
    middle = Cut(centre_of(site.plan), along).moved(ASIDE_M)
    if any(a < 0.0 < b for a, b in middle.runs(site.plan.corners)) and _clear_of_walls_m(middle, site) > CLEAR_OF_WALL_M - 0.001:
        return middle
    corners = sorted({round(middle.left_of(corner), 6) for corner in (*site.plan.corners, *_walls_along(middle, site))})
    tried = [middle.moved((a + b) / 2) for a, b in zip(corners, corners[1:]) if b - a > 0.01]

    def goodness(cut: Cut) -> tuple[float, float, float]:
        longest_run = max((b - a for a, b in cut.runs(site.plan.corners)), default=0.0)
        clear = min(CLEAR_OF_WALL_M, _clear_of_walls_m(cut, site))
        return (round(clear, 3), round(longest_run, 3), -round(abs(middle.left_of(cut.origin)), 3))

    return max(tried, key=goodness)


def _walls_along(cut: Cut, site: Site) -> list[Point]:
    """A point on each wall, outer or inside, that a cut runs along, m."""
    outer = [side.start for side in site.plan.sides if abs(side.inward[0] * cut.along[0] + side.inward[1] * cut.along[1]) < 0.05]
    ends = site.scenario.building.internal_walls_m
    inside = [start for start, end in ends if abs(cut.left_of(end) - cut.left_of(start)) < 0.05 * math.dist(start, end)]
    return outer + inside


def _clear_of_walls_m(cut: Cut, site: Site) -> float:
    """How far the nearest wall is that the cut runs along, m; infinite where it runs along none."""
    return min((abs(cut.left_of(point)) for point in _walls_along(cut, site)), default=math.inf)


def distance_to_side_m(side: Side, point: Point) -> float:
    """How far a point (m) is from a side, m, ends and all."""
    beyond = max(0.0, -side.along(point), side.along(point) - side.length_m)
    return math.hypot(side.inside(point), beyond)


def side_at(plan: Plan, point: Point) -> Side:
    """The side nearest to a point (m)."""
    return min(plan.sides, key=lambda side: distance_to_side_m(side, point))


def is_inside(polygon: Polygon, point: Point) -> bool:
    """Whether a point (m) lies inside any simple polygon (m).

    >>> bracket = ((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3))
    >>> is_inside(bracket, (0.5, 2.0)), is_inside(bracket, (2.0, 2.0))
    (True, False)
    """
    return any(a < 0.0 < b for a, b in Cut(point, (1.0, 0.0)).runs(polygon))


def contour(surface: Surface, level_m: float, within: Polygon) -> list[tuple[Point, Point]]:
    """Where a surface over a convex polygon (m) is at one level (m): straight stretches, exact on ground flat in patches.

    Higher ground is on the left of each stretch.  A patch that is level has none.
    """
    found = []
    for part, plane in surface.over(within):
        heights = [plane.z(p) - level_m for p in part]
        down = up = None
        for i, (x, y) in enumerate(part):
            here, there = heights[i - 1], heights[i]
            if (here < 0.0) == (there < 0.0):
                continue
            xa, ya = part[i - 1]
            share = here / (here - there)
            place = (xa + share * (x - xa), ya + share * (y - ya))
            if here < 0.0:
                up = place
            else:
                down = place
        if up and down and math.dist(up, down) > NOTHING_M:
            found.append((down, up) if _left(down, up, part, heights) else (up, down))
    return found


def _left(start: Point, end: Point, part: Polygon, heights: Sequence[float]) -> bool:
    top = part[max(range(len(part)), key=lambda i: heights[i])]
    return (end[0] - start[0]) * (top[1] - start[1]) - (end[1] - start[1]) * (top[0] - start[0]) > 0.0


def chained(stretches: Iterable[tuple[Point, Point]]) -> list[list[Point]]:
    """Stretches that meet end to end joined into lines (m), closed ones ending where they begin.

    >>> chained([((0, 0), (1, 0)), ((2, 0), (2, 1)), ((1, 0), (2, 0))])
    [[(0, 0), (1, 0), (2, 0), (2, 1)]]
    """
    stretches = list(stretches)
    starting = {_place(a): i for i, (a, _) in enumerate(stretches)}
    ends = {_place(b) for _, b in stretches}
    used: set[int] = set()
    lines = []
    # Open lines from where nothing leads to them; what is left goes round.
    for first in sorted(range(len(stretches)), key=lambda i: _place(stretches[i][0]) in ends):
        if first in used:
            continue
        line, at = [stretches[first][0]], first
        while at is not None and at not in used:
            used.add(at)
            line.append(stretches[at][1])
            at = starting.get(_place(stretches[at][1]))
        lines.append(line)
    return lines


def outline(polygons: Iterable[Polygon]) -> list[list[Point]]:
    """The outline of parts that touch but do not overlap, as closed loops of points (m).

    Where two parts share the whole or a part of an edge there is no line.
    """
    edges: list[tuple[float, float, Point, Point]] = []
    for polygon in polygons:
        for a, b in zip(polygon, polygon[1:] + polygon[:1]):
            length = math.hypot(b[0] - a[0], b[1] - a[1])
            if length <= NOTHING_M:
                continue
            ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
            if ux < -1e-9 or (abs(ux) <= 1e-9 and uy < 0.0):
                ux, uy = -ux, -uy
            edges.append((math.atan2(uy, ux), a[1] * ux - a[0] * uy, a, b))
    # Parallel edges first, then those on one line: neighbours in this order.
    segments: list[tuple[Point, Point]] = []
    for parallel in _alike(sorted(edges, key=lambda e: e[0]), 0):
        for on_line in _alike(sorted(parallel, key=lambda e: e[1]), 1):
            segments += _uncovered(on_line)
    return _loops(segments)


def _alike(ordered: Sequence[tuple], field: int) -> list[list[tuple]]:
    groups: list[list[tuple]] = []
    for edge in ordered:
        if groups and edge[field] - groups[-1][-1][field] <= 1e-6:
            groups[-1].append(edge)
        else:
            groups.append([edge])
    return groups


def _uncovered(edges: Sequence[tuple]) -> list[tuple[Point, Point]]:
    """Edges on one line, less what two of them share in opposite directions."""
    if len(edges) == 1:
        return [(edges[0][2], edges[0][3])]
    angle = edges[0][0]
    ux, uy = math.cos(angle), math.sin(angle)
    changes: list[tuple[float, int, Point]] = []
    for _, _, a, b in edges:
        start, end = a[0] * ux + a[1] * uy, b[0] * ux + b[1] * uy
        changes += [(start, 1, a), (end, -1, b)]
    changes.sort(key=lambda change: change[0])
    found, balance = [], 0
    for (here, change, point), (there, _, following) in zip(changes, changes[1:]):
        balance += change
        if balance and there - here > NOTHING_M:
            found.append((point, following) if balance > 0 else (following, point))
    return found


def _loops(segments: Sequence[tuple[Point, Point]]) -> list[list[Point]]:
    following: dict[Point, list[int]] = {}
    for i, (start, _) in enumerate(segments):
        following.setdefault(_place(start), []).append(i)
    used = [False] * len(segments)
    loops = []
    for i in range(len(segments)):
        if used[i]:
            continue
        loop, at = [], i
        while not used[at]:
            used[at] = True
            loop.append(segments[at][0])
            onward = [j for j in following.get(_place(segments[at][1]), ()) if not used[j]]
            if not onward:
                if _place(segments[at][1]) != _place(loop[0]):
                    loop.append(segments[at][1])
                break
            at = onward[0]
        loops.append(_without_idle_points(loop))
    return loops


def _place(point: Point) -> tuple[int, int]:
    # Half a millimetre's worth of odd offset: no size that anybody builds to falls on the border between two places.
    return (math.floor(point[0] * 1e4 + 0.3137), math.floor(point[1] * 1e4 + 0.3137))


def _without_idle_points(loop: list[Point]) -> list[Point]:
    kept = []
    count = len(loop)
    for i, (x, y) in enumerate(loop):
        (xa, ya), (xb, yb) = loop[i - 1], loop[(i + 1) % count]
        if abs((x - xa) * (yb - y) - (y - ya) * (xb - x)) > 1e-9:
            kept.append((x, y))
    return kept or loop
