"""What decides it: what moves the difference between the two cheapest schemes most, and what would turn their order.

Levels and layout stay as they are, and costs are those before rounding to
units of sale, except for the slope of the ground, for which both schemes are
laid out anew.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from calculators.draws import ThreePoint
from calculators.ranges import NINE_TENTHS, TENTH, Sampler, Uncertain
from calculators.rules import rules_for
from calculators.scenario import Scenario

# How far from its likely value a price is tried, and other things.
TWICE = 2.0
REACH: dict[str, tuple[float, float]] = {
    "topsoil": (-0.3, 0.5), "level": (-0.3, 0.3), "bed": (-0.05, 0.05), "soft": (0.0, 0.3), "waste": (0.0, 5.0), "density": (0.7, 1.4), "bulking": (0.7, 2.0),
}
# Cost goes straight with every price and factor; with these it bends, so it is looked at on the way to the end of their reach too.
BENDING = ("topsoil", "level")
BENDS_TRIED = 10
# Slopes are tried no further apart than this on the way from the plot's own.
SLOPE_STRIDE = 0.06
# And where nothing can be built, so many times half the way back.
STEPS_BACK = 3
HALVINGS = 60
# A slope is closed in between two that are this share of it apart, and no nearer than the second figure: no ground is known to less.
SLOPE_SHARE, SLOPE_LEAST = 0.018, 0.0001
NOTHING = 1e-9
HOUR_WORTH, SLOPE = "hour worth", "slope"


@dataclass(frozen=True)
class Driver:
    """What one uncertain thing does to the difference: its low and high value, one time in ten each, and the money between the two schemes there."""

    thing: Uncertain
    low: float
    high: float
    difference_at_low: float
    difference_at_high: float

    @property
    def swing(self) -> float:
        """How far it moves the difference from its low to its high, money."""
        return self.difference_at_high - self.difference_at_low


@dataclass(frozen=True)
class Switch:
    """The value of one thing at which the order of the two cheapest turns round, in `unit`.

    `value` is None where nothing within reach turns it.  `above` says that
    the other scheme is cheaper above the value.  `likely` is what was taken.
    `reach` is how far was looked.
    """

    key: str
    label: str
    unit: str
    likely: float
    value: float | None
    above: bool
    reach: tuple[float, float]


def difference(first: Sampler, second: Sampler, values: Mapping[str, float]) -> float:
    """Money by which the second scheme costs more than the first, like for like before rounding, for values of what is uncertain.

    values: by key of `Uncertain`, each in its own unit; what is not given is likely.  Returns money.
    Source: definition.
    """
    return second.outcome_before_rounding(values).cash - first.outcome_before_rounding(values).cash


def drivers_of(first: Sampler, second: Sampler, uncertain: Sequence[Uncertain]) -> tuple[Driver, ...]:
    """What moves the difference most, the greatest swing first; what moves it by nothing is left out.

    Each thing is taken to its value one time in ten below and one time in ten
    above, all else likely.  Returns money.  Source: definition (one at a time).
    """
    found = []
    for thing in uncertain:
        low, high = thing.points.at(TENTH), thing.points.at(NINE_TENTHS)
        at_low, at_high = (difference(first, second, {thing.key: value}) for value in (low, high))
        if abs(at_high - at_low) > NOTHING:
            found.append(Driver(thing, low, high, at_low, at_high))
    return tuple(sorted(found, key=lambda driver: (-round(abs(driver.swing), 6), driver.thing.key)))


def switch_of(thing: Uncertain, first: Sampler, second: Sampler) -> Switch:
    """The value of an uncertain thing at which the first of two schemes stops being the cheaper, solved.

    Prices are looked for between half and twice the likely one, other things
    as far as `REACH`, and topsoil no thinner than none at all.  Returns a
    Switch in the thing's own unit (m, money by unit of sale, none).
    Source: bisection of a function that changes its sign.
    """
    likely = thing.points.likely
    low, high = (likely / TWICE, likely * TWICE) if thing.kind == "rate" else REACH[thing.key]
    if thing.key == "topsoil":
        low = max(low, -first.site.scenario.plot.topsoil_m)

    def gap(value: float) -> float:
        return difference(first, second, {thing.key: value})

    value, above = _turn(gap, low, likely, high, BENDS_TRIED if thing.key in BENDING else 1)
    return Switch(thing.key, thing.label, thing.unit, likely, value, above, (low, high))


def _turn(gap: Callable[[float], float], low: float, likely: float, high: float, looks: int) -> tuple[float | None, bool]:
    """Where a function that is above 0 at `likely` comes down to 0, the nearer of both ways; and whether that is above.

    looks: at how many places, evenly apart, it is looked at each way.
    """
    if gap(likely) <= 0.0:
        return None, True
    found = []
    for end in (low, high):
        inside = likely
        for outside in (likely + (end - likely) * look / looks for look in range(1, looks + 1)):
            if gap(outside) <= 0.0:
                for _ in range(HALVINGS):
                    middle = (inside + outside) / 2.0
                    inside, outside = (middle, outside) if gap(middle) > 0.0 else (inside, middle)
                found.append((abs(outside - likely), outside, end == high))
                break
            inside = outside
    if not found:
        return None, True
    _, value, above = min(found)
    return value, above


def hour_worth_switch(cash_gap: float, hours_gap: float, worth: float, unit: str) -> Switch:
    """What an own hour would have to be worth for the order to turn, own hours counted.

    cash_gap: money by which the second scheme costs more; hours_gap: own hours
    it takes more, less than 0 for fewer; worth: money an hour, as taken; unit: of money an hour.
    Source: cash_gap + worth x hours_gap = 0.

    >>> hour_worth_switch(300.0, -20.0, 11.0, "GBP/hour").value
    15.0
    >>> hour_worth_switch(300.0, 5.0, 11.0, "GBP/hour").value is None
    True
    """
    value = -cash_gap / hours_gap if hours_gap < -NOTHING and cash_gap > 0.0 else None
    return Switch(HOUR_WORTH, "Worth of your own hour", unit, worth, value, True, (0.0, float("inf")))


def slope_switch(scenario: Scenario, first: str, second: str, cost_of: Callable[[Scenario], dict[str, float]]) -> Switch | None:
    """The slope of the ground at which the order turns, both schemes laid out anew at their own best levels; None on surveyed ground.

    first, second: ids of the schemes; cost_of: the like-for-like cost, money, before
    rounding of each scheme that can be built in a scenario.  A slope at which
    the first can no longer be built while the second can turns it too.
    Returns a gradient, no unit, to one in a hundred of itself.
    Source: slopes tried, and halving between two of them.
    """
    plot = scenario.plot
    if plot.levels_m or plot.triangles:
        return None
    both = {scheme_id: scenario.schemes[scheme_id] for scheme_id in scenario.schemes if scheme_id in (first, second)}
    falls_to = plot.falls_to_deg if plot.falls_to_deg is not None else 180.0
    # On anything steeper no scheme is built.
    steepest = rules_for(scenario.region).greatest_gradient.value

    def gap(gradient: float) -> float | None:
        """Money by which the second costs more, without end where only one of them can be built; None where neither can."""
        costs = cost_of(replace(scenario, schemes=both, plot=replace(plot, gradient=gradient, falls_to_deg=falls_to)))
        if not costs:
            return None
        return -math.inf if first not in costs else math.inf if second not in costs else costs[second] - costs[first]

    def turned(there: float | None) -> bool:
        return there is not None and there <= 0.0

    here, found = plot.gradient, []
    for end in (max(steepest, here), 0.0):
        # What is further off than a turn the other way is not wanted.
        reach = min([abs(end - here), *(abs(value - here) for value, _ in found)])
        looks = math.ceil(reach / SLOPE_STRIDE - NOTHING)
        inside = here
        for look in range(1, looks + 1):
            outside = max(0.0, here + math.copysign(reach * look / looks, end - here))
            there = gap(outside)
            # Beyond the last slope on which anything is built there is nothing to see; before it the first scheme may have ended.
            ends_here = there is None
            for _ in range(STEPS_BACK if ends_here else 0):
                outside = (inside + outside) / 2.0
                if (there := gap(outside)) is not None:
                    break
            if turned(there):
                # Costs jump where a drain or a step comes in, so halving is no slower than a line through both ends.
                while abs(outside - inside) > max(SLOPE_LEAST, SLOPE_SHARE * max(inside, outside)):
                    middle = (inside + outside) / 2.0
                    inside, outside = (inside, middle) if turned(gap(middle)) else (middle, outside)
                found.append(((inside + outside) / 2.0, end > here))
            if turned(there) or ends_here:
                break
            inside = outside
    value, above = min(found, key=lambda turn: abs(turn[0] - here), default=(None, True))
    return Switch(SLOPE, "Slope of the ground", "gradient", here, value, above, (0.0, steepest))


def turns(uncertain: Sequence[Uncertain], first: Sampler, second: Sampler) -> tuple[Switch, ...]:
    """The switching value of everything uncertain that moves cash, those that turn the order first, nearest first.

    Nearness is counted in the thing's own spread.  Hours move no cash: see
    `hour_worth_switch`.  Returns Switches, each in its thing's own unit (m, money by unit of sale, none).
    Source: `switch_of`.
    """
    found = [(thing, switch_of(thing, first, second)) for thing in uncertain if not thing.key.startswith("pace ")]

    def nearness(pair: tuple[Uncertain, Switch]) -> tuple[bool, float, str]:
        thing, switch = pair
        return switch.value is None, _spreads_away(thing.points, switch.value), thing.key

    return tuple(switch for _, switch in sorted(found, key=nearness))


def _spreads_away(points: ThreePoint, value: float | None) -> float:
    if value is None:
        return 0.0
    side = points.high - points.likely if value > points.likely else points.likely - points.low
    return abs(value - points.likely) / side if side > NOTHING else float("inf")
