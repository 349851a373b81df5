"""A small shop with instruments of every kind, common and out of the common, as text; and its pages."""

from __future__ import annotations

from pathlib import Path

from builder.pages.home import home_page
from builder.pages.instrument import instrument_page
from builder.pages.instruments import instruments_page
from builder.pages.methods import methods_page
from builder.publish import publish, publish_shop
from builder.published import Published, PublishedShop
from builder.seam import Page
from builder.sources import SOURCES
from builder.workshop import open_shop

SHOP = """
format: 1
name: Sandpiper Workshop
maker: Ada Ferrow
units: inches
place: Low Marsh
contact: {email: ada@example.org}
rules: [{name: tape, marks: 1/32 in}, {name: bench rule, marks: 1/64 in}, {name: metric rule, marks: 0.5 mm}]
working_rule: bench rule
fret_wires:
  medium: {crown_width: 0.080 in, material: nickel silver}
  sized: {tang: 0.020 in, barb: 0.031 in, tang_depth: 0.060 in}
finish_schedules: {oil varnish: {product: tung oil varnish, coats: 5, words: Wiped on thin.}}
"""
RACK = """
format: 1
billets: {W-1: {species: red spruce, botanical: Picea rubens, origin: Cold Ridge, cut: quartersawn}}
"""
DULCIMER = """
format: 1
serial: 2026-014
name: Heron
kind: mountain dulcimer
dates: {finished: 2026-04-30, delivered: 2026-05-09}
spec:
  scale_length: 27 in
  frets: {layout: diatonic, add: [1½, 6½], last: 17, wire: medium, slot_width: 0.024 in}
  fretboard: {length: 28 1/2 in, width_at_nut: 1 1/2 in, width_at_end: 1 1/2 in, radius: 12 in, markers: [3, 7]}
  strings: [D3 22w, A3 12, D4 10 x2]
  tunings: [D3 A3 D4, D3 A3 A3]
  wood: {soundboard: {billet: W-1, finished: 0.110 in, words: Even rings.}, back: {species: black walnut}}
  hardware: {tuners: ebony pegs, nut: bone}
  finish: {schedule: oil varnish}
build:
  steps: [{step: sides bent, done: 2026-02-20}, {step: not yet done}]
  glue_ups: [{parts: [linings, sides], at: 2026-03-04 14:30, glue: hide glue, temperature: 68 F, humidity: 44 %}]
  coats: [{at: 2026-04-02 10:00, product: tung oil varnish}]
  log: [{date: 2026-03-06, did: Thicknessed the back}]
story: "It was made **in the rain**."
"""
MANDOLIN = """
format: 1
serial: 2025-003
kind: octave mandolin
made_by: Ned Pell
dates: {finished: 2025-04-30, delivered: 2025-05-09}
spec:
  scale_length: 20 in
  frets: {layout: chromatic, last: 24}
  strings: [G2, D3, A3, E4]
"""
BARE = """
format: 1
serial: 2024-001
kind: cittern
dates: {finished: 2024-04-30, delivered: 2024-05-09}
"""
HOSTILE = """
format: 1
serial: 2023-001
name: <script>alert(1)</script>
kind: '"><img src=x onerror=alert(2)>'
made_by: "{{ 7 * 7 }} <b>"
dates: {finished: 2023-04-30, delivered: 2023-05-09}
spec:
  wood: {neck: {species: <script>alert(3)</script>, words: "</div></div>"}}
  hardware: {tuners: "<b>x</b>"}
build: {log: [{date: 2023-03-06, did: "<script>alert(4)</script>"}]}
story: "<script>alert(5)</script> [here](javascript:alert(6)) and *so on*\\n\\n    code\\n\\n    more"
"""

# Two scale lengths, part of a fret, a short string, octave pairs
FAN = """
format: 1
serial: 2020-001
name: Fan
kind: baritone guitar
dates: {finished: 2020-04-30, delivered: 2020-05-09}
spec:
  scale_length: {bass: 26 1/2 in, treble: 25 in, square_at: 7}
  frets: {layout: chromatic, last: 20, wire: sized, slot_width: 0.023 in}
  fretboard: {length: 20 in, width_at_nut: 1 13/16 in, width_at_end: 2 3/8 in, markers: [3, 5]}
  strings: [B1 68w, E2 52w, A2 38w, D3 28w, F#3 17, B3 13]
  tunings: [B1 E2 A2 D3 F#3 B3, A1 E2 A2 D3 F#3 B3 in A]
  spacing: {at_nut: 1 1/2 in, at_saddle: 2 1/8 in, rule: equal gaps}
  reach: {shapes: [1-3, 1-7], scales: [24 in], hand_span: 4 1/2 in}
"""
PART = """
format: 1
serial: 2020-002
name: Part
batch: Spring birds
kind: mountain dulcimer
dates: {finished: 2020-04-30, delivered: 2020-05-09}
spec:
  scale_length: 27 in
  frets: {layout: diatonic, add: [1½, 6½], last: 14, temperament: {just: duodene, tonic_at: 3}, partial: {1½: [2, 3]}}
  fretboard: {length: 28 in, width_at_nut: 1 1/2 in, width_at_end: 1 1/2 in}
  strings: [D3 22w, A3 12, D4 10 x2]
  tunings: [D3 A3 D4]
  spacing: {at_nut: 1 1/8 in, at_saddle: 1 1/4 in, pair_gap: 1/8 in}
"""
SHORT = """
format: 1
serial: 2020-003
name: Short
kind: five-string banjo
dates: {finished: 2020-04-30, delivered: 2020-05-09}
spec:
  scale_length: 26 1/4 in
  frets: {layout: chromatic, last: 22, zero_fret: yes}
  fretboard: {width_at_nut: 1 1/4 in, width_at_end: 1 15/16 in}
  strings: [G4 10 from 5, D3 20w, G3 13, B3 11, D4 10]
  tunings: [G4 D3 G3 B3 D4]
  spacing: {at_nut: 1 in, at_saddle: 1 3/4 in, rule: equal centres}
"""
PAIRS = """
format: 1
serial: 2020-004
name: Pairs
kind: cittern
dates: {finished: 2020-04-30, delivered: 2020-05-09}
spec:
  scale_length: 508 mm
  frets: {layout: chromatic, last: 12, temperament: {equal: 19}}
  strings: [G2 46w + G3 16, D3 30w x2]
  tunings: [G2 D3]
"""

EVERY_RECORD = (DULCIMER, MANDOLIN, BARE, HOSTILE, FAN, PART, SHORT, PAIRS)


def publish_all(folder: Path) -> tuple[dict[str, Published], PublishedShop]:
    """Every instrument of the shop by serial, and the shop; written to a folder first, as a maker would."""
    records = folder / "records"
    for text in EVERY_RECORD:
        instrument = records / "instruments" / text.split("serial: ")[1].split("\n")[0]
        instrument.mkdir(parents=True)
        (instrument / "record.yaml").write_text(text, encoding="utf-8")
    (records / "shop.yaml").write_text(SHOP, encoding="utf-8")
    (records / "wood.yaml").write_text(RACK, encoding="utf-8")
    workshop = open_shop(folder, private_files=False)
    assert not workshop.has_errors, workshop.problems
    assert workshop.shop
    published = [publish(each, workshop.shop) for each in workshop.instruments]
    return {each.serial: each for each in published}, publish_shop(workshop.shop)


def pages_of(by_serial: dict[str, Published], shop: PublishedShop) -> dict[str, Page]:
    """Every page of the shop, by address."""
    newest_first = sorted(by_serial.values(), key=lambda each: each.finished or "", reverse=True)
    made = [
        home_page(newest_first, shop),
        instruments_page(newest_first, shop),
        methods_page(shop, SOURCES),
        *(instrument_page(each, shop) for each in newest_first),
    ]
    return {page.path: page for page in made}
