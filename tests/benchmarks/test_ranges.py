"""What ranges and ranking cost over the bare arithmetic they need, as a ratio taken in one run.

Times themselves are printed, never asserted: machines differ.
"""

from __future__ import annotations

import random
import time
from pathlib import Path

import pytest

from calculators import draws
from calculators.compare import compare, cost_before_rounding
from calculators.pricing import contingency_share
from calculators.ranges import Sampler, ranges_of, what_is_uncertain
from calculators.turning import drivers_of, slope_switch, turns
from generator.scenario import read_scenario_file

numpy = pytest.importorskip("numpy")

PROJECT = Path(__file__).resolve().parents[2]
SCENARIO = PROJECT / "docs/scenarios/print-studio-below-the-orchard.md"
DRAWS = 10_000
TIMES = 11
AT_MOST = 5.0


@pytest.fixture(scope="module")
def result():
    return compare(read_scenario_file(SCENARIO).scenario)


def best_of(work) -> float:
    """Processor time of the quickest of several runs, s."""
    taken = []
    for _ in range(TIMES):
        started = time.process_time()
        work()
        taken.append(time.process_time() - started)
    return min(taken)


def drawn_by_the_standard_library(count: int) -> list[list[float]]:
    """So many columns of draws between 0 and 1: Latin hypercubes of 250, shuffled and jittered, and nothing else."""
    columns = []
    for column in range(count):
        chance, drawn = random.Random(column), []
        for _ in range(DRAWS // 250):
            strata = list(range(250))
            chance.shuffle(strata)
            drawn += [(stratum + chance.random()) / 250 for stratum in strata]
        columns.append(drawn)
    return columns


class Bare:
    """The sums of the same lines and amounts, written out for arrays: what anybody would have to work out."""

    def __init__(self, result):
        self.uncertain = what_is_uncertain(result.site, [scheme for scheme in result.schemes if scheme.buildable])
        self.share = 1.0 + contingency_share(result.scenario)
        rates = result.scenario.schedule.rates
        self.schemes = {}
        for scheme in result.schemes:
            if scheme.buildable:
                lines = [(line.net, line.allowance_percent / 100.0, rates[line.rate_key].sale_unit_in_si if line.rate_key else 1.0, line.rate_key, line.trade,
                          line.own_hours, line.helper_hours) for line in scheme.priced.lines]
                credits = [(credit.amount.likely / rates[credit.rate_key].likely, credit.rate_key) for credit in scheme.credits]
                self.schemes[scheme.id] = lines, credits, scheme.quantities["concrete_m3"], scheme.quantities["floor_m2"]

    def drawn(self, columns):
        """Each column turned into its triangle, money or m or a factor."""
        values = {}
        for thing, column in zip(self.uncertain, columns):
            share = numpy.array(column)
            a, m, b = thing.points.low, thing.points.likely, thing.points.high
            if a == b:
                values[thing.key] = numpy.full(DRAWS, a)
                continue
            values[thing.key] = numpy.where(share < (m - a) / (b - a), a + numpy.sqrt((b - a) * (m - a) * share), b - numpy.sqrt((b - a) * (b - m) * (1.0 - share)))
        return values

    def ranked(self, values):
        """Cash, hours, concrete and stone of each scheme, their quantiles, and who has least."""
        found = {}
        for scheme, (lines, credits, concrete, floor) in self.schemes.items():
            cash, own, helper = numpy.zeros(DRAWS), numpy.zeros(DRAWS), numpy.zeros(DRAWS)
            # Ground and topsoil move digging, filling and carting by the plan; the bed moves concrete and stone.
            moved = 1.0 + 0.5 * (values["level"] - values["topsoil"])
            poured = concrete + floor * values["bed"]
            stone = numpy.zeros(DRAWS)
            for net, allowance, unit, rate, trade, own_hours, helper_hours in lines:
                amount = net * moved
                if rate:
                    cash += amount * (1.0 + allowance * values["waste"]) / unit * values[rate]
                if rate == "sub_base_stone":
                    stone += amount * values["density"] + floor * values["soft"]
                own += own_hours * moved * values[f"pace {trade}"]
                helper += helper_hours * moved * values[f"pace {trade}"]
            cash *= self.share
            for amount, rate in credits:
                cash += amount * values[rate]
            found[scheme] = cash, own, helper, poured, stone
        quantiles = {scheme: [numpy.quantile(figures, [0.1, 0.5, 0.9]) for figures in five] for scheme, five in found.items()}
        winners = [numpy.bincount(numpy.argmin([five[i] for five in found.values()], axis=0), minlength=len(found)) / DRAWS for i in (0, 1, 3)]
        first, second = list(found)[:2]
        gap = found[second][0] - found[first][0]
        return quantiles, winners, numpy.quantile(gap, [0.1, 0.5, 0.9]), (gap > 0.0).mean()


def test_ranges_and_ranking_cost_less_than_five_times_their_bare_arithmetic(result, capsys):
    bare = Bare(result)
    count = len(bare.uncertain)
    columns = drawn_by_the_standard_library(count)
    drawing = best_of(lambda: drawn_by_the_standard_library(count))
    arithmetic = best_of(lambda: bare.ranked(bare.drawn(columns)))

    def ours():
        ranges_of(result.site, result.schemes, result.decision.order, DRAWS, numpy.array)

    def ours_drawn_anew():
        # What an earlier page drew is kept; the first page has to draw it.
        draws.forget()
        ours()

    first, later = best_of(ours_drawn_anew), best_of(ours)
    few = best_of(lambda: ranges_of(result.site, result.schemes, result.decision.order, 250))
    drawn, kept = first / (drawing + arithmetic), later / arithmetic
    with capsys.disabled():
        print(f"\n{DRAWS} draws of {count} things for {len(bare.schemes)} schemes: {first * 1000:.0f} ms, with draws kept {later * 1000:.0f} ms; bare drawing {drawing * 1000:.0f} ms "
              f"and arithmetic {arithmetic * 1000:.0f} ms: ratios {drawn:.2f} and {kept:.2f}; 250 draws without arrays {few * 1000:.0f} ms")
    assert drawn < AT_MOST and kept < AT_MOST


def test_what_would_turn_it_is_solved_while_one_waits(result, capsys):
    """Printed only: solving every switching value, the slope with both schemes laid out anew."""
    first, second = (Sampler(result.site, scheme.works, scheme.priced, scheme.credits) for scheme in (result.scheme(name) for name in result.decision.order[:2]))
    uncertain = what_is_uncertain(result.site, [result.scheme(name) for name in result.decision.order])
    one_by_one = best_of(lambda: turns(uncertain, first, second))
    driving = best_of(lambda: drivers_of(first, second, uncertain))
    asked = []
    slope = min(_timed(lambda: slope_switch(result.scenario, *result.decision.order[:2], lambda changed: asked.append(1) or cost_before_rounding(changed))) for _ in range(2))
    with capsys.disabled():
        print(f"\nswitching values {one_by_one * 1000:.0f} ms, what drives it {driving * 1000:.0f} ms, the slope {slope * 1000:.0f} ms ({len(asked) // 2} layouts of both schemes)")
    # Work, unlike time, is the same on every machine: one look further up, one further down, and halving between.
    assert len(asked) // 2 <= 9


def _timed(work) -> float:
    started = time.process_time()
    work()
    return time.process_time() - started
