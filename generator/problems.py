"""What is wrong with what somebody typed, in one clear sentence each.

Every door (command line, site, form) collects `Problem` records and shows
`Problem.sentence()`.  Nothing here knows where the text came from.
"""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

LONGEST_SHOWN = 60
"""Characters of somebody's text repeated in a sentence before it is cut."""


def plain_text(text: str) -> str:
    """Text with control and invisible formatting characters taken out and blanks closed up.

    >>> plain_text("Shed\\x1b[31m  by\\tthe\\u202e barn ")
    'Shed[31m by the barn'
    """
    spaced = "".join(" " if ch.isspace() else ch for ch in text)
    kept = "".join(ch for ch in spaced if unicodedata.category(ch) not in ("Cc", "Cf", "Cs", "Co", "Cn"))
    return " ".join(kept.split())


def as_shown(text: str) -> str:
    """Somebody's text in quotation marks, made harmless and cut, to repeat in a sentence.

    >>> as_shown("6,6 m")
    '"6,6 m"'
    """
    short = plain_text(text[: 4 * LONGEST_SHOWN])
    if len(short) > LONGEST_SHOWN or len(text) > 4 * LONGEST_SHOWN:
        short = short[: LONGEST_SHOWN - 3] + "..."
    return f'"{short}"'


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None when none is like it.

    >>> nearest("topsiol", ["topsoil", "soil"])
    'topsoil'
    """
    names = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word[:LONGEST_SHOWN].lower(), names, n=1, cutoff=0.6)
    return names[found[0]] if found else None


def listed(words: Iterable[str], last: str = "or") -> str:
    """Words in a row as a sentence has them.

    >>> listed(["low", "medium", "high"])
    'low, medium or high'
    """
    items = list(words)
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


@dataclass(frozen=True)
class Problem:
    """One thing that cannot be read: where, what was given, what is wanted, an example.

    `line` is a line number counted from 1, or the words of another place
    ("--set").  `example` may be empty.
    """

    file: str
    line: int | str
    field: str
    given: str
    wanted: str
    example: str = ""

    def sentence(self) -> str:
        """The problem as `file:line: field: what was given; what is wanted, like example`.

        >>> Problem("shed.md", 3, "plot.topsoil", '"6" has no unit', "write a length with its unit", "150 mm").sentence()
        'shed.md:3: plot.topsoil: "6" has no unit; write a length with its unit, like 150 mm'
        """
        like = f", like {self.example}" if self.example else ""
        return f"{plain_text(self.file)}:{self.line}: {self.field}: {self.given}; {self.wanted}{like}"


class BadInput(Exception):
    """Input that cannot be used, with every problem found in it."""

    def __init__(self, problems: Iterable[Problem]):
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))
