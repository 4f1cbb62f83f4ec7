"""Bearing: the laws of the formulas, and the range they hold in.

The published factors and pads are rows of docs/evidence.
"""

import math

import pytest

from calculators import bearing


def test_a_long_pad_is_a_strip():
    strip = bearing.drained_bearing_kpa(32.0, 0.6, 18.0, 8.0)
    assert bearing.drained_bearing_kpa(32.0, 0.6, 18.0, 8.0, 6e6) == pytest.approx(strip, rel=1e-6)
    assert bearing.undrained_bearing_kpa(40.0, 5.0, 0.6, 6e6) == pytest.approx(bearing.undrained_bearing_kpa(40.0, 5.0), rel=1e-6)


def test_without_friction_the_drained_form_becomes_the_undrained_one():
    """EN 1997-1 D.4 tends to D.3 as phi tends to 0: Nc to pi + 2, Nq to 1, N gamma to 0."""
    drained = bearing.drained_bearing_kpa(0.0, 0.6, 18.0, 8.0, 1.2, cohesion_kpa=40.0)
    assert drained == pytest.approx(bearing.undrained_bearing_kpa(40.0, 8.0, 0.6, 1.2), rel=1e-9)
    assert bearing.bearing_factor_nc(1e-3) == pytest.approx(math.pi + 2.0, rel=1e-4)


def test_prandtl_by_the_slip_line_at_30_degrees():
    """Nq = 3 exp(pi / sqrt 3) exactly at 30 degrees (Prandtl)."""
    assert bearing.bearing_factor_nq(30.0) == pytest.approx(3.0 * math.exp(math.pi / math.sqrt(3.0)), rel=1e-12)


@pytest.mark.parametrize("factor", [bearing.bearing_factor_nq, bearing.bearing_factor_nc, bearing.bearing_factor_ngamma])
def test_factors_rise_with_friction(factor):
    found = [factor(float(phi)) for phi in range(0, 46)]
    assert found == sorted(found) and len(set(found)) == len(found)


def test_second_combination_governs_a_strip_on_sand():
    """By hand: 1.0 G + 1.3 Q on tan phi / 1.25 against 1.35 G + 1.5 Q on phi."""
    phi = math.radians(35.0)
    reduced = math.atan(math.tan(phi) / 1.25)

    def resistance(angle):
        nq = math.exp(math.pi * math.tan(angle)) * math.tan(math.pi / 4 + angle / 2) ** 2
        return 7.0 * nq + 0.5 * 18.0 * 0.45 * 2.0 * (nq - 1.0) * math.tan(angle)

    by_hand = max((1.35 * 20 + 1.5 * 5) / 0.45 / resistance(phi), (20 + 1.3 * 5) / 0.45 / resistance(reduced))
    assert bearing.strip_utilisation(20.0, 5.0, 0.45, 7.0, friction_deg=35.0) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx((20 + 1.3 * 5) / 0.45 / resistance(reduced))


def test_the_worse_of_two_strengths_counts():
    sand, clay = (bearing.strip_utilisation(20.0, 5.0, 0.45, 7.0, **given) for given in (dict(friction_deg=25.0), dict(undrained_strength_kpa=30.0)))
    assert bearing.strip_utilisation(20.0, 5.0, 0.45, 7.0, 25.0, 30.0) == max(sand, clay)


def test_soft_clay_under_a_heavy_wall_is_past_its_strength():
    assert bearing.strip_utilisation(50.0, 20.0, 0.45, 5.0, undrained_strength_kpa=20.0) > 1.0


@pytest.mark.parametrize("call", [
    lambda: bearing.bearing_factor_nq(46.0), lambda: bearing.bearing_factor_nc(-1.0), lambda: bearing.active_pressure_coefficient(90.0),
    lambda: bearing.drained_bearing_kpa(30.0, 2.0, 18.0, 0.0, 1.0), lambda: bearing.drained_bearing_kpa(30.0, 1.0, 30.0, 0.0),
    lambda: bearing.undrained_bearing_kpa(0.0, 0.0), lambda: bearing.undrained_bearing_kpa(50.0, 0.0, 2.0, 1.0),
    lambda: bearing.bearing_pressure_kpa(10.0, 0.0), lambda: bearing.pad_utilisation("DA4", 1, 1, 1, 1, 1, 30.0, 18.0),
    lambda: bearing.pad_utilisation("DA2", -1, 1, 1, 1, 1, 30.0, 18.0), lambda: bearing.strip_utilisation(1.0, 1.0, 1.0, 0.0),
    lambda: bearing.presumed("jelly"),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
