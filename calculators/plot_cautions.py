"""What can hurt people on this plot, from its own figures, for the place on a page where the work is.

A caution says what this plot's figures are, and what to do about it.  The
figures of depth are read from the works themselves, so that a caution cannot
disagree with the setting-out sheet or the drawing.  The advice is common
practice in our own words; local rules come before it.
"""

from __future__ import annotations

import math
import typing
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from calculators import materials
from calculators import works as w
from calculators.barrows import BARROW_M3
from calculators.carbon import CONCRETE_T_PER_M3, INSULATION_KG_PER_M3, PLASTIC_KG_PER_M3
from calculators.loads import GRAVITY_KN_PER_T
from calculators.permissions import NOTICE_FAR_M, NOTICE_NEAR_M, dig_depth_m
from calculators.pour import barrow_trips
from calculators.pricing import (
    BILL, BREAK_OUT_H_PER_M3, CHUTE_REACH_M, DAY_H, NARROW_DIGGER_GATE_M, PLATE_M3_PER_DAY, Job, order_si,
)
from calculators.scenario import Neighbour
from calculators.schemes.common import UPSTAND_BLOCK_M
from calculators.site import LEVEL_GROUND_GRADIENT, TOLERANCE, Site
from calculators.sources import common_practice
from calculators.works import Works

if typing.TYPE_CHECKING:
    from calculators.order_list import Delivery
    from calculators.pours import Pour

EVERYWHERE, ORDER, DIG, POUR, AFTER = "everywhere", "order", "dig", "pour", "after"
PLACES = (EVERYWHERE, ORDER, DIG, POUR, AFTER)

BRACED_FORM_FROM_M = common_practice(0.400, "m", "Forms higher than this are braced and tied.")
DESIGNED_FORM_FROM_M = common_practice(1.0, "m", "Forms higher than this are worked out by somebody who does it for a living.")
HIGHEST_FORM_M = 3.0
LORRY_WITH_MIRRORS_M = common_practice(3.0, "m", "A gate that a concrete lorry passes with its mirrors; its body is some 2.5 m wide.")
WORK_FOR_TWO_KG = common_practice(20.0, "kg", "A block heavier than this, laid again and again, is work for two or for a machine.")
BOARD_M2 = common_practice(2.88, "m2", "A board of floor insulation, 2.4 by 1.2 m.")
NIGHTS_MAY_FREEZE_BELOW_C = common_practice(10.0, "degree C", "In a month whose air is no warmer than this on average, some nights freeze.")
# Less than this, in tonnes or cubic metres, is no heap.
NO_HEAP = 0.05
KG_PER_T = 1000.0

# Where each caution belongs, its title, and what to do; in the order in which the work comes to it.
_ADVICE: dict[str, tuple[str, str, str]] = {
    "services": (
        DIG, "Buried services",
        "Get drawings from every owner of cables, pipes and drains, and have the plot traced before a peg goes in. "
        "Dig by hand near any line. Drawings show what was meant to be there, not what is."),
    "lorry": (
        ORDER, "Lorries",
        "One person guides, in sight of the driver; nobody stands behind a lorry that reverses. "
        "Look up for wires before anything is tipped, lifted or pumped. "
        "Soft edges and fresh fill let a wheel through: keep wheels further from an edge than the edge is deep. "
        "On a slope it has its brakes on, its wheels chocked, and nobody below it."),
    "loads": (
        ORDER, "How many lorries",
        "Each of them reverses, tips or lifts: agree beforehand where it stands and who guides it. Keep children in on those days."),
    "heaps": (
        ORDER, "Heaps and pallets",
        "A pallet of block weighs about as much as a small car. Have heaps and pallets put on hard level ground, "
        "further from an edge than the edge is deep, clear of covers and roots. "
        "Nobody stands under a load on a crane, or near a lorry that tips."),
    "trenches": (
        DIG, "Trenches",
        "No depth is without danger: a trench can fall in without warning. Work from the top where you can. "
        "Batter or support the sides before anybody gets in. Keep spoil and machines at least a metre back. "
        "Look again every morning and after rain."),
    "cut": (
        DIG, "The sides of the dig",
        "A cut face slumps after rain and after frost, and the heap behind it pushes. Slope it back or support it, "
        "keep heaps and machines at least a metre away, and do not kneel with your back to it."),
    "neighbours": (
        DIG, "Neighbours",
        "Digging beside a wall and deeper than its foundation can bring it down. Ask before, not after."),
    "undermined": (
        DIG, "Under a neighbour's foundation",
        "The ground below a line that falls at 45 degrees from the bottom of a foundation holds it up. "
        "Past that line, or near it, leave the dig until a structural engineer and your neighbour have agreed how it is done. "
        "Dig what may be dug in short lengths, and fill each before the next."),
    "digger": (
        DIG, "Machines",
        "Nobody stands within reach of a digger or of its bucket, and nobody is in a trench that it digs. "
        "Keep its tracks a metre from every edge."),
    "slope": (
        DIG, "A machine on a slope",
        "Its manual says how steep it may work, travel and turn: read that first, and ask whoever hires it out. "
        "Wet grass gives less hold than dry. Cut a level bench to work from, and carry the bucket low."),
    "hand digging": (
        DIG, "Digging by hand",
        "Take turns, and keep clear of each other's tools. Throw the spoil a metre back from the edge. Stop while you can still lift well."),
    "vibration": (
        DIG, "Machines that shake",
        "Plates and breakers numb hands for good. Short spells, turns, warm gloves; stop when fingers tingle. "
        "Keep feet clear and toes capped, and no plate near a wall that is still green."),
    "foul ground": (
        DIG, "Made or fouled ground",
        "Stop at ash, oil, odd colours, fibres, or a smell of gas or solvent. "
        "Do not handle it, spread it or send it off as clean soil: ask the environmental health office."),
    "trees": (
        DIG, "Trees",
        "Roots hold a slope and drink from clay. A tree whose roots are cut may die, or fall on you; some are protected by law. "
        "Ask before you dig among roots. Clay swells for years where a tree has gone."),
    "clay": (
        DIG, "Clay",
        "Do not let a trench stand open to dry, or to fill with rain: take out the last of it on the day that it is filled. "
        "Trees and hedges, standing or lately gone, change every depth on this page."),
    "water": (
        DIG, "Water in the ground",
        "A wet trench is weaker than it looks. Pump it from a corner, look at its sides again before anybody goes near, "
        "and let no electric lead lie in the wet."),
    "outfall": (
        DIG, "Nowhere for drains to run",
        "Water led to the low side stays there and softens the ground under the edge."),
    "frost depth": (
        DIG, "Frost is left out",
        "The depths on this page do not know how deep the ground freezes."),
    "forms": (
        POUR, "Forms",
        "Forms higher than {braced} are braced and tied before the lorry is called; higher than {designed}, somebody who designs forms says how. "
        "Fill them in layers, watch them, and keep out of the way a form would fall. Nobody pushes back a form that moves."),
    "steel": (
        POUR, "Steel",
        "Cut ends of fabric and bar tear hands, legs and membranes: gloves, long trousers, and a cap on every end that points up. "
        "Fabric trips whoever walks on it: lay boards. Snipped wire springs."),
    "wet concrete": (
        POUR, "Wet concrete and mortar",
        "Wet cement burns deeply, and at first without pain. Boots above the pour, long gloves, eye protection. "
        "Wash it off at once with plenty of water, and change what is soaked. Never kneel in it. "
        "In an eye: water for a quarter of an hour, then a doctor."),
    "barrows": (
        POUR, "Barrows",
        "A load of wet concrete weighs some {barrow}, without the barrow. Lay boards two wide, fixed, and with nothing to trip on. Fill less on a slope, and nobody walks below a full barrow. "
        "Let it go rather than be pulled over. Take turns."),
    "pump": (
        POUR, "The pump",
        "Whoever works the pump says who stands where. Keep away from the end of the hose when it starts, blocks or is blown clear: it whips. "
        "Look up for wires over any boom. Its feet stand on hard level ground, on boards, away from edges."),
    "frost": (
        POUR, "Frost",
        "No concrete goes onto frozen ground, or out when frost is forecast and nothing is ready to cover it. "
        "Ice makes boards and ramps slide, and people fall."),
    "fresh walls": (
        AFTER, "Fresh walls",
        "A new wall falls over from what is put behind it. Fill only after the mortar has hardened and the wall is propped, "
        "in layers, with the plate kept off the wall, and nobody on the other side."),
    "drop": (
        AFTER, "A drop at the door",
        "Steps and a guard are in the bill. Put up a rail before the building is up, too, and along every other edge that high."),
    "holes": (
        EVERYWHERE, "Open holes and other people",
        "Fence pits and trenches every evening, and fill what can be filled. Children, animals and visitors walk at dusk. "
        "A hole with water in it is a pond with steep sides."),
    "lifting": (
        EVERYWHERE, "Lifting",
        "What is heavier than some {two}, lifted again and again, is work for two or for a machine; long sheets take two whatever they weigh. "
        "Stack at waist height, take turns, spread it over days."),
    "dust": (
        EVERYWHERE, "Dust",
        "Cutting, sawing or grinding block, concrete or stone makes silica dust that scars lungs. "
        "Cut wet or with extraction, wear a mask that fits your face, keep others away. Sweep nothing dry."),
    "noise": (
        EVERYWHERE, "Noise",
        "Saws, plates and breakers take hearing for good, a little each time: wear ear defenders. Keep to hours that neighbours can bear."),
    "alone": (
        EVERYWHERE, "Working alone",
        "Nobody goes into a hole, lifts a heavy thing or minds a pour alone. "
        "Have somebody within call, a charged telephone, clean water and a first-aid box. Write down what an ambulance needs to find the gate."),
}
KEYS = tuple(_ADVICE)


@dataclass(frozen=True)
class Amount:
    """One figure of a caution, in SI; `unit` is empty for a count."""

    value: float
    unit: str = ""


@dataclass(frozen=True)
class Caution:
    """One caution: its key (one of `KEYS`), where it belongs (one of `PLACES`), its title, what the figures say here, and what to do.

    In `found` and `sentence` a name in braces stands for one of `figures`.
    `found` is empty where the plot has no figure to tell; `sentence` has the
    same words on every plot.
    """

    key: str
    where: str
    title: str
    sentence: str
    found: str = ""
    figures: Mapping[str, Amount] = field(default_factory=dict)


def _caution(key: str, found: str = "", **figures: Amount) -> Caution:
    where, title, sentence = _ADVICE[key]
    return Caution(key, where, title, sentence, found, figures)


def _in_order(cautions: Iterable[Caution | None]) -> tuple[Caution, ...]:
    """The cautions there are, in the order of the work; of two with one key the later."""
    by_key = {caution.key: caution for caution in cautions if caution is not None}
    return tuple(by_key[key] for key in KEYS if key in by_key)


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


# What a figure needs besides the plot.


def push_on_form_kn_per_m(height_m: float) -> float:
    """How hard fresh concrete pushes a form outwards, for each metre of its length.

    height_m: of the concrete against the form, m, 0 to 3.
    Returns kN/m, the whole push, which comes at a third of the height.
    Raises ValueError outside that range.
    Source: pressure of a liquid grows with depth (hydrostatics); 25 kN/m3 as EN 1991-1-1 has it for a load.

    >>> round(push_on_form_kn_per_m(0.45), 3)
    2.531
    """
    if not 0.0 <= height_m <= HIGHEST_FORM_M:
        raise ValueError(f"concrete must stand 0 to {HIGHEST_FORM_M:g} m high in a form, not {height_m} m: ask a designer of forms")
    return materials.REINFORCED_CONCRETE_KN_PER_M3.value * height_m**2 / 2.0


def below_45_degrees_m(dig_depth_m: float, foundation_depth_m: float, distance_m: float) -> float:
    """How far a dig goes below the line that falls at 45 degrees from the bottom of a neighbour's foundation.

    dig_depth_m, foundation_depth_m: below the same ground, m, 0 or more.
    distance_m: from the foundation to the dig, m, 0 or more.
    Returns m; above 0 the dig takes away ground that the foundation leans on.
    Raises ValueError for anything negative.
    Source: common practice, no source; the line is that of section 6(2) of the Party Wall etc. Act 1996.

    >>> below_45_degrees_m(1.5, 0.5, 0.75), below_45_degrees_m(1.5, 0.5, 2.0)
    (0.25, -1.0)
    """
    if not (dig_depth_m >= 0.0 and foundation_depth_m >= 0.0 and distance_m >= 0.0):
        raise ValueError(f"depths and distance must be 0 m or more, not {dig_depth_m}, {foundation_depth_m} and {distance_m} m")
    return dig_depth_m - foundation_depth_m - distance_m


def deepest_dig_m(site: Site, works: Works, parts: Iterable[str] = (w.TRENCH_DIG, w.DRAIN_DIG)) -> float:
    """Greatest depth of the digs of some parts below the existing ground over them.

    site; works: as laid out, levels in m.  parts: which digs, of `works.DIGS`; trenches if not said.
    Returns m; 0 where nothing of them is dug.
    Raises nothing.
    Source: definition; ground and bottoms are flat in patches, so the greatest depth is at a corner of a patch.
    """
    wanted = frozenset(parts)
    return max((
        ground.z(corner) - piece.bottom.z(corner)
        for solid in works.solids if solid.part in wanted for piece in solid.pieces
        for patch, ground in site.ground.over(piece.polygon) for corner in patch), default=0.0)


# What holds for the plot, whatever is built.


def plot_cautions(site: Site) -> tuple[Caution, ...]:
    """The cautions of a plot that no scheme is needed for, in the order of the work.

    site.  Returns Cautions: figures in m and gradients.
    Raises nothing.
    Source: what the reader wrote of the plot; advice is common practice, no source.
    """
    plot = site.scenario.plot
    return _in_order((
        _caution("services"), _lorry(site), _neighbours(site), *_digging(site), _foul_ground(plot.soil), _trees(plot.trees), _clay(site),
        None if plot.water == "low" else _caution("water", f"You wrote that ground water is {plot.water}."),
        None if plot.outfall or site.gradient <= 0.0 else _caution("outfall", "You wrote that there is no outfall."),
        _caution("frost depth", f"Ask {site.rules.building_authority}, and give the figure.") if site.frost_unknown else None,
        _caution("holes"), _caution("dust"), _caution("noise"), _caution("alone"),
    ))


def _lorry(site: Site) -> Caution:
    access = site.scenario.plot.access
    figures = {"distance": Amount(access.lorry_to_slab_m, "m"), "gate": Amount(access.gate_width_m, "m")}
    words = "A lorry stops {distance} from the middle of the slab; the narrowest place on the way is {gate} wide"
    if access.gate_width_m < LORRY_WITH_MIRRORS_M.value - TOLERANCE:
        figures["lorry"] = Amount(LORRY_WITH_MIRRORS_M.value, "m")
        words += ", and a concrete lorry with its mirrors wants some {lorry}: it stays outside, often in a road with other people in it"
    words += "."
    if site.gradient >= LEVEL_GROUND_GRADIENT:
        figures["slope"] = Amount(site.gradient, "gradient")
        words += " The plot falls {slope}."
    return _caution("lorry", words, **figures)


def _neighbours(site: Site) -> Caution | None:
    plot, figures, words = site.scenario.plot, {}, []
    for number, each in enumerate(plot.neighbours or (), start=1):
        figures[f"building{number}"] = Amount(each.distance_m, "m")
        words.append(f"A neighbour's building stands {{building{number}}} from the dig, {_founded(each, number, figures)}.")
    if plot.boundary_m:
        figures |= {f"boundary{number}": Amount(metres, "m") for number, metres in enumerate(plot.boundary_m.values(), start=1)}
        sides = [f"{{boundary{number}}} to the {side}" for number, side in enumerate(plot.boundary_m, start=1)]
        words.append(f"The boundary is {_listed(sides)}.")
        if plot.neighbours is None:
            words.append("You have not said whether a wall stands beyond it.")
    if not words:
        return None
    if site.scenario.region == "england":
        figures |= {"near": Amount(NOTICE_NEAR_M.value, "m"), "far": Amount(NOTICE_FAR_M.value, "m")}
        words.append("Notice may be due for digging within {near} of a neighbour's building, in some cases {far}.")
    return _caution("neighbours", " ".join(words), **figures)


def _founded(neighbour: Neighbour, number: int, figures: dict[str, Amount]) -> str:
    if neighbour.foundation_depth_m is None:
        return "and nobody has said how deep its foundation goes"
    figures[f"founded{number}"] = Amount(neighbour.foundation_depth_m, "m")
    return f"its foundation {{founded{number}}} down"


def _digging(site: Site) -> list[Caution]:
    gate_m, steepest = site.scenario.plot.access.gate_width_m, max(site.gradient, site.steepest_gradient)
    if gate_m < NARROW_DIGGER_GATE_M.value:
        return [_caution("hand digging", "The way in is {gate} wide, which no digger passes.", gate=Amount(gate_m, "m"))]
    if steepest < LEVEL_GROUND_GRADIENT:
        return [_caution("digger")]
    return [_caution("digger"), _caution("slope", "The ground falls {slope} at its steepest.", slope=Amount(steepest, "gradient"))]


def _foul_ground(soil: str) -> Caution | None:
    said = {"made ground": "You wrote that the ground is made ground.", "unknown": "You have not said what the ground is."}
    return _caution("foul ground", said[soil]) if soil in said else None


def _trees(trees: str) -> Caution | None:
    said = {"near": "You wrote that trees or hedges stand near.", "removed": "You wrote that trees or hedges were taken out."}
    return _caution("trees", said[trees]) if trees in said else None


def _clay(site: Site) -> Caution | None:
    plot = site.scenario.plot
    if not site.soil.shrinkable:
        return None
    if plot.soil == "unknown":
        return _caution("clay", "The soil is not known and may be clay.")
    return _caution("clay", "How much this clay shrinks is not known." if plot.shrinkage == "unknown" else f"The shrinkage of this clay is {plot.shrinkage}.")


# What one scheme adds.


def cautions_of(site: Site, result, pours: Sequence[Pour] = (), deliveries: Sequence[Delivery] = ()) -> tuple[Caution, ...]:
    """Every caution for one scheme: those of the plot, with the scheme's own figures where it has any, and the scheme's own.

    site; result: of the comparison, within limits.  pours, deliveries: of its job, empty where nobody has worked them out.
    Returns Cautions in the order of the work: m, m3, kg, t, h, days, gradients.
    Raises ValueError for an edge deeper than 3 m.
    Source: the works and the bill; advice is common practice, no source.
    """
    works = result.works
    job = Job(result.quantities, works, site.scenario)
    loads = sum(delivery.loads for delivery in deliveries)
    return _in_order((
        *plot_cautions(site),
        _caution("loads", "Loads that come or go: {loads}.", loads=Amount(float(loads))) if loads else None,
        _heaps(job), _trenches(site, works), _cut(site, works), _undermined(site, works), _vibration(job), _forms(works),
        _caution("steel") if job["fabric_sheets"] > 0.0 or job["bar_kg"] > 0.0 else None,
        _wet_concrete(job, pours), _barrows(job, pours), _caution("pump") if _way(job, pours) == "pump" else None, _frost(pours),
        _fresh_walls(works), _drop(site, works), _holes(site, works), _lifting(site, job), _dust(job, pours),
    ))


def _ordered(job: Job, key: str) -> float:
    """What the bill orders of one of its lines, SI; 0 where it has none of it."""
    rule = next(rule for rule in BILL if rule.key == key)
    return order_si(job, rule) if rule.net(job) > 0.0 else 0.0


def _block_kg(job: Job) -> float:
    products = job.scenario.schedule.products
    return materials.block_kg(products.block_length_m, products.block_height_m, job.works.sizes.get("block_thickness_m", UPSTAND_BLOCK_M.value))


def _heaps(job: Job) -> Caution | None:
    amounts = {
        "stone": (Amount(job.stone_t, "t"), "{stone} of stone"),
        "blocks": (Amount(_ordered(job, "blocks") * _block_kg(job) / KG_PER_T, "t"), "{blocks} of block"),
        "spoil": (Amount(job["spoil_loose_m3"], "m3"), "{spoil} of loose spoil to be carted"),
    }
    there = {name: pair for name, pair in amounts.items() if pair[0].value >= NO_HEAP}
    if not there:
        return None
    return _caution("heaps", f"They come to some {_listed([words for _, words in there.values()])}.", **{name: amount for name, (amount, _) in there.items()})


def _trenches(site: Site, works: Works) -> Caution | None:
    walls, drains = (deepest_dig_m(site, works, (part,)) for part in (w.TRENCH_DIG, w.DRAIN_DIG))
    if max(walls, drains) <= 0.0:
        return None
    figures = {name: Amount(depth, "m") for name, depth in (("walls", walls), ("drains", drains)) if depth > 0.0}
    words = {"walls": "those under the walls go {walls} down at the deepest", "drains": "those for the drains {drains}"}
    if walls <= 0.0:
        words["drains"] = "those for the drains go {drains} down at the deepest"
    return _caution("trenches", f"Measured from the ground beside them, {_listed([words[name] for name in figures])}.", **figures)


def _cut(site: Site, works: Works) -> Caution | None:
    depth = deepest_dig_m(site, works, (w.REDUCE_DIG, w.SOFT_SPOT_DIG))
    if depth <= 0.0:
        return None
    uphill = " at its highest side" if site.gradient >= LEVEL_GROUND_GRADIENT else ""
    return _caution("cut", f"The dig for the floor goes {{depth}} below the ground{uphill}.", depth=Amount(depth, "m"))


def _undermined(site: Site, works: Works) -> Caution | None:
    depth = dig_depth_m(site, works)
    # Foundations that nobody has seen are taken to have no depth.
    pasts = [(below_45_degrees_m(depth, each.foundation_depth_m or 0.0, each.distance_m), each) for each in site.scenario.plot.neighbours or ()]
    if not pasts:
        return None
    past, worst = max(pasts, key=lambda pair: pair[0])
    figures = {"depth": Amount(depth, "m"), "distance": Amount(worst.distance_m, "m")}
    words = "The dig goes {depth} down from the highest ground, and {distance} away stands a neighbour's building. "
    if worst.foundation_depth_m is None:
        words += "Its foundation, which nobody has seen, is taken to have no depth. "
    else:
        figures["founded"] = Amount(worst.foundation_depth_m, "m")
        words += "Its foundation goes {founded} down. "
    if past > TOLERANCE:
        figures["past"] = Amount(past, "m")
        words += "The dig cuts {past} below the line of 45 degrees."
    elif depth > (worst.foundation_depth_m or 0.0) + TOLERANCE:
        words += "The dig is deeper, and stays above the line of 45 degrees."
    else:
        words += "The dig is no deeper."
    return _caution("undermined", words, **figures)


def _vibration(job: Job) -> Caution | None:
    hours = {"plate": job.stone_m3 / PLATE_M3_PER_DAY.value * DAY_H.value, "breaker": job["break_out_m3"] * BREAK_OUT_H_PER_M3.value}
    words = {"plate": "the plate runs for up to {plate}", "breaker": "a breaker for some {breaker}"}
    there = {name: Amount(each, "h") for name, each in hours.items() if each > 0.0}
    return _caution("vibration", f"In all {_listed([words[name] for name in there])}.", **there) if there else None


def _forms(works: Works) -> Caution | None:
    height = works.sizes.get("deepest_edge_m", 0.0)
    if height <= BRACED_FORM_FROM_M.value + TOLERANCE:
        return None
    return _caution(
        "forms", "At its deepest the edge is {height} of wet concrete, which pushes outward like a liquid, as if {push} leaned on the form.",
        braced=Amount(BRACED_FORM_FROM_M.value, "m"), designed=Amount(DESIGNED_FORM_FROM_M.value, "m"), height=Amount(height, "m"),
        push=Amount(push_on_form_kn_per_m(height) / GRAVITY_KN_PER_T * KG_PER_T, "kg/m"))


def _wet_concrete(job: Job, pours: Sequence[Pour]) -> Caution:
    figures, words = {"volume": Amount(job["concrete_m3"], "m3")}, "In all there is {volume} of concrete"
    longest = max((pour.day.loads[-1].empty_h - pour.day.loads[0].starts_h for pour in pours if pour.day is not None), default=0.0)
    if longest > 0.0:
        figures["hours"] = Amount(longest, "h")
        words += ", and people stand in it for some {hours}" + (" at a time" if len(pours) > 1 else "")
    return _caution("wet concrete", words + ".", **figures)


def _way(job: Job, pours: Sequence[Pour]) -> str:
    """How concrete goes from lorry to slab."""
    if pours:
        return pours[-1].route.way
    access = job.scenario.plot.access
    return job.scenario.pour.way or ("pump" if access.pump else "chute" if access.lorry_to_slab_m <= CHUTE_REACH_M.value else "barrow")


def _barrows(job: Job, pours: Sequence[Pour]) -> Caution | None:
    if _way(job, pours) != "barrow":
        return None
    barrow_m3 = pours[-1].crew.barrow_m3 if pours else BARROW_M3.value
    slope = abs(pours[-1].route.slope if pours else job.scenario.pour.run_slope)
    trips = sum(barrow_trips(ordered, barrow_m3) for ordered in ([pour.chosen.order_m3 for pour in pours] or job.deliveries()))
    figures = {"barrow": Amount(barrow_m3 * CONCRETE_T_PER_M3.value * KG_PER_T, "kg"), "trips": Amount(float(trips))}
    words = "In all there are about {trips} barrow loads"
    if slope > TOLERANCE:
        figures["slope"] = Amount(slope, "gradient")
        words += ", on a run of {slope}"
    return _caution("barrows", words + ".", **figures)


def _frost(pours: Sequence[Pour]) -> Caution | None:
    cold = [pour for pour in pours if pour.weather.air_c <= NIGHTS_MAY_FREEZE_BELOW_C.value]
    if pours and not cold:
        return None
    longest = max((pour.frost_days[1] for pour in cold if pour.frost_days is not None), default=0.0)
    if longest <= 0.0:
        return _caution("frost")
    return _caution("frost", "It must not freeze for its first {days}.", days=Amount(float(math.ceil(longest)), "day"))


def _fresh_walls(works: Works) -> Caution | None:
    if works.volume_m3(w.FOOTING) <= 0.0 or works.fill_depth_m <= 0.0:
        return None
    return _caution("fresh walls", "Inside the walls the fill is up to {fill} deep.", fill=Amount(works.fill_depth_m, "m"))


def _drop(site: Site, works: Works) -> Caution | None:
    """A drop where the bill has a guard: until that is up, and a door too, there is an edge to fall from."""
    high = [(door.side.name, works.floor_level_m - door.ground_m) for door in site.doors
            if works.floor_level_m - door.ground_m > site.rules.guard_from_m.value]
    if not high:
        return None
    words = [f"{{rise{number}}} above the ground at the {name} door" for number, (name, _) in enumerate(high, start=1)]
    return _caution("drop", f"The floor stands {_listed(words)}.", **{f"rise{number}": Amount(rise, "m") for number, (_, rise) in enumerate(high, start=1)})


def _holes(site: Site, works: Works) -> Caution:
    return _caution("holes", "The deepest hole here goes {depth} down.", depth=Amount(deepest_dig_m(site, works, w.DIGS), "m"))


def _lifting(site: Site, job: Job) -> Caution | None:
    products, figures, words = job.scenario.schedule.products, {}, []
    if (blocks := _ordered(job, "blocks")) > 0.0:
        figures |= {"blocks": Amount(blocks), "block": Amount(_block_kg(job), "kg"), "all": Amount(blocks * _block_kg(job) / KG_PER_T, "t")}
        words.append("{blocks} blocks of {block} each, {all} in all")
    sheet_kg = products.fabric_sheet_length_m * products.fabric_sheet_width_m * products.fabric_kg_per_m2
    roll_kg = products.membrane_roll_length_m * products.membrane_roll_width_m * site.rules.membrane_thickness_m.value * PLASTIC_KG_PER_M3.value
    for count, name, of, each_kg in ((job["fabric_sheets"], "sheet", "fabric", sheet_kg), (job["membrane_rolls"], "roll", "membrane", roll_kg)):
        if count > 0.0:
            figures |= {f"{name}s": Amount(count), name: Amount(each_kg, "kg")}
            words.append(f"{{{name}s}} {name} of {of} of {{{name}}}" if count == 1.0 else f"{{{name}s}} {name}s of {of} of {{{name}}} each")
    if job["insulation_m3"] > 0.0:
        board = job.scenario.schemes[job.works.scheme].insulation
        figures["board"] = Amount(BOARD_M2.value * job.works.sizes["insulation_thickness_m"] * INSULATION_KG_PER_M3[board].value, "kg")
        words.append("boards of insulation of about {board}, which a gust takes out of your hands")
    return _caution("lifting", f"To be carried: {_listed(words)}.", two=Amount(WORK_FOR_TWO_KG.value, "kg"), **figures) if words else None


def _dust(job: Job, pours: Sequence[Pour]) -> Caution:
    figures, words = {}, []
    if (blocks := _ordered(job, "blocks")) > 0.0:
        figures["blocks"] = Amount(blocks)
        words.append("{blocks} blocks are laid, some of them cut.")
    if job["break_out_m3"] > 0.0:
        figures["old"] = Amount(job["break_out_m3"], "m3")
        words.append("{old} of old concrete is broken out.")
    if any(pour.saw_h is not None for pour in pours):
        words.append("Joints are sawn in the slab.")
    if job.scenario.floor.levels_m:
        words.append("High spots of the floor may be ground.")
    return _caution("dust", " ".join(words), **figures)
