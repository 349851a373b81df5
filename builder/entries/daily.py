"""The entries of a working day: a glue-up, a coat, a step done, a line for the log, work on a finished one, hours.

Each function takes what a maker said, as text, and gives what is to be written once it is known how the record reads.
Values are not looked at here: the readers of the records do that before anything is written.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Literal

from builder.editing.layout import Plain
from builder.entries.keeping import PRIVATE, Asked, Edit, Entry, Refused
from builder.entries.moments import moment_after, written_moment
from builder.problems import did_you_mean
from builder.record import Coat, GlueUp
from builder.record.hours import HoursEntry
from builder.shop import Shop
from builder.words import in_a_row
from builder.workshop import Instrument

#: How alike two names must be for one of them to be a slip of the pen.
_A_SLIP = 0.8

#: What was said, by the name of the field it goes into; a field that nothing was said of is not there.
Said = Mapping[str, Plain]


def glue_up(said: Said, at: datetime, *, is_new: bool = False) -> Asked:
    """Parts glued together at a moment. A glue that is nearly one of the shelf is a slip, unless it `is_new`."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        values = {**said, "at": written_moment(at)}
        values["glue"] = _as_listed(str(said["glue"]), shop.glues, "glue", is_new=is_new)
        if "clamps_off" in said:
            values["clamps_off"] = written_moment(moment_after(str(said["clamps_off"]), at))
        parts = said["parts"]
        told = f"{in_a_row(map(str, parts))}, {values['glue']}, {values['at']}"
        return Entry(f"glue-up of {told}", (_new_entry(("build", "glue_ups"), GlueUp, values),))

    return entry


def coat(said: Said, at: datetime) -> Asked:
    """A coat of finish laid at a moment; the product is that of the finish schedule where none is said."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        values = {**said, "at": written_moment(at)}
        if "product" not in said:
            values["product"] = _product_of(instrument, shop)
        number = len(instrument.record.build.coats) + 1
        told = f"coat {number}, {values['product']}, {values['at']}"
        return Entry(told, (_new_entry(("build", "coats"), Coat, values),))

    return entry


def step(name: str, day: date, *, is_new: bool = False) -> Asked:
    """A step done on a day: ticked where it stands in the list, else put at its end.

    A name that is nearly one of those in the list is a slip, unless `is_new` says that it is none.
    """

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        steps = instrument.record.build.steps
        alike = [number for number, each in enumerate(steps) if each.step.casefold() == name.casefold()]
        still_open = [number for number in alike if steps[number].done is None]
        if still_open:
            field = ("build", "steps", still_open[0], "done")
            return Entry(f"«{steps[still_open[0]].step}», done {day}", (Edit(field, day.isoformat()),))
        if alike and not is_new:
            done = steps[alike[-1]]
            raise Refused(f"«{done.step}» was done on {done.done} already", "to put it in once more, add --new")
        if not is_new:
            _refuse_slip(name, [each.step for each in steps], "step")
        new: Plain = {"step": name, "done": day.isoformat()}
        return Entry(f"«{name}», a new step, done {day}", (Edit(("build", "steps"), new, is_entry=True),))

    return entry


def log(words: str, day: date) -> Asked:
    """A line for the log of the work."""
    return _words_on_a_day(("build", "log"), words, day, "log")


def service(words: str, day: date) -> Asked:
    """Work on an instrument since it was handed over."""
    return _words_on_a_day(("service",), words, day, "service")


def dated(name: Literal["promised", "finished", "delivered"], day: date) -> Asked:
    """One of the days that matter, from which the stage of the work follows."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        return Entry(f"{name} {'for' if name == 'promised' else 'on'} {day}", (Edit(("dates", name), day.isoformat()),))

    return entry


def hours(worked: str, day: date, at_step: str | None, *, is_new: bool = False) -> Asked:
    """Hours worked, into the private file; where the record has steps, at one of them."""

    def entry(instrument: Instrument, shop: Shop) -> Entry:
        values: dict[str, Plain] = {"date": day.isoformat(), "hours": worked}
        if at_step is not None:
            steps = [each.step for each in instrument.record.build.steps]
            values["step"] = _as_listed(at_step, steps, "step", is_new=is_new)
        told = f"{worked if not worked[-1:].isdigit() else f'{worked} h'} on {day}"
        told += f", {values['step']}" if at_step is not None else ""
        return Entry(told, (_new_entry(("hours",), HoursEntry, values),), PRIVATE)

    return entry


def _words_on_a_day(field: tuple[str, ...], words: str, day: date, what: str) -> Asked:
    def entry(instrument: Instrument, shop: Shop) -> Entry:
        new: Plain = {"date": day.isoformat(), "did": words}
        return Entry(f"{what} of {day}: {words}", (Edit(field, new, is_entry=True),))

    return entry


def _new_entry(field: tuple[str, ...], shape: type, values: Mapping[str, Plain]) -> Edit:
    """An entry with its keys in the order of the fields."""
    names = [each.name for each in dataclasses.fields(shape)]
    return Edit(field, {name: values[name] for name in names if name in values}, is_entry=True)


def _product_of(instrument: Instrument, shop: Shop) -> str:
    finish = instrument.record.spec.finish
    schedule = shop.finish_schedules.get(finish.schedule) if finish else None
    if schedule is None:
        raise Refused("nothing says what was laid on", "name it with --product")
    return schedule.product


def _as_listed(name: str, listed: Iterable[str], what: str, *, is_new: bool) -> str:
    """A name as the list spells it; one that is nearly in the list is refused, any other stays as it is."""
    names = list(listed)
    spelled = next((each for each in names if each.casefold() == name.casefold()), None)
    if spelled is None and not is_new:
        _refuse_slip(name, names, what)
    return spelled or name


def _refuse_slip(name: str, listed: list[str], what: str) -> None:
    folded = [each.casefold() for each in listed]
    if difflib.get_close_matches(name.casefold(), folded, n=1, cutoff=_A_SLIP):
        hint = f"{did_you_mean(name, listed)} If it is another, add --new"
        raise Refused(f"there is no {what} «{name}» yet", hint)
