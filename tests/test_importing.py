"""`boutbook import`: what becomes of rows, what is told of them, and that nothing is half taken or overwritten."""

from __future__ import annotations

import codecs
import csv
import io
from datetime import date
from pathlib import Path

import pytest
import yaml

from builder.imports.forms import NoForm, day_as_written, day_form
from builder.imports.spreadsheet import NotASpreadsheet, read_spreadsheet
from builder.imports.taking import take
from builder.safe_files import Resumed
from builder.workshop import open_shop
from tests.shops import boutbook
from tests.stopped_calls import Dead, How, StoppedCalls, with_calls
from tests.test_stopped_entries import SHOP, errors, lay_down, records, seen

COLUMNS = """\
serial: No.
kind: {always: mountain dulcimer}
name: Name
spec.scale_length: {column: Scale, unit: in}
dates.finished: {column: Done, form: M/D/YYYY}
dates.delivered: {column: Given, form: M/D/YYYY}
spec.wood.back.species: Back
spec.tunings: Tunings
story: Story
private.buyer.name: Customer
private.order.price: {column: Price, unit: EUR}
"""
HEAD = ["No.", "Name", "Scale", "Done", "Given", "Back", "Tunings", "Story", "Customer", "Price", "Paid by"]
SEDGE = ["2015-001", "Sedge", "27 1/2", "3/14/2015", "3/20/2015", "black\u00a0cherry", "D3 A3 D4, D3 A3 A3",
         "Built: in\r\nthe rain  \r\n\r\n# twice", " Ann Poe ", "1,150.00", "bank"]  # fmt: skip
REED = ["2015-002", "", "680 mm", "", "", "", "", "", "", "", ""]
TWIG = ["2015-012", "Twig"]

RECORD = """\
# From old.csv, row 2.
format: 1
serial: 2015-001
kind: mountain dulcimer
name: Sedge
dates: {finished: 2015-03-14, delivered: 2015-03-20}
spec:
  scale_length: 27 1/2 in
  tunings: [D3 A3 D4, D3 A3 A3]
  wood:
    back: {species: black cherry}
story: |
  Built: in
  the rain

  # twice
"""
PRIVATE = """\
# Only for the workshop: never published.
# From old.csv, row 2.
format: 1
buyer: {name: Ann Poe}
order: {price: "1,150.00 EUR"}
"""
REED_RECORD = """\
# From old.csv, row 4.
format: 1
serial: 2015-002
kind: mountain dulcimer
spec: {scale_length: 680 mm}
"""


def as_csv(rows: list[list[str]], delimiter: str = ",", line_end: str = "\r\n") -> bytes:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator=line_end).writerows(rows)
    return text.getvalue().encode()


def with_sheet(folder: Path, rows: list[list[str]], columns: str = COLUMNS) -> Path:
    """A shop with one instrument, 2026-014, a spreadsheet and a column map beside its records."""
    shop = lay_down(folder)
    (shop / "records" / "private.yaml").write_text("format: 1\ncurrency: EUR\n", "utf-8")
    (shop / "old.csv").write_bytes(as_csv(rows))
    (shop / "columns.yaml").write_text(columns, "utf-8")
    return shop


def run(shop: Path, *more: str, code: int = 0) -> list[str]:
    said = boutbook("import", "old.csv", "--columns", "columns.yaml", *more, folder=shop, code=code)
    return (said.stdout + said.stderr).splitlines()


@pytest.mark.parametrize(
    "content",
    [
        as_csv([HEAD, SEDGE, [], REED]),
        codecs.BOM_UTF8 + as_csv([HEAD, SEDGE, [""] * 5, REED]),
        as_csv([HEAD, SEDGE, [], REED], ";", "\n"),
        as_csv([HEAD, SEDGE, [], REED], "\t"),
        as_csv([[*HEAD, "", ""], SEDGE, [" \u202f"], [*REED, "", ""]]),
        as_csv([["\ufeffNo. ", *HEAD[1:]], SEDGE, [], REED[:3]]),
    ],
    ids=["plain", "mark", "semicolons", "tabs", "empty columns", "odd head"],
)
def test_each_row_becomes_a_record_and_a_private_file(tmp_path: Path, content: bytes) -> None:
    shop = with_sheet(tmp_path / "shop", [])
    (shop / "old.csv").write_bytes(content)
    before = records(shop)
    said = run(shop)
    after = records(shop)
    assert {name: text.decode() for name, text in after.items() if name not in before} == {
        "2015-001/record.yaml": RECORD,
        "2015-001/private.yaml": PRIVATE,
        "2015-002/record.yaml": REED_RECORD,
        "2015-002/private.yaml": "# Only for the workshop: never published.\n# From old.csv, row 4.\nformat: 1\n",
    }
    assert errors(shop) == []
    assert said == [
        "row 2, 2015-001: good",
        "row 4, 2015-002: good",
        "Not asked for by the column map: «Paid by».",
        "1 instrument finished and handed over: the next site shows them to buyers. "
        "If it should not, write visibility: {always: shop only} into the column map.",
        "Wrote 2 instruments below records/instruments.",
    ]


REFUSED = [
    (["2015-003", "", "27,5"], "column «Scale»: «27,5 in» has a comma in its number; write a decimal point: 27.5 in"),
    (["2026-014"], "column «No.»: there is an instrument «2026-014» already; what is there is never overwritten"),
    (["2015-001"], "column «No.»: row 2 has the serial «2015-001» too; each needs one of its own"),
    (["", "x"], "column «No.»: there is no serial; write one"),
    (["15/3"], "column «No.»: «15/3» cannot be a serial; use letters, digits and hyphens, like 2026-014"),
    (
        ["2015-005", "", "", "14.3.2015"],
        "column «Done»: «14.3.2015» is not written M/D/YYYY; write every day of this column in one way",
    ),
    (
        ["2015-006", "", "", "42077"],
        "column «Done»: «42077» is a day as spreadsheets count them; "
        "let the spreadsheet show this column as dates, and save it again",
    ),
    (["2015-007", "", "", "2/30/2015"], "column «Done»: there is no such day as 2015-02-30; "
     "write year-month-day, like 2026-03-06"),
    (
        ["2015-008", "", "", "5/2/2015", "5/1/2015"],
        "column «Given»: delivered on 2015-05-01, before it was finished on 2015-05-02; one of the two days is wrong",
    ),
    (
        ["2015-009", *[""] * 8, "$5"],
        "column «Price»: «$5» has a sign that several currencies share; write it like 1150.00 or 1150.00 GBP",
    ),
    (["2015-010", *[""] * 8, "5 USD"], "column «Price»: 5.00\u00a0USD is not in the currency of the shop, EUR; "
     "write what it came to in the shop's currency"),
    (
        ["2015-011", *[""] * 10, "x"],
        "something stands to the right of the last column that has a head; give it a head",
    ),
]  # fmt: skip


def test_every_row_is_told_with_its_reasons_and_nothing_is_taken(tmp_path: Path) -> None:
    shop = with_sheet(tmp_path / "shop", [HEAD, SEDGE, *(row for row, _ in REFUSED)])
    before = records(shop)
    said = run(shop, code=1)
    expected = ["row 2, 2015-001: good"]
    for number, (row, why) in enumerate(REFUSED, 3):
        expected += [f"row {number}, {row[0] or 'without a serial'}: refused", f"    {why}"]
    assert said[: len(expected)] == expected
    assert said[-1] == "1 row good, 12 rows refused. Nothing was written. To take the good ones alone, add --good-rows."
    assert run(shop, "--dry-run", code=1)[:-1] == said[:-1]
    assert records(shop) == before
    assert run(shop, "--good-rows")[-1] == "Wrote 1 instrument below records/instruments; 12 rows refused."
    assert {name for name in records(shop) if name not in before} == {"2015-001/record.yaml", "2015-001/private.yaml"}
    after = records(shop)
    run(shop, "--good-rows", code=1)
    assert records(shop) == after


def test_what_is_wrong_with_a_column_map_is_told_at_its_place(tmp_path: Path) -> None:
    columns = (
        "serial: Nr\nspec.scale_lenght: Scale\nspec.body: Scale\ndates.finished: {column: Done, form: M/D/YY}\n"
        "private.bayer.name: Customer\nspec.scale_length: {colum: Scale, unit: inn}\nspec.wood.back: Back\n"
        "dates.ordered: {column: Done, always: x}\nspec.frets.last: {column: Name, unit: inn}\nformat: Name\n"
        "spec.wood.back.cut: Back\nservice: Story\nname.first: Name\nstory: [Story]\n"
    )
    shop = with_sheet(tmp_path / "shop", [HEAD, SEDGE], columns)
    said = [line for line in run(shop, code=1) if line.startswith("columns.yaml")]
    assert said == [
        "columns.yaml:1:1: «kind» is missing; add kind: with its column, or kind: {always: cittern} [missing-key]",
        "columns.yaml:1:9: there is no column «Nr»; write No., Name, Scale, Done, Given, Back, Tunings, Story, "
        "Customer, Price or Paid by [unknown-word]",
        "columns.yaml:2:1: there is no field «scale_lenght» in «spec»; did you mean «scale_length»? [unknown-key]",
        "columns.yaml:3:1: one cell cannot fill «spec.body»; name a single value in it, like spec.scale_length "
        "[wrong-shape]",
        "columns.yaml:4:38: «M/D/YY» has two figures for the year, which may be of any century; write years with four "
        "[not-understood]",
        "columns.yaml:5:1: there is no field «bayer» in «private»; did you mean «buyer»? [unknown-key]",
        "columns.yaml:6:21: «colum» is not known here; did you mean «column»? [unknown-key]",
        "columns.yaml:7:1: one cell cannot fill «spec.wood.back»; name a single value in it, like spec.scale_length "
        "[wrong-shape]",
        "columns.yaml:8:16: either a column or always belongs here; write {column: Scale}, or "
        "{always: mountain dulcimer} [missing-key]",
        "columns.yaml:9:39: «inn» is no unit; did you mean «in»? [unknown-word]",
        "columns.yaml:10:1: there is no field «format»; write serial, kind, name, visibility, started_from, made_by, "
        "batch, dates, spec, build, as_built, photos, recordings, service, story or private [unknown-key]",
        "columns.yaml:12:1: one cell cannot fill «service»; name a single value in it, like spec.scale_length "
        "[wrong-shape]",
        "columns.yaml:13:1: there is no field «first» in «name» [unknown-key]",
        "columns.yaml:14:8: this names no column; write the head of one column [wrong-shape]",
    ]
    (shop / "columns.yaml").write_text(
        "serial: No.\nkind: Name\nspec.scale_length: Scale\nspec.scale_length.bass: Scale"
    )
    said = [line for line in run(shop, code=1) if line.startswith("columns.yaml")]
    assert said == [
        "columns.yaml:4:1: this and «spec.scale_length» would be one field; leave one out [does-not-fit]",
    ]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"No.;K\xe4se\n", "the text is not UTF-8 (line 1); save it from the spreadsheet as «CSV UTF-8»"),
        ("No.\n".encode("utf-16"), "this is no CSV file; save it from the spreadsheet as «CSV UTF-8»"),
        (b"PK\x03\x04rest", "this is no CSV file; save it from the spreadsheet as «CSV UTF-8»"),
        (b"No.\n\0\n", "this is no text; save it from the spreadsheet as «CSV UTF-8»"),
        (b" \n;;\n", "nothing is written in this file; see whether it is the right one"),
        (b'No.,Name\n1,"x\n2,y\n', "line 3 cannot be read (unexpected end of data); see whether a quote is never "
         "closed there, or save it from the spreadsheet as «CSV UTF-8»"),
    ],
)  # fmt: skip
def test_what_is_no_spreadsheet_is_told(tmp_path: Path, content: bytes, why: str) -> None:
    with pytest.raises(NotASpreadsheet) as trouble:
        read_spreadsheet(content)
    assert str(trouble.value) == why
    shop = with_sheet(tmp_path / "shop", [])
    (shop / "old.csv").write_bytes(content)
    assert run(shop, code=2) == [f"boutbook: old.csv: {why}"]


CELLS = (
    "no", "007", "1e5", "- x", "a: b", "a #b", "#a", "{x", "[y]", "'q", 'say "x"', "%", "@x", "!tag", "&a *b", "|", ">",
    "null", "2015-01-01", "ends:", "back\\slash", "é ½ –", "two\nlines: here\n  # and more", "=1+1", "---",
)  # fmt: skip


def test_any_text_of_a_cell_reads_back_as_itself(tmp_path: Path) -> None:
    """Written by the csv module of the standard library, read back by PyYAML, and by the house."""
    rows = [[f"x-{number}", cell] for number, cell in enumerate(CELLS)]
    columns = "serial: No.\nkind: {always: cittern}\nstory: Story\nprivate.notes: Story\n"
    shop = with_sheet(tmp_path / "shop", [["No.", "Story"], *rows], columns)
    run(shop)
    found = {str(each.record.serial): each for each in open_shop(shop, private_files=True).instruments}
    for serial, cell in rows:
        record = yaml.load(records(shop)[f"{serial}/record.yaml"], yaml.BaseLoader)
        assert record["story"].removesuffix("\n") == cell
        assert (found[serial].record.story or "").removesuffix("\n") == cell
        private = found[serial].private
        assert private
        assert (private.notes or "").removesuffix("\n") == cell


@pytest.mark.parametrize(
    ("form", "python"),
    [("M/D/YYYY", "%m/%d/%Y"), ("D.M.YYYY", "%d.%m.%Y"), ("YYYY-MM-DD", "%Y-%m-%d"), ("D MMM YYYY", "%d %b %Y"),
     ("MMM D, YYYY", "%B %d, %Y"), ("d-mmm-yyyy", "%d-%b-%Y"), ("M/D/YYYY", "%m/%d/%Y 00:00:00")],
)  # fmt: skip
def test_days_are_read_as_python_writes_them(form: str, python: str) -> None:
    for day in (date(1999, 12, 31), date(2015, 3, 4), date(2020, 2, 29), date(2026, 9, 10)):
        assert day_as_written(day.strftime(python), day_form(form)) == day.isoformat()


@pytest.mark.parametrize("said", ["M/D", "D/D/YYYY", "M/D/YY", "H/D/YYYY", "", "MM/DD/YYYYY", "MMMM D YYYY"])
def test_a_form_that_says_no_day_is_refused(said: str) -> None:
    with pytest.raises(NoForm):
        day_form(said)


def test_an_export_is_taken_into_another_shop(tmp_path: Path) -> None:
    """The table of instruments, as it was written: the same scale lengths, days and names stand there afterwards."""
    shop = with_sheet(tmp_path / "shop", [HEAD, SEDGE, REED])
    run(shop)
    boutbook("export", "--to", "out", "--csv", folder=shop)
    other = tmp_path / "other"
    (other / "records").mkdir(parents=True)
    (other / "records" / "shop.yaml").write_text(SHOP, "utf-8")
    (other / "old.csv").write_bytes((shop / "out" / "instruments.csv").read_bytes())
    columns = "serial: serial\nkind: kind\nname: name\nspec.scale_length: {column: 'scale bass [mm]', unit: mm}\n"
    columns += "".join(f"dates.{name}: {name}\n" for name in ("ordered", "promised", "finished", "delivered"))
    (other / "columns.yaml").write_text(columns, "utf-8")
    run(other)
    told = [
        [(each.record.serial, each.record.name, each.record.dates, each.record.spec.scale_length)
         for each in open_shop(folder, private_files=False).instruments]
        for folder in (shop, other)
    ]  # fmt: skip
    assert told[0] == told[1]
    assert len(told[0]) == 3


def test_new_files_name_their_schema_where_the_shop_has_it(tmp_path: Path) -> None:
    shop = with_sheet(tmp_path / "shop", [HEAD, REED])
    boutbook("schema", folder=shop)
    run(shop)
    for name in ("record", "private"):
        first = records(shop)[f"2015-002/{name}.yaml"].decode().split("\n")[0]
        assert first == f"# yaml-language-server: $schema=../../schema/{name}.schema.json"


@pytest.mark.parametrize("how", ["dead", "full disk"])
def test_stopped_at_every_call_all_are_there_or_none(tmp_path: Path, how: How) -> None:
    def do(shop: Path) -> None:
        take(shop, shop / "old.csv", shop / "columns.yaml")

    whole, every = with_sheet(tmp_path / "whole", [HEAD, REED, TWIG]), StoppedCalls()
    before = records(whole)
    assert with_calls(every, lambda: do(whole)) is None
    after, ends = records(whole), set()
    for at, call in enumerate(every.made):
        shop, where = with_sheet(tmp_path / f"{at}", [HEAD, REED, TWIG]), f"{how} at call {at}, {call}"
        end = with_calls(StoppedCalls(at, how), lambda shop=shop: do(shop))  # type: ignore[misc]
        found = seen(shop)
        assert {name: after[name] for name in found} == found, f"{where}: whole files alone"
        if how == "full disk":
            assert found == (before if isinstance(end, OSError) else after), where
        else:
            assert isinstance(end, Dead), where
        for serial in ("2015-002", "2015-012"):
            assert len([name for name in found if name.startswith(serial)]) in (0, 2), f"{where}: whole folders alone"
        ends.add(found == after)
        again = with_calls(StoppedCalls(), lambda shop=shop: do(shop))  # type: ignore[misc]
        assert again is None or isinstance(again, Resumed), where
        assert records(shop) == after, where
    assert ends == {True, False}
