"""The sketch on a setting-out sheet: corners, strings, profiles, pegs and the lines of the dig, base line at the foot."""

from __future__ import annotations

import math

from calculators.plan import Point
from calculators.setting_out import SettingOut
from calculators.site import Site
from generator.display import tape
from generator.drawings.scale import scale_bar
from generator.drawings.sheet import LINE_UNITS, Sheet, path_of, render, text_width

WIDTH_UNITS = 640.0
TALLEST_UNITS = 390.0
MARGIN_UNITS = 26.0
BOARD_UNITS = 11.0
NOTHING_M = 1e-6


def setting_out_svg(site: Site, sheet: SettingOut, units: str, id_prefix: str) -> str:
    """The sketch as markup.

    units: metric or imperial; id_prefix: unique on the page, a letter then letters, figures and hyphens (ValueError otherwise).
    """
    return render("drawing.svg.j2", sheet=setting_out_drawing(site, sheet, units, id_prefix), kind="plan")


class _Page:
    """Where a point (x, y), m, lies on the sheet: along the base line to the right, square to it upward."""

    def __init__(self, sheet: SettingOut, points: list[Point]):
        self.base = sheet.base
        alongs, squares = [self.base.along(p) for p in points], [self.base.inside(p) for p in points]
        self.west, self.north = min(alongs), max(squares)
        room = WIDTH_UNITS - 2 * MARGIN_UNITS
        self.scale = min(room / (max(alongs) - self.west), TALLEST_UNITS / (self.north - min(squares)))
        self.left = (WIDTH_UNITS - (max(alongs) - self.west) * self.scale) / 2
        self.foot = MARGIN_UNITS + (self.north - min(squares)) * self.scale

    def at(self, point: Point) -> Point:
        return (
            self.left + (self.base.along(point) - self.west) * self.scale,
            MARGIN_UNITS + (self.north - self.base.inside(point)) * self.scale,
        )

    def turned(self, direction: Point) -> Point:
        """A direction (east, north) as one on the sheet."""
        (dx, dy), (ix, iy) = self.base.direction, self.base.inward
        return (direction[0] * dx + direction[1] * dy, -(direction[0] * ix + direction[1] * iy))


def setting_out_drawing(site: Site, sheet: SettingOut, units: str, id_prefix: str) -> Sheet:
    """The sketch, placed but not yet written as markup."""
    plan = site.plan
    page = _Page(sheet, [board.point for board in sheet.boards] + list(plan.corners))
    drawing = Sheet(id_prefix, "Sketch for setting out, not a drawing to measure from")
    drawing.width = WIDTH_UNITS
    _draw_reaches(drawing, page, site, sheet)
    drawing.path("sp-plan-wall", path_of([page.at(p) for p in plan.corners], closed=True))
    _draw_boards(drawing, page, site, sheet)
    _draw_steps(drawing, page, site, sheet)
    for peg in sheet.pegs:
        x, y = page.at(peg.point)
        drawing.dot(x, y)
        drawing.write("sp-figure", x + 5.0, y - 4.0, peg.name)
    _draw_corners(drawing, page, sheet)
    _draw_sizes(drawing, page, site, units)
    _draw_north(drawing, page)
    _draw_foot(drawing, page, sheet, units)
    drawing.description = (
        f"Corners {sheet.corners[0].name} to {sheet.corners[-1].name}, {len(sheet.boards)} profiles beyond them with a string over each pair, "
        f"and pegs 1 to {len(sheet.pegs)} over the floor. Every place and level is in the tables.")
    return drawing


def _draw_reaches(drawing: Sheet, page: _Page, site: Site, sheet: SettingOut) -> None:
    """How far the dig and the stone go outside each side, and the inside of the trench."""
    reaches = {reach.side: reach for reach in sheet.reaches}
    for css, far in (("sp-plan-hachure", "stone_m"), ("sp-plan-footing", "dig_m")):
        for side in site.plan.sides:
            out = getattr(reaches[side.name], far)
            if out > NOTHING_M:
                low, high = side.span(-out)
                drawing.line(css, page.at(side.at(low, -out)), page.at(side.at(high, -out)))
    drawing.path("sp-plan-footing", path_of([page.at(p) for p in site.plan.inset(sheet.ring_m[1])], closed=True))


def _draw_boards(drawing: Sheet, page: _Page, site: Site, sheet: SettingOut) -> None:
    """Each board square to its string, and the string between the two boards of a side."""
    for side in site.plan.sides:
        ends = [page.at(board.point) for board in sheet.boards if board.side == side.name]
        drawing.line("sp-dimension", *ends)
        ux, uy = page.turned(side.direction)
        for x, y in ends:
            drawing.line("sp-plan-cut", (x - BOARD_UNITS * uy, y + BOARD_UNITS * ux), (x + BOARD_UNITS * uy, y - BOARD_UNITS * ux))


def _draw_steps(drawing: Sheet, page: _Page, site: Site, sheet: SettingOut) -> None:
    starts = {reach.side: reach.first for reach in sheet.reaches}
    outside, inside = sheet.ring_m
    for bottom in sheet.bottoms:
        if bottom.step_m > 0.0:
            side = site.plan.side(bottom.side)
            along = bottom.to_m if bottom.from_corner == starts[bottom.side] else side.length_m - bottom.to_m
            drawing.line("sp-plan-step", page.at(side.at(along, -outside)), page.at(side.at(along, inside)))


def _draw_corners(drawing: Sheet, page: _Page, sheet: SettingOut) -> None:
    """Each corner's letter outside it, between the two strings."""
    spots = sheet.corners
    for i, spot in enumerate(spots):
        x, y = page.at(spot.point)
        before, after = page.at(spots[i - 1].point), page.at(spots[(i + 1) % len(spots)].point)
        ux, uy = _away((x, y), before, after)
        drawing.dot(x, y)
        drawing.write("sp-corner", x + 17.0 * ux, y + 17.0 * uy + 6.0, spot.name, "middle")


def _away(at: Point, before: Point, after: Point) -> Point:
    """The direction out of the building at a corner, of length 1; on the sheet, where y runs down, corners run clockwise."""
    units = []
    for x, y in (before, after):
        run = math.hypot(x - at[0], y - at[1])
        units.append(((x - at[0]) / run, (y - at[1]) / run))
    (ax, ay), (bx, by) = units
    sx, sy = ax + bx, ay + by
    run = math.hypot(sx, sy)
    sign = -1.0 if ax * by - ay * bx > 0.0 else 1.0
    return (sign * sx / run, sign * sy / run) if run > 1e-6 else (by, -bx)


def _draw_sizes(drawing: Sheet, page: _Page, site: Site, units: str) -> None:
    """The length of each side, inside it."""
    for side in site.plan.sides:
        x, y = page.at(side.at(side.length_m / 2.0, 0.0))
        ux, uy = page.turned(side.direction)
        ix, iy = page.turned(side.inward)
        turn = math.degrees(math.atan2(uy, ux))
        if not -89.0 < turn < 91.0:
            turn += 180.0 if turn < 0 else -180.0
        # Letters stand on their line: on the far side of the wall they are let down by their own height.
        below = ix * -math.sin(math.radians(turn)) + iy * math.cos(math.radians(turn))
        away = 19.0 if below > 0.0 else 8.0
        drawing.write("sp-label", x + away * ix, y + away * iy, tape(side.length_m).of(units), "middle", turn)


def _draw_north(drawing: Sheet, page: _Page) -> None:
    ux, uy = page.turned((0.0, 1.0))
    x, y = WIDTH_UNITS - MARGIN_UNITS - 8.0, MARGIN_UNITS + 12.0
    tip, tail = (x + 16.0 * ux, y + 16.0 * uy), (x - 16.0 * ux, y - 16.0 * uy)
    drawing.line("sp-plan-arrow", tail, tip)
    drawing.line("sp-plan-arrow", (tip[0] - 8 * ux - 4 * uy, tip[1] - 8 * uy + 4 * ux), tip, (tip[0] - 8 * ux + 4 * uy, tip[1] - 8 * uy - 4 * ux))
    drawing.write("sp-label", tail[0] - 9.0 * ux, tail[1] - 9.0 * uy + 5.0, "N", "middle")


def _draw_foot(drawing: Sheet, page: _Page, sheet: SettingOut, units: str) -> None:
    y = page.foot + 34.0
    scale_bar(drawing, 6.0, y, page.scale, units)
    entries = [("sp-plan-wall", "outer face"), ("sp-dimension", "string"), ("sp-plan-cut", "profile")]
    entries.append(("sp-plan-footing", "edge of the trench" if sheet.trenched else "outside of the dig, inside of the edge"))
    if any(reach.stone_m > NOTHING_M for reach in sheet.reaches):
        entries.append(("sp-plan-hachure", "foot of the stone"))
    if any(bottom.step_m > 0.0 for bottom in sheet.bottoms):
        entries.append(("sp-plan-step", "step"))
    x, y = 6.0, y + 24.0
    for css, words in entries:
        room = 34.0 + text_width(words) + 14.0
        if x + room > WIDTH_UNITS + 14.0:
            x, y = 6.0, y + LINE_UNITS
        drawing.line(css, (x, y - 5.0), (x + 28.0, y - 5.0))
        drawing.write("sp-note", x + 34.0, y, words)
        x += room
    drawing.height = y + 8.0
