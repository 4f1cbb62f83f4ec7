"""The documents behind every figure, listed once, and how well each figure is known.

A figure from outside carries a document, a clause and a mark.  The mark says
whether anybody has seen the figure in the document itself.
"""

from __future__ import annotations

from dataclasses import dataclass

READ = "read"
QUOTED = "quoted"
MEMORY = "memory"
DERIVED = "derived"
COMMON_PRACTICE = "common practice, no source"

MARKS: dict[str, str] = {
    READ: "Seen in a copy of the document.",
    QUOTED: "Seen in another text that quotes the document.",
    MEMORY: "From memory; nobody has checked it in the document. Treat it as an assumption.",
    DERIVED: "Worked out from a definition; it is no outside check.",
    COMMON_PRACTICE: "What people in the trade usually do. There is no single document behind it.",
}

NOT_RECORDED = "edition not recorded"


@dataclass(frozen=True)
class Document:
    """One published document: its title, edition and publisher."""

    title: str
    edition: str
    publisher: str


DOCUMENTS: dict[str, Document] = {
    # Building rules
    "approved-document-a": Document("Approved Document A: Structure", "2004 edition with 2010 and 2013 amendments", "HM Government, England"),
    "approved-document-c": Document("Approved Document C: Site preparation and resistance to contaminants and moisture", "2004 edition with 2010 and 2013 amendments", "HM Government, England"),
    "approved-document-k": Document("Approved Document K: Protection from falling, collision and impact", "2013", "HM Government, England"),
    "approved-document-l1": Document("Approved Document L1: Conservation of fuel and power in dwellings", "2002", "Office of the Deputy Prime Minister, England and Wales"),
    "gpdo": Document("Town and Country Planning (General Permitted Development) (England) Order, Schedule 2 Part 1 Class E", "2015 as amended", "HM Government, England"),
    "approved-document-h": Document("Approved Document H: Drainage and waste disposal", "2015", "HM Government, England"),
    "building-regulations": Document("The Building Regulations (England), Schedule 2: Exempt buildings and work", "2010 as amended", "HM Government, England"),
    "party-wall-act": Document("Party Wall etc. Act, section 6: Adjacent excavation and construction", "1996", "HM Government, England and Wales"),
    "planning-regulations-ireland": Document("Planning and Development Regulations, Schedule 2 Part 1 Class 3", "2001 as amended", "Government of Ireland"),
    "nhbc-standards": Document("NHBC Standards", NOT_RECORDED, "National House Building Council"),
    "tgd-c": Document("Technical Guidance Document C: Site preparation and resistance to moisture", NOT_RECORDED, "Government of Ireland"),
    "irc": Document("International Residential Code", NOT_RECORDED + "; each town adopts its own", "International Code Council"),
    "ibc": Document("International Building Code", NOT_RECORDED + "; each town adopts its own", "International Code Council"),
    "29-cfr-1926": Document("Code of Federal Regulations, title 29, part 1926 subpart P: Excavations", NOT_RECORDED, "Occupational Safety and Health Administration, United States"),
    "sror": Document("Specification for the Reinstatement of Openings in Roads (Scotland)", NOT_RECORDED, "Scottish Road Works Commissioner"),
    # Standards
    "en-1991-1-1": Document("EN 1991-1-1, Eurocode 1: Densities, self-weight, imposed loads for buildings", "2002", "European Committee for Standardization"),
    "en-1990": Document("EN 1990, Eurocode: Basis of structural design", "2002", "European Committee for Standardization"),
    "en-1991-1-3": Document("EN 1991-1-3, Eurocode 1: Snow loads", "2003", "European Committee for Standardization"),
    "en-1991-1-4": Document("EN 1991-1-4, Eurocode 1: Wind actions", "2005", "European Committee for Standardization"),
    "en-1992-1-1": Document("EN 1992-1-1, Eurocode 2: Design of concrete structures, rules for buildings", "2004", "European Committee for Standardization"),
    "en-1996-1-1": Document("EN 1996-1-1, Eurocode 6: Design of masonry structures", "2005", "European Committee for Standardization"),
    "en-1997-1": Document("EN 1997-1, Eurocode 7: Geotechnical design, general rules", "2004", "European Committee for Standardization"),
    "uk-na-1991-1-1": Document("United Kingdom national annex to EN 1991-1-1: imposed loads", NOT_RECORDED, "British Standards Institution"),
    "aci-302": Document("ACI 302.1R: Guide for concrete floor and slab construction", "1996", "American Concrete Institute"),
    "aci-305": Document("ACI 305R: Guide to hot weather concreting", NOT_RECORDED, "American Concrete Institute"),
    "ufgs-03-30-00": Document("UFGS 03 30 00: Cast-in-place concrete, guide specification", NOT_RECORDED, "United States Department of Defense"),
    "ascc-15": Document("Position statement 15, with a survey of when finishers begin", NOT_RECORDED, "American Society of Concrete Contractors"),
    "en-iso-13370": Document("EN ISO 13370: Heat transfer via the ground, calculation methods", "2017", "International Organization for Standardization"),
    "en-iso-6946": Document("EN ISO 6946: Thermal resistance and thermal transmittance, calculation methods", "2017", "International Organization for Standardization"),
    "en-iso-10456": Document("EN ISO 10456: Hygrothermal properties, tabulated design values", "2007", "International Organization for Standardization"),
    "en-13163": Document("EN 13163 and its companions: factory made thermal insulation products", NOT_RECORDED, "European Committee for Standardization"),
    "bs-8500": Document("BS 8500: Concrete, complementary standard to EN 206", NOT_RECORDED, "British Standards Institution"),
    "bs-4483": Document("BS 4483: Steel fabric for the reinforcement of concrete", "2005", "British Standards Institution"),
    "bs-4449": Document("BS 4449: Steel for the reinforcement of concrete", "2005", "British Standards Institution"),
    "en-12056-3": Document("EN 12056-3: Gravity drainage systems inside buildings, roof drainage", "2000", "European Committee for Standardization"),
    "bre-365": Document("BRE Digest 365: Soakaway design", NOT_RECORDED, "Building Research Establishment, United Kingdom"),
    "ghg-factors": Document("UK Government greenhouse gas conversion factors for company reporting", "2025, open licence", "Department for Energy Security and Net Zero, United Kingdom"),
    # Handbooks, manuals and worked examples
    "hong-kong-sewerage": Document("Sewerage Manual, hydraulic design sheet", NOT_RECORDED, "Drainage Services Department, Hong Kong"),
    "cengel-cimbala": Document("Y. A. Cengel and J. M. Cimbala, Fluid Mechanics: Fundamentals and Applications", NOT_RECORDED, "McGraw-Hill"),
    "soakaway-guidance": Document("Guidance on soakaways for small roofs, published by local councils", NOT_RECORDED, "several, England"),
    "suspended-floor-table": Document("Table of U-values of beam-and-block floors, published by a maker of insulation", NOT_RECORDED, "not recorded"),
    "fm-5-434": Document("FM 5-434: Earthmoving Operations", "2000", "United States Army"),
    "navedtra-14070": Document("NAVEDTRA 14070, training manual", NOT_RECORDED, "United States Navy"),
    "vose": Document("G. L. Vose, Handbook of Railroad Construction", "1857", "James Munroe, Boston"),
    "neymark-judkoff": Document("J. Neymark and R. Judkoff, diagnostic cases for heat flow from a slab into the ground, NREL/TP-550-43388", "2008", "National Renewable Energy Laboratory, United States"),
    "spanish-foundation-guide": Document("Guide to road foundations", "2002", "Ministry of public works, Spain"),
    "decoding-eurocode-7": Document("A. Bond and A. Harris, Decoding Eurocode 7", NOT_RECORDED, "Taylor and Francis"),
    "steel-buildings-europe": Document("Steel Buildings in Europe, single-storey buildings, part 3: Actions", NOT_RECORDED, "several, under the Research Fund for Coal and Steel"),
    "huang": Document("Y. H. Huang, Pavement Analysis and Design", NOT_RECORDED, "Pearson"),
    "bowles": Document("J. E. Bowles, Foundation Analysis and Design", NOT_RECORDED, "McGraw-Hill"),
    "mcguire-gallagher-ziemian": Document("W. McGuire, R. H. Gallagher and R. D. Ziemian, Matrix Structural Analysis", NOT_RECORDED, "Wiley"),
    "hetenyi": Document("M. Hetenyi, Beams on Elastic Foundation", "1946", "University of Michigan Press"),
    "earth-pressure-exercise": Document("Solved exercise in active earth pressure by Rankine's theory", NOT_RECORDED, "not recorded"),
    "section-area-exercise": Document("Worked example of a section area by Simpson's rule, in a textbook", NOT_RECORDED, "not recorded"),
    "surveying-textbooks": Document("Volume of a dig from spot levels on a grid, as given in surveying textbooks", NOT_RECORDED, "several"),
    "levelling-exercise": Document("Solved exercises in levelling by rise and fall", NOT_RECORDED, "not recorded"),
    "us-course-sheet": Document("Take-off exercises of a course in the United States", NOT_RECORDED, "not recorded"),
    "l-floor-example": Document("L-shaped floor, worked example in a textbook of building regulations", NOT_RECORDED, "not recorded"),
    "cachon-terwiesch": Document("G. Cachon and C. Terwiesch, Matching Supply with Demand", NOT_RECORDED, "McGraw-Hill"),
    "order-quantity-exercise": Document("Solved exercise in how much to order", NOT_RECORDED, "not recorded"),
    "bs-8204": Document("BS 8204: Screeds, bases and in situ floorings", NOT_RECORDED, "BSI"),
    "bs-8203-guidance": Document("Trade guidance on BS 8203: Installation of resilient floor coverings", NOT_RECORDED, "several"),
    "bs-5385-3": Document("BS 5385-3: Wall and floor tiling, design and installation of floors", NOT_RECORDED, "BSI"),
    "din-18202": Document("DIN 18202: Tolerances in building construction", NOT_RECORDED, "DIN"),
    "en-13670": Document("EN 13670: Execution of concrete structures", "2009", "CEN"),
    "maturity-exercise": Document("Examination exercise in the maturity of concrete", NOT_RECORDED, "not recorded"),
    "is-7272-1": Document("IS 7272-1: Labour output constants for building works", NOT_RECORDED, "Bureau of Indian Standards"),
    "critical-path-exercise": Document("Solved homework on the critical path of a network", NOT_RECORDED, "not recorded"),
    "regret-exercise": Document("Exercise in minimax regret, in a textbook of decisions", NOT_RECORDED, "not recorded"),
    "three-point-textbooks": Document("Three-point estimates, as given in textbooks", NOT_RECORDED, "several"),
    "energy-texts": Document("Heat through an element over a season, worked example in openly published energy texts", NOT_RECORDED, "several"),
    "uno": Document("P. J. Uno, Plastic shrinkage cracking and evaporation formulas, ACI Materials Journal", "1998", "American Concrete Institute"),
    "early-handbooks": Document("Early handbooks of concrete and of handling earth by barrow", "out of copyright", "several"),
    "duffie-beckman": Document("J. A. Duffie and W. A. Beckman, Solar Engineering of Thermal Processes", NOT_RECORDED, "Wiley"),
    "climate-averages": Document("Monthly averages of air, humidity and wind, as weather services publish them", NOT_RECORDED, "several"),
    "almanac": Document("Tables of sunrise and sunset in almanacs", NOT_RECORDED, "several"),
    "geometry": Document("Plane and solid geometry", "worked out from definitions", "none"),
}


@dataclass(frozen=True)
class Sourced:
    """A figure with its unit and where it comes from.

    `document` is a key of `DOCUMENTS`, or None where there is none to name
    (then the mark is common practice or derived).  `clause` is the clause,
    table or page.  `note` says what a reader should know before leaning on it.
    """

    value: float
    unit: str
    document: str | None
    clause: str
    mark: str
    note: str = ""

    def __post_init__(self) -> None:
        if self.mark not in MARKS:
            raise ValueError(f"a figure's mark must be one of {', '.join(MARKS)}, not {self.mark!r}")
        if self.document is None:
            if self.mark not in (COMMON_PRACTICE, DERIVED):
                raise ValueError(f"a figure marked {self.mark!r} must name its document")
        elif self.document not in DOCUMENTS:
            raise ValueError(f"no document is listed under {self.document!r}")

    @property
    def citation(self) -> str:
        """Document, clause and mark in one line, for showing beside the figure (words, no unit).

        >>> Sourced(0.6, "m", "nhbc-standards", "5.1.4", READ).citation
        'NHBC Standards, 5.1.4 (read)'
        >>> Sourced(0.5, "m", None, "", COMMON_PRACTICE).citation
        'common practice, no source'
        """
        if self.document is None:
            return self.mark
        parts = [DOCUMENTS[self.document].title]
        if self.clause:
            parts.append(self.clause)
        return f"{', '.join(parts)} ({self.mark})"


def common_practice(value: float, unit: str, note: str = "") -> Sourced:
    """A figure people in the trade usually take, with no document behind it.

    value: the figure, in `unit`.  Returns a Sourced with the mark for common practice.
    Source: none, which is what it says.

    >>> common_practice(0.15, "m").mark
    'common practice, no source'
    """
    return Sourced(value, unit, None, "", COMMON_PRACTICE, note)
