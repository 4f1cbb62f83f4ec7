"""What each scheme costs at other floor levels: how much more or less than at the level it is built at, by part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil, floor, log10

from calculators.best_level import AS_GOOD_SHARE, NUDGE_M, LevelPoint, LevelSearch
from calculators.compare import Comparison, SchemeResult
from calculators.schemes import SCHEME_BY_ID
from generator.display import MINUS, length, level_mark, money, percent
from generator.drawings.on_plan import wrapped
from generator.drawings.scale import level_words
from generator.drawings.sheet import LINE_UNITS, TEXT_UNITS, Sheet, path_of, render, spread_out, text_width
from generator.problems import listed
from generator.quantities import factor
from generator.wording import in_sentence, prices_words

TOTAL = "altogether"
REST = "doors and rest"
GROUPS: dict[str, tuple[str, ...]] = {
    "dig and drains": ("Dig", "Drains"),
    "stone and membrane": ("Stone and membrane",),
    "concrete, forms, steel": ("Concrete", "Forms and steel"),
    "walls and damp": ("Walls and damp",),
}
"""The parts of the cost that are told apart, and the stages of the bill in each; every other stage is in the rest."""
PARTS = (*GROUPS, REST)

WIDTH_UNITS = 640.0
LEFT_UNITS = 86.0
TOP_UNITS = 52.0
HEIGHT_UNITS = 250.0
BELOW_LOWEST_UNITS = 22.0
"""Width of the strip for levels lower than any that was tried."""
FEWEST_POINTS = 3
"""Fewer levels than this make a sentence and not a chart."""

STEPS = {"metric": (("m", "0.005"), ("m", "0.01"), ("m", "0.02"), ("m", "0.025"), ("m", "0.05"), ("m", "0.1"), ("m", "0.2"), ("m", "0.5")),
         "imperial": (("inch", "0.25"), ("inch", "0.5"), ("inch", "1"), ("inch", "2"), ("inch", "3"), ("inch", "6"), ("inch", "12"), ("inch", "24"))}
"""From one mark of the level to the next: the first that leaves room between them is taken."""


@dataclass(frozen=True)
class LevelRow:
    """One level that was tried: m; what it costs and how much more that is than at the level chosen, money, by part.

    `costs` and `more` are by the names of `PARTS`, and `TOTAL`.  `broken`
    names the rules it breaks; `as_good` is whether it keeps every rule and is
    within 2 % of the least.
    """

    level_m: float
    costs: dict[str, float]
    more: dict[str, float]
    broken: tuple[str, ...]
    chosen: bool
    as_good: bool


def parts_of(point: LevelPoint) -> dict[str, float]:
    """The cost at one level by part, money."""
    costs = {name: sum(point.by_stage.get(stage, 0.0) for stage in stages) for name, stages in GROUPS.items()}
    told = {stage for stages in GROUPS.values() for stage in stages}
    costs[REST] = sum(amount for stage, amount in point.by_stage.items() if stage not in told)
    return costs | {TOTAL: point.cost}


def level_curve_table(result: SchemeResult) -> tuple[LevelRow, ...]:
    """The numbers of the chart, one row for each level tried, from the lowest up; empty where there is no chart."""
    search = result.levels
    if search is None or not has_curve(search):
        return ()
    least = parts_of(search.best)
    rows = []
    for point in sorted(search.points, key=lambda point: point.level_m):
        costs = parts_of(point)
        rows.append(LevelRow(
            level_m=point.level_m, costs=costs, more={name: costs[name] - least[name] for name in costs},
            broken=tuple(sorted(point.broken)), chosen=point.level_m == search.best.level_m,
            as_good=point.allowed and point.cost <= search.best.cost * (1.0 + AS_GOOD_SHARE)))
    return tuple(rows)


def has_curve(search: LevelSearch) -> bool:
    """Whether enough levels were tried for a chart, and one of them keeps every rule."""
    return search.best.allowed and len(search.points) >= FEWEST_POINTS


def level_curve_svg(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> str:
    """The cost against the floor level as markup: a figure with its finding as caption, or a sentence where there is no curve.

    units: metric or imperial; id_prefix: unique on the page, a letter then
    letters, figures and hyphens (ValueError otherwise).
    """
    if result.levels is None or not has_curve(result.levels):
        return render("no-curve.html.j2", words=why_no_curve(result, units))
    sheet = level_curve_sheet(comparison, result, units, id_prefix)
    return render("curve.html.j2", sheet=sheet, kind="curve", note=_note(comparison, result))


def why_no_curve(result: SchemeResult, units: str) -> str:
    """Why there is no chart, in a sentence."""
    search = result.levels
    if search is None:
        return "You fixed the floor level, so no other was tried."
    tried = sorted(point.level_m for point in search.points)
    if not search.best.allowed:
        rules = [in_sentence(name) for name in sorted({name for point in search.points for name in point.broken})]
        which = level_words(tried[0], units) if len(tried) == 1 else f"from {level_words(tried[0], units)} to {level_words(tried[-1], units, 'it')}"
        higher = " A higher floor does not help." if len(tried) == 1 else ""
        return f"No floor level keeps every rule. Tried: {which}; not kept: {listed(rules, 'and')}.{higher}"
    words = listed([level_words(z, units) for z in tried], "and")
    return f"Too few levels were open to choose from for a curve: only {words} {'was' if len(tried) == 1 else 'were'} tried."


def _finding(search: LevelSearch, units: str) -> str:
    """Where the least is, and how far from it the cost stays near the least."""
    def above(m: float) -> str:
        return level_words(m, units, "it")

    low, high = search.as_good_m
    least = f"Least at {level_words(search.best.level_m, units)}"
    near = percent(AS_GOOD_SHARE)
    if above(low) == above(high):
        return f"{least}; no other level tried is within {near} of that."
    between = " (not all the way)" if _dear_between(search) else ""
    return f"{least}; within {near} from {above(low)} to {above(high)}{between}."


def _dear_between(search: LevelSearch) -> list[LevelPoint]:
    """Levels inside the band that cost more than it allows, or break a rule: a step of the footing makes such humps."""
    low, high = search.as_good_m
    limit = search.best.cost * (1.0 + AS_GOOD_SHARE)
    return [point for point in search.points if low < point.level_m < high and (point.cost > limit or not point.allowed)]


def _note(comparison: Comparison, result: SchemeResult) -> str:
    worth = comparison.decision.hour_worth
    hours = f"own hours at {money(worth, comparison.scenario.currency)} each" if worth > 0.0 else "nothing for own hours"
    return (f"Cost counts {prices_words(comparison)} and {hours}, before rounding to whole loads, sheets and rolls. Each dot is a level that was worked out.")


@dataclass(frozen=True)
class _Axes:
    """Where a level (m) and an amount of money lie on the sheet."""

    low_m: float
    high_m: float
    least: float
    most: float
    left: float
    right: float

    def x(self, level_m: float) -> float:
        return self.left + (level_m - self.low_m) / (self.high_m - self.low_m) * (self.right - self.left)

    def y(self, amount: float) -> float:
        return TOP_UNITS + (self.most - amount) / (self.most - self.least) * HEIGHT_UNITS


def level_curve_sheet(comparison: Comparison, result: SchemeResult, units: str, id_prefix: str) -> Sheet:
    """The chart, placed but not yet written as markup.  Raises ValueError where there is no curve."""
    rows, search = level_curve_table(result), result.levels
    if not rows:
        raise ValueError("too few levels were tried for a curve")
    currency = comparison.scenario.currency
    sheet = Sheet(id_prefix, _finding(search, units))
    sheet.width = WIDTH_UNITS
    drawn = [name for name in (*PARTS, TOTAL) if name == TOTAL or any(abs(row.more[name]) >= 0.5 for row in rows)]
    flat = [name for name in PARTS if name not in drawn]
    right = WIDTH_UNITS - max(map(text_width, drawn)) - 20.0
    amounts = [row.more[name] for row in rows for name in drawn] + [AS_GOOD_SHARE * search.best.cost]
    room = 0.06 * (max(amounts) - min(amounts))
    axes = _Axes(rows[0].level_m, rows[-1].level_m, min(amounts) - room, max(amounts) + room, LEFT_UNITS + BELOW_LOWEST_UNITS, right)
    bottom = TOP_UNITS + HEIGHT_UNITS

    _draw_bands(sheet, axes, rows, search)
    _draw_grid(sheet, axes, currency, units)
    y = axes.y(AS_GOOD_SHARE * search.best.cost)
    sheet.line("sp-curve-limit", (axes.left, y), (axes.right, y))
    for name in drawn:
        css = "sp-curve-total" if name == TOTAL else f"sp-curve-part sp-curve-{PARTS.index(name) + 1}"
        points = [(axes.x(row.level_m), axes.y(row.more[name])) for row in rows]
        sheet.path(css, path_of(points))
        if name == TOTAL:
            for x, y in points:
                sheet.dot(x, y)
    best = axes.x(search.best.level_m)
    sheet.line("sp-curve-chosen", (best, TOP_UNITS - 6.0), (best, bottom))
    _name_lines(sheet, axes, rows[-1], drawn)
    sheet.write("sp-label", min(max(best, 40.0), right), TOP_UNITS - 12.0, "chosen", "middle")
    sheet.write("sp-note", 2.0, TEXT_UNITS + 1.0, f"Dearer (+) or cheaper ({MINUS}) than at the chosen level, {currency}")
    _write_foot(sheet, comparison, result, rows, flat, bottom, units)
    sheet.description = _description(comparison, result, rows, units)
    return sheet


def _stretches(rows: Sequence[LevelRow]) -> list[tuple[tuple[str, ...], int, int]]:
    """Neighbouring levels that break the same rules: rules, first and last row."""
    found = []
    for broken, group in groupby(range(len(rows)), key=lambda i: rows[i].broken):
        places = list(group)
        if broken:
            found.append((broken, places[0], places[-1]))
    return found


def _draw_bands(sheet: Sheet, axes: _Axes, rows: Sequence[LevelRow], search: LevelSearch) -> None:
    """The levels nearly as good as the chosen one; levels that are not allowed, up to the next that is; levels lower than any tried."""
    def band(a: float, b: float) -> str:
        bottom = TOP_UNITS + HEIGHT_UNITS
        return path_of([(a, TOP_UNITS), (b, TOP_UNITS), (b, bottom), (a, bottom)], closed=True)

    low, high = (axes.x(at) for at in search.as_good_m)
    # A band of one level would not be seen.
    sheet.path("sp-curve-good", band(min(low, high - 4.0), max(high, low + 4.0)))
    sheet.hatched("sp-curve-no", "forbidden", band(axes.left - BELOW_LOWEST_UNITS, axes.left))
    for _, first, last in _stretches(rows):
        a = axes.x(rows[first].level_m)
        b = axes.x(rows[last].level_m)
        sheet.hatched("sp-curve-no", "forbidden", band(a - (3.0 if first == last else 0.0), b + (3.0 if first == last else 0.0)))


def _draw_grid(sheet: Sheet, axes: _Axes, currency: str, units: str) -> None:
    step = round_step((axes.most - axes.least) / 5.0)
    for count in range(ceil(axes.least / step), floor(axes.most / step) + 1):
        y = axes.y(count * step)
        sheet.line("sp-curve-nought" if count == 0 else "sp-curve-grid", (axes.left - BELOW_LOWEST_UNITS, y), (axes.right, y))
        words = money(count * step, currency)
        sheet.write("sp-figure", axes.left - BELOW_LOWEST_UNITS - 7.0, y + 5.0, f"+{words}" if count > 0 else words, "end")
    bottom = TOP_UNITS + HEIGHT_UNITS
    for at in _level_marks(axes, units):
        x = axes.x(at)
        sheet.line("sp-tick", (x, bottom), (x, bottom + 6.0))
        sheet.write("sp-figure", x, bottom + 21.0, level_mark(at).of(units), "middle")
    measure = "metres" if units == "metric" else "feet and inches"
    sheet.write("sp-note", (axes.left + axes.right) / 2, bottom + 42.0, f"Floor above (+) or below ({MINUS}) the highest ground, {measure}", "middle")


def round_step(least: float) -> float:
    """1, 2 or 5 times a power of ten, the least that is no less than asked and is whole money.

    >>> round_step(37.0), round_step(0.2), round_step(1000.0)
    (50.0, 1.0, 1000.0)
    """
    power = 10.0 ** floor(log10(max(least, 1.0)))
    return max(1.0, next(step * power for step in (1.0, 2.0, 5.0, 10.0) if step * power >= least - 1e-9))


def _level_marks(axes: _Axes, units: str) -> list[float]:
    """Round levels along the axis, m, far enough apart for their figures."""
    marks: list[float] = []
    for unit, amount in STEPS[units]:
        step = float(amount) * float(factor(unit, "m"))
        marks = [count * step for count in range(ceil(axes.low_m / step - 1e-6), floor(axes.high_m / step + 1e-6) + 1)]
        widest = max((text_width(level_mark(at).of(units)) for at in marks), default=0.0)
        if len(marks) < 2 or axes.x(marks[1]) - axes.x(marks[0]) >= widest + 10.0:
            break
    return marks


def _name_lines(sheet: Sheet, axes: _Axes, last: LevelRow, drawn: Sequence[str]) -> None:
    """Each line's name beside its end."""
    ends = sorted(drawn, key=lambda name: (axes.y(last.more[name]), name))
    places = spread_out([axes.y(last.more[name]) + 5.0 for name in ends], LINE_UNITS, TOP_UNITS, TOP_UNITS + HEIGHT_UNITS)
    for name, place in zip(ends, places):
        y = axes.y(last.more[name])
        sheet.line("sp-leader", (axes.right + 3.0, y), (axes.right + 13.0, place - 5.0))
        sheet.write("sp-label sp-curve-name" if name == TOTAL else "sp-label", axes.right + 16.0, place, name)


def _write_foot(sheet: Sheet, comparison: Comparison, result: SchemeResult, rows: Sequence[LevelRow], flat: Sequence[str], bottom: float, units: str) -> None:
    """The key: what is near the least, and why hatched levels are not allowed."""
    entries = [("sp-curve-good", "", f"within {percent(AS_GOOD_SHARE)} of the least; the dotted line is that much dearer")]
    entries += [("sp-curve-no", "forbidden", words) for words in _forbidden(comparison, result, rows, units)]
    y = bottom + 68.0
    for css, hatch, words in entries:
        box = path_of([(2.0, y - 13.0), (30.0, y - 13.0), (30.0, y + 3.0), (2.0, y + 3.0)], closed=True)
        if hatch:
            sheet.hatched(css, hatch, box)
        else:
            sheet.path(css, box)
        for row in wrapped(words, WIDTH_UNITS - 50.0):
            sheet.write("sp-note", 38.0, y, row)
            y += LINE_UNITS
        y += 5.0
    if flat:
        for row in wrapped(f"The same at every level: {listed(list(flat), 'and')}.", WIDTH_UNITS - 10.0):
            sheet.write("sp-note", 2.0, y, row)
            y += LINE_UNITS
    sheet.height = y - 4.0


def _forbidden(comparison: Comparison, result: SchemeResult, rows: Sequence[LevelRow], units: str) -> list[str]:
    """Which levels are not allowed, and by which rule."""
    lowest = SCHEME_BY_ID[result.id].lowest_level(comparison.site)
    words = [f"not allowed, lower than {level_words(rows[0].level_m, units)}: {lowest.set_by}"]
    for broken, first, last in _stretches(rows):
        a, b = (rows[i].level_m for i in (first, last))
        which = f"at {level_words(a, units)}" if first == last else f"from {level_words(a, units)} to {level_words(b, units, 'it')}"
        words.append(f"not allowed, {which}: {listed([in_sentence(name) for name in broken], 'and')}")
    return words


def _description(comparison: Comparison, result: SchemeResult, rows: Sequence[LevelRow], units: str) -> str:
    search, currency = result.levels, comparison.scenario.currency
    least = search.best.cost
    sentences = [
        f"Cost of the {in_sentence(result.title)} against the level of its floor, {len(rows)} levels from {level_words(rows[0].level_m, units)} "
        f"to {level_words(rows[-1].level_m, units, 'it')}, at {prices_words(comparison)} and own hours at their worth.",
        f"{_finding(search, units)} There it is {money(least, currency)}: "
        + ", ".join(f"{name} {money(amount, currency)}" for name, amount in parts_of(search.best).items() if name != TOTAL) + ".",
    ]
    for row in (rows[0], rows[-1]):
        if not row.chosen:
            more = ", ".join(f"{name} {_signed(row.more[name], currency)}" for name in (TOTAL, *PARTS))
            sentences.append(f"{_capital(level_words(row.level_m, units))}: {more}.")
    for words, nudge in (("Higher", search.nudge_up), ("Lower", search.nudge_down)):
        if nudge is not None:
            sentences.append(f"{words} by {length(NUDGE_M).of(units)}: {_signed(nudge, currency)}.")
    if _dear_between(search):
        sentences.append("Some levels between cost more than that or break a rule, where a step in the footing or the edge moves.")
    sentences += [f"{_capital(words)}." for words in _forbidden(comparison, result, rows, units)]
    return " ".join(sentences)


def _signed(amount: float, currency: str) -> str:
    words = money(amount, currency)
    return f"+{words}" if amount >= 0.5 else words


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
