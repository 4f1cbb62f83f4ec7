"""Chances in words, as people speak of them: so many times in ten, or in a hundred."""

from __future__ import annotations

from generator.display import exactly, number

FEW = 0.1
"""Nearer to never or to always than this, times are counted in a hundred and not in ten."""


def odds_words(share: float) -> str:
    """A share of one as times in ten, or in a hundred where ten would say too little.

    share: 0 to 1.  Raises ValueError for anything else.

    >>> odds_words(0.9881), odds_words(0.68), odds_words(0.1), odds_words(0.5)
    ('99 times in 100', 'about 7 times in 10', '1 time in 10', '5 times in 10')
    >>> odds_words(0.0), odds_words(0.0004), odds_words(0.9996), odds_words(1.0)
    ('not once', 'less than 1 time in 100', 'more than 99 times in 100', 'every time')
    """
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"a chance goes from 0 to 1, not {share}")
    if share in (0.0, 1.0):
        return "every time" if share else "not once"
    exact = exactly(share)
    near = min(exact, 1 - exact)
    if near < exactly(0.005):
        return "more than 99 times in 100" if share > 0.5 else "less than 1 time in 100"
    of = 100 if near < exactly(FEW) else 10
    # Counted from the nearer end, so that a chance and its opposite add up.
    few = int(number(float(near * of)))
    times = few if share < 0.5 else of - few
    about = "about " if of == 10 and exact * of != times else ""
    return f"{about}{times} {'time' if times == 1 else 'times'} in {of}"
