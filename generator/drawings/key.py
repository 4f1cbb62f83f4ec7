"""The key to the drawings: what each hatch and each line stands for."""

from __future__ import annotations

from generator.drawings.sheet import render

HATCHES = (
    ("concrete", "concrete"),
    ("block", "blockwork"),
    ("stone", "stone: sub-base, batter, trench refill"),
    ("drain-stone", "drain stone"),
    ("sand", "sand blinding"),
    ("insulation", "insulation"),
    ("topsoil", "topsoil"),
    ("subsoil", "undisturbed ground"),
    ("backfill", "dug ground put back"),
)

LINES = (
    ("sp-ground", "existing ground"),
    ("sp-dig", "line of the dig"),
    ("sp-membrane", "membrane"),
    ("sp-dpc", "damp-proof course"),
    ("sp-ghost", "wall above, not part of the foundation"),
    ("sp-beyond", "steps in the side wall, seen beyond the cut"),
)


def drawing_key_svg(id_prefix: str = "sp-key") -> str:
    """The key as a list of small pictures with words; id_prefix: unique on the page."""
    return render("key.svg.j2", prefix=id_prefix, hatches=HATCHES, lines=LINES)
