"""Two instruments side by side, and where an instrument comes from."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner

from builder.command_line import boutbook
from builder.comparing import compared, lineage_of
from builder.pages.bench import bench_page
from builder.publish import publish
from builder.publish.bench import publish_bench
from builder.published import Published
from builder.workshop import Workshop, open_shop
from tests.certificate_samples import USUAL
from tests.page_reading import part, rows, words
from tests.shops import REPOSITORY


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=False)


@pytest.fixture(scope="module")
def published(demo: Workshop) -> dict[str, Published]:
    assert demo.shop is not None
    return {str(each.record.serial): publish(each, demo.shop) for each in demo.instruments}


def said(*arguments: str, code: int = 0) -> str:
    done = CliRunner().invoke(boutbook, [*arguments, "--shop", str(REPOSITORY)])
    assert done.exit_code == code, done.output
    return done.output


def test_what_differs_stands_side_by_side(published: dict[str, Published]) -> None:
    lines = said("compare", "2024-003", "2025-006").splitlines()
    assert lines[0].split() == ["2024-003", "2025-006"]
    told = {line[:32].strip(): line[32:].split("  ") for line in lines}
    assert [each.strip() for each in told["Scale length"] if each.strip()] == [
        "28 1/2 in (723.9 mm)", "26 in (660.4 mm)",
    ]  # fmt: skip
    worked_out = sum(not each.is_written for each in compared(published["2024-003"], published["2025-006"]))
    assert lines[-1] == f"From this {worked_out} figures differ too; boutbook compare --all shows them."


def test_written_differences_are_those_of_the_files(published: dict[str, Published]) -> None:
    """What the two records say of hardware, from the YAML itself."""
    files = [
        yaml.load(
            (REPOSITORY / "records" / "instruments" / serial / "record.yaml").read_text("utf-8"), Loader=yaml.BaseLoader
        )["spec"]["hardware"]
        for serial in ("2024-003", "2025-006")
    ]
    differing = {part for part in {*files[0], *files[1]} if files[0].get(part) != files[1].get(part)}
    changes = {each.what: each for each in compared(published["2024-003"], published["2025-006"])}
    for each in {*files[0], *files[1]}:
        name = f"{each[:1].upper()}{each[1:]}"
        assert (name in changes) == (each in differing)
        if name in changes:
            assert (changes[name].was, changes[name].now) == (files[0].get(each, ""), files[1].get(each, ""))


def test_a_spreadsheet_has_written_and_worked_out(published: dict[str, Published]) -> None:
    rows = list(csv.reader(io.StringIO(said("compare", "2024-003", "2025-006", "--csv"))))
    assert rows[0] == ["what", "2024-003", "2025-006", "how it is known"]
    assert {row[3] for row in rows[1:]} == {"written", "worked out"}
    assert len(rows) - 1 == len(compared(published["2024-003"], published["2025-006"]))


def test_an_instrument_is_like_itself_whatever_its_name_days_and_story() -> None:
    other = replace(
        USUAL, serial="D-2", address="D-2", title="Wren", name="Wren", finished="2020-01-01", story="Another"
    )
    assert compared(USUAL, other) == ()


def test_two_that_are_one_are_refused() -> None:
    assert "2024-003 is both of them; name two instruments" in said("compare", "2024-003", "2024-003", code=2)


def test_lineage_is_that_of_the_files(demo: Workshop, published: dict[str, Published]) -> None:
    """Forebears and offspring again, straight from the YAML."""
    started = {}
    for file in (REPOSITORY / "records" / "instruments").glob("*/record.yaml"):
        record = yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader)
        started[record["serial"]] = record.get("started_from")
    assert sum(each is not None for each in started.values()) >= 5
    for instrument in demo.instruments:
        serial = str(instrument.record.serial)
        line, start = [], started[serial]
        while start:
            line.append(start)
            start = started.get(start)
        lineage = lineage_of(instrument, demo.instruments, published)
        assert [each.name for each in lineage.forebears] == line
        assert [each.name for each in lineage.offspring] == sorted(
            other for other, parent in started.items() if parent == serial
        )
        assert [each.is_pattern for each in lineage.forebears] == [each not in started for each in line]


def test_the_bench_page_tells_where_it_comes_from(demo: Workshop, published: dict[str, Published]) -> None:
    assert demo.shop is not None
    lapwing = next(each for each in demo.instruments if each.record.serial == "2025-006")
    lineage = lineage_of(lapwing, demo.instruments, published)
    page = bench_page(publish_bench(lapwing, demo.shop), (), None, lineage)
    told = part(page, "lineage")
    assert words(told).startswith("Started from Bittern (2024-003), and that from the pattern teardrop-28.")
    assert [link.get("href") for link in told.iter("a")] == ["2024-003.html"]
    assert rows(told)[:2] == [["What", "Bittern", "Here"], ["Maker", "Ilse Marrable", "Ilse Marrable and Teo Quant"]]


def test_going_round_in_a_circle_ends(tmp_path: Path) -> None:
    for serial, start in (("D1", "D2"), ("D2", "D1")):
        folder = tmp_path / "records" / "instruments" / serial
        folder.mkdir(parents=True)
        text = f"format: 1\nserial: {serial}\nkind: lute\nstarted_from: {start}\n"
        (folder / "record.yaml").write_text(text, "utf-8")
    shop = "format: 1\nname: A\nmaker: B\nunits: inches\nrules: [{name: r, marks: 1/64 in}]\nworking_rule: r\n"
    (tmp_path / "records" / "shop.yaml").write_text(shop, "utf-8")
    workshop = open_shop(tmp_path, private_files=False)
    assert workshop.shop is not None
    published = {str(each.record.serial): publish(each, workshop.shop) for each in workshop.instruments}
    lineage = lineage_of(workshop.instruments[0], workshop.instruments, published)
    assert [each.name for each in lineage.forebears] == ["D2"]
