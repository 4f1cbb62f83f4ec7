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
    "nhbc-standards": Document("NHBC Standards", NOT_RECORDED, "National House Building Council"),
    "tgd-c": Document("Technical Guidance Document C: Site preparation and resistance to moisture", NOT_RECORDED, "Government of Ireland"),
    "irc": Document("International Residential Code", NOT_RECORDED + "; each town adopts its own", "International Code Council"),
    "ibc": Document("International Building Code", NOT_RECORDED + "; each town adopts its own", "International Code Council"),
    "29-cfr-1926": Document("Code of Federal Regulations, title 29, part 1926 subpart P: Excavations", NOT_RECORDED, "Occupational Safety and Health Administration, United States"),
    "sror": Document("Specification for the Reinstatement of Openings in Roads (Scotland)", NOT_RECORDED, "Scottish Road Works Commissioner"),
    # Standards
    "en-1991-1-1": Document("EN 1991-1-1, Eurocode 1: Densities, self-weight, imposed loads for buildings", "2002", "European Committee for Standardization"),
    "en-iso-13370": Document("EN ISO 13370: Heat transfer via the ground, calculation methods", "2017", "International Organization for Standardization"),
    "en-iso-6946": Document("EN ISO 6946: Thermal resistance and thermal transmittance, calculation methods", "2017", "International Organization for Standardization"),
    "en-iso-10456": Document("EN ISO 10456: Hygrothermal properties, tabulated design values", "2007", "International Organization for Standardization"),
    "en-13163": Document("EN 13163 and its companions: factory made thermal insulation products", NOT_RECORDED, "European Committee for Standardization"),
    "bs-4483": Document("BS 4483: Steel fabric for the reinforcement of concrete", "2005", "British Standards Institution"),
    "bs-4449": Document("BS 4449: Steel for the reinforcement of concrete", "2005", "British Standards Institution"),
    # Handbooks, manuals and worked examples
    "fm-5-434": Document("FM 5-434: Earthmoving Operations", "2000", "United States Army"),
    "navedtra-14070": Document("NAVEDTRA 14070, training manual", NOT_RECORDED, "United States Navy"),
    "vose": Document("G. L. Vose, Handbook of Railroad Construction", "1857", "James Munroe, Boston"),
    "neymark-judkoff": Document("J. Neymark and R. Judkoff, diagnostic cases for heat flow from a slab into the ground, NREL/TP-550-43388", "2008", "National Renewable Energy Laboratory, United States"),
    "section-area-exercise": Document("Worked example of a section area by Simpson's rule, in a textbook", NOT_RECORDED, "not recorded"),
    "surveying-textbooks": Document("Volume of a dig from spot levels on a grid, as given in surveying textbooks", NOT_RECORDED, "several"),
    "levelling-exercise": Document("Solved exercises in levelling by rise and fall", NOT_RECORDED, "not recorded"),
    "us-course-sheet": Document("Take-off exercises of a course in the United States", NOT_RECORDED, "not recorded"),
    "l-floor-example": Document("L-shaped floor, worked example in a textbook of building regulations", NOT_RECORDED, "not recorded"),
    "energy-texts": Document("Heat through an element over a season, worked example in openly published energy texts", NOT_RECORDED, "several"),
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
