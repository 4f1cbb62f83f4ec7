"""Builders that the tests share: one invented plot, and what a test wants changed of it."""

from __future__ import annotations

import dataclasses
from dataclasses import fields, replace

import pytest

from calculators.compare import compare
from calculators.scenario import (
    Access, Building, Heat, InsulatedChoices, Plot, RaftChoices, Scenario, StripChoices,
)
from calculators.schedule import RATE_ITEMS, Products, Rate, Schedule
from calculators.schemes import SCHEME_BY_ID
from calculators.site import site_of
from generator.setup import OPTIONAL_TOOLS

UNIT_OF_KIND = {"volume": "m3", "mass": "t", "area": "m2", "length": "m", "time": "hour", "count": "each"}
STEP_OF_KIND = {"volume": 0.25, "mass": 1.0, "area": 1.0, "length": 1.0, "time": 1.0, "count": 1.0}

RECORD_OF_SCHEME = {"thickened-raft": RaftChoices, "strip-and-block": StripChoices, "insulated-slab": InsulatedChoices}
# What a reader who says nothing of a scheme gets; what is not here is worked out by the scheme.
SAID_NOTHING = {
    "thickened-raft": dict(slab_thickness_m=0.125, edge_width_m=0.45, low_side="cheaper", edge_bars=True, accept_clay_movement=False),
    "strip-and-block": dict(slab_thickness_m=0.1, accept_clay_movement=False),
    "insulated-slab": dict(slab_thickness_m=0.1, insulation="EPS", insulation_thickness_m=0.1, accept_clay_movement=False),
}


def rectangle(east_m: float, north_m: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (east_m, 0.0), (east_m, north_m), (0.0, north_m))


def a_schedule(step_factor: float = 1.0) -> Schedule:
    """Invented rates, no two alike, so that a price tells which rate it was made with.

    step_factor below 1 makes the units of sale finer: orders nearly equal to what is wanted.
    """
    rates = {}
    for number, item in enumerate(RATE_ITEMS):
        likely = 10.0 + 1.37 * number
        rates[item.key] = Rate(item.key, 0.8 * likely, likely, 1.4 * likely, UNIT_OF_KIND[item.unit_kind], 1.0,
                               STEP_OF_KIND[item.unit_kind] * step_factor, "invented")
    products = Products(
        block_length_m=0.44, block_height_m=0.215, mortar_joint_m=0.01, fabric_name="A193", fabric_sheet_length_m=4.8,
        fabric_sheet_width_m=2.4, fabric_kg_per_m2=3.02, membrane_roll_width_m=4.0, membrane_roll_length_m=25.0,
        damp_proof_course_roll_length_m=30.0, concrete_lorry_m3=6.0, concrete_full_charge_from_m3=4.0, spoil_load_m3=6.0)
    return Schedule("invented", "Invented for the tests", "GBP", "2026-01", True, 20.0, True, 15.0, "metric", products, rates)


def a_scenario(
    size_m=(6.6, 4.2), gradient=0.0, falls_to_deg=180.0, corner_levels_m=None, plot=None, building=None,
    raft=None, strip=None, insulated=None, region="england", schedule=None, schemes=tuple(RECORD_OF_SCHEME), **others,
) -> Scenario:
    """A plot on medium sand that no rule minds, with what is asked for changed.

    size_m: east, north; corner_levels_m: levels from the south-west corner anticlockwise;
    plot, building, raft, strip, insulated: fields of those records to change.
    """
    corners = rectangle(*size_m)
    levels = () if corner_levels_m is None else tuple((x, y, z) for (x, y), z in zip(corners, corner_levels_m))
    the_plot = Plot(
        corners_m=corners, gradient=0.0 if levels else gradient, falls_to_deg=None if levels else falls_to_deg, levels_m=levels,
        topsoil_m=0.15, soil="medium sand", shrinkage="low", trees="none", water="low", outfall=True, frost_depth_m=None,
        boundary_m={}, spoil_spread_m3=0.0, planning_permission=False, access=Access(18.0, 2.6, False))
    the_building = Building(
        walls="timber frame", wall_height_m=2.3, ridge_height_m=2.4, roof_shape="pitched", roof_covering="felt",
        use="workshop", heated=False, doors=("south",), door_width_m=1.2, door_threshold="raised")
    changed = {"thickened-raft": raft, "strip-and-block": strip, "insulated-slab": insulated}
    choices = {}
    for scheme in schemes:
        record = RECORD_OF_SCHEME[scheme]
        choices[scheme] = replace(
            record(**{field.name: SAID_NOTHING[scheme].get(field.name) for field in fields(record)}), **(changed[scheme] or {}))
    return Scenario(
        title="Invented plot", slug="invented-plot", units="metric", currency="GBP", region=region, hour_worth=10.0,
        plot=replace(the_plot, **(plot or {})), building=replace(the_building, **(building or {})), schemes=choices,
        heat=Heat(0.3, 1.5), schedule=schedule or a_schedule(), **others)


def pytest_collection_modifyitems(items):
    """Skips what needs a program that is not installed, and says how to get it."""
    missing = {mark: tool.missing_words for mark, tool in OPTIONAL_TOOLS.items() if tool.path is None}
    for item in items:
        for mark, words in missing.items():
            if item.get_closest_marker(mark):
                item.add_marker(pytest.mark.skip(reason=words))


@pytest.fixture(scope="session")
def make_scenario():
    """Builds a Scenario: see `a_scenario`."""
    return a_scenario


@pytest.fixture(scope="session")
def make_schedule():
    """Builds a Schedule: see `a_schedule`."""
    return a_schedule


@pytest.fixture(scope="session")
def compared():
    """Builds a Scenario and compares its schemes, each at the lowest level that its rules allow unless a level is given.

    What a hand can work out is worked out there; the search for the level
    that costs least has tests of its own.
    """
    def at_lowest(**changes):
        scenario = a_scenario(**changes)
        site = site_of(scenario)
        return compare(dataclasses.replace(scenario, schemes={
            name: dataclasses.replace(choices, floor_level_m=SCHEME_BY_ID[name].lowest_level(site).level_m)
            for name, choices in scenario.schemes.items()}))

    return at_lowest


# Ground of every kind the layout has to cope with, by name.
GROUNDS = {
    "flat": dict(),
    "falling gently": dict(gradient=1 / 14),
    "falling askew": dict(gradient=0.09, falls_to_deg=200.0),
    "falling to a corner": dict(gradient=0.12, falls_to_deg=135.0),
    "steep": dict(gradient=0.19, falls_to_deg=270.0),
    "twisted": dict(corner_levels_m=(10.0, 9.72, 10.12, 10.16)),
    "saddle": dict(corner_levels_m=(0.0, 0.5, 0.05, 0.45)),
}


@pytest.fixture(params=GROUNDS, scope="session")
def ground(request):
    """Each kind of ground in turn, as changes for the builders."""
    return GROUNDS[request.param]
