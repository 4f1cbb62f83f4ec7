"""Earth, stone and concrete of every scheme, cut out of blocks by the definitions in words.

`calculators` adds up prisms over mitred bands.  Here the same things are made
the other way round: offsets are shapely's mitred buffers, solids are
manifold3d's, and what is left is found by taking one from another.  Only what
is a choice is taken from the works: floor level, sizes, and where the benches
lie (their depth is tested elsewhere).
"""

import math

import pytest

manifold3d = pytest.importorskip("manifold3d", reason="manifold3d is missing: pip install manifold3d numpy")
np = pytest.importorskip("numpy", reason="numpy is missing: pip install numpy")
shapely = pytest.importorskip("shapely", reason="shapely is missing: pip install shapely")

from calculators import works as w
from calculators.benches import Ring
from calculators.schemes import SCHEME_BY_ID, thickened_raft, wall_on_footing
from calculators.site import site_of

from manifold3d import Manifold

FAR, DEEP = 60.0, 30.0  # beyond everything, m
BESIDE = 15.0  # beyond everything that is dug or put beside a building, m
THIN = 1e-6  # as good as a line, m
BLINDING, BED, UPSTAND_BLOCK = 0.05, 0.15, 0.14
BATTER_RUN = 1.5
RAFT_MARGIN = 0.5
NEAR = 0.501  # the most that is dug plumb beside a building, and a little, m
DRAIN_WIDTH, DRAIN_DEPTH, OUTFALL_RUN = 0.3, 0.3, 5.0
NONE = Manifold()


# Building blocks


def box(x0, y0, x1, y1, bottom, top):
    if x1 - x0 < 1e-9 or y1 - y0 < 1e-9 or top - bottom < 1e-9:
        return NONE
    return Manifold.cube((x1 - x0, y1 - y0, top - bottom)).translate((x0, y0, bottom))


def below(level):
    return box(-FAR, -FAR, FAR, FAR, -DEEP, level)


def column(area, bottom=-DEEP, top=DEEP):
    """What stands over an area (shapely) between two levels, its corners where they are to the last digit."""
    if top - bottom < 1e-9:
        return NONE
    return together([prism(polygon, bottom, top) for polygon in polygons_of(area)])


def prism(polygon, bottom, top):
    rings = [np.array(ring.coords)[:-1] for ring in (polygon.exterior, *polygon.interiors)]
    rings = [ring if shapely.LinearRing(ring).is_ccw == (i == 0) else ring[::-1] for i, ring in enumerate(rings)]
    points, faces, first = np.concatenate(rings), [manifold3d.triangulate(rings)], 0
    count = len(points)
    faces.append(faces[0][:, ::-1] + count)
    for ring in rings:
        here = first + np.arange(len(ring))
        there = np.roll(here, -1)
        faces += [np.c_[here + count, there, here], np.c_[here + count, there + count, there]]
        first += len(ring)
    corners = np.concatenate([np.c_[points, np.full(count, top)], np.c_[points, np.full(count, bottom)]])
    return solid_of(corners, np.concatenate(faces))


def solid_of(corners, faces):
    """A solid by its corners and its triangles, each anticlockwise seen from outside."""
    solid = Manifold(manifold3d.Mesh64(corners, faces.astype(np.uint64)))
    assert solid.status() == manifold3d.Error.NoError and solid.volume() > 0
    return solid


def polygons_of(area):
    """The polygons of an area, without the hair's breadths that joining and cutting leave along slanting edges."""
    area = shapely.simplify(area, 1e-9)
    return [polygon for polygon in getattr(area, "geoms", [area]) if polygon.geom_type == "Polygon" and polygon.area > 1e-12]


def under_plane(east, north, level):
    """Everything under z = east x + north y + level."""
    # trim_by_plane keeps what lies on the side its normal points to.
    up = np.array([-east, -north, 1.0])
    size = np.linalg.norm(up)
    return box(-FAR, -FAR, FAR, FAR, -DEEP, DEEP).trim_by_plane(tuple(-up / size), -level / size)


def together(parts):
    parts = [part for part in parts if not part.is_empty()]
    return Manifold.batch_boolean(parts, manifold3d.OpType.Add) if parts else NONE


def parted(solid, other):
    """What two solids share, and what the first has besides.

    Solids that touch over whole faces now and then cost the boolean operation
    its exactness: the two do not add up.  Then it is asked again with one of
    them moved by a hair.
    """
    tries = []
    for hair in (0.0, 1e-8, -3e-8, 1e-7):
        shared, rest = solid.split(other.translate((1.1 * hair, -0.7 * hair, 1.3 * hair)))
        off = abs(shared.volume() + rest.volume() - solid.volume())
        if off < 1e-9 * max(1.0, solid.volume()):
            return shared, rest
        tries.append((off, len(tries), shared, rest))
    off, _, shared, rest = min(tries, key=lambda found: found[:2])
    assert off < 1e-5, "no answer from the boolean solids"
    return shared, rest


def both(solid, other):
    return parted(solid, other)[0]


def less(solid, *others):
    for other in others:
        solid = parted(solid, other)[1]
    return solid


def highest(solid):
    return solid.bounding_box()[5]


# The building seen from above


def mitred(area, inward):
    """An area moved inward (outward when negative), every corner kept sharp."""
    return area.buffer(-inward, join_style="mitre", mitre_limit=20.0) if inward else area


class Outline:
    """A building from above, and the convex parts, overlapping as they may, that it is made of: an L is two rectangles.

    Outward distance from a convex part is the largest of those from its edges.
    From the whole it is the distance from the nearest part, so that in an
    inward corner stone stands wherever that of one wing or the other does.
    Moved outward or inward, the whole is what its parts are together.
    """

    def __init__(self, corners, parts=None):
        self.corners = np.array(corners, dtype=float)
        self.shape = shapely.Polygon(corners)
        self.parts = [shapely.Polygon(part) for part in parts or [corners]]
        assert shapely.union_all(self.parts).symmetric_difference(self.shape).area < 1e-9
        along = np.roll(self.corners, -1, axis=0) - self.corners
        self.length = np.linalg.norm(along, axis=1)
        self.direction = along / self.length[:, None]
        self.inward = np.c_[-self.direction[:, 1], self.direction[:, 0]]
        self.count = len(self.corners)

    def inset(self, inward):
        return mitred(self.shape, inward)

    def ring(self, outer, inner):
        return self.inset(outer) - self.inset(inner)

    def corner(self, i, inward):
        """A corner moved along the line that halves it, until it is so far inside both sides."""
        before, after = self.inward[i - 1], self.inward[i % self.count]
        return self.corners[i % self.count] + inward * (before + after) / (1.0 + before @ after)

    def beside(self, i, outward=NEAR, inward=0.0):
        """What belongs to a side, up to the lines that halve its corners, from so far outside to so far inside."""
        growth = (np.linalg.norm(self.corner(i + 1, -1e-3) - self.corner(i, -1e-3)) - self.length[i]) / 1e-3
        # Between two corners that point inward it narrows, until nothing is left.
        outward = min(outward, -self.length[i] / growth) if growth < -1e-6 else outward
        return shapely.Polygon([self.corner(i, -outward), self.corner(i + 1, -outward), self.corner(i + 1, inward), self.corner(i, inward)]).buffer(0)

    def across(self, i, from_m, to_m):
        """Between two distances along a side, square to it."""
        a, b = max(from_m, -20.0), min(to_m, self.length[i] + 20.0)
        start, along, inward = self.corners[i], self.direction[i], 20.0 * self.inward[i]
        return shapely.Polygon([start + a * along - inward, start + b * along - inward, start + b * along + inward, start + a * along + inward])

    def stretch(self, centre, from_m, to_m, inward, outward=NEAR, only=None):
        """What belongs to a stretch of the ring whose centre line is so far inside, by chainage from the first corner; of one side or all."""
        line = [self.corner(i, centre) for i in range(self.count + 1)]
        lengths = [np.linalg.norm(b - a) for a, b in zip(line, line[1:])]
        total, parts = sum(lengths), []
        for lap in (-total, 0.0, total):
            start = lap
            for i, length in enumerate(lengths):
                a, b = max(from_m, start), min(to_m, start + length)
                if b > a + 1e-9 and only in (None, i):
                    offset = (line[i] - self.corners[i]) @ self.direction[i] - start
                    low = -math.inf if a <= start + 1e-9 else a + offset
                    high = math.inf if b >= start + length - 1e-9 else b + offset
                    parts.append(self.beside(i, outward, inward) & self.across(i, low, high))
                start += length
        return shapely.union_all(parts)

    def outward(self, point):
        """Outward distance of a point: from the nearest part, of each the largest from its edges."""
        distances = []
        for part in self.parts:
            corners = np.array(part.exterior.coords)[:-1] if part.exterior.is_ccw else np.array(part.exterior.coords)[:0:-1]
            along = np.roll(corners, -1, axis=0) - corners
            out = np.c_[along[:, 1], -along[:, 0]] / np.linalg.norm(along, axis=1)[:, None]
            distances.append(max(((point - corners) * out).sum(axis=1)))
        return min(distances)

    def made_of_parts(self, outward):
        """Whether the whole moved outward is its parts moved outward: no part's hidden corner sticks out yet."""
        return shapely.union_all([mitred(part, -outward) for part in self.parts]).symmetric_difference(self.inset(-outward)).area < 1e-6

    def spreading(self, level, shoulder, run):
        """Everything under a level as far as the shoulder, and under 1 in `run` beyond it."""
        found = []
        for part in self.parts:
            solid = column(mitred(part, -BESIDE), -DEEP, level)
            corners = np.array(shapely.geometry.polygon.orient(part).exterior.coords)
            for start, end in zip(corners, corners[1:]):
                along = (end - start) / np.linalg.norm(end - start)
                out = np.array([along[1], -along[0]])
                solid ^= under_plane(*(-out / run), level + (shoulder + out @ start) / run)
            found.append(solid)
        return together(found)


# The ground


class Earth:
    """The ground as a solid, from the words of a scenario, its highest point under the building at level 0."""

    def __init__(self, plot, outline):
        self.outline = outline
        raw = surveyed(plot) if plot.triangles else between_corners(plot) if plot.levels_m else falling(plot)
        # Whatever the datum, near to level 0.
        raw = raw.translate((0, 0, -plot.levels_m[0][2] if plot.levels_m else 0))
        for hollow, depth in plot.hollows_m:
            raw = less(raw, less(column(shapely.Polygon(hollow)), raw.translate((0, 0, -depth))))
        self.ground = raw.translate((0, 0, -highest(raw ^ column(outline.shape))))
        self.stripped = self.ground.translate((0, 0, -plot.topsoil_m))
        self.old_slabs = shapely.union_all([shapely.Polygon(slab) for slab, _ in plot.existing_slabs_m])
        for slab, thickness in plot.existing_slabs_m:
            under = column(shapely.Polygon(slab))
            self.stripped = together([less(self.stripped, under), both(self.ground.translate((0, 0, -thickness)), under)])

    def z(self, point):
        return highest(self.ground ^ column(shapely.Point(point).buffer(THIN, cap_style="square")))

    def lowest_stripped(self, area):
        return less(column(area), self.stripped).bounding_box()[2]

    def highest_stripped(self, area):
        return highest(self.stripped ^ column(area))

    def facing(self):
        """Sides that face uphill and downhill, within 70 degrees of square to the fall of the best plane through the corners."""
        corners = self.outline.corners
        (east, north, _), *_ = np.linalg.lstsq(np.c_[corners, np.ones(len(corners))], [self.z(corner) for corner in corners])
        gradient = math.hypot(east, north)
        if gradient < 0.02:
            return [], []
        falls = (self.outline.inward @ (east, north)) / gradient  # cosine of a side's outward direction with downhill
        limit = math.cos(math.radians(70.0))
        return [i for i, cosine in enumerate(falls) if cosine < -limit - 1e-9], [i for i, cosine in enumerate(falls) if cosine > limit + 1e-9]


def falling(plot):
    """A plane that falls towards a bearing."""
    bearing = math.radians(plot.falls_to_deg)
    return under_plane(-plot.gradient * math.sin(bearing), -plot.gradient * math.cos(bearing), 0.0)


def between_corners(plot):
    """Four triangles about the mean centre of four levels, each carried on outward."""
    corners = np.array(plot.levels_m)
    centre = corners.mean(axis=0)
    far = centre + 15.0 * (corners - centre)
    return under_triangles(np.array([*far, centre]), np.array([(0, 1, 4), (1, 2, 4), (2, 3, 4), (3, 0, 4)]), np.arange(4))


def surveyed(plot):
    """Spot levels and what carries them on outward, in Delaunay's triangles by scipy.

    Four points on one circle may be divided either way: where they are, the
    plot's own triangles are taken, if none of their circles holds a point.
    """
    spatial = pytest.importorskip("scipy.spatial", reason="scipy is missing: pip install scipy")
    points = np.array(plot.levels_m + plot.beyond_m)
    triangles = spatial.Delaunay(points[:, :2]).simplices
    if {frozenset(t) for t in triangles.tolist()} != {frozenset(t) for t in plot.triangles}:
        assert len(triangles) == len(plot.triangles)
        for triangle in plot.triangles:
            a, b, c = points[list(triangle), :2]
            centre = a + np.linalg.solve(2.0 * np.array([b - a, c - a]), [(b - a) @ (b - a), (c - a) @ (c - a)])
            assert min(np.linalg.norm(points[:, :2] - centre, axis=1)) > np.linalg.norm(a - centre) - 1e-6, "not a Delaunay triangle"
        triangles = np.array(plot.triangles)
    return under_triangles(points, triangles, len(plot.levels_m) + np.arange(len(plot.beyond_m)))


def under_triangles(points, triangles, rim):
    """Everything under triangles between points (x, y, z), whose outline is `rim`, anticlockwise."""
    a, b, c = (points[triangles[:, i], :2] for i in range(3))
    turn = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    triangles = np.where(turn[:, None] > 0, triangles, triangles[:, ::-1])
    floor = np.c_[points[:, :2], np.full(len(points), points[:, 2].min() - DEEP)]
    here, there, down = rim, np.roll(rim, -1), len(points)
    faces = [triangles, triangles[:, ::-1] + down, np.c_[here, here + down, there], np.c_[there, here + down, there + down]]
    return solid_of(np.concatenate([points, floor]), np.concatenate(faces))


# The raft


def raft_solids(scenario, outline, works, benches):
    """Everything of the raft by the definitions; sizes from the works, benches as (from, to, underside), m."""
    plot, top = scenario.plot, works.floor_level_m
    earth = Earth(plot, outline)
    slab, b, depth = (works.sizes[key] for key in ("slab_thickness_m", "edge_width_m", "edge_depth_m"))
    standard = 0.30 if plot.soil in ("rock", "gravel", "dense sand", "medium sand", "loose sand") else 0.45
    haunch = min(depth, scenario.schemes["thickened-raft"].edge_depth_m or standard)
    stripped, footprint = earth.stripped, outline.shape
    stretches = [(outline.stretch(b / 2, from_m, to_m, b), underside) for from_m, to_m, underside in benches]

    # The concrete is a block with the ground's side of it carved out: 45 degrees from the haunch's toe to the slab.
    void = column(outline.inset(b), -DEEP, top - haunch)
    if haunch - slab > 1e-9:
        void = together([void, *(Manifold.hull_points(np.array(
            [(*p, top - haunch) for p in mitred(part, b).exterior.coords] + [(*p, top - slab) for p in mitred(part, b + haunch - slab).exterior.coords]))
            for part in outline.parts)])
    edge = [column(outline.ring(0, b) & where, underside, top) for where, underside in stretches]
    concrete = less(together([column(footprint, top - haunch, top), *edge]), void)

    def under_concrete(by):
        """What is left under the footprint when the concrete sinks by so much."""
        return less(column(footprint, -DEEP, top - by), concrete.translate((0, 0, -by)))

    blinding = less(under_concrete(0.0), under_concrete(BLINDING))
    under_bed = under_concrete(BLINDING + BED)
    sub_base = less(under_concrete(BLINDING), both(under_bed, stripped))
    inside_dig = less(both(column(footprint), stripped), under_bed)
    margin = outline.ring(-RAFT_MARGIN, 0.0)
    margin_dig = together([both(column(margin & where, underside - BLINDING - BED), stripped) for where, underside in stretches])
    cut_back = together([both(cut_back_of(outline, earth, i, b, benches), stripped) for i in range(outline.count)])
    refill = together([margin_dig, cut_back])

    z_s, batter, shoulder, reach = top - depth, NONE, 0.0, 0.0
    if works.variant == "batter":
        low = earth.lowest_stripped(outline.ring(0.0, THIN))
        if z_s > low + 1e-9:
            shoulder = max(0.5, z_s - low)
            batter = less(outline.spreading(z_s, shoulder, BATTER_RUN), column(footprint), stripped)
            reach = max((outline.outward(point) for point in batter.to_mesh64().vert_properties[:, :2]), default=0.0)
            assert outline.made_of_parts(reach) and reach < BESIDE - 1.0
    topsoil_plan = shapely.union_all([outline.inset(-RAFT_MARGIN), area_of(batter)])
    up = works.sizes["upstand_m"]
    return dict(
        concrete=concrete, blinding=blinding, sub_base=sub_base, reduce_dig=together([inside_dig, refill]), refill=refill, batter=batter,
        upstand=column(outline.ring(0, UPSTAND_BLOCK), top, top + up), shoulder=shoulder,
        # Outer faces from the underside to the top; inner ones from the underside up to the haunch.
        formwork_m2=sum((footprint.exterior & outline.stretch(b / 2, from_m, to_m, b)).length * (top - low) for from_m, to_m, low in benches),
        lost_form_m2=sum((outline.inset(b).exterior & outline.stretch(b / 2, from_m, to_m, b + NEAR)).length * max(0.0, top - haunch - low) for from_m, to_m, low in benches),
        soft_spots=soft_spots(plot, earth, under_bed, footprint),
    ) | outside_of(plot, earth, margin_dig, cut_back, max(RAFT_MARGIN, reach), topsoil_plan)


def cut_back_of(outline, earth, i, edge, benches):
    """1 to 1 from formation at the edge of the margin of one side, where its face there is over 600 mm."""
    face, margin, out = outline.ring(-RAFT_MARGIN - THIN, -RAFT_MARGIN), outline.inset(-RAFT_MARGIN), -outline.inward[i]
    faces, parts = [], []
    for from_m, to_m, underside in benches:
        formation, mine = underside - BLINDING - BED, outline.stretch(edge / 2, from_m, to_m, edge, BESIDE, only=i)
        at_margin = mine & outline.beside(i) & face
        if at_margin.area > 0:
            faces.append(earth.highest_stripped(at_margin) - formation)
        # Level with formation at the edge of the margin, rising as fast as it goes out.
        undug = under_plane(*out, formation - RAFT_MARGIN - out @ outline.corners[i])
        parts.append(less(column(mine - margin), undug))
    return together(parts) if faces and max(faces) > 0.6 + 2 * THIN else NONE


# The wall on a footing


def wall_solids(scenario, outline, works, benches):
    """Everything of a wall on a footing by the definitions; sizes from the works, benches as (from, to, underside), m."""
    plot, top, size = scenario.plot, works.floor_level_m, works.sizes
    earth = Earth(plot, outline)
    wall, width, thick = size["block_thickness_m"], size["footing_width_m"], size["footing_thickness_m"]
    slab, insulation = size["slab_thickness_m"], size["insulation_thickness_m"]
    board = 0.05 if works.scheme == "insulated-slab" else 0.0
    outer, inner = (wall - width) / 2, (wall + width) / 2
    dpc = works.sole_plate_m
    formation = top - slab - insulation - BLINDING - BED
    stripped = earth.stripped
    floor, room = outline.inset(wall + board), outline.inset(wall)
    ring = outline.ring(outer, inner)
    overlap = max(0.45, thick, 0.3)

    def along(area, from_m, to_m, bottom, top):
        return column(area & outline.stretch(wall / 2, from_m, to_m, inner), bottom, top)

    footing = [along(ring, a, b, low, low + thick) for a, b, low in benches]
    if len(benches) > 1:
        for (_, at, one), (_, _, other) in zip(benches, benches[1:] + benches[:1]):
            a, b = (at, at + overlap) if other < one else (at - overlap, at)
            footing.append(along(ring, a, b, min(one, other) + thick, max(one, other) + thick))
    footing = together(footing)
    under_room = both(stripped, below(formation))
    trench_outside = both(together([along(outline.ring(outer, wall), a, b, low, DEEP) for a, b, low in benches]), stripped)
    trench_inside = both(together([along(outline.ring(wall, inner), a, b, low, DEEP) for a, b, low in benches]), under_room)
    trench_dig = together([trench_outside, trench_inside])
    blocks = less(together([along(outline.ring(0, wall), a, b, low + thick, dpc) for a, b, low in benches]), footing)
    # Above the footing only: what was dug beside its concrete is the footing's own place.
    refill = less(both(trench_outside, column(outline.ring(outer, 0.0))), footing)
    sub_base = less(column(room, -DEEP, formation + BED), under_room, footing)
    margin = max(0.3 if works.scheme == "strip-and-block" else 0.5, -outer)
    return dict(
        footing=footing, blocks=blocks, trench_dig=trench_dig, reduce_dig=both(column(room, formation), stripped),
        refill=refill, trench_stone=less(trench_inside, footing), sub_base=sub_base,
        blinding=column(floor, formation + BED, formation + BED + BLINDING),
        insulation=column(floor, top - slab - insulation, top - slab), slab=column(floor, top - slab, top),
        edge_board=column(outline.ring(wall, wall + board), formation + BED, top) if board else NONE,
        soft_spots=soft_spots(plot, earth, less(below(formation), trench_dig, footing), outline.inset(min(outer, 0.0))),
    ) | outside_of(plot, earth, refill, NONE, margin, outline.inset(-margin))


# What both have


def area_of(solid):
    """The plan of a solid."""
    return shapely.union_all([shapely.Polygon(ring) for ring in solid.project().to_polygons()]) if not solid.is_empty() else shapely.Polygon()


def soft_spots(plot, earth, undug, under):
    """Soft ground under the works, from formation or the stripped surface, whichever is lower, down to its depth below the stripped surface."""
    spots = [less(both(column(shapely.Polygon(spot) & under), earth.stripped), earth.stripped.translate((0, 0, -depth))) for spot, depth in plot.soft_spots_m]
    return both(together(spots), undug)


def outside_of(plot, earth, beside, cut_back, toe_from, topsoil_plan):
    """Drains, topsoil and old slabs; what was dug beside the building refilled with drain stone uphill, all else in arisings."""
    outline = earth.outline
    uphill, downhill = earth.facing()
    up_there = column(shapely.union_all([outline.beside(i) for i in uphill]))
    drains = [outline.ring(-toe_from - DRAIN_WIDTH, -toe_from) & outline.beside(i, BESIDE) for i in downhill]
    if downhill and plot.outfall:
        # From the middle of the longest downhill side straight away from the building.
        i = max(downhill, key=lambda i: round(outline.length[i], 9))
        middle, near = outline.length[i] / 2, toe_from + DRAIN_WIDTH
        here, out = outline.corners[i] + middle * outline.direction[i], -outline.inward[i]
        side = DRAIN_WIDTH / 2 * outline.direction[i]
        drains.append(shapely.Polygon([here + near * out - side, here + (near + OUTFALL_RUN) * out - side, here + (near + OUTFALL_RUN) * out + side, here + near * out + side]))
    trench = less(both(column(shapely.union_all(drains, grid_size=1e-7)), earth.stripped), earth.stripped.translate((0, 0, -DRAIN_DEPTH)))
    topsoil = less(earth.ground, earth.stripped)
    return dict(
        earth=earth, drain_trench=trench, drain_stone=both(beside, up_there), backfill=together([less(beside, up_there), cut_back]),
        topsoil=both(topsoil, column(topsoil_plan - earth.old_slabs)), broken_out=both(topsoil, column(topsoil_plan & earth.old_slabs)),
    )


# The works beside them


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


def same(works, part, expected, name):
    """Volume to 1e-5, and in the same place: every prism lies in what is expected, and none in another prism."""
    volume = works.volume_m3(part)
    assert volume == pytest.approx(expected.volume(), rel=1e-5, abs=1e-6), name
    pieces = [piece for solid in works.solids if solid.part == part for piece in solid.pieces]
    hulls = [Manifold.hull_points(np.array(
        [(x, y, plane.z((x, y))) for plane in (piece.bottom, piece.top) for x, y in piece.polygon])) for piece in pieces]
    assert sum(hull.volume() for hull in hulls) == pytest.approx(volume, rel=1e-6, abs=1e-6), f"{name}: its prisms are not its volume"
    assert sum(less(hull, expected).volume() for hull in hulls) < 1e-5, f"{name}: not in the same place"
    plans = np.array([shapely.Polygon(piece.polygon) for piece in pieces])
    first, second = shapely.STRtree(plans).query(plans, predicate="intersects") if pieces else ((), ())
    over = (first < second) & (shapely.area(shapely.intersection(plans[first], plans[second])) > 1e-7) if pieces else ()
    twice = sum(both(hulls[i], hulls[j]).volume() for i, j in zip(first[over], second[over])) if pieces else 0.0
    assert twice < 1e-6, f"{name}: prisms over one another"


def no_overlap(named):
    items = [(name, solid) for name, solid in named.items() if not solid.is_empty()]
    for i, (name, solid) in enumerate(items):
        for other_name, other in items[i + 1:]:
            assert both(solid, other).volume() < 1e-5, f"{name} and {other_name} are in the same place"


def left_m3(solid, others):
    """What is left of a solid when others, none over another, are taken out."""
    return solid.volume() - sum(both(solid, other).volume() for other in others)


def holes_and_fillings(put_in, digs, earth, floor_level):
    """Nothing in the same place twice; nothing put where nothing was dug; no hole left under the floor."""
    no_overlap(put_in)
    subsoil = {name: dig for name, dig in digs.items() if name != "topsoil"}
    no_overlap(subsoil)
    for name, dig in subsoil.items():
        assert less(dig, earth.stripped).volume() < 1e-5, f"{name} is dug out of the topsoil"
    assert both(digs["topsoil"], earth.stripped).volume() < 1e-5, "topsoil is stripped below its depth"
    for name, solid in put_in.items():
        assert left_m3(both(solid, earth.stripped), subsoil.values()) < 1e-5, f"{name} lies in ground that was not dug"
    for name, dig in subsoil.items():
        assert left_m3(both(dig, below(floor_level)), put_in.values()) < 1e-5, f"a hole is left in the {name} under the level of the floor"


def check_outside(works, made):
    """What lies round a building, the same for every scheme."""
    same(works, w.TOPSOIL_STRIP, made["topsoil"], "topsoil strip")
    same(works, w.BREAK_OUT, made["broken_out"], "breaking out")
    same(works, w.SOFT_SPOT_DIG, made["soft_spots"], "soft spot dig")
    same(works, w.SOFT_SPOT_STONE, made["soft_spots"], "soft spot stone")
    same(works, w.DRAIN_DIG, made["drain_trench"], "drain dig")
    same(works, w.BACKFILL, made["backfill"], "backfill")
    same(works, w.DRAIN_STONE, together([made["drain_stone"], made["drain_trench"]]), "drain stone")


def check_raft(scenario, outline):
    """Each way of building the raft against the solids."""
    for works, benches in laid_out(scenario, "thickened-raft"):
        made = raft_solids(scenario, outline, works, benches)
        for part, key in ((w.SLAB, "concrete"), (w.BLINDING, "blinding"), (w.SUB_BASE, "sub_base"), (w.REDUCE_DIG, "reduce_dig"),
                          (w.BATTER, "batter"), (w.BLOCKWORK, "upstand")):
            same(works, part, made[key], f"{works.variant}: {part}")
        for key in ("formwork_m2", "lost_form_m2"):
            assert works.measures[key] == pytest.approx(made[key], rel=1e-6, abs=1e-9), key
        check_outside(works, made)
        put_in = {key: made[key] for key in ("concrete", "blinding", "sub_base", "batter", "upstand", "refill", "soft_spots")}
        digs = {"reduce dig": made["reduce_dig"], "topsoil": made["topsoil"], "soft spot dig": made["soft_spots"]}
        holes_and_fillings(put_in, digs, made["earth"], works.floor_level_m)


def check_wall_on_footing(scenario, outline, scheme_id):
    """A wall on a footing against the solids."""
    ((works, benches),) = laid_out(scenario, scheme_id)
    made = wall_solids(scenario, outline, works, benches)
    for part, key in ((w.FOOTING, "footing"), (w.BLOCKWORK, "blocks"), (w.TRENCH_DIG, "trench_dig"), (w.REDUCE_DIG, "reduce_dig"),
                      (w.TRENCH_STONE, "trench_stone"), (w.SUB_BASE, "sub_base"), (w.BLINDING, "blinding"), (w.INSULATION, "insulation"),
                      (w.SLAB, "slab"), (w.EDGE_BOARD, "edge_board")):
        same(works, part, made[key], part)
    check_outside(works, made)
    put_in = {key: made[key] for key in ("footing", "blocks", "trench_stone", "sub_base", "blinding", "insulation", "slab", "edge_board", "refill", "soft_spots")}
    digs = {"reduce dig": made["reduce_dig"], "trench dig": made["trench_dig"], "topsoil": made["topsoil"], "soft spot dig": made["soft_spots"]}
    holes_and_fillings(put_in, digs, made["earth"], works.floor_level_m)
