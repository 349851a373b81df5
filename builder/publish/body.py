"""What is published of the body: its size and what is in it for the buyer, what to cut and bend for the bench."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit, trimmed
from builder.publish.measures import in_unit, kept, length_column, measure_mm
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.published.body import PublishedBodyDrawing, PublishedBrace, PublishedHole
from builder.record import Spec
from builder.results.body import AIR_CELSIUS, LONGER_MM, WIDER_MM, BodyResults, SideResults
from builder.results.linings import LiningResults
from builder.words import counted, in_a_row

_MANY = {
    "circle": "round hole", "ellipse": "oval", "slot": "slot", "rectangle": "rectangle", "diamond": "diamond",
    "heart": "heart",
}  # fmt: skip
_MM3_PER_LITRE, _MM3_PER_CUBIC_INCH = 1e6, 25.4**3
_AIR_NOTE = (
    "The note of the air is rough: it is that of a bottle with rigid walls. The plates of an instrument give way, and "
    "its air sounds lower, often by a tenth or more."
)


def body_of(results: BodyResults | Missing, spec: Spec, unit: Unit) -> Figures | None:
    """The body for a buyer: size, sound holes, the room inside and, roughly, its note; None where nothing is known."""
    if isinstance(results, Missing):
        return None
    return Figures(
        facts=(*_sizes(results, spec, unit), *_holes(results, spec), *_room(results, unit), *_air(results)),
        notes=(_AIR_NOTE,) if results.air_hz is not None else (),
    )


def body_for_the_bench_of(results: BodyResults | Missing, spec: Spec, unit: Unit) -> Figures | None:
    """The body for the bench: what to cut sides and linings from, where they bend most, the line inside the sides."""
    if isinstance(results, Missing):
        return None
    facts: list[Figure] = []
    tables: list[FigureTable] = []
    notes: list[str] = []
    facts += _length("perimeter", "Once round the body", results.outline.perimeter_mm, unit, "outline")
    if results.sides:
        facts += _sides(results.sides, unit)
        tables += _widths(results.sides, unit)
        notes.append(
            f"The blank of a side has {_said(LONGER_MM, unit)} to spare in length, both ends together, and "
            f"{_said(WIDER_MM, unit)} in width."
            if results.sides.widths
            else f"The blank of a side has {_said(LONGER_MM, unit)} to spare in length, both ends together."
        )
    if results.inside:
        title = "Once round inside the sides"
        facts += _length("inside_perimeter", title, results.inside.perimeter_mm, unit, "offset")
        facts += _length("inside_width", "Greatest width inside", results.inside.width_mm, unit, "offset")
    if results.linings:
        facts += _linings(results.linings, unit)
        tables += _runs(results.linings, unit)
    if results.linings and results.linings.kerf_spacing_mm is not None:
        notes.append("Kerfs further apart than this close before the lining has taken the tightest bend.")
    facts += _taken(results, unit)
    return Figures(facts=tuple(facts), tables=tuple(tables), notes=tuple(notes))


def body_drawing_of(results: BodyResults | Missing) -> PublishedBodyDrawing | None:
    """The body to scale; None where its outline is not known."""
    if isinstance(results, Missing):
        return None
    lines, outline = results.drawn(), results.outline
    return PublishedBodyDrawing(
        length_mm=kept(outline.length_mm),
        width_mm=kept(outline.width_mm),
        outline=_places(lines.outline),
        inside=_places(lines.inside),
        linings=_places(lines.linings),
        blocks=tuple(map(_places, lines.blocks)),
        holes=tuple(
            PublishedHole(each.plate == "soundboard", _places(edge))
            for each, edge in zip(results.holes, lines.holes, strict=True)
        ),
        braces=tuple(PublishedBrace(each.plate == "soundboard", _places(each.corners)) for each in results.braces),
        centre=(kept(outline.tail_mm), kept(outline.head_mm)),
        saddle=None if results.saddle_mm is None else kept(results.saddle_mm),
        nut=None if results.nut_mm is None else kept(results.nut_mm),
    )


def _places(spots: Iterable[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    return tuple((round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in spots)


def _said(mm: float, unit: Unit) -> str:
    return measure_mm(mm, unit).said


def _length(key: str, title: str, mm: float, unit: Unit, source: str, more: str = "") -> Iterator[Figure]:
    said = measure_mm(mm, unit)
    yield Figure(key, title, said.said + more, said.also, kept(mm), "mm", source)


def _sizes(results: BodyResults, spec: Spec, unit: Unit) -> Iterator[Figure]:
    yield from _length("length", "Length of the body", results.outline.length_mm, unit, "outline")
    yield from _length("width", "Greatest width", results.outline.width_mm, unit, "outline")
    if results.depth is None:
        return
    ends, what = (results.depth.outside_mm, "") if results.depth.outside_mm else (results.depth.inside_mm, " inside")
    if ends[0] == ends[1]:
        yield from _length("depth", f"Depth{what}", ends[0], unit, "record")
        return
    tail, head = (measure_mm(mm, unit) for mm in ends)
    words = f"{tail.said} at the tail, {head.said} at the head"
    yield Figure("depth", f"Depth{what}", words, f"{tail.also}, {head.also}", kept(ends[0]), "mm")


def _holes(results: BodyResults, spec: Spec) -> Iterator[Figure]:
    """`two hearts and an oval in the soundboard`."""
    if not spec.body or not results.holes:
        return
    said = []
    for plate in ("soundboard", "back"):
        shapes = [spec.body.sound_holes[each.entry].shape for each in results.holes if each.plate == plate]
        if shapes:
            counts = [counted(shapes.count(shape), _MANY[shape]) for shape in dict.fromkeys(shapes)]
            said.append(f"{in_a_row(counts)} in the {plate}")
    yield Figure("sound_holes", "Sound holes", in_a_row(said), value=float(len(results.holes)))


def _room(results: BodyResults, unit: Unit) -> Iterator[Figure]:
    if results.volume is None:
        return
    volume = results.volume.net_mm3
    litres, cubic_inches = _litres(volume), f"{trimmed(volume / _MM3_PER_CUBIC_INCH, 0)} cubic inches"
    said, also = (cubic_inches, litres) if unit == "in" else (litres, cubic_inches)
    yield Figure("room", "Room inside", said, also, kept(volume / _MM3_PER_LITRE), "l", "volume")


def _litres(mm3: float) -> str:
    return f"{trimmed(mm3 / _MM3_PER_LITRE, 1 if mm3 >= _MM3_PER_LITRE else 2)} litres"


def _air(results: BodyResults) -> Iterator[Figure]:
    if results.air_hz is None:
        return
    rough = 5.0 * round(results.air_hz / 5)
    words = f"at {trimmed(AIR_CELSIUS, 0)} °C"
    yield Figure("air", "Note of the air", f"roughly {trimmed(rough, 0)} Hz", words, rough, "Hz", "helmholtz")


def _sides(sides: SideResults, unit: Unit) -> Iterator[Figure]:
    bass, treble = sides.sides.bass.length_mm, sides.sides.treble.length_mm
    if abs(bass - treble) < 0.05:
        yield from _length("side", "Along each side", bass, unit, "outline")
    else:
        yield from _length("side_bass", "Along the bass side", bass, unit, "outline")
        yield from _length("side_treble", "Along the treble side", treble, unit, "outline")
    yield from _length("blank_length", "Blank of a side, length", sides.blank_length_mm, unit, "side-blanks")
    if sides.blank_width_mm is not None:
        yield from _length("blank_width", "Blank of a side, width", sides.blank_width_mm, unit, "side-blanks")
    if sides.bend is not None and sides.bend_from_tail_mm is not None:
        radius, place = measure_mm(sides.bend.radius_mm, unit), measure_mm(sides.bend_from_tail_mm, unit)
        turn = "bulging outwards" if sides.bend.outwards else "curving inwards"
        words = f"radius {radius.said}, {turn}, {place.said} along the side from the tail end"
        title = "Tightest bend of the sides"
        also = f"{radius.also}, {place.also}"
        yield Figure("tightest_bend", title, words, also, kept(sides.bend.radius_mm), "mm", "bends")


def _widths(sides: SideResults, unit: Unit) -> Iterator[FigureTable]:
    """How the blank tapers; nothing where the depth is the same everywhere, or not known."""
    if len({round(width.width_mm, 6) for width in sides.widths}) < 2:
        return
    columns = (
        length_column("along", "along the side from the tail end", unit, "outline"),
        length_column("width", "width of the side", unit, "side-blanks"),
    )
    rows = tuple((in_unit(width.along_mm, unit), in_unit(width.width_mm, unit)) for width in sides.widths)
    caption = "How wide the side is between the plates, along its length, as it lies flat before bending."
    yield FigureTable("side_widths", "Taper of the sides", caption, Table(columns, rows))


def _linings(linings: LiningResults, unit: Unit) -> Iterator[Figure]:
    if linings.runs:
        words = f" in {counted(len(linings.runs), 'run')}"
        yield from _length("linings", "Linings", linings.total_mm, unit, "linings", words)
    if linings.strips is not None:
        said = counted(linings.strips, "strip")
        yield Figure("lining_strips", "Strips of lining", said, value=float(linings.strips), source="linings")
    if linings.tightest_mm is not None:
        yield from _length("lining_bend", "Tightest bend of the linings", linings.tightest_mm, unit, "bends")
    if linings.kerf_spacing_mm is not None:
        words = " at the most"
        yield from _length("kerf_spacing", "From kerf to kerf", linings.kerf_spacing_mm, unit, "kerfs", words)
    if linings.kerfs is not None:
        said = f"at least {linings.kerfs}"
        yield Figure("kerfs", "Kerfs in the longest run", said, value=float(linings.kerfs), source="kerfs")


def _runs(linings: LiningResults, unit: Unit) -> Iterator[FigureTable]:
    if not linings.runs:
        return
    columns = (
        Column("plate", "along the", "", "record"),
        Column("side", "side", "", "record"),
        length_column("length", "length", unit, "linings"),
    )
    rows = tuple((run.plate, run.side, in_unit(run.length_mm, unit)) for run in linings.runs)
    caption = "Each run along the inside of the side, less what the end blocks take of it."
    yield FigureTable("lining_runs", "Runs of lining", caption, Table(columns, rows))


def _taken(results: BodyResults, unit: Unit) -> Iterator[Figure]:
    """The room between sides and plates, and what was taken off it."""
    if results.volume is None:
        return
    whole = results.volume.whole_mm3
    taken = in_a_row(results.volume.counted)
    words = f", {_litres(results.volume.net_mm3)} without {taken}" if taken else ""
    said = f"{_litres(whole)}{words}"
    yield Figure("whole_room", "Room between sides and plates", said, "", kept(whole / _MM3_PER_LITRE), "l", "volume")
