"""What is private stays in the workshop: a canary in every private place, found in no byte of the site."""

from __future__ import annotations

import dataclasses
import gzip
import json
import re
import shutil
import subprocess
import sys
import zlib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

import yaml
from PIL import Image

from builder.limits import WorkedHours
from builder.record import PrivateFile, Record
from builder.shop import BilletPrivate
from builder.shop.private import ShopPrivate
from builder.workshop import open_shop
from tests.photo_samples import EVERYTHING, put_photo, saved
from tests.shops import REPOSITORY, boutbook, files_below, forget_what_was_made

CANARY = "Zugvogel"
#: No picture in any site is like this one, nor of its size.
DRAFT = Image.new("RGB", (333, 77), (1, 254, 2))

#: What stands in a field that can hold no word.
NO_WORDS: Mapping[Any, str] = {date: "2025-03-04", WorkedHours: "7.25"}


def canaries(shape: type[Any], named: str) -> dict[str, Any]:
    """A file of this shape with a canary in every field, such as `Zugvogel-buyer-name`. The shape gives the list."""
    filled: dict[str, Any] = {}
    for name, hint in get_type_hints(shape).items():
        inner = next((kind for kind in get_args(hint) if dataclasses.is_dataclass(kind)), None)
        if dataclasses.is_dataclass(hint):
            filled[name] = canaries(hint, f"{named}-{name}")  # type: ignore[arg-type]
        elif inner:
            inside = canaries(inner, f"{named}-{name}")  # type: ignore[arg-type]
            filled[name] = [inside] if get_origin(hint) is tuple else inside
        elif hint in NO_WORDS:
            filled[name] = NO_WORDS[hint]
        elif name == "format":
            filled[name] = "1"
        else:
            assert str in (hint, *get_args(hint)) or get_origin(hint) is None, f"{name}: give it a canary of its kind"
            filled[name] = f"{CANARY}-{named}-{name}"
    return filled


def as_yaml(value: dict[str, Any]) -> str:
    return yaml.safe_dump(value, sort_keys=False, allow_unicode=True).replace("'1'", "1")


def put_canaries(shop: Path) -> list[str]:
    """Canaries in every private file, comment, rack entry, draft, unfinished and shop-only record. Gives them all."""
    put = []
    instruments = shop / "records" / "instruments"
    for folder in sorted(instruments.iterdir()):
        private = as_yaml(canaries(PrivateFile, folder.name))
        (folder / "private.yaml").write_text(f"# {CANARY}-comment\n{private}", "utf-8")
        record = folder / "record.yaml"
        written = _with_photographs(folder, record.read_text("utf-8"))
        record.write_text(f"# {CANARY}-comment in a record\n{written}", "utf-8")
        put.append(private)
    of_the_shop = as_yaml(canaries(ShopPrivate, "shop"))
    (shop / "records" / "private.yaml").write_text(f"# {CANARY}-comment\n{of_the_shop}", "utf-8")
    put.append(of_the_shop)
    _put_into_rack(shop)
    _put_record(shop, "2099-001", {"finished": "2026-02-01"}, "public")
    _put_record(shop, "2099-002", {"finished": "2026-02-01", "delivered": "2026-03-01"}, "shop only")
    _put_record(shop, "2099-003", {"finished": "2026-02-01"}, "unlisted")
    (shop / "records" / "pages" / "draft.md").write_text(f"---\ndraft: yes\n---\n\n# {CANARY}-draft\n", "utf-8")
    (shop / "records" / "pages" / f"{CANARY}.txt").write_text(f"{CANARY}-stray", "utf-8")
    return put


def _with_photographs(folder: Path, written: str) -> str:
    """The record with photographs of every kind, one of them a draft, and in them all that phones write."""
    for kind, content_of in EVERYTHING.items():
        put_photo(folder.parents[2], folder.name, f"{CANARY}-{kind}.jpg", content_of(CANARY))
    draft = f"{CANARY}-draft.jpg"
    put_photo(folder.parents[2], folder.name, draft, saved(DRAFT))
    of_the_draft = f"  {draft}: {{shows: {CANARY}-shows, alt: {CANARY}-alt, draft: yes}}\n"
    if "\nphotos:\n" in written:
        return written.replace("\nphotos:\n", f"\nphotos:\n{of_the_draft}")
    return f"{written.rstrip()}\nphotos:\n{of_the_draft}"


def _put_into_rack(shop: Path) -> None:
    """Seller and price of every billet, and a billet that no instrument uses."""
    rack = yaml.safe_load((shop / "records" / "wood.yaml").read_text("utf-8"))
    for name, billet in rack["billets"].items():
        billet["private"] = canaries(BilletPrivate, name)
        billet["papers"] = f"{CANARY}-papers-{name}"
    rack["billets"]["W-999"] = {"species": f"{CANARY}-species", "origin": f"{CANARY}-origin"}
    (shop / "records" / "wood.yaml").write_text(as_yaml(rack), "utf-8")


def _put_record(shop: Path, serial: str, dates: dict[str, str], visibility: str) -> None:
    folder = shop / "records" / "instruments" / serial
    folder.mkdir()
    record = {
        "format": "1", "serial": serial, "kind": f"{CANARY}-kind", "name": f"{CANARY}-name", "visibility": visibility,
        "made_by": f"{CANARY}-maker", "dates": dates, "story": f"{CANARY}-story",
        "spec": {"wood": {"back": {"species": f"{CANARY}-species", "words": f"{CANARY}-words"}},
                 "hardware": {"tuners": f"{CANARY}-tuners"}},
        "build": {"log": [{"date": "2026-01-01", "did": f"{CANARY}-did"}]},
    }  # fmt: skip
    (folder / "record.yaml").write_text(as_yaml(record), "utf-8")
    (folder / "private.yaml").write_text(as_yaml(canaries(PrivateFile, serial)), "utf-8")


def unpacked(name: str, content: bytes) -> bytes:
    """The bytes, and what is packed inside them."""
    if name.endswith(".gz"):
        return content + gzip.decompress(content)
    if name.endswith(".png"):
        return content + zlib.decompress(content[content.index(b"IDAT") + 4 :])
    return content


def test_no_canary_is_in_any_byte_of_the_site(shop: Path, tmp_path: Path) -> None:
    put = put_canaries(shop)
    assert sum(text.count(CANARY) for text in put) >= 5 * len(dataclasses.fields(PrivateFile))
    workshop = open_shop(shop, private_files=True)
    assert not workshop.has_errors, "the canaries must be read, not refused"
    forget_what_was_made()
    boutbook("build", folder=shop)
    boutbook("pages", "--to", str(tmp_path / "plain"), folder=shop)
    ending = (shop / "records" / "instruments" / "2099-003" / "address.txt").read_bytes().strip()
    for folder in (shop / "site", tmp_path / "plain"):
        for name, content in files_below(folder).items():
            assert CANARY.casefold() not in name.casefold()
            assert CANARY.casefold().encode() not in unpacked(name, content).lower(), name
            assert b"2099-00" not in unpacked(name, content), name
            assert ending not in unpacked(name, content), name
            assert ending.decode() not in name


def test_a_canary_in_the_open_would_be_found(shop: Path) -> None:
    """The search above can fail: the same word in a place that is published turns up."""
    record = shop / "records" / "instruments" / "2024-003" / "record.yaml"
    record.write_text(re.sub(r"(?m)^made_by: .*$", f"made_by: {CANARY}", record.read_text("utf-8")), "utf-8")
    boutbook("issue", "2024-003", folder=shop)
    boutbook("build", folder=shop)
    found = [name for name, content in files_below(shop / "site").items() if CANARY.encode() in content]
    assert "instruments/2024-003.html" in found
    assert "certificates/2024-003.html" in found


WATCHED = """
import json, sys
opened = []
sys.addaudithook(lambda event, arguments: opened.append(str(arguments[0])) if event == "open" else None)
from builder.command_line import main
def mkdocs(command, *edition):
    # What MkDocs does when it builds or serves; a command of ours that serves names an edition.
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    config = load_config("mkdocs.yml", site_dir="../by-mkdocs", extra={"boutbook_edition": each for each in edition})
    config.plugins.on_startup(command=command, dirty=False)
    build(config, serve_url="http://127.0.0.1:8000/" if command == "serve" else None)
seen = []
for arguments in json.loads(sys.argv[1]):
    opened.clear()
    sys.argv[1:] = arguments
    try:
        mkdocs(*arguments[1:]) if arguments[0] == "mkdocs" else main()
    except SystemExit as left:
        assert not left.code, left.code
    private = sorted({name for name in opened if name.endswith("private.yaml")})
    seen.append((private, sum(name.endswith("record.yaml") for name in opened)))
print(json.dumps(seen))
"""


def private_files_opened_by(shop: Path, *commands: list[str]) -> list[list[str]]:
    """For each of the commands, run one after the other in a process of their own, the private files it opened."""
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, json.dumps(commands)],
        cwd=shop, capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    seen = json.loads(done.stdout.splitlines()[-1])
    assert len(seen) == len(commands)
    assert all(records >= 4 for _, records in seen)
    return [private for private, _ in seen]


def test_no_private_file_is_opened_while_a_site_is_built(shop: Path, tmp_path: Path) -> None:
    built = [["build"], ["pages", "--to", str(tmp_path / "plain")], ["results", "2024-003"]]
    by_mkdocs = [["mkdocs", "build"], ["mkdocs", "serve"], ["mkdocs", "serve", "buyer"]]
    not_for_buyers = [["mkdocs", "serve", "shop"], ["check"]]
    seen = private_files_opened_by(shop, *built, *by_mkdocs, *not_for_buyers)
    assert seen[:6] == [[]] * 6
    assert (shop.parent / "by-mkdocs" / "instruments" / "2024-003.html").is_file()
    for opened in seen[6:]:
        for private in ("records/private.yaml", "instruments/2024-003/private.yaml"):
            assert any(name.endswith(private) for name in opened), "the hook sees what it should see"


def test_a_site_is_the_same_bytes_without_any_private_file(demo_site: Path, whole_shop: Path) -> None:
    privates = list((whole_shop / "records").rglob("private.yaml"))
    assert whole_shop / "records" / "private.yaml" in privates
    for private in privates:
        private.unlink()
    forget_what_was_made()
    boutbook("build", folder=whole_shop)
    assert files_below(whole_shop / "site") == files_below(demo_site)


def test_a_site_is_the_same_bytes_without_the_instruments_that_are_not_for_buyers_or_not_listed(
    demo_site: Path, whole_shop: Path
) -> None:
    """Of an unlisted one nothing but its own files is missing then: no list, count, date, index or sitemap knew it."""
    instruments = open_shop(REPOSITORY, private_files=False).instruments
    unlisted = [each.address for each in instruments if each.record.is_unlisted]
    for each in instruments:
        if each.record.is_unlisted or not each.record.is_for_buyers:
            shutil.rmtree(whole_shop / "records" / "instruments" / each.record.serial)
    forget_what_was_made()
    boutbook("build", folder=whole_shop)
    before, after = files_below(demo_site), files_below(whole_shop / "site")
    gone = before.keys() - after.keys()
    assert gone == {name for name in before if any(address in name for address in unlisted)}
    assert len(gone) >= 3
    assert after == {name: content for name, content in before.items() if name not in gone}


def test_every_field_of_a_record_that_buyers_must_not_see_is_known() -> None:
    """Whoever adds a field to the record decides here whether it is published; `promised` days are the shop's own."""
    not_published = {"format", "visibility", "started_from"}  # of visibility only that a page is unlisted
    published = {
        "serial",
        "kind",
        "name",
        "made_by",
        "dates",
        "spec",
        "build",
        "as_built",
        "service",
        "story",
        "photos",
    }
    assert {field.name for field in dataclasses.fields(Record)} == not_published | published
