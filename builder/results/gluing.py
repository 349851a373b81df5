"""Glue-ups and coats of one instrument: when each joint is ready, and whether room and wood were fit for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from builder.calculations.answers import Missing
from builder.calculations.coating import CoatMoments, coat_moments
from builder.calculations.gluing import JointHours, JointMoments, Limits, Verdict, joint_moments, verdict_on
from builder.lengths import Unit, trimmed
from builder.problems import Finding
from builder.record import Build, Coat, GlueUp, Spec
from builder.shop import FinishSchedule, Shop
from builder.shop.gluing import Glue
from builder.shop.room_log import RoomLog
from builder.tables.glues import KINDS, GlueKind, KindOfGlue, Typical
from builder.units import in_fahrenheit

#: Where a value comes from: the label as the shop file has it, what is typical of the kind, or the shop's own limits.
Leads = Literal["label", "typical", "shop"]
Quantity = Literal["temperature", "humidity", "wood moisture"]

#: How far an entry of the room log may lie from a glue-up or a coat and still speak for it.
LOG_SPEAKS_FOR_HOURS = 6.0

_NOTHING_LOGGED = RoomLog()
_UNKNOWN_GLUE = Glue()


@dataclass(frozen=True, slots=True)
class RoomVerdict:
    """A value of room or wood against one limit; `value` is in °C or percent, `logged` if it is the room log's."""

    quantity: Quantity
    value: float
    limits: Limits
    leads: Leads
    verdict: Verdict
    logged: bool = False


@dataclass(frozen=True, slots=True)
class JointResults:
    """One glue-up. `leads` says of each of the three moments whether label or kind gave its hours.

    `open_hours` is how long the glue stays open: the label's, else the quick end of what is typical of its kind.
    """

    number: int
    parts: tuple[str, ...]
    at: datetime
    glue: str
    kind: GlueKind | None
    open_hours: float | None
    open_leads: Leads | None
    moments: JointMoments | Missing
    leads: tuple[Leads | None, Leads | None, Leads | None]
    room: tuple[RoomVerdict, ...]


@dataclass(frozen=True, slots=True)
class CoatResults:
    """One coat, counted from 1 in the order of time; `of_schedule` if its product is that of the schedule."""

    number: int
    at: datetime
    product: str
    of_schedule: bool
    moments: CoatMoments
    room: tuple[RoomVerdict, ...]


@dataclass(frozen=True, slots=True)
class GluingResults:
    """All joints and coats, each in the order of time."""

    joints: tuple[JointResults, ...]
    coats: tuple[CoatResults, ...]
    schedule: str | None
    waits_known: bool


def glue_on_the_shelf(name: str, glues: Mapping[str, Glue]) -> Glue | None:
    """The shop's glue of that very name; capitals and spaces do not matter."""
    tidy = " ".join(name.casefold().split())
    return next((glue for known, glue in glues.items() if " ".join(known.casefold().split()) == tidy), None)


def kind_in_words(name: str) -> GlueKind | None:
    """The kind a glue's name speaks of: `hot hide glue` is hot hide. The longest words found decide."""
    tidy = f" {' '.join(name.casefold().replace('-', ' ').split())} "
    found = [
        (len(words), kind)
        for kind, each in KINDS.items()
        for words in each.words
        if f" {words.replace('-', ' ')} " in tidy
    ]
    return max(found)[1] if found else None


def work_out_gluing(
    build: Build, spec: Spec, shop: Shop, log: RoomLog | None = None
) -> tuple[GluingResults | Missing, tuple[Finding, ...]]:
    """Ready times of every joint and coat, and the room they were made in against what glue, finish and shop ask.

    Where a glue-up or coat names no temperature or humidity, the entry of the room log nearest to it speaks for it.
    """
    if not build.glue_ups and not build.coats:
        return Missing(("build.glue_ups",)), ()
    findings: list[Finding] = []
    log = log or _NOTHING_LOGGED
    joints = []
    for place, glue_up in sorted(enumerate(build.glue_ups), key=lambda each: each[1].at):
        joint = _joint(place, glue_up, shop, log)
        joints.append(joint)
        findings += _joint_findings(joint, glue_up, f"build.glue_ups[{place}]", shop.unit)
    schedule = shop.finish_schedules.get(spec.finish.schedule) if spec.finish else None
    in_order = sorted(enumerate(build.coats), key=lambda each: each[1].at)
    coats = _coats([coat for _, coat in in_order], schedule, shop, log)
    for (place, _), coat_results in zip(in_order, coats, strict=True):
        findings += _coat_findings(coat_results, f"build.coats[{place}]", shop.unit)
    name = spec.finish.schedule if spec.finish and schedule else None
    waits_known = schedule is not None and schedule.between_coats is not None
    return GluingResults(tuple(joints), coats, name, waits_known), tuple(findings)


def _joint(place: int, glue_up: GlueUp, shop: Shop, log: RoomLog) -> JointResults:
    label = glue_on_the_shelf(glue_up.glue, shop.glues) or _UNKNOWN_GLUE
    kind = label.kind or kind_in_words(glue_up.glue)
    typical = KINDS[kind] if kind else None
    hours, leads = _hours_of(label, typical)
    open_hours: float | None = label.open_time
    if open_hours is None and typical and typical.open_time:
        open_hours = typical.open_time.fast
    return JointResults(
        place + 1,
        glue_up.parts,
        glue_up.at,
        glue_up.glue,
        kind,
        open_hours,
        None if open_hours is None else _whose(label.open_time is not None),
        joint_moments(glue_up.at, hours),
        leads,
        (
            *_room(glue_up, *_glue_limits(label, typical), shop, log),
            *_moisture(glue_up.wood_moisture, label, typical),
        ),
    )


def _hours_of(
    label: Glue, typical: KindOfGlue | None
) -> tuple[JointHours, tuple[Leads | None, Leads | None, Leads | None]]:
    """The label's hours; where it is silent, the slow end of what is typical."""
    rows: tuple[tuple[float | None, Typical | None], ...] = (
        (label.clamps_off, typical.clamps_off if typical else None),
        (label.bears_load, typical.bears_load if typical else None),
        (label.cured, typical.cured if typical else None),
    )
    hours = [said if said is not None else (usual.slow if usual else None) for said, usual in rows]
    first, second, third = (
        None if each is None else _whose(said is not None) for each, (said, _) in zip(hours, rows, strict=True)
    )
    return JointHours(*hours), (first, second, third)


def _whose(said_by_label: bool) -> Leads:
    return "label" if said_by_label else "typical"


def _glue_limits(label: Glue, typical: KindOfGlue | None) -> tuple[tuple[Limits, Leads], tuple[Limits, Leads]]:
    """What the glue asks of temperature and humidity, and who says so."""
    coldest = typical.least_temperature.celsius if typical and typical.least_temperature else None
    temperature: tuple[Limits, Leads] = (Limits(least=coldest), "typical")
    if label.least_temperature is not None:
        temperature = (Limits(least=label.least_temperature), "label")
    return temperature, (Limits(most=label.most_humidity), "label")


def _room(
    at_the_bench: GlueUp | Coat,
    temperature_limits: tuple[Limits, Leads],
    humidity_limits: tuple[Limits, Leads],
    shop: Shop,
    log: RoomLog,
) -> Iterator[RoomVerdict]:
    """Every verdict on the room of a glue-up or a coat; the record's own words before those of the log."""
    entry = log.nearest(at_the_bench.at, LOG_SPEAKS_FOR_HOURS)
    asked = shop.room_limits
    warmth, damp = at_the_bench.temperature, at_the_bench.humidity
    rows: tuple[tuple[Quantity, float | None, float | None, tuple[Limits, Leads], Limits], ...] = (
        ("temperature", warmth, entry.temperature if entry else None, temperature_limits, _span(asked.temperature)),
        ("humidity", damp, entry.humidity if entry else None, humidity_limits, _span(asked.humidity)),
    )
    for quantity, said, logged, product_limits, shop_limits in rows:
        value = said if said is not None else logged
        if value is None:
            continue
        both: tuple[tuple[Limits, Leads], ...] = (product_limits, (shop_limits, "shop"))
        for each, whose in both:
            if not each.are_none:
                yield RoomVerdict(quantity, value, each, whose, verdict_on(value, each), said is None)


def _span(both: tuple[float, float] | None) -> Limits:
    return Limits(*both) if both else Limits()


def _moisture(value: float | None, label: Glue, typical: KindOfGlue | None) -> Iterator[RoomVerdict]:
    span = label.wood_moisture or (typical.moisture if typical else None)
    if value is not None and span:
        limits = Limits(*span)
        whose = _whose(label.wood_moisture is not None)
        yield RoomVerdict("wood moisture", value, limits, whose, verdict_on(value, limits))


def _coats(coats: list[Coat], schedule: FinishSchedule | None, shop: Shop, log: RoomLog) -> tuple[CoatResults, ...]:
    belongs = [schedule is not None and same_product(coat.product, schedule.product) for coat in coats]
    waits = [schedule.between_coats if schedule and own else None for own in belongs]
    cures = [schedule.cured if schedule and own else None for own in belongs]
    answers = coat_moments([coat.at for coat in coats], waits, cures)
    results = []
    for number, (coat, own, moments) in enumerate(zip(coats, belongs, answers, strict=True), 1):
        label = schedule if own else None
        room = _room(
            coat,
            (Limits(least=label.least_temperature if label else None), "label"),
            (Limits(most=label.most_humidity if label else None), "label"),
            shop,
            log,
        )
        results.append(CoatResults(number, coat.at, coat.product, own, moments, tuple(room)))
    return tuple(results)


def same_product(one: str, other: str) -> bool:
    """Whether two names speak of one product: either is in the other, as in `oil varnish thinned by half`."""
    first, second = one.casefold().strip(), other.casefold().strip()
    return first in second or second in first


def _joint_findings(joint: JointResults, glue_up: GlueUp, field: str, unit: Unit) -> Iterator[Finding]:
    yield from _room_findings(joint.room, field, f"«{joint.glue}»", unit)
    off = glue_up.clamps_off
    if off is None:
        return
    if off < glue_up.at:
        message = "the clamps came off before the joint was closed"
        yield Finding("date-order", f"{field}.clamps_off", message, "one of the two times is wrong")
    elif isinstance(joint.moments, JointMoments) and joint.moments.clamps_off and off < joint.moments.clamps_off:
        whose = "its label asks for" if joint.leads[0] == "label" else "is typical of this kind of glue"
        message = f"the clamps came off before {joint.moments.clamps_off:%Y-%m-%d %H:%M}, the time that {whose}"
        yield Finding("doubtful", f"{field}.clamps_off", message, "look at the joint again", "warning")


def _coat_findings(coat: CoatResults, field: str, unit: Unit) -> Iterator[Finding]:
    yield from _room_findings(coat.room, field, f"«{coat.product}»", unit)
    if coat.moments.short_hours > 0:
        message = f"this coat came {in_hours(coat.moments.short_hours)} before its label allows it on the one below"
        yield Finding("doubtful", f"{field}.at", message, "see that the coat below has dried through", "warning")


def _room_findings(verdicts: tuple[RoomVerdict, ...], field: str, product: str, unit: Unit) -> Iterator[Finding]:
    asks = {
        "label": f"than the label of {product} allows",
        "typical": f"than is typical for {product}; its label leads",
        "shop": "than the shop's room limits allow",
    }
    words = {
        ("temperature", "below"): "colder",
        ("temperature", "above"): "warmer",
        ("humidity", "below"): "drier",
        ("humidity", "above"): "damper",
        ("wood moisture", "below"): "drier",
        ("wood moisture", "above"): "damper",
    }
    for each in verdicts:
        if each.verdict == "within":
            continue
        what = "the wood" if each.quantity == "wood moisture" else "the room"
        seen = " by the room log" if each.logged else ""
        message = f"{what} was{seen} {words[each.quantity, each.verdict]} {asks[each.leads]}: {_against(each, unit)}"
        at = "at" if each.logged else each.quantity.replace(" ", "_")
        severity: Literal["warning", "hint"] = "hint" if each.leads == "typical" else "warning"
        yield Finding("doubtful", f"{field}.{at}", message, "", severity)


def _against(each: RoomVerdict, unit: Unit) -> str:
    """`12 °C (54 °F) against at least 16 °C (60 °F)`."""
    bound = each.limits.least if each.verdict == "below" else each.limits.most
    side = "at least" if each.verdict == "below" else "at most"
    said = [in_degrees_or_percent(each.quantity, value, unit) for value in (each.value, bound) if value is not None]
    return f" against {side} ".join(said)


def in_degrees_or_percent(quantity: Quantity, value: float, unit: Unit) -> str:
    """`68 °F (20 °C)` in a shop that counts in inches, `20 °C (68 °F)` in another; `44 %` for anything else."""
    if quantity == "temperature":
        of_c, of_f = f"{trimmed(value, 1)} °C", f"{trimmed(in_fahrenheit(value), 1)} °F"
        return f"{of_f} ({of_c})" if unit == "in" else f"{of_c} ({of_f})"
    return f"{trimmed(value, 1)} %"


def in_hours(hours: float) -> str:
    """`40 min`, `5 h`, `3 days`: a time in the unit a maker would say."""
    if hours < 1:
        return f"{max(1, round(hours * 60))} min"
    return f"{trimmed(hours, 1)} h" if hours < 48 else f"{trimmed(hours / 24, 1)} days"
