"""A setting-out sheet to print on two sides of A4, and the same as lines on a terminal.

Both show the same tables.  A sheet is on paper, so it shows one unit system:
the scenario's.  Nothing is worked out here.
"""

from __future__ import annotations

import textwrap
from collections import deque
from collections.abc import Iterable

from markupsafe import Markup

from calculators import setting_out as so
from calculators.compare import Comparison, SchemeResult
from calculators.plot_cautions import deepest_dig_m
from calculators.setting_out import SettingOut, set_out, staff_reading_m
from calculators.works import BATTER, DIGS
from generator.display import in_ascii, length, level, number, tape, tape_level
from generator.drawings.setting_out import setting_out_svg
from generator.quantities import factor
from generator.templating import TO_ROOT, fill, kept_together
from generator.sheet_tables import Table, table_lines
from generator.text_table import LAST_WORDS, WIDTH
from generator.wording import in_sentence

UNIT_WORDS = {"metric": "metres", "imperial": "feet (′) and inches (″)"}
NONE = "–"
OVER_BOUNDARY = "*"
DENSE_FROM = (20, 34)
"""With more rows than these on the first or the second side the letters are made smaller."""


# A page and its table ask for the same sheet one after the other.
_LAST: deque[tuple[SchemeResult, SettingOut]] = deque(maxlen=4)


def sheet_of(comparison: Comparison, result: SchemeResult) -> SettingOut:
    """The sheet of a scheme, what is free to choose on whole marks of the reader's tape.  Raises ValueError for a scheme outside the limits."""
    if not result.buildable:
        raise ValueError(no_sheet_words(result))
    for kept, sheet in _LAST:
        if kept is result:
            return sheet
    step = so.TAPE_STEP_M if comparison.scenario.units == "metric" else 3.0 * float(factor("inch", "m"))
    sheet = set_out(comparison.site, result.works, step)
    _LAST.append((result, sheet))
    return sheet


def no_sheet_words(result: SchemeResult) -> str:
    """Why a scheme has no sheet."""
    return f"{result.title}: outside the limits, so there are no sheets for it. Ask an engineer."


def file_name(result: SchemeResult, kind: str) -> str:
    """The name of a sheet's file beside the scenario's page; kind: html or csv."""
    return f"setting-out-{result.id}.{kind}"


def setting_out_page(comparison: Comparison, result: SchemeResult) -> str:
    """The whole HTML document of one sheet.  Raises ValueError for a scheme outside the limits."""
    sheet, units = sheet_of(comparison, result), comparison.scenario.units
    tables = {table.id: table for table in tables_of(comparison, sheet)}
    return fill(
        "setting_out", sheet_title="Setting out", scenario=comparison.scenario, result=result, works=result.works, site=comparison.site, sheet=sheet, tables=tables,
        unit_words=UNIT_WORDS[units], drawing=Markup(setting_out_svg(comparison.site, sheet, units, "sketch")), to_root=TO_ROOT,
        deepest_dig_m=deepest_dig_m(comparison.site, result.works, DIGS), stone_out=any(solid.part == BATTER for solid in result.works.solids), trade=so,
        size=lambda metres: kept_together(length(metres).of(units)), tape=lambda metres: tape(metres).of(units),
        mark=lambda metres: tape_level(metres).of(units), against=lambda metres, what: kept_together(level(metres, what).of(units)),
        dense=len(sheet.boards) + len(sheet.distances) > DENSE_FROM[0] or len(sheet.corners) + len(sheet.pegs) + len(sheet.bottoms) > DENSE_FROM[1],
        on_staff=lambda metres: f"R{_added(metres, units)}".replace(" ", "\u00a0"), high=_high_words(sheet, units),
    )


def setting_out_text(comparison: Comparison, result: SchemeResult, mark_reading_m: float | None = None, ascii_only: bool = False) -> str:
    """The sheet as lines for a terminal, in the scenario's units.

    `mark_reading_m`, m, is what the staff shows on the bench mark: then every
    level is given as a reading too.  `ascii_only` keeps to plain letters.
    Raises ValueError for a scheme outside the limits.
    """
    plain = in_ascii if ascii_only else str
    sheet, scenario = sheet_of(comparison, result), comparison.scenario
    lines = [
        *textwrap.wrap(f"{scenario.title}. Setting out the {in_sentence(result.title)}, in {UNIT_WORDS[scenario.units]}.", WIDTH), "",
        *textwrap.wrap(f"Level 0 is the highest ground under the building, {_high_words(sheet, scenario.units)}. A reading on the staff is R, the reading on the bench mark, less the level.", WIDTH),
    ]
    for table in tables_of(comparison, sheet, mark_reading_m):
        lines += ["", *table_lines(table)]
    lines += ["", "Have buried services traced before anything is driven or dug. A trench can fall in at any depth.", LAST_WORDS]
    return plain("\n".join(lines) + "\n")


def _high_words(sheet: SettingOut, units: str) -> str:
    if sheet.high_corner is not None:
        return f"at corner {sheet.high_corner}"
    along, square = (tape(metres).of(units) for metres in sheet.high_point)
    return f"{along} along from {sheet.origin} and {square} square to the base line"


def _added(level_m: float, units: str) -> str:
    """What is put to the bench mark's reading for a level: less the level."""
    words = tape_level(so.staff_reading_m(level_m, 0.0)).of(units)
    return "" if words.startswith("±") else f" {words[0]} {words[1:]}"


# The tables.


def tables_of(comparison: Comparison, sheet: SettingOut, mark_reading_m: float | None = None) -> Iterable[Table]:
    """Every table of the sheet, in order, in the scenario's units."""
    units = comparison.scenario.units

    def at(metres: float) -> str:
        return tape(metres).of(units)

    def some(metres: float) -> str:
        return at(metres) if metres > so.SAME_M else NONE

    def mark(metres: float) -> str:
        return tape_level(metres).of(units)

    def reading(level_m: float) -> str:
        return "" if mark_reading_m is None else at(staff_reading_m(level_m, mark_reading_m))

    square_corners = all(abs(angle - 90.0) < so.SQUARE_DEG for angle in sheet.angles_deg)
    yield Table(
        "corners", f"Corners, from {sheet.origin} along the base line to {sheet.base_end}, and square to it",
        ("", "Along", "Square", *(() if square_corners else ("Angle",))),
        tuple((spot.name, at(spot.along_m), at(spot.square_m), *(() if square_corners else (f"{number(angle, 1)}°",)))
              for spot, angle in zip(sheet.corners, sheet.angles_deg)))
    yield Table(
        "lengths", "Sides and diagonals, on a level tape", ("", "Length"),
        tuple((f"{line.first} to {line.second}{', ' + line.side if line.side else ''}", at(line.length_m)) for line in (*sheet.sides, *sheet.diagonals)))
    if sheet.triangle is not None:
        square = sheet.triangle
        yield Table(
            "square", f"A square corner at {square.corner}: 3, 4 and 5 parts", ("", "Length"),
            ((f"{square.corner} towards {square.towards}", at(square.along_m)), (f"{square.corner} towards {square.other}", at(square.square_m)),
             ("between the two marks", at(square.across_m))))
    yield Table(
        "reaches", "How far out from each face", ("Side", "Topsoil off", "Dig", "Stone"),
        tuple((f"{reach.first} to {reach.second}, {reach.side}", some(reach.strip_m), some(reach.dig_m), some(reach.stone_m)) for reach in sheet.reaches))
    by_end = {(board.side, board.corner): board for board in sheet.boards}
    rows = []
    for reach in sheet.reaches:
        cells = [f"{reach.first} to {reach.second}, {reach.side}"]
        for corner in (reach.first, reach.second):
            board = by_end[reach.side, corner]
            cells += [at(board.back_m) + (OVER_BOUNDARY if board.over_boundary else ""), mark(board.ground_m), at(board.height_m)]
        rows.append(tuple(cells))
    yield Table(
        "boards", f"Profiles, in line with each side beyond its corners; their tops at {mark(sheet.sight_m)}",
        ("Side", "Back from the first", "Ground there", "Top above it", "Back from the second", "Ground there", "Top above it"), tuple(rows),
        f"{OVER_BOUNDARY} Beyond your boundary: ask your neighbour first, or hold the string nearer in." if any(board.over_boundary for board in sheet.boards) else "")
    yield Table(
        "marks", "Levels, from the bottom up", ("", "Level", "On the staff", "Reading", "Below the profiles"),
        tuple((line.name, mark(line.level_m), f"R{_added(line.level_m, units)}", reading(line.level_m), some(line.traveller_m)) for line in sheet.marks))
    yield Table(
        "spots", "Corners and pegs: what is there, and what to do",
        ("", "Along", "Square", "Ground", "Dig down", "Dig to", "Stone", "of it fill", "Reading"),
        tuple((spot.name, at(spot.along_m), at(spot.square_m), mark(spot.ground_m), at(spot.dig_m), mark(spot.dig_to_m), some(spot.stone_m), some(spot.fill_m),
               reading(spot.dig_to_m)) for spot in (*sheet.corners, *sheet.pegs)))
    yield _bottoms(sheet, at, some, mark, reading)
    yield Table(
        "runs", f"Doors, walls inside and drains, from {sheet.origin} along the base line and square to it",
        ("", "From along", "Square", "Level", "To along", "Square", "Level"),
        tuple((run.what, at(run.start[0]), at(run.start[1]), mark(run.start_level_m), at(run.end[0]), at(run.end[1]), mark(run.end_level_m)) for run in sheet.runs),
        "The level of a door is its threshold's, of a wall inside the bottom of its dig, of a drain the bottom of its trench: lay its pipe to fall all the way.")


def _bottoms(sheet: SettingOut, at, some, mark, reading) -> Table:
    trench = sheet.trenched
    rows = []
    for bottom in sheet.bottoms:
        shallow, deep = (at(depth) if depth >= 0.0 else f"fill {at(-depth)}" for depth in (bottom.least_dig_m, bottom.most_dig_m))
        rows.append((
            f"{bottom.side}, from {bottom.from_corner}", at(bottom.from_m), at(bottom.to_m), mark(bottom.formation_m),
            shallow if shallow == deep else f"{shallow} to {deep}",
            mark(bottom.concrete_top_m if trench else bottom.concrete_m), some(bottom.step_m), some(bottom.overlap_m), at(bottom.traveller_m), reading(bottom.formation_m)))
    return Table(
        "bottoms", f"{'Trench bottoms' if trench else 'Bottoms under the edge'}, along each wall from its higher end",
        ("Wall", "From", "To", "Bottom", "Below ground", "Top of footing" if trench else "Under concrete", "Step down", "Overlap", "Below profiles", "Reading"),
        tuple(rows))
