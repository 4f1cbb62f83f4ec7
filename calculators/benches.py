"""Stepping a footing or a deepened edge down a slope, bench by bench.

The footing is a ring round the plan.  Walking once round its centre line,
each bench is one level stretch of underside; the next bench is whole courses
lower.  A bench starts where the one above would no longer be deep enough
under its whole width.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.ground import Surface
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

    @property
    def length_m(self) -> float:
        """Length of its centre line, m; for right angles P - 8 x centre_m."""
        return self.plan.inset_perimeter_m(self.centre_m)

    def starts_m(self) -> list[float]:
        """Chainage, m, at which each side's part of the centre line starts."""
        starts, total = [], 0.0
        for side in self.plan.sides:
            starts.append(total)
            low, high = side.span(self.centre_m)
            total += high - low
        return starts

    def parts(self, from_m: float, to_m: float) -> list[tuple[Side, float, float]]:
        """What a stretch of chainage covers: (side, from, to) along each side's outer face, m.

        `to_m` may run past the end of the ring; the stretch then goes round.
        A part that ends on a mitre is left open there, so that bands of any
        width built on it meet their neighbours along the mitre.
        """
        found = []
        total = self.length_m
        for lap in (0.0, total):
            for side, start in zip(self.plan.sides, self.starts_m()):
                low, high = side.span(self.centre_m)
                a, b = max(from_m, start + lap), min(to_m, start + lap + high - low)
                if b - a <= SAME_M:
                    continue
                at_start = a <= start + lap + SAME_M
                at_end = b >= start + lap + high - low - SAME_M
                found.append((
                    side,
                    float("-inf") if at_start else low + a - start - lap,
                    float("inf") if at_end else low + b - start - lap,
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
    ring: Ring, allowed_underside: Surface, highest_underside_m: float, step_m: float, least_bench_m: float
) -> tuple[Bench, ...]:
    """Benches round a ring, each at or below `allowed_underside` under its whole width.

    ring: the footing in plan; allowed_underside: surface the concrete's
    underside must not be above, m; highest_underside_m: the grid's first
    level, m; step_m: height of a step, m (above 0); least_bench_m: shortest
    bench, m.  A corner is one level across both walls.  A bench that would be
    too short is deepened to the next one down; the lowest is lengthened
    instead; where ground drops by more than one step at once, the drop is
    spread over benches of the least length.  Raises ValueError for a step of 0
    or less.  Source: definitions of the guide (measuring); common practice.
    """
    if step_m <= 0.0:
        raise ValueError(f"A step of {step_m} m is no step.")
    loop = _Loop(0.0, _needed_runs(ring, allowed_underside, highest_underside_m, step_m))
    loop.make_regular(least_bench_m)
    benches, at = [], loop.start_m
    for steps_down, length in loop.runs:
        benches.append(Bench(at, at + length, steps_down, highest_underside_m - steps_down * step_m))
        at += length
    return tuple(benches)


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


def _needed_runs(ring: Ring, allowed: Surface, top_m: float, step_m: float) -> list[list]:
    """Runs [steps down, length] exactly as deep as the ground asks, before benches are made regular."""
    runs: list[list] = []
    sides = ring.plan.sides
    starts = ring.starts_m()

    def steps_for(level_m: float) -> int:
        return steps_up(max(0.0, top_m - level_m), step_m)

    corner_steps = []
    for side in sides:
        before = sides[side.index - 1]
        zone = _corner_zone_m(ring, side.start_turn)
        after_end = side.span(ring.centre_m)[0] + zone
        before_start = before.span(ring.centre_m)[1] - zone
        polygons = (
            before.band(ring.outer_m, ring.inner_m, from_m=before_start),
            side.band(ring.outer_m, ring.inner_m, to_m=after_end),
        )
        corner_steps.append(max(steps_for(_lowest(allowed, polygon)) for polygon in polygons if polygon))

    for side, start in zip(sides, starts):
        low, high = side.span(ring.centre_m)
        zone_in, zone_out = _corner_zone_m(ring, side.start_turn), _corner_zone_m(ring, side.end_turn)
        runs.append([corner_steps[side.index], start, start + zone_in])
        middle_from, middle_to = low + zone_in, high - zone_out
        band = side.band(ring.outer_m, ring.inner_m, middle_from, middle_to)
        if band:
            for k, a, b in _straight_runs(side, band, allowed, middle_from, middle_to, top_m, step_m, steps_for):
                runs.append([k, start + a - low, start + b - low])
        runs.append([corner_steps[(side.index + 1) % len(sides)], start + high - low - zone_out, start + high - low])
    return [[k, b - a] for k, a, b in runs if b - a > SAME_M]


def _lowest(surface: Surface, polygon: Polygon) -> float:
    return min(plane.z(p) for part, plane in surface.over(polygon) for p in part)


def _straight_runs(side, band, allowed, from_m, to_m, top_m, step_m, steps_for) -> list[tuple[int, float, float]]:
    """Runs along one straight side, from the edges of the flat patches under the band."""
    edges = []
    for part, plane in allowed.over(band):
        marks = [(side.along(p), plane.z(p)) for p in part]
        for (s0, z0), (s1, z1) in zip(marks, marks[1:] + marks[:1]):
            if abs(s1 - s0) > SAME_M:
                edges.append((s0, z0, s1, z1) if s0 < s1 else (s1, z1, s0, z0))
    deepest = steps_for(min(min(z0, z1) for _, z0, _, z1 in edges))
    cuts = {from_m, to_m}
    for s0, z0, s1, z1 in edges:
        cuts.update((s0, s1))
        if z0 != z1:
            for k in range(deepest + 1):
                share = (top_m - k * step_m - z0) / (z1 - z0)
                if 0.0 < share < 1.0:
                    cuts.add(s0 + share * (s1 - s0))
    ordered = sorted(cut for cut in cuts if from_m - SAME_M <= cut <= to_m + SAME_M)
    runs = []
    for a, b in zip(ordered, ordered[1:]):
        if b - a <= SAME_M:
            continue
        middle = (a + b) / 2.0
        level = min(z0 + (z1 - z0) * (middle - s0) / (s1 - s0) for s0, z0, s1, z1 in edges if s0 <= middle <= s1)
        runs.append((steps_for(level), a, b))
    return runs


@dataclass
class _Loop:
    """Runs [steps down, length m] in order round the ring; the first starts at chainage `start_m`."""

    start_m: float
    runs: list[list]

    def make_regular(self, least_m: float) -> None:
        """Deepen until no bench is too short and no step is more than one course; only ever deepens, so it ends."""
        self._join()
        while len(self.runs) > 1:
            if least_m * len(self.runs) > sum(length for _, length in self.runs):
                # Benches of the least length cannot go round so short a ring: one level fewer.
                levels = sorted({k for k, _ in self.runs})
                for run in self.runs:
                    run[0] = max(run[0], levels[1])
            elif not (self._spread_one(least_m) or self._mend_one(least_m)):
                return
            self._join()

    def _join(self) -> None:
        joined: list[list] = []
        for k, length in self.runs:
            if joined and joined[-1][0] == k:
                joined[-1][1] += length
            elif length > SAME_M:
                joined.append([k, length])
        if len(joined) > 1 and joined[0][0] == joined[-1][0]:
            last = joined.pop()
            joined[0][1] += last[1]
            self.start_m -= last[1]
        total = sum(length for _, length in joined)
        self.start_m %= total
        self.runs = joined

    def _spread_one(self, least_m: float) -> bool:
        """Turn one step of several courses into smaller ones by deepening the near end of the upper run."""
        for i, (k, _) in enumerate(self.runs):
            j = (i + 1) % len(self.runs)
            k_next = self.runs[j][0]
            if abs(k_next - k) <= 1:
                continue
            upper, deeper = (i, k_next - 1) if k_next > k else (j, k - 1)
            if self.runs[upper][1] <= least_m + SAME_M:
                self.runs[upper][0] = deeper
            else:
                self.runs[upper][1] -= least_m
                self.runs.insert(i + 1, [deeper, least_m])
            return True
        return False

    def _mend_one(self, least_m: float) -> bool:
        """Deepen or lengthen the shallowest run that is too short."""
        short = [i for i, (_, length) in enumerate(self.runs) if length < least_m - SAME_M]
        if not short:
            return False
        i = min(short, key=lambda n: self.runs[n][0])
        k, length = self.runs[i]
        before, after = (i - 1) % len(self.runs), (i + 1) % len(self.runs)
        deeper = [self.runs[n][0] for n in (before, after) if self.runs[n][0] > k]
        if deeper:
            self.runs[i][0] = min(deeper)
            return True
        # The lowest bench: lengthened equally into both of its higher neighbours.
        for n in (before, after):
            taken = min((least_m - length) / 2.0, self.runs[n][1])
            self.runs[n][1] -= taken
            self.runs[i][1] += taken
            # Only the first run's start is kept as a number: it moves with the run, or with what is taken from it.
            if (n == before and i == 0):
                self.start_m -= taken
            elif n == after and n == 0:
                self.start_m += taken
        return True
