"""How a floor came out, as the section of a page, as lines of a terminal and as JSON: words and rows, no sums."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from calculators import flatness as f
from calculators.compare import Comparison
from calculators.floor_result import FinishState, FloorResult, Misfit, PricedOption, floor_prices, floor_result
from calculators.schedule import Schedule
from generator import display
from generator.display import Shown, fine, gradient, hours, in_ascii, length, litres, money, money_exact, percent, quantity, same
from generator.drawings.deviation_map import deviation_map_svg, plane_words
from generator.phrases import joined, sentence
from generator.problems import listed
from generator.schedules import YOURS
from generator.scheme_views import drawn
from generator.sheet_tables import Table, table_lines
from generator.text_table import LAST_WORDS, WIDTH

NONE = same("–")
NOT_MEASURED = "not measured"
FORMAT = "soleplate floor 1"


@dataclass(frozen=True)
class ShownTable:
    """A table in both unit systems; the first column names the row, `numbers` says which of the others hold figures."""

    id: str
    title: str
    columns: tuple[Shown, ...]
    rows: tuple[tuple[Shown, ...], ...]
    numbers: tuple[bool, ...]

    def of(self, units: str) -> Table:
        """The same in one of them."""
        return Table(self.id, self.title, tuple(column.of(units) for column in self.columns), tuple(tuple(cell.of(units) for cell in row) for row in self.rows))


@dataclass(frozen=True)
class FloorView:
    """Everything of the section, in the order of the page."""

    finding: tuple[Shown, ...]
    drawing: Markup
    facts: tuple[tuple[str, Shown], ...]
    costs: ShownTable
    work: ShownTable
    notes: tuple[Shown, ...]
    finishes: ShownTable
    finish_notes: tuple[tuple[str, str], ...]
    levels: ShownTable
    cautions: tuple[tuple[str, str], ...]


def floor_view(comparison: Comparison) -> FloorView | None:
    """The section of a scenario whose floor has been levelled; None before that."""
    found = floor_of(comparison)
    return None if found is None else view_of(found, comparison.scenario.schedule)


def floor_of(comparison: Comparison) -> FloorResult | None:
    """How the floor of a scenario came out, an hour at what it is worth to its owner; None where nobody has taken levels."""
    scenario = comparison.scenario
    if not scenario.floor.levels_m:
        return None
    prices = floor_prices(scenario.schedule, comparison.decision.hour_worth)
    return floor_result(scenario.floor, scenario.building.use, prices, scenario.plot.corners_m)


def view_of(found: FloorResult, schedule: Schedule, prefix: str = "floor") -> FloorView:
    """The view of one floor; prefix: unique on the page."""
    finding = finding_sentences(found, schedule.currency)
    return FloorView(
        finding=finding, drawing=drawn(lambda units, names: deviation_map_svg(found, map_finding(found), units, names), f"{prefix}-map"),
        facts=facts(found), costs=costs_table(found, schedule.currency), work=work_table(found), notes=notes(found, schedule),
        finishes=finishes_table(found), finish_notes=tuple((sentence(state.needs.words), state.needs.note) for state in found.finishes),
        levels=levels_table(found), cautions=CAUTIONS)


# Sentences.


def finding_sentences(found: FloorResult, currency: str) -> tuple[Shown, ...]:
    """What the levels say: the greatest gap and its class, whether that does for the finish, and the cheapest way out."""
    gap = found.gap.gap_m
    edge = length(f.STRAIGHTEDGE_M.value).with_words("Under a straightedge of ", " the greatest gap is ")
    where = joined([fine(gap), _place(found.gap.at)], ", at ")
    return (
        joined([edge, where, _class_words(found)], ""),
        _wanted_words(found),
        _cheapest_words(found, currency),
    )


def map_finding(found: FloorResult) -> Shown:
    """What the map shows, in a sentence."""
    high, low = (fine(abs(found.deviations_m[i])) for i in (found.highest, found.lowest))
    return joined([high.with_words("The floor lies up to "), low.with_words("", f" under the {plane_words(found)}.")], " over and ")


def _place(at: tuple[float, float]) -> Shown:
    x, y = (length(metres) for metres in at)
    return joined([x.with_words("x "), y.with_words("y ")], ", ")


def _class_words(found: FloorResult) -> Shown:
    if found.surface_class is None:
        return fine(f.SR3_GAP_M.value).with_words(": worse than any class, of which SR3 allows ", ".")
    return fine(f.SURFACE_CLASSES[found.surface_class].value).with_words(f": class {found.surface_class}, which allows ", ".")


def _wanted_words(found: FloorResult) -> Shown:
    words = sentence(f.FINISHES[found.survey.finish].words)
    does = "so it is flat enough" if found.named("leave").option.enough else "so it is not flat enough"
    return fine(found.wanted_m.value).with_words(f"{words}: ", f" at most is wanted, {does}.")


def _cheapest_words(found: FloorResult, currency: str) -> Shown:
    if found.cheapest is None:
        return same(f"None of the five ways does with {found.compound.words}; see why below.")
    priced = found.named(found.cheapest)
    if found.cheapest == "leave":
        return same("Leaving it as it is costs nothing and is enough.")
    spread = money(priced.cash.likely, currency)
    return same(f"Cheapest that is enough: {priced.option.name}, for about {spread} of materials and hire and {hours(priced.option.hours)} of work.")


def facts(found: FloorResult) -> tuple[tuple[str, Shown], ...]:
    """What was found, as label and words."""
    levels, deviations = found.floor.levels_m, found.deviations_m
    measured = display.area(found.floor.area_m2)
    if found.outline_m2 is not None:
        measured = joined([measured, display.area(found.outline_m2).with_words("of ", " to the outside of the building")])

    def spot(i: int) -> Shown:
        return joined([fine(abs(deviations[i])), _place(levels[i][:2])], f" {'over' if deviations[i] > 0 else 'under'} the plane, at ")

    long_edge = length(f.LONG_STRAIGHTEDGE_M.value)
    return (
        ("Inside the outermost levels", measured),
        ("Levels taken", same(f"{len(levels)}")),
        ("Held against", same(f"the {plane_words(found)}")),
        ("Greatest gap under the straightedge", joined([fine(found.gap.gap_m), _place(found.gap.at)], ", at ")),
        ("Greatest gap under a longer one", joined([fine(found.long_gap.gap_m), long_edge], " under ")),
        ("Class of flatness", same(found.surface_class or "none: worse than SR3")),
        ("Highest place", spot(found.highest)),
        ("Lowest place", spot(found.lowest)),
        ("Highest level to lowest", fine(found.fall_m)),
        ("Fall of the plane that fits best", same(gradient(found.tilt))),
    )


# Options.


def costs_table(found: FloorResult, currency: str) -> ShownTable:
    """What each way costs, and whether it does."""
    rows = []
    for priced in found.options:
        option = priced.option
        rows.append((
            same(sentence(option.name)), fine(option.gap_m), same(f"{option.bags}" if option.bags else "–"), same(money(priced.cash.likely, currency)),
            same(display.money_range(priced.cash, currency)), same(hours(option.hours) if option.hours else "–"), same(money(priced.with_hours, currency)),
            same(_does_words(priced, found))))
    return ShownTable(
        "floor-costs", "What each way costs",
        tuple(map(same, ("", "Gap left", "Bags", "Cash", "Low to high", "Work", "With hours", "Enough?"))), tuple(rows), (True, True, True, True, True, True, False))


def _does_words(priced: PricedOption, found: FloorResult) -> str:
    if not priced.option.enough:
        return "no"
    if priced.option.name != "leave" and not priced.option.hours:
        return "nothing to do"
    if priced.misfits:
        return "not with this bag"
    return "yes, cheapest" if priced.option.name == found.cheapest else "yes"


def work_table(found: FloorResult) -> ShownTable:
    """What each way takes off and puts on."""
    rows = []
    for priced in found.options:
        option = priced.option
        rows.append((same(sentence(option.name)), *_layer(option.ground), *_layer(option.filled)))
    return ShownTable(
        "floor-work", "What each way takes off and puts on",
        tuple(map(same, ("", "Ground off", "Volume", "Deepest", "Filled", "Volume", "Thickness"))), tuple(rows), (True,) * 6)


def _layer(layer: f.Layer) -> tuple[Shown, Shown, Shown]:
    if layer.volume_m3 <= 0.0:
        return NONE, NONE, NONE
    thickness = fine(layer.greatest_m) if layer.least_m < f.SAME_HEIGHT_M else joined([fine(layer.least_m), fine(layer.greatest_m)], " to ")
    return display.area(layer.area_m2), litres(layer.volume_m3), thickness


def notes(found: FloorResult, schedule: Schedule) -> tuple[Shown, ...]:
    """What to know of the compound, of its range and of the prices."""
    compound = found.compound
    coat = joined([fine(compound.least_m.value), fine(compound.greatest_m.value)], " to ")
    strength = quantity(compound.compressive_mpa.value, "MPa")
    use = {"storage": "a store", "workshop": "a workshop", "studio": "a studio", "garage": "a garage"}[found.use]
    lines = [
        joined([coat.with_words(f"Compound taken: {compound.words}, ", " in one coat, "), strength.with_words("", f" at 28 days (class C{compound.compressive_mpa.value:g} on the bag)."),
                quantity(found.compound_mpa.value, "MPa").with_words(f" In {use}, {f.FINISHES[found.survey.finish].words}, ", f" (C{found.compound_mpa.value:g}) is wanted."),
                same(" These are usual figures, common practice: the data sheet of your bag comes first.")], ""),
    ]
    misfits: dict[Misfit, list[str]] = {}
    for priced in found.options:
        for misfit in priced.misfits:
            misfits.setdefault(misfit, []).append(priced.option.name)
    lines += [_misfit_words(misfit, names, found) for misfit, names in misfits.items()]
    deep = [priced.option for priced in found.options if priced.option.too_deep]
    if deep:
        lines.append(joined([
            fine(max(option.filled.greatest_m for option in deep)).with_words(f"{sentence(_names([option.name for option in deep]))}: ", " at the deepest, and one coat is "),
            fine(compound.greatest_m.value).with_words("", " at most. Fill the deep places first, or take a deeper product; the hours count each coat.")], ""))
    whose = "what an hour of yours is worth" if found.prices.hour_from == "yours" else "a labourer's rate"
    quoted = [key for key in ("levelling_compound", "grinder_day") if schedule.rates[key].rate_from == YOURS]
    kind = "your own quotes" if len(quoted) == 2 else f"{'invented ' if schedule.invented else ''}likely prices{', some of them your own quotes' if quoted else ''}"
    lines.append(same(
        f"At {kind} (schedule {schedule.name}, {schedule.dated}), with {money_exact(found.prices.hour, schedule.currency)} for an hour, {whose}. "
        "Bags and days of hire are whole ones; primer is not in, and nothing is added for waste: have a bag to spare."))
    return tuple(lines)


def _names(names: Iterable[str]) -> str:
    return listed([f"to {name}" if name in ("grind", "patch", "grind and patch") else name for name in names], "or")


def _misfit_words(misfit: Misfit, names: Iterable[str], found: FloorResult) -> Shown:
    compound = sentence(found.compound.words)
    if misfit.what == "face":
        return same(f"{compound} is not a face to walk on: it goes under a covering. For a floor that is left {f.FINISHES[found.survey.finish].words}, take one whose bag says that it may be.")
    if misfit.what == "thickness":
        return fine(misfit.wanted.value).with_words(
            f"{sentence(_names(names))}: {found.compound.words} is not laid thinner than ", ", and here it would run out to nothing. Take one that may, or cut a square edge that deep round the patch first.")
    return joined([quantity(misfit.found, "MPa").with_words(f"{compound} has ", ", and "), quantity(misfit.wanted.value, "MPa").with_words("", " is wanted: take a stronger one.")], "")


# Finishes.


def finishes_table(found: FloorResult) -> ShownTable:
    """What each finish asks of the floor as it is: met, lacking, or not measured."""
    rows = tuple((
        same(sentence(state.needs.words)),
        _state(state, "flatness", found.gap.gap_m, state.needs.gap_m, fine, "at most"),
        _state(state, "dryness", found.survey.humidity, state.needs.humidity, lambda share: same(percent(share)), "at most"),
        _state(state, "strength", found.survey.strength_mpa, state.needs.compressive_mpa, lambda mpa: quantity(mpa, "MPa"), "at least"),
        _state(state, "age", found.survey.age_days, state.needs.age_days, lambda days: quantity(days, "day"), "at least"),
    ) for state in found.finishes)
    return ShownTable(
        "floor-finishes", "What each finish asks of the floor as it is", tuple(map(same, ("", "Flatness", "Dryness", "Strength", "Age"))), rows, (False,) * 4)


def _state(state: FinishState, what: str, given: float | None, wanted, shown, bound: str) -> Shown:
    """One need: what is wanted, and how the floor stands to it."""
    if wanted is None:
        return same("asks nothing")
    lacking = any(lack.what == what for lack in state.lacks)
    stands = same(NOT_MEASURED) if given is None else shown(given).with_words("", ", not enough" if lacking else ", enough")
    return joined([stands, shown(wanted.value).with_words(f"{bound} ")], "; ")


def levels_table(found: FloorResult) -> ShownTable:
    """Every level, with its height over the plane: the numbers of the map."""
    rows = tuple(
        (same(f"{i}"), length(x), length(y), display.level_mark(z), fine(over))
        for i, ((x, y, z), over) in enumerate(zip(found.floor.levels_m, found.deviations_m), start=1))
    level = Shown("Level, m", "Level")
    return ShownTable("floor-levels", "Levels from west to east", (same("No."), same("x"), same("y"), level, same("Over the plane")), rows, (True,) * 4)


CAUTIONS: tuple[tuple[str, str], ...] = (
    ("Dust.", "Grinding concrete sets free silica dust, which scars lungs for good. Grind wet, or with a shroud and a vacuum for fine dust, and wear a mask that fits. "
              "Nobody else in the room; sweep nothing dry."),
    ("Grinder.", "Goggles and ear defenders; both hands on it; short spells, for it numbs them. A wet grinder runs on a circuit that trips at a leak of current. "
                 "Find pipes and cables in the slab first."),
    ("Compound and primer.", "Wet cement burns skin and blinds eyes, at first without pain. Gloves and goggles; wash it off at once with plenty of water; never kneel in it."),
)
"""Where the work is: a title and sentences."""


# On a terminal.


def floor_text(found: FloorResult, title: str, schedule: Schedule, units: str, ascii_only: bool = False) -> str:
    """The result as lines for a terminal.  `ascii_only` keeps to plain letters."""
    plain = in_ascii if ascii_only else str
    lines: list[str] = textwrap.wrap(f"{title}: {' '.join(words.of(units) for words in finding_sentences(found, schedule.currency))}", WIDTH)
    lines.append("")
    wide = max(len(label) for label, _ in facts(found))
    for label, words in facts(found):
        lines += textwrap.wrap(f"{label.ljust(wide)}  {words.of(units)}", WIDTH, subsequent_indent=" " * (wide + 2))
    for table in (costs_table(found, schedule.currency), work_table(found)):
        lines += ["", *table_lines(table.of(units))]
    lines.append("")
    for note in notes(found, schedule):
        lines += textwrap.wrap(note.of(units), WIDTH)
    finishes = finishes_table(found)
    lines += ["", finishes.title]
    for name, *cells in finishes.rows:
        told = [f"{column.of(units).lower()} {cell.of(units)}" for column, cell in zip(finishes.columns[1:], cells) if cell.of(units) != "asks nothing"]
        lines += textwrap.wrap(f"{name.of(units)}: {'. '.join(map(sentence, told))}.", WIDTH, subsequent_indent="  ")
    lines.append("")
    for name, words in CAUTIONS:
        lines += textwrap.wrap(f"{name} {words}", WIDTH)
    lines.append(LAST_WORDS)
    return plain("\n".join(lines) + "\n")


# For machines.


def floor_json(found: FloorResult, currency: str) -> str:
    """The result as a JSON document: SI by the suffix of each name, money in the currency."""
    return json.dumps({"format": FORMAT, "currency": currency, **floor_data(found)}, indent=1, ensure_ascii=False, allow_nan=False) + "\n"


def floor_data(found: FloorResult) -> dict:
    """The result as dictionaries, lists, text and finite numbers."""
    def gap(given: f.Gap) -> dict:
        return {"gap_m": given.gap_m, "at_m": list(given.at), "start_m": list(given.start), "end_m": list(given.end)}

    def layer(given: f.Layer) -> dict:
        return {"area_m2": given.area_m2, "volume_m3": given.volume_m3, "least_m": given.least_m, "greatest_m": given.greatest_m}

    def spot(i: int) -> dict:
        return {"at_m": list(found.floor.levels_m[i][:2]), "deviation_m": found.deviations_m[i]}

    survey = found.survey
    return {
        "finish": survey.finish, "compound": survey.compound, "use": found.use, "against_level": survey.against_level,
        "humidity": survey.humidity, "age_days": survey.age_days, "strength_mpa": survey.strength_mpa,
        "area_m2": found.floor.area_m2, "building_m2": found.outline_m2,
        "levels": [{"x_m": x, "y_m": y, "z_m": z, "deviation_m": over} for (x, y, z), over in zip(found.floor.levels_m, found.deviations_m)],
        "plane": {"east": found.plane.east, "north": found.plane.north, "at_origin_m": found.plane.at_origin},
        "highest": spot(found.highest), "lowest": spot(found.lowest), "fall_m": found.fall_m, "tilt": found.tilt,
        "straightedge": {"2_m": gap(found.gap), "3_m": gap(found.long_gap)}, "surface_class": found.surface_class, "wanted_gap_m": found.wanted_m.value,
        "compound_mpa": {"has": found.compound.compressive_mpa.value, "wanted": found.compound_mpa.value}, "hour_worth": found.prices.hour,
        "options": [
            {"name": priced.option.name, "ground": layer(priced.option.ground), "filled": layer(priced.option.filled), "bags": priced.option.bags, "coats": priced.option.coats,
             "gap_m": priced.option.gap_m, "enough": priced.option.enough, "does": priced.does, "too_thin": priced.option.too_thin, "too_deep": priced.option.too_deep,
             "misfits": [misfit.what for misfit in priced.misfits], "cash": {at: getattr(priced.cash, at) for at in ("low", "likely", "high")},
             "hours": priced.option.hours, "with_hours": priced.with_hours} for priced in found.options],
        "cheapest": found.cheapest,
        "finishes": [{"finish": state.finish, "lacks": [{"what": lack.what, "found": lack.found, "wanted": lack.wanted.value} for lack in state.lacks]} for state in found.finishes],
    }
