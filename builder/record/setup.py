"""How an instrument is to be set up: clearances over the frets, angles over the saddle, what slides at the ends."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from builder.calculations.frets import FretNumber
from builder.lengths import Length
from builder.limits import Between, Degrees, no_entries

#: Room between a fret's crown and the underside of the open string.
Clearance = Annotated[Length, Between("0 mm", "15 mm")]


@dataclass(frozen=True, slots=True)
class SetupSpec:
    """The set-up that is wanted. Every part is optional.

    `clearance` names two frets and the room there between crown and open string: `{1: 0.012 in, 7: 0.095 in}`; one
    is enough where there is a zero fret. With `clearance_treble` the first is for the bass string and the other for
    the treble string, and those between lie on a straight line. `break_angles` are the string's in front of the
    saddle and behind it. `string_tails` are the lengths beyond nut and saddle up to where the string is held; they
    stretch along unless `slides` says no (a locking nut, a clamp). `setbacks` are those the saddle is given, one for
    all courses or one a course, bass first; without them the best ones are taken. `straight_saddle`: one straight
    saddle carries all strings. `nut_setback`: the nut may be moved towards the saddle, too.
    """

    clearance: Mapping[FretNumber, Clearance] = field(default_factory=no_entries)
    clearance_treble: Mapping[FretNumber, Clearance] = field(default_factory=no_entries)
    break_angles: tuple[Annotated[Degrees, Between("0", "80")], ...] = ()
    string_tails: tuple[Annotated[Length, Between("0 mm", "1 m")], ...] = ()
    slides: bool = True
    setbacks: tuple[Annotated[Length, Between("0 mm", "30 mm")], ...] = ()
    straight_saddle: bool = False
    nut_setback: bool = False
