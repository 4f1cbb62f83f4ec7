"""What a month usually brings, by region, and where the sun stands: a stand-in until somebody types in the forecast.

All figures are rounded averages of lowland places, set down from memory.  They
show what the season does to a pour.  They are no forecast: a week before the
pour, and again the day before, the real one is typed in instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from calculators.pour import DUSK_DEG, day_length_h, daylight_h
from calculators.sources import MEMORY, Sourced, common_practice

WORKING_HOURS_SHARE = common_practice(0.8, "", "Air over the working hours lies this share of the way from the lowest of the night to the highest of the day.")
CONCRETE_OVER_AIR_C = common_practice(2.0, "degree C", "Concrete comes a little warmer than the air: stored stone lags behind it, and cement gives off heat.")
COLDEST_SOLD_C = Sourced(5.0, "degree C", "bs-8500", "temperature of concrete at delivery", MEMORY, "Suppliers warm their water in winter.")
FROST_NIGHT_C = common_practice(2.0, "degree C", "Where the nights of a month usually go down to this, some of them freeze.")
SUMMER_TIME_MONTHS = range(4, 11)
SUMMER_TIME_H = common_practice(1.0, "h", "Clocks are ahead of standard time from April to October; the few days at either end are not told apart.")


@dataclass(frozen=True)
class Month:
    """A usual month: highest of the day and lowest of the night in degrees Celsius, relative humidity by day 0 to 1, wind in m/s."""

    high_c: float
    low_c: float
    humidity: float
    wind_m_per_s: float

    @property
    def working_c(self) -> float:
        """Air over the working hours, degrees Celsius.  Source: common practice."""
        return self.low_c + WORKING_HOURS_SHARE.value * (self.high_c - self.low_c)

    @property
    def mean_c(self) -> float:
        """Air over day and night, degrees Celsius.  Source: halfway, common practice."""
        return (self.low_c + self.high_c) / 2.0


@dataclass(frozen=True)
class Place:
    """A region's stand-in: which lowland, degrees of latitude and longitude, hours its clock is ahead of universal time in winter, and its twelve months."""

    words: str
    latitude_deg: float
    longitude_deg: float
    ahead_of_utc_h: float
    months: tuple[Month, ...]
    source: Sourced


def _place(words: str, latitude_deg: float, longitude_deg: float, ahead_h: float, high_c, low_c, humidity_percent, wind_m_per_s) -> Place:
    months = tuple(
        Month(high, low, percent / 100.0, wind) for high, low, percent, wind in zip(high_c, low_c, humidity_percent, wind_m_per_s, strict=True))
    return Place(words, latitude_deg, longitude_deg, ahead_h, months, Sourced(
        latitude_deg, "degree", "climate-averages", words, MEMORY, "An assumption: hills, coasts and cities differ. Type in the forecast."))


# By region, January to December: highest of the day, lowest of the night, humidity by day in percent, wind in m/s ten metres above open ground.
PLACES: dict[str, Place] = {
    "england": _place(
        "lowland in the south and middle of England", 52.5, -1.5, 0.0,
        (7.5, 8.0, 10.5, 13.5, 17.0, 20.0, 22.5, 22.0, 19.0, 14.5, 10.5, 8.0),
        (1.5, 1.5, 2.5, 4.0, 7.0, 10.0, 12.0, 12.0, 9.5, 7.0, 4.0, 2.0),
        (82, 77, 70, 63, 62, 61, 60, 62, 66, 73, 79, 83),
        (4.7, 4.6, 4.6, 4.3, 4.0, 3.8, 3.7, 3.6, 3.7, 4.0, 4.2, 4.4)),
    "ireland": _place(
        "lowland in the middle of Ireland", 53.3, -7.5, 0.0,
        (8.0, 8.5, 10.5, 13.0, 15.5, 18.0, 19.5, 19.5, 17.0, 13.5, 10.5, 8.5),
        (2.0, 2.0, 3.0, 4.0, 6.5, 9.0, 11.0, 11.0, 9.0, 7.0, 4.0, 2.5),
        (84, 80, 75, 70, 70, 71, 73, 73, 75, 80, 84, 86),
        (5.6, 5.5, 5.3, 4.8, 4.6, 4.3, 4.2, 4.2, 4.4, 4.8, 5.0, 5.2)),
    "us": _place(
        "lowland inland in the northern half of the United States", 40.5, -90.0, -6.0,
        (2.0, 4.0, 10.5, 17.0, 22.5, 27.5, 29.5, 28.5, 25.0, 18.5, 10.5, 4.0),
        (-7.0, -5.5, -0.5, 5.0, 10.5, 16.0, 18.0, 17.0, 13.0, 6.5, 1.0, -4.5),
        (68, 64, 58, 52, 53, 53, 55, 56, 54, 54, 62, 70),
        (4.5, 4.5, 4.7, 4.6, 4.0, 3.5, 3.1, 3.0, 3.3, 3.7, 4.2, 4.3)),
    "eurocode": _place(
        "lowland in the middle of western Europe", 50.0, 9.0, 1.0,
        (4.0, 6.0, 11.0, 15.5, 20.0, 23.0, 25.0, 25.0, 20.5, 14.5, 8.5, 5.0),
        (-1.0, -0.5, 2.0, 5.0, 9.0, 12.0, 14.0, 13.5, 10.0, 6.5, 3.0, 0.5),
        (78, 70, 60, 53, 53, 54, 53, 54, 60, 69, 78, 81),
        (3.9, 3.7, 3.9, 3.5, 3.2, 3.0, 3.0, 2.9, 3.0, 3.2, 3.5, 3.7)),
}


def place_of(region: str) -> Place:
    """The stand-in for a region's weather and sun.

    region: england, ireland, us or eurocode (words, no unit).
    Returns a Place: degrees, degrees Celsius, m/s, h.
    Raises ValueError for another region.
    Source: averages of weather services, from memory.

    >>> place_of("ireland").latitude_deg
    53.3
    """
    if region not in PLACES:
        raise ValueError(f"no weather is held for {region!r}; the region must be one of {', '.join(PLACES)}")
    return PLACES[region]


def usual_month(region: str, month: int) -> Month:
    """What a month usually brings.

    region: england, ireland, us or eurocode.  month: 1 to 12.
    Returns a Month: degrees Celsius, humidity 0 to 1, m/s.
    Raises ValueError for another region or month.
    Source: averages of weather services, from memory.

    >>> usual_month("england", 7).high_c, round(usual_month("england", 7).working_c, 1)
    (22.5, 20.4)
    """
    if not 1 <= month <= 12:
        raise ValueError(f"a month is 1 to 12, not {month}")
    return place_of(region).months[month - 1]


def season_month(month: int, latitude_deg: float) -> int:
    """The month north of the equator that has the season of a month at a latitude.

    month: 1 to 12.  latitude_deg: -90 to 90, north above 0.
    Returns a month, no unit: the same in the north, half a year on in the south.
    Raises ValueError outside those ranges.
    Source: definition.

    >>> season_month(1, 52.0), season_month(1, -34.0), season_month(10, -34.0)
    (1, 7, 4)
    """
    if not (1 <= month <= 12 and -90.0 <= latitude_deg <= 90.0):
        raise ValueError(f"a month is 1 to 12 and a latitude -90 to 90 degrees, not {month} and {latitude_deg}")
    return month if latitude_deg >= 0.0 else (month + 5) % 12 + 1


def usual_concrete_c(air_c: float) -> float:
    """How warm concrete usually comes, for the air of the day.

    air_c: degrees Celsius, -20 to 50.
    Returns degrees Celsius, 5 to 45.
    Raises ValueError outside that range.
    Source: common practice, no source; the least, BS 8500 from memory.

    >>> usual_concrete_c(20.0), usual_concrete_c(-5.0)
    (22.0, 5.0)
    """
    if not -20.0 <= air_c <= 50.0:
        raise ValueError(f"the air must be -20 to 50 degrees Celsius, not {air_c}")
    return min(45.0, max(COLDEST_SOLD_C.value, air_c + CONCRETE_OVER_AIR_C.value))


def clock_ahead_h(region: str, month: int) -> float:
    """What the clock of a region is ahead of universal time, summer time with it.

    region: england, ireland, us or eurocode.  month: 1 to 12.
    Returns hours, h.
    Raises ValueError for another region or month.
    Source: summer time from April to October, common practice, no source.

    >>> clock_ahead_h("england", 3), clock_ahead_h("england", 4), clock_ahead_h("us", 12)
    (0.0, 1.0, -6.0)
    """
    if not 1 <= month <= 12:
        raise ValueError(f"a month is 1 to 12, not {month}")
    return place_of(region).ahead_of_utc_h + (SUMMER_TIME_H.value if month in SUMMER_TIME_MONTHS else 0.0)


def sun_h(region: str, day: date, latitude_deg: float | None = None) -> tuple[float, float, float]:
    """Sunrise, sunset and dusk on a date by the clock of a region, in the middle of it.

    region: england, ireland, us or eurocode.  day: a date.  latitude_deg: -90 to 90, north above 0; None takes the region's.
    Returns three hours of the day, h.  Where the sun stays up they lie a whole day apart; where it stays down sunrise and sunset are both noon.
    Raises ValueError outside that range or for another region.
    Source: `pour.daylight_h`.

    >>> [round(hour, 1) for hour in sun_h("england", date(2027, 6, 21))]
    [4.7, 21.5, 22.4]
    """
    place = place_of(region)
    latitude = place.latitude_deg if latitude_deg is None else latitude_deg
    day_of_year, ahead_h = day.timetuple().tm_yday, clock_ahead_h(region, season_month(day.month, latitude))
    light_h, until_dusk_h = day_length_h(latitude, day_of_year), day_length_h(latitude, day_of_year, DUSK_DEG.value)
    if 0.0 < light_h and until_dusk_h < 24.0:
        return daylight_h(latitude, place.longitude_deg, day_of_year, ahead_h)
    # Noon is the same at every latitude, and at the equator the sun always rises and sets.
    rise_h, set_h, _ = daylight_h(0.0, place.longitude_deg, day_of_year, ahead_h)
    noon_h = (rise_h + set_h) / 2.0
    return max(0.0, noon_h - light_h / 2.0), noon_h + light_h / 2.0, noon_h + until_dusk_h / 2.0
