"""An export as a folder of files, put in place whole: JSON for programs, CSV for spreadsheets."""

from __future__ import annotations

import csv
import dataclasses
import io
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.editing.layout import Plain, plain_of
from builder.entries.keeping import PRIVATE
from builder.exports.tables import Exported, ExportTable, tables_of
from builder.publish import publish, publish_shop
from builder.publish.bench import publish_bench
from builder.published import FORMAT, as_json
from builder.safe_files import new_folder_for, write_file
from builder.shop import Shop
from builder.workshop import Instrument, Workshop

#: Stands in a folder made by this module, so that it may be replaced and no other folder ever is.
MARK = ".boutbook-export"


class NotOurs(Exception):
    """The folder holds something that this module did not make."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is wanted of an export. `private_files` only where the workshop was opened with them."""

    json_files: bool = True
    csv_files: bool = True
    private_files: bool = False


def write_export(workshop: Workshop, folder: Path, wanted: Wanted) -> tuple[str, ...]:
    """Write what is wanted into `folder`, replacing what an earlier run wrote there; the names of the files.

    Raises NotOurs where the folder holds anything else, InUse where another run is writing it.
    """
    if folder.exists() and not (folder / MARK).exists() and any(folder.iterdir()):
        raise NotOurs(f"{folder} holds files that are not of an earlier export; choose an empty or a new folder")
    files = dict(files_of(workshop, wanted))
    with new_folder_for(folder) as new:
        write_file(new / MARK, b"")
        for name, content in files.items():
            write_file(new / name, content)
    return tuple(files)


def files_of(workshop: Workshop, wanted: Wanted) -> Iterator[tuple[str, bytes]]:
    """Every file of an export: its name and its bytes."""
    shop = workshop.shop
    assert shop is not None, "what has errors is not exported"
    private_files = wanted.private_files
    listed = [_exported(each, shop, private_files) for each in workshop.instruments]
    if wanted.json_files:
        yield "shop.json", as_json(publish_shop(shop)).encode()
        for each in listed:
            yield f"instruments/{each.published.serial}.json", _instrument_json(each, workshop.folder)
    if wanted.csv_files:
        for table in tables_of(listed, workshop.rack, workshop.repairs, private_files=private_files):
            yield f"{table.name}.csv", _csv(table)


def _exported(instrument: Instrument, shop: Shop, private_files: bool) -> Exported:
    """One instrument published; an address that nobody can guess is as private as a private file."""
    published, bench = publish(instrument, shop), publish_bench(instrument, shop)
    if not private_files:
        serial = str(instrument.record.serial)
        published, bench = dataclasses.replace(published, address=serial), dataclasses.replace(bench, address=serial)
    return Exported(instrument, published, bench)


def _instrument_json(each: Exported, shop_folder: Path) -> bytes:
    """The record as it is written, then what is worked out of it, and with private files what stands there."""
    instrument = each.instrument
    told: dict[str, object] = {"format": FORMAT, "serial": each.published.serial, "record": _as_written(instrument)}
    if instrument.private is not None:
        file = shop_folder / "records" / "instruments" / str(instrument.record.serial) / PRIVATE
        told["private"] = plain_of(file.read_text("utf-8-sig"))
    told["published"] = dataclasses.asdict(each.published)
    told["bench"] = dataclasses.asdict(each.bench)
    return (json.dumps(told, ensure_ascii=False, indent=2) + "\n").encode()


def _as_written(instrument: Instrument) -> Plain | None:
    lines = instrument.file.lines if instrument.file else ()
    return plain_of("\n".join(lines).removeprefix("\ufeff"))


def _csv(table: ExportTable) -> bytes:
    """As RFC 4180 has it, with the mark at its beginning by which spreadsheets know UTF-8."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(table.head)
    writer.writerows(["" if value is None else value for value in row] for row in table.rows)
    return text.getvalue().encode("utf-8-sig")
