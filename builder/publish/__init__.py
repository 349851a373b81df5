"""Names what a buyer may see of a record, its results and its neighbours. What is not named here is not published.

A new field of the record stays in the workshop until somebody adds it in one of these modules.
"""

from __future__ import annotations

import dataclasses
from datetime import date

from builder.calculations.answers import Missing
from builder.publish.board import board_of, drawing_of, fretting_of, reach_of, spacing_of, strings_of
from builder.publish.body import body_drawing_of
from builder.publish.frets import frets_of, multi_scale_of
from builder.publish.making import build_log, finish_of, wood_of
from builder.publish.measures import measure
from builder.publish.subjects import buyer_subjects
from builder.published import FORMAT, Published, PublishedJustList, PublishedMark, PublishedShop, PublishedSource, Table
from builder.record import MultiScale
from builder.shop import Shop
from builder.sources import SOURCES
from builder.tables.just_intonation import JUST_LISTS
from builder.workshop import Instrument


def publish_shop(shop: Shop, mark: PublishedMark | None = None) -> PublishedShop:
    """Name what may be seen of the workshop; `mark` is its own picture, where that was asked for and there is one."""
    return PublishedShop(
        name=shop.name,
        maker=shop.maker,
        place=shop.place,
        email=shop.contact.email,
        telephone=shop.contact.telephone,
        website=shop.contact.website,
        site_address=shop.site_address,
        warranty=shop.warranty,
        next_owner=shop.next_owner,
        unit=shop.unit,
        concert_pitch_hz=shop.concert_pitch,
        tolerance_cents=shop.tolerance,
        rules=tuple((rule.name, str(rule.marks)) for rule in shop.rules),
        working_rule=shop.working_rule,
        just_lists=tuple(
            PublishedJustList(name, tuple(map(str, each.ratios)), each.source) for name, each in JUST_LISTS.items()
        ),
        mark=mark,
    )


def publish(instrument: Instrument, shop: Shop) -> Published:
    """Name what may be seen of one instrument, finished or not; who may see it is decided elsewhere."""
    record, results, spec = instrument.record, instrument.results, instrument.record.spec
    unit = shop.unit
    fret_results = None if isinstance(results.frets, Missing) else results.frets
    frets = frets_of(fret_results, spec, shop) if fret_results else None
    zero_fret = spec.frets is not None and spec.frets.zero_fret
    published = Published(
        format=FORMAT,
        serial=record.serial,
        address=instrument.address,
        title=record.title,
        name=record.name,
        kind=record.kind,
        made_by=record.made_by or shop.maker,
        batch=record.batch,
        ordered=_day(record.dates.ordered),
        finished=_day(record.dates.finished),
        delivered=_day(record.dates.delivered),
        year=record.dates.finished.year if record.dates.finished else None,
        scale_length=None if isinstance(spec.scale_length, MultiScale) else measure(spec.scale_length, unit),
        multi_scale=multi_scale_of(spec, fret_results, unit),
        frets=frets,
        fretboard=board_of(spec, unit),
        drawing=None if isinstance(results.fretboard, Missing) else drawing_of(results.fretboard, zero_fret=zero_fret),
        strings=None if isinstance(results.strings, Missing) else strings_of(results.strings, spec.bridge, shop),
        spacing=None if isinstance(results.spacing, Missing) else spacing_of(results.spacing, spec, unit),
        reach=None if isinstance(results.reach, Missing) else reach_of(results.reach, unit),
        fretting=None if isinstance(results.fretting, Missing) else fretting_of(results.fretting, unit),
        woods=tuple(wood_of(part, wood, instrument.neighbours.billets, unit) for part, wood in spec.wood.items()),
        hardware=tuple(spec.hardware.items()),
        finish=finish_of(spec, shop),
        body_drawing=body_drawing_of(results.body),
        subjects=buyer_subjects(instrument, shop),
        build_log=build_log(record.build, unit),
        story=record.story,
        sources=(),
    )
    return dataclasses.replace(published, sources=_sources_of(published))


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _sources_of(published: Published) -> tuple[PublishedSource, ...]:
    """The bibliography of this instrument: every source its columns name, in the bibliography's own order."""
    used = {column.source for table in _tables(published) for column in table.columns}
    if published.frets and published.frets.layout == "diatonic":
        used.add("diatonic-fretting")
    if published.strings:
        used.add("equal-temperament")
    if published.fretting and published.fretting.fit:
        used.add("fretting")
    used |= {fact.source for subject in published.subjects for fact in subject.figures.facts}
    return tuple(PublishedSource(key, citation) for key, citation in SOURCES.items() if key in used)


def _tables(published: Published) -> list[Table]:
    frets, strings = published.frets, published.strings
    tables = [frets.table, frets.rule_costs, frets.stepped, frets.tuning] if frets else []
    tables += [tuning.note_map for tuning in strings.tunings] if strings else []
    tables += [published.spacing.table] if published.spacing else []
    tables += [published.reach.table] if published.reach else []
    tables += [each.table for subject in published.subjects for each in subject.figures.tables]
    return [table for table in tables if table is not None]
