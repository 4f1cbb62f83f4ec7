"""What was measured on a plot before anything is dug: its outlines, its spot levels, its level book.

Levels are taken where somebody stood with a staff.  Between them the ground is
flat in triangles, no circle through the corners of one holding another point.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from calculators.earthwork import misclosure_m, reduce_level_book
from calculators.ground import (
    Plane,
    Surface,
    falling_plane,
    four_triangles,
    triangulated,
)
from calculators.plan import Point, Polygon, clip, convex_parts, polygon_area_m2
from calculators.scenario import LevelRun, Plot
from calculators.sources import common_practice

Level = tuple[float, float, float]
Triangle = tuple[int, int, int]

# Two points nearer than a tape can tell are one point; two levels nearer than a staff can tell, one level.
SAME_PLACE_M = 0.005
SAME_LEVEL_M = 0.005
# Points nearer to one straight line than this cannot say how the ground lies on either side of it.
LEAST_BREADTH_M = 0.1

WILD_FROM_M = common_practice(0.5, "m", "A level further than this from what its neighbours say is looked at again.")
WILD_FACTOR = common_practice(4.0, "", "And further than so many times what the levels of this survey usually differ from their neighbours.")
WILD_NEIGHBOURS = 6
# Fewer levels than this cannot show which of them is the wild one.
FEWEST_TO_TELL = 5

# No working margin, drain or batter of a building that may be built reaches further than this.
BEYOND_M = 50.0
BEYOND_POINTS = 8
BEYOND_SURVEY = "Beyond the outermost levels the ground is taken to carry on at the slope of the whole survey. Nobody has measured it there."

SHORT_RUN_M = 0.5

MISCLOSURE_PER_ROOT_SET_UP_M = common_practice(0.020, "m", "Allowed misclosure, times the square root of the number of set-ups.")
MISCLOSURE_AT_MOST_M = common_practice(0.050, "m", "A run of levels that misses by more holds a slip.")


# Spot levels.


def settled_levels(levels_m: Iterable[Level]) -> tuple[Level, ...]:
    """Spot levels in an order of their own, whatever order they came in, each place once.

    levels_m: points (x, y, z), m.  Places that a tape cannot tell apart are one, at their mean level.
    Returns points (x, y, z), m, from west to east.  Source: none needed, an order.

    >>> settled_levels([(4.0, 0.0, 1.0), (0.0, 0.0, 0.25), (0.0, 0.001, 0.25)])
    ((0.0, 0.0, 0.25), (4.0, 0.0, 1.0))
    """
    groups: list[list[Level]] = []
    # Rounded, so that the last binary digit of a converted unit does not change the order.
    for point in sorted(levels_m, key=lambda p: (round(p[0], 6), round(p[1], 6), p[2])):
        for group in groups:
            if math.dist(group[0][:2], point[:2]) <= SAME_PLACE_M:
                group.append(point)
                break
        else:
            groups.append([point])
    return tuple((*group[0][:2], math.fsum(z for _, _, z in group) / len(group)) for group in groups)


def two_levels_at_one_point(levels_m: Sequence[Level]) -> tuple[Level, Level] | None:
    """Two spot levels at one place that differ by more than a staff can be misread; None where there are none.

    levels_m: points (x, y, z), m.  Returns the two points, m, the lower first.  Source: none needed, a comparison.

    >>> two_levels_at_one_point([(0.0, 0.0, 1.0), (3.0, 0.0, 1.0), (0.0, 0.002, 1.2)])
    ((0.0, 0.0, 1.0), (0.0, 0.002, 1.2))
    """
    ordered = sorted(levels_m)
    for i, here in enumerate(ordered):
        for there in ordered[i + 1:]:
            if there[0] - here[0] > SAME_PLACE_M:
                break
            if math.dist(here[:2], there[:2]) <= SAME_PLACE_M and abs(here[2] - there[2]) > SAME_LEVEL_M:
                lower, higher = sorted((here, there), key=lambda p: p[2])
                return lower, higher
    return None


def best_plane(levels_m: Sequence[Level]) -> Plane:
    """The plane that misses spot levels by the least squares of height.

    levels_m: three points (x, y, z) or more, m, not on one line.  Returns a Plane, levels in m.
    Raises ValueError for points on one line.  Source: method of least squares, any surveying textbook.

    >>> plane = best_plane([(0, 0, 1.0), (10, 0, 2.0), (10, 10, 2.0), (0, 10, 1.0)])
    >>> round(plane.east, 12), round(plane.north, 12), round(plane.at_origin, 12)
    (0.1, 0.0, 1.0)
    """
    count = len(levels_m)
    if count < 3:
        raise ValueError(f"a plane needs three levels or more, not {count}")
    cx, cy, cz = (math.fsum(point[i] for point in levels_m) / count for i in range(3))
    xx = math.fsum((x - cx) ** 2 for x, _, _ in levels_m)
    yy = math.fsum((y - cy) ** 2 for _, y, _ in levels_m)
    xy = math.fsum((x - cx) * (y - cy) for x, y, _ in levels_m)
    xz = math.fsum((x - cx) * (z - cz) for x, _, z in levels_m)
    yz = math.fsum((y - cy) * (z - cz) for _, y, z in levels_m)
    across = xx * yy - xy * xy
    if across <= 1e-9 * (xx + yy) ** 2:
        raise ValueError("the levels lie on one line")
    east, north = (xz * yy - yz * xy) / across, (yz * xx - xz * xy) / across
    return Plane(east, north, cz - east * cx - north * cy)


def hull(points: Iterable[Point]) -> Polygon:
    """The outline that a string round all points would take.

    points: (x, y), m.  Returns corners (x, y), m, anticlockwise from the westernmost; fewer than
    three for points on one line.  Source: Andrew's monotone chain (1979).

    >>> hull([(0, 0), (2, 0), (1, 0.5), (2, 2), (0, 2), (1, 0)])
    ((0, 0), (2, 0), (2, 2), (0, 2))
    """
    ordered = sorted(set(points))

    def half(run: Iterable[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in run:
            while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0.0:
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return tuple(half(ordered) + half(reversed(ordered)))


def breadth_m(points: Sequence[Point]) -> float:
    """The narrowest breadth, m, of a spread of points (x, y), m; 0 on one line.

    Source: the narrowest strip round a convex outline lies along one of its sides (geometry).

    >>> breadth_m([(0, 0), (4, 0), (4, 1), (0, 1)])
    1.0
    """
    outline = hull(points)
    if len(outline) < 3:
        return 0.0
    return min(max(_turn(a, b, c) / math.dist(a, b) for c in outline) for a, b in _sides(outline))


def beyond_survey(levels_m: Sequence[Level]) -> tuple[Level, ...]:
    """Points far outside a survey that carry its ground on, at the slope of its best plane.

    levels_m: three spot levels (x, y, z) or more, m, not on one line.  Returns eight points
    (x, y, z), m, anticlockwise from the east, whose outline is everywhere at least
    `BEYOND_M` outside the survey.  Raises ValueError for levels on one line.
    Source: common practice, no source; the pages say so in the words of `BEYOND_SURVEY`.

    >>> far = beyond_survey([(0, 0, 0.0), (6, 0, 0.6), (6, 8, 0.6), (0, 8, 0.0)])
    >>> len(far), [round(value, 3) for value in far[0]]
    (8, [62.532, 4.0, 6.253])
    """
    plane = best_plane(levels_m)
    middle = tuple((min(p[i] for p in levels_m) + max(p[i] for p in levels_m)) / 2.0 for i in range(2))
    radius = max(math.dist(p[:2], middle) for p in levels_m) + BEYOND_M
    # The sides of the octagon, not only its corners, are that far out.
    radius /= math.cos(math.pi / BEYOND_POINTS)
    far = []
    for i in range(BEYOND_POINTS):
        turn = 2.0 * math.pi * i / BEYOND_POINTS
        place = (middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn))
        far.append((*place, plane.z(place)))
    return tuple(far)


def triangles_through(levels_m: Sequence[Level], beyond_m: Sequence[Level]) -> tuple[Triangle, ...]:
    """Triangles between spot levels, such that no circle through the corners of one holds another point.

    levels_m: spot levels (x, y, z), m, each in a place of its own, in the order of `settled_levels`;
    beyond_m: points (x, y, z), m, that make a convex outline round them all, anticlockwise.
    Returns three indexes each (no unit) into levels_m followed by beyond_m, anticlockwise.  Four points
    on one circle are divided from the one that comes first, so a square grid has one answer.
    Raises ValueError for a level outside the outline.
    Source: B. Delaunay, Sur la sphere vide (1934); edges turned as by C. L. Lawson (1977).

    >>> triangles_through([(0, 0, 0.0)], [(1, 0, 0.0), (0, 1, 0.0), (-1, -1, 0.0)])
    ((0, 1, 2), (0, 2, 3), (0, 3, 1))
    """
    return _Mesh([(x, y) for x, y, _ in (*levels_m, *beyond_m)], len(levels_m)).triangles()


class _Mesh:
    """Triangles in the making: `apex[a, b]` is the third corner of the triangle on the left of the edge from a to b."""

    # Angles that add up to half a turn within this are points on one circle; places nearer to a line than this are on it.
    TIE = 1e-9
    ON_LINE_M = 1e-9

    def __init__(self, points: Sequence[Point], inner: int):
        # Measured from their middle: far from the origin the products would swamp the differences.
        cx, cy = (sum(p[i] for p in points) / len(points) for i in range(2))
        self.at = [(x - cx, y - cy) for x, y in points]
        self.apex: dict[tuple[int, int], int] = {}
        for i in range(inner + 1, len(points) - 1):
            self._add(inner, i, i + 1)
        for i in range(inner):
            self._put_in(i)
        self._settle_ties()

    def triangles(self) -> tuple[Triangle, ...]:
        return tuple(sorted((a, b, c) for (a, b), c in self.apex.items() if a < b and a < c))

    def _add(self, a: int, b: int, c: int) -> None:
        self.apex[a, b], self.apex[b, c], self.apex[c, a] = c, a, b

    def _beside(self, a: int, b: int, p: int) -> float:
        """How far p is to the left of the line from a to b, m."""
        return _turn(self.at[a], self.at[b], self.at[p]) / math.dist(self.at[a], self.at[b])

    def _put_in(self, p: int) -> None:
        for a, b, c in self.triangles():
            edges = ((a, b), (b, c), (c, a))
            beside = [self._beside(*edge, p) for edge in edges]
            if min(beside) < -self.ON_LINE_M:
                continue
            around = list(edges)
            for edge, distance in zip(edges, beside):
                if distance <= self.ON_LINE_M:
                    start, end = edge
                    other = self.apex.pop((end, start), None)
                    if other is None:
                        raise ValueError("a level lies on the outline of the ground or outside it")
                    around.remove(edge)
                    around += [(start, other), (other, end)]
                    del self.apex[edge]
            for edge in around:
                self._add(*edge, p)
            self._turn_edges(around, p)
            return
        raise ValueError("a level lies outside the outline of the ground")

    def _turn_edges(self, edges: list[tuple[int, int]], p: int) -> None:
        """Turn the edges round a new point until none faces it across too flat a pair of triangles."""
        while edges:
            a, b = edges.pop()
            q = self.apex.get((b, a))
            if q is not None and self._spare(a, b) < -self.TIE:
                self._turn_edge(a, b)
                edges += [(a, q), (q, b)]

    def _spare(self, a: int, b: int) -> float:
        """Sine of what the two angles that face an edge lack of half a turn: below nought, the edge has to turn."""
        p, q = self.at[self.apex[a, b]], self.at[self.apex[b, a]]
        start, end = self.at[a], self.at[b]
        sin_p, cos_p = _turn(p, start, end), _dot(p, start, end)
        sin_q, cos_q = _turn(q, end, start), _dot(q, end, start)
        return (sin_p * cos_q + cos_p * sin_q) / (math.hypot(sin_p, cos_p) * math.hypot(sin_q, cos_q))

    def _turn_edge(self, a: int, b: int) -> None:
        p, q = self.apex.pop((a, b)), self.apex.pop((b, a))
        self._add(p, a, q)
        self._add(q, b, p)

    def _settle_ties(self) -> None:
        """Divide points on one circle from the first of them, whatever order or rounding left."""
        turned = True
        while turned:
            turned = False
            for a, b in sorted(self.apex):
                if a > b or (a, b) not in self.apex or (b, a) not in self.apex:
                    continue
                p, q = self.apex[a, b], self.apex[b, a]
                if min(p, q) < a and abs(self._spare(a, b)) <= self.TIE:
                    self._turn_edge(a, b)
                    turned = True


def wild_level(levels_m: Sequence[Level]) -> tuple[int, float] | None:
    """The one spot level that does not go with its neighbours; None where they all do.

    levels_m: spot levels (x, y, z), m, each in a place of its own.  Each is compared with its
    six nearest neighbours, by the median of how far they stand above the best plane through all but it.
    Returns its index and how far it stands above (below when negative) what they say, m.  With
    fewer than five levels nobody can tell which one is wild: None.
    Source: common practice, no source; the limits are `WILD_FROM_M` and `WILD_FACTOR`.

    >>> grid = [(x, y, 0.1 * x) for x in range(4) for y in range(4)]
    >>> grid[5] = (1, 1, 1.1)
    >>> index, off = wild_level(grid)
    >>> index, round(off, 6)
    (5, 1.0)
    """
    count = len(levels_m)
    if count < FEWEST_TO_TELL:
        return None
    neighbours = [
        sorted((j for j in range(count) if j != i), key=lambda j: (round(math.dist(levels_m[i][:2], levels_m[j][:2]), 6), j))
        for i in range(count)
    ]

    def off(i: int, without: int) -> float:
        above = above_without[without]
        near = [j for j in neighbours[i] if j != without][:WILD_NEIGHBOURS]
        return above[i] - median(above[j] for j in near)

    above_without = {}
    for i in range(count):
        others = [point for j, point in enumerate(levels_m) if j != i]
        if breadth_m([point[:2] for point in others]) < LEAST_BREADTH_M:
            # This level alone says how the ground lies across the line of the others.
            continue
        plane = best_plane(others)
        above_without[i] = [z - plane.z((x, y)) for x, y, z in levels_m]
    suspects = [i for i in above_without if abs(off(i, i)) > WILD_FROM_M.value]
    if not suspects:
        return None
    # A wild level makes its neighbours look wild too: it is the one without which the rest agree best.
    rest = {i: [abs(off(j, i)) for j in range(count) if j != i] for i in suspects}
    worst = min(suspects, key=lambda i: (round(math.fsum(rest[i]), 9), i))
    distance = off(worst, worst)
    if abs(distance) <= max(WILD_FROM_M.value, WILD_FACTOR.value * median(rest[worst])):
        return None
    return worst, distance


def steepest(levels_m: Sequence[Level], triangles: Iterable[Triangle]) -> tuple[float, int, int]:
    """The steepest line between two neighbouring spot levels.

    levels_m: spot levels (x, y, z), m; triangles: indexes (no unit); those of points that are not in levels_m are passed over.
    Returns the gradient (rise over run, no unit) and the two indexes.  Points
    nearer than 0.5 m count as that far apart: a kerb is not a slope.  Raises ValueError where no two are neighbours.
    Source: definition of gradient.

    >>> steepest([(0, 0, 0.0), (4, 0, 1.0), (0, 4, 0.0)], [(0, 1, 2)])
    (0.25, 0, 1)
    """
    count = len(levels_m)
    edges = {tuple(sorted(edge)) for triangle in triangles for edge in _sides(triangle) if max(edge) < count}
    if not edges:
        raise ValueError("no two of these levels are neighbours")

    def gradient(edge: tuple[int, int]) -> float:
        here, there = (levels_m[i] for i in edge)
        return abs(here[2] - there[2]) / max(math.dist(here[:2], there[:2]), SHORT_RUN_M)

    edge = max(sorted(edges), key=lambda edge: round(gradient(edge), 9))
    return gradient(edge), *edge


def ground_of(plot: Plot) -> Surface:
    """The existing ground of a plot: one plane, four triangles between corner levels, or the triangles of a survey.

    plot: its ground as read, m.  Returns a Surface, levels in m on the reader's own datum (a plane passes
    through 0 at the origin).  Raises ValueError as `ground.falling_plane`, `ground.four_triangles` and `ground.triangulated` do.
    Source: definitions in `calculators.ground`.
    """
    if plot.triangles:
        return triangulated(plot.levels_m + plot.beyond_m, plot.triangles)
    if plot.levels_m:
        return four_triangles(plot.levels_m)
    return falling_plane(plot.gradient, plot.falls_to_deg or 0.0)


# The level book.


@dataclass(frozen=True)
class StaffReading:
    """One line of a level book: a place (x, y), m, or the name of a mark, and what was read there, m.

    A line has an intermediate sight, or a foresight, a backsight, or both (a change point).
    `level_m` is the level of a mark that is known beforehand.
    """

    place: Point | None
    name: str
    back_m: float | None = None
    inter_m: float | None = None
    fore_m: float | None = None
    level_m: float | None = None


@dataclass(frozen=True)
class ReducedBook:
    """A level book worked out: the levels (x, y, z), m, of what has a place, and what the run added up to."""

    levels_m: tuple[Level, ...]
    run: LevelRun


def same_mark(first: StaffReading, second: StaffReading) -> bool:
    """Whether two lines of a level book are of one mark: by its name, or by its place (m), as near as a tape can tell.

    Source: none needed, a comparison.

    >>> same_mark(StaffReading(None, "door sill"), StaffReading(None, "door sill"))
    True
    """
    if first.place and second.place:
        return math.dist(first.place, second.place) <= SAME_PLACE_M
    return bool(first.name) and first.name == second.name


def reduce_readings(readings: Sequence[StaffReading]) -> ReducedBook:
    """Levels of the places in a level book, by rise and fall, and how far it closes.

    readings: its lines in order, m.  The first has a backsight, the last a foresight; between them lie intermediate
    sights, and change points with a foresight and then a backsight.  The first is at its known level, or 0 m.  A run that
    ends on a known level, or where it began, has a misclosure; it is not shared out among the levels.
    Returns a ReducedBook, m.  Raises ValueError for lines that do not follow each other so.
    Source: rise and fall method, any surveying textbook.

    >>> book = reduce_readings([
    ...     StaffReading(None, "peg", back_m=2.200, level_m=100.0), StaffReading((0.0, 0.0), "", inter_m=1.620),
    ...     StaffReading((4.0, 0.0), "", fore_m=0.980, back_m=1.000), StaffReading(None, "peg", fore_m=2.224)])
    >>> [round(z, 3) for _, _, z in book.levels_m], round(book.run.misclosure_m, 3)
    ([100.58, 101.22], -0.004)
    """
    if len(readings) < 2:
        raise ValueError("a level book needs two lines or more")
    first, last = readings[0], readings[-1]
    set_ups: list[list[float]] = []
    for reading in readings:
        seen = (reading.fore_m is not None, reading.inter_m is not None, reading.back_m is not None)
        wanted = [(False, False, True)] if reading is first else [(True, False, False)] if reading is last else [(True, False, True), (False, True, False)]
        if seen not in wanted:
            raise ValueError("a level book runs from a backsight, by intermediate sights and change points, to a foresight")
        if reading.inter_m is not None:
            set_ups[-1].append(reading.inter_m)
        if reading.fore_m is not None:
            set_ups[-1].append(reading.fore_m)
        if reading.back_m is not None:
            set_ups.append([reading.back_m])
    begins = first.level_m or 0.0
    book = reduce_level_book(set_ups, begins)
    closes = same_mark(first, last)
    known = last.level_m if last.level_m is not None else begins if closes else None
    placed = [(reading, level) for reading, level in zip(readings, (begins, *book.levels_m)) if reading.place]
    if closes and last.place:
        # The reading that closes the run is a check; the level of that place is where it began.
        placed.pop()
    return ReducedBook(
        levels_m=tuple((*reading.place, level) for reading, level in placed),
        run=LevelRun(len(set_ups), book.backsights_m, book.foresights_m, None if known is None else misclosure_m(set_ups, begins, known)),
    )


def allowed_misclosure_m(set_ups: int) -> float:
    """How far a run of levels may miss, m, before it is worth doing again: 20 mm times the root of its set-ups (1 or more, no unit).

    Raises ValueError below 1.  Source: common practice, no source.

    >>> allowed_misclosure_m(4)
    0.04
    """
    if set_ups < 1:
        raise ValueError("a run of levels has one set-up or more")
    return MISCLOSURE_PER_ROOT_SET_UP_M.value * math.sqrt(set_ups)


def survey_assumptions(plot: Plot) -> tuple[str, ...]:
    """Sentences about how the ground was measured that hold for every scheme and must be shown.

    plot: as read, m.  Returns sentences (no unit of their own).  Source: as `BEYOND_SURVEY`, `wild_level` and `allowed_misclosure_m`.
    """
    words = []
    run = plot.level_run
    if run:
        words.append(
            f"The level book has {run.set_ups} set-up{'' if run.set_ups == 1 else 's'}: backsights add up to {run.backsights_m:.3f} m, foresights to "
            f"{run.foresights_m:.3f} m. They differ by {run.backsights_m - run.foresights_m:+.3f} m, the rise from its first point to its last. " + _closing_words(run))
    if plot.triangles:
        words.append(BEYOND_SURVEY)
        wild = wild_level(plot.levels_m) if plot.levels_checked else None
        if wild:
            x, y, _ = plot.levels_m[wild[0]]
            words.append(f"The level at ({x:.4g} m, {y:.4g} m) is {abs(wild[1]):.2f} m {'above' if wild[1] > 0 else 'below'} what its neighbours say. You say that it was measured again.")
    return tuple(words)


def _closing_words(run: LevelRun) -> str:
    if run.misclosure_m is None:
        return "It does not come back to a known level, so nothing checks the readings."
    allowed = allowed_misclosure_m(run.set_ups)
    missed = f"It misses its closing level by {abs(run.misclosure_m) * 1000:.0f} mm"
    if abs(run.misclosure_m) <= allowed + 1e-9:
        return f"{missed}; up to {allowed * 1000:.0f} mm is usual. The miss is not shared out."
    return f"{missed}, more than the usual {allowed * 1000:.0f} mm: read it again before you dig by it. The miss is not shared out."


# Outlines.


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, m2: positive when it turns left at `b`."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _dot(at: Point, a: Point, b: Point) -> float:
    return (a[0] - at[0]) * (b[0] - at[0]) + (a[1] - at[1]) * (b[1] - at[1])


def _sides(polygon: Sequence) -> list[tuple]:
    return [(polygon[i], polygon[(i + 1) % len(polygon)]) for i in range(len(polygon))]


def from_south_west(polygon: Polygon) -> Polygon:
    """The same outline anticlockwise from its most south-western corner, whichever way round and from wherever it came.

    polygon: corners (x, y), m.  Returns corners, m; the corner with the least x + y is first, of two alike the southern one.
    Source: none needed, an order.

    >>> from_south_west(((4, 3), (4, 0), (0, 0), (0, 3)))
    ((0, 0), (4, 0), (4, 3), (0, 3))
    """
    if polygon_area_m2(polygon) < 0.0:
        polygon = polygon[::-1]
    first = min(range(len(polygon)), key=lambda i: (round(sum(polygon[i]), 6), round(polygon[i][1], 6)))
    return polygon[first:] + polygon[:first]


def interior_angles_deg(polygon: Polygon) -> tuple[float, ...]:
    """The angle inside each corner of an outline, degrees, 0 to 360.

    polygon: corners (x, y), m, either way round.  Source: geometry.

    >>> [round(angle, 9) for angle in interior_angles_deg(((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)))]
    [90.0, 90.0, 90.0, 270.0, 90.0, 90.0]
    """
    sign = 1.0 if polygon_area_m2(polygon) >= 0.0 else -1.0
    angles = []
    for i, here in enumerate(polygon):
        before, after = polygon[i - 1], polygon[(i + 1) % len(polygon)]
        angles.append(math.degrees(math.atan2(sign * _turn(here, after, before), _dot(here, after, before))) % 360.0)
    return tuple(angles)


def corner_off_line_m(polygon: Polygon, corner: int) -> float:
    """How far a corner of an outline is off the line between the corners beside it, m.

    polygon: corners (x, y), m; corner: its index (no unit).  Source: geometry.

    >>> corner_off_line_m(((0, 0), (2, 0), (4, 0), (4, 3)), 1)
    0.0
    """
    return distance_to_line_m(polygon[corner], polygon[corner - 1], polygon[(corner + 1) % len(polygon)])


def distance_to_line_m(point: Point, start: Point, end: Point) -> float:
    """Distance, m, of a point from the nearest point of a line with two ends; all (x, y), m.

    Source: geometry.

    >>> distance_to_line_m((5, 4), (0, 0), (2, 0))
    5.0
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    share = max(0.0, min(1.0, _dot(start, point, end) / square)) if square else 0.0
    return math.dist(point, (start[0] + share * dx, start[1] + share * dy))


def distance_between_lines_m(first: tuple[Point, Point], second: tuple[Point, Point]) -> float:
    """The least distance, m, between two lines with two ends each, (x, y) in m; 0 where they cross.

    Source: geometry.

    >>> distance_between_lines_m(((0, 0), (4, 0)), ((2, -1), (2, 1))), distance_between_lines_m(((0, 0), (4, 0)), ((0, 2), (4, 3)))
    (0.0, 2.0)
    """
    (a, b), (c, d) = first, second
    if _turn(a, b, c) * _turn(a, b, d) < 0.0 and _turn(c, d, a) * _turn(c, d, b) < 0.0:
        return 0.0
    return min(distance_to_line_m(a, c, d), distance_to_line_m(b, c, d), distance_to_line_m(c, a, b), distance_to_line_m(d, a, b))


def sides_that_meet(polygon: Polygon) -> tuple[int, int] | None:
    """Two sides of an outline that cross or touch though they share no corner; None where there are none.

    polygon: corners (x, y), m; side i runs from corner i to the next.  Returns two indexes (no unit).  Source: geometry.

    >>> sides_that_meet(((0, 0), (4, 3), (4, 0), (0, 3)))
    (0, 2)
    """
    sides = _sides(polygon)
    count = len(sides)
    for i in range(count):
        for j in range(i + 2, count):
            if (j + 1) % count != i and distance_between_lines_m(sides[i], sides[j]) <= SAME_PLACE_M:
                return i, j
    return None


def distance_outside_m(point: Point, polygon: Polygon) -> float:
    """How far a point (x, y), m, lies outside an outline (m, three corners or more, either way round); 0 inside.

    Source: a line from an inner point crosses the outline an odd number of times (geometry).

    >>> distance_outside_m((5, 1), ((0, 0), (4, 0), (4, 3), (0, 3))), distance_outside_m((1, 1), ((0, 0), (4, 0), (4, 3), (0, 3)))
    (1.0, 0.0)
    """
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in _sides(polygon):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return 0.0 if inside else min(distance_to_line_m(point, *side) for side in _sides(polygon))


def overlap_m2(first: Polygon, second: Polygon) -> float:
    """Area, m2, that two outlines (m, simple, anticlockwise) share.

    Raises ValueError for an outline that crosses itself.  Source: geometry.

    >>> overlap_m2(((0, 0), (4, 0), (4, 3), (0, 3)), ((3, 2), (6, 2), (6, 5), (3, 5)))
    1.0
    """
    area = 0.0
    for part in convex_parts(first):
        for other in convex_parts(second):
            left = part
            for (ax, ay), (bx, by) in _sides(other):
                if left:
                    a, b = ay - by, bx - ax
                    length = math.hypot(a, b)
                    left = clip(left, a / length, b / length, -(a * ax + b * ay) / length)
            area += polygon_area_m2(left)
    return area


def gap_m(first: Polygon, second: Polygon) -> float:
    """The least distance, m, between two outlines (m, simple, anticlockwise); 0 where they overlap or touch.

    Raises ValueError for an outline that crosses itself.  Source: geometry.

    >>> gap_m(((0, 0), (4, 0), (4, 3), (0, 3)), ((6, 0), (7, 0), (7, 1), (6, 1)))
    2.0
    """
    if overlap_m2(first, second) > 0.0:
        return 0.0
    return min(distance_between_lines_m(a, b) for a in _sides(first) for b in _sides(second))


def farthest_outside_m(start: Point, end: Point, polygon: Polygon) -> float:
    """How far the worst point of a line (ends x, y in m) lies outside an outline (m, simple); 0 when the whole line is inside.

    A line may leave an outline and come back, so it is looked at between every place where it crosses a side.
    Returns m: the distance of an end, or of the middle of a stretch outside.  Source: geometry.

    >>> farthest_outside_m((0.5, 2.0), (2.0, 0.5), ((0, 0), (3, 0), (3, 1), (1, 1), (1, 3), (0, 3)))
    0.25
    """
    shares = [0.0, 1.0]
    for a, b in _sides(polygon):
        from_start, from_end = _turn(a, b, start), _turn(a, b, end)
        if from_start * from_end < 0.0:
            shares.append(from_start / (from_start - from_end))
    shares.sort()
    looked_at = shares + [(low + high) / 2.0 for low, high in zip(shares, shares[1:])]
    points = [(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])) for share in looked_at]
    return max(distance_outside_m(point, polygon) for point in points)


def lines_run_together(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    """Whether two lines with two ends each, (x, y) in m, share a stretch, as near as a tape can tell, rather than a point.

    Source: geometry.

    >>> lines_run_together(((0, 0), (4, 0)), ((3, 0), (6, 0))), lines_run_together(((0, 0), (4, 0)), ((4, 0), (4, 3)))
    (True, False)
    """
    shared = [point for point, line in [(p, second) for p in first] + [(p, first) for p in second] if distance_to_line_m(point, *line) <= SAME_PLACE_M]
    return any(math.dist(a, b) > 2.0 * SAME_PLACE_M for a in shared for b in shared)
