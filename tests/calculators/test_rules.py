"""Rules of the regions: both sides of every limit, and what a region borrows.

The published figures themselves are rows of docs/evidence.
"""

import math
from dataclasses import fields

import pytest

from calculators import rules
from calculators.rules import RULES, RuleSet, rules_for
from calculators.scenario import REGIONS, ROOF_SHAPES, SHRINKAGES
from calculators.scenario import SOILS as SOIL_NAMES
from calculators.sources import COMMON_PRACTICE, DOCUMENTS, MEMORY, Sourced

HAIR = 1e-6


def figures(rule_set: RuleSet) -> dict[str, Sourced]:
    """Every figure of a region, those inside other records too."""
    found = {}
    for field in fields(rule_set):
        value = getattr(rule_set, field.name)
        if isinstance(value, Sourced):
            found[field.name] = value
    found |= {f"clay {name}": depth for name, depth in rule_set.clay_depths_m.items()}
    if rule_set.height:
        found |= {f"height {field.name}": getattr(rule_set.height, field.name) for field in fields(rule_set.height)}
    return found


def test_every_region_of_a_scenario_has_rules():
    assert set(RULES) == set(REGIONS)
    assert all(rules_for(region).region == region for region in REGIONS)
    with pytest.raises(ValueError, match="must be one of"):
        rules_for("England")


@pytest.mark.parametrize("region", REGIONS)
def test_every_figure_has_a_source_or_says_that_it_has_none(region):
    for name, figure in figures(rules_for(region)).items():
        assert figure.value >= 0.0, name
        if figure.mark == COMMON_PRACTICE:
            assert figure.document is None and figure.note, f"{name} is common practice without a word on it"
        else:
            assert figure.document in DOCUMENTS and figure.clause, name


@pytest.mark.parametrize("region", ["ireland", "eurocode", "us"])
def test_a_borrowed_figure_says_so(region):
    own_documents = {"ireland": {"tgd-c"}, "us": {"irc", "ibc"}, "eurocode": set()}[region]
    for name, figure in figures(rules_for(region)).items():
        if figure.document and figure.document not in own_documents:
            assert "Borrowed" in figure.note, name


def test_a_borrowed_figure_is_the_english_one():
    english = figures(RULES["england"])
    for region in ("ireland", "eurocode", "us"):
        for name, figure in figures(rules_for(region)).items():
            if "Borrowed" in figure.note:
                assert figure.value == english[name].value, (region, name)


def test_no_region_but_england_has_a_height_limit():
    assert [region for region in REGIONS if rules_for(region).height] == ["england"]
    assert rules.overall_height_limit_m("us", 0.0, "flat") == math.inf


@pytest.mark.parametrize("region", ["england", "ireland", "eurocode"])
@pytest.mark.parametrize("soil", SOIL_NAMES)
def test_footing_width_rises_with_load_or_is_refused(region, soil):
    if soil in ("peat", "made ground"):
        with pytest.raises(ValueError, match="ask an engineer"):
            rules.footing_least_width_m(soil, 5.0, region)
        return
    widths = []
    for load in range(0, 71):
        try:
            widths.append(rules.footing_least_width_m(soil, float(load), region))
        except ValueError as refusal:
            assert "ask an engineer" in str(refusal)
            break
    assert widths == sorted(widths) and len(widths) >= 31
    assert widths[0] == widths[20] and widths[21] > widths[20]


@pytest.mark.parametrize("load, below, above", [(20.0, 0.30, 0.35), (30.0, 0.35, 0.45), (40.0, 0.45, 0.60), (50.0, 0.60, 0.75), (60.0, 0.75, 0.85)])
def test_footing_width_on_both_sides_of_a_column(load, below, above):
    """Approved Document A Table 10, firm clay, from memory."""
    assert rules.footing_least_width_m("firm clay", load - HAIR) == below
    assert rules.footing_least_width_m("firm clay", load) == below
    assert rules.footing_least_width_m("firm clay", load + 1e-12) == below
    assert rules.footing_least_width_m("firm clay", load + HAIR) == above


def test_worse_ground_never_asks_for_less_width():
    order = ["gravel", "firm clay", "soft clay"]
    for load in (0.0, 20.0, 25.0, 30.0):
        widths = [rules.footing_least_width_m(soil, load) for soil in order]
        assert widths == sorted(widths)


def test_footing_width_ends_with_the_table():
    assert rules.footing_least_width_m("gravel", 70.0) == 0.65
    for soil, load in (("gravel", 70.0 + HAIR), ("loose sand", 30.0 + HAIR), ("silt", 30.0 + HAIR), ("gravel", -1.0), ("gravel", math.nan)):
        with pytest.raises(ValueError):
            rules.footing_least_width_m(soil, load)


def test_us_width_is_load_over_bearing_above_twelve_inches():
    """IBC 1806.2: clay 1500 psf; 1 psf = 0.0479 kPa."""
    meets_m = 12 * 0.0254
    load_at_twelve_inches = 1500 * 0.04788 * meets_m
    assert rules.footing_least_width_m("firm clay", load_at_twelve_inches * 0.99, "us") == pytest.approx(meets_m)
    assert rules.footing_least_width_m("firm clay", load_at_twelve_inches * 1.5, "us") == pytest.approx(1.5 * meets_m, rel=1e-3)
    with pytest.raises(ValueError, match="no bearing may be presumed"):
        rules.footing_least_width_m("silt", 10.0, "us")


def test_footing_thickness_on_both_sides_of_the_least():
    assert rules.footing_least_thickness_m(0.150 - HAIR) == 0.150
    assert rules.footing_least_thickness_m(0.150 + HAIR) == 0.150 + HAIR
    assert rules.footing_least_thickness_m(0.0, "us") == pytest.approx(6 * 0.0254)


def test_step_overlap_takes_the_greatest_of_its_three():
    # Two steps govern above half the thickness, the thickness above 300 mm, else 300 mm.
    assert rules.footing_step_overlap_m(0.100, 0.250) == 0.300
    assert rules.footing_step_overlap_m(0.150 + HAIR, 0.225) == pytest.approx(0.300 + 2 * HAIR)
    assert rules.footing_step_overlap_m(0.150, 0.400) == 0.400
    assert rules.footing_step_overlap_m(0.400, 0.400) == 0.800
    # The warranty rule counts no more than 500 mm of thickness; without its cap the overlap is never shorter.
    assert rules.footing_step_overlap_m(0.150, 0.600) == 0.600 > rules.WARRANTY_OVERLAP_THICKNESS_CAP_M.value


def test_a_step_is_no_higher_than_the_footing_is_thick():
    assert rules.footing_step_overlap_m(0.225, 0.225) == 0.45
    for step, thickness in ((0.225 + HAIR, 0.225), (0.0, 0.225), (-0.1, 0.225), (0.1, 0.0)):
        with pytest.raises(ValueError):
            rules.footing_step_overlap_m(step, thickness)


def test_trench_fill_overlap_on_both_sides_of_a_metre():
    assert rules.trench_fill_step_overlap_m(0.5 - HAIR) == 1.0
    assert rules.trench_fill_step_overlap_m(0.5 + HAIR) > 1.0


def test_clay_depth_rises_with_shrinkage_and_unknown_is_the_worst():
    depths = [rules.clay_depth_m(shrinkage) for shrinkage in ("low", "medium", "high")]
    assert depths == sorted(set(depths))
    assert rules.clay_depth_m("unknown") == max(rules.clay_depth_m(shrinkage) for shrinkage in SHRINKAGES)
    with pytest.raises(ValueError, match="shrinkage must be"):
        rules.clay_depth_m("none")


@pytest.mark.parametrize("soil", SOIL_NAMES)
def test_frost_depth_is_asked_of_soils_that_heave(soil):
    depth = rules.frost_founding_depth_m("england", soil)
    assert depth == (0.45 if rules.frost_susceptible(soil) else 0.0)
    assert rules.frost_founding_depth_m("england", soil, 0.9) == (0.9 if rules.frost_susceptible(soil) else 0.0)
    assert rules.frost_founding_depth_m("england", soil, excepted=True) == 0.0


def test_us_frost_line_must_be_given_and_holds_whatever_the_soil():
    with pytest.raises(ValueError, match="give the frost depth"):
        rules.frost_founding_depth_m("us", "firm clay")
    assert rules.frost_founding_depth_m("us", "gravel", 1.0668) == 1.0668
    assert rules.frost_founding_depth_m("us", "gravel", 0.0) == 0.0
    assert rules.frost_founding_depth_m("us", "rock", 1.0668) == 0.0
    assert rules.frost_founding_depth_m("us", "gravel", excepted=True) == 0.0
    for depth in (-0.1, 3.1, math.nan):
        with pytest.raises(ValueError, match="0 to 3 m"):
            rules.frost_founding_depth_m("us", "gravel", depth)


def test_frost_exception_ends_at_its_limits():
    """IRC R403.1.4.1, from memory: 600 square feet, eaves 10 ft, light frame."""
    area, eaves = 600 * 0.3048**2, 10 * 0.3048
    assert rules.frost_depth_excepted("us", False, area, eaves, True)
    assert not rules.frost_depth_excepted("us", False, area + HAIR, eaves, True)
    assert not rules.frost_depth_excepted("us", False, area, eaves + HAIR, True)
    assert not rules.frost_depth_excepted("us", False, area, eaves, False)
    assert not rules.frost_depth_excepted("us", True, area, eaves, True)
    assert not any(rules.frost_depth_excepted(region, False, 10.0, 2.0, True) for region in REGIONS if region != "us")
    with pytest.raises(ValueError, match="above 0"):
        rules.frost_depth_excepted("us", False, 0.0, 2.0, True)


def test_founding_depth_rules_name_what_applies():
    assert set(rules.founding_depth_rules("england", "gravel", "high")) == {"any soil"}
    assert set(rules.founding_depth_rules("england", "silt", "high")) == {"any soil", "frost"}
    assert set(rules.founding_depth_rules("england", "unknown", "unknown")) == {"any soil", "frost", "clay"}
    us = rules.founding_depth_rules("us", "gravel", "low", 1.2)
    assert us["frost"].value == 1.2 and us["any soil"].value == pytest.approx(0.3048)
    assert set(rules.founding_depth_rules("us", "gravel", "low", frost_excepted=True)) == {"any soil"}
    assert rules.founding_depth_rules("england", "silt", "low")["frost"].document == "nhbc-standards"
    assert rules.founding_depth_rules("england", "silt", "low", 0.8)["frost"].mark == COMMON_PRACTICE


def test_height_limit_on_both_sides_of_two_metres():
    for roof in ROOF_SHAPES:
        assert rules.overall_height_limit_m("england", 2.0, roof) == 2.5
        far = 4.0 if roof == "pitched" else 3.0
        assert rules.overall_height_limit_m("england", 2.0 + HAIR, roof) == far
        assert rules.overall_height_limit_m("england", math.inf, roof) == far
    with pytest.raises(ValueError, match="distance to a boundary"):
        rules.overall_height_limit("england", -1.0, "flat")


def test_shoulder_on_both_sides_of_the_least():
    assert rules.least_shoulder_m(0.5 - HAIR) == 0.5
    assert rules.least_shoulder_m(0.5 + HAIR) == 0.5 + HAIR


def test_passes_on_both_sides_of_each_class():
    """Scottish reinstatement specification, Table A8.1: the heavy class is over 1800 kg/m2."""
    assert rules.compaction_passes(1800.0 + HAIR, 0.100) == 3
    assert rules.compaction_passes(1800.0, 0.100) == 5
    assert rules.compaction_passes(1400.0, 0.100) == 5
    assert rules.compaction_passes(1900.0, 0.100 + HAIR) == 5
    assert rules.compaction_passes(1900.0, 0.150 + HAIR) == 7
    for plate, lift in ((1400.0 - HAIR, 0.1), (1800.0, 0.100 + HAIR), (1900.0, 0.200 + HAIR), (1900.0, 0.0)):
        with pytest.raises(ValueError):
            rules.compaction_passes(plate, lift)


def test_retained_limit_range():
    for thickness in (0.049, 0.61, math.nan):
        with pytest.raises(ValueError, match="50 to 600 mm"):
            rules.retained_ground_limit_m(thickness)


def test_clay_and_table_ten_are_shown_as_memory():
    assert all(depth.mark == MEMORY for depth in RULES["england"].clay_depths_m.values())
    assert RULES["england"].greatest_wall_load_kn_per_m.mark == MEMORY
