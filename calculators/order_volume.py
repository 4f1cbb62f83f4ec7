"""How much concrete to order: short is a cold joint, over is concrete with nowhere to go.

The slab on the drawing has one volume; the hole that it fills has another, and
nobody knows it before the day.  An order is a bet on that volume.  The cheapest
bet weighs what it costs to run short against what it costs to have too much.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from statistics import NormalDist

from calculators.draws import SEED, ThreePoint, shares
from calculators.numbers import round_up, steps_down, steps_up
from calculators.ranges import BED_M
from calculators.sources import common_practice

USUAL_DRAWS = 2000
# Far below what anybody measures, far above what rounding leaves behind.
NOTHING_M3 = 1e-9
# A spread that was guessed is most often too narrow; this much wider is tried against it.
WIDENED = common_practice(1.5, "", "What nobody knows is spread half as wide again as was taken.")
RULE_OF_THUMB = common_practice(0.10, "", "The usual habit: a tenth over the net volume.")

FORM_TOP_M = (common_practice(-0.003, "m", "Forms set low as a whole."), common_practice(0.003, "m", "Forms set high as a whole."))
FORM_LINE_M = (common_practice(-0.005, "m", "Edge further in than drawn."), common_practice(0.010, "m", "Edge further out than drawn; boards bulge outwards."))
TRENCH_LINE_M = (common_practice(0.0, "m", "A trench cut as drawn."), common_practice(0.050, "m", "Sides that crumble under the bucket."))
TRENCH_BED_M = (common_practice(-0.010, "m", "A trench bottom left high."), common_practice(0.030, "m", "A trench bottom dug too deep and filled with concrete."))
LOST_SHARE = (common_practice(0.005, "", "Left in the lorry, the barrows and on the boards, least share of the net volume."),
              common_practice(0.015, "", "The same, likely."), common_practice(0.03, "", "The same, in careless hands."))


@dataclass(frozen=True)
class Part:
    """One thing that makes the volume other than drawn: cubic metres for each `unit` of it, and its three points.

    Raises ValueError for a negative or unknown m3_per_unit.
    """

    key: str
    label: str
    m3_per_unit: float
    points: ThreePoint
    unit: str
    source: str

    def __post_init__(self):
        if not (math.isfinite(self.m3_per_unit) and self.m3_per_unit >= 0.0):
            raise ValueError(f"{self.label}: the volume for each {self.unit or 'unit'} must be 0 m3 or more, not {self.m3_per_unit}")


@dataclass(frozen=True)
class UncertainVolume:
    """The volume on the drawing, m3, and what may make it another.

    Raises ValueError for a net volume that is not above 0.
    """

    net_m3: float
    parts: tuple[Part, ...]

    def __post_init__(self):
        if not (math.isfinite(self.net_m3) and self.net_m3 > 0.0):
            raise ValueError(f"the net volume must be above 0 m3, not {self.net_m3} m3")

    @property
    def mean_m3(self) -> float:
        """Mean of the volume, m3.  Source: means of independent parts add up."""
        return self.net_m3 + sum(part.m3_per_unit * part.points.mean for part in self.parts)

    @property
    def deviation_m3(self) -> float:
        """Standard deviation of the volume, m3.  Source: variances of independent parts add up."""
        return math.sqrt(sum(part.m3_per_unit**2 * part.points.variance for part in self.parts))


@dataclass(frozen=True)
class SecondPlace:
    """Where surplus can go, how much it takes (m3), and what it is worth there (money per m3, labour off).

    Raises ValueError for a place without a name, without room, or with a value below 0.
    """

    name: str
    room_m3: float
    worth_per_m3: float

    def __post_init__(self):
        if not (self.name and math.isfinite(self.room_m3) and self.room_m3 > 0.0 and math.isfinite(self.worth_per_m3) and self.worth_per_m3 >= 0.0):
            raise ValueError(
                f"a second place needs a name, room above 0 m3 and a worth of 0 or more a m3, not {self.name!r}, {self.room_m3} m3 and {self.worth_per_m3}; "
                "for example 'path bay', 0.4 m3, 60")


@dataclass(frozen=True)
class OrderTerms:
    """What the supplier sells and charges, and what a bad guess costs; money in one currency.

    step_m3: sold in steps of this, m3, above 0.  least_m3: least load, m3, 0 or more.
    lorry_m3: most in one lorry, m3, above 0.  full_from_m3: load from which there is no part-load charge, m3, 0 to lorry_m3.
    price_per_m3: above 0.  part_load_per_m3: for each m3 short of full, 0 or more.
    cold_joint: what it costs where the pour stops, money, 0 or more: joint made good, crew kept, finish spoilt.
    away_per_m3: to get rid of what fits in no second place, 0 or more.
    Raises ValueError outside those ranges.
    """

    step_m3: float
    least_m3: float
    lorry_m3: float
    full_from_m3: float
    price_per_m3: float
    part_load_per_m3: float
    cold_joint: float
    away_per_m3: float
    places: tuple[SecondPlace, ...] = ()

    def __post_init__(self):
        if not (0.0 < self.step_m3 <= self.lorry_m3 <= 20.0):
            raise ValueError(f"a supplier's step must be above 0 m3 and no more than a lorry, which holds 20 m3 at most; not {self.step_m3} and {self.lorry_m3} m3")
        if not (0.0 <= self.least_m3 <= self.lorry_m3 and 0.0 <= self.full_from_m3 <= self.lorry_m3):
            raise ValueError(f"the least load and the full load must be 0 to {self.lorry_m3:g} m3 (a lorry), not {self.least_m3} and {self.full_from_m3} m3")
        if not (math.isfinite(self.price_per_m3) and self.price_per_m3 > 0.0):
            raise ValueError(f"the price must be above 0 a m3, not {self.price_per_m3}")
        for what, money in (("part-load charge", self.part_load_per_m3), ("cost of a cold joint", self.cold_joint), ("cost of getting rid of a m3", self.away_per_m3)):
            if not (math.isfinite(money) and money >= 0.0):
                raise ValueError(f"the {what} must be 0 or more, not {money}")
        # Worth more than it costs, surplus would be bought for its own sake.
        if any(place.worth_per_m3 > self.price_per_m3 for place in self.places):
            raise ValueError("concrete in a second place cannot be worth more than its price; what is worth that much belongs in the net volume")


@dataclass(frozen=True)
class Ordered:
    """One order weighed: m3, expected money, chance of running short (0 to 1), expected m3 short and m3 over, loads m3."""

    order_m3: float
    expected_cost: float
    chance_short: float
    expected_short_m3: float
    expected_over_m3: float
    loads_m3: tuple[float, ...]


@dataclass(frozen=True)
class PaidByUse:
    """Concrete that is paid by what comes out: a volumetric lorry, or bags and a mixer.

    price_per_m3: above 0.  least_m3: what is charged at the least, m3, 0 or more.  call_out: money, 0 or more.
    most_m3: what one visit, or one day at the mixer, gives, m3, above 0.
    Raises ValueError outside those ranges.
    """

    name: str
    price_per_m3: float
    least_m3: float
    call_out: float
    most_m3: float

    def __post_init__(self):
        if not (self.price_per_m3 > 0.0 and self.least_m3 >= 0.0 and self.call_out >= 0.0 and self.most_m3 > 0.0):
            raise ValueError(
                f"{self.name}: a price above 0, a least charge and a call-out of 0 or more and a most above 0 m3 are wanted, "
                f"not {self.price_per_m3}, {self.least_m3} m3, {self.call_out} and {self.most_m3} m3")


@dataclass(frozen=True)
class Against:
    """The order that was chosen and "net plus 10 %", both met by draws that neither was chosen on.

    `better` is chosen, rule of thumb, or same; `saves` is money by which the chosen order costs less, below 0 where it costs more.
    """

    spread: float
    chosen: Ordered
    rule_of_thumb: Ordered
    better: str
    saves: float


# The volume.


def slab_volume(net_m3: float, area_m2: float, edge_m: float, thickness_m: float) -> UncertainVolume:
    """A slab's volume with the usual unknowns: bed, forms, edges and what is lost on the way.

    net_m3: as drawn, m3, above 0.  area_m2: above 0.  edge_m: length of its edges, m, above 0.
    thickness_m: of the slab at its edge, m, 0.05 to 1.
    Returns an UncertainVolume, m3.
    Raises ValueError outside those ranges.
    Source: geometry; how far things are off is common practice, no source.

    >>> volume = slab_volume(4.5, 30.0, 22.0, 0.15)
    >>> [part.key for part in volume.parts], round(volume.mean_m3, 3), round(volume.deviation_m3, 3)
    (['bed', 'form top', 'form line', 'lost'], 4.681, 0.135)
    """
    if not (area_m2 > 0.0 and edge_m > 0.0 and 0.05 <= thickness_m <= 1.0):
        raise ValueError(f"a slab needs an area and edges above 0 and a thickness of 0.05 to 1 m, not {area_m2} m2, {edge_m} m and {thickness_m} m")
    return UncertainVolume(net_m3, (
        _part("bed", "bed of stone or sand lower than drawn", area_m2, BED_M),
        _part("form top", "forms higher than drawn", area_m2, FORM_TOP_M),
        _part("form line", "edges further out than drawn", edge_m * thickness_m, FORM_LINE_M),
        _lost(net_m3),
    ))


def trench_volume(net_m3: float, length_m: float, width_m: float, thickness_m: float) -> UncertainVolume:
    """A trench footing's volume with the usual unknowns: sides that crumble, a bottom dug too deep, what is lost.

    net_m3: as drawn, m3, above 0.  length_m: above 0.  width_m: 0.1 to 3.  thickness_m: of concrete, 0.05 to 3.
    Returns an UncertainVolume, m3.
    Raises ValueError outside those ranges.
    Source: geometry; how far things are off is common practice, no source.

    >>> volume = trench_volume(2.7, 20.0, 0.6, 0.225)
    >>> round(volume.mean_m3, 3)
    2.9
    """
    if not (length_m > 0.0 and 0.1 <= width_m <= 3.0 and 0.05 <= thickness_m <= 3.0):
        raise ValueError(f"a trench needs a length above 0, a width of 0.1 to 3 m and concrete of 0.05 to 3 m, not {length_m}, {width_m} and {thickness_m} m")
    return UncertainVolume(net_m3, (
        _part("trench line", "trench wider than drawn, both sides together", length_m * thickness_m, TRENCH_LINE_M),
        _part("trench bed", "trench deeper than drawn", length_m * width_m, TRENCH_BED_M),
        _lost(net_m3),
    ))


def _part(key: str, label: str, m3_per_m: float, off) -> Part:
    low, high = off
    return Part(key, label, m3_per_m, ThreePoint(low.value, 0.0, high.value), "m", low.citation)


def _lost(net_m3: float) -> Part:
    low, likely, high = LOST_SHARE
    return Part("lost", "left in the lorry, barrows and on the boards", net_m3, ThreePoint(low.value, likely.value, high.value), "", low.citation)


def widened(volume: UncertainVolume, spread: float) -> UncertainVolume:
    """The same volume known less well: every part's low and high further from what is likely.

    volume: m3.  spread: times as far, 0 to 5, no unit; 1 changes nothing.
    Returns an UncertainVolume, m3.
    Raises ValueError outside that range.
    Source: definition.

    >>> sure = slab_volume(4.5, 30.0, 22.0, 0.15)
    >>> round(widened(sure, 1.5).deviation_m3 / sure.deviation_m3, 6)
    1.5
    """
    if not 0.0 <= spread <= 5.0:
        raise ValueError(f"a spread is widened 0 to 5 times, not {spread}")
    return UncertainVolume(volume.net_m3, tuple(
        replace(part, points=ThreePoint(
            part.points.likely - spread * (part.points.likely - part.points.low), part.points.likely,
            part.points.likely + spread * (part.points.high - part.points.likely)))
        for part in volume.parts))


def volume_draws_m3(volume: UncertainVolume, count: int = USUAL_DRAWS, seed: int = SEED) -> tuple[float, ...]:
    """The volume poured, drawn many times, rising.

    volume: m3.  count: 1 to 100000 draws.  seed: another gives other draws.
    Returns volumes, m3, none below 0.
    Raises ValueError for a count out of range or a part given twice.
    Source: `calculators.draws`.

    >>> drawn = volume_draws_m3(slab_volume(4.5, 30.0, 22.0, 0.15), 500)
    >>> drawn[0] > 4.3, abs(sum(drawn) / 500 - 4.68) < 0.01
    (True, True)
    """
    drawn = shares([part.key for part in volume.parts], count, seed)
    return tuple(sorted(
        max(0.0, volume.net_m3 + sum(part.m3_per_unit * part.points.at(drawn[part.key][i]) for part in volume.parts)) for i in range(count)))


# What an order costs.


def split_into_loads_m3(order_m3: float, lorry_m3: float) -> tuple[float, ...]:
    """Lorries of an order: full ones first, what is left last, so that the last can be changed by telephone.

    order_m3: 0 to 200 m3.  lorry_m3: most in one, m3, above 0.
    Returns loads, m3; none for no order.
    Raises ValueError outside those ranges.
    Source: common practice, no source.

    >>> split_into_loads_m3(13.5, 6.0), split_into_loads_m3(12.0, 6.0)
    ((6.0, 6.0, 1.5), (6.0, 6.0))
    """
    if not (0.0 <= order_m3 <= 200.0 and lorry_m3 > 0.0):
        raise ValueError(f"an order must be 0 to 200 m3 and a lorry above 0 m3, not {order_m3} and {lorry_m3} m3")
    lorries = steps_up(order_m3, lorry_m3)
    return tuple([lorry_m3] * (lorries - 1) + [order_m3 - lorry_m3 * (lorries - 1)]) if lorries else ()


def delivered_cost(order_m3: float, terms: OrderTerms) -> float:
    """What an order costs at the gate: concrete and part-load charge.

    order_m3: 0 to 200 m3, as sold.  terms: m3 and money.
    Returns money.
    Raises ValueError outside that range.
    Source: the supplier's terms.

    >>> terms = OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0)
    >>> delivered_cost(4.5, terms), delivered_cost(6.0, terms), delivered_cost(0.0, terms)
    (560.0, 720.0, 0.0)
    """
    loads = split_into_loads_m3(order_m3, terms.lorry_m3)
    short_of_full = max(0.0, terms.full_from_m3 - loads[-1]) if loads else 0.0
    return terms.price_per_m3 * order_m3 + terms.part_load_per_m3 * short_of_full


def filled(surplus_m3: float, places: Sequence[SecondPlace]) -> tuple[tuple[tuple[SecondPlace, float], ...], float]:
    """Where a surplus goes: so much into each place, the one where it is worth most first, and what is left.

    surplus_m3: m3, 0 or more.  places: with room, m3.
    Returns pairs of place and m3, and what fits nowhere, m3.
    Raises ValueError outside that range.
    Source: definition.

    >>> used, left_m3 = filled(0.75, (SecondPlace("moulds", 0.25, 20.0), SecondPlace("path bay", 0.25, 60.0)))
    >>> [(place.name, m3) for place, m3 in used], left_m3
    ([('path bay', 0.25), ('moulds', 0.25)], 0.25)
    """
    if not surplus_m3 >= 0.0:
        raise ValueError(f"a surplus must be 0 m3 or more, not {surplus_m3} m3")
    found, left_m3 = [], surplus_m3
    for place in sorted(places, key=lambda place: -place.worth_per_m3):
        taken_m3 = min(left_m3, place.room_m3)
        left_m3 -= taken_m3
        if taken_m3 > 0.0:
            found.append((place, taken_m3))
    return tuple(found), left_m3


def surplus_cost(surplus_m3: float, terms: OrderTerms) -> float:
    """What concrete left over costs beyond its price: away, less what it is worth in second places.

    surplus_m3: m3, 0 or more.  terms: m3 and money.
    Returns money; below 0 where second places earn something back.
    Raises ValueError outside that range.
    Source: definition.

    >>> terms = OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0, (SecondPlace("moulds", 0.1, 20.0), SecondPlace("path bay", 0.4, 60.0)))
    >>> surplus_cost(0.2, terms), surplus_cost(1.0, terms)
    (-12.0, -1.0)
    """
    used, left_m3 = filled(surplus_m3, terms.places)
    return left_m3 * terms.away_per_m3 - sum(taken_m3 * place.worth_per_m3 for place, taken_m3 in used)


def order_cost(order_m3: float, poured_m3: float, terms: OrderTerms) -> float:
    """What an order comes to once the volume poured is known.

    order_m3, poured_m3: 0 to 200 m3.  terms: m3 and money.
    Returns money: the order at the gate, then either surplus, or a cold joint with a second load and its own surplus.
    Raises ValueError outside those ranges.
    Source: definition.

    >>> terms = OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0)
    >>> order_cost(5.0, 5.0, terms), order_cost(5.5, 5.0, terms)
    (600.0, 685.0)
    >>> order_cost(4.5, 5.0, terms)  # 560, a joint of 300, 1 m3 at 120 with 4 m3 short of full at 40, 0.5 m3 away at 50
    1165.0
    """
    if not 0.0 <= poured_m3 <= 200.0:
        raise ValueError(f"a pour must be 0 to 200 m3, not {poured_m3} m3")
    cost = delivered_cost(order_m3, terms)
    if poured_m3 <= order_m3:
        return cost + surplus_cost(order_m3 - poured_m3, terms)
    short_m3 = poured_m3 - order_m3
    second_m3 = max(terms.least_m3, round_up(short_m3, terms.step_m3))
    return cost + terms.cold_joint + delivered_cost(second_m3, terms) + surplus_cost(max(0.0, second_m3 - short_m3), terms)


def weigh_order(order_m3: float, drawn_m3: Sequence[float], terms: OrderTerms) -> Ordered:
    """One order against every drawn volume.

    order_m3: 0 to 200 m3.  drawn_m3: volumes, m3, at least one.  terms: m3 and money.
    Returns an Ordered: m3, money, chance 0 to 1.
    Raises ValueError outside those ranges.
    Source: means over the draws.

    >>> terms = OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0)
    >>> weighed = weigh_order(5.0, [4.5, 5.0, 5.5, 5.0], terms)
    >>> weighed.chance_short, weighed.expected_short_m3, weighed.expected_over_m3
    (0.25, 0.125, 0.125)
    """
    if not drawn_m3:
        raise ValueError("an order is weighed against at least one volume, m3")
    rising = sorted(drawn_m3)
    count, enough = len(rising), bisect_right(rising, order_m3)
    return Ordered(
        order_m3=order_m3,
        expected_cost=_mean_over(rising, lambda poured_m3: order_cost(order_m3, poured_m3, terms), _order_bends_m3(order_m3, rising[-1], terms)),
        chance_short=(count - enough) / count,
        expected_short_m3=math.fsum(poured_m3 - order_m3 for poured_m3 in rising[enough:]) / count,
        expected_over_m3=math.fsum(order_m3 - poured_m3 for poured_m3 in rising[:enough]) / count,
        loads_m3=split_into_loads_m3(order_m3, terms.lorry_m3),
    )


def _order_bends_m3(order_m3: float, most_m3: float, terms: OrderTerms) -> list[float]:
    """Volumes, m3, between which the cost of an order goes on a straight line: where a second place is full, where it runs short, where a second load is a step larger."""
    full_m3 = list(accumulate(place.room_m3 for place in sorted(terms.places, key=lambda place: -place.worth_per_m3)))
    bends, short_m3 = [order_m3, *(order_m3 - room_m3 for room_m3 in full_m3)], max(1, steps_down(terms.least_m3, terms.step_m3)) * terms.step_m3
    while order_m3 < most_m3:
        bends += [order_m3 + short_m3, *(order_m3 + max(terms.least_m3, short_m3) - room_m3 for room_m3 in full_m3)]
        if order_m3 + short_m3 >= most_m3:
            break
        short_m3 += terms.step_m3
    return bends


def _mean_over(rising_m3: Sequence[float], cost: Callable[[float], float], bends_m3: Iterable[float]) -> float:
    """Mean of a cost over volumes, m3, where it goes on straight lines between bends and each bend belongs to the line before it.

    On a straight line the mean of the costs is the cost of the mean, so one sum a line is enough.
    """
    parts, start = [], 0
    for bend_m3 in (*sorted(bends_m3), math.inf):
        end = bisect_right(rising_m3, bend_m3 + NOTHING_M3)
        if end > start:
            # Rounding must not carry the mean of volumes that are all alike past them.
            parts.append((end - start) * cost(min(rising_m3[end - 1], math.fsum(rising_m3[start:end]) / (end - start))))
            start = end
    return math.fsum(parts) / len(rising_m3)


def orders_weighed(drawn_m3: Sequence[float], terms: OrderTerms) -> tuple[Ordered, ...]:
    """Every order worth a thought on the supplier's step: from the least volume drawn to a full lorry or so past the most.

    drawn_m3: volumes, m3, at least one.  terms: m3 and money.
    Returns Ordered, rising by m3.
    Raises ValueError for no volumes.
    Source: every step is tried.

    >>> terms = OrderTerms(0.5, 1.0, 6.0, 6.0, 120.0, 40.0, 300.0, 50.0)
    >>> [weighed.order_m3 for weighed in orders_weighed([4.6, 5.0], terms)]
    [4.5, 5.0, 5.5, 6.0]
    """
    if not drawn_m3:
        raise ValueError("an order is chosen for at least one volume, m3")
    least = max(terms.least_m3, terms.step_m3 * max(1, math.floor(min(drawn_m3) / terms.step_m3)))
    # Past the most that is ever wanted, only a part-load charge that falls away can make more cheaper.
    most = max(least, round_up(max(drawn_m3), terms.step_m3))
    if terms.part_load_per_m3 > 0.0:
        short = terms.full_from_m3 - split_into_loads_m3(most, terms.lorry_m3)[-1]
        most += max(0.0, short)
    first, last = steps_up(least, terms.step_m3), steps_up(most, terms.step_m3)
    return tuple(weigh_order(steps * terms.step_m3, drawn_m3, terms) for steps in range(first, last + 1))


def cheapest_order(drawn_m3: Sequence[float], terms: OrderTerms) -> Ordered:
    """The order that costs least on average, on the supplier's step; the larger of two that cost the same.

    drawn_m3: volumes, m3, at least one.  terms: m3 and money.
    Returns an Ordered: m3, money, chance 0 to 1.
    Raises ValueError for no volumes.
    Source: least expected cost over every step.

    >>> cheapest_order([4.6, 5.0], OrderTerms(0.5, 1.0, 6.0, 4.0, 120.0, 40.0, 300.0, 50.0)).order_m3
    5.0
    """
    return least_of(orders_weighed(drawn_m3, terms))


def least_of(orders: Sequence[Ordered]) -> Ordered:
    """Of orders that were weighed, the one that costs least on average; the larger of two that cost the same.

    orders: at least one, m3 and money.
    Returns an Ordered: m3, money, chance 0 to 1.
    Raises ValueError for none.
    Source: definition.

    >>> least_of((Ordered(4.5, 600.0, 0.5, 0.1, 0.1, (4.5,)), Ordered(5.0, 600.0, 0.0, 0.0, 0.3, (5.0,)))).order_m3
    5.0
    """
    # Pennies apart in the last digit are the same: then more concrete is the calmer day.
    return min(orders, key=lambda weighed: (round(weighed.expected_cost, 6), -weighed.order_m3))


def critical_share(short_per_m3: float, over_per_m3: float) -> float:
    """How sure an order should be of being enough, where each m3 short and each m3 over has one price.

    short_per_m3, over_per_m3: money per m3, 0 or more, not both 0.
    Returns a share, 0 to 1: the order is that quantile of the volume.
    Raises ValueError outside those ranges.
    Source: Cachon and Terwiesch, Matching Supply with Demand: the newsvendor's critical ratio.

    >>> critical_share(8.0, 4.0) == 2.0 / 3.0
    True
    """
    if not (short_per_m3 >= 0.0 and over_per_m3 >= 0.0 and 0.0 < short_per_m3 + over_per_m3 < math.inf):
        raise ValueError(f"the costs of short and over must be 0 or more and not both 0, not {short_per_m3} and {over_per_m3} a m3")
    return short_per_m3 / (short_per_m3 + over_per_m3)


def bell_curve_order(mean: float, deviation: float, short: float, over: float) -> float:
    """The order of least expected cost where demand follows the bell curve; the closed form that the draws are held to.

    mean: any unit.  deviation: standard deviation, the same unit, above 0.  short, over: money for each unit, above 0.
    Returns an order, the same unit (m3 for concrete).
    Raises ValueError outside those ranges.
    Source: Cachon and Terwiesch, Matching Supply with Demand: F(Q) = short / (short + over).

    >>> round(bell_curve_order(200.0, 80.0, 8.0, 4.0), 2)
    234.46
    """
    if not (deviation > 0.0 and short > 0.0 and over > 0.0):
        raise ValueError(f"a deviation and both costs must be above 0, not {deviation}, {short} and {over}")
    return NormalDist(mean, deviation).inv_cdf(critical_share(short, over))


# Instead, and against the habit.


def used_cost(poured_m3: float, paid: PaidByUse) -> float:
    """What a pour costs where only what comes out is paid.

    poured_m3: m3, 0 to 200.  paid: m3 and money.
    Returns money: a call-out for each visit, and the price of what was poured, each visit at least the least charge.
    Raises ValueError outside that range.
    Source: the supplier's terms.

    >>> volumetric = PaidByUse("volumetric lorry", 150.0, 1.0, 60.0, 8.0)
    >>> used_cost(4.68, volumetric), used_cost(0.5, volumetric)
    (762.0, 210.0)
    """
    if not 0.0 <= poured_m3 <= 200.0:
        raise ValueError(f"a pour must be 0 to 200 m3, not {poured_m3} m3")
    return sum(paid.call_out + paid.price_per_m3 * max(paid.least_m3, visit_m3) for visit_m3 in split_into_loads_m3(poured_m3, paid.most_m3))


def expected_used_cost(drawn_m3: Sequence[float], paid: PaidByUse) -> float:
    """Mean cost of the alternative that is paid by what comes out.

    drawn_m3: volumes, m3, at least one.  paid: m3 and money.
    Returns money.
    Raises ValueError outside those ranges.
    Source: mean over the draws.

    >>> expected_used_cost([4.0, 5.0], PaidByUse("volumetric lorry", 150.0, 1.0, 60.0, 8.0))
    735.0
    """
    if not drawn_m3:
        raise ValueError("a cost is averaged over at least one volume, m3")
    rising = sorted(drawn_m3)
    # The last visit is paid in full from its least charge on.
    bends = [visits * paid.most_m3 + further_m3 for visits in range(steps_up(rising[-1], paid.most_m3) + 1) for further_m3 in (0.0, min(paid.least_m3, paid.most_m3))]
    return _mean_over(rising, lambda poured_m3: used_cost(poured_m3, paid), bends)


def chance_of_second_visit(drawn_m3: Sequence[float], paid: PaidByUse) -> float:
    """How often one visit is not enough, where only what comes out is paid.

    drawn_m3: volumes, m3, at least one.  paid: with the most of one visit, m3.
    Returns a chance, 0 to 1, no unit.
    Raises ValueError for no volumes.
    Source: share of the draws.

    >>> chance_of_second_visit([4.0, 9.0], PaidByUse("volumetric lorry", 150.0, 1.0, 60.0, 8.0))
    0.5
    """
    if not drawn_m3:
        raise ValueError("a chance is a share of at least one volume, m3")
    return sum(poured_m3 > paid.most_m3 for poured_m3 in drawn_m3) / len(drawn_m3)


def rule_of_thumb_m3(net_m3: float, step_m3: float) -> float:
    """"Net plus 10 %", rounded up to what the supplier sells.

    net_m3: as drawn, m3, above 0.  step_m3: m3, above 0.
    Returns an order, m3.
    Raises ValueError outside those ranges.
    Source: common practice, no source.

    >>> rule_of_thumb_m3(4.5, 0.25)
    5.0
    """
    if not net_m3 > 0.0:
        raise ValueError(f"the net volume must be above 0 m3, not {net_m3} m3")
    return round_up(net_m3 * (1.0 + RULE_OF_THUMB.value), step_m3)


def against_rule_of_thumb(
    volume: UncertainVolume, terms: OrderTerms, spread: float = WIDENED.value, count: int = USUAL_DRAWS, seed: int = SEED
) -> Against:
    """The chosen order and "net plus 10 %", when the volume was known less well than was thought.

    volume: as assumed, m3.  terms: m3 and money.  spread: of the draws that test it over what was assumed, 0 to 5.
    count: 1 to 100000 draws.  seed: the order is chosen on this one's draws and tested on those of the next.
    Returns an Against: m3 and money, with the expected cost of both.
    Raises ValueError outside those ranges.
    Source: means over draws; the wider spread is common practice, no source.

    >>> terms = OrderTerms(0.25, 1.0, 6.0, 5.0, 120.0, 40.0, 300.0, 50.0)
    >>> found = against_rule_of_thumb(slab_volume(4.5, 30.0, 22.0, 0.15), terms, count=500)
    >>> found.chosen.order_m3, found.rule_of_thumb.order_m3, found.better
    (5.0, 5.0, 'same')
    """
    chosen_m3 = cheapest_order(volume_draws_m3(volume, count, seed), terms).order_m3
    drawn_m3 = volume_draws_m3(widened(volume, spread), count, seed + 1)
    chosen = weigh_order(chosen_m3, drawn_m3, terms)
    habit = weigh_order(max(terms.least_m3, rule_of_thumb_m3(volume.net_m3, terms.step_m3)), drawn_m3, terms)
    saves = habit.expected_cost - chosen.expected_cost
    better = "same" if chosen.order_m3 == habit.order_m3 or abs(saves) < 1e-6 else "chosen" if saves > 0.0 else "rule of thumb"
    return Against(spread, chosen, habit, better, saves)
