"""Wind that lifts a roof: against sums by hand and the laws it keeps."""

import pytest

from calculators import uplift
from calculators.scenario import REGIONS


def test_net_uplift_by_hand():
    """Gust 0.8 kPa x 1.6 on 5 / 2 + 0.3 m, times 1.5; less 0.9 of a roof of 0.15 kPa and a wall of 0.5 kN/m."""
    by_hand = 1.5 * 0.8 * 1.6 * 2.8 - 0.9 * (0.15 * 2.8 + 0.5)
    assert uplift.net_uplift_kn_per_m(0.8, 1.6, 5.0, 0.15, 0.5) == pytest.approx(by_hand)


def test_balance_by_vertical_equilibrium():
    """At the roof weight that just balances there is nothing left to hold, on either side of it."""
    balance = 1.5 * 0.7 * 1.2 / 0.9
    assert uplift.net_uplift_kn_per_m(0.7, 1.2, 4.0, balance * 1.0001, 0.0) == 0.0
    assert uplift.net_uplift_kn_per_m(0.7, 1.2, 4.0, balance * 0.9999, 0.0) > 0.0


def test_pressure_goes_with_the_square_of_the_wind():
    assert uplift.wind_pressure_kpa(60.0) == pytest.approx(4.0 * uplift.wind_pressure_kpa(30.0))
    assert uplift.wind_pressure_kpa(30.0) == pytest.approx(0.5 * 1.25 * 900 / 1000)


def test_every_region_has_a_wind_that_says_it_is_a_stand_in():
    assert set(uplift.WIND_PRESSURE_KPA) == set(REGIONS)
    assert all("Ask locally" in figure.note for figure in uplift.WIND_PRESSURE_KPA.values())


def test_a_wide_light_roof_in_a_gale_is_more_than_a_strap_holds():
    net = uplift.net_uplift_kn_per_m(1.5, uplift.UPLIFT_OPEN.value, 7.0, uplift.light_roof_kpa("light"), uplift.light_wall_kn_per_m("timber frame", 2.3))
    assert uplift.strap_pull_kn(net, 1.2) > uplift.STRAP_KN.value


@pytest.mark.parametrize("call", [
    lambda: uplift.wind_pressure_kpa(81.0), lambda: uplift.net_uplift_kn_per_m(6.0, 1.2, 4.0, 0.2, 0.5), lambda: uplift.net_uplift_kn_per_m(0.7, 1.2, 0.0, 0.2, 0.5),
    lambda: uplift.strap_pull_kn(-1.0, 1.2), lambda: uplift.strap_pull_kn(1.0, 0.0), lambda: uplift.light_roof_kpa("thatch"), lambda: uplift.light_wall_kn_per_m("timber frame", -1.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
