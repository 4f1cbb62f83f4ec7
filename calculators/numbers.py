"""Counting in whole steps: the one place where an amount becomes a number of things.

Every count, sheet, course, footing step and lorry load goes through here, so
that an amount which is whole but for the last binary digit stays whole.
"""

from __future__ import annotations

import math

# A thousandth of a millionth of a step: far below any site measurement, far
# above the noise that adding and subtracting levels leaves behind.
RELATIVE_TOLERANCE = 1e-9


def steps_up(x: float, step: float) -> int:
    """The least number of whole steps that reaches an amount.

    x: the amount, any unit, 0 or more.
    step: the size of a step, the same unit, above 0.
    Returns the number of steps, no unit.
    Raises ValueError when x is negative or either is not a finite number.
    Source: definition.

    >>> (1.05 - 0.6) / 0.225
    2.0000000000000004
    >>> steps_up(1.05 - 0.6, 0.225)
    2
    >>> steps_up(0.451, 0.225)
    3
    >>> steps_up(0.0, 0.225)
    0
    """
    _check(x, step)
    steps = x / step
    return max(0, math.ceil(steps - RELATIVE_TOLERANCE * max(1.0, steps)))


def round_up(x: float, step: float) -> float:
    """An amount rounded up to a whole number of steps.

    x: the amount, any unit, 0 or more.
    step: the size of a step, the same unit, above 0.
    Returns the rounded amount, the same unit.
    Raises ValueError as `steps_up` does.
    Source: definition.

    >>> round_up(21.49, 1.0)
    22.0
    >>> round_up(5.5, 0.25)
    5.5
    """
    return steps_up(x, step) * step


def steps_down(x: float, step: float) -> int:
    """The greatest number of whole steps that fits in an amount.

    x: the amount, any unit, 0 or more.
    step: the size of a step, the same unit, above 0.
    Returns the number of steps, no unit.
    Raises ValueError as `steps_up` does.
    Source: definition.

    >>> steps_down(2.272, 0.05)
    45
    >>> steps_down(0.15, 0.05)
    3
    """
    _check(x, step)
    steps = x / step
    return math.floor(steps + RELATIVE_TOLERANCE * max(1.0, steps))


def _check(x: float, step: float) -> None:
    if not (math.isfinite(x) and x >= 0.0):
        raise ValueError(f"an amount to count must be 0 or more, not {x}")
    if not (math.isfinite(step) and step > 0.0):
        raise ValueError(f"a step to count in must be more than 0, not {step}")
