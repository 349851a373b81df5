"""The export: its tables agree with the records as PyYAML reads them, and nothing private is in it unasked."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from builder.exports.folder import MARK, Wanted, files_of, write_export
from builder.publish import publish
from builder.publish.bench import publish_bench
from builder.published import as_json
from builder.workshop import Workshop, open_shop
from tests.shops import REPOSITORY, boutbook, files_below
from tests.stopped_calls import Dead, How, StoppedCalls, with_calls
from tests.test_stopped_entries import lay_down

INSTRUMENTS = REPOSITORY / "records" / "instruments"
SERIALS = sorted(path.name for path in INSTRUMENTS.iterdir())


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return open_shop(REPOSITORY, private_files=True)


@pytest.fixture(scope="module")
def exported(demo: Workshop) -> dict[str, bytes]:
    """The demo exported with everything."""
    return dict(files_of(demo, Wanted(private_files=True)))


@pytest.fixture(scope="module")
def not_private() -> dict[str, bytes]:
    return dict(files_of(open_shop(REPOSITORY, private_files=False), Wanted()))


def rows_of(content: bytes) -> list[dict[str, str]]:
    """A table as a spreadsheet would read it."""
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))


def written(serial: str, file: str) -> Any:
    """A file of the demo, every value as its text."""
    path = INSTRUMENTS / serial / file
    return yaml.load(path.read_text("utf-8"), yaml.BaseLoader) if path.exists() else {}


def texts_in(node: Any) -> Iterator[str]:
    if isinstance(node, str):
        yield node
    else:
        for each in node.values() if isinstance(node, dict) else node:
            yield from texts_in(each)


def test_every_instrument_has_one_file_with_all_of_it(exported: dict[str, bytes], demo: Workshop) -> None:
    assert [name for name in exported if name.startswith("instruments/")] == [f"instruments/{s}.json" for s in SERIALS]
    assert demo.shop
    for each in demo.instruments:
        told = json.loads(exported[f"instruments/{each.record.serial}.json"])
        assert told["record"] == written(each.record.serial, "record.yaml")
        assert told["private"] == written(each.record.serial, "private.yaml")
        assert told["published"] == json.loads(as_json(publish(each, demo.shop)))
        assert told["bench"] == json.loads(as_json(publish_bench(each, demo.shop)))


def test_the_table_of_instruments_agrees_with_the_records(exported: dict[str, bytes]) -> None:
    rows = rows_of(exported["instruments.csv"])
    assert [row["serial"] for row in rows] == SERIALS
    for row in rows:
        record = written(row["serial"], "record.yaml")
        for name in ("name", "kind", "batch", "started_from"):
            assert row[name.replace("_", " ")] == record.get(name, "")
        for name in ("ordered", "promised", "finished", "delivered"):
            assert row[name] == record.get("dates", {}).get(name, "")
        assert row["services"] == str(len(record.get("service", [])))
        scale = record["spec"]["scale_length"]
        for end in ("bass", "treble"):
            said = scale if isinstance(scale, str) else scale[end]
            assert float(row[f"scale {end} [mm]"]) == pytest.approx(in_mm(said), abs=1e-6)
        octaves = record.get("as_built", {}).get("setup", {}).get("cents_at_octave", {}).values()
        furthest = [max(abs(float(each)) for each in octaves)] if octaves else []
        assert [abs(float(each)) for each in [row["octave furthest off [cents]"]] if each] == furthest


def in_mm(said: str) -> float:
    """`27 1/2 in`, by a reading of our own; an inch is 25.4 mm by agreement since 1959."""
    found = re.fullmatch(r"(?:(\d+) ft )?(\d+(?:\.\d+)?)(?: (\d+)/(\d+))? ?(in|\"|mm)", said)
    assert found, said
    number = 12 * int(found[1] or 0) + float(found[2]) + (int(found[3]) / int(found[4]) if found[3] else 0)
    return number * (1 if found[5] == "mm" else 25.4)


def test_orders_payments_and_hours_add_up(exported: dict[str, bytes]) -> None:
    paid: dict[str, Decimal] = {}
    for row in rows_of(exported["payments.csv"]):
        paid[row["serial"]] = paid.get(row["serial"], Decimal(0)) + Decimal(row["amount"])
        assert row["currency"] == "EUR"
    worked: dict[str, float] = {}
    for row in rows_of(exported["hours.csv"]):
        worked[row["serial"]] = worked.get(row["serial"], 0) + float(row["hours [h]"])
    orders = rows_of(exported["orders.csv"])
    assert [row["serial"] for row in orders] == SERIALS
    for row in orders:
        order = written(row["serial"], "private.yaml").get("order", {})
        sums = sum(Decimal(each["amount"].replace(",", "").split()[0]) for each in order.get("payments", []))
        assert paid.get(row["serial"], Decimal(0)) == sums == Decimal(row["paid"])
        if "price" in order:
            price = Decimal(order["price"].replace(",", "").removesuffix("EUR"))
            assert Decimal(row["price"]) == price
            assert re.fullmatch(r"-?\d+\.\d\d", row["price"])
            gone = row["stage"] in ("cancelled", "returned")
            assert Decimal(row["balance"]) == (-sums if gone else price - sums)
        assert float(row["hours"] or 0) == pytest.approx(worked.get(row["serial"], 0))
    assert worked
    assert paid


def test_repairs_stand_in_a_table_of_their_own(exported: dict[str, bytes]) -> None:
    rows = {row["ticket"]: row for row in rows_of(exported["repairs.csv"])}
    files = sorted((REPOSITORY / "records" / "repairs").glob("*.yaml"))
    assert [*rows] == [path.stem for path in files]
    for path in files:
        repair = yaml.load(path.read_text("utf-8"), yaml.BaseLoader)
        paid = sum(Decimal(each["amount"]) for each in repair["payments"])
        row = rows[path.stem]
        assert Decimal(row["balance"]) == Decimal(repair["price"]) - paid
        assert Decimal(row["parts"]) == sum(Decimal(each["parts"]) for each in repair["work"] if "parts" in each)
        assert (row["owner"], row["handed back"]) == (repair["owner"]["name"], repair.get("handed_back", ""))


def test_every_figure_stands_on_a_line_of_its_own(exported: dict[str, bytes]) -> None:
    rows = rows_of(exported["figures.csv"])
    for serial in SERIALS:
        told = json.loads(exported[f"instruments/{serial}.json"])
        facts = [
            (of["key"], fact["key"], fact["said"])
            for name in ("published", "bench")
            for of in told[name]["subjects"]
            for fact in of["figures"]["facts"]
        ]
        assert [(row["subject"], row["figure"], row["said"]) for row in rows if row["serial"] == serial] == facts


def test_nothing_private_is_in_it_unasked(not_private: dict[str, bytes], exported: dict[str, bytes]) -> None:
    assert {"orders.csv", "payments.csv", "hours.csv", "repairs.csv"} == set(exported) - set(not_private)
    rack = yaml.load((REPOSITORY / "records" / "wood.yaml").read_text("utf-8"), yaml.BaseLoader)
    private = [each["private"] for each in rack["billets"].values() if "private" in each]
    for serial in SERIALS:
        of_it = written(serial, "private.yaml")
        # Steps that hours were worked at are called as in records.
        private += [{name: of_it[name] for name in of_it if name not in ("format", "hours")}]
        address = INSTRUMENTS / serial / "address.txt"
        private += [address.read_text("utf-8").strip()] if address.exists() else []
    everything = b"\n".join(not_private.values()).decode()
    secrets = {text.strip() for text in texts_in(private) if re.search("[a-z]{4}", text)}
    assert len(secrets) > 30
    assert not {each for each in secrets if each in everything and each not in ALSO_IN_RECORDS}
    assert all("seller" not in row for row in rows_of(not_private["wood.csv"]))


#: Words of private files that records have too, in another sense.
ALSO_IN_RECORDS = {"Our own tree", "nothing"}


def test_the_same_records_give_the_same_bytes(tmp_path: Path) -> None:
    shop = lay_down(tmp_path / "shop")
    for name in ("one", "other"):
        boutbook("export", "--to", name, folder=shop)
    one = files_below(shop / "one")
    assert one == files_below(shop / "other")
    boutbook("export", "--to", "one", folder=shop)
    assert one == files_below(shop / "one")
    boutbook("export", "--to", "one", "--csv", folder=shop)
    assert set(files_below(shop / "one")) == {MARK, "instruments.csv", "figures.csv", "wood.csv"}
    boutbook("export", "--to", "one", "--json", folder=shop)
    assert set(files_below(shop / "one")) == {MARK, "shop.json", "instruments/2026-014.json"}


def test_a_folder_that_is_not_ours_stays_as_it_is(tmp_path: Path) -> None:
    shop = lay_down(tmp_path / "shop")
    (shop / "mine").mkdir()
    (shop / "mine" / "letter.txt").write_text("dear", "utf-8")
    before = files_below(shop)
    for target, why in (("mine", "not of an earlier export"), ("records", "records are"), (".", "records are")):
        assert why in boutbook("export", "--to", target, folder=shop, code=2).stderr
        assert files_below(shop) == before
    (shop / "records" / "shop.yaml").write_text("format: 1\n", "utf-8")
    boutbook("export", "--to", "new", folder=shop, code=1)
    assert not (shop / "new").exists()


@pytest.mark.parametrize("how", ["dead", "full disk"])
def test_stopped_anywhere_the_old_export_or_the_new_one_stands_there(tmp_path: Path, how: How) -> None:
    workshop = open_shop(lay_down(tmp_path / "shop"), private_files=False)
    whole, old = tmp_path / "whole", Wanted(json_files=False)
    write_export(workshop, whole, old)
    before, every = files_below(whole), StoppedCalls()

    def write(folder: Path, wanted: Wanted, calls: StoppedCalls) -> BaseException | None:
        def run() -> None:
            write_export(workshop, folder, wanted)

        return with_calls(calls, run)

    assert write(whole, Wanted(), every) is None
    after, ends = files_below(whole), set()
    for at, call in enumerate(every.made):
        folder = tmp_path / str(at) / "export"
        write(folder, old, StoppedCalls())
        end = write(folder, Wanted(), StoppedCalls(at, how))
        found = files_below(folder)
        assert found in (before, after), f"{how} at call {at}, {call}"
        assert isinstance(end, Dead if how == "dead" else OSError) or (how, found) == ("full disk", after)
        ends.add(found == after)
        write(folder, Wanted(), StoppedCalls())
        assert files_below(folder.parent) == {f"export/{name}": content for name, content in after.items()}
    assert ends == {True, False}
