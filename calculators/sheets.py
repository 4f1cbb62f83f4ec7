"""Laying out whole sheets and strips: fabric and membrane."""

from __future__ import annotations

from calculators.numbers import steps_up


def pieces_across(width_m: float, piece_m: float, lap_m: float) -> int:
    """How many pieces of one width cover a width, each lapping its neighbour.

    width_m: width to cover, m, 0 or more; piece_m: width of a piece, m;
    lap_m: lap, m, less than the piece.  Returns a count, at least 1.  Raises
    ValueError when the lap is not less than the piece.
    Source: geometry.

    >>> pieces_across(6.5, 4.8, 0.4), pieces_across(4.1, 2.4, 0.4)
    (2, 2)
    """
    if not 0.0 <= lap_m < piece_m:
        raise ValueError(f"A lap of {lap_m} m on a piece of {piece_m} m covers nothing.")
    return 1 + steps_up(max(0.0, width_m - piece_m), piece_m - lap_m)


def fabric_sheets(long_m: float, short_m: float, sheet_long_m: float, sheet_short_m: float, lap_m: float) -> int:
    """Whole sheets of fabric over a rectangle, the better of the two ways round.

    long_m, short_m: the rectangle inside its cover, m; sheet_long_m,
    sheet_short_m: a sheet, m; lap_m: lap on every edge, m.  Returns a count.
    Raises ValueError as `pieces_across` does.  Source: geometry.

    >>> fabric_sheets(6.5, 4.1, 4.8, 2.4, 0.4)
    4
    """
    def count(along_m: float, across_m: float) -> int:
        return pieces_across(long_m, along_m, lap_m) * pieces_across(short_m, across_m, lap_m)

    return min(count(sheet_long_m, sheet_short_m), count(sheet_short_m, sheet_long_m))


def membrane_rolls(long_m: float, short_m: float, roll_width_m: float, roll_length_m: float, lap_m: float) -> int:
    """Whole rolls of membrane over a rectangle with its upturns unfolded, the better of the two ways round.

    long_m, short_m: the rectangle, m; roll_width_m, roll_length_m: a roll, m;
    lap_m: sealed lap between strips, m.  A strip may continue on the next roll.
    Returns a count.  Raises ValueError as `pieces_across` does.  Source: geometry.

    >>> membrane_rolls(7.5, 5.1, 4.0, 25.0, 0.3)
    1
    """
    def count(along_m: float, across_m: float) -> int:
        strips = pieces_across(across_m, roll_width_m, lap_m)
        # Each strip may need one more lap where the roll ends under way.
        joined = strips * along_m
        rolls = steps_up(joined, roll_length_m)
        return steps_up(joined + (rolls - 1) * lap_m, roll_length_m)

    return min(count(long_m, short_m), count(short_m, long_m))
