"""The certificate a buyer frames: one sheet of paper, A4 or US Letter, that needs nothing but itself.

The sheet is 210 × 279 mm, so that it fits both papers. It never grows: type sizes step down with the amount of text,
and where the smallest would not do, the longest list is cut and says how many more stand on the instrument's page.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from markupsafe import Markup, escape

from builder import addresses
from builder.drawings.fretboard import fretboard_svg
from builder.drawings.rosette import rosette_in_words, rosette_svg
from builder.published import (
    Figure,
    Measure,
    Published,
    PublishedCourse,
    PublishedDrawing,
    PublishedFrets,
    PublishedShop,
    PublishedString,
    PublishedWood,
)
from builder.sheets.inlined import buyer_faces, style_sheet
from builder.sheets.lettering import LINE_HEIGHT, MM_PER_POINT, height_mm
from builder.sheets.page_code import page_address, page_code
from builder.templates import day_in_words, fixed, render

#: What the style sheet gives: height within the border, width of a line across the sheet, of a column, of a signature.
_HEIGHT_MM, _WIDTH_MM, _COLUMN_MM, _SIGNATURE_MM = 235.0, 158.0, 75.0, 58.0
#: Flourish and the word above the title, the least gaps between the parts, signatures with the seal between them.
_ORNAMENT_MM, _GAPS_MM, _SIGNATURES_MM = 18.0, 15.0, 19.0
_HIGHEST_DRAWING_MM, _HIGHEST_HEAD_MM = 20.0, 52.0
#: Width of the code of the page's address, white margin included; a long address may need a larger one.
_CODE_MM = 24.0
#: The rosette between the signatures, and what stands below it beside the code; its words are set smaller.
_ROSETTE_MM, _PROOF_GAP_MM, _LINE_POINTS, _WORDS_POINTS = 31.0, 4.0, 8.5, 7.5


@dataclass(frozen=True, slots=True)
class _HeadSizes:
    """Type sizes of the head in points, under the name of their class in the style sheet."""

    step: str
    shop: float
    place: float
    title: float
    kind: float
    maker: float


_HEAD_STEPS = (
    _HeadSizes("head-large", 17, 11, 42, 13, 12),
    _HeadSizes("head-middle", 17, 11, 32, 13, 12),
    _HeadSizes("head-small", 15, 10, 24, 11.5, 11),
    _HeadSizes("head-least", 12, 9, 18, 10, 10),
)
#: Sizes of the particulars in points, largest first.
_TEXT_STEPS = (
    ("text-large", 11.0),
    ("text-middle", 9.8),
    ("text-small", 8.8),
    ("text-smaller", 8.0),
    ("text-least", 7.2),
)

#: Of how many strings, and of how many tunings, the sheet says more than their number.
_MOST_STRINGS, _MOST_TUNINGS = 12, 6
#: Of how many frets it says how high the strings lie.
_MOST_ACTIONS = 3
_ALIKE = {2: "pair", 3: "three alike"}
#: A fraction as rules are divided, to be set as one sign.
_FRACTION = re.compile(r"(?<![\d/])\d{1,2}/(?:2|4|8|16|32|64)(?![\d/])")
#: So few particulars look better in one column in the middle.
_FEW = 4
_MEASURE = "Measure and strings"
#: The subject that tells how the finished instrument measures.
_AS_BUILT = "as-built"
_NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class Particular:
    """One thing the certificate says: what about, and in which words. `latin` is set in italics."""

    label: str
    text: str
    latin: str = ""
    after: str = ""

    @property
    def whole(self) -> str:
        """Everything it says, to count its letters."""
        return f"{self.label} {self.text} {self.latin} {self.after}"

    @property
    def with_fractions(self) -> Markup:
        """The text, its fractions marked to be set as one sign: Vollkorn makes a 27/64 as good as a ½."""
        return Markup(_FRACTION.sub(r'<span class="fraction">\g<0></span>', str(escape(self.text))))


@dataclass(frozen=True, slots=True)
class Particulars:
    """A group of them under one heading; `left_out` counts those that did not fit."""

    title: str
    lines: tuple[Particular, ...]
    left_out: int = 0


def certificate_html(
    instrument: Published, shop: PublishedShop, *, fingerprint: str = "", number: str = "", issued: str = ""
) -> str:
    """The certificate of one instrument as a page of its own, typefaces, drawing and code within it.

    Number, day (ISO) and fingerprint are those of a certificate once issued; they stand at the foot, with the rosette
    of the fingerprint for a seal, and its words. Without one it is a draft, whose seal is that of all drafts.
    """
    page = addresses.instrument_page(instrument.address)
    title = instrument.name or _capital(instrument.kind)
    web_address = page_address(instrument.address, shop)
    code = page_code(web_address) if web_address else None
    code_mm = max(_CODE_MM, code.least_mm) if code else 0.0
    foot_lines = tuple(
        filter(
            None,
            (
                web_address or f"Serial number {instrument.serial}",
                f"Certificate {number}, issued {day_in_words(issued)}" if issued else "",
                f"Fingerprint {fingerprint}" if fingerprint else "",
            ),
        )
    )
    words = rosette_in_words(fingerprint) if fingerprint else ""
    sizes, head_mm = _head(instrument, shop, title)
    drawing = instrument.drawing
    room_mm = (
        _HEIGHT_MM
        - head_mm
        - (_sealed_foot_mm(foot_lines, words, code_mm) if words else _foot_mm(instrument.made_by, foot_lines, code_mm))
        - _GAPS_MM
        - (_drawing_mm(drawing) if drawing else 0.0)
    )
    text_step, groups = _fitted(instrument, shop, room_mm)
    return str(
        render(
            "sheets/certificate.html",
            instrument=instrument,
            shop=shop,
            title=title,
            steps=f"{sizes.step} {text_step}",
            groups=groups,
            are_few=sum(len(group.lines) + 2 * group.left_out for group in groups) <= _FEW,
            drawing=fretboard_svg(drawing, name=f"certificate-{instrument.serial}", labels=False) if drawing else None,
            code=code,
            code_mm=code_mm,
            rosette=rosette_svg(fingerprint, name="seal") if fingerprint else None,
            rosette_words=words,
            foot_lines=foot_lines,
            is_draft=not fingerprint,
            back=addresses.from_page(addresses.certificate(instrument.address), page),
            faces=buyer_faces(),
            style=style_sheet("certificate.css"),
        )
    )


def _groups(instrument: Published, shop: PublishedShop, *, origins: bool) -> tuple[Particulars, ...]:
    """What there is to say, in the order a buyer would ask; a group with nothing in it is not there."""
    groups = (
        Particulars(_MEASURE, tuple(_measure_and_strings(instrument, shop))),
        Particulars("How it measures", tuple(_as_built(instrument))),
        Particulars("Woods", tuple(_wood(wood, origins) for wood in instrument.woods)),
        Particulars("Fittings and finish", tuple(_fittings_and_finish(instrument))),
    )
    return tuple(group for group in groups if group.lines)


def _measure_and_strings(instrument: Published, shop: PublishedShop) -> Iterable[Particular]:
    if instrument.scale_length:
        yield Particular("Scale length", _both(instrument.scale_length))
    if instrument.multi_scale:
        bass, treble = _both(instrument.multi_scale.bass), _both(instrument.multi_scale.treble)
        square_at = instrument.multi_scale.square_at
        square = "the nut" if square_at == "0" else f"fret {square_at}"
        yield Particular("Scale lengths", f"bass {bass}, treble {treble}, square at {square}")
    if instrument.frets:
        yield Particular("Frets", _frets(instrument.frets))
    if instrument.fretboard and instrument.fretboard.width_at_nut:
        yield Particular("Width at the nut", _both(instrument.fretboard.width_at_nut))
    strings = instrument.strings
    if strings and strings.courses:
        yield Particular("Strings", _listed([_course(each, shop) for each in strings.courses], _MOST_STRINGS, "; "))
    if strings and strings.tunings:
        tunings = [_NO_BREAK.join(tuning.notes) for tuning in strings.tunings]
        yield Particular("Tuned", _listed(tunings, _MOST_TUNINGS, " or "))


def _as_built(instrument: Published) -> Iterable[Particular]:
    """What was measured on the finished instrument, chosen briefly: the worst fret, the action, the weight."""
    facts = next((each.figures.facts for each in instrument.subjects if each.key == _AS_BUILT), ())
    worst = next((fact for fact in facts if fact.key == "worst_fret"), None)
    if worst:
        yield Particular(worst.title, worst.said)
    action = [
        f"{_measured(fact)} {fact.title.removeprefix('String ')}" for fact in facts if fact.key.startswith("action_")
    ]
    if action:
        yield Particular("Strings lie", _listed(action, _MOST_ACTIONS, ", "))
    weight = next((fact for fact in facts if fact.key == "weight"), None)
    if weight:
        yield Particular(weight.title, _measured(weight))


def _measured(fact: Figure) -> str:
    return f"{fact.said} ({fact.also})" if fact.also else fact.said


def _both(measure: Measure) -> str:
    return f"{measure.said} ({measure.also})"


def _frets(frets: PublishedFrets) -> str:
    with_added = f", with {', '.join(frets.added)}" if frets.added else ""
    tempered = f"; {frets.temperament}" if frets.temperament != "equal" else ""
    zero = " and a zero fret" if frets.zero_fret else ""
    return f"{frets.count}{zero}, {frets.layout}{with_added}{tempered}"


def _course(course: PublishedCourse, shop: PublishedShop) -> str:
    """`D3 0.022 in wound`, `G3 … with G4 …`; a string whose gauge is not said is its note alone."""
    first, *others = course.strings
    said = _string(first, shop)
    if not course.are_alike:
        said = " with ".join([said, *(_string(other, shop) for other in others)])
    elif len(course.strings) in _ALIKE:
        said = f"{said} ({_ALIKE[len(course.strings)]})"
    return f"{said} from fret {course.starts_at}" if course.starts_at else said


def _string(string: PublishedString, shop: PublishedShop) -> str:
    if string.gauge_thousandths is None or string.diameter_mm is None:
        return string.note
    decimals = 3 if string.gauge_thousandths.is_integer() else 4
    inches = f"{fixed(string.gauge_thousandths / 1000, decimals)} in"
    gauge = inches if shop.unit == "in" else f"{fixed(string.diameter_mm, 2)} mm"
    return f"{string.note} {gauge} {string.make}".replace(" ", _NO_BREAK, 2)


def _listed(texts: list[str], most: int, between: str) -> str:
    shown = between.join(texts[:most])
    return f"{shown} and {len(texts) - most} more" if len(texts) > most else shown


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _wood(wood: PublishedWood, origins: bool) -> Particular:
    cut = f", {wood.cut}" if wood.cut else ""
    origin = f" · {wood.origin}" if origins and wood.origin else ""
    return Particular(_capital(wood.part), wood.species, wood.botanical or "", f"{cut}{origin}")


def _fittings_and_finish(instrument: Published) -> Iterable[Particular]:
    finish = instrument.finish
    if finish:
        coats = f"{finish.coats} coats" if finish.coats and finish.coats > 1 else None
        yield Particular("Finish", ", ".join(filter(None, (finish.product or finish.schedule, coats))))
    for part, words in instrument.hardware:
        yield Particular(_capital(part), words)


def _fitted(instrument: Published, shop: PublishedShop, room_mm: float) -> tuple[str, tuple[Particulars, ...]]:
    """The largest type in which everything fits; in the smallest, first the woods' origins go, then ends of lists."""
    groups = _groups(instrument, shop, origins=True)
    for step, points in _TEXT_STEPS:
        if _groups_mm(groups, points) <= room_mm:
            return step, groups
    groups = _groups(instrument, shop, origins=False)
    while _groups_mm(groups, points) > room_mm and any(group.lines for group in groups):
        longest = max(filter(lambda group: group.lines, groups), key=_may_be_cut)
        cut = replace(longest, lines=longest.lines[:-1], left_out=longest.left_out + 1)
        groups = tuple(cut if group is longest else group for group in groups)
    return step, groups


def _may_be_cut(group: Particulars) -> tuple[bool, int]:
    """Long lists first; measure and strings last, for they tell one instrument from another."""
    return group.title != _MEASURE, len(group.lines)


def _head(instrument: Published, shop: PublishedShop, title: str) -> tuple[_HeadSizes, float]:
    """The largest type in which the head keeps to its part of the sheet, and its height."""
    for sizes in _HEAD_STEPS:
        head_mm = _head_mm(instrument, shop, title, sizes)
        if head_mm <= _HIGHEST_HEAD_MM:
            break
    return sizes, head_mm + _ORNAMENT_MM


def _head_mm(instrument: Published, shop: PublishedShop, title: str, sizes: _HeadSizes) -> float:
    dates = "finished 30 September 2026, handed over 30 September 2026"
    return (
        height_mm(shop.name, sizes.shop, _WIDTH_MM)
        + height_mm(shop.place or "", sizes.place, _WIDTH_MM)
        + height_mm(title, sizes.title, _WIDTH_MM)
        + height_mm(f"{instrument.kind}, number {instrument.serial}", sizes.kind, _WIDTH_MM)
        + height_mm(f"Made by {instrument.made_by}", sizes.maker, _WIDTH_MM)
        + height_mm(dates, sizes.maker, _WIDTH_MM)
    )


def _foot_mm(maker: str, lines: tuple[str, ...], code_mm: float) -> float:
    signed_mm = _SIGNATURES_MM + height_mm(maker, 8.5, _SIGNATURE_MM)
    return max(signed_mm, code_mm) + 4.0 + sum(height_mm(line, 8.5, _WIDTH_MM) for line in lines)


def _sealed_foot_mm(lines: tuple[str, ...], words: str, code_mm: float) -> float:
    """The signatures with the rosette between them, and below it the code beside address, fingerprint and words."""
    width_mm = _WIDTH_MM - (code_mm + _PROOF_GAP_MM if code_mm else 0.0)
    text_mm = sum(height_mm(line, _LINE_POINTS, width_mm) for line in lines) + height_mm(words, _WORDS_POINTS, width_mm)
    return _ROSETTE_MM + _PROOF_GAP_MM + max(code_mm, text_mm + 1.0)


def _drawing_mm(drawing: PublishedDrawing) -> float:
    widest_mm = max(drawing.width_at_nut_mm, drawing.width_at_end_mm)
    return min(_HIGHEST_DRAWING_MM, _WIDTH_MM * (widest_mm + 4.0) / drawing.length_mm)


def _groups_mm(groups: tuple[Particulars, ...], points: float) -> float:
    """Height of the particulars in two columns. None is broken but in the smallest type, so half the highest may stay
    empty below a column."""
    line_mm = points * MM_PER_POINT * LINE_HEIGHT
    texts = [height_mm(line.whole, points, _COLUMN_MM) + 0.2 * line_mm for group in groups for line in group.lines]
    headings = sum(2.1 + 1.2 * bool(group.left_out) for group in groups) * line_mm
    unbroken_mm = 0.0 if points == _TEXT_STEPS[-1][1] else max(texts, default=0.0)
    return (sum(texts) + headings + unbroken_mm) / 2 + 1.5 * line_mm
