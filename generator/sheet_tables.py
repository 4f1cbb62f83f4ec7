"""A table of words, as sheets on paper and lines on a terminal both show it."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

from generator.text_table import WIDTH


@dataclass(frozen=True)
class Table:
    """Rows of words under headings; the first column names the row.  `note` stands below."""

    id: str
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


def table_lines(table: Table) -> list[str]:
    """The table as lines of a terminal, with its title above and its note below."""
    # A column that is there to be written in has no use on a screen.
    filled = [i for i in range(len(table.columns)) if any(row[i] for row in table.rows)]
    rows = [[row[i] for i in filled] for row in (table.columns, *table.rows)]
    widths = [max(len(row[i]) for row in rows) for i in range(len(filled))]
    lines = [table.title]
    for row in rows:
        lines.append("  ".join(cell.ljust(width) if i == 0 else cell.rjust(width) for i, (cell, width) in enumerate(zip(row, widths))).rstrip())
    return lines + textwrap.wrap(table.note, WIDTH)
