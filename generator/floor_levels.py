"""Reads a file of levels taken on a floor: a table of x, y and level, as a person types it or a spreadsheet saves it.

    # Taken on a Sunday in June, from the inside of the south-west corner
    x m, y m, level mm
    0, 0, 2
    0.9, 0, -1

The heading names the units, or each figure is typed with its own: `0.9 m`.
`reading` instead of `level` is what a staff shows below a laser: the floor is
low where it reads more.  A cell is only ever data.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from calculators.compare import hour_worth_of
from calculators.flatness import SAME_FLOOR_LEVEL_M, levels_that_disagree
from calculators.floor_result import FloorResult, floor_prices, floor_result
from calculators.scenario import UNITS, USES, FloorSurvey
from calculators.schedule import Schedule
from calculators.survey import LEAST_BREADTH_M, SAME_PLACE_M, Level, breadth_m, settled_levels
from generator.display import fine, length
from generator.front_matter import typed_file
from generator.inputs import BY_KEY, MOST_FLOOR_LEVELS
from generator.problems import BadInput, Problem, as_shown, listed, plain_text
from generator.quantities import Unreadable, parse
from generator.scenario import read_scenario_file
from generator.scenario_rules import FLOOR_AT_MOST_M
from generator.schedules import load_schedule

FEWEST_LEVELS = 4
FARTHEST_M = 200.0
PROBLEMS_AT_MOST = 50

NAMES = ("x", "y", "level")
UPWARD, DOWNWARD = ("level", "z"), "reading"
EXAMPLE = "0.9 m, 1.8 m, -3 mm"
HEADING = "x m, y m, level mm"
MANY = 60
"""With more levels than these somebody is kept waiting."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d+)?|\.\d+)", re.ASCII)
_HEADING = re.compile(r"(?P<name>[A-Za-z]+) ?(?:(?:in )?(?P<unit>[A-Za-z]+)|\((?P<round>[A-Za-z]+)\)|\[(?P<square>[A-Za-z]+)\])?", re.ASCII)


def read_floor_levels(path: str | Path) -> tuple[Level, ...]:
    """The levels in a file, as points (x, y, z), m, upward.  Raises BadInput with every problem."""
    return floor_levels(typed_file(Path(path), "a file of levels"), str(path))


def floor_levels(text: str, file: str) -> tuple[Level, ...]:
    """The levels written in a text, as points (x, y, z), m, upward.  `file` is shown in problems.  Raises BadInput with every problem."""
    rows = list(_rows(text))
    problems: list[Problem] = []
    units, names = (None, None, None), NAMES
    if rows and _is_heading(rows[0][1]):
        line, cells = rows.pop(0)
        units, names, wrong = _heading(file, line, cells)
        problems += wrong
    if not rows:
        problems.append(Problem(file, 1, "file", "there are no levels in it", "write one line for each: x, y and level", EXAMPLE))
    if len(rows) > MOST_FLOOR_LEVELS:
        problems.append(Problem(file, rows[MOST_FLOOR_LEVELS][0], "file", f"there are {len(rows)} levels in it", f"keep at most {MOST_FLOOR_LEVELS}, those that are spread best"))
    if problems:
        raise BadInput(problems)
    levels, lines = [], []
    without_unit: list[Problem] = []
    for line, cells in rows:
        found, wrong = _level(file, line, cells, units, names)
        problems += [problem for problem in wrong if problem.example != HEADING]
        without_unit += [problem for problem in wrong if problem.example == HEADING]
        if found is not None:
            levels.append(found)
            lines.append(line)
    problems = sorted(problems + _once_each(without_unit), key=lambda problem: problem.line)
    if len(problems) > PROBLEMS_AT_MOST:
        more = len(problems) - PROBLEMS_AT_MOST
        last = problems[PROBLEMS_AT_MOST].line
        raise BadInput([*problems[:PROBLEMS_AT_MOST], Problem(file, last, "file", f"there are {more} more problems from here on", "put the first ones right, then look again")])
    problems += _together(file, levels, lines) if not problems else []
    if problems:
        raise BadInput(problems)
    return tuple(levels)


def levelled(
    file: str, against: str | None, rates: str | None, said: dict[str, object], use: str | None, units: str | None,
    say: Callable[[str], None] = lambda sentence: None,
) -> tuple[FloorResult, Schedule, str, str]:
    """How a floor came out by a file of levels, with the prices, the title and the units to tell it in.

    against: a scenario, whose building, prices, units and words on the floor are taken where nothing else is said.
    said: fields of `FloorSurvey`, None where nothing is.  say: tells whoever waits when it takes long.  Raises BadInput with every problem.
    """
    problems: list[Problem] = []

    def read(what: Callable[[], object]):
        try:
            return what()
        except BadInput as bad:
            problems.extend(bad.problems)

    levels = read(lambda: read_floor_levels(file))
    reading = read(lambda: read_scenario_file(against)) if against is not None else None
    scenario = reading.scenario if reading else None
    schedule = scenario.schedule if scenario else None
    if rates is not None or schedule is None and against is None:
        schedule = read(lambda: load_schedule(rates or BY_KEY["rates"].default, Path(file).parent, Problem("flatness", "--rates", "rates", "", "")))
    if problems:
        raise BadInput(problems)
    if len(levels) > MANY:
        say(f"{len(levels)} levels: the straightedge is tried in every direction, which takes some seconds ...")
    survey = replace(scenario.floor if scenario else FloorSurvey(), levels_m=levels, **{key: value for key, value in said.items() if value is not None})
    # Under another schedule the owner's hour may be in another currency.
    hour = hour_worth_of(scenario) if scenario and schedule is scenario.schedule else None
    try:
        found = floor_result(
            survey, use or (scenario.building.use if scenario else USES[0]), floor_prices(schedule, hour), scenario.plot.corners_m if scenario else None)
    except ValueError as error:
        raise BadInput([Problem(file, 1, "levels", str(error), "take levels all over the floor, with x and y from where the scenario measures them" if scenario else "take levels all over the floor")]) from error
    return found, schedule, scenario.title if scenario else plain_text(Path(file).stem), units or (scenario.units if scenario else UNITS[0])


def _once_each(problems: list[Problem]) -> list[Problem]:
    """The first of the same problem in each column, with how many more there are."""
    by_column: dict[str, list[Problem]] = {}
    for problem in problems:
        by_column.setdefault(problem.field, []).append(problem)
    return [replace(first, given=f"{first.given}, nor {'has' if len(more) == 1 else 'have'} {len(more)} more in this column" if more else first.given)
            for first, *more in by_column.values()]


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Lines that say something, with their numbers, cut into cells; each line stands for itself, whatever its quotation marks."""
    lines = text.split("\n")
    told = [line for line in lines if line.strip() and not line.lstrip().startswith("#")]
    # A spreadsheet that writes commas in its numbers sets cells apart with something else.
    between = next((sign for sign in ("\t", ";") if any(sign in line for line in told)), ",")
    for number, line in enumerate(lines, start=1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            cells = next(csv.reader([line], delimiter=between, skipinitialspace=True))
        except csv.Error:
            cells = [line]
        cells = [cell.strip() for cell in cells]
        while len(cells) > 3 and not cells[-1]:
            cells.pop()
        if any(cells):
            yield number, cells


def _is_heading(cells: list[str]) -> bool:
    return bool(cells) and re.match(r"[A-Za-z]", cells[0]) is not None


def _heading(file: str, line: int, cells: list[str]) -> tuple[tuple[str | None, ...], tuple[str, ...], list[Problem]]:
    """The units and the names of the three columns, and what is wrong with them."""
    problems = []
    if len(cells) != 3:
        return (None,) * 3, NAMES, [Problem(file, line, "heading", f"it names {len(cells)} column{'' if len(cells) == 1 else 's'}", "name three", HEADING)]
    units: list[str | None] = []
    names: list[str] = []
    for cell, wanted in zip(cells, (("x",), ("y",), (*UPWARD, DOWNWARD))):
        found = _HEADING.fullmatch(" ".join(cell.split()))
        if found is None or found["name"].lower() not in wanted:
            problems.append(Problem(file, line, "heading", f"{as_shown(cell)} stands where {listed(wanted)} is wanted", "name x, y and level in this order, each with its unit", HEADING))
            continue
        names.append(found["name"].lower())
        units.append(found["unit"] or found["round"] or found["square"])
        if units[-1] is not None:
            try:
                parse(f"1 {units[-1]}", "length")
            except Unreadable as error:
                problems.append(Problem(file, line, "heading", f"{as_shown(cell)}: {error.given}", error.wanted or "name a unit of length", HEADING))
    return tuple(units), tuple(names), problems


def _level(file: str, line: int, cells: list[str], units: tuple[str | None, ...], names: tuple[str, ...]) -> tuple[Level | None, list[Problem]]:
    """One level, or what is wrong with its line."""
    if len(cells) != 3:
        comma = " A comma inside a number counts as two: write a point for decimals." if len(cells) > 3 else ""
        return None, [Problem(file, line, "line", f"it has {len(cells)} figure{'' if len(cells) == 1 else 's'}", f"write three: x, y and {names[2]}.{comma}".rstrip("."), EXAMPLE)]
    problems, values = [], []
    for cell, unit, name in zip(cells, units, names):
        try:
            values.append(_metres(cell, unit, name))
        except Unreadable as error:
            problems.append(Problem(file, line, name, error.given, error.wanted or "write a length with its unit", error.example or ("-3 mm" if name == names[2] else "0.9 m")))
    if problems:
        return None, problems
    x, y, z = values
    return (x, y, -z if names[2] == DOWNWARD else z), []


def _metres(cell: str, unit: str | None, name: str) -> float:
    """A cell in metres.  Raises Unreadable."""
    plain = cell.replace("\u2212", "-")
    if _NUMBER.fullmatch(plain):
        if unit is None and float(plain) != 0.0:
            raise Unreadable(f"{as_shown(cell)} has no unit", "write it with its unit, or name the units in a heading", HEADING)
        plain = f"{plain} {unit or 'm'}"
    value = parse(plain.removeprefix("+"), "length")
    if abs(value) > FARTHEST_M:
        raise Unreadable(f"{as_shown(cell)} is {length(abs(value)).metric}", f"write {FARTHEST_M:g} m or less")
    return value


def _together(file: str, levels: list[Level], lines: list[int]) -> list[Problem]:
    """What is wrong with levels that can each be read."""
    def place(level: Level) -> str:
        return f"{level[0]:.3f} m, {level[1]:.3f} m"

    problems = []
    if twice := levels_that_disagree(levels):
        first, second = sorted(lines[levels.index(level)] for level in twice)
        problems.append(Problem(file, second, "level", f"the point {place(twice[0])} has another level in line {first}: they are {fine(twice[1][2] - twice[0][2]).metric} apart",
                                f"levels at one place (within {SAME_PLACE_M * 1000:g} mm) may differ by {SAME_FLOOR_LEVEL_M * 1000:g} mm: keep the one that is right", ""))
    settled = settled_levels(levels)
    if len(settled) < FEWEST_LEVELS:
        problems.append(Problem(file, lines[-1], "file", f"there are {len(settled)} levels at different places", f"take {FEWEST_LEVELS} or more, in every corner and between", ""))
    elif breadth_m([level[:2] for level in settled]) < LEAST_BREADTH_M:
        problems.append(Problem(file, lines[-1], "file", "all levels lie on one line", "take levels over the whole floor, in every corner and between", ""))
    high, low = max(levels, key=lambda level: level[2]), min(levels, key=lambda level: level[2])
    if high[2] - low[2] > FLOOR_AT_MOST_M:
        at = lines[levels.index(high)]
        problems.append(Problem(file, at, "level", f"the levels at {place(high)} and at {place(low)} are {length(high[2] - low[2]).metric} apart",
                                f"one floor is out by {length(FLOOR_AT_MOST_M).metric} at most: look for a figure in the wrong unit", ""))
    return problems
