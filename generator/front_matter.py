"""Reads front matter strictly: every plain scalar stays the text that was typed, with its line.

YAML's own habits (`no` becomes False, `1:14` becomes 74, a repeated key keeps
the last) would change what somebody wrote, so PyYAML is used only for its
node tree; no object is ever loaded.  Anchors, aliases and tags are refused, so
that a small file cannot grow into a big one.
"""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass, field
from pathlib import Path

from generator.problems import BadInput, Problem, as_shown, plain_text

LARGEST_FILE = 1_000_000
"""Bytes; a scenario with a long story is a hundredth of this."""
LARGEST_FRONT_MATTER = 64_000
"""Characters between the two lines of dashes."""
DEEPEST = 8
"""Levels of lists and keys inside each other; a scenario needs three."""


@dataclass(frozen=True)
class Text:
    """One value as typed."""

    text: str
    line: int | str


@dataclass(frozen=True)
class Items:
    """A list of values."""

    items: tuple["Text | Items | Keys", ...]
    line: int | str


@dataclass
class Keys:
    """Keys with their values, and the line of each key."""

    values: dict[str, "Text | Items | Keys"] = field(default_factory=dict)
    lines: dict[str, int | str] = field(default_factory=dict)
    line: int | str = 1


Value = Text | Items | Keys


def as_data(value: Value) -> str | list | dict:
    """A value as plain text, lists and dictionaries.

    >>> as_data(read_keys("doors: [south]", "a file"))
    {'doors': ['south']}
    """
    if isinstance(value, Text):
        return value.text
    if isinstance(value, Items):
        return [as_data(item) for item in value.items]
    return {key: as_data(item) for key, item in value.values.items()}


@dataclass(frozen=True)
class FrontMatter:
    """The keys of a file, the text after them with the line on which it starts, and repeated keys as problems."""

    keys: Keys
    body: str
    body_line: int
    problems: tuple[Problem, ...] = ()


class _Refused(Exception):
    def __init__(self, line: int, given: str, wanted: str, example: str = ""):
        self.line, self.given, self.wanted, self.example = line, given, wanted, example


def decoded(raw: bytes, file: str) -> str:
    """The text of a file with plain line ends, or BadInput for what is not a text file in UTF-8."""

    def bad(line: int, given: str, wanted: str) -> BadInput:
        return BadInput([Problem(file, line, "file", given, wanted)])

    if len(raw) > LARGEST_FILE:
        raise bad(1, f"it is larger than {LARGEST_FILE // 1000} kB", "shorten it, and keep pictures in files of their own")
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise bad(1, "it is saved as UTF-16", "save it as UTF-8 text")
    if b"\0" in raw:
        raise bad(raw[: raw.index(b"\0")].count(b"\n") + 1, "it is not a text file", "give a text file saved as UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise bad(line, "a character here is not in UTF-8", "save the file as UTF-8 text") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def typed_file(path: Path, what: str) -> str:
    """The text of a file that somebody typed; `what` it is, in words.  Raises BadInput where it cannot be read."""
    file = str(path)

    def bad(given: str, wanted: str) -> BadInput:
        return BadInput([Problem(file, 1, "file", given, wanted)])

    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise bad("it is not a file", f"give the name of {what}")
        with path.open("rb") as opened:
            raw = opened.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        raise bad("there is no such file", f"give the name of {what}") from None
    except (OSError, ValueError):
        raise bad("it cannot be opened", f"give the name of {what} that you may read") from None
    return decoded(raw, file)


def split_front_matter(text: str, file: str) -> tuple[str, str, int]:
    """The front matter, the body and the line on which the body starts.

    `text` has plain line ends.  The front matter lies between a first line
    `---` and the next line `---`.  Raises BadInput.
    """
    if not text.strip():
        raise BadInput([Problem(file, 1, "file", "it is empty", "start with a line ---, then the keys of the scenario, then a line ---")])
    lines = text.split("\n")
    if lines[0].rstrip() != "---":
        raise BadInput([Problem(file, 1, "front matter", f"the first line is {as_shown(lines[0])}",
                                "start with a line ---, then the keys of the scenario, then a line ---")])
    for number, line in enumerate(lines[1:], start=2):
        if line.rstrip() in ("---", "..."):
            return "\n".join(lines[1 : number - 1]), "\n".join(lines[number:]), number + 1
    raise BadInput([Problem(file, len(lines), "front matter", "the file ends inside it", "close it with a line ---")])


def _loader_class():
    # Imported late: a form in a browser reads the same inputs without YAML.
    import yaml

    class NodeLoader(yaml.SafeLoader):
        """Composes nodes only, refusing what a scenario never needs."""

        depth = 0

        def compose_node(self, parent, index):
            event = self.peek_event()
            line = event.start_mark.line
            if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
                raise _Refused(line, "& and * at the start of a value mean something in YAML that is not used here",
                               "put the text in quotation marks", '"*"')
            if event.tag is not None:
                raise _Refused(line, "! at the start of a value means something in YAML that is not used here",
                               "put the text in quotation marks", '"!"')
            self.depth += 1
            if self.depth > DEEPEST:
                raise _Refused(line, "lists and keys are too deep inside each other", "keep to the keys of a scenario")
            node = super().compose_node(parent, index)
            self.depth -= 1
            return node

        def resolve(self, kind, value, implicit):
            return "tag:yaml.org,2002:str"

    return yaml, NodeLoader


def read_keys(source: str, file: str, first_line: int = 1, problems: list[Problem] | None = None) -> Keys:
    """The keys in a piece of YAML whose first line is line `first_line` of `file`.

    Raises BadInput with the one place where YAML stops.  Repeated keys are
    added to `problems`, or raised too where no list is given.
    """
    if len(source) > LARGEST_FRONT_MATTER:
        raise BadInput([Problem(file, first_line, "front matter", f"it is longer than {LARGEST_FRONT_MATTER // 1000} thousand characters",
                                "keep to the keys; in a scenario the story stands below the second line ---")])
    # YAML counts these as line ends and an editor does not; line numbers must be the editor's.
    source = re.sub("[\x85\u2028\u2029]", " ", source)
    yaml, node_loader = _loader_class()
    try:
        root = yaml.compose(source, Loader=node_loader)
    except _Refused as refused:
        raise BadInput([Problem(file, first_line + refused.line, _key_on(source, refused.line), refused.given, refused.wanted, refused.example)]) from None
    except yaml.reader.ReaderError as error:
        line = source[: error.position].count("\n")
        raise BadInput([Problem(file, first_line + line, _key_on(source, line), "there is an invisible control character here", "type this line again")]) from None
    except yaml.MarkedYAMLError as error:
        raise BadInput([_yaml_problem(error, source, file, first_line)]) from None
    if root is None:
        return Keys(line=first_line)
    repeated: list[Problem] = []
    tree = _tree(root, yaml, file, first_line, "", repeated)
    if not isinstance(tree, Keys):
        raise BadInput([Problem(file, first_line, "front matter", "it has no keys", "write a key, a colon, a blank and its value", "title: Shed")])
    if problems is None and repeated:
        raise BadInput(repeated)
    if problems is not None:
        problems += repeated
    return tree


def _key_on(source: str, line: int) -> str:
    lines = source.split("\n")
    found = re.match(r"\s*([\w-]{1,40}):", lines[line]) if line < len(lines) else None
    return found[1] if found else "front matter"


def _yaml_problem(error, source: str, file: str, first_line: int) -> Problem:
    """PyYAML's complaint as a sentence that says what to do."""
    mark = error.problem_mark or error.context_mark
    line = mark.line if mark else 0
    lines = source.split("\n")
    typed = lines[line] if line < len(lines) else ""
    at = first_line + min(line, len(lines) - 1)
    field_name = _key_on(source, line)
    pair = re.match(r"\s*([\w-]{1,40}):\s+(.*)", typed)
    if "mapping values are not allowed" in (error.problem or "") and pair and re.search(r":(\s|$)", pair[2]):
        example = f'{pair[1]}: "{plain_text(pair[2])[:60]}"' if '"' not in pair[2] else f'{pair[1]}: "a title: with more"'
        return Problem(file, at, field_name, f"{as_shown(pair[2])} has a colon and a blank in it, which starts a new key",
                       "put the whole text in quotation marks", example)
    if "\t" in typed:
        return Problem(file, at, field_name, "there is a tab on this line", "use blanks to set a line in")
    reason = plain_text(error.problem or "it is not a list of keys and values")[:120]
    return Problem(file, at, field_name, f"this cannot be read as keys and values ({reason})",
                   "write a key, a colon, a blank and its value, and put odd text in quotation marks", 'title: "Shed"')


def _tree(node, yaml, file: str, first_line: int, path: str, problems: list[Problem]) -> Value:
    line = first_line + node.start_mark.line
    if isinstance(node, yaml.ScalarNode):
        return Text(node.value, line)
    if isinstance(node, yaml.SequenceNode):
        return Items(tuple(_tree(item, yaml, file, first_line, path, problems) for item in node.value), line)
    keys = Keys(line=line)
    for key_node, value_node in node.value:
        key_line = first_line + key_node.start_mark.line
        if not isinstance(key_node, yaml.ScalarNode):
            problems.append(Problem(file, key_line, path or "front matter", "a list or a group stands where a key is wanted", "write a plain word as the key"))
            continue
        key = key_node.value
        here = f"{path}.{plain_text(key[:60])}" if path else plain_text(key[:60])
        if key in keys.values:
            problems.append(Problem(file, key_line, here, f"it is given twice, first on line {keys.lines[key]}", "keep one of the two"))
            continue
        keys.lines[key] = key_line
        keys.values[key] = _tree(value_node, yaml, file, first_line, here, problems)
    return keys


def read_front_matter(text: str, file: str) -> FrontMatter:
    """The front matter and body of a file's text (plain line ends).  Raises BadInput."""
    source, body, body_line = split_front_matter(text, file)
    problems: list[Problem] = []
    return FrontMatter(read_keys(source, file, 2, problems), body, body_line, tuple(problems))
