"""The fret template and the nut and saddle strip, measured on the paper for twenty instruments of any kind.

Every place is compared with the results of the sums, not with what the sheet was given; tolerance 0.001 in. Straight
boards in equal temperament are also compared with L·(1 − 2^(−n/12)): the law of the stretched string (Mersenne,
Harmonie universelle, 1636) with the equal semitones of ISO 16:1975.
"""

from __future__ import annotations

import dataclasses
import math
from functools import cache
from pathlib import Path

import pytest

from builder.calculations.answers import Missing
from builder.calculations.slanted import Line, Point
from builder.published.template import PublishedTemplate
from builder.results.fretboard import FretboardResults
from builder.results.frets import FretResults
from builder.results.setback import SetbackResults
from builder.results.spacing import SpacingResults
from builder.sheets.fret_template import fret_template_strip, fret_template_tiled
from builder.sheets.paper import PAPERS, CannotBePrinted, Paper
from builder.sheets.strip import nut_and_saddle_strip
from tests.pdf_reading import THOUSANDTH_MM, PageRead, Place, has_line, read_pdf
from tests.random_boards import COUNT, Board, any_boards
from tests.test_full_size import put_together


@pytest.fixture(scope="module")
def boards(tmp_path_factory: pytest.TempPathFactory) -> tuple[Board, ...]:
    found = any_boards(tmp_path_factory.mktemp("boards"))
    assert len(found) == COUNT
    return found


def results_of(board: Board) -> tuple[FretResults, FretboardResults, SpacingResults]:
    results = board.instrument.results
    assert not isinstance(results.frets, Missing)
    assert not isinstance(results.fretboard, Missing)
    assert not isinstance(results.spacing, Missing)
    return results.frets, results.fretboard, results.spacing


@cache
def tiles_read(template: PublishedTemplate, paper: Paper) -> list[PageRead]:
    return read_pdf(fret_template_tiled(template, paper))


def moved(point: Point, by: Place) -> Place:
    """A place of the board on the page: seen from the front, nut to the left, the bass side lies below."""
    return point.x + by[0], by[1] - point.y


def where_the_nut_is(page: PageRead, board: FretboardResults) -> Place:
    """What to add to a place of the board to find it on the page: there alone are nut, both edges and the end.

    Found from the strokes alone: the place of the bass end of a stroke that leans and is as long as the nut, from
    which an edge of the board runs on to its end.
    """
    bass, treble, end_treble, end_bass = board.outline
    for one, other in page.lines:
        for a, b in ((one, other), (other, one)):
            if math.dist((b[0] - a[0], b[1] - a[1]), (treble.x - bass.x, bass.y - treble.y)) > 0.001:
                continue
            by = a[0] - bass.x, a[1] + bass.y
            edges = ((bass, end_bass), (treble, end_treble))
            if all(has_line(page, moved(start, by), moved(end, by)) for start, end in edges):
                return by
    raise AssertionError("no nut on this page")


def is_seen(point: Place, page: PageRead) -> bool:
    return any(left <= point[0] <= right and bottom <= point[1] <= top for left, bottom, right, top in page.windows)


def lines_that_matter(board: Board) -> list[tuple[Point, Point]]:
    """Nut, frets, edges of the board, from the results."""
    _, laid_out, _ = results_of(board)
    bass, treble, end_treble, end_bass = laid_out.outline
    frets = [(fret.line.bass, fret.line.treble) for fret in laid_out.frets]
    return [(bass, treble), (end_bass, end_treble), (bass, end_bass), (treble, end_treble), *frets]


def saddle_places(board: Board) -> list[tuple[Point, Point]]:
    """Where each string starts and where its saddle goes, worked out here from spacing and setback."""
    frets, _, spacing = results_of(board)
    half_nut, half_saddle = spacing.spread_at_nut_mm / 2, spacing.spread_at_saddle_mm / 2
    scale = frets.lines[0].scale_length_mm
    nut = frets.nut or Line(Point(0, half_nut), Point(0, -half_nut))
    saddle = frets.saddle or Line(Point(scale, half_saddle), Point(scale, -half_saddle))
    setback = board.instrument.results.setback
    places = []
    for each in spacing.strings:
        start, end = nut.at(each.at_nut_mm / (2 * half_nut)), saddle.at(each.at_saddle_mm / (2 * half_saddle))
        length = start.distance_mm(end) if frets.saddle else end.x - start.x
        taken = 0.0
        if isinstance(setback, SetbackResults):
            own = [
                one for one in setback.strings if one.above.course == each.course and one.above.string == each.string
            ]
            taken = own[0].taken_mm if own else 0.0
        part = 1 + taken / length
        places.append((start, Point(start.x + part * (end.x - start.x), start.y + part * (end.y - start.y))))
    return places


@pytest.mark.parametrize("number", range(COUNT))
def test_every_line_of_the_strip_is_where_the_results_say(number: int, boards: tuple[Board, ...]) -> None:
    board = boards[number]
    frets, laid_out, _ = results_of(board)
    [page] = read_pdf(fret_template_strip(board.template))
    by = where_the_nut_is(page, laid_out)
    for one, other in lines_that_matter(board):
        assert has_line(page, moved(one, by), moved(other, by))
        assert is_seen(moved(one, by), page)
        assert is_seen(moved(other, by), page)
    discs = [each.middle for each in page.strokes if each.is_curved]
    for marker in laid_out.markers:
        assert min(math.dist(moved(marker, by), disc) for disc in discs) < THOUSANDTH_MM
    ticks = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in page.lines if 2.4 < math.dist(a, b) < 20]
    for _, place in saddle_places(board):
        assert min(math.dist(moved(place, by), tick) for tick in ticks) < THOUSANDTH_MM
    if len(frets.lines) == 1 and frets.is_twelve_equal:
        scale = frets.lines[0].scale_length_mm
        for fret, line in zip(frets.frets, laid_out.frets, strict=True):
            assert fret.semitones is not None
            x = scale * (1 - 2 ** (-fret.semitones / 12)) + by[0]
            assert any(abs(a[0] - x) < THOUSANDTH_MM and abs(b[0] - x) < THOUSANDTH_MM for a, b in page.lines), line


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("number", range(COUNT))
def test_tiles_put_back_together_are_the_whole_board(number: int, paper: Paper, boards: tuple[Board, ...]) -> None:
    """Each sheet is moved onto the first by the crosses at both ends of its joints, as one would tape them."""
    board = boards[number]
    _, laid_out, _ = results_of(board)
    pages = tiles_read(board.template, paper)
    assert len(pages) > 1
    moves = put_together(pages)
    nut = where_the_nut_is(pages[0], laid_out)
    whole = {key: (nut[0] + move[0], nut[1] + move[1]) for key, move in moves.items()}
    for one, other in lines_that_matter(board):
        for end in (one, other):
            seen_on = [page for page, by in whole.items() if is_seen(moved(end, by), pages[page - 1])]
            assert seen_on, "both ends of every line are printed"
            for page in seen_on:
                by = whole[page]
                assert has_line(pages[page - 1], moved(one, by), moved(other, by))
    for page, by in whole.items():
        discs = [each.middle for each in pages[page - 1].strokes if each.is_curved]
        for marker in laid_out.markers:
            if is_seen(moved(marker, by), pages[page - 1]):
                assert min(math.dist(moved(marker, by), disc) for disc in discs) < THOUSANDTH_MM
        ticks = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in pages[page - 1].lines]
        for _, place in saddle_places(board):
            if is_seen(moved(place, by), pages[page - 1]):
                assert min(math.dist(moved(place, by), tick) for tick in ticks) < THOUSANDTH_MM


@pytest.mark.parametrize("number", range(0, COUNT, 3))
def test_every_sheet_names_its_frets_and_their_places_from_the_nut(number: int, boards: tuple[Board, ...]) -> None:
    """On each sheet, beside each fret that lies well within it: number, mark, and place, all counted from the nut."""
    board = boards[number]
    frets, laid_out, _ = results_of(board)
    pages = tiles_read(board.template, "a4")
    moves, nut = put_together(pages), where_the_nut_is(pages[0], laid_out)
    checked = set()
    for page_number, page in enumerate(pages, 1):
        [(left, _, right, _)] = page.windows
        words = [text for text, _ in page.texts]
        for fret, line in zip(frets.frets, laid_out.frets, strict=True):
            x = line.line.treble.x + nut[0] + moves[page_number][0]
            if left + 20 < x < right - 20:
                checked.add(fret.number)
                place = fret.places[-1]
                assert str(fret.number) in words
                assert place.readings[frets.working].mark in words
                assert any(text.startswith(f"{place.from_nut_mm / 25.4:.3f} in") for text in words)
    assert len(checked) > len(frets.frets) / 2


def test_a_shop_in_millimetres_reads_its_own_rule(tmp_path: Path) -> None:
    board = any_boards(tmp_path / "metric", inches=False, count=1)[0]
    frets, _, _ = results_of(board)
    [page] = read_pdf(fret_template_strip(board.template))
    place = frets.frets[2].places[0]
    assert frets.rules[frets.working].name == "metric rule"
    assert place.readings[frets.working].mark in [text for text, _ in page.texts]
    assert f"{place.from_nut_mm:.2f} mm ({place.from_nut_mm / 25.4:.3f} in)" in [text for text, _ in page.texts]


@pytest.mark.parametrize("number", range(COUNT))
def test_slots_and_saddle_places_of_the_strip_lie_as_far_apart_as_the_strings(
    number: int, boards: tuple[Board, ...]
) -> None:
    """Turning and moving keeps distances: they are compared string by string with those of the results."""
    board = boards[number]
    _, laid_out, spacing = results_of(board)
    [page] = read_pdf(nut_and_saddle_strip(board.template, "letter"))
    on_saddle = [place for _, place in saddle_places(board)]
    in_nut = [
        start
        for (start, _), string in zip(saddle_places(board), board.template.strings, strict=True)
        if not string.is_short and not string.nut_set_back_mm
    ]
    ticks = [
        ((a[0] + b[0]) / 2, a[1])
        for a, b in page.lines
        if abs(a[1] - b[1]) < 1e-6 and abs(math.dist(a, b) - 2.5) < 0.01
    ]
    slots = [a for a, b in page.lines if abs(math.dist(a, b) - 8.0) < 0.01]
    for wished, drawn in ((on_saddle, ticks), (in_nut, slots)):
        assert any(_agree(wished, drawn, first) for first in drawn)
    assert len(on_saddle) == len(spacing.strings)
    width_mm = laid_out.width_at_nut_mm
    for each, string in zip(spacing.strings, board.template.strings, strict=True):
        if len(results_of(board)[0].lines) == 1 and not string.is_short:
            from_edge_mm = (width_mm - spacing.spread_at_nut_mm) / 2 + each.at_nut_mm
            assert any(text.startswith(f"{from_edge_mm / 25.4:.3f} in") for text, _ in page.texts)


def _agree(wished: list[Point], drawn: list[Place], first: Place) -> bool:
    """Whether every wished place has a drawn one as far from the first as it should be."""
    return all(
        any(abs(math.dist(first, each) - wished[0].distance_mm(place)) < THOUSANDTH_MM for each in drawn)
        for place in wished
    )


def test_the_same_board_is_the_same_bytes(boards: tuple[Board, ...]) -> None:
    template = boards[1].template
    assert fret_template_strip(template) == fret_template_strip(template)
    assert fret_template_tiled(template, "a4") == fret_template_tiled(template, "a4")
    assert nut_and_saddle_strip(template, "letter") == nut_and_saddle_strip(template, "letter")


def bare(template: PublishedTemplate) -> PublishedTemplate:
    return dataclasses.replace(template, outline=None, strings=(), markers=(), rule=None)


def test_a_board_of_unknown_width_still_has_its_frets_in_place(boards: tuple[Board, ...]) -> None:
    template = bare(boards[0].template)
    [page] = read_pdf(fret_template_strip(template))
    assert "widths are not known" in page.words
    assert "spacing is not known" in page.words
    gaps = [one.bass.x - other.bass.x for one, other in zip(template.frets[1:], template.frets, strict=False)]
    upright = sorted({round(a[0], 3) for a, b in page.lines if abs(a[0] - b[0]) < 1e-6})
    for gap in gaps:
        assert any(abs(b - a - gap) < 0.01 for a in upright for b in upright)


def test_what_cannot_be_drawn_is_said(boards: tuple[Board, ...]) -> None:
    with pytest.raises(CannotBePrinted, match=r"spec\.frets, spec\.scale_length: no frets"):
        fret_template_strip(None)
    with pytest.raises(CannotBePrinted, match=r"spec\.spacing: it is not known how the strings lie"):
        nut_and_saddle_strip(bare(boards[0].template), "a4")


def test_a_saddle_wider_than_the_paper_is_said_with_field_and_limit(boards: tuple[Board, ...]) -> None:
    template = boards[0].template
    far = dataclasses.replace(template.bare_saddle_bass, y=150.0)
    wide = dataclasses.replace(template, bare_saddle_bass=far, bare_saddle_treble=dataclasses.replace(far, y=-150.0))
    for paper, name in (("a4", "A4"), ("letter", "Letter")):
        with pytest.raises(CannotBePrinted, match=rf"^spec\.spacing: .* mm do not fit a sheet of {name}, which shows"):
            nut_and_saddle_strip(wide, paper)  # type: ignore[arg-type]
