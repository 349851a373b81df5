"""The fretboard drawing: true to scale, told apart from others on the page, harmless whatever the record says."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import html5lib
import pytest

from builder.calculations.frets import distance_from_nut_mm
from builder.calculations.temperaments import equal_ratio
from builder.drawings.fretboard import fretboard_svg
from builder.drawings.naming import id_prefix
from builder.published import PublishedDrawing, PublishedFretNote, PublishedPoint, PublishedStringLine
from tests.boards import drawing, fret_line

SCALE_LENGTH_MM = 27 * 25.4
#: Frets 1, 1½, 2 … 7 of a diatonic board with 1½ and 6½ added, as semitones.
SEMITONES = {"1": 2, "1½": 3, "2": 4, "3": 5, "4": 7, "5": 9, "6": 10, "6½": 11, "7": 12}


def places_mm() -> dict[str, float]:
    return {name: distance_from_nut_mm(SCALE_LENGTH_MM, equal_ratio(n, 12)) for name, n in SEMITONES.items()}


def board(*, length_is_known: bool = True, width_at_end_mm: float = 44.0) -> PublishedDrawing:
    frets = tuple(fret_line(name, place, 40.0) for name, place in places_mm().items())
    return drawing(400.0, 38.0, width_at_end_mm, frets, (157.0,), length_is_known=length_is_known)


def drawn(svg: str) -> html5lib.treebuilders.base.Node:
    return html5lib.parse(svg, treebuilder="etree", namespaceHTMLElements=False).find(
        ".//{http://www.w3.org/2000/svg}svg"
    )


def parts(svg: str, name: str) -> list[dict[str, str]]:
    return [element.attrib for element in drawn(svg).iter(f"{{http://www.w3.org/2000/svg}}{name}")]


def test_every_fret_lies_at_its_millimetre() -> None:
    lines = parts(fretboard_svg(board(), name="a", labels=True), "line")
    assert [float(line["x1"]) for line in lines] == pytest.approx(list(places_mm().values()), abs=0.001)
    assert all(line["x1"] == line["x2"] for line in lines)
    assert all(float(line["y2"]) - float(line["y1"]) == pytest.approx(40.0) for line in lines)


def test_the_octave_is_half_way() -> None:
    assert float(parts(fretboard_svg(board(), name="a", labels=False), "line")[-1]["x1"]) == SCALE_LENGTH_MM / 2


def test_half_frets_are_broken_lines_and_no_others() -> None:
    lines = parts(fretboard_svg(board(), name="a", labels=True), "line")
    broken = {name for name, line in zip(SEMITONES, lines, strict=True) if "stroke-dasharray" in line}
    assert broken == {"1½", "6½"}


def test_every_fret_has_its_number_half_frets_above_the_board() -> None:
    svg = drawn(fretboard_svg(board(), name="a", labels=True))
    numbers = {each.text: float(each.attrib["y"]) for each in svg.iter("{http://www.w3.org/2000/svg}text")}
    assert set(numbers) == set(SEMITONES)
    assert all((y < 0) == ("½" in name) for name, y in numbers.items())


def test_numbers_that_would_touch_stand_in_two_rows() -> None:
    close = tuple(fret_line(str(n), 300.0 + 5 * n, 40.0) for n in range(10, 14))
    svg = drawn(fretboard_svg(drawing(400.0, 38.0, 38.0, close), name="a", labels=True))
    rows = [each.attrib["y"] for each in svg.iter("{http://www.w3.org/2000/svg}text")]
    assert len(set(rows)) == 2
    assert float(max(rows, key=float)) < sum(map(float, svg.attrib["viewBox"].split()[1::2]))


def test_the_whole_board_is_in_the_picture() -> None:
    left, top, width, height = map(
        float, drawn(fretboard_svg(board(), name="a", labels=True)).attrib["viewBox"].split()
    )
    assert left < 0
    assert left + width > 400.0
    assert top < -22.0
    assert top + height > 22.0


def test_an_unknown_end_is_drawn_broken() -> None:
    def wood(*, length_is_known: bool) -> str:
        return parts(fretboard_svg(board(length_is_known=length_is_known), name="a", labels=False), "path")[0]["d"]

    assert "Q" in wood(length_is_known=False)
    assert "Q" not in wood(length_is_known=True)


def test_it_has_a_name_for_whoever_cannot_see_it() -> None:
    svg = drawn(fretboard_svg(board(), name="2026-001", labels=False))
    title = next(iter(svg))
    assert svg.attrib["role"] == "img"
    assert svg.attrib["aria-labelledby"] == title.attrib["id"]
    assert "9 frets, 2 of them half frets" in (title.text or "")


def test_colours_come_from_the_page_alone() -> None:
    svg = str(fretboard_svg(board(), name="a", labels=True))
    assert "#" not in svg
    assert "fill=" not in svg


def test_two_boards_share_no_id_and_one_board_is_the_same_twice() -> None:
    def ids(name: str) -> set[str]:
        return {
            each.attrib["id"]
            for each in drawn(fretboard_svg(board(), name=name, labels=True)).iter()
            if "id" in each.attrib
        }

    assert ids("a b").isdisjoint(ids("a-b"))
    assert fretboard_svg(board(), name="a", labels=True) == fretboard_svg(board(), name="a", labels=True)


@pytest.mark.parametrize("name", ['"><script>', "½", "a/b", "ÄÖ"])
def test_any_name_makes_a_safe_id(name: str) -> None:
    assert id_prefix(name).replace("-", "").isascii()
    assert id_prefix(name).replace("-", "").isalnum()


def test_names_that_are_safe_stay_as_they_are() -> None:
    assert id_prefix("2026-014") == "2026-014"


def with_strings() -> PublishedDrawing:
    """Two strings over the board, the second short, with a note on each at the first fret."""
    place = places_mm()["1"]
    strings = tuple(
        PublishedStringLine(PublishedPoint(start, y), PublishedPoint(400.0, y), 0.5)
        for start, y in ((0.0, 14.0), (place, -14.0))
    )
    notes = (
        PublishedFretNote(PublishedPoint(place / 2, 14.0), "E3"),
        PublishedFretNote(PublishedPoint(place / 2, -14.0), "B♭3"),
    )
    frets = tuple(fret_line(name, each, 40.0) for name, each in places_mm().items())
    return drawing(400.0, 38.0, 44.0, frets, strings=strings, notes=notes)


def test_strings_run_from_the_nut_or_from_where_they_start() -> None:
    lines = [
        each
        for each in parts(fretboard_svg(with_strings(), name="a", labels=True), "line")
        if each["class"] == "bb-board-string"
    ]
    assert [float(line["x1"]) for line in lines] == pytest.approx([0.0, places_mm()["1"]], abs=0.001)
    assert [float(line["y1"]) for line in lines] == [14.0, -14.0]


def test_notes_are_named_on_wish_without_their_octave() -> None:
    with_notes = drawn(fretboard_svg(with_strings(), name="a", labels=False, notes=True))
    assert [each.text for each in with_notes.iter("{http://www.w3.org/2000/svg}text")] == ["E", "B♭"]
    without = drawn(fretboard_svg(with_strings(), name="a", labels=False))
    assert list(without.iter("{http://www.w3.org/2000/svg}text")) == []


def test_names_with_no_room_are_left_out_and_never_overlap() -> None:
    frets = tuple(fret_line(str(n + 1), 300.5 + n, 40.0) for n in range(20))
    crowded = tuple(PublishedFretNote(PublishedPoint(300.0 + n, 14.0), "C♯4") for n in range(20))
    texts = parts(
        fretboard_svg(drawing(400.0, 38.0, 44.0, frets, notes=crowded), name="a", labels=False, notes=True), "text"
    )
    places = [float(text["x"]) for text in texts]
    assert 1 <= len(places) < 20
    assert all(after - before > 5 for before, after in itertools.pairwise(places))


def named(*frets: tuple[str, float]) -> list[str | None]:
    """The names drawn on a board of two courses with these frets, A before each whole fret and B before each half."""
    lines = tuple(fret_line(name, x, 40.0) for name, x in frets)
    notes = tuple(
        PublishedFretNote(PublishedPoint(x - 2.0, y), "B4" if "½" in name else "A4")
        for name, x in frets
        for y in (9, -9)
    )
    board = drawing(400.0, 38.0, 44.0, lines, notes=notes)
    texts = drawn(fretboard_svg(board, name="a", labels=False, notes=True)).iter("{http://www.w3.org/2000/svg}text")
    return [each.text for each in texts]


def test_where_frets_crowd_the_names_of_half_frets_go_first_and_all_of_them() -> None:
    assert named(("12", 300.0), ("12½", 303.0), ("13", 308.0)) == ["A", "A", "A", "A"]
    assert named(("12", 300.0), ("12½", 320.0), ("13", 340.0)).count("B") == 2


def test_no_name_stands_over_the_edge_of_the_board() -> None:
    frets = (fret_line("1", 100.0, 40.0),)
    notes = tuple(PublishedFretNote(PublishedPoint(50.0, y), "A4") for y in (18.5, -18.5))
    texts = parts(
        fretboard_svg(drawing(400.0, 38.0, 38.0, frets, notes=notes), name="a", labels=False, notes=True), "text"
    )
    feet = [float(text["y"]) for text in texts]
    assert max(feet) <= 19.0
    assert min(feet) - 400.0 / 62 * 0.66 >= -19.0  # capitals of Source Sans are 0.66 of their size (its own metrics)


def test_names_on_a_leaning_board_keep_to_the_room_between_courses() -> None:
    lean = replace(
        fret_line("1", 100.0, 40.0), bass=PublishedPoint(90.0, 20.0), treble=PublishedPoint(110.0, -20.0), degrees=-26.6
    )
    notes = tuple(PublishedFretNote(PublishedPoint(60.0 - y / 2, y), "A4") for y in (6.0, 2.0, -2.0, -6.0))
    svg = fretboard_svg(drawing(400.0, 38.0, 38.0, (lean,), notes=notes), name="a", labels=False, notes=True)
    (group,) = [each for each in parts(svg, "g") if each.get("class") == "bb-board-notes"]
    assert float(group["font-size"]) == 4.0


def test_a_zero_fret_stands_clear_of_the_nut() -> None:
    frets = (fret_line("1", 100.0, 40.0),)
    svg = fretboard_svg(drawing(400.0, 38.0, 38.0, frets, zero_fret=True), name="a", labels=True)
    fret_places = [float(line["x1"]) for line in parts(svg, "line")]
    assert 0.0 in fret_places
    nut = next(each["d"] for each in parts(svg, "path") if each["class"] == "bb-board-nut")
    assert max(float(x) for x in re.findall(r"[ML](-?[\d.]+)", nut)) < -2.0


def test_a_short_string_has_a_small_nut_of_its_own() -> None:
    (nut,) = parts(fretboard_svg(with_strings(), name="a", labels=True), "rect")
    assert float(nut["x"]) + float(nut["width"]) == pytest.approx(places_mm()["1"], abs=0.002)
    assert float(nut["y"]) + float(nut["height"]) / 2 == pytest.approx(-14.0, abs=0.002)


def test_a_partial_fret_is_drawn_as_far_as_it_reaches() -> None:
    short = replace(fret_line("1½", 100.0, 40.0), is_partial=True, bass=PublishedPoint(100.0, 6.0))
    svg = fretboard_svg(drawing(400.0, 38.0, 44.0, (short,)), name="a", labels=True)
    (line, *_) = parts(svg, "line")
    assert (line["y1"], line["y2"]) == ("-20.000", "6.000")
    assert "under some strings only" in svg


def test_markers_are_of_one_size_and_lie_over_no_fret() -> None:
    frets = (fret_line("13½", 300.0, 40.0), fret_line("14", 307.0, 40.0))
    markers = parts(fretboard_svg(drawing(600.0, 38.0, 38.0, frets, (150.0, 303.5)), name="a", labels=True), "circle")
    radii = {float(marker["r"]) for marker in markers}
    assert len(radii) == 1
    assert 1.0 < radii.pop() < 3.5 - 600 / 330 / 2


def test_a_leaning_fret_is_drawn_from_end_to_end() -> None:
    lean = fret_line("1", 100.0, 40.0)
    lean = replace(lean, bass=PublishedPoint(90.0, 20.0), treble=PublishedPoint(110.0, -20.0), degrees=-26.6)
    (line, *_) = parts(fretboard_svg(drawing(400.0, 38.0, 44.0, (lean,)), name="a", labels=True), "line")
    assert (line["x1"], line["y1"], line["x2"], line["y2"]) == ("110.000", "-20.000", "90.000", "20.000")
    assert "leaning like a fan" in fretboard_svg(drawing(400.0, 38.0, 44.0, (lean,)), name="a", labels=True)
