"""The rosette: another one for every other fingerprint, told in words, within its circle, and the same for good."""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path

import html5lib
import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.certificates.fingerprint import SIGNS, fingerprint_of
from builder.drawings.guilloche import WEAVES, Band, shapes_of, strands_of
from builder.drawings.rosette import MOST_PETALS, rosette_in_words, rosette_of, rosette_svg
from builder.pages.instrument import instrument_page
from builder.published.beside import PublishedBeside
from builder.published.issued import PublishedIssue
from tests.page_reading import part, words
from tests.rosette_ink import HALF, Numbers, drawn_in, tones_of, tree_of
from tests.small_shop import publish_all

KEPT = Path(__file__).parent / "rosettes"
FINGERPRINTS = st.text(SIGNS, min_size=32, max_size=32)
#: What rounding may add to the length of a line.
ROUNDED = 0.1


def number_of_crests(band: Band) -> int:
    """How often the first strand of a band is farthest from the middle, over a whole turn."""
    (strand, *_) = strands_of(band)
    far = np.array([abs(strand(turn)) for turn in np.arange(0, band.petals, 1 / 64)])
    return int(np.sum((far > np.roll(far, 1)) & (far >= np.roll(far, -1))))


def distances(places: npt.NDArray[np.complex128], line: npt.NDArray[np.complex128]) -> Numbers:
    """How far each place is from a line of many short straight pieces."""
    starts, ways = line[:-1], np.diff(line)
    starts, ways = starts[np.abs(ways) > 0], ways[np.abs(ways) > 0]
    along = np.clip(((places[:, None] - starts) / ways).real, 0, 1)
    nearest: Numbers = np.abs(places[:, None] - starts - along * ways).min(axis=1)
    return nearest


@pytest.mark.parametrize("kept", sorted(KEPT.glob("*.svg")), ids=lambda path: path.stem)
def test_what_is_on_paper_is_drawn_and_told_so_for_good(kept: Path) -> None:
    """The rosettes of three fingerprints as they were first drawn; an issued certificate shows them for ever.

    Numbers may differ by a hundredth: machines round the last digit of a sine each in its own way.
    """
    number = re.compile(r"-?\d*\.?\d+")
    was, now = kept.read_text(encoding="utf-8"), f"{rosette_svg(kept.stem, name='kept')}\n"
    assert re.search(r"<desc[^>]*>(.*)</desc>", was, re.DOTALL), "a kept rosette has its words with it"
    assert number.sub("#", was) == number.sub("#", now)
    near = np.array([[*map(float, number.findall(text))] for text in (was, now)])
    assert np.abs(near[0] - near[1]).max() <= 0.011


def test_any_one_sign_changed_changes_picture_and_words() -> None:
    signs = fingerprint_of(b"any certificate").replace(" ", "")
    others = [f"{signs[:at]}{sign}{signs[at + 1 :]}" for at in range(32) for sign in SIGNS if sign != signs[at]]
    told = [rosette_in_words(each) for each in (signs, *others)]
    assert len(told) == 1 + 32 * 31
    assert len(set(told)) == len(told)
    assert len({rosette_of(each) for each in (signs, *others)}) == len(told)


@settings(max_examples=30)
@given(FINGERPRINTS, st.integers(0, 31), st.sampled_from(SIGNS))
def test_another_sign_is_another_rosette(signs: str, at: int, sign: str) -> None:
    other = f"{signs[:at]}{sign}{signs[at + 1 :]}"
    assert (rosette_svg(other, name="a") == rosette_svg(signs, name="a")) == (sign == signs[at])
    assert (rosette_in_words(other) == rosette_in_words(signs)) == (sign == signs[at])


def test_any_two_differ_at_a_glance() -> None:
    """Pictures of 32 by 32 tones differ, tone by tone, by more than a twentieth of the way from paper to ink.

    (Of the 499,500 pairs of a thousand, half differed by more than 0.23, one in ten thousand by less than 0.051, and
    the two most alike by 0.031: dark all over, but for edge, inner ring and flower.)
    """
    pictures = [tones_of(rosette_svg(fingerprint_of(bytes([n])), name="a")) for n in range(24)]
    apart = [float(np.abs(one - other).mean()) for one, other in itertools.combinations(pictures, 2)]
    assert min(apart) > 0.05
    assert 0.15 < np.median(apart) < 0.3


@given(FINGERPRINTS)
def test_every_choice_is_within_its_range(signs: str) -> None:
    rosette = rosette_of(signs)
    assert len(rosette.rings) in (2, 3)
    assert 5 <= rosette.points <= 12
    assert sum(ring.is_widest for ring in rosette.rings) <= 1
    for ring, within in itertools.pairwise((*rosette.rings, None)):
        band = ring.band if ring else None
        assert band is not None
        assert 14.5 < band.inner < band.outer < 45.5
        assert band.outer - band.inner > 7
        assert 5 <= band.petals <= MOST_PETALS
        assert 7.9 < 2 * math.pi * band.middle / band.petals <= 20
        assert 2 <= band.strands <= 9
        assert band.shape in shapes_of(band.weave)
        if within:
            assert within.band.outer < band.inner


@given(FINGERPRINTS)
def test_the_words_tell_what_is_drawn(signs: str) -> None:
    words, rosette = rosette_in_words(signs), rosette_of(signs)
    assert words.startswith({2: "Two", 3: "Three"}[len(rosette.rings)])
    assert f"in a {rosette.edge} edge: " in words
    told = [*map(int, re.findall(r"of (\d+)", words))]
    assert told == [*(ring.band.petals for ring in rosette.rings), rosette.points]
    assert [*map(int, re.findall(r"(\d+) strands", words))] == [ring.band.strands for ring in rosette.rings]
    assert words.count("on a solid ground") == sum(ring.is_solid for ring in rosette.rings)
    assert words.count("the widest") == sum(ring.is_widest for ring in rosette.rings)
    assert words.endswith("on a solid disc." if rosette.disc_is_solid else "on an open disc.")
    assert len(words) < 400


@pytest.mark.parametrize("weave", WEAVES)
@pytest.mark.parametrize("petals", [5, 12, 24])
def test_a_band_has_as_many_crests_as_petals_and_keeps_between_its_circles(weave: str, petals: int) -> None:
    (weave,) = (each for each in WEAVES if each == weave)
    for shape in shapes_of(weave):
        band = Band(20.0, 30.0, petals, shape, weave, 4)
        assert number_of_crests(band) == petals
        for strand in strands_of(band):
            far = [abs(strand(turn / 200)) for turn in range(201)]
            assert min(far) > 20.0 - 1e-9
            assert max(far) < 30.0 + 1e-9
            whole = complex(math.cos(2 * math.pi / petals), math.sin(2 * math.pi / petals))
            assert abs(strand(1.0) - strand(0.0) * whole) < 1e-9, "a strand goes on where the next petal begins"


def test_loops_are_the_curves_of_a_rolling_wheel() -> None:
    """Trochoids as any handbook of curves has them: x = (a ∓ b) cos t ± d cos((a ∓ b)t/b), likewise y with the sine.

    The wheel inside a circle of radius 25 + b with b = 25/8 has loops turned outwards, outside one of 25 − b inwards.
    """
    for weave, sign in (("looped outwards", -1), ("looped inwards", 1)):
        (looped,) = (each for each in WEAVES if each == weave)
        (first, *_) = strands_of(Band(20.0, 30.0, 9, "round", looped, 2))
        wheel = 25.0 / (9 + sign)
        for step in range(50):
            t = 2 * math.pi * step / 50 / 9
            along = 25.0 * complex(math.cos(t), math.sin(t))
            rolled = t * 25.0 / wheel
            on_wheel = 5.0 * complex(math.cos(rolled), sign * math.sin(rolled))
            assert abs(first(step / 50) - (along + on_wheel) * -1j) < 1e-9


@settings(max_examples=40)
@given(FINGERPRINTS)
def test_it_is_well_formed_small_and_within_its_circle(signs: str) -> None:
    svg = rosette_svg(signs, name="2026-014")
    assert len(svg.encode()) < 12_000
    tree = tree_of(svg)
    assert tree.attrib["viewBox"] == "-50 -50 100 100"
    for circle in tree.iter("circle"):
        assert float(circle.attrib["r"]) + float(circle.get("stroke-width", tree.attrib["stroke-width"])) / 2 <= HALF
    ids = [element.attrib["id"] for element in tree.iter() if "id" in element.attrib]
    assert len(set(ids)) == len(ids)
    assert all(each.startswith("2026-014-rosette") for each in ids)
    assert {use.attrib["href"].removeprefix("#") for use in tree.iter("use")} <= set(ids)
    html5lib.HTMLParser(strict=True).parseFragment(svg)


@pytest.mark.parametrize("number", range(6))
def test_its_curves_are_drawn_where_they_are(number: int) -> None:
    """The path as another program reads it keeps between the circles of its band, all the way round."""
    signs = fingerprint_of(f"curves {number}".encode())
    groups = list(tree_of(rosette_svg(signs, name="a")).iter("g"))
    for ring, group in zip(rosette_of(signs).rings, groups, strict=False):
        (drawn,) = drawn_in(group)
        assert len(drawn.lines) == ring.band.strands * ring.band.petals
        far = np.hypot(*np.concatenate(drawn.lines).T)
        assert ring.band.inner - ROUNDED <= far.min()
        assert far.max() <= ring.band.outer + ROUNDED
        for line, strand in zip(drawn.lines, strands_of(ring.band), strict=False):
            exact = np.array([strand(turn) for turn in np.linspace(0, 1, 40)])
            off = distances(exact, line[:, 0] + 1j * line[:, 1])
            assert off.max() < 0.1, "a quarter of the finest line"
    figure = np.concatenate([line for each in drawn_in(groups[-1]) for line in each.lines])
    assert np.hypot(*figure.T).max() < 13.4


def test_it_is_told_apart_from_others_on_the_page() -> None:
    signs = fingerprint_of(b"")
    assert rosette_svg(signs, name="one") != rosette_svg(signs, name="other")
    assert rosette_svg(signs, name="one") == rosette_svg(signs.replace(" ", ""), name="one")


def test_the_page_of_an_issued_instrument_shows_and_tells_it(tmp_path: Path) -> None:
    by_serial, shop = publish_all(tmp_path)
    fingerprint = fingerprint_of(b"issued")
    beside = PublishedBeside(issue=PublishedIssue("C-2026-014", "2026-05-09", fingerprint))
    section = part(instrument_page(by_serial["2026-014"], shop, beside), "certificate")
    assert rosette_in_words(fingerprint) in words(section)
    figure = section.find(".//figure/{http://www.w3.org/2000/svg}svg")
    assert figure is not None
    assert figure.get("class") == "bb-rosette"
    draft = part(instrument_page(by_serial["2026-014"], shop, PublishedBeside(), for_the_shop=True), "certificate")
    assert draft.find(".//figure") is None
