"""From the works to pegs, strings and levels on the ground: what one setting-out sheet says of one scheme.

Nothing is laid out again here.  Every depth is read from the solids of the
works at a point, so a peg cannot disagree with the bill or the drawing.
Places are measured from corner A along the base line, the longest side, and
square to it.  Levels are metres above the highest existing ground under the
footprint, which is the level of the temporary bench mark.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from calculators import works as w
from calculators.benches import Ring
from calculators.ground import Surface, between, profile
from calculators.numbers import round_up, steps_down, steps_up
from calculators.plan import Plan, Point, Polygon, Side, clip, polygon_centroid
from calculators.schemes.common import DRAIN_TRENCH_DEPTH_M, MIDDLE_OF_INSIDE_WALL
from calculators.site import Site
from calculators.sources import common_practice
from calculators.survey import distance_outside_m, interior_angles_deg
from calculators.works import Solid, Works

PROFILE_CLEAR_M = common_practice(1.0, "m", "Profiles stand this far beyond the furthest dig or fill on their side.")
SIGHT_ABOVE_M = common_practice(0.300, "m", "Profiles are sighted over at least this far above the highest ground at any of them, and above the floor.")
PEG_PITCH_M = common_practice(1.5, "m", "Pegs on the floor stand no further apart than this, unless there would be too many.")
PEG_PITCH_STEP_M = 0.25
LEAST_SPAN_M = 0.5
MOST_PEGS = 30
LEAST_ROWS = 2
# Distances that a sheet may choose fall on whole marks of this kind; a reader of feet and inches has his own.
TAPE_STEP_M = 0.05
# With more corners than this only the distances from both ends of the base line are listed: they fix every corner.
MOST_CORNERS_FOR_ALL_PAIRS = 6
OUT_OF_LINE_M = common_practice(0.005, "m", "Sides and diagonals that miss by more are set out again.")
GROUND_DIFFERS_M = common_practice(0.050, "m", "Ground that is found to be further from its level than this is surveyed again before it is dug.")
TALL_BOARD_M = common_practice(1.2, "m", "A profile taller than this is not sighted over: it gets a second rail lower down for its string.")
SQUARE_DEG = 0.05

# A point is looked at through a window this wide, from this far inside a corner.
WINDOW_M = 1e-5
INSIDE_M = 1e-4
SAME_M = 1e-6

EARTH_DIGS = (w.TOPSOIL_STRIP, w.REDUCE_DIG, w.TRENCH_DIG, w.SOFT_SPOT_DIG)
STONES = (w.SUB_BASE, w.BATTER, w.TRENCH_STONE, w.SOFT_SPOT_STONE)


@dataclass(frozen=True)
class Spot:
    """A corner or a peg: its name, where it is from corner A (m), and what is done there.

    `ground_m` is the existing level, `dig_to_m` the level at which the digging
    stops, `dig_m` the depth between, topsoil with it.  `stone_m` is all the
    compacted stone there and `fill_m` how much of it stands below the regular bed,
    where the ground was too low; 0 for none.
    """

    name: str
    point: Point
    along_m: float
    square_m: float
    ground_m: float
    dig_to_m: float
    stone_m: float
    fill_m: float

    @property
    def dig_m(self) -> float:
        """Depth of the dig below existing ground, m."""
        return self.ground_m - self.dig_to_m


@dataclass(frozen=True)
class Distance:
    """How far two corners are apart along a level tape, m; `side` names the side between them, empty for a diagonal."""

    first: str
    second: str
    length_m: float
    side: str = ""


@dataclass(frozen=True)
class SquareTriangle:
    """A triangle of 3, 4 and 5 parts that makes a corner square: m along the base line, m along the other side, m across."""

    corner: str
    towards: str
    along_m: float
    other: str
    square_m: float
    across_m: float


@dataclass(frozen=True)
class Reach:
    """How far work goes out from one side's face, m: the topsoil strip, the dig below it, the stone of a batter (0 for none)."""

    side: str
    first: str
    second: str
    strip_m: float
    dig_m: float
    stone_m: float

    @property
    def furthest_m(self) -> float:
        """The furthest of them, m."""
        return max(self.strip_m, self.dig_m, self.stone_m)


@dataclass(frozen=True)
class Board:
    """A profile that holds the string of one side, `back_m` from a corner in line with the side.

    `ground_m` is the existing level there and `height_m` how far the board's top
    stands above it when all are at one level.  `over_boundary` says that it would stand on somebody else's land.
    """

    side: str
    corner: str
    back_m: float
    point: Point
    ground_m: float
    height_m: float
    over_boundary: bool


@dataclass(frozen=True)
class Bottom:
    """One level stretch of the bottom along a wall, m along its outer face from its higher end, the corner `from_corner`.

    `formation_m` is where the dig stops, or where fill must reach; `concrete_m`
    the underside of the concrete, `concrete_top_m` the top of a footing (None
    under a raft).  `least_dig_m` and `most_dig_m` are its depths below existing
    ground along the face, less than 0 where the ground is too low.  `step_m` and
    `overlap_m` are those of the step at its far end, 0 where there is none.
    `traveller_m` shows it under the profiles.
    """

    side: str
    from_corner: str
    to_corner: str
    from_m: float
    to_m: float
    formation_m: float
    concrete_m: float
    concrete_top_m: float | None
    least_dig_m: float
    most_dig_m: float
    step_m: float
    overlap_m: float
    traveller_m: float


@dataclass(frozen=True)
class Run:
    """Something else to be set out along a straight line: what it is, and its two ends by (along, square), m, from the base line.

    `level_m` is the level of its bottom: of a drain's trench and of the dig
    under a wall inside, of the threshold at a door.
    """

    what: str
    start: tuple[float, float]
    end: tuple[float, float]
    start_level_m: float
    end_level_m: float


@dataclass(frozen=True)
class Mark:
    """A level to be met: its name, m, and how long a traveller over the profiles shows it, m."""

    name: str
    level_m: float
    traveller_m: float


@dataclass(frozen=True)
class SettingOut:
    """Everything on the sheet of one scheme; lengths and levels in m.

    `origin` and `base_end` name the ends of the base line.  `triangle` is None
    where neither end of it is square.  `high_point` is where level 0 is
    (along, square), `high_corner` the corner it is at or None.  `ring_m` is
    how far outside and inside the face the footing or the edge runs, `trenched`
    whether in a trench of its own.  `sight_m` is the level of the tops of all profiles.
    """

    scheme: str
    base: Side
    origin: str
    base_end: str
    corners: tuple[Spot, ...]
    angles_deg: tuple[float, ...]
    distances: tuple[Distance, ...]
    triangle: SquareTriangle | None
    reaches: tuple[Reach, ...]
    ring_m: tuple[float, float]
    trenched: bool
    boards: tuple[Board, ...]
    sight_m: float
    high_point: tuple[float, float]
    high_corner: str | None
    pitch_m: float
    pegs: tuple[Spot, ...]
    bottoms: tuple[Bottom, ...]
    runs: tuple[Run, ...]
    marks: tuple[Mark, ...]

    @property
    def sides(self) -> tuple[Distance, ...]:
        """The distances along the sides."""
        return tuple(distance for distance in self.distances if distance.side)

    @property
    def diagonals(self) -> tuple[Distance, ...]:
        """The distances across."""
        return tuple(distance for distance in self.distances if not distance.side)


# Kinds of line that are set out beside the walls, in the order of the sheet.
RUN_KINDS = ("door", MIDDLE_OF_INSIDE_WALL, "land drain")


def staff_reading_m(level_m: float, mark_reading_m: float) -> float:
    """What the staff shows, m, at a level (m above the bench mark) when it shows `mark_reading_m` (m) on the bench mark.

    A lower place reads more.  Source: height of instrument, any surveying textbook.

    >>> round(staff_reading_m(-0.42, 1.23), 9)
    1.65
    """
    return mark_reading_m - level_m


def square_parts_m(base_m: float, other_m: float, step_m: float) -> tuple[float, float, float]:
    """The largest triangle of 3, 4 and 5 parts whose legs lie on two sides, m: along the base, along the other side, across.

    base_m, other_m: the two sides, m; step_m: one part is a whole number of these, m (above 0), so that the tape shows
    round figures.  Raises ValueError for sides too short for one step.  Source: Pythagoras.

    >>> square_parts_m(6.6, 4.2, 0.1)
    (5.6, 4.2, 7.0)
    """
    four_along = steps_down(min(base_m / 4.0, other_m / 3.0), step_m)
    three_along = steps_down(min(base_m / 3.0, other_m / 4.0), step_m)
    most = max(four_along, three_along)
    if most < 1:
        raise ValueError(f"sides of {base_m} m and {other_m} m are too short for a triangle of parts of {step_m} m")
    along, square = (4, 3) if four_along >= three_along else (3, 4)
    # Multiplied first: 4 x 14 x 0.1 is 5.6, where 4 x 1.4 may not be.
    return tuple(round(parts * most * step_m, 9) for parts in (along, square, 5))


def level_at(surface: Surface, point: Point) -> float:
    """Level, m, of a continuous surface at a point (x, y), m.

    Raises IndexError where there is no ground.  Source: definition.

    >>> from calculators.ground import falling_plane
    >>> round(level_at(falling_plane(0.1, 180.0), (3.0, -2.0)), 9)
    -0.2
    """
    return surface.over(_window(point))[0][1].z(point)


def set_out(site: Site, works: Works, tape_step_m: float = TAPE_STEP_M) -> SettingOut:
    """The setting-out sheet of one scheme's works.

    site: the plot; works: the scheme laid out at its level; tape_step_m: m, distances that are free to choose fall on
    whole steps of it.  Returns a SettingOut, lengths and levels in m.  Raises ValueError for a step of 0 or less.
    Source: definitions of the guide (setting out); common practice for profiles and pegs.
    """
    plan = site.plan
    base = max(plan.sides, key=lambda side: (round(side.length_m, 6), -side.index))
    names = _corner_names(plan, base)
    angles = interior_angles_deg(plan.corners)
    reader = _Reader(site, works)
    order = [(base.index + i) % len(plan.corners) for i in range(len(plan.corners))]
    inner = plan.inset(INSIDE_M)
    corners = tuple(
        reader.spot(names[i], base, plan.corners[i], look_at=inner[i], ground_m=site.corner_levels_m[i]) for i in order)
    reaches = tuple(_reach(side, names, plan, works) for side in _from(base, plan))
    boards, sight = _boards(site, works, names, {reach.side: reach for reach in reaches}, angles, 2.0 * tape_step_m)
    pegs, pitch = _pegs(plan, base, _floor_inset_m(plan, works), reader, tape_step_m)
    ring = _ring(plan, works)
    high = _highest_point(site)
    high_corner = next((names[i] for i in order if math.dist(plan.corners[i], high) < SAME_M), None)
    return SettingOut(
        scheme=works.scheme,
        base=base,
        origin=names[order[0]],
        base_end=names[order[1]],
        corners=corners,
        angles_deg=tuple(angles[i] for i in order),
        distances=_distances(plan, order, names),
        triangle=_triangle(plan, base, names, angles, 2.0 * tape_step_m),
        reaches=reaches,
        ring_m=(0.0 - ring.outer_m, ring.inner_m),
        trenched=w.FOOTING in reader.by_part,
        boards=boards,
        sight_m=sight,
        high_point=(base.along(high), base.inside(high)),
        high_corner=high_corner,
        pitch_m=pitch,
        pegs=pegs,
        bottoms=tuple(bottom for side in _from(base, plan) for bottom in _bottoms(site, works, side, names, reader, sight)),
        runs=tuple(_runs(site, works, base)),
        marks=tuple(Mark(name, level, sight - level) for name, level in _levels(site, works, pegs[0].point, reader)),
    )


def _runs(site: Site, works: Works, base: Side) -> list[Run]:
    """Doors, walls inside and land drains, in that order."""
    found = []
    for kind in RUN_KINDS:
        for line in (line for line in works.lines if line.kind == kind):
            if kind == "land drain":
                levels = [level_at(site.stripped, point) - DRAIN_TRENCH_DEPTH_M.value for point in (line.start, line.end)]
            else:
                levels = [line.top_m if kind == "door" else line.bottom_m] * 2
            found.append(Run(kind, *((base.along(point), base.inside(point)) for point in (line.start, line.end)), *levels))
    return found


def _corner_names(plan: Plan, base: Side) -> dict[int, str]:
    """A, B, C ... anticlockwise from the start of the base line; after Z comes A2."""
    count = len(plan.corners)
    return {(base.index + i) % count: chr(ord("A") + i % 26) + (str(i // 26 + 1) if i >= 26 else "") for i in range(count)}


def _from(base: Side, plan: Plan) -> list[Side]:
    return [plan.sides[(base.index + i) % len(plan.sides)] for i in range(len(plan.sides))]


# What the works say at a point.


def _window(point: Point) -> Polygon:
    (x, y), half = point, WINDOW_M / 2.0
    return ((x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half))


def _seen(polygon: Polygon, point: Point) -> Polygon:
    """The part of a convex polygon inside the window round a point; empty if none."""
    (x, y), half = point, WINDOW_M / 2.0
    if not (min(p[0] for p in polygon) < x + half and max(p[0] for p in polygon) > x - half
            and min(p[1] for p in polygon) < y + half and max(p[1] for p in polygon) > y - half):
        return ()
    part = polygon
    for half_plane in ((1, 0, half - x), (-1, 0, half + x), (0, 1, half - y), (0, -1, half + y)):
        part = clip(part, *half_plane)
    return part


class _Reader:
    """Reads depths from the solids of the works at one point after another."""

    def __init__(self, site: Site, works: Works):
        self.site = site
        self.works = works
        self.by_part: dict[str, list[Solid]] = {}
        for solid in works.solids:
            self.by_part.setdefault(solid.part, []).append(solid)

    def heights(self, parts: Iterable[str], point: Point) -> dict[str, list[tuple[float, float]]]:
        """(bottom, top), m, of each body of the parts that is there, by part."""
        found: dict[str, list[tuple[float, float]]] = {}
        for part in parts:
            for solid in self.by_part.get(part, ()):
                for body in solid.bodies:
                    for polygon in body.polygons:
                        if seen := _seen(polygon, point):
                            found.setdefault(part, []).extend(
                                (piece.bottom.z(point), piece.top.z(point)) for piece in between([seen], body.bottom, body.top))
        return found

    def dig_to_m(self, point: Point) -> float:
        """The level at which the digging stops, m: never above the stripped surface."""
        bottoms = [bottom for heights in self.heights(EARTH_DIGS, point).values() for bottom, _ in heights]
        return min([level_at(self.site.stripped, point), *bottoms])

    def formation_m(self, point: Point, otherwise_m: float) -> float:
        """Underside of the regular bed of stone, m; another level where there is no bed."""
        tops = [top for _, top in self.heights((w.SUB_BASE,), point).get(w.SUB_BASE, ())]
        return min(tops) - self.site.rules.least_sub_base_m.value if tops else otherwise_m

    def spot(self, name: str, base: Side, point: Point, look_at: Point | None = None, ground_m: float | None = None) -> Spot:
        """What is done at a point; `look_at` is where the works are read, a hair inside a corner."""
        inside = point if look_at is None else look_at
        dig_to = self.dig_to_m(inside)
        # Bodies of one part lie side by side: where two meet, the thicker is told.
        stones = self.heights(STONES, inside)
        stone = math.fsum(max(top - bottom for bottom, top in heights) for heights in stones.values())
        bed_bottom = self.formation_m(inside, dig_to)
        return Spot(
            name, point, base.along(point), base.inside(point),
            level_at(self.site.ground, point) if ground_m is None else ground_m,
            dig_to, stone, max(0.0, bed_bottom - dig_to),
        )


# Corners, sides, diagonals.


def _distances(plan: Plan, order: list[int], names: dict[int, str]) -> tuple[Distance, ...]:
    """The sides in order round the plan, then the diagonals."""
    count = len(order)
    pairs = [(i, (i + 1) % count) for i in range(count)]
    across = [pair for pair in combinations(range(count), 2) if pair not in pairs and pair[::-1] not in pairs]
    if count > MOST_CORNERS_FOR_ALL_PAIRS:
        across = [pair for pair in across if pair[0] < 2]
    found = []
    for first, second in pairs + across:
        i, j = order[first], order[second]
        found.append(Distance(names[i], names[j], math.dist(plan.corners[i], plan.corners[j]), plan.sides[i].name if (first, second) in pairs else ""))
    return tuple(found)


def _triangle(plan: Plan, base: Side, names: dict[int, str], angles: tuple[float, ...], step_m: float) -> SquareTriangle | None:
    """At the start of the base line where that corner is square, else at its end."""
    count = len(plan.sides)
    start, end = base.index, (base.index + 1) % count
    for corner, towards, side, other in (
        (start, end, plan.sides[start - 1], (start - 1) % count), (end, start, plan.sides[end], (end + 1) % count),
    ):
        if abs(angles[corner] - 90.0) < SQUARE_DEG and min(base.length_m, side.length_m) >= 4.0 * step_m:
            along, square, across = square_parts_m(base.length_m, side.length_m, step_m)
            return SquareTriangle(names[corner], names[towards], along, names[other], square, across)
    return None


# How far the work reaches, and the profiles.


def _outside(side: Side, polygon: Polygon) -> Polygon:
    """The part of a convex polygon outside one side, between its mitres."""
    (sx, sy), (dx, dy), (ix, iy) = side.start, side.direction, side.inward
    along_c, inside_c = -(dx * sx + dy * sy), -(ix * sx + iy * sy)
    half_planes = (
        (-ix, -iy, -inside_c),
        (dx - side.start_turn * ix, dy - side.start_turn * iy, along_c - side.start_turn * inside_c),
        (-dx - side.end_turn * ix, -dy - side.end_turn * iy, side.length_m - along_c - side.end_turn * inside_c),
    )
    for half_plane in half_planes:
        if polygon:
            polygon = clip(polygon, *half_plane)
    return polygon


def _reach(side: Side, names: dict[int, str], plan: Plan, works: Works) -> Reach:
    def furthest(*parts: str) -> float:
        return max((
            -side.inside(point) for solid in works.solids if solid.part in parts for piece in solid.pieces
            for point in _outside(side, piece.polygon)), default=0.0)

    return Reach(
        side.name, names[side.index], names[(side.index + 1) % len(plan.sides)],
        furthest(w.TOPSOIL_STRIP), furthest(w.REDUCE_DIG, w.TRENCH_DIG, w.SOFT_SPOT_DIG), furthest(w.BATTER))


def _boards(
    site: Site, works: Works, names: dict[int, str], reaches: dict[str, Reach], angles: tuple[float, ...], step_m: float,
) -> tuple[tuple[Board, ...], float]:
    """Two profiles for each side, one beyond each end, and the level of their tops."""
    plan = site.plan
    count = len(plan.sides)
    found = []
    for side in plan.sides:
        for corner, sign in ((side.index, -1.0), ((side.index + 1) % count, 1.0)):
            ray = (sign * side.direction[0], sign * side.direction[1])
            crossed_m, crossed = _leaves(plan, side, corner, ray)
            outward = -(ray[0] * crossed.inward[0] + ray[1] * crossed.inward[1])
            clear = reaches[crossed.name].furthest_m + PROFILE_CLEAR_M.value
            back = crossed_m + round_up(clear / outward, step_m)
            at = plan.corners[corner]
            point = (at[0] + back * ray[0], at[1] + back * ray[1])
            ground = level_at(site.ground, point)
            over = any(-plan.side(name).inside(point) > distance for name, distance in site.scenario.plot.boundary_m.items())
            found.append((side, corner, back, point, ground, over))
    highest = max([0.0, works.floor_level_m, *(board[4] for board in found)])
    sight = round_up(highest + SIGHT_ABOVE_M.value, step_m)
    boards = tuple(
        Board(side.name, names[corner], back, point, ground, sight - ground, over) for side, corner, back, point, ground, over in found)
    return boards, sight


def _leaves(plan: Plan, side: Side, corner: int, ray: Point) -> tuple[float, Side]:
    """Where a side, carried on past one of its corners, leaves the building for good: m past the corner, and the side it leaves by.

    Past a corner that points outward that is at once, by the side next to it.
    """
    count = len(plan.sides)
    beside = plan.sides[side.index - 1] if corner == side.index else plan.sides[(side.index + 1) % count]
    x, y = plan.corners[corner]
    best = (0.0, beside)
    for other in plan.sides:
        towards = -(ray[0] * other.inward[0] + ray[1] * other.inward[1])
        if other is side or towards < SAME_M:
            continue
        distance = other.inside((x, y)) / towards
        along = other.along((x + distance * ray[0], y + distance * ray[1]))
        if distance > best[0] + SAME_M and -SAME_M <= along <= other.length_m + SAME_M:
            best = (distance, other)
    return best


def _highest_point(site: Site) -> Point:
    """Where the ground under the footprint is highest; a corner rather than any other place."""
    vertices = [(plane.z(p), p) for polygon in site.plan.region(0.0) for part, plane in site.ground.over(polygon) for p in part]
    top = max(level for level, _ in vertices)
    for corner, level in zip(site.plan.corners, site.corner_levels_m):
        if level > top - SAME_M:
            return corner
    return max(vertices)[1]


# Pegs over the floor.


def _ring(plan: Plan, works: Works) -> Ring:
    """The footing or the edge in plan."""
    sizes = works.sizes
    if "footing_width_m" in sizes:
        return Ring(plan, sizes["block_thickness_m"] / 2.0, sizes["footing_width_m"])
    return Ring(plan, sizes["edge_width_m"] / 2.0, sizes["edge_width_m"])


def _floor_inset_m(plan: Plan, works: Works) -> float:
    """How far inside the face the level floor of the dig begins, m: within the footing, or within the haunch."""
    # Lines round the plan are in the order of its sides, the first of each kind beside the first side.
    haunch = next((plan.sides[0].inside(line.start) for line in works.lines if line.kind == "haunch"), 0.0)
    return max(_ring(plan, works).inner_m, haunch)


def _pegs(plan: Plan, base: Side, inset_m: float, reader: _Reader, tape_step_m: float) -> tuple[tuple[Spot, ...], float]:
    """Pegs in rows along the base line, each in the middle of its share of the floor, on whole marks of the tape; and their greatest pitch."""
    floor = plan.inset(inset_m)
    alongs, squares = _spans([base.along(p) for p in floor]), _spans([base.inside(p) for p in floor])
    pitch = PEG_PITCH_M.value
    while True:
        across, up = _rows(alongs, pitch, tape_step_m), _rows(squares, pitch, tape_step_m)
        places = [(along, square) for square in up for along in across if distance_outside_m(base.at(along, square), floor) <= SAME_M]
        if len(places) <= MOST_PEGS or pitch > max(alongs[-1][1] - alongs[0][0], squares[-1][1] - squares[0][0]):
            break
        pitch += PEG_PITCH_STEP_M
    points = [base.at(*place) for place in places] or [polygon_centroid(part) for part in plan.region(inset_m)]
    return tuple(reader.spot(str(i), base, point) for i, point in enumerate(points, start=1)), pitch


def _spans(values: list[float]) -> list[tuple[float, float]]:
    """Stretches between the corners of the floor in one direction, m, so that every arm of an L has pegs of its own."""
    ordered = sorted(values)
    cuts = [ordered[0]]
    for value in ordered[1:]:
        if value - cuts[-1] >= LEAST_SPAN_M and ordered[-1] - value >= LEAST_SPAN_M:
            cuts.append(value)
    cuts.append(ordered[-1])
    return list(zip(cuts, cuts[1:]))


def _rows(spans: list[tuple[float, float]], pitch_m: float, tape_step_m: float) -> list[float]:
    """Places of rows over the spans, m: no further apart than the pitch, two at least."""
    least = LEAST_ROWS if len(spans) == 1 else 1
    places = []
    for low, high in spans:
        count = max(least, steps_up(high - low, pitch_m))
        share = _on_tape((high - low) / count, tape_step_m)
        first = _on_tape((low + high - (count - 1) * share) / 2.0, tape_step_m)
        places += [first + i * share for i in range(count)]
    return places


def _on_tape(m: float, step_m: float) -> float:
    """The nearest whole mark of the tape, m; a half goes the same way on every machine."""
    return round(round(m / step_m, 6)) * step_m


# Bottoms along the walls, and the list of levels.


def _bottoms(site: Site, works: Works, side: Side, names: dict[int, str], reader: _Reader, sight_m: float) -> list[Bottom]:
    """Level stretches of the concrete's underside along one side, from its higher end."""
    parts = (w.FOOTING,) if w.FOOTING in reader.by_part else (w.SLAB,)
    ring, length = _ring(site.plan, works), side.length_m
    cuts = {0.0, length}
    for part in parts:
        for polygon in (polygon for solid in reader.by_part[part] for body in solid.bodies for polygon in body.polygons):
            near = [p for p in polygon if ring.outer_m - SAME_M <= side.inside(p) <= ring.inner_m + SAME_M]
            cuts.update(along for p in near if SAME_M < (along := side.along(p)) < length - SAME_M)
    runs: list[list[float]] = []
    ordered = sorted(cuts)
    for a, b in zip(ordered, ordered[1:]):
        if b - a < SAME_M:
            continue
        middle = side.at((a + b) / 2.0, INSIDE_M)
        concrete = min(bottom for heights in reader.heights(parts, middle).values() for bottom, _ in heights)
        if runs and abs(runs[-1][2] - concrete) < SAME_M:
            runs[-1][1] = b
        else:
            runs.append([a, b, concrete, reader.formation_m(middle, concrete)])
    end = (side.index + 1) % len(names)
    start_is_higher = site.start_is_higher(side)
    found = []
    for a, b, concrete, formation in runs if start_is_higher else reversed(runs):
        grounds = [level for _, level in profile(site.ground, side.at(a, 0.0), side.at(b, 0.0))]
        from_m, to_m = (a, b) if start_is_higher else (length - b, length - a)
        step = next((step for step in works.steps if step.wall == side.name and abs(step.chainage_m - to_m) < SAME_M), None)
        found.append(Bottom(
            side.name, names[side.index if start_is_higher else end], names[end if start_is_higher else side.index], from_m, to_m,
            formation, concrete, concrete + works.sizes["footing_thickness_m"] if w.FOOTING in parts else None,
            min(grounds) - formation, max(grounds) - formation, step.height_m if step else 0.0, step.overlap_m if step else 0.0,
            sight_m - formation))
    return found


def _levels(site: Site, works: Works, point: Point, reader: _Reader) -> list[tuple[str, float]]:
    """Levels from the bottom up, each with its name, m, read over the floor at a point."""
    tops = {part: max(top for _, top in heights) for part, heights in reader.heights(
        (w.SUB_BASE, w.BLINDING, w.INSULATION, w.SLAB), point).items()}
    found = [("Formation, under the floor", reader.formation_m(point, tops[w.SLAB]))]
    for part, name in (
        (w.SUB_BASE, "Top of the stone"), (w.BLINDING, "Top of the blinding"), (w.INSULATION, "Top of the insulation"), (w.SLAB, "Top of the slab: the floor"),
    ):
        if part in tops:
            found.append((name, tops[part]))
    if works.sole_plate_m > works.floor_level_m + SAME_M:
        found.append(("Damp-proof course, under the timber", works.sole_plate_m))
    return found
