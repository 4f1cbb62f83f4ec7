"""The setting-out sheet of one scheme as a table for a spreadsheet or an instrument (RFC 4180), in metres."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from calculators.compare import Comparison, SchemeResult
from calculators.setting_out import SettingOut, staff_reading_m
from generator.bill_csv import cell
from generator.display import exactly
from generator.setting_out_page import sheet_of

COLUMNS = (
    "scheme", "what", "name", "side", "along_m", "square_m", "from_m", "to_m", "length_m", "ground_m", "dig_m", "level_m", "stone_m", "fill_m",
    "concrete_m", "concrete_top_m", "step_m", "overlap_m", "below_profiles_m", "reading_m",
)
"""`level_m` is the level to be met: of a dig's bottom, of a profile's top, of a layer.  `reading_m` is empty without a reading on the bench mark."""


def setting_out_csv(comparison: Comparison, results: Iterable[SchemeResult], mark_reading_m: float | None = None) -> str:
    """The sheets of some schemes as CSV text; a scheme outside the limits has no rows.

    `mark_reading_m`, m, is what the staff shows on the bench mark.
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval=None, lineterminator="\r\n")
    writer.writeheader()
    for result in results:
        if result.buildable:
            for row in _rows(sheet_of(comparison, result)):
                if mark_reading_m is not None and "level_m" in row:
                    row["reading_m"] = staff_reading_m(row["level_m"], mark_reading_m)
                row["scheme"] = result.id
                writer.writerow({name: cell(float(exactly(value)) if isinstance(value, float) else value) for name, value in row.items()})
    return out.getvalue()


def _rows(sheet: SettingOut) -> Iterable[dict]:
    along, square = sheet.high_point
    yield {"what": "bench mark", "name": sheet.high_corner or "", "along_m": along, "square_m": square, "level_m": 0.0}
    for what, spots in (("corner", sheet.corners), ("peg", sheet.pegs)):
        for spot in spots:
            yield {
                "what": what, "name": spot.name, "along_m": spot.along_m, "square_m": spot.square_m, "ground_m": spot.ground_m,
                "dig_m": spot.dig_m, "level_m": spot.dig_to_m, "stone_m": spot.stone_m, "fill_m": spot.fill_m,
            }
    for line in sheet.distances:
        yield {"what": "side" if line.side else "diagonal", "name": f"{line.first} to {line.second}", "side": line.side, "length_m": line.length_m}
    if sheet.triangle is not None:
        parts = sheet.triangle
        for name, length_m in (
            (f"{parts.corner} towards {parts.towards}", parts.along_m), (f"{parts.corner} towards {parts.other}", parts.square_m), ("across", parts.across_m),
        ):
            yield {"what": "square corner", "name": name, "length_m": length_m}
    for board in sheet.boards:
        yield {
            "what": "profile", "name": f"beyond {board.corner}", "side": board.side, "along_m": sheet.base.along(board.point),
            "square_m": sheet.base.inside(board.point), "length_m": board.back_m, "ground_m": board.ground_m, "level_m": sheet.sight_m,
        }
    for reach in sheet.reaches:
        for name, out_m in (("topsoil strip", reach.strip_m), ("dig", reach.dig_m), ("stone", reach.stone_m)):
            yield {"what": "out from the face", "name": name, "side": reach.side, "length_m": out_m}
    for bottom in sheet.bottoms:
        yield {
            "what": "bottom", "name": f"from {bottom.from_corner}", "side": bottom.side, "from_m": bottom.from_m, "to_m": bottom.to_m,
            "dig_m": bottom.most_dig_m, "level_m": bottom.formation_m, "concrete_m": bottom.concrete_m, "concrete_top_m": bottom.concrete_top_m,
            "step_m": bottom.step_m, "overlap_m": bottom.overlap_m, "below_profiles_m": bottom.traveller_m,
        }
    for run in sheet.runs:
        for name, (along_m, square_m), level_m in (("start", run.start, run.start_level_m), ("end", run.end, run.end_level_m)):
            yield {"what": run.what, "name": name, "along_m": along_m, "square_m": square_m, "level_m": level_m}
    for line in sheet.marks:
        yield {"what": "level", "name": line.name, "level_m": line.level_m, "below_profiles_m": line.traveller_m}
