"""The site as a list: every page and asset of an edition, the buyer's made from what is published and nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Literal

from builder import addresses
from builder.pages.bench import bench_index_page, bench_page
from builder.pages.home import home_page
from builder.pages.instrument import instrument_page
from builder.pages.instruments import instruments_page
from builder.pages.methods import methods_page
from builder.problems import Problem
from builder.publish import publish, publish_shop
from builder.publish.batch import publish_batch
from builder.publish.bench import publish_bench
from builder.published import Published, PublishedShop
from builder.reading.tree import Entries, Text
from builder.reading.yaml_text import read_yaml
from builder.seam import Asset, Page
from builder.sheets.certificate import certificate_html
from builder.sources import SOURCES
from builder.templates import theme_folder
from builder.workshop import Workshop

#: Folder of the theme ─► which of its files the site carries.
_CARRIED = {"css": "*.css", "fonts": "*", "js": "*.js", "images": "*"}
#: Style sheets that are written into a stand-alone sheet, and so are not carried beside it.
_INLINED = {"certificate.css"}

#: Who a site is built for. The shop edition has every instrument, and what the bench needs of it.
Edition = Literal["buyer", "shop"]

#: Nothing expensive is made twice while a site is served: a page depends on its frozen arguments alone.
MOST_KEPT = 10_000
_page_of = lru_cache(MOST_KEPT)(instrument_page)
_bench_of = lru_cache(MOST_KEPT)(bench_page)
_certificate_of = lru_cache(MOST_KEPT)(certificate_html)

_FRONT_MATTER = re.compile(r"\A\ufeff?---[ ]*\r?\n(.*?)\r?\n(?:---|\.\.\.)[ ]*(?:\r?\n|\Z)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Site:
    """Everything that is published: pages, assets, the shop's name, and the newest date in it."""

    edition: Edition
    shop: PublishedShop
    pages: tuple[Page, ...]
    assets: tuple[Asset, ...]
    newest_date: str | None


@dataclass(frozen=True, slots=True)
class Prose:
    """A Markdown file of the shop's own: path below `records/pages`, text without its front matter, title if given."""

    path: str
    front_matter: str
    text: str
    is_draft: bool

    @property
    def address(self) -> str:
        """Where it stands in the site."""
        return f"{self.path.removesuffix('.md')}.html"


def site_of(workshop: Workshop, edition: Edition = "buyer") -> Site:
    """The whole site of a shop without errors, newest first. A buyer's has only what is finished and delivered."""
    if workshop.shop is None:
        raise ValueError("a shop whose file cannot be read has no site")
    shop, for_the_shop = publish_shop(workshop.shop), edition == "shop"
    shown = [each for each in workshop.instruments if for_the_shop or each.record.is_for_buyers]
    instruments = [publish(each, workshop.shop) for each in shown]
    instruments.sort(key=lambda each: (each.finished or "", each.serial), reverse=True)
    pages = [
        home_page(instruments, shop),
        instruments_page(instruments, shop),
        methods_page(shop, SOURCES),
        *(_page_of(each, shop, for_the_shop=for_the_shop) for each in instruments),
    ]
    if for_the_shop:
        benches = [publish_bench(each, workshop.shop) for each in shown]
        on_the_bench = [each for each in shown if not each.record.dates.finished]
        together = publish_batch(on_the_bench, workshop.shop)
        pages += [bench_index_page(benches, together, shop), *map(_bench_of, benches)]
    delivered = [each for each in instruments if each.delivered]
    newest = max((day for each in instruments for day in (each.finished, each.delivered) if day), default=None)
    return Site(edition, shop, tuple(pages), (*theme_assets(), *_certificates(delivered, shop)), newest)


def _certificates(instruments: list[Published], shop: PublishedShop) -> Iterator[Asset]:
    for each in instruments:
        yield Asset(addresses.certificate(each.serial), _certificate_of(each, shop).encode())


def theme_assets() -> Iterator[Asset]:
    """Style sheets, typefaces, scripts and pictures of the theme."""
    for folder, pattern in _CARRIED.items():
        for file in sorted((theme_folder() / folder).glob(pattern)):
            if file.name not in _INLINED:
                inside = "" if folder in ("css", "js") else f"{folder}/"
                yield Asset(f"{addresses.THEME}/{inside}{file.name}", file)


def read_prose(pages_folder: Path) -> tuple[Prose, ...]:
    """The shop's own Markdown files, in order of their paths. Text that is not UTF-8 is read as well as can be."""
    prose = []
    for file in sorted(pages_folder.rglob("*.md")):
        text = file.read_text(encoding="utf-8", errors="replace")
        found = _FRONT_MATTER.match(text)
        front_matter = found.group(1) if found else ""
        body = text[found.end() :] if found else text.removeprefix("\ufeff")
        path = file.relative_to(pages_folder).as_posix()
        prose.append(Prose(path, front_matter, body, _says_draft(front_matter)))
    return tuple(prose)


def _says_draft(front_matter: str) -> bool:
    tree, _, _ = read_yaml(front_matter.encode(), "front matter")
    entries = tree.entries if isinstance(tree, Entries) else ()
    return any(
        key.text == "draft" and isinstance(value, Text) and value.text.casefold() in ("yes", "true")
        for key, value in entries
    )


def taken_addresses(site: Site, prose: tuple[Prose, ...]) -> tuple[Problem, ...]:
    """Prose that would stand where a certificate or another file of the site stands."""
    taken = {asset.path.casefold() for asset in site.assets}
    return tuple(
        Problem(
            "address-taken", f"records/pages/{each.path}", 0, 0, f"the address {each.address} belongs to another file",
            "rename this page",
        )
        for each in prose
        if each.address.casefold() in taken and not each.is_draft
    )  # fmt: skip
