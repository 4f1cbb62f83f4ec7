"""Small pieces of English that every sentence of the guide is put together with."""

from __future__ import annotations

import re
from collections.abc import Iterable

from generator.display import Shown


def joined(parts: Iterable[Shown], between: str = " ") -> Shown:
    """Several pieces of text as one."""
    parts = list(parts)
    return Shown(between.join(p.metric for p in parts), between.join(p.imperial for p in parts))


_STAYS_CAPITAL = re.compile(r"[A-Z][A-Z-]|[B-HJ-Z] ")
"""The start of an abbreviation or a symbol, which keeps its capital wherever it stands."""


def in_sentence(title: str) -> str:
    """A title as it stands inside a sentence.

    >>> in_sentence("Thickened raft"), in_sentence("T-beam floor"), in_sentence("R of a board"), in_sentence("A board")
    ('thickened raft', 'T-beam floor', 'R of a board', 'a board')
    """
    return title if _STAYS_CAPITAL.match(title) else title[:1].lower() + title[1:]


def sentence(words: str) -> str:
    """Words as a sentence starts with them.

    >>> sentence("a builder")
    'A builder'
    """
    return words[:1].upper() + words[1:]
