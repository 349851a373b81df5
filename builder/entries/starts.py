"""What a new record starts from: a house pattern, an earlier instrument, or nothing but a kind.

The specification is carried over as text, with its comments. What was measured on the earlier one's wood is not, for it
is not that of the new one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from builder.editing import additions
from builder.editing.carried import Carried, carried_over
from builder.entries.keeping import RECORD, HasErrors, Refused
from builder.entries.questions import Question
from builder.lengths import Unit
from builder.problems import did_you_mean
from builder.reading.folder import ShopRead, read_shop_folder
from builder.record import Pattern, Record, Spec, Visibility
from builder.workshop import put_together

#: What is measured on a piece of wood, and so belongs to that piece.
_OF_THE_PIECE = ("moisture", "scrap", "rested_in")


@dataclass(frozen=True, slots=True)
class Start:
    """What a new record starts from: an instrument, where `is_instrument` says so, else a pattern or nothing.

    `said` names it for people, `name` for the record; None where it is blank. `spec_text` are the lines of its `spec`,
    `steps` the names of its steps. `questions` are to be decided whatever is wished; `remarks` say what was left
    behind, or could not be carried over as it stood.
    """

    said: str
    name: str | None
    kind: str
    spec: Spec
    spec_text: str
    is_instrument: bool = False
    steps: tuple[str, ...] = ()
    visibility: Visibility = "public"
    questions: tuple[Question, ...] = ()
    remarks: tuple[str, ...] = ()


def from_instrument(shop_folder: Path, serial: str) -> Start:
    """An earlier instrument. Raises HasErrors where its record has errors."""
    content = _bytes_of(shop_folder / "records" / "instruments" / serial / RECORD)
    read = read_shop_folder(shop_folder, private_files=False, only=serial)
    record = _sound(read, f"records/instruments/{serial}/")
    carried = carried_over(content, "spec")
    text, left, kept = _without_measurements(carried.text, record.spec)
    remarks = list(_remarks(carried, serial))
    if left:
        remarks.append(f"left behind, since it was measured on the wood of {serial}: {', '.join(left)}")
    questions = list(kept)
    if record.visibility != "public":
        words = f"{serial} is {record.visibility}, and so is this one until you decide otherwise"
        questions.append(Question("visibility", words))
    said = f"{serial} ({record.name})" if record.name else serial
    steps = tuple(dict.fromkeys(each.step for each in record.build.steps))
    pattern = read.patterns.get(record.started_from or "")
    if not steps and pattern is not None:
        steps = _steps_of(pattern.value)
    return Start(
        said, serial, record.kind, record.spec, text, True, steps, record.visibility, tuple(questions), tuple(remarks)
    )  # fmt: skip


def from_pattern(shop_folder: Path, name: str) -> Start:
    """A house pattern by the name of its file. Raises Refused where there is none, HasErrors where it has errors."""
    read = read_shop_folder(shop_folder, private_files=False, only="")
    if name not in read.patterns:
        hint = did_you_mean(name, read.patterns) or "patterns stand in records/patterns"
        raise Refused(f"there is no pattern «{name}»", hint)
    file = read.patterns[name].file
    errors = tuple(each for each in put_together(read).problems if each.file == file and each.severity == "error")
    pattern = read.patterns[name].value
    if errors or pattern is None:
        raise HasErrors(errors)
    carried = carried_over(_bytes_of(shop_folder / file), "spec")
    return Start(
        f"the pattern {name} ({pattern.name})", name, pattern.kind, pattern.spec, carried.text,
        steps=_steps_of(pattern), remarks=tuple(_remarks(carried, name)),
    )  # fmt: skip


def blank(kind: str, scale: str | None, unit: Unit) -> Start:
    """Nothing but a kind: a specification of comments that say what may stand there."""
    return Start("nothing", None, kind, Spec(), _blank_spec(scale, unit))


def _steps_of(pattern: Pattern | None) -> tuple[str, ...]:
    """The names of a pattern's steps, each once."""
    return tuple(dict.fromkeys(each.step for each in pattern.steps)) if pattern else ()


def _bytes_of(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError:
        return b""  # the readers say what is wrong with it


def _sound(read: ShopRead, place: str) -> Record:
    workshop = put_together(read)
    of_it = (each for each in workshop.problems if each.file.startswith(place) and each.severity == "error")
    errors = (*(each for each in read.shop.problems if each.severity == "error"), *of_it)
    if errors or not workshop.instruments:
        raise HasErrors(errors)
    return workshop.instruments[0].record


def _remarks(carried: Carried, name: str) -> Iterator[str]:
    if not carried.with_comments:
        yield f"the layout of {name} could not be carried over: its specification is written anew, without comments"


def _without_measurements(text: str, spec: Spec) -> tuple[str, list[str], list[Question]]:
    """The specification without what was measured on the old wood; what was left behind, and what could not be."""
    content, left, kept = text.encode(), [], []
    for part, wood in spec.wood.items():
        for name in _OF_THE_PIECE:
            if getattr(wood, name) is None:
                continue
            words = f"{name.replace('_', ' ')} of the {part}"
            try:
                content = additions.without_key(content, ("spec", "wood", part, name))
                left.append(words)
            except additions.Refused:
                question = f"{words} was measured on the earlier one; measure it again, or take it out"
                kept.append(Question(f"spec.wood.{part}.{name}", question))
    return content.decode(), left, kept


def _blank_spec(scale: str | None, unit: Unit) -> str:
    example, width = ("27 in", "1 1/2 in") if unit == "in" else ("650 mm", "52 mm")
    scale_line = f"  scale_length: {scale}" if scale else f"  # scale_length: {example}"
    return f"""\
spec:
{scale_line:<36} # nominal: twice the distance from nut to octave fret
  # What else is settled, as you settle it; a page says nothing about what is left out.
  # frets: {{layout: chromatic, last: 18}}          # or: {{layout: diatonic, add: [6½], last: 17}}
  # fretboard: {{width_at_nut: {width}, radius: flat, markers: [3, 5, 7]}}
  # strings: [D3 22w, A3 12, D4 10 x2]            # bass first; or the name of a set in shop.yaml
  # tunings: [D3 A3 D4]
  # wood:
  #   soundboard: {{species: red spruce, cut: quartersawn}}
  #   back: {{billet: W-001}}                       # a number of the rack, or species: and a name
  # hardware: {{nut: bone, saddle: bone}}
  # finish: {{schedule: oil varnish}}               # a name from shop.yaml
"""
