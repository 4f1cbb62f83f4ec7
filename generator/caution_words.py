"""Cautions in words: for a page, where schemes share them, and for a sheet, where each stands beside its work.

No figure is worked out here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from calculators.compare import Comparison
from calculators.plot_cautions import KEYS, PLACES, Amount, Caution, cautions_of, plot_cautions
from generator.display import Shown, quantity
from generator.phrases import joined

_NAME = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True)
class FoundView:
    """What the figures say under some schemes; `schemes` is empty where it holds for the plot."""

    schemes: tuple[str, ...]
    words: Shown


@dataclass(frozen=True)
class CautionView:
    """One caution on a page: its title, what the figures say, and what to do."""

    key: str
    title: str
    found: tuple[FoundView, ...]
    advice: Shown


def with_figures(words: str, figures: Mapping[str, Amount]) -> Shown:
    """A sentence with its figures in it.  Raises KeyError for a name that has none.

    >>> with_figures("It goes {depth} down.", {"depth": Amount(1.2, "m")}).metric
    'It goes 1.20 m down.'
    """
    def in_units(units: str) -> str:
        return _NAME.sub(lambda found: quantity(figures[found[1]].value, figures[found[1]].unit).of(units), words)

    return Shown(in_units("metric"), in_units("imperial"))


def caution_sentence(caution: Caution) -> Shown:
    """All of a caution as running text: what the figures say, then what to do."""
    return joined(with_figures(words, caution.figures) for words in (caution.found, caution.sentence) if words)


def cautions_at(cautions: Iterable[Caution], where: str) -> list[tuple[str, Shown]]:
    """Title and words of the cautions that belong to one place of the work, in order.

    where: one of `plot_cautions.PLACES`.  Raises ValueError for any other.
    """
    if where not in PLACES:
        raise ValueError(f"cautions belong to {', '.join(PLACES)}, not {where!r}")
    return [(caution.title, caution_sentence(caution)) for caution in cautions if caution.where == where]


def caution_views(comparison: Comparison) -> tuple[CautionView, ...]:
    """The cautions of a page: those of the plot first, then those that a scheme's own figures belong to, each told once.

    Schemes outside the limits have none of their own.
    """
    of_plot = plot_cautions(comparison.site)
    buildable = [result for result in comparison.schemes if result.buildable]
    by_key: dict[str, list[tuple[str, Caution]]] = {}
    for result in buildable:
        job = comparison.jobs.get(result.id)
        for caution in job.cautions if job else cautions_of(comparison.site, result):
            if caution not in of_plot:
                by_key.setdefault(caution.key, []).append((result.title, caution))
    return (
        *(_view(caution, _found(caution)) for caution in of_plot if caution.key not in by_key),
        *(_view(by_key[key][0][1], _found_by_scheme(by_key[key], len(buildable))) for key in sorted(by_key, key=KEYS.index)))


def _view(caution: Caution, found: tuple[FoundView, ...]) -> CautionView:
    return CautionView(caution.key, caution.title, found, with_figures(caution.sentence, caution.figures))


def _found(caution: Caution) -> tuple[FoundView, ...]:
    return (FoundView((), with_figures(caution.found, caution.figures)),) if caution.found else ()


def _found_by_scheme(told: list[tuple[str, Caution]], schemes: int) -> tuple[FoundView, ...]:
    """What each scheme's figures say; schemes whose figures say the same share their line."""
    titles: dict[Shown, list[str]] = {}
    for title, caution in told:
        titles.setdefault(with_figures(caution.found, caution.figures), []).append(title)
    # What holds for every scheme and has no figure needs no names.
    if len(told) == schemes and not any(caution.found for _, caution in told):
        return ()
    return tuple(FoundView(tuple(names), words) for words, names in titles.items())
