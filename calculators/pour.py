"""The day of the pour: barrows, lorry, weather, and when to float.

Concrete waits for nobody.  From the moment it is batched it is on its way to
setting; heat hurries it, cold holds it up, sun and wind dry its face.  These
sums show whether the crew, the route and the day fit each other.  They are for
planning: on the day the concrete itself says when it is ready.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from calculators.barrows import BARROW_M3, FIRST_TIME, LONGEST_RUN_M, PAID_BARROW_M3, STEEPEST_RUN, barrow_round_h
from calculators.numbers import steps_up
from calculators.pricing import CHUTE_REACH_M, SLAB_H_PER_M3
from calculators.site import TOLERANCE, check_at_least, check_at_most
from calculators.sources import MEMORY, READ, Sourced, common_practice
from calculators.works import Check

METHOD = "pour"

# Barrows and hands.
CHUTE_H_PER_BARROW = common_practice(0.5 / 60.0, "h", "One barrow under the chute at a time; the next cannot fill before it has gone.")
CHUTE_M3_PER_H = common_practice(12.0, "m3/h", "Straight down the chute, spread as it comes.")
PUMP_M3_PER_H = common_practice(15.0, "m3/h", "A small line pump.")
WAYS = ("barrow", "chute", "pump")

# The lorry and its clock.
ALLOWANCE_H_PER_LOAD = common_practice(0.5, "h", "Time to empty a lorry before waiting is charged; ask, as it differs widely.")
DISCHARGE_H = Sourced(2.0, "h", "bs-8500", "BS 8500-2, 14.2", READ, "From loading to the end of discharge.")

# Setting, floating, trowelling.
# (air temperature, degrees Celsius): wait from placing until a power float may go on, h.
POWER_FLOAT_WAITS: tuple[tuple[float, Sourced], ...] = (
    (10.0, Sourced(4.25, "h", "ascc-15", "survey of finishers, 50 degrees Fahrenheit", READ)),
    (21.0, Sourced(2.75, "h", "ascc-15", "survey of finishers, 70 degrees Fahrenheit", READ)),
    (32.0, Sourced(1.75, "h", "ascc-15", "survey of finishers, 90 degrees Fahrenheit", READ)),
)
INITIAL_SET_H = common_practice(4.0, "h", "From batching to initial set at 20 degrees, ordinary cement without a retarder; a cement with much slag or ash takes longer.")
INITIAL_SET_AT_C = 20.0
JOIN_SHARE = common_practice(0.75, "", "Fresh concrete knits to what was placed before, if that has used up no more than this share of its time to set.")
FLOAT_SHARE = common_practice(0.6, "", "Bleed water is mostly gone and a bull float or wood float may follow at this share of the wait for a power float.")
TROWEL_SHARES = (common_practice(1.2, "", "First trowelling begins at this share of the wait for a power float."),
                 common_practice(2.0, "", "The last trowelling is over by this share; later the face is too hard."))
COLDEST_SETTING_C, HOTTEST_SETTING_C = 5.0, 35.0

# Drying and cold.
EVAPORATION_LIMIT_KG_PER_M2H = Sourced(1.0, "kg/m2h", "ufgs-03-30-00", "citing ACI 305R", READ, "Act from here on: windbreak, fog, cover, or another day.")
EVAPORATION_CAUTION_KG_PER_M2H = Sourced(0.5, "kg/m2h", "aci-305", "cautionary rate", MEMORY, "Concrete that bleeds little cracks from here on.")
BLEEDING_KG_PER_M2H = common_practice(0.75, "kg/m2h", "What ordinary concrete sheds; 0.5 to 1.5 is usual, and less with ash, fume or air in it.")
BLEED_SHARE = common_practice(0.01, "", "Water that rises in all, over the thickness of the slab; 0.5 to 2 % is usual.")
COLDEST_DELIVERED_C = Sourced(5.0, "degree C", "nhbc-standards", "3.2.4", READ, "Concrete not below this when it is delivered.")
COLDEST_MIXING_C = Sourced(2.0, "degree C", "nhbc-standards", "3.2.4", READ, "Mixing on site stops when the air is down to this.")
HOTTEST_CONCRETE_C = common_practice(30.0, "degree C", "Hotter concrete stiffens before a small crew has placed it.")

# Daylight.
SUN_ON_HORIZON_DEG = common_practice(0.833, "degree", "The sun's middle is this far below when its rim is seen to rise or set: half its width, and air that bends light.")
LITTLE_TO_SPARE_H = common_practice(1.0, "h", "Less daylight to spare than this is close.")
DUSK_DEG = common_practice(6.0, "degree", "Civil twilight: below this, work needs lamps.")


@dataclass(frozen=True)
class Route:
    """How concrete goes from lorry to slab: barrow, chute or pump; length m and slope (rise or fall over length) of the barrow run.

    Raises ValueError for a way that is not held, a run out of range, or a chute that does not reach.
    """

    way: str
    length_m: float = 0.0
    slope: float = 0.0

    def __post_init__(self):
        if self.way not in WAYS:
            raise ValueError(f"concrete goes by {', '.join(WAYS)}, not {self.way!r}")
        if self.way == "barrow" and not 0.0 <= self.length_m <= LONGEST_RUN_M.value + TOLERANCE:
            raise ValueError(f"a barrow run must be 0 to {LONGEST_RUN_M.value:g} m, not {self.length_m} m: beyond that, a pump")
        if self.way == "barrow" and not abs(self.slope) <= STEEPEST_RUN.value + TOLERANCE:
            raise ValueError(f"a barrow run may slope at most {STEEPEST_RUN.value:g}, up or down, not {self.slope}: lay a longer run of boards, or pump")
        if self.way == "chute" and not 0.0 <= self.length_m <= CHUTE_REACH_M.value + TOLERANCE:
            raise ValueError(f"a lorry's chute reaches {CHUTE_REACH_M.value:g} m, not {self.length_m} m: use barrows or a pump")


@dataclass(frozen=True)
class Crew:
    """Who is there: people with barrows, people who place and level, and whether it is their first time.

    Raises ValueError for other than 0 to 20 barrows or 1 to 20 placers.
    """

    barrows: int
    placers: int
    first_time: bool = True

    def __post_init__(self):
        if not (0 <= self.barrows <= 20 and 1 <= self.placers <= 20):
            raise ValueError(f"a crew has 0 to 20 barrows and 1 to 20 people placing, not {self.barrows} and {self.placers}")

    @property
    def factor(self) -> float:
        """How many times a practised crew's hours they take, no unit.  Source: common practice."""
        return FIRST_TIME.value if self.first_time else 1.0

    @property
    def barrow_m3(self) -> float:
        """What they wheel at a time, m3.  Source: early handbooks for paid gangs; for a first-timer common practice."""
        return BARROW_M3.value if self.first_time else PAID_BARROW_M3.value


@dataclass(frozen=True)
class Weather:
    """The weather of the pour: air and concrete in degrees Celsius, relative humidity 0 to 1, wind in m/s.

    Raises ValueError for air of other than -20 to 50, concrete of other than 0 to 45, or wind above 30 m/s.
    """

    air_c: float
    humidity: float
    wind_m_per_s: float
    concrete_c: float

    def __post_init__(self):
        _check_weather(self.air_c, self.humidity, self.wind_m_per_s, self.concrete_c)

    @property
    def evaporation_kg_per_m2h(self) -> float:
        """Water that the face loses, kg/m2h.  Source: `evaporation_kg_per_m2h`."""
        return evaporation_kg_per_m2h(self.air_c, self.humidity, self.wind_m_per_s, self.concrete_c)


@dataclass(frozen=True)
class LoadTimes:
    """One lorry: m3, and hours of the day at which it was batched, arrives, starts, is empty, with waiting charged, h."""

    load_m3: float
    batched_h: float
    arrives_h: float
    starts_h: float
    empty_h: float
    waiting_h: float


@dataclass(frozen=True)
class PourDay:
    """The day worked out; hours count from midnight by the clock that the first arrival was given in.

    `face_h` is how old the edge of the concrete gets, from batching, before fresh concrete meets it; `join_by_h` the age by which it must.
    `float_h`, `power_float_h`, `trowel_h` and `finished_h` are hours of the day for what was placed last, the last thing to be finished;
    `first_float_h` for what was placed first.  `trips` is 0 without barrows.
    """

    rate_m3_per_h: float
    held_up_by: str
    trips: int
    loads: tuple[LoadTimes, ...]
    waiting_h: float
    waiting_charge: float
    face_h: float
    join_by_h: float
    first_float_h: float
    float_h: float
    power_float_h: float
    trowel_h: float
    finished_h: float
    evaporation_kg_per_m2h: float
    checks: tuple[Check, ...]


# Barrows and hands.


def barrow_trips(volume_m3: float, barrow_m3: float = BARROW_M3.value) -> int:
    """Barrow loads in a pour.

    volume_m3: m3, 0 or more.  barrow_m3: what one is filled with, m3, 0.01 to 0.2.
    Returns trips, no unit.
    Raises ValueError outside those ranges.
    Source: definition; 0.045 m3 for a first-timer is common practice, 2 cubic feet in paid gangs early handbooks.

    >>> barrow_trips(5.5), barrow_trips(5.5, PAID_BARROW_M3.value)
    (123, 98)
    """
    if not (volume_m3 >= 0.0 and 0.01 <= barrow_m3 <= 0.2):
        raise ValueError(f"a volume must be 0 m3 or more and a barrow 0.01 to 0.2 m3, not {volume_m3} and {barrow_m3} m3")
    return steps_up(volume_m3, barrow_m3)


def carry_m3_per_h(crew: Crew, route: Route) -> float:
    """What comes from the lorry to the slab in an hour.

    crew, route: as given, m.
    Returns m3/h; barrows are held to what one chute can fill in turn.
    Raises ValueError for barrowing without barrows.
    Source: `barrow_round_h`; chute and pump common practice.

    >>> round(carry_m3_per_h(Crew(4, 3), Route("barrow", 30.0)), 2), carry_m3_per_h(Crew(0, 3), Route("pump"))
    (2.7, 7.5)
    """
    if route.way == "barrow":
        if crew.barrows == 0:
            raise ValueError("concrete goes by barrow, so the crew needs at least 1 barrow; 3 or 4 are usual")
        each_h = max(barrow_round_h(route.length_m, route.slope, crew.first_time) / crew.barrows, CHUTE_H_PER_BARROW.value * crew.factor)
        return crew.barrow_m3 / each_h
    return (CHUTE_M3_PER_H if route.way == "chute" else PUMP_M3_PER_H).value / crew.factor


def place_m3_per_h(crew: Crew, place_h_per_m3: float = SLAB_H_PER_M3.value) -> float:
    """What the people at the slab can spread, compact and strike off in an hour.

    crew: as given.  place_h_per_m3: a first-timer's hours for each m3, 0.2 to 10.
    Returns m3/h.
    Raises ValueError outside that range.
    Source: hours common practice, no source; a practised crew takes half of them.

    >>> place_m3_per_h(Crew(4, 4)), place_m3_per_h(Crew(4, 4, first_time=False))
    (2.0, 4.0)
    """
    if not 0.2 <= place_h_per_m3 <= 10.0:
        raise ValueError(f"placing takes 0.2 to 10 h for each m3, not {place_h_per_m3}")
    return crew.placers / place_h_per_m3 * FIRST_TIME.value / crew.factor


def pour_rate(crew: Crew, route: Route, place_h_per_m3: float = SLAB_H_PER_M3.value) -> tuple[float, str]:
    """Cubic metres an hour, and what holds it up: carrying or placing.

    crew, route: as given, m.  place_h_per_m3: a first-timer's hours, 0.2 to 10.
    Returns m3/h and a word.
    Raises ValueError as `carry_m3_per_h` and `place_m3_per_h` do.
    Source: the slower of the two.

    >>> pour_rate(Crew(4, 4), Route("barrow", 30.0))
    (2.0, 'placing')
    """
    carry, place = carry_m3_per_h(crew, route), place_m3_per_h(crew, place_h_per_m3)
    return (carry, "carrying") if carry < place else (place, "placing")


def crew_wanted(load_m3: float, within_h: float, route: Route, first_time: bool = True, place_h_per_m3: float = SLAB_H_PER_M3.value) -> Crew | None:
    """The smallest crew that empties a lorry in a time.

    load_m3: above 0 and at most 20 m3.  within_h: h, above 0.  route: m.  first_time: yes takes twice the hours.
    Returns a Crew, or None where 20 barrows or 20 people placing are not enough, or the chute or pump is too slow.
    Raises ValueError outside those ranges.
    Source: `pour_rate`.

    >>> crew_wanted(5.0, 2.0, Route("barrow", 20.0))
    Crew(barrows=4, placers=5, first_time=True)
    """
    if not (0.0 < load_m3 <= 20.0 and within_h > 0.0):
        raise ValueError(f"a load must be above 0 and at most 20 m3 and the time above 0 h, not {load_m3} m3 and {within_h} h")
    wanted = load_m3 / within_h - TOLERANCE
    placers = next((count for count in range(1, 21) if place_m3_per_h(Crew(0, count, first_time), place_h_per_m3) >= wanted), None)
    choices = range(1, 21) if route.way == "barrow" else (0,)
    barrows = next((count for count in choices if carry_m3_per_h(Crew(count, 1, first_time), route) >= wanted), None)
    return None if placers is None or barrows is None else Crew(barrows, placers, first_time)


# The lorry's clock.


def waiting_h(unload_h: float, allowance_h: float = ALLOWANCE_H_PER_LOAD.value) -> float:
    """Time that a lorry stands beyond what its price allows.

    unload_h: h, 0 or more.  allowance_h: for the load, h, 0 or more.
    Returns hours charged, h.
    Raises ValueError outside those ranges.
    Source: the supplier's terms; half an hour a load is common practice.

    >>> waiting_h(1.5), waiting_h(0.4)
    (1.0, 0.0)
    """
    if not (unload_h >= 0.0 and allowance_h >= 0.0):
        raise ValueError(f"times must be 0 h or more, not {unload_h} and {allowance_h} h")
    return max(0.0, unload_h - allowance_h)


def load_times(
    loads_m3: Sequence[float], rate_m3_per_h: float, first_arrives_h: float, travel_h: float = 0.5, apart_h: float | None = None,
    allowance_h: float = ALLOWANCE_H_PER_LOAD.value,
) -> tuple[LoadTimes, ...]:
    """Lorries one after another, on one day.

    loads_m3: each above 0 and at most 20 m3.  rate_m3_per_h: above 0.  first_arrives_h: hour of the day, 0 to 24 h.
    travel_h: from batching to the gate, 0 to 2 h.  apart_h: from one arrival to the next, h, 0 or more; None: each comes as the last is empty.
    allowance_h: for each load, h, 0 or more; it runs from arrival.
    Returns LoadTimes, h and m3.
    Raises ValueError outside those ranges.
    Source: arithmetic.

    >>> first, second = load_times([6.0, 1.5], 3.0, 9.0)
    >>> (first.empty_h, first.waiting_h, second.arrives_h, second.empty_h, second.batched_h)
    (11.0, 1.5, 11.0, 11.5, 10.5)
    """
    if not loads_m3 or not all(0.0 < load_m3 <= 20.0 for load_m3 in loads_m3):
        raise ValueError(f"every load must be above 0 and at most 20 m3, and there must be one, not {list(loads_m3)}")
    if not (0.0 < rate_m3_per_h < math.inf and 0.0 <= first_arrives_h <= 24.0 and 0.0 <= travel_h <= 2.0 and (apart_h is None or apart_h >= 0.0)):
        raise ValueError(
            "a rate above 0 m3/h, an arrival at 0 to 24 h, travel of 0 to 2 h and lorries 0 h or more apart are wanted, "
            f"not {rate_m3_per_h} m3/h, {first_arrives_h}, {travel_h} and {apart_h} h")
    found: list[LoadTimes] = []
    for place, load_m3 in enumerate(loads_m3):
        free_h = found[-1].empty_h if found else first_arrives_h
        arrives_h = free_h if apart_h is None else first_arrives_h + place * apart_h
        starts_h = max(arrives_h, free_h)
        empty_h = starts_h + load_m3 / rate_m3_per_h
        found.append(LoadTimes(load_m3, arrives_h - travel_h, arrives_h, starts_h, empty_h, waiting_h(empty_h - arrives_h, allowance_h)))
    return tuple(found)


# Setting.


def power_float_wait_h(air_c: float) -> float:
    """Wait from placing until a power float may go on; a foot then leaves a print of a few millimetres.

    air_c: degrees Celsius, 5 to 35.
    Returns hours, h; sun and wind shorten it, a cold sub-base and slow cements lengthen it.
    Raises ValueError outside that range.
    Source: American Society of Concrete Contractors, position statement 15, a survey of finishers; between its temperatures the logarithm of
    the wait goes on straight lines, which is common practice.

    >>> [round(power_float_wait_h(air_c), 2) for air_c in (10.0, 21.0, 32.0)]
    [4.25, 2.75, 1.75]
    """
    if not COLDEST_SETTING_C <= air_c <= HOTTEST_SETTING_C:
        raise ValueError(f"waits are held for air of {COLDEST_SETTING_C:g} to {HOTTEST_SETTING_C:g} degrees Celsius, not {air_c}: in cold or heat beyond that, do not pour a floor")
    pairs = list(zip(POWER_FLOAT_WAITS, POWER_FLOAT_WAITS[1:]))
    (cool_c, cool), (warm_c, warm) = next((pair for pair in pairs if air_c <= pair[1][0]), pairs[-1])
    return cool.value * (warm.value / cool.value) ** ((air_c - cool_c) / (warm_c - cool_c))


def initial_set_h(concrete_c: float, at_usual_h: float = INITIAL_SET_H.value) -> float:
    """Time from batching to initial set: from then on it cannot be worked into one piece.

    concrete_c: degrees Celsius, 5 to 35.  at_usual_h: at 20 degrees, h, 1 to 24; the supplier's figure where there is a retarder.
    Returns hours, h.
    Raises ValueError outside those ranges.
    Source: common practice, no source; with temperature it goes as the wait before power floating does.

    >>> [round(initial_set_h(concrete_c), 1) for concrete_c in (10.0, 20.0, 30.0)]
    [5.9, 4.0, 2.7]
    """
    if not 1.0 <= at_usual_h <= 24.0:
        raise ValueError(f"initial set at 20 degrees must be 1 to 24 h, not {at_usual_h} h")
    return at_usual_h * power_float_wait_h(concrete_c) / power_float_wait_h(INITIAL_SET_AT_C)


def face_age_h(loads: Sequence[LoadTimes], strips: int) -> float:
    """How old, from batching, the edge of what is placed gets before fresh concrete meets it.

    loads: as timed, h.  strips: in how many strips the pour is laid across, all the same way, 1 to 50;
    with 1 the last concrete meets the first, as in a ring of trench.
    Returns hours, h: travel, waiting, time in the drum, one strip of placing, and the gaps between lorries that fall into it.
    Raises ValueError outside that range or without loads.
    Source: arithmetic.

    >>> face_age_h(load_times([6.0], 3.0, 9.0), 1), face_age_h(load_times([6.0, 3.0], 3.0, 9.0), 6)
    (2.5, 3.0)
    """
    if not (loads and 1 <= strips <= 50):
        raise ValueError(f"a pour needs loads and 1 to 50 strips, not {len(loads)} loads and {strips} strips")
    placing_h = sum(load.empty_h - load.starts_h for load in loads)
    strip_h = placing_h / strips
    oldest_h, before_h = 0.0, 0.0
    for place, load in enumerate(loads):
        # What is placed in the last strip is met by nothing.
        if before_h <= placing_h - strip_h + TOLERANCE:
            oldest_h = max(oldest_h, _after_placing_h(loads, place, strip_h) - load.batched_h)
        before_h += load.empty_h - load.starts_h
    return oldest_h


def _after_placing_h(loads: Sequence[LoadTimes], place: int, placing_h: float) -> float:
    """Hour of the day when so much more placing is done after a load is empty; the end of the pour at the latest."""
    left_h = placing_h
    for load in loads[place + 1:]:
        takes_h = load.empty_h - load.starts_h
        if left_h <= takes_h:
            return load.starts_h + left_h
        left_h -= takes_h
    return loads[-1].empty_h


def join_by_h(concrete_c: float, at_usual_h: float = INITIAL_SET_H.value) -> float:
    """Age, from batching, by which fresh concrete must meet what was placed before; later, a cold joint is likely.

    concrete_c: degrees Celsius, 5 to 35.  at_usual_h: initial set at 20 degrees, h, 1 to 24.
    Returns hours, h.
    Raises ValueError outside those ranges.
    Source: common practice, no source: three quarters of the time to initial set.

    >>> join_by_h(20.0)
    3.0
    """
    return JOIN_SHARE.value * initial_set_h(concrete_c, at_usual_h)


def finishing_waits_h(air_c: float) -> tuple[float, float, float, float]:
    """Waits from placing: until floating by hand, a power float, the first trowelling, and until trowelling is over.

    air_c: degrees Celsius, 5 to 35.
    Returns four waits, h, rising.
    Raises ValueError outside that range.
    Source: `power_float_wait_h`; the others are shares of it, common practice, no source.

    >>> [round(wait_h, 2) for wait_h in finishing_waits_h(21.0)]
    [1.65, 2.75, 3.3, 5.5]
    """
    wait_h = power_float_wait_h(air_c)
    first, last = TROWEL_SHARES
    return FLOAT_SHARE.value * wait_h, wait_h, first.value * wait_h, last.value * wait_h


# Drying and cold.


def evaporation_kg_per_m2h(air_c: float, humidity: float, wind_m_per_s: float, concrete_c: float) -> float:
    """Water that wet concrete loses from its face.

    air_c: -20 to 50 degrees Celsius.  humidity: relative, 0 to 1.  wind_m_per_s: half a metre over the face, 0 to 30 m/s.
    concrete_c: 0 to 45 degrees Celsius.
    Returns kg/m2h, 0 or more; good to about 40 % at best.
    Raises ValueError outside those ranges.
    Source: P. Uno (1998), from memory, in degrees Fahrenheit, miles and pounds, for the chart of ACI 305R:
    (Tc^2.5 - r Ta^2.5) (1 + 0.4 V) / 1 000 000.  How good it is: K. Hover, ACI SP-338.

    >>> round(evaporation_kg_per_m2h(26.67, 0.5, 5.364, 30.56), 2)
    1.19
    """
    _check_weather(air_c, humidity, wind_m_per_s, concrete_c)
    # Below 0 degrees Fahrenheit the formula has no root to take; so cold, air holds next to nothing.
    concrete_f, air_f = 1.8 * concrete_c + 32.0, max(0.0, 1.8 * air_c + 32.0)
    wind_mph = wind_m_per_s * 3600.0 / 1609.344
    lb_per_ft2h = (concrete_f**2.5 - humidity * air_f**2.5) * (1.0 + 0.4 * wind_mph) * 1e-6
    return max(0.0, lb_per_ft2h * 0.45359237 / 0.3048**2)


def _check_weather(air_c: float, humidity: float, wind_m_per_s: float, concrete_c: float) -> None:
    if not -20.0 <= air_c <= 50.0:
        raise ValueError(f"the air must be -20 to 50 degrees Celsius, not {air_c}")
    if not 0.0 <= humidity <= 1.0:
        raise ValueError(f"relative humidity must be 0 to 1 (0.5 is 50 %), not {humidity}")
    if not 0.0 <= wind_m_per_s <= 30.0:
        raise ValueError(f"wind must be 0 to 30 m/s, not {wind_m_per_s} m/s")
    if not 0.0 <= concrete_c <= 45.0:
        raise ValueError(f"the concrete must be 0 to 45 degrees Celsius, not {concrete_c}")


def bleeding_ends_h(thickness_m: float, rate_kg_per_m2h: float = BLEEDING_KG_PER_M2H.value, share: float = BLEED_SHARE.value) -> float:
    """Time from placing until a slab has shed its water; a floor closed before that scales or blisters.

    thickness_m: 0.05 to 1 m.  rate_kg_per_m2h: 0.1 to 5.  share: water shed over thickness, 0 to 0.05.
    Returns hours, h: it never goes on beyond setting, which `initial_set_h` gives.
    Raises ValueError outside those ranges.
    Source: common practice, no source.

    >>> round(bleeding_ends_h(0.15), 2)
    2.0
    """
    if not (0.05 <= thickness_m <= 1.0 and 0.1 <= rate_kg_per_m2h <= 5.0 and 0.0 <= share <= 0.05):
        raise ValueError(
            "a slab of 0.05 to 1 m, bleeding of 0.1 to 5 kg/m2h and a share of 0 to 0.05 are wanted, "
            f"not {thickness_m} m, {rate_kg_per_m2h} kg/m2h and {share}")
    # A millimetre of water on a square metre is a kilogram.
    return share * thickness_m * 1000.0 / rate_kg_per_m2h


def weather_checks(weather: Weather, site_mixed: bool = False, bleeding_kg_per_m2h: float = BLEEDING_KG_PER_M2H.value) -> tuple[Check, ...]:
    """What the weather does to the pour: drying, cold, heat.

    weather: degrees Celsius and m/s.  site_mixed: yes for concrete mixed by hand.  bleeding_kg_per_m2h: 0.1 to 5.
    Returns Checks, in kg/m2h and degrees Celsius.
    Raises ValueError outside that range.
    Source: ACI 305R as cited in UFGS 03 30 00; NHBC Standards 3.2.4; the rest common practice.

    >>> [check.verdict for check in weather_checks(Weather(15.0, 0.7, 2.0, 17.0))]
    ['within', 'within', 'within', 'within']
    >>> [check.verdict for check in weather_checks(Weather(30.0, 0.3, 8.0, 32.0))]
    ['outside', 'outside', 'within', 'outside']
    """
    if not 0.1 <= bleeding_kg_per_m2h <= 5.0:
        raise ValueError(f"bleeding must be 0.1 to 5 kg/m2h, not {bleeding_kg_per_m2h} kg/m2h")
    lost = weather.evaporation_kg_per_m2h
    working = (f"E = (Tc^2.5 - r Ta^2.5) (1 + 0.4 V) / 1 000 000 for concrete at {weather.concrete_c:g} C, air at {weather.air_c:g} C, r = {weather.humidity:g}, "
               f"wind {weather.wind_m_per_s:g} m/s: {lost:.3g} kg/m2h")
    drying = check_at_most(
        "Drying of the fresh face", lost, EVAPORATION_LIMIT_KG_PER_M2H,
        "A face that dries this fast cracks before it sets: a windbreak, fog, a cover between passes, or another day.", "the supplier")
    if drying.verdict == "within" and lost > EVAPORATION_CAUTION_KG_PER_M2H.value:
        drying = replace(drying, verdict="close")
    shed = common_practice(bleeding_kg_per_m2h, "kg/m2h", BLEEDING_KG_PER_M2H.note)
    crusting = check_at_most(
        "Drying against bleeding", lost, shed,
        "Where the face dries faster than water rises, a crust forms over wet concrete; it looks ready and is not.", "the supplier")
    # Either limit is of the air or of the concrete, whichever applies to where it is mixed.
    limit, temperature = (COLDEST_MIXING_C, weather.air_c) if site_mixed else (COLDEST_DELIVERED_C, min(weather.concrete_c, weather.air_c))
    cold = check_at_least(
        "Cold at the pour", temperature, limit,
        "Concrete that freezes before it has hardened is lost: not on frozen ground, and covered with insulation for the nights after.", "the supplier")
    hot = check_at_most("Heat of the concrete", weather.concrete_c, HOTTEST_CONCRETE_C,
                        "Hot concrete sets while it is being spread: begin at dawn, shade the barrows, damp the stone, ask for a retarder.", "the supplier")
    return (_explained(drying, working), _explained(crusting, working + f"; bleeding {bleeding_kg_per_m2h:g} kg/m2h"),
            _explained(cold, f"{temperature:g} C against {limit.value:g} C"), _explained(hot, f"{weather.concrete_c:g} C against {HOTTEST_CONCRETE_C.value:g} C"))


def _explained(check: Check, working: str) -> Check:
    return replace(check, working=working, method=METHOD)


# Daylight.


def declination_deg(day_of_year: int) -> float:
    """How far north of the equator the sun stands overhead.

    day_of_year: 1 to 366.
    Returns degrees, negative in the south.
    Raises ValueError outside that range.
    Source: J. W. Spencer (1971), as in Duffie and Beckman, Solar Engineering of Thermal Processes, from memory.

    >>> round(declination_deg(172), 2), round(declination_deg(355), 2)
    (23.45, -23.42)
    """
    angle = _year_angle(day_of_year)
    return math.degrees(
        0.006918 - 0.399912 * math.cos(angle) + 0.070257 * math.sin(angle) - 0.006758 * math.cos(2 * angle) + 0.000907 * math.sin(2 * angle)
        - 0.002697 * math.cos(3 * angle) + 0.00148 * math.sin(3 * angle))


def equation_of_time_h(day_of_year: int) -> float:
    """How far a sundial is ahead of an even clock.

    day_of_year: 1 to 366.
    Returns hours, h.
    Raises ValueError outside that range.
    Source: J. W. Spencer (1971), as in Duffie and Beckman, from memory.

    >>> round(60 * equation_of_time_h(307), 1), round(60 * equation_of_time_h(42), 1)
    (16.4, -14.2)
    """
    angle = _year_angle(day_of_year)
    return 229.18 / 60.0 * (
        0.000075 + 0.001868 * math.cos(angle) - 0.032077 * math.sin(angle) - 0.014615 * math.cos(2 * angle) - 0.04089 * math.sin(2 * angle))


def _year_angle(day_of_year: int) -> float:
    if not 1 <= day_of_year <= 366:
        raise ValueError(f"a day of the year is 1 to 366, not {day_of_year}")
    return 2.0 * math.pi * (day_of_year - 1) / 365.0


def day_length_h(latitude_deg: float, day_of_year: int, below_horizon_deg: float = SUN_ON_HORIZON_DEG.value) -> float:
    """Hours of a day for which the sun stands above the horizon, or above so many degrees below it.

    latitude_deg: -90 to 90, north above 0.  day_of_year: 1 to 366.
    below_horizon_deg: 0 for the sun's middle, 0.833 as sunrise is seen, 6 for dusk; 0 to 18 degrees.
    Returns hours, h; 0 or 24 where it does not rise or set.
    Raises ValueError outside those ranges.
    Source: Duffie and Beckman, Solar Engineering of Thermal Processes, sunset hour angle, from memory:
    cos w = (sin(-a) - sin(lat) sin(d)) / (cos(lat) cos(d)).

    >>> round(day_length_h(51.5, 172), 2), round(day_length_h(51.5, 355), 2), day_length_h(80.0, 172)
    (16.64, 7.83, 24.0)
    """
    if not -90.0 <= latitude_deg <= 90.0:
        raise ValueError(f"a latitude must be -90 to 90 degrees, not {latitude_deg}")
    if not 0.0 <= below_horizon_deg <= 18.0:
        raise ValueError(f"dusk is 0 to 18 degrees below the horizon, not {below_horizon_deg}")
    latitude, declination = math.radians(latitude_deg), math.radians(declination_deg(day_of_year))
    above = math.sin(latitude) * math.sin(declination) - math.sin(math.radians(-below_horizon_deg))
    across = math.cos(latitude) * math.cos(declination)
    # At the poles the sun goes round level, and only its height counts.
    if above >= across:
        return 24.0
    if above <= -across:
        return 0.0
    return 2.0 * math.degrees(math.acos(-above / across)) / 15.0


def daylight_h(latitude_deg: float, longitude_deg: float, day_of_year: int, ahead_of_utc_h: float = 0.0) -> tuple[float, float, float]:
    """Sunrise, sunset and dusk by the clock.

    latitude_deg: -90 to 90.  longitude_deg: -180 to 180, east above 0.  day_of_year: 1 to 366.
    ahead_of_utc_h: what the clock is ahead of universal time, summer time included, -12 to 14 h.
    Returns three hours of the day, h; dusk may lie past 24.
    Raises ValueError outside those ranges, or where the sun does not rise and set that day, or it is not dark.
    Source: `day_length_h` and `equation_of_time_h`; civil twilight.

    >>> [round(hour, 1) for hour in daylight_h(51.5, 0.0, 355)]
    [8.0, 15.9, 16.6]
    """
    if not (-180.0 <= longitude_deg <= 180.0 and -12.0 <= ahead_of_utc_h <= 14.0):
        raise ValueError(f"a longitude must be -180 to 180 degrees and a clock -12 to 14 h ahead, not {longitude_deg} and {ahead_of_utc_h} h")
    light_h, until_dusk_h = day_length_h(latitude_deg, day_of_year), day_length_h(latitude_deg, day_of_year, DUSK_DEG.value)
    if not (0.0 < light_h and until_dusk_h < 24.0):
        raise ValueError(f"on day {day_of_year} at latitude {latitude_deg:g} the sun does not rise and go down to dusk")
    noon_h = 12.0 - equation_of_time_h(day_of_year) - longitude_deg / 15.0 + ahead_of_utc_h
    return noon_h - light_h / 2.0, noon_h + light_h / 2.0, noon_h + until_dusk_h / 2.0


# The day in one.


def pour_day(
    loads_m3: Sequence[float],
    crew: Crew,
    route: Route,
    weather: Weather,
    first_arrives_h: float,
    dusk_h: float,
    *,
    sunrise_h: float = 0.0,
    strips: int = 4,
    travel_h: float = 0.5,
    apart_h: float | None = None,
    allowance_h: float = ALLOWANCE_H_PER_LOAD.value,
    waiting_per_h: float = 0.0,
    set_at_usual_h: float = INITIAL_SET_H.value,
    place_h_per_m3: float = SLAB_H_PER_M3.value,
    trowelled: bool = True,
    floated: bool = True,
) -> PourDay:
    """The day from the first lorry to the last pass of the trowel, with its checks.

    loads_m3: lorries, m3.  crew, route, weather: as given.  first_arrives_h, sunrise_h, dusk_h: hours of the day by one clock, 0 to 48 h.
    strips: 1 to 50, as in `face_age_h`.  travel_h, apart_h, allowance_h: h, as in `load_times`.  waiting_per_h: money, 0 or more.
    set_at_usual_h: initial set at 20 degrees, h.  place_h_per_m3: a first-timer's hours, h/m3.
    trowelled: no for a floor that is only floated or brushed, which is finished when the power float would go on.
    floated: no for a footing, levelled as it is placed and finished when the last lorry is empty.
    Returns a PourDay: h, m3, m3/h, money.
    Raises ValueError outside those ranges, and for air or concrete of other than 5 to 35 degrees Celsius, in which no times are held.
    Source: the functions above.

    >>> day = pour_day([4.0], Crew(4, 6), Route("barrow", 20.0), Weather(15.0, 0.7, 2.0, 17.0), 9.0, 20.0)
    >>> round(day.rate_m3_per_h, 2), day.trips, round(day.loads[0].empty_h, 2), round(day.finished_h, 1)
    (2.7, 89, 10.48, 17.5)
    >>> [check.name for check in day.checks if check.verdict == "outside"]
    ['Lorry empty in the time allowed']
    """
    if not (0.0 <= sunrise_h <= 48.0 and 0.0 <= dusk_h <= 48.0 and waiting_per_h >= 0.0):
        raise ValueError(f"sunrise and dusk must be 0 to 48 h and a waiting charge 0 or more, not {sunrise_h}, {dusk_h} h and {waiting_per_h}")
    rate, held_up_by = pour_rate(crew, route, place_h_per_m3)
    loads = load_times(loads_m3, rate, first_arrives_h, travel_h, apart_h, allowance_h)
    to_float_h, to_power_h, to_trowel_h, to_finish_h = finishing_waits_h(weather.air_c)
    last_h, waiting = loads[-1].empty_h, sum(load.waiting_h for load in loads)
    face_h, join_h = face_age_h(loads, strips), join_by_h(weather.concrete_c, set_at_usual_h)
    finished_h = last_h + ((to_finish_h if trowelled else to_power_h) if floated else 0.0)
    return PourDay(
        rate_m3_per_h=rate, held_up_by=held_up_by,
        trips=barrow_trips(math.fsum(loads_m3), crew.barrow_m3) if route.way == "barrow" else 0,
        loads=loads, waiting_h=waiting, waiting_charge=waiting * waiting_per_h, face_h=face_h, join_by_h=join_h,
        first_float_h=loads[0].starts_h + to_float_h, float_h=last_h + to_float_h, power_float_h=last_h + to_power_h,
        trowel_h=last_h + to_trowel_h, finished_h=finished_h, evaporation_kg_per_m2h=weather.evaporation_kg_per_m2h,
        checks=_time_checks(loads, allowance_h, face_h, join_h, sunrise_h, finished_h, dusk_h) + weather_checks(weather),
    )


def _time_checks(loads, allowance_h, face_h, join_h, sunrise_h, finished_h, dusk_h) -> tuple[Check, ...]:
    slowest = max(loads, key=lambda load: load.empty_h - load.arrives_h)
    stands_h = slowest.empty_h - slowest.arrives_h
    oldest_h = max(load.empty_h - load.batched_h for load in loads)
    crew = "the people who will come, or for a pump"
    return (
        _explained(check_at_most("Lorry empty in the time allowed", stands_h, common_practice(allowance_h, "h", ALLOWANCE_H_PER_LOAD.note),
                                 "After this, waiting is charged; more barrows, a shorter run or a pump empties it sooner.", crew),
                   f"{slowest.load_m3:.3g} m3 stand {stands_h:.3g} h"),
        _explained(check_at_most("Lorry empty before the concrete is too old", oldest_h, DISCHARGE_H,
                                 "Older concrete is not to be used, and water must not be added to bring it back.", crew),
                   f"{oldest_h:.3g} h from batching to the last of it"),
        _explained(check_at_most("Fresh concrete meets what was placed before", face_h, replace(JOIN_SHARE, value=join_h, unit="h"),
                                 "Later than this a cold joint is likely: narrower strips, a quicker crew, lorries closer together, or a joint planned where it may be.", crew),
                   f"{face_h:.3g} h against {JOIN_SHARE.value:g} of the time to initial set, {join_h:.3g} h"),
        _explained(_by_the_clock("Begun in daylight", loads[0].starts_h, sunrise_h, loads[0].starts_h - sunrise_h,
                                 "A lorry that reverses in the dark is the worst moment of the day.", "the supplier for a later lorry"),
                   f"{loads[0].starts_h:.4g} h against sunrise at {sunrise_h:.4g} h"),
        _explained(_by_the_clock("Finished before dusk", finished_h, dusk_h, dusk_h - finished_h,
                                 "A face trowelled by lamplight shows it for ever: an earlier lorry, a longer day, or good lights ready before they are wanted.",
                                 "the supplier for an earlier lorry"),
                   f"last placed {loads[-1].empty_h:.4g} h, finished {finished_h:.4g} h, dusk {dusk_h:.4g} h"),
    )


def _by_the_clock(name: str, hour_h: float, limit_h: float, to_spare_h: float, sentence: str, ask: str) -> Check:
    """A check of one hour of the day against another: close with little to spare, as no ratio of two hours means anything."""
    verdict = "outside" if to_spare_h < -TOLERANCE else "close" if to_spare_h < LITTLE_TO_SPARE_H.value - TOLERANCE else "within"
    return Check(name, hour_h, limit_h, "h", None, verdict, sentence, LITTLE_TO_SPARE_H.citation, LITTLE_TO_SPARE_H.mark, ask if verdict == "outside" else "")
