"""Finding room for words on a sheet: beside lines where that can be, and never on other words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import dist

from calculators.plan import Point
from generator.drawings.sheet import LINE_UNITS, Sheet, Words

Box = tuple[float, float, float, float]

APART_UNITS = 2.0
"""Least room between two lines of words."""
MOST_RINGS = 6
"""How many steps away from its point a figure may stand."""


@dataclass(frozen=True)
class Place:
    """Where a line of words may go: which end of it is there, and how far it is turned, degrees."""

    x: float
    y: float
    anchor: str = "start"
    turn: float = 0.0


@dataclass
class Room:
    """What is taken on a sheet: words and lines already there, between the limits left, top, right, bottom (drawing units)."""

    sheet: Sheet
    limits: Box
    lines: list[tuple[Point, Point]] = field(default_factory=list)

    def take(self, *points: Point) -> None:
        """A line through points (drawing units) that words should keep off."""
        self.lines += zip(points, points[1:])

    def place(self, css: str, words: str | Sequence[str], places: Iterable[Place], must: bool = True) -> bool:
        """Write words, one line or several under each other, at the first place free of words and lines, else of words.

        must: written even where no place is free of words, where they lie over
        the least; otherwise only where they lie on nothing.  Returns whether
        they were written.
        """
        tried = []
        # Most words find room at one of the first places, so the others are not worked out before they are wanted.
        for at in places:
            tried.append(self._block(css, words, at))
            if self._write_first(tried[-1:], off_lines=True):
                return True
        blocks = self._inside(tried)
        if not must or not blocks:
            return False
        if not self._write_first(blocks, off_lines=False):
            self.sheet.texts += min(blocks, key=self._words_under)
        return True

    def place_near(self, css: str, words: str | Sequence[str], at: Point, away: Point = (1.0, 0.0)) -> None:
        """Write words as near a point (drawing units) as can be, preferably to one side of it; over lines rather than further off."""
        rows = 1 if isinstance(words, str) else len(words)

        def ring(number: int) -> list[list[Words]]:
            return self._inside([self._block(css, words, place) for place in around(at, away, number, rows)])

        if not any(self._write_first(blocks, off_lines) for number in range(MOST_RINGS) for blocks in [ring(number)] for off_lines in (True, False)):
            self.sheet.texts += min(ring(0), key=self._words_under)

    def _block(self, css: str, words: str | Sequence[str], at: Place) -> list[Words]:
        """The words at a place."""
        rows = [words] if isinstance(words, str) else words
        return [Words(css, at.x, at.y + i * LINE_UNITS, row, at.anchor, at.turn) for i, row in enumerate(rows)]

    def _inside(self, blocks: list[list[Words]]) -> list[list[Words]]:
        """The blocks within the limits if there are any, else all."""
        return [block for block in blocks if all(self._fits(row.box) for row in block)] or blocks

    def _write_first(self, blocks: Sequence[Sequence[Words]], off_lines: bool) -> bool:
        for block in blocks:
            free = all(self._fits(row.box) for row in block) and not self._words_under(block)
            if free and not (off_lines and any(self._on_line(row.box) for row in block)):
                self.sheet.texts += block
                return True
        return False

    def _fits(self, box: Box) -> bool:
        left, top, right, bottom = self.limits
        return box[0] >= left and box[1] >= top and box[2] <= right and box[3] <= bottom

    def _words_under(self, block: Sequence[Words]) -> float:
        """Area of other words, square drawing units, under a block of words grown by the room between words."""
        return sum(_shared(row.box, text.box) for row in block for text in self.sheet.texts)

    def _on_line(self, box: Box) -> bool:
        return any(_crosses(box, a, b) for a, b in self.lines)


def _shared(a: Box, b: Box) -> float:
    width = min(a[2], b[2]) - max(a[0], b[0]) + APART_UNITS
    height = min(a[3], b[3]) - max(a[1], b[1]) + APART_UNITS
    return width * height if width > 0.0 and height > 0.0 else 0.0


def _crosses(box: Box, a: Point, b: Point) -> bool:
    """Whether a line runs through a box: Liang and Barsky's clipping (1984)."""
    start, end = 0.0, 1.0
    for axis, (low, high) in enumerate(((box[0], box[2]), (box[1], box[3]))):
        run = b[axis] - a[axis]
        if abs(run) < 1e-9:
            if not low <= a[axis] <= high:
                return False
            continue
        near, far = sorted(((low - a[axis]) / run, (high - a[axis]) / run))
        start, end = max(start, near), min(end, far)
    return start < end


def around(at: Point, away: Point, ring: int, rows: int = 1) -> list[Place]:
    """Places round a point (drawing units), those that lie most in one direction first; each ring lies further off."""
    gap, middle = 7.0, (rows - 1) * LINE_UNITS / 2
    far = gap + 12.0 * ring
    spots = [
        ((1.0, -1.0), far, -far - 2 * middle, "start"), ((-1.0, -1.0), -far, -far - 2 * middle, "end"),
        ((1.0, 1.0), far, far + 10.0, "start"), ((-1.0, 1.0), -far, far + 10.0, "end"),
        ((1.0, 0.0), far + 2.0, 5.0 - middle, "start"), ((-1.0, 0.0), -far - 2.0, 5.0 - middle, "end"),
        ((0.0, -1.0), 0.0, -far - 2.0 - 2 * middle, "middle"), ((0.0, 1.0), 0.0, far + 13.0, "middle"),
    ]
    spots.sort(key=lambda spot: -(spot[0][0] * away[0] + spot[0][1] * away[1]) / dist((0.0, 0.0), spot[0]))
    return [Place(at[0] + dx, at[1] + dy, anchor) for _, dx, dy, anchor in spots]


def along(points: Sequence[Point], every: float = 12.0) -> list[Place]:
    """Places for words set level on a line through points (drawing units), from its middle outward."""
    lengths = [dist(a, b) for a, b in zip(points, points[1:])]
    whole = sum(lengths)
    count = max(1, int(whole / every))
    middles = sorted(((i + 0.5) * whole / count for i in range(count)), key=lambda s: abs(s - whole / 2))
    found = []
    for s in middles:
        for (a, b), length in zip(zip(points, points[1:]), lengths):
            if s <= length:
                share = s / length
                found.append(Place(a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]) + 5.0, "middle"))
                break
            s -= length
    return found
