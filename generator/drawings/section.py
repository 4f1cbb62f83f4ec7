"""A section through one scheme on the ground as it is, down the steepest line, at true scale.

All schemes of a comparison share one frame: the same scale across and up, the
same datum at the same place.  Everything dimensioned is what the cut itself
shows.  A plan that is not convex may be cut more than once: each stretch
inside the building is a run, with open ground between.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from calculators import works as w
from calculators.compare import Comparison, SchemeResult
from calculators.ground import Piece, profile
from calculators.plan import Point, Polygon, Side
from calculators.schemes.common import DRAIN_TRENCH_WIDTH_M, UPSTAND_BLOCK_M
from calculators.schemes.thickened_raft import MEMBRANE_BELOW_TOP_M
from calculators.site import LEVEL_GROUND_GRADIENT, Site
from calculators.works import Works
from generator.display import length, level_mark
from generator.drawings.geometry import Cut, outline, side_at, steepest_cut
from generator.drawings.scale import compass_words, fall_words, level_words, scale_bar
from generator.drawings.sheet import LINE_UNITS, TEXT_UNITS, Sheet, path_of, render, spread_out, text_width

WIDTH_UNITS = 760.0
MARGIN_UNITS = 6.0
BESIDE_FIGURE_UNITS = 27.0
"""Room beside the building for a dimension line, on top of its figure."""
LARGEST_SCALE = 110.0
"""Units to a metre; a small building does not fill the page."""
FARTHEST_M = 3.0
"""Nothing further than this outside the walls is drawn."""
STUB_M = 0.32
"""How much of the wall above is hinted at."""
SOLE_PLATE_DEPTH_M = 0.05
UNDER_EVERYTHING_UNITS = 36.0
LABEL_GAP_UNITS = 24.0

# Earth first, then what is put in, in the order of painting: what is laid later lies over what is laid before.
PUT_IN = (
    ("backfill", (w.BACKFILL,)),
    ("stone", (w.SUB_BASE, w.BATTER, w.TRENCH_STONE, w.SOFT_SPOT_STONE)),
    ("drain-stone", (w.DRAIN_STONE,)),
    ("sand", (w.BLINDING,)),
    ("insulation", (w.INSULATION, w.EDGE_BOARD)),
    ("concrete", (w.SLAB, w.FOOTING)),
    ("block", (w.BLOCKWORK,)),
)
BESIDE_M = 1e-4
"""What ends this near to a place ends there."""
SUBSOIL_DIGS = (w.REDUCE_DIG, w.TRENCH_DIG, w.DRAIN_DIG, w.SOFT_SPOT_DIG)
LAYERS = (w.SLAB, w.INSULATION, w.BLINDING, w.SUB_BASE)


@dataclass(frozen=True)
class Frame:
    """What the sections of one comparison have in common.

    Distances along the cut and levels in m; `scale` in drawing units to a
    metre, the same across and up; `sky_units` is the room above `top_m`,
    `gutter_units` the room for levels on the right.
    """

    left_m: float
    right_m: float
    top_m: float
    bottom_m: float
    scale: float
    sky_units: float
    gutter_units: float

    def x(self, distance_m: float) -> float:
        """Drawing units across for a distance along the cut, m."""
        return MARGIN_UNITS + (distance_m - self.left_m) * self.scale

    def y(self, level_m: float) -> float:
        """Drawing units down for a level, m."""
        return MARGIN_UNITS + self.sky_units + (self.top_m - level_m) * self.scale

    def point(self, point: Point) -> Point:
        """Drawing units for (distance, level), m."""
        return (self.x(point[0]), self.y(point[1]))


@dataclass(frozen=True)
class _Cut:
    """One scheme as the cut shows it: polygons of (distance, level), m, by part, and each run inside the building."""

    works: Works
    parts: dict[str, list[Polygon]]
    runs: tuple[tuple[float, float], ...]

    @property
    def left_m(self) -> float:
        """Where the cut first goes into the building, m."""
        return self.runs[0][0]

    @property
    def right_m(self) -> float:
        """Where it last comes out, m."""
        return self.runs[-1][1]

    @property
    def longest(self) -> tuple[float, float]:
        """The longest run, m: where the floor is named."""
        return max(self.runs, key=lambda run: round(run[1] - run[0], 6))

    def of(self, *parts: str) -> list[Polygon]:
        return [polygon for part in parts for polygon in self.parts.get(part, ())]

    def in_run(self, run: tuple[float, float], *parts: str) -> list[Polygon]:
        """The polygons of some parts that lie in one run, from left to right."""
        return sorted((p for p in self.of(*parts) if run[0] - BESIDE_M < p[0][0] and p[1][0] < run[1] + BESIDE_M), key=lambda p: p[0][0])

    def walls(self, run: tuple[float, float]) -> tuple[tuple[float, float], tuple[float, float]]:
        """Where the left and the right wall of a run stand: inner and outer faces; a timber frame's where there is no block."""
        left, right = run
        blocks = self.in_run(run, w.BLOCKWORK)
        if not blocks:
            frame = UPSTAND_BLOCK_M.value
            return (left, left + frame), (right - frame, right)
        left_in, right_in = left, right
        for p in blocks:
            if p[0][0] < left_in + BESIDE_M:
                left_in = max(left_in, p[1][0])
        for p in reversed(blocks):
            if p[1][0] > right_in - BESIDE_M:
                right_in = min(right_in, p[0][0])
        return (left, left_in), (right_in, right)

    @property
    def foundation(self) -> str:
        """The part that stands on the ground under the walls: a footing, or the slab's own edge."""
        return w.FOOTING if self.parts.get(w.FOOTING) else w.SLAB

    def foot(self, at_right: bool) -> tuple[float, float, float, float]:
        """From, to, underside, top of the concrete under one wall; a slab's edge reaches to where its flat underside ends."""
        pieces = sorted(self.of(self.foundation), key=lambda p: -p[1][0] if at_right else p[0][0])
        first = pieces[0]
        underside = first[1][1] if at_right else first[0][1]
        from_m, to_m, top = first[0][0], first[1][0], max(first[2][1], first[3][1])
        for p in pieces[1:]:
            touches = p[1][0] >= from_m - 1e-5 if at_right else p[0][0] <= to_m + 1e-5
            level_with_it = abs(p[0][1] - underside) < 1e-5 and abs(p[1][1] - underside) < 1e-5
            if touches and level_with_it:
                from_m, to_m, top = min(from_m, p[0][0]), max(to_m, p[1][0]), max(top, p[2][1])
        return from_m, to_m, underside, top


def _runs(site: Site, cut: Cut) -> tuple[tuple[float, float], ...]:
    """From where to where, m, the cut runs inside the building."""
    runs = cut.runs(site.plan.corners)
    if not runs:
        raise ValueError("The cut misses the building.")
    return tuple(runs)


def _face_to_face(site: Site, cut: Cut) -> tuple[float, float]:
    """Where the cut first goes into the building and where it last comes out, m."""
    runs = _runs(site, cut)
    return runs[0][0], runs[-1][1]


def _sides_cut(site: Site, cut: Cut) -> tuple[Side, ...]:
    """The sides that the cut goes through, from left to right."""
    return tuple(side_at(site.plan, cut.at(at)) for run in _runs(site, cut) for at in run)


def _square(cut: Cut, sides: Sequence[Side]) -> bool:
    """Whether the cut crosses all walls at right angles."""
    return all(abs(side.inward[0] * cut.along[0] + side.inward[1] * cut.along[1]) > 0.9999 for side in sides)


def _cut_works(site: Site, cut: Cut, works: Works) -> _Cut:
    left, right = _face_to_face(site, cut)
    parts: dict[str, list[Polygon]] = {}
    away = {piece for solid in works.solids if solid.part == w.DRAIN_DIG for piece in solid.pieces if _leads_away(site, piece)}
    for solid in works.solids:
        shown = cut.through([piece for piece in solid.pieces if piece not in away], left - FARTHEST_M, right + FARTHEST_M)
        if shown:
            parts.setdefault(solid.part, []).extend(shown)
    return _Cut(works, parts, _runs(site, cut))


def _leads_away(site: Site, piece: Piece) -> bool:
    """Whether a part of a drain's trench is its run to lower ground, which the cut follows and does not show."""
    width = DRAIN_TRENCH_WIDTH_M.value + 1e-6
    for side in site.plan.sides:
        inside = [side.inside(p) for p in piece.polygon]
        if -FARTHEST_M < min(inside) and max(inside) < 0.0 and max(inside) - min(inside) < width:
            return False
    return True


def section_frame(comparison: Comparison) -> Frame:
    """Extents and scale that fit every scheme of a comparison: pass it to each `section_svg`."""
    site = comparison.site
    cut = steepest_cut(site)
    cuts = [_cut_works(site, cut, result.works) for result in comparison.schemes]
    units = comparison.scenario.units
    left, right = _face_to_face(site, cut)
    drawn = [p for shown in cuts for part in shown.parts for p in shown.of(part)]
    far_left, far_right = min(p[0][0] for p in drawn), max(p[1][0] for p in drawn)
    gutter = max(text_width(words) for shown in cuts for _, _, words in _levels(site, cut, shown, units)) + LABEL_GAP_UNITS
    room = WIDTH_UNITS - gutter - MARGIN_UNITS
    # Figures stand outside the footings: high side, then low side.
    figures = [_figures_beside(site, cut, shown, units) for shown in cuts]
    high_room, low_room = (BESIDE_FIGURE_UNITS + max(text_width(words) for both in figures for words in both[side]) for side in (0, 1))
    high_foot = min([left] + [shown.foot(at_right=False)[0] for shown in cuts])
    low_foot = max([right] + [shown.foot(at_right=True)[1] for shown in cuts])
    scale = LARGEST_SCALE
    for _ in range(4):
        from_m = min(far_left - 0.2, high_foot - high_room / scale)
        to_m = max(far_right + 0.15, low_foot + low_room / scale)
        scale = min(LARGEST_SCALE, room / (to_m - from_m))
    to_m = from_m + room / scale if scale < LARGEST_SCALE else to_m
    ground = _ground(site, cut, from_m, to_m)
    top = max([shown.works.sole_plate_m + STUB_M for shown in cuts] + [z + 0.08 for _, z in ground])
    lowest = min(z for p in drawn for _, z in p)
    bottom = min(lowest - UNDER_EVERYTHING_UNITS / scale, min(z for _, z in ground) - site.scenario.plot.topsoil_m - 0.1)
    sky = 0.0
    for shown in cuts:
        lines = len(_build_up(site, shown, cut, _flag_at(shown, scale, units), units))
        sky = max(sky, (lines - 0.4) * LINE_UNITS + 8.0 - (top - _flag_above_m(shown)) * scale)
    return Frame(from_m, to_m, top, bottom, scale, sky, gutter)


def _ground(site: Site, cut: Cut, from_m: float, to_m: float) -> list[Point]:
    """Existing ground along the cut, (distance, level), m."""
    return [(from_m + s, z) for s, z in profile(site.ground, cut.at(from_m), cut.at(to_m))]


def _ground_at_face(site: Site, cut: Cut, at_m: float) -> float:
    return profile(site.ground, cut.at(at_m - 0.01), cut.at(at_m))[-1][1]


def _level_at(line: Sequence[Point], at_m: float) -> float:
    for (s0, z0), (s1, z1) in zip(line, line[1:]):
        if s0 <= at_m <= s1:
            return z0 + (z1 - z0) * (at_m - s0) / (s1 - s0)
    raise ValueError(f"{at_m} m is outside the line.")


def _levels(site: Site, cut: Cut, shown: _Cut, units: str) -> list[tuple[float, float | None, str]]:
    """Levels to mark: level m, the distance along the cut where its line starts (None: only in the margin), words."""
    works = shown.works
    plate = "sole plate" if site.scenario.building.walls == "timber frame" else "damp-proof course"
    right = shown.right_m
    _, foot_to, underside, _ = shown.foot(at_right=True)
    asked = [(works.sole_plate_m, right, plate), (works.floor_level_m, right, "floor")]
    if site.lowest_ground_m > -0.0005:
        asked.append((0.0, right, "ground"))
    else:
        here = abs(_ground_at_face(site, cut, right) - site.lowest_ground_m) < 0.0005
        asked += [(0.0, right, "high ground"), (site.lowest_ground_m, right if here else None, "low ground")]
    asked.append((underside, foot_to, "founding"))
    return [(z, at, f"{name} {level_mark(z).of(units)}") for z, at, name in asked]


def _low_side_steps(site: Site, cut: Cut, shown: _Cut) -> list[tuple[float, float]]:
    """What is dimensioned outside the low wall, from level to level, m: floor to ground, ground to underside of concrete."""
    floor, underside = shown.works.floor_level_m, shown.foot(at_right=True)[2]
    ground = _ground_at_face(site, cut, shown.right_m)
    steps = [(floor, ground)] if floor - ground > 0.0005 else []
    # An edge on a bed of stone may end above the ground: then there is no depth to give.
    return steps + ([(ground, underside)] if ground - underside > 0.0005 else [])


def _figures_beside(site: Site, cut: Cut, shown: _Cut, units: str) -> tuple[list[str], list[str]]:
    """Every figure that stands outside the wall on the high side, and on the low side."""
    _, _, underside, top = shown.foot(at_right=False)
    return [length(top - underside).of(units)], [length(a - b).of(units) for a, b in _low_side_steps(site, cut, shown)]


def _knee_words(shown: _Cut, units: str) -> str:
    rise = shown.works.sole_plate_m - shown.works.floor_level_m
    return length(rise).of(units) if rise > 0.0005 else ""


def _flag_at(shown: _Cut, scale: float, units: str) -> float:
    """Where the build-up of the floor is named, m along the cut: clear of the wall and its dimension."""
    left, right = shown.longest
    inner = max(shown.walls(shown.longest)[0][1], min((p[0][0] for p in shown.in_run(shown.longest, w.SLAB)), default=left))
    knee = _knee_words(shown, units)
    beside_knee = inner + (text_width(knee) + 34.0) / scale if knee else inner
    return min(max(beside_knee, left + 0.3 * (right - left)), left + 0.8 * (right - left))


def _flag_above_m(shown: _Cut) -> float:
    """The level, m, over which the build-up is named: clear of walls that would stand in its words."""
    works = shown.works
    return works.floor_level_m if len(shown.runs) == 1 else works.sole_plate_m + STUB_M


def _build_up(site: Site, shown: _Cut, cut: Cut, at_m: float, units: str) -> list[tuple[float, str]]:
    """The layers at one place from the top down: the level to point at, m, and words; last what they stand on."""
    layers = []
    for part in LAYERS:
        spans = [_span(p, at_m) for p in shown.of(part) if p[0][0] <= at_m < p[1][0]]
        if spans:
            bottom, top = min(b for b, _ in spans), max(t for _, t in spans)
            layers.append((top, bottom, part))
    found: list[tuple[float, str]] = []
    for top, bottom, part in layers:
        if part == w.BLINDING:
            found.append((top, "membrane"))
        name = site.scenario.schemes[shown.works.scheme].insulation if part == w.INSULATION else part
        found.append(((top + bottom) / 2, f"{name} {length(top - bottom).of(units)}"))
    if layers:
        stands_on = layers[-1][1]
        stripped = profile(site.stripped, cut.at(at_m), cut.at(at_m + 0.01))[0][1]
        soft = [_span(p, at_m) for p in shown.of(w.SOFT_SPOT_STONE) if p[0][0] <= at_m < p[1][0]]
        if soft:
            found.append((stands_on, f"soft spot dug out {length(max(t - b for b, t in soft)).of(units)}"))
        elif stripped < stands_on + 0.0005:
            found.append((stands_on, "stripped ground"))
        else:
            found.append((stands_on, f"formation {level_mark(stands_on).of(units)}"))
    return found


def _span(polygon: Polygon, at_m: float) -> tuple[float, float]:
    (s0, b0), (s1, b1), (_, t1), (_, t0) = polygon
    share = (at_m - s0) / (s1 - s0)
    return b0 + share * (b1 - b0), t0 + share * (t1 - t0)


def section_svg(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str, frame: Frame | None = None) -> str:
    """The section of one scheme as markup: an SVG in a box that scrolls where the screen is narrow.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise); frame: from
    `section_frame`, so that all schemes are drawn alike.
    """
    return render("drawing.svg.j2", sheet=section_sheet(comparison, result, units, id_prefix, frame), kind="section")


def section_sheet(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str, frame: Frame | None = None) -> Sheet:
    """The section of one scheme, placed but not yet written as markup."""
    frame = frame or section_frame(comparison)
    site, works = comparison.site, result.works
    cut = steepest_cut(site)
    shown = _cut_works(site, cut, works)
    sides = _sides_cut(site, cut)
    sheet = Sheet(id_prefix, f"Section: {result.title}" + (f", {works.variant}" if works.variant else ""))
    sheet.width = WIDTH_UNITS

    _draw_earth(sheet, frame, site, cut, shown)
    for material, parts in PUT_IN:
        _draw_body(sheet, frame, f"sp-{material}", material, shown.of(*parts))
    _draw_sheets(sheet, frame, shown)
    _draw_wall_above(sheet, frame, site, shown)
    _draw_beyond(sheet, frame, site, cut, works)
    sheet.line("sp-ground", *map(frame.point, _ground(site, cut, frame.left_m, frame.right_m)))

    _draw_levels(sheet, frame, site, cut, shown, units)
    _draw_sizes(sheet, frame, site, cut, shown, units, _square(cut, sides))
    _draw_flag(sheet, frame, site, cut, shown, units)
    _draw_foot_of_sheet(sheet, frame, site, cut, shown, units, sides)
    sheet.description = _description(comparison, result, units, cut, shown)
    return sheet


def _loops_path(frame: Frame, polygons: Sequence[Polygon]) -> str:
    clipped = [p for p in (_within(polygon, frame) for polygon in polygons) if p]
    return "".join(path_of([frame.point(point) for point in loop], closed=True) for loop in outline(clipped))


def _within(polygon: Polygon, frame: Frame) -> Polygon:
    a, b = max(polygon[0][0], frame.left_m), min(polygon[1][0], frame.right_m)
    if b - a <= 1e-6:
        return ()
    (ba, ta), (bb, tb) = _span(polygon, a), _span(polygon, b)
    return ((a, ba), (b, bb), (b, tb), (a, ta))


def _draw_body(sheet: Sheet, frame: Frame, css: str, material: str, polygons: Sequence[Polygon]) -> None:
    sheet.hatched(f"sp-body {css}", material, _loops_path(frame, polygons))


def _draw_earth(sheet: Sheet, frame: Frame, site: Site, cut: Cut, shown: _Cut) -> None:
    ground = _ground(site, cut, frame.left_m, frame.right_m)
    topsoil = site.scenario.plot.topsoil_m
    stripped = [(s, z - topsoil) for s, z in ground]
    base = [(frame.right_m, frame.bottom_m), (frame.left_m, frame.bottom_m)]
    sheet.hatched("sp-earth", "subsoil", path_of([frame.point(p) for p in stripped + base], closed=True))
    # Topsoil is spread again outside the building and never inside it.
    faces = [frame.left_m, *(at for run in shown.runs for at in run), frame.right_m]
    for a, b in zip(faces[::2], faces[1::2]):
        along = _ground(site, cut, a, b)
        band = along + [(s, z - topsoil) for s, z in reversed(along)]
        sheet.hatched("sp-earth sp-topsoil", "topsoil", path_of([frame.point(p) for p in band], closed=True))
    for a, b in shown.runs:
        inside = _ground(site, cut, a, b)
        sheet.path("sp-void", path_of([frame.point(p) for p in inside + [(s, z - topsoil) for s, z in reversed(inside)]], closed=True))
    sheet.path("sp-void", _loops_path(frame, shown.of(*SUBSOIL_DIGS)))
    sheet.path("sp-dig", _loops_path(frame, shown.of(*SUBSOIL_DIGS, w.TOPSOIL_STRIP)))


def _draw_sheets(sheet: Sheet, frame: Frame, shown: _Cut) -> None:
    """Membrane and damp-proof course, as lines."""
    works = shown.works
    floor = works.floor_level_m
    for run in shown.runs:
        (left_out, left_in), (right_in, right_out) = shown.walls(run)
        slabs, beds = shown.in_run(run, w.SLAB), shown.in_run(run, w.BLINDING)
        if slabs and shown.foundation == w.SLAB:
            # Under everything and up inside the forms, trimmed below the top.
            trimmed = floor - MEMBRANE_BELOW_TOP_M.value
            points = [(run[0], trimmed), *(corner for p in slabs for corner in p[:2]), (run[1], trimmed)]
            sheet.line("sp-membrane", *map(frame.point, points))
        elif slabs and beds:
            # Under the insulation, up between slab and edge board, then up the wall's inner face to the damp-proof course.
            bed = max(z for p in beds for _, z in p)
            from_m, to_m = slabs[0][0][0], slabs[-1][1][0]
            points = [(left_in, works.sole_plate_m), (left_in, floor), (from_m, floor), (from_m, bed),
                      (to_m, bed), (to_m, floor), (right_in, floor), (right_in, works.sole_plate_m)]
            sheet.line("sp-membrane", *map(frame.point, points))
        for a, b in ((left_out, left_in), (right_in, right_out)):
            sheet.line("sp-dpc", frame.point((a, works.sole_plate_m)), frame.point((b, works.sole_plate_m)))


def _draw_wall_above(sheet: Sheet, frame: Frame, site: Site, shown: _Cut) -> None:
    """A hint of the walls that will stand there: not part of the foundation."""
    plate = shown.works.sole_plate_m
    timber = site.scenario.building.walls == "timber frame"
    for a, b in (wall for run in shown.runs for wall in shown.walls(run)):
        x0, x1 = frame.x(a), frame.x(b)
        y, top = frame.y(plate), frame.y(plate + STUB_M)
        if timber:
            under = frame.y(plate + SOLE_PLATE_DEPTH_M)
            sheet.path("sp-ghost sp-timber", path_of([(x0, y), (x1, y), (x1, under), (x0, under)], closed=True))
        middle, reach = (x0 + x1) / 2, 5.0
        sheet.line("sp-ghost", (x0, y), (x0, top))
        sheet.line("sp-ghost", (x1, y), (x1, top))
        sheet.line("sp-ghost", (x0 - reach, top), (middle - 3, top), (middle - 1, top - 4), (middle + 1, top + 4), (middle + 3, top), (x1 + reach, top))


def _draw_beyond(sheet: Sheet, frame: Frame, site: Site, cut: Cut, works: Works) -> None:
    """The stepped underside of the side wall beyond, where the cut runs alongside one."""
    if not works.steps:
        return
    # Along the middle of each wall beyond, or of its thickened edge; a wall hides what is behind it.
    width = works.sizes["block_thickness_m"] if "block_thickness_m" in works.sizes else works.sizes["edge_width_m"]
    part = w.FOOTING if any(solid.part == w.FOOTING for solid in works.solids) else w.SLAB
    pieces = [piece for solid in works.solids if solid.part == part for piece in solid.pieces]
    beyond = [side for side in site.plan.sides
              if abs(side.direction[0] * cut.along[0] + side.direction[1] * cut.along[1]) > 0.9999
              and side.inward[0] * cut.along[1] - side.inward[1] * cut.along[0] > 0 and side.inside(cut.origin) > 0.0]
    out = max(0.0, (works.sizes.get("footing_width_m", width) - width) / 2)
    ends = [cut.along_to(corner) for corner in site.plan.corners]
    hidden: list[tuple[float, float]] = []
    data = []
    for side in sorted(beyond, key=lambda side: round(side.inside(cut.origin), 6)):
        a, b = sorted((cut.along_to(side.start), cut.along_to(side.at(side.length_m, 0.0))))
        for from_m, to_m in hidden:
            a, b = (max(a, to_m), b) if from_m <= a < to_m else (a, b)
            a, b = (a, min(b, from_m)) if from_m < b <= to_m else (a, b)
        if b > a:
            hidden.append((a, b))
            # The footing goes on past the outermost corners.
            a, b = a - (out if a < min(ends) + BESIDE_M else 0.0), b + (out if b > max(ends) - BESIDE_M else 0.0)
            moved = cut.moved(side.inside(cut.origin) - width / 2)
            data.append(_loops_path(frame, moved.through(pieces, max(frame.left_m, a), min(frame.right_m, b))))
    sheet.path("sp-beyond", "".join(data))


def _draw_levels(sheet: Sheet, frame: Frame, site: Site, cut: Cut, shown: _Cut, units: str) -> None:
    levels = sorted(_levels(site, cut, shown, units), key=lambda item: -item[0])
    margin = frame.x(frame.right_m)
    wanted = [frame.y(z) for z, _, _ in levels]
    places = spread_out(wanted, LINE_UNITS, TEXT_UNITS, frame.y(frame.bottom_m) - 4.0)
    for (z, at, words), y, place in zip(levels, wanted, places):
        start = margin - 14.0 if at is None else frame.x(at)
        sheet.line("sp-level", (start, y), (margin, y), (margin + 14.0, place), (margin + 18.0, place))
        sheet.write("sp-figure", margin + 21.0, place + 5.5, words)


def _draw_sizes(sheet: Sheet, frame: Frame, site: Site, cut: Cut, shown: _Cut, units: str, square: bool) -> None:
    works, floor = shown.works, shown.works.floor_level_m

    def words(m: float) -> str:
        return length(m).of(units)

    # Low side, from the floor to the ground and on down to the underside of the concrete.
    x = frame.x(max(shown.foot(at_right=True)[1], shown.right_m)) + 16.0
    steps = _low_side_steps(site, cut, shown)
    middles = spread_out([frame.y((upper + lower) / 2) for upper, lower in steps], LINE_UNITS - 2.0, 0.0, frame.y(frame.bottom_m))
    for (upper, lower), middle in zip(steps, middles):
        sheet.dimension((x, frame.y(upper)), (x, frame.y(lower)), "")
        sheet.write("sp-figure", x + 7.0, middle + 5.0, words(upper - lower))

    # High side: depth of edge or thickness of footing, and its width below.
    foot_from, foot_to, underside, top = shown.foot(at_right=False)
    x = frame.x(min(foot_from, shown.left_m)) - 12.0
    sheet.dimension((x, frame.y(top)), (x, frame.y(underside)), words(top - underside), "left")
    under = min(z for part in shown.parts for p in shown.of(part) for s, z in p if foot_from - 0.2 <= s <= foot_to + 0.2)
    y = frame.y(under) + 10.0
    width = works.sizes.get("footing_width_m", works.sizes.get("edge_width_m"))
    if square:
        sheet.dimension((frame.x(foot_from), y), (frame.x(foot_to), y), words(foot_to - foot_from), "below")
    elif width is not None:
        sheet.dimension((frame.x(foot_from), y), (frame.x(foot_to), y), f"{words(width)} wide", "below", ticks=False)

    # Height of wall or upstand above the floor.
    knee = _knee_words(shown, units)
    if knee:
        x = frame.x(shown.walls(shown.longest)[0][1]) + 12.0
        sheet.dimension((x, frame.y(works.sole_plate_m)), (x, frame.y(floor)), knee)

    # Fill where the floor ends on the low side, if it stands on the stripped ground there and not on a formation dug into it.
    fill = _fill_at_low_side(site, cut, shown)
    if fill is not None:
        top, stripped, at = fill
        x = frame.x(at) - 9.0
        sheet.dimension((x, frame.y(top)), (x, frame.y(stripped)), "")
        sheet.write("sp-figure", x + 5.0, frame.y(stripped) + 18.0, f"fill {words(top - stripped)}", "end")


def _fill_at_low_side(site: Site, cut: Cut, shown: _Cut) -> tuple[float, float, float] | None:
    """Underside of slab or insulation, and the stripped ground below it, m, where the floor ends on the low side; and where that is.

    None where the floor does not stand on stripped ground there.
    """
    works, run = shown.works, shown.runs[-1]
    underside = works.floor_level_m - works.slab_thickness_m
    flat = [p for p in shown.in_run(run, w.SLAB) if max(abs(p[0][1] - underside), abs(p[1][1] - underside)) < 1e-5]
    if not flat:
        return None
    at = (shown.walls(run)[1][0] if shown.foundation == w.FOOTING else max(p[1][0] for p in flat)) - 1e-4
    top = min((p[0][1] for p in shown.in_run(run, w.INSULATION)), default=underside)
    stripped = _ground_at_face(site, cut, at) - site.scenario.plot.topsoil_m
    stone = [_span(p, at)[0] for p in shown.of(w.SUB_BASE) if p[0][0] <= at <= p[1][0]]
    return (top, stripped, at) if stone and abs(min(stone) - stripped) < 0.001 else None


def _draw_flag(sheet: Sheet, frame: Frame, site: Site, cut: Cut, shown: _Cut, units: str) -> None:
    at = _flag_at(shown, frame.scale, units)
    lines = _build_up(site, shown, cut, at, units)
    x = frame.x(at)
    lowest = frame.y(_flag_above_m(shown)) - 8.0
    first = lowest - (len(lines) - 1) * LINE_UNITS
    sheet.line("sp-leader", (x, first - 11.0), (x, frame.y(lines[-1][0])))
    for i, (z, words) in enumerate(lines):
        y = first + i * LINE_UNITS
        sheet.line("sp-leader", (x, y - 5.0), (x + 6.0, y - 5.0))
        sheet.write("sp-label", x + 10.0, y, words)
        sheet.dot(x, frame.y(z))


def _draw_foot_of_sheet(sheet: Sheet, frame: Frame, site: Site, cut: Cut, shown: _Cut, units: str, sides: Sequence[Side]) -> None:
    y = frame.y(frame.bottom_m) + 16.0
    faces = [at for run in shown.runs for at in run]
    fitting = all(text_width(length(b - a).of(units)) + 6.0 <= (b - a) * frame.scale for a, b in zip(faces, faces[1:]))
    marks = faces if fitting else [faces[0], faces[-1]]
    for a, b in zip(marks, marks[1:]):
        sheet.dimension((frame.x(a), y), (frame.x(b), y), length(b - a).of(units), "below")
    for at in marks:
        sheet.line("sp-extension", (frame.x(at), frame.y(frame.bottom_m) - 10.0), (frame.x(at), y + 4.0))
    y += 17.0
    downhill = compass_words(cut.along)
    uphill = compass_words((-cut.along[0], -cut.along[1]))
    flat = site.gradient < LEVEL_GROUND_GRADIENT
    sheet.write("sp-note", frame.x(frame.left_m), y, uphill if flat else f"{uphill}, uphill")
    sheet.write("sp-note", frame.x(frame.right_m), y, downhill if flat else f"{downhill}, downhill", "end")
    y += 24.0
    scale_bar(sheet, frame.x(frame.left_m), y, frame.scale, units, ", the same across and up")
    notes = ["Levels in metres above the highest ground." if units == "metric" else "Levels above the highest ground."]
    half = site.scenario.building.door_width_m / 2
    for side, at in zip(sides, faces):
        if any(door.side.name == side.name and abs(side.along(cut.at(at)) - door.middle_m) < half for door in site.doors):
            notes.append(f"The {side.name} door is on this line: the wall is drawn as it is beside the door.")
    if len(shown.runs) > 1:
        notes.append(f"The line goes through the building {len(shown.runs)} times, with open ground between.")
    if shown.foot(at_right=True)[2] - shown.works.founding_level_m > 0.0005:
        notes.append(f"Deepest founding level, off this line: {level_mark(shown.works.founding_level_m).of(units)}.")
    if not _square(cut, sides):
        notes.append("Cut askew to the walls: across the page, walls and footings look wider than they are built.")
    y += 4.0
    for words in notes:
        y += LINE_UNITS + 2.0
        sheet.write("sp-note", frame.x(frame.left_m), y, words)
    sheet.height = y + 10.0


def _description(comparison: Comparison, result: SchemeResult, units: str, cut: Cut, shown: _Cut) -> str:
    site, works = comparison.site, result.works
    sizes = works.sizes

    def words(m: float) -> str:
        return length(m).of(units)

    drop = abs(_ground_at_face(site, cut, shown.left_m) - _ground_at_face(site, cut, shown.right_m))
    fall = f", {words(drop)} between the faces" if drop > 0.0005 else ""
    sentences = [
        f"Section through the {result.title[0].lower()}{result.title[1:]}, {words(shown.right_m - shown.left_m)} from face to face, "
        f"{compass_words((-cut.along[0], -cut.along[1]))} on the left, {compass_words(cut.along)} on the right, on ground {fall_words(site)}{fall}.",
        *([f"The line goes through the building {len(shown.runs)} times, with open ground between."] if len(shown.runs) > 1 else []),
        f"Floor {level_words(works.floor_level_m, units)} and {words(works.low_side_height_m)} above the lowest.",
        f"Sole plate {level_words(works.sole_plate_m, units)}.",
    ]
    build_up = _build_up(site, shown, cut, _flag_at(shown, 80.0, units), units)
    sentences.append("Floor from the top down: " + ", ".join(name for _, name in build_up) + ".")
    if "edge_width_m" in sizes:
        deepest = sizes.get("deepest_edge_m", sizes["edge_depth_m"])
        deeper = f", {words(deepest)} at its deepest" if deepest > sizes["edge_depth_m"] + 0.0005 else ""
        sentences.append(f"Edge thickening {words(sizes['edge_width_m'])} wide and {words(sizes['edge_depth_m'])} deep{deeper}.")
    if "footing_width_m" in sizes:
        sentences.append(
            f"Block wall {words(sizes['block_thickness_m'])} thick on a footing {words(sizes['footing_width_m'])} wide and {words(sizes['footing_thickness_m'])} thick.")
    if works.steps:
        sentences.append(f"{len(works.steps)} steps of {words(works.steps[0].height_m)} round the building.")
    sentences.append(f"Lowest founding level {level_words(works.founding_level_m, units)}.")
    if works.fill_depth_m > 0.0005:
        sentences.append(f"Fill under the floor up to {words(works.fill_depth_m)} deep.")
    if sizes.get("shoulder_m", 0.0) > 0.0005:
        sentences.append(f"Stone runs out past the low edge to a shoulder {words(sizes['shoulder_m'])} wide, then a batter.")
    return " ".join(sentences)
