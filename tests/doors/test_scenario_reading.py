"""Scenarios: what is read, what is taken by default, what is refused, and that every door is made from the one list."""

import dataclasses
import math
import re
from datetime import date

import jsonschema
import pytest

from calculators import scenario as records
from calculators.plan import Plan
from generator import scenario_rules
from generator.front_matter import Text, as_data, read_front_matter
from generator.input_readers import READERS, read_input
from generator.inputs import BY_KEY, GROUPS, INPUTS, SCHEME_IDS, WORKED_OUT
from generator.new_scenario import new_scenario_text
from generator.problems import BadInput
from generator.scenario import Reading, read_scenario_file, read_scenario_text, slug_of
from generator.scenario_schema import scenario_schema

FULL = """\
---
title: Print studio below the orchard
units: imperial
currency: GBP
rates: demo-gb
quotes: {ready_mixed_concrete: 148 GBP/m^3, membrane: [50 GBP/roll, 60 GBP/roll, 70 GBP/roll]}
hour_worth: 12 GBP
region: ireland
plot:
  footprint: 6.6 m x 4.2 m
  slope: 1:14
  falls_to: SSE
  topsoil: 200 mm
  soil: firm clay
  shrinkage: medium
  trees: removed
  water: seasonal
  outfall: no
  frost_depth: 600 mm
  boundary: {south: 1.5 m, east: 3 m}
  spoil_spread: 4 m^3
  planning_permission: yes
  levels_checked: yes
  soft_spots: [{from: [0.5 m, 0.5 m], size: 1.8 m x 1.2 m, depth: 300 mm}]
  hollows: [{from: [3 m, 0.5 m], size: 1 m x 1 m, depth: 400 mm}]
  existing_slabs: [{from: [3 m, 2 m], size: 2 m x 1 m, thickness: 100 mm}]
  neighbours: [{distance: 2 m, foundations: 0.6 m}, {distance: 5 m}]
  snow: 0.9 kPa
  wind: 0.8 kPa
  bearing: 90 kPa
  friction_angle: 25 deg
  undrained_strength: 60 kPa
  access: {lorry_to_slab: 18 m, gate_width: 2.6 m, pump: yes}
building:
  walls: block
  wall_height: 2.4 m
  ridge_height: 3.1 m
  roof: mono-pitch, green
  use: studio
  heated: yes
  doors: [south, east]
  door_width: 1.2 m
  door_threshold: channel drain
  step_free: south
  internal_walls: [[[3.3 m, 0 m], [3.3 m, 4.2 m]]]
  floor_load: 3 kN
  floor_load_size: 100 mm
  sleeping: yes
  non_combustible: yes
schemes:
  thickened-raft: {slab_thickness: 150 mm, edge_width: 500 mm, edge_depth: 450 mm, upstand: 225 mm, low_side: batter,
    edge_bars: no, accept_clay_movement: yes, floor_level: 0.05 m}
  strip-and-block: {block_thickness: 215 mm, footing_width: 600 mm, footing_thickness: 225 mm, founding_depth: 0.9 m, knee_height: 675 mm,
    slab_thickness: 125 mm, accept_clay_movement: yes, floor_level: 0.1 m}
  insulated-slab: {insulation: PIR, insulation_r: 2.5 m^2 K/W, insulation_strength: 150 kPa, upstand: 0, block_thickness: 140 mm, footing_width: 450 mm,
    footing_thickness: 225 mm, founding_depth: 0.9 m, slab_thickness: 125 mm, accept_clay_movement: yes, floor_level: -0.05 m}
heat: {wall_thickness: 0.3 m, ground_conductivity: 2 W/(m K), pattern: working week, degree_days: 2200 K day, energy_price: 0.28 GBP/kWh, efficiency: 3}
drainage: {pipe: 150 mm, gradient: 1:60, roughness: 1 mm, paving: 12 m^2, overhang: 400 mm, soakaway: 3 m^3, soakaway_voids: 95 %,
  soakaway_distance: 6 m, soakaway_rate: 36 mm/h, soakaway_pit: 1.6 m x 1.4 m x 1.5 m, under_slab_cover: 350 mm, pipe_outside: 160 mm,
  pipe_mass: 3 kg/m, tie_spacing: 0.8 m, tie_strength: 0.5 kN}
weights: {money: 5, carbon: 1}
futures: [{name: a lean-to, likelihood: 30 %, costs: {thickened-raft: 400 GBP}}]
edge: {membrane_lap: 300 mm, dpc_lap: 100 mm, patch_lap: 0.25 m, outside_insulation: 60 mm, paving_below_dpc: 200 mm, paving_fall: 1:50}
carbon: {factors: {steel: 700 kgCO2e/t, concrete: 95 kg/t}, distances: {stone and sand: 22 km, concrete: 8 km}}
pour: {people: 6, barrows: 2, first_time: no, way: pump, run: 25 m, run_slope: 1:20, first_lorry: 8:30, travel: 20 min, lorries_apart: 90 min, allowance: 45 min,
  air_temperature: 59 F, concrete_temperature: 18 C, humidity: 65 %, wind: 18 km/h, latitude: 53.5 N, surface: trowelled, cement: slow,
  second_places: [{name: path bay, room: 0.4 m^3, worth: 60 GBP/m^3}], cold_joint_cost: 400 GBP}
programme: {start: 2027-05-01, days: every day, hours_a_day: 6 h, holidays: [2027-05-29, 2027-08-13 to 2027-08-14], months_off: [December, 1],
  waits: {mortar: 2 weeks, inspection: 3 days}}
floor: {levels: [[0 m, 0 m, 0 m], [6 m, 0 m, 3 mm], [6 m, 4 m, -4 mm], [0 m, 4 m, 2 mm]], finish: tiles, compound: thick, against_level: yes, humidity: 80 %,
  age: 6 weeks, strength: 25 N/mm^2}
---
A *story*.
"""

SMALL = "---\nplot:\n  footprint: 6.6 m x 4.2 m\n  slope: 1:14\n  falls_to: south\n---\n"
FLAT = "---\nplot: {footprint: 6.6 m x 4.2 m, slope: 0}\n---\n"
RECTANGLE = [(0.0, 0.0), (6.6, 0.0), (6.6, 4.2), (0.0, 4.2)]


def read(text: str, *overrides: str) -> Reading:
    return read_scenario_text(text, "plot.md", "my-plot", overrides)


def refused(text: str, *overrides: str) -> list[str]:
    with pytest.raises(BadInput) as error:
        read(text, *overrides)
    return [problem.sentence() for problem in error.value.problems]


def points(pairs) -> str:
    return "[" + ", ".join("[" + ", ".join(f"{v!r} m" for v in pair) + "]" for pair in pairs) + "]"


def cornered(pairs, ground: str = "slope: 0") -> str:
    return f"---\nplot:\n  corners: {points(pairs)}\n  {ground}\n---\n"


# What is read.


def test_every_key_reaches_the_record():
    reading = read(FULL)
    s = reading.scenario
    assert (s.title, s.slug, s.units, s.currency, s.region, s.hour_worth) == ("Print studio below the orchard", "my-plot", "imperial", "GBP", "ireland", 12.0)
    assert s.plot == records.Plot(
        corners_m=tuple(RECTANGLE), gradient=1 / 14, falls_to_deg=157.5, levels_m=(), topsoil_m=0.2, soil="firm clay", shrinkage="medium",
        trees="removed", water="seasonal", outfall=False, frost_depth_m=0.6, boundary_m={"south": 1.5, "east": 3.0}, spoil_spread_m3=4.0,
        planning_permission=True, access=records.Access(18.0, 2.6, True), levels_checked=True,
        soft_spots_m=((((0.5, 0.5), (2.3, 0.5), (2.3, 1.7), (0.5, 1.7)), 0.3),),
        hollows_m=((((3.0, 0.5), (4.0, 0.5), (4.0, 1.5), (3.0, 1.5)), 0.4),),
        existing_slabs_m=((((3.0, 2.0), (5.0, 2.0), (5.0, 3.0), (3.0, 3.0)), 0.1),),
        neighbours=(records.Neighbour(2.0, 0.6), records.Neighbour(5.0)),
    )
    assert s.building == records.Building("block", 2.4, 3.1, "mono-pitch", "green", "studio", True, ("south", "east"), 1.2, "channel drain", (None, None), "south", (((3.3, 0.0), (3.3, 4.2)),), True, True)
    assert s.schemes == {
        "thickened-raft": records.RaftChoices(0.15, 0.5, 0.45, 0.225, "batter", False, True, 0.05),
        "strip-and-block": records.StripChoices(0.215, 0.6, 0.225, 0.9, 0.675, 0.125, True, 0.1),
        "insulated-slab": records.InsulatedChoices("PIR", None, 2.5, None, 0.0, 0.14, 0.45, 0.225, 0.9, 0.125, True, -0.05, 150.0),
    }
    assert s.heat == records.Heat(0.3, 2.0, "working week", 2200.0, 0.28, 3.0)
    assert s.given == records.Given(
        ground_snow_kpa=0.9, wind_pressure_kpa=0.8, presumed_bearing_kpa=90.0, friction_deg=25.0, undrained_strength_kpa=60.0, foot_kn=3.0, foot_m=0.1)
    assert s.drainage == records.Drainage(
        pipe_m=0.15, gradient=1 / 60, paving_m2=12.0, overhang_m=0.4, roughness_m=0.001, soakaway_m3=3.0, soakaway_voids=0.95, soakaway_distance_m=6.0,
        soaks_m_per_s=1e-5, pit_m=(1.6, 1.4, 1.5), under_slab_cover_m=0.35, pipe_outside_m=0.16, pipe_kg_per_m=3.0, tie_spacing_m=0.8, tie_kn=0.5)
    assert s.weights == {"money": 5.0, "carbon": 1.0} and s.own_futures == (records.OwnFuture("a lean-to", {"thickened-raft": 400.0}, 0.3),)
    assert s.edge == records.EdgeDetails(membrane_lap_m=0.3, dpc_lap_m=0.1, patch_lap_m=0.25, outside_insulation_m=0.06, paving_below_dpc_m=0.2, paving_fall=0.02)
    assert s.own_carbon == records.OwnCarbon({"concrete": 95.0, "steel": 700.0}, {"concrete": 8.0, "stone and sand": 22.0})
    # 59 degrees Fahrenheit are 15 Celsius, and 18 km/h are 5 m/s.
    assert s.pour == records.PourDayGiven(
        people=6, barrows=2, first_time=False, way="pump", run_m=25.0, run_slope=0.05, first_lorry_h=8.5, travel_h=1 / 3, lorries_apart_h=1.5, allowance_h=0.75, air_c=15.0,
        humidity=0.65, wind_m_per_s=5.0, concrete_c=18.0, latitude_deg=53.5, surface="trowelled", cement="slow", places=(records.PlaceForSurplus("path bay", 0.4, 60.0),),
        cold_joint_cost=400.0)
    assert s.programme == records.ProgrammeGiven(
        start=date(2027, 5, 1), days="every day", hours_a_day=6.0, holidays=(date(2027, 5, 29), date(2027, 8, 13), date(2027, 8, 14)), months_off=(1, 12),
        waits={"mortar": 14.0, "inspection": 3.0})
    assert s.floor == records.FloorSurvey(
        levels_m=((0.0, 0.0, 0.0), (6.0, 0.0, 0.003), (6.0, 4.0, -0.004), (0.0, 4.0, 0.002)), finish="tiles", compound="thick", against_level=True, humidity=0.8, age_days=42.0,
        strength_mpa=25.0)
    assert s.schedule.rates["membrane"].low == 50.0 and s.schedule.rates["ready_mixed_concrete"].rate_from == "yours"
    assert (reading.body, reading.body_line) == ("A *story*.\n", FULL.split("\n").index("A *story*.") + 1)
    assert reading.given["plot.slope"] == "1:14"
    # Insulation is given by its resistance, and block walls have no cladding.
    assert {used.key for used in reading.defaults} == {
        "schemes.insulated-slab.insulation_thickness", "schemes.insulated-slab.target_u", "edge.cladding_past_face", "edge.cladding_below_dpc"}


def test_every_default_taken_is_told_with_its_reason():
    reading = read(SMALL)
    told = {used.key for used in reading.defaults}
    assert told == {item.key for item in INPUTS if item.default is not None}
    assert all(used.reason and used.label for used in reading.defaults)
    texts = {used.key: used.value_text for used in reading.defaults}
    assert (texts["title"], texts["currency"], texts["plot.topsoil"]) == ("My plot", "GBP", "150 mm")
    assert texts["schemes.insulated-slab.insulation_thickness"] == "100 mm"
    assert reading.scenario.schemes["insulated-slab"].insulation_thickness_m == 0.1
    assert tuple(reading.scenario.schemes) == SCHEME_IDS


def test_nothing_said_is_none_in_the_record():
    s = read(SMALL).scenario
    assert (s.given, s.drainage, s.edge, s.own_carbon) == (records.Given(), records.Drainage(), records.EdgeDetails(), records.OwnCarbon())
    assert (s.pour, s.programme, s.floor) == (records.PourDayGiven(), records.ProgrammeGiven(), records.FloorSurvey())
    assert s.heat == records.Heat(0.2, 1.5)
    assert (s.plot.neighbours, s.plot.hollows_m, s.plot.existing_slabs_m) == (None, (), ())
    assert {scheme: choices.slab_thickness_m for scheme, choices in s.schemes.items()} == {"thickened-raft": 0.125, "strip-and-block": None, "insulated-slab": None}


def test_a_default_may_be_typed():
    for item in INPUTS:
        if item.default and item.default not in (WORKED_OUT, "none", "south"):
            assert read(SMALL, f"{item.key}={item.default}").scenario == read(SMALL).scenario, item.key
    assert read(SMALL, "schemes.thickened-raft.edge_depth=worked out").scenario == read(SMALL).scenario


def test_no_key_is_read_for_nothing():
    """Each key, changed alone to its example, changes the scenario."""
    no_slope = ["plot.slope=", "plot.falls_to="]
    instead = {"plot.corners": ["plot.footprint="], "plot.levels": no_slope, "plot.level_book": no_slope, "plot.corner_drops": no_slope, "rates": [], "building.wall_height": [], "building.ridge_height": []}
    # What is told of a soakaway, or of a pipe under the slab, needs one.
    beside = {key: ["drainage.soakaway=3 m^3"] for key in scenario_rules.SOAKAWAY_DETAILS}
    beside |= {key: ["drainage.under_slab_cover=100 mm"] for key in scenario_rules.UNDER_THE_SLAB}
    for item in INPUTS:
        example = {"currency": None, "plot.footprint": "7 m x 4 m", "plot.slope": "1:20", "plot.falls_to": "east", "schemes.thickened-raft.upstand": "450 mm"}.get(item.key, item.example)
        if example is None:
            continue  # The currency can only be that of the schedule of rates.
        with_it = beside.get(item.key, [])
        changed = read(SMALL, f"{item.key}={example}", *instead.get(item.key, []), *with_it).scenario
        assert changed != read(SMALL, *with_it).scenario, item.key


@pytest.mark.parametrize("footprint", ["6600 mm x 4200 mm", "660 cm x 420 cm", f"{6.6 / 0.3048:.15f} ft x {4.2 / 0.3048:.15f} ft"])
def test_the_same_plot_in_other_units(footprint):
    there = read(SMALL, f"plot.footprint={footprint}").scenario.plot.corners_m
    for (x, y), (xe, ye) in zip(there, RECTANGLE):
        assert x == pytest.approx(xe, rel=1e-12) and y == pytest.approx(ye, rel=1e-12)


@pytest.mark.parametrize("slope", ["1 in 20", "5 %", f"{math.degrees(math.atan(0.05)):.14f} deg"])
def test_the_same_slope_in_other_words(slope):
    assert read(SMALL, f"plot.slope={slope}").scenario.plot.gradient == pytest.approx(0.05, rel=1e-12)


def test_level_ground_needs_no_direction_and_may_have_one():
    assert read(FLAT).scenario.plot.gradient == 0.0
    assert read(FLAT, "plot.falls_to=south").scenario.plot.gradient == 0.0


@pytest.mark.parametrize("start", range(4))
@pytest.mark.parametrize("way", [1, -1])
def test_corners_in_any_order_round_the_plan_are_one_plan(start, way):
    turned = [RECTANGLE[(start + way * i) % 4] for i in range(4)]
    assert read(cornered(turned)).scenario.plot.corners_m == tuple(RECTANGLE)


@pytest.mark.parametrize("degrees", [-44, -30, 10, 30, 44, 45, 90, 135])
def test_a_turned_plan_starts_with_its_south_side(degrees):
    a = math.radians(degrees)
    turned = [(round(x * math.cos(a) - y * math.sin(a), 3), round(x * math.sin(a) + y * math.cos(a), 3)) for x, y in RECTANGLE]
    found = {read(cornered(turned[i:] + turned[:i])).scenario.plot.corners_m for i in range(4)}
    found |= {read(cornered((turned[i:] + turned[:i])[::-1])).scenario.plot.corners_m for i in range(4)}
    assert len(found) == 1
    (corners,) = found
    plan = Plan(corners)
    assert plan.area_m2 == pytest.approx(27.72, rel=1e-3)
    assert [side.name for side in plan.sides] == list(records.SIDES)


@pytest.mark.parametrize("order", [(0, 1, 2, 3), (2, 3, 0, 1), (3, 1, 0, 2), (1, 0, 3, 2)])
def test_levels_in_any_order(order):
    levels = [(0.0, 0.0, 10.0), (6.6, 0.0, 10.1), (6.6, 4.2, 10.4), (0.0, 4.2, 10.3)]
    plot = read("---\nplot: {footprint: 6.6 m x 4.2 m}\n---\n", f"plot.levels={points([levels[i] for i in order])}").scenario.plot
    assert plot.levels_m == tuple(levels)
    assert (plot.gradient, plot.falls_to_deg) == (0.0, None)


def test_which_schemes_are_compared():
    assert tuple(read(SMALL, "schemes.insulated-slab=no").scenario.schemes) == SCHEME_IDS[:2]
    assert tuple(read(SMALL, "schemes=[strip-and-block, thickened-raft]").scenario.schemes) == SCHEME_IDS[:2]
    assert tuple(read(SMALL, "schemes.insulated-slab=yes").scenario.schemes) == SCHEME_IDS
    assert not any("insulated" in used.key for used in read(SMALL, "schemes.insulated-slab=no").defaults)


@pytest.mark.parametrize(("typed", "value"), [("south", ("south",)), ("none", ()), ("[]", ()), ("[west, west]", ("west", "west"))])
def test_doors(typed, value):
    assert read(SMALL, f"building.doors={typed}").scenario.building.doors == value


@pytest.mark.parametrize(("typed", "value"), [("0", 0.0), ("0 GBP", 0.0), ("12 GBP/h", 12.0), (WORKED_OUT, None)])
def test_worth_of_an_hour(typed, value):
    assert read(SMALL, f"hour_worth={typed}").scenario.hour_worth == value


def test_a_group_with_only_comments_is_no_group():
    assert read("---\nplot: {footprint: 6 m x 4 m, slope: 0}\nbuilding:\n  # walls: block\nschemes:\nheat:\n---\n").scenario.building.walls == "timber frame"


def test_us_prices_have_their_own_course():
    choices = read(SMALL, "rates=demo-us", "schemes.strip-and-block.knee_height=16 in").scenario.schemes["strip-and-block"]
    assert choices.knee_height_m == pytest.approx(2 * 8 * 0.0254, rel=1e-12)
    assert "203.2 mm or 406.4 mm" in refused(SMALL, "rates=demo-us", "schemes.strip-and-block.knee_height=225 mm")[0]


def test_a_title_is_text_and_nothing_else():
    title = read("---\ntitle: \"<script>alert(1)</script> [x](javascript:alert(1)) {{ 7*7 }}\\e[31m\\u202e\"\nplot: {footprint: 6 m x 4 m, slope: 0}\n---\n").scenario.title
    assert title == "<script>alert(1)</script> [x](javascript:alert(1)) {{ 7*7 }}[31m"


# What is refused.

HOSTILE = [
    ("plot.footprint", "6,6 m x 4.2 m", "comma"),
    ("plot.footprint", "9**9**9 m x 4 m", "cannot be read"),
    ("plot.footprint", "2 bag x 3 m", "not known"),
    ("plot.footprint", "inf m x 4 m", "no number"),
    ("plot.footprint", "nan m x 4 m", "no number"),
    ("plot.footprint", "2300 MM x 4 m", "write mm"),
    ("plot.footprint", "6.6 x 4.2", "no unit"),
    ("plot.footprint", "-6 m x 4 m", "less than nothing"),
    ("plot.footprint", "0 m x 4 m", "too small"),
    ("plot.footprint", "4 km x 3 km", "too large"),
    ("plot.footprint", "20 m x 20 m", "400 m^2"),
    ("plot.footprint", "6.6 m", "not two lengths"),
    ("plot.footprint", "[6.6 m, 4.2 m]", "a list is given"),
    ("plot.footprint", "{a: b}", "a group of keys is given"),
    ("plot.slope", "14", "how the slope is meant"),
    ("plot.slope", "1:1", "too steep"),
    ("plot.slope", "1 in 14 feet", "cannot be read"),
    ("plot.falls_to", "downhill", "not a direction"),
    ("plot.topsoil", "2 bag", "not known"),
    ("plot.topsoil", "3 m", "too large"),
    ("plot.topsoil", "-1 mm", "less than nothing"),
    ("plot.soil", "firm caly", "did you mean firm clay?"),
    ("plot.outfall", "true", "write yes or no"),
    ("plot.boundary", "3 m", "which side"),
    ("plot.boundary", "{suoth: 3 m}", "did you mean south?"),
    ("plot.boundary", "{south: 3}", "no unit"),
    ("plot.spoil_spread", "4 t", "is a mass"),
    ("building.wall_height", "2.3", "no unit"),
    ("building.wall_height", "2300 MM", "write mm"),
    ("building.wall_height", "23 m", "too large"),
    ("building.ridge_height", "2 m", "lower than the walls"),
    ("building.wall_height", "2.6 m", "(the default) is lower than the walls"),
    ("building.roof", "thatched, felt", "pitched, mono-pitch or flat"),
    ("building.roof", "pitched", "covering"),
    ("building.doors", "front", "south, east, north or west"),
    ("building.doors", "{south: 1}", "not a list"),
    ("building.door_width", "7 m", "too large"),
    ("currency", "USD", "not the currency of the schedule"),
    ("currency", "pounds", "not a currency"),
    ("hour_worth", "12 USD", "another currency"),
    ("hour_worth", "12", "money"),
    ("hour_worth", "-1 GBP", "cannot be the worth"),
    ("rates", "../../secret", "not the name"),
    ("rates", "nope", "demo-gb or demo-us"),
    ("quotes", "{membrane: 3 USD/roll}", "is in USD"),
    ("quotes", "[1]", "which rate"),
    ("schemes", "[thickend-raft]", "did you mean thickened-raft?"),
    ("schemes", "[]", "empty"),
    ("schemes", "{thickened-raft: no, strip-and-block: no, insulated-slab: no}", "every scheme is left out"),
    ("schemes", "all of them", "write its keys below it"),
    ("schemes.thickened-raft", "maybe", "write its keys below it"),
    ("schemes.thickened-raft.upstand", "240 mm", "225 mm or 450 mm"),
    ("schemes.thickened-raft.edge_depth", "100 mm", "too small"),
    ("schemes.strip-and-block.knee_height", "400 mm", "225 mm or 450 mm"),
    ("schemes.strip-and-block.block_thickness", "150 mm", "100 mm, 140 mm or 215 mm"),
    ("schemes.insulated-slab.insulation_r", "2.5 W/(m K)", "is a thermal conductivity"),
    ("schemes.insulated-slab.insulation", "straw", "EPS, XPS or PIR"),
    ("heat.ground_conductivity", "900 W/(m K)", "too large"),
    ("plot.levels", "[[0 m, 0 m, 0 m], [6.6 m, 0 m, 0 m], [6.6 m, 4.2 m, 0 m], [0 m, 4.2 m, 0 m]]", "both slope and levels"),
    ("plot.corners", "[[0 m, 0 m], [6 m, 0 m], [6 m, 4 m], [0 m, 4 m]]", "both footprint and corners"),
    ("title", "x" * 200, "longer than 120"),
    ("title", "{a: b}", "a group of keys is given"),
    ("plot", "yes", "write its keys below it"),
    ("a.b.c.d.e", "1", "there is no such key"),
    ("plot.__class__", "1", "there is no such key"),
    ("", "1", "not a key and a value"),
    ("plot.footprint", "[6 m", "cannot be read"),
    ("plot.footprint", "[*a]", "&"),
]


@pytest.mark.parametrize(("key", "typed", "words"), HOSTILE)
def test_hostile_values(key, typed, words):
    sentences = refused(SMALL, f"{key}={typed}")
    assert any(words in sentence for sentence in sentences), sentences
    for sentence in sentences:
        assert re.match(r"plot\.md:(\d+|--set): [^:]+: [^;]+; \S", sentence), sentence
        assert len(sentence) < 1000


def test_the_same_refusals_from_a_file_name_their_line():
    assert refused("---\nplot:\n  footprint: 6,6 m x 4.2 m\n  slope: 0\n---\n") == [
        'plot.md:3: plot.footprint: "6,6 m" has a comma in a number; write a point for decimals and nothing between thousands, like 6.6 m x 4.2 m'
    ]
    assert refused("---\nplot: {footprint: 6 m x 4 m, slope: 0}\nbuilding:\n  topsoil: 3 m\n  wals: block\n---\n") == [
        "plot.md:4: building.topsoil: there is no such key in building; it belongs in plot",
        "plot.md:5: building.wals: there is no such key in building; did you mean walls?",
    ]


def test_every_problem_at_once_in_the_order_of_lines():
    text = "---\ntitel: x\nrates: ../x\nplot:\n  footprint: 6 m\n  footprint: 7 m x 4 m\n  slope: 14\n  soil: mud\nbuilding: {wall_height: 3 m}\n---\n"
    sentences = refused(text, "heat.wall_thickness=3")
    places = [sentence.split(":")[1] for sentence in sentences]
    assert places == ["2", "3", "5", "6", "7", "8", "9", "--set"]


@pytest.mark.parametrize(("text", "words"), [
    ("---\ntitle: x\n---\n", ["plot.footprint: nothing is given", "plot.slope: nothing is given"]),
    ("---\nplot: {footprint: 6 m x 4 m}\n---\n", ["plot.slope: nothing is given"]),
    ("---\nplot: {footprint: 6 m x 4 m, slope: 1:14}\n---\n", ["plot.falls_to: nothing is given"]),
    ("---\nplot: {footprint: , slope: 0}\n---\n", ["plot.footprint: nothing is given"]),
])
def test_what_must_be_given(text, words):
    sentences = refused(text)
    assert len(sentences) == len(words)
    for sentence, wanted in zip(sentences, words):
        assert wanted in sentence


@pytest.mark.parametrize(("pairs", "words"), [
    ([(0, 0), (6, 0)], "2 entries"),
    ([(0, 0), (6, 4), (6, 0), (0, 4)], "(0 m, 0 m) to (6 m, 4 m) meets the side from (6 m, 0 m) to (0 m, 4 m)"),
    ([(0, 0), (0, 0), (0, 0), (0, 0)], "is 0.000 m long"),
    ([(0, 0), (1, 0), (1, 9), (0, 9)], "each side of a rectangle must be"),
    ([(0, 0, 0), (6, 0), (6, 4), (0, 4)], "corner 1 has 3 parts"),
    ([(0, 0), (6000, 0), (6000, 4), (0, 4)], "too large"),
])
def test_corners_that_are_refused(pairs, words):
    assert any(words in sentence for sentence in refused(cornered(pairs)))


@pytest.mark.parametrize(("levels", "words"), [
    ([(0, 0, 0), (6.6, 0, 0), (6.6, 4.2, 0)], "(0 m, 4.2 m) lies 3.54 m outside"),
    ([(0, 0, 0), (6.6, 0, 0), (6.6, 4.2, 0), (0, 4.0, 0)], "(0 m, 4.2 m) lies 0.20 m outside"),
    ([(0, 0, 0), (6.6, 0, 0), (6.6, 4.2, 3), (0, 4.2, 3)], "steeper than 1:2"),
])
def test_levels_that_are_refused(levels, words):
    sentences = refused(f"---\nplot:\n  footprint: 6.6 m x 4.2 m\n  levels: {points(levels)}\n---\n")
    assert len(sentences) == 1 and words in sentences[0]


@pytest.mark.parametrize(("overrides", "words"), [
    (["schemes.thickened-raft.edge_depth=200 mm", "schemes.thickened-raft.slab_thickness=200 mm"], "not deeper than the slab"),
    (["plot.footprint=2 m x 4 m", "schemes.thickened-raft.edge_width=1 m"], "half of the building"),
    (["schemes.strip-and-block.footing_width=200 mm", "schemes.strip-and-block.block_thickness=215 mm"], "not wider than the wall"),
    (["schemes.insulated-slab.insulation_r=2 m^2 K/W", "schemes.insulated-slab.target_u=0.2 W/(m^2 K)"], "both insulation_r and target_u"),
    (["building.doors=[west, west]", "building.door_width=3 m"], "too wide for the doors of the west side"),
    (["plot.slope=", "plot.levels=[[0 m, 0 m, 0 m], [6.6 m, 0 m, 0 m], [6.6 m, 4.2 m, 0 m], [0 m, 4.2 m, 0 m]]"], "both levels and falls_to"),
    (["plot.slope=0", "plot.slope=1:20"], "set twice"),
    (["plot.footprint"], "not a key and a value"),
])
def test_rules_that_join_keys(overrides, words):
    sentences = refused(SMALL, *overrides)
    assert len(sentences) == 1 and words in sentences[0], sentences


def test_an_override_does_not_reach_below_a_list():
    text = SMALL.replace("---\nplot", "---\nschemes: [thickened-raft]\nplot")
    assert "has no keys below it" in refused(text, "schemes.thickened-raft.upstand=0")[0]


def test_a_schedule_without_a_rate_names_the_rate_and_the_scenario(tmp_path):
    from generator.schedules import SHIPPED

    lines = (SHIPPED / "demo-gb.yml").read_text(encoding="utf-8").replace("name: demo-gb", "name: yard").splitlines()
    (tmp_path / "yard.yml").write_text("\n".join(line for line in lines if "guard_rail" not in line), encoding="utf-8")
    (tmp_path / "barn.md").write_text(SMALL.replace("---\nplot", "---\nrates: yard\nplot"), encoding="utf-8")
    with pytest.raises(BadInput) as error:
        read_scenario_file(tmp_path / "barn.md")
    (problem,) = error.value.problems
    assert problem.field == "rates.guard_rail" and "barn.md" in problem.given and problem.file.endswith("yard.yml")


def test_files_that_cannot_be_read(tmp_path):
    for path, words in ((tmp_path / "none.md", "no such file"), (tmp_path, "not a file"), ("/dev/zero", "not a file"), ("a\0b", "cannot be opened")):
        with pytest.raises(BadInput, match=words):
            read_scenario_file(path)
    (tmp_path / "big.md").write_bytes(b"---\n---\n" + b"x" * 10_000_000)
    with pytest.raises(BadInput, match="larger"):
        read_scenario_file(tmp_path / "big.md")


def test_file_name_makes_the_slug(tmp_path):
    (tmp_path / "My Plot, new.md").write_text(SMALL, encoding="utf-8")
    assert read_scenario_file(tmp_path / "My Plot, new.md").scenario.slug == "my-plot-new"
    assert slug_of("../../etc") == "etc" and slug_of("\u4e2d") == "plot"
    with pytest.raises(ValueError):
        read_scenario_text(SMALL, "plot.md", "../x")


# The one list.


def test_the_list_of_inputs_is_sound():
    assert len(BY_KEY) == len(INPUTS)
    assert {item.group for item in INPUTS} <= {"", *GROUPS}
    for item in INPUTS:
        assert item.kind in READERS and item.label and item.hint and item.example, item.key
        assert item.default is None or item.reason, item.key
        if item.default and item.default != WORKED_OUT:
            read_input(item, Text(item.default, 1))


def test_the_record_and_the_list_have_the_same_choices():
    for scheme, record in (("thickened-raft", records.RaftChoices), ("strip-and-block", records.StripChoices), ("insulated-slab", records.InsulatedChoices)):
        names = [field.name for field in dataclasses.fields(record)]
        keys = [item.name for item in INPUTS if item.group == f"schemes.{scheme}"]
        assert len(names) == len(keys)
        assert all(name.startswith(key) for name, key in zip(sorted(names), sorted(keys)))


def test_the_schema_is_valid_and_takes_what_is_read():
    schema = scenario_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for text in (FULL, SMALL, FLAT, cornered(RECTANGLE), new_scenario_text("barn")):
        assert not list(validator.iter_errors(as_data(read_front_matter(text, "plot.md").keys)))
    assert not list(validator.iter_errors({"plot": {"footprint": "6 m x 4 m", "slope": 0}, "schemes": ["thickened-raft"]}))
    for bad in ({}, {"plot": {"footprint": "6 m x 4 m"}}, {"plot": {"footprint": "6 m x 4 m", "slope": "0", "soil": "mud"}}, {"plot": {"footprint": "6 m x 4 m", "slope": "0"}, "x": "1"},
                {"plot": {"footprint": "6 m x 4 m", "corners": [["0", "0"]] * 4, "slope": "0"}}, {"plot": {"footprint": "6 m x 4 m", "slope": 5}}):
        assert list(validator.iter_errors(bad)), bad


def test_the_schema_tells_every_input():
    def leaves(schema, path=""):
        for name, inner in schema.get("properties", {}).items():
            groups = [inner, *inner.get("anyOf", [])]
            group = next((g for g in groups if f"{path}{name}" in GROUPS and "properties" in g), None)
            if group:
                yield from leaves(group, f"{path}{name}.")
            else:
                yield f"{path}{name}", inner

    found = dict(leaves(scenario_schema()))
    assert set(found) == set(BY_KEY)
    for key, schema in found.items():
        assert schema["description"] and schema["examples"]
        assert schema.get("default", "") == (BY_KEY[key].default or "")


# New scenarios.


def test_a_new_scenario_shows_every_key_and_can_be_read():
    text = new_scenario_text("barn-end")
    reading = read_scenario_text(text, "barn-end.md", "barn-end")
    assert reading.scenario.title == "Barn end"
    assert set(reading.given) == {"title", "plot.footprint", "plot.slope", "plot.falls_to"}
    for item in INPUTS:
        assert re.search(rf"^ *(# )?{item.name}: ", text, re.M), item.key


def test_every_default_shown_in_a_new_scenario_may_be_uncommented():
    text = new_scenario_text("barn-end", SMALL)
    lines = []
    for line in text.splitlines():
        key = re.match(r" *# ([a-z_-]+):( |$)", line)
        skip = key and key[1] in ("corners", "levels", "level_book", "corner_drops") and not line.endswith("levels: none")
        lines.append(line.replace("# ", "", 1) if key and not skip else line)
    full = read_scenario_text("\n".join(lines), "barn-end.md", "barn-end")
    assert full.scenario == read_scenario_text(text, "barn-end.md", "barn-end").scenario
    assert len(full.given) == len(INPUTS) - 4


def test_a_copy_keeps_what_was_typed_and_the_story():
    text = new_scenario_text("second", FULL, ["plot.slope=1:20", "title=Odd: #title, with \"marks\""])
    copy = read_scenario_text(text, "second.md", "second")
    first = read(FULL, "plot.slope=1:20").scenario
    assert copy.scenario == dataclasses.replace(first, slug="second", title='Odd: #title, with "marks"')
    assert copy.body == "A *story*.\n"
    only = read_scenario_text(new_scenario_text("third", SMALL, ["schemes=[thickened-raft]"]), "third.md", "third")
    assert tuple(only.scenario.schemes) == ("thickened-raft",) and only.scenario.title == "Third"


def test_a_new_scenario_from_bad_words_is_refused():
    with pytest.raises(BadInput, match="no such key"):
        new_scenario_text("barn", None, ["plot.slop=1:3"])
