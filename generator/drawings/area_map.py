"""A map of which scheme is cheapest over slope and floor area: drawn, as rows of a table, and in sentences."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor, sqrt

from calculators.maps import CLEAR_SHARE, CLOSE_SHARE, Cell, Map, bands
from calculators.plan import Point
from generator.display import Shown, area, gradient, percent, same
from generator.drawings.on_plan import wrapped
from generator.drawings.sheet import LINE_UNITS, TEXT_UNITS, Sheet, path_of, render, text_width
from generator.phrases import in_sentence, sentence
from generator.problems import listed

WIDTH_UNITS = 640.0
LEFT_UNITS = 74.0
TOP_UNITS = 48.0
ROW_UNITS = 54.0
RING_UNITS = 8.0

NONE, ONLY, CLOSE, SOME, CLEAR = "none", "only", "close", "some", "clear"
"""How a place of the map stands: nothing can be built, only one scheme can, too close to call, some lead, a clear lead."""
SPACING_UNITS = {CLOSE: 12.0, SOME: 12.0, CLEAR: 6.0, ONLY: 6.0}
"""From line to line of a hatch: a clear lead is drawn densely, and what is too close to call with dotted lines."""
LINES: tuple[tuple[Point, ...], ...] = (((1.0, 1.0),), ((1.0, -1.0),), ((0.0, 1.0),), ((1.0, 0.0),), ((1.0, 1.0), (1.0, -1.0)))
"""One hatch for each scheme: what is the same all along its lines, as shares of x and y.  Rising, falling, level, upright, crossed."""


def standing(cell: Cell) -> str:
    """How a place of the map stands.

    >>> standing(Cell(0.1, 24.0, "a", 0.049)), standing(Cell(0.1, 24.0, "a", 0.15)), standing(Cell(0.1, 24.0, "a", None))
    ('close', 'clear', 'only')
    """
    if cell.first is None:
        return NONE
    if cell.lead is None:
        return ONLY
    return CLOSE if cell.lead < CLOSE_SHARE else SOME if cell.lead < CLEAR_SHARE else CLEAR


@dataclass(frozen=True)
class MapCell:
    """One place of the table: the cheapest scheme's id or None, how it stands, and its lead in words, empty where it has none."""

    first: str | None
    standing: str
    lead: str


@dataclass(frozen=True)
class MapRow:
    """One slope of the table, in words, and its places in the order of the areas."""

    slope: str
    cells: tuple[MapCell, ...]


def area_map_table(found: Map) -> tuple[MapRow, ...]:
    """The numbers of the map, one row for each slope, from level ground up."""
    return tuple(
        MapRow(gradient(slope), tuple(MapCell(cell.first, standing(cell), "" if cell.lead is None else percent(cell.lead)) for cell in row))
        for slope, row in zip(found.slopes, found.cells))


def map_area(m2: float) -> Shown:
    """An area in words; a whole number of m2 has no decimals.

    >>> map_area(24.0), map_area(27.72).metric
    (Shown(metric='24 m²', imperial='258 ft²'), '27.7 m²')
    """
    shown = area(m2)
    return Shown(shown.metric.replace(".0 ", " "), shown.imperial.replace(".0 ", " "))


def about_slope(rise_over_run: float) -> str:
    """A slope in words, to a whole number of the run: a border of the map is known no finer.

    >>> about_slope(0.0857), about_slope(0.1458), about_slope(0.0), about_slope(0.4)
    ('1 in 12', '1 in 7', 'level', '1 in 2.5')
    """
    words = gradient(rise_over_run)
    run = 1.0 / rise_over_run if words != "level" else 0.0
    return gradient(1.0 / round(run)) if run > 4.0 else words


def short_names(names: Mapping[str, str]) -> dict[str, str]:
    """The first words of each title, as many as tell it from the others.

    >>> short_names({"a": "Thickened raft", "b": "Strip footing, block and slab"})
    {'a': 'Thickened', 'b': 'Strip'}
    >>> short_names({"a": "Slab on stone", "b": "Slab on piles"})
    {'a': 'Slab on stone', 'b': 'Slab on piles'}
    """
    titles = {scheme: title.split() for scheme, title in names.items()}
    for count in range(1, max(map(len, titles.values()), default=0)):
        short = {scheme: " ".join(words[:count]).rstrip(",") for scheme, words in titles.items()}
        if len(set(short.values())) == len(short):
            return short
    return dict(names)


# In sentences.


def frontier_sentences(found: Map, names: Mapping[str, str], area_m2: float) -> tuple[Shown, ...]:
    """Where the borders of the map lie at one area, in plain words: what is cheapest from slope to slope, where that is too close to call, where nothing else will do.

    names: titles by id; area_m2: m2, of which the nearest on the map is taken.
    """
    column = min(range(len(found.areas_m2)), key=lambda i: abs(found.areas_m2[i] - area_m2))
    cells = [row[column] for row in found.cells]
    sentences = [map_area(found.areas_m2[column]).with_words("At about ", f" {_bands_words(found, names, area_m2)}.")]
    close = _slopes_words([standing(cell) == CLOSE for cell in cells], found.slopes)
    if close:
        sentences.append(same(sentence(f"{close} it is too close to call: the best two are less than {percent(CLOSE_SHARE)} apart.")))
    only = _slopes_words([standing(cell) == ONLY for cell in cells], found.slopes)
    if only:
        sentences.append(same(sentence(f"{only} nothing else can be built inside the limits.")))
    return tuple(sentences)


def _bands_words(found: Map, names: Mapping[str, str], area_m2: float) -> str:
    """What is cheapest from slope to slope, after "At about 24 m²"."""
    on_the_map = bands(found, area_m2)

    def who(first: str | None, verb: str = "") -> str:
        return "nothing can be built inside the limits" if first is None else f"{verb}the {in_sentence(names[first])}"

    if len(on_the_map) == 1:
        first, last = found.slopes[0], found.slopes[-1]
        everywhere = f"on every slope of this map, from {about_slope(first)} to {about_slope(last)}"
        return f"{who(on_the_map[0].first)} {everywhere}" if on_the_map[0].first is None else f"{who(on_the_map[0].first)} is cheapest {everywhere}"
    parts = []
    for i, band in enumerate(on_the_map):
        upto = f"on ground up to about {about_slope(band.to_gradient)}" if i == 0 else f"from there up to about {about_slope(band.to_gradient)}"
        if i == len(on_the_map) - 1:
            upto = "on steeper ground"
        if i == 0:
            parts.append(f"{who(band.first)}{' is cheapest' if band.first else ''} {upto}")
        else:
            parts.append(f"{upto} {who(band.first, 'it is ')}")
    return "; ".join(parts)


def _slopes_words(chosen: Sequence[bool], slopes: Sequence[float]) -> str:
    """Where on the map something is so, by its slopes, to start a sentence with; empty where it is nowhere."""
    words = []
    for is_chosen, group in groupby(range(len(slopes)), key=lambda i: chosen[i]):
        places = list(group)
        if is_chosen:
            first, last = gradient(slopes[places[0]]), gradient(slopes[places[-1]])
            start = "level ground" if first == "level" else first
            words.append(f"from {start} to {last}" if len(places) > 1 else f"{'on' if first == 'level' else 'at'} {start}")
    return listed(words, "and")


def map_finding(found: Map, names: Mapping[str, str], words: str = "") -> str:
    """What the map says, in a sentence or two: your plot if it is on it, then how much of the map each scheme has.

    names: titles by id; words: what the map is of, to stand before a colon.
    """
    cells = [cell for row in found.cells for cell in row]
    won = Counter(cell.first for cell in cells if cell.first)
    order = sorted(won, key=lambda scheme: (-won[scheme], list(names).index(scheme)))
    parts = [f"the {in_sentence(names[scheme])} {'is cheapest in ' if i == 0 else 'in '}{won[scheme]}" for i, scheme in enumerate(order)]
    said = f"of {len(cells)} places on the map {listed(parts, 'and')}" if parts else "nothing can be built inside the limits anywhere on this map"
    nothing = sum(cell.first is None for cell in cells)
    if parts and nothing:
        said += f"; in {nothing} nothing can be built inside the limits"
    close = sum(standing(cell) == CLOSE for cell in cells)
    if close:
        said += f"; {close} {'is' if close == 1 else 'are'} too close to call"
    start = f"{words}: " if words else ""
    at = _your_cell(found)
    if at is None:
        return sentence(f"{start}{said}.")
    yours = _yours_words(at, names)
    return sentence(f"{start}{yours}. {sentence(said)}.")


def _yours_words(cell: Cell, names: Mapping[str, str]) -> str:
    if cell.first is None:
        return "your plot lies where nothing can be built inside the limits"
    title = f"the {in_sentence(names[cell.first])}"
    return {
        CLOSE: f"your plot lies where it is too close to call, {title} just ahead",
        ONLY: f"your plot lies where only {title} can be built inside the limits",
    }.get(standing(cell), f"your plot lies where {title} is cheapest")


# Where the plot itself lies.


def _step(at: float, values: Sequence[float]) -> float | None:
    """Between which rows (or columns) a value lies, counted from 0; None where it is off the map.

    >>> _step(12.0, (10.0, 16.0, 24.0)), _step(20.0, (10.0, 16.0, 24.0)), _step(28.1, (10.0, 16.0, 24.0))
    (0.3333333333333333, 1.5, None)
    """
    if len(values) == 1:
        return 0.0 if at == values[0] else None
    i = min(max(sum(value <= at for value in values) - 1, 0), len(values) - 2)
    step = i + (at - values[i]) / (values[i + 1] - values[i])
    return step if -0.5 <= step <= len(values) - 0.5 else None


def _your_place(found: Map) -> tuple[float, float] | None:
    """The plot's row and column, counted from 0 in the middle of the first; None off the map and on a typical one."""
    if found.you is None:
        return None
    row, column = _step(found.you[0], found.slopes), _step(found.you[1], found.areas_m2)
    return None if row is None or column is None else (row, column)


def _your_cell(found: Map) -> Cell | None:
    """The place of the map in which the plot lies."""
    at = _your_place(found)
    if at is None:
        return None
    # A plot on a border is in the place after it.
    row, column = (min(int(step + 0.5), count - 1) for step, count in zip(at, (len(found.slopes), len(found.areas_m2))))
    return found.cells[row][column]


# Drawn.


def area_map_svg(found: Map, names: Mapping[str, str], units: str, id_prefix: str, words: str = "", before_rounding: bool = True) -> str:
    """The map as markup: a figure with its finding as caption.

    names: titles by id of every scheme that was compared, in the guide's order,
    by which each has its hatch; units: metric or imperial; id_prefix: unique on
    the page, a letter then letters, figures and hyphens; words: what the map is
    of ("Your own labour"), to stand before its finding; before_rounding: whether
    costs are those before rounding to units of sale.
    Raises ValueError for another prefix, or for more schemes than there are hatches.
    """
    return render("curve.html.j2", sheet=area_map_sheet(found, names, units, id_prefix, words), kind="map", note=_note(before_rounding))


def _note(before_rounding: bool) -> str:
    rounding = "before rounding to" if before_rounding else "rounded up to"
    return (f"Each place is a rectangle on even ground with this soil, these prices and these rules, each scheme at its own best level, {rounding} whole loads, sheets "
            "and rolls. A border lies somewhere between two places, no finer. The percentage is the lead of the cheapest over the next.")


@dataclass(frozen=True)
class _Grid:
    """Where the places of a map lie on the sheet; level ground at the foot."""

    rows: int
    columns: int

    @property
    def right(self) -> float:
        return WIDTH_UNITS - 4.0

    @property
    def bottom(self) -> float:
        return TOP_UNITS + ROW_UNITS * self.rows

    def at(self, row: float, column: float) -> Point:
        """A corner of a place by how many rows and columns lie before it."""
        return LEFT_UNITS + (self.right - LEFT_UNITS) / self.columns * column, self.bottom - ROW_UNITS * row

    def box(self, row: int, column: int) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of a place."""
        (left, bottom), (right, top) = self.at(row, column), self.at(row + 1, column + 1)
        return left, top, right, bottom


def area_map_sheet(found: Map, names: Mapping[str, str], units: str, id_prefix: str, words: str = "") -> Sheet:
    """The map, placed but not yet written as markup.  Raises ValueError as `area_map_svg`."""
    if len(names) > len(LINES):
        raise ValueError(f"a map can tell {len(LINES)} schemes apart, not {len(names)}")
    sheet = Sheet(id_prefix, map_finding(found, names, words))
    sheet.width = WIDTH_UNITS
    grid = _Grid(len(found.slopes), len(found.areas_m2))
    places = list(names)
    for scheme in found.firsts():
        _fill_scheme(sheet, grid, found, scheme, places.index(scheme) + 1)
    none = [grid.box(i, j) for i, row in enumerate(found.cells) for j, cell in enumerate(row) if cell.first is None]
    sheet.hatched("sp-map-none", "forbidden", "".join(map(_box_path, none)))
    _draw_lines(sheet, grid, found)
    _draw_axes(sheet, grid, found, units)
    _write_cells(sheet, grid, found, short_names(names))
    _mark_you(sheet, grid, found, units)
    _write_key(sheet, grid, found, names)
    sheet.description = _description(found, names, units, words)
    return sheet


def _box_path(box: tuple[float, float, float, float]) -> str:
    left, top, right, bottom = box
    return path_of([(left, top), (right, top), (right, bottom), (left, bottom)], closed=True)


def hatch_path(boxes: Sequence[tuple[float, float, float, float]], kind: int, spacing: float) -> str:
    """Path data of one scheme's hatch over some boxes (drawing units).

    kind: from 0, of `LINES`; spacing: drawing units from line to line.  Lines
    run on from box to box.
    """
    data = []
    for a, b in LINES[kind]:
        step = spacing * sqrt(a * a + b * b)
        for left, top, right, bottom in boxes:
            ends = [a * x + b * y for x in (left, right) for y in (top, bottom)]
            for count in range(ceil(min(ends) / step + 1e-6), floor(max(ends) / step - 1e-6) + 1):
                data.append(path_of(_across(a, b, count * step, left, top, right, bottom)))
    return "".join(data)


def _across(a: float, b: float, level: float, left: float, top: float, right: float, bottom: float) -> list[Point]:
    """Both ends in a box of the line on which a x + b y is the same."""
    if a == 0.0:
        return [(left, level / b), (right, level / b)]
    if b == 0.0:
        return [(level / a, top), (level / a, bottom)]
    xs = sorted((level - b * y) / a for y in (top, bottom))
    return [(x, (level - a * x) / b) for x in (max(xs[0], left), min(xs[1], right))]


def _fill_scheme(sheet: Sheet, grid: _Grid, found: Map, scheme: str, number: int) -> None:
    """A scheme's places: its tint under all of them, its hatch by how they stand."""
    own = [(grid.box(i, j), standing(cell)) for i, row in enumerate(found.cells) for j, cell in enumerate(row) if cell.first == scheme]
    sheet.path(f"sp-map-{number}", "".join(_box_path(box) for box, _ in own))
    for css, spacing, stands in _HATCHES:
        boxes = [box for box, stand in own if stand in stands]
        sheet.path(f"sp-map-line sp-map-line-{number}{css}", hatch_path(boxes, number - 1, spacing))


_HATCHES = ((" sp-map-close", SPACING_UNITS[CLOSE], (CLOSE,)), ("", SPACING_UNITS[SOME], (SOME,)), ("", SPACING_UNITS[CLEAR], (CLEAR, ONLY)))


def _draw_lines(sheet: Sheet, grid: _Grid, found: Map) -> None:
    """Thin lines between places, heavy ones where the cheapest changes."""
    thin, heavy = [], []
    for i in range(grid.rows):
        for j in range(grid.columns):
            here = found.cells[i][j].first
            if i + 1 < grid.rows:
                (thin if found.cells[i + 1][j].first == here else heavy).append((grid.at(i + 1, j), grid.at(i + 1, j + 1)))
            if j + 1 < grid.columns:
                (thin if found.cells[i][j + 1].first == here else heavy).append((grid.at(i, j + 1), grid.at(i + 1, j + 1)))
    sheet.path("sp-map-grid", "".join(path_of(line) for line in thin))
    sheet.path("sp-map-frame", _box_path((*grid.at(grid.rows, 0), *grid.at(0, grid.columns))))
    sheet.path("sp-map-frontier", "".join(path_of(line) for line in heavy))


def _draw_axes(sheet: Sheet, grid: _Grid, found: Map, units: str) -> None:
    sheet.write("sp-note", 2.0, TEXT_UNITS + 1.0, "Slope of the ground")
    for i, slope in enumerate(found.slopes):
        sheet.write("sp-figure", LEFT_UNITS - 8.0, grid.at(i + 0.5, 0)[1] + 5.0, gradient(slope), "end")
    for j, m2 in enumerate(found.areas_m2):
        sheet.write("sp-figure", grid.at(0, j + 0.5)[0], grid.bottom + 20.0, map_area(m2).of(units), "middle")
    sheet.write("sp-note", (LEFT_UNITS + grid.right) / 2, grid.bottom + 40.0, "Area of the floor", "middle")


def _write_cells(sheet: Sheet, grid: _Grid, found: Map, short: Mapping[str, str]) -> None:
    """Each place's scheme in short and its lead; where the ring of your plot lies, only the scheme, out of its way."""
    yours, own = _your_place(found), _your_cell(found)
    for i, row in enumerate(found.cells):
        for j, cell in enumerate(row):
            x, y = grid.at(i + 0.5, j + 0.5)
            if cell.first is None:
                sheet.write("sp-note", x, y + 5.0, "none", "middle")
            elif cell is own:
                sheet.write("sp-label", x, y + (22.0 if yours[0] > i else -12.0), short[cell.first], "middle")
            else:
                sheet.write("sp-label", x, y - 3.0, short[cell.first], "middle")
                sheet.write("sp-figure", x, y + 15.0, "only one" if cell.lead is None else percent(cell.lead), "middle")


def _ring(x: float, y: float) -> str:
    r = RING_UNITS
    return f"M{x - r:.1f} {y:.1f}a{r:.0f} {r:.0f} 0 1 0 {2 * r:.0f} 0a{r:.0f} {r:.0f} 0 1 0-{2 * r:.0f} 0z"


def _mark_you(sheet: Sheet, grid: _Grid, found: Map, units: str) -> None:
    """A ring at your plot's own place, and its size and slope above."""
    if found.you is None:
        return
    place = map_area(found.you[1]).with_words("your plot: ", f", {gradient(found.you[0])}").of(units)
    at = _your_place(found)
    if at is None:
        sheet.write("sp-label", grid.right, TOP_UNITS - 12.0, f"{place}, off this map", "end")
        return
    x, y = grid.at(at[0] + 0.5, at[1] + 0.5)
    half = text_width(place) / 2
    sheet.line("sp-leader", (x, TOP_UNITS - 7.0), (x, y - RING_UNITS))
    sheet.path("sp-map-you", _ring(x, y))
    sheet.dot(x, y)
    sheet.write("sp-label sp-curve-name", min(max(x, half + 2.0), grid.right - half), TOP_UNITS - 12.0, place, "middle")


def _write_key(sheet: Sheet, grid: _Grid, found: Map, names: Mapping[str, str]) -> None:
    """The key: each scheme's hatch and name, what the density says, borders, and where nothing can be built."""
    short, places = short_names(names), list(names)
    y = grid.bottom + 70.0

    def entry(words: str, draw) -> None:
        nonlocal y
        draw((2.0, y - 15.0, 46.0, y + 5.0))
        for row in wrapped(words, WIDTH_UNITS - 62.0):
            sheet.write("sp-note", 56.0, y, row)
            y += LINE_UNITS
        y += 8.0

    def swatch(number: int, css: str, spacing: float):
        def draw(box) -> None:
            sheet.path(f"sp-map-{number}", _box_path(box))
            sheet.path(f"sp-map-line sp-map-line-{number}{css}", hatch_path([box], number - 1, spacing))
            sheet.path("sp-map-frame", _box_path(box))
        return draw

    drawn = sorted((places.index(scheme) + 1 for scheme in found.firsts()))
    for number in drawn:
        scheme = places[number - 1]
        entry(f"{short[scheme]}: the {in_sentence(names[scheme])} is cheapest", swatch(number, "", SPACING_UNITS[CLEAR]))
    stands = {standing(cell) for row in found.cells for cell in row}
    close, clear = percent(CLOSE_SHARE), percent(CLEAR_SHARE)
    for stand, (css, spacing, _), words in zip(
            (CLOSE, SOME, CLEAR), _HATCHES,
            (f"dotted: too close to call, a lead under {close}", f"wide: a lead of {close} to {clear}", f"dense: a clear lead, {clear} or more, or nothing else can be built")):
        if stand in stands or stand == CLEAR and ONLY in stands:
            entry(words, swatch(drawn[0], css, spacing))
    if len({cell.first for row in found.cells for cell in row}) > 1:
        entry("border between places where different schemes are cheapest", lambda box: sheet.line("sp-map-frontier", (2.0, y - 5.0), (46.0, y - 5.0)))
    if NONE in stands:
        entry("none: nothing can be built inside the limits", lambda box: sheet.hatched("sp-map-none", "forbidden", _box_path(box)))
    sheet.height = y - 10.0


def _description(found: Map, names: Mapping[str, str], units: str, words: str) -> str:
    """Every place in words, slope by slope."""
    def place(cell: Cell) -> str:
        where = map_area(cell.area_m2).of(units)
        if cell.first is None:
            return f"{where} nothing"
        return f"{where} {in_sentence(names[cell.first])} {'alone' if cell.lead is None else percent(cell.lead)}"

    sentences = ["Map of the cheapest scheme by slope of the ground and area of the floor, with its lead over the next.", map_finding(found, names, words)]
    if found.you is not None:
        sentences.append(map_area(found.you[1]).with_words("Your plot: ", f", {gradient(found.you[0])}{'' if _your_place(found) else ', off this map'}.").of(units))
    for slope, row in zip(found.slopes, found.cells):
        sentences.append(f"{sentence(gradient(slope))}: {', '.join(map(place, row))}.")
    return " ".join(sentences)
