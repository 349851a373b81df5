"""Twenty instruments of any kind, the same every time: written as a maker would write them, read and worked out."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from builder.publish.template import template_of
from builder.published.template import PublishedTemplate
from builder.workshop import Instrument, open_shop

COUNT = 20

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: {units}
rules: [{{name: bench rule, marks: 1/64 in}}, {{name: metric rule, marks: 0.5 mm}}]
working_rule: {rule}
"""
_SETUP = """
  setup: {{clearance: {{1: 0.012 in, 7: 0.095 in}}, string_tails: [2 in, 4 in], straight_saddle: {straight}}}"""
_STRINGS = ("E2 46w", "A2 36w", "D3 26w", "G3 17", "B3 13", "E4 10")


@dataclass(frozen=True)
class Board:
    """An instrument with its results, and its template."""

    instrument: Instrument
    template: PublishedTemplate


def record(number: int, chance: random.Random) -> str:
    """One record: straight or fanned; diatonic, chromatic or of 19 steps; partial frets, pairs, a short string."""
    fanned, diatonic = number % 3 == 1, number % 3 == 0
    scale = chance.uniform(330, 720)
    courses = chance.randint(3, 6)
    nut = chance.uniform(6.5, 9.5) * (courses - 1)
    saddle = nut * chance.uniform(1.0, 1.35)
    paired = number % 4 == 2
    strings = [f"{each} x2" if paired else each for each in _STRINGS[:courses]]
    starts = ""
    if number % 5 == 4 and not fanned:
        starts = " from 5"
        strings[0] += starts
    last = chance.randint(12, 17 if diatonic else 24)
    frets = f"layout: {'diatonic' if diatonic else 'chromatic'}, last: {last}"
    if diatonic:
        frets += ", add: [1½, 6½]"
    if number % 7 == 2 and not diatonic:
        frets += ", temperament: {equal: 19}"
    if number % 4 == 1:
        frets += ", partial: {2: [2, 3]}"
    if number % 6 == 5:
        frets += ", zero_fret: yes"
    length = f"{scale * chance.uniform(1.02, 1.06):.3f} mm"
    scale_length = f"{scale:.3f} mm"
    if fanned:
        scale_length = f"{{bass: {scale:.3f} mm, treble: {scale * chance.uniform(0.92, 0.99):.3f} mm, square_at: 7}}"
    edges = chance.uniform(5, 9)
    widths = f"width_at_nut: {nut + edges:.3f} mm, width_at_end: {saddle + edges:.3f} mm"
    return (
        f"""
format: 1
serial: 2026-{number + 1:03}
kind: any instrument
spec:
  scale_length: {scale_length}
  frets: {{{frets}}}
  fretboard: {{length: {length}, {widths}, markers: [3, 7]}}
  strings: [{", ".join(strings)}]
  spacing: {{at_nut: {nut:.3f} mm, at_saddle: {saddle:.3f} mm, pair_gap: 1.5 mm}}
  bridge: {{kind: pinned, pins_behind_saddle: {chance.uniform(14, 20):.3f} mm}}
""".rstrip()
        + (_SETUP.format(straight="yes" if number % 2 else "no") if number % 5 != 3 else "")
    )


@cache
def any_boards(folder: Path, *, inches: bool = True, count: int = COUNT) -> tuple[Board, ...]:
    """All of them, or the first few, from a shop written into a folder; it works in inches or in millimetres."""
    records = folder / "records"
    records.mkdir(parents=True)
    units, rule = ("inches", "bench rule") if inches else ("millimetres", "metric rule")
    (records / "shop.yaml").write_text(SHOP.format(units=units, rule=rule), encoding="utf-8")
    for number in range(count):
        text = record(number, random.Random(number))
        home = records / "instruments" / text.split("serial: ")[1].split("\n")[0]
        home.mkdir(parents=True)
        (home / "record.yaml").write_text(text, encoding="utf-8")
    shop = open_shop(folder, private_files=False)
    assert shop.shop
    assert not shop.has_errors, shop.problems
    templates = [(each, template_of(each, shop.shop)) for each in shop.instruments]
    return tuple(Board(instrument, template) for instrument, template in templates if template)
