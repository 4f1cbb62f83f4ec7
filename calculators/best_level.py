"""The floor level that costs least, for one scheme on one plot.

Cost is likely cash with own hours at their worth, before rounding to units of
sale, so that it is a curve and not a staircase.  Levels are tried on a grid
from the lowest that the rules allow; what breaks a rule is not a candidate.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

# The grid of levels, and how coarsely it is walked before the neighbourhood of the best is.
GRID_M = 0.005
COARSE_STEPS = 5
# How far above the lowest level is looked, m: fill and height limits end sooner on almost every plot.
REACH_M = 1.0
# A step up or down whose price a reader is told, and how near the least counts as just as good.
NUDGE_M = 0.050
AS_GOOD_SHARE = 0.02
# Costs this far above the least so far end the walk upward; costs this near it are looked at closely.
GIVE_UP_SHARE = 0.08
LOOK_CLOSER_SHARE = 0.006


@dataclass(frozen=True)
class LevelPoint:
    """One level that was tried: m, its cost in money, the cost by stage, and the rules it breaks.

    `broken` gives for each broken rule how far past its limit the level is, as
    a ratio; infinite where a rule has no figure.
    """

    level_m: float
    cost: float
    by_stage: dict[str, float]
    broken: dict[str, float]

    @property
    def allowed(self) -> bool:
        """Whether every rule is kept."""
        return not self.broken


@dataclass(frozen=True)
class LevelSearch:
    """What a scheme costs at each level that was tried, and which level is best.

    `nudge_up` and `nudge_down` are what 50 mm either way adds, money; None
    where a rule forbids it.  `as_good_m` is the band of levels within 2 % of
    the least.
    """

    points: tuple[LevelPoint, ...]
    best: LevelPoint
    nudge_up: float | None
    nudge_down: float | None
    as_good_m: tuple[float, float]

    @property
    def at_lowest(self) -> bool:
        """Whether the best level is the lowest that the rules allow."""
        return abs(self.best.level_m - min(point.level_m for point in self.points)) < GRID_M / 2.0


def _no_better_higher(first: LevelPoint, higher: LevelPoint) -> bool:
    """Whether some rule broken at one level is no less broken at a higher one."""
    return any(higher.broken.get(rule, 0.0) >= past for rule, past in first.broken.items())


def _least(tried: dict[int, LevelPoint]) -> int:
    """The step that costs least of those that keep every rule; the lower of two alike."""
    return min((step for step, found in tried.items() if found.allowed), key=lambda step: (tried[step].cost, step))


def search(lowest_m: float, at: Callable[[float], LevelPoint]) -> LevelSearch:
    """Find the level that costs least among those that keep every rule, on a grid of 5 mm.

    lowest_m: the lowest level that the rules allow, m; at: works out one
    level.  Where no level keeps every rule the lowest is the best there is,
    and its point says that it is not allowed.  Source: definition of the
    guide (the floor level).
    """
    tried: dict[int, LevelPoint] = {}

    def point(step: int) -> LevelPoint:
        if step not in tried:
            tried[step] = at(lowest_m + step * GRID_M)
        return tried[step]

    first = point(0)
    if first.broken and _no_better_higher(first, point(round(NUDGE_M / GRID_M))):
        return LevelSearch((first,), first, None, None, (first.level_m, first.level_m))
    least = math.inf
    for step in range(0, round(REACH_M / GRID_M) + 1, COARSE_STEPS):
        found = point(step)
        if found.allowed:
            least = min(least, found.cost)
        # Rules that bind upward (fill, height) do not let go again further up; nor does stone get cheaper by the metre.
        if least < math.inf and (not found.allowed or found.cost > least * (1.0 + GIVE_UP_SHARE)):
            break
    allowed = [step for step, found in tried.items() if found.allowed]
    if not allowed:
        return LevelSearch(tuple(tried[step] for step in sorted(tried)), first, None, None, (first.level_m, first.level_m))
    # Steps in the footing make several low places; those near the least are looked at closely.
    for step in [step for step in allowed if tried[step].cost <= least * (1.0 + LOOK_CLOSER_SHARE)]:
        for near in range(max(0, step - COARSE_STEPS // 2), step + COARSE_STEPS // 2 + 1):
            point(near)
    best_step = _least(tried)
    while True:
        for near in range(max(0, best_step - COARSE_STEPS + 1), best_step + COARSE_STEPS):
            point(near)
        if _least(tried) == best_step:
            break
        best_step = _least(tried)
    best = tried[best_step]

    def nudged(steps: int) -> float | None:
        if best_step + steps < 0:
            return None
        found = point(best_step + steps)
        return found.cost - best.cost if found.allowed else None

    nudge = round(NUDGE_M / GRID_M)
    up, down = nudged(nudge), nudged(-nudge)
    good = [found.level_m for found in tried.values() if found.allowed and found.cost <= best.cost * (1.0 + AS_GOOD_SHARE)]
    return LevelSearch(tuple(tried[step] for step in sorted(tried)), best, up, down, (min(good), max(good)))
