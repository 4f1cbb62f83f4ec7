"""How flat a poured floor is, and what may be done about it.

Levels are taken on the floor as (x, y, z), m, on a grid or anywhere.  Between
them it is flat in triangles, so areas and volumes are exact for those levels;
a bump that nobody put the staff on is not in them.  A reference plane is
either level or the best plane through the levels.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators.ground import Flat, HigherOf, LowerOf, Piece, Plane, Surface, between, profile, triangulated
from calculators.numbers import steps_up
from calculators.plan import Point, Polygon, convex_parts, polygon_area_m2
from calculators.sources import MEMORY, READ, Sourced, common_practice
from calculators.survey import (
    LEAST_BREADTH_M,
    Level,
    best_plane,
    beyond_survey,
    breadth_m,
    hull,
    settled_levels,
    triangles_through,
    two_levels_at_one_point,
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
LINES_DEG = (0.0, 45.0, 90.0, 135.0)
SHORTEST_LINE_M = 0.3
MUCH_FURTHER = 1000.0
# Far finer than any level is read: two heights this near are one.
SAME_HEIGHT_M = 1e-6

WORKING_DAY_H = common_practice(8.0, "h", "A day of hire or of work.")
GRINDING_H_PER_M3 = common_practice(250.0, "h", "A hand-held grinder with a vacuum takes 1 mm off 4 m2 in an hour; hard, old concrete takes longer.")
GRINDING_H_PER_M2 = common_practice(0.05, "h", "Marking, sweeping and checking again, for each m2 ground.")
PRIMING_H_PER_M2 = common_practice(0.06, "h", "Cleaning, priming and waiting for the primer, for each m2 covered.")
COMPOUND_H_PER_BAG = common_practice(0.12, "h", "Two people: one mixes, one pours.")


@dataclass(frozen=True)
class Compound:
    """A levelling compound as its data sheet has it: thickness in one coat (m), powder for each m3 laid (kg), bag (kg), strength (MPa).

    `feathers` says that it may run out to nothing at its edge, as a patch does.
    """

    words: str
    least_m: Sourced
    greatest_m: Sourced
    kg_per_m3: Sourced
    bag_kg: Sourced
    compressive_mpa: Sourced
    feathers: bool


COMPOUNDS: dict[str, Compound] = {
    "thin": Compound(
        "a smoothing compound", common_practice(0.003, "m"), common_practice(0.010, "m", "In one coat; the bag says."),
        common_practice(1700.0, "kg/m3", "1.7 kg of powder on each m2 for each mm."), common_practice(20.0, "kg"),
        common_practice(25.0, "MPa", "At 28 days; under coverings, not as a bare floor."), True),
    "thick": Compound(
        "a deep levelling compound", common_practice(0.005, "m"), common_practice(0.050, "m", "In one coat; the bag says."),
        common_practice(1800.0, "kg/m3", "1.8 kg of powder on each m2 for each mm."), common_practice(25.0, "kg"),
        common_practice(30.0, "MPa", "At 28 days; some may be walked and driven on bare, the bag says."), False),
}


@dataclass(frozen=True)
class FinishNeeds:
    """What a floor finish asks of the concrete: greatest gap under 2 m (m), greatest humidity (share), strength (MPa), age (days).

    None where it asks nothing.  A maker's own sheet comes first.
    """

    words: str
    gap_m: Sourced
    humidity: Sourced | None
    compressive_mpa: Sourced
    age_days: Sourced | None
    note: str


_DRY = Sourced(0.75, "", "bs-8203-guidance", "relative humidity under a sealed box on the floor", READ)

FINISHES: dict[str, FinishNeeds] = {
    "bare": FinishNeeds(
        "bare concrete", SR3_GAP_M, None, common_practice(25.0, "MPa", "So that it does not dust."), None,
        "For a store or a workshop. Shelves and machines on it are packed level."),
    "sealed": FinishNeeds(
        "sealed or hardened", SR3_GAP_M, None, common_practice(25.0, "MPa", "A weak face soaks up sealer and still dusts."),
        common_practice(28.0, "day", "Unless the sealer is also sold for curing."), "A sealer that lets vapour through; a film that does not is a paint."),
    "painted or resin": FinishNeeds(
        "painted or resin", SR2_GAP_M, _DRY, common_practice(25.0, "MPa", "And 1.5 MPa where it is pulled off, after the face is ground."),
        common_practice(28.0, "day"), "Damp below lifts it in blisters. Resin follows every hollow, and water stands there."),
    "boards": FinishNeeds(
        "boards, floating or stuck", common_practice(0.003, "m", "Makers of boards ask 3 mm under 2 m, some 2 mm."), _DRY,
        common_practice(20.0, "MPa", "Boards that are stuck pull at the face as they shrink."), None, "Over a hollow boards bounce and creak; wood on damp concrete cups."),
    "tiles": FinishNeeds(
        "tiles", Sourced(0.003, "m", "bs-5385-3", "base for tiles in a thin bed of adhesive", MEMORY), None, common_practice(20.0, "MPa"),
        Sourced(42.0, "day", "bs-5385-3", "age of a concrete base", MEMORY, "Six weeks of drying; the concrete still shrinks before that."),
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


def floor_of(levels_m: Iterable[Level], outline: Polygon | None = None) -> Floor:
    """The surface of a floor through the levels taken on it, flat in triangles between them.

    levels_m: four points (x, y, z) or more, m, at least 0.1 m broad.
    outline: corners (x, y), m, anticlockwise; None takes the string round the levels.  Where it reaches beyond
    the levels the floor is taken to run on towards the best plane: put levels in the corners.
    Returns a Floor, m.
    Raises ValueError outside those ranges, and for two levels at one place that do not agree.
    Source: triangles as in `survey.triangles_through`.

    >>> floor_of([(0, 0, 0.0), (3, 0, 0.0), (3, 2, 0.004), (0, 2, 0.0)]).area_m2
    6.0
    """
    given = list(levels_m)
    if not all(math.isfinite(value) for level in given for value in level):
        raise ValueError("every level of a floor needs three finite numbers: x, y and z in m")
    if twice := two_levels_at_one_point(given):
        raise ValueError(f"two levels at one place do not agree: {twice[0]} and {twice[1]} m")
    levels = settled_levels(given)
    if len(levels) < 4:
        raise ValueError(f"a floor needs four levels or more in different places, not {len(levels)}")
    places = [level[:2] for level in levels]
    if breadth_m(places) < LEAST_BREADTH_M:
        raise ValueError(f"the levels lie on one line: a floor is at least {LEAST_BREADTH_M:g} m broad")
    outline = hull(places) if outline is None else outline
    if len(outline) < 3 or polygon_area_m2(outline) <= 0.0:
        raise ValueError("the outline of a floor needs three corners or more, anticlockwise")
    # From near by, the points beyond would take the thin triangles along the edges of a floor whose levels are not in line.
    plane = best_plane(levels)
    cx, cy = levels[0][:2]
    further = [(cx + (x - cx) * MUCH_FURTHER, cy + (y - cy) * MUCH_FURTHER) for x, y, _ in beyond_survey(levels)]
    beyond = tuple((*place, plane.z(place)) for place in further)
    return Floor(levels, triangulated(levels + beyond, triangles_through(levels, beyond)), convex_parts(outline))


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


# The straightedge.


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
    first, last = marks[0][0], marks[-1][0]
    length = min(length_m, last - first)
    starts = sorted({min(max(at, first), last - length) for mark, _ in marks for at in (mark, mark - length)})
    greatest = max(_gap_in_window(marks, start, length) for start in starts)
    for start, end in zip(starts, starts[1:]):
        greatest = max(greatest, _gap_between_starts(marks, start, end, length))
    return greatest


def _level_along(marks: Sequence[tuple[float, float]], at: float) -> float:
    for (a, za), (b, zb) in zip(marks, marks[1:]):
        if a <= at <= b and b > a:
            return za + (zb - za) * (at - a) / (b - a)
    return marks[0][1] if at < marks[0][0] else marks[-1][1]


def _gap_in_window(marks, start: float, length: float) -> float:
    end = start + length
    inside = [mark for mark in marks if start < mark[0] < end]
    points = [(start, _level_along(marks, start)), *inside, (end, _level_along(marks, end))]
    touching: list[tuple[float, float]] = []
    for point in points:
        while len(touching) > 1 and _rise(touching[-2], touching[-1], point) >= 0.0:
            touching.pop()
        touching.append(point)
    return max((_level_along(touching, at) - z for at, z in inside), default=0.0)


def _rise(a, b, c) -> float:
    """Positive where the middle of three points lies under the line between the others."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _gap_between_starts(marks, first_start: float, last_start: float, length: float) -> float:
    """Greatest of what a straightedge resting on its two ends leaves at a mark, for starts strictly between two."""
    if last_start - first_start < SAME_HEIGHT_M:
        return 0.0
    za, zb = (_level_along(marks, start) for start in (first_start, last_start))
    ea, eb = (_level_along(marks, start + length) for start in (first_start, last_start))
    run = last_start - first_start
    steep_start, steep_end = (zb - za) / run, (eb - ea) / run
    greatest = 0.0
    # The level of the straightedge at a mark is a parabola in its start, opening down where the floor is hollow.
    bend = steep_end - steep_start
    if bend <= 0.0:
        return 0.0
    for at, z in marks:
        if last_start - SAME_HEIGHT_M <= at <= first_start + length + SAME_HEIGHT_M:
            # chord(s) = z(s) + (at - s)(e(s) - z(s)) / L, with z and e straight in s from the first start.
            lift, reach = ea - za, at - first_start
            top = (steep_start * length + reach * bend - lift) / (2.0 * bend)
            if 0.0 < top < run:
                start_z, end_z = za + steep_start * top, ea + steep_end * top
                greatest = max(greatest, start_z + (reach - top) * (end_z - start_z) / length - z)
    return greatest


def straightedge_gap_m(floor: Floor, length_m: float = STRAIGHTEDGE_M.value) -> float:
    """Greatest gap under a straightedge anywhere along lines through the levels of a floor.

    floor: levels in m.  length_m: of the straightedge, m, above 0 and at most 20.
    Returns gap, m.  Lines run four ways through every level: along the longest side, across, and both ways between.
    Raises ValueError outside that range.
    Source: BS 8204, the gap under a straightedge laid on the floor; the choice of lines is common practice, no source.

    >>> hollow = floor_of([(x, y, -0.004 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> round(straightedge_gap_m(hollow), 9)
    0.004
    """
    return _greatest_gap(floor, floor.surface, length_m)


def _greatest_gap(floor: Floor, surface: Surface, length_m: float) -> float:
    if not 0.0 < length_m <= 20.0:
        raise ValueError(f"a straightedge must be above 0 and at most 20 m long, not {length_m} m")
    return max((gap_along_m(profile(surface, start, end), length_m) for start, end in _lines(floor)), default=0.0)


def _lines(floor: Floor) -> list[tuple[Point, Point]]:
    """Lines across the floor through its levels, each once."""
    corners = hull([corner for part in floor.parts for corner in part])
    a, b = max(zip(corners, corners[1:] + corners[:1]), key=lambda side: math.dist(*side))
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    lines, seen = [], set()
    for turn in LINES_DEG:
        dx, dy = math.cos(along + math.radians(turn)), math.sin(along + math.radians(turn))
        for x, y, _ in floor.levels_m:
            offset = x * dy - y * dx
            if (turn, round(offset, 4)) in seen:
                continue
            seen.add((turn, round(offset, 4)))
            lines += [((x + dx * near, y + dy * near), (x + dx * far, y + dy * far))
                      for near, far in _stretches(floor.parts, (x, y), (dx, dy)) if far - near >= SHORTEST_LINE_M]
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
    straightedge of 2 m afterwards; `enough` says whether that is what was asked.  `notes` are sentences on the product's range.
    """

    name: str
    ground: Layer
    filled: Layer
    bags: int
    coats: int
    gap_m: float
    enough: bool
    notes: tuple[str, ...]

    @property
    def hours(self) -> float:
        """Hours of work, common practice."""
        return (self.ground.volume_m3 * GRINDING_H_PER_M3.value + self.ground.area_m2 * GRINDING_H_PER_M2.value
                + self.filled.area_m2 * PRIMING_H_PER_M2.value * max(self.coats, 1) + self.bags * COMPOUND_H_PER_BAG.value)


def options(floor: Floor, allowed_m: float, compound: Compound, level: bool = False) -> tuple[Option, ...]:
    """Five ways to deal with a floor that should show no greater gap than is allowed under a straightedge of 2 m.

    floor: levels in m.  allowed_m: gap, m, 0.0005 to 0.05.  compound: its range in m.
    level: yes holds the floor against a level plane, no against its best plane.
    Returns an Option each: leave, grind, patch, grind and patch, compound over all.  Where the whole floor lies between two
    planes as far apart as the allowed gap, no straightedge can show a greater one; so grinding takes off what is above
    the higher, patching fills what is below the lower.  That is enough, and may be more than is needed.
    Raises ValueError outside that range.
    Source: geometry; the compound's range is its maker's.

    >>> bump = floor_of([(x, y, 0.008 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)])
    >>> [(option.name, option.bags, option.enough) for option in options(bump, 0.003, COMPOUNDS["thin"], level=True)]
    [('leave', 0, False), ('grind', 0, True), ('patch', 2, True), ('grind and patch', 1, True), ('compound over all', 4, True)]
    """
    if not 0.0005 <= allowed_m <= 0.05:
        raise ValueError(f"an allowed gap must be 0.0005 to 0.05 m, not {allowed_m} m")
    plane = reference_plane(floor.levels_m, level)
    lowest, highest = _heights_m(floor, plane)
    middle = (lowest + highest) / 2.0
    half = allowed_m / 2.0
    flat_enough = highest - lowest <= allowed_m
    grind_to = highest if flat_enough else lowest + allowed_m
    patch_to = lowest if flat_enough else highest - allowed_m
    both = (highest, lowest) if flat_enough else (middle + half, middle - half)
    return (
        _option("leave", floor, plane, None, None, allowed_m, compound),
        _option("grind", floor, plane, grind_to, None, allowed_m, compound),
        _option("patch", floor, plane, None, patch_to, allowed_m, compound),
        _option("grind and patch", floor, plane, *both, allowed_m, compound),
        _option("compound over all", floor, plane, None, highest + compound.least_m.value, allowed_m, compound),
    )


def _option(name: str, floor: Floor, plane: Plane, grind_to: float | None, fill_to: float | None, allowed_m: float, compound: Compound) -> Option:
    ground, filled, after = NOTHING, NOTHING, floor.surface
    if grind_to is not None:
        ground = high_spots(floor, plane.raised(grind_to))
        after = LowerOf(after, Flat(plane.raised(grind_to)))
    if fill_to is not None:
        filled = low_spots(floor, plane.raised(fill_to))
        after = HigherOf(after, Flat(plane.raised(fill_to)))
    gap_m = _greatest_gap(floor, after, STRAIGHTEDGE_M.value)
    coats = steps_up(filled.greatest_m, compound.greatest_m.value)
    return Option(name, ground, filled, compound_bags(filled.volume_m3, compound), coats, gap_m, gap_m <= allowed_m + SAME_HEIGHT_M,
                  range_notes(filled, compound))


def range_notes(filled: Layer, compound: Compound) -> tuple[str, ...]:
    """What to know where a layer of compound leaves the range of the product.

    filled: thickness in m.  compound: its range in m.
    Returns sentences (words); none where the layer is within the range.
    Source: common practice, no source: a data sheet names the thinnest and the thickest coat.

    >>> range_notes(Layer(6.0, 0.03, 0.005, 0.005), COMPOUNDS["thin"])
    ()
    """
    if filled.volume_m3 <= 0.0:
        return ()
    notes = []
    if filled.least_m < compound.least_m.value - SAME_HEIGHT_M and not compound.feathers:
        notes.append(f"This product is not laid thinner than {compound.least_m.value * 1000:g} mm, and here it would run out to nothing: "
                     "cut the edge of the patch square, or take a product that feathers.")
    if filled.greatest_m > compound.greatest_m.value + SAME_HEIGHT_M:
        notes.append(f"The deepest place is past the {compound.greatest_m.value * 1000:g} mm that this product takes in one coat: "
                     "fill the deep places first, or take a deeper product.")
    return tuple(notes)


def option_cost(option: Option, price_per_bag: float, grinder_per_day: float, labour_per_h: float = 0.0, bags_least: int = 0) -> float:
    """What an option costs.

    price_per_bag, grinder_per_day, labour_per_h: money, 0 or more.  bags_least: fewest bags that are sold, if any are bought (no unit).
    Returns money: bags, whole days of hire of the grinder, hours of labour.
    Raises ValueError for a price below 0.
    Source: definition; hours as in `Option.hours`, common practice, no source.

    >>> option_cost(Option("leave", NOTHING, NOTHING, 0, 0, 0.004, True, ()), 20.0, 60.0, 15.0)
    0.0
    """
    if min(price_per_bag, grinder_per_day, labour_per_h, bags_least) < 0.0:
        raise ValueError(f"prices must be 0 or more, not {price_per_bag}, {grinder_per_day} and {labour_per_h}")
    grinding_h = option.ground.volume_m3 * GRINDING_H_PER_M3.value + option.ground.area_m2 * GRINDING_H_PER_M2.value
    bags = max(option.bags, bags_least) if option.bags else 0
    return bags * price_per_bag + steps_up(grinding_h, WORKING_DAY_H.value) * grinder_per_day + option.hours * labour_per_h


def finish_shortfalls(finish: str, gap_m: float, humidity: float | None = None, compressive_mpa: float | None = None,
                      age_days: float | None = None) -> tuple[str, ...]:
    """What a floor lacks for a finish, and what has not been measured.

    finish: bare, sealed, painted or resin, boards, tiles (words).  gap_m: under a straightedge of 2 m, m, 0 or more.
    humidity: share, 0 to 1.  compressive_mpa: MPa.  age_days: days.  None where nobody has measured it.
    Returns sentences (words); none where nothing is lacking.
    Raises ValueError outside those ranges, or for another finish.
    Source: `FINISHES`, each need with its own.

    >>> finish_shortfalls("tiles", 0.005, None, 25.0, 60.0)
    ('Gaps of 5 mm under 2 m; 3 mm at most is wanted.',)
    """
    if finish not in FINISHES:
        raise ValueError(f"a finish is {', '.join(FINISHES)}, not {finish!r}")
    if not gap_m >= 0.0 or (humidity is not None and not 0.0 <= humidity <= 1.0):
        raise ValueError(f"a gap must be 0 m or more and a humidity 0 to 1, not {gap_m} m and {humidity}")
    needs, lacks = FINISHES[finish], []
    if gap_m > needs.gap_m.value + SAME_HEIGHT_M:
        lacks.append(f"Gaps of {gap_m * 1000:.3g} mm under 2 m; {needs.gap_m.value * 1000:g} mm at most is wanted.")
    if needs.humidity is not None:
        if humidity is None:
            lacks.append(f"Nobody has tested how damp it is; {needs.humidity.value * 100:g} % at most is wanted.")
        elif humidity > needs.humidity.value:
            lacks.append(f"At {humidity * 100:.3g} % it is too damp; {needs.humidity.value * 100:g} % at most is wanted.")
    for given, need, unit in ((compressive_mpa, needs.compressive_mpa, "MPa"), (age_days, needs.age_days, "days")):
        if need is not None and given is None:
            lacks.append(f"Not known whether it reaches {need.value:g} {unit}.")
        elif need is not None and given < need.value:
            lacks.append(f"{given:.3g} {unit}; {need.value:g} {unit} at least is wanted.")
    return tuple(lacks)
