"""A scenario file becomes a comparison: the one function that every door calls."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from calculators.compare import Comparison, compare
from calculators.draws import BLOCK
from calculators.pricing import MissingRate
from calculators.ranges import USUAL_DRAWS
from generator.problems import BadInput, Problem
from generator.scenario import Reading, read_scenario_file


def vector() -> Callable[[list[float]], object] | None:
    """What makes an array of a list, where NumPy is installed; else None, and draws are worked one at a time."""
    try:
        import numpy
    except ImportError:
        return None
    return numpy.array


def compared(file: str | Path, overrides: Iterable[str] = (), draws: int | None = None) -> tuple[Reading, Comparison]:
    """The reading and the comparison of a scenario file.

    draws: how often what nobody knows exactly is drawn; None for 10 000 where
    there are arrays and 250 where there are none, 0 to leave certainty out.
    Raises BadInput for everything that its owner can put right.
    """
    reading = read_scenario_file(file, overrides)
    arrays = vector()
    if draws is None:
        draws = USUAL_DRAWS if arrays else BLOCK
    try:
        return reading, compare(reading.scenario, draws, arrays, jobs=True)
    except MissingRate as missing:
        raise BadInput([Problem(str(file), 1, "rates", missing.sentence.rstrip("."), "give the schedule this rate", missing.key)]) from missing
    except ValueError as error:
        raise BadInput([Problem(str(file), 1, "scenario", str(error).rstrip("."), "change the sizes it speaks of")]) from error
