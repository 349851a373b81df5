"""The plain folder: built by a second generator of sites, with contents lists and drawings whole."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from builder import addresses
from builder.links import broken_links
from tests.page_reading import built_page, said_to_programs
from tests.shops import boutbook, copy_demo, files_below, made_once
from tests.site.test_unlisted_pages import heads_of, see_that_nothing_else_knows_of, the_unlisted_one

XHTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"

OTHER_GENERATOR = """
[project]
site_name = "Another generator"
docs_dir = "plain"
use_directory_urls = false
extra_css = ["assets/boutbook/fonts.css", "assets/boutbook/boutbook.css"]

[project.theme]
font = false

[project.markdown_extensions.attr_list]
[project.markdown_extensions.tables]
[project.markdown_extensions.toc]
permalink = false
"""


@pytest.fixture(scope="module")
def other_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made_once(tmp_path_factory, "other generator", build_with_the_other_generator) / "site"


def build_with_the_other_generator(folder: Path) -> None:
    shop = copy_demo(folder / "shop")
    boutbook("pages", "--to", str(folder / "plain"), folder=shop)
    (folder / "zensical.toml").write_text(OTHER_GENERATOR, "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "zensical", "build"],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def drawings_of(page: Path) -> list[list[tuple[str, dict[str, str]]]]:
    """Every drawing of a page: its lines and shapes with their coordinates, as a browser reads them."""
    tree = built_page(page)
    wanted = ("id", "d", "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "points", "viewBox")
    return [
        [(part.tag, {name: value for name in wanted if (value := part.get(name))}) for part in drawing.iter()]
        for drawing in tree.iter(f"{SVG}svg")
        if (drawing.get("class") or "").startswith("bb-")
    ]


def test_the_other_generator_makes_every_page(other_site: Path, demo_site: Path) -> None:
    for name in files_below(demo_site):
        if name.endswith(".html") and name != "404.html":
            assert (other_site / name).is_file(), name


def test_a_page_found_by_its_address_alone_gets_into_no_list_of_the_other_generator(other_site: Path) -> None:
    """A Markdown file would be in its navigation on every page; a finished page with a frame of its own is not."""
    unlisted = the_unlisted_one()
    name = addresses.instrument_page(unlisted.address)
    given, made = files_below(other_site.parent / "plain"), files_below(other_site)
    for files in (given, made):
        own = see_that_nothing_else_knows_of(unlisted, files)
        assert name in own
        assert [each for each in own if not each.endswith(".html")] == []
    assert given[name] == made[name]
    metas, links = heads_of(made[name])
    assert (metas["robots"], metas["referrer"]) == ("noindex", "no-referrer")
    assert links == {"stylesheet", "icon"}


def test_drawings_are_whole(other_site: Path, demo_site: Path) -> None:
    address = addresses.instrument_page("2024-003")
    drawings = drawings_of(other_site / address)
    assert len(drawings) >= 2
    assert drawings == drawings_of(demo_site / address)


def test_contents_lists_have_every_section(other_site: Path, demo_site: Path) -> None:
    address = addresses.instrument_page("2024-003")
    headings = {heading.get("id") for heading in built_page(demo_site / address).iter(f"{XHTML}h2")}
    tree = built_page(other_site / address)
    assert {heading.get("id") for heading in tree.iter(f"{XHTML}h2")} == headings
    links = {link.get("href") for nav in tree.iter(f"{XHTML}nav") for link in nav.iter(f"{XHTML}a")}
    assert {f"#{heading}" for heading in headings} <= links


def test_the_other_generator_tells_programs_the_same(other_site: Path, demo_site: Path) -> None:
    address = addresses.instrument_page("2024-003")
    said, ours = (said_to_programs(folder / address) for folder in (other_site, demo_site))
    assert ours.tags
    assert said == ours


def test_its_links_lead_somewhere(other_site: Path) -> None:
    ours = [broken for broken in broken_links(other_site) if "404" not in broken.page]
    assert ours == []


def test_a_folder_of_somebody_else_is_left_alone(shop: Path, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.mkdir()
    (mine / "letter.txt").write_text("dear")
    said = boutbook("pages", "--to", str(mine), folder=shop, code=2).stderr
    assert "holds files that are not of an earlier run" in said
    assert files_below(mine) == {"letter.txt": b"dear"}


def test_an_earlier_run_is_replaced_and_two_runs_are_the_same_bytes(shop: Path, tmp_path: Path) -> None:
    boutbook("pages", "--to", str(tmp_path / "plain"), folder=shop)
    first = files_below(tmp_path / "plain")
    (tmp_path / "plain" / "left-over.md").write_text("from before")
    boutbook("pages", "--to", str(tmp_path / "plain"), folder=shop)
    assert files_below(tmp_path / "plain") == first


def test_markdown_of_our_pages_has_no_blank_line_inside_a_section(shop: Path, tmp_path: Path) -> None:
    """A blank line would end the block of HTML, and what follows would be read as Markdown."""
    boutbook("pages", "--to", str(tmp_path / "plain"), folder=shop)
    text = (tmp_path / "plain" / "instruments" / "2024-003.md").read_text("utf-8")
    _, _, body = text.split("---\n", 2)
    for block in body.strip().split("\n\n"):
        assert block.startswith(("# ", "## ", "<div"))
        assert block.count("<div") == block.count("</div>")
