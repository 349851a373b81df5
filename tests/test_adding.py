"""`boutbook add`: one entry at its place, every other line as it was; or the reason, and no letter changed."""

from __future__ import annotations

import difflib
import re
import stat
import subprocess
import sys
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from builder import command_line
from builder.commands import adding
from builder.entries import daily
from builder.entries.keeping import Asked, Entry, Refused, write_entry
from builder.shop import Shop
from builder.workshop import Instrument, open_shop
from tests.random_layouts import laid_out
from tests.shops import REPOSITORY, files_below
from tests.stopped_calls import StoppedCalls, with_calls

NOW = datetime(2026, 3, 4, 14, 30)

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
rules: [{name: bench rule, marks: 1/64 in}]
working_rule: bench rule
glues: {hot hide glue: {kind: hot hide}, fish glue: {}}
finish_schedules: {oil varnish: {product: tung oil varnish, coats: 5}}
"""
RECORD = """\
# Heron, in progress
format: 1
serial: 2026-014     # on the peghead
kind: mountain dulcimer
dates: {ordered: 2026-01-12}

spec:
  scale_length: 27 in
  frets: {layout: diatonic, last: 7}
  strings: [D3 22w, A3 12, D4 10 x2]
  tunings: [D3 A3 D4]
  setup: {clearance: {1: 0.012 in, 7: 0.090 in}}
  finish: {schedule: oil varnish}

build:
  steps:
    - {step: Sides bent, done: 2026-02-20}   # without a crack
    - step: Box closed
      done:
    - {step: Strung}
  # nothing glued yet
  log: [{date: 2026-02-21, did: Looked at it}]

story: |
  To be told.
"""
PRIVATE = """\
format: 1
buyer: {name: Ned Pell}   # comes by on Fridays
notes: He pays in cherry.
"""


@pytest.fixture(autouse=True)
def _clock(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(adding, "now", lambda: NOW)


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A shop with one instrument, 2026-014, and a spare one."""
    for name, text in (
        ("shop.yaml", SHOP),
        ("instruments/2026-014/record.yaml", RECORD),
        ("instruments/2026-014/private.yaml", PRIVATE),
        ("instruments/2025-014/record.yaml", "format: 1\nserial: 2025-014\nkind: cittern\n"),
    ):
        file = tmp_path / "records" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode())
    return tmp_path


def add(shop: Path, *words: str, given: str = "") -> tuple[int, str]:
    said = CliRunner().invoke(command_line.boutbook, ["add", *words, "--shop", str(shop)], input=given)
    assert said.exception is None or isinstance(said.exception, SystemExit), said.exception
    return said.exit_code, said.output


def changes(shop: Path, before: dict[str, bytes]) -> list[str]:
    """Every line that is gone or new in any file of the records."""
    found = []
    for name, content in files_below(shop / "records").items():
        old, new = before.get(name, b"").decode().splitlines(), content.decode().splitlines()
        found += [line for line in difflib.unified_diff(old, new, n=0, lineterm="") if line[:3] not in ("---", "+++")]
    return [line for line in found if not line.startswith("@@")]


ENTRIES: list[tuple[list[str], str, list[str], str]] = [
    (["step", "box", "closed"], "",
     ["-      done:", "+      done: 2026-03-04"], "«Box closed», done 2026-03-04"),
    (["step", "Strung", "--date", "2026-3-2"], "",
     ["-    - {step: Strung}", "+    - {step: Strung, done: 2026-03-02}"], "«Strung», done 2026-03-02"),
    (["step", "Label glued in"], "",
     ["+    - {step: Label glued in, done: 2026-03-04}"], "«Label glued in», a new step, done 2026-03-04"),
    (["step", "Box close", "--new"], "",
     ["+    - {step: Box close, done: 2026-03-04}"], "«Box close», a new step, done 2026-03-04"),
    (["log", "Thicknessed the back:", "0.105 in"], "",
     ["-  log: [{date: 2026-02-21, did: Looked at it}]",
      '+  log: [{date: 2026-02-21, did: Looked at it}, {date: 2026-03-04, did: "Thicknessed the back: 0.105 in"}]'],
     "log of 2026-03-04: Thicknessed the back: 0.105 in"),
    (["glue-up", "--parts", "linings, sides", "--glue", "Hot hide glue", "--temperature", "68 F", "--humidity", "44 %",
      "--wood-moisture", "7 %", "--clamps-off", "9:00"], "",
     ["+  glue_ups:",
      "+    - {parts: [linings, sides], at: 2026-03-04 14:30, glue: hot hide glue, temperature: 68 F, humidity: 44 %, "
      "wood_moisture: 7 %, clamps_off: 2026-03-05 09:00}"],
     "glue-up of linings and sides, hot hide glue, 2026-03-04 14:30"),
    (["coat", "--at", "16:05"], "",
     ["+  coats:", "+    - {at: 2026-03-04 16:05, product: tung oil varnish}"],
     "coat 1, tung oil varnish, 2026-03-04 16:05"),
    (["service", "New strings"], "",
     ["+service:", "+  - {date: 2026-03-04, did: New strings}", "+"], "service of 2026-03-04: New strings"),
    (["hours", "3 1/2", "--step", "box closed"], "",
     ["+hours:", "+  - {date: 2026-03-04, hours: 3 1/2, step: Box closed}"], "3 1/2 h on 2026-03-04, Box closed"),
    (["finished", "--date", "2026-03-01"], "",
     ["-dates: {ordered: 2026-01-12}", "+dates: {ordered: 2026-01-12, finished: 2026-03-01}"],
     "finished on 2026-03-01"),
    (["promised", "2026-5-15"], "",
     ["-dates: {ordered: 2026-01-12}", "+dates: {ordered: 2026-01-12, promised: 2026-05-15}"],
     "promised for 2026-05-15"),
    (["measurement", "weight", "2 lb", "3 oz"], "",
     ["+as_built:", "+  weight: 2 lb 3 oz", "+"], "weight 2 lb 3 oz"),
    (["measurement", "action"], "0.016 in\n0.092 in\n",
     ["+as_built:", "+  setup:", "+    action: {1: 0.016 in, 7: 0.092 in}", "+"], "action 1 0.016 in and 7 0.092 in"),
    (["measurement", "cents", "D3: +4, D4: -1.5"], "",
     ["+as_built:", "+  setup:", "+    cents_at_octave: {D3: +4, D4: -1.5}", "+"],
     "cents at the octave D3 +4 and D4 -1.5"),
    (["measurement", "fret-positions", "--rule", "bench rule"],
     "2 61/64\n5 9/16\n6 3/4\n8 61/64\n10 29/32\n11 51/64\n13 1/2\n",
     ["+as_built:",
      "+  fret_positions: {rule: bench rule, values: [2 61/64, 5 9/16, 6 3/4, 8 61/64, 10 29/32, 11 51/64, 13 1/2]}",
      "+"],
     "7 fret positions, read on bench rule"),
    (["measurement", "fret-heights", "treble", "--above", "a straightedge"], "0 0.001,\t0;-0.001 −0.002 - 0 0",
     ["+as_built:", "+  fret_heights: {above: a straightedge, treble: [0, 0.001, 0, -0.001, -0.002, 0, 0]}", "+"],
     "7 fret heights, treble side"),
    (["measurement", "bench-sheet"], "0.040 in\n0.016 in\n-\n0.004 in\n+4\n-\n-1\n2.4 lb\n",
     ["+as_built:", "+  crown_height: 0.040 in", "+  setup:", "+    action: {1: 0.016 in}", "+    relief: 0.004 in",
      "+    cents_at_octave: {D3: +4, D4: -1}", "+  weight: 2.4 lb", "+"],
     "crown height 0.040 in; action, fret 1 0.016 in; relief 0.004 in; octave D3, cents +4; octave D4, cents -1; "
     "weight 2.4 lb"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "given", "lines", "told"), ENTRIES, ids=[" ".join(each[0][:3]) for each in ENTRIES])
def test_an_entry_changes_its_own_lines_alone(
    bench: Path, words: list[str], given: str, lines: list[str], told: str
) -> None:
    before = files_below(bench / "records")
    code, said = add(bench, "2026-014", *words, given=given)
    assert code == 0, said
    assert changes(bench, before) == lines
    file = "private.yaml" if words[0] == "hours" else "record.yaml"
    assert said.splitlines()[-1].startswith(f"2026-014: {told}")
    assert said.splitlines()[-1].endswith(f"Written to records/instruments/2026-014/{file}.")
    assert not open_shop(bench, private_files=True).has_errors


REFUSED: list[tuple[list[str], str, str]] = [
    (["2026-014", "step", "Box closd"], "",
     "there is no step «Box closd» yet; did you mean «Box closed»? If it is another, add --new. Nothing was written"),
    (["2026-014", "step", "Sides bent"], "",
     "«Sides bent» was done on 2026-02-20 already; to put it in once more, add --new. Nothing was written"),
    (["2026-014", "step", "Strung", "--date", "3/2/2026"], "",
     "«3/2/2026» is not a date; write year-month-day, like 2026-03-06. Nothing was written"),
    (["2026-014", "glue-up", "--parts", "linings", "--glue", "fish glue", "--temperature", "68"], "",
     "temperature: «68» has no unit; write it like 68 F or 20 C. Nothing was written"),
    (["2026-014", "glue-up", "--parts", "linings", "--glue", "fish glu"], "",
     "there is no glue «fish glu» yet; did you mean «fish glue»? If it is another, add --new. Nothing was written"),
    (["2026-014", "glue-up", "--glue", "fish glue"], "", "nothing says which parts were glued; add --parts"),
    (["2026-014", "glue-up", "--parts", "linings", "--glue", "fish glue", "--at", "25:00"], "",
     "there is no such time as 25:00; write day and time like 2026-03-04 14:30. Nothing was written"),
    (["2026-014", "delivered"], "",
     "the instrument is delivered, but not finished; write the day it was finished too. Nothing was written"),
    (["2026-014", "finished", "--date", "2025-12-01"], "",
     "finished on 2025-12-01, before it was ordered on 2026-01-12; one of the two days is wrong. Nothing was written"),
    (["2025-014", "coat"], "", "nothing says what was laid on; name it with --product. Nothing was written"),
    (["2026-014", "hours", "3,5"], "",
     "hours: «3,5» has a comma in its number; write a decimal point: 3.5. Nothing was written"),
    (["2026-014", "hours", "2000"], "",
     "2000 lies outside what is possible for «hours»; it lies between 1 min and 1000 h. Nothing was written"),
    (["2026-014", "log", "x" * 401], "",
     "«did» has 401 letters; at most 400 fit where it is printed. Nothing was written"),
    (["2026-014", "measurement", "fret-positions"], "2 61/64\n5 9/16\n",
     "values: there are 2 places for 7 frets; one for each fret in board order from the nut, added frets among them. "
     "Nothing was written"),
    (["2026-014", "measurement", "fret-positions", "--rule", "bench rul", "--values",
      "2 61/64, 5 9/16, 6 3/4, 8 61/64, 10 29/32, 11 51/64, 13 1/2"], "",
     "«bench rul» is not among the rules in the shop file; did you mean «bench rule»? Nothing was written"),
    (["2026-014", "measurement", "fret-positions"], "75,2\n141,3\n",
     "«75,2» has a comma in its number; write a decimal point: 75.2. Nothing was written"),
    (["2026-014", "measurement", "fret-positions"], "2 61/64\nfive\n",
     "«five» on line 2 is no number; write it like 3 7/64, 0.002 or 36.5 mm. Nothing was written"),
    (["2026-014", "measurement", "fret-positions"], "",
     "there are no numbers here; paste them, or name a file with --from. Nothing was written"),
    (["2026-014", "measurement", "fret-heights", "--values", "0 0"], "",
     "nothing says on which side of the board the heights were taken; write bass or treble. Nothing was written"),
    (["2026-014", "measurement", "action", "--values", "0.016 in"], "",
     "this makes 1 value for 2 blanks; write one for each, in order; - where none was taken. Nothing was written"),
    (["2026-014", "measurement", "action", "9: 0.1 in"], "", "there is no fret 9 to measure the action at; "
     "name a fret of this board. Nothing was written"),
    (["2026-014", "measurement", "wieght", "2 lb"], "", "nothing is measured as «wieght»; did you mean «weight»?"),
    (["2026-014", "measurement", "bench-sheet"], "0.040 in\n",
     "this makes 1 line for 8 blanks (crown height; action, fret 1; action, fret 7; relief; octave D3, cents; "
     "octave A3, cents; octave D4, cents; weight); write one line for each, - where nothing was taken. "
     "Nothing was written"),
    (["2026-014", "glueup"], "", "there is no entry «glueup»; did you mean «glue-up»?"),
    (["glueup"], "", "there is no entry «glueup»; did you mean «glue-up»?"),
    (["014", "log", "x"], "", "«014» may be 2025-014, 2026-014; write more of it"),
    (["2026-015", "log", "x"], "", "there is no instrument «2026-015»; did you mean «2026-014»?"),
    (["log", "x"], "", "which instrument? Write its serial: boutbook add 014 …"),
    (["2026-014"], "",
     "what is to be added to «2026-014»? Write one of coat, delivered, finished, glue-up, hours, log, measurement, "
     "photo, promised, service or step behind it"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "given", "message"), REFUSED, ids=[" ".join(each[0])[:40] for each in REFUSED])
def test_what_cannot_be_written_is_refused_with_the_reason(
    bench: Path, words: list[str], given: str, message: str
) -> None:
    before = files_below(bench / "records")
    code, said = add(bench, *words, given=given)
    assert code == 2
    assert files_below(bench / "records") == before
    assert said.splitlines()[-1] == f"boutbook: {message}"


def test_what_is_measured_already_is_written_over_on_wish_alone(bench: Path) -> None:
    for words in (
        ["action", "7: 0.092 in"],
        ["cents", "D3: +4"],
        ["fret-heights", "bass", "--values", "0 0 0 0 0 0 0"],
    ):
        assert add(bench, "2026-014", "measurement", *words)[0] == 0
    code, said = add(bench, "measurement", "action", "7.0: 0.090 in")
    assert (code, said.count("is no")) == (2, 1) or "7.0" in said
    code, said = add(bench, "measurement", "action", "7: 0.090 in")
    assert code == 2
    assert "«as_built.setup.action.7» is written already; to write over it, add --instead. Nothing was written" in said
    before = files_below(bench / "records")
    assert add(bench, "measurement", "cents", "d3: +2", "--instead")[0] == 0
    assert add(bench, "measurement", "fret-heights", "treble", "--values", "0 0 0 0 0 0 0.001")[0] == 0
    assert changes(bench, before) == [
        "-    cents_at_octave: {D3: +4}",
        "-  fret_heights: {bass: [0, 0, 0, 0, 0, 0, 0]}",
        "+    cents_at_octave: {D3: +2}",
        "+  fret_heights: {bass: [0, 0, 0, 0, 0, 0, 0], treble: [0, 0, 0, 0, 0, 0, 0.001]}",
    ]


def test_the_instrument_used_last_is_meant_where_none_is_named(bench: Path) -> None:
    assert add(bench, "6-014", "log", "one")[1].startswith("2026-014: ")
    assert add(bench, "log", "two")[1].startswith("2026-014 (as last time): log of 2026-03-04: two")
    assert add(bench, "2025-014", "log", "three")[0] == 0
    assert add(bench, "log", "four")[1].startswith("2025-014 (as last time)")
    (bench / "records" / "instruments" / "2025-014").rename(bench / "records" / "instruments" / "2025-015")
    assert "which instrument?" in add(bench, "log", "five")[1]


def test_nothing_is_added_to_a_record_with_errors(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text(RECORD.replace("27 in", "27,5 in").replace("kind:", "knd:"), "utf-8")
    before = record.read_bytes()
    code, said = add(bench, "2026-014", "log", "x")
    assert code == 1
    assert "record.yaml:8:17: «27,5 in» has a comma in its number" in said
    assert "«knd» is not known here; did you mean «kind»?" in said
    assert said.splitlines()[-1].endswith("Nothing was changed.")
    assert record.read_bytes() == before


def test_a_warning_that_an_entry_brings_is_told_with_it(bench: Path) -> None:
    places = "2 61/64, 5 9/16, 6 3/4, 8 61/64, 10 29/32, 11 51/64, 15"
    code, said = add(bench, "2026-014", "measurement", "fret-positions", "--rule", "1/64 in", "--values", places)
    assert code == 0
    assert re.search(r"warning: fret 7 lies 1\.\d+ in past its place; most likely a slip of eye or pen", said)


def test_a_private_file_is_begun_where_there_is_none_and_stays_as_closed_as_it_was(bench: Path) -> None:
    assert add(bench, "2025-014", "hours", "45 min")[0] == 0
    begun = bench / "records" / "instruments" / "2025-014" / "private.yaml"
    assert begun.read_text("utf-8") == (
        "# Only for the workshop: never published.\nformat: 1\nhours:\n  - {date: 2026-03-04, hours: 45 min}\n"
    )
    closed = bench / "records" / "instruments" / "2026-014" / "private.yaml"
    closed.chmod(0o600)
    assert add(bench, "2026-014", "hours", "2")[0] == 0
    assert stat.S_IMODE(closed.stat().st_mode) == 0o600 or sys.platform == "win32"


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights of their own there")
def test_a_record_behind_a_link_stays_behind_it(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    elsewhere = bench / "kept-elsewhere.yaml"
    record.rename(elsewhere)
    record.symlink_to(elsewhere)
    assert add(bench, "2026-014", "log", "x")[0] == 0
    assert record.is_symlink()
    assert "did: x" in elsewhere.read_text("utf-8")


def test_what_somebody_wrote_meanwhile_is_not_lost(bench: Path) -> None:
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    calls = []

    def while_somebody_writes(instrument: Instrument, shop: Shop) -> Entry:
        calls.append(instrument.record.story)
        if len(calls) == 1:
            record.write_text(record.read_text("utf-8").replace("To be told.", "Told."), "utf-8")
        return daily.log("mine", NOW.date())(instrument, shop)

    write_entry(bench, "2026-014", while_somebody_writes)
    assert calls == ["To be told.", "Told."]
    assert "Told." in record.read_text("utf-8")
    assert record.read_text("utf-8").count("did: mine") == 1
    assert sorted(each.name for each in record.parent.iterdir()) == ["private.yaml", "record.yaml"]


def test_two_who_add_at_once_are_both_there(bench: Path) -> None:
    program = (
        "import sys; from datetime import date; from pathlib import Path; from builder.entries import daily, keeping\n"
        "print(flush=True); sys.stdin.readline()\n"
        "for number in range(8):\n"
        "    keeping.write_entry(Path(sys.argv[1]), '2026-014', daily.log(f'{sys.argv[2]}{number}', date(2026, 3, 4)))"
    )
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", program, str(bench), name],
            cwd=REPOSITORY, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for name in "ab"
    ]  # fmt: skip
    for run in runs:
        assert run.stdout
        run.stdout.readline()  # both are ready
    for run in runs:
        run.communicate("go\n", timeout=60)
        assert run.returncode == 0
    written = re.findall(r"did: ([ab]\d)", (bench / "records/instruments/2026-014/record.yaml").read_text("utf-8"))
    assert sorted(written) == [f"{name}{number}" for name in "ab" for number in range(8)]


RANDOM_RECORDS = 200


def a_record(random: Random) -> dict[str, Any]:
    """What a record may say, with some of the lists an entry goes into and others missing."""
    steps = [{"step": name} for name in ("Sides bent", "Box closed", "Strung")]
    build: dict[str, Any] = {
        "steps": steps,
        "glue_ups": [{"parts": ["linings", "sides"], "at": "2026-02-04 09:00", "glue": "fish glue"}],
        "coats": [{"at": "2026-02-05 09:00", "product": "oil: the first"}],
        "log": [{"date": "2026-02-06", "did": "It's ½ done, # he says"}],
    }
    tree: dict[str, Any] = {
        "format": "1", "serial": "2026-014", "kind": "mountain dulcimer", "name": "Ilse & Teo",
        "dates": {"ordered": "2026-01-12"}, "spec": {"wood": {"back": {"species": "cherry"}}, "tunings": ["D3 A3 D4"]},
        "build": {key: build[key] for key in random.sample(sorted(build), random.randint(0, 4))},
        "as_built": {"weight": "2 lb"}, "service": [{"date": "2026-02-07", "did": "New strings"}],
        "story": "Some words\nand more",
    }  # fmt: skip
    if not tree["build"]:
        del tree["build"]
    for key in random.sample(["name", "dates", "spec", "as_built", "service", "story"], random.randint(0, 4)):
        del tree[key]
    return tree


def write(shop: Path, asked: Asked) -> None:
    write_entry(shop, "2026-014", asked)


def put_in(tree: Any, path: tuple[str, ...], entry: Any) -> None:
    """An entry at the end of a list that may not have been begun."""
    for name in path[:-1]:
        tree[name] = tree.get(name) or {}
        tree = tree[name]
    tree[path[-1]] = [*(tree.get(path[-1]) or []), entry]


def test_records_of_every_layout_take_entries_or_stay_as_they_are(bench: Path) -> None:
    random, refused = Random(14), 0
    record = bench / "records" / "instruments" / "2026-014" / "record.yaml"
    glue_up = {"parts": ["back", "sides"], "at": "2026-03-04 14:30", "glue": "fish glue"}
    entries: list[tuple[Asked, tuple[str, ...], Any]] = [
        (daily.log("a: b, # c", NOW.date()), ("build", "log"), {"date": "2026-03-04", "did": "a: b, # c"}),
        (daily.service("½ of it", NOW.date()), ("service",), {"date": "2026-03-04", "did": "½ of it"}),
        (daily.coat({"product": "oil"}, NOW), ("build", "coats"), {"at": "2026-03-04 14:30", "product": "oil"}),
        (daily.glue_up({"parts": ["back", "sides"], "glue": "fish glue"}, NOW), ("build", "glue_ups"), glue_up),
        (daily.step("Box closed", NOW.date()), ("build", "steps"), {"step": "Box closed", "done": "2026-03-04"}),
    ]
    for _ in range(RANDOM_RECORDS):
        record.write_bytes(laid_out(random, a_record(random)).encode())
        before = record.read_bytes()
        meant = yaml.load(before.decode(), Loader=yaml.BaseLoader)
        asked, path, entry = random.choice(entries)
        still_open = [each for each in (meant.get("build") or {}).get("steps") or [] if each["step"] == "Box closed"]
        if path == ("build", "steps") and still_open:
            still_open[0]["done"] = "2026-03-04"
        else:
            put_in(meant, path, entry)
        end = with_calls(StoppedCalls(), lambda asked=asked: write(bench, asked))  # type: ignore[misc]
        if end is not None:
            assert isinstance(end, Refused)
            assert record.read_bytes() == before
            refused += 1
            continue
        assert yaml.load(record.read_text("utf-8"), Loader=yaml.BaseLoader) == meant
        gone = [line for line in changes(bench, {"instruments/2026-014/record.yaml": before}) if line.startswith("-")]
        assert len(gone) <= 1
    assert refused < 0.03 * RANDOM_RECORDS
