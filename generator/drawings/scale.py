"""Directions in words and a bar to measure by."""

from __future__ import annotations

import math

from calculators.plan import Point
from calculators.site import LEVEL_GROUND_GRADIENT, Site
from generator.display import gradient, length
from generator.drawings.sheet import Sheet
from generator.quantities import factor

_POINTS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")

TWISTED_M = 0.05
"""Ground that has no fall as a whole, but whose corners differ by more than this, is not called level."""


def compass_words(direction: Point) -> str:
    """The compass point nearest to a direction (east, north).

    >>> compass_words((0.0, -1.0)), compass_words((-0.7, -0.7))
    ('south', 'south-west')
    """
    bearing = math.degrees(math.atan2(direction[0], direction[1]))
    return _POINTS[round(round(bearing, 6) / 45.0) % 8]


def fall_words(site: Site) -> str:
    """How the ground lies, to follow "ground"."""
    if site.gradient >= LEVEL_GROUND_GRADIENT:
        return f"falling {gradient(site.gradient)} to the {compass_words(site.downhill)}"
    return "taken as level" if site.lowest_ground_m > -TWISTED_M else "with no single fall"


def level_words(level_m: float, units: str, datum: str = "the highest ground") -> str:
    """A level in words, to the same figure as dimensions have.

    >>> level_words(-0.925, "metric"), level_words(0.0, "metric", "it")
    ('925 mm below the highest ground', 'level with it')
    """
    if abs(level_m) < 0.0005:
        return f"level with {datum}"
    return f"{length(abs(level_m)).of(units)} {'above' if level_m > 0 else 'below'} {datum}"


def scale_bar(sheet: Sheet, x: float, y: float, scale: float, units: str, after: str = "") -> None:
    """A bar of two metres or six feet, halved, at a place on the sheet, with words after it; scale in drawing units to a metre."""
    half_m = 1.0 if units == "metric" else 3.0 * float(factor("foot", "m"))
    half = half_m * scale
    sheet.path("sp-bar", f"M{x:.1f} {y - 4:.1f}h{half:.1f}v4h{-half:.1f}z")
    sheet.path("sp-bar-frame", f"M{x:.1f} {y - 4:.1f}h{2 * half:.1f}v4h{-2 * half:.1f}z")
    sheet.write("sp-note", x + 2 * half + 8.0, y + 2.0, f"{length(2 * half_m).of(units)}{after}")
