"""Records of soils and materials: complete, consistent, and right in other people's units."""

import math

import pint
import pytest

from calculators import materials, soils
from calculators.scenario import INSULATIONS
from calculators.scenario import SOILS as SOIL_NAMES
from calculators.sources import DOCUMENTS, MARKS, Document, Sourced

UNITS = pint.UnitRegistry()


def test_every_soil_of_a_scenario_has_a_record():
    assert tuple(soils.SOILS) == SOIL_NAMES
    assert all(name == soil.name for name, soil in soils.SOILS.items())


def test_every_insulation_of_a_scenario_has_a_record():
    assert tuple(materials.INSULATIONS) == INSULATIONS


@pytest.mark.parametrize("name", SOIL_NAMES)
def test_dug_ground_bulks_and_only_clay_or_the_unknown_shrinks(name):
    soil = soils.soil_named(name)
    assert 1.0 < soil.bulking.value < 2.0
    assert soil.compacted_to_bank.value < soil.bulking.value
    assert soil.shrinkable == (soil.kind in (soils.CLAY, soils.UNKNOWN))
    assert isinstance(soil.frost_susceptible.value, bool)
    assert soils.loose_m3(name, 3.0) == pytest.approx(3.0 * soil.bulking.value)


def test_pounds_a_square_foot():
    kpa = UNITS.Quantity(1.0, "lbf/ft**2").to("kPa").magnitude
    assert soils.KPA_PER_PSF == pytest.approx(kpa, rel=1e-9)


def test_backfill_takes_more_bank_than_the_space_it_fills():
    assert soils.bank_for_backfill_m3(1.9) == pytest.approx(2.0)


@pytest.mark.parametrize("diameter_mm, kg_per_m", [(6, 0.222), (8, 0.395), (10, 0.617), (12, 0.888), (16, 1.579), (20, 2.466)])
def test_bar_mass(diameter_mm, kg_per_m):
    """Nominal masses of BS 4449 (2005), from memory."""
    assert materials.bar_kg_per_m(diameter_mm / 1000.0) == pytest.approx(kg_per_m, rel=0.002)


def test_fabric_is_two_layers_of_bars():
    for fabric in materials.FABRICS.values():
        by_bars = 2.0 * materials.bar_kg_per_m(fabric.bar_m) / fabric.spacing_m
        assert materials.fabric_kg_per_m2(fabric.bar_m, fabric.spacing_m) == pytest.approx(by_bars, rel=1e-12)


def test_stone_range_holds_the_likely_figure():
    least, likely, most = (
        materials.STONE_COMPACTED_LEAST_T_PER_M3.value, materials.STONE_COMPACTED_T_PER_M3.value, materials.STONE_COMPACTED_MOST_T_PER_M3.value,
    )
    assert least < likely < most
    assert materials.stone_t(2.0) == pytest.approx(2.0 * likely)


def test_concrete_conductivity_meets_at_each_row():
    for density, conductivity in materials.CONCRETE_W_PER_MK_BY_DENSITY:
        assert materials.concrete_conductivity_w_per_mk(density) == pytest.approx(conductivity.value)
    for density in (2000.0, 2200.0):
        below, above = (materials.concrete_conductivity_w_per_mk(density + hair) for hair in (-1e-6, 1e-6))
        assert below == pytest.approx(above, rel=1e-6) and below < above
    for density in (1799.0, 2401.0, math.nan):
        with pytest.raises(ValueError, match="1800 to 2400"):
            materials.concrete_conductivity_w_per_mk(density)


@pytest.mark.parametrize("call", [
    lambda: soils.loose_m3("silt", -1.0),
    lambda: soils.compacted_m3("silt", -1.0),
    lambda: soils.bank_for_backfill_m3(-1.0),
    lambda: soils.presumed_bearing_kpa("peat"),
    lambda: materials.bar_area_m2(0.06),
    lambda: materials.fabric_kg_per_m2(0.006, 0.5),
    lambda: materials.block_kg(0.44, 0.215, 0.0),
    lambda: materials.blocks_per_m2(0.44, 0.0, 0.01),
    lambda: materials.mortar_m3_per_m2(0.6),
    lambda: materials.stone_t(-1.0),
])
def test_out_of_range_is_refused(call):
    with pytest.raises(ValueError):
        call()


def test_every_document_is_whole_and_listed_once():
    assert all(isinstance(document, Document) and document.title and document.edition and document.publisher for document in DOCUMENTS.values())
    assert len({document.title for document in DOCUMENTS.values()}) == len(DOCUMENTS)


@pytest.mark.parametrize("document, mark", [(None, "read"), (None, "memory"), ("no-such", "read"), ("irc", "certain")])
def test_a_figure_without_a_true_source_is_refused(document, mark):
    with pytest.raises(ValueError):
        Sourced(1.0, "m", document, "", mark)


def test_marks_are_explained():
    assert list(MARKS) == ["read", "quoted", "memory", "derived", "common practice, no source"]
    assert all(MARKS.values())
