"""Small things about files that several keepers share."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable


def digest(contents: Iterable[bytes]) -> str:
    """A short name for some contents."""
    found = hashlib.sha256()
    for content in contents:
        found.update(len(content).to_bytes(8, "big") + content)
    return found.hexdigest()
