"""`boutbook new` and `boutbook repeat`: what goes along, what stays behind, what is asked, and which serial comes."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from builder import command_line
from builder.commands import orders
from builder.editing.carried import carried_over
from builder.entries.serials import next_serials
from builder.publish import publish
from builder.published import as_json
from builder.workshop import open_shop
from tests.shops import REPOSITORY, files_below

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
finish_schedules: {oil varnish: {product: tung oil varnish}}
"""
RACK = "format: 1\nbillets: {W-1: {species: black walnut}, W-2: {species: red spruce}}\n"
PATTERN = """\
# Our teardrop.
format: 1
name: Teardrop
kind: mountain dulcimer
about: |
  For long arms.
spec:                     # settled in 2019
  scale_length: 28 1/2 in
  # the usual board
  frets: {layout: diatonic, last: 17}
"""
HERON = """\
# Heron, for Ned.
format: 1
serial: 2026-014     # on the peghead
name: Heron
kind: mountain dulcimer
visibility: unlisted
started_from: teardrop
made_by: Ida Marsh
dates: {ordered: 2026-01-13, finished: 2026-04-30, delivered: 2026-05-09}

# Ned has long arms.
spec:
  scale_length: 28 in       # he measured it himself
  frets: {layout: diatonic, add: [6½], last: 17}
  # the board, as he wished it
  fretboard: {length: 28 3/4 in, nut_from_tail: 30 in}
  strings:
    - D3 22w
    - A3 12
    - D4 10 x2
  tunings: [D3 A3 D4]
  wood:
    soundboard: {billet: W-2, length: 29 in, finished: 0.110 in, moisture: 7 %}
    back: {billet: W-1, words: The plank with the nail hole}   # the nail is in the drawer
  finish: {schedule: oil varnish}
  # end of what was agreed

# what was done
build:
  steps:
    - {step: Sides bent, done: 2026-02-20}
    - {step: Box closed, done: 2026-03-04}
  glue_ups: [{parts: [linings, sides], at: 2026-03-04 14:30, glue: hide glue}]
  log: [{date: 2026-02-21, did: A secret of Heron}]
as_built: {weight: 2 lb}
service: [{date: 2028-02-01, did: New strings}]
story: Heron's own story.
"""
PRIVATE = """\
format: 1
buyer:
  name: Ned Pell          # comes by on Fridays
  telephone: 555-0101
order: {agreed: "1,000.00"}
notes: He pays late.
"""
#: Words that belong to Heron, and may be in no instrument begun from it.
ITS_OWN = ("Heron,", "name: Heron", "Ida", "2026-01-13", "2026-04-30", "hide glue", "secret", "2 lb", "2028", "story")

AGAIN = """\
# Started from 2026-014 (Heron).
#
# To decide:
#   - spec.fretboard.length: the fretboard stays 28 3/4 in long; to reach as far beyond the scale as before it
#     would be 27 3/4 in
#   - spec.fretboard.nut_from_tail: the nut stays 30 in from the tail; with the saddle where it was it would
#     be 29 in
#   - spec.frets.last: the last fret stays 17; is that still the highest one wanted?
#   - spec.strings: the strings stay as they are; at the same notes they pull 93% of what they did at 28 in,
#     and would have to be 1.04 times as thick to pull as before
#   - spec.wood: the wood is still sized for 28 in: soundboard 29 in
#   - spec.wood: soundboard from W-2: is there enough left of it?
#   - spec.wood: words are those of the earlier one's wood; do they hold for back?
#   - visibility: 2026-014 is unlisted, and so is this one until you decide otherwise
#
format: 1
serial: 2026-015
kind: mountain dulcimer
# name:                          # if it has one
visibility: unlisted
started_from: 2026-014
dates: {ordered: 2026-11-20}

# Ned has long arms.
spec:
  scale_length: 27 in       # he measured it himself
  frets: {layout: diatonic, add: [6½], last: 17}
  # the board, as he wished it
  fretboard: {length: 28 3/4 in, nut_from_tail: 30 in}
  strings:
    - D3 22w
    - A3 12
    - D4 10 x2
  tunings: [D3 A3 D4]
  wood:
    soundboard: {billet: W-2, length: 29 in, finished: 0.110 in}
    back: {words: The plank with the nail hole, species: black cherry}   # the nail is in the drawer
  finish: {schedule: oil varnish}
  # end of what was agreed

build:
  steps:
    - {step: Sides bent}
    - {step: Box closed}
"""


@pytest.fixture(autouse=True)
def _clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(orders, "today", lambda: date(2026, 11, 24))


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A shop with one pattern and one instrument, 2026-014."""
    for name, text in (
        ("shop.yaml", SHOP),
        ("wood.yaml", RACK),
        ("patterns/teardrop.yaml", PATTERN),
        ("instruments/2026-014/record.yaml", HERON),
        ("instruments/2026-014/private.yaml", PRIVATE),
        ("instruments/2026-014/address.txt", "0123456789abcdefghjkmnpqrs\n"),
    ):
        file = tmp_path / "records" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode())
    return tmp_path


def run(shop: Path, *words: str, given: str = "") -> tuple[int, str]:
    said = CliRunner().invoke(command_line.boutbook, [*words, "--shop", str(shop)], input=given)
    assert said.exception is None or isinstance(said.exception, SystemExit), said.exception
    return said.exit_code, said.output


def written(shop: Path, serial: str, file: str = "record.yaml") -> str:
    return (shop / "records" / "instruments" / serial / file).read_bytes().decode()


def test_an_earlier_one_built_again(bench: Path) -> None:
    before = files_below(bench / "records")
    code, said = run(
        bench, "repeat", "014", "--scale", "27 in", "--set", "spec.wood.back.species=black cherry",
        "--ordered", "2026-11-20", "--same-buyer",
    )  # fmt: skip
    assert code == 0, said
    assert written(bench, "2026-015") == AGAIN
    assert written(bench, "2026-015", "private.yaml") == (
        "# Only for the workshop: never published.\nformat: 1\nbuyer:\n"
        "  name: Ned Pell          # comes by on Fridays\n  telephone: 555-0101\n"
        "# order:\n#   asked_for: …\n#   agreed: …\n"
    )
    after = files_below(bench / "records")
    assert {name: content for name, content in after.items() if "2026-015" not in name} == before
    assert sorted(set(after) - set(before)) == [
        "instruments/2026-015/private.yaml", "instruments/2026-015/record.yaml",
    ]  # fmt: skip
    assert not open_shop(bench, private_files=True).has_errors
    assert "left behind, since it was measured on the wood of 2026-014: moisture of the soundboard" in said
    assert "spec.wood.back.billet is left behind: W-1 is another wood" in said
    asked = [line.strip("# \n") for line in AGAIN.splitlines() if line.startswith("#   - ")]
    assert [line.strip()[:60] for line in said.splitlines() if line.startswith("  - ")] == [
        line.strip()[:60] for line in asked
    ]


def test_nothing_that_was_the_old_ones_own_goes_along(bench: Path) -> None:
    assert run(bench, "repeat", "2026-014")[0] == 0
    text = written(bench, "2026-015") + written(bench, "2026-015", "private.yaml")
    body = text.replace("# Started from 2026-014 (Heron).", "")
    assert [word for word in ITS_OWN if word in body] == []
    assert "Ned Pell" not in text
    assert "address.txt" not in [path.name for path in (bench / "records/instruments/2026-015").iterdir()]


def test_a_record_stays_whole_whatever_happens_to_what_it_started_from(bench: Path) -> None:
    run(bench, "repeat", "2026-014", "--scale", "27 in")
    run(bench, "new", "--pattern", "teardrop")

    def seen() -> list[str]:
        workshop = open_shop(bench, private_files=False)
        assert workshop.shop
        return [
            as_json(publish(each, workshop.shop)) for each in workshop.instruments if each.record.serial != "2026-014"
        ]

    before = seen()
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text(HERON.replace("28 in", "25 in").replace("last: 17", "last: 14").replace("W-2", "W-1"), "utf-8")
    pattern = bench / "records" / "patterns" / "teardrop.yaml"
    pattern.write_text(PATTERN.replace("28 1/2 in", "25 in").replace("last: 17", "last: 14"), "utf-8")
    assert seen() == before
    assert len(before) == 2


def test_a_batch_is_a_record_each_with_its_maker_left_open(bench: Path) -> None:
    code, said = run(bench, "repeat", "014", "--count", "3", "--batch", "Summer school, 2026")
    assert code == 0
    assert "Began 3 instruments, 2026-015, 2026-016 and 2026-017, started from 2026-014 (Heron)." in said
    assert said.rstrip().endswith("For the bench: boutbook sheet 2026-015,2026-016,2026-017 batch")
    texts = [written(bench, f"2026-01{number}") for number in (5, 6, 7)]
    assert len({text.replace(f"2026-01{number}", "…") for number, text in zip((5, 6, 7), texts, strict=True)}) == 1
    assert '\nmade_by:                         # who makes this one\nbatch: "Summer school, 2026"\n' in texts[0]
    records = [each.record for each in open_shop(bench, private_files=False).instruments]
    assert [record.batch for record in records] == [None, *["Summer school, 2026"] * 3]
    run(bench, "repeat", "014", "--count", "2")
    assert '\nbatch: "2 like 2026-014, 2026"\n' in written(bench, "2026-018")


def test_a_new_one_from_a_pattern_and_from_nothing(bench: Path) -> None:
    code, said = run(bench, "new", "--pattern", "teardrop", "--name", "Plover: the second", "--buyer", "Ned & Teo")
    assert code == 0, said
    assert written(bench, "2026-015") == (
        "# Started from the pattern teardrop (Teardrop).\nformat: 1\nserial: 2026-015\nkind: mountain dulcimer\n"
        'name: "Plover: the second"\nstarted_from: teardrop\n'
        "# dates: {ordered: 2026-01-12, promised: 2026-05-15}\n\n"
        "spec:                     # settled in 2019\n  scale_length: 28 1/2 in\n  # the usual board\n"
        "  frets: {layout: diatonic, last: 17}\n"
    )
    assert 'buyer:\n  name: "Ned & Teo"\n' in written(bench, "2026-015", "private.yaml")
    code, said = run(bench, "new", "--kind", "tenor ukulele", "--scale", "17 in")
    assert (code, "Began 2026-016." in said) == (0, True)
    assert "\nspec:\n  scale_length: 17 in                # nominal" in written(bench, "2026-016")
    workshop = open_shop(bench, private_files=True)
    assert not workshop.has_errors
    assert [each.record.kind for each in workshop.instruments if each.record.serial == "2026-016"] == ["tenor ukulele"]
    uncommented = written(bench, "2026-016").replace("\n  # ", "\n  ").replace("  wood:\n  #", "  wood:\n  ")
    assert yaml.safe_load(uncommented.replace("  What else", "  # What else"))["spec"].keys() >= {
        "frets",
        "wood",
        "finish",
    }


def test_the_steps_of_a_pattern_go_along_without_hours_where_there_are_none_yet(bench: Path) -> None:
    steps = "steps:\n  - {step: Sides bent, hours: 4 h}\n  - {step: Box closed}\n  - {step: Sides bent, hours: 1 h}\n"
    (bench / "records" / "patterns" / "teardrop.yaml").write_text(PATTERN + steps, "utf-8")
    taken_over = "\nbuild:\n  steps:\n    - {step: Sides bent}\n    - {step: Box closed}\n"
    assert run(bench, "new", "--pattern", "teardrop")[0] == 0
    assert written(bench, "2026-015").endswith(taken_over)
    record = bench / "records" / "instruments" / "2026-015" / "record.yaml"
    record.write_text(record.read_text("utf-8").replace(taken_over, ""), "utf-8")
    assert run(bench, "repeat", "2026-015")[0] == 0
    assert written(bench, "2026-016").endswith(taken_over)
    record.write_text(record.read_text("utf-8") + "\nbuild: {steps: [{step: Carved, done: 2026-11-20}]}\n", "utf-8")
    assert run(bench, "repeat", "2026-015")[0] == 0
    assert written(bench, "2026-017").endswith("\nbuild:\n  steps:\n    - {step: Carved}\n")


def test_on_a_terminal_it_is_asked_what_matters(bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert "nothing says what it is to be; add --pattern NAME, or --kind" in run(bench, "new")[1]
    monkeypatch.setattr(orders, "is_a_terminal", lambda: True)
    code, said = run(bench, "new", given="teardrop\nPlover\n27 in\n")
    assert code == 0
    assert "Start from which pattern (teardrop; nothing for none)" in said
    text = written(bench, "2026-015")
    assert "name: Plover\n" in text
    assert "scale_length: 27 in\n" in text
    assert run(bench, "new", given="\ncittern\n\n\n")[0] == 0
    assert "kind: cittern\n# name:" in written(bench, "2026-016")


REFUSED: list[tuple[list[str], str]] = [
    (["repeat", "014", "--set", "spec.wod.back.species=cherry"], "«wod» is not known here; did you mean «wood»?"),
    (["repeat", "014", "--set", "spec.wood.bakc.species=cherry"],
     "there is no part «bakc» in 2026-014 (Heron); did you mean «back»?"),
    (["repeat", "014", "--set", "spec.frets.add=[2½]"], "there is no fret 2½: frets 2 and 3 are a semitone apart"),
    (["repeat", "014", "--set", "spec.tunings[4]=D3 A3"], "«spec.tunings» is no group of keys in this file"),
    (["repeat", "014", "--set", "serial=7"], "«serial» is not set this way; use --serial."),
    (["repeat", "014", "--set", "spec.strings=[D3 22w"], "«[D3 22w» is not closed properly"),
    (["repeat", "014", "--set", "spec.strings="], "nothing is written after «spec.strings=»; write its value."),
    (["repeat", "014", "--set", "spec..last=3"], "«spec..last» names no field; write it like spec.wood.back.species."),
    (["repeat", "014", "--set", "spec.strings"], "«spec.strings» says no value"),
    (["repeat", "014", "--scale", "27,5 in"], "scale_length: «27,5 in» has a comma in its number"),
    (["repeat", "014", "--scale", "27 miles"], "scale_length: «miles» is no unit of length here"),
    (["repeat", "014", "--serial", "2026-014"], "there is an instrument «2026-014» already; choose another serial."),
    (["repeat", "014", "--serial", "x/y"], "«x/y» cannot be a serial; use letters, digits"),
    (["repeat", "014", "--serial", "A-1", "--count", "2"], "several instruments cannot have one serial"),
    (["repeat", "014", "--ordered", "20/11/2026"], "--ordered: «20/11/2026» is not a date"),
    (["repeat", "014", "--buyer", "x", "--same-buyer"], "--same-buyer and --buyer exclude each other"),
    (["repeat", "015"], "there is no instrument «015»"),
    (["new", "--pattern", "teardop"], "there is no pattern «teardop»; did you mean «teardrop»?"),
    (["new", "--kind", "x" * 61], "«kind» has 61 letters; at most 60 fit where it is printed."),
    (["new", "--kind", "cittern", "--scale", "27 ft"], "27 ft lies outside what is possible for «scale_length»"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), REFUSED, ids=[" ".join(words)[:50] for words, _ in REFUSED])
def test_what_does_not_fit_is_refused_and_nothing_is_begun(bench: Path, words: list[str], message: str) -> None:
    before = files_below(bench / "records")
    code, said = run(bench, *words)
    assert (code, files_below(bench / "records")) == (2, before)
    assert said.splitlines()[-1].startswith(f"boutbook: {message}"), said
    assert sorted(path.name for path in (bench / "records" / "instruments").iterdir()) == ["2026-014"]


def test_nothing_is_begun_from_a_record_or_pattern_with_errors(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text(HERON.replace("28 in ", "28,5 in "), "utf-8")
    code, said = run(bench, "repeat", "014")
    assert (code, "record.yaml:13:17: «28,5 in» has a comma" in said) == (1, True)
    pattern = bench / "records" / "patterns" / "teardrop.yaml"
    pattern.write_text(PATTERN.replace("diatonic", "diatonc"), "utf-8")
    code, said = run(bench, "new", "--pattern", "teardrop")
    assert (code, "did you mean «diatonic»?" in said) == (1, True)


def test_a_board_with_two_scale_lengths_is_told_how_to_change_them(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text(HERON.replace("28 in ", "{bass: 28 in, treble: 27 in, square_at: 7}"), "utf-8")
    assert (
        "this board has two scale lengths; write --set spec.scale_length.bass=…"
        in run(bench, "repeat", "014", "--scale", "26 in")[1]
    )
    settings = ["--set", "spec.scale_length.bass=27 in", "--set", "spec.scale_length.treble=26 in"]
    assert run(bench, "repeat", "014", *settings)[0] == 0
    assert "scale_length: {bass: 27 in, treble: 26 in, square_at: 7}" in written(bench, "2026-015")


def test_a_layout_that_cannot_be_carried_over_is_written_anew_and_that_is_said(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text("{format: 1, serial: 2026-014, kind: cittern, spec: {scale_length: 20 in, tunings: [D3 A3]}}\n")
    code, said = run(bench, "repeat", "014")
    assert code == 0
    assert "Note: the layout of 2026-014 could not be carried over" in said
    assert written(bench, "2026-015").endswith("\nspec:\n  scale_length: 20 in\n  tunings: [D3 A3]\n")


def test_line_ends_and_marks_of_other_systems_do_not_get_in_the_way(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_bytes(b"\xef\xbb\xbf" + HERON.replace("\n", "\r\n").encode())
    assert run(bench, "repeat", "014", "--scale", "27 in", "--ordered", "2026-11-20",
               "--set", "spec.wood.back.species=black cherry")[0] == 0  # fmt: skip
    assert written(bench, "2026-015") == AGAIN


@pytest.mark.parametrize(
    ("text", "carried"),
    [
        ("a: 1\nspec:\n  b: 2\n\n# of c\nc: 3\n", "spec:\n  b: 2\n"),
        ("# of spec\nspec: {b: 2}  # why\n", "spec: {b: 2}  # why\n"),
        ("a: 1\n\n# of it\n# more\nspec:\n- b\n- c: 2\n  # in\n\n\n", "# of it\n# more\nspec:\n- b\n- c: 2\n  # in\n"),
        ("spec:\n  words: |\n    one\n\n    two\n\nc: 3\n", "spec:\n  words: |\n    one\n\n    two\n"),
        ("spec: {b: 2,\n  c: [3,\n4]}\nd: 5\n", "spec: {b: 2,\n  c: [3,\n4]}\n"),
        ("a: 1\nspec:\nb: 2\n", ""),
        ("a: 1\n", ""),
    ],
)  # fmt: skip
def test_a_part_of_a_file_goes_along_with_the_comments_that_are_its_own(text: str, carried: str) -> None:
    found = carried_over(text.encode(), "spec")
    assert (found.text, found.with_comments) == (carried, True)


@pytest.mark.parametrize(
    ("taken", "count", "coming"),
    [
        ([], 1, ["2026-001"]),
        (["2026-004", "2026-006", "2025-019"], 2, ["2026-007", "2026-008"]),
        (["2025-19", "2024-03"], 1, ["2026-01"]),
        (["2027-002", "2026-009"], 1, ["2027-003"]),
        (["117", "118", "old-3"], 2, ["119", "120"]),
        (["D-009", "D-008", "G-044"], 2, ["D-010", "D-011"]),
        (["first", "second"], 1, ["2026-001"]),
        (["a9", "A10"], 1, ["a11"]),
    ],
)
def test_the_next_serial_follows_the_shops_own_numbering(taken: list[str], count: int, coming: list[str]) -> None:
    assert list(next_serials(taken, count, 2026)) == coming


def test_two_who_begin_at_once_get_two_serials(bench: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from builder.entries import orders, starts\n"
        "print(flush=True); sys.stdin.readline(); shop = Path(sys.argv[1])\n"
        "start = lambda unit: starts.from_instrument(shop, '2026-014')\n"
        "orders.begin(shop, start, orders.Wishes(count=2), 2026)"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", program, str(bench)],
            cwd=REPOSITORY, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for _ in range(2)
    ]  # fmt: skip
    for each in runs:
        assert each.stdout
        each.stdout.readline()
    for each in runs:
        each.communicate("go\n", timeout=60)
        assert each.returncode == 0
    serials = sorted(path.name for path in (bench / "records" / "instruments").iterdir())
    assert serials == ["2026-014", "2026-015", "2026-016", "2026-017", "2026-018"]
    assert not open_shop(bench, private_files=True).has_errors
