"""Other yardsticks beside money: each by hand on one plot, who beats whom, and what weights make of it."""

import dataclasses
import itertools

import pytest

from calculators.compare import compare
from calculators.yardsticks import (
    YARDSTICK_BY_KEY,
    YARDSTICKS,
    _measured,
    standing_of,
    weighed_by,
)

RAFT, STRIP, WARM = "thickened-raft", "strip-and-block", "insulated-slab"


@pytest.fixture(scope="module")
def flat(make_scenario):
    """6 x 4 m on level sand, barrowed 18 m; everything that could move fixed."""
    wall = dict(floor_level_m=0.05, block_thickness_m=0.14, footing_width_m=0.45, footing_thickness_m=0.175, founding_depth_m=0.45, slab_thickness_m=0.1)
    return compare(make_scenario(
        size_m=(6.0, 4.0), building=dict(doors=()), strip=wall | dict(knee_height_m=0.45), insulated=wall | dict(upstand_m=0.225),
        raft=dict(floor_level_m=0.05, slab_thickness_m=0.125, edge_width_m=0.45, edge_depth_m=0.3, upstand_m=0.225, low_side="batter")))


def value(result, key, scheme):
    return YARDSTICK_BY_KEY[key].of(result.site, result.scheme(scheme))


# Each yardstick on paper


def test_concrete_stone_and_levels(flat):
    """Raft 24 x 0.125 + 1.88125 - 0.20402 = 4.67723 m3; strip 2.12784 + 1.5309; stone under the raft 24 x 0.15 at 2.1 t/m3."""
    assert value(flat, "concrete", RAFT) == pytest.approx(4.67723, abs=1e-5)
    assert value(flat, "concrete", STRIP) == pytest.approx(2.12784 + 1.5309)
    assert value(flat, "stone", RAFT) == pytest.approx(24.0 * 0.15 * 2.1)
    assert [value(flat, "low_side", scheme) for scheme in (RAFT, STRIP, WARM)] == pytest.approx([0.05, 0.05, 0.05])


def test_people_at_once(flat):
    """An hour and a half is left of the two from loading when the lorry has been on the road for half an hour.

    A first-timer places 1/2 m3 of slab or 1/1.5 m3 of footing in an hour.  A barrow of 0.045 m3 takes 2 x (2 x 18 / 3657.6 + 1/60) h
    = 3.181 minutes, so each brings 0.849 m3 in an hour.
    Raft: 4.67723 x 1.1 = 5.145, ordered by the quarter 5.25, a step more 5.5 m3: 3.67 m3/h.  One chute fills a barrow a minute, 2.7 m3/h at the most,
    which four barrows carry and six people place; more gain nothing.
    Strip: slab 2.12784 x 1.1 = 2.34, 2.5, 2.75 m3: 1.84 m3/h, four and three; footings 1.5309 x 1.1 = 1.68, 1.75, 2 m3: 1.34 m3/h, two and two."""
    assert value(flat, "people", RAFT) == 10.0
    assert value(flat, "people", STRIP) == 7.0


def test_a_footing_may_want_more_hands_than_the_slab(make_scenario):
    """Footings of 600 x 500 mm round 6 x 4 m: 19.44 x 0.3 = 5.832 m3, a full lorry of 6 m3 pumped in an hour and a half: 4 m3/h at 1/1.5 m3/h each, six.
    The slab 2.13 m3, 2.75 m3 with its tenth and a step: 1.84 m3/h at 1/2 each, four."""
    wide = dict(floor_level_m=0.05, block_thickness_m=0.14, footing_width_m=0.6, footing_thickness_m=0.5, founding_depth_m=0.8)
    access = dataclasses.replace(make_scenario().plot.access, pump=True)
    result = compare(make_scenario(size_m=(6.0, 4.0), building=dict(doors=()), strip=wide, schemes=(STRIP,), plot=dict(access=access)))
    assert result.scheme(STRIP).quantities["footing_concrete_m3"] == pytest.approx(5.832)
    assert value(result, "people", STRIP) == 6.0


def test_lorries(flat):
    """Raft: 4.67723 x 1.05 = 4.91, ordered 5 m3, one lorry of 6; 7.56 t of stone, one of 16 t; spoil in loads of 6 m3.  Strip: two pours, two lorries."""
    for scheme, pours, stone in ((RAFT, 1, 1), (STRIP, 2, 1)):
        spoil = flat.scheme(scheme).quantities["spoil_loose_m3"]
        assert 0.0 < value(flat, "stone", scheme) <= 16.0
        assert value(flat, "lorries", scheme) == pours + stone + -(-spoil // 6.0)


def test_the_rest_are_the_comparisons_own_figures(flat):
    for scheme in flat.schemes:
        assert value(flat, "money", scheme.id) == scheme.like_for_like.likely
        assert value(flat, "own_days", scheme.id) == pytest.approx(scheme.priced.own_hours / 7.0)
        assert value(flat, "carbon", scheme.id) == scheme.carbon.total_kgco2e
        assert value(flat, "u_value", scheme.id) == scheme.u_value_w_per_m2k
        assert value(flat, "spoil", scheme.id) == scheme.quantities["spoil_loose_m3"]
        assert value(flat, "steps", scheme.id) == scheme.quantities["door_steps"] == 0.0
    # A raft leaves the walls open until its upstand is laid, and may wait; walls on a footing do neither.
    assert [value(flat, key, scheme) for key in ("walls_fixed", "cannot_wait") for scheme in (RAFT, STRIP, WARM)] == [0.0, 1.0, 1.0] * 2
    assert value(flat, "inspections", RAFT) < value(flat, "inspections", STRIP)


# Who has least, and by how much


def test_every_yardstick_names_its_winners(flat):
    standing = standing_of(flat.site, flat.schemes)
    assert [measured.key for measured in standing.measured] == [yardstick.key for yardstick in YARDSTICKS] and standing.weighed is None
    for measured in standing.measured:
        least, values = min(measured.values.values()), measured.values
        assert all(values[scheme] == pytest.approx(least) for scheme in measured.least)
        others = [values[scheme] for scheme in values if scheme not in measured.least]
        assert measured.lead == pytest.approx(min(others) - least if others else 0.0) and all(other > least for other in others)
        if others:
            most = max(values.values())
            assert measured.excess == pytest.approx({scheme: (figure - least) / (most - least) for scheme, figure in values.items()})
            assert {min(measured.excess.values()), max(measured.excess.values())} == {0.0, 1.0}
        else:
            assert set(measured.excess.values()) == {0.0}


def of(key, **values):
    """One yardstick held against made-up schemes."""
    return _measured(YARDSTICK_BY_KEY[key], values)


def test_measured_by_hand():
    """1000, 1300, 1600: 0, a half, 1; the first leads by 300."""
    found = of("money", a=1000.0, b=1300.0, c=1600.0)
    assert (found.excess, found.least, found.lead) == ({"a": 0.0, "b": 0.5, "c": 1.0}, ("a",), 300.0)


def test_ties_are_shared_and_last_digits_do_not_count():
    found = of("money", a=1000.0, b=1000.0 + 1e-8, c=1600.0)
    assert found.least == ("a", "b") and found.lead == pytest.approx(600.0)
    level = of("money", a=1000.0, b=1000.0 + 1e-8)
    assert (level.least, level.lead, level.excess) == (("a", "b"), 0.0, {"a": 0.0, "b": 0.0})
    assert of("money", only=5.0).least == ("only",)


@dataclasses.dataclass(frozen=True)
class Stub:
    """A scheme known by its figures alone."""

    id: str
    figures: tuple


def standing(monkeypatch, figures, weights=None):
    """Standing of made-up schemes on two made-up yardsticks."""
    own = tuple(dataclasses.replace(YARDSTICKS[i], key=key, of=lambda site, result, i=i: result.figures[i]) for i, key in enumerate(("money", "days")))
    monkeypatch.setattr("calculators.yardsticks.YARDSTICKS", own)
    return standing_of(None, [Stub(name, values) for name, values in figures.items()], weights)


@pytest.mark.parametrize("figures, dominated", [
    (dict(a=(1.0, 1.0), b=(2.0, 2.0)), {"b": "a"}),
    (dict(a=(1.0, 2.0), b=(2.0, 1.0)), {}),
    (dict(a=(1.0, 1.0), b=(1.0, 2.0)), {"b": "a"}),
    (dict(a=(1.0, 1.0), b=(1.0, 1.0)), {}),
    (dict(a=(3.0, 3.0), b=(2.0, 2.0), c=(1.0, 1.0)), {"a": "b", "b": "c"}),
    (dict(a=(1.0, 5.0), b=(2.0, 5.0), c=(9.0, 1.0)), {"b": "a"}),
    (dict(only=(1.0, 1.0)), {}),
])
def test_beaten_or_equalled_everywhere(monkeypatch, figures, dominated):
    found = standing(monkeypatch, figures).dominated_by
    assert found.keys() == dominated.keys()
    for worse, better in found.items():
        assert all(x <= y for x, y in zip(figures[better], figures[worse])) and figures[better] != figures[worse]


# Weights


def test_weights_by_hand():
    """Excesses of a 0 and 1, of b 1 and 0, of c 0.4 and 0.3.  Weights 2 and 3: 3, 2 and 0.8 + 0.9 = 1.7, so c.

    Money's weight w: c has 0.4 w + 0.9, b has w, a has 3.  c meets b at w = 1.5 and a at 5.25: b is nearer.
    Days' weight v: c has 0.8 + 0.3 v, b has 2, a has v.  c meets b at v = 4 and a at 8/7: b is nearer.
    """
    measured = [of("money", a=0.0, b=10.0, c=4.0), of("own_days", a=10.0, b=0.0, c=3.0)]
    found = weighed_by(measured, {"money": 2.0, "own_days": 3.0})
    assert found.sums == pytest.approx({"a": 3.0, "b": 2.0, "c": 1.7}) and found.order == ("c", "b", "a")
    assert [(turn.key, turn.weight, turn.to) for turn in found.turns] == [("money", 2.0, "b"), ("own_days", 3.0, "b")]
    assert [turn.turns_at for turn in found.turns] == pytest.approx([1.5, 4.0])


def by_force(measured, weights, key, first, steps=4000, most=40.0):
    """The weight of one yardstick on a grid, nearest to the given one, at which some scheme has a smaller sum than `first`; None where none has."""
    schemes = list(measured[0].values)

    def beaten(weight):
        tried = weights | {key: weight}
        sums = {scheme: sum(w * next(m for m in measured if m.key == k).excess[scheme] for k, w in tried.items()) for scheme in schemes}
        return min(sums.values()) < sums[first] - 1e-9

    turned = [weight for weight in (most * i / steps for i in range(steps + 1)) if beaten(weight)]
    return min(turned, key=lambda weight: abs(weight - weights[key]), default=None)


FIGURES = [
    (dict(a=0.0, b=10.0, c=4.0), dict(a=10.0, b=0.0, c=3.0), dict(a=1.0, b=1.0, c=0.0)),
    (dict(a=900.0, b=1000.0, c=1400.0), dict(a=30.0, b=12.0, c=25.0), dict(a=0.5, b=0.45, c=0.2)),
    (dict(a=1.0, b=2.0, c=3.0), dict(a=1.0, b=2.0, c=3.0), dict(a=5.0, b=5.0, c=5.0)),
]
WEIGHTS = [(1.0, 1.0, 1.0), (2.0, 3.0, 0.5), (0.0, 1.0, 4.0), (5.0, 0.25, 0.0), (0.0, 0.0, 1.0)]


@pytest.mark.parametrize("figures, weights", list(itertools.product(FIGURES, WEIGHTS)))
def test_turning_weights_against_a_grid_of_weights(figures, weights):
    """Every hundredth of a weight from 0 to 40 tried: the nearest at which another scheme comes first is next to the solved one."""
    keys = ("money", "own_days", "carbon")
    measured = [of(key, **values) for key, values in zip(keys, figures)]
    given = dict(zip(keys, weights))
    weighed = weighed_by(measured, given)
    for turn in weighed.turns:
        nearest = by_force(measured, given, turn.key, weighed.order[0])
        if turn.turns_at is None or turn.turns_at > 40.0:
            assert nearest is None, turn
        else:
            assert nearest == pytest.approx(turn.turns_at, abs=0.0101), turn


def test_a_dominated_scheme_never_comes_first_whatever_the_weights(flat):
    """The sum of what is nowhere less cannot be less.  Source: definition."""
    found = standing_of(flat.site, flat.schemes)
    for weights in ({"money": 1.0}, {"carbon": 2.0, "people": 1.0}, dict.fromkeys(YARDSTICK_BY_KEY, 1.0)):
        assert weighed_by(found.measured, weights).order[0] not in found.dominated_by


def test_at_a_weight_of_nothing_two_that_are_alike_stay_so():
    """b has less days only: with money's weight at 0 they meet at 0 exactly and nothing turns below that."""
    measured = [of("money", a=0.0, b=10.0), of("own_days", a=5.0, b=5.0)]
    (turn,) = weighed_by(measured, {"money": 3.0}).turns
    assert (turn.turns_at, turn.to) == (None, None)


def test_weights_all_alike_and_order_of_ties():
    measured = [of("money", a=0.0, b=10.0), of("own_days", a=10.0, b=0.0)]
    found = weighed_by(measured, {"money": 1.0, "own_days": 1.0})
    assert found.order == ("a", "b") and found.sums == {"a": 1.0, "b": 1.0}
    assert all(turn.turns_at == pytest.approx(1.0) and turn.to == "b" for turn in found.turns)


def test_readers_weights_reach_the_comparison(make_scenario):
    result = compare(make_scenario(weights={"money": 5.0, "own_days": 3.0}), draws=50)
    weighed = result.certainty.standing.weighed
    assert weighed.weights == {"money": 5.0, "own_days": 3.0} and set(weighed.order) == set(result.decision.order)
    assert compare(make_scenario(), draws=50).certainty.standing.weighed is None


def test_weights_that_make_no_sense_are_refused():
    measured = [of("money", a=0.0, b=10.0)]
    with pytest.raises(KeyError, match="beauty"):
        weighed_by(measured, {"beauty": 1.0})
    for weight in (-1.0, float("nan"), float("inf")):
        with pytest.raises(ValueError, match="0 or more"):
            weighed_by(measured, {"money": weight})
