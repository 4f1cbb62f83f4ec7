"""Draws of what nobody knows exactly: distributions, and where in them each draw falls.

Draws come from the standard library in blocks of 250, each block a Latin
hypercube of its own, so that the first 250 of many are the 250 of few.
"""

from __future__ import annotations

import math
import random
from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from calculators.either import Numbers, where

BLOCK = 250
SEED = 1
MOST_DRAWS = 100_000


def triangular_mean(low: float, likely: float, high: float) -> float:
    """Mean of a triangular distribution.

    low, likely, high: rising, any unit.  Returns the same unit.
    Source: closed form.  The weighted mean of project planning, (low + 4 likely + high) / 6,
    belongs to another distribution.

    >>> triangular_mean(5.0, 8.0, 14.0)
    9.0
    """
    return (low + likely + high) / 3.0


def triangular_variance(low: float, likely: float, high: float) -> float:
    """Variance of a triangular distribution.

    low, likely, high: rising, any unit.  Returns the unit squared.
    Source: closed form.

    >>> triangular_variance(5.0, 8.0, 14.0)
    3.5
    """
    # Of differences, so that far from 0 no digits are lost.
    below, above = likely - low, high - likely
    return (below * below + below * above + above * above) / 18.0


@dataclass(frozen=True)
class ThreePoint:
    """A triangular distribution: the least, the likely and the most, in one unit.

    Raises ValueError where they do not rise, or are not finite.
    """

    low: float
    likely: float
    high: float

    def __post_init__(self):
        if not (math.isfinite(self.low) and math.isfinite(self.high) and self.low <= self.likely <= self.high):
            raise ValueError(f"three points must rise: {self.low}, {self.likely}, {self.high}")

    @property
    def mean(self) -> float:
        """Mean, in the distribution's unit.  Source: `triangular_mean`."""
        return triangular_mean(self.low, self.likely, self.high)

    @property
    def variance(self) -> float:
        """Variance, the unit squared.  Source: `triangular_variance`."""
        return triangular_variance(self.low, self.likely, self.high)

    def at(self, share: Numbers) -> Numbers:
        """The value below which a share of the distribution lies.

        share: 0 to 1, one number or an array.  Returns the distribution's unit.
        Raises ValueError for one number out of range.
        Source: inverse of the triangular distribution, closed form.

        >>> ThreePoint(0.0, 1.0, 2.0).at(0.5), ThreePoint(3.0, 3.0, 3.0).at(0.7)
        (1.0, 3.0)
        """
        if isinstance(share, (int, float)) and not 0.0 <= share <= 1.0:
            raise ValueError(f"a share of a distribution goes from 0 to 1, not {share}")
        spread = self.high - self.low
        if spread <= 0.0:
            return self.likely + 0.0 * share
        turn = (self.likely - self.low) / spread
        rising = self.low + (spread * (self.likely - self.low) * share) ** 0.5
        falling = self.high - (spread * (self.high - self.likely) * (1.0 - share)) ** 0.5
        return where(share < turn, rising, falling)


def shares(names: Sequence[str], count: int, seed: int = SEED) -> dict[str, Sequence[float]]:
    """Where in its distribution each draw of each uncertain thing falls, 0 to 1.

    names: one for each; count: how many draws, 1 to 100000; seed: another
    gives other draws.  A thing's draws depend on its name and not on which
    others there are.  Returns `count` shares in a row, no unit, for each name.
    Raises ValueError for a count out of range or a name given twice.
    Source: McKay, Beckman and Conover (1979), Latin hypercube, from memory.

    >>> block = sorted(shares(["topsoil"], 250)["topsoil"])
    >>> all(i / 250 <= share < (i + 1) / 250 for i, share in enumerate(block))
    True
    >>> shares(["topsoil"], 500)["topsoil"][:250] == shares(["survey", "topsoil"], 250)["topsoil"]
    True
    """
    if not 1 <= count <= MOST_DRAWS:
        raise ValueError(f"1 to {MOST_DRAWS} draws can be made, not {count}")
    if len(set(names)) != len(names):
        raise ValueError("each uncertain thing is drawn once: a name is given twice")
    return {name: _drawn(name, count, seed) for name in names}


# The same for every plot: a preview that is built again need not draw again.
@lru_cache(maxsize=256)
def _drawn(name: str, count: int, seed: int) -> Sequence[float]:
    drawn: list[float] = []
    for block in range(math.ceil(count / BLOCK)):
        chance = random.Random(f"{seed} {name} {block}")
        strata = list(range(BLOCK))
        chance.shuffle(strata)
        drawn += [(stratum + chance.random()) / BLOCK for stratum in strata]
    # A quarter of the room of a list.
    return array("d", drawn[:count])


def forget() -> None:
    """Let go of the draws that are kept, no unit; the next are the same again.  Source: definition of the guide."""
    _drawn.cache_clear()


def quantile(rising: Sequence[float], share: float) -> float:
    """The value below which a share of some figures lies, on straight lines between them.

    rising: the figures, sorted, at least one, any unit; share: 0 to 1.  Returns their unit.
    Raises ValueError for none, or a share out of range.
    Source: Hyndman and Fan (1996), type 7, from memory.

    >>> quantile([1.0, 2.0, 4.0], 0.5), quantile([1.0, 2.0, 4.0], 0.75)
    (2.0, 3.0)
    """
    if not rising or not 0.0 <= share <= 1.0:
        raise ValueError("a quantile needs figures and a share from 0 to 1")
    place = share * (len(rising) - 1)
    below = math.floor(place)
    above = min(below + 1, len(rising) - 1)
    return rising[below] + (place - below) * (rising[above] - rising[below])
