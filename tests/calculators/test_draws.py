"""Draws and distributions, against SciPy, NumPy and closed forms."""

import math
import random
import statistics

import pytest

from calculators import either
from calculators.draws import BLOCK, MOST_DRAWS, ThreePoint, quantile, shares, triangular_mean, triangular_variance

numpy = pytest.importorskip("numpy")
stats = pytest.importorskip("scipy.stats")

# Even, leaning either way, all to one side, and far from 0 beside its own spread.
POINTS = [(0.0, 1.0, 2.0), (5.0, 8.0, 14.0), (0.4, 1.0, 2.0), (0.0, 0.0, 0.04), (-0.05, 0.0, 0.1), (3.0, 7.0, 7.0), (1e6, 1e6 + 1.0, 1e6 + 3.0)]


def scipy_of(low, likely, high):
    """The same distribution as SciPy knows it."""
    return stats.triang(c=(likely - low) / (high - low), loc=low, scale=high - low)


@pytest.mark.parametrize("points", POINTS, ids=str)
def test_moments_against_scipy(points):
    """Source: SciPy, scipy.stats.triang."""
    found, theirs = ThreePoint(*points), scipy_of(*points)
    assert found.mean == pytest.approx(theirs.mean(), rel=1e-12)
    # Theirs, so far from 0, keeps fewer digits.
    assert found.variance == pytest.approx(theirs.var(), rel=1e-9)


@pytest.mark.parametrize("points", POINTS, ids=str)
def test_values_against_scipy(points):
    """Source: SciPy, the inverse of the distribution, at both ends and at the turn."""
    found, theirs = ThreePoint(*points), scipy_of(*points)
    turn = (points[1] - points[0]) / (points[2] - points[0])
    for share in (0.0, 0.001, 0.1, turn, 0.5, 0.9, 0.999, 1.0):
        assert found.at(share) == pytest.approx(theirs.ppf(share), rel=1e-12, abs=1e-12)
    assert (found.at(0.0), found.at(1.0)) == (pytest.approx(points[0]), pytest.approx(points[2]))
    assert found.at(turn) == pytest.approx(points[1])


@pytest.mark.parametrize("points", POINTS, ids=str)
def test_moments_against_many_draws(points):
    """A Latin hypercube of 10 000: the mean is nearly exact, the variance within 2 %.  Source: closed forms."""
    found = ThreePoint(*points)
    drawn = [found.at(share) for share in shares(["a thing"], 10_000)["a thing"]]
    assert statistics.fmean(drawn) == pytest.approx(found.mean, abs=2e-3 * (points[2] - points[0]))
    assert statistics.pvariance(drawn) == pytest.approx(found.variance, rel=0.02)
    assert points[0] <= min(drawn) and max(drawn) <= points[2]


def test_three_points_of_project_planning_are_another_distribution():
    """5, 8, 14: the weighted mean (5 + 4 x 8 + 14) / 6 = 8.5 with a deviation of (14 - 5) / 6 = 1.5 belongs to a beta
    distribution; a triangle has its mean at 27 / 3 = 9 and a variance of 3.5.  Source: textbooks, both."""
    assert (triangular_mean(5.0, 8.0, 14.0), triangular_variance(5.0, 8.0, 14.0)) == (9.0, 3.5)
    assert abs(triangular_mean(5.0, 8.0, 14.0) - 8.5) > 0.1 and abs(math.sqrt(triangular_variance(5.0, 8.0, 14.0)) - 1.5) > 0.1


def test_arrays_and_numbers_give_the_same():
    drawn = shares(["a thing"], 500)["a thing"]
    for points in POINTS:
        found = ThreePoint(*points)
        assert found.at(numpy.array(drawn)).tolist() == pytest.approx([found.at(share) for share in drawn], rel=1e-13)


def test_a_point_has_no_spread():
    price = ThreePoint(148.0, 148.0, 148.0)
    assert (price.mean, price.variance, price.at(0.0), price.at(0.7)) == (148.0, 0.0, 148.0, 148.0)
    assert price.at(numpy.array([0.2, 0.9])).tolist() == [148.0, 148.0]


@pytest.mark.parametrize("points", [(2.0, 1.0, 3.0), (0.0, 2.0, 1.0), (math.nan, 1.0, 2.0), (0.0, math.nan, 2.0), (0.0, 1.0, math.inf)], ids=str)
def test_points_that_do_not_rise_are_refused(points):
    with pytest.raises(ValueError, match="must rise"):
        ThreePoint(*points)


@pytest.mark.parametrize("share", (-0.001, 1.001, math.nan))
def test_shares_out_of_range_are_refused(share):
    with pytest.raises(ValueError):
        ThreePoint(0.0, 1.0, 2.0).at(share)
    with pytest.raises(ValueError):
        quantile([1.0, 2.0], share)


def test_quantile_against_numpy():
    """Source: NumPy, numpy.quantile, its usual method (linear)."""
    chance = random.Random(3)
    for count in (1, 2, 3, 10, 249, 250, 1000):
        figures = sorted(chance.lognormvariate(0.0, 1.0) for _ in range(count))
        for share in (0.0, 0.1, 0.25, 0.5, 0.9, 0.999, 1.0):
            assert quantile(figures, share) == pytest.approx(float(numpy.quantile(figures, share)), rel=1e-12)
    with pytest.raises(ValueError):
        quantile([], 0.5)


# The draws


def test_each_block_has_one_draw_in_each_stratum():
    """Source: McKay, Beckman and Conover (1979), from memory: one in each of 250 slices of equal chance."""
    for column in shares(["one", "another"], 1000).values():
        for start in range(0, 1000, BLOCK):
            assert sorted(math.floor(share * BLOCK) for share in column[start:start + BLOCK]) == list(range(BLOCK))


def test_few_draws_are_the_first_of_many():
    names = ["topsoil", "ready_mixed_concrete"]
    few, many = shares(names, 250), shares(names, 10_000)
    assert all(many[name][:250] == few[name] for name in names)
    assert all(shares(names, 77)[name] == few[name][:77] for name in names)


def test_draws_depend_on_name_and_seed_alone():
    assert shares(["a", "b"], 300)["b"] == shares(["b"], 300)["b"] == shares(["b", "c", "a"], 300)["b"]
    assert shares(["a"], 300, seed=2) != shares(["a"], 300, seed=1)


def test_things_are_drawn_independently():
    """Correlation of 10 000 pairs is within four standard errors of 0, 0.04.  Source: standard error 1 / sqrt(n)."""
    names = [f"thing {i}" for i in range(12)]
    together = numpy.corrcoef([shares([name], 10_000)[name] for name in names]) - numpy.eye(len(names))
    assert abs(together).max() < 0.04


@pytest.mark.parametrize("names, count", [(["a"], 0), (["a"], MOST_DRAWS + 1), (["a", "a"], 10)])
def test_what_cannot_be_drawn_is_refused(names, count):
    with pytest.raises(ValueError):
        shares(names, count)


# Arithmetic that takes numbers or arrays


def test_straight_lines_against_numpy():
    """Source: NumPy, numpy.interp inside the table; beyond it the last line goes on."""
    at, values = (-0.5, -0.2, 0.0, 0.1, 0.3), (9.0, 4.0, 3.5, 0.0, 0.0)
    table = either.bends(at, values)
    inside = numpy.linspace(-0.5, 0.3, 81)
    expected = numpy.interp(inside, at, values)
    assert either.bent(values[0], table, either.hinges(inside, at)).tolist() == pytest.approx(expected.tolist(), abs=1e-12)
    assert [either.bent(values[0], table, either.hinges(x, at)) for x in inside.tolist()] == pytest.approx(expected.tolist(), abs=1e-12)
    assert either.bent(values[0], table, either.hinges(-0.8, at)) == pytest.approx(9.0 + 0.3 * 5.0 / 0.3)
    assert either.bent(values[0], table, either.hinges(0.7, at)) == pytest.approx(0.0, abs=1e-12)
    for places in ((0.0,), (0.0, 0.0), (1.0, 0.0)):
        with pytest.raises(ValueError):
            either.hinges(0.5, places)


def test_choices_work_on_each_element():
    numbers = [-1.0, 0.0, 0.5, 2.0]
    for function in (either.positive, lambda x: either.at_least(x, 0.25), lambda x: either.where(x > 0.3, 10.0 * x, -x)):
        assert function(numpy.array(numbers)).tolist() == [function(x) for x in numbers]
