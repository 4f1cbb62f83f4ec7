"""Checks into words: which question each answers, its figure and limit, its verdict, its working, and whom to ask.

Nothing is judged here: figures, ratios and verdicts are those of the checks.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from calculators.compare import Comparison, SchemeResult
from calculators.permissions import BELOW
from calculators.works import Check
from generator.display import MINUS, Shown, number, percent, quantity, same
from generator.phrases import in_sentence, joined, sentence
from generator.problems import listed

QUESTIONS: dict[str, str] = {
    "rules": "Does it keep the rules?",
    "strength": "Will it stand?",
    "damp": "Will it stay dry?",
    "water": "Where does the rain go?",
    "heat": "Will it be warm?",
}
"""What a reader asks, by the method that answers it, which is also the name of the page about it."""

VERDICTS = ("within", "close", "outside", "not worked out")
WORST_FIRST = ("outside", "close", "not worked out", "within")

ENGINEER = "an engineer"
TO_BE_PUT_RIGHT = "to be put right"

_SUPERSCRIPT = {"2": "²", "3": "³"}
_POWER = re.compile(r"(?<=[A-Za-z)])([23])\b|\^([23])\b")
_BELOW_NOTHING = re.compile(r"(?<![\w.)])-(?=\d)")
_EXPONENT = re.compile(r"\b\d+(\.\d+)?e-\d+\b")


def formula(working: str) -> str:
    """A working typed in plain letters, as it is printed.

    >>> formula("M = w L2 / 8 = 5 kN/m x (3 m)2 / 8"), formula("pi x 0.11^2, C16/20, A193")
    ('M = w L² / 8 = 5 kN/m × (3 m)² / 8', 'pi × 0.11², C16/20, A193')
    >>> formula("-0.05 at 2.1e-05 m/s").replace("\u2212", "minus ")
    'minus 0.05 at 0.000021 m/s'
    """
    plain = _EXPONENT.sub(lambda found: format(Decimal(found[0]), "f"), working)
    raised = _POWER.sub(lambda found: _SUPERSCRIPT[found[1] or found[2]], plain)
    return _BELOW_NOTHING.sub(MINUS, raised).replace(" x ", " × ")


# One check.


def verdict_words(check: Check) -> str:
    """The verdict of a check, in the guide's own words."""
    return f"outside: ask {check.ask or ENGINEER}" if check.verdict == "outside" else check.verdict


def put_right(check: Check) -> bool:
    """Whether a check is outside in a way that does not strike the scheme out."""
    return check.verdict == "outside" and not check.stops


def bound(check: Check) -> str:
    """Whether the limit of a check is the most or the least that may be; "limit" where its figures do not say."""
    if check.provided is None or check.required is None or check.provided == check.required:
        return "limit"
    if check.verdict == "outside":
        return "at most" if check.provided > check.required else "at least"
    if check.ratio is None:
        return "limit"
    return "at most" if (check.provided < check.required) == (check.ratio < 1.0) else "at least"


def amount(value: float, unit: str) -> Shown:
    """A figure of a check; a fall the wrong way says so, since a slope in words has no sign."""
    return quantity(value, unit).with_words(after=" the wrong way" if unit == "gradient" and value < 0.0 else "")


def figures(check: Check) -> Shown:
    """The figure of a check and its limit, as far as it has them; a sign on the plot has neither."""
    if check.provided is None and check.required is None:
        return same("seen on the plot" if check.verdict == "outside" else "")
    if check.required is None:
        return amount(check.provided, check.unit)
    limit = amount(check.required, check.unit)
    if check.provided is None:
        return limit.with_words("limit ")
    return joined((amount(check.provided, check.unit), limit), f"; {bound(check)} ")


def working(check: Check) -> str:
    """How a check was worked out, in SI: its formula with numbers, or its figure over its limit."""
    if check.working:
        return formula(check.working)
    if check.provided is None or check.required is None:
        return ""
    provided, required = amount(check.provided, check.unit).metric, amount(check.required, check.unit).metric
    if check.ratio is None or bound(check) == "limit":
        return f"{provided} against {required}"
    over = (provided, required) if bound(check) == "at most" else (required, provided)
    return f"{' / '.join(over)} = {number(check.ratio, 2)}"


# Checks that stop a scheme.


def reason_figure(check: Check) -> Shown:
    """The figure of a check that stops a scheme beside its limit; empty for a sign without figures."""
    if check.provided is None or check.required is None:
        return same("")
    return joined((amount(check.provided, check.unit), amount(check.required, check.unit)), f"; limit {bound(check)} ")


def reason_sentence(check: Check) -> Shown:
    """Why a check stops a scheme: its name, figure and limit, what that means, and whom to ask."""
    figure = reason_figure(check)
    ask = f" Ask {check.ask}." if check.ask else ""
    return Shown(*(f"{check.name}{': ' + words if words else ''}. {check.sentence}{ask}" for words in (figure.metric, figure.imperial)))


MOST_REASONS = 3
"""Reasons named in one line; the rest are counted, and stand in full further down."""


def reasons_in_short(result: SchemeResult) -> Shown:
    """What stops a scheme, by name with its figure, in one line: three reasons, and how many more."""
    parts = []
    for check in result.reasons:
        figure, name = reason_figure(check), in_sentence(check.name)
        parts.append(figure.with_words(f"{name} (", ")") if figure.metric else same(name))
    # Two doors on one side say the same thing.
    parts = list(dict.fromkeys(parts))
    more = len(parts) - MOST_REASONS
    return joined(parts[:MOST_REASONS], ", ").with_words(after=f", and {more} more" if more > 0 else "")


# Many checks.


def counted(checks: Iterable[Check]) -> dict[str, int]:
    """How many checks have each verdict."""
    verdicts = [check.verdict for check in checks]
    return {word: verdicts.count(word) for word in VERDICTS}


def tally(checks: Iterable[Check]) -> str:
    """How checks came out, in a sentence.

    >>> tally([])
    'Nothing is checked here.'
    """
    checks = list(checks)
    counts = counted(checks)
    if not checks:
        return "Nothing is checked here."
    if counts["within"] == len(checks):
        return "The one check here is within its limit." if len(checks) == 1 else f"All {len(checks)} checks are within their limits."
    parts = [f"{counts[word]} {word}" for word in VERDICTS if counts[word]]
    to_right = sum(put_right(check) for check in checks)
    if to_right:
        words = f"{counts['outside']} outside"
        parts[parts.index(words)] = f"{words} ({TO_BE_PUT_RIGHT if to_right == counts['outside'] else f'{to_right} {TO_BE_PUT_RIGHT}'})"
    return f"Of {len(checks)} checks: {listed(parts, 'and')}." if len(checks) > 1 else f"The one check here: {parts[0]}."


@dataclass(frozen=True)
class CheckGroup:
    """The checks that answer one question: those to look at, and the others, by how they came out."""

    method: str
    question: str
    tally: str
    in_view: tuple[Check, ...]
    others: tuple[Check, ...]


def in_groups(checks: Iterable[Check]) -> tuple[CheckGroup, ...]:
    """Checks by the question that they answer, in the order of `QUESTIONS`; what is outside or close is in view.

    Raises KeyError for a check whose method answers no question.
    """
    by_method: dict[str, list[Check]] = {method: [] for method in QUESTIONS}
    for check in sorted(checks, key=lambda check: WORST_FIRST.index(check.verdict)):
        by_method[check.method].append(check)
    return tuple(
        CheckGroup(
            method, QUESTIONS[method], tally(found),
            tuple(check for check in found if check.verdict in ("outside", "close")),
            tuple(check for check in found if check.verdict not in ("outside", "close")),
        )
        for method, found in by_method.items() if found)


def most_used(checks: Iterable[Check]) -> Check | None:
    """The check whose limit is used most: of those outside, if any, or else of the others that have a figure and a limit.

    A size that was chosen to meet its least value uses all of it and says
    nothing, and neither does what is close on a condition; both are passed over.
    """
    checks = list(checks)
    outside = [check for check in checks if check.verdict == "outside" and check.stops]
    if outside:
        return max(outside, key=lambda check: float("inf") if check.ratio is None else check.ratio)
    told = [
        check for check in checks if check.ratio is not None
        and (check.verdict == "close" and check.ratio <= 1.0 or check.verdict == "within" and bound(check) == "at most")]
    return max(told, key=lambda check: check.ratio, default=None)


def most_used_words(result: SchemeResult) -> str:
    """The check whose limit a scheme uses most, with how much of it."""
    check = most_used(result.works.checks)
    if check is None:
        return "no figure to show"
    used = "outside" if check.ratio is None else percent(check.ratio)
    return f"{used}: {in_sentence(check.name)}"


# Whom to ask.


def whom_to_ask(comparison: Comparison) -> tuple[str, ...]:
    """Everybody whom the schemes outside the limits send a reader to, once each."""
    return tuple(dict.fromkeys(check.ask for result in comparison.schemes for check in result.reasons if check.ask))


@dataclass(frozen=True)
class Asking:
    """Somebody to ask before digging, and what about, in pieces of a sentence."""

    whom: str
    about: tuple[str, ...]


def who_to_ask(comparison: Comparison) -> tuple[Asking, ...]:
    """Everybody to ask before anything is dug, once each: first about what is outside a limit, then about what has to be applied for.

    What concerns some of the schemes names them.
    """
    asked: dict[str, dict[str, dict[str, None]]] = {}

    def note(whom: str, subject: str, *schemes: str) -> None:
        asked.setdefault(whom, {}).setdefault(subject, {}).update(dict.fromkeys(schemes))

    everyone = tuple(result.title for result in comparison.schemes)
    outside = [(check, result) for result in comparison.schemes for check in result.works.checks if check.verdict == "outside"]
    for check, result in sorted(outside, key=lambda found: put_right(found[0])):
        note(check.ask or ENGINEER, _subject(check), result.title)
    rules = comparison.site.rules
    note(rules.planning_authority, "where it may stand", *everyone)
    note(rules.building_authority, "which rules apply, and what is looked at before it is covered", *everyone)
    for result in comparison.schemes:
        for permission in result.permissions:
            if permission.verdict != BELOW:
                note(permission.of_whom, in_sentence(permission.what.partition(": ")[2] or permission.what), result.title)
    return tuple(Asking(whom, _about(subjects, len(everyone))) for whom, subjects in asked.items())


def _subject(check: Check) -> str:
    """What a check is about: a sign on the plot speaks for itself."""
    words = check.sentence.rstrip(".") if check.provided is None and check.required is None else check.name
    return in_sentence(words) + (f" ({TO_BE_PUT_RIGHT})" if put_right(check) else "")


def _about(subjects: dict[str, dict[str, None]], all_schemes: int) -> tuple[str, ...]:
    """Subjects with the schemes that they concern; several checks on one thing are said in one breath."""
    grouped: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for subject, schemes in subjects.items():
        thing, _, part = subject.partition(": ")
        grouped.setdefault((thing, tuple(schemes)), []).append(part)
    return tuple(
        f"{thing}{': ' + listed(parts, 'and') if any(parts) else ''}"
        + ("" if len(schemes) == all_schemes else f" ({'; '.join(in_sentence(title) for title in schemes)})")
        for (thing, schemes), parts in grouped.items())


def whom_words(asking: Asking) -> str:
    """Who is asked, as a line starts with them."""
    return sentence(asking.whom)
