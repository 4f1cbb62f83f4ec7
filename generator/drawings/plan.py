"""A plan of one scheme, north up: walls, footing, steps, batter, drains, doors, levels, boundary."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from calculators import works as w
from calculators.compare import Comparison, SchemeResult
from calculators.ground import Piece
from calculators.plan import Plan, Point, Side, clip
from calculators.site import LEVEL_GROUND_GRADIENT, Site, centre_of
from calculators.works import Step, WallLine, Works
from generator.display import gradient, length, level_mark
from generator.drawings.geometry import NOTHING_M, Cut, outline, steepest_cut
from generator.drawings.scale import compass_words, fall_words, level_words, scale_bar
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, render, text_width

WIDTH_UNITS = 640.0
MARGIN_UNITS = 8.0
LARGEST_SCALE = 75.0
TALLEST_UNITS = 520.0
FARTHEST_M = 3.0
"""Nothing further than this outside the walls is drawn, but for the words that say so."""
BOUNDARY_SHOWN_M = 2.5
AROUND_M = 0.45
"""Least room outside the walls."""
DIMENSION_UNITS = 44.0
HACHURE_M = 0.14

# The class of each kind of line and its words in the key; walls are drawn over what lies below them.
LINES = {
    "footing": ("sp-plan-footing", "footing, below ground"),
    "haunch": ("sp-plan-footing", "inside of the thickened edge, below"),
    "inner face": ("sp-plan-inner", "inside of the wall"),
    "wall": ("sp-plan-wall", "outside of the wall"),
    "edge": ("sp-plan-wall", "edge of the slab"),
    "land drain": ("sp-plan-drain", "land drain"),
}


@dataclass(frozen=True)
class _Page:
    """Where a point (x, y), m, lies on the sheet, and the part of the plot (m) that it shows."""

    west: float
    south: float
    east: float
    north: float
    scale: float
    left_units: float
    top_units: float

    def at(self, point: Point) -> Point:
        return (
            self.left_units + (point[0] - self.west) * self.scale,
            self.top_units + (self.north - point[1]) * self.scale,
        )

    @property
    def corners(self) -> tuple[Point, ...]:
        return ((self.west, self.south), (self.east, self.south), (self.east, self.north), (self.west, self.north))

    def clipped(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """The part of a line (m) that the page shows."""
        run = math.hypot(end[0] - start[0], end[1] - start[1])
        if run < NOTHING_M:
            return None
        cut = Cut(start, ((end[0] - start[0]) / run, (end[1] - start[1]) / run))
        chord = cut.chord(self.corners)
        if chord is None or chord[1] < 0.0 or chord[0] > run:
            return None
        return cut.at(max(0.0, chord[0])), cut.at(min(run, chord[1]))


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
    page = _page(site, works, units)
    _draw_batter(sheet, page, site, works)
    sheet.path("sp-plan-floor", path_of([page.at(p) for p in site.plan.corners], closed=True))
    _draw_lines(sheet, page, site, works)
    _draw_steps(sheet, page, site, works)
    _draw_doors(sheet, page, site, works)
    _draw_boundary(sheet, page, site, units)
    _draw_cut_marks(sheet, page, site)
    _draw_corners(sheet, page, site, units)
    _draw_fall(sheet, page, site)
    _draw_dimensions(sheet, page, site, works, units)
    _draw_north(sheet, page)
    _draw_foot_of_sheet(sheet, page, site, works, units)
    sheet.description = _description(comparison, result, units)
    return sheet


def _reach(plan: Plan, side: Side, works: Works) -> float:
    """How far the works go outside one side, m, as drawn; the run that leads drain water away is left out."""
    points = [p for solid in works.solids if solid.part == w.BATTER for piece in solid.pieces for p in piece.polygon]
    points += [p for line in _short_drains(plan, works) for p in (line.start, line.end)]
    points += [p for line in works.lines if line.kind == "footing" for p in (line.start, line.end)]
    return min(FARTHEST_M, max([AROUND_M] + [-side.inside(p) for p in points]))


def _room_outside(site: Site, side: Side, works: Works) -> float:
    """How much of the plot is shown outside one side, m."""
    near = site.scenario.plot.boundary_m.get(side.name, math.inf)
    return max(_reach(site.plan, side, works) + 0.3, near + 0.25 if near <= BOUNDARY_SHOWN_M else 0.0)


def _short_drains(plan: Plan, works: Works) -> list[WallLine]:
    """Land drains that run along a side."""
    along = []
    for line in works.lines:
        if line.kind == "land drain":
            dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
            run = math.hypot(dx, dy)
            if any(abs(dx * side.inward[0] + dy * side.inward[1]) < 1e-6 * run and side.inside(line.start) < 0.0 for side in plan.sides):
                along.append(line)
    return along


def _page(site: Site, works: Works, units: str) -> _Page:
    plan = site.plan
    points = list(plan.corners)
    for side in plan.sides:
        out = _room_outside(site, side, works)
        points += [side.at(0.0, -out), side.at(side.length_m, -out)]
    west, east = min(x for x, _ in points), max(x for x, _ in points)
    south, north = min(y for _, y in points), max(y for _, y in points)
    # Long corner levels stand further out than the dimension; some of the plot shown is room for them already.
    levels = max(text_width(level_mark(z).of(units)) for z in site.corner_levels_m)
    beside = MARGIN_UNITS + max(DIMENSION_UNITS, levels - 22.0)
    room = WIDTH_UNITS - 2 * beside
    scale = min(LARGEST_SCALE, room / (east - west), TALLEST_UNITS / (north - south))
    left = (WIDTH_UNITS - (east - west) * scale) / 2
    return _Page(west, south, east, north, scale, left, MARGIN_UNITS + 26.0)


def _draw_batter(sheet: Sheet, page: _Page, site: Site, works: Works) -> None:
    """Stone beyond the edge, with ticks down its slope: long and short by turns."""
    pieces = [piece for solid in works.solids if solid.part == w.BATTER for piece in solid.pieces]
    if not pieces:
        return
    polygons = [part for piece in pieces if (part := _on_page(piece.polygon, page))]
    data = "".join(path_of([page.at(p) for p in loop], closed=True) for loop in outline(polygons))
    sheet.path("sp-plan-batter", data)
    sloped = [piece for piece in pieces if abs(piece.top.east) + abs(piece.top.north) > 1e-9]
    ticks = []
    for side in site.plan.sides:
        outward = (-side.inward[0], -side.inward[1])
        own = [p for p in sloped if p.top.east * outward[0] + p.top.north * outward[1] < 0
               and abs(p.top.east * side.direction[0] + p.top.north * side.direction[1]) < 1e-9]
        if not own:
            continue
        alongs = [side.along(point) for piece in own for point in piece.polygon]
        first, last = min(alongs), max(alongs)
        count = max(1, round((last - first) / HACHURE_M))
        for i in range(count):
            along = first + (i + 0.5) * (last - first) / count
            ticks.append(_tick(page, side.at(along, 0.0), outward, own, long=i % 2 == 0))
    sheet.path("sp-plan-hachure", "".join(ticks))


def _on_page(polygon: Sequence[Point], page: _Page):
    part = tuple(polygon)
    for half_plane in ((1, 0, -page.west), (-1, 0, page.east), (0, 1, -page.south), (0, -1, page.north)):
        if part:
            part = clip(part, *half_plane)
    return part


def _tick(page: _Page, start: Point, outward: Point, pieces: Sequence[Piece], long: bool) -> str:
    chords = [chord for piece in pieces if (chord := Cut(start, outward).chord(piece.polygon))]
    if not chords:
        return ""
    near, far = min(c[0] for c in chords), max(c[1] for c in chords)
    if not long:
        far = near + 0.45 * (far - near)
    ray = Cut(start, outward)
    shown = page.clipped(ray.at(near), ray.at(far))
    return path_of([page.at(shown[0]), page.at(shown[1])]) if shown else ""


def _draw_lines(sheet: Sheet, page: _Page, site: Site, works: Works) -> None:
    along = _short_drains(site.plan, works)
    for kind, (css, _) in LINES.items():
        data = []
        for line in works.lines:
            if line.kind == kind and (shown := page.clipped(line.start, line.end)):
                data.append(path_of([page.at(shown[0]), page.at(shown[1])]))
                if kind == "land drain" and line not in along and math.dist(shown[1], line.end) > 0.1:
                    _draw_runs_on(sheet, page, shown[1], line)
        sheet.path(css, "".join(data))


def _draw_runs_on(sheet: Sheet, page: _Page, at: Point, line: WallLine) -> None:
    """An arrow where the drain runs off the sheet."""
    x, y = page.at(at)
    dx, dy = line.end[0] - line.start[0], line.start[1] - line.end[1]
    run = math.hypot(dx, dy)
    ux, uy = dx / run, dy / run
    sheet.line("sp-plan-arrow", (x - 9 * ux - 5 * uy, y - 9 * uy + 5 * ux), (x, y), (x - 9 * ux + 5 * uy, y - 9 * uy - 5 * ux))


def _step_along(site: Site, side: Side, step: Step) -> float:
    """A step's place from the start of its side, m: it is given from the side's higher end."""
    levels = site.corner_levels_m
    start_is_higher = levels[side.index] >= levels[(side.index + 1) % len(levels)] - NOTHING_M
    return step.chainage_m if start_is_higher else side.length_m - step.chainage_m


def _edge_of_step(works: Works) -> tuple[float, float]:
    """From where to where, m inside the outer face, a step in the footing or the edge runs."""
    if "footing_width_m" in works.sizes:
        beyond = (works.sizes["footing_width_m"] - works.sizes["block_thickness_m"]) / 2
        return -beyond, works.sizes["block_thickness_m"] + beyond
    return 0.0, works.sizes["edge_width_m"]


def _draw_steps(sheet: Sheet, page: _Page, site: Site, works: Works) -> None:
    if not works.steps:
        return
    outer, inner = _edge_of_step(works)
    data = []
    for step in works.steps:
        side = site.plan.side(step.wall)
        along = _step_along(site, side, step)
        data.append(path_of([page.at(side.at(along, outer)), page.at(side.at(along, inner))]))
    sheet.path("sp-plan-step", "".join(data))


def _draw_doors(sheet: Sheet, page: _Page, site: Site, works: Works) -> None:
    thickness = works.sizes.get("block_thickness_m", 0.14)
    for line in works.lines:
        if line.kind != "door":
            continue
        side = min(site.plan.sides, key=lambda s: abs(s.inside(line.start)) + abs(s.inside(line.end)))
        a, b = side.along(line.start), side.along(line.end)
        corners = [side.at(a, 0.0), side.at(b, 0.0), side.at(b, thickness), side.at(a, thickness)]
        sheet.path("sp-plan-door", path_of([page.at(p) for p in corners], closed=True))
        x, y = page.at(side.at((a + b) / 2, thickness))
        ix, iy = side.inward[0], -side.inward[1]
        if abs(ix) < 0.7:
            sheet.write("sp-label", x, y + 16.0 * iy + 5.0, "door", "middle")
        else:
            sheet.write("sp-label", x + (17.0 if ix > 0 else -6.0), y, "door", "middle", -90.0)


def _draw_boundary(sheet: Sheet, page: _Page, site: Site, units: str) -> None:
    for name, distance in site.scenario.plot.boundary_m.items():
        if distance > BOUNDARY_SHOWN_M:
            continue
        side = site.plan.side(name)
        middle = side.at(side.length_m / 2, -distance)
        cut = Cut(middle, side.direction)
        chord = cut.chord(page.corners)
        if chord is None:
            continue
        a, b = page.at(cut.at(chord[0])), page.at(cut.at(chord[1]))
        sheet.line("sp-plan-boundary", a, b)
        words = f"boundary {length(distance).of(units)}"
        if abs(side.inward[0]) > 0.7:
            x = (a[0] + b[0]) / 2 + (-6.0 if side.inward[0] > 0 else 17.0)
            upper = min(a[1], b[1])
            sheet.write("sp-label", x, upper + text_width(words) + 26.0, words, "start", -90.0)
        else:
            x = min(a[0], b[0]) + 26.0
            sheet.write("sp-label", x, (a[1] + b[1]) / 2 + (-6.0 if side.inward[1] < 0 else 17.0), words)


def _draw_cut_marks(sheet: Sheet, page: _Page, site: Site) -> None:
    """Where the section is cut: a short heavy line outside each wall, and its letter."""
    cut = steepest_cut(site)
    chord = cut.chord(site.plan.corners)
    for at, sign in ((chord[0], -1.0), (chord[1], 1.0)):
        x, y = page.at(cut.at(at))
        ux, uy = sign * cut.along[0], -sign * cut.along[1]
        sheet.line("sp-plan-cut", (x + 5 * ux, y + 5 * uy), (x + 20 * ux, y + 20 * uy))
        # The letter stands towards the middle of the wall, away from the level at its corner.
        side = min(site.plan.sides, key=lambda s: abs(s.inside(cut.at(at))))
        inwards = 1.0 if side.along(cut.at(at)) < side.length_m / 2 - 0.01 else -1.0
        tx, ty = inwards * side.direction[0], -inwards * side.direction[1]
        sheet.write("sp-figure", x + 13 * ux + 13 * tx, y + 13 * uy + 13 * ty + 5.0, "A", "middle")


def _draw_corners(sheet: Sheet, page: _Page, site: Site, units: str) -> None:
    corners = site.plan.corners
    cx, cy = centre_of(site.plan)
    for (x, y), z in zip(corners, site.corner_levels_m):
        px, py = page.at((x, y))
        sheet.dot(px, py)
        east, north = x > cx, y > cy
        sheet.write("sp-figure", px + (7.0 if east else -7.0), py + (-7.0 if north else 17.0),
                    level_mark(z).of(units), "start" if east else "end")


def _draw_fall(sheet: Sheet, page: _Page, site: Site) -> None:
    x, y = page.at(centre_of(site.plan))
    if site.gradient < LEVEL_GROUND_GRADIENT:
        for i, line in enumerate(("ground", fall_words(site))):
            sheet.write("sp-label", x, y - 4.0 + i * LINE_UNITS, line, "middle")
        return
    ux, uy = site.downhill[0], -site.downhill[1]
    words = (f"falls {gradient(site.gradient)}", f"to the {compass_words(site.downhill)}")
    reach = 34.0
    tip, tail = (x + reach * ux, y + reach * uy), (x - reach * ux, y - reach * uy)
    sheet.line("sp-plan-arrow", tail, tip)
    sheet.line("sp-plan-arrow", (tip[0] - 12 * ux - 6 * uy, tip[1] - 12 * uy + 6 * ux), tip,
               (tip[0] - 12 * ux + 6 * uy, tip[1] - 12 * uy - 6 * ux))
    # Words beside an arrow straight up or down the sheet, above any other and where a door's name needs the room.
    east = page.at((max(corner[0] for corner in site.plan.corners), 0.0))[0]
    beside = abs(ux) < 0.2 and x + 14.0 + max(map(text_width, words)) < east - 50.0
    for i, line in enumerate(words):
        if beside:
            sheet.write("sp-label", x + 14.0, y + (i - 0.2) * LINE_UNITS, line)
        else:
            sheet.write("sp-label", x, y - reach * abs(uy) - 12.0 + (i - 1) * LINE_UNITS, line, "middle")


def _draw_dimensions(sheet: Sheet, page: _Page, site: Site, works: Works, units: str) -> None:
    """Overall sizes beside the lowest and the leftmost side of the sheet; beside every side that is not square to these."""
    plan = site.plan
    lowest = max(plan.sides, key=lambda side: round(side.inward[1], 6))
    leftmost = max(plan.sides, key=lambda side: round(side.inward[0], 6))
    for side in plan.sides if len(plan.corners) != 4 else {lowest.index: lowest, leftmost.index: leftmost}.values():
        out = _room_outside(site, side, works) + 13.0 / page.scale
        a, b = sorted((page.at(side.at(0.0, -out)), page.at(side.at(side.length_m, -out))), key=lambda p: (round(p[0], 3), -p[1]))
        sheet.dimension(a, b, "")
        turn = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
        # On the far side of the line: further off where that is below the words.
        outward = (-side.inward[0], side.inward[1])
        above = outward[0] * math.sin(math.radians(turn)) - outward[1] * math.cos(math.radians(turn)) > 0.0
        away = 6.0 if above else 17.0
        x, y = (a[0] + b[0]) / 2 + away * outward[0], (a[1] + b[1]) / 2 + away * outward[1]
        sheet.write("sp-figure", x, y, length(side.length_m).of(units), "middle", turn)


def _draw_north(sheet: Sheet, page: _Page) -> None:
    x, y = WIDTH_UNITS - MARGIN_UNITS - 12.0, MARGIN_UNITS + 20.0
    sheet.path("sp-bar", path_of([(x, y), (x + 8, y + 26), (x, y + 20)], closed=True))
    sheet.path("sp-bar-frame", path_of([(x, y), (x - 8, y + 26), (x, y + 20)], closed=True))
    sheet.write("sp-label", x, y - 5.0, "N", "middle")


def _draw_foot_of_sheet(sheet: Sheet, page: _Page, site: Site, works: Works, units: str) -> None:
    _, y = page.at((page.west, page.south))
    y += 62.0
    scale_bar(sheet, MARGIN_UNITS, y, page.scale, units)
    entries = []
    for kind, (css, words) in LINES.items():
        if any(line.kind == kind for line in works.lines):
            entries.append((css, words))
    if works.steps:
        entries.append(("sp-plan-step", f"step of {length(works.steps[0].height_m).of(units)} in the {'footing' if 'footing_width_m' in works.sizes else 'edge'}"))
    if any(solid.part == w.BATTER for solid in works.solids):
        entries.append(("sp-plan-hachure", "stone batter, falling the way of the ticks"))
    if any(d <= BOUNDARY_SHOWN_M for d in site.scenario.plot.boundary_m.values()):
        entries.append(("sp-plan-boundary", "boundary"))
    entries.append(("sp-plan-cut", "A to A, where the section is cut"))
    x, y = MARGIN_UNITS, y + 26.0
    for css, words in entries:
        room = 34.0 + text_width(words) + 18.0
        if x > MARGIN_UNITS and x + room - 18.0 > WIDTH_UNITS:
            x, y = MARGIN_UNITS, y + LINE_UNITS + 2.0
        sheet.line(css, (x, y - 5.0), (x + 28.0, y - 5.0))
        sheet.write("sp-note", x + 34.0, y, words)
        x += room
    sheet.height = y + 12.0


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
    places = [_corner_name(site, corner) for corner in site.plan.corners]
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
    doors = site.scenario.building.doors
    if doors:
        sentences.append(f"Door in the {' and the '.join(doors)} side.")
    for name, distance in site.scenario.plot.boundary_m.items():
        sentences.append(f"Boundary {words(distance)} away to the {name}.")
    return " ".join(sentences)


def _corner_name(site: Site, corner: Point) -> str:
    cx, cy = centre_of(site.plan)
    return compass_words((math.copysign(1.0, corner[0] - cx), math.copysign(1.0, corner[1] - cy)))
