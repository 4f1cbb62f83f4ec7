"""Each pour of a scheme: how much to order, the day, and what is waited for afterwards.

`order_volume`, `pour`, `curing` and `weather` hold the sums; here they meet one
plot, one scheme and one date.  What the reader did not say is a stand-in, and
the record says which.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from calculators import works as w
from calculators.concrete_section import FOOTING_FCK_MPA
from calculators.crews import people_in_time, route_of
from calculators.curing import CURING_DAYS, STAGES, curing_rule, drying_days, frost_wait_days, stage_wait_days
from calculators.draws import ThreePoint
from calculators.materials import RUBBLE_BULKING, STONE_COMPACTED_T_PER_M3
from calculators.numbers import round_up, steps_up
from calculators.order_volume import (
    Against, Ordered, OrderTerms, PaidByUse, SecondPlace, UncertainVolume, against_rule_of_thumb, chance_of_second_visit, expected_used_cost,
    least_of, orders_weighed, slab_volume, trench_volume, volume_draws_m3,
)
from calculators.pour import (
    ALLOWANCE_H_PER_LOAD, COLDEST_SETTING_C, DISCHARGE_H, HOTTEST_SETTING_C, Crew, LoadTimes, PourDay, Route, Weather, barrow_trips, crew_wanted,
    pour_day, pour_rate, power_float_wait_h, weather_checks,
)
from calculators.pricing import FOOTING_H_PER_M3, SLAB_H_PER_M3, rate_named
from calculators.programme import Dates
from calculators.scenario import SURFACES, PlaceForSurplus, PourDayGiven, Scenario
from calculators.site import Site
from calculators.slab_on_ground import Panels
from calculators.sources import Sourced, common_practice
from calculators.stand import FLOOR_FCK_MPA, RAFT_FCK_MPA, floor_panels
from calculators.weather import place_of, season_month, sun_h, usual_concrete_c, usual_month
from calculators.works import Check
from calculators.yardsticks import RAFT

FOOTING_POUR, SLAB_POUR = "footing pour", "slab pour"

# What is ordered.
LEAST_LOAD_M3 = common_practice(1.0, "m3", "The least that a supplier of ready-mixed concrete brings.")
STAND_IN_PLACE = "a path bay or the base of a bin store"
STAND_IN_ROOM_M3 = common_practice(0.3, "m3", "A bay 1.2 m wide, 2.5 m long and 100 mm thick, dug and shuttered beforehand.")
VOLUMETRIC_LEAST_M3 = common_practice(1.0, "m3", "The least that a lorry which mixes on the spot charges for.")
VOLUMETRIC_MOST_M3 = common_practice(8.0, "m3", "What such a lorry mixes from one filling.")
BAGS_MOST_M3 = common_practice(1.5, "m3", "What four people turn out of one hired mixer in a day, wheeling and placing it too; more in one day is not thinkable.")
VOLUMETRIC, BAGS = "lorry that mixes on the spot", "mixing by hand from bags"

# What a cold joint costs.
CREW_KEPT_H = common_practice(4.0, "h", "The crew waits half a day for a second load, or comes again.")
MADE_GOOD_H = common_practice(6.0, "h", "A tradesman cuts the joint back, drills in bars, and makes good.")

# The day.
FEWEST_ASKED = common_practice(4.0, "people", "Fewer can neither empty a lorry nor finish a floor.")
MOST_ASKED = common_practice(8.0, "people", "As many as come for the asking, you among them.")
STRIP_M = common_practice(1.2, "m", "A slab is laid in strips as wide as two people strike off with ease.")
MOST_STRIPS = 50
HAND_TROWELLED_M2 = common_practice(15.0, "m2", "More than this is too much to trowel by hand before it is hard; a power float is hired.")
SAWN_SHARES = (common_practice(2.5, "", "Joints are sawn from this many waits for a power float after the last was placed: the saw no longer tears the edge."),
               common_practice(6.0, "", "And by so many after the first was placed: later it may have cracked where it liked."))

SURFACE_BY_USE = {"garage": "brushed", "storage": "floated"}
BRUSHED, FLOATED, TROWELLED, POWER_FLOATED = SURFACES
FLOOR_CURING_CLASS, FOOTING_CURING_CLASS = 3, 2
COLDEST_CURED_C = CURING_DAYS[FLOOR_CURING_CLASS][-1][0]


@dataclass(frozen=True)
class Alternative:
    """Concrete that is paid by what comes out, weighed on the same draws: money, and the chance (0 to 1) that one visit, or one day, is not enough."""

    paid: PaidByUse
    expected_cost: float
    chance_of_second: float


@dataclass(frozen=True)
class ColdJoint:
    """What it costs to run short, where the reader does not say: people kept so many hours, and a tradesman who makes the joint good; h, money an hour."""

    people: int
    kept_h: float
    labourer_per_h: float
    made_good_h: float
    tradesman_per_h: float

    @property
    def cost(self) -> float:
        """Money.  Source: hours common practice, rates the schedule's."""
        return self.people * self.kept_h * self.labourer_per_h + self.made_good_h * self.tradesman_per_h


@dataclass(frozen=True)
class Pour:
    """One pour: its task in the programme (`footing pour` or `slab pour`), its date, and all that belongs to it.

    `orders` are all orders that were weighed, `chosen` the cheapest of them;
    `against` holds it to net plus a tenth.  `weather_from` says whose weather
    it is.  Hours are of the clock.  `day` is None where it is too cold or too
    hot for times to be held; `checks` are then those of the weather.
    `crew_wanted` empties each lorry in its allowance, None where nobody could.
    `surface` is how it is finished; `saw_h` from and until which hour after
    midnight of the day of the pour joints are sawn, None where none are.
    `waits_days` has the shorter and the longer wait by the stages of
    `curing.STAGES`, `frost_days` those in which it must not freeze; both None
    below 0 degrees.  `covered_days` is how long it is kept wet or covered.

    `cold_joint` is how the cost of running short was worked out, None where it
    is the reader's; `place_assumed` says that nobody has said whether there is a second place.
    `way_from` is why concrete goes the way it does, `run_m` how far the lorry
    stands off.  `crew_in_time` empties each lorry before its concrete is too
    old, and `pump_crew` the same with a pump; None where nobody could.
    `in_time_m3` is the largest load that the crew empties so.  `mean_c` is the air over day and night, by
    which it hardens, `night_c` the lowest that nights of that month usually
    have, both in degrees Celsius.  `panels` are those that joints cut, None
    for a raft and a footing.
    """

    key: str
    name: str
    date: date
    net_m3: float
    area_m2: float
    thickness_m: float
    volume: UncertainVolume
    terms: OrderTerms
    orders: tuple[Ordered, ...]
    chosen: Ordered
    alternatives: tuple[Alternative, ...]
    against: Against
    crew: Crew
    route: Route
    weather: Weather
    weather_from: str
    sunrise_h: float
    sunset_h: float
    dusk_h: float
    day: PourDay | None
    checks: tuple[Check, ...]
    crew_wanted: Crew | None
    surface: str
    saw_h: tuple[float, float] | None
    waits_days: dict[str, tuple[float, float]] | None
    frost_days: tuple[float, float] | None
    covered_days: Sourced | None
    drying_days: ThreePoint
    fck_mpa: float
    cold_joint: ColdJoint | None
    place_assumed: bool
    way_from: str
    run_m: float
    rate_m3_per_h: float
    held_up_by: str
    trips: int
    allowance_h: float
    waiting_per_h: float
    strips: int
    crew_in_time: Crew | None
    pump_crew: Crew | None
    in_time_m3: float
    mean_c: float
    night_c: float
    panels: Panels | None

    @property
    def people(self) -> int:
        """All who work at it.  Source: definition."""
        return self.crew.barrows + self.crew.placers

    @property
    def strikes_only(self) -> bool:
        """Whether it is levelled as it is placed and not finished as a floor is: a footing.  Source: definition."""
        return self.key == FOOTING_POUR

    @property
    def latest_first_h(self) -> float | None:
        """Hour of the day by which the first lorry must be there if all is to be finished by dusk, h; None without times.  Source: arithmetic."""
        return None if self.day is None else self.day.loads[0].arrives_h + self.dusk_h - self.day.finished_h

    def free_until_h(self, load: LoadTimes) -> float:
        """Hour of the day from which a lorry's waiting is charged, h.  Source: the supplier's terms."""
        return load.arrives_h + self.allowance_h

    def too_old_h(self, load: LoadTimes) -> float:
        """Hour of the day from which what is still in a lorry is not to be used, h.  Source: BS 8500-2, 14.2."""
        return load.batched_h + DISCHARGE_H.value

    def join_until_h(self, load: LoadTimes) -> float | None:
        """Hour of the day by which fresh concrete must meet a lorry's, h; None without times.  Source: `pour.join_by_h`."""
        return None if self.day is None else load.batched_h + self.day.join_by_h


def pours_of(site: Site, result, dates: Dates) -> tuple[Pour, ...]:
    """Every pour of a scheme, on its day in the programme.

    site; result: of the comparison; dates: of the programme.
    Returns Pours in their order: m3, money, h, days, degrees Celsius.
    Raises MissingRate, and ValueError for a crew that cannot do it or figures that `order_volume` and `pour` refuse.
    Source: that of each function that is used; stand-ins are common practice, no source.
    """
    tasks = {dated.task.key: dated for dated in dates.tasks}
    return tuple(_pour(site, result, shape, tasks[shape.key].start) for shape in _shapes(site, result) if shape.key in tasks)


# What is poured.


@dataclass(frozen=True)
class _Shape:
    """One pour as it is drawn: m3, m2, m, MPa, h/m3."""

    key: str
    name: str
    volume: UncertainVolume
    area_m2: float
    thickness_m: float
    fck_mpa: float
    place_h_per_m3: float
    strips: int
    panels: Panels | None

    @property
    def is_floor(self) -> bool:
        return self.key == SLAB_POUR


def _shapes(site: Site, result) -> Iterator[_Shape]:
    works = result.works
    footing_m3, slab_m3 = works.volume_m3(w.FOOTING), works.volume_m3(w.SLAB)
    if footing_m3 > 0.0:
        width, thickness = works.sizes["footing_width_m"], works.sizes["footing_thickness_m"]
        area = footing_m3 / thickness
        # A ring of trench: the last concrete meets the first.
        yield _Shape(FOOTING_POUR, "Footings", trench_volume(footing_m3, area / width, width, thickness), area, thickness, FOOTING_FCK_MPA.value,
                     FOOTING_H_PER_M3.value, 1, None)
    if slab_m3 > 0.0:
        raft, area = result.id == RAFT, result.quantities["floor_m2"]
        strips = min(MOST_STRIPS, max(1, steps_up(site.plan.size_m()[0], STRIP_M.value)))
        if raft:
            yield _Shape(SLAB_POUR, "Raft, edge and slab in one", _raft_volume(site, works, slab_m3), area, works.slab_thickness_m, RAFT_FCK_MPA.value,
                         SLAB_H_PER_M3.value, strips, None)
        else:
            edge_m = site.plan.inset_perimeter_m(works.sizes["block_thickness_m"])
            yield _Shape(SLAB_POUR, "Floor slab", slab_volume(slab_m3, area, edge_m, works.slab_thickness_m), area, works.slab_thickness_m, FLOOR_FCK_MPA.value,
                         SLAB_H_PER_M3.value, strips, floor_panels(site, works))


def _raft_volume(site: Site, works: w.Works, net_m3: float) -> UncertainVolume:
    """A raft: a slab whose forms stand as high as its edge is deep, with a bed and an inner face under the edge that are dug like a trench.

    What the survey got wrong moves the dig, not the concrete: bed and forms are set to the bench mark.
    """
    plan, width = site.plan, works.sizes["edge_width_m"]
    ring_m, depth_m = plan.inset_perimeter_m(width / 2.0), works.measures["formwork_m2"] / plan.perimeter_m
    below_m, ring_m2 = depth_m - works.slab_thickness_m, ring_m * width
    slab = slab_volume(net_m3, plan.area_m2, plan.perimeter_m, min(1.0, depth_m))
    if below_m < 0.05:
        return slab
    dug = {part.key: part for part in trench_volume(net_m3, ring_m, width, min(3.0, below_m)).parts}
    # Of a trench's two faces the outer one stands in forms here.
    face = replace(dug["trench line"], key="edge line", label="inner face of the edge cut further in than drawn", m3_per_unit=dug["trench line"].m3_per_unit / 2.0)
    bed = replace(dug["trench bed"], key="edge bed", label="bed under the edge lower than drawn")
    parts = [replace(part, m3_per_unit=max(0.0, plan.area_m2 - ring_m2)) if part.key == "bed" else part for part in slab.parts]
    return UncertainVolume(net_m3, (*parts, bed, face))


# What is ordered.


def _per_si(scenario: Scenario, key: str) -> float:
    """The likely rate, money for each SI unit."""
    rate = rate_named(scenario, key)
    return rate.likely / rate.sale_unit_in_si


def _terms(scenario: Scenario, cold_joint: float) -> OrderTerms:
    products, concrete, price = scenario.schedule.products, rate_named(scenario, "ready_mixed_concrete"), _per_si(scenario, "ready_mixed_concrete")
    step_m3 = concrete.step * concrete.sale_unit_in_si
    # What else would lie there: stone, as much of it.
    stone_worth = _per_si(scenario, "sub_base_stone") * STONE_COMPACTED_T_PER_M3.value
    places = (PlaceForSurplus(STAND_IN_PLACE, STAND_IN_ROOM_M3.value),) if scenario.pour.places is None else scenario.pour.places
    return OrderTerms(
        step_m3=step_m3, least_m3=min(products.concrete_lorry_m3, round_up(LEAST_LOAD_M3.value, step_m3)), lorry_m3=products.concrete_lorry_m3,
        full_from_m3=products.concrete_full_charge_from_m3, price_per_m3=price, part_load_per_m3=_per_si(scenario, "part_load_charge"), cold_joint=cold_joint,
        away_per_m3=_per_si(scenario, "rubble_away") * RUBBLE_BULKING.value,
        places=tuple(SecondPlace(place.name, place.room_m3, min(price, stone_worth if place.worth_per_m3 is None else place.worth_per_m3)) for place in places))


def _paid_by_use(scenario: Scenario, net_m3: float) -> tuple[PaidByUse, ...]:
    lorry = PaidByUse(
        VOLUMETRIC, _per_si(scenario, "volumetric_concrete"), VOLUMETRIC_LEAST_M3.value, _per_si(scenario, "volumetric_visit"), VOLUMETRIC_MOST_M3.value)
    if net_m3 > BAGS_MOST_M3.value:
        return (lorry,)
    return (lorry, PaidByUse(BAGS, _per_si(scenario, "bagged_concrete"), 0.0, 0.0, BAGS_MOST_M3.value))


# A job is dated twice, and the order does not depend on the date.
@lru_cache(maxsize=256)
def _weighed(volume: UncertainVolume, terms: OrderTerms, paid: tuple[PaidByUse, ...]) -> tuple[tuple[Ordered, ...], Ordered, tuple[Alternative, ...], Against]:
    drawn_m3 = volume_draws_m3(volume)
    orders = orders_weighed(drawn_m3, terms)
    others = tuple(Alternative(one, expected_used_cost(drawn_m3, one), chance_of_second_visit(drawn_m3, one)) for one in paid)
    return orders, least_of(orders), others, against_rule_of_thumb(volume, terms)


# The day.


def _usual_people(scenario: Scenario, shape: _Shape) -> int:
    wanted = people_in_time(scenario, shape.volume.net_m3, shape.place_h_per_m3)
    return min(int(MOST_ASKED.value), max(int(FEWEST_ASKED.value), wanted))


def _crew(given: PourDayGiven, people: int, route: Route, place_h_per_m3: float) -> Crew:
    """So many people, shared out between barrows and placing so that most is placed in an hour, where nobody has said."""
    if people < 1:
        raise ValueError(f"a pour wants 1 to 20 people, not {people}")
    if route.way != "barrow":
        return Crew(0, people, given.first_time)
    if given.barrows is not None:
        # Somebody wheels each barrow, and somebody must be left at the slab.
        return Crew(max(1, min(given.barrows, people - 1)), max(1, people - max(1, given.barrows)), given.first_time)
    crews = [Crew(barrows, max(1, people - barrows), given.first_time) for barrows in range(1, max(2, people))]
    return max(crews, key=lambda crew: (pour_rate(crew, route, place_h_per_m3)[0], -crew.barrows))


def _weather(site: Site, day: date) -> tuple[Weather, str, float, float]:
    """The weather of a day, whose it is, its mean over day and night, and the lowest of its nights, degrees Celsius."""
    scenario, given = site.scenario, site.scenario.pour
    place = place_of(scenario.region)
    latitude = place.latitude_deg if given.latitude_deg is None else given.latitude_deg
    month = usual_month(scenario.region, season_month(day.month, latitude))
    air_c = month.working_c if given.air_c is None else given.air_c
    typed = [value is not None for value in (given.air_c, given.humidity, given.wind_m_per_s)]
    usual = f"what the month usually brings to {place.words}, an assumption from memory"
    words = "what you typed in" if all(typed) else f"what you typed in, and for the rest {usual}" if any(typed) else usual
    weather = Weather(
        air_c, month.humidity if given.humidity is None else given.humidity, month.wind_m_per_s if given.wind_m_per_s is None else given.wind_m_per_s,
        usual_concrete_c(air_c) if given.concrete_c is None else given.concrete_c)
    # The night after a day warmer or colder than usual is taken to be so too.
    unusual_c = air_c - month.working_c
    return weather, words, month.mean_c + unusual_c, month.low_c + unusual_c


def _surface(scenario: Scenario, area_m2: float) -> str:
    usual = TROWELLED if area_m2 <= HAND_TROWELLED_M2.value else POWER_FLOATED
    return scenario.pour.surface or SURFACE_BY_USE.get(scenario.building.use, usual)


def _sawn_h(shape: _Shape, site: Site, day: PourDay | None, air_c: float) -> tuple[float, float] | None:
    """From and until which hour joints are sawn."""
    panels = shape.panels
    if panels is None or day is None or (panels.along == panels.across == 1 and len(site.plan.corners) <= 4):
        return None
    (first, last), wait_h = SAWN_SHARES, power_float_wait_h(air_c)
    from_h = day.loads[-1].empty_h + first.value * wait_h
    return from_h, max(from_h, day.loads[0].starts_h + last.value * wait_h)


def _pour(site: Site, result, shape: _Shape, day_of_pour: date) -> Pour:
    scenario, given = site.scenario, site.scenario.pour
    route, way_from, run_m = route_of(scenario)
    people = _usual_people(scenario, shape) if given.people is None else given.people
    crew = _crew(given, people, route, shape.place_h_per_m3)
    joint = None
    if given.cold_joint_cost is None:
        joint = ColdJoint(crew.barrows + crew.placers, CREW_KEPT_H.value, _per_si(scenario, "labourer_hour"), MADE_GOOD_H.value, _per_si(scenario, "tradesman_hour"))
    net_m3 = shape.volume.net_m3
    terms = _terms(scenario, given.cold_joint_cost if joint is None else joint.cost)
    orders, chosen, alternatives, against = _weighed(shape.volume, terms, _paid_by_use(scenario, net_m3))

    weather, weather_from, mean_c, night_c = _weather(site, day_of_pour)
    sunrise_h, sunset_h, dusk_h = sun_h(scenario.region, day_of_pour, given.latitude_deg)
    allowance_h = ALLOWANCE_H_PER_LOAD.value if given.allowance_h is None else given.allowance_h
    waiting_per_h = _per_si(scenario, "lorry_waiting_hour")
    surface = _surface(scenario, shape.area_m2) if shape.is_floor else FLOATED
    day = None
    if COLDEST_SETTING_C <= min(weather.air_c, weather.concrete_c) and max(weather.air_c, weather.concrete_c) <= HOTTEST_SETTING_C:
        day = pour_day(
            chosen.loads_m3, crew, route, weather, given.first_lorry_h, dusk_h, sunrise_h=sunrise_h, strips=shape.strips, travel_h=given.travel_h,
            apart_h=given.lorries_apart_h, allowance_h=allowance_h, waiting_per_h=waiting_per_h, place_h_per_m3=shape.place_h_per_m3,
            trowelled=surface in (TROWELLED, POWER_FLOATED), floated=shape.is_floor)
    rate, held_up_by = pour_rate(crew, route, shape.place_h_per_m3)

    keeps_h = max(0.0, DISCHARGE_H.value - given.travel_h)

    def empties(within_h: float, by: Route = route) -> Crew | None:
        return crew_wanted(max(chosen.loads_m3), within_h, by, given.first_time, shape.place_h_per_m3) if within_h > 0.0 else None

    hardens, thickness_m = mean_c >= 0.0, min(0.4, shape.thickness_m)
    return Pour(
        key=shape.key, name=shape.name, date=day_of_pour, net_m3=net_m3, area_m2=shape.area_m2, thickness_m=shape.thickness_m,
        volume=shape.volume, terms=terms, orders=orders, chosen=chosen, alternatives=alternatives, against=against,
        crew=crew, route=route, weather=weather, weather_from=weather_from, sunrise_h=sunrise_h, sunset_h=sunset_h, dusk_h=dusk_h,
        day=day, checks=weather_checks(weather) if day is None else day.checks, crew_wanted=empties(allowance_h), surface=surface,
        saw_h=_sawn_h(shape, site, day, weather.air_c),
        waits_days={stage: stage_wait_days(stage, shape.fck_mpa, mean_c, given.cement) for stage in STAGES} if hardens else None,
        frost_days=frost_wait_days(shape.fck_mpa, mean_c, given.cement) if hardens else None,
        covered_days=curing_rule(mean_c, given.cement, FLOOR_CURING_CLASS if shape.is_floor else FOOTING_CURING_CLASS) if mean_c >= COLDEST_CURED_C else None,
        drying_days=drying_days(thickness_m), fck_mpa=shape.fck_mpa, cold_joint=joint, place_assumed=given.places is None, way_from=way_from, run_m=run_m,
        rate_m3_per_h=rate, held_up_by=held_up_by, trips=barrow_trips(chosen.order_m3, crew.barrow_m3) if route.way == "barrow" else 0,
        allowance_h=allowance_h, waiting_per_h=waiting_per_h, strips=shape.strips, crew_in_time=empties(keeps_h),
        pump_crew=empties(keeps_h, Route("pump")), in_time_m3=rate * keeps_h, mean_c=mean_c, night_c=night_c, panels=shape.panels)
