"""How one floor came out, and what may be done about it, in one record.

`flatness` holds the sums; here they meet the levels of one floor, what is to
lie on it, and prices.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from calculators import flatness as f
from calculators.ground import Plane
from calculators.plan import Polygon, polygon_area_m2
from calculators.pricing import Spread
from calculators.scenario import COMPOUNDS, FLOOR_FINISHES, USES, FloorSurvey
from calculators.schedule import Schedule
from calculators.sources import Sourced
from calculators.survey import Level

KG_IN_A_TONNE = 1000.0


@dataclass(frozen=True)
class FloorPrices:
    """Money: compound for each kg, a day of the grinder, an hour of work.  `hour_from` says whose hour: yours or a labourer's."""

    compound_per_kg: Spread
    grinder_per_day: Spread
    hour: float
    hour_from: str


@dataclass(frozen=True)
class Misfit:
    """Why an option does not suit with the compound that was named.

    `what` is face (it may not lie bare), strength (MPa: what it has and what is wanted), or thickness (m: the
    thinnest that is filled, and the thinnest that it is laid).
    """

    what: str
    found: float | None = None
    wanted: Sourced | None = None


@dataclass(frozen=True)
class PricedOption:
    """An option with what is bought and hired for it, money low to high, and that with its hours, money at likely prices.

    `misfits` is empty where the compound suits the use and the finish; `does` says that it is enough and suits.
    """

    option: f.Option
    cash: Spread
    with_hours: float
    misfits: tuple[Misfit, ...]

    @property
    def does(self) -> bool:
        """Whether it is flat enough afterwards, by a compound that suits."""
        return self.option.enough and not self.misfits


@dataclass(frozen=True)
class FinishState:
    """A finish, what it asks, and what the floor as it is lacks for it or has not been measured."""

    finish: str
    needs: f.FinishNeeds
    lacks: tuple[f.Lack, ...]


@dataclass(frozen=True)
class FloorResult:
    """How a floor came out.

    `deviations_m` are heights over `plane` by the levels of `floor`; `highest`
    and `lowest` are indexes into those.  `fall_m` is from the highest level to the
    lowest on a level datum, `tilt` the gradient of the best plane.  `gap` is the greatest under a straightedge of 2 m,
    `long_gap` of 3 m; `surface_class` is None where it is worse than any.  `wanted_m` is the gap that the finish
    allows.  `outline` is that of the building, m, None where none was given.
    `compound_mpa` is what the compound wants for the use and the finish.  `cheapest` is the name of
    the option that does and costs least with its hours, None where none does.
    """

    survey: FloorSurvey
    use: str
    floor: f.Floor
    plane: Plane
    deviations_m: tuple[float, ...]
    highest: int
    lowest: int
    fall_m: float
    tilt: float
    gap: f.Gap
    long_gap: f.Gap
    surface_class: str | None
    wanted_m: Sourced
    outline: Polygon | None
    prices: FloorPrices
    compound: f.Compound
    compound_mpa: Sourced
    options: tuple[PricedOption, ...]
    cheapest: str | None
    finishes: tuple[FinishState, ...]

    @property
    def outline_m2(self) -> float | None:
        """Area of the building, m2."""
        return None if self.outline is None else polygon_area_m2(self.outline)

    def named(self, name: str) -> PricedOption:
        """The option of a name; raises KeyError for another."""
        for priced in self.options:
            if priced.option.name == name:
                return priced
        raise KeyError(name)


def floor_prices(schedule: Schedule, own_hour: float | None = None) -> FloorPrices:
    """What a schedule has for levelling a floor.

    schedule: with `levelling_compound`, `grinder_day` and `labourer_hour`, money for each unit of sale.
    own_hour: money, 0 or more, that an hour of the owner is worth; None takes a labourer's.
    Returns FloorPrices: money for each kg, day and hour.
    Raises KeyError for a rate that is not in the schedule.
    Source: the schedule; units as it has them.

    >>> from calculators.schedule import Rate
    >>> rates = {key: Rate(key, 1.0, 2.0, 3.0, unit, size, 1.0, "a yard") for key, unit, size in
    ...          (("levelling_compound", "kg", 0.001), ("grinder_day", "day", 1.0), ("labourer_hour", "hour", 1.0))}
    >>> from types import SimpleNamespace
    >>> prices = floor_prices(SimpleNamespace(rates=rates))
    >>> prices.compound_per_kg.likely, prices.grinder_per_day.high, prices.hour
    (2.0, 3.0, 2.0)
    """
    def of(key: str, si_in_unit: float) -> Spread:
        rate = schedule.rates[key]
        return Spread(*(price / (rate.sale_unit_in_si * si_in_unit) for price in (rate.low, rate.likely, rate.high)))

    labourer = of("labourer_hour", 1.0)
    hour, whose = (labourer.likely, "labourer") if own_hour is None else (own_hour, "yours")
    return FloorPrices(of("levelling_compound", KG_IN_A_TONNE), of("grinder_day", 1.0), hour, whose)


# A page and the document beside it ask for the same floor one after the other.
@lru_cache(maxsize=8)
def floor_result(survey: FloorSurvey, use: str, prices: FloorPrices, outline: Polygon | None = None) -> FloorResult:
    """How a floor came out, what may be done about it at what cost, and what each finish still asks.

    survey: levels after the pour, m, four or more, and what is known of the slab.  use: storage, workshop, studio, garage (words).
    prices: money.  outline: of the building, m, anticlockwise; None for all that lies inside the string round the levels.
    Returns a FloorResult: m, m2, m3, h, money.
    Raises ValueError for levels that make no floor, as `flatness.floor_of` says, and for another finish, compound or use.
    Source: `flatness`.

    >>> flat = Spread(1.0, 1.0, 1.0)
    >>> levels = tuple((float(x), float(y), -0.008 if (x, y) == (1, 1) else 0.0) for x in range(4) for y in range(4))
    >>> found = floor_result(FloorSurvey(levels, "tiles"), "studio", FloorPrices(flat, flat, 10.0, "yours"))
    >>> found.surface_class, round(found.gap.gap_m, 4), found.cheapest
    ('SR3', 0.008, 'patch')
    """
    for given, known, what in ((survey.finish, FLOOR_FINISHES, "finish"), (survey.compound, COMPOUNDS, "compound"), (use, USES, "use")):
        if given not in known:
            raise ValueError(f"a {what} is {', '.join(known)}, not {given!r}")
    floor = f.floor_of(survey.levels_m, outline)
    plane = f.reference_plane(floor.levels_m, survey.against_level)
    deviations = f.deviations_m(floor.levels_m, plane)
    best = f.reference_plane(floor.levels_m)
    gap = f.straightedge_gap(floor)
    needs, compound = f.FINISHES[survey.finish], f.COMPOUNDS[survey.compound]
    wanted_mpa = max((f.COMPOUND_MPA_BY_USE[use], needs.compressive_mpa), key=lambda figure: figure.value)
    misfits = _misfits(needs, compound, wanted_mpa)
    priced = tuple(_priced(option, prices, compound, misfits) for option in f.options(floor, needs.gap_m.value, compound, survey.against_level))
    heights = [z for _, _, z in floor.levels_m]
    return FloorResult(
        survey=survey, use=use, floor=floor, plane=plane, deviations_m=deviations,
        highest=deviations.index(max(deviations)), lowest=deviations.index(min(deviations)),
        fall_m=max(heights) - min(heights), tilt=(best.east ** 2 + best.north ** 2) ** 0.5,
        gap=gap, long_gap=f.straightedge_gap(floor, f.LONG_STRAIGHTEDGE_M.value), surface_class=f.surface_class(gap.gap_m), wanted_m=needs.gap_m,
        outline=outline, prices=prices, compound=compound, compound_mpa=wanted_mpa,
        options=priced, cheapest=cheapest_of(priced),
        finishes=tuple(FinishState(name, f.FINISHES[name], f.finish_lacks(name, gap.gap_m, survey.humidity, survey.strength_mpa, survey.age_days)) for name in FLOOR_FINISHES))


def _misfits(needs: f.FinishNeeds, compound: f.Compound, wanted_mpa: Sourced) -> tuple[Misfit, ...]:
    """Why a compound does not suit a floor."""
    found = [] if needs.covers or compound.wears else [Misfit("face")]
    if compound.compressive_mpa.value < wanted_mpa.value:
        found.append(Misfit("strength", compound.compressive_mpa.value, wanted_mpa))
    return tuple(found)


def _priced(option: f.Option, prices: FloorPrices, compound: f.Compound, misfits: tuple[Misfit, ...]) -> PricedOption:
    cash = Spread(*(f.option_cash(option, getattr(prices.compound_per_kg, at), getattr(prices.grinder_per_day, at), compound.bag_kg.value) for at in ("low", "likely", "high")))
    thin = (Misfit("thickness", option.filled.least_m, compound.least_m),) if option.too_thin else ()
    return PricedOption(option, cash, cash.likely + option.hours * prices.hour, misfits + thin if option.bags else ())


def cheapest_of(priced: Sequence[PricedOption]) -> str | None:
    """The option that is enough, by a compound that suits, and costs least with its hours.

    priced: options, money and h.
    Returns its name (words), the earlier of two alike; None where none does.
    Source: definition.

    >>> cheapest_of(()) is None
    True
    """
    doing = [each for each in priced if each.does]
    return min(doing, key=lambda each: each.with_hours).option.name if doing else None


def gap_of_levels_m(levels_m: Sequence[Level], length_m: float = f.STRAIGHTEDGE_M.value) -> float:
    """Greatest gap under a straightedge, straight from the levels of a floor.

    levels_m: points (x, y, z), m, four or more.  length_m: of the straightedge, m, above 0 and at most 20.
    Returns gap, m.
    Raises ValueError as `flatness.floor_of` and `flatness.straightedge_gap_m` do.
    Source: as theirs.

    >>> round(gap_of_levels_m([(0, 0, 0.0), (1, 0, -0.004), (2, 0, 0.0), (0, 1, 0.0), (1, 1, -0.004), (2, 1, 0.0)]), 9)
    0.004
    """
    return f.straightedge_gap_m(f.floor_of(tuple(map(tuple, levels_m))), length_m)
