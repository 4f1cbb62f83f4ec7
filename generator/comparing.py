"""A scenario file becomes a comparison: the one function that every door calls."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from calculators.compare import Comparison, compare
from calculators.pricing import MissingRate
from generator.problems import BadInput, Problem
from generator.scenario import Reading, read_scenario_file


def compared(file: str | Path, overrides: Iterable[str] = ()) -> tuple[Reading, Comparison]:
    """The reading and the comparison of a scenario file.  Raises BadInput for everything that its owner can put right."""
    reading = read_scenario_file(file, overrides)
    try:
        return reading, compare(reading.scenario)
    except MissingRate as missing:
        raise BadInput([Problem(str(file), 1, "rates", missing.sentence.rstrip("."), "give the schedule this rate", missing.key)]) from missing
    except ValueError as error:
        raise BadInput([Problem(str(file), 1, "scenario", str(error).rstrip("."), "change the sizes it speaks of")]) from error
