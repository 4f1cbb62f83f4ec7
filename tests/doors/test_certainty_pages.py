"""What decides it and how surely, as a page, a terminal and a forum text show it.

Figures are worked out again from the schemes' own bills or by hand beside each
test; laws (a link arrives, a stranger's words stay words) need no source.
"""

import re
from dataclasses import replace
from functools import cache

import pytest

from calculators.compare import compare
from calculators.maps import HIRED, OWN, Cell, map_of
from calculators.yardsticks import weighed_by
from generator import wording
from generator.certainty_views import HARDLY, certainty_view
from generator.comparing import vector
from generator.display import money, money_exact
from generator.pages import in_order, scenario_page
from generator.scenario import read_scenario_text
from generator.text_table import text_table
from generator.uncertain_words import certainty_sentences, turn_of, turning

PLOT = """---
title: A plot
units: {units}
plot:
  footprint: 6.6 m x 4.2 m
  slope: "{slope}"
  falls_to: south
  soil: {soil}
  shrinkage: low
building: {{heated: {heated}}}
weights: {weights}
futures: {futures}
---
Sand.
"""
QUESTIONS = {
    "Who is cheapest?": "verdict", "By how much?": "like-for-like", "How surely?": "how-surely", "What would turn it?": "what-turns-it",
    "How many days of mine?": "yardsticks", "How many hands at once?": "yardsticks", "How high on the low side?": "yardsticks", "Warm or cold?": "warmth",
    "Can I change my mind?": "changing-your-mind", "What was guessed?": "what-is-uncertain",
}
HOSTILE = "<script>alert(1)</script> {{ 7*7 }}"
OWN_WISH = f'[{{name: "{HOSTILE}", likelihood: 30 %, costs: {{strip-and-block: 4000 GBP}}}}, {{name: A lean-to, costs: {{thickened-raft: 123 GBP}}}}]'
# Ground on which much turns the order, nothing does, one scheme is left, none is.
TURNING, STEADY, ONE, NONE = dict(slope="1:10", heated="yes"), dict(slope="1:14"), dict(slope="1:6"), dict(soil="peat")
GROUNDS = {"turning": TURNING, "steady": STEADY, "one": ONE, "none": NONE}


@cache
def worked(slope="1:14", soil="medium sand", units="metric", heated="no", weights="none", futures="none", draws=250, arrays=True):
    text = PLOT.format(slope=slope, soil=soil, units=units, heated=heated, weights=weights, futures=futures)
    reading = read_scenario_text(text, "plot.md", "plot")
    return reading, compare(reading.scenario, draws, vector() if arrays else None)


def page_of(reading, comparison, maps=None):
    return scenario_page(reading, comparison, maps).html


def spaced(text):
    return " ".join(text.replace("\u00a0", " ").split())


def plain(html, units="metric"):
    """The words of some HTML that a reader of one unit system sees."""
    other = "imperial" if units == "metric" else "metric"
    kept = re.sub(rf'<span class="q-{other}">.*?</span>', "", re.sub("<svg.*?</svg>", " ", html, flags=re.DOTALL))
    words = re.sub(r"<[^>]+>", "", re.sub(r"</(?:td|th|dt|dd|p|li|h\d|caption|summary)>", r"\g<0> ", kept))
    for sign, letter in (("&lt;", "<"), ("&gt;", ">"), ("&#39;", "'"), ("&#34;", '"'), ("&amp;", "&")):
        words = words.replace(sign, letter)
    return spaced(words)


def part(html, name):
    """The HTML below one heading, up to the next of its level or above."""
    found = re.search(rf'<h([2-4]) id="{name}".*?</h\1>', html, re.DOTALL)
    rest = html[found.end():]
    end = re.search(rf"<h[1-{found[1]}][ >]", rest)
    return rest[:end.start()] if end else rest


def a_map(*firsts, you=None):
    """Two slopes, two areas: scheme and lead, or None for nothing."""
    cells = [Cell(slope, area, *(first or (None, None))) for (slope, area), first in zip(((0.0, 10.0), (0.0, 40.0), (0.1, 10.0), (0.1, 40.0)), firsts)]
    return map_of(cells, (0.0, 0.1), (10.0, 40.0), you)


MAPS = {
    OWN: a_map(("thickened-raft", 0.123), ("strip-and-block", 0.01), ("strip-and-block", None), None, you=(1 / 14, 27.72)),
    HIRED: a_map(*[("insulated-slab", 0.2)] * 4, you=(1 / 14, 27.72)),
}


def shown():
    for name, ground in GROUNDS.items():
        for maps in (None, MAPS):
            yield pytest.param(page_of(*worked(**ground), maps), id=f"{name}, {'maps' if maps else 'no maps'}")
    yield pytest.param(page_of(*worked(**TURNING, weights="{money: 5, u_value: 1}", futures=OWN_WISH), MAPS), id="own weights and wishes")
    yield pytest.param(page_of(*worked(draws=0)), id="nothing drawn")


EVERY_PAGE = pytest.mark.parametrize("html", list(shown()))


# The page as a whole.


@EVERY_PAGE
def test_every_link_inside_the_page_arrives_and_no_id_stands_twice(html):
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids)) > 20
    wanted = set(re.findall(r'href="#([^"]+)"', html))
    assert len(wanted) > 10 and wanted <= set(ids)
    headings = re.findall(r'<h[1-6] id="([^"]+)"', html)
    assert len(headings) == len(set(headings)) > 10


@EVERY_PAGE
def test_no_looks_and_no_scripts_inside(html):
    assert not re.search(r"<[^>]*\sstyle\s*=", html) and not re.search(r"<[^>]*\son\w+\s*=", html) and "<script" not in html and "<style" not in html


@EVERY_PAGE
def test_nothing_was_left_to_a_computer_to_say(html):
    assert not re.search(r"\b(nan|inf|Markup|Shown)\b", plain(html))
    for name in ("what-decides", "changing-your-mind"):
        assert f'id="{name}"' not in html or "None" not in plain(part(html, name))


def test_headings_go_down_one_level_at_a_time():
    levels = [int(level) for level in re.findall(r"<h([1-6])[ >]", page_of(*worked(**TURNING), MAPS))]
    assert levels[0] == 1 and all(after <= before + 1 for before, after in zip(levels, levels[1:]))


# Ten questions.


@pytest.mark.parametrize("name", ["turning", "steady", "one"])
def test_ten_questions_each_answered_in_one_place(name):
    html = page_of(*worked(**GROUNDS[name]))
    found = re.findall(r'<dt>(.*?)</dt><dd>(.*?)<a href="#([^"]+)">More</a></dd>', part(html, "ten-questions"))
    assert {question: place for question, _, place in found} == QUESTIONS and len(found) == 10
    ids = re.findall(r'\sid="([^"]+)"', html)
    for question, answer, place in found:
        assert len(plain(answer)) > 8 and plain(answer).endswith("."), question
        assert plain(html).count(question) == 1 and ids.count(place) == 1, question


def answers(comparison):
    return {answer.question: answer.words for answer in certainty_view(comparison, in_order(comparison)).answers}


def test_answers_follow_from_the_bills():
    _, comparison = worked(**STEADY)
    # From the bills and amounts themselves, not from the decision.
    first, second, _ = sorted(comparison.schemes, key=lambda result: result.like_for_like.likely)
    said = answers(comparison)
    assert first.title.lower() in said["Who is cheapest?"].metric and money(first.like_for_like.likely, "GBP") in said["Who is cheapest?"].metric
    assert said["By how much?"].metric.startswith(money(second.like_for_like.likely - first.like_for_like.likely, "GBP"))
    for result in comparison.schemes:
        days = f"{result.title.lower()}: {result.priced.own_hours / 7.0:.1f} days"
        assert days in said["How many days of mine?"].metric
        assert f"{result.title.lower()}: {result.works.low_side_height_m * 1000:.0f} mm" in said["How high on the low side?"].metric
        assert f"{result.title.lower()}: {result.u_value_w_per_m2k:.2f} W" in said["Warm or cold?"].metric
        assert re.search(rf"{result.title.lower()}: \d+[;.]", said["How many hands at once?"].metric)
    assert " in" in said["How high on the low side?"].imperial and "Btu" in said["Warm or cold?"].imperial


def test_how_surely_is_the_share_of_draws():
    _, comparison = worked(**TURNING)
    first = comparison.decision.order[0]
    share = comparison.certainty.ranges.scheme(first).cheapest
    assert 0.1 < share < 0.9
    times = int(re.search(r"(\d+) times? in 10 it is the cheapest", answers(comparison)["How surely?"].metric)[1])
    assert abs(times / 10 - share) <= 0.05


def test_every_place_holds_what_the_answer_speaks_of():
    html = page_of(*worked(**TURNING))
    for place, words in {
        "like-for-like": "ike for like", "how-surely": "drawn 250 times", "what-turns-it": "comes first", "yardsticks": "Days of your own", "warmth": "U-value",
        "changing-your-mind": "A wall is moved", "what-is-uncertain": "Waste, times the allowances",
    }.items():
        assert words in plain(part(html, place)), place
    rows = plain(part(html, "yardsticks"))
    for label in ("People at once", "Height of the floor on the low side", "Lorries", "Carbon", "Steps at the doors", "Inspections", "Walls fixed before the pour", "Cannot stand for years unbuilt"):
        assert label in rows


# The verdict.


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_verdict_says_how_surely_and_what_would_turn_it(units):
    _, comparison = worked(**TURNING, units=units)
    first, second = (comparison.scheme(scheme).title.lower() for scheme in comparison.decision.order[:2])
    verdict = plain(part(page_of(*worked(**TURNING, units=units)), "verdict"), units)
    assert f"the {first} is cheaper than the {second} about " in verdict and "what lies between them is from" in verdict
    turns = [turn_of(comparison, switch).words.of(units) for switch in turning(comparison)[:2]]
    assert len(turns) == 2
    for words in turns:
        assert spaced(words) in verdict and f"the {second} comes first" in words
    assert "Not yet tested" not in verdict and wording.NOT_TESTED not in verdict


def test_verdict_without_a_turn_says_that_no_price_does_it():
    verdict = plain(part(page_of(*worked(**STEADY)), "verdict"))
    assert "No single price between half and twice what was taken turns the order." in verdict


def test_other_prices_are_spoken_of_where_one_turns_it():
    turned = plain(part(page_of(*worked(**TURNING)), "what-turns-it"))
    assert "No other single price" in turned and "No single price" not in turned


@pytest.mark.parametrize("name", ["turning", "steady", "one"])
def test_prices_are_said_to_be_invented_and_three_quotes_named(name):
    reading, comparison = worked(**GROUNDS[name])
    html = page_of(reading, comparison)
    verdict = plain(part(html, "verdict"))
    assert "The prices are invented." in verdict and "The three quotes that would tell most: " in verdict
    assert "invented" in plain(part(html, "how-surely"))
    questions = wording.questions_to_settle(comparison)
    assert len(questions) == 3 and all(wording.in_sentence(question.label) in verdict for question in questions)


def test_a_turning_price_is_where_the_two_cost_the_same():
    """Rates put at a switching value times 1.02 and 0.98 give another order: worked out by the whole comparison anew, before rounding."""
    reading, comparison = worked(**TURNING)
    order = comparison.decision.order[:2]
    switch = next(switch for switch in turning(comparison) if switch.key == "floating_floor")
    assert money_exact(switch.value, "GBP") in turn_of(comparison, switch).words.metric
    signs = []
    for factor in (0.98, 1.02):
        rate = reading.scenario.schedule.rates[switch.key]
        moved = replace(reading.scenario.schedule, rates={**reading.scenario.schedule.rates, switch.key: replace(rate, low=switch.value * factor, likely=switch.value * factor, high=switch.value * factor)})
        # At the levels chosen, as the value is solved.
        schemes = {scheme: replace(choices, floor_level_m=comparison.scheme(scheme).works.floor_level_m) for scheme, choices in reading.scenario.schemes.items()}
        again = compare(replace(reading.scenario, schedule=moved, schemes=schemes))
        cost = [again.scheme(scheme).priced.cash_before_rounding + sum(credit.amount.likely for credit in again.scheme(scheme).credits) for scheme in order]
        signs.append(cost[1] > cost[0])
    assert signs == ([True, False] if switch.above else [False, True])


def test_a_factor_says_of_what():
    _, comparison = worked(**TURNING)
    for switch in turning(comparison):
        if switch.key == "waste":
            assert re.search(r"If waste is (more|less) than [\d.]+ times the allowances \(taken: 1\)", turn_of(comparison, switch).words.metric)
            break
    else:
        base = next(switch for switch in comparison.certainty.switches if switch.key == "waste")
        assert "If waste is more than 2.5 times the allowances (taken: 1), the" in turn_of(comparison, replace(base, value=2.5, above=True)).words.metric


def test_the_worth_of_an_hour_and_the_slope_have_sentences_of_their_own():
    _, comparison = worked(**TURNING)
    by_key = {switch.key: switch for switch in comparison.certainty.switches}
    hour = turn_of(comparison, replace(by_key["hour worth"], value=31.0)).words.metric
    assert "an hour of yours is worth more than £31" in hour
    for above, side in ((True, "steeper"), (False, "gentler")):
        assert f"On ground {side} than about 1 in 8 " in turn_of(comparison, replace(by_key["slope"], value=0.125, above=above)).words.metric


# One scheme, none, and a tie.


def test_one_scheme_alone_has_a_range_and_nothing_to_be_turned():
    reading, comparison = worked(**ONE)
    assert len(comparison.decision.order) == 1
    html = page_of(reading, comparison)
    cash = comparison.certainty.ranges.schemes[0].cash
    assert f"8 times in 10 it lies between {money(cash.p10, 'GBP')} and {money(cash.p90, 'GBP')}." in plain(part(html, "verdict"))
    assert "Nothing else is within limits, so no price turns the order." in plain(part(html, "what-turns-it"))
    assert "Is cheapest" not in plain(part(html, "how-surely")) and "What you would regret" not in plain(part(html, "changing-your-mind"))
    assert "each has something for it" not in plain(part(html, "yardsticks"))


def test_where_nothing_can_be_built_nothing_is_said_of_certainty():
    reading, comparison = worked(**NONE)
    assert not comparison.decision.order and comparison.certainty is not None
    assert certainty_view(comparison, in_order(comparison)) is None and certainty_sentences(comparison) == ()
    html = page_of(reading, comparison)
    assert 'id="what-decides"' not in html and 'id="changing-your-mind"' not in html and "£" not in plain(part(html, "verdict"))


def test_where_a_part_load_decides_the_page_says_so():
    reading, comparison = worked(**TURNING)
    level = replace(comparison, certainty=replace(comparison.certainty, rounding_decides=True, switches=()))
    html = page_of(reading, level)
    turned = plain(part(html, "what-turns-it"))
    assert "a part load decides" in turned and "No single price" not in turned and "<li>" not in part(html, "what-turns-it")
    assert "The two are level on price" in plain(part(html, "verdict"))


# Weights and wishes of the reader's own.


def test_own_wishes_appear_as_words_and_nothing_else():
    reading, comparison = worked(**TURNING, futures=OWN_WISH)
    html = page_of(reading, comparison)
    later = part(html, "changing-your-mind")
    assert "&lt;script&gt;alert(1)&lt;/script&gt; {{ 7*7 }}" in later and "<script" not in html and "49" not in plain(later)
    row = next(row for row in re.findall("<tr>.*?</tr>", later, re.DOTALL) if "alert" in row)
    assert "As you priced it." in row and "£4,000" in row and "You think it 30 % likely." in row
    assert re.search(r"A lean-to.*?£123", plain(later)) and plain(later).count("A lean-to") == 2


def test_regrets_are_those_of_a_hand():
    _, comparison = worked(**TURNING, futures=OWN_WISH)
    view = certainty_view(comparison, in_order(comparison))
    order = comparison.decision.order
    today = {scheme: comparison.scheme(scheme).like_for_like.likely for scheme in order}
    then = {scheme: today[scheme] + (4000.0 if scheme == "strip-and-block" else 0.0) for scheme in order}
    row = next(row for row in view.futures if row.name == HOSTILE)
    assert row.regrets == tuple(money(then[scheme] - min(then.values()), "GBP") for scheme in order)
    # The strip footing is cheaper now and 4 000 dearer then: it stops paying at lead over 4 000, about 1 in 100.
    lead = today["insulated-slab"] - today["strip-and-block"]
    assert order[:2] == ("strip-and-block", "insulated-slab") and 0.005 < lead / 4000.0 < 0.015
    assert "Once it is more likely than 1 time in 100, the insulated floor slab is the better choice on average." in row.matters


@pytest.mark.parametrize("chance", [0.0, 0.0004, 0.0049, HARDLY, 0.3, 0.995, 0.9999, 1.0])
def test_a_chance_next_to_never_or_always_reads_as_a_sentence(chance):
    _, comparison = worked(**TURNING, futures=OWN_WISH)
    later = comparison.certainty.later
    matters = tuple(replace(found, chance=chance, to="insulated-slab") for found in later.matters)
    view = certainty_view(replace(comparison, certainty=replace(comparison.certainty, later=replace(later, matters=matters))), in_order(comparison))
    for row in view.futures:
        assert not re.search("likely than (not once|every time|less than|more than)", row.matters)
        assert "the insulated floor slab is the better choice on average." in row.matters
        assert ("at all likely" in row.matters) == (chance < HARDLY) and ("all but certain" in row.matters) == (chance > 1.0 - HARDLY)


def test_own_weights_appear_with_their_sums():
    weights = {"money": 5.0, "u_value": 1.0}
    reading, comparison = worked(**TURNING, weights="{money: 5, u_value: 1}")
    said = plain(part(page_of(reading, comparison), "yardsticks"))
    assert "By your weights (money, like for like: 5; U-value of the floor itself: 1) the sums are: " in said and "Nothing is weighed" not in said
    # By hand: how much more than the least, over the greatest such gap, times the weight.
    figures = {"money": {r.id: r.like_for_like.likely for r in comparison.schemes if r.buildable}, "u_value": {r.id: r.u_value_w_per_m2k for r in comparison.schemes if r.buildable}}
    for scheme in comparison.decision.order:
        total = 0.0
        for key, values in figures.items():
            least, most = min(values.values()), max(values.values())
            total += weights[key] * (values[scheme] - least) / (most - least)
        assert f"{comparison.scheme(scheme).title.lower()} {total:.2f}" in said
    assert "Nothing is weighed against anything else here." in plain(part(page_of(*worked(**TURNING)), "yardsticks"))


@pytest.mark.parametrize("weights", ["{money: 5, u_value: 1}", "{money: 0, carbon: 0, concrete: 0, u_value: 0, own_days: 0}", "{money: 1, concrete: 2, u_value: 4}"])
def test_a_weight_past_its_turn_puts_the_named_scheme_first(weights):
    _, comparison = worked(**TURNING, weights=weights)
    weighed, measured = comparison.certainty.standing.weighed, comparison.certainty.standing.measured
    said = certainty_view(comparison, in_order(comparison)).weighed[1:]
    turned = 0
    for turn, words in zip(weighed.turns, said, strict=True):
        if turn.turns_at is None:
            assert words.endswith("no weight from 0 up changes that.")
            continue
        turned += 1
        beyond = turn.turns_at + (0.001 if " is more than " in words else -0.001)
        again = weighed_by(measured, {**weighed.weights, turn.key: beyond})
        assert again.sums[turn.to] < again.sums[weighed.order[0]], words
    assert turned


# Maps.


def test_maps_are_shown_with_what_lies_outside_and_what_is_alone():
    html = page_of(*worked(**STEADY), MAPS)
    said = plain(part(html, "map"))
    for words in ("Your own labour", "All of it hired", "thickened raft, 12 %", "strip footing, block and slab, nothing else", "outside the limits", "insulated floor slab, 20 %"):
        assert words in said
    assert "108 ft²" in plain(part(html, "map"), "imperial") and "10 m²" in said
    assert part(html, "map").count("<svg") == 4
    assert 'id="map"' not in page_of(*worked(**STEADY))


# Both unit systems, and other doors.


def test_imperial_readers_see_no_metres():
    html = page_of(*worked(**TURNING), MAPS)
    for name in ("ten-questions", "what-turns-it", "yardsticks", "map"):
        spans = re.findall(r'<span class="q-imperial">(.*?)</span>', part(html, name))
        assert spans and not [words for words in spans if re.search(r"\d\s(mm|m|m²|m³|kg|t)\b", spaced(words))], name
        assert len(spans) == len(re.findall(r'<span class="q-metric">', part(html, name)))


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize("name", ["turning", "steady", "one"])
def test_terminal_and_forum_say_the_same_sentences(name, units):
    reading, comparison = worked(**GROUNDS[name], units=units)
    sentences = [spaced(words.of(units)) for words in certainty_sentences(comparison)]
    assert sentences
    for text in (spaced(text_table(comparison)), spaced(wording.forum_text(reading, comparison))):
        for words in sentences:
            assert words in text
        assert wording.NOT_TESTED not in text and "invented" in text


def test_without_arrays_the_page_is_the_same():
    pytest.importorskip("numpy")
    for ground in (TURNING, ONE):
        assert page_of(*worked(**ground)) == page_of(*worked(**ground, arrays=False))
