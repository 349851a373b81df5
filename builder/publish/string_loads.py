"""What is published of the strings' pull: for the buyer what each bears, for the bench how that was found."""

from __future__ import annotations

from builder.calculations.answers import Missing, Outside
from builder.calculations.strings import Gauge
from builder.lengths import Unit
from builder.publish.measures import inches, kept
from builder.published.columns import Column, Table
from builder.published.figures import Figure, Figures, FigureTable
from builder.results.pulls import Pull, pull_in_words
from builder.results.string_loads import StringLoad, StringLoadResults
from builder.units import METRES_PER_INCH, NEWTONS_PER_POUND

NOT_KNOWN = ""

_KINDS = {"glued": "a glued bridge", "pinned": "a glued bridge with pins", "floating": "a floating bridge"}


def string_loads_of(results: StringLoadResults | Missing, unit: Unit) -> Figures:
    """A row a string, the pull of all together, and what to mind when new strings go on."""
    if isinstance(results, Missing) or all(load.pull is None for load in results.strings):
        return Figures()
    columns = (
        Column("course", "course", "", "record"),
        Column("note", "note", "", "record"),
        Column("string", "string", "", "record"),
        Column("sounding", "sounding length", unit, "record", 3 if unit == "in" else 2),
        *pull_columns(unit),
        Column("share", "of its breaking load", "%", "music-wire"),
        Column("highest", "highest safe note", "", "string-law"),
    )
    rows = tuple(
        (
            *_named(load),
            NOT_KNOWN if load.sounding_mm is None else kept(_length(load.sounding_mm, unit)),
            *pulls_of(load.pull, unit),
            NOT_KNOWN if load.share is None else kept(100 * load.share),
            str(load.highest) if load.highest else NOT_KNOWN,
        )
        for load in results.strings
    )
    caption = (
        f"Each string at its note. The highest safe note keeps it within {100 * results.limit:.0f} % of the least load "
        "that breaks it."
    )
    return Figures(
        lead="How hard the strings pull, and how far each may be tuned up.",
        facts=_total(results.total, unit),
        tables=(FigureTable("string_loads", "Pull of the strings", caption, Table(columns, rows)),),
        cautions=_cautions(results),
        notes=_notes(results),
    )


def string_loads_for_the_bench_of(results: StringLoadResults | Missing, unit: Unit) -> Figures:
    """How each string is built and what it bears, the load on saddle and bridge, other tunings, wished gauges."""
    if isinstance(results, Missing):
        return Figures()
    tables = [_builds(results, unit)] if any(load.known for load in results.strings) else []
    tables += [_tunings(results, unit)] if len(results.tunings) > 1 else []
    tables += [_saddle(results, unit)] if results.saddle else []
    tables += [_wished(results, unit)] if results.wished else []
    return Figures(
        lead="What the strings weigh, and what their pull does to saddle and bridge.",
        facts=(*_total(results.total, unit), *_bridge_facts(results, unit)),
        tables=tuple(tables),
        cautions=_cautions(results),
        notes=(*_notes(results), *_bridge_notes(results)),
        wanting=results.wanting,
    )


def gauge_in_words(gauge: Gauge) -> str:
    """`0.022 in wound`, `0.0255 in nylon`: a gauge as it stands on the packet."""
    decimals = 3 if gauge.thousandths == int(gauge.thousandths) else 4
    return f"{gauge.thousandths / 1000:.{decimals}f} in {gauge.make}"


def _named(load: StringLoad) -> tuple[str, str, str]:
    gauge = load.string.gauge
    return str(load.course), str(load.string.note), gauge_in_words(gauge) if gauge else NOT_KNOWN


def _length(mm: float, unit: Unit) -> float:
    return inches(mm) if unit == "in" else mm


def pull_columns(unit: Unit, key: str = "pull", title: str = "pull") -> tuple[Column, Column]:
    """A force in the shop's unit, then in the other."""
    pounds = Column(f"{key}_pounds", title, "lb", "string-law", 1)
    newtons = Column(f"{key}_newtons", title, "N", "string-law", 1)
    return (pounds, newtons) if unit == "in" else (newtons, pounds)


def pulls_of(pull: Pull | None, unit: Unit) -> tuple[str | float, str | float]:
    """Both cells of a pull; `15.1 to 17.3` where it is an estimate with a band."""
    if pull is None:
        return NOT_KNOWN, NOT_KNOWN
    if not pull.is_a_band:
        return _both(pull.newtons, unit)
    pounds = f"{pull.least_newtons / NEWTONS_PER_POUND:.1f} to {pull.most_newtons / NEWTONS_PER_POUND:.1f}"
    newtons = f"{pull.least_newtons:.1f} to {pull.most_newtons:.1f}"
    return (pounds, newtons) if unit == "in" else (newtons, pounds)


def _both(newtons: float, unit: Unit) -> tuple[float, float]:
    pounds = kept(newtons / NEWTONS_PER_POUND)
    return (pounds, kept(newtons)) if unit == "in" else (kept(newtons), pounds)


def _total(total: Pull | None, unit: Unit) -> tuple[Figure, ...]:
    if total is None:
        return ()
    said, also = pull_in_words(total.newtons, unit)
    about = "about " if total.is_a_band else ""
    return (
        Figure("total_pull", "Pull of all strings", f"{about}{said}", also, kept(total.newtons), "N", "string-law"),
    )


def _cautions(results: StringLoadResults) -> tuple[str, ...]:
    near = dict.fromkeys(
        str(load.string) for load in results.strings if load.share is not None and load.share > results.limit
    )
    if not near:
        return ()
    return (
        f"Near breaking at its note: {', '.join(near)}. Wear eye protection, come up to pitch slowly, and keep your "
        "face out of the line of the string.",
    )


def _notes(results: StringLoadResults) -> tuple[str, ...]:
    notes = ["Setback at the saddle is left out: each thousandth of the length adds two of the pull."]
    if any(load.known and load.known.basis == "estimate" and load.pull for load in results.strings):
        notes.append(
            "A pull from one figure to another is an estimate: how that wound string is built is not known, and the "
            "band holds for the wound strings that are sold."
        )
    if any(
        load.known and load.known.basis == "worked out" and load.pull and load.pull.is_a_band
        for load in results.strings
    ):
        notes.append("The density of nylon and gut differs from maker to maker; the band is as wide as that.")
    if any(load.known and load.known.is_assumed for load in results.strings):
        notes.append("A core of which nobody says more is taken as round steel wire.")
    if any(load.breaking and load.breaking.basis == "rough" for load in results.strings):
        notes.append("The strength of gut, brass and bronze is known only roughly; the least figure is taken.")
    if any(load.breaking and load.breaking.basis == "music wire" for load in results.strings):
        notes.append("Steel is taken at the least strength that music wire must have; a kink or rust takes some off.")
    notes += dict.fromkeys(
        f"{load.string}: {load.known.breaking.reason}; what breaks it is not known."
        for load in results.strings
        if load.known and isinstance(load.known.breaking, Outside)
    )
    return tuple(notes)


def _builds(results: StringLoadResults, unit: Unit) -> FigureTable:
    """What each string was taken to be."""
    decimals = 4 if unit == "in" else 3
    columns = (
        Column("course", "course", "", "record"),
        Column("note", "note", "", "record"),
        Column("string", "string", "", "record"),
        Column("weight", "weight", "g/m", "string-weight", 3),
        Column("basis", "how known", "", "record"),
        Column("core", "core", unit, "record", decimals),
        Column("stress", "stress", "MPa", "string-law"),
        *pull_columns(unit, "breaking", "breaks at, least"),
        *pull_columns(unit, "breaking_most", "breaks at, most"),
    )
    rows = []
    for load in results.strings:
        known, breaking = load.known, load.breaking
        weight, core = (known.weight, known.core) if known else (None, None)
        most = breaking.most_newtons if breaking else None
        rows.append(
            (
                *_named(load),
                kept(1000 * weight.kg_per_m) if weight else NOT_KNOWN,
                (known.basis if known else None) or NOT_KNOWN,
                kept(_length(core.across_mm, unit)) if core else NOT_KNOWN,
                kept(load.stress_mpa) if load.stress_mpa is not None else NOT_KNOWN,
                *(_both(breaking.least_newtons, unit) if breaking else (NOT_KNOWN, NOT_KNOWN)),
                *(_both(most, unit) if most is not None else (NOT_KNOWN, NOT_KNOWN)),
            )
        )
    caption = (
        "Weight and core of each string, and the pull that breaks it: none breaks below the least, all by the most."
    )
    return FigureTable("string_builds", "How the strings are built", caption, Table(columns, tuple(rows)), folded=True)


def _tunings(results: StringLoadResults, unit: Unit) -> FigureTable:
    columns = (
        Column("tuning", "tuning", "", "record"),
        *pull_columns(unit, "pull", "pull of all strings"),
        Column("share", "greatest share of a breaking load", "%", "music-wire"),
    )
    rows = tuple(
        (
            str(each.tuning),
            *_both(each.newtons, unit),
            NOT_KNOWN if each.greatest_share is None else kept(100 * each.greatest_share),
        )
        for each in results.tunings
    )
    return FigureTable(
        "pull_by_tuning", "Pull in each tuning", "The same strings, tuned otherwise.", Table(columns, rows)
    )


def _saddle(results: StringLoadResults, unit: Unit) -> FigureTable:
    assert results.saddle is not None
    columns = (Column("course", "course", "", "record"), *_saddle_columns(unit))
    rows = tuple(
        (str(number), *_both(newtons, unit)) for number, newtons in enumerate(results.saddle.by_course_newtons, 1)
    )
    return FigureTable("saddle_force", "Force on the saddle", "Straight down, by course.", Table(columns, rows))


def _saddle_columns(unit: Unit) -> tuple[Column, Column]:
    pounds = Column("down_pounds", "force down", "lb", "saddle-force", 1)
    newtons = Column("down_newtons", "force down", "N", "saddle-force", 1)
    return (pounds, newtons) if unit == "in" else (newtons, pounds)


def _bridge_facts(results: StringLoadResults, unit: Unit) -> tuple[Figure, ...]:
    saddle = results.saddle
    if saddle is None:
        return ()
    said, also = pull_in_words(saddle.newtons, unit)
    facts = [Figure("saddle_force", "Force on the saddle", said, also, kept(saddle.newtons), "N", "saddle-force")]
    torque = saddle.torque_newton_metres
    if torque is not None:
        in_pounds = f"{abs(torque) / NEWTONS_PER_POUND / METRES_PER_INCH:.1f} lb·in"
        in_newtons = f"{abs(torque):.2f} N·m"
        said, also = (in_pounds, in_newtons) if unit == "in" else (in_newtons, in_pounds)
        way = "" if not round(abs(torque), 3) else ", towards the nut" if torque > 0 else ", away from the nut"
        facts.append(
            Figure("bridge_torque", "Torque on the bridge", f"{said}{way}", also, kept(torque), "N·m", "saddle-force")
        )
    return tuple(facts)


def _bridge_notes(results: StringLoadResults) -> tuple[str, ...]:
    saddle = results.saddle
    if saddle is None:
        return ()
    notes = ["The string is taken to slide freely over the saddle, so that it pulls alike on both sides."]
    if saddle.kind is not None and saddle.torque_newton_metres is not None:
        notes.append(f"The torque is that on {_KINDS[saddle.kind]}, about the soundboard below the saddle.")
    return tuple(notes)


def _wished(results: StringLoadResults, unit: Unit) -> FigureTable:
    columns = (
        Column("course", "course", "", "record"),
        Column("note", "note", "", "record"),
        *pull_columns(unit, "wished", "wished pull"),
        *pull_columns(unit, "now", "pull now"),
        Column("exact", "plain gauge that gives it", "thousandths of an inch", "string-law", 1),
        Column("nearest", "nearest in the drawer", "", "shop"),
        *pull_columns(unit, "nearest", "it would pull"),
        Column("share", "of its breaking load", "%", "music-wire"),
    )
    rows = tuple(
        (
            str(each.course),
            str(each.string.note),
            *_both(each.wished_newtons, unit),
            *(_both(each.now_newtons, unit) if each.now_newtons is not None else (NOT_KNOWN, NOT_KNOWN)),
            NOT_KNOWN if each.exact_thousandths is None else kept(each.exact_thousandths),
            gauge_in_words(each.nearest) if each.nearest else NOT_KNOWN,
            *(_both(each.nearest_newtons, unit) if each.nearest_newtons is not None else (NOT_KNOWN, NOT_KNOWN)),
            NOT_KNOWN if each.nearest_share is None else kept(100 * each.nearest_share),
        )
        for each in results.wished
    )
    caption = "The first string of each course, and the nearest of its make among the shop's strings."
    return FigureTable("wished_strings", "Strings for a wished pull", caption, Table(columns, rows))
