"""The site as a list: every page and asset of an edition, the buyer's made from what is published and nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Literal

from builder import addresses
from builder.pages.bench import PaperLink, bench_index_page, bench_page
from builder.pages.home import home_page
from builder.pages.instrument import instrument_page
from builder.pages.instruments import instruments_page
from builder.pages.methods import methods_page
from builder.problems import Problem
from builder.publish import publish, publish_shop
from builder.publish.batch import publish_batch
from builder.publish.bench import publish_bench
from builder.publish.beside import publish_beside
from builder.publish.papers import publish_papers
from builder.published import Published, PublishedShop
from builder.reading.tree import Entries, Text
from builder.reading.yaml_text import read_yaml
from builder.seam import Asset, Page
from builder.sheets.certificate import certificate_html
from builder.sheets.kinds import CERTIFICATE, KINDS, STRING_CARD
from builder.sheets.paper import CannotBePrinted, paper_for
from builder.sheets.string_card import string_card_html
from builder.shop import Shop
from builder.sources import SOURCES
from builder.templates import theme_folder
from builder.workshop import Instrument, Workshop

#: Folder of the theme ─► which of its files the site carries.
_CARRIED = {"css": "*.css", "fonts": "*", "js": "*.js", "images": "*"}
#: Style sheets that are written into a stand-alone sheet, and so are not carried beside it.
_INLINED = {"bench-sheet.css", "cards.css", "certificate.css", "label.css"}

#: Who a site is built for. The shop edition has every instrument, and what the bench needs of it.
Edition = Literal["buyer", "shop"]

#: Nothing expensive is made twice while a site is served: a page depends on its frozen arguments alone.
MOST_KEPT = 10_000
_page_of = lru_cache(MOST_KEPT)(instrument_page)
_bench_of = lru_cache(MOST_KEPT)(bench_page)
_certificate_of = lru_cache(MOST_KEPT)(certificate_html)
_string_card_of = lru_cache(MOST_KEPT)(string_card_html)

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


def site_of(workshop: Workshop, edition: Edition = "buyer", *, care: str = "") -> Site:
    """The whole site of a shop without errors, newest first. A buyer's has only what is finished and delivered.

    `care` is the shop's own page on care, for the care cards of the shop edition.
    """
    if workshop.shop is None:
        raise ValueError("a shop whose file cannot be read has no site")
    shop, for_the_shop = publish_shop(workshop.shop), edition == "shop"
    shown = [each for each in workshop.instruments if for_the_shop or each.record.is_for_buyers]
    instruments = [publish(each, workshop.shop) for each in shown]
    instruments.sort(key=lambda each: (each.finished or "", each.serial), reverse=True)
    besides = {str(each.record.serial): publish_beside(each.record) for each in shown}
    pages = [
        home_page(instruments, shop),
        instruments_page(instruments, shop),
        methods_page(shop, SOURCES),
        *(_page_of(each, shop, besides[each.serial], for_the_shop=for_the_shop) for each in instruments),
    ]
    papers: list[Asset] = []
    if for_the_shop:
        by_serial = {each.serial: each for each in instruments}
        benches = [publish_bench(each, workshop.shop) for each in shown]
        for each, bench in zip(shown, benches, strict=True):
            made = [] if each.record.dates.finished else list(_papers(each, workshop.shop, care))
            papers += [asset for _, asset in made]
            pages.append(_bench_of(bench, _links(by_serial[bench.serial], made)))
        on_the_bench = [each for each in shown if not each.record.dates.finished]
        pages.append(bench_index_page(benches, publish_batch(on_the_bench, workshop.shop), shop))
    delivered = [each for each in instruments if each.delivered]
    assets = (*theme_assets(), *_certificates(delivered, shop), *_string_cards(instruments, shop), *papers)
    newest = max((day for each in instruments for day in (each.finished, each.delivered) if day), default=None)
    return Site(edition, shop, tuple(pages), assets, newest)


def _string_cards(instruments: list[Published], shop: PublishedShop) -> Iterator[Asset]:
    """The strings of each instrument on a card to print."""
    for each in instruments:
        if each.strings is not None:
            yield Asset(addresses.paper(each.serial, f"{STRING_CARD}.html"), _string_card_of(each, shop).encode())


def _papers(instrument: Instrument, shop: Shop, care: str) -> Iterator[tuple[str, Asset]]:
    """Every paper of an instrument that its record says enough for, besides certificate and string card."""
    papers, paper = publish_papers(instrument, shop, care=care), paper_for(shop.unit)
    for kind in KINDS.values():
        if kind.name in (CERTIFICATE, STRING_CARD):
            continue
        try:
            content = kind.make(papers, paper)
        except CannotBePrinted:
            continue
        yield kind.name, Asset(addresses.paper(instrument.record.serial, f"{kind.name}.{kind.ending}"), content)


def _links(instrument: Published, made: Iterable[tuple[str, Asset]]) -> tuple[PaperLink, ...]:
    """Every kind of paper for the bench page of one instrument: where it is, or how it is made."""
    places = {name: asset.path for name, asset in made}
    if instrument.delivered:
        places[CERTIFICATE] = addresses.certificate(instrument.serial)
    if instrument.strings is not None:
        places[STRING_CARD] = addresses.paper(instrument.serial, f"{STRING_CARD}.html")
    return tuple(
        PaperLink(kind.title, places.get(kind.name), f"boutbook sheet {instrument.serial} {kind.name}")
        for kind in KINDS.values()
    )


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


def care_of(pages_folder: Path) -> str:
    """The shop's own page on care, without its front matter; empty where it has none."""
    found = [each.text for each in read_prose(pages_folder) if each.path == "care.md" and not each.is_draft]
    return found[0] if found else ""


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
