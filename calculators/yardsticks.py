"""Other yardsticks than money: what each scheme takes, who wins what, and what a reader's own weights make of it.

Nothing is scored in secret.  A scheme's excess on a yardstick is how much more
it has than the scheme that has least, over the greatest such gap; a reader's
weights multiply those excesses, and the sum is shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from calculators.crews import LEAST_PEOPLE, people_in_time
from calculators.numbers import steps_up
from calculators.pricing import DAY_H, FOOTING_H_PER_M3, SLAB_H_PER_M3, Job
from calculators.site import Site
from calculators.sources import common_practice

STONE_LORRY_T = common_practice(16.0, "t", "Stone on one lorry.")
NOTHING = 1e-9

INSULATED, RAFT, STRIP = "insulated-slab", "thickened-raft", "strip-and-block"
# Common practice, no source: what is looked at before it is covered; local rules say which.
INSPECTIONS: dict[str, tuple[str, ...]] = {
    RAFT: ("the dig", "steel and membrane before the pour"),
    STRIP: ("trenches before concrete", "footing", "damp-proof course", "stone and membrane before the slab"),
    INSULATED: ("trenches before concrete", "footing", "damp-proof course", "insulation and membrane before the slab"),
}
# Whether the lines of the walls are fixed before the floor is poured, and whether the work may stand for years before it is built on.
WALLS_FIXED: dict[str, bool] = {RAFT: False, STRIP: True, INSULATED: True}
CANNOT_WAIT: dict[str, bool] = {RAFT: False, STRIP: True, INSULATED: True}


@dataclass(frozen=True)
class Yardstick:
    """One yardstick, of which less is better: `unit` is of the calculators, "money", "people", "yes" for a thing that is so (1) or not (0)."""

    key: str
    label: str
    unit: str
    of: Callable[[Site, object], float]


def people_at_once(site: Site, result) -> float:
    """Hands wanted on the day of the pour that wants most, the owner's own with them.

    site; result: of the comparison.  Returns a whole number of people, no unit, 2 to 20.
    Source: `crews.people_in_time`: each load is down before it is too old.
    """
    poured = ((result.quantities["footing_concrete_m3"], FOOTING_H_PER_M3), (result.quantities["slab_concrete_m3"], SLAB_H_PER_M3))
    return float(max((people_in_time(site.scenario, m3, hours.value) for m3, hours in poured if m3 > 0.0), default=LEAST_PEOPLE.value))


def lorries(site: Site, result) -> float:
    """Lorries to and from the plot for concrete, stone and spoil.

    site; result: of the comparison.  Returns a whole number, no unit.
    Source: sizes of loads, the schedule's and common practice.
    """
    job, products = Job(result.quantities, result.works, site.scenario), site.scenario.schedule.products
    concrete = sum(steps_up(order, products.concrete_lorry_m3) for order in job.deliveries())
    stone = steps_up(job.stone_t, STONE_LORRY_T.value)
    spoil = steps_up(result.quantities["spoil_loose_m3"] + result.quantities["rubble_loose_m3"], products.spoil_load_m3)
    return float(concrete + stone + spoil)


YARDSTICKS: tuple[Yardstick, ...] = (
    Yardstick("money", "Money, like for like", "money", lambda site, result: result.like_for_like.likely),
    Yardstick("own_days", "Days of your own", "day", lambda site, result: result.priced.own_hours / DAY_H.value),
    Yardstick("people", "People at once, on the day of the largest pour", "people", people_at_once),
    Yardstick("concrete", "Concrete", "m3", lambda site, result: result.quantities["concrete_m3"]),
    Yardstick("stone", "Stone", "t", lambda site, result: Job(result.quantities, result.works, site.scenario).stone_t),
    Yardstick("spoil", "Spoil carted, loose", "m3", lambda site, result: result.quantities["spoil_loose_m3"]),
    Yardstick("lorries", "Lorries", "", lorries),
    Yardstick("carbon", "Carbon", "kgCO2e", lambda site, result: result.carbon.total_kgco2e),
    Yardstick("low_side", "Height of the floor on the low side", "m", lambda site, result: result.works.low_side_height_m),
    Yardstick("u_value", "U-value of the floor itself", "W/(m2 K)", lambda site, result: result.u_value_w_per_m2k),
    Yardstick("steps", "Steps at the doors", "", lambda site, result: result.quantities["door_steps"]),
    Yardstick("inspections", "Inspections before something is covered", "", lambda site, result: float(len(INSPECTIONS[result.id]))),
    Yardstick("walls_fixed", "Walls fixed before the pour", "yes", lambda site, result: float(WALLS_FIXED[result.id])),
    Yardstick("cannot_wait", "Cannot stand for years unbuilt", "yes", lambda site, result: float(CANNOT_WAIT[result.id])),
)
YARDSTICK_BY_KEY = {yardstick.key: yardstick for yardstick in YARDSTICKS}


@dataclass(frozen=True)
class Measured:
    """One yardstick held against every scheme that can be built: values and excesses (0 to 1) in their order, who has least, and by how much less than the next."""

    key: str
    label: str
    unit: str
    values: dict[str, float]
    excess: dict[str, float]
    least: tuple[str, ...]
    lead: float


@dataclass(frozen=True)
class WeightTurn:
    """The weight of one yardstick at which another scheme has the smaller sum; None where none from 0 up does."""

    key: str
    weight: float
    turns_at: float | None
    to: str | None


@dataclass(frozen=True)
class Weighed:
    """A reader's weights, each scheme's sum of weight times excess, the smallest first, and how far each weight must move before that changes."""

    weights: dict[str, float]
    sums: dict[str, float]
    order: tuple[str, ...]
    turns: tuple[WeightTurn, ...]


@dataclass(frozen=True)
class Standing:
    """All yardsticks; which schemes are beaten or equalled by another on every one, and by which; the reader's weighing if there is one."""

    measured: tuple[Measured, ...]
    dominated_by: dict[str, str]
    weighed: Weighed | None


def standing_of(site: Site, results: Sequence, weights: Mapping[str, float] | None = None) -> Standing:
    """Hold every yardstick against the schemes that can be built.

    site; results: those schemes, of the comparison; weights: by key of
    `YARDSTICKS`, 0 or more, no unit; without any nothing is weighed.  Returns a
    Standing in the units of the yardsticks (money, m3, t, m by each).
    Raises KeyError for an unknown yardstick, ValueError for a weight below 0.
    Source: definition of the guide.
    """
    measured = tuple(_measured(yardstick, {result.id: yardstick.of(site, result) for result in results}) for yardstick in YARDSTICKS) if results else ()
    dominated: dict[str, str] = {}
    for result in results:
        for other in results:
            if other.id != result.id and result.id not in dominated and _beats(other.id, result.id, measured):
                dominated[result.id] = other.id
    return Standing(measured, dominated, weighed_by(measured, weights) if weights and results else None)


def _measured(yardstick: Yardstick, values: dict[str, float]) -> Measured:
    least, most = min(values.values()), max(values.values())
    # What differs in the last digits is the same.
    same = NOTHING * max(1.0, abs(most))
    spread = most - least
    first = tuple(scheme for scheme, value in values.items() if value - least <= same)
    others = [value for scheme, value in values.items() if scheme not in first]
    return Measured(
        yardstick.key, yardstick.label, yardstick.unit, values,
        {scheme: (value - least) / spread if spread > same else 0.0 for scheme, value in values.items()}, first, min(others) - least if others else 0.0)


def _beats(better: str, worse: str, measured: Sequence[Measured]) -> bool:
    """Whether a scheme is nowhere worse than another, and somewhere better."""
    return all(m.excess[better] <= m.excess[worse] + NOTHING for m in measured) and any(m.excess[better] < m.excess[worse] - NOTHING for m in measured)


def weighed_by(measured: Sequence[Measured], weights: Mapping[str, float]) -> Weighed:
    """A reader's weighing of the yardsticks.

    measured: at least one; weights: by key, 0 or more, no unit.  Returns sums, no unit.
    Raises KeyError for an unknown yardstick, ValueError for a weight below 0.
    Source: weighted sum of excesses, definition of the guide.
    """
    by_key = {m.key: m for m in measured}
    for key, weight in weights.items():
        if key not in by_key:
            raise KeyError(key)
        if not (math.isfinite(weight) and weight >= 0.0):
            raise ValueError(f"a weight must be 0 or more, not {weight}")
    schemes = list(measured[0].values)
    sums = {scheme: math.fsum(weight * by_key[key].excess[scheme] for key, weight in weights.items()) for scheme in schemes}
    order = tuple(sorted(schemes, key=lambda scheme: (round(sums[scheme], 9), schemes.index(scheme))))
    return Weighed(dict(weights), sums, order, tuple(_weight_turn(key, weights, by_key, sums, order) for key in weights))


def _weight_turn(key: str, weights: Mapping[str, float], by_key: Mapping[str, Measured], sums: Mapping[str, float], order: Sequence[str]) -> WeightTurn:
    """Where the first scheme's sum meets another's as one weight moves: a straight line against a straight line."""
    first, excess = order[0], by_key[key].excess
    found = []
    for other in order[1:]:
        slope = excess[first] - excess[other]
        if abs(slope) > NOTHING:
            at = weights[key] + (sums[other] - sums[first]) / slope
            # Below a weight of 0 nothing can turn; and at 0 itself both are only alike.
            if slope > 0.0 or at > NOTHING:
                found.append((abs(at - weights[key]), at, other))
    nearest = min(found, default=None)
    return WeightTurn(key, weights[key], nearest[1] if nearest else None, nearest[2] if nearest else None)
