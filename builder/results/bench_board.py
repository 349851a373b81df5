"""The bench at one moment: what is in clamps until when, what may be loaded or coated, what comes next, what is late.

Everything follows from the records, the shop file and the moment alone; what was written of later days does not count.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Literal

from builder.calculations.answers import Missing
from builder.calculations.gluing import JointMoments, Limits, Verdict, verdict_on
from builder.record import Dates, Pattern, PrivateFile, Record
from builder.results import Results
from builder.results.gluing import CoatResults, GluingResults, JointResults, Leads, Quantity
from builder.results.order import OrderStage, stage_of
from builder.shop import FinishSchedule, Shop
from builder.shop.room_log import RoomEntry, RoomLog
from builder.words import in_a_row

#: So long after its clamps may come off a joint is taken to be out of them, though nobody wrote it down.
TAKEN_TO_BE_OFF = timedelta(days=7)
#: So long it is told of a joint that it may bear load by now.
LOAD_IS_TOLD = timedelta(hours=24)
#: How far back the room log is looked through.
LATELY = timedelta(days=7)
DAYS_AHEAD = 7

_OFF_THE_BENCH: tuple[OrderStage, ...] = ("finished", "for sale", "delivered", "cancelled", "returned")

JointState = Literal["free", "bears load", "in clamps", "resting", "unknown"]
CoatState = Literal["ready", "drying", "curing", "unknown"]
EventKind = Literal["clamps off", "bears load", "next coat", "cured", "promised"]


@dataclass(frozen=True, slots=True)
class JointOnBoard:
    """A joint that is not done with. `free`: may leave the clamps; `resting`: out of them, and not to be loaded yet.

    `unknown` is one of a glue that neither a label nor its kind tells the hours of.
    """

    serial: str
    joint: JointResults
    state: JointState
    clamps_off: datetime | None
    bears_load: datetime | None

    @property
    def leads(self) -> tuple[Leads | None, Leads | None]:
        """Who says when the clamps may come off, and when it bears load."""
        return self.joint.leads[:2]


@dataclass(frozen=True, slots=True)
class CoatOnBoard:
    """The finish of one instrument after its last coat. `of` is how many coats the schedule has, if it says so."""

    serial: str
    last: CoatResults
    state: CoatState
    laid: int
    of: int | None
    until: datetime | None


@dataclass(frozen=True, slots=True)
class WorkOnBoard:
    """What is to be done next on one instrument, what it waits for, and how late it is.

    `next_hours` and `left_hours` are typical times of the pattern it goes back to; `untimed` steps to come have none.
    `waits` are until when it is in clamps or dries, None where nobody knows. `days_left` is below zero when it is late.
    """

    serial: str
    stage: OrderStage
    is_begun: bool
    next_step: str | None
    next_hours: float | None
    steps_left: int
    left_hours: float
    untimed: int
    waits: tuple[tuple[Literal["clamps", "finish"], datetime | None], ...]
    ordered: date | None
    promised: date | None
    days_left: int | None


@dataclass(frozen=True, slots=True)
class RoomReading:
    """A reading of the room log that keeps no limit of the shop; in °C or percent."""

    at: datetime
    quantity: Quantity
    value: float
    limits: Limits
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class RoomOnBoard:
    """The room as the log has it: the last entry, how many there are of late, and what of them lies outside limits."""

    last: RoomEntry
    lately: int
    outside: tuple[RoomReading, ...]
    has_limits: bool


@dataclass(frozen=True, slots=True)
class Event:
    """Something that becomes free or due; `at` is None where only the day is known. `leads` says who tells it."""

    serial: str
    kind: EventKind
    day: date
    at: datetime | None
    what: str
    leads: Leads | None = None


@dataclass(frozen=True, slots=True)
class BenchBoardResults:
    """The bench at a moment. Joints, coats and work stand with what is ready first; `ahead` is in the order of time."""

    moment: datetime
    joints: tuple[JointOnBoard, ...]
    coats: tuple[CoatOnBoard, ...]
    work: tuple[WorkOnBoard, ...]
    room: RoomOnBoard | None
    ahead: tuple[Event, ...]


def work_out_bench_board(
    moment: datetime,
    instruments: Sequence[tuple[Record, PrivateFile | None, Results]],
    patterns: Mapping[str, Pattern],
    shop: Shop,
    log: RoomLog | None,
) -> BenchBoardResults:
    """Everything that is on the bench at a moment of the shop's clock, to the minute.

    What becomes possible at the very minute is possible. Sources: glue-label, glue-typical; hours are the patterns'.
    """
    records = {str(record.serial): record for record, _, _ in instruments}
    joints: list[JointOnBoard] = []
    coats: list[CoatOnBoard] = []
    work: list[WorkOnBoard] = []
    for record, private, results in instruments:
        stage = _stage_at(record, private, moment.date())
        if stage is None or stage in _OFF_THE_BENCH:
            continue
        gluing = results.gluing
        of_it = list(_joints(record, gluing, moment))
        finish = _finish(record, gluing, shop, moment)
        joints += of_it
        coats += [finish] if finish else []
        hours = _typical_hours(record, records, patterns)
        work.append(_work(record, stage, of_it, finish, hours, moment))
    joints.sort(key=_joint_order)
    coats.sort(key=lambda each: (_COATS.index(each.state), each.until or datetime.max, each.serial))
    work.sort(key=_work_order)
    events = _events(joints, coats, work, moment)
    ahead = sorted(events, key=lambda each: (each.day, each.at or datetime.min, each.serial))
    return BenchBoardResults(moment, tuple(joints), tuple(coats), tuple(work), _room(log, shop, moment), tuple(ahead))


_JOINTS: tuple[JointState, ...] = ("free", "bears load", "in clamps", "unknown", "resting")
_COATS: tuple[CoatState, ...] = ("ready", "drying", "unknown", "curing")


def _joint_order(each: JointOnBoard) -> tuple[int, datetime, str, int]:
    until = each.clamps_off if each.state in ("free", "in clamps") else each.bears_load
    return _JOINTS.index(each.state), until or each.joint.at, each.serial, each.joint.number


def _work_order(each: WorkOnBoard) -> tuple[bool, bool, date, str]:
    """What can be worked on first, then what waits, then what is not begun; of each the one that is promised first."""
    return not each.is_begun, bool(each.waits), each.promised or date.max, each.serial


def _stage_at(record: Record, private: PrivateFile | None, day: date) -> OrderStage | None:
    """How far an instrument was on a day; None where it was not thought of yet."""
    dates, order, build = record.dates, private.order if private else None, record.build
    known = [dates.ordered, dates.finished, dates.delivered, *(step.done for step in build.steps)]
    known += [order.inquired, order.quoted] if order else []
    known += [*(glue_up.at.date() for glue_up in build.glue_ups), *(coat.at.date() for coat in build.coats)]
    known += [entry.date for entry in build.log]
    written = [each for each in known if each]
    if written and min(written) > day:
        return None

    def by_then(each: date | None) -> date | None:
        return each if each and each <= day else None

    then = Dates(by_then(dates.ordered), dates.promised, by_then(dates.finished), by_then(dates.delivered))
    if private and order:
        order = replace(
            order,
            inquired=by_then(order.inquired),
            quoted=by_then(order.quoted),
            cancelled=by_then(order.cancelled),
            returned=by_then(order.returned),
        )
        private = replace(private, order=order)
    return stage_of(then, private)


def _joints(record: Record, gluing: GluingResults | Missing, moment: datetime) -> Iterator[JointOnBoard]:
    """The joints of one instrument that are still in clamps or not to be loaded yet, and those just done with."""
    for joint in () if isinstance(gluing, Missing) else gluing.joints:
        if joint.at > moment:
            continue
        known = joint.moments if isinstance(joint.moments, JointMoments) else JointMoments(None, None, None)
        off, load = known.clamps_off, known.bears_load
        written_off = record.build.glue_ups[joint.number - 1].clamps_off
        state = _joint_state(off, load, written_off is not None and written_off <= moment, moment)
        if state:
            yield JointOnBoard(str(record.serial), joint, state, off, load)


def _joint_state(
    off: datetime | None, load: datetime | None, is_written_off: bool, moment: datetime
) -> JointState | None:
    long_since = off or load
    if not is_written_off and not (long_since and moment >= long_since + TAKEN_TO_BE_OFF):
        if off is None:
            return "unknown"
        return "free" if moment >= off else "in clamps"
    if load is None or moment >= load + LOAD_IS_TOLD:
        return None
    return "bears load" if moment >= load else "resting"


def _finish(record: Record, gluing: GluingResults | Missing, shop: Shop, moment: datetime) -> CoatOnBoard | None:
    """How the finish of one instrument stands; None before the first coat, and where the last one is cured."""
    laid = [] if isinstance(gluing, Missing) else [each for each in gluing.coats if each.at <= moment]
    if not laid:
        return None
    schedule = shop.finish_schedules.get(record.spec.finish.schedule) if record.spec.finish else None
    last, count = laid[-1], sum(each.of_schedule for each in laid)
    of = schedule.coats if schedule else None
    state, until = _coat_state(last, schedule, of is not None and count >= of, moment)
    return CoatOnBoard(str(record.serial), last, state, count, of, until) if state else None


def _coat_state(
    last: CoatResults, schedule: FinishSchedule | None, is_last: bool, moment: datetime
) -> tuple[CoatState | None, datetime | None]:
    if is_last:
        cured = last.moments.cured
        return ("curing", cured) if cured and moment < cured else (None, None)
    following = last.moments.next_coat
    if following is None or schedule is None:
        return "unknown", None
    return ("ready" if moment >= following else "drying"), following


def _typical_hours(
    record: Record, records: Mapping[str, Record], patterns: Mapping[str, Pattern]
) -> Mapping[str, float]:
    """How long each step usually takes by the pattern an instrument goes back to, over earlier ones if need be."""
    seen, start = set[str](), record.started_from
    while start and start not in seen:
        if start in patterns:
            timed = [each for each in patterns[start].steps if each.hours is not None]
            return {_tidy(each.step): each.hours for each in reversed(timed) if each.hours is not None}
        seen.add(start)
        start = records[start].started_from if start in records else None
    return {}


def _tidy(step: str) -> str:
    return " ".join(step.casefold().split())


def _work(
    record: Record,
    stage: OrderStage,
    joints: Iterable[JointOnBoard],
    finish: CoatOnBoard | None,
    hours: Mapping[str, float],
    moment: datetime,
) -> WorkOnBoard:
    day, build = moment.date(), record.build
    to_do = [each.step for each in build.steps if each.done is None or each.done > day]
    times = [hours.get(_tidy(step)) for step in to_do]
    in_clamps = [each for each in joints if each.state in ("in clamps", "unknown")]
    waits: list[tuple[Literal["clamps", "finish"], datetime | None]] = []
    if in_clamps:
        known = [each.clamps_off for each in in_clamps if each.clamps_off]
        waits.append(("clamps", max(known) if len(known) == len(in_clamps) else None))
    if finish and finish.state != "ready":
        waits.append(("finish", finish.until))
    begun = [each for each in build.steps if each.done and each.done <= day]
    at_the_bench = [*(each.at for each in build.glue_ups), *(each.at for each in build.coats)]
    return WorkOnBoard(
        serial=str(record.serial),
        stage=stage,
        is_begun=bool(begun) or any(at <= moment for at in at_the_bench),
        next_step=to_do[0] if to_do else None,
        next_hours=times[0] if times else None,
        steps_left=len(to_do),
        left_hours=sum(each for each in times if each is not None),
        untimed=times.count(None),
        waits=tuple(waits),
        ordered=record.dates.ordered,
        promised=record.dates.promised,
        days_left=(record.dates.promised - day).days if record.dates.promised else None,
    )


def _room(log: RoomLog | None, shop: Shop, moment: datetime) -> RoomOnBoard | None:
    """The last entry of the log before a moment, and what lay outside the shop's limits in the days before it."""
    entries = [each for each in log.entries if each.at <= moment] if log else []
    if not entries:
        return None
    asked = shop.room_limits
    lately = [each for each in entries if each.at >= moment - LATELY]
    outside = []
    for each in reversed(lately):
        both: tuple[tuple[Quantity, float | None, tuple[float, float] | None], ...] = (
            ("temperature", each.temperature, asked.temperature),
            ("humidity", each.humidity, asked.humidity),
        )
        for quantity, value, span in both:
            if value is not None and span is not None:
                limits = Limits(*span)
                verdict = verdict_on(value, limits)
                if verdict != "within":
                    outside.append(RoomReading(each.at, quantity, value, limits, verdict))
    has_limits = bool(asked.temperature or asked.humidity)
    return RoomOnBoard(entries[-1], len(lately), tuple(outside), has_limits)


def _events(
    joints: Iterable[JointOnBoard], coats: Iterable[CoatOnBoard], work: Iterable[WorkOnBoard], moment: datetime
) -> Iterator[Event]:
    """What becomes free or due after a moment, within the week that begins with its day."""
    first = moment.date()
    last = first + timedelta(days=DAYS_AHEAD - 1)

    def at(
        serial: str, kind: EventKind, when: datetime | None, what: str, leads: Leads | None = None
    ) -> Iterator[Event]:
        if when and when > moment and when.date() <= last:
            yield Event(serial, kind, when.date(), when, what, leads)

    for each in joints:
        what = in_a_row(each.joint.parts)
        if each.state == "in clamps":
            yield from at(each.serial, "clamps off", each.clamps_off, what, each.leads[0])
        yield from at(each.serial, "bears load", each.bears_load, what, each.leads[1])
    for coat in coats:
        if coat.state != "ready":
            kind: EventKind = "cured" if coat.state == "curing" else "next coat"
            yield from at(coat.serial, kind, coat.until, coat.last.product, "label")
    for one in work:
        if one.promised and first <= one.promised <= last:
            yield Event(one.serial, "promised", one.promised, None, "")
