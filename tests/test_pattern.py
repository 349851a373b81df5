"""Patterns of bodies on paper, opened with pypdf: every line on every sheet, and the sheets put together again."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import pypdf
import pytest
import shapely

from builder.calculations.answers import Missing
from builder.publish.pattern import body_pattern_of
from builder.published import PublishedShop
from builder.published.pattern import PatternLine, PublishedPattern
from builder.record import Spec
from builder.results.body import work_out_body
from builder.sheets.full_size import tiles_of
from builder.sheets.paper import PAPERS, CannotBePrinted, Paper
from builder.sheets.pattern import pattern_drawing, pattern_pdf
from tests.random_bodies import AnyBody, body_of, random_body

#: A thousandth of an inch: the most any line may be off.
THOU_MM = 0.0254
#: A PDF counts in points of 1/72 in (ISO 32000-1:2008, 8.3.2.3).
MM_PER_POINT = 25.4 / 72
Places = list[tuple[float, float]]
SHOP = PublishedShop(
    name="Sandpiper", maker="Ada Ferrow", place=None, email=None, telephone=None, website=None, site_address=None,
    warranty=None, next_owner=None, unit="in", concert_pitch_hz=440.0, tolerance_cents=2.0,
    rules=(), working_rule="bench rule", just_lists=(),
)  # fmt: skip


@dataclass
class Sheet:
    """What one page draws: lines that are no letters, the window they are cut to, in millimetres; and its words."""

    lines: list[Places] = field(default_factory=list)
    window: tuple[float, float, float, float] = (0, 0, 0, 0)
    words: str = ""

    @property
    def crosses(self) -> list[tuple[float, float]]:
        """The middles of the crosses at the joints: a level line of 8 mm, then an upright one through its middle."""
        found = []
        for one, other in pairwise(self.lines):
            if len(one) == len(other) == 2 and math.dist(*one) == pytest.approx(8, abs=1e-4):
                middle, twin = (((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in (one, other))
                if math.dist(middle, twin) < 1e-4 and math.dist(*other) == pytest.approx(8, abs=1e-4):
                    found.append(middle)
        return found


def sheets_of(pdf: bytes, *, words: bool = False) -> list[Sheet]:
    """Every page, from its content stream: the operators of paths and of the clipping window."""
    return [_sheet(page, words) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


#: An operator of a path with the numbers before it (ISO 32000-1:2008, 8.5): begin, line to, close, rectangle; the
#: window everything is cut to; draw.
_OPERATOR = re.compile(rb"(?:([-\d.]+) ([-\d.]+) )(?:([-\d.]+) ([-\d.]+) )?(m|l|re)(?=\s)|(?<=\s)(h|W\*?|S)(?=\s)")
_TEXT = re.compile(rb"\((?:\\.|[^\\()])*\)", re.DOTALL)


def _sheet(page: pypdf.PageObject, words: bool) -> Sheet:
    sheet, line, box = (
        Sheet(words=page.extract_text() if words else ""),
        list[tuple[float, float]](),
        (0.0, 0.0, 0.0, 0.0),
    )
    contents = page.get_contents()
    assert contents is not None
    for found in _OPERATOR.finditer(_TEXT.sub(b"", contents.get_data())):
        operator = found[5] or found[6]
        x, y, wide, high = (float(each or 0) * MM_PER_POINT for each in found.groups()[:4])
        if operator == b"m":
            line = [(x, y)]
        elif operator == b"l":
            line.append((x, y))
        elif operator == b"h":
            line.append(line[0])
        elif operator == b"re":
            box = (x, y, x + wide, y + high)
        elif operator in (b"W", b"W*"):
            sheet.window = box
        elif operator == b"S" and line:
            sheet.lines.append(line)
            line = []
    return sheet


def strays(one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]) -> float:
    return float(shapely.hausdorff_distance(shapely.LineString(one), shapely.LineString(other)))


def moved(places: Places, by: tuple[float, float]) -> Places:
    return [(x + by[0], y + by[1]) for x, y in places]


def wanted_lines(each: AnyBody) -> Iterator[Places]:
    """Every line of the whole pattern, straight from the results."""
    body = each.body
    assert body.inside
    assert body.linings
    assert body.saddle_mm
    rings = [body.outline.spots, body.inside.spots, body.linings.edge]
    rings += [block.spots for block in body.blocks] + [hole.spots for hole in body.holes]
    yield from ([*ring, ring[0]] for ring in rings)
    for brace in body.braces:
        yield [*brace.corners, brace.corners[0]] if len(brace.corners) == 4 else list(brace.corners)
    yield [(body.outline.tail_mm, 0), (body.outline.head_mm, 0)]
    yield [(body.saddle_mm, -25), (body.saddle_mm, 25)]


def on_bass_side(line: Places) -> list[Places]:
    """What of a line lies on the bass side of the centre line, cut by hand at every place where it crosses."""
    pieces: list[Places] = [[]]
    for one, other in pairwise(line):
        cut = [one, other]
        if one[1] * other[1] < 0:
            part = one[1] / (one[1] - other[1])
            cut.insert(1, (one[0] + part * (other[0] - one[0]), 0.0))
        for start, end in pairwise(cut):
            if start[1] + end[1] <= 1e-9:
                pieces.append([])
                continue
            pieces[-1] = pieces[-1] or [start]
            pieces[-1].append(end)
    pieces = [piece for piece in pieces if len(piece) > 1]
    if len(pieces) > 1 and pieces[-1][-1] == pieces[0][0]:
        pieces[0] = pieces.pop() + pieces[0][1:]
    return pieces


def put_together(sheets: list[Sheet], each: AnyBody, paper: Paper, *, half: bool) -> list[tuple[float, float]]:
    """By how much every sheet must be moved so that its crosses fall on those of its neighbours."""
    tiles = tiles_of(pattern_drawing(each.pattern, SHOP, half=half), paper)  # for which sheets meet, not for where
    assert len(tiles) == len(sheets)
    first = next(line for line in sheets[0].lines if len(line) > 40)
    spot = each.pattern.half[0].places[0] if half else each.body.outline.spots[0]
    moves = {1: (spot[0] - first[0][0], spot[1] - first[0][1])}
    marks: dict[tuple[int, int], dict[int, Places]] = {}
    for tile, sheet in zip(tiles, sheets, strict=True):
        assert len(sheet.crosses) == 2 * len(tile.joints)
        for number, joint in enumerate(tile.joints):
            marks.setdefault((joint.one, joint.other), {})[tile.number] = sheet.crosses[2 * number : 2 * number + 2]
    for (one, other), crosses in sorted(marks.items()):
        (x, y), (to_x, to_y) = crosses[one], crosses[other]
        for here, there in ((x, to_x), (y, to_y)):
            move = (moves[one][0] + here[0] - there[0], moves[one][1] + here[1] - there[1])
            assert math.dist(moves.setdefault(other, move), move) < 1e-3, "both ends of a joint, and both ways round"
    return [moves[tile.number] for tile in tiles]


@pytest.mark.parametrize("number", range(20))
def test_every_line_of_twenty_bodies_on_tiled_paper(number: int) -> None:
    each, paper = random_body(number), PAPERS[number % 2]
    sheets = sheets_of(pattern_pdf(each.pattern, SHOP, half=False, paper=paper))
    moves = put_together(sheets, each, paper, half=False)
    shown = shapely.union_all([shapely.box(*_window(sheet, move)) for sheet, move in zip(sheets, moves, strict=True)])
    placed = [
        (_Placed.of(line, move), shapely.box(*_window(sheet, move)))
        for sheet, move in zip(sheets, moves, strict=True)
        for line in sheet.lines
    ]
    for line in wanted_lines(each):
        wanted, path = _Placed.of(line), shapely.LineString(line)
        assert shown.contains(path), "no part of it lies off the sheets"
        windows = [window for other, window in placed if other.is_like(wanted)]
        assert shapely.union_all(windows).contains(path), "every part of it is drawn on a sheet that shows it"


@dataclass(frozen=True)
class _Placed:
    """A line at its place on the body; nearly all lines are told apart by where they begin."""

    places: Places
    left: float
    low: float

    @classmethod
    def of(cls, line: Places, move: tuple[float, float] = (0.0, 0.0)) -> _Placed:
        places = moved(line, move)
        return cls(places, min(x for x, _ in places), min(y for _, y in places))

    def is_like(self, other: _Placed) -> bool:
        is_there = abs(self.left - other.left) < THOU_MM and abs(self.low - other.low) < THOU_MM
        if not is_there:
            return False
        if len(self.places) == len(other.places) and math.dist(self.places[0], other.places[0]) < THOU_MM:
            return all(math.dist(*pair) < THOU_MM for pair in zip(self.places, other.places, strict=True))
        return strays(self.places, other.places) < THOU_MM


def _window(sheet: Sheet, move: tuple[float, float]) -> tuple[float, float, float, float]:
    left, low, right, high = sheet.window
    assert right - left > 100
    assert high - low > 100
    return left + move[0], low + move[1], right + move[0], high + move[1]


@pytest.mark.parametrize("number", range(6))
def test_half_of_a_body_is_its_bass_side_cut_at_the_centre_line(number: int) -> None:
    each, paper = random_body(number), PAPERS[(number + 1) % 2]
    sheets = sheets_of(pattern_pdf(each.pattern, SHOP, half=True, paper=paper), words=True)
    moves = put_together(sheets, each, paper, half=True)
    placed = [_Placed.of(line, move) for sheet, move in zip(sheets, moves, strict=True) for line in sheet.lines]
    unlike = [list(brace.corners) for brace in each.body.braces if brace.entry == 0] if number % 2 else []
    for line in wanted_lines(each):
        for piece in on_bass_side(line):
            is_drawn = any(other.is_like(_Placed.of(piece)) for other in placed)
            assert is_drawn != any(set(corners) <= set(line) for corners in unlike)
    assert each.pattern.not_on_half == (("soundboard brace 1",) if unlike else ())
    assert ("Not on this half" in " ".join(sheet.words for sheet in sheets)) == bool(unlike)


@pytest.mark.parametrize("half", [True, False])
def test_every_line_and_part_has_its_name_on_the_paper(half: bool) -> None:
    each = random_body(2)
    (sheet,) = sheets_of(pattern_pdf(each.pattern, SHOP, half=half), words=True)
    angle = next(end.angle.to_centre_line_degrees for end in each.bracing.ends if end.end == "tail")
    for words in (
        "outside of the sides", "inside of the sides", "edge of the linings", "tail block", "head block", "fan, back",
        "soundboard brace 1", "its middle: the width is not written", "sound hole 1", "sound hole 3 in the back",
        "saddle, without setback", "centre line", "tail end", "head end", f"both sides {angle:.1f}° to the centre line",
        "half pattern, bass side" if half else "whole pattern",
    ):  # fmt: skip
        assert words in sheet.words, words


def test_bare_outline_gives_a_pattern_of_its_outline_alone() -> None:
    pattern = _only_outline("{shape: ellipse, length: 400 mm, width: 300 mm}")
    assert [line.layer for line in pattern.lines] == ["outline"]
    (sheet,) = sheets_of(pattern_pdf(pattern, SHOP, half=True), words=True)
    assert "outside of the sides" in sheet.words
    assert "linings" not in sheet.words


def _only_outline(outline: str) -> PublishedPattern:
    from tests.random_bodies import spec_of

    spec = spec_of(f"    outline: {outline}\n")
    body, _ = work_out_body(spec)
    pattern = body_pattern_of(body, Missing(()), spec, "in")
    assert pattern is not None
    return pattern


def test_a_body_that_is_not_alike_on_both_sides_is_printed_whole_only() -> None:
    points = "[0 mm, 0 mm], [50 mm, 100 mm], [300 mm, 80 mm], [400 mm, 0 mm], [300 mm, -120 mm], [60 mm, -90 mm]"
    pattern = _only_outline(f"{{points: [{points}]}}")
    assert pattern.half == ()
    with pytest.raises(CannotBePrinted, match="two sides of this body are not alike") as refused:
        pattern_pdf(pattern, SHOP, half=True, paper="a4")
    assert refused.value.hint == "print the whole pattern"
    assert len(sheets_of(pattern_pdf(pattern, SHOP, half=False, paper="a4"))) > 1


def test_without_an_outline_there_is_nothing_to_print_and_it_says_so() -> None:
    body, _ = work_out_body(Spec())
    assert body_pattern_of(body, Missing(()), Spec(), "in") is None
    with pytest.raises(CannotBePrinted, match="the outline of the body is not known") as refused:
        pattern_pdf(None, SHOP, half=True, paper="a4")
    assert "add outline" in refused.value.hint


def test_too_many_sheets_is_said_with_the_field() -> None:
    pattern = _only_outline("{shape: ellipse, length: 3 m, width: 2 m}")
    with pytest.raises(CannotBePrinted, match=r"spec\.body\.outline: it would take \d+ sheets of A4"):
        pattern_pdf(pattern, SHOP, half=False, paper="a4")


@pytest.mark.parametrize("paper", PAPERS)
def test_the_same_bytes_twice_at_actual_size_with_typefaces_embedded(paper: Paper) -> None:
    pattern = random_body(5).pattern
    pdf = pattern_pdf(pattern, SHOP, half=True, paper=paper)
    assert pdf == pattern_pdf(pattern, SHOP, half=True, paper=paper)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]
            described = font.get_object()
            if "/FontDescriptor" in described:
                assert "/FontFile2" in described["/FontDescriptor"]


def test_braces_say_how_long_they_are_between_the_sides() -> None:
    """Closed form: across an ellipse of 400 × 200 mm with 2 mm sides, at its middle, 196 mm from side to side."""
    each = body_of(
        "    outline: {shape: ellipse, length: 400 mm, width: 200 mm}\n    sides: 2 mm\n"
        "    braces: [{plate: back, starts: [200 mm, -95 mm], ends: [200 mm, 95 mm], width: 6 mm, height: 12 mm}]\n"
    )
    (brace,) = [line for line in each.pattern.lines if line.layer == "braces back"]
    assert brace.more == ("6 mm wide, 12 mm high", f"{196 / 25.4:.3f} in from side to side")


def _kind(lines: tuple[PatternLine, ...], layer: str) -> list[PatternLine]:
    return [line for line in lines if line.layer == layer]


@pytest.mark.parametrize("number", range(4))
def test_closed_lines_are_closed_and_half_lines_end_on_the_centre_line(number: int) -> None:
    pattern = random_body(number).pattern
    assert all(line.closed for layer in ("outline", "inside", "linings") for line in _kind(pattern.lines, layer))
    for line in pattern.half:
        if not line.closed and len(line.places) > 2:
            assert line.places[0][1] == line.places[-1][1] == 0
        assert min(y for _, y in line.places) >= 0
