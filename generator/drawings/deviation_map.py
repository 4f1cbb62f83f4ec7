"""A floor seen from above: how far each place lies over or under the plane that it is held against, and where the straightedge shows most."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from calculators.flatness import Deviations
from calculators.floor_result import FloorResult
from calculators.ground import Flat, between
from calculators.plan import Point, Polygon
from generator.display import Shown, fine, fine_mark, length, same
from generator.drawings import on_plan
from generator.drawings.geometry import chained, contour, outline
from generator.drawings.on_plan import WIDTH_UNITS, Entry, Page
from generator.drawings.placing import Room, around
from generator.drawings.sheet import Sheet, path_of, render
from generator.quantities import factor

SIDE_UNITS = 58.0
TOP_UNITS = 30.0
LARGEST_SCALE = 140.0
TALLEST_UNITS = 460.0
INTERVALS = {"metric": (("mm", "1"), ("mm", "2"), ("mm", "5"), ("mm", "10"), ("mm", "20")),
             "imperial": (("inch", "0.05"), ("inch", "0.1"), ("inch", "0.2"), ("inch", "0.5"), ("inch", "1"))}
"""From one contour to the next: the first that needs no more than so many."""
MOST_CONTOURS = 8
AXIS = {"metric": ("m", 1), "imperial": ("foot", 3)}
"""From one figure to the next along the edges, as unit and count."""
UNIT_WORDS = {"metric": "mm", "imperial": "inches"}
STRAIGHTEDGE = "sp-plan-cut"
"""The class of the line of a straightedge: the thickest there is."""


def deviation_map_svg(found: FloorResult, finding: Shown, units: str, id_prefix: str) -> str:
    """The map as markup: a figure with its finding as caption.

    finding: what it shows, in a sentence; units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    note = (f"Figures are {UNIT_WORDS[units]} over (+) or under (−) the {plane_words(found)}, at each place where a level was taken. "
            "Between levels the floor is taken as flat in triangles.")
    return render("curve.html.j2", sheet=deviation_map_sheet(found, finding, units, id_prefix), kind="plan", note=note)


def plane_words(found: FloorResult) -> str:
    """What a floor is held against."""
    return "level plane at the mean of the levels" if found.survey.against_level else "plane that fits the levels best"


def deviation_map_sheet(found: FloorResult, finding: Shown, units: str, id_prefix: str) -> Sheet:
    """The map, placed but not yet written as markup.  Raises ValueError as `deviation_map_svg`."""
    sheet = Sheet(id_prefix, finding.of(units))
    sheet.width = WIDTH_UNITS
    page = _page(found)
    low = page.at((page.west, page.south))[1]
    room = Room(sheet, (1.0, 1.0, WIDTH_UNITS - 1.0, low + 4.0))
    off = found.wanted_m.value / 2.0
    parts, surface = found.floor.parts, found.floor.surface
    high = between(parts, Flat(found.plane.raised(off)), surface)
    under = between(parts, surface, Flat(found.plane.raised(-off)))
    _area(sheet, page, "sp-dig-area", "dig", [piece.polygon for piece in high])
    _area(sheet, page, "sp-fill-area", "fill", [piece.polygon for piece in under])
    contours = _contours(sheet, page, found, units)
    if found.outline is not None:
        sheet.path("sp-plan-footing", page.path(found.outline, closed=True))
    sheet.path("sp-plan-outline", "".join(page.path(loop, closed=True) for loop in outline(parts)))
    ends = [page.at(found.gap.start), page.at(found.gap.end)]
    sheet.path(STRAIGHTEDGE, path_of(ends))
    room.take(*ends)
    on_plan.draw_cross(sheet, *page.at(found.gap.at))
    named = _levels(sheet, page, found, room, units)
    on_plan.name_contours(room, contours)
    foot = _axes(sheet, page, units)
    on_plan.draw_key(sheet, page, foot, _entries(found, bool(high), bool(under), bool(contours), named, off, units), units)
    sheet.description = _description(found, units)
    return sheet


def _page(found: FloorResult) -> Page:
    points = [p for polygon in (*found.floor.parts, found.outline or ()) for p in polygon]
    west, east = min(x for x, _ in points), max(x for x, _ in points)
    south, north = min(y for _, y in points), max(y for _, y in points)
    scale = min(LARGEST_SCALE, (WIDTH_UNITS - 2 * SIDE_UNITS) / (east - west), TALLEST_UNITS / (north - south))
    return Page(west, south, east, north, scale, (WIDTH_UNITS - (east - west) * scale) / 2, TOP_UNITS)


def _area(sheet: Sheet, page: Page, css: str, hatch: str, polygons: Sequence[Polygon]) -> None:
    sheet.hatched(css, hatch, "".join(page.path(loop, closed=True) for loop in outline(polygons)))


def _contours(sheet: Sheet, page: Page, found: FloorResult, units: str) -> list[tuple[str, list[Point]]]:
    """Lines of one height over the plane; returns (height in words, line in drawing units)."""
    interval = _interval_m(found, units)
    deviations, lines = Deviations(found.floor, found.plane), []
    least, most = min(found.deviations_m), max(found.deviations_m)
    for count in range(math.ceil(least / interval - 1e-9), math.floor(most / interval + 1e-9) + 1):
        stretches = [stretch for part in found.floor.parts for stretch in contour(deviations, count * interval, part)]
        lines += [(fine_mark(count * interval).of(units), [page.at(p) for p in line]) for line in chained(stretches)]
    sheet.path("sp-plan-contour", "".join(path_of(line) for _, line in lines))
    return lines


def _interval_m(found: FloorResult, units: str) -> float:
    reach = max(found.deviations_m) - min(found.deviations_m)
    tried = [float(amount) * float(factor(unit, "m")) for unit, amount in INTERVALS[units]]
    return next((interval for interval in tried if reach / interval <= MOST_CONTOURS), tried[-1])


def _levels(sheet: Sheet, page: Page, found: FloorResult, room: Room, units: str) -> int:
    """A dot at each level with its height over the plane; returns how many had room for it."""
    order = sorted(range(len(found.deviations_m)), key=lambda i: i not in (found.highest, found.lowest))
    placed = []
    for i in order:
        at = page.at(found.floor.levels_m[i][:2])
        sheet.dot(*at)
        room.take((at[0] - 2.0, at[1] - 2.0), (at[0] + 2.0, at[1] + 2.0))
        placed.append((i, at))
    named = 0
    for i, at in placed:
        words = fine_mark(found.deviations_m[i]).of(units)
        before = len(sheet.texts)
        if i in (found.highest, found.lowest):
            room.place_near("sp-label", words, at)
        else:
            room.place("sp-figure", words, [place for ring in (0, 1) for place in around(at, (1.0, -1.0), ring)], must=False)
        named += len(sheet.texts) > before
    return named


def _axes(sheet: Sheet, page: Page, units: str) -> float:
    """Figures along the foot and the left edge, by which a place is found again with a tape; returns how far down they reach."""
    unit, count = AXIS[units]
    step = count * float(factor(unit, "m"))
    left, bottom = page.at((page.west, page.south))
    for i in _steps(page.west, page.east, step):
        x = page.at((i * step, 0.0))[0]
        sheet.line("sp-tick", (x, bottom + 5.0), (x, bottom + 11.0))
        sheet.write("sp-figure", x, bottom + 27.0, _whole(i * step).of(units), "middle")
    for i in _steps(page.south, page.north, step):
        y = page.at((0.0, i * step))[1]
        sheet.line("sp-tick", (left - 11.0, y), (left - 5.0, y))
        sheet.write("sp-figure", left - 15.0, y + 5.0, _whole(i * step).of(units), "end")
    return bottom + 30.0


def _steps(start: float, end: float, step: float) -> Iterable[int]:
    return range(math.ceil(start / step - 1e-6), math.floor(end / step + 1e-6) + 1)


def _whole(m: float) -> Shown:
    """A length with no idle decimals, for the edge of a map."""
    if abs(m) < 1e-9:
        return same("0")
    shown = length(m)
    return Shown(shown.metric.replace(".00 ", " "), shown.imperial)


def _entries(found: FloorResult, high: bool, under: bool, contours: bool, named: int, off: float, units: str) -> list[Entry]:
    amount = fine(off).of(units)
    entries = [Entry("sp-dig-area", f"more than {amount} over the plane", "dig")] if high else []
    if under:
        entries.append(Entry("sp-fill-area", f"more than {amount} under it", "fill"))
    if contours:
        entries.append(Entry("sp-plan-contour", f"line of one height over it, every {fine(_interval_m(found, units)).of(units)}"))
    count = len(found.deviations_m)
    entries.append(Entry("sp-dot", "level that was taken" if named == count else f"level that was taken; {named} of {count} have room for their figure"))
    entries.append(Entry(STRAIGHTEDGE, f"straightedge of {length(math.dist(found.gap.start, found.gap.end)).of(units)} where it shows most"))
    entries.append(Entry(on_plan.CROSS, f"its greatest gap, {fine(found.gap.gap_m).of(units)}"))
    entries.append(Entry("sp-plan-outline", "what was measured"))
    if found.outline is not None:
        entries.append(Entry("sp-plan-footing", "outside of the building"))
    return entries


def _description(found: FloorResult, units: str) -> str:
    def place(i: int) -> str:
        x, y, _ = found.floor.levels_m[i]
        return f"at x {length(x).of(units)}, y {length(y).of(units)}"

    highest, lowest = (found.deviations_m[i] for i in (found.highest, found.lowest))
    return (f"The floor seen from above, {len(found.deviations_m)} levels, held against the {plane_words(found)}. "
            f"Highest, {fine(highest).of(units)} over it, {place(found.highest)}. Lowest, {fine(-lowest).of(units)} under it, {place(found.lowest)}. "
            f"Greatest gap under the straightedge {fine(found.gap.gap_m).of(units)}.")
