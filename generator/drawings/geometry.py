"""Where a vertical cut meets the works, and the outline of parts that touch.

Coordinates only: everything here is placed, nothing is sized.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators.ground import Piece
from calculators.plan import Point, Polygon
from calculators.site import LEVEL_GROUND_GRADIENT, Site, centre_of

NOTHING_M = 1e-6
"""Shorter than this is what rounding leaves, not a length."""

ASIDE_M = 1e-5
"""The cut is moved this far to one side, so that where it would run along a shared edge it meets one part and not both."""


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
    """The cut through the plan's centre that runs downhill, or square to the longest side on level ground."""
    if site.gradient < LEVEL_GROUND_GRADIENT:
        longest = max(site.plan.sides, key=lambda side: round(side.length_m, 9))
        along = (-longest.inward[0], -longest.inward[1])
    else:
        along = site.downhill
    return Cut(centre_of(site.plan), along).moved(ASIDE_M)


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
