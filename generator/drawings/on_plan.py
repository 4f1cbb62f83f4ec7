"""What every drawing seen from above has: its page, the ground as it is, boundary, corners, sizes, north."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators import works as w
from calculators.plan import Plan, Point, Polygon, Side, clip
from calculators.site import Site, centre_of
from calculators.survey import hull
from calculators.works import WallLine, Works
from generator.display import length, level_mark
from generator.drawings.geometry import NOTHING_M, Cut, chained, contour, distance_to_side_m, is_inside
from generator.drawings.placing import Place, Room, along
from generator.drawings.scale import compass_words, scale_bar
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, spread_out, text_width
from generator.quantities import factor

WIDTH_UNITS = 640.0
MARGIN_UNITS = 8.0
LARGEST_SCALE = 75.0
TALLEST_UNITS = 520.0
FARTHEST_M = 3.0
"""Nothing further than this outside the walls is drawn, but for the words that say so."""
BOUNDARY_SHOWN_M = 2.5
AROUND_M = 0.6
"""Least room outside the walls."""
DIMENSION_UNITS = 44.0
ROW_UNITS = 25.0
"""From one row of dimensions to the next."""

INTERVALS = {"metric": (("m", "0.025"), ("m", "0.05"), ("m", "0.1"), ("m", "0.2"), ("m", "0.5")),
             "imperial": (("inch", "1"), ("inch", "2"), ("inch", "3"), ("inch", "6"), ("inch", "12"), ("inch", "24"))}
"""From one contour to the next: the first that leaves room between them is taken."""
MOST_CONTOURS = 9
CONTOUR_GAP_UNITS = 17.0
"""Contours no closer than this where the ground is steepest."""


@dataclass(frozen=True)
class Page:
    """Where a point (x, y), m, lies on the sheet, and the part of the plot (m) that it shows."""

    west: float
    south: float
    east: float
    north: float
    scale: float
    left_units: float
    top_units: float

    def at(self, point: Point) -> Point:
        """Drawing units for a point (m)."""
        return (
            self.left_units + (point[0] - self.west) * self.scale,
            self.top_units + (self.north - point[1]) * self.scale,
        )

    @property
    def corners(self) -> Polygon:
        """The part of the plot that is shown, m."""
        return ((self.west, self.south), (self.east, self.south), (self.east, self.north), (self.west, self.north))

    def clipped(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """The part of a line (m) that the page shows."""
        return part_inside(self.corners, start, end)

    def shown(self, polygon: Sequence[Point]) -> Polygon:
        """The part of a convex polygon (m) that the page shows."""
        part = tuple(polygon)
        for half_plane in ((1, 0, -self.west), (-1, 0, self.east), (0, 1, -self.south), (0, -1, self.north)):
            if part:
                part = clip(part, *half_plane)
        return part

    def path(self, points: Sequence[Point], closed: bool = False) -> str:
        """Path data through points (m)."""
        return path_of([self.at(p) for p in points], closed)


def part_inside(polygon: Polygon, start: Point, end: Point) -> tuple[Point, Point] | None:
    """The part of a line (m) inside a convex polygon (m); None where there is none."""
    run = math.hypot(end[0] - start[0], end[1] - start[1])
    if run < NOTHING_M:
        return None
    cut = Cut(start, ((end[0] - start[0]) / run, (end[1] - start[1]) / run))
    chord = cut.chord(polygon)
    if chord is None or min(run, chord[1]) - max(0.0, chord[0]) < NOTHING_M:
        return None
    return cut.at(max(0.0, chord[0])), cut.at(min(run, chord[1]))


def drains_along(plan: Plan, works: Works) -> list[WallLine]:
    """Land drains that run along a side; the others lead water away."""
    found = []
    for line in works.lines:
        if line.kind == "land drain":
            dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
            run = math.hypot(dx, dy)
            if any(abs(dx * side.inward[0] + dy * side.inward[1]) < 1e-6 * run and side.inside(line.start) < 0.0 for side in plan.sides):
                found.append(line)
    return found


def reach_m(plan: Plan, side: Side, works: Works) -> float:
    """How far the works go outside one side, m, as drawn; the run that leads drain water away is left out."""
    points = [p for solid in works.solids if solid.part == w.BATTER for piece in solid.pieces for p in piece.polygon]
    points += [p for line in drains_along(plan, works) for p in (line.start, line.end)]
    points += [p for line in works.lines if line.kind == "footing" for p in (line.start, line.end)]
    near = [-side.inside(p) for p in points if distance_to_side_m(side, p) < FARTHEST_M]
    return min(FARTHEST_M, max([AROUND_M, *near]))


def room_outside_m(site: Site, side: Side, works: Works) -> float:
    """How much of the plot is shown outside one side, m."""
    near = site.scenario.plot.boundary_m.get(side.name, math.inf)
    return max(reach_m(site.plan, side, works) + 0.3, near + 0.25 if near <= BOUNDARY_SHOWN_M else 0.0)


def page_of(site: Site, works: Works, units: str) -> Page:
    """The page that shows a scheme's works: the same for each of its drawings."""
    plan = site.plan
    points = list(plan.corners)
    for side in plan.sides:
        out = room_outside_m(site, side, works)
        points += [side.at(0.0, -out), side.at(side.length_m, -out)]
    west, east = min(x for x, _ in points), max(x for x, _ in points)
    south, north = min(y for _, y in points), max(y for _, y in points)
    # Long corner levels stand further out than the dimension; some of the plot shown is room for them already.
    levels = max(text_width(level_mark(z).of(units)) for z in site.corner_levels_m)
    rows = max(len(chain) for chain in chains_of(plan).values())
    beside = MARGIN_UNITS + max(DIMENSION_UNITS + (rows - 1) * ROW_UNITS, levels - 22.0)
    room = WIDTH_UNITS - 2 * beside
    scale = min(LARGEST_SCALE, room / (east - west), TALLEST_UNITS / (north - south))
    left = (WIDTH_UNITS - (east - west) * scale) / 2
    return Page(west, south, east, north, scale, left, MARGIN_UNITS + 26.0)


# The ground as it is.


def contour_interval_m(site: Site, page: Page, units: str) -> float:
    """From one contour to the next, m; 0 where the ground shown is level."""
    patches = site.ground.over(page.corners)
    levels = [plane.z(p) for part, plane in patches for p in part]
    steepest = max(math.hypot(plane.east, plane.north) for _, plane in patches)
    fall = max(levels) - min(levels)
    if fall < 0.01:
        return 0.0
    tried = [float(amount) * float(factor(unit, "m")) for unit, amount in INTERVALS[units]]
    for interval in tried:
        if fall / interval <= MOST_CONTOURS and interval * page.scale >= CONTOUR_GAP_UNITS * steepest:
            return interval
    return tried[-1]


def _surveyed(site: Site) -> Polygon:
    """Where somebody has measured the ground, m; empty for ground given as one slope."""
    return hull((x, y) for x, y, _ in site.scenario.plot.levels_m)


def draw_contours(sheet: Sheet, page: Page, site: Site, units: str) -> list[tuple[str, list[Point]]]:
    """Contours of the existing ground, broken where nobody has measured it; returns (level in words, line in drawing units)."""
    interval = contour_interval_m(site, page, units)
    if interval <= 0.0:
        return []
    levels = [plane.z(p) for part, plane in site.ground.over(page.corners) for p in part]
    measured = _surveyed(site)
    known, guessed, found = [], [], []
    for count in range(math.ceil(min(levels) / interval - 1e-9), math.floor(max(levels) / interval + 1e-9) + 1):
        level = count * interval
        for line in chained(contour(site.ground, level, page.corners)):
            found.append((level_mark(level).of(units), [page.at(p) for p in line]))
            if not measured:
                known.append(page.path(line))
                continue
            for start, end in zip(line, line[1:]):
                inside = part_inside(measured, start, end)
                if inside:
                    known.append(page.path(inside))
                for a, b in ((start, inside[0]), (inside[1], end)) if inside else ((start, end),):
                    if math.dist(a, b) > NOTHING_M:
                        guessed.append(page.path((a, b)))
    sheet.path("sp-plan-contour", "".join(known))
    sheet.path("sp-plan-contour sp-plan-guess", "".join(guessed))
    return found


def name_contours(room: Room, contours: Iterable[tuple[str, list[Point]]]) -> None:
    """A level on each contour that has room for one."""
    for words, line in contours:
        room.place("sp-contour-level", words, along(line), must=False)


def ground_entries(site: Site, page: Page, units: str) -> list[Entry]:
    """The key's words for the contours; none where the ground is level."""
    interval = contour_interval_m(site, page, units)
    if interval <= 0.0:
        return []
    entries = [Entry("sp-plan-contour", f"contour of the existing ground, every {length(interval).of(units)}")]
    if _surveyed(site):
        entries.append(Entry("sp-plan-contour sp-plan-guess", "contour where nobody has measured"))
    return entries


def corner_names(site: Site) -> list[str]:
    """What to call each corner: the compass point it lies to, with a number where two lie to the same."""
    cx, cy = centre_of(site.plan)
    plain = [compass_words((math.copysign(1.0, x - cx), math.copysign(1.0, y - cy))) for x, y in site.plan.corners]
    seen: dict[str, int] = {}
    names = []
    for name in plain:
        seen[name] = seen.get(name, 0) + 1
        names.append(name if seen[name] == 1 else f"{name} {seen[name]}")
    return names


def pieces_of_ground(site: Site, units: str) -> list[tuple[tuple[Point, ...], tuple[str, str], str]]:
    """Pieces of ground that are not like the rest: outline, m, two lines of words, and what the key says of their kind."""
    plot = site.scenario.plot
    found = [(outline, ("soft spot", f"{length(depth).of(units)} deeper"), "soft spot, dug deeper and filled with stone") for outline, depth in plot.soft_spots_m]
    found += [(outline, ("hollow", f"{length(depth).of(units)} deep"), "hollow that the levels do not show, filled with stone") for outline, depth in plot.hollows_m]
    found += [(outline, ("old slab", f"{length(thickness).of(units)} thick"), "old slab, broken out") for outline, thickness in plot.existing_slabs_m]
    return found


def draw_soft_spots(sheet: Sheet, page: Page, site: Site, room: Room, units: str) -> None:
    """Outlines of soft spots, hollows and old slabs, with their depths."""
    for outline, words, _ in pieces_of_ground(site, units):
        points = [page.at(p) for p in outline]
        sheet.path("sp-plan-soft", path_of(points, closed=True))
        room.take(*points, points[0])
        x, y = (sum(p[i] for p in points) / len(points) for i in (0, 1))
        room.place_near("sp-label", words, (x, y))


# What stands round it.


def draw_boundary(sheet: Sheet, page: Page, site: Site, room: Room, units: str) -> None:
    """Boundaries near enough to be drawn, each as far as the building or another boundary lets it run."""
    near = {name: d for name, d in site.scenario.plot.boundary_m.items() if d <= BOUNDARY_SHOWN_M}
    for name, distance in near.items():
        side = site.plan.side(name)
        cut = Cut(side.at(side.length_m / 2, -distance), side.direction)
        chord = cut.chord(page.corners)
        if chord is None:
            continue
        start, end = chord
        for a, b in cut.runs(site.plan.corners):
            start, end = (max(start, b), end) if b < 0.0 else (start, min(end, a)) if a > 0.0 else (start, end)
        for other, its in near.items():
            line = site.plan.side(other)
            rate = cut.along[0] * line.inward[0] + cut.along[1] * line.inward[1]
            inside = line.inside(cut.origin) + its
            if other != name and inside > 0.0 and abs(rate) > 0.05:
                meet = -inside / rate
                start, end = (max(start, meet), end) if meet < 0.0 else (start, min(end, meet))
        a, b = page.at(cut.at(start)), page.at(cut.at(end))
        sheet.line("sp-plan-boundary", a, b)
        room.take(a, b)
        words = f"boundary {length(distance).of(units)}"
        out = (-side.inward[0], side.inward[1])
        places = []
        for at in along([a, b], every=16.0):
            x, y = at.x, at.y - 5.0
            if abs(side.inward[0]) > 0.7:
                beyond, within = (-6.0, 17.0) if out[0] < 0 else (17.0, -6.0)
                places += [Place(x + beyond, y, "middle", -90.0), Place(x + within, y, "middle", -90.0)]
            else:
                beyond, within = (-6.0, 17.0) if out[1] < 0 else (17.0, -6.0)
                places += [Place(x, y + beyond, "middle"), Place(x, y + within, "middle")]
        room.place("sp-label", words, places)


def outward_at(plan: Plan, corner: int) -> Point:
    """Which way out of the building a corner points, on the sheet."""
    before, after = plan.sides[corner - 1].inward, plan.sides[corner].inward
    return (-(before[0] + after[0]), before[1] + after[1])


def draw_corners(sheet: Sheet, page: Page, site: Site, room: Room, units: str) -> None:
    """A dot and the level of the existing ground at each corner."""
    for i, (corner, z) in enumerate(zip(site.plan.corners, site.corner_levels_m)):
        at = page.at(corner)
        sheet.dot(*at)
        room.place_near("sp-figure", level_mark(z).of(units), at, outward_at(site.plan, i))


def draw_north(sheet: Sheet, room: Room) -> None:
    """An arrow to the north at the top right."""
    x, y = WIDTH_UNITS - MARGIN_UNITS - 12.0, MARGIN_UNITS + 20.0
    room.take((x - 8, y), (x + 8, y + 26))
    sheet.path("sp-bar", path_of([(x, y), (x + 8, y + 26), (x, y + 20)], closed=True))
    sheet.path("sp-bar-frame", path_of([(x, y), (x - 8, y + 26), (x, y + 20)], closed=True))
    sheet.write("sp-label", x, y - 5.0, "N", "middle")


# Sizes.


def _runs_with_page(side: Side) -> bool:
    return min(abs(side.direction[0]), abs(side.direction[1])) < 1e-6


def chains_of(plan: Plan) -> dict[str, list[list[float]]]:
    """Dimensions across and up the page, m: rows of marks, from corner to corner first and overall last.

    Empty for a plan none of whose sides runs with the page.
    """
    ends = [p for side in plan.sides if _runs_with_page(side) for p in (side.start, side.at(side.length_m, 0.0))]
    chains: dict[str, list[list[float]]] = {}
    for axis, name in enumerate(("across", "up")):
        marks: list[float] = []
        for value in sorted(p[axis] for p in ends):
            if not marks or value - marks[-1] > 0.001:
                marks.append(value)
        rows = [marks] if len(marks) > 2 else []
        chains[name] = rows + ([[marks[0], marks[-1]]] if len(marks) > 1 else [])
    return chains


def draw_dimensions(sheet: Sheet, page: Page, site: Site, works: Works, room: Room, units: str) -> float:
    """Sizes below and left of the plan, and beside every side that is askew to the page; returns how far down they reach."""
    chains = chains_of(site.plan)
    left, bottom = page.at((page.west, page.south))
    low = bottom + 13.0
    for i, marks in enumerate(_with_room(chains["across"], page, units)):
        low = bottom + 13.0 + i * ROW_UNITS
        _draw_chain(sheet, [page.at((m, 0.0))[0] for m in marks], low, marks, units, up=False)
    for i, marks in enumerate(_with_room(chains["up"], page, units)):
        _draw_chain(sheet, [page.at((0.0, m))[1] for m in marks], left - 13.0 - i * ROW_UNITS, marks, units, up=True)
    for side in site.plan.sides:
        if not _runs_with_page(side):
            out = room_outside_m(site, side, works) + 13.0 / page.scale
            if is_inside(page.corners, side.at(side.length_m / 2, -out)):
                out = reach_m(site.plan, side, works) + 13.0 / page.scale
            _draw_askew(sheet, page, side, out, room, units)
    return low + 17.0


def _with_room(rows: list[list[float]], page: Page, units: str) -> list[list[float]]:
    """The rows whose figures fit beside each other."""
    return [marks for marks in rows if len(marks) == 2 or _figure_places(marks, page.scale, units)]


def _figure_places(marks: Sequence[float], scale: float, units: str) -> list[float]:
    """Where along a row its figures go, drawing units from its start; empty where they do not fit each beside its own length."""
    spans = [((a - marks[0]) * scale, (b - marks[0]) * scale) for a, b in zip(marks, marks[1:])]
    widest = max(text_width(length(b - a).of(units)) for a, b in zip(marks, marks[1:])) + 8.0
    wanted = [(a + b) / 2 for a, b in spans]
    places = spread_out(wanted, widest, -1e6, 1e6)
    if all(abs(place - want) <= (b - a) / 2 + 4.0 for place, want, (a, b) in zip(places, wanted, spans)):
        return places
    return []


def _draw_chain(sheet: Sheet, ends: Sequence[float], across: float, marks: Sequence[float], units: str, up: bool) -> None:
    """One row of dimensions: ticks at its ends and marks, a figure for each stretch."""
    def at(s: float) -> Point:
        return (across, s) if up else (s, across)

    sheet.line("sp-dimension", at(ends[0]), at(ends[-1]))
    for end in ends:
        x, y = at(end)
        sheet.line("sp-tick", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0))
    scale = abs(ends[-1] - ends[0]) / (marks[-1] - marks[0])
    places = _figure_places(marks, scale, units)
    for place, a, b in zip(places, marks, marks[1:]):
        words = length(b - a).of(units)
        if up:
            sheet.write("sp-figure", across - 6.0, ends[0] - place, words, "middle", -90.0)
        else:
            sheet.write("sp-figure", ends[0] + place, across + 17.0, words, "middle")


def _draw_askew(sheet: Sheet, page: Page, side: Side, out: float, room: Room, units: str) -> None:
    a, b = sorted((page.at(side.at(0.0, -out)), page.at(side.at(side.length_m, -out))), key=lambda p: (round(p[0], 3), -p[1]))
    sheet.dimension(a, b, "")
    room.take(a, b)
    turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    # On the far side of the line: further off where that is below the words.
    outward = (-side.inward[0], side.inward[1])
    above = outward[0] * math.sin(math.radians(turn)) - outward[1] * math.cos(math.radians(turn)) > 0.0
    away = 6.0 if above else 17.0
    x, y = (a[0] + b[0]) / 2 + away * outward[0], (a[1] + b[1]) / 2 + away * outward[1]
    sheet.write("sp-figure", x, y, length(side.length_m).of(units), "middle", turn)


# The foot of the sheet.


@dataclass(frozen=True)
class Entry:
    """One line of a drawing's key: a line of a class, or a swatch of a class with a hatch."""

    css: str
    words: str
    hatch: str = ""


CROSS = "sp-deepest"
"""The class of a cross at the deepest place."""


def draw_cross(sheet: Sheet, x: float, y: float) -> None:
    """A cross at a place that is pointed at."""
    for dy in (5.0, -5.0):
        sheet.line(CROSS, (x - 5.0, y - dy), (x + 5.0, y + dy))


def draw_key(sheet: Sheet, page: Page, top: float, entries: Iterable[Entry], units: str) -> None:
    """Scale bar and key below the plan; sets the height of the sheet."""
    y = top + 32.0
    scale_bar(sheet, MARGIN_UNITS, y, page.scale, units)
    x, y = MARGIN_UNITS, y + 26.0
    for entry in entries:
        rows = wrapped(entry.words, WIDTH_UNITS - 2 * MARGIN_UNITS - 34.0)
        room = 34.0 + max(map(text_width, rows)) + 18.0
        if x > MARGIN_UNITS and x + room - 18.0 > WIDTH_UNITS - MARGIN_UNITS:
            x, y = MARGIN_UNITS, y + LINE_UNITS + 4.0
        if entry.hatch:
            sheet.hatched(entry.css, entry.hatch, path_of([(x, y - 13.0), (x + 28.0, y - 13.0), (x + 28.0, y + 3.0), (x, y + 3.0)], closed=True))
        elif entry.css == "sp-dot":
            sheet.dot(x + 14.0, y - 5.0)
        elif entry.css == CROSS:
            draw_cross(sheet, x + 14.0, y - 5.0)
        else:
            sheet.line(entry.css, (x, y - 5.0), (x + 28.0, y - 5.0))
        for i, row in enumerate(rows):
            sheet.write("sp-note", x + 34.0, y + i * LINE_UNITS, row)
        y += (len(rows) - 1) * LINE_UNITS
        x += room
    sheet.height = y + 12.0


def wrapped(words: str, width: float) -> list[str]:
    """Words broken into lines no wider than so many drawing units.

    >>> wrapped("one two three four", 70.0)
    ['one two', 'three', 'four']
    """
    rows = [""]
    for word in words.split():
        longer = f"{rows[-1]} {word}".strip()
        if rows[-1] and text_width(longer) > width:
            rows.append(word)
        else:
            rows[-1] = longer
    return rows


def lines_of_plan(page: Page, room: Room, lines: Iterable[WallLine], *kinds: str) -> str:
    """Path data of the lines of some kinds, which words then keep off."""
    data = []
    for line in lines:
        if line.kind in kinds and (shown := page.clipped(line.start, line.end)):
            room.take(*map(page.at, shown))
            data.append(page.path(shown))
    return "".join(data)


def middle_of(site: Site) -> Point:
    """A point (m) well inside the building: its centre, or where that is near a wall or outside, the roomiest spot."""
    plan = site.plan

    def clear(point: Point) -> float:
        return min(distance_to_side_m(side, point) for side in plan.sides) if is_inside(plan.corners, point) else -1.0

    centre = centre_of(plan)
    if clear(centre) > 1.1:
        return centre
    xs, ys = [x for x, _ in plan.corners], [y for _, y in plan.corners]
    count = 24
    tried = [centre] + [(min(xs) + (max(xs) - min(xs)) * (i + 0.5) / count, min(ys) + (max(ys) - min(ys)) * (j + 0.5) / count)
                        for i in range(count) for j in range(count)]
    return max(tried, key=lambda p: round(clear(p), 3) - 0.05 * math.dist(p, centre))
