"""A shop in which everything that can carry a word says one that stands nowhere else: its canary.

The demo is taken and every text of every file is changed for a canary, whatever field it stands in; what names
something elsewhere (a billet, a rule) gets the canary of that name. Fields that the demo leaves open are written too.
So whatever is found in a site tells by itself where it came from.
"""

from __future__ import annotations

import copy
import datetime
import shutil
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builder.certificates.issuing import issue_files, store
from builder.certificates.standing import certificate_folder
from builder.limits import Serial, WebAddress
from builder.publish import publish, publish_shop
from builder.reading.address import ADDRESS_FILE
from builder.record import WOODEN_PARTS, FinishSpec, FretSpec, GlueUp, Pattern, Record, Spec, TemperamentSpec, WoodSpec
from builder.record.as_built import RuleUsed
from builder.record.body import OutlineSpec
from builder.record.order import Order
from builder.record.repair import Repair
from builder.shop import Shop
from builder.workshop import open_shop
from tests.privacy.canaries import EVERYBODY, NOBODY, Place, Planted
from tests.privacy.decisions import (
    FIELDS,
    KEPT_WHOLE,
    PRIVATE_FILES,
    WITH_PUBLISHED_FIELDS,
    is_leaf_published,
    is_published,
)
from tests.privacy.other_files import (
    plant_mark,
    plant_outlines,
    plant_photographs,
    plant_prose,
    plant_recordings,
    plant_room_log,
    plant_stray_files,
    said,
)
from tests.privacy.trees import WITH_WORDS, Leaf, Tree, as_yaml, hints_of, leaf_kinds_in, read_tree, rewritten
from tests.privacy.writings import writings
from tests.shops import copy_demo

#: Entries that instruments name: each stands twice in the planted shop, once for those that buyers may see.
_NAMED = ("string_sets", "fret_wires", "finish_schedules", "glues", "billets")
#: Fields that must agree with something elsewhere, and so are never written where the demo leaves them open.
_AGREEING = {
    (Record, "started_from"), (Spec, "strings"), (FretSpec, "wire"), (FinishSpec, "schedule"), (WoodSpec, "billet"),
    (WoodSpec, "species"), (GlueUp, "glue"), (Shop, "working_rule"), (OutlineSpec, "traced"), (TemperamentSpec, "just"),
    (Order, "options"), (Order, "returned"),
}  # fmt: skip
#: Fields that stay as they are: a list of ratios that the house has, and the serials of instruments that buyers see.
LEFT_AS_THEY_ARE: set[tuple[type[Any], str]] = {(TemperamentSpec, "just"), (Record, "serial")}

#: Where the canary of a name is noted first, before the places it stands in.
NAMES = "names"

#: Groups of words by the name of a file, which gets its canary where that file is planted.
_OF_FILES = {(Record, "photos"), (Record, "recordings")}

_DAYS = (datetime.date, datetime.datetime)

#: How the addresses begin that copies had before, or will have: none is read anywhere.
ENDING = "qqqq0000wwww1111zzzz2222x"

_PUBLIC = {"visibility": "public", "dates": {"finished": "2026-06-28", "delivered": "2026-07-03"}}
#: Instruments of the demo once more, as buyers may not see them; and as they may, those that they may not.
_COPIES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("2024-003", {"visibility": "shop only"}),
    ("2025-002", {"dates": {"ordered": "2024-02-10", "promised": "2171-03-17"}}),
    ("2023-002", {"dates": {"ordered": "2024-02-10", "finished": "2024-06-28"}}),
    ("2024-005", {"visibility": "unlisted", "dates": {"finished": "2024-06-28"}}),
    ("2026-001", _PUBLIC),
    ("2026-004", _PUBLIC),
)


def plant(folder: Path, only: Collection[str] | None = None) -> Planted:
    """The demo with canaries everywhere, in a folder whose name is one too; `only` names the instruments to take."""
    planted = Planted(Path())
    planted.shop = shop = copy_demo(folder / planted.canary("the folder", "name"), only=only)
    records = shop / "records"
    for certificate in records.glob("instruments/*/certificate"):
        shutil.rmtree(certificate)  # what was issued before shows no canary
    for number, (serial, change) in enumerate(_COPIES if only is None else ()):
        tree = read_tree((records / "instruments" / serial / "record.yaml").read_text("utf-8"))
        folder = records / "instruments" / f"0-{number}"
        for beside in ("photos", "recordings"):
            if (records / "instruments" / serial / beside).is_dir():
                shutil.copytree(records / "instruments" / serial / beside, folder / beside)
        if change is not _PUBLIC:
            (folder / ADDRESS_FILE).write_text(f"{ENDING}{number}\n", "utf-8")
        (folder / "record.yaml").write_text(as_yaml({**tree, **change, "serial": folder.name}), "utf-8")
    _Planting(planted, records).all()
    return planted


def issue_some(shop: Path) -> None:
    """Certificates of half of those that buyers see; the others show what their records say."""
    workshop = open_shop(shop, private_files=True)
    assert workshop.shop, workshop.problems
    for each in [each for each in workshop.instruments if each.record.is_for_buyers][::2]:
        files = issue_files(publish(each, workshop.shop), publish_shop(workshop.shop), "2026-11-01")
        store(certificate_folder(each, shop), files, instead_of=None)


class _Planting:
    def __init__(self, planted: Planted, records: Path) -> None:
        self.planted, self.records = planted, records
        self.names: dict[str, str] = {}
        self.pattern = ""

    def all(self) -> None:
        """Every file of the shop, those first that others name things of."""
        trees = {path: read_tree(path.read_text("utf-8")) for path in sorted(self.records.rglob("*.yaml"))}
        self._double(trees)
        self._collect_names(trees)
        for plant_files in (plant_outlines, plant_photographs, plant_recordings, plant_mark):
            self.names |= plant_files(self.planted, self.records)
        for path, tree in trees.items():
            file, shape = self._said(path), self._shape(path)
            planted = rewritten(tree, shape, _Rewriting(self, file, self._reader(path, tree)), _grows)
            path.write_text(self._with_remarks(file, as_yaml(planted)), "utf-8")
            if shape is Pattern:
                path.rename(path.with_name(f"{self.names[path.stem]}.yaml"))
            if shape is Repair:
                path.rename(path.with_name(f"{planted['ticket']}.yaml"))
            if shape is Record:
                self._private_files(path.parent)
                if planted["serial"] != path.parent.name:
                    path.parent.rename(path.parent.with_name(planted["serial"]))
        plant_room_log(self.planted, self.records)
        plant_prose(self.planted, self.records)
        plant_stray_files(self.planted, self.records)

    def _double(self, trees: Mapping[Path, Tree]) -> None:
        """Every entry that instruments name once more, for those that are not for buyers."""
        for path, tree in trees.items():
            if path.name in ("shop.yaml", "wood.yaml"):
                for group in _NAMED:
                    entries = tree.get(group, {})
                    entries.update({_for_the_shop(name): copy.deepcopy(entry) for name, entry in entries.items()})

    def _collect_names(self, trees: Mapping[Path, Tree]) -> None:
        """A canary for every name that may be named elsewhere."""

        def note(leaf: Leaf, text: str | None) -> str | None:
            is_rule = text is not None and leaf.path.startswith("rules[") and leaf.path.endswith(".name")
            is_entry = leaf.is_name and leaf.may_hold_words and leaf.owner_and_field not in _OF_FILES
            if text is not None and (is_entry or is_rule) and text not in WOODEN_PARTS:
                self.names.setdefault(text, self.planted.canary(NAMES, text))
            return text

        for path, tree in trees.items():
            rewritten(tree, self._shape(path), note)
            if self._shape(path) is Pattern:
                self.pattern = path.stem
                self.names[path.stem] = self.planted.canary(self._said(path), "name of the file")

    def _reader(self, path: Path, tree: Tree) -> str:
        """Who may read what is published of a file."""
        if path.name in ("shop.yaml", "wood.yaml"):
            return EVERYBODY
        visibility, dates = tree.get("visibility", "public"), tree.get("dates", {})
        if self._shape(path) is not Record or visibility == "shop only" or not {"finished", "delivered"} <= {*dates}:
            return NOBODY
        if visibility == "public":
            return EVERYBODY
        ending = (path.parent / ADDRESS_FILE).read_text("utf-8").strip()
        return self.planted.unlisted.setdefault(tree["serial"], ending)

    def _with_remarks(self, file: str, text: str) -> str:
        """The file with a remark above every key of the first order, and one behind the first line."""
        lines = []
        for line in text.split("\n"):
            if line[:1].isalpha():
                lines.append(f"# {self.planted.canary(file, 'remark')}")
            lines.append(line)
        lines[1] += f"  # {self.planted.canary(file, 'remark on a line')}"
        return "\n".join(lines)

    def _private_files(self, folder: Path) -> None:
        """A private file for every instrument that has none, every field of it, from its shape alone."""
        for shape in PRIVATE_FILES:
            path = folder / Path(KEPT_WHOLE[shape]).name
            if KEPT_WHOLE[shape].startswith("instruments/") and not path.exists():
                grown = rewritten({"format": "1"}, shape, _Rewriting(self, self._said(path), NOBODY), _grows)
                path.write_text(self._with_remarks(self._said(path), as_yaml(grown)), "utf-8")

    def _said(self, path: Path) -> str:
        return said(path, self.records)

    def _shape(self, path: Path) -> Any:
        places = {**WITH_PUBLISHED_FIELDS, **KEPT_WHOLE}
        fitting = [shape for shape, place in places.items() if path.relative_to(self.records).match(place)]
        # `private.yaml` lies in two places.
        return max(fitting, key=lambda shape: len(places[shape]))


@dataclass(frozen=True)
class _Rewriting:
    """What becomes of every leaf of one file, whose published fields `reader` may read."""

    planting: _Planting
    file: str
    reader: str

    def __call__(self, leaf: Leaf, text: str | None) -> str | None:
        if not leaf.may_hold_words:
            return self._without_words(leaf, text)
        if self._stays(leaf, text):
            return text
        if canary := self.planting.names.get(self._named(leaf, text)):
            # The name of an entry is read by nobody until an instrument for buyers names it.
            is_read_here = not leaf.is_name or self.file.startswith("instruments")
            self.planting.planted.note(canary, self._place(leaf, is_read_here=is_read_here))
            return canary
        canary = self.planting.planted.new()
        self.planting.planted.note(canary, self._place(leaf))
        return f"https://{canary}.example.org/" if leaf.kind is WebAddress else canary

    def _without_words(self, leaf: Leaf, text: str | None) -> str | None:
        """A day that is kept becomes one of a year that nothing else is of; what a kept group wants is filled in."""
        if text is None and leaf.owner_and_field in _AGREEING:
            return None
        is_private = leaf.fields[0][0] in PRIVATE_FILES
        is_kept_day = leaf.kind in _DAYS and (is_private or any(_is_kept_field(*each) for each in leaf.fields))
        is_wanted = text is None and (is_private or any(_is_kept_field(*each) for each in leaf.fields[:-1]))
        return writings(leaf.kind, leaf.limit)[0] if is_kept_day or is_wanted else text

    def _stays(self, leaf: Leaf, text: str | None) -> bool:
        field = leaf.owner_and_field
        if text is None:
            return field in _AGREEING or leaf.kind in (Serial, RuleUsed)
        if field in LEFT_AS_THEY_ARE:
            return bool(self.reader) or leaf.kind is not Serial
        if text in WOODEN_PARTS and (leaf.is_name or field == (GlueUp, "parts")):
            return True
        return leaf.kind is RuleUsed and text not in self.planting.names

    def _named(self, leaf: Leaf, text: str | None) -> str:
        """What a leaf names elsewhere, if it does: an instrument that is not for buyers names what only such name."""
        if leaf.owner_and_field == (Record, "started_from"):
            return self.planting.pattern
        for_the_shop = _for_the_shop(text or "")
        is_doubled = leaf.owner_and_field in _AGREEING and for_the_shop in self.planting.names
        return for_the_shop if is_doubled and not self.reader else text or ""

    def _place(self, leaf: Leaf, *, is_read_here: bool = True) -> Place:
        reader = self.reader if is_read_here and is_leaf_published(leaf) else NOBODY
        names = tuple(name for name in leaf.names if name in self.planting.planted.places)
        return Place(self.file, leaf.path, reader, names, leaf)


def _is_kept_field(owner: type[Any], name: str) -> bool:
    return owner in FIELDS and not is_published(owner, name)


def _grows(owner: type[Any], name: str) -> bool:
    """Whether a group that is not written is written all the same: any of a private file, and kept ones with words."""
    if owner not in FIELDS and owner is not Pattern:
        return True
    return _is_kept_field(owner, name) and not WITH_WORDS.isdisjoint(leaf_kinds_in(hints_of(owner)[name]))


def _for_the_shop(name: str) -> str:
    return f"{name} for the shop"
