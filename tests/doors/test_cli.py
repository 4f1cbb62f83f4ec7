"""The commands, run as a person runs them: what they print, where, and their exit codes."""

import csv
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from generator.cli import parser

PROJECT = Path(__file__).resolve().parents[2]
SCENARIO = "docs/scenarios/garden-store-on-the-flat.md"

FAILING = """
import sys
import calculators.compare

def fail(*anything, **more):
    raise RuntimeError("the abacus is broken")

calculators.compare.compare = fail
from generator.cli import main
sys.exit(main(["compare", {scenario!r}]))
"""


def run(*arguments, cwd=PROJECT, env=None, command=("-m", "generator")):
    outside = {key: value for key, value in os.environ.items() if key != "SOLEPLATE_DEBUG"}
    environment = {**outside, "PYTHONPATH": str(PROJECT), "PYTHONIOENCODING": "utf-8", **(env or {})}
    return subprocess.run([sys.executable, *command, *arguments], cwd=cwd, env=environment, capture_output=True, timeout=120)


def out(done):
    return done.stdout.decode("utf-8")


def err(done):
    return done.stderr.decode("utf-8")


@pytest.fixture
def guide(tmp_path):
    """A folder with a site of its own."""
    (tmp_path / "docs" / "scenarios").mkdir(parents=True)
    (tmp_path / "docs" / "index.md").write_text("# Home\n", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text("site_name: A guide\nuse_directory_urls: true\nplugins:\n  - search\n", encoding="utf-8")
    return tmp_path


def test_compare_prints_one_screen_and_nothing_else():
    done = run("compare", SCENARIO)
    assert done.returncode == 0 and err(done) == ""
    assert "Garden store on the flat" in out(done) and "invented" in out(done)
    assert out(run("compare", SCENARIO, "--text")) == out(done)


def test_compare_json_and_csv_tell_the_same():
    document = json.loads(out(run("compare", SCENARIO, "--json")))
    table = run("compare", SCENARIO, "--csv").stdout
    assert table.count(b"\r\n") == table.count(b"\n") > 20
    rows = list(csv.DictReader(io.StringIO(table.decode("utf-8"), newline="")))
    for scheme in document["schemes"]:
        cash = sum(float(row["cash"]) for row in rows if row["scheme"] == scheme["id"])
        assert cash == pytest.approx(scheme["cash"]["likely"])


def test_set_changes_a_value():
    plain = json.loads(out(run("compare", SCENARIO, "--json")))
    larger = json.loads(out(run("compare", SCENARIO, "--json", "--set", "plot.footprint=5 m x 4 m", "--set", "plot.soil=stiff clay")))
    assert plain["ground"]["area_m2"] != larger["ground"]["area_m2"] == 20.0
    assert larger["scenario"]["plot"]["soil"] == "stiff clay"


def test_every_problem_is_told_with_its_place():
    done = run("compare", SCENARIO, "--set", "plot.slope=3", "--set", "plot.soil=mud")
    assert done.returncode == 2 and out(done) == ""
    lines = err(done).splitlines()
    assert len(lines) == 2
    assert lines[0].startswith(f"{SCENARIO}:--set: plot.slope: ") and lines[1].startswith(f"{SCENARIO}:--set: plot.soil: ")


@pytest.mark.parametrize("content", [b"", b"\0\1\2", b"\xff\xfe-\0", b"x" * 2_000_000, b"---\nplot: {\n---\n", b"no front matter\n"])
def test_a_bad_file_is_one_sentence_and_exit_2(content, tmp_path):
    file = tmp_path / "plot.md"
    file.write_bytes(content)
    done = run("compare", str(file))
    assert done.returncode == 2 and out(done) == ""
    assert err(done).startswith(f"{file}:") and "Traceback" not in err(done)


def test_no_file():
    done = run("compare", "nowhere.md")
    assert done.returncode == 2 and err(done).startswith("nowhere.md:1: file: there is no such file")


@pytest.mark.parametrize("typed", ["0", "-3", "2.5", "many", "100001", "9" * 30, "\u0663"])
def test_draws_that_are_refused(typed):
    done = run("compare", SCENARIO, f"--draws={typed}")
    assert done.returncode == 2 and "write a whole number from 1 to 100000" in err(done) and out(done) == ""


def test_draws_are_counted():
    done = run("compare", SCENARIO, "--draws", "50")
    assert done.returncode == 0 and "thickened raft" in out(done)


def test_check_goes_on_after_a_bad_file(tmp_path):
    bad = tmp_path / "bad.md"
    bad.write_text("---\nplot: {footprint: 6.6 m x 4.2 m, slope: 0, soyl: rock}\n---\n", encoding="utf-8")
    done = run("check", str(bad), SCENARIO)
    assert done.returncode == 2
    assert f"{bad}:2: plot.soyl: " in err(done)
    assert out(done) == f"{SCENARIO}: no problems\n"
    assert run("check", SCENARIO).returncode == 0


@pytest.mark.parametrize("arguments", [(), ("fly",), ("compare",), ("compare", SCENARIO, "--json", "--csv"), ("schema", "moon"), ("compare", SCENARIO, "--js")])
def test_a_command_that_is_none_is_exit_2(arguments):
    done = run(*arguments)
    assert done.returncode == 2 and "usage: soleplate" in err(done)


@pytest.mark.parametrize("what, title", [((), "Scenario"), (("scenario",), "Scenario"), (("comparison",), "Comparison")])
def test_schema(what, title):
    schema = json.loads(out(run("schema", *what)))
    assert schema["title"] == title and schema["$schema"].endswith("2020-12/schema")


def test_an_unexpected_error_is_one_sentence_and_exit_1():
    code = FAILING.format(scenario=SCENARIO)
    done = run(code, command=("-c",))
    assert done.returncode == 1 and out(done) == ""
    assert len(err(done).splitlines()) == 1 and "the abacus is broken" in err(done) and "Traceback" not in err(done)
    assert "Traceback" in err(run(code, command=("-c",), env={"SOLEPLATE_DEBUG": "1"}))


def test_a_reader_that_goes_away_is_no_error():
    pipe = subprocess.Popen([sys.executable, "-m", "generator", "schema", "comparison"], cwd=PROJECT, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    pipe.stdout.read(10)
    pipe.stdout.close()
    assert pipe.stderr.read() == b""
    pipe.stderr.close()
    assert pipe.wait(timeout=60) == 0


def test_a_plain_terminal_gets_plain_letters():
    done = run("compare", SCENARIO, env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0 and done.stdout.isascii() and b"?" not in done.stdout


def test_json_is_utf8_on_any_terminal(tmp_path):
    file = tmp_path / "plot.md"
    file.write_text((PROJECT / SCENARIO).read_text(encoding="utf-8").replace("title: Garden store on the flat", "title: Gårdsbod ³"), encoding="utf-8")
    done = run("compare", str(file), "--json", env={"PYTHONIOENCODING": "ascii"})
    assert json.loads(done.stdout.decode("utf-8"))["scenario"]["title"] == "Gårdsbod ³"


# New scenarios.


def test_new_writes_a_scenario_that_compares(guide):
    done = run("new", "my-plot", "--set", "plot.slope=1:20", cwd=guide)
    assert done.returncode == 0 and out(done) == f"{Path('docs/scenarios/my-plot.md')}\n"
    document = json.loads(out(run("compare", "docs/scenarios/my-plot.md", "--json", cwd=guide)))
    assert document["scenario"]["slug"] == "my-plot"
    assert document["ground"]["gradient"] == pytest.approx(0.05)
    assert [path.name for path in (guide / "docs" / "scenarios").iterdir()] == ["my-plot.md"]


def test_new_from_another_keeps_its_plot(guide):
    assert run("new", "copy", "--from", str(PROJECT / SCENARIO), cwd=guide).returncode == 0
    there = json.loads(out(run("compare", SCENARIO, "--json")))
    here = json.loads(out(run("compare", "docs/scenarios/copy.md", "--json", cwd=guide)))
    assert here["ground"] == there["ground"] and here["decision"] == there["decision"]


def test_new_never_writes_over_anything(guide):
    file = guide / "docs" / "scenarios" / "mine.md"
    file.write_text("mine", encoding="utf-8")
    done = run("new", "mine", cwd=guide)
    assert done.returncode == 2 and "already" in err(done)
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ["../out", "index", "My Plot", "", "a/b", ".hidden"])
def test_new_takes_only_plain_names(name, guide):
    done = run("new", name, cwd=guide)
    assert done.returncode == 2 and "cannot be the name of a scenario" in err(done)
    assert list((guide / "docs" / "scenarios").iterdir()) == []


def test_new_with_a_bad_value_leaves_nothing_behind(guide):
    done = run("new", "bad", "--set", "plot.slope=steep", cwd=guide)
    assert done.returncode == 2 and "plot.slope" in err(done)
    assert list((guide / "docs" / "scenarios").iterdir()) == []


# The site.


def test_build_builds_the_site_of_the_current_folder(guide):
    done = run("build", cwd=guide)
    assert done.returncode == 0, err(done)
    assert out(done) == "site\n"
    assert (guide / "site" / "index.html").is_file()
    assert "Traceback" not in err(done)


def test_build_with_a_bad_configuration_is_exit_1(guide):
    (guide / "mkdocs.yml").write_text("site_name: A guide\nplugins:\n  - no-such-plugin\n", encoding="utf-8")
    done = run("build", cwd=guide)
    assert done.returncode == 1 and "no-such-plugin" in err(done)
    assert "Traceback" not in err(done) and "should not have happened" not in err(done)


def test_serve_at_an_address_that_is_none_is_a_sentence(guide):
    done = run("serve", "--address", "nowhere", cwd=guide)
    assert done.returncode == 1 and "Traceback" not in err(done) and err(done)


def test_every_command_has_a_purpose_and_an_example():
    commands = next(action for action in parser()._actions if hasattr(action, "choices") and isinstance(action.choices, dict)).choices
    assert set(commands) == {"compare", "setting-out", "order", "pour", "programme", "flatness", "check", "new", "build", "serve", "schema"}
    for name, command in commands.items():
        assert command.description and command.epilog.startswith(f"Example: soleplate {name}")
