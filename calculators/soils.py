"""What each kind of ground does when it is dug, frozen, heated and loaded.

One record per soil that a reader may name.  Every figure carries its source;
those from memory or common practice are assumptions and are shown as such.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.sources import MEMORY, QUOTED, READ, Sourced, common_practice

ROCK, GRANULAR, CLAY, SILT, PEAT, MADE_GROUND, UNKNOWN = (
    "rock", "granular", "clay", "silt", "peat", "made ground", "unknown",
)


@dataclass(frozen=True)
class Soil:
    """One soil by the name a reader gives it.

    `bulking` is loose volume over bank volume; `compacted_to_bank` is
    compacted volume over bank volume (neither has a unit).
    `frost_susceptible` holds True or False.  `presumed_bearing_kpa` is None
    where there is no figure to presume.  `shrinkable` says whether the clay
    depths apply; unknown ground counts as shrinkable.
    """

    name: str
    kind: str
    shrinkable: bool
    bulking: Sourced
    compacted_to_bank: Sourced
    frost_susceptible: Sourced
    conductivity_w_per_mk: Sourced
    presumed_bearing_kpa: Sourced | None
    note: str = ""


# Bank volume that a compacted backfill of arisings uses up is the volume
# filled divided by this, whatever the soil: by hand in a narrow space nothing
# is packed as hard as the tables of earthmoving plant have it.
BACKFILL_TO_BANK = common_practice(0.95, "", "Compacted volume over bank volume for backfill by hand.")

KPA_PER_PSF = 0.04788025898


def _bulking(value: float, of: str) -> Sourced:
    return Sourced(value, "", "fm-5-434", "table of soil conversion factors", MEMORY, f"Loose over bank volume, {of}.")


def _packed(value: float, of: str) -> Sourced:
    return Sourced(value, "", "fm-5-434", "table of soil conversion factors", MEMORY, f"Compacted over bank volume, {of}.")


def _frost(value: bool, why: str) -> Sourced:
    return common_practice(value, "", why)


def _bearing(psf: float, of: str) -> Sourced:
    return Sourced(psf * KPA_PER_PSF, "kPa", "ibc", "1806.2; IRC R401.4.1", READ, f"Presumed for {of}; printed as {psf:.0f} psf.")


_SAND_BULKS, _EARTH_BULKS, _CLAY_BULKS = _bulking(1.11, "sand"), _bulking(1.25, "common earth"), _bulking(1.43, "clay")
_SAND_PACKS, _EARTH_PACKS, _CLAY_PACKS = _packed(0.95, "sand"), _packed(0.90, "common earth"), _packed(0.90, "clay")
_ROCK_BULKS = common_practice(1.5, "", "Loose over bank volume of broken rock; 1.3 to 1.7 is usual.")
_ROCK_PACKS = common_practice(1.3, "", "Broken rock never packs back to what it was.")

_CLAY_CONDUCTS = Sourced(1.5, "W/(m K)", "en-iso-13370", "table of ground properties, clay or silt", QUOTED)
_SAND_CONDUCTS = Sourced(2.0, "W/(m K)", "en-iso-13370", "table of ground properties, sand or gravel", QUOTED)
_ROCK_CONDUCTS = Sourced(3.5, "W/(m K)", "en-iso-13370", "table of ground properties, homogeneous rock", QUOTED)
_UNKNOWN_CONDUCTS = Sourced(2.0, "W/(m K)", "en-iso-13370", "ground not known", MEMORY, "The figure for sand or gravel is taken where the ground is not known.")

_DRAINS = "Coarse ground that drains holds too little water to heave."
_FINE = "Fine grains draw water up to the frost and heave."
_CAUTIOUS = "Not known, so counted as ground that heaves."

SOILS: dict[str, Soil] = {
    soil.name: soil
    for soil in (
        Soil("rock", ROCK, False, _ROCK_BULKS, _ROCK_PACKS, _frost(False, "Sound rock; chalk and weathered rock do heave."),
             _ROCK_CONDUCTS, _bearing(4000, "sedimentary and foliated rock")),
        Soil("gravel", GRANULAR, False, _SAND_BULKS, _SAND_PACKS, _frost(False, _DRAINS), _SAND_CONDUCTS, _bearing(3000, "gravel")),
        Soil("dense sand", GRANULAR, False, _SAND_BULKS, _SAND_PACKS, _frost(False, _DRAINS), _SAND_CONDUCTS, _bearing(2000, "sand")),
        Soil("medium sand", GRANULAR, False, _SAND_BULKS, _SAND_PACKS, _frost(False, _DRAINS), _SAND_CONDUCTS, _bearing(2000, "sand")),
        Soil("loose sand", GRANULAR, False, _SAND_BULKS, _SAND_PACKS, _frost(True, "Loose sand is often fine sand, which heaves."), _SAND_CONDUCTS, None,
             "Loose sand settles; no bearing is presumed for it."),
        Soil("stiff clay", CLAY, True, _CLAY_BULKS, _CLAY_PACKS, _frost(True, _FINE), _CLAY_CONDUCTS, _bearing(1500, "clay")),
        Soil("firm clay", CLAY, True, _CLAY_BULKS, _CLAY_PACKS, _frost(True, _FINE), _CLAY_CONDUCTS, _bearing(1500, "clay")),
        Soil("soft clay", CLAY, True, _CLAY_BULKS, _CLAY_PACKS, _frost(True, _FINE), _CLAY_CONDUCTS, None,
             "Soft clay settles; no bearing is presumed for it."),
        Soil("silt", SILT, False, _EARTH_BULKS, _EARTH_PACKS, _frost(True, _FINE), _CLAY_CONDUCTS, None,
             "Silt softens when it is wet or trodden; no bearing is presumed for it."),
        Soil("peat", PEAT, False, _EARTH_BULKS, _EARTH_PACKS, _frost(True, "Peat is wet through."), _UNKNOWN_CONDUCTS, None,
             "Peat goes on settling for years: ask an engineer."),
        Soil("made ground", MADE_GROUND, False, _EARTH_BULKS, _EARTH_PACKS, _frost(True, _CAUTIOUS), _UNKNOWN_CONDUCTS, None,
             "Nobody knows what is in made ground: ask an engineer."),
        Soil("unknown", UNKNOWN, True, _EARTH_BULKS, _EARTH_PACKS, _frost(True, _CAUTIOUS), _UNKNOWN_CONDUCTS, None,
             "Checks take the worst of it as shrinkable clay. Two trial pits settle the question."),
    )
}


def soil_named(name: str) -> Soil:
    """The record of a soil by its name.

    name: one of the soils a scenario may name (words, no unit).
    Returns a Soil; its figures carry their own units and sources.
    Raises ValueError when no soil has that name.
    Source: see each figure of the record.

    >>> soil_named("firm clay").bulking.value
    1.43
    >>> soil_named("jelly")
    Traceback (most recent call last):
    ...
    ValueError: no soil is called 'jelly'; it must be one of rock, gravel, dense sand, medium sand, loose sand, stiff clay, firm clay, soft clay, silt, peat, made ground, unknown
    """
    if name not in SOILS:
        raise ValueError(f"no soil is called {name!r}; it must be one of {', '.join(SOILS)}")
    return SOILS[name]


def loose_m3(soil: str, bank_m3: float) -> float:
    """Volume of dug soil as it lies loose in a heap or a skip.

    soil: its name.  bank_m3: its volume before digging, m3, 0 or more.
    Returns loose volume, m3.
    Raises ValueError for a negative volume or an unknown name.
    Source: US Army FM 5-434 (2000), soil conversion factors, from memory.

    >>> round(loose_m3("firm clay", 10.0), 3)
    14.3
    """
    if bank_m3 < 0.0:
        raise ValueError(f"a volume of soil must be 0 m3 or more, not {bank_m3} m3")
    return bank_m3 * soil_named(soil).bulking.value


def compacted_m3(soil: str, bank_m3: float) -> float:
    """Volume of dug soil once plant has compacted it in an open fill.

    soil: its name.  bank_m3: its volume before digging, m3, 0 or more.
    Returns compacted volume, m3.
    Raises ValueError for a negative volume or an unknown name.
    Source: US Army FM 5-434 (2000), soil conversion factors, from memory.

    >>> round(compacted_m3("firm clay", 10.0), 3)
    9.0
    """
    if bank_m3 < 0.0:
        raise ValueError(f"a volume of soil must be 0 m3 or more, not {bank_m3} m3")
    return bank_m3 * soil_named(soil).compacted_to_bank.value


def bank_for_backfill_m3(filled_m3: float) -> float:
    """Bank volume of arisings that a backfilled space uses up once it is rammed.

    filled_m3: the space filled, m3, 0 or more.  Returns bank volume, m3.
    Raises ValueError for a negative volume.
    Source: common practice, no source (`BACKFILL_TO_BANK`).

    >>> round(bank_for_backfill_m3(0.95), 9)
    1.0
    """
    if filled_m3 < 0.0:
        raise ValueError(f"a volume to fill must be 0 m3 or more, not {filled_m3} m3")
    return filled_m3 / BACKFILL_TO_BANK.value


def conductivity_w_per_mk(soil: str) -> float:
    """Conductivity of the ground for the heat calculation.

    soil: its name.  Returns W/(m K).
    Raises ValueError for an unknown name.
    Source: EN ISO 13370 (2017), ground properties, as quoted elsewhere; peat, made and
    unknown ground take the figure for ground that is not known, from memory.

    >>> conductivity_w_per_mk("firm clay")
    1.5
    """
    return soil_named(soil).conductivity_w_per_mk.value


def presumed_bearing_kpa(soil: str) -> float:
    """Bearing pressure that may be presumed for a soil without testing it.

    soil: its name.  Returns kPa.
    Raises ValueError where nothing may be presumed, or for an unknown name.
    Source: IBC 1806.2 and IRC R401.4.1 (read).

    >>> round(presumed_bearing_kpa("gravel"), 1)
    143.6
    """
    bearing = soil_named(soil).presumed_bearing_kpa
    if bearing is None:
        raise ValueError(f"no bearing may be presumed for {soil}: ask an engineer")
    return bearing.value
