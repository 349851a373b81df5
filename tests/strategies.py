"""Values and files for hypothesis, shared by the tests."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from hypothesis import strategies as st

from builder.calculations.rules import Graduation
from builder.lengths import Length
from tests.conftest import RECORDS

#: Scale lengths that the record's own limits let through, in millimetres.
scale_lengths_mm = st.floats(100, 2500)

#: Rules a shop may own: halved inches, decimal inches, millimetres.
graduations = st.sampled_from(
    [
        *(Graduation(Fraction(1, parts), "in") for parts in (4, 8, 10, 16, 32, 50, 64, 100)),
        *(Graduation(Fraction(size), "mm") for size in ("0.1", "0.5", "1", "2", "10")),
    ]
)

lengths = st.builds(Length, st.fractions(0, 3000, max_denominator=100_000))

#: Marks of a 64th rule up to ten feet.
lengths_on_a_64th_rule = st.integers(0, 64 * 120).map(
    lambda sixtyfourths: Length(Fraction(sixtyfourths, 64) * 254 / 10)
)

GOOD_FILES = sorted((RECORDS / "good_shop").rglob("*.yaml"))

#: Signs and pieces that mean something to YAML, to the records, or to neither.
PIECES = [
    *"abz019 \n:-,#[]{}&*!|>'\"%@`~?\\½½\t\r\x00\x07\x85\ufeff\u2028\u202e\u200b\u00a0é東😀=.+/",
    "\n  ", "\n    ", ": ", "- ", "? ", "<<: ", "---\n", "...\n", "%YAML 1.2\n", "!!int ", "&a ", "*a ", "|\n", ">-\n",
    "#3", " # ", "format: 1\n", "serial: ", "kind: x\n", "spec:\n", "frets: {layout: diatonic, last: 17}",
    "rules: [{name: a, marks: 1/64 in}]", "billets:\n", "27 1/2 in", "27,5", "1e999", "1_000", "٣", "2026-02-30",
    "\\ud800", "\\UFFFFFFFF", '"\\x00"', "[" * 30, "{" * 30, "9" * 30, "a[b", "a[9]", ".", "null", "yes", "-0",
]  # fmt: skip

any_bytes = st.binary(max_size=400)
yaml_like = st.lists(st.sampled_from(PIECES), max_size=60).map(lambda pieces: "".join(pieces).encode())


@st.composite
def spoilt_good_files(draw: st.DrawFn) -> bytes:
    """A good file with a few letters or lines taken out, doubled, put in, or changed for something else."""
    path: Path = draw(st.sampled_from(GOOD_FILES))
    text = path.read_text(encoding="utf-8")
    for _ in range(draw(st.integers(1, 4))):
        where = draw(st.integers(0, len(text)))
        kind = draw(st.sampled_from(["out", "double", "in", "line out", "line double", "value"]))
        if kind == "out":
            text = text[:where] + text[where + draw(st.integers(1, 12)) :]
        elif kind == "double":
            text = text[:where] + text[max(0, where - draw(st.integers(1, 12))) :]
        elif kind == "in":
            text = text[:where] + draw(st.sampled_from(PIECES)) + text[where:]
        else:
            lines = text.split("\n")
            number = draw(st.integers(0, len(lines) - 1))
            key, colon, _ = lines[number].partition(": ")
            changed = {
                "line out": [],
                "line double": [lines[number]] * 2,
                "value": [f"{key}{colon or ': '}{draw(st.sampled_from(PIECES))}"],
            }[kind]
            text = "\n".join([*lines[:number], *changed, *lines[number + 1 :]])
    return text.encode("utf-8", "replace")


any_files = st.one_of(any_bytes, yaml_like, spoilt_good_files())
