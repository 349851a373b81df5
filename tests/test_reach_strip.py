"""Reach strips, read back from the PDF: every line at its true place, whole shapes on a sheet, none off the paper."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject

from builder.calculations.answers import Missing
from builder.calculations.frets import FretNumber
from builder.calculations.reach import read_shape
from builder.lengths import Length, read_length
from builder.publish.reach_strip import reach_strip_of
from builder.published import Measure
from builder.published.reach_strip import PublishedReachStrip
from builder.record import FretSpec, MultiScale, ReachSpec, Spec
from builder.results import work_out
from builder.results.reach_strip import ReachStripResults, work_out_reach_strip
from builder.sheets.paper import CannotBePrinted, Paper
from builder.sheets.reach_strip import reach_strip_pdf, room_mm, sheets_of
from tests.certificate_samples import SHOP as PUBLISHED_SHOP
from tests.certificate_samples import USUAL
from tests.test_results import SHOP

#: A thousandth of an inch.
WITHIN_MM = 0.0254
STRIP_MM = 20.0
#: ISO 216 (A4) and ANSI/ASME Y14.1 (size A), laid on their side, millimetres.
PAPERS: dict[Paper, tuple[float, float]] = {"a4": (297.0, 210.0), "letter": (11 * 25.4, 8.5 * 25.4)}


@dataclass(frozen=True, slots=True)
class LineOnPaper:
    """A straight line on the page, millimetres from its lower left corner."""

    x: float
    y: float
    to_x: float
    to_y: float


def lines_on(page: Any, pdf: PdfReader) -> Iterator[LineOnPaper]:
    """Every straight piece that is stroked, where nothing turns or moves the page."""
    mm = 25.4 / 72
    first = at = (0.0, 0.0)
    for operands, operator in ContentStream(page.get_contents(), pdf).operations:
        if operator == b"cm":
            # The pen turns the page for upright words only, and those hold no lines.
            continue
        if operator == b"m":
            first = at = (float(operands[0]), float(operands[1]))
        elif operator == b"l":
            to = (float(operands[0]), float(operands[1]))
            yield LineOnPaper(at[0] * mm, at[1] * mm, to[0] * mm, to[1] * mm)
            at = to
        elif operator == b"h":
            yield LineOnPaper(at[0] * mm, at[1] * mm, first[0] * mm, first[1] * mm)


def strips_on(page: Any, pdf: PdfReader) -> list[list[float]]:
    """Places of the upright lines of each strip, from the top of the sheet down, each from its own left edge."""
    upright = [
        line for line in lines_on(page, pdf)
        if abs(line.to_x - line.x) < 1e-6 and abs(abs(line.to_y - line.y) - STRIP_MM) < 1e-4
    ]  # fmt: skip
    lows = sorted({round(min(line.y, line.to_y), 2) for line in upright}, reverse=True)
    return [sorted(line.x for line in upright if abs(min(line.y, line.to_y) - low) < 0.02) for low in lows]


def strip_of(spec: Spec) -> PublishedReachStrip:
    results, findings = work_out_reach_strip(spec, work_out(spec, SHOP).frets)
    assert not findings
    published = reach_strip_of(results, spec, SHOP.unit)
    assert published is not None
    return published


def spec_of(scale: str, *scales: str, shapes: tuple[str, ...] = ("1-3",), last: int = 14, **frets: Any) -> Spec:
    return Spec(
        scale_length=read_length(scale, "in"),
        frets=FretSpec("diatonic", FretNumber(2 * last), **frets),
        reach=ReachSpec(tuple(map(read_shape, shapes)), tuple(read_length(each, "in") for each in scales)),
    )


def as_pdf(strip: PublishedReachStrip, paper: Paper) -> tuple[PdfReader, bytes]:
    data = reach_strip_pdf(USUAL, strip, PUBLISHED_SHOP, paper)
    return PdfReader(io.BytesIO(data)), data


#: Semitones of the numbered frets of a diatonic board: whole and half steps of the Mixolydian scale (common practice).
DIATONIC = (2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24)


@pytest.mark.parametrize("paper", PAPERS)
@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(400, 1000), min_size=1, max_size=7, unique=True))
def test_every_fret_lies_within_a_thousandth_of_an_inch(paper: Paper, scales: list[int]) -> None:
    """Against `L (1 − 2^(−n/12))`, the rule of the twelfth root of two."""
    own, *others = (f"{mm} mm" for mm in scales)
    pdf, _ = as_pdf(strip_of(spec_of(own, *others)), paper)
    on_paper = [strip for page in pdf.pages[: -(-len(scales) // 5)] for strip in strips_on(page, pdf)]
    assert len(on_paper) == len(scales)
    for mm, lines in zip(scales, on_paper, strict=True):
        left, nut, *rest = lines
        frets, right = rest[:-1], rest[-1]
        expected = [mm * (1 - 2 ** (-semitones / 12)) for semitones in DIATONIC]
        expected = [place for place in expected if place <= room_mm(paper)]
        assert len(frets) == len(expected)
        for line, place in zip(frets, expected, strict=True):
            assert line - nut == pytest.approx(place, abs=WITHIN_MM)
        assert left < nut
        assert right <= PAPERS[paper][0] - 7.0


def test_a_shape_further_up_gets_a_sheet_that_begins_with_its_lowest_fret() -> None:
    strip = strip_of(spec_of("28 1/2 in", "26 in", shapes=("1-3", "5-9", "4-5-7"), add=(FretNumber(13),)))
    begins = [sheet.begins_at for sheet in sheets_of(strip, "a4")]
    assert [None if place is None else strip.frets[place] for place in begins] == [None, "4"]
    pdf, _ = as_pdf(strip, "a4")
    own = strips_on(pdf.pages[1], pdf)[0]
    fourth, fifth = (723.9 * (1 - 2 ** (-semitones / 12)) for semitones in (7, 9))
    assert own[2] - own[1] == pytest.approx(fifth - fourth, abs=WITHIN_MM)
    assert "fret 4" in pdf.pages[1].extract_text()


@settings(max_examples=40, deadline=None)
@given(
    st.integers(300, 1200), st.integers(300, 1200),
    st.lists(st.tuples(st.integers(1, 14), st.integers(0, 3)), max_size=5), st.sampled_from(list(PAPERS)),
)  # fmt: skip
def test_every_shape_lies_whole_on_some_sheet_or_it_is_said(
    own: int, other: int, shapes: list[tuple[int, int]], paper: Paper
) -> None:
    named = tuple(f"{first}-{min(first + more, 14)}" for first, more in shapes)
    strip = strip_of(spec_of(f"{own} mm", f"{other} mm", shapes=named or ("1-2",)))
    spans = [
        each.places_mm[shape.last] - each.places_mm[shape.first] for each in strip.strips for shape in strip.shapes
    ]
    if max(spans) > room_mm(paper):
        with pytest.raises(CannotBePrinted, match=r"^spec\.reach\.shapes: "):
            list(sheets_of(strip, paper))
        return
    sheets = list(sheets_of(strip, paper))
    for shape in strip.shapes:
        for each in strip.strips:
            starts = [0.0 if sheet.begins_at is None else each.places_mm[sheet.begins_at] for sheet in sheets]
            assert any(
                start <= each.places_mm[shape.first] and each.places_mm[shape.last] - start <= room_mm(paper)
                for start in starts
            )


def test_what_does_not_fit_the_paper_is_said_with_its_field() -> None:
    with pytest.raises(CannotBePrinted, match=r"spec\.reach\.shapes: 1-12 spans more than \d+ mm"):
        as_pdf(strip_of(spec_of("28 1/2 in", shapes=("1-12",))), "letter")
    with pytest.raises(CannotBePrinted, match=r"spec\.frets: the first fret lies further than \d+ mm from the nut"):
        as_pdf(strip_of(spec_of("2.5 m", shapes=("0-0",))), "a4")


def test_it_says_what_it_is_and_asks_for_full_size() -> None:
    spec = spec_of("28 1/2 in", "26 in", shapes=("1-3", "2-0-4"))
    assert spec.reach is not None
    reach = ReachSpec(spec.reach.shapes, spec.reach.scales, Length.from_inches(5.5))
    strip = strip_of(Spec(spec.scale_length, spec.frets, reach=reach))
    pdf, _ = as_pdf(strip, "letter")
    text = " ".join(pdf.pages[0].extract_text().split())
    for said in (
        "Reach strips for Heron", "sheet 1 of", "Print at actual size (100 %)",
        "28 1/2 in (723.9 mm) scale, as it is to be",
        "26 in (660.4 mm) scale", "Frets to press together: 1-3, 2-0-4", "5 1/2 in (139.7 mm)", "4 in (101.6 mm)",
    ):  # fmt: skip
        assert said in text
    assert pdf.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    for page, (width, height) in ((page, PAPERS["letter"]) for page in pdf.pages):
        assert float(page.mediabox.width) / 72 * 25.4 == pytest.approx(width, abs=0.01)
        assert float(page.mediabox.height) / 72 * 25.4 == pytest.approx(height, abs=0.01)


def test_typefaces_are_embedded_and_the_bytes_are_the_same_twice() -> None:
    strip = strip_of(spec_of("27 in", "26 in"))
    pdf, data = as_pdf(strip, "a4")
    assert as_pdf(strip, "a4")[1] == data
    objects = [pdf.get_object(number) for number in range(1, len(pdf.xref[0]) + 1)]
    descriptors = [each for each in objects if isinstance(each, DictionaryObject) and "/FontName" in each]
    assert descriptors
    assert all("/FontFile2" in each for each in descriptors)
    fonts = [each for each in objects if isinstance(each, DictionaryObject) and each.get("/Type") == "/Font"]
    assert not [each for each in fonts if each.get("/BaseFont") in ("/Helvetica", "/Times-Roman")]


def test_lines_of_one_strip_stand_in_board_order() -> None:
    pdf, _ = as_pdf(strip_of(spec_of("24 in", add=(FretNumber(13),))), "a4")
    for page in pdf.pages:
        for lines in strips_on(page, pdf):
            assert all(one < other for one, other in pairwise(lines))


def test_without_frets_or_scale_length_there_is_none() -> None:
    for spec in (Spec(), Spec(scale_length=Length.from_inches(27)), Spec(frets=FretSpec("diatonic", FretNumber(14)))):
        results, findings = work_out_reach_strip(spec, work_out(spec, SHOP).frets)
        assert isinstance(results, Missing)
        assert not findings
        assert reach_strip_of(results, spec, "in") is None


def test_without_a_reach_there_is_the_own_strip_alone() -> None:
    spec = Spec(scale_length=read_length("27 in", "in"), frets=FretSpec("diatonic", FretNumber(28)))
    strip = strip_of(spec)
    assert [each.scale for each in strip.strips] == [Measure("27 in", "685.8 mm", 685.8)]
    assert (strip.shapes, strip.hand_span) == ((), None)


def test_two_scale_lengths_give_the_bass_string_and_shapes_off_the_board_are_left_out() -> None:
    spec = Spec(
        scale_length=MultiScale(read_length("26 in", "in"), read_length("25 in", "in"), FretNumber(14)),
        frets=FretSpec("chromatic", FretNumber(24)),
        reach=ReachSpec((read_shape("1-4"), read_shape("9-15"), read_shape("0-0"))),
    )
    results, _ = work_out_reach_strip(spec, work_out(spec, SHOP).frets)
    assert isinstance(results, ReachStripResults)
    strip = reach_strip_of(results, spec, "in")
    assert strip is not None
    assert strip.is_bass_string
    assert strip.strips[0].scale.said == "26 in"
    assert [(shape.name, strip.frets[shape.first], strip.frets[shape.last]) for shape in strip.shapes] == [
        ("1-4", "1", "4")
    ]
