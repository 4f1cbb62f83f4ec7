"""Schedules of rates and the quotes put into them."""

import re
from pathlib import Path

import pytest

from calculators.schedule import BESIDE_THE_BILL, RATE_ITEMS, RATE_KEYS
from generator import schedules
from generator.front_matter import read_keys
from generator.problems import BadInput, Problem
from generator.schedules import YOURS, load_schedule, read_schedule, shipped_names, with_quotes

ASKED = Problem("plot.md", 4, "rates", "", "write a name")
GB_TEXT = (schedules.SHIPPED / "demo-gb.yml").read_text(encoding="utf-8")


def gb():
    return load_schedule("demo-gb", None, ASKED)


def us():
    return load_schedule("demo-us", None, ASKED)


def refused(text: str, name: str = "demo-gb") -> list[str]:
    with pytest.raises(BadInput) as error:
        read_schedule(text, "own.yml", name)
    return [problem.sentence() for problem in error.value.problems]


def quoted(schedule, text: str):
    return with_quotes(schedule, read_keys(text, "plot.md"), "plot.md")


@pytest.mark.parametrize("name", shipped_names())
def test_shipped_schedules_are_whole_and_say_that_they_are_invented(name):
    schedule = load_schedule(name, None, ASKED)
    assert set(schedule.rates) == set(RATE_KEYS)
    assert schedule.invented and "invented" in schedule.title
    assert schedule.dated == "2026-11"
    for item in RATE_ITEMS:
        rate = schedule.rates[item.key]
        assert 0 < rate.low < rate.likely < rate.high
        assert rate.step > 0 and rate.rate_from == name


def test_two_currencies_and_two_habits():
    assert (gb().currency, gb().units, gb().tax_included, gb().tax_percent) == ("GBP", "metric", True, 20.0)
    assert (us().currency, us().units, us().tax_included, us().tax_percent) == ("USD", "imperial", False, 8.0)


def test_products_with_metric_habits():
    products = gb().products
    # Arithmetic on the usual block face and joint: 1 / (0.450 x 0.225).
    assert products.blocks_per_m2 == pytest.approx(9.877, abs=5e-4)
    assert products.course_m == pytest.approx(0.225, rel=1e-12)
    # BS 4483, sheet 4.8 x 2.4 m, A193 3.02 kg/m2 (as quoted).
    assert (products.fabric_sheet_length_m, products.fabric_sheet_width_m, products.fabric_kg_per_m2) == (4.8, 2.4, 3.02)


def test_products_with_inch_habits():
    products = us().products
    # Modular block of 16 x 8 inches with its joint; 1 inch is 25.4 mm: common practice, no source.
    assert products.course_m == pytest.approx(8 * 0.0254, rel=1e-12)
    assert products.block_length_m + products.mortar_joint_m == pytest.approx(16 * 0.0254, rel=1e-12)
    assert products.concrete_lorry_m3 == pytest.approx(10 * 27 * 0.3048**3, rel=1e-12)


def test_a_unit_of_sale_holds_so_much_of_the_si_unit():
    # 1 yd = 0.9144 m and 1 lb = 0.45359237 kg by the agreement of 1959 (from memory).
    assert us().rates["ready_mixed_concrete"].sale_unit_in_si == pytest.approx(0.9144**3, rel=1e-12)
    assert us().rates["sub_base_stone"].sale_unit_in_si == pytest.approx(0.90718474, rel=1e-12)
    assert us().rates["reinforcing_bar"].sale_unit_in_si == pytest.approx(0.45359237e-3, rel=1e-12)
    assert gb().rates["labourer_hour"].sale_unit_in_si == gb().rates["membrane"].sale_unit_in_si == 1.0


def test_a_quote_replaces_one_rate_and_says_whose_it_is():
    before = gb()
    after, problems = quoted(before, "ready_mixed_concrete: 148.50 GBP/m^3")
    assert not problems
    rate = after.rates["ready_mixed_concrete"]
    assert (rate.low, rate.likely, rate.high, rate.rate_from, rate.sale_unit) == (148.5, 148.5, 148.5, YOURS, "m^3")
    assert {key: rate for key, rate in after.rates.items() if key != "ready_mixed_concrete"} == {
        key: rate for key, rate in before.rates.items() if key != "ready_mixed_concrete"
    }
    assert before.rates["ready_mixed_concrete"].rate_from == "demo-gb"


def test_a_quote_in_another_unit_of_the_kind_is_the_same_money_for_the_same_amount():
    after, problems = quoted(us(), "{ready_mixed_concrete: 200 USD/m^3, sub_base_stone: [40 USD/t, 45 USD/t, 2 USD/lb]}")
    assert not problems
    concrete, stone = after.rates["ready_mixed_concrete"], after.rates["sub_base_stone"]
    assert concrete.likely / concrete.sale_unit_in_si == pytest.approx(200, rel=1e-12)
    assert stone.low / stone.sale_unit_in_si == pytest.approx(40, rel=1e-12)
    assert stone.high / stone.sale_unit_in_si == pytest.approx(2 / 0.45359237e-3, rel=1e-12)


@pytest.mark.parametrize(("quote", "words"), [
    ("ready_mixed_concrete: 148 USD/m^3", "is in USD"),
    ("ready_mixed_concrete: 148 GBP/t", "by volume"),
    ("ready_mixed_concrete: 148 GBP", "does not say for how much"),
    ("ready_mixed_concrete: 148", "money"),
    ("ready_mixed_concrete: -1 GBP/m^3", "cannot be a price"),
    ("ready_mixed_concrete: 9**9 GBP/m^3", "money"),
    ("ready_mixed_concrete: [1 GBP/m^3, 2 GBP/m^3]", "2 prices"),
    ("ready_mixed_concrete: [3 GBP/m^3, 2 GBP/m^3, 4 GBP/m^3]", "not in order"),
    ("ready_mixed_concrete: {low: 3}", "not a list"),
    ("ready_mix_concrete: 148 GBP/m^3", "did you mean ready_mixed_concrete"),
    ("membrane: 30 GBP/sheet", "sold by the roll"),
    ("digger_day: 20 GBP/hour", "sold by the day"),
    ("sub_base_stone: 30 GBP/ton", "not known"),
])
def test_quotes_that_are_refused(quote, words):
    after, problems = quoted(gb(), quote)
    assert len(problems) == 1
    sentence = problems[0].sentence()
    assert words in sentence and sentence.startswith("plot.md:1: quotes.")
    assert all(rate.rate_from == "demo-gb" for rate in after.rates.values())


def test_every_bad_quote_is_told():
    _, problems = quoted(gb(), "membrane: 1 USD/roll\nmortar: 3 GBP/t\nnails: 1 GBP each")
    assert [problem.line for problem in problems] == [1, 2, 3]


@pytest.mark.parametrize(("old", "new", "words"), [
    ("  guard_rail: {low: 60", "  guard_rial: {low: 60", "rates.guard_rail: this is missing"),
    ("low: 28 GBP/t, likely: 34 GBP/t", "low: 28 GBP/t, likely: 34 GBP/m^3", "sub_base_stone"),
    ("low: 28 GBP/t, likely: 34 GBP/t", "low: 28 GBP/t, likely: 27 GBP/t", "not in order"),
    ("low: 28 GBP/t, likely: 34 GBP/t", "low: 28 GBP/t, likely: 34 GBP/kg", "same unit"),
    ("low: 28 GBP/t, likely: 34 GBP/t", "low: 28 GBP/t", "likely is missing"),
    ("high: 44 GBP/t, step: 1 t}", "high: 44 GBP/t, step: 1 m^3}", "step"),
    ("high: 44 GBP/t, step: 1 t}", "high: 44 GBP/t, step: 0 t}", "step"),
    ("high: 44 GBP/t, step: 1 t}", "high: 44 GBP/t, stpe: 1 t}", "did you mean step"),
    ("low: 28 GBP/t", "low: 28 USD/t", "is in USD"),
    ("currency: GBP", "currency: pounds", "currency"),
    ("dated: 2026-11", "dated: last year", "date"),
    ("tax_percent: 20 %", "tax_percent: 20", "percentage"),
    ("tax_percent: 20 %", "tax_percent: 200 %", "too large"),
    ("invented: yes", "invented: perhaps", "invented"),
    ("overhead_percent: 15 %\n", "", "overhead_percent: this is missing"),
    ("concrete_full_charge_from: 4 m^3", "concrete_full_charge_from: 9 m^3", "more than a full lorry"),
    ("name: demo-gb", "name: other", "not what the file is called"),
    ("invented: yes", "invented: yes\ndiscount: 3 %", "discount"),
    ("mortar_joint: 10 mm", "mortar_joint: 10", "no unit"),
])
def test_schedules_that_are_refused(old, new, words):
    assert old in GB_TEXT
    sentences = refused(GB_TEXT.replace(old, new, 1))
    assert any(words in sentence for sentence in sentences), sentences
    assert all(sentence.startswith("own.yml:") for sentence in sentences)


@pytest.mark.parametrize("key", RATE_KEYS)
def test_a_rate_that_is_missing_is_asked_for_by_name_and_the_example_is_a_rate(key):
    """A schedule written before a rate was wanted is told what to add, in a unit in which that is sold."""
    without = "".join(line for line in GB_TEXT.splitlines(keepends=True) if not line.startswith(f"  {key}: {{"))
    (sentence,) = refused(without)
    said = re.fullmatch(rf"own\.yml:\d+: rates\.{key}: this is missing; write what is paid for (.+): low, likely and high for each unit of sale, and the step of an order, like (.+)", sentence)
    assert said and said[1].lower() == next(item.label for item in RATE_ITEMS if item.key == key).lower()
    assert read_schedule(without + f"  {said[2]}\n", "own.yml", "demo-gb").rates[key].likely == 34.0


@pytest.mark.parametrize("key", RATE_KEYS)
def test_the_example_for_a_bad_quote_can_be_quoted(key):
    for typed in ("12", "12 GBP", "12 USD", "12 USD/m^3", "-1 GBP/m^3", "dear"):
        (problem,) = quoted(gb(), f"{key}: {typed}")[1]
        after, problems = quoted(gb(), f"{key}: {problem.example}")
        assert not problems and after.rates[key].rate_from == YOURS, problem.sentence()


def test_what_a_day_of_a_pour_and_a_floor_cost_has_rates():
    kinds = {item.key: item.unit_kind for item in RATE_ITEMS if item.key in BESIDE_THE_BILL}
    assert kinds == {"lorry_waiting_hour": "time", "volumetric_concrete": "volume", "volumetric_visit": "count", "bagged_concrete": "volume", "levelling_compound": "mass", "grinder_day": "time"}
    for schedule in (gb(), us()):
        # Waiting is paid by the hour and a grinder hired by the day; bags of compound follow its mass.
        assert (schedule.rates["lorry_waiting_hour"].sale_unit, schedule.rates["grinder_day"].sale_unit) == ("hour", "day")
        assert schedule.rates["levelling_compound"].sale_unit in ("kg", "lb")


def test_a_schedule_beside_the_scenario(tmp_path: Path):
    (tmp_path / "my-yard.yml").write_text(GB_TEXT.replace("name: demo-gb", "name: my-yard"), encoding="utf-8")
    schedule = load_schedule("my-yard", tmp_path, ASKED)
    assert schedule.rates["mortar"].rate_from == schedule.name == "my-yard"
    (tmp_path / "my-yard.yml").write_text(GB_TEXT.replace("name: demo-gb", "name: my-yard").replace("likely: 165 GBP", "likely: 166 GBP"), encoding="utf-8")
    assert load_schedule("my-yard", tmp_path, ASKED).rates["mortar"].likely == 166.0


def test_a_schedule_beside_the_scenario_does_not_hide_a_shipped_one(tmp_path: Path):
    (tmp_path / "demo-gb.yml").write_text(GB_TEXT, encoding="utf-8")
    with pytest.raises(BadInput, match="comes with the guide"):
        load_schedule("demo-gb", tmp_path, ASKED)


@pytest.mark.parametrize("name", ["../../secret", "/etc/passwd", "..", "demo-gb.yml", "Demo-GB", "", "a/b", "a\\b", "nope"])
def test_no_name_leads_to_another_folder(name, tmp_path):
    (tmp_path / "secret.yml").write_text(GB_TEXT, encoding="utf-8")
    (tmp_path / "in" / "deep").mkdir(parents=True)
    with pytest.raises(BadInput) as error:
        load_schedule(name, tmp_path / "in" / "deep", ASKED)
    assert error.value.problems[0].sentence().startswith("plot.md:4: rates: ")
