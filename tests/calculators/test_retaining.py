"""A low wall that holds back fill: against a sum by hand, and the laws that any such wall keeps.

The published pressure is a row of docs/evidence.
"""

import math

import pytest

from calculators import retaining


def test_a_wall_by_hand():
    """Fill 0.4 m above the ground, footing 0.5 x 0.2 m with its underside 0.5 m down, block 0.14 m to 0.3 m over the fill, 2.5 kPa on top.

    Ka of 38 degrees, 19.5 kN/m3 pushing and 18.5 weighing; outside 15 kN/m3 at rest, 30 degrees.
    """
    ka = (1 - math.sin(math.radians(38))) / (1 + math.sin(math.radians(38)))
    back = 0.5 * 15.0 * 0.5**2 / 2
    push = ka * (19.5 * 0.9**2 / 2 + 2.5 * 0.9) - back
    tipping = ka * (19.5 * 0.9**3 / 6 + 2.5 * 0.9**2 / 2) - back * 0.5 / 3
    wall, footing = 0.14 * (0.9 - 0.2 + 0.3) * 2.0 * 9.81, 0.5 * 0.2 * 25
    heel, toe = 18.5 * 0.18 * 0.7, 18.5 * 0.18 * 0.3
    weight = wall + footing + heel + toe
    holding = (wall + footing) * 0.25 + heel * 0.41 + toe * 0.09
    found = retaining.wall_on_footing(0.14, 0.3, 0.4, 0.5, 0.5, 0.2, 30.0, 2.5)
    assert found.push_kn == pytest.approx(push)
    assert found.tipping_knm == pytest.approx(tipping)
    assert found.weight_kn == pytest.approx(weight)
    assert found.holding_knm == pytest.approx(holding)
    assert found.grip_kn == pytest.approx(weight * math.tan(math.radians(30)))
    assert found.off_centre_m == pytest.approx(0.25 - (holding - tipping) / weight)


def test_the_push_is_the_sum_of_its_pressures():
    """Integral of Ka (w z + q) over depth, and of its moment, by midpoints."""
    ka, count, height = 1 / 3, 20000, 1.3
    step = height / count
    pressures = [(ka * (19.0 * (i + 0.5) * step + 4.0) * step, height - (i + 0.5) * step) for i in range(count)]
    assert retaining.active_thrust_kn_per_m(30.0, 19.0, height, 4.0) == pytest.approx(sum(p for p, _ in pressures), rel=1e-6)
    assert retaining.active_tipping_knm_per_m(30.0, 19.0, height, 4.0) == pytest.approx(sum(p * arm for p, arm in pressures), rel=1e-6)


def test_more_fill_is_worse_in_every_way():
    found = [retaining.wall_on_footing(0.14, 0.45, fill / 10, 0.6, 0.45, 0.2, 30.0, 5.0) for fill in range(1, 12)]
    for figure in (lambda s: s.push_kn / s.grip_kn, lambda s: s.tipping_knm / s.holding_knm, lambda s: s.off_centre_m):
        values = [figure(stability) for stability in found]
        assert values == sorted(values)


def test_a_metre_of_fill_behind_a_thin_wall_turns_it_over():
    found = retaining.wall_on_footing(0.14, 0.45, 1.0, 0.5, 0.45, 0.2, 30.0, 5.0)
    assert found.tipping_knm > found.holding_knm and found.off_centre_m > 0.45 / 6


def test_no_fill_pushes_nothing():
    found = retaining.wall_on_footing(0.14, 0.45, 0.0, 0.5, 0.45, 0.2, 30.0)
    assert found.push_kn == 0.0 and found.tipping_knm == 0.0
    assert retaining.stem_tension_mpa(0.14, 0.45, 0.0) == 0.0


def test_bed_joint_by_the_kern():
    """Tension starts where the weight leaves the middle third: 6 M / t2 = W / t is M / W = t / 6."""
    low, high = 0.2, 0.6
    for _ in range(60):
        fill = (low + high) / 2
        low, high = (fill, high) if retaining.stem_tension_mpa(0.14, 0.45, fill) == 0.0 else (low, fill)
    moment = retaining.active_tipping_knm_per_m(38.0, 19.5, fill)
    weight = 0.14 * (0.45 + fill) * 2.0 * 9.81
    assert moment / weight == pytest.approx(0.14 / 6, rel=1e-6)


@pytest.mark.parametrize("call", [
    lambda: retaining.active_thrust_kn_per_m(46.0, 19.0, 1.0), lambda: retaining.active_thrust_kn_per_m(30.0, 30.0, 1.0),
    lambda: retaining.active_tipping_knm_per_m(30.0, 19.0, 6.0), lambda: retaining.at_rest_pressure_coefficient(-1.0),
    lambda: retaining.wall_on_footing(0.5, 0.0, 0.3, 0.5, 0.45, 0.2, 30.0), lambda: retaining.wall_on_footing(0.14, 0.0, 0.3, 0.1, 0.45, 0.2, 30.0),
    lambda: retaining.wall_on_footing(0.14, 0.0, 4.0, 0.5, 0.45, 0.2, 30.0), lambda: retaining.wall_on_footing(0.14, 0.0, 0.3, 0.5, 0.45, 0.2, 50.0),
    lambda: retaining.stem_tension_mpa(0.01, 0.0, 0.3), lambda: retaining.stem_tension_mpa(0.14, -0.1, 0.3),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
