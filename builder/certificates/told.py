"""What two snapshots of one instrument say differently, told in a maker's words: the field, what it was, what it is.

What stands in a record (or in the shop's own files, for wood, wire and finish) is *written*; everything else is worked
out from it, and may change because a newer version of the program works it out otherwise. Wording, the bibliography
and what follows from other values (the title from the name) are not told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import zip_longest
from typing import Any, TypeVar

from builder.certificates.fields import (
    FIELD_OF_SUBJECT,
    LOGGED_IN,
    OF_A_WOOD,
    SOURCES_OF_WHAT_IS_WRITTEN,
    TABLES,
    WORKED_OUT,
    WRITTEN,
    course_in_words,
    event_in_words,
    field_of_fact,
    in_words,
    tuning_in_words,
)
from builder.published import Figures, Published, PublishedEvent, Table
from builder.published.issued import PublishedChange
from builder.published.reading import ReadBack
from builder.templates import cell, day_in_words
from builder.words import counted

T = TypeVar("T")

#: A longer text is told by the passage that changed.
MOST_LETTERS = 160


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing said differently, and the field of the record it stands in or is worked out from."""

    field: str
    change: PublishedChange


def differences(before: ReadBack, now: Published) -> tuple[Difference, ...]:
    """What `now` says otherwise, what is written first. Names that the older snapshot does not have are no change."""
    if before.published == replace(now, address=before.published.address):
        return ()
    once: dict[tuple[str, str, str], Difference] = {}  # some subjects say again what another has said
    for each in _Telling(before.published, now, before.absent).everything():
        once.setdefault((each.change.what.casefold(), each.change.was, each.change.now), each)
    return tuple(sorted(once.values(), key=lambda each: not each.change.is_written))


@dataclass(frozen=True, slots=True)
class _Telling:
    """Two states of one instrument, looked through from top to bottom."""

    before: Published
    now: Published
    absent: frozenset[str]

    def everything(self) -> Iterator[Difference]:
        """Every difference, in the order of the page."""
        yield from self._single_values()
        yield from self._woods_and_fittings()
        yield from self._strings()
        yield from self._build_log()
        yield from self._tables()
        yield from self._subjects()
        yield from self._drawings_and_rules()

    def _both(self, path: str) -> tuple[Any, Any] | None:
        """A value before and now. None where the older snapshot could not say it."""
        before: Any = self.before
        now: Any = self.now
        for name in path.split("."):
            if f"{type(before).__name__}.{name}" in self.absent:
                return None
            before = None if before is None else getattr(before, name)
            now = None if now is None else getattr(now, name)
        return before, now

    def _single_values(self) -> Iterator[Difference]:
        for path, what, field, say in WRITTEN:
            if both := self._both(path):
                yield from _changed(field, what, *(say(value) if value else in_words(value) for value in both))
        for path, what, field in WORKED_OUT:
            if both := self._both(path):
                yield from _changed(field, what, *map(in_words, both), is_written=False)

    def _woods_and_fittings(self) -> Iterator[Difference]:
        for wood, before, now in _paired(self.before.woods, self.now.woods, lambda wood: wood.part):
            for name, called in OF_A_WOOD:
                if f"PublishedWood.{name}" not in self.absent:
                    was, is_now = (in_words(getattr(each, name)) if each else "" for each in (before, now))
                    yield from _changed(f"spec.wood.{wood.part}", f"{_capital(wood.part)}, {called}", was, is_now)
        for (part, _), old, new in _paired(self.before.hardware, self.now.hardware, lambda fitting: fitting[0]):
            was, is_now = (fitting[1] if fitting else "" for fitting in (old, new))
            yield from _changed(f"spec.hardware.{part}", _capital(part), was, is_now)

    def _strings(self) -> Iterator[Difference]:
        if both := self._both("strings"):
            courses = ([course_in_words(each) for each in strings.courses] if strings else [] for strings in both)
            yield from _one_by_one("spec.strings", "Course", *courses)
            tunings = ([tuning_in_words(each) for each in strings.tunings] if strings else [] for strings in both)
            yield from _one_by_one("spec.tunings", "Tuning", *tunings)

    def _build_log(self) -> Iterator[Difference]:
        """Entries by day and kind; what stands in both is left out, and the rest is held side by side."""

        def by_day(events: Iterable[PublishedEvent]) -> dict[tuple[str, str], list[str]]:
            days: dict[tuple[str, str], list[str]] = {}
            for event in events:
                days.setdefault((event.date, event.kind), []).append(event_in_words(event))
            return days

        before, now = by_day(self.before.build_log), by_day(self.now.build_log)
        for date, kind in sorted(before.keys() | now.keys()):
            was, is_now = before.get((date, kind), []), now.get((date, kind), [])
            gone = [each for each in was if each not in is_now]
            new = [each for each in is_now if each not in was]
            for one, other in zip_longest(gone, new, fillvalue=""):
                yield from _changed(LOGGED_IN.get(kind, "build"), f"Built, {day_in_words(date)}", one, other)

    def _tables(self) -> Iterator[Difference]:
        for path, what, field in TABLES:
            if both := self._both(path):
                yield from _table_changed(field, what, *both)
        if both := self._both("strings"):
            maps = (
                {tuning_in_words(each): each.note_map for each in strings.tunings} if strings else {}
                for strings in both
            )
            before, now = maps
            for tuning in (each for each in before if each in now):
                yield from _table_changed("spec.frets", f"Notes tuned {tuning}", before[tuning], now[tuning])

    def _subjects(self) -> Iterator[Difference]:
        """Facts and tables of every subject; a fact that comes from the record is written, others are sums."""
        for subject, before, now in _paired(self.before.subjects, self.now.subjects, lambda subject: subject.key):
            were, are = (each.figures if each else Figures() for each in (before, now))
            for fact, old, new in _paired(were.facts, are.facts, lambda fact: fact.key):
                was, is_now = (_said(each.said, each.also) if each else "" for each in (old, new))
                where = field_of_fact(subject.key, fact.key)
                yield from _changed(
                    where, fact.title, was, is_now, is_written=fact.source in SOURCES_OF_WHAT_IS_WRITTEN
                )
            for each, one, other in _paired(were.tables, are.tables, lambda table: table.key):
                where, before_and_now = FIELD_OF_SUBJECT.get(subject.key, "spec"), (one, other)
                yield from _table_changed(where, each.title, *(each.table if each else None for each in before_and_now))

    def _drawings_and_rules(self) -> Iterator[Difference]:
        drawn = (("drawing", "Drawing of the fretboard", "spec"), ("body_drawing", "Drawing of the body", "spec.body"))
        for name, what, field in drawn:
            both = self._both(name)
            if both and both[0] != both[1]:
                was, is_now = ("drawn" if drawing else "" for drawing in both)
                yield Difference(field, PublishedChange(what, was, "drawn anew" if was and is_now else is_now, False))
        frets = self._both("frets")
        if frets and frets[0] and frets[1] and frets[0].tolerance_cents != frets[1].tolerance_cents:
            allowed = (f"{in_words(each.tolerance_cents)} cents" for each in frets)
            yield from _changed("spec.frets", "What the shop allows itself", *allowed, is_written=False)
        if frets and frets[0] and frets[1] and frets[0].rules != frets[1].rules:
            was, is_now = ("; ".join(f"{rule.name}, {rule.marks}" for rule in each.rules) for each in frets)
            is_now = is_now if was != is_now else f"{is_now}, compared anew"
            yield from _changed("spec.frets", "Rules of the shop", was, is_now, is_written=False)


def _changed(field: str, what: str, was: str, now: str, *, is_written: bool = True) -> Iterator[Difference]:
    """The difference, if there is any; of a long text only the passage that changed."""
    if was != now:
        yield Difference(field, PublishedChange(what, *_passages(was, now), is_written))


def _passages(was: str, now: str) -> tuple[str, str]:
    """Two texts without what they begin and end with alike, where they are long; whole words, in one line."""
    before, after = was.split(), now.split()
    if not before or not after or max(len(was), len(now)) <= MOST_LETTERS:
        return _short(was), _short(now)
    begin = 0
    while begin < min(len(before), len(after)) and before[begin] == after[begin]:
        begin += 1
    end = 0
    while end < min(len(before), len(after)) - begin and before[-1 - end] == after[-1 - end]:
        end += 1
    around = 2  # words, so that it can be found again
    first, last = max(begin - around, 0), max(end - around, 0)

    def passage(words: list[str]) -> str:
        said = " ".join(words[first : len(words) - last])
        return f"{'… ' if first else ''}{_short(said)}{' …' if last else ''}"

    return passage(before), passage(after)


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[: MOST_LETTERS - 1]}…"


def _one_by_one(field: str, what: str, before: list[str], now: list[str]) -> Iterator[Difference]:
    for number, (was, is_now) in enumerate(zip_longest(before, now, fillvalue=""), 1):
        yield from _changed(f"{field}[{number - 1}]", f"{what} {number}", was, is_now)


def _table_changed(field: str, what: str, before: Table | None, now: Table | None) -> Iterator[Difference]:
    """How many figures of a table differ as they are shown; rows are known by their first cell."""
    if before == now:
        return
    if before is None or now is None:
        yield Difference(
            field, PublishedChange(what, "worked out" if before else "", "worked out" if now else "", False)
        )
        return
    was, is_now = _cells(before), _cells(now)
    count = sum(was.get(place) != is_now.get(place) for place in was.keys() | is_now.keys())
    if count:
        yield Difference(field, PublishedChange(what, "", f"{counted(count, 'figure')} worked out anew", False))


def _cells(table: Table) -> dict[tuple[Hashable, int, str], str]:
    """Every cell as it is shown, by its column and its row: by the row's first cell, and which of its like it is."""
    cells: dict[tuple[Hashable, int, str], str] = {}
    met = Counter[Hashable]()
    for row in table.rows:
        met[row[0]] += 1
        for column, value in zip(table.columns, row, strict=True):
            cells[row[0], met[row[0]], column.key] = cell(value, column)
    return cells


def _paired(before: Iterable[T], now: Iterable[T], key: Callable[[T], str]) -> Iterator[tuple[T, T | None, T | None]]:
    """What has the same key side by side, the newer of the two first of all; in the order of now, what is gone last."""
    old, new = {key(each): each for each in before}, {key(each): each for each in now}
    for name in dict.fromkeys((*new, *old)):
        yield new.get(name, old.get(name)), old.get(name), new.get(name)  # type: ignore[misc]  # one of them is there


def _said(said: str, also: str) -> str:
    return f"{said} ({also})" if also else said


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
