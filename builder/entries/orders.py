"""A new instrument, or several that are alike: their folders made whole, with the next serials, all or none."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from builder.editing import additions
from builder.editing.additions import Path as Field
from builder.editing.carried import carried_over
from builder.editing.layout import Plain, plain_of
from builder.entries.begun import Particulars, private_text, record_text
from builder.entries.keeping import OWN_FOLDER, PRIVATE, RECORD, HasErrors, Refused, refusal_of, usual_order
from builder.entries.questions import Question, questions_of_scale, questions_of_wood
from builder.entries.serials import next_serials
from builder.entries.starts import Start
from builder.lengths import NotUnderstood, Unit, read_length
from builder.problems import did_you_mean
from builder.reading.folder import InstrumentRead, instrument_folders, read_bytes, read_file, read_shop_folder
from builder.record import MultiScale, PrivateFile, Record
from builder.safe_files import new_folders_in, one_at_a_time, write_file
from builder.workshop import put_together

MOST_AT_ONCE = 99
_SCALE = "spec.scale_length"
_PLACE = re.compile(r"(.*?)\[(\d{1,4})\]", re.ASCII)
_PART = re.compile(r"spec\.(wood|hardware)\.([^.]+)")
#: How alike two parts must be for one of them to be a slip of the pen.
_A_SLIP = 0.7
#: Keys that the program sees to.
_OURS = {"format": "", "serial": "use --serial", "started_from": "", "batch": "use --batch"}


@dataclass(frozen=True, slots=True)
class Setting:
    """A value that is to be another than in what a record starts from: `spec.wood.back.species`, and what it is."""

    field: str
    value: str


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is wished of one or several new instruments. `buyer_of` is the serial whose buyer this one is for too."""

    particulars: Particulars = field(default_factory=Particulars)
    scale: str | None = None
    settings: tuple[Setting, ...] = ()
    buyer_of: str | None = None
    serial: str | None = None
    count: int = 1


@dataclass(frozen=True, slots=True)
class Begun:
    """New instruments that stand in their folders: what is to be decided, and what else is to be known of them."""

    serials: tuple[str, ...]
    start: Start
    questions: tuple[Question, ...]
    remarks: tuple[str, ...]


def begin(shop_folder: Path, start_from: Callable[[Unit], Start], wishes: Wishes, year: int) -> Begun:
    """Make the folders of new instruments, each with a record and a private file.

    `start_from` gives what they start from, in a shop of this unit. Raises Refused where something wished does not
    fit, HasErrors where a file it rests on has errors, InUse where another run keeps writing.
    """
    instruments = shop_folder / "records" / "instruments"
    with one_at_a_time(shop_folder / OWN_FOLDER), new_folders_in(instruments) as new:
        taken = instrument_folders(shop_folder)
        shop = read_shop_folder(shop_folder, private_files=False, only="").shop
        if shop.value is None:
            raise HasErrors(shop.problems)
        start = start_from(shop.value.unit)
        particulars = wishes.particulars
        if wishes.buyer_of:
            particulars = replace(particulars, buyer_text=_buyer_of(shop_folder, wishes.buyer_of, shop.value.unit))
        settings = _settings(start, wishes)
        questions = _questions(start, wishes, settings, shop.value.unit)
        serials = _serials(wishes, taken, year)
        remarks = list(start.remarks)
        for serial in serials:
            text = record_text(serial, start, particulars, questions, shop_folder)
            record, of_it = _with_settings(text.encode(), settings, start)
            private = private_text(particulars, shop_folder).encode()
            _prove(shop_folder, serial, record, private, shop.value.unit)
            write_file(new / serial / RECORD, record)
            write_file(new / serial / PRIVATE, private)
            remarks += [each for each in of_it if each not in remarks]
    return Begun(serials, start, questions, tuple(remarks))


def _serials(wishes: Wishes, taken: Sequence[str], year: int) -> tuple[str, ...]:
    if wishes.serial is None:
        return next_serials(taken, wishes.count, year)
    if wishes.serial.casefold() in {each.casefold() for each in taken}:
        raise Refused(f"there is an instrument «{wishes.serial}» already", "choose another serial")
    if wishes.count > 1:
        raise Refused("several instruments cannot have one serial", "leave --serial out")
    return (wishes.serial,)


def _settings(start: Start, wishes: Wishes) -> tuple[Setting, ...]:
    for each in wishes.settings:
        name = each.field.partition(".")[0]
        if name in _OURS:
            raise Refused(f"«{name}» is not set this way", _OURS[name])
        _refuse_slip(each.field, start)
    if wishes.scale is None or start.name is None:
        return wishes.settings
    if isinstance(start.spec.scale_length, MultiScale):
        hint = f"write --set {_SCALE}.bass=… and --set {_SCALE}.treble=…"
        raise Refused("this board has two scale lengths", hint)
    return (Setting(_SCALE, wishes.scale), *wishes.settings)


def _refuse_slip(field: str, start: Start) -> None:
    """Parts are named freely; one that is nearly a part of what the record starts from is a slip."""
    found = _PART.match(field)
    if found is None:
        return
    parts = [*(start.spec.wood if found[1] == "wood" else start.spec.hardware)]
    near = [each for each in parts if abs(len(each) - len(found[2])) <= 1]
    if found[2] not in parts and difflib.get_close_matches(found[2], near, n=1, cutoff=_A_SLIP):
        raise Refused(f"there is no part «{found[2]}» in {start.said}", did_you_mean(found[2], near))


def _questions(start: Start, wishes: Wishes, settings: Sequence[Setting], unit: Unit) -> tuple[Question, ...]:
    """What is to be decided, less what is decided by a wish."""
    fields = {each.field for each in settings}
    parts = {part for part in start.spec.wood for name in ("species", "billet") if f"spec.wood.{part}.{name}" in fields}
    found = [*(questions_of_wood(start.spec, parts) if start.is_instrument else ()), *start.questions]
    scale = next((each.value for each in settings if each.field == _SCALE), None)
    if scale is not None:
        try:
            found = [*questions_of_scale(start.spec, read_length(scale, unit), unit), *found]
        except NotUnderstood as trouble:
            raise Refused(f"scale_length: {trouble.message}", trouble.hint) from None
    return tuple(each for each in found if not any(f"{each.field}.".startswith(f"{name}.") for name in fields))


def _with_settings(content: bytes, settings: Sequence[Setting], start: Start) -> tuple[bytes, list[str]]:
    """A new record with the values that are wished, and what else that changed."""
    said: list[str] = []
    try:
        for each in settings:
            content = additions.set_value(
                content, _path_of(each.field), _value_of(each), usual_order(Record), replace=True
            )
        fields = {each.field for each in settings}
        for part, wood in start.spec.wood.items():
            place = f"spec.wood.{part}"
            if wood.billet and f"{place}.species" in fields and f"{place}.billet" not in fields:
                content = additions.without_key(content, ("spec", "wood", part, "billet"))
                said.append(f"{place}.billet is left behind: {wood.billet} is another wood")
    except additions.Refused as trouble:
        raise Refused(trouble.message, trouble.hint) from None
    return content, said


def _path_of(field: str) -> Field:
    """`spec.tunings[0]` as the steps to it."""
    path: list[str | int] = []
    for name in field.split("."):
        numbers: list[int] = []
        while found := _PLACE.fullmatch(name):
            name, number = found.groups()
            numbers.insert(0, int(number))
        path += [name, *numbers]
    if not all(path[:1]) or "" in path:
        raise Refused(f"«{field}» names no field", "write it like spec.wood.back.species")
    return tuple(path)


def _value_of(setting: Setting) -> Plain:
    """A value as it is written in a record: a list or group in brackets, else a text."""
    value = setting.value.strip()
    if not value:
        raise Refused(f"nothing is written after «{setting.field}=»", "write its value")
    if value[0] not in "[{":
        return value
    plain = plain_of(value)
    if plain is None or isinstance(plain, str):
        raise Refused(f"«{value}» is not closed properly", "close every bracket, and put the whole in quotes")
    return plain


def _buyer_of(shop_folder: Path, serial: str, unit: Unit) -> str:
    file = shop_folder / "records" / "instruments" / serial / PRIVATE
    if not file.exists():
        raise Refused(f"{serial} has no private file, and so no buyer", "name the buyer with --buyer")
    read = read_file(file, shop_folder, PrivateFile, unit)
    errors = tuple(each for each in read.problems if each.severity == "error")
    if errors:
        raise HasErrors(errors)
    text = carried_over(file.read_bytes(), "buyer").text
    if not text:
        raise Refused(f"the private file of {serial} names no buyer", "name the buyer with --buyer")
    return text


def _prove(shop_folder: Path, serial: str, record: bytes, private: bytes, unit: Unit) -> None:
    """Read the new files as they would stand in the shop; what is wrong with them is refused."""
    folder = f"records/instruments/{serial}"
    new = InstrumentRead(
        serial,
        read_bytes(record, f"{folder}/{RECORD}", Record, unit),
        read_bytes(private, f"{folder}/{PRIVATE}", PrivateFile, unit),
    )
    around = read_shop_folder(shop_folder, private_files=False, only="")
    workshop = put_together(replace(around, instruments=(new,), folders=(*around.folders, serial)))
    for problem in workshop.problems:
        if problem.severity == "error" and problem.file.startswith(f"{folder}/"):
            raise refusal_of(problem)
