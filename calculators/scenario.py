"""What a person tells the guide about one plot, in SI numbers, ready to compare.

These records are filled by `generator.scenario`, which has already refused
what cannot be read.  `None` in a scheme's choices means "worked out": the
scheme picks the value by its stated rule and the page says which it took.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from calculators.schedule import Schedule

SIDES = ("south", "east", "north", "west")
SOILS = (
    "rock", "gravel", "dense sand", "medium sand", "loose sand", "stiff clay",
    "firm clay", "soft clay", "silt", "peat", "made ground", "unknown",
)
SHRINKAGES = ("low", "medium", "high", "unknown")
TREES = ("none", "near", "removed")
WATERS = ("low", "seasonal", "high")
WALLS = ("timber frame", "block")
ROOF_SHAPES = ("pitched", "mono-pitch", "flat")
ROOF_COVERINGS = ("light", "felt", "tiled", "green")
USES = ("storage", "workshop", "studio", "garage")
INSULATIONS = ("EPS", "XPS", "PIR")
LOW_SIDES = ("cheaper", "batter", "deepened")
THRESHOLDS = ("raised", "channel drain")
REGIONS = ("england", "ireland", "us", "eurocode")
UNITS = ("metric", "imperial")
HEATING_PATTERNS = ("always", "working week", "evenings and weekends", "now and then")
POUR_WAYS = ("barrow", "chute", "pump")
SURFACES = ("brushed", "floated", "trowelled", "power floated")
CEMENTS = ("rapid", "normal", "slow")
WORKING_DAYS = ("weekends", "weekdays", "every day")
FLOOR_FINISHES = ("bare", "sealed", "painted or resin", "boards", "tiles")
COMPOUNDS = ("thin", "thick")


@dataclass(frozen=True)
class Access:
    """How people, barrows and lorries reach the plot."""

    lorry_to_slab_m: float
    gate_width_m: float
    pump: bool


@dataclass(frozen=True)
class LevelRun:
    """What a level book added up to: its sums, m, and how far it missed the level it came back to.

    `misclosure_m` is the level found less the known one, None for a run that
    never came back to a known level.
    """

    set_ups: int
    backsights_m: float
    foresights_m: float
    misclosure_m: float | None


@dataclass(frozen=True)
class Neighbour:
    """A neighbour's building: its distance from the dig, m, and the depth of its foundations below the ground there, m, if known."""

    distance_m: float
    foundation_depth_m: float | None = None


@dataclass(frozen=True)
class Plot:
    """The ground and what is known of it.

    `corners_m` is the outer face of the building, anticlockwise, x east and
    y north.  The ground is either a plane (`gradient`, falling towards
    `falls_to_deg`, a bearing clockwise from north) or `levels_m`, spot levels
    (x, y, z); exactly one of the two is given, `levels_m` being empty for a
    plane.

    Where `triangles` is empty, `levels_m` are those of the four corners of a
    rectangle, in their order.  Otherwise each triangle is three indexes,
    anticlockwise, into `levels_m` followed by `beyond_m`, points that nobody
    surveyed and that carry the ground on.  `levels_checked` says that a level
    unlike its neighbours has been measured again.  `level_run` is there where
    the levels came from a level book.  `soft_spots_m` are (outline
    anticlockwise, depth below the stripped surface); no two overlap and each
    lies under the building or close beside it.  `hollows_m` are (outline, depth
    below the ground round it) and `existing_slabs_m` (outline, thickness to be
    broken out), in the same form and under the same rules.  `neighbours` is
    None where nobody has said whether there are any.
    """

    corners_m: tuple[tuple[float, float], ...]
    gradient: float
    falls_to_deg: float | None
    levels_m: tuple[tuple[float, float, float], ...]
    topsoil_m: float
    soil: str
    shrinkage: str
    trees: str
    water: str
    outfall: bool
    frost_depth_m: float | None
    boundary_m: dict[str, float]
    spoil_spread_m3: float
    planning_permission: bool
    access: Access
    triangles: tuple[tuple[int, int, int], ...] = ()
    beyond_m: tuple[tuple[float, float, float], ...] = ()
    levels_checked: bool = False
    level_run: LevelRun | None = None
    soft_spots_m: tuple[tuple[tuple[tuple[float, float], ...], float], ...] = ()
    hollows_m: tuple[tuple[tuple[tuple[float, float], ...], float], ...] = ()
    existing_slabs_m: tuple[tuple[tuple[tuple[float, float], ...], float], ...] = ()
    neighbours: tuple[Neighbour, ...] | None = None


@dataclass(frozen=True)
class Building:
    """What will stand on it, as far as it matters to the foundation.

    `doors` are the names of the sides they are in, one entry for each door;
    `door_positions_m` has in the same order how far the middle of the door is
    from the start of its side (the left end, seen from outside), None for the
    middle of the side (empty is as good as all None).  `step_free` is the
    side, one with a door, that must be reached without a step.  `internal_walls_m` are the centre lines of walls
    inside that carry load, from end to end.  `sleeping` says that somebody
    sleeps in it, `non_combustible` that it is built substantially of what does
    not burn.
    """

    walls: str
    wall_height_m: float
    ridge_height_m: float
    roof_shape: str
    roof_covering: str
    use: str
    heated: bool
    doors: tuple[str, ...]
    door_width_m: float
    door_threshold: str
    door_positions_m: tuple[float | None, ...] = ()
    step_free: str | None = None
    internal_walls_m: tuple[tuple[tuple[float, float], tuple[float, float]], ...] = ()
    sleeping: bool = False
    non_combustible: bool = False

    @property
    def placed_doors(self) -> tuple[tuple[str, float | None], ...]:
        """Each door's side and how far, m, its middle is from the start of the side; None for the middle."""
        return tuple(zip(self.doors, self.door_positions_m or (None,) * len(self.doors)))


@dataclass(frozen=True)
class RaftChoices:
    """What a reader may change of the thickened raft; None is worked out."""

    slab_thickness_m: float
    edge_width_m: float
    edge_depth_m: float | None
    upstand_m: float | None
    low_side: str
    edge_bars: bool
    accept_clay_movement: bool
    floor_level_m: float | None


@dataclass(frozen=True)
class StripChoices:
    """What a reader may change of the strip footing, block and slab."""

    block_thickness_m: float | None
    footing_width_m: float | None
    footing_thickness_m: float | None
    founding_depth_m: float | None
    knee_height_m: float | None
    slab_thickness_m: float | None
    accept_clay_movement: bool
    floor_level_m: float | None


@dataclass(frozen=True)
class InsulatedChoices:
    """What a reader may change of the insulated floor slab.

    At most one of `insulation_thickness_m`, `insulation_r_m2k_per_w` and
    `target_u_w_per_m2k` is given.
    """

    insulation: str
    insulation_thickness_m: float | None
    insulation_r_m2k_per_w: float | None
    target_u_w_per_m2k: float | None
    upstand_m: float | None
    block_thickness_m: float | None
    footing_width_m: float | None
    footing_thickness_m: float | None
    founding_depth_m: float | None
    slab_thickness_m: float | None
    accept_clay_movement: bool
    floor_level_m: float | None
    insulation_strength_kpa: float | None = None


@dataclass(frozen=True)
class Heat:
    """What the heat lost through the floor, and its cost, need besides the floor itself.

    `pattern` names when the building is heated; `energy_price_per_kwh` is
    money for what is paid for, `efficiency` heat over that.  None takes the
    guide's stand-in.
    """

    wall_thickness_m: float
    ground_conductivity_w_per_mk: float
    pattern: str = "evenings and weekends"
    degree_days: float | None = None
    energy_price_per_kwh: float | None = None
    efficiency: float | None = None


@dataclass(frozen=True)
class Given:
    """What the reader knows of the place and the use; None takes a stand-in.

    Snow on the ground, wind, presumed bearing and undrained strength in kPa;
    friction angle in degrees; the heaviest wheel or foot in kN on a square
    `foot_m` a side.
    """

    ground_snow_kpa: float | None = None
    wind_pressure_kpa: float | None = None
    presumed_bearing_kpa: float | None = None
    friction_deg: float | None = None
    undrained_strength_kpa: float | None = None
    foot_kn: float | None = None
    foot_m: float | None = None


@dataclass(frozen=True)
class Drainage:
    """What the reader says of the rainwater drains; None takes a stand-in, or is not known.

    The pipe carries all rain off the roof, whose eaves stand `overhang_m` out,
    and off `paving_m2`, m2.  `soakaway_m3` is the pit below the pipe, of which
    water can fill the share `soakaway_voids`; `soakaway_distance_m` its
    distance from the building; `soaks_m_per_s` the rate of a test.  `pit_m` is
    the pit's length, width and effective depth, m.  `under_slab_cover_m` is
    from the underside of the slab to the top of a pipe that passes under it;
    `tie_spacing_m` and `tie_kn` say how it is held down where concrete
    surrounds it.
    """

    pipe_m: float | None = None
    gradient: float | None = None
    paving_m2: float = 0.0
    overhang_m: float | None = None
    roughness_m: float | None = None
    soakaway_m3: float | None = None
    soakaway_voids: float | None = None
    soakaway_distance_m: float | None = None
    soaks_m_per_s: float | None = None
    pit_m: tuple[float, float, float] | None = None
    under_slab_cover_m: float | None = None
    pipe_outside_m: float | None = None
    pipe_kg_per_m: float | None = None
    tie_spacing_m: float | None = None
    tie_kn: float | None = None


@dataclass(frozen=True)
class EdgeDetails:
    """What a reader has settled or measured at the edge; None where nobody has said.

    Lengths in m: laps of membrane sheets, of the damp-proof course and of a
    patch past a tear on every side; how far the cladding's outer face stands
    past the face below and how far it hangs below the damp-proof course;
    thickness of insulation outside the edge; how far the top of paving lies
    below the damp-proof course.  `paving_fall` is a gradient away from the wall.
    """

    membrane_lap_m: float | None = None
    dpc_lap_m: float | None = None
    patch_lap_m: float | None = None
    cladding_past_face_m: float | None = None
    cladding_below_dpc_m: float | None = None
    outside_insulation_m: float | None = None
    paving_below_dpc_m: float | None = None
    paving_fall: float | None = None


@dataclass(frozen=True)
class OwnFuture:
    """A later wish of the reader's: its name, what it would cost under each scheme by id (0 where none is given), money, and how likely it is, 0 to 1."""

    name: str
    costs: dict[str, float]
    likelihood: float | None = None


@dataclass(frozen=True)
class OwnCarbon:
    """A reader's own emission factors, by key in the unit of the one they replace, and distances by lorry, km."""

    factors: dict[str, float] = field(default_factory=dict)
    distances_km: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class PlaceForSurplus:
    """Somewhere that concrete left over can go: what it is, its room, m3, and what it is worth there, money per m3; None for what gravel of that volume would cost."""

    name: str
    room_m3: float
    worth_per_m3: float | None = None


@dataclass(frozen=True)
class PourDayGiven:
    """What a reader says of the day of a pour; None is worked out or takes a stand-in.

    `people` are all who work, the owner included.  `way` is how concrete goes
    from lorry to slab; a barrow run is `run_m` long and rises or falls by
    `run_slope`.  Hours of the clock and of travel in h; temperatures in
    degrees Celsius, `humidity` 0 to 1, wind in m/s: left out, they are what
    the month of the pour usually brings.  `places` None has nobody said, empty there are none.
    `cold_joint_cost` is money.
    """

    people: int | None = None
    barrows: int | None = None
    first_time: bool = True
    way: str | None = None
    run_m: float | None = None
    run_slope: float = 0.0
    first_lorry_h: float = 8.0
    travel_h: float = 0.5
    lorries_apart_h: float | None = None
    allowance_h: float | None = None
    air_c: float | None = None
    humidity: float | None = None
    wind_m_per_s: float | None = None
    concrete_c: float | None = None
    latitude_deg: float | None = None
    surface: str | None = None
    cement: str = "normal"
    places: tuple[PlaceForSurplus, ...] | None = None
    cold_joint_cost: float | None = None


@dataclass(frozen=True)
class ProgrammeGiven:
    """When the owner begins and when he works.

    `start` None is the first Saturday of the April after the date of the
    prices.  `hours_a_day` in h; `holidays` are days on which nothing is done;
    `months_off` are 1 to 12; `waits` are days by the keys of `programme.WAITS`.
    """

    start: date | None = None
    days: str = "weekends"
    hours_a_day: float = 7.0
    holidays: tuple[date, ...] = ()
    months_off: tuple[int, ...] = ()
    waits: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class FloorSurvey:
    """How the floor came out: its levels after the pour as x, y, z, m, empty before it; and what is to lie on it.

    `against_level` holds it against a level plane instead of its best one.
    `humidity` is 0 to 1, `age_days` and `strength_mpa` of the slab, None where nobody has measured.
    """

    levels_m: tuple[tuple[float, float, float], ...] = ()
    finish: str = "bare"
    compound: str = "thin"
    against_level: bool = False
    humidity: float | None = None
    age_days: float | None = None
    strength_mpa: float | None = None


@dataclass(frozen=True)
class Scenario:
    """One plot, one building, the schemes to compare and the prices to use.

    `schemes` holds the choices of each scheme to compare, by scheme id, in
    the guide's own order.  `weights` are the reader's for other yardsticks than
    money, by their keys.  `hour_worth` is money per own hour; None means half
    the schedule's labourer rate.  `schedule` already has the reader's quotes in it.
    """

    title: str
    slug: str
    units: str
    currency: str
    region: str
    hour_worth: float | None
    plot: Plot
    building: Building
    schemes: dict[str, RaftChoices | StripChoices | InsulatedChoices]
    heat: Heat
    schedule: Schedule = field(repr=False)
    given: Given = Given()
    drainage: Drainage = Drainage()
    edge: EdgeDetails = EdgeDetails()
    own_carbon: OwnCarbon = field(default_factory=OwnCarbon)
    weights: dict[str, float] = field(default_factory=dict)
    own_futures: tuple[OwnFuture, ...] = ()
    pour: PourDayGiven = PourDayGiven()
    programme: ProgrammeGiven = field(default_factory=ProgrammeGiven)
    floor: FloorSurvey = FloorSurvey()
