"""How damp is kept out at the edge, in cross-section at about 1 to 10: membrane, damp-proof course, cladding, ground.

What is built is cut out of the works; the lines that keep damp out come from
`calculators.damp`, numbered on their way from the ground to the timber, and
each number is explained in words under the drawings.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators import damp
from calculators import works as w
from calculators.damp import DampPath, Segment
from calculators.ground import profile
from calculators.plan import Point, Polygon, clip
from calculators.rules import rules_for
from calculators.site import Door, Site
from calculators.works import Works
from generator.display import gradient, length
from generator.drawings.geometry import Cut, outline
from generator.drawings.placing import Box, Place, Room
from generator.drawings.scale import level_words
from generator.drawings.section import PUT_IN, SUBSOIL_DIGS
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, render, text_width

WIDTH_UNITS = 360.0
"""As wide as a phone: nothing has to be scrolled."""
MARGIN_UNITS = 4.0
OUTSIDE_M = 0.62
INSIDE_M = 0.62
ABOVE_DPC_M = 0.24
"""How much of the wall above is drawn."""
BELOW_M = 0.10
"""How much is drawn under the lowest that is built."""
DEEPEST_M = 1.75
"""Nothing further than this below the damp-proof course is drawn, unless the ground is."""
GROUND_SHOWN_M = 0.25
"""How much of the ground is drawn at least."""
HEAD_UNITS = 20.0
ALIKE_M = 0.02
"""High and low ground that differ by less than this are drawn once."""

PLATE_M = 0.045
"""Thickness of the sole plate, and of a sill."""
BATTEN_M = 0.025
PAVING_M = 0.050
"""Thickness of paving, and of its bed."""
OUTSIDE_BOARD_M = 0.050
"""Insulation outside an edge, as drawn."""
OUTSIDE_COVER_M = 0.010
COVER_INTO_GROUND_M = 0.15
DOOR_STEP_M = 0.190
CHANNEL_M = 0.120
"""Width and depth of a channel drain, as drawn."""
BESIDE_UNITS = 2.6
"""Sheets and coats are drawn this far off what they lie on, or its outline would hide them."""
BALLOON_UNITS = 9.5
LANE_UNITS = 26.0
COVER_STRIP_M = 0.03
"""How far above the damp-proof course a strip over insulation outside comes out of the wall."""

CSS_OF = {
    damp.UNDER_SLAB: "sp-damp-membrane", damp.UNDER_EDGE: "sp-damp-membrane", damp.TURNED_UP: "sp-damp-membrane",
    damp.EDGE_STRIP: "sp-damp-strip", damp.SILL_STRIP: "sp-damp-strip", damp.DAMP_PROOF_COURSE: "sp-damp-course", damp.BURIED_FACE: "sp-damp-render",
}
"""How each part of a path is drawn; what is not here is a body."""


@dataclass(frozen=True)
class View:
    """One drawing and what to say under it: words of its heading, numbered parts, and sentences."""

    heading: str
    sheet: Sheet
    parts: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Frame:
    """Where a place in the cross-section (inward, level), m, comes to lie on the sheet; `scale` is units to a metre."""

    left_m: float
    right_m: float
    top_m: float
    bottom_m: float

    @property
    def scale(self) -> float:
        return (WIDTH_UNITS - 2 * MARGIN_UNITS) / (self.right_m - self.left_m)

    def x(self, inward_m: float) -> float:
        return MARGIN_UNITS + (inward_m - self.left_m) * self.scale

    def y(self, level_m: float) -> float:
        return HEAD_UNITS + (self.top_m - level_m) * self.scale

    def at(self, point: Point) -> Point:
        return (self.x(point[0]), self.y(point[1]))

    def within(self, polygon: Polygon) -> Polygon:
        """What of a convex polygon (inward, level), m, is on the sheet."""
        for limit in ((1.0, 0.0, -self.left_m), (-1.0, 0.0, self.right_m), (0.0, 1.0, -self.bottom_m), (0.0, -1.0, self.top_m)):
            polygon = clip(polygon, *limit) if polygon else polygon
        return polygon


def damp_detail_svg(site: Site, works: Works, units: str, id_prefix: str) -> str:
    """The edge of one scheme in cross-section, high side, low side and door, with its numbered parts, as markup.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    return render("damp.html.j2", views=damp_views(site, works, units, id_prefix), prefix=id_prefix)


def damp_additions_svg(site: Site, works: Works, units: str, id_prefix: str) -> str:
    """What may be added or go wrong at the edge: insulation outside it, paving against it, a torn membrane; as `damp_detail_svg`."""
    return render("damp.html.j2", views=damp_addition_views(site, works, units, id_prefix), prefix=id_prefix)


def damp_views(site: Site, works: Works, units: str, id_prefix: str) -> tuple[View, ...]:
    """The drawings of one scheme's edge, placed but not yet written as markup."""
    high = max(site.plan.sides, key=lambda side: (round(damp.ground_m(site, side, damp.highest_at_m(site, side)), 3), round(_mean_m(site, side), 3)))
    low = min(site.plan.sides, key=lambda side: (round(damp.ground_m(site, side, damp.lowest_at_m(site, side)), 3), round(_mean_m(site, side), 3)))
    top = damp.damp_path(site, works, high)
    bottom = damp.damp_path(site, works, low, damp.lowest_at_m(site, low))
    if abs(top.ground_m - bottom.ground_m) < ALIKE_M:
        views = [_edge_view(site, works, units, f"{id_prefix}-edge", top, f"Edge, {high.name} side", "the other sides are alike")]
    else:
        views = [
            _edge_view(site, works, units, f"{id_prefix}-high", top, f"High side, {high.name}", "where the ground is highest"),
            _edge_view(site, works, units, f"{id_prefix}-low", bottom, f"Low side, {low.name}", "where the ground is lowest"),
        ]
    if site.doors:
        door = min(site.doors, key=lambda door: round(works.floor_level_m - door.ground_m, 6))
        views.append(_door_view(site, works, units, f"{id_prefix}-door", door))
    return tuple(views)


def damp_addition_views(site: Site, works: Works, units: str, id_prefix: str) -> tuple[View, ...]:
    """The drawings of what may be added or go wrong, placed but not yet written as markup."""
    high = max(site.plan.sides, key=lambda side: (round(damp.ground_m(site, side, damp.highest_at_m(site, side)), 3), round(_mean_m(site, side), 3)))
    return (_outside_view(site, works, units, f"{id_prefix}-outside", damp.damp_path(site, works, high)), _tear_view(site, units, f"{id_prefix}-tear"))


def _mean_m(site: Site, side) -> float:
    marks = profile(site.ground, side.start, side.at(side.length_m, 0.0))
    return sum(z for _, z in marks) / len(marks)


# What is cut.


@dataclass(frozen=True)
class _Edge:
    """One cross-section: its cut, its frame and its path; `head_m` is the level at which the foundation ends there."""

    site: Site
    works: Works
    path: DampPath
    frame: _Frame
    cut: Cut
    head_m: float

    def of(self, *parts: str) -> list[Polygon]:
        """What the cut shows of some parts, (inward, level), m, no higher than the foundation's head."""
        shown = [polygon for solid in self.works.solids if solid.part in parts
                 for polygon in self.cut.through(solid.pieces, self.frame.left_m, self.frame.right_m)]
        shown = [clip(self.frame.within(polygon), 0.0, -1.0, self.head_m) if self.frame.within(polygon) else () for polygon in shown]
        return [polygon for polygon in shown if polygon]

    def ground(self, surface, from_m: float, to_m: float) -> list[Point]:
        return [(from_m + s, z) for s, z in profile(surface, self.cut.at(from_m), self.cut.at(to_m))]


def _edge(site: Site, works: Works, path: DampPath, head_m: float, above_m: float) -> _Edge:
    side = path.side
    cut = Cut(side.at(path.along_m + 1e-5, 0.0), side.inward)
    raft = damp.is_raft(works)
    inner = max(path.floor[0].points[-1][0], damp.wall_m(works))
    right = min(max(INSIDE_M, inner + 0.12), 1.15)
    foundation = cut.through([piece for solid in works.solids if solid.part in (w.FOOTING, w.SLAB, w.SUB_BASE, w.BATTER) for piece in solid.pieces], -OUTSIDE_M, right)
    if not raft:
        # A footing is as wide as it is; more than its projection says nothing.
        footing = cut.through([piece for solid in works.solids if solid.part == w.FOOTING for piece in solid.pieces], -1.5, right)
        left = min([-OUTSIDE_M] + [polygon[0][0] - 0.12 for polygon in footing])
    else:
        left = -OUTSIDE_M
    lowest = min(z for polygon in foundation for _, z in polygon)
    bottom = max(lowest - BELOW_M, min(head_m - DEEPEST_M, path.ground_m - GROUND_SHOWN_M))
    return _Edge(site, works, path, _Frame(left, right, above_m, bottom), cut, head_m)


def _draw_cut(sheet: Sheet, edge: _Edge) -> None:
    """Earth, what is dug out of it, and what is put in."""
    frame, site = edge.frame, edge.site
    stripped = edge.ground(site.stripped, frame.left_m, frame.right_m)
    _body(sheet, frame, "sp-earth", "subsoil", [((a[0], frame.bottom_m), (b[0], frame.bottom_m), b, a) for a, b in zip(stripped, stripped[1:])])
    top = edge.ground(site.ground, frame.left_m, 0.0)
    _body(sheet, frame, "sp-earth sp-topsoil", "topsoil", [((a[0], a[1] - site.scenario.plot.topsoil_m), (b[0], b[1] - site.scenario.plot.topsoil_m), b, a) for a, b in zip(top, top[1:])])
    inside = edge.ground(site.ground, 0.0, frame.right_m)
    off = [((a[0], a[1] - site.scenario.plot.topsoil_m - 0.001), (b[0], b[1] - site.scenario.plot.topsoil_m - 0.001), b, a) for a, b in zip(inside, inside[1:])]
    sheet.path("sp-void", _loops(frame, [frame.within(polygon) for polygon in off]) + _loops(frame, edge.of(*SUBSOIL_DIGS)))
    for material, parts in PUT_IN:
        _body(sheet, frame, f"sp-{material}", material, edge.of(*parts), put_in=True)
    sheet.line("sp-damp-ground", *[frame.at(p) for p in top])


def _body(sheet: Sheet, frame: _Frame, css: str, material: str, polygons: Sequence[Polygon], put_in: bool = False) -> None:
    sheet.hatched(f"sp-body {css}" if put_in else css, material, _loops(frame, [frame.within(polygon) for polygon in polygons]))


def _loops(frame: _Frame, polygons: Sequence[Polygon]) -> str:
    return "".join(path_of([frame.at(point) for point in loop], closed=True) for loop in outline([polygon for polygon in polygons if polygon]))


# What keeps damp out.


def _line_of(frame: _Frame, segment: Segment) -> list[Point]:
    """A segment in drawing units, moved off the face it lies on."""
    moved = {damp.EDGE_STRIP: -2.2 * BESIDE_UNITS, damp.BURIED_FACE: -BESIDE_UNITS}.get(segment.what, 0.0)
    if segment.what == damp.TURNED_UP and segment.points[0][0] == 0.0:
        moved = -BESIDE_UNITS
    points = []
    for inward, level in segment.points:
        x, y = frame.at((min(inward, frame.right_m), level))
        points.append((x + moved if inward < 1e-9 or segment.what not in (damp.EDGE_STRIP, damp.BURIED_FACE) else x, y))
    return points


def _draw_path(sheet: Sheet, room: Room, frame: _Frame, segments: Sequence[Segment]) -> None:
    for segment in segments:
        css = CSS_OF.get(segment.what)
        if css is None:
            continue
        for line in _on_sheet(_line_of(frame, segment), frame.y(frame.bottom_m)):
            sheet.line(css, *line)
            room.take(*line)


def _on_sheet(line: Sequence[Point], lowest: float) -> list[list[Point]]:
    """The stretches of a line that lie above the lower edge of a drawing (drawing units, down).

    >>> _on_sheet([(0.0, 10.0), (0.0, 30.0), (5.0, 30.0), (5.0, 10.0)], 20.0)
    [[(0.0, 10.0), (0.0, 20.0)], [(5.0, 20.0), (5.0, 10.0)]]
    """
    runs: list[list[Point]] = []
    for (xa, ya), (xb, yb) in zip(line, line[1:]):
        if min(ya, yb) >= lowest:
            continue
        across = xa + (xb - xa) * (lowest - ya) / (yb - ya) if max(ya, yb) > lowest else 0.0
        a = (xa, ya) if ya <= lowest else (across, lowest)
        b = (xb, yb) if yb <= lowest else (across, lowest)
        if runs and runs[-1][-1] == a:
            runs[-1].append(b)
        else:
            runs.append([a, b])
    return runs


def _target(frame: _Frame, segment: Segment) -> Point:
    """Where on a segment its number points: the middle of its longest stretch that is on the sheet."""
    runs = _on_sheet(_line_of(frame, segment), frame.y(frame.bottom_m))
    a, b = max((pair for run in runs for pair in zip(run, run[1:])), key=lambda pair: math.dist(*pair))
    if segment.what == damp.EDGE_STRIP:
        # Above the end of the membrane, where the strip alone is.
        return (a[0], b[1] + 0.3 * (a[1] - b[1]))
    if segment.what == damp.TURNED_UP and a[0] == b[0]:
        return (a[0], max(a[1], b[1]) - 0.3 * abs(a[1] - b[1]))
    return ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)


def _balloon(sheet: Sheet, room: Room, number: int, at: Point, away: Point) -> None:
    """A number in a ring near a point, with a line to it, on nothing else where that can be."""
    least, centre = math.inf, at
    for cost, place in _ring_places(at, away):
        if cost >= least:
            break
        cost += 5.0 * _hindered(sheet, room, place, at)
        if cost < least:
            least, centre = cost, place
    reach = math.dist(centre, at)
    edge = (centre[0] + (at[0] - centre[0]) * BALLOON_UNITS / reach, centre[1] + (at[1] - centre[1]) * BALLOON_UNITS / reach)
    sheet.line("sp-leader", edge, at)
    sheet.dot(*at)
    x, y, r = centre[0], centre[1], BALLOON_UNITS
    sheet.path("sp-damp-balloon", f"M{x - r:.1f} {y:.1f}a{r:.1f} {r:.1f} 0 1 0 {2 * r:.1f} 0a{r:.1f} {r:.1f} 0 1 0 {-2 * r:.1f} 0z")
    sheet.write("sp-damp-number", x, y + 4.6, str(number), "middle")
    left, top, right, bottom = _ring_box(centre)
    room.take((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    room.take(edge, at)


def _ring_places(at: Point, away: Point) -> list[tuple[float, Point]]:
    """Places for a ring round a point, those that lie near it and most to one side first, with what speaks against each."""
    found = []
    for distance in (25.0, 34.0, 44.0, 56.0, 70.0, 86.0):
        for turn in range(0, 360, 15):
            dx, dy = math.cos(math.radians(turn)), math.sin(math.radians(turn))
            bend = 1.0 - (dx * away[0] + dy * away[1]) / math.hypot(*away)
            found.append((round(distance / 25.0 + 1.2 * bend, 6), (at[0] + distance * dx, at[1] + distance * dy)))
    return sorted(found)


def _ring_box(centre: Point) -> Box:
    r = BALLOON_UNITS + 1.5
    return (centre[0] - r, centre[1] - r, centre[0] + r, centre[1] + r)


def _hindered(sheet: Sheet, room: Room, centre: Point, at: Point) -> float:
    """How much a number in a ring would lie on or off: words and the sheet's edge count most, lines less."""
    box = _ring_box(centre)
    left, top, right, bottom = room.limits
    bad = 10.0 if box[0] < left or box[1] < top or box[2] > right or box[3] > bottom else 0.0
    for text in sheet.texts:
        words = text.box
        if box[0] < words[2] and words[0] < box[2] and box[1] < words[3] and words[1] < box[3]:
            bad += 10.0
        if _touches(words, centre, at):
            bad += 3.0
    short = (at[0] + 0.12 * (centre[0] - at[0]), at[1] + 0.12 * (centre[1] - at[1]))
    for a, b in room.lines:
        if _touches(box, a, b):
            bad += 1.0
        if _cross(centre, short, a, b):
            bad += 0.7
    return bad


def _touches(box: Box, a: Point, b: Point) -> bool:
    """Whether a stretch begins in a box or crosses one of its sides."""
    left, top, right, bottom = box
    if max(a[0], b[0]) <= left or min(a[0], b[0]) >= right or max(a[1], b[1]) <= top or min(a[1], b[1]) >= bottom:
        return False
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return (left < a[0] < right and top < a[1] < bottom) or any(_cross(a, b, c, d) for c, d in zip(corners, corners[1:] + corners[:1]))


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether two stretches cross."""
    def turn(p: Point, q: Point, s: Point) -> float:
        return (q[0] - p[0]) * (s[1] - p[1]) - (q[1] - p[1]) * (s[0] - p[0])
    return turn(a, b, c) * turn(a, b, d) < 0.0 and turn(c, d, a) * turn(c, d, b) < 0.0


# The wall above.


def _draw_wall_above(sheet: Sheet, edge: _Edge, covered_m: float = 0.0) -> Point:
    """Sole plate, frame, batten and cladding, or a block wall; where the number of the outermost points, drawing units.

    covered_m: how far a cover of insulation outside stands out, m.
    """
    frame, path, site = edge.frame, edge.path, edge.site
    wall, dpc, top = damp.wall_m(edge.works), path.dpc_m, edge.frame.top_m
    if site.scenario.building.walls != "timber frame":
        sheet.hatched("sp-body sp-block", "block", _loops(frame, [frame.within(((0.0, dpc), (wall, dpc), (wall, top), (0.0, top)))]))
        return frame.at((0.0, dpc + 0.1))
    plate = path.floor[-1].points[1][0]
    _timber(sheet, frame, 0.0, dpc, plate, dpc + PLATE_M)
    sheet.line("sp-ghost", frame.at((0.0, dpc + PLATE_M)), frame.at((0.0, top)))
    sheet.line("sp-ghost", frame.at((plate, dpc + PLATE_M)), frame.at((plate, top)))
    out, lower = damp.CLADDING_OUT_M.value, damp.cladding_foot_m(path.highest_m, dpc, site.rules.region)
    hangs = lower < dpc - 1e-9
    if covered_m > 0.0:
        lower = dpc + COVER_STRIP_M
    # The lower edge of the boards is cut to a slope, so that drops fall from its front.
    _timber(sheet, frame, -BATTEN_M, max(dpc, lower), 0.0, top, cross=False)
    sheet.path("sp-body sp-damp-timber", path_of([frame.at(p) for p in ((-BATTEN_M, top), (-out, top), (-out, lower), (-BATTEN_M, lower + 0.012))], closed=True))
    if covered_m == 0.0 and not hangs:
        drip = [(0.0, dpc), (-out - 0.01, dpc - 0.006), (-out - 0.01, dpc - 0.03)]
        sheet.line("sp-damp-metal", *[frame.at(p) for p in drip])
    return frame.at((-(out + BATTEN_M) / 2, (max(lower, dpc) + top) / 2))


def _timber(sheet: Sheet, frame: _Frame, left: float, bottom: float, right: float, top: float, cross: bool = True) -> None:
    corners = [frame.at(p) for p in ((left, bottom), (right, bottom), (right, top), (left, top))]
    sheet.path("sp-body sp-damp-timber", path_of(corners, closed=True))
    if cross:
        sheet.path("sp-damp-cross", path_of([corners[0], corners[2]]) + path_of([corners[1], corners[3]]))


# Words.


def _names(site: Site, works: Works) -> dict[str, str]:
    """Short names of what is cut, by part."""
    insulation = getattr(site.scenario.schemes[works.scheme], "insulation", "")
    return {w.SLAB: "slab", w.BLOCKWORK: "block", w.FOOTING: "footing", w.SUB_BASE: "stone", w.TRENCH_STONE: "stone", w.BATTER: "stone", w.DRAIN_STONE: "drain stone",
            w.INSULATION: insulation, w.BACKFILL: "backfill"}


def _write_names(sheet: Sheet, room: Room, edge: _Edge) -> None:
    """Names of materials in the middle of each, where there is room; the key to the drawings has the rest."""
    said = set()
    for part, name in _names(edge.site, edge.works).items():
        if not name or name in said:
            continue
        polygons = sorted(edge.of(part), key=_size, reverse=True)
        if not polygons:
            continue
        places = []
        for polygon in polygons[:3]:
            (a, c), (b, d) = [(min(axis), max(axis)) for axis in zip(*polygon)]
            inside = [(a + (c - a) * i / 8, b + (d - b) * j / 6) for i in range(1, 8) for j in range(1, 6)]
            inside = [p for p in inside if _contains(polygon, p)]
            inside.sort(key=lambda p: abs(p[0] - (a + c) / 2) / (c - a) + abs(p[1] - (b + d) / 2) / (d - b))
            level = [Place(x, y + 5.0, "middle") for x, y in map(edge.frame.at, inside)]
            # A name in a wall is written up it.
            places += [Place(edge.frame.x((a + c) / 2) + 5.0, place.y, "middle", -90.0) for place in level if part == w.BLOCKWORK] + level
        if room.place("sp-label", name, places, must=False):
            said.add(name)


def _size(polygon: Polygon) -> float:
    return abs(sum(xa * zb - xb * za for (xa, za), (xb, zb) in zip(polygon, polygon[1:] + polygon[:1])))


def _contains(polygon: Polygon, point: Point) -> bool:
    sides = [(xb - xa) * (point[1] - za) - (zb - za) * (point[0] - xa) for (xa, za), (xb, zb) in zip(polygon, polygon[1:] + polygon[:1])]
    return all(side >= 0.0 for side in sides) or all(side <= 0.0 for side in sides)


def _sheet_of(edge: _Edge, prefix: str, title: str) -> tuple[Sheet, Room]:
    sheet = Sheet(prefix, title)
    frame = edge.frame
    sheet.width, sheet.height = WIDTH_UNITS, frame.y(frame.bottom_m) + MARGIN_UNITS
    return sheet, Room(sheet, (1.0, 1.0, WIDTH_UNITS - 1.0, sheet.height - 1.0))


def _write_sides(sheet: Sheet) -> None:
    sheet.write("sp-note", MARGIN_UNITS, 14.0, "outside")
    sheet.write("sp-note", WIDTH_UNITS - MARGIN_UNITS, 14.0, "inside", "end")


def _clearance(sheet: Sheet, room: Room, edge: _Edge, level_m: float, units: str, out_m: float) -> None:
    """From the ground up to a level, with its figure; and the least that the rule asks, where it is another."""
    frame, ground = edge.frame, edge.path.ground_m
    least = edge.site.rules.dpc_above_ground_m.value
    words = length(level_m - ground).of(units)
    # Room is left for numbers between the wall and the dimension.
    x = frame.x(-out_m) - LANE_UNITS
    top, bottom = (x, frame.y(level_m)), (x, frame.y(ground))
    sheet.line("sp-extension", (x - 6.0, top[1]), (frame.x(-0.002), top[1]))
    sheet.dimension(top, bottom, "")
    room.take(top, bottom)
    middle = (top[1] + bottom[1]) / 2 + 5.0
    if abs(level_m - ground - least) < 0.0005:
        sheet.write("sp-figure", x - 7.0, middle - 0.5 * LINE_UNITS, words, "end")
        sheet.write("sp-note", x - 7.0, middle + 0.5 * LINE_UNITS, "the least", "end")
        return
    y = frame.y(ground + least)
    from_x = MARGIN_UNITS
    sheet.line("sp-damp-least", (from_x, y), (frame.x(0.0), y))
    room.take((from_x, y), (frame.x(0.0), y))
    said = f"least {length(least).of(units)}"
    # The figure keeps off the line of the least height and off its words.
    y_words = y + 15.0 if bottom[1] - y > 22.0 else y - 5.0
    taken = (y_words - 13.0, y_words + 3.0)
    figure_y = middle
    if taken[0] - 14.0 < figure_y < taken[1] + 14.0 or abs(figure_y - 5.0 - y) < 10.0:
        figure_y = min(y - 5.0, taken[0] - 2.0) if y - top[1] > 22.0 else top[1] + 5.0
    if text_width(words) < x - 7.0 - MARGIN_UNITS:
        sheet.write("sp-figure", x - 7.0, figure_y, words, "end")
    else:
        sheet.write("sp-figure", x - 6.0, top[1] + 8.0, words, "end", -90.0)
    sheet.write("sp-note", from_x, y_words, said)


def _number_all(sheet: Sheet, room: Room, edge: _Edge, segments: Sequence[Segment], extra: Sequence[Point] = ()) -> None:
    """A number for each segment, and for what else is pointed at, in order."""
    frame = edge.frame
    aways = {
        damp.UNDER_SLAB: (0.3, 1.0), damp.UNDER_EDGE: (0.0, 1.0), damp.EDGE_STRIP: (-1.0, 0.1), damp.BURIED_FACE: (-1.0, 0.2), damp.DAMP_PROOF_COURSE: (1.0, 0.4),
        damp.SOLE_PLATE: (1.0, -0.4), damp.BLOCK_WALL: (1.0, -0.4), damp.SILL_STRIP: (0.2, 1.0), damp.SILL: (1.0, -0.6),
    }
    for number, segment in enumerate(segments, start=1):
        outside = segment.what == damp.TURNED_UP and segment.points[0][0] == 0.0
        away = aways.get(segment.what, (-1.0, 0.2) if outside else (1.0, -0.3))
        at = _target(frame, segment)
        if segment.what in (damp.SOLE_PLATE, damp.SILL):
            at = (at[0] + 0.25 * (frame.x(segment.points[1][0]) - frame.x(0.0)), at[1] - PLATE_M / 2 * frame.scale)
        if segment.what == damp.BLOCK_WALL:
            at = (at[0], at[1] - 0.1 * frame.scale)
        if segment.what == damp.DAMP_PROOF_COURSE:
            at = (frame.x(segment.points[1][0]) - 4.0, at[1])
        _balloon(sheet, room, number, at, away)
    for number, at in enumerate(extra, start=len(segments) + 1):
        _balloon(sheet, room, number, at, (-1.0, -0.5))


def _said(m: float, units: str) -> str:
    """A length in a sentence, its figure and unit on one line."""
    return length(m).of(units).replace(" ", "\u00a0")


def part_words(segment: Segment, units: str) -> str:
    """A numbered part in words.

    >>> part_words(Segment("membrane turned up", ((0.0, 0.0), (0.0, 0.3)), "polythene sheet", 0.15), "metric")
    'Membrane turned up: polythene sheet, lapped 150\xa0mm with the next.'
    """
    lap = f", lapped {_said(segment.lap_m, units)} with the next" if segment.lap_m else ""
    return f"{segment.what[0].upper()}{segment.what[1:]}: {segment.material}{lap}."


def _cladding_words(path: DampPath, site: Site) -> str:
    if damp.cladding_foot_m(path.highest_m, path.dpc_m, site.rules.region) < path.dpc_m - 1e-9:
        return "Cladding: hangs past the face below it and past the damp-proof course, its lower edge cut to a drip."
    return "Cladding: hangs past the face below it. There is no room for it below the damp-proof course: a metal drip turns down there."


# Views.


def _in_order(path: DampPath) -> tuple[Segment, ...]:
    """From the ground outside, through the floor's membrane, to the timber."""
    return (*path.face, *path.floor)


def _edge_view(site: Site, works: Works, units: str, prefix: str, path: DampPath, heading: str, where: str) -> View:
    edge = _edge(site, works, path, path.dpc_m, path.dpc_m + ABOVE_DPC_M)
    sheet, room = _sheet_of(edge, prefix, f"Damp-proofing of the edge: {heading[0].lower()}{heading[1:]}")
    timber = site.scenario.building.walls == "timber frame"
    _draw_cut(sheet, edge)
    cladding = _draw_wall_above(sheet, edge)
    segments = _in_order(path)
    _draw_path(sheet, room, edge.frame, segments)
    _write_sides(sheet)
    _clearance(sheet, room, edge, path.dpc_m, units, damp.CLADDING_OUT_M.value + 0.01 if timber else 0.01)
    _number_all(sheet, room, edge, segments, [cladding] if timber else [])
    _write_names(sheet, room, edge)
    parts = [part_words(segment, units) for segment in segments]
    if timber:
        parts.append(_cladding_words(path, site))
    sheet.description = _description(site, works, path, units, heading, where, parts)
    return View(heading, sheet, tuple(parts), _edge_notes(path, edge, units))


def _edge_notes(path: DampPath, edge: _Edge, units: str) -> tuple[str, ...]:
    notes = []
    least = path.dpc_m - path.highest_m
    if path.highest_m > path.ground_m + 0.0005:
        notes.append(f"Elsewhere on this side the ground stands higher: the damp-proof course is there {_said(least, units)} above it.")
    lowest = min(z for solid in edge.works.solids if solid.part in (w.FOOTING, w.SLAB, w.SUB_BASE) for polygon in edge.cut.through(solid.pieces, edge.frame.left_m, edge.frame.right_m) for _, z in polygon)
    if lowest < edge.frame.bottom_m - 0.0005:
        notes.append(f"It goes on down below the drawing, to {_said(path.dpc_m - lowest, units)} below the damp-proof course.")
    return tuple(notes)


def _description(site: Site, works: Works, path: DampPath, units: str, heading: str, where: str, parts: Sequence[str]) -> str:
    rise = path.dpc_m - path.ground_m
    return " ".join([
        f"Cross-section through the edge, {heading[0].lower()}{heading[1:]}, {where}; outside on the left.",
        f"Floor {level_words(path.floor_m, units)}. Damp-proof course {_said(rise, units)} above the ground outside; the least is {_said(site.rules.dpc_above_ground_m.value, units)}.",
        "From the ground to the timber:", *(f"{number}. {words}" for number, words in enumerate(parts, start=1)),
    ])


def _door_view(site: Site, works: Works, units: str, prefix: str, door: Door) -> View:
    """The wall at a door: no upstand, the sill on its own strip; a channel drain or a step outside."""
    path = damp.door_path(site, works, door)
    floor, rise = works.floor_level_m, works.floor_level_m - path.ground_m
    edge = _edge(site, works, path, floor, floor + 0.42)
    heading = f"Door, {door.side.name} side"
    sheet, room = _sheet_of(edge, prefix, f"Damp-proofing at the door: {door.side.name} side")
    frame, wall = edge.frame, damp.wall_m(works)
    _draw_cut(sheet, edge)
    segments = _in_order(path)
    # The sill overhangs and falls outward; the door's leaf is hinted at.
    sill = ((-0.05, floor + 0.004), (wall, floor + 0.012), (wall, floor + PLATE_M + 0.012), (-0.05, floor + PLATE_M - 0.006))
    sheet.path("sp-body sp-damp-timber", path_of([frame.at(p) for p in sill], closed=True))
    for inward in (0.03, 0.075):
        sheet.line("sp-ghost", frame.at((inward, floor + PLATE_M + 0.01)), frame.at((inward, frame.top_m)))
    _draw_path(sheet, room, frame, segments)
    back = [(wall, floor), (wall + 0.006, floor + PLATE_M + 0.01)]
    sheet.line("sp-damp-strip", *[frame.at(p) for p in back])
    channel = site.scenario.building.door_threshold == "channel drain" and rise < site.rules.floor_above_ground_at_door_m.value - 1e-9
    notes, extra, more = [], [], []
    if channel:
        left, right, top = -0.02 - CHANNEL_M, -0.02, path.ground_m
        box = [(left, top), (left, top - CHANNEL_M), (right, top - CHANNEL_M), (right, top)]
        sheet.path("sp-void", path_of([frame.at(p) for p in box], closed=True))
        sheet.line("sp-damp-channel", *[frame.at(p) for p in box])
        sheet.line("sp-damp-grating", frame.at(box[0]), frame.at(box[3]))
        extra.append(frame.at(((left + right) / 2, top - CHANNEL_M)))
        more.append("Channel drain: clear of the sill, with an outfall; the damp-proofing goes down behind it.")
    elif rise > DOOR_STEP_M:
        top, bottom = floor - DOOR_STEP_M, path.ground_m
        left = -0.40
        block = [(left, bottom - 0.03), (-0.03, bottom - 0.03), (-0.03, top), (left, top)]
        sheet.hatched("sp-body sp-concrete", "concrete", path_of([frame.at(p) for p in block], closed=True))
        extra.append(frame.at((left + 0.08, top)))
        more.append("Step: stands clear of the wall, so that it carries no damp to it." + (" More steps go down from it." if rise > 2 * DOOR_STEP_M else ""))
    _write_sides(sheet)
    _rise(sheet, room, edge, floor, units)
    _number_all(sheet, room, edge, segments, extra)
    _write_names(sheet, room, edge)
    parts = [*(part_words(segment, units) for segment in segments), *more]
    notes.append("Upstand or knee wall stop beside the door: turn their damp-proof course down at the opening and lap it on the strip under the sill.")
    others = len({round(works.floor_level_m - other.ground_m, 3) for other in site.doors}) > 1
    if others:
        notes.append("Other doors stand higher above their ground.")
    sheet.description = " ".join([
        f"Cross-section through the sill of the {door.side.name} door; outside on the left. Floor {length(abs(rise)).of(units)} {'above' if rise >= 0 else 'below'} the ground there.",
        "From the ground to the sill:", *(f"{number}. {words}" for number, words in enumerate(parts, start=1))])
    return View(heading, sheet, tuple(parts), tuple(notes))


def _rise(sheet: Sheet, room: Room, edge: _Edge, floor: float, units: str) -> None:
    """From the ground at a door up to the floor."""
    frame, ground = edge.frame, edge.path.ground_m
    if abs(floor - ground) < 0.0005:
        return
    x = frame.x(edge.frame.left_m) + 24.0
    ends = sorted((frame.y(floor), frame.y(ground)))
    sheet.line("sp-extension", (x - 6.0, frame.y(floor)), (frame.x(0.0), frame.y(floor)))
    sheet.dimension((x, ends[0]), (x, ends[1]), "")
    room.take((x, ends[0]), (x, ends[1]))
    words = length(abs(floor - ground)).of(units)
    middle = (ends[0] + ends[1]) / 2
    # Written up the line where it is long enough, or a step would stand in the way.
    if ends[1] - ends[0] > text_width(words) and middle + text_width(words) / 2 < sheet.height - 2.0:
        sheet.write("sp-figure", x - 5.0, middle, words, "middle", -90.0)
    else:
        sheet.write("sp-figure", x + 7.0, ends[0] - 6.0, words)


def _outside_view(site: Site, works: Works, units: str, prefix: str, path: DampPath) -> View:
    """Insulation outside the edge with its cover and its strip, and paving against it."""
    edge = _edge(site, works, path, path.dpc_m, path.dpc_m + ABOVE_DPC_M)
    heading = "Insulation outside the edge, paving against it"
    sheet, room = _sheet_of(edge, prefix, heading)
    frame, dpc = edge.frame, path.dpc_m
    _draw_cut(sheet, edge)
    foot = max(path.face[0].points[0][1] if path.face else min(z for segment in path.floor for _, z in segment.points), frame.bottom_m)
    thick, cover = OUTSIDE_BOARD_M, OUTSIDE_COVER_M
    out = thick + cover
    highest = damp.greatest_paving_level_m(dpc, site.rules.region)
    paving = min(highest, path.ground_m)
    # Paving falls away from the wall, on its bed; what stands above it is taken away.
    reach, fall = frame.left_m, damp.PAVING_FALL.value
    far = paving + (reach + out) * fall
    sheet.path("sp-void", path_of([frame.at(p) for p in ((reach, path.ground_m + 0.3), (-out, path.ground_m + 0.3), (-out, paving), (reach, far))], closed=True))
    for css, material, upper, lower in (("sp-body sp-sand", "sand", PAVING_M, 2 * PAVING_M), ("sp-body sp-concrete", "concrete", 0.0, PAVING_M)):
        sheet.hatched(css, material, path_of([frame.at(p) for p in ((-out, paving - upper), (reach, far - upper), (reach, far - lower), (-out, paving - lower))], closed=True))
    top = dpc + 0.005
    sheet.hatched("sp-body sp-insulation", "insulation", path_of([frame.at(p) for p in ((-thick, foot), (0.0, foot), (0.0, top), (-thick, top))], closed=True))
    covered = max(foot, paving - COVER_INTO_GROUND_M)
    sheet.path("sp-body sp-damp-cover", path_of([frame.at(p) for p in ((-out, covered), (-thick, covered), (-thick, top), (-out, top))], closed=True))
    _draw_wall_above(sheet, edge, out)
    lower, drip = dpc + COVER_STRIP_M, -out - 0.02
    strip = [frame.at(p) for p in ((0.0, lower + 0.02), (drip, lower - 0.025), (drip, lower - 0.06))]
    sheet.line("sp-damp-metal", *strip)
    room.take(*strip)
    segments = _in_order(path)
    _draw_path(sheet, room, frame, segments)
    _write_sides(sheet)
    x = frame.x(-out) - LANE_UNITS
    sheet.line("sp-extension", (x - 6.0, frame.y(dpc)), (frame.x(0.0), frame.y(dpc)))
    drawn = dpc - (paving - LANE_UNITS / frame.scale * fall)
    sheet.dimension((x, frame.y(dpc)), (x, frame.y(dpc - drawn)), "")
    room.take((x, frame.y(dpc)), (x, frame.y(dpc - drawn)))
    least = length(site.rules.dpc_above_ground_m.value).of(units)
    middle = (frame.y(dpc) + frame.y(dpc - drawn)) / 2 + 5.0
    sheet.write("sp-figure", x - 7.0, middle - 0.5 * LINE_UNITS, least, "end")
    sheet.write("sp-note", x - 7.0, middle + 0.5 * LINE_UNITS, "or more", "end")
    targets = [
        (frame.at((-thick / 2, (foot + covered) / 2 if covered - foot > 0.08 else (foot + top) / 2)), (-1.0, 0.4)),
        (frame.at((-out + cover / 2, (paving + dpc) / 2)), (-1.0, 0.6)),
        (frame.at((-out - 0.012, dpc + 0.012)), (-1.0, -0.6)),
        (frame.at((-out - 0.25, paving - 0.25 * fall)), (-0.3, 1.0)),
        (frame.at((damp.wall_m(works) - 0.01, dpc)), (1.0, 0.3)),
    ]
    for number, (at, away) in enumerate(targets, start=1):
        _balloon(sheet, room, number, at, away)
    _write_names(sheet, room, edge)
    parts = (
        "Board that takes up no water, without a break from the cladding down past the edge.",
        f"Hard cover over all that would show, and {_said(COVER_INTO_GROUND_M, units)} into the ground: sun, feet and mowers break bare board.",
        "Metal strip from behind the cladding or render out over board and cover, with a drip. Without it rain runs in behind the board.",
        f"Paving or stone: its top {_said(site.rules.dpc_above_ground_m.value, units)} or more below the damp-proof course, falling {gradient(fall)} away from the wall.",
        "Damp-proof course. Nothing outside may bridge it.",
    )
    sheet.description = " ".join([f"Cross-section through the edge, {path.side.name} side; outside on the left.", *(f"{number}. {words}" for number, words in enumerate(parts, start=1))])
    notes = ("Neither is counted in the quantities or the heat.",)
    return View(heading, sheet, parts, notes)


def _tear_view(site: Site, units: str, prefix: str) -> View:
    """A tear in the membrane and the patch over it, before the pour."""
    heading = "A torn membrane, before the pour"
    sheet = Sheet(prefix, heading)
    sheet.width, sheet.height = WIDTH_UNITS, 190.0
    room = Room(sheet, (1.0, 1.0, WIDTH_UNITS - 1.0, sheet.height - 1.0))
    lap = rules_for(site.rules.region).membrane_lap_m.value
    tear = 0.05
    scale = (WIDTH_UNITS - 80.0) / damp.patch_side_m(tear, lap)
    middle, y = WIDTH_UNITS / 2, 112.0
    half = tear / 2 * scale
    reach = half + lap * scale
    bed = [(8.0, y + 3.0), (352.0, y + 3.0), (352.0, y + 30.0), (8.0, y + 30.0)]
    sheet.hatched("sp-body sp-sand", "sand", path_of(bed, closed=True))
    sheet.hatched("sp-body sp-stone", "stone", path_of([(8.0, y + 30.0), (352.0, y + 30.0), (352.0, y + 66.0), (8.0, y + 66.0)], closed=True))
    for a, b in ((8.0, middle - half), (middle + half, 352.0)):
        sheet.line("sp-damp-membrane", (a, y), (b, y))
    sheet.line("sp-damp-membrane", (middle - reach, y - 6.0), (middle + reach, y - 6.0))
    room.take((8.0, y), (352.0, y))
    for sign in (-1.0, 1.0):
        at = middle + sign * reach
        sheet.line("sp-damp-strip", (at - sign * 16.0, y - 11.0), (at, y - 11.0), (at + sign * 5.0, y - 3.5), (at + sign * 20.0, y - 3.5))
    words = length(lap).of(units)
    for a, b in ((middle - reach, middle - half), (middle + half, middle + reach)):
        sheet.dimension((a, 66.0), (b, 66.0), words, "above")
        for x in (a, b):
            sheet.line("sp-extension", (x, 60.0), (x, y - 14.0))
    _balloon(sheet, room, 1, (middle, y + 1.0), (0.0, 1.0))
    _balloon(sheet, room, 2, (middle + half + 34.0, y - 6.0), (0.3, -1.0))
    _balloon(sheet, room, 3, (middle - reach - 10.0, y - 3.5), (0.4, 1.0))
    room.place("sp-label", "sand", [Place(x, y + 22.0, "middle") for x in (300.0, 250.0, 70.0)], must=False)
    room.place("sp-label", "stone", [Place(x, y + 52.0, "middle") for x in (300.0, 250.0, 70.0)], must=False)
    parts = (
        "The tear. Look for one along every edge and round every peg and pipe before the concrete comes.",
        f"Patch of the same sheet, dry and clean, {_said(lap, units)} past the tear on every side.",
        "Tape over all four edges of the patch.",
    )
    sheet.description = " ".join(["Cross-section through a membrane on its sand.", *(f"{number}. {line}" for number, line in enumerate(parts, start=1))])
    return View(heading, sheet, parts, (
        "At an edge the patch goes up the form with the sheet. Torn above the concrete after the pour: clean the face, and bond the strip down over the tear and over the slab's edge.",))
