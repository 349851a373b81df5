"""The shop's own mark: made bare like a photograph, in the head of the site, and on what is printed for buyers."""

from __future__ import annotations

import base64
import re
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from builder import addresses
from builder.beside import mark_of as mark_of_shop
from builder.beside import prepare
from builder.kept import FOLDER as KEPT
from builder.photos import MARK_PX, NotShown, mark_of
from builder.plain_folder import write_plain_folder
from builder.problems import in_words
from builder.publish.papers import publish_papers
from builder.published.papers import PublishedPapers
from builder.sheets.certificate import certificate_html
from builder.sheets.kinds import KINDS
from builder.sheets.label import set_label
from builder.site import site_of
from builder.unlisted import with_addresses
from builder.workshop import open_shop
from tests.certificate_samples import BARE_SHOP, USUAL, mark
from tests.photo_samples import EVERYTHING, drawn, exif, jpeg_that_claims, moving, opened, saved
from tests.shops import boutbook, copy_demo
from tests.test_label import label
from tests.test_photos_of_a_shop import files_opened

SHOP = "records/shop.yaml"
MARK = saved(drawn(90, 120), "PNG")


def put(shop: Path, content: bytes = MARK, name: str = "lamp.png", said: str | None = None) -> Path:
    """A mark beside the shop file, which names it."""
    file = shop / SHOP
    file.write_text(file.read_text("utf-8") + f"mark: {said or name}\n", "utf-8")
    path = shop / "records" / name
    path.write_bytes(content)
    return path


def problems(shop: Path) -> list[str]:
    """The first line of everything wrong with a shop."""
    found = prepare(open_shop(shop, private_files=False), "buyer").problems
    return [in_words(each).split("\n")[0] for each in found]


def papers(shop: Path) -> PublishedPapers:
    """What is printed of the first instrument."""
    workshop = open_shop(shop, private_files=True)
    assert workshop.shop is not None
    mark, wrong = mark_of_shop(workshop)
    assert wrong == ()
    return publish_papers(workshop.instruments[0], workshop.shop, mark=mark)


def inlined(html: str) -> list[bytes]:
    """Every PNG within a page."""
    return [base64.b64decode(each) for each in re.findall(r'src="data:image/png;base64,([^"]+)"', html)]


# The picture


@pytest.mark.parametrize("kind", EVERYTHING)
def test_nothing_of_the_file_is_left_but_its_pixels(kind: str) -> None:
    made = mark_of(EVERYTHING[kind]("Zugvogel"))
    assert b"zugvogel" not in made.content.lower()
    assert made == mark_of(EVERYTHING[kind]("Another")), "the same, whatever is told beside it"
    chunks = re.findall(rb"IHDR|IDAT|IEND|PLTE|tRNS|tEXt|zTXt|iTXt|eXIf|iCCP|tIME|pHYs|gAMA|sRGB", made.content)
    assert set(chunks) <= {b"IHDR", b"IDAT", b"IEND"}


def test_what_can_be_seen_through_stays_so_and_what_was_rubbed_out_is_gone() -> None:
    picture = drawn(90, 120).convert("RGBA")
    seen = Image.new("L", picture.size, 255)
    seen.paste(0, (0, 0, 45, 60))
    seen.paste(128, (45, 60, 90, 120))
    picture.putalpha(seen)
    made = opened(mark_of(saved(picture, "PNG")).content)
    assert (made.mode, made.size) == ("RGBA", (90, 120))
    assert [made.getpixel(place) for place in ((10, 10), (80, 100))] == [(0, 0, 0, 0), (230, 210, 60, 128)]


def test_a_large_one_is_made_to_fit_and_a_small_one_stays() -> None:
    for size, made_size in (
        ((3000, 500), (600, 100)),
        ((500, 2000), (50, 200)),
        ((90, 120), (90, 120)),
        ((1, 1), (1, 1)),
    ):
        made = mark_of(saved(Image.new("RGB", size, "navy"), "PNG"))
        assert (made.width_px, made.height_px) == opened(made.content).size == made_size
        assert made_size[0] <= MARK_PX[0]
        assert made_size[1] <= MARK_PX[1]


def test_one_that_lies_on_its_side_is_set_upright() -> None:
    made = mark_of(saved(drawn(120, 90), exif=exif("x", orientation=6)))
    assert (made.width_px, made.height_px) == (90, 120)


# What is wrong, and where


def test_a_mark_that_is_not_a_picture_beside_the_shop_file(good_shop: Path, tmp_path: Path) -> None:
    (tmp_path / "outside.png").write_bytes(MARK)
    line = len((good_shop / SHOP).read_text("utf-8").splitlines()) + 1
    whole = (good_shop / SHOP).read_text("utf-8")

    def said(name: str) -> str:
        (good_shop / SHOP).write_text(f"{whole}mark: {name}\n", "utf-8")
        with files_opened() as names:
            (problem,) = problems(good_shop)
        assert not [each for each in names if each.endswith((".png", "private.yaml"))]
        return problem.removeprefix(f"{SHOP}:{line}:7: ")

    (good_shop / "records" / "lamp.png").symlink_to(tmp_path / "outside.png")
    (good_shop / "records" / "folder.png").mkdir()
    assert [said(name) for name in ("../../outside.png", "private.yaml", "lamp.png", "folder.png", "amp.png")] == [
        "«../../outside.png» lies outside the folder records; put it beside shop.yaml, and write its name "
        "[mark-missing]",
        "«private.yaml» is not called as a picture is; save it as PNG, JPEG or WebP [mark-missing]",
        "«lamp.png» is no file of its own; put the picture itself beside shop.yaml [mark-missing]",
        "«folder.png» is no file of its own; put the picture itself beside shop.yaml [mark-missing]",
        "there is no file «amp.png» beside shop.yaml; did you mean «lamp.png»? [mark-missing]",
    ]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"", "is empty"),
        (MARK[:300], "is cut off or damaged"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is no picture of a kind known here"),
        (moving("PNG"), "is a picture that moves"),
        (jpeg_that_claims(20_000, 20_000), "has more than 100 million pixels"),
    ],
)
def test_a_picture_that_cannot_be_used_is_told_at_its_name(good_shop: Path, content: bytes, message: str) -> None:
    put(good_shop, content)
    line = len((good_shop / SHOP).read_text("utf-8").splitlines())
    assert problems(good_shop) == [
        f"{SHOP}:{line}:7: «lamp.png» {message}; save it as PNG, JPEG or WebP [mark-unusable]"
    ]
    with pytest.raises(NotShown, match=message):
        mark_of(content)


def test_a_paper_is_not_printed_without_the_mark_that_it_should_bear(good_shop: Path) -> None:
    put(good_shop, MARK[:300])
    said = boutbook("sheet", "2026-014", "care-card", folder=good_shop, code=1)
    assert "«lamp.png» is cut off or damaged" in said.stderr
    assert not (good_shop / "sheets").exists()


# Where it stands


def test_reading_opens_no_mark_and_it_is_opened_once(good_shop: Path) -> None:
    put(good_shop)
    with files_opened() as names:
        workshop = open_shop(good_shop, private_files=False)
        assert not [each for each in names if each.endswith("lamp.png")]
        first = mark_of_shop(workshop)
        assert [each for each in names if each.endswith("lamp.png")]
    with files_opened() as names:
        assert mark_of_shop(workshop) == first
        assert not [each for each in names if each.endswith("lamp.png")]
    assert list((good_shop / KEPT / "mark").glob("*.png"))


def test_the_papers_for_buyers_bear_it_within_themselves(good_shop: Path) -> None:
    put(good_shop)
    printed, bare = papers(good_shop), mark_of(MARK).content
    printed = replace(printed, label=label(110.0, 80.0))
    for kind in ("certificate", "label", "care-card", "string-card"):
        html = KINDS[kind].make(printed, "a4").decode()
        assert set(inlined(html)) == {bare}, kind
    without = certificate_html(printed.instrument, replace(printed.shop, mark=None))
    assert inlined(without) == []
    assert "flourish" in without


def test_on_a_small_label_the_mark_gives_way_to_words() -> None:
    heights = range(30, 100, 2)
    shop = replace(BARE_SHOP, mark=mark(90, 120))
    set_labels = [set_label(USUAL, label(80.0, height), shop) for height in heights]
    without = [set_label(USUAL, label(80.0, height), BARE_SHOP) for height in heights]
    small = [each for each in set_labels if not each.mark_mm]
    assert small == set_labels[: len(small)] == without[: len(small)]
    assert 0 < len(small) < len(heights)
    for each in set_labels[len(small) :]:
        assert 5.5 <= each.mark_mm <= 12.0


def test_the_site_of_either_edition_has_it_in_its_head_and_orders_bear_it(tmp_path: Path) -> None:
    shop = copy_demo(tmp_path / "shop", only=["2024-003"])
    bare = mark_of((shop / "records" / "mark.png").read_bytes()).content
    for edition, folder in (("buyer", "site"), ("shop", "site-for-the-shop")):
        boutbook("build", "--edition", edition, folder=shop)
        assert (shop / folder / addresses.MARK).read_bytes() == bare
        page = (shop / folder / "instruments" / "2024-003.html").read_text("utf-8")
        assert '<img src="../assets/mark.png" alt="logo">' in page
    boutbook("sheet", "2024-003", "order", "--to", str(tmp_path / "order.html"), folder=shop)
    assert inlined((tmp_path / "order.html").read_text("utf-8")) == [bare]


def test_a_page_that_no_generator_frames_has_it_above_its_title(good_shop: Path) -> None:
    put(good_shop)
    record = good_shop / "records" / "instruments" / "2026-014" / "record.yaml"
    record.write_text(record.read_text("utf-8").replace("visibility: public", "visibility: unlisted"), "utf-8")
    prepared = prepare(with_addresses(open_shop(good_shop, private_files=False), good_shop), "buyer")
    write_plain_folder(site_of(prepared), (), good_shop / "plain")
    (page,) = (good_shop / "plain" / "instruments").glob("2026-014-*.html")
    assert '<img class="bb-shop-mark" src="../assets/mark.png" alt="" width="90" height="120">' in page.read_text(
        "utf-8"
    )
    assert (good_shop / "plain" / addresses.MARK).read_bytes() == mark_of(MARK).content


def test_an_issued_certificate_bears_the_mark_of_that_day(good_shop: Path) -> None:
    path = put(good_shop)
    boutbook("issue", "2026-014", "--date", "2026-05-09", folder=good_shop)
    stored = good_shop / "records" / "instruments" / "2026-014" / "certificate" / "certificate.html"
    as_issued = stored.read_bytes()
    assert inlined(as_issued.decode()) == [mark_of(MARK).content]
    path.write_bytes(saved(drawn(40, 40), "PNG"))
    prepared = prepare(open_shop(good_shop, private_files=False), "buyer")
    shown = {asset.path: asset.read() for asset in site_of(prepared).assets}
    assert shown[addresses.certificate("2026-014")] == as_issued
    assert shown[addresses.MARK] != mark_of(MARK).content
