"""Stepping a footing or a deepened edge down a slope, bench by bench.

The footing is a ring round the plan.  Walking once round its centre line,
each bench is one level stretch of underside; the next bench is whole courses
lower.  A bench starts where the one above would no longer be deep enough
under its whole width.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

from calculators.ground import Surface, unraised
from calculators.numbers import steps_up
from calculators.plan import Plan, Polygon, Side

# Two chainages or levels nearer than this are the same one.
SAME_M = 1e-9


@dataclass(frozen=True)
class Ring:
    """A band of even width round a plan, its centre line `centre_m` inside the outer face, m."""

    plan: Plan
    centre_m: float
    width_m: float

    @property
    def outer_m(self) -> float:
        """Distance of its outer edge inside the outer face, m (negative outside)."""
        return self.centre_m - self.width_m / 2.0

    @property
    def inner_m(self) -> float:
        """Distance of its inner edge inside the outer face, m."""
        return self.centre_m + self.width_m / 2.0

    @cached_property
    def length_m(self) -> float:
        """Length of its centre line, m; for right angles P - 8 x centre_m."""
        return self.plan.inset_perimeter_m(self.centre_m)

    @cached_property
    def _stretches(self) -> tuple[tuple[Side, float, float, float], ...]:
        """Each side with where its part of the centre line starts on the ring, and its span along the side, m."""
        found, total = [], 0.0
        for side in self.plan.sides:
            low, high = side.span(self.centre_m)
            found.append((side, total, low, high))
            total += high - low
        return tuple(found)

    def starts_m(self) -> list[float]:
        """Chainage, m, at which each side's part of the centre line starts."""
        return [start for _, start, _, _ in self._stretches]

    def parts(self, from_m: float, to_m: float) -> list[tuple[Side, float, float]]:
        """What a stretch of chainage covers: (side, from, to) along each side's outer face, m.

        `to_m` may run past the end of the ring; the stretch then goes round.
        A part that ends on a mitre is left open there, so that bands of any
        width built on it meet their neighbours along the mitre.
        """
        found = []
        for lap in (0.0, self.length_m):
            for side, start, low, high in self._stretches:
                first, last = start + lap, start + lap + high - low
                a, b = max(from_m, first), min(to_m, last)
                if b - a > SAME_M:
                    found.append((
                        side,
                        float("-inf") if a <= first + SAME_M else low + a - first,
                        float("inf") if b >= last - SAME_M else low + b - first,
                    ))
        return found

    def bands(self, inner_m: float, outer_m: float, from_m: float, to_m: float) -> list[Polygon]:
        """Bands between two distances inside the outer face (m) along a stretch of chainage (m)."""
        return [p for side, a, b in self.parts(from_m, to_m) if (p := side.band(inner_m, outer_m, a, b))]

    def length_along_m(self, inward_m: float, from_m: float, to_m: float) -> float:
        """Length, m, of the line `inward_m` inside the outer face along a stretch of chainage (m)."""
        total = 0.0
        for side, a, b in self.parts(from_m, to_m):
            low, high = side.span(inward_m)
            total += max(0.0, min(b, high) - max(a, low))
        return total


@dataclass(frozen=True)
class Bench:
    """A level stretch: chainage from and to (m, `to_m` may pass the end of the ring), underside level, m.

    `steps_down` counts the courses below the highest level the grid allows.
    """

    from_m: float
    to_m: float
    steps_down: int
    underside_m: float

    @property
    def length_m(self) -> float:
        """Length along the ring's centre line, m."""
        return self.to_m - self.from_m


@dataclass(frozen=True)
class Riser:
    """A step between two benches: where (m along the ring), how high (m), which way it falls.

    `falls_forward` is true when the lower bench follows in the direction of chainage.
    """

    chainage_m: float
    height_m: float
    falls_forward: bool


def lay_benches(
    ring: Ring, allowed_underside: Surface, highest_underside_m: float, step_m: float, least_bench_m: float,
    least_pit_m: float | None = None,
) -> tuple[Bench, ...]:
    """Benches round a ring, each at or below `allowed_underside` under its whole width.

    ring: the footing in plan; allowed_underside: surface the concrete's
    underside must not be above, m; highest_underside_m: the grid's first
    level, m; step_m: height of a step, m (above 0); least_bench_m: shortest
    bench, m; least_pit_m: shortest bench with a step up at both ends, m
    (as the others if not given).  A corner is one level across both walls.
    Where the ground falls too fast for the least length, the upper bench
    gives way; a rise too short for a bench goes down with its neighbours; a
    pit too short is lengthened both ways.  So nothing is ever less deep than
    asked, and it does not matter which corner the walk starts from.  Raises
    ValueError for a step of 0 or less.  Source: definitions of the guide
    (measuring); common practice.
    """
    if step_m <= 0.0:
        raise ValueError(f"A step of {step_m} m is no step.")
    needed = _needed_runs(ring, allowed_underside, highest_underside_m, step_m)
    events = _step_places(needed, ring.length_m, least_bench_m, max(least_bench_m, least_pit_m or 0.0), _corner_zones(ring))
    if not events.places:
        return (Bench(0.0, ring.length_m, events.everywhere, highest_underside_m - events.everywhere * step_m),)
    ends = events.places[1:] + [(events.places[0][0] + ring.length_m, 0)]
    return tuple(
        Bench(at, end, steps_down, highest_underside_m - steps_down * step_m)
        for (at, steps_down), (end, _) in zip(events.places, ends)
    )


def risers(benches: tuple[Bench, ...], step_m: float) -> tuple[Riser, ...]:
    """The steps between neighbouring benches, in order of chainage; none for a level footing."""
    if len(benches) < 2:
        return ()
    found = []
    for here, following in zip(benches, benches[1:] + benches[:1]):
        drop = following.steps_down - here.steps_down
        found.append(Riser(here.to_m, abs(drop) * step_m, drop > 0))
    return tuple(found)


def _corner_zone_m(ring: Ring, turn: float) -> float:
    return abs(ring.width_m / 2.0 * turn)


def _corner_zones(ring: Ring) -> list[tuple[float, float]]:
    """Chainages, m, from and to, over which the footing turns each corner; the first may start before 0."""
    return [
        (start - _corner_zone_m(ring, side.start_turn), start + _corner_zone_m(ring, side.start_turn))
        for side, start in zip(ring.plan.sides, ring.starts_m())
    ]


# A stretch of a ring, m, and the level at its start and at its end, m: (from, level, to, level).
Slope = tuple[float, float, float, float]


@lru_cache(maxsize=256)
def _levels_along(ring: Ring, surface: Surface, sign: float) -> tuple[Slope, ...]:
    """The lowest level across a ring's width, chainage by chainage; for a sign of -1 the highest, and its levels with their signs changed.

    Where the ring turns a corner the level is the one under both walls.
    """
    sides, starts = ring.plan.sides, ring.starts_m()
    corners = []
    for side in sides:
        before = sides[side.index - 1]
        zone = _corner_zone_m(ring, side.start_turn)
        turned = (
            before.band(ring.outer_m, ring.inner_m, from_m=before.span(ring.centre_m)[1] - zone),
            side.band(ring.outer_m, ring.inner_m, to_m=side.span(ring.centre_m)[0] + zone),
        )
        corners.append(min(sign * plane.z(p) for polygon in turned if polygon for part, plane in surface.over(polygon) for p in part))
    found: list[Slope] = []
    for side, start in zip(sides, starts):
        low, high = side.span(ring.centre_m)
        zone_in, zone_out = _corner_zone_m(ring, side.start_turn), _corner_zone_m(ring, side.end_turn)
        end = start + high - low
        found.append((start, corners[side.index], start + zone_in, corners[side.index]))
        band = side.band(ring.outer_m, ring.inner_m, low + zone_in, high - zone_out)
        if band:
            found += [(start - low + a, z0, start - low + b, z1) for a, z0, b, z1 in _lowest_across(side, band, surface, sign)]
        after = corners[(side.index + 1) % len(sides)]
        found.append((end - zone_out, after, end, after))
    return tuple(slope for slope in found if slope[2] - slope[0] > SAME_M)


def _lowest_across(side: Side, band: Polygon, surface: Surface, sign: float) -> list[Slope]:
    """The same along one straight side, from the edges of the flat patches under its band; chainage along the side."""
    edges = []
    for part, plane in surface.over(band):
        marks = [(side.along(p), sign * plane.z(p)) for p in part]
        for (s0, z0), (s1, z1) in zip(marks, marks[1:] + marks[:1]):
            if abs(s1 - s0) > SAME_M:
                edges.append((s0, z0, s1, z1) if s0 < s1 else (s1, z1, s0, z0))
    cuts = sorted({cut for s0, _, s1, _ in edges for cut in (s0, s1)})
    found = []
    for a, b in zip(cuts, cuts[1:]):
        if b - a > SAME_M:
            middle = (a + b) / 2.0
            across = [((z1 - z0) / (s1 - s0), z0, s0) for s0, z0, s1, z1 in edges if s0 <= middle <= s1]
            found += _lowest_of(across, a, b)
    return found


def _lowest_of(lines: list[tuple[float, float, float]], from_m: float, to_m: float) -> list[Slope]:
    """The lowest of straight lines (rise, level, where) from one chainage to another, m."""
    def level(line: tuple[float, float, float], at: float) -> float:
        rise, z, where = line
        return z + rise * (at - where)

    first, last = (min(lines, key=lambda line: (level(line, at), -way * line[0])) for at, way in ((from_m, -1.0), (to_m, 1.0)))
    if abs(first[0] - last[0]) > SAME_M:
        cross = from_m + (level(last, from_m) - level(first, from_m)) / (first[0] - last[0])
        # Two lines that are both lowest at one end do not cross between the ends.
        if from_m + SAME_M < cross < to_m - SAME_M:
            return _lowest_of(lines, from_m, cross) + _lowest_of(lines, cross, to_m)
    lowest = min((first, last), key=lambda line: level(line, from_m) + level(line, to_m))
    return [(from_m, level(lowest, from_m), to_m, level(lowest, to_m))]


def least_depth_m(ring: Ring, surface: Surface, benches: Iterable[Bench]) -> float:
    """The least depth, m, of the benches' undersides below a surface under the ring's whole width; negative above it.

    ring: may be narrower than the benches' own, with the same centre line.
    """
    ground, by_m = unraised(surface)
    slopes = _levels_along(ring, ground, 1.0)
    return by_m + min(_least(slopes, ring.length_m, bench) - bench.underside_m for bench in benches)


def greatest_depth_m(ring: Ring, surface: Surface, benches: Iterable[Bench]) -> float:
    """The greatest depth, m, of the benches' undersides below a surface anywhere across the ring's width; negative above it.

    ring: may be narrower than the benches' own, with the same centre line.
    """
    ground, by_m = unraised(surface)
    slopes = _levels_along(ring, ground, -1.0)
    return by_m - min(_least(slopes, ring.length_m, bench) + bench.underside_m for bench in benches)


def _least(slopes: tuple[Slope, ...], total_m: float, bench: Bench) -> float:
    """The least level along a bench, m."""
    least = math.inf
    # A bench that runs past the end of the ring goes on from its start.
    for lap in (0.0, total_m) if bench.to_m > total_m else (0.0,):
        from_m, to_m = bench.from_m - lap, bench.to_m - lap
        for s0, z0, s1, z1 in slopes:
            if s1 - from_m > SAME_M and to_m - s0 > SAME_M:
                rise = (z1 - z0) / (s1 - s0)
                least = min(least, z0 + rise * (max(s0, from_m) - s0), z0 + rise * (min(s1, to_m) - s0))
    return least


def _needed_runs(ring: Ring, allowed: Surface, top_m: float, step_m: float) -> list[tuple[int, float, float]]:
    """Runs (steps down, from, to) along the ring, m, exactly as deep as the ground asks, before benches are made regular."""
    ground, by_m = unraised(allowed)
    first_m = top_m - by_m
    runs: list[tuple[int, float, float]] = []
    for s0, z0, s1, z1 in _levels_along(ring, ground, 1.0):
        at_start, at_end = steps_up(max(0.0, first_m - z0), step_m), steps_up(max(0.0, first_m - z1), step_m)
        if at_start == at_end:
            runs.append((at_start, s0, s1))
            continue
        fewest, most = min(at_start, at_end), max(at_start, at_end)
        crossed = (s0 + (first_m - k * step_m - z0) / (z1 - z0) * (s1 - s0) for k in range(fewest, most))
        cuts = [s0, *sorted(cut for cut in crossed if s0 < cut < s1), s1]
        for a, b in zip(cuts, cuts[1:]):
            if b - a > SAME_M:
                level = z0 + (z1 - z0) * ((a + b) / 2.0 - s0) / (s1 - s0)
                runs.append((steps_up(max(0.0, first_m - level), step_m), a, b))
    return runs


Stretch = tuple[float, float]


@dataclass(frozen=True)
class _Steps:
    """Where the level changes: (chainage m, steps down from there on); with no such place, one level everywhere."""

    places: list[tuple[float, int]]
    everywhere: int


def _step_places(runs: list[tuple[int, float, float]], total_m: float, least_m: float, pit_m: float, corners: list[Stretch]) -> _Steps:
    """The steps of benches that are long enough, one course each, off the corners, and nowhere less deep than the runs.

    Worked from the deepest level up.  What lies at a level or below it must
    reach `least_m` further than what lies below that level, so that there is
    room for a bench between.
    """
    places: list[tuple[float, int]] = []
    lower: list[Stretch] = []
    for level in range(max(steps for steps, _, _ in runs), 0, -1):
        asked = [(a, b) for steps, a, b in runs if steps >= level]
        asked += [(a - least_m, b + least_m) for a, b in lower]
        deep = []
        for a, b in _joined(asked, total_m, 0.0):
            more = max(0.0, pit_m - (b - a)) / 2.0
            deep.append(_off_corners(a - more, b + more, corners, total_m))
        lower = _joined(deep, total_m, least_m)
        if lower[0][1] - lower[0][0] >= total_m - SAME_M:
            return _Steps(sorted(places), level)
        for a, b in lower:
            places += [(a % total_m, level), (b % total_m, level - 1)]
    return _Steps(sorted(places), 0)


def _joined(stretches: list[Stretch], total_m: float, least_gap_m: float) -> list[Stretch]:
    """Stretches of a ring made one where they meet, overlap or leave too short a gap; the whole ring is (0, total)."""
    ordered = sorted((a % total_m, a % total_m + b - a) for a, b in stretches)
    joined: list[list[float]] = []

    def meets(gap_m: float) -> bool:
        return gap_m <= SAME_M or gap_m < least_gap_m - SAME_M

    for a, b in ordered:
        if joined and meets(a - joined[-1][1]):
            joined[-1][1] = max(joined[-1][1], b)
        else:
            joined.append([a, b])
    # Round the end of the ring: the last may reach the first, and the next after it.
    while len(joined) > 1 and meets(joined[0][0] + total_m - joined[-1][1]):
        first = joined.pop(0)
        joined[-1][1] = max(joined[-1][1], first[1] + total_m)
    if len(joined) == 1 and meets(joined[0][0] + total_m - joined[0][1]):
        return [(0.0, total_m)]
    return [(a, b) for a, b in joined]


def _off_corners(a: float, b: float, corners: list[Stretch], total_m: float) -> Stretch:
    """A stretch lengthened so that neither end lies where the footing turns a corner."""
    for start, end in corners:
        for lap in (-total_m, 0.0, total_m, 2.0 * total_m):
            if start + lap + SAME_M < a < end + lap - SAME_M:
                a = start + lap
            if start + lap + SAME_M < b < end + lap - SAME_M:
                b = end + lap
    return a, b
