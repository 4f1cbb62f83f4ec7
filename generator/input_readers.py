"""Reads each kind of input into SI, and a whole tree of keys by a list of inputs, with every problem at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from calculators.scenario import ROOF_COVERINGS, ROOF_SHAPES
from generator.front_matter import Items, Keys, Text, Value
from generator.inputs import CURRENCY_PATTERN, LONGEST_TITLE, MOST_DOORS, NAME_PATTERN, WORKED_OUT, YES_NO, Input
from generator.problems import Problem, as_shown, listed, nearest, plain_text
from generator.quantities import KINDS, Unreadable, parse, parse_direction, parse_money, parse_pair, parse_slope

# Readers: one for each kind.  Each takes the input and what was typed, and gives the value or raises Unreadable.


def text_of(value: Value) -> str:
    """The text of a value that has to be one piece of text.  Raises Unreadable for lists and groups."""
    if isinstance(value, Text):
        if not value.text.strip():
            raise Unreadable("nothing is given")
        return value.text.strip()
    raise Unreadable(f"{'a list' if isinstance(value, Items) else 'a group of keys'} is given", "write one piece of text")


def items_of(value: Value) -> tuple[Value, ...]:
    """The entries of a value that has to be a list.  Raises Unreadable."""
    if isinstance(value, Items):
        return value.items
    given = as_shown(value.text) if isinstance(value, Text) else "a group of keys"
    raise Unreadable(f"{given} is not a list", "write a list in square brackets")


def as_typed(value: Value) -> str:
    """What was typed, on one line."""
    if isinstance(value, Text):
        return plain_text(value.text)
    if isinstance(value, Items):
        return "[" + ", ".join(as_typed(item) for item in value.items) + "]"
    return "{" + ", ".join(f"{plain_text(key)}: {as_typed(item)}" for key, item in value.values.items()) + "}"


def _metres(text: str) -> float:
    return parse(text, "length")


def _each(readings: Iterable[tuple[int | str, Callable[[], object]]]) -> list:
    """The results of several readings, each with its line; raises one Unreadable that holds every problem."""
    results, problems = [], []
    for line, read in readings:
        try:
            results.append(read())
        except Unreadable as error:
            error.line = line
            problems.append(error)
    if problems:
        problems[0].others = tuple(problems[1:])
        raise problems[0]
    return results


def range_words(item: Input) -> str:
    """The bounds of an input as a sentence has them."""
    return f"from {item.least} to {item.most}"


def _within(item: Input, size: float, typed: str, read: Callable[[str], float], what: str = "it") -> float:
    if item.least and size < read(item.least):
        low = "less than nothing" if size < 0 <= read(item.least) else "too small"
        raise Unreadable(f"{as_shown(typed)} is {low}", f"{what} must be {range_words(item)}")
    if item.most and size > read(item.most):
        raise Unreadable(f"{as_shown(typed)} is too large", f"{what} must be {range_words(item)}")
    return size


def _quantity(item: Input, value: Value) -> float:
    typed = text_of(value)

    def read(text: str) -> float:
        return parse(text, item.kind)

    return _within(item, read(typed), typed, read)


def _block_thickness(item: Input, value: Value) -> float:
    typed = text_of(value)
    size = _metres(typed)
    if size not in [_metres(choice) for choice in item.choices]:
        raise Unreadable(f"{as_shown(typed)} is not a thickness blocks come in here", f"write {listed(item.choices)}")
    return size


def _slope(item: Input, value: Value) -> float:
    typed = text_of(value)
    gradient = parse_slope(typed)
    if gradient > parse_slope(item.most):
        raise Unreadable(f"{as_shown(typed)} is too steep", f"the guide works out nothing steeper than {item.most}")
    return gradient


def _direction(item: Input, value: Value) -> float:
    return parse_direction(text_of(value))


def _word(typed: str, choices: tuple[str, ...]) -> str:
    word = " ".join(typed.split())
    for choice in choices:
        if word.lower() == choice.lower():
            return choice
    close = nearest(word, choices)
    hint = f" (did you mean {close}?)" if close else ""
    raise Unreadable(f"{as_shown(typed)} is not one of the words for this{hint}", f"write {listed(choices)}")


def _choice_of(item: Input, value: Value) -> str:
    return _word(text_of(value), item.choices)


def _yes(item: Input, value: Value) -> bool:
    return _word(text_of(value), YES_NO) == "yes"


def _title(item: Input, value: Value) -> str:
    title = plain_text(text_of(value))
    if not title:
        raise Unreadable("nothing that can be shown is given")
    if len(title) > LONGEST_TITLE:
        raise Unreadable(f"{as_shown(title)} is longer than {LONGEST_TITLE} characters", "write a shorter title")
    return title


def _name(item: Input, value: Value) -> str:
    typed = text_of(value)
    if not re.fullmatch(NAME_PATTERN[1:-1], typed):
        raise Unreadable(f"{as_shown(typed)} is not the name of a schedule of rates", "write a name of small letters, figures and hyphens, without a path or an ending")
    return typed


def _currency(item: Input, value: Value) -> str:
    typed = text_of(value)
    if not re.fullmatch(CURRENCY_PATTERN[1:-1], typed):
        raise Unreadable(f"{as_shown(typed)} is not a currency", "write its three capital letters")
    return typed


def _hourly_money(item: Input, value: Value):
    typed = text_of(value)
    if typed == "0":
        return None, 0.0
    money = parse_money(typed)
    if money.unit not in ("", "hour"):
        raise Unreadable(f"{as_shown(typed)} is not money for an hour", "write an amount and a currency")
    if not 0 <= money.amount <= 1_000_000:
        raise Unreadable(f"{as_shown(typed)} cannot be the worth of an hour", "write 0 or more")
    return money.currency, float(money.amount)


def _roof(item: Input, value: Value) -> tuple[str, str]:
    typed = text_of(value)
    parts = [part.strip() for part in typed.split(",")]
    if len(parts) != 2:
        raise Unreadable(f"{as_shown(typed)} is not a shape and a covering", f"write {listed(ROOF_SHAPES)}, a comma, and {listed(ROOF_COVERINGS)}")
    return _word(parts[0], ROOF_SHAPES), _word(parts[1], ROOF_COVERINGS)


def _sides(item: Input, value: Value) -> tuple[str, ...]:
    if isinstance(value, Text):
        typed = text_of(value)
        return () if typed == "none" else (_word(typed, item.choices),)
    entries = items_of(value)
    if len(entries) > MOST_DOORS:
        raise Unreadable(f"{len(entries)} entries are given", f"give at most {MOST_DOORS}")
    return tuple(_word(text_of(entry), item.choices) for entry in entries)


def _side_lengths(item: Input, value: Value) -> dict[str, float]:
    if isinstance(value, Text) and value.text.strip() in ("none", ""):
        return {}
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} does not say which side", "write each side with its distance")

    def distance(side: str) -> tuple[str, float]:
        name = _word(side, item.choices)
        typed = text_of(value.values[side])
        return name, _within(item, _metres(typed), typed, _metres, f"the distance on the {name} side")

    found = dict(_each((value.lines[side], lambda side=side: distance(side)) for side in value.values))
    return {side: found[side] for side in item.choices if side in found}


def _two_lengths(item: Input, value: Value) -> tuple[float, float]:
    typed = text_of(value)
    pair = parse_pair(typed)
    for side in pair:
        _within(item, side, typed, _metres, "each side")
    return pair


def _table(item: Input, value: Value, columns: tuple[str, ...]) -> tuple[tuple[float, ...], ...]:
    rows = items_of(value)
    if len(rows) != 4:
        raise Unreadable(f"{len(rows)} {'entry is' if len(rows) == 1 else 'entries are'} given", "only the four corners of a rectangle are worked out so far; give four entries")

    def entry(number: int, row: Value) -> tuple[float, ...]:
        cells = items_of(row)
        if len(cells) != len(columns):
            raise Unreadable(f"entry {number} has {len(cells)} parts", f"give each entry {listed(columns, 'and')}")
        typed = [text_of(cell) for cell in cells]
        return tuple(_within(item, _metres(cell), cell, _metres, name) for name, cell in zip(columns, typed))

    return tuple(_each((row.line, lambda n=n, row=row: entry(n, row)) for n, row in enumerate(rows, start=1)))


def _points(item: Input, value: Value):
    return _table(item, value, ("x", "y"))


def _levels(item: Input, value: Value):
    return _table(item, value, ("x", "y", "level"))


def _quotes(item: Input, value: Value) -> Keys:
    """The quotes as typed; they are read against the schedule of rates by `generator.schedules`."""
    if isinstance(value, Text) and value.text.strip() in ("none", ""):
        return Keys()
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} does not say which rate", "write each rate with its price")
    return value


def _percent(item: Input, value: Value) -> float:
    typed = text_of(value)

    def read(text: str) -> float:
        figure = re.fullmatch(r"(\d{1,3}(?:\.\d{1,3})?) ?%", text, re.ASCII)
        if not figure:
            raise Unreadable(f"{as_shown(text)} is not a percentage")
        return float(figure[1])

    return _within(item, read(typed), typed, read)


def _date(item: Input, value: Value) -> str:
    typed = text_of(value)
    if not re.fullmatch(r"20\d\d-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?", typed, re.ASCII):
        raise Unreadable(f"{as_shown(typed)} is not a date", "write the year and the month")
    return typed


def _rate(item: Input, value: Value) -> Keys:
    """The parts of a rate as typed; `generator.schedules` reads them, knowing the currency."""
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} is not a rate", "write low, likely, high and step")
    return value


READERS: dict[str, Callable[[Input, Value], object]] = {
    **{kind: _quantity for kind in KINDS},
    "block thickness": _block_thickness,
    "slope": _slope,
    "direction": _direction,
    "choice": _choice_of,
    "yes or no": _yes,
    "title": _title,
    "name": _name,
    "currency": _currency,
    "hourly money": _hourly_money,
    "roof": _roof,
    "sides": _sides,
    "side lengths": _side_lengths,
    "two lengths": _two_lengths,
    "points": _points,
    "levels": _levels,
    "quotes": _quotes,
    "percent": _percent,
    "date": _date,
    "rate": _rate,
}
"""The reader of each kind of input."""


def read_input(item: Input, value: Value) -> object:
    """The value of one input in SI, or None for "worked out".  Raises Unreadable with words and an example."""
    if item.default == WORKED_OUT and isinstance(value, Text) and value.text.strip() == WORKED_OUT:
        return None
    try:
        return READERS[item.kind](item, value)
    except Unreadable as error:
        for each in (error, *error.others):
            each.wanted = each.wanted or _wanted(item)
            # The words that may be written are all in the sentence already.
            each.example = each.example or ("" if item.kind in ("choice", "yes or no") else item.example)
        raise


def _wanted(item: Input) -> str:
    if item.choices:
        return f"write {listed(item.choices)}"
    return f"write {KINDS[item.kind].words if item.kind in KINDS else item.hint}"


@dataclass
class Found:
    """What a tree of keys held: values in SI by key, what was typed, on which line, and every problem."""

    values: dict[str, object]
    given: dict[str, str]
    lines: dict[str, int | str]
    problems: list[Problem]
    bad: set[str]
    """Keys that were given and could not be read."""


HINTS_AT_MOST = 20
"""Unknown keys for which the nearest known one is looked for; a file of thousands is answered fast."""


def read_inputs(tree: Keys, inputs: Iterable[Input], file: str) -> Found:
    """Every input given in a tree of keys.  Problems are collected, none is raised."""
    by_key = {item.key: item for item in inputs}
    groups = dict.fromkeys(item.key[:at] for item in by_key.values() for at, ch in enumerate(item.key) if ch == ".")
    found = Found({}, {}, {}, [], set())

    def walk(keys: Keys, group: str) -> None:
        for name, value in keys.values.items():
            key = f"{group}.{name}" if group else name
            line = keys.lines[name]
            found.lines[key] = line
            if key in by_key:
                found.given[key] = as_typed(value)
                try:
                    found.values[key] = read_input(by_key[key], value)
                except Unreadable as error:
                    found.bad.add(key)
                    found.problems += [
                        Problem(file, each.line or line, key, each.given, each.wanted, each.example)
                        for each in (error, *error.others)
                    ]
            elif key in groups:
                if isinstance(value, Keys):
                    walk(value, key)
                elif not isinstance(value, Text) or value.text.strip():
                    found.problems.append(Problem(file, line, key, f"{as_shown(as_typed(value))} is given", "write its keys below it, set in by two blanks",
                                                  _example_key(key, by_key)))
            else:
                found.problems.append(unknown_key(file, line, group, name, by_key, groups, len(found.problems) < HINTS_AT_MOST))

    walk(tree, "")
    return found


def _example_key(group: str, by_key: dict[str, Input]) -> str:
    first = next(item for item in by_key.values() if item.group == group or item.key.startswith(group + "."))
    return f"{first.name}: {first.example}"


def unknown_key(file: str, line: int | str, group: str, name: str, by_key: Iterable[str], groups: Iterable[str], hint: bool) -> Problem:
    """The problem of a key nobody knows, with the nearest known one where `hint` asks for it."""
    every = [*by_key, *groups]
    here = [key.rpartition(".")[2] for key in every if key.rpartition(".")[0] == group]
    shown = plain_text(name[:60])
    field = f"{group}.{shown}" if group else shown
    elsewhere = [key for key in every if key.rpartition(".")[2] == name]
    close = nearest(name, here) if hint and not elsewhere else None
    where = f" in {group}" if group else ""
    if close:
        wanted = f"did you mean {close}?"
    elif elsewhere:
        place = elsewhere[0].rpartition(".")[0]
        wanted = f"it belongs in {place}" if place else "it belongs at the top, not set in"
    elif hint:
        wanted = f"the keys{where} are {listed(here, 'and')}"
    else:
        wanted = "take it out"
    return Problem(file, line, field, f"there is no such key{where}", wanted)
