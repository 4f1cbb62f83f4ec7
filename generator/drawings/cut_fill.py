"""What is dug and what is filled, seen from above: the ground as it is, where earth comes out and where stone goes in, and how deep."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from calculators import works as w
from calculators.compare import Comparison, SchemeResult
from calculators.ground import Piece
from calculators.plan import Point, polygon_centroid
from calculators.site import Site
from calculators.works import Works
from generator.display import length, level_mark, volume
from generator.drawings import on_plan
from generator.drawings.geometry import is_inside, outline
from generator.drawings.on_plan import BOUNDARY_SHOWN_M, WIDTH_UNITS, Entry, Page
from generator.drawings.placing import Room, around
from generator.drawings.scale import fall_words, level_words
from generator.drawings.sheet import Sheet, path_of, render

LEAST_DEPTH_M = 0.0005
"""Nothing shallower is called a dig or a fill."""
DIGS = (w.REDUCE_DIG, w.TRENCH_DIG)


@dataclass(frozen=True)
class Deepest:
    """The deepest place of a dig or a fill: where (m), and how deep (m)."""

    at: Point
    depth_m: float


def deepest(pieces: Iterable[Piece]) -> Deepest | None:
    """Where prisms are highest from bottom to top; None without any that is worth the name."""
    found = Deepest((0.0, 0.0), LEAST_DEPTH_M)
    for piece in pieces:
        for corner in piece.polygon:
            depth = piece.top.minus(piece.bottom).z(corner)
            # Of several as deep the first, whatever the last binary digit says.
            if depth > found.depth_m + 1e-7:
                # A little way in from the corner, where it can be pointed at.
                inner = polygon_centroid(piece.polygon)
                found = Deepest((corner[0] + 0.05 * (inner[0] - corner[0]), corner[1] + 0.05 * (inner[1] - corner[1])), depth)
    return found if found.depth_m > LEAST_DEPTH_M else None


def pieces_of(works: Works, *parts: str) -> list[Piece]:
    """The prisms of some parts of the works."""
    return [piece for solid in works.solids if solid.part in parts for piece in solid.pieces]


def bed_on_stripped(site: Site, works: Works) -> list[Piece]:
    """Stone of the bed that starts at the stripped ground, and not at a formation dug into it."""
    return [piece for piece in pieces_of(works, w.SUB_BASE) if _stands_on_stripped(site, piece)]


def filled_pieces(site: Site, works: Works) -> list[Piece]:
    """The same where no trench was dug below it: stone on ground that is left as it is."""
    trenches = pieces_of(works, w.TRENCH_DIG)
    return [piece for piece in bed_on_stripped(site, works) if not _over_any(piece, trenches)]


def _stands_on_stripped(site: Site, piece: Piece) -> bool:
    patches = site.stripped.over(piece.polygon)
    return all(abs(plane.z(p) - piece.bottom.z(p)) < 1e-7 for part, plane in patches for p in part)


def _over_any(piece: Piece, others: Sequence[Piece]) -> bool:
    middle = polygon_centroid(piece.polygon)
    return any(is_inside(other.polygon, middle) for other in others)


def cut_fill_svg(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> str:
    """What one scheme digs and fills as markup: an SVG in a box that scrolls where the screen is narrow.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    return render("drawing.svg.j2", sheet=cut_fill_sheet(comparison, result, units, id_prefix), kind="cut-fill")


def cut_fill_sheet(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> Sheet:
    """What one scheme digs and fills, placed but not yet written as markup."""
    site, works = comparison.site, result.works
    sheet = Sheet(id_prefix, f"Dig and fill: {result.title}" + (f", {works.variant}" if works.variant else ""))
    sheet.width = WIDTH_UNITS
    page = on_plan.page_of(site, works, units)
    room = Room(sheet, (1.0, 1.0, WIDTH_UNITS - 1.0, page.at((page.west, page.south))[1] + 4.0))
    filled = filled_pieces(site, works)
    depths = _depths(site, works)
    _draw_area(sheet, page, "fill", filled)
    _draw_area(sheet, page, "fill", pieces_of(works, w.BATTER))
    for part in DIGS:
        _draw_area(sheet, page, "dig", pieces_of(works, part))
    contours = on_plan.draw_contours(sheet, page, site, units)
    _draw_building(sheet, page, site, room)
    on_plan.draw_north(sheet, room)
    low = on_plan.draw_dimensions(sheet, page, site, works, room, units)
    on_plan.draw_corners(sheet, page, site, room, units)
    _name_depths(sheet, page, depths, room, units)
    on_plan.draw_boundary(sheet, page, site, room, units)
    on_plan.draw_soft_spots(sheet, page, site, room, units)
    marked, named = _draw_survey(sheet, page, site, room, units)
    on_plan.name_contours(room, contours)
    on_plan.draw_key(sheet, page, low, _key(site, works, page, filled, marked, named, units), units)
    sheet.description = _description(site, result, depths, units)
    return sheet


def _draw_area(sheet: Sheet, page: Page, hatch: str, pieces: Iterable[Piece]) -> None:
    # Where a dig or a fill runs out to nothing its prisms are slivers.
    polygons = [part for piece in pieces if (part := page.shown(piece.polygon))]
    sheet.hatched(f"sp-{hatch}-area", hatch, "".join(page.path(loop, closed=True) for loop in outline(polygons)))


def _draw_building(sheet: Sheet, page: Page, site: Site, room: Room) -> None:
    corners = [page.at(p) for p in site.plan.corners]
    sheet.path("sp-plan-outline", path_of(corners, closed=True))
    room.take(*corners, corners[0])


def _name_depths(sheet: Sheet, page: Page, depths: Sequence[tuple[str, Deepest]], room: Room, units: str) -> None:
    """The deepest figure of each dig and fill, at its place."""
    placed = [(words, page.at(found.at), found.depth_m) for words, found in depths]
    for _, (x, y), _ in placed:
        on_plan.draw_cross(sheet, x, y)
        room.take((x - 5.0, y - 5.0), (x + 5.0, y + 5.0))
    for words, at, depth in placed:
        room.place_near("sp-figure", f"{words} {length(depth).of(units)}", at)


def _depths(site: Site, works: Works) -> list[tuple[str, Deepest]]:
    """What is named on the drawing: words, where, and how deep."""
    found = [("dig", deepest(pieces_of(works, w.REDUCE_DIG))), ("trench", deepest(pieces_of(works, w.TRENCH_DIG)))]
    under = deepest(bed_on_stripped(site, works))
    if under is not None and works.fill_depth_m > LEAST_DEPTH_M:
        # Up to the underside of the floor, as the rule for fill counts it: sand and all.
        found.append(("fill", Deepest(under.at, works.fill_depth_m)))
    found.append(("batter", deepest(pieces_of(works, w.BATTER))))
    return [(words, place) for words, place in found if place is not None]


def _draw_survey(sheet: Sheet, page: Page, site: Site, room: Room, units: str) -> tuple[int, int]:
    """Surveyed points with their levels where there is room; returns how many points and how many levels are shown."""
    plot = site.scenario.plot
    if not plot.triangles:
        return 0, 0
    corners = {tuple(round(value, 3) for value in corner) for corner in site.plan.corners}
    marked = named = 0
    for x, y, _ in plot.levels_m:
        if not (page.west <= x <= page.east and page.south <= y <= page.north) or (round(x, 3), round(y, 3)) in corners:
            continue
        at = page.at((x, y))
        sheet.dot(*at)
        marked += 1
        level = _ground_at(site, (x, y))
        places = [place for ring in (0, 1) for place in around(at, (1.0, -1.0), ring)]
        named += room.place("sp-figure", level_mark(level).of(units), places, must=False)
    return marked, named


def _ground_at(site: Site, point: Point) -> float:
    """Level, m, of the existing ground at a surveyed point."""
    (x, y), d = point, 1e-4
    patches = site.ground.over(((x - d, y - d), (x + d, y - d), (x + d, y + d), (x - d, y + d)))
    return min(patches, key=lambda patch: math.dist(polygon_centroid(patch[0]), point))[1].z(point)


def _key(site: Site, works: Works, page: Page, filled: Sequence[Piece], marked: int, named: int, units: str) -> list[Entry]:
    entries = []
    dug = works.volume_m3(*DIGS)
    if dug > 0.0:
        entries.append(Entry("sp-dig-area", f"dug below the topsoil, {volume(dug).of(units)}; depths from the stripped ground", "dig"))
    batter = works.volume_m3(w.BATTER)
    if filled or batter > 0.0:
        words = "stone laid on the stripped ground" + (f", and the batter outside, {volume(batter).of(units)}" if batter > 0.0 else "")
        entries.append(Entry("sp-fill-area", f"{words}; fill up to the underside of the floor", "fill"))
    entries.append(Entry(on_plan.CROSS, "deepest place of each"))
    entries += [Entry("sp-plan-soft", words) for words in dict.fromkeys(words for _, _, words in on_plan.pieces_of_ground(site, units))]
    entries += on_plan.ground_entries(site, page, units)
    if marked:
        shown = "surveyed level" if named == marked else f"surveyed point; {named} of {marked} have room for their level"
        entries.append(Entry("sp-dot", shown))
    entries.append(Entry("sp-plan-outline", "outside of the building"))
    if any(d <= BOUNDARY_SHOWN_M for d in site.scenario.plot.boundary_m.values()):
        entries.append(Entry("sp-plan-boundary", "boundary"))
    return entries


def _description(site: Site, result: SchemeResult, depths: Sequence[tuple[str, Deepest]], units: str) -> str:
    def words(m: float) -> str:
        return length(m).of(units)

    sentences = [f"What the {result.title[0].lower()}{result.title[1:]} digs and fills, seen from above, north up, on ground {fall_words(site)}."]
    sentences.append("Existing ground at the corners: " + "; ".join(
        f"{name} {level_words(z, units)}" for name, z in zip(on_plan.corner_names(site), site.corner_levels_m)) + ".")
    said = {
        "dig": "The dig to formation is {} deep at its deepest, below the stripped ground.",
        "trench": "The trench is {} deep at its deepest, below the stripped ground.",
        "fill": "Fill under the floor is up to {} deep, above the stripped ground.",
        "batter": "The stone batter outside stands up to {} above the stripped ground.",
    }
    sentences += [said[name].format(words(found.depth_m)) for name, found in depths]
    if not any(name in ("fill", "batter") for name, _ in depths):
        sentences.append("No stone is laid on ground that is not dug.")
    for _, depth in site.scenario.plot.soft_spots_m:
        sentences.append(f"A soft spot is dug {words(depth)} deeper than the stripped ground.")
    for _, depth in site.scenario.plot.hollows_m:
        sentences.append(f"A hollow {words(depth)} deep is filled with stone.")
    for _, thickness in site.scenario.plot.existing_slabs_m:
        sentences.append(f"An old slab {words(thickness)} thick is broken out.")
    return " ".join(sentences)
