"""What somebody types of the day of a pour, of when he builds and of how the floor came out: how it is read, and what is refused."""

import dataclasses
import re
from dataclasses import replace
from datetime import date, timedelta

import jsonschema
import pytest

from calculators import scenario as records
from calculators.flatness import floor_of
from calculators.pour import Crew, Route, Weather, load_times
from calculators.programme import CALENDAR_BY_NAME, POURING, WAITS, Task, schedule
from calculators.weather import sun_h
from generator.cli import main
from generator.front_matter import Text, as_data, read_front_matter, read_keys
from generator.input_readers import read_input
from generator.input_rows import understood
from generator.inputs import BY_KEY, GROUPS, INPUTS, KEPT_AS, MOST_FLOOR_LEVELS, MOST_HOLIDAYS, MOST_PLACES, NOT_SAID, WORKED_OUT
from generator.new_scenario import new_scenario_text
from generator.problems import BadInput
from generator.scenario import read_scenario_text
from generator.scenario_schema import scenario_schema

SMALL = "---\nplot:\n  footprint: 6 m x 4 m\n  slope: 1:14\n  falls_to: south\n---\n"
OF_THE_JOB = ("pour", "programme", "floor")
JOB = [item.key for item in INPUTS if item.group in OF_THE_JOB]
"""The keys this file is about."""


def read(*overrides: str, text: str = SMALL) -> records.Scenario:
    return read_scenario_text(text, "plot.md", "my-plot", overrides).scenario


def problems_of(*overrides: str, text: str = SMALL):
    with pytest.raises(BadInput) as error:
        read(*overrides, text=text)
    for problem in error.value.problems:
        sentence = problem.sentence()
        assert re.match(r"plot\.md:(\d+|--set): [^:;]+: [^;]+; \S[^;]*$", sentence), sentence
        assert len(sentence) < 700
    return error.value.problems


def one_refusal(*overrides: str, text: str = SMALL) -> str:
    problems = problems_of(*overrides, text=text)
    assert len(problems) == 1, [problem.sentence() for problem in problems]
    return problems[0].sentence()


def at(scenario: records.Scenario, key: str):
    value = scenario
    for part in KEPT_AS[key].split("."):
        value = getattr(value, part)
    return value


# What is read.


@pytest.mark.parametrize("key, typed, expected", [
    ("pour.people", "5", 5),
    ("pour.barrows", "3", 3),
    ("pour.first_time", "no", False),
    ("pour.way", "barrow", "barrow"),
    ("pour.way", WORKED_OUT, None),
    ("pour.run", "82 ft", 24.9936),
    ("pour.run_slope", "1:8", 0.125),
    ("pour.run_slope", "5 %", 0.05),
    ("pour.first_lorry", "8:30", 8.5),
    ("pour.first_lorry", "08:30", 8.5),
    ("pour.first_lorry", "7 am", 7.0),
    ("pour.first_lorry", "12:45 pm", 12.75),
    ("pour.first_lorry", "0:00", 0.0),
    ("pour.travel", "30 min", 0.5),
    ("pour.travel", "1.5 h", 1.5),
    ("pour.lorries_apart", "2 hours", 2.0),
    ("pour.allowance", "45 minutes", 0.75),
    # Fahrenheit from Celsius: NIST SP 811, appendix B.8 (t/C = (t/F - 32) / 1.8; from memory). The scales meet at -40.
    ("pour.air_temperature", "12 C", 12.0),
    ("pour.air_temperature", "12.5 degC", 12.5),
    ("pour.air_temperature", "-3 \u00b0C", -3.0),
    ("pour.air_temperature", "\u22123 deg C", -3.0),
    ("pour.air_temperature", "50 F", 10.0),
    ("pour.air_temperature", "14 degF", -10.0),
    ("pour.air_temperature", "0 degF", -160.0 / 9.0),
    ("pour.air_temperature", "0 C", 0.0),
    ("pour.concrete_temperature", "68\u00b0F", 20.0),
    ("pour.humidity", "65 %", 0.65),
    ("pour.humidity", "100%", 1.0),
    # A mile is 1609.344 m by the agreement of 1959 (from memory).
    ("pour.wind", "36 km/h", 10.0),
    ("pour.wind", "10 mph", 4.4704),
    ("pour.wind", "3 m/s", 3.0),
    ("pour.latitude", "52.4 N", 52.4),
    ("pour.latitude", "34 S", -34.0),
    ("pour.latitude", "-34 deg", -34.0),
    ("pour.latitude", "52.4\u00b0 N", 52.4),
    ("pour.surface", "Power floated", "power floated"),
    ("pour.cement", "rapid", "rapid"),
    ("pour.second_places", "[]", ()),
    ("pour.second_places", "[{name: path bay, room: 0.4 m^3}, {name: bin store, room: 1 yd^3, worth: 76.4554857984 GBP/yd^3}]",
     (records.PlaceForSurplus("path bay", 0.4), records.PlaceForSurplus("bin store", 0.764554857984, pytest.approx(100.0)))),
    ("pour.second_places", "[{name: hole, room: 200 litres, worth: 0}]", (records.PlaceForSurplus("hole", 0.2, 0.0),)),
    ("pour.cold_joint_cost", "350.50 GBP", 350.5),
    ("pour.cold_joint_cost", "0", 0.0),
    ("programme.start", "2027-05-01", date(2027, 5, 1)),
    ("programme.start", "2028-02-29", date(2028, 2, 29)),
    ("programme.start", "2027-05-05", date(2027, 5, 5)),  # A Wednesday, which no weekend builder works: still a day to begin from.
    ("programme.days", "weekdays", "weekdays"),
    ("programme.hours_a_day", "330 min", 5.5),
    ("programme.holidays", "2027-05-29", (date(2027, 5, 29),)),
    # 2028 is a leap year of the Gregorian calendar, 2027 is not.
    ("programme.holidays", "[2028-02-28 to 2028-03-01]", (date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1))),
    ("programme.holidays", "[2027-02-28 to 2027-03-01, 2027-02-28, 2027-02-03]", (date(2027, 2, 3), date(2027, 2, 28), date(2027, 3, 1))),
    ("programme.months_off", "December", (12,)),
    ("programme.months_off", "[dec, 1, January, FEB]", (1, 2, 12)),
    ("programme.waits", "{mortar: 2 weeks, inspection: 0 days}", {"mortar": 14.0, "inspection": 0.0}),
    ("floor.levels", "[[0 m, 0 m, 0 m], [20 ft, 0 m, 1/8 in], [6 m, 4 m, -4 mm], [0 m, 4 m, 2 mm]]",
     ((0.0, 0.0, 0.0), (6.096, 0.0, 0.003175), (6.0, 4.0, -0.004), (0.0, 4.0, 0.002))),
    ("floor.finish", "painted or resin", "painted or resin"),
    ("floor.compound", "thick", "thick"),
    ("floor.against_level", "yes", True),
    ("floor.humidity", "82.5 %", 0.825),
    ("floor.age", "6 weeks", 42.0),
    ("floor.strength", "25 MPa", 25.0),
    ("floor.strength", "25 N/mm^2", 25.0),
    # 1 psi is 6894.757 Pa: NIST SP 811, appendix B.8 (from memory).
    ("floor.strength", "4000 psi", pytest.approx(27.579, abs=5e-4)),
])
def test_in_any_unit(key, typed, expected):
    value = at(read(f"{key}={typed}"), key)
    if isinstance(expected, float):
        assert value == pytest.approx(expected, rel=1e-12)
    else:
        assert value == expected and type(value) is type(expected) or isinstance(value, float)


def test_one_wait_may_be_set_alone():
    text = SMALL.replace("\n---\n", "\nprogramme:\n  waits: {mortar: 9 days}\n---\n")
    assert read("programme.waits.inspection=4 days", text=text).programme.waits == {"mortar": 9.0, "inspection": 4.0}


def test_typing_beside_the_file_goes_before_it():
    text = SMALL.replace("\n---\n", "\npour: {people: 4, barrows: 2}\nprogramme: {start: 2027-04-24}\n---\n")
    changed = read("pour.people=5", "programme.start=2027-05-01", text=text)
    assert (changed.pour.people, changed.pour.barrows, changed.programme.start) == (5, 2, date(2027, 5, 1))
    assert read("pour.barrows=", text=text).pour.barrows is None


def test_nothing_said_is_none_in_the_record():
    plain = read()
    assert (plain.pour, plain.programme, plain.floor) == (records.PourDayGiven(), records.ProgrammeGiven(), records.FloorSurvey())


@pytest.mark.parametrize("key", [key for key in JOB if BY_KEY[key].default in (NOT_SAID, WORKED_OUT)])
def test_what_is_left_open_may_be_typed(key):
    assert read_input(BY_KEY[key], Text(BY_KEY[key].default, 1)) is None
    assert read(f"{key}={BY_KEY[key].default}") == read()


# What is refused.

BAD = [
    ("pour.people", "0", '"0" is too small; it must be from 1 to 20, like 5'),
    ("pour.people", "2.5", '"2.5" is not a whole number; write a whole number, like 5'),
    ("pour.people", "five", '"five" is not a whole number'),
    ("pour.people", "-3", '"-3" is not a whole number'),
    ("pour.people", "99999999999999999999", "is not a whole number"),
    ("pour.people", "\u0665", "is not a whole number"),
    ("pour.barrows", "21", '"21" is too large; it must be from 0 to 20'),
    ("pour.first_time", "maybe", '"maybe" is not one of the words for this; write yes or no'),
    ("pour.way", "wheelbarrow", "(did you mean barrow?); write barrow, chute or pump"),
    ("pour.way", NOT_SAID, '"not said" is not one of the words for this'),
    ("pour.run", "25", '"25" has no unit; write a length with its unit, like 25 m'),
    ("pour.run", "-5 m", '"-5 m" is less than nothing'),
    ("pour.run_slope", "1:6", '"1:6" is too steep; the guide works out nothing steeper than 1:8, like 1:20'),
    ("pour.run_slope", "0.05", "does not say how the slope is meant"),
    ("pour.first_lorry", "8", '"8" is not an hour of the clock; write the hour, a colon and the minutes, like 8:30'),
    ("pour.first_lorry", "8.30", '"8.30" is not an hour of the clock'),
    ("pour.first_lorry", "24:00", '"24:00" is not an hour of the clock; write the hour, a colon and the minutes, from 0:00 to 23:59'),
    ("pour.first_lorry", "8:60", '"8:60" is not an hour of the clock'),
    ("pour.first_lorry", "13 pm", '"13 pm" is not an hour of the clock; before am or pm stands an hour from 1 to 12'),
    ("pour.first_lorry", "510", '"510" is not an hour of the clock'),
    ("pour.travel", "30", '"30" has no unit; write a time with its unit, like 20 min'),
    ("pour.travel", "121 min", '"121 min" is too large; it must be from 0 min to 2 h'),
    ("pour.travel", "1 day", '"1 day" is a number of days; a time with its unit is wanted, in h or min'),
    ("pour.lorries_apart", "9 h", '"9 h" is too large'),
    ("pour.allowance", "30 m", '"30 m" is a length; a time with its unit is wanted, in h or min'),
    # A bare number could be of either scale, and 0 of either is 18 degrees from the other.
    ("pour.air_temperature", "12", '"12" does not say on which scale; write a temperature in C or F, like 12 C'),
    ("pour.air_temperature", "0", '"0" does not say on which scale'),
    ("pour.air_temperature", "12 deg", '"12 deg" has the unit "deg", which is no scale of temperature here'),
    ("pour.air_temperature", "285 K", '"285 K" has the unit "K", which is no scale of temperature here'),
    ("pour.air_temperature", "-20.1 C", '"-20.1 C" is too small; it must be from -20 C to 50 C'),
    ("pour.air_temperature", "123 F", '"123 F" is too large'),
    ("pour.air_temperature", "12,5 C", "has a comma in a number"),
    ("pour.air_temperature", "1e1 C", "which is no scale of temperature here"),
    ("pour.air_temperature", "nan C", "cannot be read as a temperature"),
    ("pour.concrete_temperature", "-1 C", '"-1 C" is less than nothing; it must be from 0 C to 45 C'),
    ("pour.concrete_temperature", "warm", '"warm" cannot be read as a temperature'),
    ("pour.humidity", "0.65", '"0.65" is not a percentage'),
    ("pour.humidity", "65", '"65" is not a percentage'),
    ("pour.humidity", "101 %", '"101 %" is too large; it must be from 0 % to 100 %'),
    ("pour.wind", "12", '"12" has no unit'),
    ("pour.wind", "110 km/h", '"110 km/h" is too large; it must be from 0 m/s to 30 m/s'),
    ("pour.wind", "12 knots", "which is not known here"),
    ("pour.latitude", "52.4", '"52.4" is not a latitude; write degrees, and N or S, like 52.4 N'),
    ("pour.latitude", "-34 S", '"-34 S" is not a latitude'),
    ("pour.latitude", "67 N", '"67 N" is too large; it must be from 66 S to 66 N'),
    ("pour.latitude", "67 S", '"67 S" is too small'),
    ("pour.surface", "polished", '"polished" is not one of the words for this; write brushed, floated, trowelled or power floated'),
    ("pour.cement", "grey", "write rapid, normal or slow"),
    ("pour.second_places", "path bay", '"path bay" is not a list'),
    ("pour.second_places", "[path bay]", 'place 1 is "path bay"; write it in curly brackets with name, room and worth'),
    ("pour.second_places", "[{name: path bay}]", "place 1 does not say how much it takes; give both its name and its room"),
    ("pour.second_places", "[{room: 1 m^3}]", "place 1 does not say what it is"),
    ("pour.second_places", "[{name: path bay, room: 0}]", '"0" is too small; the room of place 1 must be from 0.01 m^3 to 20 m^3'),
    ("pour.second_places", "[{name: path bay, room: 1 m^2}]", '"1 m^2" is an area; a volume with its unit is wanted'),
    ("pour.second_places", "[{name: path bay, room: 1 m^3, value: 3}]", 'place 1 has "value", which is not known here'),
    ("pour.second_places", "[{name: path bay, room: 1 m^3, worth: 60 GBP}]", 'the worth of place 1, "60 GBP", is not money for a volume; write an amount, a currency and /m^3, like 60 GBP/m^3'),
    ("pour.second_places", "[{name: path bay, room: 1 m^3, worth: 60}]", '"60" cannot be read as money; write an amount, a currency and /m^3, like 60 GBP/m^3'),
    ("pour.second_places", "[{name: path bay, room: 1 m^3, worth: -1 GBP/m^3}]", "the worth of place 1 cannot be"),
    ("pour.second_places", "[" + ", ".join(["{name: a, room: 1 m^3}"] * (MOST_PLACES + 1)) + "]", "9 entries are given; give from 0 to 8 entries"),
    ("pour.cold_joint_cost", "400", '"400" cannot be read as money; write an amount and a currency, like 400 GBP'),
    ("pour.cold_joint_cost", "400 GBP/m^3", '"400 GBP/m^3" is a price for the unit m^3; write what it comes to in all, an amount and a currency, like 400 GBP'),
    ("pour.cold_joint_cost", "-1 GBP", '"-1 GBP" is less than nothing; it must be from 0 to 1000000 GBP'),
    ("pour.cold_joint_cost", "1000001 GBP", '"1000001 GBP" is too much'),
    ("programme.start", "2027-02-29", '"2027-02-29" is not in the calendar; write the year, the month and the day, like 2027-04-24'),
    ("programme.start", "24/04/2027", '"24/04/2027" is not a date'),
    ("programme.start", "2027-4-24", '"2027-4-24" is not a date'),
    ("programme.start", "1999-12-31", '"1999-12-31" is not a date'),
    ("programme.start", "tomorrow", '"tomorrow" is not a date'),
    ("programme.days", "sundays", '"sundays" is not one of the words for this'),
    ("programme.hours_a_day", "7", '"7" has no unit'),
    ("programme.hours_a_day", "17 h", '"17 h" is too large; it must be from 0.5 h to 16 h'),
    ("programme.hours_a_day", "29 min", '"29 min" is too small'),
    ("programme.holidays", "August", '"August" is not a date'),
    ("programme.holidays", "[2027-08-14 to 2027-08-01]", '"2027-08-14 to 2027-08-01" ends before it begins; write the earlier day first'),
    ("programme.holidays", "[2027-08-01 - 2027-08-14]", "is not a date"),
    ("programme.holidays", "[2027-08-01 to 2028-08-01]", "is 367 days long; give at most 366 days in all"),
    ("programme.holidays", "[2027-01-01 to 2027-12-31, 2028-01-01, 2028-01-02]", "367 days are given; give at most 366 days in all"),
    ("programme.holidays", "[2027-08-01 to ]", '"2027-08-01 to" is not a date'),
    ("programme.months_off", "Dezember", '"Dezember" is not a month (did you mean December?)'),
    ("programme.months_off", "13", '"13" is not a month; write its name, or its number from 1 to 12'),
    ("programme.months_off", "[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]", "all twelve months are off; leave at least one in which you build"),
    ("programme.waits", "{mortr: 3 days}", 'no wait is called "mortr" (did you mean mortar?)'),
    ("programme.waits", "{mortar: 3}", '"3" has no unit; write a number of days with its unit'),
    ("programme.waits", "{mortar: 366 days}", '"366 days" is too large; the wait mortar must be from 0 days to 365 days'),
    ("programme.waits", "{mortar: 72 h}", '"72 h" is a time; a number of days with its unit is wanted, in day or week'),
    ("programme.waits", "3 days", '"3 days" does not say of what; write each wait with its figure'),
    ("floor.levels", "[[0 m, 0 m, 0 m], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m]]", "3 entries are given; give from 4 to 400 entries"),
    ("floor.levels", "[" + ", ".join(["[0 m, 0 m, 0 m]"] * (MOST_FLOOR_LEVELS + 1)) + "]", "401 entries are given"),
    ("floor.levels", "[[0 m, 0 m], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m], [0 m, 4 m, 0 m]]", "entry 1 has 2 parts; give it x, y and level"),
    ("floor.levels", "[[0 m, 0 m, 2], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m], [0 m, 4 m, 0 m]]", '"2" has no unit'),
    ("floor.levels", "[[0 m, 0 m, 0 m], [6 m, 0 m, 0 m], [3 m, 0 m, 0 m], [1 m, 0 m, 0 m]]", "the levels lie on one line"),
    ("floor.levels", "[[0 m, 0 m, 0 m], [0 m, 0 m, 0 m], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m]]", "a floor needs four levels or more in different places, not 3"),
    ("floor.levels", "[[0 m, 0 m, 0 m], [0 m, 0 m, 30 mm], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m], [0 m, 4 m, 0 m]]", "the point (0 m, 0 m) has two levels, 0.000 m and 0.030 m; keep the one that is right"),
    # On the neighbour's floor: this building is 6 m x 4 m from the origin.
    ("floor.levels", "[[30 m, 0 m, 0 m], [36 m, 0 m, 0 m], [36 m, 4 m, 0 m], [30 m, 4 m, 0 m]]", "the levels do not lie on the floor"),
    ("floor.levels", "[[0 m, 0 m, 4 m], [6 m, 0 m, 0 m], [6 m, 4 m, 0 m], [0 m, 4 m, 0 m]]", "the highest level lies 4.000 m above the lowest, which is no floor; look for a slip in the units"),
    ("floor.finish", "lino", '"lino" is not one of the words for this; write bare, sealed, painted or resin, boards or tiles'),
    ("floor.compound", "deep", "write thin or thick"),
    ("floor.against_level", "level", "write yes or no"),
    ("floor.humidity", "80", '"80" is not a percentage'),
    ("floor.age", "28", '"28" has no unit; write a number of days with its unit, like 28 days'),
    ("floor.age", "101 years", "which is not known here"),
    ("floor.strength", "C25/30", "cannot be read"),
    ("floor.strength", "0 MPa", '"0 MPa" is too small; it must be from 1 MPa to 100 MPa'),
    ("floor.strength", "25", '"25" has no unit'),
]


@pytest.mark.parametrize("key, typed, words", BAD)
def test_what_is_refused(key, typed, words):
    sentence = one_refusal(f"{key}={typed}")
    assert words in sentence and f": {key}: " in sentence, sentence


def test_every_key_is_refused_for_something():
    assert {key for key, _, _ in BAD} == set(JOB)


NONSENSE = ["", "   ", "[", "{", "[]", "{}", "[[[[]]]]", "{a: 1}", "null", "true", "~", "&a", "*a", "!x", "<script>", "\u202e5", "9" * 400, "1/0", "-", "..", "../../etc", "\u4e2d\u6587", "5 \u0663 m"]


@pytest.mark.parametrize("key", JOB)
def test_nonsense_is_read_as_nothing_or_refused_in_words(key):
    for typed in NONSENSE:
        try:
            scenario = read(f"{key}={typed}")
        except BadInput as error:
            assert all(problem.sentence() for problem in error.problems)
        else:
            # Nothing typed, or an empty list where there may be none; that there is no second place says more than nothing.
            none = replace(read(), pour=replace(read().pour, places=()))
            assert scenario in (read(), none if key == "pour.second_places" and typed == "[]" else read()), (key, typed)


@pytest.mark.parametrize("overrides, words", [
    (["pour.way=pump"], "pour.way: the concrete goes by pump, and below plot no pump is to come; write pump: yes in access below plot"),
    (["pour.way=barrow", "plot.access.pump=yes"], "pour.way: the concrete goes by barrow, and below plot a pump is to come"),
    (["pour.way=chute", "plot.access.pump=yes"], "pour.way: the concrete goes by chute, and below plot a pump is to come"),
    (["pour.way=chute"], "pour.way: the way from lorry to slab, 20 m (the default), is longer than the chute of a lorry, which reaches 2.7 m"),
    (["pour.way=chute", "pour.run=3 m"], 'pour.run: the way from lorry to slab, "3 m", is longer than the chute of a lorry'),
    (["pour.run=61 m"], 'pour.run: the way from lorry to slab, "61 m", is too long for barrows, which are wheeled 60 m at most; bring the lorry nearer'),
    (["pour.way=barrow", "plot.access.lorry_to_slab=80 m"], 'pour.way: the way from lorry to slab, "80 m", is too long for barrows'),
    (["pour.barrows=0"], "pour.barrows: there are no barrows, and the concrete goes by barrow; write how many there are, 3 or 4 are usual, or another way, like 3"),
    (["pour.people=3", "pour.barrows=3"], 'pour.barrows: "3" barrows take everybody of "3", and nobody is left to place the concrete; write fewer barrows or more people, like 1'),
    (["pour.cold_joint_cost=400 USD"], 'pour.cold_joint_cost: "400 USD" is in another currency than the schedule of rates; write it in GBP, like 400 GBP'),
    (["pour.second_places=[{name: path bay, room: 1 m^3, worth: 60 EUR/m^3}]"],
     'pour.second_places: what concrete is worth in "path bay" is in another currency than the schedule of rates; write it in GBP, like 60 GBP/m^3'),
    # The demonstration prices have concrete at 148 a cubic metre, likely.
    (["pour.second_places=[{name: path bay, room: 1 m^3, worth: 148.01 GBP/m^3}]"], 'concrete in "path bay" is worth more than its price, 148 GBP/m^3; write less'),
    (["programme.holidays=[2027-04-01 to 2027-04-30]", "programme.months_off=[1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12]"], "there is no day to build on, or none with lorries or inspectors, for 400 days about 2027-04-01"),
    # 8 or 9 days a year of half an hour each: 4 hours a year.
    (["programme.hours_a_day=30 min", "programme.months_off=[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]"], "leaves so little time that a job of 1000 hours would go on for more than 20 years"),
])
def test_rules_that_join_keys(overrides, words):
    assert words in one_refusal(*overrides)


@pytest.mark.parametrize("overrides", [
    ["pour.way=pump", "plot.access.pump=yes", "pour.run=90 m"],
    ["pour.way=chute", "pour.run=2.7 m"],
    ["pour.way=chute", "plot.access.lorry_to_slab=2 m"],
    ["pour.way=barrow", "pour.run=60 m"],
    # Nobody has said how it is to go, so nothing is held against him.
    ["plot.access.lorry_to_slab=80 m"],
    ["pour.barrows=0", "plot.access.lorry_to_slab=2 m"],
    ["pour.barrows=0", "plot.access.pump=yes"],
    ["pour.people=1", "pour.barrows=1"],
    ["pour.people=3", "pour.barrows=2"],
    ["pour.second_places=[{name: path bay, room: 1 m^3, worth: 148 GBP/m^3}]"],
    ["rates=demo-us", "pour.cold_joint_cost=400 USD", "pour.second_places=[{name: path bay, room: 1 yd^3, worth: 180 USD/yd^3}]"],
    ["programme.holidays=[2027-04-03]", "programme.months_off=[1, 2, 3, 5, 6, 7, 8, 9, 10, 11, 12]"],
    ["programme.holidays=[2027-01-01 to 2027-12-31]"],
    ["programme.hours_a_day=30 min"],
    ["programme.days=every day", "programme.hours_a_day=16 h"],
    ["programme.months_off=[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]"],
])
def test_what_goes_together(overrides):
    read(*overrides)


def test_a_calendar_is_refused_just_where_the_programme_refuses_it():
    """Saturdays are the only days on which a weekend builder has lorries: so many of them off, and no pour can be dated."""
    def saturdays(count: int) -> list[date]:
        return [date(2027, 1, 2) + timedelta(days=7 * week) for week in range(count)]

    def dated(count: int) -> bool:
        calendar = CALENDAR_BY_NAME["weekends"]
        calendar = type(calendar)(calendar.weekdays, holidays=frozenset(saturdays(count)))
        try:
            schedule([Task("pour", kind=POURING, own_hours=5.0)], date(2026, 12, 27), calendar)
        except ValueError:
            return False
        return True

    def taken(count: int) -> bool:
        try:
            read(f"programme.holidays=[{', '.join(map(str, saturdays(count)))}]")
        except BadInput:
            return False
        return True

    assert [taken(count) for count in range(54, 61)] == [dated(count) for count in range(54, 61)]
    assert taken(54) and not taken(60)


def test_every_problem_at_once_each_on_its_line():
    text = SMALL.replace("\n---\n", """
pour:
  people: many
  way: pump
  air_temperature: 12
  second_places: [{name: bay}, {room: 1 m^3}]
programme:
  start: 2027-13-01
  holidays: [2027-05-29, 1 May,
    2 May]
floor:
  levels: none
  strngth: 25 MPa
---
""")
    found = [(problem.line, problem.field) for problem in problems_of(text=text)]
    assert found == [
        (7, "pour.people"), (8, "pour.way"), (9, "pour.air_temperature"), (10, "pour.second_places"), (10, "pour.second_places"), (12, "programme.start"),
        (13, "programme.holidays"), (14, "programme.holidays"), (17, "floor.strngth")]


@pytest.mark.parametrize("overrides", [
    ["pour.cold_joint_cost=400"], ["pour.cold_joint_cost=400 GBP/m^3"], ["pour.cold_joint_cost=400 USD"], ["hour_worth=12"], ["heat.energy_price=0.3"],
    *([f"{key}={typed}"] for key, typed, _ in BAD),
])
def test_what_a_refusal_gives_as_an_example_can_be_read(overrides):
    key = overrides[0].partition("=")[0]
    for problem in problems_of(*overrides):
        # A part of a list is told by a part, and the slope has several examples.
        if problem.example and BY_KEY[key].kind not in ("places", "waits", "holidays", "months", "floor levels", "slope"):
            read(f"{key}={problem.example}")


@pytest.mark.parametrize("cost", ["400", "400 GBP/m^3", "1000001 GBP", "-1 GBP", "400 gbp"])
def test_the_example_for_the_cost_of_a_wish_can_be_read(cost):
    def wish(cost: str) -> str:
        return f"futures=[{{name: a lean-to, costs: {{thickened-raft: {cost}}}}}]"

    (problem,) = problems_of(wish(cost))
    assert read(wish(problem.example)).own_futures[0].costs == {"thickened-raft": 400.0}


# Whatever is read can be worked out.


def ends(key: str) -> tuple[object, object]:
    item = BY_KEY[key]
    return tuple(read_input(item, Text(end, 1)) for end in (item.least, item.most))


def test_the_bounds_are_within_those_of_every_formula():
    for air, concrete, humidity, wind in zip(*(ends(f"pour.{name}") for name in ("air_temperature", "concrete_temperature", "humidity", "wind"))):
        assert Weather(air, humidity, wind, concrete).evaporation_kg_per_m2h >= 0.0
    for slope in ends("pour.run_slope"):
        Route("barrow", 60.0, slope)
    for people in ends("pour.people"):
        Crew(0, people)
    for barrows in ends("pour.barrows"):
        Crew(barrows, 1)
    for first, travel, apart, allowance in zip(*(ends(f"pour.{name}") for name in ("first_lorry", "travel", "lorries_apart", "allowance"))):
        assert load_times([6.0, 1.0], 3.0, first, travel, apart, allowance)[-1].empty_h > first
    for latitude in ends("pour.latitude"):
        for month in range(1, 13):
            sunrise_h, sunset_h, dusk_h = sun_h("england", date(2027, month, 21), latitude)
            assert sunrise_h <= sunset_h <= dusk_h
    for hours in ends("programme.hours_a_day"):
        calendar = CALENDAR_BY_NAME["weekends"]
        assert schedule([Task("dig", own_hours=20.0)], date(2099, 12, 31), type(calendar)(calendar.weekdays, hours_a_day=hours)).finish > date(2099, 12, 31)
    for end in (BY_KEY["programme.waits"].least, BY_KEY["programme.waits"].most):
        waits = read("programme.waits={" + ", ".join(f"{wait}: {end}" for wait in WAITS) + "}").programme.waits
        assert set(waits) == set(WAITS)
        assert all(Task(wait, days=days).days == days for wait, days in waits.items())


def test_so_many_levels_and_holidays_can_be_read():
    grid = ", ".join(f"[{0.3 * (i % 20):.1f} m, {0.2 * (i // 20):.1f} m, {(i * 7) % 5} mm]" for i in range(MOST_FLOOR_LEVELS))
    levels = read(f"floor.levels=[{grid}]").floor.levels_m
    assert len(levels) == MOST_FLOOR_LEVELS and floor_of(levels).area_m2 == pytest.approx(5.7 * 3.8)
    days = [date(2027, 1, 1) + timedelta(days=2 * n) for n in range(MOST_HOLIDAYS)]
    assert read(f"programme.holidays=[{', '.join(map(str, days))}]").programme.holidays == tuple(days)


# What is made from the list of inputs.

ALL = "".join([SMALL.removesuffix("---\n"), *(
    line for group in OF_THE_JOB for line in (f"{group}:\n", *(f"  {item.name}: {item.example}\n" for item in INPUTS if item.group == group))
), "---\nA story.\n"])


def document_with(key: str, typed: str) -> dict:
    document = {"plot": {"footprint": "6 m x 4 m", "slope": "0"}}
    document[BY_KEY[key].group] = {BY_KEY[key].name: as_data(read_keys(f"x: {typed}", "a file").values["x"])}
    return document


def test_the_schema_takes_what_is_read():
    validator = jsonschema.Draft202012Validator(scenario_schema())
    read(text=ALL)
    assert not list(validator.iter_errors(as_data(read_front_matter(ALL, "plot.md").keys)))
    for key in JOB:
        for typed in (BY_KEY[key].example, BY_KEY[key].default):
            assert not list(validator.iter_errors(document_with(key, typed))), (key, typed)


@pytest.mark.parametrize("changes", [
    {"pour": "yes"},
    {"pour": {"crew": "5"}},
    {"pour": {"people": 2.5}},
    {"pour": {"way": "crane"}},
    {"pour": {"air_temperature": 12}},
    {"pour": {"humidity": 0.65}},
    {"pour": {"second_places": "a bay"}},
    {"pour": {"second_places": [{"name": "a bay"}]}},
    {"pour": {"second_places": [{"name": "a bay", "room": "1 m^3", "price": "3 GBP"}]}},
    {"pour": {"second_places": [{"name": "a bay", "room": "1 m^3"}] * (MOST_PLACES + 1)}},
    {"programme": {"start": "1 May 2027"}},
    {"programme": {"days": "sundays"}},
    {"programme": {"holidays": ["1 May 2027"]}},
    {"programme": {"months_off": 13}},
    {"programme": {"waits": {"mortr": "3 days"}}},
    {"programme": {"waits": "3 days"}},
    {"floor": {"levels": [["0 m", "0 m", "0 m"]] * 3}},
    {"floor": {"levels": [["0 m", "0 m"]] * 4}},
    {"floor": {"finish": "carpet"}},
    {"floor": {"age": 28}},
])
def test_the_schema_refuses_what_is_refused(changes):
    document = {"plot": {"footprint": "6 m x 4 m", "slope": "0"}, **changes}
    assert list(jsonschema.Draft202012Validator(scenario_schema()).iter_errors(document))


def test_the_schema_knows_the_waits_of_the_programme():
    schema = scenario_schema()["properties"]["programme"]["properties"]["waits"]
    assert set(schema["anyOf"][1]["properties"]) == set(WAITS)
    assert all(wait in BY_KEY["programme.waits"].hint for wait in WAITS)


def test_a_new_scenario_with_all_of_it_reads_back():
    first = read(text=ALL)
    overrides = [f"{key}={BY_KEY[key].example}" for key in JOB]
    for text in (new_scenario_text("my-plot", ALL, ["title=My plot"]), new_scenario_text("my-plot", SMALL, overrides)):
        copy = read_scenario_text(text, "my-plot.md", "my-plot")
        assert copy.scenario == first
        assert set(JOB) <= set(copy.given)


def test_the_command_takes_every_key(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "docs" / "scenarios").mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("site_name: A guide\n", encoding="utf-8")
    arguments = [part for key in JOB for part in ("--set", f"{key}={BY_KEY[key].example}")]
    assert main(["new", "my-plot", *arguments]) == 0, capsys.readouterr().err
    made = (tmp_path / "docs" / "scenarios" / "my-plot.md").read_text(encoding="utf-8")
    assert read(text=made).pour.people == 5
    assert main(["check", "docs/scenarios/my-plot.md"]) == 0
    capsys.readouterr()
    assert main(["compare", "docs/scenarios/my-plot.md", "--text", "--set", "pour.people=none"]) != 0
    assert '--set: pour.people: "none" is not a whole number' in capsys.readouterr().err


def test_every_key_has_words_on_a_page():
    given, open_ = read(text=ALL), read()
    for key in JOB:
        shown = understood(BY_KEY[key], given)
        assert shown.metric and shown.imperial and shown.metric not in (NOT_SAID, WORKED_OUT, "none"), key
        assert understood(BY_KEY[key], open_).metric, key


@pytest.mark.parametrize("key, typed, metric, imperial", [
    ("pour.air_temperature", "50 F", "10 \u00b0C", "50 \u00b0F"),
    # 10 mph are 4.4704 m/s.
    ("pour.wind", "10 mph", "4.47 m/s", "10 mph"),
    ("pour.first_lorry", "1:05 pm", "13:05", "13:05"),
    ("pour.travel", "15 min", "15 min", "15 min"),
    ("pour.travel", "60 min", "1 hour", "1 hour"),
    ("pour.humidity", "65 %", "65 %", "65 %"),
    ("pour.latitude", "34 S", "34.0\u00b0 S", "34.0\u00b0 S"),
    ("pour.cold_joint_cost", "400 GBP", "\u00a3400", "\u00a3400"),
    # 1 May 2027 is a Saturday.
    ("programme.start", "2027-05-01", "Sat 1 May 2027", "Sat 1 May 2027"),
    ("programme.holidays", "[2027-05-01 to 2027-05-03, 2027-05-05]", "Sat 1 May 2027 to Mon 3 May 2027; Wed 5 May 2027", "Sat 1 May 2027 to Mon 3 May 2027; Wed 5 May 2027"),
    ("programme.months_off", "[12, 1]", "January and December", "January and December"),
    ("programme.waits", "{mortar: 1 week}", "mortar 7 days", "mortar 7 days"),
    ("floor.levels", BY_KEY["floor.levels"].example, "5 points", "5 points"),
    # 25 MPa over 6894.757 Pa.
    ("floor.strength", "25 MPa", "25 MPa", "3,626 psi"),
])
def test_what_was_understood_is_shown(key, typed, metric, imperial):
    shown = understood(BY_KEY[key], read(f"{key}={typed}"))
    assert (shown.metric.replace("\u00a0", " "), shown.imperial.replace("\u00a0", " ")) == (metric, imperial)


def test_the_groups_have_words_and_every_field_a_key():
    assert set(OF_THE_JOB) <= set(GROUPS)
    kept = {KEPT_AS[key] for key in JOB}
    for group, record in zip(OF_THE_JOB, (records.PourDayGiven, records.ProgrammeGiven, records.FloorSurvey)):
        assert {path.partition(".")[2] for path in kept if path.startswith(f"{group}.")} == {field.name for field in dataclasses.fields(record)}
