"""The page of one instrument: what a buyer enjoys first, then what a player asks, then the numbers and the sources."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from markupsafe import Markup

from builder import addresses
from builder.drawings.fretboard import fretboard_svg
from builder.drawings.rosette import rosette_in_words, rosette_svg
from builder.pages.cards import chief_woods, frets_in_words, scale_of, square_in_words
from builder.pages.figures import body_picture, figures_section
from builder.pages.link_words import picture_of_instrument
from builder.pages.photographs import gallery_section, photograph
from builder.pages.recordings import recordings_section
from builder.pages.structured_data import structured_data
from builder.plots.rule_costs import rule_costs_svg
from builder.plots.temperament import temperament_svg
from builder.published import Measure, Published, PublishedEvent, PublishedFrets, PublishedRule, PublishedShop, Subject
from builder.published.beside import PublishedBeside
from builder.seam import Page, Section
from builder.sheets.page_code import page_address
from builder.templates import fixed, section
from builder.words import in_a_row


@dataclass(frozen=True, slots=True)
class Fact:
    """One line of the specification: a measure, words, or both."""

    name: str
    words: str = ""
    measure: Measure | None = None


NOTHING_BESIDE = PublishedBeside()


def instrument_page(
    instrument: Published,
    shop: PublishedShop,
    beside: PublishedBeside = NOTHING_BESIDE,
    *,
    care: str | None = None,
    for_the_shop: bool = False,
) -> Page:
    """The page of one instrument; in the shop edition it leads on to its figures for the bench.

    `care` is the address of the shop's own page on care, where it has one. In the shop edition a page can be found
    whoever else may see it; in the buyer's an unlisted one is found by its address alone.
    """
    description = _description(instrument, shop)
    is_findable = for_the_shop or beside.visibility == "public"
    return Page(
        path=addresses.instrument_page(instrument.address),
        title=instrument.title,
        description=description,
        sections=tuple(_sections(instrument, shop, beside, care, for_the_shop=for_the_shop)),
        search_text=_search_text(instrument),
        listed=False,
        date=max(filter(None, (instrument.finished, beside.changed_on)), default=None),
        findable=is_findable,
        structured_data=structured_data(instrument, shop, description, beside.photos) if is_findable else "",
        picture=picture_of_instrument(instrument, shop, beside.photos[0] if beside.photos else None),
    )


def _description(instrument: Published, shop: PublishedShop) -> str:
    """One sentence: `Heron (D-1), a mountain dulcimer in red spruce and black walnut, made by …, 2026.`"""
    woods = chief_woods(instrument)[:2]
    named = f"{instrument.name} ({instrument.serial})" if instrument.name else f"No. {instrument.serial}"
    parts = [
        f"{named}, {_article(instrument.kind)} {instrument.kind}{f' in {in_a_row(woods)}' if woods else ''}",
        f"made by {instrument.made_by}" + (f" at {shop.name}" if shop.name != instrument.made_by else ""),
        *([str(instrument.year)] if instrument.year else []),
    ]
    return ", ".join(parts) + "."


def _article(noun: str) -> str:
    """`an octave mandolin`, but `a ukulele`."""
    return "an" if noun[:1].lower() in "aeio" else "a"


def _search_text(instrument: Published) -> str:
    scale, strings = scale_of(instrument), instrument.strings
    words = [instrument.title, instrument.serial, instrument.kind, instrument.made_by]
    words += [instrument.batch] if instrument.batch else []
    words += [*chief_woods(instrument), *([scale.said, scale.also] if scale else [])]
    words += [wood.botanical for wood in instrument.woods if wood.botanical]
    words += [instrument.finish.product or instrument.finish.schedule] if instrument.finish else []
    words += [" ".join(tuning.notes) for tuning in strings.tunings] if strings else []
    return ", ".join(dict.fromkeys(words))


def _sections(
    instrument: Published, shop: PublishedShop, beside: PublishedBeside, care: str | None, *, for_the_shop: bool
) -> Iterator[Section]:
    """Its sections in the order of the page, each only if there is something to show."""
    page = addresses.instrument_page(instrument.address)
    link = partial(addresses.from_page, page)
    cover, others = beside.photos[:1], beside.photos[1:]
    methods = link(addresses.METHODS)
    is_draft = for_the_shop and bool(instrument.finished) and beside.issue is None
    certificate = link(addresses.certificate(instrument.address)) if beside.issue or is_draft else None
    yield section(
        "", "", "pages/instrument/lead.html",
        instrument=instrument, shop=shop, board=_board(instrument, "lead", labels=False),
        photo=photograph(cover[0], instrument.address, page) if cover else None,
        facts=tuple(_facts_in_brief(instrument)), certificate=certificate, issue=beside.issue,
        visibility=beside.visibility,
        address=page_address(instrument.address, shop) or addresses.instrument_page(instrument.address),
        bench=link(addresses.bench_page(instrument.serial)) if for_the_shop else None,
    )  # fmt: skip
    if instrument.story:
        yield section("story", "Its story", "pages/prose.html", words=instrument.story)
    if beside.recordings:
        yield recordings_section(beside.recordings, instrument.address, page)
    if others:
        yield gallery_section(others, instrument.address, page)
    yield from _as_built(instrument, beside)
    yield from _of_the_board(instrument, methods)
    yield from _of_the_strings(instrument, link(addresses.paper(instrument.address, "string-card.html")))
    yield from _of_the_making(instrument, methods)
    if certificate:
        yield section(
            "certificate", "Certificate and amendments" if beside.issue else "Certificate",
            "pages/instrument/certificate.html",
            instrument=instrument, issue=beside.issue, certificate=certificate, for_the_shop=for_the_shop,
            visibility=beside.visibility,
            rosette=rosette_svg(beside.issue.fingerprint, name="certificate") if beside.issue else None,
            rosette_words=rosette_in_words(beside.issue.fingerprint) if beside.issue else "",
            compare=link(addresses.COMPARE),
        )  # fmt: skip
    yield from _for_whoever_has_it(instrument, shop, beside, link(care) if care else None)
    known = {source.key for source in instrument.sources}
    if sources := (*instrument.sources, *(each for each in beside.sources if each.key not in known)):
        yield section("sources", "Sources", "pages/instrument/sources.html", sources=sources, methods=methods)


def _as_built(instrument: Published, beside: PublishedBeside) -> Iterator[Section]:
    """What it is: measures, body, hardware, finish, woods."""
    finish = instrument.finish
    if facts := tuple(_specification(instrument)):
        yield section("specification", "Specification", "pages/instrument/specification.html", facts=facts)
    yield from _subject(instrument, "body")
    if instrument.hardware or finish:
        yield section(
            "hardware-and-finish", "Hardware and finish", "pages/instrument/hardware-and-finish.html",
            hardware=instrument.hardware, finish=finish,
        )  # fmt: skip
    if instrument.woods:
        link = partial(addresses.from_page, addresses.instrument_page(instrument.address))
        sisters = tuple((each, link(addresses.instrument_page(each.address))) for each in beside.sisters)
        yield section(
            "woods", "Woods", "pages/instrument/woods.html", woods=instrument.woods, sisters=sisters
        )  # fmt: skip


def _of_the_board(instrument: Published, methods: str) -> Iterator[Section]:
    """The fretboard: drawing, chart, temperament, and what it asks of a hand."""
    frets = instrument.frets
    if board := _board(instrument, "large", labels=True):
        yield section(
            "fretboard", "Fretboard", "pages/instrument/fretboard.html",
            board=board, particulars=tuple(_of_the_drawing(instrument)),
        )  # fmt: skip
    if frets:
        yield section(
            "frets", "Where the frets are", "pages/instrument/frets.html",
            frets=frets, working=_working_rule(frets), methods=methods,
            scale=scale_of(instrument), square=square_in_words(instrument), lines=_lines_of(frets),
            beyond=tuple(_beyond_tolerance(frets)),
        )  # fmt: skip
        if frets.tuning:
            yield section(
                "tuning", "How it is tempered", "pages/instrument/tuning.html",
                frets=frets, methods=methods, plot=temperament_svg(frets, name=instrument.serial),
            )  # fmt: skip
    if instrument.reach:
        yield section("reach", "Reach", "pages/instrument/reach.html", reach=instrument.reach)


def _of_the_strings(instrument: Published, card: str) -> Iterator[Section]:
    """Tunings with their notes, strings to buy, what they pull, and how far it is from nut to saddle."""
    strings = instrument.strings
    if strings and strings.tunings:
        yield section(
            "notes", "Tunings and notes", "pages/instrument/notes.html", strings=strings,
            board=_board(instrument, "notes", labels=True, notes=True),
        )  # fmt: skip
    if strings:
        gauges = any(string.gauge_thousandths for course in strings.courses for string in course.strings)
        yield section(
            "strings", "Strings to buy" if gauges else "Strings", "pages/instrument/strings.html",
            strings=strings, spacing=instrument.spacing, card=card,
        )  # fmt: skip
    yield from _subject(instrument, "string-pull")
    yield from _subject(instrument, "setback")


def _of_the_making(instrument: Published, methods: str) -> Iterator[Section]:
    """How it was built, how it measures, and what the marks of a rule would have cost."""
    frets = instrument.frets
    if instrument.build_log:
        yield section(
            "how-it-was-built", "How it was built", "pages/instrument/how-it-was-built.html",
            days=tuple(_by_day(instrument.build_log)),
        )  # fmt: skip
    yield from _subject(instrument, "as-built")
    if frets:
        yield section(
            "rules", "What each rule would cost", "pages/instrument/rules.html",
            frets=frets, working=_working_rule(frets), methods=methods,
            plot=rule_costs_svg(frets, name=instrument.serial),
        )  # fmt: skip


def _for_whoever_has_it(
    instrument: Published, shop: PublishedShop, beside: PublishedBeside, care: str | None
) -> Iterator[Section]:
    """What whoever owns, keeps or mends it will look for later."""
    yield from _subject(instrument, "seasons")
    if care:
        yield section("care", "Care", "pages/instrument/care.html", care=care)
    yield from _subject(instrument, "repair")
    if beside.travel:
        yield figures_section(Subject("travel", "Papers for travel", beside.travel))
    if beside.service:
        yield section("service", "Since it was handed over", "pages/instrument/service.html", service=beside.service)
    if shop.warranty:
        yield section("warranty", "Warranty", "pages/prose.html", words=shop.warranty)
    if shop.next_owner:
        yield section("next-owner", "If it has passed to you", "pages/prose.html", words=shop.next_owner)
    if shop.email or shop.telephone or shop.website:
        yield section("contact", "Ask the maker", "pages/contact.html", shop=shop)


def _working_rule(frets: PublishedFrets) -> PublishedRule:
    return next((rule for rule in frets.rules if rule.is_working_rule), frets.rules[0])


def _subject(instrument: Published, key: str) -> Iterator[Section]:
    """The figures of one subject, where there are any; the body with its drawing."""
    for subject in instrument.subjects:
        if subject.key == key:
            picture = body_picture(instrument.body_drawing, f"{instrument.serial}-body") if key == "body" else None
            yield figures_section(subject, picture)


def _board(instrument: Published, place: str, *, labels: bool, notes: bool = False) -> Markup | None:
    if instrument.drawing is None or (notes and not instrument.drawing.notes):
        return None
    return fretboard_svg(instrument.drawing, name=f"{instrument.serial}-{place}", labels=labels, notes=notes)


def _facts_in_brief(instrument: Published) -> Iterator[Fact]:
    if scale := scale_of(instrument):
        yield Fact("Scale length", square_in_words(instrument), scale)
    if frets := frets_in_words(instrument):
        yield Fact("Frets", frets)
    if instrument.strings and instrument.strings.tunings:
        yield Fact("Tuned", " ".join(instrument.strings.tunings[0].notes))
    elif instrument.strings:
        yield Fact("Strung", " ".join(course.strings[0].note for course in instrument.strings.courses))
    if woods := chief_woods(instrument):
        yield Fact("Woods", in_a_row(woods[:3]))


def _specification(instrument: Published) -> Iterator[Fact]:
    frets, board = instrument.frets, instrument.fretboard
    if instrument.scale_length:
        yield Fact("Scale length", measure=instrument.scale_length)
    if multi := instrument.multi_scale:
        yield Fact("Scale length, bass", measure=multi.bass)
        yield Fact("Scale length, treble", measure=multi.treble)
        yield Fact("Square to the board", "the nut" if multi.square_at == "0" else f"fret {multi.square_at}")
        if multi.greatest_lean_degrees is not None:
            yield Fact("Greatest lean of a fret", f"{fixed(multi.greatest_lean_degrees, 1)}°")
    if frets:
        yield Fact("Frets", frets_in_words(instrument))
        yield Fact("Number of frets", f"{frets.count}{' and a zero fret' if frets.zero_fret else ''}")
        yield Fact("Temperament", frets.temperament)
        for name, courses in frets.partial:
            yield Fact(f"Fret {name}", _under(courses))
        if frets.wire:
            yield Fact("Fret wire", ", ".join(filter(None, (frets.wire.name, frets.wire.material))))
            yield from _measures(
                ("Crown width", frets.wire.crown_width),
                ("Crown height", frets.wire.crown_height),
            )
    if board:
        yield from _measures(
            ("Fretboard length", board.length),
            ("Fretboard thickness", board.thickness),
            ("Width at the nut", board.width_at_nut),
            ("Width at the end", board.width_at_end),
        )
        if board.radius:
            yield Fact("Fretboard radius", board.radius)
        if board.markers:
            yield Fact("Markers", f"at fret{'s' if len(board.markers) > 1 else ''} {in_a_row(board.markers)}")


def _under(courses: tuple[int, ...]) -> str:
    """`under courses 2 and 3`, counted from the bass."""
    return f"under course{'s' if len(courses) > 1 else ''} {in_a_row([str(number) for number in courses])}"


def _of_the_drawing(instrument: Published) -> Iterator[str]:
    """What there is to see on the drawing besides frets from edge to edge, a sentence each."""
    drawing, frets, strings = instrument.drawing, instrument.frets, instrument.strings
    if drawing is None or frets is None:
        return
    yield "Drawn to scale, nut at the left, bass at the bottom; frets are drawn a little thicker than they are."
    if any(fret.is_half for fret in drawing.frets):
        yield "Half frets are broken lines, with their numbers above the board."
    partial = {fret.name for fret in drawing.frets if fret.is_partial}
    for name, courses in frets.partial:
        if name in partial:
            yield f"Fret {name} lies {_under(courses)} only, counted from the bass."
    if drawing.zero_fret:
        yield "The line beside the nut is a zero fret, which the open strings lie on."
    starts = [course.starts_at for course in strings.courses if course.starts_at] if strings else []
    if starts and drawing.strings:
        yield f"The short string starts at a nut of its own at fret {in_a_row(starts)}."
    if not drawing.length_is_known:
        yield "The end is drawn broken, for its length is not recorded."


def _measures(*named: tuple[str, Measure | None]) -> Iterator[Fact]:
    return (Fact(name, measure=measure) for name, measure in named if measure)


def _by_day(build_log: tuple[PublishedEvent, ...]) -> Iterator[tuple[str, tuple[PublishedEvent, ...]]]:
    for date, events in groupby(build_log, key=lambda event: event.date):
        yield date, tuple(events)


def _lines_of(frets: PublishedFrets) -> tuple[tuple[str, int], ...]:
    """The lines of a multi-scale board that the chart has columns for, and how many; none for a board of one scale."""
    keys = [column.key for column in frets.table.columns]
    along = frets.measured_along.removeprefix("the ").removesuffix("s")
    counts = ((side, sum(key.startswith(f"{side}_") for key in keys)) for side in ("bass", "treble"))
    return tuple((f"{side} {along}", count) for side, count in counts if count)


def _beyond_tolerance(frets: PublishedFrets) -> Iterator[str]:
    """Frets whose mark on the working rule lies further off than the shop allows itself, at either end."""
    cents = [place for place, column in enumerate(frets.table.columns) if column.key.endswith("cents")]
    for row in frets.table.rows:
        if any(abs(float(row[place])) > frets.tolerance_cents for place in cents):
            yield str(row[0])
