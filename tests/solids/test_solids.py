"""The works of all schemes against solids built the other way round.

`calculators` adds up prisms.  Here the same things are cut out of blocks, by
the definitions in words, with manifold3d (boolean solids): boxes trimmed by the
ground, mitred offsets, a hull for the haunch, what is left when one is taken
from another.  Only what is a choice is taken from the works: floor level,
sizes, and where the benches lie (their depth is tested elsewhere).
"""

import math

import pytest

manifold3d = pytest.importorskip("manifold3d", reason="manifold3d is missing: pip install manifold3d numpy")
np = pytest.importorskip("numpy", reason="numpy is missing: pip install numpy")

from calculators import works as w
from calculators.benches import Ring
from calculators.schemes import SCHEME_BY_ID, thickened_raft, wall_on_footing
from calculators.site import site_of

from manifold3d import CrossSection, Manifold

FAR, DEEP = 60.0, 30.0  # beyond everything, m
BLINDING, BED, UPSTAND_BLOCK = 0.05, 0.15, 0.14
SIDES = ("south", "east", "north", "west")
NONE = Manifold()


# Building blocks


def box(x0, y0, x1, y1, bottom, top):
    if x1 - x0 < 1e-9 or y1 - y0 < 1e-9 or top - bottom < 1e-9:
        return NONE
    return Manifold.cube((x1 - x0, y1 - y0, top - bottom)).translate((x0, y0, bottom))


def column(section, bottom=-DEEP, top=DEEP):
    return Manifold.extrude(section, top - bottom).translate((0, 0, bottom))


def polygon(*points):
    section = CrossSection([np.array(points)])
    return section if section.area() > 0 else CrossSection([np.array(points[::-1])])


def under_plane(east, north, level):
    """Everything under z = east x + north y + level."""
    # trim_by_plane keeps what lies on the side its normal points to.
    up = np.array([-east, -north, 1.0])
    size = np.linalg.norm(up)
    return box(-FAR, -FAR, FAR, FAR, -DEEP, DEEP).trim_by_plane(tuple(-up / size), -level / size)


def together(parts):
    parts = [part for part in parts if not part.is_empty()]
    return Manifold.batch_boolean(parts, manifold3d.OpType.Add) if parts else NONE


class Earth:
    """The ground as a solid, from the words of a scenario: a plane, or four triangles about the mean centre."""

    def __init__(self, plot):
        if not plot.levels_m:
            bearing = math.radians(plot.falls_to_deg)
            self.planes = [(None, (-plot.gradient * math.sin(bearing), -plot.gradient * math.cos(bearing), 0.0))]
        else:
            corners = np.array(plot.levels_m)
            centre = corners.mean(axis=0)
            self.planes = []
            for a, b in zip(corners, np.roll(corners, -1, axis=0)):
                three = np.array([centre, a, b])
                plane = np.linalg.solve(np.c_[three[:, :2], np.ones(3)], three[:, 2])
                rays = [centre[:2] + 15.0 * (point[:2] - centre[:2]) for point in (a, b)]
                self.planes.append((polygon(centre[:2], *rays), tuple(plane)))
        self.raise_by = 0.0
        self.raise_by = -max(self.z(x, y) for x, y in plot.corners_m)

    def z(self, x, y):
        """Level at a point: of the wedge it lies in."""
        for section, (east, north, level) in self.planes:
            if section is None or (section ^ CrossSection.square((2e-6, 2e-6), True).translate((x, y))).area() > 0:
                return east * x + north * y + level + self.raise_by
        raise AssertionError("outside the ground")

    def under(self, lower_by=0.0):
        """All the ground, or all that is left when so much is taken off its top."""
        parts = []
        for section, (east, north, level) in self.planes:
            part = under_plane(east, north, level + self.raise_by - lower_by)
            parts.append(part if section is None else part ^ column(section))
        return together(parts)


class Outline:
    """A rectangle from (0, 0) and its offsets."""

    def __init__(self, corners):
        (_, _), (self.east, _), (_, self.north), _ = corners

    def inset(self, d):
        if d < 0:
            return CrossSection.square((self.east, self.north)).offset(-d, manifold3d.JoinType.Miter, 2.0)
        return polygon((d, d), (self.east - d, d), (self.east - d, self.north - d), (d, self.north - d))

    def ring(self, outer, inner):
        return self.inset(outer) - self.inset(inner)

    def side_wedge(self, side, reach_in):
        """What belongs to a side, up to the mitres, from far outside to so far inside."""
        e, n, r, f = self.east, self.north, reach_in, 20.0
        return polygon(*{
            "south": ((-f, -f), (e + f, -f), (e - r, r), (r, r)),
            "east": ((e + f, -f), (e + f, n + f), (e - r, n - r), (e - r, r)),
            "north": ((e + f, n + f), (-f, n + f), (r, n - r), (e - r, n - r)),
            "west": ((-f, n + f), (-f, -f), (r, r), (r, n - r)),
        }[side])

    def strip(self, side, a, b):
        """Between two distances along a side, walked anticlockwise, square to it."""
        a, b = max(a, -25.0), min(b, 45.0)
        e, n, f = self.east, self.north, 25.0
        return polygon(*{
            "south": ((a, -f), (b, -f), (b, n + f), (a, n + f)),
            "east": ((-f, a), (e + f, a), (e + f, b), (-f, b)),
            "north": ((e - b, -f), (e - a, -f), (e - a, n + f), (e - b, n + f)),
            "west": ((-f, n - b), (e + f, n - b), (e + f, n - a), (-f, n - a)),
        }[side])

    def stretch(self, centre, from_m, to_m):
        """What belongs to a stretch of the ring whose centre line is so far inside, by chainage from the first corner."""
        sides = [("south", self.east), ("east", self.north), ("north", self.east), ("west", self.north)]
        total = 2 * (self.east + self.north) - 8 * centre
        # Bands of any width meet along the mitres, so the far side of a mitre is never reached.
        reach_in = min(self.east, self.north) / 2 - 1e-6
        parts, start = [], 0.0
        for lap in (-total, 0.0, total):
            start = lap
            for name, length in sides:
                a, b = max(from_m, start), min(to_m, start + length - 2 * centre)
                if b > a + 1e-9:
                    low = -math.inf if a <= start + 1e-9 else centre + a - start
                    high = math.inf if b >= start + length - 2 * centre - 1e-9 else centre + b - start
                    parts.append(self.side_wedge(name, reach_in) ^ self.strip(name, low, high))
                start += length - 2 * centre
        return CrossSection.batch_boolean(parts, manifold3d.OpType.Add)


def from_pieces(solids, *parts):
    """The works' own prisms, each a hull of its corners, put together."""
    blocks = []
    for solid in solids:
        if solid.part in parts:
            for piece in solid.pieces:
                blocks.append(Manifold.hull_points(np.array(
                    [(x, y, plane.z((x, y))) for plane in (piece.bottom, piece.top) for x, y in piece.polygon])))
    return together(blocks)


def same(works, parts, expected, name):
    """Volume to 1e-6, no prism over another, and in the same place."""
    parts = parts if isinstance(parts, tuple) else (parts,)
    volume = works.volume_m3(*parts)
    assert volume == pytest.approx(expected.volume(), rel=1e-6, abs=1e-6), name
    placed = from_pieces(works.solids, *parts)
    assert placed.volume() == pytest.approx(volume, rel=1e-6, abs=1e-6), f"{name}: prisms over one another"
    apart = (placed - expected).volume() + (expected - placed).volume()
    # Or reckoned by what they share, should cutting one from the other along common faces go wrong.
    apart = min(apart, abs(placed.volume() + expected.volume() - 2 * (placed ^ expected).volume()))
    assert apart < 1e-5, f"{name}: not in the same place"


def no_overlap(named):
    items = [(name, solid) for name, solid in named.items() if not solid.is_empty()]
    for i, (name, solid) in enumerate(items):
        for other_name, other in items[i + 1:]:
            assert common_m3(solid, other) < 1e-6, f"{name} and {other_name} are in the same place"


def common_m3(solid, other):
    """Volume that two solids share.

    Solids that touch over whole faces can now and then cost the boolean
    operation its exactness; then the same is asked with one lifted by a micron or so.
    """
    shared = (solid ^ other).volume()
    if shared > 1e-6:
        lifted = (solid ^ other.translate((0.9e-6, -0.7e-6, 1.3e-6))).volume()
        # What lifting alone can make them share.
        shared = min(shared, max(0.0, lifted - 2e-6 * min(solid.surface_area(), other.surface_area())))
    return shared


def left_m3(solid, others):
    """What is left of a solid when others, none over another, are taken out: cut away, or else reckoned by what is shared."""
    left = solid
    for other in others:
        left -= other
    return min(left.volume(), solid.volume() - sum(min((solid ^ other).volume(), other.volume()) for other in others))


# The raft


def raft_solids(scenario, works, benches):
    """Everything of the raft by the definitions; sizes from the works, benches as (from, to, underside), m."""
    outline, earth, top = Outline(scenario.plot.corners_m), Earth(scenario.plot), works.floor_level_m
    slab, b, depth = (works.sizes[key] for key in ("slab_thickness_m", "edge_width_m", "edge_depth_m"))
    standard = 0.30 if scenario.plot.soil in ("rock", "gravel", "dense sand", "medium sand", "loose sand") else 0.45
    haunch = min(depth, scenario.schemes["thickened-raft"].edge_depth_m or standard)
    stripped = earth.under(scenario.plot.topsoil_m)
    footprint = outline.inset(0.0)
    stretches = [(outline.stretch(b / 2, from_m, to_m), underside) for from_m, to_m, underside in benches]

    # The concrete is a block with the ground's side of it carved out: 45 degrees from the haunch's toe to the slab.
    grown = b + haunch - slab
    if haunch - slab > 1e-9:
        below, above = outline.inset(b), outline.inset(grown)
        void = Manifold.hull_points(np.array(
            [(*p, top - haunch) for p in below.to_polygons()[0]] + [(*p, top - slab) for p in above.to_polygons()[0]]))
    else:
        void = NONE
    void += column(outline.inset(b), -DEEP, top - haunch)
    concrete = column(footprint, top - haunch, top) - void
    edge = [column(outline.ring(0, b) ^ where, underside, top) for where, underside in stretches]
    concrete = together([concrete, *edge]) - void

    def under_concrete(by):
        """What is left under the footprint when the concrete sinks by so much."""
        return column(footprint, -DEEP, top - by) - concrete.translate((0, 0, -by))

    blinding = under_concrete(0.0) - under_concrete(BLINDING)
    sub_base = under_concrete(BLINDING) - (under_concrete(BLINDING + BED) ^ stripped)
    inside_dig = (stripped ^ column(footprint)) - under_concrete(BLINDING + BED)
    margin = outline.ring(-0.5, 0.0)
    margin_dig = together([column(margin ^ where, underside - BLINDING - BED, DEEP) ^ stripped for where, underside in stretches])
    cut_back = together([cut_back_of(outline, earth, side, stretches, scenario.plot.topsoil_m) ^ stripped for side in SIDES])

    z_s, run = top - depth, 1.5
    batter, shoulder = NONE, 0.0
    if works.variant == "batter":
        low = min(earth.z(x, y) for x, y in scenario.plot.corners_m) - scenario.plot.topsoil_m
        if z_s > low + 1e-9:
            shoulder = max(0.5, z_s - low)
            # Stone stands under the lowest of the planes that fall from the shoulder of each side.
            stone = column(outline.inset(-10.0 if scenario.plot.levels_m else -40.0), -DEEP, z_s)
            e, n = outline.east, outline.north
            for east, north, offset in ((0, -1, 0.0), (1, 0, e), (0, 1, n), (-1, 0, 0.0)):
                stone ^= under_plane(-east / run, -north / run, z_s + (shoulder + offset) / run)
            batter = stone - column(footprint) - stripped
    topsoil_plan = outline.inset(-0.5) + (batter.project() if not batter.is_empty() else CrossSection())
    up = works.sizes["upstand_m"]
    return dict(
        concrete=concrete, blinding=blinding, sub_base=sub_base, reduce_dig=together([inside_dig, margin_dig, cut_back]),
        refill=together([margin_dig, cut_back]), batter=batter, topsoil_m3=topsoil_plan.area() * scenario.plot.topsoil_m,
        upstand=column(outline.ring(0, UPSTAND_BLOCK), top, top + up) if up > 0 else NONE, stripped=stripped, shoulder=shoulder,
        topsoil_place=(earth.under() - stripped) ^ column(topsoil_plan),
    )


def cut_back_of(outline, earth, side, stretches, topsoil):
    """1 to 1 from formation at the edge of the margin of one side, where its face there is over 600 mm."""
    e, n, m = outline.east, outline.north, 0.5
    line = {
        "south": lambda t: (-m + t * (e + 2 * m), -m), "east": lambda t: (e + m, -m + t * (n + 2 * m)),
        "north": lambda t: (-m + t * (e + 2 * m), n + m), "west": lambda t: (-m, -m + t * (n + 2 * m)),
    }[side]
    wedge = outline.side_wedge(side, 0.0)
    faces, parts = [], []
    for where, underside in stretches:
        formation = underside - BLINDING - BED
        mine = where ^ wedge
        if mine.area() < 1e-9:
            continue
        for t in np.linspace(0, 1, 801):
            x, y = line(t)
            if (mine ^ CrossSection.square((1e-3, 1e-3), True).translate((x, y))).area() > 0:
                faces.append(earth.z(x, y) - topsoil - formation)
        # Level with formation at the edge of the margin, rising as fast as it goes out.
        east, north, at_edge = {"south": (0, -1, -m), "east": (1, 0, -(e + m)), "north": (0, 1, -(n + m)), "west": (-1, 0, -m)}[side]
        parts.append(column(mine - outline.inset(-m)) - under_plane(east, north, formation + at_edge))
    return together(parts) if faces and max(faces) > 0.6 + 1e-6 else NONE


# The wall on a footing


def wall_solids(scenario, works, benches):
    """Everything of a wall on a footing by the definitions; sizes from the works, benches as (from, to, underside), m."""
    outline, earth, top = Outline(scenario.plot.corners_m), Earth(scenario.plot), works.floor_level_m
    size = works.sizes
    wall, width, thick = size["block_thickness_m"], size["footing_width_m"], size["footing_thickness_m"]
    slab, insulation = size["slab_thickness_m"], size["insulation_thickness_m"]
    board = 0.05 if works.scheme == "insulated-slab" else 0.0
    outer, inner = (wall - width) / 2, (wall + width) / 2
    dpc = works.sole_plate_m
    formation = top - slab - insulation - BLINDING - BED
    stripped = earth.under(scenario.plot.topsoil_m)
    floor, room = outline.inset(wall + board), outline.inset(wall)
    ring = outline.ring(outer, inner)
    overlap = max(0.45, thick, 0.3)

    footing = together([column(ring ^ outline.stretch(wall / 2, a, b), low, low + thick) for a, b, low in benches])
    if len(benches) > 1:
        for (_, at, one), (_, _, other) in zip(benches, benches[1:] + benches[:1]):
            a, b = (at, at + overlap) if other < one else (at - overlap, at)
            footing += column(ring ^ outline.stretch(wall / 2, a, b), min(one, other) + thick, max(one, other) + thick)
    under_room = stripped - column(CrossSection.square((2 * FAR, 2 * FAR), True), formation, DEEP)
    trench_outside = together([column(outline.ring(outer, wall) ^ outline.stretch(wall / 2, a, b), low, DEEP) for a, b, low in benches]) ^ stripped
    trench_inside = together([column(outline.ring(wall, inner) ^ outline.stretch(wall / 2, a, b), low, DEEP) for a, b, low in benches]) ^ under_room
    blocks = together([column(outline.ring(0, wall) ^ outline.stretch(wall / 2, a, b), low + thick, dpc) for a, b, low in benches]) - footing
    # Above the footing only: what was dug beside its concrete is the footing's own place.
    refill_outside = (trench_outside ^ column(outline.ring(outer, 0.0))) - footing
    filled_inside = trench_inside - footing
    sub_base = column(room, -DEEP, formation + BED) - under_room - footing
    margin = max(0.3 if works.scheme == "strip-and-block" else 0.5, -outer)
    return dict(
        footing=footing, blocks=blocks, trench_dig=together([trench_outside, trench_inside]), reduce_dig=column(room, formation, DEEP) ^ stripped,
        refill=refill_outside, trench_stone=filled_inside, sub_base=sub_base,
        blinding=column(floor, formation + BED, formation + BED + BLINDING),
        insulation=column(floor, top - slab - insulation, top - slab) if insulation else NONE,
        slab=column(floor, top - slab, top),
        edge_board=column(outline.ring(wall, wall + board), formation + BED, top) if board else NONE,
        stripped=stripped, topsoil_m3=outline.inset(-margin).area() * scenario.plot.topsoil_m,
        topsoil_place=(earth.under() - stripped) ^ column(outline.inset(-margin)),
    )


# What is tested

CASES = {
    "as it comes": dict(),
    "on clay with deep frost": dict(plot=dict(soil="firm clay", shrinkage="medium", frost_depth_m=0.9)),
    "under deep topsoil": dict(plot=dict(topsoil_m=0.55)),
    "floor set low": dict(raft=dict(floor_level_m=-0.35), strip=dict(floor_level_m=-0.5), insulated=dict(floor_level_m=-0.4)),
    "sizes of one's own": dict(
        size_m=(3.7, 8.3), raft=dict(edge_depth_m=0.6, edge_width_m=0.5, slab_thickness_m=0.15),
        strip=dict(footing_width_m=0.7, footing_thickness_m=0.35, block_thickness_m=0.215), insulated=dict(insulation_thickness_m=0.2, footing_thickness_m=0.5)),
}


def laid_out(scenario, scheme_id):
    """Every way of building a scheme: (works, benches); the benches are overheard as they are laid."""
    site = site_of(scenario)
    scheme = SCHEME_BY_ID[scheme_id]
    kept, found = [], []
    module = thickened_raft if scheme_id == "thickened-raft" else wall_on_footing
    original = module.lay_benches
    try:
        module.lay_benches = lambda *args, **named: kept.append(original(*args, **named)) or kept[-1]
        layouts = scheme.lay_outs(site, scheme.lowest_level(site))
    finally:
        module.lay_benches = original
    for works in layouts:
        if works.variant == "batter":
            edge = works.sizes["edge_width_m"]
            total = Ring(site.plan, edge / 2, edge).length_m
            benches = [(0.0, total, works.floor_level_m - works.sizes["edge_depth_m"])]
        else:
            benches = [(bench.from_m, bench.to_m, bench.underside_m) for bench in kept[-1]]
        found.append((works, benches))
    return found


@pytest.fixture(params=CASES, scope="module")
def scenario(request, ground, make_scenario):
    return make_scenario(**(ground | CASES[request.param]))


def test_raft(scenario):
    for works, benches in laid_out(scenario, "thickened-raft"):
        made = raft_solids(scenario, works, benches)
        same(works, w.SLAB, made["concrete"], "concrete")
        same(works, w.BLINDING, made["blinding"], "blinding")
        same(works, w.SUB_BASE, made["sub_base"], "sub-base")
        same(works, w.REDUCE_DIG, made["reduce_dig"], "reduce dig")
        same(works, w.BATTER, made["batter"], "batter")
        same(works, w.BLOCKWORK, made["upstand"], "upstand")
        assert works.volume_m3(w.TOPSOIL_STRIP) == pytest.approx(made["topsoil_m3"], rel=1e-6)
        refill = works.volume_m3(w.BACKFILL, w.DRAIN_STONE) - works.volume_m3(w.DRAIN_DIG)
        assert refill == pytest.approx(made["refill"].volume(), rel=1e-6, abs=1e-6)
        put_in = {key: made[key] for key in ("concrete", "blinding", "sub_base", "batter", "upstand", "refill")}
        holes_and_fillings(put_in, {"reduce dig": made["reduce_dig"], "topsoil": made["topsoil_place"]}, made["stripped"], works.floor_level_m)


@pytest.mark.parametrize("scheme_id", ("strip-and-block", "insulated-slab"))
def test_wall_on_footing(scenario, scheme_id):
    ((works, benches),) = laid_out(scenario, scheme_id)
    made = wall_solids(scenario, works, benches)
    for part, key in ((w.FOOTING, "footing"), (w.BLOCKWORK, "blocks"), (w.TRENCH_DIG, "trench_dig"), (w.REDUCE_DIG, "reduce_dig"),
                      (w.TRENCH_STONE, "trench_stone"), (w.SUB_BASE, "sub_base"), (w.BLINDING, "blinding"), (w.INSULATION, "insulation"),
                      (w.SLAB, "slab"), (w.EDGE_BOARD, "edge_board")):
        same(works, part, made[key], part)
    assert works.volume_m3(w.TOPSOIL_STRIP) == pytest.approx(made["topsoil_m3"], rel=1e-6)
    refill = works.volume_m3(w.BACKFILL, w.DRAIN_STONE) - works.volume_m3(w.DRAIN_DIG)
    assert refill == pytest.approx(made["refill"].volume(), rel=1e-6, abs=1e-6)
    put_in = {key: made[key] for key in ("footing", "blocks", "trench_stone", "sub_base", "blinding", "insulation", "slab", "edge_board", "refill")}
    digs = {"reduce dig": made["reduce_dig"], "trench dig": made["trench_dig"], "topsoil": made["topsoil_place"]}
    holes_and_fillings(put_in, digs, made["stripped"], works.floor_level_m)


def holes_and_fillings(put_in, digs, stripped, floor_level):
    """Nothing in the same place twice; nothing put where nothing was dug; no hole left under the floor."""
    no_overlap(put_in)
    subsoil = {name: dig for name, dig in digs.items() if name != "topsoil"}
    no_overlap(subsoil)
    for name, dig in subsoil.items():
        assert (dig - stripped).volume() < 1e-6, f"{name} is dug out of the topsoil"
    assert (digs["topsoil"] ^ stripped).volume() < 1e-6, "topsoil is stripped below its depth"
    for name, solid in put_in.items():
        assert left_m3(solid ^ stripped, subsoil.values()) < 1e-5, f"{name} lies in ground that was not dug"
    below_floor = box(-FAR, -FAR, FAR, FAR, -DEEP, floor_level)
    for name, dig in subsoil.items():
        assert left_m3(dig ^ below_floor, put_in.values()) < 1e-5, f"a hole is left in the {name} under the level of the floor"
