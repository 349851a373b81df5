"""Recordings of a whole shop: dropped into a folder, put in order, told of where they are wrong, and played."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from builder import addresses, kept_sounds
from builder.kept import FOLDER as KEPT
from builder.recordings import MOST_BYTES, Sound, sound_of
from builder.seam import Page
from builder.site import Site
from builder.workshop import open_shop
from tests.page_reading import body, part, words
from tests.photo_samples import drawn, saved
from tests.recording_samples import EVERYTHING, M4A, packed
from tests.test_photos_of_a_shop import files_opened, prepared, said, site, site_bytes

HERON, UNFINISHED = "2026-014", "2026-015"
RECORD = f"records/instruments/{HERON}/record.yaml"
PLACE = f"records/instruments/{HERON}/recordings"
MP3, WAV = packed("mp3"), packed("wav")


def put(shop: Path, name: str, content: bytes, serial: str = HERON) -> Path:
    """A recording into the folder of an instrument."""
    path = shop / "records" / "instruments" / serial / "recordings" / name
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(content)
    return path


def write_words(shop: Path, written: str) -> None:
    record = shop / RECORD
    record.write_text(f"{record.read_text('utf-8').rstrip()}\nrecordings:{written}\n", "utf-8")


def page_of(made: Site) -> Page:
    return next(each for each in made.pages if each.path == addresses.instrument_page(HERON))


# Reading


def test_dropping_a_file_into_the_folder_is_enough(good_shop: Path) -> None:
    put(good_shop, "Memo 12 (kitchen).MP3", MP3)
    made = site(good_shop)
    assert "recordings/2026-014-1.mp3" in body(page_of(made))
    (carried,) = [asset for asset in made.assets if asset.path.startswith("recordings/")]
    assert carried.path == "recordings/2026-014-1.mp3"
    assert carried.read() == sound_of(MP3).content
    assert isinstance(carried.content, Path), "it is handed on as a file, not held in memory"


def test_they_come_as_the_record_has_them_and_then_by_name(good_shop: Path) -> None:
    for name in ("take 10.wav", "take 9.wav", "b.mp3", "Für Ute.ogg"):
        put(good_shop, name, WAV)
    write_words(good_shop, "\n  Für Ute.ogg: {plays: For Ute}\n  take 9.wav: {}")
    workshop = open_shop(good_shop, private_files=False)
    heard = [each.file.name for one in workshop.instruments if one.record.serial == HERON for each in one.recordings]
    assert heard == ["Für Ute.ogg", "take 9.wav", "b.mp3", "take 10.wav"]


def test_reading_opens_no_recording_and_a_buyers_build_no_draft(good_shop: Path) -> None:
    put(good_shop, "one.mp3", MP3)
    put(good_shop, "draft.wav", WAV)
    put(good_shop, "early.mp3", packed("opus"), UNFINISHED)
    write_words(good_shop, " {draft.wav: {draft: yes}}")

    def opened(names: list[str]) -> set[str]:
        lying = f"{os.sep}instruments{os.sep}"
        return {Path(name).name for name in names if lying in name and f"{os.sep}recordings{os.sep}" in name}

    with files_opened() as names:
        open_shop(good_shop, private_files=True)
        assert opened(names) == set()
        prepared(good_shop)
        assert opened(names) == {"one.mp3"}
    with files_opened() as names:
        prepared(good_shop, "shop")
        assert opened(names) == {"draft.wav", "early.mp3"}, "and the one that is known already stays shut"


def test_no_recording_is_cleaned_twice(good_shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    cleaned = []

    def counted(content: bytes) -> Sound:
        cleaned.append(content)
        return sound_of(content)

    monkeypatch.setattr(kept_sounds, "sound_of", counted)
    path = put(good_shop, "one.mp3", MP3)
    first = site_bytes(site(good_shop))
    path.rename(path.with_name("renamed.mp3"))
    assert site_bytes(site(good_shop)) == first
    assert cleaned == [MP3]
    for kept in (good_shop / KEPT / "recordings").glob("*.mp3"):
        kept.write_bytes(b"x")
    assert site_bytes(site(good_shop)) == first
    assert cleaned == [MP3, MP3], "what was damaged is made anew"


def test_where_nothing_can_be_kept_they_are_played_all_the_same(good_shop: Path) -> None:
    put(good_shop, "one.mp3", MP3)
    first = site_bytes(site(good_shop))
    kept = good_shop / KEPT
    kept.rename(good_shop / "elsewhere")
    kept.write_text("a file stands where the folder belongs")
    assert site_bytes(site(good_shop)) == first


# What is wrong, and where


def test_links_and_folders_among_the_recordings(good_shop: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside.mp3"
    outside.write_bytes(MP3)
    put(good_shop, "one.mp3", MP3)
    (good_shop / PLACE / "linked.mp3").symlink_to(outside)
    (good_shop / PLACE / "session").mkdir()
    write_words(good_shop, " {linked.mp3: {plays: A tune}}")
    with files_opened() as names:
        problems = said(good_shop)
    assert problems == [
        f"{RECORD}:41:14: «linked.mp3» is a link; put the recording itself here [recording-misplaced]",
        f"{PLACE}/session: this is a folder; put the recordings straight into recordings, or move the folder out "
        "[recording-misplaced]",
    ]
    assert not [name for name in names if name.endswith("linked.mp3")]


def test_what_is_no_sound_is_told_by_its_bytes_and_at_its_place(good_shop: Path) -> None:
    put(good_shop, "empty.mp3", b"")
    put(good_shop, "half.mp3", MP3[:2000])
    put(good_shop, "cover.mp3", saved(drawn()))
    put(good_shop, "fine.mp3", M4A)
    write_words(good_shop, "\n  half.mp3: {plays: Half a tune}\n  gone.mp3: {}")
    again = "copy it from the recorder again, or save it anew with a program for sound [recording-broken]"
    move = "is no sound of a kind known here; move it out of recordings [recording-kind]"
    assert said(good_shop) == [
        f"{RECORD}:42:3: «half.mp3» is cut off or damaged; {again}",
        f"{RECORD}:43:3: there is no file «gone.mp3» in the folder recordings; did you mean «fine.mp3»? "
        "[recording-missing]",
        f"{PLACE}/cover.mp3: this {move}",
        f"{PLACE}/empty.mp3: this is empty; copy it from the recorder again, or remove it [recording-broken]",
    ]


def test_one_that_is_too_large_is_not_even_read(good_shop: Path) -> None:
    path = put(good_shop, "concert.wav", b"RIFF")
    os.truncate(path, MOST_BYTES + 1)
    with files_opened() as names:
        problems = said(good_shop)
    assert problems == [
        f"{PLACE}/concert.wav: this is larger than 40 MB; save it as MP3, or shorter; buyers listen on telephones "
        "[recording-too-large]"
    ]
    assert not [name for name in names if name.endswith("concert.wav")]


# What is played


def test_each_is_played_by_the_browser_itself_with_its_words_and_a_plain_link(good_shop: Path) -> None:
    put(good_shop, "one.mp3", packed("mp3", 1, 3.0))
    put(good_shop, "two.wav", packed("wav"))
    put(good_shop, "phone.m4a", M4A)
    write_words(good_shop, "\n  one.mp3: {plays: 'The ferry song, slowly', by: Ada Ferrow}\n  two.wav: {by: Ned Pell}")
    sounds = part(page_of(site(good_shop)), "recordings")
    assert [dict(each.attrib) for each in sounds.iter("audio")] == [
        {
            "controls": "", "preload": "none", "src": f"../recordings/2026-014-{number}.{ending}",
            "aria-labelledby": f"recording-{number}",
        }
        for number, ending in ((1, "mp3"), (2, "wav"), (3, "m4a"))
    ]  # fmt: skip
    assert [(each.get("id"), words(each)) for each in sounds.iter("figcaption")] == [
        ("recording-1", "The ferry song, slowly, played by Ada Ferrow"),
        ("recording-2", "Recording 2 of Heron, mountain dulcimer No. 2026-014, played by Ned Pell"),
        ("recording-3", "Recording 3 of Heron, mountain dulcimer No. 2026-014"),
    ]
    assert [words(each) for each in sounds.iter("p")] == [
        "0:03, MP3, 29 kB · Download", "0:01, WAV, 53 kB · Download", "0:01, M4A, 3 kB · Download",
    ]  # fmt: skip
    links = [(each.get("href"), each.get("download")) for each in sounds.iter("a")]
    assert links[0] == ("../recordings/2026-014-1.mp3", "")


def test_a_draft_is_heard_in_the_shop_alone_and_said_to_be_one(good_shop: Path) -> None:
    without = site_bytes(site(good_shop))
    put(good_shop, "draft.wav", WAV)
    write_words(good_shop, " {draft.wav: {plays: Not yet, draft: yes}}")
    assert site_bytes(site(good_shop)) == without
    in_the_shop = part(page_of(site(good_shop, "shop")), "recordings")
    assert "Draft, not for buyers. Not yet" in words(in_the_shop)


def test_neither_name_nor_day_nor_tags_of_a_recording_make_a_difference(good_shop: Path) -> None:
    path = put(good_shop, "Zugvogel at 12 Quay Street.mp3", EVERYTHING["mp3"]("Zugvogel"))
    first = site_bytes(site(good_shop))
    assert not [name for name, content in first.items() if b"zugvogel" in content.lower() or b"Quay Street" in content]
    renamed = path.rename(path.with_name("x.mp3"))
    renamed.write_bytes(MP3)
    os.utime(renamed, (1_000_000_000, 1_000_000_000))
    assert site_bytes(site(good_shop)) == first


def test_words_of_a_recording_are_shown_and_not_run(good_shop: Path) -> None:
    put(good_shop, "one.mp3", MP3)
    hostile = """"><script>alert(1)</script> {{ 7 * 7 }}"""
    write_words(good_shop, f" {{one.mp3: {{plays: '{hostile}', by: '{hostile}'}}}}")
    sounds = part(page_of(site(good_shop)), "recordings")
    assert list(sounds.iter("script")) == []
    (caption,) = sounds.iter("figcaption")
    assert words(caption) == f"{hostile}, played by {hostile}"


def test_an_instrument_without_recordings_says_nothing_of_them(good_shop: Path) -> None:
    assert "recordings" not in {section.id for section in page_of(site(good_shop)).sections}
