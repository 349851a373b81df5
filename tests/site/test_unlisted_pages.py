"""An unlisted instrument has its page and papers, and no other byte of the site knows of it."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import html5lib
import pytest
from click.testing import CliRunner
from PIL import Image

from builder import addresses, command_line
from builder.beside import prepare
from builder.problems import in_words
from builder.prose import read_prose
from builder.site import problems_with_prose, site_of
from builder.unlisted import with_addresses
from builder.workshop import Instrument, open_shop
from tests.privacy.searching import what_it_says
from tests.shops import REPOSITORY, boutbook, copy_demo, files_below

XHTML = "{http://www.w3.org/1999/xhtml}"


def the_unlisted_one() -> Instrument:
    """The demo's one unlisted instrument."""
    (found,) = [each for each in open_shop(REPOSITORY, private_files=False).instruments if each.record.is_unlisted]
    assert found.address_ending
    assert found.address.endswith(found.address_ending)
    return found


@pytest.fixture(scope="module")
def unlisted() -> Instrument:
    return the_unlisted_one()


def with_its_certificate(to: Path) -> Path:
    """A shop with it and a public one; it has a photograph, and a certificate, of a day past on every computer."""
    serial = the_unlisted_one().record.serial
    shop = copy_demo(to, only=("2024-003", serial))
    record = shop / "records" / "instruments" / serial / "record.yaml"
    text = record.read_text("utf-8").replace("2026-", "2016-").replace("ordered: 2025-", "ordered: 2015-")
    record.write_text(text, "utf-8")
    (record.parent / "photos").mkdir(exist_ok=True)
    Image.new("RGB", (64, 48), "sienna").save(record.parent / "photos" / "on the bench.jpg")
    boutbook("issue", serial, "--date", "2016-06-19", folder=shop)
    return shop


@pytest.fixture(scope="module")
def issued_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of that shop; for looking at only."""
    shop = with_its_certificate(tmp_path_factory.mktemp("issued") / "shop")
    boutbook("build", folder=shop)
    return shop / "site"


def see_that_nothing_else_knows_of(unlisted: Instrument, site: dict[str, bytes]) -> list[str]:
    """Its own files by name; in no other stand its address, its serial or its name."""
    assert unlisted.address_ending
    assert unlisted.record.name
    own = sorted(name for name in site if unlisted.address_ending in name)
    for name, content in site.items():
        if name not in own:
            said = [name.encode(), *(said for _, said in what_it_says(content))]
            for word in (unlisted.address_ending, unlisted.record.serial, unlisted.record.name):
                assert not any(word.encode() in each for each in said), f"{word} in {name}"
    return own


def heads_of(content: bytes) -> tuple[dict[str, str], set[str]]:
    """What a page says in its head: names of `meta` with their contents, kinds of `link`."""
    tree = html5lib.parse(content.decode())
    metas = {each.get("name"): each.get("content") for each in tree.iter(f"{XHTML}meta") if each.get("name")}
    return metas, {each.get("rel") for each in tree.iter(f"{XHTML}link")}


def test_nothing_else_in_the_site_knows_of_it(demo_site: Path, issued_site: Path, unlisted: Instrument) -> None:
    for site in (demo_site, issued_site):
        files = files_below(site)
        assert {"sitemap.xml.gz", "search/search_index.json", "404.html"} <= files.keys()
        own = see_that_nothing_else_knows_of(unlisted, files)
    assert own == sorted(
        [
            addresses.instrument_page(unlisted.address),
            addresses.certificate(unlisted.address),
            addresses.paper(unlisted.address, "string-card.html"),
            addresses.photo(unlisted.address, 1, 64),
        ]
    )


def test_its_page_and_papers_ask_to_be_passed_by(issued_site: Path, unlisted: Instrument) -> None:
    files = files_below(issued_site)
    for name in (name for name in files if unlisted.address in name and name.endswith(".html")):
        metas, links = heads_of(files[name])
        assert (metas["robots"], metas["referrer"]) == ("noindex", "no-referrer"), name
        assert not {"canonical", "prev", "next"} & links
    page = files[addresses.instrument_page(unlisted.address)].decode()
    assert "This page is in no list and no search." in page
    listed, links = heads_of(files[addresses.instrument_page("2024-003")])
    assert "robots" not in listed
    assert "canonical" in links


def test_its_printed_codes_lead_to_its_page(issued_site: Path, unlisted: Instrument) -> None:
    for name in (
        addresses.certificate(unlisted.address),
        addresses.paper(unlisted.address, "string-card.html"),
    ):
        text = (issued_site / name).read_text("utf-8")
        (whole,) = re.findall(r'aria-label="Code of the address https://example\.org/lamp-room/(.*?)"', text)
        assert whole == addresses.instrument_page(unlisted.address)


def test_it_keeps_its_address_from_build_to_build_and_through_a_restored_copy(
    tmp_path: Path, unlisted: Instrument
) -> None:
    shop = copy_demo(tmp_path / "shop", only=(unlisted.record.serial,))
    file = shop / "records" / "instruments" / unlisted.record.serial / "address.txt"
    file.unlink()
    assert f"Wrote the address of {unlisted.record.serial}" in boutbook("build", folder=shop).stdout
    drawn = addresses.instrument_page(f"{unlisted.record.serial}-{file.read_text().strip()}")
    assert (shop / "site" / drawn).is_file()
    assert drawn != addresses.instrument_page(unlisted.address)
    restored = shutil.copytree(shop / "records", tmp_path / "elsewhere" / "records").parent
    shutil.copy(shop / "mkdocs.yml", restored)
    assert "Wrote" not in boutbook("build", folder=restored).stdout
    assert files_below(restored / "site") == files_below(shop / "site")


def test_the_address_is_not_given_away_in_words_that_everybody_reads(tmp_path: Path, unlisted: Instrument) -> None:
    shop = copy_demo(tmp_path / "shop", only=("2024-003", unlisted.record.serial))
    pages, draft = shop / "records" / "pages", f"---\ndraft: yes\n---\n{unlisted.address}\n"
    (pages / "draft.md").write_text(draft, "utf-8")
    (pages / "secret.md").write_text(
        f"---\ntitle: A secret\n---\n\n# A\n\nsee [it](instruments/{unlisted.address}.html)\n"
    )
    record = shop / "records" / "instruments" / "2024-003" / "record.yaml"
    record.write_text(
        record.read_text("utf-8").replace("story: |\n", f"story: |\n  Sister of {unlisted.address}.\n"), "utf-8"
    )
    site = site_of(prepare(open_shop(shop, private_files=False), "buyer"))
    assert [in_words(problem) for problem in problems_with_prose(site, read_prose(pages))] == [
        "records/pages/secret.md:7:22: this is the address of an unlisted instrument, and everybody reads it here; "
        "take it out [address-told]",
        "records: the address of an unlisted instrument would stand on instruments/2024-003.html, where everybody "
        "reads it; take it out of the words that page is made from [address-told]",
    ]
    to_plain = CliRunner().invoke(
        command_line.boutbook, ["pages", "--to", f"{tmp_path / 'plain'}", "--shop", f"{shop}"]
    )
    assert (to_plain.exit_code, to_plain.output.count("[address-told]")) == (1, 2)
    in_the_shop = site_of(prepare(open_shop(shop, private_files=False), "shop"), "shop")
    assert problems_with_prose(in_the_shop, read_prose(pages)) == ()


def test_a_lost_address_is_found_again_on_the_certificate(tmp_path: Path, unlisted: Instrument) -> None:
    shop = with_its_certificate(tmp_path / "shop")
    file = shop / "records" / "instruments" / unlisted.record.serial / "address.txt"
    before = file.read_bytes()
    file.unlink()
    found = with_addresses(open_shop(shop, private_files=False), shop)
    assert [each.address for each in found.instruments if each.record.is_unlisted] == [unlisted.address]
    assert file.read_bytes() == before
    assert prepare(found, "buyer").problems == ()


def test_a_certificate_that_leads_elsewhere_is_told_and_stands_in_nobodys_way(
    tmp_path: Path, unlisted: Instrument
) -> None:
    """An instrument that was public when its certificate was issued; only its owner can be told the new address."""
    serial = unlisted.record.serial
    shop = with_its_certificate(tmp_path / "shop")
    folder = shop / "records" / "instruments" / serial
    shutil.rmtree(folder / "certificate")
    record, file = folder / "record.yaml", folder / "address.txt"
    text, kept = record.read_text("utf-8"), file.read_bytes()
    file.unlink()
    record.write_text(text.replace("visibility: unlisted", "visibility: public"), "utf-8")
    boutbook("issue", serial, "--date", "2016-06-19", folder=shop)
    record.write_text(text, "utf-8")
    file.write_bytes(kept)
    said = boutbook("build", folder=shop)
    line = text.splitlines().index(next(each for each in text.splitlines() if each.startswith("visibility")))
    assert (
        f"records/instruments/{serial}/record.yaml:{line + 1}:13: warning: the code printed on its certificate "
        "leads to another address than its page has now; put address.txt back as it was, if that is gone; else tell "
        "its owner the new address [address-moved]"
    ) in said.stderr
    certificate = shop / "site" / addresses.certificate(unlisted.address)
    assert certificate.read_bytes() == (folder / "certificate" / "certificate.html").read_bytes()
