"""The site as a list: every page and asset of an edition, the buyer's made from what is published and nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import PurePosixPath

from markupsafe import Markup

from builder import addresses
from builder.beside import Prepared
from builder.comparing import lineage_of
from builder.link_picture import COVER_PX, HEIGHT_PX, link_picture
from builder.pages.bench import PaperLink, bench_index_page, bench_page
from builder.pages.head import for_programs
from builder.pages.history import history_page
from builder.pages.home import home_page
from builder.pages.instrument import instrument_page
from builder.pages.instruments import instruments_page
from builder.pages.link_words import words_of_instrument, words_of_shop
from builder.pages.methods import methods_page
from builder.pages.orders import orders_page
from builder.pages.photographs import size_to_fill
from builder.pages.rack import rack_page
from builder.pages.reference import reference_page
from builder.pages.repairs import repairs_page
from builder.problems import Problem
from builder.prose import Prose
from builder.publish import publish, publish_shop
from builder.publish.batch import publish_batch
from builder.publish.bench import publish_bench
from builder.publish.bench_board import publish_bench_board
from builder.publish.history import publish_history
from builder.publish.order import order_of, orders_of
from builder.publish.papers import publish_papers
from builder.publish.rack import publish_rack
from builder.publish.reference import publish_reference
from builder.publish.repairs import publish_repairs, publish_services
from builder.published import Published, PublishedMark, PublishedShop
from builder.published.bench_board import PublishedBenchBoard
from builder.published.beside import PublishedBeside
from builder.published.rack import PublishedBillet
from builder.seam import Asset, Edition, Page
from builder.sheets.certificate import certificate_html
from builder.sheets.kinds import CERTIFICATE, KINDS, STRING_CARD
from builder.sheets.paper import CannotBePrinted, paper_for
from builder.sheets.string_card import string_card_html
from builder.shop import Shop
from builder.sources import SOURCES
from builder.templates import theme_folder
from builder.workshop import Instrument

#: Folder of the theme ─► which of its files the site carries.
_CARRIED = {"css": "*.css", "fonts": "*", "js": "*.js", "images": "*"}
#: Style sheets that are written into a stand-alone sheet, and so are not carried beside it.
_INLINED = {"bench-sheet.css", "cards.css", "certificate.css", "label.css"}

#: Nothing expensive is made twice while a site is served: a page depends on its frozen arguments alone.
MOST_KEPT = 10_000
_page_of = lru_cache(MOST_KEPT)(instrument_page)
_bench_of = lru_cache(MOST_KEPT)(bench_page)
_certificate_of = lru_cache(MOST_KEPT)(certificate_html)
_link_picture_of = lru_cache(MOST_KEPT)(link_picture)
_string_card_of = lru_cache(MOST_KEPT)(string_card_html)
_history_of = lru_cache(4)(history_page)


@dataclass(frozen=True, slots=True)
class Site:
    """Everything that is published: pages, assets, the shop's name, and the newest date in it.

    `handed_over` are the places of certificates whose bytes are fixed, wherever their link to the page leads by now.
    """

    edition: Edition
    shop: PublishedShop
    pages: tuple[Page, ...]
    assets: tuple[Asset, ...]
    newest_date: str | None
    handed_over: frozenset[str]

    def for_programs(self, page: Page) -> Markup:
        """What a page says of itself to programs, as HTML; in the shop edition, which nobody links to, nothing."""
        return for_programs(page, self.shop) if self.edition == "buyer" else Markup()


@dataclass(frozen=True, slots=True)
class _Told:
    """One instrument as a site tells of it: what is published of it, and what stands beside that.

    One that is not listed has its own page and papers, and nothing else in the site knows of it. Of one whose
    certificate is issued, what was issued or last amended is published; `certificate` is the file that was handed over.
    """

    source: Instrument
    published: Published
    beside: PublishedBeside
    is_listed: bool
    certificate: bytes | None = None


def site_of(prepared: Prepared, edition: Edition = "buyer", *, care: str = "", at: datetime | None = None) -> Site:
    """The whole site of a shop without errors, newest first. A buyer's has only what is finished and delivered.

    Every unlisted instrument must have its address by now (ValueError if not). `care` is the shop's own page on care,
    which instruments' pages lead to and care cards are printed from. `at` is the moment the bench board of the shop
    edition is for; without one it has none.
    """
    workshop = prepared.workshop
    if workshop.shop is None:
        raise ValueError("a shop whose file cannot be read has no site")
    shop, for_the_shop = publish_shop(workshop.shop, prepared.mark), edition == "shop"
    if any(each.lacks_address for each in workshop.instruments):
        raise ValueError("an unlisted instrument without an address has no page")
    told = _told(prepared, workshop.shop, edition)
    listed = [each.published for each in told if each.is_listed]
    marks = {each.published.serial: each.beside.visibility for each in told if each.beside.visibility != "public"}
    care_page = addresses.CARE if care.strip() else None
    covers = {each.published.serial: each.beside.photos[0] for each in told if each.beside.photos}
    stages = {each.published.serial: each.source.order.stage for each in told}
    pages = [
        home_page(listed, shop, marks, covers),
        instruments_page(listed, shop, marks, covers, stages if for_the_shop else None),
        methods_page(shop, SOURCES),
        *(_page_of(each.published, shop, each.beside, care=care_page, for_the_shop=for_the_shop) for each in told),
    ]
    notes = (workshop.private.notes if workshop.private else None) or ""
    rack = publish_rack(workshop, shop.unit)
    board = publish_bench_board(workshop, at) if for_the_shop and at else None
    in_the_shop = _for_the_bench(told, workshop.shop, shop, rack, board, care, notes) if for_the_shop else ([], [])
    bench_pages, papers = in_the_shop
    if for_the_shop:
        bench_pages.append(_history_of(publish_history(workshop), shop))
    pictures = [] if for_the_shop else _link_pictures(told, shop, prepared.assets)
    if for_the_shop:
        services = publish_services(workshop.instruments)
        bench_pages.append(repairs_page(publish_repairs(workshop.repairs), services, shop))
    assets = (
        *theme_assets(), *_certificates(told, shop, edition), *_string_cards(told, shop), *prepared.assets, *papers,
        *pictures,
    )  # fmt: skip
    days = (
        (each.published.finished, each.published.delivered, each.beside.changed_on) for each in told if each.is_listed
    )
    newest = max((day for each in days for day in each if day), default=None)
    handed_over = frozenset(addresses.certificate(each.published.address) for each in told if each.certificate)
    return Site(edition, shop, (*pages, *bench_pages), assets, newest, handed_over)


def _told(prepared: Prepared, shop: Shop, edition: Edition) -> list[_Told]:
    """The instruments that an edition tells of, newest first."""
    told = []
    for each in prepared.workshop.instruments:
        if edition == "shop" or each.record.is_for_buyers:
            standing, beside = prepared.issued.get(each.record.serial), prepared.beside[each.record.serial]
            published = standing.published if standing else publish(each, shop)
            is_listed = edition == "shop" or not each.record.is_unlisted
            told.append(_Told(each, published, beside, is_listed, standing.stored.certificate if standing else None))
    return sorted(told, key=lambda each: (each.published.finished or "", each.published.serial), reverse=True)


def _for_the_bench(
    told: list[_Told],
    shop: Shop,
    published_shop: PublishedShop,
    rack: Sequence[PublishedBillet],
    board: PublishedBenchBoard | None,
    care: str,
    notes: str,
) -> tuple[list[Page], list[Asset]]:
    """The bench page of each instrument, all of them in one list, and the papers of what is to be built."""
    pages, papers = [], []
    by_serial = sorted(told, key=lambda each: each.published.serial)
    benches = [publish_bench(each.source, shop) for each in by_serial]
    sources = [each.source for each in by_serial]
    published = {each.published.serial: each.published for each in told}
    orders = [order_of(each.source.private, each.source.record.dates, each.source.order) for each in by_serial]
    for each, bench, order in zip(by_serial, benches, orders, strict=True):
        made = [] if not bench.is_to_build else list(_papers(each.source, shop, care, published_shop.mark))
        papers += [asset for _, asset in made]
        pages.append(_bench_of(bench, _links(each, made), order, lineage_of(each.source, sources, published)))
    on_the_bench = [each.source for each, bench in zip(by_serial, benches, strict=True) if bench.is_to_build]
    pages.append(reference_page(publish_reference()))
    pages.append(rack_page(rack, published_shop))
    together = orders_of(each.source for each in told)
    pages.append(orders_page(list(zip(benches, orders, strict=True)), together, published_shop))
    index = bench_index_page(benches, publish_batch(on_the_bench, shop), published_shop, notes, board)
    return [*pages, index], papers


def _string_cards(told: Iterable[_Told], shop: PublishedShop) -> Iterator[Asset]:
    """The strings of each instrument on a card to print."""
    for each in told:
        instrument = each.published
        if instrument.strings is not None:
            content = _string_card_of(instrument, shop).encode()
            yield Asset(addresses.paper(instrument.address, f"{STRING_CARD}.html"), content)


def _link_pictures(told: list[_Told], shop: PublishedShop, photos: Iterable[Asset]) -> Iterator[Asset]:
    """What is shown beside links to the pages, of a site that has an address; the shop's with its newest board."""
    if not shop.site_address:
        return
    listed, by_path = [each for each in told if each.is_listed], {each.path: each for each in photos}
    newest = next((each.published.drawing for each in listed if each.published.drawing), None)
    yield Asset(addresses.LINK_PICTURE_OF_THE_SHOP, _link_picture_of(words_of_shop(shop), newest))
    for each in listed:
        instrument, cover = each.published, None
        if each.beside.photos:
            first = each.beside.photos[0]
            width_px, _ = size_to_fill(first, COVER_PX, HEIGHT_PX)
            cover = by_path[addresses.photo(instrument.address, first.number, width_px)].read()
        content = _link_picture_of(words_of_instrument(instrument, shop), instrument.drawing, cover)
        yield Asset(addresses.link_picture(instrument.address, with_photo=cover is not None), content)


def _papers(instrument: Instrument, shop: Shop, care: str, mark: PublishedMark | None) -> Iterator[tuple[str, Asset]]:
    """Every paper of an instrument that its record says enough for, besides certificate and string card."""
    papers, paper = publish_papers(instrument, shop, care=care, mark=mark), paper_for(shop.unit)
    for kind in KINDS.values():
        if kind.name in (CERTIFICATE, STRING_CARD):
            continue
        try:
            content = kind.make(papers, paper)
        except CannotBePrinted:
            continue
        yield kind.name, Asset(addresses.paper(instrument.address, f"{kind.name}.{kind.ending}"), content)


def _links(told: _Told, made: Iterable[tuple[str, Asset]]) -> tuple[PaperLink, ...]:
    """Every kind of paper for the bench page of one instrument: where it is, or how it is made."""
    instrument, places = told.published, {name: asset.path for name, asset in made}
    if told.certificate or instrument.finished:
        places[CERTIFICATE] = addresses.certificate(instrument.address)
    if instrument.strings is not None:
        places[STRING_CARD] = addresses.paper(instrument.address, f"{STRING_CARD}.html")
    return tuple(
        PaperLink(kind.title, places.get(kind.name), f"boutbook sheet {instrument.serial} {kind.name}")
        for kind in KINDS.values()
    )


def _certificates(told: Iterable[_Told], shop: PublishedShop, edition: Edition) -> Iterator[Asset]:
    """Certificates as they were issued; for the shop, drafts of those that may be issued too."""
    for each in told:
        place = addresses.certificate(each.published.address)
        if each.certificate:
            yield Asset(place, each.certificate)
        elif edition == "shop" and each.published.finished:
            yield Asset(place, _certificate_of(each.published, shop).encode())


def theme_assets() -> Iterator[Asset]:
    """Style sheets, typefaces, scripts and pictures of the theme."""
    for folder, pattern in _CARRIED.items():
        for file in sorted((theme_folder() / folder).glob(pattern)):
            if file.name not in _INLINED:
                inside = "" if folder in ("css", "js") else f"{folder}/"
                yield Asset(f"{addresses.THEME}/{inside}{file.name}", file)


def problems_with_prose(site: Site, prose: tuple[Prose, ...]) -> tuple[Problem, ...]:
    """What of the shop's own pages does not go together with the rest of the site."""
    return (*_taken_addresses(site, prose), *_told_addresses(site, prose))


def _told_addresses(site: Site, prose: tuple[Prose, ...]) -> Iterator[Problem]:
    """The address of an unlisted instrument, in prose or in words that a record has for everybody."""
    in_prose = "this is the address of an unlisted instrument, and everybody reads it here"
    hidden = {page.path: PurePosixPath(page.path).stem for page in site.pages if not page.findable}
    for address in hidden.values():
        for each in prose:
            before, found, _ = each.text.partition(address)
            if found and not each.is_draft:
                line, column = each.lines_above + before.count("\n") + 1, len(before) - before.rfind("\n")
                yield Problem("address-told", f"records/pages/{each.path}", line, column, in_prose, "take it out")
        others = (page for page in site.pages if page.path not in hidden)
        telling = next((page for page in others if any(address in section.html for section in page.sections)), None)
        if telling is not None:
            message = f"the address of an unlisted instrument would stand on {telling.path}, where everybody reads it"
            yield Problem("address-told", "records", 0, 0, message, "take it out of the words that page is made from")


def _taken_addresses(site: Site, prose: tuple[Prose, ...]) -> tuple[Problem, ...]:
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
