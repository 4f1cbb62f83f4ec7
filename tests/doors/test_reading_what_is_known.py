"""What somebody knows of the ground, the drains, the edge, the heating and the carbon: how it is read, and what is refused."""

import dataclasses
import random
import re
from pathlib import Path

import jsonschema
import pytest

from calculators import carbon, water, yearly_heat
from calculators import scenario as records
from calculators.compare import compare
from generator.cli import main
from generator.front_matter import Text, as_data, read_front_matter, read_keys
from generator.input_readers import read_input
from generator.input_rows import understood
from generator.inputs import BY_KEY, GROUPS, INPUTS, KEPT_AS, NOT_SAID, PIECES
from generator.new_scenario import new_scenario_text
from generator.problems import BadInput
from generator.scenario import read_scenario_text
from generator.scenario_schema import scenario_schema

ROOT = Path(__file__).resolve().parents[2]
SMALL = "---\nplot:\n  footprint: 6 m x 4 m\n  slope: 1:14\n  falls_to: south\n---\n"

KNOWN = [
    item.key for item in INPUTS
    if item.group not in ("", "pour", "programme", "floor") and item.key in KEPT_AS or item.key in ("plot.hollows", "plot.existing_slabs", "plot.neighbours", "building.sleeping", "building.non_combustible",
                                           "schemes.insulated-slab.insulation_strength", "heat.pattern", "heat.degree_days", "heat.efficiency")
]
"""The keys this file is about."""


def read(*overrides: str, text: str = SMALL) -> records.Scenario:
    return read_scenario_text(text, "plot.md", "my-plot", overrides).scenario


def refused(*overrides: str, text: str = SMALL) -> list[str]:
    with pytest.raises(BadInput) as error:
        read(*overrides, text=text)
    sentences = [problem.sentence() for problem in error.value.problems]
    for sentence in sentences:
        assert re.match(r"plot\.md:(\d+|--set): [^:;]+: [^;]+; \S[^;]*$", sentence), sentence
        assert len(sentence) < 600
    return sentences


def one_refusal(*overrides: str, text: str = SMALL) -> str:
    sentences = refused(*overrides, text=text)
    assert len(sentences) == 1, sentences
    return sentences[0]


def at(scenario: records.Scenario, path: str):
    value = scenario
    for part in path.split("."):
        value = getattr(value, part)
    return value


# What is read.


@pytest.mark.parametrize("key, typed, path, expected", [
    ("plot.snow", "0.9 kPa", "given.ground_snow_kpa", 0.9),
    # 1 psf is 47.880259 Pa: NIST SP 811, Appendix B, from memory.
    ("plot.snow", "30 psf", "given.ground_snow_kpa", pytest.approx(1.43640777, rel=1e-8)),
    ("plot.snow", "0", "given.ground_snow_kpa", 0.0),
    ("plot.wind", "0.8 kN/m^2", "given.wind_pressure_kpa", 0.8),
    ("plot.bearing", "0.1 N/mm^2", "given.presumed_bearing_kpa", 100.0),
    ("plot.friction_angle", "32 degrees", "given.friction_deg", 32.0),
    ("plot.friction_angle", "32°", "given.friction_deg", 32.0),
    ("plot.undrained_strength", "60 kPa", "given.undrained_strength_kpa", 60.0),
    ("building.floor_load", "3 kN", "given.foot_kn", 3.0),
    # Standard gravity, 9.80665 m/s2: third General Conference on Weights and Measures, 1901, from memory.
    ("building.floor_load", "300 kg", "given.foot_kn", pytest.approx(2.941995, rel=1e-12)),
    ("building.floor_load", "1000 lbf", "given.foot_kn", pytest.approx(4.4482216152605, rel=1e-12)),
    ("building.floor_load_size", "4 in", "given.foot_m", 0.1016),
    ("building.sleeping", "yes", "building.sleeping", True),
    ("building.non_combustible", "Yes", "building.non_combustible", True),
    ("schemes.insulated-slab.insulation_strength", "0.25 MPa", None, 250.0),
    ("heat.pattern", "Always", "heat.pattern", "always"),
    ("heat.degree_days", "4500 degF day", "heat.degree_days", 2500.0),
    ("heat.energy_price", "0.28 GBP/kWh", "heat.energy_price_per_kwh", 0.28),
    ("heat.energy_price", "0.05 GBP/MJ", "heat.energy_price_per_kwh", pytest.approx(0.18, rel=1e-12)),
    ("heat.energy_price", "0", "heat.energy_price_per_kwh", 0.0),
    ("heat.efficiency", "3.2", "heat.efficiency", 3.2),
    ("heat.efficiency", "90 %", "heat.efficiency", 0.9),
    ("drainage.pipe", "4 in", "drainage.pipe_m", 0.1016),
    ("drainage.gradient", "1 in 60", "drainage.gradient", pytest.approx(1 / 60, rel=1e-15)),
    ("drainage.gradient", "2 %", "drainage.gradient", 0.02),
    ("drainage.roughness", "0", "drainage.roughness_m", 0.0),
    ("drainage.paving", "100 ft^2", "drainage.paving_m2", pytest.approx(9.290304, rel=1e-12)),
    ("drainage.overhang", "0 m", "drainage.overhang_m", 0.0),
    ("drainage.soakaway", "3000 l", "drainage.soakaway_m3", 3.0),
    ("drainage.under_slab_cover", "0", "drainage.under_slab_cover_m", 0.0),
    ("drainage.pipe_mass", "1.6 kg/m", "drainage.pipe_kg_per_m", 1.6),
    ("edge.membrane_lap", "12 in", "edge.membrane_lap_m", pytest.approx(0.3048, rel=1e-12)),
    ("edge.dpc_lap", "100 mm", "edge.dpc_lap_m", 0.1),
    ("edge.patch_lap", "25 cm", "edge.patch_lap_m", 0.25),
    ("edge.cladding_past_face", "0", "edge.cladding_past_face_m", 0.0),
    ("edge.cladding_below_dpc", "2 in", "edge.cladding_below_dpc_m", pytest.approx(0.0508, rel=1e-12)),
    ("edge.outside_insulation", "60 mm", "edge.outside_insulation_m", 0.06),
    ("edge.paving_below_dpc", "1 ft", "edge.paving_below_dpc_m", pytest.approx(0.3048, rel=1e-12)),
    ("edge.paving_fall", "1 in 30", "edge.paving_fall", pytest.approx(1 / 30, rel=1e-15)),
    ("edge.paving_fall", "0", "edge.paving_fall", 0.0),
    ("carbon.factors", "{electricity: 50 g/kWh, diesel: 2.6 kg/l, wood: -700 kgCO2e/t, lorry: 0.1 kgCO2e/tkm}", "own_carbon.factors",
     {"wood": -700.0, "lorry": 0.1, "electricity": 0.05, "diesel": 2.6}),
    ("carbon.distances", "{spoil: 5 miles, blocks and mortar: 0}", "own_carbon.distances_km", {"blocks and mortar": 0.0, "spoil": 8.04672}),
])
def test_in_any_unit(key, typed, path, expected):
    found = read(f"{key}={typed}")
    value = at(found, path) if path else found.schemes["insulated-slab"].insulation_strength_kpa
    assert value == expected


def test_one_factor_and_one_distance_may_be_set_alone():
    own = read("carbon.factors.concrete=95 kg/t", "carbon.distances.stone and sand=22 km").own_carbon
    assert own == records.OwnCarbon({"concrete": 95.0}, {"stone and sand": 22.0})
    text = SMALL.replace("\n---\n", "\ncarbon: {factors: {steel: 700 kg/t, concrete: 80 kg/t}}\n---\n")
    assert read("carbon.factors.concrete=95 kg/t", text=text).own_carbon.factors == {"concrete": 95.0, "steel": 700.0}


@pytest.mark.parametrize("typed, neighbours", [
    (NOT_SAID, None),
    ("none", ()),
    ("[]", ()),
    ("[{distance: 2 m, foundations: 0.6 m}, {distance: 15 ft}]", (records.Neighbour(2.0, 0.6), records.Neighbour(4.572))),
    ("[{distance: 0 m, foundations: 0}]", (records.Neighbour(0.0, 0.0),)),
])
def test_neighbours(typed, neighbours):
    assert read(f"plot.neighbours={typed}").plot.neighbours == neighbours


def test_nobody_said_that_there_are_no_neighbours():
    reading = read_scenario_text(SMALL, "plot.md", "my-plot")
    assert reading.scenario.plot.neighbours is None
    told = {used.key: used for used in reading.defaults}
    assert told["plot.neighbours"].value_text == NOT_SAID and "boundary" in told["plot.neighbours"].reason
    assert "plot.neighbours" not in {used.key for used in read_scenario_text(SMALL, "plot.md", "my-plot", ["plot.neighbours=none"]).defaults}


def test_hollows_and_existing_slabs():
    plot = read("plot.hollows=[{at: [[4 m, 3 m], [5 m, 2 m], [4 m, 1 m]], depth: 1 ft}]", "plot.existing_slabs=[{from: [1 m, 1 m], size: 1.5 m x 1 m, thickness: 4 in}]").plot
    assert plot.hollows_m == ((((4.0, 1.0), (5.0, 2.0), (4.0, 3.0)), pytest.approx(0.3048)),)
    assert plot.existing_slabs_m == ((((1.0, 1.0), (2.5, 1.0), (2.5, 2.0), (1.0, 2.0)), pytest.approx(0.1016)),)


def test_what_is_not_said_has_one_name_for_the_record_and_for_the_reader():
    fields = {f"{part}.{field.name}" for part, record in (("given", records.Given), ("drainage", records.Drainage), ("edge", records.EdgeDetails), ("own_carbon", records.OwnCarbon))
              for field in dataclasses.fields(record)}
    assert fields == {KEPT_AS[key] for key in KNOWN if key in KEPT_AS and not key.startswith("heat.")}
    assert tuple(yearly_heat.HEATING_PATTERNS) == records.HEATING_PATTERNS
    assert {item.group for item in INPUTS} <= {"", *GROUPS}


# What is refused.

BAD = [
    ("plot.snow", "0.9", '"0.9" has no unit; write a pressure with its unit, like 0.9 kPa'),
    ("plot.snow", "-1 kPa", '"-1 kPa" is less than nothing; it must be from 0 kPa to 10 kPa, like 0.9 kPa'),
    ("plot.snow", "12 kPa", '"12 kPa" is too large; it must be from 0 kPa to 10 kPa, like 0.9 kPa'),
    ("plot.snow", "2 ft", '"2 ft" is a length; a pressure with its unit is wanted, in kPa, MPa, psf or psi, like 0.9 kPa'),
    ("plot.snow", "0,9 kPa", '"0,9 kPa" has a comma in a number; write a point for decimals and nothing between thousands, like 0.9 kPa'),
    ("plot.wind", "40 m/s", '"40 m/s" is a speed; a pressure with its unit is wanted, in kPa, MPa, psf or psi, like 0.8 kPa'),
    ("plot.wind", "800 kPa", "is too large"),
    ("plot.wind", "0 kPa", '"0 kPa" is too small; it must be from 0.1 kPa to 5 kPa, like 0.8 kPa'),
    ("plot.bearing", "5 kPa", "it must be from 20 kPa to 1000 kPa"),
    ("plot.bearing", "2 t/m^2", "is not known here"),
    ("plot.friction_angle", "32", '"32" has no unit; write an angle with its unit, like 32 deg'),
    ("plot.friction_angle", "60 deg", '"60 deg" is too large; it must be from 15 deg to 45 deg, like 32 deg'),
    ("plot.friction_angle", "[32 deg]", "a list is given; write one piece of text"),
    ("plot.undrained_strength", "400 kPa", "it must be from 5 kPa to 300 kPa"),
    ("building.floor_load", "300", '"300" has no unit; write a weight with its unit, like 3 kN'),
    ("building.floor_load", "3 kPa", '"3 kPa" is a pressure; a weight with its unit is wanted, in kN, N, kg, t or lb, like 3 kN'),
    ("building.floor_load", "20 t", "it must be from 0.1 kN to 100 kN"),
    ("building.floor_load_size", "1 m", "it must be from 10 mm to 600 mm"),
    ("building.sleeping", "sometimes", "write yes or no"),
    ("building.non_combustible", "1", "write yes or no"),
    ("schemes.insulated-slab.insulation_strength", "10 kPa", "it must be from 30 kPa to 1000 kPa"),
    ("schemes.thickened-raft.insulation_strength", "100 kPa", "there is no such key in schemes.thickened-raft; it belongs in schemes.insulated-slab"),
    ("heat.pattern", "weekends", '"weekends" is not one of the words for this'),
    ("heat.pattern", "alway", "did you mean always?"),
    ("heat.degree_days", "2200", '"2200" has no unit; write degree-days with their unit, like 2200 K day'),
    ("heat.degree_days", "20000 K day", "it must be from 0 K day to 10000 K day"),
    ("heat.energy_price", "0.28", "cannot be read as money"),
    ("heat.energy_price", "0.28 GBP", '"0.28 GBP" is not money for a kilowatt hour; write an amount, a currency and /kWh, like 0.28 GBP/kWh'),
    ("heat.energy_price", "80 GBP/m^3", "is not money for a kilowatt hour"),
    ("heat.energy_price", "28 GBP/kwh", 'the unit "kwh" is not known here'),
    ("heat.energy_price", "0.28 USD/kWh", '"0.28 USD/kWh" is in another currency than the schedule of rates; write it in GBP, like 0.28 GBP/kWh'),
    ("heat.energy_price", "-1 GBP/kWh", "cannot be the price of a kilowatt hour; write 0 or more"),
    ("heat.efficiency", "300", '"300" is too large; it must be from 0.3 to 6, like 3'),
    ("heat.efficiency", "0", '"0" is too small; it must be from 0.3 to 6, like 3'),
    ("heat.efficiency", "three", '"three" is not a ratio; write a number or a percentage, like 3'),
    ("drainage.pipe", "400 mm", "it must be from 50 mm to 300 mm"),
    ("drainage.pipe", "100", "has no unit"),
    ("drainage.gradient", "0", '"0" is too flat; the guide works out nothing flatter than 1:500, like 1:60'),
    ("drainage.gradient", "1:1", '"1:1" is too steep; the guide works out nothing steeper than 1:2, like 1:60'),
    ("drainage.gradient", "60", "does not say how the slope is meant"),
    ("drainage.roughness", "1 cm", "it must be from 0 mm to 5 mm"),
    ("drainage.paving", "12 m", '"12 m" is a length; an area with its unit is wanted, in m^2, ft^2 or yd^2, like 12 m^2'),
    ("drainage.overhang", "2 m", "it must be from 0 m to 1.5 m"),
    ("drainage.soakaway", "0", "it must be from 0.05 m^3 to 100 m^3"),
    ("drainage.soakaway_voids", "30", '"30" is too large; it must be from 10 % to 100 %, like 95 %'),
    ("drainage.soakaway_voids", "30 mm", '"30 mm" is not a ratio'),
    ("drainage.soakaway_distance", "-5 m", "less than nothing"),
    ("drainage.soakaway_rate", "36 mm", '"36 mm" is a length; a speed with its unit is wanted, in m/s, mm/h, in/h, km/h or mph, like 36 mm/h'),
    ("drainage.soakaway_rate", "1 m/s", "it must be from 0.1 mm/h to 36000 mm/h"),
    ("drainage.soakaway_pit", "1.6 m x 1.4 m", '"1.6 m x 1.4 m" is not three lengths; write three lengths with an x between, like 1.6 m x 1.4 m x 1.5 m'),
    ("drainage.soakaway_pit", "1.6 m x 0 m x 1.5 m", "each side must be from 0.1 m to 20 m"),
    ("drainage.under_slab_cover", "-100 mm", "less than nothing"),
    ("drainage.pipe_outside", "1 m", "it must be from 50 mm to 400 mm"),
    ("drainage.pipe_mass", "1.6 kg", '"1.6 kg" is a mass; a mass for each metre with its unit is wanted, in kg/m or lb/ft, like 1.6 kg/m'),
    ("drainage.tie_spacing", "0", "it must be from 0.1 m to 10 m"),
    ("drainage.tie_strength", "100 kN", "it must be from 0.05 kN to 20 kN"),
    ("drainage.pip", "100 mm", "there is no such key in drainage; did you mean pipe?"),
    ("drainage", "yes", "write its keys below it"),
    ("edge.membrane_lap", "300", '"300" has no unit; write a length with its unit, like 300 mm'),
    ("edge.membrane_lap", "3 m", '"3 m" is too large; it must be from 0 mm to 2 m, like 300 mm'),
    ("edge.dpc_lap", "-100 mm", '"-100 mm" is less than nothing; it must be from 0 mm to 2 m, like 150 mm'),
    ("edge.patch_lap", "0.1 m^2", '"0.1 m^2" is an area; a length with its unit is wanted'),
    ("edge.cladding_past_face", "-10 mm", '"-10 mm" is less than nothing; it must be from 0 mm to 500 mm, like 45 mm'),
    ("edge.cladding_below_dpc", "1.2 m", '"1.2 m" is too large; it must be from 0 mm to 1 m, like 50 mm'),
    ("edge.outside_insulation", "EPS", 'like 50 mm'),
    ("edge.outside_insulation", "400 mm", '"400 mm" is too large; it must be from 0 mm to 300 mm, like 50 mm'),
    ("edge.paving_below_dpc", "4 m", '"4 m" is too large; it must be from 0 mm to 3 m, like 200 mm'),
    ("edge.paving_fall", "1:1", '"1:1" is too steep; the guide works out nothing steeper than 1:2, like 1:30'),
    ("edge.paving_fall", "40", '"40" does not say how the slope is meant'),
    ("edge.membrane", "300 mm", "there is no such key in edge; did you mean membrane_lap?"),
    ("edge", "yes", "write its keys below it"),
    ("carbon.factors", "{cement: 95 kg/t}", 'no factor is called "cement"'),
    ("carbon.factors", "{concret: 95 kg/t}", 'no factor is called "concret" (did you mean concrete?); there are concrete, aggregates, bricks'),
    ("carbon.factors", "{concrete: 95}", '"95" has no unit; write an emission for each tonne with its unit, like {concrete: 95 kgCO2e/t, steel: 700 kgCO2e/t}'),
    ("carbon.factors", "{concrete: 95 kg/m^3}", "is not known here"),
    ("carbon.factors", "{concrete: 0.2 kg/kWh}", "is an emission for each kilowatt hour; an emission for each tonne with its unit is wanted"),
    ("carbon.factors", "{concrete: 60000 kg/t}", '"60000 kg/t" is too large; the factor of concrete must be from -3000 kgCO2e/t to 50000 kgCO2e/t'),
    ("carbon.factors", "{wood: -4000 kg/t}", "is too small; the factor of wood must be from -3000 kgCO2e/t"),
    ("carbon.factors", "95 kg/t", '"95 kg/t" does not say of what; write each factor with its figure'),
    ("carbon.factors", "{concrete: [95 kg/t]}", "a list is given"),
    ("carbon.distances", "{sand: 8 km}", 'no distance is called "sand"'),
    ("carbon.distances", "{stone_and_sand: 8 km}", "did you mean stone and sand?"),
    ("carbon.distances", "{concrete: 8}", '"8" has no unit'),
    ("carbon.distances", "{concrete: 8000 km}", "the distance of concrete must be from 0 km to 5000 km"),
    ("carbon.distances", "8 km", "does not say of what"),
    ("plot.neighbours", "2 m", '"2 m" is not a list'),
    ("plot.neighbours", "[2 m]", 'neighbour 1 is "2 m"; write it in curly brackets with distance and foundations, like [{distance: 2 m, foundations: 0.6 m}]'),
    ("plot.neighbours", "[{foundations: 0.6 m}]", "neighbour 1 does not say how far it is; write its distance from your dig"),
    ("plot.neighbours", "[{distance: 2 m, foundation: 0.6 m}]", "did you mean foundations?"),
    ("plot.neighbours", "[{distance: -2 m}]", "the distance must be from 0 m to 1000 m"),
    ("plot.neighbours", "[{distance: 2 m, foundations: 20 m}]", "the depth of its foundations must be from 0 m to 10 m"),
    ("plot.neighbours", "[{distance: 2}]", "no unit"),
    ("plot.hollows", "[{from: [1 m, 1 m], size: 1 m x 1 m}]", "hollow 1 does not say how deep it is; write its depth below the ground round it"),
    ("plot.hollows", "[{from: [1 m, 1 m], size: 1 m x 1 m, thickness: 1 m}]", 'hollow 1 has "thickness", which is not known here'),
    ("plot.hollows", "[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 3 m}]", "the depth must be from 50 mm to 2 m"),
    ("plot.hollows", "[{from: [1 m, 1 m], size: 1 m x 0 m, depth: 1 m}]", "hollow 1 has no room in it"),
    ("plot.hollows", "[{from: [7 m, 1 m], size: 1 m x 1 m, depth: 1 m}]", "hollow 1 is 1.00 m from the building"),
    ("plot.hollows", "[{at: [[1 m, 1 m], [4 m, 3 m], [4 m, 1 m], [1 m, 2 m]], depth: 0.3 m}]", "two sides of hollow 1 cross"),
    ("plot.hollows", "[{from: [1 m, 1 m], size: 2 m x 1 m, depth: 1 m}, {from: [2 m, 1 m], size: 2 m x 1 m, depth: 1 m}]",
     "hollow 2 and hollow 1 overlap; give every piece of ground once, with its own depth"),
    ("plot.existing_slabs", "[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 100 mm}]", 'existing slab 1 has "depth", which is not known here'),
    ("plot.existing_slabs", "[{from: [1 m, 1 m], size: 1 m x 1 m}]", "existing slab 1 does not say how thick it is; write its thickness"),
    ("plot.existing_slabs", "[{from: [1 m, 1 m], size: 1 m x 1 m, thickness: 1 m}]", "the thickness must be from 25 mm to 600 mm"),
    ("plot.existing_slabs", "[{thickness: 100 mm}]", "existing slab 1 has no outline"),
    ("plot.existing_slabs", "[{from: [-3 m, 1 m], size: 1 m x 1 m, thickness: 0.1 m}]", "existing slab 1 is 2.00 m from the building"),
    ("plot.existing_slabs", "patio", "not a list"),
]


@pytest.mark.parametrize("key, typed, words", BAD)
def test_what_is_refused(key, typed, words):
    assert words in one_refusal(f"{key}={typed}")


def test_every_key_is_refused_for_something():
    assert {key for key, _, _ in BAD} >= set(KNOWN)


@pytest.mark.parametrize("overrides, words", [
    (["plot.soil=medium sand", "plot.undrained_strength=60 kPa"], "an undrained strength is given for medium sand, which has none; write the friction angle instead, or look again at the soil, like friction_angle: 32 deg"),
    (["drainage.soakaway_distance=6 m"], "soakaway_distance is given, but no soakaway; write soakaway, the size of its pit, below drainage, or outfall: no below plot, like soakaway: 3 m^3"),
    (["drainage.soakaway_rate=36 mm/h", "drainage.soakaway_pit=1 m x 1 m x 1 m"], "soakaway_rate and soakaway_pit are given, but no soakaway"),
    (["drainage.soakaway=3 m^3", "drainage.soakaway_pit=1 m x 1 m x 1 m"], '"3 m^3" does not fit into the pit, "1 m x 1 m x 1 m", which holds 1 m^3; write the size of the pit below the pipe, like 1 m^3'),
    (["drainage.tie_spacing=1 m"], "tie_spacing is given, but no pipe under the slab; write under_slab_cover too: how deep below the slab the pipe lies, like under_slab_cover: 100 mm"),
    (["drainage.pipe_outside=90 mm"], '"90 mm" is not wider than the pipe is inside, 100 mm; write the width of the pipe with its walls, like 110 mm'),
    (["drainage.pipe=150 mm", "drainage.pipe_outside=110 mm"], '"110 mm" is not wider than the pipe is inside, 150 mm; write the width of the pipe with its walls'),
    (["drainage.pipe_mass=36 kg/m", "drainage.under_slab_cover=100 mm"], '"36 kg/m" is more than as much concrete as that pipe, 110 mm wide, takes the place of'),
    (["building.walls=block", "edge.cladding_past_face=45 mm", "edge.cladding_below_dpc=50 mm"],
     'edge.cladding_past_face: cladding_past_face and cladding_below_dpc are given, but the walls are "block"; take it out: the guide checks cladding on a timber frame only'),
    (["plot.soft_spots=[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 1 m}]", "plot.hollows=[{from: [1.5 m, 1 m], size: 1 m x 1 m, depth: 1 m}]"],
     "plot.hollows: hollow 1 and soft spot 1 overlap; give every piece of ground once: as a soft spot, as a hollow or as a slab to be broken out"),
    (["plot.soft_spots=[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 1 m}]", "plot.existing_slabs=[{from: [1.5 m, 1 m], size: 1 m x 1 m, thickness: 0.1 m}]"],
     "plot.existing_slabs: existing slab 1 and soft spot 1 overlap"),
    (["plot.hollows=[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 1 m}]", "plot.existing_slabs=[{from: [4 m, 1 m], size: 1 m x 1 m, thickness: 0.1 m}, {at: [[1 m, 1 m], [3 m, 1 m], [1 m, 3 m]], thickness: 0.1 m}]"],
     "existing slab 2 and hollow 1 overlap"),
])
def test_rules_that_join_keys(overrides, words):
    assert words in one_refusal(*overrides)


@pytest.mark.parametrize("overrides", [
    ["plot.soil=silt", "plot.undrained_strength=60 kPa", "plot.friction_angle=25 deg"],
    ["plot.soil=medium sand", "plot.friction_angle=35 deg"],
    ["plot.outfall=no", "drainage.soakaway_distance=6 m"],
    ["drainage.soakaway=3.4 m^3", "drainage.soakaway_pit=1.6 m x 1.4 m x 1.5 m"],
    ["drainage.pipe=150 mm"],
    ["drainage.pipe=300 mm", "drainage.under_slab_cover=100 mm"],
    ["drainage.pipe=150 mm", "drainage.pipe_outside=186 mm", "drainage.pipe_mass=36 kg/m", "drainage.under_slab_cover=100 mm"],
    ["building.floor_load_size=50 mm"],
    ["building.walls=block", "edge.cladding_past_face=not said", "edge.outside_insulation=50 mm"],
    # Touching is not overlapping.
    ["plot.soft_spots=[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 1 m}]", "plot.hollows=[{from: [2 m, 1 m], size: 1 m x 1 m, depth: 1 m}]"],
])
def test_what_goes_together(overrides):
    read(*overrides)


def test_every_problem_at_once_each_on_its_line():
    text = SMALL.replace("\n---\n", """
  snow: 0.9
  neighbours:
    - {distance: 2}
    - {distance: 3 m, depth: 1 m}
  hollows: [{from: [1 m, 1 m], size: 1 m x 1 m, depth: 1}]
building: {floor_load: 3 m, sleeping: maybe}
heat: {energy_price: 0.28 GBP, degree_days: 2200}
drainage:
  pipe: 1 m
  gradient: 0
carbon:
  factors:
    concrete: 95
    cement: 95 kg/t
  distances: {spoil: 9000 km, sand: 1 km}
---
""")
    sentences = refused(text=text)
    assert [sentence.split(":")[1] for sentence in sentences] == ["6", "8", "9", "10", "11", "11", "12", "12", "14", "15", "18", "19", "20", "20"]


def test_a_bad_hollow_does_not_hide_a_bad_soft_spot():
    sentences = refused("plot.hollows=[{from: [1 m, 1 m], size: 1 m x 1 m}]", "plot.soft_spots=[{from: [9 m, 1 m], size: 1 m x 1 m, depth: 1 m}]")
    assert sorted(sentence.split(": ")[1] for sentence in sentences) == ["plot.hollows", "plot.soft_spots"]


# Whatever is read can be worked out.

NUMBERS = [item for item in map(BY_KEY.__getitem__, KNOWN) if item.least and item.kind not in ("pieces of ground", "neighbours", "carbon distances", "three lengths")]


def ends(which: str) -> dict[str, str]:
    return {item.key: getattr(item, which) for item in NUMBERS}


def compared(changes: dict[str, str], soil: str) -> None:
    """Compares a plot; what is refused when it is read is read without what was complained of."""
    fixed = {f"schemes.{scheme}.floor_level": "0.3 m" for scheme in ("thickened-raft", "strip-and-block", "insulated-slab")}
    changes = {**fixed, "plot.soil": soil, "building.heated": "yes", "drainage.soakaway_pit": "20 m x 20 m x 20 m", "schemes.thickened-raft.slab_thickness": "100 mm",
               "schemes.strip-and-block.slab_thickness": "100 mm", "schemes.insulated-slab.slab_thickness": "100 mm", **changes}
    while True:
        try:
            scenario = read(*(f"{key}={value}" for key, value in changes.items()))
            break
        except BadInput as bad:
            wrong = {problem.field for problem in bad.problems} & {item.key for item in NUMBERS}
            assert wrong, bad.problems
            changes = {key: value for key, value in changes.items() if key not in wrong}
    assert len(compare(scenario).schemes) == 3


@pytest.mark.parametrize("soil", records.SOILS)
@pytest.mark.parametrize("which", ["least", "most"])
def test_the_bounds_are_within_those_of_every_formula(soil, which):
    compared(ends(which), soil)


def test_so_is_every_mixture_of_them():
    chance = random.Random(11)
    for _ in range(20):
        compared({item.key: chance.choice((item.least, item.most, item.example)) for item in NUMBERS}, chance.choice(records.SOILS))


@pytest.mark.parametrize("gradient", ["1:500", "1:2"])
@pytest.mark.parametrize("pipe", ["50 mm", "300 mm"])
@pytest.mark.parametrize("roughness", ["0 mm", "5 mm"])
def test_water_runs_in_every_pipe_that_is_read(gradient, pipe, roughness):
    drains = read(f"drainage.gradient={gradient}", f"drainage.pipe={pipe}", f"drainage.roughness={roughness}").drainage
    assert water.full_bore_m3_per_s(drains.pipe_m, drains.gradient, drains.roughness_m) > 0.0
    assert water.least_fall_rule(drains.pipe_m).value > 0.0


def test_every_factor_and_distance_is_within_those_of_every_formula():
    for end in (carbon.LEAST_FACTOR, carbon.MOST_FACTOR):
        factors = ", ".join(f"{key}: {end:g} {carbon.DEFAULT[key].unit}" for key in carbon.DEFAULT.factors)
        own = read(f"carbon.factors={{{factors}}}").own_carbon.factors
        assert carbon.with_own_factors(own).own == set(carbon.DEFAULT.factors)
    for end in (BY_KEY["carbon.distances"].least, BY_KEY["carbon.distances"].most):
        distances = read("carbon.distances={" + ", ".join(f"{key}: {end}" for key in carbon.DISTANCES_KM) + "}").own_carbon.distances_km
        assert set(distances) == set(carbon.DISTANCES_KM)
        assert all(carbon.lorry_kgco2e(1.0, km) >= 0.0 for km in distances.values())


def test_what_is_typed_reaches_the_checks():
    """Each figure changes what is worked out, so none is read for nothing."""
    fixed = [f"schemes.{scheme}.floor_level=0.3 m" for scheme in ("thickened-raft", "strip-and-block", "insulated-slab")]
    base = ["plot.soil=firm clay", "building.heated=yes", "plot.outfall=no", "plot.boundary={south: 0.5 m}", "drainage.soakaway=3 m^3", "drainage.soakaway_rate=20 mm/h",
            "drainage.soakaway_pit=1.6 m x 1.4 m x 1.5 m", "drainage.under_slab_cover=100 mm", *fixed]

    def result(*overrides: str) -> list:
        changed = {override.partition("=")[0] for override in overrides}
        comparison = compare(read(*(each for each in base if each.partition("=")[0] not in changed), *overrides))
        return [(scheme.works.checks, scheme.floor_heat, scheme.carbon, scheme.permissions, scheme.cash) for scheme in comparison.schemes]

    plain = result()
    for key in KNOWN:
        # The figures above, and those that stand in for nothing said, change nothing.
        example = {"drainage.soakaway": "2.5 m^3", "drainage.soakaway_rate": "40 mm/h", "drainage.soakaway_pit": "2 m x 1.4 m x 1.5 m", "drainage.under_slab_cover": "150 mm",
                   "drainage.roughness": "2 mm", "drainage.pipe": "75 mm", "drainage.pipe_outside": "125 mm"}.get(key, BY_KEY[key].example)
        assert result(f"{key}={example}") != plain, key


# What is made from the list of inputs.

ALL = "".join(["---\n", "plot:\n  footprint: 6 m x 4 m\n  slope: 1:14\n  falls_to: south\n  soil: firm clay\n"] + [
    f"  {item.name}: {item.example}\n" for item in INPUTS if item.key in KNOWN and item.group == "plot"
] + [
    line for group in ("building", "heat", "drainage", "edge", "carbon")
    for line in (f"{group}:\n", *(f"  {item.name}: {item.example}\n" for item in INPUTS if item.key in KNOWN and item.group == group))
] + ["schemes:\n  insulated-slab: {insulation_strength: 150 kPa}\n", "---\nA story.\n"])


def test_the_schema_takes_what_is_read():
    read(text=ALL)
    validator = jsonschema.Draft202012Validator(scenario_schema())
    assert not list(validator.iter_errors(as_data(read_front_matter(ALL, "plot.md").keys)))
    for key in KNOWN:
        group, name = BY_KEY[key].group, BY_KEY[key].name
        for typed in (BY_KEY[key].example, BY_KEY[key].default):
            value = as_data(read_keys(f"x: {typed}", "a file").values["x"])
            document = {"plot": {"footprint": "6 m x 4 m", "slope": "0"}}
            place = document
            for part in group.split("."):
                place = place.setdefault(part, {})
            place[name] = value
            assert not list(validator.iter_errors(document)), (key, typed)


@pytest.mark.parametrize("changes", [
    {"plot": {"hollows": [{"depth": "1 m"}]}},
    {"plot": {"hollows": [{"from": ["0", "0"], "size": "1 m x 1 m", "thickness": "1 m"}]}},
    {"plot": {"existing_slabs": [{"at": [["0", "0"], ["1 m", "0"], ["0", "1 m"]], "depth": "1 m"}]}},
    {"plot": {"existing_slabs": "yes"}},
    {"plot": {"neighbours": "2 m"}},
    {"plot": {"neighbours": [{"foundations": "1 m"}]}},
    {"plot": {"neighbours": [{"distance": "1 m", "depth": "1 m"}]}},
    {"plot": {"snow": 0.9}},
    {"building": {"sleeping": "maybe"}},
    {"heat": {"pattern": "weekends"}},
    {"heat": {"efficiency": -1}},
    {"heat": {"price": "1 GBP/kWh"}},
    {"drainage": {"pipes": "100 mm"}},
    {"drainage": "yes"},
    {"drainage": {"soakaway_pit": ["1 m", "1 m", "1 m"]}},
    {"edge": {"membrane": "300 mm"}},
    {"edge": "yes"},
    {"edge": {"paving_fall": 0.02}},
    {"carbon": {"factors": {"cement": "95 kg/t"}}},
    {"carbon": {"factors": "95 kg/t"}},
    {"carbon": {"distances": {"sand": "8 km"}}},
])
def test_the_schema_refuses_what_is_refused(changes):
    document = {"plot": {"footprint": "6 m x 4 m", "slope": "0"}}
    for group, inside in changes.items():
        document[group] = {**document.get(group, {}), **inside} if isinstance(inside, dict) else inside
    assert list(jsonschema.Draft202012Validator(scenario_schema()).iter_errors(document))
    with pytest.raises(BadInput):
        read_scenario_text("---\n" + as_yaml(document) + "\n---\n", "plot.md", "my-plot")


def as_yaml(value, top: bool = True) -> str:
    """Data on lines of YAML."""
    if isinstance(value, dict):
        inside = [f"{key}: {as_yaml(item, False)}" for key, item in value.items()]
        return "\n".join(inside) if top else "{" + ", ".join(inside) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_yaml(item, False) for item in value) + "]"
    return str(value)


def test_a_new_scenario_with_all_of_it_reads_back():
    first = read(text=ALL)
    overrides = [f"{key}={BY_KEY[key].example}" for key in KNOWN]
    for text in (new_scenario_text("my-plot", ALL, ["title=My plot"]), new_scenario_text("my-plot", SMALL, [*overrides, "plot.soil=firm clay"])):
        copy = read_scenario_text(text, "my-plot.md", "my-plot")
        assert copy.scenario == first
        assert set(KNOWN) <= set(copy.given)


def test_the_command_takes_every_key(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "docs" / "scenarios").mkdir(parents=True)
    (tmp_path / "mkdocs.yml").write_text("site_name: A guide\n", encoding="utf-8")
    arguments = [part for key in KNOWN for part in ("--set", f"{key}={BY_KEY[key].example}")]
    assert main(["new", "my-plot", *arguments]) == 0, capsys.readouterr().err
    made = (tmp_path / "docs" / "scenarios" / "my-plot.md").read_text(encoding="utf-8")
    assert read(text=made).own_carbon.factors == {"concrete": 95.0, "steel": 700.0}


@pytest.mark.parametrize("key", [key for key in KNOWN if BY_KEY[key].default == NOT_SAID])
def test_not_said_may_be_typed(key):
    assert read_input(BY_KEY[key], Text(NOT_SAID, 1)) is None
    assert read(f"{key}={NOT_SAID}") == read()


def test_every_key_has_words_on_a_page():
    given, open_ = read(text=ALL), read()
    for key in KNOWN:
        shown = understood(BY_KEY[key], given)
        assert shown.metric and shown.imperial and shown.metric != NOT_SAID, key
        assert understood(BY_KEY[key], open_).metric, key
    assert understood(BY_KEY["plot.snow"], given).imperial == "18.8 lb/ft²"
    assert understood(BY_KEY["drainage.soakaway_rate"], given).metric == "36 mm/h"
    assert understood(BY_KEY["plot.neighbours"], open_).metric == NOT_SAID


def test_the_page_on_writing_a_plot_is_true():
    """What it shows as typed can be read, each piece on a plot of its own."""
    page = (ROOT / "docs" / "your-plot.md").read_text(encoding="utf-8")
    pieces = [piece for piece in re.findall(r"```yaml\n(.*?)```", page, re.S) if not piece.startswith("---")]
    assert len(pieces) == 7
    for piece in pieces:
        read(text=SMALL.replace("\n---\n", "\n" + piece.removeprefix("plot:\n") + "---\n"))


def test_pieces_of_ground_are_keys_of_the_plot():
    assert all(BY_KEY[key].kind == "pieces of ground" for key in PIECES)
