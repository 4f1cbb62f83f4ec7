"""A file of levels through the command `flatness`: what it reads, what it refuses and in which words, what it prints."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from generator.floor_levels import floor_levels, read_floor_levels
from generator.inputs import MOST_FLOOR_LEVELS
from generator.problems import BadInput
from generator.scenario import read_scenario_file

PROJECT = Path(__file__).resolve().parents[2]
LEVELS = "docs/floors/garden-store.csv"
SCENARIO = "docs/scenarios/garden-store-on-the-flat.md"
SQUARE = "0,0,0\n1,0,0\n1,1,2\n0,1,0\n"
HEADING = "x m, y m, level mm\n"


def run(*arguments, cwd=PROJECT, **env):
    environment = {key: value for key, value in os.environ.items() if key != "SOLEPLATE_DEBUG"} | {"PYTHONPATH": str(PROJECT), "PYTHONIOENCODING": "utf-8", **env}
    return subprocess.run([sys.executable, "-m", "generator", "flatness", *arguments], cwd=cwd, env=environment, capture_output=True, timeout=120)


def out(done):
    return done.stdout.decode("utf-8")


def err(done):
    return done.stderr.decode("utf-8")


def problems(text):
    with pytest.raises(BadInput) as refused:
        floor_levels(text, "floor.csv")
    return [problem.sentence() for problem in refused.value.problems]


# What can be read.


@pytest.mark.parametrize("text", [
    HEADING + "0.2, 0.2, 1\n1.2, 0.2, -3\n1.2, 1.2, +4\n0.2, 1.2, 0\n",
    "# a note\n\nx (m);y [m];z in mm\n0.2;0.2;1\n1.2;0.2;-3\n# another\n1.2;1.2;4\n0.2;1.2;0\n",
    "x m\ty m\tlevel mm\n0.2\t0.2\t1\n1.2\t0.2\t-3\n1.2\t1.2\t4\n0.2\t1.2\t0\n",
    "0.2 m, 200 mm, 1 mm\n1.2 m, 0.2 m, -0.003 m\n120 cm, 1.2 m, 4 mm\n0.2 m, 1.2 m, 0\n",
    "X m, Y m, Level m\n0.2, 0.2, 0.001\n1.2, 0.2, \u22123 mm\n1.2, 1.2, .004\n0.2, 1.2, 0\n",
    HEADING + '"0.2","0.2","1"\n"1.2","0.2","-3",,\n1.2, 1.2, 4\n0.2, 1.2, 0,\n\n',
    "x m, y m, reading mm\n0.2, 0.2, -1\n1.2, 0.2, 3\n1.2, 1.2, -4\n0.2, 1.2, 0\n",
])
def test_the_same_floor_however_it_is_typed(text):
    assert floor_levels(text, "floor.csv") == ((0.2, 0.2, 0.001), (1.2, 0.2, -0.003), (1.2, 1.2, 0.004), (0.2, 1.2, 0.0))


def test_feet_and_inches():
    """A foot is 0.3048 m, an inch 25.4 mm (definition)."""
    found = floor_levels("x ft, y ft, level in\n0, 0, 0\n3, 0, 1/8 in\n3, 3 ft 6 in, -0.25\n0, 3, 0\n", "floor.csv")
    assert found[1] == pytest.approx((0.9144, 0.0, 0.003175)) and found[2] == pytest.approx((0.9144, 1.0668, -0.00635))


def test_a_reading_on_the_staff_is_turned_round():
    found = floor_levels("x m, y m, reading m\n0,0,1.502\n1,0,1.500\n1,1,1.505\n0,1,1.502\n", "floor.csv")
    assert [z - found[0][2] for _, _, z in found] == pytest.approx([0.0, 0.002, -0.003, 0.0])


@pytest.mark.parametrize("raw", [
    (HEADING + SQUARE).encode("utf-8-sig"), (HEADING + SQUARE).replace("\n", "\r\n").encode(), (HEADING + SQUARE).replace("\n", "\r").encode(), (HEADING + SQUARE).rstrip().encode(),
])
def test_marks_and_line_ends_of_other_systems(raw, tmp_path):
    file = tmp_path / "floor.csv"
    file.write_bytes(raw)
    assert len(read_floor_levels(file)) == 4


# What cannot.


def test_every_problem_is_told_with_its_line():
    found = problems(HEADING + "0,0,0\n1,0\n1,x,nan\n0,1,1 kg\n")
    assert [sentence.split(":")[1:3] for sentence in found] == [["3", " line"], ["4", " y"], ["4", " level"], ["5", " level"]]
    assert all(sentence.startswith("floor.csv:") and ", like " in sentence for sentence in found)


def test_a_decimal_comma_is_refused_in_words():
    assert problems("x m; y m; level mm\n0,2; 0; 0\n1; 0; 0\n1; 1; 2\n0; 1; 0\n")[0].startswith('floor.csv:2: x: "0,2" has a comma in a number; write a point for decimals')
    (sentence,) = problems(HEADING + "0,2, 0, 0\n1, 0, 0\n1, 1, 2\n0, 1, 0\n")
    assert "it has 4 figures" in sentence and "write a point for decimals" in sentence


def test_units_that_are_missing_are_told_once_for_each_column():
    found = problems(SQUARE.replace("0", "5"))
    assert len(found) == 3 and all("has no unit, nor have 3 more in this column" in sentence and "x m, y m, level mm" in sentence for sentence in found)
    assert len(problems("x, y, level\n1,2,3\n2,2,3\n")) == 3
    assert problems("x m, y m, level\n1,2,3\n")[0].startswith("floor.csv:2: level: ")


@pytest.mark.parametrize("cell", ['=HYPERLINK("http://example.org")', "=1+1", "@SUM(A1)", "+cmd|'/c calc'!A1", "-2+3", "\x1b[31m1", "<b>1</b>", "{{ 1 }}", "\u0663", "1" * 200, "1e3", "0x10", "inf", "NaN", "--1"])
def test_a_hostile_cell_is_only_data(cell):
    quoted = '"' + cell.replace('"', '""') + '"'
    found = problems(HEADING + f"0,0,{quoted}\n1,0,0\n1,1,0\n0,1,0\n")
    assert len(found) == 1 and found[0].startswith("floor.csv:2: level: ") and "\x1b" not in found[0] and len(found[0]) < 300


def test_a_quotation_mark_that_never_closes_spoils_its_own_line_only():
    found = problems(HEADING + '"0,0,0\n1,0,0\n1,1,0\n0,1,0\n')
    assert len(found) == 1 and found[0].startswith("floor.csv:2: ")


@pytest.mark.parametrize("heading, wanted", [
    ("y m, x m, level mm", 'is wanted'), ("x m, y m", "it names 2 columns"), ("x m, y m, level furlong", "not known here"), ("east m, north m, level mm", "name x, y and level in this order"),
    ("x m, y m, level kg", "a length"),
])
def test_headings_that_are_refused(heading, wanted):
    assert wanted in problems(heading + "\n" + SQUARE)[0]


def test_levels_that_make_no_floor():
    assert "there are no levels" in problems("")[0] and "there are no levels" in problems("# nothing yet\n" + HEADING)[0]
    assert "3 levels at different places" in problems(HEADING + "0,0,0\n1,0,0\n1,1,2\n")[0]
    assert "on one line" in problems(HEADING + "0,0,0\n1,1,0\n2,2,1\n3,3,0\n")[0]
    (sentence,) = problems(HEADING + SQUARE + "1,0,4\n")
    assert sentence.startswith("floor.csv:6: level: ") and "another level in line 3" in sentence and "4 mm apart" in sentence
    assert len(floor_levels(HEADING + SQUARE + "1,0,2\n", "floor.csv")) == 5
    assert "look for a figure in the wrong unit" in problems("x m, y m, level m\n" + SQUARE)[0]
    assert "200 m or less" in problems("x m, y m, level mm\n0,0,0\n5000,0,0\n1,1,0\n0,1,0\n")[0]


def test_as_many_levels_as_are_held_and_one_more():
    row = "\n".join(f"{i % 20},{i // 20},{i % 3}" for i in range(MOST_FLOOR_LEVELS + 1))
    assert len(floor_levels(HEADING + row.rpartition("\n")[0], "floor.csv")) == MOST_FLOOR_LEVELS
    (sentence,) = problems(HEADING + row)
    assert sentence.startswith(f"floor.csv:{MOST_FLOOR_LEVELS + 2}: ") and f"there are {MOST_FLOOR_LEVELS + 1} levels" in sentence


def test_a_flood_of_problems_is_cut_short():
    found = problems(HEADING + "a b,c,d\n" * 300)
    assert len(found) == 51 and "more problems from here on" in found[-1]


# The command.


@pytest.mark.parametrize("content", [b"", b"\0\1\2", b"\xff\xfex\0", b"x" * 2_000_000, b"1,2,3\n" * 100_000, b"x m, y m, level mm\n\xe4,0,0\n"])
def test_a_bad_file_is_a_sentence_and_exit_2(content, tmp_path):
    file = tmp_path / "floor.csv"
    file.write_bytes(content)
    done = run(str(file))
    assert done.returncode == 2 and out(done) == ""
    assert err(done).startswith(f"{file}:") and "Traceback" not in err(done) and len(err(done)) < 20_000


def test_no_file_and_a_folder(tmp_path):
    done = run("nowhere.csv")
    assert done.returncode == 2 and err(done).startswith("nowhere.csv:1: file: there is no such file")
    assert run(str(tmp_path)).returncode == 2


def test_text_on_standard_output_and_nothing_else():
    done = run(LEVELS, "--finish", "tiles", "--use", "studio")
    assert done.returncode == 0 and err(done) == ""
    assert out(done).startswith("garden-store: Under a straightedge of 2.00 m the greatest gap is ") and "class SR3" in out(done)
    assert "invented likely prices" in out(done) and "silica dust" in out(done) and "a licensed engineer decide" in out(done)
    assert max(map(len, out(done).splitlines())) <= 98
    assert out(run(LEVELS, "--finish", "tiles", "--use", "studio", "--text")) == out(done)


def test_plain_letters_for_a_terminal_that_has_no_others():
    done = run(LEVELS, PYTHONIOENCODING="ascii")
    assert done.returncode == 0 and done.stdout.isascii() and b"?" not in done.stdout.replace(b"Enough?", b"")


def test_units_and_rates():
    done = run(LEVELS, "--units", "imperial", "--rates", "demo-us", "--finish", "boards")
    assert done.returncode == 0 and "$" in out(done) and "ft\u00b2" in out(done) and " mm" not in out(done)


def test_json_tells_the_same():
    document = json.loads(out(run(LEVELS, "--finish", "tiles", "--compound", "thin", "--level", "--json")))
    assert document["finish"] == "tiles" and document["against_level"] and document["plane"]["east"] == 0.0
    assert [option["name"] for option in document["options"]] == ["leave", "grind", "patch", "grind and patch", "compound over all"]
    levels = [(level["x_m"], level["y_m"], level["z_m"]) for level in document["levels"]]
    assert sorted(levels) == sorted(read_floor_levels(PROJECT / LEVELS))
    assert document["straightedge"]["2_m"]["gap_m"] <= document["straightedge"]["3_m"]["gap_m"] + 1e-6
    cheapest = next(option for option in document["options"] if option["name"] == document["cheapest"])
    assert cheapest["does"] and cheapest["with_hours"] == min(option["with_hours"] for option in document["options"] if option["does"])


def test_against_a_scenario():
    document = json.loads(out(run(LEVELS, "--against", SCENARIO, "--json")))
    floor, scenario = read_scenario_file(PROJECT / SCENARIO).scenario.floor, read_scenario_file(PROJECT / SCENARIO).scenario
    assert (document["finish"], document["compound"], document["humidity"], document["age_days"]) == (floor.finish, floor.compound, floor.humidity, floor.age_days)
    assert document["building_m2"] == pytest.approx(12.0) and document["hour_worth"] == scenario.hour_worth and document["use"] == scenario.building.use
    assert json.loads(out(run(LEVELS, "--against", SCENARIO, "--finish", "bare", "--use", "garage", "--json")))["finish"] == "bare"


def test_the_example_file_is_the_floor_of_the_example_scenario():
    floor = read_scenario_file(PROJECT / SCENARIO).scenario.floor
    assert sorted(read_floor_levels(PROJECT / LEVELS)) == sorted(floor.levels_m)
    assert 15 <= len(floor.levels_m) <= 25


def test_the_guide_shows_what_the_command_prints():
    page = (PROJECT / "docs/how-flat.md").read_text(encoding="utf-8")
    command = f"soleplate flatness {LEVELS} --against {SCENARIO}"
    assert command in page
    shown = re.findall(r"```text\n(.*?)```", page, re.DOTALL)
    assert out(run(LEVELS, "--against", SCENARIO)) in shown


def test_problems_of_all_files_at_once():
    done = run("nowhere.csv", "--against", "nothing.md", "--rates", "no such book")
    assert done.returncode == 2 and len(err(done).splitlines()) == 3 and out(done) == ""
    assert "is not the name of a schedule of rates" in err(done)


def test_levels_that_lie_somewhere_else_than_the_building(tmp_path):
    file = tmp_path / "elsewhere.csv"
    file.write_text(HEADING + "50,50,0\n51,50,0\n51,51,1\n50,51,0\n", encoding="utf-8")
    done = run(str(file), "--against", SCENARIO)
    assert done.returncode == 2 and "nothing in common" in err(done) and run(str(file)).returncode == 0


@pytest.mark.parametrize("wrong", [("--finish", "carpet"), ("--compound", "wet"), ("--units", "cubits"), ("--use", "barn"), ("--json", "--text")])
def test_options_that_are_refused(wrong):
    done = run(LEVELS, *wrong)
    assert done.returncode == 2 and out(done) == "" and "Traceback" not in err(done)


def test_whoever_waits_is_told_on_standard_error(tmp_path):
    levels = [f"{x / 2:g}, {y / 2:g}, {(x * y) % 3:g}" for x in range(9) for y in range(8)]
    file = tmp_path / "many.csv"
    file.write_text(HEADING + "\n".join(levels) + "\n", encoding="utf-8")
    done = run(str(file))
    assert done.returncode == 0 and "72 levels" in err(done) and "takes some seconds" not in out(done)
    file.write_text(HEADING + "\n".join(levels[:20]) + "\n", encoding="utf-8")
    assert err(run(str(file))) == ""
