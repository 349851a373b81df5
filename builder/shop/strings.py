"""The strings in the drawer: how each is built, or what it weighs; and how near to breaking the shop will go."""

from __future__ import annotations

from collections.abc import Mapping

from builder.calculations.strings import Gauge
from builder.limits import Percent
from builder.record.strings import StringBuild

#: Past this share of its least breaking load a string is near breaking while it is tuned: common practice.
USUAL_BREAKING_SHARE = Percent(75.0)

#: Gauge and make, as on the packet (`22w`, `10`) ─► how that string is built. A plain one needs nothing more: `10: {}`.
StringStock = Mapping[Gauge, StringBuild]
