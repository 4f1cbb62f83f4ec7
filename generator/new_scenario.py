"""Writes a new scenario, every key with its hint and every default shown, for a person to fill in."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterable
from pathlib import Path

from generator.front_matter import Items, Keys, Text, Value, decoded, read_front_matter
from generator.inputs import GROUPS, INPUTS, LEFT_OPEN, SCHEME_IDS, YES_NO, Input
from generator.problems import plain_text
from generator.scenario import read_scenario_text, slug_of, with_overrides

HINT_FROM = 26
"""Where the hint starts on a line with its value."""
WIDEST = 110
"""A hint that would make a line wider stands above its key."""

_HEAD = """\
# One plot and one building.  Change what is on a line; any usual unit will do.
# A line that starts with # is not read: it shows what is taken when nothing is said."""

_BODY = """
Say here in a few words what the plot is like and what you want to build.
"""

_START = """\
---
plot:
  footprint: 6.6 m x 4.2 m
  slope: 1:14
  falls_to: south
---
"""


def new_scenario_text(
    name: str, source_text: str | None = None, overrides: Iterable[str] = (), source_file: str = "new scenario", beside: Path | None = None
) -> str:
    """The text of a new scenario called `name`.

    `source_text` is a scenario to start from, with its story; `overrides` are
    `key=value` as for reading.  The result can be read as it stands.  Raises
    BadInput when the source, with the overrides, cannot.
    """
    overrides = list(overrides)
    source = decoded((source_text if source_text is not None else _START).encode("utf-8", "replace"), source_file)
    read_scenario_text(source, source_file, slug_of(name), overrides, beside)
    matter = read_front_matter(source, source_file)
    tree, _ = with_overrides(matter.keys, overrides, source_file)
    # A copy is another plot, so it does not keep the old title unless told to.
    if not any(override.partition("=")[0].strip() == "title" for override in overrides):
        tree.values["title"] = Text(slug_of(name).replace("-", " ").capitalize(), 1)
    body = matter.body if source_text is not None else _BODY
    return "\n".join(["---", _HEAD, *_group_lines("", tree, 0), "---", body])


def _group_lines(group: str, keys: Keys, depth: int) -> list[str]:
    """The lines of the keys in a group, then of the groups inside it."""
    pad = "  " * depth
    lines = [_key_line(item, keys.values.get(item.name), pad) for item in INPUTS if item.group == group]
    for key, words in GROUPS.items():
        if key.rpartition(".")[0] != group:
            continue
        name = key.rpartition(".")[2]
        inner = keys.values.get(name)
        lines += ["", f"{pad}# {words}"] if depth == 0 else [f"{pad}# {words}"]
        if isinstance(inner, Items):
            inner = _listed_schemes(inner)
        if isinstance(inner, Text) and inner.text.strip() in YES_NO:
            lines.append(f"{pad}{name}: {inner.text.strip()}")
            continue
        inside = _group_lines(key, inner if isinstance(inner, Keys) else Keys(), depth + 1)
        # A group with nothing in it but comments would be an empty value.
        said = any(not line.lstrip().startswith("#") and line.strip() for lines_of_key in inside for line in lines_of_key.split("\n"))
        lines += [f"{pad}{name}:" if said else f"{pad}# {name}:", *inside]
    return lines


def _listed_schemes(chosen: Items) -> Keys:
    """A list of schemes as the group that leaves out the others."""
    named = [item.text.strip() for item in chosen.items if isinstance(item, Text)]
    return Keys({scheme: Text("yes" if scheme in named else "no", 1) for scheme in SCHEME_IDS})


def _key_line(item: Input, value: Value | None, pad: str) -> str:
    if value is not None:
        typed, mark = f"{item.name}: {_flow(value, item.kind == 'title')}", ""
    else:
        typed, mark = f"{item.name}: {item.default or item.example}", "# "
    hint = item.hint
    if item.choices and item.kind in ("choice", "block thickness"):
        hint += ": " + ", ".join(item.choices)
    if value is None and item.default in ("none", *LEFT_OPEN) and not item.choices:
        hint += f", like {item.example}"
    if value is None and item.default in LEFT_OPEN:
        hint += f" ({item.reason})"
    line = pad + mark + typed
    beside = f"{line.ljust(HINT_FROM)}  # {hint}"
    if len(beside) <= WIDEST:
        return beside
    above = textwrap.wrap(f"{hint[0].upper()}{hint[1:]}:", WIDEST, initial_indent=f"{pad}# ", subsequent_indent=f"{pad}#   ")
    return "\n".join([*above, line])


_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_ %./^()'-]*(:[A-Za-z0-9]+)?", re.ASCII)


def _flow(value: Value, whole_line: bool = False) -> str:
    """A value as YAML on one line; text that might mean something else stands in quotation marks."""
    if isinstance(value, Text):
        text = plain_text(value.text)
        if _PLAIN.fullmatch(text) or whole_line and re.fullmatch(r"[\w][\w .,()'-]*", text):
            return text
        return json.dumps(text, ensure_ascii=False)
    if isinstance(value, Items):
        return "[" + ", ".join(_flow(item) for item in value.items) + "]"
    return "{" + ", ".join(f"{_flow(Text(key, 0))}: {_flow(item)}" for key, item in value.values.items()) + "}"
