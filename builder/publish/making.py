"""What is published of wood, finish, and the work itself."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from builder.lengths import Unit, trimmed
from builder.limits import Celsius, Percent
from builder.publish.measures import measure
from builder.published import PublishedEvent, PublishedFinish, PublishedWood
from builder.record import Build, Spec, WoodSpec
from builder.results.woods_named import name_of_wood
from builder.shop import Billet, Shop
from builder.units import in_fahrenheit
from builder.words import in_a_row


def wood_of(part: str, wood: WoodSpec, billets: Mapping[str, Billet], unit: Unit) -> PublishedWood:
    """One wooden part, from its billet or its species."""
    billet = billets.get(wood.billet) if wood.billet else None
    return PublishedWood(
        part=part,
        species=wood.species or (billet.species if billet else ""),
        botanical=name_of_wood(wood, billet).botanical,
        origin=billet.origin if billet else None,
        cut=wood.cut or (billet.cut if billet else None),
        finished=measure(wood.finished, unit),
        words=wood.words,
        country=billet.country if billet else None,
    )


def finish_of(spec: Spec, shop: Shop) -> PublishedFinish | None:
    """The finish, in the words of schedule and record."""
    if spec.finish is None:
        return None
    schedule = shop.finish_schedules.get(spec.finish.schedule)
    words = " ".join(filter(None, (schedule.words if schedule else None, spec.finish.words)))
    return PublishedFinish(
        schedule=spec.finish.schedule,
        product=schedule.product if schedule else None,
        coats=schedule.coats if schedule else None,
        words=words or None,
    )


def build_log(build: Build, unit: Unit) -> tuple[PublishedEvent, ...]:
    """Everything done, in the order of days; within a day what has a time comes after what has none."""

    def at(moment: datetime) -> tuple[str, str]:
        return moment.date().isoformat(), f"{moment:%H:%M}"

    events = [
        PublishedEvent(step.done.isoformat(), None, "step", step.step, None, None) for step in build.steps if step.done
    ]
    events += [PublishedEvent(entry.date.isoformat(), None, "note", entry.did, None, None) for entry in build.log]
    for glue_up in build.glue_ups:
        room = _room(glue_up.temperature, glue_up.humidity, unit)
        events.append(PublishedEvent(*at(glue_up.at), "glue-up", in_a_row(glue_up.parts), glue_up.glue, room))
    for number, coat in enumerate(sorted(build.coats, key=lambda coat: coat.at), 1):
        room = _room(coat.temperature, coat.humidity, unit)
        events.append(PublishedEvent(*at(coat.at), "coat", f"coat {number}", coat.product, room))
    return tuple(sorted(events, key=lambda event: (event.date, event.time or "")))


def _room(temperature: Celsius | None, humidity: Percent | None, unit: Unit) -> str | None:
    """`68 °F (20 °C), 44 % humidity`, as far as it is known."""
    said = []
    if temperature is not None:
        in_f, in_c = f"{trimmed(in_fahrenheit(temperature), 0)} °F", f"{trimmed(temperature, 0)} °C"
        said.append(f"{in_f} ({in_c})" if unit == "in" else f"{in_c} ({in_f})")
    if humidity is not None:
        said.append(f"{trimmed(humidity, 0)} % humidity")
    return ", ".join(said) or None
