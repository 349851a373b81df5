"""Glue and finish as the bench sees them: when each joint and coat is ready, the room, the clamps, and cautions."""

from __future__ import annotations

from datetime import datetime

from builder.calculations.answers import Missing
from builder.calculations.gluing import JointMoments
from builder.lengths import Unit
from builder.publish.measures import inches, kept
from builder.published import Column, Figure, Figures, FigureTable, Table
from builder.results.clamping import ClampingResults, RunResults
from builder.results.gluing import (
    CoatResults,
    GluingResults,
    JointResults,
    RoomVerdict,
    in_degrees_or_percent,
    in_hours,
)
from builder.tables.finishes import HAZARDS
from builder.tables.glues import KINDS
from builder.units import PASCALS_PER_PSI

LABEL_LEADS = "Label and safety data sheet lead in everything said here."
_TYPICAL_MARK = " (typical)"


def gluing_for_the_bench_of(results: GluingResults | Missing, unit: Unit) -> Figures:
    """Every joint and coat with the moments it is ready, and what label and data sheet would warn of."""
    if isinstance(results, Missing):
        return Figures()
    tables = []
    if results.joints:
        tables.append(_joints_table(results.joints, unit))
    if results.coats:
        tables.append(_coats_table(results.coats, unit))
    typical = any("typical" in joint.leads for joint in results.joints)
    notes = [LABEL_LEADS]
    if typical:
        notes.insert(0, "Times marked typical are the slow end of what such glues need; no label is in the shop file.")
    rooms = [each.room for each in results.joints] + [each.room for each in results.coats]
    if any(verdict.logged for room in rooms for verdict in room):
        notes.append("Where the record names no room, the nearest entry of the room log speaks for it.")
    wanting = [
        f"glues: the clamp, load and cure times of «{joint.glue}»"
        for joint in results.joints
        if not isinstance(joint.moments, JointMoments)
    ]
    if results.coats and results.schedule and not results.waits_known:
        wanting.append(f"finish_schedules.{results.schedule}.between_coats: how long a coat waits for the next")
    return Figures(
        tables=tuple(tables),
        cautions=_cautions(results),
        notes=tuple(notes),
        wanting=tuple(dict.fromkeys(wanting)),
    )


def clamping_for_the_bench_of(results: ClampingResults | Missing, unit: Unit) -> Figures:
    """Clamps for every seam, and the mean pressure they give against what glue and wood want."""
    if isinstance(results, Missing):
        return Figures()
    facts: tuple[Figure, ...] = ()
    if results.in_the_shop is not None:
        said = str(results.in_the_shop)
        facts = (Figure("clamps_in_the_shop", "Clamps in the shop", said, value=results.in_the_shop, source="shop"),)
    columns = (
        Column("seam", "Seam", "", "record"),
        Column("length", "Length", unit, "record", 1),
        Column("glue_width", "Width of glue", unit, "record", 3 if unit == "in" else 2),
        Column("needed", "Clamps needed", "", "clamp-count"),
        Column("used", "Clamps used", "", "shop"),
        Column("pressure", "Pressure", "psi", "clamp-pressure"),
        Column("pressure_mpa", "Pressure", "MPa", "clamp-pressure", 2),
        Column("wanted", "Wanted", "psi", "glue-pressure"),
        Column("wanted_count", "Clamps for it", "", "clamp-pressure"),
        Column("verdict", "Verdict", "", "glue-pressure"),
    )
    table = Table(columns, tuple(_run_row(each, unit) for each in results.runs))
    caption = "Clamps set at the shop's spacing, and the mean pressure they give on each seam."
    return Figures(
        facts=facts,
        tables=(FigureTable("clamps", "Clamps", caption, table),) if results.runs else (),
        notes=("The pressure is a mean: there is more under each jaw and less between. A stiff caul evens it out.",),
    )


def _run_row(each: RunResults, unit: Unit) -> tuple[str | float, ...]:
    def length(mm: float) -> float:
        return kept(inches(mm) if unit == "in" else mm)

    psi = kept(each.pressure_pa / PASCALS_PER_PSI) if each.pressure_pa is not None else ""
    mpa = kept(each.pressure_pa / 1e6) if each.pressure_pa is not None else ""
    wanted = ""
    if each.contact_only:
        wanted = "contact only"
    elif each.wanted:
        least, most = (round(pa / PASCALS_PER_PSI) for pa in (each.wanted.least_pa, each.wanted.most_pa))
        wanted = f"{least} to {most}" + (_TYPICAL_MARK if each.wanted.leads == "typical" else "")
    return (
        each.run.name, length(each.run.length_mm), length(each.run.glue_width_mm), each.needed, each.used, psi, mpa,
        wanted, each.wanted_count or "", each.squeeze or "",
    )  # fmt: skip


def _joints_table(joints: tuple[JointResults, ...], unit: Unit) -> FigureTable:
    columns = (
        Column("parts", "Joint", "", "record"),
        Column("glue", "Glue", "", "record"),
        Column("closed", "Closed", "", "record"),
        Column("open_time", "Open time", "", "glue-label"),
        Column("clamps_off", "Clamps off", "", "glue-label"),
        Column("bears_load", "Bears load", "", "glue-label"),
        Column("cured", "Cured", "", "glue-label"),
        Column("room", "Room and wood", "", "glue-label"),
    )
    rows = []
    for joint in joints:
        known = joint.moments if isinstance(joint.moments, JointMoments) else JointMoments(None, None, None)
        moments = (known.clamps_off, known.bears_load, known.cured)
        ready = (
            _moment(moment) + (_TYPICAL_MARK if moment and leads == "typical" else "")
            for moment, leads in zip(moments, joint.leads, strict=True)
        )
        stays_open = in_hours(joint.open_hours) if joint.open_hours is not None else ""
        stays_open += _TYPICAL_MARK if joint.open_leads == "typical" else ""
        rows.append(
            (", ".join(joint.parts), joint.glue, _moment(joint.at), stays_open, *ready, _room(joint.room, unit))
        )
    return FigureTable("joints", "Joints", "When each joint is ready.", Table(columns, tuple(rows)))


def _coats_table(coats: tuple[CoatResults, ...], unit: Unit) -> FigureTable:
    too_soon = any(coat.moments.short_hours > 0 for coat in coats)
    columns = (
        Column("coat", "Coat", "", "record"),
        Column("product", "Product", "", "record"),
        Column("laid", "Laid", "", "record"),
        Column("next_coat", "Next coat from", "", "glue-label"),
        Column("cured", "Cured if the last", "", "glue-label"),
        *([Column("too_soon", "Too soon by", "", "glue-label")] if too_soon else []),
        Column("room", "Room", "", "glue-label"),
    )
    rows = tuple(
        (
            str(coat.number),
            coat.product,
            _moment(coat.at),
            _moment(coat.moments.next_coat),
            _moment(coat.moments.cured),
            *([in_hours(coat.moments.short_hours) if coat.moments.short_hours > 0 else ""] if too_soon else []),
            _room(coat.room, unit),
        )
        for coat in coats
    )
    return FigureTable("coats", "Coats", "When the next coat may follow.", Table(columns, rows))


def _moment(moment: datetime | None) -> str:
    return f"{moment:%Y-%m-%d %H:%M}" if moment else ""


def _room(verdicts: tuple[RoomVerdict, ...], unit: Unit) -> str:
    """`70 °F (21.1 °C), 51 %: within limits`, or which of them lies beyond whose limits."""
    if not verdicts:
        return ""
    whose = {"label": "the label's limits", "typical": "what is typical", "shop": "the shop's limits"}
    values = dict.fromkeys(in_degrees_or_percent(each.quantity, each.value, unit) for each in verdicts)
    beyond = [f"{each.quantity} {each.verdict} {whose[each.leads]}" for each in verdicts if each.verdict != "within"]
    return f"{', '.join(values)}: {'; '.join(beyond) or 'within limits'}"


def _cautions(results: GluingResults) -> tuple[str, ...]:
    """Each caution once: of the kinds of glue used, then of the finishes by the words of their names."""
    said = [KINDS[joint.kind].caution for joint in results.joints if joint.kind]
    products = [coat.product.casefold() for coat in results.coats]
    products += [results.schedule.casefold()] if results.schedule and results.coats else []
    for hazard in HAZARDS:
        if any(word in product for product in products for word in hazard.words):
            said.append(hazard.caution)
    return tuple(dict.fromkeys(said))
