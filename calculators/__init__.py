"""Quantities, costs, checks and the comparison: pure functions of numbers.

Nothing here reads a file, knows a unit of display, or writes a page.  Lengths
are metres, areas square metres, volumes cubic metres, masses kilograms or
tonnes where the name says so; the suffix of every name tells which.
"""
