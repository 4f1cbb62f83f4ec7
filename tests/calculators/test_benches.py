"""Stepping down a slope: deep enough everywhere, no deeper than asked, long enough, one course at a time.

What the ground asks is found here by walking round the ring in small paces and
taking the lowest ground across its width, not by the layout's own cutting.
"""

import math
import random

import pytest

from calculators.benches import Ring, lay_benches, risers
from calculators.ground import Flat, Plane, Raised, falling_plane, four_triangles
from calculators.plan import Plan

COURSE, LEAST, PIT, WIDTH, WALL = 0.225, 0.75, 1.2, 0.45, 0.14
DEPTH = 0.45


def plan_of(east, north):
    return Plan(((0.0, 0.0), (east, 0.0), (east, north), (0.0, north)))


def ring_of(plan, width=WIDTH):
    return Ring(plan, WALL / 2, width)


def z(surface, point):
    """Level of a surface over a point, from a small square about it."""
    x, y = point
    d = 5e-5
    part, plane = surface.over(((x - d, y - d), (x + d, y - d), (x + d, y + d), (x - d, y + d)))[0]
    return plane.z(point)


def across(ring, chainage):
    """Points across the ring at a chainage: square to the side; at a corner, over both walls."""
    for side, start in zip(ring.plan.sides, ring.starts_m()):
        low, high = side.span(ring.centre_m)
        along = low + chainage - start
        if low - 1e-12 <= along <= high + 1e-12:
            half, near = ring.width_m / 2, None
            if along < low + half:
                near = 0.0
            elif along > high - half:
                near = side.length_m
            if near is None:
                return [side.at(along, ring.outer_m + ring.width_m * share) for share in (0.0, 0.5, 1.0)]
            # All four corners of the square where the walls meet, and its middle.
            corner = [(ring.outer_m, ring.inner_m)[i] for i in (0, 1)]
            inward = 1.0 if near == 0.0 else -1.0
            return [side.at(near + inward * a, b) for a in corner for b in corner] + [side.at(near + inward * sum(corner) / 2, sum(corner) / 2)]
    raise AssertionError(chainage)


def asked(ring, allowed, top, chainage):
    """Courses down from the top of the grid that the ground asks at a chainage."""
    lowest = min(z(allowed, point) for point in across(ring, chainage))
    return max(0, math.ceil((top - lowest) / COURSE - 1e-7))


def paces(bench, count=60):
    """Chainages over a bench, not on its ends."""
    return [bench.from_m + (i + 0.5) / count * bench.length_m for i in range(count)]


GROUNDS = {
    "flat": falling_plane(0.0, 0.0),
    "straight down": falling_plane(1 / 14, 180.0),
    "askew": falling_plane(0.09, 200.0),
    "to a corner": falling_plane(0.2, 135.0),
    "steeper than anyone builds": falling_plane(0.5, 215.0),
    "twisted": four_triangles(((0.0, 0.0, 10.0), (6.6, 0.0, 9.72), (6.6, 4.2, 10.12), (0.0, 4.2, 10.16))),
    "saddle": four_triangles(((0.0, 0.0, 0.0), (6.6, 0.0, 1.1), (6.6, 4.2, 0.05), (0.0, 4.2, 1.0))),
    "one low corner": four_triangles(((0.0, 0.0, -1.6), (6.6, 0.0, 0.0), (6.6, 4.2, 0.0), (0.0, 4.2, 0.0))),
    "one high corner": four_triangles(((0.0, 0.0, 1.6), (6.6, 0.0, 0.0), (6.6, 4.2, 0.0), (0.0, 4.2, 0.0))),
}


@pytest.fixture(params=GROUNDS)
def laid(request):
    """(ring, allowed underside, top of the grid, benches)."""
    plan = plan_of(6.6, 4.2)
    ring = ring_of(plan)
    allowed = Raised(GROUNDS[request.param], -DEPTH)
    top = max(plane.z(p) for part, plane in allowed.over(plan.inset(-0.2)) for p in part) + 0.03
    return ring, allowed, top, lay_benches(ring, allowed, top, COURSE, LEAST, PIT)


def test_deep_enough_under_the_whole_width(laid):
    ring, allowed, top, benches = laid
    for bench in benches:
        for chainage in paces(bench):
            assert bench.steps_down >= asked(ring, allowed, top, chainage % ring.length_m)
        assert bench.underside_m == pytest.approx(top - bench.steps_down * COURSE)


def test_goes_once_round(laid):
    ring, _, _, benches = laid
    assert sum(bench.length_m for bench in benches) == pytest.approx(ring.length_m)
    for here, following in zip(benches, benches[1:]):
        assert following.from_m == pytest.approx(here.to_m)
    assert benches[-1].to_m == pytest.approx(benches[0].from_m + ring.length_m)


def test_one_course_at_a_time(laid):
    _, _, _, benches = laid
    for riser in risers(benches, COURSE):
        assert riser.height_m == pytest.approx(COURSE)


def test_long_enough(laid):
    _, _, _, benches = laid
    if len(benches) > 1:
        for before, bench, after in zip(benches[-1:] + benches[:-1], benches, benches[1:] + benches[:1]):
            pit = before.steps_down < bench.steps_down > after.steps_down
            assert bench.length_m >= (PIT if pit else LEAST) - 1e-9


def test_a_corner_is_one_level(laid):
    ring, _, _, benches = laid
    half, total = ring.width_m / 2, ring.length_m
    for riser in risers(benches, COURSE):
        for corner in ring.starts_m():
            off = abs((riser.chainage_m - corner + total / 2) % total - total / 2)
            assert off >= half - 1e-9


def test_no_bench_could_be_a_course_higher(laid):
    """Unless it is there only to make room: it reaches no further than a bench has to past what asks for it."""
    ring, allowed, top, benches = laid
    total = ring.length_m
    deepest_asked = [(c, asked(ring, allowed, top, c)) for c in [i * total / 2000 for i in range(2000)]]
    for bench in benches:
        if bench.steps_down == 0:
            continue
        here = max(asked(ring, allowed, top, c % total) for c in paces(bench))
        if here == bench.steps_down:
            continue
        # Room is made only within one bench's length (and a corner's turn) of ground that asks for more.
        reach = (LEAST + ring.width_m) * bench.steps_down + PIT
        assert any(
            steps >= bench.steps_down and (min((c - bench.from_m) % total, (bench.to_m - c) % total) <= reach or (c - bench.from_m) % total <= bench.length_m)
            for c, steps in deepest_asked), "nothing near asks for this depth"


@pytest.mark.parametrize("gradient", (0.02, 0.05, 1 / 14))
def test_gentle_ground_steps_exactly_where_the_upper_bench_ends(gradient):
    """Straight down a gentle slope each riser is at the last chainage where the upper bench is still deep enough.

    Down the east wall (6 m, from the north) the lowest ground across the
    footing is level with its chainage, so the place is a division.
    """
    plan = plan_of(4.0, 9.0)
    ring = ring_of(plan)
    ground = Flat(Plane(0.0, gradient, -gradient * 9.0))  # level 0 along the north side, falling south
    allowed = Raised(ground, -DEPTH)
    top = -DEPTH - 0.05
    benches = lay_benches(ring, allowed, top, COURSE, LEAST, PIT)
    east = ring.starts_m()[1]
    # Ground at y asks (0 - gradient (9 - y)) - DEPTH; the bench k courses down holds until that is k courses below top.
    expected = []
    k = 0
    while True:
        y = 9.0 + (top - k * COURSE + DEPTH) / gradient  # where bench k stops being deep enough, going south
        if y <= 0.0:
            break
        expected.append(east + y - ring.centre_m)
        k += 1
    places = [riser.chainage_m % ring.length_m for riser in risers(benches, COURSE)]
    found = sorted(place for place in places if east < place < ring.starts_m()[2])
    corner = ring.starts_m()[1] + ring.width_m / 2, ring.starts_m()[2] - ring.width_m / 2
    expected = sorted(place for place in expected if corner[0] < place < corner[1])
    assert len(expected) >= 1
    assert found == pytest.approx(expected, abs=1e-9)


def test_grid_starting_below_everything_is_one_bench():
    ring = ring_of(plan_of(6.6, 4.2))
    benches = lay_benches(ring, falling_plane(0.1, 180.0), -5.0, COURSE, LEAST)
    assert len(benches) == 1 and benches[0].underside_m == -5.0 and risers(benches, COURSE) == ()


def test_a_level_that_meets_the_grid_exactly_is_deep_enough():
    """(1.05 - 0.6) / 0.225 is 2 and a last binary digit: two courses, not three."""
    ring = ring_of(plan_of(6.6, 4.2))
    (bench,) = lay_benches(ring, Flat.at(-1.05), -0.6, COURSE, LEAST)
    assert bench.steps_down == 2


@pytest.mark.parametrize("step", (0.0, -0.1))
def test_no_step(step):
    with pytest.raises(ValueError, match="no step"):
        lay_benches(ring_of(plan_of(6.6, 4.2)), Flat.at(0.0), 0.0, step, LEAST)


def test_it_does_not_matter_where_the_walk_starts():
    """Random ground on random plans, corners listed from another corner: the same benches in the same places."""
    chance = random.Random(7)
    for _ in range(60):
        east, north = chance.uniform(2.0, 9.0), chance.uniform(2.0, 9.0)
        corners = ((0.0, 0.0), (east, 0.0), (east, north), (0.0, north))
        ground = four_triangles(tuple((x, y, chance.uniform(-0.8, 0.8)) for x, y in corners))
        width = chance.choice((0.45, 0.6, 1.0))
        found = []
        for start in (0, 1, 2):
            ring = ring_of(Plan(corners[start:] + corners[:start]), width)
            offset = ring_of(Plan(corners)).starts_m()[start]
            benches = lay_benches(ring, ground, 0.5, COURSE, LEAST, PIT)
            found.append(sorted((round((b.from_m + offset) % ring.length_m, 6) % round(ring.length_m, 6), b.steps_down) for b in benches) if len(benches) > 1 else benches[0].steps_down)
        assert found[0] == found[1] == found[2]


def test_a_ring_too_short_for_its_steps_is_level():
    """Benches that cannot be long enough all go down to the deepest."""
    corners = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    ground = four_triangles(tuple((x, y, level) for (x, y), level in zip(corners, (-1.0, 0.0, 0.0, 0.0))))
    ring = ring_of(Plan(corners))
    benches = lay_benches(ring, ground, 0.0, COURSE, 4.0)
    assert len(benches) == 1
    # The lowest corner's square reaches 155 mm outside it, where the ground is lower still.
    assert benches[0].steps_down == math.ceil((1.0 + 0.155 * (1.0 - 0.25) / 1.0) / COURSE)
