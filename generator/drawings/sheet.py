"""A sheet of drawing: paths and words placed in drawing units, handed to a template.

The template and the style sheet decide how each class looks; nothing here
knows a colour.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from calculators.plan import Point

TEXT_UNITS = 15.0
"""Height of letters; the style sheet sets the same."""

LINE_UNITS = 18.0
"""From one line of words to the next."""

_NARROW = set(" .,:;'|ijlIft()/")
_WIDE = set("mwMW%+±−")


def text_width(words: str) -> float:
    """Roughly how wide words are, drawing units, in the letters of a common sans-serif, on the wide side."""
    share = sum(0.36 if c in _NARROW else 0.92 if c in _WIDE else 0.62 for c in words)
    return share * TEXT_UNITS


def figure(value: float) -> str:
    """A coordinate as it is written: to a tenth of a unit.

    >>> figure(12.04), figure(-0.01), figure(3.25)
    ('12', '0', '3.2')
    """
    words = f"{value:.1f}"
    words = words.removesuffix(".0")
    return "0" if words == "-0" else words


def path_of(points: Sequence[Point], closed: bool = False) -> str:
    """Path data through points in drawing units."""
    words = "M" + "L".join(f"{figure(x)} {figure(y)}" for x, y in points)
    return words + "Z" if closed else words


@dataclass(frozen=True)
class Words:
    """A line of words: where, which end of it is there (start, middle, end), and how far it is turned, degrees."""

    css: str
    x: float
    y: float
    words: str
    anchor: str = "start"
    turn: float = 0.0

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of the room it takes, drawing units."""
        width = text_width(self.words)
        left = {"start": 0.0, "middle": -width / 2, "end": -width}[self.anchor]
        turn = math.radians(self.turn)
        corners = [(dx, dy) for dx in (left, left + width) for dy in (-0.75 * TEXT_UNITS, 0.2 * TEXT_UNITS)]
        xs = [self.x + dx * math.cos(turn) - dy * math.sin(turn) for dx, dy in corners]
        ys = [self.y + dx * math.sin(turn) + dy * math.cos(turn) for dx, dy in corners]
        return (min(xs), min(ys), max(xs), max(ys))


@dataclass
class Sheet:
    """What is drawn, in order, and the words of its text alternative."""

    prefix: str
    title: str
    description: str = ""
    width: float = 0.0
    height: float = 0.0
    shapes: list[dict] = field(default_factory=list)
    texts: list[Words] = field(default_factory=list)
    hatches: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", self.prefix):
            raise ValueError(f"A drawing's prefix is a letter, then letters, figures and hyphens, not {self.prefix!r}.")

    def path(self, css: str, data: str) -> None:
        """A path of one class."""
        if data:
            self.shapes.append({"css": css, "data": data})

    def line(self, css: str, *points: Point) -> None:
        """Straight lines through points in drawing units."""
        self.path(css, path_of(points))

    def hatched(self, css: str, material: str, data: str) -> None:
        """A body of one material: its colour with its hatch over it."""
        if data:
            if material not in self.hatches:
                self.hatches.append(material)
            self.shapes.append({"css": css, "data": data, "hatch": material})

    def dot(self, x: float, y: float) -> None:
        """A small dot."""
        self.shapes.append({"dot": (figure(x), figure(y))})

    def write(self, css: str, x: float, y: float, words: str, anchor: str = "start", turn: float = 0.0) -> None:
        """A line of words, drawn over all paths."""
        self.texts.append(Words(css, x, y, words, anchor, turn))

    def dimension(self, a: Point, b: Point, words: str, beside: str = "right", ticks: bool = True) -> None:
        """A dimension line from one point to another with its figure, if any, at the middle: right, left, above or below."""
        (xa, ya), (xb, yb) = a, b
        if ticks:
            self.line("sp-dimension", a, b)
            for x, y in (a, b):
                self.line("sp-tick", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0))
        x, y = (xa + xb) / 2, (ya + yb) / 2
        if not words:
            return
        if beside == "right":
            self.write("sp-figure", x + 7.0, y + 5.0, words)
        elif beside == "left":
            self.write("sp-figure", x - 7.0, y + 5.0, words, "end")
        else:
            self.write("sp-figure", x, y + (-6.0 if beside == "above" else 17.0), words, "middle")


def spread_out(wanted: Iterable[float], least_gap: float, lowest: float, highest: float) -> list[float]:
    """Places as near as can be to those wanted (ascending), no closer than a gap, within limits (drawing units).

    >>> spread_out([10.0, 12.0, 40.0], 8.0, 0.0, 100.0)
    [7.0, 15.0, 40.0]
    """
    groups: list[list[float]] = []  # sum of wanted places less their offsets, count
    for place in wanted:
        groups.append([place, 1.0])
        while len(groups) > 1 and groups[-1][0] / groups[-1][1] - _foot(groups[-2], least_gap) < least_gap:
            last = groups.pop()
            before = groups[-1]
            before[0] += last[0] - last[1] * before[1] * least_gap
            before[1] += last[1]
    places: list[float] = []
    for total, count in groups:
        places += [total / count + i * least_gap for i in range(int(count))]
    for i, place in enumerate(places):
        floor = lowest if i == 0 else places[i - 1] + least_gap
        places[i] = max(place, floor)
    for i in reversed(range(len(places))):
        ceiling = highest if i == len(places) - 1 else places[i + 1] - least_gap
        places[i] = min(places[i], ceiling)
    return places


def _foot(group: list[float], gap: float) -> float:
    return group[0] / group[1] + (group[1] - 1) * gap


@cache
def _templates() -> Environment:
    folder = Path(__file__).resolve().parent.parent / "templates"
    environment = Environment(
        loader=FileSystemLoader(folder), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
    )
    environment.filters["figure"] = figure
    return environment


def render(template: str, **names) -> str:
    """One of the drawing templates filled in."""
    return _templates().get_template(f"drawings/{template}").render(**names)
