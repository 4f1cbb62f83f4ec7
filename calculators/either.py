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

    condition: True or False; yes, no: the same unit.  Returns that unit.  Source: definition.

    >>> where(2.0 > 1.0, 5.0, 7.0), where(2.0 < 1.0, 5.0, 7.0)
    (5.0, 7.0)
    """
    if isinstance(condition, bool):
        return yes if condition else no
    return condition * yes + (1.0 - condition) * no


def at_least(x: Numbers, least: float) -> Numbers:
    """A number, or the least it may be.

    x, least: the same unit.  Returns that unit.  Source: definition.

    >>> at_least(-0.1, 0.0), at_least(0.3, 0.0)
    (0.0, 0.3)
    """
    return where(x > least, x, least)


def interpolated(x: Numbers, at: tuple[float, ...], values: tuple[float, ...]) -> Numbers:
    """A value between those of a table, on straight lines; beyond its ends the last line goes on.

    x: any unit; at: where the table has values, rising, the same unit, two or
    more; values: as many, any unit.  Returns the unit of `values`.
    Raises ValueError for a table that is too short or does not rise.
    Source: definition.

    >>> interpolated(0.5, (0.0, 1.0, 2.0), (0.0, 10.0, 40.0)), interpolated(3.0, (0.0, 1.0, 2.0), (0.0, 10.0, 40.0))
    (5.0, 70.0)
    """
    if len(at) < 2 or len(at) != len(values) or any(b <= a for a, b in zip(at, at[1:])):
        raise ValueError("a table to interpolate in needs two or more places that rise, each with its value")
    slope = (values[1] - values[0]) / (at[1] - at[0])
    found = values[0] + slope * (x - at[0])
    for i in range(1, len(at) - 1):
        bent = (values[i + 1] - values[i]) / (at[i + 1] - at[i])
        if bent != slope:
            found = found + (bent - slope) * at_least(x - at[i], 0.0)
        slope = bent
    return found
