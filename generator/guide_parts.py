"""The generated parts of the guide's own pages: index, examples, tables of inputs, rules and evidence.

A page asks for one by a marker; `marker` gives its HTML.  Like `pages`, this
knows nothing of MkDocs.
"""

from __future__ import annotations

import importlib
import inspect
import json
import pkgutil
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import lru_cache

from markupsafe import Markup

import calculators
from calculators import loads, permissions, pricing, uplift
from calculators.compare import Comparison, compare
from calculators.quantities import QUANTITY_BY_KEY
from calculators.rules import ENGLAND, RULES
from calculators.schemes import SCHEMES
from calculators.sources import DOCUMENTS, Sourced
from generator import display, wording
from generator.certainty_views import maps_shown
from generator.drawings import drawing_key_svg
from generator.evidence import OUTSIDE, UNIT_BY_SUFFIX, EvidenceResult, evidence_results, unit_of
from generator.input_rows import group_title, plan_size
from generator.inputs import INPUTS, Input
from generator.mapping import MapStore
from generator.page_tables import QUANTITY_GROUPS
from generator.pages import Card, in_order
from generator.problems import listed
from generator.scenario import Reading, read_scenario_text
from generator.scheme_views import section_drawing
from generator.templating import fill, kept_together

HOME_EXAMPLE = "print-studio-below-the-orchard"
"""The scenario shown on the home page and drawn on the pages of schemes, where it is there."""

@dataclass(frozen=True)
class Entry:
    """One scenario of the site: the path of its file under the documents, its card, and how to get the rest.

    `load` gives the reading and the comparison; a part that shows neither does not ask for them.
    """

    source: str
    slug: str
    card: Card
    load: Callable[[], tuple[Reading, Comparison]]

    @property
    def comparison(self) -> Comparison:
        """The scenario's comparison, worked out when it is first asked for."""
        return self.load()[1]


@dataclass(frozen=True)
class SiteData:
    """What a generated part may show: every good scenario, and links from the page it stands on.

    `url_of` turns the path of a file under the documents into an address.
    `evidence` gives the published checks, worked out; it is called only where they are shown.
    `maps` works out and keeps maps, or is None where none are wanted.
    """

    entries: tuple[Entry, ...]
    url_of: Callable[[str], str]
    evidence: Callable[[], list[EvidenceResult]] = evidence_results
    maps: MapStore | None = None


def scenario_index(entries: Iterable[Entry], url_of: Callable[[str], str] = lambda source: source) -> str:
    """Cards of all scenarios."""
    return fill("scenario_index", cards=[(url_of(entry.source), entry.card) for entry in entries])


class UnknownMarker(ValueError):
    """A page asks for a part that does not exist."""


def marker(name: str, argument: str, site: SiteData) -> str:
    """The HTML of a generated part.

    `name` is what stands after `soleplate:` in a page, `argument` what
    follows it.  Raises UnknownMarker for a name, scheme or example that is
    not there.
    """
    if name not in _MARKERS:
        raise UnknownMarker(f"No generated part is called {name!r}; there are {listed(sorted(_MARKERS), 'and')}.")
    return _MARKERS[name](argument, site)


def _example_entry(site: SiteData, slug: str = "") -> Entry | None:
    """The scenario that stands for all of them: the one asked for, the usual one, or the first."""
    by_slug = {entry.slug: entry for entry in site.entries}
    if slug and slug not in by_slug:
        raise UnknownMarker(f"There is no scenario {slug!r} to show.")
    return by_slug.get(slug or HOME_EXAMPLE) or next(iter(site.entries), None)


def _home_example(argument: str, site: SiteData) -> str:
    entry = _example_entry(site, argument)
    if entry is None:
        return ""
    comparison = entry.comparison
    results = in_order(comparison)
    return fill(
        "home_example", entry=entry, url=site.url_of(entry.source), comparison=comparison, scenario=comparison.scenario,
        currency=comparison.scenario.currency, results=results, drawing=section_drawing(comparison, results[0], "home"),
        sentence=wording.verdict_sentences(comparison)[0], size=plan_size(comparison.scenario),
    )


def _scheme_drawing(argument: str, site: SiteData) -> str:
    if argument not in {scheme.ID for scheme in SCHEMES}:
        raise UnknownMarker(f"There is no scheme {argument!r} to draw.")
    entry = _example_entry(site)
    if entry is None or argument not in entry.comparison.scenario.schemes:
        return ""
    result = entry.comparison.scheme(argument)
    return fill(
        "scheme_drawing", result=result, scenario=entry.comparison.scenario, url=site.url_of(entry.source),
        drawing=section_drawing(entry.comparison, result, "scheme"), key=Markup(drawing_key_svg()),
    )


def _scheme_list(argument: str, site: SiteData) -> str:
    entry = _example_entry(site)
    items = []
    for scheme in SCHEMES:
        drawn = entry is not None and scheme.ID in entry.comparison.scenario.schemes
        drawing = section_drawing(entry.comparison, entry.comparison.scheme(scheme.ID), f"list-{scheme.ID}") if drawn else Markup("")
        items.append({"title": scheme.TITLE, "url": site.url_of(f"schemes/{scheme.ID}.md"), "drawing": drawing})
    return fill("scheme_list", items=items, entry=entry, url=site.url_of(entry.source) if entry else "")


def _evidence_by_document(results: Iterable[EvidenceResult]) -> dict[str, list[EvidenceResult]]:
    found: dict[str, list[EvidenceResult]] = {}
    for result in results:
        found.setdefault(result.document, []).append(result)
    return {document: found[document] for document in DOCUMENTS if document in found}


def _evidence_table(argument: str, site: SiteData) -> str:
    results = site.evidence()
    return fill("evidence_table", groups=_evidence_by_document(results), total=len(results), documents=DOCUMENTS,
                 holding=sum(result.holds for result in results), value=_evidence_value, difference=_evidence_difference,
                 where=lambda row: row.source.removeprefix(DOCUMENTS[row.document].title).removeprefix(", ") or "no clause recorded")


def _method_evidence(argument: str, site: SiteData) -> str:
    modules = tuple(f"calculators.{module}." for module in argument.split())
    results = [result for result in site.evidence() if result.function.startswith(modules)]
    if not results:
        raise UnknownMarker(f"No published value checks the module {argument!r}.")
    return fill("method_evidence", results=results, holding=sum(result.holds for result in results),
                 value=_evidence_value, difference=_evidence_difference, where=lambda row: row.source, evidence_url=site.url_of("evidence/index.md"))


TYPICAL_PLOT = """---
title: {title}
rates: {rates}
units: {units}
region: {region}
plot: {{footprint: 6 m x 4 m, slope: 1:20, falls_to: south, soil: {soil}, shrinkage: low, topsoil: 150 mm, frost_depth: {frost}}}
building: {{ridge_height: 2.5 m, heated: {heated}}}
{clay}---
"""
ACCEPTED = "schemes: {thickened-raft: {accept_clay_movement: yes}, strip-and-block: {accept_clay_movement: yes}, insulated-slab: {accept_clay_movement: yes}}\n"
TYPICAL: tuple[tuple[str, str, dict[str, str]], ...] = (
    ("Medium sand, a heated studio, prices in pounds", "A warm floor is asked of every scheme; those without insulation get a floating floor, like for like.",
     dict(rates="demo-gb", units="metric", region="england", soil="medium sand", frost="450 mm", heated="yes", clay="")),
    ("Medium sand, an unheated workshop, prices in pounds", "Nothing is heated, so no floor has to be warm.",
     dict(rates="demo-gb", units="metric", region="england", soil="medium sand", frost="450 mm", heated="no", clay="")),
    ("Firm clay that shrinks little, an unheated workshop, prices in pounds", "No trees near, and the movement of the clay is accepted for slabs on the ground; without that only the strip footing would be left, and its slab outside.",
     dict(rates="demo-gb", units="metric", region="england", soil="firm clay", frost="450 mm", heated="no", clay=ACCEPTED)),
    ("Medium sand, an unheated workshop, prices in dollars", "Another book of prices, another size of block, and frost to 600 mm.",
     dict(rates="demo-us", units="imperial", region="us", soil="medium sand", frost="24 in", heated="no", clay="")),
)
"""Plots for the page of maps: title, words, and what is put into the text of a scenario."""


def _typical_maps(argument: str, site: SiteData) -> str:
    if site.maps is None:
        return "<p>Maps were left out of this build (the option <code>maps</code> in mkdocs.yml).</p>"
    kinds = []
    for number, (title, words, parts) in enumerate(TYPICAL, start=1):
        reading = read_scenario_text(TYPICAL_PLOT.format(title=title, **parts), f"typical-{number}.md", f"typical-{number}")
        comparison = compare(reading.scenario)
        names = {result.id: result.title for result in comparison.schemes}
        maps = {whose: replace(found, you=None) for whose, found in site.maps.maps_of(reading.scenario, comparison.site).items()}
        kinds.append((title, words, parts["units"], maps_shown(maps, names, comparison.site.plan.area_m2, f"typical-{number}")))
    return fill("typical_maps", kinds=kinds)


EVIDENCE_FIGURES, EXAMPLE_FIGURES = 6, 4
"""Significant figures of a check of arithmetic, and of an example in the text."""


def _evidence_value(value: object, unit: str, figures: int = EVIDENCE_FIGURES) -> str:
    """A published or computed value with the unit in which it was computed."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        # A refusal explains itself at length; the word is enough in a table.
        return OUTSIDE if value.startswith(f"{OUTSIDE}:") else value
    return kept_together(f"{_listed_figures(value, figures)} {_unit_words(unit)}".strip())


def _listed_figures(value: object, figures: int) -> str:
    """A figure, or several; two sizes that belong together with a cross between them.

    >>> _listed_figures([[6.5, 4.1], [2.0, 1.0]], 4), _listed_figures([[1.5, 1.2, 0.9], [1.3, 1.6]], 4)
    ('6.5 × 4.1, 2 × 1', '1.5, 1.2, 0.9; 1.3, 1.6')
    """
    if not isinstance(value, (tuple, list)):
        return value if isinstance(value, str) else _figures(value, figures)
    nested = [isinstance(each, (tuple, list)) for each in value]
    if not any(nested):
        return ", ".join(_listed_figures(each, figures) for each in value)
    pairs = all(not inside or len(each) == 2 for inside, each in zip(nested, value))
    within, between = (" × ", ", ") if pairs else (", ", "; ")
    return between.join(within.join(_listed_figures(part, figures) for part in each) if inside else _listed_figures(each, figures) for inside, each in zip(nested, value))


def _unit_words(unit: str) -> str:
    return "" if unit == "gradient" else unit.replace("m2", "m²").replace("m3", "m³")


def _figures(value: float, figures: int) -> str:
    """A plain figure to so many significant figures; whole numbers as they are.

    >>> _figures(0.6975614, 4), _figures(24000, 4)
    ('0.6976', '24000')
    """
    return (str(value) if isinstance(value, int) else f"{value:.{figures}g}").replace("-", display.MINUS)


def _evidence_difference(result: EvidenceResult) -> str:
    """How far a computed value is from the published one."""
    if result.difference is None:
        return ""
    # Below this a difference is the noise of the machine.
    return "none" if result.difference < 1e-9 else f"{result.difference:.2g} {_unit_words(result.unit)}".strip()


def _sources_table(argument: str, site: SiteData) -> str:
    return fill("sources_table", documents=DOCUMENTS)


RULE_LABELS: dict[str, str] = {
    "dpc_above_ground_m": "Damp-proof course above the ground",
    "floor_above_highest_ground_m": "Floor above the highest ground, raft and insulated slab",
    "floor_above_ground_at_door_m": "Floor above the ground at a door",
    "floor_above_ground_at_channel_m": "Floor above the ground at a door with a channel drain",
    "floor_above_lowest_ground_m": "Floor above the lowest ground",
    "membrane_thickness_m": "Thickness of the membrane",
    "membrane_lap_m": "Laps of the membrane",
    "dpc_lap_m": "Laps of the damp-proof course",
    "least_sub_base_m": "Least sub-base",
    "greatest_fill_m": "Deepest fill under a floor that rests on the ground",
    "greatest_formation_gradient": "Steepest formation without benches",
    "edge_bed_m": "Bed of stone under a raft's edge",
    "edge_stone_within_m": "Stone under an edge beyond its bed: within, up to",
    "edge_stone_close_m": "Stone under an edge beyond its bed: close, up to",
    "least_shoulder_m": "Least shoulder of stone outside an edge",
    "batter_run_per_rise": "Batter: metres out for each metre up",
    "stone_lift_m": "One layer of stone under a hired plate",
    "greatest_fill_layer_m": "Thickest layer that any plant may compact",
    "least_founding_depth_m": "Least founding depth of a footing, any soil",
    "frost_depth_m": "Founding depth against frost",
    "clay_depths_m": "Founding depth in shrinkable clay",
    "least_slab_m": "Least thickness of a slab",
    "least_footing_width_m": "Least width of a footing",
    "least_footing_thickness_m": "Least thickness of a footing",
    "footing_widths": "Footing width by soil and load",
    "greatest_wall_load_kn_per_m": "Greatest wall load in the table of widths",
    "least_step_overlap_m": "Least overlap at a step in a footing",
    "fabric_lap_m": "Laps of steel fabric",
    "fabric_cover_m": "Concrete over the steel",
    "greatest_raft_side_m": "Longest side of a raft without a joint",
    "retained_height_per_thickness": "Ground held back, in thicknesses of the wall",
    "guard_from_m": "Drop at a door from which a guard is priced",
    "greatest_clay_gradient": "Steepest clay before an engineer is asked",
    "greatest_gradient": "Steepest ground before an engineer is asked",
    "near_boundary_m": "Height: near the boundary means within",
    "low_m": "Height near the boundary",
    "dual_pitch_m": "Height elsewhere, roof with two slopes",
    "other_roof_m": "Height elsewhere, any other roof",
    "eaves_m": "Height of the eaves",
}
"""Words for the rules of a region."""

_NOT_FIGURES = ("region", "title", "building_authority", "planning_authority", "footing_widths", "height")


def _rule_rows(rules) -> list[tuple[str, Sourced | None]]:
    """Every figure of a region with its words, in the order of the record; None where the region holds none."""
    rows: list[tuple[str, Sourced | None]] = []
    for field in fields(rules):
        value = getattr(rules, field.name)
        if field.name in _NOT_FIGURES:
            continue
        if field.name == "clay_depths_m":
            rows += [(f"{RULE_LABELS[field.name]} of {shrinkage} shrinkage", depth) for shrinkage, depth in value.items()]
        else:
            rows.append((RULE_LABELS[field.name], value))
    if rules.height is not None:
        rows += [(RULE_LABELS[field.name], getattr(rules.height, field.name)) for field in fields(rules.height)]
    return rows


def _rules_table(argument: str, site: SiteData) -> str:
    return fill("rules_table", regions=[(rules, _rule_rows(rules)) for rules in RULES.values()], changes=_what_regions_change())


def _what_regions_change() -> list[tuple[str, list[Sourced | None]]]:
    """Every figure that is not the same in all regions, with its words: one for each region, None where it holds none."""
    by_region = {region: dict(_rule_rows(rules)) for region, rules in RULES.items()}
    by_region = {region: rows | _stand_ins(region) for region, rows in by_region.items()}
    labels = dict.fromkeys(label for rows in by_region.values() for label in rows)
    found = [(label, [rows.get(label) for rows in by_region.values()]) for label in labels]
    return [(label, figures) for label, figures in found if len({figure.value if figure else None for figure in figures}) > 1]


def _stand_ins(region: str) -> dict[str, Sourced | None]:
    """Figures that a region settles outside its rules, with their words."""
    return {
        "Snow on the ground, where you give none": loads.GROUND_SNOW_KPA[region],
        "People on the roof": loads.ROOF_ACCESS_KPA[region],
        "Press of a gust, where you give none": uplift.WIND_PRESSURE_KPA[region],
        "Floor area above which somebody is asked": permissions.AREA_LIMIT_M2.get(region) if region != "england" else permissions.FLOOR_AREA_EXEMPT_M2,
    }


PERMISSION_FIGURES: tuple[tuple[str, str, Sourced], ...] = (
    ("England", "Building regulations: floor area", permissions.FLOOR_AREA_EXEMPT_M2),
    ("England", "Building regulations: floor area, the larger one", permissions.FLOOR_AREA_EXEMPT_APART_M2),
    ("England", "Building regulations: distance from the boundary for that", permissions.APART_FROM_BOUNDARY_M),
    ("England", "Planning: overall height near a boundary", ENGLAND.height.low_m),
    ("England", "Planning: a boundary counts as near within", ENGLAND.height.near_boundary_m),
    ("England", "Planning: overall height elsewhere, two slopes", ENGLAND.height.dual_pitch_m),
    ("England", "Planning: overall height elsewhere, any other roof", ENGLAND.height.other_roof_m),
    ("England", "Planning: height of the eaves", ENGLAND.height.eaves_m),
    ("England", "Planning: a landing or deck counts as raised above", permissions.RAISED_PLATFORM_M),
    ("England and Wales", "Notice to a neighbour: a deeper dig within", permissions.NOTICE_NEAR_M),
    ("England and Wales", "Notice to a neighbour: a dig that meets the 45 degree line, within", permissions.NOTICE_FAR_M),
    ("Ireland", "Planning: floor area", permissions.IRELAND_FLOOR_AREA_M2),
    ("United States", "Building permit: floor area", permissions.US_FLOOR_AREA_M2),
)
"""Where, what, and the figure: everything that the list of what may have to be asked for compares with."""


def _permissions_table(argument: str, site: SiteData) -> str:
    return fill("permissions_table", figures=PERMISSION_FIGURES, value=lambda figure: _evidence_value(figure.value, figure.unit, EXAMPLE_FIGURES))


def _quantities_list(argument: str, site: SiteData) -> str:
    return fill("quantities_list", groups={title: [QUANTITY_BY_KEY[key] for key in keys] for title, keys in QUANTITY_GROUPS.items()},
                 unit_words=_unit_words)


def _inputs_table(argument: str, site: SiteData) -> str:
    groups: dict[str, list[Input]] = {}
    for item in INPUTS:
        groups.setdefault(group_title(item.key), []).append(item)
    return fill("inputs_table", groups=groups)


# Hours and allowances, from the lists that the bill is made of.

_NOT_WORK = ("DAY_H", "LEAST_VISIT_H")
"""Hours that are no work of their own."""


def _work_figures() -> list[tuple[str, Sourced]]:
    """Every figure with a source in the module that prices, by its name, in its order."""
    return [(name, figure) for name, figure in vars(pricing).items() if isinstance(figure, Sourced)]


def _is_work(name: str, figure: Sourced) -> bool:
    return name not in _NOT_WORK and (figure.unit == "h" or figure.unit.startswith("h/"))


def _for_each(name: str, figure: Sourced) -> str:
    """What the hours are for: a unit, a piece, or the whole job."""
    return _unit_words(figure.unit.removeprefix("h/")) if figure.unit != "h" else "piece" if name.endswith("_EACH") else "job"


def _hours_table(argument: str, site: SiteData) -> str:
    work = [(figure.note.rstrip("."), figure.value, _for_each(name, figure)) for name, figure in _work_figures() if _is_work(name, figure)]
    return fill("hours_table", work=work)


def _pricing_table(argument: str, site: SiteData) -> str:
    other = [figure for name, figure in _work_figures() if not _is_work(name, figure)]
    return fill("pricing_table", figures=other)


def _allowances_table(argument: str, site: SiteData) -> str:
    return fill("allowances_table", lines=[rule for rule in pricing.BILL if rule.allowance_percent > 0.0])


# Worked examples.


@lru_cache(maxsize=256)
def _public_function(dotted: str) -> Callable:
    """A public function defined in a module of `calculators`, or of a package in it; nothing else can be run from a page."""
    module_name, _, name = dotted.rpartition(".")
    known = {module.name for module in pkgutil.walk_packages(calculators.__path__, "calculators.") if not module.ispkg}
    if module_name in known and name.isidentifier() and not name.startswith("_"):
        found = getattr(importlib.import_module(module_name), name, None)
        if inspect.isfunction(found) and found.__module__ == module_name:
            return found
    raise UnknownMarker(f"{dotted!r} is not a public function in a module of calculators.")


def _example(argument: str, site: SiteData) -> str:
    """A call of a function of `calculators` with its answer, run now."""
    dotted, _, given = argument.partition(" ")
    function = _public_function(dotted)
    try:
        inputs = json.loads(given)
        answer = function(**inputs)
    except (TypeError, ValueError) as error:
        raise UnknownMarker(f"The example {argument!r} cannot be run: {error}") from error
    if is_dataclass(answer):
        raise UnknownMarker(f"The example {argument!r} gives a record; only figures and words can be shown.")
    return fill(
        "example", name=dotted.rpartition(".")[2], module=dotted.removeprefix("calculators.").rpartition(".")[0],
        purpose=(inspect.getdoc(function) or "").split("\n\n")[0].replace("\n", " ").replace("`", ""),
        inputs=[(_input_words(name), _evidence_value(value, "°C" if name.endswith(CELSIUS) else unit_of(name), EXAMPLE_FIGURES)) for name, value in inputs.items()],
        answer=_evidence_value(answer, unit_of(dotted), EXAMPLE_FIGURES),
    )


CELSIUS = "_c"
"""The end of a name in degrees Celsius, which evidence files type without a unit: they are not turned into others by a factor."""


def _input_words(name: str) -> str:
    """The name of an input without its unit.

    >>> _input_words("wall_thickness_m"), _input_words("soil"), _input_words("perimeter_over_area_per_m"), _input_words("air_c")
    ('wall thickness', 'soil', 'perimeter over area', 'air')
    """
    suffix = next((end for end in sorted((*UNIT_BY_SUFFIX, CELSIUS), key=len, reverse=True) if name.endswith(end)), "")
    return name.removesuffix(suffix).replace("_", " ")


SHOWS_ALL = frozenset({"scenario-index"})
"""Parts that change when any scenario does."""

WORKS_LONG = frozenset({"typical-maps"})
"""Parts that take seconds when nothing of them is kept."""

SHOWS_ONE = frozenset({"home-example", "scheme-drawing", "scheme-list"})
"""Parts that change when the scenario that stands for all of them does; the rest change with the code and the evidence alone."""


def shown_scenario(name: str, argument: str, site: SiteData) -> str:
    """Name in addresses of the one scenario that a part of `SHOWS_ONE` shows; empty where there is none."""
    entry = _example_entry(site, argument if name == "home-example" else "")
    return entry.slug if entry else ""


_MARKERS: dict[str, Callable[[str, SiteData], str]] = {
    "home-example": _home_example,
    "scenario-index": lambda argument, site: scenario_index(site.entries, site.url_of),
    "scheme-drawing": _scheme_drawing,
    "scheme-list": _scheme_list,
    "evidence-table": _evidence_table,
    "method-evidence": _method_evidence,
    "typical-maps": _typical_maps,
    "sources-table": _sources_table,
    "rules-table": _rules_table,
    "permissions-table": _permissions_table,
    "quantities-list": _quantities_list,
    "inputs-table": _inputs_table,
    "hours-table": _hours_table,
    "pricing-table": _pricing_table,
    "allowances-table": _allowances_table,
    "example": _example,
}
