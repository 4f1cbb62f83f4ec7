"""One scheme as its page shows it: drawings, sizes, checks by question, stages of the bill, floor level."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from markupsafe import Markup

from calculators import damp
from calculators.compaction import Layers, layers
from calculators.compare import Comparison, SchemeResult
from calculators.schemes import SCHEME_BY_ID
from calculators.works import BATTER
from generator import check_words, display, wording
from generator.check_words import CheckGroup
from generator.display import Shown
from generator.drawings import (
    Frame, LevelRow, cut_fill_svg, level_curve_svg, level_curve_table, plan_svg, section_svg,
)
from generator.drawings.damp_detail import damp_additions_svg, damp_detail_svg
from generator.scenario import Reading


def drawn(draw: Callable[[str, str], str], prefix: str) -> Markup:
    """A drawing made once for each unit system; the page shows one of them."""
    pair = [Markup('<div class="q-{}">{}</div>').format(units, Markup(draw(units, f"{prefix}-{units}"))) for units in ("metric", "imperial")]
    return Markup("").join(pair)


def section_drawing(comparison: Comparison, result: SchemeResult, prefix: str, frame: Frame | None = None) -> Markup:
    return drawn(lambda units, names: section_svg(comparison, result, units, names, frame), prefix)


def section_names(scheme_id: str) -> str:
    """What the names inside the section of a scheme start with."""
    return f"{scheme_id}-section"


@dataclass(frozen=True)
class SizeRow:
    """One size of a scheme: label, amount, where it comes from."""

    label: str
    shown: Shown
    reason: str


@dataclass(frozen=True)
class Stage:
    """One stage of the work with its lines of the bill."""

    title: str
    lines: tuple


@dataclass(frozen=True)
class LevelView:
    """Where the floor of a scheme lies, and what other levels would cost; no curve and no rows where there is nothing to compare."""

    sentences: tuple[Shown, ...]
    curve: Markup
    rows: tuple[LevelRow, ...]


@dataclass(frozen=True)
class SchemeView:
    """One scheme as a page shows it; `details` are drawings by the method whose checks they stand beside."""

    result: SchemeResult
    place: int
    sizes: tuple[SizeRow, ...]
    checks: tuple[CheckGroup, ...]
    tally: str
    stages: tuple[Stage, ...]
    section: Markup
    plan: Markup
    cut_fill: Markup
    layers: tuple[Layers, ...]
    given_up: tuple[Shown, ...]
    variant: str
    levels: LevelView
    details: dict[str, Markup]

    @property
    def id(self) -> str:
        """The scheme's id, which is also its anchor."""
        return self.result.id

    @property
    def title(self) -> str:
        """The scheme's title."""
        return self.result.title


def scheme_view(reading: Reading, comparison: Comparison, result: SchemeResult, frame: Frame) -> SchemeView:
    order = comparison.decision.order
    stages: dict[str, list] = {}
    for line in result.priced.lines:
        stages.setdefault(line.stage, []).append(line)
    return SchemeView(
        result=result,
        place=order.index(result.id) + 1 if result.id in order else 0,
        sizes=_sizes(reading, result),
        checks=check_words.in_groups(result.works.checks),
        tally=check_words.tally(result.works.checks),
        stages=tuple(Stage(title, tuple(lines)) for title, lines in stages.items()),
        section=section_drawing(comparison, result, section_names(result.id), frame),
        plan=Markup(plan_svg(comparison, result, comparison.scenario.units, f"{result.id}-plan")),
        layers=layers(result.works, comparison.scenario.region),
        cut_fill=Markup(cut_fill_svg(comparison, result, comparison.scenario.units, f"{result.id}-cut-fill")),
        given_up=tuple(item.words for item in wording.given_up_by(comparison, result.id)),
        variant=_variant_words(result),
        levels=_level_view(comparison, result),
        details={damp.METHOD: _damp_drawings(comparison, result)},
    )


def _damp_drawings(comparison: Comparison, result: SchemeResult) -> Markup:
    """The edge in cross-section, then what may be added there or go wrong, in the units of the scenario."""
    given = (comparison.site, result.works, comparison.scenario.units)
    return Markup(damp_detail_svg(*given, f"{result.id}-damp") + damp_additions_svg(*given, f"{result.id}-later"))


def _level_view(comparison: Comparison, result: SchemeResult) -> LevelView:
    sentences = wording.level_sentences(result, comparison.scenario.currency)
    rows = level_curve_table(result)
    curve = drawn(lambda units, names: level_curve_svg(comparison, result, units, names), f"{result.id}-levels") if rows else Markup("")
    return LevelView(sentences, curve, rows)


# A size and the input that fixes it are not always called alike.
_INPUTS_OF_SIZE = {"wall_above_floor_m": ("knee_height", "upstand"), "insulation_thickness_m": ("insulation_thickness", "insulation_r", "target_u")}


def _variant_words(result: SchemeResult) -> str:
    """How the low side was made; nothing where the ground asks for neither stone nor steps there."""
    works = result.works
    if not works.steps and not works.volume_m3(BATTER):
        return ""
    return getattr(SCHEME_BY_ID[result.id], "VARIANT_TITLES", {}).get(works.variant, "")


def _sizes(reading: Reading, result: SchemeResult) -> tuple[SizeRow, ...]:
    """The sizes of a scheme that are not nothing, each with who chose it and why."""
    reasons = {used.key: used.reason for used in reading.defaults}
    rows = []
    for name, metres in result.works.sizes.items():
        if metres <= 0.0:
            continue
        keys = [f"schemes.{result.id}.{key}" for key in _INPUTS_OF_SIZE.get(name, (name.removesuffix("_m"),))]
        yours = [key for key in keys if key in reading.given and key not in reasons]
        reason = "as you gave it" if yours else next((reasons[key] for key in keys if key in reasons), "")
        rows.append(SizeRow(wording.SIZE_LABELS[name], display.length(metres), reason))
    return tuple(rows)
