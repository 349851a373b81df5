"""A maker's year, by the command line only: after each step every file reads, and only the lines meant differ.

It is a year that is past on every computer, for no certificate is issued on a day to come.
"""

from __future__ import annotations

import csv
import difflib
import io
from datetime import date, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder import command_line
from builder.commands import adding, orders
from builder.workshop import open_shop
from tests.photo_samples import drawn, saved
from tests.shops import boutbook, files_below

HERON = "records/instruments/2026-002"


class Year:
    """The shop, and what the last command changed in it."""

    def __init__(self, shop: Path) -> None:
        self.shop = shop
        self.before: dict[str, bytes] = {}

    def does(self, *words: str, given: str = "") -> str:
        """A command that must go well, after which every file reads."""
        self.before = files_below(self.shop) if self.shop.exists() else {}
        said = CliRunner().invoke(command_line.boutbook, [*words, "--shop", str(self.shop)], input=given)
        assert said.exit_code == 0, f"{words}: {said.output}"
        workshop = open_shop(self.shop, private_files=True)
        assert [each for each in workshop.problems if each.severity != "hint"] == []
        return said.output

    def changed(self) -> set[str]:
        """The files that are new or other than before, but for the program's own."""
        after = files_below(self.shop)
        assert set(self.before) <= set(after), "nothing is lost"
        return {
            name
            for name, content in after.items()
            if self.before.get(name) != content and not name.startswith(".boutbook/")
        }

    def new_lines(self, name: str) -> list[str]:
        """The lines of a file that are new, each with its sign."""
        old, new = (files.get(name, b"").decode().splitlines() for files in (self.before, files_below(self.shop)))
        lines = difflib.unified_diff(old, new, n=0, lineterm="")
        return [line for line in lines if line[:3] not in ("---", "+++") and not line.startswith("@@")]


@pytest.fixture
def year(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Year:
    """A new shop, whose clock stands in spring 2014."""
    monkeypatch.setattr(orders, "today", lambda: date(2014, 1, 12))
    monkeypatch.setattr(adding, "now", lambda: datetime(2014, 3, 4, 14, 30))
    shop = tmp_path / "shop"
    said = CliRunner().invoke(command_line.boutbook, ["init", str(shop)])
    assert said.exit_code == 0
    return Year(shop)


def test_a_makers_year(year: Year, tmp_path: Path) -> None:
    record = f"{HERON}/record.yaml"

    year.does("new", "--pattern", "first-pattern", "--name", "Heron", "--ordered", "2014-01-12", "--buyer", "Ned Pell")
    assert year.changed() == {record, f"{HERON}/private.yaml"}

    for words, lines in (
        (["promised", "2014-05-15"],
         ["-dates: {ordered: 2014-01-12}", "+dates: {ordered: 2014-01-12, promised: 2014-05-15}"]),
        (["step", "Sides bent", "--date", "2014-02-20"],
         ["+", "+build:", "+  steps:", "+    - {step: Sides bent, done: 2014-02-20}"]),
        (["glue-up", "--parts", "linings, sides", "--glue", "hide glue", "--temperature", "68 F"],
         ["+  glue_ups:",
          "+    - {parts: [linings, sides], at: 2014-03-04 14:30, glue: hide glue, temperature: 68 F}"]),
        (["step", "Box closed"], ["+    - {step: Box closed, done: 2014-03-04}"]),
        (["coat", "--at", "2014-04-14 10:00"],
         ["+  coats:", "+    - {at: 2014-04-14 10:00, product: Wiping oil varnish}"]),
        (["log", "Took the back to 0.105 in"],
         ["+  log:", "+    - {date: 2014-03-04, did: Took the back to 0.105 in}"]),
    ):  # fmt: skip
        year.does("add", *words)
        assert year.changed() == {record}
        assert year.new_lines(record) == lines

    year.does("add", "hours", "3 1/2", "--step", "sides bent")
    assert year.changed() == {f"{HERON}/private.yaml"}
    assert year.new_lines(f"{HERON}/private.yaml") == [
        "+hours:", "+  - {date: 2014-03-04, hours: 3 1/2, step: Sides bent}",
    ]  # fmt: skip

    table = csv.DictReader(io.StringIO(year.does("results", "002", "--csv")))
    marks = [row["mark [in]"].removesuffix(" in") for row in table]
    assert len(marks) == 19
    year.does("add", "measurement", "fret-positions", "--rule", "1/64 in", given="\n".join(marks))
    assert year.new_lines(record) == [
        "+", "+as_built:", "+  fret_positions:", "+    rule: 1/64 in", f"+    values: [{', '.join(marks)}]",
    ]  # fmt: skip
    year.does("add", "measurement", "weight", "2 lb 3 oz")
    assert year.new_lines(record) == ["+  weight: 2 lb 3 oz"]

    photo = tmp_path / "linings.jpg"
    photo.write_bytes(saved(drawn(60, 40)))
    year.does("add", "photo", str(photo), "--shows", "Linings going in")
    assert year.changed() == {record, f"{HERON}/photos/2014-03-04-1-linings.jpg"}
    assert year.new_lines(record) == ["+", "+photos:", "+  2014-03-04-1-linings.jpg: {shows: Linings going in}"]

    year.does("add", "finished", "--date", "2014-04-30")
    year.does("add", "delivered", "--date", "2014-05-09")
    assert "finished: 2014-04-30, delivered: 2014-05-09}" in (year.shop / record).read_text("utf-8")
    assert "no problems" in year.does("check")
    assert year.changed() == set()

    boutbook("build", folder=year.shop)
    assert (year.shop / "site" / "instruments" / "2026-002.html").is_file()
    year.does("issue", "002", "--date", "2014-05-09")
    assert {name.rpartition("/")[0] for name in year.changed()} == {f"{HERON}/certificate"}

    year.does("repeat", "002", "--scale", "26 in", "--same-buyer")
    again = "records/instruments/2026-003"
    assert year.changed() == {f"{again}/record.yaml", f"{again}/private.yaml"}
    carried = [line for line in year.new_lines(f"{again}/record.yaml") if "26 in" in line and "# " not in line]
    assert carried == ["+  scale_length: 26 in"]
    side_by_side = year.does("compare", "002", "003").splitlines()
    assert year.changed() == set()
    (scale,) = (line.split() for line in side_by_side if line.startswith("Scale"))
    assert " ".join(scale) == "Scale length 27 in (685.8 mm) 26 in (660.4 mm)"
    said = year.does("repeat", "002", "--count", "6", "--batch", "Summer school 2014")
    assert "Began 6 instruments" in said
    assert year.changed() == {
        f"records/instruments/2026-00{number}/{file}.yaml" for number in range(4, 10) for file in ("record", "private")
    }

    year.does("add", "002", "service", "New strings", "--date", "2016-02-01")
    assert year.new_lines(record) == ["+", "+service:", "+  - {date: 2016-02-01, did: New strings}"]
    assert "1 certificate verified" in year.does("verify", "002")
