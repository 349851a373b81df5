"""Photographs of a whole shop: dropped into a folder, put in order, told of where they are wrong, and shown."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

import pytest

from builder import addresses
from builder.beside import Prepared, prepare
from builder.commands import asked
from builder.commands.asked import prepare_here
from builder.kept import Kept, _Shelf
from builder.photos import NotShown
from builder.problems import in_words
from builder.reading.beside import FileBeside
from builder.seam import Edition
from builder.site import Site, site_of
from builder.workshop import Workshop, open_shop
from tests.page_reading import body, part, tree, words
from tests.photo_samples import drawn, jpeg_with_everything, opened, put_photo, saved

HERON, UNFINISHED = "2026-014", "2026-015"
RECORD = f"records/instruments/{HERON}/record.yaml"
FOLDER = f"records/instruments/{HERON}/photos"
WIDE, TALL = saved(drawn(1200, 900)), saved(drawn(300, 400))


def write_words(shop: Path, words: str, serial: str = HERON) -> None:
    """Words for its photographs, at the end of a record."""
    record = shop / "records" / "instruments" / serial / "record.yaml"
    record.write_text(f"{record.read_text('utf-8').rstrip()}\nphotos:{words}\n", "utf-8")


def prepared(shop: Path, edition: Edition = "buyer") -> Prepared:
    return prepare(open_shop(shop, private_files=False), edition)


def site(shop: Path, edition: Edition = "buyer") -> Site:
    ready = prepared(shop, edition)
    assert ready.problems == ()
    return site_of(ready, edition)


def names(workshop: Workshop, serial: str = HERON) -> list[str]:
    return [photo.file.name for each in workshop.instruments if each.record.serial == serial for photo in each.photos]


def said(shop: Path, edition: Edition = "shop") -> list[str]:
    """The first line of every problem."""
    return [in_words(problem).split("\n")[0] for problem in prepared(shop, edition).problems]


_opened: list[str] | None = None
_is_hooked = False


@contextmanager
def files_opened() -> Iterator[list[str]]:
    """The name of every file that is opened in the meantime, by whatever means."""
    global _opened, _is_hooked  # a hook cannot be taken off again; it rests between
    if not _is_hooked:
        sys.addaudithook(
            lambda event, arguments: (
                _opened.append(str(arguments[0])) if _opened is not None and event == "open" else None
            )
        )
        _is_hooked = True
    _opened = []
    try:
        yield _opened
    finally:
        _opened = None


# Reading


def test_dropping_a_file_into_the_folder_is_enough(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "DSC 0001 (2).JPG", WIDE)
    page = next(each for each in site(good_shop).pages if each.path == addresses.instrument_page(HERON))
    assert "photos/2026-014-1-960.jpg" in body(page)


def test_they_come_as_the_record_has_them_and_then_by_name(good_shop: Path) -> None:
    for name in ("IMG_10.jpg", "IMG_9.jpg", "back.jpg", "img_2.jpg", "Zargen für Ute.jpg"):
        put_photo(good_shop, HERON, name, WIDE)
    write_words(good_shop, "\n  Zargen für Ute.jpg: {shows: The sides}\n  IMG_9.jpg: {}")
    workshop = open_shop(good_shop, private_files=False)
    assert workshop.problems == ()
    assert names(workshop) == ["Zargen für Ute.jpg", "IMG_9.jpg", "back.jpg", "img_2.jpg", "IMG_10.jpg"]


def test_a_name_that_the_disk_spells_with_two_letters_is_the_same_name(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "fu\u0308r.jpg", WIDE)
    write_words(good_shop, "\n  f\u00fcr.jpg: {shows: The sides}")
    assert open_shop(good_shop, private_files=False).problems == ()


def test_what_desktops_leave_behind_is_no_photograph(good_shop: Path) -> None:
    for name in (".DS_Store", "._one.jpg", "Thumbs.db", "desktop.ini", "one.jpg"):
        put_photo(good_shop, HERON, name, WIDE)
    (good_shop / FOLDER / ".thumbnails").mkdir()
    workshop = open_shop(good_shop, private_files=False)
    assert workshop.problems == ()
    assert names(workshop) == ["one.jpg"]


def test_reading_opens_no_photograph(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "one.jpg", WIDE)
    with files_opened() as opened_files:
        open_shop(good_shop, private_files=True)
    assert any(name.endswith("record.yaml") for name in opened_files)
    assert not [name for name in opened_files if "photos" in name]


def test_a_draft_is_never_opened_for_buyers_nor_a_photograph_of_what_is_not_theirs(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "one.jpg", WIDE)
    put_photo(good_shop, HERON, "draft.jpg", TALL)
    put_photo(good_shop, UNFINISHED, "early.jpg", WIDE)
    write_words(good_shop, " {draft.jpg: {draft: yes}}")
    with files_opened() as opened_files:
        prepared(good_shop)
    photos = {Path(name).name for name in opened_files if f"{os.sep}photos{os.sep}" in name and "records" in name}
    assert photos == {"one.jpg"}
    with files_opened() as opened_files:
        prepared(good_shop, "shop")
    photos = {Path(name).name for name in opened_files if f"{os.sep}photos{os.sep}" in name and "records" in name}
    assert photos == {"draft.jpg", "early.jpg"}, "and the one that is known already stays shut"


# What is wrong, and where


def test_a_name_that_is_not_there(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "Linings.jpg", WIDE)
    put_photo(good_shop, HERON, "back.jpg", WIDE)
    write_words(good_shop, "\n  linings.jpg: {shows: Going in}\n  qqq.png: {shows: Nothing}")
    assert [in_words(each) for each in open_shop(good_shop, private_files=False).problems] == [
        f"{RECORD}:42:3: there is no file «linings.jpg» in the folder photos; did you mean «Linings.jpg»? "
        "[photo-missing]\n      linings.jpg: {shows: Going in}\n      ^",
        f"{RECORD}:43:3: there is no file «qqq.png» in the folder photos; write Linings.jpg or back.jpg "
        "[photo-missing]\n      qqq.png: {shows: Nothing}\n      ^",
    ]


def test_a_name_outside_the_folder(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "one.jpg", WIDE)
    put_photo(good_shop, UNFINISHED, "one.jpg", WIDE)
    write_words(good_shop, f"\n  ../../{UNFINISHED}/photos/one.jpg: {{shows: Going in}}\n  ..\\one.jpg: {{}}")
    hint = "lies outside the folder photos; put the file into photos, and write its name alone [photo-misplaced]"
    assert said(good_shop) == [
        f"{RECORD}:42:3: «../../{UNFINISHED}/photos/one.jpg» {hint}",
        f"{RECORD}:43:3: «..\\one.jpg» {hint}",
    ]


def test_links_folders_and_pipes_among_the_photographs(good_shop: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere.jpg"
    elsewhere.write_bytes(WIDE)
    put_photo(good_shop, HERON, "one.jpg", WIDE)
    folder = good_shop / FOLDER
    (folder / "linked.jpg").symlink_to(elsewhere)
    (folder / "dangling.jpg").symlink_to(tmp_path / "gone.jpg")
    (folder / "within.jpg").symlink_to(folder / "one.jpg")
    (folder / "raw").mkdir()
    os.mkfifo(folder / "pipe.jpg")
    write_words(good_shop, " {linked.jpg: {shows: Going in}}")
    with files_opened() as opened_files:
        problems = said(good_shop)
    assert problems == [
        f"{FOLDER}/dangling.jpg: this is a link; put the photograph itself here [photo-misplaced]",
        f"{FOLDER}/pipe.jpg: this is no file; move it out of photos [photo-misplaced]",
        f"{FOLDER}/raw: this is a folder; put the photographs straight into photos, or move the folder out "
        "[photo-misplaced]",
        f"{FOLDER}/within.jpg: this is a link; put the photograph itself here [photo-misplaced]",
        f"{RECORD}:41:10: «linked.jpg» is a link; put the photograph itself here [photo-misplaced]",
    ]
    assert {Path(name).name for name in opened_files if name.endswith(".jpg") and "records" in name} == {"one.jpg"}


def test_a_folder_of_photographs_that_is_a_link_or_a_file(good_shop: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "one.jpg").write_bytes(WIDE)
    (good_shop / FOLDER).symlink_to(outside)
    (good_shop / "records" / "instruments" / UNFINISHED / "photos").write_bytes(b"")
    assert said(good_shop) == [
        f"{FOLDER}: this is a link; put a folder of its own here, with the photographs in it [photo-misplaced]",
        f"records/instruments/{UNFINISHED}/photos: this is a file; photos is the name of a folder; rename the file "
        "[photo-misplaced]",
    ]


@pytest.mark.parametrize("name", ["Photos", "photo", "pictures"])
def test_a_folder_with_a_name_of_its_own_is_not_passed_over_in_silence(good_shop: Path, name: str) -> None:
    folder = good_shop / "records" / "instruments" / HERON
    (folder / name).mkdir()
    if (folder / "photos").exists():
        pytest.skip("this disk holds both names for one")
    words = "this is a folder that is not looked into; call it photos [photo-misplaced]"
    assert said(good_shop) == [f"records/instruments/{HERON}/{name}: {words}"]


def test_bad_photographs_are_said_together_with_every_other_mistake(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "cut.jpg", WIDE[:2000])
    record = good_shop / "records" / "instruments" / "2025-007" / "record.yaml"
    record.write_text(record.read_text("utf-8").replace("kind:", "kinde:"), "utf-8")
    ready = prepared(good_shop)
    assert [problem.code for problem in ready.problems] == ["missing-key", "unknown-key", "photo-broken"]
    assert (ready.beside, ready.assets) == ({}, ())


def test_bad_photographs_are_said_at_the_line_that_names_them_or_at_the_file(good_shop: Path) -> None:
    for name in ("cut.jpg", "named.jpg", "draft.jpg"):
        put_photo(good_shop, HERON, name, WIDE[:2000])
    put_photo(good_shop, HERON, "empty.jpg", b"")
    put_photo(good_shop, HERON, "good.jpg", WIDE)
    put_photo(good_shop, HERON, "notes.txt", b"Bring more glue")
    write_words(good_shop, "\n  good.jpg: {shows: All well}\n  named.jpg: {shows: Going in}\n  draft.jpg: {draft: yes}")
    again = "copy it from the camera or phone again, or"
    for_buyers = [
        f"{FOLDER}/cut.jpg: this is cut off or damaged; {again} move it out of photos [photo-broken]",
        f"{FOLDER}/empty.jpg: this is empty; {again} remove it [photo-broken]",
        f"{FOLDER}/notes.txt: this is no picture of a kind known here; move it out of photos [photo-kind]",
        f"{RECORD}:43:3: «named.jpg» is cut off or damaged; {again} move it out of photos [photo-broken]",
    ]
    of_the_draft = f"{RECORD}:44:3: «draft.jpg» is cut off or damaged; {again} move it out of photos [photo-broken]"
    assert said(good_shop, "buyer") == for_buyers
    assert said(good_shop, "shop") == [*for_buyers, of_the_draft]


def test_a_name_that_is_no_text_can_still_be_said(good_shop: Path) -> None:
    folder = os.fsencode(put_photo(good_shop, HERON, "one.jpg", WIDE).parent)
    try:
        Path(os.fsdecode(folder + b"/\xff\xfe.jpg")).write_bytes(b"")
    except OSError:
        pytest.skip("this disk holds only names that are text")
    (line,) = said(good_shop)
    line.encode()
    assert line.endswith(".jpg: this is empty; copy it from the camera or phone again, or remove it [photo-broken]")


# What is shown


def test_the_page_shows_the_first_large_and_the_rest_side_by_side(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "wide.jpg", WIDE)
    put_photo(good_shop, HERON, "tall.jpg", TALL)
    put_photo(good_shop, HERON, "more.jpg", saved(drawn(2000, 1500)))
    write_words(
        good_shop, '\n  wide.jpg: {shows: "On the bench, at last"}\n  tall.jpg: {shows: Head, alt: A carved head}'
    )
    made = site(good_shop)
    page = next(each for each in made.pages if each.path == addresses.instrument_page(HERON))
    (lead,) = tree(page.sections[0].html).iter("img")
    assert lead.attrib == {
        "src": "../photos/2026-014-1-960.jpg",
        "srcset": "../photos/2026-014-1-480.jpg 480w, ../photos/2026-014-1-960.jpg 960w, "
        "../photos/2026-014-1-1200.jpg 1200w",
        "sizes": "(min-width: 76.25em) 760px, 100vw", "width": "960", "height": "720",
        "alt": "On the bench, at last", "decoding": "async",
    }  # fmt: skip
    gallery = part(page, "photographs")
    tall, more = gallery.iter("img")
    assert (tall.get("src"), tall.get("width"), tall.get("height")) == ("../photos/2026-014-2-300.jpg", "300", "400")
    assert [each.get("loading") for each in (tall, more)] == ["lazy", "lazy"]
    assert [each.get("alt") for each in (tall, more)] == [
        "A carved head", "Photograph 3 of Heron, mountain dulcimer No. 2026-014",
    ]  # fmt: skip
    assert [words(each) for each in gallery.iter("figcaption")] == ["Head"]
    links = [link.get("href") for section in page.sections for link in tree(section.html).iter("a")]
    assert [link for link in links if link and "photos/" in link] == [
        "../photos/2026-014-1-1200.jpg", "../photos/2026-014-2-300.jpg", "../photos/2026-014-3-1920.jpg",
    ]  # fmt: skip


def test_every_picture_is_carried_in_the_size_that_the_page_says(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "wide.jpg", WIDE)
    put_photo(good_shop, HERON, "tall.jpg", TALL)
    made = site(good_shop)
    carried = {asset.path: asset for asset in made.assets if asset.path.startswith("photos/")}
    assert sorted(carried) == [f"photos/2026-014-{rest}.jpg" for rest in ("1-300", "2-1200", "2-480", "2-960")]
    for path, asset in carried.items():
        assert opened(asset.read()).width == int(path.removesuffix(".jpg").rpartition("-")[2])
        assert isinstance(asset.content, Path), "a picture is handed on as a file, not held in memory"


def test_cards_have_the_first_photograph_as_their_cover(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "wide.jpg", WIDE)
    put_photo(good_shop, HERON, "tall.jpg", TALL)
    write_words(good_shop, " {wide.jpg: {}}")
    pages = {page.path: page for page in site(good_shop).pages}
    for path, up in ((addresses.HOME, ""), (addresses.INSTRUMENTS, "../")):
        (cover,) = tree(body(pages[path])).iter("img")
        assert cover.get("src") == f"{up}photos/2026-014-1-960.jpg"
        assert cover.get("alt") == "Photograph 1 of Heron, mountain dulcimer No. 2026-014"
        assert cover.get("loading") == "lazy"


def test_a_draft_is_seen_in_the_shop_alone_and_said_to_be_one(good_shop: Path) -> None:
    without = site_bytes(site(good_shop))
    put_photo(good_shop, HERON, "draft.jpg", WIDE)
    write_words(good_shop, " {draft.jpg: {shows: Not yet, draft: yes}}")
    assert site_bytes(site(good_shop)) == without
    page = next(each for each in site(good_shop, "shop").pages if each.path == addresses.instrument_page(HERON))
    assert "Draft, not for buyers. Not yet" in words(tree(page.sections[0].html))


@pytest.mark.parametrize("edition", ["buyer", "shop"])
def test_neither_name_nor_day_of_a_photograph_makes_a_difference(
    good_shop: Path, edition: Literal["buyer", "shop"]
) -> None:
    path = put_photo(good_shop, HERON, "Zugvogel at 12 Quay Street.jpg", jpeg_with_everything("Zugvogel"))
    first = site_bytes(site(good_shop, edition))
    assert not [name for name, content in first.items() if b"zugvogel" in content.lower() or b"Quay Street" in content]
    renamed = path.rename(path.with_name("x.jpg"))
    os.utime(renamed, (1_000_000_000, 1_000_000_000))
    assert site_bytes(site(good_shop, edition)) == first


def test_words_of_a_photograph_are_shown_and_not_run(good_shop: Path) -> None:
    put_photo(good_shop, HERON, "one.jpg", WIDE)
    hostile = """'"><script>alert(1)</script> {{ 7 * 7 }}'"""
    write_words(good_shop, f" {{one.jpg: {{shows: {hostile}, alt: {hostile}}}}}")
    page = next(each for each in site(good_shop).pages if each.path == addresses.instrument_page(HERON))
    lead = tree(page.sections[0].html)
    assert list(lead.iter("script")) == []
    (image,) = lead.iter("img")
    assert image.get("alt") == words(next(lead.iter("figcaption"))) == hostile.strip("'")


def site_bytes(made: Site) -> dict[str, bytes]:
    """Everything a site is made of, by address."""
    pages = {page.path: repr(page).encode() for page in made.pages}
    return pages | {asset.path: asset.read() for asset in made.assets}


def test_programs_are_told_of_the_photographs(good_shop: Path) -> None:
    def images() -> object:
        page = next(each for each in site(good_shop).pages if each.path == addresses.instrument_page(HERON))
        return json.loads(page.structured_data)["image"]

    assert images() == ["https://shop.example/instruments/link-pictures/2026-014.png"]
    put_photo(good_shop, HERON, "a.jpg", WIDE)
    assert images() == ["https://shop.example/instruments/photos/2026-014-1-1200.jpg"]
    put_photo(good_shop, HERON, "b.jpg", TALL)
    assert images() == [f"https://shop.example/instruments/photos/2026-014-{each}.jpg" for each in ("1-1200", "2-300")]


# While it takes a while


@pytest.mark.parametrize(("seconds_each", "told"), [(1, []), (6, ["2 of 3"]), (11, ["1 of 3", "2 of 3", "3 of 3"])])
def test_where_nobody_watches_a_line_is_said_now_and_then(
    good_shop: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    seconds_each: int,
    told: list[str],
) -> None:
    for name in ("a.jpg", "b.jpg", "c.jpg"):
        put_photo(good_shop, HERON, name, TALL)
    clock = slow(monkeypatch, seconds_each)
    prepare_here(open_shop(good_shop, private_files=False), "buyer")
    assert len(clock) == 3
    assert capsys.readouterr().err == "".join(f"{each} photographs are ready.\n" for each in told)


def test_on_a_terminal_a_bar_shows_how_far_it_is(
    good_shop: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("a.jpg", "b.jpg", "c.jpg"):
        put_photo(good_shop, HERON, name, TALL)
    slow(monkeypatch, 3)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    prepare_here(open_shop(good_shop, private_files=False), "buyer")
    said = capsys.readouterr().err
    assert "Photographs" in said
    assert "100%" in said


def slow(monkeypatch: pytest.MonkeyPatch, seconds_each: int) -> list[str]:
    """Let each photograph take so long, by the clock that progress is told by. Gives those that were looked at."""
    looked_at: list[str] = []
    made_of = _Shelf.made_of

    def slowly(shelf: _Shelf[NotShown], photo: FileBeside) -> tuple[Kept, ...] | NotShown:
        looked_at.append(photo.name)
        return made_of(shelf, photo)

    monkeypatch.setattr(_Shelf, "made_of", slowly)
    monkeypatch.setattr(asked, "monotonic", lambda: seconds_each * len(looked_at))
    return looked_at
