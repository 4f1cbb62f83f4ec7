"""Which way concrete goes from the lorry to the slab on a plot, and how many hands get a load down before it is too old."""

from __future__ import annotations

from calculators.barrows import LONGEST_RUN_M
from calculators.order_volume import rule_of_thumb_m3
from calculators.pour import DISCHARGE_H, Crew, Route, carry_m3_per_h, crew_wanted
from calculators.pricing import CHUTE_REACH_M, rate_named
from calculators.scenario import Scenario
from calculators.site import TOLERANCE
from calculators.sources import common_practice

LEAST_PEOPLE = common_practice(2.0, "people", "Nobody pours alone.")
MOST_PEOPLE = 20

# Why concrete goes the way it does.
GIVEN, PUMP_THERE, IN_REACH, USUAL, TOO_FAR, OUT_OF_REACH = "given", "pump there", "in reach", "usual", "too far", "out of reach"


def route_of(scenario: Scenario) -> tuple[Route, str, float]:
    """How concrete goes on a plot, why that way, and how far off the lorry stands, m.

    scenario: the way that was typed, or else pump where one comes, chute where it reaches, barrow; what cannot reach gives way to what can.
    Returns a Route (m), one of the reasons of this module, and m.
    Raises ValueError for a barrow run that is too steep.
    Source: definition of the guide.
    """
    given, access = scenario.pour, scenario.plot.access
    run_m = access.lorry_to_slab_m if given.run_m is None else given.run_m
    reaches, walks = run_m <= CHUTE_REACH_M.value + TOLERANCE, run_m <= LONGEST_RUN_M.value + TOLERANCE
    way, why = given.way, GIVEN
    if way is None:
        way, why = ("pump", PUMP_THERE) if access.pump else ("chute", IN_REACH) if reaches else ("barrow", USUAL)
    if way == "chute" and not reaches:
        way, why = "barrow", OUT_OF_REACH
    if way == "barrow" and not walks:
        way, why = "pump", TOO_FAR
    return Route(way, 0.0 if way == "pump" else run_m, given.run_slope if way == "barrow" else 0.0), why, run_m


def people_in_time(scenario: Scenario, net_m3: float, place_h_per_m3: float) -> int:
    """The fewest people who get the largest load of a pour down before it is too old, the owner among them.

    net_m3: as drawn, m3, above 0.  place_h_per_m3: a first-timer's hours for each m3, 0.2 to 10.
    Returns people, no unit, 2 to 20; where no number is enough, as many as are of use.
    Raises ValueError outside those ranges, MissingRate without a price for concrete.
    Source: `pour.crew_wanted`; BS 8500-2, 14.2, for the age; the load is net plus a tenth and one step, as orders are, a lorry at the most.
    """
    given, step_m3, route = scenario.pour, _step_m3(scenario), route_of(scenario)[0]
    load_m3 = min(scenario.schedule.products.concrete_lorry_m3, rule_of_thumb_m3(net_m3, step_m3) + step_m3)
    keeps_h = DISCHARGE_H.value - given.travel_h
    crew = crew_wanted(load_m3, keeps_h, route, given.first_time, place_h_per_m3) if keeps_h > 0.0 else None
    if crew is None:
        # More hands than can be fed from one chute or pump gain nothing.
        quickest_m3_per_h = carry_m3_per_h(Crew(MOST_PEOPLE, 1, given.first_time), route)
        crew = crew_wanted(load_m3, load_m3 / quickest_m3_per_h, route, given.first_time, place_h_per_m3)
    return MOST_PEOPLE if crew is None else min(MOST_PEOPLE, max(int(LEAST_PEOPLE.value), crew.barrows + crew.placers))


def _step_m3(scenario: Scenario) -> float:
    rate = rate_named(scenario, "ready_mixed_concrete")
    return rate.step * rate.sale_unit_in_si
