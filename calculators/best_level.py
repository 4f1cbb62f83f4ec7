"""The floor level that costs least, for one scheme on one plot.

Cost is likely cash with own hours at their worth, before rounding to units of
sale, so that it is a curve and not a staircase.  Levels are tried on a grid
from the lowest that the rules allow; what breaks a rule is not a candidate.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

# The grid of levels, and how coarsely it is walked before the neighbourhood of the best is.  An edge's depth goes by
# 25 mm, so a walk by 25 mm would see it always the same way rounded.
GRID_M = 0.005
COARSE_STEPS = 6
# How far above the lowest level is looked, m: fill and height limits end sooner on almost every plot.
REACH_M = 1.0
# A step up or down whose price a reader is told, and how near the least counts as just as good.
NUDGE_M = 0.050
AS_GOOD_SHARE = 0.02
# A level that costs this much more than the least so far, or breaks a rule, is hopeless.
HOPELESS_SHARE = 0.04
# Walls go by whole courses and thicknesses, so what gets dearer may get cheaper again: hopeless levels are walked over, in longer steps.
LONG_STEPS = 3 * COARSE_STEPS
# Between two levels the cost is expected to go on as it does beside them, give or take this.
TRUST_SHARE = 0.003
# Costs and ratios that differ by no more than this are the same: the last digits depend on the units typed.
SAME = 1e-6


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
class Clash:
    """Why no level keeps every rule: names of the rules by which way each pulls the floor.

    `up` are kept only higher, `down` only lower (if at all), and `neither`
    are broken alike at every level that was tried.
    """

    up: tuple[str, ...]
    down: tuple[str, ...]
    neither: tuple[str, ...]


@dataclass(frozen=True)
class LevelSearch:
    """What a scheme costs at each level that was tried, and which level is best.

    `nudge_up` and `nudge_down` are what 50 mm either way adds, money; None
    where a rule forbids it.  `as_good_m` is the band of levels round the best
    of which every one that was tried costs within 2 % of the least.
    `lowest_set_by` says what keeps the floor from going lower than the lowest.
    """

    points: tuple[LevelPoint, ...]
    best: LevelPoint
    nudge_up: float | None
    nudge_down: float | None
    as_good_m: tuple[float, float]
    lowest_set_by: str = ""

    @property
    def lowest_m(self) -> float:
        """The lowest level that was tried, m."""
        return self.points[0].level_m

    @property
    def at_lowest(self) -> bool:
        """Whether the best level is the lowest that the rules allow."""
        return abs(self.best.level_m - self.lowest_m) < GRID_M / 2.0

    @property
    def broken_up(self) -> tuple[str, ...]:
        """The rules that 50 mm higher would break, by name; empty where it breaks none."""
        return next((tuple(point.broken) for point in self.points if abs(point.level_m - self.best.level_m - NUDGE_M) < GRID_M / 2.0), ())

    @property
    def clash(self) -> Clash | None:
        """Which rules pull the floor which way; None where a level keeps them all."""
        if self.best.allowed:
            return None
        lowest, higher = self.points[0].broken, [point.broken for point in self.points[1:]]
        names = tuple(dict.fromkeys(name for point in self.points for name in point.broken))
        up = tuple(name for name in names if any(broken.get(name, 0.0) < lowest.get(name, 0.0) - SAME for broken in higher))
        down = tuple(name for name in names if any(broken.get(name, 0.0) > lowest.get(name, 0.0) + SAME for broken in higher))
        return Clash(up, down, tuple(name for name in names if name not in up + down))


def _no_better_higher(first: LevelPoint, higher: LevelPoint) -> set[str]:
    """The rules broken at one level that are no less broken at a higher one."""
    return {rule for rule, past in first.broken.items() if higher.broken.get(rule, 0.0) >= past - SAME}


def _breaks_further(lower: LevelPoint, higher: LevelPoint) -> set[str]:
    """The rules broken at one level that are broken by more at a higher one."""
    return {rule for rule, past in higher.broken.items() if past > lower.broken.get(rule, math.inf) + SAME}


def _expected_least(before: LevelPoint, lower: LevelPoint, higher: LevelPoint, after: LevelPoint) -> float:
    """The least cost to be expected between two neighbours on the coarse walk, going on from either as it came from the level beyond it."""
    stride = higher.level_m - lower.level_m

    def gone_on(here: LevelPoint, beyond: LevelPoint) -> float:
        neighbours = abs(abs(here.level_m - beyond.level_m) - stride) < GRID_M / 2.0
        # Where other rules are broken beyond, the works are others too: what they cost may come back.
        if beyond.broken.keys() != here.broken.keys():
            return min(here.cost, beyond.cost)
        return here.cost - max(0.0, beyond.cost - here.cost) if neighbours else here.cost

    return min(gone_on(lower, before), gone_on(higher, after))


def _as_good_m(points: tuple[LevelPoint, ...], best: LevelPoint) -> tuple[float, float]:
    """The lowest and the highest level, m, of the stretch round the best in which every point is allowed and within 2 % of it."""
    ends = []
    for way in (-1, 1):
        at = points.index(best)
        while 0 <= at + way < len(points) and points[at + way].allowed and points[at + way].cost <= best.cost * (1.0 + AS_GOOD_SHARE):
            at += way
        ends.append(points[at].level_m)
    return ends[0], ends[1]


def _least(tried: dict[int, LevelPoint]) -> int:
    """The step that costs least of those that keep every rule; the lower of two alike."""
    return min((step for step, found in tried.items() if found.allowed), key=lambda step: (round(tried[step].cost / SAME), step))


def search(
    lowest_m: float, at: Callable[[float], LevelPoint], lowest_set_by: str = "", come_and_go: frozenset[str] = frozenset(),
) -> LevelSearch:
    """Find the level that costs least among those that keep every rule, on a grid of 5 mm.

    lowest_m: the lowest level that the rules allow, m; at: works out one
    level; lowest_set_by: what keeps it from going lower, in words;
    come_and_go: rules that are broken and kept by turns as the floor rises.
    Where no level keeps every rule the lowest is the best there is, and its point says
    that it is not allowed.  Source: definition of the guide (the floor level).
    """
    tried: dict[int, LevelPoint] = {}

    def point(step: int) -> LevelPoint:
        if step not in tried:
            tried[step] = at(lowest_m + step * GRID_M)
        return tried[step]

    first = point(0)

    def nothing_allowed() -> LevelSearch:
        return LevelSearch(tuple(tried[step] for step in sorted(tried)), first, None, None, (first.level_m, first.level_m), lowest_set_by)

    if first.broken and _no_better_higher(first, point(COARSE_STEPS)) - come_and_go:
        return nothing_allowed()
    least, step, last, hope, before = math.inf, 0, 0, 0, first
    while step <= round(REACH_M / GRID_M):
        found = point(step)
        # Where a rule begins to bind and the cost has come down meanwhile, the last levels that keep it are looked at.
        if found.broken.keys() - before.broken.keys() - come_and_go and found.cost <= least * (1.0 + HOPELESS_SHARE) + SAME:
            for passed in range(last + COARSE_STEPS, step, COARSE_STEPS):
                point(passed)
        # Rules that bind upward (fill, height) do not let go again further up; nor does stone get cheaper by the metre.
        if _breaks_further(before, found) - come_and_go:
            break
        if found.allowed:
            least = min(least, found.cost)
        if least == math.inf or found.cost <= least * (1.0 + HOPELESS_SHARE) + SAME and found.broken.keys() <= come_and_go:
            for passed in range(max(hope, step - LONG_STEPS) + COARSE_STEPS, step, COARSE_STEPS):
                point(passed)
            hope = step
        last, before = step, found
        # One hopeless level may be a step in the footing, or its want of one: the next is tried as closely.
        step += COARSE_STEPS if step - hope <= COARSE_STEPS else LONG_STEPS

    walked = sorted(tried)
    while True:
        least = min((found.cost for found in tried.values() if found.allowed), default=math.inf)
        worth_trying = set()
        for i, (lower, higher) in enumerate(zip(walked, walked[1:])):
            ends = tried[lower], tried[higher]
            beside = tried[walked[max(i - 1, 0)]], tried[walked[min(i + 2, len(walked) - 1)]]
            broken_throughout = ends[0].broken.keys() & ends[1].broken.keys() - come_and_go
            if higher - lower == COARSE_STEPS and not broken_throughout and _expected_least(beside[0], *ends, beside[1]) <= least * (1.0 + TRUST_SHARE):
                worth_trying.update(range(lower + 1, higher))
        if not worth_trying - tried.keys():
            break
        for step in worth_trying:
            point(step)
    if least == math.inf:
        return nothing_allowed()
    best_step = _least(tried)
    best = tried[best_step]
    nudge = round(NUDGE_M / GRID_M)

    def nudged(steps: int) -> float | None:
        if best_step + steps < 0:
            return None
        found = point(best_step + steps)
        return found.cost - best.cost if found.allowed else None

    up, down = nudged(nudge), nudged(-nudge)
    points = tuple(tried[step] for step in sorted(tried))
    return LevelSearch(points, best, up, down, _as_good_m(points, best), lowest_set_by)
