"""Full-size PDFs measured on the paper: opened with another library, every line where the results say.

Tolerance: 0.001 in (0.0254 mm), what a maker's knife line is worth. Paper sizes: ISO 216:2007 (A4 210 × 297 mm) and
ANSI/ASME Y14.1 (size A, 8.5 × 11 in). PDF: ISO 32000-1:2008.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from builder.lengths import Length
from builder.sheets.check_bars import corrections, page_long_bar, scale_to_print_with
from builder.sheets.full_size import (
    FullSizeDrawing,
    Lettering,
    Stroke,
    single_sheet_pdf,
    strip_pdf,
    tiled_pdf,
    tiles_of,
)
from builder.sheets.labels_in_a_row import moved_apart
from builder.sheets.paper import PAPER_SIZES, PAPERS, CannotBePrinted, Paper, paper_for
from builder.sheets.pen import in_face
from tests.pdf_reading import THOUSANDTH_MM, PageRead, fonts_of, has_line, read_pdf


def drawing(length: float = 700.0, height: float = 60.0, **more: str) -> FullSizeDrawing:
    half = height / 2
    ink = (
        Stroke(((0.0, -half), (length, -half), (length, half), (0.0, half)), closed=True),
        Stroke(((0.0, 0.0), (length, 0.0))),
        Lettering("here", length / 2, 0.0, degrees=90),
    )
    return FullSizeDrawing("Title", "below", "Maker", ink, 0.0, -half, length, half, **more)


def bars(page: PageRead) -> Iterator[tuple[str, float]]:
    """Every bar of a page with its words, which stand 1 mm above it, or to its left where it is upright."""
    for text, (x, y) in page.texts:
        if text.startswith(("4 in", "page-long bar: ")):
            beside = [(a, b) for a, b in page.lines if a[1] == b[1] and 0.5 < y - a[1] < 1.5 and abs(a[0] - b[0]) > 50]
        elif text.startswith("100 mm ("):
            beside = [(a, b) for a, b in page.lines if a[0] == b[0] and 0.5 < a[0] - x < 1.5]
        else:
            continue
        assert len(beside) == 1, text
        yield text, math.dist(*beside[0])


def said_mm(text: str) -> float:
    """A bar's length as its own words give it first: `page-long bar: 10 1/2 in (266.7 mm)`."""
    said = re.search(r"([\d./ ]+) (in|mm)", text)
    assert said
    number = sum(map(Fraction, said[1].split()), Fraction(0))
    return float(number) * (25.4 if said[2] == "in" else 1.0)


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("paper", PAPERS)
def test_the_bars_of_every_sheet_are_as_long_as_they_say(paper: Paper, unit: str) -> None:
    for pdf in (tiled_pdf(drawing(), paper, unit), strip_pdf(drawing(), unit)):  # type: ignore[arg-type]
        for page in read_pdf(pdf):
            found = dict(bars(page))
            assert len(found) == 3
            for said, length_mm in found.items():
                assert length_mm == pytest.approx(said_mm(said), abs=THOUSANDTH_MM)
            [bar_mm] = [said_mm(said) for said in found if said.startswith("page-long")]
            texts = [text for text, _ in page.texts]
            table = [(one, other) for one, other in pairwise(texts) if other.endswith(" %")]
            assert len(table) >= 2
            for measured, percent in table:
                assert float(percent[:-2]) == pytest.approx(100 * bar_mm / said_mm(measured), abs=0.00501)
            longest = max(found.values())
            assert page.width_mm - 30 < longest < page.width_mm - 14 + THOUSANDTH_MM


@pytest.mark.parametrize(("paper", "width_mm", "height_mm"), [("a4", 210, 297), ("letter", 215.9, 279.4)])
def test_sheets_are_of_the_paper_asked_for_and_nothing_lies_in_the_margin(
    paper: Paper, width_mm: float, height_mm: float
) -> None:
    for page in read_pdf(tiled_pdf(drawing(), paper, "mm")):
        assert sorted((page.width_mm, page.height_mm)) == pytest.approx(sorted((width_mm, height_mm)), abs=0.001)
        [(left, bottom, right, top)] = page.windows
        margin = PAPER_SIZES[paper].margin_mm
        assert min(left, bottom, page.width_mm - right, page.height_mm - top) >= margin - 1e-3
        for text, (x, y) in page.texts:
            assert margin - 1e-3 <= x < page.width_mm, text
            assert margin - 1e-3 <= y < page.height_mm - margin, text


def test_the_correction_is_the_true_length_over_the_measured_one() -> None:
    """By hand: a bar of 250 mm that measures 249.5 mm was printed at 99.8 %; 250/249.5 = 100.2004 %."""
    assert scale_to_print_with(250.0, 249.5) == pytest.approx(100.2004, abs=5e-5)
    for each in corrections(Length.from_mm(250), "mm", 8):
        assert each.measured_mm * each.percent / 100 == pytest.approx(250.0, abs=1e-9)
    assert [each.measured for each in corrections(Length.from_mm(250), "mm", 2)] == ["249.5 mm", "250.5 mm"]
    assert [each.measured for each in corrections(Length.from_inches(10), "in", 2)] == ["9 63/64 in", "10 1/64 in"]


@given(st.floats(110, 5000), st.sampled_from(["in", "mm"]))
def test_the_page_long_bar_is_round_and_fits(room_mm: float, unit: str) -> None:
    bar = page_long_bar(room_mm, unit)  # type: ignore[arg-type]
    step = Fraction(127, 10) if unit == "in" else Fraction(10)
    assert bar.exact_mm % step == 0
    assert room_mm - float(step) < bar.mm <= room_mm


@pytest.mark.parametrize("paper", PAPERS)
def test_tiles_overlap_and_leave_nothing_out(paper: Paper) -> None:
    for each in (drawing(), drawing(900, 420), drawing(100, 100), drawing(150, 700)):
        tiles = tiles_of(each, paper)
        for x in (each.left, each.left + each.length_mm / 3, each.right):
            for y in (each.bottom, 0.0, each.top):
                assert any(tile.left <= x <= tile.right and tile.bottom <= y <= tile.top for tile in tiles)
        for tile in tiles:
            for joint in tile.joints:
                one, other = tiles[joint.one - 1], tiles[joint.other - 1]
                for x, y in (joint.start, joint.end):
                    for seen_on in (one, other):
                        assert seen_on.left + 4 < x < seen_on.right - 4
                        assert seen_on.bottom + 4 < y < seen_on.top - 4


@pytest.mark.parametrize("paper", PAPERS)
def test_rows_and_columns_of_sheets_go_together(paper: Paper) -> None:
    """A drawing larger than the paper both ways: moved onto the first by its crosses, each sheet shows the same."""
    whole = drawing(640, 390)
    pages = read_pdf(tiled_pdf(whole, paper, "mm"))
    moves = put_together(pages)
    assert len(moves) == len(pages) == len(tiles_of(whole, paper))
    places = {
        (round(x - moves[number][0], 2), round(y - moves[number][1], 2))
        for number, page in enumerate(pages, 1)
        for drawn in page.strokes
        if drawn.is_closed and len(drawn.places) == 4
        for x, y in drawn.places
    }
    assert len(places) == 4
    along, across = {x for x, _ in places}, {y for _, y in places}
    assert max(along) - min(along) == pytest.approx(640, abs=0.02)
    assert max(across) - min(across) == pytest.approx(390, abs=0.02)


def put_together(pages: list[PageRead]) -> dict[int, tuple[float, float]]:
    """How far each page is moved against the first, found from the crosses that both of two pages show."""
    crosses = [crosses_of(page) for page in pages]
    moves = {1: (0.0, 0.0)}
    while len(moves) < len(pages):
        before = len(moves)
        for number, shown in enumerate(crosses, 1):
            for (one, other), ends in shown.items():
                known, new = (one, other) if one in moves else (other, one)
                if number != known or known not in moves or new in moves:
                    continue
                twins = crosses[new - 1][one, other]
                assert len(ends) == len(twins) == 2, "a cross at both ends of the joint, on both sheets"
                shifts = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(ends, twins, strict=True)]
                assert math.dist(*shifts) < 0.001, "both ends ask for the same move"
                moves[new] = (moves[known][0] + shifts[0][0], moves[known][1] + shifts[0][1])
        assert len(moves) > before, "every sheet hangs together with the others"
    return moves


def crosses_of(page: PageRead) -> dict[tuple[int, int], list[tuple[float, float]]]:
    """The crosses of a page, in order, by the two sheets that their words name."""
    level = [((a[0] + b[0]) / 2, a[1]) for a, b in page.lines if abs(math.dist(a, b) - 8) < 0.01 and a[1] == b[1]]
    found: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for text, (x, y) in page.texts:
        if words := re.fullmatch(r"sheets (\d+) and (\d+)", text):
            nearest = min(level, key=lambda cross: math.dist(cross, (x, y)))
            assert math.dist(nearest, (x, y)) < 35
            found.setdefault((int(words[1]), int(words[2])), []).append(nearest)
    return {joint: sorted(ends) for joint, ends in found.items()}


def test_every_sheet_says_its_number_and_actual_size() -> None:
    pages = read_pdf(tiled_pdf(drawing(), "a4", "mm"))
    for number, page in enumerate(pages, 1):
        assert f"sheet {number} of {len(pages)}" in page.words
        assert "actual size" in page.words
        assert "from the nut" in page.words


@pytest.mark.parametrize("pdf", [tiled_pdf(drawing(), "a4", "mm"), strip_pdf(drawing(), "in")])
def test_the_print_dialogue_opens_without_scaling_and_fonts_are_within(pdf: bytes) -> None:
    """ISO 32000-1:2008, table 150: PrintScaling None; 9.9: a font file in every descriptor."""
    root = PdfReader(BytesIO(pdf)).trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    fonts = list(fonts_of(pdf))
    assert fonts
    assert all(is_within for _, is_within in fonts), fonts


def test_the_same_drawing_is_the_same_bytes() -> None:
    assert tiled_pdf(drawing(), "letter", "in") == tiled_pdf(drawing(), "letter", "in")
    assert strip_pdf(drawing(), "mm") == strip_pdf(drawing(), "mm")


def test_one_sheet_shows_what_fits_it() -> None:
    [page] = read_pdf(single_sheet_pdf(drawing(150, 90), "letter", "in"))
    [(left, bottom, _, _)] = page.windows
    assert any(has_line(page, (x, y), (x + 150, y)) for (x, y), _ in page.lines if x > left and y > bottom)


def test_what_does_not_fit_is_said_with_field_and_limit() -> None:
    with pytest.raises(CannotBePrinted, match=r"spec\.spacing: 400\.0 × 50\.0 mm do not fit a sheet of A4.*mm lying"):
        single_sheet_pdf(drawing(400, 50, field="spec.spacing"), "a4", "mm")
    with pytest.raises(CannotBePrinted, match=r"spec\.scale_length: the sheet would be 6\d\d\d mm long.*5080 mm"):
        strip_pdf(drawing(6000, 50, field="spec.scale_length"), "mm")
    with pytest.raises(CannotBePrinted, match=r"it would take \d+ sheets of Letter, more than 60"):
        tiled_pdf(drawing(3000, 3000), "letter", "mm")


def test_a_letter_that_the_face_lacks_is_set_as_near_as_can_be() -> None:
    assert in_face("Łódź ½ ǿ F♯3 B♭ 東") == "Lódz ½ ø F#3 Bb ·"
    assert paper_for("in") == "letter"
    assert paper_for("mm") == "a4"


@given(st.lists(st.floats(0, 300), min_size=1, max_size=25).map(sorted), st.floats(0.5, 8))
def test_labels_move_as_little_as_possible(places: list[float], gap: float) -> None:
    """Textbook: least squares in an order is max over s ≤ i of min over t ≥ i of the mean from s to t
    (Robertson, Wright and Dykstra, Order Restricted Statistical Inference, 1988: the max-min formula)."""
    less = [place - number * gap for number, place in enumerate(places)]

    def mean(start: int, end: int) -> float:
        return math.fsum(less[start : end + 1]) / (end + 1 - start)

    wished = [
        max(min(mean(s, t) for t in range(i, len(less))) for s in range(i + 1)) + i * gap for i in range(len(less))
    ]
    assert moved_apart(places, gap) == pytest.approx(wished, abs=1e-9)
