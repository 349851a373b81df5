"""What the labels of the shop's glues and finishes ask for, in words: what to wait for, and in which room."""

from __future__ import annotations

from collections.abc import Iterator

from builder.lengths import Unit, trimmed
from builder.published.bench import PublishedFinishing, PublishedGlue
from builder.record import Record
from builder.results.gluing import (
    Quantity,
    glue_on_the_shelf,
    in_degrees_or_percent,
    in_hours,
    kind_in_words,
    same_product,
)
from builder.shop import FinishSchedule, Shop
from builder.shop.gluing import Glue
from builder.tables.finishes import HAZARDS
from builder.tables.glues import KINDS, Typical

_TYPICAL_MARK = " (typical)"
_NO_LABEL = Glue()


def glues_of(record: Record, shop: Shop) -> tuple[PublishedGlue, ...]:
    """The glues that the record's glue-ups name; while it is not finished, the rest of the shelf too."""
    used = {_tidy(each.glue): each.glue for each in record.build.glue_ups}
    named = list(used.values())
    if not record.dates.finished:
        named += [name for name in shop.glues if _tidy(name) not in used]
    return tuple(_glue(name, shop, is_used=_tidy(name) in used) for name in named)


def _tidy(name: str) -> str:
    return " ".join(name.casefold().split())


def _glue(name: str, shop: Shop, *, is_used: bool) -> PublishedGlue:
    label = glue_on_the_shelf(name, shop.glues) or _NO_LABEL
    kind = label.kind or kind_in_words(name)
    typical = KINDS[kind] if kind else None
    opens = typical.open_time if typical else None
    open_time = in_hours(opens.fast) + _TYPICAL_MARK if opens else ""
    return PublishedGlue(
        name=name,
        is_used=is_used,
        open_time=open_time if label.open_time is None else in_hours(label.open_time),
        clamps_off=_wait(label.clamps_off, typical.clamps_off if typical else None),
        bears_load=_wait(label.bears_load, typical.bears_load if typical else None),
        cured=_wait(label.cured, typical.cured if typical else None),
        limits=", ".join(_glue_limits(label, shop.unit)),
        caution=typical.caution if typical else "",
    )


def _wait(said: float | None, usual: Typical | None) -> str:
    """The label's time; where it is silent, the slow end of what is typical, marked."""
    if said is not None:
        return in_hours(said)
    return in_hours(usual.slow) + _TYPICAL_MARK if usual else ""


def _glue_limits(label: Glue, unit: Unit) -> Iterator[str]:
    yield from _room_of(label, unit)
    if label.wood_moisture:
        least, most = label.wood_moisture
        yield f"wood at {trimmed(least, 1)} to {trimmed(most, 1)} % moisture"


def _room_of(label: Glue | FinishSchedule, unit: Unit) -> Iterator[str]:
    if label.least_temperature is not None:
        yield f"at least {in_degrees_or_percent('temperature', label.least_temperature, unit)}"
    if label.most_humidity is not None:
        yield f"at most {in_degrees_or_percent('humidity', label.most_humidity, unit)} humidity"


def finishing_of(record: Record, shop: Shop) -> PublishedFinishing | None:
    """The schedule the record names, with the coats that are left to lay."""
    finish = record.spec.finish
    schedule = shop.finish_schedules.get(finish.schedule) if finish else None
    if finish is None or schedule is None:
        return None
    laid = sum(same_product(coat.product, schedule.product) for coat in record.build.coats)
    return PublishedFinishing(
        schedule=finish.schedule,
        product=schedule.product,
        coats=schedule.coats,
        coats_left=0 if record.dates.finished else max(0, (schedule.coats or 0) - laid),
        between_coats="" if schedule.between_coats is None else in_hours(schedule.between_coats),
        cured="" if schedule.cured is None else in_hours(schedule.cured),
        limits=", ".join(_room_of(schedule, shop.unit)),
        cautions=cautions_of_finish(f"{finish.schedule} {schedule.product}"),
    )


def cautions_of_finish(words: str) -> tuple[str, ...]:
    """What to beware of with a finish that is described in these words."""
    said = words.casefold()
    return tuple(hazard.caution for hazard in HAZARDS if any(each in said for each in hazard.words))


def room_limits_of(shop: Shop) -> str:
    """`60 °F (15.6 °C) to 80 °F (26.7 °C), 38 % to 55 % humidity`, as far as the shop file says."""
    said = []
    if shop.room_limits.temperature:
        said.append(_span("temperature", shop.room_limits.temperature, shop.unit))
    if shop.room_limits.humidity:
        said.append(f"{_span('humidity', shop.room_limits.humidity, shop.unit)} humidity")
    return ", ".join(said)


def _span(quantity: Quantity, both: tuple[float, float], unit: Unit) -> str:
    return " to ".join(in_degrees_or_percent(quantity, each, unit) for each in both)
