"""The bench sheet: one instrument on one or two sheets of paper, to work from with a rule in hand and a pencil.

The text flows in two columns, so that nothing can be cut off: what is long takes another sheet. Frets stand in the
order they are sawn, which is from the nut, and all are measured from the nut. Heights and places are written down in
one column each, in board order, as they are typed in later.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from builder.published import Column, Figure, Figures, Published, PublishedBench, PublishedFrets, PublishedShop, Table
from builder.published.order import PublishedOrder
from builder.sheets.inlined import bench_faces, style_sheet
from builder.sheets.particulars import Said, specification_of, strings_in_words, tunings_in_words
from builder.templates import cell, render

#: Rows to fill in for glue-ups that are still to come.
_BLANK_GLUE_UPS = 4
#: Of every subject, the figures the bench works by; the rest stands on the bench page.
_BODY_FACTS = (
    "side", "blank_length", "blank_width", "tightest_bend", "linings", "lining_strips", "lining_bend",
    "kerf_spacing", "kerfs",
)  # fmt: skip
_LEVELLING_FACTS = ("tolerance", "fall_away", "crown", "crown_left")
_SADDLE_FACTS = ("saddle_decided", "straight_bass", "straight_treble", "saddle_force")
_NOTHING = Figures()
#: How a table says that something is not known: not at all, or with a dash.
_UNKNOWN = ("", "–")


@dataclass(frozen=True, slots=True)
class Blank:
    """A line to write one measurement on; `field` says where it is written in a record's `as_built`."""

    label: str
    field: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FretRow:
    """One line of the fret table. `marks` has one text a line measured along; a mark that is not sawn is empty.

    `bass` and `treble` say whether the fret reaches that side, and so whether a height is taken there.
    """

    name: str
    marks: tuple[str, ...]
    is_sawn: bool
    bass: bool
    treble: bool


@dataclass(frozen=True, slots=True)
class FretTable:
    """The frets in sawing order. `lines` name what is measured along (one empty name, or bass and treble)."""

    rule: str
    unit: str
    along: str
    lines: tuple[str, ...]
    rows: tuple[FretRow, ...]


def bench_sheet_html(
    instrument: Published, bench: PublishedBench, shop: PublishedShop, order: PublishedOrder | None = None
) -> str:
    """The bench sheet of one instrument as a page of its own, typefaces within it."""
    figures = {subject.key: subject.figures for subject in bench.subjects}
    levelling = figures.get("levelling", _NOTHING)
    to_build = bench.is_to_build
    return str(
        render(
            "sheets/bench-sheet.html",
            instrument=instrument,
            bench=bench,
            shop=shop,
            order=order if order and not order.is_empty else None,
            specification=specification_of(instrument),
            frets=fret_table(instrument.frets, _courses(instrument)) if instrument.frets else None,
            blanks=_blanks(_lines(figures.get("cutting"), "blanks")),
            cutting=figures.get("cutting", _NOTHING),
            strings=strings_in_words(instrument),
            tunings=tunings_in_words(instrument),
            pull=_facts(figures.get("string-loads"), ("total_pull",)),
            body=_facts(figures.get("body"), _BODY_FACTS),
            lining_runs=_alike(
                Said(f"{each['plate']} {each['side']}", each["length"])
                for each in _lines(figures.get("body"), "lining_runs")
            ),
            end_angles=_lines(figures.get("bracing"), "end_angles"),
            braces=_braces(_lines(figures.get("bracing"), "braces")),
            clamps=_alike(Said(each["seam"], _clamps(each)) for each in _lines(figures.get("clamps"), "clamps")),
            joints=_lines(figures.get("gluing"), "joints"),
            coats=_lines(figures.get("gluing"), "coats"),
            to_build=to_build,
            blank_glue_ups=_BLANK_GLUE_UPS if to_build else 0,
            heights=_one_row_for_all(_picked(figures.get("setback"), "heights")),
            saddle=_facts(figures.get("setback"), _SADDLE_FACTS),
            saddle_places=_saddle_places(instrument),
            levelling=_facts(levelling, _LEVELLING_FACTS),
            fret_work=tuple(_fret_work(levelling)),
            measured=blanks_of(instrument, bench),
            cautions=_cautions(instrument, bench),
            wanting=tuple(line for subject in bench.subjects for line in subject.figures.wanting) if to_build else (),
            faces=bench_faces(),
            style=style_sheet("bench-sheet.css"),
        )
    )


def fret_table(frets: PublishedFrets, courses: int) -> FretTable:
    """The frets from the nut on, with the marks of the working rule."""
    columns = [(number, column) for number, column in enumerate(frets.table.columns) if column.key.endswith("mark")]
    lines = tuple(column.key.removesuffix("mark").removesuffix("_") for _, column in columns)
    partial = dict(frets.partial)
    rows = [FretRow("0", ("",) * len(lines), False, True, True)] if frets.zero_fret else []
    for row in frets.table.rows:
        name = str(row[0])
        under = partial.get(name)
        bass, treble = (under is None or not courses or outer in under for outer in (1, courses))
        rows.append(FretRow(name, tuple(str(row[number]) for number, _ in columns), True, bass, treble))
    first = columns[0][1]
    return FretTable(first.title, first.unit, frets.measured_along, lines, tuple(rows))


def blanks_of(instrument: Published, bench: PublishedBench) -> tuple[Blank, ...]:
    """What is measured once it is strung, in the order of the sheet."""
    return (
        Blank("crown height", ("crown_height",)),
        *(Blank(f"action, fret {fret}", ("setup", "action", fret)) for fret in _action_frets(instrument, bench)),
        Blank("relief", ("setup", "relief")),
        *(Blank(f"octave {note}, cents", ("setup", "cents_at_octave", note)) for note in _open_notes(instrument)),
        Blank("weight", ("weight",)),
    )


def _courses(instrument: Published) -> int:
    return len(instrument.strings.courses) if instrument.strings else 0


def _picked(figures: Figures | None, key: str, columns: tuple[str, ...] = ()) -> Table | None:
    """A table of a subject, or some of its columns."""
    found = next((each.table for each in figures.tables if each.key == key), None) if figures else None
    if found is None or not columns:
        return found
    kept = [number for number, column in enumerate(found.columns) if column.key in columns]
    return Table(
        tuple(found.columns[number] for number in kept),
        tuple(tuple(row[number] for number in kept) for row in found.rows),
    )


def _lines(figures: Figures | None, key: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a table as they read: each cell with its unit, under the key of its column.

    A column that this instrument has not reads as empty, like an empty cell and one with a dash.
    """
    table = _picked(figures, key)
    if table is None:
        return ()
    return tuple(
        defaultdict(
            str,
            {
                column.key: "" if value in _UNKNOWN else cell(value, column) + _unit(column)
                for value, column in zip(row, table.columns, strict=True)
            },
        )
        for row in table.rows
    )


def _unit(column: Column) -> str:
    """The unit as it follows a number: a space before all but the sign of degrees."""
    return column.unit if column.unit in ("", "°") else f" {column.unit}"


def _blanks(lines: Iterable[Mapping[str, str]]) -> tuple[tuple[int, str, str], ...]:
    """How many, of what, and the three sizes in one text with the unit once; blanks that are alike in one line."""
    counts: dict[tuple[str, str], int] = {}
    for blank in lines:
        sizes = [blank[key].rpartition(" ") for key in ("length", "width", "thickness")]
        size = f"{' × '.join(number for number, _, _ in sizes)} {sizes[-1][2]}"
        what = ", ".join(filter(None, (blank["part"], blank["species"], blank["billet"])))
        counts[what, size] = counts.get((what, size), 0) + int(blank["count"])
    return tuple((count, what, size) for (what, size), count in counts.items())


def _braces(lines: Iterable[Mapping[str, str]]) -> tuple[Said, ...]:
    """How each brace is cut to length and at its ends, as far as that is known; braces that are cut alike together."""
    return _alike(Said(f"{each['brace']}, {each['plate']}", _cut(each)) for each in lines)


def _cut(brace: Mapping[str, str]) -> str:
    fits = (("inside_sides", "inside the sides"), ("inside_linings", "inside the linings"))
    lengths = [f"{brace[key]} {where}" for key, where in fits if brace[key].partition(" ")[0] not in _UNKNOWN]
    bevels = dict.fromkeys(brace[key] for key in ("bevel_at_start", "bevel_at_end") if brace[key] not in _UNKNOWN)
    ends = f"; ends {' and '.join(bevels)}" if bevels else ""
    return (", ".join(lengths) or f"{brace['length']} long") + ends


def _one_row_for_all(table: Table | None) -> Table | None:
    """Where every string is to have the same heights, they stand there once."""
    if table is None or len({row[1:] for row in table.rows}) > 1 or len(table.rows) < 2:
        return table
    return Table(table.columns, (("all strings", *table.rows[0][1:]),))


def _alike(lines: Iterable[Said]) -> tuple[Said, ...]:
    """Lines that say the same become one, their labels in a row."""
    labels: dict[str, list[str]] = {}
    for line in lines:
        labels.setdefault(line.text, []).append(line.label)
    return tuple(Said("; ".join(alike), text) for text, alike in labels.items())


def _clamps(run: Mapping[str, str]) -> str:
    """`27 clamps give 73 psi, too little; 37 for 100 to 150 psi`."""
    said = f"{run['needed']} clamps"
    said += f" give {run['pressure']}" if run["pressure"] else ""
    said += f", {run['verdict']}" if run["verdict"] else ""
    if run["wanted"] and run["wanted_count"]:
        return f"{said}; {run['wanted_count']} for {_marked_last(run['wanted'])}"
    return said + (f"; wanted {_marked_last(run['wanted'])}" if run["wanted"] else "")


def _marked_last(wanted: str) -> str:
    """The unit before what stands in brackets, `100 to 150 psi (typical)`, and none after mere words."""
    if not wanted[0].isdigit():
        return wanted.rpartition(" ")[0]
    number, bracket, rest = wanted.partition(" (")
    mark, closing, unit = rest.partition(")")
    return f"{number}{unit}{bracket}{mark}{closing}"


def _facts(figures: Figures | None, keys: tuple[str, ...]) -> tuple[Figure, ...]:
    return tuple(fact for fact in figures.facts if fact.key in keys) if figures else ()


def _saddle_places(instrument: Published) -> tuple[Said, ...]:
    """How far the saddle stands from the nut under every string: both the whole length and what it is longer by."""
    facts = next((each.figures.facts for each in instrument.subjects if each.key == "setback"), ())
    return tuple(Said(fact.title.replace("Nut to saddle, ", "Saddle, "), fact.said) for fact in facts)


def _fret_work(levelling: Figures) -> Iterator[Said]:
    """What is still to be done to single frets, side by side with how much is to be filed."""
    for side in ("bass", "treble"):
        table = _picked(levelling, f"heights_{side}", ("fret", "work", "file"))
        if table is None or len(table.columns) < 3:
            continue
        work = [(fret, did, off) for fret, did, off in table.rows if did]
        words = [f"{fret} {did}{_off(off, table.columns[2])}" for fret, did, off in work]
        if words:
            yield Said(f"Frets, {side} side", "; ".join(words))


def _off(off: str | float, column: Column) -> str:
    return "" if isinstance(off, str) else f" {off:.{column.decimals}f} {column.unit}"


def _action_frets(instrument: Published, bench: PublishedBench) -> tuple[str, ...]:
    """At which frets the action is written down: where it was wished, or at the first and the octave."""
    wished = tuple(dict.fromkeys(each.fret for each in bench.clearances))
    if wished or instrument.frets is None:
        return wished
    names = [str(row[0]) for row in instrument.frets.table.rows]
    octave = "7" if instrument.frets.layout == "diatonic" else "12"
    return tuple(name for name in ("1", octave) if name in names)


def _open_notes(instrument: Published) -> tuple[str, ...]:
    """The open strings of the first tuning, each note once, bass first."""
    tunings = instrument.strings.tunings if instrument.strings else ()
    return tuple(dict.fromkeys(tunings[0].notes)) if tunings else ()


def _cautions(instrument: Published, bench: PublishedBench) -> dict[str, tuple[str, ...]]:
    """What a careful shop would say aloud, under the heading where it applies; nothing is said twice."""
    figures = {subject.key: subject.figures.cautions for subject in bench.subjects}
    for_buyer = {subject.key: subject.figures.cautions for subject in instrument.subjects}
    glues = tuple(glue.caution for glue in bench.glues if glue.caution)
    finishing = bench.finishing.cautions if bench.finishing else ()
    places = {
        "cutting": figures.get("wood") or figures.get("cutting", ()),
        "body": (*figures.get("body", ()), *figures.get("bracing", ())),
        "gluing": (*figures.get("clamps", ()), *glues, *figures.get("gluing", ())),
        "finishing": finishing,
        "strings": (*figures.get("string-loads", ()), *for_buyer.get("string-pull", ())),
        "setback": (*figures.get("setback", ()), *for_buyer.get("setback", ())),
        "levelling": figures.get("levelling", ()),
    }
    said = {place: tuple(dict.fromkeys(each)) for place, each in places.items()}
    # A finish is warned of where it is laid, not beside the glue.
    said["gluing"] = tuple(each for each in said["gluing"] if each not in said["finishing"])
    return said
