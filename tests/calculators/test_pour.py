"""The day of the pour: by hand, by almanacs and handbooks, and by the laws it keeps.

The published figures are rows of docs/evidence; those without a row are here with their source.
"""

import math

import pytest

from calculators import pour
from calculators.pour import Crew, Route, Weather
from calculators.barrows import BARROW_M3

MILD = Weather(15.0, 0.7, 2.0, 17.0)


def day(**words):
    given = dict(loads_m3=[4.0], crew=Crew(4, 6), route=Route("barrow", 20.0), weather=MILD, first_arrives_h=9.0, dusk_h=20.0)
    return pour.pour_day(**(given | words))


def verdicts(found):
    return {check.name: check.verdict for check in found}


def test_trips_of_a_small_pour():
    """Common practice: 120 to 130 first-timer's barrows for 5.5 m3."""
    assert 120 <= pour.barrow_trips(5.5) <= 130


def test_barrow_round_by_hand():
    """30 m there and back at 200 ft a minute is 0.984 minutes; a minute to fill and tip; all of it twice; on a run of 1 in 20 walking is a quarter longer."""
    assert pour.barrow_round_h(30.0) * 60 == pytest.approx(2 * (60 / 60.96 + 1.0))
    assert pour.barrow_round_h(30.0, -0.05, False) * 60 == pytest.approx(1.25 * 60 / 60.96 + 1.0)


def test_one_chute_fills_one_barrow_at_a_time():
    """Half a minute each, a minute for people new to it: twenty barrows carry no more than 60 an hour."""
    assert pour.carry_m3_per_h(Crew(20, 1), Route("barrow", 5.0)) == pytest.approx(60 * BARROW_M3.value)


def test_more_hands_never_slow_it_down_and_a_first_time_takes_longer():
    rates = [pour.pour_rate(Crew(count, count), Route("barrow", 40.0))[0] for count in range(1, 12)]
    assert rates == sorted(rates)
    for count in (1, 4, 9):
        assert pour.pour_rate(Crew(count, 4), Route("barrow", 40.0))[0] <= pour.pour_rate(Crew(count, 4, False), Route("barrow", 40.0))[0] / 2.0 + 1e-12


@pytest.mark.parametrize("route", [Route("barrow", 25.0, 0.04), Route("pump"), Route("chute", 2.0)], ids=str)
def test_crew_wanted_is_enough_and_one_fewer_is_not(route):
    crew = pour.crew_wanted(4.0, 2.0, route)
    assert 4.0 / pour.pour_rate(crew, route)[0] <= 2.0 + 1e-9
    fewer = [Crew(crew.barrows, crew.placers - 1)] if crew.placers > 1 else []
    fewer += [Crew(crew.barrows - 1, crew.placers)] if crew.barrows > 1 else []
    assert fewer and all(4.0 / pour.pour_rate(short, route)[0] > 2.0 for short in fewer)
    assert pour.crew_wanted(20.0, 0.5, route) is None


def test_discharge_limit_is_that_of_the_standard():
    """BS 8500-2, 14.2 (read): two hours from loading."""
    late = day(crew=Crew(1, 6))
    assert late.loads[0].empty_h - late.loads[0].batched_h > 2.0
    assert verdicts(late.checks)["Lorry empty before the concrete is too old"] == "outside"
    assert verdicts(day().checks)["Lorry empty before the concrete is too old"] != "outside"


def test_lorries_wait_for_each_other():
    """Two of 6 m3 at 3 m3/h, an hour apart: the second stands an hour before it starts, then two more."""
    first, second = pour.load_times([6.0, 6.0], 3.0, 8.0, apart_h=1.0, allowance_h=0.5)
    assert (first.empty_h, second.arrives_h, second.starts_h, second.empty_h) == (10.0, 9.0, 10.0, 12.0)
    assert (first.waiting_h, second.waiting_h) == (1.5, 2.5)


def test_face_age_by_hand():
    """Two lorries of 6 m3 at 3 m3/h, 3 h apart, half an hour on the road, four strips of an hour.  The first is empty at 11 h, the second starts at 12 h;
    what went down at 11 h is met at 13 h and was batched at 8.5 h."""
    timed = pour.load_times([6.0, 6.0], 3.0, 9.0, travel_h=0.5, apart_h=3.0)
    assert pour.face_age_h(timed, 4) == pytest.approx(4.5)
    # In a ring the last concrete, at 14 h, meets the first, batched at 8.5 h.
    assert pour.face_age_h(timed, 1) == pytest.approx(5.5)


def test_narrower_strips_are_never_older():
    timed = pour.load_times([6.0, 6.0, 2.0], 4.0, 8.0)
    ages = [pour.face_age_h(timed, strips) for strips in range(1, 20)]
    assert ages == sorted(ages, reverse=True)


def test_a_late_lorry_makes_a_cold_joint_likely():
    name = "Fresh concrete meets what was placed before"
    assert verdicts(day().checks)[name] != "outside"
    assert verdicts(day(loads_m3=[3.0, 3.0], apart_h=4.0).checks)[name] == "outside"


def test_waits_shorten_with_warmth():
    waits = [pour.power_float_wait_h(float(air_c)) for air_c in range(5, 36)]
    assert waits == sorted(waits, reverse=True)
    assert all(list(pour.finishing_waits_h(float(air_c))) == sorted(pour.finishing_waits_h(float(air_c))) for air_c in range(5, 36))
    # Between the temperatures of the survey the wait halves every so many degrees: the middle is the geometric mean.
    assert pour.power_float_wait_h(15.5) == pytest.approx(math.sqrt(4.25 * 2.75))


@pytest.mark.parametrize("air_c, humidity, wind_km_per_h, concrete_c", [(26.67, 0.5, 19.3, 30.56), (18.0, 0.6, 15.0, 22.0), (5.0, 0.8, 5.0, 12.0), (35.0, 0.2, 30.0, 33.0)])
def test_evaporation_against_the_rounded_metric_form(air_c, humidity, wind_km_per_h, concrete_c):
    """P. Uno (1998), from memory: 5 ((Tc + 18)^2.5 - r (Ta + 18)^2.5) (V + 4) / 1 000 000, V in km/h; its roundings run a few per cent low."""
    rounded = 5.0 * ((concrete_c + 18.0) ** 2.5 - humidity * (air_c + 18.0) ** 2.5) * (wind_km_per_h + 4.0) * 1e-6
    ours = pour.evaporation_kg_per_m2h(air_c, humidity, wind_km_per_h / 3.6, concrete_c)
    assert 1.02 < ours / rounded < 1.06


def test_evaporation_keeps_its_laws():
    at = pour.evaporation_kg_per_m2h
    assert at(20.0, 0.5, 6.0, 20.0) > at(20.0, 0.5, 3.0, 20.0) > at(20.0, 0.8, 3.0, 20.0) > 0.0
    assert at(20.0, 0.5, 3.0, 25.0) > at(20.0, 0.5, 3.0, 20.0)
    # Saturated air at the concrete's own temperature takes nothing; warmer damp air wets it, which counts as nothing lost.
    assert at(20.0, 1.0, 5.0, 20.0) == 0.0 and at(30.0, 1.0, 5.0, 10.0) == 0.0


def test_cold_limits_are_those_of_the_handbook():
    """NHBC Standards, 3.2.4 (read): delivered at 5 degrees or more; site mixing stops at 2."""
    name = "Cold at the pour"
    assert verdicts(pour.weather_checks(Weather(8.0, 0.7, 2.0, 4.9)))[name] == "outside"
    assert verdicts(pour.weather_checks(Weather(8.0, 0.7, 2.0, 5.0)))[name] == "within"
    assert verdicts(pour.weather_checks(Weather(-1.0, 0.7, 2.0, 12.0)))[name] == "outside"
    assert verdicts(pour.weather_checks(Weather(1.9, 0.7, 2.0, 8.0), site_mixed=True))[name] == "outside"
    assert verdicts(pour.weather_checks(Weather(2.1, 0.7, 2.0, 8.0), site_mixed=True))[name] == "within"


def test_drying_is_close_from_the_cautionary_rate_and_outside_from_the_limit():
    found = {}
    for wind in range(0, 16):
        weather = Weather(22.0, 0.5, float(wind), 24.0)
        found.setdefault(verdicts(pour.weather_checks(weather))["Drying of the fresh face"], []).append(weather.evaporation_kg_per_m2h)
    assert max(found["within"]) <= 0.5 < min(found["close"]) and max(found["close"]) <= 1.0 < min(found["outside"])


def test_bleeding_by_hand():
    """A hundredth of 100 mm is 1 kg on each m2; at 0.5 kg an hour it takes two hours."""
    assert pour.bleeding_ends_h(0.1, 0.5, 0.01) == pytest.approx(2.0)


@pytest.mark.parametrize("day_of_year, ahead_h, rises, sets", [(172, 1.0, 4 + 43 / 60, 21 + 21 / 60), (355, 0.0, 8 + 3 / 60, 15 + 53 / 60)])
def test_sunrise_in_london(day_of_year, ahead_h, rises, sets):
    """Almanacs, from memory: 04:43 to 21:21 on 21 June by summer time, 08:03 to 15:53 on 21 December; within three minutes."""
    sunrise, sunset, dusk = pour.daylight_h(51.5, -0.12, day_of_year, ahead_h)
    assert sunrise == pytest.approx(rises, abs=0.05) and sunset == pytest.approx(sets, abs=0.05)
    assert 0.5 < dusk - sunset < 1.0


def test_day_length_keeps_its_laws():
    """Twelve hours at the equator to the sun's middle; a northern summer's day is as long as a southern winter's night."""
    for number in (1, 80, 172, 300, 365):
        assert pour.day_length_h(0.0, number, 0.0) == pytest.approx(12.0)
        assert pour.day_length_h(52.0, number, 0.0) + pour.day_length_h(-52.0, number, 0.0) == pytest.approx(24.0)
    assert pour.day_length_h(80.0, 355) == 0.0 and pour.day_length_h(80.0, 172) == 24.0


def test_the_day_runs_forwards_and_follows_crew_weather_and_hour():
    usual = day()
    assert 9.0 < usual.first_float_h < usual.float_h < usual.power_float_h < usual.trowel_h < usual.finished_h
    assert day(crew=Crew(2, 6)).finished_h > usual.finished_h
    assert day(weather=Weather(25.0, 0.7, 2.0, 17.0)).finished_h < usual.finished_h
    assert day(first_arrives_h=10.0).finished_h == pytest.approx(usual.finished_h + 1.0)
    assert day(trowelled=False).finished_h == usual.power_float_h
    assert day(waiting_per_h=60.0).waiting_charge == pytest.approx(60.0 * usual.waiting_h)
    assert day(route=Route("pump")).trips == 0 < usual.trips


def test_dusk_and_dawn():
    usual = day()
    for dusk, verdict in ((usual.finished_h - 0.1, "outside"), (usual.finished_h + 0.5, "close"), (usual.finished_h + 1.5, "within")):
        assert verdicts(day(dusk_h=dusk).checks)["Finished before dusk"] == verdict
    assert verdicts(day(sunrise_h=9.5).checks)["Begun in daylight"] == "outside"


def test_what_is_outside_says_whom_to_ask():
    found = day(crew=Crew(1, 1), dusk_h=12.0, sunrise_h=10.0, weather=Weather(32.0, 0.2, 9.0, 33.0)).checks
    assert {check.verdict for check in found} >= {"outside"}
    assert all(bool(check.ask) == (check.verdict == "outside") and check.working and check.source for check in found)


@pytest.mark.parametrize("call", [
    lambda: Route("rope"), lambda: Route("barrow", 61.0), lambda: Route("barrow", 20.0, 0.2), lambda: Route("chute", 4.0), lambda: Crew(21, 1), lambda: Crew(1, 0),
    lambda: Weather(60.0, 0.5, 1.0, 20.0), lambda: Weather(20.0, 50.0, 1.0, 20.0), lambda: Weather(20.0, 0.5, -1.0, 20.0), lambda: Weather(20.0, 0.5, 1.0, 60.0),
    lambda: pour.barrow_trips(-1.0), lambda: pour.barrow_trips(1.0, 0.0), lambda: pour.carry_m3_per_h(Crew(0, 1), Route("barrow", 5.0)), lambda: pour.place_m3_per_h(Crew(0, 1), 0.0),
    lambda: pour.crew_wanted(0.0, 1.0, Route("pump")), lambda: pour.waiting_h(-1.0), lambda: pour.load_times([], 3.0, 9.0), lambda: pour.load_times([6.0], 0.0, 9.0),
    lambda: pour.load_times([6.0], 3.0, 9.0, travel_h=3.0), lambda: pour.power_float_wait_h(4.0), lambda: pour.power_float_wait_h(36.0), lambda: pour.initial_set_h(20.0, 0.0),
    lambda: pour.face_age_h([], 1), lambda: pour.face_age_h(pour.load_times([6.0], 3.0, 9.0), 0), lambda: pour.bleeding_ends_h(0.01), lambda: pour.declination_deg(0),
    lambda: pour.equation_of_time_h(367), lambda: pour.day_length_h(91.0, 1), lambda: pour.day_length_h(50.0, 1, 20.0), lambda: pour.daylight_h(51.5, 200.0, 1),
    lambda: pour.daylight_h(80.0, 0.0, 172), lambda: day(dusk_h=-1.0), lambda: day(waiting_per_h=-1.0), lambda: pour.weather_checks(MILD, bleeding_kg_per_m2h=0.0),
    lambda: day(weather=Weather(2.0, 0.7, 2.0, 8.0)),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
