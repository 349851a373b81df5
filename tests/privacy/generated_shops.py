"""Shops made up by chance, that may be varied in everything a buyer may not see and in nothing else.

A shop is a `Draft`: trees of its files, before they are written. What may vary stands in `VARIATIONS`, each by its
name; of records, shop file and rack all fields vary that `decisions` keeps, whichever they are.
"""

from __future__ import annotations

import copy
import json
import os
import random
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

from PIL import Image

from builder.lengths import Length, Position
from builder.limits import Words
from builder.reading.converters import converters
from builder.record import Record
from builder.shop import Shop, WoodRack
from tests.photo_samples import drawn, exif, iptc, saved, xmp
from tests.privacy.decisions import FIELDS, is_leaf_published, is_published
from tests.privacy.other_files import DRAFTS
from tests.privacy.trees import Leaf, Tree, as_yaml, read_tree, regrouped, rewritten
from tests.privacy.writings import is_within, writings
from tests.recording_samples import EVERYTHING as TOLD_BESIDES
from tests.recording_samples import packed, wav_of
from tests.shops import REPOSITORY
from tests.small_shop import BARE, MANDOLIN, PAIRS, SHORT

Chance = random.Random

#: An instrument of the demo that has most of what there is, and what there is for it in the rack.
FULL = "2024-003"
PATTERN = "teardrop-28"
_PHOTO, _RECORDING = "photos/1 front.jpg", "recordings/1 slow.mp3"
_LETTERS = "abc DEF xyz 019 éß東 :#-'\"{}[]<>&%*!|"
_HANDED_OVER = {"finished": "2024-06-28", "delivered": "2024-07-06"}
_KEPT_STATES: tuple[dict[str, Any], ...] = (
    {"visibility": "shop only", "dates": _HANDED_OVER},
    {"dates": {"ordered": "2024-02-10"}},
    {"dates": {"finished": "2031-06-28"}},
    {"visibility": "unlisted", "dates": {"finished": "2031-06-28"}},
)
#: Groups of the shop file that instruments name entries of.
_NAMED = ("string_sets", "fret_wires", "finish_schedules", "glues")


@dataclass
class Draft:
    """A shop before it is written: trees of files by shape, and all other files below `records` with their bytes."""

    shop: Tree
    rack: Tree
    records: dict[str, Tree]
    pattern: Tree
    files: dict[str, bytes] = field(default_factory=dict)
    #: How it is written: with remarks, with keys in another order, with other times of its files.
    remarks: Chance | None = None
    order: Chance | None = None
    times: Chance | None = None


@cache
def _demo(file: str) -> Tree:
    return read_tree((REPOSITORY / "records" / file).read_text("utf-8"))


#: So many public parts there are; what is made of them is made once.
PUBLIC_PARTS = 16


def public_part(number: int) -> Draft:
    """All that buyers may see, one of sixteen: from nothing to several instruments, one with most of what there is."""
    chance = Chance(number)
    shop = copy.deepcopy(_demo("shop.yaml"))
    if number % 2:
        for name in ("site_address", "place", "warranty", "contact", "mark"):
            shop.pop(name)
    few = chance.sample([MANDOLIN, BARE, SHORT, PAIRS], (0, 1, 1, 2)[number // 2 % 4])
    records = {tree["serial"]: tree for tree in map(read_tree, few)}
    if number % 8 == 3:
        records[FULL] = _full_record()
    rack = copy.deepcopy(_demo("wood.yaml"))
    used = {part.get("billet") for tree in records.values() for part in tree.get("spec", {}).get("wood", {}).values()}
    rack["billets"] = {name: billet for name, billet in rack["billets"].items() if name in used}
    if FULL not in records:
        shop |= {name: {} for name in (*_NAMED, "string_stock")}
    draft = Draft(shop, rack, records, copy.deepcopy(_demo(f"patterns/{PATTERN}.yaml")))
    draft.pattern.pop("spec")
    draft.files["pages/index.md"] = b"# Welcome\n\nTo the shop.\n"
    draft.files["pages/care.md"] = b"---\ntitle: Care\n---\n\n# Care\n\nKeep it dry.\n"
    if "mark" in shop:
        draft.files[shop["mark"]] = saved(_photo(chance))
    for serial in records:
        if number % 6 == 5:
            draft.files[f"instruments/{serial}/{_PHOTO}"] = saved(_photo(chance))
            draft.files[f"instruments/{serial}/{_RECORDING}"] = packed("mp3")
    return draft


def _full_record() -> Tree:
    """The instrument that has most, with the kept fields that it lacks."""
    record = copy.deepcopy(_demo(f"instruments/{FULL}/record.yaml"))
    for words in ("photos", "recordings"):
        record.pop(words, None)
    spec = record["spec"]
    spec["label"] = {"width": "2 in", "height": "1 1/2 in"}
    spec["bridge"] = {"kind": "pinned", "height": "13/16 in", "pins_behind_saddle": "14 mm"}
    spec["body"]["braces"][0] |= {"end_height": "1/8 in", "taper": "1 in"}
    record["build"]["glue_ups"][0] |= {"wood_moisture": "8 %", "clamps_off": "2024-03-22 09:30"}
    return record


@cache
def _photos() -> tuple[Image.Image, ...]:
    return drawn(48, 36), drawn(30, 40)


def _photo(chance: Chance) -> Image.Image:
    return chance.choice(_photos())


def _words(chance: Chance, most: int = 40) -> str:
    letters = "".join(chance.choice(_LETTERS) for _ in range(chance.randint(1, most - 1)))
    return f"w{letters}".strip()[:most]


# What a buyer may not see


def kept_fields(draft: Draft, chance: Chance) -> None:
    """Fields that are kept: left out, said in other words, or in other numbers."""

    def without_some(shape: type[Any], group: dict[str, Tree]) -> dict[str, Tree]:
        required = ("format", "visibility", "started_from")
        kept = {name for name in group if shape in FIELDS and not is_published(shape, name)} - {*required}
        return {name: inner for name, inner in group.items() if name not in kept or chance.random() < 0.7}

    def otherwise(leaf: Leaf, text: str | None) -> str | None:
        if text is None or is_leaf_published(leaf) or leaf.is_name or chance.random() < 0.4:
            return text
        if leaf.owner_and_field[1] in ("format", "visibility", "started_from", "promised", "draft"):
            return text
        if leaf.may_hold_words:
            return _words(chance, leaf.most_letters) if isinstance(leaf.limit, Words) else text
        return _otherwise(leaf, text, chance)

    shaped: list[tuple[Tree, Any]] = [(draft.shop, Shop), (draft.rack, WoodRack)]
    shaped += [(tree, Record) for tree in draft.records.values()]
    for tree, shape in shaped:
        changed = rewritten(regrouped(tree, shape, without_some), shape, otherwise)
        tree.clear()
        tree.update(changed)


def _otherwise(leaf: Leaf, text: str, chance: Chance) -> str:
    """Another value of its type: a length a little longer, of a number the last digit, of a fixed word another."""
    if leaf.kind in (Length, Position):
        length = converters("in")[leaf.kind](text).exact_mm
        changed = f"{float(length * Fraction(chance.randint(1001, 1020), 1000)):.3f} mm"
    elif not any(letter.isdigit() for letter in text):
        return chance.choice(writings(leaf.kind, leaf.limit))
    else:
        place = max(number for number, letter in enumerate(text) if letter.isdigit())
        changed = f"{text[:place]}{chance.randint(1, 9)}{text[place + 1 :]}"
    return changed if is_within(changed, leaf.kind, leaf.limit) else text


def promises(draft: Draft, chance: Chance) -> None:
    """When an instrument was promised, and what it was started from."""
    for tree in draft.records.values():
        tree.pop("started_from", None)
        if chance.random() < 0.7:
            tree.setdefault("dates", {})["promised"] = f"21{chance.randint(10, 99)}-0{chance.randint(1, 9)}-11"
        if chance.random() < 0.5:
            tree["started_from"] = PATTERN


def steps_to_do(draft: Draft, chance: Chance) -> None:
    """Steps that are not done yet, among those that are."""
    for tree in draft.records.values():
        steps = tree.setdefault("build", {}).setdefault("steps", [])
        for _ in range(chance.randint(0, 3)):
            steps.insert(chance.randint(0, len(steps)), {"step": _words(chance)})


def private_files(draft: Draft, chance: Chance) -> None:
    """Private files of instruments and of the shop: never opened, so anything may stand in them."""
    draft.files["private.yaml"] = _words(chance, 200).encode()
    draft.files["repairs/R-1.yaml"] = _words(chance, 200).encode()
    for serial in draft.records:
        if chance.random() < 0.7:
            draft.files[f"instruments/{serial}/private.yaml"] = chance.randbytes(chance.randint(0, 90))


def other_instruments(draft: Draft, chance: Chance) -> None:
    """Instruments that are not for buyers, at any place in the order of serials, in any state, of any build."""
    for number in range(chance.randint(0, 3)):
        tree = read_tree(chance.choice((MANDOLIN, BARE, BARE, BARE)))
        serial = f"{chance.choice(('0', '2024-5', '2025-2', '9'))}-{chance.randint(100, 999)}-{number}"
        tree |= {"serial": serial, "name": _words(chance), "kind": _words(chance), "story": _words(chance, 300)}
        tree |= {"visibility": "public"} | copy.deepcopy(chance.choice(_KEPT_STATES)) | _kinship(draft, chance)
        draft.records[serial] = tree
        draft.files[f"instruments/{serial}/address.txt"] = f"{_ending(chance)}\n".encode()
        if chance.random() < 0.2:
            draft.files[f"instruments/{serial}/photos/{_name(chance)}.jpg"] = saved(_photo(chance))


def unlisted_instruments(draft: Draft, chance: Chance) -> None:
    """Instruments that only those find who have their address; newer than all others, or older."""
    for number in range(chance.randint(0, 2)):
        serial = f"{chance.choice(('0', '2025-2', '9'))}-{chance.randint(100, 999)}-u{number}"
        days = chance.choice((_HANDED_OVER, {"finished": "2031-01-02", "delivered": "2031-02-03"}))
        tree = read_tree(BARE) | {"serial": serial, "name": _words(chance), "visibility": "unlisted", "dates": days}
        tree |= _kinship(draft, chance)
        draft.records[serial] = tree
        draft.files[f"instruments/{serial}/address.txt"] = f"{_ending(chance)}\n".encode()


def _kinship(draft: Draft, chance: Chance) -> dict[str, Tree]:
    """What ties an instrument to one that buyers see: parts of the same boards, the same batch, its beginning."""
    if FULL not in draft.records or chance.random() < 0.3:
        return {}
    seen = draft.records[FULL]
    # Without sizes, for the boards are no larger than they were.
    wood = {part: {"billet": each["billet"]} for part, each in seen["spec"]["wood"].items() if "billet" in each}
    return {"spec": {"wood": wood}, "batch": seen.get("batch", "One"), "started_from": FULL}


def _ending(chance: Chance) -> str:
    return "".join(chance.choice("0123456789abcdefghjkmnpqrstvwxyz") for _ in range(26))


def _name(chance: Chance) -> str:
    return "".join(chance.choice("abc xyz-_0129") for _ in range(12)).strip() or "x"


def unused_entries(draft: Draft, chance: Chance) -> None:
    """Billets, string sets, wires, schedules and glues that no instrument names, and the order of all of them."""
    for name in _NAMED:
        unused = {_words(chance): copy.deepcopy(entry) for entry in _demo("shop.yaml")[name].values()}
        draft.shop[name] = _mixed(draft.shop[name] | dict(chance.sample(sorted(unused.items(), key=repr), 2)), chance)
    unused = {
        f"X-{number}": copy.deepcopy(billet) for number, billet in enumerate(_demo("wood.yaml")["billets"].values())
    }
    draft.rack["billets"] = _mixed(draft.rack["billets"] | dict(chance.sample(sorted(unused.items()), 3)), chance)


def _mixed(entries: dict[str, Tree], chance: Chance) -> dict[str, Tree]:
    return dict(chance.sample(list(entries.items()), len(entries)))


def patterns(draft: Draft, chance: Chance) -> None:
    draft.pattern |= {"name": _words(chance), "kind": _words(chance), "about": _words(chance, 300)}
    if chance.random() < 0.5:
        draft.files["patterns/another.yaml"] = as_yaml(draft.pattern).encode()


def room_log(draft: Draft, chance: Chance) -> None:
    days = [f"20{chance.randint(20, 30)}-03-0{chance.randint(1, 9)}" for _ in range(chance.randint(0, 4))]
    rows = [f"{day} 14:30,{chance.randint(50, 80)},{chance.randint(20, 70)},x" for day in days]
    draft.files["room.csv"] = "\n".join(["time,temperature F,humidity %,who", "# a remark", *rows, ""]).encode()


def stray_files(draft: Draft, chance: Chance) -> None:
    """Outlines that nobody traces, drafts, and files that lie about."""
    picture = f'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0h{chance.randint(1, 99)}v9z"/></svg>'
    draft.files[f"outlines/{_name(chance)}.svg"] = picture.encode()
    head = chance.choice(DRAFTS).format(title=_words(chance).replace("'", ""))
    draft.files[f"pages/{_name(chance)}.md"] = f"{head}\n\n# {_words(chance)}\n".encode()
    for folder in ("", "pages/", "patterns/", *(f"instruments/{serial}/" for serial in draft.records)):
        draft.files[f"{folder}{_name(chance)}.{chance.choice(('txt', 'html', 'png', 'bak'))}"] = chance.randbytes(20)


def photographs(draft: Draft, chance: Chance) -> None:
    """What lies in photographs besides their pixels, their names (not their order), and drafts among them."""
    for serial, folder in _with_file(draft, _PHOTO):
        told = _told_besides(draft.files.pop(f"{folder}/{_PHOTO}"), chance)
        draft.files[f"{folder}/photos/{_name(chance)}.jpg"] = told
        if chance.random() < 0.5:
            name = f"{_name(chance)} draft.jpg"
            draft.files[f"{folder}/photos/{name}"] = saved(_photo(chance))
            draft.records[serial]["photos"] = {name: {"shows": _words(chance), "alt": _words(chance), "draft": "yes"}}


def recordings(draft: Draft, chance: Chance) -> None:
    """What lies in recordings besides their sound, their names, and drafts among them."""
    for serial, folder in _with_file(draft, _RECORDING):
        draft.files.pop(f"{folder}/{_RECORDING}")
        told = packed("mp3") if chance.random() < 0.3 else TOLD_BESIDES["mp3"](_name(chance))
        draft.files[f"{folder}/recordings/{_name(chance)}.mp3"] = told
        if chance.random() < 0.5:
            name = f"{_name(chance)} draft.wav"
            draft.files[f"{folder}/recordings/{name}"] = wav_of(chance.randbytes(40))
            draft.records[serial]["recordings"] = {
                name: {"plays": _words(chance), "by": _words(chance), "draft": "yes"}
            }


def _with_file(draft: Draft, name: str) -> list[tuple[str, str]]:
    """Serials and folders of the instruments that have this file."""
    folders = [(serial, f"instruments/{serial}") for serial in draft.records]
    return [(serial, folder) for serial, folder in folders if f"{folder}/{name}" in draft.files]


def _told_besides(photo: bytes, chance: Chance) -> bytes:
    """The same pixels with other words about them: segments of a JPEG right behind its beginning."""

    def segment(marker: int, content: bytes) -> bytes:
        return bytes((0xFF, marker)) + (len(content) + 2).to_bytes(2) + content

    besides = [
        segment(0xE1, exif(_name(chance))),
        segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + xmp(_name(chance))),
        iptc(_name(chance)),
        segment(0xFE, chance.randbytes(20)),
    ]
    return (
        photo[:2] + b"".join(chance.sample(besides, chance.randint(0, len(besides)))) + photo[2:] + chance.randbytes(9)
    )


def remarks(draft: Draft, chance: Chance) -> None:
    draft.remarks = chance
    above = f"---\n# {_words(chance)}\ntitle: Care # {_words(chance)}\n---\n\n# Care\n\nKeep it dry.\n"
    draft.files["pages/care.md"] = above.encode()


def order_of_keys(draft: Draft, chance: Chance) -> None:
    draft.order = chance


def times_of_files(draft: Draft, chance: Chance) -> None:
    draft.times = chance


#: All of them, those first that others build on.
VARIATIONS: Sequence[Callable[[Draft, Chance], None]] = (
    promises, steps_to_do, unused_entries, kept_fields, photographs, recordings, other_instruments,
    unlisted_instruments, patterns, room_log, stray_files, private_files, remarks, order_of_keys, times_of_files,
)  # fmt: skip


def write(draft: Draft, folder: Path) -> Path:
    """Write a draft as a shop."""
    records = folder / "records"
    shaped: list[tuple[str, Tree, Any]] = [("shop.yaml", draft.shop, Shop), ("wood.yaml", draft.rack, WoodRack)]
    shaped += [(f"instruments/{serial}/record.yaml", tree, Record) for serial, tree in draft.records.items()]
    files = {name: _as_file(tree, shape, draft).encode() for name, tree, shape in shaped}
    files[f"patterns/{PATTERN}.yaml"] = as_yaml(draft.pattern).encode()
    for name, content in (files | draft.files).items():
        path = records / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
        if draft.times is not None:
            moment = draft.times.randint(0, 2_000_000_000)
            os.utime(path, (moment, moment))
            os.utime(path.parent, (moment, moment))
    shutil.copy(REPOSITORY / "mkdocs.yml", folder / "mkdocs.yml")
    (folder / "mkdocs.yml").write_text((REPOSITORY / "mkdocs.yml").read_text("utf-8").replace("  - about.md\n", ""))
    return folder


def _as_file(tree: Tree, shape: Any, draft: Draft) -> str:
    """A file as a maker may write it: keys in any order, in quotes or not, with remarks between them."""
    if draft.order is not None:
        chance = draft.order
        tree = regrouped(tree, shape, lambda _, group: _mixed(group, chance))
        if chance.random() < 0.5:
            return json.dumps(tree, ensure_ascii=False, indent=1)
    text = as_yaml(tree)
    if draft.remarks is None:
        return text
    lines = []
    for line in text.split("\n"):
        if line[:1].isalpha() and draft.remarks.random() < 0.5:
            lines.append(f"# {_words(draft.remarks)}")
        lines.append(line)
    return "\n".join(lines)
