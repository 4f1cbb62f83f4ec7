"""A plan of one scheme, north up: contours, walls, footing, steps, batter, drains, doors, levels, boundary."""

from __future__ import annotations

import math
from collections.abc import Sequence

from calculators import works as w
from calculators.compare import Comparison, SchemeResult
from calculators.ground import Piece
from calculators.plan import Point, Side, polygon_centroid
from calculators.site import LEVEL_GROUND_GRADIENT, Door, Site
from calculators.works import Step, WallLine, Works
from generator.display import gradient, length
from generator.drawings import on_plan
from generator.drawings.geometry import NOTHING_M, Cut, outline, side_at, steepest_cut
from generator.drawings.on_plan import BOUNDARY_SHOWN_M, FARTHEST_M, WIDTH_UNITS, Entry, Page
from generator.drawings.placing import Place, Room
from generator.drawings.scale import compass_words, fall_words, level_words
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, render

HACHURE_M = 0.14
DOOR_THICKNESS_M = 0.14
"""How thick a door's gap in a wall without blocks is drawn."""

# The class of each kind of line and its words in the key; walls are drawn over what lies below them.
LINES = {
    "footing": ("sp-plan-footing", "footing, below ground"),
    "haunch": ("sp-plan-footing", "inside of the thickened edge, below"),
    "inner face": ("sp-plan-inner", "inside of the wall"),
    "thickening inside": ("sp-plan-footing", "thickening under a wall inside, below"),
    "wall inside": ("sp-plan-inner", "wall inside"),
    "wall": ("sp-plan-wall", "outside of the wall"),
    "edge": ("sp-plan-wall", "edge of the slab"),
    "land drain": ("sp-plan-drain", "land drain"),
}


def plan_svg(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> str:
    """The plan of one scheme as markup: an SVG in a box that scrolls where the screen is narrow.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    return render("drawing.svg.j2", sheet=plan_sheet(comparison, result, units, id_prefix), kind="plan")


def plan_sheet(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> Sheet:
    """The plan of one scheme, placed but not yet written as markup."""
    site, works = comparison.site, result.works
    sheet = Sheet(id_prefix, f"Plan: {result.title}" + (f", {works.variant}" if works.variant else ""))
    sheet.width = WIDTH_UNITS
    page = on_plan.page_of(site, works, units)
    room = Room(sheet, (1.0, 1.0, WIDTH_UNITS - 1.0, page.at((page.west, page.south))[1] + 4.0))
    sheet.path("sp-plan-floor", page.path(site.plan.corners, closed=True))
    contours = on_plan.draw_contours(sheet, page, site, units)
    _draw_batter(sheet, page, site, works)
    _draw_lines(sheet, page, site, works, room)
    _draw_steps(sheet, page, site, works, room)
    openings = _draw_doors(sheet, page, site, works, room)
    on_plan.draw_north(sheet, room)
    cut_marks = _draw_cut_marks(sheet, page, site, room)
    _draw_fall_arrow(sheet, page, site, room)
    low = on_plan.draw_dimensions(sheet, page, site, works, room, units)
    on_plan.draw_corners(sheet, page, site, room, units)
    on_plan.draw_boundary(sheet, page, site, room, units)
    for door, at, inward in openings:
        _name_door(room, site, door, at, inward)
    _name_cut_marks(room, cut_marks)
    _name_fall(room, page, site)
    on_plan.draw_soft_spots(sheet, page, site, room, units)
    on_plan.name_contours(room, contours)
    on_plan.draw_key(sheet, page, low, _key(site, works, page, units), units)
    sheet.description = _description(comparison, result, units)
    return sheet


def _draw_batter(sheet: Sheet, page: Page, site: Site, works: Works) -> None:
    """Stone beyond the edge, with ticks down its slope: long and short by turns."""
    pieces = [piece for solid in works.solids if solid.part == w.BATTER for piece in solid.pieces]
    if not pieces:
        return
    polygons = [part for piece in pieces if (part := page.shown(piece.polygon))]
    data = "".join(page.path(loop, closed=True) for loop in outline(polygons))
    sheet.path("sp-plan-batter", data)
    sloped = [piece for piece in pieces if abs(piece.top.east) + abs(piece.top.north) > 1e-9]
    ticks = []
    for side in site.plan.sides:
        outward = (-side.inward[0], -side.inward[1])
        own = [p for p in sloped if p.top.east * outward[0] + p.top.north * outward[1] < 0
               and abs(p.top.east * side.direction[0] + p.top.north * side.direction[1]) < 1e-9 and _before(side, p)]
        if not own:
            continue
        alongs = [side.along(point) for piece in own for point in piece.polygon]
        first, last = min(alongs), max(alongs)
        count = max(1, round((last - first) / HACHURE_M))
        for i in range(count):
            along = first + (i + 0.5) * (last - first) / count
            ticks.append(_tick(page, side.at(along, 0.0), outward, own, long=i % 2 == 0))
    sheet.path("sp-plan-hachure", "".join(ticks))


def _before(side: Side, piece: Piece) -> bool:
    """Whether a piece lies outside this side and not before another that looks the same way."""
    middle = polygon_centroid(piece.polygon)
    inside = side.inside(middle)
    first, last = side.span(inside)
    return -FARTHEST_M - 1.0 < inside < 0.0 and first - NOTHING_M <= side.along(middle) <= last + NOTHING_M


def _tick(page: Page, start: Point, outward: Point, pieces: Sequence[Piece], long: bool) -> str:
    chords = [chord for piece in pieces if (chord := Cut(start, outward).chord(piece.polygon))]
    if not chords:
        return ""
    near, far = min(c[0] for c in chords), max(c[1] for c in chords)
    if not long:
        far = near + 0.45 * (far - near)
    ray = Cut(start, outward)
    shown = page.clipped(ray.at(near), ray.at(far))
    return page.path(shown) if shown else ""


def _draw_lines(sheet: Sheet, page: Page, site: Site, works: Works, room: Room) -> None:
    along = on_plan.drains_along(site.plan, works)
    for kind, (css, _) in LINES.items():
        sheet.path(css, on_plan.lines_of_plan(page, room, works.lines, kind))
    for line in works.lines:
        shown = page.clipped(line.start, line.end) if line.kind == "land drain" and line not in along else None
        if shown and math.dist(shown[1], line.end) > 0.1:
            _draw_runs_on(sheet, page, shown[1], line)


def _draw_runs_on(sheet: Sheet, page: Page, at: Point, line: WallLine) -> None:
    """An arrow where the drain runs off the sheet."""
    x, y = page.at(at)
    dx, dy = line.end[0] - line.start[0], line.start[1] - line.end[1]
    run = math.hypot(dx, dy)
    ux, uy = dx / run, dy / run
    sheet.line("sp-plan-arrow", (x - 9 * ux - 5 * uy, y - 9 * uy + 5 * ux), (x, y), (x - 9 * ux + 5 * uy, y - 9 * uy - 5 * ux))


def _step_along(site: Site, side: Side, step: Step) -> float:
    """A step's place from the start of its side, m: it is given from the side's higher end."""
    return step.chainage_m if site.start_is_higher(side) else side.length_m - step.chainage_m


def _edge_of_step(works: Works) -> tuple[float, float]:
    """From where to where, m inside the outer face, a step in the footing or the edge runs."""
    if "footing_width_m" in works.sizes:
        beyond = (works.sizes["footing_width_m"] - works.sizes["block_thickness_m"]) / 2
        return -beyond, works.sizes["block_thickness_m"] + beyond
    return 0.0, works.sizes["edge_width_m"]


def _draw_steps(sheet: Sheet, page: Page, site: Site, works: Works, room: Room) -> None:
    if not works.steps:
        return
    outer, inner = _edge_of_step(works)
    data = []
    for step in works.steps:
        side = site.plan.side(step.wall)
        along = _step_along(site, side, step)
        points = [page.at(side.at(along, outer)), page.at(side.at(along, inner))]
        room.take(*points)
        data.append(path_of(points))
    sheet.path("sp-plan-step", "".join(data))


def _draw_doors(sheet: Sheet, page: Page, site: Site, works: Works, room: Room) -> list[tuple[Door, Point, Point]]:
    """A gap in the wall for each door; returns each with the middle of its inner edge and which way is in, on the sheet."""
    thickness = works.sizes.get("block_thickness_m", DOOR_THICKNESS_M)
    half = site.scenario.building.door_width_m / 2.0
    found = []
    for door in site.doors:
        side = door.side
        a, b = door.middle_m - half, door.middle_m + half
        corners = [page.at(side.at(*place)) for place in ((a, 0.0), (b, 0.0), (b, thickness), (a, thickness))]
        sheet.path("sp-plan-door", path_of(corners, closed=True))
        room.take(*corners, corners[0])
        found.append((door, page.at(side.at(door.middle_m, thickness)), (side.inward[0], -side.inward[1])))
    return found


def _name_door(room: Room, site: Site, door: Door, at: Point, inward: Point) -> None:
    words = "step-free door" if door.side.name == site.scenario.building.step_free else "door"
    (x, y), (ix, iy) = at, inward
    places = []
    # Just inside, then further in past the edge of a footing, then outside the wall.
    for far in (0.0, 14.0, 28.0, -44.0, -58.0):
        if abs(ix) < 0.7:
            places.append(Place(x, y + (16.0 + far) * iy + 5.0, "middle"))
        else:
            places.append(Place(x + far * ix + (17.0 if ix > 0 else -6.0), y, "middle", -90.0))
    room.place("sp-label", words, places)


def _draw_cut_marks(sheet: Sheet, page: Page, site: Site, room: Room) -> list[tuple[Point, Point, Point]]:
    """Where the section is cut: a short heavy line outside each wall; returns where, which way out, and which way the letter stands."""
    cut = steepest_cut(site)
    runs = cut.runs(site.plan.corners)
    found = []
    for at, sign in ((runs[0][0], -1.0), (runs[-1][1], 1.0)):
        x, y = page.at(cut.at(at))
        ux, uy = sign * cut.along[0], -sign * cut.along[1]
        ends = (x + 5 * ux, y + 5 * uy), (x + 20 * ux, y + 20 * uy)
        sheet.line("sp-plan-cut", *ends)
        room.take(*ends)
        # The letter stands towards the middle of the wall, away from the level at its corner.
        side = side_at(site.plan, cut.at(at))
        inwards = 1.0 if side.along(cut.at(at)) < side.length_m / 2 - 0.01 else -1.0
        found.append(((x, y), (ux, uy), (inwards * side.direction[0], -inwards * side.direction[1])))
    return found


def _name_cut_marks(room: Room, marks: Sequence[tuple[Point, Point, Point]]) -> None:
    for (x, y), (ux, uy), (tx, ty) in marks:
        places = [Place(x + out * ux + aside * tx, y + out * uy + aside * ty + 5.0, "middle") for out in (13.0, 20.0, 30.0) for aside in (13.0, -13.0)]
        room.place("sp-figure", "A", [*places, Place(x + 32.0 * ux, y + 32.0 * uy + 5.0, "middle")])


ARROW_UNITS = 34.0
"""Half the length of the arrow downhill."""


def _draw_fall_arrow(sheet: Sheet, page: Page, site: Site, room: Room) -> None:
    if site.gradient < LEVEL_GROUND_GRADIENT:
        return
    x, y = page.at(on_plan.middle_of(site))
    ux, uy = site.downhill[0], -site.downhill[1]
    tip, tail = (x + ARROW_UNITS * ux, y + ARROW_UNITS * uy), (x - ARROW_UNITS * ux, y - ARROW_UNITS * uy)
    sheet.line("sp-plan-arrow", tail, tip)
    sheet.line("sp-plan-arrow", (tip[0] - 12 * ux - 6 * uy, tip[1] - 12 * uy + 6 * ux), tip,
               (tip[0] - 12 * ux + 6 * uy, tip[1] - 12 * uy - 6 * ux))
    room.take(tail, tip)


def _name_fall(room: Room, page: Page, site: Site) -> None:
    x, y = page.at(on_plan.middle_of(site))
    if site.gradient < LEVEL_GROUND_GRADIENT:
        room.place("sp-label", ("ground", fall_words(site)), [Place(x, y - 4.0 + dy, "middle") for dy in (0.0, -20.0, 20.0, -40.0, 40.0)])
        return
    words = (f"falls {gradient(site.gradient)}", f"to the {compass_words(site.downhill)}")
    ux, uy = site.downhill[0], -site.downhill[1]
    up, beside = ARROW_UNITS * abs(uy), ARROW_UNITS * abs(ux)
    places = [Place(x + 14.0, y - 4.0)] if abs(ux) < 0.2 else []
    places += [Place(x, y - up - 12.0 - LINE_UNITS, "middle"), Place(x, y + up + 22.0, "middle"),
               Place(x + beside + 14.0, y - 4.0), Place(x - beside - 14.0, y - 4.0, "end")]
    places += [Place(x + aside, at.y + dy, at.anchor) for dy in (16.0, -16.0, 32.0, -32.0) for at in tuple(places) for aside in (at.x - x, 0.0)]
    room.place("sp-label", words, places)


def _key(site: Site, works: Works, page: Page, units: str) -> list[Entry]:
    entries = [Entry(css, words) for kind, (css, words) in LINES.items() if any(line.kind == kind for line in works.lines)]
    if works.steps:
        below = "footing" if "footing_width_m" in works.sizes else "edge"
        entries.append(Entry("sp-plan-step", f"step of {length(works.steps[0].height_m).of(units)} in the {below}"))
    if any(solid.part == w.BATTER for solid in works.solids):
        entries.append(Entry("sp-plan-hachure", "stone batter, falling the way of the ticks"))
    entries += [Entry("sp-plan-soft", words) for words in dict.fromkeys(words for _, _, words in on_plan.pieces_of_ground(site, units))]
    entries += on_plan.ground_entries(site, page, units)
    if any(d <= BOUNDARY_SHOWN_M for d in site.scenario.plot.boundary_m.values()):
        entries.append(Entry("sp-plan-boundary", "boundary"))
    entries.append(Entry("sp-plan-cut", "A to A, where the section is cut"))
    return entries


def _description(comparison: Comparison, result: SchemeResult, units: str) -> str:
    site, works = comparison.site, result.works

    def words(m: float) -> str:
        return length(m).of(units)

    if len(site.plan.corners) == 4:
        long_m, short_m = site.plan.size_m()
        size = f"{words(long_m)} by {words(short_m)}"
    else:
        size = f"{words(site.plan.perimeter_m)} round"
    sentences = [f"Plan of the {result.title[0].lower()}{result.title[1:]}, {size}, north up, on ground {fall_words(site)}."]
    places = on_plan.corner_names(site)
    sentences.append("Existing ground at the corners: " + "; ".join(
        f"{place} {level_words(z, units)}" for place, z in zip(places, site.corner_levels_m)) + ".")
    sizes = works.sizes
    if "footing_width_m" in sizes:
        sentences.append(f"Block wall {words(sizes['block_thickness_m'])} thick on a footing {words(sizes['footing_width_m'])} wide.")
    elif "edge_width_m" in sizes:
        sentences.append(f"Edge thickened over {words(sizes['edge_width_m'])} all round.")
    if works.steps:
        sentences.append("Steps down, from the higher end of each wall: " + "; ".join(
            f"{step.wall} wall at {words(step.chainage_m)}" for step in works.steps) + ".")
    batter = [p for solid in works.solids if solid.part == w.BATTER for piece in solid.pieces for p in piece.polygon]
    if batter:
        reach = max((max(-side.inside(p) for p in batter), side.name) for side in site.plan.sides)
        sentences.append(f"The stone batter reaches {words(reach[0])} out on the {reach[1]} side.")
    if site.doors:
        sentences.append("Doors, from the left end of each side seen from outside to the middle of the door: " + "; ".join(
            f"{door.side.name} side at {words(door.middle_m)}" + (", step-free" if door.side.name == site.scenario.building.step_free else "")
            for door in site.doors) + ".")
    pieces = on_plan.pieces_of_ground(site, units)
    if pieces:
        sentences.append("Ground unlike the rest: " + ", ".join(" ".join(two) for _, two, _ in pieces) + ".")
    for name, distance in site.scenario.plot.boundary_m.items():
        sentences.append(f"Boundary {words(distance)} away to the {name}.")
    return " ".join(sentences)
