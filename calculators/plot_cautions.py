"""What can hurt people on this plot, from its own figures, for the place on a page where the work is."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Caution:
    """One caution: where it belongs (`everywhere`, `order`, `dig`, `pour` or `after`), its title, and a sentence in which `{figure}` stands for a figure of `unit`, SI; None where it has none."""

    key: str
    where: str
    title: str
    sentence: str
    figure: float | None = None
    unit: str = ""
