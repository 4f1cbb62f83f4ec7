"""Maturity, strength and waits; the library `structuralcodes` and plain integration judge the formulas.

The published values are rows of docs/evidence.
"""

import math

import pytest

from calculators import curing
from calculators.concrete_section import HARDENING_BY_CEMENT, strength_share_at_age

SPELLS = [(1.0, 8.0), (2.5, 14.0), (4.0, 3.0), (0.0, 25.0)]


def test_arrhenius_against_the_library_of_eurocode_formulas():
    """structuralcodes, ec2_2004: the temperature-adjusted age of Annex B."""
    library = pytest.importorskip("structuralcodes.codes.ec2_2004._concrete_creep_and_shrinkage", reason="the judge of maturity is structuralcodes")
    numpy = pytest.importorskip("numpy")
    adjusted = library.t_T
    wanted = adjusted(numpy.array([c for _, c in SPELLS]), numpy.array([days for days, _ in SPELLS]))
    assert curing.arrhenius_age_days(SPELLS) == pytest.approx(wanted, rel=1e-12)


def test_nurse_and_saul_is_the_area_under_the_curve():
    """A cooling slab in a thousand short spells against the integral in closed form: T = 5 + 20 exp(-t)."""
    steps = 1000
    spells = [(4.0 / steps, 5.0 + 20.0 * math.exp(-(i + 0.5) * 4.0 / steps)) for i in range(steps)]
    wanted = (5.0 + 11.0) * 4.0 + 20.0 * (1.0 - math.exp(-4.0))
    assert curing.nurse_saul_maturity(spells) == pytest.approx(wanted, rel=1e-5)


def test_the_datum_is_counted_once():
    """28 days at 15 degrees and a datum of -11: 26 degrees count each day, not 37."""
    assert curing.nurse_saul_maturity([(28.0, 15.0)], -11.0) == 28.0 * 26.0
    assert curing.nurse_saul_maturity([(10.0, 15.0)], 0.0) == 150.0


def test_frozen_time_adds_nothing():
    assert curing.nurse_saul_maturity([(5.0, -11.0), (5.0, -20.0)]) == 0.0
    with pytest.raises(ValueError, match="from 0 to 80"):
        curing.arrhenius_age_days([(1.0, -0.1)])


def test_warm_concrete_is_older_and_cold_younger_by_both_rules():
    for rule in curing.RULES:
        assert curing.equivalent_age_days([(3.0, 5.0)], rule) < 3.0 < curing.equivalent_age_days([(3.0, 30.0)], rule)
        assert curing.equivalent_age_days([(3.0, 20.0)], rule) == pytest.approx(3.0, rel=0.002)


def test_order_of_spells_does_not_matter():
    for rule in curing.RULES:
        assert curing.equivalent_age_days(SPELLS, rule) == curing.equivalent_age_days(SPELLS[::-1], rule)


@pytest.mark.parametrize("cement", HARDENING_BY_CEMENT)
@pytest.mark.parametrize("share", [0.1, 0.5, 0.7, 1.0, 1.15])
def test_age_at_a_share_turns_the_formula_round(cement, share):
    """Solved by halving, against the closed form."""
    low, high = 1e-4, 1e6
    for _ in range(200):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if strength_share_at_age(middle, cement) < share else (low, middle)
    assert curing.age_at_share_days(share, cement) == pytest.approx(low, rel=1e-9)


def test_concrete_never_reaches_more_than_the_formula_ends_at():
    assert curing.age_at_share_days(math.exp(0.25) * 0.999) > 10000.0
    for share in (0.0, -0.1, math.exp(0.25)):
        with pytest.raises(ValueError, match="of its strength at 28 days"):
            curing.age_at_share_days(share)


def test_strength_after_the_wait_is_the_strength_that_was_waited_for():
    for fck, wanted, temperature, cement in ((25.0, 20.0, 5.0, "normal"), (16.0, 10.0, 12.0, "slow"), (30.0, 35.0, 28.0, "rapid")):
        found = sorted(curing.strength_mpa(fck, [(days, temperature)], cement, rule)
                       for days in curing.strength_wait_days(wanted, fck, temperature, cement) for rule in curing.RULES)
        # Four strengths: each rule at its own wait gives what was wanted.
        assert sum(value == pytest.approx(wanted, rel=1e-9) for value in found) >= 2


def test_no_strength_at_once():
    assert curing.strength_mpa(25.0, []) == 0.0 and curing.strength_mpa(25.0, [(0.0, 20.0)]) == 0.0


@pytest.mark.parametrize("temperature", [2.0, 5.0, 12.0, 20.0, 30.0])
def test_stages_come_in_order_and_cold_makes_them_later(temperature):
    waits = [curing.stage_wait_days(stage, 25.0, temperature) for stage in curing.STAGES]
    assert all(shorter <= longer for shorter, longer in waits) and waits == sorted(waits)
    assert curing.stage_wait_days("drive", 25.0, temperature)[1] > curing.stage_wait_days("drive", 25.0, temperature + 3.0)[1]


def test_weak_or_slow_concrete_waits_for_strength_where_age_would_do_for_others():
    assert curing.stage_wait_days("drive", 40.0, 20.0)[0] == pytest.approx(7.0, rel=0.01)
    assert curing.stage_wait_days("drive", 16.0, 20.0, "slow")[0] > 12.0
    with pytest.raises(ValueError, match="of its strength at 28 days"):
        curing.stage_wait_days("drive", 8.0, 20.0, "rapid")


def test_kept_from_frost_a_day_at_least():
    assert curing.frost_wait_days(30.0, 20.0) == (1.0, 1.0)
    assert curing.frost_wait_days(16.0, 5.0, "slow")[0] > 2.0


def test_curing_is_longer_when_colder_slower_and_for_the_higher_class():
    for cement in HARDENING_BY_CEMENT:
        for curing_class in curing.CURING_DAYS:
            days = [curing.curing_rule(c, cement, curing_class).value for c in (30.0, 25.0, 24.9, 15.0, 14.9, 10.0, 9.9, 5.0)]
            assert days == sorted(days) and days[1] == days[0] and days[3] == days[2]
        assert curing.curing_rule(12.0, cement, 2).value < curing.curing_rule(12.0, cement, 3).value
    assert curing.curing_rule(12.0, "rapid").value < curing.curing_rule(12.0, "slow").value


def test_drying_of_a_thick_slab_is_often_over_a_year():
    """Trade guidance on BS 8203, as read: a day for each mm to 50 mm; a slab of 150 mm often takes more than a year."""
    assert [curing.drying_days(t).low for t in (0.025, 0.05)] == pytest.approx([25.0, 50.0])
    assert curing.drying_days(0.15).low < 365.0 < curing.drying_days(0.15).likely


def test_drying_rises_with_thickness_without_a_jump_and_two_faces_halve_the_way():
    dry = [curing.drying_days(mm / 1000.0) for mm in range(20, 401)]
    for name in ("low", "likely", "high"):
        days = [getattr(each, name) for each in dry]
        assert days == sorted(days) and max(b - a for a, b in zip(days, days[1:])) < 40.0
    assert curing.drying_days(0.1, faces=2) == curing.drying_days(0.05)


@pytest.mark.parametrize("call", [
    lambda: curing.nurse_saul_maturity([(1.0, 90.0)]), lambda: curing.nurse_saul_maturity([(-1.0, 10.0)]),
    lambda: curing.nurse_saul_maturity([(1.0, math.nan)]), lambda: curing.nurse_saul_maturity([], 9.0),
    lambda: curing.equivalent_age_days([], "guess"), lambda: curing.mean_strength_mpa(7.9), lambda: curing.mean_strength_mpa(50.1),
    lambda: curing.age_at_share_days(0.5, "quick"), lambda: curing.days_at(-1.0, 10.0), lambda: curing.days_at(1.0, -1.0),
    lambda: curing.stage_wait_days("dance", 25.0, 10.0), lambda: curing.strength_wait_days(-1.0, 25.0, 10.0),
    lambda: curing.curing_rule(4.9), lambda: curing.curing_rule(10.0, "quick"), lambda: curing.curing_rule(10.0, "slow", 1),
    lambda: curing.drying_days(0.01), lambda: curing.drying_days(0.5), lambda: curing.drying_days(0.1, 3), lambda: curing.drying_days(math.nan),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
