"""What is published of a body to be cut or drawn full size: its lines by name, with angles of blocks and braces."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from builder.calculations.answers import Missing
from builder.lengths import Unit, trimmed
from builder.publish.measures import kept, measure, measure_mm
from builder.published.pattern import PatternLayer, PatternLine, PublishedPattern
from builder.record import Spec
from builder.results.body import BodyResults
from builder.results.bracing import BracingResults, EndResults
from builder.results.pattern import DrawnLine, work_out_pattern
from builder.shop import Shop
from builder.workshop import Instrument

_NAMES: dict[str, tuple[PatternLayer, str]] = {
    "outline": ("outline", "outside of the sides"),
    "inside": ("inside", "inside of the sides"),
    "linings": ("linings", "edge of the linings"),
}


def pattern_of(instrument: Instrument, shop: Shop) -> PublishedPattern | None:
    """The body of an instrument full size; None where its outline is not known."""
    record, results = instrument.record, instrument.results
    return body_pattern_of(
        results.body, results.bracing, record.spec, shop.unit, (record.serial, record.title, record.kind)
    )


def body_pattern_of(
    body: BodyResults | Missing,
    bracing: BracingResults | Missing,
    spec: Spec,
    unit: Unit,
    named: tuple[str, str, str] = ("", "", ""),
) -> PublishedPattern | None:
    """The same from what was worked out; `named` are serial, title and kind."""
    lines = work_out_pattern(body)
    if isinstance(body, Missing) or isinstance(lines, Missing):
        return None
    words = _Words(body, bracing, spec, unit)
    serial, title, kind = named
    return PublishedPattern(
        serial=serial,
        title=title,
        kind=kind,
        length=measure_mm(body.outline.length_mm, unit),
        width=measure_mm(body.outline.width_mm, unit),
        lines=tuple(map(words.line, lines.lines)),
        half=tuple(map(words.line, lines.half)),
        not_on_half=tuple(dict.fromkeys(words.line(each).name for each in lines.left_out)) if lines.half else (),
        tail=kept(body.outline.tail_mm),
        head=kept(body.outline.head_mm),
        saddle=None if body.saddle_mm is None else kept(body.saddle_mm),
        nut=None if body.nut_mm is None else kept(body.nut_mm),
    )


class _Words:
    """What is written beside the lines of one body."""

    def __init__(self, body: BodyResults, bracing: BracingResults | Missing, spec: Spec, unit: Unit) -> None:
        self.body, self.spec, self.unit = body, spec, unit
        self.bracing = None if isinstance(bracing, Missing) else bracing

    def line(self, line: DrawnLine) -> PatternLine:
        """A line with its layer, name and words."""
        if line.part == "block":
            named = self._block(line)
        elif line.part == "hole":
            named = self._hole(line)
        elif line.part == "brace":
            named = self._brace(line)
        else:
            named = (*_NAMES[line.part], ())
        return PatternLine(*named, line.closed, _places(line.spots, closed=line.closed))

    def _block(self, line: DrawnLine) -> tuple[PatternLayer, str, tuple[str, ...]]:
        xs = [x for x, _ in self.body.blocks[line.entry].spots]
        end = "tail" if min(xs) - self.body.outline.tail_mm < self.body.outline.head_mm - max(xs) else "head"
        ends = [each for each in self.bracing.ends if each.end == end] if self.bracing else []
        return "end blocks", f"{end} block", tuple(_angles(ends))

    def _hole(self, line: DrawnLine) -> tuple[PatternLayer, str, tuple[str, ...]]:
        hole = self.body.holes[line.entry]
        number = f" {hole.entry + 1}" if len({each.entry for each in self.body.holes}) > 1 else ""
        if hole.plate == "soundboard":
            return "sound holes", f"sound hole{number}", ()
        return "sound holes back", f"sound hole{number} in the back", ()

    def _brace(self, line: DrawnLine) -> tuple[PatternLayer, str, tuple[str, ...]]:
        drawn = self.body.braces[line.entry]
        assert self.spec.body is not None, "the braces come from it"
        written = self.spec.body.braces[drawn.entry]
        named = written.name or f"{drawn.plate} brace {drawn.entry + 1}"
        name = named if drawn.plate in named else f"{named}, {drawn.plate}"
        of_plate: PatternLayer = "braces soundboard" if drawn.plate == "soundboard" else "braces back"
        return of_plate, name, tuple(self._sizes(drawn.entry))

    def _sizes(self, entry: int) -> Iterator[str]:
        assert self.spec.body is not None, "the braces come from it"
        written = self.spec.body.braces[entry]
        high = f", {measure(written.height, self.unit).said} high" if written.height else ""
        if written.width:
            yield f"{measure(written.width, self.unit).said} wide{high}"
        else:
            yield "its middle: the width is not written"
        for each in self.bracing.braces if self.bracing else ():
            if each.entry == entry and each.fitted and not each.is_mirror_image:
                yield f"{measure_mm(each.fitted.length_mm, self.unit).said} from side to side"


def _angles(ends: Iterable[EndResults]) -> Iterator[str]:
    """How the sides meet a block: once where both do alike."""
    said = {each.side: tuple(_angle(each.angle.to_centre_line_degrees)) for each in ends}
    if len(said) == 2 and len(set(said.values())) == 1:
        said = {"both": said["bass"]}
    for side, (angle, *more) in said.items():
        yield f"{side} {'sides' if side == 'both' else 'side'} {angle}"
        yield from more


def _angle(degrees: float) -> Iterator[str]:
    """Away from its end a body widens as a rule, so that is not said; that it narrows is."""
    yield f"{trimmed(abs(degrees), 1)}° to the centre line"
    if round(degrees, 1) < 0:
        yield "narrowing from the end"


def _places(spots: Iterable[tuple[float, float]], *, closed: bool) -> tuple[tuple[float, float], ...]:
    """Places without the last bits of arithmetic, and none twice in a row."""
    places: list[tuple[float, float]] = []
    for x, y in spots:
        place = (kept(x), kept(y))
        if not places or place != places[-1]:
            places.append(place)
    if closed and len(places) > 1 and places[0] == places[-1]:
        places.pop()
    return tuple(places)
