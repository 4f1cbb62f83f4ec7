"""Reads each kind of input into SI, and a whole tree of keys by a list of inputs, with every problem at once."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from calculators import carbon
from calculators.programme import WAITS
from calculators.scenario import ROOF_COVERINGS, ROOF_SHAPES, SIDES, Neighbour
from calculators.survey import StaffReading
from calculators.yardsticks import YARDSTICK_BY_KEY
from generator.dates import MONTHS
from generator.front_matter import Items, Keys, Text, Value
from generator.inputs import (
    BOOK_KEYS, BY_KEY, CORNER_NAMES, CURRENCY_PATTERN, DEEPEST_FOUNDATIONS, DOOR_KEYS, LEFT_OPEN, LONGEST_TITLE, MOST_CORNERS, MOST_DOORS, MOST_INTERNAL_WALLS, MOST_LEVELS,
    FUTURE_KEYS, MOST_FLOOR_LEVELS, MOST_FUTURES, MOST_HOLIDAYS, MOST_NEIGHBOURS, MOST_PIECES, MOST_PLACES, NAME_PATTERN, NEIGHBOUR_KEYS, PIECES, PLACE_KEYS, SCHEME_IDS,
    SIDE_PATTERN, YES_NO, Input,
)
from generator.problems import Problem, as_shown, listed, nearest, plain_text
from generator.quantities import (
    KINDS, Money, Unreadable, parse, parse_clock, parse_date, parse_direction, parse_latitude, parse_lengths, parse_money, parse_pair, parse_ratio, parse_slope,
    parse_temperature, unit_in_si,
)

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
            for each in (error, *error.others):
                each.line = each.line or line
                problems.append(each)
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
    if gradient < parse_slope(item.least):
        raise Unreadable(f"{as_shown(typed)} is too flat", f"the guide works out nothing flatter than {item.least}")
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


def _money(typed: str, wanted: str, example: str = "") -> Money:
    """Money as typed; what is not any is told with what is wanted here, for a price by the cubic metre may be refused in turn."""
    try:
        return parse_money(typed)
    except Unreadable as error:
        raise Unreadable(error.given, wanted, example) from None


def _sum_of_money(typed: str, most: str, what: str = "it", example: str = "") -> tuple[str | None, float]:
    """A sum with its currency, None for a plain 0."""
    if typed == "0":
        return None, 0.0
    money = _money(typed, "write an amount and a currency", example)
    if money.unit:
        raise Unreadable(f"{as_shown(typed)} is a price for the unit {money.unit}", "write what it comes to in all, an amount and a currency", example)
    if not 0 <= money.amount <= int(most):
        raise Unreadable(f"{as_shown(typed)} is {'less than nothing' if money.amount < 0 else 'too much'}", f"{what} must be from 0 to {most} {money.currency}", example)
    return money.currency, float(money.amount)


def _plain_sum(item: Input, value: Value) -> tuple[str | None, float]:
    return _sum_of_money(text_of(value), item.most)


def _hourly_money(item: Input, value: Value):
    typed = text_of(value)
    if typed == "0":
        return None, 0.0
    money = _money(typed, "write an amount and a currency")
    if money.unit not in ("", "hour"):
        raise Unreadable(f"{as_shown(typed)} is not money for an hour", "write an amount and a currency")
    if not 0 <= money.amount <= 1_000_000:
        raise Unreadable(f"{as_shown(typed)} cannot be the worth of an hour", "write 0 or more")
    return money.currency, float(money.amount)


def _energy_price(item: Input, value: Value) -> tuple[str | None, float]:
    typed = text_of(value)
    if typed == "0":
        return None, 0.0
    money = _money(typed, "write an amount, a currency and /kWh")
    if money.unit_kind != "energy":
        raise Unreadable(f"{as_shown(typed)} is not money for a kilowatt hour", "write an amount, a currency and /kWh")
    if not 0 <= money.amount <= 1_000_000:
        raise Unreadable(f"{as_shown(typed)} cannot be the price of a kilowatt hour", "write 0 or more")
    return money.currency, float(money.amount / money.unit_in_si)


def _ratio(item: Input, value: Value) -> float:
    typed = text_of(value)
    return _within(item, parse_ratio(typed), typed, parse_ratio)


def _roof(item: Input, value: Value) -> tuple[str, str]:
    typed = text_of(value)
    parts = [part.strip() for part in typed.split(",")]
    if len(parts) != 2:
        raise Unreadable(f"{as_shown(typed)} is not a shape and a covering", f"write {listed(ROOF_SHAPES)}, a comma, and {listed(ROOF_COVERINGS)}")
    return _word(parts[0], ROOF_SHAPES), _word(parts[1], ROOF_COVERINGS)


def _side_name(typed: str) -> str:
    """The name of a side as a plan may have it: `south`, or `south 2` for a second one."""
    name = " ".join(typed.lower().split())
    if re.fullmatch(SIDE_PATTERN[1:-1], name):
        return name
    return _word(typed, SIDES)


def _nothing(value: Value) -> bool:
    """Whether a list or group was left out on purpose."""
    return isinstance(value, Text) and value.text.strip() in ("none", "")


def _parts(value: Value, names: tuple[str, ...], what: str) -> dict[str, Value]:
    """The parts of an entry that has to be a group of keys, all of them known."""
    if not isinstance(value, Keys):
        raise Unreadable(f"{what} is {as_shown(as_typed(value))}", f"write it in curly brackets with {listed(names, 'and')}")
    for name in value.values:
        if name not in names:
            close = nearest(name, names)
            hint = f" (did you mean {close}?)" if close else ""
            raise Unreadable(f"{what} has {as_shown(name)}, which is not known here{hint}", f"it may have {listed(names, 'and')}")
    return value.values


def _entries(value: Value, least: int, most: int, read: Callable[[int, Value], object]) -> tuple:
    """The entries of a list, each read with its number; every problem at once."""
    rows = items_of(value)
    if not least <= len(rows) <= most:
        raise Unreadable(f"{len(rows)} {'entry is' if len(rows) == 1 else 'entries are'} given", f"give from {least} to {most} entries")
    return tuple(_each((row.line, lambda n=n, row=row: read(n, row)) for n, row in enumerate(rows, start=1)))


def _doors(item: Input, value: Value) -> tuple[tuple[str, float | None], ...]:
    if _nothing(value):
        return ()
    if isinstance(value, Text):
        return ((_side_name(text_of(value)), None),)

    def door(number: int, entry: Value) -> tuple[str, float | None]:
        if isinstance(entry, Text):
            return _side_name(text_of(entry)), None
        parts = _parts(entry, DOOR_KEYS, f"door {number}")
        if "side" not in parts:
            raise Unreadable(f"door {number} does not say in which side it is", "write its side")
        side = _side_name(text_of(parts["side"]))
        if "at" not in parts:
            return side, None
        typed = text_of(parts["at"])
        return side, _within(item, _metres(typed), typed, _metres, "the distance along the side")

    return _entries(value, 0, MOST_DOORS, door)


def _side(item: Input, value: Value) -> str | None:
    typed = text_of(value)
    return None if typed == "none" else _side_name(typed)


def _side_lengths(item: Input, value: Value) -> dict[str, float]:
    if _nothing(value):
        return {}
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} does not say which side", "write each side with its distance")

    def distance(side: str) -> tuple[str, float]:
        name = _side_name(side)
        typed = text_of(value.values[side])
        return name, _within(item, _metres(typed), typed, _metres, f"the distance on the {name} side")

    found = dict(_each((value.lines[side], lambda side=side: distance(side)) for side in value.values))
    return dict(sorted(found.items(), key=lambda pair: (SIDES.index(pair[0].split()[0]), len(pair[0]), pair[0])))


def _lengths_in_a_row(count: int) -> Callable[[Input, Value], tuple[float, ...]]:
    """The reader of so many lengths, each within the bounds."""
    def read(item: Input, value: Value) -> tuple[float, ...]:
        typed = text_of(value)
        lengths = parse_lengths(typed, count)
        for length in lengths:
            _within(item, length, typed, _metres, "each side")
        return lengths

    return read


def _cells(value: Value, columns: tuple[str, ...], items: tuple[Input, ...], what: str) -> tuple[float, ...]:
    """Lengths in a row, each column within the bounds of an input."""
    cells = items_of(value)
    if len(cells) != len(columns):
        raise Unreadable(f"{what} has {len(cells)} parts", f"give it {listed(columns, 'and')}")
    typed = [text_of(cell) for cell in cells]
    return tuple(_within(item, _metres(cell), cell, _metres, name) for item, name, cell in zip(items, columns, typed))


def _place(value: Value, what: str) -> tuple[float, float]:
    """A point x, y on the plot; the corners of the building have the same bounds."""
    corner = BY_KEY["plot.corners"]
    return _cells(value, ("x", "y"), (corner, corner), what)


def _points(item: Input, value: Value) -> tuple[tuple[float, float], ...]:
    return _entries(value, 3, MOST_CORNERS, lambda n, row: _place(row, f"corner {n}"))


def _rows(item: Input, value: Value, least: int, third: str, most: int = MOST_LEVELS) -> tuple[tuple[float, float, float], ...]:
    corner = BY_KEY["plot.corners"]
    return _entries(value, least, most, lambda n, row: _cells(row, ("x", "y", third), (corner, corner, item), f"entry {n}"))


def _levels(item: Input, value: Value) -> tuple[tuple[float, float, float], ...]:
    return _rows(item, value, 3, "level")


def _corner_drops(item: Input, value: Value):
    """Drops by the name of the corner, or rows of x, y and drop."""
    if not isinstance(value, Keys):
        return _rows(item, value, 3, "drop")
    parts = _parts(value, CORNER_NAMES, "the group")
    missing = [name for name in CORNER_NAMES if name not in parts]
    if missing:
        raise Unreadable(f"nothing is given for {listed(missing, 'and')}", "give the drop at each of the four corners")

    def drop(name: str) -> tuple[str, float]:
        typed = text_of(parts[name])
        return name, _within(item, _metres(typed), typed, _metres, f"the drop at the {name} corner")

    return dict(_each((value.lines[name], lambda name=name: drop(name)) for name in CORNER_NAMES))


LONGEST_MARK = 40


def _level_book(item: Input, value: Value) -> tuple[StaffReading, ...]:
    last = len(items_of(value))

    def line(number: int, entry: Value) -> StaffReading:
        what = f"line {number} of the book"
        parts = _parts(entry, BOOK_KEYS, what)
        if "at" not in parts:
            raise Unreadable(f"{what} does not say where the staff stood", "write at with x and y, or with the name of a mark")
        at = parts["at"]
        place, name = (_place(at, what), "") if isinstance(at, Items) else (None, plain_text(text_of(at)).lower())
        if len(name) > LONGEST_MARK:
            raise Unreadable(f"{as_shown(name)} is longer than {LONGEST_MARK} characters", "write a shorter name for the mark")

        def sight(key: str) -> float | None:
            if key not in parts:
                return None
            typed = text_of(parts[key])
            return _within(item, _metres(typed), typed, _metres, f"what is read on the staff ({key})")

        back, inter, fore = sight("back"), sight("inter"), sight("fore")
        seen = {key for key in ("back", "inter", "fore") if key in parts}
        if number == 1:
            if seen != {"back"}:
                raise Unreadable(f"{what}, the first, has {_sights(seen)}", "the first line has one reading, back")
        elif number == last:
            if seen != {"fore"}:
                raise Unreadable(f"{what}, the last, has {_sights(seen)}", "the last line has one reading, fore")
        elif seen not in ({"inter"}, {"fore", "back"}):
            raise Unreadable(f"{what} has {_sights(seen)}", "write inter, or both fore and back where the level was moved")
        known = None
        if "level" in parts:
            if number not in (1, last):
                raise Unreadable(f"{what} has a known level", "a known level stands only at the first line and the last")
            typed = text_of(parts["level"])
            known = _within(BY_KEY["plot.levels"], _metres(typed), typed, _metres, "the known level")
        return StaffReading(place, name, back, inter, fore, known)

    return _entries(value, 3, MOST_LEVELS, line)


def _sights(seen: set[str]) -> str:
    return listed(sorted(seen), "and") if seen else "no reading"


def _pieces(item: Input, value: Value) -> tuple[tuple[tuple[tuple[float, float], ...], float], ...]:
    """Outlines as typed, each with its depth or thickness."""
    if _nothing(value):
        return ()
    piece = PIECES[item.key]

    def one(number: int, entry: Value) -> tuple[tuple[tuple[float, float], ...], float]:
        what = f"{piece.called} {number}"
        parts = _parts(entry, piece.keys, what)
        if piece.size_key not in parts:
            raise Unreadable(f"{what} does not say {piece.unsized}", piece.size_wanted)
        box = [key for key in ("from", "size") if key in parts]
        if ("at" in parts) == bool(box) or len(box) == 1:
            raise Unreadable(f"{what} has {listed([key for key in parts if key != piece.size_key], 'and') or 'no outline'}", "give its corners (at), or both from and size")
        if box:
            x, y = _place(parts["from"], what)
            east, north = parse_pair(text_of(parts["size"]))
            outline = ((x, y), (x + east, y), (x + east, y + north), (x, y + north))
        else:
            outline = _entries(parts["at"], 3, MOST_CORNERS, lambda n, row: _place(row, f"corner {n} of {what}"))
        typed = text_of(parts[piece.size_key])
        return outline, _within(item, _metres(typed), typed, _metres, f"the {piece.size_key}")

    return _entries(value, 0, MOST_PIECES, one)


def _neighbours(item: Input, value: Value) -> tuple[Neighbour, ...]:
    if _nothing(value):
        return ()
    depths = replace(item, most=DEEPEST_FOUNDATIONS)

    def neighbour(number: int, entry: Value) -> Neighbour:
        what = f"neighbour {number}"
        parts = _parts(entry, NEIGHBOUR_KEYS, what)
        if "distance" not in parts:
            raise Unreadable(f"{what} does not say how far it is", "write its distance from your dig")
        typed = text_of(parts["distance"])
        distance = _within(item, _metres(typed), typed, _metres, "the distance")
        if "foundations" not in parts:
            return Neighbour(distance)
        typed = text_of(parts["foundations"])
        return Neighbour(distance, _within(depths, _metres(typed), typed, _metres, "the depth of its foundations"))

    return _entries(value, 0, MOST_NEIGHBOURS, neighbour)


def _walls(item: Input, value: Value) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    if _nothing(value):
        return ()

    def wall(number: int, entry: Value):
        what = f"wall {number}"
        ends = items_of(entry)
        if len(ends) != 2:
            raise Unreadable(f"{what} has {len(ends)} ends", "give the two ends of its centre line")
        return tuple(_place(end, f"an end of {what}") for end in ends)

    return _entries(value, 0, MOST_INTERNAL_WALLS, wall)


def _quotes(item: Input, value: Value) -> Keys:
    """The quotes as typed; they are read against the schedule of rates by `generator.schedules`."""
    if isinstance(value, Text) and value.text.strip() in ("none", ""):
        return Keys()
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} does not say which rate", "write each rate with its price")
    return value


def _figures_by_name(value: Value, names: Iterable[str], what: str, read: Callable[[str, str], float]) -> dict[str, float]:
    """Figures by name, in the order of the names; every problem at once."""
    if _nothing(value):
        return {}
    if not isinstance(value, Keys):
        raise Unreadable(f"{as_shown(as_typed(value))} does not say of what", f"write each {what} with its figure")
    names = tuple(names)

    def figure(name: str) -> tuple[str, float]:
        if name not in names:
            close = nearest(name, names)
            hint = f" (did you mean {close}?)" if close else ""
            raise Unreadable(f"no {what} is called {as_shown(name)}{hint}", f"there are {listed(names, 'and')}")
        return name, read(name, text_of(value.values[name]))

    found = dict(_each((value.lines[name], lambda name=name: figure(name)) for name in value.values))
    return {name: found[name] for name in names if name in found}


def kind_in(unit: str) -> str:
    """The kind of quantity of which the calculators hold figures in a unit; the first of its units has the same name.

    >>> kind_in("kgCO2e/(t km)")
    'emission per haul'
    """
    return next(kind for kind, record in KINDS.items() if record.units[0].name == unit)


def _carbon_factors(item: Input, value: Value) -> dict[str, float]:
    def factor(name: str, typed: str) -> float:
        unit = carbon.DEFAULT[name].unit

        def read(text: str) -> float:
            return parse(text, kind_in(unit))

        bounds = replace(item, least=f"{carbon.LEAST_FACTOR:g} {unit}", most=f"{carbon.MOST_FACTOR:g} {unit}")
        return _within(bounds, read(typed), typed, read, f"the factor of {name}")

    return _figures_by_name(value, carbon.DEFAULT.factors, "factor", factor)


def _carbon_distances(item: Input, value: Value) -> dict[str, float]:
    def distance(name: str, typed: str) -> float:
        return _within(item, _metres(typed), typed, _metres, f"the distance of {name}") / unit_in_si("km", "length")

    return _figures_by_name(value, carbon.DISTANCES_KM, "distance", distance)


def _weights(item: Input, value: Value) -> dict[str, float]:
    return _figures_by_name(value, YARDSTICK_BY_KEY, "yardstick", lambda name, typed: _within(item, parse_ratio(typed), typed, parse_ratio, f"the weight of {name}"))


# A later wish: its name, what it costs by scheme as (currency, amount), how likely.
TypedFuture = tuple[str, dict[str, tuple[str | None, float]], float | None]


def _futures(item: Input, value: Value) -> tuple[TypedFuture, ...]:
    if _nothing(value):
        return ()

    def future(number: int, entry: Value) -> TypedFuture:
        what = f"wish {number}"
        parts = _parts(entry, FUTURE_KEYS, what)
        if "name" not in parts or "costs" not in parts:
            raise Unreadable(f"{what} has no {'name' if 'name' not in parts else 'costs'}", "give both its name and its costs")
        name = text_of(parts["name"])
        if len(name) > LONGEST_TITLE:
            raise Unreadable(f"the name of {what} is {len(name)} characters long", f"use at most {LONGEST_TITLE}")
        costs = _figures_by_name(parts["costs"], SCHEME_IDS, "scheme", lambda scheme, typed: _sum_of_money(typed, item.most, f"what {scheme} costs", "400 GBP"))
        if "likelihood" not in parts:
            return name, costs, None
        typed = text_of(parts["likelihood"])
        likelihood = parse_ratio(typed)
        if likelihood > 1.0:
            raise Unreadable(f"{what} cannot be {as_shown(typed)} likely", "write a share from 0 to 100 %")
        return name, costs, likelihood

    return _entries(value, 0, MOST_FUTURES, future)


def _percent(item: Input, value: Value) -> float:
    typed = text_of(value)

    def read(text: str) -> float:
        figure = re.fullmatch(r"(\d{1,3}(?:\.\d{1,3})?) ?%", text, re.ASCII)
        if not figure:
            raise Unreadable(f"{as_shown(text)} is not a percentage")
        return float(figure[1])

    return _within(item, read(typed), typed, read)


def _share(item: Input, value: Value) -> float:
    return _percent(item, value) / 100.0


def _count(item: Input, value: Value) -> int:
    typed = text_of(value)

    def read(text: str) -> int:
        if not re.fullmatch(r"\d{1,6}", text, re.ASCII):
            raise Unreadable(f"{as_shown(text)} is not a whole number", "write a whole number")
        return int(text)

    return _within(item, read(typed), typed, read)


def _by(parse_it: Callable[[str], float]) -> Callable[[Input, Value], float]:
    """The reader of one figure with a grammar of its own, within the bounds."""
    def read(item: Input, value: Value) -> float:
        typed = text_of(value)
        return _within(item, parse_it(typed), typed, parse_it)

    return read


def _mpa(text: str) -> float:
    return parse(text, "pressure") / unit_in_si("MPa", "pressure")


# Somewhere for concrete that is left over: its name, its room, and its worth as (currency, amount for each m3).
TypedPlace = tuple[str, float, tuple[str | None, float] | None]
LARGEST_WORTH = 1_000_000


def _places(item: Input, value: Value) -> tuple[TypedPlace, ...]:
    if _nothing(value):
        return ()

    def volume(text: str) -> float:
        return parse(text, "volume")

    def worth(typed: str, what: str) -> tuple[str | None, float]:
        if typed == "0":
            return None, 0.0
        money = _money(typed, "write an amount, a currency and /m^3", "60 GBP/m^3")
        if money.unit_kind != "volume":
            raise Unreadable(f"the worth of {what}, {as_shown(typed)}, is not money for a volume", "write an amount, a currency and /m^3", "60 GBP/m^3")
        per_m3 = float(money.amount / money.unit_in_si)
        if not 0.0 <= per_m3 <= LARGEST_WORTH:
            raise Unreadable(f"the worth of {what} cannot be {as_shown(typed)}", "write 0 or more", "60 GBP/m^3")
        return money.currency, per_m3

    def place(number: int, entry: Value) -> TypedPlace:
        what = f"place {number}"
        parts = _parts(entry, PLACE_KEYS, what)
        for key, missing in (("name", "what it is"), ("room", "how much it takes")):
            if key not in parts:
                raise Unreadable(f"{what} does not say {missing}", "give both its name and its room")
        name = plain_text(text_of(parts["name"]))
        if not 0 < len(name) <= LONGEST_TITLE:
            raise Unreadable(f"the name of {what} is {len(name)} characters long", f"use from 1 to {LONGEST_TITLE}")
        typed = text_of(parts["room"])
        room = _within(item, volume(typed), typed, volume, f"the room of {what}")
        return name, room, worth(text_of(parts["worth"]), what) if "worth" in parts else None

    return _entries(value, 0, MOST_PLACES, place)


def _day(item: Input, value: Value) -> datetime.date:
    return parse_date(text_of(value))


def _one_or_more(value: Value) -> tuple[Value, ...]:
    """The entries of a list; one piece of text is a list of one."""
    return (value,) if isinstance(value, Text) else items_of(value)


def _holidays(item: Input, value: Value) -> tuple[datetime.date, ...]:
    if _nothing(value):
        return ()

    def days(entry: Value) -> list[datetime.date]:
        typed = text_of(entry)
        first, to, last = re.sub(r"\s+", " ", typed).partition(" to ")
        begins = parse_date(first)
        ends = parse_date(last) if to else begins
        if ends < begins:
            raise Unreadable(f"{as_shown(typed)} ends before it begins", "write the earlier day first", "2027-08-01 to 2027-08-14")
        if (ends - begins).days >= MOST_HOLIDAYS:
            raise Unreadable(f"{as_shown(typed)} is {(ends - begins).days + 1} days long", f"give at most {MOST_HOLIDAYS} days in all", "2027-08-01 to 2027-08-14")
        return [begins + datetime.timedelta(days=after) for after in range((ends - begins).days + 1)]

    entries = _one_or_more(value)
    if len(entries) > MOST_HOLIDAYS:
        raise Unreadable(f"{len(entries)} entries are given", f"give at most {MOST_HOLIDAYS} days in all")
    found = sorted({day for days_of_entry in _each((entry.line, lambda entry=entry: days(entry)) for entry in entries) for day in days_of_entry})
    if len(found) > MOST_HOLIDAYS:
        raise Unreadable(f"{len(found)} days are given", f"give at most {MOST_HOLIDAYS} days in all: for a part of every year write months_off")
    return tuple(found)


def _months(item: Input, value: Value) -> tuple[int, ...]:
    if _nothing(value):
        return ()

    def month(entry: Value) -> int:
        typed = text_of(entry)
        if re.fullmatch(r"\d{1,2}", typed, re.ASCII) and 1 <= int(typed) <= 12:
            return int(typed)
        for number, name in enumerate(MONTHS, start=1):
            if typed.lower() in (name.lower(), name[:3].lower()):
                return number
        close = nearest(typed, MONTHS)
        raise Unreadable(f"{as_shown(typed)} is not a month{f' (did you mean {close}?)' if close else ''}", "write its name, or its number from 1 to 12")

    entries = _one_or_more(value)
    if len(entries) > len(MONTHS):
        raise Unreadable(f"{len(entries)} entries are given", f"give from 0 to {len(MONTHS)} entries")
    found = sorted(set(_each((entry.line, lambda entry=entry: month(entry)) for entry in entries)))
    if len(found) == len(MONTHS):
        raise Unreadable("all twelve months are off", "leave at least one in which you build")
    return tuple(found)


def _waits(item: Input, value: Value) -> dict[str, float]:
    def read(text: str) -> float:
        return parse(text, "days")

    return _figures_by_name(value, WAITS, "wait", lambda name, typed: _within(item, read(typed), typed, read, f"the wait {name}"))


def _floor_levels(item: Input, value: Value) -> tuple[tuple[float, float, float], ...]:
    return () if _nothing(value) else _rows(item, value, 4, "level", MOST_FLOOR_LEVELS)


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
    "energy price": _energy_price,
    "ratio": _ratio,
    "roof": _roof,
    "doors": _doors,
    "side": _side,
    "side lengths": _side_lengths,
    "two lengths": _lengths_in_a_row(2),
    "three lengths": _lengths_in_a_row(3),
    "points": _points,
    "levels": _levels,
    "level book": _level_book,
    "corner drops": _corner_drops,
    "pieces of ground": _pieces,
    "neighbours": _neighbours,
    "walls": _walls,
    "quotes": _quotes,
    "carbon factors": _carbon_factors,
    "carbon distances": _carbon_distances,
    "weights": _weights,
    "futures": _futures,
    "percent": _percent,
    "share": _share,
    "count": _count,
    "clock time": _by(parse_clock),
    "temperature": _by(parse_temperature),
    "latitude": _by(parse_latitude),
    "strength": _by(_mpa),
    "money": _plain_sum,
    "places": _places,
    "day": _day,
    "holidays": _holidays,
    "months": _months,
    "waits": _waits,
    "floor levels": _floor_levels,
    "date": _date,
    "rate": _rate,
}
"""The reader of each kind of input."""


def read_input(item: Input, value: Value) -> object:
    """The value of one input in SI, or None for "worked out" and "not said".  Raises Unreadable with words and an example."""
    if item.default in LEFT_OPEN and isinstance(value, Text) and value.text.strip() == item.default:
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
