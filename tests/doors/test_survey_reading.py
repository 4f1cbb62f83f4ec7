"""Surveys, level books, drops, plans of any outline, doors and walls: how they are read and what is refused."""

import itertools
import math
import random
import re

import jsonschema
import pytest

from calculators import survey
from calculators.compare import compare
from calculators.ground import four_triangles
from calculators.plan import Plan, polygon_area_m2
from generator.comparison_json import comparison_document
from generator.comparison_schema import comparison_schema
from generator.front_matter import as_data, read_front_matter
from generator.input_rows import understood
from generator.inputs import BY_KEY, MOST_LEVELS
from generator.new_scenario import new_scenario_text
from generator.problems import BadInput
from generator.scenario import Reading, read_scenario_text
from generator.scenario_schema import scenario_schema

SMALL = "---\nplot:\n  footprint: 6 m x 4 m\n  slope: 1:14\n  falls_to: south\n---\n"
BARE = "---\nplot:\n  footprint: 6 m x 4 m\n---\n"
L_SHAPE = ((0.0, 0.0), (7.2, 0.0), (7.2, 3.6), (4.2, 3.6), (4.2, 6.0), (0.0, 6.0))
T_SHAPE = ((0.0, 0.0), (9.0, 0.0), (9.0, 3.0), (6.0, 3.0), (6.0, 6.0), (3.0, 6.0), (3.0, 3.0), (0.0, 3.0))
CUT_CORNER = ((0.0, 0.0), (5.0, 0.0), (6.0, 1.0), (6.0, 4.0), (0.0, 4.0))


def read(text: str, *overrides: str) -> Reading:
    return read_scenario_text(text, "plot.md", "my-plot", overrides)


def plot_of(text: str, *overrides: str):
    return read(text, *overrides).scenario.plot


def building_of(text: str, *overrides: str):
    return read(text, *overrides).scenario.building


def refused(text: str, *overrides: str) -> list[str]:
    with pytest.raises(BadInput) as error:
        read(text, *overrides)
    sentences = [problem.sentence() for problem in error.value.problems]
    for sentence in sentences:
        assert re.match(r"plot\.md:(\d+|--set): [^:;]+: [^;]+; \S[^;]*$", sentence), sentence
    return sentences


def one_refusal(text: str, *overrides: str) -> str:
    sentences = refused(text, *overrides)
    assert len(sentences) == 1, sentences
    return sentences[0]


def rows(points, unit: str = "m", size: float = 1.0) -> str:
    return "[" + ", ".join("[" + ", ".join(f"{value / size:.12g} {unit}" for value in point) + "]" for point in points) + "]"


def cornered(points, *lines: str) -> str:
    return "\n".join(["---", "plot:", f"  corners: {rows(points)}", "  slope: 1:20", "  falls_to: south", *lines, "---", ""])


def grid(step: float = 2.0, across: int = 5, up: int = 4):
    """Levels round a building of 6 x 4 m on ground that no plane fits."""
    return [(step * i - 1, step * j - 1, round(10 + 0.05 * i - 0.08 * j + 0.02 * (i % 2) * j, 3)) for i in range(across) for j in range(up)]


# Spot levels.


def test_four_corners_of_a_rectangle_stay_four_triangles():
    corners = ((0.0, 0.0, 10.0), (6.0, 0.0, 9.7), (6.0, 4.0, 10.1), (0.0, 4.0, 10.2))
    for order in itertools.permutations(corners):
        plot = plot_of(BARE, f"plot.levels={rows(order)}")
        assert (plot.levels_m, plot.triangles, plot.beyond_m) == (corners, (), ())
        assert survey.ground_of(plot).patches == four_triangles(corners).patches


def test_any_other_levels_are_triangulated():
    plot = plot_of(BARE, f"plot.levels={rows(grid())}")
    assert len(plot.levels_m) == 20 and len(plot.beyond_m) == 8
    assert (plot.gradient, plot.falls_to_deg) == (0.0, None)
    points = plot.levels_m + plot.beyond_m
    # Euler: a triangulation of n points, h of them on its outline, has 2 n - h - 2 triangles.
    assert len(plot.triangles) == 2 * len(points) - 8 - 2
    for triangle in plot.triangles:
        assert polygon_area_m2(tuple(points[i][:2] for i in triangle)) > 0
    assert set(range(28)) == {i for triangle in plot.triangles for i in triangle}


def test_a_fifth_level_in_the_middle_is_not_passed_over():
    corners = [(0, 0, 10.0), (6, 0, 9.7), (6, 4, 10.1), (0, 4, 10.2)]
    plot = plot_of(BARE, f"plot.levels={rows([*corners, (3, 2, 9.8)])}")
    assert len(plot.triangles) == 2 * 13 - 8 - 2


@pytest.mark.parametrize("unit, size", [("m", 1.0), ("mm", 0.001), ("ft", 0.3048)])
def test_neither_order_nor_unit_matters(unit, size):
    levels = grid()
    first = plot_of(BARE, f"plot.levels={rows(levels)}")
    random.Random(unit).shuffle(levels)
    second = plot_of(BARE, f"plot.levels={rows(levels, unit, size)}")
    assert second.triangles == first.triangles
    for here, there in zip(second.levels_m + second.beyond_m, first.levels_m + first.beyond_m):
        assert here == pytest.approx(there, abs=1e-9)


def test_a_comparison_reads_the_survey():
    """The ground at a corner, and the fall, are those of the levels."""
    levels = [(x, y, z) for x, y, z in grid() if (x, y) != (5, 3)] + [(6.0, 4.0, 9.9), (0.0, 0.0, 10.35)]
    site = compare(read(BARE, f"plot.levels={rows(levels)}").scenario).site
    assert site.corner_levels_m[0] - site.corner_levels_m[2] == pytest.approx(10.35 - 9.9, abs=1e-6)


def test_the_same_level_twice_counts_once():
    levels = grid()
    assert plot_of(BARE, f"plot.levels={rows([*levels, levels[3]])}") == plot_of(BARE, f"plot.levels={rows(levels)}")


@pytest.mark.parametrize("levels, words", [
    ([*grid(), (3.003, 3, 10.5)], "the point (3 m, 3 m) has two levels, 9.940 m and 10.500 m; keep the one"),
    ([(0, 0, 1), (6, 0, 1)], "2 entries are given; give from 3 to"),
    ([(0, 0, 1), (6, 0, 1), (6, 0.001, 1)], "there are 2 different points with a level"),
    ([(0, 0, 1), (3, 2, 1.1), (6, 4, 1.2)], "all the points lie on one line"),
    ([(0, 0, 1), (6, 0, 1), (6, 3.8, 1.1), (0, 4, 1.1)], "the corner of the building at (6 m, 4 m) lies 0.20 m outside the outermost points"),
    ([*grid(), (306, 4, 10)], "the point (306 m, 4 m) is more than 100 m from the building"),
    ([(x, y, z + (1.0 if (x, y) == (3, 1) else 0.0)) for x, y, z in grid()], "the level at (3 m, 1 m), 11.020 m, is 0.99 m above what its neighbours say; look for a slip"),
    ([(0, 0, 0), (6, 0, 0), (6, 4, 0), (0, 4, 0), (0.5, 0, 0.4)], "the ground between (0 m, 0 m) and (0.5 m, 0 m) is steeper than 1:2"),
])
def test_surveys_that_are_refused(levels, words):
    assert words in one_refusal(f"---\nplot:\n  footprint: 6 m x 4 m\n  levels: {rows(levels)}\n---\n")


def test_a_corner_may_stick_out_by_the_width_of_a_peg():
    levels = [(0.03, 0.03, 1), (6, 0, 1), (6, 4, 1.1), (0, 4, 1.1)]
    assert len(plot_of(BARE, f"plot.levels={rows(levels)}").triangles) == 14


def test_every_uncovered_corner_is_told():
    sentences = refused(BARE, f"plot.levels={rows([(1, 1, 1), (5, 1, 1), (5, 3, 1), (1, 3, 1.1), (3, 2, 1)])}")
    assert len(sentences) == 4
    assert all("lies 1.41 m outside" in sentence for sentence in sentences)


def test_a_wild_level_that_was_checked_is_taken_and_said():
    levels = rows([(x, y, z + (0.8 if (x, y) == (3, 1) else 0.0)) for x, y, z in grid()])
    assert "levels_checked: yes" in one_refusal(BARE, f"plot.levels={levels}")
    plot = plot_of(BARE, f"plot.levels={levels}", "plot.levels_checked=yes")
    assert plot.levels_checked and (3.0, 1.0, 10.82) in plot.levels_m
    assert any("(3 m, 1 m)" in words for words in survey.survey_assumptions(plot))


def test_checked_levels_may_still_not_be_too_steep():
    levels = rows([(x, y, z + (4.0 if (x, y) == (3, 1) else 0.0)) for x, y, z in grid()])
    assert "steeper than 1:2" in one_refusal(BARE, f"plot.levels={levels}", "plot.levels_checked=yes")


@pytest.mark.parametrize("typed, words", [
    ("[[0 m, 0 m, 0 m], [6 m, 0 m], [6 m, 4 m, 0 m]]", "entry 2 has 2 parts"),
    ("[[0 m, 0 m, 0], [6 m, 0 m, 1], [6 m, 4 m, 0 m]]", '"1" has no unit'),
    ("[[0 m, 0 m, 0], [6000 m, 0 m, 1 m], [6 m, 4 m, 0 m]]", '"6000 m" is too large'),
    ("[[0 m, 0 m, 10 km], [6 m, 0 m, 1 m], [6 m, 4 m, 0 m]]", '"10 km" is too large'),
    ("{a: 1 m}", "a group of keys is not a list"),
    ("flat", '"flat" is not a list'),
    ("[" + ", ".join(["[0 m, 0 m, 0 m]"] * (MOST_LEVELS + 1)) + "]", f"{MOST_LEVELS + 1} entries are given"),
])
def test_levels_that_cannot_be_read(typed, words):
    assert any(words in sentence for sentence in refused(BARE, f"plot.levels={typed}"))


def test_every_bad_level_is_told_on_its_own_line():
    text = "---\nplot:\n  footprint: 6 m x 4 m\n  levels:\n    - [0 m, 0, 1]\n    - [6 m, 0 m, 1 m]\n    - [6 m, 4 mm]\n---\n"
    assert [sentence.split(":")[1] for sentence in refused(text)] == ["5", "7"]


# One way to give the ground.

BOOK = ("[{at: Door sill, level: 10 m, back: 1.5 m}, {at: [0 m, 0 m], inter: 1.8 m}, {at: [6 m, 0 m], inter: 1.7 m}, "
        "{at: [6 m, 4 m], fore: 1.3 m, back: 1.6 m}, {at: [0 m, 4 m], inter: 1.55 m}, {at: door  sill, fore: 1.795 m}]")
DROPS = "{south-west: 420 mm, south-east: 450 mm, north-east: 120 mm, north-west: 0 mm}"
WAYS = {"plot.levels": BY_KEY["plot.levels"].example.replace("6.6", "6").replace("4.2", "4"), "plot.level_book": BOOK, "plot.corner_drops": DROPS}


@pytest.mark.parametrize("first, second", list(itertools.combinations(WAYS, 2)))
def test_two_ways_are_one_too_many(first, second):
    names = [key.removeprefix("plot.") for key in (first, second)]
    assert f"both {names[0]} and {names[1]} are given; keep one" in one_refusal(BARE, f"{first}={WAYS[first]}", f"{second}={WAYS[second]}")


@pytest.mark.parametrize("key", WAYS)
def test_a_slope_with_levels_is_one_too_many(key):
    name = key.removeprefix("plot.")
    assert f"both slope and {name} are given" in one_refusal(SMALL, f"{key}={WAYS[key]}")
    assert f"both {name} and falls_to are given" in one_refusal(SMALL, f"{key}={WAYS[key]}", "plot.slope=")


def test_no_ground_at_all():
    assert "write the slope of the ground (0 for level ground), or levels, a level_book or corner_drops" in one_refusal(BARE)


# The level book.


def test_a_level_book_gives_levels():
    plot = plot_of(BARE, f"plot.level_book={BOOK}")
    assert [z for _, _, z in plot.levels_m] == pytest.approx([9.7, 9.8, 10.2, 10.25])
    assert plot.triangles == ()
    run = plot.level_run
    assert (run.set_ups, run.backsights_m, run.foresights_m) == (2, pytest.approx(3.1), pytest.approx(3.095))
    assert run.misclosure_m == pytest.approx(0.005)
    (words,) = survey.survey_assumptions(plot)
    assert "2 set-ups" in words and "misses its closing level by 5 mm" in words


@pytest.mark.parametrize("unit, size", [("mm", 0.001), ("in", 0.0254), ("ft", 0.3048)])
def test_a_staff_in_other_units(unit, size):
    typed = re.sub(r"([\d.]+) m\b", lambda found: f"{float(found[1]) / size:.12g} {unit}", BOOK)
    for here, there in zip(plot_of(BARE, f"plot.level_book={typed}").levels_m, plot_of(BARE, f"plot.level_book={BOOK}").levels_m):
        assert here == pytest.approx(there, abs=1e-9)


def test_a_book_that_begins_at_nothing_begins_at_nought():
    plot = plot_of(BARE, "plot.level_book=" + BOOK.replace(", level: 10 m", ""))
    assert plot.levels_m[0][2] == pytest.approx(-0.3)


def test_a_book_that_does_not_come_back():
    plot = plot_of(BARE, "plot.level_book=[{at: [0 m, 0 m], back: 1.8 m}, {at: [6 m, 0 m], inter: 1.7 m}, {at: [0 m, 4 m], inter: 1.4 m}, {at: [6 m, 4 m], fore: 1.3 m}]")
    assert plot.level_run.misclosure_m is None and len(plot.levels_m) == 4
    assert "nothing checks the readings" in survey.survey_assumptions(plot)[0]


@pytest.mark.parametrize("change, words", [
    ((", fore: 1.795 m", ", fore: 1.7 m"), "misses its closing level by 100 mm, which is more than 50 mm"),
    (("{at: door  sill, fore", "{at: door sill, level: 11 m, fore"), "the known levels 10.000 m and 11.000 m"),
    (("back: 1.5 m", "fore: 1.5 m"), "line 1 of the book, the first, has fore"),
    (("level: 10 m, back: 1.5 m", "level: 10 m"), "line 1 of the book, the first, has no reading"),
    ((", fore: 1.795 m", ", inter: 1.795 m"), "line 6 of the book, the last, has inter"),
    (("fore: 1.3 m, back: 1.6 m", "fore: 1.3 m"), "line 4 of the book has fore; write inter, or both fore and back where the level was moved"),
    (("fore: 1.3 m, back: 1.6 m", "back: 1.6 m"), "line 4 of the book has back"),
    (("inter: 1.8 m", "inter: 1.8 m, back: 1 m"), "line 2 of the book has back and inter"),
    (("inter: 1.8 m", "inter: 7 m"), '"7 m" is too large; what is read on the staff (inter) must be from 0 m to 6 m'),
    (("inter: 1.8 m", "inter: -1 m"), "less than nothing"),
    (("inter: 1.8 m", "intre: 1.8 m"), 'line 2 of the book has "intre", which is not known here (did you mean inter?)'),
    (("{at: [0 m, 0 m], inter: 1.8 m}", "{inter: 1.8 m}"), "line 2 of the book does not say where the staff stood"),
    (("{at: [0 m, 0 m], inter: 1.8 m}", "1.8 m"), 'line 2 of the book is "1.8 m"'),
    (("{at: [0 m, 0 m]", "{at: [0 m]"), "line 2 of the book has 1 parts"),
    (("inter: 1.8 m", "inter: 1.8 m, level: 3 m"), "a known level stands only at the first line and the last"),
    (("inter: 1.8 m", "inter: 3.8 m"), "steeper than 1:2"),
    (("[6 m, 4 m]", "corner peg"), "lies 3.33 m outside"),
])
def test_level_books_that_are_refused(change, words):
    assert change[0] in BOOK
    sentences = refused(BARE, "plot.level_book=" + BOOK.replace(*change))
    assert any(words in sentence for sentence in sentences), sentences


def test_a_book_of_a_point_read_twice():
    twice = BOOK.replace("{at: [6 m, 0 m], inter: 1.7 m}", "{at: [6 m, 0 m], inter: 1.7 m}, {at: [6 m, 0 m], inter: 1.2 m}")
    assert "the point (6 m, 0 m) has two levels, 9.800 m and 10.300 m" in one_refusal(BARE, f"plot.level_book={twice}")


def test_a_misclosure_in_doubt_may_be_let_pass():
    changed = BOOK.replace("{at: door  sill, fore: 1.795 m}", "{at: manhole, level: 10 m, fore: 1.7 m}")
    assert "levels_checked: yes" in one_refusal(BARE, f"plot.level_book={changed}")
    plot = plot_of(BARE, f"plot.level_book={changed}", "plot.levels_checked=yes")
    assert plot.level_run.misclosure_m == pytest.approx(0.1)
    assert "more than the usual 28 mm" in survey.survey_assumptions(plot)[0]


# Drops.


def test_drops_at_the_corners():
    plot = plot_of(BARE, f"plot.corner_drops={DROPS}")
    assert plot.levels_m == ((0.0, 0.0, -0.42), (6.0, 0.0, -0.45), (6.0, 4.0, -0.12), (0.0, 4.0, 0.0))
    assert math.copysign(1, plot.levels_m[3][2]) == 1 and plot.triangles == ()


def test_drops_by_place_are_levels_the_other_way_up():
    points = [(-1, -1, 0.5), (8, -1, 0.6), (8, 5, 0.2), (-1, 5, 0.1), (3, 2, 0.3)]
    dropped = plot_of(BARE, f"plot.corner_drops={rows(points)}")
    assert dropped == plot_of(BARE, f"plot.levels={rows([(x, y, -z) for x, y, z in points])}")


def test_drops_of_a_turned_rectangle_are_named_by_its_sides():
    a = math.radians(30)
    turned = [(round(x * math.cos(a) - y * math.sin(a), 3), round(x * math.sin(a) + y * math.cos(a), 3)) for x, y in ((0, 0), (6, 0), (6, 4), (0, 4))]
    plot = plot_of(f"---\nplot:\n  corners: {rows(turned[2:] + turned[:2])}\n  corner_drops: {DROPS}\n---\n")
    assert [z for _, _, z in plot.levels_m] == [-0.42, -0.45, -0.12, 0.0]
    assert [side.name for side in Plan(plot.corners_m).sides] == ["south", "east", "north", "west"]


@pytest.mark.parametrize("typed, words", [
    ("{south-west: 420 mm, south-east: 450 mm, north-east: 120 mm}", "nothing is given for north-west"),
    (DROPS.replace("south-west", "southwest"), "did you mean south-west?"),
    (DROPS.replace("420 mm", "-1 mm"), "less than nothing"),
    (DROPS.replace("420 mm", "9 m"), "too large; the drop at the south-west corner must be"),
    ("420 mm", "not a list"),
])
def test_drops_that_are_refused(typed, words):
    assert words in one_refusal(BARE, f"plot.corner_drops={typed}")


def test_corner_names_are_for_rectangles():
    text = f"---\nplot:\n  corners: {rows(L_SHAPE)}\n  corner_drops: {DROPS}\n---\n"
    assert "this building has 6 corners that are no rectangle's; write x, y and drop of each corner" in one_refusal(text)


# Plans.


@pytest.mark.parametrize("shape", [L_SHAPE, T_SHAPE, CUT_CORNER, ((0.0, 0.0), (7.0, 0.0), (3.0, 6.0))])
def test_one_plan_from_wherever_it_is_read(shape):
    found = set()
    for start in range(len(shape)):
        turned = shape[start:] + shape[:start]
        found |= {plot_of(cornered(turned)).corners_m, plot_of(cornered(turned[::-1])).corners_m}
    assert found == {shape}


@pytest.mark.parametrize("shape, words", [
    (((0, 0), (7, 0), (7, 0.4), (7.4, 0.4), (7.4, 5), (0, 5)), "the side from (7 m, 0 m) to (7 m, 0.4 m) is 0.400 m long; each side must be at least 0.5 m"),
    (((0, 0), (6, 0), (6, 4), (3, 4), (0, 4)), "the corner at (3 m, 4 m) lies on a straight side; take it out"),
    (((0, 0), (9, 0), (0, 3)), "the corner at (9 m, 0 m) has 18 degrees inside; the guide works out corners from 30 to 330 degrees"),
    (((0, 0), (6, 0), (6, 4), (3.4, 4), (3, 1), (2.6, 4), (0, 4)), "has 345 degrees inside"),
    (((0, 0), (6, 4), (6, 0), (0, 4)), "meets the side"),
    (((0, 0), (6, 0), (6, 4), (3, 0.002), (0, 4)), "meets the side"),
    (((0, 0), (25, 0), (25, 2), (10, 2), (10, 3), (0, 3)), "a side is 25.000 m long; each side must be at most 20 m"),
    (((0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)), "the building covers 3 m^2"),
    (tuple((10 * math.cos(2 * math.pi * i / 21), 10 * math.sin(2 * math.pi * i / 21)) for i in range(21)), "21 entries are given; give from 3 to 20"),
])
def test_plans_that_are_refused(shape, words):
    assert words in one_refusal(cornered(shape))


def test_a_survey_of_an_l_shape():
    levels = [(x, y, 5 + 0.06 * x - 0.04 * y + 0.002 * x * y) for x in (-1, 3, 8) for y in (-1, 3, 7)]
    plot = plot_of(f"---\nplot:\n  corners: {rows(L_SHAPE)}\n  levels: {rows(levels)}\n---\n")
    assert plot.corners_m == L_SHAPE and len(plot.levels_m) == 9
    # Its own six corners are a survey too, though an inner corner lies inside the others.
    corners = [(x, y, 5 + 0.06 * x) for x, y in L_SHAPE]
    assert len(plot_of(f"---\nplot:\n  corners: {rows(L_SHAPE)}\n  levels: {rows(corners)}\n---\n").triangles) == 2 * 14 - 8 - 2


# Doors, the step-free side, walls, soft spots.


@pytest.mark.parametrize("typed, doors, places", [
    ("[south, {side: east, at: 1.4 m}]", ("south", "east"), (None, 1.4)),
    ("[{side: south, at: 1 m}, {side: South, at: 4 ft}]", ("south", "south"), (1.0, pytest.approx(1.2192))),
    ("[{side: south}]", ("south",), (None,)),
    ("[{side: south, at: 1 m}, south, {side: south, at: 5 m}]", ("south",) * 3, (1.0, None, 5.0)),
    ("south", ("south",), (None,)),
    ("none", (), ()),
])
def test_doors_with_places(typed, doors, places):
    if "4 ft" in typed:
        assert "two doors of the south side overlap" in one_refusal(SMALL, f"building.doors={typed}")
        typed = typed.replace("4 ft", "4000 mm")
        places = (1.0, 4.0)
    building = building_of(SMALL, f"building.doors={typed}")
    assert (building.doors, building.door_positions_m) == (doors, places)
    assert building.placed_doors == tuple(zip(doors, places))


@pytest.mark.parametrize("typed, words", [
    ("[{side: south, at: 0.4 m}]", "its middle 0.4 m along the south side does not fit, for that side is 6 m long"),
    ("[{side: south, at: 5.6 m}]", "does not fit"),
    ("[{side: south, at: 3.5 m}, south]", "two doors of the south side overlap"),
    ("[{at: 1 m}]", "door 1 does not say in which side it is"),
    ("[{side: south, at: 1}]", "no unit"),
    ("[{side: south, at: 40 m}]", "too large"),
    ("[{side: south, on: 1 m}]", 'door 1 has "on"'),
    ("[[south]]", "door 1 is"),
    ("[south 2]", "the building has no south 2 side; its sides are south, east, north and west"),
    ("[front]", "write south, east, north or west"),
])
def test_doors_that_are_refused(typed, words):
    assert words in one_refusal(SMALL, f"building.doors={typed}")


def test_sides_of_an_l_shape_by_name():
    names = [side.name for side in Plan(L_SHAPE).sides]
    assert len(set(names)) == 6
    second = next(name for name in names if name.endswith(" 2"))
    building = building_of(cornered(L_SHAPE), f"building.doors=[south, {second}]", f"building.step_free={second}")
    assert building.step_free == second and building.doors == ("south", second)
    assert plot_of(cornered(L_SHAPE), f"plot.boundary={{{second}: 2 m, south: 1 m}}").boundary_m == {"south": 1.0, second: 2.0}
    assert "no east 3 side" in one_refusal(cornered(L_SHAPE), "plot.boundary={east 3: 2 m}")


@pytest.mark.parametrize("overrides, words", [
    (["building.step_free=north"], "the north side has no door"),
    (["building.step_free=south", "building.doors=none"], "the south side has no door"),
    (["building.step_free=up"], "write south, east, north or west"),
    (["building.step_free=south 2"], "the building has no south 2 side"),
])
def test_a_step_free_side_needs_a_door(overrides, words):
    assert words in one_refusal(SMALL, *overrides)


def test_step_free_and_nothing_said():
    assert building_of(SMALL, "building.step_free=South").step_free == "south"
    assert building_of(SMALL).step_free is None and building_of(SMALL, "building.step_free=none").step_free is None


def test_walls_inside():
    typed = "[[[3 m, 0 m], [3 m, 4 m]], [[3 m, 2 m], [6 m, 2 m]]]"
    assert building_of(SMALL, f"building.internal_walls={typed}").internal_walls_m == (((3.0, 0.0), (3.0, 4.0)), ((3.0, 2.0), (6.0, 2.0)))
    assert building_of(SMALL).internal_walls_m == ()


@pytest.mark.parametrize("typed, words", [
    ("[[[3 m, 0 m], [3 m, 4.2 m]]]", "wall 1, from (3 m, 0 m) to (3 m, 4.2 m), runs 0.20 m outside the building"),
    ("[[[3 m, 0 m], [3 m, 0.2 m]]]", "is 0.200 m long"),
    ("[[[3 m, 0 m], [3 m, 4 m]], [[3 m, 1 m], [3 m, 2 m]]]", "wall 2, from (3 m, 1 m) to (3 m, 2 m), lies along wall 1"),
    ("[[[3 m, 0 m]]]", "wall 1 has 1 ends"),
    ("[[3 m, 0 m], [3 m, 4 m]]", '"3 m" is not a list'),
    ("across", "not a list"),
])
def test_walls_that_are_refused(typed, words):
    assert any(words in sentence for sentence in refused(SMALL, f"building.internal_walls={typed}"))


def test_a_wall_across_the_inner_corner_of_an_l():
    assert "runs 1.20 m outside" in one_refusal(cornered(L_SHAPE), "building.internal_walls=[[[4.2 m, 6 m], [7.2 m, 3.6 m]]]")


def test_soft_spots():
    typed = "[{from: [1 m, 1 m], size: 1.5 m x 1 m, depth: 300 mm}, {at: [[4 m, 3 m], [5 m, 2 m], [4 m, 1 m]], depth: 1 ft}]"
    assert plot_of(SMALL, f"plot.soft_spots={typed}").soft_spots_m == (
        (((1.0, 1.0), (2.5, 1.0), (2.5, 2.0), (1.0, 2.0)), 0.3), (((4.0, 1.0), (5.0, 2.0), (4.0, 3.0)), pytest.approx(0.3048)))
    assert plot_of(SMALL).soft_spots_m == ()


@pytest.mark.parametrize("typed, words", [
    ("[{from: [6.6 m, 1 m], size: 1 m x 1 m, depth: 300 mm}]", "soft spot 1 is 0.60 m from the building"),
    ("[{from: [1 m, 1 m], size: 2 m x 1 m, depth: 0.3 m}, {from: [2 m, 1 m], size: 2 m x 1 m, depth: 0.2 m}]", "soft spot 2 and soft spot 1 overlap"),
    ("[{from: [1 m, 1 m], size: 2 m x 0 m, depth: 0.3 m}]", "soft spot 1 has no room in it"),
    ("[{at: [[1 m, 1 m], [3 m, 3 m], [3 m, 1 m], [1 m, 3 m]], depth: 0.3 m}]", "soft spot 1"),
    ("[{at: [[1 m, 1 m], [4 m, 3 m], [4 m, 1 m], [1 m, 2 m]], depth: 0.3 m}]", "two sides of soft spot 1 cross"),
    ("[{at: [[1 m, 1 m], [4 m, 3 m], [4 m, 1 m]]}]", "soft spot 1 does not say how deep it is"),
    ("[{depth: 0.3 m}]", "soft spot 1 has no outline"),
    ("[{from: [1 m, 1 m], depth: 0.3 m}]", "soft spot 1 has from; give its corners (at), or both from and size"),
    ("[{at: [[1 m, 1 m], [4 m, 3 m], [4 m, 1 m]], size: 1 m x 1 m, depth: 0.3 m}]", "soft spot 1 has at and size"),
    ("[{from: [1 m, 1 m], size: 1 m x 1 m, depth: 3 m}]", "too large"),
    ("[{from: [1 m, 1 m], size: 1 m, depth: 1 m}]", "not two lengths"),
    ("[{at: [[1 m, 1 m], [4 m]], depth: 0.3 m}]", "2 entries"),
    ("wet", "not a list"),
])
def test_soft_spots_that_are_refused(typed, words):
    assert any(words in sentence for sentence in refused(SMALL, f"plot.soft_spots={typed}"))


def test_every_problem_of_a_list_at_once():
    sentences = refused(SMALL, "plot.soft_spots=[{at: [[1 m, 1], [4 m, 3], [4 m, 1 m]], depth: 0.3 m}, {depth: 1 m}]", "building.doors=[up, {side: south, at: 9}]")
    assert len(sentences) == 5


# What is made from the list of inputs, and what the answers look like.

ALL = f"""---
plot:
  corners: {rows(L_SHAPE)}
  level_book:
    - {{at: sill, level: 10 m, back: 1.5 m}}
    - {{at: [-1 m, -1 m], inter: 1.8 m}}
    - {{at: [8 m, -1 m], inter: 1.7 m}}
    - {{at: [8 m, 4 m], fore: 1.4 m, back: 1.6 m}}
    - {{at: [4 m, 7 m], inter: 1.5 m}}
    - {{at: [-1 m, 7 m], inter: 1.45 m}}
    - {{at: sill, fore: 1.695 m}}
  levels_checked: no
  soft_spots: [{{from: [1 m, 1 m], size: 1.5 m x 1 m, depth: 300 mm}}]
  boundary: {{east 2: 3 m}}
building:
  doors: [south, {{side: north 2, at: 1.4 m}}]
  step_free: north 2
  internal_walls: [[[4.2 m, 0 m], [4.2 m, 3.6 m]]]
---
"""


def test_the_schema_takes_what_is_read():
    validator = jsonschema.Draft202012Validator(scenario_schema())
    texts = [ALL, SMALL]
    for key in ("levels", "level_book", "corner_drops"):
        texts.append(f"---\nplot:\n  footprint: 6.6 m x 4.2 m\n  {key}: {BY_KEY[f'plot.{key}'].example}\n---\n")
    for text in texts:
        read(text)
        assert not list(validator.iter_errors(as_data(read_front_matter(text, "plot.md").keys))), text


@pytest.mark.parametrize("plot", [
    {"levels": [["0", "0", "0"]] * 2}, {"levels": [["0 m", "0 m"]] * 3}, {"level_book": [{"back": "1 m"}] * 3}, {"level_book": [{"at": "x", "down": "1 m"}] * 3},
    {"corner_drops": {"south-west": "1 m"}}, {"slope": "0", "levels": [["0", "0", "0"]] * 3}, {"slope": "0", "soft_spots": [{"depth": "1 m"}]},
    {"slope": "0", "soft_spots": [{"from": ["0", "0"], "depth": "1 m"}]}, {"slope": "0", "boundary": {"south 1": "1 m"}}, {},
])
def test_the_schema_refuses_what_is_refused(plot):
    assert list(jsonschema.Draft202012Validator(scenario_schema()).iter_errors({"plot": {"footprint": "6 m x 4 m", **plot}}))


def test_a_copy_keeps_surveys_and_places():
    copy = read(new_scenario_text("my-plot", ALL, ["title=My plot"]))
    assert copy.scenario == read(ALL).scenario


def test_every_new_input_has_words_on_a_page():
    scenario = read(ALL).scenario
    for key in ("plot.level_book", "plot.levels_checked", "plot.soft_spots", "plot.boundary", "building.doors", "building.step_free", "building.internal_walls"):
        shown = understood(BY_KEY[key], scenario)
        assert shown.metric and shown.imperial, key
    assert "ft" in understood(BY_KEY["building.doors"], scenario).imperial
    for key, words in (("plot.soft_spots", "none"), ("building.step_free", "none"), ("building.internal_walls", "none")):
        assert understood(BY_KEY[key], read(SMALL).scenario).metric == words


@pytest.mark.parametrize("text", [ALL, SMALL, BARE.replace("---\n", "---\n", 1).replace("\n---\n", f"\n  levels: {rows(grid())}\n---\n")])
def test_a_comparison_of_it_is_described_by_its_schema(text):
    reading = read(text)
    document = comparison_document(reading, compare(reading.scenario))
    assert [f"{error.json_path}: {error.message}" for error in jsonschema.Draft202012Validator(comparison_schema()).iter_errors(document)] == []
