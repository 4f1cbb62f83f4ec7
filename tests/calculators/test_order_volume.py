"""How much concrete to order: by published sums, by hand, and by the laws any order keeps."""

import math
from statistics import NormalDist

import pytest

from calculators import order_volume as o
from calculators.draws import ThreePoint

TERMS = o.OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0)
SLAB = o.slab_volume(4.5, 30.0, 22.0, 0.15)
DRAWN = o.volume_draws_m3(SLAB, 1000)


def changed(**words):
    return o.OrderTerms(**{name: words.get(name, getattr(TERMS, name)) for name in TERMS.__dataclass_fields__})


def test_published_order():
    """Cachon and Terwiesch, Matching Supply with Demand, question 12.1 (read): F(Q) = 2/3; 235.2 there by a rounded table."""
    assert o.critical_share(8.0, 4.0) == pytest.approx(2.0 / 3.0)
    assert o.bell_curve_order(200.0, 80.0, 8.0, 4.0) == pytest.approx(234.46, abs=0.01)


def test_wrong_published_order_is_not_reproduced():
    """A solved exercise (read): one sold earns 60, one left over loses 30, mean 80, deviation 30.  It prints a ratio of 0.35; it is 60 / 90."""
    assert o.critical_share(60.0, 30.0) == pytest.approx(0.667, abs=0.001)
    assert o.critical_share(60.0, 30.0) != pytest.approx(0.35, abs=0.1)
    assert o.bell_curve_order(80.0, 30.0, 60.0, 30.0) == pytest.approx(92.9, abs=0.05)


def test_bell_curve_order_costs_least_of_its_neighbours():
    """Against the mean cost over even quantiles of the bell curve, summed here."""
    demand = [NormalDist(20.0, 4.0).inv_cdf((i + 0.5) / 4000) for i in range(4000)]
    best = o.bell_curve_order(20.0, 4.0, 7.0, 2.0)

    def cost(order):
        return sum(7.0 * max(0.0, wanted - order) + 2.0 * max(0.0, order - wanted) for wanted in demand)
    assert cost(best) < min(cost(best - 0.2), cost(best + 0.2))


def test_ten_millimetres_over_thirty_square_metres():
    """A bed 10 mm low under 30 m2 takes 0.3 m3 more (geometry)."""
    low = o.UncertainVolume(4.5, (o.Part("bed", "bed", 30.0, ThreePoint(0.010, 0.010, 0.010), "m", "geometry"),))
    assert set(o.volume_draws_m3(low, 10)) == {4.8}


def test_draws_have_the_mean_and_spread_of_the_closed_form():
    """Means and variances of independent parts add up."""
    mean = math.fsum(DRAWN) / len(DRAWN)
    assert mean == pytest.approx(SLAB.mean_m3, abs=0.002)
    assert math.sqrt(math.fsum((v - mean) ** 2 for v in DRAWN) / len(DRAWN)) == pytest.approx(SLAB.deviation_m3, rel=0.05)
    assert list(DRAWN) == sorted(DRAWN)


def test_order_cost_by_hand():
    """Ordered 4.5, poured 5.1: 540 + 20 part load; joint 300; 0.75 m3 sold up to a least of 1: 120 + 160 part load; 0.4 m3 away at 50."""
    assert o.order_cost(4.5, 5.1, TERMS) == pytest.approx(540 + 20 + 300 + 120 + 160 + 0.4 * 50)
    assert o.order_cost(5.5, 5.1, TERMS) == pytest.approx(660 + 0.4 * 50)


def test_the_cheapest_order_by_hand():
    """Volumes 4.5 and 5.0 as likely: 4.5 costs 560 or 1165 (mean 862.5); 4.75: 580, and 580 + 0.25 over = 592.5 or 580 + 300 + 120 + 160 + 0.75 x 50; 5.0: 625 or 600."""
    found = {round(w.order_m3, 2): w.expected_cost for w in o.orders_weighed([4.5, 5.0], TERMS)}
    assert found[4.5] == pytest.approx((560 + 1165) / 2)
    assert found[4.75] == pytest.approx((592.5 + 580 + 300 + 120 + 160 + 37.5) / 2)
    assert found[5.0] == pytest.approx((600 + 25 + 600) / 2)
    assert o.cheapest_order([4.5, 5.0], TERMS).order_m3 == 5.0


def test_no_step_is_cheaper_than_the_cheapest():
    best = o.cheapest_order(DRAWN, TERMS)
    for steps in range(1, 60):
        assert o.weigh_order(0.25 * steps, DRAWN, TERMS).expected_cost >= best.expected_cost - 1e-6


def test_a_full_lorry_is_ordered_where_the_part_load_costs_more():
    """4 m3 wanted for certain; full from 5; a m3 short of full costs 200 and a m3 more 120, of which 60 come back in the path."""
    terms = changed(part_load_per_m3=200.0, places=(o.SecondPlace("path bay", 2.0, 60.0),))
    assert o.cheapest_order([4.0], terms).order_m3 == 5.0
    assert o.cheapest_order([4.0], changed(part_load_per_m3=10.0)).order_m3 == 4.0


def test_a_dearer_joint_never_makes_the_order_smaller():
    orders = [o.cheapest_order(DRAWN, changed(cold_joint=money)).order_m3 for money in (0.0, 100.0, 1000.0, 10000.0)]
    assert orders == sorted(orders) and orders[0] < orders[-1]


def test_a_second_place_never_makes_the_order_smaller_or_dearer():
    without, with_place = (o.cheapest_order(DRAWN, changed(places=places)) for places in ((), (o.SecondPlace("path bay", 0.5, 110.0),)))
    assert with_place.order_m3 >= without.order_m3 and with_place.expected_cost < without.expected_cost


def test_the_chance_of_running_short_falls_with_the_order():
    chances = [w.chance_short for w in o.orders_weighed(DRAWN, TERMS)]
    assert chances == sorted(chances, reverse=True) and chances[0] > 0.9 and chances[-1] == 0.0


def test_short_and_over_add_up_to_order_less_mean():
    for weighed in o.orders_weighed(DRAWN, TERMS):
        assert weighed.expected_over_m3 - weighed.expected_short_m3 == pytest.approx(weighed.order_m3 - math.fsum(DRAWN) / len(DRAWN))


def test_loads_hold_the_whole_order():
    for steps in range(1, 100):
        loads = o.split_into_loads_m3(0.25 * steps, 6.0)
        assert sum(loads) == pytest.approx(0.25 * steps) and all(0.0 < load <= 6.0 for load in loads) and set(loads[:-1]) <= {6.0}


def test_surplus_goes_where_it_is_worth_most_and_none_is_lost():
    places = (o.SecondPlace("moulds", 0.1, 20.0), o.SecondPlace("path bay", 0.4, 60.0))
    for surplus in (0.0, 0.3, 0.45, 2.0):
        used, left = o.filled(surplus, places)
        assert sum(m3 for _, m3 in used) + left == pytest.approx(surplus)
        assert not used or used[0][0].name == "path bay"


def test_paid_by_use_by_hand():
    """9 m3 from a machine of 8: two visits at 60, 8 x 150 and 1 x 150 (least 2 charged)."""
    paid = o.PaidByUse("volumetric lorry", 150.0, 2.0, 60.0, 8.0)
    assert o.used_cost(9.0, paid) == pytest.approx(120 + 1200 + 300)
    assert o.expected_used_cost([9.0, 4.0], paid) == pytest.approx((1620 + 660) / 2)
    assert o.chance_of_second_visit([9.0, 4.0], paid) == 0.5


def test_against_the_rule_of_thumb_tells_both_ways():
    """Where a joint is dear and the bed rough, a tenth over is too little; where the volume is sure, it is too much; where
    it was thought surer by far than it was, the habit does better, and that is said."""
    rough = o.UncertainVolume(4.5, (o.Part("bed", "bed", 30.0, ThreePoint(-0.01, 0.01, 0.04), "m", "made up"),))
    found = o.against_rule_of_thumb(rough, changed(cold_joint=1500.0))
    assert found.better == "chosen" and found.chosen.order_m3 > found.rule_of_thumb.order_m3 and found.saves > 0.0
    sure = o.UncertainVolume(20.0, (o.Part("bed", "bed", 30.0, ThreePoint(0.0, 0.0, 0.002), "m", "made up"),))
    found = o.against_rule_of_thumb(sure, TERMS)
    assert found.better == "chosen" and found.chosen.order_m3 < found.rule_of_thumb.order_m3
    found = o.against_rule_of_thumb(o.UncertainVolume(4.5, (o.Part("bed", "bed", 30.0, ThreePoint(0.0, 0.0, 0.007), "m", "made up"),)), changed(cold_joint=3000.0), spread=3.0)
    assert found.better == "rule of thumb" and found.saves < 0.0
    assert found.saves == pytest.approx(found.rule_of_thumb.expected_cost - found.chosen.expected_cost)


def test_the_test_draws_are_half_as_wide_again_and_other_ones():
    found = o.against_rule_of_thumb(SLAB, TERMS, count=500)
    again = o.weigh_order(found.chosen.order_m3, o.volume_draws_m3(o.widened(SLAB, 1.5), 500, 2), TERMS)
    assert found.spread == 1.5 and found.chosen == again


@pytest.mark.parametrize("call", [
    lambda: o.slab_volume(0.0, 30.0, 22.0, 0.15), lambda: o.slab_volume(4.5, 30.0, 22.0, 1.5), lambda: o.slab_volume(4.5, -1.0, 22.0, 0.15),
    lambda: o.trench_volume(2.7, 0.0, 0.6, 0.2), lambda: o.trench_volume(2.7, 20.0, 5.0, 0.2), lambda: o.widened(SLAB, -1.0), lambda: o.volume_draws_m3(SLAB, 0),
    lambda: o.Part("bed", "bed", -1.0, ThreePoint(0.0, 0.0, 0.0), "m", ""), lambda: changed(step_m3=0.0), lambda: changed(full_from_m3=7.0), lambda: changed(price_per_m3=0.0),
    lambda: changed(cold_joint=-1.0), lambda: changed(places=(o.SecondPlace("path bay", 1.0, 121.0),)), lambda: o.SecondPlace("path bay", 0.0, 1.0), lambda: o.SecondPlace("", 1.0, 1.0),
    lambda: o.PaidByUse("mixer", 0.0, 0.0, 0.0, 1.0), lambda: o.split_into_loads_m3(-1.0, 6.0), lambda: o.surplus_cost(-1.0, TERMS), lambda: o.order_cost(5.0, -1.0, TERMS),
    lambda: o.weigh_order(5.0, [], TERMS), lambda: o.cheapest_order([], TERMS), lambda: o.critical_share(0.0, 0.0), lambda: o.bell_curve_order(1.0, 0.0, 1.0, 1.0),
    lambda: o.used_cost(-1.0, o.PaidByUse("mixer", 1.0, 0.0, 0.0, 1.0)), lambda: o.rule_of_thumb_m3(0.0, 0.25), lambda: o.expected_used_cost([], o.PaidByUse("mixer", 1.0, 0.0, 0.0, 1.0)),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
