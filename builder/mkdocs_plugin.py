"""The writer for MkDocs with Material: the only module that imports `mkdocs`.

As a plugin it makes plain `mkdocs build --strict` and `mkdocs serve` work as everyone knows them; `build` and `serve`
start the same from our own commands. It computes nothing: it hands over a list of pages and assets.
"""

from __future__ import annotations

import logging
import os
import re
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import UTC, datetime
from html import unescape
from pathlib import Path
from typing import Any, Literal

from markupsafe import escape
from mkdocs.commands.build import build as mkdocs_build
from mkdocs.commands.serve import serve as mkdocs_serve
from mkdocs.config import load_config
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, ConfigurationError, MkDocsException
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import AnchorLink, TableOfContents
from mkdocs.utils.templates import TemplateContext

from builder import addresses
from builder.apart import NotApart, see_apart, see_that_records_are_safe
from builder.beside import Prepared, prepare
from builder.links import broken_links
from builder.problems import Problem, count_in_words, in_words
from builder.prose import Prose, care_of, read_prose, without_remarks
from builder.seam import Edition, Page, Section
from builder.site import Site, problems_with_prose, site_of, theme_assets
from builder.templates import render, theme_folder
from builder.unlisted import with_addresses, without_address
from builder.workshop import open_shop

log = get_plugin_logger("boutbook")

#: The earliest date a sitemap can be packed with; for a shop that has published nothing yet.
NO_DATE = "1980-01-01"

#: A hint is said when asked for with `check`, and does not fail a strict build.
_LOUDNESS = {"error": logging.ERROR, "warning": logging.WARNING, "hint": logging.DEBUG}

#: What each edition's folder is called when something is wrong with it.
SAID_OF: dict[Edition, str] = {
    "buyer": "the folder of the site for buyers (site_dir in mkdocs.yml)",
    "shop": "the folder of the shop edition",
}

#: Where `serve` tells the plugin, which MkDocs makes by itself, whose site it is to show.
_EDITION = "boutbook_edition"
#: And what tells it the moment its bench board is for, each time it is built.
_CLOCK = "boutbook_clock"

#: Under which name the frame of a page finds what we put into its head.
_HEAD = "boutbook_head"

_ID = re.compile(r'\sid="([^"]+)"')

_PALETTE = [
    {
        "media": "(prefers-color-scheme: light)",
        "scheme": "default",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "material/weather-night", "name": "Switch to dark"},
    },
    {
        "media": "(prefers-color-scheme: dark)",
        "scheme": "slate",
        "primary": "custom",
        "accent": "custom",
        "toggle": {"icon": "material/weather-sunny", "name": "Switch to light"},
    },
]
_FEATURES = ["navigation.tabs", "navigation.top", "toc.follow"]


class NoShopHere(Exception):
    """The folder has no mkdocs.yml that names this plugin."""


class BuildFailed(Exception):
    """MkDocs could not make the site; the message says why."""


class ReadyPage(MkDocsPage):
    """A page that needs no Markdown: its body and contents list are handed over as they are.

    Its words go to the theme's templates, which escape nothing: so titles and description are escaped here.
    """

    def __init__(self, page: Page, head: str, file: File, config: MkDocsConfig) -> None:
        super().__init__(escape(page.title), file, config)
        self.ready = page
        self.head = head
        if not page.findable:
            self.canonical_url = None

    def read_source(self, config: MkDocsConfig) -> None:
        """There is no source; the head of the page comes from the page itself."""
        self.markdown = ""
        self.meta = {
            "title": escape(self.ready.title),
            "description": escape(self.ready.description),
            "date": self.ready.date,
            _HEAD: self.head,
        }
        if not self.ready.findable:
            self.meta |= {"robots": "noindex", "search": {"exclude": True}}

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Hand over body, contents list, and the places that links may lead to."""
        title = render("pages/title.html", title=self.ready.title)
        self.content = f"{title}\n{_sections_as_html(self.ready.sections)}"
        self.toc = TableOfContents([_contents(self.ready)])
        self.present_anchor_ids = set(_ID.findall(self.content))


class Options(Config):  # type: ignore[no-untyped-call]  # MkDocs leaves a hook of it untyped
    """The plugin has none: what a shop decides stands in its shop file."""


class BoutbookPlugin(BasePlugin[Options]):  # type: ignore[no-untyped-call]  # as above
    """Reads the shop's records and puts the pages made from them into the site."""

    def __init__(self) -> None:
        self._command: str = "build"
        self._prepared: Prepared | None = None
        self._edition: Edition = "buyer"
        self._at: datetime | None = None
        self._site: Site | None = None
        self._prose: dict[str, Prose] = {}
        self._below_prose: dict[str, Page] = {}

    def use(self, prepared: Prepared, edition: Edition, at: datetime | None) -> None:
        """Take a shop that is read already, and whose problems are said already, for the next build."""
        self._prepared = prepared
        self._edition = edition
        self._at = at

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Learn whether a site is built or served; because of this hook MkDocs keeps the plugin between builds."""
        self._command = command

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read every record before MkDocs touches anything; stop here if there are problems.

        Early among plugins: the one for reading offline would ask another host for what we bring ourselves.
        """
        folder = Path(config.config_file_path).parent
        try:
            see_that_records_are_safe(folder, {SAID_OF["buyer"]: Path(config.site_dir)})
        except NotApart as error:
            raise Abort(f"{error}") from None
        is_told = self._prepared is not None
        prepared = self._prepared or self._prepare(folder, config)
        problems = [] if is_told else list(prepared.problems)
        self._prepared = None
        prose = read_prose(Path(config.docs_dir))
        if self._site is None:  # a shop that is broken from the start shows at least its prose
            self._prose = {each.path: each for each in prose}
        if not prepared.has_errors:
            site = site_of(prepared, self._edition, care=care_of(Path(config.docs_dir)), at=self._at)
            problems += problems_with_prose(site, prose)
            if not _errors(problems):
                self._site, self._prose = site, {each.path: each for each in prose}
        self._report(problems, config)
        _set_up(config, self._site, is_served=self._is_served)
        return config

    def _prepare(self, folder: Path, config: MkDocsConfig) -> Prepared:
        """Read the shop. MkDocs by itself makes the buyer's edition, and writes nothing among the records."""
        is_ours = self._is_served and _EDITION in config.extra
        self._edition = config.extra[_EDITION] if is_ours else "buyer"
        clock = config.extra.get(_CLOCK) if is_ours else None
        self._at = clock() if clock else None
        workshop = open_shop(folder, private_files=self._edition == "shop")
        if is_ours:
            workshop = with_addresses(workshop, folder)
        else:
            workshop = replace(workshop, problems=(*workshop.problems, *without_address(workshop)))
        return prepare(workshop, self._edition)

    @property
    def _is_served(self) -> bool:
        return self._command == "serve"

    def _report(self, problems: list[Problem], config: MkDocsConfig) -> None:
        """Say every problem; with errors end a build, and under `serve` keep the last good pages with a banner."""
        for problem in problems:
            log.log(_LOUDNESS[problem.severity], "%s", in_words(problem))
        errors = _errors(problems)
        config.extra["boutbook_problems"] = [in_words(problem) for problem in errors]
        if errors and not self._is_served:
            raise Abort(f"The records have {count_in_words(problems)}; the site is left as it was.")

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Keep theme and prose, drop every other file of the shop, and add the pages and assets."""
        for file in list(files):
            if file.generated_by is None and file.src_dir == config.docs_dir and not self._is_wanted(file):
                files.remove(file)
        self._below_prose = {}
        site = self._site
        for page in site.pages if site else ():
            source = f"{page.path.removesuffix('.html')}.md"
            if source in files.src_uris:
                self._below_prose[source] = page
            else:
                inclusion = InclusionLevel.UNDEFINED if page.listed else InclusionLevel.NOT_IN_NAV
                file = File.generated(config, source, content="", inclusion=inclusion)
                ReadyPage(page, site.for_programs(page) if site else "", file, config)
                files.append(file)
        for asset in self._site.assets if self._site else theme_assets():
            if isinstance(asset.content, bytes):
                files.append(File.generated(config, asset.path, content=asset.content))
            else:
                files.append(File.generated(config, asset.path, abs_src_path=str(asset.content)))
        return files

    def _is_wanted(self, file: File) -> bool:
        prose = self._prose.get(file.src_uri)
        return prose is not None and (self._is_served or not prose.is_draft)

    def on_page_markdown(self, markdown: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files) -> str:
        """Leave out the remarks in the shop's own prose."""
        return without_remarks(markdown)

    def on_page_content(self, html: str, *, page: MkDocsPage, config: MkDocsConfig, files: Files) -> str:
        """Put our sections below the shop's own prose where both stand at one address."""
        ours = self._below_prose.get(page.file.src_uri)
        if ours is None:
            if self._site and page.file.src_uri in self._prose:
                page.meta[_HEAD] = self._site.for_programs(_as_our_own(page, config))
            return html
        sections = _sections_as_html(ours.sections)
        page.meta.setdefault("description", escape(ours.description))
        page.meta.setdefault("date", ours.date)
        page.meta[_HEAD] = self._site.for_programs(ours) if self._site else ""
        page.present_anchor_ids = (page.present_anchor_ids or set()) | set(_ID.findall(sections))
        first = next(iter(page.toc), None)
        below = first.children if first is not None and first.level == 1 else page.toc.items
        below.extend(_contents(ours).children)
        return f"{html}\n{sections}"

    @event_priority(100)
    def _lend_search_text(
        self, context: TemplateContext, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation
    ) -> None:
        """Show the search, which reads next, the words a page should be found by instead of all its tables."""
        if isinstance(page, ReadyPage):
            self._lent = page.content
            page.content = str(render("pages/search_text.html", page=page.ready))

    @event_priority(-100)
    def _take_back(self, context: TemplateContext, *, page: MkDocsPage, config: MkDocsConfig, nav: Navigation) -> None:
        if isinstance(page, ReadyPage):
            page.content = self._lent

    on_page_context = CombinedEvent(_lend_search_text, _take_back)

    @event_priority(-200)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Follow every link of the built site; under --strict a broken one fails the build."""
        if self._site is None:
            return  # a shop that was broken from the start has no pages to link to yet
        for broken in broken_links(Path(config.site_dir)):
            if broken.page not in self._site.handed_over:
                log.warning("%s", broken)

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Any) -> LiveReloadServer:
        """Build again when a record is saved."""
        server.watch(str(Path(config.config_file_path).parent / "records"))
        return server


def _errors(problems: Iterable[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.severity == "error"]


def _as_our_own(page: MkDocsPage, config: MkDocsConfig) -> Page:
    """A page of the shop's prose, as far as it is told to programs."""
    said = unescape(str(page.meta.get("description") or config.site_description))
    title = unescape(str(page.title))
    return Page(page.file.dest_uri, title, said, (), "", True, findable=not page.meta.get("robots"))


def _sections_as_html(sections: tuple[Section, ...]) -> str:
    return "\n".join(str(render("pages/section.html", section=section)) for section in sections)


def _contents(page: Page) -> AnchorLink:
    """A page's contents list: its title, and its sections below."""
    top = AnchorLink(title=escape(page.title), id="top", level=1)
    titled = [each for each in page.sections if each.title]
    top.children = [AnchorLink(title=escape(each.title), id=each.id, level=2) for each in titled]
    return top


def _set_up(config: MkDocsConfig, site: Site | None, *, is_served: bool) -> None:
    """Settings that every shop's site needs, so that its mkdocs.yml need not name them."""
    config.use_directory_urls = False
    config.theme.dirs.insert(0, str(theme_folder() / "overrides"))
    config.theme["font"] = False
    for name, usual in (("palette", _PALETTE), ("features", _FEATURES)):
        if not config.theme.get(name):
            config.theme[name] = usual
    has_a_mark = site is not None and site.shop.mark is not None
    config.theme["favicon"] = addresses.FAVICON
    config.theme["logo"] = addresses.MARK if has_a_mark else addresses.FAVICON
    config.extra_css[:0] = addresses.STYLESHEETS
    config.extra["generator"] = False
    config.extra.setdefault("polyfills", []).insert(0, addresses.WORKER_OVER_FILE)
    config.validation.links.not_found = config.validation.links.anchors = logging.WARNING
    config.validation.links.absolute_links = config.validation.links.unrecognized_links = logging.WARNING
    if site is None:
        return
    config.site_name = escape(site.shop.name)
    config.extra["boutbook_bench"] = addresses.BENCH if site.edition == "shop" else None
    config.site_author = escape(site.shop.maker)
    config.site_description = config.site_description or escape(f"Instruments by {site.shop.maker}")
    if site.shop.site_address and not is_served:
        config.site_url = site.shop.site_address
    newest = datetime.fromisoformat(site.newest_date or NO_DATE).replace(tzinfo=UTC)
    os.environ.setdefault("SOURCE_DATE_EPOCH", str(int(newest.timestamp())))


class _Warnings(logging.Handler):
    """Keeps what MkDocs warns of, so that a failed build can say why."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


def _load(folder: Path, **settings: Any) -> MkDocsConfig:
    file = folder / "mkdocs.yml"
    if not file.is_file():
        raise NoShopHere(f"there is no mkdocs.yml in {folder}")
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    try:
        config = load_config(str(file), **settings)
    except (ConfigurationError, Abort) as error:
        raise BuildFailed(f"mkdocs.yml cannot be used: {error.format_message()}") from None
    if "boutbook" not in config.plugins:
        raise NoShopHere(f"the mkdocs.yml in {folder} does not name the plugin boutbook")
    return config


def site_folder(folder: Path, edition: Edition) -> Path:
    """Where an edition goes: the buyer's as mkdocs.yml says, the shop's beside it.

    Raises NoShopHere without a shop, and NotApart where one edition would lie in the other, or among the records.
    """
    return site_folders(folder)[edition]


def site_folders(folder: Path) -> dict[Edition, Path]:
    """Where each edition goes. Raises as `site_folder` does."""
    site = Path(_load(folder).site_dir)
    folders: dict[Edition, Path] = {"buyer": site, "shop": site.with_name(f"{site.name}-for-the-shop")}
    said = {SAID_OF[edition]: place for edition, place in folders.items()}
    see_that_records_are_safe(folder, said)
    see_apart(said)
    return folders


def prose_folder(folder: Path) -> Path:
    """Where the prose of a shop stands, as its mkdocs.yml says. Raises NoShopHere where there is none."""
    return Path(_load(folder).docs_dir)


def build(folder: Path, prepared: Prepared, edition: Edition, into: Path, at: datetime | None = None) -> None:
    """Build an edition of a shop that is read already, strictly. Raises BuildFailed with the reason.

    `at` is the moment the bench board of the shop edition is for.
    """
    config = _load(folder, site_dir=str(into), strict=True)
    plugin = config.plugins["boutbook"]
    assert isinstance(plugin, BoutbookPlugin), "MkDocs made it from our own entry point"
    config.plugins.on_startup(command="build", dirty=False)
    plugin.use(prepared, edition, at)
    said = _Warnings()
    logging.getLogger("mkdocs").addHandler(said)
    try:
        mkdocs_build(config)
    except MkDocsException as error:
        raise BuildFailed("\n".join([*said.messages, error.format_message()])) from None
    finally:
        logging.getLogger("mkdocs").removeHandler(said)
        config.plugins.on_shutdown()


def serve(
    folder: Path,
    edition: Edition,
    address: str | None,
    say: Callable[[str], None],
    clock: Callable[[], datetime | None],
) -> None:
    """Show an edition while it is worked on, until the maker stops it; `say` is told where.

    `clock` tells the moment the bench board is for, each time the site is built.
    """
    settings: dict[str, Any] = {"dev_addr": address} if address else {}
    config = _load(folder, **settings)
    settings["extra"] = {**config.extra, _EDITION: edition, _CLOCK: clock}
    host, port = config.dev_addr
    say(f"Showing the site at http://{host}:{port}/ (Ctrl-C ends it).")
    mkdocs_serve(str(folder / "mkdocs.yml"), **settings)
