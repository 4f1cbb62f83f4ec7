"""The one list of inputs: every key of a scenario, with its words, bounds, default and reason.

Reading files, overrides, the JSON Schema, the commented scenario and the
documentation are all made from `INPUTS`.  A default is text as somebody would
type it, and is read by the same code as typed text.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators import carbon
from calculators.programme import LEAST_HOURS_A_DAY, MOST_HOURS_A_DAY, WAITS
from calculators.yardsticks import YARDSTICK_BY_KEY
from calculators.scenario import (
    CEMENTS, COMPOUNDS, FLOOR_FINISHES, HEATING_PATTERNS, INSULATIONS, LOW_SIDES, POUR_WAYS, REGIONS, ROOF_COVERINGS, ROOF_SHAPES, SHRINKAGES,
    SIDES, SOILS, SURFACES, THRESHOLDS, TREES, UNITS, USES, WALLS, WATERS, WORKING_DAYS, Heat,
)

WORKED_OUT = "worked out"
"""What an input holds when the guide is to choose; may be typed."""
NOT_SAID = "not said"
"""What an input holds when nobody has found it out, and a stand-in is taken or nothing is worked out; may be typed."""
LEFT_OPEN = (WORKED_OUT, NOT_SAID)
"""The two of them: the record has None."""

SCHEME_IDS = ("thickened-raft", "strip-and-block", "insulated-slab")

YES_NO = ("yes", "no")

NAME_PATTERN = "^[a-z0-9]([a-z0-9-]{0,48}[a-z0-9])?$"
CURRENCY_PATTERN = "^[A-Z]{3}$"
SIDE_PATTERN = f"^({'|'.join(SIDES)})( [2-9]| 1[0-9])?$"
"""A side by the way it faces; further sides that face the same way have a number."""
LONGEST_TITLE = 120
MOST_DOORS = 8
MOST_CORNERS = 20
MOST_LEVELS = 200
MOST_PIECES = 12
MOST_INTERNAL_WALLS = 12
MOST_FUTURES = 12
FUTURE_KEYS = ("name", "likelihood", "costs")
MOST_NEIGHBOURS = 12
MOST_PLACES = 8
MOST_FLOOR_LEVELS = 400
MOST_HOLIDAYS = 366
PLACE_KEYS = ("name", "room", "worth")
DEEPEST_FOUNDATIONS = "10 m"
DOOR_KEYS = ("side", "at")
BOOK_KEYS = ("at", "level", "back", "inter", "fore")
NEIGHBOUR_KEYS = ("distance", "foundations")
CORNER_NAMES = ("south-west", "south-east", "north-east", "north-west")
"""The corners of a rectangle, anticlockwise from the start of its south side."""


@dataclass(frozen=True)
class Piece:
    """A kind of piece of ground with an outline and one size: what it is called, the key of its size, and its words."""

    called: str
    size_key: str
    unsized: str
    size_wanted: str

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that one of them may have."""
        return ("at", "from", "size", self.size_key)


PIECES: dict[str, Piece] = {
    "plot.soft_spots": Piece("soft spot", "depth", "how deep it is", "write its depth below the stripped ground"),
    "plot.hollows": Piece("hollow", "depth", "how deep it is", "write its depth below the ground round it"),
    "plot.existing_slabs": Piece("existing slab", "thickness", "how thick it is", "write its thickness"),
}
"""The keys that hold pieces of ground, no two of which overlap."""


@dataclass(frozen=True)
class Input:
    """One key of a scenario.

    `kind` picks its reader in `generator.input_readers`.  `default` is None for what the
    reader of the guide must give (a rule asks for it), else text.  `reason`
    says why the default is what it is.  `least` and `most` are quantities of
    the same kind.  `choices` are the only words allowed.
    """

    key: str
    label: str
    kind: str
    hint: str
    example: str
    default: str | None = None
    reason: str = ""
    least: str = ""
    most: str = ""
    choices: tuple[str, ...] = ()

    @property
    def group(self) -> str:
        """The key of the group this input lies in; empty at the top."""
        return self.key.rpartition(".")[0]

    @property
    def name(self) -> str:
        """The last part of the key."""
        return self.key.rpartition(".")[2]


def _choice(key: str, label: str, hint: str, choices: tuple[str, ...], default: str, reason: str, example: str = "") -> Input:
    return Input(key, label, "choice", hint, example or default, default, reason, choices=choices)


def _yes_no(key: str, label: str, hint: str, default: str, reason: str) -> Input:
    return Input(key, label, "yes or no", hint, "yes" if default == "no" else "no", default, reason, choices=YES_NO)


def _length(key: str, label: str, hint: str, example: str, default: str, reason: str, least: str, most: str) -> Input:
    return Input(key, label, "length", hint, example, default, reason, least, most)


def _open(key: str, label: str, kind: str, hint: str, example: str, reason: str, least: str = "", most: str = "") -> Input:
    """An input that is not known until somebody finds it out."""
    return Input(key, label, kind, hint, example, NOT_SAID, reason, least, most)


def _founded(scheme: str, footing_label: str) -> tuple[Input, ...]:
    """The keys that both schemes with a footing share."""
    at = f"schemes.{scheme}"
    return (
        Input(f"{at}.block_thickness", "Block thickness", "block thickness", "thickness of the block wall on the footing", "140 mm",
              WORKED_OUT, "140 mm, or 215 mm where the wall holds back much ground or carries block walls", choices=("100 mm", "140 mm", "215 mm")),
        _length(f"{at}.footing_width", "Footing width", f"width of the {footing_label}", "450 mm",
                WORKED_OUT, "the widest of what the soil, the wall and a digger bucket ask for", "200 mm", "1500 mm"),
        _length(f"{at}.footing_thickness", "Footing thickness", f"thickness of the {footing_label}", "225 mm",
                WORKED_OUT, "what the footing's projection and its steps ask for", "150 mm", "1000 mm"),
        _length(f"{at}.founding_depth", "Founding depth", "underside of the footing below the lower of existing and finished ground", "0.9 m",
                WORKED_OUT, "what frost and clay ask for by the region's rules", "200 mm", "2.5 m"),
    )


def _floor_level(scheme: str, reason: str) -> Input:
    return _length(f"schemes.{scheme}.floor_level", "Floor level", "top of slab above the highest existing ground under the building",
                   "0.05 m", WORKED_OUT, reason, "-3 m", "3 m")


_BY_USE = "what is common for a light outbuilding, or for a car where the use is a garage"
_BEST_LEVEL = "the level that costs least among those that keep every rule"


def _accept_clay(scheme: str, what: str) -> Input:
    return _yes_no(f"schemes.{scheme}.accept_clay_movement", "Accept movement on clay",
                   f"do you accept that a {what} on shrinkable clay rises and falls with the seasons", "no", "nothing was said, so it is not taken for granted")


_OUTLINED = "the corners of its outline (at), or its south-west corner and its size along x and y (from, size)"
_TESTED = "no test was made, so what the ground bears is presumed from the soil"
_USUAL = "a usual figure stands in for it"
_SEEN_LATER = "nothing was said, so what is wanted is told"
_MONTH = "what the month of the pour usually brings stands in for it"

INPUTS: tuple[Input, ...] = (
    Input("title", "Title", "title", "what to call this plot", "Print studio below the orchard",
          "", "made from the name of the file"),
    _choice("units", "Units shown first", "units in which the page shows numbers first; you may type any", UNITS, "metric", "metric is shown first unless you ask for imperial", "imperial"),
    Input("currency", "Currency", "currency", "the currency of the prices, in three letters; it must be that of the schedule of rates", "GBP",
          WORKED_OUT, "the currency of the schedule of rates"),
    Input("rates", "Schedule of rates", "name", "a schedule of rates, by name", "demo-us", "demo-gb", "invented prices that come with the guide; yours will differ"),
    Input("quotes", "Your quotes", "quotes", "prices you have been quoted, by the name of the rate; each replaces one rate of the schedule",
          "{ready_mixed_concrete: 148 GBP/m^3}", "none", "no quotes given, so every price is the schedule's"),
    Input("hour_worth", "Worth of your hour", "hourly money", "what an hour of your own is worth to you; 0 is allowed", "12 GBP",
          WORKED_OUT, "half of what the schedule of rates pays a labourer"),
    Input("weights", "Your weights", "weights",
          f"how much each yardstick counts for you, any numbers from 0 up; there are {', '.join(YARDSTICK_BY_KEY)}",
          "{money: 5, own_days: 3, carbon: 1}", "none", "no weights were given, so nothing is weighed", "0", "1000"),
    Input("futures", "Later wishes of your own", "futures",
          "what you may want later: its name, what it would cost under each scheme (costs; 0 for those left out), and how likely you think it is (likelihood)",
          "[{name: a lean-to on the south side, likelihood: 30 %, costs: {thickened-raft: 400 GBP, strip-and-block: 650 GBP}}]", "none", "none was mentioned", "0", "1000000"),
    _choice("region", "Region of the rules", "whose rules are applied", REGIONS, "england", "the rules of England are used unless you name others", "ireland"),

    Input("plot.footprint", "Footprint", "two lengths", "the outer size of the building: along x (east), then y (north)", "6.6 m x 4.2 m", least="2 m", most="20 m"),
    Input("plot.corners", "Corners", "points", "instead of the footprint: the corners in order round the building, either way, x east and y north",
          "[[0 m, 0 m], [7.2 m, 0 m], [7.2 m, 3.6 m], [4.2 m, 3.6 m], [4.2 m, 6 m], [0 m, 6 m]]", least="-500 m", most="500 m"),
    Input("plot.slope", "Slope", "slope", "the slope of the ground, or 0 for level ground", "1:14", least="0", most="1:2"),
    Input("plot.falls_to", "Falls to", "direction", "which way is downhill, as a compass point or a bearing; not needed on level ground", "south"),
    Input("plot.levels", "Spot levels", "levels", "instead of slope and falls_to: x, y and level of points on the ground, on one datum, at the corners or anywhere round the building",
          "[[0 m, 0 m, 0 m], [6.6 m, 0 m, 0.1 m], [6.6 m, 4.2 m, 0.4 m], [0 m, 4.2 m, 0.3 m]]", least="-500 m", most="9000 m"),
    Input("plot.level_book", "Level book", "level book",
          "instead of levels: the readings of a level and staff in the order in which they were taken, each at a point of the ground or at a mark with a name. The first line is a "
          "backsight (back), then come intermediate sights (inter); a change point has its foresight (fore) and its next backsight; the last line is a foresight, "
          "best on the mark with which you began. The first mark, and the last, may have a known level",
          "[{at: door sill, level: 10 m, back: 1.425 m}, {at: [0 m, 0 m], inter: 1.83 m}, {at: [6.6 m, 0 m], inter: 1.71 m}, "
          "{at: [6.6 m, 4.2 m], fore: 1.36 m, back: 1.58 m}, {at: [0 m, 4.2 m], inter: 1.62 m}, {at: door sill, fore: 1.643 m}]", least="0 m", most="6 m"),
    Input("plot.corner_drops", "Drops at the corners", "corner drops",
          "instead of levels: from a string pulled level over the plot down to the ground, at each corner of a rectangle by its name, or at any points as x, y and drop",
          "{south-west: 420 mm, south-east: 450 mm, north-east: 120 mm, north-west: 60 mm}", least="0 m", most="6 m", choices=CORNER_NAMES),
    _yes_no("plot.levels_checked", "Levels checked", "have you measured again a level that the guide found unlike its neighbours, or a level book that does not close",
            "no", "a level unlike its neighbours is most often a slip"),
    Input("plot.soft_spots", "Soft spots", "pieces of ground",
          f"ground under or close beside the building to be dug out deeper and filled with stone: {_OUTLINED}; and how deep below the stripped ground (depth)",
          "[{from: [0.5 m, 0.5 m], size: 1.8 m x 1.2 m, depth: 300 mm}]", "none", "none was mentioned; dig two pits to find out", "50 mm", "2 m"),
    Input("plot.hollows", "Hollows", "pieces of ground",
          f"a dip, old pond or pit under or close beside the building, that the levels do not show: {_OUTLINED}; and how deep below the ground round it (depth)",
          "[{from: [3 m, 1 m], size: 2 m x 1.5 m, depth: 400 mm}]", "none", "none was mentioned", "50 mm", "2 m"),
    Input("plot.existing_slabs", "Existing slabs", "pieces of ground",
          "an old slab or path of concrete under or close beside the building, with what lies right under it, to be broken out: "
          f"{_OUTLINED}; and its thickness (thickness)",
          "[{from: [0 m, 2 m], size: 2.4 m x 1.8 m, thickness: 100 mm}]", "none", "none was mentioned", "25 mm", "600 mm"),
    _length("plot.topsoil", "Topsoil", "depth of topsoil", "200 mm", "150 mm", "common practice where no pit has been dug", "0 mm", "1 m"),
    _choice("plot.soil", "Soil", "soil below the topsoil", SOILS, "unknown", "nothing was said; dig two pits to find out", "firm clay"),
    _choice("plot.shrinkage", "Shrinkage of clay", "how much the clay shrinks as it dries", SHRINKAGES, "unknown", "nothing was said; unknown is treated with caution", "medium"),
    _choice("plot.trees", "Trees", "trees or big hedges close by, standing or lately removed", TREES, "none", "none was mentioned", "near"),
    _choice("plot.water", "Ground water", "water in the ground: low, high in wet seasons, or high", WATERS, "low", "nothing was said; look into your pits after rain", "seasonal"),
    _yes_no("plot.outfall", "Outfall", "is there lower ground or a ditch for a drain to run to", "yes", "assumed; check on your plot"),
    _length("plot.frost_depth", "Frost depth", "depth to which the ground freezes", "0.9 m", WORKED_OUT, "what the region's rules say", "0 m", "2.5 m"),
    Input("plot.boundary", "Distance to the boundary", "side lengths", "distance from a side of the building to the boundary, for each side that is near one",
          "{south: 1.5 m}", "none", "no boundary was mentioned, so none is taken to be near", "0 m", "1000 m"),
    Input("plot.neighbours", "Neighbours' buildings", "neighbours",
          "buildings of neighbours near your dig: how far each is from it (distance), and how deep its foundations go below the ground there (foundations), if you know; none if there are none",
          "[{distance: 2 m, foundations: 0.6 m}]", NOT_SAID, "nothing was said, so each boundary near the building is taken for a neighbour's wall", "0 m", "1000 m"),
    _open("plot.snow", "Snow on the ground", "pressure", "how heavily snow lies on the ground where you are, by the local snow map", "0.9 kPa",
          "a usual figure for low ground in the region stands in for it; ask locally", "0 kPa", "10 kPa"),
    _open("plot.wind", "Wind", "pressure", "how hard the strongest gust presses where you are, by the local wind map", "0.8 kPa",
          "a usual figure for sheltered low ground in the region stands in for it; ask locally", "0.1 kPa", "5 kPa"),
    _open("plot.bearing", "Bearing of the ground", "pressure", "what the ground may carry for certain, from somebody who has looked at it", "100 kPa",
          "what may be presumed for the soil stands in for it", "20 kPa", "1000 kPa"),
    _open("plot.friction_angle", "Friction angle", "angle", "angle of shearing resistance of the ground under the footings, from a test", "32 deg", _TESTED, "15 deg", "45 deg"),
    _open("plot.undrained_strength", "Undrained strength", "pressure", "undrained strength of the clay or silt under the footings, from a test", "60 kPa", _TESTED, "5 kPa", "300 kPa"),
    Input("plot.spoil_spread", "Spoil spread on the plot", "volume", "how much subsoil, as dug, can be spread on the plot", "5 m^3", "0 m^3", "all spoil is taken to be carted away", "0 m^3", "500 m^3"),
    _yes_no("plot.planning_permission", "Planning permission", "has planning permission been given for this building", "no", "nothing was said"),
    _length("plot.access.lorry_to_slab", "Lorry to slab", "from where a lorry can stand to the middle of the slab", "18 m", "20 m", "a common barrow run", "0 m", "500 m"),
    _length("plot.access.gate_width", "Gate width", "narrowest place on the way to the plot", "2.6 m", "3 m", "wide enough for a small digger", "0.6 m", "10 m"),
    _yes_no("plot.access.pump", "Concrete pump", "will the concrete be pumped", "no", "barrows are taken to do it"),

    _choice("building.walls", "Walls", "what the walls are made of", WALLS, "timber frame", "the usual wall of a small outbuilding", "block"),
    _length("building.wall_height", "Wall height", "from finished floor to eaves", "2.4 m", "2.3 m", "common for a small outbuilding", "1.5 m", "4 m"),
    _length("building.ridge_height", "Ridge height", "from finished floor to the highest point of the roof", "3.1 m", "2.5 m", "a low roof; give yours, because limits on height depend on it", "1.5 m", "8 m"),
    Input("building.roof", "Roof", "roof", f"the shape of the roof ({', '.join(ROOF_SHAPES)}), a comma, and its covering ({', '.join(ROOF_COVERINGS)})", "mono-pitch, light", "pitched, felt", "a common roof for a small outbuilding"),
    _choice("building.use", "Use", "what the building is for", USES, "workshop", "nothing was said", "studio"),
    _yes_no("building.heated", "Heated", "will it be heated", "no", "nothing was said"),
    _open("building.floor_load", "Heaviest foot or wheel", "weight", "what the heaviest wheel, machine foot or post puts on one spot of the floor, as a force or as a mass", "3 kN",
          "what is usual for the use stands in for it", "0.1 kN", "100 kN"),
    _open("building.floor_load_size", "Size of that foot", "length", "side of the square on which that foot or wheel stands", "100 mm", "what is usual for the use stands in for it", "10 mm", "600 mm"),
    _yes_no("building.sleeping", "Sleeping", "will anybody sleep in it", "no", "nothing was said"),
    _yes_no("building.non_combustible", "Non-combustible", "is it built substantially of what does not burn", "no", "nothing was said"),
    Input("building.doors", "Doors", "doors",
          "the sides that have a door, one entry for each door; a door that is not in the middle of its side says how far its middle is from the left end of the side, seen from outside",
          "[south, {side: east, at: 1.4 m}]", "south", "one door to the south was assumed", "0 m", "20 m"),
    _length("building.door_width", "Door width", "width of each door opening", "1.2 m", "0.9 m", "a common single door", "0.6 m", "6 m"),
    _choice("building.door_threshold", "Door threshold", "how the ground meets each door", THRESHOLDS, "raised", "the plain way; a channel drain lets the ground come level", "channel drain"),
    Input("building.step_free", "Step-free side", "side", "the side with a door that has to be reached without a step", "south", "none", "nothing was said, so steps are allowed at every door"),
    Input("building.internal_walls", "Walls inside", "walls", "walls inside that carry load: the two ends of the centre line of each",
          "[[[3.3 m, 0 m], [3.3 m, 4.2 m]]]", "none", "nothing was said, so the outer walls are taken to carry everything", "-500 m", "500 m"),

    _length("schemes.thickened-raft.slab_thickness", "Slab thickness", "thickness of the slab inside the edge", "150 mm", "125 mm", "common for a light outbuilding", "100 mm", "300 mm"),
    _length("schemes.thickened-raft.edge_width", "Edge width", "width of the edge thickening at its base", "500 mm", "450 mm", "the width of a digger bucket", "300 mm", "1000 mm"),
    _length("schemes.thickened-raft.edge_depth", "Edge depth", "top of slab to underside of the edge thickening", "450 mm", WORKED_OUT, "what the soil, the fill and frost ask for", "200 mm", "1500 mm"),
    _length("schemes.thickened-raft.upstand", "Upstand", "height of the blocks that lift the frame off the slab, with their joints; 0 for none", "225 mm", WORKED_OUT, "one course of blocks", "0 mm", "700 mm"),
    _choice("schemes.thickened-raft.low_side", "Low side", "how the low side is held: stone at a batter, a deepened edge, or the cheaper of the two", LOW_SIDES, "cheaper", "both are tried", "batter"),
    _yes_no("schemes.thickened-raft.edge_bars", "Bars in the edge", "are there four bars with links in the edge", "yes", "a raft's edge has to span soft spots"),
    _accept_clay("thickened-raft", "raft"),
    _floor_level("thickened-raft", _BEST_LEVEL),

    *_founded("strip-and-block", "strip footing"),
    _length("schemes.strip-and-block.knee_height", "Knee height", "height of the block wall above the floor, in whole courses", "450 mm", WORKED_OUT, "two courses of blocks", "0 mm", "1400 mm"),
    _length("schemes.strip-and-block.slab_thickness", "Slab thickness", "thickness of the slab between the walls", "125 mm", WORKED_OUT, _BY_USE, "100 mm", "300 mm"),
    _accept_clay("strip-and-block", "slab"),
    _floor_level("strip-and-block", _BEST_LEVEL),

    _choice("schemes.insulated-slab.insulation", "Insulation", "kind of insulation under the slab", INSULATIONS, "EPS", "the cheapest that is common under a slab", "XPS"),
    _length("schemes.insulated-slab.insulation_thickness", "Insulation thickness", "thickness of the insulation", "120 mm", WORKED_OUT, "100 mm, unless insulation_r or target_u is given", "25 mm", "300 mm"),
    Input("schemes.insulated-slab.insulation_r", "Insulation resistance", "resistance", "instead of the thickness: thermal resistance of the insulation", "2.5 m^2 K/W",
          WORKED_OUT, "from the thickness and the kind of insulation", "0.5 m^2 K/W", "15 m^2 K/W"),
    Input("schemes.insulated-slab.target_u", "Target U-value", "transmittance", "instead of the thickness: the U-value the floor is to reach", "0.18 W/(m^2 K)",
          WORKED_OUT, "no target was given", "0.05 W/(m^2 K)", "1 W/(m^2 K)"),
    _open("schemes.insulated-slab.insulation_strength", "Insulation strength", "pressure",
          "stress that squeezes the insulation by a tenth of its thickness, from its label", "150 kPa", "the usual grade of its kind stands in for it", "30 kPa", "1000 kPa"),
    _length("schemes.insulated-slab.upstand", "Upstand", "height of the blocks that lift the frame off the slab, with their joints; 0 for none", "225 mm", WORKED_OUT, "one course of blocks", "0 mm", "700 mm"),
    *_founded("insulated-slab", "footing under the block kerb"),
    _length("schemes.insulated-slab.slab_thickness", "Slab thickness", "thickness of the slab over the insulation", "125 mm", WORKED_OUT, _BY_USE, "100 mm", "300 mm"),
    _accept_clay("insulated-slab", "slab"),
    _floor_level("insulated-slab", _BEST_LEVEL),

    _length("heat.wall_thickness", "Wall thickness", "thickness of the outer wall, for the heat lost at the edge of the floor", "0.3 m", "0.2 m", "a clad and insulated timber frame", "50 mm", "600 mm"),
    Input("heat.ground_conductivity", "Conductivity of the ground", "conductivity", "how well the ground conducts heat: about 1.5 for clay or silt, 2.0 for sand or gravel, 3.5 for rock", "2.0 W/(m K)",
          "1.5 W/(m K)", "the usual figure for clay or silt", "0.3 W/(m K)", "5 W/(m K)"),
    _choice("heat.pattern", "When it is heated", "when the building is heated", HEATING_PATTERNS, Heat.pattern, "common for a small outbuilding; it counts only where the building is heated", "working week"),
    _open("heat.degree_days", "Degree-days", "degree days", "degree-days of a year where you are, on a base of 15.5 degrees C; figures in Fahrenheit are typed in degF day", "2200 K day",
          "those of a standard year of the United Kingdom stand in for them", "0 K day", "10000 K day"),
    _open("heat.energy_price", "Price of energy", "energy price", "what you pay for a kilowatt hour", "0.28 GBP/kWh", "an invented price stands in for it"),
    _open("heat.efficiency", "Heat for each unit paid for", "ratio", "heat given out over energy paid for: 1 for a plain electric heater, about 3 for a heat pump, 90 % for a boiler", "3",
          "a plain electric heater stands in for it", "0.3", "6"),

    _open("drainage.pipe", "Drain", "length", "inside width of the pipe that takes the rain off the roof and the paving", "100 mm", _USUAL, "50 mm", "300 mm"),
    _open("drainage.gradient", "Fall of the drain", "slope", "how steeply the pipe falls", "1:60", _USUAL, "1:500", "1:2"),
    _open("drainage.roughness", "Roughness of the drain", "length", "roughness inside the pipe", "0.6 mm", _USUAL, "0 mm", "5 mm"),
    Input("drainage.paving", "Paving drained", "area", "paving whose rain runs into the same pipe", "12 m^2", "0 m^2", "none was mentioned", "0 m^2", "500 m^2"),
    _open("drainage.overhang", "Eaves", "length", "how far the roof stands out beyond the walls, for the rain it catches, what it weighs on them and what the wind lifts", "400 mm", _USUAL, "0 m", "1.5 m"),
    _open("drainage.soakaway", "Soakaway", "volume", "size of the pit below the pipe, where the rain is to soak into the ground", "3 m^3",
          "none was mentioned; where there is no outfall, the size that is wanted is worked out", "0.05 m^3", "100 m^3"),
    _open("drainage.soakaway_voids", "Voids of the soakaway", "ratio", "share of the pit that water can fill: about 30 % for clean rubble, 95 % for plastic crates", "95 %", _USUAL, "10 %", "100 %"),
    _open("drainage.soakaway_distance", "Distance of the soakaway", "length", "from the building to the soakaway", "6 m", "nothing was said, so it is not checked", "0 m", "1000 m"),
    _open("drainage.soakaway_rate", "Soakage of the ground", "speed", "how fast the ground takes water, from a soakage test", "36 mm/h", "no test was made, so emptying is not checked", "0.1 mm/h", "36000 mm/h"),
    _open("drainage.soakaway_pit", "Pit of the soakaway", "three lengths", "length, width and depth of the pit below the pipe", "1.6 m x 1.4 m x 1.5 m", "nothing was said, so emptying is not checked", "0.1 m", "20 m"),
    _open("drainage.under_slab_cover", "Cover under the slab", "length", "from the underside of the slab down to the top of a pipe that passes under it", "350 mm",
          "nothing was said, so no pipe is taken to pass under the slab", "0 m", "3 m"),
    _open("drainage.pipe_outside", "Outside of the drain", "length", "outside width of that pipe, for what the wet concrete lifts", "110 mm", _USUAL, "50 mm", "400 mm"),
    _open("drainage.pipe_mass", "Mass of the drain", "mass per length", "mass of a metre of that pipe, empty", "1.6 kg/m", _USUAL, "0 kg/m", "200 kg/m"),
    _open("drainage.tie_spacing", "Ties of the drain", "length", "how far apart the ties are that hold that pipe down in wet concrete", "0.8 m", "nothing was said, so the spacing that is wanted is worked out", "0.1 m", "10 m"),
    _open("drainage.tie_strength", "Strength of a tie", "weight", "what one of those ties holds, with its stake", "0.5 kN", _USUAL, "0.05 kN", "20 kN"),

    _open("edge.membrane_lap", "Laps of the membrane", "length", "how far its sheets lap each other, at the least", "300 mm", _SEEN_LATER, "0 mm", "2 m"),
    _open("edge.dpc_lap", "Laps of the damp-proof course", "length", "how far its lengths lap at joints and corners, at the least", "150 mm", _SEEN_LATER, "0 mm", "2 m"),
    _open("edge.patch_lap", "Patch on a tear", "length", "how far a patch on a torn membrane goes past the tear on every side, at the least", "300 mm", _SEEN_LATER, "0 mm", "2 m"),
    _open("edge.cladding_past_face", "Cladding past the face", "length", "how far the cladding's outer face stands out past the slab edge or block below it; 0 where it is flush or stands back", "45 mm",
          _SEEN_LATER, "0 mm", "500 mm"),
    _open("edge.cladding_below_dpc", "Cladding below the damp-proof course", "length", "how far the cladding hangs below the damp-proof course; 0 where it ends level with it", "50 mm",
          _USUAL, "0 mm", "1 m"),
    _open("edge.outside_insulation", "Insulation outside the edge", "length", "thickness of insulation outside the slab edge or block, for what the cladding has to pass", "50 mm",
          "nothing was said, so none is taken to be there", "0 mm", "300 mm"),
    _open("edge.paving_below_dpc", "Paving below the damp-proof course", "length", "how far the top of paving, gravel or a bed against the wall lies below the damp-proof course, at the least", "200 mm",
          _SEEN_LATER, "0 mm", "3 m"),
    _open("edge.paving_fall", "Fall of the paving", "slope", "how steeply paving falls away from the wall; 0 where it is level or falls towards it", "1:30", _SEEN_LATER, "0", "1:2"),

    Input("carbon.factors", "Your own carbon factors", "carbon factors",
          f"emission factors of your own, from a maker's declaration, each in the unit of the one it replaces; there are {', '.join(carbon.DEFAULT.factors)}",
          "{concrete: 95 kgCO2e/t, steel: 700 kgCO2e/t}", "none", "no factors were given, so all are the guide's"),
    Input("carbon.distances", "Your own distances", "carbon distances",
          f"how far lorries carry each kind of thing, loaded, one way; there are {', '.join(carbon.DISTANCES_KM)}",
          "{concrete: 8 km, stone and sand: 22 km}", "none", "no distances were given, so all are the guide's", "0 km", "5000 km"),

    Input("pour.people", "People at the pour", "count", "everybody who works at a pour, you too", "5",
          WORKED_OUT, "as many as get each lorry empty before its concrete is too old, from four to eight", "1", "20"),
    Input("pour.barrows", "Barrows", "count", "wheelbarrows, each with somebody to wheel it", "3",
          WORKED_OUT, "so many that the most concrete is placed in an hour, with somebody left at the slab", "0", "20"),
    _yes_no("pour.first_time", "First time", "is it the first time for most of them", "yes", "nothing was said, and people new to it take about twice as long"),
    Input("pour.way", "Way from lorry to slab", "choice", "how the concrete goes from the lorry to the slab", "barrow",
          WORKED_OUT, "by pump where one was said to come, by chute where it reaches, else by barrow", choices=POUR_WAYS),
    _length("pour.run", "Run", "how far the concrete goes from the lorry to the slab; a barrow run is 60 m at most", "25 m", WORKED_OUT, "the distance from lorry to slab", "0 m", "500 m"),
    Input("pour.run_slope", "Slope of the run", "slope", "how steeply the barrow run rises or falls", "1:20", "0", "nothing was said, so it is taken to be level", "0", "1:8"),
    Input("pour.first_lorry", "First lorry", "clock time", "when the first lorry is to be at the gate", "8:30", "8:00", "a common first delivery", "0:00", "23:59"),
    Input("pour.travel", "Way of the lorry", "duration", "from the loading of the lorry to your gate", "20 min", "30 min", "a common distance; ask the supplier", "0 min", "2 h"),
    Input("pour.lorries_apart", "Time between lorries", "duration", "from one lorry to the next", "90 min", WORKED_OUT, "each is taken to come as the one before is empty", "0 min", "8 h"),
    _open("pour.allowance", "Time to empty a lorry", "duration", "how long each lorry may stand before waiting is charged", "40 min", "a usual time stands in for it; ask the supplier, for it differs widely", "0 min", "4 h"),
    _open("pour.air_temperature", "Air", "temperature", "temperature of the air on the day of a pour", "12 C", _MONTH, "-20 C", "50 C"),
    _open("pour.concrete_temperature", "Concrete", "temperature", "temperature of the concrete as it comes", "16 C", "it is taken to be a little warmer than the air", "0 C", "45 C"),
    _open("pour.humidity", "Humidity", "share", "relative humidity of the air on that day", "65 %", _MONTH, "0 %", "100 %"),
    _open("pour.wind", "Wind of the day", "speed", "wind over the slab on that day", "12 km/h", _MONTH, "0 m/s", "30 m/s"),
    _open("pour.latitude", "Latitude", "latitude", "how far north or south you are, for the light of the day", "52.4 N", "a usual one for the region stands in for it", "66 S", "66 N"),
    Input("pour.surface", "Surface", "choice", "how the slab is finished", "floated", WORKED_OUT, "what is usual for the use and the size of the floor", choices=SURFACES),
    _choice("pour.cement", "Cement", "how fast the cement gains strength, slow where much of it is slag or ash", CEMENTS, "normal", "nothing was said; ask the supplier", "slow"),
    Input("pour.second_places", "Places for what is left over", "places",
          "where concrete left over can go: what it is (name), how much it takes (room), and what concrete is worth to you there (worth), if not what gravel would cost",
          "[{name: path bay, room: 0.4 m^3}, {name: base of the bin store, room: 0.25 m^3, worth: 60 GBP/m^3}]", NOT_SAID, "a small path bay or the base of a bin store stands in for one; write none where you have no such place",
          "0.01 m^3", "20 m^3"),
    _open("pour.cold_joint_cost", "Cost of running short", "money", "what it would cost you if the concrete ran out before the end", "400 GBP", "half a day of the people and the hours of a tradesman stand in for it", "0", "1000000"),

    Input("programme.start", "First day", "day", "the day on which you begin; any day of the week will do", "2027-05-01",
          WORKED_OUT, "the first Saturday of the April after the date of the prices"),
    _choice("programme.days", "Days you work", "on which days you work", WORKING_DAYS, "weekends", "usual beside a job", "every day"),
    Input("programme.hours_a_day", "Hours a day", "duration", "how long you work on such a day", "6 h", "7 h", "common for people not used to it", f"{LEAST_HOURS_A_DAY:g} h", f"{MOST_HOURS_A_DAY:g} h"),
    Input("programme.holidays", "Days off", "holidays", f"days on which nothing is done, single or from one to another; {MOST_HOLIDAYS} at most",
          "[2027-05-29, 2027-08-01 to 2027-08-14]", "none", "none was mentioned"),
    Input("programme.months_off", "Months off", "months", "months of the year in which you do not build, by name or number", "[December, January]", "none", "none was mentioned"),
    Input("programme.waits", "Your own waits", "waits", f"how many days to wait, where you know better; there are {', '.join(WAITS)}",
          "{inspection: 3 days, order plant: 10 days}", "none", "none was given, so all are the guide's", "0 days", "365 days"),

    Input("floor.levels", "Levels of the floor", "floor levels",
          "after the pour: x (east), y (north) and level of points all over the floor and in its corners, on one datum", "[[0 m, 0 m, 0 mm], [6 m, 0 m, 3 mm], [6 m, 4 m, -4 mm], [0 m, 4 m, 2 mm], [3 m, 2 m, 5 mm]]",
          "none", "none were given, so nothing is said of how flat it came out", "-500 m", "9000 m"),
    _choice("floor.finish", "What lies on the floor", "what is to lie on the floor", FLOOR_FINISHES, "bare", "nothing was said", "tiles"),
    _choice("floor.compound", "Levelling compound", "which levelling compound would be taken, for a thin coat or for deep hollows", COMPOUNDS, "thin", "the usual one under a finish", "thick"),
    _yes_no("floor.against_level", "Against a level plane", "must the floor be level, and not only flat", "no", "nothing was said, so it is held against the plane that fits it best"),
    _open("floor.humidity", "Dampness of the slab", "share", "relative humidity under a sealed box on the slab", "80 %", "nobody has measured it, so dryness is not checked", "0 %", "100 %"),
    _open("floor.age", "Age of the slab", "days", "how old the slab is", "28 days", "nothing was said, so age is not checked", "0 days", "36500 days"),
    _open("floor.strength", "Strength of the slab", "strength", "compressive strength of the concrete, from its delivery ticket or a test", "25 MPa", "nothing was said, so strength is not checked", "1 MPa", "100 MPa"),
)

BY_KEY: dict[str, Input] = {item.key: item for item in INPUTS}

GROUPS: dict[str, str] = {
    "plot": "The plot",
    "plot.access": "Access",
    "building": "The building",
    "schemes": "Which schemes to compare, and what to change of them",
    "schemes.thickened-raft": "Thickened raft",
    "schemes.strip-and-block": "Strip footing, block and slab",
    "schemes.insulated-slab": "Insulated floor slab",
    "heat": "For the heat lost through the floor, and its cost",
    "drainage": "Rainwater drains",
    "edge": "Damp details at the edge",
    "carbon": "For what the building of it emits",
    "pour": "The day of a pour",
    "programme": "When you build",
    "floor": "How the floor came out, and what is to lie on it",
}
"""The groups of keys, with their words."""

KEPT_AS: dict[str, str] = {
    "plot.snow": "given.ground_snow_kpa",
    "plot.wind": "given.wind_pressure_kpa",
    "plot.bearing": "given.presumed_bearing_kpa",
    "plot.friction_angle": "given.friction_deg",
    "plot.undrained_strength": "given.undrained_strength_kpa",
    "building.floor_load": "given.foot_kn",
    "building.floor_load_size": "given.foot_m",
    "heat.energy_price": "heat.energy_price_per_kwh",
    "drainage.pipe": "drainage.pipe_m",
    "drainage.gradient": "drainage.gradient",
    "drainage.roughness": "drainage.roughness_m",
    "drainage.paving": "drainage.paving_m2",
    "drainage.overhang": "drainage.overhang_m",
    "drainage.soakaway": "drainage.soakaway_m3",
    "drainage.soakaway_voids": "drainage.soakaway_voids",
    "drainage.soakaway_distance": "drainage.soakaway_distance_m",
    "drainage.soakaway_rate": "drainage.soaks_m_per_s",
    "drainage.soakaway_pit": "drainage.pit_m",
    "drainage.under_slab_cover": "drainage.under_slab_cover_m",
    "drainage.pipe_outside": "drainage.pipe_outside_m",
    "drainage.pipe_mass": "drainage.pipe_kg_per_m",
    "drainage.tie_spacing": "drainage.tie_spacing_m",
    "drainage.tie_strength": "drainage.tie_kn",
    "edge.membrane_lap": "edge.membrane_lap_m",
    "edge.dpc_lap": "edge.dpc_lap_m",
    "edge.patch_lap": "edge.patch_lap_m",
    "edge.cladding_past_face": "edge.cladding_past_face_m",
    "edge.cladding_below_dpc": "edge.cladding_below_dpc_m",
    "edge.outside_insulation": "edge.outside_insulation_m",
    "edge.paving_below_dpc": "edge.paving_below_dpc_m",
    "edge.paving_fall": "edge.paving_fall",
    "carbon.factors": "own_carbon.factors",
    "carbon.distances": "own_carbon.distances_km",
    "futures": "own_futures",
    "pour.people": "pour.people",
    "pour.barrows": "pour.barrows",
    "pour.first_time": "pour.first_time",
    "pour.way": "pour.way",
    "pour.run": "pour.run_m",
    "pour.run_slope": "pour.run_slope",
    "pour.first_lorry": "pour.first_lorry_h",
    "pour.travel": "pour.travel_h",
    "pour.lorries_apart": "pour.lorries_apart_h",
    "pour.allowance": "pour.allowance_h",
    "pour.air_temperature": "pour.air_c",
    "pour.concrete_temperature": "pour.concrete_c",
    "pour.humidity": "pour.humidity",
    "pour.wind": "pour.wind_m_per_s",
    "pour.latitude": "pour.latitude_deg",
    "pour.surface": "pour.surface",
    "pour.cement": "pour.cement",
    "pour.second_places": "pour.places",
    "pour.cold_joint_cost": "pour.cold_joint_cost",
    "programme.start": "programme.start",
    "programme.days": "programme.days",
    "programme.hours_a_day": "programme.hours_a_day",
    "programme.holidays": "programme.holidays",
    "programme.months_off": "programme.months_off",
    "programme.waits": "programme.waits",
    "floor.levels": "floor.levels_m",
    "floor.finish": "floor.finish",
    "floor.compound": "floor.compound",
    "floor.against_level": "floor.against_level",
    "floor.humidity": "floor.humidity",
    "floor.age": "floor.age_days",
    "floor.strength": "floor.strength_mpa",
}
"""Where the record of a scenario keeps what is not found there by the key and a unit."""
