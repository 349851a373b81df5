"""Names what the bench board shows, in words: what may be done now, what rests, what comes next, and the week ahead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta

from builder.lengths import Unit, trimmed
from builder.published.bench_board import (
    PublishedBenchBoard,
    PublishedBoardDay,
    PublishedBoardLine,
    PublishedRoomLately,
    PublishedWork,
)
from builder.results.bench_board import (
    DAYS_AHEAD,
    LATELY,
    BenchBoardResults,
    CoatOnBoard,
    JointOnBoard,
    RoomOnBoard,
    RoomReading,
    WorkOnBoard,
    work_out_bench_board,
)
from builder.results.gluing import Quantity, in_degrees_or_percent
from builder.words import counted, in_a_row, weekday_in_words
from builder.workshop import Workshop

#: So many readings outside limits are written out; of more only the number is told.
MOST_READINGS = 5

Titles = Mapping[str, str]


def publish_bench_board(workshop: Workshop, moment: datetime) -> PublishedBenchBoard:
    """The board of a shop without errors at a moment of its clock."""
    if workshop.shop is None:
        raise ValueError("a shop whose file cannot be read has no board")
    instruments = [(each.record, each.private, each.results) for each in workshop.instruments]
    results = work_out_bench_board(moment, instruments, workshop.patterns, workshop.shop, workshop.room_log)
    titles = {str(each.record.serial): each.record.title for each in workshop.instruments}
    lines = [(each.state, _joint_line(each, titles, moment)) for each in results.joints]
    coats = [(each.state, _coat_line(each, titles, moment)) for each in results.coats]
    return PublishedBenchBoard(
        moment=f"{weekday_in_words(moment.date())} {moment.year}, {moment:%H:%M}",
        ready=tuple(line for state, line in (*lines, *coats) if state in ("free", "bears load", "ready")),
        resting=tuple(line for state, line in (*lines, *coats) if state not in ("free", "bears load", "ready")),
        work=tuple(_work(each, titles, moment) for each in results.work),
        room=_room(results.room, workshop.shop.unit, moment) if results.room else None,
        ahead=tuple(_ahead(results, titles)),
        until=weekday_in_words(moment.date() + timedelta(days=DAYS_AHEAD - 1)),
    )


def _joint_line(each: JointOnBoard, titles: Titles, moment: datetime) -> PublishedBoardLine:
    off_leads, load_leads = each.leads
    also = ""
    if each.state == "free":
        says, at, whose = "can leave the clamps now", each.clamps_off, off_leads
    elif each.state == "bears load":
        says, at, whose = "may bear load now", each.bears_load, load_leads
    elif each.state == "in clamps":
        says, at, whose = "in clamps", each.clamps_off, off_leads
    elif each.state == "resting":
        says, at, whose = "out of the clamps, no load yet", each.bears_load, load_leads
    else:
        says, at, whose = "in clamps, nobody knows until when", None, None
        also = "neither the shop file nor the kind of glue tells; read the label"
    since = "since" if each.state in ("free", "bears load") else "until"
    if each.state in ("free", "in clamps") and each.bears_load and each.bears_load > moment:
        also = f"no load before {_when(each.bears_load, moment)}"
    return PublishedBoardLine(
        each.serial,
        titles[each.serial],
        f"{in_a_row(each.joint.parts)} with {each.joint.glue}",
        says,
        f"{since} {_when(at, moment)}" if at else f"closed {_when(each.joint.at, moment)}",
        also,
        whose == "typical" or (bool(also) and load_leads == "typical"),
    )


def _coat_line(each: CoatOnBoard, titles: Titles, moment: datetime) -> PublishedBoardLine:
    following = f"coat {each.laid + 1}" + (f" of {each.of}" if each.of else "")
    when, also = f"{_when(each.until, moment)}" if each.until else "", ""
    if each.state == "ready":
        says, when = f"may have {following} now", f"since {when}"
    elif each.state == "drying":
        says, when = f"dries, {following}", f"from {when}"
    elif each.state == "curing":
        says, when = "all coats on, cures", f"until {when}"
    else:
        says, when = f"dries, {following}", f"laid {_when(each.last.at, moment)}"
        also = "the finish schedule names no waiting time for it; read the label"
    return PublishedBoardLine(each.serial, titles[each.serial], each.last.product, says, when, also)


def _work(each: WorkOnBoard, titles: Titles, moment: datetime) -> PublishedWork:
    words = {"clamps": "in clamps", "finish": "the finish"}
    waits = tuple(
        f"{words[what]} until {_when(until, moment)}" if until else f"{words[what]}, nobody knows how long"
        for what, until in each.waits
    )
    if not each.is_begun:
        if each.ordered and each.ordered <= moment.date():
            waits = (*waits, f"ordered {counted((moment.date() - each.ordered).days, 'day')} ago")
        elif each.stage != "ordered":
            waits = (*waits, each.stage)
    days = each.days_left
    due = ""
    if days is not None:
        late = f"{counted(-days, 'day')} late" if days < 0 else f"{counted(days, 'day')} left"
        due = late if days else "due today"
    return PublishedWork(
        each.serial,
        titles[each.serial],
        "not begun" if not each.is_begun else "waits" if waits else "ready",
        each.next_step,
        _hours(each.next_hours) if each.next_hours is not None else "",
        _left(each),
        waits,
        each.promised.isoformat() if each.promised else None,
        due,
        days is not None and days < 0,
    )


def _left(each: WorkOnBoard) -> str:
    """`3 steps, 7.5 h` with what has no typical time named."""
    if not each.steps_left:
        return ""
    timed = f", {_hours(each.left_hours)}" if each.left_hours else ""
    untimed = f", {each.untimed} of them untimed" if timed and each.untimed else ""
    return f"{counted(each.steps_left, 'step')}{timed}{untimed}"


def _hours(hours: float) -> str:
    return f"{trimmed(hours, 2)}\u00a0h" if hours >= 1 else f"{round(hours * 60)}\u00a0min"


def _room(room: RoomOnBoard, unit: Unit, moment: datetime) -> PublishedRoomLately:
    last = room.last
    both: tuple[tuple[Quantity, float | None], ...] = (("temperature", last.temperature), ("humidity", last.humidity))
    values = [in_degrees_or_percent(quantity, value, unit) for quantity, value in both if value is not None]
    days = LATELY.days
    if not room.lately:
        says = f"No reading in the last {days} days."
    elif not room.has_limits:
        says = "The shop file sets no room limits."
    elif room.outside:
        says = f"Outside the shop's limits in the last {days} days:"
    else:
        says = f"All {counted(room.lately, 'reading')} of the last {days} days within the shop's limits."
    outside = [_outside(each, unit, moment) for each in room.outside[:MOST_READINGS]]
    more = len(room.outside) - len(outside)
    return PublishedRoomLately(
        f"{_when(last.at, moment)}: {', '.join(values)}", says, (*outside, *([f"and {more} more"] if more else []))
    )


def _outside(each: RoomReading, unit: Unit, moment: datetime) -> str:
    bound = each.limits.least if each.verdict == "below" else each.limits.most
    words = {
        ("temperature", "below"): "colder than", ("temperature", "above"): "warmer than",
        ("humidity", "below"): "drier than", ("humidity", "above"): "damper than",
    }[each.quantity, each.verdict]  # fmt: skip
    value = in_degrees_or_percent(each.quantity, each.value, unit)
    against = in_degrees_or_percent(each.quantity, bound, unit) if bound is not None else ""
    return f"{_when(each.at, moment)}: {value}, {words} {against}"


def _ahead(results: BenchBoardResults, titles: Titles) -> Iterator[PublishedBoardDay]:
    words = {
        "clamps off": "can leave the clamps", "bears load": "may bear load", "next coat": "next coat",
        "cured": "cured", "promised": "promised",
    }  # fmt: skip
    for day in dict.fromkeys(each.day for each in results.ahead):
        lines = tuple(
            PublishedBoardLine(
                each.serial,
                titles[each.serial],
                each.what,
                words[each.kind],
                f"{each.at:%H:%M}" if each.at else "",
                is_typical=each.leads == "typical",
            )
            for each in results.ahead
            if each.day == day
        )
        yield PublishedBoardDay(weekday_in_words(day), lines)


def _when(at: datetime, moment: datetime) -> str:
    """`today 14:00`, `yesterday 9:00`, else `Monday 30 November 14:00`; the year where it is another."""
    days = (at.date() - moment.date()).days
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    year = "" if at.year == moment.year else f" {at.year}"
    return f"{near.get(days) or weekday_in_words(at.date()) + year} {at:%H:%M}"
