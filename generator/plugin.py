"""The MkDocs plugin: a thin adapter between MkDocs' events and the shelf of scenarios.

Scenarios are read, compared and rendered before MkDocs empties the site
folder, so that a scenario that cannot be read leaves the old site as it was.
While serving, a broken scenario shows its problems on its own page instead.
"""

from __future__ import annotations

import gc
import logging
import re
from contextlib import nullcontext
from html import escape
from pathlib import Path
from time import perf_counter

from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.toc import AnchorLink
from mkdocs.utils import get_relative_url

from generator import CODE, guide_parts
from generator.mapping import MapStore
from generator.shelf import Shelf, Shelved, Spoiled

log = logging.getLogger("mkdocs.plugins.soleplate")

MAPS = ".cache/maps"
STORE = ".cache/scenarios"
"""Beside mkdocs.yml: what was rendered, by the digest of all that it depends on."""

MARKER = re.compile(r"<!--\s*soleplate:([a-z-]+)\s*(.*?)\s*-->", re.DOTALL)


class SolePlateConfig(Config):
    """Options in mkdocs.yml."""

    scenarios = config_options.Type(str, default="scenarios")
    maps = config_options.Type(bool, default=True)


class SolePlatePlugin(BasePlugin[SolePlateConfig]):
    """Puts a page and the files beside it for every scenario, and generated parts where a page asks for them."""

    def __init__(self):
        super().__init__()
        self.serving = False
        self.shelf: Shelf | None = None
        self.shelved: dict[str, Shelved | Spoiled] = {}
        self.own_seconds = 0.0
        self._parts: dict[tuple[str, str, str], tuple[str, str]] = {}

    def on_startup(self, *, command: str, dirty: bool) -> None:
        """Remember whether this is a build or a preview."""
        self.serving = command == "serve"

    def on_pre_build(self, *, config) -> None:
        """Read, compare and render every scenario; a build stops here when one cannot be read."""
        started = perf_counter()
        folder = Path(config.docs_dir) / self.config.scenarios
        if self.shelf is None or self.shelf.scenarios != folder:
            beside = Path(config.config_file_path).parent
            maps = MapStore(beside / MAPS, say=log.info) if self.config.maps else None
            self.shelf = Shelf(folder, beside / STORE, maps)
        # A collection in the middle of thousands of small records takes as long as a scenario and finds nothing.
        collects = gc.isenabled()
        gc.disable()
        try:
            with self.shelf.maps.at_work() if self.shelf.maps is not None else nullcontext():
                found = self.shelf.refresh()
        finally:
            if collects:
                gc.enable()
        self.shelved = {f"{self.config.scenarios}/{entry.slug}.md": entry for entry in found}
        problems = [problem for entry in found if isinstance(entry, Spoiled) for problem in entry.problems]
        for problem in problems:
            (log.warning if self.serving else log.error)(problem.sentence())
        if problems and not self.serving:
            count = "1 problem" if len(problems) == 1 else f"{len(problems)} problems"
            raise PluginError(f"Nothing was built: {count} in the scenarios, listed above.")
        self.own_seconds = perf_counter() - started
        log.debug("Scenarios ready in %.3f s", self.own_seconds)

    def on_files(self, files: Files, *, config) -> Files:
        """Replace each scenario's source by a short page and put its files beside it."""
        for uri, entry in self.shelved.items():
            old = files.get_file_from_path(uri)
            if old is not None:
                files.remove(old)
            new = File.generated(config, uri, content=_stub(entry))
            new.inclusion = InclusionLevel.NOT_IN_NAV
            files.append(new)
            if isinstance(entry, Shelved):
                folder = uri.removesuffix(".md")
                for name, content in entry.files.items():
                    files.append(File.generated(config, f"{folder}/{name}", content=content))
        return files

    def on_page_content(self, html: str, *, page, config, files) -> str:
        """Give a scenario its short text for the search index, and any other page its generated parts."""
        started = perf_counter()
        entry = self.shelved.get(page.file.src_uri)
        if entry is not None:
            page.toc.items = _contents(entry.page.headings)
            # What other pages may link to: MkDocs has seen the short page alone.
            page.present_anchor_ids = {heading.id for heading in entry.page.headings}
            html = f"<h1>{escape(entry.page.title)}</h1>\n<p>{escape(entry.page.search_text)}</p>"
        elif "soleplate:" in html:
            site = self._site_data(page, files)
            try:
                html = MARKER.sub(lambda found: self._part(page.file.src_uri, found[1], found[2], site), html)
            except guide_parts.UnknownMarker as unknown:
                raise PluginError(f"{page.file.src_uri}: {unknown}") from unknown
        self.own_seconds += perf_counter() - started
        return html

    def _part(self, page: str, name: str, argument: str, site: guide_parts.SiteData) -> str:
        """A generated part of a page, made again only when something that it shows has changed."""
        stamp = self.shelf.stamp if name in guide_parts.SHOWS_ALL else self.shelf.code_stamp
        if name in guide_parts.SHOWS_ONE:
            stamp += self.shelf.stamp_of(guide_parts.shown_scenario(name, argument, site))
        kept = self._parts.get((page, name, argument))
        if kept is None or kept[0] != stamp:
            with site.maps.at_work() if site.maps is not None and name in guide_parts.WORKS_LONG else nullcontext():
                kept = (stamp, guide_parts.marker(name, argument, site))
            self._parts[page, name, argument] = kept
        return kept[1]

    # After the search index has taken the short text: a thousand tables in it help nobody.
    @event_priority(-100)
    def on_page_context(self, context, *, page, config, nav):
        """Put the whole of a scenario's page in place of its short text."""
        started = perf_counter()
        entry = self.shelved.get(page.file.src_uri)
        if entry is not None:
            page.content = entry.page.html
        self.own_seconds += perf_counter() - started
        return context

    def on_post_build(self, *, config) -> None:
        """Say how long our own share took."""
        if self.shelf is not None and self.shelf.maps is not None:
            self.shelf.maps.sweep()
        log.info("Scenarios: %d, own share of this build %.2f s", len(self.shelved), self.own_seconds)

    def on_serve(self, server, *, config, builder):
        """Build again when a schedule of rates or a template changes, not only a document."""
        for folder in ("rates", "templates"):
            server.watch(str(CODE / folder))
        return server

    def _site_data(self, page, files: Files):
        """What a generated part may show: every good scenario, and links from the page it stands on."""

        def url_of(src_uri: str) -> str:
            target = files.get_file_from_path(src_uri)
            if target is None:
                raise PluginError(f"{page.file.src_uri} links to {src_uri}, which is not there.")
            return get_relative_url(target.url, page.file.url)

        entries = tuple(
            guide_parts.Entry(uri, entry.slug, entry.card, entry.load)
            for uri, entry in self.shelved.items() if isinstance(entry, Shelved)
        )
        return guide_parts.SiteData(entries=entries, url_of=url_of, maps=self.shelf.maps)


def _stub(entry: Shelved | Spoiled) -> str:
    """Front matter for MkDocs; the text itself comes late."""
    return f'---\ntitle: "{plain_title(entry.page.title)}"\n---\n'


def plain_title(title: str) -> str:
    """A title for places that MkDocs does not escape: the window's name, links to the page.

    >>> plain_title('Shed <script> & "barn"')
    'Shed ‹script› ＆ ”barn”'
    """
    return title.translate(str.maketrans({"<": "‹", ">": "›", "&": "＆", '"': "”", "\\": "＼"}))


def _contents(headings) -> list[AnchorLink]:
    """Headings as MkDocs' table of contents: level 2 with level 3 inside."""
    items: list[AnchorLink] = []
    for heading in headings:
        link = AnchorLink(escape(heading.text), heading.id, heading.level)
        if heading.level > 2 and items:
            items[-1].children.append(link)
        else:
            items.append(link)
    return items
