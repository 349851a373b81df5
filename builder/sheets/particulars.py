"""What an instrument is to be, as the workshop says it on paper: one label and one line for each thing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from builder.published import Measure, Published, PublishedCourse, PublishedString
from builder.templates import fixed
from builder.words import counted, in_a_row


@dataclass(frozen=True, slots=True)
class Said:
    """One thing and what is said of it."""

    label: str
    text: str


def specification_of(instrument: Published) -> tuple[Said, ...]:
    """Scale, frets, board, spacing, woods, fittings and finish, in this order; silent about what is not known."""
    return (
        *_scale(instrument), *_frets(instrument), *_board(instrument), *_spacing(instrument), *_woods(instrument),
        *(Said(_capital(part), words) for part, words in instrument.hardware), *_finish(instrument),
    )  # fmt: skip


def strings_in_words(instrument: Published) -> tuple[Said, ...]:
    """Each course with its strings, bass first: `Course 1` and `D3 0.022 in wound`."""
    if instrument.strings is None:
        return ()
    return tuple(
        Said(f"Course {number}", _course(course)) for number, course in enumerate(instrument.strings.courses, 1)
    )


def tunings_in_words(instrument: Published) -> str:
    """`D3 A3 D4 or D3 A3 A3`, bass first."""
    tunings = instrument.strings.tunings if instrument.strings else ()
    return " or ".join(" ".join(tuning.notes) for tuning in tunings)


def _scale(instrument: Published) -> Iterator[Said]:
    if instrument.scale_length:
        yield Said("Scale length", _both(instrument.scale_length))
    scales = instrument.multi_scale
    if scales:
        square = "the nut" if scales.square_at == "0" else f"fret {scales.square_at}"
        yield Said("Scale lengths", f"bass {scales.bass.said}, treble {scales.treble.said}, square at {square}")


def _frets(instrument: Published) -> Iterator[Said]:
    frets = instrument.frets
    if frets is None:
        return
    added = f", with {', '.join(frets.added)}" if frets.added and frets.layout == "diatonic" else ""
    zero = " and a zero fret" if frets.zero_fret else ""
    tempered = f"; {frets.temperament}" if frets.temperament != "equal" else ""
    yield Said("Frets", f"{frets.count}{zero}, {frets.layout}{added}{tempered}")
    for name, under in frets.partial:
        yield Said(f"Fret {name}", f"under {_counted_courses(under)} only, counted from the bass")
    if frets.wire:
        sizes = (
            ("crown", frets.wire.crown_width), ("high", frets.wire.crown_height), ("tang", frets.wire.tang),
            ("barb", frets.wire.barb),
        )  # fmt: skip
        words = [f"{what} {size.said}" for what, size in sizes if size]
        yield Said("Fret wire", ", ".join((frets.wire.name, *words)))
    depth = instrument.fretting.slot_depth if instrument.fretting else None
    slot = [f"{size.said} {what}" for size, what in ((frets.slot_width, "wide"), (depth, "deep")) if size]
    if slot:
        yield Said("Slots", ", ".join(slot))
    if instrument.fretting and instrument.fretting.fit:
        yield Said("Fit", instrument.fretting.fit)


def _counted_courses(under: tuple[int, ...]) -> str:
    return f"course{'' if len(under) == 1 else 's'} {in_a_row(map(str, under))}"


def _board(instrument: Published) -> Iterator[Said]:
    board = instrument.fretboard
    if board is None:
        return
    sizes = [f"{size.said} {what}" for size, what in ((board.length, "long"), (board.thickness, "thick")) if size]
    ends = ((board.width_at_nut, "at the nut"), (board.width_at_end, "at the end"))
    widths = [f"{size.said} {where}" for size, where in ends if size]
    if sizes:
        yield Said("Fretboard", ", ".join(sizes))
    if widths:
        yield Said("Its width", ", ".join(widths))
    if board.radius:
        yield Said("Its face", board.radius if board.radius == "flat" else f"radius {board.radius}")
    if board.markers:
        yield Said("Markers", f"at {in_a_row(board.markers)}")


def _spacing(instrument: Published) -> Iterator[Said]:
    spacing = instrument.spacing
    if spacing:
        spread = f"{spacing.at_nut.said} at the nut, {spacing.at_saddle.said} at the saddle, {spacing.rule}"
        yield Said("String spread", spread)


def _woods(instrument: Published) -> Iterator[Said]:
    for wood in instrument.woods:
        thickness = f"{wood.finished.said} thick" if wood.finished else None
        said = filter(None, (wood.species, wood.cut, thickness, wood.words))
        yield Said(_capital(wood.part), ", ".join(said))


def _finish(instrument: Published) -> Iterator[Said]:
    finish = instrument.finish
    if finish:
        coats = counted(finish.coats, "coat") if finish.coats else None
        yield Said("Finish", ", ".join(filter(None, (finish.schedule, coats))))


def _course(course: PublishedCourse) -> str:
    first, *others = course.strings
    said = _string(first)
    if not course.are_alike:
        said = " with ".join([said, *map(_string, others)])
    elif others:
        said = f"{said}, {len(course.strings)} alike"
    return f"{said}, from fret {course.starts_at}" if course.starts_at else said


def _string(string: PublishedString) -> str:
    if string.gauge_thousandths is None:
        return string.note
    decimals = 3 if string.gauge_thousandths.is_integer() else 4
    return f"{string.note} {fixed(string.gauge_thousandths / 1000, decimals)} in {string.make or ''}".rstrip()


def _both(measure: Measure) -> str:
    return f"{measure.said} ({measure.also})"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
