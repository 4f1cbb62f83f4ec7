"""Run-off, pipes, soakaways and floating pipes; the library `fluids` judges the flow.

The published tables are rows of docs/evidence.
"""

import math
from dataclasses import replace

import pytest

from calculators import water
from calculators.scenario import Drainage
from calculators.site import site_of

NU = 1.14e-6


@pytest.mark.parametrize("diameter, gradient, roughness", [
    (0.075, 1 / 40, 0.0006), (0.100, 1 / 80, 0.0006), (0.100, 1 / 80, 0.0), (0.150, 1 / 150, 0.0015), (0.225, 1 / 225, 0.0006), (0.3, 1 / 200, 0.003),
])
def test_full_pipe_against_the_library_of_fluid_mechanics(diameter, gradient, roughness):
    """Darcy's fall with the friction factor of Colebrook's equation, solved by the library, gives the fall back."""
    friction = pytest.importorskip("fluids.friction", reason="the judge of pipe flow is the library fluids")
    speed = water.full_bore_m_per_s(diameter, gradient, roughness, NU)
    factor = friction.Colebrook(speed * diameter / NU, roughness / diameter)
    assert factor / diameter * speed**2 / (2.0 * water.GRAVITY_M_PER_S2) == pytest.approx(gradient, rel=0.002)


@pytest.mark.parametrize("radius, gradient, roughness", [(0.2859, 0.005236, 0.03), (0.05, 0.02, 0.013), (1.2, 0.001, 0.035)])
def test_channel_against_the_library_of_fluid_mechanics(radius, gradient, roughness):
    open_flow = pytest.importorskip("fluids.open_flow", reason="the judge of channel flow is the library fluids")
    assert water.manning_m_per_s(radius, gradient, roughness) == pytest.approx(open_flow.V_Manning(radius, gradient, roughness), rel=1e-9)


def test_flow_is_speed_times_bore():
    assert water.full_bore_m3_per_s(0.1, 1 / 80) == pytest.approx(water.full_bore_m_per_s(0.1, 1 / 80) * math.pi * 0.0025)


def test_pipe_carries_more_when_wider_steeper_or_smoother():
    flow = water.full_bore_m3_per_s
    assert flow(0.1, 1 / 80) < flow(0.15, 1 / 80) and flow(0.1, 1 / 80) < flow(0.1, 1 / 40) and flow(0.1, 1 / 80, 0.003) < flow(0.1, 1 / 80)
    # Twice the bore carries a little more than 2 to the power 2.5 times as much.
    assert 2**2.5 < flow(0.2, 1 / 80) / flow(0.1, 1 / 80) < 2**2.8


def test_least_pipe_on_both_sides_of_what_it_takes():
    takes = water.full_bore_m3_per_s(0.1, 1 / 80)
    assert water.least_pipe_m(takes * 0.9999, 1 / 80) == 0.1 and water.least_pipe_m(takes * 1.0001, 1 / 80) == 0.15


def test_least_pipe_is_one_that_may_be_laid_so_flat():
    assert water.least_pipe_m(0.0001, 1 / 100) == 0.075
    assert water.least_pipe_m(0.0001, 1 / 101) == 0.15 and water.least_pipe_m(0.0001, 1 / 151) == 0.225
    with pytest.raises(ValueError, match="drainage designer"):
        water.least_pipe_m(0.0001, 1 / 226)
    with pytest.raises(ValueError, match="drainage designer"):
        water.least_pipe_m(5.0, 1 / 80)


def test_effective_roof_is_plan_when_flat_and_falls_between_the_two_slopes():
    assert water.effective_roof_area_m2(3.0, 5.0, 0.0) == pytest.approx(15.0)
    assert water.effective_roof_area_m2(3.0, 5.0, 1.0) == pytest.approx(3.0 * 5.0 + 1.0 * 5.0 / 2.0)


@pytest.mark.parametrize("drained, water_m3", [(0.0, 0.0), (25.0, 0.25), (25.0001, 25.0001 / 60.0), (100.0, 100.0 / 60.0)])
def test_soakaway_rule_on_both_sides_of_its_change(drained, water_m3):
    """10 mm up to 25 m2 (Approved Document H, read), area x 50 / 3000 above (council guidance, read)."""
    assert water.soakaway_storage_m3(drained) == pytest.approx(water_m3)


def test_a_larger_roof_is_not_worked_out():
    with pytest.raises(ValueError, match="ask a drainage designer"):
        water.soakaway_storage_m3(100.1)


def test_soakage_by_hand():
    """A pit of 0.3 m across, all ways, 0.3 m deep: 13.5 l fall over 0.09 m2 of bottom and 0.18 m2 of sides."""
    assert water.infiltration_m_per_s(0.3, 0.3, 0.3, 1000.0) == pytest.approx(0.0135 / (0.27 * 1000.0))


def test_half_empty_takes_twice_as_long_in_half_as_open_ground():
    hours = lambda rate: water.half_empty_h(1.0, 1.5, 1.0, 1.2, rate)
    assert hours(1e-5) == pytest.approx(2.0 * hours(2e-5))
    assert hours(1e-5) == pytest.approx(0.5 / (2.5 * 1.2 * 1e-5) / 3600.0)


def test_a_pipe_as_heavy_as_what_it_pushes_aside_neither_floats_nor_sinks():
    pushed = 2400.0 * math.pi * 0.11**2 / 4.0
    assert water.float_uplift_kn_per_m(0.11, pushed) == pytest.approx(0.0, abs=1e-12)
    assert water.float_uplift_kn_per_m(0.11, pushed + 1.0) < 0.0
    # In water alone an empty pipe still floats, less.
    assert 0.0 < water.float_uplift_kn_per_m(0.11, 1.5, fluid_kg_per_m3=1000.0) < water.float_uplift_kn_per_m(0.11, 1.5)


def test_ties_hold_the_uplift_with_its_factor():
    apart = water.tie_spacing_m(0.2, 0.3, 1.5)
    assert 0.3 / apart == pytest.approx(1.5 * 0.2)


def test_cover_counts_the_whole_pipe():
    assert water.cover_m(0.0, -0.6, 0.11) == pytest.approx(0.49)
    assert water.cover_m(0.0, -0.05, 0.11) < 0.0


# On a plot.


def _checks(compared, drainage=None, scheme="thickened-raft", **changes):
    comparison = compared(**changes)
    return {check.name: check for check in water.water_checks(comparison.site, comparison.scheme(scheme).works, drainage)}


PIPE, FALL, GROUND = "Rain off the roof and paving in one pipe", "Fall of the drain", "Ground falling away from the walls"
SIZE, DISTANCE, EMPTY = "Size of the soakaway", "Distance of the soakaway from the building", "Soakaway half empty again"
COVER, HELD = "Cover over the drain under the slab", "Pipe held down during the pour"


def test_roof_area_by_hand(compared):
    """7.2 x 4.8 m under the eaves; two slopes rise 0.1 m along eaves of 7.2 m: 34.56 + 0.72 m2."""
    check = _checks(compared)[PIPE]
    assert check.provided == pytest.approx((7.2 * 4.8 + 7.2 * 0.1) * 2.1e-5)
    assert check.verdict == "within" and check.unit == "m3/s" and "35.28 m2" in check.working and check.method == "water"


def test_more_rain_than_the_pipe_takes(compared):
    within = Drainage(paving_m2=420.0)
    assert _checks(compared, within)[PIPE].verdict == "close"
    outside = _checks(compared, Drainage(paving_m2=435.0))[PIPE]
    assert outside.verdict == "outside" and outside.ratio > 1.0 and outside.ask


@pytest.mark.parametrize("gradient, verdict", [(1 / 99, "within"), (1 / 100, "within"), (1 / 101, "outside")])
def test_fall_on_each_side_of_its_limit(compared, gradient, verdict):
    assert _checks(compared, Drainage(gradient=gradient))[FALL].verdict == verdict


def test_without_an_outfall_a_soakaway_is_sized(compared):
    checks = _checks(compared, plot={"outfall": False})
    assert "Outfall of the drains" not in checks
    size = checks[SIZE]
    assert size.verdict == "not worked out" and size.required == pytest.approx(7.2 * 4.8 / 60.0 / 0.3)
    assert checks[DISTANCE].verdict == checks[EMPTY].verdict == "not worked out"
    assert SIZE not in _checks(compared)


@pytest.mark.parametrize("name, within, outside", [
    (SIZE, dict(soakaway_m3=1.93), dict(soakaway_m3=1.91)),
    (DISTANCE, dict(soakaway_m3=2.0, soakaway_distance_m=5.0), dict(soakaway_m3=2.0, soakaway_distance_m=4.99)),
    (EMPTY, dict(soakaway_m3=2.0, pit_m=(1.4, 1.2, 1.2), soaks_m_per_s=1.5e-6), dict(soakaway_m3=2.0, pit_m=(1.4, 1.2, 1.2), soaks_m_per_s=1.0e-6)),
])
def test_soakaway_on_each_side_of_its_limits(compared, name, within, outside):
    for said, verdict in ((within, "within"), (outside, "outside")):
        check = _checks(compared, Drainage(**said), plot={"outfall": False})[name]
        assert check.verdict == verdict and check.source and check.working
        assert bool(check.ask) == (verdict == "outside")


def test_a_wide_roof_has_no_simple_soakaway(compared):
    check = _checks(compared, size_m=(12.0, 8.0), plot={"outfall": False}, schemes=("strip-and-block",), scheme="strip-and-block")[SIZE]
    assert check.verdict == "not worked out" and check.required is None and "drainage designer" in check.sentence


def test_uphill_ground_holds_only_with_a_drain_that_has_somewhere_to_go(compared):
    drained = _checks(compared, gradient=1 / 10)[GROUND]
    assert drained.verdict == "close" and drained.provided == pytest.approx(-0.1)
    stuck = _checks(compared, gradient=1 / 10, plot={"outfall": False})[GROUND]
    assert stuck.verdict == "outside" and stuck.ask


def test_flat_ground_is_raked_to_a_fall(compared):
    assert _checks(compared)[GROUND].verdict == "close"


def test_a_knoll_sheds_its_water(compared):
    """Corners lower than the middle: ground that falls away on every side."""
    knoll = compared().scenario
    levels = ((3.3, 2.1, 0.0), (-4.0, -5.0, -1.0), (10.6, -5.0, -1.0), (10.6, 9.2, -1.0), (-4.0, 9.2, -1.0))
    plot = replace(knoll.plot, levels_m=levels, triangles=((0, 1, 2), (0, 2, 3), (0, 3, 4), (0, 4, 1)), falls_to_deg=None)
    site = site_of(replace(knoll, plot=plot))
    works = compared().scheme("thickened-raft").works
    (check,) = [check for check in water.water_checks(site, works) if check.name == GROUND]
    assert check.verdict == "within" and check.provided > 0.05


@pytest.mark.parametrize("cover, verdict", [(0.30, "within"), (0.29, "close"), (-0.01, "outside")])
def test_cover_under_the_slab(compared, cover, verdict):
    checks = _checks(compared, Drainage(under_slab_cover_m=cover))
    assert checks[COVER].verdict == verdict
    assert (HELD in checks) == (verdict != "within")


@pytest.mark.parametrize("apart, verdict", [(0.8, "within"), (0.9, "close"), (1.0, "outside"), (None, "not worked out")])
def test_ties_of_a_pipe_in_the_slab(compared, apart, verdict):
    """110 mm pipe of 1.5 kg/m pushes up 0.209 kN/m; ties of 0.3 kN with a factor of 1.5: 0.957 m."""
    check = _checks(compared, Drainage(under_slab_cover_m=0.1, tie_spacing_m=apart))[HELD]
    assert check.verdict == verdict and check.required == pytest.approx(0.957, abs=0.001)


@pytest.mark.parametrize("outside, wall", [(0.110, 0.0032), (0.160, 0.0047), (0.315, 0.0092)])
def test_usual_pipe_weighs_what_plastic_drain_does(outside, wall):
    """Walls by EN 1401-1, PVC-U of SDR 34, 1400 kg/m3, from memory."""
    usual = water.with_usual(Drainage(pipe_m=outside / 1.1))
    assert usual.pipe_outside_m == pytest.approx(outside)
    assert usual.pipe_kg_per_m == pytest.approx(1400.0 * math.pi * (outside - wall) * wall, rel=0.03)


def test_what_is_said_of_a_pipe_is_not_made_up_again():
    said = Drainage(pipe_m=0.15, pipe_outside_m=0.178, pipe_kg_per_m=36.0)
    usual = water.with_usual(said)
    assert (usual.pipe_m, usual.pipe_outside_m, usual.pipe_kg_per_m) == (0.15, 0.178, 36.0)
    # The mass goes with the outside that was given: 125 x 0.178 squared.
    assert water.with_usual(replace(said, pipe_kg_per_m=None)).pipe_kg_per_m == pytest.approx(3.9605)


def test_a_wider_pipe_wants_more_ties(compared):
    """165 mm outside and 3.4 kg/m: (2400 pi 0.165^2 / 4 - 3.4) x 0.00981 = 0.470 kN/m; 0.3 / (1.5 x 0.470) = 0.426 m."""
    check = _checks(compared, Drainage(pipe_m=0.15, under_slab_cover_m=0.1))[HELD]
    assert check.required == pytest.approx(0.4257, abs=0.0005)


@pytest.mark.parametrize("call", [
    lambda: water.effective_roof_factor(71.0),
    lambda: water.effective_roof_factor(-1.0),
    lambda: water.effective_roof_area_m2(0.0, 5.0, 1.0),
    lambda: water.run_off_m3_per_s(-1.0),
    lambda: water.run_off_m3_per_s(1.0, 0.0, 0.001),
    lambda: water.full_bore_m_per_s(0.01, 0.01),
    lambda: water.full_bore_m_per_s(0.1, 0.0),
    lambda: water.full_bore_m_per_s(0.1, 0.01, 0.02),
    lambda: water.full_bore_m_per_s(0.1, 0.01, 0.0006, 1e-3),
    lambda: water.full_bore_m_per_s(0.02, 1e-5),
    lambda: water.manning_m_per_s(0.0, 0.01, 0.03),
    lambda: water.manning_m_per_s(0.1, 0.6, 0.03),
    lambda: water.manning_m_per_s(0.1, 0.01, 0.0),
    lambda: water.least_fall_rule(0.4),
    lambda: water.least_pipe_m(-0.1, 0.01),
    lambda: water.drop_m(-1.0, 0.01),
    lambda: water.cover_m(0.0, -0.5, 0.0),
    lambda: water.cover_m(0.0, -0.5, 0.1, 0.06),
    lambda: water.float_uplift_kn_per_m(0.0, 1.0),
    lambda: water.float_uplift_kn_per_m(0.1, -1.0),
    lambda: water.float_uplift_kn_per_m(0.1, 1.0, 0.1),
    lambda: water.float_uplift_kn_per_m(0.1, 1.0, 0.0, 100.0),
    lambda: water.tie_spacing_m(0.0, 0.3),
    lambda: water.soakaway_storage_m3(-1.0),
    lambda: water.soakaway_pit_m3(10.0, 0.0),
    lambda: water.infiltration_m_per_s(1.0, 1.0, 1.0, 0.0),
    lambda: water.half_empty_h(1.0, 1.0, 1.0, 1.0, 0.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
