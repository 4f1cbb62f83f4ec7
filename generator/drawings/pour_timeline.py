"""The day of a pour along the clock: each lorry, what is done to the face, and the light."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from calculators.pours import Pour
from calculators.scenario import SURFACES
from generator.dates import date_words
from generator.display import clock, duration, volume
from generator.drawings.sheet import Sheet, path_of, render, text_width

WIDTH_UNITS = 640.0
ROW_UNITS = 27.0
BAR_UNITS = 13.0
TOP_UNITS = 26.0
BETWEEN_HOURS_UNITS = 16.0
BRUSHED, FLOATED, TROWELLED, POWER_FLOATED = SURFACES


@dataclass(frozen=True)
class Stretch:
    """One bar of the day: what is done, from and until which hour of the day, h; `waits_from_h` is where a lorry's waiting begins to be charged."""

    label: str
    from_h: float
    until_h: float
    waits_from_h: float | None = None


def pour_timeline_table(pour: Pour, units: str) -> tuple[Stretch, ...]:
    """The bars of the day, in their order; none where no times are held.  units: metric or imperial."""
    day = pour.day
    if day is None:
        return ()
    rows = [Stretch(f"Lorry {number}, {volume(load.load_m3).of(units)}" if len(day.loads) > 1 else f"Lorry, {volume(load.load_m3).of(units)}",
                    load.arrives_h, load.empty_h, pour.free_until_h(load)) for number, load in enumerate(day.loads, start=1)]
    if pour.strikes_only:
        return tuple(rows)
    rows.append(Stretch("Float by hand", day.first_float_h, day.float_h))
    if pour.surface == BRUSHED:
        rows.append(Stretch("Brush", day.float_h, day.finished_h))
    elif pour.surface == FLOATED:
        rows.append(Stretch("Float again", day.float_h, day.finished_h))
    else:
        if pour.surface == POWER_FLOATED:
            rows.append(Stretch("Power float", day.power_float_h, day.trowel_h))
        rows.append(Stretch("Trowel", day.trowel_h, day.finished_h))
    return tuple(rows)


def pour_timeline_svg(pour: Pour, units: str, id_prefix: str) -> str:
    """The day as markup; nothing where no times are held.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    if pour.day is None:
        return ""
    return render("drawing.svg.j2", sheet=pour_timeline_sheet(pour, units, id_prefix), kind="ranges")


def pour_timeline_sheet(pour: Pour, units: str, id_prefix: str) -> Sheet:
    """The day, placed but not yet written as markup.  Raises ValueError where no times are held."""
    rows, day = pour_timeline_table(pour, units), pour.day
    if day is None:
        raise ValueError("a day without times has no timeline")
    sheet = Sheet(id_prefix, f"{pour.name}: the day by the clock, {date_words(pour.date)}")
    sheet.width = WIDTH_UNITS
    left = max(text_width(row.label) for row in rows) + 12.0
    first_h = floor(min(day.loads[0].batched_h, pour.sunrise_h if pour.sunrise_h > day.loads[0].batched_h - 2.0 else day.loads[0].batched_h))
    last_h = ceil(max([row.until_h for row in rows] + ([pour.dusk_h] if pour.dusk_h < max(row.until_h for row in rows) + 4.0 else []))) + 0.5
    scale = (WIDTH_UNITS - 8.0 - left) / (last_h - first_h)

    def x(hour: float) -> float:
        return left + (hour - first_h) * scale

    bottom = TOP_UNITS + ROW_UNITS * len(rows) + 4.0
    light = (max(first_h, pour.sunrise_h), min(last_h, pour.dusk_h))
    if light[1] > light[0]:
        sheet.path("sp-curve-good", path_of([(x(light[0]), TOP_UNITS), (x(light[1]), TOP_UNITS), (x(light[1]), bottom), (x(light[0]), bottom)], closed=True))
    _draw_hours(sheet, x, scale, first_h, last_h, bottom)
    for number, row in enumerate(rows):
        top = TOP_UNITS + ROW_UNITS * number + 8.0
        _draw_bar(sheet, x, row, top)
        if number < len(day.loads):
            load = day.loads[number]
            sheet.line("sp-driver-turn", (x(load.batched_h), top + BAR_UNITS / 2), (x(load.arrives_h), top + BAR_UNITS / 2))
            old_h = pour.too_old_h(load)
            if old_h <= last_h:
                sheet.line("sp-plan-step", (x(old_h), top - 4.0), (x(old_h), top + BAR_UNITS + 4.0))
    for words, hour in (("sunrise", pour.sunrise_h), ("dusk", pour.dusk_h)):
        if first_h <= hour <= last_h:
            sheet.line("sp-curve-limit", (x(hour), TOP_UNITS - 4.0), (x(hour), bottom))
            room = text_width(words) / 2.0
            sheet.write("sp-note", min(max(x(hour), room), WIDTH_UNITS - room), TOP_UNITS - 9.0, words, "middle")
    sheet.height = bottom + 24.0
    sheet.description = _description(pour, rows)
    return sheet


def _draw_hours(sheet: Sheet, x, scale: float, first_h: float, last_h: float, bottom: float) -> None:
    """A line at every whole hour, or every second or third, with its figure below."""
    step = next(step for step in (1, 2, 3, 4, 6, 12) if step * scale >= text_width("00:00") + BETWEEN_HOURS_UNITS)
    for hour in range(ceil(first_h / step) * step, floor(last_h) + 1, step):
        sheet.line("sp-curve-grid", (x(hour), TOP_UNITS), (x(hour), bottom))
        if text_width("00:00") / 2.0 <= WIDTH_UNITS - x(hour):
            sheet.write("sp-figure", x(hour), bottom + 17.0, clock(hour % 24.0), "middle")


def _draw_bar(sheet: Sheet, x, row: Stretch, top: float) -> None:
    """The bar of one row: plain while it is free, in another pattern from where waiting is charged."""
    turn = row.until_h if row.waits_from_h is None else min(row.until_h, max(row.from_h, row.waits_from_h))
    for css, start, end in (("sp-driver-high", row.from_h, turn), ("sp-driver-low", turn, row.until_h)):
        if end > start:
            # A bar of no length would not be seen.
            far = max(x(end), x(start) + 2.0)
            sheet.path(css, path_of([(x(start), top), (far, top), (far, top + BAR_UNITS), (x(start), top + BAR_UNITS)], closed=True))
    sheet.write("sp-label", 0.0, top + BAR_UNITS - 2.0, row.label)


def _description(pour: Pour, rows: Sequence[Stretch]) -> str:
    parts = [f"Hours of the clock along the foot; light from sunrise at {clock(pour.sunrise_h)} to dusk at {clock(pour.dusk_h)}."]
    for row in rows:
        charged = "" if row.waits_from_h is None or row.waits_from_h >= row.until_h else f", charged as waiting from {clock(row.waits_from_h)}"
        parts.append(f"{row.label}: {clock(row.from_h)} to {clock(row.until_h)}, {duration(row.until_h - row.from_h)}{charged}.")
    return " ".join(parts)
