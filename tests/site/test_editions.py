"""Two editions, each in a folder of its own: the buyer's, and the shop's with every instrument and its bench page."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from builder import addresses, command_line
from builder.links import broken_links
from builder.workshop import open_shop
from tests.shops import REPOSITORY, boutbook, copy_demo, files_below, run_module
from tests.site.test_unlisted_pages import heads_of, the_unlisted_one

BANNER = b"<strong>Shop edition.</strong>"


def test_the_shop_edition_stands_beside_the_buyers_and_has_every_instrument(demo_site: Path, whole_shop: Path) -> None:
    buyers = files_below(demo_site)
    said = boutbook("build", "--edition", "shop", "--at", "2026-11-27 09:00", folder=whole_shop)
    instruments = open_shop(REPOSITORY, private_files=False).instruments
    assert f"Built the shop edition with {len(instruments)} instruments (1 of them unlisted)." in said.stdout
    built = whole_shop / "site-for-the-shop"
    assert not (whole_shop / "site").exists()
    files = files_below(built)
    for each in instruments:
        serial = each.record.serial
        assert addresses.instrument_page(each.address) in files
        assert addresses.bench_page(serial) in files
        assert (addresses.certificate(each.address) in files) == (each.record.dates.finished is not None)
    pages = {name for name in files if name.endswith(".html") and not name.startswith(("certificates/", "papers/"))}
    assert all(BANNER in files[name] for name in pages)
    assert not any(b"og:title" in files[name] or b"ld+json" in files[name] for name in pages)
    assert list(broken_links(built)) == []
    see_that_the_unlisted_one_is_listed_marked_and_with_the_address_to_hand_over(files)
    beforehand = {name for name in files if name.startswith("papers/2026-004")}
    assert {
        "papers/2026-004-bench.html",
        "papers/2026-004-fret-template.pdf",
        "papers/2026-004-body-dxf.dxf",
    } <= beforehand
    assert b"boutbook sheet 2024-003 fret-template" in files[addresses.bench_page("2024-003")]
    papers_for_buyers = {name for name in buyers if name.startswith("papers/")}
    assert papers_for_buyers
    assert all(name.endswith("-string-card.html") for name in papers_for_buyers)
    together = files[addresses.BENCH].decode()
    assert "To buy and to saw for 2026-004, 2026-005 and 2026-006" in together
    assert "hard maple" in together
    assert "<strong>Friday 27 November 2026, 09:00</strong>" in together, "the bench board says its moment"
    assert '<b class="bb-bench-says">can leave the clamps now</b>' in together
    assert "<strong>Before Harrowmere Fair (20 June):</strong>" in together, "the notes of the shop's private file"
    assert not any(b"Harrowmere Fair" in content for content in buyers.values())
    assert not any(BANNER in content or b'class="md-banner' in content for content in buyers.values())
    assert not any(name.startswith("bench") for name in buyers)


def see_that_the_unlisted_one_is_listed_marked_and_with_the_address_to_hand_over(files: dict[str, bytes]) -> None:
    unlisted = the_unlisted_one()
    page = files[addresses.instrument_page(unlisted.address)].decode()
    assert f'<p class="bb-address">https://example.org/lamp-room/instruments/{unlisted.address}.html</p>' in page
    for name in (addresses.HOME, addresses.INSTRUMENTS, addresses.BENCH, addresses.bench_page(unlisted.record.serial)):
        assert '<span class="bb-tag">unlisted</span>' in files[name].decode(), name
    assert unlisted.address.encode() in files["search/search_index.json"]
    pages = {name: content for name, content in files.items() if name.endswith(".html")}
    assert [name for name, content in pages.items() if heads_of(content)[0].get("robots") != "noindex"] == []


def test_an_edition_that_there_is_not_is_refused_in_plain_words(shop: Path) -> None:
    said = boutbook("build", "--edition", "museum", folder=shop, code=2)
    assert "'museum' is not one of 'buyer', 'shop'" in said.stderr


@pytest.mark.parametrize(
    ("site_dir", "command", "words"),
    [
        ("records/instruments", ["build"], "the folder of the site for buyers (site_dir in mkdocs.yml) would be"),
        ("records/site", ["build", "--edition", "shop"], "where your records are; nothing may be built there"),
        ("one-link", ["build"], "the folder of the shop edition would be the same"),
        ("other-link", ["build", "--edition", "shop"], "lies inside the folder of the shop edition; put it elsewhere"),
        ("site", ["pages", "--to", "site/plain"], "the folder of --to"),
        (
            "site",
            ["pages", "--to", "site-for-the-shop"],
            "and the folder of the shop edition would be the same",
        ),
        ("site", ["pages", "--to", "."], "where your records are; nothing may be built there"),
    ],
)
def test_no_folder_is_built_inside_another_or_where_the_records_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, site_dir: str, command: list[str], words: str
) -> None:
    shop = copy_demo(tmp_path / "shop", only=("2024-003",))
    (shop / "one-link-for-the-shop").mkdir()
    (shop / "one-link").symlink_to("one-link-for-the-shop")
    (shop / "other-link-for-the-shop" / "inside").mkdir(parents=True)
    (shop / "other-link").symlink_to("other-link-for-the-shop/inside")
    settings = shop / "mkdocs.yml"
    settings.write_text(f"{settings.read_text('utf-8')}site_dir: {site_dir}\n", "utf-8")
    before = files_below(shop)
    monkeypatch.chdir(shop)
    done = CliRunner().invoke(command_line.boutbook, command)
    assert done.exit_code == 2, done.output
    assert words in done.output
    assert files_below(shop) == before


def test_mkdocs_by_itself_wipes_no_records_and_makes_no_shop_edition(tmp_path: Path) -> None:
    shop = copy_demo(tmp_path / "shop", only=("2024-003", "2026-004"))
    settings = shop / "mkdocs.yml"
    plain = settings.read_text("utf-8")
    settings.write_text(f"{plain}site_dir: records/instruments\n", "utf-8")
    before = files_below(shop / "records")
    assert "where your records are" in run_module("mkdocs", "build", folder=shop, code=1).stdout
    assert files_below(shop / "records") == before
    settings.write_text(f"{plain}extra: {{boutbook_edition: shop}}\n", "utf-8")
    run_module("mkdocs", "build", "--strict", folder=shop)
    assert not any(BANNER in content or "2026-004" in name for name, content in files_below(shop / "site").items())
