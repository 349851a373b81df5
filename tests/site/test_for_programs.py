"""What the pages of a built site say of themselves to programs, read as a browser reads them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from builder import addresses
from builder.workshop import open_shop
from tests.page_reading import XHTML, built_page, said_to_programs
from tests.shops import REPOSITORY
from tests.site.test_unlisted_pages import the_unlisted_one

FOR_BUYERS = [
    str(each.record.serial)
    for each in open_shop(REPOSITORY, private_files=False).instruments
    if each.record.is_for_buyers and not each.record.is_unlisted
]
SITE = "https://example.org/lamp-room/"


@pytest.mark.parametrize("serial", FOR_BUYERS)
def test_a_page_tells_programs_what_it_is(demo_site: Path, serial: str) -> None:
    address = addresses.instrument_page(serial)
    said = said_to_programs(demo_site / address, in_head=True)
    (data,) = said.data
    assert data["@type"] == "IndividualProduct"
    assert data["serialNumber"] == serial
    assert data["url"] == said.tags["og:url"] == f"{SITE}{address}" == canonical(demo_site / address)
    assert data["name"] == said.tags["og:title"]
    assert data["description"] == said.tags["og:description"]
    assert said.tags["og:type"] == "website"
    assert said.tags["og:site_name"] == "Lamp Room Instruments"
    assert said.tags["og:image"].startswith(f"{SITE}link-pictures/{serial}.")
    assert data["image"]
    for picture in data["image"]:
        assert (demo_site / picture.removeprefix(SITE)).is_file()
    see_that_the_picture_is_there(demo_site, said.tags)


def see_that_the_picture_is_there(site: Path, tags: dict[str, str]) -> None:
    with Image.open(site / tags["og:image"].removeprefix(SITE)) as picture:
        assert picture.size == (int(tags["og:image:width"]), int(tags["og:image:height"])) == (1200, 630)
        assert Image.MIME[picture.format or ""] == tags["og:image:type"]
    assert tags["og:image:alt"]


def test_a_page_found_by_its_address_alone_does_not_say_it(demo_site: Path) -> None:
    said = said_to_programs(demo_site / addresses.instrument_page(the_unlisted_one().address), in_head=True)
    assert set(said.tags) == {"og:type", "og:site_name", "og:title", "og:description"}
    assert said.data == []


def canonical(file: Path) -> str:
    """The address that the frame of the page says is its own."""
    (link,) = (each for each in built_page(file).iter(f"{XHTML}link") if each.get("rel") == "canonical")
    return link.get("href", "")


@pytest.mark.parametrize("path", [addresses.HOME, addresses.INSTRUMENTS, addresses.METHODS, addresses.CARE])
def test_other_pages_have_tags_and_no_product(demo_site: Path, path: str) -> None:
    said = said_to_programs(demo_site / path, in_head=True)
    assert said.tags["og:url"] == canonical(demo_site / path)
    assert said.data == []
    see_that_the_picture_is_there(demo_site, said.tags)
