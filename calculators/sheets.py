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


Rectangles = tuple[tuple[float, float], ...]


def fabric_sheets(rectangles: Rectangles, sheet_long_m: float, sheet_short_m: float, lap_m: float) -> int:
    """Whole sheets of fabric over a plan cut into rectangles, each laid the better of the two ways round.

    rectangles: (along, across), m, inside their cover; a second and any
    further one laps the one before.  sheet_long_m, sheet_short_m: a sheet, m;
    lap_m: lap on every edge, m.  Returns a count.  Raises ValueError as
    `pieces_across` does.  Source: geometry.

    >>> fabric_sheets(((6.5, 4.1),), 4.8, 2.4, 0.4)
    4
    """
    def count(along_m: float, across_m: float) -> int:
        def laid(first_m: float, second_m: float) -> int:
            return pieces_across(along_m, first_m, lap_m) * pieces_across(across_m, second_m, lap_m)

        return min(laid(sheet_long_m, sheet_short_m), laid(sheet_short_m, sheet_long_m))

    return sum(count(along + (lap_m if i else 0.0), across) for i, (along, across) in enumerate(rectangles))


def membrane_rolls(rectangles: Rectangles, unfolded_m: float, roll_width_m: float, roll_length_m: float, lap_m: float) -> int:
    """Whole rolls of membrane over a plan cut into rectangles, each laid the better of the two ways round.

    rectangles: (along, across), m, flat; unfolded_m: what upturns and slopes
    add to each length and breadth, m, which is lap enough where rectangles
    meet; roll_width_m, roll_length_m: a roll, m; lap_m: sealed lap between
    strips, m.  A strip may continue on the next roll.  Returns a count.
    Raises ValueError as `pieces_across` does.  Source: geometry.

    >>> membrane_rolls(((6.6, 4.2),), 0.9, 4.0, 25.0, 0.3)
    1
    """
    joined = 0.0
    for along, across in rectangles:
        first, second = along + unfolded_m, across + unfolded_m
        joined += min(pieces_across(second, roll_width_m, lap_m) * first, pieces_across(first, roll_width_m, lap_m) * second)
    # A strip that runs on from one roll to the next takes one more lap.
    rolls = steps_up(joined, roll_length_m)
    return steps_up(joined + (rolls - 1) * lap_m, roll_length_m)
