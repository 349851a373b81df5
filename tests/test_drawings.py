"""The fretboard drawing: true to scale, told apart from others on the page, harmless whatever the record says."""

from __future__ import annotations

import html5lib
import pytest

from builder.calculations.frets import distance_from_nut_mm, equal_tempered_ratio
from builder.drawings.fretboard import fretboard_svg
from builder.drawings.naming import id_prefix
from builder.published import PublishedDrawing, PublishedFretLine

SCALE_LENGTH_MM = 27 * 25.4
#: Frets 1, 1½, 2 … 7 of a diatonic board with 1½ and 6½ added, as semitones.
SEMITONES = {"1": 2, "1½": 3, "2": 4, "3": 5, "4": 7, "5": 9, "6": 10, "6½": 11, "7": 12}


def places_mm() -> dict[str, float]:
    return {name: distance_from_nut_mm(SCALE_LENGTH_MM, equal_tempered_ratio(n)) for name, n in SEMITONES.items()}


def board(*, length_is_known: bool = True, width_at_end_mm: float = 44.0) -> PublishedDrawing:
    frets = tuple(PublishedFretLine(name, "½" in name, place, 40.0) for name, place in places_mm().items())
    return PublishedDrawing(400.0, length_is_known, 38.0, width_at_end_mm, frets, (157.0,))


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
    close = tuple(PublishedFretLine(str(n), False, 300.0 + 5 * n, 40.0) for n in range(10, 14))
    svg = drawn(fretboard_svg(PublishedDrawing(400.0, True, 38.0, 38.0, close, ()), name="a", labels=True))
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
