"""The order list: everything of the bill in one place, in time, in the right words; mortar, lorries and heaps."""

import dataclasses
import math
import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from calculators import pricing, stockpiles
from calculators import order_words as ow
from calculators.compare import compare
from calculators.concrete_section import FOOTING_FCK_MPA
from calculators.materials import bar_kg_per_m, block_kg
from calculators.order_list import (
    BAGS_KG, BULK_BAG_T, CEMENT_KG_PER_M3, CRANE_LORRY_T, LIME_KG_PER_M3, MORTAR_SAND_PARTS, SMALL_TIPPER_GATE_M, US_BAGS_KG, day_to_order, lorries_for,
    mortar_part_m3, mortar_stuff, placed_keys,
)
from calculators.plot_cautions import LORRY_WITH_MIRRORS_M
from calculators.programme import last_lorry_day
from calculators.scenario import PlaceForSurplus, PourDayGiven, ProgrammeGiven
from calculators.schemes import SCHEME_BY_ID
from calculators.sources import MARKS
from calculators.stand import FLOOR_FCK_MPA, RAFT_FCK_MPA

SCHEMES = tuple(SCHEME_BY_ID)
# Told for each pour or each hire, and so in more than one delivery.
SHARED = {"part load", "plant delivery", "pump"}


def jobs_of(scenario):
    found = compare(scenario, jobs=True)
    return found, [(result, found.jobs[result.id]) for result in found.schemes if result.buildable]


@pytest.fixture(scope="module")
def plots(make_scenario):
    """Plots of every kind the list has to cope with, worked out once."""
    clay = dict(soil="stiff clay", shrinkage="low", water="seasonal", outfall=False)
    said = {
        "usual": make_scenario(gradient=1 / 14, plot=dict(boundary_m={"south": 4.5, "east": 3.2})),
        "flat and dry": make_scenario(plot=dict(spoil_spread_m3=100.0)),
        "by hand": make_scenario(gradient=1 / 20, plot=dict(access=dataclasses.replace(make_scenario().plot.access, gate_width_m=0.7, lorry_to_slab_m=40.0))),
        "old slab on clay": make_scenario(
            gradient=1 / 18, plot=clay | dict(existing_slabs_m=((((1.0, 1.0), (3.0, 1.0), (3.0, 2.5), (1.0, 2.5)), 0.12),)),
            strip=dict(accept_clay_movement=True), raft=dict(accept_clay_movement=True), insulated=dict(accept_clay_movement=True)),
        "pumped": make_scenario(gradient=1 / 25, plot=dict(access=dataclasses.replace(make_scenario().plot.access, pump=True))),
        "tiny": make_scenario(size_m=(2.4, 1.8), building=dict(door_width_m=0.8)),
        "american": make_scenario(gradient=1 / 20, region="us", plot=dict(frost_depth_m=0.6)),
    }
    return {name: jobs_of(scenario) for name, scenario in said.items()}


def lines_of(job):
    return [line for delivery in job.deliveries for line in delivery.lines]


# Everything is there, once.


@pytest.mark.parametrize("scheme", SCHEMES)
def test_every_line_that_a_bill_can_have_has_one_place(scheme):
    # A new line of the bill that is bought has to be given a supplier.
    placed = placed_keys(scheme)
    assert len(placed) == len(set(placed))
    bought = {rule.key for rule in pricing.BILL if rule.rate is not pricing._no_rate}
    assert set(placed) == bought
    assert bought <= set(ow.SAID) | {"footing concrete", "slab concrete"}


def test_every_plot_has_all_schemes_to_try(plots):
    assert all(jobs for _, jobs in plots.values())
    assert {result.id for _, jobs in plots.values() for result, _ in jobs} == set(SCHEMES)
    assert {line.key for _, jobs in plots.values() for _, job in jobs for line in lines_of(job)} >= {
        "rubble", "breaker", "spoil", "geotextile", "ground mats", "pump", "part load", "insulation", "bars", "door steps", "fee"}


def test_each_bought_line_of_a_bill_is_in_one_delivery_and_no_other_is(plots):
    for name, (_, jobs) in plots.items():
        for result, job in jobs:
            bill = {line.key: line for line in result.priced.lines if line.rate is not None}
            keys = [line.key for line in lines_of(job)]
            assert set(keys) - {"part load"} == set(bill) - {"part load"}, (name, result.id)
            assert len([key for key in keys if key not in SHARED]) == len({key for key in keys if key not in SHARED})


def test_amounts_and_money_add_up_to_the_bill_but_for_concrete(plots):
    for name, (_, jobs) in plots.items():
        for result, job in jobs:
            bill = {line.key: line for line in result.priced.lines if line.rate is not None}
            for key, billed in bill.items():
                mine = [line for line in lines_of(job) if line.key == key]
                if key in pricing.POURS or key == "part load":
                    continue
                assert sum(line.order for line in mine) == pytest.approx(billed.order), (name, result.id, key)
                assert sum(line.cost for line in mine) == pytest.approx(billed.cash)
                assert all(line.unit == billed.order_unit and line.bill_order is None for line in mine)
            others = sum(line.cash for key, line in bill.items() if key not in (*pricing.POURS, "part load"))
            concrete = sum(line.cost for line in lines_of(job) if line.key in (*pricing.POURS, "part load"))
            assert sum(delivery.cost for delivery in job.deliveries) == pytest.approx(others + concrete)


def test_net_spare_and_order_hang_together(plots):
    for _, jobs in plots.values():
        for _, job in jobs:
            for line in lines_of(job):
                assert line.order > 0.0 and line.cost > 0.0
                if line.key != "part load":
                    assert line.net <= line.order + 1e-9 and line.spare == pytest.approx(line.order - line.net)


def test_concrete_is_what_its_pour_ordered(plots):
    for found, jobs in plots.values():
        rate = found.scenario.schedule.rates["ready_mixed_concrete"]
        charge = found.scenario.schedule.rates["part_load_charge"]
        for result, job in jobs:
            billed = {line.key: line.order for line in result.priced.lines}
            assert len([line for line in lines_of(job) if line.key in pricing.POURS]) == len(job.pours)
            for pour in job.pours:
                delivery = next(each for each in job.deliveries if each.for_task == pour.key and each.lines[0].key in pricing.POURS)
                line = delivery.lines[0]
                assert line.order * rate.sale_unit_in_si == pytest.approx(pour.chosen.order_m3)
                assert line.net * rate.sale_unit_in_si == pytest.approx(pour.net_m3)
                assert (line.bill_order is None) == (abs(billed[line.key] - line.order) < 1e-9)
                assert line.bill_order in (None, billed[line.key])
                assert delivery.loads == len(pour.chosen.loads_m3) and delivery.arrives == pour.date
                assert sum(delivery.figures[name].value for name in delivery.figures if name.startswith("load_")) == pytest.approx(pour.chosen.order_m3)
                short = max(0.0, pour.terms.full_from_m3 - pour.chosen.loads_m3[-1])
                charged = [each.order for each in delivery.lines if each.key == "part load"]
                assert bool(charged) == (short > 1e-9)
                if charged:
                    assert short / charge.sale_unit_in_si <= charged[0] < short / charge.sale_unit_in_si + charge.step + 1e-9


# In time.


def test_it_is_wanted_on_the_first_day_of_its_task_and_ordered_in_time(plots):
    for _, jobs in plots.values():
        for result, job in jobs:
            dates = job.programme.dates
            there = {dated.task.key for dated in dates.tasks}
            assert [each.arrives for each in job.deliveries] == sorted(each.arrives for each in job.deliveries)
            for each in job.deliveries:
                start = dates.task(each.for_task).start
                assert each.arrives == (last_lorry_day(start) if each.loads else start) and (each.arrives.weekday() < 6 or not each.loads)
                assert (each.arrives - each.order_by).days >= each.lead_days and each.order_by.weekday() < 5
                # What the programme orders as one is wanted and ordered on the same days here.
                for key, task, first in (
                    ("order plant", "dig", "digger"), ("order blocks", "walls", "blocks"), ("order footing concrete", "footing pour", "footing concrete"),
                    ("order slab concrete", "slab pour", "slab concrete"),
                ):
                    if each.for_task == task and each.lines[0].key == first and "break out" not in there:
                        assert (each.arrives, each.order_by) == (dates.task(key).wanted, dates.task(key).order_by), (key, result.id)
                if each.lines[0].key in (*pricing.POURS, "pump"):
                    assert each.confirm_on < each.arrives and each.confirm_on.weekday() < 5 and (each.arrives - each.confirm_on).days <= 3
                else:
                    assert each.confirm_on is None
                hired = each.lines[0].key in ("digger", "plate", "breaker", "ground mats")
                assert (each.until is not None) == hired
                assert not hired or each.until >= each.arrives


def test_nothing_comes_or_is_ordered_on_a_holiday(make_scenario):
    usual = make_scenario(gradient=1 / 14)
    before = jobs_of(replace(usual, programme=ProgrammeGiven(start=date(2027, 5, 1))))[1]
    for result, job in before:
        pour = job.pours[0]
        order_by = next(each.order_by for each in job.deliveries if each.for_task == pour.key)
        holidays = (order_by, *(dated.start for dated in job.programme.dates.tasks if dated.task.key == "stone"))
        after = dict((found.id, again) for found, again in jobs_of(replace(usual, programme=ProgrammeGiven(start=date(2027, 5, 1), holidays=holidays)))[1])[result.id]
        assert all(each.order_by not in holidays and (each.arrives not in holidays or not each.loads) for each in after.deliveries)


def test_weekday_to_order_by_a_calendar():
    # 24 April 2027 is a Saturday; 16 April the Friday of the week before: calendar of 2027.
    assert day_to_order(date(2027, 4, 24), 7.0) == date(2027, 4, 16)
    assert day_to_order(date(2027, 4, 28), 7.0) == date(2027, 4, 21)
    assert day_to_order(date(2027, 4, 26), 1.0) == date(2027, 4, 23)
    assert day_to_order(date(2027, 4, 21), 2.5) == date(2027, 4, 16)
    for days in range(0, 20):
        found = day_to_order(date(2027, 1, 1) + timedelta(days=days), 3.0)
        assert found.weekday() < 5 and 3 <= (date(2027, 1, 1) + timedelta(days=days) - found).days <= 5
    with pytest.raises(ValueError, match="lead time"):
        day_to_order(date(2027, 4, 24), -1.0)
    with pytest.raises(ValueError):
        day_to_order(date(2027, 4, 24), math.nan)


def test_a_supplier_who_takes_longer_is_believed(make_scenario):
    slow = replace(make_scenario(gradient=1 / 14), programme=ProgrammeGiven(start=date(2027, 5, 1), waits={"order stone": 20.0}))
    for _, job in jobs_of(slow)[1]:
        stone = next(each for each in job.deliveries if each.lines[0].key == "stone")
        assert stone.lead_days == 20.0 and (stone.arrives - stone.order_by).days >= 20


def test_straps_come_before_the_concrete_that_holds_them(plots):
    for _, jobs in plots.values():
        for result, job in jobs:
            straps = next(each for each in job.deliveries if any(line.key == "straps" for line in each.lines))
            first = next(pour for pour in job.pours if pour.key == "slab pour").date if result.id == "thickened-raft" else job.programme.dates.task("walls").start
            assert straps.arrives <= first


# The right words.


def test_every_figure_in_the_words_is_there_and_none_for_nothing(plots):
    for _, jobs in plots.values():
        for _, job in jobs:
            for each in (*job.deliveries, *lines_of(job)):
                words = [each.load_words, each.put_down] if hasattr(each, "put_down") else [each.ask_for, each.spare_goes]
                named = set(re.findall(r"\{(\w*)\}", " ".join(words)))
                assert named == set(each.figures)
                assert all(math.isfinite(amount.value) and amount.value >= 0.0 for amount in each.figures.values())
            for line in lines_of(job):
                assert line.ask_for and line.spare_goes and line.source and line.mark in MARKS
                assert not re.search(r"\b(safe|compliant|guaranteed?|certified)\b", f"{line.ask_for} {line.spare_goes}", re.I)


# One pound to the square inch is 0.00689476 MPa: NIST SP 811.
MPA_PER_PSI = 0.00689476


@pytest.mark.parametrize("region", ["england", "ireland", "us", "eurocode"])
@pytest.mark.parametrize("what, checked", [(ow.FOOTING, FOOTING_FCK_MPA), (ow.RAFT_SLAB, RAFT_FCK_MPA), (ow.FLOOR_SLAB, FLOOR_FCK_MPA)])
def test_the_concrete_asked_for_is_as_strong_as_the_checks_took(region, what, checked):
    words = ow.CONCRETE[what].asked(region)
    psi, cylinder = re.search(r"(\d+) psi", words), re.search(r"C(\d+)/(\d+)", words)
    strength = float(psi[1]) * MPA_PER_PSI if psi else float(cylinder[1])
    # No stronger than the next step but one, or money is wasted.
    assert checked.value <= strength <= checked.value + 6.0
    assert ("slump" in words) == (region == "us") and ("S3" in words) == (region != "us")


def test_designated_mixes_are_asked_for_where_they_are_known():
    # BS 8500 as read: RC25/30 for a floor with fabric, RC28/35 for reinforced foundations, GEN1 the least for plain strip footings.
    assert "RC25/30" in ow.CONCRETE[ow.FLOOR_SLAB].asked("england") and "RC28/35" in ow.CONCRETE[ow.RAFT_SLAB].asked("england")
    assert "GEN1 is the least" in ow.CONCRETE[ow.FOOTING].asked("england")
    for region in ("ireland", "us", "eurocode"):
        assert not re.search(r"\b(RC\d|GEN\d)", " ".join(said.asked(region) for said in ow.CONCRETE.values()))
        assert all(said.source(region).document is None for said in ow.CONCRETE.values())


def test_what_is_asked_depends_on_ground_use_and_way(plots, make_scenario):
    def concrete(name, scheme="thickened-raft"):
        job = next(job for result, job in plots[name][1] if result.id == scheme)
        return next(line.ask_for for line in lines_of(job) if line.key == "slab concrete")

    assert "sulfate" not in concrete("usual") and "pumped" not in concrete("usual") and "freezes" not in concrete("usual")
    assert "pumped" in concrete("pumped")
    clay = next(line.ask_for for result, job in plots["old slab on clay"][1] for line in lines_of(job) if line.key == "footing concrete")
    assert "sulfate" in clay and "stiff clay" in clay
    garage = make_scenario(building=dict(use="garage"))
    assert all("air in it" in next(line.ask_for for line in lines_of(job) if line.key == "slab concrete") for _, job in jobs_of(garage)[1])


def test_membrane_is_as_thick_as_the_rule(plots):
    # NHBC Standards 5.1.20 as read: 1200 gauge is 0.3 mm; 1 mil is a thousandth of an inch, 0.0254 mm.
    line = next(line for result, job in plots["usual"][1] for line in lines_of(job) if line.key == "membrane")
    assert "1200 gauge" in line.ask_for and line.figures["membrane"].value == pytest.approx(0.0003)
    mil = float(re.search(r"(\d+) mil or more", ow.SAID["membrane"].asked("us"))[1])
    assert mil * 0.0254 == pytest.approx(0.3, abs=0.01)


def test_a_narrow_digger_is_asked_for_through_a_narrow_gate(make_scenario):
    narrow = make_scenario(plot=dict(access=dataclasses.replace(make_scenario().plot.access, gate_width_m=1.1)))
    for _, job in jobs_of(narrow)[1]:
        line = next(line for line in lines_of(job) if line.key == "digger")
        assert line.ask_for.startswith("The narrowest digger") and line.figures["gate"].value == 1.1


def test_readers_own_words_cannot_name_a_figure(make_scenario):
    places = (PlaceForSurplus("{gate} bay {nonsense}", 0.4),)
    for _, job in jobs_of(replace(make_scenario(), pour=PourDayGiven(places=places)))[1]:
        spare = next(line for line in lines_of(job) if line.key == "slab concrete")
        assert "(gate) bay (nonsense)" in spare.spare_goes and spare.figures["place_1"].value == 0.4
        assert set(re.findall(r"\{(\w+)\}", spare.spare_goes)) == {"place_1"}


def test_no_place_for_surplus_is_said(make_scenario):
    found, jobs = jobs_of(make_scenario())
    from calculators.order_list import _Maker

    result, job = jobs[0]
    pour = job.pours[-1]
    bare = replace(pour, terms=replace(pour.terms, places=()))
    line = _Maker(found.site, result, job.programme.dates).of_pour(bare)[0].lines[0]
    assert "No place is named" in line.spare_goes


# No drains, no spoil, by hand.


def test_what_a_plot_does_not_have_is_not_on_its_list(plots):
    for _, job in plots["flat and dry"][1]:
        keys = {line.key for line in lines_of(job)}
        assert not keys & {"land drain", "drain stone", "spoil", "geotextile", "ground mats", "rubble"}
        assert not any(each.supplier.startswith("Muck-away") for each in job.deliveries)


def test_without_a_digger_the_heap_of_topsoil_is_told_at_the_setting_out(plots):
    for _, job in plots["by hand"][1]:
        assert not any(line.key == "digger" for line in lines_of(job))
        assert "Topsoil" in job.deliveries[1].put_down or "Topsoil" in job.deliveries[0].put_down
        plate = next(each for each in job.deliveries if each.lines[0].key == "plate")
        assert [line.key for line in plate.lines] == ["plate", "plant delivery"] and plate.lines[1].order == 1.0
        stone = next(each for each in job.deliveries if each.lines[0].key == "stone")
        # Nothing that is 0.7 m wide lets a lorry in.
        assert "crane" in stone.load_words or "does not pass" in stone.put_down
    for _, job in plots["usual"][1]:
        assert "Topsoil" in next(each for each in job.deliveries if any(line.key == "digger" for line in each.lines)).put_down


def test_a_scheme_outside_the_limits_has_no_list(make_scenario):
    found = compare(make_scenario(gradient=0.4), jobs=True)
    assert not any(result.buildable for result in found.schemes) and found.jobs == {}


# Pieces.


def test_mortar_against_the_builders_rule_of_38():
    # US Navy Builder manual, "rule 38", from memory: a cubic yard of 1:3 mortar takes 9.5 sacks of cement (1 cubic foot, 94 lb each)
    # and 28.5 cubic feet of sand.
    cubic_foot_m3, yard_m3, pound_kg = 0.3048**3, 0.9144**3, 0.45359237
    assert mortar_part_m3(yard_m3, 4.0) / cubic_foot_m3 == pytest.approx(9.5, rel=1e-6)
    stuff = mortar_stuff(yard_m3, sand_parts=3.0)
    assert stuff.cement_kg / (94.0 * pound_kg) == pytest.approx(9.5, rel=2e-3)
    assert US_BAGS_KG[0] == pytest.approx(94.0 * pound_kg, abs=0.01) and US_BAGS_KG[1] == pytest.approx(50.0 * pound_kg, abs=0.01)
    assert CEMENT_KG_PER_M3.value == pytest.approx(94.0 * pound_kg / cubic_foot_m3, abs=1.0)
    assert LIME_KG_PER_M3.value == pytest.approx(40.0 * pound_kg / cubic_foot_m3, abs=1.0)


def test_mortar_against_the_proportions_of_type_s():
    # ASTM C270, proportions by volume, from memory: type S is 1 cement, over 1/4 to 1/2 lime, sand 2 1/4 to 3 times cement and lime together.
    assert 2.25 * 1.5 <= MORTAR_SAND_PARTS.value <= 3.0 * 1.5
    stuff = mortar_stuff(1.0, lime_parts=0.5)
    cement_m3, lime_m3 = stuff.cement_kg / CEMENT_KG_PER_M3.value, stuff.lime_kg / LIME_KG_PER_M3.value
    assert lime_m3 / cement_m3 == pytest.approx(0.5)
    # What is on the words is what is in the sums.
    assert MORTAR_SAND_PARTS.value == 4.5 and "4 1/2" in ow.SAID["mortar"].ask and "1/2 to 4 1/2" in ow.SAID["mortar"].asked("us")
    # UK handbooks, from memory: about 300 to 400 kg of cement and 1.5 to 1.9 t of sand in a cubic metre of 1 to 4 or 5.
    plain = mortar_stuff(1.0)
    assert 300.0 < plain.cement_kg < 400.0 and 1.5 < plain.sand_t < 1.9


@pytest.mark.parametrize("wrong", [dict(mortar_m3=-0.1), dict(mortar_m3=60.0), dict(mortar_m3=1.0, sand_parts=0.0), dict(mortar_m3=1.0, lime_parts=9.0), dict(mortar_m3=math.nan)])
def test_nonsense_mortar_is_refused(wrong):
    with pytest.raises(ValueError):
        mortar_stuff(**wrong)


def test_pieces_are_enough_and_no_more(plots):
    for found, jobs in plots.values():
        products, us = found.scenario.schedule.products, found.site.rules.region == "us"
        for result, job in jobs:
            lines = {line.key: line for line in lines_of(job)}
            blocks = lines["blocks"]
            packs = [int(re.search(r"of (\d+)", piece.what)[1]) * piece.amount for piece in blocks.comes_as if "pack" in piece.what]
            single = [piece.amount for piece in blocks.comes_as if "single" in piece.what]
            assert sum(packs) + sum(single) == pytest.approx(blocks.order)
            stuff = mortar_stuff(lines["mortar"].order, lime_parts=0.5 if us else 0.0)
            bag = (US_BAGS_KG if us else BAGS_KG)[0]
            bags = lines["mortar"].comes_as[0].amount
            assert (bags - 1) * bag < stuff.cement_kg <= bags * bag + 1e-9
            assert stuff.sand_t <= lines["mortar"].comes_as[-1].amount <= stuff.sand_t + 0.05 + 1e-9
            assert any("lime" in piece.what for piece in lines["mortar"].comes_as) == us
            for key in ("stone", "blinding", "drain stone"):
                if key in lines and lines[key].comes_as:
                    assert (lines[key].comes_as[0].amount - 1) * BULK_BAG_T.value < lines[key].order <= lines[key].comes_as[0].amount * BULK_BAG_T.value + 1e-9
            if "insulation" in lines:
                m3 = 2.88 * result.works.sizes["insulation_thickness_m"]
                boards = lines["insulation"].comes_as[0].amount
                assert (boards - 1) * m3 < lines["insulation"].order <= boards * m3 + 1e-9
            if "bars" in lines:
                # The long bars alone weigh less than bars and links together, and most of it.
                kg = lines["bars"].comes_as[0].amount * 6.0 * bar_kg_per_m(0.012)
                assert 0.5 * lines["bars"].net * 1000.0 < kg < lines["bars"].net * 1000.0
            walls = next(each for each in job.deliveries if any(line.key == "blocks" for line in each.lines))
            each_kg = block_kg(products.block_length_m, products.block_height_m, result.works.sizes.get("block_thickness_m", 0.14))
            assert blocks.order * each_kg / 1000.0 <= walls.loads * CRANE_LORRY_T.value


# Lorries.


def test_a_lorry_fits_the_gate_and_carries_it_all():
    for gate in (0.7, 1.5, 2.6, 2.8, 3.0, 4.0):
        for mass in (0.3, 3.2, 3.3, 6.9, 7.1, 8.0, 8.1, 16.0, 16.1, 40.0):
            found = lorries_for(mass, gate)
            assert found.loads >= 1
            if found.bags:
                assert found.bags * BULK_BAG_T.value >= mass - 1e-9 and mass <= CRANE_LORRY_T.value and not found.passes
            else:
                assert found.loads * found.each_t >= mass - 1e-9 and (found.loads - 1) * found.each_t < mass
                assert found.passes == (gate >= LORRY_WITH_MIRRORS_M.value or (gate >= SMALL_TIPPER_GATE_M.value and mass <= 7.0))
    for wrong in ((0.0, 2.0), (1.0, 0.0), (-1.0, 2.0), (math.nan, 2.0)):
        with pytest.raises(ValueError):
            lorries_for(*wrong)


# Heaps.


def test_a_cone_against_its_formula_and_a_sum_over_slices():
    # Textbooks of solid geometry: V = pi r2 h / 3, and the slope is the height over the radius.
    for volume, slope in ((0.2, 33.0), (4.0, 35.0), (60.0, 37.0)):
        radius = stockpiles.cone_radius_m(volume, slope)
        height = radius * math.tan(math.radians(slope))
        assert math.pi * radius**2 * height / 3.0 == pytest.approx(volume)
        slices = 20000
        summed = sum(math.pi * (radius * (1.0 - (i + 0.5) / slices)) ** 2 * height / slices for i in range(slices))
        assert summed == pytest.approx(volume, rel=1e-6)


def test_a_ridge_holds_its_volume_by_integrating_its_sections():
    heap = stockpiles.heap_of(30.0, 35.0, 1.5)
    rise, half = math.tan(math.radians(35.0)), heap.width_m / 2.0
    assert heap.height_m == pytest.approx(1.5) and half * rise == pytest.approx(1.5)
    # Height over every point of its ground: what is left of the distance to its nearest edge.
    count, total = 700, 0.0
    straight = heap.length_m - heap.width_m
    for i in range(count):
        x = -half + (i + 0.5) * heap.width_m / count
        for j in range(count):
            y = -half + (j + 0.5) * heap.length_m / count
            from_line = math.hypot(x, y - min(max(y, 0.0), straight))
            total += max(0.0, half - from_line) * rise
    assert total * heap.width_m * heap.length_m / count**2 == pytest.approx(30.0, rel=2e-3)
    assert heap.area_m2 == pytest.approx(math.pi * half**2 + straight * heap.width_m)


def test_a_heap_grows_without_a_jump_and_never_past_its_limits():
    before = None
    for volume in (x / 10.0 for x in range(1, 300)):
        heap = stockpiles.heap_of(volume, 35.0, 1.5, 3.6)
        assert heap.height_m <= 1.5 + 1e-9 and heap.width_m <= 3.6 + 1e-9 and heap.length_m >= heap.width_m - 1e-9
        if before is not None:
            assert 0.0 < heap.area_m2 - before < 1.5
        before = heap.area_m2
    for wrong in ((0.0, 35.0, 1.5), (-1.0, 35.0, 1.5), (5.0, 80.0, 1.5), (5.0, 35.0, 0.0), (2000.0, 35.0, 1.5), (math.nan, 35.0, 1.5)):
        with pytest.raises(ValueError):
            stockpiles.heap_of(*wrong)


def test_heaps_stand_back_from_the_dig_and_inside_the_boundary(plots):
    for found, jobs in plots.values():
        boundary = found.scenario.plot.boundary_m
        for result, _ in jobs:
            rooms = stockpiles.rooms_of(found.site, result.works)
            assert {room.side for room in rooms} == {"south", "east", "north", "west"}
            for room in rooms:
                assert room.keep_back_m >= 1.0 and room.from_face_m >= room.keep_back_m
                assert (room.width_m is None) == (room.side not in boundary)
                if room.width_m is not None:
                    assert room.width_m == pytest.approx(max(0.0, boundary[room.side] - room.from_face_m))


def test_a_deep_dig_keeps_heaps_further_off(plots):
    shallow, deep = (max(room.keep_back_m for result, _ in plots[name][1] for room in stockpiles.rooms_of(plots[name][0].site, result.works)) for name in ("flat and dry", "usual"))
    assert shallow == pytest.approx(1.0) or shallow < deep


def test_where_there_is_no_room_it_is_said(make_scenario):
    hemmed_in = make_scenario(plot=dict(boundary_m={side: 1.6 for side in ("south", "east", "north", "west")}, access=dataclasses.replace(make_scenario().plot.access, gate_width_m=3.5)))
    found, jobs = jobs_of(hemmed_in)
    assert jobs
    for _, job in jobs:
        stone = next(each for each in job.deliveries if each.lines[0].key == "stone")
        digger = next(each for each in job.deliveries if any(line.key == "digger" for line in each.lines))
        assert "no side of the building has that much" in stone.put_down and "no side of the building has that much" in digger.put_down
        assert "heap_from" not in stone.figures


def test_topsoil_and_what_waits_beside_it_do_not_lie_on_each_other(plots):
    for name in ("usual", "american"):
        for _, job in plots[name][1]:
            sides = [re.search(r"on the (\w+) side", each.put_down)[1] for each in job.deliveries if "on the " in each.put_down and "side" in each.put_down]
            digger = next(each for each in job.deliveries if any(line.key == "digger" for line in each.lines))
            top = re.search(r"on the (\w+) side", digger.put_down)[1]
            assert sides.count(top) == 1


def test_a_place_is_the_first_that_fits():
    def room(side, facing, width, length=8.0):
        return stockpiles.Room(side, facing, 1.0, 1.5, width, length)

    rooms = (room("north", "uphill", 1.0), room("south", "downhill", 9.0), room("east", "across", None))
    assert stockpiles.place_for(6.0, 35.0, 1.5, rooms).room.side == "east"
    assert stockpiles.place_for(6.0, 35.0, 1.5, rooms[:2]).room.side == "south"
    assert stockpiles.place_for(6.0, 35.0, 1.5, rooms[:1]).room is None
    assert stockpiles.place_for(6.0, 35.0, 1.5, (room("north", "uphill", 9.0, 2.0),)).room is None
    # A boundary that is known goes before one that nobody gave, if they face alike.
    assert stockpiles.place_for(6.0, 35.0, 1.5, (room("west", "across", None), room("east", "across", 6.0))).room.side == "east"
