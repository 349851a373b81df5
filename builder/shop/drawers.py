"""What lies in the shop's drawers for setting an angle."""

from __future__ import annotations

from typing import Annotated

from builder.limits import Between, Degrees

#: Wooden blocks cut to an angle, for fitting end blocks and setting the saw, such as 3, 5, 7.5, 10 and 12 degrees.
AngleBlocks = tuple[Annotated[Degrees, Between("0", "60")], ...]
