"""What a hand must span, and whether slot and wire go together."""

from __future__ import annotations

import pytest

from builder.calculations.answers import Outside
from builder.calculations.frets import FretNumber, distance_from_nut_mm, numbered_frets
from builder.calculations.fretting import fit_of, slot_depth_mm, steps_of_wire
from builder.calculations.reach import Shape, read_shape, span_mm
from builder.calculations.temperaments import equal_ratio
from builder.lengths import NotUnderstood

PLACES = {
    fret.number: distance_from_nut_mm(27 * 25.4, equal_ratio(fret.semitones, 12))
    for fret in numbered_frets("diatonic", FretNumber(34))
}


def test_a_span_worked_by_hand() -> None:
    """Frets 1 and 3 of a diatonic board of 27 in: 6.773 − 2.946 = 3.827 in."""
    span = span_mm(read_shape("1-3"), PLACES)
    assert not isinstance(span, Outside)
    assert span / 25.4 == pytest.approx(3.827, abs=0.0005)
    assert span_mm(read_shape("1-0-3"), PLACES) == span
    assert span_mm(read_shape("3 – 1"), PLACES) == span


def test_open_strings_need_no_finger_and_one_finger_no_span() -> None:
    assert span_mm(read_shape("0-0"), PLACES) == 0
    assert span_mm(read_shape("0-5"), PLACES) == 0


def test_a_fret_that_is_not_there_is_said() -> None:
    assert span_mm(read_shape("1-6½"), PLACES) == Outside("there is no fret 6½ on this board")


@pytest.mark.parametrize("text", ["", "3", "1-", "a-b", "1/3"])
def test_what_is_no_shape(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_shape(text)


def test_a_shape_is_printed_as_it_is_read() -> None:
    shape = Shape((FretNumber(4), FretNumber(0), FretNumber(13)))
    assert str(shape) == "2-0-6½"
    assert read_shape(str(shape)) == shape


@pytest.mark.parametrize(
    ("slot", "fit"), [(0.019, "too tight"), (0.020, "holds"), (0.0319, "holds"), (0.032, "loose"), (0.040, "loose")]
)
def test_a_slot_holds_between_tang_and_barbs(slot: float, fit: str) -> None:
    assert fit_of(slot, 0.020, 0.032) == fit


def test_depth_and_wire() -> None:
    """Common practice: half a millimetre under the tang, about an eighth of an inch over at each end."""
    assert slot_depth_mm(1.5) == 2.0
    assert steps_of_wire([40.0] * 10, 25.4) == 19  # ten times 46 mm are 18.1 in
    assert steps_of_wire([44.0, 44.0], 50.0) == 2
