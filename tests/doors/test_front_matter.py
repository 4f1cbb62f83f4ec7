"""Front matter: every scalar as typed, line numbers an editor would show, and hostile files."""

import pytest

from generator.front_matter import LARGEST_FILE, as_data, decoded, read_front_matter, read_keys
from generator.problems import BadInput, Problem, as_shown, plain_text


def refusal(raw: bytes) -> Problem:
    with pytest.raises(BadInput) as refused:
        read_front_matter(decoded(raw, "a.md"), "a.md")
    assert len(refused.value.problems) == 1
    return refused.value.problems[0]


def test_scalars_stay_as_typed():
    matter = read_front_matter("---\na: 1:14\nb: no\nc: 010\nd: 7:30\ne: 0\nf: ~\ng: 2026-11-01\nh: {i: yes, j: [1 m, 0x1]}\nk: 1_000\n---\nStory\n", "a.md")
    assert as_data(matter.keys) == {
        "a": "1:14", "b": "no", "c": "010", "d": "7:30", "e": "0", "f": "~", "g": "2026-11-01", "h": {"i": "yes", "j": ["1 m", "0x1"]}, "k": "1_000",
    }
    assert (matter.body, matter.body_line) == ("Story\n", 12)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_numbers_with_any_line_end_and_byte_order_mark(end, mark):
    raw = mark + end.join(["---", "title: x", "", "# note", "plot:", "  slope: 0", "---", "Story"]).encode()
    matter = read_front_matter(decoded(raw, "a.md"), "a.md")
    assert matter.keys.lines == {"title": 2, "plot": 5}
    assert matter.keys.values["plot"].lines == {"slope": 6}
    assert matter.body_line == 8


def test_separators_that_only_yaml_counts_do_not_shift_lines():
    assert read_front_matter("---\na: x\u2028y\u0085z\nb: 1\n---\n", "a.md").keys.lines == {"a": 2, "b": 3}


def test_every_repeated_key_is_told_with_the_line_of_the_first():
    matter = read_front_matter("---\na: 1\nb: {c: 1, c: 2}\na: 2\n---\n", "a.md")
    assert [(p.line, p.field) for p in matter.problems] == [(3, "b.c"), (4, "a")]
    assert "line 2" in matter.problems[1].given
    with pytest.raises(BadInput):
        read_keys("a: 1\na: 2", "a.yml")


@pytest.mark.parametrize(("raw", "line", "words"), [
    (b"", 1, "empty"),
    (b" \n\n", 1, "empty"),
    (b"# Title\n", 1, "first line"),
    (b"---\ntitle: x\n", 3, "ends inside"),
    (b"---\ntitle: x\n---\n" + b"x" * LARGEST_FILE, 1, "larger"),
    (b"---\n" + b"a: " + b"x" * 70_000 + b"\n---\n", 2, "longer"),
    (b"---\ntitle: \x00\n---\n", 2, "not a text file"),
    (bytes(range(256)), 1, "not a text file"),
    ("---\ntitle: x\n---\n".encode("utf-16"), 1, "UTF-16"),
    ("---\n\ntitle: caf\xe9\n---\n".encode("latin-1"), 3, "not in UTF-8"),
    (b"---\ntitle: Shed: the big one\n---\n", 2, "colon"),
    (b"---\ntitle: x\nplot:\n\tslope: 0\n---\n", 4, "tab"),
    (b"---\ntitle: x\nunits: a\x07b\n---\n", 3, "control character"),
    (b"---\na: &x [1]\nb: *x\n---\n", 2, "&"),
    (b"---\nb: 1\na: *x\n---\n", 3, "&"),
    (b"---\na: !!python/object/apply:os.system ['x']\n---\n", 2, "!"),
    (b"---\na: !x y\n---\n", 2, "!"),
    (b"---\na: " + b"[" * 60_000 + b"\n---\n", 2, "too deep"),
    (b"---\n" + b"{a: " * 15_000 + b"\n---\n", 2, "too deep"),
    (b"---\n" + b"? " * 30_000 + b"\n---\n", 2, "too deep"),
    (b"---\n" + b": " * 30_000 + b"\n---\n", 2, "cannot be read"),
    (b"---\n- a\n- b\n---\n", 2, "no keys"),
    (b"---\njust words\n---\n", 2, "no keys"),
    (b"---\ntitle: @home\n---\n", 2, "cannot be read"),
    (b"---\ntitle: 'open\n---\n", 2, "cannot be read"),
    (b"---\na: [1, 2\n---\n", 2, "cannot be read"),
    (b"---\n--- x\na: 1\n---\n", 3, "cannot be read"),
])
def test_what_is_refused(raw, line, words):
    problem = refusal(raw)
    assert words in problem.given
    assert abs(problem.line - line) <= (1 if "cannot be read" in words else 0)
    assert problem.wanted


def test_colon_in_a_title_shows_the_line_to_write():
    assert refusal(b"---\ntitle: Shed: the big one\n---\n").sentence() == (
        'a.md:2: title: "Shed: the big one" has a colon and a blank in it, which starts a new key; '
        'put the whole text in quotation marks, like title: "Shed: the big one"'
    )


def test_only_comments_is_no_keys_at_all():
    assert read_front_matter("---\n# nothing yet\n---\n", "a.md").keys.values == {}


def test_a_key_that_is_not_a_word():
    matter = read_front_matter("---\ntitle: {{ config }}\n---\n", "a.md")
    assert [p.line for p in matter.problems] == [2]


def test_text_repeated_in_a_sentence_is_harmless():
    assert plain_text("a\x1b[31m\x00\u202e b\u200b\n\tc") == "a[31m b c"
    assert len(as_shown("x" * 10_000)) < 70
