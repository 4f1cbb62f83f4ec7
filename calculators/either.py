"""Choices between two values that work on one number at a time or on a whole array of them.

The arithmetic of costs is written once.  Where it is given arrays, from
whichever library, each element is worked as if it were alone; nothing here
needs that library.
"""

from __future__ import annotations

from typing import Any

# A float, or an array of floats.
Numbers = Any


def positive(x: Numbers) -> Numbers:
    """1 where a number is above 0, else 0.

    x: any unit.  Returns no unit.  Source: definition.

    >>> positive(3.2), positive(0.0)
    (1.0, 0.0)
    """
    return 1.0 * (x > 0.0)


def where(condition: Numbers, yes: Numbers, no: Numbers) -> Numbers:
    """One of two finite values, by a condition.

    condition: True or False, or an array of them; yes, no: any unit, both the same.  Returns that unit.
    Source: definition.

    >>> where(2.0 > 1.0, 5.0, 7.0), where(2.0 < 1.0, 5.0, 7.0)
    (5.0, 7.0)
    """
    if isinstance(condition, bool):
        return yes if condition else no
    return condition * yes + (1.0 - condition) * no


def at_least(x: Numbers, least: float) -> Numbers:
    """A number, or the least it may be.

    x, least: any unit, both the same.  Returns that unit.  Source: definition.

    >>> at_least(-0.1, 0.0), at_least(0.3, 0.0)
    (0.0, 0.3)
    """
    return where(x > least, x, least)


def hinges(x: Numbers, at: tuple[float, ...]) -> list[Numbers]:
    """How far a number lies beyond the first place of a table, and beyond each place between its ends: what `bent` needs of it.

    x: any unit; at: rising, the same unit, two or more.  Returns that unit.
    Raises ValueError for places that do not rise.  Source: definition.

    >>> hinges(1.5, (0.0, 1.0, 2.0))
    [1.5, 0.5]
    """
    if len(at) < 2 or any(b <= a for a, b in zip(at, at[1:])):
        raise ValueError("a table to interpolate in needs two or more places that rise")
    return [x - at[0]] + [at_least(x - place, 0.0) for place in at[1:-1]]


def bends(at: tuple[float, ...], values: tuple[float, ...]) -> tuple[float, ...]:
    """The slope of a table's first line, and by how much each following line is steeper.

    at: rising, any unit, two or more; values: as many, any unit.  Returns units of `values` over that of `at`.
    Source: definition.

    >>> bends((0.0, 1.0, 2.0), (0.0, 10.0, 40.0))
    (10.0, 20.0)
    """
    slopes = [(d - c) / (b - a) for a, b, c, d in zip(at, at[1:], values, values[1:])]
    return (slopes[0], *(after - before for before, after in zip(slopes, slopes[1:])))


def bent(start: float, table_bends: tuple[float, ...], x_hinges: list[Numbers]) -> Numbers:
    """A value between those of a table, on straight lines; beyond its ends the last line goes on.

    start: the table's first value, any unit; table_bends: of `bends`; x_hinges: of `hinges`
    at the same places.  Returns the unit of `start`.  Source: definition.

    >>> at, values = (0.0, 1.0, 2.0), (0.0, 10.0, 40.0)
    >>> [bent(values[0], bends(at, values), hinges(x, at)) for x in (0.5, 1.5, 3.0)]
    [5.0, 25.0, 70.0]
    """
    found = start
    for bend, hinge in zip(table_bends, x_hinges):
        if bend:
            found = found + bend * hinge
    return found
