"""A scenario's story: somebody else's Markdown, made into HTML that can do no harm.

Raw HTML is shown as it was typed, pictures become their words, links lead to
pages and letters only, and headings keep their place below the page's own.
Template braces mean nothing here and are shown as typed.
"""

from __future__ import annotations

import html
import re
from functools import cache, lru_cache
from xml.etree import ElementTree

from markdown import Markdown
from markdown.treeprocessors import Treeprocessor

ALLOWED_SCHEMES = ("http", "https", "mailto")

LONGEST_STORY = 20_000
"""Characters of a story that are shown; some ten pages of a book."""

LONGEST_SENTENCE = 60
"""Words of a sentence that an index shows whole."""

MOST_BRACKETS = 100
"""Opening brackets beyond which none of them makes a link: looking for the other end of each would take minutes."""

HEADINGS_DOWN_BY = 2
"""The page's title is the first level and the story's own heading the second."""

CUT = "The story goes on in the file; the page shows its beginning."

# Both allow somebody to write HTML, or to hide an address from the check below.
_WITHOUT_PREPROCESSOR = "html_block"
_WITHOUT_PATTERNS = ("html", "automail")
_LINK_PATTERNS = ("link", "image_link", "reference", "image_reference", "short_reference", "short_image_ref")

_SCHEME = re.compile(r"([^/?#:]*):")
_UNSEEN = re.compile(r"[\x00-\x20\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2064\ufeff]")


@lru_cache(maxsize=64)
def render(text: str) -> str:
    """The story as HTML.

    >>> render("Sand, *dry*. <script>alert(1)</script> {{ x }}")
    '<p>Sand, <em>dry</em>. &lt;script&gt;alert(1)&lt;/script&gt; {{ x }}</p>'
    >>> render("[a](javascript:alert(1)) and [b](https://example.org/)")
    '<p><span>a</span> and <a href="https://example.org/" rel="nofollow noopener">b</a></p>'
    """
    shown, cut = _shortened(text)
    story = _reader(shown.count("[") <= MOST_BRACKETS).reset().convert(shown)
    return f"{story}\n<p>{CUT}</p>" if cut else story


def first_words(text: str, most: int = 24) -> str:
    """The first words of the story without its markup, for an index; with an ellipsis where it goes on.

    >>> first_words("The *grass* runs [down](x) to the lane, about a foot.", 5)
    'The grass runs down to …'
    """
    words = plain_words(text).split()
    return " ".join(words[:most]) + (" …" if len(words) > most else "")


_SENTENCE = re.compile(r".*?[.!?](?=\s|$)")


def first_sentence(text: str) -> str:
    """The first sentence of the story without its markup, for an index; the first words of one that goes on and on.

    >>> first_sentence("The *grass* runs 1.5 m down to the lane. Under it is sand.")
    'The grass runs 1.5 m down to the lane.'
    """
    found = _SENTENCE.match(plain_words(text))
    sentence = found[0] if found else ""
    return sentence if 0 < len(sentence.split()) <= LONGEST_SENTENCE else first_words(text, LONGEST_SENTENCE)


def plain_words(text: str) -> str:
    """The story without its markup, on one line."""
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", render(text))).split()).replace(" ,", ",").replace(" .", ".")


def allowed_address(address: str) -> str | None:
    """An address that a link may have, cleaned; None where it may not.

    >>> allowed_address("../cautions/"), allowed_address("java\\tscript:x"), allowed_address("&#106;avascript:x")
    ('../cautions/', None, None)
    """
    # A browser undoes character references and drops blanks before it looks at the scheme.
    cleaned, before = address, None
    while cleaned != before:
        before, cleaned = cleaned, _UNSEEN.sub("", html.unescape(cleaned))
    scheme = _SCHEME.match(cleaned)
    if scheme and scheme[1].lower() not in ALLOWED_SCHEMES:
        return None
    return cleaned


class _Harmless(Treeprocessor):
    """Runs last, on the finished tree, so that it sees every link however it was written."""

    def run(self, root: ElementTree.Element) -> None:
        for element in root.iter():
            if element.tag == "a":
                _check_link(element)
            elif element.tag == "img":
                words = element.get("alt", "")
                element.attrib.clear()
                element.tag, element.text = "span", words
            elif re.fullmatch("h[1-6]", str(element.tag)):
                element.tag = f"h{min(6, int(element.tag[1]) + HEADINGS_DOWN_BY)}"


def _check_link(element: ElementTree.Element) -> None:
    address = allowed_address(element.get("href", ""))
    element.attrib.clear()
    if not address:
        element.tag = "span"
        return
    element.set("href", address)
    element.set("rel", "nofollow noopener")


@cache
def _reader(with_links: bool) -> Markdown:
    reader = Markdown()
    reader.preprocessors.deregister(_WITHOUT_PREPROCESSOR)
    for pattern in _WITHOUT_PATTERNS + (() if with_links else _LINK_PATTERNS):
        reader.inlinePatterns.deregister(pattern)
    reader.treeprocessors.register(_Harmless(reader), "harmless", -10)
    return reader


def _shortened(text: str) -> tuple[str, bool]:
    if len(text) <= LONGEST_STORY:
        return text, False
    start = text[:LONGEST_STORY]
    return (start.rpartition("\n\n")[0] or start), True
