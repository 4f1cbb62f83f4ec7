"""What a month usually brings, and the sun: by almanacs from memory, and by the laws of seasons."""

from datetime import date

import pytest

from calculators import weather
from calculators.scenario import REGIONS
from calculators.sources import MEMORY


def test_every_region_has_its_twelve_months_and_says_that_they_are_from_memory():
    assert tuple(weather.PLACES) == REGIONS
    for region in REGIONS:
        place = weather.place_of(region)
        assert len(place.months) == 12 and "lowland" in place.words and place.source.mark == MEMORY
        for month in place.months:
            assert month.low_c < month.mean_c < month.working_c < month.high_c
            assert 0.4 < month.humidity < 0.95 and 2.0 < month.wind_m_per_s < 7.0


@pytest.mark.parametrize("region", REGIONS)
def test_the_year_warms_to_july_and_cools_again(region):
    highs = [month.high_c for month in weather.place_of(region).months]
    assert highs[0] == min(highs) and max(highs) == highs[6]
    assert highs[:7] == sorted(highs[:7]) and highs[6:] == sorted(highs[6:], reverse=True)


def test_an_inland_continent_swings_further_than_an_island():
    """Climatology, from memory: the year's range is wider the further from the sea."""
    ranges = {region: weather.usual_month(region, 7).mean_c - weather.usual_month(region, 1).mean_c for region in REGIONS}
    assert ranges["ireland"] < ranges["england"] < ranges["eurocode"] < ranges["us"]


@pytest.mark.parametrize("region,day,rises,sets", [
    ("england", date(2027, 6, 21), 4 + 45 / 60, 21 + 34 / 60),    # Birmingham
    ("ireland", date(2027, 12, 21), 8 + 43 / 60, 16 + 13 / 60),   # Dublin, five minutes later for the middle of the island
    ("us", date(2027, 6, 21), 5 + 28 / 60, 20 + 31 / 60),         # Peoria, Illinois
    ("eurocode", date(2027, 12, 21), 8 + 20 / 60, 16 + 25 / 60),  # Frankfurt
])
def test_sunrise_and_sunset_by_almanacs(region, day, rises, sets):
    """Tables of almanacs, from memory, to ten minutes."""
    rise_h, set_h, dusk_h = weather.sun_h(region, day)
    assert rise_h == pytest.approx(rises, abs=1 / 6) and set_h == pytest.approx(sets, abs=1 / 6)
    assert 0.4 < dusk_h - set_h < 1.0


def test_clocks_go_forward_in_spring():
    """Summer time, common practice: the same sun, an hour later by the clock."""
    march, april = (weather.sun_h("england", date(2027, month, day))[0] for month, day in ((3, 31), (4, 1)))
    assert april - march == pytest.approx(1.0, abs=0.1)


def test_south_of_the_equator_the_seasons_are_the_other_way_round():
    assert [weather.season_month(month, -30.0) for month in (1, 6, 7, 12)] == [7, 12, 1, 6]
    june, december = (weather.sun_h("eurocode", date(2027, month, 21), -34.0) for month in (6, 12))
    assert june[1] - june[0] < 10.5 < 13.5 < december[1] - december[0]


def test_where_the_sun_neither_rises_nor_sets_there_is_still_an_answer():
    """At 80 degrees north it is light all of June and dark all of December (geometry)."""
    rise_h, set_h, dusk_h = weather.sun_h("eurocode", date(2027, 6, 21), 80.0)
    assert set_h - rise_h >= 23.0 and dusk_h >= set_h and rise_h >= 0.0
    rise_h, set_h, dusk_h = weather.sun_h("eurocode", date(2027, 12, 21), 80.0)
    assert rise_h == set_h and 11.0 < rise_h < 14.0


def test_white_nights_have_no_dusk_until_after_midnight():
    """At 65 degrees north the sun sets in June but it does not get dark."""
    rise_h, set_h, dusk_h = weather.sun_h("eurocode", date(2027, 6, 21), 65.0)
    assert rise_h < set_h < dusk_h and dusk_h > 25.0


def test_concrete_follows_the_air_but_is_not_sold_colder_than_five_degrees():
    """BS 8500, from memory: 5 degrees at delivery."""
    assert weather.usual_concrete_c(-10.0) == 5.0
    assert weather.usual_concrete_c(25.0) == 27.0 and weather.usual_concrete_c(50.0) == 45.0


@pytest.mark.parametrize("call", [
    lambda: weather.place_of("mars"), lambda: weather.usual_month("england", 0), lambda: weather.usual_month("england", 13),
    lambda: weather.usual_concrete_c(60.0), lambda: weather.clock_ahead_h("england", 13), lambda: weather.season_month(0, 10.0),
    lambda: weather.season_month(1, 91.0), lambda: weather.sun_h("england", date(2027, 1, 1), 95.0)])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()
