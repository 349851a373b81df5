"""The built site: what is in it, that every link leads somewhere, that it is the same bytes every time."""

from __future__ import annotations

import gzip
import json
import re
import time
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

from builder import addresses
from builder.workshop import open_shop
from tests.page_reading import built_page
from tests.shops import REPOSITORY, boutbook, copy_demo, files_below, run_module

XHTML = "{http://www.w3.org/1999/xhtml}"


def test_every_delivered_instrument_has_a_page_and_every_issued_one_its_certificate(demo_site: Path) -> None:
    instruments = open_shop(REPOSITORY, private_files=False).instruments
    for each in instruments:
        page, certificate = addresses.instrument_page(each.address), addresses.certificate(each.address)
        assert (demo_site / page).is_file() == each.record.is_for_buyers
        kept = REPOSITORY / "records" / "instruments" / each.record.serial / "certificate" / "certificate.html"
        assert (demo_site / certificate).is_file() == kept.is_file()
        if kept.is_file():
            assert (demo_site / certificate).read_bytes() == kept.read_bytes()
    assert {each.record.is_for_buyers for each in instruments} == {True, False}


def test_only_theme_prose_and_our_files_are_in_the_site(demo_site: Path, whole_shop: Path) -> None:
    (whole_shop / "records" / "pages" / "ledger.xlsx").write_bytes(b"not for buyers")
    (whole_shop / "records" / "pages" / "notes.txt").write_bytes(b"not for buyers")
    boutbook("build", folder=whole_shop)
    assert sorted(files_below(whole_shop / "site")) == sorted(files_below(demo_site))


def test_every_link_source_and_fragment_leads_somewhere(demo_site: Path) -> None:
    """Another route than `builder.links`: a browser's own parser, and addresses joined as a browser joins them."""
    files = files_below(demo_site)
    ids = {
        name: {element.get("id") for element in built_page(demo_site / name).iter() if element.get("id")}
        for name in files
        if name.endswith(".html")
    }
    followed = 0
    for name in files:
        if not name.endswith(".html") or name == "404.html":
            continue
        for element in built_page(demo_site / name).iter():
            for attribute in ("href", "src"):
                link = element.get(attribute)
                if link is None or urlsplit(link).scheme:
                    continue
                target = urlsplit(urljoin(f"http://site/{name}", link))
                path = unquote(target.path).lstrip("/")
                assert path in files, f"{name}: {link}"
                if target.fragment and path in ids:
                    assert unquote(target.fragment) in ids[path], f"{name}: {link}"
                followed += 1
    assert followed > 200


def test_nothing_is_loaded_from_another_host(demo_site: Path) -> None:
    """No script, style, picture or font of a page names another host. (Links a reader may follow may.)"""
    for name, content in files_below(demo_site).items():
        if name.endswith(".html"):
            for element in built_page(demo_site / name).iter():
                loads = element.get("src") or element.get("srcset")
                if element.tag == f"{XHTML}link" and element.get("rel") not in ("canonical", "prev", "next"):
                    loads = element.get("href")
                assert not urlsplit(loads or "").netloc, f"{name}: {loads}"
        elif name.endswith(".css"):
            assert not re.search(rb"url\(\s*['\"]?(?:https?:)?//", content), name


def test_mkdocs_itself_builds_the_same_bytes_in_another_place(demo_site: Path, tmp_path: Path) -> None:
    """In a process of its own, so that nothing is left over from the first build and hashes come in another order."""
    again = copy_demo(tmp_path / "another place")
    run_module("mkdocs", "build", "--strict", folder=again, PYTHONHASHSEED="1789")
    one, other = files_below(demo_site), files_below(again / "site")
    assert sorted(one) == sorted(other)
    assert [name for name in one if one[name] != other[name]] == []


def test_no_path_of_the_machine_and_no_day_of_the_build_is_in_the_site(demo_site: Path) -> None:
    today = time.strftime("%Y-%m-%d").encode()
    for name, content in files_below(demo_site).items():
        plain = gzip.decompress(content) if name.endswith(".gz") else content
        assert str(demo_site.parent).encode() not in plain, name
        assert str(REPOSITORY).encode() not in plain, name
        assert today not in plain, name


def test_pages_have_a_contents_list_a_title_and_a_description(demo_site: Path) -> None:
    tree = built_page(demo_site / addresses.instrument_page("2024-003"))
    headings = {element.get("id") for element in tree.iter(f"{XHTML}h2")}
    contents = {
        link.get("href") for nav in tree.iter(f"{XHTML}nav") if "md-nav--secondary" in (nav.get("class") or "")
        for link in nav.iter(f"{XHTML}a")
    }  # fmt: skip
    assert {"frets", "strings", "woods"} <= headings
    assert {f"#{heading}" for heading in headings} <= contents
    assert len(list(tree.iter(f"{XHTML}h1"))) == 1
    descriptions = [meta.get("content") for meta in tree.iter(f"{XHTML}meta") if meta.get("name") == "description"]
    assert len(descriptions) == 1
    assert descriptions[0]


def test_dates_in_the_sitemap_are_of_the_records(demo_site: Path) -> None:
    """A page's is the day its instrument was finished, issued or last amended; a list's the last of the finished."""
    sitemap = (demo_site / "sitemap.xml").read_text(encoding="utf-8")
    dates, finished = set(), []
    for each in open_shop(REPOSITORY, private_files=False).instruments:
        if each.record.is_for_buyers and not each.record.is_unlisted and each.record.dates.finished:
            kept = REPOSITORY / "records" / "instruments" / each.record.serial / "certificate"
            files = [*kept.glob("issued.json"), *kept.glob("amendment-*.json")]
            finished.append(each.record.dates.finished.isoformat())
            dates.add(max(finished[-1], *(json.loads(file.read_bytes())["date"] for file in files)))
    assert set(re.findall(r"<lastmod>(.*?)</lastmod>", sitemap)) == dates | {max(finished)}
    assert gzip.decompress((demo_site / "sitemap.xml.gz").read_bytes()).decode() == sitemap
