"""Lengths as a workshop writes them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.lengths import Length, NotUnderstood, Unit, plain_fractions, read_length, read_number, said_in, trimmed
from tests import strategies

IN = Fraction(254, 10)

#: As written ─► millimetres, the bare unit being inches.
WRITTEN = {
    "27 1/2 in": Fraction(55, 2) * IN,
    '27-1/2"': Fraction(55, 2) * IN,
    "27-1/2 in": Fraction(55, 2) * IN,
    "27½ in": Fraction(55, 2) * IN,
    '27½"': Fraction(55, 2) * IN,
    "27 ½ in": Fraction(55, 2) * IN,
    "27-½ in": Fraction(55, 2) * IN,
    "27 1⁄2 in": Fraction(55, 2) * IN,
    "27½″": Fraction(55, 2) * IN,
    "27½”": Fraction(55, 2) * IN,
    "27.5in": Fraction(55, 2) * IN,
    "27.5 inches": Fraction(55, 2) * IN,
    "1 inch": IN,
    "1 IN": IN,
    "½ in": IN / 2,
    "1/64 in": IN / 64,
    ".110 in": Fraction(11, 100) * IN,
    "0.110 in": Fraction(11, 100) * IN,
    "7⅛ in": Fraction(57, 8) * IN,
    "2 ft 3 1/2 in": Fraction(55, 2) * IN,
    "2 feet 3.5 inches": Fraction(55, 2) * IN,
    "2' 3 1/2\"": Fraction(55, 2) * IN,
    "2'3½\"": Fraction(55, 2) * IN,
    "2′ 3½″": Fraction(55, 2) * IN,
    "2’ 3½”": Fraction(55, 2) * IN,
    "2 1/2 ft": 30 * IN,
    "1 foot": 12 * IN,
    "698.5 mm": Fraction(6985, 10),
    "698.5mm": Fraction(6985, 10),
    "698.5 millimetres": Fraction(6985, 10),
    "698.5 millimeters": Fraction(6985, 10),
    "69.85 cm": Fraction(6985, 10),
    "0.6985 m": Fraction(6985, 10),
    "27 1/2": Fraction(55, 2) * IN,
    "27.5": Fraction(55, 2) * IN,
    "  27.5  in  ": Fraction(55, 2) * IN,
    "0 in": Fraction(0),
}


@pytest.mark.parametrize(("text", "mm"), WRITTEN.items())
def test_a_length_is_read_as_it_is_written(text: str, mm: Fraction) -> None:
    assert read_length(text, "in") == Length(mm)


@pytest.mark.parametrize(("unit", "mm"), [("in", 28 * IN), ("mm", Fraction(28))])
def test_a_bare_number_is_in_the_unit_of_the_shop(unit: Unit, mm: Fraction) -> None:
    assert read_length("28", unit) == Length(mm)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("27,5 in", "«27,5 in» has a comma in its number", "write a decimal point: 27.5 in"),
        (
            "1,000 mm",
            "«1,000 mm» has a comma in its number",
            "write a decimal point: 1.000 mm, or no comma if it groups thousands: 1000 mm",
        ),
        ("-3 in", "«-3 in» has a sign", "a length has none; write it like 27 1/2 in or 698.5 mm"),
        ("−3 in", "«−3 in» has a sign", "a length has none; write it like 27 1/2 in or 698.5 mm"),
        ("+3 in", "«+3 in» has a sign", "a length has none; write it like 27 1/2 in or 698.5 mm"),
        ("1e3", "«e» is no unit of length here", "use in, ft, mm, cm or m; write it like 27 1/2 in or 698.5 mm"),
        ("3 furlongs", "«furlongs» is no unit of length here",
         "use in, ft, mm, cm or m; write it like 27 1/2 in or 698.5 mm"),
        ("1_000 mm", "«1_000 mm» is not a length", "write it like 27 1/2 in or 698.5 mm"),
        ("٣ mm", "«٣ mm» is not a length", "write it like 27 1/2 in or 698.5 mm"),
        ("３ mm", "«３ mm» is not a length", "write it like 27 1/2 in or 698.5 mm"),
        ("", "there is no length here", "write it like 27 1/2 in or 698.5 mm"),
        ("in", "«in» is not a length", "write it like 27 1/2 in or 698.5 mm"),
        ("three inches", "«three inches» is not a length", "write it like 27 1/2 in or 698.5 mm"),
        ("27 1/0 in", "«27 1/0» divides by zero", "write it like 27 1/2"),
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused_with_a_hint(text: str, message: str, hint: str) -> None:
    with pytest.raises(NotUnderstood) as refused:
        read_length(text, "in")
    assert (refused.value.message, refused.value.hint) == (message, hint)


@pytest.mark.parametrize(
    "text",
    ["27 28", "2 ft 3", "2 in 3 ft", "1 m 20 cm", "27 in 28 in", "27.5.3 in", "1/2/3 in", "27½½ in", "27 - 1/2 in",
     "0x1b in", "inf", "nan", "27 in.", "1.2e-3 in", "27 in; 28", "2 ft 3 in 4 in", "9" * 30, "27\n28"],
)  # fmt: skip
def test_nothing_is_guessed(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_length(text, "in")


@given(st.text())
def test_any_text_is_a_length_or_refused(text: str) -> None:
    try:
        length = read_length(text, "mm")
    except NotUnderstood as refused:
        hint = refused.hint
    else:
        assert length.exact_mm >= 0
        return
    assert hint


def test_an_inch_is_25_4_mm_exactly() -> None:
    """International Yard and Pound agreement, 1959; NIST SP 811, appendix B."""
    assert read_length("1 in", "mm").exact_mm == Fraction("25.4")
    assert read_length("1 ft", "mm").exact_mm == Fraction("304.8")


@pytest.mark.parametrize(
    ("text", "inches", "mm"),
    [
        ("27 1/2 in", "27 1/2 in", "698.5 mm"),
        ("0.110 in", "0.110 in", "2.79 mm"),
        ("3/64 in", "3/64 in", "1.19 mm"),
        ("32/64 in", "1/2 in", "12.7 mm"),
        ("650 mm", "25.591 in", "650 mm"),
        ("1/3 in", "0.333 in", "8.47 mm"),
        ("0 in", "0 in", "0 mm"),
    ],
)
def test_a_length_is_said_in_either_unit(text: str, inches: str, mm: str) -> None:
    assert (said_in(read_length(text, "in"), "in"), said_in(read_length(text, "in"), "mm")) == (inches, mm)


@given(strategies.lengths)
def test_a_length_said_and_read_again_is_the_same_within_its_rounding(length: Length) -> None:
    as_mm = read_length(said_in(length, "mm"), "in")
    as_inches = read_length(said_in(length, "in"), "mm")
    a_hair = Fraction(1, 10**9)  # said_in rounds the nearest binary number
    assert abs(as_mm.exact_mm - length.exact_mm) <= Fraction("0.005") + a_hair
    assert abs(as_inches.exact_mm - length.exact_mm) <= Fraction("0.0005") * IN + a_hair


@given(strategies.lengths_on_a_64th_rule)
def test_a_mark_of_a_64th_rule_said_and_read_again_is_the_very_mark(length: Length) -> None:
    assert read_length(said_in(length, "in"), "mm") == length


def test_lengths_have_an_order_and_both_units() -> None:
    one, two = Length.from_inches(1), Length.from_mm(26)
    assert one < two
    assert two >= one
    assert (one.mm, one.inches, two.mm) == (25.4, 1.0, 26.0)


@pytest.mark.parametrize(("text", "number"), [("27", 27), ("27.5", "27.5"), ("1/2", "1/2"), ("27-1/2", "55/2")])
def test_a_plain_number_is_exact(text: str, number: str) -> None:
    assert read_number(text) == Fraction(number)


@pytest.mark.parametrize("text", ["", "-1", "1e3", "1_0", "٣", "1.", "half", "1,5", "½"])
def test_what_is_no_plain_number_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood):
        read_number(text)


def test_every_fraction_sign_is_read() -> None:
    # The signs' values are Unicode's own (numeric value in the character database).
    import unicodedata

    for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞":
        assert float(read_number(plain_fractions(sign))) == pytest.approx(unicodedata.numeric(sign))


@pytest.mark.parametrize(("number", "text"), [(650.0, "650"), (698.5, "698.5"), (0.126, "0.13"), (-0.001, "0")])
def test_trailing_zeros_and_the_sign_of_nothing_are_left_out(number: float, text: str) -> None:
    assert trimmed(number, 2) == text
