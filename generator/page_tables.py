"""Tables that set the schemes side by side: amounts, like for like, carbon, warmth, permissions.

Records are found, grouped and labelled here; no figure is worked out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from calculators.carbon import CarbonLine
from calculators.compare import Comparison, SchemeResult
from calculators.permissions import BELOW, Permission
from calculators.pricing import Spread
from calculators.quantities import QUANTITIES, QUANTITY_BY_KEY
from generator import check_words, display
from generator.display import Shown, same
from generator.phrases import in_sentence
from generator.scheme_views import SchemeView
from generator.wording import CARBON_GROUPS

QUANTITY_GROUPS: dict[str, tuple[str, ...]] = {
    "Earth": (
        "topsoil_strip_m3", "reduce_dig_m3", "trench_dig_m3", "soft_spot_m3", "break_out_m3", "trim_m2", "backfill_m3", "spoil_loose_m3", "rubble_loose_m3",
    ),
    "Drains": ("drain_dig_m3", "drain_stone_m3", "land_drain_m", "channel_drain_m"),
    "Stone and membrane": (
        "sub_base_m3", "sub_base_t", "batter_stone_m3", "trench_stone_m3", "geotextile_m2", "blinding_m3", "membrane_m2", "membrane_rolls",
    ),
    "Concrete, forms and steel": (
        "concrete_m3", "slab_concrete_m3", "footing_concrete_m3", "formwork_m2", "lost_form_m2", "fabric_m2", "fabric_sheets", "bar_kg",
        "edge_cage_m", "sheet_m2",
    ),
    "Walls and damp": ("blockwork_m2", "blocks", "mortar_m3", "dpc_m", "edge_strip_m2", "sill_strip_m2", "wall_straps", "render_m2"),
    "Warmth and floor": ("insulation_m3", "edge_board_m2", "isolation_strip_m", "floor_m2"),
    "At the doors": ("door_steps", "door_ramp_m2", "guard_m"),
}
"""Every quantity once, by the part of the work it belongs to."""


@dataclass(frozen=True)
class Row:
    """One line of a table: label, and a cell for each scheme; None is a dash."""

    label: str
    cells: tuple[Shown | None, ...]
    note: str = ""
    wraps: bool = False


def side_by_side(comparison: Comparison, views: tuple[SchemeView, ...]) -> dict[str, tuple[Row, ...]]:
    """The table of everything measured, by group; lines that are nothing for every scheme are left out."""
    currency, floating = comparison.scenario.currency, gets_floating_floor(views)

    def row(label: str, cell: Callable[[SchemeResult], Shown | str | None], note: str = "", wraps: bool = False) -> Row:
        found = [cell(view.result) for view in views]
        return Row(label, tuple(same(each) if isinstance(each, str) else each for each in found), note, wraps)

    def priced(words: Callable[[SchemeResult], str]) -> Callable[[SchemeResult], str]:
        return lambda result: words(result) if result.buildable else "no price"

    worth = display.money_exact(comparison.decision.hour_worth, currency)
    groups = {
        "Money, at likely prices": (
            row("Like for like", priced(lambda r: display.money(r.like_for_like.likely, currency)), "The figure the verdict uses."),
            row("Cash, as the bill has it", priced(lambda r: display.money(r.cash.likely, currency))),
            row("Cash with every rate low, every rate high", priced(lambda r: display.money_range(r.cash, currency))),
            row("Cash if all the work is hired out", priced(lambda r: display.money(r.hired_cash.likely, currency))),
            row(f"Like for like, with your own hours at {worth}", priced(lambda r: display.money(r.with_hours, currency))),
        ),
        "Hours": (
            row("Your own", lambda r: display.hours(r.priced.own_hours)),
            row("Your helpers'", lambda r: display.hours(r.priced.helper_hours)),
        ),
        "Levels and depths": (
            row("Floor, against the highest ground", lambda r: display.level(r.works.floor_level_m, "it")),
            row("Floor, against the lowest ground", lambda r: display.level(r.works.low_side_height_m, "it")),
            row("Underside of the timber, against the highest ground", lambda r: display.level(r.works.sole_plate_m, "it")),
            row("Lowest concrete, against the highest ground", lambda r: display.level(r.works.founding_level_m, "it")),
            row("Deepest fill under the floor", lambda r: display.length(r.works.fill_depth_m) if r.works.fill_depth_m > 0.0 else None),
            row("Steps in the underside", lambda r: str(len(r.works.steps)) if r.works.steps else None),
        ),
        "Checks": (
            row("Outside their limits", lambda r: _number_or_none(len(r.reasons))),
            *((row("Outside, to be put right", lambda r: _number_or_none(_to_put_right(r))),) if any(_to_put_right(view.result) for view in views) else ()),
            row("Close to their limits", lambda r: _number_or_none(check_words.counted(r.works.checks)["close"])),
            row("Most of a limit used", check_words.most_used_words, wraps=True),
        ),
        "Warmth": (
            row("Heat lost through the floor (U-value)", lambda r: display.u_value(r.u_value_w_per_m2k), FLOOR_ALONE if floating else ""),
            *((row("Heat lost in a year", lambda r: display.quantity(r.floor_heat.kwh, "kWh")),) if comparison.scenario.building.heated else ()),
        ),
        "Carbon, with what is brought, carted and dug": (
            row("All that is counted", lambda r: display.quantity(r.carbon.total_kgco2e, "kgCO2e")),
            *(_carbon_row(group, views) for group in CARBON_GROUPS if any(view.result.carbon.by_group_kgco2e[group] > 0.0 for view in views)),
        ),
    }
    for title, keys in QUANTITY_GROUPS.items():
        rows = tuple(_quantity_row(key, views) for key in keys if any(view.result.quantities[key] > 0.0 for view in views))
        if rows:
            groups[title] = rows
    return groups


FLOOR_ALONE = "Of the bare floor, without the floating floor that is priced under like for like."


def _to_put_right(result: SchemeResult) -> int:
    return sum(map(check_words.put_right, result.works.checks))


def _number_or_none(count: int) -> str | None:
    return str(count) if count else None


def _carbon_row(group: str, views: tuple[SchemeView, ...]) -> Row:
    amounts = [view.result.carbon.by_group_kgco2e[group] for view in views]
    return Row(CARBON_GROUPS[group], tuple(display.quantity(amount, "kgCO2e") if amount > 0.0 else None for amount in amounts))


def _quantity_row(key: str, views: tuple[SchemeView, ...]) -> Row:
    quantity = QUANTITY_BY_KEY[key]
    amounts = [view.result.quantities[key] for view in views]
    return Row(quantity.label, tuple(display.quantity(amount, quantity.unit) if amount > 0.0 else None for amount in amounts))


def unused(views: tuple[SchemeView, ...]) -> tuple[str, ...]:
    """Labels of the quantities that no scheme has any of."""
    return tuple(
        in_sentence(quantity.label.removeprefix("of which ")) for quantity in QUANTITIES
        if all(view.result.quantities[quantity.key] <= 0.0 for view in views)
    )


# Like for like.


@dataclass(frozen=True)
class CreditRow:
    """One credit or addition over all priced schemes: None where a scheme has none."""

    item: str
    sentence: str
    schemes: tuple[str, ...]
    amounts: tuple[Spread | None, ...]

    @property
    def by_scheme(self) -> list[tuple[str, Spread]]:
        """Title and amount of the schemes that have it."""
        return [(scheme, amount) for scheme, amount in zip(self.schemes, self.amounts) if amount is not None]


def credit_rows(views: tuple[SchemeView, ...]) -> tuple[CreditRow, ...]:
    priced = [view.result for view in views if view.result.buildable]
    titles = tuple(result.title for result in priced)
    sentences = {credit.item: credit.sentence for result in priced for credit in result.credits}
    return tuple(
        CreditRow(item, sentence, titles, tuple(next((c.amount for c in result.credits if c.item == item), None) for result in priced))
        for item, sentence in sentences.items()
    )


# Carbon.


def carbon_stages(result: SchemeResult) -> tuple[tuple[str, tuple[CarbonLine, ...]], ...]:
    """The lines of a scheme's carbon under the words of their group."""
    groups = ((words, tuple(line for line in result.carbon.lines if line.group == group)) for group, words in CARBON_GROUPS.items())
    return tuple((words, lines) for words, lines in groups if lines)


def factor_words(line: CarbonLine) -> str:
    """Whence the factor of a line: yours, or its place in the set, whose name stands above the table."""
    if line.factor_from != line.factor.citation:
        return line.factor_from
    return line.factor.citation if line.factor.document is None else f"{line.factor.clause} ({line.factor.mark})"


# Warmth.


def gets_floating_floor(views: tuple[SchemeView, ...]) -> tuple[str, ...]:
    """Titles of the schemes that like for like gives a warm floor on top of their own."""
    return tuple(view.title for view in views if any(credit.rate_key == "floating_floor" for credit in view.result.credits))


# Permissions.


@dataclass(frozen=True)
class PermissionCase:
    """One answer to the question whether something has to be asked for, and the schemes that it holds for."""

    schemes: str
    figure: Shown | None
    verdict: str


@dataclass(frozen=True)
class PermissionRow:
    """One thing that may have to be asked for: what, of whom, the limit, and an answer for each scheme that differs."""

    permission: Permission
    limit: Shown | None
    cases: tuple[PermissionCase, ...]


def permission_rows(comparison: Comparison) -> tuple[PermissionRow, ...]:
    """What may have to be asked for on a plot; schemes with the same figure and answer share a case."""
    found: dict[str, dict[tuple[str, str], list[tuple[SchemeResult, Permission]]]] = {}
    for result in comparison.schemes:
        for permission in result.permissions:
            figure = _shown(permission.figure, permission.unit)
            key = (figure.metric if figure else "", permission.verdict)
            found.setdefault(permission.what, {}).setdefault(key, []).append((result, permission))
    rows = []
    for by_answer in found.values():
        permission = next(iter(by_answer.values()))[0][1]
        cases = tuple(
            PermissionCase(_scheme_words([result.title for result, _ in same_answer], len(comparison.schemes)), _shown(same_answer[0][1].figure, permission.unit), verdict)
            for (_, verdict), same_answer in by_answer.items())
        rows.append(PermissionRow(permission, _shown(permission.limit, permission.unit), cases))
    return tuple(rows)


def _shown(value: float | None, unit: str) -> Shown | None:
    return None if value is None else display.quantity(value, unit)


def _scheme_words(titles: list[str], all_schemes: int) -> str:
    return "Every scheme" if len(titles) == all_schemes > 1 else "; ".join([titles[0], *map(in_sentence, titles[1:])])


def permissions_tally(rows: tuple[PermissionRow, ...]) -> str:
    """How many of the rows ask something of somebody."""
    asked = sum(any(case.verdict != BELOW for case in row.cases) for row in rows)
    return f"{asked} of {len(rows)} to be asked about" if asked else f"none of {len(rows)} to be asked about, by the figures held"
