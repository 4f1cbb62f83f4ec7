"""How flat a poured floor is, and what may be done about it.

Levels are taken on the floor as (x, y, z), m, on a grid or anywhere.  Between
them it is flat in triangles, so areas and volumes are exact for those levels;
a bump that nobody put the staff on is not in them.  A reference plane is
either level or the best plane through the levels.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators.ground import Flat, Patch, Piece, Plane, Surface, between, profile, triangulated
from calculators.numbers import steps_up
from calculators.plan import Point, Polygon, common, convex_parts, polygon_area_m2
from calculators.sources import MEMORY, READ, Sourced, common_practice
from calculators.survey import (
    LEAST_BREADTH_M,
    SAME_PLACE_M,
    Level,
    best_plane,
    beyond_survey,
    breadth_m,
    hull,
    settled_levels,
    triangles_through,
)

STRAIGHTEDGE_M = Sourced(2.0, "m", "bs-8204", "straightedge for classes of flatness", READ)
LONG_STRAIGHTEDGE_M = common_practice(3.0, "m", "A longer straightedge shows what the short one rides over.")
SR1_GAP_M = Sourced(0.003, "m", "bs-8204", "class SR1", READ)
SR2_GAP_M = Sourced(0.005, "m", "bs-8204", "class SR2", READ)
SR3_GAP_M = Sourced(0.010, "m", "bs-8204", "class SR3", READ)
SURFACE_CLASSES: dict[str, Sourced] = {"SR1": SR1_GAP_M, "SR2": SR2_GAP_M, "SR3": SR3_GAP_M}

# Gaps allowed under straightedges of these lengths, m.
GAP_LENGTHS_M = (0.1, 1.0, 4.0, 10.0, 15.0)
GAPS_BY_KIND: dict[str, tuple[Sourced, ...]] = {
    kind: tuple(Sourced(gap_mm / 1000.0, "m", "din-18202", f"Table 3, {words}, over {length_m:g} m", READ) for length_m, gap_mm in zip(GAP_LENGTHS_M, gaps_mm))
    for kind, words, gaps_mm in (
        ("rough", "a slab left rough", (10, 15, 20, 25, 30)),
        ("to be screeded", "a slab to be screeded", (5, 8, 12, 15, 20)),
        ("finished", "a finished floor", (2, 4, 10, 12, 15)),
    )
}

# Lines are looked along in these directions from the longest side of the floor, through every level.
LINES_DEG = tuple(22.5 * i for i in range(8))
# Levels so close together leave little between four lines through each.
MANY_LEVELS = 60
SHORTEST_LINE_M = 0.3
# A floor is read to a millimetre: two levels at one place that differ by more are not both right.
SAME_FLOOR_LEVEL_M = 0.002
# From the least that could do to what is sure to do, so many depths of patch are tried.
PATCHES_TRIED = 24
# Where grinding and patching share the work, so many shares are tried.
SHARES_TRIED = 7
HALVINGS = 10
MUCH_FURTHER = 1000.0
# Far finer than any level is read: two heights this near are one.
SAME_HEIGHT_M = 1e-6

WORKING_DAY_H = common_practice(8.0, "h", "A day of hire or of work.")
SET_UP_H = common_practice(1.0, "h", "Sheeting up, marking out and cleaning tools: once for grinding, once for filling.")
GRINDING_H_PER_M3 = common_practice(250.0, "h", "A hand-held grinder with a vacuum takes 1 mm off 4 m2 in an hour; hard, old concrete takes longer.")
GRINDING_H_PER_M2 = common_practice(0.05, "h", "Marking, sweeping and checking again, for each m2 ground.")
PRIMING_H_PER_M2 = common_practice(0.06, "h", "Cleaning, priming and waiting for the primer, for each m2 covered.")
COMPOUND_H_PER_BAG = common_practice(0.12, "h", "Two people: one mixes, one pours.")


@dataclass(frozen=True)
class Compound:
    """A levelling compound as its data sheet has it: thickness in one coat (m), powder for each m3 laid (kg), bag (kg), strength (MPa).

    `feathers` says that it may run out to nothing at its edge, as a patch does;
    `wears` that it may be the face of the floor, with nothing or only paint over it.
    """

    words: str
    least_m: Sourced
    greatest_m: Sourced
    kg_per_m3: Sourced
    bag_kg: Sourced
    compressive_mpa: Sourced
    feathers: bool
    wears: bool


COMPOUNDS: dict[str, Compound] = {
    "thin": Compound(
        "a smoothing compound", common_practice(0.003, "m"), common_practice(0.010, "m", "In one coat; the bag says."),
        common_practice(1700.0, "kg/m3", "1.7 kg of powder on each m2 for each mm."), common_practice(20.0, "kg"),
        common_practice(25.0, "MPa", "At 28 days; under coverings, not as a bare floor."), True, False),
    "thick": Compound(
        "a deep levelling compound", common_practice(0.005, "m"), common_practice(0.050, "m", "In one coat; the bag says."),
        common_practice(1800.0, "kg/m3", "1.8 kg of powder on each m2 for each mm."), common_practice(25.0, "kg"),
        common_practice(30.0, "MPa", "At 28 days; some may be walked and driven on bare, the bag says."), False, True),
}

# Compressive strength that a compound wants for what the building is used for; the bag has it as its class, C25 for 25 MPa.
COMPOUND_MPA_BY_USE: dict[str, Sourced] = {
    "storage": common_practice(20.0, "MPa", "Shelves and a barrow."),
    "studio": common_practice(20.0, "MPa", "People and furniture."),
    "workshop": common_practice(30.0, "MPa", "Machines on feet, things dropped."),
    "garage": common_practice(30.0, "MPa", "A car on its tyres; a jack stands on a board."),
}


@dataclass(frozen=True)
class FinishNeeds:
    """What a floor finish asks of the concrete: greatest gap under 2 m (m), greatest humidity (share), strength (MPa), age (days).

    None where it asks nothing.  `covers` says that it lies over the floor, so
    that nobody walks on what is below it.  A maker's own sheet comes first.
    """

    words: str
    gap_m: Sourced
    humidity: Sourced | None
    compressive_mpa: Sourced
    age_days: Sourced | None
    covers: bool
    note: str


_DRY = Sourced(0.75, "", "bs-8203-guidance", "relative humidity under a sealed box on the floor", READ)

FINISHES: dict[str, FinishNeeds] = {
    "bare": FinishNeeds(
        "bare concrete", SR3_GAP_M, None, common_practice(25.0, "MPa", "So that it does not dust."), None, False,
        "For a store or a workshop. Shelves and machines on it are packed level."),
    "sealed": FinishNeeds(
        "sealed or hardened", SR3_GAP_M, None, common_practice(25.0, "MPa", "A weak face soaks up sealer and still dusts."),
        common_practice(28.0, "day", "Unless the sealer is also sold for curing."), False, "A sealer that lets vapour through; a film that does not is a paint."),
    "painted or resin": FinishNeeds(
        "painted or resin", SR2_GAP_M, _DRY, common_practice(25.0, "MPa", "And 1.5 MPa where it is pulled off, after the face is ground."),
        common_practice(28.0, "day"), False, "Damp below lifts it in blisters. Resin follows every hollow, and water stands there."),
    "boards": FinishNeeds(
        "boards, floating or stuck", common_practice(0.003, "m", "Makers of boards ask 3 mm under 2 m, some 2 mm."), _DRY,
        common_practice(20.0, "MPa", "Boards that are stuck pull at the face as they shrink."), None, True, "Over a hollow boards bounce and creak; wood on damp concrete cups."),
    "tiles": FinishNeeds(
        "tiles", Sourced(0.003, "m", "bs-5385-3", "base for tiles in a thin bed of adhesive", MEMORY), None, common_practice(20.0, "MPa"),
        Sourced(42.0, "day", "bs-5385-3", "age of a concrete base", MEMORY, "Six weeks of drying; the concrete still shrinks before that."), True,
        "A membrane that parts tile from slab needs less age. Joints in the slab go up through the tiles."),
}


# The floor and its planes.


@dataclass(frozen=True)
class Floor:
    """A floor as it was levelled: its levels (m), its surface and the convex parts of its outline (m)."""

    levels_m: tuple[Level, ...]
    surface: Surface
    parts: tuple[Polygon, ...]

    @property
    def area_m2(self) -> float:
        """Area, m2."""
        return math.fsum(polygon_area_m2(part) for part in self.parts)


def levels_that_disagree(levels_m: Sequence[Level]) -> tuple[Level, Level] | None:
    """Two levels at one place of a floor that differ by more than 2 mm; None where there are none.

    levels_m: points (x, y, z), m.
    Returns the two points, m, the lower first.
    Source: common practice, no source: a floor is read to a millimetre.

    >>> levels_that_disagree([(0.0, 0.0, 0.001), (3.0, 0.0, 0.0), (0.0, 0.002, 0.005)])
    ((0.0, 0.0, 0.001), (0.0, 0.002, 0.005))
    """
    ordered = sorted(levels_m)
    for i, here in enumerate(ordered):
        for there in ordered[i + 1:]:
            if there[0] - here[0] > SAME_PLACE_M:
                break
            if math.dist(here[:2], there[:2]) <= SAME_PLACE_M and abs(here[2] - there[2]) > SAME_FLOOR_LEVEL_M + SAME_HEIGHT_M:
                lower, higher = sorted((here, there), key=lambda level: level[2])
                return lower, higher
    return None


def floor_of(levels_m: Iterable[Level], outline: Polygon | None = None) -> Floor:
    """The surface of a floor through the levels taken on it, flat in triangles between them.

    levels_m: four points (x, y, z) or more, m, at least 0.1 m broad.
    outline: corners (x, y), m, anticlockwise; None for a floor that is all there is inside the string round the
    levels.  What the string round the levels does not reach is not in the floor: put levels in its corners.
    Returns a Floor, m.
    Raises ValueError outside those ranges, for two levels at one place that do not agree, and for a floor with no line of 0.3 m through a level.
    Source: triangles as in `survey.triangles_through`.

    >>> floor_of([(0, 0, 0.0), (3, 0, 0.0), (3, 2, 0.004), (0, 2, 0.0)]).area_m2
    6.0
    """
    given = list(levels_m)
    if not all(math.isfinite(value) for level in given for value in level):
        raise ValueError("every level of a floor needs three finite numbers: x, y and z in m")
    if twice := levels_that_disagree(given):
        raise ValueError(f"two levels at one place do not agree: {twice[0]} and {twice[1]} m")
    levels = settled_levels(given)
    if len(levels) < 4:
        raise ValueError(f"a floor needs four levels or more in different places, not {len(levels)}")
    places = [level[:2] for level in levels]
    if breadth_m(places) < LEAST_BREADTH_M:
        raise ValueError(f"the levels lie on one line: a floor is at least {LEAST_BREADTH_M:g} m broad")
    measured = hull(places)
    if outline is not None and (len(outline) < 3 or polygon_area_m2(outline) <= 0.0):
        raise ValueError("the outline of a floor needs three corners or more, anticlockwise")
    parts = (measured,) if outline is None else tuple(part for whole in convex_parts(outline) if (part := common(whole, measured)))
    if not parts:
        raise ValueError("the levels do not lie on the floor: their places and its outline have nothing in common")
    # From near by, the points beyond would take the thin triangles along the edges of a floor whose levels are not in line.
    plane = best_plane(levels)
    cx, cy = levels[0][:2]
    further = [(cx + (x - cx) * MUCH_FURTHER, cy + (y - cy) * MUCH_FURTHER) for x, y, _ in beyond_survey(levels)]
    beyond = tuple((*place, plane.z(place)) for place in further)
    floor = Floor(levels, triangulated(levels + beyond, triangles_through(levels, beyond)), parts)
    _lines(floor)
    return floor


def reference_plane(levels_m: Sequence[Level], level: bool = False) -> Plane:
    """The plane that a floor is held against: the best one through its levels, or a level one at their mean.

    levels_m: points (x, y, z), m.  level: yes for a level plane.
    Returns a Plane, m.
    Raises ValueError without levels, or for levels on one line where the best plane is wanted.
    Source: least squares, as in `survey.best_plane`; of level planes the mean is the best.

    >>> reference_plane([(0, 0, 0.0), (2, 0, 0.004), (2, 2, 0.004), (0, 2, 0.0)], level=True).at_origin
    0.002
    """
    if not level:
        return best_plane(levels_m)
    if not levels_m:
        raise ValueError("a level plane needs one level or more")
    return Plane(0.0, 0.0, math.fsum(z for _, _, z in levels_m) / len(levels_m))


def deviations_m(levels_m: Sequence[Level], plane: Plane) -> tuple[float, ...]:
    """How far each level lies over a plane.

    levels_m: points (x, y, z), m.  plane: levels in m.
    Returns heights, m, in the order given; negative for a low spot.
    Source: definition.

    >>> deviations_m([(0, 0, 0.003), (1, 0, -0.002)], Plane(0.0, 0.0, 0.0))
    (0.003, -0.002)
    """
    return tuple(z - plane.z((x, y)) for x, y, z in levels_m)


@dataclass(frozen=True, eq=False)
class Deviations:
    """How far a floor lies over a plane, as a surface: levels in m, 0 on the plane."""

    floor: Floor
    plane: Plane

    def over(self, polygon: Polygon) -> list[Patch]:
        """The polygon cut into parts (m), each with its plane."""
        return [(part, patch.minus(self.plane)) for part, patch in self.floor.surface.over(polygon)]


# The straightedge.


@dataclass(frozen=True)
class Gap:
    """The greatest gap under a straightedge (m), the place where it is, and where the straightedge starts and ends (x, y), m."""

    gap_m: float
    at: Point
    start: Point
    end: Point


def gap_along_m(marks: Sequence[tuple[float, float]], length_m: float) -> float:
    """Greatest gap under a straightedge that is slid along a line, resting on the floor's high points.

    marks: (distance, level), m, along the line in order; straight between them.  length_m: of the straightedge, m, above 0.
    Returns gap, m, between two points where the straightedge touches, square to the level; a straightedge longer
    than the line lies along all of it.
    Raises ValueError for a length of 0 or less, for fewer than two marks, or marks out of order.
    Source: definition.  Found exactly: within a window that starts or ends at a mark by its upper outline, and
    between such windows, where both ends rest on straight stretches, at the top of a parabola.

    >>> round(gap_along_m([(0.0, 0.0), (5.0, -0.010), (10.0, 0.0)], 2.0), 9)
    0.002
    """
    if not length_m > 0.0:
        raise ValueError(f"a straightedge must be longer than 0 m, not {length_m} m")
    if len(marks) < 2 or any(b[0] < a[0] for a, b in zip(marks, marks[1:])) or not marks[-1][0] > marks[0][0]:
        raise ValueError("a line needs two marks or more, in order of distance, with some distance between")
    return _greatest_along(marks, length_m)[0]


# A gap, where along its line it is, and where the straightedge starts.
_Found = tuple[float, float, float]


def _greatest_along(marks: Sequence[tuple[float, float]], length_m: float, known: float = 0.0, stop_over: float = math.inf) -> _Found:
    """The greatest gap along a line of marks, m; a gap of `known` or less is not looked for, and one over `stop_over` ends the search."""
    first, last = marks[0][0], marks[-1][0]
    length = min(length_m, last - first)
    starts = sorted({min(max(at, first), last - length) for mark, _ in marks for at in (mark, mark - length)})
    greatest = (known, first, first)
    for start in starts:
        greatest = max(greatest, _gap_in_window(marks, start, length, greatest[0]), key=_gap_of)
        if greatest[0] > stop_over:
            return greatest
    for start, end in zip(starts, starts[1:]):
        greatest = max(greatest, _gap_between_starts(marks, start, end, length, greatest[0]), key=_gap_of)
    return greatest


def _gap_of(found: _Found) -> float:
    return found[0]


def _distance_of(mark: tuple[float, float]) -> float:
    return mark[0]


def _level_along(marks: Sequence[tuple[float, float]], at: float) -> float:
    i = bisect_left(marks, at, key=_distance_of)
    if i == 0 or i == len(marks):
        return marks[min(i, len(marks) - 1)][1]
    (a, za), (b, zb) = marks[i - 1], marks[i]
    return za + (zb - za) * (at - a) / (b - a)


def _inside(marks: Sequence[tuple[float, float]], start: float, end: float) -> Sequence[tuple[float, float]]:
    """The marks strictly between two distances."""
    return marks[bisect_right(marks, start, key=_distance_of):bisect_left(marks, end, key=_distance_of)]


def _gap_in_window(marks, start: float, length: float, known: float) -> _Found:
    end = start + length
    inside = _inside(marks, start, end)
    points = [(start, _level_along(marks, start)), *inside, (end, _level_along(marks, end))]
    heights = [z for _, z in points]
    # No gap is greater than from the highest point to the lowest.
    if max(heights) - min(heights) <= known:
        return 0.0, start, start
    touching: list[tuple[float, float]] = []
    for point in points:
        while len(touching) > 1 and _rise(touching[-2], touching[-1], point) >= 0.0:
            touching.pop()
        touching.append(point)
    return max(((_level_along(touching, at) - z, at, start) for at, z in inside), key=_gap_of, default=(0.0, start, start))


def _rise(a, b, c) -> float:
    """Positive where the middle of three points lies under the line between the others."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _gap_between_starts(marks, first_start: float, last_start: float, length: float, known: float) -> _Found:
    """Greatest of what a straightedge resting on its two ends leaves at a mark, for starts strictly between two."""
    greatest = (known, first_start, first_start)
    if last_start - first_start < SAME_HEIGHT_M:
        return greatest
    za, zb = (_level_along(marks, start) for start in (first_start, last_start))
    ea, eb = (_level_along(marks, start + length) for start in (first_start, last_start))
    run = last_start - first_start
    steep_start, steep_end = (zb - za) / run, (eb - ea) / run
    # The level of the straightedge at a mark is a parabola in its start, opening down where the floor is hollow.
    bend = steep_end - steep_start
    if bend <= 0.0:
        return greatest
    for at, z in _inside(marks, last_start - SAME_HEIGHT_M, first_start + length + SAME_HEIGHT_M):
        # chord(s) = z(s) + (at - s)(e(s) - z(s)) / L, with z and e straight in s from the first start.
        lift, reach = ea - za, at - first_start
        top = (steep_start * length + reach * bend - lift) / (2.0 * bend)
        if 0.0 < top < run:
            start_z, end_z = za + steep_start * top, ea + steep_end * top
            gap = start_z + (reach - top) * (end_z - start_z) / length - z
            if gap > greatest[0]:
                greatest = (gap, at, first_start + top)
    return greatest


def straightedge_gap_m(floor: Floor, length_m: float = STRAIGHTEDGE_M.value) -> float:
    """Greatest gap under a straightedge anywhere along lines through the levels of a floor.

    floor: levels in m.  length_m: of the straightedge, m, above 0 and at most 20.
    Returns gap, m, as `straightedge_gap` finds it.
    Raises ValueError outside that range.
    Source: BS 8204, the gap under a straightedge laid on the floor.

    >>> hollow = floor_of([(x, y, -0.004 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> round(straightedge_gap_m(hollow), 9)
    0.004
    """
    return straightedge_gap(floor, length_m).gap_m


def straightedge_gap(floor: Floor, length_m: float = STRAIGHTEDGE_M.value) -> Gap:
    """The greatest gap under a straightedge along lines through the levels of a floor, and where it is.

    floor: levels in m.  length_m: of the straightedge, m, above 0 and at most 20.
    Returns a Gap, m.  Lines run through every level from the longest side round in steps of 22.5 degrees, of 45
    with more than 60 levels; where a line is shorter than the straightedge, this lies along all of it.
    Raises ValueError outside that range.
    Source: BS 8204, the gap under a straightedge laid on the floor; the choice of lines is common practice, no source.

    >>> hollow = floor_of([(x, y, -0.004 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> straightedge_gap(hollow).at
    (1.0, 1.0)
    """
    if not 0.0 < length_m <= 20.0:
        raise ValueError(f"a straightedge must be above 0 and at most 20 m long, not {length_m} m")
    greatest = None
    for line in _profiles(floor, best_plane(floor.levels_m)):
        gap_m, at, start = _greatest_along(line.marks, length_m, greatest.gap_m if greatest else 0.0)
        if greatest is None or gap_m > greatest.gap_m:
            end = start + min(length_m, line.marks[-1][0] - line.marks[0][0])
            greatest = Gap(gap_m, line.place(at), line.place(start), line.place(end))
    return greatest


@dataclass(frozen=True)
class _Line:
    """A line across a floor: where its distances start (m), its direction, and (distance, height over a plane) along it, m."""

    origin: Point
    along: tuple[float, float]
    marks: tuple[tuple[float, float], ...]

    def place(self, distance_m: float) -> Point:
        # Profiles are true to a tenth of a thousandth of a millimetre; no tape is.
        return tuple(round(c + distance_m * d, 5) for c, d in zip(self.origin, self.along))


def _profiles(floor: Floor, plane: Plane) -> list[_Line]:
    """The floor along its lines, as heights over a plane; a straightedge shows the same gaps over either."""
    lines = []
    for start, end in _lines(floor):
        length = math.dist(start, end)
        along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
        marks = tuple((at, z - plane.z((start[0] + at * along[0], start[1] + at * along[1]))) for at, z in profile(floor.surface, start, end))
        lines.append(_Line(start, along, marks))
    return lines


def _lines(floor: Floor) -> list[tuple[Point, Point]]:
    """Lines across the floor through its levels, each once."""
    corners = hull([corner for part in floor.parts for corner in part])
    a, b = max(zip(corners, corners[1:] + corners[:1]), key=lambda side: math.dist(*side))
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    lines, seen = [], set()
    for turn in LINES_DEG if len(floor.levels_m) <= MANY_LEVELS else LINES_DEG[::2]:
        dx, dy = math.cos(along + math.radians(turn)), math.sin(along + math.radians(turn))
        for x, y, _ in floor.levels_m:
            offset = x * dy - y * dx
            if (turn, round(offset, 4)) in seen:
                continue
            seen.add((turn, round(offset, 4)))
            lines += [((x + dx * near, y + dy * near), (x + dx * far, y + dy * far))
                      for near, far in _stretches(floor.parts, (x, y), (dx, dy)) if far - near >= SHORTEST_LINE_M]
    if not lines:
        raise ValueError(f"no line across the floor is {SHORTEST_LINE_M:g} m long: there is nowhere to lay a straightedge")
    return lines


def _stretches(parts: Iterable[Polygon], through: Point, along: tuple[float, float]) -> list[tuple[float, float]]:
    """Where a line runs inside convex parts: distances from the point it goes through, joined where parts meet."""
    found = []
    for part in parts:
        near, far = -math.inf, math.inf
        for (ax, ay), (bx, by) in zip(part, part[1:] + part[:1]):
            side = math.hypot(bx - ax, by - ay)
            inward = ((ay - by) / side, (bx - ax) / side)
            inside = inward[0] * (through[0] - ax) + inward[1] * (through[1] - ay)
            closing = inward[0] * along[0] + inward[1] * along[1]
            if abs(closing) < 1e-9:
                # A line along an edge counts as inside it.
                if inside < -1e-6:
                    far = -math.inf
            elif closing > 0.0:
                near = max(near, -inside / closing)
            else:
                far = min(far, -inside / closing)
        if far > near:
            found.append((near, far))
    joined: list[tuple[float, float]] = []
    for near, far in sorted(found):
        if joined and near <= joined[-1][1] + 1e-6:
            joined[-1] = (joined[-1][0], max(joined[-1][1], far))
        else:
            joined.append((near, far))
    return joined


def surface_class(gap_m: float) -> str | None:
    """Class of a floor's flatness by the greatest gap under a straightedge of 2 m.

    gap_m: m, 0 or more.
    Returns SR1, SR2 or SR3 (words); None for a floor that is worse than all of them.
    Raises ValueError for a gap below 0.
    Source: BS 8204, classes SR1, SR2 and SR3.

    >>> surface_class(0.003), surface_class(0.0049), surface_class(0.012)
    ('SR1', 'SR2', None)
    """
    if not gap_m >= 0.0:
        raise ValueError(f"a gap must be 0 m or more, not {gap_m} m")
    return next((name for name, allowed in SURFACE_CLASSES.items() if gap_m <= allowed.value + SAME_HEIGHT_M), None)


def allowed_gap_m(kind: str, length_m: float) -> float:
    """Gap that a standard allows under a straightedge of any length.

    kind: rough, to be screeded or finished (words).  length_m: m, 0.1 to 15.
    Returns gap, m, straight between the lengths of the table.
    Raises ValueError outside that range, or for another kind.
    Source: DIN 18202, Table 3.

    >>> round(allowed_gap_m("finished", 2.0), 9), allowed_gap_m("rough", 4.0)
    (0.006, 0.02)
    """
    if kind not in GAPS_BY_KIND:
        raise ValueError(f"a kind of floor is {', '.join(GAPS_BY_KIND)}, not {kind!r}")
    if not GAP_LENGTHS_M[0] <= length_m <= GAP_LENGTHS_M[-1]:
        raise ValueError(f"gaps are held for {GAP_LENGTHS_M[0]:g} to {GAP_LENGTHS_M[-1]:g} m, not {length_m} m")
    return _level_along([(at, gap.value) for at, gap in zip(GAP_LENGTHS_M, GAPS_BY_KIND[kind])], length_m)


# Taking off and filling up.


@dataclass(frozen=True)
class Layer:
    """What lies between a floor and a plane: area (m2), volume (m3), least and greatest thickness (m)."""

    area_m2: float
    volume_m3: float
    least_m: float
    greatest_m: float


NOTHING = Layer(0.0, 0.0, 0.0, 0.0)


def high_spots(floor: Floor, plane: Plane) -> Layer:
    """What stands above a plane, to be ground off.

    floor, plane: levels in m.
    Returns a Layer: m2, m3, m.
    Source: exact prisms, as in `ground.between`.

    >>> bump = floor_of([(x, y, 0.006 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> spots = high_spots(bump, Plane(0.0, 0.0, 0.003))
    >>> round(spots.greatest_m, 9), spots.area_m2 < 1.0
    (0.003, True)
    """
    return _layer(between(floor.parts, Flat(plane), floor.surface))


def low_spots(floor: Floor, plane: Plane) -> Layer:
    """What lies below a plane, to be filled.

    floor, plane: levels in m.
    Returns a Layer: m2, m3, m.
    Source: exact prisms, as in `ground.between`.

    >>> level = floor_of([(0, 0, 0.0), (3, 0, 0.0), (3, 2, 0.0), (0, 2, 0.0)])
    >>> fill = low_spots(level, Plane(0.0, 0.0, 0.005))
    >>> round(fill.volume_m3, 9), round(fill.least_m, 9)
    (0.03, 0.005)
    """
    return _layer(between(floor.parts, floor.surface, Flat(plane)))


def _layer(pieces: Sequence[Piece]) -> Layer:
    if not pieces:
        return NOTHING
    heights = [piece.top.minus(piece.bottom).z(corner) for piece in pieces for corner in piece.polygon]
    return Layer(
        math.fsum(piece.area_m2 for piece in pieces), math.fsum(piece.volume_m3 for piece in pieces), max(min(heights), 0.0), max(heights))


def _heights_m(floor: Floor, plane: Plane) -> tuple[float, float]:
    """Lowest and highest that the floor lies over a plane, m."""
    heights = [patch.minus(plane).z(corner) for part in floor.parts for polygon, patch in floor.surface.over(part) for corner in polygon]
    return min(heights), max(heights)


def compound_bags(volume_m3: float, compound: Compound) -> int:
    """Bags of levelling compound for a volume.

    volume_m3: m3, 0 or more.  compound: kg for each m3 and kg in a bag.
    Returns whole bags, no unit.
    Raises ValueError for a volume below 0.
    Source: definition; nothing is added for waste.

    >>> compound_bags(0.09, COMPOUNDS["thin"])
    8
    """
    return steps_up(volume_m3 * compound.kg_per_m3.value, compound.bag_kg.value)


# What may be done.


@dataclass(frozen=True)
class Option:
    """One way to bring a floor to what is asked of it.

    `name` is leave, grind, patch, grind and patch, or compound over all.  `ground` comes off and `filled` goes on.
    `bags` of compound, 0 without.  `coats` is how many the deepest place takes.  `gap_m` is the gap under a
    straightedge of 2 m afterwards; `enough` says whether that is what was asked.  `too_thin` and `too_deep` say
    that what is filled leaves the range that the product is laid in.
    """

    name: str
    ground: Layer
    filled: Layer
    bags: int
    coats: int
    gap_m: float
    enough: bool
    too_thin: bool = False
    too_deep: bool = False

    @property
    def grinding_h(self) -> float:
        """Hours of grinding, common practice."""
        return grinding_hours(self.ground)

    @property
    def hours(self) -> float:
        """Hours of work, common practice."""
        filling_h = self.filled.area_m2 * PRIMING_H_PER_M2.value * max(self.coats, 1) + self.bags * COMPOUND_H_PER_BAG.value
        return self.grinding_h + (filling_h + SET_UP_H.value if self.bags else 0.0)


def grinding_hours(ground: Layer) -> float:
    """Hours that grinding takes.

    ground: what comes off, m2 and m3.
    Returns h; 0 where nothing does.
    Source: common practice, no source: by volume, by area for marking and checking, and for setting up.

    >>> round(grinding_hours(Layer(4.0, 0.004, 0.0, 0.001)), 2)
    2.2
    """
    if ground.volume_m3 <= 0.0:
        return 0.0
    return SET_UP_H.value + ground.volume_m3 * GRINDING_H_PER_M3.value + ground.area_m2 * GRINDING_H_PER_M2.value


def options(floor: Floor, allowed_m: float, compound: Compound, level: bool = False) -> tuple[Option, ...]:
    """Five ways to deal with a floor that should show no greater gap than is allowed under a straightedge of 2 m.

    floor: levels in m.  allowed_m: gap, m, 0.0005 to 0.05.  compound: its range in m.
    level: yes holds the floor against a level plane, no against its best plane.
    Returns an Option each: leave, grind, patch, grind and patch, compound over all.  Grinding takes off all that
    stands over a plane beside the reference plane, patching fills all that lies under one: the plane that touches the least
    of the floor of those tried.  Between two planes as far apart as the allowed gap no straightedge can show a
    greater one, so one is always found.  Where both are done, the share of each is the one with the least work.
    Raises ValueError outside that range.
    Source: geometry; the compound's range is its maker's.

    >>> bump = floor_of([(x, y, 0.008 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> [(option.name, option.bags, option.enough) for option in options(bump, 0.003, COMPOUNDS["thin"], level=True)]
    [('leave', 0, False), ('grind', 0, True), ('patch', 1, True), ('grind and patch', 1, True), ('compound over all', 4, True)]
    """
    if not 0.0005 <= allowed_m <= 0.05:
        raise ValueError(f"an allowed gap must be 0.0005 to 0.05 m, not {allowed_m} m")
    plane = reference_plane(floor.levels_m, level)
    lowest, highest = _heights_m(floor, plane)
    lines = _profiles(floor, plane)
    bad = [line for line in lines if not _flat([line], lowest, highest, allowed_m)]

    def layers(fill_to: float, grind_to: float) -> tuple[Layer, Layer]:
        """What comes off and what goes on."""
        ground = high_spots(floor, plane.raised(grind_to)) if grind_to < highest else NOTHING
        return ground, low_spots(floor, plane.raised(fill_to)) if fill_to > lowest else NOTHING

    def option(name: str, fill_to: float, grind_to: float) -> Option:
        gap_m = 0.0
        for line in lines:
            gap_m = _greatest_along(_between(line.marks, fill_to, grind_to), STRAIGHTEDGE_M.value, gap_m)[0]
        return _option(name, *layers(fill_to, grind_to), compound, gap_m, allowed_m)

    def grind_to(fill_to: float, of: Sequence[_Line]) -> float:
        """The highest plane down to which grinding is enough, once the floor is filled to another."""
        still_bad = [line for line in of if not _flat([line], fill_to, highest, allowed_m)]
        if not still_bad:
            return highest
        enough, too_high = min(fill_to + allowed_m, highest), highest
        for _ in range(HALVINGS):
            middle = (enough + too_high) / 2.0
            # To take the top off never makes a gap greater, so the other lines stay as good as they are.
            enough, too_high = (middle, too_high) if _flat(still_bad, fill_to, middle, allowed_m) else (enough, middle)
        return enough

    top = max(highest - allowed_m, lowest)
    tried = [lowest + (top - lowest) * i / PATCHES_TRIED for i in range(PATCHES_TRIED)] if bad else [lowest]
    # To fill a hollow can make a gap beside it, so in the end all lines are looked at.
    patch_to = next((fill_to for fill_to in tried if _flat(bad, fill_to, highest, allowed_m) and _flat(lines, fill_to, highest, allowed_m)), top)
    shares = [lowest + (patch_to - lowest) * i / (SHARES_TRIED + 1) for i in range(1, SHARES_TRIED + 1)] if bad else [lowest]
    both = min(((fill_to, grind_to(fill_to, lines)) for fill_to in shares), key=lambda planes: _option("", *layers(*planes), compound, 0.0, allowed_m).hours)
    return (
        option("leave", lowest, highest),
        option("grind", lowest, grind_to(lowest, bad)),
        option("patch", patch_to, highest),
        option("grind and patch", *both),
        option("compound over all", highest + compound.least_m.value, math.inf),
    )


def _option(name: str, ground: Layer, filled: Layer, compound: Compound, gap_m: float, allowed_m: float) -> Option:
    return Option(
        name, ground, filled, compound_bags(filled.volume_m3, compound), steps_up(filled.greatest_m, compound.greatest_m.value), gap_m, gap_m <= allowed_m + SAME_HEIGHT_M,
        filled.volume_m3 > 0.0 and filled.least_m < compound.least_m.value - SAME_HEIGHT_M and not compound.feathers,
        filled.greatest_m > compound.greatest_m.value + SAME_HEIGHT_M)


def _between(marks: Sequence[tuple[float, float]], low: float, high: float) -> list[tuple[float, float]]:
    """A line of marks, m, filled up to one height and then cut off at another."""
    cut = [marks[0]]
    for (a, za), (b, zb) in zip(marks, marks[1:]):
        crossed = sorted((limit - za) / (zb - za) for limit in (low, high) if min(za, zb) < limit < max(za, zb))
        cut += [(a + share * (b - a), za + share * (zb - za)) for share in crossed]
        cut.append((b, zb))
    return [(at, min(max(z, low), high)) for at, z in cut]


def _flat(lines: Iterable[_Line], low: float, high: float, allowed_m: float) -> bool:
    """Whether no straightedge of 2 m shows more than is allowed along lines that are filled up to one height and cut off at another."""
    for line in lines:
        enough = allowed_m + SAME_HEIGHT_M
        if _greatest_along(_between(line.marks, low, high), STRAIGHTEDGE_M.value, enough, enough)[0] > enough:
            return False
    return True


def option_cash(option: Option, price_per_kg: float, grinder_per_day: float, bag_kg: float) -> float:
    """What is bought and hired for an option.

    price_per_kg, grinder_per_day: money, 0 or more.  bag_kg: of the compound, kg.
    Returns money: whole bags and whole days of hire of the grinder.
    Raises ValueError for a price below 0.
    Source: definition; hours as in `Option.hours`, common practice, no source.

    >>> option_cash(Option("leave", NOTHING, NOTHING, 0, 0, 0.004, True), 1.1, 60.0, 20.0)
    0.0
    """
    if min(price_per_kg, grinder_per_day) < 0.0:
        raise ValueError(f"prices must be 0 or more, not {price_per_kg} and {grinder_per_day}")
    return option.bags * bag_kg * price_per_kg + steps_up(option.grinding_h, WORKING_DAY_H.value) * grinder_per_day


# What is to lie on it.


@dataclass(frozen=True)
class Lack:
    """One thing in which a floor falls short of a finish, or which nobody has measured.

    `what` is flatness (m), dryness (share), strength (MPa) or age (days); `found` is None where it has not been measured.
    """

    what: str
    found: float | None
    wanted: Sourced


def finish_lacks(finish: str, gap_m: float, humidity: float | None = None, compressive_mpa: float | None = None,
                 age_days: float | None = None) -> tuple[Lack, ...]:
    """What a floor lacks for a finish, and what has not been measured.

    finish: bare, sealed, painted or resin, boards, tiles (words).  gap_m: under a straightedge of 2 m, m, 0 or more.
    humidity: share, 0 to 1.  compressive_mpa: MPa.  age_days: days.  None where nobody has measured it.
    Returns Lacks: flatness, dryness, strength, age, in this order; none where nothing is lacking.
    Raises ValueError outside those ranges, or for another finish.
    Source: `FINISHES`, each need with its own.

    >>> [(lack.what, lack.found, lack.wanted.value) for lack in finish_lacks("tiles", 0.005, None, None, 60.0)]
    [('flatness', 0.005, 0.003), ('strength', None, 20.0)]
    """
    if finish not in FINISHES:
        raise ValueError(f"a finish is {', '.join(FINISHES)}, not {finish!r}")
    if not gap_m >= 0.0 or (humidity is not None and not 0.0 <= humidity <= 1.0):
        raise ValueError(f"a gap must be 0 m or more and a humidity 0 to 1, not {gap_m} m and {humidity}")
    if any(given is not None and not given >= 0.0 for given in (compressive_mpa, age_days)):
        raise ValueError(f"a strength and an age must be 0 or more, not {compressive_mpa} MPa and {age_days} days")
    needs = FINISHES[finish]
    found = [Lack("flatness", gap_m, needs.gap_m)] if gap_m > needs.gap_m.value + SAME_HEIGHT_M else []
    if needs.humidity is not None and (humidity is None or humidity > needs.humidity.value):
        found.append(Lack("dryness", humidity, needs.humidity))
    for what, given, wanted in (("strength", compressive_mpa, needs.compressive_mpa), ("age", age_days, needs.age_days)):
        if wanted is not None and (given is None or given < wanted.value):
            found.append(Lack(what, given, wanted))
    return tuple(found)
