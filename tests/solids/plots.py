"""Invented plots that no rectangle and no plane fits: outlines of many shapes, and spot levels round them."""

import math
import random

from calculators import survey


def turned(corners, degrees, east, north):
    a = math.radians(degrees)
    return tuple((x * math.cos(a) - y * math.sin(a) + east, x * math.sin(a) + y * math.cos(a) + north) for x, y in corners)


def block(west, south, east, north):
    return ((west, south), (east, south), (east, north), (west, north))


# Corners anticlockwise, and the convex parts that a plan is made of where it is not convex itself.
L_SHAPE = ((0.0, 0.0), (7.2, 0.0), (7.2, 3.6), (4.2, 3.6), (4.2, 6.0), (0.0, 6.0))
L_PARTS = [block(0, 0, 7.2, 3.6), block(0, 0, 4.2, 6.0)]
PLANS = {
    "L": (L_SHAPE, L_PARTS),
    "L turned": (turned(L_SHAPE, 205.0, 21.0, -17.0), [turned(part, 205.0, 21.0, -17.0) for part in L_PARTS]),
    "T": (((3.0, 0.0), (6.4, 0.0), (6.4, 2.8), (8.8, 2.8), (8.8, 6.2), (0.0, 6.2), (0.0, 2.8), (3.0, 2.8)), [block(0, 2.8, 8.8, 6.2), block(3.0, 0, 6.4, 6.2)]),
    "cut corner": (((0.0, 0.0), (6.6, 0.0), (6.6, 3.1), (5.0, 4.8), (0.0, 4.8)), None),
    "L with a cut corner": (
        ((0.0, 1.5), (1.2, 0.0), (7.4, 0.0), (7.4, 3.4), (4.0, 3.4), (4.0, 6.6), (0.0, 6.6)),
        [((0.0, 1.5), (1.2, 0.0), (7.4, 0.0), (7.4, 3.4), (0.0, 3.4)), ((0.0, 1.5), (1.2, 0.0), (4.0, 0.0), (4.0, 6.6), (0.0, 6.6))]),
    "porch": (
        ((0.0, 0.0), (9.0, 0.0), (9.0, 5.4), (6.4, 5.4), (6.4, 3.4), (2.6, 3.4), (2.6, 5.4), (0.0, 5.4)),
        [block(0, 0, 9.0, 3.4), block(0, 0, 2.6, 5.4), block(6.4, 0, 9.0, 5.4)]),
    "bent": (
        ((0.0, 0.0), (7.0, 0.0), (7.0, 3.0), (4.0, 3.0), (2.5, 6.0), (0.0, 6.0)),
        [block(0, 0, 7.0, 3.0), ((0.0, 0.0), (5.5, 0.0), (2.5, 6.0), (0.0, 6.0))]),
}


def hillside(x, y, fall, towards_deg):
    """Ground that no plane fits: a fall, a hollow and a bank."""
    away = math.radians(towards_deg)
    return (50.0 - fall * (x * math.sin(away) + y * math.cos(away)) - 0.25 * math.exp(-((x - 3.0) ** 2 + (y - 2.0) ** 2) / 5.0)
            + 0.2 * math.sin(0.9 * x + 0.3) * math.cos(0.7 * y))


def scattered(corners, count=100, seed=1, fall=0.09, towards_deg=160.0):
    """Spot levels anywhere round a plan, no four of them on one circle."""
    chance, found = random.Random(seed), []
    west, south = (min(corner[i] for corner in corners) - 3.0 for i in (0, 1))
    east, north = (max(corner[i] for corner in corners) + 3.0 for i in (0, 1))
    while len(found) < count:
        x, y = round(chance.uniform(west, east), 2), round(chance.uniform(south, north), 2)
        if all(math.dist((x, y), point[:2]) > 0.15 for point in found):
            found.append((x, y, round(hillside(x - west, y - south, fall, towards_deg), 3)))
    return found


def gridded(corners, pitch=1.5, fall=0.09, towards_deg=160.0):
    """Spot levels on a square grid: Delaunay's triangles may divide each square either way."""
    (west, east), (south, north) = ((min(c[i] for c in corners) - 3.0, max(c[i] for c in corners) + 3.0) for i in (0, 1))
    across, up = int((east - west) / pitch), int((north - south) / pitch) + 1
    return [(west + pitch * i, south + pitch * j, round(hillside(pitch * i, pitch * j, fall, towards_deg), 3)) for i in range(across + 1) for j in range(up + 1)]


def surveyed(corners, levels, **others):
    """A plot's plan and ground as the reader of a scenario makes them."""
    levels = survey.settled_levels(levels)
    beyond = survey.beyond_survey(levels)
    return dict(corners_m=tuple(corners), levels_m=levels, beyond_m=beyond, triangles=survey.triangles_through(levels, beyond), gradient=0.0, falls_to_deg=None) | others
