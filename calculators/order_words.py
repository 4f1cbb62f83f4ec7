"""The words in which things are asked for, by line of the bill and by region.

They are what a person says on the telephone.  A trade name of a size ("aggregate
to 20 mm", "3/4 in stone") is the supplier's own and stays as it is; what this
plot or this scheme makes of it stands in braces, and is put in by whoever shows it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from calculators.sources import COMMON_PRACTICE, MEMORY, QUOTED, READ, Sourced, common_practice

US, ENGLAND, IRELAND = "us", "england", "ireland"


@dataclass(frozen=True)
class Said:
    """What to ask for, and where what is left over goes; `by_region` has other words for a region.

    `document`, `clause` and `mark` say where the words come from, by the weakest of what is in them; they hold in the
    regions `only`, everywhere where that is empty, and elsewhere the words are common practice.
    """

    ask: str
    spare: str
    by_region: Mapping[str, str] = field(default_factory=dict)
    document: str | None = None
    clause: str = ""
    mark: str = COMMON_PRACTICE
    only: tuple[str, ...] = ()

    def asked(self, region: str) -> str:
        """The words to the supplier in a region (words, no unit).  Source: `source`."""
        return self.by_region.get(region, self.ask)

    def source(self, region: str) -> Sourced:
        """Where the words come from in a region; the figure in it means nothing (no unit).  Source: itself."""
        if self.only and region not in self.only:
            return common_practice(0.0, "")
        return Sourced(0.0, "", self.document, self.clause, self.mark)


# Suppliers.

AUTHORITY, MERCHANT, HIRE, AWAY, QUARRY, PLANT, PUMP = "authority", "merchant", "hire", "away", "quarry", "plant", "pump"

SUPPLIERS: dict[str, tuple[str, str]] = {
    AUTHORITY: ("Building control: notices and fees", "Building department: permit and fees"),
    MERCHANT: ("Builders' merchant", "Building supply yard"),
    HIRE: ("Plant hire", "Equipment rental"),
    AWAY: ("Muck-away: grab lorry or skip", "Hauler: dump truck or dumpster"),
    QUARRY: ("Quarry or aggregate merchant", "Quarry or landscape supply yard"),
    PLANT: ("Ready-mixed concrete plant", "Ready-mix plant"),
    PUMP: ("Concrete pump hire", "Concrete pumping service"),
}


def supplier_words(kind: str, region: str) -> str:
    """What a kind of supplier is called in a region.

    kind: a key of `SUPPLIERS`; region: of the rules.  Returns words, no unit.
    Raises KeyError for a kind that is not there.  Source: common practice, no source.

    >>> supplier_words("hire", "england"), supplier_words("hire", "us")
    ('Plant hire', 'Equipment rental')
    """
    elsewhere, in_us = SUPPLIERS[kind]
    return in_us if region == US else elsewhere


# Lines of the bill.

_TO_PLACES = "{places}"

SAID: dict[str, Said] = {
    "fee": Said(
        "Ask {authority}: what has to be applied for or notified, how long before, what it costs, and at which stages somebody comes to look. "
        "An application can take weeks.", "None."),
    "setting out": Said(
        "Pegs, boards for profiles, nails, a builder's line, marking paint; a laser level is hired for a weekend.",
        "Pegs and boards serve again as stakes and braces for the forms.", {
            US: "Stakes, batter boards, nails, mason's line, marking paint; a laser level is rented for a weekend."}),
    "ground mats": Said(
        "Mats or plates that carry a tracked machine and loaded barrows over soft ground, enough for the way in; say how long the way is ({run}).",
        "They go back to whoever hired them out."),
    "digger": Said(
        "Mini digger of about 1.5 t with a grading bucket and a toothed one no wider than {bucket}, with fuel, insurance and an hour's showing. Ask the price of a weekend and of a week. "
        "Dig the drain trenches while it is here, or it is fetched twice.", "Days left over: ask whether an early off-hire is paid back."),
    "narrow digger": Said(
        "The narrowest digger, under 1 t, with tracks that draw in: the gate is {gate} wide; measure what stands nearest to it. A grading bucket and a toothed one, fuel, insurance "
        "and an hour's showing. Ask the price of a weekend and of a week. Dig the drain trenches while it is here, or it is fetched twice.",
        "Days left over: ask whether an early off-hire is paid back."),
    "plate": Said(
        "Plate compactor that presses more than {plate} under its plate (ask: mass over the area of the plate). A lighter one wants thinner layers and more passes. "
        "Layers here are {lift}.", "Days left over: ask whether an early off-hire is paid back.", document="sror", clause="Table A8.1", mark=READ),
    "plant delivery": Said("Brought and fetched, both ways in the price; say how wide the gate is ({gate}) and that the ground is {soil}.", "None."),
    "breaker": Said(
        "Breaker with a point and a chisel, water to lay the dust, ear defenders. Ask for the one that shakes the hands least.", "Days left over: ask whether an early off-hire is paid back."),
    "rubble": Said(
        "Clean broken concrete, kept apart from soil: it is cheaper to tip, and a supplier may take it for crushing.", "Paid by the load: fill it."),
    "spoil": Said(
        "Clean subsoil ({soil}), no topsoil, no rubble. Ask whether the tip wants a soil test, by whom, and how the load is measured. "
        "A skip of wet clay is full by weight at 4 to 5 m³.", "Paid by the load: fill it, or spread what is left on the plot.", {
            US: "Clean subsoil ({soil}), no topsoil, no rubble. Ask whether the tip wants a soil test, by whom, and whether they charge by the yard or by the ton."}),
    "land drain": Said(
        "Perforated land drain of 100 mm in a filter sock, with a coupling, an end cap and an upright for rodding.", "A spare length mends a crushed one.", {
            US: "Perforated drain pipe of 4 in in a filter sock, with a coupling, an end cap and a cleanout."}),
    "drain stone": Said(
        "Clean stone of one size, 20 mm, washed, no fines.", "Under a downpipe, or round the foot of a post.", {
            US: "Clean washed stone of one size, 3/4 in (No. 57), no fines."}),
    "geotextile": Said(
        "Non-woven separating geotextile, 100 to 150 g/m²; pieces lap {cloth_lap}.", "Under the stone of a path.", {
            US: "Non-woven separating geotextile, 4 oz a square yard or more; pieces lap {cloth_lap}."}),
    "stone": Said(
        "Crushed stone, well graded, 40 mm down to dust, frost-proof, for compacting in layers of {lift} under a floor. Ask whether it can swell (pyrite, slag), and take none that can.",
        "Under a path or the steps; spread, it makes good the way in.", {
            ENGLAND: "Type 1 sub-base (a name from road works, from memory): crushed stone, well graded, 40 mm down to dust, for compacting in layers of {lift} under a floor. No crushed plaster, wood or clay in it; ask whether it "
                     "can swell (slag, pyrite).",
            IRELAND: "Crushed stone for fill under a floor to S.R. 21 (from memory), with the quarry's paper that it holds no harmful pyrite: 40 mm down, for compacting in layers of {lift}.",
            US: "Dense-graded crushed stone, 1 1/2 in down to fines (crusher run, road base), for compacting in layers of {lift} under a slab."},),
    "blinding": Said(
        "Soft sand, clean, without stones that would go through a membrane.", "In the mortar, or under paving.", {US: "Masonry sand, clean, without stones that would go through the vapor retarder."}),
    "membrane": Said(
        "Polythene damp-proof membrane, {membrane} thick, rolls of {roll_width} by {roll_length}, and jointing tape for {membrane_lap} laps, sealed. {membrane_m2} are covered.",
        "About {membrane_left} is left: cover for stone, blocks and curing.", {
            ENGLAND: "Polythene damp-proof membrane of 1200 gauge ({membrane}), rolls of {roll_width} by {roll_length}, and jointing tape for {membrane_lap} laps, sealed. {membrane_m2} are covered.",
            US: "Polyethylene vapor retarder of 12 mil or more (10 mil is the least that codes ask, from memory), rolls of {roll_width} by {roll_length}, and seam tape for {membrane_lap} laps. "
                "{membrane_m2} are covered."}, "nhbc-standards", "5.1.20", READ, (ENGLAND,)),
    "insulation": Said(
        "{insulation} for floors, {board} thick, declared at {board_kpa} or more at 10 % strain, in boards of {board_m2}.",
        "Offcuts go round the door step and behind the edge; bits kept dry can be returned by the sheet."),
    "slip sheet": Said("Polythene separating sheet, 125 µm (500 gauge), taped, laid over the boards.", "Cover for the curing.", {US: "Polyethylene sheet of 6 mil, taped, laid over the boards."}),
    "edge board": Said("Board of the same kind for the edge of the slab, {edge_board} thick, cut to {edge_deep} deep.", "Offcuts close gaps in the floor boards."),
    "isolation strip": Said("Foam strip for the edge of a slab, 5 to 10 mm thick, as deep as the slab ({slab}).", "Behind the sill of a door.", {US: "Foam expansion joint strip, 1/4 to 1/2 in thick, as deep as the slab ({slab})."}),
    "forms": Said(
        "Boards or ply for forms up to {form_deep} deep, pegs and braces, screws, release oil. Forms deeper than {brace_from} are braced and tied.",
        "Boards cleaned at once serve again; kept flat, they are battens and steps."),
    "stop boards": Said("Boards and pegs for stop ends at the steps of the footing, as high as a step; release oil.", "Pegs serve again."),
    "fabric": Said(
        "Steel fabric {fabric}, {fabric_mass}, flat sheets of {sheet_long} by {sheet_wide}, {sheet_kg} each; laps {fabric_lap}.",
        "Offcuts lie in the path or the step.", document="bs-4483", clause="table of preferred fabrics", mark=QUOTED, only=(ENGLAND, IRELAND)),
    "spacers": Said(
        "Concrete or plastic spacers that hold the fabric {cover} clear, on feet wide enough for a membrane, one every {spacer_apart} both ways; tying wire.", "Kept: a spacer always breaks."),
    "bars": Said(
        "Ribbed bar of 12 mm in lengths of 6 m for four along each edge, laps {bar_lap}; closed links of 8 mm bent to {link_wide} by {link_high} or to what each step of the edge asks. "
        "Ask for caps for the ends.", "Offcuts tie corners, or serve as pegs with a cap.", {
            US: "No. 4 bar, grade 60, in lengths of 20 ft for four along each edge, laps {bar_lap}; closed No. 3 ties bent to {link_wide} by {link_high} or to what each step of the edge asks. "
                "The weight in the bill is for bars of 12 mm: No. 4 weighs about an eighth more. Ask for caps for the ends."},),
    "curing": Said("Polythene sheet for {curing_m2}, in widths that need few laps, and timber to hold it down.", "Cover for timber, blocks and tools."),
    "blocks": Said(
        "Dense concrete blocks, {wall} thick, face {block_long} by {block_high}, solid, of 7 N/mm² or more, of a kind made for use below the damp-proof course.",
        "Whole packs go back if the merchant takes them: ask first. A few make the door step.", {
            US: "Normal-weight concrete masonry units, {wall} thick, face {block_long} by {block_high}, ASTM C90 (from memory), solid or to be grouted solid below grade (the sums take solid ones)."},),
    "mortar": Said(
        "Cement and soft sand for mortar of 1 to 4 1/2, with plasticiser; below ground in sulfate soils a cement that withstands it. Bags of {cement_bag} stand dry and keep for weeks, not for months.",
        "Cement still dry does the render and the step.", {
            US: "Portland cement, hydrated lime and masonry sand for Type S mortar, 1 to 1/2 to 4 1/2 by volume (ASTM C270, from memory), in bags of {cement_bag} and {lime_bag}; or the same ready mixed."},),
    "damp-proof course": Said(
        "Damp-proof course {wall} wide, the whole width of the block, rolls of {dpc_roll}, laid with {dpc_lap} laps.", "Under the door sill; the rest of the roll is kept.", document="nhbc-standards",
        clause="5.1.20", mark=READ, only=(ENGLAND,)),
    "damp strip": Said(
        "Self-adhesive damp-proof strip with its primer, wide enough to lap the membrane and to reach under the damp-proof course; read at what temperature it sticks.",
        "Patches the membrane where it was torn."),
    "straps": Said("Galvanised holding-down straps, 30 mm wide, about 1 m long, bent at the foot to be cast or built in; nails to go with them.", "Kept for the frame.", {
        US: "Galvanized hold-down straps or anchor bolts as the frame's plans have them, one at each corner and one every {strap_apart}."}),
    "render": Said(
        "Cement, sharp sand and waterproofer for a render coat, and bitumen or another coat made for below ground, from the footing to {render_above} above the ground.",
        "Coats what the backfill will hide, twice."),
    "channel drain": Said("Channel drain with a grating, an end cap and an outlet; class A15 for feet, B125 where a car crosses (EN 1433, from memory).", "A short end is kept for mending."),
    "door steps": Said("Slab and blocks, or a precast step, for risers of no more than {riser}.", "None."),
    "door ramp": Said("Stone, concrete and edging for a ramp of 1 in 12 with a rough finish; it may take what is left over from the pour.", "In the step, or the path."),
    "guard": Said("Posts, rails and fixings for a guard along the drop, with gaps that no child gets a head through; ask how high it must be.", "Offcuts brace the posts."),
    "pump": Said(
        "Small line pump with its operator for {load}, the length of its hose ({run}) and where it can stand. Ask which mix it takes, who brings the grout that starts it, and who washes it out where.",
        "What stays in the hose has to go somewhere: {hose} or so."),
    "part load": Said("Charge for a lorry that is not full. Ask from what load on it falls away.", "None."),
}

# Concrete: by what is poured.
FOOTING, RAFT_SLAB, FLOOR_SLAB = "footing", "raft", "floor"
CONCRETE: dict[str, Said] = {
    FOOTING: Said(
        "C16/20, consistence class S3, or S4 in a narrow trench, aggregate to 20 mm, for plain footings in the ground.", _TO_PLACES, {
            ENGLAND: "GEN3 (C16/20), consistence S3, or S4 in a narrow trench, 20 mm aggregate, for plain strip footings. GEN1 is the least that tables ask; the checks here took C16/20.",
            US: "3000 psi, slump 4 to 5 in, 3/4 in aggregate, for plain footings."}, "bs-8500", "foundations, designated mixes", MEMORY, (ENGLAND,)),
    RAFT_SLAB: Said(
        "C28/35, consistence class S3, aggregate to 20 mm, for a reinforced raft on the ground.", _TO_PLACES, {
            ENGLAND: "RC28/35, consistence S3, 20 mm aggregate, for a reinforced raft on the ground.",
            US: "4500 psi, slump 4 to 5 in, 3/4 in aggregate, for a reinforced slab with thickened edges on the ground."}, "bs-8500", "reinforced foundation", READ, (ENGLAND,)),
    FLOOR_SLAB: Said(
        "C25/30, consistence class S3, aggregate to 20 mm, for a floor with fabric on the ground.", _TO_PLACES, {
            ENGLAND: "RC25/30, consistence S3, 20 mm aggregate, for a floor with fabric on the ground.",
            US: "4000 psi, slump 4 to 5 in, 3/4 in aggregate, for a slab on grade with mesh."}, "bs-8500", "floor with fabric", READ, (ENGLAND,)),
}
ASK_SULFATE = " The soil is {soil}: ask whether sulfate in it calls for another cement (it takes a soil test to know)."
ASK_PUMPABLE = " It is pumped: agree the mix with whoever brings the pump."
ASK_AIR: dict[str, str] = {
    ENGLAND: " It gets wet and freezes, perhaps with salt: ask whether it should have air in it (PAV1, from memory).",
    US: " It gets wet and freezes: ask for air entrainment, 5 to 7 % (from memory).",
}
ASK_AIR_ELSEWHERE = " It gets wet and freezes, perhaps with salt: ask whether it should have air in it."
NO_WATER = " No water is added on site to make it run."
