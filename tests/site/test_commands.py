"""The command as a maker meets it: what it says, and its exit codes."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from builder import command_line
from tests.shops import REPOSITORY, boutbook, copy_demo, files_below, run_module

TEN_MISTAKES = REPOSITORY / "tests" / "site" / "ten_mistakes.yaml"

#: Where each of the ten stands: line and column, and the start of what is said.
THE_TEN = [
    (3, 1, "«nmae» is not known here; did you mean «name»?"),
    (5, 18, "there is no such day as 2024-02-30"),
    (5, 63, "«12/6/2024» is not a date"),
    (7, 17, "«28,5 in» has a comma in its number"),
    (8, 19, "«diatonc» is not a word for «layout»; did you mean «diatonic»?"),
    (8, 38, "«2x» is not a fret number"),
    (9, 53, "«wide» is not a length"),
    (9, 68, "«markers» should be a list"),
    (10, 13, "«H4» is not a note"),
    (14, 7, "«date» is missing from entry 2 of «log»"),
]


def with_ten_mistakes(shop: Path) -> Path:
    shutil.copy(TEN_MISTAKES, shop / "records" / "instruments" / "2024-003" / "record.yaml")
    return shop


def problems_in(output: str) -> list[tuple[int, int, str]]:
    found = re.findall(r"records/instruments/2024-003/record\.yaml:(\d+):(\d+): (.*)", output)
    return [(int(line), int(column), said) for line, column, said in found]


@pytest.mark.parametrize("command", ["boutbook build", "boutbook check", "mkdocs build --strict"])
def test_a_record_with_ten_mistakes_gives_ten_problems_and_leaves_the_site(shop: Path, command: str) -> None:
    boutbook("build", folder=shop)
    before = files_below(shop / "site")
    with_ten_mistakes(shop)
    module, *arguments = command.replace("boutbook", "builder", 1).split()
    done = run_module(module, *arguments, folder=shop, code=1)
    found = problems_in(done.stdout + done.stderr)
    assert [(line, column) for line, column, _ in found] == [(line, column) for line, column, _ in THE_TEN]
    for (_, _, said), (_, _, start) in zip(found, THE_TEN, strict=True):
        assert said.startswith(start)
    assert files_below(shop / "site") == before
    assert sorted(path.name for path in shop.iterdir()) == [".boutbook", "mkdocs.yml", "records", "site"]


def test_a_caret_stands_under_the_place(shop: Path) -> None:
    lines = boutbook("check", folder=with_ten_mistakes(shop), code=1).stderr.splitlines()
    at = next(number for number, line in enumerate(lines) if ":7:17:" in line)
    assert lines[at + 1] == "      scale_length: 28,5 in"
    assert lines[at + 2] == "                    ^"
    assert lines[at + 1].index("28,5") == lines[at + 2].index("^")


def test_a_mistake_in_a_private_file_is_found_by_check_and_does_not_keep_the_site_from_being_built(shop: Path) -> None:
    (shop / "records" / "instruments" / "2024-003" / "private.yaml").write_text("format: 1\nbuyr: {}\n")
    said = boutbook("check", folder=shop, code=1).stderr
    assert "private.yaml:2:1: «buyr» is not known here; did you mean «buyer»?" in said
    boutbook("build", folder=shop)


def test_results_are_json_with_units_and_sources(shop: Path) -> None:
    results = json.loads(boutbook("results", "2024-003", folder=shop).stdout)
    assert results["format"] == 1
    assert results["serial"] == "2024-003"
    table = results["frets"]["table"]
    assert {column["source"] for column in table["columns"]} <= {source["key"] for source in results["sources"]}
    assert all(len(row) == len(table["columns"]) for row in table["rows"])


def test_the_figures_of_the_bench_page_are_printed_on_wish(shop: Path) -> None:
    bench = json.loads(boutbook("results", "2024-003", "--bench", folder=shop).stdout)
    assert (bench["serial"], bench["stage"]) == ("2024-003", "delivered")
    keys = [subject["key"] for subject in bench["subjects"]]
    assert {"cutting", "body", "bracing", "clamps", "gluing", "wood", "setback", "levelling", "as-built"} <= set(keys)


def test_results_as_csv_are_the_same_table(shop: Path) -> None:
    table = json.loads(boutbook("results", "2024-003", folder=shop).stdout)["frets"]["table"]
    head, *rows = csv.reader(io.StringIO(boutbook("results", "2024-003", "--csv", folder=shop).stdout))
    assert head[:4] == ["fret", "mark [in]", "from_nut_in [in]", "from_nut_mm [mm]"]
    assert rows == [[str(value) for value in row] for row in table["rows"]]


def test_a_serial_may_be_shortened_where_it_is_clear(shop: Path) -> None:
    assert json.loads(boutbook("results", "003", folder=shop).stdout)["serial"] == "2024-003"
    instruments = shop / "records" / "instruments"
    shutil.copytree(instruments / "2024-003", instruments / "2023-003")
    record = instruments / "2023-003" / "record.yaml"
    record.write_text(record.read_text("utf-8").replace("serial: 2024-003", "serial: 2023-003"), "utf-8")
    said = boutbook("results", "003", folder=shop, code=2).stderr
    assert "«003» may be 2023-003, 2024-003; write more of it" in said
    assert "there is no instrument «999»" in boutbook("results", "999", folder=shop, code=2).stderr


def test_results_of_a_record_with_problems_say_the_problems(shop: Path) -> None:
    with_ten_mistakes(shop)
    assert len(problems_in(boutbook("results", "2024-003", folder=shop, code=1).stderr)) == 10


def test_used_wrongly_is_exit_2_and_a_plain_word(tmp_path: Path) -> None:
    assert "there is no records folder" in boutbook("check", folder=tmp_path, code=2).stderr
    assert "chek" in run_module("builder", "chek", folder=tmp_path, code=2).stderr
    assert "--to" in boutbook("pages", folder=tmp_path, code=2).stderr
    assert "is not a host and a port" in boutbook("serve", "--address", "nowhere", folder=tmp_path, code=2).stderr
    (tmp_path / "records").mkdir()
    assert "there is no such file" in boutbook("build", folder=tmp_path, code=1).stderr


def test_a_new_shop_builds_at_once(tmp_path: Path) -> None:
    said = boutbook("init", "my-shop", folder=tmp_path).stdout
    assert "records/shop.yaml" in said.replace("\\", "/")
    shop = tmp_path / "my-shop"
    assert (shop / ".gitignore").is_file()
    boutbook("check", folder=shop)
    boutbook("build", "--shop", "my-shop", folder=tmp_path)
    assert (shop / "site" / "index.html").is_file()
    run_module("mkdocs", "build", "--strict", folder=shop)


def test_init_never_overwrites(tmp_path: Path) -> None:
    (tmp_path / "my-shop" / "records").mkdir(parents=True)
    (tmp_path / "my-shop" / "records" / "shop.yaml").write_text("mine")
    assert "is there already; nothing was written" in boutbook("init", "my-shop", folder=tmp_path, code=2).stderr
    assert files_below(tmp_path / "my-shop") == {"records/shop.yaml": b"mine"}


def test_what_nobody_expected_is_said_in_a_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from builder import command_line

    def broken() -> None:
        raise KeyError("what nobody thought of")

    monkeypatch.delenv("BOUTBOOK_DEBUG", raising=False)
    with pytest.raises(SystemExit) as stopped:
        command_line.main(broken)
    assert stopped.value.code == 1


KINDS = (
    "bench", "fret-template", "fret-strip", "nut-and-saddle", "pattern", "half-pattern", "body-svg", "body-dxf",
    "board-svg", "board-dxf", "certificate", "label", "care-card", "string-card", "reach-strip", "repair-ticket",
)  # fmt: skip
BEGINS = {".pdf": b"%PDF-", ".html": b"<!doctype html>", ".svg": b"<", ".dxf": b"  0"}


@pytest.fixture(scope="module")
def one_instrument(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with Bittern alone; for printing from only."""
    return copy_demo(tmp_path_factory.mktemp("one") / "shop", only=("2024-003",))


@pytest.mark.parametrize("kind", KINDS)
def test_every_paper_of_an_instrument_is_written_into_the_folder_sheets(one_instrument: Path, kind: str) -> None:
    written = []
    for _ in range(2):
        said = CliRunner().invoke(command_line.boutbook, ["sheet", "003", kind, "--shop", str(one_instrument)])
        assert said.exit_code == 0, said.output
        names = [f"2024-003-{kind}.*", f"2024-003-{kind}-letter.*"]
        (file,) = [file for name in names for file in (one_instrument / "sheets").glob(name)]
        written.append(file.read_bytes())
        file.unlink()
    assert written[0].lower().startswith(BEGINS[file.suffix].lower())
    assert written[0] == written[1], "the same bytes twice"


def test_papers_of_several_and_of_another_makers_instrument(shop: Path) -> None:
    for arguments, name in (
        (["2024-003,2026-004", "batch"], "2024-003-2026-004-batch.html"),
        (["2024-003,2026-001,2023-002", "label", "--paper", "a4"], "2024-003-and-more-label-a4.html"),
        (["-", "repair-ticket"], "blank-repair-ticket.html"),
    ):
        said = CliRunner().invoke(command_line.boutbook, ["sheet", *arguments, "--shop", str(shop)])
        assert said.exit_code == 0, said.output
        assert (shop / "sheets" / name).is_file()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["003", "poster"], "there is no paper «poster»; write one of bench, fret-template"),
        (["2024-003,2026-004", "pattern"], "«pattern» is made for one instrument; write one serial"),
        (["-", "label"], "«label» is made for one instrument; write one serial"),
    ],
)
def test_a_paper_that_cannot_be_made_is_refused_in_plain_words(shop: Path, arguments: list[str], words: str) -> None:
    said = CliRunner().invoke(command_line.boutbook, ["sheet", *arguments, "--shop", str(shop)])
    assert said.exit_code == 2
    assert words in said.output


def test_a_paper_that_the_record_says_too_little_for_names_the_field(shop: Path) -> None:
    record = shop / "records" / "instruments" / "2026-001" / "record.yaml"
    text = record.read_text("utf-8")
    record.write_text(text[: text.index("  body:")] + text[text.index("  wood:") :], "utf-8")
    said = CliRunner().invoke(command_line.boutbook, ["sheet", "2026-001", "pattern", "--shop", str(shop)])
    assert said.exit_code == 2
    assert "outline" in said.output


def test_names_stay_out_of_the_bench_sheet_on_wish(shop: Path) -> None:
    private = (shop / "records" / "instruments" / "2024-003" / "private.yaml").read_text("utf-8")
    buyer = re.search(r"name: (.+)", private)
    assert buyer
    for option, there in (([], True), (["--no-names"], False)):
        CliRunner().invoke(command_line.boutbook, ["sheet", "003", "bench", "--shop", str(shop), *option])
        assert (buyer[1] in (shop / "sheets" / "2024-003-bench.html").read_text("utf-8")) == there
