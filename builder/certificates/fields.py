"""What a maker calls each value of `Published`, where it stands in a record, and how it is said in a line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from builder.published import Measure, PublishedCourse, PublishedEvent, PublishedString, PublishedTuning
from builder.templates import day_in_words, fixed
from builder.words import in_a_row


def in_words(value: Any) -> str:
    """A value as it is read: nothing for what is not known."""
    if isinstance(value, Measure):
        return f"{value.said} ({value.also})" if value.also else value.said
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return fixed(value, 3).rstrip("0").rstrip(".")
    if isinstance(value, tuple):
        return in_a_row(map(in_words, value)) if value else ""
    return "" if value is None else str(value)


def _day(value: str | None) -> str:
    return day_in_words(value) if value else ""


def _partial(frets: Sequence[tuple[str, tuple[int, ...]]]) -> str:
    return "; ".join(f"{name} under {in_a_row(map(str, courses))}" for name, courses in frets)


def _string(string: PublishedString) -> str:
    gauge = string.gauge_thousandths
    inches = "" if gauge is None else f"{fixed(gauge / 1000, 3 if gauge.is_integer() else 4)} in"
    return " ".join(filter(None, (string.note, inches, string.make)))


def course_in_words(course: PublishedCourse) -> str:
    """`D4 0.010 in plain steel + D5 …`, and where a short string starts."""
    start = f" from fret {course.starts_at}" if course.starts_at else ""
    return " + ".join(map(_string, course.strings)) + start


def tuning_in_words(tuning: PublishedTuning) -> str:
    """`D3 A3 D4 in D`."""
    return f"{' '.join(tuning.notes)} in {tuning.key}"


def event_in_words(event: PublishedEvent) -> str:
    """An entry of the build log without its day."""
    return ", ".join(filter(None, (event.time, event.did, event.with_product, event.room)))


#: Name in `Published` ─► what a maker calls it, where it stands in the record, and how it is said.
WRITTEN: tuple[tuple[str, str, str, Callable[[Any], str]], ...] = (
    ("name", "Name", "name", in_words),
    ("kind", "Kind", "kind", in_words),
    ("made_by", "Maker", "made_by", in_words),
    ("batch", "Batch", "batch", in_words),
    ("batch", "Batch", "batch", in_words),
    ("ordered", "Ordered", "dates.ordered", _day),
    ("finished", "Finished", "dates.finished", _day),
    ("delivered", "Handed over", "dates.delivered", _day),
    ("scale_length", "Scale length", "spec.scale_length", in_words),
    ("multi_scale.bass", "Scale length, bass", "spec.scale_length.bass", in_words),
    ("multi_scale.treble", "Scale length, treble", "spec.scale_length.treble", in_words),
    ("multi_scale.square_at", "Square to the board at fret", "spec.scale_length.square_at", in_words),
    ("frets.layout", "Layout of the frets", "spec.frets.layout", in_words),
    ("frets.last", "Last fret", "spec.frets.last", in_words),
    ("frets.count", "Number of frets", "spec.frets", in_words),
    ("frets.added", "Added frets", "spec.frets.add", in_words),
    ("frets.temperament", "Temperament", "spec.frets.temperament", in_words),
    ("frets.partial", "Frets under some strings only", "spec.frets.partial", _partial),
    ("frets.zero_fret", "Zero fret", "spec.frets.zero_fret", in_words),
    ("frets.slot_width", "Fret slot", "spec.frets.slot_width", in_words),
    ("frets.wire.name", "Fret wire", "spec.frets.wire", in_words),
    ("frets.wire.material", "Fret wire, material", "spec.frets.wire", in_words),
    ("frets.wire.crown_width", "Fret wire, crown width", "spec.frets.wire", in_words),
    ("frets.wire.crown_height", "Fret wire, crown height", "spec.frets.wire", in_words),
    ("frets.wire.tang", "Fret wire, tang", "spec.frets.wire", in_words),
    ("frets.wire.barb", "Fret wire, over the barbs", "spec.frets.wire", in_words),
    ("frets.wire.tang_depth", "Fret wire, depth of the tang", "spec.frets.wire", in_words),
    ("fretboard.length", "Fretboard length", "spec.fretboard.length", in_words),
    ("fretboard.thickness", "Fretboard thickness", "spec.fretboard.thickness", in_words),
    ("fretboard.width_at_nut", "Width at the nut", "spec.fretboard.width_at_nut", in_words),
    ("fretboard.width_at_end", "Width at the end", "spec.fretboard.width_at_end", in_words),
    ("fretboard.radius", "Fretboard radius", "spec.fretboard.radius", in_words),
    ("fretboard.markers", "Markers at fret", "spec.fretboard.markers", in_words),
    ("strings.set_name", "Set of strings", "spec.strings", in_words),
    ("strings.fastens", "How the strings fasten", "spec.strings", in_words),
    ("strings.concert_pitch_hz", "Concert pitch in Hz", "spec.tunings", in_words),
    ("spacing.rule", "How the strings are spaced", "spec.spacing.rule", in_words),
    ("spacing.at_nut", "Strings from outer to outer at the nut", "spec.spacing.at_nut", in_words),
    ("spacing.at_saddle", "Strings from outer to outer at the saddle", "spec.spacing.at_saddle", in_words),
    ("reach.hand_span", "Span of the hand", "spec.reach.hand_span", in_words),
    ("finish.schedule", "Finish", "spec.finish.schedule", in_words),
    ("finish.product", "Finish, product", "spec.finish.schedule", in_words),
    ("finish.coats", "Finish, coats", "spec.finish.schedule", in_words),
    ("finish.words", "Finish, in words", "spec.finish.words", in_words),
    ("story", "Story", "story", in_words),
)  # fmt: skip

#: The same for single values that are worked out.
WORKED_OUT: tuple[tuple[str, str, str], ...] = (
    ("multi_scale.greatest_lean_degrees", "Greatest lean of a fret, degrees", "spec.scale_length"),
    ("frets.half_kerf_cents", "Worst of sawing beside the line, cents", "spec.frets.slot_width"),
    ("frets.measured_along", "Frets measured along", "spec.frets"),
    ("spacing.bass_margin", "From the bass string to the edge", "spec.spacing"),
    ("spacing.treble_margin", "From the treble string to the edge", "spec.spacing"),
    ("fretting.fit", "Slot and wire", "spec.frets.slot_width"),
    ("fretting.slot_depth", "Slot depth, at least", "spec.frets.slot_depth"),
    ("fretting.wire_to_buy", "Wire to buy", "spec.frets"),
)

#: Name of a table in `Published` ─► its heading on the page, and the field it comes from.
TABLES: tuple[tuple[str, str, str], ...] = (
    ("frets.table", "Where the frets are", "spec.frets"),
    ("frets.rule_costs", "What each rule would cost", "spec.frets"),
    ("frets.stepped", "The rule moved along from fret to fret", "spec.frets"),
    ("frets.tuning", "How it is tempered", "spec.frets.temperament"),
    ("spacing.table", "How the strings lie", "spec.spacing"),
    ("reach.table", "Reach", "spec.reach"),
)

#: Parts of a wood ─► what they are called.
OF_A_WOOD = (
    ("species", "wood"), ("botanical", "botanical name"), ("origin", "origin"), ("country", "country"),
    ("cut", "cut"),
    ("finished", "thickness"), ("words", "in words"),
)  # fmt: skip

#: Kind of an entry in the build log ─► where it stands in the record.
LOGGED_IN = {"step": "build.steps", "glue-up": "build.glue_ups", "coat": "build.coats", "note": "build.log"}

#: Subject ─► where in the record its figures come from.
FIELD_OF_SUBJECT = {
    "seasons": "spec.wood", "body": "spec.body", "string-pull": "spec.strings", "setback": "spec.setup",
    "as-built": "as_built",
}  # fmt: skip

#: Sources of facts that say what is written or was measured, not what follows from it.
SOURCES_OF_WHAT_IS_WRITTEN = {"record", "shop", "outline", "as-built", "reading-error", "rocker"}

#: Beginning of the key of a fact ─► the same, where it is known more nearly.
_FIELD_OF_FACT = {
    "weight": "as_built.weight", "action_": "as_built.setup.action", "relief": "as_built.setup.relief",
    "octave_": "as_built.setup.cents_at_octave",
}  # fmt: skip


def field_of_fact(subject: str, fact: str) -> str:
    """Where in the record a fact of a subject comes from, as nearly as it is known."""
    nearly = (field for key, field in _FIELD_OF_FACT.items() if subject == "as-built" and fact.startswith(key))
    return next(nearly, FIELD_OF_SUBJECT.get(subject, "spec"))
