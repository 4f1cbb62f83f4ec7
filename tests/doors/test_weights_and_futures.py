"""Weights and later wishes of the reader's own: what is read, what is refused and how, and that every door agrees.

Independent: the jsonschema package, for what the schema takes and refuses.
"""

import json

import pytest

from calculators.scenario import OwnFuture
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator import cli
from generator.front_matter import as_data, read_front_matter
from generator.input_rows import given_rows
from generator.inputs import MOST_FUTURES, SCHEME_IDS
from generator.new_scenario import new_scenario_text
from generator.problems import BadInput
from generator.scenario import read_scenario_text
from generator.scenario_schema import scenario_schema

PLOT = "---\nplot: {{footprint: 6.6 m x 4.2 m, slope: 0, soil: medium sand}}\n{}\n---\nSand.\n"
RAFT, STRIP, INSULATED = SCHEME_IDS
TWELVE = ", ".join(f"{{name: wish {n}, costs: none}}" for n in range(MOST_FUTURES))


def read(line="", *overrides):
    return read_scenario_text(PLOT.format(line), "plot.md", "plot", overrides).scenario


def refused(line, *overrides):
    with pytest.raises(BadInput) as error:
        read(line, *overrides)
    return list(error.value.problems)


@pytest.fixture(scope="module")
def schema_errors():
    jsonschema = pytest.importorskip("jsonschema")
    validator = jsonschema.Draft202012Validator(scenario_schema())
    return lambda line: list(validator.iter_errors(as_data(read_front_matter(PLOT.format(line), "plot.md").keys)))


GOOD_WEIGHTS = {
    "weights: none": {},
    "weights: {}": {},
    "weights: {money: 5}": {"money": 5.0},
    "weights: {carbon: 0.5, money: 30 %}": {"money": 0.3, "carbon": 0.5},
    "weights: {money: 0, cannot_wait: 1000}": {"money": 0.0, "cannot_wait": 1000.0},
    f"weights: {{{', '.join(f'{key}: 1' for key in YARDSTICK_BY_KEY)}}}": dict.fromkeys(YARDSTICK_BY_KEY, 1.0),
}
GOOD_FUTURES = {
    "futures: none": (),
    "futures: []": (),
    "futures: [{name: A lean-to, costs: {thickened-raft: 400 GBP}}]": (OwnFuture("A lean-to", {RAFT: 400.0}, None),),
    "futures: [{name: A lean-to, likelihood: 30 %, costs: {insulated-slab: 1.5 GBP, thickened-raft: 0}}]": (OwnFuture("A lean-to", {RAFT: 0.0, INSULATED: 1.5}, 0.3),),
    "futures: [{name: Sold, likelihood: 1, costs: none}, {name: Kept, likelihood: 0, costs: {strip-and-block: 1000000 GBP}}]": (OwnFuture("Sold", {}, 1.0), OwnFuture("Kept", {STRIP: 1e6}, 0.0)),
    f"futures: [{{name: {'x' * 120}, costs: none}}]": (OwnFuture("x" * 120, {}, None),),
    f"futures: [{TWELVE}]": tuple(OwnFuture(f"wish {n}", {}, None) for n in range(12)),
    'futures: [{name: "<b>30 %</b> {{ 7*7 }}", costs: none}]': (OwnFuture("<b>30 %</b> {{ 7*7 }}", {}, None),),
}


@pytest.mark.parametrize("line", GOOD_WEIGHTS)
def test_weights_that_are_read(line, schema_errors):
    assert read(line).weights == GOOD_WEIGHTS[line] and list(read(line).weights) == [key for key in YARDSTICK_BY_KEY if key in GOOD_WEIGHTS[line]]
    assert not schema_errors(line)


@pytest.mark.parametrize("line", GOOD_FUTURES)
def test_wishes_that_are_read(line, schema_errors):
    assert read(line).own_futures == GOOD_FUTURES[line]
    assert not schema_errors(line)


def test_nothing_is_weighed_or_wished_unless_said():
    assert read().weights == {} and read().own_futures == ()


LEAN_TO = "futures: [{name: A lean-to, "
# What is typed; words of the sentence; whether the schema, which knows shapes and no bounds, refuses it too.
BAD = {
    "an unknown yardstick": ("weights: {gold: 1}", 'no yardstick is called "gold"; there are money, own_days,', True),
    "a yardstick mistyped": ("weights: {monye: 1}", "(did you mean money?)", True),
    "a weight below nothing": ("weights: {money: -1}", '"-1" is not a ratio; write a number or a percentage', False),
    "a weight that is no number": ("weights: {money: much}", '"much" is not a ratio; write a number or a percentage', False),
    "a weight that is not a number": ("weights: {money: .nan}", '".nan" is not a ratio', False),
    "a weight without end": ("weights: {money: .inf}", '".inf" is not a ratio', False),
    "a weight too great": ("weights: {money: 1001}", '"1001" is too large; the weight of money must be from 0 to 1000', False),
    "a list for a weight": ("weights: {money: [1]}", "a list is given; write one piece of text", True),
    "a list of weights": ("weights: [money]", "does not say of what; write each yardstick with its figure", True),
    "one word for weights": ("weights: 5", '"5" does not say of what; write each yardstick with its figure', True),
    "no name": ("futures: [{costs: {thickened-raft: 4 GBP}}]", "wish 1 has no name; give both its name and its costs", True),
    "an empty name": ('futures: [{name: "", costs: none}]', "nothing is given", True),
    "a list for a name": ("futures: [{name: [a], costs: none}]", "a list is given; write one piece of text", True),
    "no costs": ("futures: [{name: Sold}]", "wish 1 has no costs; give both its name and its costs", True),
    "costs without a scheme": (LEAN_TO + "costs: 4 GBP}]", '"4 GBP" does not say of what; write each scheme with its figure', True),
    "an unknown scheme": (LEAN_TO + "costs: {raft: 4 GBP}}]", 'no scheme is called "raft"; there are thickened-raft, strip-and-block and insulated-slab', True),
    "an unknown part": (LEAN_TO + "cost: {thickened-raft: 4 GBP}}]", 'wish 1 has "cost", which is not known here (did you mean costs?)', True),
    "another currency": (LEAN_TO + "costs: {thickened-raft: 4 USD}}]", 'what "A lean-to" costs under thickened-raft is in another currency than the schedule of rates; write it in GBP, like 4 GBP', False),
    "no currency": (LEAN_TO + "costs: {thickened-raft: 4}}]", '"4" cannot be read as money', False),
    "money for each metre": (LEAN_TO + "costs: {thickened-raft: 4 GBP/m}}]", '"4 GBP/m" is a price for the unit m; write what it comes to in all, an amount and a currency, like 400 GBP', False),
    "a cost below nothing": (LEAN_TO + "costs: {thickened-raft: -4 GBP}}]", '"-4 GBP" is less than nothing; what thickened-raft costs must be from 0 to 1000000 GBP, like 400 GBP', False),
    "a cost too great": (LEAN_TO + "costs: {thickened-raft: 1000001 GBP}}]", "1000001 GBP", False),
    "likelier than always": (LEAN_TO + "likelihood: 101 %, costs: none}]", 'wish 1 cannot be "101 %" likely; write a share from 0 to 100 %', False),
    "likelier than always, as a number": (LEAN_TO + "likelihood: 1.5, costs: none}]", 'wish 1 cannot be "1.5" likely', False),
    "likely in words": (LEAN_TO + "likelihood: often, costs: none}]", '"often" is not a ratio', False),
    "likely below nothing": (LEAN_TO + "likelihood: -1 %, costs: none}]", '"-1 %" is not a ratio', False),
    "one name twice": ("futures: [{name: Sold, costs: none}, {name: Sold, costs: {thickened-raft: 4 GBP}}]", '"Sold" is given more than once; give each wish a name of its own', False),
    "too many": (f"futures: [{TWELVE}, {{name: one more, costs: none}}]", "13 entries are given; give from 0 to 12 entries", True),
    "too long a name": (f"futures: [{{name: {'x' * 121}, costs: none}}]", "the name of wish 1 is 121 characters long; use at most 120", True),
    "no list": ("futures: lean-to", '"lean-to" is not a list; write a list in square brackets', True),
    "a wish of one word": ("futures: [lean-to]", 'wish 1 is "lean-to"; write it in curly brackets with name, likelihood and costs', True),
}


@pytest.mark.parametrize("what", BAD)
def test_what_cannot_be_read_is_refused_with_a_sentence(what, schema_errors):
    line, words, shape = BAD[what]
    (problem,) = refused(line)
    assert words in problem.sentence()
    assert (problem.file, problem.line, problem.field) == ("plot.md", 3, line.partition(":")[0])
    assert problem.given and problem.wanted and "like " in problem.sentence()
    assert bool(schema_errors(line)) == shape


def test_everything_that_is_wrong_is_said_at_once():
    line = "weights: {gold: 1, money: much}\nfutures: [{name: Sold}, {name: Kept, likelihood: 200 %, costs: none}, {name: Moved, costs: {raft: 1 GBP, thickened-raft: free}}]"
    sentences = [problem.sentence() for problem in refused(line)]
    for words in ('"gold"', '"much"', "wish 1 has no costs", '"200 %"', '"raft"', '"free"'):
        assert len([each for each in sentences if words in each]) == 1, words
    assert len(sentences) == 6


def test_money_in_another_currency_is_named_for_every_scheme():
    sentences = [problem.sentence() for problem in refused("futures: [{name: Sold, costs: {thickened-raft: 4 USD, strip-and-block: 5 EUR, insulated-slab: 6 GBP}}]")]
    assert len(sentences) == 2 and f"under {RAFT}" in sentences[0] and f"under {STRIP}" in sentences[1] and sentences[1].endswith("like 5 GBP")
    # It is the schedule's currency that counts.
    assert read("rates: demo-us\nfutures: [{name: Sold, costs: {thickened-raft: 4 USD}}]").own_futures[0].costs == {RAFT: 4.0}


def test_typing_them_beside_the_file_works_and_goes_before_it():
    scenario = read("weights: {money: 1}", "weights={carbon: 2}", "futures=[{name: Sold, likelihood: 25 %, costs: {thickened-raft: 7 GBP}}]")
    assert scenario.weights == {"carbon": 2.0} and scenario.own_futures == (OwnFuture("Sold", {RAFT: 7.0}, 0.25),)
    (problem,) = refused("", "weights={gold: 2}")
    assert problem.line == "--set" and '"gold"' in problem.sentence()


def test_the_command_takes_them(tmp_path, capsys):
    file = tmp_path / "plot.md"
    file.write_text(PLOT.format(""), encoding="utf-8")
    assert cli.main(["compare", str(file), "--json", "--set", "weights={money: 2}", "--set", "futures=[{name: Sold, costs: none}]"]) == 0
    said = json.loads(capsys.readouterr().out)
    assert said["scenario"]["weights"] == {"money": 2.0} and [wish["name"] for wish in said["scenario"]["own_futures"]] == ["Sold"]
    assert cli.main(["compare", str(file), "--set", "weights={gold: 2}"]) != 0
    said = capsys.readouterr()
    assert 'no yardstick is called "gold"' in said.err and not said.out


@pytest.mark.parametrize("line", [*GOOD_WEIGHTS, *GOOD_FUTURES])
def test_a_new_scenario_made_of_it_reads_back(line):
    text = new_scenario_text("barn", PLOT.format(line))
    again = read_scenario_text(text, "barn.md", "barn").scenario
    assert again.weights == read(line).weights and again.own_futures == read(line).own_futures


def test_a_new_scenario_shows_how_to_give_them():
    text = new_scenario_text("barn")
    assert "# weights: none" in text and "# futures: none" in text
    told = new_scenario_text("barn", overrides=["weights={money: 2, carbon: 30 %}", "futures=[{name: 'A: lean-to, # 2', likelihood: 10 %, costs: {thickened-raft: 3 GBP}}]"])
    scenario = read_scenario_text(told, "barn.md", "barn").scenario
    assert scenario.weights == {"money": 2.0, "carbon": 0.3} and scenario.own_futures == (OwnFuture("A: lean-to, # 2", {RAFT: 3.0}, 0.1),)


def test_what_was_understood_is_shown():
    reading = read_scenario_text(PLOT.format("weights: {own_days: 2, u_value: 1}\nfutures: [{name: Sold, likelihood: 25 %, costs: {thickened-raft: 700 GBP}}]"), "plot.md", "plot")
    said = " ".join(str(row) for rows in given_rows(reading, reading.scenario).values() for row in rows)
    for words in ("days of your own: 2", "U-value of the floor itself: 1", "Sold, 25 % likely: thickened raft £700"):
        assert words in said
