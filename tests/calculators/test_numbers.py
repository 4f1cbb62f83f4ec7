"""Counting in whole steps, checked with exact fractions from the standard library."""

import math
import random
from fractions import Fraction

import pytest

from calculators.numbers import round_up, steps_down, steps_up


def test_binary_noise_does_not_add_a_step():
    assert (1.05 - 0.6) / 0.225 > 2.0
    assert steps_up(1.05 - 0.6, 0.225) == 2
    assert math.ceil((1.05 - 0.6) / 0.225) == 3


@pytest.mark.parametrize("step", ["0.225", "0.05", "0.1", "1.2", "0.764554857984", "4.8"])
def test_a_sum_of_steps_counts_as_that_many(step):
    size = float(step)
    total = 0.0
    for count in range(1, 400):
        total += size
        assert steps_up(total, size) == count
        assert steps_down(total, size) == count


def test_against_exact_fractions():
    chance = random.Random(7)
    for _ in range(2000):
        x = Fraction(chance.randrange(0, 10**6), 1000)
        step = Fraction(chance.randrange(1, 5000), 1000)
        assert steps_up(float(x), float(step)) == math.ceil(x / step)
        assert steps_down(float(x), float(step)) == math.floor(x / step)


def test_a_hair_that_can_be_measured_does_add_a_step():
    assert steps_up(0.225 + 1e-6, 0.225) == 2
    assert steps_down(0.225 - 1e-6, 0.225) == 0


def test_round_up_is_steps_times_step():
    assert round_up(5.293, 0.25) == 5.5
    assert round_up(0.0, 0.25) == 0.0


@pytest.mark.parametrize("x, step", [(-0.1, 1.0), (1.0, 0.0), (1.0, -1.0), (math.nan, 1.0), (math.inf, 1.0), (1.0, math.nan), (1.0, math.inf)])
@pytest.mark.parametrize("function", [steps_up, round_up, steps_down])
def test_nonsense_is_refused(function, x, step):
    with pytest.raises(ValueError, match="must be"):
        function(x, step)
